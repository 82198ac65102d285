"""A plane of 6 by 4 m and edges on it, made by hand."""

from __future__ import annotations

from math import dist

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame, RoofEdge, RoofPlane
from takeoff.shape.strips.plane_lines import EdgeOnPlane

FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))


def plane(*rings: Ring2) -> RoofPlane:
    return RoofPlane("P1", "main", FRAME, rings or (SQUARE,), (1,), 1, 20.0, 180.0, 24e6, 24e6)


def on(kind: EdgeKind, a: Point2, b: Point2, inward: Point2, name: str = "X1") -> EdgeOnPlane:
    ends = (*a, 0.0), (*b, 0.0)
    return EdgeOnPlane(
        RoofEdge(name, "main", kind, "N1", "N2", *ends, ("P1",), dist(a, b), dist(a, b), 0.0, 180.0, False, ()),
        a,
        b,
        inward,
    )


EAVE = on(EdgeKind.EAVE, (0.0, 0.0), (6000.0, 0.0), (0.0, 1.0), "E1")
