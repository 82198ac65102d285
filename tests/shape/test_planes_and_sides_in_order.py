"""Which plane, ring, side or end comes first where there are several: of faces, walls, slabs and gables, figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from flat_planes import FLAT, edge, plane
from made_roofs import box, rising, roof
from oblique_wall import at, wall
from oblique_wall import plane as wall_plane

from takeoff.basics.errors import ShapeError
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.walls import ElevationJob, OpeningJob, WallsJob
from takeoff.model.roof import Frame, UprightKind
from takeoff.model.walls import Corner
from takeoff.shape.faces import assemble as assembling
from takeoff.shape.faces.edge_runs import Run
from takeoff.shape.faces.face_groups import index_nodes, merge_coplanar
from takeoff.shape.faces.frames import normal_of
from takeoff.shape.faces.name_edges import Side, Touch, name_edge
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.strips.plane_lines import _on_plane, lines_beside
from takeoff.shape.strips.sheeted_area import _first_to_vanish, _Side
from takeoff.shape.strips.slabs import Slab, _plain_ring, cut_slabs, rings_of, straightened
from takeoff.shape.together import combine, crossing
from takeoff.shape.walls.wall_draft import Draft, given_wall
from takeoff.shape.walls.wall_lines import wall_lines
from takeoff.shape.walls.wall_openings import openings_of
from takeoff.shape.walls.wall_tops import _meeting
from takeoff.shape.water import wall_water

UP = (0.0, 0.0, 1.0)
E = EdgeKind
OUT = Corner("external", 90.0)
SQUARE = ((0.0, 0.0, 5.0), (900.0, 0.0, 5.0), (900.0, 700.0, 5.0), (0.0, 700.0, 5.0))


def plan(*rings: tuple[tuple[float, float], ...]) -> Plan:
    first, numbers = 1, []
    for ring in rings:
        numbers.append(tuple(range(first, first + len(ring))))
        first += len(ring)
    return Plan("main", (0.0, 0.0, 0.0), rings, edge_numbers=tuple(numbers))


@pytest.mark.parametrize("open_border", [False, True])
def test_a_face_that_does_not_close_is_named_by_its_first_corner(
    monkeypatch: pytest.MonkeyPatch, open_border: bool
) -> None:
    """In the order of its border, which begins with the side that ends at its first corner: (0, 700)."""

    def loops(border: Any) -> Any:
        if open_border:
            raise ValueError("open border")
        return ()

    monkeypatch.setattr(assembling, "border_loops", loops)
    with pytest.raises(ShapeError) as caught:
        assembling._find_shape([Face((SQUARE,), UP)], "main", 0.01, 0.1, 0.01)
    said = "the border of the face at (0, 700) at height 5 does not close" if open_border else "the face at (0, 700) at height 5 is not one piece; its border makes 0 rings"  # fmt: skip
    assert str(caught.value) == f"roof main: {said}"


def test_a_face_without_a_border_is_named_by_its_first_corner(monkeypatch: pytest.MonkeyPatch) -> None:
    region: Any = SimpleNamespace(faces=(0,), border=())
    monkeypatch.setattr(assembling, "merge_coplanar", lambda *_: (region,))
    with pytest.raises(ShapeError) as caught:
        assembling._find_shape([Face((SQUARE[2:] + SQUARE[:2], SQUARE), UP)], "main", 0.01, 0.1, 0.01)
    assert (
        str(caught.value) == "roof main: the face at (900, 700) at height 5 is not one piece; its border makes 0 rings"
    )


def test_points_on_the_way_of_an_edge_are_no_corners_of_its_plane() -> None:
    """Two points on its eave and one on its east side; the last point of the ring is one of them, or the first is."""
    ring = (
        (0.0, 0.0, 0.0),
        (300.0, 0.0, 0.0),
        (600.0, 0.0, 0.0),
        (900.0, 0.0, 0.0),
        (900.0, 400.0, 300.0),
        (900.0, 800.0, 600.0),
        (0.0, 800.0, 600.0),
    )
    steep = (0.0, -0.6, 0.8)
    for start in range(7):
        turned = (*ring[start:], *ring[:start])
        found = assembling.assemble(
            [Face((turned,), steep, (1,), pitch_deg=36.87)],
            plan(((0.0, 0.0), (900.0, 0.0), (900.0, 800.0), (0.0, 800.0))),
            0.0,
        )
        (rings,) = [one.rings_uv for one in found.planes]
        assert rings == (
            tuple(pytest.approx(point) for point in ((0.0, 0.0), (900.0, 0.0), (900.0, 1000.0), (0.0, 1000.0))),
        )
        assert sorted(one.outline_edges for one in found.edges) == [(1,), (2,), (3,), (4,)]


def test_a_level_plane_lies_along_its_outer_ring_not_along_its_hole() -> None:
    """900 x 700 with a hole on its corner, whose longest side runs aslant."""
    hole = ((450.0, 200.0, 5.0), (300.0, 350.0, 5.0), (450.0, 500.0, 5.0), (600.0, 350.0, 5.0))
    found = assembling.assemble([Face((SQUARE, hole), UP, (1,), pitch_deg=0.0)], plan(box(0.0, 0.0, 900.0, 700.0)), 0.0)
    (level,) = found.planes
    assert (level.frame.u, level.frame.origin_mm) == ((1.0, 0.0, 0.0), (0.0, 0.0, 5.0))


def run(kind: EdgeKind, a: int, b: int, left: int = 0, right: int = 1) -> Run:
    return Run(kind, a, b, left, right, (), ((a, b),), 120.0, True)


def test_a_level_edge_starts_at_its_left_end_and_a_sloping_one_at_its_lower() -> None:
    """Seen from the plane that comes first, whose axes are those of the plan; the other looks at it from behind."""
    behind = Frame((900.0, 700.0, 0.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), UP)
    shape: Any = SimpleNamespace(
        net=SimpleNamespace(nodes=[(500.0, 600.0, 9.0), (100.0, 600.0, 9.0), (100.0, 50.0, 2.0)])
    )
    frames = {0: FLAT, 1: behind}
    ridge = run(E.RIDGE, 0, 1)
    for given in (ridge, ridge.turned()):
        assert (
            assembling._directed(given, shape, frames, {0: 0, 1: 1}).a,
            assembling._directed(given, shape, frames, {0: 1, 1: 0}).a,
        ) == (1, 0)
        hip = run(E.HIP, given.a, 2) if given.a == 0 else run(E.HIP, 2, 0)
        assert assembling._directed(hip, shape, frames, {0: 0, 1: 1}).a == 2


def test_edges_are_put_in_order_along_the_first_of_the_sides_they_lie_on() -> None:
    sides = OutlineSides(plan(box(0.0, 0.0, 900.0, 700.0)))
    shape: Any = SimpleNamespace(net=SimpleNamespace(nodes=[(250.0, 0.0, 4.0), (900.0, 0.0, 7.5), (900.0, 300.0, 2.0)]))
    rank = {0: 5, 1: 3}
    eave = assembling._Placed(run(E.EAVE, 0, 1), (1, 2))
    number = assembling._edge_key(eave, shape, sides, rank)[0]
    assert assembling._edge_key(eave, shape, sides, rank) == (number, 1, 250.0, 4.0, [3, 5], (250.0, 0.0, 4.0))
    inner = assembling._Placed(run(E.EAVE, 1, 2), ())
    assert assembling._edge_key(inner, shape, sides, rank) == (number, 2, 0.0, 7.5, [3, 5], (900.0, 0.0, 7.5))
    away = assembling._Placed(run(E.EAVE, 2, 1), ())
    assert assembling._edge_key(away, shape, sides, rank)[1:3] == (assembling._LAST, 0.0)


def test_an_edge_of_two_roofs_is_counted_by_the_first_and_an_upright_without_an_edge_has_none() -> None:
    south = ((0.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 400.0, 300.0), (0.0, 400.0, 300.0))
    north = ((900.0, 800.0, 0.0), (0.0, 800.0, 0.0), (0.0, 400.0, 300.0), (900.0, 400.0, 300.0))
    end = ((900.0, 0.0, 0.0), (900.0, 800.0, 0.0), (900.0, 400.0, 300.0))
    faces = [
        Face((north,), (0.0, 0.6, 0.8), (3,), roof="b"),
        Face((south,), (0.0, -0.6, 0.8), (1,), roof="a"),
        Face((end,), (1.0, 0.0, 0.0), upright=UprightKind.GABLE, roof="b"),
    ]
    found = assembling.assemble(faces, plan(box(0.0, 0.0, 900.0, 800.0)), 0.0)
    ridge = next(one for one in found.edges if one.kind is E.RIDGE)
    assert (ridge.roof, ridge.faces) == ("a", ("P1", "P2"))
    assert [one.roof for one in found.planes] == ["a", "b"]
    assert [(one.roof, one.outline_edge) for one in found.uprights] == [("b", 0)]


def test_of_what_stands_at_an_edge_beside_a_plane_the_first_names_it() -> None:
    here = Touch(Side.ROOF, (0.0, -0.6, 0.8), (0.0, 0.8, 0.6))
    wall_up, kerb = (
        Touch(Side.WALL, (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
        Touch(Side.KERB, (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    )
    below = Touch(Side.FREE_UPRIGHT, (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
    a, b = (0.0, 0.0, 0.0), (900.0, 0.0, 0.0)
    assert name_edge(a, b, [here, kerb, wall_up]) is E.KERB
    assert name_edge(a, b, [here, wall_up, kerb]) is E.INTERNAL_GUTTER
    assert name_edge(a, b, [here, below, wall_up]) is E.EAVE
    assert name_edge(a, b, [here, below]) is name_edge(a, b, [here]) is E.EAVE


def test_a_plane_of_one_degree_is_not_level() -> None:
    assert normal_of((0.6, 0.8), 1.0) == pytest.approx((-0.6 * 0.0174524, -0.8 * 0.0174524, 0.9998477), abs=1e-7)


def test_a_small_face_turned_too_far_is_another_plane_however_flat_it_lies() -> None:
    """10 wide and 1 higher at its far end: 5.7 degrees, within 2 mm."""
    big = Face((SQUARE,), UP)
    strip = Face(
        (((900.0, 0.0, 5.0), (910.0, 0.0, 6.0), (910.0, 700.0, 6.0), (900.0, 700.0, 5.0)),),
        (-0.0995037, 0.0, 0.9950372),
    )
    net = index_nodes([big, strip])
    assert [len(merge_coplanar([big, strip], net, 2.0, turn)) for turn in (5.0, 6.0)] == [2, 1]


@pytest.mark.parametrize(
    ("edge_a", "edge_b"), [((1000.0, 500.0), (4000.0, 4500.0)), ((4000.0, 4500.0), (1000.0, 500.0))]
)
def test_a_timber_beside_a_part_of_a_side_ends_with_it(edge_a: Any, edge_b: Any) -> None:
    """5 m of a side of 11 m along (3, 4, 5); the timber lies 300 to its right, over the 5 m alone."""
    field = plane(((400.0, -300.0), (7000.0, 8500.0), (12000.0, 4750.0), (5400.0, -4050.0)))
    on = _on_plane(field, edge("E1", edge_a, edge_b))
    ((a, b),) = lines_beside(field, on, 300.0, 100.0)
    assert (a, b) == (pytest.approx((1240.0, 320.0)), pytest.approx((4240.0, 4320.0)))


def bare(at_: Any, end: Any) -> _Side:
    size = ((end[0] - at_[0]) ** 2 + (end[1] - at_[1]) ** 2) ** 0.5
    return _Side(at_, end, ((end[0] - at_[0]) / size, (end[1] - at_[1]) / size), "", 0.0)


@pytest.mark.parametrize("flip_x", [1.0, -1.0])
@pytest.mark.parametrize("flip_y", [1.0, -1.0])
@pytest.mark.parametrize("across_first", [True, False])
def test_of_sides_across_and_along_the_one_that_shrinks_sooner_goes(
    flip_x: float, flip_y: float, across_first: bool
) -> None:
    """40 that comes to -30 is gone after four sevenths, 44 that comes to -26 after 44 of 70; both lie far from the origin."""
    (wide, past), (high, over) = ((40.0, 30.0), (44.0, 26.0)) if across_first else ((44.0, 26.0), (40.0, 30.0))
    x, y = 1000.0 * flip_x, 2000.0 * flip_y
    along = bare((x, y), (x + flip_x * wide, y))
    up = bare((x + 500.0, y + 100.0), (x + 500.0, y + 100.0 + flip_y * high))
    c0, c1 = (x + flip_x * past, y), (x, y)
    c2, c3 = (x + 500.0, y + 100.0 + flip_y * over), (x + 500.0, y + 100.0)
    sides = [along, bare(c1, c2), up, bare(c3, c0)]
    assert _first_to_vanish(sides, [(c0,), (c1,), (c2,), (c3,)]) == (0 if across_first else 2)


def test_a_side_that_steps_at_its_start_is_measured_from_the_step() -> None:
    """Its corner has two points: the second is its own. From there it is -5 long, from the first it would be 15."""
    one = bare((0.0, 0.0), (40.0, 0.0))
    others = [bare((40.0, 0.0), (90.0, 70.0)), bare((90.0, 70.0), (-50.0, 70.0)), bare((-50.0, 70.0), (0.0, 0.0))]
    corners = [((0.0, 0.0), (20.0, 0.0)), ((15.0, 0.0), (50.0, 0.0)), ((90.0, 70.0),), ((-50.0, 70.0),)]
    assert _first_to_vanish([one, *others], corners) == 0


def test_slabs_that_begin_in_a_point_or_end_in_a_spike() -> None:
    """Names do not tell which side is the lower; what has no height is no slab."""
    (wedge,) = cut_slabs([((100.0, 50.0), (110.0, 45.0), (110.0, 55.0))], [("z", "m", "a")])
    assert wedge == Slab(100.0, 110.0, 50.0, 45.0, 50.0, 55.0, "z", "a")
    spike = ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (150.0, 50.0), (100.0, 50.0), (100.0, 100.0), (0.0, 100.0))
    (slab,) = cut_slabs([spike], [("",) * 7])
    assert (slab.u0, slab.u1, slab.area_mm2) == (0.0, 100.0, 10000.0)


def test_two_wedges_that_meet_in_their_first_corner_are_two_rings() -> None:
    low, high = Slab(100.0, 110.0, 50.0, 40.0, 50.0, 48.0), Slab(100.0, 110.0, 50.0, 52.0, 50.0, 60.0)
    found = rings_of([low, high])
    assert sorted(sorted(ring) for ring in found) == [
        [(100.0, 50.0), (110.0, 40.0), (110.0, 48.0)], [(100.0, 50.0), (110.0, 52.0), (110.0, 60.0)],
    ]  # fmt: skip


def test_slabs_left_of_the_origin_have_a_plain_ring_too() -> None:
    one, two = Slab(-20.0, -9.0, -40.0, -50.0, 30.0, 60.0), Slab(-9.0, 9.0, -50.0, -45.0, 60.0, 20.0)
    assert _plain_ring([one, two]) == (
        (-20.0, -40.0),
        (-9.0, -50.0),
        (9.0, -45.0),
        (9.0, 20.0),
        (-9.0, 60.0),
        (-20.0, 30.0),
    )
    for odd in (
        Slab(9.0, 20.0, 40.0, 40.0, 40.0, 60.0),
        Slab(9.0, 20.0, 40.0, 60.0, 50.0, 60.0),
        Slab(9.0, 9.0, 40.0, 40.0, 50.0, 50.0),
    ):
        assert _plain_ring([odd]) == ()


@pytest.mark.parametrize("turned", [False, True])
def test_points_a_hundredth_off_a_side_go_and_those_before_them_are_looked_at_again(turned: bool) -> None:
    """0.009 over the base, but 0.012 off the way to the point that goes after it."""
    base = [(0.0, 0.0), (50.0, 0.009), (75.0, -0.004), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)]
    kept = [(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)]
    if turned:
        base, kept = [(y, -x) for x, y in base], [(y, -x) for x, y in kept]
    assert list(straightened(base)) == kept


def test_what_does_not_close_after_a_cut_is_told_with_its_roof(monkeypatch: pytest.MonkeyPatch) -> None:
    lower = roof(
        "low",
        outline_mm=(box(0.0, 0.0, 900.0, 900.0),),
        edge_numbers=((1, 2, 3, 4),),
        planes=(rising("P1", 0.0, 0.0, 0.5, box(0.0, 0.0, 900.0, 900.0)),),
    )
    house = roof(
        "high",
        wall_line_mm=(box(0.0, 500.0, 900.0, 2000.0),),
        outline_mm=(box(-100.0, 400.0, 1000.0, 2100.0),),
        planes=(rising("P9", 9000.0, 0.0, 0.0, box(-100.0, 400.0, 1000.0, 2100.0)),),
    )
    monkeypatch.setattr(combine, "assemble", lambda *_, **__: lower)
    monkeypatch.setattr(combine, "closure_faults", lambda *_, **__: ("it gapes", "it leaks"))
    with pytest.raises(ShapeError) as caught:
        combine.cut_at_wall(lower, house)
    assert [(str(fault), fault.path) for fault in caught.value.faults] == [
        ("it gapes", ("roofs", "low")),
        ("it leaks", ("roofs", "low")),
    ]  # type: ignore[attr-defined]
    import shapely

    monkeypatch.setattr(crossing, "closure_faults", lambda *_, **__: ("it gapes",))
    with pytest.raises(ShapeError) as crossed:
        crossing._own(lower, lower, [lower, house], shapely.Polygon())
    assert [(str(fault), fault.path) for fault in crossed.value.faults] == [  # type: ignore[attr-defined]
        ("roofs low and high cross in a way that does not close; draw them as one outline", ("roofs", "low")), ("it gapes", ("roofs", "low")),
    ]  # fmt: skip


def test_a_point_just_before_a_wall_is_told_as_before_it() -> None:
    faults: list[str] = []
    job = ElevationJob(name="end", width_mm=4000, height_mm=2400, top=[(1, 2)]).model_copy(
        update={"top": [(-0.7, 2500.0), (4000.7, 2500.0)]}
    )
    given_wall(7, job, 3, -50.0, faults)
    assert faults == [
        "walls.elevations[3].top[1]: x = -0.7 lies 1 mm outside end, which is 4000 wide; give x from the left, 0 to 4000.",
        "walls.elevations[3].top[2]: x = 4000.7 lies 1 mm outside end, which is 4000 wide; give x from the left, 0 to 4000.",
    ]


def test_the_first_roof_without_a_wall_line_is_named_and_a_storeys_roof_is_guessed() -> None:
    def said(given: dict[str, Any], *roofs: Any) -> list[str]:
        faults: list[str] = []
        wall_lines(
            WallsJob.model_validate({"zones": [{"board": "bevel_187"}], "height_mm": 2400, **given}), roofs, faults
        )
        return faults

    assert said({}, roof("porch"), roof("shed")) == [
        "walls: roof porch has no wall line; give its wall_line, or the walls as elevations."
    ]
    wing = roof("wing", wall_line_mm=(box(9000.0, 0.0, 12000.0, 4000.0),))
    storeys = {"storeys": [{"roof": "wings", "floor_mm": 0, "height_mm": 2400}]}
    assert said(storeys, wing, roof("main", wall_line_mm=wing.wall_line_mm)) == [
        "walls.storeys[1].roof: there is no roof wings with a wall line; did you mean wing?"
    ]


@pytest.mark.parametrize(("left", "high", "said"), [
    (0.0, 1500.4, []), (0.0, 1500.6, ["walls.openings[1]: K goes 1 mm through the top of wall 1, which is 2400 high there; lower its head or move it."]),
    (5000.0, 2000.0, ["walls.openings[1]: K ends 900 mm past the right end of wall 1, which is 5000 wide; move it left or make it narrower."]),
])  # fmt: skip
def test_openings_at_the_top_and_the_end_of_a_wall(left: float, high: float, said: list[str]) -> None:
    faults: list[str] = []
    drawn = Draft(
        "wall 1", 1, 5000.0, 2400.0, ((0.0, 2400.0), (5000.0, 2400.0)), OUT, OUT, 0.0, (0.0, 0.0), (5000.0, 0.0), -50.0
    )
    openings_of(
        [OpeningJob(wall=1, from_left_mm=left, sill_mm=900, width_mm=900, height_mm=high, name="K")], [drawn], faults
    )
    assert faults == said


def test_planes_that_run_side_by_side_over_a_wall_meet_nowhere() -> None:
    one = wall_plane((0.0, 0.0), low=2400.0, fall=0.1)
    assert _meeting(one, wall_plane((0.0, 0.0), low=2400.04, fall=0.1), wall(), 3000.0) is None
    # 0.04 apart at 3000 and 0.0008 nearer a millimetre, they meet 50 further on
    other = wall_plane((0.0, 0.0), low=2399.96 - 4400.0 * 0.001, fall=0.101)
    assert _meeting(one, other, wall(), 3000.0) is None


def gable(ux: float, uy: float, *ring: tuple[float, float]) -> Any:
    frame = Frame((1300.0, -700.0, 2500.0), (ux, uy, 0.0), (0.0, 0.0, 1.0), (uy, -ux, 0.0))
    return SimpleNamespace(id="U1", frame=frame, rings_uv=(ring,), area_mm2=3e6)


@pytest.mark.parametrize(("ux", "uy"), [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (0.6, 0.8)])
def test_a_gables_foot_runs_between_its_ends_furthest_apart(ux: float, uy: float) -> None:
    """A ring begun within its foot: from 3000, 4000 lies 1000 off and 0 lies 3000 off. Counted from the plan's origin."""
    house: Any = SimpleNamespace(origin_mm=(110.0, 230.0, 0.0))
    face = gable(ux, uy, (3000.0, 0.0), (4000.0, 0.0), (2000.0, 1500.0), (0.0, 0.0))
    (found,) = wall_water._off_gable(house, face, wall_water.WallRule(0.5))
    assert found.a == pytest.approx((1410.0 + 3000.0 * ux, -470.0 + 3000.0 * uy, 2500.0))
    assert found.b == pytest.approx((1410.0, -470.0, 2500.0))
    assert found.area_mm2 == pytest.approx(1.5e6)


