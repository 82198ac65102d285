"""Lengths that are sold in packs of so many of one length: the cutting that buys least in whole packs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from math import ceil

from takeoff.model.findings import Finding, Severity
from takeoff.model.runs import StockBar
from takeoff.order.cut_stock.fewest import cut_few
from takeoff.order.cut_stock.problem import Answer, Bar, Stock
from takeoff.order.cut_stock.solve import cut_least

_FEW = (2, 3)  # different lengths tried, beside one and as many as least length takes


def whole_packs(
    pieces_mm: Mapping[int, int], stock: Sequence[Stock], cuts_mm: tuple[int, int], pack: int, plain: Answer
) -> Answer:
    """The answer with every length made up to whole packs by bars that hold no piece.

    A pack holds `pack` bars of one length, so that few lengths may buy less than many: each length alone, two, three
    and the lengths of `plain` are tried, and the least bought is taken. `cuts_mm`: kerf and trim. The bound is that
    of `plain` [mm]: packs buy no less.
    """
    if not plain.bars or plain.missing_mm:
        return plain
    tried = chain((plain,), _others(pieces_mm, stock, cuts_mm))
    full = [_made_up(answer, pack) for answer in tried if not answer.missing_mm]
    best = min(full, key=lambda answer: (answer.bought_mm, len(answer.bars)))
    return replace(best, bound_mm=plain.bound_mm)


def _others(pieces_mm: Mapping[int, int], stock: Sequence[Stock], cuts_mm: tuple[int, int]) -> Iterator[Answer]:
    kerf, trim = cuts_mm
    longest = max(pieces_mm)
    for one in stock:
        if one.length_mm - trim >= longest:
            yield cut_least(pieces_mm, [one], kerf, trim)
    for most in _FEW:
        yield cut_few(pieces_mm, stock, kerf, trim, most)


def _made_up(answer: Answer, pack: int) -> Answer:
    counts = Counter(bar.length_mm for bar in answer.bars)
    spare = (Bar(length, ()) for length, n in counts.items() for _ in range(ceil(n / pack) * pack - n))
    return replace(answer, bars=tuple(sorted((*answer.bars, *spare), key=lambda bar: -bar.length_mm)))


def spare_told(item: str, bars: Sequence[StockBar], pack: int) -> tuple[Finding, ...]:
    """What whole packs leave uncut, as a note."""
    spare = Counter(bar.stock_mm for bar in bars if not bar.pieces)
    if not spare:
        return ()
    left = ", ".join(f"{n} x {length} mm" for length, n in sorted(spare.items(), reverse=True))
    return (
        Finding(
            code="spare-lengths-in-packs",
            severity=Severity.NOTE,
            text=f"{item}: whole packs of {pack} leave {left} uncut.",
            advice="Ask whether a pack may be split, or name other lengths that are sold under stock_mm of the walls.",
        ),
    )
