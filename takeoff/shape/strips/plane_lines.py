"""Straight timbers on a roof plane: where a line of some width lies inside the plane, and where rafters pass under it.

A timber of width w along a plane ends square at its long point, so its length is the longest that any line within its
width has inside the plane:

      long point
      |------------------------|
       \\______________________/    upper side
        \\____________________/     lower side   (cut on site to the hip or valley)
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, floor, hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.roof import Roof, RoofEdge, RoofPlane

Span = tuple[float, float]

# levels are read this far beside a corner, so that no level passes through one [mm]
_BESIDE_MM = TOLERANCES.crumb_mm


@record
class EdgeOnPlane:
    """A roof edge in the axes of one of its planes [mm]: ends by rising u, and the unit normal that points inward."""

    edge: RoofEdge
    a: Point2
    b: Point2
    inward: Point2

    @property
    def v_mm(self) -> float:
        """Height of a level edge up the slope; the middle of a sloping one."""
        return (self.a[1] + self.b[1]) / 2.0

    @property
    def is_top(self) -> bool:
        """Whether the plane lies below the edge."""
        return self.inward[1] < 0.0

    @property
    def along(self) -> Point2:
        """Unit direction from a to b."""
        length = hypot(self.b[0] - self.a[0], self.b[1] - self.a[1])
        return ((self.b[0] - self.a[0]) / length, (self.b[1] - self.a[1]) / length)


def edges_on(roof: Roof, plane: RoofPlane) -> tuple[EdgeOnPlane, ...]:
    """The edges of a plane in its own axes, in the roof's order."""
    return tuple(_on_plane(plane, edge) for edge in _edges(roof, plane))


def edge_on(roof: Roof, plane: RoofPlane, edge: RoofEdge) -> EdgeOnPlane:
    """One edge of a plane in its axes, as it is among all of them."""
    return next(_on_plane(plane, own) for own in _edges(roof, plane) if own.id == edge.id)


def _edges(roof: Roof, plane: RoofPlane) -> list[RoofEdge]:
    return [edge for edge in roof.edges_of(plane.id) if edge.length_mm > TOLERANCES.same_point_mm]


def _on_plane(plane: RoofPlane, edge: RoofEdge) -> EdgeOnPlane:
    a, b = sorted((plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)))
    length = hypot(b[0] - a[0], b[1] - a[1])
    normal = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    probe = TOLERANCES.same_point_mm
    if not is_inside(plane.rings_uv, (middle[0] + probe * normal[0], middle[1] + probe * normal[1])):
        normal = (-normal[0], -normal[1])
    return EdgeOnPlane(edge, a, b, normal)


def spans_at(rings: Sequence[Ring2], v_mm: float) -> tuple[Span, ...]:
    """Parts of the level line v = `v_mm` inside the rings (even-odd, so holes are left out), by rising u [mm]."""
    crossings: list[float] = []
    for ring in rings:
        ax, ay = ring[-1]
        for bx, by in ring:
            if (ay <= v_mm) != (by <= v_mm):
                crossings.append(ax + (v_mm - ay) / (by - ay) * (bx - ax))
            ax, ay = bx, by
    crossings.sort()
    return tuple(zip(crossings[::2], crossings[1::2], strict=True))


def is_inside(rings: Sequence[Ring2], point: Point2) -> bool:
    """Whether a point lies inside the outer ring and outside the holes."""
    return any(a < point[0] < b for a, b in spans_at(rings, point[1]))


def long_spans(rings: Sequence[Ring2], v_mm: float, width_mm: float) -> tuple[Span, ...]:
    """Spans of a timber of `width_mm` centred on v = `v_mm`, each to its long point at both ends, by rising u [mm].

    Where its centre line is cut by a notch or a hole the timber is cut too.
    """
    half = width_mm / 2.0
    corners = {y for ring in rings for _, y in ring if abs(y - v_mm) < half}
    levels = {v_mm - half + _BESIDE_MM, v_mm + half - _BESIDE_MM}
    levels |= {y + side for y in corners for side in (-_BESIDE_MM, _BESIDE_MM)}
    centre = spans_at(rings, v_mm)
    if not centre:
        return ()
    upward = [spans_at(rings, level) for level in sorted(levels) if level > v_mm]
    downward = [spans_at(rings, level) for level in sorted(levels, reverse=True) if level <= v_mm]
    found = []
    for number, span in enumerate(centre):
        # two timbers side by side never grow past each other's centre line
        least = centre[number - 1][1] if number else float("-inf")
        most = centre[number + 1][0] if number + 1 < len(centre) else float("inf")
        reach = [_grown(span, way) for way in (upward, downward)]
        found.append((max(least, min(a for a, _ in reach)), min(most, max(b for _, b in reach))))
    return tuple(found)


