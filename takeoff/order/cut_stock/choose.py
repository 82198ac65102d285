"""Which way each run is cut: joints of neighbouring rows clear of each other first, then the least to buy."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from math import ceil

from takeoff.basics.superseding import look_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.runs import RunDemand
from takeoff.order.cut_stock.greedy import fullest_bars
from takeoff.order.cut_stock.joints import Way
from takeoff.order.cut_stock.problem import Stock, make_problem, rank
from takeoff.order.cut_stock.quick_length import QuickLength, counts_of, mark_of

# pieces packed while ways are compared: a house list is looked at some hundred times, a huge one a few times
PACKED_PIECES = 20000

# what is made least, in order: length missing, then pieces, pairs of joints too near and length bought
Score = tuple[int, int, int, int]


class Chooser:
    """Chooses a way for every run of one item.

    runs: in row order; ways: at least one for each run; stock, kerf and trim as for the optimiser. More joints than the
    fewest are taken only to make a short supply last, or with `joints_save` where they save length or keep the joints
    of neighbouring rows apart; with `apart` to keep them apart alone, row after row, before anything is saved.
    """

    def __init__(
        self,
        runs: Sequence[RunDemand],
        ways: Sequence[list[Way]],
        stock: Sequence[Stock],
        kerf_mm: int,
        joints_save: bool = False,
        trim_mm: int = 0,
        apart: bool = False,
    ) -> None:
        self.joints_save = joints_save
        self.apart = apart
        self.runs = runs
        self.ways = ways
        self.stock = stock
        self.kerf_mm = kerf_mm
        self.trim_mm = trim_mm
        self.beside = neighbours(runs)
        self.budget = PACKED_PIECES
        self._known: dict[int, tuple[int, int]] = {}  # missing and bought, by the mark of the pieces
        self._packed: set[int] = set()
        self.lengths_mm = sorted(
            {piece for options in ways for way in options for piece in way.pieces_mm}, reverse=True
        )
        place = {length: number for number, length in enumerate(self.lengths_mm)}
        self._marks = [[mark_of(way.pieces_mm, place) for way in options] for options in ways]
        endless = all(entry.supply is None for entry in stock)
        stock_mm = sorted({entry.length_mm for entry in stock}, reverse=True)
        self._quick = QuickLength(self.lengths_mm, stock_mm, kerf_mm, trim_mm) if endless else None
        self._prices: dict[int, float] = {}  # of a piece cut from bars of its own
        # rows of a house repeat: joints where they stand on the house, and pairs of such lists counted once
        self._places = [
            [tuple(x + run.offset_mm for x in way.joints_mm) for way in options]
            for run, options in zip(runs, ways, strict=True)
        ]
        self._pairs: dict[tuple[float, tuple[float, ...], tuple[float, ...]], int] = {}

    def choose(self) -> list[int]:
        """The number of the way taken for each run."""
        if all(len(ways) == 1 for ways in self.ways):
            return [0] * len(self.runs)
        plans = [self._row_by_row(price) for price in (self._alone, self._longest_first, self._evened)]
        best = min(plans, key=self._score)
        return self._improved(best)

    def settled(self) -> list[int]:
        """The ways taken by their pieces and by joints too near alone, as `choose` takes them: no length is asked."""
        if all(len(ways) == 1 for ways in self.ways):
            return [0] * len(self.runs)
        chosen = self._row_by_row(self._alone)
        fewest = [min([len(way.pieces_mm) for way in ways]) for ways in self.ways]
        again = True
        while again:
            again = False
            for run, ways in enumerate(self.ways):
                if len(ways[chosen[run]].pieces_mm) == fewest[run] and not self._clashes(chosen, run, chosen[run]):
                    continue
                rated = [
                    self._order(self._clashes(chosen, run, way), len(ways[way].pieces_mm)) for way in range(len(ways))
                ]
                least = min(rated)
                if least < rated[chosen[run]]:
                    chosen[run], again = rated.index(least), True
        return chosen

    def _order(self, clashes: int, count: int) -> tuple[int, int]:
        return (clashes, count) if self.apart or self.joints_save else (count, clashes)

    def pieces_of(self, chosen: Sequence[int]) -> dict[int, int]:
        """How many pieces of each length there are, as chosen [mm]."""
        counts: Counter[int] = Counter()
        for options, way in zip(self.ways, chosen, strict=True):
            counts.update(options[way].pieces_mm)
        return dict(counts)

    def cheaper(self, chosen: Sequence[int], prices: Mapping[int, int]) -> list[int]:
        """Other ways at less price, of as many pieces and with no more joints too near, for half of the runs that such
        ways save at, the most first.

        Prices hold for a piece more or less: where all runs changed at once they would be others.
        """
        found = list(chosen)
        priced = [[sum([prices[piece] for piece in way.pieces_mm]) for way in options] for options in self.ways]
        saved = sorted((self._saved(priced[run], found, run)[0], run) for run in range(len(found)))
        saving = [run for least, run in saved if least < 0]
        for run in saving[: ceil(len(saving) / 2)]:
            less, way = self._saved(priced[run], found, run)
            if less < 0:
                found[run] = way
        return found

    def _saved(self, priced: Sequence[int], chosen: Sequence[int], run: int) -> tuple[int, int]:
        """The least price of a run's ways less that of its own, and that way."""
        ways, taken = self.ways[run], chosen[run]
        now = self._clashes(chosen, run, taken)
        own = priced[taken]
        cheaper = sorted([(price - own, way) for way, price in enumerate(priced) if price < own])
        for less, way in cheaper:
            alike = len(ways[way].pieces_mm) == len(ways[taken].pieces_mm)
            if alike and self._clashes(chosen, run, way) <= now:
                return less, way
        return 0, taken

    def _row_by_row(self, price: Callable[[int, int], float]) -> list[int]:
        """Row after row the way with fewest joints too near the rows chosen so far, then the least price."""
        chosen: dict[int, int] = {}
        for run in range(len(self.runs)):
            placed = [other for other in self.beside[run] if other in chosen]
            fewest = min(len(way.pieces_mm) for way in self.ways[run])
            options = [n for n, way in enumerate(self.ways[run]) if self.apart or len(way.pieces_mm) == fewest]
            first = [
                (sum(self._near(run, way, o, chosen[o]) for o in placed), len(self.ways[run][way].pieces_mm))
                for way in options
            ]
            least = min(first)
            # prices cost time: asked only of those that are alike so far
            alike = [way for way, found in zip(options, first, strict=True) if found == least]
            chosen[run] = min(alike, key=lambda way: (price(run, way), way)) if len(alike) > 1 else alike[0]
        return [chosen[run] for run in range(len(self.runs))]

    def in_line(self, chosen: Sequence[int]) -> set[int]:
        """The runs with a joint too near one of a row beside them, as chosen."""
        return {run for run, way in enumerate(chosen) if self._clashes(chosen, run, way)}

    def _alone(self, run: int, way: int) -> float:
        """Price of the pieces when each length is cut from bars of its own [mm]: round fractions of a bar are cheap."""
        kerf, trim = self.kerf_mm, self.trim_mm
        prices = self._prices
        for piece in self.ways[run][way].pieces_mm:
            if piece not in prices:
                prices[piece] = min(
                    s.length_mm / ((s.length_mm - trim + kerf) // (piece + kerf))
                    for s in self.stock
                    if s.length_mm - trim >= piece
                )
        return sum(prices[piece] for piece in self.ways[run][way].pieces_mm)

    def _longest_first(self, run: int, way: int) -> float:
        return -float(self.ways[run][way].pieces_mm[0])

    def _evened(self, run: int, way: int) -> float:
        pieces = self.ways[run][way].pieces_mm
        return float(max(pieces) - min(pieces))

    def _near(self, run: int, way: int, other: int, other_way: int) -> int:
        here, there = self._places[run][way], self._places[other][other_way]
        if not here or not there:
            return 0
        gap = _gap(self.runs[run], self.runs[other])
        key = (gap, here, there)
        if key not in self._pairs:
            self._pairs[key] = _nearer(here, there, gap)
        return self._pairs[key]

    def _improved(self, chosen: list[int]) -> list[int]:
        """One run at a time another way, kept when the whole gets better, until the budget of packings is used."""
        clashes, mark, count = self._all_clashes(chosen), self._mark(chosen), self._count(chosen)
        best = self._rated(clashes, mark, count)
        again = True
        while again:
            again = False
            for run, ways in enumerate(self.ways):
                look_up()
                marks = self._marks[run]
                now = self._clashes(chosen, run, chosen[run]) if len(ways) > 1 else 0
                for way in range(len(ways)):
                    taken = chosen[run]
                    if way == taken or self.budget <= 0:
                        continue
                    then = self._clashes(chosen, run, way)
                    if len(ways[way].pieces_mm) >= len(ways[taken].pieces_mm) and then > now:
                        continue
                    # only this run changes, so the rest of the sums stays
                    changed = mark + marks[way] - marks[taken]
                    total = count + len(ways[way].pieces_mm) - len(ways[taken].pieces_mm)
                    self._spend(changed, total)
                    if changed not in self._known and self._behind(best, clashes + then - now, total):
                        continue
                    score = self._rated(clashes + then - now, changed, total)
                    if score < best:
                        best, again = score, True
                        chosen = [*chosen[:run], way, *chosen[run + 1 :]]
                        clashes, mark, count, now = clashes + then - now, changed, total, then
        return chosen

    def _clashes(self, chosen: Sequence[int], run: int, way: int) -> int:
        """Joints of one run, cut that way, too near those of its neighbours as chosen."""
        return sum(self._near(run, way, other, chosen[other]) for other in self.beside[run])

    def _all_clashes(self, chosen: Sequence[int]) -> int:
        return sum(self._clashes(chosen, run, way) for run, way in enumerate(chosen)) // 2

    def _count(self, chosen: Sequence[int]) -> int:
        return sum([len(self.ways[run][way].pieces_mm) for run, way in enumerate(chosen)])

    def _mark(self, chosen: Sequence[int]) -> int:
        return sum([self._marks[run][way] for run, way in enumerate(chosen)])

    def _spend(self, mark: int, count: int) -> None:
        """What comparing these pieces takes off the budget, once."""
        if mark not in self._packed:
            self._packed.add(mark)
            self.budget -= count

    def _behind(self, best: Score, clashes: int, count: int) -> bool:
        """Whether no length bought could make that better than the best."""
        if best[0]:
            return False
        if self.joints_save and not self.apart:
            return clashes > best[1]
        return self._order(clashes, count) > best[1:3]

    def _score(self, chosen: Sequence[int]) -> Score:
        return self._rated(self._all_clashes(chosen), self._mark(chosen), self._count(chosen))

    def _rated(self, clashes: int, mark: int, count: int) -> Score:
        missing, bought = self._bought(mark, count)
        if self.apart:
            return missing, clashes, count, bought
        if self.joints_save:
            return missing, clashes, bought, count
        return missing, count, clashes, bought

    def _bought(self, mark: int, count: int) -> tuple[int, int]:
        """Length missing and bought of a quick plan [mm]; the same pieces are packed once."""
        found = self._known.get(mark)
        if found is None:
            self._spend(mark, count)
            found = self._known[mark] = self._packed_mm(mark)
        return found

    def _packed_mm(self, mark: int) -> tuple[int, int]:
        if self._quick is not None:
            return 0, self._quick.bought_mm(mark)
        pieces = {length: n for length, n in zip(self.lengths_mm, counts_of(mark), strict=False) if n}
        problem = make_problem(pieces, self.stock, self.kerf_mm, self.trim_mm)
        missing, bought, _, _ = rank(problem, fullest_bars(problem))
        return missing, bought


def _nearer(here: Sequence[float], there: Sequence[float], gap_mm: float) -> int:
    """How many places of two rising lists lie nearer to each other than a gap."""
    found, slack = 0, gap_mm + TOLERANCES.same_point_mm
    for x in here:
        for y in there[bisect_left(there, x - slack) :]:
            if y > x + slack:
                break
            found += abs(y - x) < gap_mm
    return found


def neighbours(runs: Sequence[RunDemand]) -> list[list[int]]:
    """For each run the runs of the rows beside it in its group, as far off as either asks."""
    rows: dict[tuple[str, int], list[int]] = {}
    for number, run in enumerate(runs):
        rows.setdefault((run.group, run.row), []).append(number)
    most = max((run.rows_apart for run in runs), default=1)
    steps = [step for step in range(-most, most + 1) if step]
    return [
        [
            other
            for step in steps
            for other in rows.get((run.group, run.row + step), ())
            if abs(step) <= max(run.rows_apart, runs[other].rows_apart)
        ]
        for run in runs
    ]


def too_near(a: RunDemand, at_mm: float, b: RunDemand, joints_mm: Iterable[float]) -> list[float]:
    """Joints of run `b` that are nearer to the joint `at_mm` of run `a` than the larger of their staggers."""
    gap = _gap(a, b)
    return [x for x in joints_mm if abs((x + b.offset_mm) - (at_mm + a.offset_mm)) < gap]


def _gap(a: RunDemand, b: RunDemand) -> float:
    return max(a.stagger_mm, b.stagger_mm) - TOLERANCES.same_length_mm
