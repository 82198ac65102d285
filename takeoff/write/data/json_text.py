"""Records as JSON text, an entry a line, as `json.dumps` writes them with an indent of 1: written in one pass by type,
since a result has some hundred thousand entries and the standard encoder takes its slow way where it indents.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from functools import cache
from json.encoder import encode_basestring
from operator import attrgetter
from typing import Any

_Writer = Callable[[Any, str], str]  # a value, and the line break with the indent it stands at


class JsonText:
    """Writes values. `number` gives the figure that is written for a float; `simpler` what is written for a value that
    is no dict, list, text, number or plain record, and whether it is to be written field by field. Both may raise.
    `shared`: kinds of records of which one stands at many places; its text is kept."""

    def __init__(
        self, number: Callable[[float], float | int], simpler: Callable[[Any], Any], shared: Sequence[type] = ()
    ) -> None:
        self._simpler = simpler
        self._figures: dict[float, str] = {}
        self._shared = frozenset(shared)
        # by its place in memory a record, held so that no other takes the place, the line it stood at, and its text
        self._written: dict[int, tuple[Any, str, str]] = {}
        self.writers: dict[type, _Writer] = {
            dict: self._mapping,
            tuple: self._list,
            list: self._list,
            float: lambda value, _: self._figures.get(value) or self._figures.setdefault(value, repr(number(value))),
            int: lambda value, _: repr(value),
            str: lambda value, _: encode_basestring(value),
            bool: lambda value, _: "true" if value else "false",
            type(None): lambda value, _: "null",
        }

    def text(self, value: Any, line: str = "\n") -> str:
        """The value as text."""
        writer = self.writers.get(type(value))
        return (writer or self._learnt(value))(value, line)

    def _learnt(self, value: Any) -> _Writer:
        """How values of a new type are written, kept for the next."""
        simpler = self._simpler
        kind = type(value)
        writer = _by_field(self, kind) if simpler(value) is value else lambda one, line: self.text(simpler(one), line)
        writer = self._once(writer) if kind in self._shared else writer
        self.writers[kind] = writer
        return writer

    def _mapping(self, value: Mapping[Any, Any], line: str) -> str:
        inner = line + " "
        parts = [f"{encode_basestring(str(key))}: {self.text(entry, inner)}" for key, entry in value.items()]
        return f"{{{inner}{f',{inner}'.join(parts)}{line}}}" if parts else "{}"

    def _once(self, write: _Writer) -> _Writer:
        """Writes a record as `write` does; where the same one stands again, its text is there, and is moved in or out
        to its new depth: a line break in it is always one of ours, since those of texts are escaped."""
        written = self._written

        def kept(value: Any, line: str) -> str:
            found = written.get(id(value))
            if found is None:
                text = write(value, line)
                written[id(value)] = value, line, text
                return text
            _, before, text = found
            return text if before == line else text.replace(before, line)

        return kept

    def _list(self, value: Sequence[Any], line: str) -> str:
        inner, writers, parts = line + " ", self.writers, []
        for entry in value:
            writer = writers.get(type(entry))
            parts.append(writer(entry, inner) if writer else self.text(entry, inner))
        return f"[{inner}{f',{inner}'.join(parts)}{line}]" if parts else "[]"


def _by_field(writer: JsonText, kind: type) -> _Writer:
    """Writes records of a kind, field by field."""
    writers, text = writer.writers, writer.text
    names = [field.name for field in fields(kind)]
    values = _values_of(names)

    @cache
    def frame(line: str) -> str:
        """A record of the kind at a depth, with a place for the text of each value."""
        entries = ",".join(f"{line} {encode_basestring(name)}: %s" for name in names)
        return f"{{{entries}{line}}}" if names else "{}"

    def written(value: Any, line: str) -> str:
        inner, parts = line + " ", []
        for entry in values(value):
            write = writers.get(type(entry))
            parts.append(write(entry, inner) if write else text(entry, inner))
        return frame(line) % tuple(parts)

    return written


def _values_of(names: Sequence[str]) -> Callable[[Any], tuple[Any, ...]]:
    """What gives the values of a record by their names; `attrgetter` gives a tuple for more than one alone."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda value: tuple(getattr(value, name) for name in names)
