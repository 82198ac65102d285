"""The fewest downpipes that keep every limit, proven: an exact search over many places, 100 mm apart and closer.

Going along a run from pipe to pipe, what has gone before matters only by where the water parted last: the further
along that lies, the less is left for the pipe there, and the more freely the search goes on. So of all ways to stand at
a place with so many pipes only that with the furthest parting is kept, and nothing is lost. On a ring the parting left
of the first pipe is not known at the start: it is taken as far along as it could lie and moved back to where the way
round ends, until it stays (the greatest fixed point of a function that grows, Tarski 1955) or no way is left.

Where the limits cannot all be kept, all of them are loosened in one proportion, just as far as pipes hold.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.limits import Limits, binding
from takeoff.measure.rainwater.water_curve import Bools, Floats, Indices, WaterCurve, behind

_CRUMB = 1e-9
_BOTH = np.array([[0], [1]])  # a place and the next
_LOOKS_BESIDE = 3  # for a place near where it should be, before the rest is halved
_MOST_TRIES = 40  # to settle where the water parts; what has not settled is looked for place by place


class SearchTooLongError(Exception):
    """A search was given a number of steps and has not ended within them."""


@record
class Field:
    """A run as places [mm along it, sorted] with its water as the pipe's capacity and as the gutter's section count it,
    the feet of heavy valleys, inside corners, and the pipes that stand by hand (which are among the places)."""

    places_mm: Floats
    curves: tuple[WaterCurve, WaterCurve]
    feet_mm: Floats
    inside_mm: Floats
    fixed_mm: Floats
    start_mm: float = 0.0

    @property
    def ring(self) -> bool:
        """Whether the run closes on itself."""
        return self.curves[0].ring

    @property
    def length_mm(self) -> float:
        """Length of the run [mm]."""
        return self.curves[0].length_mm


@record
class _State:
    """Ways to stand at places with one count of pipes: where the water parted last (once on the way: minus infinity
    where none stands), what came up to there by each measure, and from where."""

    at: Bools
    parted_mm: Floats
    water_mm2: tuple[Floats, ...]
    came: Indices


def measured_by(field: Field, limits: Limits) -> tuple[tuple[WaterCurve, float], ...]:
    """The curves of water that a limit holds, each with the most [mm2] that one outlet may take."""
    limits = binding(limits, field.curves[0] is field.curves[1])
    pairs = zip(field.curves, (limits.capacity_mm2, limits.section_mm2), strict=True)
    return tuple((curve, most / (1.0 - _CRUMB)) for curve, most in pairs if most > 0.0)


class FewestPipes:
    """The search over one run by one set of limits. `apart_mm`: neighbours nearer than this with an inside corner
    between them are not taken (0: they are). `steps`: places that may be looked at before SearchTooLongError."""

    def __init__(self, field: Field, limits: Limits, apart_mm: float = 0.0, steps: float = float("inf")) -> None:
        self.field, self.limits, self.steps = field, limits, steps
        self.count = len(field.places_mm)
        turns = 2 if field.ring else 1
        self.x = np.concatenate([field.places_mm + turn * field.length_mm for turn in range(turns)])
        self.measures = measured_by(field, limits)
        self.longest_mm = limits.length_mm + TOLERANCES.same_point_mm
        self.within_mm = limits.valley_within_mm + TOLERANCES.same_point_mm
        self.reach_mm = min(limits.spacing_mm + TOLERANCES.same_point_mm, 2.0 * self.longest_mm, field.length_mm)
        self._pairs(apart_mm)

    def _pairs(self, apart_mm: float) -> None:
        """For every place those behind it within reach, nearest first: whether both may be neighbours."""
        size = len(self.x)
        numbers, reached = np.arange(size), np.searchsorted(self.x, self.x - self.reach_mm, side="left")
        self.furthest_ahead = np.searchsorted(reached, numbers, side="right") - 1
        self.most = int((numbers - reached).max(initial=0))
        steps = np.arange(1, self.most + 1)[None, :]
        # on a ring two places may be one across the seam
        alike = numbers - np.searchsorted(self.x, self.x - _CRUMB, side="left")
        self.may = steps > alike[:, None]
        if not self.most:
            return
        for foot in self._turned(self.field.feet_mm):
            on, a, b = self._round_about(foot)
            self.may[on] &= np.minimum(foot - a, b - foot) <= self.within_mm
        for fixed in self._turned(self.field.fixed_mm):
            on, a, b = self._round_about(fixed)
            self.may[on] &= ~((a < fixed) & (fixed < b))
        for corner in self._turned(self.field.inside_mm):
            on, a, b = self._round_about(corner)
            self.may[on] &= ~((a < corner) & (corner < b) & (b - a < apart_mm))

    def _round_about(self, at_mm: float) -> tuple[slice, Floats, Floats]:
        """The places that a position may lie between and one within reach behind: these behind each, and the places."""
        first, end = map(int, np.searchsorted(self.x, (at_mm, at_mm + self.reach_mm)))
        before = np.maximum(np.arange(first, end)[:, None] - np.arange(1, self.most + 1), -1)
        return slice(first, end), self.x[before], self.x[first:end, None]

    def _turned(self, places_mm: Floats) -> Floats:
        if not self.field.ring:
            return places_mm
        return np.concatenate([places_mm, places_mm + self.field.length_mm])

    def best(self, least: int, most: int) -> tuple[float, ...] | None:
        """Places of the fewest pipes, at least `least` of them and at most `most`; None where none will do."""
        if self.count == 0:
            return None
        if least <= 1 and (one := self._one()):
            return one
        if not self.field.ring:
            return self._across(most)
        for count in range(least, most + 1):
            for first in self._hopeful(count):
                if found := self._round(first, count):
                    return found
        return None

    def holds(self) -> bool:
        """Whether any number of pipes keeps all limits."""
        if self.count == 0:
            return False
        if self._one():
            return True
        if not self.field.ring:
            return self._across(self.count) is not None
        return any(self._round(first, None) for first in self._hopeful(None))

    def _hopeful(self, count: int | None) -> list[int]:
        """Places of the window from which a way round with so many pipes may be found, or (None) with any number of two
        or more. All are tried at once: each place keeps whatever way to it has parted furthest, from whichever first
        pipe, so what cannot end even so cannot end by itself. Where the water parts at a way's end it parts at its
        beginning, which is tried again until nothing moves."""
        partings = {first: self._furthest_parting(first) for first in self._window()}
        for _ in range(_MOST_TRIES):
            ends = self._ends(partings, count)
            length = self.field.length_mm
            kept = {first: min(parted, ends[first] - length) for first, parted in partings.items() if first in ends}
            if kept == partings or not kept:
                return list(kept)
            partings = kept
        return list(partings)

    def _ends(self, partings: Mapping[int, float], count: int | None) -> Mapping[int, float]:
        """From first pipes with their partings, all at once: where the water parts furthest at the same pipes one turn
        on, after so many gaps or (None) any number of two or more. Those that are not reached are left out."""
        size = len(self.x)
        at, parted = np.zeros(size, dtype=bool), np.zeros(size)
        for first, parting in partings.items():
            at[first], parted[first] = True, parting
        low, high = min(partings), max(partings) + self.count + 1
        state = self._on(self._begun(at, parted), low, high)
        furthest, ended = np.full(size, -np.inf), np.full(size, -np.inf)
        for _ in range((count or self.count) - 1):
            if count is None and not (state.parted_mm > furthest).any():
                break
            furthest = np.maximum(furthest, state.parted_mm)
            state = self._on(state, low, high)
            ended = np.maximum(ended, state.parted_mm)
        found = ended if count is None else state.parted_mm
        ends = {first: float(found[first + self.count]) for first in partings}
        return {first: end for first, end in ends.items() if end > -np.inf}

    def _begun(self, at: Bools, parted_mm: Floats) -> _State:
        """The first pipes of ways, with the water parted left of each."""
        waters = tuple(curve.worked_out(parted_mm) for curve, _ in self.measures)
        return _State(at, parted_mm, waters, np.zeros(len(at), dtype=np.intp))

    def _furthest_parting(self, first: int) -> float:
        """As far along as the water can part left of the first pipe: half way to the place before it."""
        return float((self.x[first] + self.x[first + self.count - 1] - self.field.length_mm) / 2.0)

    def _one(self) -> tuple[float, ...] | None:
        """One pipe that keeps all limits by itself."""
        field = self.field
        x = field.places_mm
        over = any(curve.total_mm2 > most for curve, most in self.measures)
        if over or field.length_mm > self.longest_mm:
            return None
        good = np.ones(len(x), dtype=bool)
        for foot in field.feet_mm:
            off = np.abs(x - foot)
            good &= (np.minimum(off, field.length_mm - off) if field.ring else off) <= self.within_mm
        for fixed in field.fixed_mm:
            good &= x == fixed
        middle = np.abs((x - field.start_mm) % field.length_mm - field.length_mm / 2.0)
        return (float(x[good][np.argmin(middle[good])]),) if good.any() else None

    def _across(self, most: int) -> tuple[float, ...] | None:
        """Two or more pipes on a run with ends."""
        x, field = self.x, self.field
        first, last = np.ones(len(x), dtype=bool), np.ones(len(x), dtype=bool)
        for foot in field.feet_mm:
            first &= (x - foot) <= self.within_mm
            last &= (foot - x) <= self.within_mm
        for fixed in field.fixed_mm:
            first &= x <= fixed
            last &= x >= fixed
        states = [self._begun(first, np.zeros(len(x)))]
        furthest = np.full(len(x), -np.inf)
        while len(states) < most:
            state = self._on(states[-1], 0, len(x))
            if not (state.parted_mm > furthest).any():
                return None
            furthest = np.maximum(furthest, state.parted_mm)
            states.append(state)
            done = state.at & last & (field.length_mm - state.parted_mm <= self.longest_mm)
            for water, (curve, most_mm2) in zip(state.water_mm2, self.measures, strict=True):
                done &= curve.total_mm2 - water <= most_mm2
            if done.any():
                return self._path(states, int(np.flatnonzero(done)[-1]))
        return None

    def _on(self, state: _State, low: int, high: int) -> _State:
        """One pipe more, at the places from `low` to `high`."""
        self.steps -= high - low
        if self.steps < 0:
            raise SearchTooLongError
        size = len(self.x)
        at, parted = np.zeros(size, dtype=bool), np.full(size, -np.inf)
        waters, came = tuple(np.zeros(size) for _ in self.measures), np.zeros(size, dtype=np.intp)
        last = self._last(state, low, high)
        found, left = self._nearest(last, low, min(high, int(last.max()) + 1))
        if len(found):
            half_mm = (self.x[left] + self.x[found]) / 2.0
            at[found], parted[found], came[found] = True, half_mm, left
            for water, (curve, _) in zip(waters, self.measures, strict=True):
                water[found] = curve.worked_out(half_mm)
        return _State(at, parted, waters, came)

    def _nearest(self, last: Indices, low: int, high: int) -> tuple[Indices, Indices]:
        """Places from `low` to `high` that a pipe may stand at, each with the nearest behind it at which one stands for
        which it is no further than its `last`."""
        ahead = last - np.arange(len(last))
        wide, low, high = int(ahead.max()), max(low, int((ahead > 0).argmax()) + 1), min(high, int(last.max()) + 1)
        if wide < 1 or low >= high:
            return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp)
        good = self.may[low:high, :wide] & (behind(last, wide, low, high) >= np.arange(low, high)[:, None])
        nearest = good.argmax(axis=1)
        rows = np.flatnonzero(good[np.arange(high - low), nearest])
        return rows + low, rows + low - 1 - nearest[rows]

    def _last(self, state: _State, low: int, high: int) -> Indices:
        """For every place with a pipe the last one at which the next may stand by water and length, -1 for those
        without: what a pipe takes only grows with its distance to the next, so the last is found from where it roughly
        lies, and where it does not lie there by halving."""
        begin = max(low - self.most, 0)
        last = np.full(len(self.x), -1)
        places = np.flatnonzero(state.at[begin : max(high - 1, 0)]) + begin
        parted_mm, before = state.parted_mm[places], [water[places] for water in state.water_mm2]
        off, over = np.zeros(len(places), dtype=np.intp), self.furthest_ahead[places] - places + 1
        middle, looks = self._roughly(places, parted_mm, before), 0
        open_ = np.flatnonzero(over > 1)
        while len(open_):
            least, most = off[open_], over[open_]
            # the place that is looked at and the next: the last one lies between them, or on one side of both
            looked = np.minimum(np.maximum(middle[open_], least + 1), most - 1) + _BOTH
            on = self.x[np.minimum(places[open_] + looked, len(self.x) - 1)]
            half_mm = (self.x[places[open_]] + on) / 2.0
            kept = (half_mm - parted_mm[open_] <= self.longest_mm) & (looked < most)
            for passed, (curve, most_mm2) in zip(before, self.measures, strict=True):
                kept &= curve.worked_out(half_mm) - passed[open_] <= most_mm2
            off[open_] = np.where(kept[1], looked[1], np.where(kept[0], looked[0], least))
            over[open_] = np.where(kept[0], np.where(kept[1], most, looked[1]), looked[0])
            looks += 1
            beside = np.where(kept[1], looked[1] + 1, looked[0] - 2)
            middle[open_] = beside if looks < _LOOKS_BESIDE else (off[open_] + over[open_]) // 2
            open_ = open_[over[open_] - off[open_] > 1]
        last[places] = places + off
        return last

    def _roughly(self, places: Indices, parted_mm: Floats, before: Sequence[Floats]) -> Indices:
        """How many places on from each the last one for the next pipe lies, give or take a few: as if water came in
        evenly between neighbouring places."""
        parts_mm = parted_mm + self.longest_mm
        for passed, (curve, most_mm2) in zip(before, self.measures, strict=True):
            parts_mm = np.minimum(parts_mm, np.interp(passed + most_mm2, curve.upto(self.x), self.x))
        ahead = np.searchsorted(self.x, 2.0 * parts_mm - self.x[places], side="right")
        return np.asarray(ahead - 1 - places)

    def _path(self, states: list[_State], end: int) -> tuple[float, ...]:
        found = [end]
        for state in reversed(states[1:]):
            found.append(int(state.came[found[-1]]))
        return tuple(float(self.x[n]) for n in reversed(found))

    def _window(self) -> list[int]:
        """The fewest places among which one pipe must stand, in order from the start of the run."""
        field = self.field
        if len(field.fixed_mm):
            return [int(np.argmin(np.abs(field.places_mm - field.fixed_mm[0])))]
        ahead = np.searchsorted(self.x, self.x[: self.count] + self.reach_mm, side="right")
        counts = ahead - np.arange(self.count) - 1
        least = counts.min()
        offs = (field.places_mm - field.start_mm) % field.length_mm
        begin = min((n for n in range(self.count) if counts[n] == least), key=lambda n: float(offs[n]))
        found = {(begin + k) % self.count for k in range(1, int(min(least, self.count)) + 1)} or {begin}
        return sorted(found, key=lambda n: float(offs[n]))

    def _round(self, first: int, count: int | None) -> tuple[float, ...] | None:
        """Pipes round a ring with one at place `first`: so many, or (None) any number of two or more."""
        length, end = self.field.length_mm, first + self.count
        parted = self._furthest_parting(first)
        while True:
            states = self._chain(first, parted, count)
            if states is None:
                return None
            back = float(states[-1].parted_mm[end]) - length
            if back >= parted - _CRUMB:
                places = self._path(states, end)[:-1]
                return tuple(sorted(place % length for place in places))
            parted = back

    def _chain(self, first: int, parted_mm: float, count: int | None) -> list[_State] | None:
        """The way round to the first pipe again whose last parting lies furthest, from a parting left of it."""
        size, end = len(self.x), first + self.count
        at, parted = np.zeros(size, dtype=bool), np.zeros(size)
        at[first], parted[first] = True, parted_mm
        states = [self._begun(at, parted)]
        best: list[_State] | None = None
        furthest = np.full(size, -np.inf)
        for level in range(1, (count or self.count) + 1):
            low, high = self._span(first, level, count)
            state = self._on(states[-1], low, high)
            if count is None and not (state.parted_mm > furthest).any():
                break
            furthest = np.maximum(furthest, state.parted_mm)
            states.append(state)
            closes = level > 1 and bool(state.at[end]) and (count is None or level == count)
            if closes and (best is None or state.parted_mm[end] > best[-1].parted_mm[end]):
                best = list(states)
        return best

    def _span(self, first: int, level: int, count: int | None) -> tuple[int, int]:
        """Places where the pipe after so many gaps can stand, if so many gaps lead round the ring."""
        end = first + self.count
        if count is None:
            return first + 1, end + 1
        start, reach = float(self.x[first]), self.reach_mm
        low = start + self.field.length_mm - (count - level) * reach - 1e-6
        low_n = int(np.searchsorted(self.x, low, side="left"))
        high_n = int(np.searchsorted(self.x, start + level * reach + 1e-6, side="right"))
        low_n, high_n = max(low_n, first + 1), min(high_n, end + 1)
        if level == count:
            low_n = end
        elif high_n == end + 1:
            high_n = end
        return low_n, max(high_n, low_n)


def loosened(limits: Limits, share: float) -> Limits:
    """Limits with each figure larger by a share; 0 (no limit) stays."""
    more = 1.0 + share
    return replace(
        limits,
        capacity_mm2=limits.capacity_mm2 * more,
        section_mm2=limits.section_mm2 * more,
        length_mm=limits.length_mm * more,
        spacing_mm=limits.spacing_mm * more,
        valley_within_mm=limits.valley_within_mm * more,
    )


def least_excess(field: Field, limits: Limits) -> float:
    """How far, as a share, all limits must be loosened for pipes at the places to keep them; 0 where they do as they
    are. To a ten-thousandth."""
    low, high = 0.0, 0.01
    if FewestPipes(field, limits).holds():
        return 0.0
    while not FewestPipes(field, loosened(limits, high)).holds():
        low, high = high, high * 3.0
        if high > 1e4:
            return high
    while high - low > 1e-4 * (1.0 + low):
        middle = (low + high) / 2.0
        if FewestPipes(field, loosened(limits, middle)).holds():
            high = middle
        else:
            low = middle
    return high
