"""Where water runs, with figures by hand: cells of a plane, what of them lies open, walls above an eave.

Half of a wall's area counts, to 10 m of its height (code of practice v25.12, 5.3.1, as the rule is given there).
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from eave_water import Point3, curtain, on

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame
from takeoff.shape.water import wall_water
from takeoff.shape.water.fall_cells import (
    Cell,
    _across,
    _crossings,
    _on_border,
    _sides,
    _stations,
    fall_cells,
    open_strips,
)
from takeoff.shape.water.fall_lines import _falls_from
from takeoff.shape.water.falling import _apart, _border, _crossing, _holds
from takeoff.shape.water.wall_water import WallRule

CELL = Cell("P1", "low", "up", 10.0, 30.0, 1.0, 5.0, 21.0, 13.0)


def test_the_sides_of_a_cell() -> None:
    assert (CELL.low_at(15.0), CELL.up_at(15.0)) == (2.0, 19.0)
    assert _border(CELL) == (
        ((10.0, 1.0), (30.0, 5.0)),
        ((30.0, 5.0), (30.0, 13.0)),
        ((30.0, 13.0), (10.0, 21.0)),
        ((10.0, 21.0), (10.0, 1.0)),
    )
    for at, holds in (
        ((15.0, 2.0), True), ((15.0, 1.995), True), ((15.0, 1.985), False), ((15.0, 19.005), True), ((15.0, 19.015), False),
        ((9.995, 11.0), True), ((9.985, 11.0), False), ((30.005, 9.0), True), ((30.015, 9.0), False),
    ):  # fmt: skip
        assert _holds(CELL, at) is holds
    assert list(_crossings(CELL, (10.0, 0.0), (30.0, 8.0))) == [
        pytest.approx(15.0)
    ]  # 1 below to 3 above the lower edge
    assert list(_crossings(CELL, (10.0, 0.0), (30.0, 17.0))) == [
        pytest.approx(10.0 + 20.0 / 13.0),
        pytest.approx(10.0 + 20.0 * 21.0 / 25.0),
    ]
    assert list(_crossings(CELL, (10.0, 2.0), (30.0, 6.0))) == []


def test_lines_across_a_strip() -> None:
    assert _stations([5.0, 1.0, 1.005, 1.02, 5.009]) == [1.0, 1.02, 5.0]
    flat = [
        ("a", (0.0, 10.0), (10.0, 30.0)),
        ("b", (10.0, 0.0), (0.001, 2.0)),
        ("c", (5.0, 0.0), (5.0, 9.0)),
        ("d", (5.0, 7.0), (10.0, 7.0)),
    ]
    sides = _sides(flat, [0.0, 5.0, 10.0])
    assert sides == [("a", 0.0, 10.0, 10.0, 30.0), ("b", 0.0, 2.0, 10.0, 0.0), ("d", 5.0, 7.0, 10.0, 7.0)]
    assert _across(sides, 5.0, 10.0) == [(1.0, 0.0, "b"), (7.0, 7.0, "d"), (20.0, 30.0, "a")]
    assert _across(sides, 0.0, 5.0) == [(2.0, 1.0, "b"), (10.0, 20.0, "a")]


def test_what_of_a_cell_lies_open() -> None:
    """20 wide; a cover from 18 to 26 across, 8 to 12 up, and one beyond: open 4 less under it; at u 18 the cell is 17.8 - 2.6."""
    (whole,) = open_strips(CELL, ())
    assert (whole.u0, whole.u1, whole.depth0, whole.depth1) == (10.0, 30.0, 20.0, 8.0)
    square = (((18.0, 8.0), (26.0, 8.0), (26.0, 12.0), (18.0, 12.0)),)
    found = [(one.u0, one.u1, one.depth0, one.depth1) for one in open_strips(CELL, (square,))]
    assert [
        pytest.approx(row) for row in ((10.0, 18.0, 20.0, 15.2), (18.0, 26.0, 11.2, 6.4), (26.0, 30.0, 10.4, 8.0))
    ] == found
    high = (((0.0, 17.0), (40.0, 17.0), (40.0, 99.0), (0.0, 99.0)),)  # all over 17: the top crosses it at u = 20
    found = [(one.u0, one.u1, one.depth0, one.depth1) for one in open_strips(CELL, (high,))]
    assert [pytest.approx(row) for row in ((10.0, 20.0, 16.0, 14.0), (20.0, 30.0, 14.0, 8.0))] == found
    everything = (((0.0, -9.0), (40.0, -9.0), (40.0, 99.0), (0.0, 99.0)),)
    assert [(one.depth0, one.depth1) for one in open_strips(CELL, (everything,))] == [(0.0, 0.0)]


FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def test_a_plane_is_cut_at_its_corners_and_at_valleys_that_end_in_it() -> None:
    ring = ((0.0, 0.0), (100.0, 0.0), (80.0, 60.0), (20.0, 40.0))
    plane: Any = SimpleNamespace(id="P1", frame=FLAT, rings_uv=(ring,), pitch_deg=20.0)

    def line(name: str, a: tuple[float, float], b: tuple[float, float]) -> Any:
        return SimpleNamespace(id=name, a_mm=(*a, 0.0), b_mm=(*b, 0.0))

    edges = [
        line("eave", ring[1], ring[0]),
        line("east", ring[1], ring[2]),
        line("top", ring[3], ring[2]),
        line("west", ring[0], ring[3]),
    ]
    found = fall_cells(plane, edges)
    assert found == (
        Cell("P1", "eave", "west", 0.0, 20.0, 0.0, 0.0, 0.0, 40.0),
        Cell("P1", "eave", "top", 20.0, 80.0, 0.0, 0.0, 40.0, 60.0),
        Cell("P1", "eave", "east", 80.0, 100.0, 0.0, 0.0, 60.0, 0.0),
    )
    inner = fall_cells(plane, [*edges, line("valley", (20.0, 20.0), (80.0, 30.0))])
    assert inner[1:3] == (
        Cell("P1", "eave", "", 20.0, 80.0, 0.0, 0.0, 20.0, 30.0), Cell("P1", "valley", "top", 20.0, 80.0, 20.0, 30.0, 40.0, 60.0),
    )  # fmt: skip
    assert fall_cells(plane, edges[:3]) == ()
    plane.pitch_deg = 0.09
    assert fall_cells(plane, edges) == ()
    plane.pitch_deg = 0.1
    assert fall_cells(plane, edges) == found
    for at, border in (
        ((50.0, -4.9), True),
        ((50.0, -5.1), False),
        ((10.0, 20.0), True),
        ((-4.9, 0.0), True),
        ((-3.6, -3.6), False),
        ((50.0, 20.0), False),
        ((104.0, -2.0), True),
    ):
        assert _on_border(plane, at) is border


@pytest.mark.parametrize(
    ("c", "d", "share"),
    [
        (on(2000.0, 5.0), on(2000.0, -5.0), [0.4]), (on(2000.0, -5.0), on(3000.0, 15.0), [0.45]), (on(2000.0, 5.0), on(2000.0, 1.0), []),
        (on(-1.0, 5.0), on(-1.0, -5.0), []), (on(5001.0, 5.0), on(5001.0, -5.0), []), (on(0.0, 5.0), on(5000.0, 5.0), []),
        (on(2000.0, 0.0), on(2000.0, -5.0), [0.4]), (on(2000.0, 5.0), on(2000.0, 0.0), [0.4]), (on(0.0, 5.0), on(0.0, -5.0), []),
    ],
)  # fmt: skip
def test_where_lines_cross(c: Point3, d: Point3, share: list[float]) -> None:
    assert _crossing(on(0.0)[:2], on(5000.0)[:2], c[:2], d[:2]) == pytest.approx(share)


def test_shares_a_crumb_apart_are_one() -> None:
    """Over 5 m, 0.01 mm is 2e-6 of the way."""
    found = _apart({0.0, 1.0, 0.5, 0.500001, 0.500003, 0.000001, 0.999999}, curtain(0.0, 5000.0))
    assert found == [0.0, 0.5, 0.500003, 1.0]


def test_edges_that_go_down_from_a_node() -> None:
    def edge(za: float, zb: float) -> Any:
        return SimpleNamespace(a_mm=(0.0, 0.0, za), b_mm=(9.0, 0.0, zb), low="a", high="b")

    assert [_falls_from(edge(10.0, 20.0), node) for node in ("a", "b")] == [False, True]
    assert [_falls_from(edge(20.0, 10.0), node) for node in ("a", "b")] == [True, False]
    assert [_falls_from(edge(10.0, 10.5), "b"), _falls_from(edge(10.0, 10.51), "b")] == [False, True]


def upright(*ring: tuple[float, float]) -> Any:
    """A wall over the eave's line: u along it, v up from 2400."""
    frame = Frame(on(0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0))
    area = abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))) / 2.0
    return SimpleNamespace(id="W1", frame=frame, rings_uv=(ring,), area_mm2=area)


