"""Everything measured on the roof planes, in the order the figures lean on each other.

Purlin rows come first, since an end lap lies over a purlin; fixings last, since they count sheets crossing purlins.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from takeoff.basics.errors import JobError
from takeoff.measure.roofing.fixings.roof_fixings import measure_fixings
from takeoff.measure.roofing.fixings.screw_counts import plane_screws
from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.openings.roof_openings import (
    Openings,
    clear_groups,
    clear_of,
    find_openings,
    holes_on,
    opening_need,
    sealed_edges_mm,
)
from takeoff.measure.roofing.purlins.purlin_rows import LEVEL_ROLES, widest_bay_of
from takeoff.measure.roofing.purlins.purlin_timbers import purlin_section
from takeoff.measure.roofing.purlins.purlins import lay_purlins
from takeoff.measure.roofing.sheets.sheet_labour import end_labour
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.measure.roofing.underlay import measure_underlay
from takeoff.measure.roofing.ventilation import ventilation_need
from takeoff.measure.terms import number_or
from takeoff.measure.wind import wind_zone
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.measured import FlashingRun, Need, PurlinLine, RoofingMeasured, RoofScrews
from takeoff.model.openings import Hole
from takeoff.model.products import Catalogue, Profile
from takeoff.model.roof import Covering, Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetGroup
from takeoff.model.supplied import PlaneFit


@dataclass(frozen=True, slots=True)
class _Ground:
    """What every roof is measured with: the job's words, the holes and clear sheets found, the frame as taped."""

    job: Job
    settings: Settings
    catalogue: Catalogue
    openings: Openings
    fits: Mapping[str, PlaneFit] | None


@dataclass(frozen=True, slots=True)
class _RoofMeasured:
    """Everything measured on the planes of one roof, and what lies in a clear sheet that must not."""

    roof: Roof
    sheets: tuple[PlaneSheets, ...]
    purlins: tuple[PurlinLine, ...]
    flashings: tuple[FlashingRun, ...]
    holes: tuple[Hole, ...]
    sealed_mm: tuple[float, ...]
    screws: RoofScrews
    needs: tuple[Need, ...]
    faults: tuple[str, ...]


def measure_roofing(
    roofs: tuple[Roof, ...],
    job: Job,
    settings: Settings,
    catalogue: Catalogue,
    in_place: tuple[Roof, ...] = (),
    fits: Mapping[str, PlaneFit] | None = None,
) -> RoofingMeasured:
    """Purlins, sheets, flashings, underlay and fixings of all roofs; `catalogue` holds the job's own profiles too.

    `in_place`: every roof with what it shares edges with round it, for the flashings between roofs and the
    pieces where they meet; without it each roof stands alone. `fits`: by plane id the frame as measured on site; its
    sheets follow it, all else stays as drawn. Raises JobError for products that do not exist, and with
    every hole and clear sheet that cannot be where the job puts it. Findings stand in the needs and in each plane's
    sheets.
    """
    openings = find_openings(roofs, job, settings, catalogue.profiles)
    ground = _Ground(job, settings, catalogue, openings, fits)
    faults = list(openings.faults)
    done: list[_RoofMeasured] = []
    for roof, placed_roof in zip(roofs, in_place or roofs, strict=True):
        try:
            done.append(_one_roof(roof, placed_roof, ground))
        except JobError as err:
            faults += err.faults
        else:
            faults += done[-1].faults
    if faults:
        raise JobError(*faults)
    return _together(roofs, in_place or roofs, done, ground)


def _one_roof(roof: Roof, placed_roof: Roof, ground: _Ground) -> _RoofMeasured:
    """One roof: rows of purlins, sheets on them, purlins again under the end laps, flashings, holes."""
    job, settings, catalogue, openings = ground.job, ground.settings, ground.catalogue, ground.openings
    roof_job = next(roof_job for roof_job in job.roofs if roof_job.name == roof.name)
    profile = catalogue.profiles[roof_job.covering.profile]
    rows, _ = lay_purlins(roof, roof_job, job.purlins, job.site, settings, catalogue)
    sheets = place_sheets(
        roof,
        roof_job,
        job.site,
        job.north_deg,
        settings,
        profile,
        bare_edges=job.bare_edges.get(roof.name, ()),
        purlin_rows_mm=_rows_by_plane(rows),
        clear=openings.clear[roof.name],
        fits=ground.fits,
    )
    holes, faults = holes_on(openings.holes[roof.name], sheets)
    laps = _lap_lines(sheets)
    purlins, purlin_need = lay_purlins(
        roof, roof_job, job.purlins, job.site, settings, catalogue, lap_lines=laps, holes=holes
    )
    flashings, flashing_need = measure_flashings(
        placed_roof, roof_job, job.site, settings, catalogue, job.north_deg, job.flashings_by_kind
    )
    metal, _ = clear_of(sheets)
    screws, said = _roof_screws(roof, roof_job, purlins, job.site, settings, profile)
    return _RoofMeasured(
        roof=roof,
        sheets=tuple(sheets),
        purlins=tuple(purlins),
        flashings=tuple(flashings),
        holes=tuple(holes),
        sealed_mm=tuple(sealed_edges_mm(roof, holes, profile, job.site, settings)),
        needs=(
            purlin_need,
            flashing_need,
            *opening_need(roof, openings, holes, profile, job.site, settings),
            Need(trade="roofing", quantities=end_labour(metal, roof, settings)),
            Need("fixings", findings=said),
        ),
        screws=screws,
        faults=tuple(faults),
    )


