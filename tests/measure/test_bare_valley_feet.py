"""A valley's foot at an eave that carries no gutter is dressed past that eave, and what it runs on to is said."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job

SAMPLES = Path("geometry_samples")
INTO, PAST = "junction_valley_foot", "junction_valley_foot_at_bare_eave"


def bare(sample: str, edges: list[int], roof: int = 0, **more: Any) -> Takeoff:
    told = json.loads(pipeline.run_file(SAMPLES / sample).job.model_dump_json(exclude_unset=True))
    told["roofs"][roof]["no_spouting_on"] = edges
    return pipeline.run(parse_job(json.dumps({**told, **more})))


def counts(takeoff: Takeoff) -> dict[str, float]:
    assert takeoff.order is not None
    return {line.item: line.count for line in takeoff.order.lines if line.item.startswith("junction_valley")}


def said(takeoff: Takeoff) -> list[str]:
    return [finding.text for finding in takeoff.findings if finding.code == "valley-foot-at-bare-eave"]


def test_a_valley_without_a_gutter_runs_past_the_eave_on_to_the_ground() -> None:
    """The L-shaped house has one valley; all its eaves bare."""
    takeoff = bare("l_house", [1, 2, 3, 4, 5, 6])
    assert counts(takeoff)[PAST] == 1.0
    assert INTO not in counts(takeoff)
    (text,) = said(takeoff)
    assert "no gutter hangs at its foot" in text
    assert "on to the ground" in text


def test_a_gutter_on_one_of_its_two_eaves_takes_it() -> None:
    """The valley's foot stands in the corner of edges 4 and 5, counted from the corner that is typed first."""
    whole = counts(bare("l_house", []))
    assert whole[INTO] == 1.0
    takeoff = bare("l_house", [1])
    assert counts(takeoff)[INTO] == 1.0
    assert said(takeoff) == []


def test_a_dormer_without_gutters_lands_on_the_roof_all_the_same() -> None:
    takeoff = bare("dormer", [1, 2, 3, 4], roof=1)
    assert counts(takeoff)["junction_valley_foot_on_roof"] == 2.0
    assert INTO not in counts(takeoff)
    assert said(takeoff) == []


def test_a_lower_roof_under_the_foot_is_named() -> None:
    """A porch of 10 degrees lies under the inside corner of an L-shaped house."""
    house = {
        "name": "house",
        "wall_line": [[0, 0], [10000, 0], [10000, 6000], [5000, 6000], [5000, 11000], [0, 11000]],
        "eave_overhang_mm": 300,
        "fascia_height_mm": 3600,
        "pitch_deg": 25,
        "no_spouting_on": [3, 4],
    }
    porch = {
        "name": "porch",
        "outline": [[4000, 5000], [9000, 5000], [9000, 9000], [4000, 9000]],
        "fascia_height_mm": 2300,
        "pitch_deg": 10,
        "below": "house",
        "edges": {1: {"kind": "wall"}, 2: {"kind": "gable"}, 3: {"pitch_deg": 10}, 4: {"kind": "wall"}},
    }
    takeoff = pipeline.run(parse_job(json.dumps({"job": "porch in a corner", "roofs": [house, porch]})))
    (text,) = said(takeoff)
    assert "on to roof porch" in text
