"""Which board clads which wall: the zones of a job resolved against the catalogue, with the limits of each board."""

from __future__ import annotations

from dataclasses import replace

from takeoff.basics.errors import JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.cladding.board_laps import by_timber, timber_fault
from takeoff.model.basis import SET_IN_JOB, Basis, Term
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import BoardJob, WallsJob, ZoneJob
from takeoff.model.products import Board, Catalogue, basis_of
from takeoff.model.settings import Settings

# a zone that is left out; it is as thick as nothing
_NOTHING = Board("none", "nothing", "none", "none", 0.0, 0.0, 0.0, 0.0, False, (), {})
SHEETS = "sheets"
LEAST_COVER_MM = TOLERANCES.least_cover_mm


@record
class Zone:
    """Walls that carry one board in one direction. `evened`: courses may be evened out by growing the lap; `break_mm`:
    where the job wants the level break of its upright boards; `place` in the job's zones, 0 for none of them.
    `pack_pieces`: boards of one length in a pack, 1 for single ones; `pack_m2`: what a bundle of random lengths
    covers [m2], 0 where they are bought by the metre."""

    name: str
    walls: frozenset[int]
    direction: str
    board: Board
    evened: bool
    findings: tuple[Finding, ...] = ()
    break_mm: float | None = None
    place: int = 0
    pack_pieces: int = 1
    pack_m2: float = 0.0

    def term(self, field: str, unit: str = "mm") -> Term:
        """A figure of the board as a term of a working, with its own basis."""
        return Term(f"board {field}", getattr(self.board, field), unit, basis_of(self.board, field), self.board.id)


def job_or_setting(given: float | None, name: str, settings: Settings) -> Term:
    """A figure that the job may set in its own place: the job's value, else the setting's, with its basis."""
    term = settings.term(name)
    return term if given is None else Term(name, given, term.unit, SET_IN_JOB)


def resolve_zones(
    walls: WallsJob, numbers: tuple[int, ...], settings: Settings, catalogue: Catalogue
) -> tuple[Zone, ...]:
    """The zones of a job over the walls of those numbers, in typed order; a zone without walls takes what is left.

    Walls that no zone names carry the board of setting `wall_board`, and a warning says so. Raises JobError with all
    faults: walls that do not exist or are named twice, unknown boards, boards laid the wrong way, covers nobody has
    published, covers that do not fit their board, even coursing of boards with a fixed cover.
    """
    faults: list[str] = []
    taken = _taken(walls.zones, numbers, faults)
    rest = frozenset(numbers) - frozenset(taken)
    open_zones = [n for n, zone in enumerate(walls.zones, start=1) if zone.walls is None and not zone.shaped]
    faults += [
        f"walls.zones[{n}]: zone {open_zones[0]} takes the walls no other names already." for n in open_zones[1:]
    ]
    zones: list[Zone] = []
    for n, job in enumerate(walls.zones, start=1):
        own = frozenset(wall for wall, zone in taken.items() if zone == n) if job.walls is not None else rest
        if job.shaped:
            own = frozenset(numbers if job.walls is None else job.walls)
            faults += _both_shapes(job, f"walls.zones[{n}]")
        board = _board(job, f"walls.zones[{n}]", settings, catalogue, faults)
        if board is not None:
            made = _zone(f"zone {n}", own, job, board, settings, f"walls.zones[{n}]", faults)
            pieces, area = job.pack_pieces or 1, job.pack_m2 or 0.0
            zones.append(replace(made, place=n, pack_pieces=pieces, pack_m2=area))
    if rest and not open_zones:
        board = by_timber(catalogue.boards[settings.word("wall_board")], None, settings)
        direction = "vertical" if board.direction == "vertical" else "horizontal"
        unnamed = (_unnamed(rest, board, direction, bool(walls.zones)),)
        zones.append(Zone("other walls", rest, direction, board, board.even_coursing, unnamed))
    if faults:
        raise JobError(*faults)
    return tuple(zones)


