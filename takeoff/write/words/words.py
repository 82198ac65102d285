"""Prose from records: why a figure is what it is, said for a person."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable

from takeoff.basics.rounding import half_up
from takeoff.model.basis import Basis, Setting, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import FoldSection
from takeoff.model.roof import RoofPlane
from takeoff.model.sheets import PlaneSheets

# C0 and C1 controls, lone surrogates and the two non-characters: no XML, no terminal and no printer wants them
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]+")

WINDS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

# names of settings and terms that say little once their underscores are gone
_NAMES = {"count_by_overall": "last sheet counted by its whole width"}

SEVERITY_WORDS = {
    Severity.STOP: "STOP",
    Severity.WARN: "WARNING",
    Severity.NOTE: "note",
    Severity.FIXED: "mended",
}


def plain(text: str) -> str:
    """A text from a job or a file, fit to print: control characters become spaces, runs of white space one."""
    if text.isprintable() and "  " not in text and text.strip(" ") == text:  # of white space: single spaces alone
        return text
    return " ".join(_CONTROL.sub(" ", text).split())


def number(value: float, places: int = 3) -> str:
    """A number for prose: at most `places` decimals, none that say nothing, a thin gap between thousands.

    >>> number(12192.0), number(0.35), number(-4.25, 1), number(1e-9)
    ('12 192', '0.35', '-4.3', '0')
    """
    text = f"{half_up(value, places):,.{places}f}".replace(",", " ")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def whole(value_mm: float) -> str:
    """A length on a drawing, to the nearest mm, half up, without gaps.

    >>> whole(5955.5), whole(-0.2)
    ('5956', '0')
    """
    return str(int(half_up(value_mm, 0)))


def counted(count: float, thing: str) -> str:
    """So many of a thing, one of it as one.

    >>> counted(1, "hem"), counted(2, "hem"), counted(0, "hem")
    ('1 hem', '2 hems', 'no hem')
    """
    if count == 0:
        return f"no {thing}"
    return f"{number(count)} {thing}" if count == 1 else f"{number(count)} {thing}s"


def value_words(value: float | str | bool, unit: str) -> str:
    """A value with its unit: "50 mm", "yes", "high"."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return plain(value)
    return f"{number(value)} {unit}".rstrip()


def name_words(name: str) -> str:
    """A setting's or term's name as words, the unit at its end dropped: "valley_gap_mm" is "valley gap".

    >>> name_words("valley_gap_mm"), name_words("rain_mm_per_h"), name_words("cover")
    ('valley gap', 'rain', 'cover')
    """
    if name in _NAMES:
        return _NAMES[name]
    return re.sub(r"(_mm_per_h|_mm2|_mm|_m2|_m|_deg|_kg|_L)$", "", name).replace("_", " ")


def basis_words(basis: Basis | None) -> str:
    """Status, source, clause, page that restates it and range, in one line; "measured on the shape" for none."""
    return "measured on the shape" if basis is None else plain(basis.words())


def term_words(term: Term) -> str:
    """One term: "cover 762 mm (P1) [source, clause]"."""
    text = f"{name_words(term.name)} {value_words(term.value, term.unit)}"
    if term.ref:
        text += f" ({plain(term.ref)})"
    return text if term.basis is None else f"{text} [{basis_words(term.basis)}]"


def working_lines(working: Working) -> tuple[str, ...]:
    """The rule, then a line a term."""
    return (plain(working.rule), *(term_words(term) for term in working.terms))


def working_words(working: Working) -> str:
    """Rule and terms in one line, bases left out: for a note beside a figure."""
    terms = "; ".join(f"{name_words(term.name)} {value_words(term.value, term.unit)}" for term in working.terms)
    return f"{plain(working.rule)}: {terms}" if terms else plain(working.rule)


def setting_words(setting: Setting) -> str:
    """A setting, what it means and why it has its value."""
    says = f", {plain(setting.says)}" if setting.says else ""
    return f"{name_words(setting.name)}{says}: {value_words(setting.value, setting.unit)}, {basis_words(setting.basis)}"


def finding_words(finding: Finding) -> str:
    """A finding in a line: how grave, where, what, and what to do."""
    where = f" ({refs_words(finding.refs)})" if finding.refs else ""
    advice = f" {plain(finding.advice)}" if finding.advice else ""
    return f"{SEVERITY_WORDS[finding.severity]}{where}: {plain(finding.text)}{advice}"


def over_words(sheets: PlaneSheets) -> str:
    """Which edge of a sheet lies over its neighbour."""
    edge = plain(sheets.over_edge)
    return f"The {edge} edge of each sheet lies over" if edge in ("left", "right") else f"Over: {edge}"


def side_words(plane: RoofPlane) -> str:
    """The side of the house that a plane is on, to one of eight winds; "flat" for a level one."""
    if plane.pitch_deg <= 0.05:
        return "flat"
    return f"{WINDS[round(plane.bearing_deg / 45.0) % 8]} side"


def compass_words(bearing_deg: float) -> str:
    """A bearing as the nearest of eight winds, with its degrees where it is off by more than half a degree.

    >>> compass_words(180.0), compass_words(359.9), compass_words(222.0)
    ('south', 'north', 'south-west (222 degrees)')
    """
    step = round(bearing_deg / 45.0)
    exact = abs(bearing_deg - step * 45.0) <= 0.5
    return WINDS[step % 8] if exact else f"{WINDS[step % 8]} ({number(bearing_deg, 1)} degrees)"


def refs_words(refs: Iterable[str]) -> str:
    """Ids in a row, in the order given."""
    return ", ".join(plain(ref) for ref in refs)


def revision_words(revision: str, supersedes: str = "") -> str:
    """A revision as it is printed, with the one it takes the place of.

    >>> revision_words("C", "B"), revision_words("B")
    ('revision C, supersedes B', 'revision B')
    """
    after = f", supersedes {plain(supersedes)}" if supersedes else ""
    return f"revision {plain(revision)}{after}"


def date_words(date: datetime.date | None) -> str:
    """A date as the order prints it: "2 March 2026", "undated" for none. English month names whatever the locale."""
    if date is None:
        return "undated"
    return f"{date.day} {_MONTHS[date.month - 1]} {date.year}"


def hand_words(section: FoldSection) -> str:
    """Whether one section serves both hands."""
    if section.handed:
        return f"{section.hand.capitalize()} hand only: {plain(section.handed)}"
    other = "left" if section.hand == "right" else "right"
    return f"Drawn as {section.hand} hand; turned end for end, same face up, it is the {other}"
