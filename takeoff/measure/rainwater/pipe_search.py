"""The fewest downpipes that keep every limit, and the best places for them: an exact search over where pipes may stand.

Costs add up along the run: limits not kept, pipes, pipes out along a wall, then the squares of what each takes (least
when water is shared evenly), in whole thousandths of m4 so that crumbs decide nothing. What a pipe takes depends on
both neighbours, so the search goes from pair to pair of neighbouring pipes (dynamic programming, Bellman 1957). Of
places that cost alike those next to the start are taken, on a ring a corner of its own (`Site.start_mm`): same run,
same places.

The work grows with the fourth power of the places within reach of one another. Where corners crowd, as round a turret,
places that stand close together are thinned first: the search is then exact over those left.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.placing import Breach, Limits, PipeGround

Cost = tuple[int, int, int, int]
_Way = tuple[Cost, tuple[float, ...]]  # cost of all pipes but the last, and their places
_Into = dict[float, dict[float, _Way]]  # last pipe -> the one before it -> the cheapest way there
_NONE: Cost = (0, 0, 0, 0)
_MOST_STEPS = 2e7  # steps that a search may take at most before places are thinned; a house takes some thousand
_THIN_MM = 50.0  # places this close are thinned first, then those up to a quarter further apart, and so on
_LOOSER = 1.5  # how far over the spacing the search goes where the limits cannot all be kept


@dataclass(frozen=True, slots=True)
class Placed:
    """Places of a run's pipes, sorted, mm along it, and the limits that they do not keep."""

    places: tuple[float, ...]
    breaches: tuple[Breach, ...]


def place_pipes(site: PipeGround, limits: Limits, least: int) -> Placed:
    """The fewest pipes that keep all limits, at wall ends as far as that costs no more than one pipe above `least`.

    Where it costs more, pipes may stand anywhere along the walls; where no places keep all limits, those that breach
    the fewest are taken.
    """
    ends, anywhere = (*site.good, *site.other), (*site.good, *site.other, *site.spare)
    places = _Search(site, limits, ends, strict=True).best()
    if places is None or len(places) > least + 1:
        fewest = _Search(site, limits, anywhere, strict=True).best()
        if fewest is not None and (places is None or len(fewest) < len(places)):
            places = fewest
    found = tuple(places or _Search(site, limits, anywhere, strict=False).best() or anywhere[:1])
    return Placed(found, tuple(site.breaches(found, limits)))


