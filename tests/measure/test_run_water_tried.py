"""The water of made-up runs of three legs, held against a plain sum over every inflow; and as the search's curve has it."""

from __future__ import annotations

import sys
from pathlib import Path
from random import Random

import numpy as np
import pytest

from takeoff.measure.rainwater.stretches import RunWater
from takeoff.measure.rainwater.water_curve import WaterCurve
from takeoff.model.drainage import GutterLeg, GutterRun, Inflow

sys.path.insert(0, str(Path(__file__).parent))

from pipe_plans_tried import Flow, Water

HALF = ((0.0, 0.0, 2400.0), (1.0, 0.0, 2400.0))


def inflows(random: Random, length: float, most: int) -> tuple[Inflow, ...]:
    """Sheets of rain over parts of a leg and valleys' feet, which may stand at its ends."""
    found = []
    for _ in range(random.randrange(0, most)):
        low, high = sorted(random.choices(range(0, int(length) + 1, 25), k=2))
        high = low if random.random() < 0.4 else high
        areas = random.randrange(0, 9) * 1e6, random.randrange(0, 9) * 1e6
        found.append(Inflow(float(low), float(high), *areas, "P1", 20.0))
    return tuple(found)


def made_up(seed: int, ring: bool) -> tuple[GutterRun, Water, Water]:
    """A run, its water in plan, and with walls by two and roof by half."""
    random = Random(f"water {seed} {ring}")
    legs: list[GutterLeg] = []
    plain: list[Flow] = []
    heavy: list[Flow] = []
    along = 0.0
    for n in range(3):
        length = random.randrange(2, 9) * 500.0
        roof, wall = inflows(random, length, 4), inflows(random, length, 3)
        legs.append(GutterLeg(f"E{n}", (n,), *HALF, length, 0.0, roof, wall))
        for flows, weight in ((roof, 0.5), (wall, 2.0)):
            for f in flows:
                row = (along + f.from_mm, along + f.to_mm, f.start_mm2, f.end_mm2)
                heavy.append((*row[:2], row[2] * weight, row[3] * weight))
                plain += [row] if weight == 0.5 else []
        along += length
    brought = sum((start + end) / 2.0 for _, _, start, end in plain)
    run = GutterRun("G1", "main", tuple(legs), (), ring, brought, 25.0)
    return run, Water(tuple(plain), along, ring), Water(tuple(heavy), along, ring)


@pytest.mark.parametrize("ring", [False, True])
@pytest.mark.parametrize("block", range(4))
def test_water_up_to_places_along_a_run(block: int, ring: bool) -> None:
    """At every end of an inflow, half and a whole millimetre and a little to either side, and everywhere between; beyond
    both ends of the run, on a ring a turn and more on."""
    for seed in range(block * 8, block * 8 + 8):
        run, plain, heavy = made_up(seed, ring)
        marks = {0.0, run.length_mm, *(end for low, high, *_ in (*plain.flows, *heavy.flows) for end in (low, high))}
        offs = (-1.01, -1.0, -0.51, -0.5, -0.49, 0.0, 0.49, 0.5, 0.51, 1.0, 1.01)
        places = [mark + off for mark in marks for off in offs] + [137.0 * n for n in range(-8, 110)]
        for water, wanted in ((RunWater(run), plain), (RunWater(run, lambda _, wall: 2.0 if wall else 0.5), heavy)):
            assert water.total_mm2 == pytest.approx(wanted.total_mm2)
            assert [water.upto(at) for at in places] == pytest.approx([wanted._upto(at) for at in places], abs=1.0), (
                seed
            )
            inside = [at for at in places if abs(at - round(at)) in (0.0, 0.5) or not ring]
            curve = WaterCurve(water).upto(np.array(inside))
            far = [n for n, at in enumerate(inside) if all(abs(abs(at - mark) - 0.5) > 0.02 for mark in marks)]
            assert curve[far] == pytest.approx(np.array([wanted._upto(inside[n]) for n in far]), abs=1.0), seed


def test_water_of_no_inflow() -> None:
    run = GutterRun("G1", "main", (GutterLeg("E1", (1,), *HALF, 5000.0, 0.0),), (), False, 0.0, 25.0)
    assert [RunWater(run).upto(at) for at in (-1.0, 0.0, 2500.0, 5000.0)] == [0.0] * 4


def test_a_valley_at_the_very_end_of_a_run_comes_in_all_the_same() -> None:
    """4 m2 at the start and 6 at the end of a run with ends: none up to its start, all up to its end; just inside, what the
    nearer end brings."""
    flows = (Inflow(0.0, 0.0, 4e6, 4e6), Inflow(5000.0, 5000.0, 6e6, 6e6))
    run = GutterRun("G1", "main", (GutterLeg("E1", (1,), *HALF, 5000.0, 0.0, flows),), (), False, 10e6, 25.0)
    wanted = [
        (-1.0, 0.0),
        (0.0, 0.0),
        (0.2, 2e6),
        (1.0, 4e6),
        (4999.0, 4e6),
        (4999.8, 7e6),
        (5000.0, 10e6),
        (5001.0, 10e6),
    ]
    assert [(at, RunWater(run).upto(at)) for at, _ in wanted] == wanted
    found = WaterCurve(RunWater(run)).upto(np.array([at for at, _ in wanted]))
    assert found.tolist() == [area for _, area in wanted]
