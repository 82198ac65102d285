"""How many downpipes a run has, which limit decided, and where they stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.chosen import Chosen, product_term
from takeoff.measure.rainwater.gutter_checks import area_rule_section_mm2
from takeoff.measure.rainwater.gutter_types import by_types, least_section_mm2, type_capacity
from takeoff.measure.rainwater.pipe_findings import plan_findings, snapped_findings
from takeoff.measure.rainwater.pipe_search import place_pipes
from takeoff.measure.rainwater.placing import (
    CAPACITY,
    LENGTH,
    SPACING,
    VALLEY,
    Limits,
    PipeGround,
)
from takeoff.measure.rainwater.roof_ends import hung_stretches
from takeoff.measure.rainwater.sizing import Capacity, pipe_capacity
from takeoff.measure.rainwater.spreaders import has_room
from takeoff.measure.rainwater.stretches import Stretch, Windows, stretch_at, stretches
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.findings import Finding
from takeoff.model.job.walls import WallsJob
from takeoff.model.roof import Roof

STANDING = "solid wall to fix a pipe to"
BY_HAND = "placed by hand"


@dataclass(frozen=True, slots=True)
class Snapped:
    """A place given by hand: the run it was moved to, mm along it, and how far it was moved."""

    point: int
    run: str
    along_mm: float
    moved_mm: float


def plan_downpipes(
    gutters: Sequence[GutterRun],
    roofs: Sequence[Roof],
    places: Sequence[tuple[float, float]],
    chosen: Chosen,
    walls: WallsJob | None = None,
) -> tuple[tuple[DownpipePlan, ...], tuple[Finding, ...]]:
    """One plan a run, pipes numbered DP1 on, and findings on the places given by hand.

    The count is the most that any limit asks for: capacity by the named method, gutter length per outlet, spacing
    between outlets, a downpipe near each heavy valley; then more where pipes cannot stand so as to keep the limits.
    `places` are plan points as typed [mm]: each moves to the nearest gutter, and a run that has any takes just those.
    `walls`: the walls whose windows and doors no pipe may come down over.
    """
    by_hand, findings = snap_places(gutters, roofs, places, chosen)
    plans: list[DownpipePlan] = []
    windows = _windows(roofs, walls)
    first = 1
    for run in gutters:
        roof = next((roof for roof in roofs if roof.name == run.roof), None)
        hand = tuple(sorted(snapped.along_mm for snapped in by_hand if snapped.run == run.id))
        plans.append(_plan(run, roof, chosen, first, hand, windows, partial(_has_room, run, roofs, chosen)))
        first += plans[-1].count
    return tuple(plans), findings


def _has_room(run: GutterRun, roofs: Sequence[Roof], chosen: Chosen, along_mm: float) -> bool:
    hangs = any(
        part.start_mm - TOLERANCES.same_length_mm
        <= along_mm
        <= part.start_mm + part.length_mm + TOLERANCES.same_length_mm
        for part in _hung(run, roofs, chosen)
    )
    return run.internal or (hangs and has_room(along_mm, run, roofs, chosen))


def _hung(run: GutterRun, roofs: Sequence[Roof], chosen: Chosen) -> tuple[Stretch, ...]:
    """The stretches of a run on which a gutter hangs, for its outlets."""
    sole = chosen.settings.number("gutter_sole_below_eave_mm")
    return hung_stretches(run, roofs, sole, chosen.gutter.width_mm)


def _windows(roofs: Sequence[Roof], walls: WallsJob | None) -> Windows:
    """Openings of the job's walls, with the roof that the walls stand under."""
    if walls is None or (walls.elevations and walls.height_mm is None) or not roofs:
        return Windows()
    return Windows(walls.roof or roofs[0].name, tuple(walls.openings))


def snap_places(
    gutters: Sequence[GutterRun], roofs: Sequence[Roof], places: Sequence[tuple[float, float]], chosen: Chosen
) -> tuple[tuple[Snapped, ...], tuple[Finding, ...]]:
    """Each place moved to the nearest gutter; one too far from any is left out, with a finding."""
    origins = {roof.name: roof.origin_mm for roof in roofs}
    limit = chosen.settings.number("downpipe_snap_mm")
    found: list[Snapped] = []
    far: list[tuple[int, float]] = []
    for number, (x, y) in enumerate(places, start=1):
        nearest: Snapped | None = None
        for run in gutters:
            ox, oy, _ = origins.get(run.roof, (0.0, 0.0, 0.0))
            for part in _hung(run, roofs, chosen):
                along, out = part.along(x - ox, y - oy)
                on = min(max(along, 0.0), part.length_mm)
                off = ((along - on) ** 2 + out**2) ** 0.5
                if nearest is None or off < nearest.moved_mm:
                    nearest = Snapped(number, run.id, part.start_mm + on, off)
        if nearest is not None and nearest.moved_mm <= limit:
            found.append(nearest)
        else:
            far.append((number, nearest.moved_mm if nearest else 0.0))
    bare = [run.id for run in gutters if found and run.id not in {snapped.run for snapped in found}]
    return tuple(found), snapped_findings(far, bare, limit)


def _capacity(run: GutterRun, chosen: Chosen) -> Capacity:
    if by_types(chosen):
        return type_capacity(run, chosen)
    return pipe_capacity(chosen.method, chosen.pipe, run.pitch_deg, chosen.rain, chosen.settings)


