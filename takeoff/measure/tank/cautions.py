"""What goes with every figure of a tank."""

from __future__ import annotations

from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Takeoff

_CAUTIONS = (
    (
        "tank-drinking-water",
        "Rain off a roof is not drinking water as it comes: birds, leaves and dust are in it.",
        "Screen and filter it, treat it for drinking, clean tank and gutters each year, and have it tested.",
        "common practice, no source",
    ),
    (
        "tank-lead",
        "Gutters, downpipes and flashings of a roof that people drink from must contain no lead.",
        "Take lead-free flashings and solder; keep old lead and treated timber off that roof.",
        "NCC 2019, 3.5.3 (seen)",
    ),
    (
        "tank-first-flush",
        "The first run-off after dry weather carries most of the dirt and is led past the tank.",
        "Fit a diverter that empties itself at each tank, and screens on its inlet and overflow.",
        "a public guide on harvesting rain: 20 to 25 L are diverted (seen)",
    ),
    (
        "tank-consent",
        "A tank, its foundation and plumbing to the house may need consent; mains beside it need backflow prevention.",
        "Ask the council, and let a licensed plumber connect it.",
        "common practice, no source",
    ),
    (
        "tank-rain-of-the-past",
        "The figures hold for the rain of the years read; dry spells to come may be longer.",
        "Keep a margin, and a way for a truck to reach the tank.",
        "common practice, no source",
    ),
)


def tank_cautions(takeoff: Takeoff) -> tuple[Finding, ...]:
    """Cautions printed with a tank's result; on the first rain off a new roof where the job says that it is new."""
    found = [Finding(code, Severity.NOTE, text, advice, source=source) for code, text, advice, source in _CAUTIONS]
    if takeoff.job.rain.new_roof:
        least = takeoff.settings.number("tank_new_roof_mm")
        text = f"The roof is new: its first {least:g} mm of rain are not led to the tank here."
        advice = "Keep the downpipes off the tank until it has rained so much, and while anyone paints the roof."
        source = takeoff.settings.basis("tank_new_roof_mm").words()
        found.append(Finding("tank-new-roof", Severity.NOTE, text, advice, source=source))
    return tuple(found)
