"""Water that falls on to roofs with an origin and a slope of their own, and walls under higher roofs: figures by hand."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box, edge, rising, roof

from takeoff.model.edge_kinds import EdgeKind
from takeoff.shape.water import falling, wall_water
from takeoff.shape.water.fall_lines import Curtain, FallLines, _falls_from
from takeoff.shape.water.falling import _apart, _crossing, fall_on, roof_over, roof_under
from takeoff.shape.water.wall_water import WallRule, _inwards, _off_wall, tops_under

E = EdgeKind
ORIGIN = (500.0, -300.0, 0.0)


def slope(name: str = "low", z: float = 1000.0, origin: Any = ORIGIN) -> Any:
    """A lean-to of 8 x 6 m that rises by 1 in 2 along y from z at y = 2000, by its own origin; E1 is its eave."""
    ring = box(1000.0, 2000.0, 9000.0, 8000.0)
    plane = rising("P1", z - 1000.0, 0.0, 0.5, ring, roof=name)
    ends = [(x, y, z - 1000.0 + y / 2.0) for x, y in ring]
    kinds = (E.EAVE, E.VERGE, E.HEAD, E.VERGE)
    sides = tuple(
        edge(f"E{k + 1}", kinds[k], ends[k], ends[(k + 1) % 4], roof=name, low=f"N{k}", high=f"N{(k + 1) % 4}") for k in range(4)
    )  # fmt: skip
    return roof(name, origin_mm=origin, planes=(plane,), edges=sides, outline_mm=(ring,))


def landed(water: Curtain, *roofs: Any) -> list[tuple[str, Any, Any, float, float]]:
    lines = [FallLines(one, frozenset({"E1"})) for one in roofs]
    return [
        (owner.roof.name, c.a, c.b, c.at_a_mm2, c.at_b_mm2)
        for owner, _, name, c in fall_on(water, lines)
        if name == "E1"
    ]


def curtain(a: tuple[float, float], b: tuple[float, float], at_a: float = 4e6, at_b: float = 1e6) -> Curtain:
    """Counted from the plan's origin."""
    return Curtain((a[0] + 500.0, a[1] - 300.0, 9000.0), (b[0] + 500.0, b[1] - 300.0, 9000.0), at_a, at_b, 10.0)


@pytest.mark.parametrize(
    ("a", "b", "from_x", "to_x", "share"),
    [
        ((2000.0, 5000.0), (4000.0, 5000.0), 2000.0, 4000.0, (0.0, 1.0)), ((2000.0, 3000.0), (4000.0, 7000.0), 2000.0, 4000.0, (0.0, 1.0)),
        ((8000.0, 5000.0), (11000.0, 5000.0), 8000.0, 9000.0, (0.0, 1.0 / 3.0)), ((4000.0, 10000.0), (4000.0, 6000.0), 4000.0, 4000.0, (0.5, 1.0)),
        ((-1000.0, 3000.0), (3000.0, 7000.0), 1000.0, 3000.0, (0.5, 1.0)), ((11000.0, 7000.0), (8000.0, 4000.0), 9000.0, 8000.0, (2.0 / 3.0, 1.0)),
    ],
)  # fmt: skip
def test_water_runs_from_where_it_falls_straight_down_to_the_eave(
    a: tuple[float, float], b: tuple[float, float], from_x: float, to_x: float, share: tuple[float, float]
) -> None:
    """What falls beside the roof is not its own; the figures at both ends of what does are those between."""
    (found,) = landed(curtain(a, b), slope())
    whole = share[1] - share[0]
    due = [((x, 2000.0, 1000.0), (4e6 - 3e6 * t) * whole) for x, t in zip((from_x, to_x), share, strict=True)]
    if from_x > to_x:
        due.reverse()
    name, start, end, at_a, at_b = found
    assert (name, start, end) == ("low", pytest.approx(due[0][0]), pytest.approx(due[1][0]))
    if from_x != to_x:
        assert (at_a, at_b) == (pytest.approx(due[0][1]), pytest.approx(due[1][1]))
    assert (at_a + at_b) / 2.0 == pytest.approx(sum(area for _, area in due) / 2.0)


