"""The corners of a cut sheet as they are marked on site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.vectors import Point2
from takeoff.measure.sheeting.sheet_ends import Ends, end_points, long_point
from takeoff.model.sheets import SheetPiece
from takeoff.shape.strips.slabs import Slab, lowest, rings_of


def with_corners(piece: SheetPiece, slabs: Sequence[Slab], ends: Ends, left_u_mm: float) -> SheetPiece:
    """A sheet with its outline and the corners of it that are marked on site, taped from the left edge of the uncut
    sheet, `left_u_mm` [mm of u], and from its lowest point."""
    origin = (left_u_mm, lowest(slabs))
    foot = replace(ends.foot, points_mm=_from_edge(end_points(slabs, top=False), origin))
    top = replace(ends.top, points_mm=_from_edge(end_points(slabs, top=True), origin))
    outline = rings_of(slabs)[0]
    return replace(
        piece,
        outline_uv=outline,
        foot=foot,
        top=top,
        notched=ends.notched,
        corners_mm=_from_edge(outline, origin),
        long_point_mm=long_point(foot, top),
    )


def _from_edge(points: Sequence[Point2], origin: Point2) -> tuple[Point2, ...]:
    return tuple((u - origin[0], v - origin[1]) for u, v in points)
