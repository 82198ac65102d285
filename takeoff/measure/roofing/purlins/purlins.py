"""Purlins, hip trimmers, valley boards and outriggers of one roof, as lines on its planes and runs to be cut.

Common practice, no source: the first row 50 mm up the rake, one gauge from there, the remainder at the ridge, so that
rows of planes of one pitch meet on hips and valleys. Joints only on supports, staggered from row to row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import ceil, hypot

from takeoff.basics.letters import letters
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.item_book import called
from takeoff.measure.roofing.flashings.flashing_cover import flashing_row
from takeoff.measure.roofing.purlins.hole_framing import cut_rows, penetration_trimmers, row_findings
from takeoff.measure.roofing.purlins.purlin_fixings import crossing_fixing
from takeoff.measure.roofing.purlins.purlin_rows import RowRules, row_numbers, rows_of, widest_bay_mm
from takeoff.measure.roofing.purlins.purlin_timbers import PurlinTimber, purlin_section, timber_of
from takeoff.measure.roofing.purlins.spans import SpanLimits, span_findings, span_limits
from takeoff.measure.roofing.purlins.trimmers import Trimmer, hip_trimmers, hole_trimmers, outriggers, valley_boards
from takeoff.measure.sundries import framing_nails
from takeoff.measure.terms import number_or, quantity, run_working
from takeoff.measure.wind import wind_zone, zone_finding
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.timber import PurlinsJob
from takeoff.model.measured import Need, PurlinLine
from takeoff.model.openings import Hole
from takeoff.model.products import Catalogue
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.runs import Objective, RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import EdgeOnPlane, edges_on, one_joint, reaches, supports_under

# of an end lap: plane id, height v of the foot of its upper sheets, its length [mm]
LapLine = tuple[str, float, float]
# letters of run ids: two each, since planes, uprights and roof edges have one
_ROW_LETTERS = "PU"
_RUN_NOTES = {"hip trimmer": "hip trimmers: cut between purlin rows (dwangs)"}
_LETTERS = {"hip trimmer": "HT", "valley board": "VB", "hole trimmer": "TR", "outrigger": "OR"}


@record
class _Plan:
    """What holds for the whole roof."""

    purlin: PurlinTimber
    valley: PurlinTimber
    outrigger: PurlinTimber
    gauge_mm: float
    limits: SpanLimits
    supports_mm: float
    setting_out: str
    zone: str
    spare_joints: int
    settings: Settings
    terms: tuple[Term, ...]
    lines_only: bool = False


@dataclass(slots=True)
class _Laid:
    lines: list[PurlinLine] = field(default_factory=list)
    demands: list[RunDemand] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    items: list[Made] = field(default_factory=list)
    crossings: int = 0
    widest_mm: float = 0.0


def lay_purlins(
    roof: Roof,
    roof_job: RoofJob,
    purlins_job: PurlinsJob,
    site: Site,
    settings: Settings,
    catalogue: Catalogue,
    lap_lines: Sequence[LapLine] = (),
    holes: Sequence[Hole] = (),
) -> tuple[tuple[PurlinLine, ...], Need]:
    """Lay the purlins of every sheeted plane.

    lap_lines: (plane id, v, length [mm]) of end laps by the feet of their upper sheets; each gets a row under its
    middle, since a lap lies over a purlin. `holes` cut the rows they cross and get trimmers. Runs are measured to the
    long point, square. Returns the placed lines and the need of trade "purlins": runs, stock, fixings of the crossings,
    findings; a crossing that the fixing table does not allow, and a span that the code does not, are stops. Raises
    JobError for settings that are no section, spacing or word of their list.
    """
    plan = _plan(purlins_job, roof_job, site, settings, catalogue)
    laid = _Laid(findings=list(zone_finding(site, settings)))
    _lay(plan, roof, roof_job, lap_lines, holes, laid)
    _check_section(plan, laid)
    if laid.demands:
        laid.findings += span_findings(plan.limits, plan.gauge_mm, laid.widest_mm, settings)
    quantities = [*_fixings(plan, roof, laid), *framing_nails(roof, laid.lines, plan.gauge_mm, settings)]
    used = {demand.item for demand in laid.demands}
    timbers = {t.item: t for t in (plan.purlin, plan.valley, plan.outrigger) if t.item in used}
    kerf = settings.number("purlin_kerf_mm")
    objective = Objective(settings.word("purlin_objective"))
    most = int(max(0.0, settings.number("purlin_most_lengths")))
    need = Need(
        "purlins",
        tuple(quantities),
        tuple(laid.demands),
        tuple(
            StockChoice(t.item, t.lengths_mm, kerf_mm=kerf, objective=objective, most_lengths=most)
            for t in timbers.values()
        ),
        (*(_made(t) for t in timbers.values()), *laid.items),
        tuple(laid.findings),
    )
    return tuple(laid.lines), need


def purlin_lines(
    roof: Roof, roof_job: RoofJob, purlins_job: PurlinsJob, site: Site, settings: Settings, catalogue: Catalogue
) -> tuple[PurlinLine, ...]:
    """The lines that `lay_purlins` lays, and nothing that is bought for them. Raises JobError as it does."""
    plan = replace(_plan(purlins_job, roof_job, site, settings, catalogue), lines_only=True)
    laid = _Laid()
    _lay(plan, roof, roof_job, (), (), laid)
    return tuple(laid.lines)


def _lay(
    plan: _Plan, roof: Roof, roof_job: RoofJob, lap_lines: Sequence[LapLine], holes: Sequence[Hole], laid: _Laid
) -> None:
    for plane in roof.planes:
        if plane.covering is Covering.SHEETS:
            edges = edges_on(roof, plane)
            laps = [v + lap / 2.0 for plane_id, v, lap in lap_lines if plane_id == plane.id]
            own = [hole for hole in holes if hole.plane == plane.id]
            _lay_rows(plan, plane, edges, laps, own, laid)
            _lay_trimmers(plan, plane, edges, roof_job, own, laid)


def _plan(job: PurlinsJob, roof_job: RoofJob, site: Site, settings: Settings, catalogue: Catalogue) -> _Plan:
    gauge, gauge_term = number_or(job.spacing_mm, settings, "purlin_spacing_mm")
    supports, supports_term = number_or(job.supports_mm, settings, "purlin_supports_mm")
    section, section_term = purlin_section(job, supports, settings)
    covering = roof_job.covering
    bmt, _ = number_or(covering.bmt_mm, settings, "sheet_bmt_mm")
    zone, zone_term = wind_zone(site, settings)
    stock = tuple(sorted(set(job.stock_mm))) if job.stock_mm else ()
    valley = settings.word("valley_board_section")
    return _Plan(
        purlin=timber_of(section, stock, catalogue, section_term),
        valley=timber_of(valley, stock, catalogue, settings.term("valley_board_section")),
        outrigger=timber_of(settings.word("outrigger_section"), stock, catalogue, settings.term("outrigger_section")),
        gauge_mm=gauge,
        limits=span_limits(catalogue.profiles[covering.profile], bmt, gauge, settings),
        supports_mm=supports,
        setting_out=settings.word("purlin_supports_from"),
        spare_joints=1 if settings.word("purlin_joints") == "staggered" else 0,
        zone=zone,
        settings=settings,
        terms=(section_term, gauge_term, supports_term, zone_term),
    )


def _lay_rows(
    plan: _Plan,
    plane: RoofPlane,
    edges: Sequence[EdgeOnPlane],
    laps: Sequence[float],
    holes: Sequence[Hole],
    laid: _Laid,
) -> None:
    settings = plan.settings
    rules = RowRules(
        settings.number("purlin_first_row_mm"),
        plan.gauge_mm,
        plan.purlin.width_mm,
        settings.number("purlin_close_row_mm"),
        settings.number("purlin_least_row_mm"),
        settings.flag("purlin_even_spacing"),
        settings.number("internal_gutter_width_mm") / 2.0,
        plan.limits.end_mm,
        settings.number("purlin_least_bay_mm"),
        settings.flag("lap_is_end"),
    )
    tops, words = _top_distances(plan, plane, edges)
    whole = rows_of(plane, edges, rules, tops, laps)
    framed = penetration_trimmers(plane, holes, plan.purlin.width_mm, plan.supports_mm, plan.setting_out)
    rows = cut_rows(whole, holes, framed, rules.width_mm, rules.least_mm)
    laid.findings += row_findings(plane, whole, holes, rules.width_mm)
    if words:
        laid.findings.append(Finding("flashing-row-band", Severity.NOTE, f"{plane.id}: {words}.", refs=(plane.id,)))
    seen: dict[int, int] = {}
    for row, number in zip(rows, row_numbers(rows), strict=True):
        part = seen[number] = seen.get(number, 0) + 1
        several = sum(1 for other in rows if abs(other.v_mm - row.v_mm) <= TOLERANCES.same_point_mm) > 1
        run = f"{_ROW_LETTERS}{plane.id.removeprefix('P')}.{number:02d}{letters(part) if several else ''}"
        line = PurlinLine(run, plane.id, row.role, number, (row.span[0], row.v_mm), (row.span[1], row.v_mm))
        _add(plan, plan.purlin, plane, line, (plane.id, row.edge) if row.edge else (plane.id,), plane.id, laid)
    if not plan.lines_only:
        _check_bays(plan, plane, widest_bay_mm(plane, whole, rules.least_mm), laid)


def _top_distances(plan: _Plan, plane: RoofPlane, edges: Sequence[EdgeOnPlane]) -> tuple[dict[str, float], str]:
    """Distance of the top row by edge id [mm], and words on the band it was read from."""
    distance, _, words = flashing_row(plan.zone, plane.pitch_deg, plan.settings)
    tops = {
        on.edge.id: plan.settings.number(on.edge.kind.row.purlin_at) if on.edge.kind.row.purlin_at else distance
        for on in edges
        if on.edge.kind.row.purlin_row and on.is_top
    }
    needs_band = any(not on.edge.kind.row.purlin_at for on in edges if on.edge.id in tops)
    return tops, words if needs_band else ""


def _lay_trimmers(
    plan: _Plan,
    plane: RoofPlane,
    edges: Sequence[EdgeOnPlane],
    roof_job: RoofJob,
    holes: Sequence[Hole],
    laid: _Laid,
) -> None:
    settings = plan.settings
    trimmers = hip_trimmers(plane, edges, settings.number("hip_trimmer_offset_mm"), plan.purlin.width_mm)
    trimmers += valley_boards(plane, edges, round(settings.number("valley_boards_a_side")), plan.valley.width_mm)
    trimmers += hole_trimmers(plane, edges, settings.number("hole_trimmer_over_mm"))
    trimmers += penetration_trimmers(plane, holes, plan.purlin.width_mm, plan.supports_mm, plan.setting_out)
    for on in edges:
        if on.edge.kind is EdgeKind.VERGE and abs(on.b[1] - on.a[1]) > TOLERANCES.same_point_mm:
            trimmers += _outriggers(plan, plane, on, roof_job)
    counts: dict[str, int] = {}
    for trimmer in trimmers:
        counts[trimmer.role] = counts.get(trimmer.role, 0) + 1
        run = f"{_LETTERS[trimmer.role]}{plane.id.removeprefix('P')}.{counts[trimmer.role]:02d}"
        line = PurlinLine(run, plane.id, trimmer.role, trimmer.number, *trimmer.line)
        timber = {"valley board": plan.valley, "outrigger": plan.outrigger}.get(trimmer.role, plan.purlin)
        _add(plan, timber, plane, line, (plane.id, trimmer.edge), f"{plane.id} {trimmer.edge}", laid)


def _outriggers(plan: _Plan, plane: RoofPlane, on: EdgeOnPlane, roof_job: RoofJob) -> list[Trimmer]:
    settings = plan.settings
    overhang = verge_overhang_mm(roof_job, on.edge.outline_edges)
    distance, _, _ = flashing_row(plan.zone, plane.pitch_deg, settings)
    return outriggers(
        plane,
        on,
        overhang,
        settings.number("outrigger_back_ratio"),
        settings.number("outrigger_spacing_mm"),
        (settings.number("purlin_first_row_mm"), distance),
    )


def verge_overhang_mm(roof_job: RoofJob, outline_edges: Sequence[int]) -> float:
    """Level distance from the wall line to the barge of a verge on these outline edges (1-based) [mm]."""
    own = [roof_job.edges[n].verge_overhang_mm for n in outline_edges if n in roof_job.edges]
    given = [overhang for overhang in own if overhang is not None]
    return max(given) if given else roof_job.verge_overhang_mm


def _add(
    plan: _Plan,
    timber: PurlinTimber,
    plane: RoofPlane,
    line: PurlinLine,
    refs: tuple[str, ...],
    group: str,
    laid: _Laid,
) -> None:
    laid.lines.append(line)
    if plan.lines_only:
        return
    length = hypot(line.b_uv[0] - line.a_uv[0], line.b_uv[1] - line.a_uv[1])
    fly = line.role == "outrigger"
    # an outrigger is one timber across the gable wall: no joint in it
    supports = () if fly else supports_under(plane, line.a_uv, line.b_uv, plan.supports_mm, plan.setting_out)
    splits: tuple[float, ...] | None = supports
    crossed = len(supports)
    least = 0.0 if fly else plan.settings.number("purlin_least_piece_mm")
    if not fly and not reaches(length, supports, max(timber.lengths_mm), least):
        splits = None
        laid.findings.append(_on_a_block(line, length, max(timber.lengths_mm)))
    laid.demands.append(
        RunDemand(
            id=line.run,
            item=timber.item,
            length_mm=length,
            splits_mm=splits,
            least_mm=least,
            row=line.row,
            stagger_mm=0.0 if fly else plan.supports_mm,
            spare_joints=0 if fly else plan.spare_joints,
            tell=not fly and splits is not None,
            group=group,
            refs=refs,
            offset_mm=line.a_uv[0],
            note=_RUN_NOTES.get(line.role, ""),
            working=_run_working(plan, line, length),
        )
    )
    if fly:
        return
    # every rafter between the ends, both ends, and both sides of the joints that the longest stock makes needful
    joints = max(0, ceil((length - TOLERANCES.same_length_mm) / max(timber.lengths_mm)) - 1)
    if line.row % 2 == 0 and one_joint(length, supports, max(timber.lengths_mm), least, plan.supports_mm):
        joints += plan.spare_joints
    laid.crossings += crossed + 2 + joints


def _run_working(plan: _Plan, line: PurlinLine, length_mm: float) -> Working:
    if line.role == "outrigger":
        ratio = plan.settings.term("outrigger_back_ratio")
        return run_working("over the gable wall and so far back inside it", length_mm, line.plane, ratio)
    names = ("purlin_least_piece_mm", "purlin_supports_from", "purlin_joints")
    terms = (Term("supports", plan.supports_mm, "mm"), *(plan.settings.term(name) for name in names))
    if line.role == "purlin" and line.row == 2:  # it stands an end span over the first
        terms += (Term("end span under it at most", plan.limits.end_mm, "mm"), *plan.limits.terms)
    return run_working("length of the row; joints on supports", length_mm, line.plane, *terms)


def _on_a_block(line: PurlinLine, length_mm: float, longest_mm: int) -> Finding:
    return Finding(
        "purlin-joint-on-block",
        Severity.NOTE,
        f"{line.run}: the {line.role} of {length_mm:.0f} mm is longer than stock of {longest_mm} mm, "
        "and no rafter under it gives a joint.",
        "Joint it on a block fixed between the rafters.",
        refs=(line.run, line.plane),
    )


def _check_bays(plan: _Plan, plane: RoofPlane, widest_mm: float, laid: _Laid) -> None:
    laid.widest_mm = max(laid.widest_mm, widest_mm)
    if widest_mm > plan.gauge_mm + TOLERANCES.same_point_mm:
        laid.findings.append(
            Finding(
                "purlin-bay-over-gauge",
                Severity.WARN,
                f"{plane.id}: a bay of {widest_mm:.0f} mm is wider than the gauge of {plan.gauge_mm:.0f}: a row there "
                f"would be shorter than {plan.settings.number('purlin_least_row_mm'):.0f} mm.",
                "Carry the sheets there on the trimmers, or let shorter rows be laid: "
                "`settings: {purlin_least_row_mm: 100}`.",
                (plane.id,),
                source=plan.settings.basis("purlin_least_row_mm").words(),
            )
        )


def _check_section(plan: _Plan, laid: _Laid) -> None:
    narrow, limit = plan.settings.number("purlin_narrow_mm"), plan.settings.number("purlin_narrow_supports_mm")
    too_far = plan.supports_mm > limit + TOLERANCES.same_length_mm
    if laid.demands and too_far and plan.purlin.width_mm <= narrow + TOLERANCES.same_length_mm:
        laid.findings.append(
            Finding(
                "purlin-section-narrow",
                Severity.WARN,
                f"Purlins {plan.purlin.width_mm:.0f} x {plan.purlin.depth_mm:.0f} on supports at "
                f"{plan.supports_mm:.0f} mm: the table's {narrow:.0f} mm wide purlin goes with supports at "
                f"{limit:.0f} mm.",
                "Take a wider purlin, `purlins: {section: 90x45}`, or closer supports.",
                source=plan.settings.basis("purlin_narrow_mm").words(),
            )
        )


def _fixings(plan: _Plan, roof: Roof, laid: _Laid) -> list[Quantity]:
    if not laid.demands:
        return []
    found = crossing_fixing(plan.supports_mm, laid.widest_mm or plan.gauge_mm, plan.zone, plan.settings)
    if isinstance(found, Finding):
        laid.findings.append(found)
        return []
    item = f"purlin_fixing_{found.kind.lower()}"
    laid.items.append(Made(item, "purlin_fixing", (Mark(MarkKind.MADE_AS, found.name),)))
    spare = plan.settings.term("purlin_fixing_spare_percent")
    exact = laid.crossings * found.count * (1.0 + plan.settings.number("purlin_fixing_spare_percent") / 100.0)
    return [
        quantity(
            f"{roof.name} purlin fixings",
            item,
            float(ceil(exact - 1e-9)),
            "each",
            tuple(plane.id for plane in roof.planes if plane.covering is Covering.SHEETS),
            f"type {found.kind}: {found.count} a crossing of purlin and rafter, both sides of joints, with spares",
            Term("crossings", laid.crossings, "each"),
            *found.terms,
            spare,
        )
    ]


def _made(timber: PurlinTimber) -> Made:
    """A purlin as an item: the catalogue's timber, or a section of its own."""
    if timber.name:
        return Made(timber.item, "timber", called(timber.name), timber.item)
    return Made(timber.item, "purlin", (Mark(MarkKind.SIZE, (timber.width_mm, timber.depth_mm)),))