def _unnamed(rest: frozenset[int], board: Board, direction: str, zoned: bool) -> Finding:
    numbers = sorted(rest)
    named = f"`- {{walls: [{', '.join(map(str, numbers))}], direction: {direction}, board: {board.id}}}`"
    alone = f"`walls: {{zones: [{{direction: {direction}, board: {board.id}}}]}}`"
    are = f"wall {numbers[0]} is" if len(numbers) == 1 else f"walls {', '.join(map(str, numbers))} are"
    return Finding(
        code="walls-in-no-zone",
        severity=Severity.WARN,
        text=f"{are} in no zone: clad with {board.name}, the usual board",
        advice=f"Add under zones of the walls: {named}." if zoned else f"Add to the job: {alone}.",
        refs=tuple(f"wall {number}" for number in numbers),
        source="setting wall_board",
    )


def _taken(zones: list[ZoneJob], numbers: tuple[int, ...], faults: list[str]) -> dict[int, int]:
    """The zone of every wall that a zone names."""
    taken: dict[int, int] = {}
    for n, zone in enumerate(zones, start=1):
        for wall in zone.walls or ():
            if zone.shaped and wall in numbers:
                continue
            if wall not in numbers:
                faults.append(
                    f"walls.zones[{n}].walls: wall {wall} is not clad; walls are {', '.join(map(str, numbers))}."
                )
            elif wall in taken and taken[wall] != n:
                faults.append(f"walls.zones[{n}].walls: wall {wall} is in zone {taken[wall]} already; name it once.")
            else:
                taken[wall] = n
    return taken


def _both_shapes(job: ZoneJob, where: str) -> list[str]:
    if job.polygon is None or all(v is None for v in (job.from_mm, job.to_mm, job.from_left_mm, job.width_mm)):
        return []
    return [f"{where}.polygon: give its corners, or its heights and widths, not both."]


def _board(job: ZoneJob, where: str, settings: Settings, catalogue: Catalogue, faults: list[str]) -> Board | None:
    if job.profile is not None and job.direction != "sheets":
        faults.append(f"{where}.profile: a profile is for direction: sheets; boards have a board.")
        return None
    if job.direction == SHEETS:
        return _sheet(job, where, catalogue, faults)
    if job.direction == "none":
        if job.board is not None:
            faults.append(f"{where}.board: a zone that is left out has no board; leave the board out.")
        return _NOTHING
    if job.board is None:
        faults.append(f"{where}.board: give the board of the zone, or direction: none to leave it out.")
        return None
    if isinstance(job.board, BoardJob):
        return _own_board(job.board, job.direction, where, settings, catalogue, faults)
    board = catalogue.boards.get(job.board)
    if board is None:
        known = f"; boards are {', '.join(catalogue.boards)}."
        faults.append(f"{where}.board: there is no board {job.board}{did_you_mean(job.board, catalogue.boards, known)}")
    elif board.cover_mm <= 0.0:
        faults.append(
            f"{where}.board: no cover of {board.id} is published; give the board as "
            f"{{width_mm: {board.width_mm:g}, cover_mm: ..., kind: {board.kind}}} with its maker's cover."
        )
    elif board.direction not in (job.direction, "either"):
        faults.append(f"{where}.board: {board.id} is laid {board.direction}, not {job.direction}.")
    else:
        return by_timber(board, None, settings)
    return None


def _sheet(job: ZoneJob, where: str, catalogue: Catalogue, faults: list[str]) -> Board | None:
    """The sheets of a profile as boards: as wide as they are overall, as thick as their ribs are deep."""
    if job.board is not None:
        faults.append(f"{where}.board: sheets have a profile, not a board.")
        return None
    profile = catalogue.profiles.get(job.profile or "")
    if profile is None:
        known = f"; profiles are {', '.join(catalogue.profiles)}."
        meant = did_you_mean(job.profile or "", catalogue.profiles, known)
        faults.append(f"{where}.profile: there is no profile {job.profile or '(none given)'}{meant}")
        return None
    return Board(
        id=profile.id,
        name=profile.name,
        kind="sheet",
        direction=SHEETS,
        width_mm=profile.overall_mm,
        cover_mm=profile.cover_mm,
        least_lap_mm=0.0,
        thickness_mm=profile.depth_mm,
        even_coursing=False,
        lengths_mm=(),
        basis={**profile.basis, "width_mm": profile.basis.get("overall_mm", profile.basis.get("*", SET_IN_JOB))},
    )


