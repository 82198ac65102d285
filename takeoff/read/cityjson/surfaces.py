"""Boundaries of a CityJSON geometry as flat surfaces, each with what its semantics say it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, TypeAlias

from takeoff.basics.records import record
from takeoff.model.faces import StatedPart

Path: TypeAlias = tuple[int, ...]
"""Where a surface stands in the boundaries."""

DEPTHS = {
    "MultiSurface": 1,
    "CompositeSurface": 1,
    "Solid": 2,
    "MultiSolid": 3,
    "CompositeSolid": 3,
}
"""How many lists stand between a geometry and one surface of it, by its type."""

_STATED = {
    "RoofSurface": StatedPart.ROOF,
    "WallSurface": StatedPart.WALL,
    "GroundSurface": StatedPart.GROUND,
    "FloorSurface": StatedPart.FLOOR,
    "OuterFloorSurface": StatedPart.FLOOR,
    "Window": StatedPart.OPENING,
    "Door": StatedPart.OPENING,
}


@record
class Surface:
    """One surface: rings of places in the vertices, the outer first."""

    rings: tuple[tuple[int, ...], ...]
    stated: StatedPart
    what: str  # the word of the file, "" without semantics


def surfaces(geometry: dict[str, Any]) -> Iterator[Surface]:
    """All surfaces of a geometry in the file's order; inner shells of solids, which nobody sees, are left out. Raises
    ValueError, with the reason, for boundaries that are not built as the type says."""
    depth = DEPTHS[geometry["type"]]
    words = _words(geometry.get("semantics"))
    for path, surface in _walk(geometry.get("boundaries"), depth, ()):
        if depth >= 2 and path[-2] > 0:
            continue
        word = _word_at(words, path)
        rings = tuple(_ring(ring) for ring in _listed(surface, "a surface"))
        if word is None:
            yield Surface(rings, StatedPart.UNKNOWN, "")
        else:
            yield Surface(rings, _STATED.get(word, StatedPart.OTHER), word)


def words_of(geometry: dict[str, Any]) -> set[str]:
    """What surfaces a geometry says it has."""
    semantics = geometry.get("semantics")
    found = semantics.get("surfaces") if isinstance(semantics, dict) else None
    return {str(one.get("type")) for one in found if isinstance(one, dict)} if isinstance(found, list) else set()


def _walk(tree: object, depth: int, path: Path) -> Iterator[tuple[Path, object]]:
    for number, branch in enumerate(_listed(tree, "its boundaries")):
        if depth == 1:
            yield (*path, number), branch
        else:
            yield from _walk(branch, depth - 1, (*path, number))


def _ring(tree: object) -> tuple[int, ...]:
    corners = _listed(tree, "a ring")
    if not all(type(corner) is int for corner in corners):
        raise ValueError("a ring holds what is no number of a vertex")
    kept = [corner for k, corner in enumerate(corners) if corner != corners[k - 1] or len(corners) == 1]
    return tuple(kept)


def _listed(tree: object, what: str) -> Sequence[Any]:
    if not isinstance(tree, list):
        raise ValueError(f"{what} is no list, as its type would have it")
    return tree


def _words(semantics: object) -> tuple[list[str], object] | None:
    if not isinstance(semantics, dict):
        return None
    found = semantics.get("surfaces")
    if not isinstance(found, list):
        return None
    return [str(one.get("type", "")) if isinstance(one, dict) else "" for one in found], semantics.get("values")


def _word_at(words: tuple[list[str], object] | None, path: Path) -> str | None:
    if words is None:
        return None
    names, value = words
    for number in path:
        if not isinstance(value, list):
            break
        value = value[number] if number < len(value) else None
    if type(value) is int and 0 <= value < len(names):
        return names[value] or None
    return None