def _together(
    roofs: tuple[Roof, ...], in_place: tuple[Roof, ...], done: Sequence[_RoofMeasured], ground: _Ground
) -> RoofingMeasured:
    """All roofs as one: sheets by what the mill runs together, and what is counted over them all."""
    job, settings, catalogue = ground.job, ground.settings, ground.catalogue
    sheets = tuple(plane for one in done for plane in one.sheets)
    purlins = tuple(line for one in done for line in one.purlins)
    flashings = tuple(run for one in done for run in one.flashings)
    metal, clear = clear_of(sheets)
    clear_orders = clear_groups(clear, catalogue.profiles, settings)
    needs = [need for one in done for need in one.needs]
    screws = {plane.id: one.screws for one in done for plane in one.roof.planes}
    if roofs:
        profiles = {**catalogue.profiles, **{group.profile.id: group.profile for group in clear_orders}}
        sealed_mm = [length for one in done for length in one.sealed_mm]
        needs.append(measure_underlay(roofs, job, settings, catalogue))
        needs.append(ventilation_need(roofs, settings))
        needs.append(
            measure_fixings(
                metal,
                purlins,
                in_place,
                settings,
                profiles,
                flashings,
                clear=clear,
                sealed_mm=sealed_mm,
                screws=screws,
                timber_mm=_timber_depth(job, settings),
            )
        )
    return RoofingMeasured(
        sheets=sheets,
        purlins=purlins,
        flashings=flashings,
        needs=tuple(needs),
        groups=(*_metal_groups(done, ground), *clear_orders),
        holes=tuple(hole for one in done for hole in one.holes),
        screws=plane_screws(metal, purlins, settings, catalogue.profiles, screws),
    )


def _metal_groups(done: Sequence[_RoofMeasured], ground: _Ground) -> tuple[SheetGroup, ...]:
    """Metal sheets by profile, thickness and colour: each is one order at the mill."""
    groups: dict[tuple[str, float, str], list[PlaneSheets]] = {}
    roof_jobs = {roof_job.name: roof_job for roof_job in ground.job.roofs}
    for one in done:
        metal, _ = clear_of(one.sheets)
        groups.setdefault(_group_key(roof_jobs[one.roof.name], ground.settings), []).extend(metal)
    return tuple(
        SheetGroup(ground.catalogue.profiles[profile_id], bmt, colour, tuple(planes))
        for (profile_id, bmt, colour), planes in groups.items()
        if planes
    )


def _roof_screws(
    roof: Roof, roof_job: RoofJob, lines: Sequence[PurlinLine], site: Site, settings: Settings, profile: Profile
) -> tuple[RoofScrews, tuple[Finding, ...]]:
    """One pattern for the roof, by the widest bay of its planes."""
    own = [plane for plane in roof.planes if plane.covering is Covering.SHEETS]
    widest = max((widest_bay_of(plane, lines, settings) for plane in own), default=0.0)
    bmt, _ = number_or(roof_job.covering.bmt_mm, settings, "sheet_bmt_mm")
    zone, _ = wind_zone(site, settings)
    return roof_screws(profile, bmt, widest, zone, settings)


def _timber_depth(job: Job, settings: Settings) -> float:
    supports, _ = number_or(job.purlins.supports_mm, settings, "purlin_supports_mm")
    section, _ = purlin_section(job.purlins, supports, settings)
    return float(section.partition("x")[2])


def _group_key(roof_job: RoofJob, settings: Settings) -> tuple[str, float, str]:
    covering = roof_job.covering
    bmt = settings.number("sheet_bmt_mm") if covering.bmt_mm is None else covering.bmt_mm
    return (covering.profile, bmt, covering.colour)


def _rows_by_plane(lines: tuple[PurlinLine, ...]) -> dict[str, tuple[float, ...]]:
    rows: dict[str, set[float]] = {}
    for line in lines:
        if line.role in LEVEL_ROLES:
            rows.setdefault(line.plane, set()).add(round((line.a_uv[1] + line.b_uv[1]) / 2, 3))
    return {plane: tuple(sorted(found)) for plane, found in rows.items()}


def _lap_lines(sheets: tuple[PlaneSheets, ...]) -> tuple[tuple[str, float, float], ...]:
    """End laps: (plane, v where the upper parts begin, length of the lap [mm])."""
    laps = {(p.plane, p.strip, p.run, p.part): p.lap_mm for s in sheets for p in s.pieces}
    found = {
        (p.plane, round(p.foot_v_mm, 3), laps.get((p.plane, p.strip, p.run, p.part - 1), 0.0))
        for s in sheets
        for p in s.pieces
        if p.part > 0
    }
    return tuple(sorted(found))
