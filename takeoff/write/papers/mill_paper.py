"""mill_order.pdf, for the mill: sheets by profile and length, what must be filled in, the packs they are lifted in. A
variation has what is to be made and what is taken back apart."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.items import ItemKind
from takeoff.model.order import Document, Order, OrderLine, Takeoff
from takeoff.write.papers.blocks import Bar, Block, Column, Gap, Kind, Paper, Row, Table, Words
from takeoff.write.papers.heads import paper
from takeoff.write.papers.moved_papers import moved_blocks, on_houses, variation_packs, varied_marks
from takeoff.write.papers.order_heads import field_blocks, head_blocks, letterhead_of, terms_blocks
from takeoff.write.papers.order_papers import MILL_KINDS
from takeoff.write.papers.recorded import places
from takeoff.write.papers.variation import issue_blocks, still_to_order, variations_of
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import number, plain, whole
from takeoff.write.workbook.order_fields import group_of, sheet_fields
from takeoff.write.workbook.workbook_order import line_marks, marks_words
from takeoff.write.workbook.workbook_packs import craned_to

_COLUMNS = (
    Column("line"),
    Column("count", right=True, bold=True),
    Column("length mm", right=True, bold=True),
    Column("total m", right=True),
    Column("kg", right=True),
    Column("marks, written on the end of each sheet", share=1.0),
    Column("made", least_mm=12.0, boxed=True),
)


def mill_paper(takeoff: Takeoff, order: Order, said: Callable[[str], str]) -> Paper | None:
    """The mill's paper; None where no sheet is bought."""
    numbers = {line.id: place for place, line in enumerate(order.lines, start=1)}
    whole_order, order = order, still_to_order(takeoff, order)
    lines = [line for line in order.lines if line.of.kind in MILL_KINDS]
    if not lines:
        return None
    deliveries = tuple(dict.fromkeys(line.delivery for line in lines))
    varied = bool(variations_of(takeoff, deliveries))
    head = letterhead_of(order, lines[0].delivery)
    blocks: list[Block] = [*head_blocks(takeoff, head), Gap(), *issue_blocks(takeoff, deliveries)]
    plain_sheets = [line for line in lines if line.of.kind is not ItemKind.SPARE_SHEET]
    for item in sorted({line.item for line in plain_sheets}):
        mine = sorted((line for line in plain_sheets if line.item == item), key=lambda line: -line.each_mm)
        blocks.append(Bar(said(plain(item_name(mine[0].of)))))
        blocks += _facts(takeoff, item)
        spares = [line for line in lines if line.of.spare_of == item]
        if varied:
            blocks += _varied(takeoff, mine, spares, numbers)
        else:
            blocks.append(_lines(mine, spares, _Said(numbers, _today_marks(mine, order))))
        blocks.append(Gap())
    if varied:
        blocks += variation_packs(takeoff, whole_order)
    else:  # packs and sums of the whole order
        blocks += _sums(whole_order)
        blocks += _packs(whole_order)
    blocks += moved_blocks(takeoff)
    blocks += terms_blocks(head)
    return paper(
        takeoff,
        "mill_order",
        "Mill order, variation: roof sheets" if varied else "Mill order: roof sheets",
        blocks,
        Document.SHEETS,
    )


def _facts(takeoff: Takeoff, item: str) -> Iterator[Block]:
    group = group_of(takeoff, item)
    data = group.profile if group is not None else None
    cover = "" if data is None else f"Cover {whole(data.cover_mm)}, overall {whole(data.overall_mm)} mm. "
    yield Words(f"{cover}Longest first. Cut square, tolerance +/- 5 mm unless agreed otherwise.", keep=True)
    yield from field_blocks(sheet_fields(takeoff, item), str)


@record
class _Said:
    """What a table of sheets says beside their figures: numbers of the lines and marks by their ids, what its sum is
    called."""

    numbers: Mapping[str, int]
    marks: Mapping[str, str]
    all_words: str = "all"


