"""Checks of one plane's sheets: length for the truck, end laps, thermal movement and what it asks of fixings."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.measure.roofing.sheets.pitch_rules import PITCH_SLACK_DEG
from takeoff.measure.sheeting.end_laps import LapLines
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site
from takeoff.model.products import Profile, ProfileKind, basis_of
from takeoff.model.roof import RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import SheetPiece


def transport_findings(pieces: Sequence[SheetPiece], site: Site, settings: Settings) -> tuple[Finding, ...]:
    """A warning where a sheet is longer than an ordinary truck brings and the job does not say what the site takes,
    and where it needs special transport."""
    if not pieces:
        return ()
    longest = max(pieces, key=lambda piece: (piece.order_mm, piece.mark))
    metres = longest.order_mm / 1000.0
    if longest.order_mm > settings.number("special_truck_mm"):
        return (
            Finding(
                "special-transport",
                Severity.WARN,
                f"{longest.mark} is {metres:.3f} m long and needs special transport.",
                "Ask the carrier, or have sheets end-lapped: `site: {longest_piece_mm: 12000}`.",
                refs=(longest.mark,),
            ),
        )
    if site.longest_piece_mm is None and longest.order_mm > settings.number("ordinary_truck_mm"):
        return (
            Finding(
                "longer-than-truck",
                Severity.WARN,
                f"{longest.mark} is {metres:.3f} m long, more than an ordinary truck brings; it is kept in one length.",
                "To have longer ones end-lapped, add to the job: `site: {longest_piece_mm: 12000}`.",
                refs=(longest.mark,),
            ),
        )
    return ()


def lap_findings(plane: RoofPlane, laps: LapLines | None, longest_mm: float) -> tuple[Finding, ...]:
    """What an end lap asks of the site, and a stop where the longest piece is too short to make laps with."""
    if laps is None:
        return ()
    if not laps.possible:
        return (
            Finding(
                "longest-piece-too-short",
                Severity.STOP,
                f"{plane.id}: pieces of {longest_mm:.0f} mm are too short to be lapped {laps.lap_mm:.0f} mm.",
                "Let longer pieces come: `site: {longest_piece_mm: 12000}`.",
                refs=(plane.id,),
            ),
        )
    lines = ", ".join(f"{line:.0f}" for line in laps.foot_v_mm)
    text = f"{plane.id} is end-lapped {laps.lap_mm:.0f} mm for transport; upper sheets start {lines} mm up the rake."
    advice = "Put a purlin under each lap and screw through it; seal both ends. The lower tier is laid first."
    found = [Finding("end-lapped", Severity.NOTE, text, advice, refs=(plane.id,))]
    if plane.pitch_deg < laps.from_deg - PITCH_SLACK_DEG:
        found.append(
            Finding(
                "lap-outside-table",
                Severity.WARN,
                f"{plane.id}: {plane.pitch_deg:.1f} degrees is below the pitches its end lap holds for.",
                "Ask the profile's maker for the lap.",
                refs=(plane.id,),
            )
        )
    return tuple(found)


def movement(run_mm: float, settings: Settings) -> tuple[float, Working]:
    """Thermal movement of a run [mm]: expansion x temperature range x length (code of practice, temperature range).

    30 m over 60 K is 21.6 mm.
    """
    per = settings.number("steel_movement_mm_per_m_deg")
    moved = per * settings.number("roof_temperature_range_k") * run_mm / 1000.0
    terms = (
        Term("longest run, lapped lengths as one", round(run_mm), "mm"),
        settings.term("steel_movement_mm_per_m_deg"),
        settings.term("roof_temperature_range_k"),
    )
    return moved, Working("movement = expansion x temperature range x longest run", terms)


def movement_findings(
    plane: RoofPlane, profile: Profile, run_mm: float, moved_mm: float, settings: Settings
) -> tuple[Finding, ...]:
    """A stop where movement is over the limit that the profile's data or the job gives, or a sheet fixed through is
    longer than its code allows; a warning where a run needs provision for movement."""
    return (
        *_over_limit(plane, profile, moved_mm),
        *_pierced(plane, profile, run_mm, settings),
        *_provision(plane, run_mm, moved_mm, settings),
    )


def _pierced(plane: RoofPlane, profile: Profile, run_mm: float, settings: Settings) -> tuple[Finding, ...]:
    most = settings.number("pierced_most_mm")
    if most <= 0.0 or profile.kind is ProfileKind.TRAY or run_mm <= most + 0.5:
        return ()
    return (
        Finding(
            "pierced-too-long",
            Severity.STOP,
            f"{plane.id}: its longest run is {run_mm / 1000.0:.1f} m; sheets fixed through are at most "
            f"{most / 1000.0:g} m between their end fasteners, lapped lengths counted as one.",
            "Break the run with a step, or take a profile held by clips.",
            refs=(plane.id,),
            source=settings.basis("pierced_most_mm").words(),
        ),
    )


def _provision(plane: RoofPlane, run_mm: float, moved_mm: float, settings: Settings) -> tuple[Finding, ...]:
    over = settings.number("movement_over_mm")
    if over <= 0.0 or run_mm <= over + 0.5:
        return ()
    light, dark = (settings.number(name) / 1000.0 for name in ("light_pan_most_mm", "dark_pan_most_mm"))
    return (
        Finding(
            "movement-provision",
            Severity.WARN,
            f"{plane.id}: its longest run is {run_mm / 1000.0:.1f} m and moves {moved_mm:.1f} mm with temperature; "
            f"runs over {over / 1000.0:g} m into timber need provision for movement.",
            f"Have the fixings designed to move: oversize holes with washers, or clips. Fixed through the pans a light "
            f"colour goes to {light:g} m, a dark one to {dark:g} m.",
            refs=(plane.id,),
            source=settings.basis("movement_over_mm").words(),
        ),
    )


def _over_limit(plane: RoofPlane, profile: Profile, moved_mm: float) -> tuple[Finding, ...]:
    limit = profile.expansion_limit_mm
    if limit is None or moved_mm <= limit + 1e-9:
        return ()
    basis = basis_of(profile, "expansion_limit_mm")
    return (
        Finding(
            "movement-over-limit",
            Severity.STOP,
            f"{plane.id}: its longest run moves {moved_mm:.1f} mm with temperature; {profile.name} takes {limit:g} mm.",
            "Break the run with a step: an end lap does not help, lapped lengths move as one.",
            refs=(plane.id,),
            source="" if basis is None else basis.words(),
        ),
    )
