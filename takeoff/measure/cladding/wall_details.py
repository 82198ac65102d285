"""Corners and lines between claddings: which detail of the catalogue each is, and what is ordered for it.

Every line where two claddings meet, or one ends at a roof or a soffit, is one row of the catalogue's table of details
by its place and the two claddings; what the row names is ordered as long as the line is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import dist

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.measure.cladding.corner_stretches import Column, PartClad, Stretch, columns, stretches
from takeoff.measure.cladding.face import CRUMB_MM, Face, straights, without
from takeoff.measure.cladding.face_parts import columns_at, foot_lines, top_lines
from takeoff.measure.cladding.neighbours import Beside, beside, in_line
from takeoff.measure.terms import run_working
from takeoff.model.basis import Basis, Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Catalogue, WallDetail, basis_of
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation, WallJunction

PLACES = ("external", "internal", "level", "upright", "roof", "soffit")
CLADDINGS = ("horizontal", "vertical", "sheets", "none")
SOAKER, SCRIBER = "soaker", "scriber_timber"
TIMBERS = ("corner_wide", "corner_narrow", SCRIBER)  # parts that a setting says


@record
class Details:
    """What corners and lines between claddings take: runs, counted things, what each is, what the table lacks."""

    runs: tuple[RunDemand, ...] = ()
    quantities: tuple[Quantity, ...] = ()
    junctions: tuple[WallJunction, ...] = ()
    findings: tuple[Finding, ...] = ()


@record
class _Met:
    """A line where claddings meet: its place, the two directions, how long it is, along which walls; of each side in
    level boards how long it is there, and the courses of a corner. `half`: the part of a boxed corner that is left to
    the wall round it, where that is not known."""

    place: str
    pair: tuple[str, str]
    length_mm: float
    walls: tuple[int, ...]
    lines: tuple[tuple[int, tuple[Point2, ...]], ...]
    level_mm: tuple[float, ...] = ()
    courses: int = 0
    half: str = ""


def detail_of(catalogue: Catalogue, place: str, one: str, other: str) -> WallDetail | None:
    """The row of the table for two claddings at a place; either may be named first but on a level line, whose upper
    one is. None where there is none."""
    pairs = [(one, other)] if place == "level" else [(one, other), (other, one)]
    rows = catalogue.wall_details.values()
    return next((row for row in rows if row.place == place and (row.one, row.other) in pairs), None)


def wall_details(
    elevations: Sequence[Elevation],
    whole: Sequence[Face],
    parts: Sequence[PartClad],
    thick_mm: float,
    settings: Settings,
    catalogue: Catalogue,
) -> Details:
    """Every corner and line of the walls with what it takes. whole: the faces of the walls, in their order; parts: what
    is clad of them by zone; thick_mm: how far cladding stands before its framing at the most."""
    faces = {face.wall: face for face in whole}
    met = [
        *_corners(elevations, faces, parts, thick_mm),
        *(line for part in parts for line in _between(part)),
        *(line for part in parts for line in _ends(part, faces[part.face.wall])),
    ]
    runs: list[RunDemand] = []
    junctions: list[WallJunction] = []
    unknown: dict[tuple[str, str, str], list[int]] = {}
    soakers: list[tuple[_Met, WallDetail]] = []
    counts: dict[int, int] = {}
    for line in met:
        row = detail_of(catalogue, line.place, *line.pair)
        if row is None:
            unknown.setdefault((line.place, *line.pair), []).extend(line.walls)
            continue
        own = tuple(_runs(line, row, settings, counts))
        runs += own
        soakers += [(line, row)] if SOAKER in _parts(row, settings) and line.courses else []
        junctions.append(_junction(line, row, own, settings))
    return Details(tuple(runs), _soakers(soakers, settings), tuple(junctions), tuple(_unknown(unknown)))


def _corners(
    elevations: Sequence[Elevation], faces: Mapping[int, Face], parts: Sequence[PartClad], thick_mm: float
) -> Iterator[_Met]:
    """The corners of walls, each once: by the wall whose left end it is, else by the one that ends there alone."""
    for wall in elevations:
        for left, corner in ((True, wall.left_corner), (False, wall.right_corner)):
            if corner.kind not in ("external", "internal"):
                continue
            near = beside(wall, elevations, left)
            if near.shared and not left:
                continue
            face = faces[wall.wall]
            if not near.shared and (further := in_line(wall, elevations, left)) is not None:
                yield from _going_on(face, faces[further.wall], parts, left)
                continue
            own = _columns(face, parts, face.left if left else face.right)
            if near.wall is None:
                yield from (_alone(wall, column, corner.kind, face, left) for column in own if column.part)
                continue
            other = faces[near.wall]
            at = other.right if near.shared else _clear_of(wall, near, elevations, thick_mm)
            for stretch in stretches(own, _columns(other, parts, at), near.shared):
                if stretch.one.part or stretch.other.part:
                    yield _corner(stretch, corner.kind, (face, face.left if left else face.right), (other, at))


def _going_on(face: Face, other: Face, parts: Sequence[PartClad], left: bool) -> Iterator[_Met]:
    """An upright line where a wall of another line goes on in line with this one, clad otherwise; boards clad alike run
    on."""
    at, there = (face.left, other.right) if left else (face.right, other.left)
    for stretch in stretches(_columns(face, parts, at), _columns(other, parts, there), to_higher=False):
        if stretch.one.direction != stretch.other.direction:
            yield _corner(stretch, "upright", (face, at), (other, there))


def _columns(face: Face, parts: Sequence[PartClad], x: float) -> tuple[Column, ...]:
    return columns(face, [part for part in parts if part.face.wall == face.wall], x)


def _clear_of(wall: Elevation, near: Beside, elevations: Sequence[Elevation], thick_mm: float) -> float:
    """Where along the wall that another stands against its cladding begins beside that one [mm]."""
    other = next(each for each in elevations if each.wall == near.wall)
    out = (wall.b_mm[1] - wall.a_mm[1], wall.a_mm[0] - wall.b_mm[0])
    ahead = (other.b_mm[0] - other.a_mm[0], other.b_mm[1] - other.a_mm[1])
    way = out[0] * ahead[0] + out[1] * ahead[1]
    return near.at_mm + (thick_mm if way > 0.0 else -thick_mm)


def _corner(stretch: Stretch, kind: str, own: tuple[Face, float], other: tuple[Face, float]) -> _Met:
    lines = tuple(
        (face.wall, ((x, max(stretch.low, side.low)), (x, min(stretch.high, side.high))))
        for (face, x), side in ((own, stretch.one), (other, stretch.other))
    )
    return _Met(
        kind,
        (stretch.one.direction, stretch.other.direction),
        stretch.length_mm,
        tuple(face.wall for face, _ in (own, other)),
        lines,
        tuple(stretch.along_mm(side) for side in (stretch.one, stretch.other) if side.direction == "horizontal"),
        stretch.courses(),
    )


def _alone(wall: Elevation, column: Column, kind: str, face: Face, left: bool) -> _Met:
    """A corner round which no wall is known: as if that were clad alike, and its own half left to it."""
    stretch = Stretch(column.low, column.high, column, column)
    at = face.left if left else face.right
    return _Met(
        kind,
        (column.direction, column.direction),
        stretch.length_mm,
        (wall.wall,),
        ((wall.wall, ((at, column.low), (at, column.high))),),
        (stretch.length_mm,) if column.direction == "horizontal" else (),
        stretch.courses(),
        "corner_narrow" if left else "corner_wide",
    )


def _between(part: PartClad) -> Iterator[_Met]:
    """The lines of a part of a wall to other zones and to what is left out, openings in them left out."""
    face = part.face
    for (start, end), beyond in zip(face.flashed, face.beyond, strict=True):
        level = abs(end[1] - start[1]) <= CRUMB_MM
        if not level:
            long = dist(start, end)
            sides = tuple(long for kind in (part.direction, beyond) if kind == "horizontal")
            own = ((face.wall, (start, end)),)
            yield _Met("upright", (part.direction, beyond), long, (face.wall,), own, sides)
            continue
        pair = (part.direction, beyond) if _stands_on(face, start, end) else (beyond, part.direction)
        holes = [(h.left, h.right) for h in face.holes if h.foot <= start[1] + CRUMB_MM < h.head]
        for x0, x1 in without((start[0], end[0]), holes):
            own = ((face.wall, ((x0, start[1]), (x1, start[1]))),)
            yield _Met("level", pair, x1 - x0, (face.wall,), own)


def _stands_on(face: Face, start: Point2, end: Point2) -> bool:
    """Whether a part of a wall lies over a level line of it."""
    middle = (start[0] + end[0]) / 2.0
    return any(abs(low - start[1]) <= CRUMB_MM for low, _ in columns_at(face, middle))


def _ends(part: PartClad, whole: Face) -> Iterator[_Met]:
    """The tops of a part of a wall, and its feet over lower roofs."""
    face = part.face
    tops = top_lines(face) if face.rings else straights(face.top)
    for place, lines in (("soffit", tops), ("roof", foot_lines(face))):
        for a, b in lines:
            at_foot = place == "roof" and max(a[1], b[1]) <= whole.base + CRUMB_MM
            if at_foot or any(_lies_on((a, b), other) for other in (*face.joins, *face.flashed)):
                continue
            pair = (part.direction, part.direction)
            yield _Met(place, pair, dist(a, b), (face.wall,), ((face.wall, (a, b)),))


def _lies_on(line: tuple[Point2, Point2], other: Sequence[Point2]) -> bool:
    """Whether the middle of a line lies on another."""
    x, y = ((line[0][k] + line[1][k]) / 2.0 for k in (0, 1))
    (ax, ay), (bx, by) = other[0], other[-1]
    long = dist((ax, ay), (bx, by))
    off = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long
    return off <= CRUMB_MM and 0.0 <= ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long <= long


def _parts(row: WallDetail, settings: Settings) -> tuple[str, ...]:
    """What a row asks for in the job's style of corners."""
    return (*row.parts, *(row.boxed if settings.word("corner_style") == "boxed" else row.mitred))


