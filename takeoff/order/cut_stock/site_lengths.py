"""Lengths that lie on the site: which pieces are cut from them so that least is bought, and what is left after the job.

Pieces go into site lengths before the rest is bought. Several ways of filling them are tried, a length that saves
nothing is put back, and nothing is taken where as much would be bought without it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from math import ceil

from takeoff.basics.records import record
from takeoff.model.runs import LeftOver, OnHand, StockBar, StockChoice
from takeoff.order.cut_stock.greedy import Sums

# how much is bought for these pieces [mm], quickly: pieces by length
Bought = Callable[[Counter[int]], tuple[int, int]]


@record
class SiteCut:
    """One length from the site and the pieces cut from it [mm], longest first."""

    length_mm: int
    mark: str
    pieces_mm: tuple[int, ...]


def cut_from_site(pieces: Counter[int], stock: StockChoice, bought: Bought) -> tuple[SiteCut, ...]:
    """The site lengths that are used and what is cut from each; none where no less is bought for it. Of ways that buy
    as much the one that takes least off the site."""
    lengths = [(hand.length_mm, hand.mark) for hand in stock.on_hand for _ in range(hand.count)]
    best: tuple[SiteCut, ...] = ()
    least = (bought(pieces), 0)
    for longest_first in (True, False):
        ordered = sorted(lengths, key=lambda one: (-one[0] if longest_first else one[0], one[1]))
        cuts = _shortest_that_hold(_pruned(_filled(pieces, ordered, stock), pieces, bought), lengths, stock)
        now = (bought(_without(pieces, cuts)), sum(cut.length_mm for cut in cuts))
        if now < least:
            best, least = cuts, now
    return best


def _shortest_that_hold(
    cuts: tuple[SiteCut, ...], lengths: Sequence[tuple[int, str]], stock: StockChoice
) -> tuple[SiteCut, ...]:
    """The same cuts, each out of the shortest length that holds its pieces and is not wanted for another."""
    free = Counter(lengths)
    free.subtract((cut.length_mm, cut.mark) for cut in cuts)
    found = []
    for cut in sorted(cuts, key=lambda one: (-one.length_mm, one.mark, one.pieces_mm)):
        least = sum(cut.pieces_mm) + ceil(stock.kerf_mm) * (len(cut.pieces_mm) - 1) + ceil(stock.trim_mm)
        free[cut.length_mm, cut.mark] += 1
        length, mark = min(one for one, count in free.items() if count > 0 and one[0] >= least)
        free[length, mark] -= 1
        found.append(SiteCut(length, mark, cut.pieces_mm))
    return tuple(found)


def _filled(pieces: Counter[int], lengths: Sequence[tuple[int, str]], stock: StockChoice) -> tuple[SiteCut, ...]:
    """Length after length as full as the pieces that are left make it."""
    kerf, trim = ceil(stock.kerf_mm), ceil(stock.trim_mm)
    left = pieces.copy()
    cuts = []
    for length, mark in lengths:
        # a piece takes a cut, but for one that ends with its bar: the room is longer by one cut
        room = length - trim + kerf
        kinds = [(mm, mm + kerf, n) for mm, n in sorted(left.items(), reverse=True) if 0 < mm + kerf <= room and n]
        if kinds:
            sums = Sums(room, kinds)
            chosen = Counter(sums.counts(sums.most(room)))
            left.subtract(chosen)
            cuts.append(SiteCut(length, mark, tuple(sorted(chosen.elements(), reverse=True))))
    return tuple(cut for cut in cuts if cut.pieces_mm)


def _pruned(cuts: tuple[SiteCut, ...], pieces: Counter[int], bought: Bought) -> tuple[SiteCut, ...]:
    """Without the lengths that save nothing, those that hold least looked at first."""
    kept = list(cuts)
    least = bought(_without(pieces, kept))
    for cut in sorted(cuts, key=lambda one: (sum(one.pieces_mm), one.length_mm, one.mark)):
        fewer = [one for one in kept if one is not cut]
        if bought(_without(pieces, fewer)) <= least:
            kept = fewer
    return tuple(kept)


def _without(pieces: Counter[int], cuts: Iterable[SiteCut]) -> Counter[int]:
    rest = pieces.copy()
    for cut in cuts:
        rest.subtract(cut.pieces_mm)
    return +rest


def left_over(
    bars: Sequence[StockBar], site_bars: Sequence[StockBar], stock: StockChoice, useful_mm: float
) -> tuple[LeftOver, ...]:
    """What is left of the lengths that is `useful_mm` or longer, and site lengths not touched, longest first."""
    found: Counter[tuple[int, bool, str]] = Counter()
    for bar in (*bars, *site_bars):
        rest = _rest_mm(bar, stock)
        if rest > 0 and rest >= useful_mm:
            found[(rest, bar in site_bars, bar.mark)] += 1
    used = Counter((bar.stock_mm, bar.mark) for bar in site_bars)
    for hand, count in _heaps(stock.on_hand).items():
        if count > used[hand]:
            found[(hand[0], True, hand[1])] += count - used[hand]
    ordered = sorted(found.items(), key=lambda entry: (-entry[0][0], entry[0][1:]))
    return tuple(LeftOver(stock.item, rest, count, site, mark) for (rest, site, mark), count in ordered)


def _heaps(on_hand: Iterable[OnHand]) -> Counter[tuple[int, str]]:
    heaps: Counter[tuple[int, str]] = Counter()
    for hand in on_hand:
        heaps[(hand.length_mm, hand.mark)] += hand.count
    return heaps


def _rest_mm(bar: StockBar, stock: StockChoice) -> int:
    if not bar.pieces:  # a whole length that makes up a pack
        return bar.stock_mm
    return bar.stock_mm - ceil(stock.trim_mm) - bar.used_mm - ceil(stock.kerf_mm) * len(bar.pieces)
