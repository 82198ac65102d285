"""What of a wall is not clad: behind a lower roof up to the clearance over it, within a closed part of the building,
and what a roof that lies against the wall covers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.model.settings import Settings
from takeoff.shape.walls.lower_roofs import RoofBeside

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_FAR_MM = 1e6
_GRID_MM = TOLERANCES.grid_mm


@record
class CoverRule:
    """Distances [mm]: `over` from the underside of a lower roof's sheets up to the foot of the cladding, `under` from
    there down to where cladding under an open roof ends, `past` by which a wall of another line stands before a wall
    beside it. `floors`: the foot of the cladding of other wall lines; `soffits`: the soffit line under the eaves of a
    roof, where it has level ones."""

    over: float
    under: float
    past: float
    floors: Mapping[str, float]
    soffits: Mapping[str, float]


def cover_over(settings: Settings) -> float:
    """From the underside of a lower roof's sheets up to the foot of the cladding over them [mm]: what sheets and apron
    stand up (setting apron_over_sheets_mm) and the clearance (setting clearance_roof_mm, E2/AS1 as restated)."""
    return settings.number("apron_over_sheets_mm") + settings.number("clearance_roof_mm")


def covered_parts(outline: Ring2, beside: Iterable[RoofBeside], rule: CoverRule) -> tuple[Ring2, ...]:
    """The parts of a wall's outline that are not clad, in wall axes; empty where all of it is."""
    from shapely import intersection, union_all
    from shapely.geometry import Polygon

    width = max(x for x, _ in outline)
    blocks = [block for part in beside if (block := Polygon(_block(part, width, rule))).area > 0.0]
    if not blocks:
        return ()
    taken = intersection(union_all(blocks, grid_size=_GRID_MM), Polygon(outline), grid_size=_GRID_MM)
    return tuple(sorted(_rings(taken)))


def area_left(outline: Ring2, covered: Iterable[Ring2]) -> float:
    """Area of a wall's outline without what is covered [mm2]; parts of it that cover each other count once."""
    from shapely import difference, union_all
    from shapely.geometry import Polygon

    rings = [Polygon(ring) for ring in covered]
    whole = Polygon(outline)
    return float(difference(whole, union_all(rings), grid_size=_GRID_MM).area if rings else whole.area)


def _block(part: RoofBeside, width: float, rule: CoverRule) -> Ring2:
    x0, x1 = part.x0, part.x1
    slope = (part.z1 - part.z0) / (x1 - x0) if part.z1 < _FAR_MM and part.z0 < _FAR_MM else 0.0
    tops = [min(z, _FAR_MM) + rule.over for z in (part.z0, part.z1)]
    if part.closed:
        # the other line's wall stands before this one with its own cladding
        if x0 > TOLERANCES.same_point_mm:
            x0, tops[0] = x0 - rule.past, tops[0] - slope * rule.past
        if x1 < width - TOLERANCES.same_point_mm:
            x1, tops[1] = x1 + rule.past, tops[1] + slope * rule.past
        foot = rule.floors.get(part.roof, -_FAR_MM)
        feet = [min(foot, top) for top in tops]
    else:
        feet = [min(z - rule.under, rule.soffits.get(part.roof, z)) for z in (part.z0, part.z1)]
    return ((x0, feet[0]), (x1, feet[1]), (x1, tops[1]), (x0, tops[0]))


def _rings(shape: BaseGeometry) -> Iterator[Ring2]:
    """The outlines of a region's parts; one with a hole in it is cut in two through the hole."""
    from shapely import get_parts, intersection
    from shapely.geometry import Polygon, box
    from shapely.geometry.polygon import orient

    for part in get_parts(shape):
        if not isinstance(part, Polygon) or part.area < TOLERANCES.least_area_mm2:
            continue
        if part.interiors:
            low_x, low_y, high_x, high_y = part.bounds
            at = part.interiors[0].centroid.x
            for left, right in ((low_x, at), (at, high_x)):
                yield from _rings(intersection(part, box(left, low_y, right, high_y), grid_size=_GRID_MM))
            continue
        yield tuple((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y, *_ in orient(part).exterior.coords[:-1])
