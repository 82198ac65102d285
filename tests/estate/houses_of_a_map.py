"""A map of houses for the tests: rectangles on a grid, with attributes named as a job's keys."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

Ring = Sequence[tuple[float, float]]
USUAL = {"pitch_deg": 25, "fascia_height_mm": 2400}


def rectangle(long_m: float, wide_m: float, at: tuple[float, float] = (0.0, 0.0)) -> list[list[float]]:
    x, y = at
    return [[x, y], [x + long_m, y], [x + long_m, y + wide_m], [x, y + wide_m], [x, y]]


def feature(ring: Sequence[Sequence[float]], properties: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "type": "Feature",
        "properties": dict(properties),
        "geometry": {"type": "Polygon", "coordinates": [list(map(list, ring))]},
    }


def row_of_houses(count: int) -> list[dict[str, Any]]:
    """Houses 12 x 8 m and a little longer each."""
    return [
        feature(rectangle(12.0 + 0.1 * n, 8.0, (30.0 * n, 5.0)), {"id": f"lot {n + 1}", **USUAL}) for n in range(count)
    ]


def write_sequence(path: Path, features: Sequence[Any]) -> Path:
    path.write_text("".join(f"{json.dumps(one)}\n" for one in features), encoding="utf-8")
    return path


def write_map(path: Path, features: Sequence[Any], **more: Any) -> Path:
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features, **more}), encoding="utf-8")
    return path
