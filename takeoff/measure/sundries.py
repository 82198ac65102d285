"""What purlins, underlay, mesh and valley trays are held with: nails, staples, tape, clips.

Common practice or from memory, every value a setting. Counts carry their spares where a setting says so; whole boxes
and rolls are made where the order is made, so that several roofs share them.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.rounding import count_up
from takeoff.measure.terms import quantity
from takeoff.model.basis import Quantity, Term
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import FlashingRun, PurlinLine
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings

# timbers that are cut between the rows they meet, and nailed through them at both ends
_BETWEEN_ROWS = ("hip trimmer", "hole trimmer")


def framing_nails(roof: Roof, lines: Sequence[PurlinLine], gauge_mm: float, settings: Settings) -> tuple[Quantity, ...]:
    """Nails of outriggers, and of both ends of every piece of trimmer between two rows."""
    flies = [line for line in lines if line.role == "outrigger"]
    trimmers = [line for line in lines if line.role in _BETWEEN_ROWS]
    pieces = sum(max(1, count_up(abs(line.b_uv[1] - line.a_uv[1]), gauge_mm)) for line in trimmers)
    exact = len(flies) * settings.number("outrigger_nails") + 2 * pieces * settings.number("trimmer_nails_an_end")
    if exact <= 0.0:
        return ()
    exact *= 1.0 + settings.number("purlin_fixing_spare_percent") / 100.0
    names = ("outrigger_nails", "trimmer_nails_an_end", "purlin_fixing_spare_percent")
    terms = (Term("outriggers", len(flies), "each"), Term("pieces of trimmer between rows", pieces, "each"))
    rule = "outriggers x nails + pieces of trimmer x 2 ends x nails, with spares"
    refs = tuple(dict.fromkeys(line.plane for line in (*flies, *trimmers)))
    made = (*terms, *(settings.term(name) for name in names))
    return (
        quantity(f"{roof.name} framing nails", "framing_nail", float(ceil(exact - 1e-9)), "each", refs, rule, *made),
    )


def underlay_sundries(
    area_m2: float, laps_mm: float, side_laps_mm: float, refs: tuple[str, ...], settings: Settings
) -> tuple[Quantity, ...]:
    """Staples of the underlay over its true area [m2], and tape over end laps and valleys (`laps_mm`), over side laps
    too where the setting asks."""
    found: list[Quantity] = []
    staples = float(ceil(area_m2 * settings.number("underlay_staples_m2") - 1e-9))
    if staples:
        terms = (Term("true area", round(area_m2, 3), "m2"), settings.term("underlay_staples_m2"))
        rule = "true area x staples a m2"
        found.append(quantity("underlay staples", "underlay_staple", staples, "each", refs, rule, *terms))
    taped = laps_mm + (side_laps_mm if settings.flag("underlay_tape_side_laps") else 0.0)
    if taped > 0.0 and settings.number("underlay_tape_roll_m") > 0.0:
        taped_terms = (
            Term("end laps and both sides of valley strips", round(laps_mm / 1000.0, 3), "m"),
            Term("side laps", round(side_laps_mm / 1000.0, 3), "m"),
            settings.term("underlay_tape_side_laps"),
        )
        rule = "end laps and valley strips, side laps where set"
        found.append(quantity("underlay tape", "underlay_tape", taped / 1000.0, "m", refs, rule, *taped_terms))
    return tuple(found)


def mesh_quantities(area_m2: float, refs: tuple[str, ...], settings: Settings) -> tuple[Quantity, ...]:
    """Safety mesh with its side laps [m2], area x width / (width - lap), and its staples; nothing where not set."""
    if not settings.flag("safety_mesh"):
        return ()
    width = settings.number("safety_mesh_width_mm")
    lap = settings.number("safety_mesh_lap_mm")
    sheet = Term("true area of sheeted planes", round(area_m2, 3), "m2")
    names = ("safety_mesh", "safety_mesh_width_mm", "safety_mesh_lap_mm")
    rolled = area_m2 * width / (width - lap)
    rule = "true area x width / (width - side lap)"
    terms = tuple(settings.term(name) for name in names)
    mesh = quantity("safety mesh", "safety_mesh", rolled, "m2", refs, rule, sheet, *terms)
    staples = float(ceil(area_m2 * settings.number("mesh_staples_m2") - 1e-9))
    if not staples:
        return (mesh,)
    held = (sheet, settings.term("mesh_staples_m2"))
    return mesh, quantity("mesh staples", "mesh_staple", staples, "each", refs, "true area x staples a m2", *held)


def valley_clips(roof: Roof, runs: Sequence[FlashingRun], settings: Settings) -> tuple[Quantity, ...]:
    """Clips along both edges of every valley tray, so that it moves and is fixed at its top only."""
    trays = [run for run in runs if run.kind is EdgeKind.VALLEY]
    if not trays:
        return ()
    spacing = settings.number("valley_clip_spacing_mm")
    count = sum(2 * (max(1, count_up(run.net_mm, spacing)) + 1) for run in trays)
    refs = tuple(run.edge for run in trays)
    rule = "both edges of each tray: ceil(length / spacing) + 1"
    term = settings.term("valley_clip_spacing_mm")
    return (quantity(f"{roof.name} valley clips", "valley_clip", float(count), "each", refs, rule, term),)
