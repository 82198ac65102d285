"""The store against daily mass balances made by other code, over two public records of rain (open data: TAKEOFF_DATA)."""

from __future__ import annotations

import json
import os
from pathlib import Path

import numpy as np
import pytest

from takeoff.measure.tank.store import AFTER, BEFORE, run_store
from takeoff.model.rain_series import DailyRain
from takeoff.read.rain.rain_file import read_rain

DATA = Path(os.environ.get("TAKEOFF_DATA", "nowhere")) / "rain"
pytestmark = pytest.mark.skipif(not DATA.is_dir(), reason="TAKEOFF_DATA is not set")


def rain(name: str) -> DailyRain:
    found = read_rain(DATA / f"{name}.csv")
    assert isinstance(found, DailyRain)
    return found


def test_records_of_rain_are_read_whole() -> None:
    seattle, richmond = rain("seattle_daily_2012_2015"), rain("richmond_nsw_daily")
    assert (len(seattle.mm), len(richmond.mm)) == (1461, 3653)
    assert sum(seattle.mm) == pytest.approx(4426.0)
    assert sum(richmond.mm) == pytest.approx(7494.7)
    assert seattle.missing == richmond.missing == ()


def test_every_reference_simulation_is_met() -> None:
    told = json.loads((DATA / "tank_reference.json").read_text(encoding="utf-8"))["own_reference_simulations"]
    assert len(told) == 20
    for case in told:
        mm = np.array(rain(case["series"]).mm)
        led = np.maximum(mm - case["daily_first_flush_mm"], 0.0) * case["roof_plan_area_m2"] * case["runoff_coeff"]
        wanted = case["demand_L_per_day"]
        rule = AFTER if case["rule"] == "YAS" else BEFORE
        days = run_store(led, np.full(len(mm), wanted), np.array([case["tank_L"]]), rule, start_l=case["start_L"])
        result = case["result"]
        assert days.drawn_l.sum() == pytest.approx(result["yield_L"], abs=0.01)
        assert days.spilt_l.sum() == pytest.approx(result["overflow_L"], abs=0.01)
        assert days.content_l[-1, 0] == pytest.approx(result["final_L"], abs=0.01)
        assert int((days.drawn_l < wanted - 1e-6).sum()) == result["days_short"]
