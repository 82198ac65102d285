"""Where downpipes may stand on a run, what each takes there, and which limits that keeps.

Pipes stand at wall ends and outside corners, else out along a wall, never in an inside corner or over a window. A level
gutter's water parts half way between neighbouring outlets (common practice), so the places fix what each pipe takes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.stretches import RunWater, Stretch, WallBelow, Windows, openings_below, wall_below
from takeoff.model.drainage import GutterRun
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings

CAPACITY = "capacity"
LENGTH = "gutter length per outlet"
SPACING = "spacing between outlets"
VALLEY = "downpipe near a valley"
INSIDE = "clear of inside corners"
OPENING = "clear of openings"


@dataclass(frozen=True, slots=True)
class Limits:
    """What a downpipe plan must keep to; `capacity_mm2` is 0 where the method gives none."""

    capacity_mm2: float
    length_mm: float
    spacing_mm: float
    valley_from_mm2: float
    valley_within_mm: float
    clear_mm: float


@dataclass(frozen=True, slots=True)
class Breach:
    """One limit not kept: by the pipe of that index, or at a valley (-1), with the figure reached."""

    limit: str
    pipe: int
    figure: float
    edge: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """What one pipe takes: plan area and length of gutter."""

    area_mm2: float
    length_mm: float


class PipeGround:
    """One run as the search sees it: its water and the places where a pipe may stand, mm along the run.

    `good`: wall ends and outside corners. `other`: out along walls longer than the spacing, near inside corners, beside
    openings. `spare`: out along shorter walls, and `count` pipes evenly spread, for when wall ends cost too many pipes.
    `has_room`: whether an outlet there stands clear of a roof below.
    """

    def __init__(
        self,
        run: GutterRun,
        parts: Sequence[Stretch],
        roof: Roof | None,
        settings: Settings,
        count: int,
        windows: Windows | None = None,
        has_room: Callable[[float], bool] = lambda _: True,
    ) -> None:
        self.run = run
        self.length_mm = run.length_mm  # a sum over the legs, asked for at every step of the search
        self.water = RunWater(run)
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
        for part in parts:
            places = _places(part, wall_below(part, roof), settings)
            good.update(places.good)
            other.update(places.other)
            other.update(side for pair in self.blocked for side in pair if places.low <= side <= places.high)
            spare.update(places.spare)
            spare.update(place for place in even if places.low <= place <= places.high)
        self.has_room = has_room
        self.good = self._free(good)
        self.other = self._free(other - good)
        self.spare = self._free(spare - good - other)
        if not (self.good or self.other or self.spare):
            self.spare = even  # windows all along: the plan says so of each pipe

    def _free(self, places: set[float]) -> list[float]:
        return sorted(place for place in places if not self.before_opening(place) and self.has_room(place))

    def before_opening(self, place: float) -> bool:
        """Whether a pipe there would come down over a window or a door."""
        return any(low < place < high for low, high in self.blocked)

    def shares(self, places: Sequence[float]) -> list[Share]:
        """What each pipe takes, in the order of `places` (sorted, mm along the run)."""
        length = self.length_mm
        count = len(places)
        if not self.run.ring:
            ends = [0.0, *((a + b) / 2.0 for a, b in pairwise(places)), length]
        elif count == 1:
            return [Share(self.run.plan_catchment_mm2, length)]
        else:
            ends = [(a + b) / 2.0 for a, b in pairwise((places[-1] - length, *places, places[0] + length))]
        return [Share(self.water.upto(high) - self.water.upto(low), high - low) for low, high in pairwise(ends)]

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
            if 0.0 < limits.capacity_mm2 < share.area_mm2 * (1.0 - 1e-9):
                found.append(Breach(CAPACITY, i, share.area_mm2))
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


@dataclass(frozen=True, slots=True)
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
