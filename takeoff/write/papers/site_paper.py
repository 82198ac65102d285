"""site.pdf, for the roofer: roof plan, a page a plane with drawing and cutting list, purlins, packs, rainwater."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil

from takeoff.basics.records import record
from takeoff.model.bought_lengths import Bought, bought_lengths
from takeoff.model.items import Trade
from takeoff.model.order import Document, Order, Takeoff
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.model.sheets import PlaneSheets
from takeoff.model.supplied import SITE_ITEMS
from takeoff.write.drawings.check_dimensions import frame_words, tape_rows
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.papers.blocks import (
    SMALL,
    Beside,
    Block,
    Column,
    Gap,
    Kind,
    NewPage,
    Paper,
    Picture,
    Row,
    Sheet,
    Table,
    Words,
)
from takeoff.write.papers.heads import banner, paper, recorded
from takeoff.write.papers.moved_papers import moved_blocks
from takeoff.write.papers.pages import WIDE_MM, pages_of, room_mm
from takeoff.write.papers.paper_strips import high_mm
from takeoff.write.papers.recorded import places, shown
from takeoff.write.words.bought import pair_words, paired_blanks
from takeoff.write.words.item_names import item_name
from takeoff.write.words.screw_words import screw_words
from takeoff.write.words.words import plain, side_words, whole
from takeoff.write.workbook.workbook_cutting import (
    clear_words,
    hole_lines,
    marking_lines,
    piece_cells,
    setting_out_words,
)
from takeoff.write.workbook.workbook_grid import GRID
from takeoff.write.workbook.workbook_packs import fill_packs
from takeoff.write.workbook.workbook_rainwater import fill_rainwater
from takeoff.write.workbook.workbook_runs import fill_purlin_rows, fill_purlins

_READ = 0.76  # a drawing is not made smaller than this beside its table: letters of 1.9 mm are read at arm's length
_PICTURE = 96.0  # the highest a plane is drawn over its table [mm]
_MANY = 2  # lines of words under a table; more stand in two columns where a page is full
_BOX = 9.0  # height of a box for a taped size [mm]


def site_paper(takeoff: Takeoff, order: Order, drawings: Sequence[Drawing], said: Callable[[str], str]) -> Paper:
    """The roofer's paper."""
    drawn = {drawing.name: drawing for drawing in drawings}
    blocks: list[Block] = [Sheet(drawn["roof_plan"])] if "roof_plan" in drawn else []
    moved = tuple(moved_blocks(takeoff))
    if moved:
        blocks += [NewPage("Marks that have moved", banner(takeoff, Document.SHEETS)), *moved]
    blocks += _planes(takeoff, order, drawn)
    if "purlin_plan" in drawn:
        blocks.append(Sheet(drawn["purlin_plan"]))
    if takeoff.roofing.purlins:
        timber = recorded("Purlins", said, lambda page: fill_purlins(page, takeoff, order))
        rows = recorded("Purlin rows", said, lambda page: fill_purlin_rows(page, takeoff, order))
        blocks += [NewPage("Purlins"), *_fewest(takeoff, (*timber, Gap(4.0), *rows))]
    if order.packs:
        blocks.append(NewPage("Pack list", banner(takeoff, Document.SHEETS)))
        packs = recorded("Pack list", said, lambda page: fill_packs(page, takeoff, order))
        blocks += _fewest(takeoff, (*packs, *_work(order, said)))
    if takeoff.gutters:
        if "rainwater_plan" in drawn:
            blocks.append(Sheet(drawn["rainwater_plan"]))
        blocks.append(NewPage("Rainwater"))
        blocks += _fewest(takeoff, recorded("Rainwater", said, lambda page: fill_rainwater(page, takeoff, order)))
    return paper(takeoff, "site", "For the roofer", blocks, Document.SHEETS)


def _fewest(takeoff: Takeoff, blocks: Sequence[Block]) -> tuple[Block, ...]:
    """Blocks as they are, or with rows closer together where that saves the page of a list's tail."""
    tight = tuple(replace(block, tight=True) if isinstance(block, Table) else block for block in blocks)
    few, many = (len(pages_of(paper(takeoff, "", "x", kept, Document.SHEETS))) for kept in (tight, blocks))
    return tight if few < many else tuple(blocks)


def _work(order: Order, said: Callable[[str], str]) -> Iterator[Block]:
    """What the roofer does to what is bought; that of gutters and walls stands with them."""
    lines = [line for line in order.lines if line.labour and line.of.trade not in (Trade.RAINWATER, Trade.CLADDING)]
    if lines:
        columns = (
            Column("work on site, nothing to buy", share=1.0),
            Column("count", right=True, bold=True),
            Column("unit"),
        )
        rows = (Row((said(plain(item_name(line.of))), places(line.count, 2), line.unit)) for line in lines)
        yield Gap(4.0)
        yield Table(columns, tuple(rows), SMALL)


def _planes(takeoff: Takeoff, order: Order, drawn: Mapping[str, Drawing]) -> Iterator[Block]:
    state = banner(takeoff, Document.SHEETS)
    bought = bought_lengths(order)
    for roof in takeoff.roofs:
        for plane in roof.planes:
            sheets = takeoff.sheets_of(plane.id)
            if sheets is None or not sheets.pieces:
                continue
            drawing = drawn.get(f"sheets_{plane.id}")
            if drawing is not None and not _fits(drawing):
                yield Sheet(drawing)
                drawing = None
            way = "left to right →" if sheets.start_side == "left" else "← right to left"
            title = f"{plane.id}, {side_words(plane)}: {plane.pitch_deg:.1f}°, LAY {way}"
            yield NewPage(title, state)
            subject = _Subject(takeoff, order, plane, sheets, bought, roof.edges_of(plane.id), drawing)
            room = room_mm(paper(takeoff, "", title, (), Document.SHEETS))
            loose = tuple(_plane(subject, tight=False))
            yield from loose if high_mm(loose, WIDE_MM) <= room else _plane(subject, tight=True)


