"""Walls as elevations: one for each edge of the wall lines of the roofs, and those that the job gives by themselves.

Every wall is seen from outside: x from its left end, y up from the finished floor. Cladding starts a floor lap below
the floor and ends at the soffit line or the frame height, whichever is lower; where no eave lies over the wall (gables,
high sides) it goes up to the roof.
"""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.errors import JobError
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import WallsJob
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation, GroundPart, Opening
from takeoff.shape.walls.line_walls import line_walls
from takeoff.shape.walls.wall_draft import Draft, given_wall
from takeoff.shape.walls.wall_lines import unclad_lines, wall_lines
from takeoff.shape.walls.wall_openings import opening_findings, openings_of, wall_list

LONGEST_MM = 1_000_000.0  # as the job file's own lengths


def elevations(
    walls: WallsJob,
    roofs: tuple[Roof, ...],
    north_deg: float,
    settings: Settings,
    soffit_mm: float | None = None,
) -> tuple[Elevation, ...]:
    """The walls of a job as elevations, in the order of their numbers.

    There is one wall for each wall-line edge of the named roof, or of every roof that has a wall line, courtyards
    included, but for edges where that roof stops against another wall and walls of which nothing is outside. Walls
    given as `elevations` follow these; where the job gives no height they stand alone. Under a soffit walls are clad to
    its line (`soffit_line`; `soffit_mm`: its height over the floor as the job gives it), over a lower roof from the
    clearance of its apron on (`covered_parts`). Uses the settings floor_lap_mm (cladding laps the floor, E2/AS1
    9.1.3.5), roof_depth_mm (underside of sheets down to the top of the cladding at gables, upright) and
    ground_below_floor_mm / paved_below_floor_mm where the job names no ground.
    Raises JobError with every fault found: walls that do not exist, storeys out of order, raked tops that cannot be,
    openings outside their wall, over its raked top, or over each other.
    """
    base = -settings.number("floor_lap_mm")
    faults: list[str] = []
    lines = wall_lines(walls, roofs, faults)
    if faults:  # walls of storeys that cannot be would be wrong too, and say nothing new
        raise JobError(*faults)
    drafts = [
        draft for line in lines for draft in line_walls(line, lines, walls, roofs, north_deg, settings, soffit_mm)
    ]
    first = sum(line.walls for line in lines)
    drafts += [given_wall(first + n, job, n, base, faults) for n, job in enumerate(walls.elevations, start=1)]
    faults += _twice(walls, drafts)
    faults += _unbuildable(drafts)
    faults += _unknown_grounds(walls, drafts)
    faults += _ground_faults(walls, drafts)
    openings = openings_of(walls.openings, drafts, faults)
    if faults:
        raise JobError(*faults)
    ground_mm, assumed = _ground(walls, drafts, settings)
    unclad = unclad_lines(walls, roofs, tuple({draft.roof for draft in drafts}))
    return tuple(
        _elevation(draft, openings[draft.wall], walls, ground_mm, (*assumed, *unclad) if i == 0 else ())
        for i, draft in enumerate(drafts)
    )


def _twice(walls: WallsJob, drafts: list[Draft]) -> Iterator[str]:
    """Walls given by themselves under the name of a wall of the building."""
    names = {draft.id for draft in drafts if draft.roof}
    for n, job in enumerate(walls.elevations, start=1):
        if job.name in names:
            yield (
                f"walls.elevations[{n}].name: {job.name} is a wall of the building already; call it otherwise, or "
                f"leave it out."
            )


def _unbuildable(drafts: list[Draft]) -> Iterator[str]:
    for draft in drafts:
        if draft.width_mm > LONGEST_MM:
            yield f"{draft.id} is {draft.width_mm / 1000.0:.0f} m long; walls are {LONGEST_MM / 1000.0:.0f} m at most."
        if draft.height_mm <= draft.base_mm:
            yield f"{draft.id} ends at or below the foot of its cladding ({draft.base_mm:g}); give a greater height."


def _unknown_grounds(walls: WallsJob, drafts: list[Draft]) -> list[str]:
    known = {draft.wall for draft in drafts}
    return [
        f"walls.ground_by_wall[{n}]: there is no clad wall {n}; walls are {wall_list(known)}."
        for n in walls.ground_by_wall
        if n not in known and drafts
    ]


def _ground_faults(walls: WallsJob, drafts: list[Draft]) -> Iterator[str]:
    """Parts of the ground along walls that are none, or past their end."""
    widths = {draft.wall: draft.width_mm for draft in drafts}
    for n, part in enumerate(walls.grounds, start=1):
        where = f"walls.grounds[{n}]"
        if part.wall not in widths:
            if drafts:
                yield f"{where}.wall: there is no clad wall {part.wall}; walls are {wall_list(set(widths))}."
            continue
        over = part.from_left_mm + (part.width_mm or 0.0) - widths[part.wall]
        if over > TOLERANCES.same_point_mm:
            yield f"{where}: it ends {over:.0f} mm past the right end of wall {part.wall}; make it narrower."


def _grounds(walls: WallsJob, draft: Draft) -> tuple[GroundPart, ...]:
    return tuple(
        GroundPart(
            part.from_left_mm,
            draft.width_mm if part.width_mm is None else part.from_left_mm + part.width_mm,
            part.level_mm,
            part.kind,
        )
        for part in walls.grounds
        if part.wall == draft.wall
    )


def _elevation(
    draft: Draft,
    openings: tuple[Opening, ...],
    walls: WallsJob,
    ground_mm: float,
    findings: tuple[Finding, ...],
) -> Elevation:
    return Elevation(
        id=draft.id,
        wall=draft.wall,
        width_mm=draft.width_mm,
        height_mm=draft.height_mm,
        outline_xy=draft.outline,
        base_mm=draft.base_mm,
        openings=openings,
        left_corner=draft.left,
        right_corner=draft.right,
        ground_mm=walls.ground_by_wall.get(draft.wall, (ground_mm, ground_mm)),
        paved=walls.paved,
        bearing_deg=draft.bearing_deg,
        a_mm=draft.a_mm,
        b_mm=draft.b_mm,
        findings=(*draft.findings, *opening_findings(openings, draft), *findings),
        roof=draft.roof,
        floors_mm=draft.floors_mm,
        covered_xy=draft.covered,
        grounds=_grounds(walls, draft),
    )


def _ground(walls: WallsJob, drafts: list[Draft], settings: Settings) -> tuple[float, tuple[Finding, ...]]:
    """Ground along walls that name none of their own [mm], with a note where it is only assumed."""
    if walls.ground_mm is not None:
        return walls.ground_mm, ()
    below = settings.number("paved_below_floor_mm" if walls.paved else "ground_below_floor_mm")
    bare = tuple(draft.id for draft in drafts if draft.wall not in walls.ground_by_wall)
    finding = Finding(
        code="ground-assumed",
        severity=Severity.NOTE,
        text=f"No ground level is given for {', '.join(bare)}: taken {below:.0f} mm below the floor.",
        advice="Add to the walls of the job, with the ground of your site: `walls: {ground_mm: -300}`.",
        refs=bare,
    )
    return -below, (finding,) if bare else ()
