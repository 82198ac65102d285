"""Plain tables: one record for what is shown on the screen and what is written into a workbook of differences."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.differences import Change, Comparison, ListCheck, ListDifference, MarkChange
from takeoff.model.findings import Finding
from takeoff.write.words.words import SEVERITY_WORDS, number, plain, refs_words
from takeoff.write.workbook.workbook_order import marks_words

Cell = str | float | int | None

_KINDS = {
    "term": "what was set",
    "plane": "planes",
    "edge": "edges",
    "sheet": "sheets",
    "downpipe": "downpipes",
    "wall": "walls",
    "order line": "order lines",
}


@record
class Table:
    """Headings and rows. `right`: which columns hold figures. `says`: a line over the table."""

    title: str
    says: str
    headings: tuple[str, ...]
    right: tuple[bool, ...]
    rows: tuple[tuple[Cell, ...], ...]


def in_trade_words(tables: Iterable[Table], said: Callable[[str], str]) -> tuple[Table, ...]:
    """The tables with the trade's word in place of the other; what was set keeps the words of the file."""
    own = _KINDS["term"].capitalize()
    return tuple(
        table
        if table.title == own
        else replace(
            table,
            title=said(table.title),
            says=said(table.says),
            rows=tuple(tuple(said(cell) if isinstance(cell, str) else cell for cell in row) for row in table.rows),
        )
        for table in tables
    )


def check_tables(check: ListCheck) -> tuple[Table, ...]:
    """Differences, then the tally by plane, then what was taken while reading."""
    within = "plane by plane" if check.by_plane else "by totals, since the list does not name its planes"
    name = f"{check.file}, sheet {check.sheet}" if check.sheet else check.file
    says = f"{plain(name)} against ours, {within}; within {number(check.tolerance_mm)} mm a sheet is the same."
    rows = tuple(_difference_row(difference) for difference in check.differences)
    headings = (
        "fault",
        "plane",
        "profile",
        "sheets",
        "ours mm",
        "reach mm",
        "theirs mm",
        "difference mm",
        "our marks",
        "their rows",
    )
    right = (False, False, False, True, True, True, True, True, False, False)
    tally = Table(
        "Tally",
        "Sheets and metres in both lists.",
        ("plane", "profile", "ours", "theirs", "agree", "ours m", "theirs m"),
        (False, False, True, True, True, True, True),
        tuple(
            (plain(t.plane) or "all", plain(t.profile) or "all", t.ours, t.theirs, t.agree, t.ours_m, t.theirs_m)
            for t in check.tallies
        ),
    )
    return (Table("Differences", says, headings, right, rows), tally, *finding_tables(check.findings))


def _difference_row(difference: ListDifference) -> tuple[Cell, ...]:
    both = difference.ours_mm and difference.theirs_mm
    return (
        difference.fault.value,
        plain(difference.plane) or "all",
        plain(difference.profile) or "all",
        difference.count,
        half_up(difference.ours_mm, 1) or None,
        half_up(difference.reach_mm, 1) or None,
        half_up(difference.theirs_mm, 1) or None,
        half_up(difference.theirs_mm - difference.ours_mm, 1) if both else None,
        marks_words(difference.marks),
        _rows_words(difference.rows),
    )


def _rows_words(rows: tuple[int, ...]) -> str:
    shown = ", ".join(map(str, rows[:12]))
    return f"{shown} and {len(rows) - 12} more" if len(rows) > 12 else shown


def comparison_tables(comparison: Comparison) -> tuple[Table, ...]:
    """A table a kind of thing that changed."""
    tables = []
    for kind, title in _KINDS.items():
        changes = [change for change in comparison.changes if change.kind == kind]
        if not changes:
            continue
        rows = tuple((names, plain(c.what), plain(c.old), plain(c.new), plain(c.by)) for names, c in _grouped(changes))
        headings = ("which", "what", "old", "new", "change")
        right = (False, False, True, True, True) if kind != "term" else (False,) * 5
        tables.append(Table(title.capitalize(), f"{comparison.moved}".strip(), headings, right, rows))
    return tuple(tables)


def _grouped(changes: list[Change]) -> list[tuple[str, Change]]:
    """Changes with the names they go by; sheets of one mark that change alike, one after the other, on one line."""
    found: list[tuple[list[str], Change]] = []
    for change in changes:
        last = found[-1] if found else None
        same = change.kind == "sheet" and change.old_name == change.new_name
        if (
            last is not None
            and same
            and replace(last[1], old_name="", new_name="") == replace(change, old_name="", new_name="")
            and last[1].old_name == last[1].new_name
        ):
            last[0].append(change.new_name)
        else:
            found.append(([_names(change.old_name, change.new_name)], change))
    return [(marks_words(tuple(names)) if len(names) > 1 else names[0], change) for names, change in found]


def _names(old: str, new: str) -> str:
    if not old or not new:
        return plain(new or old)
    return plain(new) if old == new else plain(f"{old}, now {new}")


def measured_tables(changes: tuple[MarkChange, ...]) -> tuple[Table, ...]:
    """The sheets whose bought length changed, a line each; then by plane those that did not."""
    rows: list[tuple[Cell, ...]] = []
    same: dict[str, list[str]] = {}
    for change in changes:
        if (change.old_mm, change.old) == (change.new_mm, change.new):
            same.setdefault(change.plane, []).append(change.mark)
            continue
        by = half_up(change.new_mm - change.old_mm, 0) if change.old_mm and change.new_mm else None
        rows.append((change.plane, change.mark, change.old or "none", change.new or "none", by))
    says = f"{len(rows)} of {len(changes)} bought lengths change with the sizes measured on site."
    right = (False, False, True, True, True)
    changed = Table(
        "Changed sheets", says, ("plane", "mark", "drawn mm", "measured mm", "change mm"), right, tuple(rows)
    )
    kept = tuple((plane, len(marks), marks_words(tuple(marks))) for plane, marks in same.items())
    unchanged = Table("Unchanged sheets", "As drawn.", ("plane", "sheets", "marks"), (False, True, False), kept)
    return changed, unchanged


def finding_tables(findings: tuple[Finding, ...]) -> tuple[Table, ...]:
    """Findings as a table, none for none."""
    if not findings:
        return ()
    rows = tuple(
        (SEVERITY_WORDS[f.severity], plain(f.text), plain(f.advice), refs_words(f.refs))
        for f in dict.fromkeys(findings)
    )
    headings = ("", "finding", "what to do", "where")
    return (Table("Checks", "What was noticed.", headings, (False,) * 4, rows),)
