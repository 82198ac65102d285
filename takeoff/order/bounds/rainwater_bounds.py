"""Bounds of the rainwater goods: gutters against eaves, pipes against gutters, catchment against plan area, fascia."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist, inf, radians, tan

from takeoff.model.edge_kinds import LEVEL_FREE_KINDS, EdgeKind
from takeoff.model.items import ItemKind
from takeoff.model.order import Takeoff
from takeoff.model.products import GutterProfile
from takeoff.model.roof import RoofEdge
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import edge_m
from takeoff.order.bounds.line_bounds import counted
from takeoff.order.bounds.stock_bounds import plans_of

EDGE_M = 0.01
WIDE_M = 0.3  # no gutter is wider; its front runs past a corner by width / tan(half the angle)
FITTING_M = 0.2  # what a usual fitting or a rounded corner takes off or adds at each end of a leg
_PLAN_SHARE = 0.01
_PLAN_M2 = 0.1


def _edges(case: Case, *kinds: EdgeKind) -> tuple[RoofEdge, ...]:
    """Edges of every roof, sheeted or not, one that several share once."""
    found = {edge.id: edge for roof in case.takeoff.roofs for edge in roof.edges if edge.kind in kinds}
    return tuple(found.values())


def gutter_runs(case: Case) -> Iterator[Bounded]:
    """Metres of spouting against the eaves, less those that the job says carry none."""
    bare = case.takeoff.job.bare_edges
    eaves = _edges(case, EdgeKind.EAVE)
    must = [e for e in eaves if not set(e.outline_edges) & set(bare.get(e.roof, ()))]
    low, high = (sum(edge_m(edge) for edge in of) for of in (must, eaves))
    runs = [run for run in case.takeoff.gutters if not run.internal]
    figure = sum(leg.length_mm for run in runs for leg in run.legs) / 1000.0
    slack = EDGE_M * max(1, len(eaves))
    yield Bounded(figure, low - slack, high + slack, "m", f"eaves of {high:.2f} m, {low:.2f} m of them with spouting")


def gutter_lengths(case: Case) -> Iterator[Bounded]:
    """Metres that the spouting is cut to against its legs and what its corners add or take."""
    legs = [leg for run in case.takeoff.gutters if not run.internal for leg in run.legs]
    at = sum(dist(leg.a_mm, leg.b_mm) for leg in legs) / 1000.0
    pieces = [p.length_mm for plan in plans_of(case, ItemKind.GUTTER) for bar in plan.all_bars for p in bar.pieces]
    laps = sum(plan.laps_mm for plan in plans_of(case, ItemKind.GUTTER)) / 1000.0
    figure = sum(pieces) / 1000.0 - laps
    angles = [corner.angle_deg for run in case.takeoff.gutters if not run.internal for corner in run.corners]
    fitting = max(FITTING_M, case.takeoff.settings.number("gutter_corner_fitting_leg_mm") / 1000.0)
    ends = 2.0 * fitting * len(legs)
    mitres = sum(2.0 * WIDE_M / tan(radians(max(angle, 1.0) / 2.0)) for angle in angles if angle < 180.0)
    short = _stopped_m(case)
    words = f"{len(legs)} legs of {at:.2f} m and their corners"
    yield Bounded(figure, at - ends - short, at + ends + mitres, "m", words)


def _stopped_m(case: Case) -> float:
    """Most that gutters which end at the foot of a valley stop short of it: a sole's depth on the slope of the planes
    there."""
    valleys = {edge.id: edge for roof in case.takeoff.roofs for edge in roof.edges if edge.kind is EdgeKind.VALLEY}
    planes = {plane.id: plane for roof in case.takeoff.roofs for plane in roof.planes}
    sole = case.takeoff.settings.number("gutter_sole_below_eave_mm") / 1000.0
    slopes = [
        [tan(radians(planes[face].pitch_deg)) for face in edge.faces if face in planes] for edge in valleys.values()
    ]
    return sum((sole + WIDE_M * max(tans)) / min(tans) for tans in slopes if tans and min(tans) > 0.0)


# corners of gutters by which way they turn and how they are made
_TURNS, _HOW = ("external", "internal"), ("mitred on site", "fitting")


def gutter_ends(case: Case) -> Iterator[Bounded]:
    """Stop ends against runs that are no ring, corners against the legs that meet."""
    runs = [run for run in case.takeoff.gutters if not run.internal]
    open_runs = float(sum(1 for run in runs if _is_open(run.legs[0].a_mm, run.legs[-1].b_mm)))
    for hand in ("left", "right"):
        figure = counted(case, f"Gutter stop end, {hand}")
        yield Bounded(figure, open_runs, open_runs, "each", f"{open_runs:.0f} runs with ends", f"{hand} stop ends")
    meet = float(sum(len(run.legs) - (0 if run.ring else 1) for run in runs))
    figure = sum(counted(case, f"Gutter {turn} corner, {how}") for turn in _TURNS for how in _HOW)
    yield Bounded(figure, 0.0, meet, "each", f"{meet:.0f} meetings of legs", "corners")


def _is_open(first: tuple[float, float, float], last: tuple[float, float, float]) -> bool:
    return dist(first, last) > 1.0


def gutter_brackets(case: Case) -> Iterator[Bounded]:
    """Brackets against the legs over their spacing."""
    takeoff = case.takeoff
    name = takeoff.job.rainwater.gutter or takeoff.settings.word("rainwater_gutter")
    gutter = takeoff.catalogue.gutters.get(name)
    legs = [dist(leg.a_mm, leg.b_mm) for run in takeoff.gutters if not run.internal for leg in run.legs]
    spacing = _bracket_mm(takeoff, gutter) if gutter is not None else 0.0
    if spacing > 0.0 and legs:
        figure = counted(case, "Gutter bracket") + counted(case, "Gutter clip for metal fascia")
        low, high = sum(legs) / spacing, sum(leg / spacing + 2.0 for leg in legs)
        words = f"{len(legs)} legs of {sum(legs) / 1000.0:.2f} m at {spacing:g} mm"
        yield Bounded(figure, low - 0.01 * len(legs), high, "each", words)


def _bracket_mm(takeoff: Takeoff, gutter: GutterProfile) -> float:
    """How far apart brackets stand: the job's, else the lesser of the maker's and, for metal, the code's."""
    settings, rules = takeoff.settings, takeoff.settings.rules
    said = settings.number("gutter_bracket_mm")
    if said > 0.0 or gutter.system == "pvc":
        return said or gutter.bracket_mm
    rows = rules.rain.brackets or (rules.silent.rain.brackets if rules.silent is not None else ())
    snow = settings.flag("gutter_in_snow")
    wide = [row for row in rows if not row.snow and not 0.0 < row.below_width_mm <= gutter.width_mm][:1]
    found = [row.spacing_mm for row in (*(wide or rows), *(row for row in rows if row.snow and snow))]
    return min([*found, *([gutter.bracket_mm] if gutter.bracket_mm > 0.0 else [])], default=0.0)


