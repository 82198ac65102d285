"""Sides of outlines by cells, edges of faces in one plane, roofs cut at walls: the rare cases, figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
import shapely
from made_roofs import box, edge, rising, roof, standing

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import UprightKind
from takeoff.shape.faces import assemble as assembling
from takeoff.shape.faces import edge_runs
from takeoff.shape.faces.closure import _border_faults, input_rounding_mm
from takeoff.shape.faces.face_groups import Region, index_nodes, merge_coplanar
from takeoff.shape.faces.frames import ring_area3
from takeoff.shape.faces.outline_sides import OutlineSides, _Cells
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.together import combine, crossing, overlay

UP = (0.0, 0.0, 1.0)
STEEP = (0.0, -0.6, 0.8)
E = EdgeKind


@pytest.mark.parametrize(
    ("points", "columns", "rows"),
    [
        ([(50.0, 150.0)], (0, 0), (1, 1)), ([(81.0, 150.0)], (0, 1), (1, 1)), ([(79.0, 150.0)], (0, 0), (1, 1)), ([(19.0, 150.0)], (-1, 0), (1, 1)), ([(21.0, 150.0)], (0, 0), (1, 1)),
        ([(50.0, 181.0)], (0, 0), (1, 2)), ([(50.0, 179.0)], (0, 0), (1, 1)), ([(50.0, 119.0)], (0, 0), (0, 1)), ([(50.0, 121.0)], (0, 0), (1, 1)),
        ([(350.0, 150.0), (50.0, -150.0)], (0, 3), (-2, 1)), ([(50.0, -150.0), (350.0, 150.0)], (0, 3), (-2, 1)),
    ],
)  # fmt: skip
def test_cells_within_twice_the_nearness_of_points(
    points: Any, columns: tuple[int, int], rows: tuple[int, int]
) -> None:
    """Cells of 100, 20 round the box of the points."""
    held: Any = SimpleNamespace(_pad=20.0, _side=100.0)
    due = [(x, y) for x in range(columns[0], columns[1] + 1) for y in range(rows[0], rows[1] + 1)]
    assert list(_Cells._touched(held, points)) == due


def saw(count: int) -> _Cells:
    return _Cells({n: ((100.0 * n + 9000.0, 700.0), (100.0 * (n + 1) + 9000.0, 700.0)) for n in range(count)}, 7.0)


def test_from_forty_one_sides_on_they_lie_in_cells() -> None:
    """Of twice the middle length, at least a sixty-fourth of the outline; 14 round each."""
    assert (saw(40)._side, saw(41)._side, saw(41)._pad) == (0.0, 200.0, 14.0)
    assert saw(200)._side == 100.0 * 199 / 64 > 300.0
    assert _Cells({n: ((0.01 * n, 0.0), (0.01 * (n + 1), 0.0)) for n in range(41)}, 0.001)._side == 1.0
    long = {n: ((0.0, 10.0 * n), (100.0 if n < 20 else 400.0, 10.0 * n)) for n in range(41)}
    assert _Cells(long, 7.0)._side == 800.0  # 20 of 100 and 21 of 400: the middle one is 400 long


def test_a_short_piece_a_little_aslant_lies_on_a_long_side() -> None:
    """Off by 0.08 at either end of 100 mm of 5 m: its own line would run 4 mm past the side's ends."""
    outline = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 3000.0), (0.0, 3000.0))
    sides = OutlineSides(Plan("main", (0.0, 0.0, 0.0), (outline,), edge_numbers=((1, 2, 3, 4),)))
    for x in (-50.0, 2000.0, 4950.0):
        piece = ((x, 0.08, 9.0), (x + 100.0, -0.08, 9.0))
        assert sides._beside(1, piece)
        assert sides._beside(1, piece[::-1])
        assert not sides._beside(1, ((x, 0.12, 9.0), (x + 100.0, -0.08, 9.0)))


