"""What is to be said about downpipes: limits not kept, places that could not be used, gutters too small."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.gutter_checks import gutter_findings
from takeoff.measure.rainwater.limits import CAPACITY, INSIDE, LENGTH, OPENING, SECTION, SPACING, VALLEY, Limits
from takeoff.measure.rainwater.placing import Breach
from takeoff.model.drainage import GUTTER_TYPES, METHOD_WORDS, Downpipe, GutterRun
from takeoff.model.findings import Finding, Severity

CODES = {
    CAPACITY: "downpipe-over-capacity",
    LENGTH: "gutter-too-long-for-outlet",
    SPACING: "downpipes-too-far-apart",
    VALLEY: "valley-without-downpipe",
    INSIDE: "downpipe-in-inside-corner",
    OPENING: "downpipe-over-opening",
}
_STOP_OVER = "downpipe_stop_over"
_BY_HAND = {
    INSIDE: "Move it along the wall.",
    OPENING: "Move it along the wall.",
    CAPACITY: "Place another near it, so that this one drains less, or move it.",
}
_REST = "let the rest be placed by rule: `rainwater: {downpipes_at_are_all: false}`."
_ADD = f"Place another downpipe between, or {_REST}"
_BY_HAND_ALL = {
    INSIDE: "Move it along the wall.",
    OPENING: "Move it along the wall.",
    CAPACITY: _ADD,
    LENGTH: _ADD,
    SPACING: _ADD,
    VALLEY: f"Place one nearer, or {_REST}",
}


@record
class Hand:
    """What the job places by hand: places on this run [mm along it], whether they are all, the origin that the run's
    points are counted from, and the places on other runs as typed."""

    along_mm: tuple[float, ...]
    are_all: bool
    origin_mm: Point2
    elsewhere_mm: tuple[Point2, ...]

    def line(self, pipes: Sequence[Downpipe]) -> str:
        """The present places of a run's pipes as a line for the job."""
        ox, oy = self.origin_mm
        points = [*self.elsewhere_mm, *((pipe.at_mm[0] + ox, pipe.at_mm[1] + oy) for pipe in pipes)]
        typed = ", ".join(f"[{round(x, 1):.10g}, {round(y, 1):.10g}]" for x, y in points)
        return f"rainwater: {{downpipes_at: [{typed}]}}"


def plan_findings(
    run: GutterRun,
    pipes: Sequence[Downpipe],
    breaches: Sequence[Breach],
    limits: Limits,
    hand: Hand,
    chosen: Chosen,
) -> tuple[Finding, ...]:
    """A finding for every limit that the pipes of a run do not keep, and for a gutter that is too small."""
    told = [breach for breach in breaches if breach.limit != SECTION]
    found = [_breach(run, pipes, breach, limits, hand, chosen) for breach in told]
    found += gutter_findings(run, pipes, chosen)
    return tuple(found)


def _breach(
    run: GutterRun, pipes: Sequence[Downpipe], breach: Breach, limits: Limits, hand: Hand, chosen: Chosen
) -> Finding:
    pipe = pipes[breach.pipe] if breach.pipe >= 0 else None
    name = pipe.id if pipe else ""
    refs = tuple(ref for ref in (run.id, name, breach.edge) if ref)
    text = _text(run, pipes, breach, limits, chosen)
    far = breach.limit == CAPACITY and breach.figure > limits.capacity_mm2 * chosen.settings.number(_STOP_OVER)
    code = "downpipe-far-over-capacity" if far else CODES[breach.limit]
    severity = Severity.STOP if far else Severity.WARN
    return Finding(
        code, severity, text, _advice(breach, pipe, pipes, limits, hand, chosen), refs, pipe.at_mm if pipe else None
    )


def _text(run: GutterRun, pipes: Sequence[Downpipe], breach: Breach, limits: Limits, chosen: Chosen) -> str:
    name = pipes[breach.pipe].id if breach.pipe >= 0 else ""
    if breach.limit == CAPACITY:
        text = f"{name} would drain {breach.figure / 1e6:.1f} m2, {chosen.pipe.name} may drain "
        return text + f"{limits.capacity_mm2 / 1e6:.1f} m2 by {METHOD_WORDS[chosen.method]}."
    if breach.limit == LENGTH:
        return f"{name} drains {breach.figure / 1e3:.1f} m of gutter, the limit is {limits.length_mm / 1e3:g} m."
    if breach.limit == SPACING:
        following = pipes[(breach.pipe + 1) % len(pipes)].id
        text = f"{name} and {following} are {breach.figure / 1e3:.1f} m apart, the limit is "
        return text + f"{limits.spacing_mm / 1e3:g} m."
    if breach.limit == VALLEY:
        foot = next(foot for foot in run.valleys if foot.edge == breach.edge)
        text = f"Valley {foot.edge} brings {foot.plan_catchment_mm2 / 1e6:.1f} m2; the nearest downpipe is "
        text += f"{breach.figure / 1e3:.1f} m from its foot, the limit is {limits.valley_within_mm / 1e3:g} m "
        return text + f"above {limits.valley_from_mm2 / 1e6:g} m2."
    if breach.limit == OPENING:
        return f"{name} would come down over a window or a door."
    return f"{name} stands {breach.figure:.0f} mm from an inside corner, where there is no room for it."


def _advice(
    breach: Breach, pipe: Downpipe | None, pipes: Sequence[Downpipe], limits: Limits, hand: Hand, chosen: Chosen
) -> str:
    """What cures a breach: places as they are now to be moved, or another pipe where that is enough."""
    line = hand.line(pipes)
    if hand.are_all:
        return _BY_HAND_ALL[breach.limit]
    if pipe is not None and any(abs(pipe.along_mm - at) < 1.0 for at in hand.along_mm):
        return _BY_HAND.get(breach.limit, "Move it, or take it out of the job, so that it is placed by rule.")
    if breach.limit == CAPACITY and (larger := _large_enough(breach.figure, limits, chosen)):
        return f"Take a larger downpipe: `{larger}`."
    where = (
        "on another gutter, or with less led to it" if breach.limit == CAPACITY else "where wall can be found for it"
    )
    return f"No place on its wall keeps this limit. Place it by hand {where}; the present places are `{line}`."


def _large_enough(area_mm2: float, limits: Limits, chosen: Chosen) -> str:
    """A line for the smallest pipe of the catalogue that takes an area by the area rule's proportion or the table."""
    if chosen.method == GUTTER_TYPES:
        return ""
    wanted = area_mm2 / limits.capacity_mm2
    fit = [pipe for pipe in chosen.larger_pipes if chosen.pipe_times(pipe) >= wanted - 1e-9]
    least = min(fit, key=lambda pipe: (pipe.area_mm2, pipe.id), default=None)
    return f"rainwater: {{downpipe: {least.id}}}" if least else ""


def snapped_findings(far: Sequence[tuple[int, float]], bare: Sequence[str], limit_mm: float) -> tuple[Finding, ...]:
    """Warnings for places (number, distance) too far from any gutter, a note on runs that no place was given for."""
    found = [
        Finding(
            "downpipe-place-off-gutter",
            Severity.WARN,
            f"downpipes_at[{number}] is {off:.0f} mm from the nearest gutter (limit {limit_mm:.0f} mm): left out.",
            "Give a point on the outline where there is a gutter.",
        )
        for number, off in far
    ]
    if bare:
        found.append(
            Finding(
                "downpipes-placed-for-some",
                Severity.NOTE,
                f"Downpipes were placed by hand on some gutters; those of {', '.join(bare)} were placed by rule.",
                refs=tuple(bare),
            )
        )
    return tuple(found)
