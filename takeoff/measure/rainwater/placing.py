"""Where downpipes may stand on a run, what each takes there, and which limits that keeps.

Pipes stand on solid wall, never in an inside corner or over a window; at wall ends and outside corners where that costs
no pipe. A level gutter's water parts half way between neighbouring outlets (common practice), so the places fix what
each pipe takes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from math import floor

import numpy as np

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.fewest_pipes import Field
from takeoff.measure.rainwater.limits import CAPACITY, FREE, INSIDE, LENGTH, OPENING, SECTION, SPACING, VALLEY, Limits
from takeoff.measure.rainwater.stretches import (
    RunWater,
    Stretch,
    WallBelow,
    Windows,
    openings_below,
    wall_below,
    water_by_share,
)
from takeoff.measure.rainwater.water_curve import Bools, Floats, WaterCurve, distinct
from takeoff.measure.rainwater.weights import Weight, plan_weight
from takeoff.model.drainage import GutterRun, PlaneShare
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings

STANDING = "solid wall to fix a pipe to"
ROOM = "room for a spreader over a roof below"
KEEP_OUTS = (INSIDE, OPENING, STANDING, ROOM)
GRID_MM = TOLERANCES.pipe_places_mm
_FINE_MM = TOLERANCES.one_place_mm
_LEAST_MM2 = TOLERANCES.plane_crumb_mm2
_NO_LIMITS = Limits(0.0, FREE, FREE, FREE, FREE, 0.0)


@record
class Breach:
    """One limit not kept: by the pipe of that index, or at a valley (-1), with the figure reached."""

    limit: str
    pipe: int
    figure: float
    edge: str = ""


@record
class Share:
    """What one pipe takes: plan area, length of gutter, and the area as its capacity and as the gutter's section count
    it."""

    area_mm2: float
    length_mm: float
    capacity_mm2: float
    section_mm2: float


class PipeGround:
    """One run as the search sees it: its water and the places where a pipe may stand, mm along the run.

    `good`: wall ends and outside corners. `other`: out along walls longer than the spacing, near inside corners, beside
    openings. `spare`: out along shorter walls, and `count` pipes evenly spread, for when wall ends cost too many pipes.
    `fixed`: pipes placed by hand, which stand whatever they meet. `has_room`: whether an outlet there stands clear
    of the roof below; None where none lies below. `weights`: how the pipe's capacity and the gutter's section count
    water.
    """

    def __init__(
        self,
        run: GutterRun,
        parts: Sequence[Stretch],
        roof: Roof | None,
        settings: Settings,
        count: int,
        windows: Windows | None = None,
        has_room: Callable[[float], bool] | None = None,
        fixed: Sequence[float] = (),
        weights: tuple[Weight, Weight] = (plan_weight, plan_weight),
    ) -> None:
        self.run = run
        self.fixed = tuple(sorted(fixed))
        self.length_mm = run.length_mm  # a sum over the legs, asked for at every step of the search
        self.water = RunWater(run)
        held, sized = RunWater(run, weights[0]), RunWater(run, weights[1])
        alike = (held.flows, held.total_mm2) == (sized.flows, sized.total_mm2)
        self.sized = (held, held if alike else sized)
        self.brought_mm2 = (held.total_mm2, sized.total_mm2)
        first = WaterCurve(held)
        self.curves = (first, first if alike else WaterCurve(sized))
        self.inside = [part.start_mm for part in parts if part.left.kind == "internal"]
        self.blocked = openings_below(
            parts, roof, windows or Windows(), settings.number("downpipe_clear_of_opening_mm")
        )
        self.start_mm = _ring_start(run, parts, roof)
        even = [(self.start_mm + self.length_mm * (k + 0.5) / count) % self.length_mm for k in range(count)]
        self.even = frozenset(even)
        good: set[float] = set()
        other: set[float] = set()
        spare: set[float] = set()
        self.ranges: list[tuple[float, float]] = []
        for part in parts:
            places = _places(part, wall_below(part, roof), settings)
            self.ranges.append((places.low, places.high))
            good.update(places.good)
            other.update(places.other)
            other.update(side for pair in self.blocked for side in pair if places.low <= side <= places.high)
            spare.update(places.spare)
            spare.update(place for place in even if places.low <= place <= places.high)
        self.has_room, self.roof_below = has_room or (lambda _: True), has_room is not None
        self.good = self._free(good)
        self.other = self._free(other - good)
        self.spare = self._free(spare - good - other)
        self._fields: dict[tuple[float, float, float, frozenset[str]], Field] = {}  # the same for many limits
        self.nowhere = False
        self.nowhere = not (self.good or self.other or self.spare or len(self._grid_places()))
        if self.nowhere:
            self.spare = even  # windows all along: the plan says so of each pipe

    def field(self, limits: Limits, skip: Iterable[str] = ()) -> Field:
        """The run as the search for the fewest pipes sees it: places on a grid and at every break where a pipe may
        stand. `skip`: keep-outs that are not held to; without any, places are all that there are with some of them."""
        asked = (limits.valley_from_mm2, limits.valley_within_mm, limits.clear_mm, frozenset(skip))
        if asked not in self._fields:
            feet = [f.along_mm for f in self.run.valleys if f.plan_catchment_mm2 > limits.valley_from_mm2]
            found, fixed = self._places_for(limits, frozenset(skip), feet), np.array(self.fixed)
            inside = np.array(self.inside)
            self._fields[asked] = Field(found, self.curves, np.array(feet), inside, fixed, self.start_mm)
        return self._fields[asked]

    def _grid_places(self) -> Floats:
        """Places where a pipe may stand at all, whatever the limits."""
        grid = self.start_mm + np.arange(0.0, self.length_mm, GRID_MM)
        grid = grid % self.length_mm if self.run.ring else grid[grid <= self.length_mm]
        return grid[self._may_stand(grid, _NO_LIMITS, frozenset())]

    def _places_for(self, limits: Limits, skip: frozenset[str], feet: Sequence[float]) -> Floats:
        length = self.length_mm
        grid = self.start_mm + np.arange(0.0, length + _FINE_MM, GRID_MM)
        marks = [*self.good, *self.other, *self.spare, *(end for ends in self.ranges for end in ends)]
        marks += [side for pair in self.blocked for side in pair]
        marks += [foot + off for foot in feet for off in (-limits.valley_within_mm, 0.0, limits.valley_within_mm)]
        marks += [corner + off for corner in self.inside for off in (-limits.clear_mm, limits.clear_mm)]
        raw = np.concatenate((grid, np.array(marks, dtype=np.float64)))
        raw = raw % length if self.run.ring else raw[(raw >= 0.0) & (raw <= length)]
        raw = raw[self._may_stand(raw, limits, skip)]
        found = distinct(np.concatenate((raw, np.array(self.fixed, dtype=np.float64))))
        if skip.issuperset(KEEP_OUTS):
            return found
        close = np.diff(found, prepend=-np.inf) <= _FINE_MM
        fixed = np.isin(found, np.array(self.fixed))
        # of two places that are one, one that stands by hand is kept
        drop = (close & ~fixed) | (np.append(close[1:], False) & ~fixed & np.append(fixed[1:], False))
        return np.asarray(found[~drop])

    def _may_stand(self, places: Floats, limits: Limits, skip: frozenset[str]) -> Bools:
        may = np.ones(len(places), dtype=bool)
        if self.nowhere:
            return np.isin(places, np.array(sorted(self.even)))
        if STANDING not in skip:
            on = [(low - _FINE_MM <= places) & (places <= high + _FINE_MM) for low, high in self.ranges]
            may &= np.any(on, axis=0) if on else True
        if OPENING not in skip:
            for low, high in self.blocked:
                may &= ~((low < places) & (places < high))
        if INSIDE not in skip:
            for corner in self.inside:
                off = np.abs(places - corner)
                off = np.minimum(off, self.length_mm - off) if self.run.ring else off
                may &= off >= limits.clear_mm - TOLERANCES.same_point_mm
        if self.roof_below and ROOM not in skip:
            may[may] = [self.has_room(float(place)) for place in places[may]]
        return may

    def _free(self, places: set[float]) -> list[float]:
        return sorted(place for place in places if not self.before_opening(place) and self.has_room(place))

    def before_opening(self, place: float) -> bool:
        """Whether a pipe there would come down over a window or a door."""
        return any(low < place < high for low, high in self.blocked)

    def shares(self, places: Sequence[float]) -> list[Share]:
        """What each pipe takes, in the order of `places` (sorted, mm along the run)."""
        if self.run.ring and len(places) == 1:
            return [Share(self.run.plan_catchment_mm2, self.length_mm, *self.brought_mm2)]
        ends = self._partings(places)
        return [
            Share(self.water.upto(high) - self.water.upto(low), high - low, *self._sized_between(low, high))
            for low, high in pairwise(ends)
        ]

    def _sized_between(self, low_mm: float, high_mm: float) -> tuple[float, float]:
        capacity, section = self.sized
        return capacity.upto(high_mm) - capacity.upto(low_mm), section.upto(high_mm) - section.upto(low_mm)

    def plane_shares(self, places: Sequence[float]) -> list[tuple[PlaneShare, ...]]:
        """What each pipe drains by plane, walls above the roof with it."""
        ends = self._partings(places)
        found: list[list[PlaneShare]] = [[] for _ in places]
        by_share = water_by_share(self.run)
        for whole in self.run.shares:
            water = by_share[whole.wall, whole.plane, whole.pitch_deg]
            for shares, (low, high) in zip(found, pairwise(ends), strict=True):
                area = water.upto(high) - water.upto(low) if len(places) > 1 else whole.area_mm2
                if area > _LEAST_MM2:
                    shares.append(replace(whole, area_mm2=area))
        return [tuple(shares) for shares in found]

    def _partings(self, places: Sequence[float]) -> list[float]:
        """Where the water parts, left of the first pipe, between the pipes, and right of the last."""
        if not self.run.ring:
            return [0.0, *((a + b) / 2.0 for a, b in pairwise(places)), self.length_mm]
        return [(a + b) / 2.0 for a, b in pairwise((places[-1] - self.length_mm, *places, places[0] + self.length_mm))]

    def gaps(self, places: Sequence[float]) -> list[float]:
        """Distance along the gutter from each pipe to the next; on a ring the last one leads to the first."""
        if len(places) < 2:
            return []
        found = [b - a for a, b in pairwise(places)]
        return [*found, self.length_mm - places[-1] + places[0]] if self.run.ring else found

    def breaches(self, places: Sequence[float], limits: Limits) -> list[Breach]:
        """Every limit that these places do not keep."""
        tolerance = TOLERANCES.same_point_mm
        found: list[Breach] = []
        for i, share in enumerate(self.shares(places)):
            held = (
                (CAPACITY, limits.capacity_mm2, share.capacity_mm2),
                (SECTION, limits.section_mm2, share.section_mm2),
            )
            found += [Breach(name, i, area) for name, most, area in held if 0.0 < most < area * (1.0 - 1e-9)]
            if share.length_mm > limits.length_mm + tolerance:
                found.append(Breach(LENGTH, i, share.length_mm))
        found += [
            Breach(SPACING, i, gap) for i, gap in enumerate(self.gaps(places)) if gap > limits.spacing_mm + tolerance
        ]
        for foot in self.run.valleys:
            off = min((self.apart(place, foot.along_mm) for place in places), default=self.length_mm)
            if foot.plan_catchment_mm2 > limits.valley_from_mm2 and off > limits.valley_within_mm + tolerance:
                found.append(Breach(VALLEY, -1, off, foot.edge))
        for i, place in enumerate(places):
            off = min((self.apart(place, corner) for corner in self.inside), default=limits.clear_mm)
            if off < limits.clear_mm - tolerance:
                found.append(Breach(INSIDE, i, off))
            if self.before_opening(place):
                found.append(Breach(OPENING, i, 0.0))
        return found

    def apart(self, one_mm: float, other_mm: float) -> float:
        """Distance between two positions along the gutter, the short way round on a ring."""
        off = abs(one_mm - other_mm)
        return min(off, self.length_mm - off) if self.run.ring else off


def _ring_start(run: GutterRun, parts: Sequence[Stretch], roof: Roof | None) -> float:
    """Where a run is taken to start [mm along it]: on a ring at the corner from which its stretches read highest, by
    length, water and kind of corner, then by bearing, whichever eave was typed first."""
    if not run.ring:
        return 0.0
    water = RunWater(run)
    ends = [(part.start_mm, part.start_mm + part.length_mm) for part in parts]
    reads = [
        (_whole(b - a), _whole((water.upto(b) - water.upto(a)) / 1e4), part.left.kind)
        for part, (a, b) in zip(parts, ends, strict=True)
    ]
    best = max(range(len(parts)), key=lambda n: (reads[n:] + reads[:n], _faces_deg(parts[n], roof)))
    return parts[best].start_mm


def _whole(figure: float) -> int:
    """A figure in whole units, parted where no typed figure lies: halves and whole ones with their crumbs stay one."""
    return floor(figure + 0.37)


def _faces_deg(part: Stretch, roof: Roof | None) -> int:
    """Bearing that a stretch faces, in whole degrees; 0 where its roof is not known."""
    if roof is None:
        return 0
    bearings = {plane.id: plane.bearing_deg for plane in roof.planes}
    edge = next((edge for edge in roof.edges if edge.id == part.edges[0]), None)
    found = [bearings[face] for face in edge.faces if face in bearings] if edge else []
    return _whole(found[0]) % 360 if found else 0


@record
class _Places:
    """Places on one stretch, mm along the run, and the range in which a pipe stands on its wall."""

    good: tuple[float, ...]
    other: tuple[float, ...]
    spare: tuple[float, ...]
    low: float
    high: float


def _places(part: Stretch, wall: WallBelow | None, settings: Settings) -> _Places:
    step, clear = settings.number("downpipe_from_wall_end_mm"), settings.number("downpipe_clear_of_inside_corner_mm")
    spacing = settings.number("downpipe_spacing_mm")
    left = step + (max(wall.left_mm, 0.0) if wall else 0.0)
    right = step + (max(part.length_mm - wall.right_mm, 0.0) if wall else 0.0)
    left = clear if part.left.kind == "internal" else left
    right = clear if part.right.kind == "internal" else right
    if left + right >= part.length_mm:
        left = right = part.length_mm / 2.0
    low, high = part.start_mm + left, part.start_mm + part.length_mm - right
    ends = ((part.left, low), (part.right, high))
    fewest, tolerance = count_up(part.length_mm, spacing), TOLERANCES.same_point_mm
    counts = {2, 3, fewest, fewest + 1} if part.length_mm > spacing / 2.0 + tolerance else ()
    along = [part.start_mm + part.length_mm * k / count for count in counts for k in range(1, count)]
    along = [place for place in along if low - tolerance <= place <= high + tolerance]
    long = part.length_mm > spacing + tolerance
    return _Places(
        good=tuple(place for end, place in ends if end.kind != "internal"),
        other=(*(place for end, place in ends if end.kind == "internal"), *(along if long else ())),
        spare=() if long else tuple(along),
        low=low,
        high=high,
    )
