"""Holes, and a plane of 6 by 4 m that they lie on, made by hand. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import dist, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.basis import Term
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.roofs import PenetrationJob
from takeoff.model.openings import Hole
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane

SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
# 60 degrees: a mm on the plan is two up the slope
STEEP = Frame((1000.0, 500.0, 2000.0), (1.0, 0.0, 0.0), (0.0, 0.5, sin(radians(60.0))), (0.0, -sin(radians(60.0)), 0.5))
FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def plane(name: str = "P1", frame: Frame = FLAT, ring: Ring2 = SQUARE, **more: Any) -> RoofPlane:
    return replace(RoofPlane(name, "main", frame, (ring,), (1,), 1, 60.0, 180.0, 24e6, 12e6), **more)


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, ("P1",), dist(a, b), dist(a, b), 0.0, 180.0, True)


def roof(
    *planes: RoofPlane, edges: tuple[RoofEdge, ...] = (), origin: tuple[float, float, float] = (0.0, 0.0, 0.0)
) -> Roof:
    return Roof("main", origin, (), (), (), planes, (), edges, ())


VALUES = {
    "hole_trimmer_over_mm": 300.0, "boot_most_mm": 500.0, "boot_alone_most_mm": 200.0, "hole_edge_mm": 150.0,
    "hole_hazard_mm": 400.0, "flue_underlay_clear_mm": 50.0, "penetration_past_mm": 100.0, "kerb_back_mm": 250.0,
    "penetration_rivet_mm": 50.0, "penetration_lap_a_mm": 150.0, "kerb_up_mm": 80.0, "flashing_crests_A": 2.0,
}  # fmt: skip


def settings(sealed: bool = False) -> Any:
    words = {"penetration_type": "b" if sealed else "a"}
    return SimpleNamespace(
        number=VALUES.__getitem__,
        word=words.__getitem__,
        basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"),
        term=lambda name: Term(name, VALUES.get(name, 0.0), "mm"),
    )


def given(**more: Any) -> PenetrationJob:
    return PenetrationJob.model_validate({"at": (3000.0, 2000.0), "kind": "pipe", "diameter_mm": 100.0} | more)


def hole(**more: Any) -> Hole:
    known: dict[str, Any] = {
        "id": "X1", "name": "X1", "roof": "main", "plane": "P1", "kind": "pipe", "centre_uv": (3000.0, 2000.0),
        "width_mm": 100.0, "length_mm": 200.0, "diameter_mm": 100.0, "at_mm": (3000.0, 2000.0, 0.0), "flashing": "boot",
        "trimmed": False,
    } | more  # fmt: skip
    known["centre_uv"] = tuple(map(pytest.approx, known["centre_uv"]))
    known["length_mm"] = pytest.approx(known["length_mm"])
    return Hole(**known)
