"""Walls from a roof's wall line and from the job: numbers, sides, corners, tops, openings, refusals."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.polygons import signed_area
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.walls import WallsJob
from takeoff.model.roof import Roof
from takeoff.model.walls import Elevation
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.walls.wall_edges import wall_edges
from takeoff.shape.walls.wall_tops import roof_over_wall
from takeoff.shape.walls.walls import elevations

# soffits at the fascia height here, the frame height of these houses; other soffit lines have their own tests
SETTINGS = resolve_settings(Job(job="test", settings={"soffit_drop_mm": 0}))
ELL = [(0, 0), (14200, 0), (14200, 8400), (9000, 8400), (9000, 12600), (0, 12600)]
BOX = [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
END = {"name": "end", "width_mm": 4000, "height_mm": 2400}
DEPTH = SETTINGS.number("roof_depth_mm")


def roof(points: list[tuple[float, float]], **more: Any) -> Roof:
    job = {"name": "main", "wall_line": points, "eave_overhang_mm": 600, "fascia_height_mm": 2450, "pitch_deg": 25}
    return roof_from_outline(RoofJob.model_validate({**job, **more}), 0.0, SETTINGS)


def walls_of(made: Roof | None, north_deg: float = 0.0, **more: Any) -> tuple[Elevation, ...]:
    job = WallsJob.model_validate({"height_mm": 2450, "ground_mm": -450, **more} if made else more)
    return elevations(job, (made,) if made else (), north_deg, SETTINGS)


def test_one_wall_for_each_edge_of_the_wall_line_seen_from_outside() -> None:
    walls = walls_of(roof(ELL))
    assert [wall.width_mm for wall in walls] == [14200, 8400, 5200, 4200, 9000, 12600]
    assert [wall.id for wall in walls] == [f"wall {n}" for n in range(1, 7)]
    # standing south of wall 1 its left end is the west one; standing north of wall 3 the east one
    assert (walls[0].a_mm, walls[0].b_mm) == ((0, 0), (14200, 0))
    assert (walls[2].a_mm, walls[2].b_mm) == ((14200, 8400), (9000, 8400))
    assert [wall.bearing_deg for wall in walls] == pytest.approx([180, 90, 0, 90, 0, 270])
    assert walls_of(roof(ELL), 20.0)[0].bearing_deg == pytest.approx(200)


def test_corners_are_external_but_for_the_inside_one() -> None:
    walls = walls_of(roof(ELL))
    kinds = [(wall.left_corner.kind, wall.right_corner.kind) for wall in walls]
    out = "external"
    assert kinds == [(out, out), (out, out), (out, "internal"), ("internal", out), (out, out), (out, out)]
    assert all(wall.left_corner.angle_deg == pytest.approx(90) for wall in walls)


def test_points_typed_the_other_way_round_give_the_same_walls_seen_from_outside() -> None:
    walls = walls_of(roof([BOX[0], *reversed(BOX[1:])]))
    # edge 1 now runs up the west side: seen from the west its left end is the north one
    assert (walls[0].a_mm, walls[0].b_mm) == ((0, 8000), (0, 0))
    assert walls[0].bearing_deg == pytest.approx(270)
    assert {corner.kind for wall in walls for corner in (wall.left_corner, wall.right_corner)} == {"external"}


def test_courtyard_walls_are_numbered_on_and_face_into_the_courtyard() -> None:
    big = [(0, 0), (20000, 0), (20000, 16000), (0, 16000)]
    yard = [(7000, 6000), (13000, 6000), (13000, 10000), (7000, 10000)]
    walls = walls_of(roof(big, courtyards=[yard]))
    assert [wall.wall for wall in walls] == [1, 2, 3, 4, 5, 6, 7, 8]
    south = walls[4]  # the courtyard's south side looks north
    assert south.bearing_deg == pytest.approx(0)
    assert (south.a_mm, south.b_mm) == ((13000, 6000), (7000, 6000))
    assert (south.left_corner.kind, south.right_corner.kind) == ("internal", "internal")


def test_walls_under_eaves_end_at_the_frame_and_lap_the_floor() -> None:
    for wall in walls_of(roof(ELL)):
        assert wall.outline_xy == ((0, -50), (wall.width_mm, -50), (wall.width_mm, 2450), (0, 2450))
        assert signed_area(wall.outline_xy) > 0


def test_a_gable_wall_goes_up_to_the_roof() -> None:
    made = roof(ELL, edges={5: {"kind": "gable", "verge_overhang_mm": 450}})
    gable = walls_of(made)[4]
    # over the wall line the sheets are 600 mm up the slope from a fascia of 2450; the ridge is half a wall further
    ends = 2450 + 600 * tan(radians(25)) - DEPTH
    peak = 2450 + (600 + 4500) * tan(radians(25)) - DEPTH
    assert gable.outline_xy[2:] == (
        pytest.approx((9000, ends)),
        pytest.approx((4500, peak)),
        pytest.approx((0, ends)),
    )
    assert walls_of(made, gables=False)[4].outline_xy[2:] == ((9000, 2450), (0, 2450))


def test_a_gable_without_overhang_is_cut_where_its_roof_ends() -> None:
    made = roof(BOX, eave_overhang_mm=0, edges={2: {"kind": "gable"}, 4: {"kind": "gable"}})
    gable = walls_of(made, height_mm=2200)[1]
    assert max(y for _, y in gable.outline_xy) == pytest.approx(2450 + 4000 * tan(radians(25)) - DEPTH, abs=0.5)
    assert [round(x) for x, _ in gable.outline_xy[2:]] == [8000, 4000, 0]


def test_a_half_hip_gives_a_broken_top() -> None:
    rise = [{"up_to_mm": 1200, "vertical": True}, {"pitch_deg": 25}]
    made = roof(BOX, edges={2: {"rise": rise, "verge_overhang_mm": 450}})
    top = walls_of(made)[1].outline_xy[2:]
    slope = tan(radians(25))
    # the half hip starts 1200 over the fascia at the outline and has risen over 450 mm where the wall stands
    flat = 2450 + 1200 + 450 * slope - DEPTH
    side = 600 - (1200 + 450 * slope) / slope  # from the wall's end back to where the main slope is as high
    assert top == (
        pytest.approx((8000, 2450 + 600 * slope - DEPTH)),
        pytest.approx((8000 + side, flat)),
        pytest.approx((-side, flat)),
        pytest.approx((0, 2450 + 600 * slope - DEPTH)),
    )


def test_a_gablet_leaves_the_wall_under_its_eave_alone() -> None:
    rise = [{"up_to_mm": 1200, "pitch_deg": 25}, {"vertical": True}]
    for wall in walls_of(roof(BOX, edges={2: {"rise": rise}})):
        assert {y for _, y in wall.outline_xy} == {-50, 2450}


def test_the_high_wall_of_a_single_slope_goes_up_to_the_roof() -> None:
    edges = {n: {"kind": "gable"} for n in (2, 3, 4)}
    walls = walls_of(roof(BOX, pitch_deg=10, edges=edges))
    high = 2450 + 8600 * tan(radians(10)) - DEPTH
    assert walls[2].outline_xy[2:] == (pytest.approx((12000, high)), pytest.approx((0, high)))
    side = walls[1].outline_xy[2:]
    assert max(y for _, y in side) == pytest.approx(high)
    assert {y for _, y in walls[0].outline_xy} == {-50, 2450}


def test_a_side_against_another_wall_is_not_clad() -> None:
    made = roof(BOX, pitch_deg=10, edges={3: {"kind": "wall"}, 2: {"kind": "gable"}, 4: {"kind": "gable"}})
    assert [wall.wall for wall in walls_of(made)] == [1, 2, 4]
    with pytest.raises(JobError, match="wall 3, which is not clad; walls are 1, 2, 4"):
        walls_of(made, openings=[{"wall": 3, "from_left_mm": 0, "sill_mm": 0, "width_mm": 900, "height_mm": 2000}])


def test_unequal_overhangs_in_line_keep_wall_and_edge_together() -> None:
    points = [(0, 0), (6000, 0), (12000, 0), (12000, 8000), (0, 8000)]
    made = roof(points, edges={2: {"kind": "eave", "eave_overhang_mm": 300}}, fascia_height_mm=2450)
    edges = wall_edges(made)
    assert [edge.outline_edge for edge in edges] == [1, 2, 3, 4, 5]
    assert [round(edge.overhang_mm) for edge in edges] == [600, 300, 600, 600, 600]
    assert edges[0].right_corner.kind == "none"


def test_the_roof_over_an_eave_wall_is_level_up_to_its_corners() -> None:
    made = roof(ELL)
    for edge in wall_edges(made):
        top = roof_over_wall(made, edge)
        assert [x for x, _ in top] == pytest.approx([0, edge.length_mm])
        assert [y for _, y in top] == pytest.approx([2450 + 600 * tan(radians(25))] * 2)


def test_a_wall_through_its_roof_is_told() -> None:
    walls = walls_of(roof(BOX), height_mm=3000)
    assert [finding.code for finding in walls[0].findings] == ["wall-through-roof", "cladding-to-soffit-line"]
    assert walls[0].findings[0].severity is Severity.WARN
    assert "270 mm too low" in walls[0].findings[0].text


def test_another_roof_against_a_wall_is_told() -> None:
    lean_to = RoofJob.model_validate(
        {
            "name": "porch",
            "outline": [(3000, 0), (3000, -2500), (7000, -2500), (7000, 0)],
            "pitch_deg": 5,
            "fascia_height_mm": 2100,
            "edges": {1: {"kind": "gable"}, 3: {"kind": "gable"}, 4: {"kind": "wall"}},
        }
    )
    roofs = (roof(BOX), roof_from_outline(lean_to, 0.0, SETTINGS, 5))
    walls = elevations(WallsJob(height_mm=2450, ground_mm=-450), roofs, 0.0, SETTINGS)
    told = [finding for wall in walls for finding in wall.findings]
    assert [finding.refs for finding in told] == [("wall 1",)]
    assert "Roof porch stops against wall 1 over 4.00 m" in told[0].text


def test_every_fault_of_the_openings_comes_at_once_with_its_millimetres() -> None:
    made = roof(ELL, edges={5: {"kind": "gable"}})
    openings = [
        {"wall": 1, "name": "W1", "from_left_mm": 13000, "sill_mm": 900, "width_mm": 1500, "height_mm": 1200},
        {"wall": 2, "from_left_mm": 1000, "sill_mm": 900, "width_mm": 1500, "height_mm": 1650},
        {"wall": 5, "name": "W3", "from_left_mm": 100, "sill_mm": 900, "width_mm": 1800, "height_mm": 1900},
        {"wall": 6, "name": "W4", "from_left_mm": 1000, "sill_mm": 900, "width_mm": 1500, "height_mm": 1200},
        {"wall": 6, "name": "W5", "from_left_mm": 2300, "sill_mm": 600, "width_mm": 1500, "height_mm": 1200},
        {"wall": 9, "name": "W6", "from_left_mm": 2300, "sill_mm": 600, "width_mm": 1500, "height_mm": 1200},
        {"wall": 4, "name": "W7", "from_left_mm": 9000, "sill_mm": 600, "width_mm": 500, "height_mm": 1200},
    ]
    with pytest.raises(JobError) as caught:
        walls_of(made, openings=openings)
    text = "\n".join(caught.value.faults)
    assert len(caught.value.faults) == 6
    assert "walls.openings[1]: W1 ends 300 mm past the right end of wall 1, which is 14200 wide" in text
    assert "walls.openings[2]: W2 goes 100 mm through the top of wall 2, which is 2450 high there" in text
    low = 2450 + 700 * tan(radians(25)) - DEPTH
    assert f"W3 goes {2800 - low:.0f} mm through the raked top of wall 5" in text
    assert "W5 overlaps W4 on wall 6 by 200 mm across and 900 mm up" in text
    assert "walls.openings[6]: W6 is on wall 9, which is not clad; walls are 1, 2, 3, 4, 5, 6" in text
    assert "W7 ends 5300 mm past the right end of wall 4" in text


def test_openings_may_touch_each_other_the_ends_and_the_top() -> None:
    openings = [
        {"wall": 1, "from_left_mm": 0, "sill_mm": 0, "width_mm": 1000, "height_mm": 2450},
        {"wall": 1, "from_left_mm": 1000, "sill_mm": 0, "width_mm": 13200, "height_mm": 2450},
    ]
    walls = walls_of(roof(ELL), openings=openings)
    assert [opening.name for opening in walls[0].openings] == ["D1", "D2"]


def test_a_wall_by_itself_with_a_raked_top() -> None:
    job = {"name": "shed end", "width_mm": 4000, "height_mm": 2400, "top": [(0, 2400), (2000, 3400)]}
    wall = walls_of(None, elevations=[{**job, "right": "none"}])[0]
    assert wall.outline_xy == ((0, -50), (4000, -50), (4000, 2400), (2000, 3400), (0, 2400))
    assert (wall.id, wall.left_corner.kind, wall.right_corner.kind) == ("shed end", "external", "none")
    stepped = {**job, "top": [(1000, 3000), (1000, 3400), (3000, 3400)]}
    top = walls_of(None, elevations=[stepped])[0].outline_xy[2:]
    assert top == ((4000, 2400), (3000, 3400), (1000, 3400), (1000, 3000), (0, 2400))


def test_a_raked_top_that_cannot_be_is_refused_whole() -> None:
    job = {"name": "end", "width_mm": 4000, "height_mm": 2400, "top": [(0, 2400), (4100, 3000), (3000, -60)]}
    with pytest.raises(JobError) as caught:
        walls_of(None, elevations=[job])
    assert len(caught.value.faults) == 3
    assert "walls.elevations[1].top[2]: x = 4100 lies 100 mm outside end" in caught.value.faults[0]


def test_ground_is_taken_from_the_job_or_told() -> None:
    named = walls_of(roof(BOX), ground_by_wall={2: (-300, -600)})
    assert [wall.ground_mm for wall in named[:2]] == [(-450, -450), (-300, -600)]
    bare = walls_of(roof(BOX), ground_mm=None)
    assert bare[0].ground_mm == (-225, -225)
    assert [f.code for wall in bare for f in wall.findings] == ["ground-assumed"]
    assert walls_of(roof(BOX), ground_mm=None, paved=True)[3].ground_mm == (-150, -150)
    with pytest.raises(JobError, match=r"ground_by_wall\[7\]: there is no clad wall 7"):
        walls_of(roof(BOX), ground_by_wall={7: (-300, -600)})


@pytest.mark.parametrize(
    ("made", "walls", "words"),
    [
        (None, {"height_mm": 2400}, "there is no roof to take a wall line from"),
        (roof(BOX), {"roof": "mian", "height_mm": 2400}, "there is no roof mian; did you mean main?"),
        (roof(BOX), {"height_mm": None}, "walls.height_mm: give the frame height"),
    ],
)
def test_walls_without_a_place_to_stand_are_refused(made: Roof | None, walls: dict[str, Any], words: str) -> None:
    with pytest.raises(JobError, match=words.replace("?", r"\?")):
        elevations(WallsJob.model_validate(walls), (made,) if made else (), 0.0, SETTINGS)


def test_walls_longer_than_a_street_or_lower_than_their_foot_are_refused() -> None:
    with pytest.raises(JobError, match="wall 1 is 2000 m long; walls are 1000 m at most"):
        walls_of(roof([(0, 0), (2e6, 0), (2e6, 8000), (0, 8000)]))
    deep = replace(
        SETTINGS, values={**SETTINGS.values, "floor_lap_mm": replace(SETTINGS.values["floor_lap_mm"], value=-2500.0)}
    )
    with pytest.raises(JobError, match="end ends at or below the foot of its cladding"):
        elevations(WallsJob.model_validate({"elevations": [END]}), (), 0.0, deep)


def test_a_roof_without_a_wall_line_carries_no_walls() -> None:
    made = roof_from_outline(RoofJob(name="main", outline=BOX, pitch_deg=25), 0.0, SETTINGS)
    with pytest.raises(JobError, match="roof main has no wall line"):
        walls_of(made)