def _own_board(
    job: BoardJob, direction: str, where: str, settings: Settings, catalogue: Catalogue, faults: list[str]
) -> Board | None:
    """A board that the job describes. Lengths are those of catalogue boards of its kind, else of the usual board."""
    if job.cover_mm > job.width_mm + TOLERANCES.same_length_mm:
        faults.append(
            f"{where}.board: a cover of {job.cover_mm:g} mm is more than the board's width of {job.width_mm:g} mm."
        )
        return None
    if job.cover_mm < LEAST_COVER_MM:
        faults.append(f"{where}.board: a cover of {job.cover_mm:g} mm is no board's; give {LEAST_COVER_MM:g} or more.")
        return None
    if fault := timber_fault(job.timber, settings):
        faults.append(f"{where}.board.timber: {fault}")
        return None
    kind = job.kind or ("vertical" if direction == "vertical" else "plain")
    alike = [board for board in catalogue.boards.values() if board.kind == kind]
    model = alike[0] if alike else catalogue.boards[settings.word("wall_board")]
    least = {"bevel_back": "least_lap_bevel_mm", "rebated": "least_lap_rebated_mm"}.get(kind)
    given: dict[str, Basis] = {
        "*": SET_IN_JOB,
        "lengths_mm": model.basis.get("lengths_mm", model.basis.get("*", SET_IN_JOB)),
    }
    if least:
        given["least_lap_mm"] = settings.basis(least)
    if job.thickness_mm is None:
        given["thickness_mm"] = settings.basis("board_thickness_mm")
    word = kind.replace("_", "-")
    made = Board(
        id=f"{kind}_{job.width_mm:g}_cover_{job.cover_mm:g}",
        name=f"{word} board {job.width_mm:g} wide, cover {job.cover_mm:g}",
        kind=kind,
        direction=direction,
        width_mm=job.width_mm,
        cover_mm=job.cover_mm,
        least_lap_mm=settings.number(least) if least else 0.0,
        thickness_mm=job.thickness_mm or settings.number("board_thickness_mm"),
        even_coursing=kind == "bevel_back",
        lengths_mm=model.lengths_mm,
        basis=given,
        most_lap_mm=settings.number("most_lap_bevel_mm") if kind == "bevel_back" else 0.0,
    )
    return by_timber(made, job.timber, settings)


def _zone(
    name: str, own: frozenset[int], job: ZoneJob, board: Board, settings: Settings, where: str, faults: list[str]
) -> Zone:
    if job.even_coursing and not board.even_coursing:
        faults.append(
            f"{where}.even_coursing: {board.name} has a fixed cover; only plain bevel-back boards can be evened out."
        )
    if job.break_mm is not None and job.direction != "vertical":
        faults.append(f"{where}.break_mm: only vertical boards have a level break; level ones are joined on studs.")
    evened = board.even_coursing if job.even_coursing is None else job.even_coursing
    limits = tuple(_limits(name, board, isinstance(job.board, BoardJob)))
    return Zone(name, own, job.direction, board, evened, limits, job.break_mm)


def _limits(name: str, board: Board, own: bool) -> list[Finding]:
    """The lap against its least (bevel-back 32 mm: a building research magazine, no. 150; rebated 25 mm: a maker)."""
    lap = board.width_mm - board.cover_mm
    if board.least_lap_mm and lap < board.least_lap_mm - TOLERANCES.same_length_mm:
        limit = basis_of(board, "least_lap_mm")
        return [
            Finding(
                code="board-lap-too-small",
                severity=Severity.STOP,
                text=f"{name}: {board.name} laps {lap:g} mm; the least is {board.least_lap_mm:g} mm.",
                advice=f"Set the cover to {board.width_mm - board.least_lap_mm:g} mm or less.",
                refs=(name,),
                source=limit.words() if limit else "",
            )
        ]
    if own and board.kind == "plain":
        return [
            Finding(
                code="board-lap-unchecked",
                severity=Severity.NOTE,
                text=f"{name}: the lap of {board.name}, {lap:g} mm, was held against no limit.",
                advice="Name the board's kind: bevel_back, rebated, rusticated or shiplap.",
                refs=(name,),
            )
        ]
    return []
