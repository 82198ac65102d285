"""Order lines, quantities, runs, and the pieces and bars they are cut from, explained."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from takeoff.basics.rounding import half_up
from takeoff.model.basis import Quantity
from takeoff.model.measured import FlashingRun, Need
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.runs import CutPiece, CutPlan, RunDemand, StockBar
from takeoff.write.explain.explanation import Entry, Explanation, explained
from takeoff.write.words.bought import cut_pieces, site_words
from takeoff.write.words.item_names import item_name, words_of
from takeoff.write.words.words import number, plain, value_words, whole
from takeoff.write.workbook.workbook_order import marks_words


def run_entries(takeoff: Takeoff) -> Iterator[Entry]:
    """Order lines, quantities, runs, cut pieces and bars ("ITEM NUMBER"), each with what explains it."""
    order = takeoff.order
    for line in order.lines if order is not None else ():
        yield line.id, partial(_line, takeoff, line)
    for need in needs(takeoff):
        for demand in need.demands:
            yield demand.id, partial(_run, takeoff, need, demand)
        for quantity in need.quantities:
            yield quantity.id, partial(_quantity, takeoff, quantity)
    for quantity in (*takeoff.measures, *takeoff.cladding.measures):
        yield quantity.id, partial(_quantity, takeoff, quantity)
    for plan in order.plans if order is not None else ():
        for bar in plan.all_bars:
            yield f"{bar.item} {bar.number}", partial(_bar, takeoff, plan, bar)
            for piece in bar.pieces:
                yield piece.id, partial(_piece, takeoff, bar, piece)


def needs(takeoff: Takeoff) -> tuple[Need, ...]:
    """What all trades need."""
    return (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs)


def _line(takeoff: Takeoff, line: OrderLine) -> Explanation:
    length = f" of {whole(line.each_mm)} mm" if line.each_mm > 0.0 else ""
    total = f" = {number(line.total)} {line.total_unit}" if line.total_unit != line.unit else ""
    facts = [
        f"{number(line.count)} {line.unit}{length}{total}, delivered with {line.delivery}",
        f"{number(line.kg, 1)} kg" if line.kg > 0.0 else "",
        plain(line.note),
        f"for {marks_words(line.refs)}" if line.refs else "",
    ]
    workings = [line.working]
    if line.each_mm == 0.0:
        workings += [q.working for need in needs(takeoff) for q in need.quantities if q.working != line.working
                     and q.item == line.item and q.refs == line.refs]  # fmt: skip
    return explained(takeoff, f"{line.id}: order line, {plain(item_name(line.of))}", facts, workings, line.refs)


def _quantity(takeoff: Takeoff, quantity: Quantity) -> Explanation:
    facts = [f"{value_words(quantity.figure, quantity.unit)}"]
    order = takeoff.order
    for line in order.lines if order is not None else ():
        if line.item == quantity.item and line.count == half_up(quantity.figure, 2) and line.refs == quantity.refs:
            facts.append(f"bought on order line {line.id}")
    title = f"{quantity.id}: {plain(quantity.item)}"
    return explained(takeoff, title, facts, [quantity.working], quantity.refs)


def _run(takeoff: Takeoff, need: Need, demand: RunDemand) -> Explanation:
    name = plain(words_of(demand.item, takeoff.items))
    facts = [f"{whole(demand.length_mm)} mm to be covered, laps not counted"]
    if demand.splits_mm is None:
        facts.append(f"may be joined anywhere, laps {whole(demand.lap_mm)} mm")
    elif demand.splits_mm:
        facts.append(f"may be joined at {len(demand.splits_mm)} places, laps {whole(demand.lap_mm)} mm")
    else:
        facts.append("in one piece")
    pieces = cut_pieces(takeoff.order).get(demand.id, ())
    if pieces:
        facts.append("cut as " + " + ".join(f"{plain(piece.id)} {piece.length_mm}" for piece in pieces) + " mm")
        facts.append(f"from {_bars_of(takeoff, demand.id)}")
    flashing = next((run for run in takeoff.roofing.flashings if run.run == demand.id), None)
    facts += _flashing(flashing) if flashing is not None else []
    facts += [
        f"{line.role} row {line.row} on {line.plane}, {whole(line.a_uv[1])} mm up the slope"
        for line in takeoff.roofing.purlins
        if line.run == demand.id
    ]
    workings = [demand.working]
    refs = [*demand.refs, *(line.plane for line in takeoff.roofing.purlins if line.run == demand.id)]
    return explained(takeoff, f"{demand.id}: run of {name}", facts, workings, [*refs, demand.id])


def _flashing(run: FlashingRun) -> list[str]:
    hand = f", {run.hand} hand" if run.hand else ""
    ends = f"dressings {whole(run.dress_a_mm)} and {whole(run.dress_b_mm)} mm"
    shape = f"girth {whole(run.girth_mm)} mm, {run.folds} folds{hand}"
    return [f"{run.kind} flashing along {run.edge}: net {whole(run.net_mm)} mm, {ends}, {shape}"]


def _bars_of(takeoff: Takeoff, run: str) -> str:
    order = takeoff.order
    bars = [
        f"{plain(bar.item)} {bar.number} ({bar.stock_mm} mm{site_words(plan, bar)})"
        for plan in (order.plans if order is not None else ())
        for bar in plan.all_bars
        if any(piece.run == run for piece in bar.pieces)
    ]
    return ", ".join(bars)


def _piece(takeoff: Takeoff, bar: StockBar, piece: CutPiece) -> Explanation:
    end = piece.start_mm + piece.length_mm
    facts = [
        f"{piece.length_mm} mm, from {whole(piece.start_mm)} to {whole(end)} mm along run {plain(piece.run)}",
        f"out of {plain(bar.item)} {bar.number}: {_bar_words(bar)}",
    ]
    return explained(takeoff, f"{piece.id}: piece of {plain(bar.item)}", facts, (), [*piece.refs, piece.run])


def _bar(takeoff: Takeoff, plan: CutPlan, bar: StockBar) -> Explanation:
    sums = (("bought", plan.bought_mm), ("placed", plan.placed_mm), ("laps", plan.laps_mm), ("waste", plan.waste_mm))
    words = ", ".join(f"{name} {number(mm / 1000.0)} m" for name, mm in sums)
    proof = f": {plain(plan.proof)}" if plan.proof else ""
    facts = [
        _bar_words(bar) + site_words(plan, bar),
        f"the whole list of {plain(plan.item)}: {words}; proven least {number(plan.bound_mm / 1000.0)} m{proof}",
    ]
    refs = [piece.run for piece in bar.pieces]
    return explained(takeoff, f"{bar.item} {bar.number}: length of stock", facts, (), refs)


def _bar_words(bar: StockBar) -> str:
    cuts = " + ".join(f"{plain(piece.id)} {piece.length_mm}" for piece in bar.pieces)
    return f"{bar.stock_mm} mm cut into {cuts}, {bar.stock_mm - bar.used_mm} mm left with saw cuts"
