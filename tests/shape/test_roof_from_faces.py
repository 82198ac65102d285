"""Roofs found in triangles: hand-made shapes with the faults that models have.

Expected values are worked out on the shapes themselves (derived).
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, radians, sin

import pytest

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.basics.vectors import Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.faces import RawFaces, raw_faces
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.imported.mesh_clean import split_edges, weld
from takeoff.shape.imported.roof_from_faces import roof_from_faces

SETTINGS = resolve_settings(Job(job="check"))

# 12 x 8 m, eaves at 2400, ridge 3 m higher from x = 4 to 8 m
A, B, C, D = (0.0, 0.0, 2400.0), (12000.0, 0.0, 2400.0), (12000.0, 8000.0, 2400.0), (0.0, 8000.0, 2400.0)
E, F = (4000.0, 4000.0, 5400.0), (8000.0, 4000.0, 5400.0)
HIP = [[A, B, F, E], [B, C, F], [C, D, E, F], [D, A, E]]
HIP_AREA = (12000 + 4000) / 2 * 5000 * 2 + 8000 * 5000


def _raw(polygons: list[list[Point3]]) -> RawFaces:
    """Convex polygons fanned out; every triangle with points of its own."""
    points: list[Point3] = []
    triangles = []
    for polygon in polygons:
        for b, c in pairwise(polygon[1:]):
            triangles.append((len(points), len(points) + 1, len(points) + 2))
            points += [polygon[0], b, c]
    return raw_faces(tuple(points), tuple(triangles), "house.obj", stated_unit_mm=1.0, stated_up="z")


def _walls(ring: list[Point3], foot: float = 0.0) -> list[list[Point3]]:
    down = [(x, y, foot) for x, y, _ in ring]
    return [[down[i - 1], down[i], ring[i], ring[i - 1]] for i in range(len(ring))]


def _roof(polygons: list[list[Point3]], **job: object) -> Roof:
    given = {"mesh": {"file": "house.obj"}, **job}
    return roof_from_faces(_raw(polygons), RoofJob.model_validate(given), 0.0, SETTINGS)


def _kinds(roof: Roof) -> dict[EdgeKind, int]:
    return {kind: n for kind in EdgeKind if (n := len([e for e in roof.edges if e.kind is kind]))}


def _area(roof: Roof) -> float:
    return sum(plane.area_mm2 for plane in roof.planes)


def test_a_hip_house_with_walls_and_floor() -> None:
    floor = [(x, y, 0.0) for x, y, _ in (D, C, B, A)]
    roof = _roof([*HIP, *_walls([A, B, C, D]), floor])
    assert _kinds(roof) == {EdgeKind.EAVE: 4, EdgeKind.RIDGE: 1, EdgeKind.HIP: 4}
    assert _area(roof) == pytest.approx(HIP_AREA)
    assert [p.outline_edges for p in roof.planes] == [(1,), (2,), (3,), (4,)]
    assert [(round(x), round(y)) for x, y in roof.outline_mm[0]] == [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
    assert roof.edge_names == ("eave",) * 4
    assert roof.closed
    assert roof.findings == ()


def test_ceilings_and_ground_are_no_roof() -> None:
    """A ceiling half a metre under the eaves, and the ground 10 m round the house: one is covered, one lies lowest."""
    ceiling = [(x, y, 1900.0) for x, y, _ in (A, B, C, D)]
    ground = [(-10000.0, -10000.0, 0.0), (22000.0, -10000.0, 0.0), (22000.0, 18000.0, 0.0), (-10000.0, 18000.0, 0.0)]
    for extra in ([ceiling], [ground], [ceiling, ground, *_walls([A, B, C, D])]):
        roof = _roof([*HIP, *extra])
        assert len(roof.planes) == 4
        assert _area(roof) == pytest.approx(HIP_AREA)


def test_a_slab_counts_once() -> None:
    """A single-pitch roof as a body 200 mm thick: its top is the roof, its underside and sides are not."""
    top = [(0.0, 0.0, 3000.0), (9000.0, 0.0, 3000.0), (9000.0, 5000.0, 4000.0), (0.0, 5000.0, 4000.0)]
    under = [(x, y, z - 200.0) for x, y, z in top]
    sides = [[under[i - 1], under[i], top[i], top[i - 1]] for i in range(4)]
    roof = _roof([top, under[::-1], *sides])
    assert _area(roof) == pytest.approx(9000.0 * hypot(5000.0, 1000.0))
    assert _kinds(roof) == {EdgeKind.EAVE: 1, EdgeKind.VERGE: 2, EdgeKind.HEAD: 1}


def test_the_roof_alone_inside_out() -> None:
    roof = _roof([polygon[::-1] for polygon in HIP])
    assert _kinds(roof) == {EdgeKind.EAVE: 4, EdgeKind.RIDGE: 1, EdgeKind.HIP: 4}
    assert all(plane.frame.n[2] > 0 for plane in roof.planes)


def test_single_triangles_are_planes() -> None:
    """A pyramid: four planes of one triangle each."""
    top = (4000.0, 4000.0, 4000.0)
    ring = [(0.0, 0.0, 0.0), (8000.0, 0.0, 0.0), (8000.0, 8000.0, 0.0), (0.0, 8000.0, 0.0)]
    roof = _roof([[ring[i - 1], ring[i], top] for i in range(4)])
    assert len(roof.planes) == 4
    assert _area(roof) == pytest.approx(4 * 8000 * hypot(4000, 4000) / 2)


def test_gable_ends_are_verges_and_a_wall_above_makes_aprons() -> None:
    e, f = (0.0, 4000.0, 5400.0), (12000.0, 4000.0, 5400.0)
    gable = [[A, B, f, e], [C, D, e, f]]
    ring = [A, B, C, D]
    assert _kinds(_roof([*gable, *_walls(ring), [B, C, f], [D, A, e]])) == {
        EdgeKind.EAVE: 2,
        EdgeKind.VERGE: 4,
        EdgeKind.RIDGE: 1,
    }
    tall = [(12000.0, -1000.0, 0.0), (12000.0, 9000.0, 0.0), (12000.0, 9000.0, 9000.0), (12000.0, -1000.0, 9000.0)]
    roof = _roof([*gable, *_walls(ring), [D, A, e], tall])
    assert _kinds(roof) == {EdgeKind.EAVE: 2, EdgeKind.VERGE: 2, EdgeKind.RIDGE: 1, EdgeKind.APRON_SIDE: 2}
    assert roof.edge_names == ("eave", "wall", "eave", "gable")


def test_points_that_do_not_quite_meet_are_welded_and_crumbs_and_doubles_dropped() -> None:
    shaken = [[(x + 0.4 * ((i + k) % 3 - 1), y - 0.3 * (k % 2), z) for k, (x, y, z) in enumerate(polygon)]
              for i, polygon in enumerate(HIP)]  # fmt: skip
    roof = _roof([*shaken, shaken[1], [A, B, (6000.0, 0.5, 2400.0)]])
    assert _kinds(roof) == {EdgeKind.EAVE: 4, EdgeKind.RIDGE: 1, EdgeKind.HIP: 4}
    assert _area(roof) == pytest.approx(HIP_AREA, rel=2e-4)
    (finding,) = [f for f in roof.findings if f.code == "mesh-cleaned"]
    assert "1 faces without area and 1 repeated faces" in finding.text


def test_t_junctions_close() -> None:
    """The front of the hip cut along the ridge's middle down to the eave, its neighbours left whole."""
    m, n = (6000.0, 0.0, 2400.0), (6000.0, 4000.0, 5400.0)
    roof = _roof([[A, m, n, E], [m, B, F, n], *HIP[1:]])
    assert _kinds(roof) == {EdgeKind.EAVE: 4, EdgeKind.RIDGE: 1, EdgeKind.HIP: 4}
    assert roof.planes[0].area_mm2 == pytest.approx(16000 / 2 * 5000)


