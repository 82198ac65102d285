"""How a sheet's ends are cut, what its sides measure, and what length is bought for it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import lru_cache
from math import atan, degrees, radians, tan

from takeoff.basics.records import record
from takeoff.basics.rounding import round_up_mm
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.basis import Term
from takeoff.model.settings import Settings
from takeoff.model.sheets import CutShape, EndCut
from takeoff.shape.strips.slabs import Slab, highest, lowest

SQUARE_DEG = TOLERANCES.square_deg
_MOST_LINES = 4  # of both ends together, with two sides: six corners
SIDE_DEG = TOLERANCES.sheet_side_deg
_SIDE_RISE = tan(radians(SIDE_DEG))


@record
class _Line:
    """A straight part of an end, left to right; `rise` is dv/du."""

    u0: float
    v0: float
    u1: float
    v1: float
    edge: str

    @property
    def rake_deg(self) -> float:
        return degrees(atan((self.v1 - self.v0) / (self.u1 - self.u0)))


@record
class _Sides:
    """The lines of both ends of a sheet, and those that go on straight taken as one; `halves`: it is narrower halfway
    up or has a hole in it."""

    foot: tuple[_Line, ...]
    top: tuple[_Line, ...]
    foot_joined: tuple[_Line, ...]
    top_joined: tuple[_Line, ...]
    halves: bool


@lru_cache(maxsize=1 << 12)  # a sheet is asked for its ends where it is tried, lapped, bought and drawn
def _sides(slabs: tuple[Slab, ...]) -> _Sides:
    own = without_slanting_sides(slabs)
    foot, top = _end_lines(own, False), _end_lines(own, True)
    halves = len(own) > 1 and len({slab.u0 for slab in own}) < len(own)
    return _Sides(foot, top, _joined(foot), _joined(top), halves)


def end_cut(slabs: Sequence[Slab], top: bool, square_deg: float = SQUARE_DEG) -> EndCut:
    """The cut of a sheet's top or foot over its real width; a straight end within `square_deg` of square is square.

    One straight line is square or raked; two that rise to a point (at a foot: fall to one) make an apex; an end that
    steps, or takes more than three lines, is notched; all else is broken, cut to two lines beside what is left square.
    `rake_deg` of such an end is its steepest line.
    """
    sides = _sides(tuple(slabs))
    found, lines = (sides.top, sides.top_joined) if top else (sides.foot, sides.foot_joined)
    return _cut(found, lines, top, square_deg)


def _cut(found: Sequence[_Line], lines: Sequence[_Line], top: bool, square_deg: float) -> EndCut:
    """The cut of an end by its lines, and by those that go on straight taken as one."""
    edges = tuple(dict.fromkeys([line.edge for line in found if line.edge]))
    if not lines:
        return EndCut(CutShape.SQUARE, edges)
    if len(lines) == 1:
        return _straight_cut(lines[0].rake_deg, edges, top, square_deg)
    rakes = [line.rake_deg for line in lines]
    steepest = max([abs(rake) for rake in rakes])
    if len(lines) == 2 and _meets(lines):
        inward, outward = (rakes[0], rakes[1]) if top else (-rakes[0], -rakes[1])
        if inward > SQUARE_DEG and outward < -SQUARE_DEG:
            return EndCut(CutShape.APEX, edges, steepest)
    notched = not _meets(lines) or len(lines) > _MOST_LINES - 1
    return EndCut(CutShape.NOTCHED if notched else CutShape.BROKEN, edges, steepest)


def _straight_cut(rake_deg: float, edges: tuple[str, ...], top: bool, square_deg: float) -> EndCut:
    """The cut of an end that is one straight line."""
    if abs(rake_deg) <= square_deg:
        return EndCut(CutShape.SQUARE, edges)
    return EndCut(CutShape.RAKED, edges, abs(rake_deg), "right" if (rake_deg > 0.0) == top else "left")


def is_notched(slabs: Sequence[Slab]) -> bool:
    """Whether a sheet is neither a rectangle, a rake, nor cut to two lines: an end of it steps, it is narrower halfway
    up or has a hole in it, or it has more than six corners."""
    return _notched(_sides(tuple(slabs)))


def _notched(sides: _Sides) -> bool:
    foot, top = sides.foot_joined, sides.top_joined
    return sides.halves or not (_meets(foot) and _meets(top)) or len(foot) + len(top) > _MOST_LINES


def without_slanting_sides(slabs: Sequence[Slab]) -> tuple[Slab, ...]:
    """The slabs between the sides of a sheet: those under a line that is nearly upright, as an imported verge may be,
    are left out at either side. All of them where nothing else is left."""
    if len(slabs) == 1:
        return tuple(slabs)
    slanting = {slab.u0 for slab in slabs if _slants(slab)}
    if not slanting:
        return tuple(slabs)
    columns = sorted({slab.u0 for slab in slabs})
    while columns and columns[0] in slanting:
        columns.pop(0)
    while columns and columns[-1] in slanting:
        columns.pop()
    kept = tuple(slab for slab in slabs if columns and columns[0] <= slab.u0 <= columns[-1])
    return kept or tuple(slabs)


def _slants(slab: Slab) -> bool:
    most = _SIDE_RISE * (slab.u1 - slab.u0)
    return abs(slab.top1 - slab.top0) > most or abs(slab.foot1 - slab.foot0) > most


def _end_lines(slabs: Sequence[Slab], top: bool) -> tuple[_Line, ...]:
    """The outermost line of each slab column, left to right; columns too narrow to cut are left out."""
    wide = [slab for slab in _outermost_of(slabs, top) if slab.u1 - slab.u0 > TOLERANCES.same_point_mm]
    if top:
        return tuple([_Line(slab.u0, slab.top0, slab.u1, slab.top1, slab.top_edge) for slab in wide])
    return tuple([_Line(slab.u0, slab.foot0, slab.u1, slab.foot1, slab.foot_edge) for slab in wide])


def _outermost_of(slabs: Sequence[Slab], top: bool) -> Sequence[Slab]:
    """Of each column the slab with the highest top, or the lowest foot."""
    if len(slabs) == 1:
        return slabs
    outer: dict[float, Slab] = {}
    for slab in slabs:
        held = outer.get(slab.u0)
        if (
            held is None
            or (top and slab.top0 + slab.top1 > held.top0 + held.top1)
            or (not top and slab.foot0 + slab.foot1 < held.foot0 + held.foot1)
        ):
            outer[slab.u0] = slab
    return [slab for _, slab in sorted(outer.items())]


def end_points(slabs: Sequence[Slab], top: bool) -> tuple[Point2, ...]:
    """The corners of a sheet's top or foot, left to right, in plane axes; both heights where it jumps."""
    points: list[Point2] = []
    sides = _sides(tuple(slabs))
    for line in sides.top_joined if top else sides.foot_joined:
        if not points or abs(points[-1][1] - line.v0) > 1.0:
            points.append((line.u0, line.v0))
        points.append((line.u1, line.v1))
    return tuple(points)


