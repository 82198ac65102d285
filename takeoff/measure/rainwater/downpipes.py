"""How many downpipes a run has, which limit decided, and where they stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.chosen import Chosen, product_term
from takeoff.measure.rainwater.deciding import TOGETHER, decided
from takeoff.measure.rainwater.gutter_checks import area_rule_section_mm2, section_limit_mm2
from takeoff.measure.rainwater.gutter_types import by_types, least_section_mm2, type_capacity
from takeoff.measure.rainwater.limits import Limits, counts_by_limit
from takeoff.measure.rainwater.pipe_findings import Hand, plan_findings, snapped_findings
from takeoff.measure.rainwater.pipe_search import place_pipes
from takeoff.measure.rainwater.placing import Breach, PipeGround, Share
from takeoff.measure.rainwater.roof_ends import hung_stretches
from takeoff.measure.rainwater.sizing import Capacity, pipe_capacity
from takeoff.measure.rainwater.spreaders import may_lie_below, stands_clear
from takeoff.measure.rainwater.stretches import Stretch, Windows, stretch_at, stretches
from takeoff.measure.rainwater.weights import area_rule_weight, capacity_weight
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.findings import Finding
from takeoff.model.job.walls import WallsJob
from takeoff.model.roof import Roof

BY_HAND = "placed by hand"


@record
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
    are_all: bool = False,
) -> tuple[tuple[DownpipePlan, ...], tuple[Finding, ...]]:
    """One plan a run, pipes numbered DP1 on, and findings on the places given by hand.

    The count is the fewest that keep every limit: capacity by the named method, the gutter's own section, gutter length
    per outlet, spacing between outlets, a downpipe near each heavy valley. `places` are plan points as typed [mm]: each
    moves to the nearest gutter and stays there, and the rest is searched round it, unless they are all (`are_all`).
    `walls`: the walls whose windows and doors no pipe may come down over.
    """
    by_hand, findings = snap_places(gutters, roofs, places, chosen)
    plans: list[DownpipePlan] = []
    windows = _windows(roofs, walls)
    first = 1
    for run in gutters:
        stand = tuple(sorted(snapped.along_mm for snapped in by_hand if snapped.run == run.id))
        roof = next((roof for roof in roofs if roof.name == run.roof), None)
        capacity = _capacity(run, chosen)
        least = max(count for _, count in counts_by_limit(run, limits_of(capacity, chosen)))
        parts = stretches(run)
        room = _room_on(run, parts, roofs, chosen)
        weights = (capacity_weight(run, chosen), area_rule_weight(run, chosen))
        site = PipeGround(run, parts, roof, chosen.settings, least, windows, room, stand, weights)
        elsewhere = tuple(places[snapped.point - 1] for snapped in by_hand if snapped.run != run.id)
        hand = Hand(stand, bool(stand) and are_all, roof.origin_mm[:2] if roof else (0.0, 0.0), elsewhere)
        plans.append(_plan(run, site, capacity, hand, chosen, first))
        first += plans[-1].count
    return tuple(plans), findings


def _has_room(along_mm: float, hung: Sequence[Stretch], run: GutterRun, below: Sequence[Roof], chosen: Chosen) -> bool:
    crumb = TOLERANCES.same_length_mm
    hangs = any(part.start_mm - crumb <= along_mm <= part.start_mm + part.length_mm + crumb for part in hung)
    return hangs and (not below or stands_clear(along_mm, run, below, chosen))


def _hung(run: GutterRun, roofs: Sequence[Roof], chosen: Chosen) -> tuple[Stretch, ...]:
    """The stretches of a run on which a gutter hangs, for its outlets."""
    sole = chosen.settings.number("gutter_sole_below_eave_mm")
    return hung_stretches(run, roofs, sole, chosen.gutter.width_mm)


def _room_on(
    run: GutterRun, parts: Sequence[Stretch], roofs: Sequence[Roof], chosen: Chosen
) -> Callable[[float], bool] | None:
    """Whether an outlet has room at a place; None where it has everywhere."""
    if run.internal:
        return None
    hung, below = _hung(run, roofs, chosen), may_lie_below(run, roofs, chosen)
    whole = sum(part.length_mm for part in hung) >= sum(part.length_mm for part in parts) - TOLERANCES.same_point_mm
    return None if whole and not below else partial(_has_room, hung=hung, run=run, below=below, chosen=chosen)


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


def limits_of(capacity: Capacity, chosen: Chosen, section_mm2: float = 0.0) -> Limits:
    """The limits a plan must keep, from the settings, the pipe's capacity and the roof that the gutter's own section
    takes [mm2], 0 where that is not known."""
    number = chosen.settings.number
    return Limits(
        capacity_mm2=capacity.plan_m2 * 1e6,
        length_mm=number("gutter_length_per_outlet_mm"),
        spacing_mm=number("downpipe_spacing_mm"),
        valley_from_mm2=number("valley_needs_downpipe_m2") * 1e6,
        valley_within_mm=number("valley_to_downpipe_mm"),
        clear_mm=number("downpipe_clear_of_inside_corner_mm"),
        section_mm2=section_mm2,
    )


@record
class _Stood:
    """Where the pipes of a run stand, which limits they break, what each limit asks for, and what decided."""

    places: tuple[float, ...]
    breaches: tuple[Breach, ...]
    counts: tuple[tuple[str, int], ...]
    decided_by: str


def _plan(
    run: GutterRun, site: PipeGround, capacity: Capacity, by_hand: Hand, chosen: Chosen, first: int
) -> DownpipePlan:
    limits = limits_of(capacity, chosen, section_limit_mm2(run, chosen))
    stood = _all_by_hand(site, limits, by_hand) if by_hand.are_all else _searched(site, limits, chosen)
    pipes = _pipes(site, stretches(run), stood.places, first, chosen)
    return DownpipePlan(
        run=run.id,
        method=chosen.method,
        count=len(pipes),
        decided_by=stood.decided_by,
        limits=stood.counts,
        pipes=pipes,
        working=_working(run, capacity, stood.counts, stood.decided_by, chosen),
        findings=(*capacity.findings, *plan_findings(run, pipes, stood.breaches, limits, by_hand, chosen)),
    )


def _all_by_hand(site: PipeGround, limits: Limits, by_hand: Hand) -> _Stood:
    """Just the places given by hand."""
    counts = (*counts_by_limit(site.run, limits, site.brought_mm2), (BY_HAND, len(by_hand.along_mm)))
    return _Stood(by_hand.along_mm, tuple(site.breaches(by_hand.along_mm, limits)), counts, BY_HAND)


def _searched(site: PipeGround, limits: Limits, chosen: Chosen) -> _Stood:
    """The fewest pipes round those that stand by hand, and why so many."""
    settings = chosen.settings
    more = int(settings.number("downpipe_more_for_wall_ends"))
    placed = place_pipes(site, limits, settings.number("downpipes_share_corner_mm"), more)
    counts, count = counts_by_limit(site.run, limits, site.brought_mm2), len(placed.places)
    if site.fixed:
        counts = (*counts, (BY_HAND, len(site.fixed)))
    if placed.excess > 0.0:
        said = f"the limits cannot all be kept: the worst is exceeded by {100.0 * placed.excess:.0f} %"
    elif count > placed.fewest:
        said = f"{placed.fewest} hold; {count - placed.fewest} more for the looks, so that pipes stand at wall ends"
    elif count == len(site.fixed):
        said = BY_HAND
    else:
        said = decided(site, limits, count)
    if count > max(asked for _, asked in counts):
        counts = (*counts, (TOGETHER, count))
    return _Stood(placed.places, placed.breaches, counts, said)


def _pipes(
    site: PipeGround, parts: Sequence[Stretch], places: Sequence[float], first: int, chosen: Chosen
) -> tuple[Downpipe, ...]:
    pipes: list[Downpipe] = []
    shares, by_plane = site.shares(places), site.plane_shares(places)
    for i, (place, share) in enumerate(zip(places, shares, strict=True)):
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
                gutter_mm2=_section_mm2(share, site.run, chosen),
                gutter_length_mm=share.length_mm,
                shares=by_plane[i],
            )
        )
    return tuple(pipes)


def _section_mm2(share: Share, run: GutterRun, chosen: Chosen) -> float:
    if by_types(chosen) and not run.internal:
        return least_section_mm2(share.capacity_mm2, run, chosen)
    return area_rule_section_mm2(share.section_mm2, run, chosen)


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
