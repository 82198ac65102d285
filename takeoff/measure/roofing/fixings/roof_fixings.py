"""Roof screws, rivets, sealant and touch-up paint, with spares, in boxes.

Screws are counted crossing by crossing of sheets and purlins, by the pattern of the job's code; rivets and sealant from
the laps of flashings and sheets and from the junction pieces.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil, floor

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.fixings.boxes import boxed
from takeoff.measure.roofing.fixings.screw_counts import (
    clear_screws,
    length_findings,
    plane_screws,
    roof_screw_item,
    screw_quantities,
)
from takeoff.measure.roofing.flashings.dressings import pieces_needed
from takeoff.measure.roofing.flashings.hole_flashings import rivets_of
from takeoff.measure.roofing.flashings.junctions import junctions_of
from takeoff.measure.terms import quantity
from takeoff.model.basis import Quantity, Term
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import FlashingRun, Need, PlaneScrews, PurlinLine, RoofScrews
from takeoff.model.products import Profile
from takeoff.model.roof import Covering, Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets


def measure_fixings(
    sheets: Sequence[PlaneSheets],
    purlins: Sequence[PurlinLine],
    roofs: Roof | Sequence[Roof],
    settings: Settings,
    profiles: Mapping[str, Profile],
    flashings: Sequence[FlashingRun] = (),
    clear: Sequence[PlaneSheets] = (),
    sealed_mm: Sequence[float] = (),
    *,
    screws: Mapping[str, RoofScrews],
    timber_mm: float = 0.0,
    counted: Sequence[PlaneScrews] | None = None,
) -> Need:
    """Fixings of one roof, or of several together so that boxes are shared.

    `sheets`, `purlins` and `flashings` are those of the roofs given; `profiles` by id; an edge that several roofs share
    is joined once. `clear`: the clear sheets of planes, `sealed_mm`: lengths of edges sealed and riveted round holes.
    `screws`: the pattern of each plane by its id; `timber_mm`: depth of the purlins, 0 where it is not known;
    `counted`: the screws of every plane of `sheets` where they are counted already.
    Raises JobError for a box, tube or spacing that is not above 0.
    """
    several = (roofs,) if isinstance(roofs, Roof) else tuple(roofs)
    by_plane = plane_screws(sheets, purlins, settings, profiles, screws) if counted is None else counted
    lengths = {roof_screw_item(plane.length_mm): plane.length_mm for plane in by_plane if plane.length_mm}
    quantities = [
        *screw_quantities(by_plane, screws, settings),
        *clear_screws(clear, purlins, settings, profiles, screws),
        *_flashing_screws(flashings, settings),
        *_rivets(sheets, several, flashings, sealed_mm, settings),
        *_sealant((*sheets, *clear), several, flashings, sealed_mm, settings, profiles),
        *_touch_up(several, settings),
    ]
    made = tuple(Made(item, "roof_screw", (Mark(MarkKind.LENGTH, float(mm)),)) for item, mm in lengths.items())
    findings = length_findings(sheets, settings, profiles, timber_mm)
    return Need("fixings", tuple(quantities), items=made, findings=findings)


def _flashing_screws(flashings: Sequence[FlashingRun], settings: Settings) -> list[Quantity]:
    spacing = settings.number("flashing_screw_spacing_mm")
    own = [run for run in flashings if run.kind.row.screwed]
    exact = sum(count_up(run.net_mm, spacing, TOLERANCES.same_length_mm) + 1 for run in own)
    refs = tuple(run.edge for run in own)
    rule = "length / spacing + 1 along each barge, cap and side apron"
    term = settings.term("flashing_screw_spacing_mm")
    return boxed("flashing_screw", exact, "screw_spare_percent", "flashing_screw_box", refs, rule, settings, term)


def flashing_laps(run: FlashingRun, settings: Settings) -> int:
    """Laps in a flashing: one fewer than its pieces."""
    length = run.net_mm + run.dress_a_mm + run.dress_b_mm
    return pieces_needed(length, float(run.stock_mm), settings.number("flashing_lap_mm")) - 1


def _rivets(
    sheets: Sequence[PlaneSheets],
    roofs: Sequence[Roof],
    flashings: Sequence[FlashingRun],
    sealed_mm: Sequence[float],
    settings: Settings,
) -> list[Quantity]:
    spacing = settings.number("rivet_spacing_mm")
    across = sum(flashing_laps(run, settings) * (floor(run.girth_mm / spacing + 1e-9) + 1) for run in flashings)
    pieces = sum(len(junctions_of(roof)) for roof in roofs) if flashings else 0
    lapped = sum(1 for plane in sheets for piece in plane.pieces if piece.lap_mm > 0.0)
    at_pieces = pieces * settings.number("rivets_a_junction")
    at_laps = lapped * settings.number("rivets_an_end_lap")
    at_holes = sum(rivets_of(edge, settings) for edge in sealed_mm)
    round_holes = (Term("round sealed flashings of holes", at_holes, "each"),) if at_holes else ()
    terms = (
        *round_holes,
        Term("across laps of flashings", across, "each"),
        Term("junction pieces", pieces, "each"),
        Term("end laps of sheets", lapped, "each"),
        settings.term("rivet_spacing_mm"),
        settings.term("rivets_a_junction"),
        settings.term("rivets_an_end_lap"),
    )
    refs = tuple(run.edge for run in flashings)
    rule = "girth / spacing + 1 across each lap of a flashing, and what junctions and end laps take"
    total = across + at_pieces + at_laps + at_holes
    return boxed("rivet", total, "rivet_spare_percent", "rivet_box", refs, rule, settings, *terms)


def _sealant(
    sheets: Sequence[PlaneSheets],
    roofs: Sequence[Roof],
    flashings: Sequence[FlashingRun],
    sealed_mm: Sequence[float],
    settings: Settings,
    profiles: Mapping[str, Profile],
) -> list[Quantity]:
    beads = settings.number("sealant_beads")
    laps = sum(flashing_laps(run, settings) * run.girth_mm for run in flashings) * beads
    pieces = sum(len(junctions_of(roof)) for roof in roofs) if flashings else 0
    at_pieces = pieces * settings.number("sealant_a_junction_mm")
    lapped = [profiles[plane.profile].overall_mm for plane in sheets for p in plane.pieces if p.lap_mm > 0.0]
    round_holes = (Term("beads round holes", round(sum(sealed_mm) / 1000.0, 3), "m"),) if sealed_mm else ()
    total = laps + at_pieces + sum(lapped) * beads + sum(sealed_mm)
    if total <= 0.0:
        return []
    tubes = float(ceil(total / settings.number("sealant_tube_mm") - 1e-9))
    terms = (
        Term("beads across laps of flashings", round(laps / 1000.0, 3), "m"),
        Term("beads at junction pieces", round(at_pieces / 1000.0, 3), "m"),
        *round_holes,
        Term("beads across end laps of sheets", round(sum(lapped) * beads / 1000.0, 3), "m"),
        settings.term("sealant_beads"),
        settings.term("sealant_a_junction_mm"),
        settings.term("sealant_tube_mm"),
    )
    refs = tuple(run.edge for run in flashings)
    return [quantity("sealant", "sealant", tubes, "tube", refs, "beads / bead a tube gives, whole tubes", *terms)]


def _touch_up(roofs: Sequence[Roof], settings: Settings) -> list[Quantity]:
    own = (plane for roof in roofs for plane in roof.planes if plane.roof == roof.name)
    planes = [plane for plane in own if plane.covering is Covering.SHEETS]
    if not planes:
        return []
    area = sum(plane.area_mm2 for plane in planes) / 1e6
    bottles = float(ceil(area / settings.number("touch_up_m2") - 1e-9))
    terms = (Term("true area", round(area, 3), "m2"), settings.term("touch_up_m2"))
    refs = tuple(plane.id for plane in planes)
    return [quantity("touch-up", "touch_up", bottles, "bottle", refs, "true area / area a bottle serves", *terms)]
