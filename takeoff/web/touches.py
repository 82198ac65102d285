"""What a touched mark means: which parts of the house and lines of the order belong to it, and what is said of it.

All of it is read out of the data of the house in space (`write/house_view/page_data.py`), whose words these are.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from takeoff.basics.records import record
from takeoff.model.order import Takeoff

Data = Mapping[str, Any]
_DRAWN = re.compile(r"roof (\d+)(?: (edge|corner) (\d+))?")
_LINE = re.compile(r"line \d+")
MOST_MARKS = 60  # shown of what an order line goes to


@record
class Term:
    """A term of a working: its name with its value, and what it rests on."""

    said: str
    basis: str


@record
class Card:
    """What is said of what is touched. `part_of`: the mark of the whole it belongs to, "" for none; `lines`: order
    lines as (id, words); `marks`: parts that an order line goes to, as many as are shown, `more` are not."""

    title: str
    facts: tuple[str, ...] = ()
    part_of: str = ""
    lines: tuple[tuple[str, str], ...] = ()
    marks: tuple[str, ...] = ()
    more: int = 0
    rule: str = ""
    terms: tuple[Term, ...] = ()


def own_marks(takeoff: Takeoff | None, mark: str) -> tuple[str, ...]:
    """The marks that a touched one stands for: of an edge as it was drawn ("roof 1 edge 5") those of the roof's edges
    that lie on it, of a whole roof or a corner of it ("roof 1", "roof 1 corner 3") its planes, else itself; none for
    none."""
    found = _DRAWN.fullmatch(mark)
    if not mark or _LINE.fullmatch(mark):  # a line of the job file is no part of the house
        return ()
    if found is None or takeoff is None:
        return (mark,)
    roof_number, edge_number = int(found[1]), int(found[3] or 0)
    if not 1 <= roof_number <= len(takeoff.job.roofs):
        return ()
    roofs = [roof for roof in takeoff.roofs if roof.name == takeoff.job.roofs[roof_number - 1].name]
    if found[2] != "edge":
        return tuple(plane.id for roof in roofs for plane in roof.planes)
    return tuple(edge.id for roof in roofs for edge in roof.own_edges if edge_number in edge.outline_edges)


def told_marks(takeoff: Takeoff | None, mark: str) -> tuple[str, ...]:
    """As `own_marks`; of what was drawn and is in no roof yet, itself."""
    return own_marks(takeoff, mark) or ((mark,) if _DRAWN.fullmatch(mark) else ())


def line_of(data: Data, mark: str) -> Data | None:
    """The order line of that id; None for none."""
    return next((line for line in data["lines"] if line["i"] == mark), None)


def places_of(data: Data, marks: Sequence[str]) -> tuple[int, ...]:
    """Places of the parts that marks or an order line name, each once."""
    names = data["names"]
    found: dict[int, None] = {}
    for mark in marks:
        line = line_of(data, mark)
        for name in line["r"] if line is not None else (mark,):
            found.update(dict.fromkeys(names.get(name, ())))
    return tuple(found)


def lines_at(data: Data, places: Sequence[int]) -> tuple[Data, ...]:
    """The order lines that name any of the parts, in their order."""
    wanted, names = set(places), data["names"]
    return tuple(
        line for line in data["lines"] if any(place in wanted for name in line["r"] for place in names.get(name, ()))
    )


def lit_marks(data: Data | None, marks: Sequence[str]) -> tuple[str, ...]:
    """What is lit when marks are touched: they themselves, the parts of an order line, the order lines of a part."""
    if data is None or not marks:
        return tuple(marks)
    places = places_of(data, marks)
    if any(line_of(data, mark) is not None for mark in marks):
        return tuple(dict.fromkeys((*marks, *(data["parts"][place]["m"] for place in places))))
    return tuple(dict.fromkeys((*marks, *(line["i"] for line in lines_at(data, places)))))


def card_of(data: Data | None, marks: Sequence[str]) -> Card | None:
    """What is said of touched marks; None where nothing is touched."""
    if not marks:
        return None
    if data is None:
        return Card(marks[0])
    line = line_of(data, marks[0])
    if line is not None:
        return _line_card(data, line)
    places = places_of(data, marks)
    if not places:
        return Card(marks[0], ("It has no part of its own in the house as it was last worked out.",))
    if len(places) > 1:
        return _several(data, marks, places)
    return _part_card(data, places[0])


def _part_card(data: Data, place: int) -> Card:
    part = data["parts"][place]
    whole = part["o"] if part["o"] != part["m"] and part["o"] in data["names"] else ""
    lines = tuple((line["i"], _line_words(line)) for line in lines_at(data, (place,)))
    rule, terms = _working(data, part.get("w"))
    title = f"{part['m']}, {data['words'].get(part['k'], part['k'])}"
    return Card(title, tuple(part["f"]), whole, lines, rule=rule, terms=terms)


def _several(data: Data, marks: Sequence[str], places: Sequence[int]) -> Card:
    """Several parts under one name: a gutter of many legs, a roof edge in two stretches."""
    parts = [data["parts"][place] for place in places]
    lines = tuple((line["i"], _line_words(line)) for line in lines_at(data, places))
    shown = tuple(dict.fromkeys(part["m"] for part in parts))
    title = f"{', '.join(marks[:3])}: {len(parts)} parts"
    return Card(title, (), "", lines, shown[:MOST_MARKS], max(0, len(shown) - MOST_MARKS))


def _line_card(data: Data, line: Data) -> Card:
    said = (
        " = ".join(filter(None, (line["c"], line.get("s", "")))),
        line.get("kg", ""),
        f"delivered with {line['d']}",
        line.get("n", ""),
        line.get("w", ""),
    )
    places = places_of(data, (line["i"],))
    marks = tuple(dict.fromkeys(data["parts"][place]["m"] for place in places))
    facts = tuple(filter(None, said)) + (() if marks else ("For the whole house, no place of its own.",))
    title = f"{line['i']}, {line['t']}"
    return Card(title, facts, "", (), marks[:MOST_MARKS], max(0, len(marks) - MOST_MARKS))


def _line_words(line: Data) -> str:
    return ", ".join(filter(None, (line["i"], line["t"], line["c"], line.get("s", ""))))


def _working(data: Data, at: int | None) -> tuple[str, tuple[Term, ...]]:
    if at is None:
        return "", ()
    rule, terms = data["workings"][at]
    bases = data["bases"]
    found = [Term(f"{name} {value}", "measured on the shape" if of < 0 else bases[of]) for name, value, of in terms]
    return rule, tuple(found)
