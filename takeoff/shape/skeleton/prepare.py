"""From rings and profiles as typed to edges the engine can run on: cleaned, turned, scaled, grouped by direction."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import atan2, frexp, hypot, inf, isfinite, pi, radians, tan, ulp

from takeoff.basics.errors import Fault, ShapeError
from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2
from takeoff.shape.skeleton.record import FASCIA_STEP, JOG_STEP, EdgeProfile, SkeletonNote

SAME_POINT_REL = 1e-9
"""Points nearer than this part of the outline's size are one point."""

STRAY_REL = 1e-9
"""Edges are parallel that would be with one end moved by this part of the outline's size (and the input's rounding)."""

Rise = tuple[tuple[float, float | None, int], ...]
"""(time from which, speed or None for a flat top, profile step) of one edge, times scaled and rising."""


@dataclass(slots=True)
class Edge:
    """One edge of the cleaned outline, its roof side on the left; lengths scaled, origin at the first vertex."""

    number: int  # 0-based as the caller typed it
    ax: float
    ay: float
    bx: float
    by: float
    vx: float  # direction with full length; a jog has no length but its neighbour's, turned
    vy: float
    rise: Rise
    start: float  # its own fascia, in scaled time
    jog: bool = False
    direction: int = 0  # +k and -k are opposite
    like: int = -1  # the edge whose vector gives the direction its unit normal


@dataclass(slots=True)
class Plan:
    """What every rung of the ladder starts from."""

    loops: list[list[int]] = field(default_factory=list)  # edges of each ring in the order they are walked
    edges: list[Edge] = field(default_factory=list)
    origin: Point2 = (0.0, 0.0)
    scale: float = 1.0
    z0: float = 0.0
    area: float = 0.0  # scaled
    rounding: float = 0.0  # of the input's coordinates, scaled
    notes: list[SkeletonNote] = field(default_factory=list)


def prepare(rings: Sequence[Sequence[Point2]], profiles: Sequence[EdgeProfile]) -> Plan:
    """Check and clean the outline. Raises ShapeError naming the 1-based edges that cannot be used."""
    if not rings or len(profiles) != sum(len(ring) for ring in rings):
        count = sum(len(ring) for ring in rings)
        raise ShapeError(f"The outline has {count} edges but {len(profiles)} rise profiles: give one for each edge.")
    first = rings[0][0]
    size = 0.0
    for ring in rings:
        for x, y in ring:
            reach = abs(x - first[0]) + abs(y - first[1])
            if not isfinite(reach):
                raise ShapeError("The outline has a corner that is not a number: every corner needs two finite values.")
            if reach > size:
                size = reach
    if size == 0.0:
        raise ShapeError("All corners of the outline are one point: give at least three different corners.")
    scale = 2.0 ** frexp(size)[1]
    plan = Plan(origin=(first[0], first[1]), scale=scale, z0=min(profile.start_z for profile in profiles))
    rises = Rises(plan.z0, scale)
    base = 0
    for i, ring in enumerate(rings):
        add_ring(plan, ring, base, i > 0, rises.of_ring(base, profiles[base : base + len(ring)]))
        base += len(ring)
    plan.rounding = ulp(max(abs(first[0]), abs(first[1]), size)) / scale
    directions = Directions(plan.edges, STRAY_REL + 4.0 * plan.rounding)
    directions.group()
    add_jogs(plan, directions)
    return plan


class Rises:
    """Profiles in scaled time; equal objects are worked out once."""

    def __init__(self, z0: float, scale: float) -> None:
        self.z0 = z0
        self.scale = scale
        self.known: dict[int, Rise] = {}

    def of_ring(self, base: int, profiles: Sequence[EdgeProfile]) -> list[tuple[Rise, float]]:
        """Rise and start of every edge of a ring whose first edge is number `base`."""
        return [(self.of(base + j, p), (p.start_z - self.z0) / self.scale) for j, p in enumerate(profiles)]

    def of(self, edge: int, profile: EdgeProfile) -> Rise:
        """The rise of a profile; `edge` (0-based) is for the message only."""
        rise = self.known.get(id(profile))
        if rise is None:
            rise = self.known[id(profile)] = self.work_out(edge, profile)
        return rise

    def work_out(self, edge: int, profile: EdgeProfile) -> Rise:
        """Check one profile and turn it into speeds from times on."""
        where = f"Edge {edge + 1}: "
        if not profile.steps or not isfinite(profile.start_z):
            raise ShapeError(where + "its rise profile needs a finite start height and at least one step.")
        out: list[tuple[float, float | None, int]] = []
        begin = (profile.start_z - self.z0) / self.scale
        last = len(profile.steps) - 1
        z = profile.start_z
        for k, step in enumerate(profile.steps):
            speed = speed_of(where, step.pitch_deg)
            if k == 0 and (speed is None or (begin > 0.0 and speed != 0.0)):
                out.append((0.0, 0.0, FASCIA_STEP))
            elif k == 0:
                begin = 0.0
            out.append((begin, speed, k))
            if speed is None or (k == last and step.up_to_z is None):
                if k != last:
                    raise ShapeError(where + "nothing can follow a flat top: make it the last step.")
                break
            if step.up_to_z is None or k == last or not z < step.up_to_z < inf:
                raise ShapeError(where + "the heights of its steps must rise, and only the last has no upper end.")
            z = step.up_to_z
            begin = (z - self.z0) / self.scale
        return tuple(out)


