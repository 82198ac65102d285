"""The profiles that a job or an office describes, put among those of the catalogue when the job is read."""

from __future__ import annotations

from dataclasses import replace

from takeoff.model.basis import SET_IN_JOB, Basis, Status
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.products import ProfileJob
from takeoff.model.office import Office
from takeoff.model.products import Catalogue, Profile
from takeoff.model.settings import Settings
from takeoff.read.office_products import office_basis, with_office_products

_OVERALL = Basis(Status.DERIVED, clause="the overall width stands in for the girth: mass is a little low")


def with_own_profiles(catalogue: Catalogue, job: Job, settings: Settings, office: Office | None = None) -> Catalogue:
    """The catalogue with all own products of the office and the job's profiles; one of the same name is the job's."""
    catalogue = with_office_products(catalogue, office)
    own = {
        name: _profile(name, given, settings, office_basis(given.basis))
        for name, given in (office.profiles if office is not None else {}).items()
    }
    own |= {name: _profile(name, given, settings) for name, given in job.profiles.items()}
    return replace(catalogue, profiles={**catalogue.profiles, **own}) if own else catalogue


def mass_findings(
    job: Job, catalogue: Catalogue, settings: Settings, office: Office | None = None
) -> tuple[Finding, ...]:
    """A note for each own profile that is bought in a thickness whose mass is not given."""
    profiles: dict[str, ProfileJob] = {**(office.profiles if office is not None else {}), **job.profiles}
    found: dict[Finding, None] = {}
    for roof in job.roofs:
        own = profiles.get(roof.covering.profile)
        if own is None:
            continue
        bmt = settings.number("sheet_bmt_mm") if roof.covering.bmt_mm is None else roof.covering.bmt_mm
        if any(abs(given - bmt) < 1e-9 for given in own.kg_per_m):
            continue
        profile = catalogue.profiles[roof.covering.profile]
        who = "job" if roof.covering.profile in job.profiles else "office file"
        why = profile.basis["girth_mm"].words()
        found[
            Finding(
                "profile-mass-worked-out",
                Severity.NOTE,
                f"The {who} gives no mass of profile {profile.name} at {bmt:g} mm; it is worked out from a girth of "
                f"{profile.girth_mm:.0f} mm ({why}).",
                f"Give kg_per_m of the profile at {bmt:g} mm, from its maker.",
            )
        ] = None
    return tuple(found)


def _profile(name: str, own: ProfileJob, settings: Settings, given: Basis = SET_IN_JOB) -> Profile:
    girth, basis = _girth(own, settings, given)
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
        basis={"*": given, "girth_mm": basis},
        expansion_limit_mm=own.expansion_limit_mm,
        foot_turn_mm=own.foot_turn_mm,
    )


def _girth(own: ProfileJob, settings: Settings, given: Basis) -> tuple[float, Basis]:
    """Girth [mm]: as given; else what the masses given make it (physics: kg/m = girth x (thickness x 7.85 + coating));
    else the overall width."""
    if own.girth_mm is not None:
        return own.girth_mm, given
    if not own.kg_per_m:
        return own.overall_mm, _OVERALL
    steel, coating = settings.number("steel_kg_per_m2_mm"), settings.number("coating_kg_per_m2")
    girths = [1000.0 * mass / (bmt * steel + coating) for bmt, mass in own.kg_per_m.items()]
    at = ", ".join(f"{bmt:g} mm" for bmt in own.kg_per_m)
    return sum(girths) / len(girths), Basis(Status.DERIVED, clause=f"from the mass given at {at}")
