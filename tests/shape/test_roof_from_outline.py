"""Outlines and wall lines as people type them: overhangs, walls, mends, and faults named by edge and point.

Expected values are worked out by hand on rectangles (derived).
"""

from __future__ import annotations

from math import cos, radians, sin, tan

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.basics.polygons import rings_area
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Severity
from takeoff.model.job.edges import EdgeJob, RiseStep
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

GABLE = EdgeJob(kind="gable")
WALL = EdgeJob(kind="wall")
RECT = [(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)]


def _roof(**job: object) -> Roof:
    given = {"pitch_deg": 25.0, "fascia_height_mm": 2450.0, **job}
    return roof_from_outline(RoofJob.model_validate(given), 0.0, resolve_settings(Job(job="check")))


def _faults(**job: object) -> str:
    with pytest.raises(ShapeError) as caught:
        _roof(**job)
    return "\n".join(caught.value.faults)


def _codes(roof: Roof) -> list[str]:
    return [finding.code for finding in roof.findings]


def test_overhangs_move_each_edge_by_its_own() -> None:
    roof = _roof(
        wall_line=RECT,
        eave_overhang_mm=600.0,
        verge_overhang_mm=300.0,
        edges={2: GABLE, 4: EdgeJob(kind="gable", verge_overhang_mm=450.0), 3: EdgeJob(eave_overhang_mm=500.0)},
    )
    (ring,) = roof.outline_mm
    assert ring == ((-450.0, -600.0), (12300.0, -600.0), (12300.0, 8500.0), (-450.0, 8500.0))
    assert roof.wall_line_mm == (tuple(RECT),)
    assert roof.edge_names == ("eave", "gable", "eave", "gable")


def test_a_roof_stops_at_a_wall_without_overhang() -> None:
    roof = _roof(wall_line=RECT, eave_overhang_mm=600.0, verge_overhang_mm=300.0, edges={4: WALL})
    assert min(x for x, _ in roof.outline_mm[0]) == 0.0
    sides = [edge for edge in roof.edges if edge.kind is EdgeKind.APRON_SIDE]
    assert {edge.outline_edges for edge in sides} == {(4,)}
    assert [edge for edge in roof.edges if edge.kind is EdgeKind.VERGE] == []


def test_overhangs_at_inside_corners_and_courtyards() -> None:
    """The courtyard's eaves hang into the court."""
    court = [(4000.0, 3000.0), (8000.0, 3000.0), (8000.0, 5000.0), (4000.0, 5000.0)]
    roof = _roof(wall_line=RECT, courtyards=[court], eave_overhang_mm=500.0)
    assert rings_area(roof.outline_mm) == 13000.0 * 9000.0 - 3000.0 * 1000.0
    assert roof.edge_numbers == ((1, 2, 3, 4), (5, 6, 7, 8))


def test_unequal_overhangs_in_line_get_a_jog() -> None:
    roof = _roof(
        wall_line=[(0.0, 0.0), (5000.0, 0.0), *RECT[1:]],
        eave_overhang_mm=600.0,
        edges={1: EdgeJob(eave_overhang_mm=900.0)},
    )
    (ring,) = roof.outline_mm
    assert ring[1:3] == ((5000.0, -900.0), (5000.0, -600.0))
    assert roof.edge_numbers == ((1, 6, 2, 3, 4, 5),)
    assert roof.edge_names == ("eave",) * 5 + ("gable",)
    assert sum(p.plan_area_mm2 for p in roof.planes) == pytest.approx(rings_area(roof.outline_mm), rel=1e-9)
    assert "wall-plates-unequal" in _codes(roof)


