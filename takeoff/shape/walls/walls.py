"""Walls as elevations: one for each edge of a roof's wall line, or as the job gives them by themselves.

Every wall is seen from outside: x from its left end, y up from the finished floor. Cladding starts a floor lap below
the floor and ends at the soffit line or the frame height, whichever is lower; where no eave lies over the wall (gables,
high sides) it goes up to the roof.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, degrees

from takeoff.basics.errors import JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.edge_kinds import WALL_KINDS
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import ElevationJob, OpeningJob, WallsJob
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, Elevation, Opening
from takeoff.shape.walls.soffit_line import soffit_below_head, soffit_line, soffit_notes
from takeoff.shape.walls.wall_edges import WallEdge, run_beside, wall_edges
from takeoff.shape.walls.wall_tops import Top, lowest_between, raised, roof_over_wall, tidy

LONGEST_MM = 1_000_000.0  # as the job file's own lengths


@dataclass(frozen=True, slots=True)
class _Draft:
    """A wall before its openings: everything but those."""

    id: str
    wall: int
    width_mm: float
    height_mm: float
    top: Top
    left: Corner
    right: Corner
    bearing_deg: float
    a_mm: Point2
    b_mm: Point2
    findings: tuple[Finding, ...] = ()


def elevations(
    walls: WallsJob,
    roofs: tuple[Roof, ...],
    north_deg: float,
    settings: Settings,
    soffit_mm: float | None = None,
) -> tuple[Elevation, ...]:
    """The walls of a job as elevations, in the order of their numbers.

    Walls given as `elevations` stand by themselves; else there is one wall for each wall-line edge of the named or
    first roof, courtyards included, but for edges where that roof stops against another wall. Under a soffit they are
    clad to its line (`soffit_line`; `soffit_mm`: its height over the floor as the job gives it). Uses the settings
    floor_lap_mm (cladding laps the floor, E2/AS1 9.1.3.5), roof_depth_mm (underside of sheets down to the top of the
    cladding at gables, upright) and ground_below_floor_mm / paved_below_floor_mm where the job names no ground.
    Raises JobError with every fault found: walls that do not exist, raked tops that cannot be, openings outside their
    wall, over its raked top, or over each other.
    """
    base = -settings.number("floor_lap_mm")
    faults: list[str] = []
    if walls.elevations:
        drafts = [_given(n, job, base, faults) for n, job in enumerate(walls.elevations, start=1)]
    else:
        drafts = _on_wall_line(walls, roofs, north_deg, settings, soffit_mm, faults)
    faults += _unbuildable(drafts, base)
    faults += _unknown_grounds(walls, drafts)
    openings = _openings(walls.openings, drafts, base, faults)
    if faults:
        raise JobError(*faults)
    ground_mm, assumed = _ground(walls, drafts, settings)
    abutting = () if walls.elevations else _abutting(walls, roofs)
    return tuple(
        _elevation(
            draft,
            openings[draft.wall],
            walls,
            base,
            ground_mm,
            (*(assumed if i == 0 else ()), *(finding for wall, finding in abutting if wall == draft.wall)),
        )
        for i, draft in enumerate(drafts)
    )


def _given(number: int, job: ElevationJob, base: float, faults: list[str]) -> _Draft:
    """A wall of the job's `elevations`. Its raked top starts and ends at the frame height unless a point says else."""
    points: list[Point2] = [(float(x), float(y)) for x, y in job.top]
    where = f"walls.elevations[{number}].top"
    for i, (x, y) in enumerate(points, start=1):
        if not -TOLERANCES.same_point_mm <= x <= job.width_mm + TOLERANCES.same_point_mm:
            over = -x if x < 0 else x - job.width_mm
            faults.append(
                f"{where}[{i}]: x = {x:g} lies {over:.0f} mm outside {job.name}, which is {job.width_mm:g} wide; "
                f"give x from the left, 0 to {job.width_mm:g}."
            )
        if y <= base:
            faults.append(f"{where}[{i}]: y = {y:g} is below the foot of the cladding ({base:g}); raise the point.")
        if i > 1 and x < points[i - 2][0]:
            faults.append(f"{where}[{i}]: x = {x:g} goes back behind {points[i - 2][0]:g}; give points left to right.")
    if points and points[0][0] > TOLERANCES.same_point_mm:
        points.insert(0, (0.0, job.height_mm))
    if points and points[-1][0] < job.width_mm - TOLERANCES.same_point_mm:
        points.append((job.width_mm, job.height_mm))
    top = tidy(points or [(0.0, job.height_mm), (job.width_mm, job.height_mm)], job.width_mm)
    left, right = (Corner(kind, 180.0 if kind == "none" else 90.0) for kind in (job.left, job.right))
    return _Draft(job.name, number, job.width_mm, job.height_mm, top, left, right, 0.0, (0.0, 0.0), (job.width_mm, 0.0))