def limits_of(capacity: Capacity, chosen: Chosen) -> Limits:
    """The limits a plan must keep, from the settings and the pipe's capacity."""
    number = chosen.settings.number
    return Limits(
        capacity_mm2=capacity.plan_m2 * 1e6,
        length_mm=number("gutter_length_per_outlet_mm"),
        spacing_mm=number("downpipe_spacing_mm"),
        valley_from_mm2=number("valley_needs_downpipe_m2") * 1e6,
        valley_within_mm=number("valley_to_downpipe_mm"),
        clear_mm=number("downpipe_clear_of_inside_corner_mm"),
    )


def counts_by_limit(run: GutterRun, limits: Limits) -> tuple[tuple[str, int], ...]:
    """How many pipes each limit asks for at least; a run of any length has one.

    Capacity and length: ceil(run's figure / limit). Spacing: ceil(length / spacing) round a ring; on a run with ends
    the outer pipes may stand as far in as they still keep the length limit. Valleys: one pipe a heavy valley.
    """
    heavy = sum(1 for foot in run.valleys if foot.plan_catchment_mm2 > limits.valley_from_mm2)
    inset = 0.0 if run.ring else max(0.0, limits.length_mm - limits.spacing_mm / 2.0)
    gaps = count_up(run.length_mm - 2.0 * inset, limits.spacing_mm)
    counts = [
        (LENGTH, max(1, count_up(run.length_mm, limits.length_mm))),
        (SPACING, max(1, gaps if run.ring else gaps + 1)),
        (VALLEY, heavy),
    ]
    if limits.capacity_mm2 > 0.0:
        by_capacity = count_up(run.plan_catchment_mm2, limits.capacity_mm2, tolerance=1.0)
        counts.insert(0, (CAPACITY, max(1, by_capacity)))
    return tuple(counts)


def _plan(
    run: GutterRun,
    roof: Roof | None,
    chosen: Chosen,
    first: int,
    by_hand: tuple[float, ...],
    windows: Windows,
    has_room: Callable[[float], bool],
) -> DownpipePlan:
    capacity = _capacity(run, chosen)
    limits = limits_of(capacity, chosen)
    counts = counts_by_limit(run, limits)
    parts = stretches(run)
    least = max(count for _, count in counts)
    site = PipeGround(run, parts, roof, chosen.settings, least, windows, has_room)
    if by_hand:
        places, breaches = by_hand, tuple(site.breaches(by_hand, limits))
        counts = (*counts, (BY_HAND, len(places)))
        decided_by = BY_HAND
    else:
        placed = place_pipes(site, limits, least)
        places, breaches = placed.places, placed.breaches
        decided_by = " and ".join(limit for limit, count in counts if count == least)
        if len(places) > least:
            counts = (*counts, (STANDING, len(places)))
            decided_by = f"{decided_by}, {STANDING}"
    pipes = _pipes(site, parts, places, first, chosen)
    return DownpipePlan(
        run=run.id,
        method=chosen.method,
        count=len(pipes),
        decided_by=decided_by,
        limits=counts,
        pipes=pipes,
        working=_working(run, capacity, counts, decided_by, chosen),
        findings=(*capacity.findings, *plan_findings(run, pipes, breaches, limits, chosen)),
    )


def _pipes(
    site: PipeGround, parts: Sequence[Stretch], places: Sequence[float], first: int, chosen: Chosen
) -> tuple[Downpipe, ...]:
    pipes: list[Downpipe] = []
    for i, (place, share) in enumerate(zip(places, site.shares(places), strict=True)):
        part = stretch_at(parts, place)
        at = part.at(place - part.start_mm)
        pipes.append(
            Downpipe(
                id=f"DP{first + i}",
                run=site.run.id,
                at_mm=at,
                along_mm=place,
                height_mm=at[2] - chosen.ground_mm,
                catchment_mm2=share.area_mm2,
                gutter_mm2=_section_mm2(share.area_mm2, site.run, chosen),
                gutter_length_mm=share.length_mm,
            )
        )
    return tuple(pipes)


def _section_mm2(plan_mm2: float, run: GutterRun, chosen: Chosen) -> float:
    section = least_section_mm2 if by_types(chosen) else area_rule_section_mm2
    return section(plan_mm2, run, chosen)


def _working(
    run: GutterRun, capacity: Capacity, counts: Sequence[tuple[str, int]], decided_by: str, chosen: Chosen
) -> Working:
    settings = chosen.settings
    terms = [
        Term("plan catchment", round(run.plan_catchment_mm2 / 1e6, 3), "m2", ref=run.id),
        Term("gutter length", round(run.length_mm / 1e3, 3), "m", ref=run.id),
        Term("plan area one pipe may drain", round(capacity.plan_m2, 2), "m2", ref=capacity.working.rule),
        *capacity.working.terms,
        settings.term("gutter_length_per_outlet_mm"),
        settings.term("downpipe_spacing_mm"),
        settings.term("valley_needs_downpipe_m2"),
        settings.term("valley_to_downpipe_mm"),
        product_term(chosen.pipe, "name", chosen.pipe.name, ""),
    ]
    terms += [
        Term(f"pipes for {limit}", count, "each", SET_IN_JOB if limit == BY_HAND else None) for limit, count in counts
    ]
    return Working(f"the most pipes that any limit asks for; decided by: {decided_by}", tuple(terms))
