"""Where the pipes of a run stand: the fewest that keep every limit (fewest_pipes.py), at the best places for so many.

The best places are those of an exact search over wall ends, corners and middles of walls, where so few pipes hold
there; else those of the search for the fewest, moved until they cannot be bettered (polish.py).

Costs add up along the run: pipes, inside corners that two pipes share, neighbours that stand close, pipes out along a
wall, then the squares of what each takes (least when water is shared evenly), in whole thousandths of m4 so that crumbs
decide nothing. What a pipe takes depends on both neighbours, so the search goes from pair to pair of neighbouring pipes
(dynamic programming, Bellman 1957). Of places that cost alike those next to the start are taken, on a ring a corner of
its own (`Site.start_mm`): same run, same places.

The work grows with the fourth power of the places within reach of one another. Where corners crowd, as round a turret,
places that stand close together are thinned first: the search is then exact over those left.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from math import ceil, floor, inf

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.fewest_pipes import FewestPipes, Field, least_excess, loosened
from takeoff.measure.rainwater.limits import VALLEY, Limits, counts_by_limit
from takeoff.measure.rainwater.placing import Breach, PipeGround
from takeoff.measure.rainwater.polish import polished

Cost = tuple[int, int, int, int]
_Way = tuple[Cost, tuple[float, ...]]  # cost of all pipes but the last, and their places
_Into = dict[float, dict[float, _Way]]  # last pipe -> the one before it -> the cheapest way there
_NONE: Cost = (0, 0, 0, 0)
_MOST_STEPS = 2e7  # steps that a search may take at most before places are thinned; a house takes some thousand
_THIN_MM = TOLERANCES.thin_places_mm


@record
class _Gap:
    """What lies between two neighbours: where the water parts [mm along the run] and what has come in up to there, as
    the pipe's capacity and as the gutter's section count it; what it costs that they stand `close`, more where they
    share an inside corner; whether a heavy valley is `missed`, with neither near its foot."""

    parted_mm: float
    capacity_mm2: float
    section_mm2: float
    close: int
    missed: bool


@record
class Placed:
    """Places of a run's pipes, sorted, mm along it, and the limits that they do not keep. `fewest`: what would do
    anywhere along the walls, fewer where a pipe more was taken for wall ends. `excess`: how far, as a share, the limits
    had to be loosened."""

    places: tuple[float, ...]
    breaches: tuple[Breach, ...]
    fewest: int = 0
    excess: float = 0.0


def place_pipes(site: PipeGround, limits: Limits, apart_mm: float = 3000.0, more: int = 0) -> Placed:
    """The fewest pipes that keep all limits, proven; where none do, those that go over the limits by the least share,
    and of these the fewest. `more`: how many pipes more may be taken so that they stand at wall ends. Neighbours
    nearer than `apart_mm` share an inside corner between them only where so few pipes hold in no other way."""
    field = site.field(limits)
    kept, excess, places = limits, 0.0, _soon(site, field, limits)
    if places is None:
        excess = least_excess(field, limits)
        kept = loosened(limits, excess) if excess else limits
        least = least_count(site, kept)
        places = FewestPipes(field, kept).best(least, len(field.places_mm)) or tuple(field.places_mm[:1])
    fewest = len(places)
    if not site.fixed:
        places = _at_walls(site, kept, fewest, more, apart_mm) or places
    if len(places) == fewest and _corners_shared(site, places, apart_mm):
        places = FewestPipes(field, kept, apart_mm).best(fewest, fewest) or places
    if not _looked_at(site, places) or any(gap < apart_mm for gap in site.gaps(places)):
        places = polished(field, kept, places, site.good, apart_mm)
    return Placed(places, tuple(site.breaches(places, limits)), fewest, excess)


def least_count(site: PipeGround, limits: Limits) -> int:
    """A count that no plan goes below: the most that any limit by itself asks for."""
    counts = dict(counts_by_limit(site.run, limits, site.brought_mm2))
    return max(1, len(site.fixed), *(count for name, count in counts.items() if name != VALLEY))


def _soon(site: PipeGround, field: Field, limits: Limits) -> tuple[float, ...] | None:
    """The fewest places that keep all limits, if they are few more than the least: then nothing need be loosened."""
    least = least_count(site, limits)
    return FewestPipes(field, limits).best(least, least + 3)


def _at_walls(site: PipeGround, limits: Limits, fewest: int, more: int, apart_mm: float) -> tuple[float, ...] | None:
    """Places at wall ends, corners and middles of walls for the fewest pipes; with up to `more` pipes above them where
    they then stand at wall ends."""
    ends, anywhere = (*site.good, *site.other), (*site.good, *site.other, *site.spare)
    found: list[tuple[Cost, tuple[float, ...]]] = []
    for places, most in ((ends, fewest + more), (anywhere, fewest)):
        search = _Search(site, limits, places, most, apart_mm)
        best = search.best()
        if best is not None:
            found.append((search.cost, tuple(best)))
            if search.cost[1] == 0:  # none stands close to its neighbour
                break
    return min(found)[1] if found else None


def _corners_shared(site: PipeGround, places: Sequence[float], apart_mm: float) -> int:
    """How many neighbours share an inside corner between them."""
    return sum(
        gap < apart_mm and any(0.0 < (corner - place) % site.length_mm < gap for corner in site.inside)
        for place, gap in zip(places, site.gaps(places), strict=False)
    )


def _looked_at(site: PipeGround, places: Sequence[float]) -> bool:
    known = {*site.good, *site.other, *site.spare}
    return not site.fixed and known.issuperset(places)


class _Search:
    """The search on one run over the places given, for at most `most` pipes that keep all limits. Positions on a ring
    are unrolled: they go on past the start."""

    def __init__(self, site: PipeGround, limits: Limits, places: Sequence[float], most: int, apart_mm: float) -> None:
        self.site, self.limits, self.most, self.apart_mm = site, limits, most, apart_mm
        self.ring, self.length = site.run.ring, site.length_mm
        self.reach = limits.spacing_mm + TOLERANCES.same_point_mm
        clear = limits.clear_mm - TOLERANCES.same_point_mm
        self.good = frozenset(site.good)
        self.places = self._thinned(
            [place for place in sorted(places) if all(site.apart(place, corner) >= clear for corner in site.inside)]
        )
        turns = (0.0, self.length, 2.0 * self.length) if self.ring else (0.0,)
        feet = [f.along_mm for f in site.run.valleys if f.plan_catchment_mm2 > limits.valley_from_mm2]
        self.heavy = [foot + turn for turn in turns for foot in feet]
        self.corners = [corner + turn for turn in turns for corner in site.inside]
        self._gaps: dict[tuple[float | None, float | None], _Gap] = {}  # between neighbours, asked for again and again
        self._most = most  # pipes of the best ring so far
        self.cost = _NONE  # of the places found
        self.good = frozenset(place + turn for turn in turns for place in site.good)

    def _thinned(self, places: list[float]) -> list[float]:
        """Places few enough to search: one each so many mm (at a wall end if any) and those that part a run evenly."""
        apart, kept = _THIN_MM, places
        while self._steps(kept) > _MOST_STEPS:
            cells: dict[int, list[float]] = {}
            for place in places:
                cells.setdefault(int(self._from_start(place) // apart), []).append(place)
            best = {
                min(
                    cell, key=lambda place: (place not in self.good, abs(self._from_start(place) % apart - apart / 2.0))
                )
                for cell in cells.values()
            }
            kept = [place for place in places if place in best or place in self.site.even]
            apart *= 1.25
        return kept

    def _steps(self, places: Sequence[float]) -> float:
        """About how many steps a search of these places takes at most."""
        unrolled = [place + turn for turn in ((0.0, self.length) if self.ring else (0.0,)) for place in places]
        counts = [len(self._ahead(place, unrolled)) for place in places]
        pairs = float(sum(count * count for count in counts))
        return pairs * min(counts) * sum(counts) / len(counts) if self.ring and counts else pairs

    def best(self) -> list[float] | None:
        """The cheapest places; None where none will do."""
        found: list[_Way] = []
        alone = not self._broken(*self.site.brought_mm2, self.length)  # a single pipe takes it all, wherever it stands
        for place in self.places if alone else ():
            if not self.site.breaches([place], self.limits):
                found.append(((1, 0, int(place not in self.good), 0), (place,)))
        if self.most > 1:
            found += self._round() if self.ring else self._across()
        if not found:
            return None
        self.cost = least = min(cost for cost, _ in found)
        alike = [self._named(path) for cost, path in found if cost == least]
        return sorted(min(alike, key=lambda path: sorted(self._from_start(place) for place in path)))

    def _named(self, path: Sequence[float]) -> list[float]:
        """The places of a path as they were given, not unrolled."""
        return [
            min(self.places, key=lambda known: self.site.apart(known, place % self.length)) if self.ring else place
            for place in path
        ]

    def _from_start(self, place: float) -> int:
        """How far a place lies from the start of the run, in whole mm parted where no typed place lies."""
        return floor((place - self.site.start_mm) % self.length + 0.37) if self.ring else floor(place + 0.37)

    def _across(self) -> list[_Way]:
        """Two or more pipes on a run with ends."""
        into: _Into = {}
        for here in self.places:
            for ahead in self._ahead(here, self.places):
                self._keep(into, here, ahead, [(_NONE, (here,))])
        self._go_on(into, self.places)
        ways = [way for by in into.values() for way in by.values()]
        return [done for way in ways if (done := self._step(way, self._gap(way[1][-1], None), None)) is not None]

    def _round(self) -> list[_Way]:
        """Two or more pipes on a ring: each pair of first pipes in turn, on and round to the first again."""
        done: list[_Way] = []
        unrolled = [place + turn for turn in (0.0, self.length) for place in self.places]
        for first in self._window():
            close = first + self.length
            nodes = [place for place in unrolled if first < place <= close]
            for second in self._ahead(first, nodes[:-1]):
                into: _Into = {second: {first: (_NONE, (first, second))}}
                self._go_on(into, [place for place in nodes if place >= second], close)
                for way in into.get(close, {}).values():
                    # the first pipe is paid for last, when both its neighbours are known
                    after = self._gap(close, second + self.length)
                    if (full := self._step(way, after, second + self.length)) is not None:
                        done.append((full[0], way[1][:-1]))
                        self._most = min(self._most, full[0][0])
        return done

    def _window(self) -> list[float]:
        """The fewest places among which one pipe must stand, since no gap is longer than the reach."""
        unrolled = [place + turn for turn in (0.0, self.length) for place in self.places]
        windows = [
            [n % len(self.places) for n in range(i, i + 1 + len(self._ahead(place, unrolled)))]
            for i, place in enumerate(self.places)
        ]
        least = min(windows, key=lambda w: (len(w), self._from_start(self.places[w[0]])), default=[])
        return [self.places[n] for n in sorted(set(least))]

    def _ahead(self, here: float, places: Sequence[float]) -> Sequence[float]:
        """Places (sorted) within reach to the right of one."""
        return places[bisect_right(places, here) : bisect_right(places, here + self.reach)]

    def _gap(self, left: float | None, right: float | None) -> _Gap:
        """The gap between neighbours; None: before the first pipe of a run with ends, or behind its last."""
        found = self._gaps.get((left, right))
        if found is None:
            found = self._gaps[left, right] = self._looked_into(left, right)
        return found

    def _looked_into(self, left: float | None, right: float | None) -> _Gap:
        parted = 0.0 if left is None else self.length if right is None else (left + right) / 2.0
        capacity, section = self.site.sized
        held = capacity.upto(parted)
        close = 0
        if left is not None and right is not None and right - left < self.apart_mm:
            close = 100 if any(left < corner < right for corner in self.corners) else 1
        low, high = -inf if left is None else left, inf if right is None else right
        most = self.limits.valley_within_mm + TOLERANCES.same_point_mm
        missed = any(min(foot - low, high - foot) > most for foot in self.heavy if low < foot < high)
        return _Gap(parted, held, held if section is capacity else section.upto(parted), close, missed)

    def _go_on(self, into: _Into, places: Sequence[float], close: float | None = None) -> None:
        """Lead every way on from place to place, keeping the cheapest to each pair of neighbours.

        A way that must end with more pipes than are asked for, on a ring that ends at `close` with more than the best
        so far, goes no further.
        """
        end = self.length if close is None else close
        for here in places:
            for ahead in self._ahead(here, places) if here in into else ():
                ways = list(into[here].values())
                # still to be paid for: this pipe, the one ahead, and the fewest that reach from there to the end
                left = end - ahead if close is not None else end - ahead - self.limits.length_mm
                more = 2 + max(0, ceil(left / self.reach - 1e-3))
                ways = [way for way in ways if way[0][0] + more <= self._most]
                self._keep(into, here, ahead, ways)

    def _keep(self, into: _Into, here: float, ahead: float, ways: Sequence[_Way]) -> None:
        after = self._gap(here, ahead)
        on = [longer for way in ways if (longer := self._step(way, after, ahead)) is not None]
        known = into.get(ahead, {}).get(here)
        if on:
            into.setdefault(ahead, {})[here] = min([*on, known] if known else on)

    def _step(self, way: _Way, after: _Gap, ahead: float | None) -> _Way | None:
        """A way led on over a gap by one pipe (`ahead`) or to the end (None); its last pipe so far is now paid for."""
        cost, path = way
        more = self._price(self._gap(path[-2] if len(path) > 1 else None, path[-1]), path[-1], after)
        if more is None:
            return None
        paid = (cost[0] + more[0], cost[1] + more[1], cost[2] + more[2], cost[3] + more[3])
        return paid, (path if ahead is None else (*path, ahead))

    def _price(self, before: _Gap, here: float, after: _Gap) -> Cost | None:
        """What a pipe between two gaps costs; None where it does not keep every limit."""
        taken = after.capacity_mm2 - before.capacity_mm2
        section, length = after.section_mm2 - before.section_mm2, after.parted_mm - before.parted_mm
        if before.missed or after.missed or self._broken(taken, section, length):
            return None
        return 1, after.close, int(here not in self.good), round((taken / 1e6) ** 2 * 1e3)

    def _broken(self, capacity_mm2: float, section_mm2: float, length_mm: float) -> bool:
        limits, share = self.limits, 1.0 - 1e-9
        return (
            0.0 < limits.capacity_mm2 < capacity_mm2 * share
            or 0.0 < limits.section_mm2 < section_mm2 * share
            or length_mm > limits.length_mm + TOLERANCES.same_point_mm
        )
