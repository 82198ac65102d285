"""Settings resolved once: the catalogue's defaults, then what the job sets."""

from __future__ import annotations

from difflib import get_close_matches

from takeoff.model.basis import Basis, Setting, Status
from takeoff.model.job import Job
from takeoff.model.settings import Settings
from takeoff.read.catalogue import default_settings

_SET_IN_JOB = Basis(Status.SET_IN_JOB)


def setting_faults(job: Job) -> list[tuple[tuple[str | int, ...], str]]:
    """Faults in the job's `settings`: names the catalogue does not know, words for numbers. (path, text) each."""
    known = default_settings()
    faults: list[tuple[tuple[str | int, ...], str]] = []
    for name, value in job.settings.items():
        path = ("settings", name)
        if name not in known:
            near = get_close_matches(name, known, n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            faults.append((path, f"unknown setting{hint}"))
        elif type(value) is bool and not isinstance(known[name].value, bool):
            faults.append((path, f"needs a value in {known[name].unit}, got {str(value).lower()}"))
        elif isinstance(value, str) != isinstance(known[name].value, str):
            wanted = "a word" if isinstance(known[name].value, str) else f"a number in {known[name].unit}"
            faults.append((path, f"needs {wanted}, got {value!r}"))
        elif isinstance(value, float) and not (-1e9 < value < 1e9):
            faults.append((path, f"{value} is not a number that can be built"))
    return faults


def resolve_settings(job: Job) -> Settings:
    """Catalogue defaults with the job's values on top, whose basis is then "set in the job"."""
    values = dict(default_settings())
    for name, value in job.settings.items():
        default = values[name]
        values[name] = Setting(name=name, value=value, unit=default.unit, basis=_SET_IN_JOB, says=default.says)
    return Settings(values)