def _basis(row: WallDetail, settings: Settings) -> Basis | None:
    """Why a row takes what it takes: the basis of its parts in the job's style of corners, where it has such."""
    style = settings.word("corner_style")
    return basis_of(row, style if (row.boxed if style == "boxed" else row.mitred) else "parts")


def _runs(line: _Met, row: WallDetail, settings: Settings, counts: dict[int, int]) -> Iterator[RunDemand]:
    for part in _parts(row, settings):
        if part in (SOAKER, line.half):
            continue
        timber = part in TIMBERS
        item, setting = (settings.word(part), part) if timber else (part, "wall_flashing_lap_mm")
        term = Term("detail", row.id, "", _basis(row, settings), row.name)
        for length in line.level_mm if part == SCRIBER else (line.length_mm,):
            if length <= CRUMB_MM:
                continue
            wall = line.walls[0]
            counts[wall] = counts.get(wall, 0) + 1
            refs = tuple(f"wall {number}" for number in dict.fromkeys(line.walls))
            rule = "as long as the two claddings meet"
            working = run_working(rule, length, refs[0], settings.term(setting), term)
            lap = 0.0 if timber else settings.number(setting)
            # a board that has to be joined ends in no stump
            least = min(settings.number("board_least_piece_mm"), length / 2.0) if timber else 0.0
            yield RunDemand(f"X{wall}.{counts[wall]}", item, length, None, lap, least, refs=refs, working=working)


