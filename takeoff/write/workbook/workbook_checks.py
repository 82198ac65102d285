"""The sheets Measures, Checks, Basis and Cautions: what was measured, noticed, assumed, and must be heeded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
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
from takeoff.write.workbook.workbook_page import Page

_GRAVEST_FIRST = (Severity.STOP, Severity.WARN, Severity.FIXED, Severity.NOTE)
FEW_TERMS = 3  # a working with more of them is told by its rule; the rest stands in the data file
STATUS_LETTERS = {
    Status.SEEN: "R",
    Status.SEEN_RESTATED: "S",
    Status.MEMORY: "M",
    Status.COMMON_PRACTICE: "C",
    Status.DERIVED: "D",
    Status.SET_IN_JOB: "J",
}
_UNITS = ("_mm2", "_mm", "_deg", "_m")


def fill_measures(page: Page, takeoff: Takeoff) -> None:
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


def fill_checks(page: Page, findings: Iterable[Finding], takeoff: Takeoff) -> None:
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


def fill_basis(page: Page, takeoff: Takeoff) -> None:
    """Every setting that entered a figure of this order, then every value of every product used, then the sources by
    number: a source is named once, however many values it gives."""
    used = _used_settings(takeoff)
    sources: dict[str, int] = {}
    page.group("Settings that entered a figure")
    for name, setting in takeoff.settings.values.items():
        if name in used:
            _setting(page, setting, takeoff, sources)
    for product in used_products(takeoff):
        page.group(plain(product.name))
        _product(page, product, sources)
    if sources:
        page.group("Sources")
    for source, number_ in sources.items():
        page.note(f"{number_}   {plain(source)}")


def _used_settings(takeoff: Takeoff) -> set[str]:
    workings = [quantity.working for quantity in takeoff.measures]
    workings += [piece.working for sheets in takeoff.roofing.sheets for piece in sheets.pieces]
    workings += [s.movement_working for s in takeoff.roofing.sheets if s.movement_working is not None]
    workings += [run.working for run in takeoff.roofing.flashings]
    workings += [plan.working for plan in takeoff.rainwater.downpipes]
    workings += [boards.working for boards in takeoff.cladding.boards]
    for need in (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs):
        workings += [quantity.working for quantity in need.quantities]
    if takeoff.order is not None:
        workings += [line.working for line in takeoff.order.lines]
    return {term.name for working in workings for term in working.terms}


def _setting(page: Page, setting: Setting, takeoff: Takeoff, sources: dict[str, int]) -> None:
    """The setting as a job writes it, what it means, its value with unit, a letter for its standing, its source."""
    unit = "" if isinstance(setting.value, (str, bool)) else setting.unit
    figure = spoken(value_words(setting.value, unit), takeoff).replace("_", " ")
    standing, source = basis_cells(setting.basis, sources)
    page.line(
        (
            setting.name,
            plain(setting.says) or name_words(setting.name).replace(" type ", ", type "),
            figure,
            standing,
            source,
        )
    )


def _product(page: Page, product: Any, sources: dict[str, int]) -> None:
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


def fill_cautions(page: Page) -> None:
    """The cautions, numbered."""
    for i, caution in enumerate(CAUTIONS, start=1):
        page.line((str(i), caution))
