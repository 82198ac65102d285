"""How each purlin is fixed to the rafter it crosses: type by rafter spacing, purlin spacing and wind zone.

Source: the metal roofing code of practice, tables 3.16.1A (type) and 3.16.1B (what a type is and what it holds).
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import Term
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import WindZone
from takeoff.model.settings import Settings

RAFTER_STEPS_MM = (900, 1200)
PURLIN_STEPS_MM = (600, 900, 1200)
TYPES = ("A", "B", "C", "D", "E")
ZONES = (WindZone.LOW, WindZone.MEDIUM, WindZone.HIGH, WindZone.VERY_HIGH, WindZone.EXTRA_HIGH)


@dataclass(frozen=True, slots=True)
class CrossingFixing:
    """Fixing of one purlin-rafter crossing: type letter, how many of what, capacity [kN], and the terms behind it."""

    kind: str
    count: int
    name: str
    capacity_kn: float
    terms: tuple[Term, ...]


def crossing_fixing(rafter_mm: float, purlin_mm: float, zone: WindZone, settings: Settings) -> CrossingFixing | Finding:
    """The fixing for these spacings: the row of the smallest table spacings that are not less than the actual ones.

    Raises JobError where the job replaced a row or a type by what is none.
    Returns a stop finding where the table says N/A or the spacings are beyond it: nothing is guessed there.
    """
    rafter = _step(rafter_mm, RAFTER_STEPS_MM)
    purlin = _step(purlin_mm, PURLIN_STEPS_MM)
    spaced = f"rafters at {rafter_mm:.0f} mm and purlins at {purlin_mm:.0f} mm"
    words = zone.value.replace("_", " ")
    if rafter is None or purlin is None:
        return Finding(
            "purlin-fixing-beyond-table",
            Severity.STOP,
            f"No purlin fixing is published for {spaced}: the table ends at 1200 mm.",
            "Close the spacing, or have the fixing designed.",
            source="code of practice 3.16.1A",
        )
    name = f"purlin_fixing_{rafter}_{purlin}"
    cells = settings.word(name).split()
    letter = cells[ZONES.index(zone)]
    if letter == "N/A":
        return Finding(
            "purlin-fixing-not-allowed",
            Severity.STOP,
            f"{spaced} in a {words} wind zone: the table gives no fixing (N/A).",
            "Close the purlin or rafter spacing, or have the fixing designed.",
            source=settings.basis(name).words(),
        )
    type_name = f"purlin_fixing_type_{letter.lower()}"
    count, _, what = settings.word(type_name).partition(" x ")
    terms = (
        Term("rafter spacing", rafter_mm, "mm"),
        Term("widest purlin bay", purlin_mm, "mm"),
        Term("wind zone", words, ""),
        settings.term(name),
        settings.term(type_name),
        settings.term(f"{type_name}_kn"),
    )
    return CrossingFixing(letter, int(count), what, settings.number(f"{type_name}_kn"), terms)


def _step(actual_mm: float, steps: tuple[int, ...]) -> int | None:
    return next((step for step in steps if actual_mm <= step + TOLERANCES.same_length_mm), None)