@pytest.mark.parametrize(("turn_deg", "jogged"), [(0.5, True), (1.1, True), (1.2, False), (3.0, False)])
def test_a_corner_is_mitred_down_to_a_turn_of_one_degree(turn_deg: float, jogged: bool) -> None:
    """Walls that turn by an angle a and hang over by 600 and 900 meet 300 / sin a along the wall from the corner: 5.7 m
    at 3 degrees, 14.3 m at 1.2. Flatter than a sine of 0.02, 1.146 degrees, a jog joins them at the corner instead."""
    a, near, far = radians(turn_deg), 30_000.0, 60_000.0
    drop = (far - near) * tan(a)
    line = [(0.0, 0.0), (near, 0.0), (far, drop), (far, 30_000.0), (0.0, 30_000.0)]
    roof = _roof(wall_line=line, eave_overhang_mm=600.0, edges={1: EdgeJob(eave_overhang_mm=900.0)})
    (ring,) = roof.outline_mm
    corners = [point for point in ring if 10_000.0 < point[0] < 50_000.0 and point[1] < 10_000.0]
    if jogged:
        assert corners == [(near, -900.0), pytest.approx((near + 600.0 * sin(a), -600.0 * cos(a)))]
    else:
        assert corners == [pytest.approx((near + (600.0 - 900.0 * cos(a)) / sin(a), -900.0))]


def test_a_jog_before_the_first_edge_closes_the_ring() -> None:
    roof = _roof(
        wall_line=[(5000.0, 0.0), *RECT[1:], (0.0, 0.0)],
        eave_overhang_mm=600.0,
        edges={5: EdgeJob(eave_overhang_mm=900.0)},
    )
    assert roof.outline_mm[0][0] == (5000.0, -600.0)
    assert roof.edge_numbers == ((1, 2, 3, 4, 5, 6),)


def test_unequal_wall_plates_are_reported() -> None:
    """600 mm at 25 and at 15 degrees: 279.8 and 160.8 mm over the fascia."""
    roof = _roof(wall_line=RECT, eave_overhang_mm=600.0, edges={2: EdgeJob(pitch_deg=15.0)})
    (finding,) = [f for f in roof.findings if f.code == "wall-plates-unequal"]
    assert finding.severity is Severity.WARN
    assert f"{2450 + 600 * tan(radians(15)):.0f} mm over the floor at wall 2" in finding.text
    assert f"{2450 + 600 * tan(radians(25)):.0f} mm at wall 1" in finding.text
    level = _roof(wall_line=RECT, eave_overhang_mm=600.0)
    assert _codes(level) == []


def test_the_fascia_height_taken_is_said() -> None:
    roof = _roof(outline=RECT, fascia_height_mm=None)
    assert _codes(roof) == ["fascia-height-taken"]
    assert {edge.a_mm[2] for edge in roof.edges if edge.kind is EdgeKind.EAVE} == {2450.0}


def test_fascia_heights_by_edge() -> None:
    roof = _roof(outline=RECT, edges={1: EdgeJob(fascia_height_mm=3000.0), 2: GABLE, 4: GABLE})
    eaves = {edge.outline_edges: edge.a_mm[2] for edge in roof.edges if edge.kind is EdgeKind.EAVE}
    assert eaves[(1,)] == 3000.0
    assert eaves[(3,)] == 2450.0
    # the ridge lies where both planes are equally high: 550 mm nearer the higher eave by half of 550 / tan
    ridge = next(edge for edge in roof.edges if edge.kind is EdgeKind.RIDGE)
    assert ridge.a_mm[1] == pytest.approx(4000.0 - 550.0 / tan(radians(25)) / 2)


def test_clockwise_points_keep_their_numbers() -> None:
    """Edge 1 of the clockwise ring is the left side."""
    roof = _roof(outline=[RECT[0], *RECT[:0:-1]], edges={1: GABLE, 3: GABLE})
    assert [edge.outline_edges for edge in roof.edges if edge.kind is EdgeKind.EAVE] == [(2,), (4,)]
    assert {u.outline_edge: u.frame.n[0] for u in roof.uprights} == {1: -1.0, 3: 1.0}
    assert [plane.bearing_deg for plane in roof.planes] == [0.0, 180.0]


def test_survey_coordinates_are_brought_near() -> None:
    far = _roof(outline=[(x + 1.573e9, y + 5.4321e9) for x, y in RECT])
    assert far.origin_mm == (1.573e9, 5.432e9, 0.0)
    assert [p.area_mm2 for p in far.planes] == pytest.approx([p.area_mm2 for p in _roof(outline=RECT).planes])
    assert far.outline_mm[0][0] == (0.0, 100000.0)


