"""Soffit sheets under the overhangs: strips ripped from sheets, level ones under eaves and raked ones under verges."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from takeoff.basics.rounding import count_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.terms import run_working
from takeoff.measure.wind import wind_zone
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.edge_kinds import FREE_KINDS
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.site import Site
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.shape.walls.wall_edges import wall_edges

SOFFIT_JOINTER = "soffit_jointer"
SOFFIT_VENT = "soffit_vent_strip"
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
    fascia = settings.number("fascia_board_thickness_mm")
    found: list[Soffit] = []
    for edge in roof.own_edges:
        if edge.kind not in FREE_KINDS:
            continue
        rip = max((over.get(n, 0.0) for n in edge.outline_edges), default=0.0) - fascia
        if rip >= LEAST_MM:
            found.append(Soffit(edge.id, not edge.kind.row.level, rip, edge.length_mm))
    return tuple(found)


def soffit_quantities(soffits: Iterable[Soffit], settings: Settings) -> tuple[Quantity, ...]:
    """Sheets by kind, raked soffits apart from level ones."""
    found: list[Quantity] = []
    everything = tuple(soffits)
    for raked in (False, True):
        part = tuple(soffit for soffit in everything if soffit.raked is raked)
        if part:
            found += _sheets(part, soffit_sheet(raked, settings).id, raked, settings)
    return tuple(found)


def _sheets(part: tuple[Soffit, ...], item: str, raked: bool, settings: Settings) -> list[Quantity]:
    long, wide = settings.number("soffit_sheet_mm"), settings.number("soffit_sheet_wide_mm")
    strips: dict[float, int] = defaultdict(int)
    for soffit in part:
        pieces = max(1, count_up(soffit.length_mm, long))
        across = max(1, count_up(soffit.rip_mm, wide))
        strips[round(soffit.rip_mm / across, 1)] += pieces * across
    sheets = sum(ceil(count / max(1, floor(wide / rip + TOLERANCES.closure_rel))) for rip, count in strips.items())
    terms = [
        Term(f"strips {rip:g} wide", count, "each", None, f"{max(1, floor(wide / rip))} to a sheet")
        for rip, count in sorted(strips.items())
    ]
    refs = tuple(soffit.edge for soffit in part)
    slug = "raked" if raked else "level"
    sizes = (
        settings.term("soffit_sheet_mm"),
        settings.term("soffit_sheet_wide_mm"),
        settings.term("fascia_board_thickness_mm"),
    )
    rule = Working(
        "sheets = strips / strips to a sheet; strips = ceil(length / sheet length) an edge", (*terms, *sizes)
    )
    return [Quantity(f"cladding.soffit_{slug}", item, sheets, "each", refs, rule)]


def trimmer_note(soffits: Iterable[Soffit], site: Site, settings: Settings) -> tuple[Finding, ...]:
    """How far apart the code has trimmers carry the soffit sheets in the site's wind zone, by the widest of them.

    Nothing by a code without such a table, a warning where its table has no row.
    """
    rows = settings.rules.walls.trimmers
    widest = max((soffit.rip_mm for soffit in soffits), default=0.0)
    if not rows or widest <= 0.0:
        return ()
    zone = wind_zone(site, settings)[0]
    row = min((r for r in rows if r.zone == zone and r.sheet_mm >= widest), key=lambda r: r.sheet_mm, default=None)
    if row is None:
        return (
            Finding(
                "soffit-trimmers-not-in-table",
                Severity.WARN,
                f"Soffits to {widest:.0f} mm wide in zone {zone}: the code has no row of trimmers.",
                "Have the trimmers designed.",
                source=rows[0].basis.words(),
            ),
        )
    corner = f", {row.corner_mm:g} mm within 1.2 m of corners" if row.corner_mm else ""
    return (
        Finding(
            "soffit-trimmers",
            Severity.NOTE,
            f"Soffits to {widest:.0f} mm wide in zone {zone}: trimmers at {row.trimmers_mm:g} mm at most{corner}.",
            source=row.basis.words(),
        ),
    )


def soffit_sheet(raked: bool, settings: Settings) -> Made:
    """A soffit sheet as an item: kind, length x width x thickness [mm]."""
    names = ("soffit_sheet_mm", "soffit_sheet_wide_mm", "soffit_sheet_thick_mm")
    sides = tuple(settings.number(name) for name in names)
    size = " x ".join(f"{side:g}" for side in sides)
    sort = "gable_soffit_sheet" if raked else "soffit_sheet"
    kind = "gable soffit sheet" if raked else "soffit sheet"
    return Made(f"{kind} {size}", sort, (Mark(MarkKind.SIZE, sides),))


def mould_runs(soffits: Iterable[Soffit], settings: Settings) -> tuple[RunDemand, ...]:
    """Moulds along both edges of every soffit, joined anywhere."""
    item = settings.word("soffit_mould")
    return tuple(
        _run(f"M.{soffit.edge}.{side}", item, soffit, settings.term("soffit_mould"))
        for soffit in soffits
        for side in (1, 2)
    )


def _run(name: str, item: str, soffit: Soffit, term: Term) -> RunDemand:
    working = run_working("length of the soffit's edge", soffit.length_mm, soffit.edge, term)
    return RunDemand(name, item, soffit.length_mm, None, refs=(soffit.edge,), working=working)


def jointer_runs(soffits: Iterable[Soffit], settings: Settings) -> tuple[RunDemand, ...]:
    """A jointer as long as the soffit is wide at every joint of sheets, in one piece."""
    long, names = settings.number("soffit_sheet_mm"), ("soffit_sheet_mm", "fascia_board_thickness_mm")
    terms = tuple(settings.term(name) for name in names)
    rule = "as long as the soffit is wide"
    return tuple(
        RunDemand(
            f"J.{soffit.edge}.{n}",
            SOFFIT_JOINTER,
            soffit.rip_mm,
            refs=(soffit.edge,),
            working=run_working(rule, soffit.rip_mm, soffit.edge, *terms),
        )
        for soffit in soffits
        for n in range(1, max(1, count_up(soffit.length_mm, long)))
    )


def vent_runs(soffits: Iterable[Soffit], settings: Settings) -> tuple[RunDemand, ...]:
    """The vent strip along every level soffit, where setting soffit_vent asks for it, joined anywhere."""
    if not settings.flag("soffit_vent"):
        return ()
    return tuple(
        _run(f"Q.{soffit.edge}", SOFFIT_VENT, soffit, settings.term("soffit_vent"))
        for soffit in soffits
        if not soffit.raked
    )