def _junction(line: _Met, row: WallDetail, runs: Sequence[RunDemand], settings: Settings) -> WallJunction:
    basis = _basis(row, settings)
    bought = tuple(dict.fromkeys(run.item for run in runs))
    if SOAKER in _parts(row, settings) and line.courses:
        bought = (*bought, SOAKER)
    why = basis.words() if basis else ""
    return WallJunction(row.id, row.name, line.walls, line.lines, line.length_mm, bought, row.counted, why)


def _soakers(lines: Sequence[tuple[_Met, WallDetail]], settings: Settings) -> tuple[Quantity, ...]:
    """Soakers = courses x mitred outside corner, courses as high as both walls are clad there."""
    count = sum(line.courses for line, _ in lines)
    if not count:
        return ()
    refs = tuple(dict.fromkeys(f"wall {wall}" for line, _ in lines for wall in line.walls))
    rows = {row.id: row for _, row in lines}.values()
    terms = tuple(Term("detail", row.id, "", basis_of(row, "mitred"), row.name) for row in rows)
    rule = Working("soakers = courses x mitred outside corners", (settings.term("corner_style"), *terms))
    return (Quantity("cladding.soakers", SOAKER, count, "each", refs, rule),)


def _unknown(lines: Mapping[tuple[str, str, str], Iterable[int]]) -> Iterator[Finding]:
    for (place, one, other), walls in lines.items():
        refs = tuple(f"wall {wall}" for wall in dict.fromkeys(walls))
        yield Finding(
            "wall-detail-unknown",
            Severity.WARN,
            f"The table of details has no row for {one} and {other} at a line of the sort {place}: nothing is ordered "
            f"for it on {', '.join(refs)}.",
            "Order what closes it by hand.",
            refs,
        )