def test_heights_of_a_wall_over_an_edge() -> None:
    """An edge from 1000 to 5000 along, that rises from 2400 to 2800; a wall over all that peaks at 2000 along, 3000 up."""
    edge: Any = SimpleNamespace(
        a_mm=on(1000.0, z=2400.0), b_mm=on(5000.0, z=2800.0), id="E1", faces=("P1",), kind=EdgeKind.APRON_HEAD
    )
    wall = upright((0.0, 0.0), (5000.0, 0.0), (5000.0, 1500.0), (2000.0, 3000.0), (0.0, 1000.0))
    # at 1000 along the top is at 2000, at 2000 at 3000 less 100 of the edge, at 5000 at 1500 less 400
    assert wall_water._tops(edge, wall) == [
        pytest.approx(row) for row in ((0.0, 2000.0), (0.25, 2900.0), (1.0, 1100.0))
    ]
    assert wall_water._tops(edge, None) == []
    assert wall_water._tops(edge, upright((0.0, -400.0), (5000.0, -400.0), (5000.0, -300.0), (0.0, -300.0))) == []
    assert wall_water._tops(SimpleNamespace(a_mm=on(1000.0), b_mm=on(1000.4)), wall) == []  # type: ignore[arg-type]
    flat = [(0.0, 5.0), (0.5, 9.0), (0.5, 7.0), (1.0, 7.0)]
    assert sorted(wall_water._heights(flat, 0.5)) == [6.0, 7.0, 9.0, 9.0]
    assert sorted(wall_water._heights(flat, 0.25)) == [5.5, 7.0]


