"""Holes and clear sheets of all roofs of a job, and what they change: one place for the roofing story to ask."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from takeoff.basics.errors import Fault
from takeoff.basics.records import record
from takeoff.measure.roofing.flashings.hole_flashings import measure_hole_flashings, riveted_mm
from takeoff.measure.roofing.openings.hole_places import find_holes, on_sheets
from takeoff.measure.roofing.sheets.rooflights import (
    ClearSpan,
    clear_profile,
    clear_spans,
    hole_in_clear,
    metal_and_clear,
)
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.model.job.site import Site
from takeoff.model.measured import Need
from takeoff.model.openings import Hole
from takeoff.model.products import Profile
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetGroup


@record
class Openings:
    """Holes, wanted clear sheets and findings by roof name; faults of the job in sentences."""

    holes: Mapping[str, tuple[Hole, ...]]
    clear: Mapping[str, tuple[ClearSpan, ...]]
    findings: Mapping[str, tuple[Finding, ...]]
    faults: tuple[str, ...]


def find_openings(roofs: Sequence[Roof], job: Job, settings: Settings, profiles: Mapping[str, Profile]) -> Openings:
    """Holes and clear sheets of every roof, found on its planes; holes are numbered through the job."""
    holes: dict[str, tuple[Hole, ...]] = {}
    clear: dict[str, tuple[ClearSpan, ...]] = {}
    findings: dict[str, tuple[Finding, ...]] = {}
    faults: list[str] = []
    given = {roof_job.name: roof_job for roof_job in job.roofs}
    first = 1
    for roof in roofs:
        roof_job = given[roof.name]
        found = find_holes(roof, roof_job, settings, first)
        first += len(roof_job.penetrations)
        cover = profiles[roof_job.covering.profile].cover_mm
        spans, missing = clear_spans(roof, roof_job.rooflight_sheets, cover)
        holes[roof.name], clear[roof.name], findings[roof.name] = found.holes, spans, found.findings
        faults += [*found.faults, *missing]
    return Openings(holes, clear, findings, tuple(faults))


def holes_on(holes: Sequence[Hole], sheets: Sequence[PlaneSheets]) -> tuple[tuple[Hole, ...], tuple[str, ...]]:
    """Holes with the sheets that carry them, and a fault for each that lies in a clear sheet."""
    placed: list[Hole] = []
    faults: list[str] = []
    for hole in holes:
        own = next(plane for plane in sheets if plane.plane == hole.plane)
        mark = hole_in_clear(own, hole.ring_uv)
        if mark:
            text = f"roof {hole.roof}: penetration {hole.name} lies in the clear sheet {mark}"
            faults.append(Fault(text, "roofs", hole.roof, "penetrations"))
        placed.append(on_sheets(hole, own))
    return tuple(placed), tuple(faults)


def opening_need(
    roof: Roof, openings: Openings, holes: Sequence[Hole], profile: Profile, site: Site, settings: Settings
) -> tuple[Need, ...]:
    """Flashings of a roof's holes, and what was noticed about them; nothing for a roof without holes."""
    findings = openings.findings[roof.name]
    need = measure_hole_flashings(roof, holes, profile, site, settings)
    if need is not None:
        return (replace(need, findings=findings),)
    return (Need("flashings", findings=findings),) if findings else ()


def sealed_edges_mm(
    roof: Roof, holes: Sequence[Hole], profile: Profile, site: Site, settings: Settings
) -> tuple[float, ...]:
    """Lengths of the sealed and riveted edges round a roof's holes [mm], holes without one left out."""
    edges = [riveted_mm(hole, profile, site, roof.plane(hole.plane).pitch_deg, settings) for hole in holes]
    return tuple(edge for edge in edges if edge > 0.0)


def clear_of(sheets: Sequence[PlaneSheets]) -> tuple[tuple[PlaneSheets, ...], tuple[PlaneSheets, ...]]:
    """Planes with their metal sheets only, and those that have clear sheets with these only."""
    both = [metal_and_clear(plane) for plane in sheets]
    return tuple(metal for metal, _ in both), tuple(clear for _, clear in both if clear is not None)


def clear_groups(
    clear: Sequence[PlaneSheets], profiles: Mapping[str, Profile], settings: Settings
) -> tuple[SheetGroup, ...]:
    """One order of clear sheets for each profile."""
    by_profile: dict[str, list[PlaneSheets]] = {}
    for plane in clear:
        by_profile.setdefault(plane.profile, []).append(plane)
    clears = {made.id: made for made in (clear_profile(profile, settings) for profile in profiles.values())}
    return tuple(SheetGroup(clears[name], 0.0, "", tuple(planes), clear=True) for name, planes in by_profile.items())