def test_a_point_of_water_falls_on_the_highest_roof_under_it() -> None:
    """Of two slopes in one place the one 400 higher, whichever is listed first, unless the water is under it."""
    low, high = slope(), slope("high", 1400.0, (700.0, -100.0, 0.0))
    point = curtain((3000.0, 6000.0), (3000.0, 6000.0), 5e6, 5e6)
    for roofs in ((low, high), (high, low)):
        under = roof_under(point.a, roofs)
        assert under is not None
        assert (under.roof.name, under.fall_mm) == ("high", pytest.approx(9000.0 - (1400.0 - 1000.0 + 5800.0 / 2.0)))
        ((name, start, end, at_a, at_b),) = landed(point, *roofs)
        assert (name, at_a, at_b) == ("high", 5e6, 5e6)
        assert start == end == pytest.approx((2800.0, 2000.0, 1400.0))
        below = roof_under((point.a[0], point.a[1], 3200.0), roofs)
        assert below is not None
        assert below.roof.name == "low"
        over = roof_over((point.a[0], point.a[1], 3200.0), roofs)
        assert over is not None
        assert (over.roof.name, over.rise_mm((point.a[0], point.a[1], 3200.0))) == ("high", pytest.approx(100.0))
    assert roof_under((0.0, 0.0, 9000.0), (low, high)) is None
    assert roof_over((0.0, 0.0, 0.0), (low, high)) is None
    for drop, found in ((1.1, True), (0.9, False)):
        assert (roof_under((point.a[0], point.a[1], 3000.0 + drop), (low,)) is not None) is found
        assert (roof_over((point.a[0], point.a[1], 3000.0 - drop), (low,)) is not None) is found
    assert landed(curtain((20000.0, 0.0), (20000.0, 0.0)), low) == []


@pytest.mark.parametrize(
    ("c", "d", "share"),
    [
        ((5.0, -3.0), (5.0, 9.0), 0.4), ((5.0, 2.0), (5.0, 9.0), 0.4), ((5.0, 2.1), (5.0, 9.0), None), ((5.0, -9.0), (5.0, 2.0), 0.4), ((5.0, -9.0), (5.0, 1.9), None),
        ((1.0, -9.0), (1.0, 9.0), None), ((11.0, -9.0), (11.0, 9.0), None), ((0.0, 9.0), (20.0, 9.0), None), ((2.0, -1.0), (10.0, 5.0), 0.5), ((9.0, 2.0), (3.0, 2.0), None),
    ],
)  # fmt: skip
def test_where_a_way_crosses_a_border(c: tuple[float, float], d: tuple[float, float], share: float | None) -> None:
    """From (1, 2) to (11, 2), and both moved and turned by (3, 4, 5)."""

    def turned(p: tuple[float, float]) -> tuple[float, float]:
        return (70.0 + 0.6 * p[0] - 0.8 * p[1], -30.0 + 0.8 * p[0] + 0.6 * p[1])

    due = [] if share is None else [pytest.approx(share)]
    assert _crossing((1.0, 2.0), (11.0, 2.0), c, d) == due
    assert _crossing((1.0, 2.0), (11.0, 2.0), d, c) == due
    back = [] if share is None else [pytest.approx(1.0 - share)]
    assert _crossing((11.0, 2.0), (1.0, 2.0), c, d) == back
    if 1.0 < c[0] < 11.0 and 2.0 not in (c[1], d[1]):  # what only touches may do so or not, turned
        assert _crossing(turned((1.0, 2.0)), turned((11.0, 2.0)), turned(c), turned(d)) == due


def test_shares_a_crumb_apart_are_one() -> None:
    """Of 5 m a hundredth of a millimetre is 0.000002; both ends stay; a point has no crumb."""
    water = Curtain((1000.0, 2000.0, 7000.0), (4000.0, 6000.0, 7000.0), 0.0, 0.0, 0.0)
    assert _apart({0.0, 1.0, 0.5, 0.5000015, 0.5000025, 0.0000015, 0.9999985, 0.9999975}, water) == [
        0.0,
        0.5,
        0.5000025,
        0.9999975,
        1.0,
    ]
    assert _apart({0.0, 1.0, 0.25}, Curtain((1.0, 2.0, 3.0), (1.0, 2.0, 3.0), 0.0, 0.0, 0.0)) == [0.0, 0.25, 1.0]
    assert falling.breaks(curtain((-1000.0, 5000.0), (11000.0, 5000.0)), [slope()]) == pytest.approx(
        [0.0, 1.0 / 6.0, 5.0 / 6.0, 1.0]
    )
    assert falling.breaks(curtain((3.0, 5.0), (3.0, 5.0)), [slope()]) == [0.0, 1.0]


