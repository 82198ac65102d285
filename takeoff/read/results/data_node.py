"""A value of a JSON file with the path to it, so that a fault of the file is told by place, not by traceback."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.records import record

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]


@record
class Node:
    """A value and where it stands. Asking for what is not there raises UnreadableFileError with the path."""

    value: Json
    path: str

    def fault(self, words: str) -> UnreadableFileError:
        """The fault of this place."""
        return UnreadableFileError(f"{self.path}: {words}")

    def has(self, name: str) -> bool:
        """True where a mapping holds something under the name."""
        return isinstance(self.value, dict) and self.value.get(name) is not None

    def at(self, name: str) -> Node:
        """What a mapping holds under the name."""
        if not isinstance(self.value, dict):
            raise self.fault("should hold names and values")
        if name not in self.value:
            raise self.fault(f"{name} is missing")
        return Node(self.value[name], f"{self.path}.{name}")

    def items(self, name: str) -> tuple[Node, ...]:
        """The entries of the list under the name."""
        return self.at(name).entries()

    def entries(self) -> tuple[Node, ...]:
        """The entries of a list."""
        if not isinstance(self.value, list):
            raise self.fault("should be a list")
        return tuple(Node(entry, f"{self.path}[{number}]") for number, entry in enumerate(self.value, start=1))

    def texts_within(self) -> Iterator[str]:
        """Every text in the value, however deep."""
        waiting = [self.value]
        while waiting:
            value = waiting.pop()
            if isinstance(value, str):
                yield value
            elif isinstance(value, dict):
                waiting += value.values()
            elif isinstance(value, list):
                waiting += value

    def pairs(self) -> Iterator[tuple[str, Node]]:
        """Names and values of a mapping."""
        if not isinstance(self.value, dict):
            raise self.fault("should hold names and values")
        for name, value in self.value.items():
            yield name, Node(value, f"{self.path}.{name}")

    def text(self, name: str) -> str:
        """The text under the name."""
        node = self.at(name)
        if not isinstance(node.value, str):
            raise node.fault("should be a text")
        return node.value

    def texts(self, name: str) -> tuple[str, ...]:
        """The texts of the list under the name."""
        return tuple(str(node.value) for node in self.items(name))

    def number(self, name: str) -> float:
        """The figure under the name."""
        return self.at(name).figure()

    def figure(self) -> float:
        """The value as a figure."""
        if isinstance(self.value, bool) or not isinstance(self.value, int | float) or not isfinite(self.value):
            raise self.fault("should be a figure")
        return float(self.value)

    def point(self, name: str = "") -> tuple[float, ...]:
        """The figures of a list of two or three."""
        node = self.at(name) if name else self
        figures = tuple(entry.figure() for entry in node.entries())
        if len(figures) not in (2, 3):
            raise node.fault("should be a point of two or three figures")
        return figures
