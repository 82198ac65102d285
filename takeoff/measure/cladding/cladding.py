"""The door of cladding: elevations in; boards, battens, trims, wrap, soffits and checks out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import radians, tan

from takeoff.basics.errors import JobError
from takeoff.measure.cladding import battens
from takeoff.measure.cladding import wall_trims as trims
from takeoff.measure.cladding.clearances import check_clearance
from takeoff.measure.cladding.courses import lay_courses
from takeoff.measure.cladding.face import Face, face_of
from takeoff.measure.cladding.face_parts import net_mm2
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
from takeoff.measure.cladding.vertical_boards import lay_vertical, vertical_runs
from takeoff.measure.cladding.wrap import wrap_rolls
from takeoff.measure.cladding.zones import Zone, job_or_setting, resolve_zones
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding
from takeoff.model.job.site import Site
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured, Need
from takeoff.model.products import Board, Catalogue, Roll, Timber
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, Elevation, WallBoards

NO_SITE = Site()


@dataclass(frozen=True, slots=True)
class _Wall:
    """One wall with all that was measured on it."""

    face: Face
    zone: Zone
    ends: trims.WallEnds
    boards: WallBoards
    board_runs: tuple[RunDemand, ...]
    other_runs: tuple[RunDemand, ...]
    battens: battens.Battens
    crossings: int


@dataclass(frozen=True, slots=True)
class _Rules:
    """What the job and the catalogue say, looked up once."""

    walls: WallsJob
    settings: Settings
    catalogue: Catalogue
    stud_mm: float
    cavity_mm: float


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
    theirs in `BattenLine.run`. Soffits are taken from the named or first roof where it has a wall line. Areas and the
    vent area are in `measures`: they are measured, not bought. Raises JobError for zones, boards, rolls, timbers and
    words that do not exist.
    """
    rules = _Rules(
        walls,
        settings,
        catalogue,
        float(job_or_setting(walls.stud_mm, "stud_mm", settings).value),
        float(job_or_setting(walls.cavity_mm, "cavity_mm", settings).value),
    )
    zones = resolve_zones(walls, tuple(elevation.wall for elevation in elevations), settings, catalogue)
    of_wall = {number: zone for zone in zones for number in zone.walls}
    faces = {elevation.wall: _face(elevation, elevations, of_wall, rules) for elevation in elevations}
    heads = {zone.name: commonest_head(faces[wall][0] for wall in sorted(zone.walls)) for zone in zones}
    measured = tuple(
        _wall(*faces[wall], zone, heads[zone.name], rules)
        for wall, zone in ((elevation.wall, of_wall[elevation.wall]) for elevation in elevations)
    )
    roof = next((roof for roof in roofs if walls.roof in (None, roof.name)), None)
    soffits = soffits_of(roof, settings) if roof is not None and not walls.elevations else ()
    need, notes = _need(measured, soffits, zones, rules)
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
            *((*vent_findings, *not_counted()) if measured else ()),
            *trimmer_note(soffits, site, settings),
            *_clearances(elevations, settings),
            *roof_clearance(roofs, walls, settings),
        ),
        measures=(*_areas(measured), *soffit_areas(soffits), vent) if measured else (),
    )


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


def _wall(face: Face, ends: trims.WallEnds, zone: Zone, head_mm: float | None, rules: _Rules) -> _Wall:
    settings = rules.settings
    longest = longest_piece(zone.board, rules.walls, settings)
    if zone.direction == "horizontal":
        timber = _timber(rules, "cavity_batten")
        boards = lay_courses(face, zone, settings, head_mm)
        runs = board_runs(boards, face, zone, settings, rules.stud_mm, longest)
        frame = battens.battens_on_studs(face, timber, rules.stud_mm, settings)
        lines = battens.stud_lines(face, rules.stud_mm, timber.width_mm)
        others = frame.runs
    else:
        timber = _timber(
            rules, "castellated_batten" if settings.word("vertical_batten") != "sloped" else "cavity_batten"
        )
        boards = lay_vertical(face, zone, settings, longest, battens.nog_levels(face, settings.number("nog_most_mm")))
        face = replace(face, breaks=boards.breaks_mm)
        lines = battens.nog_levels(face, settings.number("nog_most_mm"))
        runs = vertical_runs(boards, zone)
        frame = battens.battens_at_nogs(face, timber, settings)
        others = (*frame.runs, *battens.extra_nogs(face, _timber(rules, "nog_timber"), rules.stud_mm, settings))
    others += battens.closer_runs(face, CLOSER)
    others += trims.boxed_corner_runs(face, ends, zone, settings)
    others += trims.scriber_runs(face, zone, settings)
    others += trims.packer_runs(face, zone, settings)
    others += trims.flashing_runs(face, ends, zone, settings)
    crossed = trims.crossings(boards, lines)
    return _Wall(face, zone, ends, boards, runs, others, frame, crossed)