def test_a_bearing_a_crumb_short_of_north_is_north() -> None:
    """Faces rounded to a billionth of a degree and never 360."""
    ring = ((0.0, 0.0, 0.0), (0.0, 4000.0, 0.0), (-4000.0, 4000.0, 3000.0), (-4000.0, 0.0, 3000.0))
    plan = Plan("main", (0.0, 0.0, 0.0), (tuple((x, y) for x, y, _ in ring),), edge_numbers=((1, 2, 3, 4),))
    for north, bearing in (
        (-90.0 - 1e-11, 0.0),
        (-90.0, 0.0),
        (-90.0 - 1e-8, 360.0 - 1e-8),
        (300.0, 30.0),
        (0.1234567894, 90.123456789),
    ):
        (plane,) = assembling.assemble([Face((ring,), (0.6, 0.0, 0.8), (1,), pitch_deg=36.87)], plan, north).planes
        assert plane.bearing_deg == pytest.approx(bearing, abs=1e-12)


def test_faces_that_name_their_roof_keep_it() -> None:
    ring = ((0.0, 0.0, 0.0), (4000.0, 0.0, 0.0), (4000.0, 4000.0, 3000.0), (0.0, 4000.0, 3000.0))
    wall = ((0.0, 4000.0, 3000.0), (4000.0, 4000.0, 3000.0), (4000.0, 4000.0, 5000.0), (0.0, 4000.0, 5000.0))
    plan = Plan("main", (0.0, 0.0, 0.0), (tuple((x, y) for x, y, _ in ring),), edge_numbers=((1, 2, 3, 4),))
    for given, named in (("wing", "wing"), ("", "main")):
        faces = [
            Face((ring,), STEEP, (1,), pitch_deg=36.87, roof=given),
            Face((wall,), (0.0, -1.0, 0.0), (3,), upright=UprightKind.ABUTTING, roof=given),
        ]
        found = assembling.assemble(faces, plan, 0.0)
        assert {one.roof for one in (*found.planes, *found.uprights, *found.edges)} == {named}


def test_how_coarse_typed_coordinates_are() -> None:
    """The largest of them, either side of nothing, times 2 to the power of -52; 2^41 to 2^-11."""
    assert input_rounding_mm(((5.0, -(2.0**41)), (3.0, 2.0))) == 2.0**-11
    assert input_rounding_mm() == 0.0


@pytest.mark.parametrize(("short", "open_"), [(0.3, False), (0.5, True)])
def test_a_border_of_hundreds_of_kilometres_may_be_off_by_a_billionth(short: float, open_: bool) -> None:
    """400 km round: 0.4 mm."""
    plane = rising("P1", 0.0, 0.0, 0.0, box(0.0, 0.0, 1e8, 1e8))
    sides = tuple(
        edge(f"E{k}", E.EAVE, (0.0, 0.0, 0.0), (1e8, 0.0, 0.0), length_mm=1e8 - (short if k == 0 else 0.0))
        for k in range(4)
    )
    assert bool(_border_faults(roof(planes=(plane,), edges=sides), 0.0)) is open_


def test_area_of_a_ring_aslant_in_every_axis() -> None:
    """A parallelogram of (2, 0, 1) and (0, 3, 2): their product is (-3, -4, 6), its size the root of 61."""
    size = 61.0**0.5
    ring = [(5.0, 6.0, 7.0), (7.0, 6.0, 8.0), (7.0, 9.0, 10.0), (5.0, 9.0, 9.0)]
    normal = (-3.0 / size, -4.0 / size, 6.0 / size)
    assert ring_area3(ring, normal) == pytest.approx(size)
    assert ring_area3(ring[::-1], normal) == pytest.approx(-size)


def test_faces_are_measured_off_the_first_corner_of_the_largest() -> None:
    """Two halves of a field, the second of which is 2 higher at its far end: in one plane where that is flat."""
    big = Face((((0.0, 0.0, 5.0), (900.0, 0.0, 5.0), (900.0, 900.0, 5.0), (0.0, 900.0, 5.0)),), UP)
    small = Face((((900.0, 0.0, 5.0), (1200.0, 0.0, 7.0), (1200.0, 900.0, 7.0), (900.0, 900.0, 5.0)),), UP)
    for flat, regions in ((2.1, 1), (1.9, 2)):
        net = index_nodes([big, small])
        assert len(merge_coplanar([big, small], net, flat, 1.0)) == regions


