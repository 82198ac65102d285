"""Whether an IFC file may be opened: what the reading library would break or hang on is refused before it is loaded."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

SCHEMAS = ("IFC2X3", "IFC4", "IFC4X3")
GREATEST_BYTES = 100_000_000
MOST_ENTITIES = 1_500_000
MOST_NESTED = 500  # brackets within brackets; lists in IFC are three deep at most
_HEAD = 65_536
_TAIL = 4_096
_SCHEMA = re.compile(rb"FILE_SCHEMA\s*\(\s*\(\s*'([^']{0,40})'", re.IGNORECASE)
_TEXT = re.compile(rb"'[^']*'|/\*.*?\*/", re.DOTALL)
_ENTITY = re.compile(rb"#(\d{1,12})\s*=\s*(IFC\w+)\s*\(([^;]*);", re.IGNORECASE)
_REFERENCE = re.compile(rb"#(\d{1,12})")
_BRACKETS = re.compile(rb"[();]")
# the many small ones that hold figures or are never walked into: a circle needs one of the others
_BULK = re.compile(
    rb"IFC(CARTESIANPOINT|DIRECTION|POLYLOOP|FACE|FACEBOUND|FACEOUTERBOUND|POLYLINE|REL\w+|PROPERTYSINGLEVALUE|QUANTITY\w+"
    rb"|INDEXEDPOLYGONALFACE|STYLEDITEM|OWNERHISTORY|VECTOR|VERTEXPOINT|ORIENTEDEDGE|EDGECURVE)",
    re.IGNORECASE,
)


def step_faults(data: bytes) -> str | None:
    """Why a file is not read, without its name; None where it may be."""
    head = data[:_HEAD].lstrip(b"\xef\xbb\xbf \t\r\n")
    if head.startswith(b"PK"):
        return "is zipped; unpack it and give the IFC file in it"
    if head.startswith(b"<"):
        return "holds XML; save it as a plain IFC file (STEP text)"
    if not head.startswith(b"ISO-10303-21"):
        return "is no IFC file: it does not begin with ISO-10303-21; save it again"
    found = _SCHEMA.search(head)
    schema = found[1].decode("latin-1").upper() if found else "none"
    if schema not in SCHEMAS and not schema.startswith("IFC4X3_"):
        return f"is of schema {schema}; {', '.join(SCHEMAS[:-1])} and {SCHEMAS[-1]} are read: save it as one of them"
    if b"END-ISO-10303-21" not in data[-_TAIL:].upper():
        return "breaks off before its end (no END-ISO-10303-21); fetch or save it again"
    plain = _TEXT.sub(b"''", data)
    if (count := plain.count(b"=")) > MOST_ENTITIES:
        return f"has {count:,} entities, more than the {MOST_ENTITIES:,} read; save the house alone"
    if (broken := _brackets(plain)) is not None:
        return broken
    if (number := in_circle(_references(plain))) is not None:
        return f"entity #{number} is made from itself; save it again from the program it came from"
    return None


def _brackets(plain: bytes) -> str | None:
    """What is wrong with the brackets: each line of data closes those it opens."""
    depth = 0
    for mark in _BRACKETS.finditer(plain):
        if mark[0] == b"(":
            depth += 1
            if depth > MOST_NESTED:
                return f"has more than {MOST_NESTED} brackets within each other; it is no IFC file"
        elif mark[0] == b")":
            depth -= 1
        elif depth != 0:
            line = plain.count(b"\n", 0, mark.start()) + 1
            return f"is broken at line {line}: its brackets do not close; fetch or save it again"
    return None


def _references(plain: bytes) -> dict[int, tuple[int, ...]]:
    found: dict[int, tuple[int, ...]] = {}
    for entity in _ENTITY.finditer(plain):
        if not _BULK.fullmatch(entity[2]):
            found[int(entity[1])] = tuple({int(number) for number in _REFERENCE.findall(entity[3])})
    return found


def in_circle(references: Mapping[int, Sequence[int]]) -> int | None:
    """The first number met that leads back to itself; None where none does.

    >>> in_circle({1: (2,), 2: (3,), 3: ()})
    >>> in_circle({1: (2,), 2: (3,), 3: (2,)})
    2
    """
    done: set[int] = set()
    for start in references:
        way: list[tuple[int, int]] = [(start, 0)] if start not in done else []
        on_way = {start}
        while way:
            number, place = way.pop()
            below = references.get(number, ())
            if place == len(below):
                done.add(number)
                on_way.discard(number)
                continue
            way.append((number, place + 1))
            child = below[place]
            if child in on_way:
                return child
            if child not in done and child in references:
                on_way.add(child)
                way.append((child, 0))
    return None
