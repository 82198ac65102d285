"""What goes round the boards: scribers, starter packer, flashings of openings, nails, primer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import ceil

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.measure.cladding.battens import foot_stretches
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.face_parts import over
from takeoff.measure.cladding.level_breaks import break_lines
from takeoff.measure.cladding.nail_sizes import nail
from takeoff.measure.cladding.zones import SHEETS, Zone
from takeoff.measure.terms import run_working
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.items import Made
from takeoff.model.runs import AtJoints, RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, WallBoards

HEAD_FLASHING = "head_flashing"
SILL_TRAY = "sill_tray"
INNER_CORNER = "internal_corner_flashing"
CORNER_BACK = "corner_back_flashing"
LEVEL_BREAK = "level_break_flashing"
SHEET_CORNER = "sheet_corner_flashing"
JAMB_FLASHING = "jamb_flashing"
LEVEL_JOIN = "zone_flashing_level"
UPRIGHT_JOIN = "zone_flashing_upright"
FLASHINGS = (
    HEAD_FLASHING,
    SILL_TRAY,
    INNER_CORNER,
    CORNER_BACK,
    LEVEL_BREAK,
    LEVEL_JOIN,
    UPRIGHT_JOIN,
    SHEET_CORNER,
    JAMB_FLASHING,
)
DOOR, METER_BOX, VENT = "door", "meter_box", "vent"  # kinds of openings that are flashed otherwise than windows


@record
class WallEnds:
    """The corners of a wall, or of a part of one."""

    left: Corner
    right: Corner


def scriber_runs(face: Face, zone: Zone, settings: Settings) -> tuple[RunDemand, ...]:
    """Scribers beside openings in horizontal boards: two of its height for each."""
    if zone.direction != "horizontal":
        return ()
    item = settings.word("scriber_timber")
    return tuple(
        _run(face, f"S{face.tag}.{n}", item, hole.head - hole.foot)
        for n, hole in enumerate((hole for hole in face.holes if hole.kind != VENT for _ in range(2)), start=1)
    )


def packer_runs(face: Face, zone: Zone, settings: Settings) -> tuple[RunDemand, ...]:
    """Starter packer behind the first bevel-back board."""
    if zone.direction != "horizontal" or zone.board.kind != "bevel_back":
        return ()
    item = settings.word("starter_packer")
    return tuple(
        _run(face, f"Y{face.tag}.{n}", item, b - a, settings.term("starter_packer"))
        for n, (a, b) in enumerate(foot_stretches(face, at_zones=True), start=1)
    )


def flashing_runs(face: Face, zone: Zone, settings: Settings) -> tuple[RunDemand, ...]:
    """Head flashing over every opening, sill tray under every one whose sill is over the floor, jamb flashings, those
    along every level break; what corners and lines to other zones take is in `wall_details`.

    Head flashing and tray reach past each jamb by settings head_past_jamb_mm and sill_past_jamb_mm.
    """
    runs: list[RunDemand] = []
    head, sill = settings.number("head_past_jamb_mm"), settings.number("sill_past_jamb_mm")
    lap, jambs = settings.number("wall_flashing_lap_mm"), settings.word("jamb_flashing")

    def add(item: str, length: float, past: str = "") -> None:
        terms = tuple(settings.term(name) for name in ("wall_flashing_lap_mm", past) if name)
        run = _run(face, f"F{face.tag}.{len(runs) + 1}", item, length, *terms)
        runs.append(replace(run, lap_mm=lap))

    for hole in face.holes:
        if hole.kind == VENT or zone.direction == SHEETS:  # those of sheets are others: wall_sheet_trims
            continue
        if jambs in ("all", zone.direction):
            for _ in range(2):
                add(JAMB_FLASHING, hole.head - hole.foot)
        if over(hole, face):
            add(HEAD_FLASHING, hole.width + 2.0 * head, "head_past_jamb_mm")
        if hole.foot > max(face.base, 0.0) + CRUMB_MM and hole.kind not in (METER_BOX, DOOR):
            add(SILL_TRAY, hole.width + 2.0 * sill, "sill_past_jamb_mm")
    for _, a, b in break_lines(face, face.breaks):
        add(LEVEL_BREAK, b - a)
    return tuple(runs)


def nails_per_crossing(zone: Zone, settings: Settings) -> int:
    """1 for bevel-back (a building research magazine, no. 150: no double nailing) and for boards up to setting
    nail_wide_board_mm, else 2 (HP22 7.5.2(4))."""
    wide = zone.board.width_mm > settings.number("nail_wide_board_mm")
    return 2 if wide and zone.board.kind != "bevel_back" else 1


def crossings(boards: WallBoards, lines_mm: tuple[float, ...]) -> int:
    """How often the boards of a wall cross battens or nogs: lines_mm are their places across the boards' run [mm]."""
    axis = 0 if boards.direction == "horizontal" else 1
    total = 0
    for piece in boards.pieces:
        start = min(point[axis] for point in piece.outline_xy)
        end = start + piece.length_mm
        total += sum(1 for at in lines_mm if start - CRUMB_MM <= at <= end + CRUMB_MM)
    return total


