"""Rings of a job put in order together: where they are counted from, what faces what, what is said; figures by hand."""

from __future__ import annotations

from math import pi, radians
from typing import Any

import pytest

from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.shape.outline_order import put_in_order as putting
from takeoff.shape.outline_order.corners import Corners
from takeoff.shape.outline_order.depths import _Depth, _depths, _facing
from takeoff.shape.outline_order.directions import _Family, _related
from takeoff.shape.outline_order.means import gathered, least_change, settled_mean
from takeoff.shape.outline_order.plan_sides import Direction, Line, PlanRing, sides_of
from takeoff.shape.outline_order.put_in_order import OrderedRings, order_outlines

Point = tuple[float, float]
HOUSE: list[Point] = [(100.0, 200.0), (9100.0, 200.0), (9100.0, 6200.0), (100.0, 6200.0)]
COURT: list[Point] = [(3000.0, 2000.0), (3000.0, 3000.0), (5000.0, 3000.0), (5000.0, 2000.0)]


def job(name: str = "main", **more: Any) -> RoofJob:
    return RoofJob.model_validate({"name": name, "pitch_deg": 25, **more})


def test_rings_that_are_in_order_stay_as_typed() -> None:
    """With the first point again where it was typed so; a roof of a model has none."""
    first = job(wall_line=[*HOUSE, HOUSE[0]], courtyards=[COURT], eave_overhang_mm=600)
    second = job("porch", outline=[(x + 20000.0, y) for x, y in HOUSE])
    found = order_outlines([first, job("model", shape={"file": "house.obj"}), second])
    assert found == (
        OrderedRings((0.0, 0.0, 0.0), ((*HOUSE, HOUSE[0]), tuple(COURT))), None, OrderedRings((0.0, 0.0, 0.0), (tuple((x + 20000.0, y) for x, y in HOUSE),)),
    )  # fmt: skip
    assert order_outlines([job("model", shape={"file": "house.obj"})]) == (None,)


@pytest.mark.parametrize(
    ("points", "origin"),
    [
        ([], (0.0, 0.0)), ([(1e6, -1e6)], (0.0, 0.0)), ([(1e6 + 1.0, 5.0), (3e6, 9.0)], (1e6, 0.0)), ([(5.0, -1e6 - 1.0), (9.0, 7.0)], (0.0, -2e6)),
        ([(2.5e9, 5.4999e9), (2.6e9, 5.5e9)], (2.5e9, 5.499e9)),
    ],
)  # fmt: skip
def test_plans_on_a_survey_grid_are_counted_from_a_round_point(points: list[Point], origin: Point) -> None:
    assert putting._origin(points) == (*origin, 0.0)


def test_every_roof_of_a_survey_is_counted_from_one_point() -> None:
    def away(x: float) -> list[Point]:
        return [(px + 2e6 + x, py + 5e6) for px, py in HOUSE]

    for roof in order_outlines([job(wall_line=away(0.0)), job("porch", outline=away(20000.0))]):
        assert roof is not None
        assert roof.origin_mm == (2e6, 5e6, 0.0)
        assert roof.rings[0][0][1] == 200.0


