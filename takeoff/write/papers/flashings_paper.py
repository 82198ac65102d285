"""flashings.pdf, for the folder: each section drawn with its legs and angles, what is bought of it, and its runs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from takeoff.basics.rounding import half_up
from takeoff.model.items import DELIVERY_OF, Trade
from takeoff.model.measured import FlashingRun
from takeoff.model.order import Document, Order, Takeoff
from takeoff.model.runs import CutPlan
from takeoff.write.drawings.drawing import Drawing, Shows
from takeoff.write.papers.blocks import SMALL, Bar, Block, Column, Gap, Kind, Paper, Picture, Row, Table, Words
from takeoff.write.papers.heads import paper
from takeoff.write.papers.order_heads import field_blocks, head_blocks, letterhead_of
from takeoff.write.papers.recorded import places
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import number, plain, whole
from takeoff.write.workbook.order_fields import fields_words, flashing_fields
from takeoff.write.workbook.workbook_flashings import run_item, section_words
from takeoff.write.workbook.workbook_runs import bar_groups, needs_of, plans_of

_SECTION = 58.0  # the highest a section is drawn [mm]


def flashings_paper(
    takeoff: Takeoff, order: Order, drawings: Sequence[Drawing], said: Callable[[str], str]
) -> Paper | None:
    """The folder's paper; None where nothing is folded."""
    runs = takeoff.roofing.flashings
    if not runs:
        return None
    plans = {plan.item: plan for plan, _ in plans_of(order, needs_of(takeoff, ("flashings",)), takeoff.items)}
    pictures = _pictures(takeoff, drawings)
    head = letterhead_of(order, DELIVERY_OF[Trade.FLASHINGS])
    fields = flashing_fields(takeoff)
    blocks: list[Block] = [*head_blocks(takeoff, head), Gap(), *field_blocks(fields, said)]
    for place, item in enumerate(dict.fromkeys(run_item(run) for run in runs)):
        mine = [run for run in runs if run_item(run) == item]
        blocks.append(Bar(said(plain(words_of(item, takeoff.items)))))
        if place:  # the boxes at the head are on the first page alone
            blocks.append(Words(said(fields_words(fields)), SMALL, keep=True))
        if item in pictures:
            blocks.append(pictures[item])
        section = mine[0].section
        if section is not None:
            blocks.append(Words(said(section_words(section)), SMALL, keep=True))
        blocks += [*_bought(plans.get(item)), _runs(mine, order, said), Gap(3.0)]
    return paper(takeoff, "flashings", "Folding schedule", blocks, Document.FLASHINGS)


def _pictures(takeoff: Takeoff, drawings: Sequence[Drawing]) -> Mapping[str, Picture]:
    """The section of each item, as it stands on the sheets of sections, in their order."""
    items = dict.fromkeys(run.item for run in takeoff.roofing.flashings if run.section is not None)
    parts = (
        Picture(drawing, part, _SECTION)
        for drawing in drawings
        if drawing.of is Shows.SECTIONS
        for part in drawing.parts_mm
    )
    return dict(zip(items, parts, strict=False))


def _bought(plan: CutPlan | None) -> Iterator[Block]:
    if plan is None or not (plan.bars or plan.site_bars):
        return
    columns = (
        Column("buy", right=True, bold=True),
        Column("length mm", right=True, bold=True),
        Column("cut into, mm", share=1.0),
        Column("from", least_mm=20.0),
        Column("folded", boxed=True, least_mm=18.0),
    )
    rows = [
        Row(("1", str(bar.stock_mm), _cuts([piece.length_mm for piece in bar.pieces]), f"site {plain(bar.mark)}", ""))
        for bar in plan.site_bars
    ]
    for bars in bar_groups(plan):
        cuts = _cuts([piece.length_mm for piece in bars[0].pieces])
        rows.append(Row((str(len(bars)), str(bars[0].stock_mm), cuts, "", "")))
    metres = places(half_up(plan.bought_mm / 1000.0, 3), 3, 2)
    rows.append(Row((str(len(plan.bars)), "", f"lengths bought, {metres} m", "", ""), Kind.TOTAL))
    yield Table(columns, tuple(rows), SMALL)


def _cuts(lengths: Sequence[int]) -> str:
    return " + ".join(map(str, lengths))


def _runs(runs: Sequence[FlashingRun], order: Order, said: Callable[[str], str]) -> Table:
    """Which edge each run lies on and what it is made of."""
    cuts = cut_pieces(order)
    columns = (
        Column("run", bold=True),
        Column("edge"),
        Column("what", share=1.0),
        Column("net mm", right=True),
        Column("dressing low", right=True),
        Column("dressing high", right=True),
        Column("run mm", right=True, bold=True),
        Column("angle", right=True),
        Column("hand"),
        Column("pieces mm", share=1.3),
    )
    rows = []
    for run in runs:
        net, low, high = (half_up(value, 0) for value in (run.net_mm, run.dress_a_mm, run.dress_b_mm))
        what = said(plain(f"lap from {run.lap_from}" if run.lap_from else run.kind))
        angle = f"{number(half_up(run.between_deg, 1), 1)}°"
        pieces = _cuts([piece.length_mm for piece in cuts.get(run.run, ())])
        cells = (run.run, plain(run.edge), what, whole(net), whole(low), whole(high), whole(net + low + high), angle)
        rows.append(Row((*cells, plain(run.hand), pieces)))
    return Table(columns, tuple(rows), SMALL)
