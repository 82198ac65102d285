"""The template of the order sheet as prepared parts: what the library makes of it, with open places for what differs.

`make_template` writes them to templates/order_sheet.json, for the template that it makes; `prepare_template` prepares
any other, a user's own, with the library. An open place is a name in double brackets: [[title]].
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import asdict
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from takeoff.basics.errors import TakeoffError
from takeoff.basics.records import record

SHEETS = "sheets"  # stands among the parts where the sheets follow
RELATIONS = "xl/worksheets/_rels/sheet{number}.xml.rels"
_PLACE = re.compile(r"\[\[([a-z]+)\]\]")
# number of a row, its sizes as XML, its cells: column, number of its format, value
PreparedRow = tuple[int, str, tuple[tuple[int, int, str | float | None], ...]]


@record
class PreparedSheet:
    """A sheet of the template. `entry` and `names`: what the workbook says of it and of its print titles; `before` and
    `after`: what stands there of its rows; `rows` and `merged`: what it brings of them; `right`: the words on the right
    of its footer; `relations`: its own part of them, as for a picture on it, or none.
    """

    title: str
    entry: str
    names: str
    before: str
    after: str
    rows: tuple[PreparedRow, ...]
    merged: tuple[str, ...]
    right: str
    relations: str


@record
class Prepared:
    """`template`: digest of the file it was prepared from; `formats`: cell formats as XML, the first `own` of them in
    every workbook; `styles`: the format of each style by its name; `parts`: all other parts in the order in which they
    are written."""

    template: str
    formats: tuple[str, ...]
    own: int
    styles: Mapping[str, int]
    sheets: Mapping[str, PreparedSheet]
    parts: Mapping[str, str | bytes]

    def style(self, name: str) -> int:
        """The number of a style's format. Raises TakeoffError where the template lacks it."""
        if name not in self.styles:
            raise TakeoffError(
                f"templates/order_sheet.xlsx: the style takeoff {name} is missing; make the template again"
            )
        return self.styles[name]

    def sheet(self, title: str) -> PreparedSheet:
        """A sheet by its title. Raises TakeoffError where the template lacks it."""
        if title not in self.sheets:
            raise TakeoffError(f"templates/order_sheet.xlsx: the sheet {title} is missing; make the template again")
        return self.sheets[title]


def prepared(template: Path) -> Prepared:
    """The parts prepared from a template: those beside it where they are of this very file, else made anew."""
    data = template.read_bytes()
    return _prepared(data, template.with_suffix(".json"))


@lru_cache(maxsize=1)
def _prepared(data: bytes, beside: Path) -> Prepared:
    found = _read(beside)
    if found is not None and found.template == sha256(data).hexdigest():
        return found
    from takeoff.write.workbook.prepare_template import prepare

    return prepare(data)


def _read(beside: Path) -> Prepared | None:
    """Prepared parts out of a file; None where there is none, or it is half written or of another version."""
    try:
        return prepared_of(beside.read_text(encoding="utf-8"))
    except (OSError, ValueError, TypeError, LookupError, AttributeError):
        return None


def prepared_text(parts: Prepared) -> str:
    """Prepared parts as text, a sheet or part a line. Raises TypeError where one of them is a picture."""
    return _lines(asdict(parts)) + "\n"


def _lines(held: Mapping[str, Any]) -> str:
    """A mapping as JSON, an entry a line."""
    told = (
        _lines(value) if isinstance(value, dict) else json.dumps(value, ensure_ascii=False) for value in held.values()
    )
    return "{\n" + ",\n".join(f"{json.dumps(name)}: {value}" for name, value in zip(held, told, strict=True)) + "\n}"


def prepared_of(text: str) -> Prepared:
    """Prepared parts out of their text."""
    held: dict[str, Any] = json.loads(text)
    sheets = {title: PreparedSheet(**sheet) for title, sheet in held.pop("sheets").items()}
    return Prepared(**held, sheets=sheets)


def fill(text: str, values: Mapping[str, str]) -> str:
    """A text with values in its open places; one that has none stays.

    >>> fill("<a>[[title]]</a>[[other]]", {"title": "Roof"})
    '<a>Roof</a>[[other]]'
    """
    return _PLACE.sub(lambda place: values.get(place[1], place[0]), text)
