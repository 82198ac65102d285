"""An outline (or a wall line with overhangs) and a rise per edge -> Roof.

    wall line --overhangs--> outline --solver--> faces --assemble--> planes, edges, nodes --closure--> Roof

Edges keep the numbers they were typed with, whichever way round the points run.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import atan2, cos, degrees, hypot, sin

from takeoff.basics.errors import Fault, ShapeError, faults_at
from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, newell, unit3
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Covering, Roof, UprightKind
from takeoff.model.settings import Settings
from takeoff.shape.faces.assemble import assemble
from takeoff.shape.faces.closure import closure_faults, input_rounding_mm
from takeoff.shape.faces.frames import normal_of, ring_area3
from takeoff.shape.faces.name_edges import level_findings
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Numbering, Plan
from takeoff.shape.outline.outline_checks import CheckedRings, check_rings
from takeoff.shape.outline.overhangs import Outline, move_out
from takeoff.shape.outline.recesses import Recess, bridge_recesses
from takeoff.shape.outline.rises import VERTICAL, EdgeRise, edge_rises, plate_heights, unreached_steps
from takeoff.shape.outline.short_edges import join_short_edges
from takeoff.shape.outline_order.put_in_order import OrderedRings, order_outlines
from takeoff.shape.outline_order.values import even_values
from takeoff.shape.skeleton.record import FASCIA_STEP, JOG_STEP, EdgeProfile, SkeletonFace, SkeletonNote
from takeoff.shape.skeleton.solve import solve

# wall plates further apart than this are worth a word: a packer, not a planing
_PLATE_MM = TOLERANCES.plate_mm
_SLIGHT_TURN_DEG = TOLERANCES.slight_turn_deg


@record
class _Side:
    """One side of the outline: its number, the unit vector into the roof, and how it rises."""

    number: int
    inward: Point2
    rise: EdgeRise
    jog: bool


def roof_from_outline(
    roof_job: RoofJob, north_deg: float, settings: Settings, first_plane: int = 1, ordered: OrderedRings | None = None
) -> Roof:
    """Raise the roof of a job's outline or wall line.

    `north_deg`: bearing of plan up, clockwise from north. `first_plane`: number of its first plane. `ordered`: its
    rings put in order with those of the job's other roofs; without it they are put in order by themselves. Uses the
    setting default_fascia_height_mm where the job gives no fascia height. Raises ShapeError naming edges and points,
    all faults of a level (points, then edges, then overhangs) at once.
    """
    if ordered is None:
        (roof_job,) = even_values((roof_job,))
        (ordered,) = order_outlines((roof_job,))
    typed = roof_job.wall_line if roof_job.wall_line is not None else roof_job.outline
    if typed is None or ordered is None:
        raise ShapeError(Fault(f"roof {roof_job.name}: give a wall_line or an outline", "roofs", roof_job.name))
    what = "wall line" if roof_job.wall_line is not None else "outline"
    checked, faults = check_rings(roof_job.name, what, ordered.rings)
    fascia_mm = roof_job.fascia_height_mm
    default_mm = settings.number("default_fascia_height_mm")
    rises, rise_faults = edge_rises(
        roof_job, sum(len(ring) for ring in checked.rings), default_mm if fascia_mm is None else fascia_mm
    )
    if faults or rise_faults:
        raise ShapeError(*faults, *rise_faults)
    outline, bridged = _outline(roof_job, checked, rises)
    names = [rises[number].name for number in sorted(rises)] + ["gable"] * len(outline.jogs)
    sides = _sides(outline, rises)
    faces, notes = _solve(roof_job.name, outline, sides)
    plan = Plan(
        name=roof_job.name,
        origin_mm=ordered.origin_mm,
        outline_mm=outline.rings,
        wall_line_mm=checked.rings if roof_job.wall_line is not None else (),
        edge_numbers=outline.numbers,
        edge_names=tuple(names),
        findings=(
            *ordered.findings,
            *checked.findings,
            *_height_findings(roof_job, rises, default_mm),
            *_slight_turns(roof_job.name, checked),
            *bridged,
            *unreached_steps(roof_job.name, rises, faces),
            *(_finding(roof_job.name, note, sides) for note in notes),
        ),
    )
    faces, joined = join_short_edges(faces, OutlineSides(plan), TOLERANCES.shortest_edge_mm)
    straight_mm = TOLERANCES.shortest_edge_mm if joined else TOLERANCES.same_length_mm
    numbering = Numbering(planes=first_plane - 1)
    roof = assemble(faces, plan, north_deg, numbering, straight_mm=straight_mm, put_upright=joined > 0)
    off_plane_mm = TOLERANCES.shortest_edge_mm if joined else 0.0
    open_faults = closure_faults(roof, input_rounding_mm(typed, *roof_job.courtyards), off_plane_mm)
    if open_faults:
        raise ShapeError(*faults_at(open_faults, "roofs", roof_job.name))
    more = (*_joined_findings(roof_job.name, joined), *level_findings(roof))
    return replace(roof, findings=(*roof.findings, *more))


def _outline(job: RoofJob, checked: CheckedRings, rises: Mapping[int, EdgeRise]) -> tuple[Outline, tuple[Finding, ...]]:
    """The outline, moved out from the wall line where that is what was typed, and the recesses it goes across."""
    if job.wall_line is None:
        return Outline(checked.rings, checked.numbers(), {}), ()
    overhangs = {number: rise.overhang_mm for number, rise in rises.items()}
    bridged = bridge_recesses(checked.rings, checked.numbers(), overhangs)
    outline, swallowed = move_out(bridged.rings, bridged.numbers, overhangs)
    faults: list[str] = [_of_roof(job.name, fault) for fault in swallowed]
    if not faults:
        _, crossed = check_rings(job.name, "outline with its overhangs", outline.rings)
        faults += crossed
    if faults:
        raise ShapeError(*faults)
    return outline, tuple(_recess_finding(job.name, recess) for recess in bridged.recesses)


def _recess_finding(name: str, recess: Recess) -> Finding:
    first, _, last = recess.edges
    return Finding(
        "recess-roofed-over",
        Severity.WARN,
        f"roof {name}: the recess of edges {first} to {last}, {recess.width_mm:.0f} mm wide and "
        f"{recess.depth_mm:.0f} mm deep, is no wider than the overhangs of its two sides together "
        f"({recess.overhangs_mm:.0f} mm): the roof goes straight across it",
        "if it is to stay open, give its sides less overhang, or the outline itself",
        refs=tuple(f"edge {edge}" for edge in recess.edges),
    )


def _sides(outline: Outline, rises: Mapping[int, EdgeRise]) -> list[_Side]:
    """All sides in the solver's order: along the outline, then along each courtyard."""
    sides = []
    for hole, (ring, numbers) in enumerate(zip(outline.rings, outline.numbers, strict=True)):
        left = (signed_area(ring) > 0) != (hole > 0)
        for i, number in enumerate(numbers):
            (ax, ay), (bx, by) = ring[i], ring[(i + 1) % len(ring)]
            length = hypot(bx - ax, by - ay)
            inward = (-(by - ay) / length, (bx - ax) / length) if left else ((by - ay) / length, -(bx - ax) / length)
            jog = number in outline.jogs
            rise = _jog_rise(outline, number, rises) if jog else rises[number]
            sides.append(_Side(number, inward, rise, jog))
    return sides


