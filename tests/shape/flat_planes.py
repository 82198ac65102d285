"""Planes in their own axes, for tests with figures by hand."""

from __future__ import annotations

from math import hypot
from types import SimpleNamespace
from typing import Any

from takeoff.model.roof import Frame

Point = tuple[float, float]
FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def edge(name: str, a: Point, b: Point) -> Any:
    """An edge in plane axes."""
    return SimpleNamespace(id=name, a_mm=(*a, 0.0), b_mm=(*b, 0.0), length_mm=hypot(b[0] - a[0], b[1] - a[1]))


def plane(*rings: tuple[Point, ...]) -> Any:
    return SimpleNamespace(id="P1", frame=FLAT, rings_uv=rings)
