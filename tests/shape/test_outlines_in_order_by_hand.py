"""Outlines moved out, put in order and solved, where they lie off the origin or a little out of line: figures by hand."""

from __future__ import annotations

from math import cos, sin
from typing import Any

import pytest
from made_roofs import box

from takeoff.basics.errors import ShapeError
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.outline import roof_from_outline as raising
from takeoff.shape.outline.outline_checks import CheckedRings
from takeoff.shape.outline.rises import edge_rises
from takeoff.shape.outline.short_edges import _without_repeats, join_short_edges
from takeoff.shape.outline_order.depths import _outward
from takeoff.shape.outline_order.directions import _mean_angle, directions
from takeoff.shape.outline_order.plan_lines import lines_of
from takeoff.shape.outline_order.plan_sides import Direction, Line, PlanRing, sides_of

FLAT, ACROSS = Direction(0, 0, (1.0, 0.0)), Direction(0, 1, (1.0, 0.0))


def ring(*points: tuple[float, float]) -> PlanRing:
    return PlanRing(0, points, False, (0.0,) * len(points))


@pytest.mark.parametrize("move", [(0.0, 0.0), (1000.0, 2000.0), (-9000.0, -7000.0)])
@pytest.mark.parametrize("back", [False, True])
def test_which_way_is_out_wherever_an_outline_lies(move: tuple[float, float], back: bool) -> None:
    """Offs grow to the north for lines along x, to the west for lines along y; the roof lies within, whichever way it is walked."""
    points = [(x + move[0], y + move[1]) for x, y in box(0.0, 0.0, 900.0, 400.0)]
    sides = sides_of([ring(*(points[::-1] if back else points))])
    rows = [Line(FLAT if side.a[1] == side.b[1] else ACROSS, 0.0, ()) for side in sides]
    outward = {
        (sum(side.a) + sum(side.b)): _outward(sides, row, k)
        for k, (side, row) in enumerate(zip(sides, rows, strict=True))
    }
    south, east, north, west = (sum(a) + sum(b) for a, b in zip(points, (*points[1:], points[0]), strict=True))
    assert outward == {south: -1.0, east: -1.0, north: 1.0, west: 1.0}


def test_a_step_of_under_a_millimetre_has_a_direction_too() -> None:
    sides = sides_of(
        [ring((0.0, 0.0), (9000.0, 0.0), (9000.0, 5000.0), (4000.0, 5000.0), (4000.0, 5000.8), (0.0, 5000.8))]
    )
    found, _ = directions(sides, frozenset())
    assert [one.quarters if one else None for one in found] == [0, 1, 2, 1, 2, 3]


def test_the_mean_of_sides_that_lean_is_where_they_lean() -> None:
    """Off 0.1 by 0.01, 0.02 and 0.025; they weigh as their lengths squared: (4 x 0.01 + 0.02 + 0.025) / 6."""
    points = [(0.0, 0.0)]
    for size, angle in ((2000.0, 0.11), (1000.0, 0.12), (1000.0, 0.125), (5000.0, 2.0)):
        points.append((points[-1][0] + size * cos(angle), points[-1][1] + size * sin(angle)))
    sides = sides_of([ring(*points)])
    assert _mean_angle(sides, [0, 1, 2], 0.1) == pytest.approx(0.1 + 0.085 / 6.0)