def _jog_rise(outline: Outline, number: int, rises: Mapping[int, EdgeRise]) -> EdgeRise:
    """A jog stands upright from the lower of its neighbours' fascias."""
    fascia_mm = min(rises[edge].fascia_mm for edge in outline.jogs[number])
    return EdgeRise("gable", fascia_mm, 0.0, EdgeProfile(fascia_mm, (VERTICAL,)))


def _solve(name: str, outline: Outline, sides: Sequence[_Side]) -> tuple[list[Face], Sequence[SkeletonNote]]:
    try:
        skeleton = solve(outline.rings, [side.rise.profile for side in sides])
    except ShapeError as err:
        faults = [_of_roof(name, _as_typed(fault, outline, sides)) for fault in err.faults]
        if outline.jogs:
            where = ", ".join(f"between edges {a} and {b}" for a, b in outline.jogs.values())
            text = f"edges are counted round the outline here, with its jogs {where}"
            faults.append(_of_roof(name, text))
        raise ShapeError(*faults) from None
    return [_face(face, sides[face.edge]) for face in skeleton.faces], skeleton.notes


def _of_roof(name: str, fault: str) -> Fault:
    """A fault of one roof, which it names and is placed at."""
    text = fault if fault.startswith("roof ") else f"roof {name}: {fault}"
    return Fault(text, "roofs", name, *(fault.path if isinstance(fault, Fault) else ()))


def _as_typed(fault: str, outline: Outline, sides: Sequence[_Side]) -> str:
    """A fault of the solver at the edge that was typed: its own edges go round the outline with the jogs in it."""
    if not isinstance(fault, Fault):
        return fault
    number = sides[int(fault.path[-1]) - 1].number
    return Fault(fault, "edge", outline.jogs[number][0] if number in outline.jogs else number)


