"""Strips and slabs: areas cut into sheets, worked by hand on shapes with steps, arms and holes."""

from __future__ import annotations

import pytest

from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Ring2
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.slabs import (
    Slab,
    between_heights,
    connected,
    cut_slabs,
    highest,
    lowest,
    rings_of,
    slabs_area,
)
from takeoff.shape.strips.strips import StripRun, Widths, cut_strips, strip_count

CORRUGATED = Widths(762.0, 845.0)


def area(*rings: Ring2) -> SheetedArea:
    return SheetedArea(rings, tuple(tuple(f"s{n}" for n in range(len(ring))) for ring in rings))


def spans(runs: tuple[StripRun, ...]) -> list[tuple[int, int, float, float]]:
    return [(r.strip, r.run, round(lowest(r.sheet), 3), round(highest(r.sheet), 3)) for r in runs]


def test_a_sheet_does_not_climb_a_step_in_its_lap_width() -> None:
    """3000 high to u = 800, 5000 beyond: the first sheet, 845 wide, ends at 3000; the second starts the high part."""
    ring: Ring2 = ((0.0, 0.0), (2000.0, 0.0), (2000.0, 5000.0), (800.0, 5000.0), (800.0, 3000.0), (0.0, 3000.0))
    assert spans(cut_strips(area(ring), 0.0, "left", CORRUGATED)) == [
        (1, 1, 0.0, 3000.0),
        (2, 1, 0.0, 5000.0),
        (3, 1, 0.0, 5000.0),
    ]


def test_a_sheet_does_not_go_down_a_step_in_its_lap_width() -> None:
    ring: Ring2 = ((0.0, 0.0), (800.0, 0.0), (800.0, -2000.0), (2000.0, -2000.0), (2000.0, 3000.0), (0.0, 3000.0))
    runs = cut_strips(area(ring), 0.0, "left", CORRUGATED)
    assert spans(runs)[:2] == [(1, 1, 0.0, 3000.0), (2, 1, -2000.0, 3000.0)]


def test_on_a_rake_the_lap_width_is_part_of_the_reach() -> None:
    """A top rising 1 in 1: the first sheet reaches 845 up, not 762."""
    ring: Ring2 = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 3000.0))
    assert spans(cut_strips(area(ring), 0.0, "left", CORRUGATED))[0] == (1, 1, 0.0, 845.0)


def test_an_arm_within_the_lap_width_needs_no_sheet() -> None:
    """A spine 700 wide and 4000 high with a lower arm to u = 800 and an upper arm to 2200. In strip 2 the lower arm's
    38 mm lie in the lap of the first sheet; counted by cover they are a sheet of their own."""
    ring: Ring2 = (
        (0.0, 0.0), (800.0, 0.0), (800.0, 1000.0), (700.0, 1000.0), (700.0, 3000.0), (2200.0, 3000.0),
        (2200.0, 4000.0), (0.0, 4000.0),
    )  # fmt: skip
    runs = cut_strips(area(ring), 0.0, "left", CORRUGATED)
    assert spans(runs) == [(1, 1, 0.0, 4000.0), (2, 1, 3000.0, 4000.0), (3, 1, 3000.0, 4000.0)]
    assert sum(slabs_area(run.cover) for run in runs) == pytest.approx(signed_area(ring))
    strict = cut_strips(area(ring), 0.0, "left", Widths(762.0, 845.0, by_overall=False))
    assert [(run.strip, run.run) for run in strict] == [(1, 1), (2, 1), (2, 2), (3, 1)]


def test_a_start_outside_the_area_makes_the_first_sheet_narrow() -> None:
    ring: Ring2 = ((0.0, 0.0), (1500.0, 0.0), (1500.0, 1000.0), (0.0, 1000.0))
    first, second, *rest = cut_strips(area(ring), -152.4, "left", CORRUGATED)
    assert (min(s.u0 for s in first.sheet), max(s.u1 for s in first.sheet)) == pytest.approx((0.0, 692.6))
    assert max(slab.u1 for slab in first.cover) == pytest.approx(609.6)
    assert max(slab.u1 for slab in second.sheet) == pytest.approx(-152.4 + 762.0 + 845.0)
    assert len(rest) == 1


