"""Flashings of one roof: a run along every edge that has one, with its section, dressings and hand.

Common practice, no source, where a setting names none. What is bought is the net length of the edge, dressed at both
ends, in lengths that lap by 150 mm: pieces = ceil((run - lap) / (stock - lap)).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from math import cos, radians

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.basics.rounding import whole_degrees
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.item_book import called
from takeoff.measure.roofing.flashings.dressings import end_dressings, pieces_needed
from takeoff.measure.roofing.flashings.flashing_cover import Cover, cover_category
from takeoff.measure.roofing.flashings.flashing_movement import movement_findings
from takeoff.measure.roofing.flashings.flashing_shapes import Shaped, Wanted, is_corrugate, shape_of
from takeoff.measure.roofing.flashings.fold_sections import section
from takeoff.measure.roofing.flashings.junctions import closure_quantities, junction_quantities
from takeoff.measure.roofing.flashings.valleys import valley_findings
from takeoff.measure.roofing.sheets.lay_direction import bearing_deg, bearing_word
from takeoff.measure.sheeting.lee_end import BEARINGS, no_lee_end
from takeoff.measure.sundries import valley_clips
from takeoff.measure.terms import number_or, product_term
from takeoff.measure.wind import wind_zone
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.measured import FlashingRun, Need
from takeoff.model.products import Catalogue, FlashingProfile, Profile
from takeoff.model.roof import Covering, Roof, RoofEdge, RoofPlane
from takeoff.model.runs import AlongBought, RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import edge_on


@record
class _Ground:
    """What holds for every flashing of a roof. `products` by id; `chosen`: by edge kind the one the job names; `lee`
    names the end laying starts from."""

    roof: Roof
    profile: Profile
    site: Site
    settings: Settings
    products: Mapping[str, FlashingProfile]
    chosen: Mapping[str, str]
    lee: str
    north_deg: float


def measure_flashings(
    roof: Roof,
    roof_job: RoofJob,
    site: Site,
    settings: Settings,
    catalogue: Catalogue,
    north_deg: float = 0.0,
    chosen: Mapping[str, str] | None = None,
    bare: Collection[int] = (),
) -> tuple[tuple[FlashingRun, ...], Need]:
    """Flashings along every edge of a sheeted plane but the eaves, in the roof's order of edges. `north_deg`: bearing
    of plan up. `chosen`: by edge kind the flashing the job names. `bare`: outline edges without a gutter.

    An edge that two roofs share is counted with the roof it names; both must be in `roof` for its two pitches.

    Returns the runs and the need of trade "flashings": runs to be cut from stock, junction pieces, soft edge or
    closures, findings. Raises JobError for a profile that the catalogue does not have.
    """
    profile = catalogue.profiles.get(roof_job.covering.profile)
    if profile is None:
        raise JobError(f"roof {roof.name}: no profile {roof_job.covering.profile!r} in the catalogue or the job.")
    lee = roof_job.covering.lay_from or settings.word("lay_from")
    ground = _Ground(roof, profile, site, settings, catalogue.flashings, chosen or {}, lee, north_deg)
    runs: list[FlashingRun] = []
    doubts: dict[str, None] = {}
    for edge in roof.own_edges:
        planes = [plane for plane in roof.planes if plane.id in edge.faces and plane.covering is Covering.SHEETS]
        if edge.kind.row.flashing and planes and edge.length_mm > TOLERANCES.same_point_mm:  # a crumb carries none
            cover = _cover(ground, planes)
            doubts[cover.doubt] = None
            runs.append(_run(ground, edge, planes, cover))
    corrugate = is_corrugate(profile)
    joined = junction_quantities(roof, bare)
    quantities = (
        *(counted for counted, _ in joined),
        *closure_quantities(roof, runs, corrugate, settings),
        *valley_clips(roof, runs, settings),
    )
    findings = (
        *_cover_findings(doubts, runs, settings),
        *valley_findings(roof, runs, settings),
        *movement_findings(runs, settings),
    )
    need = Need(
        "flashings",
        quantities,
        tuple(_demand(run, settings) for run in runs),
        tuple({run.item: _stock(run) for run in runs}.values()),
        (*{run.item: _made(ground, run) for run in runs}.values(), *(made for _, made in joined if made is not None)),
        findings,
    )
    return tuple(runs), need


def _cover(ground: _Ground, planes: Sequence[RoofPlane]) -> Cover:
    """Category by the flatter of an edge's planes."""
    zone, _ = wind_zone(ground.site, ground.settings)
    return cover_category(zone, min(plane.pitch_deg for plane in planes), ground.settings)