def _grown(span: Span, levels: Iterable[tuple[Span, ...]]) -> Span:
    """The span widened by every part, level after level, that touches what it is so far."""
    a, b = low, high = span
    for parts in levels:
        touching = [part for part in parts if part[0] < high and part[1] > low]
        if not touching:
            break
        low, high = min(p[0] for p in touching), max(p[1] for p in touching)
        a, b = min(a, low), max(b, high)
    return (a, b)


def band_spans(rings: Sequence[Ring2], low_mm: float, high_mm: float) -> tuple[Span, ...]:
    """Spans in u that any part of the rings has between two heights, parts that touch joined, by rising u [mm]."""
    corners = {y for ring in rings for _, y in ring if low_mm < y < high_mm}
    levels = {low_mm + _BESIDE_MM, high_mm - _BESIDE_MM}
    levels |= {y + side for y in corners for side in (-_BESIDE_MM, _BESIDE_MM)}
    joined: list[Span] = []
    for a, b in sorted(span for level in levels for span in spans_at(rings, level)):
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
        else:
            joined.append((a, b))
    return tuple(joined)


def turned(rings: Sequence[Ring2], origin: Point2, along: Point2) -> tuple[Ring2, ...]:
    """The rings in axes with the origin at `origin` and the first axis along the unit vector `along`."""
    (ox, oy), (dx, dy) = origin, along
    return tuple(
        tuple(((x - ox) * dx + (y - oy) * dy, (y - oy) * dx - (x - ox) * dy) for x, y in ring) for ring in rings
    )


def lines_beside(
    plane: RoofPlane, on: EdgeOnPlane, offset_mm: float, width_mm: float
) -> tuple[tuple[Point2, Point2], ...]:
    """Timbers of `width_mm` on a plane whose centre line runs `offset_mm` square to an edge: ends at the long points.

    Parts that do not run beside the edge itself are left out.
    """
    dx, dy = on.along
    ox, oy = on.a[0] + offset_mm * on.inward[0], on.a[1] + offset_mm * on.inward[1]
    length = hypot(on.b[0] - on.a[0], on.b[1] - on.a[1])
    spans = long_spans(turned(plane.rings_uv, (ox, oy), (dx, dy)), 0.0, width_mm)
    return tuple(
        ((ox + a * dx, oy + a * dy), (ox + b * dx, oy + b * dy))
        for a, b in ((max(0.0, a), min(length, b)) for a, b in spans)
        if b - a > width_mm
    )


def subtract(span: Span, gaps: Iterable[Span]) -> tuple[Span, ...]:
    """What is left of a span when the gaps are taken out, by rising u."""
    left = [span]
    for low, high in gaps:
        left = [
            part for a, b in left for part in ((a, min(b, low)), (max(a, high), b)) if part[1] - part[0] > _BESIDE_MM
        ]
    return tuple(left)


def supports_under(plane: RoofPlane, a: Point2, b: Point2, spacing_mm: float, setting_out: str) -> tuple[float, ...]:
    """Where rafters pass under the line a-b of a plane [mm along it], ends left out; none under a line up the slope.

    Rafters run up the slope at `spacing_mm` on the plan, set out from the middle of the plane (an odd bay at either
    end), or from its "left" or "right" end seen from below the eave.
    """
    width = max(x for x, _ in plane.rings_uv[0])
    start = {"left": 0.0, "right": width}.get(setting_out, width / 2.0)
    length = hypot(b[0] - a[0], b[1] - a[1])
    run = b[0] - a[0]
    if abs(run) < spacing_mm * 1e-6 or length <= 0.0:
        return ()
    low, high = min(a[0], b[0]), max(a[0], b[0])
    first, last = ceil((low - start) / spacing_mm), floor((high - start) / spacing_mm)
    at = sorted((start + k * spacing_mm - a[0]) / run * length for k in range(first, last + 1))
    return tuple(x for x in at if TOLERANCES.same_point_mm < x < length - TOLERANCES.same_point_mm)


def reaches(length_mm: float, splits_mm: Sequence[float], longest_mm: float, least_mm: float) -> bool:
    """True where pieces no longer than the stock and no shorter than `least_mm` cover a run with joints at some of the
    positions given [mm from the run's start]."""
    slack = TOLERANCES.same_length_mm
    if length_mm <= longest_mm + slack:
        return True
    ends = [0.0]
    for at in (*sorted(splits_mm), length_mm):
        if any(least_mm - slack <= at - start <= longest_mm + slack for start in ends):
            ends.append(at)
    return ends[-1] == length_mm


def one_joint(
    length_mm: float, splits_mm: Sequence[float], longest_mm: float, least_mm: float, apart_mm: float
) -> bool:
    """True where two pieces cover a run and the positions where they can be joined all lie nearer than `apart_mm` to
    each other: rows side by side would be joined in one line, and every other one takes a piece more."""
    slack = TOLERANCES.same_length_mm
    if length_mm <= longest_mm + slack:
        return False
    places = [x for x in splits_mm if all(least_mm - slack <= p <= longest_mm + slack for p in (x, length_mm - x))]
    return bool(places) and max(places) - min(places) < apart_mm - slack
