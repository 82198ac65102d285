"""The corners of a cut sheet as they are marked on site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.sheeting.sheet_ends import Ends, end_points, long_point
from takeoff.model.sheets import EndCut, SheetPiece
from takeoff.shape.strips.slabs import Slab, lowest, rings_of


@record
class Corners:
    """The outline of a cut sheet in its plane, its ends with their corners, and the corners that are marked on site, as
    `SheetPiece` has them."""

    outline_uv: Ring2
    foot: EndCut
    top: EndCut
    corners_mm: tuple[Point2, ...]
    long_point_mm: Point2


def corners_of(slabs: Sequence[Slab], ends: Ends, left_u_mm: float) -> Corners:
    """The corners of a sheet, taped from the left edge of the uncut sheet, `left_u_mm` [mm of u], and from its lowest
    point."""
    origin = (left_u_mm, lowest(slabs))
    foot = _with_points(ends.foot, _from_edge(end_points(slabs, top=False), origin))
    top = _with_points(ends.top, _from_edge(end_points(slabs, top=True), origin))
    outline = rings_of(slabs)[0]
    return Corners(outline, foot, top, _from_edge(outline, origin), long_point(foot, top))


def with_corners(piece: SheetPiece, slabs: Sequence[Slab], ends: Ends, left_u_mm: float) -> SheetPiece:
    """A sheet with its outline and the corners of it that are marked on site (`corners_of`)."""
    found = corners_of(slabs, ends, left_u_mm)
    return replace(
        piece,
        outline_uv=found.outline_uv,
        foot=found.foot,
        top=found.top,
        notched=ends.notched,
        corners_mm=found.corners_mm,
        long_point_mm=found.long_point_mm,
    )


def _with_points(cut: EndCut, points: tuple[Point2, ...]) -> EndCut:
    return EndCut(cut.shape, cut.edges, cut.rake_deg, cut.hand, points)


def _from_edge(points: Sequence[Point2], origin: Point2) -> tuple[Point2, ...]:
    return tuple([(u - origin[0], v - origin[1]) for u, v in points])