def _run(ground: _Ground, edge: RoofEdge, planes: Sequence[RoofPlane], cover: Cover) -> FlashingRun:
    settings = ground.settings
    product = ground.products[ground.chosen.get(edge.kind.value, edge.kind.row.flashing)]
    pitches = tuple(plane.pitch_deg for plane in planes)
    rain, _ = number_or(ground.site.rain_mm_per_h, settings, "rain_if_not_given_mm_per_h")
    shaped = shape_of(product, Wanted(edge, pitches, cover, ground.profile, settings, rain))
    hand = _hand(ground.roof, edge, planes[0]) if shaped.hand else ""
    bent = shaped.bent if hand == shaped.hand else shaped.bent.mirrored()
    low, high = end_dressings(ground.roof, edge)
    stock, stock_term = _stock_mm(ground, product)
    length = edge.length_mm + settings.number(low) + settings.number(high)
    pieces = pieces_needed(length, stock, settings.number("flashing_lap_mm"))
    angle = str(whole_degrees(shaped.angle_deg))
    soft = shaped.soft_edges if is_corrugate(ground.profile) else 0
    # what is dressed into corrugate and what is notched over ribs are two things to order
    over = "ribbed" if shaped.soft_edges and not soft else ""
    # turned end for end a section keeps its face up and is the other hand: both are one thing to buy
    own = hand if product.handed else ""
    item = "_".join(part for part in (product.id, str(_girth(shaped)), angle, shaped.way, own, over) if part)
    folded = replace(section(item, product.name, bent, soft), hand=hand, handed=product.handed)
    return FlashingRun(
        run=f"F{edge.id}",
        edge=edge.id,
        kind=edge.kind,
        flashing=product.id,
        net_mm=edge.length_mm,
        dress_a_mm=settings.number(low),
        dress_b_mm=settings.number(high),
        girth_mm=float(folded.girth_mm),
        folds=folded.folds,
        between_deg=shaped.angle_deg,
        hand=hand,
        working=Working(
            f"net length and dressings; pieces = ceil((run - lap) / (stock - lap)) = {pieces}",
            (
                Term("net length", edge.length_mm, "mm", ref=edge.id),
                settings.term(low),
                settings.term(high),
                settings.term("flashing_lap_mm"),
                stock_term,
                *shaped.terms,
            ),
        ),
        item=item,
        section=folded,
        lap_from=_lap_from(ground, edge, planes[0]) if edge.kind.row.level else "the eave up",
        stock_mm=stock,
        way=shaped.way,
        ribbed=bool(over),
    )


def _lap_from(ground: _Ground, edge: RoofEdge, plane: RoofPlane) -> str:
    """The end that a level flashing is lapped from: the lee end; square to the wind, where there is none, the left end
    seen from the first plane's eave, as its sheets start."""
    along = (edge.b_mm[0] - edge.a_mm[0], edge.b_mm[1] - edge.a_mm[1])
    line_deg = bearing_deg(*along, ground.north_deg)
    lee_deg = 45.0 * BEARINGS.index(ground.lee)
    if no_lee_end(line_deg, lee_deg, ground.settings):
        left = bearing_deg(-plane.frame.u[0], -plane.frame.u[1], ground.north_deg)
        return f"the {bearing_word(left)} end (square to the wind: no lee end)"
    near = line_deg if cos(radians(line_deg - lee_deg)) > 0.0 else line_deg + 180.0
    return f"the lee end ({bearing_word(near % 360.0)})"


def _girth(shaped: Shaped) -> int:
    return sum(leg.whole_mm for leg in shaped.bent.legs)


def _hand(roof: Roof, edge: RoofEdge, plane: RoofPlane) -> str:
    """Side of the plane that a barge or side apron stands on, seen from below the plane's eave."""
    on = edge_on(roof, plane, edge)
    return "left" if on.inward[0] > 0.0 else "right"


def _stock_mm(ground: _Ground, product: FlashingProfile) -> tuple[int, Term]:
    """Length a flashing is bought in [mm]: the setting, else the catalogue's; never longer than the site can take."""
    settings = ground.settings
    stock = settings.number("flashing_length_mm")
    term = settings.term("flashing_length_mm")
    if stock <= 0.0:
        stock, term = float(product.stock_mm), product_term(product, "stock_mm", product.stock_mm, "mm")
    longest = ground.site.longest_piece_mm
    if longest is not None and longest < stock:
        stock, term = longest, Term("longest_piece_mm", longest, "mm", SET_IN_JOB)
    return int(stock), term


def _demand(run: FlashingRun, settings: Settings) -> RunDemand:
    return RunDemand(
        id=run.run,
        item=run.item,
        length_mm=run.net_mm + run.dress_a_mm + run.dress_b_mm,
        splits_mm=None,
        lap_mm=settings.number("flashing_lap_mm"),
        least_mm=settings.number("flashing_least_piece_mm"),
        refs=(run.edge,),
        working=run.working,
    )


def _stock(run: FlashingRun) -> StockChoice:
    """What a run is bought in; its soft edges go along the whole of it."""
    edges = run.section.soft_edges if run.section is not None else 0
    return StockChoice(run.item, (run.stock_mm,), along=(AlongBought("soft_edge", edges),) if edges else ())


def _made(ground: _Ground, run: FlashingRun) -> Made:
    """A flashing in one section as it is ordered, a hand only where one cannot be turned into the other."""
    marks = [
        *called(ground.products[run.flashing].name),
        Mark(MarkKind.GIRTH, run.girth_mm),
        Mark(MarkKind.FOLDS, float(run.folds)),
        Mark(MarkKind.BEND, run.between_deg),
    ]
    marks += [Mark(MarkKind.WAY, run.way)] if run.way else []
    marks += [Mark(MarkKind.HAND, run.hand)] if run.hand and ground.products[run.flashing].handed else []
    marks += [Mark(MarkKind.RIBBED, 1.0)] if run.ribbed else []
    return Made(run.item, "flashing", tuple(marks), run.flashing)


def _cover_findings(doubts: dict[str, None], runs: Sequence[FlashingRun], settings: Settings) -> list[Finding]:
    source = settings.basis("flashing_category").words()
    found = [
        Finding("flashing-cover-doubt", Severity.NOTE, f"Flashing cover: {doubt}.", "Ask the designer.", source=source)
        for doubt in doubts
        if doubt
    ]
    if runs and settings.word("flashing_category") == "c":
        found.append(
            Finding(
                "flashing-baffle",
                Severity.NOTE,
                "Category C flashings across the sheets need a baffle, which is not in this order.",
                "Have it designed with the flashings.",
                source=source,
            )
        )
    return found
