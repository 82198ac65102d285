"""Quick plans: first fit, best fit and fullest bar, over every way of choosing the stock. Plain Python, no solver."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache

from takeoff.order.cut_stock.problem import Packing, Pattern, Problem, rank, width_of


def best_greedy(problem: Problem) -> Packing:
    """The best of all quick plans, so that no answer is ever worse than first fit decreasing.

    First and best fit decreasing are tried with every stock length as the bar to open, each bar then shrunk to the
    shortest stock that holds it (Johnson, 1973: first fit decreasing opens at most 11/9 of the least bars plus 4).
    """
    known: dict[Pattern, tuple[int, int]] = {}
    best = _first_fit(problem, 0, tightest=False)
    best_rank = _rank_shrunk(problem, *best, known)
    for plan in _candidates(problem):
        plan_rank = _rank_shrunk(problem, *plan, known)
        if plan_rank < best_rank:
            best, best_rank = plan, plan_rank
    return shrunk(problem, *best)


# bars as they were filled, and pieces that no bar was left for
_Plan = tuple[list[tuple[int, Pattern]], Pattern]


def _candidates(problem: Problem) -> Iterator[_Plan]:
    for first in range(len(problem.stock_mm)):
        if first:
            yield _first_fit(problem, first, tightest=False)
        yield _first_fit(problem, first, tightest=True)
        yield _fullest_bars(problem, first)


def _rank_shrunk(
    problem: Problem, bars: Sequence[tuple[int, Pattern]], missing: Pattern, known: dict[Pattern, tuple[int, int]]
) -> tuple[int, int, int, int]:
    """The rank of a plan once its bars are shrunk; `known` has the length and the cuts of patterns that were seen."""
    if any(problem.limited):
        return rank(problem, shrunk(problem, bars, missing))
    short = sum(problem.lengths_mm[kind] * n for kind, n in missing)
    bought, cuts = 0, 0
    for pattern, times in Counter([pattern for _, pattern in bars]).items():
        found = known.get(pattern)
        if found is None:
            need = width_of(problem.widths, pattern)
            fit = _shortest(problem.rooms, need)
            pieces = sum([n for _, n in pattern])
            found = known[pattern] = problem.stock_mm[fit], pieces - (need == problem.rooms[fit])
        bought += found[0] * times
        cuts += found[1] * times
    return short, bought, len(bars), cuts


def _first_fit(problem: Problem, first: int, tightest: bool) -> _Plan:
    """Longest piece first into the first open bar it fits (`tightest`: the bar it leaves least of).

    `first` is the stock length that is opened while it lasts and is long enough, else the shortest that is, else none:
    the piece is missing.
    """
    widths, rooms = problem.widths, problem.rooms
    left = list(problem.supplies)
    bars: list[tuple[int, list[tuple[int, int]]]] = []
    gaps = _Tightest() if tightest else _First()
    missing: list[tuple[int, int]] = []
    for kind, demand in enumerate(problem.demands):
        width = widths[kind]
        gaps.next_width()
        while demand:
            taken = gaps.take(width, demand)
            if taken is not None:
                number, pieces = taken
                bars[number][1].append((kind, pieces))
                demand -= pieces
                continue
            stock = _open(rooms, left, width, first)
            if stock is None:
                missing.append((kind, demand))
                break
            left[stock] -= 1
            pieces = min(demand, rooms[stock] // width)
            bars.append((stock, [(kind, pieces)]))
            gaps.open(rooms[stock] - pieces * width)
            demand -= pieces
    return [(stock, tuple(pattern)) for stock, pattern in bars], tuple(missing)


class _First:
    """What is left of each open bar [mm]; a piece goes into the first bar it fits. A bar that is too full for a piece
    stays so for the rest of its kind, and is not looked at again for it."""

    def __init__(self) -> None:
        self._gaps: list[int] = []
        self._from = 0

    def next_width(self) -> None:
        """Pieces of another width follow."""
        self._from = 0

    def take(self, width: int, most: int) -> tuple[int, int] | None:
        """The number of the bar that a piece goes into, and how many like it, at most `most`, follow it there; None
        where it fits none."""
        gaps = self._gaps
        for number in range(self._from, len(gaps)):
            if gaps[number] >= width:
                pieces = min(most, gaps[number] // width)
                gaps[number] -= pieces * width
                self._from = number
                return number, pieces
        self._from = len(gaps)
        return None

    def open(self, gap: int) -> None:
        """Another bar, with so much left of it."""
        self._gaps.append(gap)


class _Tightest:
    """What is left of each open bar [mm]; a piece goes into the bar it leaves least of, the first of several. What is
    left of that bar is then less than of any other it fits, so that more like it go into the same."""

    def __init__(self) -> None:
        self._sorted: list[tuple[int, int]] = []  # what is left of a bar, and its number

    def next_width(self) -> None:
        """Pieces of another width follow."""

    def take(self, width: int, most: int) -> tuple[int, int] | None:
        """The number of the bar that a piece goes into, and how many like it, at most `most`, follow it there; None
        where it fits none."""
        place = bisect_left(self._sorted, (width, 0))
        if place == len(self._sorted):
            return None
        gap, number = self._sorted.pop(place)
        pieces = min(most, gap // width)
        insort(self._sorted, (gap - pieces * width, number))
        return number, pieces

    def open(self, gap: int) -> None:
        """Another bar, with so much left of it."""
        insort(self._sorted, (gap, len(self._sorted)))


def _open(rooms: Sequence[int], left: Sequence[int], width: int, first: int) -> int | None:
    if left[first] > 0 and rooms[first] >= width:
        return first
    for stock in range(len(rooms) - 1, -1, -1):  # the shortest that is long enough
        if rooms[stock] >= width and left[stock] > 0:
            return stock
    return None


def shrunk(problem: Problem, bars: Sequence[tuple[int, Pattern]], missing: Pattern) -> Packing:
    """Each bar moved to the shortest stock that holds it and is still to be had, fullest bars last."""
    widths, rooms = problem.widths, problem.rooms
    left = list(problem.supplies)
    for stock, _ in bars:
        left[stock] -= 1
    alike: dict[Pattern, list[int]] = {}  # many bars share a pattern
    for stock, pattern in bars:
        alike.setdefault(pattern, []).append(stock)
    bound = any(problem.limited)
    moved: list[tuple[int, Pattern]] = []
    for need, pattern in sorted([(width_of(widths, pattern), pattern) for pattern in alike]):
        if not bound:
            moved += [(_shortest(rooms, need), pattern)] * len(alike[pattern])
            continue
        for stock in alike[pattern]:
            left[stock] += 1
            fit = _shortest(rooms, need)  # the bar's own serves where none shorter does
            while left[fit] <= 0:
                fit -= 1
            left[fit] -= 1
            moved.append((fit, pattern))
    return Packing(tuple(moved), missing)


def _shortest(rooms: Sequence[int], need: int) -> int:
    """The number of the shortest stock length that holds so much; they fall."""
    fit = len(rooms) - 1
    while rooms[fit] < need:
        fit -= 1
    return fit


def fewer_bars(problem: Problem, packing: Packing) -> Packing:
    """Two bars made one of the same length together, where stock has that length: nothing more to buy, one bar less."""
    widths, rooms = problem.widths, problem.rooms
    left = list(problem.supplies)
    loose: dict[int, list[tuple[int, Pattern]]] = {}
    for stock, pattern in packing.bars:
        left[stock] -= 1
        loose.setdefault(stock, []).append((width_of(widths, pattern), pattern))
    # short targets first: what was joined can be joined again
    for target in reversed(range(len(rooms))):
        for a in range(len(rooms)):
            for b in range(a, len(rooms)):
                if problem.stock_mm[a] + problem.stock_mm[b] != problem.stock_mm[target]:
                    continue
                while left[target] > 0 and (pair := _lightest_pair(loose, a, b, rooms[target])) is not None:
                    loose.setdefault(target, []).append(pair)
                    left[target] -= 1  # a and b are shorter, and were targets before
    bars = [(stock, pattern) for stock in sorted(loose) for _, pattern in sorted(loose[stock])]
    return Packing(tuple(bars), packing.missing)


def _lightest_pair(
    loose: dict[int, list[tuple[int, Pattern]]], a: int, b: int, room: int
) -> tuple[int, Pattern] | None:
    """Takes the least filled bars of stock `a` and `b` out and returns them as one; None when they do not fit."""
    if len(loose.get(a, ())) < 1 + (a == b) or not loose.get(b):
        return None
    first = min(loose[a])
    second = min(bar for bar in loose[b] if bar is not first) if a == b else min(loose[b])
    if first[0] + second[0] > room:
        return None
    loose[a].remove(first)
    loose[b].remove(second)
    counts = dict(first[1])
    for kind, n in second[1]:
        counts[kind] = counts.get(kind, 0) + n
    return first[0] + second[0], tuple(sorted(counts.items()))


def fullest_bars(problem: Problem, only: int | None = None) -> Packing:
    """Bar after bar: the longest piece left, then the fill that leaves least of the bar; the fullest stock is taken.

    `only` names the one stock length to fill while it lasts; None compares all lengths for the least share of waste.
    """
    return shrunk(problem, *_fullest_bars(problem, only))


def _fullest_bars(problem: Problem, only: int | None = None) -> _Plan:
    widths, rooms = problem.widths, problem.rooms
    rest = list(problem.demands)
    left = list(problem.supplies)
    bars: list[tuple[int, Pattern]] = []
    missing: list[tuple[int, int]] = []
    falling = [-width for width in widths]
    for kind, width in enumerate(widths):
        while rest[kind]:
            choices = _choices(rooms, left, width, only)
            if not choices:
                missing.append((kind, rest[kind]))
                break
            top = rooms[choices[0]] - width  # stock lengths fall
            start = max(kind, bisect_left(falling, -top))  # longer pieces go into none of these bars
            rest[kind] -= 1
            own = [k for k in range(start, len(rest)) if rest[k]]
            pieces = tuple([(widths[k], min(rest[k], top // widths[k])) for k in own])
            rest[kind] += 1
            number, counts = fullest(tuple([rooms[s] for s in choices]), width, pieces)
            picked = {own[place]: n for place, n in counts}
            picked[kind] = picked.get(kind, 0) + 1
            pattern = tuple(sorted(picked.items()))
            # the same bar again while the pieces last: long lists of few lengths stay quick
            again = min([rest[number] // n for number, n in pattern])
            again = min(again, left[choices[number]])
            for place, n in pattern:
                rest[place] -= n * again
            left[choices[number]] -= again
            bars += [(choices[number], pattern)] * again
    return bars, tuple(missing)


def _choices(rooms: Sequence[int], left: Sequence[int], width: int, only: int | None) -> list[int]:
    """The stock lengths that may be filled: `only` that one while it lasts and is long enough, else all that are."""
    if only is not None and left[only] > 0 and rooms[only] >= width:
        return [only]
    return [stock for stock, room in enumerate(rooms) if room >= width and left[stock] > 0]


@lru_cache(maxsize=1 << 12)
def fullest(
    rooms: tuple[int, ...], width: int, pieces: tuple[tuple[int, int], ...]
) -> tuple[int, tuple[tuple[int, int], ...]]:
    """The bar with the least share of waste, by its place in `rooms`, among bars that hold a piece of `width` [mm]; and
    what else goes into it of `pieces` (width, how many), by place and count.

    Lists that are compared differ in a few pieces, and more of a piece than a bar holds are as good as all it holds: so
    the same bar is asked for again and again, and kept.
    """
    sums = Sums(rooms[0] - width, [(place, wide, n) for place, (wide, n) in enumerate(pieces)])
    best, most = (0, 0), -1.0
    for number, room in enumerate(rooms):
        fill = sums.most(room - width)
        share = (fill + width) / room
        if share > most:
            best, most = (number, fill), share
        if fill == room - width:  # none is fuller
            break
    return best[0], tuple(sums.counts(best[1]).items())


class Sums:
    """Every sum that some choice of pieces reaches, as the bits of a whole number, and how it is reached.

    room: the largest sum of interest [mm]; pieces: (kind, width, how many). Longest pieces should come first: a sum is
    then unpicked with as many long pieces as it can, which leaves the short ones for later bars.
    """

    def __init__(self, room: int, pieces: Sequence[tuple[int, int, int]]) -> None:
        mask = (1 << (room + 1)) - 1
        bits = 1
        self._steps: list[tuple[int, int, int, int]] = []  # bits before, kind, width, copies
        for kind, width, copies in reversed(pieces):
            lot = 1
            left = min(copies, room // width)
            while left > 0:
                take = min(lot, left)
                self._steps.append((bits, kind, width, take))
                bits |= (bits << (width * take)) & mask
                left -= take
                lot *= 2
        self._bits = bits

    def most(self, room: int) -> int:
        """The largest sum not over `room`."""
        return (self._bits & ((1 << (room + 1)) - 1)).bit_length() - 1

    def least(self, room: int) -> int:
        """The smallest sum that is `room` or more; -1 when there is none."""
        above = self._bits >> room
        return room + (above & -above).bit_length() - 1 if above else -1

    def counts(self, total: int) -> dict[int, int]:
        """Pieces by kind that make a sum which `most` returned."""
        found: dict[int, int] = {}
        for before, kind, width, take in reversed(self._steps):
            size = width * take
            if size <= total and before >> (total - size) & 1:
                found[kind] = found.get(kind, 0) + take
                total -= size
        return found