def speed_of(where: str, pitch_deg: float | None) -> float | None:
    """cot(pitch): exactly 0 for vertical (90 or None), exactly 1 at 45 degrees; None for a flat top (0)."""
    if pitch_deg is None or pitch_deg == 90.0:
        return 0.0
    if pitch_deg == 0.0:
        return None
    if not 0.0 < pitch_deg < 90.0:
        raise ShapeError(f"{where}pitch {pitch_deg:g} degrees is not between 0 and 90.")
    return 1.0 if pitch_deg == 45.0 else 1.0 / tan(radians(pitch_deg))


def add_ring(plan: Plan, ring: Sequence[Point2], base: int, hole: bool, rises: list[tuple[Rise, float]]) -> None:
    """Add one ring without its repeated points, outer rings walked counter-clockwise and holes clockwise."""
    ox, oy = plan.origin
    scale = plan.scale
    points = [((x - ox) / scale, (y - oy) / scale) for x, y in ring]
    area = signed_area(points)
    numbers = list(range(len(points)))
    if (area < 0.0) != hole:  # edge j runs from point j to j + 1: walked back, from j + 1 to j
        points.reverse()
        numbers = [*range(len(points) - 2, -1, -1), len(points) - 1]
    plan.area += -abs(area) if hole else abs(area)
    name = f"Ring with edges {base + 1} to {base + len(ring)}"
    kept = [0]
    edge_of: list[int] = []
    for j in range(1, len(points) + 1):
        x, y = points[j % len(points)]
        px, py = points[kept[-1]]
        if abs(x - px) > SAME_POINT_REL or abs(y - py) > SAME_POINT_REL:
            edge_of.append(numbers[j - 1])
            kept.append(j % len(points))
    if kept[-1] != 0 and len(kept) > 1:  # the last points repeat the first: its edge comes from the one before
        kept[-1] = 0
    if len(edge_of) < 3 or abs(area) < SAME_POINT_REL**2:
        raise ShapeError(f"{name}: it encloses nothing; give at least three corners that are not in one line.")
    loop: list[int] = []
    for k, j in enumerate(edge_of):
        (ax, ay), (bx, by) = points[kept[k]], points[kept[k + 1]]
        loop.append(len(plan.edges))
        plan.edges.append(Edge(base + j, ax, ay, bx, by, bx - ax, by - ay, *rises[j]))
    plan.loops.append(loop)


def add_jogs(plan: Plan, directions: Directions) -> None:
    """Refuse spikes; put an upright step of no length between collinear neighbours that rise differently."""
    edges = plan.edges
    for n, loop in enumerate(plan.loops):
        out: list[int] = []
        for k, i in enumerate(loop):
            out.append(i)
            a, b = edges[i], edges[loop[(k + 1) % len(loop)]]
            first, second = a.number + 1, b.number + 1
            if a.direction == -b.direction:
                text = f"Edges {first} and {second} lie back on each other: remove the spike between them."
                raise ShapeError(Fault(text, "edge", first))
            if a.direction != b.direction or a.rise is b.rise or same_rise(a.rise, b.rise):
                continue
            side = -1.0 if faster(a.rise, b.rise) else 1.0
            out.append(len(edges))
            rise: Rise = ((0.0, 0.0, JOG_STEP),)
            edges.append(Edge(a.number, b.ax, b.ay, b.ax, b.ay, -side * a.vy, side * a.vx, rise, 0.0, True))
            directions.join(len(edges) - 1)
            text = f"Edges {first} and {second} are in one line but rise differently: an upright step stands between."
            plan.notes.append(SkeletonNote("step_at_collinear_edges", (a.number, b.number), text))
        plan.loops[n] = out


def same_rise(a: Rise, b: Rise) -> bool:
    """Do two profiles move their fronts alike at all times?"""
    return len(a) == len(b) and all(p[0] == q[0] and p[1] == q[1] for p, q in zip(a, b, strict=True))


def faster(a: Rise, b: Rise) -> bool:
    """Is a's front ahead of b's right after the first time at which they differ?"""
    for t in sorted({p[0] for p in (*a, *b)}):
        one, two = speed_at(a, t), speed_at(b, t)
        if one != two:
            return one > two
    return False


def speed_at(rise: Rise, t: float) -> float:
    """Speed just after time t; a flat top is endlessly fast."""
    speed: float | None = 0.0
    for begin, value, _ in rise:
        if begin <= t:
            speed = value
    return inf if speed is None else speed


class Directions:
    """Parallel edges share a direction number, opposite ones have its negative, and one edge to take the normal from.

    Long edges set the directions, shorter ones join the nearest they are within `stray` of over their length.
    """

    def __init__(self, edges: list[Edge], stray: float) -> None:
        self.edges = edges
        self.stray = stray
        self.angles: list[float] = []  # of the directions, from 0 to pi, rising
        self.leaders: list[int] = []  # the edge each comes from

    def group(self) -> None:
        """Give every edge its direction."""
        edges = self.edges
        for i in sorted(range(len(edges)), key=lambda i: -abs(edges[i].vx) - abs(edges[i].vy)):
            self.join(i)

    def join(self, i: int) -> None:
        """Give one edge the direction it is nearest to, or one of its own."""
        edge = self.edges[i]
        vx, vy = edge.vx, edge.vy
        angle = atan2(vy, vx)
        if angle < 0.0:
            angle += pi
        at = bisect_left(self.angles, angle)
        for k in (at - 1, at if at < len(self.angles) else 0):  # the nearest on either side, past 0 too
            if not self.leaders:
                break
            leader = self.edges[self.leaders[k]]
            length = hypot(leader.vx, leader.vy)
            if abs(leader.vx * vy - leader.vy * vx) <= self.stray * length:
                edge.like = leader.like
                edge.direction = leader.direction if leader.vx * vx + leader.vy * vy > 0.0 else -leader.direction
                return
        self.angles.insert(at, angle)
        self.leaders.insert(at, i)
        edge.like = i
        edge.direction = len(self.leaders)
