"""Mass of a metre of what is bought in lengths: timber by its section, flashings by their girth.

Physics on settings: for lifting and carting, not for design. What has no known section has no mass here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from takeoff.model.basis import Term
from takeoff.model.measured import RoofingMeasured
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings

_SECTION = re.compile(r"_(\d+)x(\d+)$")


@dataclass(frozen=True, slots=True)
class Mass:
    """Mass of a metre [kg/m] and what it was worked out from."""

    kg_per_m: float
    terms: tuple[Term, ...]


def masses_of(
    items: Iterable[str], roofing: RoofingMeasured, catalogue: Catalogue, settings: Settings
) -> Mapping[str, Mass]:
    """Mass of a metre by item, for the items that have one.

    Flashings: girth x (thickness x 7.85 + coating). Timber: width x depth x density, of the catalogue's section or of
    one named in the item (purlin_70x45); boards by width and thickness.
    """
    girths = {run.item: run.girth_mm for run in roofing.flashings}
    found: dict[str, Mass] = {}
    for item in items:
        if item in girths:
            found[item] = _flashing(girths[item], settings)
        else:
            section = _section(item, catalogue)
            if section is not None:
                found[item] = _timber(*section, settings)
    return found


def _section(item: str, catalogue: Catalogue) -> tuple[float, float] | None:
    if item in catalogue.timbers:
        timber = catalogue.timbers[item]
        return timber.width_mm, timber.depth_mm
    if item in catalogue.boards:
        board = catalogue.boards[item]
        return (board.width_mm, board.thickness_mm) if board.thickness_mm > 0.0 else None
    named = _SECTION.search(item)
    return (float(named[1]), float(named[2])) if item.startswith("purlin_") and named else None


def _flashing(girth_mm: float, settings: Settings) -> Mass:
    steel, coating = settings.number("steel_kg_per_m2_mm"), settings.number("coating_kg_per_m2")
    value = girth_mm / 1000.0 * (settings.number("flashing_bmt_mm") * steel + coating)
    names = ("flashing_bmt_mm", "steel_kg_per_m2_mm", "coating_kg_per_m2")
    return Mass(value, (Term("girth", girth_mm, "mm"), *(settings.term(name) for name in names)))


def _timber(width_mm: float, depth_mm: float, settings: Settings) -> Mass:
    value = width_mm * depth_mm / 1e6 * settings.number("timber_kg_per_m3")
    section = Term("section", f"{width_mm:g} x {depth_mm:g}", "mm x mm")
    return Mass(value, (section, settings.term("timber_kg_per_m3")))
