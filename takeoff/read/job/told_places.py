"""Where in a job what was told has its place: the path of the key, list entry or point that a person goes to.

Faults carry their path, or begin with an address; findings name ids of what was taken off, walls and edges by number,
roofs by name, or the setting that they come from.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from takeoff.basics.errors import Fault
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.model.job_edits import EditPath, value_at
from takeoff.model.order import Takeoff
from takeoff.read.job.fault_places import tree_path
from takeoff.read.job.yaml_tree import YamlTree, read_yaml

_FILE_LINE = re.compile(r"(?:.*?:)?(\d+):(\d+): ")
_ADDRESS = re.compile(r"(?:[^:`]+:\d+:\d+: )?(?P<address>[a-z_]+(?:\[\d+\]|\.[\w ]+)*): ")
_PART = re.compile(r"\[(\d+)\]|([\w ]+)")
_ROOF = re.compile(r"\b[Rr]oof (.+)")
_NUMBERED = re.compile(r"(wall|edge) (\d+)$")
_SETTING = re.compile(r"setting (\w+)")
_DOWNPIPE_PLACE = re.compile(r"downpipes_at\[(\d+)\]")

NOWHERE: Mapping[str, EditPath] = {}


def place_of(told: str | Finding, value: object, ids: Mapping[str, EditPath] = NOWHERE, text: str = "") -> EditPath:
    """The path in a job that a fault's sentence or a finding leads to, () where none can be told.

    `value`: the job as plain values; `ids`: places of what was taken off (`places_of_ids`); `text`: the job file, so
    that a fault with line and column alone finds its place. The last key of the path may lack in the job.
    """
    if isinstance(told, Finding):
        return _of_finding(told, value, ids)
    if isinstance(told, Fault) and told.path:
        return tree_path(told.path, _tree(value))
    return address_path(told, value) or _line_path(told, text) or _roof_path(told, value)


def _of_finding(told: Finding, value: object, ids: Mapping[str, EditPath]) -> EditPath:
    for ref in told.refs:
        if path := ids.get(ref) or _ref_path(ref, told.text, value):
            return path
    if match := _DOWNPIPE_PLACE.search(told.text):
        return ("rainwater", "downpipes_at", int(match[1]) - 1)
    if path := address_path(told.text, value) or _roof_path(told.text, value):
        return path
    match = _SETTING.match(told.source)
    return ("settings", match[1]) if match else ()


def address_path(told: str, value: object) -> EditPath:
    """The path of the address that a sentence begins with, as a person counts: walls.zones[1].board; () for none."""
    match = _ADDRESS.match(told)
    if match is None:
        return ()
    path: EditPath = ()
    for counted, key in _PART.findall(match["address"]):
        # lists count from 1 there, edges and walls are keys of their own number
        by_number = isinstance(value_at(value, path), dict)
        path = (*path, key or (int(counted) if by_number else int(counted) - 1))
    return path if path[0] in Job.model_fields or value_at(value, path[:1]) is not None else ()


def _line_path(told: str, text: str) -> EditPath:
    """The deepest thing that begins at the line and column before a sentence."""
    match = _FILE_LINE.match(told)
    if match is None or not text:
        return ()
    at = (int(match[1]), int(match[2]))
    found = [path for path, place in read_yaml(text).places.items() if place == at]
    best = max(found, key=lambda path: len([step for step in path if step != "<key>"]), default=())
    return tuple(step for step in best if step != "<key>")


def _ref_path(ref: str, text: str, value: object) -> EditPath:
    """What a finding's ref means without the takeoff: a wall, an edge of the roof that the text names, a roof, an
    opening, a tank."""
    if match := _NUMBERED.match(ref):
        number = int(match[2])
        roof = _roof_path(text, value) or _only_roof(value)
        if match[1] == "edge":
            return edge_path(roof, number, value)
        return wall_path(number, value) or (("walls",) if value_at(value, ("walls",)) else ())
    for path in (("roofs",), ("walls", "openings"), ("walls", "elevations"), ("tanks",)):
        for place, entry in _entries(value, path):
            if entry.get("name") == ref:
                return (*path, place)
    return ()


def _roof_path(text: str, value: object) -> EditPath:
    """The roof that a sentence names; the longest name where several fit."""
    named = [
        (str(roof.get("name", "main")), place)
        for place, roof in _entries(value, ("roofs",))
        for match in _ROOF.finditer(text)
        if re.match(re.escape(str(roof.get("name", "main"))) + r"(?!\w)", match[1])
    ]
    return ("roofs", max(named, key=lambda one: len(one[0]))[1]) if named else ()


def _only_roof(value: object) -> EditPath:
    return ("roofs", 0) if len(list(_entries(value, ("roofs",)))) == 1 else ()


def edge_path(roof: EditPath, number: int, value: object) -> EditPath:
    """An edge of a roof's outline where the job says something of it, else the point where it begins."""
    return tree_path((*roof, "edge", number), _tree(value)) if roof else ()


