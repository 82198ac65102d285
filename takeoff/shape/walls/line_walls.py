"""The walls on one wall line, each as a draft: how high it is clad, where it begins, what of it lower roofs cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, degrees

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import WALL_KINDS, EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import OpeningJob, WallsJob
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner
from takeoff.shape.walls.covered_parts import CoverRule, area_left, cover_over, covered_parts
from takeoff.shape.walls.lower_roofs import roofs_beside, shift_between
from takeoff.shape.walls.soffit_line import bare_under_soffit, soffit_below_head, soffit_line, soffit_notes
from takeoff.shape.walls.wall_draft import Draft
from takeoff.shape.walls.wall_edges import WallEdge, run_beside, wall_edges
from takeoff.shape.walls.wall_lines import WallLine
from takeoff.shape.walls.wall_openings import opening_name
from takeoff.shape.walls.wall_tops import Top, raised, roof_over_wall


def line_walls(
    line: WallLine,
    lines: Sequence[WallLine],
    walls: WallsJob,
    roofs: Sequence[Roof],
    north_deg: float,
    settings: Settings,
    soffit_mm: float | None,
) -> list[Draft]:
    """The walls of a line in the order of their numbers, edges against another wall and walls with nothing outside left
    out. `lines`: all that are clad; `soffit_mm`: the height of the first line's soffit as the job gives it."""
    roof, frame = line.roof, line.frame_mm
    every = tuple(replace(edge, wall=edge.wall + line.before) for edge in wall_edges(roof))
    edges = [(_between_walls(edge, every), roof_over_wall(roof, edge)) for edge in every if edge.named != "wall"]
    given = soffit_mm if line is lines[0] else None
    ends_at = {edge.wall: soffit_line(roof, edge, over, given, settings) for edge, over in edges}
    kept = _heads_over(walls.openings, ends_at, line)
    ends = {wall: min(frame, end) for wall, end in ends_at.items() if end is not None and wall not in kept}
    # a gable's courses go by the line of the eaves beside it
    beside = min(ends.values(), default=frame)
    drafts = [
        _draft(edge, over, ends.get(edge.wall, beside if edge.rises else frame), line, walls, north_deg, settings)
        for edge, over in edges
    ]
    drafts = [replace(draft, findings=(*draft.findings, *kept.get(draft.wall, ()))) for draft in drafts]
    rule = _cover_rule(lines, walls, settings)
    clad = [_outside(draft, edge, line, roofs, rule) for draft, (edge, _) in zip(drafts, edges, strict=True)]
    found = [_in_place(draft, lines[0].roof, roof) for draft in clad if draft is not None]
    numbers = {draft.wall for draft in found}
    notes = soffit_notes(((wall, frame, end) for wall, end in ends.items() if wall in numbers), given, settings)
    highs = [(wall, end) for wall, end in ends_at.items() if end is not None and wall in numbers and wall not in kept]
    notes = (*notes, *bare_under_soffit(highs, frame, settings))
    return [replace(found[0], findings=(*found[0].findings, *notes)), *found[1:]] if found else []


def _between_walls(edge: WallEdge, every: Sequence[WallEdge]) -> WallEdge:
    """A wall whose end stands against another building's wall has an inside corner there: that wall goes on."""
    against = [other for other in every if other.named == "wall"]
    left, right = edge.left_corner, edge.right_corner
    if any(other.right_mm == edge.left_mm for other in against):
        left = _turned(left)
    if any(other.left_mm == edge.right_mm for other in against):
        right = _turned(right)
    return replace(edge, left_corner=left, right_corner=right)


def _turned(corner: Corner) -> Corner:
    return Corner("internal", 180.0 - corner.angle_deg) if corner.kind == "external" else corner


def _in_place(draft: Draft, first: Roof, roof: Roof) -> Draft:
    """A wall with its ends in the coordinates of the first clad roof."""
    dx, dy = shift_between(roof, first)
    (ax, ay), (bx, by) = draft.a_mm, draft.b_mm
    return draft if roof is first else replace(draft, a_mm=(ax + dx, ay + dy), b_mm=(bx + dx, by + dy))


