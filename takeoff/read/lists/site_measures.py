"""Sizes taped on the frame, from the form that a run writes: plane, item, mm. Every fault is told with its row."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.supplied import SITE_ITEMS, SiteMeasure
from takeoff.read.lists.cut_list import plane_name
from takeoff.read.lists.length_words import has_decimal_commas, read_length
from takeoff.read.lists.list_rows import read_tables
from takeoff.read.lists.raw_table import Cell, RawTable, Row

_HEADINGS: Mapping[str, tuple[str, ...]] = {
    "plane": ("plane", "roof plane"),
    "item": ("item", "size", "what"),
    "mm": ("mm", "measured mm", "measured", "site mm", "on site", "on site mm"),
}
_OTHER_NAMES = {"diagonal, rising right": "diagonal 1", "diagonal, rising left": "diagonal 2"}
MOST_MM = 500_000.0


def read_site_measures(path: Path, planes: Collection[str] | None = None) -> tuple[SiteMeasure, ...]:
    """The sizes that are filled in. `planes`: the planes there are, None for any.

    Raises UnreadableFileError with every fault: no headings, an unknown plane or item, a size that is none or is given
    twice, nothing filled in.
    """
    tables = read_tables(path)
    if not tables:
        raise UnreadableFileError(f"{path}: has no sheet that is not hidden")
    table = tables[0]
    columns = _columns(table)
    below = [row for row in table.rows if row.number > columns["row"]]
    at = columns["mm"]
    commas = has_decimal_commas([row.cells[at] for row in below if at < len(row.cells)], table.delimiter)
    found: dict[tuple[str, str], SiteMeasure] = {}
    faults: list[str] = []
    for row in table.rows:
        if row.number <= columns["row"]:
            continue
        try:
            measure = _measure(row, columns, table, planes, commas)
        except ValueError as err:
            faults.append(f"{table.place(row.number)}: {err}")
            continue
        if measure is None:
            continue
        first = found.setdefault((measure.plane, measure.item), measure)
        if first is not measure:
            faults.append(
                f"{table.place(row.number)}: {measure.item} of {measure.plane} stands in row {first.row} already"
            )
    if not found and not faults:
        faults.append(f"{path.name}: no size is filled in under mm")
    if faults:
        raise UnreadableFileError(*faults[:20])
    return tuple(found.values())


def _columns(table: RawTable) -> dict[str, int]:
    for row in table.rows[:20]:
        words = [str(cell).strip().lower() if cell is not None else "" for cell in row.cells]
        found = {
            kind: next((i for i, word in enumerate(words) if word in names), -1) for kind, names in _HEADINGS.items()
        }
        if -1 not in found.values():
            for kind, names in _HEADINGS.items():
                if (double := sum(word in names for word in words)) > 1:
                    raise UnreadableFileError(f"{table.place(row.number)}: {double} columns for {kind}; keep one")
            return {**found, "row": row.number}
    raise UnreadableFileError(f"{table.file}: no row with the headings plane, item, mm")


def _measure(
    row: Row, columns: Mapping[str, int], table: RawTable, planes: Collection[str] | None, commas: bool
) -> SiteMeasure | None:
    def cell(kind: str) -> Cell:
        return row.cells[columns[kind]] if columns[kind] < len(row.cells) else None

    odd = table.odd.get((row.number, columns["mm"]), "")
    if odd:
        raise ValueError(odd)
    size = cell("mm")
    if size is None:
        return None
    plane = plane_name(str(cell("plane") or "").strip())
    if not plane:
        raise ValueError("names no plane")
    if planes is not None and plane not in planes:
        raise ValueError(f"{plane} is no plane of this job; it has {', '.join(planes)}")
    item = " ".join(str(cell("item") or "").lower().split())
    item = _OTHER_NAMES.get(item, item)
    if item not in SITE_ITEMS:
        hint = did_you_mean(item, SITE_ITEMS, f"; known: {', '.join(SITE_ITEMS)}")
        raise ValueError(f"{item or 'nothing'} is no size that is taped{hint}")
    return SiteMeasure(plane, item, read_length(size, "mm", MOST_MM, commas).mm, row.number)