def _face(face: SkeletonFace, side: _Side) -> Face:
    if face.upright:
        return _upright_face(face, side)
    step = side.rise.profile.steps[max(face.step, 0)]
    pitch_deg = step.pitch_deg or 0.0
    return Face(
        rings_mm=face.rings,
        normal=normal_of(side.inward, pitch_deg),
        outline_edges=(side.number,),
        step=face.step,
        pitch_deg=pitch_deg,
        covering=Covering.OTHER if pitch_deg == 0.0 else Covering.SHEETS,
        fascia_mm=side.rise.fascia_mm,
    )


def _upright_face(face: SkeletonFace, side: _Side) -> Face:
    """An upright face, turned so that it runs counter-clockwise seen from outside."""
    if face.step == JOG_STEP:
        x, y, _ = newell(face.rings[0])
        return Face(face.rings, unit3((x, y, 0.0)), (), face.step, UprightKind.STEP, fascia_mm=side.rise.fascia_mm)
    normal = (-side.inward[0], -side.inward[1], 0.0)
    outward = ring_area3(face.rings[0], normal) > 0
    return Face(
        rings_mm=face.rings if outward else tuple(tuple(reversed(ring)) for ring in face.rings),
        normal=normal,
        outline_edges=(side.number,),
        step=face.step,
        upright=_upright_kind(face.step, side),
        fascia_mm=side.rise.fascia_mm,
    )


def _upright_kind(step: int, side: _Side) -> UprightKind:
    if side.rise.name == "wall":
        return UprightKind.ABUTTING
    # the last step upright is a gablet
    gable = step in (0, FASCIA_STEP, len(side.rise.profile.steps) - 1) and not side.jog
    return UprightKind.GABLE if gable else UprightKind.STEP


def _joined_findings(name: str, joined: int) -> list[Finding]:
    if not joined:
        return []
    text = (
        f"roof {name}: {joined} corner{'s' if joined > 1 else ''} within {TOLERANCES.shortest_edge_mm:g} mm of another "
        "were made one with it"
    )
    return [Finding("corners-joined", Severity.FIXED, text, "the drawing is rounded; set it out to whole figures")]


def _finding(name: str, note: SkeletonNote, sides: Sequence[_Side]) -> Finding:
    refs = tuple(f"edge {sides[edge].number}" for edge in note.edges if edge < len(sides))
    return Finding(note.kind, Severity.NOTE, f"roof {name}: {note.text}", refs=refs)


def _height_findings(job: RoofJob, rises: Mapping[int, EdgeRise], default_mm: float) -> list[Finding]:
    findings = []
    if job.fascia_height_mm is None:
        findings.append(
            Finding(
                "fascia-height-taken",
                Severity.NOTE,
                f"roof {job.name}: no fascia height given; {default_mm:.0f} mm over the floor was taken",
                "Add under the roof, since downpipes, walls and gables are measured from it: `fascia_height_mm: 2700`.",
            )
        )
    plates = plate_heights(rises) if job.wall_line is not None else {}
    if plates and max(plates.values()) - min(plates.values()) > _PLATE_MM:
        low, high = min(plates, key=lambda n: (plates[n], n)), max(plates, key=lambda n: (plates[n], -n))
        findings.append(
            Finding(
                "wall-plates-unequal",
                Severity.WARN,
                f"roof {job.name}: the roof stands {plates[low]:.0f} mm over the floor at wall {low} but "
                f"{plates[high]:.0f} mm at wall {high}: the wall plates are not level with each other",
                "pitches or overhangs differ; give fascia heights by edge, or overhangs that bring the plates level",
                refs=tuple(f"edge {n}" for n in sorted(plates)),
            )
        )
    return findings


def _slight_turns(name: str, checked: CheckedRings) -> list[Finding]:
    """Corners that turn by less than a degree and are not straight: probably one wall drawn crooked."""
    findings = []
    for ring, numbers in zip(checked.rings, checked.numbers(), strict=True):
        for i, number in enumerate(numbers):
            turn = _turn_deg(ring, i)
            if 1e-6 < abs(turn) < _SLIGHT_TURN_DEG:
                text = f"roof {name}: edges {numbers[i - 1]} and {number} turn by {abs(turn):.3f} degrees only"
                advice = f"if the wall is straight there, put point {i + 1} on the line or take it out"
                refs = (f"edge {numbers[i - 1]}", f"edge {number}")
                findings.append(Finding("corner-nearly-straight", Severity.NOTE, text, advice, refs))
    return findings


def _turn_deg(ring: Ring2, i: int) -> float:
    (ax, ay), (bx, by), (cx, cy) = ring[i - 1], ring[i], ring[(i + 1) % len(ring)]
    one = atan2(by - ay, bx - ax)
    turn = atan2(cy - by, cx - bx) - one
    return degrees(atan2(sin(turn), cos(turn)))