@pytest.mark.parametrize(
    ("drop", "node", "falls"),
    [(0.6, "a", True), (0.6, "b", False), (-0.6, "b", True), (-0.6, "a", False), (0.4, "a", False), (-0.4, "b", False)],
)
def test_an_edge_falls_from_its_higher_end(drop: float, node: str, falls: bool) -> None:
    one = edge("E1", E.VALLEY, (0.0, 0.0, 900.0 + drop), (9.0, 0.0, 900.0), low="a", high="b")
    assert _falls_from(one, node) is falls


def test_the_way_on_to_the_plane_beside_an_edge() -> None:
    """A short step square to the edge's middle: to its left where the plane lies there, else to its right."""
    plane = rising("P1", 0.0, 0.0, 0.5, box(1000.0, 2000.0, 9000.0, 8000.0))
    step = wall_water._OVER_MM
    for a, b, way in (
        ((1000.0, 2000.0), (9000.0, 2000.0), (0.0, 1.0)),
        ((9000.0, 2000.0), (1000.0, 2000.0), (0.0, 1.0)),
        ((9000.0, 2000.0), (9000.0, 8000.0), (-1.0, 0.0)),
    ):
        found = _inwards(edge("E1", E.EAVE, (*a, a[1] / 2.0), (*b, b[1] / 2.0)), plane)
        assert found == pytest.approx((way[0] * step, way[1] * step, 0.0))


def higher(z: float, x0: float, x1: float) -> Any:
    """A level roof at z whose edge lies along the head of the slope, counted from elsewhere."""
    ring = box(x0 + 500.0, 7000.0 - 300.0, x1 + 500.0, 12000.0 - 300.0)
    return roof("high", planes=(rising("P9", z, 0.0, 0.0, ring, roof="high"),))


def test_a_wall_stands_up_to_the_lowest_roof_over_it() -> None:
    """Over the head of the slope, 8 m at 4000, a roof 1500 higher covers the first 6 of them and one 2000 higher the rest."""
    own = slope()
    head = own.edges[2]
    found = tops_under(own, head, [own, higher(5500.0, 3000.0, 9000.0), higher(6000.0, -900.0, 9000.0)])
    # the head runs from x = 9000 back to 1000
    assert [
        (pytest.approx(t), pytest.approx(h)) for t, h in ((0.0, 1500.0), (0.75, 1500.0), (0.75, 2000.0), (1.0, 2000.0))
    ] == found
    half = tops_under(own, head, [own, higher(5500.0, 5000.0, 20000.0)])
    assert [
        (pytest.approx(t), pytest.approx(h)) for t, h in ((0.0, 1500.0), (0.5, 1500.0), (0.5, 0.0), (1.0, 0.0))
    ] == half
    assert tops_under(own, head, [own]) == []
    assert tops_under(own, edge("X", E.HEAD, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), faces=("P7",)), [own]) == []


def test_water_off_a_wall_counts_up_to_a_height_and_by_its_share() -> None:
    """Half of 6 m at 1000 (1500 and more count as 1000) and of 2 m from 0 up; where nobody knows the wall, 700 all along."""
    own = slope()
    head = own.edges[2]
    roofs = [own, higher(5500.0, 3000.0, 9000.0)]
    (first,) = _off_wall(own, head, None, WallRule(0.5, 1000.0), roofs)
    over = wall_water._OVER_MM
    assert first.a == pytest.approx((9500.0, 7700.0 - over, 4000.0 + over))
    assert first.b == pytest.approx((3500.0, 7700.0 - over, 4000.0 + over))
    assert (first.at_a_mm2, first.at_b_mm2, first.plane, first.wall) == (
        pytest.approx(3e6),
        pytest.approx(3e6),
        "E3",
        True,
    )
    (known,) = _off_wall(own, head, None, WallRule(0.5, 1000.0, 700.0), [own])
    assert (known.at_a_mm2, known.at_b_mm2) == (pytest.approx(2.8e6), pytest.approx(2.8e6))
    assert list(_off_wall(own, head, None, WallRule(0.5, 1000.0), [own])) == []
    stray = edge("X", E.HEAD, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), faces=("P7",))
    assert list(_off_wall(own, stray, None, WallRule(0.5, 1000.0, 700.0), [own])) == []
