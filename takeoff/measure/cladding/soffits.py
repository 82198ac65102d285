"""Soffit sheets under the overhangs: strips ripped from sheets, level ones under eaves and raked ones under verges."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.roof import EdgeKind, Roof
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.shape.wall_edges import wall_edges

LEAST_MM = 50.0  # narrower overhangs are closed by a mould, not by a sheet


@dataclass(frozen=True, slots=True)
class Soffit:
    """One straight soffit: `raked` under a verge, else level; `rip_mm` its width, `length_mm` along its long side."""

    edge: str
    raked: bool
    rip_mm: float
    length_mm: float


def soffits_of(roof: Roof, settings: Settings) -> tuple[Soffit, ...]:
    """The soffits of a roof with a wall line: overhang less the fascia, along eaves, heads and verges.

    Level soffits are as long as their eave (the long side of a mitre), raked ones as long as their verge on the slope.
    """
    over = {edge.outline_edge: edge.overhang_mm for edge in wall_edges(roof) if edge.named != "wall"}
    fascia = settings.number("fascia_thick_mm")
    found: list[Soffit] = []
    for edge in roof.own_edges:
        if edge.kind not in (EdgeKind.EAVE, EdgeKind.HEAD, EdgeKind.VERGE):
            continue
        rip = max((over.get(n, 0.0) for n in edge.outline_edges), default=0.0) - fascia
        if rip >= LEAST_MM:
            found.append(Soffit(edge.id, edge.kind is EdgeKind.VERGE, rip, edge.length_mm))
    return tuple(found)


def soffit_quantities(soffits: Iterable[Soffit], settings: Settings) -> tuple[Quantity, ...]:
    """Sheets by kind, jointers, and where asked a vent strip; raked soffits apart from level ones."""
    found: list[Quantity] = []
    everything = tuple(soffits)
    for raked in (False, True):
        part = tuple(soffit for soffit in everything if soffit.raked is raked)
        if part:
            found += _sheets(part, "gable soffit sheet" if raked else "soffit sheet", raked, settings)
    level = [soffit for soffit in everything if not soffit.raked]
    if level and settings.flag("soffit_vent"):
        metres = sum(soffit.length_mm for soffit in level) / 1000.0
        rule = Working("vent strip along every level soffit", (settings.term("soffit_vent"),))
        found.append(
            Quantity("cladding.soffit_vent", "soffit vent strip", metres, "m", tuple(s.edge for s in level), rule)
        )
    return tuple(found)


def _sheets(part: tuple[Soffit, ...], item: str, raked: bool, settings: Settings) -> list[Quantity]:
    long, wide = settings.number("soffit_sheet_mm"), settings.number("soffit_sheet_wide_mm")
    strips: dict[float, int] = defaultdict(int)
    joints = 0.0
    for soffit in part:
        pieces = max(1, count_up(soffit.length_mm, long))
        across = max(1, count_up(soffit.rip_mm, wide))
        strips[round(soffit.rip_mm / across, 1)] += pieces * across
        joints += (pieces - 1) * soffit.rip_mm
    sheets = sum(ceil(count / max(1, floor(wide / rip + TOLERANCES.closure_rel))) for rip, count in strips.items())
    terms = [
        Term(f"strips {rip:g} wide", count, "each", None, f"{max(1, floor(wide / rip))} to a sheet")
        for rip, count in sorted(strips.items())
    ]
    refs = tuple(soffit.edge for soffit in part)
    slug = "raked" if raked else "level"
    sizes = (settings.term("soffit_sheet_mm"), settings.term("soffit_sheet_wide_mm"), settings.term("fascia_thick_mm"))
    rule = Working(
        "sheets = strips / strips to a sheet; strips = ceil(length / sheet length) an edge", (*terms, *sizes)
    )
    found = [Quantity(f"cladding.soffit_{slug}", item, sheets, "each", refs, rule)]
    if joints:
        rule = Working("jointers = joints of strips x width of the soffit", sizes)
        name = "gable soffit jointer" if raked else "soffit jointer"
        found.append(Quantity(f"cladding.soffit_jointer_{slug}", name, joints / 1000.0, "m", refs, rule))
    return found


def mould_runs(soffits: Iterable[Soffit], settings: Settings) -> tuple[RunDemand, ...]:
    """Moulds along both edges of every soffit, joined anywhere."""
    item = settings.word("soffit_mould")
    return tuple(
        RunDemand(f"M.{soffit.edge}.{side}", item, soffit.length_mm, None, refs=(soffit.edge,))
        for soffit in soffits
        for side in (1, 2)
    )
