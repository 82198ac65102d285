"""Bounds of what lies under the sheets: rolls of underlay, its tape and staples, safety mesh."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.products import Roll
from takeoff.model.settings import Settings
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import PlaneGround, area_m2, edge_m
from takeoff.order.bounds.line_bounds import counted, packed, whole

AREA_SHARE = 0.001
_PAST = (
    "underlay_into_gutter_mm",
    "underlay_over_hip_mm",
    "underlay_over_ridge_mm",
    "underlay_up_wall_mm",
    "underlay_lap_mm",
)


def underlay_rolls(case: Case) -> Iterator[Bounded]:
    """Rolls of underlay against area over cover, what goes past the edges, and one strip's end along every side."""
    planes = case.planes
    roll = _roll(case)
    if planes:
        low, high = _strips_m(case, planes, roll)
        words = f"{area_m2(planes):.2f} m2 of planes in strips of {roll.width_mm:g} mm, {low:.0f} to {high:.0f} m"
        least, most = _rolls(low, high, roll, case.takeoff.settings)
        yield Bounded(counted(case, roll.id), least, most, "roll", words)


def _roll(case: Case) -> Roll:
    takeoff = case.takeoff
    return takeoff.catalogue.rolls[takeoff.job.underlay.roll or takeoff.settings.word("underlay_roll")]


def _rolls(low_m: float, high_m: float, roll: Roll, settings: Settings) -> tuple[float, float]:
    usable = (roll.length_mm - settings.number("underlay_lap_mm")) / 1000.0
    return whole(low_m, roll.length_mm / 1000.0), whole(high_m, usable)


def _strips_m(case: Case, planes: Sequence[PlaneGround], roll: Roll) -> tuple[float, float]:
    """Least and most metres of strips: area over the roll's width and over its cover; a strip is as long as its longest
    line, which costs at most what each side runs along the strips; one strip more at the ends, and the valleys."""
    settings = case.takeoff.settings
    lap = settings.number("underlay_lap_mm") / 1000.0
    width = roll.width_mm / 1000.0
    past = max(abs(settings.number(name)) for name in _PAST) / 1000.0
    low = high = 0.0
    for plane in planes:
        along = plane.rise_total_m if _upright(case, plane) else max(plane.across_total_m, plane.rise_total_m)
        out = plane.area_m2 + plane.around_m * past + plane.corner_m2(past)
        inner = max(0.0, plane.area_m2 - plane.around_m * past)
        low += max(inner / width, (inner - lap * min(plane.across_m, plane.rise_m)) / (width - lap))
        high += out / (width - lap) + along + 4.0 * past
    valleys = [edge_m(edge) for edge in case.edges_of(EdgeKind.VALLEY)]
    return low + sum(valleys), high + sum(valleys) + 2.0 * past * len(valleys)


def _upright(case: Case, plane: PlaneGround) -> bool:
    """Whether strips run up the slope for certain: asked so, on a plane well over the least pitch for it."""
    takeoff = case.takeoff
    asked = takeoff.job.underlay.direction or takeoff.settings.word("underlay_direction")
    return asked == "vertical" and plane.plane.pitch_deg >= takeoff.settings.number("underlay_vertical_from_deg")


def underlay_staples(case: Case) -> Iterator[Bounded]:
    """Staples of the underlay against the area inside the planes' corners."""
    yield from _by_area(case, "underlay_staple", "underlay_staples_m2", 1.0)


def safety_mesh(case: Case) -> Iterator[Bounded]:
    """Safety mesh and its staples against the area inside the planes' corners and the share of its side laps."""
    settings = case.takeoff.settings
    if settings.flag("safety_mesh"):
        width = settings.number("safety_mesh_width_mm")
        lap = settings.number("safety_mesh_lap_mm")
        yield from _by_area(case, "safety_mesh", "", width / (width - lap))
        yield from _by_area(case, "mesh_staple", "mesh_staples_m2", 1.0)


def _by_area(case: Case, item: str, each: str, factor: float) -> Iterator[Bounded]:
    planes = case.planes
    area = area_m2(planes)
    factor *= case.takeoff.settings.number(each) if each else 1.0
    slack = AREA_SHARE * area + 0.01 * len(planes)
    low, high = (area - slack) * factor, (area + slack) * factor + (1.0 if each else 0.0)
    if factor > 0.0 and planes:
        yield packed(case, item, low, high, f"{area:.2f} m2 of planes x {factor:.3f}")


def underlay_tape(case: Case) -> Iterator[Bounded]:
    """Tape against both sides of every valley, a lap of the roll's width for each roll but one, and side laps no longer
    than the strips where they are taped."""
    settings = case.takeoff.settings
    planes = case.planes
    if not planes or settings.number("underlay_tape_roll_m") <= 0.0:
        return
    roll = _roll(case)
    strips = _strips_m(case, planes, roll)
    rolls = _rolls(*strips, roll, settings)
    valleys = [edge_m(edge) for edge in case.edges_of(EdgeKind.VALLEY)]
    past = (settings.number("underlay_lap_mm") + settings.number("underlay_into_gutter_mm")) / 1000.0
    low = 2.0 * sum(valleys) + max(0.0, rolls[0] - 1.0) * roll.width_mm / 1000.0
    high = 2.0 * (sum(valleys) + past * len(valleys)) + max(0.0, rolls[1] - 1.0) * roll.width_mm / 1000.0
    if settings.flag("underlay_tape_side_laps"):
        high += strips[1]
    words = f"valleys of {sum(valleys):.2f} m taped on both sides, and a lap a roll"
    yield packed(case, "underlay_tape", low, high, words)