def test_an_edge_is_named_by_the_first_face_of_a_region() -> None:
    """Of faces in one region the first is the plane: 90 degrees between it and the wall, whatever the second's slope."""
    nodes = [
        (0.0, 0.0, 0.0),
        (900.0, 0.0, 0.0),
        (900.0, 900.0, 0.0),
        (0.0, 900.0, 0.0),
        (0.0, 0.0, 500.0),
        (900.0, 0.0, 500.0),
    ]
    level, slope = (
        Face(((nodes[0], nodes[1], nodes[2], nodes[3]),), UP),
        Face(((nodes[0], nodes[1], nodes[2], nodes[3]),), STEEP),
    )
    wall = Face(((nodes[1], nodes[0], nodes[4], nodes[5]),), (0.0, 1.0, 0.0), upright=UprightKind.ABUTTING)
    border = ((0, 1), (1, 2), (2, 3), (3, 0))
    regions = [Region((0, 1), border), Region((2,), ((1, 0), (0, 4), (4, 5), (5, 1)))]
    runs = {
        tuple(sorted((run.a, run.b))): run for run in edge_runs.find_runs(nodes, [level, slope, wall], regions, 0.01)
    }
    assert sorted(runs) == [(0, 1), (0, 3), (1, 2), (2, 3)]
    assert (runs[0, 1].kind, runs[0, 1].between_deg, runs[0, 1].convex) == (E.APRON_HEAD, pytest.approx(90.0), False)
    assert {runs[ends].kind for ends in ((0, 3), (1, 2), (2, 3))} == {E.EAVE}