class _Search:
    """The search on one run. Positions on a ring are unrolled: they go on past the start."""

    def __init__(self, site: PipeGround, limits: Limits, places: Sequence[float], strict: bool) -> None:
        self.site, self.limits, self.strict = site, limits, strict
        self.ring, self.length = site.run.ring, site.length_mm
        self.reach = limits.spacing_mm * (1.0 if strict else _LOOSER) + TOLERANCES.same_point_mm
        clear = limits.clear_mm - TOLERANCES.same_point_mm
        self.good = frozenset(site.good)
        self.places = self._thinned(
            [place for place in sorted(places) if all(site.apart(place, corner) >= clear for corner in site.inside)]
        )
        turns = (0.0, self.length, 2.0 * self.length) if self.ring else (0.0,)
        feet = [f.along_mm for f in site.run.valleys if f.plan_catchment_mm2 > limits.valley_from_mm2]
        self.heavy = [foot + turn for turn in turns for foot in feet]
        # the search asks for the same half-way points, and the same three neighbours, again and again
        self._water: dict[float, float] = {}
        self._paid: dict[tuple[float | None, float, float | None], Cost | None] = {}
        self._most: tuple[int, int] | None = None  # limits not kept and pipes of the best ring so far
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
        for place in self.places:
            breaches = len(self.site.breaches([place], self.limits))
            if not (breaches and self.strict):
                found.append(((breaches, 1, int(place not in self.good), 0), (place,)))
        found += self._round() if self.ring else self._across()
        if not found:
            return None
        least = min(cost for cost, _ in found)
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
        return [done for way in ways if (done := self._step(way, None)) is not None]

    def _round(self) -> list[_Way]:
        """Two or more pipes on a ring: each pair of first pipes in turn, on and round to the first again."""
        done: list[_Way] = []
        unrolled = [place + turn for turn in (0.0, self.length, 2.0 * self.length) for place in self.places]
        for first in self._window():
            close = first + self.length
            nodes = [place for place in unrolled if first < place <= close]
            for second in self._ahead(first, nodes[:-1]):
                into: _Into = {second: {first: (_NONE, (first, second))}}
                self._go_on(into, [place for place in nodes if place >= second], close)
                for way in into.get(close, {}).values():
                    # the first pipe is paid for last, when both its neighbours are known
                    if (full := self._step(way, second + self.length)) is not None:
                        done.append((full[0], way[1][:-1]))
                        self._most = min(self._most or full[0][:2], full[0][:2])
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

    def _upto(self, along_mm: float) -> float:
        if along_mm not in self._water:
            self._water[along_mm] = self.site.water.upto(along_mm)
        return self._water[along_mm]

    def _go_on(self, into: _Into, places: Sequence[float], close: float | None = None) -> None:
        """Lead every way on from place to place, keeping the cheapest to each pair of neighbours.

        On a ring that ends at `close` a way that must end dearer than the best ring so far goes no further.
        """
        for here in places:
            for ahead in self._ahead(here, places) if here in into else ():
                ways = list(into[here].values())
                if close is not None and self._most is not None:
                    # still to be paid for: this pipe, the one ahead, and the fewest that reach from there to the end
                    more = 2 + ceil((close - ahead) / self.reach - 1e-9)
                    ways = [way for way in ways if (way[0][0], way[0][1] + more) <= self._most]
                self._keep(into, here, ahead, ways)

    def _keep(self, into: _Into, here: float, ahead: float, ways: Sequence[_Way]) -> None:
        on = [longer for way in ways if (longer := self._step(way, ahead)) is not None]
        known = into.get(ahead, {}).get(here)
        if on:
            into.setdefault(ahead, {})[here] = min([*on, known] if known else on)

    def _step(self, way: _Way, ahead: float | None) -> _Way | None:
        """A way led on by one pipe (`ahead`) or to the end (None); its last pipe so far is now paid for."""
        cost, path = way
        here = path[-1]
        behind = path[-2] if len(path) > 1 else None
        key = (behind, here, ahead)
        if key not in self._paid:
            self._paid[key] = self._price(behind, here, ahead)
        more = self._paid[key]
        if more is None:
            return None
        paid = (cost[0] + more[0], cost[1] + 1, cost[2] + more[2], cost[3] + more[3])
        return paid, (path if ahead is None else (*path, ahead))

    def _price(self, behind: float | None, here: float, ahead: float | None) -> Cost | None:
        """What the pipe between these neighbours costs; None where it must keep every limit and does not."""
        low = 0.0 if behind is None else (behind + here) / 2.0
        high = self.length if ahead is None else (here + ahead) / 2.0
        area = self._upto(high) - self._upto(low)
        breaches = self._broken(area, high - low) + self._feet_missed(behind, here, ahead)
        if ahead is not None and ahead - here > self.limits.spacing_mm + TOLERANCES.same_point_mm:
            breaches += 1
        if breaches and self.strict:
            return None
        return breaches, 1, int(here not in self.good), round((area / 1e6) ** 2 * 1e3)

    def _broken(self, area_mm2: float, length_mm: float) -> int:
        over = 0.0 < self.limits.capacity_mm2 < area_mm2 * (1.0 - 1e-9)
        return int(over) + int(length_mm > self.limits.length_mm + TOLERANCES.same_point_mm)

    def _feet_missed(self, behind: float | None, here: float, ahead: float | None) -> int:
        """Heavy valleys between this pipe and the next (and before the first) with neither near their foot."""
        missed = 0
        for foot in self.heavy:
            if here < foot and (ahead is None or foot <= ahead):
                off = min(foot - here, ahead - foot if ahead is not None else foot - here)
            elif behind is None and not self.ring and foot <= here:
                off = here - foot
            else:
                continue
            missed += off > self.limits.valley_within_mm + TOLERANCES.same_point_mm
        return missed
