"""Every kind of roof, read from its sample, against closed forms. Status of every expected value: derived.

The arithmetic stands in each sample's README, step by step from the outline and the pitches alone; the figures here are
the same ones to more places, and a test holds the two together. Three ways of their own check the rest: the surface as
the lowest of the planes that rise from the edges of a convex outline, areas by general-purpose geometry libraries, and
the equations of planes at every node.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass, field
from math import cos, hypot, inf, radians, tan
from pathlib import Path

import pytest
import trimesh
from shapely.geometry import Point, Polygon
from shapely.ops import unary_union

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.write.data.roof_mesh import mesh_parts, obj_text

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
Height = Callable[[float], float]  # over z = 0, of what rises from an edge, by the distance from it in plan [m]


@dataclass(frozen=True)
class Kind:
    """One sample. Lengths in m, areas in m2. `lengths`: by edge kind, every edge; `angles`: by edge kind, each one."""

    plan: float
    area: float
    planes: dict[str, float] = field(default_factory=dict)
    lengths: dict[str, list[float]] = field(default_factory=dict)
    angles: dict[str, list[float]] = field(default_factory=dict)
    uprights: list[float] = field(default_factory=list)


KINDS = {
    "half_hip": Kind(
        plan=96.0,
        area=110.85125,
        planes={"P1": 51.16211, "P2": 4.26351, "P3": 51.16211, "P4": 4.26351},
        lengths={
            "eave": [3.84308, 3.84308, 12.0, 12.0],
            "verge": [2.4] * 4,
            "hip": [2.93520] * 4,
            "ridge": [8.15692],
        },
        angles={"hip": [138.59038] * 4, "ridge": [120.0]},
        uprights=[7.10585, 7.10585],
    ),
    "gablet": Kind(
        plan=80.0,
        area=97.66197,
        planes={"P1": 31.79263, "P2": 17.03836, "P3": 31.79263, "P4": 17.03836},
        lengths={
            "eave": [8.0, 8.0, 10.0, 10.0],
            "verge": [1.74489] * 4,
            "hip": [4.05668] * 4,
            "ridge": [4.85867],
            "apron head": [2.85867] * 2,
        },
        angles={"hip": [132.14507] * 4, "ridge": [110.0], "apron head": [125.0] * 2},
        uprights=[1.43052, 1.43052],
    ),
    "mansard": Kind(
        plan=108.0,
        area=169.60830,
        lengths={
            "eave": [9.0, 9.0, 12.0, 12.0],
            "hip": [2.87488] * 4 + [4.93707] * 4,
            "ridge": [3.0],
            "pitch change": [6.76172, 6.76172, 9.76172, 9.76172],
        },
        angles={"hip": [100.28859] * 4 + [152.00911] * 4, "ridge": [140.0], "pitch change": [135.0] * 4},
    ),
    "gambrel": Kind(
        plan=96.0,
        area=130.77220,
        planes={"P1": 27.71281, "P2": 37.67329, "P3": 27.71281, "P4": 37.67329},
        lengths={
            "eave": [12.0, 12.0],
            "verge": [2.30940] * 4 + [3.13944] * 4,
            "ridge": [12.0],
            "pitch change": [12.0, 12.0],
        },
        angles={"ridge": [130.0], "pitch change": [145.0] * 2},
        uprights=[17.46570, 17.46570],
    ),
    "sprocket": Kind(
        plan=96.0,
        area=123.86222,
        lengths={
            "eave": [8.0, 8.0, 12.0, 12.0],
            "hip": [1.59670] * 4 + [5.07101] * 4,
            "ridge": [4.0],
            "pitch change": [5.85549, 5.85549, 9.85549, 9.85549],
        },
        angles={"hip": [120.0] * 4 + [145.22456] * 4, "ridge": [90.0], "pitch change": [160.0] * 4},
    ),
    "flat_top": Kind(
        plan=140.0,
        area=165.82546,
        planes={"P2": 55.43927},
        lengths={
            "eave": [10.0, 10.0, 14.0, 14.0],
            "hip": [3.52752] * 4,
            "pitch change": [5.70969, 5.70969, 9.70969, 9.70969],
        },
        angles={"hip": [125.93196] * 4, "pitch change": [140.0] * 4},
    ),
    "courtyard": Kind(
        plan=288.0,
        area=317.77284,
        lengths={
            "eave": [4.0, 4.0, 8.0, 8.0, 16.0, 16.0, 20.0, 20.0],
            "hip": [4.46732] * 4,
            "valley": [4.46732] * 4,
            "ridge": [10.0, 10.0, 14.0, 14.0],
        },
        angles={"hip": [145.22456] * 4, "valley": [145.22456] * 4, "ridge": [130.0] * 4},
    ),
    "fascia_heights": Kind(
        plan=80.0,
        area=88.27023,
        planes={"P1": 51.23372, "P2": 37.03651},
        lengths={"eave": [10.0, 10.0], "verge": [3.70365, 3.70365, 5.12337, 5.12337], "ridge": [10.0]},
        angles={"ridge": [130.0]},
        uprights=[9.66792, 9.66792],
    ),
    "single_pitch": Kind(
        plan=45.0,
        area=45.44224,
        planes={"P1": 45.44224},
        lengths={"eave": [9.0], "verge": [5.04914] * 2, "head": [9.0]},
        angles={"head": [82.0]},
        uprights=[1.75676, 1.75676, 6.32434],
    ),
    "lean_to": Kind(
        plan=36.0,
        area=36.55536,
        planes={"P1": 36.55536},
        lengths={"eave": [9.0], "verge": [4.06171] * 2, "apron head": [9.0]},
        angles={"apron head": [100.0]},
    ),
    "unequal_pitches": Kind(
        plan=96.0,
        area=111.48700,
        planes={"P1": 37.83078, "P2": 10.10259, "P3": 55.30490, "P4": 8.24873},
        lengths={
            "eave": [8.0, 8.0, 12.0, 12.0],
            "hip": [3.71765, 3.99340, 5.32246, 5.51859],
            "ridge": [9.18301],
        },
        angles={"hip": [115.65891, 118.02432, 127.76124, 131.64114], "ridge": [130.0]},
    ),
}


def _t(pitch_deg: float) -> float:
    return tan(radians(pitch_deg))


def _slope(pitch_deg: float, start: float) -> Height:
    return lambda d: start + d * _t(pitch_deg)


def _two(lower_deg: float, to: float, upper_deg: float, start: float) -> Height:
    run = to / _t(lower_deg)
    return lambda d: start + (d * _t(lower_deg) if d < run else to + (d - run) * _t(upper_deg))


def _until(height: Height, run: float) -> Height:
    return lambda d: height(d) if d < run else inf


def _upright(_d: float) -> float:
    return inf


# length and width of the outline, its lower left corner, and what rises from the edges front, right, back, left
CONVEX: dict[str, tuple[float, float, float, float, list[Height]]] = {
    "half_hip": (12.0, 8.0, -0.6, -0.6, [_slope(30, 2.4), _slope(30, 3.6)] * 2),
    "gablet": (10.0, 8.0, -0.6, -0.6, [_slope(35, 2.7), _until(_slope(35, 2.7), 1.8 / _t(35))] * 2),
    "mansard": (12.0, 9.0, -0.4, -0.4, [_two(65, 2.4, 20, 2.6)] * 4),
    "gambrel": (12.0, 8.0, -0.3, -0.3, [_two(60, 2.0, 25, 3.0), _upright] * 2),
    "sprocket": (12.0, 8.0, -0.8, -0.8, [_two(25, 0.5, 45, 2.4)] * 4),
    "flat_top": (14.0, 10.0, -0.6, -0.6, [lambda d: min(2.7 + d * _t(40), 4.5)] * 4),
    "fascia_heights": (10.0, 8.0, -0.45, -0.6, [_slope(25, 2.4), _upright, _slope(25, 3.0), _upright]),
    "single_pitch": (9.0, 5.0, -0.3, -0.4, [_slope(8, 2.4), _upright, _upright, _upright]),
    "lean_to": (9.0, 4.0, 0.0, 0.0, [_slope(10, 2.5), _upright, _upright, _upright]),
    "unequal_pitches": (12.0, 8.0, -0.6, -0.6, [_slope(p, 2.4) for p in (30, 45, 20, 60)]),
}

_DONE: dict[str, Takeoff] = {}


def _takeoff(name: str) -> Takeoff:
    if name not in _DONE:
        _DONE[name] = pipeline.run_file(SAMPLES / name / "job.yaml", pipeline.Stage.SHAPE)
    return _DONE[name]


def _roof(name: str) -> Roof:
    (roof,) = _takeoff(name).roofs
    return roof


def _plan_shape(plane: RoofPlane) -> Polygon:
    rings = [[plane.frame.to_space(point)[:2] for point in ring] for ring in plane.rings_uv]
    return Polygon(rings[0], rings[1:])


def _height(plane: RoofPlane, x: float, y: float) -> float:
    (px, py, pz), (nx, ny, nz) = plane.frame.origin_mm, plane.frame.n
    return pz - (nx * (x - px) + ny * (y - py)) / nz


@pytest.mark.parametrize("name", KINDS)
def test_closed_forms(name: str) -> None:
    roof, kind = _roof(name), KINDS[name]
    assert sum(plane.plan_area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(kind.plan, abs=1e-9)
    assert sum(plane.area_mm2 for plane in roof.planes) / 1e6 == pytest.approx(kind.area, abs=1e-5)
    for plane_id, area in kind.planes.items():
        assert roof.plane(plane_id).area_mm2 / 1e6 == pytest.approx(area, abs=1e-5)
    lengths: dict[str, list[float]] = {}
    angles: dict[str, list[float]] = {}
    for edge in roof.edges:
        lengths.setdefault(edge.kind.value, []).append(edge.length_mm / 1000)
        angles.setdefault(edge.kind.value, []).append(edge.between_deg)
    assert sorted(lengths) == sorted(kind.lengths)
    for edge_kind, expected in kind.lengths.items():
        assert sorted(lengths[edge_kind]) == pytest.approx(expected, abs=1e-5), edge_kind
    for edge_kind, expected in kind.angles.items():
        assert sorted(angles[edge_kind]) == pytest.approx(expected, abs=1e-5), edge_kind
    if kind.uprights:
        assert sorted(face.area_mm2 / 1e6 for face in roof.uprights) == pytest.approx(kind.uprights, abs=1e-5)


@pytest.mark.parametrize("name", KINDS)
def test_the_readme_says_the_same_figures(name: str) -> None:
    text = (SAMPLES / name / "README.md").read_text(encoding="utf-8")
    kind = KINDS[name]
    figures = {f"{kind.area:.3f}"} | {f"{area:.3f}" for area in kind.planes.values()}
    figures |= {f"{length:.3f}" for part in ("hip", "verge", "valley") for length in kind.lengths.get(part, [])}
    assert {figure for figure in figures if figure not in text} == set()


@pytest.mark.parametrize("name", CONVEX)
def test_the_surface_is_the_lowest_of_what_rises_from_the_edges(name: str) -> None:
    """On a convex outline the roof over a point is the least height that any edge allows there: checked at 221 points."""
    length, width, x0, y0, heights = CONVEX[name]
    planes = [(_plan_shape(plane), plane) for plane in _roof(name).planes]
    for i in range(1, 18):
        for j in range(1, 14):
            x, y = length * i / 18.0 + 0.0013, width * j / 14.0 + 0.0017  # off the breaks
            least = min(h(d) for h, d in zip(heights, (y, length - x, width - y, x), strict=True))
            at = ((x0 + x) * 1000, (y0 + y) * 1000)
            here = [plane for shape, plane in planes if shape.covers(Point(at))]
            assert here, (x, y)
            assert _height(here[0], *at) == pytest.approx(least * 1000, abs=1e-6)


def test_the_surface_round_a_court_rises_with_the_distance_from_fascias() -> None:
    """Mitred fronts from a rectangle run by the greater of both offsets, from inside its walls by the lesser."""
    planes = [(_plan_shape(plane), plane) for plane in _roof("courtyard").planes]
    for i in range(1, 40):
        for j in range(1, 32):
            x, y = 0.5 * i + 0.0013, 0.5 * j + 0.0017
            court = max(6.0 - x, x - 14.0, 6.0 - y, y - 10.0)
            if court <= 0.0:
                continue
            least = 2.4 + min(x, 20.0 - x, y, 16.0 - y, court) * _t(25)
            at = ((x - 0.6) * 1000, (y - 0.6) * 1000)
            here = [plane for shape, plane in planes if shape.covers(Point(at))]
            assert _height(here[0], *at) == pytest.approx(least * 1000, abs=1e-6)


@pytest.mark.parametrize("name", KINDS)
def test_planes_tile_the_outline(name: str) -> None:
    roof = _roof(name)
    shapes = [_plan_shape(plane) for plane in roof.planes]
    outline = Polygon(roof.outline_mm[0], roof.outline_mm[1:])
    assert unary_union(shapes).symmetric_difference(outline).area < 1.0
    assert sum(shape.area for shape in shapes) == pytest.approx(outline.area, rel=1e-9)


@pytest.mark.parametrize("name", KINDS)
def test_the_exported_mesh_has_the_area_of_the_planes(name: str) -> None:
    """Read back by a mesh library. The file is written to a thousandth of a mm."""
    roof = _roof(name)
    mesh = trimesh.load(io.StringIO(obj_text(mesh_parts([roof], uprights=False))), file_type="obj", force="mesh")
    assert mesh.area == pytest.approx(sum(plane.area_mm2 for plane in roof.planes), rel=1e-6)


@pytest.mark.parametrize("name", KINDS)
def test_both_planes_of_an_edge_hold_its_ends(name: str) -> None:
    roof = _roof(name)
    planes = {plane.id: plane for plane in roof.planes}
    for edge in roof.edges:
        for face in edge.faces:
            for x, y, z in (edge.a_mm, edge.b_mm):
                if face in planes:
                    assert _height(planes[face], x, y) == pytest.approx(z, abs=1e-6)


@pytest.mark.parametrize("name", KINDS)
def test_true_area_is_plan_area_over_cos_pitch(name: str) -> None:
    for plane in _roof(name).planes:
        assert plane.area_mm2 * cos(radians(plane.pitch_deg)) == pytest.approx(plane.plan_area_mm2, rel=1e-9)


@pytest.mark.parametrize("name", KINDS)
def test_every_node_joins_edges_and_every_edge_ends_in_nodes(name: str) -> None:
    """A node inside the roof joins three edges or more, one on the outline two or more."""
    roof = _roof(name)
    nodes = {node.id: node for node in roof.nodes}
    for edge in roof.edges:
        a, b = nodes[edge.low].at_mm, nodes[edge.high].at_mm
        assert hypot(*(p - q for p, q in zip(a, edge.a_mm, strict=True))) < 1e-6
        assert hypot(*(p - q for p, q in zip(b, edge.b_mm, strict=True))) < 1e-6
    rings = Polygon(roof.outline_mm[0], roof.outline_mm[1:])
    for node in roof.nodes:
        edge_of_roof = rings.exterior.distance(Point(node.at_mm[:2])) < 1e-6 or any(
            ring.distance(Point(node.at_mm[:2])) < 1e-6 for ring in rings.interiors
        )
        assert len(node.edges) >= (2 if edge_of_roof else 3), node


def test_only_a_flat_top_goes_without_sheets() -> None:
    for name in KINDS:
        bare = [plane.id for plane in _roof(name).planes if plane.covering is Covering.OTHER]
        assert bare == (["P2"] if name == "flat_top" else []), name
