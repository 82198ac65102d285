"""What is to be said about downpipes: limits not kept, places that could not be used, gutters too small."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.gutter_checks import gutter_findings
from takeoff.measure.rainwater.placing import CAPACITY, INSIDE, LENGTH, OPENING, SPACING, VALLEY, Breach, Limits
from takeoff.model.drainage import METHOD_WORDS, Downpipe, GutterRun
from takeoff.model.findings import Finding, Severity

CODES = {
    CAPACITY: "downpipe-over-capacity",
    LENGTH: "gutter-too-long-for-outlet",
    SPACING: "downpipes-too-far-apart",
    VALLEY: "valley-without-downpipe",
    INSIDE: "downpipe-in-inside-corner",
    OPENING: "downpipe-over-opening",
}


def plan_findings(
    run: GutterRun, pipes: Sequence[Downpipe], breaches: Sequence[Breach], limits: Limits, chosen: Chosen
) -> tuple[Finding, ...]:
    """A warning for every limit that the pipes of a run do not keep, and for a gutter that is too small."""
    found = [_breach(run, pipes, breach, limits, chosen) for breach in breaches]
    found += gutter_findings(run, pipes, chosen)
    return tuple(found)


def _breach(run: GutterRun, pipes: Sequence[Downpipe], breach: Breach, limits: Limits, chosen: Chosen) -> Finding:
    pipe = pipes[breach.pipe] if breach.pipe >= 0 else None
    name = pipe.id if pipe else ""
    if breach.limit == CAPACITY:
        text = f"{name} would drain {breach.figure / 1e6:.1f} m2, {chosen.pipe.name} may drain "
        text += f"{limits.capacity_mm2 / 1e6:.1f} m2 by {METHOD_WORDS[chosen.method]}."
    elif breach.limit == LENGTH:
        text = f"{name} drains {breach.figure / 1e3:.1f} m of gutter, the limit is {limits.length_mm / 1e3:g} m."
    elif breach.limit == SPACING:
        following = pipes[(breach.pipe + 1) % len(pipes)].id
        text = f"{name} and {following} are {breach.figure / 1e3:.1f} m apart, the limit is "
        text += f"{limits.spacing_mm / 1e3:g} m."
    elif breach.limit == VALLEY:
        foot = next(foot for foot in run.valleys if foot.edge == breach.edge)
        text = f"Valley {foot.edge} brings {foot.plan_catchment_mm2 / 1e6:.1f} m2; the nearest downpipe is "
        text += f"{breach.figure / 1e3:.1f} m from its foot, the limit is {limits.valley_within_mm / 1e3:g} m "
        text += f"above {limits.valley_from_mm2 / 1e6:g} m2."
    elif breach.limit == OPENING:
        text = f"{name} would come down over a window or a door."
    else:
        text = f"{name} stands {breach.figure:.0f} mm from an inside corner, where there is no room for it."
    refs = tuple(ref for ref in (run.id, name, breach.edge) if ref)
    return Finding(CODES[breach.limit], Severity.WARN, text, _advice(breach), refs, pipe.at_mm if pipe else None)


def _advice(breach: Breach) -> str:
    if breach.limit in (INSIDE, OPENING):
        return "Move it along the wall."
    return "Place the downpipes by hand (rainwater: downpipes_at), or take a larger one."


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
