"""Small cases of shaping, each a step either side of a limit or the other way round: figures by hand."""

from __future__ import annotations

from math import cos, hypot, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest
from eave_water import curtain as along_eave
from eave_water import on, piece
from flat_planes import plane
from made_roofs import box, edge, rising, roof
from oblique_wall import plane as wall_plane
from oblique_wall import wall

from takeoff.basics.errors import ShapeError
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.walls import ElevationJob
from takeoff.model.roof import Frame, UprightKind
from takeoff.shape.faces import assemble as assembling
from takeoff.shape.faces.name_edges import Side, Touch, included_deg
from takeoff.shape.faces.parts import Face, Numbering, Plan
from takeoff.shape.outline.rises import edge_rises
from takeoff.shape.skeleton import breaks
from takeoff.shape.skeleton import faces as tracing
from takeoff.shape.skeleton.record import EdgeProfile, RiseStep
from takeoff.shape.skeleton.solve import solve
from takeoff.shape.strips.plane_lines import long_spans, supports_under
from takeoff.shape.strips.sheeted_area import SheetedArea, _first_to_vanish, _Side
from takeoff.shape.strips.slabs import Slab, rings_of
from takeoff.shape.strips.strips import Widths, cut_strips
from takeoff.shape.together import combine, covered, crossing, overlay
from takeoff.shape.walls.wall_draft import given_wall
from takeoff.shape.walls.wall_edges import wall_edges
from takeoff.shape.walls.wall_tops import _meeting, clipped
from takeoff.shape.water import drainage, wall_water
from takeoff.shape.water.fall_cells import Cell, open_strips
from takeoff.shape.water.fall_lines import Landing

UP = (0.0, 0.0, 1.0)


def test_planes_and_uprights_are_numbered_on() -> None:
    south = ((0.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 400.0, 300.0), (0.0, 400.0, 300.0))
    east = ((900.0, 0.0, 0.0), (900.0, 400.0, 0.0), (900.0, 400.0, 300.0))
    west = ((0.0, 400.0, 0.0), (0.0, 0.0, 0.0), (0.0, 400.0, 300.0))
    faces = [
        Face((south,), (0.0, -0.6, 0.8), (1,)),
        Face((east,), (1.0, 0.0, 0.0), (2,), upright=UprightKind.GABLE),
        Face((west,), (-1.0, 0.0, 0.0), (4,), upright=UprightKind.GABLE),
    ]
    plan = Plan("main", (0.0, 0.0, 0.0), (box(0.0, 0.0, 900.0, 400.0),), edge_numbers=((1, 2, 3, 4),))
    found = assembling.assemble(faces, plan, 0.0, Numbering(3, 5, 7, (("E", 2),)))
    assert ([one.id for one in found.planes], [one.id for one in found.uprights]) == (["P4"], ["U6", "U7"])
    assert min(int(node.id[1:]) for node in found.nodes) == 8
    assert [one.id for one in found.edges if one.id[0] == "E"] == ["E3"]


def test_an_eave_may_have_a_rise_of_its_own() -> None:
    job = RoofJob.model_validate(
        {
            "name": "main",
            "outline": list(box(0.0, 0.0, 9000.0, 6000.0)),
            "pitch_deg": 25,
            "edges": {1: {"kind": "eave", "rise": [{"up_to_mm": 500, "pitch_deg": 40}, {}]}},
        }
    )
    found, faults = edge_rises(job, 4, 2400.0)
    assert faults == ()
    assert [(step.up_to_z, step.pitch_deg) for step in found[1].profile.steps] == [(2900.0, 40.0), (None, 25.0)]


def test_gables_all_round_are_refused_at_the_first_of_them() -> None:
    upright = EdgeProfile(0.0, (RiseStep(None, 90.0),))
    with pytest.raises(ShapeError) as caught:
        solve([box(0.0, 0.0, 9000.0, 6000.0)], [upright] * 4)
    (fault,) = caught.value.faults
    assert (
        str(fault)
        == "Edges 1, 2, 3, 4 enclose a part of the roof that no sloping plane reaches: it never closes. Give at least one of these edges a pitch."
    )
    assert fault.path == ("edge", 1)  # type: ignore[attr-defined]