def test_laid_from_the_right_is_the_mirror_image() -> None:
    ring: Ring2 = ((0.0, 0.0), (5000.0, 0.0), (4000.0, 3000.0), (500.0, 2000.0))
    mirror = tuple((5000.0 - u, v) for u, v in reversed(ring))
    left = cut_strips(area(ring), 0.0, "left", CORRUGATED)
    right = cut_strips(area(mirror), 5000.0, "right", CORRUGATED)
    assert spans(left) == spans(right)
    for a, b in zip(left, right, strict=True):
        assert max(s.u1 for s in b.sheet) == pytest.approx(5000.0 - min(s.u0 for s in a.sheet))


def test_top_and_foot_know_their_edges_from_either_side() -> None:
    ring: Ring2 = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 1000.0))
    for side, start in (("left", 0.0), ("right", 3000.0)):
        runs = cut_strips(area(ring), start, side, CORRUGATED)
        assert {(slab.foot_edge, slab.top_edge) for run in runs for slab in run.sheet} == {("s0", "s2")}


@pytest.mark.parametrize(("width", "count"), [(1.0, 1), (845.0, 1), (845.4, 1), (846.0, 2), (1607.0, 2), (1608.0, 3)])
def test_counts(width: float, count: int) -> None:
    assert strip_count(width, CORRUGATED) == count


def test_slabs_of_an_area_with_a_hole_give_its_rings_back() -> None:
    outer: Ring2 = ((0.0, 0.0), (4000.0, 0.0), (3000.0, 3000.0), (0.0, 2500.0))
    hole: Ring2 = ((1000.0, 500.0), (800.0, 1500.0), (2000.0, 1200.0))
    slabs = cut_slabs((outer, hole), (("",) * 4, ("",) * 3), (700.0, 1234.5, 1999.0))
    whole = signed_area(outer) - abs(signed_area(hole))
    assert slabs_area(slabs) == pytest.approx(whole)
    rings = rings_of(slabs)
    assert [len(ring) for ring in rings] == [4, 3]
    assert [signed_area(ring) > 0.0 for ring in rings] == [True, False]
    assert sum(signed_area(ring) for ring in rings) == pytest.approx(whole)


def test_the_part_of_a_slab_between_heights() -> None:
    """A triangle rising from 0 to 1000 over 1000: between 200 and 600 it has (600^2 - 200^2) / 2 less what lies left:
    area 0.5 x 1000^2 - 0.5 x 400^2 above 600 taken off, and 200 x 800 + 200^2 / 2 below 200 taken off."""
    slab = Slab(0.0, 1000.0, 0.0, 0.0, 0.0, 1000.0, "foot", "top")
    parts = between_heights(slab, 200.0, 600.0)
    assert slabs_area(parts) == pytest.approx(500_000.0 - 0.5 * 400.0**2 - (1000.0 * 200.0 - 0.5 * 200.0**2))
    assert (lowest(parts), highest(parts)) == (200.0, 600.0)
    assert {part.foot_edge for part in parts} == {""}
    assert between_heights(slab, 2000.0, 3000.0) == ()
    assert between_heights(slab, -10.0, 3000.0) == (slab,)


def test_parts_that_touch_at_a_point_stay_apart() -> None:
    left = Slab(0.0, 1000.0, 0.0, 0.0, 1000.0, 1000.0)
    right = Slab(1000.0, 2000.0, 1000.0, 1000.0, 2000.0, 2000.0)
    assert len(connected((left, right))) == 2
    assert sorted(signed_area(ring) for ring in rings_of((left, right))) == [1e6, 1e6]
