"""YAML as plain values with the line and column of every key and value, by the YAML 1.2 rules people expect.

`no`, `on`, `12:30`, `017` and dates stay what they look like; keys given twice are faults; aliases are refused, since a
short file could otherwise unfold into a huge one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import yaml

from takeoff.basics.yaml_words import plain_word

Path = tuple[str | int, ...]
Value = None | bool | int | float | str | list["Value"] | dict[str | int, "Value"]

MOST_BYTES = 5_000_000
DEEPEST = 40


class _Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """Makes nodes without asking what sort of value each word is: that is said here."""

    def resolve(self, kind: type[yaml.Node], value: object, implicit: object) -> str:
        """One tag for all."""
        return ""


@dataclass(slots=True)
class YamlTree:
    """A document: its value, where each path stands (1-based line, column), and the faults found while reading."""

    value: Value = None
    places: dict[Path, tuple[int, int]] = field(default_factory=dict)
    faults: list[tuple[int, int, str]] = field(default_factory=list)


def read_yaml(text: str) -> YamlTree:
    """Parse one YAML document. Syntax faults end up in `faults`, with `value` None."""
    tree = YamlTree()
    loader = _Loader(text)
    try:
        node = loader.get_single_node()
    except yaml.MarkedYAMLError as err:
        mark = err.problem_mark or err.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        tree.faults.append((line, column, f"not YAML here: {_syntax_words(err)}"))
        return tree
    except (yaml.YAMLError, RecursionError) as err:
        tree.faults.append((1, 1, f"not YAML: {str(err).splitlines()[0]}"))
        return tree
    finally:
        loader.dispose()
    if node is not None:
        tree.value = _value(node, (), tree, set())
    return tree


def _syntax_words(err: yaml.MarkedYAMLError) -> str:
    """A fault of syntax, with the line where what is not closed was opened."""
    problem, context = str(err.problem or err.context), str(err.context or "")
    opened = err.context_mark.line + 1 if err.context_mark else 0
    if "escape" in problem:
        return "a \\ in double quotes begins an escape, and this is none; use single quotes"
    if "quoted scalar" in context:
        return f"the quote opened on line {opened} is not closed"
    if "simple key" in context:
        return f"line {opened} has no colon and space after its key, or its text should be in quotes"
    if "flow sequence" in context:
        return f"the [ opened on line {opened} is not closed, or a comma lacks after an entry"
    if "flow mapping" in context:
        return f"the {{ opened on line {opened} is not closed, or a comma lacks after an entry"
    if "block" in context:
        return f"indented otherwise than what began on line {opened}; entries of one list stand below each other"
    if "mapping values" in problem:
        return "a colon too many: put text with a colon in quotes, see that the line above has its colon, indent alike"
    if "cannot start any token" in problem:
        return "a tab, or a sign that begins no value: indent with spaces, put the text in quotes"
    if "node content" in problem:
        return "something begun and not finished before this"
    return problem


def _value(node: yaml.Node, path: Path, tree: YamlTree, seen: set[int]) -> Value:
    place = (node.start_mark.line + 1, node.start_mark.column + 1)
    tree.places.setdefault(path, place)
    if id(node) in seen:
        tree.faults.append((*place, "an alias (*name) is not read in a job; write the value out"))
        return None
    seen.add(id(node))
    if len(path) > DEEPEST:
        tree.faults.append((*place, f"nested deeper than {DEEPEST} levels"))
        return None
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, path, tree, seen)
    if isinstance(node, yaml.SequenceNode):
        return [_value(child, (*path, i), tree, seen) for i, child in enumerate(node.value)]
    return _scalar(node)


def _mapping(node: yaml.MappingNode, path: Path, tree: YamlTree, seen: set[int]) -> dict[str | int, Value]:
    found: dict[str | int, Value] = {}
    first_line: dict[str | int, int] = {}
    for key_node, value_node in node.value:
        line, column = key_node.start_mark.line + 1, key_node.start_mark.column + 1
        key = _scalar(key_node) if isinstance(key_node, yaml.ScalarNode) else None
        if isinstance(key, bool) or not isinstance(key, str | int):
            key = key_node.value if isinstance(key_node, yaml.ScalarNode) else None
        if key is None:
            tree.faults.append((line, column, "a key must be a word or a whole number"))
            continue
        if key in found:
            tree.faults.append((line, column, f"{key}: given twice, first on line {first_line[key]}"))
            continue
        first_line[key] = line
        tree.places[(*path, key, "<key>")] = (line, column)
        found[key] = _value(value_node, (*path, key), tree, seen)
    return found


def _scalar(node: yaml.Node) -> Value:
    text = str(node.value)
    if getattr(node, "style", None) in ("'", '"', "|", ">"):
        return text
    return plain_word(text)


def place_of(places: Mapping[Path, tuple[int, int]], path: Path) -> tuple[int, int]:
    """Line and column of a path, or of the nearest thing above it that stands in the file."""
    for end in range(len(path), -1, -1):
        if path[:end] in places:
            return places[path[:end]]
    return (1, 1)
