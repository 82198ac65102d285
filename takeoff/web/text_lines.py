"""The text of a job file as lines: what is said of which, what changed since it was saved, and line ends kept."""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import SequenceMatcher

from takeoff.basics.records import record

_PLACE = re.compile(r"[^:\n]*:(?P<line>\d+):(?P<column>\d+):? ?")
_END = re.compile(r"\r\n|\n|\r")
_MOST = 4000  # lines that are compared


@record
class SaidOfLine:
    """Something said of a line of the job file, from 1; 0 where it is said of none."""

    line: int
    words: str


def said_of_line(words: str, place: str = "") -> SaidOfLine:
    """A fault that begins with file, line and column, or words with such a place beside them."""
    found = _PLACE.match(place) if place else _PLACE.match(words)
    if found is None:
        return SaidOfLine(0, words)
    return SaidOfLine(int(found["line"]), words if place else words[found.end() :])


@record
class DiffLine:
    """A line that is new ("+"), gone ("-") or beside such (" "), with its number as it is now, else as it was."""

    sign: str
    number: int
    text: str


def changed_lines(before: str, now: str, around: int = 1) -> tuple[DiffLine, ...]:
    """What changed between two texts, with `around` lines that did not on either side."""
    was, are = _END.split(before), _END.split(now)
    if max(len(was), len(are)) > _MOST:
        return () if was == are else (DiffLine(" ", 0, "more lines than are compared here"),)
    found: list[DiffLine] = []
    for group in SequenceMatcher(None, was, are, autojunk=False).get_grouped_opcodes(around):
        for kind, i, j, k, m in group:
            if kind == "equal":
                found += [DiffLine(" ", number + 1, are[number]) for number in range(k, m)]
            else:
                found += [DiffLine("-", number + 1, was[number]) for number in range(i, j)]
                found += [DiffLine("+", number + 1, are[number]) for number in range(k, m)]
    return tuple(found)


def with_ends_of(text: str, model: str) -> str:
    """A text whose lines end in \\n, as browsers give it, with the line ends of `model`: a line that stands there too
    keeps its own, a new one has that which most have there."""
    ends = _END.findall(model)
    usual = max(sorted(set(ends)), key=ends.count, default="\n")
    if set(ends) <= {"\n"}:
        return text
    lines, was = text.split("\n"), _END.split(model)
    kept = [usual] * len(lines)
    if len(set(ends)) > 1 and max(len(lines), len(was)) <= _MOST:
        for at, to, many in SequenceMatcher(None, was, lines, autojunk=False).get_matching_blocks():
            for n in range(many):
                kept[to + n] = ends[at + n] if at + n < len(ends) else usual
    return "".join(line + end for line, end in zip(lines, (*kept[: len(lines) - 1], ""), strict=True))


def plain_ends(text: str) -> str:
    """A text as a browser holds it: every line ends in \\n."""
    return _END.sub("\n", text)


def counted(said: Iterable[SaidOfLine]) -> dict[int, int]:
    """How much is said of each line; of none left out."""
    lines: dict[int, int] = {}
    for one in said:
        if one.line:
            lines[one.line] = lines.get(one.line, 0) + 1
    return lines
