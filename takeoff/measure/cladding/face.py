"""The cladding face of a wall: the wall as its boards see it, and the shapes boards take on it.

At an outside corner the face reaches past the framing by cavity and board of the wall round the corner, at an inside
corner it stops short by as much (practice: corner-to-corner boards are measured on the cladding face).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from takeoff.basics.polygons import signed_area
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.walls import Elevation
from takeoff.shape.wall_tops import Top, clipped, highest_between

CRUMB_MM = TOLERANCES.same_point_mm


@dataclass(frozen=True, slots=True)
class Hole:
    """An opening in the face, in wall axes [mm]; its foot is never below the foot of the cladding."""

    name: str
    left: float
    right: float
    foot: float
    head: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left


@dataclass(frozen=True, slots=True)
class Face:
    """The clad face of one wall, in wall axes (x from the left end of the framing, y over the floor) [mm].

    It reaches from `left` to `right` and from `base` up to the chain `top`; `frame_top` is the frame height.
    """

    wall: int
    left: float
    right: float
    base: float
    frame_top: float
    top: Top
    holes: tuple[Hole, ...]

    @property
    def width(self) -> float:
        """Width of the face [mm]."""
        return self.right - self.left

    @property
    def peak(self) -> float:
        """Highest point of the top [mm]."""
        return max(y for _, y in self.top)

    @property
    def gross_mm2(self) -> float:
        """Area with openings in it [mm2]."""
        return sum((b[0] - a[0]) * ((a[1] + b[1]) / 2.0 - self.base) for a, b in pairwise(self.top))

    @property
    def net_mm2(self) -> float:
        """Area without openings [mm2]."""
        return self.gross_mm2 - sum(hole.width * (hole.head - hole.foot) for hole in self.holes)


def face_of(elevation: Elevation, past_left: float, past_right: float) -> Face:
    """The face of a wall that reaches `past_left` and `past_right` beyond its framing (negative: short of it) [mm]."""
    left, right = -past_left, elevation.width_mm + past_right
    chain = list(reversed(elevation.outline_xy[2:]))
    # beyond the framing the top runs on level: the few mm at a corner are cut to the soffit there on site
    top = [(min(left, 0.0), chain[0][1]), *chain, (max(right, elevation.width_mm), chain[-1][1])]
    holes = tuple(
        Hole(
            opening.name,
            max(opening.from_left_mm, left),
            min(opening.from_left_mm + opening.width_mm, right),
            max(opening.sill_mm, elevation.base_mm),
            min(opening.head_mm, max(y for _, y in chain)),
        )
        for opening in elevation.openings
    )
    return Face(
        wall=elevation.wall,
        left=left,
        right=right,
        base=elevation.base_mm,
        frame_top=elevation.height_mm,
        top=_whole(clipped(tuple(top), left, right)),
        holes=tuple(hole for hole in holes if hole.width > CRUMB_MM),
    )


def _whole(points: Top) -> Top:
    """A chain without doubled points."""
    return tuple(p for i, p in enumerate(points) if i == 0 or p != points[i - 1])


def stretches_above(top: Top, y: float) -> tuple[tuple[float, float], ...]:
    """Where a top is higher than `y`, as stretches of x [mm]."""
    found: list[tuple[float, float]] = []
    for a, b in pairwise(top):
        if b[0] - a[0] <= 0.0 or max(a[1], b[1]) <= y:
            continue
        x0, x1 = a[0], b[0]
        if min(a[1], b[1]) < y:
            at = a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            x0, x1 = (at, x1) if a[1] < y else (x0, at)
        if found and x0 - found[-1][1] < TOLERANCES.same_length_mm:
            found[-1] = (found[-1][0], x1)
        else:
            found.append((x0, x1))
    return tuple((x0, x1) for x0, x1 in found if x1 - x0 > CRUMB_MM)


def without(stretch: tuple[float, float], cuts: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is left of a stretch after cutting stretches out of it, pieces over the tolerance only [mm]."""
    left, end = stretch
    kept: list[tuple[float, float]] = []
    for a, b in sorted(cuts):
        if b <= left or a >= end:
            continue
        if a - left > CRUMB_MM:
            kept.append((left, a))
        left = max(left, b)
    if end - left > CRUMB_MM:
        kept.append((left, end))
    return kept


