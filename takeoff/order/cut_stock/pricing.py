"""The most valuable pattern at given prices: a bounded knapsack over all stock lengths at once, in whole numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takeoff.order.cut_stock.problem import Pattern

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class Knapsack:
    """For every room up to the largest, the greatest total price of pieces whose widths fit it.

    widths, prices, counts: by kind; prices are whole numbers, at least 0; kinds with count or price 0 are left out.
    Bellman's recursion over binary lots of each kind (Gilmore and Gomory, 1961, price patterns this way).
    """

    def __init__(self, widths: Sequence[int], prices: Sequence[int], counts: Sequence[int], top: int) -> None:
        import numpy as np

        best: NDArray[np.int64] = np.zeros(top + 1, dtype=np.int64)
        self._lots: list[tuple[int, int, int]] = []  # kind, copies, width of the lot
        self._taken: list[NDArray[np.bool_]] = []
        trial: NDArray[np.int64] = np.empty_like(best)
        for kind, (width, price, count) in enumerate(zip(widths, prices, counts, strict=True)):
            left = min(count, top // width) if price > 0 else 0
            lot = 1
            while left > 0:
                take = min(lot, left)
                size = width * take
                view, reached = trial[size:], best[size:]
                np.add(best[: top + 1 - size], price * take, out=view)
                better = view > reached
                np.maximum(reached, view, out=reached)
                self._lots.append((kind, take, size))
                self._taken.append(better)
                left -= take
                lot *= 2
        self.best = best

    def value(self, room: int) -> int:
        """The greatest total price that fits `room`."""
        return int(self.best[room])

    def pattern(self, room: int) -> Pattern:
        """A pattern of that price."""
        counts: dict[int, int] = {}
        for (kind, take, size), better in zip(reversed(self._lots), reversed(self._taken), strict=True):
            if room >= size and better[room - size]:
                counts[kind] = counts.get(kind, 0) + take
                room -= size
        return tuple(sorted(counts.items()))