def test_a_wall_that_stands_over_a_part_of_an_edge_has_no_height_beside_it() -> None:
    """Over an edge of 4 m it stands from 1000 to 2000, 500 high; an edge of 0.6 mm is one too."""
    face: Any = SimpleNamespace(
        frame=Frame((1000.0, 2000.0, 2400.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0)),
        rings_uv=(((1000.0, 0.0), (2000.0, 0.0), (2000.0, 500.0), (1000.0, 500.0)),),
    )
    beside: Any = SimpleNamespace(a_mm=(*at(0.0, 0.0), 2400.0), b_mm=(*at(4000.0, 0.0), 2400.0))
    assert wall_water._tops(beside, face) == [
        (0.0, 0.0),
        (pytest.approx(0.25), pytest.approx(500.0)),
        (pytest.approx(0.5), pytest.approx(500.0)),
        (1.0, 0.0),
    ]
    short: Any = SimpleNamespace(a_mm=(*at(1500.0, 0.0), 2400.0), b_mm=(*at(1500.6, 0.0), 2400.0))
    assert wall_water._tops(short, face) == [(0.0, pytest.approx(500.0)), (1.0, pytest.approx(500.0))]


def test_without_a_share_no_wall_brings_water() -> None:
    house: Any = SimpleNamespace(
        origin_mm=(0.0, 0.0, 0.0),
        edges=(),
        uprights=(
            SimpleNamespace(
                **vars(gable(1.0, 0.0, (0.0, 0.0), (4000.0, 0.0), (2000.0, 1500.0))), kind=UprightKind.GABLE
            ),
        ),
        planes=(),
    )
    assert list(wall_water.walls_above(house, wall_water.WallRule(0.0))) == []
    assert len(list(wall_water.walls_above(house, wall_water.WallRule(0.1)))) == 1


def test_only_planes_are_put_straight_upright() -> None:
    """A corner 0.5 over its plane comes down onto it; the gable beside it stays as it is drawn."""
    ring = ((0.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 400.0, 300.0), (0.0, 400.0, 300.5))
    end = ((900.0, 400.0, 300.0), (900.0, 0.0, 0.0), (900.0, 400.0, 0.0))
    faces = [
        Face((ring,), (0.0, -0.6, 0.8), (1,), pitch_deg=36.87),
        Face((end,), (1.0, 0.0, 0.0), upright=UprightKind.GABLE),
    ]
    found = assembling.assemble(faces, plan(box(0.0, 0.0, 900.0, 400.0)), 0.0, put_upright=True)
    (straight,) = found.planes
    assert straight.rings_uv == (
        tuple(pytest.approx(point) for point in ((0.0, 0.0), (900.0, 0.0), (900.0, 500.0), (0.0, 500.0))),
    )
    assert [one.area_mm2 for one in found.uprights] == [pytest.approx(400.0 * 300.0 / 2.0)]