def test_a_bent_roof_is_not_chained_into_one_plane() -> None:
    """20 strips of 500 mm, each turned by 2 degrees against the last: 38 degrees in all."""
    polygons = []
    x, z = 0.0, 0.0
    for k in range(20):
        x1, z1 = x + 500 * cos(radians(40 - 2 * k)), z + 500 * sin(radians(40 - 2 * k))
        polygons.append([(x, 0.0, z), (x1, 0.0, z1), (x1, 6000.0, z1), (x, 6000.0, z)])
        x, z = x1, z1
    roof = _roof(polygons)
    assert len(roof.planes) >= 7
    assert max(plane.flat_error_mm for plane in roof.planes) <= 25.0
    pitches = sorted(plane.pitch_deg for plane in roof.planes)
    assert pitches[0] < 5.0
    assert pitches[-1] > 36.0


def test_a_plane_out_of_flat_is_one_plane_with_a_finding() -> None:
    """10 x 6 m with one corner 40 mm too high: 10 mm off the plane of best fit at every corner."""
    ring = [(0.0, 0.0, 0.0), (10000.0, 0.0, 0.0), (10000.0, 6000.0, 3040.0), (0.0, 6000.0, 3000.0)]
    roof = _roof([ring])
    assert len(roof.planes) == 1
    assert 5.0 < roof.planes[0].flat_error_mm < 25.0
    assert "plane-not-flat" in [finding.code for finding in roof.findings]


