"""The boards that a strip of a wall takes: the connected parts of what is seen of it, each with the length to be cut.

A strip is split where an opening, or what is not clad, takes all that is seen of it; one that takes only a part of it
leaves the board whole and notched, whatever the hidden lap would need.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, degrees, hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.face_parts import one_ring, seen_parts
from takeoff.measure.cladding.face_rings import Rings


@record
class BoardCut:
    """What is seen of one board, from where to where it must be cut along its run, and by how much of that it begins
    before what is seen [mm]."""

    rings: Rings
    start: float
    end: float
    past: float


@record
class Panel:
    """What is seen of one board as one ring, from where to where it must be cut along its run, and by how much of that
    it begins before what is seen [mm]. `rakes_deg`: how far off square it is cut, an upright one at foot and top, a
    level one at its left and right end."""

    ring: Ring2
    start: float
    end: float
    past: float
    rakes_deg: tuple[float, float] = (0.0, 0.0)


def level_panels(face: Face, y0: float, y1: float, lap_mm: float) -> Iterator[Panel]:
    """The boards of a course of which y0..y1 is seen, left to right."""
    for cut in level_cuts(face, y0, y1, lap_mm):
        yield Panel(one_ring(cut.rings), cut.start, cut.end, cut.past, _end_rakes(cut.rings[0]))


def level_cuts(face: Face, y0: float, y1: float, lap_mm: float) -> Iterator[BoardCut]:
    """From where to where the boards of a course go of which y0..y1 is seen, left to right.

    A raked end is cut through the hidden lap too (lap_mm over y1): where the foot of the wall rakes, the board reaches
    past what is seen of it.
    """
    for rings in seen_parts(face, face.left, face.right, y0, y1):
        box = _box(rings[0])
        left, _, right, _ = box or _bounds(rings[0])
        before, after = 0.0, 0.0
        if box is None:
            before, after = (_past_foot(rings[0], y1, lap_mm, side) for side in (-1.0, 1.0))
        start, end = max(face.left, left - before), min(face.right, right + after)
        yield BoardCut(rings, start, end, left - start)


def _past_foot(ring: Ring2, y1: float, lap: float, side: float) -> float:
    """How far a raked foot runs on beyond a part's end at y1, over the lap above it [mm]."""
    end = max(side * x for x, _ in ring)
    for a, b in pairwise((*ring, ring[0])):
        rise, run = b[1] - a[1], (b[0] - a[0])
        # counter-clockwise, a foot goes to the right
        if run > CRUMB_MM and abs(rise) > CRUMB_MM:
            tip = b if rise > 0.0 else a
            if abs(side * tip[0] - end) < CRUMB_MM and abs(tip[1] - y1) < CRUMB_MM:
                return lap * run / abs(rise)
    return 0.0


def upright_panel(cut: BoardCut) -> Panel:
    """The board that is cut so, with the rakes of its foot and its head."""
    rakes = (_rake(cut.rings[0], 1.0, True), _rake(cut.rings[0], -1.0, True))
    return Panel(one_ring(cut.rings), cut.start, cut.end, cut.past, rakes)


def upright_cuts(
    face: Face,
    x0: float,
    x1: float,
    lap_mm: float,
    breaks_mm: Sequence[float] = (),
    reach: tuple[float, float] | None = None,
) -> Iterator[BoardCut]:
    """From where to where the boards between the lines x0 and x1 go, from the foot up, cut on level breaks.

    The lap may be on either side, as the wind decides on site, so a raked end is measured with a lap on both. `reach`:
    what `foot_and_peak` says of the face, for whoever asks many strips of it.
    """
    low, high = reach or foot_and_peak(face)
    for tier in pairwise((low - 1.0, *breaks_mm, high + 1.0)):
        for rings in seen_parts(face, x0, x1, *tier):
            box = _box(rings[0])
            _, seen_low, _, seen_high = box or _bounds(rings[0])
            below, above = 0.0, 0.0
            if box is None:
                below, above = (_past_rake(face, rings[0], (x0, x1), lap_mm, way) for way in (1.0, -1.0))
            foot, head = max(low, tier[0], seen_low - below), min(high, tier[1], seen_high + above)
            yield BoardCut(rings, foot, head, seen_low - foot)


def _end_rakes(ring: Ring2) -> tuple[float, float]:
    """How far off square a level board is cut at its left and its right end [degrees], each by its longest edge."""
    found = []
    for way in (-1.0, 1.0):
        edges = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*ring, ring[0]))]
        raked = [(run, rise) for run, rise in edges if rise * way > CRUMB_MM and abs(run) > CRUMB_MM]
        run, rise = max(raked, key=lambda edge: hypot(*edge), default=(0.0, 1.0))
        found.append(degrees(atan2(abs(run), abs(rise))))
    return found[0], found[1]


def rakes_of(ring: Ring2) -> tuple[float, float]:
    """How far off square a sheet is cut at its foot and its top [degrees]; 0 where most of an end is square."""
    return _rake(ring, 1.0), _rake(ring, -1.0)


def _rake(ring: Ring2, way: float, any_of_it: bool = False) -> float:
    """How far off square the foot (way 1) or top (way -1) of an upright board is cut, by its longest edge [degrees]; an
    end of which the less is raked counts with `any_of_it`: the last board under a rake is cut for its corner too."""
    edges = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*ring, ring[0])) if (b[0] - a[0]) * way > CRUMB_MM]
    level = [edge for edge in edges if abs(edge[1]) <= TOLERANCES.same_length_mm]
    raked = [edge for edge in edges if abs(edge[1]) > TOLERANCES.same_length_mm]
    square = sum(abs(run) for run, _ in level) > sum(abs(run) for run, _ in raked)
    if not raked or (square and not any_of_it):
        return 0.0
    run, rise = max(raked, key=lambda edge: hypot(*edge))
    return degrees(atan2(abs(rise), abs(run)))


def _past_rake(face: Face, ring: Ring2, lines: tuple[float, float], lap: float, way: float) -> float:
    """What a raked foot (way 1) or top (way -1) takes beyond the lines of a board, over the lap beside it [mm]."""
    most = 0.0
    tips = [way * y for _, y in ring]
    end = min(tips)
    for a, b in pairwise((*ring, ring[0])):
        if (b[0] - a[0]) * way <= CRUMB_MM or abs(b[1] - a[1]) <= TOLERANCES.same_length_mm:
            continue
        tip, other = (a, b) if way * a[1] < way * b[1] else (b, a)
        on_line = any(abs(tip[0] - x) < CRUMB_MM for x in lines)
        if abs(way * tip[1] - end) < CRUMB_MM and on_line:
            room = tip[0] - face.left if tip[0] < other[0] else face.right - tip[0]
            most = max(most, min(lap, max(0.0, room)) * abs(b[1] - a[1]) / abs(b[0] - a[0]))
    return most


_Bounds = tuple[float, float, float, float]  # x0, y0, x1, y1


def _box(ring: Ring2) -> _Bounds | None:
    """The bounds of a ring that is a box whose sides are level and upright to the last digit; None of any other."""
    if len(ring) != 4:
        return None
    (x0, y0), (bx, by), (x1, y1), (dx, dy) = ring
    return (x0, y0, x1, y1) if y0 == by and bx == x1 and y1 == dy and dx == x0 and x0 < x1 and y0 < y1 else None


def _bounds(ring: Ring2) -> _Bounds:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def foot_and_peak(face: Face) -> tuple[float, float]:
    """The lowest and the highest point of a face [mm]."""
    heights = [y for part in face.whole for _, y in part[0]]
    return min(heights), max(heights)