def test_a_hole_that_is_due_closes_the_ring_round_it(monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[tuple[int, int]] = []
    monkeypatch.setattr(breaks, "chains_at", lambda *_: ([10, 11, 12], [100.0, -5.0, -7.0], [-1, 3, -1]))
    monkeypatch.setattr(breaks, "inside", lambda *_: True)
    monkeypatch.setattr(breaks, "close_chain", lambda _, first, face, t: done.append((first, face)))
    breaks.close_flat_tops(None, 2.5)  # type: ignore[arg-type]
    assert done == [(10, 3), (11, 3), (12, 3)]


@pytest.mark.parametrize(("rise", "back"), [(400.0, False), (400.0, True), (-250.0, False)])
def test_rafters_under_a_line_that_runs_nearly_level(rise: float, back: bool) -> None:
    """3 m along and so much up from (1000, 300): rafters at 1800, 2700 and 3600 are 800, 1700 and 2600 of its 3000 on."""
    bay = plane(((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)))
    a, b = (1000.0, 300.0), (4000.0, 300.0 + rise)
    long = hypot(3000.0, rise)
    due = [long * x / 3000.0 for x in (800.0, 1700.0, 2600.0)]
    found = supports_under(bay, *((b, a) if back else (a, b)), 900.0, "left")
    assert found == pytest.approx(tuple(long - x for x in reversed(due)) if back else tuple(due))


@pytest.mark.parametrize("dx", [0.0, 1000.0, -1000.0, -110.0])
@pytest.mark.parametrize("dv", [0.0, 900.0, -900.0, -60.0])
def test_slabs_that_touch_in_a_corner_are_two_rings_wherever_they_lie(dx: float, dv: float) -> None:
    """Two squares on either diagonal, and two wedges above each other that meet at their right."""

    def slab(u0: float, u1: float, *heights: float) -> Slab:
        return Slab(u0 + dx, u1 + dx, *(v + dv for v in heights))

    def ring(*points: tuple[float, float]) -> list[tuple[float, float]]:
        return sorted((u + dx, v + dv) for u, v in points)

    left, right = ((100.0, 50.0), (110.0, 50.0), (110.0, 60.0), (100.0, 60.0)), ((110.0, 60.0), (120.0, 60.0), (120.0, 70.0), (110.0, 70.0))  # fmt: skip
    up = [slab(100.0, 110.0, 50.0, 50.0, 60.0, 60.0), slab(110.0, 120.0, 60.0, 60.0, 70.0, 70.0)]
    assert sorted(sorted(one) for one in rings_of(up)) == [ring(*left), ring(*right)]
    down = [slab(100.0, 110.0, 60.0, 60.0, 70.0, 70.0), slab(110.0, 120.0, 50.0, 50.0, 60.0, 60.0)]
    assert sorted(sorted(one) for one in rings_of(down)) == sorted([ring((100.0, 60.0), (110.0, 60.0), (110.0, 70.0), (100.0, 70.0)), ring((110.0, 50.0), (120.0, 50.0), (120.0, 60.0), (110.0, 60.0))])  # fmt: skip
    wedges = [slab(100.0, 110.0, 40.0, 60.0, 55.0, 60.0), slab(100.0, 110.0, 65.0, 60.0, 80.0, 60.0)]
    assert sorted(sorted(one) for one in rings_of(wedges)) == sorted([ring((100.0, 40.0), (110.0, 60.0), (100.0, 55.0)), ring((100.0, 65.0), (110.0, 60.0), (100.0, 80.0))])  # fmt: skip
    around = [slab(0.0, 10.0, 0.0, 0.0, 30.0, 30.0), slab(10.0, 20.0, 0.0, 0.0, 10.0, 10.0), slab(10.0, 20.0, 20.0, 20.0, 30.0, 30.0), slab(20.0, 30.0, 0.0, 0.0, 30.0, 30.0)]  # fmt: skip
    outer, hole = rings_of(around)
    assert (sorted(outer), sorted(hole)) == (ring((0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)), ring((10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0)))  # fmt: skip


@pytest.mark.parametrize(("over", "refused"), [(3.9, False), (4.1, True)])
def test_a_roof_that_only_touches_one_without_walls_is_left_as_it_is(over: float, refused: bool) -> None:
    """A millimetre round the lower roof's 3600 are 3600 mm2: 900 of its side by 4."""
    lower = roof(
        "low",
        outline_mm=(box(0.0, 0.0, 900.0, 900.0),),
        planes=(rising("P1", 0.0, 0.0, 0.5, box(0.0, 0.0, 900.0, 900.0)),),
    )
    higher = roof("high", outline_mm=(box(0.0, 900.0 - over, 900.0, 2000.0),))
    if not refused:
        assert combine.cut_at_wall(lower, higher) is lower
        return
    with pytest.raises(ShapeError) as caught:
        combine.cut_at_wall(lower, higher)
    (fault,) = caught.value.faults
    assert (
        str(fault)
        == "roof low stands below roof high, which has no wall line to cut it at; give roof high a wall_line with overhangs instead of an outline"
    )
    assert fault.path == ("roofs", "low", "below")  # type: ignore[attr-defined]


def test_a_part_of_a_top_of_under_a_millimetre() -> None:
    """Up 400 on 1000: 0.8 mm of it rise by 0.32."""
    top = ((0.0, 2400.0), (3000.0, 3600.0), (6000.0, 2700.0))
    assert [pytest.approx(point) for point in ((1000.0, 2800.0), (1000.8, 2800.32))] == list(
        clipped(top, 1000.0, 1000.8)
    )


@pytest.mark.parametrize(("apart", "meets"), [(0.04, True), (-0.04, True), (1.5, True), (-1.5, True), (1.7, False)])
def test_planes_that_cross_steeply_over_a_wall_meet_where_they_cross(apart: float, meets: bool) -> None:
    """Along the wall one rises by 0.08 a millimetre and the other falls by 0.72: 0.8 apart a millimetre on."""
    one, other = (
        wall_plane((0.0, 0.0), low=2400.0, fall=0.1),
        wall_plane((0.0, 0.0), low=2840.0 - apart + 0.9 * 4400.0, fall=-0.9),
    )
    found = _meeting(one, other, wall(), 3000.0)
    assert (found is not None) is meets
    if found is not None:
        assert found == (pytest.approx(3000.0 - apart / 0.8), pytest.approx(2840.0 - 0.1 * apart))


def test_a_run_without_water_has_no_pitch() -> None:
    one = piece()
    found = drainage._run("SP1", SimpleNamespace(name="main"), [one], False)  # type: ignore[arg-type]
    assert (found.pitch_deg, found.plan_catchment_mm2, found.valleys, found.received) == (0.0, 0.0, (), ())


def test_legs_in_one_line_have_no_corner_whichever_way_they_run() -> None:
    """The product of two unit vectors may pass 1, or -1, by a crumb."""
    edge: Any = SimpleNamespace(id="E1", roof="main")

    def leg(turn: float, start: float, end: float) -> Any:
        ends = [(s * cos(radians(turn)), s * sin(radians(turn)), 0.0) for s in (start, end)]
        return drainage._Piece(edge, "a", "b", ends[0], ends[1], False, (1,))

    for k in range(360):
        assert drainage._corner(leg(k + 0.3, 0.0, 4321.0), leg(k + 0.3, 4321.0, 9876.5)) is None
        back = drainage._corner(leg(k + 0.3, 0.0, 4321.0), leg(k + 0.3, 4321.0, 100.7))
        assert back is not None
        assert back.angle_deg == pytest.approx(0.0, abs=1e-5)


def test_a_wall_that_ends_below_an_edge_has_no_height_there() -> None:
    """4 m of it: 500 over the edge at its left end and 300 under it at its right."""
    face: Any = SimpleNamespace(
        frame=Frame(on(0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0)),
        rings_uv=(((0.0, -900.0), (4000.0, -900.0), (4000.0, -300.0), (0.0, 500.0)),),
    )
    level: Any = SimpleNamespace(a_mm=on(0.0), b_mm=on(4000.0))
    assert wall_water._tops(level, face) == [(0.0, pytest.approx(500.0)), (1.0, 0.0)]


def test_the_lowest_point_of_a_region() -> None:
    nodes: Any = SimpleNamespace(nodes=[(5.0, 1.0, 9.0), (6.0, 2.0, 4.0), (1.0, -3.0, 7.0)])
    assert assembling._Shape(nodes, (), (), [((0, 2),), ((0,), (2, 1))], ()).lowest(1) == 4.0


def test_angles_between_faces_whose_products_pass_one_by_a_crumb() -> None:
    """Of faces that lie on each other, and of those in one plane, whatever their slopes."""
    for k in range(200):
        gx, gy = 0.013 * k, 0.7 - 0.011 * k
        here = rising("P1", 0.0, gx, gy, box(0.0, 0.0, 900.0, 900.0))
        n = here.frame.n
        one, back = Touch(Side.ROOF, n, here.frame.v), Touch(Side.ROOF, n, tuple(-x for x in here.frame.v))  # type: ignore[arg-type]
        assert included_deg(one, one) == pytest.approx(0.0, abs=1e-5)
        assert included_deg(one, back) == pytest.approx(180.0, abs=1e-5)
        other = rising("P2", 0.0, gx, gy, box(0.0, 0.0, 9000.0, 9000.0), roof="other")
        ends = [(x, y, gx * x + gy * y) for x, y in ((100.0, 100.0), (800.0, 700.0))]
        dies = crossing._dying(edge("B1", EdgeKind.VERGE, ends[0], ends[1], ("P1",)), (here,), (other,))
        assert (dies.kind, dies.faces, dies.convex, dies.between_deg) == (
            EdgeKind.VALLEY,
            ("P1", "P2"),
            False,
            pytest.approx(180.0, abs=1e-5),
        )


def test_an_island_in_a_court_is_no_hole(monkeypatch: pytest.MonkeyPatch) -> None:
    """However small: areas are those of an outline of size 1."""
    done: list[tuple[int, int]] = []
    monkeypatch.setattr(breaks, "chains_at", lambda *_: ([10, 11, 12], [0.9, -0.5, 0.25], [3, -1, -1]))
    monkeypatch.setattr(breaks, "inside", lambda _, v, first, t: first < v)
    monkeypatch.setattr(breaks, "close_chain", lambda _, first, face, t: done.append((first, face)))
    breaks.close_flat_tops(None, 2.5)  # type: ignore[arg-type]
    assert done == [(10, 3), (11, 3)]


def test_three_timbers_on_one_level() -> None:
    """Teeth 100 wide that widen by 10 up: each timber is 100 and, 20 wide, 2 more at its right end."""
    teeth = [(0.0, 0.0), (600.0, 0.0)]
    for x in (500.0, 250.0, 0.0):
        teeth += [(x + 110.0, 150.0), (x, 150.0), (x, 50.0)] if x else [(x + 110.0, 150.0), (x, 150.0)]
        teeth[-3 if x else -2 : -3 if x else -2] = [(x + 100.0, 50.0)]
    found = long_spans([tuple(teeth)], 100.0, 20.0)
    assert [pytest.approx(span, abs=1e-4) for span in ((0.0, 106.0), (250.0, 356.0), (500.0, 606.0))] == list(found)


def test_of_sides_of_unequal_size_the_longer_may_vanish_first() -> None:
    """60 that comes to -60 is gone half way, 40 that comes to -20 after two thirds."""

    def bare(at: Any, end: Any) -> _Side:
        size = hypot(end[0] - at[0], end[1] - at[1])
        return _Side(at, end, ((end[0] - at[0]) / size, (end[1] - at[1]) / size), "", 0.0)

    long, short = bare((0.0, 0.0), (60.0, 0.0)), bare((500.0, 100.0), (500.0, 140.0))
    c0, c1, c2, c3 = (60.0, 0.0), (0.0, 0.0), (500.0, 120.0), (500.0, 100.0)
    assert _first_to_vanish([long, bare(c1, c2), short, bare(c3, c0)], [(c0,), (c1,), (c2,), (c3,)]) == 0
    assert _first_to_vanish([short, bare(c3, c0), long, bare(c1, c2)], [(c2,), (c3,), (c0,), (c1,)]) == 2


def test_boxes_of_what_has_a_court_or_a_hole_go_by_its_outer_ring() -> None:
    court = box(300.0, 200.0, 400.0, 250.0)
    assert combine._box(roof(origin_mm=(10.0, 20.0, 0.0), outline_mm=(box(0.0, 0.0, 900.0, 700.0), court))) == (
        10.0,
        20.0,
        910.0,
        720.0,
    )
    assert covered.plan_box(rising("P1", 0.0, 0.0, 0.5, box(0.0, 0.0, 900.0, 700.0), court[::-1])) == pytest.approx(
        (0.0, 0.0, 900.0, 700.0)
    )


def test_a_raked_top_that_runs_to_both_ends_gets_no_more_points() -> None:
    faults: list[str] = []
    job = ElevationJob(name="end", width_mm=4000, height_mm=2400, top=[(0, 2500), (4000, 2800)])
    assert (given_wall(7, job, 3, -50.0, faults).top, faults) == (((0.0, 2500.0), (4000.0, 2800.0)), [])


def test_a_cover_that_ends_a_crumb_within_a_cell_covers_all_of_it() -> None:
    cell = Cell("P1", "low", "up", 100.0, 300.0, 10.0, 50.0, 210.0, 130.0)
    cover = (((100.005, 0.0), (299.995, 0.0), (299.995, 900.0), (100.005, 900.0)),)
    assert [(strip.depth0, strip.depth1) for strip in open_strips(cell, (cover,))] == [(0.0, 0.0)]


def test_water_off_a_wall_is_received_from_no_roof() -> None:
    one = piece()
    one.water = [
        Landing("E1", along_eave(1000.0, 2000.0, wall=True), "P9", "top"),
        Landing("E1", along_eave(1000.0, 2000.0), "P8", "top"),
    ]
    assert [water.plane for water in drainage._received([one])] == ["P8"]


def test_every_apron_has_a_wall_above_it(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Any] = []
    monkeypatch.setattr(wall_water, "_off_wall", lambda *given: told.append(given) or ())
    up = SimpleNamespace(id="U1", kind=UprightKind.ABUTTING)
    edges = (
        edge("A1", EdgeKind.APRON_HEAD, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), ("P1", "U1")),
        edge("S1", EdgeKind.APRON_SIDE, (0.0, 0.0, 0.0), (9.0, 0.0, 5.0), ("P1",)),
        edge("E1", EdgeKind.EAVE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0)),
    )
    house: Any = SimpleNamespace(edges=edges, uprights=(up,))
    rule = wall_water.WallRule(0.5)
    assert list(wall_water.walls_above(house, rule, ("roofs",))) == []  # type: ignore[arg-type]
    assert told == [(house, edges[0], up, rule, ("roofs",)), (house, edges[1], None, rule, ("roofs",))]


