"""The cladding face of a wall: the wall as its boards see it.

At an outside corner the face reaches past the framing by cavity and board of the wall round the corner, at an inside
corner it stops short by as much (practice: corner-to-corner boards are measured on the cladding face).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from takeoff.basics.polygons import rings_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.cladding.face_rings import GRID_MM, Rings, rings_of
from takeoff.model.walls import Elevation
from takeoff.shape.walls.wall_tops import Top, clipped

CRUMB_MM = TOLERANCES.same_point_mm


@record
class Hole:
    """An opening in the face, in wall axes [mm]; its foot is never below the foot of the cladding."""

    name: str
    left: float
    right: float
    foot: float
    head: float
    kind: str = ""

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left


@record
class Face:
    """The clad face of one wall, in wall axes (x from the left end of the framing, y over the floor) [mm].

    It reaches from `left` to `right` and from `base` up to the chain `top`; `frame_top` is the frame height. Where that
    is not all of it - a part stands behind a lower roof, or is clad otherwise - `rings` are what is left: for each part
    its outer ring and the holes in it. `levels`: the floors of the storeys over its lowest. `breaks`: level
    breaks of its upright boards. Where several zones clad a wall, `part` numbers them, `joins` are the lines at which
    this one meets another, `flashed` those of them whose flashing is counted with it and those to what is left out,
    `beyond` what lies beyond each of these: the direction of its zone.
    """

    wall: int
    left: float
    right: float
    base: float
    frame_top: float
    top: Top
    holes: tuple[Hole, ...]
    rings: tuple[tuple[Ring2, ...], ...] = ()
    levels: tuple[float, ...] = ()
    breaks: tuple[float, ...] = ()
    part: int = 1
    joins: tuple[tuple[Point2, ...], ...] = ()
    flashed: tuple[tuple[Point2, ...], ...] = ()
    beyond: tuple[str, ...] = ()

    @property
    def tag(self) -> str:
        """What marks of its pieces begin with: the wall, and the part where there are several."""
        return f"{self.wall}" if self.part == 1 else f"{self.wall}-{self.part}"

    @property
    def group(self) -> str:
        """The wall, and the part where there are several, in words."""
        return f"wall {self.wall}" if self.part == 1 else f"wall {self.wall} part {self.part}"

    @property
    def width(self) -> float:
        """Width of the face [mm]."""
        return self.right - self.left

    @property
    def peak(self) -> float:
        """Highest point of the top [mm]."""
        return max((y for part in self.rings for _, y in part[0]), default=max(y for _, y in self.top))

    @property
    def gross_mm2(self) -> float:
        """Area with openings in it [mm2]."""
        if self.rings:
            return sum(rings_area(part) for part in self.rings)
        return sum((b[0] - a[0]) * ((a[1] + b[1]) / 2.0 - self.base) for a, b in pairwise(self.top))

    @property
    def whole(self) -> tuple[tuple[Ring2, ...], ...]:
        """Its parts, each an outer ring counter-clockwise and the holes in it; openings are none of these."""
        foot = ((self.left, self.base), (self.right, self.base))
        return self.rings or (((*foot, *reversed(self.top)),),)


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
            opening.kind,
        )
        for opening in elevation.openings
    )
    face = Face(
        wall=elevation.wall,
        left=left,
        right=right,
        base=elevation.base_mm,
        frame_top=elevation.height_mm,
        top=_whole(clipped(tuple(top), left, right)),
        holes=tuple(hole for hole in holes if hole.width > CRUMB_MM),
        levels=elevation.floors_mm[1:],
    )
    return _less_covered(face, elevation) if elevation.covered_xy else face


def _less_covered(face: Face, elevation: Elevation) -> Face:
    """The face without what lower roofs cover of it; at a corner they cover it as far as it goes."""
    from shapely import difference, union_all
    from shapely.geometry import Polygon

    covered = [Polygon(_drawn_out(ring, face, elevation.width_mm)) for ring in elevation.covered_xy]
    left = difference(Polygon(face.whole[0][0]), union_all(covered, grid_size=GRID_MM), grid_size=GRID_MM)
    return with_rings(face, rings_of(left))


def _drawn_out(ring: Ring2, face: Face, width_mm: float) -> list[Point2]:
    """What is covered of a wall, drawn on level from the ends of its framing to those of its face."""
    points: list[Point2] = []
    for a, b in pairwise((*ring, ring[0])):
        points.append(a)
        for end, to in ((0.0, min(0.0, face.left)), (width_mm, max(width_mm, face.right))):
            if max(abs(a[0] - end), abs(b[0] - end)) <= CRUMB_MM:
                points += [(to, a[1]), (to, b[1])]
    return points


def with_rings(face: Face, rings: tuple[Rings, ...]) -> Face:
    """A face of which those parts are left: its foot, height and sides with them, openings where they are."""
    points = [point for part in rings for point in part[0]]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    base, peak = max(face.base, min(ys)), max(ys)
    return replace(
        face,
        left=min(xs),
        right=max(xs),
        base=base,
        frame_top=min(face.frame_top, peak) if face.frame_top > base + CRUMB_MM else peak,
        holes=tuple(
            replace(hole, left=max(hole.left, min(xs)), right=min(hole.right, max(xs)), foot=max(hole.foot, base))
            for hole in face.holes
            if _holds(rings, hole)
        ),
        rings=rings,
    )


def _holds(rings: tuple[Rings, ...], hole: Hole) -> bool:
    """Whether anything of an opening lies in a region."""
    from shapely.geometry import Polygon, box

    ring = box(hole.left, hole.foot, hole.right, hole.head)
    return any(Polygon(part[0], part[1:]).intersection(ring).area > TOLERANCES.least_area_mm2 for part in rings)


def _whole(points: Top) -> Top:
    """A chain without doubled points."""
    return tuple(p for i, p in enumerate(points) if i == 0 or p != points[i - 1])


def straights(top: Top) -> list[tuple[Point2, Point2]]:
    """The straight lines of a top from end to end, those that run on in one line as one [mm]."""
    found: list[tuple[Point2, Point2]] = []
    for a, b in pairwise(top):
        if found:
            (x0, y0), last = found[-1]
            off = (last[1] - y0) * (b[0] - x0) - (b[1] - y0) * (last[0] - x0)
            if abs(off) <= CRUMB_MM * (b[0] - x0):
                found[-1] = ((x0, y0), b)
                continue
        found.append((a, b))
    return found


def stretches_above(top: Top, y: float) -> tuple[tuple[float, float], ...]:
    """Where a top is higher than `y`, as stretches of x [mm]."""
    found: list[tuple[float, float]] = []
    for a, b in pairwise(top):
        if max(a[1], b[1]) <= y:
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