def test_a_plane_far_out_of_flat_is_two() -> None:
    ring = [(0.0, 0.0, 0.0), (10000.0, 0.0, 0.0), (10000.0, 6000.0, 3600.0), (0.0, 6000.0, 3000.0)]
    assert len(_roof([ring]).planes) == 2


def _turned_foot(width: float, turned_deg: float) -> list[list[Point3]]:
    """A plane of 30 degrees, 6 m wide and 5 m long, and at its foot a strip that is flatter by some degrees."""
    x, z = 5000.0 * cos(radians(30)), 5000.0 * sin(radians(30))
    dx, dz = width * cos(radians(30 - turned_deg)), width * sin(radians(30 - turned_deg))
    return [
        [(0.0, 0.0, 3000.0), (0.0, -6000.0, 3000.0), (x, -6000.0, 3000.0 + z), (x, 0.0, 3000.0 + z)],
        [(-dx, 0.0, 3000.0 - dz), (-dx, -6000.0, 3000.0 - dz), (0.0, -6000.0, 3000.0), (0.0, 0.0, 3000.0)],
    ]


@pytest.mark.parametrize(
    ("width", "turned_deg", "planes"),
    [
        (300.0, 4.0, 2),  # 21 mm off the great plane at its foot, but turned by more than a narrow face may be
        (300.0, 2.0, 1),
        (60.0, 4.0, 1),  # 4 mm off only, and narrower than any plane that is sheeted
        (160.0, 4.0, 2),
        (60.0, 2.0, 1),
    ],
)
def test_a_strip_turned_too_far_is_a_plane_of_its_own_however_near_it_lies(
    width: float, turned_deg: float, planes: int
) -> None:
    roof = _roof(_turned_foot(width, turned_deg))
    assert len(roof.planes) == planes
    if planes == 2:
        assert [round(plane.pitch_deg, 3) for plane in roof.planes] == [30.0 - turned_deg, 30.0]


def test_a_step_between_two_roofs_is_an_upright_face() -> None:
    """A flat-eaved block beside a lower lean-to: the lean-to's top ends at the block's wall."""
    high = [(0.0, 0.0, 5000.0), (6000.0, 0.0, 5000.0), (6000.0, 6000.0, 7000.0), (0.0, 6000.0, 7000.0)]
    low = [(0.0, -3000.0, 2500.0), (6000.0, -3000.0, 2500.0), (6000.0, 0.0, 3000.0), (0.0, 0.0, 3000.0)]
    wall = [[(0.0, 0.0, 3000.0), (6000.0, 0.0, 3000.0), (6000.0, 0.0, 5000.0), (0.0, 0.0, 5000.0)]]
    roof = _roof([high, low, *wall])
    assert _kinds(roof) == {EdgeKind.EAVE: 2, EdgeKind.VERGE: 4, EdgeKind.HEAD: 1, EdgeKind.APRON_HEAD: 1}
    (step,) = roof.uprights
    assert step.area_mm2 == pytest.approx(6000 * 2000)
    apron = next(e for e in roof.edges if e.kind is EdgeKind.APRON_HEAD)
    assert set(apron.faces) == {"P1", "U1"}


def test_a_level_top_is_measured_not_sheeted() -> None:
    roof = _roof([[(0.0, 0.0, 3000.0), (9000.0, 0.0, 3000.0), (9000.0, 5000.0, 3020.0), (0.0, 5000.0, 3020.0)]])
    assert roof.planes[0].covering == "other"
    assert roof.planes[0].pitch_deg == 0.0


def _moved(polygons: list[list[Point3]], by: float, share: float = 1.0) -> list[list[Point3]]:
    return [[(share * x + by, share * y, z) for x, y, z in polygon] for polygon in polygons]


