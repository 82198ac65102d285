"""start_here.pdf, one page: the house, its totals, what is open, which paper goes to whom, which files there are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import PurePosixPath

from takeoff.basics.rounding import half_up
from takeoff.model.findings import Severity
from takeoff.model.order import Document, Hold, Order, OrderLine, Takeoff
from takeoff.model.order_folder import START
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.papers.blocks import BODY, SMALL, Bar, Beside, Block, Column, Gap, Paper, Picture, Row, Table, Words
from takeoff.write.papers.heads import paper
from takeoff.write.papers.pages import pages_of
from takeoff.write.papers.recorded import places
from takeoff.write.papers.variation import still_to_order
from takeoff.write.words.spoken import spoken
from takeoff.write.words.words import SEVERITY_WORDS, counted, plain, refs_words

_SHARES = (68.0, 112.0)  # of the totals and of the picture beside them
_PICTURE = 78.0  # the highest the house is drawn [mm]
_MOST_FINDINGS = 12
_ORDER = ("the supplier", "what he sells of this order")
_WHOM = {
    "mill_order.pdf": ("the mill", "roof sheets by length, with packs"),
    "flashings.pdf": ("the folder, and the roofer", "sections, lengths to buy, runs"),
    "site.pdf": ("the roofer", "roof plan, a page a plane, purlins, packs"),
    "walls.pdf": ("the cladder", "elevations, cut lengths"),
    "loads.pdf": ("the driver", "what each trip brings"),
    "office.pdf": ("the office", "checks, basis of every figure, cautions"),
    "house.html": ("anybody", "the house to turn, on a screen"),
    "order_sheet.xlsx": ("the office", "the whole order as a workbook: ordered, received"),
    "site_measure.csv": ("the roofer", "form for what is taped on the frame"),
    "takeoff.json": ("programs", "everything, with the working of every figure"),
}


def start_paper(takeoff: Takeoff, view: Drawing | None, names: Sequence[str], said: Callable[[str], str]) -> Paper:
    """The first page of the set; `names` are the files it lies with. As many findings as one page holds."""
    shown = _paper(takeoff, view, names, said, _MOST_FINDINGS, _PICTURE)
    for most, high in ((10, 60.0), (7, 50.0), (4, 40.0), (2, 30.0), (1, 24.0), (0, 16.0)):
        if len(pages_of(shown)) == 1:
            break
        shown = _paper(takeoff, view, names, said, most, high)
    return shown


def _paper(
    takeoff: Takeoff, view: Drawing | None, names: Sequence[str], said: Callable[[str], str], most: int, high: float
) -> Paper:
    house: tuple[Block, ...] = (_totals(takeoff),)
    beside = Beside((house, (_house(view, high),)), _SHARES) if view is not None else Beside((house,))
    blocks: list[Block] = [beside, *_open(takeoff, said, most), Gap()]
    if takeoff.order is not None:
        blocks += [*_comes(takeoff, takeoff.order), Gap()]
    blocks += [Bar("What goes to whom"), _whom(names), Gap(1.0), *_others(names)]
    title = "Start here" if takeoff.order is not None else "Start here: stopped"
    return paper(takeoff, PurePosixPath(START).stem, title, blocks, None if takeoff.order is not None else Document.ALL)


def _house(view: Drawing, high: float) -> Picture:
    """The house from above, without the margin it has as a file of its own."""
    low_x, low_y = view.corner_mm
    wide, tall = (size * view.scale for size in view.paper_mm)
    words = 9.0 * view.scale
    return Picture(view, (low_x, low_y + words, low_x + wide, low_y + tall), high)


def _totals(takeoff: Takeoff) -> Table:
    rows: list[tuple[str, str]] = []
    for roof in takeoff.roofs:
        area = sum(plane.area_mm2 for plane in roof.planes) / 1e6
        plan = sum(plane.plan_area_mm2 for plane in roof.planes) / 1e6
        words = f"{places(area, 2, 2)} m2 on the slope, {places(plan, 2, 2)} m2 in plan"
        rows.append((f"Roof {plain(roof.name)}", f"{counted(len(roof.planes), 'plane')}, {words}"))
    order = takeoff.order
    if order is not None and order.sheets_bought_m > 0.0:
        words = f"{places(order.sheets_bought_m, 3, 2)} m bought, {places(order.sheets_kg, 1, 1)} kg"
        rows.append(("Roof sheets", words))
    net = sum(boards.net_mm2 for boards in takeoff.cladding.boards) / 1e6
    if net > 0.0:
        rows.append(("Walls", f"{places(net, 2, 2)} m2 of cladding, net of openings"))
    if order is not None and order.prices is not None:
        prices = order.prices
        rows.append(("At your rates", f"{places(prices.total, 2, 2)} {plain(prices.currency)}".rstrip()))
    columns = (Column("", bold=True), Column("", share=1.0))
    return Table(columns, tuple(Row(row) for row in rows), BODY)


def _open(takeoff: Takeoff, said: Callable[[str], str], most: int) -> Iterator[Block]:
    """Stops, warnings and holds: what somebody must still do."""
    grave = [f for f in dict.fromkeys(takeoff.findings) if f.severity in (Severity.STOP, Severity.WARN)]
    grave.sort(key=lambda finding: finding.severity is not Severity.STOP)
    yield Bar("What is open")
    rows = []
    for finding in grave[:most]:
        where = f" ({refs_words(finding.refs)})" if finding.refs else ""
        words = said(spoken(f"{finding.text} {finding.advice}{where}", takeoff))
        rows.append(Row((SEVERITY_WORDS[finding.severity], words)))
    if len(grave) > most:
        rows.append(Row(("", f"and {len(grave) - most} more: sheet Checks of the workbook")))
    order = takeoff.order
    if order is not None:
        rows += [Row(row) for row in holds(order)]
    notes = sum(1 for f in dict.fromkeys(takeoff.findings) if f.severity in (Severity.NOTE, Severity.FIXED))
    if notes:
        rows.append(Row(("notes", f"{counted(notes, 'note')} in the sheet Checks of the workbook")))
    if not rows:
        rows.append(Row(("", "Nothing.")))
    yield Table((Column("", bold=True), Column("", share=1.0)), tuple(rows), BODY)


def holds(order: Order) -> Iterator[tuple[str, str]]:
    """What waits for a site measure, a word and a sentence each."""
    if order.sheets_bought_m > 0.0 and order.state is not Hold.RELEASED:
        measured = order.state is Hold.MEASURED
        words = "measured on site, not yet released" if measured else "tape the frame (boxes in site.pdf), then release"
        yield "HOLD", f"roof sheets: {words}"
    if any(line.delivery == "flashings" and line.each_mm > 0.0 for line in order.lines):
        yield "HOLD", "flashings: nothing is folded before the frame is taped"


def _comes(takeoff: Takeoff, order: Order) -> tuple[Block, ...]:
    """What the whole order brings; in what is frozen for an issue, what that issue brings and takes back."""
    standing = takeoff.issued
    if standing is None or not standing.issuing:
        return Bar("What comes"), _deliveries(order)
    return Bar(f"What issue {standing.issuing} brings"), _of_issue(still_to_order(takeoff, order), standing.issuing_of)


def _of_issue(order: Order, deliveries: Sequence[str]) -> Table:
    """Lines of an issue by delivery: what it sends, and what it takes back beside it."""
    columns = (
        Column("delivery", share=1.0, bold=True),
        Column("lines to send", right=True),
        Column("pieces", right=True),
        Column("longest mm", right=True),
        Column("kg", right=True),
        Column("lines taken back", right=True),
        Column("pieces", right=True),
        Column("kg", right=True),
    )
    rows = []
    for name in deliveries:
        lines = [line for line in order.lines if line.delivery == name and not line.labour]
        more, back = ([line for line in lines if (line.count < 0.0) == less] for less in (False, True))
        longest = max((line.each_mm for line in more), default=0.0)
        sent = (_count(more), _pieces(more), f"{longest:.0f}" if longest > 0.0 else "", _kg(more))
        rows.append(Row((name, *sent, _count(back), _pieces(back), _kg(back))))
    return Table(columns, tuple(rows), BODY)


def _count(lines: Sequence[OrderLine]) -> str:
    return str(len(lines)) if lines else ""


def _pieces(lines: Sequence[OrderLine]) -> str:
    pieces = sum(line.count for line in lines if line.each_mm > 0.0)
    return places(pieces, 2) if pieces else ""


def _kg(lines: Sequence[OrderLine]) -> str:
    kg = sum(half_up(line.kg, 1) for line in lines)
    return places(kg, 1, 1) if half_up(kg, 1) != 0.0 else ""


def _deliveries(order: Order) -> Table:
    columns = (
        Column("delivery", share=1.0, bold=True),
        Column("lines", right=True),
        Column("pieces", right=True),
        Column("longest mm", right=True),
        Column("kg", right=True),
        Column("packs of sheets", right=True),
    )
    rows = [
        Row(
            (
                f"{place}. {one.name}",
                str(one.lines),
                places(one.pieces, 2) if one.pieces else "",
                f"{one.longest_mm:.0f}" if one.longest_mm > 0.0 else "",
                places(one.kg, 1, 1) if one.kg > 0.0 else "",
                str(one.packs) if one.packs else "",
            )
        )
        for place, one in enumerate(order.deliveries, start=1)
    ]
    return Table(columns, tuple(rows), BODY)


def _whom(names: Sequence[str]) -> Table:
    rows = []
    for name in names:
        order = PurePosixPath(name).match("order_*.pdf")
        if order or name in _WHOM:
            rows.append(Row((name, *(_ORDER if order else _WHOM[name]))))
    columns = (Column("file", bold=True), Column("goes to"), Column("holds", share=1.0))
    return Table(columns, tuple(rows), BODY)


def _others(names: Sequence[str]) -> Iterator[Block]:
    """The other files, those of one kind together."""
    rest = [name for name in names if name not in (START, *_WHOM) and not PurePosixPath(name).match("order_*.pdf")]
    kinds: dict[str, list[str]] = {}
    for name in rest:
        kinds.setdefault(PurePosixPath(name).suffix, []).append(PurePosixPath(name).stem)
    for kind, stems in kinds.items():
        yield Words(f"{counted(len(stems), 'file')} *{kind}: {', '.join(stems)}", SMALL)