def _on_wall_line(
    walls: WallsJob,
    roofs: tuple[Roof, ...],
    north_deg: float,
    settings: Settings,
    soffit_mm: float | None,
    faults: list[str],
) -> list[_Draft]:
    roof = _roof_of(walls, roofs, faults)
    if walls.height_mm is None:
        faults.append("walls.height_mm: give the frame height, finished floor to the soffit line or plate [mm].")
    if roof is None or walls.height_mm is None:
        return []
    if not roof.wall_line_mm:
        faults.append(f"walls: roof {roof.name} has no wall line; give its wall_line, or the walls as elevations.")
    edges = [(edge, roof_over_wall(roof, edge)) for edge in wall_edges(roof) if edge.named != "wall"]
    frame = walls.height_mm
    lines = {edge.wall: soffit_line(roof, edge, over, soffit_mm, settings) for edge, over in edges}
    kept = _heads_over(walls.openings, lines, frame)
    ends = {wall: min(frame, line) for wall, line in lines.items() if line is not None and wall not in kept}
    notes = soffit_notes(((wall, frame, end) for wall, end in ends.items()), soffit_mm, settings)
    # a gable's courses go by the line of the eaves beside it
    beside = min(ends.values(), default=frame)
    drafts = [
        _draft(edge, over, ends.get(edge.wall, beside if edge.rises else frame), walls, north_deg, settings)
        for edge, over in edges
    ]
    drafts = [replace(draft, findings=(*draft.findings, *kept.get(draft.wall, ()))) for draft in drafts]
    return [replace(drafts[0], findings=(*drafts[0].findings, *notes)), *drafts[1:]] if drafts else []


def _heads_over(
    openings: list[OpeningJob], lines: dict[int, float | None], frame: float
) -> dict[int, tuple[Finding, ...]]:
    """Walls with an opening that reaches over their soffit line: they keep the frame height."""
    found: dict[int, tuple[Finding, ...]] = {}
    for i, job in enumerate(openings, start=1):
        line = lines.get(job.wall)
        head = job.sill_mm + job.height_mm
        if line is not None and line < frame and head > line + TOLERANCES.same_point_mm and job.wall not in found:
            found[job.wall] = (soffit_below_head(job.wall, _name(job, i), head, line),)
    return found


def _roof_of(walls: WallsJob, roofs: tuple[Roof, ...], faults: list[str]) -> Roof | None:
    if not roofs:
        faults.append("walls: there is no roof to take a wall line from; give the walls as elevations.")
        return None
    if walls.roof is None:
        return roofs[0]
    names = [roof.name for roof in roofs]
    if walls.roof in names:
        return roofs[names.index(walls.roof)]
    faults.append(f"walls.roof: there is no roof {walls.roof}{did_you_mean(walls.roof, names, '.')}")
    return None


