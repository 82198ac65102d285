"""Exact search for short lists, without a solver: bar after bar, the longest piece left first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from takeoff.basics.records import record
from takeoff.basics.superseding import look_up
from takeoff.order.cut_stock.bounds import fill_limits
from takeoff.order.cut_stock.problem import Packing, Pattern, Problem


@record
class Found:
    """The best packing below the cutoff, if any; `finished` when nothing better can exist."""

    packing: Packing | None
    finished: bool


class _SpentError(Exception):
    """The node limit is used up."""


def search(
    problem: Problem,
    rest: Sequence[int],
    supplies: Sequence[int],
    cutoff_mm: int,
    floor_mm: int,
    nodes: int,
) -> Found:
    """The least bought packing of `rest` below `cutoff_mm` [mm], looking at up to `nodes` bars.

    Stops at a packing of `floor_mm`, a bound the caller has proven. The longest piece left is always in the next bar
    (so no order of bars is tried twice) and a bar takes pieces until none fits (Martello and Toth, 1990; Korf, 2002).
    """
    walk = _Walk(problem, rest, cutoff_mm, floor_mm, nodes)
    try:
        walk.descend(tuple(rest), tuple(supplies), 0, [])
    except _SpentError:
        return Found(walk.best, walk.best_mm <= floor_mm)
    return Found(walk.best, True)


class _Walk:
    def __init__(self, problem: Problem, rest: Sequence[int], cutoff_mm: int, floor_mm: int, nodes: int) -> None:
        self.problem = problem
        self.widths = problem.widths
        self.rooms = problem.rooms
        self.nodes = nodes
        self.floor_mm = floor_mm
        self.best: Packing | None = None
        self.best_mm = cutoff_mm
        self.seen: dict[tuple[tuple[int, ...], tuple[int, ...]], int] = {}
        fills = fill_limits(problem, tuple(rest))
        self.rates = [(length, fill) for length, fill in zip(problem.stock_mm, fills, strict=True) if fill]
        self.step_mm = problem.step_mm

    def least(self, need_mm: int) -> int:
        """A bound of the length still to buy [mm] for pieces of such widths together: by the best filled bar, in whole
        stock steps."""
        mm = min([-(-need_mm * length // fill) for length, fill in self.rates])
        return -(-mm // self.step_mm) * self.step_mm

    def descend(
        self, rest: tuple[int, ...], left: tuple[int, ...], used_mm: int, bars: list[tuple[int, Pattern]]
    ) -> None:
        if not any(rest):
            if used_mm < self.best_mm:
                self.best_mm = used_mm
                self.best = Packing(tuple(bars))
            return
        limits = left if any(self.problem.limited) else ()
        known = self.seen.get((rest, limits))
        if known is not None and known <= used_mm:
            return
        self.seen[rest, limits] = used_mm
        for bound_mm, _, stock, pattern, after in self._choices(rest, left, used_mm):
            if bound_mm >= self.best_mm or self.best_mm <= self.floor_mm:
                return
            remaining = tuple(n - (s == stock) for s, n in enumerate(left))
            bars.append((stock, pattern))
            self.descend(after, remaining, used_mm + self.problem.stock_mm[stock], bars)
            bars.pop()

    def _choices(
        self, rest: tuple[int, ...], left: tuple[int, ...], used_mm: int
    ) -> list[tuple[int, int, int, Pattern, tuple[int, ...]]]:
        """Next bars with the bound they leave, the most promising first: least bound, then least waste."""
        look_up()
        choices = []
        need_mm = sum([width * n for width, n in zip(self.widths, rest, strict=True)])
        for stock, room in enumerate(self.rooms):
            if not left[stock]:
                continue
            to_buy = used_mm + self.problem.stock_mm[stock]
            for pattern, gap in full_patterns(self.widths, rest, room):
                self.nodes -= 1
                if self.nodes < 0:
                    raise _SpentError
                bound = to_buy + self.least(need_mm - (room - gap))
                if bound < self.best_mm:
                    after = list(rest)
                    for kind, n in pattern:
                        after[kind] -= n
                    choices.append((bound, gap, stock, pattern, tuple(after)))
        choices.sort(key=lambda choice: (choice[0], choice[1], choice[2], choice[3]))
        return choices


def full_patterns(widths: Sequence[int], rest: Sequence[int], room: int) -> Iterator[tuple[Pattern, int]]:
    """Every pattern with the longest piece left that no further piece left fits into, and its gap [mm]."""
    kinds = [kind for kind, n in enumerate(rest) if n]
    if not kinds or widths[kinds[0]] > room:
        return
    yield from _extend(widths, rest, kinds, 0, room, (), None)


def _extend(
    widths: Sequence[int],
    rest: Sequence[int],
    kinds: Sequence[int],
    at: int,
    gap: int,
    pattern: Pattern,
    skipped: int | None,
) -> Iterator[tuple[Pattern, int]]:
    """`skipped` is the least width of which a piece was left out: the gap must end below it."""
    if at == len(kinds):
        if skipped is None or gap < skipped:
            yield pattern, gap
        return
    if skipped is not None and gap >= skipped + sum(widths[kind] * rest[kind] for kind in kinds[at:]):
        return
    kind = kinds[at]
    width = widths[kind]
    most = min(rest[kind], gap // width)
    least = 1 if at == 0 else 0
    for n in range(most, least - 1, -1):
        grown = (*pattern, (kind, n)) if n else pattern
        # kinds fall in width, so the last kind left out is the shortest
        yield from _extend(widths, rest, kinds, at + 1, gap - width * n, grown, width if n < rest[kind] else skipped)
