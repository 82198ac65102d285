"""From the quick plan to the proven one: column generation, a dive, the whole programme, and a wider dive."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.order.cut_stock.columns import PRICE_SCALE, Relaxed, columns_of, full_bars, generate, whole_bound
from takeoff.order.cut_stock.dive import Dive
from takeoff.order.cut_stock.greedy import best_greedy, shrunk
from takeoff.order.cut_stock.master import Column, LinearMaster, SolverStoppedError, solve_whole
from takeoff.order.cut_stock.pricing import Knapsack
from takeoff.order.cut_stock.problem import Packing, Pattern, Problem, bought_of, rank

ROOT_ROUNDS = 3000
WHOLE_NODES = 20
# over more columns the whole programme takes seconds: not for a plan that is near already
WHOLE_COLUMNS = 400
# a plan this near its bound is not searched any longer: no estimator sees five millimetres in a metre
NEAR = 0.005
# over so many different lengths a plan is searched only where it lies more than a millimetre in a metre over its bound
MANY_KINDS = 300
HARDLY = 0.001
# a linear programme takes longer by the square of its lengths: so many are solved at most, times the lengths squared
MOST_WORK = 50_000_000


@record
class Effort:
    """How widely to dive: linear programmes to solve, second choices allowed, and how far down they are allowed."""

    rounds: int
    deviations: int
    depth: int
    at_once: bool = False  # fix whole parts of a mix together


QUICK = Effort(rounds=600, deviations=2, depth=3, at_once=True)
NARROW = Effort(rounds=600, deviations=2, depth=3)
WIDE = Effort(rounds=4000, deviations=4, depth=8)
# where a bar more is hardly more than near, a long search seldom pays
MIDDLING = Effort(rounds=300, deviations=4, depth=8)


class Programme:
    """One problem on its way to the bound: `best` is a checked plan at every moment, `bound_mm` proven [mm]."""

    def __init__(self, problem: Problem, best: Packing, bound_mm: int, seeds: Sequence[Column] = ()) -> None:
        """`best`: a quick plan; `bound_mm`: what the material demands [mm]; `seeds`: bars of another list."""
        self.problem = problem
        self.best = best
        self.bound_mm = bound_mm
        self.method = "greedy"
        self.master = LinearMaster(problem)
        self._at_root: Relaxed | None = None  # the end of the whole problem's linear programme, while nothing was fixed
        self._relaxed = False
        for column in (*columns_of(best.bars), *(seeds or full_bars(problem))):
            self.master.add(column)

    def run(self) -> None:
        """Each step only while the bound is not met, the wide dive only while the plan is not near it.

        All quick plans together take longer than the first steps, which mostly meet the bound: so they come after.
        """
        with suppress(SolverStoppedError):
            if not self._hardly():
                self.relax()
                self._dive(QUICK)
        if self._met(0.0):
            return
        self._take(best_greedy(self.problem))
        with suppress(SolverStoppedError):
            if not self._hardly():
                self._search()

    def relax(self) -> None:
        """Solve the linear programme of the whole problem, once. Raises SolverStoppedError."""
        if not self._relaxed:
            self._root()
            self._relaxed = True

    def prices(self, lengths_mm: Iterable[int]) -> dict[int, int]:
        """What one piece more of such a length costs once the programme is solved, in 1/PRICE_SCALE mm: the bar that it
        goes into, less what else of worth that bar then holds. None are known where the solver ended early."""
        priced = self._at_root.priced if self._at_root is not None else None
        if priced is None:
            return {}
        problem = self.problem
        sack = Knapsack(problem.widths, priced.prices, problem.demands, max(problem.rooms))
        stock = list(zip(problem.stock_mm, problem.rooms, strict=True))
        return {
            mm: min([bar * PRICE_SCALE - sack.value(room - width) for bar, room in stock if room >= width])
            for mm in lengths_mm
            for width in (mm + problem.kerf_mm,)
        }

    def _search(self) -> None:
        self._dive(NARROW)
        if not self._met(0.0) and not (self._met(NEAR) and len(self.master.columns) > WHOLE_COLUMNS):
            self._whole()
        if not self._met(NEAR):
            self._dive(MIDDLING if self._met(2 * NEAR) else WIDE)

    def _hardly(self) -> bool:
        """Whether so many lengths differ that a plan as near as this is not searched any longer."""
        return len(self.problem.demands) > MANY_KINDS and self._met(HARDLY)

    def _met(self, share: float) -> bool:
        gap = bought_of(self.problem, self.best) - self.bound_mm
        return not self.best.missing and gap <= share * self.bound_mm

    def _rounds(self, most: int) -> int:
        """Linear programmes that may be solved: `most`, fewer where many lengths differ."""
        return min(most, max(MOST_WORK // len(self.problem.demands) ** 2, 1))

    def _root(self) -> None:
        relaxed = generate(self.master, self.problem.demands, self.problem.supplies, self._rounds(ROOT_ROUNDS))
        self.bound_mm = max(self.bound_mm, whole_bound(self.problem, relaxed.bound_mm))
        self._at_root = replace(relaxed, rounds=1) if relaxed.priced is not None else None

    def _whole(self) -> None:
        problem = self.problem
        # one stock length: as soon as the length is right so is the number of bars
        target = self.bound_mm if len(problem.stock_mm) == 1 else None
        whole = solve_whole(problem, self.master.columns, problem.demands, problem.supplies, WHOLE_NODES, target)
        trial = trimmed(problem, whole) if whole is not None else None
        if trial is not None:
            self._keep(trial, "columns")

    def _dive(self, effort: Effort) -> None:
        """Dive for less, at the bound for as much in fewer bars; with pieces missing any whole plan is less."""
        best_mm = bought_of(self.problem, self.best) + self._met(0.0)
        if self.best.missing:
            best_mm = (
                sum(n * length for n, length in zip(self.problem.supplies, self.problem.stock_mm, strict=True)) + 1
            )
        near_mm = int((1 + NEAR) * self.bound_mm)
        wide = effort.deviations, effort.depth
        dive = Dive(
            self.master, best_mm, self.bound_mm, self._rounds(effort.rounds), *wide, near_mm, at_once=effort.at_once
        )
        dive.run(self._at_root)
        self._at_root = None
        if dive.best is not None:
            self._keep(dive.best, "dive")

    def _take(self, quick: Packing) -> None:
        """Another quick plan, and its bars to choose from."""
        for column in columns_of(quick.bars):
            self.master.add(column)
        self._keep(quick, "greedy")

    def _keep(self, trial: Packing, method: str) -> None:
        if rank(self.problem, trial) < rank(self.problem, self.best):
            self.best, self.method = trial, method


def trimmed(problem: Problem, whole: Sequence[tuple[Column, int]]) -> Packing | None:
    """The mix as bars that hold every piece once: what is covered twice is left out, bars shrink to what holds them.

    None when the mix does not cover the demands after all.
    """
    rest = list(problem.demands)
    bars: list[tuple[int, Pattern]] = []
    for (stock, pattern), times in whole:
        for _ in range(times):
            kept = tuple((kind, min(n, rest[kind])) for kind, n in pattern if rest[kind])
            for kind, n in kept:
                rest[kind] -= n
            if kept:
                bars.append((stock, kept))
    if any(rest):
        return None
    return shrunk(problem, bars, ())
