"""A gutter run as straight stretches between corners, with the water along it and the wall below.

Positions are mm along the run from its left end; on a ring they go round and start again.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from math import hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, distance2
from takeoff.model.drainage import GutterCorner, GutterLeg, GutterRun, Inflow
from takeoff.model.job.walls import OpeningJob
from takeoff.model.roof import Roof

WALL_WITHIN_MM = TOLERANCES.wall_below_eave_mm


@record
class End:
    """How a stretch ends: "external", "internal" or "stop end", and the plan angle of the corner."""

    kind: str
    angle_deg: float = 180.0


@record
class WallBelow:
    """The wall along a stretch: its ends, mm from the stretch's left end, and how far in from the eave it stands."""

    left_mm: float
    right_mm: float
    overhang_mm: float


@record
class Windows:
    """Openings of walls that stand on the wall line of the roof of that name."""

    roof: str = ""
    openings: tuple[OpeningJob, ...] = ()


@record
class Stretch:
    """One straight stretch of gutter, left to right seen from outside."""

    id: str
    start_mm: float
    length_mm: float
    a_mm: Point3
    b_mm: Point3
    left: End
    right: End
    edges: tuple[str, ...]
    outline_edges: tuple[int, ...]

    def at(self, from_left_mm: float) -> Point3:
        """The point that far from the left end."""
        t = from_left_mm / self.length_mm
        (ax, ay, az), (bx, by, bz) = self.a_mm, self.b_mm
        return (ax + (bx - ax) * t, ay + (by - ay) * t, az + (bz - az) * t)

    def along(self, x: float, y: float) -> tuple[float, float]:
        """(distance from the left end along the stretch, distance to the right of it: outwards) of a plan point."""
        (ax, ay, _), (bx, by, _) = self.a_mm, self.b_mm
        ux, uy = (bx - ax) / self.length_mm, (by - ay) / self.length_mm
        return (x - ax) * ux + (y - ay) * uy, (x - ax) * uy - (y - ay) * ux


def stretches(run: GutterRun) -> tuple[Stretch, ...]:
    """The straight stretches of a run, left to right. Legs that go straight on into each other are one stretch."""
    groups: list[tuple[float, list[GutterLeg], End]] = []
    along = 0.0
    exact = {corner.at_mm[:2]: corner for corner in reversed(run.corners)}
    for i, leg in enumerate(run.legs):
        corner = exact.get(leg.a_mm[:2]) or _corner_at(run.corners, leg.a_mm)
        if corner is not None and (i or run.ring):
            groups.append((along, [leg], End(corner.kind, corner.angle_deg)))
        elif not groups:
            groups.append((along, [leg], End("stop end")))
        else:
            groups[-1][1].append(leg)
        along += leg.length_mm
    last = groups[0][2] if run.ring else End("stop end")
    rights = [*(left for _, _, left in groups[1:]), last]
    return tuple(
        Stretch(
            id=f"{run.id}.{n}",
            start_mm=start,
            length_mm=sum(leg.length_mm for leg in legs),
            a_mm=legs[0].a_mm,
            b_mm=legs[-1].b_mm,
            left=left,
            right=right,
            edges=tuple(dict.fromkeys(leg.edge for leg in legs)),
            outline_edges=tuple(dict.fromkeys(number for leg in legs for number in leg.outline_edges)),
        )
        for n, ((start, legs, left), right) in enumerate(zip(groups, rights, strict=True), start=1)
    )


def _corner_at(corners: Sequence[GutterCorner], point: Point3) -> GutterCorner | None:
    near = (c for c in corners if distance2(c.at_mm[:2], point[:2]) <= TOLERANCES.same_point_mm)
    return next(near, None)


def stretch_at(parts: Sequence[Stretch], along_mm: float) -> Stretch:
    """The stretch that a position on the run falls on."""
    return next((part for part in reversed(parts) if part.start_mm <= along_mm), parts[0])


def wall_below(stretch: Stretch, roof: Roof | None) -> WallBelow | None:
    """The wall line's side that runs along under a stretch; None where there is no wall line."""
    found: list[tuple[float, WallBelow]] = []
    for ring in roof.wall_line_mm if roof else ():
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            below = _under(stretch, a, b)
            if below is not None:
                shared = min(below.right_mm, stretch.length_mm) - max(below.left_mm, 0.0)
                found.append((shared, below))
    # front and back wall of a narrow house run along under as much of it: whole mm, so that the nearer one is taken
    return max(found, key=lambda pair: (round(pair[0]), -pair[1].overhang_mm), default=(0.0, None))[1]


def _under(stretch: Stretch, a: Point2, b: Point2) -> WallBelow | None:
    (sa, out_a), (sb, out_b) = stretch.along(*a), stretch.along(*b)
    parallel = abs(out_a - out_b) <= 1e-3 * hypot(b[0] - a[0], b[1] - a[1])
    inwards = -TOLERANCES.same_point_mm <= -max(out_a, out_b) and -min(out_a, out_b) <= WALL_WITHIN_MM
    left, right = min(sa, sb), max(sa, sb)
    if not parallel or not inwards or min(right, stretch.length_mm) - max(left, 0.0) <= TOLERANCES.same_point_mm:
        return None
    return WallBelow(left, right, max(0.0, -(out_a + out_b) / 2.0))


