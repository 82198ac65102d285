"""Rings of a plan under the drawing hand: a corner or a side moved, a side made so long, a corner put in or taken out.

Corners count from 0, side k runs from corner k to the next. Lengths in mm, plan axes. What the hand moves keeps every
side's direction unless it is freed; corners are found again where the sides' lines meet.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from shapely import LinearRing

from takeoff.basics.errors import UsageError
from takeoff.basics.polygons import signed_area
from takeoff.basics.vectors import Point2, Ring2

_PARALLEL = 1e-6  # sine of the angle between sides that have no corner to meet in
_PLACES = 2  # of a mm: nobody sets out closer
_LEAST_SIDE_MM = 1.0
FEWEST = 3


def tidy(value: float) -> float:
    """A coordinate as it is written: whole where it is, never -0.

    >>> tidy(-0.0), tidy(6200.000001), tidy(12.346)
    (0.0, 6200.0, 12.35)
    """
    return round(value, _PLACES) + 0.0


def side_length(ring: Sequence[Point2], k: int) -> float:
    """Length of a side [mm]."""
    (ax, ay), (bx, by) = ring[k], ring[(k + 1) % len(ring)]
    return hypot(bx - ax, by - ay)


def counter_clockwise(ring: Sequence[Point2]) -> Ring2:
    """The ring the way round that walls are numbered, its first corner kept.

    >>> counter_clockwise(((0, 0), (0, 2), (3, 2), (3, 0)))
    ((0, 0), (3, 0), (3, 2), (0, 2))
    """
    return tuple(ring) if signed_area(ring) >= 0 else (ring[0], *reversed(ring[1:]))


def outward(ring: Sequence[Point2], k: int) -> Point2:
    """Unit vector square to a side, out of the ring whichever way it runs."""
    along = _along(ring, k)
    turn = 1.0 if signed_area(ring) >= 0 else -1.0
    return (along[1] * turn + 0.0, -along[0] * turn + 0.0)


def side_moved(ring: Sequence[Point2], k: int, by_mm: float) -> Ring2:
    """A side moved square to itself, outwards for a positive `by_mm`; its neighbours keep their lines, where they run
    on in line with it a corner moves with it. UsageError where nothing would be left."""
    out = outward(ring, k)
    return _slid(ring, k, (out[0] * by_mm, out[1] * by_mm))


def corner_moved(ring: Sequence[Point2], k: int, to: Point2, free: bool = False) -> Ring2:
    """A corner moved to a place; its two sides keep their directions, so that right angles stay. `free`, or on a
    straight side: the corner alone moves. UsageError where the outline would cross itself or fall together."""
    if free or straight_on(ring, k):
        return _sound((*ring[:k], (tidy(to[0]), tidy(to[1])), *ring[k + 1 :]), ring)
    before = (k - 1) % len(ring)
    shift = (to[0] - ring[k][0], to[1] - ring[k][1])
    first = _slid(ring, before, shift, check=False)
    rest = (to[0] - first[k][0], to[1] - first[k][1])
    return _sound(_slid(first, k, rest, check=False), ring)


def side_set(ring: Sequence[Point2], k: int, length_mm: float, move_start: bool = False) -> Ring2:
    """A side made so long: the side at its end goes along, square to itself; `move_start`: the one at its start.
    UsageError where the outline would cross itself."""
    along, more = _along(ring, k), length_mm - side_length(ring, k)
    if length_mm < _LEAST_SIDE_MM:
        raise UsageError("a side of an outline is at least 1 mm long: type its length, or take a corner out.")
    if move_start:
        return _slid(ring, (k - 1) % len(ring), (-along[0] * more, -along[1] * more))
    return _slid(ring, (k + 1) % len(ring), (along[0] * more, along[1] * more))


def corner_put_in(ring: Sequence[Point2], k: int, at_mm: float) -> Ring2:
    """A corner on a side, so far from its start. UsageError where it would stand on another corner."""
    if not _LEAST_SIDE_MM <= at_mm <= side_length(ring, k) - _LEAST_SIDE_MM:
        raise UsageError(
            f"a new corner stands between the ends of the side, 1 to {side_length(ring, k) - 1:.0f} mm on."
        )
    along, (x, y) = _along(ring, k), ring[k]
    return (*ring[: k + 1], (tidy(x + along[0] * at_mm), tidy(y + along[1] * at_mm)), *ring[k + 1 :])


def corner_taken_out(ring: Sequence[Point2], k: int) -> Ring2:
    """The ring without a corner: its neighbours are joined. UsageError where too few are left."""
    if len(ring) <= FEWEST:
        raise UsageError("an outline has at least three corners: take the whole roof out instead.")
    return _sound((*ring[:k], *ring[k + 1 :]), ring)


def crosses_itself(ring: Sequence[Point2]) -> bool:
    """Whether sides that are no neighbours meet."""
    return not LinearRing(ring).is_simple


def new_ring(points: Sequence[Point2]) -> Ring2:
    """A ring as it was drawn, counter-clockwise, points that repeat and corners on a straight side left out. UsageError
    where it is none."""
    ring = [(tidy(x), tidy(y)) for x, y in points]
    ring = [p for p, q in zip(ring, (*ring[1:], ring[0]), strict=True) if hypot(p[0] - q[0], p[1] - q[1]) > 0]
    ring = [p for i, p in enumerate(ring) if abs(_turn(ring[i - 1], p, ring[(i + 1) % len(ring)])) > _PARALLEL]
    if len(ring) < FEWEST or abs(signed_area(ring)) < 1.0:
        raise UsageError("an outline needs three corners or more that do not lie on one line: draw on, or give it up.")
    if crosses_itself(ring):
        raise UsageError("the outline crosses itself: draw its corners in the order one walks round the house.")
    return counter_clockwise(ring)


def straight_on(ring: Sequence[Point2], k: int) -> bool:
    """Whether the two sides at a corner run on in one line."""
    return abs(_turn(ring[k - 1], ring[k], ring[(k + 1) % len(ring)])) < _PARALLEL


def drawn_out(ring: Sequence[Point2], k: int, by_mm: float) -> tuple[Ring2, tuple[int | None, ...]]:
    """A side moved square to itself; where a neighbour runs on in line with it a new side joins them, so that a part of
    a wall can be drawn out into a wing. With the ring, of which old side each side is, None for a new one."""
    count, end = len(ring), (k + 1) % len(ring)
    before, after = straight_on(ring, k), straight_on(ring, end)
    out = outward(ring, k)
    moved = _slid(ring, k, (out[0] * by_mm, out[1] * by_mm), check=False)
    points: list[tuple[Point2, int | None]] = []
    for i in range(count):
        if i == k and before:
            points.append((ring[k], None))
        points.append((ring[i] if i == end and after else moved[i], i))
        if i == k and after:
            points.append((moved[end], None))
    return _sound(tuple(point for point, _ in points), ring), tuple(origin for _, origin in points)


def _along(ring: Sequence[Point2], k: int) -> Point2:
    (ax, ay), (bx, by) = ring[k], ring[(k + 1) % len(ring)]
    length = hypot(bx - ax, by - ay)
    return ((bx - ax) / length, (by - ay) / length) if length else (1.0, 0.0)


def _slid(ring: Sequence[Point2], k: int, shift: Point2, check: bool = True) -> Ring2:
    """A side's line moved by a shift; both its corners found again."""
    count = len(ring)
    a, b = ring[k], ring[(k + 1) % count]
    along = _along(ring, k)
    at = (a[0] + shift[0], a[1] + shift[1])
    start = _met(at, along, a, _along(ring, k - 1), shift)
    end = _met(at, along, b, _along(ring, (k + 1) % count), shift)
    moved = list(ring)
    moved[k], moved[(k + 1) % count] = start, end
    return _sound(tuple(moved), ring) if check else tuple(moved)