def panel(face: Face, x0: float, x1: float, y0: float, y1: float) -> Ring2:
    """What is seen of a board that covers x0..x1, y0..y1 on a face: cut to the top, openings notched out.

    Counter-clockwise; empty when nothing is left. An opening inside the board is joined to its foot by a line there and
    back, one through its whole height by lines along the head: the area is that of the visible wood. [mm]
    """
    lower: list[Point2] = []
    upper: list[Point2] = []
    for a, b in _columns(face, x0, x1, y0, y1):
        middle = (a + b) / 2.0
        ua, ub = (min(y1, y) for _, y in clipped(face.top, a, b)[:2])
        low = y0
        for hole in sorted(face.holes, key=lambda h: h.foot):
            if not hole.left < middle < hole.right or hole.head <= low or hole.foot >= max(ua, ub):
                continue
            if hole.foot <= low + CRUMB_MM:
                low = hole.head
            elif hole.head >= max(ua, ub) - CRUMB_MM:
                ua = ub = hole.foot
            elif abs(a - max(hole.left, x0)) < TOLERANCES.same_length_mm:
                lower += _keyhole(hole, low, min(hole.right, x1))
        # an opening right through the board ends above it: the two sides are joined along its head
        low_a, low_b = (low, low) if low > max(ua, ub) else (min(low, ua), min(low, ub))
        lower += [(a, low_a), (b, low_b)]
        upper += [(a, max(ua, low_a)), (b, max(ub, low_b))]
    ring = _loop([*lower, *reversed(upper)])
    return ring if abs(signed_area(ring)) > TOLERANCES.least_area_mm2 else ()


def _keyhole(hole: Hole, low: float, right: float) -> list[Point2]:
    """Round an opening that lies inside a board, from the board's foot and back, clockwise."""
    left = hole.left
    return [
        (left, low),
        (left, hole.foot),
        (left, hole.head),
        (right, hole.head),
        (right, hole.foot),
        (left, hole.foot),
        (left, low),
    ]


def _columns(face: Face, x0: float, x1: float, y0: float, y1: float) -> Iterator[tuple[float, float]]:
    """Stretches of x in which top and openings are straight: breaks at top points, crossings of y1 and y0, jambs."""
    breaks = {x0, x1}
    for a, b in pairwise(face.top):
        breaks |= {a[0], b[0]}
        for y in (y0, y1):
            if (a[1] - y) * (b[1] - y) < 0.0:
                breaks.add(a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
    for hole in face.holes:
        if hole.head > y0 and hole.foot < y1:
            breaks |= {hole.left, hole.right}
    inside = sorted(x for x in breaks if x0 <= x <= x1)
    for start, end in pairwise(inside):
        if end - start > TOLERANCES.same_length_mm:
            yield start, end


def _loop(points: list[Point2]) -> Ring2:
    """A ring without doubled points and without points in the middle of a straight side."""
    ring: list[Point2] = []
    for point in points:
        if not ring or point != ring[-1]:
            ring.append(point)
    while len(ring) > 1 and ring[0] == ring[-1]:
        ring.pop()
    count = len(ring)
    return tuple(b for i, b in enumerate(ring) if count < 4 or not _between(ring[i - 1], b, ring[(i + 1) % count]))


def _between(a: Point2, b: Point2, c: Point2) -> bool:
    """Whether b lies on the straight from a to c, between them."""
    cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return abs(cross) < TOLERANCES.same_length_mm and ahead > 0.0


def highest(face: Face, x0: float, x1: float) -> float:
    """Highest point of the top over x0..x1, which may reach past the face [mm]."""
    return highest_between(face.top, max(x0, face.left), min(x1, face.right))