def _draft(edge: WallEdge, over: Top, height: float, walls: WallsJob, north_deg: float, settings: Settings) -> _Draft:
    """A wall clad to `height` at its eave [mm]."""
    length = edge.length_mm
    level: Top = ((0.0, height), (length, height))
    findings: tuple[Finding, ...] = ()
    if not over and edge.rises and walls.gables:
        findings = (
            Finding(
                code="no-roof-over-wall",
                severity=Severity.WARN,
                text=f"No roof plane lies over wall {edge.wall}: it is clad to the frame height only.",
                advice="Give the wall by itself under elevations.",
                refs=(f"wall {edge.wall}",),
            ),
        )
    depth = settings.number("roof_depth_mm")
    rises = bool(over) and edge.rises and walls.gables
    top = raised(tuple((x, y - depth) for x, y in over), height) if rises else level
    frame = walls.height_mm or height
    if over and (least := min(y for _, y in over)) < frame - TOLERANCES.same_point_mm:
        findings = (_through_roof(edge.wall, frame, least), *findings)
    (ax, ay), (bx, by) = edge.left_mm, edge.right_mm
    # the house is on the left of a -> b, so outward is the way ahead turned right: (dy, -dx)
    bearing = (degrees(atan2(by - ay, -(bx - ax))) + north_deg) % 360.0
    return _Draft(
        f"wall {edge.wall}",
        edge.wall,
        length,
        height,
        top,
        edge.left_corner,
        edge.right_corner,
        bearing,
        edge.left_mm,
        edge.right_mm,
        findings,
    )


def _through_roof(wall: int, height: float, roof_mm: float) -> Finding:
    return Finding(
        code="wall-through-roof",
        severity=Severity.WARN,
        text=f"Wall {wall} is {height:.0f} mm high, but the roof over it lies at {roof_mm:.0f} mm: "
        f"{height - roof_mm:.0f} mm too low.",
        advice="Lower walls.height_mm or raise the roof's fascia_height_mm.",
        refs=(f"wall {wall}",),
    )


def _unbuildable(drafts: list[_Draft], base: float) -> Iterator[str]:
    for draft in drafts:
        if draft.width_mm > LONGEST_MM:
            yield f"{draft.id} is {draft.width_mm / 1000.0:.0f} m long; walls are {LONGEST_MM / 1000.0:.0f} m at most."
        if draft.height_mm <= base:
            yield f"{draft.id} ends at or below the foot of its cladding ({base:g}); give a greater height."


def _abutting(walls: WallsJob, roofs: tuple[Roof, ...]) -> tuple[tuple[int, Finding], ...]:
    """Walls that another roof stops against: their cladding is counted down to the foot, whatever the roof covers."""
    own = next((roof for roof in roofs if walls.roof in (None, roof.name)), None)
    found: list[tuple[int, Finding]] = []
    for edge in wall_edges(own) if own else ():
        for other in roofs:
            if own is None or other is own:
                continue
            shift = (other.origin_mm[0] - own.origin_mm[0], other.origin_mm[1] - own.origin_mm[1])
            metres = sum(run_beside(edge, run, shift) for run in other.edges if run.kind in WALL_KINDS) / 1000.0
            if metres > 0.0:
                text = (
                    f"Roof {other.name} stops against wall {edge.wall} over {metres:.2f} m: "
                    f"the cladding is counted behind and under it."
                )
                advice = f"Give the wall by itself under elevations if {other.name} closes a part of it."
                note = Finding("roof-against-wall", Severity.NOTE, text, advice, (f"wall {edge.wall}",))
                found.append((edge.wall, note))
    return tuple(found)


def _unknown_grounds(walls: WallsJob, drafts: list[_Draft]) -> list[str]:
    known = {draft.wall for draft in drafts}
    return [
        f"walls.ground_by_wall[{n}]: there is no clad wall {n}; walls are {_list(known)}."
        for n in walls.ground_by_wall
        if n not in known and drafts
    ]


def _list(numbers: set[int]) -> str:
    return ", ".join(str(n) for n in sorted(numbers))


def _openings(
    jobs: list[OpeningJob], drafts: list[_Draft], base: float, faults: list[str]
) -> dict[int, tuple[Opening, ...]]:
    """Openings by wall, left to right, all faults of all walls collected."""
    by_wall: dict[int, list[tuple[str, Opening]]] = {draft.wall: [] for draft in drafts}
    for i, job in enumerate(jobs, start=1):
        name = _name(job, i)
        opening = Opening(name, job.from_left_mm, job.sill_mm, job.width_mm, job.height_mm)
        where = f"walls.openings[{i}]: {name}"
        if job.wall in by_wall:
            by_wall[job.wall].append((where, opening))
        elif drafts:
            faults.append(f"{where} is on wall {job.wall}, which is not clad; walls are {_list(set(by_wall))}.")
    for draft in drafts:
        placed = by_wall[draft.wall]
        for where, opening in placed:
            faults += _outside(where, opening, draft, base)
        for i, (where, opening) in enumerate(placed):
            for _, other in placed[:i]:
                faults += _overlap(where, opening, other, draft.id)
    return {
        wall: tuple(sorted((opening for _, opening in placed), key=lambda o: (o.from_left_mm, o.sill_mm, o.name)))
        for wall, placed in by_wall.items()
    }


