"""How much a side of a plane rises over the lap of a sheet, at each limit: by hand. Lengths in mm."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from takeoff.basics.vectors import Ring2
from takeoff.order.bounds.ground import ground_of
from takeoff.order.bounds.sheet_bounds import _rake_m2, _rise_mm

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import plane, roof


def rise(*rings: Ring2, lap: float = 83.0) -> float:
    of = plane("P1", *rings)
    return _rise_mm(ground_of(roof([of], []), of), lap)


def stepped(at: float, width: float = 6000.0) -> Ring2:
    """1000 lower left of a step."""
    return ((0.0, 0.0), (width, 0.0), (width, 4000.0), (at, 4000.0), (at, 3000.0), (0.0, 3000.0))


def slanting(across: float, up: float = 1000.0) -> Ring2:
    """Its left side slants in at its head."""
    return ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (across, 4000.0), (0.0, 4000.0 - up))


@pytest.mark.parametrize(
    ("at", "found"),
    [
        # an upright side less than 5 from an end of the plane is that end: no sheet lies beyond it
        (4.9, 0.0),
        (5.0, 1000.0),
        (700.0, 1000.0),
        (5995.0, 1000.0),
        (5995.1, 0.0),
    ],
)
def test_an_upright_step(at: float, found: float) -> None:
    assert rise(stepped(at)) == found
    # about wherever the plane begins
    moved = tuple((u + 750.0, v - 90.0) for u, v in stepped(at))
    assert rise(moved) == found


@pytest.mark.parametrize(
    ("across", "found"),
    [
        # what runs across by a twentieth of what it rises is upright, and stands at the end
        (50.0, 0.0),
        (50.1, 1000.0),
        (83.0, 1000.0),
        (100.0, 830.0),  # 83 of it
        (1000.0, 83.0),
        (4000.0, 20.75),
    ],
)
def test_a_slanting_side(across: float, found: float) -> None:
    assert rise(slanting(across)) == pytest.approx(found)
    assert rise(tuple((-u, v) for u, v in slanting(across))) == pytest.approx(found)
    # of several the steepest: 400 up over 100
    assert rise(slanting(across), ((2000.0, 500.0), (2200.0, 600.0), (2100.0, 900.0))) == pytest.approx(
        max(found, 83.0 * 4.0)
    )


def test_sides_of_a_hole() -> None:
    """Upright ones count whole; level ones for nothing."""
    square = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    assert rise(square) == 0.0
    assert rise(square, ((2000.0, 500.0), (2500.0, 500.0), (2500.0, 900.0), (2000.0, 900.0))) == 400.0


@pytest.mark.parametrize(
    ("across", "up", "found"),
    [
        (0.0, 4.0, 3.2),  # upright: a sheet of 0.8 all the way up
        (0.19, 4.0, 3.2),
        # a twentieth across: half a cover of 0.7 and the lap of 0.1 over 4 m, and a cover of as much as it rises over it
        (0.2, 4.0, 0.45 * 4.0 + 0.7 * 4.0),
        (1.4, 4.0, 0.45 * 4.0 + 0.7 * 2.0),
        (7.0, 1.0, 0.45 + 0.7 * 0.1),
        (6.0, 0.0, 0.0),
    ],
)
def test_what_a_rake_takes_more(across: float, up: float, found: float) -> None:
    assert _rake_m2((across, up), 0.7, 0.8) == pytest.approx(found)
