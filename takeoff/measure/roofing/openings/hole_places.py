"""Holes of a roof found on its planes from their points on the plan, and on the sheets that carry them."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import cos, radians

from takeoff.basics.errors import Fault
from takeoff.basics.polygons import clip_half_plane, signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import PenetrationJob, RoofJob
from takeoff.model.openings import Hole, HoleInSheet
from takeoff.model.roof import Covering, Frame, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets
from takeoff.shape.strips.plane_lines import edges_on, is_inside, spans_at

_BESIDE_MM = TOLERANCES.beside_mm


@record
class FoundHoles:
    """The holes of a roof, faults of the job in sentences, and findings."""

    holes: tuple[Hole, ...]
    faults: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def find_holes(roof: Roof, roof_job: RoofJob, settings: Settings, first_number: int = 1) -> FoundHoles:
    """The holes of one roof, X1 on from `first_number`, each on the plane under its point of the plan.

    A hole outside every plane, over an edge of its plane or over another hole is a fault; all are given at once. An
    upright round pipe makes a hole diameter / cos(pitch) long up the slope.
    """
    holes: list[Hole] = []
    faults: list[str] = []
    findings: list[Finding] = []
    for number, given in enumerate(roof_job.penetrations, start=1):
        words = f"roof {roof.name}: penetration {number}" + (f" ({given.name})" if given.name else "")
        at = (given.at[0] - roof.origin_mm[0], given.at[1] - roof.origin_mm[1])
        plane = plane_under(roof, at)
        if plane is None:
            text = f"{words}: {given.at[0]:g}, {given.at[1]:g} lies on no plane of the roof"
            faults.append(Fault(text, "roofs", roof.name, "penetrations", number - 1))
            continue
        hole = _hole(f"X{first_number + number - 1}", given, plane, plan_to_plane(plane.frame, at), settings)
        if plane.covering is not Covering.SHEETS:
            findings.append(_not_sheeted(hole))
            continue
        crossed = _edges_crossed(roof, plane, hole)
        if crossed:
            text = f"{words}: its hole crosses {crossed} of {plane.id}"
            faults.append(Fault(text, "roofs", roof.name, "penetrations", number - 1))
            continue
        holes.append(hole)
        findings += [*_near_edge(plane, hole, settings), *_cautions(hole, settings)]
    for a, b in combinations(holes, 2):
        if a.plane == b.plane and _overlap(a, b):
            text = f"roof {roof.name}: penetrations {a.name} and {b.name} overlap on {a.plane}"
            faults.append(Fault(text, "roofs", roof.name, "penetrations"))
    return FoundHoles(tuple(holes), tuple(faults), tuple(findings))


def plan_to_plane(frame: Frame, at: Point2) -> Point2:
    """The point (u, v) of a sloping plane over or under a point of the plan [mm]."""
    x, y = at[0] - frame.origin_mm[0], at[1] - frame.origin_mm[1]
    det = frame.u[0] * frame.v[1] - frame.u[1] * frame.v[0]
    return ((x * frame.v[1] - y * frame.v[0]) / det, (frame.u[0] * y - frame.u[1] * x) / det)


def plane_under(roof: Roof, at: Point2) -> RoofPlane | None:
    """The plane whose plan area or border holds a point [mm, from the roof's origin], the highest of several."""
    near = TOLERANCES.same_point_mm
    around = [(0.0, 0.0), (near, near), (-near, near), (near, -near), (-near, -near)]
    places = [(at[0] + x, at[1] + y) for x, y in around]
    found = [p for p in roof.planes if any(is_inside(p.rings_uv, plan_to_plane(p.frame, place)) for place in places)]
    return max(found, key=lambda p: p.frame.to_space(plan_to_plane(p.frame, at))[2], default=None)


def _hole(name: str, given: PenetrationJob, plane: RoofPlane, at_uv: Point2, settings: Settings) -> Hole:
    round_mm = given.diameter_mm or 0.0
    width = given.width_mm if given.width_mm is not None else round_mm
    length = given.length_mm if given.length_mm is not None else round_mm / cos(radians(plane.pitch_deg))
    limit = settings.number("hole_trimmer_over_mm")
    return Hole(
        id=name,
        name=given.name or name,
        roof=plane.roof,
        plane=plane.id,
        kind=given.kind,
        centre_uv=at_uv,
        width_mm=width,
        length_mm=length,
        diameter_mm=round_mm,
        at_mm=plane.frame.to_space(at_uv),
        flashing=_flashing(given.kind, round_mm, settings),
        trimmed=max(width, length) > limit + TOLERANCES.same_length_mm,
    )


def _flashing(kind: str, diameter_mm: float, settings: Settings) -> str:
    if kind in ("rooflight", "roof_window") or not 0.0 < diameter_mm <= settings.number("boot_most_mm"):
        return "kerb"
    return "boot" if diameter_mm <= settings.number("boot_alone_most_mm") else "boot and back"


def _within(plane: RoofPlane, low: Point2, high: Point2) -> bool:
    """Whether a rectangle lies wholly in a plane: at every height its width lies in one span of the plane."""
    corners = {v for ring in plane.rings_uv for _, v in ring if low[1] < v < high[1]}
    levels = {low[1] + _BESIDE_MM, high[1] - _BESIDE_MM}
    levels |= {v + side for v in corners for side in (-_BESIDE_MM, _BESIDE_MM)}
    return all(any(a <= low[0] and high[0] <= b for a, b in spans_at(plane.rings_uv, v)) for v in levels)


def _edges_crossed(roof: Roof, plane: RoofPlane, hole: Hole) -> str:
    """The edges a hole lies over, in words; "" for none."""
    if _within(plane, hole.low_uv, hole.high_uv):
        return ""
    crossed = [on.edge for on in edges_on(roof, plane) if _meets(on.a, on.b, hole.low_uv, hole.high_uv)]
    return " and ".join(f"{edge.kind.value} {edge.id}" for edge in crossed) or "the border"


def _meets(a: Point2, b: Point2, low: Point2, high: Point2) -> bool:
    """Whether a line from a to b passes through a rectangle (clipped at its four sides)."""
    start, end = 0.0, 1.0
    for k in (0, 1):
        way = b[k] - a[k]
        if abs(way) < _BESIDE_MM:
            if not low[k] < a[k] < high[k]:
                return False
            continue
        first, last = sorted(((low[k] - a[k]) / way, (high[k] - a[k]) / way))
        start, end = max(start, first), min(end, last)
    return start < end


def _overlap(a: Hole, b: Hole) -> bool:
    return all(a.low_uv[k] < b.high_uv[k] and b.low_uv[k] < a.high_uv[k] for k in (0, 1))


def on_sheets(hole: Hole, sheets: PlaneSheets) -> Hole:
    """The hole with the sheets of its plane that carry it and where it lies in each, laps included."""
    found = []
    for piece in sheets.pieces:
        cut = _clipped(piece.outline_uv, hole)
        if abs(signed_area(cut)) < 1.0:
            continue
        left = min(u for u, _ in piece.outline_uv)
        found.append(
            HoleInSheet(
                piece.mark,
                min(u for u, _ in cut) - left,
                max(u for u, _ in cut) - left,
                min(v for _, v in cut) - piece.foot_v_mm,
                max(v for _, v in cut) - piece.foot_v_mm,
            )
        )
    return replace(hole, sheets=tuple(found))


def _clipped(ring: Ring2, hole: Hole) -> Ring2:
    (u0, v0), (u1, v1) = hole.low_uv, hole.high_uv
    for nx, ny, d in ((-1.0, 0.0, -u0), (1.0, 0.0, u1), (0.0, -1.0, -v0), (0.0, 1.0, v1)):
        ring = clip_half_plane(ring, nx, ny, d)
    return ring


def _not_sheeted(hole: Hole) -> Finding:
    return Finding(
        "hole-not-sheeted",
        Severity.WARN,
        f"{hole.name} lies on {hole.plane}, which carries no sheets: nothing is taken off for it.",
        refs=(hole.plane,),
        at_mm=hole.at_mm,
    )


def _near_edge(plane: RoofPlane, hole: Hole, settings: Settings) -> tuple[Finding, ...]:
    room = settings.number("hole_edge_mm")
    (u0, v0), (u1, v1) = hole.low_uv, hole.high_uv
    if _within(plane, (u0 - room, v0 - room), (u1 + room, v1 + room)):
        return ()
    return (
        Finding(
            "hole-near-edge",
            Severity.WARN,
            f"{hole.name} lies nearer than {room:g} mm to an edge of {plane.id}: its flashing finds no room there.",
            "Move it, or have its flashing made together with that of the edge.",
            (plane.id, hole.id),
            hole.at_mm,
            settings.basis("hole_edge_mm").words(),
        ),
    )


def _cautions(hole: Hole, settings: Settings) -> list[Finding]:
    found = []
    limit = settings.number("hole_hazard_mm")
    if min(hole.width_mm, hole.length_mm) > limit:
        text = (
            f"{hole.name} is a hole of {hole.width_mm:.0f} x {hole.length_mm:.0f} mm, over {limit:g} x {limit:g}: "
            "someone can fall through it."
        )
        advice = "Cover and mark it from the moment it is cut; whoever cuts it is responsible for it."
        basis = settings.basis("hole_hazard_mm").words()
        refs = (hole.plane, hole.id)
        found.append(Finding("hole-fall-hazard", Severity.WARN, text, advice, refs, hole.at_mm, basis))
    if hole.kind == "flue":
        clear = settings.number("flue_underlay_clear_mm")
        text = f"Underlay is kept {clear:g} mm clear of flue {hole.name} all round."
        basis = settings.basis("flue_underlay_clear_mm").words()
        refs = (hole.plane, hole.id)
        found.append(Finding("flue-clearance", Severity.NOTE, text, "", refs, hole.at_mm, basis))
    return found
