"""The least pitch of a profile: its own where its data gives one, else by its shape and depth in the code's table."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.terms import product_term
from takeoff.model.basis import Term, Working
from takeoff.model.code_rules import PitchRow, RuleSet
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.roof import RoofPlane
from takeoff.model.settings import Settings

PITCH_SLACK_DEG = TOLERANCES.pitch_deg
_LONG_MM = TOLERANCES.long_mm


def pitch_row(profile: Profile, rules: RuleSet) -> PitchRow | None:
    """The row of a profile's shape with the greatest depth that is not over its own: the code's, else that of the code
    that serves where this one is silent."""
    for shape in profile.shapes:
        rows = [row for row in rules.pitches if row.shape == shape and row.depth_mm <= profile.depth_mm + 1e-9]
        if rows:
            return max(rows, key=lambda row: row.depth_mm)
    return pitch_row(profile, rules.silent) if rules.silent is not None else None


def least_pitch(profile: Profile, run_mm: float, lapped: bool, site: Site, settings: Settings) -> Working | None:
    """Least pitch for a profile and a run of that length: the last term is the result [deg]; None where neither the
    profile nor a code says any.

    The profile's least pitch, plain or end-lapped; runs over 40 m need 1 degree more, and above 100 mm/h of rain a
    further degree for each 10 m over 40 m (code of practice, from a table for runs up to 60 m).
    """
    first = _shape_pitch(profile, lapped, settings)
    if first is None:
        return None
    terms = [first]
    least = float(first.value)
    over = run_mm - settings.number("long_run_mm")
    if over > _LONG_MM:
        terms += [Term("run", round(run_mm), "mm"), settings.term("long_run_pitch_deg"), settings.term("long_run_mm")]
        least += settings.number("long_run_pitch_deg")
        if site.rain_mm_per_h is not None and site.rain_mm_per_h > settings.number("long_run_rain_mm_per_h"):
            least += float(ceil((over - _LONG_MM) / 10_000.0))
            terms.append(settings.term("long_run_rain_mm_per_h"))
    return Working("least pitch of the profile, more for long runs", (*terms, Term("least pitch", least, "deg")))


def _shape_pitch(profile: Profile, lapped: bool, settings: Settings) -> Term | None:
    if profile.least_pitch_deg is not None:
        if lapped and profile.least_pitch_lapped_deg is not None:
            return product_term(profile, "least_pitch_lapped_deg", profile.least_pitch_lapped_deg, "deg")
        return product_term(profile, "least_pitch_deg", profile.least_pitch_deg, "deg")
    row = pitch_row(profile, settings.rules)
    if row is None:
        return None
    name = f"least pitch of {row.shape.replace('_', ' ')}, depth {profile.depth_mm:g} mm"
    if lapped and row.lapped_deg > 0.0:
        return Term(f"{name}, end-lapped", row.lapped_deg, "deg", row.lapped_basis)
    return Term(name, row.pitch_deg, "deg", row.basis)


def pitch_findings(
    plane: RoofPlane, profile: Profile, run_mm: float, lapped: bool, site: Site, settings: Settings
) -> tuple[Finding, ...]:
    """Stops below the least pitch of the profile, a pitch on the limit passes; warnings where a run is longer than the
    rule for its pitch holds for, and where no rule is known."""
    working = least_pitch(profile, run_mm, lapped, site, settings)
    if working is None:
        return (_unknown(plane, profile),)
    found: list[Finding] = []
    if plane.pitch_deg < float(working.terms[-1].value) - PITCH_SLACK_DEG:
        found.append(_too_flat(plane, profile, run_mm, lapped, working.terms))
    return (*found, *_run_off(plane, profile, run_mm, settings), *_beyond(plane, run_mm, settings))


def _too_flat(plane: RoofPlane, profile: Profile, run_mm: float, lapped: bool, terms: Sequence[Term]) -> Finding:
    how = "end-lapped " if lapped else ""
    basis = terms[0].basis
    return Finding(
        "pitch-below-least",
        Severity.STOP,
        f"{plane.id} has a pitch of {plane.pitch_deg:.1f} degrees; {how}{profile.name} needs {terms[-1].value:g} "
        f"degrees for its run of {run_mm / 1000.0:.1f} m.",
        "Give a steeper pitch or a profile made for this one"
        + (", or longer pieces so that no end lap is needed." if lapped else "."),
        refs=(plane.id,),
        source="" if basis is None else basis.words(),
    )


def _unknown(plane: RoofPlane, profile: Profile) -> Finding:
    return Finding(
        "least-pitch-not-known",
        Severity.WARN,
        f"{plane.id}: neither the code nor its data gives a least pitch for {profile.name}, "
        f"{profile.depth_mm:g} mm deep.",
        "Ask its maker for the least pitch.",
        refs=(plane.id,),
    )


def _run_off(plane: RoofPlane, profile: Profile, run_mm: float, settings: Settings) -> tuple[Finding, ...]:
    """A warning where a run is longer than the table's for its least pitch; a maker's own pitch has no such run."""
    row = pitch_row(profile, settings.rules) if profile.least_pitch_deg is None else None
    if row is None or row.run_m <= 0.0 or run_mm <= row.run_m * 1000.0 + _LONG_MM:
        return ()
    return (
        Finding(
            "run-off-to-check",
            Severity.WARN,
            f"{plane.id} drains over {run_mm / 1000.0:.1f} m of {profile.name}; its least pitch of {row.pitch_deg:g} "
            f"degrees is for runs to {row.run_m:g} m.",
            f"Check the run-off of {profile.name} at {plane.pitch_deg:.1f} degrees by its maker's table.",
            refs=(plane.id,),
            source=row.basis.words(),
        ),
    )


def _beyond(plane: RoofPlane, run_mm: float, settings: Settings) -> tuple[Finding, ...]:
    if run_mm <= settings.number("long_run_most_mm") + _LONG_MM:
        return ()
    return (
        Finding(
            "run-beyond-rule",
            Severity.WARN,
            f"{plane.id} drains over {run_mm / 1000.0:.1f} m of sheet; the rule for least pitch holds no further.",
            "Ask the profile's maker, or break the run with a step.",
            refs=(plane.id,),
        ),
    )
