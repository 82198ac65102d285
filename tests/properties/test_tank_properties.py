"""What holds for every store: no water is lost, spilling first never gives more, a larger store never less."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as config
from hypothesis import strategies as st

from takeoff.measure.tank.store import AFTER, BEFORE, run_store

FEW = config(max_examples=40, deadline=None, derandomize=True)
LITRES = st.floats(0.0, 5000.0, allow_nan=False)
SIZES = np.array([200.0, 500.0, 1000.0, 2500.0, 8000.0])


@FEW
@given(
    st.lists(LITRES, min_size=1, max_size=60), LITRES, st.sampled_from([AFTER, BEFORE]), LITRES, st.sampled_from([0.0, 150.0]),
    st.sampled_from([0.0, 300.0, 10_000.0]),
)  # fmt: skip
def test_all_water_is_accounted_for(
    run_off: list[float], wanted: float, rule: str, start: float, floor: float, truck: float
) -> None:
    """Run-off + water carted in = yield + overflow + change of store, to 1e-9 of what came."""
    days = run_store(np.array(run_off), np.full(len(run_off), wanted), SIZES, rule, floor, start, truck)
    carted = days.carted_l.sum(axis=0) if days.carted_l is not None else 0.0
    came = sum(run_off) + carted
    out = days.drawn_l.sum(axis=0) + days.spilt_l.sum(axis=0) + days.content_l[-1] - days.content_l[0]
    assert np.abs(came - out).max() <= 1e-9 * max(float(np.max(came)), 1.0) + 1e-9 * start
    assert (days.spilt_l >= -1e-6).all()
    assert (days.content_l <= SIZES + 1e-9).all()
    assert (days.drawn_l >= 0.0).all()
    assert (days.drawn_l <= wanted + 1e-9).all()
    if truck and rule == AFTER:
        assert (days.drawn_l[:, SIZES - floor >= wanted] >= wanted - 1e-6).all()


@FEW
@given(st.lists(LITRES, min_size=1, max_size=60), LITRES, st.sampled_from([0.0, 150.0]))
def test_spilling_first_never_gives_more_and_a_larger_store_never_less(
    run_off: list[float], wanted: float, floor: float
) -> None:
    wants = np.full(len(run_off), wanted)
    after = run_store(np.array(run_off), wants, SIZES, AFTER, floor).drawn_l.sum(axis=0)
    before = run_store(np.array(run_off), wants, SIZES, BEFORE, floor).drawn_l.sum(axis=0)
    assert (after <= before + 1e-6).all()
    assert (np.diff(after) >= -1e-6).all()
    assert (np.diff(before) >= -1e-6).all()


def test_thirty_years_of_fifty_sizes_take_a_fifth_of_the_libraries_time() -> None:
    """Processor time of the loop against that of importing the libraries in a fresh process of the same run."""
    import subprocess
    import sys
    from time import process_time

    code = "from time import process_time as t; a = t(); import numpy, shapely, ezdxf, openpyxl; print(t() - a)"
    rng = np.random.default_rng(7)
    inflow = np.where(rng.random(10_957) < 0.3, rng.exponential(1500.0, 10_957), 0.0)
    wants, sizes = np.full(10_957, 500.0), np.linspace(1e3, 1e5, 50)
    shares = []
    for _ in range(3):
        imports = float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout)
        begun = process_time()
        run_store(inflow, wants, sizes)
        shares.append((process_time() - begun) / imports)
    assert min(shares) < 0.2, pytest.approx(shares)
