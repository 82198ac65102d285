"""Diving: bars of the linear programme are fixed one after the other and new patterns are made for what is left.

Limited discrepancy: near the top of the dive the second and third best bar are tried as well (Sadykov, Vanderbeck and
others, "Primal heuristics for branch and price", 2019).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from takeoff.basics.superseding import look_up
from takeoff.order.cut_stock.columns import WHOLE_SHARE, Relaxed, generate, less_bars, whole_bound
from takeoff.order.cut_stock.greedy import shrunk
from takeoff.order.cut_stock.master import Column, LinearMaster
from takeoff.order.cut_stock.problem import Packing, bought_of, width_of
from takeoff.order.cut_stock.search import search

# how many bars of a column
_Bars = dict[Column, int]


@dataclass(slots=True)
class Dive:
    """One dive from the root for a plan shorter than `best_mm`, at best `floor_mm` [mm].

    rounds: linear programmes it may still solve; deviations: second choices on one path; depth: only that far down;
    near_mm: once a plan is this short only a few more are solved; at_once: bars that the mix has wholly are fixed
    together.
    """

    master: LinearMaster
    best_mm: int
    floor_mm: int
    rounds: int
    deviations: int
    depth: int
    near_mm: int
    at_once: bool = False
    best: Packing | None = None
    bars: list[Column] = field(default_factory=list)

    def run(self, known: Relaxed | None = None) -> None:
        """Dive from the full demands; `best` holds the outcome, None when nothing shorter was found. `known`: the end
        of their linear programme, where it was just solved."""
        problem = self.master.problem
        self._spare()
        self._node(problem.demands, problem.supplies, 0, 0, frozenset(), 0, known)

    @property
    def done(self) -> bool:
        """Whether the bound is met or the rounds are used up."""
        return self.best_mm <= self.floor_mm or self.rounds <= 0

    def _node(
        self,
        rest: Sequence[int],
        left: Sequence[int],
        used_mm: int,
        level: int,
        banned: frozenset[Column],
        strayed: int,
        known: Relaxed | None = None,
    ) -> None:
        """One node: what is left of demands and supplies; `known`: its linear programme's end, where the node above
        says it already."""
        look_up()
        problem = self.master.problem
        if not any(rest):
            self._keep(used_mm)
            return
        if self._finish_short(rest, left, used_mm):
            return
        relaxed = self._relaxed(rest, left, used_mm, banned, known)
        self.rounds -= relaxed.rounds
        if used_mm + whole_bound(problem, relaxed.bound_mm) >= self.best_mm:
            return
        mark = len(self.bars)
        tried = banned
        choices, down = self._choices(relaxed, rest, level, strayed)
        for number, choice in enumerate(choices):
            if self.done:
                break
            after, supply, taken = self._fix(rest, left, choice)
            spent = used_mm + sum([problem.stock_mm[stock] * times for (stock, _), times in taken.items()])
            known = less_bars(self.master, relaxed, taken, after, supply, tried)
            self._node(after, supply, spent, down, tried, strayed + number, known)
            del self.bars[mark:]
            tried = tried | taken.keys()

    def _relaxed(
        self,
        rest: Sequence[int],
        left: Sequence[int],
        used_mm: int,
        banned: frozenset[Column],
        known: Relaxed | None,
    ) -> Relaxed:
        if known is not None:
            return known
        self.master.set_rest(rest, left, banned)
        return generate(self.master, rest, left, min(self.rounds, ROUNDS_A_NODE), self.best_mm - used_mm)

    def _width(self, level: int, strayed: int) -> int:
        return 1 + (self.deviations - strayed if level < self.depth else 0)

    def _choices(self, relaxed: Relaxed, rest: Sequence[int], level: int, strayed: int) -> tuple[list[_Bars], int]:
        """What may be fixed next, the most promising first, and the level that leads to.

        At once: all bars that the mix has wholly, then these less some. Else bars of one column, those of a whole part
        first, then by their share.
        """
        scored = [
            (column, share, int(share + WHOLE_SHARE))
            for column, share in zip(self.master.columns, relaxed.shares, strict=False)
            if share > WHOLE_SHARE
        ]
        scored.sort(key=lambda one: (-min(one[2], 1), -round(one[1], 6), one[0]))
        width = self._width(level, strayed)
        whole = {column: times for column, _, times in scored if times}
        if whole and self.at_once:
            fullest = self._fullest(whole, rest) if width > 1 and sum(rest) > SHORT_REST else whole
            return [whole] if fullest == whole else [whole, fullest], level
        return [{column: max(1, times)} for column, _, times in scored[:width]], level + 1

    def _fullest(self, whole: _Bars, rest: Sequence[int]) -> _Bars:
        """Such bars less those that leave most over, so that as many pieces are left as are searched."""
        problem = self.master.problem
        pieces = {column: sum([n for _, n in column[1]]) for column in whole}
        spare = SHORT_REST - sum(rest) + sum([pieces[column] * times for column, times in whole.items()])
        kept = {}
        for column in sorted(whole, key=lambda one: (width_of(problem.widths, one[1]) / problem.rooms[one[0]], one)):
            out = min(whole[column], max(spare, 0) // pieces[column])
            spare -= out * pieces[column]
            kept[column] = whole[column] - out
        return kept

    def _fix(
        self, rest: Sequence[int], left: Sequence[int], choice: _Bars
    ) -> tuple[tuple[int, ...], tuple[int, ...], _Bars]:
        """What is then left of demands and supplies, and the bars that were taken: as often as pieces and bars last."""
        after, supply = list(rest), list(left)
        taken: _Bars = {}
        for column, wanted in choice.items():
            stock, pattern = column
            times = min([wanted, supply[stock], *(after[kind] // n for kind, n in pattern)])
            if times:
                taken[column] = times
                for kind, n in pattern:
                    after[kind] -= n * times
                supply[stock] -= times
                self.bars += [column] * times
        return tuple(after), tuple(supply), taken

    def _finish_short(self, rest: Sequence[int], left: Sequence[int], used_mm: int) -> bool:
        """Short rests are searched exactly instead; True when that settles this branch."""
        if sum(rest) > SHORT_REST:
            return False
        found = search(self.master.problem, rest, left, self.best_mm - used_mm, self.floor_mm - used_mm, SHORT_NODES)
        if found.packing is not None:
            mark = len(self.bars)
            self.bars += found.packing.bars
            self._keep(used_mm + bought_of(self.master.problem, found.packing))
            del self.bars[mark:]
        return found.finished

    def _keep(self, used_mm: int) -> None:
        if used_mm < self.best_mm:
            self.best = shrunk(self.master.problem, self.bars, ())
            self.best_mm = bought_of(self.master.problem, self.best)
            self._spare()

    def _spare(self) -> None:
        if self.best_mm <= self.near_mm:
            self.rounds = min(self.rounds, ROUNDS_NEAR)


ROUNDS_A_NODE = 400
ROUNDS_NEAR = 250
SHORT_REST = 20
SHORT_NODES = 4000
