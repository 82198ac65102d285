"""Roofs put together by hand: planes by their height and slopes in plan, upright faces, edges and nodes."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees, hypot
from typing import Any

from takeoff.basics.polygons import rings_area
from takeoff.basics.vectors import cross3, unit3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame, Node, Roof, RoofEdge, RoofPlane, UprightFace, UprightKind

Point = tuple[float, float]
Point3 = tuple[float, float, float]


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def rising(
    name: str,
    z: float,
    gx: float,
    gy: float,
    *rings: Sequence[Point],
    at: Point = (7.0, -3.0),
    roof: str = "main",
    **more: Any,
) -> RoofPlane:
    """The plane z + gx x + gy y over rings of the plan, its frame's origin over `at`."""
    normal = unit3((-gx, -gy, 1.0))
    u = unit3((gy, -gx, 0.0)) if gx or gy else (1.0, 0.0, 0.0)
    frame = Frame((*at, z + gx * at[0] + gy * at[1]), u, cross3(normal, u), normal)
    flat = tuple(tuple(frame.to_plane((x, y, z + gx * x + gy * y)) for x, y in ring) for ring in rings)
    area = rings_area(tuple(tuple(ring) for ring in rings))
    pitch = degrees(atan2(hypot(gx, gy), 1.0))
    plain: dict[str, Any] = {"outline_edges": (1,), "step": 0, "pitch_deg": pitch, "bearing_deg": 0.0}
    return RoofPlane(name, roof, frame, flat, area_mm2=area / normal[2], plan_area_mm2=area, **{**plain, **more})


def standing(
    name: str,
    a: Point3,
    b: Point3,
    ring: Sequence[Point],
    kind: UprightKind = UprightKind.GABLE,
    edge: int = 0,
    roof: str = "main",
) -> UprightFace:
    """An upright face seen with a on its left and b on its right, its ring in axes from a."""
    u = unit3((b[0] - a[0], b[1] - a[1], 0.0))
    frame = Frame(a, u, (0.0, 0.0, 1.0), (u[1], -u[0], 0.0))
    return UprightFace(name, roof, frame, (tuple(ring),), kind, rings_area((tuple(ring),)), edge)


def edge(
    name: str, kind: EdgeKind, a: Point3, b: Point3, faces: tuple[str, ...] = ("P1",), roof: str = "main", **more: Any
) -> RoofEdge:
    plan = hypot(b[0] - a[0], b[1] - a[1])
    rest: dict[str, Any] = {
        "length_mm": hypot(plan, b[2] - a[2]), "plan_length_mm": plan, "slope_deg": degrees(atan2(b[2] - a[2], plan)),
        "between_deg": 180.0, "convex": True,
    }  # fmt: skip
    return RoofEdge(name, roof, kind, more.pop("low", "N1"), more.pop("high", "N2"), a, b, faces, **{**rest, **more})


def roof(name: str = "main", **parts: Any) -> Roof:
    plain: dict[str, Any] = {
        "origin_mm": (0.0, 0.0, 0.0), "outline_mm": (), "wall_line_mm": (), "edge_names": (), "planes": (), "uprights": (),
        "edges": (), "nodes": (),
    }  # fmt: skip
    return Roof(name, **{**plain, **parts})


def node(name: str, at: Point3, *edges: str) -> Node:
    return Node(name, at, edges)
