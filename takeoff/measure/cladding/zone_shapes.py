"""Zones that take a part of a wall: a band, a strip, a polygon; the wall less these is what its own zone clads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole, with_rings
from takeoff.measure.cladding.face_rings import GRID_MM, rings_of
from takeoff.measure.cladding.zones import Zone
from takeoff.model.job.walls import ZoneJob
from takeoff.model.walls import Elevation

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

NONE = "none"
_NEAR_MM = TOLERANCES.zone_edge_mm
_FAR_MM = 1e7


@record
class ZonePart:
    """What one zone clads of one wall."""

    zone: Zone
    face: Face


def zone_parts(
    face: Face, elevation: Elevation, own: Zone, shaped: Sequence[tuple[Zone, ZoneJob, str]], faults: list[str]
) -> tuple[ZonePart, ...]:
    """The parts of a wall's face by zone, the wall's own zone first; parts that are left out are none of these.

    shaped: zones with a shape that lie on this wall, with their place in the job. What cannot be is added to `faults`:
    zones outside the wall or over each other, and openings across the upright or raked line of one.
    """
    if not shaped:
        return () if own.direction == NONE else (ZonePart(own, face),)
    whole = _region(face)
    regions: list[tuple[Zone, BaseGeometry]] = []
    for zone, job, where in shaped:
        region = _shape(face, elevation, job, where, whole, faults)
        if region is None:
            continue
        for other, taken in regions:
            shared = region.intersection(taken)
            if shared.area > TOLERANCES.least_area_mm2:
                faults.append(
                    f"{where}: it overlaps {other.name} on {elevation.id} by {_size(shared)}; let one end where the "
                    f"other begins."
                )
        faults += _across(region, elevation, face, where)
        regions.append((zone, region))
    rest = _less(whole, [region for _, region in regions])
    return tuple(_parts(face, [(own, rest), *regions]))


def _region(face: Face) -> BaseGeometry:
    from shapely import union_all
    from shapely.geometry import Polygon

    return union_all([Polygon(part[0], part[1:]) for part in face.whole], grid_size=GRID_MM)


def _less(whole: BaseGeometry, taken: Sequence[BaseGeometry]) -> BaseGeometry:
    from shapely import difference, union_all

    return difference(whole, union_all(taken, grid_size=GRID_MM), grid_size=GRID_MM) if taken else whole


def _shape(
    face: Face, elevation: Elevation, job: ZoneJob, where: str, whole: BaseGeometry, faults: list[str]
) -> BaseGeometry | None:
    """The region of one zone on one wall; None, mostly with a fault, where there is none."""
    from shapely import intersection, union_all
    from shapely.geometry import Polygon

    ring = _ring(face, elevation, job, where, faults)
    if ring is None:
        return None
    asked = Polygon(ring)
    if not asked.is_valid:
        faults.append(f"{where}.polygon: its sides cross each other; give its points in order round the zone.")
        return None
    region = intersection(asked, whole, grid_size=GRID_MM)
    if region.area < TOLERANCES.least_area_mm2:
        if job.walls is not None:
            faults.append(f"{where}: nothing of {elevation.id} lies in it; give its place on the wall, or other walls.")
        return None
    if job.polygon is not None:
        # corners on the wall's ends stand on those of the face, which may reach past the framing
        outside = asked.difference(union_all([_outline(elevation).buffer(1.0), whole.buffer(1.0)]))
        if outside.area > TOLERANCES.least_area_mm2:
            faults.append(f"{where}.polygon: {_size(outside)} of it lie outside {elevation.id}; keep it on the wall.")
    return region


def _outline(elevation: Elevation) -> BaseGeometry:
    from shapely.geometry import Polygon

    return Polygon(elevation.outline_xy)


def _ring(face: Face, elevation: Elevation, job: ZoneJob, where: str, faults: list[str]) -> Ring2 | None:
    """The corners that a zone is given by; sides that it leaves open, or that lie on the wall's ends, go on to the
    ends of the face."""
    slack = TOLERANCES.same_point_mm
    if job.polygon is not None:
        points = ((float(x), float(y)) for x, y in job.polygon)
        return tuple((_to_end(x, face, elevation), y) for x, y in points)
    low = -_FAR_MM if job.from_mm is None else job.from_mm
    high = _FAR_MM if job.to_mm is None else job.to_mm
    left = job.from_left_mm or 0.0
    right = elevation.width_mm if job.width_mm is None else left + job.width_mm
    if right > elevation.width_mm + slack and job.walls is not None:
        over = right - elevation.width_mm
        faults.append(f"{where}: it ends {over:.0f} mm past the right end of {elevation.id}; make it narrower.")
        return None
    if job.walls is not None and job.to_mm is not None and job.to_mm > face.peak + slack:
        over = job.to_mm - face.peak
        faults.append(f"{where}.to_mm: it ends {over:.0f} mm over {elevation.id}; leave it out to go up to the top.")
        return None
    if high - low <= slack:
        faults.append(f"{where}.to_mm: it must be over from_mm ({low:g}).")
        return None
    if right - left <= slack:
        return None
    left, right = (_to_end(x, face, elevation) for x in (left, right))
    return ((left, low), (right, low), (right, high), (left, high))


def _to_end(x: float, face: Face, elevation: Elevation) -> float:
    if x <= TOLERANCES.same_point_mm:
        return min(x, face.left) - 1.0
    return max(x, face.right) + 1.0 if x >= elevation.width_mm - TOLERANCES.same_point_mm else x


def _across(region: BaseGeometry, elevation: Elevation, face: Face, where: str) -> Iterator[str]:
    """Openings that the upright or raked line of a zone cuts: which cladding their jamb or head stands in is not to be
    told. A level line may cross one."""
    from shapely.geometry import box

    for hole in face.holes:
        ring = box(hole.left, hole.foot, hole.right, hole.head)
        shared = region.intersection(ring)
        if not TOLERANCES.least_area_mm2 < shared.area < ring.area - TOLERANCES.least_area_mm2:
            continue
        x0, y0, x1, y1 = shared.bounds
        level = abs(shared.area - (x1 - x0) * (y1 - y0)) < TOLERANCES.least_area_mm2 and (
            x1 - x0 > hole.width - CRUMB_MM
        )
        if not level:
            yield f"{where}: its line crosses {hole.name} on {elevation.id}; let it end at a jamb, or go round it."


def _size(shape: BaseGeometry) -> str:
    x0, y0, x1, y1 = shape.bounds
    return f"{x1 - x0:.0f} mm across and {y1 - y0:.0f} mm up"


def _parts(face: Face, regions: Sequence[tuple[Zone, BaseGeometry]]) -> Iterator[ZonePart]:
    clad = [(zone, region) for zone, region in regions if zone.direction != NONE and rings_of(region)]
    for number, (zone, region) in enumerate(clad, start=1):
        others = [other for _, other in clad if other is not region]
        part = with_rings(face, rings_of(region))
        # a line between two zones is flashed once, by the later one; one to a part left out by the clad one
        bare = [(zone, other) for zone, other in regions if zone.direction == NONE and rings_of(other)]
        lines = [(line, z.direction) for z, other in (*clad[: number - 1], *bare) for line in _shared(region, other)]
        yield ZonePart(
            zone,
            replace(
                part,
                part=number,
                holes=tuple(_within(hole, part) for hole in part.holes),
                joins=tuple(line for other in others for line in _shared(region, other)),
                flashed=tuple(line for line, _ in lines),
                beyond=tuple(direction for _, direction in lines),
            ),
        )


def _within(hole: Hole, part: Face) -> Hole:
    return replace(hole, head=min(hole.head, part.peak))


def _shared(region: BaseGeometry, other: BaseGeometry) -> Iterator[tuple[tuple[float, float], ...]]:
    """Straight lines along which a part of a wall meets another, from the left or the foot."""
    from shapely import get_parts, line_merge

    shared = region.boundary.intersection(other.buffer(_NEAR_MM, join_style="mitre"))
    for line in get_parts(line_merge(shared) if shared.geom_type == "MultiLineString" else shared):
        if line.length <= 1.0:  # a point has no length
            continue
        points = [(round(x, 1), round(y, 1)) for x, y, *_ in line.simplify(_NEAR_MM).coords]
        for a, b in pairwise(points):
            if abs(b[0] - a[0]) + abs(b[1] - a[1]) > 1.0:
                yield tuple(sorted((a, b)))
