"""Openings that the space under a roof needs, as a check: off unless setting roof_ventilation asks for it.

Australia: mm2 a metre of the roof's longest side, by its pitch (HP22 Table 10.8.3). New Zealand: a share of the
ceiling, a rule of thumb (COP25 10.10). A roof of several pitches goes by its lowest, which asks for the most.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from takeoff.basics.polygons import rings_area
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import Need
from takeoff.model.roof import Covering, Roof
from takeoff.model.settings import Settings
from takeoff.model.wall_rules import VentRow


def ventilation_need(roofs: Sequence[Roof], settings: Settings) -> Need:
    """A note a roof with what the code asks for; nothing where the setting does not ask."""
    if not settings.flag("roof_ventilation"):
        return Need("roofing")
    return Need("roofing", findings=tuple(_checked(roof, settings) for roof in roofs))


def vent_row(pitch_deg: float, rows: Sequence[VentRow]) -> VentRow | None:
    """The row of a pitch, the first that it is below; None beyond the table."""
    return next((row for row in rows if pitch_deg < row.below_deg - 1e-9), None)


def longest_side_mm(roof: Roof) -> float:
    """How far the outline reaches along that of its sides where it reaches furthest [mm]."""
    points = [point for ring in roof.outline_mm for point in ring]
    longest = 0.0
    for ring in roof.outline_mm:
        for (ax, ay), (bx, by) in pairwise((*ring, ring[0])):
            side = hypot(bx - ax, by - ay)
            if side > 0.0:
                along = [(x * (bx - ax) + y * (by - ay)) / side for x, y in points]
                longest = max(longest, max(along) - min(along))
    return longest


def openings_mm2(row: VentRow, longest_m: float, ceiling_m2: float, cathedral: bool) -> tuple[tuple[str, float], ...]:
    """What is to be open, place by place [mm2]."""
    extra = row.cathedral_eaves_mm2_per_m if cathedral else 0.0
    named = (
        ("at two opposite ends, each", row.two_ends_mm2_per_m * longest_m),
        ("at the eaves", (row.eaves_mm2_per_m + extra) * longest_m),
        ("high up", row.high_mm2_per_m * longest_m),
        ("in all", row.ceiling_share * ceiling_m2 * 1e6),
    )
    return tuple((place, figure) for place, figure in named if figure > 0.0)


def ceiling_m2(roof: Roof) -> float:
    """Area inside the wall line, else inside the outline, courtyards off [m2]."""
    return abs(rings_area(roof.wall_line_mm or roof.outline_mm)) / 1e6


def _checked(roof: Roof, settings: Settings) -> Finding:
    pitches = [plane.pitch_deg for plane in roof.planes if plane.covering is Covering.SHEETS]
    pitch = min(pitches, default=90.0)
    row = vent_row(pitch, settings.rules.walls.ventilation)
    if row is None:
        return Finding(
            "roof-ventilation",
            Severity.WARN,
            f"Roof {roof.name}: the code's table of ventilation says nothing of a pitch of {pitch:.1f} degrees.",
            "Have it designed.",
        )
    longest, ceiling = longest_side_mm(roof) / 1e3, ceiling_m2(roof)
    found = openings_mm2(row, longest, ceiling, settings.flag("cathedral_ceiling"))
    by = f"{ceiling:.1f} m2 of ceiling" if row.ceiling_share else f"{longest:.2f} m along its longest side"
    words = " and ".join(f"{f'{figure:,.0f}'.replace(',', ' ')} mm2 {place}" for place, figure in found)
    gap, at_eave = settings.number("insulation_gap_mm"), settings.number("insulation_gap_eave_mm")
    return Finding(
        "roof-ventilation",
        Severity.NOTE,
        f"Roof {roof.name}, {pitch:.1f} degrees, {by}: openings of {words} are wanted.",
        "Openings are not in this order."
        f" Keep insulation {gap:g} mm clear under the roofing, {at_eave:g} mm at the eave.",
        source=row.basis.words(),
    )