def openings_below(
    parts: Sequence[Stretch], roof: Roof | None, windows: Windows, clear_mm: float
) -> tuple[tuple[float, float], ...]:
    """Where along a run no pipe can come down the wall: openings with `clear_mm` each side, mm along the run.

    Openings go by the number of the outline edge that their wall follows, on the roof that the walls stand under: that
    may be one of several joined. Walls in one line under one stretch are not told apart: their openings are left to
    the eye.
    """
    found: list[tuple[float, float]] = []
    under = {edge.id for edge in roof.edges if edge.roof == windows.roof} if roof else set()
    for part in parts:
        wall = wall_below(part, roof)
        if wall is not None and len(part.outline_edges) == 1 and under.issuperset(part.edges):
            left = part.start_mm + wall.left_mm
            found += [
                (left + opening.from_left_mm - clear_mm, left + opening.from_left_mm + opening.width_mm + clear_mm)
                for opening in windows.openings
                if opening.wall == part.outline_edges[0]
            ]
    return tuple(sorted(found))


# from and to along the run [mm], and what it would bring as thick as it is at either end [mm2]
Flow = tuple[float, float, float, float]


def _flows(run: GutterRun, walls: bool) -> Iterator[tuple[Inflow, bool, Flow]]:
    """What enters a run, leg by leg from the left, with whether it is off a wall, and where along the run."""
    along = 0.0
    for leg in run.legs:
        inflows = [(flow, False) for flow in leg.inflows] + ([(flow, True) for flow in leg.off_walls] if walls else [])
        for flow, wall in sorted(inflows, key=lambda pair: (pair[0].from_mm, pair[0].to_mm)):
            yield flow, wall, (along + flow.from_mm, along + flow.to_mm, flow.start_mm2, flow.end_mm2)
        along += leg.length_mm


def water_by_share(run: GutterRun) -> dict[tuple[bool, str, float], RunWater]:
    """The water of a run by what it is off: a wall or none, the plane and its pitch."""
    found: dict[tuple[bool, str, float], list[Flow]] = {}
    for flow, wall, at in _flows(run, walls=True):
        found.setdefault((wall, flow.plane, flow.pitch_deg), []).append(at)
    return {share: RunWater(run, flows=flows) for share, flows in found.items()}


class RunWater:
    """The water of a run as a function of the position along it: roof in plan; with `weighed`, which says how much 1 m2
    of an inflow counts (and whether it is off a wall), also what walls above the roof add; or `flows` of it alone."""

    def __init__(
        self,
        run: GutterRun,
        weighed: Callable[[Inflow, bool], float] | None = None,
        flows: Sequence[Flow] | None = None,
    ) -> None:
        self.ring = run.ring
        self.length_mm = run.length_mm
        if flows is not None:
            self.flows = list(flows)
        elif weighed is None:
            self.flows = [at for _, _, at in _flows(run, walls=False)]
        else:
            weights = ((weighed(flow, wall), at) for flow, wall, at in _flows(run, walls=True))
            self.flows = [(low, high, start * w, end * w) for w, (low, high, start, end) in weights]
        brought = sum((start + end) / 2.0 for _, _, start, end in self.flows)
        self.total_mm2 = run.plan_catchment_mm2 if weighed is None and flows is None else brought
        # water enters leg after leg: what has all come in, up to each flow, is summed once
        self._passed: list[float] = []
        self._sums = [0.0]
        furthest, total = 0.0, 0.0
        for _, high, start, end in self.flows:
            furthest, total = max(furthest, high), total + (start + end) / 2.0
            self._passed.append(furthest)
            self._sums.append(total)
        # and from where on none has begun to come in
        nearest, ahead = float("inf"), []
        for low, *_ in reversed(self.flows):
            nearest = min(nearest, low)
            ahead.append(nearest)
        self._ahead = ahead[::-1]

    def before(self, along_mm: float) -> float:
        """Plan area [mm2] that enters left of a position. What enters at the very point counts half."""
        passed = bisect_right(self._passed, along_mm - 2.0 * TOLERANCES.same_point_mm)
        total = self._sums[passed]
        begun = bisect_left(self._ahead, along_mm + 2.0 * TOLERANCES.same_point_mm)
        for low, high, start, end in self.flows[passed:begun]:
            if along_mm >= high + TOLERANCES.same_point_mm:
                total += (start + end) / 2.0
            elif high - low <= TOLERANCES.same_point_mm:
                total += (start + end) / 4.0 if abs(along_mm - high) < TOLERANCES.same_point_mm else 0.0
            elif along_mm > low:
                t = min((along_mm - low) / (high - low), 1.0)
                total += start * t + (end - start) * t * t / 2.0
        return total

    def upto(self, along_mm: float) -> float:
        """Plan area [mm2] that enters up to a position: none at the start of a run, all at its end. On a ring it goes
        on round, and only differences between two positions mean anything."""
        if self.ring:
            turns, rest = divmod(along_mm, self.length_mm)
            return turns * self.total_mm2 + self.before(rest)
        if along_mm <= 0.0:
            return 0.0
        return self.total_mm2 if along_mm >= self.length_mm else self.before(along_mm)
