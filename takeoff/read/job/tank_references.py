"""Faults between the parts of a job's tanks: pipes plugged in twice, levels over the top, use said in two ways."""

from __future__ import annotations

from takeoff.model.job.job import Job
from takeoff.read.job.rise_references import Fault


def tank_faults(job: Job) -> list[Fault]:
    """(path, sentence) for each fault of tanks, use and rain."""
    return [*_pipe_faults(job), *_level_faults(job), *_use_faults(job), *_rain_faults(job)]


def _pipe_faults(job: Job) -> list[Fault]:
    faults: list[Fault] = []
    seen: dict[str, str] = {}
    names = [tank.name for tank in job.tanks]
    open_ended = [i for i, tank in enumerate(job.tanks) if tank.pipes is None]
    for i, tank in enumerate(job.tanks):
        if names.index(tank.name) != i:
            faults.append((("tanks", i, "name"), f"two tanks are named {tank.name}"))
        for k, pipe in enumerate(tank.pipes or ()):
            if pipe in seen:
                faults.append(
                    (("tanks", i, "pipes", k), f"{pipe} is led to {seen[pipe]} already; a pipe feeds one tank")
                )
            seen.setdefault(pipe, tank.name)
    if open_ended and len(job.tanks) > 1:
        at = ("tanks", open_ended[0])
        faults.append((at, "of several tanks each must say which pipes are led to it: pipes: [DP1, DP2]"))
    return faults


def _level_faults(job: Job) -> list[Fault]:
    faults: list[Fault] = []
    for i, tank in enumerate(job.tanks):
        floor = (tank.dead_l or 0.0) + (tank.reserve_l or 0.0)
        if floor >= tank.volume_l:
            text = f"dead store and reserve of {floor:g} L leave nothing of {tank.volume_l:g} L to draw"
            faults.append((("tanks", i), text))
        if (tank.start_l or 0.0) > tank.volume_l:
            faults.append((("tanks", i, "start_l"), f"is more than the {tank.volume_l:g} L that the tank holds"))
    return faults


def _use_faults(job: Job) -> list[Fault]:
    use = job.water_use
    by_person = use.litres_a_day is not None or bool(use.by_use)
    faults: list[Fault] = []
    if use.by_month is not None and (by_person or use.people is not None):
        faults.append((("water_use", "by_month"), "gives what all draw: leave out people, litres_a_day and by_use"))
    if use.litres_a_day is not None and use.by_use:
        faults.append((("water_use", "litres_a_day"), "is said by use already: keep one of litres_a_day and by_use"))
    return faults


def _rain_faults(job: Job) -> list[Fault]:
    faults: list[Fault] = []
    if job.rain.file is not None and job.rain.monthly_mm is not None:
        faults.append((("rain", "monthly_mm"), "the rain is given by a file already: keep one of file and monthly_mm"))
    if job.rain.file is not None and any(mark in job.rain.file for mark in ("/", "\\", ":")):
        faults.append((("rain", "file"), "must be a file beside the job: a name without folders"))
    return faults