@pytest.mark.parametrize("crumb", [0.0, 5e-7, -5e-7])
def test_a_corner_a_crumb_beside_a_joint_of_sheets_loses_no_sheet(crumb: float) -> None:
    """2000 wide, 1500 high up to 762 and 1000 from there: covers of 762, 762 and 476; each sheet laps 83 over the next."""
    at = 762.0 + crumb
    ring = ((0.0, 0.0), (2000.0, 0.0), (2000.0, 1000.0), (at, 1000.0), (at, 1500.0), (0.0, 1500.0))
    runs = cut_strips(SheetedArea((ring,), (("",) * 6,)), 0.0, "left", Widths(762.0, 845.0, by_overall=False))
    assert [(run.strip, run.run) for run in runs] == [(1, 1), (2, 1), (3, 1)]
    assert [sum(slab.area_mm2 for slab in run.cover) for run in runs] == pytest.approx([762.0 * 1500.0, 762e3, 476e3])
    laps = [sum(slab.area_mm2 for slab in run.sheet) - sum(slab.area_mm2 for slab in run.cover) for run in runs]
    assert laps == pytest.approx([83e3, 83e3, 0.0], abs=0.01)


def test_faces_that_weld_to_a_line_are_no_faces() -> None:
    """Two of its corners lie within 0.05 of each other; what is left is a line."""
    sliver = Face((((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.02, 0.02, 0.0)),), UP)
    whole = Face(
        (
            ((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 90.0, 0.0)),
            ((40.0, 10.0, 0.0), (40.01, 10.01, 0.0), (60.0, 10.0, 0.0)),
        ),
        UP,
    )
    assert overlay.shared_corners([sliver, whole], []) == [Face(whole.rings_mm[:1], UP)]


