"""The profiles that a job describes, put among those of the catalogue when the job is read."""

from __future__ import annotations

from dataclasses import replace

from takeoff.model.basis import SET_IN_JOB, Basis, Status
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.products import ProfileJob
from takeoff.model.products import Catalogue, Profile
from takeoff.model.settings import Settings

_OVERALL = Basis(Status.DERIVED, clause="the overall width stands in for the girth: mass is a little low")


def with_own_profiles(catalogue: Catalogue, job: Job, settings: Settings) -> Catalogue:
    """The catalogue with the job's own profiles in it; one of the same name is the job's."""
    own = {name: _profile(name, given, settings) for name, given in job.profiles.items()}
    return replace(catalogue, profiles={**catalogue.profiles, **own}) if own else catalogue


def mass_findings(job: Job, catalogue: Catalogue, settings: Settings) -> tuple[Finding, ...]:
    """A note for each own profile that is bought in a thickness whose mass the job does not give."""
    found: dict[Finding, None] = {}
    for roof in job.roofs:
        own = job.profiles.get(roof.covering.profile)
        if own is None:
            continue
        bmt = settings.number("sheet_bmt_mm") if roof.covering.bmt_mm is None else roof.covering.bmt_mm
        if any(abs(given - bmt) < 1e-9 for given in own.kg_per_m):
            continue
        profile = catalogue.profiles[roof.covering.profile]
        why = profile.basis["girth_mm"].words()
        found[
            Finding(
                "profile-mass-worked-out",
                Severity.NOTE,
                f"The job gives no mass of profile {profile.name} at {bmt:g} mm; it is worked out from a girth of "
                f"{profile.girth_mm:.0f} mm ({why}).",
                f"Give kg_per_m of the profile at {bmt:g} mm, from its maker.",
            )
        ] = None
    return tuple(found)


def _profile(name: str, own: ProfileJob, settings: Settings) -> Profile:
    girth, basis = _girth(own, settings)
    lapped = own.least_pitch_lapped_deg
    return Profile(
        id=name,
        name=own.name or name,
        kind=own.kind,
        shape=own.shape,
        cover_mm=own.cover_mm,
        overall_mm=own.overall_mm,
        rib_pitch_mm=own.rib_pitch_mm,
        depth_mm=own.depth_mm,
        least_pitch_deg=own.least_pitch_deg,
        least_pitch_lapped_deg=own.least_pitch_deg if lapped is None else lapped,
        half_turn_same=own.half_turn_same,
        girth_mm=girth,
        kg_per_m=dict(own.kg_per_m),
        basis={"*": SET_IN_JOB, "girth_mm": basis},
        expansion_limit_mm=own.expansion_limit_mm,
        foot_turn_mm=own.foot_turn_mm,
    )


def _girth(own: ProfileJob, settings: Settings) -> tuple[float, Basis]:
    """Girth [mm]: as given; else what the masses given make it (physics: kg/m = girth x (thickness x 7.85 + coating));
    else the overall width."""
    if own.girth_mm is not None:
        return own.girth_mm, SET_IN_JOB
    if not own.kg_per_m:
        return own.overall_mm, _OVERALL
    steel, coating = settings.number("steel_kg_per_m2_mm"), settings.number("coating_kg_per_m2")
    girths = [1000.0 * mass / (bmt * steel + coating) for bmt, mass in own.kg_per_m.items()]
    at = ", ".join(f"{bmt:g} mm" for bmt in own.kg_per_m)
    return sum(girths) / len(girths), Basis(Status.DERIVED, clause=f"from the mass given at {at}")
