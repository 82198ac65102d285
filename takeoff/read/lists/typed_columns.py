"""What people typed into the columns "ordered" and "received" of an order sheet that was written before.

Read by the headings of the columns, so that a column put in between does no harm. Sheets are read no further down and
across than an order goes, whatever the file says of its size.
"""

from __future__ import annotations

import datetime
import io
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.ordered import Typed, TypedBefore, TypedLine
from takeoff.read.lists.workbook_guard import check_workbook, readable

_SHEETS = {"Order": "item", "Mill order": "profile", "Not matched": "item"}
_SPARE = "spare sheet"
_MOST_ROWS, _MOST_COLUMNS, _MOST_LETTERS = 6000, 24, 200


def typed_before(path: Path) -> TypedBefore:
    """What was typed into a workbook; nothing where there is none."""
    if not path.is_file():
        return TypedBefore()
    try:
        data = path.read_bytes()
        check_workbook(path, data)
        with readable(path, "damaged, it does not open as a workbook"):
            return TypedBefore(tuple(_lines(data)))
    except (UnreadableFileError, OSError) as err:
        return TypedBefore(fault=str(err))


def _lines(data: bytes) -> Iterator[TypedLine]:
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        try:
            for sheet in book.worksheets:
                if sheet.title in _SHEETS:
                    yield from _of_sheet(sheet, sheet.title)
        finally:
            book.close()


def _of_sheet(sheet: Any, title: str) -> Iterator[TypedLine]:
    places: dict[str, int] = {}
    group, after = "", False
    for row in sheet.iter_rows(max_row=_MOST_ROWS, max_col=_MOST_COLUMNS, values_only=True):
        words = [_text(value) for value in row]
        if {"ordered", "received", "length mm", _SHEETS[title]} <= set(words):
            places = {word: place for place, word in reversed(list(enumerate(words))) if word}
            continue
        if not places:
            continue
        name = words[places[_SHEETS[title]]]
        if title == "Mill order":  # the bar over the lines names them; notes stand under it
            alone = bool(name) and not any(words[1:])
            group = name if alone and not after else group
            after = alone
            name = f"{group}, {_SPARE}" if name == _SPARE else group
        ordered, received = (_value(row[places[what]]) for what in ("ordered", "received"))
        if ordered == "" and received == "":
            continue
        length = row[places["length mm"]]
        of = words[places["sheet"]] if "sheet" in places else title
        yield TypedLine(of, name, float(length) if isinstance(length, int | float) else 0.0, ordered, received)


def _text(value: object) -> str:
    return "" if value is None else " ".join(str(value).split())


def _value(value: object) -> Typed:
    """A number as it is, a day as 2026-03-02, anything else as words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return float(value)
    if isinstance(value, datetime.datetime):
        return value.date().isoformat() if value.time() == datetime.time() else value.isoformat(" ", "minutes")
    return _text(value)[:_MOST_LETTERS]