def _today_marks(lines: Sequence[OrderLine], order: Order) -> dict[str, str]:
    return {line.id: on_houses(line_marks(order, line), order.houses) for line in lines}


def _varied(
    takeoff: Takeoff, lines: Sequence[OrderLine], spares: Sequence[OrderLine], numbers: Mapping[str, int]
) -> Iterator[Block]:
    """What is to be made and what is taken back, each with a sum of its own."""
    for words, back in (("To make", False), ("Taken back", True)):
        own = [line for line in lines if (line.count < 0.0) == back]
        beside = [line for line in spares if (line.count < 0.0) == back]
        if own or beside:
            # a line that is in today's order no more has no id: it is known by its length
            ided = [replace(line, id=line.id or f"{line.each_mm!r}") for line in own]
            marks = {line.id: varied_marks(takeoff, line) for line in ided}
            yield Bar(words)
            yield _lines(ided, beside, _Said(numbers, marks, words.lower()))
            yield Gap(1.0)


def _lines(lines: Sequence[OrderLine], spares: Sequence[OrderLine], said: _Said) -> Table:
    rows = [_row(line, said.numbers, said.marks[line.id]) for line in lines]
    if lines:
        metres = half_up(sum(line.total for line in lines), 3)
        kg = half_up(sum(half_up(line.kg, 1) for line in lines), 1)
        count = places(sum(line.count for line in lines), 2)
        longest = f"longest {max(line.each_mm for line in lines):.0f} mm"
        rows.append(Row((said.all_words, count, "", places(metres, 3, 2), _kg(kg), longest, ""), Kind.TOTAL))
    rows += [_row(line, said.numbers, f"spare sheet, not in the total. {plain(line.note)}") for line in spares]
    return Table(_COLUMNS, tuple(rows))


def _row(line: OrderLine, numbers: Mapping[str, int], words: str) -> Row:
    number_ = numbers.get(line.id, 0)
    return Row(
        (
            str(number_) if number_ else "",
            places(line.count, 2),
            f"{line.each_mm:.0f}",
            places(line.total, 3, 2),
            _kg(line.kg),
            words,
            "",
        )
    )


def _kg(kg: float) -> str:
    return places(kg, 1, 1) if half_up(kg, 1) != 0.0 else ""


def _sums(order: Order) -> Iterator[Block]:
    words = f"All sheets: {number(order.sheets_bought_m)} m"
    words += f", {places(order.sheets_kg, 1, 1)} kg" if order.sheets_kg > 0.0 else ""
    words += f"; spare sheets beside them {number(order.spares_m)} m" if order.spares_m > 0.0 else ""
    yield Words(f"{words}.", bold=True)
    if order.site_blanks:
        marks = marks_words(tuple(part.mark for blank in order.site_blanks for part in blank.pieces))
        yield Words(f"Not ordered, cut from sheets on the site: {plain(marks)}.")


def _packs(order: Order) -> Iterator[Block]:
    """What is lifted, so that the mill packs it so."""
    if not order.packs:
        return
    columns = (
        Column("pack", bold=True),
        Column("plane"),
        Column("sheets", right=True),
        Column("longest mm", right=True),
        Column("kg", right=True),
        Column("lifted to", share=1.0),
    )
    rows = [
        Row((pack.id, plain(pack.plane), str(len(pack.sheets)), whole(pack.longest_mm), _kg(pack.kg), craned_to(pack)))
        for pack in order.packs
    ]
    sheets, kg = sum(len(pack.sheets) for pack in order.packs), half_up(sum(pack.kg for pack in order.packs), 1)
    longest = whole(max(pack.longest_mm for pack in order.packs))
    rows.append(Row(("all", "", str(sheets), longest, _kg(kg), ""), Kind.TOTAL))
    yield Bar("Packs, the sheet laid first on top, colour side up")
    yield Table(columns, tuple(rows))
    yield Gap()
