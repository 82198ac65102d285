"""Closed forms of simple roofs. Status of every expected value: derived, plain arithmetic independent of the program."""

from __future__ import annotations

from math import asin, atan, atan2, cos, degrees, hypot, radians, sin, sqrt, tan

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.edges import EdgeJob, RiseStep
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Covering, Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline


def _roof(x: float, y: float, pitch_deg: float | None = None, **edges: EdgeJob) -> Roof:
    job = RoofJob(
        outline=[(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)],
        pitch_deg=pitch_deg,
        edges={int(name[1:]): edge for name, edge in edges.items()},
    )
    return roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))


def _lengths(roof: Roof, kind: EdgeKind) -> list[float]:
    return sorted(edge.length_mm for edge in roof.edges if edge.kind is kind)


@pytest.mark.parametrize(
    ("x", "y", "pitch", "area", "hip", "ridge", "rise"),
    [
        (12.0, 8.0, 25.0, 105.924, 5.956, 4.0, 1.865),
        (12.0, 8.0, 15.0, 99.387, 5.758, 4.0, 1.072),
        (12.0, 8.0, 35.0, 117.194, 6.312, 4.0, 2.801),
        (15.2, 9.2, 22.5, 151.362, 6.779, 6.0, 1.905),
        (10.0, 10.0, 30.0, 115.470, 7.638, 0.0, 2.887),
    ],
)
def test_hip_roof_on_a_rectangle(
    x: float, y: float, pitch: float, area: float, hip: float, ridge: float, rise: float
) -> None:
    roof = _roof(1000 * x, 1000 * y, pitch)
    assert sum(p.area_mm2 for p in roof.planes) / 1e6 == pytest.approx(area, abs=1e-3)
    assert _lengths(roof, EdgeKind.HIP) == [pytest.approx(1000 * hip, abs=1.0)] * 4
    assert sum(_lengths(roof, EdgeKind.RIDGE)) == pytest.approx(1000 * ridge, abs=1e-6)
    top = max(n.at_mm[2] for n in roof.nodes) - min(n.at_mm[2] for n in roof.nodes)
    assert top == pytest.approx(1000 * rise, abs=1.0)


def test_faces_of_a_12_by_8_m_hip_roof_at_25_degrees() -> None:
    """Trapezoids of 35.308 m2, triangles of 17.654 m2."""
    areas = [plane.area_mm2 / 1e6 for plane in _roof(12000.0, 8000.0, 25.0).planes]
    assert areas == [pytest.approx(a, abs=1e-3) for a in (35.308, 17.654, 35.308, 17.654)]


def test_gable_and_hip_of_40_by_24_at_6_in_12_have_one_area() -> None:
    """1073.31 either way: the area of a roof of one pitch does not depend on its shape."""
    pitch = degrees(atan(0.5))
    hip = _roof(40000.0, 24000.0, pitch)
    gable = _roof(40000.0, 24000.0, pitch, e2=EdgeJob(kind="gable"), e4=EdgeJob(kind="gable"))
    areas = [sum(p.area_mm2 for p in roof.planes) / 1e6 for roof in (hip, gable)]
    assert areas[0] == pytest.approx(1073.31, abs=0.005)
    assert areas[0] == pytest.approx(areas[1], rel=1e-9)


@pytest.mark.parametrize("pitch", [3.0, 8.0, 12.5, 17.5, 22.5, 27.5, 30.0, 45.0, 60.0, 80.0])
def test_true_area_is_plan_area_over_cos_pitch(pitch: float) -> None:
    for plane in _roof(13000.0, 7000.0, pitch).planes:
        assert plane.area_mm2 * cos(radians(pitch)) == pytest.approx(plane.plan_area_mm2, rel=1e-9)
        assert plane.pitch_deg == pitch


def test_unequal_pitches_of_8_and_10_in_12_at_a_square_corner() -> None:
    """Plan angles 51.340 and 38.660, hip pitch 27.50, backing 20.27 and 29.99 degrees."""
    shallow, steep = degrees(atan(8 / 12)), degrees(atan(10 / 12))
    roof = _roof(20000.0, 9000.0, shallow, e2=EdgeJob(pitch_deg=steep), e4=EdgeJob(pitch_deg=steep))
    hip = next(e for e in roof.edges if e.kind is EdgeKind.HIP and e.a_mm[:2] == (0.0, 0.0))
    # from the eave of 8 in 12 (along x)
    plan_deg = degrees(atan2(hip.b_mm[1], hip.b_mm[0]))
    assert plan_deg == pytest.approx(51.340, abs=0.01)
    assert hip.slope_deg == pytest.approx(27.50, abs=0.01)
    backing_shallow = degrees(asin(sin(radians(shallow)) * cos(radians(plan_deg))))
    backing_steep = degrees(asin(sin(radians(steep)) * cos(radians(90 - plan_deg))))
    assert (backing_shallow, backing_steep) == (pytest.approx(20.27, abs=0.01), pytest.approx(29.99, abs=0.01))
    assert 180.0 - hip.between_deg == pytest.approx(backing_shallow + backing_steep, abs=1e-6)


@pytest.mark.parametrize("pitch", [5.0, 22.5, 40.0])
def test_angle_at_a_hip_is_180_less_acos_cos_squared(pitch: float) -> None:
    c = cos(radians(pitch))
    expected = 180.0 - degrees(atan2(sqrt(1 - c**4), c**2))
    for edge in _roof(12000.0, 8000.0, pitch).edges:
        if edge.kind is EdgeKind.HIP:
            assert edge.between_deg == pytest.approx(expected, abs=1e-9)