def catchments(case: Case) -> Iterator[Bounded]:
    """Plan area that the gutters drain against the plan of all planes that rain falls on."""
    planes = [plane for roof in case.takeoff.roofs for plane in roof.planes]
    high = sum(plane.area_mm2 * plane.frame.n[2] for plane in planes) / 1e6
    figure = sum(run.own_catchment_mm2 for run in case.takeoff.gutters) / 1e6
    slack = _PLAN_SHARE * high + _PLAN_M2
    yield Bounded(figure, 0.0, high + slack, "m2", f"planes of {high:.2f} m2 in plan")


def downpipes(case: Case) -> Iterator[Bounded]:
    """Downpipes of each run: one at least where water comes in, and no more than its length, its limits and the places
    given by hand can ask for."""
    takeoff = case.takeoff
    number = takeoff.settings.number
    each = min(number("gutter_length_per_outlet_mm"), number("downpipe_spacing_mm"))
    runs = {run.id: run for run in takeoff.gutters}
    for plan in takeoff.rainwater.downpipes:
        run = runs[plan.run]
        length = sum(dist(leg.a_mm, leg.b_mm) for leg in run.legs)
        asked = max((count for _, count in plan.limits), default=0)
        by_hand = len(takeoff.job.rainwater.downpipes_at)
        high = 2.0 * length / each + 2.0 * len(run.legs) + by_hand + 2.0 * asked if each > 0.0 else inf
        low = 1.0 if run.plan_catchment_mm2 > 1e6 and not by_hand else 0.0
        words = f"gutter of {length / 1000.0:.2f} m that drains {run.plan_catchment_mm2 / 1e6:.2f} m2"
        yield Bounded(float(len(plan.pipes)), low, high, "pipes", words, plan.run, (plan.run,))
    outlets = float(sum(plan.count for plan in takeoff.rainwater.downpipes if not runs[plan.run].internal))
    yield Bounded(counted(case, "Gutter outlet"), outlets, outlets, "each", f"{outlets:.0f} pipes", "outlets")


def pipe_lengths(case: Case) -> Iterator[Bounded]:
    """Metres of downpipe against the height of every outlet over what it empties on."""
    pipes = [pipe for plan in case.takeoff.rainwater.downpipes for pipe in plan.pipes]
    at = sum(pipe.height_mm for pipe in pipes) / 1000.0
    pieces = [p.length_mm for plan in plans_of(case, ItemKind.DOWNPIPE) for bar in plan.all_bars for p in bar.pieces]
    high = 1.5 * at + 4.0 * len(pipes)
    yield Bounded(sum(pieces) / 1000.0, 0.0, high, "m", f"{len(pipes)} pipes of {at:.2f} m in height")


def fascia_boards(case: Case) -> Iterator[Bounded]:
    """Fascia against eaves and heads, barges against verges with their plumb cuts."""
    depth = case.takeoff.settings.number("fascia_board_depth_mm") / 1000.0
    level = [edge_m(edge) for edge in _edges(case, *LEVEL_FREE_KINDS)]
    verges = _edges(case, EdgeKind.VERGE)
    slopes = sum(depth * tan(radians(edge.slope_deg)) for edge in verges)
    for item, at, more, count in (
        ("fascia", sum(level), 0.3 * len(level), len(level)),
        ("barge", sum(edge_m(edge) for edge in verges), slopes, len(verges)),
    ):
        plans = [plan for plan in case.order.plans if plan.item in (f"{item} board", f"metal {item}")]
        if plans:
            figure = sum(plan.placed_mm for plan in plans) / 1000.0
            low = at - 0.01 * count if item == "barge" else 0.0
            words = f"{count} edges of {at:.2f} m"
            yield Bounded(figure, low, at + more + 0.01 * count + EDGE_M, "m", words, f"{item} boards")
