"""Moving the sides of a plane by their trims: vanishing sides, steps, necks, holes. Figures worked by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import radians, tan

import pytest

from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame, RoofEdge, RoofPlane
from takeoff.shape.strips import sheeted_area
from takeoff.shape.strips.sheeted_area import SheetedArea, move_sides

FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def edge(name: str, a: Point2, b: Point2) -> RoofEdge:
    return RoofEdge(name, "main", EdgeKind.HIP, "N1", "N2", (*a, 0.0), (*b, 0.0), ("P1",), 1.0, 1.0, 0.0, 180.0, True)


def move(rings: Sequence[Ring2], trims: Mapping[str, float], edges: Sequence[RoofEdge] | None = None) -> SheetedArea:
    """Sides are named by ring and number, r0s1 the first of the outer ring, unless edges are given."""
    named = [
        edge(f"r{r}s{s}", a, b)
        for r, ring in enumerate(rings)
        for s, (a, b) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True), start=1)
    ]
    area = signed_area(rings[0])
    plane = RoofPlane("P1", "main", FLAT, tuple(rings), (1,), 1, 25.0, 180.0, area, area)
    return move_sides(plane, edges or named, trims)


def box(u0: float, v0: float, u1: float, v1: float) -> Ring2:
    return ((u0, v0), (u1, v0), (u1, v1), (u0, v1))


def test_each_side_moves_by_its_own_trim() -> None:
    """4000 x 3000 with + 50, - 25, - 10, 0: 3975 wide, 3040 high."""
    found = move([box(0, 0, 4000, 3000)], {"r0s1": 50.0, "r0s2": -25.0, "r0s3": -10.0})
    assert found.rings == (((0.0, -50.0), (3975.0, -50.0), (3975.0, 2990.0), (0.0, 2990.0)),)
    assert found.edges == (("r0s1", "r0s2", "r0s3", "r0s4"),)


def test_rings_typed_the_other_way_round_move_the_same() -> None:
    """Names follow the points, so the sides of the reversed ring are numbered 3, 2, 1, 4."""
    turned = tuple(reversed(box(0, 0, 4000, 3000)))
    found = move([turned], {"r0s3": 50.0})
    assert found.area_mm2 == pytest.approx(4000.0 * 3050.0)
    assert min(v for _, v in found.rings[0]) == -50.0


def test_a_ridge_shorter_than_its_hips_trims_vanishes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hips at 45 degrees with a ridge of 15: moved in by 25 square they meet 1972 up, below the ridge's own 1975. Foot
    4015; each hip moves 25 sqrt 2 = 35.36 along it: base 3944.3, a triangle half as high.

    No general clipping is called for that.
    """
    monkeypatch.setattr(sheeted_area, "_taken_apart", None)
    ring: Ring2 = ((0.0, 0.0), (4015.0, 0.0), (2015.0, 2000.0), (2000.0, 2000.0))
    found = move([ring], {"r0s2": -25.0, "r0s3": -25.0, "r0s4": -25.0})
    base = 4015.0 - 50.0 * 2.0**0.5
    assert len(found.rings[0]) == 3
    assert found.area_mm2 == pytest.approx(base * base / 4.0)
    assert found.edges == (("r0s1", "r0s2", "r0s4"),)


def test_sides_in_one_line_with_different_trims_step() -> None:
    """Half of the foot goes 50 past its line, the other half stops 100 short: 150 of step at u = 3000."""
    ring = box(0, 0, 6000, 3000)
    edges = [
        edge("eave", (0.0, 0.0), (3000.0, 0.0)),
        edge("gutter", (3000.0, 0.0), (6000.0, 0.0)),
        edge("head", (0.0, 3000.0), (6000.0, 3000.0)),
    ]
    found = move([ring], {"eave": 50.0, "gutter": -100.0}, edges)
    assert found.area_mm2 == pytest.approx(6000.0 * 3000.0 + 3000.0 * 50.0 - 3000.0 * 100.0)
    assert {(3000.0, -50.0), (3000.0, 100.0)} <= set(found.rings[0])
    assert found.edges[0][found.rings[0].index((3000.0, -50.0))] == ""


def test_a_neck_narrower_than_its_trims_parts_the_plane() -> None:
    """Two squares of 1000 joined by a neck 40 wide, its sides moved in by 25 each: two squares are left."""
    ring: Ring2 = (
        (0.0, 0.0), (1000.0, 0.0), (1000.0, 480.0), (2000.0, 480.0), (2000.0, 0.0), (3000.0, 0.0), (3000.0, 1000.0),
        (2000.0, 1000.0), (2000.0, 520.0), (1000.0, 520.0), (1000.0, 1000.0), (0.0, 1000.0),
    )  # fmt: skip
    found = move([ring], {"r0s3": -25.0, "r0s9": -25.0})
    assert sorted(round(signed_area(ring)) for ring in found.rings) == [1_000_000, 1_000_000]


def test_holes_move_into_the_plane() -> None:
    """A hole 600 x 400 whose four sides stop sheets 25 short: 650 x 450 less."""
    hole = tuple(reversed(box(1000, 1000, 1600, 1400)))
    found = move([box(0, 0, 4000, 3000), hole], {f"r1s{n}": -25.0 for n in range(1, 5)})
    assert found.area_mm2 == pytest.approx(4000.0 * 3000.0 - 650.0 * 450.0)
    assert signed_area(found.rings[1]) < 0.0


def test_a_hole_that_its_trims_close_goes() -> None:
    hole = tuple(reversed(box(1000, 1000, 1040, 1400)))
    found = move([box(0, 0, 4000, 3000), hole], {"r1s2": 25.0, "r1s4": 25.0, "r1s1": 25.0, "r1s3": 25.0})
    assert len(found.rings) == 1


def test_nothing_is_left_of_a_plane_narrower_than_its_trims() -> None:
    assert move([box(0, 0, 40, 3000)], {"r0s2": -25.0, "r0s4": -25.0}).rings == ()


def test_reflex_corners_move_with_both_sides() -> None:
    """An L 4000 x 4000 less 2000 x 2000, all sides + 10: (4020^2) - (2000^2), the notch keeps its size and shifts."""
    ring: Ring2 = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 2000.0), (2000.0, 2000.0), (2000.0, 4000.0), (0.0, 4000.0))
    found = move([ring], {f"r0s{n}": 10.0 for n in range(1, 7)})
    assert found.area_mm2 == pytest.approx(4020.0**2 - 2000.0**2)
    assert (2010.0, 2010.0) in found.rings[0]


@pytest.mark.parametrize(("turn_deg", "points"), [(2.0, 6), (4.0, 5)])
def test_sides_nearly_in_line_step_rather_than_meet_far_off(turn_deg: float, points: int) -> None:
    """Two sides of a foot that turn by an angle a, one of them 50 past its line: they meet 50 / sin a along it, 1433 at 2
    degrees and 717 at 4. Further off than 20 trims, 1000, the boundary steps instead."""
    drop = 5000.0 * tan(radians(turn_deg))
    ring: Ring2 = ((0.0, 0.0), (5000.0, 0.0), (10000.0, drop), (10000.0, 4000.0), (0.0, 4000.0))
    found = move([ring], {"r0s1": 50.0})
    assert len(found.rings[0]) == points
    foot = [point for point in found.rings[0] if 1000.0 < point[0] < 9000.0]
    if points == 5:
        assert foot == [pytest.approx((5000.0 - 50.0 / tan(radians(turn_deg)), -50.0))]
    else:
        assert foot == [pytest.approx((5000.0, -50.0)), pytest.approx((5000.0, 0.0))]
