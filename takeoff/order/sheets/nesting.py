"""How far the cut ends of two sheets go into each other in one bought length, from their outlines alone.

+---------+        slack of an end: how far each place of it lies behind its outermost point;
| B   __..+        turned half round B's slack is read from its other side. What both ends leave
|_..--    |        free at every place that both sheets need is what the length is shorter by.
| A   __..+
|_..--
|
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import field
from functools import lru_cache
from itertools import pairwise

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.sheets import CutShape, SheetPiece

_EDGE_MM = TOLERANCES.rip_mm
_LEAST_COMMON_MM = TOLERANCES.rip_mm


@record
class EndLine:
    """One cut end in its uncut sheet: (from the left edge, slack) from left to right [mm]."""

    points: tuple[Point2, ...]
    _hash: int = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Every end is held against every other: what it is found by is worked out once."""
        object.__setattr__(self, "_hash", hash(self.points))

    def __hash__(self) -> int:
        return self._hash

    def turned(self, overall_mm: float) -> EndLine:
        """The same end read from the sheet turned half round in its plane."""
        return _turned(self, overall_mm)

    def at(self, u: float) -> float:
        """Slack at u, between the ends of the line."""
        us = [point[0] for point in self.points]
        place = max(1, bisect_left(us, u))
        (u0, s0), (u1, s1) = self.points[place - 1], self.points[place]
        return s0 + (s1 - s0) * (u - u0) / (u1 - u0)


@lru_cache(maxsize=1 << 12)
def _turned(line: EndLine, overall_mm: float) -> EndLine:
    return EndLine(tuple((overall_mm - u, slack) for u, slack in reversed(line.points)))


def end_line(piece: SheetPiece, end: str, overall_mm: float) -> EndLine | None:
    """The "top" or "foot" of a piece as it may face another; None for a square end and for a sheet that is ripped,
    notched, has a hole in it or steps in this end."""
    cut = piece.top if end == "top" else piece.foot
    if cut.shape is CutShape.SQUARE or piece.notched or len(piece.cover_uv) != 1:
        return None
    points = cut.points_mm
    if len(points) < 2 or any(b[0] - a[0] < _EDGE_MM for a, b in pairwise(points)):
        return None
    if not (_side_free(piece, 0, 0.0) and _side_free(piece, -1, overall_mm)):
        return None
    far = max(v for _, v in points) if end == "top" else min(v for _, v in points)
    return EndLine(tuple((round(u, 3), round(abs(far - v), 3)) for u, v in points))


def _side_free(piece: SheetPiece, at: int, edge_mm: float) -> bool:
    """True where a side of a piece is the sheet's own edge, or a point: nothing is ripped along it."""
    us = [u for u, _ in piece.corners_mm]
    side = max(us) if at else min(us)
    (foot_u, low), (top_u, high) = piece.foot.points_mm[at], piece.top.points_mm[at]
    if max(abs(foot_u - side), abs(top_u - side)) > _EDGE_MM:
        return False
    return abs(side - edge_mm) <= _EDGE_MM or high - low <= _EDGE_MM


@lru_cache(maxsize=1 << 16)  # the sheets of a house end in few ways, and each is held against every other
def nested_mm(low: EndLine, high: EndLine) -> float:
    """What two ends that face each other in one length leave free together at every place both need [mm].

    0 where they need no place together: two sheets beside each other would be ripped apart.
    """
    left = max(low.points[0][0], high.points[0][0])
    right = min(low.points[-1][0], high.points[-1][0])
    if right - left < _LEAST_COMMON_MM:
        return 0.0
    stops = {left, right, *_between(low.points, left, right), *_between(high.points, left, right)}
    return min(low.at(u) + high.at(u) for u in stops)


def _between(points: Sequence[Point2], left: float, right: float) -> list[float]:
    return [u for u, _ in points if left < u < right]