def test_a_repeated_closing_point_is_left_out_and_said() -> None:
    roof = _roof(outline=[*RECT, RECT[0]])
    assert [(f.code, f.severity) for f in roof.findings] == [("point-repeated", Severity.FIXED)]
    assert len(roof.edge_names) == 4


@pytest.mark.parametrize(("off_mm", "codes"), [(1.0, []), (1.8, ["corner-put-in-order"])])
def test_a_point_a_little_off_the_line_is_moved_onto_it(off_mm: float, codes: list[str]) -> None:
    """A millimetre is rounding; more is said."""
    roof = _roof(outline=[RECT[0], (6000.0, -off_mm), *RECT[1:]])
    assert _codes(roof) == codes
    assert all("point 2 was moved by 1.8 mm" in finding.text for finding in roof.findings)
    assert roof.outline_mm[0] == (RECT[0], (6000.0, 0.0), *RECT[1:])
    assert len(roof.planes) == 4
    assert roof.planes[0].outline_edges == (1, 2)


def test_a_jog_of_10_mm_stays() -> None:
    roof = _roof(outline=[(0.0, 0.0), (6000.0, 0.0), (6000.0, -10.0), (12000.0, -10.0), *RECT[2:]])
    assert rings_area(roof.outline_mm) == 12000.0 * 8000.0 + 60000.0
    assert len([edge for edge in roof.edges if edge.kind is EdgeKind.EAVE]) == 6


def test_a_corner_that_hardly_turns_is_pointed_out() -> None:
    roof = _roof(outline=[RECT[0], (6000.0, -40.0), *RECT[1:]])
    assert _codes(roof) == ["corner-nearly-straight"]
    assert "edges 1 and 2 turn by" in roof.findings[0].text


def test_collinear_points_make_no_edge() -> None:
    roof = _roof(outline=[(0.0, 0.0), (3000.0, 0.0), (6000.0, 0.0), *RECT[1:]])
    assert len(roof.planes) == 4
    (front,) = [edge for edge in roof.edges if edge.outline_edges == (1, 2, 3)]
    assert front.length_mm == 12000.0
    assert _codes(roof) == []


def test_lean_to_height_against_its_wall() -> None:
    roof = _roof(outline=[(0.0, 0.0), (6000.0, 0.0), (6000.0, 3000.0), (0.0, 3000.0)], pitch_deg=8.0,
                 edges={2: GABLE, 3: WALL, 4: GABLE})  # fmt: skip
    (head,) = [edge for edge in roof.edges if edge.kind is EdgeKind.APRON_HEAD]
    assert head.a_mm[2] == pytest.approx(2450.0 + 3000.0 * tan(radians(8)))
    assert roof.planes[0].area_mm2 == pytest.approx(6000.0 * 3000.0 / cos(radians(8)))


def test_planes_are_numbered_on() -> None:
    roof = roof_from_outline(RoofJob(outline=RECT, pitch_deg=20.0), 0.0, resolve_settings(Job(job="check")), 7)
    assert [plane.id for plane in roof.planes] == ["P7", "P8", "P9", "P10"]


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0.0, 0.0), (9000.0, 6000.0), (9000.0, 0.0), (0.0, 6000.0)], "edges 1 and 3 cross or touch at (4500, 3000)"),
        ([RECT[0], RECT[1], RECT[0]], "outline has 2 points; give at least 3"),
        ([RECT[0], RECT[1], RECT[1], *RECT[2:]], "edge 2 has no length: points 2 and 3 are the same"),
        ([RECT[0], RECT[1], (6000.0, 0.0), *RECT[2:]], "edge 2 runs back over edge 1 at point 2"),
        ([RECT[0], RECT[1], RECT[2], (6000.0, 0.0), RECT[3]], "touch at (6000, 0)"),
    ],
)
def test_outlines_that_enclose_no_roof_are_refused(points: list[tuple[float, float]], words: str) -> None:
    assert words in _faults(outline=points)


