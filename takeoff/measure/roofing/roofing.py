"""Everything measured on the roof planes, in the order the figures lean on each other.

Purlin rows come first, since an end lap lies over a purlin; fixings last, since they count sheets crossing purlins.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takeoff.basics.errors import JobError
from takeoff.measure.roofing.fixings.roof_fixings import measure_fixings
from takeoff.measure.roofing.fixings.screw_counts import plane_screws
from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.openings.roof_openings import (
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
    sheets: list[PlaneSheets] = []
    purlins: list[PurlinLine] = []
    flashings: list[FlashingRun] = []
    needs: list[Need] = []
    groups: dict[tuple[str, float, str], list[PlaneSheets]] = {}
    holes: list[Hole] = []
    patterns: dict[str, RoofScrews] = {}
    sealed_mm: list[float] = []
    openings = find_openings(roofs, job, settings, catalogue.profiles)
    faults = list(openings.faults)
    roof_jobs = {roof_job.name: roof_job for roof_job in job.roofs}
    for roof, placed_roof in zip(roofs, in_place or roofs, strict=True):
        roof_job = roof_jobs[roof.name]
        profile = catalogue.profiles[roof_job.covering.profile]
        lines, _ = lay_purlins(roof, roof_job, job.purlins, job.site, settings, catalogue)
        try:
            placed = place_sheets(
                roof,
                roof_job,
                job.site,
                job.north_deg,
                settings,
                profile,
                bare_edges=job.bare_edges.get(roof.name, ()),
                purlin_rows_mm=_rows_by_plane(lines),
                clear=openings.clear[roof.name],
                fits=fits,
            )
        except JobError as err:
            faults += err.faults
            continue
        own_holes, in_clear = holes_on(openings.holes[roof.name], placed)
        faults += in_clear
        laps = _lap_lines(placed)
        lines, purlin_need = lay_purlins(
            roof, roof_job, job.purlins, job.site, settings, catalogue, lap_lines=laps, holes=own_holes
        )
        runs, flashing_need = measure_flashings(
            placed_roof, roof_job, job.site, settings, catalogue, job.north_deg, job.flashings_by_kind
        )
        needs += [purlin_need, flashing_need]
        needs += opening_need(roof, openings, own_holes, profile, job.site, settings)
        metal, _ = clear_of(placed)
        needs.append(Need(trade="roofing", quantities=end_labour(metal, roof, settings)))
        holes += own_holes
        sealed_mm += sealed_edges_mm(roof, own_holes, profile, job.site, settings)
        screws, said = _roof_screws(roof, roof_job, lines, job.site, settings, profile)
        patterns |= {plane.id: screws for plane in roof.planes}
        needs.append(Need("fixings", findings=said))
        sheets += placed
        purlins += lines
        flashings += runs
        groups.setdefault(_group_key(roof_job, settings), []).extend(metal)
    if faults:
        raise JobError(*faults)
    metal, clear = clear_of(sheets)
    clear_orders = clear_groups(clear, catalogue.profiles, settings)
    if roofs:
        profiles = {**catalogue.profiles, **{group.profile.id: group.profile for group in clear_orders}}
        needs.append(measure_underlay(roofs, job, settings, catalogue))
        needs.append(ventilation_need(roofs, settings))
        needs.append(
            measure_fixings(
                metal,
                purlins,
                in_place or roofs,
                settings,
                profiles,
                flashings,
                clear=clear,
                sealed_mm=sealed_mm,
                screws=patterns,
                timber_mm=_timber_depth(job, settings),
            )
        )
    return RoofingMeasured(
        sheets=tuple(sheets),
        purlins=tuple(purlins),
        flashings=tuple(flashings),
        needs=tuple(needs),
        groups=(
            *(
                SheetGroup(catalogue.profiles[profile_id], bmt, colour, tuple(planes))
                for (profile_id, bmt, colour), planes in groups.items()
                if planes
            ),
            *clear_orders,
        ),
        holes=tuple(holes),
        screws=plane_screws(metal, purlins, settings, catalogue.profiles, patterns),
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
