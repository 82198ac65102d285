"""What the job's code says of gutters: how far apart brackets stand, how long a gutter is without a joint, how far its
metal moves.

Where the code has no such table, that of the code which serves where it is silent is read, and the term says so.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from takeoff.measure.rainwater.chosen import Chosen, product_term
from takeoff.model.basis import Basis, Term
from takeoff.model.code_rules import RuleSet
from takeoff.model.rain_rules import RainRules

T = TypeVar("T")
PVC = "pvc"


def table_of(rules: RuleSet, of: Callable[[RainRules], tuple[T, ...]]) -> tuple[tuple[T, ...], RuleSet]:
    """A table of a code, else of the code that serves where it is silent, with the code it was found in."""
    found: RuleSet = rules
    while not of(found.rain) and found.silent is not None:
        found = found.silent
    return of(found.rain), found


def marked(basis: Basis, held_in: RuleSet, rules: RuleSet) -> Basis:
    """A basis that says so where it is another code's."""
    if held_in.id == rules.id:
        return basis
    said = f"{held_in.name}, taken where the code of {rules.name} is silent"
    return replace(basis, holds=f"{said}; {basis.holds}" if basis.holds else said)


def bracket_spacing(chosen: Chosen) -> tuple[float, Term]:
    """How far apart brackets stand at most [mm]: the job's, else the lesser of the code's (for metal) and the maker's.

    Wider than the code's table goes, its closest spacing is taken. 0 where nobody says anything.
    """
    settings, gutter = chosen.settings, chosen.gutter
    if settings.number("gutter_bracket_mm") > 0.0:
        return settings.number("gutter_bracket_mm"), settings.term("gutter_bracket_mm")
    maker = product_term(gutter, "bracket_mm", gutter.bracket_mm, "mm")
    if gutter.system == PVC:
        return gutter.bracket_mm, maker
    _, code = table_of(settings.rules, lambda rain: rain.brackets)
    row = code.rain.bracket_row(gutter.width_mm, settings.flag("gutter_in_snow"))
    row = row or min(code.rain.brackets, key=lambda other: other.spacing_mm, default=None)
    if row is None or 0.0 < gutter.bracket_mm < row.spacing_mm:
        return gutter.bracket_mm, maker
    words = f"gutter {gutter.width_mm:g} wide{', in snow' if row.snow else ''}"
    return row.spacing_mm, Term(
        "brackets at most", row.spacing_mm, "mm", marked(row.basis, code, settings.rules), words
    )


def longest_without_joint(chosen: Chosen) -> tuple[float, Term]:
    """Longest straight metal gutter without an expansion joint [mm], by its metal and how it is held.

    A metal that the table does not name takes the shortest of those it names. 0 where no table says anything.
    """
    settings = chosen.settings
    given = settings.term("gutter_expansion_over_mm")
    if float(given.value) > 0.0:
        return float(given.value), given
    metal, held = settings.word("gutter_metal"), settings.word("gutter_held")
    rows, code = table_of(settings.rules, lambda rain: rain.longest)
    alike = [row for row in rows if row.held == held]
    named = [row for row in alike if row.metal in ("", metal)]
    row = min(named or alike, key=lambda other: other.longest_mm, default=None)
    if row is None:
        return 0.0, given
    words = f"{metal}, {held.replace('_', ' ')}"
    words += "" if named else ": not named, the shortest of the table"
    basis = marked(row.basis, code, settings.rules)
    return row.longest_mm, Term("longest without an expansion joint", row.longest_mm, "mm", basis, words)


def movement_rate(chosen: Chosen) -> Term:
    """How far the gutter moves [mm a metre and degree]: steel and PVC by their settings, other metals by the table."""
    settings = chosen.settings
    if chosen.gutter.system == PVC:
        return settings.term("pvc_movement_mm_per_m_deg")
    metal = settings.word("gutter_metal")
    rows, code = table_of(settings.rules, lambda rain: rain.movement)
    row = next((row for row in rows if row.metal == metal), None)
    if metal == "steel" or row is None:
        return settings.term("steel_movement_mm_per_m_deg")
    return Term(f"movement of {metal}", row.mm_per_m_deg, "mm/(m degC)", marked(row.basis, code, settings.rules))
