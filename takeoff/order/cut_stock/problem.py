"""The cutting problem in whole millimetres, its answer, and the check that an answer is a true one.

A bar of length L holds pieces l1..ln when l1 + .. + ln + (n - 1) x kerf <= L: the saw takes one kerf between two
pieces, and the last piece may end at the bar's end. With widths w = l + kerf and room = L + kerf this is sum w <= room.
Where the ends of every bar are docked, the trim comes off the room and the whole of L is still bought.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import field
from functools import reduce
from math import gcd

from takeoff.basics.errors import JobError, TakeoffError
from takeoff.basics.records import record

# Pieces of one bar as (kind, count) pairs, kinds rising: kinds number the distinct lengths, longest first.
Pattern = tuple[tuple[int, int], ...]


@record
class Stock:
    """A length that can be bought [mm]; `supply` is how many there are, None for as many as wanted."""

    length_mm: int
    supply: int | None = None


@record
class Bar:
    """One bought bar [mm] and the pieces cut from it [mm], longest first."""

    length_mm: int
    pieces_mm: tuple[int, ...]


@record
class Problem:
    """What to cut and from what, as the search sees it.

    lengths_mm: distinct piece lengths, falling; demands: how many of each; kerf_mm: what one cut takes;
    stock_mm: distinct stock lengths, falling; supplies: how many of each, never more than the number of pieces.
    `limited` says which supplies can bind; trim_mm: what docking takes off each bar; widths: piece lengths with their
    kerf [mm]; rooms: what the widths in a bar may sum to [mm], by stock length.
    """

    lengths_mm: tuple[int, ...]
    demands: tuple[int, ...]
    stock_mm: tuple[int, ...]
    supplies: tuple[int, ...]
    limited: tuple[bool, ...]
    kerf_mm: int
    trim_mm: int = 0
    widths: tuple[int, ...] = field(init=False, compare=False, repr=False)
    rooms: tuple[int, ...] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Widths and rooms are asked for with every bar, so they are worked out once."""
        cut = self.kerf_mm - self.trim_mm
        object.__setattr__(self, "widths", tuple([length + self.kerf_mm for length in self.lengths_mm]))
        object.__setattr__(self, "rooms", tuple([length + cut for length in self.stock_mm]))

    @property
    def step_mm(self) -> int:
        """The greatest common divisor of the stock lengths [mm]: every bought length is a multiple of it."""
        return reduce(gcd, self.stock_mm, 0)

    @property
    def count(self) -> int:
        """Number of pieces."""
        return sum(self.demands)


@record
class Packing:
    """Bars as (stock number, pattern); `missing` counts by kind the pieces that no bar is left for."""

    bars: tuple[tuple[int, Pattern], ...]
    missing: Pattern = ()


@record
class Answer:
    """Bars bought, longest first, and what no plan can beat.

    bound_mm: proven lower bound of the bought length [mm], 0 where pieces are missing: it bounds whole plans only;
    missing_mm: pieces that the limited stock leaves uncut;
    method: what found the plan: greedy (quick plans), search (exact, short lists), columns (whole programme), dive.
    """

    bars: tuple[Bar, ...]
    bound_mm: int
    missing_mm: tuple[int, ...]
    method: str

    @property
    def bought_mm(self) -> int:
        """Total length of the bars [mm]."""
        return sum(bar.length_mm for bar in self.bars)

    @property
    def proven(self) -> bool:
        """Whether no plan can buy less: nothing is missing and the bound is met."""
        return not self.missing_mm and self.bought_mm == self.bound_mm


