"""Several roofs in one job, read from their samples, against closed forms. Every expected value is derived.

The arithmetic stands in each sample's README. A second way of its own: over any point the roof is the highest of the
roofs there, each of them the lowest of the planes that rise from its edges.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import radians, tan
from pathlib import Path

import pytest
from shapely.geometry import Point, Polygon

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.model.roof import RoofPlane

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@dataclass(frozen=True)
class Together:
    """One sample. Lengths [m] by edge kind, every edge once; `planes` [m2]; `cut_away` [m2] by roof."""

    lengths: dict[str, list[float]]
    planes: dict[str, float]
    cut_away: dict[str, float]
    angles: dict[str, float]


SAMPLE = {
    "verandah": Together(
        lengths={
            "apron head": [5.0, 5.0, 12.0],
            "hip": [3.41083] * 2 + [6.84990] * 4,
            "verge": [2.42359] * 2,
            "eave": [7.4, 7.4, 9.2, 9.2, 13.2, 13.2, 16.8],
            "ridge": [4.0],
        },
        planes={"P5": 34.89965, "P6": 15.02623, "P7": 15.02623},
        cut_away={"house": 0.0, "verandah": 60.0},
        angles={"apron head": 98.0},
    ),
    "porch": Together(
        lengths={
            "apron side": [1.53351] * 2,
            "verge": [1.53351] * 2,
            "ridge": [2.0, 3.0],
            "eave": [2.0, 2.0, 9.0, 9.0, 12.0, 12.0],
            "hip": [6.70099] * 4,
        },
        planes={"P5": 3.06702, "P6": 3.06702},
        cut_away={"house": 0.0, "porch": 1.5},
        angles={"apron side": 90.0},
    ),
    "dormer": Together(
        lengths={
            "valley": [1.34416] * 2,
            "eave": [1.09856] * 2 + [12.0] * 2,
            "ridge": [1.78662, 12.0],
            "verge": [1.15470] * 2 + [5.87433] * 4,
            "apron head": [2.0],
            "apron side": [1.43407] * 2,
        },
        planes={"P1": 66.72566, "P2": 70.49200, "P3": 1.66576, "P4": 1.66576},
        cut_away={"house": 2.88518, "dormer": 1.51482},
        angles={"apron head": 130.0, "apron side": 90.0, "valley": 131.56},
    ),
    "wing": Together(
        lengths={
            "valley": [4.83806] * 2,
            "ridge": [5.0, 7.75400],
            "verge": [3.05194] * 2,
            "hip": [6.70099] * 4,
            "eave": [4.0, 4.0, 4.0, 5.0, 9.0, 9.0, 14.0],
        },
        planes={"P1": 36.81420, "P5": 17.93623, "P6": 17.93623},
        cut_away={"house": 9.38500, "wing": 11.61500},
        angles={"valley": 137.93659},
    ),
    "butterfly": Together(
        lengths={
            "internal gutter": [9.0],
            "head": [9.0, 9.0],
            "verge": [4.06171] * 2 + [6.09256] * 2,
        },
        planes={"P1": 54.83304, "P2": 36.55536},
        cut_away={"west leaf": 0.0, "east leaf": 0.0},
        angles={"internal gutter": 160.0, "head": 80.0},
    ),
}

README_PLANES = {
    ("dormer", "P1"),
    ("dormer", "P3"),
    ("wing", "P1"),
    ("wing", "P5"),
    ("butterfly", "P1"),
    ("butterfly", "P2"),
}

_DONE: dict[str, Takeoff] = {}


def _takeoff(name: str) -> Takeoff:
    if name not in _DONE:
        _DONE[name] = pipeline.run_file(SAMPLES / name / "job.yaml", pipeline.Stage.MEASURE)
    return _DONE[name]


@pytest.mark.parametrize("name", SAMPLE)
def test_closed_forms(name: str) -> None:
    roofs, sample = _takeoff(name).roofs, SAMPLE[name]
    edges = [edge for roof in roofs for edge in roof.edges if edge.roof == roof.name]
    assert len({edge.id for edge in edges}) == len(edges)
    assert {edge.kind.value for edge in edges} == set(sample.lengths)
    for kind, expected in sample.lengths.items():
        found = sorted(edge.length_mm / 1000 for edge in edges if edge.kind.value == kind)
        assert found == pytest.approx(expected, abs=1e-5), kind
    for kind, angle in sample.angles.items():
        angles = [edge.between_deg for edge in edges if edge.kind.value == kind]
        assert angles == pytest.approx([angle] * len(angles), abs=5e-3), kind
    planes = {plane.id: plane.area_mm2 / 1e6 for roof in roofs for plane in roof.planes}
    for plane_id, area in sample.planes.items():
        assert planes[plane_id] == pytest.approx(area, abs=1e-5), plane_id
    for roof in roofs:
        assert roof.cut_away_mm2 / 1e6 == pytest.approx(sample.cut_away[roof.name], abs=1e-5)


@pytest.mark.parametrize("name", SAMPLE)
def test_each_roof_closes(name: str) -> None:
    """Planes and what was cut away make up the outline, and no two planes of a roof cover one place."""
    for roof in _takeoff(name).roofs:
        outline = Polygon(roof.outline_mm[0], roof.outline_mm[1:])
        covered = sum(plane.plan_area_mm2 for plane in roof.planes)
        assert covered + roof.cut_away_mm2 == pytest.approx(outline.area, rel=1e-9)
        shapes = [_plan_shape(plane) for plane in roof.planes]
        for i, shape in enumerate(shapes):
            assert all(shape.intersection(other).area < 1.0 for other in shapes[:i])


@pytest.mark.parametrize("name", SAMPLE)
def test_all_rain_reaches_a_gutter(name: str) -> None:
    takeoff = _takeoff(name)
    planes = sum(plane.plan_area_mm2 - plane.covered_mm2 for roof in takeoff.roofs for plane in roof.planes)
    assert sum(run.own_catchment_mm2 for run in takeoff.gutters) == pytest.approx(planes, rel=1e-9)


@pytest.mark.parametrize("name", SAMPLE)
def test_the_readme_says_the_same_figures(name: str) -> None:
    text = (SAMPLES / name / "README.md").read_text(encoding="utf-8")
    sample = SAMPLE[name]
    kinds = ("valley", "apron side", "internal gutter", "apron head")
    figures = {f"{length:.3f}" for kind in kinds for length in sample.lengths.get(kind, [])} - {"5.000", "12.000"}
    figures |= {f"{area:.3f}" for plane, area in sample.planes.items() if (name, plane) in README_PLANES}
    assert {figure for figure in figures if figure not in text} == set()


def _plan_shape(plane: RoofPlane) -> Polygon:
    rings = [[plane.frame.to_space(point)[:2] for point in ring] for ring in plane.rings_uv]
    return Polygon(rings[0], rings[1:])


def _height(plane: RoofPlane, x: float, y: float) -> float:
    (px, py, pz), (nx, ny, nz) = plane.frame.origin_mm, plane.frame.n
    return pz - (nx * (x - px) + ny * (y - py)) / nz


def _t(pitch_deg: float) -> float:
    return tan(radians(pitch_deg))


def _wing(x: float, y: float) -> float:
    house = 2.4 + _t(25) * min(x, 14 - x, y, 9 - y) if 0 < x < 14 and 0 < y < 9 else 0.0
    wing = 2.4 + _t(35) * min(x - 4, 9 - x) if 4 < x < 9 and -4 < y < 4.2 else 0.0
    return max(house, wing)


def _dormer(x: float, y: float) -> float:
    house = 2.4 + _t(40) * min(y + 0.6, 8.4 - y) if -0.6 < x < 11.4 and -0.6 < y < 8.4 else 0.0
    dormer = 5.0 + _t(30) * min(x - 4.4, 6.4 - x) if 4.4 < x < 6.4 and 1.4 < y < 3.6 else 0.0
    return max(house, dormer)


def _butterfly(x: float, y: float) -> float:
    return 2.7 + _t(10) * abs(x - 6) if 0 < x < 10 and 0 < y < 9 else 0.0


@pytest.mark.parametrize(
    ("name", "surface"),
    [("wing", _wing), ("dormer", _dormer), ("butterfly", _butterfly)],
    ids=["wing", "dormer", "butterfly"],
)
def test_the_surface_is_the_highest_of_the_roofs_over_a_point(
    name: str, surface: Callable[[float, float], float]
) -> None:
    planes = [(_plan_shape(plane), plane) for roof in _takeoff(name).roofs for plane in roof.planes]
    seen = 0
    for i in range(-8, 60):
        for j in range(-20, 40):
            x, y = 0.25 * i + 0.0137, 0.25 * j + 0.0171
            here = [plane for shape, plane in planes if shape.contains(Point(1000 * x, 1000 * y))]
            if surface(x, y) == 0.0:
                assert here == []
                continue
            seen += 1
            assert len(here) == 1, (x, y)
            assert _height(here[0], 1000 * x, 1000 * y) == pytest.approx(1000 * surface(x, y), abs=1e-6)
    assert seen > 800
