"""What a plan of fullest bars buys, without the plan: for lists compared by the hundred, of stock without end."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from functools import lru_cache

from takeoff.order.cut_stock.greedy import fullest

_BARS = 1 << 14  # bars remembered: some hundred lists
_COUNT_BITS = 24


class QuickLength:
    """Bars of one choice of stock lengths, falling [mm], each to be had as often as wanted.

    Lists that are compared differ in a few pieces, and more of a piece than a bar holds are as good as all it holds: so
    the same bar is asked for again and again, and remembered by what may go into it.
    """

    def __init__(self, stock_mm: tuple[int, ...], kerf_mm: int, trim_mm: int) -> None:
        self._stock_mm = stock_mm
        self._kerf_mm = kerf_mm
        self._rooms = tuple(length - trim_mm + kerf_mm for length in stock_mm)
        self._bars: dict[tuple[int, ...], tuple[int, tuple[tuple[int, int], ...]]] = {}

    def bought_mm(self, pieces_mm: Mapping[int, int]) -> int:
        """Length bought for pieces {length_mm: count} by `fullest_bars`, every piece no longer than the longest
        stock [mm]."""
        kerf, top = self._kerf_mm, self._rooms[0]
        lists = sorted(pieces_mm.items(), reverse=True)
        widths = [length + kerf for length, _ in lists]
        rest = [n for _, n in lists]
        place = {width: number for number, width in enumerate(widths)}
        falling = [-width for width in widths]
        bought = 0
        for kind, width in enumerate(widths):
            room = top - width
            start = max(kind, bisect_left(falling, -room))  # longer pieces do not go in beside it
            others = widths[start:]
            while left := rest[kind]:
                rest[kind] = left - 1
                key = (width, *_beside(room, others, rest[start:]))
                rest[kind] = left
                length, bar = self._bars.get(key) or self._filled(key)
                again = min([rest[place[wide]] // n for wide, n in bar])
                for wide, n in bar:
                    rest[place[wide]] -= n * again
                bought += length * again
        return bought

    def _filled(self, key: tuple[int, ...]) -> tuple[int, tuple[tuple[int, int], ...]]:
        """The shortest stock [mm] that holds the fullest bar, and what is in it: (width, how many)."""
        width, *others = key
        pieces = tuple([(one >> _COUNT_BITS, one & ((1 << _COUNT_BITS) - 1)) for one in others])
        _, counts = fullest(tuple([room for room in self._rooms if room >= width]), width, pieces)
        picked = {pieces[number][0]: n for number, n in counts}
        picked[width] = picked.get(width, 0) + 1
        need = sum([wide * n for wide, n in picked.items()])
        length = min(mm for mm, room in zip(self._stock_mm, self._rooms, strict=True) if room >= need)
        if len(self._bars) >= _BARS:
            self._bars.clear()
        bar = self._bars[key] = length, tuple(picked.items())
        return bar


def _beside(room: int, widths: Iterable[int], rest: Iterable[int]) -> list[int]:
    """What may go into what is left of a bar: each width with how many of it there are or go in, as one number."""
    return [
        wide << _COUNT_BITS | (n if n * wide <= room else room // wide)
        for wide, n in zip(widths, rest, strict=True)
        if n
    ]


@lru_cache(maxsize=16)
def quick_length(stock_mm: tuple[int, ...], kerf_mm: int, trim_mm: int) -> QuickLength:
    """The one of these stock lengths: rows of timber are compared with every edit."""
    return QuickLength(stock_mm, kerf_mm, trim_mm)