def test_a_path_is_cut_at_its_furthest_inner_node() -> None:
    nodes = [(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (200.0, 0.4, 0.0), (300.0, 3.0, 0.0), (400.0, 0.0, 0.0)]
    assert edge_runs._straight_parts(nodes, [0, 1, 2, 3, 4], 1.4) == [[0, 1, 2, 3], [3, 4]]
    assert edge_runs._straight_parts(nodes, [0, 1, 2, 3, 4], 1.6) == [[0, 1, 2, 3, 4]]
    assert edge_runs._straight_parts(nodes, [0, 3, 4], 1.4) == [[0, 3], [3, 4]]


GABLE = standing(
    "U1", (1000.0, 2000.0, 300.0), (4000.0, 6000.0, 300.0), [(0.0, 0.0), (5000.0, 0.0), (2500.0, 1000.0)], edge=4
)


def beside(s: float, off: float) -> tuple[float, float]:
    return (1000.0 + 0.6 * s - 0.8 * off, 2000.0 + 0.8 * s + 0.6 * off)


@pytest.mark.parametrize(
    ("hidden", "left"), [((3000.0, 9000.0), [(0.0, 3000.0)]), ((2000.0, 3500.0), [(0.0, 2000.0), (3500.0, 5000.0)])]
)
def test_what_is_left_of_a_gable_ends_at_the_house_itself(
    hidden: tuple[float, float], left: list[tuple[float, float]]
) -> None:
    """Not the tenth of a millimetre before it that is kept off."""
    low, high = hidden
    house = shapely.Polygon([beside(low, -900.0), beside(high, -900.0), beside(high, 900.0), beside(low, 900.0)])
    found = overlay.uprights_outside(roof(uprights=(GABLE,)), house)
    spans = sorted(
        (min(ways), max(ways))
        for face in found
        for ways in [[(x - 1000.0) * 0.6 + (y - 2000.0) * 0.8 for x, y, _ in face.rings_mm[0]]]
    )
    assert spans == [pytest.approx(span, abs=1e-6) for span in left]


@pytest.mark.parametrize(("up", "meet"), [(0.0, True), (0.04, True), (0.06, False), (40.0, False)])
def test_level_edges_meet_in_line_at_one_height_from_origins_of_their_own(up: float, meet: bool) -> None:
    mine = roof(origin_mm=(700.0, -200.0, 50.0), edges=(edge("E1", E.EAVE, (0.0, 0.0, 2400.0), (4000.0, 0.0, 2400.0)),))
    theirs = roof(
        "other",
        origin_mm=(500.0, 300.0, 90.0),
        edges=(edge("E2", E.EAVE, (1200.0, -500.0, 2360.0 + up), (3200.0, -500.0, 2360.0 + up)),),
    )
    assert combine._meet_in_line(mine, theirs) is meet
    assert combine._meet_in_line(theirs, mine) is meet


def test_an_edge_lies_on_a_plane_by_its_middle() -> None:
    """The plane reaches from (1000, 500) to (1400, 900); both ends lie 300 past it, the middle on it or 1.1 beside it."""
    plane = rising("P1", 50.0, 0.0, 0.0, box(1000.0, 500.0, 1400.0, 900.0))
    for x, y, lies in ((1200.0, 700.0, True), (1400.9, 700.0, True), (1401.1, 700.0, False), (1200.0, 900.9, True), (1200.0, 901.1, False), (1200.0, 498.9, False)):  # fmt: skip
        assert crossing._lies_on(plane, (x - 300.0, y - 700.0, 50.0), (x + 300.0, y + 700.0, 50.0)) is lies


def test_sides_of_walls_have_numbers_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """An outline's four, an outer wall's four and a court's six."""
    seen: list[Any] = []
    monkeypatch.setattr(
        combine, "join_short_edges", lambda faces, sides, mm: seen.append((len(faces), sides, mm)) or (faces, 2)
    )
    lower = roof("low", outline_mm=(box(0.0, 0.0, 900.0, 900.0),), edge_numbers=((3, 4, 5, 6),))
    court = ((300.0, 300.0), (300.0, 400.0), (350.0, 450.0), (400.0, 400.0), (400.0, 350.0), (350.0, 300.0))
    found = combine._cut_faces(lower, (), (), (box(100.0, 100.0, 800.0, 800.0), court))
    assert found == ([], [], True)
    ((count, sides, mm),) = seen
    assert (count, mm) == (0, 3.0)
    assert sorted(sides._ends) == [3, 4, 5, 6, *range(1_000_000, 1_000_010)]
    assert sides._ends[1_000_004] == ((300.0, 300.0), (300.0, 400.0))
    assert sides._ends[1_000_003] == ((100.0, 800.0), (100.0, 100.0))


def test_what_was_joined_may_be_as_far_off_as_it_was_joined(monkeypatch: pytest.MonkeyPatch) -> None:
    """3 mm where corners were made one at a wall, else a hundredth for edges and nothing for planes."""
    asked: list[Any] = []
    house = roof(
        "high",
        wall_line_mm=(box(0.0, 500.0, 900.0, 2000.0),),
        outline_mm=(box(-100.0, 400.0, 1000.0, 2100.0),),
        planes=(rising("P9", 9000.0, 0.0, 0.0, box(-100.0, 400.0, 1000.0, 2100.0)),),
    )
    lower = roof(
        "low",
        outline_mm=(box(0.0, 0.0, 900.0, 900.0),),
        edge_numbers=((1, 2, 3, 4),),
        planes=(rising("P1", 0.0, 0.0, 0.5, box(0.0, 0.0, 900.0, 900.0)),),
    )
    monkeypatch.setattr(combine, "assemble", lambda faces, plan, north, **more: asked.append(more) or lower)
    monkeypatch.setattr(combine, "closure_faults", lambda made, **more: asked.append(more) or ())
    whole = combine._cut_faces
    for joined in (False, True):
        with monkeypatch.context() as patch:
            patch.setattr(combine, "_cut_faces", lambda *given, joined=joined: (*whole(*given)[:2], joined))
            combine.cut_at_wall(lower, house)
    assert asked == [
        {"straight_mm": 0.01, "put_upright": False}, {"rounding_mm": 1e-4, "off_plane_mm": 0.0},
        {"straight_mm": 3.0, "put_upright": True}, {"rounding_mm": 1e-4, "off_plane_mm": 3.0},
    ]  # fmt: skip