@pytest.mark.parametrize("first", [5000.0, 3000.0])
@pytest.mark.parametrize("flip", [False, True])
def test_lines_on_either_side_of_a_jog_are_two(first: float, flip: bool) -> None:
    """1.5 mm apart, but a side stands between them that was drawn: whichever of the two is the longer, and either way round."""
    points = [(0.0, 0.0), (first, 0.0), (first, 1.5), (8000.0, 1.5), (8000.0, 6000.0), (0.0, 6000.0)]
    sides = sides_of([ring(*((8000.0 - x, y) for x, y in points[::-1])) if flip else ring(*points)])
    turned = tuple(FLAT if side.a[1] == side.b[1] else ACROSS for side in sides)
    found = lines_of(sides, turned, 0.0, frozenset(range(6)))
    low = [line for line in found if abs(line.off_mm) < 100.0 and line.direction == FLAT]
    assert sorted(line.off_mm for line in low) == [0.0, 1.5]
    # without the jog they are one
    apart = [
        PlanRing(0, box(0.0, 0.0, 3000.0, 6000.0), False, (0.0,) * 4),
        PlanRing(1, box(4000.0, 1.5, 8000.0, 6000.0), False, (0.0,) * 4),
    ]
    two = sides_of(apart)
    one = lines_of(two, tuple(FLAT if side.a[1] == side.b[1] else ACROSS for side in two), 0.0, frozenset(range(8)))
    assert (
        [line.off_mm for line in one if 0 in line.sides] == [line.off_mm for line in one if 4 in line.sides] == [0.75]
    )


def roof_of(**given: Any) -> Any:
    job = Job.model_validate({"job": "x", "roofs": [{"fascia_height_mm": 2400, **given}]})
    return raising.roof_from_outline(job.roofs[0], 0.0, resolve_settings(job))


def test_edges_in_one_line_that_rise_differently_are_noted_with_their_roof() -> None:
    outline = [(0, 0), (4000, 0), (9000, 0), (9000, 6000), (0, 6000)]
    found = roof_of(name="main", outline=outline, pitch_deg=25, edges={2: {"pitch_deg": 35}})
    text = "roof main: Edges 1 and 2 are in one line but rise differently: an upright step stands between."
    assert [finding for finding in found.findings if finding.code == "step_at_collinear_edges"] == [
        Finding("step_at_collinear_edges", Severity.NOTE, text, refs=("edge 1", "edge 2"))
    ]


def test_an_edge_that_overhangs_swallow_is_told_with_its_roof() -> None:
    walls = (
        (0.0, 0.0),
        (4000.0, 0.0),
        (5800.0, 2000.0),
        (6200.0, 2000.0),
        (8000.0, 0.0),
        (12000.0, 0.0),
        (12000.0, 8000.0),
        (0.0, 8000.0),
    )
    job = RoofJob(name="main", wall_line=list(walls), eave_overhang_mm=600.0, pitch_deg=25.0)
    rises, _ = edge_rises(job, 8, 2400.0)
    with pytest.raises(ShapeError) as caught:
        raising._outline(job, CheckedRings((walls,), (1,), ()), rises)
    (fault,) = caught.value.faults
    assert (
        str(fault)
        == "roof main: edge 3 (400 mm) is swallowed by the overhangs of its neighbours; give them less overhang, or give the outline itself"
    )
    assert fault.path == ("roofs", "main", "edge", 3)  # type: ignore[attr-defined]


def test_a_face_that_short_edges_leave_two_corners_is_left_out() -> None:
    far = OutlineSides(Plan("main", (0.0, 0.0, 0.0), (box(-9e4, -9e4, 9e4, 9e4),), edge_numbers=((1, 2, 3, 4),)))
    up = (0.0, 0.0, 1.0)
    sliver = Face((((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (1000.0, 2.0, 0.0)),), up)
    holed = Face(
        (
            ((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (500.0, 900.0, 0.0)),
            ((400.0, 300.0, 0.0), (401.0, 302.0, 0.0), (600.0, 300.0, 0.0)),
        ),
        up,
    )
    found, count = join_short_edges([sliver, holed], far, 3.0)
    assert count == 2
    assert [face.rings_mm for face in found] == [(((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (500.0, 900.0, 0.0)),)]


def test_rings_without_repeats_wherever_they_begin() -> None:
    a, b, c, d = ((float(k), 0.0, 0.0) for k in range(4))
    for given, kept in (
        ([a, b, b, c, a], (a, b, c)), ([a, a, a], (a,)), ([a, b, a, c], (a, c)), ([a, b, c, d, c, b], (a, b)), ([a, a], (a,)), ([a], (a,)), ([], ()),
        ([a, b, c, a, a], (a, b, c)),
    ):  # fmt: skip
        assert _without_repeats(given) == kept
