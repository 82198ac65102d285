"""Downpipes that end over a lower roof: they discharge on to it through a spreader, and its gutter takes their water.

   gutter of the upper roof
__|  |__ outlet
     |   drop
 ____|____ spreader, along the sheets
----------------___ lower roof, down to its own gutter
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, distance2
from takeoff.measure.rainwater.chosen import Chosen, fitting
from takeoff.measure.rainwater.stretches import Stretch, stretch_at, stretches
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.water.falling import Under, roof_under
from takeoff.shape.water.spreading import Spout

_LOOK_MM = TOLERANCES.spreader_look_mm


def onto_lower_roofs(
    plans: Sequence[DownpipePlan], gutters: Sequence[GutterRun], roofs: Sequence[Roof], chosen: Chosen
) -> tuple[DownpipePlan, ...]:
    """Plans whose pipes know the plane that their outlet stands over, with their height down to it. Pipes of internal
    gutters are left as they are: where those come down is not known."""
    runs = {run.id: run for run in gutters}
    found = []
    for plan in plans:
        run = runs[plan.run]
        pipes = plan.pipes if run.internal else tuple(_onto(pipe, run, roofs, chosen) for pipe in plan.pipes)
        found.append(replace(plan, pipes=pipes))
    return tuple(found)


def _onto(pipe: Downpipe, run: GutterRun, roofs: Sequence[Roof], chosen: Chosen) -> Downpipe:
    under = roof_under(outlet_mm(pipe.along_mm, run, roofs, chosen), roofs)
    return pipe if under is None else replace(pipe, onto=under.plane.id, height_mm=under.fall_mm)


def outlet_mm(
    along_mm: float, run: GutterRun, roofs: Sequence[Roof], chosen: Chosen, parts: Sequence[Stretch] = ()
) -> Point3:
    """Middle of an outlet there on a run, half the gutter's width out from the fascia, counted from the plan's
    origin. `parts`: the run's stretches where they are known."""
    part = stretch_at(parts or stretches(run), along_mm)
    (ax, ay, _), (bx, by, _) = part.a_mm, part.b_mm
    out = chosen.gutter.width_mm / 2.0 / part.length_mm
    ox, oy = next((roof.origin_mm[:2] for roof in roofs if roof.name == run.roof), (0.0, 0.0))
    x, y, z = part.at(along_mm - part.start_mm)
    return (x + ox + (by - ay) * out, y + oy - (bx - ax) * out, z)


def stands_clear(along_mm: float, run: GutterRun, roofs: Sequence[Roof], chosen: Chosen) -> bool:
    """Whether an outlet there stands clear of the roof below it, so that a spreader fits under it, well in from that
    roof's verges and over none of its openings."""
    at = outlet_mm(along_mm, run, roofs, chosen)
    under = roof_under(at, roofs)
    if under is None:
        return True
    clear = chosen.settings.number("spreader_clear_mm")
    beside = any(distance2(at[:2], hole.at_mm) < hole.radius_mm + clear for hole in chosen.holes)
    return under.fall_mm >= _least_fall_mm(chosen) and not beside and _off_verges_mm(at, under) >= clear


def _off_verges_mm(at: Point3, under: Under) -> float:
    """How far in plan a point lies from the verges of the plane below it [mm]; endless where it has none."""
    ox, oy, _ = under.roof.origin_mm
    verges = [edge for edge in under.roof.edges_of(under.plane.id) if edge.kind is EdgeKind.VERGE]
    x, y = at[0] - ox, at[1] - oy
    return min((segment_off((x, y), edge.a_mm[:2], edge.b_mm[:2]) for edge in verges), default=inf)


def segment_off(point: Point2, a: Point2, b: Point2) -> float:
    """Distance of a point from the stretch between two [mm]."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = min(max(((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square, 0.0), 1.0) if square > 0.0 else 0.0
    return distance2(point, (a[0] + dx * t, a[1] + dy * t))


def may_lie_below(run: GutterRun, roofs: Sequence[Roof], chosen: Chosen) -> tuple[Roof, ...]:
    """The run's roof and those with planes that may lie under its outlets; none where nothing does."""
    own = next((roof for roof in roofs if roof.name == run.roof), None)
    if own is None:
        return ()
    points = [(x + own.origin_mm[0], y + own.origin_mm[1]) for leg in run.legs for x, y, _ in (leg.a_mm, leg.b_mm)]
    out, top = chosen.gutter.width_mm / 2.0, max(leg.a_mm[2] for leg in run.legs)
    box = (min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points))
    low = tuple(roof for roof in roofs if any(_under_box(plane, roof, box, out, top) for plane in roof.planes))
    if not low:
        return ()
    parts = stretches(run)
    lies = any(roof_under(outlet_mm(along, run, roofs, chosen, parts), low) for along in _looked_at(run))
    return tuple(dict.fromkeys((own, *low))) if lies else ()


def _looked_at(run: GutterRun) -> list[float]:
    """Places along a run, close enough that no roof below lies between two of them unseen."""
    count = max(2, int(run.length_mm / _LOOK_MM) + 1)
    return [run.length_mm * n / (count - 1) for n in range(count)]


def _under_box(
    plane: RoofPlane, roof: Roof, box: tuple[float, float, float, float], out_mm: float, top_mm: float
) -> bool:
    """Whether some corner of a plane lies lower than a gutter whose outlets lie in a box of the plan, and the plane in
    the box."""
    corners = [plane.frame.to_space(point) for point in plane.rings_uv[0]]
    xs, ys = [x + roof.origin_mm[0] for x, _, _ in corners], [y + roof.origin_mm[1] for _, y, _ in corners]
    if min(z for _, _, z in corners) > top_mm - 1.0:
        return False
    return (
        min(xs) < box[2] + out_mm
        and max(xs) > box[0] - out_mm
        and min(ys) < box[3] + out_mm
        and max(ys) > box[1] - out_mm
    )


