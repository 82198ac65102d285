"""The tables of the order papers: lines with a sum for each item, and sheets of walls, which are made to length."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from takeoff.basics.rounding import half_up
from takeoff.model.order import HOLD, Order, OrderLine, Takeoff
from takeoff.write.papers.blocks import Bar, Block, Column, Gap, Kind, Row, Table, Words
from takeoff.write.papers.order_heads import field_blocks
from takeoff.write.papers.recorded import places
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import counted, plain, whole
from takeoff.write.workbook.order_fields import group_of, sheet_fields
from takeoff.write.workbook.workbook_order import line_marks

WALL_SHEET = "wall_sheet"  # the sort of the sheets that a wall is clad in


def lines_words(numbers: Sequence[int]) -> str:
    """Numbers of lines in words, neighbours joined.

    >>> lines_words((20, 21, 22, 57))
    'lines 20 to 22, 57'
    >>> lines_words((63,))
    'line 63'
    """
    stretches: list[list[int]] = []
    for number in sorted(numbers):
        if stretches and stretches[-1][-1] == number - 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    parts = [str(one[0]) if len(one) == 1 else f"{one[0]} to {one[-1]}" for one in stretches]
    return f"line{'s' if len(numbers) > 1 else ''} {', '.join(parts)}"


def lines_table(lines: Sequence[OrderLine], numbers: Mapping[str, int], said: Callable[[str], str]) -> Table:
    """Lines with a sum for each item that takes several; metres of two items are never put together."""
    notes, masses = any(line.note for line in lines), any(_kg(line) for line in lines)
    columns = (
        Column("line"),
        Column("item", share=2.2),
        Column("count", right=True, bold=True),
        Column("unit"),
        Column("length mm", right=True, bold=True),
        Column("total", right=True),
        Column("unit"),
        *((Column("kg", right=True),) if masses else ()),
        *((Column("note", share=1.0),) if notes else ()),
        Column("received", boxed=True),
    )

    def row(cells: tuple[str, ...], kg: str, note: str, kind: Kind = Kind.LINE) -> Row:
        return Row((*cells, *((kg,) if masses else ()), *((note,) if notes else ()), ""), kind)

    rows = []
    for item in dict.fromkeys(line.item for line in lines):
        mine = [line for line in lines if line.item == item]
        rows += [row(_cells(line, numbers, said), _kg(line), said(plain(line.note))) for line in mine]
        metres = [line for line in mine if line.each_mm > 0.0 and line.total_unit == "m"]
        if len(metres) > 1:
            rows.append(row(*_item_sum(metres), "", Kind.TOTAL))
    rows.append(row(*_all(lines, masses), "", Kind.TOTAL))
    return Table(columns, tuple(rows))


def _cells(line: OrderLine, numbers: Mapping[str, int], said: Callable[[str], str]) -> tuple[str, ...]:
    number_ = numbers.get(line.id, 0)
    metres = line.total_unit in ("m", "m2")
    return (
        str(number_) if number_ else "",
        said(plain(item_name(line.of))),
        places(line.count, 2),
        line.unit,
        f"{line.each_mm:.0f}" if line.each_mm > 0.0 else "",
        places(line.total, 3, 2) if metres else places(line.total, 2),
        line.total_unit,
    )


def _kg(line: OrderLine) -> str:
    kg = half_up(line.kg, 1)
    return places(kg, 1, 1) if kg != 0.0 else ""


def _kg_sum(lines: Sequence[OrderLine]) -> str:
    kg = half_up(sum(half_up(line.kg, 1) for line in lines), 1)
    return places(kg, 1, 1) if kg != 0.0 else ""


def _item_sum(lines: Sequence[OrderLine]) -> tuple[tuple[str, ...], str]:
    metres = half_up(sum(line.total for line in lines), 3)
    count = places(sum(line.count for line in lines), 2)
    return ("", "together", count, lines[0].unit, "", places(metres, 3, 2), "m"), _kg_sum(lines)


def _all(lines: Sequence[OrderLine], masses: bool) -> tuple[tuple[str, ...], str]:
    """How many lines, their mass, the longest piece."""
    longest = max(line.each_mm for line in lines)
    unweighed = sum(1 for line in lines if line.kg == 0.0)
    words = counted(len(lines), "line")
    words += "; longest piece" if longest > 0.0 else ""
    words += f"; {counted(unweighed, 'line')} without a mass" if masses and unweighed else ""
    return ("", words, "", "", f"{longest:.0f}" if longest > 0.0 else "", "", ""), _kg_sum(lines)


def wall_sheet_blocks(
    takeoff: Takeoff, order: Order, lines: Sequence[OrderLine], numbers: Mapping[str, int], said: Callable[[str], str]
) -> Iterator[Block]:
    """Sheets of walls as the mill makes them: on hold until the wall is taped, a block a profile."""
    if not lines:
        return
    yield Bar(HOLD, strong=True)
    for item in dict.fromkeys(line.item for line in lines):
        mine = sorted((line for line in lines if line.item == item), key=lambda line: -line.each_mm)
        yield Bar(said(plain(item_name(mine[0].of))))
        group = group_of(takeoff, item)
        data = group.profile if group is not None else None
        cover = "" if data is None else f"Cover {whole(data.cover_mm)}, overall {whole(data.overall_mm)} mm. "
        yield Words(f"{cover}Longest first. Cut square, tolerance +/- 5 mm unless agreed otherwise.", keep=True)
        yield from field_blocks(sheet_fields(takeoff, item), said)
        yield _wall_sheets(order, mine, numbers, said)
        yield Gap()


def _wall_sheets(
    order: Order, lines: Sequence[OrderLine], numbers: Mapping[str, int], said: Callable[[str], str]
) -> Table:
    columns = (
        Column("line"),
        Column("count", right=True, bold=True),
        Column("length mm", right=True, bold=True),
        Column("total m", right=True),
        Column("kg", right=True),
        Column("marks, written on the end of each sheet", share=1.0),
        Column("note", share=0.5),
        Column("made", least_mm=12.0, boxed=True),
    )
    rows = [
        Row(
            (
                str(numbers.get(line.id, "")),
                places(line.count, 2),
                f"{line.each_mm:.0f}",
                places(line.total, 3, 2),
                _kg(line),
                line_marks(order, line),
                said(plain(line.note)),
                "",
            )
        )
        for line in lines
    ]
    metres, count = half_up(sum(line.total for line in lines), 3), places(sum(line.count for line in lines), 2)
    longest = f"longest {max(line.each_mm for line in lines):.0f} mm"
    rows.append(Row(("all", count, "", places(metres, 3, 2), _kg_sum(lines), longest, "", ""), Kind.TOTAL))
    return Table(columns, tuple(rows))
