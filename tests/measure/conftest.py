"""Roofs built by hand from points in space, so that the measure rules are tested without the solver."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from math import acos, atan2, degrees, hypot, radians, tan
from pathlib import Path

import pytest

from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, Point3, cross3, dot3, length3, sub3, unit3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.products import Catalogue
from takeoff.model.roof import Frame, Node, Roof, RoofEdge, RoofPlane, UprightFace, UprightKind
from takeoff.model.settings import Settings
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

sys.path.insert(0, str(Path(__file__).parent))

EdgeRow = tuple[EdgeKind, Point3, Point3, tuple[str, ...]] | tuple[EdgeKind, Point3, Point3, tuple[str, ...], int]
BuildRoof = Callable[..., Roof]


def _plane(name: str, ring: Sequence[Point3], outline_edge: int) -> RoofPlane:
    normal = unit3(cross3(sub3(ring[1], ring[0]), sub3(ring[2], ring[1])))
    level = unit3((-normal[1], normal[0], 0.0))
    up = cross3(normal, level)
    flat = [(dot3(p, level), dot3(p, up)) for p in ring]
    u0, v0 = min(u for u, _ in flat), min(v for _, v in flat)
    height = dot3(ring[0], normal)
    x, y, z = (u0 * level[i] + v0 * up[i] + height * normal[i] for i in range(3))
    uv: tuple[Point2, ...] = tuple((u - u0, v - v0) for u, v in flat)
    area = abs(signed_area(uv))
    pitch = degrees(acos(normal[2]))
    bearing = degrees(atan2(normal[0], normal[1])) % 360.0
    frame = Frame((x, y, z), level, up, normal)
    plan = area * normal[2]
    return RoofPlane(name, "main", frame, (uv,), (outline_edge,), 1, pitch, bearing, area, plan)


def _edge(number: int, row: EdgeRow, normals: Mapping[str, Point3], nodes: Mapping[Point3, str]) -> RoofEdge:
    kind, a, b, faces = row[0], row[1], row[2], row[3]
    a, b = (a, b) if a[2] <= b[2] else (b, a)
    run = sub3(b, a)
    length, plan = length3(run), hypot(run[0], run[1])
    between = 180.0
    if len(faces) == 2:
        between = 180.0 - degrees(acos(max(-1.0, min(1.0, dot3(normals[faces[0]], normals[faces[1]])))))
    convex = kind in (EdgeKind.RIDGE, EdgeKind.HIP, EdgeKind.HEAD, EdgeKind.VERGE, EdgeKind.EAVE)
    slope = degrees(atan2(run[2], plan))
    outline = (row[4],) if len(row) == 5 else ()
    return RoofEdge(
        f"E{number}", "main", kind, nodes[a], nodes[b], a, b, faces, length, plan, slope, between, convex, outline
    )


def _build(
    planes: Mapping[str, Sequence[Point3]],
    edges: Sequence[EdgeRow],
    uprights: Mapping[str, tuple[UprightKind, Sequence[Point3]]] | None = None,
) -> Roof:
    """A Roof from rings in space (counter-clockwise seen from outside) and edges (kind, a, b, faces, outline edge)."""
    made = tuple(_plane(name, ring, number) for number, (name, ring) in enumerate(planes.items(), start=1))
    normals = {plane.id: plane.frame.n for plane in made}
    walls = []
    for name, (kind, ring) in (uprights or {}).items():
        n = unit3(cross3(sub3(ring[1], ring[0]), sub3(ring[2], ring[1])))
        normals[name] = n
        frame = Frame(ring[0], unit3((-n[1], n[0], 0.0)), (0.0, 0.0, 1.0), n)
        walls.append(UprightFace(name, "main", frame, (tuple(frame.to_plane(p) for p in ring),), kind, 0.0))
    points = list(dict.fromkeys(p for row in edges for p in (row[1], row[2])))
    names = {point: f"N{number}" for number, point in enumerate(points, start=1)}
    built = tuple(_edge(number, row, normals, names) for number, row in enumerate(edges, start=1))
    nodes = tuple(
        Node(name, point, tuple(e.id for e in built if name in (e.low, e.high))) for point, name in names.items()
    )
    return Roof("main", (0.0, 0.0, 0.0), (), (), (), made, tuple(walls), built, nodes)


@pytest.fixture(scope="session")
def build_roof() -> BuildRoof:
    """Builder of roofs from points: build_roof(planes, edges, uprights)."""
    return _build


@pytest.fixture(scope="session")
def hip_roof() -> Callable[..., Roof]:
    """A hip roof on a rectangle, outline L x W [mm] with its long side along x: P1 south, P2 east, P3 north, P4 west."""

    def make(length_mm: float = 12000.0, width_mm: float = 8000.0, pitch_deg: float = 25.0) -> Roof:
        L, W, h = length_mm, width_mm, width_mm / 2.0 * tan(radians(pitch_deg))
        a, b, c, d = (0.0, 0.0, 0.0), (L, 0.0, 0.0), (L, W, 0.0), (0.0, W, 0.0)
        w, e = (W / 2.0, W / 2.0, h), (L - W / 2.0, W / 2.0, h)
        planes = {"P1": (a, b, e, w), "P2": (b, c, e), "P3": (c, d, w, e), "P4": (d, a, w)}
        edges: list[EdgeRow] = [
            (EdgeKind.EAVE, a, b, ("P1",), 1),
            (EdgeKind.EAVE, b, c, ("P2",), 2),
            (EdgeKind.EAVE, c, d, ("P3",), 3),
            (EdgeKind.EAVE, d, a, ("P4",), 4),
            (EdgeKind.HIP, a, w, ("P4", "P1")),
            (EdgeKind.HIP, b, e, ("P1", "P2")),
            (EdgeKind.HIP, c, e, ("P2", "P3")),
            (EdgeKind.HIP, d, w, ("P3", "P4")),
            (EdgeKind.RIDGE, w, e, ("P3", "P1")),
        ]
        return _build(planes, edges)

    return make


@pytest.fixture(scope="session")
def gable_roof() -> Callable[..., Roof]:
    """A gable roof, ridge along x: P1 south, P2 north, verges at x = 0 and x = L (outline edges 4 and 2)."""

    def make(length_mm: float = 10000.0, width_mm: float = 8000.0, pitch_deg: float = 20.0) -> Roof:
        L, W, h = length_mm, width_mm, width_mm / 2.0 * tan(radians(pitch_deg))
        a, b, c, d = (0.0, 0.0, 0.0), (L, 0.0, 0.0), (L, W, 0.0), (0.0, W, 0.0)
        w, e = (0.0, W / 2.0, h), (L, W / 2.0, h)
        planes = {"P1": (a, b, e, w), "P2": (c, d, w, e)}
        edges: list[EdgeRow] = [
            (EdgeKind.EAVE, a, b, ("P1",), 1),
            (EdgeKind.EAVE, c, d, ("P2",), 3),
            (EdgeKind.VERGE, b, e, ("P1",), 2),
            (EdgeKind.VERGE, c, e, ("P2",), 2),
            (EdgeKind.VERGE, a, w, ("P1",), 4),
            (EdgeKind.VERGE, d, w, ("P2",), 4),
            (EdgeKind.RIDGE, w, e, ("P2", "P1")),
        ]
        return _build(planes, edges)

    return make


@pytest.fixture(scope="session")
def ell_roof() -> Callable[..., Roof]:
    """An L of two 6 m wings at one pitch, hips at three corners of each end: legs 15 m along x and 12 m along y.

    Outline (0,0) (15,0) (15,6) (6,6) (6,12) (0,12) m; one valley from (6,6); hips at the four outer corners and one
    from (0,0) that runs into the node where the ridges meet.
    """

    def make(pitch_deg: float = 25.0) -> Roof:
        t = tan(radians(pitch_deg))
        h = 3000.0 * t
        a, b, c = (0.0, 0.0, 0.0), (15000.0, 0.0, 0.0), (15000.0, 6000.0, 0.0)
        d, e, f = (6000.0, 6000.0, 0.0), (6000.0, 12000.0, 0.0), (0.0, 12000.0, 0.0)
        m, r, s = (3000.0, 3000.0, h), (12000.0, 3000.0, h), (3000.0, 9000.0, h)
        planes = {
            "P1": (a, b, r, m),
            "P2": (b, c, r),
            "P3": (c, d, m, r),
            "P4": (d, e, s, m),
            "P5": (e, f, s),
            "P6": (f, a, m, s),
        }
        edges: list[EdgeRow] = [
            (EdgeKind.EAVE, a, b, ("P1",), 1),
            (EdgeKind.EAVE, b, c, ("P2",), 2),
            (EdgeKind.EAVE, c, d, ("P3",), 3),
            (EdgeKind.EAVE, d, e, ("P4",), 4),
            (EdgeKind.EAVE, e, f, ("P5",), 5),
            (EdgeKind.EAVE, f, a, ("P6",), 6),
            (EdgeKind.HIP, a, m, ("P6", "P1")),
            (EdgeKind.HIP, b, r, ("P1", "P2")),
            (EdgeKind.HIP, c, r, ("P2", "P3")),
            (EdgeKind.VALLEY, d, m, ("P3", "P4")),
            (EdgeKind.HIP, e, s, ("P4", "P5")),
            (EdgeKind.HIP, f, s, ("P5", "P6")),
            (EdgeKind.RIDGE, m, r, ("P3", "P1")),
            (EdgeKind.RIDGE, m, s, ("P6", "P4")),
        ]
        return _build(planes, edges)

    return make


@pytest.fixture(scope="session")
def lean_to() -> Callable[..., Roof]:
    """A lean-to against walls: plane P1 rises to an apron head at y = D, side wall at x = L, verge at x = 0."""

    def make(length_mm: float = 6000.0, depth_mm: float = 3000.0, pitch_deg: float = 10.0) -> Roof:
        L, D, h = length_mm, depth_mm, depth_mm * tan(radians(pitch_deg))
        a, b, c, d = (0.0, 0.0, 0.0), (L, 0.0, 0.0), (L, D, h), (0.0, D, h)
        wall = ((L, D, h), (0.0, D, h), (0.0, D, h + 1000.0))
        side = ((L, 0.0, 0.0), (L, 0.0, 1000.0), (L, D, h))
        edges: list[EdgeRow] = [
            (EdgeKind.EAVE, a, b, ("P1",), 1),
            (EdgeKind.APRON_SIDE, b, c, ("P1", "W2"), 2),
            (EdgeKind.APRON_HEAD, d, c, ("P1", "W1"), 3),
            (EdgeKind.VERGE, a, d, ("P1",), 4),
        ]
        uprights = {"W1": (UprightKind.ABUTTING, wall[::-1]), "W2": (UprightKind.ABUTTING, side)}
        return _build({"P1": (a, b, c, d)}, edges, uprights)

    return make


@pytest.fixture(scope="session")
def settings() -> Settings:
    """The catalogue's default settings."""
    return default_rules()


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The catalogue's products."""
    return load_catalogue()