def long_point(foot: EndCut, top: EndCut) -> Point2:
    """The point that limits a sheet at its raked end: (from the left edge, height above the foot), (0, 0) for square.

    The highest corner of a raked top, else the lowest of a raked foot with the whole length as its height. Of a level
    part it is the break at which the rake begins.
    """
    if top.shape is not CutShape.SQUARE:
        return _outermost(top.points_mm, 1.0)
    if foot.shape is not CutShape.SQUARE:
        across, _ = _outermost(foot.points_mm, -1.0)
        return across, max(v for _, v in top.points_mm)
    return 0.0, 0.0


def _outermost(points: Sequence[Point2], sign: float) -> Point2:
    far = max(sign * v for _, v in points)
    tied = [i for i, (_, v) in enumerate(points) if sign * v >= far - TOLERANCES.same_point_mm]
    breaks = [i for i in tied if 0 < i < len(points) - 1]
    return points[(breaks or tied)[0]]


def _meets(lines: Sequence[_Line]) -> bool:
    return len(lines) < 2 or all(abs(a.v1 - b.v0) <= 1.0 for a, b in itertools.pairwise(lines))


def _joined(lines: tuple[_Line, ...]) -> tuple[_Line, ...]:
    """Lines that go on straight taken as one."""
    if len(lines) == 1:
        return lines
    kept: list[_Line] = []
    for line in lines:
        last = kept[-1] if kept else None
        if last and _meets((last, line)) and abs(last.rake_deg - line.rake_deg) <= SQUARE_DEG:
            kept[-1] = _Line(last.u0, last.v0, line.u1, line.v1, last.edge)
        else:
            kept.append(line)
    return tuple(kept)


def sides_mm(slabs: Sequence[Slab]) -> tuple[float, float]:
    """Lengths of the left and right side at the real sheet edges, 0 at the tip of a triangle."""
    slabs = without_slanting_sides(slabs)
    if len(slabs) == 1:
        return slabs[0].top0 - slabs[0].foot0, slabs[0].top1 - slabs[0].foot1
    left, right = min(slab.u0 for slab in slabs), max(slab.u1 for slab in slabs)
    starts = [slab for slab in slabs if slab.u0 - left <= 1e-6]
    ends = [slab for slab in slabs if right - slab.u1 <= 1e-6]
    return (
        max(slab.top0 for slab in starts) - min(slab.foot0 for slab in starts),
        max(slab.top1 for slab in ends) - min(slab.foot1 for slab in ends),
    )