def _least_fall_mm(chosen: Chosen) -> float:
    number = chosen.settings.number
    return number("gutter_sole_below_eave_mm") + number("spreader_room_mm")


def spouts_of(
    plans: Sequence[DownpipePlan], gutters: Sequence[GutterRun], roofs: Sequence[Roof], chosen: Chosen
) -> tuple[Spout, ...]:
    """What every pipe over a lower roof brings on to it."""
    runs = {run.id: run for run in gutters}
    return tuple(
        Spout(
            pipe.id,
            run.roof,
            outlet_mm(pipe.along_mm, run, roofs, chosen),
            share.area_mm2,
            run.pitch_deg,
            share.plane,
            share.pitch_deg,
            share.wall,
        )
        for plan in plans
        for run in (runs[plan.run],)
        for pipe in plan.pipes
        if pipe.onto
        for share in pipe.shares
    )


def hangs_free(pipe: Downpipe, chosen: Chosen) -> bool:
    """Whether a pipe on to a lower roof is short enough to drop straight from its outlet, without going to the wall."""
    drop = pipe.height_mm - chosen.settings.number("gutter_sole_below_eave_mm")
    return bool(pipe.onto) and drop <= chosen.settings.number("spreader_free_drop_mm")


def bends_on(pipe: Downpipe, chosen: Chosen) -> int:
    """Bends of a downpipe: one at each end of its offset, and one into a spreader (common practice, no source)."""
    return (0 if hangs_free(pipe, chosen) else 2) + (1 if pipe.onto else 0)


def spreader_parts(pipes: Sequence[Downpipe], chosen: Chosen) -> tuple[Quantity, ...]:
    """A spreader for each pipe that ends over a lower roof."""
    refs = tuple(pipe.id for pipe in pipes if pipe.onto)
    if not refs:
        return ()
    name = fitting("downpipe_spreader", chosen).id
    working = Working(
        "one a downpipe that ends over a lower roof", (Term("downpipes over a lower roof", len(refs), "each"),)
    )
    return (Quantity("downpipe spreaders", name, float(len(refs)), "each", refs, working),)


def spreader_findings(
    plans: Sequence[DownpipePlan], gutters: Sequence[GutterRun], roofs: Sequence[Roof], chosen: Chosen
) -> tuple[Finding, ...]:
    """Which pipes end on which roof and where their water goes from there; valleys that take it."""
    pipes = {pipe.id: pipe for plan in plans for pipe in plan.pipes if pipe.onto}
    owner = {plane.id: plane.roof for roof in roofs for plane in roof.planes}
    findings: list[Finding] = []
    for name in dict.fromkeys(owner[pipe.onto] for pipe in pipes.values()):
        here = [pipe for pipe in pipes.values() if owner[pipe.onto] == name]
        findings.append(_onto_roof(name, here, gutters))
    close = [pipe.id for pipe in pipes.values() if pipe.height_mm < _least_fall_mm(chosen)]
    return (*findings, *_no_room(close, chosen), *_by_valley(gutters, chosen))


def _onto_roof(name: str, pipes: Sequence[Downpipe], gutters: Sequence[GutterRun]) -> Finding:
    ids = [pipe.id for pipe in pipes]
    area = sum(pipe.catchment_mm2 for pipe in pipes) / 1e6
    taking = {
        run.id: sum(water.plan_catchment_mm2 for water in run.received if water.pipe in ids) / 1e6 for run in gutters
    }
    goes = [f"{run} {taken:.2f} m2" for run, taken in taking.items() if taken > 0.0]
    led = f"which takes it to {' and '.join(goes)}" if goes else "from where it reaches no gutter"
    ends, with_, drained = ("end", "spreaders", "they drain") if len(ids) > 1 else ("ends", "a spreader", "it drains")
    return Finding(
        "downpipe-onto-roof",
        Severity.WARN,
        f"{', '.join(ids)} {ends} over roof {name}: ordered short, with {with_} on to it."
        f" The {area:.2f} m2 that {drained} runs on over that roof, {led}.",
        "To lead the water to the ground instead, place downpipes by hand where no roof lies below,"
        " or order pipe down past the lower roof by hand.",
        tuple(ids),
        pipes[0].at_mm,
    )


def _no_room(ids: Sequence[str], chosen: Chosen) -> tuple[Finding, ...]:
    if not ids:
        return ()
    return (
        Finding(
            "no-room-for-spreader",
            Severity.WARN,
            f"There is no room for a spreader at {', '.join(ids)}: the roof below is within"
            f" {_least_fall_mm(chosen):.0f} mm of the eave.",
            "Move the outlet along the gutter, away from where the roofs come together.",
            tuple(ids),
        ),
    )


def _by_valley(gutters: Sequence[GutterRun], chosen: Chosen) -> tuple[Finding, ...]:
    found: dict[str, list[str]] = {}
    for run in gutters:
        for water in run.received:
            if water.pipe and water.via:
                found.setdefault(water.via, []).append(water.pipe)
    least = chosen.settings.term("valley_for_spreader_mm")
    return tuple(
        Finding(
            "valley-takes-spreader",
            Severity.WARN,
            f"Valley {edge} takes the water of {', '.join(dict.fromkeys(pipes))}: it must be at least"
            f" {float(least.value):.0f} mm wide, and no spreader may end in it.",
            "Check the valley's tray, and set the spreader well clear of the valley.",
            (edge, *dict.fromkeys(pipes)),
            source=chosen.settings.basis("valley_for_spreader_mm").words(),
        )
        for edge, pipes in found.items()
    )