def test_a_wall_brings_half_its_area_to_its_foot() -> None:
    """Over 4000 of plan: 2000 to 2900 on 1000, 2900 to 1100 on 3000, but none over 2500; half counts."""
    edge: Any = SimpleNamespace(
        a_mm=on(1000.0, z=2400.0), b_mm=on(5000.0, z=2800.0), id="E1", faces=("P1",), kind=EdgeKind.APRON_HEAD
    )
    wall = upright((0.0, 0.0), (5000.0, 0.0), (5000.0, 1500.0), (2000.0, 3000.0), (0.0, 1000.0))
    frame = Frame((0.0, 0.0, 2400.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    ring = tuple(on(s, out)[:2] for s, out in ((-900.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (-900.0, 4000.0)))
    plane: Any = SimpleNamespace(id="P1", frame=frame, rings_uv=(ring,))
    roof: Any = SimpleNamespace(planes=(plane,), origin_mm=(100.0, 200.0, 0.0), edges=(edge,), uprights=())
    one, two = wall_water._off_wall(roof, edge, wall, WallRule(0.5, 2500.0), ())
    step = wall_water._OVER_MM
    assert wall_water._inwards(edge, plane) == pytest.approx(
        (0.8 * step, -0.6 * step, 0.0)
    )  # to the right, where the plane lies
    assert (one.at_a_mm2, one.at_b_mm2, two.at_a_mm2, two.at_b_mm2) == pytest.approx((1e6, 1.25e6, 3.75e6, 1.65e6))
    assert one.a == pytest.approx(
        (on(1000.0)[0] + 100.0 + 0.8 * step, on(1000.0)[1] + 200.0 - 0.6 * step, 2400.0 + step)
    )
    assert two.b == pytest.approx(
        (on(5000.0)[0] + 100.0 + 0.8 * step, on(5000.0)[1] + 200.0 - 0.6 * step, 2800.0 + step)
    )
    assert (one.pitch_deg, one.plane, one.wall) == (0.0, "W1", True)
    (unknown,) = wall_water._off_wall(roof, edge, None, WallRule(0.5, 2500.0, 600.0), ())
    assert (unknown.at_a_mm2, unknown.at_b_mm2, unknown.plane) == (pytest.approx(1.2e6), pytest.approx(1.2e6), "E1")
    assert list(wall_water._off_wall(roof, edge, None, WallRule(0.5), ())) == []
    edge.faces = ("P2",)
    assert list(wall_water._off_wall(roof, edge, wall, WallRule(0.5), ())) == []
    assert list(wall_water.walls_above(roof, WallRule(0.0, 2500.0, 600.0))) == []


def test_a_gable_lets_its_water_go_at_its_foot() -> None:
    """A triangle of 4000 x 1500 over a foot at 2400: 750 high on average."""
    gable = upright((500.0, 0.0), (4500.0, 4.9), (2500.0, 1500.0))
    roof: Any = SimpleNamespace(origin_mm=(100.0, 200.0, 0.0))
    (found,) = wall_water._off_gable(roof, gable, WallRule(0.5))
    area = gable.area_mm2
    assert (found.at_a_mm2, found.at_b_mm2, found.plane, found.wall, found.pitch_deg) == (
        pytest.approx(area / 2.0),
        pytest.approx(area / 2.0),
        "W1",
        True,
        0.0,
    )
    assert found.a == pytest.approx((on(500.0)[0] + 100.0, on(500.0)[1] + 200.0, 2400.0))
    assert found.b == pytest.approx((on(4500.0)[0] + 100.0, on(4500.0)[1] + 200.0, 2404.9))
    (capped,) = wall_water._off_gable(roof, gable, WallRule(0.5, 100.0))
    assert capped.area_mm2 == pytest.approx(4000.0 * 100.0 / 2.0)
    assert list(wall_water._off_gable(roof, upright((0.0, 0.0), (4000.0, 5.1), (2000.0, 1500.0)), WallRule(0.5))) == []
