"""NZ Metal Roof and Wall Cladding Code of Practice, heat, temperature range (seen): steel moves 12 x range x length /
1000 mm; the worked example, 30 m over 60 degrees, is 21.6 mm."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.roofing.sheets.sheet_checks import movement
from takeoff.model.settings import Settings
from takeoff.read.catalogue import default_settings
from takeoff.read.job.settings import default_rules


def with_range(kelvin: float) -> Settings:
    values = dict(default_settings())
    values["roof_temperature_range_k"] = replace(values["roof_temperature_range_k"], value=kelvin)
    return Settings(values)


def test_worked_example() -> None:
    moved, working = movement(30_000.0, with_range(60.0))
    assert moved == pytest.approx(21.6, abs=1e-9)
    assert "expansion x temperature range" in working.rule


@pytest.mark.parametrize("kelvin", [60.0, 75.0, 95.0])
def test_formula_of_the_code(kelvin: float) -> None:
    """12 x range x length / 1000, for the ranges the code lists."""
    assert movement(12_500.0, with_range(kelvin))[0] == pytest.approx(12.0 * kelvin * 12.5 / 1000.0)


def test_the_default_range_is_one_the_code_lists() -> None:
    """Uninsulated dark, +65 to -10."""
    assert default_rules().number("roof_temperature_range_k") == 65.0 + 10.0
