"""Several roofs of one job made one house.

A lower roof (verandah, porch, lean-to) is cut at the wall line of the higher roof it stands against, never at its
fascia: under the eave it stays whole. The cut line is an apron. What is cut away is declared, so that each roof still
closes: its planes and what was cut away make up its outline.

      higher roof  ____
                 _/    \\_
                /        \\__ fascia
                  | wall
                  |____
                  |    ----____  lower roof, whole under the eave
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum
from typing import TYPE_CHECKING

from takeoff.basics.errors import Fault, ShapeError, faults_at
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2, dot3, sub3
from takeoff.model.edge_kinds import LEVEL_FREE_KINDS
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof, UprightKind
from takeoff.shape.faces.assemble import assemble
from takeoff.shape.faces.closure import closure_faults
from takeoff.shape.faces.edge_runs import off_line
from takeoff.shape.faces.frames import UP, is_level_plane, plan_bearing_deg, ring_area3
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Numbering, Plan
from takeoff.shape.outline.short_edges import join_short_edges
from takeoff.shape.together.covered import with_cover
from takeoff.shape.together.crossing import cross_roofs
from takeoff.shape.together.far_walls import far_wall_edges
from takeoff.shape.together.numbering import number_on, rename
from takeoff.shape.together.overlay import (
    WELD_MM,
    Piece,
    common,
    faces_of,
    moved,
    overlaps,
    pieces_inside,
    pieces_outside,
    plan_polygon,
    shared_corners,
    uprights_outside,
    wall_faces,
)

if TYPE_CHECKING:
    from shapely.geometry import Polygon

_TOUCH_MM = TOLERANCES.touch_mm
_LEAST_WALL_MM = TOLERANCES.drawn_wall_mm
_CLEAR_MM = TOLERANCES.clear_under_mm
_AWAY = "cut away"
_WALL_SIDES = 1_000_000  # numbers of a wall line's sides beside those of an outline


def combine_roofs(roofs: tuple[Roof, ...], jobs: tuple[RoofJob, ...]) -> tuple[Roof, ...]:
    """The roofs of a job in typed order, lower ones cut at the walls of the roofs they stand below, ids unique over the
    job, and what of each lies under a higher one marked on its planes.

    A roof that says `below: name` is cut at that roof's wall line, and so is one that lies below another throughout.
    Roofs that cross without saying so meet in valleys, roofs with a level edge in one line meet there in a ridge, an
    internal gutter or a pitch change (see crossing). Raises ShapeError, naming the roofs, where a
    higher roof has no wall line to cut at, and where a crossing does not close.
    """
    faults: list[str] = []
    cut: list[Roof] = []
    for number in range(len(roofs)):
        try:
            cut.append(_cut_below(number, roofs, jobs))
        except ShapeError as err:
            faults += err.faults
    if faults:
        raise ShapeError(*faults)
    groups = [[i] for i in range(len(roofs))]
    for members in _crossing_groups(roofs, jobs):
        origin = cut[members[0]].origin_mm
        crossed = cross_roofs([moved(cut[i], origin) for i in members], _north_deg(cut[members[0]]))
        for i, roof in zip(members, crossed, strict=True):
            cut[i] = roof
        groups = [[*members] if i == members[0] else [] if i in members else g for i, g in enumerate(groups)]
    return with_cover(_numbered(cut, groups))


def _numbered(roofs: Sequence[Roof], groups: Sequence[Sequence[int]]) -> tuple[Roof, ...]:
    """Roofs numbered on in typed order; an edge or node that roofs of one group share keeps one id."""
    names: dict[int, dict[str, str]] = {}
    for members in groups:
        shared: dict[str, str] = {}
        names.update(dict.fromkeys(members, shared))
    numbering = Numbering()
    for i, roof in enumerate(roofs):
        numbering = number_on(roof, numbering, names[i])
    return tuple(rename(roof, names[i]) for i, roof in enumerate(roofs))


def _cut_below(number: int, roofs: Sequence[Roof], jobs: Sequence[RoofJob]) -> Roof:
    """A roof cut at the walls of every roof it lies below: those it names, and those wholly over it."""
    roof = found = roofs[number]
    for other, other_job in zip(roofs, jobs, strict=True):
        if other is roof or other_job.below == roof.name:
            continue
        named = jobs[number].below == other.name
        if _boxes_meet(roof, other) and (named or _standing(roof, other) is _Standing.BELOW):
            found = cut_at_wall(found, other)
        if named:
            found = replace(found, findings=(*found.findings, *far_wall_edges(roof, other)))
    return found


class _Standing(Enum):
    """How a roof stands to another one."""

    APART = "apart, or above it"
    BELOW = "below it wherever they overlap"
    CROSSING = "partly above it"


def _standing(roof: Roof, other: Roof) -> _Standing:
    gaps = [gap for gap, _ in overlaps(roof.planes, moved(other, roof.origin_mm).planes, None, _TOUCH_MM)]
    if max(gaps, default=0.0) <= _TOUCH_MM:
        return _Standing.APART
    return _Standing.BELOW if min(gaps) >= -_TOUCH_MM else _Standing.CROSSING


def _meet_in_line(one: Roof, other: Roof) -> bool:
    """Whether free level edges of two roofs lie on each other: eaves of a butterfly roof, heads that make a ridge."""
    shift = [b - a for a, b in zip(one.origin_mm, other.origin_mm, strict=True)]
    for mine in (edge for edge in one.edges if edge.kind in LEVEL_FREE_KINDS):
        for theirs in (edge for edge in other.edges if edge.kind in LEVEL_FREE_KINDS):
            ends = [(p[0] + shift[0], p[1] + shift[1], p[2] + shift[2]) for p in (theirs.a_mm, theirs.b_mm)]
            if max(off_line(end, mine.a_mm, mine.b_mm) for end in ends) > WELD_MM:
                continue
            line = sub3(mine.b_mm, mine.a_mm)
            along = sorted(dot3(sub3(end, mine.a_mm), line) / mine.length_mm for end in ends)
            if min(along[1], mine.length_mm) - max(along[0], 0.0) > _TOUCH_MM:
                return True
    return False


def _boxes_meet(one: Roof, other: Roof, least_mm: float = _TOUCH_MM) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = (_box(roof) for roof in (one, other))
    return min(ax1, bx1) - max(ax0, bx0) > least_mm and min(ay1, by1) - max(ay0, by0) > least_mm


def _box(roof: Roof) -> tuple[float, float, float, float]:
    x0, y0, _ = roof.origin_mm
    xs = [x + x0 for x, _ in roof.outline_mm[0]]
    ys = [y + y0 for _, y in roof.outline_mm[0]]
    return min(xs), min(ys), max(xs), max(ys)


def _crossing_groups(roofs: Sequence[Roof], jobs: Sequence[RoofJob]) -> list[list[int]]:
    """Numbers of roofs that cross or meet in a level line, in one list those that hang together.

    Roofs cut at a wall do not cross there.
    """
    group = list(range(len(roofs)))
    for i in range(len(roofs)):
        for j in range(i):
            named = roofs[i].name == jobs[j].below or roofs[j].name == jobs[i].below
            if named or not _boxes_meet(roofs[i], roofs[j], -_TOUCH_MM):
                continue
            if _meet_in_line(roofs[i], roofs[j]) or _standing(roofs[j], roofs[i]) is _Standing.CROSSING:
                old, new = group[i], group[j]
                group = [new if g == old else g for g in group]
    found = [[i for i, g in enumerate(group) if g == first] for first in dict.fromkeys(group)]
    return [members for members in found if len(members) > 1]


def cut_at_wall(lower: Roof, higher: Roof) -> Roof:
    """The lower roof without what lies inside the higher roof's wall line; the cut edges are aprons.

    Raises ShapeError where the higher roof has no wall line to cut at, or nothing of the lower roof is left.
    """
    higher = moved(higher, lower.origin_mm)
    outline = plan_polygon(lower.outline_mm)
    if not higher.wall_line_mm:
        if common(outline, plan_polygon(higher.outline_mm)).area <= _TOUCH_MM * outline.length:
            return lower
        text = f"roof {lower.name} stands below roof {higher.name}, which has no wall line to cut it at; give roof "
        raise ShapeError(
            Fault(f"{text}{higher.name} a wall_line with overhangs instead of an outline", "roofs", lower.name, "below")
        )
    house = plan_polygon(higher.wall_line_mm)
    inside = pieces_inside(lower.planes, house, _TOUCH_MM)
    findings = _too_near(lower, higher, house)
    if not inside:
        return replace(lower, findings=(*lower.findings, *findings))
    pieces = pieces_outside(lower.planes, house)
    if not pieces:
        text = f"roof {lower.name} lies wholly inside the walls of roof {higher.name}; nothing of it is left"
        raise ShapeError(Fault(text, "roofs", lower.name))
    fixed = [node.at_mm for node in lower.nodes]
    planes, away, joined = _cut_faces(lower, pieces, inside, higher.wall_line_mm)
    walls = wall_faces(planes, house.boundary, higher, UprightKind.ABUTTING, _LEAST_WALL_MM)
    faces = shared_corners([*planes, *uprights_outside(lower, house), *walls], fixed)
    plan = Plan(
        name=lower.name,
        origin_mm=lower.origin_mm,
        outline_mm=lower.outline_mm,
        wall_line_mm=lower.wall_line_mm,
        edge_numbers=lower.edge_numbers,
        edge_names=lower.edge_names,
        cut_away_mm2=lower.cut_away_mm2 + sum(ring_area3(ring, UP) for face in away for ring in face.rings_mm),
        findings=(*lower.findings, *findings, *_joined_finding(lower, higher, joined)),
    )
    slack_mm = TOLERANCES.shortest_edge_mm if joined else 0.0
    straight_mm = max(slack_mm, TOLERANCES.same_length_mm)
    roof = assemble(faces, plan, _north_deg(lower), straight_mm=straight_mm, put_upright=joined)
    faults = closure_faults(roof, rounding_mm=1e-4, off_plane_mm=slack_mm)
    if faults:
        raise ShapeError(*faults_at(faults, "roofs", lower.name))
    return replace(roof, closed=lower.closed, partial=lower.partial)


def _joined_finding(lower: Roof, higher: Roof, joined: bool) -> list[Finding]:
    if not joined:
        return []
    text = (
        f"roof {lower.name}: corners within {TOLERANCES.shortest_edge_mm:g} mm of where the walls of roof "
        f"{higher.name} cut it were made one with them"
    )
    return [Finding("corners-joined", Severity.FIXED, text, "the drawing is rounded; set it out to whole figures")]


def _cut_faces(
    lower: Roof, left: Sequence[Piece], away: Sequence[Piece], walls: Sequence[Ring2]
) -> tuple[list[Face], list[Face], bool]:
    """What is left of a roof's planes and what is cut away as faces that share their corners, and whether corners were
    joined: a hip that misses the corner of a wall by less than the shortest edge ends in it."""
    fixed = [node.at_mm for node in lower.nodes]
    cut = [replace(face, roof=_AWAY) for face in faces_of(away)]
    faces = shared_corners([*faces_of(left), *cut], fixed)
    numbers: list[tuple[int, ...]] = []
    for ring in walls:
        first = _WALL_SIDES + sum(len(before) for before in numbers)
        numbers.append(tuple(range(first, first + len(ring))))
    rings = (*lower.outline_mm, *walls)
    sides = OutlineSides(Plan(lower.name, lower.origin_mm, rings, edge_numbers=(*lower.edge_numbers, *numbers)))
    standing = uprights_outside(lower, plan_polygon(walls))
    both, joined = join_short_edges([*faces, *standing], sides, TOLERANCES.shortest_edge_mm)
    both = [face for face in both if face.upright is None]
    return [f for f in both if f.roof != _AWAY], [f for f in both if f.roof == _AWAY], joined > 0


def _north_deg(roof: Roof) -> float:
    """Bearing of plan up, read back from a plane that slopes."""
    for plane in roof.planes:
        if not is_level_plane(plane.frame.n):
            return (plane.bearing_deg - plan_bearing_deg(plane.frame.n)) % 360.0
    return 0.0


def _too_near(lower: Roof, higher: Roof, house: Polygon) -> list[Finding]:
    """A finding where the lower roof, outside the wall, comes too near to the roof over it: a stop where it runs into
    it, which nobody can build."""
    near = overlaps(lower.planes, higher.planes, house, _TOUCH_MM)
    if not near:
        return []
    gap, (x, y) = min(near)
    if gap >= _CLEAR_MM:
        return []
    text = (
        f"roof {lower.name} comes within {gap:.0f} mm of the eave of roof {higher.name} at ({round(x)}, {round(y)})"
        if gap > 0
        else f"roof {lower.name} runs {-gap:.0f} mm into the eave of roof {higher.name} at ({round(x)}, {round(y)})"
    )
    return [
        Finding(
            "eave-in-the-way",
            Severity.STOP if gap <= _TOUCH_MM else Severity.WARN,
            text,
            "lower its fascia, flatten its pitch, or raise the higher roof's",
            refs=(lower.name, higher.name),
            at_mm=(x, y, 0.0),
        )
    ]
