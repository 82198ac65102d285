"""Marks of a supplied list read as ours: "p1.5", "P1.05 to P1.07, P3.02"."""

from __future__ import annotations

import re

_ONE = re.compile(r"p\s*([0-9]{1,4})\s*[.\-/]\s*([0-9]{1,4})(-[0-9]+)?([a-z])?", re.IGNORECASE)
_ROW = re.compile(rf"({_ONE.pattern})\s*(?:to|-|–)\s*({_ONE.pattern})", re.IGNORECASE)
_MOST = 200  # marks in a row


def mark_key(text: str) -> str:
    """A mark without capitals, blanks and noughts before its numbers, "" for what is none.

    >>> mark_key("P1.05"), mark_key("p 1/5a"), mark_key("A7")
    ('p1.5', 'p1.5a', '')
    """
    match = _ONE.fullmatch(text.strip())
    return _key(match.groups()) if match else ""


def _key(groups: tuple[str | None, ...]) -> str:
    plane, strip, run, part = groups[:4]
    return f"p{int(plane or 0)}.{int(strip or 0)}{run or ''}{(part or '').lower()}"


def marks_in(text: str, count: int) -> tuple[str, ...]:
    """The marks of the `count` sheets of a line, by `mark_key`; none where the line does not name each.

    >>> marks_in("P1.05 to P1.07, P3.02", 4)
    ('p1.5', 'p1.6', 'p1.7', 'p3.2')
    >>> marks_in("P1.05 to P1.07", 2), marks_in("kitchen", 1)
    ((), ())
    """
    found: list[str] = []
    for part in re.split(r"[,;]|\band\b", text):
        row = _ROW.fullmatch(part.strip())
        if row is None:
            found.append(mark_key(part))
            continue
        first, last = row.groups()[1:5], row.groups()[6:10]
        steps = int(last[1] or 0) - int(first[1] or 0)
        if first[0] != last[0] or first[2:] != last[2:] or not 0 < steps < _MOST:
            return ()
        found += [_key((first[0], str(int(first[1] or 0) + step), *first[2:])) for step in range(steps + 1)]
    return tuple(found) if len(found) == count and all(found) and len(set(found)) == count else ()
