"""The sheets Measures, Checks, Basis and Cautions: what was measured, noticed, assumed, and must be heeded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from typing import Any

from takeoff.basics.rounding import half_up
from takeoff.model.basis import Basis, Setting, Status, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff
from takeoff.write.words.spoken import spoken
from takeoff.write.words.used import used_products
from takeoff.write.words.words import (
    SEVERITY_WORDS,
    name_words,
    number,
    plain,
    refs_words,
    value_words,
    working_words,
)
from takeoff.write.workbook.workbook_grid import CAUTIONS
from takeoff.write.workbook.workbook_page import Lines

_GRAVEST_FIRST = (Severity.STOP, Severity.WARN, Severity.FIXED, Severity.NOTE)
FEW_TERMS = 3  # a working with more of them is told by its rule; the rest stands in the data file
STATUS_LETTERS = {
    Status.SEEN: "R",
    Status.SEEN_RESTATED: "S",
    Status.MEMORY: "M",
    Status.COMMON_PRACTICE: "C",
    Status.DERIVED: "D",
    Status.SET_IN_JOB: "J",
    Status.SET_IN_OFFICE: "O",
}
_A_ROW_EACH = (Status.SET_IN_JOB, Status.SET_IN_OFFICE, Status.MEMORY)
_STAGES = {
    "read": "masses of own profiles",
    "shape": "roof and walls raised",
    "measured": "the frame as measured",
    "roofing": "roof",
    "rainwater": "rainwater",
    "cladding": "walls",
    "order": "order",
}
_UNITS = ("_mm2", "_mm", "_deg", "_m")


def fill_measures(page: Lines, takeoff: Takeoff) -> None:
    """Every measured quantity with its working, then every edge."""
    for quantity in takeoff.measures:
        page.line(
            (plain(quantity.item), refs_words(quantity.refs), half_up(quantity.figure, 3), quantity.unit,
             _short_words(quantity.working))
        )  # fmt: skip
    page.gap()
    page.group("Edges of the roof")
    page.heading(("edge", "between", "true m", "", "plan m, slope, angle between the faces"), (False, False, True))
    for roof in takeoff.roofs:
        for edge in roof.own_edges:
            words = f"{number(edge.plan_length_mm / 1000.0)} m, {number(edge.slope_deg, 1)}°"
            if len(edge.faces) > 1:
                words += f", {number(edge.between_deg, 1)}°"
            name = f"{edge.id} ({edge.kind.value})" if edge.kind.value not in edge.id else edge.id
            page.line((name, refs_words(edge.faces), half_up(edge.length_mm / 1000.0, 3), "m", words))


def _short_words(working: Working) -> str:
    """Rule and terms where these are few; the rule alone where every edge or wall would be told again."""
    return working_words(working) if len(working.terms) <= FEW_TERMS else plain(working.rule)


def fill_checks(page: Lines, findings: Iterable[Finding], takeoff: Takeoff) -> None:
    """Findings, gravest first, each once."""
    ordered = sorted(dict.fromkeys(findings), key=lambda finding: _GRAVEST_FIRST.index(finding.severity))
    if not ordered:
        page.note("Nothing noticed.")
    for finding in ordered:
        where = spoken(refs_words(finding.refs), takeoff)
        if finding.at_mm is not None:
            x, y, z = (number(value, 0) for value in finding.at_mm)
            where = f"{where} at {x}, {y}, {z} mm".strip()
        text, advice = spoken(finding.text, takeoff), spoken(finding.advice, takeoff)
        page.line((SEVERITY_WORDS[finding.severity], text, advice, where, finding.source))


def fill_basis(page: Lines, takeoff: Takeoff) -> None:
    """Every setting that was asked for while this order was made, then every value of every product used, then the
    sources by number: a source is named once, however many values it gives.

    What is to be verified stands first, a row each; of the rest, settings of one stage that share a basis share a note.
    """
    sources: dict[str, int] = {}
    asked = _asked(takeoff)
    by_office = " or by the office" if takeoff.office is not None else ""
    page.group(f"Set in the job{by_office}, and values to verify: from memory")
    for setting in dict.fromkeys(setting for _, setting in asked if setting.basis.status in _A_ROW_EACH):
        _setting(page, setting, takeoff, sources)
    for stage, words in _STAGES.items():
        rows: dict[Basis, list[Setting]] = {}
        for at, setting in asked:
            if at == stage and setting.basis.status not in _A_ROW_EACH:
                rows.setdefault(setting.basis, []).append(setting)
        if rows:
            page.group(f"Settings: {words}")
        for basis, settings in rows.items():
            if len(settings) == 1:
                _setting(page, settings[0], takeoff, sources)
            else:
                _shared(page, basis, settings, takeoff, sources)
    for product in used_products(takeoff):
        page.group(plain(product.name))
        _product(page, product, sources)
    if sources:
        page.group("Sources")
    for source, number_ in sources.items():
        page.note(f"{number_}   {plain(source)}")


def _asked(takeoff: Takeoff) -> list[tuple[str, Setting]]:
    """Every setting asked for, once, with the first stage that asked for it."""
    stages: dict[str, str] = {}
    for used in takeoff.used:
        for name in used.settings:
            stages.setdefault(name, used.stage)
    return [(stage, takeoff.settings.values[name]) for name, stage in stages.items()]


def _shared(page: Lines, basis: Basis, settings: Sequence[Setting], takeoff: Takeoff, sources: dict[str, int]) -> None:
    """Settings of one basis in one note: its letter and source, then each as a job writes it, with its value."""
    standing, source = basis_cells(basis, sources)
    words = "; ".join(f"{setting.name} {_figure(setting, takeoff)}" for setting in settings)
    page.note(f"{standing}   {source}: {words}" if source else f"{standing}   {words}")


def _figure(setting: Setting, takeoff: Takeoff) -> str:
    unit = "" if isinstance(setting.value, (str, bool)) else setting.unit
    return spoken(value_words(setting.value, unit), takeoff).replace("_", " ")


def _setting(page: Lines, setting: Setting, takeoff: Takeoff, sources: dict[str, int]) -> None:
    """The setting as a job writes it, what it means, its value with unit, a letter for its standing, its source."""
    standing, source = basis_cells(setting.basis, sources)
    page.line(
        (
            setting.name,
            plain(setting.says).replace("_", " "),
            _figure(setting, takeoff),
            standing,
            source,
        )
    )


def _product(page: Lines, product: Any, sources: dict[str, int]) -> None:
    """Values that share a basis share a row."""
    bases: Mapping[str, Basis] = product.basis
    rows: dict[Basis, list[str]] = {}
    for field in fields(product):
        value = getattr(product, field.name)
        if field.name not in ("id", "name", "size", "basis") and value not in (None, "", (), {}):
            basis = bases.get(field.name) or bases.get("*") or Basis(Status.COMMON_PRACTICE)
            rows.setdefault(basis, []).append(_value_words(field.name, value))
    for basis, words in rows.items():
        page.line((None, "; ".join(words).replace("_", " "), None, *basis_cells(basis, sources)))


def _value_words(name: str, value: Any) -> str:
    if name == "kg_per_m":
        masses = ", ".join(f"{number(mass)} kg/m at {number(bmt)} mm" for bmt, mass in value.items())
        return f"mass {masses}"
    unit = next((suffix[1:] for suffix in _UNITS if name.endswith(suffix)), "")
    if isinstance(value, tuple):
        return f"{name_words(name)} {', '.join(f'{entry:g}' for entry in value)} {unit}".rstrip()
    return f"{name_words(name)} {value_words(value, unit)}"


def basis_cells(basis: Basis, sources: dict[str, int]) -> tuple[str, str]:
    """The letter of the standing; the source by its number, new ones numbered on, with clause and range."""
    parts = []
    if basis.source:
        whole = f"{basis.source}, restated in {basis.via}" if basis.via else basis.source
        parts.append(f"[{sources.setdefault(whole, len(sources) + 1)}]")
    elif basis.via:
        parts.append(f"via {basis.via}")
    parts += [basis.clause] if basis.clause else []
    text = " ".join(parts)
    return STATUS_LETTERS[basis.status], plain(f"{text}; for {basis.holds}".lstrip("; ") if basis.holds else text)


def fill_cautions(page: Lines) -> None:
    """The cautions, numbered."""
    for i, caution in enumerate(CAUTIONS, start=1):
        page.line((str(i), caution))
