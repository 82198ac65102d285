"""Purlins, flashings, underlay and fixings do not depend on where a roof stands or which point was typed first.

Properties, not published values: a shift, a turn of the plan with north and the lee end turned alike, and another
starting point change no figure; a mirror image has the same figures with left and right exchanged.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import cos, radians, sin
from typing import Any

import pytest

from takeoff.measure.roofing.fixings.roof_fixings import measure_fixings
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.purlins.purlins import lay_purlins
from takeoff.measure.roofing.underlay import measure_underlay
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.timber import PurlinsJob
from takeoff.model.products import Catalogue
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

Point = tuple[float, float]
HIGH = Site(wind_zone="high")
ELL: list[Point] = [(0, 0), (14200, 0), (14200, 8400), (9000, 8400), (9000, 12600), (0, 12600)]
TEE: list[Point] = [
    (0, 0),
    (16000, 0),
    (16000, 7000),
    (11000, 7000),
    (11000, 11000),
    (6500, 11000),
    (6500, 7000),
    (0, 7000),
]
# outline, pitch by edge (25 where it is not given), gables
ROOFS = {
    "ell with a gable": (ELL, {2: 15.0}, (5,)),
    "ell of hips": (ELL, {}, ()),
    "tee with gables": (TEE, {}, (4, 8)),
    "tee of two pitches": (TEE, {1: 30.0, 4: 18.0}, (2,)),
}


def _joints(demand: RunDemand) -> tuple[float, ...]:
    """Allowed joints read from whichever end makes the lesser list, so that a run and its mirror image agree."""
    there = tuple(round(x, 1) for x in demand.splits_mm or ())
    return min(there, tuple(round(demand.length_mm - x, 1) for x in reversed(demand.splits_mm or ())))


def figures(
    points: Sequence[Point], pitches: dict[int, float], gables: Sequence[int], s: Settings, c: Catalogue
) -> dict[str, Counter[Any]]:
    edges = {n: EdgeJob(pitch_deg=pitch) for n, pitch in pitches.items()}
    edges |= {n: EdgeJob(kind="gable", verge_overhang_mm=450.0) for n in gables}
    roof_job = RoofJob(outline=list(points), pitch_deg=25.0, edges=edges)
    roof = roof_from_outline(roof_job, 0.0, s)
    lines, purlins = lay_purlins(roof, roof_job, PurlinsJob(), HIGH, s, c)
    runs, flashings = measure_flashings(roof, roof_job, HIGH, s, c)
    underlay = measure_underlay(roof, Job(job="any"), s, c)
    fixings = measure_fixings((), lines, roof, s, c.profiles, runs, screws={})
    needs = (purlins, flashings, underlay, fixings)
    return {
        "runs": Counter((d.item, round(d.length_mm, 2)) for need in needs for d in need.demands),
        "joints": Counter(_joints(demand) for demand in purlins.demands),
        "bought": Counter((q.item, q.unit, round(q.figure, 3)) for need in needs for q in need.quantities),
        "hands": Counter((run.kind, run.hand) for run in runs),
    }


@pytest.fixture(params=ROOFS, ids=str)
def roof(request: pytest.FixtureRequest) -> tuple[list[Point], dict[int, float], tuple[int, ...]]:
    return ROOFS[request.param]


Typed = tuple[list[Point], dict[int, float], tuple[int, ...]]


def test_shift(roof: Typed, settings: Settings, catalogue: Catalogue) -> None:
    points, pitches, gables = roof
    moved = [(x + 123456.5, y - 98765.25) for x, y in points]
    assert figures(moved, pitches, gables, settings, catalogue) == figures(points, pitches, gables, settings, catalogue)


def test_turn(roof: Typed, settings: Settings, catalogue: Catalogue) -> None:
    points, pitches, gables = roof
    co, si = cos(radians(37.0)), sin(radians(37.0))
    turned = [(co * x - si * y, si * x + co * y) for x, y in points]
    there, back = (figures(p, pitches, gables, settings, catalogue) for p in (points, turned))
    assert there == back


def test_starting_point(roof: Typed, settings: Settings, catalogue: Catalogue) -> None:
    points, pitches, gables = roof
    count, by = len(points), 3
    again = [*points[by:], *points[:by]]
    numbers = {n: (n - 1 - by) % count + 1 for n in range(1, count + 1)}
    there = figures(points, pitches, gables, settings, catalogue)
    back = figures(
        again, {numbers[n]: p for n, p in pitches.items()}, [numbers[n] for n in gables], settings, catalogue
    )
    assert there == back


def test_mirror_changes_hands_only(roof: Typed, settings: Settings, catalogue: Catalogue) -> None:
    points, pitches, gables = roof
    # mirrored in x the points run clockwise; typed backwards, edge n of N comes to be edge N - n
    count = len(points)
    mirrored = [(-x, y) for x, y in reversed(points)]
    numbers = {n: (count - n - 1) % count + 1 for n in range(1, count + 1)}
    there = figures(points, pitches, gables, settings, catalogue)
    back = figures(
        mirrored, {numbers[n]: p for n, p in pitches.items()}, [numbers[n] for n in gables], settings, catalogue
    )
    swap = {"left": "right", "right": "left", "": ""}

    def swapped(item: str) -> str:
        for hand in ("left", "right"):
            if item.endswith(f"_{hand}"):
                return item.removesuffix(hand) + swap[hand]
        return item

    assert Counter({(swapped(item), mm): n for (item, mm), n in back["runs"].items()}) == there["runs"]
    assert Counter({(kind, swap[hand]): n for (kind, hand), n in back["hands"].items()}) == there["hands"]
    assert Counter({(swapped(i), u, f): n for (i, u, f), n in back["bought"].items()}) == there["bought"]
    assert back["joints"] == there["joints"]
