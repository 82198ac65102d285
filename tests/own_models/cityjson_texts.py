"""CityJSON of one small building, for tests that type it by hand."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import TakeoffError
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.cityjson.cityjson import read_cityjson

DEGREES = "t.city.json: its coordinates are in degrees of longitude and latitude, not in metres; save it in a projected system of metres"
LEVEL_2 = " without a roof; get it at level 2 or finer, or type its outline and pitch"

# a level roof 4 x 3 at 5 m, one wall below it, and what it stands on
VERTICES = [[0, 0, 5], [4, 0, 5], [4, 3, 5], [0, 3, 5], [0, 0, 2], [4, 0, 2]]
ROOF, WALL = [[0, 1, 2, 3]], [[4, 5, 1, 0]]
SEMANTICS = {"surfaces": [{"type": "RoofSurface"}, {"type": "WallSurface"}], "values": [0, 1]}


def shape(lod: object = "2.2", **more: Any) -> dict[str, Any]:
    return {"type": "MultiSurface", "lod": lod, "boundaries": [ROOF, WALL], "semantics": SEMANTICS, **more}


def city(objects: dict[str, Any], **more: Any) -> dict[str, Any]:
    unit = {"scale": [1, 1, 1], "translate": [0, 0, 0]}
    return {
        "type": "CityJSON",
        "version": "2.0",
        "transform": unit,
        "CityObjects": objects,
        "vertices": VERTICES,
        **more,
    }


def building(*shapes: Any, **more: Any) -> dict[str, Any]:
    return {"type": "Building", "geometry": list(shapes), **more}


def written(folder: Path, tree: object, name: str = "t.city.json") -> Path:
    path = folder / name
    path.write_text(tree if isinstance(tree, str) else json.dumps(tree), encoding="utf-8")
    return path


def refused(path: Path, part: str | None = None) -> str:
    with pytest.raises(TakeoffError) as caught:
        read_cityjson(path, ShapeJob(file=path.name, part=part))
    (fault,) = caught.value.faults
    return fault