def test_overhangs_count_where_a_wall_line_is_typed(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the number of each edge, courtyards counted on; a gable has its verge's."""
    given: list[PlanRing] = []
    monkeypatch.setattr(putting, "_in_order", lambda rings: given.extend(rings) or [ring.points for ring in rings])
    edges = {2: {"kind": "gable"}, 6: {"eave_overhang_mm": 100}}
    order_outlines(
        [
            job(wall_line=HOUSE, courtyards=[COURT], eave_overhang_mm=600, verge_overhang_mm=300, edges=edges),
            job("porch", outline=HOUSE, eave_overhang_mm=9),
        ]
    )
    assert given == [
        PlanRing(0, tuple(HOUSE), False, (600.0, 300.0, 600.0, 600.0)), PlanRing(0, tuple(COURT), True, (600.0, 100.0, 600.0, 600.0)),
        PlanRing(1, tuple(HOUSE), False, (0.0,) * 4),
    ]  # fmt: skip


@pytest.mark.parametrize(("off", "told"), [(1.0, False), (1.1, True)])
def test_corners_put_in_order_are_told_with_both_their_edges(off: float, told: bool) -> None:
    """Point 1 of the first court, whose edges are numbered from 5."""
    typed = [PlanRing(0, tuple(HOUSE), False, (0.0,) * 4), PlanRing(0, tuple(COURT), True, (0.0,) * 4)]
    moved = [tuple(HOUSE), ((COURT[0][0] + 0.6 * off, COURT[0][1] - 0.8 * off), *COURT[1:])]
    text = "roof main: courtyard 1: point 1 was moved by 1.1 mm: edges 8 and 5 lie in line, parallel or square with others but for that"
    advice = "if it is meant as typed, the difference is too small to build; measure on site"
    due = Finding("corner-put-in-order", Severity.FIXED, text, advice, ("edge 8", "edge 5"))
    assert putting._findings(job(wall_line=HOUSE), typed, moved) == ((due,) if told else ())
    outer = [(HOUSE[0], HOUSE[1], (HOUSE[2][0], HOUSE[2][1] + 2.0), HOUSE[3]), tuple(COURT)]
    for what, given in (("wall line", {"wall_line": HOUSE}), ("outline", {"outline": HOUSE})):
        (found,) = putting._findings(job(**given), typed, outer)
        assert found.text.startswith(f"roof main: {what}: point 3 was moved by 2.0 mm: edges 2 and 3 lie")


FLAT, ACROSS = Direction(0, 0, (1.0, 0.0)), Direction(0, 1, (1.0, 0.0))


def test_depths_of_a_roof_with_its_overhangs() -> None:
    """An L: 9 m wide; 6 m deep at its left, 4 m at its right. From each foot to the nearest head over it."""
    points = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (5000.0, 4000.0), (5000.0, 6000.0), (0.0, 6000.0))
    ring = PlanRing(0, points, False, (600.0, 300.0, 450.0, 10.0, 500.0, 200.0))
    sides = sides_of([ring, PlanRing(1, points, False, (0.0,) * 6)])
    lines = [
        Line(FLAT, 0.0, (0,)),
        Line(FLAT, 4000.0, (2,)),
        Line(FLAT, 6000.0, (4,)),
        Line(ACROSS, -9000.0, (1,)),
        Line(ACROSS, -5000.0, (3,)),
        Line(ACROSS, 0.0, (5,)),
    ]
    line_of = {0: 0, 2: 1, 4: 2, 1: 3, 3: 4, 5: 5}
    assert sorted(_facing(sides, lines, line_of, 0)) == [(4000.0, 2), (6000.0, 4)]
    assert sorted(_facing(sides, lines, line_of, 1)) == [(9000.0, 5)]
    assert sorted(_facing(sides, lines, line_of, 3)) == [(5000.0, 5)]
    assert sorted(_facing(sides, lines, line_of, 2)) == []  # beside the head of the deep part, not under it
    assert _depths(sides, lines, line_of) == [
        _Depth(0, 1, 1050.0, 5050.0),
        _Depth(3, 5, 500.0, 9500.0),
        _Depth(4, 5, 210.0, 5210.0),
    ]


@pytest.mark.parametrize(
    ("wide", "over", "faces"),
    [(1000.0, 301.0, True), (1000.0, 299.0, False), (400.0, 201.0, True), (400.0, 199.0, False)],
)
def test_sides_face_each_other_over_300_mm_or_half_of_them(wide: float, over: float, faces: bool) -> None:
    """A side from 0 to `wide` and one over it that begins where so much of it is left, and ends far out."""
    low = PlanRing(0, ((0.0, 0.0), (wide, 0.0), (wide, 900.0), (0.0, 900.0)), False, (0.0,) * 4)
    high = PlanRing(
        0, ((wide - over, 3000.0), (9000.0, 3000.0), (9000.0, 4000.0), (wide - over, 4000.0)), False, (0.0,) * 4
    )
    sides = sides_of([low, high])
    lines = [Line(FLAT, 0.0, (0,)), Line(FLAT, 4000.0, (6,))]
    assert list(_facing(sides, lines, {0: 0, 6: 1}, 0)) == ([(4000.0, 6)] if faces else [])
    other = sides_of([low, PlanRing(1, high.points, False, (0.0,) * 4)])
    assert list(_facing(other, lines, {0: 0, 6: 1}, 0)) == []
    near = [lines[0], Line(FLAT, 6.0, (6,))]  # no further than lines that are one
    assert list(_facing(sides, near, {0: 0, 6: 1}, 0)) == []


def family(angle: float, longest: float = 4000.0) -> _Family:
    return _Family(radians(angle), (0,), longest)


