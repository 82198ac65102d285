"""Which of a CityJSON file's objects are buildings, which geometry of each is read, and which one a job means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takeoff.basics.errors import JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.records import record
from takeoff.read.cityjson.surfaces import DEPTHS, words_of
from takeoff.read.part_choice import undecided

BUILDINGS = ("Building", "BuildingPart")
_NAMES = ("name", "title", "label")  # attributes that people call a building by
_LISTED = 12


@record
class Unit:
    """A building, or one of its parts, that has a roof of its own: its key in the file, the key of its building (its
    own where it is one), and the geometry that is read. `why_not` says why none is."""

    key: str
    building: str
    name: str
    geometry: Mapping[str, Any] | None
    lod: str
    why_not: str


def units_of(objects: Mapping[str, Any]) -> list[Unit]:
    """The buildings and parts of a document that hold geometry, in its order."""
    found = []
    for key, one in objects.items():
        if not isinstance(one, dict) or one.get("type") not in BUILDINGS:
            continue
        shapes = one.get("geometry")
        if not isinstance(shapes, list) or not shapes:
            continue
        parents = one.get("parents")
        of = parents[0] if one["type"] == "BuildingPart" and isinstance(parents, list) and parents else key
        building = str(of)
        geometry, why_not = _best([shape for shape in shapes if isinstance(shape, dict)])
        lod = "" if geometry is None else _lod_words(geometry)
        found.append(Unit(key, building, _name(one), geometry, lod, why_not))
    return _without_shells(found)


def _without_shells(units: list[Unit]) -> list[Unit]:
    """Units without those buildings whose parts hold the roofs: what such a building draws itself is its footprint."""
    roofed = {unit.building for unit in units if unit.geometry is not None}
    return [unit for unit in units if unit.geometry is not None or unit.key not in roofed]


def chosen(units: Sequence[Unit], wanted: str | None, came_from: str) -> Unit:
    """The unit a job means: the one it names by key or name, else the only one there is.

    Raises UndecidedError, with the line to write for each, where there are several; JobError where there is none of
    that name, and where it has no roof.
    """
    fitting = list(units)
    if wanted is not None:
        fitting = [unit for unit in units if unit.key == wanted]
        fitting = fitting or [unit for unit in units if wanted in (unit.building, unit.name)]
        if not fitting:
            near = did_you_mean(wanted, [unit.key for unit in units], ".")
            listed = ", ".join(unit.key for unit in units[:_LISTED])
            raise JobError(f"{came_from}: there is no building {wanted}{near} It has {listed or 'none'}")
    if not fitting:
        raise JobError(f"{came_from}: holds no building; only Building and BuildingPart objects are read")
    roofed = [unit for unit in fitting if unit.geometry is not None] or fitting
    if len(roofed) > 1:
        what = "buildings and parts" if wanted is None else f"parts of {wanted}"
        raise undecided(came_from, what, [(unit.key, unit.name) for unit in roofed])
    if roofed[0].geometry is None:
        raise JobError(f"{came_from}: {roofed[0].key}: {roofed[0].why_not}")
    return roofed[0]


def _name(one: Mapping[str, Any]) -> str:
    attributes = one.get("attributes")
    if not isinstance(attributes, dict):
        return ""
    return next((str(attributes[key])[:255] for key in _NAMES if isinstance(attributes.get(key), str)), "")


def _best(shapes: Sequence[Mapping[str, Any]]) -> tuple[Mapping[str, Any] | None, str]:
    """The geometry of the highest level of detail that names its roof, else of the highest that can have one; why none
    is read. Levels 0 (footprints) and 1 (blocks) never have a roof, whatever their surfaces are called."""
    known = [shape for shape in shapes if isinstance(shape.get("type"), str) and shape["type"] in DEPTHS]
    detailed = [shape for shape in known if _lod(shape) >= (2, 0)]
    named = [shape for shape in detailed if "RoofSurface" in words_of(dict(shape))]
    best = max(named or detailed, key=_lod, default=None)
    if best is not None:
        return best, ""
    if any(shape.get("type") == "GeometryInstance" for shape in shapes):
        return None, "is placed from a template; templates are not read: save the model without them"
    levels = sorted({_lod_words(shape) for shape in shapes})
    kinds = "a footprint" if all(_lod(shape)[0] == 0 for shape in shapes) else "blocks at most"
    return None, (
        f"is drawn at level of detail {', '.join(levels)} only, {kinds} without a roof; get it at level 2 or finer, or "
        "type its outline and pitch"
    )


def _lod(shape: Mapping[str, Any]) -> tuple[int, int]:
    whole, _, finer = _lod_words(shape).partition(".")
    return (int(whole) if whole.isdigit() else 0, int(finer) if finer.isdigit() else 0)


def _lod_words(shape: Mapping[str, Any]) -> str:
    return str(shape.get("lod", "none"))[:8]
