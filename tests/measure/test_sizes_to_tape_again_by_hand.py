"""Which of two rafters is named to be taped again, at each limit: both drawn 4000 and 5000 long. Lengths in mm."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.measure.roofing.sheets.site_suspect import Suspect, _closing_value, _parallel, suspects

DRAWN = {"rafter left": 4000.0, "rafter right": 5000.0, "eave": 6000.0}
SETTINGS: Any = SimpleNamespace(number={"measure_tolerance_mm": 10.0, "measure_off_drawing_mm": 50.0}.__getitem__)


def named(left: float, right: float) -> list[str]:
    """With the left rafter off by so much, and the right one: to run parallel each must be off as the other is."""
    taped = {"rafter left": 4000.0 + left, "rafter right": 5000.0 + right}
    return [one.item for one in suspects(taped, DRAWN, lambda sizes: None, SETTINGS)]


@pytest.mark.parametrize(
    ("left", "right", "items"),
    [
        # the one that leaves the plane less off first, the other unless it leaves it more than twice and 1 as far off
        (2.0, 5.0, ["rafter right", "rafter left"]),
        (2.0, 5.125, ["rafter right"]),
        (0.0, 1.0, ["rafter right", "rafter left"]),
        (0.0, 1.125, ["rafter right"]),
        (-5.0, -2.0, ["rafter left", "rafter right"]),
        (7.0, -30.0, ["rafter right"]),
        # to a tenth as far off: in the order they were taped
        (1.96, 2.04, ["rafter left", "rafter right"]),
        # within a twentieth they run parallel
        (3.0, 3.04, []),
        (3.0, 3.06, ["rafter right", "rafter left"]),
        # what would leave the plane more than 50 off is no answer
        (50.0, 52.0, ["rafter right"]),
        (50.125, 52.0, []),
    ],
)
def test_the_rafter_to_tape_again(left: float, right: float, items: list[str]) -> None:
    assert named(left, right) == items


def test_a_rafter_to_tape_again_whole() -> None:
    """30 long against a right one that is 1 short: with 3999 both agree, 1 off the drawing; what is set wider rules."""
    found = suspects(
        {"rafter left": 4030.0, "rafter right": 4999.0, "eave": 6009.0},
        DRAWN | {"ridge": 1.0},
        lambda sizes: None,
        SETTINGS,
    )
    assert found == (Suspect("rafter left", 4030.0, 3999.0, 9.0),)
    assert found[0].words == "rafter left is 31 mm long: with 3999 all agree"
    assert Suspect("eave", 5990.0, 6000.4, 1.0).words == "eave is 10 mm short: with 6000 all agree"
    wide: Any = SimpleNamespace(number={"measure_tolerance_mm": 60.0, "measure_off_drawing_mm": 50.0}.__getitem__)
    taped = {"rafter left": 4060.0, "rafter right": 5000.0}
    assert [one.item for one in suspects(taped, DRAWN, lambda sizes: None, wide)] == ["rafter left"]


def test_a_rafter_that_runs_parallel() -> None:
    taped = {"rafter left": 4030.0, "rafter right": 4990.0}
    assert _parallel("rafter left", taped, DRAWN) == 3990.0
    assert _parallel("rafter right", taped, DRAWN) == 5030.0
    assert _parallel("eave", taped, DRAWN) is None
    assert _parallel("rafter left", {"rafter left": 4030.0}, DRAWN) is None
    assert _parallel("rafter left", taped, DRAWN | {"rafter left": 0.0}) is None
    assert _parallel("rafter left", taped, DRAWN | {"rafter left": 0.5}) == -9.5


@pytest.mark.parametrize(
    ("closing", "value"),
    [
        (lambda sizes: sizes["eave"] - 20.0, 1020.0),  # the ridge follows 20 behind the eave
        (lambda sizes: 3000.0 - 2.0 * sizes["eave"], 1000.0),  # both ways at once: as drawn
        (lambda sizes: 900.0, None),  # whatever the eave is, the ridge is no nearer
        (lambda sizes: None, None),
        (lambda sizes: (sizes["eave"] / 100.0) ** 2 * 10.0, 1000.0),
        (lambda sizes: (sizes["eave"] / 110.0) ** 2 * 10.0, 1100.0),
    ],
)
def test_what_a_size_must_be_for_all_to_close(closing: Any, value: float | None) -> None:
    """A ridge of 1000 taped; the eave is drawn 1000 long, from where it is looked for."""
    found = _closing_value("eave", {"eave": 1077.0, "ridge": 1000.0}, {"eave": 1000.0, "ridge": 1000.0}, closing)
    assert found == (None if value is None else pytest.approx(value, abs=0.01))
