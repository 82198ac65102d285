"""Rain falls once on a place: what lies under a higher roof catches none. Areas worked by hand or by the union of the
outlines (a general-purpose geometry library)."""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely import union_all
from shapely.affinity import rotate
from shapely.geometry import Polygon, box

from takeoff import pipeline
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.together import covered
from takeoff.shape.together.combine import combine_roofs
from takeoff.shape.together.joint import joint_roofs
from takeoff.shape.water.drainage import trace_all_gutters
from takeoff.shape.water.fall_cells import Cell, open_strips

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
SETTINGS = resolve_settings(Job(job="check"))
GABLED = {"edges": {1: {"kind": "gable"}, 3: {"kind": "gable"}}}


def ring(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def together(*jobs: dict[str, object]) -> tuple[Roof, ...]:
    read = tuple(RoofJob.model_validate(job) for job in jobs)
    roofs: list[Roof] = []
    for job in read:
        roofs.append(roof_from_outline(job, 0.0, SETTINGS, 1 + sum(len(roof.planes) for roof in roofs)))
    return combine_roofs(tuple(roofs), read)


def union_mm2(roofs: tuple[Roof, ...]) -> float:
    found = [Polygon([(x + roof.origin_mm[0], y + roof.origin_mm[1]) for x, y in roof.outline_mm[0]]) for roof in roofs]
    return float(union_all(found).area)


def caught_mm2(roofs: tuple[Roof, ...]) -> float:
    return sum(run.plan_catchment_mm2 for run in trace_all_gutters(joint_roofs(roofs)))


def covered_m2(takeoff: Takeoff) -> dict[str, float]:
    return {roof.name: sum(plane.covered_mm2 for plane in roof.planes) / 1e6 for roof in takeoff.roofs}


def total_m2(takeoff: Takeoff) -> float:
    return next(quantity.figure for quantity in takeoff.measures if quantity.id == "catchment")


def test_a_verandah_catches_no_rain_under_the_eave_of_the_house() -> None:
    """House 13.2 x 9.2 between fascias; verandah 16.8 x 7.4 less 12 x 5 of house, of which the eave covers 13.2 x 5.6
    less 12 x 5: 121.44 + 64.32 - 13.92 = 171.84 m2."""
    takeoff = pipeline.run_file(SAMPLES / "verandah" / "job.yaml", pipeline.Stage.MEASURE)
    assert covered_m2(takeoff) == pytest.approx({"house": 0.0, "verandah": 13.92})
    assert total_m2(takeoff) == pytest.approx(171.84)
    assert union_mm2(takeoff.roofs) == pytest.approx(171.84e6)
    (note,) = (finding for finding in takeoff.findings if finding.code == "roof-under-roof")
    assert "13.92 m2 of roof verandah" in note.text
    assert not [finding for finding in takeoff.findings if finding.code == "roof-not-in-catchment"]


def test_a_porch_catches_no_rain_under_the_eave_of_the_house() -> None:
    """Porch 3.0 wide and 2.0 out, 0.6 of it under the eave: 108 + 3.0 x 1.4 = 112.2 m2, half of 4.2 to each side."""
    takeoff = pipeline.run_file(SAMPLES / "porch" / "job.yaml", pipeline.Stage.MEASURE)
    assert covered_m2(takeoff) == pytest.approx({"house": 0.0, "porch": 1.8})
    assert total_m2(takeoff) == pytest.approx(112.2)
    porch = [run.plan_catchment_mm2 for run in takeoff.gutters if run.roof == "porch"]
    assert porch == pytest.approx([2.1e6, 2.1e6])


def test_rain_is_counted_once_under_the_overhang_of_a_dormer() -> None:
    main = {"name": "main", "wall_line": ring(0, 0, 14000, 10000), "eave_overhang_mm": 600.0, "pitch_deg": 35.0,
            "fascia_height_mm": 2700.0}  # fmt: skip
    dormer = {"name": "dormer", "wall_line": ring(6000, 1200, 8000, 4500), "eave_overhang_mm": 300.0,
              "verge_overhang_mm": 300.0, "pitch_deg": 30.0, "fascia_height_mm": 4900.0, **GABLED}  # fmt: skip
    roofs = together(main, dormer)
    assert sum(plane.covered_mm2 for plane in roofs[0].planes) > 1e5
    assert caught_mm2(roofs) == pytest.approx(15.2e3 * 11.2e3, rel=1e-9)


def test_rain_is_counted_once_under_a_house_set_askew() -> None:
    """A house turned by 30 degrees over a verandah: the eave crosses planes, hips and fall lines at a slant."""
    corners = list(rotate(box(0, 0, 9000, 7000), 30, origin=(0, 0)).exterior.coords)[:-1]
    house = {"name": "house", "wall_line": corners, "eave_overhang_mm": 700.0, "pitch_deg": 25.0,
             "fascia_height_mm": 3200.0}  # fmt: skip
    around = {"name": "verandah", "outline": ring(-7000, -2500, 11000, 14000), "pitch_deg": 5.0, "below": "house",
              "fascia_height_mm": 2100.0}  # fmt: skip
    roofs = together(house, around)
    # the outline's 10.4 x 8.4 less its walls' 9 x 7 stands over the verandah
    assert sum(plane.covered_mm2 for plane in roofs[1].planes) == pytest.approx(10.4e3 * 8.4e3 - 9e3 * 7e3)
    assert caught_mm2(roofs) == pytest.approx(union_mm2(roofs), rel=1e-9)


def test_open_strips_of_a_cell_under_a_triangle() -> None:
    """10 x 4; a triangle of base 10 on the eave and height 6, cut off at 4: 30 - 3.333 x 2 / 2 is covered. Up the left
    side it is open 4 deep, in the middle not at all from 3.333 to 6.667."""
    cell = Cell("P1", "E1", "R1", 0.0, 10.0, 0.0, 0.0, 4.0, 4.0)
    strips = list(open_strips(cell, [(((0.0, 0.0), (10.0, 0.0), (5.0, 6.0)),)]))
    assert sum((s.depth0 + s.depth1) / 2 * (s.u1 - s.u0) for s in strips) == pytest.approx(40 - (30 - 10 / 3))
    assert (strips[0].depth0, strips[0].depth1) == pytest.approx((4.0, 0.0))
    assert [s.u0 for s in strips] == pytest.approx([0, 10 / 3, 5, 20 / 3])
    assert [s.depth0 for s in strips] == pytest.approx([4, 0, 0, 0])


def test_a_hole_in_what_covers_is_open() -> None:
    cell = Cell("P1", "E1", "R1", 0.0, 10.0, 0.0, 0.0, 4.0, 4.0)
    outer, hole = ((1.0, 1.0), (9.0, 1.0), (9.0, 3.0), (1.0, 3.0)), ((4.0, 1.5), (6.0, 1.5), (6.0, 2.5), (4.0, 2.5))
    strips = list(open_strips(cell, [(outer, hole)]))
    assert sum((s.depth0 + s.depth1) / 2 * (s.u1 - s.u0) for s in strips) == pytest.approx(40 - 16 + 2)


@pytest.mark.parametrize("apart_mm", [-9000.0, -6000.0, -100.0, 0.0, 1.0, 2.0, 30000.0])
def test_planes_apart_in_plan_are_passed_by_and_nothing_else_is(
    monkeypatch: pytest.MonkeyPatch, apart_mm: float
) -> None:
    """A low house with a higher one over it, over its edge, at its fascia and away from it: as if every plane were laid
    over every other."""
    alone = RoofJob.model_validate({"outline": ring(0, 0, 12000, 8000), "pitch_deg": 20, "fascia_height_mm": 2400})
    fascia = [x for x, _ in roof_from_outline(alone, 0.0, SETTINGS).outline_mm[0]]
    east_mm = max(fascia) - min(fascia) + apart_mm
    low: dict[str, object] = {"name": "low", "outline": ring(0, 0, 12000, 8000), "pitch_deg": 20}
    high: dict[str, object] = {"name": "high", "outline": ring(east_mm, 2000, east_mm + 12000, 10000), "pitch_deg": 30}
    jobs = ({**low, "fascia_height_mm": 2400}, {**high, "fascia_height_mm": 6000})
    roofs = [roof_from_outline(RoofJob.model_validate(job), 0.0, SETTINGS, 1 + 4 * n) for n, job in enumerate(jobs)]
    quick = covered.with_cover(roofs)
    monkeypatch.setattr(covered, "meet", lambda one, other: True)
    assert quick == covered.with_cover(roofs)
    assert any(plane.covered_uv for plane in quick[0].planes) == (apart_mm < 0.0)
