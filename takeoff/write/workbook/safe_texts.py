"""Texts of a job as a workbook or a CSV can hold them: within the limits of cells, headers and sheet names, and never
read as a code or a formula.

Limits from memory of the file format's published description (ECMA-376): 32 767 letters a cell, 255 a header or footer,
31 a sheet name, counted in 16-bit units; `_xHHHH_` in a text stands for the letter of that number.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from takeoff.write.words.words import plain

MOST_CELL = 32_000
MOST_SHEET_NAME = 31
CUT = " ... (cut: the whole text is in takeoff.json)"
_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_NOT_IN_SHEET_NAMES = re.compile(r"[\[\]:*?/\\]")
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "|", "%")
_FIGURE = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?")


def units(text: str) -> int:
    """How long a text is for a workbook: in 16-bit units, so that rare letters count twice.

    >>> units("roof"), units("\\N{HOUSE BUILDING}")
    (4, 2)
    """
    return len(text) if text.isascii() else len(text) + sum(letter > "\uffff" for letter in text)


def cut_to(text: str, most: int) -> str:
    """As much of a text as fits."""
    if units(text) <= most:
        return text
    used = 0
    for place, letter in enumerate(text):
        used += 2 if letter > "\uffff" else 1
        if used > most:
            return text[:place]
    return text


def cell_text(text: str) -> str:
    """A text for a cell: printable, within the limit, with what would be taken for the number of a letter escaped. A
    text that is cut says so at its end.

    >>> cell_text("a\\nb"), cell_text("_x0041_")
    ('a b', '_x005F_x0041_')
    """
    words = _ESCAPE.sub("_x005F_", plain(text))
    return words if units(words) <= MOST_CELL else cut_to(words, MOST_CELL - len(CUT)) + CUT


def header_text(text: str, most: int) -> str:
    """A text for a header or footer, at most `most` units long there: an ampersand begins a code, two stand for one.

    >>> header_text("A & B", 9), header_text("A & B", 3), header_text("&&&", 5)
    ('A && B', 'A ', '&&&&')
    """
    words = ""
    for letter in plain(text):
        more = "&&" if letter == "&" else letter
        if units(words + more) > most:
            break
        words += more
    return words


def sheet_name(text: str, taken: Collection[str] = ()) -> str:
    """A text as the name of a sheet: without signs that none may have, short enough, and unlike those `taken`.

    >>> sheet_name("Roof: main/north"), sheet_name("'x'"), sheet_name(""), sheet_name("Roof", ("roof",))
    ('Roof  main north', 'x', 'Sheet', 'Roof 2')
    """
    lower = {name.lower() for name in taken}
    base = cut_to(_NOT_IN_SHEET_NAMES.sub(" ", plain(text)), MOST_SHEET_NAME).strip(" '") or "Sheet"
    name, number = base, 2
    while name.lower() in lower:
        end = f" {number}"
        name, number = cut_to(base, MOST_SHEET_NAME - len(end)) + end, number + 1
    return name


def csv_text(text: str) -> str:
    """A text for a cell of a CSV: one that a spreadsheet program would run as a formula begins with an apostrophe.

    >>> csv_text("=1+1"), csv_text("-4.5"), csv_text("@sum"), csv_text("P1")
    ("'=1+1", '-4.5', "'@sum", 'P1')
    """
    return f"'{text}" if text.startswith(_BEGINS_A_FORMULA) and not _FIGURE.fullmatch(text) else text
