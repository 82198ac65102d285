"""How each purlin is fixed to the rafter it crosses: type by rafter spacing, purlin spacing and wind zone.

Source: the metal roofing code of practice, tables 3.9.1A (type) and 3.9.1B (what a type is and what it holds).
A code without such a table reads this one, its zone by the design gust.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.wind import zone_in, zone_term, zone_words
from takeoff.model.basis import Term
from takeoff.model.code_rules import RuleSet
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings

RAFTER_STEPS_MM = (900, 1200)
PURLIN_STEPS_MM = (600, 900, 1200)


@record
class CrossingFixing:
    """Fixing of one purlin-rafter crossing: type letter, how many of what, and the terms behind it; the last term is
    what it holds [kN]."""

    kind: str
    count: int
    name: str
    terms: tuple[Term, ...]


def crossing_fixing(rafter_mm: float, purlin_mm: float, zone: str, settings: Settings) -> CrossingFixing | Finding:
    """The fixing for these spacings: the row of the smallest table spacings that are not less than the actual ones.

    Raises JobError where the job replaced a row or a type by what is none.
    Returns a stop finding where the table says N/A or the spacings are beyond it: nothing is guessed there.
    """
    designed = settings.word("purlin_fixing")
    if designed != "by_table":
        return _of_type(designed, (settings.term("purlin_fixing"),), settings)
    rafter = _step(rafter_mm, RAFTER_STEPS_MM)
    purlin = _step(purlin_mm, PURLIN_STEPS_MM)
    spaced = f"rafters at {rafter_mm:.0f} mm and purlins at {purlin_mm:.0f} mm"
    words = zone_words(zone)
    if rafter is None or purlin is None:
        return Finding(
            "purlin-fixing-beyond-table",
            Severity.STOP,
            f"No purlin fixing is published for {spaced}: the table ends at 1200 mm.",
            "Close the spacing, or have it designed and add its type, a to e: `settings: {purlin_fixing: c}`.",
            source="code of practice 3.9.1A",
        )
    name = f"purlin_fixing_{rafter}_{purlin}"
    cells = settings.word(name).split()
    letter, rules = _cell(cells, zone, settings)
    if letter == "N/A":
        return Finding(
            "purlin-fixing-not-allowed",
            Severity.STOP,
            f"{spaced} in a {words} wind zone: the table gives no fixing (N/A).",
            "Close the purlin or rafter spacing, or have it designed and add its type, a to e: "
            "`settings: {purlin_fixing: c}`.",
            source=settings.basis(name).words(),
        )
    terms = (
        Term("rafter spacing", rafter_mm, "mm"),
        Term("widest purlin bay", purlin_mm, "mm"),
        zone_term(rules, zone, settings),
        settings.term(name),
    )
    return _of_type(letter.lower(), terms, settings)


def _of_type(letter: str, terms: tuple[Term, ...], settings: Settings) -> CrossingFixing:
    """The fixing of a type, a to e."""
    type_name = f"purlin_fixing_type_{letter}"
    count, _, what = settings.word(type_name).partition(" x ")
    made = (*terms, settings.term(type_name), settings.term(f"{type_name}_kn"))
    return CrossingFixing(letter.upper(), int(count), what, made)


def _cell(cells: list[str], zone: str, settings: Settings) -> tuple[str, RuleSet]:
    """The letter that a row of the table gives a zone, and whose zones the row counts; N/A for a zone beyond them."""
    own = settings.rules
    rules = own.silent if own.silent is not None and len(own.zones) != len(cells) else own
    read = zone_in(rules, zone, settings)
    names = [row.id for row in rules.zones]
    return (cells[names.index(read)] if read is not None else "N/A"), rules


def _step(actual_mm: float, steps: tuple[int, ...]) -> int | None:
    return next((step for step in steps if actual_mm <= step + TOLERANCES.same_length_mm), None)
