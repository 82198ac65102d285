"""The profile a roof is covered with: the catalogue's, or one the job describes."""

from __future__ import annotations

from difflib import get_close_matches

from takeoff.basics.errors import JobError
from takeoff.model.basis import SET_IN_JOB
from takeoff.model.job.job import Job
from takeoff.model.job.products import ProfileJob
from takeoff.model.products import Catalogue, Profile
from takeoff.model.settings import Settings


def profile_of(job: Job, catalogue: Catalogue, name: str) -> Profile:
    """The profile of that name: the job's own first, then the catalogue's.

    Raises JobError for a name neither knows, and for a job's profile that is wider in cover than overall.
    """
    own = job.profiles.get(name)
    if own is not None:
        return _from_job(name, own)
    if name in catalogue.profiles:
        return catalogue.profiles[name]
    known = sorted({*job.profiles, *catalogue.profiles})
    near = get_close_matches(name, known, n=1)
    hint = f"; did you mean {near[0]}?" if near else f"; known are {', '.join(known)}"
    raise JobError(f"covering.profile: no profile is called {name}{hint}")


def _from_job(name: str, own: ProfileJob) -> Profile:
    if own.overall_mm < own.cover_mm:
        raise JobError(
            f"profiles.{name}: overall_mm {own.overall_mm:g} is less than cover_mm {own.cover_mm:g}; "
            "overall is the whole width of a sheet, laps included"
        )
    lapped = own.least_pitch_lapped_deg
    return Profile(
        id=name,
        name=own.name or name,
        cover_mm=own.cover_mm,
        overall_mm=own.overall_mm,
        rib_pitch_mm=own.rib_pitch_mm,
        depth_mm=own.depth_mm,
        least_pitch_deg=own.least_pitch_deg,
        least_pitch_lapped_deg=own.least_pitch_deg if lapped is None else lapped,
        half_turn_same=own.half_turn_same,
        # without a girth the overall width stands in: mass is then a little low, never invented
        girth_mm=own.overall_mm if own.girth_mm is None else own.girth_mm,
        kg_per_m=dict(own.kg_per_m),
        basis={"*": SET_IN_JOB},
        expansion_limit_mm=own.expansion_limit_mm,
        foot_turn_mm=own.foot_turn_mm,
    )


def thickness_mm(bmt_mm: float | None, settings: Settings) -> float:
    """Base metal thickness of the sheets: the job's, else the setting."""
    return settings.number("sheet_bmt_mm") if bmt_mm is None else bmt_mm
