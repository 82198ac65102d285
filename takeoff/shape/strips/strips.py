"""Strips: a sheeted area cut into the sheets that cover it. Pure geometry: widths in, parts of the plane out.

Laid from the left, sheet by sheet (overall width below, cover above):

    start                                       each sheet's lap width lies on the side away from the start; the
      |<-- cover -->|<-- cover -->|<-- cover    last sheet covers with its overall width
      |<---- overall --->|
                    |<---- overall --->|
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.slabs import (
    CRUMB_MM,
    Column,
    Slab,
    between_heights,
    columns_of,
    connected,
    cut_slabs,
    highest,
    lowest,
    slabs_area,
    touch,
)


@record
class StripRun:
    """One sheet run: strip number from the start, run number from the low end, both from 1.

    `cover` is the part of the sheeted area that this run alone covers, `sheet` the same over its overall width: cover
    and lap side. Both as slabs in plane axes.
    """

    strip: int
    run: int
    cover: tuple[Slab, ...]
    sheet: tuple[Slab, ...]


@record
class Widths:
    """What a sheet covers and how wide it is [mm]; `by_overall`: the last sheet covers with its overall width."""

    cover_mm: float
    overall_mm: float
    by_overall: bool = True


def strip_count(width_mm: float, widths: Widths) -> int:
    """Sheets side by side over a width, at least 1: ceil((W - (overall - cover)) / cover), or ceil(W / cover).

    The last sheet covers with its overall width: common practice, no source.
    >>> strip_count(12200, Widths(762, 845)), strip_count(13000, Widths(762, 845))
    (16, 17)
    >>> strip_count(12200, Widths(762, 845, by_overall=False))
    17
    """
    spare = widths.overall_mm - widths.cover_mm if widths.by_overall else 0.0
    return max(1, count_up(width_mm - spare, widths.cover_mm))


def extent(area: SheetedArea) -> tuple[float, float]:
    """Least and greatest u of a sheeted area."""
    us = [point[0] for ring in area.rings for point in ring]
    return (min(us), max(us))


def cut_strips(area: SheetedArea, start_u_mm: float, start_side: str, widths: Widths) -> tuple[StripRun, ...]:
    """The sheet runs of an area, laid from `start_u_mm`, which lies on or outside its start side ("left", "right").

    A strip cut by a hole or a notch gives several runs. A run that lies wholly within the lap width of the sheet
    before it needs no sheet of its own when counting by overall width. The covers add up to the area but for crumbs
    under 10 x 10 mm.
    """
    if not area.rings:
        return ()
    if start_side == "right":
        runs = cut_strips(_mirrored(area), -start_u_mm, "left", widths)
        return tuple([StripRun(run.strip, run.run, _turned(run.cover), _turned(run.sheet)) for run in runs])
    end = extent(area)[1]
    count = strip_count(end - start_u_mm, widths)
    columns = columns_of(area.rings, area.edges)
    if _plain(columns, start_u_mm, count, widths):
        return _plain_strips(columns, start_u_mm, count, widths)
    lines = [start_u_mm + i * widths.cover_mm for i in range(1, count)]
    spare = widths.overall_mm - widths.cover_mm
    slabs = cut_slabs(area.rings, area.edges, [*lines, *(line + spare for line in lines)])
    begins = [slab.u0 for slab in slabs]
    goes_on = _goes_on(slabs)
    found: list[StripRun] = []
    for number in range(1, count + 1):
        low = start_u_mm + (number - 1) * widths.cover_mm if number > 1 else -float("inf")
        high = start_u_mm + number * widths.cover_mm if number < count else float("inf")
        # slabs stand in the order of where they begin
        near = slabs[bisect_left(begins, low - CRUMB_MM) : bisect_right(begins, high + spare + CRUMB_MM)]
        inside = [slab for slab in near if slab.u1 <= high + CRUMB_MM]
        beside = [slab for slab in near if high - CRUMB_MM <= slab.u0 and slab.u1 <= high + spare + CRUMB_MM]
        own: list[StripRun] = []
        for cover in (tuple(inside),) if goes_on and inside else connected(inside):
            if slabs_area(cover) < TOLERANCES.least_area_mm2:
                continue
            # the sheet before ends at its lap width: what goes on beyond that is not in it
            beyond = not widths.by_overall or cover[-1].u1 > low + spare + CRUMB_MM
            host = None if beyond else _covered_before(cover, found, number)
            if host is None:
                lap_side = beside if goes_on else _lap_side(cover, beside)
                own.append(StripRun(number, len(own) + 1, cover, (*cover, *lap_side)))
            else:
                found[host] = replace(found[host], cover=(*found[host].cover, *cover))
        found += own
    return tuple(found)


def _plain(columns: Sequence[Column], start_u_mm: float, count: int, widths: Widths) -> bool:
    """Whether strips can be cut out of columns as they are: these go on in each other, and no side of a sheet comes as
    near a corner as two points that are one."""
    if not columns or not _goes_on([column.between(column.u0, column.u1) for column in columns]):
        return False
    spare = widths.overall_mm - widths.cover_mm
    ends = [column.u0 for column in columns] + [columns[-1].u1]
    for at in (u - start_u_mm - side for u in ends for side in (0.0, spare)):
        line = round(at / widths.cover_mm)
        if 0 < line < count and abs(at - line * widths.cover_mm) <= TOLERANCES.same_point_mm:
            return False
    return True


def _plain_strips(columns: Sequence[Column], start_u_mm: float, count: int, widths: Widths) -> tuple[StripRun, ...]:
    """One run a strip, cut out of columns that go on in each other."""
    spare = widths.overall_mm - widths.cover_mm
    found = []
    for number, (low, high) in enumerate(_lines(start_u_mm, count, widths), start=1):
        cover = _part_of(columns, low, high)
        if slabs_area(cover) >= TOLERANCES.least_area_mm2:
            found.append(StripRun(number, 1, cover, _part_of(columns, low, high + spare)))
    return tuple(found)


def _lines(start_u_mm: float, count: int, widths: Widths) -> list[tuple[float, float]]:
    """Between which upright lines each strip covers: the first and the last all that lies out there."""
    lines = [start_u_mm + number * widths.cover_mm for number in range(1, count)]
    return list(pairwise([-float("inf"), *lines, float("inf")]))


def tried_strips(
    area: SheetedArea, start_u_mm: float, start_side: str, widths: Widths
) -> list[tuple[tuple[Slab, ...], float]]:
    """What is asked of the strips of a plain area where laying is tried: of each sheet that is no crumb its reach [mm],
    and before it slabs whose ends are raked as its own. Of sheets between two corners of the area these are all
    that lies there, so that their ends are looked at once. Empty for any other area."""
    right = start_side == "right"
    shape, start = (_mirrored(area), -start_u_mm) if right else (area, start_u_mm)
    columns = columns_of(shape.rings, shape.edges)
    count = strip_count(columns[-1].u1 - start, widths) if columns else 0
    if not _plain(columns, start, count, widths):
        return []
    share = widths.cover_mm / widths.overall_mm
    wholes = [(column.u0, column.u1, (column.between(column.u0, column.u1),)) for column in columns]
    found = []
    for low, high in _lines(start, count, widths):
        far = high + widths.overall_mm - widths.cover_mm
        sheet = _part_of(columns, low, far)
        like = next((whole for u0, u1, whole in wholes if u0 <= low and far <= u1), sheet)
        # of a sheet in one column the cover has at least this share, where it begins on a point
        sure = like is not sheet and slabs_area(sheet) * share**2 >= TOLERANCES.least_area_mm2
        if (sure or slabs_area(_part_of(columns, low, high)) >= TOLERANCES.least_area_mm2) and not is_crumb(sheet):
            found.append((_turned(like) if right else like, highest(sheet) - lowest(sheet)))
    return found


def is_crumb(sheet: Sequence[Slab]) -> bool:
    """A sliver thinner than two points count as one: a corner a hair out leaves it, the flashing covers it."""
    return slabs_area(sheet) < TOLERANCES.same_point_mm * (highest(sheet) - lowest(sheet))


def _part_of(columns: Sequence[Column], low: float, high: float) -> tuple[Slab, ...]:
    """What lies of columns between two upright lines."""
    return tuple(
        [
            column.between(max(low, column.u0), min(high, column.u1))
            for column in columns
            if column.u0 < high and low < column.u1
        ]
    )


def _turned(slabs: Sequence[Slab]) -> tuple[Slab, ...]:
    return tuple([slab.mirrored() for slab in reversed(slabs)])


def _mirrored(area: SheetedArea) -> SheetedArea:
    rings = tuple(tuple((-u, v) for u, v in reversed(ring)) for ring in area.rings)
    # reversed, the side that starts at a point is the one that ended there
    edges = tuple((*reversed(names[:-1]), names[-1]) for names in area.edges)
    return SheetedArea(rings, edges)


def _goes_on(slabs: Sequence[Slab]) -> bool:
    """Whether slabs stand side by side, none over another, each going on in the next, which reaches no lower and no
    higher where they meet: strips of them are whole, and so is what their laps cover."""
    slack = TOLERANCES.same_point_mm
    return all(
        touch(left, right) and right.foot0 >= left.foot1 - slack and right.top0 <= left.top1 + slack
        for left, right in pairwise(slabs)
    )


def _covered_before(cover: Sequence[Slab], found: Sequence[StripRun], number: int) -> int | None:
    """Place of a run of the strip before whose lap width covers all of `cover`."""
    for place, run in enumerate(found):
        if run.strip == number - 1 and all(slab in run.sheet for slab in cover):
            return place
    return None


def _lap_side(cover: Sequence[Slab], beside: Sequence[Slab]) -> tuple[Slab, ...]:
    """The lap width's part of a sheet: what joins its cover there, no higher or lower than the sheet where the area
    jumps, since beyond a jump the next sheet starts by itself."""
    kept: list[Slab] = []
    slack = TOLERANCES.same_point_mm
    for slab in sorted(beside, key=lambda slab: (slab.u0, slab.foot0)) if len(beside) > 1 else beside:
        near = [left for left in (*cover, *kept) if touch(left, slab)]
        if not near:
            continue
        low = min(left.foot1 for left in near)
        high = max(left.top1 for left in near)
        floor = low if slab.foot0 < low - slack else -float("inf")
        ceiling = high if slab.top0 > high + slack else float("inf")
        if floor == -float("inf") and ceiling == float("inf"):
            kept.append(slab)
        else:
            kept += between_heights(slab, floor, ceiling)
    return tuple(kept)