def _fits(drawing: Drawing) -> bool:
    """Whether a plane is drawn large enough to be read over its table."""
    low_x, low_y, high_x, high_y = drawing.parts_mm[0]
    wide, high = (high_x - low_x) / drawing.scale, (high_y - low_y) / drawing.scale
    return min(WIDE_MM / wide, _PICTURE / high) >= _READ


@record
class _Subject:
    """A plane with its sheets, what they are bought in, its edges and the drawing that stands over its table."""

    takeoff: Takeoff
    order: Order
    plane: RoofPlane
    sheets: PlaneSheets
    bought: Mapping[str, Bought]
    edges: tuple[RoofEdge, ...]
    drawing: Drawing | None


def _plane(subject: _Subject, tight: bool) -> Iterator[Block]:
    """Drawing, setting out, boxes to tape, cutting list, what to mark: a page, closer together where it must be."""
    plane, sheets, drawing = subject.plane, subject.sheets, subject.drawing
    if drawing is not None:
        yield Picture(drawing, drawing.parts_mm[0], _PICTURE)
    profile = f"{plain(sheets.profile)}, cover {whole(sheets.cover_mm)}, overall {whole(sheets.overall_mm)}."
    screws = screw_words(subject.takeoff, plane.id)
    seen = "Seen from outside, eave at the foot, dimensions over plane and sheets"
    said = f"{setting_out_words(sheets)} {seen}; {profile} {screws}"
    yield Words(said, SMALL, keep=True)
    yield _check_boxes(subject.takeoff, plane, subject.edges)
    words = frame_words(plane, subject.edges)
    if words:
        yield Words(words, SMALL, keep=True, under_mm=0.5)
    yield replace(_cutting(sheets, subject.bought), tight=tight)
    pairs = paired_blanks(subject.order, {piece.mark for piece in sheets.pieces})
    if pairs:
        words = "TWO OUT OF ONE LENGTH: mark both before the first cut; a wrong cut spoils two sheets."
        yield Words(words, SMALL, bold=True, keep=True)
    holes = [line for hole in subject.takeoff.roofing.holes if hole.plane == plane.id for line in hole_lines(hole)]
    lines = [Words(line, SMALL, under_mm=0.2) for line in (*map(pair_words, pairs), *marking_lines(sheets))]
    lines += [Words(line, SMALL, under_mm=0.2) for line in (*clear_words(sheets), *holes)]
    if tight and len(lines) > _MANY:
        half = ceil(len(lines) / 2)
        yield Beside((tuple(lines[:half]), tuple(lines[half:])))
    else:
        yield from lines


def _check_boxes(takeoff: Takeoff, plane: RoofPlane, edges: tuple[RoofEdge, ...]) -> Table:
    """What to tape, what the frame should measure, and a box for what it does."""
    taped = takeoff.site.measures if takeoff.site is not None else ()
    found = [next((m.mm for m in taped if m.item == item and m.plane == plane.id), None) for item in SITE_ITEMS]
    rows = [(name, length, on_site) for (name, length), on_site in zip(tape_rows(plane, edges), found, strict=True)]
    kept = [row for row in rows if row[1] is not None]
    columns = (Column("check", least_mm=14.0), *(Column(name, share=1.0, boxed=True) for name, _, _ in kept))
    frame = Row(("frame", *(whole(length or 0.0) for _, length, _ in kept)))
    boxes = Row(("on site", *(whole(size) if size is not None else "" for _, _, size in kept)), high_mm=_BOX)
    return Table(columns, (frame, boxes), SMALL)


def _cutting(sheets: PlaneSheets, bought: Mapping[str, Bought]) -> Table:
    """A row a sheet in laying order, as the workbook has it."""
    grid = GRID["Cutting list"]
    left_out = {"qty"}
    kept = [i for i, column in enumerate(grid.columns) if column.heading not in left_out]
    rows = []
    for piece in sheets.pieces:
        cells = piece_cells(piece, bought.get(piece.mark))
        rows.append(Row(tuple(shown(cells[i], grid.columns[i].style) for i in kept)))
    used = [k for k, i in enumerate(kept) if grid.columns[i].style == "blank" or any(row.cells[k] for row in rows)]
    columns = []
    for k in used:
        column = grid.columns[kept[k]]
        words = column.style == "text"
        right = column.style in ("length", "whole", "degrees")
        box = column.style == "blank"
        heading = "bought" if column.heading == "bought mm" else column.heading.removesuffix(" mm")
        columns.append(
            Column(heading, right, least_mm=18.0 if box else 0.0, boxed=box, bold=column.style in ("mark", "length"))
            if not words or column.heading in ("longer side", "cut from")
            else Column(heading, share=column.width)
        )
    lengths = [found.length_mm or 0.0 for piece in sheets.pieces if (found := bought.get(piece.mark)) is not None]
    body = [Row(tuple(row.cells[k] for k in used)) for row in rows]
    total = f"{len(sheets.pieces)} sheets, {places(sum(lengths) / 1000.0, 3, 2)} m bought"
    return Table(tuple(columns), (*body, Row((total,), Kind.NOTE)), SMALL)
