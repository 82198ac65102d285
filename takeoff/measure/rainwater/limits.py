"""The limits that a downpipe plan must keep, each by its name, and the fewest pipes that each asks for by itself."""

from __future__ import annotations

from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.model.drainage import GutterRun

CAPACITY = "capacity"
SECTION = "the gutter's own section"
LENGTH = "gutter length per outlet"
SPACING = "spacing between outlets"
VALLEY = "downpipe near a valley"
INSIDE = "clear of inside corners"
OPENING = "clear of openings"
FREE = 1e9  # mm: a limit of length that is not asked


@record
class Limits:
    """What a downpipe plan must keep to.

    `capacity_mm2` of the pipe and `section_mm2` of the gutter are roof in plan, as steep as the steepest that drains to
    the run; 0 where the method gives none.
    """

    capacity_mm2: float
    length_mm: float
    spacing_mm: float
    valley_from_mm2: float
    valley_within_mm: float
    clear_mm: float
    section_mm2: float = 0.0


def binding(limits: Limits, alike: bool) -> Limits:
    """Limits as a search sees them: where pipe and gutter count water `alike`, the smaller of their two is both."""
    asked = [most for most in (limits.capacity_mm2, limits.section_mm2) if most > 0.0]
    return replace(limits, capacity_mm2=min(asked), section_mm2=0.0) if alike and asked else limits


def without(limits: Limits, names: tuple[str, ...]) -> Limits:
    """Limits with those of some names not asked."""
    changes: dict[str, dict[str, float]] = {
        CAPACITY: {"capacity_mm2": 0.0},
        SECTION: {"section_mm2": 0.0},
        LENGTH: {"length_mm": FREE},
        SPACING: {"spacing_mm": FREE},
        VALLEY: {"valley_within_mm": FREE},
    }
    for name in names:
        limits = replace(limits, **changes.get(name, {}))
    return limits


def counts_by_limit(
    run: GutterRun, limits: Limits, brought_mm2: tuple[float, float] | None = None
) -> tuple[tuple[str, int], ...]:
    """How many pipes each limit asks for at least; a run of any length has one. `brought_mm2`: all that the run takes,
    as the pipe's capacity and as the gutter's section count it; else its catchment.

    Capacity, section and length: ceil(run's figure / limit). Spacing: ceil(length / spacing) round a ring; on a run
    with ends the outer pipes may stand as far in as they still keep the length limit. Valleys: as many as must stand so
    that one is near each heavy foot.
    """
    inset = 0.0 if run.ring else max(0.0, limits.length_mm - limits.spacing_mm / 2.0)
    gaps = count_up(run.length_mm - 2.0 * inset, limits.spacing_mm)
    counts = [
        (LENGTH, max(1, count_up(run.length_mm, limits.length_mm))),
        (SPACING, max(1, gaps if run.ring else gaps + 1)),
        (VALLEY, _near_feet(run, limits)),
    ]
    whole = brought_mm2 or (run.sizing_mm2, run.sizing_mm2)
    areas = ((CAPACITY, whole[0], limits.capacity_mm2), (SECTION, whole[1], limits.section_mm2))
    found = [(name, max(1, count_up(brought, most, tolerance=1.0))) for name, brought, most in areas if most > 0.0]
    return (*found, *counts)


def _near_feet(run: GutterRun, limits: Limits) -> int:
    """The fewest pipes of which one is near the foot of each heavy valley."""
    feet = sorted(foot.along_mm for foot in run.valleys if foot.plan_catchment_mm2 > limits.valley_from_mm2)
    starts = range(len(feet)) if run.ring else range(min(1, len(feet)))
    turned = ([*feet[n:], *(foot + run.length_mm for foot in feet[:n])] for n in starts)
    return min((_stabs(along, 2.0 * limits.valley_within_mm) for along in turned), default=0)


def _stabs(along_mm: list[float], wide_mm: float) -> int:
    count, upto = 0, float("-inf")
    for foot in along_mm:
        if foot > upto + 1e-6:
            count, upto = count + 1, foot + wide_mm
    return count
