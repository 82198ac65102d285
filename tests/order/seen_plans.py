"""Plans typed as comparing sees them: planes, sheets, sides and edges of a result."""

from __future__ import annotations

from typing import Any

from takeoff.model.snapshot import SeenEdge, SeenPlane, SeenSheet, SeenSide, Snapshot


def box(x: float, y: float, wide: float, deep: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))


def plane(name: str, ring: Any, *sheets: SeenSheet, **more: Any) -> SeenPlane:
    parts: dict[str, Any] = {
        "origin": (0.0, 0.0), "level": (1.0, 0.0), "pitch_deg": 30.0, "bearing_deg": 90.0, "area_m2": 80.0,
        "fascia_height_mm": 2400.0, "covering": "sheets", "profile": "wavy", "start_side": "left",
    } | more  # fmt: skip
    return SeenPlane(id=name, roof="main", ring=ring, sheets=sheets, **parts)


def sheet(mark: str, u0: float, u1: float, v0: float, v1: float, bought: float = 4000.0, **more: Any) -> SeenSheet:
    parts: dict[str, Any] = {"left_mm": 4000.0, "right_mm": 4000.0, "foot": "square", "top": "square"} | more
    return SeenSheet(mark, u0, u1, v0, v1, bought, **parts)


def side(name: str, a: Any, b: Any, *own: str, **terms: str) -> SeenSide:
    return SeenSide(name, a, b, terms, frozenset(own))


def edge(name: str, kind: str, a: Any, b: Any, *planes: str, long: float = 0.0) -> SeenEdge:
    return SeenEdge(name, kind, a, b, long or ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, planes)


def seen(**parts: Any) -> Snapshot:
    empty: dict[str, Any] = {
        "name": "house", "terms": {}, "planes": (), "edges": (), "sides": (), "walls": (), "pipes": (), "lines": (),
        "withheld": False,
    }  # fmt: skip
    return Snapshot(**(empty | parts))