def test_walls_under_sides_that_have_no_name_are_under_eaves() -> None:
    """The outline's third and fourth sides have no names of their own."""
    one = roof(
        outline_mm=(box(-300.0, -600.0, 9300.0, 6600.0),),
        wall_line_mm=(box(0.0, 0.0, 9000.0, 6000.0),),
        edge_numbers=((1, 2, 3, 4),),
        edge_names=("gable", "wall"),
    )
    assert [(found.outline_edge, found.named) for found in wall_edges(one)] == [
        (1, "gable"),
        (2, "wall"),
        (3, "eave"),
        (4, "eave"),
    ]


def test_of_two_ways_on_the_one_further_left_is_taken() -> None:
    """At (5, 5), coming from the west: south and north; from the south: west and east."""
    place = [(5.0, 5.0), (1.0, 5.0), (5.0, 1.0), (9.0, 5.0), (5.0, 9.0)]
    for before, ahead, due in (
        (1, [2, 4], 4),
        (1, [4, 2], 4),
        (2, [3, 1], 1),
        (2, [1, 3], 1),
        (4, [1, 3], 3),
        (3, [4, 2], 2),
    ):
        ways = {0: list(ahead)}
        assert tracing.take(ways, before, 0, place) == due
        assert ways == {0: [k for k in ahead if k != due]}


def test_rafters_are_set_out_from_the_right_end_of_the_plane_not_of_a_hole() -> None:
    bay = plane(
        ((0.0, 0.0), (5000.0, 0.0), (5000.0, 6000.0), (0.0, 6000.0)),
        ((1000.0, 4000.0), (1000.0, 4500.0), (1500.0, 4500.0), (1500.0, 4000.0)),
    )
    assert supports_under(bay, (1000.0, 0.0), (3000.0, 0.0), 900.0, "right") == pytest.approx((400.0, 1300.0))
    assert supports_under(bay, (1000.0, 0.0), (3000.0, 0.0), 900.0, "middle") == pytest.approx((600.0, 1500.0))
