"""Gutters and downpipes as sticks in space: a gutter hangs outside its eave, a pipe goes back to the wall and down."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Point3, add3
from takeoff.model.basis import Working
from takeoff.model.drainage import Downpipe, GutterLeg, GutterRun
from takeoff.model.order import Takeoff
from takeoff.write.words.words import number, plain, whole

_BACK_MM = 1500.0  # a wall further back than this is not the one that a pipe goes down: for the eye alone


@record
class RainStick:
    """A leg of a gutter or a downpipe: its mark, a line in space and a section [mm]."""

    mark: str
    kind: str
    run: str
    line: tuple[Point3, ...]
    wide_mm: float
    deep_mm: float
    facts: tuple[str, ...]
    names: tuple[str, ...]
    length_mm: float
    working: Working | None = None


def rain_sticks(takeoff: Takeoff) -> Iterator[RainStick]:
    """Every leg of every gutter and every downpipe."""
    origins = {roof.name: roof.origin_mm for roof in takeoff.roofs}
    job = takeoff.job.rainwater
    gutter = takeoff.catalogue.gutters.get(job.gutter or takeoff.settings.word("rainwater_gutter"))
    pipe = takeoff.catalogue.downpipes.get(job.downpipe or takeoff.settings.word("rainwater_downpipe"))
    wide = gutter.width_mm if gutter is not None else 125.0
    thick = pipe.width_mm if pipe is not None else 80.0
    for run in takeoff.gutters:
        origin = origins.get(run.roof, (0.0, 0.0, 0.0))
        for number_, leg in enumerate(run.legs, start=1):
            yield _leg(run, leg, number_, origin, wide)
        plan = takeoff.gutter_plan(run.id)
        for outlet in plan.pipes if plan is not None else ():
            yield _pipe(takeoff, run, outlet, origin, (wide, thick), plan.working if plan is not None else None)


def _leg(run: GutterRun, leg: GutterLeg, count: int, origin: Point3, wide: float) -> RainStick:
    out = (0.0, 0.0) if run.internal else _outward(leg)
    shift = (origin[0] + out[0] * wide / 2.0, origin[1] + out[1] * wide / 2.0, origin[2] - wide / 3.0)
    what = "gutter between two planes" if run.internal else "gutter"
    facts = (
        f"{what} {run.id}, leg {count} of {len(run.legs)} along {plain(leg.edge)}: {whole(leg.length_mm)} mm",
        f"{number(run.plan_catchment_mm2 / 1e6, 2)} m2 of roof in plan drain to {run.id}",
    )
    line = (add3(leg.a_mm, shift), add3(leg.b_mm, shift))
    return RainStick(f"{run.id}.{count}", "gutter", run.id, line, wide, wide * 0.6, facts, (run.id,), leg.length_mm)


def _outward(leg: GutterLeg) -> Point2:
    dx, dy = leg.b_mm[0] - leg.a_mm[0], leg.b_mm[1] - leg.a_mm[1]
    long = hypot(dx, dy) or 1.0
    return (dy / long, -dx / long)


def _pipe(
    takeoff: Takeoff, run: GutterRun, pipe: Downpipe, origin: Point3, sizes: Point2, working: Working | None
) -> RainStick:
    wide, thick = sizes
    leg = min(run.legs, key=lambda leg: _off(pipe.at_mm, leg))
    out = (0.0, 0.0) if run.internal else _outward(leg)
    x, y, z = add3(pipe.at_mm, origin)
    top = (x + out[0] * wide / 2.0, y + out[1] * wide / 2.0, z - wide / 2.0)
    foot_z = z - pipe.height_mm
    wall = _wall_behind(takeoff, (x, y), out)
    line: tuple[Point3, ...] = (top, (top[0], top[1], foot_z))
    if wall is not None and not pipe.onto and pipe.height_mm > _BACK_MM:
        back = hypot(wall[0] - top[0], wall[1] - top[1])
        line = (top, (wall[0] + out[0] * thick, wall[1] + out[1] * thick, top[2] - back / 2.0))
        line = (*line, (line[1][0], line[1][1], foot_z))
    end = f"plane {plain(pipe.onto)}, by a spreader" if pipe.onto else "the ground"
    facts = (
        f"downpipe of {run.id}, {whole(pipe.along_mm)} mm from its start, {whole(pipe.height_mm)} mm down to {end}",
        f"{number(pipe.catchment_mm2 / 1e6, 2)} m2 of roof in plan drain to it",
    )
    return RainStick(pipe.id, "downpipe", run.id, line, thick, thick, facts, (), pipe.height_mm, working)


def _off(at: Point3, leg: GutterLeg) -> float:
    """How far a point is off a leg in plan, ends taken as they are."""
    ax, ay = leg.a_mm[:2]
    dx, dy = leg.b_mm[0] - ax, leg.b_mm[1] - ay
    size = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((at[0] - ax) * dx + (at[1] - ay) * dy) / size)) if size else 0.0
    return hypot(at[0] - ax - t * dx, at[1] - ay - t * dy)


def _wall_behind(takeoff: Takeoff, at: Point2, out: Point2) -> Point2 | None:
    """The place on a wall straight behind a point of the eave, on the plan; None where no wall is near."""
    best: tuple[float, Point2] | None = None
    for wall in takeoff.elevations:
        (ax, ay), (bx, by) = wall.a_mm, wall.b_mm
        dx, dy = bx - ax, by - ay
        cross = out[0] * dy - out[1] * dx
        if abs(cross) < 0.5 * hypot(dx, dy):
            continue
        back = ((at[0] - ax) * dy - (at[1] - ay) * dx) / cross  # the eye's way back from the eave to the wall's line
        foot = (at[0] - back * out[0], at[1] - back * out[1])
        along = ((foot[0] - ax) * dx + (foot[1] - ay) * dy) / (dx * dx + dy * dy)
        if 0.0 <= back <= _BACK_MM and -0.02 <= along <= 1.02 and (best is None or back < best[0]):
            best = (back, foot)
    return best[1] if best is not None else None
