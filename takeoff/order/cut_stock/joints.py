"""Where a run may be joined: every way of cutting it into the fewest pieces that stock can give."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice, pairwise
from math import ceil

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.runs import RunDemand

# ways looked at for one run and one number of pieces; the longest first piece comes first, then the shortest
WAYS = 240
# lengths are printed in whole mm, half up: what is over a stock length by less than half a mm is that length
PRINTED_MM = TOLERANCES.same_point_mm - TOLERANCES.same_length_mm


@record
class Way:
    """One way of cutting a run: joints [mm along the run, middle of the lap] and pieces [whole mm], from its start."""

    joints_mm: tuple[float, ...]
    starts_mm: tuple[float, ...]
    pieces_mm: tuple[int, ...]


def whole_mm(length_mm: float) -> int:
    """A computed length as the saw is told it: the next whole mm, floating-point crumbs forgiven."""
    return max(1, ceil(length_mm - TOLERANCES.same_length_mm))


def piece_mm(length_mm: float, stock_mm: Sequence[int]) -> int:
    """A piece as the saw is told it; one that prints as a whole stock length is that length: no saw parts the two.

    >>> piece_mm(3000.003, (6000, 3000)), piece_mm(3000.5, (6000, 3000)), piece_mm(3000.6, (6000, 3000))
    (3000, 3001, 3001)
    """
    whole = whole_mm(length_mm)
    return whole - 1 if whole - 1 in stock_mm and length_mm - (whole - 1) <= PRINTED_MM else whole


@record
class _Run:
    """What of a run says how it may be cut, as `RunDemand` has it: rows of a roof come in pairs and more that are
    alike."""

    length_mm: float
    splits_mm: tuple[float, ...] | None
    lap_mm: float
    least_mm: float
    stagger_mm: float


def ways_to_cut(run: RunDemand, stock_mm: Sequence[int], more: int = 0) -> tuple[Way, ...]:
    """Ways of cutting a run into the fewest pieces, plus `more`, that are each no longer than the longest stock.

    At a joint both pieces pass its middle by half the lap, so k pieces sum to the run plus k - 1 laps. A run that fits
    whole has the one way without a joint. Empty when no allowed joints make pieces that stock can give.
    """
    alike = _Run(run.length_mm, run.splits_mm, run.lap_mm, run.least_mm, run.stagger_mm)
    return _ways(alike, tuple(stock_mm), more)


@lru_cache(maxsize=512)
def _ways(run: _Run, stock_mm: tuple[int, ...], more: int) -> tuple[Way, ...]:
    longest = max(stock_mm, default=0)
    whole = piece_mm(run.length_mm, stock_mm)
    if whole <= longest and not more:
        return (_way(run, (), stock_mm),)
    if run.splits_mm is None:
        return _anywhere(run, stock_mm, more)
    inside = tuple(sorted({x for x in run.splits_mm if 0.0 < x < run.length_mm}))
    ahead = _ahead(run, inside, stock_mm)
    pieces = 1 if whole <= longest else _fewest(ahead)
    if pieces is None:
        return ()
    count = pieces + more
    stops = (0.0, *inside, run.length_mm)
    lists = [islice(_choices(stops, ahead, count, longest_first), WAYS) for longest_first in (True, False)]
    each = dict.fromkeys(joints for found in lists for joints in found)
    return tuple(_way(run, joints, stock_mm) for joints in each)


def _fewest(ahead: Sequence[Sequence[int]]) -> int | None:
    """The least number of pieces over the allowed joints; None when a stretch between them is too long or too short."""
    least: list[int | None] = [0] + [None] * (len(ahead) - 1)
    for a, reach in enumerate(ahead):
        so_far = least[a]
        if so_far is not None:
            for b in reach:
                known = least[b]
                least[b] = so_far + 1 if known is None else min(known, so_far + 1)
    return least[-1]


def _ahead(run: _Run, inside: Sequence[float], stock_mm: Sequence[int]) -> list[list[int]]:
    """For each stop (the start, the allowed joints, the end) those further on that one allowed piece leads to."""
    stops = (0.0, *inside, run.length_mm)
    longest = max(stock_mm, default=0)
    least = run.least_mm - TOLERANCES.same_length_mm
    ahead = []
    for a, stop in enumerate(stops):
        # a whole mm and two halves of a lap more than from stop to stop, at most
        near = bisect_right(stops, stop + least - run.lap_mm - 1.0, a + 1)
        far = bisect_right(stops, stop + longest + 1.0)
        ahead.append([b for b in range(near, far) if least <= _length(run, stop, stops[b], stock_mm) <= longest])
    return ahead


def _length(run: _Run, a_mm: float, b_mm: float, stock_mm: Sequence[int]) -> int:
    ends = (a_mm > 0.0) + (b_mm < run.length_mm)
    return piece_mm(b_mm - a_mm + ends * run.lap_mm / 2.0, stock_mm)


def _choices(
    stops: Sequence[float], ahead: Sequence[Sequence[int]], count: int, longest_first: bool
) -> Iterator[tuple[float, ...]]:
    """Joints that make `count` allowed pieces; dead ends are known beforehand, so each way costs little."""
    last = len(stops) - 1
    # ends[n]: stops from which the rest can be cut into exactly n pieces
    ends = [{last}]
    for _ in range(count):
        ends.append({a for a in range(last) if not ends[-1].isdisjoint(ahead[a])})

    def walk(at: int, left: int, joints: tuple[float, ...]) -> Iterator[tuple[float, ...]]:
        if left == 1:
            if last in ahead[at]:
                yield joints
            return
        for b in reversed(ahead[at]) if longest_first else ahead[at]:
            if b in ends[left - 1]:
                yield from walk(b, left - 1, (*joints, stops[b]))

    yield from walk(0, count, ())


def _anywhere(run: _Run, stock_mm: Sequence[int], more: int) -> tuple[Way, ...]:
    """Joints anywhere: whole stock lengths first or last with the remainder at the other end, and equal pieces.

    Pieces = ceil((R - lap) / (stock - lap)) (practice for lapped flashings). First pieces shortened by the stagger,
    twice the stagger and so on give the next row joints that are clear of these.
    """
    longest, lap = max(stock_mm, default=0), run.lap_mm
    if longest <= lap:
        return ()
    fewest = ceil((run.length_mm - PRINTED_MM - lap) / (longest - lap))
    count = (1 if piece_mm(run.length_mm, stock_mm) <= longest else fewest) + more
    total = run.length_mm + (count - 1) * lap
    lists: list[list[float]] = []
    for size in stock_mm:
        rest = total - size * (count - 1)
        if 0.0 < rest <= longest + PRINTED_MM:
            lists += [[*[float(size)] * (count - 1), rest], [rest, *[float(size)] * (count - 1)]]
    equal = float(whole_mm(total / count))
    lists.append([*[equal] * (count - 1), total - equal * (count - 1)])
    lists += _staggered(run, total, longest, count)
    ways = []
    for pieces in lists:
        if all(max(run.least_mm, lap + 1.0) <= piece <= longest + PRINTED_MM for piece in pieces):
            joints = []
            at = 0.0
            for n, piece in enumerate(pieces[:-1]):
                at += piece - (lap / 2.0 if n == 0 else lap)
                joints.append(at)
            ways.append(_way(run, tuple(joints), stock_mm))
    return tuple(dict.fromkeys(ways))


def _staggered(run: _Run, total_mm: float, longest_mm: int, count: int) -> Iterator[list[float]]:
    step = run.stagger_mm or longest_mm / 4.0
    first = longest_mm - step
    while first > max(run.least_mm, run.lap_mm):
        rest = total_mm - first - longest_mm * (count - 2)
        if 0.0 < rest <= longest_mm + PRINTED_MM:
            yield [first, *[float(longest_mm)] * (count - 2), rest]
        first -= step


def _way(run: _Run, joints_mm: tuple[float, ...], stock_mm: Sequence[int]) -> Way:
    stops = (0.0, *joints_mm, run.length_mm)
    half = run.lap_mm / 2.0
    starts = tuple(stop - half if stop > 0.0 else 0.0 for stop in stops[:-1])
    return Way(joints_mm, starts, tuple(_length(run, a, b, stock_mm) for a, b in pairwise(stops)))
