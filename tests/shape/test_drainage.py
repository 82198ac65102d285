"""Gutter runs and true catchments of roofs small enough to work by hand: the areas are sums of triangles and rectangles
on the plan, in m2, given beside each roof."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

import pytest

from takeoff.basics.vectors import Point3, cross3, sub3, unit3
from takeoff.model.drainage import GutterRun
from takeoff.model.roof import Roof, UprightKind
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.faces.assemble import assemble
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters
from takeoff.shape.water.fall_lines import FallLines

Points = Sequence[Sequence[float]]
GABLES = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
RECTANGLE = ((0, 0), (12, 0), (12, 8), (0, 8))
ELL = ((0, 0), (12, 0), (12, 6), (6, 6), (6, 12), (0, 12))


def trace_gutters(roof: Roof, bare: tuple[int, ...] = ()) -> tuple[GutterRun, ...]:
    """Gutter runs of one roof by itself."""
    return trace_all_gutters((roof,), bare={roof.name: bare})


def roof_on(points_m: Points, pitch_deg: float = 25.0, **more: object) -> Roof:
    """The roof on an outline given in m."""
    mm = [[1000.0 * x, 1000.0 * y] for x, y in points_m]
    roof = {"outline": mm, "pitch_deg": pitch_deg, "fascia_height_mm": 2450, **more}
    job = parse_job(json.dumps({"job": "by hand", "roofs": [roof]}))
    return roof_from_outline(job.roofs[0], 0.0, resolve_settings(job))


def legs_m(run: GutterRun) -> list[float]:
    return [round(leg.length_mm / 1e3, 6) for leg in run.legs]


def catchments_m2(run: GutterRun) -> list[float]:
    return [round(leg.plan_catchment_mm2 / 1e6, 6) for leg in run.legs]


def corners(run: GutterRun) -> list[str]:
    return [corner.kind for corner in run.corners]


def test_a_hip_roof_is_one_ring_of_four_external_corners() -> None:
    # long side (12 + 4) / 2 x 4 = 32, end 8 x 4 / 2 = 16
    (ring,) = trace_gutters(roof_on(RECTANGLE))
    assert ring.ring
    assert legs_m(ring) == [12, 8, 12, 8]
    assert ring.length_mm == pytest.approx(40_000)
    assert corners(ring) == ["external"] * 4
    assert [corner.angle_deg for corner in ring.corners] == pytest.approx([90.0] * 4)
    assert catchments_m2(ring) == [32, 16, 32, 16]
    assert ring.plan_catchment_mm2 == pytest.approx(96e6)
    assert ring.pitch_deg == 25.0


@pytest.mark.parametrize("typed", [RECTANGLE, RECTANGLE[::-1]], ids=["counter-clockwise", "clockwise"])
def test_legs_run_left_to_right_seen_from_outside(typed: Points) -> None:
    (ring,) = trace_gutters(roof_on(typed))
    south = next(leg for leg in ring.legs if leg.a_mm[1] == leg.b_mm[1] == 0.0)
    assert south.a_mm[0] < south.b_mm[0]  # from the south, west is on the left
    for before, after in zip(ring.legs, ring.legs[1:], strict=False):
        assert before.b_mm == after.a_mm


def test_gables_leave_two_runs_with_ends() -> None:
    south, north = trace_gutters(roof_on(RECTANGLE, edges=GABLES))
    for run in (south, north):
        assert not run.ring
        assert legs_m(run) == [12]
        assert run.corners == ()
        assert catchments_m2(run) == [48]
    assert (south.id, north.id) == ("SP1", "SP2")


def test_a_valley_empties_at_its_foot_and_is_shared_by_both_legs() -> None:
    # by hand for the leg (12,6)-(6,6): straight above it 3 x 3 + 3 x 3 / 2 = 13.5; the valley from (6,6) to (3,3) takes
    # the triangle (3,3)(6,3)(6,6) = 4.5 of either plane, 9 at its foot, half to each leg: 13.5 + 4.5 = 18
    (ring,) = trace_gutters(roof_on(ELL))
    assert legs_m(ring) == [12, 6, 6, 6, 6, 12]
    assert corners(ring).count("internal") == 1
    assert catchments_m2(ring) == [27, 9, 18, 18, 9, 27]
    (foot,) = ring.valleys
    assert foot.plan_catchment_mm2 == pytest.approx(9e6)
    assert foot.along_mm == pytest.approx(24_000)
    assert foot.at_mm[:2] == (6000, 6000)


def test_a_plane_with_two_eaves_is_split_along_its_fall_lines() -> None:
    # main 14 x 8, a wing 4 wide and 3 out of its south side. South plane: x 0-4 triangle 8, x 4-5 is 1 x 4, above the
    # wing to each valley 2 x 4 - 2 = 6. Wing side: 2 + 2 to its eave, 2 to the valley, so 8 at each valley's foot.
    wing = ((0, 0), (5, 0), (5, -3), (9, -3), (9, 0), (14, 0), (14, 8), (0, 8))
    (ring,) = trace_gutters(roof_on(wing))
    assert catchments_m2(ring) == [16, 8, 4, 8, 16, 16, 40, 16]
    assert [foot.plan_catchment_mm2 for foot in ring.valleys] == pytest.approx([8e6, 8e6])
    assert corners(ring).count("internal") == 2


def test_an_upper_slope_drains_over_the_pitch_change_to_the_eave() -> None:
    # 10 degrees for the first 500 mm of height, then 30: the run takes both planes and the steeper pitch
    edges = {1: {"rise": [{"pitch_deg": 10, "up_to_mm": 500}, {"pitch_deg": 30}]}, **GABLES}
    roof = roof_on(RECTANGLE, edges=edges)
    south, north = trace_gutters(roof)
    assert len(south.legs) == 1
    assert south.pitch_deg == 30.0
    assert south.plan_catchment_mm2 == pytest.approx(
        sum(plane.plan_area_mm2 for plane in roof.planes if 1 in plane.outline_edges)
    )
    assert south.plan_catchment_mm2 + north.plan_catchment_mm2 == pytest.approx(96e6)


def test_a_valley_that_changes_pitch_is_followed_to_its_foot() -> None:
    rise = [{"pitch_deg": 15, "up_to_mm": 300}, {"pitch_deg": 35}]
    (ring,) = trace_gutters(roof_on(ELL, edges={n: {"rise": rise} for n in range(1, 7)}))
    assert catchments_m2(ring) == [27, 9, 18, 18, 9, 27]  # plan areas do not know of pitch where all are alike
    (foot,) = ring.valleys
    assert foot.plan_catchment_mm2 == pytest.approx(9e6)


def test_a_courtyard_is_a_ring_of_internal_corners() -> None:
    # 20 x 20 with a court of 4 x 4: ridges 4 in from all sides: outer legs (20 + 12) / 2 x 4 = 64, inner 4 x 4 + 16
    court = [[8000, 8000], [12000, 8000], [12000, 12000], [8000, 12000]]
    outer, inner = trace_gutters(roof_on(((0, 0), (20, 0), (20, 20), (0, 20)), courtyards=[court]))
    assert (corners(outer), corners(inner)) == (["external"] * 4, ["internal"] * 4)
    assert catchments_m2(outer) == [64] * 4
    assert catchments_m2(inner) == [32] * 4
    assert inner.ring


def test_an_edge_without_spouting_opens_the_ring() -> None:
    (run,) = trace_gutters(roof_on(RECTANGLE), bare=(2,))
    assert not run.ring
    assert legs_m(run) == [12, 8, 12]
    assert run.legs[0].a_mm[:2] == (12_000, 8_000)
    assert run.plan_catchment_mm2 == pytest.approx(80e6)


def test_part_of_a_straight_eave_may_carry_none() -> None:
    # typed in two pieces, 7 and 5 long; without the second: x 4-7 at 3 x 4, x 0-4 triangle 8: 20
    points = ((0, 0), (7, 0), (12, 0), (12, 8), (0, 8))
    (run,) = trace_gutters(roof_on(points), bare=(2,))
    assert legs_m(run) == [8, 12, 8, 7]
    assert run.legs[-1].outline_edges == (1,)
    assert catchments_m2(run) == [16, 32, 16, 20]


def test_a_ring_starts_at_a_corner_though_its_first_edge_begins_on_a_straight() -> None:
    points = ((7, 0), (12, 0), (12, 8), (0, 8), (0, 0))
    (ring,) = trace_gutters(roof_on(points, edges={1: {"pitch_deg": 30}}))
    assert len(ring.legs) == 5  # two pitches, two planes, two eaves on the south side
    assert len(ring.corners) == 4
    assert any(corner.at_mm == ring.legs[0].a_mm for corner in ring.corners)
    assert ring.plan_catchment_mm2 == pytest.approx(96e6)


def test_which_end_of_an_eave_is_stored_first_does_not_matter() -> None:
    roof = roof_on(RECTANGLE)
    edges = [
        replace(edge, a_mm=edge.b_mm, b_mm=edge.a_mm, low=edge.high, high=edge.low) if edge.kind == "eave" else edge
        for edge in roof.edges
    ]
    assert trace_gutters(replace(roof, edges=tuple(edges))) == trace_gutters(roof)


def test_a_raised_fascia_ends_the_run() -> None:
    roof = roof_on(RECTANGLE, edges={2: {"fascia_height_mm": 3000}})
    low, high = trace_gutters(roof)
    assert not low.ring
    assert not high.ring
    assert len(high.legs) == 1
    assert high.legs[0].a_mm[2] == pytest.approx(3000)
    assert low.plan_catchment_mm2 + high.plan_catchment_mm2 == pytest.approx(96e6)


def test_water_that_meets_a_skewed_barge_runs_down_it_to_the_eave() -> None:
    # the east gable leans out from (12,0) to (14,8), ridge at y = 4: 4 x (12 + 13) / 2 = 50 and 4 x (13 + 14) / 2 = 54
    south, north = trace_gutters(roof_on(((0, 0), (12, 0), (14, 8), (0, 8)), edges=GABLES))
    assert south.valleys == north.valleys == ()
    assert south.plan_catchment_mm2 == pytest.approx(50e6)
    assert north.plan_catchment_mm2 == pytest.approx(54e6)


def test_a_level_top_has_no_fall_line() -> None:
    steep = [{"pitch_deg": 45, "up_to_mm": 1000}, {"flat": True}]
    (ring,) = trace_gutters(roof_on(RECTANGLE, edges={n: {"rise": steep} for n in (1, 2, 3, 4)}))
    # a border 1 m wide: long side 12 - 1 = 11, end 8 - 1 = 7; 10 x 6 is left out
    assert catchments_m2(ring) == [11, 7, 11, 7]


def test_roofs_are_numbered_on() -> None:
    roof = roof_on(RECTANGLE, edges=GABLES)
    assert [run.id for run in trace_all_gutters((roof, roof))] == ["SP1", "SP2", "SP3", "SP4"]
    # edge numbers belong to the first roof
    assert [run.id for run in trace_all_gutters((roof, roof), bare={roof.name: (1,)})] == ["SP1", "SP2"]


def face(points_m: Points, hole_m: Points = (), upright: UprightKind | None = None) -> Face:
    def ring(points: Points) -> tuple[Point3, ...]:
        return tuple((1000.0 * x, 1000.0 * y, 1000.0 * z) for x, y, z in points)

    outer = ring(points_m)
    normal = unit3(cross3(sub3(outer[1], outer[0]), sub3(outer[2], outer[1])))
    return Face((outer, ring(hole_m)) if hole_m else (outer,), normal, upright=upright)


def plan_of(x_m: float, y_m: float) -> Plan:
    x, y = 1000.0 * x_m, 1000.0 * y_m
    return Plan("by hand", (0.0, 0.0, 0.0), (((0.0, 0.0), (x, 0.0), (x, y), (0.0, y)),), edge_numbers=((1, 2, 3, 4),))


def test_two_planes_falling_to_each_other_make_an_internal_gutter() -> None:
    west = face(((0, 0, 2), (4, 0, 1), (4, 6, 1), (0, 6, 2)))
    east = face(((4, 0, 1), (9, 0, 2.25), (9, 6, 2.25), (4, 6, 1)))
    (run,) = trace_gutters(assemble((west, east), plan_of(9, 6), 0.0))
    assert run.internal
    assert legs_m(run) == [6]
    assert catchments_m2(run) == [54]


def dormer_faces(z_m: float, y_m: float) -> tuple[Face, ...]:
    """A slope rising 1 in 2 from the eave at `y_m`, `z_m` to y = 8, with a gabled dormer: x 5-7, front at y = 2, valleys
    from y = 4 up to y = 5."""
    hole = ((5, 2, 1), (5, 4, 2), (6, 5, 2.5), (7, 4, 2), (7, 2, 1))
    return (
        face(((0, y_m, z_m), (12, y_m, z_m), (12, 8, 4), (0, 8, 4)), hole),
        face(((5, 2, 2), (6, 2, 2.5), (6, 5, 2.5), (5, 4, 2))),
        face(((6, 2, 2.5), (7, 2, 2), (7, 4, 2), (6, 5, 2.5))),
        face(((5, 2, 2), (5, 2, 1), (7, 2, 1), (7, 2, 2), (6, 2, 2.5)), upright=UprightKind.GABLE),
        face(((5, 4, 2), (5, 2, 1), (5, 2, 2)), upright=UprightKind.CHEEK),
        face(((7, 2, 1), (7, 4, 2), (7, 2, 2)), upright=UprightKind.CHEEK),
    )


def dormer() -> Roof:
    """The dormer on a slope of 12 x 8."""
    return assemble(dormer_faces(0, 0), plan_of(12, 8), 0.0)


def test_a_valley_that_ends_on_a_plane_goes_on_down_it() -> None:
    roof = dormer()
    eave = next(edge for edge in roof.edges if edge.kind == "eave" and edge.outline_edges == (1,))
    water = FallLines(roof, frozenset({eave.id})).landings()
    on_eave = [landing.curtain for landing in water if landing.edge == eave.id]
    # all but the dormer's own eaves reaches it: those take 1 x 2 each straight down; the rest of the dormer, 1 x 1 / 2
    # a side, and the slope above it come down the valleys, 0.5 + 3.5 each, and run on from their feet at x = 5 and 7
    points = sorted(round(c.a[0]) for c in on_eave if c.a == c.b)
    assert points.count(5000) + points.count(7000) == len(points) > 0
    assert sum(c.area_mm2 for c in on_eave if c.a == c.b) == pytest.approx(8e6)
    assert sum(c.area_mm2 for c in on_eave) == pytest.approx(92e6)
    assert sum(landing.curtain.area_mm2 for landing in water) == pytest.approx(96e6)


def test_a_point_of_water_crosses_a_pitch_change_once() -> None:
    # the dormer's slope begins at y = 1 and goes on at 1 in 4 below; the eave there is at y = 0, but at y = -1 east of
    # x = 5, so that the foot of a valley comes down just between two cells of the lower plane: 12 x 8 + 7 x 1 in all
    upper, *rest = dormer_faces(0.5, 1)
    lower = face(((5, -1, 0), (12, -1, 0), (12, 1, 0.5), (0, 1, 0.5), (0, 0, 0.25), (5, 0, 0.25)))
    ring = ((0.0, 0.0), (5e3, 0.0), (5e3, -1e3), (12e3, -1e3), (12e3, 8e3), (0.0, 8e3))
    plan = Plan("by hand", (0.0, 0.0, 0.0), (ring,), edge_numbers=((1, 2, 3, 4, 5, 6),))
    roof = assemble((upper, lower, *rest), plan, 0.0)
    eaves = frozenset(edge.id for edge in roof.edges if edge.kind == "eave" and edge.outline_edges)
    water = FallLines(roof, eaves).landings()
    points = [landing.curtain for landing in water if landing.curtain.a == landing.curtain.b]
    assert sum(curtain.area_mm2 for curtain in points) == pytest.approx(8e6)
    assert sum(landing.curtain.area_mm2 for landing in water) == pytest.approx(103e6)


def test_a_dormer_with_spouting_takes_its_valleys() -> None:
    main, *cheeks = trace_gutters(dormer())
    assert main.plan_catchment_mm2 == pytest.approx(84e6)
    assert [run.plan_catchment_mm2 for run in cheeks] == pytest.approx([6e6, 6e6])


def test_water_crosses_a_hip_whose_planes_fall_the_same_way() -> None:
    # West falls 1 in 2 to the south, east falls (1, -3) / 4; the seam between them, from (4,0) to (8,4), is convex.
    # West of x = 4: 16. Rain west of the seam, x 4-8, is 8: it crosses and goes on, 1 east for 3 south, so that what
    # crosses 3 or less up the seam (12 - 4.5 = 7.5) reaches the south side and 0.5 the east side. East's own 8: the
    # triangle (8,0)(8,4)(7,3) = 2 goes to the east side, 6 to the south side.
    west = face(((0, 0, 0), (4, 0, 0), (8, 4, 2), (0, 4, 2)))
    east = face(((4, 0, 0), (8, 0, -1), (8, 4, 2)))
    roof = assemble((west, east), plan_of(8, 4), 0.0)
    seam = next(edge for edge in roof.edges if len(edge.faces) == 2)
    assert seam.kind == "hip"
    caught = frozenset(edge.id for edge in roof.edges if len(edge.faces) == 1)
    middles: dict[tuple[float, float], float] = {}
    for landing in FallLines(roof, caught).landings():
        edge = next(edge for edge in roof.edges if edge.id == landing.edge)
        middle = ((edge.a_mm[0] + edge.b_mm[0]) / 2e3, (edge.a_mm[1] + edge.b_mm[1]) / 2e3)
        middles[middle] = middles.get(middle, 0.0) + landing.curtain.area_mm2 / 1e6
    assert middles == {(2.0, 0.0): pytest.approx(16), (6.0, 0.0): pytest.approx(13.5), (8.0, 2.0): pytest.approx(2.5)}