def wall_path(number: int, value: object) -> EditPath:
    """A wall: the point of the wall line where it begins, or the elevation given by itself. Walls are numbered as roofs
    and their points are typed; () where the lines before it come from files."""
    walls = value_at(value, ("walls",))
    said = walls if isinstance(walls, dict) else {}
    left = number
    alone = said.get("elevations") and said.get("height_mm") is None and not said.get("storeys")
    for place, roof in () if alone else _entries(value, ("roofs",)):
        if said.get("roof", roof.get("name", "main")) != roof.get("name", "main"):
            continue
        if not roof.get("wall_line"):
            if roof.get("outline"):
                continue
            return ()
        rings: list[tuple[EditPath, Any]] = [(("wall_line",), roof["wall_line"])]
        rings += [(("courtyards", n), ring) for n, ring in enumerate(roof.get("courtyards") or ())]
        for path, ring in rings:
            if left <= len(ring):
                return ("roofs", place, *path, left - 1)
            left -= len(ring)
    for key in ("elevations", "drawn_elevations"):
        count = len(list(_entries(value, ("walls", key))))
        if left <= count:
            return ("walls", key, left - 1)
        left -= count
    return ()


def places_of_ids(takeoff: Takeoff, value: object) -> dict[str, EditPath]:
    """Paths in the job of planes, upright faces, edges, walls, gutters and downpipes, by their ids."""
    found: dict[str, EditPath] = {}
    for roof in takeoff.roofs:
        at = tree_path(("roofs", roof.name), _tree(value))
        parts = [(plane.id, plane.outline_edges) for plane in roof.planes]
        parts += [(upright.id, (upright.outline_edge,)) for upright in roof.uprights]
        parts += [(edge.id, edge.outline_edges) for edge in roof.own_edges]
        for name, edges in parts:
            typed = [n for n in edges if n > 0]
            found[name] = (edge_path(at, typed[0], value) if typed else ()) or at
    for wall in takeoff.elevations:
        found[f"wall {wall.wall}"] = wall_path(wall.wall, value) or tree_path(
            ("roofs", wall.roof) if wall.roof else ("walls",), _tree(value)
        )
    for run in takeoff.rainwater.gutters:
        for n, leg in enumerate(run.legs, start=1):
            found.setdefault(f"{run.id}.{n}", found.get(leg.edge, ()))
        found.setdefault(run.id, found.get(run.legs[0].edge, ()) if run.legs else ())
    for plan in takeoff.rainwater.downpipes:
        found.update({pipe.id: found.get(plan.run, ()) for pipe in plan.pipes})
    return {name: path for name, path in found.items() if path}


def _entries(value: object, path: EditPath) -> Iterator[tuple[int, dict[str, Any]]]:
    """The maps of a list with their places."""
    held = value_at(value, path)
    for place, entry in enumerate(held if isinstance(held, list) else ()):
        if isinstance(entry, dict):
            yield place, entry


def _tree(value: Any) -> YamlTree:
    return YamlTree(value)
