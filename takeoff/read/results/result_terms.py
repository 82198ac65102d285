"""What a written result was asked for, as terms that compare: settings, products, and the keys of its job that are no
places."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from takeoff.read.results.data_node import Json, Node

# keys of a job that are places or numbers of edges and walls: those compare by where they lie
_PLACES = re.compile(
    r"(job|revision|date|north_deg|settings|walls\.(zones|openings|ground_by_wall|elevations)"
    r"|rainwater\.(downpipes_at|none_on)|roofs\[.*?\]\.(name|wall_line|outline|courtyards|edges|no_spouting_on|(shape|mesh)\.file))($|[.\[])"
)
_SIDE_KEYS = ("pitch_deg", "eave_overhang_mm", "verge_overhang_mm", "fascia_height_mm", "rise", "start_side")


def snapshot_terms(result: Node) -> Mapping[str, str]:
    """Path -> value in words, for every term that can change a figure."""
    terms: dict[str, str] = {}
    for path, words in _flat(result.at("job").value, ""):
        if not _PLACES.match(path):
            terms[path] = words
    for name, setting in result.at("settings").pairs():
        value = setting.at("value").value
        # the unit of a word says nothing of it
        unit = "" if isinstance(value, str | bool) else f" {setting.text('unit')}"
        terms[f"setting {name}"] = f"{_words(value)}{unit}"
    for product in result.items("products"):
        for path, words in _flat(product.value, f"product {product.text('id')}"):
            if not path.endswith((".group", ".id")) and ".basis" not in path:
                terms[path] = words
    return terms


def _flat(value: Json, path: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, entry in value.items():
            yield from _flat(entry, f"{path}.{key}" if path else key)
    elif isinstance(value, list) and any(isinstance(entry, dict) for entry in value):
        for number, entry in enumerate(value, start=1):
            name = entry.get("name") if isinstance(entry, dict) else None
            yield from _flat(entry, f"{path}[{name or number}]")
    elif value is not None:
        yield path, _words(value)


def _words(value: Json) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_words(entry) for entry in value)
    if isinstance(value, dict):
        return ", ".join(f"{name} {_words(entry)}" for name, entry in value.items() if entry is not None)
    return f"{value:g}" if isinstance(value, float) else str(value)


def side_terms(roof_job: Node | None, number: int, kind: str) -> tuple[Mapping[str, str], frozenset[str]]:
    """What was asked for one edge of an outline: its own values, else the roof's; and the names of its own."""
    terms = {"kind": kind}
    own = {"kind"}
    if roof_job is None:
        return terms, frozenset(own)
    edges = roof_job.at("edges")
    edge = edges.at(str(number)) if edges.has(str(number)) else None
    for key in _SIDE_KEYS:
        if edge is not None and edge.has(key):
            own.add(key)
            terms[key] = _words(edge.at(key).value)
        elif roof_job.has(key):
            terms[key] = _words(roof_job.at(key).value)
    return terms, frozenset(own)


def opening_words(wall: Node) -> Iterator[tuple[str, str]]:
    """Name and words of every opening of a wall."""
    for opening in wall.items("openings"):
        size = f"{opening.number('width_mm'):.0f} x {opening.number('height_mm'):.0f} mm"
        place = f"{opening.number('from_left_mm'):.0f} from the left, sill {opening.number('sill_mm'):.0f}"
        yield opening.text("name"), f"{size}, {place}"
