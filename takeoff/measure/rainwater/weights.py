"""How much roof and wall count where gutters and pipes are sized: each plane by its own pitch, walls above by half.

Figures are put as plan area of roof as steep as the steepest that drains to the run, since the methods' limits are:
what falls on a flatter plane counts for less than its plan area, by the method's own factor of both pitches.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, radians

from takeoff.measure.rainwater.catchment import wind_factor
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.sizing import FACTORS, pitch_band
from takeoff.model.drainage import GUTTER_TYPES, GutterRun, Inflow

Weight = Callable[[Inflow, bool], float]


def plan_weight(_inflow: Inflow, _wall: bool) -> float:
    """Roof in plan and half a wall as they are: by a table of plan area."""
    return 1.0


def wind_weight(run: GutterRun) -> Weight:
    """By F = 1 + 0.5 tan p, each plane by its own pitch; half a wall is what rain at 2 to 1 brings off it."""
    steepest = wind_factor(run.pitch_deg)

    def weighed(inflow: Inflow, wall: bool) -> float:
        return (1.0 if wall else wind_factor(inflow.pitch_deg)) / steepest

    return weighed


def area_rule_weight(run: GutterRun, chosen: Chosen) -> Weight:
    """By sloping area x pitch factor, each plane by its own pitch; half a wall as it is."""

    def factor(pitch_deg: float) -> float:
        return chosen.settings.number(FACTORS[pitch_band(pitch_deg).index]) / cos(radians(pitch_deg))

    steepest = factor(run.pitch_deg)

    def weighed(inflow: Inflow, wall: bool) -> float:
        return (1.0 if wall else factor(inflow.pitch_deg)) / steepest

    return weighed


def capacity_weight(run: GutterRun, chosen: Chosen) -> Weight:
    """How the pipe's capacity counts the water of a run, by the job's method."""
    if chosen.method == GUTTER_TYPES:
        return wind_weight(run)
    return area_rule_weight(run, chosen) if chosen.method == "area_per_m2" else plan_weight