def _met(at: Point2, along: Point2, corner: Point2, other: Point2, shift: Point2) -> Point2:
    """Where the moved line meets the neighbour's line through a corner; where they are parallel the corner goes with
    the side, square to it."""
    sine = along[0] * other[1] - along[1] * other[0]
    if abs(sine) < _PARALLEL:
        off = shift[0] * -along[1] + shift[1] * along[0]
        return (tidy(corner[0] - along[1] * off), tidy(corner[1] + along[0] * off))
    t = ((at[0] - corner[0]) * along[1] - (at[1] - corner[1]) * along[0]) / -sine
    return (tidy(corner[0] + other[0] * t), tidy(corner[1] + other[1] * t))


def _sound(ring: Ring2, before: Sequence[Point2]) -> Ring2:
    if any(side_length(ring, k) < _LEAST_SIDE_MM for k in range(len(ring))):
        raise UsageError("two corners would fall together: move less, or take a corner out.")
    if crosses_itself(ring) and not crosses_itself(before):
        raise UsageError("the outline would cross itself: move less.")
    if (signed_area(ring) > 0) is not (signed_area(before) > 0):
        raise UsageError("the outline would be turned inside out: move less.")
    return ring


def _turn(a: Point2, b: Point2, c: Point2) -> float:
    """Sine of the turn at b."""
    one, two = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    product = hypot(*one) * hypot(*two)
    return (one[0] * two[1] - one[1] * two[0]) / product if product else 0.0
