"""Advice is a line to paste: pasted where it says, the job is taken and what was warned of is gone."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from takeoff import pipeline
from takeoff.model.findings import Finding
from takeoff.model.order import Takeoff
from takeoff.read.job.cures import cures_of
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.write.job_text.edits import edited_text

SAMPLES = Path("geometry_samples")
BEVEL = {"direction": "horizontal", "board": "bevel_187"}
RUSTICATED = {"direction": "horizontal", "board": {"width_mm": 187, "cover_mm": 150, "kind": "rusticated"}}


def wall(height_mm: float, zone: Mapping[str, Any], *openings: tuple[float, float]) -> dict[str, Any]:
    """One wall 9 m wide with openings 1200 wide, each (sill, head) over the floor."""
    places = [
        {"wall": 1, "from_left_mm": 500 + 2000 * n, "sill_mm": sill, "width_mm": 1200, "height_mm": head - sill}
        for n, (sill, head) in enumerate(openings)
    ]
    alone = {"name": "wall", "width_mm": 9000, "height_mm": height_mm, "left": "none", "right": "none"}
    return {"job": "wall", "walls": {"elevations": [alone], "zones": [zone], "openings": places, "ground_mm": -450}}


def hut(walls: Mapping[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    roof: dict[str, Any] = {
        "name": "hut",
        "wall_line": [[0, 0], [8000, 0], [8000, 5000], [0, 5000]],
        "eave_overhang_mm": 600,
        "pitch_deg": 20,
    }
    clad = {"height_mm": 2400, "zones": [BEVEL], **(walls or {})}
    return {"job": "hut", "roofs": [{**roof, **more.pop("roof", {})}], "walls": clad, **more}


def taken(job: Mapping[str, Any]) -> Takeoff:
    return pipeline.run(parse_job(json.dumps(job)))


def found(takeoff: Takeoff, code: str) -> list[Finding]:
    return [finding for finding in takeoff.findings if finding.code == code]


def pasted(job: Mapping[str, Any], advice: str) -> dict[str, Any]:
    """The job with the lines of an advice, each where the words before it say."""
    new: dict[str, Any] = json.loads(json.dumps(job))
    lines = re.findall(r"([^`]*)`([^`]+)`", advice)
    assert lines, advice
    for before, line in lines:
        value = yaml.safe_load(line)
        if isinstance(value, list):
            assert "under zones of the walls" in before
            zones = new["walls"]["zones"]
            zones[:] = [zone for zone in zones if zone.get("walls") != value[0].get("walls")] + value
            continue
        ((key, said),) = value.items()
        where = new["roofs"][0] if "nder the roof" in before else new
        where = new["walls"]["zones"][0] if "in the zone" in before else where
        held = where.get(key)
        where[key] = {**held, **said} if isinstance(held, dict) and isinstance(said, dict) else said
    return new


def cured(job: Mapping[str, Any], told: Finding) -> Any:
    """The job after every cure that is offered, one after another."""
    text = json.dumps(json_keys(job))
    for cure in cures_of(told, read_yaml(text).value):
        text = edited_text(text, cure.edits)
    return json.loads(json.dumps(read_yaml(text).value))


def json_keys(job: Mapping[str, Any]) -> Any:
    return json.loads(json.dumps(job))


CASES = {
    "walls-in-no-zone": hut({"zones": [{**BEVEL, "walls": [1, 3]}]}),
    "coursing-not-evened": wall(250, BEVEL),
    # lines of 150 from 50 under the floor: a sill at 870 shows 20 of the board from 850
    "sliver-of-a-course": wall(2450, RUSTICATED, (870, 2000)),
    # a cover of 153.57 puts a line on the head at 2100, which costs a course more
    "sliver-of-a-course ": {**wall(2450, BEVEL, (820, 2100)), "settings": {"course_top_gap_mm": 8}},
    "fascia-height-taken": hut(),
    "code-not-given": hut(),
    "roof-not-in-catchment": hut(roof={"no_spouting_on": [1, 3]}),
    "joints-in-line": {
        "job": "long",
        "settings": {"purlin_joints": "in_line"},
        "purlins": {"supports_mm": 900, "stock_mm": [6000]},
        "roofs": [
            {
                "name": "long",
                "outline": [[0, 0], [11000, 0], [11000, 8000], [0, 8000]],
                "pitch_deg": 20,
                "fascia_height_mm": 2400,
                "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
            }
        ],
    },
    "end-bay-over-code": hut(settings={"purlin_edge_bay_mm": 1500}),
}


@pytest.mark.parametrize("code", CASES)
def test_what_was_told_is_gone(code: str) -> None:
    job, code = CASES[code], code.strip()
    told = found(taken(job), code)
    assert told, code
    assert cured(job, told[0]) == pasted(job, told[0].advice)
    after = taken(pasted(job, told[0].advice))
    left = [finding for finding in found(after, code) if finding.refs == told[0].refs]
    assert left == [], (told[0].advice, [finding.text for finding in left])


def test_what_walls_have_too_little_of_is_an_extra() -> None:
    """The note stays, since nobody knows how much is spoilt; the line puts 5 % on the delivery."""
    (told,) = found(taken(hut()), "cladding-no-spare")
    order = taken(pasted(hut(), told.advice)).order
    assert order is not None
    assert order.prices is not None
    assert [one.extra_percent for one in order.prices.deliveries if one.delivery == "walls"] == [5.0]


@pytest.mark.parametrize("sample", sorted(path.parent.name for path in SAMPLES.glob("*/job.yaml")))
def test_no_advice_names_a_key_outside_a_line(sample: str) -> None:
    """A key in the middle of a sentence leaves whoever reads it to guess where it goes and how it is written."""
    for finding in pipeline.run_file(SAMPLES / sample).findings:
        prose = re.sub(r"`[^`]*`", "", finding.advice).replace("downpipes_at", "")
        assert not re.findall(r"\b[a-z]+(?:_[a-z]+)+\b", prose), (finding.code, finding.advice)
