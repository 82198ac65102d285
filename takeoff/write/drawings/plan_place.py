"""Several roofs on one plan: from a roof's own coordinates to the drawing's, and what of one lies under another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3
from takeoff.model.roof import Roof
from takeoff.write.drawings.label_room import Room

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

PlanLine = tuple[Point2, Point2]


@record
class Place:
    """Moves a roof's own coordinates into the drawing's: several roofs share one drawing."""

    base_mm: Point3

    def at(self, roof: Roof, point: Sequence[float]) -> Point2:
        """Plan point of a point of that roof [mm]."""
        return (
            point[0] + (roof.origin_mm[0] - self.base_mm[0]),
            point[1] + (roof.origin_mm[1] - self.base_mm[1]),
        )

    def under(self, roof: Roof) -> BaseGeometry | None:
        """What of a roof lies in plan under another one; None where nothing does."""
        parts = [
            [[self.at(roof, plane.frame.to_space(point)) for point in ring] for ring in part]
            for plane in roof.planes
            for part in plane.covered_uv
        ]
        if not parts:
            return None
        from shapely import union_all
        from shapely.geometry import Polygon

        # a hair wider: a line along the edge of what is covered is covered too
        covered = union_all([Polygon(part[0], part[1:]).buffer(TOLERANCES.same_point_mm) for part in parts])
        return covered if not covered.is_empty else None


def draw_edges(taken: Room, place: Place, roof: Roof) -> None:
    """The edges of a roof; what lies under another one is dashed and thin, and words may stand on it."""
    under = place.under(roof)
    for edge in roof.own_edges:
        draw_seen(taken, edge.kind.row.layer, (place.at(roof, edge.a_mm), place.at(roof, edge.b_mm)), under)


def draw_seen(taken: Room, layer: str, line: PlanLine, under: BaseGeometry | None) -> None:
    """A line as far as it is seen from above, which words keep off, and dashed where it lies under another roof."""
    seen, hidden = parted(*line, under)
    for part in seen:
        taken.sketch.line(layer, *part)
        taken.lines.append(part)
    for part in hidden:
        taken.sketch.line("ROOF-HIDDEN", *part)
        taken.soft.append(part)


def parted(a: Point2, b: Point2, under: BaseGeometry | None) -> tuple[tuple[PlanLine, ...], tuple[PlanLine, ...]]:
    """A line as what is seen of it from above and what lies under another roof."""
    if under is None:
        return ((a, b),), ()
    from shapely.geometry import LineString

    line = LineString([a, b])
    return _lines(line.difference(under)), _lines(line.intersection(under))


def _lines(shape: BaseGeometry) -> tuple[PlanLine, ...]:
    from shapely import get_parts

    found = []
    for part in get_parts(shape):
        if part.length > TOLERANCES.same_plane_mm:
            (ax, ay, *_), (bx, by, *_) = part.coords[0], part.coords[-1]
            found.append(((float(ax), float(ay)), (float(bx), float(by))))
    return tuple(found)
