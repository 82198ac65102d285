"""Everything measured on the roof planes, in the order the figures lean on each other.

Purlin rows come first, since an end lap lies over a purlin; fixings last, since they count sheets crossing purlins.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from takeoff.basics.errors import JobError
from takeoff.basics.records import record
from takeoff.measure.house_figures import counted
from takeoff.measure.item_book import called
from takeoff.measure.roofing.fixings.roof_fixings import measure_fixings
from takeoff.measure.roofing.fixings.screw_counts import plane_screws
from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.flashings.junctions import meetings_of
from takeoff.measure.roofing.flashings.valleys import foot_findings
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
from takeoff.measure.roofing.purlins.purlins import lay_purlins, purlin_lines
from takeoff.measure.roofing.sheets.sheet_labour import end_labour
from takeoff.measure.roofing.sheets.sheets import Beside, count_sheets, place_sheets
from takeoff.measure.roofing.underlay import measure_underlay
from takeoff.measure.roofing.ventilation import ventilation_need
from takeoff.measure.terms import number_or
from takeoff.measure.wind import wind_zone
from takeoff.model.findings import Finding
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.measured import FlashingRun, Need, PlaneScrews, PurlinLine, RoofingMeasured, RoofScrews
from takeoff.model.memory import Same, recalled
from takeoff.model.openings import Hole
from takeoff.model.products import Catalogue, Profile
from takeoff.model.quantities import SheetCount
from takeoff.model.roof import Covering, Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetGroup
from takeoff.model.supplied import PlaneFit


@record
class _House:
    """What holds for every roof of a job. `in_place` and `fits` as `measure_roofing` takes them."""

    job: Job
    settings: Settings
    catalogue: Catalogue
    openings: Openings
    in_place: tuple[Roof, ...]
    fits: Mapping[str, PlaneFit] | None

    def profile_of(self, roof_job: RoofJob) -> Profile:
        """The profile a roof is sheeted with."""
        return self.catalogue.profiles[roof_job.covering.profile]


@record
class _Roof:
    """One roof measured: its sheets with the clear ones, the metal ones alone, timbers, flashings and holes.

    `sealed_mm`: lengths of the edges sealed round its holes; `screws`: the pattern of each plane by its id, `counted`:
    how many its planes take."""

    roof_job: RoofJob
    sheets: tuple[PlaneSheets, ...]
    metal: tuple[PlaneSheets, ...]
    purlins: tuple[PurlinLine, ...]
    flashings: tuple[FlashingRun, ...]
    holes: tuple[Hole, ...]
    sealed_mm: tuple[float, ...]
    screws: Mapping[str, RoofScrews]
    needs: tuple[Need, ...]
    counted: tuple[PlaneScrews, ...]


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
    house = _House(job, settings, catalogue, openings, in_place or roofs, fits)
    measured = _each_roof(roofs, house)
    clear = clear_of([plane for roof in measured for plane in roof.sheets])[1]
    groups = (*_metal_groups(measured, house), *clear_groups(clear, catalogue.profiles, settings))
    return RoofingMeasured(
        sheets=tuple(plane for roof in measured for plane in roof.sheets),
        purlins=tuple(line for roof in measured for line in roof.purlins),
        flashings=tuple(run for roof in measured for run in roof.flashings),
        needs=(*(need for roof in measured for need in roof.needs), *_shared(roofs, measured, groups, house)),
        groups=named_groups(groups),
        holes=tuple(hole for roof in measured for hole in roof.holes),
        screws=tuple(screws for roof in measured for screws in roof.counted),
        meetings=tuple(dict.fromkeys(meeting for roof in house.in_place for meeting in meetings_of(roof))),
    )


def count_roofing(
    roofs: tuple[Roof, ...], job: Job, settings: Settings, catalogue: Catalogue
) -> tuple[tuple[SheetCount, ...], tuple[PurlinLine, ...]]:
    """The sheets of every plane counted, and the lines of timber under them: those of `measure_roofing`. Raises
    JobError for products, holes and clear sheets that cannot be."""
    openings = find_openings(roofs, job, settings, catalogue.profiles)
    if openings.faults:
        raise JobError(*openings.faults)
    house = _House(job, settings, catalogue, openings, roofs, None)
    roof_jobs = {roof_job.name: roof_job for roof_job in job.roofs}
    sheets: list[SheetCount] = []
    lines: list[PurlinLine] = []
    for roof in roofs:
        found = _counts(roof, roof_jobs[roof.name], house)
        sheets += found[0]
        lines += found[1]
    return tuple(sheets), tuple(lines)


def _counts(roof: Roof, roof_job: RoofJob, house: _House) -> tuple[tuple[SheetCount, ...], tuple[PurlinLine, ...]]:
    job, settings = house.job, house.settings
    rows = purlin_lines(roof, roof_job, job.purlins, job.site, settings, house.catalogue)
    found = None
    if not house.openings.holes[roof.name]:
        profile = house.profile_of(roof_job)
        beside = _beside(roof, rows, house)
        found = count_sheets(roof, roof_job, job.site, job.north_deg, settings, profile, beside)
    if found is not None:
        return found, rows
    sheets, _, lines, _ = _laid(roof, roof_job, house)
    return tuple(map(counted, sheets)), lines


def _patterns(measured: Sequence[_Roof]) -> dict[str, RoofScrews]:
    return {plane: screws for roof in measured for plane, screws in roof.screws.items()}


def _each_roof(roofs: tuple[Roof, ...], house: _House) -> tuple[_Roof, ...]:
    """Every roof by itself. Raises JobError with the faults of all of them at once."""
    faults = list(house.openings.faults)
    roof_jobs = {roof_job.name: roof_job for roof_job in house.job.roofs}
    measured: list[_Roof] = []
    for roof, in_place in zip(roofs, house.in_place, strict=True):
        try:
            alone = _alone(roof, in_place, roof_jobs[roof.name], house)
            measured.append(_with_feet(alone, roof, in_place, house))
        except JobError as err:
            faults += err.faults
    if faults:
        raise JobError(*faults)
    return tuple(measured)


def _alone(roof: Roof, in_place: Roof, roof_job: RoofJob, house: _House) -> _Roof:
    """One roof measured, now or before: all that it depends on is named here."""
    job, openings = house.job, house.openings
    own = (openings.holes[roof.name], openings.clear[roof.name], openings.findings[roof.name])
    parts = (job.purlins, job.site, job.north_deg, job.flashings, job.bare_edges.get(roof.name, ()))
    inputs = (roof, in_place, roof_job, *parts, *own, house.fits, Same(house.catalogue))
    return recalled(
        "one roof",
        inputs,
        house.settings,
        lambda asked: _one_roof(roof, in_place, roof_job, replace(house, settings=asked)),
    )


def _with_feet(measured: _Roof, roof: Roof, in_place: Roof, house: _House) -> _Roof:
    """With what is said of valley feet, which depends on the roofs round it."""
    feet = foot_findings(in_place, house.job.bare_edges.get(roof.name, ()), house.in_place)
    purlins, flashings, *others = measured.needs
    told = replace(flashings, findings=(*flashings.findings, *feet))
    return replace(measured, needs=(purlins, told, *others)) if feet else measured


def _one_roof(roof: Roof, in_place: Roof, roof_job: RoofJob, house: _House) -> _Roof:
    """One roof: its sheets and timbers, flashings, holes, work on sheet ends."""
    job, settings, profile = house.job, house.settings, house.profile_of(roof_job)
    sheets, holes, lines, purlin_need = _laid(roof, roof_job, house)
    bare = job.bare_edges.get(roof.name, ())
    runs, flashing_need = measure_flashings(
        in_place, roof_job, job.site, settings, house.catalogue, job.north_deg, job.flashings_by_kind, bare
    )
    metal, _ = clear_of(sheets)
    screws, said = _roof_screws(roof, roof_job, lines, house)
    planes = [plane.id for plane in roof.planes]
    return _Roof(
        roof_job=roof_job,
        sheets=sheets,
        metal=metal,
        purlins=lines,
        flashings=runs,
        holes=holes,
        sealed_mm=sealed_edges_mm(roof, holes, profile, job.site, settings),
        needs=(
            purlin_need,
            flashing_need,
            *opening_need(roof, house.openings, holes, profile, job.site, settings),
            end_labour(metal, roof, settings),
            Need("fixings", findings=said),
        ),
        screws=dict.fromkeys(planes, screws),
        counted=plane_screws(metal, lines, settings, house.catalogue.profiles, dict.fromkeys(planes, screws)),
    )


def _laid(
    roof: Roof, roof_job: RoofJob, house: _House
) -> tuple[tuple[PlaneSheets, ...], tuple[Hole, ...], tuple[PurlinLine, ...], Need]:
    """Rows, sheets over them, the holes in these, and rows again where there are holes or end laps."""
    job, settings = house.job, house.settings
    rows, need = lay_purlins(roof, roof_job, job.purlins, job.site, settings, house.catalogue)
    profile, beside = house.profile_of(roof_job), _beside(roof, rows, house)
    sheets = place_sheets(roof, roof_job, job.site, job.north_deg, settings, profile, beside)
    holes, in_clear = holes_on(house.openings.holes[roof.name], sheets)
    if in_clear:
        raise JobError(*in_clear)
    laps = _lap_lines(sheets)
    if laps or holes:
        rows, need = lay_purlins(
            roof, roof_job, job.purlins, job.site, settings, house.catalogue, lap_lines=laps, holes=holes
        )
    return sheets, holes, rows, need


def _beside(roof: Roof, rows: tuple[PurlinLine, ...], house: _House) -> Beside:
    return Beside(
        bare_edges=house.job.bare_edges.get(roof.name, ()),
        purlin_rows_mm=_rows_by_plane(rows),
        clear=house.openings.clear[roof.name],
        fits=house.fits,
    )


def _metal_groups(measured: Sequence[_Roof], house: _House) -> tuple[SheetGroup, ...]:
    """Sheets of one profile, thickness and colour: one order at the mill."""
    groups: dict[tuple[str, float, str], list[PlaneSheets]] = {}
    for roof in measured:
        covering = roof.roof_job.covering
        bmt = house.settings.number("sheet_bmt_mm") if covering.bmt_mm is None else covering.bmt_mm
        key = (covering.profile, bmt, covering.colour)
        groups.setdefault(key, []).extend(roof.metal)
    profiles = house.catalogue.profiles
    return tuple(
        SheetGroup(profiles[name], bmt, colour, tuple(planes))
        for (name, bmt, colour), planes in groups.items()
        if planes
    )


def named_groups(groups: Sequence[SheetGroup]) -> tuple[SheetGroup, ...]:
    """The groups with what they are on the order; two of one profile in two colours stay apart by a number."""
    found = []
    for number, group in enumerate(groups, start=1):
        family = f"sheet {group.profile.id}"
        marks = [*called(group.profile.name)]
        marks += [Mark(MarkKind.THICK, group.bmt_mm)] if group.bmt_mm > 0.0 else []
        marks += [Mark(MarkKind.COLOUR, group.colour)] if group.colour else []
        sort = "clear_sheet" if group.clear else "sheet"
        item = family + (f" {number}" if len(groups) > 1 else "")
        found.append(replace(group, item=Made(item, sort, tuple(marks), group.profile.id, family)))
    return tuple(found)


def _shared(
    roofs: tuple[Roof, ...], measured: Sequence[_Roof], groups: Sequence[SheetGroup], house: _House
) -> tuple[Need, ...]:
    """What the roofs share: rolls of underlay, and boxes of fixings."""
    if not roofs:
        return ()
    metal, clear = clear_of([plane for roof in measured for plane in roof.sheets])
    fixings = measure_fixings(
        metal,
        [line for roof in measured for line in roof.purlins],
        house.in_place,
        house.settings,
        {**house.catalogue.profiles, **{group.profile.id: group.profile for group in groups if group.clear}},
        [run for roof in measured for run in roof.flashings],
        clear=clear,
        sealed_mm=[length for roof in measured for length in roof.sealed_mm],
        screws=_patterns(measured),
        timber_mm=_timber_depth(house.job, house.settings),
        counted=[plane for roof in measured for plane in roof.counted],
    )
    underlay = measure_underlay(roofs, house.job, house.settings, house.catalogue)
    return underlay, ventilation_need(roofs, house.settings), fixings


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


def _roof_screws(
    roof: Roof, roof_job: RoofJob, lines: Sequence[PurlinLine], house: _House
) -> tuple[RoofScrews, tuple[Finding, ...]]:
    """One pattern for the roof, by the widest bay of its planes."""
    settings = house.settings
    own = [plane for plane in roof.planes if plane.covering is Covering.SHEETS]
    widest = max((widest_bay_of(plane, lines, settings) for plane in own), default=0.0)
    bmt, _ = number_or(roof_job.covering.bmt_mm, settings, "sheet_bmt_mm")
    zone, _ = wind_zone(house.job.site, settings)
    return roof_screws(house.profile_of(roof_job), bmt, widest, zone, settings)


def _timber_depth(job: Job, settings: Settings) -> float:
    supports, _ = number_or(job.purlins.supports_mm, settings, "purlin_supports_mm")
    section, _ = purlin_section(job.purlins, supports, settings)
    return float(section.partition("x")[2])
