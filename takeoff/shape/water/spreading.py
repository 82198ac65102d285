"""Water that spreaders bring on to a lower roof, added to the gutter runs that it ends in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, distance2
from takeoff.model.drainage import GutterLeg, GutterRun, Inflow, Received, ValleyFoot
from takeoff.model.roof import Roof
from takeoff.shape.water.fall_lines import Curtain, FallLines, Landing
from takeoff.shape.water.falling import fall_on


@record
class Spout:
    """What a downpipe that ends over a lower roof brings off one plane: its id, its roof, its outlet counted from the
    plan's origin, the plan area, the steepest pitch that drains to it, the plane with its pitch. `wall`: it is half a
    wall above that roof."""

    pipe: str
    roof: str
    at_mm: Point3
    plan_mm2: float
    pitch_deg: float
    plane: str = ""
    rain_deg: float = 0.0
    wall: bool = False


def feed(runs: Sequence[GutterRun], roofs: Sequence[Roof], spouts: Sequence[Spout]) -> tuple[GutterRun, ...]:
    """Runs with what spreaders bring in their catchments and inflows; what reaches no gutter is in none."""
    fed = list(runs)
    lines = [
        FallLines(roof, frozenset(leg.edge for run in runs if run.roof == roof.name for leg in run.legs))
        for roof in roofs
    ]
    for spout in spouts:
        water = Curtain(
            spout.at_mm,
            spout.at_mm,
            spout.plan_mm2,
            spout.plan_mm2,
            spout.pitch_deg,
            plane=spout.plane,
            rain_deg=spout.rain_deg,
            wall=spout.wall,
        )
        for owner, plane, edge, curtain in fall_on(water, lines):
            for landing in owner.follow([(edge, curtain)]):
                fed = [_with(run, owner.roof.name, spout, replace(landing, onto=plane.id)) for run in fed]
    return tuple(fed)


def _with(run: GutterRun, roof: str, spout: Spout, landing: Landing) -> GutterRun:
    """A run with one landing in it, where it lies on one of its legs."""
    if run.roof != roof:
        return run
    start, at = 0.0, landing.curtain.a
    for number, leg in enumerate(run.legs):
        along = _along(leg, at)
        if leg.edge == landing.edge and -TOLERANCES.same_point_mm <= along <= leg.length_mm + TOLERANCES.same_point_mm:
            inside = min(max(along, 0.0), leg.length_mm)
            return _given(run, number, inside, start + inside, spout, landing)
        start += leg.length_mm
    return run


def _along(leg: GutterLeg, at: Point3) -> float:
    (ax, ay, _), (bx, by, _) = leg.a_mm, leg.b_mm
    return ((bx - ax) * (at[0] - ax) + (by - ay) * (at[1] - ay)) / distance2(leg.a_mm[:2], leg.b_mm[:2])


def _given(run: GutterRun, number: int, on_leg_mm: float, along_mm: float, spout: Spout, landing: Landing) -> GutterRun:
    area, curtain = landing.curtain.area_mm2, landing.curtain
    leg = run.legs[number]
    flow = Inflow(on_leg_mm, on_leg_mm, area, area, spout.plane, spout.rain_deg)
    if spout.wall:
        walled = replace(leg, off_walls=(*leg.off_walls, flow))
        return replace(run, legs=(*run.legs[:number], walled, *run.legs[number + 1 :]))
    inflows = sorted((*leg.inflows, flow), key=lambda other: (other.from_mm, other.to_mm))
    fuller = replace(leg, plan_catchment_mm2=leg.plan_catchment_mm2 + area, inflows=tuple(inflows))
    water = Received(spout.roof, spout.pipe, landing.onto, along_mm, area, curtain.via, landing.edge)
    received = _joined(run.received, water)
    return replace(
        run,
        legs=(*run.legs[:number], fuller, *run.legs[number + 1 :]),
        plan_catchment_mm2=run.plan_catchment_mm2 + area,
        pitch_deg=max(run.pitch_deg, curtain.pitch_deg),
        valleys=_valleys(run.valleys, along_mm, landing),
        received=received,
    )


def _joined(known: tuple[Received, ...], water: Received) -> tuple[Received, ...]:
    """What a run receives with more of it; what one pipe brings to one place by one way is one."""
    key = (water.pipe, water.plane, water.via, water.edge)
    for n, other in enumerate(known):
        if (other.pipe, other.plane, other.via, other.edge) == key and abs(other.along_mm - water.along_mm) < 1.0:
            more = replace(other, plan_catchment_mm2=other.plan_catchment_mm2 + water.plan_catchment_mm2)
            return (*known[:n], more, *known[n + 1 :])
    return (*known, water)


def _valleys(feet: tuple[ValleyFoot, ...], along_mm: float, landing: Landing) -> tuple[ValleyFoot, ...]:
    """Feet of valleys with what a landing brings by one of them."""
    curtain = landing.curtain
    if not curtain.via:
        return feet
    known = next((foot for foot in feet if foot.edge == curtain.via), None)
    before = known.plan_catchment_mm2 if known else 0.0
    at, place = (known.at_mm, known.along_mm) if known else (curtain.a, along_mm)
    foot = ValleyFoot(curtain.via, at, place, before + curtain.area_mm2)
    others = [other for other in feet if other is not known]
    return tuple(sorted((*others, foot), key=lambda other: (other.along_mm, other.edge)))
