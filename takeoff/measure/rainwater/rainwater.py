"""Front door of the rainwater rules: gutters and roofs -> downpipes, catchment and what to buy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.measure.rainwater.catchment import catchment_findings, catchment_quantities, level_plan_m2
from takeoff.measure.rainwater.chosen import Chosen, choose
from takeoff.measure.rainwater.downpipes import plan_downpipes
from takeoff.measure.rainwater.fascia import fascia_need
from takeoff.measure.rainwater.ground_below import check_ground
from takeoff.measure.rainwater.gutter_checks import section_note
from takeoff.measure.rainwater.gutters import gutter_need
from takeoff.measure.rainwater.hydraulic import flow_findings, flow_quantities
from takeoff.measure.rainwater.internal_gutters import internal_need, internal_quantities
from takeoff.measure.rainwater.overflow import check_overflow, towns_words
from takeoff.measure.rainwater.pipe_parts import downpipe_need
from takeoff.measure.rainwater.skew_verges import skew_verge_findings
from takeoff.measure.rainwater.spreaders import may_lie_below, onto_lower_roofs, spouts_of, spreader_findings
from takeoff.measure.rainwater.tank import yield_quantities
from takeoff.measure.rainwater.walls_above import wall_findings
from takeoff.model.basis import Quantity
from takeoff.model.drainage import DownpipePlan, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.measured import Need, RainwaterMeasured
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.shape.water.spreading import Spout, feed


def measure_rainwater(
    gutters: tuple[GutterRun, ...], roofs: tuple[Roof, ...], job: Job, settings: Settings, catalogue: Catalogue
) -> RainwaterMeasured:
    """Gutters with their corners and ends, downpipes with their places and parts, fascia, catchment.

    Runs are numbered SP1 on over all roofs. Raises JobError for a gutter or downpipe the catalogue does not know, and
    for ground above a gutter.
    """
    runs = tuple(replace(run, id=f"SP{n}") for n, run in enumerate(gutters, start=1))
    chosen = choose(job, settings, catalogue)
    runs, plans, hand_findings = _planned(runs, roofs, job, chosen)
    check_ground(plans, job, chosen)
    longest = job.site.longest_piece_mm
    overflow, spilt = check_overflow(runs, plans, job, chosen)
    needs = (
        gutter_need(runs, plans, longest, chosen, roofs),
        downpipe_need(runs, plans, roofs, job.rainwater.soffit_mm, longest, chosen),
        internal_need(runs, plans, chosen),
        fascia_need(roofs, longest, chosen, job.purlins.supports_mm),
    )
    notes = (
        *hand_findings,
        *spreader_findings(plans, runs, roofs, chosen),
        *_rain_note(chosen, runs),
        *section_note(runs, chosen),
        *spilt,
        *catchment_findings(runs, roofs),
        *wall_findings(runs, roofs, chosen),
        *skew_verge_findings(roofs),
        *flow_findings(plans, chosen),
    )
    return RainwaterMeasured(
        gutters=runs,
        downpipes=_said_once(plans),
        catchment=(*_catchment(runs, roofs, job, chosen), *_by_pipe(runs, plans, chosen), *overflow),
        needs=tuple(need for need in (*needs, Need("rainwater", findings=notes)) if _holds(need)),
    )


def fed_gutters(
    gutters: tuple[GutterRun, ...], roofs: tuple[Roof, ...], job: Job, settings: Settings, catalogue: Catalogue
) -> tuple[GutterRun, ...]:
    """The gutters of `measure_rainwater` alone: downpipes are planned only where they may end on a lower roof, whose
    gutter they then feed. Raises as it does."""
    runs = tuple(replace(run, id=f"SP{n}") for n, run in enumerate(gutters, start=1))
    chosen = choose(job, settings, catalogue)
    over = any(may_lie_below(run, roofs, chosen) for run in runs if not run.internal)
    return _planned(runs, roofs, job, chosen)[0] if over else runs


def _planned(
    runs: tuple[GutterRun, ...], roofs: tuple[Roof, ...], job: Job, chosen: Chosen
) -> tuple[tuple[GutterRun, ...], tuple[DownpipePlan, ...], tuple[Finding, ...]]:
    """Runs with what spreaders bring them, their downpipes, and findings on places given by hand.

    Pipes that end on a lower roof fill its gutter, which may ask for more pipes there, and so on down: water only
    goes down, so this settles after as many rounds as roofs stand over each other.
    """
    fed = runs
    spouts: tuple[Spout, ...] = ()
    for _ in range(len(runs) + 1):
        plans, findings = plan_downpipes(
            fed, roofs, job.rainwater.downpipes_at, chosen, job.walls, job.rainwater.downpipes_at_are_all
        )
        plans = onto_lower_roofs(plans, fed, roofs, chosen)
        before, spouts = spouts, spouts_of(plans, fed, roofs, chosen)
        if spouts == before:
            break
        fed = feed(runs, roofs, spouts)
    return fed, plans, findings


def _catchment(runs: Sequence[GutterRun], roofs: Sequence[Roof], job: Job, chosen: Chosen) -> tuple[Quantity, ...]:
    if not runs:
        return ()
    yearly = yield_quantities(runs, job.site.rain_mm_per_year, chosen, level_plan_m2(roofs))
    return (*catchment_quantities(runs, chosen, roofs), *yearly)


def _by_pipe(runs: Sequence[GutterRun], plans: Sequence[DownpipePlan], chosen: Chosen) -> tuple[Quantity, ...]:
    return (*flow_quantities(plans, chosen), *internal_quantities(runs, plans, chosen))


def _holds(need: Need) -> bool:
    return bool(need.quantities or need.demands or need.findings)


def _rain_note(chosen: Chosen, runs: Sequence[GutterRun]) -> tuple[Finding, ...]:
    if not runs or chosen.rain.name != "rain_if_not_given_mm_per_h":
        return ()
    return (
        Finding(
            "rain-not-given",
            Severity.NOTE if chosen.method == "e1_as1" else Severity.WARN,
            f"The job gives no rainfall intensity: {float(chosen.rain.value):g} mm/h was taken.",
            f"Add to the job, with the design storm of the place: `site: {{rain_mm_per_h: 110}}`.{towns_words(chosen)}",
            source=chosen.rain.basis.words() if chosen.rain.basis else "",
        ),
    )


def _said_once(plans: Sequence[DownpipePlan]) -> tuple[DownpipePlan, ...]:
    """Plans with findings that several share word for word (on method and table) kept on the first only."""
    said: set[Finding] = set()
    kept: list[DownpipePlan] = []
    for plan in plans:
        fresh = tuple(finding for finding in plan.findings if finding not in said)
        said.update(fresh)
        kept.append(replace(plan, findings=fresh))
    return tuple(kept)
