"""What one downpipe is made of, and the parts of all of a house: worked by hand on a 12 x 8 m hip."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.item_book import item_book
from takeoff.measure.rainwater.pipe_parts import clips_on, pipe_lengths
from takeoff.measure.rainwater.stretches import End, Stretch, WallBelow, wall_below
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import default_rules
from takeoff.write.words.item_names import item_name

sys.path.insert(0, str(Path(__file__).parent))

from downpipe_houses import RECTANGLE, codes, job_of, measured, shaped, walled


def test_the_parts_of_one_pipe() -> None:
    # 2450 + 450 over the ground; sole 130 below; outlet 600 - 40 + 62.5 - 20 - 40 = 562.5 out from the pipe on the wall;
    # the offset falls 562.5 x tan 20 = 204.7 and is 562.5 / cos 20 = 598.6 long; 50 clear of the ground
    _, _, chosen = shaped(job_of(RECTANGLE))
    parts = pipe_lengths(2900.0, 562.5, None, chosen)
    assert parts.upper_mm == 0.0
    assert parts.offset_mm == pytest.approx(598.600, abs=0.001)
    assert parts.drop_mm == pytest.approx(2900 - 130 - 204.733 - 50, abs=0.001)
    # a soffit 330 below the sheets' underside: the offset starts 200 lower
    low = pipe_lengths(2900.0, 562.5, 330.0, chosen)
    assert low.upper_mm == pytest.approx(200.0)
    assert low.drop_mm == pytest.approx(parts.drop_mm - 200.0)


FITTINGS = {"downpipe bends": 8, "downpipe clips": 8, "downpipe shoes": 4}


def test_without_a_wall_the_offset_is_to_be_measured() -> None:
    result = measured(job_of(RECTANGLE))
    need = next(need for need in result.needs if any(d.item.startswith("downpipe") for d in need.demands))
    assert [d.id for d in need.demands] == ["DP1 drop", "DP2 drop", "DP3 drop", "DP4 drop"]
    said = next(finding for finding in need.findings if finding.code == "downpipe-offset-to-measure")
    assert "Offset to be measured at DP1, DP2, DP3, DP4" in said.text
    items = item_book((need,), (), load_catalogue(), default_rules())
    assert item_name(items["downpipe round_80"]) == "Downpipe round 80, lengths for 4 pipes"
    assert item_name(items["Downpipe bend, round 80"]) == "Downpipe bend, round 80"
    assert "downpipe-offset-to-measure" not in codes(walled([]))


def test_the_parts_of_a_house() -> None:
    roof = {"wall_line": [[0, 0], [10800, 0], [10800, 6800], [0, 6800]], "eave_overhang_mm": 600}
    whole = {"job": "by hand", "roofs": [{**roof, "pitch_deg": 25, "fascia_height_mm": 2450}]}
    job = parse_job(json.dumps({**whole, "rainwater": {"ground_mm": -450}}))
    need = next(need for need in measured(job).needs if any(d.item.startswith("downpipe") for d in need.demands))
    assert {q.id: q.figure for q in need.quantities} == {**FITTINGS, "downpipe clip screw": 18}  # 8 x 2 x 1.1
    lengths = {demand.id: demand.length_mm for demand in need.demands}
    assert lengths["DP1 offset"] == pytest.approx(598.600, abs=0.001)
    assert lengths["DP1 drop"] == pytest.approx(2515.267, abs=0.001)
    assert len(lengths) == 8
    assert "ground-not-given" in codes(job_of(RECTANGLE))
    assert "ground-not-given" not in codes(job)


@pytest.mark.parametrize(("drop_mm", "clips"), [(2500, 2), (3000, 2), (3001, 3), (6000, 3), (6001, 4), (100, 2)])
def test_clips(drop_mm: float, clips: int) -> None:
    assert clips_on(drop_mm, 3000) == clips


def test_only_a_drop_longer_than_stock_is_joined() -> None:
    def demands(ground_mm: int) -> tuple[dict[str, object], dict[str, float]]:
        result = measured(job_of(RECTANGLE, {"ground_mm": ground_mm}))
        need = next(need for need in result.needs if any(d.item.startswith("downpipe") for d in need.demands))
        return {d.id: d.splits_mm for d in need.demands}, {q.id: q.figure for q in need.quantities}

    low, counted = demands(-450)
    assert low["DP1 drop"] == ()
    assert "downpipe joiners" not in counted
    high, counted = demands(-4450)  # a drop of about 6.7 m, stock is 6 m
    assert high["DP1 drop"] is None
    assert counted["downpipe joiners"] == 4


def test_no_height_for_a_drop_is_told() -> None:
    result = measured(job_of(RECTANGLE, {"ground_mm": 2400}))
    every = (finding for need in result.needs for finding in need.findings)
    (told,) = (finding for finding in every if finding.code == "downpipe-without-height")
    assert told.text.startswith("There is no height for a drop at DP1, DP2")
    assert told.advice == "Check rainwater: ground_mm and the fascia height."
    assert told.refs[:2] == ("DP1", "DP2")


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (
            {"rainwater": {"ground_mm": 2600}},
            "rainwater.ground_mm: the ground at 2600 mm lies 150 mm over the eave of SP1",
        ),
        ({"walls": {"height_mm": 2400, "ground_mm": 2450}}, "walls.ground_mm: the ground at 2450 mm lies level with"),
        ({}, r"gives no ground, and at -?\d+ mm, as it is taken, it lies \d+ mm over the eave of SP1 \(-900\)"),
    ],
)
def test_ground_above_a_gutter_is_a_fault_of_the_job(job: dict[str, object], words: str) -> None:
    """The eave at 2450, then at -900, below the ground that is taken where none is given."""
    ring = {"wall_line" if "walls" in job else "outline": RECTANGLE}
    roof = {**ring, "fascia_height_mm": 2450 if job else -900, "pitch_deg": 25}
    with pytest.raises(JobError, match=words):
        measured(parse_job(json.dumps({"job": "x", "roofs": [roof], **job})))


def test_a_wall_right_under_the_edge_of_the_roof_is_the_wall_below() -> None:
    """A gutter along 12 m of eave; the wall line stands in the eave's own line, then 600 inside it."""
    roof = shaped(job_of(RECTANGLE))[0][0]
    eave = Stretch(
        "SP1a", 0.0, 12000.0, (0.0, 0.0, 2450.0), (12000.0, 0.0, 2450.0), End("stop end"), End("stop end"), (), ()
    )
    for overhang in (0.0, 600.0):
        ring = ((0.0, overhang), (12000.0, overhang), (12000.0, 7400.0), (0.0, 7400.0))
        assert wall_below(eave, replace(roof, wall_line_mm=(ring,))) == WallBelow(0.0, 12000.0, overhang)
