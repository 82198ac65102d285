"""Roof catchment: plan area a run and in all (what a tank is fed from), effective area in wind, and flow.

Plan area is what fills a tank: 1 mm of rain on 1 m2 of plan is 1 L. In wind rain falls at a slope, and a roof catches
more: that effective area sizes gutters, never tanks.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, tan

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import Basis, Quantity, Status, Term, Working
from takeoff.model.drainage import GutterRun, PlaneShare
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof
from takeoff.shape.water.fall_cells import LEVEL_DEG

RAIN_SLOPE = Basis(
    Status.SEEN_RESTATED,
    "AS/NZS 3500.3, stormwater drainage",
    "rain falls 2 vertical to 1 horizontal",
    via="a summary of a stormwater manual, ch. 4",
)
LEAST_MISSING_MM2 = TOLERANCES.no_catchment_mm2


def wind_factor(pitch_deg: float) -> float:
    """F = 1 + 0.5 tan p: effective over plan area of a single slope in wind-driven rain (AS/NZS 3500.3).

    >>> wind_factor(0.0), round(wind_factor(45.0), 12)
    (1.0, 1.5)
    """
    return 1.0 + 0.5 * tan(radians(pitch_deg))


def wind_terms(shares: Sequence[PlaneShare]) -> tuple[Term, ...]:
    """The terms of an effective catchment: plan area and F of each plane, and what walls above add."""
    found: list[Term] = []
    for share in shares:
        if share.wall:
            found.append(Term("wall above the roof, its share", round(share.area_mm2 / 1e6, 3), "m2", ref=share.plane))
            continue
        factor = wind_factor(share.pitch_deg)
        found.append(Term("plan area", round(share.area_mm2 / 1e6, 3), "m2", ref=share.plane))
        found.append(Term("F", round(factor, 4), "", RAIN_SLOPE, f"{share.pitch_deg:.2f} degrees"))
    return tuple(found)


def effective_area_m2(length_m: float, width_m: float, height_m: float) -> float:
    """Effective catchment of a roof slope, L x (W + H / 2) [m2], W its plan width and H its height (BS EN 12056-3).

    >>> effective_area_m2(10.0, 6.0, 3.0)
    75.0
    """
    return length_m * (width_m + height_m / 2.0)


def flow_l_per_s(area_m2: float, rain_mm_per_h: float, runoff: float = 1.0) -> float:
    """Flow [L/s] of the rational method: C x A x I / 3600.

    >>> flow_l_per_s(100.0, 144.0)
    4.0
    """
    return runoff * area_m2 * rain_mm_per_h / 3600.0


def level_plan_m2(roofs: Sequence[Roof]) -> float:
    """Plan area of level planes under the open sky [m2]: a roof deck drains by outlets of its own."""
    return sum(_level_mm2(roof) for roof in roofs) / 1e6


def _level_mm2(roof: Roof) -> float:
    return sum(plane.plan_area_mm2 - plane.covered_mm2 for plane in roof.planes if plane.pitch_deg < LEVEL_DEG)


def catchment_quantities(
    gutters: Sequence[GutterRun], chosen: Chosen, roofs: Sequence[Roof] = ()
) -> tuple[Quantity, ...]:
    """Plan catchment [m2], effective catchment [m2] and flow [L/s] of each run, and the plan catchment of all, with the
    level planes of `roofs`."""
    found: list[Quantity] = []
    for run in gutters:
        found += _of_run(run, chosen)
    terms = tuple(Term(run.id, round(run.plan_catchment_mm2 / 1e6, 3), "m2", ref=run.id) for run in gutters)
    total = sum(run.own_catchment_mm2 for run in gutters) / 1e6
    refs = tuple(run.id for run in gutters)
    twice = sum(run.plan_catchment_mm2 for run in gutters) / 1e6 - total
    rule = "sum of the plan areas that drain to gutters; what is connected feeds the tank"
    if any(water.pipe for run in gutters for water in run.received):
        rule += "; less what spreaders bring to a lower roof's gutter, which stands in that of the upper one"
        terms = (*terms, Term("brought by spreaders", round(twice, 3), "m2"))
    item = "Roof catchment in plan, all gutters"
    level = level_plan_m2(roofs)
    if level > 0.0:
        rule += "; and level roof, which drains by outlets of its own"
        terms = (*terms, Term("level roof", round(level, 3), "m2"))
        item += " and level roof"
    found.append(Quantity("catchment", item, total + level, "m2", refs, Working(rule, terms)))
    return tuple(found)


def _of_run(run: GutterRun, chosen: Chosen) -> list[Quantity]:
    plan = run.plan_catchment_mm2 / 1e6
    effective = run.wind_mm2 / 1e6
    flow = flow_l_per_s(effective, float(chosen.rain.value), chosen.settings.number("runoff_coefficient"))
    legs = tuple(Term(leg.edge, round(leg.plan_catchment_mm2 / 1e6, 3), "m2", ref=leg.edge) for leg in run.legs)
    caught = Term("effective catchment", round(effective, 3), "m2", ref=run.id)
    rules = (
        Working("plan area of the roof that falls to each leg, by fall lines; valleys empty at their feet", legs),
        Working("sum over planes of plan area x F, F = 1 + 0.5 tan p; and half of walls above", wind_terms(run.shares)),
        Working("C x A x I / 3600", (caught, chosen.rain, chosen.settings.term("runoff_coefficient"))),
    )
    names = (
        ("plan", f"Plan catchment of {run.id}", plan, "m2"),
        ("effective", f"Effective catchment of {run.id} in wind", effective, "m2"),
        ("flow", f"Flow to {run.id}", flow, "L/s"),
    )
    return [
        Quantity(f"catchment {run.id} {name}", item, figure, unit, (run.id,), working)
        for (name, item, figure, unit), working in zip(names, rules, strict=True)
    ]


def catchment_findings(gutters: Sequence[GutterRun], roofs: Sequence[Roof]) -> tuple[Finding, ...]:
    """Whether the catchments add up to the plan area of each roof under the open sky, and what reaches no gutter."""
    found: list[Finding] = []
    for roof in roofs:
        level = [plane for plane in roof.planes if plane.pitch_deg < LEVEL_DEG]
        flat = _level_mm2(roof)
        caught = _caught_mm2(roof.name, gutters)
        covered = sum(plane.covered_mm2 for plane in roof.planes)
        missing = sum(plane.plan_area_mm2 for plane in roof.planes) - covered - flat - caught
        if covered > LEAST_MISSING_MM2:
            found.append(_under_roof(roof, covered))
        if flat > LEAST_MISSING_MM2:
            names = tuple(plane.id for plane in level)
            found.append(_level(roof.name, flat, names))
        if abs(missing) > LEAST_MISSING_MM2:
            found.append(_missing(roof, missing, gutters))
    return tuple(found)


def _caught_mm2(name: str, gutters: Sequence[GutterRun]) -> float:
    """Plan area of one roof that reaches gutters: its own, or, off eaves without spouting, those of roofs below."""
    own = sum(run.own_catchment_mm2 for run in gutters if run.roof == name)
    fallen = [(run.roof, water) for run in gutters for water in run.received if not water.pipe]
    own -= sum(water.plan_catchment_mm2 for roof, water in fallen if roof == name)
    return own + sum(water.plan_catchment_mm2 for _, water in fallen if water.roof == name)


def _under_roof(roof: Roof, covered_mm2: float) -> Finding:
    names = tuple(plane.id for plane in roof.planes if plane.covered_mm2 > LEAST_MISSING_MM2)
    return Finding(
        "roof-under-roof",
        Severity.NOTE,
        f"{covered_mm2 / 1e6:.2f} m2 of roof {roof.name} lies under a higher roof and catches no rain: it is in no"
        " gutter's catchment.",
        refs=names,
    )


def _level(name: str, flat_mm2: float, planes: tuple[str, ...]) -> Finding:
    return Finding(
        "level-roof-not-drained",
        Severity.WARN,
        f"{flat_mm2 / 1e6:.2f} m2 of roof {name} is level ({', '.join(planes)}): it is in no gutter's catchment, but in"
        " the roof's catchment in all.",
        "Give it an outlet of its own and an overflow, which are not in this order; take it off the catchment by hand"
        " where that outlet is not led to the tank.",
        planes,
    )


def _missing(roof: Roof, missing_mm2: float, gutters: Sequence[GutterRun]) -> Finding:
    carrying = {leg.edge for run in gutters for leg in run.legs}
    bare = tuple(edge.id for edge in roof.edges if edge.kind is EdgeKind.EAVE and edge.id not in carrying)
    where = f": eaves without spouting are {', '.join(bare)}" if bare else ""
    return Finding(
        "roof-not-in-catchment",
        Severity.WARN,
        f"{missing_mm2 / 1e6:.2f} m2 of roof {roof.name} reaches no gutter{where}.",
        "The job leaves them so; for spouting on all of them, under the roof: `no_spouting_on: []`."
        if bare
        else "Check the edges of the roof there.",
        bare,
    )
