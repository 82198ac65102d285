"""Marks of a variation on paper: which sheets are to be made or taken back, and what those of earlier issues are
called now."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.rounding import half_up
from takeoff.model.houses import Houses
from takeoff.model.order import Order, OrderLine, PackedSheet, Takeoff
from takeoff.write.papers.blocks import SMALL, Bar, Block, Column, Gap, Row, Table, Words
from takeoff.write.papers.recorded import places
from takeoff.write.words.mark_words import moved_rows, moved_words
from takeoff.write.words.words import counted, plain, whole
from takeoff.write.workbook.workbook_order import marks_words
from takeoff.write.workbook.workbook_packs import craned_to


def on_houses(words: str, houses: Houses | None) -> str:
    """Marks of one house, said of all where the order is for several."""
    return houses.on_marks(words) if houses is not None and words else words


def varied_marks(takeoff: Takeoff, line: OrderLine) -> str:
    """The marks of what a varied line makes, or of what it takes back as they stand on the sheets."""
    back = line.count < 0.0
    gone = "; no longer wanted" if back and line.note == "no longer wanted" else ""
    known = takeoff.issued.marks if takeoff.issued is not None else None
    if known is None:
        return "marks: see the earlier issue" + gone if back else "marks: see the cutting lists"
    found = next(
        (one for one in (known.back if back else known.make) if (one.item, one.each_mm) == (line.item, line.each_mm)),
        None,
    )
    if found is None:
        return gone.removeprefix("; ")
    single = tuple(marks[0] for marks in found.sheets if len(marks) == 1)
    shared = [f"{marks[0]} ({marks_words(marks[1:])} cut from it)" for marks in found.sheets if len(marks) > 1]
    words = ", ".join((*([marks_words(single)] if single else []), *shared))
    houses = takeoff.order.houses if takeoff.order is not None else None
    return on_houses(words, houses) + gone


def variation_packs(takeoff: Takeoff, order: Order) -> Iterator[Block]:
    """What of each pack is to be made; what is bought before lies in it already."""
    known = takeoff.issued.marks if takeoff.issued is not None else None
    made = {marks[0] for line in known.make for marks in line.sheets} if known is not None else set()
    rows = []
    for pack in order.packs:
        own: list[PackedSheet] = [sheet for sheet in pack.sheets if sheet.mark in made]
        if own:
            kg = half_up(sum(sheet.kg for sheet in own), 1)
            longest = whole(max(sheet.length_mm for sheet in own))
            cells = (pack.id, plain(pack.plane), str(len(own)), longest, places(kg, 1, 1) if kg else "")
            rows.append(Row((*cells, marks_words(tuple(sheet.mark for sheet in own)), craned_to(pack))))
    if not rows:
        return
    columns = (
        Column("pack", bold=True),
        Column("plane"),
        Column("sheets", right=True),
        Column("longest mm", right=True),
        Column("kg", right=True),
        Column("to make, the sheet laid first on top", share=1.0),
        Column("lifted to", share=1.0),
    )
    yield Bar("Packs of what is to be made, colour side up")
    yield Table(columns, tuple(rows), SMALL)
    yield Gap()


def moved_blocks(takeoff: Takeoff) -> Iterator[Block]:
    """The warning and the table of marks, only of sheets that are called otherwise now."""
    standing = takeoff.issued
    words = moved_words(standing) if standing is not None else ""
    if standing is None or not words:
        return
    yield Bar("Marks on sheets of earlier issues", strong=True)
    yield Words(words, bold=True, keep=True)
    if standing.marks is None:
        return
    rows = [Row(cells) for cells in moved_rows(standing.marks.moved)]
    houses = takeoff.order.houses if takeoff.order is not None else None
    if houses is not None:
        yield Words(f"The same in each of {houses.words}.", keep=True)
    columns = (
        Column("issue"),
        Column("mark on the sheet", share=1.0, bold=True),
        Column("length mm", right=True),
        Column("mark now", share=1.0, bold=True),
    )
    yield Table(columns, tuple(rows), SMALL)
    yield Words(f"{counted(len(rows), 'sheet')}; every other sheet keeps its mark.", SMALL)
    yield Gap()
