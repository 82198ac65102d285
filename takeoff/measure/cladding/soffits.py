"""Soffit sheets under the overhangs: strips ripped from sheets, level ones under eaves and raked ones under verges."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil, floor

from takeoff.basics.records import record
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
LEAST_MM = TOLERANCES.least_soffit_mm


@record
class Soffit:
    """One straight soffit: `raked` under a verge, else level; `rip_mm` its width, `length_mm` along its eave or verge,
    `inner_mm` along the wall. `area_mm2` between wall and fascia: in plan, a raked one along its rake."""

    edge: str
    raked: bool
    rip_mm: float
    length_mm: float
    inner_mm: float = 0.0
    area_mm2: float = 0.0


def soffits_of(roof: Roof, settings: Settings) -> tuple[Soffit, ...]:
    """The soffits of a roof with a wall line: overhang less the fascia, along eaves, heads and verges.

    Level soffits are as long as their eave (the long side of a mitre), raked ones as long as their verge on the slope;
    where the two meet at a gable the corner is the raked one's.
    """
    walls = {edge.outline_edge: edge for edge in wall_edges(roof) if edge.named != "wall"}
    fascia = settings.number("fascia_board_thickness_mm")
    lengths: dict[int, float] = defaultdict(float)
    for edge in roof.own_edges:
        for number in edge.outline_edges if edge.kind in FREE_KINDS else ():
            lengths[number] += edge.plan_length_mm / len(edge.outline_edges)
    found: list[Soffit] = []
    for edge in roof.own_edges:
        if edge.kind not in FREE_KINDS:
            continue
        numbers = [n for n in edge.outline_edges if n in walls]
        overhang = max((walls[n].overhang_mm for n in numbers), default=0.0)
        rip = overhang - fascia
        if rip < LEAST_MM:
            continue
        raked = not edge.kind.row.level
        share = sum(walls[n].length_mm for n in numbers) / sum(lengths[n] for n in numbers)
        inner = edge.length_mm * share
        area = rip * edge.length_mm
        if not raked:
            corners = sum(walls[n].overhang_mm for n in _gables_beside(roof, numbers) if n in walls)
            mitres = (edge.length_mm - inner - corners) * rip / overhang
            area = rip * (inner + mitres / 2.0)
        found.append(Soffit(edge.id, raked, rip, edge.length_mm, inner, area))
    return tuple(found)


def _gables_beside(roof: Roof, numbers: Sequence[int]) -> Iterator[int]:
    """The outline edges next to some that are gables."""
    for ring in roof.edge_numbers:
        for before, after in pairwise((*ring, ring[0])):
            for one, other in ((before, after), (after, before)):
                if one in numbers and other <= len(roof.edge_names) and roof.edge_names[other - 1] == "gable":
                    yield other


def soffit_areas(soffits: Iterable[Soffit]) -> tuple[Quantity, ...]:
    """Area of level soffits in plan and of raked ones along their rake [m2]: measured, not bought."""
    everything = tuple(soffits)
    found = []
    for raked, name in ((False, "soffit area, level, in plan"), (True, "soffit area, raked, along the rake")):
        part = tuple(soffit for soffit in everything if soffit.raked is raked)
        if part:
            terms = tuple(Term("area", round(s.area_mm2 / 1e6, 6), "m2", None, s.edge) for s in part)
            rule = "width between wall and fascia x mean of its two sides; at a gable the corner is the raked one's"
            slug = "raked" if raked else "level"
            refs = tuple(soffit.edge for soffit in part)
            area = sum(soffit.area_mm2 for soffit in part) / 1e6
            found.append(Quantity(f"soffit.{slug}.area", name, area, "m2", refs, Working(rule, terms)))
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
        across = rows_of(soffit, settings)
        strips[round(soffit.rip_mm / across, 1)] += pieces * across
    to_a_sheet = {rip: max(1, floor(wide / rip + TOLERANCES.closure_rel)) for rip in strips}
    sheets = sum(ceil(count / to_a_sheet[rip]) for rip, count in strips.items())
    terms = [
        Term(f"strips {rip:g} wide", count, "each", None, f"{to_a_sheet[rip]} to a sheet")
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
        "sheets = strips / strips to a sheet; strips = ceil(length / sheet length) an edge",
        (*terms, Term("area of the soffits", round(sum(s.area_mm2 for s in part) / 1e6, 3), "m2"), *sizes),
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
    """Moulds along both edges of every soffit, at the fascia and at the wall, joined anywhere."""
    item, term = settings.word("soffit_mould"), settings.term("soffit_mould")
    return tuple(
        _run(f"M.{soffit.edge}.{side}", item, soffit.edge, length, term)
        for soffit in soffits
        for side, length in ((1, soffit.length_mm), (2, soffit.inner_mm or soffit.length_mm))
    )


def _run(name: str, item: str, edge: str, length: float, term: Term) -> RunDemand:
    working = run_working("length of the soffit's edge", length, edge, term)
    return RunDemand(name, item, length, None, refs=(edge,), working=working)


def rows_of(soffit: Soffit, settings: Settings) -> int:
    """Rows of sheets side by side from wall to fascia: one, more where the soffit is wider than a sheet."""
    return max(1, count_up(soffit.rip_mm, settings.number("soffit_sheet_wide_mm")))


def jointer_runs(soffits: Iterable[Soffit], settings: Settings) -> tuple[RunDemand, ...]:
    """A jointer at every joint of sheets [common practice, no source]: at the ends of sheets as long as their row is
    wide, in one piece where its stock is as long; between two rows along the whole soffit, joined anywhere."""
    long, stock = settings.number("soffit_sheet_mm"), settings.number("soffit_jointer_stock_mm")
    names = ("soffit_sheet_mm", "fascia_board_thickness_mm")
    terms = tuple(settings.term(name) for name in names)
    broad = (*terms, settings.term("soffit_sheet_wide_mm"))
    found: list[RunDemand] = []
    whole = "as long as the soffit is wide"

    def add(soffit: Soffit, name: str, length: float, rule: str) -> None:
        splits = () if length <= stock else None
        working = run_working(rule, length, soffit.edge, *(terms if rule == whole else broad))
        found.append(RunDemand(name, SOFFIT_JOINTER, length, splits, refs=(soffit.edge,), working=working))

    for soffit in soffits:
        rows, ends = rows_of(soffit, settings), max(1, count_up(soffit.length_mm, long)) - 1
        rule = whole if rows == 1 else "as long as a row of sheets is wide"
        for n in range(1, rows * ends + 1):
            add(soffit, f"J.{soffit.edge}.{n}", soffit.rip_mm / rows, rule)
        outer, inner = soffit.length_mm, soffit.inner_mm or soffit.length_mm
        for row in range(1, rows):
            length = outer + (inner - outer) * row / rows
            add(soffit, f"J.{soffit.edge}.row{row}", length, "between two rows of sheets, along the soffit")
    return tuple(found)


def vent_runs(soffits: Iterable[Soffit], settings: Settings) -> tuple[RunDemand, ...]:
    """The vent strip along every level soffit, where setting soffit_vent asks for it, joined anywhere."""
    if not settings.flag("soffit_vent"):
        return ()
    return tuple(
        _run(f"Q.{soffit.edge}", SOFFIT_VENT, soffit.edge, soffit.length_mm, settings.term("soffit_vent"))
        for soffit in soffits
        if not soffit.raked
    )
