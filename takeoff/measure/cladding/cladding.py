"""The door of cladding: elevations in; boards, battens, trims, wrap, soffits and checks out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import radians, tan

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding import battens
from takeoff.measure.cladding import wall_trims as trims
from takeoff.measure.cladding.bare_walls import BareWall, laid_on
from takeoff.measure.cladding.board_counts import count_boards
from takeoff.measure.cladding.clearances import check_clearance
from takeoff.measure.cladding.corner_stretches import PartClad
from takeoff.measure.cladding.damp_course import damp_course
from takeoff.measure.cladding.face import CRUMB_MM, Face, face_of
from takeoff.measure.cladding.face_parts import joined
from takeoff.measure.cladding.level_breaks import break_lines
from takeoff.measure.cladding.neighbours import beside
from takeoff.measure.cladding.roof_clearance import roof_clearance
from takeoff.measure.cladding.running_joints import board_runs
from takeoff.measure.cladding.small_items import not_counted, small_items
from takeoff.measure.cladding.soffits import (
    Soffit,
    jointer_runs,
    mould_runs,
    soffit_areas,
    soffit_quantities,
    soffit_sheet,
    soffits_of,
    trimmer_note,
    vent_runs,
)
from takeoff.measure.cladding.storey_rod import commonest_head
from takeoff.measure.cladding.supply import (
    CLOSER,
    longest_piece,
    own_boards,
    random_metres,
    sold_at_random,
    stock_choices,
)
from takeoff.measure.cladding.vertical_boards import vertical_runs
from takeoff.measure.cladding.wall_areas import Clad, wall_areas
from takeoff.measure.cladding.wall_details import Details, wall_details
from takeoff.measure.cladding.wall_sheet_trims import rib_closers, sheet_trim_runs
from takeoff.measure.cladding.wall_sheets import screw_lines, sheet_crossings, sheet_groups
from takeoff.measure.cladding.wrap import wrap_rolls
from takeoff.measure.cladding.zone_shapes import NONE, ZonePart, zone_parts
from takeoff.measure.cladding.zones import SHEETS, Zone, job_or_setting, resolve_zones
from takeoff.model.basis import Quantity
from takeoff.model.findings import Finding
from takeoff.model.job.site import Site
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured, Need
from takeoff.model.memory import Same, recalled
from takeoff.model.products import Board, Catalogue, Roll, Timber
from takeoff.model.quantities import BoardCount
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets
from takeoff.model.walls import Corner, Elevation, WallBoards

NO_SITE = Site()
_LEFT_OUT_MM2 = TOLERANCES.left_out_mm2


@record
class _Wall:
    """One wall with all that was measured on it."""

    face: Face
    zone: Zone
    boards: WallBoards
    board_runs: tuple[RunDemand, ...]
    other_runs: tuple[RunDemand, ...]
    battens: battens.Battens
    crossings: int
    sheets: PlaneSheets | None = None


@record
class _Rules:
    """What the job and the catalogue say, looked up once."""

    walls: WallsJob
    settings: Settings
    catalogue: Catalogue
    stud_mm: float
    cavity_mm: float
    site: Site


def measure_cladding(
    elevations: tuple[Elevation, ...],
    walls: WallsJob,
    roofs: tuple[Roof, ...],
    settings: Settings,
    catalogue: Catalogue,
    site: Site = NO_SITE,
) -> CladdingMeasured:
    """Everything on the walls.

    The runs of boards carry the ids of the boards (`BoardPiece.id`), so cut pieces find their place; battens carry
    theirs in `BattenLine.run`. Soffits are those of the roofs whose wall lines are clad. Areas and the
    vent area are in `measures`: they are measured, not bought. Raises JobError for zones, boards, rolls, timbers and
    words that do not exist.
    """
    rules = _rules(walls, settings, catalogue, site)
    zones = resolve_zones(walls, tuple(elevation.wall for elevation in elevations), settings, catalogue)
    whole, parts = _laid_out(elevations, zones, rules)
    measured = tuple(_alone(one, rules) for one in _bare(parts, whole, zones, rules))
    clad = tuple(dict.fromkeys(elevation.roof for elevation in elevations if elevation.roof))
    soffits = tuple(s for roof in roofs if roof.name in clad for s in soffits_of(roof, settings))
    covered = _covered_faces(whole, measured)
    details = _details(elevations, whole, measured, rules)
    laid = (wall.sheets for wall in measured if wall.sheets is not None)
    groups, sheet_items = sheet_groups(laid, catalogue, site, settings)
    need, notes = _need(measured, covered, soffits, zones, details, rules)
    need = replace(need, items=(*need.items, *sheet_items))
    plates = damp_course(elevations, walls.on_concrete, settings)
    need = replace(need, quantities=(*need.quantities, *plates))
    feet_mm = sum(b - a for wall in measured for a, b in battens.foot_stretches(wall.face))
    vent, vent_findings = battens.vent_check(feet_mm, settings)
    findings = [finding for zone in zones for finding in zone.findings]
    findings += battens.offcut_note(sum(wall.battens.left_out for wall in measured), settings)
    return CladdingMeasured(
        boards=tuple(wall.boards for wall in measured),
        battens=tuple(line for wall in measured for line in wall.battens.lines),
        needs=(need,) if measured else (),
        findings=(
            *findings,
            *notes,
            *details.findings,
            *((*vent_findings, *not_counted()) if measured else ()),
            *trimmer_note(soffits, site, settings),
            *_clearances(elevations, settings),
            *roof_clearance(roofs, clad, settings),
        ),
        measures=(*wall_areas(_clad(parts), whole), *soffit_areas(soffits), vent) if measured else (),
        junctions=details.junctions,
        groups=groups,
    )


def count_all_boards(
    elevations: tuple[Elevation, ...], walls: WallsJob, settings: Settings, catalogue: Catalogue, site: Site
) -> tuple[BoardCount, ...]:
    """The boards and sheets of `measure_cladding` counted. Raises as it does, but for wrap and trims."""
    rules = _rules(walls, settings, catalogue, site)
    zones = resolve_zones(walls, tuple(elevation.wall for elevation in elevations), settings, catalogue)
    whole, parts = _laid_out(elevations, zones, rules)
    return tuple(_counted(one, rules) for one in _bare(parts, whole, zones, rules))


def _rules(walls: WallsJob, settings: Settings, catalogue: Catalogue, site: Site) -> _Rules:
    stud = float(job_or_setting(walls.stud_mm, "stud_mm", settings).value)
    return _Rules(
        walls, settings, catalogue, stud, float(job_or_setting(walls.cavity_mm, "cavity_mm", settings).value), site
    )


def _bare(
    parts: tuple[_Part, ...], whole: tuple[Face, ...], zones: tuple[Zone, ...], rules: _Rules
) -> Iterable[BareWall]:
    """Every part of a wall before anything is laid on it; heads of openings count zone by zone."""
    heads = {zone.name: commonest_head(p.face for _, p in parts if p.zone.name == zone.name) for zone in zones}
    faces = {face.wall: face for face in whole}
    for wall, part in parts:
        ends = _ends_of(part.face, faces[wall.wall], wall)
        sheets = part.zone.direction == SHEETS
        longest = 0 if sheets else longest_piece(part.zone.board, rules.walls, rules.settings)
        faces_deg = wall.bearing_deg if wall.roof else None
        yield BareWall(part.face, ends, part.zone, heads[part.zone.name], longest, faces_deg)


def _details(
    elevations: tuple[Elevation, ...], whole: tuple[Face, ...], measured: tuple[_Wall, ...], rules: _Rules
) -> Details:
    """Corners and lines between claddings; cladding stands before its framing by the cavity and the thickest board."""
    parts = [PartClad(wall.face, wall.zone.direction, wall.boards) for wall in measured]
    boards = [wall.zone.board.thickness_mm for wall in measured]
    thick = rules.cavity_mm + max((*boards, rules.settings.number("board_thickness_mm"))) + TOLERANCES.touch_mm
    return wall_details(elevations, whole, parts, thick, rules.settings, rules.catalogue)


def _clearances(elevations: tuple[Elevation, ...], settings: Settings) -> Iterable[Finding]:
    assumed = {
        ref
        for elevation in elevations
        for finding in elevation.findings
        if finding.code == "ground-assumed"
        for ref in finding.refs
    }
    for elevation in elevations:
        yield from check_clearance(elevation, settings, elevation.id in assumed)


def _alone(bare: BareWall, rules: _Rules) -> _Wall:
    """One wall measured, now or before: all that it depends on is named here."""
    inputs = (bare, rules.stud_mm, rules.site, Same(rules.catalogue))
    return recalled("one wall", inputs, rules.settings, lambda asked: _wall(bare, replace(rules, settings=asked)))


def _counted(bare: BareWall, rules: _Rules) -> BoardCount:
    """The boards of one wall counted, now or before."""
    catalogue, site = rules.catalogue, rules.site
    inputs = (bare, site, Same(catalogue))
    return recalled(
        "boards of a wall", inputs, rules.settings, lambda asked: count_boards(bare, catalogue, site, asked)
    )


def _wall(bare: BareWall, rules: _Rules) -> _Wall:
    settings, face, zone = rules.settings, bare.face, bare.zone
    boards, laid = laid_on(bare, rules.catalogue, rules.site, settings)
    if zone.direction == "horizontal":
        timber = _timber(rules, "cavity_batten")
        runs = board_runs(boards, face, zone, settings, rules.stud_mm, bare.longest_mm)
        frame = battens.battens_on_studs(face, timber, rules.stud_mm, settings)
        lines = battens.stud_lines(face, rules.stud_mm, timber.width_mm)
        others = frame.runs
    else:
        sheets = zone.direction == SHEETS
        timber = _timber(
            rules, "castellated_batten" if settings.word("vertical_batten") != "sloped" else "cavity_batten"
        )
        face = replace(face, breaks=boards.breaks_mm)
        lines = battens.nog_levels(face, settings.number("nog_most_mm"))
        runs = () if sheets else vertical_runs(boards, face, zone)
        frame = battens.battens_at_nogs(face, timber, settings)
        others = (*frame.runs, *battens.extra_nogs(face, _timber(rules, "nog_timber"), rules.stud_mm, settings))
    others += battens.closer_runs(face, CLOSER)
    others += trims.scriber_runs(face, zone, settings)
    others += trims.packer_runs(face, zone, settings)
    others += trims.flashing_runs(face, zone, settings)
    others += sheet_trim_runs(face, zone, settings)
    crossed = sheet_crossings(laid.sheets, lines) if laid is not None else trims.crossings(boards, lines)
    at_breaks = tuple(((a, y), (b, y)) for y, a, b in break_lines(face, face.breaks))
    boards = replace(boards, flashed_xy=(*face.flashed, *at_breaks))
    return _Wall(face, zone, boards, runs, others, frame, crossed, laid.sheets if laid is not None else None)


def _timber(rules: _Rules, setting: str) -> Timber:
    return rules.catalogue.timbers[rules.settings.word(setting)]


_Part = tuple[Elevation, ZonePart]


def _laid_out(
    elevations: tuple[Elevation, ...], zones: tuple[Zone, ...], rules: _Rules
) -> tuple[tuple[Face, ...], tuple[_Part, ...]]:
    """The faces of the walls, and the parts of each by zone. Raises JobError with what cannot be of zones with a
    shape."""
    jobs = rules.walls.zones
    shaped = [zone for zone in zones if zone.place and jobs[zone.place - 1].shaped]
    of_wall = {number: zone for zone in zones if zone not in shaped for number in zone.walls}
    faults: list[str] = []
    whole: list[Face] = []
    found: list[_Part] = []
    for elevation in elevations:
        face = _face(elevation, elevations, of_wall, rules)
        whole.append(face)
        on = [
            (zone, jobs[zone.place - 1], f"walls.zones[{zone.place}]")
            for zone in shaped
            if elevation.wall in zone.walls
        ]
        for part in zone_parts(face, elevation, of_wall[elevation.wall], on, faults):
            found.append((elevation, part))
    if faults:
        raise JobError(*dict.fromkeys(faults))
    return tuple(whole), tuple(found)


def _ends_of(part: Face, face: Face, wall: Elevation) -> trims.WallEnds:
    """The corners of a wall that a part of it reaches; a line to another zone is none."""
    none = Corner("none", 180.0)
    return trims.WallEnds(
        wall.left_corner if part.left <= face.left + CRUMB_MM else none,
        wall.right_corner if part.right >= face.right - CRUMB_MM else none,
    )


def _clad(parts: tuple[_Part, ...]) -> list[Clad]:
    return [Clad(part.face, part.zone, wall.bearing_deg if wall.roof else None) for wall, part in parts]


def _covered_faces(whole: tuple[Face, ...], measured: tuple[_Wall, ...]) -> list[Face]:
    """The faces of the walls for what covers them whatever the zone (wrap and its fixings), parts left out off."""
    found = []
    for face in whole:
        own = [wall.face for wall in measured if wall.face.wall == face.wall]
        if not own:
            continue
        area = sum(part.gross_mm2 for part in own)
        found.append(face if area > face.gross_mm2 - _LEFT_OUT_MM2 else joined(face, own))
    return found


def _face(elevation: Elevation, elevations: tuple[Elevation, ...], of_wall: Mapping[int, Zone], rules: _Rules) -> Face:
    """The face of a wall: past its framing by the cladding of the wall round each corner."""
    round_it = [beside(elevation, elevations, left).wall or elevation.wall for left in (True, False)]
    corners = (elevation.left_corner, elevation.right_corner)
    past = [
        _past(corner, rules.cavity_mm + of_wall[wall].board.thickness_mm)
        for corner, wall in zip(corners, round_it, strict=True)
    ]
    return face_of(elevation, past[0], past[1])


def _past(corner: Corner, thick_mm: float) -> float:
    """How far the face goes past the framing at a corner [mm]: thickness x tan(half the turn), 1 x at a right angle."""
    if corner.kind not in ("external", "internal"):
        return 0.0
    reach = round(thick_mm * tan(radians((180.0 - corner.angle_deg) / 2.0)), 6)
    return reach if corner.kind == "external" else -reach


def _need(
    measured: tuple[_Wall, ...],
    faces: list[Face],
    soffits: tuple[Soffit, ...],
    zones: tuple[Zone, ...],
    details: Details,
    rules: _Rules,
) -> tuple[Need, tuple[Finding, ...]]:
    settings, catalogue = rules.settings, rules.catalogue
    boards: dict[str, Board] = {
        zone.board.id: zone.board for zone in zones if zone.walls and zone.direction not in (NONE, SHEETS)
    }
    packs = {zone.board.id: zone.pack_pieces for zone in zones if zone.pack_pieces > 1}
    bundles = {zone.board.id: zone.pack_m2 for zone in zones if zone.pack_m2 > 0.0}
    quantities: list[Quantity] = []
    notes: tuple[Finding, ...] = ()
    laid = [run for wall in measured for run in wall.board_runs]
    demands = [*(run for wall in measured for run in wall.other_runs), *details.runs]
    if sold_at_random(settings):
        for board in boards.values():
            metres, asks = random_metres(
                [run for run in laid if run.item == board.id], board, settings, bundles.get(board.id, 0.0)
            )
            quantities += metres
            notes += asks
    else:
        demands = [*laid, *demands]
    demands += [*mould_runs(soffits, settings), *jointer_runs(soffits, settings), *vent_runs(soffits, settings)]
    longest = max((longest_piece(board, rules.walls, settings) for board in boards.values()), default=1)
    quantities += details.quantities
    timber = [w for w in measured if w.zone.direction != SHEETS]
    board_nails, nails = trims.nails([(w.zone, w.crossings) for w in timber], rules.cavity_mm, settings)
    screws, screw_items = screw_lines(sum(w.crossings for w in measured if w.sheets is not None), settings)
    quantities += [*board_nails, *screws, *rib_closers((w.face, w.zone) for w in measured)]
    quantities += trims.primer([w.boards for w in timber], longest, settings)
    quantities += trims.all_round_primer([(w.boards, w.zone) for w in timber], settings)
    quantities += wrap_rolls(faces, _roll(rules), settings)
    quantities += soffit_quantities(soffits, settings)
    nailed = [run for w in measured for run in w.battens.runs]
    thick = _timber(rules, "cavity_batten").depth_mm
    feet = [b - a for w in measured for a, b in battens.foot_stretches(w.face)]
    small, sized = small_items(faces, feet, nailed, soffits, _roll(rules), rules.stud_mm, settings, thick)
    quantities += small
    joints = trims.joint_nails([w.zone for w in timber], rules.cavity_mm, settings)
    stock: tuple[StockChoice, ...] = stock_choices(demands, boards, rules.walls, settings, catalogue, packs, joints)
    sheets = (soffit_sheet(raked, settings) for raked in (False, True))
    items = (*own_boards(boards, catalogue), *sheets, *nails, *sized, *screw_items)
    return Need("cladding", tuple(quantities), tuple(demands), stock, items), notes


def _roll(rules: _Rules) -> Roll:
    name = rules.walls.wrap or rules.settings.word("wall_wrap")
    roll = rules.catalogue.rolls.get(name)
    if roll is None or roll.use != "wall":
        known = ", ".join(roll.id for roll in rules.catalogue.rolls.values() if roll.use == "wall")
        raise JobError(f"walls.wrap: {name} is no wall wrap of the catalogue; wraps are {known}.")
    return roll
