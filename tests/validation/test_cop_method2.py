"""Gutter and downpipe sections by the simplified method 2 of the NZ Metal Roof and Wall Cladding Code of Practice.

Source: the code of practice (trade association code referenced by E2/AS1), older version 3, "Method 2: gutter and
downpipe capacity determined by calculations", its worked example: a freely exposed monoslope, rafter 5.9 m, length
10 m, pitch 24 degrees, 150 mm/h. Status of every expected value: seen in that page. The example rounds 64.9 to 65 and
107.25 to 107 on its way; the test rounds where it does. The method is superseded and is checked as arithmetic.
"""

from __future__ import annotations

from math import cos, pi, radians

import pytest

from takeoff.basics.rounding import count_up
from takeoff.measure.rainwater.sizing import (
    FACTORS,
    factored_catchment_m2,
    pipe_capacity,
    pitch_band,
    rain_factor,
    section_mm2,
)
from takeoff.model.basis import Term
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()


def test_factored_catchment_of_the_worked_example() -> None:
    exposed = round(factored_catchment_m2(5.9 * 10, SETTINGS.number("area_rule_exposure"), 1.0, 1.0))
    assert exposed == 65
    pitch = SETTINGS.number(FACTORS[pitch_band(24.0).index])
    assert round(factored_catchment_m2(exposed, 1.0, rain_factor(150), pitch)) == 107


@pytest.mark.parametrize(
    ("setting", "published_mm2"),
    [
        ("area_rule_gutter_mm2_per_m2", 10_700),
        ("area_rule_internal_mm2_per_m2", 21_400),
        ("area_rule_downpipe_mm2_per_m2", 5_350),
    ],
)
def test_sections_of_the_worked_example(setting: str, published_mm2: float) -> None:
    assert section_mm2(107, SETTINGS.number(setting)) == pytest.approx(published_mm2)


@pytest.mark.parametrize(("intensity", "factor"), [(80, 0.8), (100, 1.0), (150, 1.5), (200, 2.0)])
def test_rain_factors(intensity: float, factor: float) -> None:
    assert rain_factor(intensity) == pytest.approx(factor)


@pytest.mark.parametrize(("pitch_deg", "factor"), [(10.5, 1.1), (24, 1.1), (30, 1.2), (40, 1.3), (50, 1.4)])
def test_pitch_factors(pitch_deg: float, factor: float) -> None:
    assert SETTINGS.number(FACTORS[pitch_band(pitch_deg).index]) == pytest.approx(factor)


def pipes_wanted(pipe: str) -> int:
    """Pipes of a kind that the example's roof takes, by what the program says one of them may drain on the plan."""
    rain = Term("rain", 150.0, "mm/h")
    one = pipe_capacity("area_per_m2", load_catalogue().downpipes[pipe], 24.0, rain, SETTINGS)
    return count_up(5.9 * 10 * cos(radians(24.0)), one.plan_m2)


@pytest.mark.parametrize("pipe", ["round_100", "rect_100x75"])
def test_one_pipe_that_the_example_accepts(pipe: str) -> None:
    assert pipes_wanted(pipe) == 1


def test_two_pipes_of_63_are_accepted_and_one_is_not() -> None:
    assert load_catalogue().downpipes["round_65"].area_mm2 == pytest.approx(pi * 63**2 / 4, abs=1)
    assert pipes_wanted("round_65") == 2