def test_all_faults_come_at_once() -> None:
    points = [RECT[0], RECT[1], RECT[1], (12000.0, 8000.0), (12000.0, 8000.0), RECT[3]]
    faults = _faults(outline=points, edges={9: GABLE}, pitch_deg=None)
    assert "edge 2 has no length" in faults
    assert "edge 4 has no length" in faults
    assert "there is no edge 9; its edges are numbered 1 to 6" in faults
    assert "edge 1 has no pitch" in faults


def test_courtyards_must_lie_inside_and_apart() -> None:
    small = [(2000.0, 2000.0), (3000.0, 2000.0), (3000.0, 3000.0), (2000.0, 3000.0)]
    away = [(x + 50000.0, y) for x, y in small]
    within = [(2200.0, 2200.0), (2400.0, 2200.0), (2400.0, 2400.0)]
    assert "courtyard 1 lies outside the outline" in _faults(outline=RECT, courtyards=[away])
    assert "courtyard 2 lies inside courtyard 1" in _faults(outline=RECT, courtyards=[small, within])
    across = [(-1000.0, 2000.0), (3000.0, 2000.0), (3000.0, 3000.0), (-1000.0, 3000.0)]
    assert "edges 4 and 5 cross or touch at (0, 2000)" in _faults(outline=RECT, courtyards=[across])


def test_an_edge_that_its_neighbours_overhangs_swallow_is_named() -> None:
    funnel = [(0.0, 0.0), (4000.0, 0.0), (5800.0, 2000.0), (6200.0, 2000.0), (8000.0, 0.0), *RECT[1:]]
    assert "edge 3 (400 mm) is swallowed by the overhangs" in _faults(wall_line=funnel, eave_overhang_mm=600.0)
    assert len(_roof(wall_line=funnel, eave_overhang_mm=200.0).planes) > 4


def test_overhangs_that_meet_over_a_recess_are_refused() -> None:
    deep = [(0.0, 0.0), (5000.0, 0.0), (5300.0, 4000.0), (5700.0, 4000.0), (6000.0, 0.0), *RECT[1:]]
    assert "overhang" in _faults(wall_line=deep, eave_overhang_mm=550.0)


def test_no_edge_slopes() -> None:
    assert "no edge slopes" in _faults(outline=RECT, edges=dict.fromkeys((1, 2, 3, 4), GABLE))


@pytest.mark.parametrize(
    ("rise", "words"),
    [
        ([RiseStep(pitch_deg=40.0, up_to_mm=900.0), RiseStep(pitch_deg=20.0, up_to_mm=1500.0)], "leave out up_to_mm"),
        ([RiseStep(pitch_deg=40.0), RiseStep(pitch_deg=20.0)], "step 1 of its rise needs up_to_mm"),
        (
            [
                RiseStep(pitch_deg=40.0, up_to_mm=900.0),
                RiseStep(pitch_deg=30.0, up_to_mm=800.0),
                RiseStep(vertical=True),
            ],
            "step 2 of its rise ends at 800, not above 900",
        ),
        ([RiseStep(flat=True, up_to_mm=900.0), RiseStep(pitch_deg=20.0)], "step 1 of its rise is flat"),
        ([RiseStep(flat=True, vertical=True)], "give one of pitch_deg, vertical and flat"),
    ],
)
def test_rises_that_cannot_be_built_are_named(rise: list[RiseStep], words: str) -> None:
    faults = _faults(outline=RECT, edges={3: EdgeJob(rise=rise)})
    assert "edge 3" in faults
    assert words in faults


def test_a_corner_too_sharp_for_its_overhangs_is_refused_by_name() -> None:
    """600 at a corner of 1.43 degrees: 600 / sin(0.716 degrees) = 48 m past the wall (by hand)."""
    with pytest.raises(
        ShapeError, match=r"edges 3 and 1 meet in so sharp a corner that their overhangs run 480\d\d mm"
    ):
        _roof(wall_line=[(0.0, 0.0), (12000.0, -150.0), (12000.0, 150.0)], eave_overhang_mm=600.0)
