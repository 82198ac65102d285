"""What of a job's tanks, use of water and rain cannot stand together: every fault whole, with its place."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.read.job.tank_references import tank_faults


def told(tanks: Any = (), use: Any = None, rain: Any = None) -> list[Any]:
    """Faults of a job with these alone; whatever is not given is not said."""
    tank: dict[str, Any] = {
        "name": "T1",
        "pipes": None,
        "dead_l": None,
        "reserve_l": None,
        "volume_l": 1000.0,
        "start_l": None,
    }
    water: dict[str, Any] = {"litres_a_day": None, "by_use": {}, "by_month": None, "people": None}
    job = SimpleNamespace(
        tanks=[SimpleNamespace(**(tank | one)) for one in tanks],
        water_use=SimpleNamespace(**(water | (use or {}))),
        rain=SimpleNamespace(**({"file": None, "monthly_mm": None} | (rain or {}))),
    )
    return list(tank_faults(job))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("tanks", "faults"),
    [
        ([{}], []),
        ([{"pipes": ("D1",)}, {"name": "T2", "pipes": ("D2",)}], []),
        ([{"pipes": ("D1",)}, {"pipes": ("D2",)}], [(("tanks", 1, "name"), "two tanks are named T1")]),
        (
            [{"pipes": ("D1", "D2")}, {"name": "T2", "pipes": ("D3", "D2")}],
            [(("tanks", 1, "pipes", 1), "D2 is led to T1 already; a pipe feeds one tank")],
        ),
        (
            [{"pipes": ("D1",)}, {"name": "T2"}, {"name": "T3"}],
            [(("tanks", 1), "of several tanks each must say which pipes are led to it: pipes: [DP1, DP2]")],
        ),
        ([{"dead_l": 400.0, "reserve_l": 599.0}], []),
        (
            [{"dead_l": 400.0, "reserve_l": 600.0}],
            [(("tanks", 0), "dead store and reserve of 1000 L leave nothing of 1000 L to draw")],
        ),
        ([{"dead_l": 1200.0}], [(("tanks", 0), "dead store and reserve of 1200 L leave nothing of 1000 L to draw")]),
        ([{"start_l": 1000.0}], []),
        ([{"start_l": 1001.0}], [(("tanks", 0, "start_l"), "is more than the 1000 L that the tank holds")]),
        ([{"volume_l": 0.5, "dead_l": 0.1}], []),
        ([{"volume_l": 0.5, "dead_l": 0.1, "start_l": 0.4}], []),
    ],
)
def test_faults_of_tanks(tanks: Any, faults: Any) -> None:
    assert told(tanks) == faults


ALL = (("water_use", "by_month"), "gives what all draw: leave out people, litres_a_day and by_use")


@pytest.mark.parametrize(
    ("use", "faults"),
    [
        ({}, []),
        ({"by_month": (1.0,)}, []),
        ({"by_month": (1.0,), "people": 3}, [ALL]),
        ({"by_month": (1.0,), "litres_a_day": 90.0}, [ALL]),
        ({"by_month": (1.0,), "by_use": {"wash": 9.0}}, [ALL]),
        ({"people": 3, "litres_a_day": 90.0}, []),
        (
            {"litres_a_day": 90.0, "by_use": {"wash": 9.0}},
            [(("water_use", "litres_a_day"), "is said by use already: keep one of litres_a_day and by_use")],
        ),
    ],
)
def test_faults_of_the_use_of_water(use: Any, faults: Any) -> None:
    assert told(use=use) == faults


BESIDE = (("rain", "file"), "must be a file beside the job: a name without folders")


@pytest.mark.parametrize(
    ("rain", "faults"),
    [
        ({"file": "rain.csv"}, []),
        ({"monthly_mm": (1.0,) * 12}, []),
        (
            {"file": "rain.csv", "monthly_mm": (1.0,) * 12},
            [(("rain", "monthly_mm"), "the rain is given by a file already: keep one of file and monthly_mm")],
        ),
        *(({"file": f"a{mark}rain.csv"}, [BESIDE]) for mark in ("/", "\\", ":")),
    ],
)
def test_faults_of_the_rain(rain: Any, faults: Any) -> None:
    assert told(rain=rain) == faults
