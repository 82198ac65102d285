"""One L-shaped house drawn in every kind of file that outlines are read from, each made here."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from pathlib import Path

import ezdxf

Points = Sequence[tuple[float, float]]

L_HOUSE: Points = ((0, 0), (14200, 0), (14200, 8400), (9000, 8400), (9000, 12600), (0, 12600))
PER_UNIT = {"mm": 1.0, "cm": 0.1, "m": 0.001, "in": 1 / 25.4, "ft": 1 / 304.8}
CODES = {"in": 1, "ft": 2, "mm": 4, "cm": 5, "m": 6, "": 0}

JOB = """
job: Shearers' quarters
roofs:
  - name: quarters
    {shape}
    eave_overhang_mm: 600
    fascia_height_mm: 2450
    pitch_deg: 25
    edges: {{5: {{kind: gable, verge_overhang_mm: 450}}}}
"""
TYPED = f"wall_line: {[list(point) for point in L_HOUSE]}"


def in_unit(points: Points, unit: str, shift: tuple[float, float] = (0.0, 0.0)) -> list[tuple[float, float]]:
    """The points moved [mm], in another unit."""
    return [((x + shift[0]) * PER_UNIT[unit], (y + shift[1]) * PER_UNIT[unit]) for x, y in points]


def drawing(header: str = "mm") -> ezdxf.document.Drawing:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = CODES[header]
    return document


def write_ring(path: Path, points: Points, header: str = "mm", layer: str = "WALLS", how: str = "lwpolyline") -> Path:
    """A DXF with one closed ring: as lwpolyline, polyline, with the first point again, or as loose lines in any order
    and direction, drawn in the order of `how` "lines" or mixed up ("shuffled")."""
    document = drawing(header)
    add_ring(document, points, layer, how)
    document.saveas(path)
    return path


def add_ring(document: ezdxf.document.Drawing, points: Points, layer: str, how: str = "lwpolyline") -> None:
    space, attributes = document.modelspace(), {"layer": layer}
    if how == "lwpolyline":
        space.add_lwpolyline(points, close=True, dxfattribs=attributes)
    elif how == "polyline":
        space.add_polyline2d(points, close=True, dxfattribs=attributes)
    elif how == "repeated":
        space.add_lwpolyline([*points, points[0]], dxfattribs=attributes)
    else:
        lines = list(zip(points, [*points[1:], points[0]], strict=True))
        if how == "shuffled":
            chance = random.Random(3)
            chance.shuffle(lines)
            lines = [(b, a) if chance.random() < 0.5 else (a, b) for a, b in lines]
        for a, b in lines:
            space.add_line(a, b, dxfattribs=attributes)


def write_geojson(path: Path, points: Points, properties: dict[str, object] | None = None) -> Path:
    """A GeoJSON file in metres."""
    ring = [list(point) for point in [*points, points[0]]]
    feature = {
        "type": "Feature",
        "properties": properties or {},
        "geometry": {"type": "Polygon", "coordinates": [ring]},
    }
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}), encoding="utf-8")
    return path


def write_wkt(path: Path, points: Points) -> Path:
    """A WKT file in metres."""
    words = ", ".join(f"{x!r} {y!r}" for x, y in [*points, points[0]])
    path.write_text(f"POLYGON (({words}))\n", encoding="utf-8")
    return path


def write_csv(path: Path, points: Points, heading: str = "x_mm,y_mm", more: Sequence[str] = ()) -> Path:
    """A CSV table of corners; `more` are further cells of each row."""
    rows = [f"{x!r},{y!r}{more[i] if more else ''}" for i, (x, y) in enumerate(points)]
    path.write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    return path
