"""Water on an eave of 5 m whose way is (3, 4, 5), for tests with figures by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from takeoff.shape.water.drainage import _Piece
from takeoff.shape.water.fall_lines import Curtain

Point3 = tuple[float, float, float]


def on(s: float, out: float = 0.0, z: float = 2400.0) -> Point3:
    """A place by how far along the eave from (1000, 2000), and to its right."""
    return (1000.0 + 0.6 * s + 0.8 * out, 2000.0 + 0.8 * s - 0.6 * out, z)


def piece(
    s0: float = 0.0, s1: float = 5000.0, name: str = "E1", start: str = "n1", end: str = "n2", internal: bool = False
) -> _Piece:
    edge: Any = SimpleNamespace(id=name, roof="main")
    return _Piece(edge, start, end, on(s0), on(s1), internal, (1,))


def curtain(s0: float, s1: float, at_a: float = 100.0, at_b: float = 300.0, **more: Any) -> Curtain:
    return Curtain(on(s0), on(s1), at_a, at_b, 20.0, **{"plane": "P1", "rain_deg": 15.0, **more})
