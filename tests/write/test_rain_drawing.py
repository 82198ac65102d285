"""The rainwater plan shows every run, pipe, high point, valley and tank, by their names in the order."""

from __future__ import annotations

import json
from itertools import pairwise
from math import hypot
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml

from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.drawing import Circle, Line, Text
from takeoff.write.drawings.rain_drawing import rain_plan
from takeoff.write.drawings.svg import svg_text

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def test_pipes_valleys_high_points_and_tanks_are_named() -> None:
    job = yaml.safe_load((SAMPLES / "wing" / "job.yaml").read_text(encoding="utf-8"))
    job["tanks"] = [{"name": "north", "volume_l": 25000, "pipes": ["DP1", "DP2"]}]
    takeoff = run(parse_job(json.dumps(job, default=str)))
    drawing = rain_plan(takeoff)
    assert drawing is not None
    said = [item.text for item in drawing.items if isinstance(item, Text)]
    pipes = [pipe for plan in takeoff.rainwater.downpipes for pipe in plan.pipes]
    for pipe in pipes:
        (name,) = [text for text in said if text.startswith(f"{pipe.id} ")]
        assert f"{pipe.catchment_mm2 / 1e6:.1f}".rstrip("0").rstrip(".") in name
        assert ("to north" in name) is (pipe.id in ("DP1", "DP2"))
    outlets = [item for item in drawing.items if isinstance(item, Circle) and item.layer == "DOWNPIPE"]
    assert len(outlets) == len(pipes) + 1  # one in the legend
    for run_ in takeoff.gutters:
        for foot in run_.valleys:
            assert any(text.startswith(f"{foot.edge} ") for text in said)
    highs = [item for item in drawing.items if isinstance(item, Line) and item.layer == "RAIN-HIGH"]
    parted = sum(
        len(list(pairwise(plan.pipes))) + (run_.ring and len(plan.pipes) > 0)
        for run_, plan in zip(takeoff.gutters, takeoff.rainwater.downpipes, strict=True)
    )
    assert len(highs) == parted + 1
    assert any("Tank north, 25 000 L" in text for text in said)
    assert any(text.endswith("drawing R2") for text in said)  # W1 is a window, and W-1 the drawing of wall 1
    ElementTree.fromstring(svg_text(drawing))


def test_what_lies_under_a_higher_roof_is_dashed_and_outlets_are_taped_from_their_ends() -> None:
    """The washhouse reaches 600 under the eave of the quarters: both its verges are hidden there, its apron wholly. The
    quarters' pipes stand 600 from an end of their gutter, the washhouse's 150 (chosen at wall ends)."""
    takeoff = run_file(SAMPLES / "two_storeys")
    drawing = rain_plan(takeoff)
    assert drawing is not None
    hidden = [item for item in drawing.items if isinstance(item, Line) and item.layer == "ROOF-HIDDEN"]
    lengths = sorted(round(hypot(h.b_mm[0] - h.a_mm[0], h.b_mm[1] - h.a_mm[1])) for h in hidden)
    assert lengths == pytest.approx([600, 600, 6000], abs=1)
    verges = [item for item in drawing.items if isinstance(item, Line) and item.layer == "ROOF-VERGE"]
    assert sorted(round(abs(v.b_mm[1] - v.a_mm[1])) for v in verges)[:2] == pytest.approx([2100, 2100], abs=1)
    said = [item.text for item in drawing.items if isinstance(item, Text) and item.layer == "DOWNPIPE"]
    said = [f"{name}, {off}" for name, off in zip(said[::2], said[1::2], strict=True)]
    pipes = {pipe.id: (plan, pipe) for plan in takeoff.rainwater.downpipes for pipe in plan.pipes}
    assert len(said) == len(pipes)
    for text in said:
        plan, pipe = pipes[text.split()[0]]
        (run_,) = (found for found in takeoff.gutters if found.id == plan.run)
        near = min((pipe.along_mm, "left"), (run_.length_mm - pipe.along_mm, "right"))
        assert text.endswith(f", {near[0]:.0f} from {near[1]} end")


def test_a_job_without_spouting_has_none() -> None:
    roof = {"outline": [[0, 0], [8000, 0], [8000, 5000], [0, 5000]], "pitch_deg": 20, "no_spouting_on": [1, 2, 3, 4]}
    assert rain_plan(run(parse_job(json.dumps({"job": "bare", "roofs": [roof]})))) is None


@pytest.mark.parametrize("sample", ["hip_12x8"])
def test_it_is_among_the_files(sample: str) -> None:
    from takeoff.write.files import drawings

    assert "rainwater_plan" in {drawing.name for drawing in drawings(run_file(SAMPLES / sample))}
