"""What a plan of fullest bars buys, without the plan: for lists compared by the hundred, of stock without end.

A list is one whole number, its mark: each length has digits of its own, the longest the lowest. Sums of marks are marks
of sums, and what may go in beside a piece are the digits above some place.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence

from takeoff.order.cut_stock.greedy import fullest

_DIGITS = 32  # binary digits of a count in a mark: those of a C integer, by which marks are read
_ONE = (1 << _DIGITS) - 1
_BARS = 1 << 15  # bars remembered: some thousand lists

# a length and the digits of what may go in beside it: how many there are of it, and of what fits
_Asked = tuple[int, int, int]


def mark_of(pieces_mm: Iterable[int], place: Mapping[int, int]) -> int:
    """The mark of pieces [mm]; `place` counts the lengths from the longest, 0 on."""
    return sum([1 << _DIGITS * place[piece] for piece in pieces_mm])


def counts_of(mark: int) -> list[int]:
    """How many there are of each length, the longest first, as far as the last that there is one of."""
    return memoryview(mark.to_bytes(-(-mark.bit_length() // _DIGITS) * 4, "little")).cast("I").tolist()


class QuickLength:
    """Bars of some stock lengths, each to be had as often as wanted, for lists of some lengths of pieces; both falling
    [mm].

    Lists that are compared differ in a few pieces, so that the same is left beside the same piece again and again: what
    is then bought, bars of one filling together, is remembered by it.
    """

    def __init__(self, lengths_mm: Sequence[int], stock_mm: Sequence[int], kerf_mm: int, trim_mm: int) -> None:
        self._stock_mm = stock_mm
        self._rooms = [length - trim_mm + kerf_mm for length in stock_mm]
        self._widths = [length + kerf_mm for length in lengths_mm]
        falling = [-width for width in self._widths]
        top = self._rooms[0]
        # how many places on from each length the first lies that goes in beside it
        self._beside = [max(bisect_left(falling, width - top) - at, 0) for at, width in enumerate(self._widths)]
        self._bars: dict[_Asked, tuple[int, int]] = {}

    def bought_mm(self, mark: int) -> int:
        """Length bought for a list by `fullest_bars`, every piece no longer than the longest stock [mm]."""
        bought, at, rest = 0, 0, mark
        while rest:
            if not rest & _ONE:
                gone = ((rest & -rest).bit_length() - 1) // _DIGITS
                rest >>= _DIGITS * gone
                at += gone
            asked = (at, rest & _ONE, rest >> _DIGITS * self._beside[at])
            length, taken = self._bars.get(asked) or self._filled(asked)
            bought += length
            rest -= taken
        return bought

    def _filled(self, asked: _Asked) -> tuple[int, int]:
        """The shortest stock that holds the fullest bar, as often as the pieces last [mm], and what is in all of these:
        a mark from the length on."""
        at, own, mark = asked
        beside, width = self._beside[at], self._widths[at]
        room = self._rooms[0] - width
        counts = counts_of(mark)
        if not beside:
            counts[0] -= 1  # that which is in the bar already
        kinds = [number for number, n in enumerate(counts) if n]
        wide = self._widths[at + beside :]
        pieces = tuple([(wide[number], min(counts[number], room // wide[number])) for number in kinds])
        _, picked = fullest(tuple([one for one in self._rooms if one >= width]), width, pieces)
        bar = {beside + kinds[number]: n for number, n in picked}
        bar[0] = bar.get(0, 0) + 1
        need = sum([self._widths[at + number] * n for number, n in bar.items()])
        length = min(mm for mm, one in zip(self._stock_mm, self._rooms, strict=True) if one >= need)
        again = min([own // bar[0], *(counts[number - beside] // n for number, n in bar.items() if number)])
        if len(self._bars) >= _BARS:
            self._bars.clear()
        taken = sum([n * again << _DIGITS * number for number, n in bar.items()])
        found = self._bars[asked] = length * again, taken
        return found