def test_single_pitch_is_one_plane_with_a_head() -> None:
    gable = EdgeJob(kind="gable")
    roof = _roof(9000.0, 4000.0, 10.0, e2=gable, e3=gable, e4=gable)
    (plane,) = roof.planes
    assert plane.area_mm2 == pytest.approx(9000 * 4000 / cos(radians(10)), rel=1e-12)
    assert _lengths(roof, EdgeKind.HEAD) == [pytest.approx(9000.0)]
    assert _lengths(roof, EdgeKind.VERGE) == [pytest.approx(4000 / cos(radians(10)))] * 2
    assert sorted(u.area_mm2 for u in roof.uprights) == [
        pytest.approx(4000 * 4000 * tan(radians(10)) / 2),
        pytest.approx(4000 * 4000 * tan(radians(10)) / 2),
        pytest.approx(9000 * 4000 * tan(radians(10))),
    ]


def test_single_pitch_against_a_wall_has_an_apron_head_and_sides() -> None:
    wall = EdgeJob(kind="wall")
    roof = _roof(9000.0, 4000.0, 10.0, e2=wall, e3=wall, e4=wall)
    assert _lengths(roof, EdgeKind.APRON_HEAD) == [pytest.approx(9000.0)]
    assert _lengths(roof, EdgeKind.APRON_SIDE) == [pytest.approx(4000 / cos(radians(10)))] * 2
    head = next(e for e in roof.edges if e.kind is EdgeKind.APRON_HEAD)
    assert head.between_deg == pytest.approx(100.0)
    assert not head.convex


def test_mansard_by_steps() -> None:
    """60 degrees up to 2000 over the fascia, then 20: a level break all round at 2000 / tan 60 from the eaves."""
    steps = [RiseStep(pitch_deg=60.0, up_to_mm=2000.0), RiseStep(pitch_deg=20.0)]
    roof = _roof(12000.0, 8000.0, None, **{f"e{n}": EdgeJob(rise=steps) for n in (1, 2, 3, 4)})
    inset = 2000 / tan(radians(60))
    lower = [plane for plane in roof.planes if plane.step == 0]
    upper = [plane for plane in roof.planes if plane.step == 1]
    assert len(lower) == len(upper) == 4
    inner = (12000 - 2 * inset) * (8000 - 2 * inset)
    assert sum(p.plan_area_mm2 for p in upper) == pytest.approx(inner, rel=1e-9)
    assert sum(p.area_mm2 for p in lower) == pytest.approx((12000 * 8000 - inner) / cos(radians(60)), rel=1e-9)
    breaks = [edge for edge in roof.edges if edge.kind is EdgeKind.PITCH_CHANGE]
    assert sum(e.length_mm for e in breaks) == pytest.approx(2 * (12000 + 8000 - 4 * inset), rel=1e-9)
    assert {round(e.a_mm[2] - 2450.0, 6) for e in breaks} == {2000.0}


def test_flat_top_is_measured_but_not_sheeted() -> None:
    steps = [RiseStep(pitch_deg=45.0, up_to_mm=1000.0), RiseStep(flat=True)]
    roof = _roof(12000.0, 8000.0, None, **{f"e{n}": EdgeJob(rise=steps) for n in (1, 2, 3, 4)})
    tops = [plane for plane in roof.planes if plane.covering is Covering.OTHER]
    assert [plane.area_mm2 for plane in tops] == [pytest.approx(10000.0 * 6000.0, rel=1e-12)]
    assert tops[0].pitch_deg == 0.0


def test_half_hip() -> None:
    """Gables upright to 1000 over the fascia, hipped above: the hip end starts there as an eave of its own."""
    half = EdgeJob(rise=[RiseStep(vertical=True, up_to_mm=1000.0), RiseStep(pitch_deg=30.0)])
    roof = _roof(12000.0, 8000.0, 30.0, e2=half, e4=half)
    at = 1000 / tan(radians(30))
    ends = [plane for plane in roof.planes if plane.outline_edges in ((2,), (4,))]
    width = 8000 - 2 * at
    assert [p.plan_area_mm2 for p in ends] == [pytest.approx(width * width / 4, rel=1e-9)] * 2
    assert sorted(_lengths(roof, EdgeKind.EAVE))[:2] == [pytest.approx(width), pytest.approx(width)]
    assert _lengths(roof, EdgeKind.VERGE) == [pytest.approx(hypot(at, 1000.0))] * 4


def test_courtyard_of_a_square_ring() -> None:
    """A ring 4 m wide round a court of 6 x 4 m: four ridges round it, four hips outside, four valleys inside."""
    job = RoofJob(
        outline=[(0.0, 0.0), (14000.0, 0.0), (14000.0, 12000.0), (0.0, 12000.0)],
        courtyards=[[(4000.0, 4000.0), (10000.0, 4000.0), (10000.0, 8000.0), (4000.0, 8000.0)]],
        pitch_deg=30.0,
    )
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    assert sum(_lengths(roof, EdgeKind.RIDGE)) == pytest.approx(2 * (10000 + 8000))
    corner = 2000 * sqrt(2 + tan(radians(30)) ** 2)
    assert _lengths(roof, EdgeKind.HIP) == [pytest.approx(corner)] * 4
    assert _lengths(roof, EdgeKind.VALLEY) == [pytest.approx(corner)] * 4
    assert sum(_lengths(roof, EdgeKind.EAVE)) == pytest.approx(2 * (14000 + 12000) + 2 * (6000 + 4000))
