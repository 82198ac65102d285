"""What a tank is fed in a year, by hand (enHealth, Guidance on use of rainwater tanks, Appendix B: A x (rain - B) x plan
area)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from takeoff.measure.rainwater.tank import yearly_yield_l, yield_quantities
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.drainage import Received
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import chosen, run


def test_yield_of_a_year() -> None:
    """0.8 x (750 - 24) x 200 m2; no less than nothing; of a year's own share and loss."""
    assert yearly_yield_l(200.0, 750.0) == pytest.approx(116_160.0)
    assert yearly_yield_l(200.0, 20.0) == 0.0
    assert yearly_yield_l(100.0, 500.0, 0.9, 50.0) == pytest.approx(40_500.0)


def test_yield_of_all_spouting_and_level_roof(settings: Settings) -> None:
    """Runs of 60.1234 and 50 m2, of which 10 came by a spreader from the first, and 20.5 m2 of level roof: 120.6234 m2."""
    made = chosen(settings, tank_runoff_share=0.85, tank_loss_mm_per_year=30)
    runs = (
        run(plan_mm2=60_123_400.0), run(id="G2", plan_mm2=50e6, received=(Received("main", "DP1", "P9", 0.0, 10e6),)),
    )  # fmt: skip
    terms = (
        made.settings.term("tank_runoff_share"), Term("rain of an average year", 1000.0, "mm", SET_IN_JOB),
        made.settings.term("tank_loss_mm_per_year"), Term("plan catchment", 120.623, "m2"),
    )  # fmt: skip
    wanted = Quantity(
        "tank yearly yield", "Run-off of an average year to the tank", pytest.approx(0.85 * 970.0 * 120.6234), "L",  # type: ignore[arg-type]
        ("G1", "G2"), Working("A x (rain - B) x plan catchment, every downpipe led to the tank", terms),
    )  # fmt: skip
    assert yield_quantities(runs, 1000.0, made, 20.5) == (wanted,)
    assert yield_quantities(runs, 1000.0, made)[0].figure == pytest.approx(0.85 * 970.0 * 100.1234)
    assert yield_quantities(runs, None, made) == yield_quantities((), 1000.0, made) == ()