@pytest.mark.parametrize(
    ("angles", "found"),
    [
        ((10.0, 55.04), (10.0, 55.0)), ((10.0, -35.04), (10.0, -35.0)), ((10.0, 55.1), (10.0, 55.1)), ((10.0, 54.96), (10.0, 55.0)),
        # mirrored in the first: 20 over and 20 under it
        ((10.0, 30.0, -10.04), (10.0, 30.0, -10.0)), ((10.0, 30.0, -10.1), (10.0, 30.0, -10.1)),
    ],
)  # fmt: skip
def test_families_set_by_the_first(angles: tuple[float, ...], found: tuple[float, ...]) -> None:
    """Within 3 mm at the ends of 4 m: 0.086 degrees."""
    result = _related([family(angle) for angle in angles], 3.0)
    off = [
        (one.angle - radians(due)) % (pi / 2.0) for one, due in zip(result, found, strict=True)
    ]  # an axis has four ways
    assert [min(turn, pi / 2.0 - turn) for turn in off] == pytest.approx([0.0] * len(found), abs=1e-9)
    changed = angles != found
    assert [one.related for one in result] == [False, *[changed] * (len(found) - 1)]
    far = _related([family(0.0), family(45.0 + 2.1, 10.0)], 3.0)
    assert far[1].angle == radians(47.1)  # 2 degrees at most, however short


def test_points_between_two_sides_of_one_line() -> None:
    """A wall along (3, 4, 5) in three sides: its points at 3 m and 6.002 m along it; a line square to it at 6 m takes the second,
    none is near the first."""
    axis = (0.6, 0.8)

    def at(s: float, off: float) -> Point:
        return (0.6 * s - 0.8 * off, 0.8 * s + 0.6 * off)

    ring = PlanRing(
        0,
        (
            at(0.0, 1.0),
            at(3000.0, 0.5),
            at(6002.0, 0.0),
            at(9000.0, 1.0),
            at(9000.0, 5000.0),
            at(6000.0, 5000.0),
            at(6000.0, 4000.0),
            at(0.0, 4000.0),
        ),
        False,
        (0.0,) * 8,
    )
    sides = sides_of([ring])
    along, square = Direction(0, 0, axis), Direction(0, 1, axis)
    lines = [
        Line(along, 0.0, (0, 1, 2)),
        Line(square, -9000.0, (3,)),
        Line(along, 5000.0, (4,)),
        Line(square, -6000.0, (5,)),
        Line(along, 4000.0, (6,)),
        Line(square, 0.0, (7,)),
    ]
    placed = Corners(sides).placed(lines, 0.5)
    due = [
        at(0.0, 0.0),
        at(3000.0, 0.0),
        at(6000.0, 0.0),
        at(9000.0, 0.0),
        at(9000.0, 5000.0),
        at(6000.0, 5000.0),
        at(6000.0, 4000.0),
        at(0.0, 4000.0),
    ]
    assert [pytest.approx(point) for point in due] == placed
    # what moves by less than a millionth stays to the bit
    assert placed[4] == ring.points[4]


def test_groups_means_and_changes_with_weights() -> None:
    assert gathered([1.0, 2.0, 3.1, 9.0], [1.0, 1.0, 5.0, 1.0], 1.1) == [[2, 1], [0], [3]]
    assert gathered([1.0, 2.0, 3.0], [1.0, 3.0, 1.0], 1.0, lambda a, b: {a, b} == {0, 1}) == [[1, 2], [0]]
    assert settled_mean((1.0, 2.0, 9.0), (1.0, 1.0, 1.0), (1.0, 3.0, 0.0)) == pytest.approx(1.75)
    assert settled_mean((0.0, 0.0, 0.1, 0.0, 9.0), (1.0,) * 5) == pytest.approx(0.0, abs=1e-9)
    # 10 and 13 to be one, the second three times as heavy: 12.25; then a third 1 more than the first
    assert least_change([10.0, 13.0], [1.0, 3.0], [({0: 1.0, 1: -1.0}, 0.0)]) == pytest.approx([12.25, 12.25])
    both = [({0: 1.0, 1: -1.0}, 0.0), ({2: 1.0, 0: -1.0}, 1.0), ({2: 1.0, 1: -1.0}, 7.0)]  # the last contradicts
    found = least_change([10.0, 13.0, 15.0], [1.0, 3.0, 2.0], both)
    assert found == pytest.approx([77.0 / 6.0, 77.0 / 6.0, 83.0 / 6.0])  # (10 + 39 + 2 x 14) / 6
