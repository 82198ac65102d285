"""One item of the order is one folding: what folds the other way, or lies over another profile, is an item of its own.

Angles by hand from the pitches on both sides of an edge; nothing here is a published value.
"""

from __future__ import annotations

import json
from itertools import pairwise
from math import atan2, degrees
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.model.measured import FlashingRun, FoldSection
from takeoff.model.order import Takeoff
from takeoff.read.job.job_file import parse_job
from takeoff.write.words.item_names import item_name

SAMPLES = sorted(path.parent for path in (Path(__file__).resolve().parents[2] / "geometry_samples").glob("*/job.yaml"))


def ring(x: int, y: int) -> list[list[int]]:
    return [[x, y], [x + 9000, y], [x + 9000, y + 7000], [x, y + 7000]]


def take_off(*roofs: dict[str, object]) -> Takeoff:
    shared = {"fascia_height_mm": 2400}
    return pipeline.run(parse_job(json.dumps({"job": "by hand", "roofs": [{**shared, **roof} for roof in roofs]})))


def turns_deg(section: FoldSection) -> list[int]:
    """How the section turns at each fold, left positive, hems as they are drawn."""
    points = section.points_mm
    headings = [degrees(atan2(b[1] - a[1], b[0] - a[0])) for a, b in pairwise(points)]
    return [round((b - a + 180.0) % 360.0 - 180.0) for a, b in pairwise(headings)]


def pitch_changes(takeoff: Takeoff) -> dict[str, FlashingRun]:
    return {run.way: run for run in takeoff.roofing.flashings if run.kind == "pitch change"}


def test_a_hollow_and_a_convex_change_of_pitch_are_two_things() -> None:
    """A mansard that goes from 50 to 30 degrees steepens going down by 20; a sprocket from 30 to 10 flattens by 20. Both
    are 160 degrees between the slopes, and one cannot be turned over to make the other: its colour would face down."""
    mansard = {"lower_pitch_deg": 50, "to_mm": 1000, "upper_pitch_deg": 30}
    sprocket = {"pitch_deg": 10, "to_mm": 150}
    takeoff = take_off(
        {"name": "steep", "outline": ring(0, 0), "mansard": mansard},
        {"name": "swept", "outline": ring(20000, 0), "pitch_deg": 30, "sprocket": sprocket},
    )
    found = pitch_changes(takeoff)
    assert sorted(found) == ["convex", "hollow"]
    assert [run.between_deg for run in found.values()] == pytest.approx([160.0, 160.0])
    turns = {way: turns_deg(run.section)[0] for way, run in found.items() if run.section}
    assert turns == {"hollow": 20, "convex": -20}
    assert found["convex"].item != found["hollow"].item
    assert takeoff.order is not None
    bought = {plan.item for plan in takeoff.order.plans}
    assert {run.item for run in found.values()} <= bought
    names = {name: item_name(item) for name, item in takeoff.items.items()}
    assert names[found["hollow"].item].endswith("160°, hollow")
    assert names[found["convex"].item].endswith("160°, convex")


def test_a_ridge_for_corrugate_and_one_for_ribs_are_two_things() -> None:
    """Same pitch, same girth: one is dressed into the crests at both edges, the other notched over the ribs."""
    takeoff = take_off(
        {"name": "house", "outline": ring(0, 0), "pitch_deg": 25},
        {"name": "shed", "outline": ring(20000, 0), "pitch_deg": 25, "covering": {"profile": "trapezoidal_5_rib"}},
    )
    ridges = [run for run in takeoff.roofing.flashings if run.kind == "ridge"]
    assert len({run.girth_mm for run in ridges}) == 1
    assert sorted(run.section.soft_edges for run in ridges if run.section) == [0, 2]
    assert len({run.item for run in ridges}) == 2


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_every_item_is_one_folding(sample: Path) -> None:
    takeoff = pipeline.run_file(sample / "job.yaml", pipeline.Stage.MEASURE)
    seen: dict[str, object] = {}
    for run in takeoff.roofing.flashings:
        assert run.section is not None
        legs, turns = run.section.legs, turns_deg(run.section)
        if run.hand == "left":
            # turned end for end it is the right hand: what was first comes last, each fold goes the same way
            legs, turns = legs[::-1], turns[::-1]
        folding = (legs, turns, run.section.soft_edges, run.section.colour_side)
        assert seen.setdefault(run.item, folding) == folding, run.item
