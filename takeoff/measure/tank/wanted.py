"""What is drawn from a store a day, month by month, and what that is made of."""

from __future__ import annotations

from takeoff.basics.errors import JobError
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.job.job import Job
from takeoff.model.settings import Settings
from takeoff.model.tank_store import Use


def use_of(job: Job, settings: Settings, people: float | None = None) -> Use:
    """Litres a day in each month: the job's, else people times litres a day by settings. `people` is taken before the
    job's. Raises JobError where the job gives what all draw and people are asked for too."""
    use = job.water_use
    if use.by_month is not None:
        if people is not None:
            raise JobError("water_use.by_month gives what all draw: leave out --people, or water_use.by_month")
        terms = tuple(
            Term(f"litres a day in month {month}", litres, "L", SET_IN_JOB)
            for month, litres in enumerate(use.by_month, start=1)
        )
        return Use(tuple(use.by_month), Working("litres that all draw a day, by month", terms))
    count = settings.term("tank_people_if_not_given")
    if people is not None:
        count = Term("people", people, "people", ref="--people")
    elif use.people is not None:
        count = Term("people", use.people, "people", SET_IN_JOB)
    parts = _parts(job, settings)
    litres = float(count.value) * sum(float(part.value) for part in parts)
    return Use((litres,) * 12, Working("people x litres a person draws a day", (count, *parts)))


def _parts(job: Job, settings: Settings) -> tuple[Term, ...]:
    """Litres a person draws a day, in one figure or by what it is used for."""
    if job.water_use.by_use:
        return tuple(Term(name, litres, "L", SET_IN_JOB) for name, litres in job.water_use.by_use.items())
    if job.water_use.litres_a_day is not None:
        return (Term("litres a person draws a day", job.water_use.litres_a_day, "L", SET_IN_JOB),)
    return (settings.term("tank_litres_a_day"),)
