"""Effective catchment in wind-driven rain, L x (W + H / 2), BS EN 12056-3:2000.

Source of the expected value: a worked example to the standard in a plumbing textbook (City and Guilds, Plumbing Book 1
Level 3, ch. 8, p. 527): length 10 m, width 6 m, height 3 m make 75 m2. Status: seen in the textbook, which restates the
standard. The program's own factor F comes from another standard (AS/NZS 3500.3) and must give the same.
"""

from __future__ import annotations

from math import atan, degrees

import pytest

from takeoff.measure.rainwater.catchment import effective_area_m2, wind_factor


def test_the_textbook_example() -> None:
    assert effective_area_m2(10.0, 6.0, 3.0) == 75.0


def test_the_textbook_example_by_the_factor_of_the_other_standard() -> None:
    assert 10.0 * 6.0 * wind_factor(degrees(atan(3.0 / 6.0))) == pytest.approx(75.0, abs=1e-9)
