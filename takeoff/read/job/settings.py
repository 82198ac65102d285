"""Settings resolved once: the catalogue's defaults, then what the job sets."""

from __future__ import annotations

from difflib import get_close_matches

from takeoff.model.basis import SET_IN_JOB, Setting
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.fields import SPACING_MM, STUD_MM
from takeoff.model.job.job import Job
from takeoff.model.settings import Settings
from takeoff.read.catalogue import default_settings

# a trim, gap or overhang larger than this is a slip of the pen: sheets would end half a metre from where they should
_SMALL_LENGTHS = ("_trim_mm", "_gap_mm", "_overhang_mm")
_MOST_SMALL_MM = 500.0
_FAR = 10.0  # this many times the default, or that part of it, is asked about
# settings that the job may also give as keys of its own are held to the bounds of those (least, most)
_BOUNDS = {"purlin_spacing_mm": SPACING_MM, "purlin_supports_mm": SPACING_MM, "stud_mm": STUD_MM}


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
        elif (fault := _out_of_bounds(known[name], value)) is not None:
            faults.append((path, fault))
    return faults


def _out_of_bounds(default: Setting, value: float | str | bool) -> str | None:
    """Why a number cannot stand for a setting; None where it can."""
    usual = default.value
    if isinstance(value, (bool, str)) or isinstance(usual, (bool, str)):
        return None
    if usual > 0 and value < 0:
        return f"cannot be negative, got {value:g}; the default is {usual:g} {default.unit}"
    if default.name.endswith(_SMALL_LENGTHS) and abs(value) > _MOST_SMALL_MM:
        return f"must be at most {_MOST_SMALL_MM:g} mm, got {value:g}; the default is {usual:g} mm"
    least, most = _BOUNDS.get(default.name, (value, value))
    if not least <= value <= most:
        return f"must be {least:g} to {most:g} {default.unit}, got {value:g}; the default is {usual:g} {default.unit}"
    return None


def odd_settings(job: Job) -> tuple[Finding, ...]:
    """A warning for every numeric setting of the job that is far off its default: over ten times it, or under a tenth.

    A default of 0 has no scale to go by, and a 0 in the job says plainly that there is to be none.
    """
    known = default_settings()
    findings: list[Finding] = []
    for name, value in job.settings.items():
        usual = known[name].value if name in known else ""
        if isinstance(value, (bool, str)) or isinstance(usual, (bool, str)) or value == 0 or usual == 0:
            continue
        if not 1.0 / _FAR <= value / usual <= _FAR:
            unit = known[name].unit
            findings.append(
                Finding(
                    "setting-far-from-default",
                    Severity.WARN,
                    f"setting {name} is {value:g} {unit}; the default is {usual:g} {unit}",
                    "check the figure and its unit",
                )
            )
    return tuple(findings)


def resolve_settings(job: Job) -> Settings:
    """Catalogue defaults with the job's values on top, whose basis is then "set in the job"."""
    values = dict(default_settings())
    for name, value in job.settings.items():
        default = values[name]
        values[name] = Setting(name=name, value=value, unit=default.unit, basis=SET_IN_JOB, says=default.says)
    return Settings(values)