def _cover_rule(lines: Sequence[WallLine], walls: WallsJob, settings: Settings) -> CoverRule:
    lap, drop = settings.number("floor_lap_mm"), settings.number("soffit_drop_mm")
    cavity = settings.number("cavity_mm") if walls.cavity_mm is None else walls.cavity_mm
    soffits: dict[str, float] = {}
    if settings.word("soffit") == "level":
        for line in lines:
            eaves = [min(e.a_mm[2], e.b_mm[2]) for e in line.roof.own_edges if e.kind is EdgeKind.EAVE]
            soffits |= {line.roof.name: min(eaves) - drop} if eaves else {}
    return CoverRule(
        over=cover_over(settings),
        under=settings.number("roof_depth_mm"),
        past=cavity + settings.number("board_thickness_mm"),
        floors={line.roof.name: line.floors_mm[0] - lap for line in lines if line.floors_mm[0] > 0.0},
        soffits=soffits,
    )


def _outside(draft: Draft, edge: WallEdge, line: WallLine, roofs: Sequence[Roof], rule: CoverRule) -> Draft | None:
    """A wall with what lower roofs cover of it taken off; None where nothing of it is outside."""
    beside = roofs_beside(edge, line.roof, roofs)
    covered = covered_parts(draft.outline, beside, rule)
    if covered and area_left(draft.outline, covered) < TOLERANCES.least_area_mm2 * draft.width_mm / 10.0:
        return None
    return replace(draft, covered=covered, findings=(*draft.findings, *_against(edge, line.roof, roofs, rule)))


def _against(edge: WallEdge, own: Roof, roofs: Sequence[Roof], rule: CoverRule) -> tuple[Finding, ...]:
    """Roofs that stop against a wall: what is clad there."""
    found: list[Finding] = []
    for other in roofs:
        if other is own:
            continue
        shift = shift_between(other, own)
        metres = sum(run_beside(edge, run, shift) for run in other.edges if run.kind in WALL_KINDS) / 1000.0
        if metres <= 0.0:
            continue
        below = "nothing below it, which its own walls close" if other.wall_line_mm else "and on below that roof"
        found.append(
            Finding(
                "roof-against-wall",
                Severity.NOTE,
                f"Roof {other.name} stops against wall {edge.wall} over {metres:.2f} m: the cladding starts "
                f"{rule.over:.0f} mm over the underside of its sheets, {below}.",
                "" if other.wall_line_mm else f"Give {other.name} a wall_line if walls close the space below it.",
                (f"wall {edge.wall}",),
            )
        )
    return tuple(found)


def _heads_over(
    openings: list[OpeningJob], lines: dict[int, float | None], of: WallLine
) -> dict[int, tuple[Finding, ...]]:
    """Walls with an opening that reaches over their soffit line: they keep the frame height."""
    found: dict[int, tuple[Finding, ...]] = {}
    for i, job in enumerate(openings, start=1):
        line = lines.get(job.wall)
        floor = of.floors_mm[min(job.storey, len(of.floors_mm)) - 1] if job.storey else 0.0
        head = floor + job.sill_mm + job.height_mm
        if line is not None and line < of.frame_mm and head > line + TOLERANCES.same_point_mm and job.wall not in found:
            found[job.wall] = (soffit_below_head(job.wall, opening_name(job, i), head, line),)
    return found


def _draft(
    edge: WallEdge, over: Top, height: float, line: WallLine, walls: WallsJob, north_deg: float, settings: Settings
) -> Draft:
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
    frame = line.frame_mm
    if over and (least := min(y for _, y in over)) < frame - TOLERANCES.same_point_mm:
        findings = (_through_roof(edge.wall, frame, least), *findings)
    (ax, ay), (bx, by) = edge.left_mm, edge.right_mm
    # the house is on the left of a -> b, so outward is the way ahead turned right: (dy, -dx)
    bearing = (degrees(atan2(by - ay, -(bx - ax))) + north_deg) % 360.0
    return Draft(
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
        line.floors_mm[0] - settings.number("floor_lap_mm"),
        findings,
        line.roof.name,
        line.floors_mm,
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