def _timber(rules: _Rules, setting: str) -> Timber:
    return rules.catalogue.timbers[rules.settings.word(setting)]


def _face(
    elevation: Elevation, elevations: tuple[Elevation, ...], of_wall: Mapping[int, Zone], rules: _Rules
) -> tuple[Face, trims.WallEnds]:
    """The face of a wall: past its framing by the cladding of the wall round each corner."""
    own = elevation.wall
    left = next((other.wall for other in elevations if other.b_mm == elevation.a_mm and other.wall != own), own)
    right = next((other.wall for other in elevations if other.a_mm == elevation.b_mm and other.wall != own), own)
    past = [
        _past(corner, rules.cavity_mm + of_wall[wall].board.thickness_mm)
        for corner, wall in ((elevation.left_corner, left), (elevation.right_corner, right))
    ]
    ends = trims.WallEnds(elevation.left_corner, elevation.right_corner, right_shared=right != own)
    return face_of(elevation, past[0], past[1]), ends


def _past(corner: Corner, thick_mm: float) -> float:
    """How far the face goes past the framing at a corner [mm]: thickness x tan(half the turn), 1 x at a right angle."""
    if corner.kind not in ("external", "internal"):
        return 0.0
    reach = round(thick_mm * tan(radians((180.0 - corner.angle_deg) / 2.0)), 6)
    return reach if corner.kind == "external" else -reach


def _need(
    measured: tuple[_Wall, ...], soffits: tuple[Soffit, ...], zones: tuple[Zone, ...], rules: _Rules
) -> tuple[Need, tuple[Finding, ...]]:
    settings, catalogue = rules.settings, rules.catalogue
    boards: dict[str, Board] = {zone.board.id: zone.board for zone in zones if zone.walls}
    quantities: list[Quantity] = []
    notes: tuple[Finding, ...] = ()
    laid = [run for wall in measured for run in wall.board_runs]
    demands = [run for wall in measured for run in wall.other_runs]
    if sold_at_random(settings):
        for board in boards.values():
            metres, asks = random_metres([run for run in laid if run.item == board.id], board, settings)
            quantities += metres
            notes += asks
    else:
        demands = [*laid, *demands]
    demands += [*mould_runs(soffits, settings), *jointer_runs(soffits, settings), *vent_runs(soffits, settings)]
    longest = max((longest_piece(board, rules.walls, settings) for board in boards.values()), default=1)
    quantities += trims.soakers([(w.boards, w.face, w.ends, w.zone) for w in measured], settings)
    board_nails, nails = trims.nails([(w.zone, w.crossings) for w in measured], rules.cavity_mm, settings)
    quantities += board_nails
    quantities += trims.primer([w.boards for w in measured], longest, settings)
    quantities += wrap_rolls([w.face for w in measured], _roll(rules), settings)
    quantities += soffit_quantities(soffits, settings)
    nailed = [run for w in measured for run in w.battens.runs]
    faces, thick = [w.face for w in measured], _timber(rules, "cavity_batten").depth_mm
    small, sized = small_items(faces, nailed, soffits, _roll(rules), rules.stud_mm, settings, thick)
    quantities += small
    stock: tuple[StockChoice, ...] = stock_choices(demands, boards, rules.walls, settings, catalogue)
    sheets = (soffit_sheet(raked, settings) for raked in (False, True))
    items = (*own_boards(boards, catalogue), *sheets, *nails, *sized)
    return Need("cladding", tuple(quantities), tuple(demands), stock, items), notes


def _roll(rules: _Rules) -> Roll:
    name = rules.walls.wrap or rules.settings.word("wall_wrap")
    roll = rules.catalogue.rolls.get(name)
    if roll is None or roll.use != "wall":
        known = ", ".join(roll.id for roll in rules.catalogue.rolls.values() if roll.use == "wall")
        raise JobError(f"walls.wrap: {name} is no wall wrap of the catalogue; wraps are {known}.")
    return roll


def _areas(measured: tuple[_Wall, ...]) -> Iterable[Quantity]:
    """Net and gross area of every wall on its cladding face [m2]."""
    for wall in measured:
        face = wall.face
        where = (f"wall {face.wall}",)
        terms = (
            Term("width of the face", round(face.width, 3), "mm", None, where[0]),
            Term("height to the frame", round(face.frame_top - face.base, 3), "mm", None, where[0]),
            Term("openings", round((face.gross_mm2 - net_mm2(face)) / 1e6, 6), "m2", None, where[0]),
            wall.zone.term("thickness_mm"),
        )
        rule = Working("area of the cladding face, up to its raked top; net of openings", terms)
        yield Quantity(f"wall {face.wall}.net", "wall area, net", net_mm2(face) / 1e6, "m2", where, rule)
        yield Quantity(f"wall {face.wall}.gross", "wall area, gross", face.gross_mm2 / 1e6, "m2", where, rule)