def _name(job: OpeningJob, number: int) -> str:
    return job.name or f"{'D' if job.sill_mm <= 0.0 else 'W'}{number}"


def _outside(where: str, opening: Opening, draft: _Draft, base: float) -> Iterator[str]:
    left, right = opening.from_left_mm, opening.from_left_mm + opening.width_mm
    slack = TOLERANCES.same_point_mm
    if right > draft.width_mm + slack:
        yield (
            f"{where} ends {right - draft.width_mm:.0f} mm past the right end of {draft.id}, which is "
            f"{draft.width_mm:.0f} wide; move it left or make it narrower."
        )
    if opening.head_mm <= base:
        yield f"{where} lies below the foot of the cladding of {draft.id} ({base:.0f}); raise its sill."
    if left >= draft.width_mm:
        return
    low = lowest_between(draft.top, left, min(right, draft.width_mm))
    if opening.head_mm > low + slack:
        raked = any(abs(y - draft.height_mm) > slack for _, y in draft.top)
        yield (
            f"{where} goes {opening.head_mm - low:.0f} mm through {'the raked top' if raked else 'the top'} of "
            f"{draft.id}, which is {low:.0f} high there; lower its head or move it."
        )


def _overlap(where: str, one: Opening, other: Opening, wall: str) -> Iterator[str]:
    across = min(one.from_left_mm + one.width_mm, other.from_left_mm + other.width_mm) - max(
        one.from_left_mm, other.from_left_mm
    )
    up = min(one.head_mm, other.head_mm) - max(one.sill_mm, other.sill_mm)
    if min(across, up) > TOLERANCES.same_point_mm:
        yield (
            f"{where} overlaps {other.name} on {wall} by {across:.0f} mm across and {up:.0f} mm up; "
            f"move one or make it smaller."
        )


def _elevation(
    draft: _Draft,
    openings: tuple[Opening, ...],
    walls: WallsJob,
    base: float,
    ground_mm: float,
    findings: tuple[Finding, ...],
) -> Elevation:
    outline: Ring2 = ((0.0, base), (draft.width_mm, base), *reversed(draft.top))
    return Elevation(
        id=draft.id,
        wall=draft.wall,
        width_mm=draft.width_mm,
        height_mm=draft.height_mm,
        outline_xy=outline,
        base_mm=base,
        openings=openings,
        left_corner=draft.left,
        right_corner=draft.right,
        ground_mm=walls.ground_by_wall.get(draft.wall, (ground_mm, ground_mm)),
        paved=walls.paved,
        bearing_deg=draft.bearing_deg,
        a_mm=draft.a_mm,
        b_mm=draft.b_mm,
        findings=(*draft.findings, *_low_sills(openings, draft, base), *findings),
    )


def _low_sills(openings: tuple[Opening, ...], draft: _Draft, base: float) -> Iterator[Finding]:
    """A warning for every opening that begins below the cladding."""
    for opening in openings:
        if opening.sill_mm < base - TOLERANCES.same_point_mm:
            yield Finding(
                code="sill-below-cladding",
                severity=Severity.WARN,
                text=f"{opening.name} on {draft.id} begins at {opening.sill_mm:g} mm, {base - opening.sill_mm:.0f} mm "
                f"below the foot of the cladding ({base:g}).",
                advice="Check its sill_mm, which is counted from the finished floor.",
                refs=(draft.id, opening.name),
            )


def _ground(walls: WallsJob, drafts: list[_Draft], settings: Settings) -> tuple[float, tuple[Finding, ...]]:
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
