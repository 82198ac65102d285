"""Where in the job file the faults of later stages have their cause: name of the file, line and column before each.

A stage says it in one of two ways: a Fault carries keys and places of lists (a roof by its name, an edge of its outline
by its number); a plain sentence may begin with the address of a key, as `path_words` writes it: walls.zones[1].board.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from takeoff.basics.errors import Fault
from takeoff.read.job.yaml_tree import Path as TreePath
from takeoff.read.job.yaml_tree import YamlTree, place_of, read_yaml

_ADDRESS = re.compile(r"(?P<address>[a-z_]+(?:\[\d+\]|\.[\w ]+)*): ")
_PART = re.compile(r"\[(\d+)\]|([\w ]+)")


def placed_faults(faults: Sequence[str], text: str, name: str) -> tuple[str, ...]:
    """The faults of a job's text with `name`, line and column before them; the file alone where none is known."""
    tree = read_yaml(text)
    return tuple(_placed(fault, tree, name) for fault in faults)


def _placed(fault: str, tree: YamlTree, name: str) -> str:
    path = tree_path(fault.path, tree) if isinstance(fault, Fault) else _addressed(fault, tree)
    if not path:
        return f"{name}: {fault}"
    line, column = place_of(tree.places, path)
    return f"{name}:{line}:{column}: {fault}"


def tree_path(path: Sequence[str | int], tree: YamlTree) -> TreePath:
    """The path in the file of a fault's: a roof is found by its name there, an edge by its number."""
    found: TreePath = ()
    for part in path:
        held = _held(tree, found)
        if isinstance(held, list) and isinstance(part, str):
            named = [i for i, one in enumerate(held) if isinstance(one, dict) and one.get("name", "main") == part]
            part = named[0] if named else 0
        elif part == "edge":
            return (*found, *_edge_path(held, path[-1]))
        found = (*found, part)
    return found


def _edge_path(roof: Any, number: str | int) -> TreePath:
    """An edge where the job says something of it, else the point of the outline or courtyard where it begins."""
    if not isinstance(roof, dict) or not isinstance(number, int):
        return ()
    if isinstance(roof.get("edges"), dict) and number in roof["edges"]:
        return ("edges", number)
    key = "wall_line" if roof.get("wall_line") else "outline"
    rings: list[tuple[TreePath, Any]] = [((key,), roof.get(key))]
    rings += [(("courtyards", i), ring) for i, ring in enumerate(roof.get("courtyards") or ())]
    for path, ring in rings:
        count = len(ring) if isinstance(ring, list) else 0
        if number <= count:
            return (*path, number - 1)
        number -= count
    return ()


def _addressed(fault: str, tree: YamlTree) -> TreePath:
    """The path of the address that a sentence begins with, as far as it stands in the file; () for none."""
    match = _ADDRESS.match(fault)
    if match is None:
        return ()
    path: TreePath = ()
    for counted, key in _PART.findall(match["address"]):
        held = _held(tree, path)
        # lists count from 1 there, edges and walls are keys of their own number
        part: str | int = key or (int(counted) if isinstance(held, dict) else int(counted) - 1)
        if (*path, part) not in tree.places:
            break
        path = (*path, part)
    return path


def _held(tree: YamlTree, path: TreePath) -> Any:
    held: Any = tree.value
    for part in path:
        if isinstance(held, list) and isinstance(part, int) and part < len(held):
            held = held[part]
        elif isinstance(held, dict):
            held = held.get(part)
        else:
            return None
    return held
