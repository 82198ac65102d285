"""Settings resolved once: the catalogue's defaults, then what the job sets, each held to its type."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from takeoff.basics.nearest import did_you_mean
from takeoff.model.basis import SET_IN_JOB, SET_IN_OFFICE, Setting
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.settings import Settings
from takeoff.model.value_types import PATTERN_WORDS, PATTERNS, ValueKind
from takeoff.read.catalogue import codes, default_code, default_settings, sources
from takeoff.read.codes import marked, rule_set, settings_of_code
from takeoff.read.office_products import with_office_tables

_FAR = 10.0  # this many times the default, or that part of it, is asked about


def setting_faults(
    given: Mapping[str, float | str | bool], code: str = "", office: Office | None = None
) -> list[tuple[tuple[str | int, ...], str]]:
    """Faults in the `settings` of a job or an office: names the catalogue does not know, values of another type.
    (path, text) each."""
    known = known_settings(code, office)
    faults: list[tuple[tuple[str | int, ...], str]] = []
    for name, value in given.items():
        path = ("settings", name)
        if name not in known:
            hint = did_you_mean(name, known, "; takeoff settings lists them")
            faults.append(((*path, "<key>"), f"unknown setting{hint}"))
        elif (fault := value_fault(known[name], value)) is not None:
            faults.append((path, fault))
    return faults


def value_fault(setting: Setting, value: float | str | bool) -> str | None:
    """Why a value cannot stand for a setting, in words; None where it can."""
    kind = setting.type.kind
    if kind is ValueKind.NUMBER:
        return _number_fault(setting, value)
    if kind is ValueKind.FLAG:
        return None if isinstance(value, bool) else f"must be true or false, got {_short(value)}"
    if kind in (ValueKind.CHOICE, ValueKind.PRODUCT):
        return _word_fault(setting, value)
    if isinstance(value, str) and re.fullmatch(PATTERNS[kind], value):
        return None
    return f"needs {PATTERN_WORDS[kind]}, got {_short(value)}"


def _number_fault(setting: Setting, value: float | str | bool) -> str | None:
    least, most, unit = setting.type.least, setting.type.most, setting.unit
    if isinstance(value, (bool, str)):
        return f"needs a number in {unit}, got {_short(value)}"
    if not least <= value <= most:
        usual = f"the default is {setting.value:g} {unit}"
        return f"must be {_figure(least)} to {_figure(most)} {unit}, got {_figure(value)}; {usual}"
    if setting.type.whole and value != int(value):
        return f"must be a whole number, got {_figure(value)}"
    return None


def _word_fault(setting: Setting, value: float | str | bool) -> str | None:
    words = setting.type.words
    if isinstance(value, str) and value in words:
        return None
    return f"must be {_choices(words)}, got {_short(value)}{did_you_mean(str(value), words)}"


def _choices(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)


def _figure(value: float) -> str:
    return f"{value:.10g}"


def _short(value: float | str | bool) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    text = repr(value) if isinstance(value, str) else _figure(value)
    return text if len(text) <= 40 else text[:37] + "..."


def known_settings(code: str = "", office: Office | None = None) -> Mapping[str, Setting]:
    """Every setting by name, as a code has it; those that name a product may name one of the office's own."""
    known = default_settings(code)
    if office is None:
        return known
    found = dict(known)
    for name, setting in known.items():
        own = office.products_of(setting.type.group) if setting.type.kind is ValueKind.PRODUCT else ()
        if own:
            words = tuple(dict.fromkeys((*setting.type.words, *own)))
            found[name] = replace(setting, type=replace(setting.type, words=words))
    return found


def odd_settings(job: Job, office: Office | None = None) -> tuple[Finding, ...]:
    """A warning for every numeric setting of the job or the office that is far off its default: over ten times it, or
    under a tenth.

    A default of 0 has no scale to go by, and a 0 in the job says plainly that there is to be none.
    """
    known = default_settings(job.code or "")
    findings: list[Finding] = []
    for name, value in {**(office.settings if office is not None else {}), **job.settings}.items():
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


def resolve_settings(job: Job, office: Office | None = None) -> Settings:
    """Defaults of the job's code, the office's values on top, then the job's; the basis says which.

    A value of another code, which serves where the job's own is silent, is marked as such in what it holds for.
    """
    rules = with_office_tables(rule_set(job.code or ""), office, default_code())
    if office is None:
        values = dict(settings_of_code(rules.id))
    else:
        values = {name: marked(setting, rules) for name, setting in known_settings(rules.id, office).items()}
    for name, value in office.settings.items() if office is not None else ():
        values[name] = replace(values[name], value=value, basis=SET_IN_OFFICE)
    for name, value in job.settings.items():
        values[name] = replace(values[name], value=value, basis=SET_IN_JOB)
    return Settings(values, rules=rules)


def default_rules(code: str = "") -> Settings:
    """The settings of a job that sets none, under a code."""
    return resolve_settings(Job(job="defaults", code=code or None))


def code_findings(job: Job) -> tuple[Finding, ...]:
    """A note where the job names no code: which was taken, and which there are."""
    if job.code is not None:
        return ()
    rules = rule_set()
    return (
        Finding(
            "code-not-given",
            Severity.NOTE,
            f"The job names no code: that of {rules.titled} was taken for every rule.",
            f"Add that of the place to the job: {' or '.join(f'`code: {code}`' for code in codes())}.",
            source=sources()[rules.source],
        ),
    )


def site_faults(job: Job) -> list[tuple[tuple[str | int, ...], str]]:
    """Faults in the job's code and wind zone: neither is one of those there are. (path, text) each."""
    if job.code is not None and job.code not in codes():
        return [(("code",), f"must be {_choices(codes())}, got {_short(job.code)}{did_you_mean(job.code, codes())}")]
    zone, rules = job.site.wind_zone, rule_set(job.code or "")
    names = tuple(row.id for row in rules.zones)
    if zone is None or zone in names:
        return []
    elsewhere = next((code for code in codes() if rule_set(code).zone(zone) is not None), None)
    hint = f"; {zone} is a zone of code: {elsewhere}" if elsewhere else did_you_mean(zone, names)
    return [(("site", "wind_zone"), f"must be {_choices(names)}, got {_short(zone)}{hint}")]
