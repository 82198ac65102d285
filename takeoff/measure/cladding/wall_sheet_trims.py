"""What goes round wall sheets but at corners and lines to other zones: flashings of openings, of the top, closers.

                  raked top flashing .-'
      top flashing ________.---''  |      level tops lie under a soffit, raked ones behind a barge
      ____________|                |
     |   head flashing, jambs       |     the sheets end 5 mm over a head flashing: their ribs are closed there too
     |    +-------+                 |
     |    | sill  |                 |
     |____|_______|_________________|     rib closer along the foot: nothing crawls up the ribs

Common practice, no source, but for the sheet's end over a head flashing (code of practice: 5 mm).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil, dist

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.measure.cladding.battens import foot_stretches
from takeoff.measure.cladding.face import CRUMB_MM, Face, without
from takeoff.measure.cladding.face_parts import over, top_lines
from takeoff.measure.cladding.wall_trims import DOOR, JAMB_FLASHING, METER_BOX, VENT
from takeoff.measure.cladding.zones import SHEETS, Zone
from takeoff.measure.terms import run_working
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings

SHEET_HEAD, SHEET_SILL = "sheet_head_flashing", "sheet_sill_flashing"
SHEET_TOP, SHEET_RAKED_TOP = "sheet_top_flashing", "sheet_raked_top_flashing"
SHEET_TRIMS = (SHEET_HEAD, SHEET_SILL, SHEET_TOP, SHEET_RAKED_TOP)
RIB_CLOSER = "wall_rib_closer"


def sheet_trim_runs(face: Face, zone: Zone, settings: Settings) -> tuple[RunDemand, ...]:
    """The flashings of openings and tops of a wall in sheets, as runs to be cut from stock; nothing for boards."""
    if zone.direction != SHEETS:
        return ()
    wanted = (*_openings(face, settings), *_tops(face))
    wall, lap = f"wall {face.wall}", settings.number("wall_flashing_lap_mm")
    runs = []
    for n, (item, length, past) in enumerate(wanted, start=1):
        terms = (settings.term(name) for name in ("wall_flashing_lap_mm", past) if name)
        rule = "as long as what it lies on, past it at both ends where it is told so"
        working = run_working(rule, length, wall, *terms)
        runs.append(RunDemand(f"T{face.tag}.{n}", item, length, None, lap_mm=lap, refs=(wall,), working=working))
    return tuple(runs)


def _openings(face: Face, settings: Settings) -> Iterator[tuple[str, float, str]]:
    """Item, length and the setting that it goes past the jambs by: a head over every opening that sheets stand over, a
    sill under windows, jambs as setting jamb_flashing says."""
    head, sill = settings.number("head_past_jamb_mm"), settings.number("sill_past_jamb_mm")
    for hole in face.holes:
        if hole.kind == VENT:
            continue
        if settings.word("jamb_flashing") in ("all", SHEETS):
            yield from ((JAMB_FLASHING, hole.head - hole.foot, "") for _ in range(2))
        if over(hole, face):
            yield SHEET_HEAD, hole.width + 2.0 * head, "head_past_jamb_mm"
        if hole.foot > max(face.base, 0.0) + CRUMB_MM and hole.kind not in (METER_BOX, DOOR):
            yield SHEET_SILL, hole.width + 2.0 * sill, "sill_past_jamb_mm"


def _tops(face: Face) -> Iterator[tuple[str, float, str]]:
    """The tops that no other zone stands on, each straight one a length, openings that go up to it off."""
    for a, b in top_lines(face):
        cuts = [(hole.left, hole.right) for hole in face.holes if hole.head >= max(a[1], b[1]) - CRUMB_MM]
        cuts += [(line[0][0], line[-1][0]) for line in map(_rightwards, face.joins) if _lies_on(line, (a, b))]
        item = SHEET_TOP if abs(b[1] - a[1]) <= CRUMB_MM else SHEET_RAKED_TOP
        slope = dist(a, b) / (b[0] - a[0])
        yield from ((item, (x1 - x0) * slope, "") for x0, x1 in without((a[0], b[0]), cuts))


def _rightwards(line: tuple[Point2, ...]) -> tuple[Point2, ...]:
    return line if line[0][0] <= line[-1][0] else tuple(reversed(line))


def _lies_on(line: tuple[Point2, ...], top: tuple[Point2, Point2]) -> bool:
    """Whether both ends of a line lie on a top."""
    (ax, ay), (bx, by) = top
    return all(
        ax - CRUMB_MM <= x <= bx + CRUMB_MM and abs(ay + (by - ay) * (x - ax) / (bx - ax) - y) <= CRUMB_MM
        for x, y in (line[0], line[-1])
    )


def rib_closers(walls: Iterable[tuple[Face, Zone]]) -> tuple[Quantity, ...]:
    """Profiled closers along every foot of sheets and over every opening they stand over [m]; none without sheets."""
    feet = heads = 0.0
    refs: list[str] = []
    for face, zone in walls:
        if zone.direction == SHEETS:
            feet += sum(b - a for a, b in foot_stretches(face, at_zones=True))
            heads += sum(hole.width for hole in face.holes if hole.kind != VENT and over(hole, face))
            refs.append(f"wall {face.wall}")
    if not refs:
        return ()
    rule = Working(
        "rib closer = feet of the sheets, openings down to them off + widths of openings under sheets; whole metres",
        (Term("feet", round(feet / 1000.0, 3), "m"), Term("over openings", round(heads / 1000.0, 3), "m")),
    )
    metres = float(ceil((feet + heads) / 1000.0 - TOLERANCES.closure_rel))
    return (Quantity("cladding.rib_closer", RIB_CLOSER, metres, "m", tuple(dict.fromkeys(refs)), rule),)
