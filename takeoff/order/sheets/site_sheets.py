"""Sheets that lie on the site: which lengths of the list are cut out of them so that least is bought.

A length goes there whole, with all that is cut from it; then short pieces leave lengths that are bought shorter
without them. What is left of a sheet is square, as long as it was less what was cut off.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.runs import LeftOver, OnHand, StockChoice
from takeoff.model.sheets import BlankPart, SheetBlank, SheetPiece
from takeoff.order.cut_stock.site_lengths import cut_from_site

_CRUMB_MM = TOLERANCES.crumb_mm


@record
class SiteSheets:
    """A list of lengths with what lies on the site: `bought` are ordered, `site` are cut out of sheets there."""

    bought: tuple[SheetBlank, ...]
    site: tuple[SheetBlank, ...] = ()

    @property
    def bought_mm(self) -> float:
        """What is bought, together [mm]."""
        return sum(blank.length_mm for blank in self.bought)


@record
class _Rest:
    """What a sheet on the site still holds: its length, its mark, and the lengths cut out of it so far."""

    length_mm: int
    mark: str
    blanks: tuple[SheetBlank, ...] = ()

    @property
    def room_mm(self) -> float:
        return self.length_mm - sum(blank.length_mm for blank in self.blanks)


def with_sheets_on_hand(
    blanks: Sequence[SheetBlank],
    pieces: Mapping[str, SheetPiece],
    on_hand: Sequence[OnHand],
    least_run_mm: float,
) -> SiteSheets:
    """The list with what lies on the site. `blanks` is it without; `pieces` by mark those in it.

    The mill runs no length under `least_run_mm`; out of a sheet on the site only what the pieces take is cut.
    """
    if not on_hand:
        return SiteSheets(tuple(blanks))
    waiting: dict[int, list[SheetBlank]] = defaultdict(list)
    for blank in reversed(blanks):
        cut = replace(blank, length_mm=_taken_mm(blank, pieces))
        waiting[ceil(cut.length_mm - _CRUMB_MM)].append(cut)

    def bought(rest: Counter[int]) -> tuple[int, int]:
        return sum(round(max(mm, least_run_mm)) * count for mm, count in rest.items()), 0

    wanted = Counter({mm: len(alike) for mm, alike in waiting.items()})
    cuts = cut_from_site(wanted, StockChoice("", (), on_hand=tuple(on_hand)), bought)
    rests = [_Rest(cut.length_mm, cut.mark, tuple(waiting[mm].pop() for mm in cut.pieces_mm)) for cut in cuts]
    gone = {blank.id for rest in rests for blank in rest.blanks}
    kept = [blank for blank in blanks if blank.id not in gone]
    return _with_short_pieces(kept, rests + _untouched(rests, on_hand), pieces, least_run_mm)


def _taken_mm(blank: SheetBlank, pieces: Mapping[str, SheetPiece]) -> float:
    """What the pieces of a length take of it [mm]: less than the mill's least run where they are shorter together."""
    return min(blank.length_mm, sum(pieces[part.mark].order_mm for part in blank.pieces))


def _untouched(rests: Sequence[_Rest], on_hand: Sequence[OnHand]) -> list[_Rest]:
    lying = Counter((hand.length_mm, hand.mark) for hand in on_hand for _ in range(hand.count))
    lying.subtract((rest.length_mm, rest.mark) for rest in rests)
    return [_Rest(length, mark) for (length, mark), count in lying.items() for _ in range(count)]


def _with_short_pieces(
    blanks: list[SheetBlank], rests: list[_Rest], pieces: Mapping[str, SheetPiece], least_mm: float
) -> SiteSheets:
    """Short pieces cut from bought lengths moved to what is left of sheets on the site, the longest first."""
    short = [part.mark for blank in blanks for part in blank.pieces[1:] if pieces[part.mark].cut_from]
    for mark in sorted(short, key=lambda one: (-pieces[one].order_mm, one)):
        long = pieces[mark].order_mm
        place = next(at for at, blank in enumerate(blanks) if any(part.mark == mark for part in blank.pieces))
        fewer = _shorter(blanks[place], pieces[mark], pieces, least_mm)
        fits = [at for at, rest in enumerate(rests) if rest.room_mm >= long]
        if fits and fewer.length_mm < blanks[place].length_mm:
            at = min(fits, key=lambda one: (rests[one].room_mm, rests[one].mark))
            own = SheetBlank("", fewer.profile, long, (BlankPart(mark, 0.0, False),))
            rests[at] = replace(rests[at], blanks=(*rests[at].blanks, own))
            blanks[place] = fewer
    return SiteSheets(tuple(blanks), tuple(_cut(rest) for rest in rests if rest.blanks))


def _shorter(blank: SheetBlank, piece: SheetPiece, pieces: Mapping[str, SheetPiece], least_mm: float) -> SheetBlank:
    """A bought length without one of its short pieces."""
    start = next(part.start_mm for part in blank.pieces if part.mark == piece.mark)
    parts = tuple(
        replace(part, start_mm=part.start_mm - (piece.order_mm if part.start_mm > start else 0.0))
        for part in blank.pieces
        if part.mark != piece.mark
    )
    return replace(blank, length_mm=max(_taken_mm(blank, pieces) - piece.order_mm, least_mm), pieces=parts)


def _cut(rest: _Rest) -> SheetBlank:
    """One sheet on the site with all that is cut out of it, end to end."""
    parts: list[BlankPart] = []
    start = 0.0
    for blank in rest.blanks:
        parts += [replace(part, start_mm=part.start_mm + start) for part in blank.pieces]
        start += blank.length_mm
    return SheetBlank("", rest.blanks[0].profile, start, tuple(parts), float(rest.length_mm), rest.mark)


def sheets_left(item: str, site: Sequence[SheetBlank], on_hand: Sequence[OnHand], useful_mm: float) -> list[LeftOver]:
    """What is left of the sheets on the site that is `useful_mm` or longer, and those not touched, longest first."""
    found: Counter[tuple[int, str]] = Counter()
    for hand in on_hand:
        found[hand.length_mm, hand.mark] += hand.count
    for blank in site:
        found[round(blank.site_mm), blank.mark] -= 1
        rest = int(blank.site_mm - blank.length_mm)
        if rest > 0 and rest >= useful_mm:
            found[rest, blank.mark] += 1
    ordered = sorted((entry for entry in found.items() if entry[1] > 0), key=lambda entry: (-entry[0][0], entry[0][1]))
    return [LeftOver(item, length, count, True, mark) for (length, mark), count in ordered]