def nails(
    crossed: Iterable[tuple[Zone, int]], cavity_mm: float, settings: Settings
) -> tuple[tuple[Quantity, ...], tuple[Made, ...]]:
    """Board nails with spares, a line for each size. crossed: board crossings of each wall with its zone."""
    parts: dict[str, tuple[Zone, int]] = {}
    for zone, count in crossed:
        parts[zone.name] = (zone, parts.get(zone.name, (zone, 0))[1] + count)
    sizes: dict[str, list[tuple[Zone, int]]] = {}
    made: dict[str, tuple[Made, tuple[Term, ...]]] = {}
    for zone, count in parts.values():
        found = nail("board nail", zone.board.thickness_mm + cavity_mm, "nail_diameter_mm", settings)
        made[found[0].id] = found
        sizes.setdefault(found[0].id, []).append((zone, count))
    quantities = tuple(
        _nail_line(item, zones, made[item][1], settings) for item, zones in sizes.items() if any(n for _, n in zones)
    )
    return quantities, tuple(made[quantity.item][0] for quantity in quantities)


def _nail_line(item: str, zones: list[tuple[Zone, int]], size: tuple[Term, ...], settings: Settings) -> Quantity:
    spare = settings.number("nail_spare_pct")
    total = sum(count * nails_per_crossing(zone, settings) for zone, count in zones)
    terms = [Term(f"crossings of {zone.board.name}", count, "each", None, zone.name) for zone, count in zones]
    terms += [
        Term(f"nails a crossing of {zone.board.name}", nails_per_crossing(zone, settings), "each", None, zone.name)
        for zone, _ in zones
    ]
    terms += [_from_butt(zone.name, zone, settings) for zone, _ in zones if zone.board.kind == "bevel_back"]
    rule = Working(
        "nails = crossings of boards and battens x nails a crossing x (1 + spare), running joints besides; "
        "bevel-back has one; long enough to go through board and cavity and into timber",
        (*terms, *size, settings.term("nail_wide_board_mm"), settings.term("nail_spare_pct")),
    )
    figure = ceil(total * (1.0 + spare / 100.0) - 1e-9)
    return Quantity(f"cladding.{item}", item, figure, "each", tuple(zone.name for zone, _ in zones), rule)


def joint_nails(zones: Iterable[Zone], cavity_mm: float, settings: Settings) -> dict[str, AtJoints]:
    """Nails that a running joint takes besides the one that its stud is counted for, by board: each of the two ends is
    held by its own (setting nail_joint_extra)."""
    extra, spare = settings.number("nail_joint_extra"), settings.number("nail_spare_pct")
    found = {}
    for zone in zones:
        made, _ = nail("board nail", zone.board.thickness_mm + cavity_mm, "nail_diameter_mm", settings)
        terms = (settings.term("nail_joint_extra"), settings.term("nail_spare_pct"))
        each = extra * nails_per_crossing(zone, settings) * (1.0 + spare / 100.0)
        found[zone.board.id] = AtJoints(made.id, each, terms)
    return found


def _from_butt(name: str, zone: Zone, settings: Settings) -> Term:
    """How high over its lower edge a bevel-back board is nailed: clear of the board below by the setting [mm]."""
    past = settings.term("nail_past_lap_mm")
    height = zone.board.width_mm - zone.board.cover_mm + float(past.value)
    return Term(f"nail over the lower edge of {zone.board.name}", height, "mm", past.basis, name)


def primer(boards: Iterable[WallBoards], longest_mm: int, settings: Settings) -> tuple[Quantity, ...]:
    """Primer for cut ends: two for each piece, pieces counted as the longest board allows [L]."""
    ends = sum(2 * max(1, count_up(piece.length_mm, longest_mm)) for wall in boards for piece in wall.pieces)
    if not ends:
        return ()
    rule = Working(
        "primer = cut ends x primer for one",
        (Term("cut ends", ends, "each"), settings.term("primer_ml_per_end")),
    )
    litres = ends * settings.number("primer_ml_per_end") / 1000.0
    return (Quantity("cladding.primer", "primer for cut ends", litres, "L", (), rule),)


def all_round_primer(walls: Iterable[tuple[WallBoards, Zone]], settings: Settings) -> tuple[Quantity, ...]:
    """Primer for boards that come bare: two faces and two edges of each, ripped ones as they are before the rip, over
    what setting board_primer_m2_per_l says a litre covers; none where that is 0."""
    covers = settings.number("board_primer_m2_per_l")
    area = 0.0
    for boards, zone in walls:
        round_mm = 2.0 * (zone.board.width_mm + zone.board.thickness_mm)
        area += sum(piece.length_mm for piece in boards.pieces) * round_mm / 1e6
    if covers <= 0.0 or area <= 0.0:
        return ()
    rule = Working(
        "primer = lengths of boards x 2 x (width + thickness) / what a litre covers",
        (Term("area of boards all round", round(area, 3), "m2"), settings.term("board_primer_m2_per_l")),
    )
    return (Quantity("cladding.board_primer", "primer for boards", area / covers, "L", (), rule),)


def _run(face: Face, name: str, item: str, length: float, *terms: Term) -> RunDemand:
    wall = f"wall {face.wall}"
    working = run_working("as long as it is seen on the wall, past what it covers at both ends", length, wall, *terms)
    return RunDemand(name, item, length, None, refs=(wall,), working=working)
