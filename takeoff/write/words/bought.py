"""What comes out of which length, in words: pairs of sheets, pieces of runs, bars."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from operator import attrgetter

from takeoff.model.order import Order
from takeoff.model.runs import CutPiece, CutPlan, StockBar
from takeoff.model.sheets import SheetBlank
from takeoff.write.words.words import plain, whole

_START = attrgetter("start_mm")


def paired_blanks(order: Order | None, marks: Collection[str]) -> tuple[SheetBlank, ...]:
    """Lengths that a raked pair is bought in and that any of these sheets comes out of."""
    if order is None:
        return ()
    wanted = set(marks)
    shared = [blank for blank in (*order.blanks, *order.site_blanks) if len(blank.pieces) > 1]
    shared = [blank for blank in shared if not wanted.isdisjoint([part.mark for part in blank.pieces])]
    if not shared:
        return ()
    mates = {pair.first: pair.second for plan in order.pairs for pair in plan.pairs}
    return tuple(blank for blank in shared if _of_a_pair(blank, mates))


def _of_a_pair(blank: SheetBlank, mates: Mapping[str, str]) -> bool:
    parts = {part.mark for part in blank.pieces}
    return any(mates.get(mark) in parts for mark in parts)


def pair_words(blank: SheetBlank) -> str:
    """How the sheets of a pair lie in their length: "P1.01 as it lies from 0, P6.12 turned end for end from 940"."""
    parts = [
        f"{plain(part.mark)} {'turned end for end, face up,' if part.turned else 'as it lies'} from "
        f"{whole(part.start_mm)} mm"
        for part in blank.pieces
    ]
    where = f"{site_sheet_words(blank)}, " if blank.site_mm else ""
    return f"{where}{whole(blank.length_mm)} mm: {'; '.join(parts)}"


def site_sheet_words(blank: SheetBlank) -> str:
    """A sheet that lies on the site and what is cut off it: "from site rack, 6000 mm long, 5100 mm cut from it"."""
    where = f"from site {plain(blank.mark)}".rstrip()
    return f"{where}, {whole(blank.site_mm)} mm long, {whole(blank.length_mm)} mm cut from it"


def cut_pieces(order: Order | None) -> Mapping[str, tuple[CutPiece, ...]]:
    """The placed pieces of every long run, by run, from its start to its end."""
    if order is None:
        return {}
    found: dict[str, list[CutPiece]] = defaultdict(list)
    for plan in order.plans:
        for bar in plan.all_bars:
            for piece in bar.pieces:
                found[piece.run].append(piece)
    for pieces in found.values():
        if len(pieces) > 1:
            pieces.sort(key=_START)
    return {run: tuple(pieces) for run, pieces in found.items()}


def site_words(plan: CutPlan, bar: StockBar) -> str:
    """How a length that lies on the site is told from one that is bought: ", from site: back shed", else nothing."""
    if bar not in plan.site_bars:
        return ""
    return f", from site: {plain(bar.mark)}" if bar.mark else ", from site"


def bars_by_item(order: Order | None) -> Mapping[str, str]:
    """What is bought of every item cut from stock, in words: "3 x 6000, 1 x 4500", longest first."""
    if order is None:
        return {}
    found: dict[str, dict[int, int]] = {}
    for plan in order.plans:
        counts = found.setdefault(plan.item, {})
        for bar in plan.bars:
            counts[bar.stock_mm] = counts.get(bar.stock_mm, 0) + 1
    return {
        item: ", ".join(f"{counts[stock]} x {stock}" for stock in sorted(counts, reverse=True))
        for item, counts in found.items()
    }
