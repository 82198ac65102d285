"""YAML as plain values with the line and column of every key and value, by the YAML 1.2 rules people expect.

`no`, `on`, `12:30`, `017` and dates stay what they look like; keys given twice are faults; aliases are refused, since a
short file could otherwise unfold into a huge one.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import yaml

from takeoff.basics.yaml_words import plain_word

Path = tuple[str | int, ...]
Value = None | bool | int | float | str | list["Value"] | dict[str | int, "Value"]

MOST_BYTES = 5_000_000
DEEPEST = 40
_QUOTED = frozenset(("'", '"', "|", ">"))  # styles of texts that stay what they are


class _Loader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """Makes nodes without asking what sort of value each word is: that is said here."""

    def resolve(self, kind: type[yaml.Node], value: object, implicit: object) -> str:
        """One tag for all."""
        return ""

    def descend_resolver(self, node: yaml.Node, place: object) -> None:
        """No tag goes by where a node stands."""

    def ascend_resolver(self) -> None:
        """Nor by what is above it."""


class YamlTree:
    """A document: its value, where each path stands (1-based line, column), and the faults found while reading. The
    places are looked up when they are first asked for: nobody asks where a word of the catalogue stands."""

    def __init__(self, value: Value = None, places: dict[Path, tuple[int, int]] | None = None) -> None:
        self.value = value
        self.faults: list[tuple[int, int, str]] = []
        self.root: yaml.Node | None = None
        if places is not None:
            self.places = places

    @cached_property
    def places(self) -> dict[Path, tuple[int, int]]:
        """Line and column by path; of a key by the path of its value with `<key>` behind."""
        found: dict[Path, tuple[int, int]] = {}
        if self.root is not None:
            _place(self.root, (), found, set())
        return found


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
        tree.root = node
        tree.value = _value(node, 0, tree.faults, set())
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


def _value(node: yaml.Node, depth: int, faults: list[tuple[int, int, str]], seen: set[int]) -> Value:
    if id(node) in seen:
        faults.append((*_stands(node), "an alias (*name) is not read in a job; write the value out"))
        return None
    seen.add(id(node))
    if depth > DEEPEST:
        faults.append((*_stands(node), f"nested deeper than {DEEPEST} levels"))
        return None
    if isinstance(node, yaml.ScalarNode):
        return _scalar(node)
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, depth, faults, seen)
    return [_value(child, depth + 1, faults, seen) for child in node.value]


def _mapping(
    node: yaml.MappingNode, depth: int, faults: list[tuple[int, int, str]], seen: set[int]
) -> dict[str | int, Value]:
    found: dict[str | int, Value] = {}
    first: dict[str | int, yaml.Node] = {}
    for key_node, value_node in node.value:
        key = _key(key_node)
        if key is None:
            faults.append((*_stands(key_node), "a key must be a word or a whole number"))
        elif key in found:
            faults.append((*_stands(key_node), f"{key}: given twice, first on line {_stands(first[key])[0]}"))
        else:
            first[key] = key_node
            found[key] = _value(value_node, depth + 1, faults, seen)
    return found


def _place(node: yaml.Node, path: Path, places: dict[Path, tuple[int, int]], seen: set[int]) -> None:
    """Where a node and all under it stand, as far as `_value` reads."""
    places[path] = _stands(node)
    if id(node) in seen or len(path) > DEEPEST:
        return
    seen.add(id(node))
    if isinstance(node, yaml.SequenceNode):
        for i, child in enumerate(node.value):
            _place(child, (*path, i), places, seen)
    elif isinstance(node, yaml.MappingNode):
        for key_node, value_node in node.value:
            key = _key(key_node)
            if key is not None and (*path, key) not in places:
                places[(*path, key, "<key>")] = _stands(key_node)
                _place(value_node, (*path, key), places, seen)


def _stands(node: yaml.Node) -> tuple[int, int]:
    """Line and column of a node, from 1."""
    return node.start_mark.line + 1, node.start_mark.column + 1


def _key(node: yaml.Node) -> str | int | None:
    """What a key says; None for one that is no word."""
    if not isinstance(node, yaml.ScalarNode):
        return None
    key = _scalar(node)
    return key if isinstance(key, str | int) and not isinstance(key, bool) else str(node.value)


def _scalar(node: yaml.ScalarNode) -> str | int | float | bool | None:
    return str(node.value) if node.style in _QUOTED else plain_word(node.value)


def place_of(places: Mapping[Path, tuple[int, int]], path: Path) -> tuple[int, int]:
    """Line and column of a path, or of the nearest thing above it that stands in the file."""
    for end in range(len(path), -1, -1):
        if path[:end] in places:
            return places[path[:end]]
    return (1, 1)
