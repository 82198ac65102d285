"""The ground lies below every gutter: a job whose ground is higher is a slip of the pen, told where it stands."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.errors import Fault, JobError
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import SET_IN_JOB
from takeoff.model.drainage import DownpipePlan
from takeoff.model.job.job import Job


def check_ground(plans: Sequence[DownpipePlan], job: Job, chosen: Chosen) -> None:
    """Raises JobError where the ground at the downpipes lies level with an outlet's eave or above it."""
    drowned = [pipe for plan in plans for pipe in plan.pipes if not pipe.onto and pipe.height_mm <= 0.0]
    if not drowned:
        return
    lowest = min(drowned, key=lambda pipe: pipe.height_mm)
    ground, eave = chosen.ground_mm, lowest.at_mm[2]
    over = f"{ground - eave:.0f} mm over" if ground > eave + 0.5 else "level with"
    if chosen.ground.basis != SET_IN_JOB:
        raise JobError(
            f"The job gives no ground, and at {ground:.0f} mm, as it is taken, it lies {over} the eave of {lowest.run} "
            f"({eave:.0f}); give it, from the finished floor: `rainwater: {{ground_mm: {eave - 2400.0:.0f}}}`."
        )
    place = ("rainwater" if job.rainwater.ground_mm is not None else "walls", "ground_mm")
    raise JobError(
        Fault(
            f"{'.'.join(place)}: the ground at {ground:.0f} mm lies {over} the eave of {lowest.run} ({eave:.0f}), "
            "where no downpipe has room to fall; it is measured from the finished floor, negative below it: -300.",
            *place,
        )
    )