def make_problem(pieces_mm: Mapping[int, int], stock: Iterable[Stock], kerf_mm: int, trim_mm: int = 0) -> Problem:
    """Sort and merge pieces {length_mm: count} and stock [mm]. Stock that holds no piece, docked, is left out.

    Raises JobError for lengths that are not positive, counts or supplies below 0, a negative kerf or trim, or a piece
    longer than every stock length less its trim.
    """
    faults = [f"a piece of {length} mm: a length is at least 1 mm." for length in sorted(pieces_mm) if length < 1]
    faults += [f"{n} pieces of {length} mm: a count is at least 0." for length, n in pieces_mm.items() if n < 0]
    demand = {length: n for length, n in pieces_mm.items() if n > 0}
    total = sum(demand.values())
    shortest = min(demand, default=0)
    supply: dict[int, int | None] = {}
    for entry in stock:
        if entry.length_mm < 1 or (entry.supply is not None and entry.supply < 0):
            faults.append(
                f"stock of {entry.length_mm} mm, {entry.supply} of them: lengths are at least 1 mm, counts 0."
            )
            continue
        known = supply.get(entry.length_mm, 0)
        supply[entry.length_mm] = None if entry.supply is None or known is None else known + entry.supply
    usable = {length: n for length, n in supply.items() if length - trim_mm >= shortest and n != 0}
    longest = max(usable, default=trim_mm) - trim_mm
    faults += [
        f"a piece of {length} mm is longer than the longest stock, {longest} mm: allow joints or longer stock."
        for length in sorted(demand, reverse=True)
        if length > longest
    ]
    if kerf_mm < 0:
        faults.append(f"a kerf of {kerf_mm} mm: a kerf is at least 0.")
    if trim_mm < 0:
        faults.append(f"a trim of {trim_mm} mm: a trim is at least 0.")
    if faults:
        raise JobError(*faults)
    lengths = tuple(sorted(demand, reverse=True))
    stock_mm = tuple(sorted(usable, reverse=True))
    supplies = [usable[length] for length in stock_mm]
    return Problem(
        lengths_mm=lengths,
        demands=tuple(demand[length] for length in lengths),
        stock_mm=stock_mm,
        supplies=tuple(total if n is None else min(n, total) for n in supplies),
        limited=tuple(n is not None and n < total for n in supplies),
        kerf_mm=kerf_mm,
        trim_mm=trim_mm,
    )


def bought_of(problem: Problem, packing: Packing) -> int:
    """Total stock length of a packing [mm]."""
    lengths = problem.stock_mm
    return sum([lengths[stock] for stock, _ in packing.bars])


def rank(problem: Problem, packing: Packing) -> tuple[int, int, int, int]:
    """What is compared, least first: length missing, length bought, bars, cuts [mm, mm, each, each].

    A bar that its pieces fill exactly needs one cut less.
    """
    widths, rooms, lengths = problem.widths, problem.rooms, problem.stock_mm
    missing = sum(problem.lengths_mm[kind] * n for kind, n in packing.missing)
    bought, cuts = 0, 0
    for (stock, pattern), times in Counter(packing.bars).items():  # many bars are alike
        width = width_of(widths, pattern)
        bought += lengths[stock] * times
        cuts += (sum([n for _, n in pattern]) - (width == rooms[stock])) * times
    return missing, bought, len(packing.bars), cuts


def width_of(widths: tuple[int, ...], pattern: Pattern) -> int:
    """Sum of the widths in a pattern [mm]."""
    return sum([widths[kind] * n for kind, n in pattern])


def check_packing(problem: Problem, packing: Packing) -> None:
    """Verify a packing in whole numbers: every piece once, no bar over its length, no supply overdrawn.

    Raises TakeoffError: a packing that fails here is our own fault, whatever the solver said.
    """
    widths, rooms = problem.widths, problem.rooms
    seen: Counter[int] = Counter(dict(packing.missing))
    used: Counter[int] = Counter()
    for stock, pattern in packing.bars:
        used[stock] += 1
        seen.update(dict(pattern))
        if width_of(widths, pattern) > rooms[stock]:
            raise TakeoffError(f"a bar of {problem.stock_mm[stock]} mm holds more than its length.")
    if any(seen[kind] != demand for kind, demand in enumerate(problem.demands)):
        raise TakeoffError("the cut plan does not hold every piece exactly once.")
    if any(used[stock] > supply for stock, supply in enumerate(problem.supplies)):
        raise TakeoffError("the cut plan takes more bars than the supply has.")


def to_answer(problem: Problem, packing: Packing, bound_mm: int, method: str) -> Answer:
    """The checked packing as bars, longest bar first, then by pieces. Raises TakeoffError as `check_packing`."""
    check_packing(problem, packing)
    bars = [Bar(problem.stock_mm[stock], _spelled(problem, pattern)) for stock, pattern in packing.bars]
    bars.sort(key=lambda bar: (bar.length_mm, bar.pieces_mm), reverse=True)
    missing = _spelled(problem, packing.missing)
    answer = Answer(tuple(bars), 0 if missing else bound_mm, missing, method)
    if not answer.missing_mm and answer.bought_mm < bound_mm:
        raise TakeoffError(f"the bought length {answer.bought_mm} mm is below its proven bound {bound_mm} mm.")
    return answer


def _spelled(problem: Problem, pattern: Pattern) -> tuple[int, ...]:
    return tuple(problem.lengths_mm[kind] for kind, n in pattern for _ in range(n))