def test_of_two_roofs_as_large_the_job_says_which_is_meant() -> None:
    """The order stops, exit 6, with the line for each."""
    with pytest.raises(UndecidedError) as caught:
        _roof([*HIP, *_moved(HIP, 30000.0)])
    assert caught.value.exit_code == 6
    first, one, other = caught.value.faults
    assert "holds several roofs apart from each other" in first
    assert "use: [1]}` takes body 1, 12.00 x 8.00 m and 3.00 m high, from 2.40 m up at (0, 0)" in one
    assert "use: [2]}` takes body 2, 12.00 x 8.00 m and 3.00 m high, from 2.40 m up at (30000, 0)" in other
    for number, corner in ((1, 0.0), (2, 30000.0)):
        roof = _roof([*HIP, *_moved(HIP, 30000.0)], mesh={"file": "house.obj", "use": [number]})
        assert _area(roof) == pytest.approx(HIP_AREA)
        assert min(x for x, _ in roof.outline_mm[0]) == pytest.approx(corner, abs=1e-6)
        assert [finding.severity for finding in roof.findings] == ["note"]


def test_a_smaller_building_beside_is_set_aside_and_told() -> None:
    roof = _roof([*HIP, *_moved(HIP, 30000.0, 0.5)])
    assert _area(roof) == pytest.approx(HIP_AREA)
    (finding,) = roof.findings
    assert finding.severity == "warn"
    assert "body 2, 6.00 x 4.00 m and 3.00 m high" in finding.text
    assert "likely another building, was set aside" in finding.text


def test_bodies_that_there_are_not_are_told_with_those_that_are() -> None:
    with pytest.raises(ShapeError, match=r"there is no body 7; it has 2: body 1, 12\.00 x 8\.00 m"):
        _roof([*HIP, *_moved(HIP, 30000.0, 0.5)], mesh={"file": "house.obj", "leave_out": [7]})


def test_of_a_partial_roof_no_place_is_taken_twice() -> None:
    """A sheet of 3 x 3 m that lies half over the edge and half over the roof, turned against it."""
    sheet = [(-1500.0, 3000.0, 4500.0), (1500.0, 3000.0, 5500.0), (1500.0, 6000.0, 5500.0), (-1500.0, 6000.0, 4500.0)]
    with pytest.raises(ShapeError) as caught:
        _roof([*HIP, sheet])
    assert "allow_partial" in caught.value.faults[-1]
    partial = _roof([*HIP, sheet], allow_partial=True)
    assert _area(partial) == pytest.approx(HIP_AREA)


def test_a_missing_face_is_an_opening_that_is_pointed_out() -> None:
    top = (6000.0, 4000.0, 5400.0)
    roof = _roof([[A, B, (8000.0, 2000.0, 3900.0), (4000.0, 2000.0, 3900.0)], [B, C, top], [C, D, top], [D, A, top],
                  [(4000.0, 2000.0, 3900.0), A, top], [B, (8000.0, 2000.0, 3900.0), top]])  # fmt: skip
    (finding,) = [f for f in roof.findings if f.code == "roof-opening"]
    assert "opening of 4.00 m2" in finding.text


def test_walls_alone_are_no_roof() -> None:
    with pytest.raises(ShapeError, match="holds no roof"):
        _roof(_walls([A, B, C, D]))


def test_survey_coordinates() -> None:
    far = [[(x + 1.5e9, y + 5.4e9, z) for x, y, z in polygon] for polygon in HIP]
    roof = _roof(far)
    assert roof.origin_mm == (1.5e9, 5.4e9, 0.0)
    assert _area(roof) == pytest.approx(HIP_AREA, rel=1e-6)


def test_welding_joins_across_a_rounding_edge() -> None:
    nodes, new = weld([(1.999, 0.0, 0.0), (2.001, 0.0, 0.0), (9.0, 0.0, 0.0)], 1.0)
    assert new == [0, 0, 1]
    assert nodes[0] == pytest.approx((2.0, 0.0, 0.0))


def test_split_edges_puts_points_in_order() -> None:
    nodes = [(0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (0.0, 9.0, 0.0), (6.0, 0.0, 0.0), (3.0, 0.0, 0.0), (3.0, -9.0, 0.0)]
    assert split_edges(nodes, [(0, 1, 2), (4, 5, 3)], 0.1) == [(0, 4, 3, 1, 2), (4, 5, 3)]
