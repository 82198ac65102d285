"""Checks of one plane's sheets: least pitch, length for the truck, thermal movement."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.measure.roofing.sheets.end_laps import LapLines
from takeoff.measure.terms import product_term
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site
from takeoff.model.products import Profile, basis_of
from takeoff.model.roof import RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import SheetPiece

PITCH_SLACK_DEG = 0.01  # an imported plane's pitch is fitted, no better than this


def least_pitch(profile: Profile, run_mm: float, lapped: bool, site: Site, settings: Settings) -> Working:
    """Least pitch for a profile and a run of that length: the last term is the result [deg].

    The profile's least pitch, plain or end-lapped; runs over 40 m need 1 degree more, and above 100 mm/h of rain a
    further degree for each 10 m over 40 m (code of practice, from a table for runs up to 60 m).
    """
    field, least = (
        ("least_pitch_lapped_deg", profile.least_pitch_lapped_deg)
        if lapped
        else ("least_pitch_deg", profile.least_pitch_deg)
    )
    terms = [product_term(profile, field, least, "deg")]
    over = run_mm - settings.number("long_run_mm")
    if over > 0.5:
        terms += [Term("run", round(run_mm), "mm"), settings.term("long_run_pitch_deg"), settings.term("long_run_mm")]
        least += settings.number("long_run_pitch_deg")
        if site.rain_mm_per_h is not None and site.rain_mm_per_h > settings.number("long_run_rain_mm_per_h"):
            least += float(ceil((over - 0.5) / 10_000.0))
            terms.append(settings.term("long_run_rain_mm_per_h"))
    return Working("least pitch of the profile, more for long runs", (*terms, Term("least pitch", least, "deg")))


def pitch_findings(
    plane: RoofPlane, profile: Profile, run_mm: float, lapped: bool, site: Site, settings: Settings
) -> tuple[Finding, ...]:
    """Stops below the least pitch of the profile; a pitch on the limit passes."""
    working = least_pitch(profile, run_mm, lapped, site, settings)
    least = float(working.terms[-1].value)
    found: list[Finding] = []
    basis = working.terms[0].basis
    if plane.pitch_deg < least - PITCH_SLACK_DEG:
        how = "end-lapped " if lapped else ""
        found.append(
            Finding(
                "pitch-below-least",
                Severity.STOP,
                f"{plane.id} has a pitch of {plane.pitch_deg:.1f} degrees; {how}{profile.name} needs {least:g} degrees "
                f"for its run of {run_mm / 1000.0:.1f} m.",
                "Give a steeper pitch or a profile made for this one"
                + (", or longer pieces so that no end lap is needed." if lapped else "."),
                refs=(plane.id,),
                source="" if basis is None else basis.words(),
            )
        )
    if run_mm > settings.number("long_run_most_mm") + 0.5:
        found.append(
            Finding(
                "run-beyond-rule",
                Severity.WARN,
                f"{plane.id} drains over {run_mm / 1000.0:.1f} m of sheet; the rule for least pitch holds no further.",
                "Ask the profile's maker, or break the run with a step.",
                refs=(plane.id,),
            )
        )
    return tuple(found)


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


def lap_findings(plane: RoofPlane, laps: LapLines | None, longest_mm: float, settings: Settings) -> tuple[Finding, ...]:
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
    advice = (
        "Put a purlin under each lap but do not fix through it; seal both ends, rivet sheet to sheet. "
        "The lower tier is laid first."
    )
    found = [Finding("end-lapped", Severity.NOTE, text, advice, refs=(plane.id,))]
    if plane.pitch_deg < settings.number("end_lap_least_deg") - PITCH_SLACK_DEG:
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


def movement_findings(plane: RoofPlane, profile: Profile, moved_mm: float) -> tuple[Finding, ...]:
    """A stop where movement is over the limit that the profile's data or the job gives; none without a limit."""
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
