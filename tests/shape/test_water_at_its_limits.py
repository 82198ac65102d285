"""Water at the very border of cells, legs and planes, and where it forks: figures by hand, a step either side of each limit."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from eave_water import curtain as along_eave
from eave_water import on, piece
from flat_planes import FLAT

from takeoff.model.drainage import GutterLeg, GutterRun, Inflow, Received
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame
from takeoff.shape.water import drainage, spreading, wall_water
from takeoff.shape.water.fall_cells import Cell, _on_border, fall_cells, open_strips
from takeoff.shape.water.fall_lines import Curtain, FallLines, Landing
from takeoff.shape.water.falling import _apart, _holds, fall_on
from takeoff.shape.water.spreading import Spout

WIDE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 9000.0), (0.0, 9000.0))


def frame(down: float = 0.0) -> Frame:
    """3 in 4 along y; `down`: how far lower down the slope its origin lies."""
    return Frame((0.0, -0.8 * down, 2400.0 - 0.6 * down), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), (0.0, -0.6, 0.8))


def edge(
    name: str,
    kind: EdgeKind,
    a: Any,
    b: Any,
    faces: tuple[str, ...],
    low: str = "a",
    high: str = "b",
    slope: float = 0.0,
) -> Any:
    return SimpleNamespace(id=name, kind=kind, a_mm=a, b_mm=b, faces=faces, low=low, high=high, slope_deg=slope)


def lines(*downs: float, more: tuple[Any, ...] = (), caught: tuple[str, ...] = ()) -> FallLines:
    """Planes P1, P2 ... over one another, each 6 m wide and 9 m up the slope, their origins so far down it."""
    planes, edges = [], list(more)
    for number, down in enumerate(downs, start=1):
        own = frame(down)
        planes.append(SimpleNamespace(id=f"P{number}", frame=own, rings_uv=(WIDE,), pitch_deg=36.87, covered_uv=()))
        for name, kind, p, q in zip(("eave", "east", "top", "west"), (EdgeKind.EAVE, EdgeKind.VERGE, EdgeKind.RIDGE, EdgeKind.VERGE), WIDE, (*WIDE[1:], WIDE[0]), strict=True):  # fmt: skip
            edges.append(edge(f"{name}{number}", kind, own.to_space(p), own.to_space(q), (f"P{number}",), f"{name}{number}a", f"{name}{number}b"))  # fmt: skip
    roof: Any = SimpleNamespace(name="main", origin_mm=(0.0, 0.0, 0.0), planes=planes, edges=edges)
    roof.edges_of = lambda plane: [one for one in edges if plane in one.faces]
    return FallLines(roof, frozenset(caught))


HERE = [SimpleNamespace(faces=("U9", "P1", "P2"))]


def into(found: FallLines, u: float, v: float) -> list[tuple[str, float]]:
    """Where a point of water at (u, v) of the first plane goes on: the edge, and how far along x."""
    foot = frame().to_space((u, v))
    point = Curtain(foot, foot, 60.0, 60.0, 20.0, "V1")
    here: Any = HERE
    return [(name, one.a[0]) for name, one in found._into_plane(foot, here, point)]


@pytest.mark.parametrize(("u", "v", "goes"), [
    (2000.0, 3000.0, 2000.0), (2000.0, 0.6, 2000.0), (2000.0, 0.4, None), (2000.0, 9000.4, 2000.0), (2000.0, 9000.6, None),
    (-0.009, 3000.0, 0.0), (-0.011, 3000.0, None), (6000.009, 3000.0, 6000.0), (6000.011, 3000.0, None),
])  # fmt: skip
def test_a_point_of_water_goes_on_in_the_plane_it_lies_over(u: float, v: float, goes: float | None) -> None:
    """Half a millimetre up the slope from an edge it is on it; a hundredth beside a cell it is in it."""
    assert into(lines(0.0), u, v) == ([] if goes is None else [("eave1", goes)])


@pytest.mark.parametrize(("further", "edge_name"), [(-5.0, "eave1"), (-0.6, "eave1"), (-0.4, "eave1"), (0.4, "eave1"), (0.6, "eave2"), (500.0, "eave2")])  # fmt: skip
def test_of_two_planes_the_one_that_falls_further_takes_the_water(further: float, edge_name: str) -> None:
    """By more than half a millimetre, else the first that is met."""
    assert into(lines(0.0, further), 2000.0, 3000.0) == [(edge_name, 2000.0)]


@pytest.mark.parametrize(
    ("rise", "goes"), [(0.0, "loose"), (0.4, "loose"), (0.6, "gutter"), (-0.4, "loose"), (-0.6, "gutter")]
)
def test_water_runs_along_an_edge_that_falls_more_than_half_a_millimetre(rise: float, goes: str) -> None:
    """A free edge with no plane below: level it lets the water go, else it leads it to the gutter at its lower end."""
    ends = ((9000.0, 0.0, 2400.0), (9000.0, 3000.0, 2400.0 + rise))
    low, high = ("n1", "n2") if rise >= 0.0 else ("n2", "n1")
    loose = edge("loose", EdgeKind.VERGE, *ends, (), "n1", "n2")
    gutter = edge("gutter", EdgeKind.EAVE, (9000.0, 0.0, 2400.0), (9900.0, 0.0, 2400.0), (), low, "far")
    found = lines(0.0, more=(loose, gutter), caught=("gutter",))
    (landing,) = found.follow([("loose", Curtain(*ends, 30.0, 50.0, 20.0))])
    assert (landing.edge, landing.curtain.area_mm2) == (goes, 40.0)
    eave = lines(0.0, more=(edge("loose", EdgeKind.EAVE, *ends, (), "n1", "n2"), gutter), caught=("gutter",))
    assert [one.edge for one in eave.follow([("loose", Curtain(*ends, 30.0, 50.0, 20.0))])] == ["loose"]
    assert high in ("n1", "n2")


def test_water_at_the_foot_of_a_valley_is_shared_by_the_gutters_there() -> None:
    valley = edge("V1", EdgeKind.VALLEY, (9000.0, 3000.0, 3000.0), (9000.0, 0.0, 2400.0), (), "up", "foot")
    gutters = tuple(edge(name, EdgeKind.EAVE, (9000.0, 0.0, 2400.0), (9900.0, 0.0, 2400.0), (), "foot", name) for name in ("G1", "G2", "G3"))  # fmt: skip
    found = lines(0.0, more=(valley, *gutters), caught=("G1", "G3"))
    rows = found.follow([("V1", Curtain(valley.a_mm, valley.b_mm, 20.0, 100.0, 20.0))])
    assert sorted((one.edge, one.curtain.a, one.curtain.at_a_mm2, one.curtain.at_b_mm2, one.curtain.via) for one in rows) == [
        ("G1", (9000.0, 0.0, 2400.0), 30.0, 30.0, "V1"), ("G3", (9000.0, 0.0, 2400.0), 30.0, 30.0, "V1"),
    ]  # fmt: skip


def test_water_in_a_valley_goes_on_in_the_steepest_that_falls_from_its_foot() -> None:
    """Not in one that rises from there, nor in one that drains nothing."""
    foot = (9000.0, 0.0, 2400.0)
    valley = edge("V1", EdgeKind.VALLEY, (9000.0, 3000.0, 3000.0), foot, (), "up", "foot")
    down = (edge("V2", EdgeKind.VALLEY, foot, (9000.0, -900.0, 2300.0), (), "foot", "d2", 6.0), edge("V3", EdgeKind.VALLEY, (9900.0, -900.0, 2200.0), foot, (), "d3", "foot", 9.0))  # fmt: skip
    rises = edge("V4", EdgeKind.VALLEY, foot, (9900.0, 900.0, 2900.0), (), "foot", "d4", 30.0)
    dry = edge("V5", EdgeKind.VALLEY, foot, (9000.0, -900.0, 1200.0), (), "foot", "d5", 50.0)
    found = lines(0.0, more=(valley, *down, rises, dry))
    found.drained |= {"V2", "V3", "V4"}
    (landing,) = found.follow([("V1", Curtain(valley.a_mm, valley.b_mm, 20.0, 100.0, 20.0))])
    assert (landing.edge, landing.curtain.a, landing.curtain.area_mm2) == ("V3", foot, 60.0)


@pytest.mark.parametrize("off", [0.0, 700.0, -300.0])
def test_a_curtain_is_split_over_the_cells_it_enters(off: float) -> None:
    """Over two planes side by side, 6 m each: from 2000 to 10000, half of it over either."""
    found = lines(0.0, 0.0)
    cells = [Cell(name, f"foot {name}", "top", *ends, 0.0, 0.0, 9000.0, 9000.0) for name, ends in (("P1", (0.0, 6000.0)), ("P2", (6000.0, 12000.0)))]  # fmt: skip
    a, b = (frame().to_space((u, 5000.0 + off)) for u in (2000.0, 10000.0))
    rows = [(name, one.a[0], one.b[0], one.at_a_mm2, one.at_b_mm2) for name, one in found._down_cells(cells, Curtain(a, b, 100.0, 300.0, 20.0))]  # fmt: skip
    assert [row[0] for row in rows] == ["foot P1", "foot P2"]
    assert [row[1:] for row in rows] == [pytest.approx((2000.0, 6000.0, 50.0, 100.0)), pytest.approx((6000.0, 10000.0, 100.0, 150.0))]  # fmt: skip
    for u, names in ((5999.0, ["foot P1"]), (6000.005, ["foot P1"]), (6000.02, ["foot P2"]), (-0.005, ["foot P1"]), (-0.02, []), (12000.005, ["foot P2"])):  # fmt: skip
        at = frame().to_space((u, 5000.0))
        assert [name for name, _ in found._down_cells(cells, Curtain(at, at, 60.0, 60.0, 20.0))] == names
    # a stretch of a hundredth over a cell is none
    a, b = (frame().to_space((u, 5000.0)) for u in (2000.0, 6000.009))
    assert [name for name, _ in found._down_cells(cells, Curtain(a, b, 100.0, 300.0, 20.0))] == ["foot P1"]
    a, b = (frame().to_space((u, 5000.0)) for u in (5999.989, 9000.0))
    assert [name for name, _ in found._down_cells(cells, Curtain(a, b, 100.0, 300.0, 20.0))] == ["foot P1", "foot P2"]


CELL = Cell("P1", "low", "up", 100.0, 300.0, 10.0, 50.0, 210.0, 130.0)


@pytest.mark.parametrize(("at", "holds"), [
    ((200.0, 29.995), True), ((200.0, 29.985), False), ((200.0, 170.005), True), ((200.0, 170.015), False), ((99.995, 100.0), True), ((99.985, 100.0), False),
    ((300.005, 100.0), True), ((300.015, 100.0), False), ((100.0, 9.995), True), ((300.0, 130.005), True), ((300.0, 130.015), False),
])  # fmt: skip
def test_points_at_the_border_of_a_cell_off_the_origin(at: tuple[float, float], holds: bool) -> None:
    assert _holds(CELL, at) is holds


def test_a_valley_that_ends_within_a_strip_lies_between_what_is_below_and_above_it() -> None:
    """Heights at both ends count: lines from 10 to 90 across the middle lie over a foot from 0 to 80 and under a top from 20 to 100."""
    ring = ((0.0, 0.0), (100.0, 80.0), (100.0, 100.0), (0.0, 20.0))
    plane: Any = SimpleNamespace(id="P1", frame=FLAT, rings_uv=(ring,), pitch_deg=20.0)
    names = ("foot", "east", "top", "west")
    edges = [SimpleNamespace(id=name, a_mm=(*a, 0.0), b_mm=(*b, 0.0)) for name, a, b in zip(names, ring, (*ring[1:], ring[0]), strict=True)]  # fmt: skip
    inner = SimpleNamespace(id="inner", a_mm=(0.0, 10.0, 0.0), b_mm=(100.0, 90.0, 0.0))
    given: Any = [*edges, inner]
    found = fall_cells(plane, given)
    rows = [(one.lower, one.upper, one.low0, one.low1, one.up0, one.up1) for one in found]
    # it lies within 5 mm of none of the sides' middles: 10 off at a slope of 0.8 is 7.8 off
    assert rows == [("foot", "", 0.0, 80.0, 10.0, 90.0), ("inner", "top", 10.0, 90.0, 20.0, 100.0)]


@pytest.mark.parametrize("turned", [False, True])
def test_points_near_the_border_of_a_plane_off_the_origin(turned: bool) -> None:
    ring = ((700.0, 400.0), (800.0, 400.0), (760.0, 430.0), (700.0, 430.0))
    hole = ((720.0, 410.0), (720.0, 420.0), (730.0, 420.0), (730.0, 410.0))
    plane: Any = SimpleNamespace(rings_uv=tuple(one[::-1] if turned else one for one in (ring, hole)))
    for at, border in (
        ((710.0, 395.1), True), ((710.0, 394.9), False), ((695.1, 415.0), True), ((694.9, 415.0), False), ((783.0, 419.0), True), ((785.0, 421.0), False),
        ((712.0, 436.0), False), ((714.9, 415.0), False), ((715.1, 415.0), True), ((735.1, 415.0), False), ((725.0, 415.0), True), ((804.0, 397.1), True), ((804.1, 396.9), False),
    ):  # fmt: skip
        assert _on_border(plane, at) is border


def test_what_two_covers_leave_open_of_a_cell() -> None:
    """200 wide, 200 high at its left and 80 at its right: covers from 0 to 60 up and from 120 up leave what is between, over the foot."""
    low = (((0.0, 0.0), (400.0, 0.0), (400.0, 60.0), (0.0, 60.0)),)
    high = (((0.0, 120.0), (400.0, 120.0), (400.0, 900.0), (0.0, 900.0)),)
    (strip,) = open_strips(CELL, (low, high))
    assert (strip.u0, strip.u1, strip.depth0, strip.depth1) == (100.0, 300.0, 60.0, 60.0)


def test_shares_of_a_line_that_runs_up_and_away() -> None:
    """From (10, 20, 30) 3 along x, 4 along y, 12 up: 13 long; shares are apart by more than 0.01 of that."""
    water = Curtain((10.0, 20.0, 30.0), (13.0, 24.0, 42.0), 1.0, 1.0, 0.0)
    assert _apart({0.0, 0.00076, 0.00078, 0.5, 0.50076, 0.9992, 0.99925, 1.0}, water) == [
        0.0,
        0.00078,
        0.5,
        0.9992,
        1.0,
    ]


def test_water_over_a_plane_that_is_level_to_its_axes() -> None:
    """A point right over the middle of the first of two roofs at one height: the first takes it, half way along its eave."""
    one, other = lines(0.0), lines(0.0)
    at = (3000.0, 3200.0, 9000.0)
    ((owner, plane, name, found),) = fall_on(Curtain(at, at, 80.0, 80.0, 5.0, "V1"), [one, other])
    assert (owner is one, plane.id, name, found.a, found.b) == (
        True,
        "P1",
        "eave1",
        (3000.0, 0.0, 2400.0),
        (3000.0, 0.0, 2400.0),
    )
    assert (found.area_mm2, found.pitch_deg, found.via) == (80.0, 36.87, "")


@pytest.mark.parametrize(("other", "one"), [(400.9, True), (399.1, True), (401.1, False), (398.9, False)])
def test_water_of_a_pipe_within_a_millimetre_is_one(other: float, one: bool) -> None:
    known = (Received("top", "DP1", "P5", 100.0, 7.0, "", "E2"), Received("top", "DP1", "P5", other, 8.0, "", "E2"))
    more = Received("top", "DP1", "P5", 400.0, 30.0, "", "E2")
    found = spreading._joined(known, more)
    assert found == ((known[0], replace(known[1], plan_catchment_mm2=38.0)) if one else (*known, more))


def test_where_a_spreader_comes_in_on_the_second_of_three_legs() -> None:
    """5 m, 3 m and 2 m: 1200 along the second is 6200 along the run; the other legs stay as they are."""
    legs = tuple(GutterLeg(f"E{n}", (n,), on(a), on(b), b - a, 10.0 * n, (Inflow(0.0, 1.0, 10.0 * n, 10.0 * n),)) for n, (a, b) in enumerate(((0.0, 5000.0), (5000.0, 8000.0), (8000.0, 10000.0)), start=1))  # fmt: skip
    run = GutterRun("SP1", "low", legs, (), False, 60.0, 35.0, received=(Received("x", "", "P1", 1.0, 2.0),))
    spout = Spout("DP1", "top", on(9.0), 30.0, 25.0, "P1", 12.0)
    water = Landing("E2", Curtain(on(6200.0), on(6200.0), 30.0, 50.0, 25.0), onto="P5")
    found = spreading._with(run, "low", spout, water)
    flow = Inflow(pytest.approx(1200.0), pytest.approx(1200.0), 40.0, 40.0, "P1", 12.0)  # type: ignore[arg-type]
    fed = replace(legs[1], plan_catchment_mm2=60.0, inflows=(legs[1].inflows[0], flow))
    assert found.legs == (legs[0], fed, legs[2])
    assert (found.plan_catchment_mm2, found.pitch_deg, found.valleys) == (100.0, 35.0, ())
    assert found.received == (*run.received, Received("top", "DP1", "P5", pytest.approx(6200.0), 40.0, "", "E2"))  # type: ignore[arg-type]
    walled = spreading._with(run, "low", replace(spout, wall=True), water)
    assert walled == replace(run, legs=(legs[0], replace(legs[1], off_walls=(flow,)), legs[2]))


def test_water_that_comes_in_over_a_stretch_is_received_at_its_middle() -> None:
    """From 1000 to 3000 along the second of two legs of 5 m and 4 m: 7000 along the run; a part past its end is left out."""
    one = piece()
    two = piece(5000.0, 9000.0, "E2", "n2", "n3")
    two.water = [Landing("E2", along_eave(6000.0, 8000.0), "P9", "top"), Landing("E2", along_eave(8000.0, 9900.0), "P8", "top"), Landing("E2", along_eave(5500.0, 5600.0), "", "")]  # fmt: skip
    found = drainage._received([one, two])
    assert [(water.plane, water.roof, water.pipe) for water in found] == [("P9", "top", ""), ("P8", "top", "")]
    assert [water.along_mm for water in found] == pytest.approx([7000.0, 8500.0])
    assert [water.plan_catchment_mm2 for water in found] == [200.0, 200.0]


def wall_above(*, drawn: bool = False, covered: bool = True) -> list[tuple[str, float]]:
    """What comes off the walls above a plane: a gable, and where `drawn` a wall that shares an edge with it."""
    gable = Frame(on(0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0))
    kind = wall_water.UprightKind
    ring = ((0.0, 0.0), (4000.0, 0.0), (2000.0, 1500.0))
    faces = [SimpleNamespace(id="U1", kind=kind.GABLE, frame=gable, rings_uv=(ring,), area_mm2=3e6)]
    if drawn:
        faces.append(SimpleNamespace(id="U2", kind=kind.ABUTTING, frame=gable, rings_uv=(ring,), area_mm2=3e6))
    edges = [SimpleNamespace(id="B1", kind=EdgeKind.VERGE, faces=("P1", "U1", "U2") if drawn else ("P1", "U1"), a_mm=on(0.0), b_mm=on(4000.0))]  # fmt: skip
    roof: Any = SimpleNamespace(uprights=faces, edges=edges, planes=(), origin_mm=(0.0, 0.0, 0.0))
    return [(one.plane, one.area_mm2) for one in wall_water.walls_above(roof, wall_water.WallRule(0.5))]


def test_a_gable_that_is_part_of_a_wall_drawn_down_to_a_roof_is_no_wall_of_its_own() -> None:
    assert wall_above() == [("U1", pytest.approx(1.5e6))]
    assert wall_above(drawn=True) == []


@pytest.mark.parametrize(("tops", "due"), [
    ([(0.0, 1000.0), (1.0, 0.0)], [(2e6, 0.0)]), ([(0.0, 0.0), (1.0, 1000.0)], [(0.0, 2e6)]), ([(0.0, 0.0), (0.5, 0.0), (1.0, 400.0)], [(0.0, 4e5)]),
    ([(0.0, 500.0), (0.5, 500.0), (0.5, 900.0), (1.0, 900.0)], [(5e5, 5e5), (9e5, 9e5)]), ([(0.0, 0.6), (1.0, 0.3)], [(1200.0, 600.0)]), ([], [(1.4e6, 1.4e6)]),
])  # fmt: skip
def test_water_off_each_straight_piece_of_a_wall(
    monkeypatch: pytest.MonkeyPatch, tops: list[tuple[float, float]], due: list[tuple[float, float]]
) -> None:
    """4 m of it, half of whose area counts; where nothing is known of it, 700 high. Tops stand over the edge, or are sought over it."""
    wall_edge: Any = SimpleNamespace(id="A1", faces=("P1",), a_mm=on(0.0), b_mm=on(4000.0))
    roof: Any = SimpleNamespace(planes=(SimpleNamespace(id="P1"),), origin_mm=(0.0, 0.0, 0.0))
    monkeypatch.setattr(wall_water, "_inwards", lambda *_: (0.0, 0.0, 0.0))
    rule = wall_water.WallRule(0.5, unknown_mm=700.0)
    for own, under in ((tops, [(0.0, 9.0), (1.0, 9.0)]), ([], tops)) if tops else (([], []),):
        monkeypatch.setattr(wall_water, "_tops", lambda *_, own=own: own)
        monkeypatch.setattr(wall_water, "tops_under", lambda *_, under=under: under)
        found = [(one.at_a_mm2, one.at_b_mm2) for one in wall_water._off_wall(roof, wall_edge, None, rule, ())]
        assert found == [pytest.approx(row) for row in due]


@pytest.mark.parametrize(("long", "falls"), [(0.4, 0), (0.6, 1), (4000.0, 1)])
def test_a_gable_on_a_point_lets_no_water_go(long: float, falls: int) -> None:
    at = Frame(on(0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0))
    face: Any = SimpleNamespace(
        id="U1", frame=at, rings_uv=(((0.0, 0.0), (long, 0.0), (long / 2.0, 1500.0)),), area_mm2=750.0 * long
    )
    roof: Any = SimpleNamespace(origin_mm=(0.0, 0.0, 0.0))
    assert len(list(wall_water._off_gable(roof, face, wall_water.WallRule(0.5)))) == falls
    single: Any = SimpleNamespace(
        id="U1", frame=at, rings_uv=(((0.0, 0.0), (900.0, 700.0), (0.0, 1500.0)),), area_mm2=675e3
    )
    assert list(wall_water._off_gable(roof, single, wall_water.WallRule(0.5))) == []
