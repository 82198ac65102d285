"""What is said of marks that have moved since sheets were issued, the same on paper, sheet and screen."""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.model.issues import Marks, MovedMark, Standing
from takeoff.write.words.words import counted, plain

NOT_KNOWN = (
    "Marks may have moved since sheets were issued, and the files of an issue do not tell: compare each mark and "
    "length with the site.pdf of that issue before a sheet is laid."
)


def sheet_words(marks: Marks) -> str:
    """The marks of one sheet: "P1.05", or "P1.05 and P1.09" where two are cut from it."""
    return " and ".join(map(plain, marks))


def moved_words(standing: Standing) -> str:
    """The warning over the table of moved marks; "" where none has moved."""
    if standing.marks is None:
        return NOT_KNOWN if standing.sheets_before else ""
    moved, other = standing.marks.moved, standing.marks.other_lengths
    if not moved:
        return ""
    numbers = ", ".join(map(str, sorted({one.issue for one in moved})))
    issues = f"issue{'s' if ',' in numbers else ''} {numbers}"
    words = f"MARKS HAVE MOVED: {counted(len(moved), 'sheet')} of {issues} stay in use under another mark"
    return (
        f"{words}; {counted(other, 'mark')} on them or on sheets taken back now name another length."
        if other
        else f"{words}."
    )


def moved_rows(moved: Iterable[MovedMark]) -> list[tuple[str, str, str, str]]:
    """Issue, what is written on the sheet, its length, its mark now."""
    return [(str(one.issue), sheet_words(one.written), f"{one.each_mm:.0f}", sheet_words(one.now)) for one in moved]