@record
class BoughtLength:
    """A length bought for a reach [mm], rounded up once, and the terms behind it."""

    mm: float
    terms: tuple[Term, ...]


def bought_length(reach_mm: float, raked: bool, foot_turn_mm: float, settings: Settings) -> BoughtLength:
    """ceil((reach + raked allowance + foot turn - tolerance) / step) x step; raked and square have their own steps."""
    names = ("raked_allowance_mm", "raked_step_mm") if raked else ("square_step_mm",)
    return BoughtLength(_bought_mm(reach_mm, raked, foot_turn_mm, settings), tuple(map(settings.term, names)))


def _bought_mm(reach_mm: float, raked: bool, foot_turn_mm: float, settings: Settings) -> float:
    """That length, without what is behind it."""
    length = reach_mm + foot_turn_mm
    if raked:
        length += settings.number("raked_allowance_mm")
    step = settings.number("raked_step_mm" if raked else "square_step_mm")
    return round_up_mm(length, step, TOLERANCES.same_length_mm)


@record
class Ends:
    """Both ends of a sheet, its reach and what is bought for it."""

    foot: EndCut
    top: EndCut
    reach_mm: float
    bought: BoughtLength
    notched: bool = False

    @property
    def raked(self) -> bool:
        """True where an end is not square."""
        return self.foot.shape is not CutShape.SQUARE or self.top.shape is not CutShape.SQUARE


def square_within(settings: Settings, measured: bool) -> float:
    """How far from square an end may be and is still cut square [degrees]; a frame as measured is allowed more."""
    square = settings.number("square_within_deg")
    return max(square, settings.number("measured_square_deg")) if measured else square


def ends_of(slabs: Sequence[Slab], foot_turn_mm: float, settings: Settings, square_deg: float | None = None) -> Ends:
    """Ends, reach over the overall width, and bought length of a sheet given as slabs over its overall width.

    `square_deg`: an end this near to square is cut square; without it as on a drawn frame.
    """
    square = square_within(settings, False) if square_deg is None else square_deg
    foot, top, reach, notched = _cuts(tuple(slabs), square)
    raked = foot.shape is not CutShape.SQUARE or top.shape is not CutShape.SQUARE
    return Ends(foot, top, reach, bought_length(reach, raked, foot_turn_mm, settings), notched)


def tried_ends(
    slabs: Sequence[Slab],
    foot_turn_mm: float,
    settings: Settings,
    square_deg: float | None = None,
    reach_mm: float | None = None,
) -> tuple[EndCut, EndCut, float]:
    """Foot and top of a sheet as `ends_of` has them, and the length bought [mm]: for many that are tried. `reach_mm`:
    that of a sheet whose ends only are those of the slabs."""
    square = square_within(settings, False) if square_deg is None else square_deg
    foot, top, reach, _ = _cuts(tuple(slabs), square)
    raked = foot.shape is not CutShape.SQUARE or top.shape is not CutShape.SQUARE
    return foot, top, _bought_mm(reach if reach_mm is None else reach_mm, raked, foot_turn_mm, settings)


@lru_cache(maxsize=1 << 12)
def _cuts(slabs: tuple[Slab, ...], square_deg: float) -> tuple[EndCut, EndCut, float, bool]:
    """Cuts of foot and top, reach, and whether the sheet is notched."""
    if len(slabs) == 1 and slabs[0].u1 - slabs[0].u0 > TOLERANCES.same_point_mm:
        return _four_sided(slabs[0], square_deg)
    sides = _sides(slabs)
    foot = _cut(sides.foot, sides.foot_joined, False, square_deg)
    top = _cut(sides.top, sides.top_joined, True, square_deg)
    return foot, top, highest(slabs) - lowest(slabs), _notched(sides)


def _four_sided(slab: Slab, square_deg: float) -> tuple[EndCut, EndCut, float, bool]:
    """The same of a sheet with one straight line at either end, as most are."""
    wide = slab.u1 - slab.u0
    rises = (degrees(atan((slab.foot1 - slab.foot0) / wide)), degrees(atan((slab.top1 - slab.top0) / wide)))
    foot = _straight_cut(rises[0], (slab.foot_edge,) if slab.foot_edge else (), False, square_deg)
    top = _straight_cut(rises[1], (slab.top_edge,) if slab.top_edge else (), True, square_deg)
    return foot, top, max(slab.top0, slab.top1) - min(slab.foot0, slab.foot1), False
