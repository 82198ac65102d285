"""By which of its borders a plane is turned level, and by how much: every limit from both sides.

Limits are common practice, no source: lines from 200 mm on, out of level by 1 mm and 4 in 1000 of their length (less on flat
planes), turned by no more than 2 degrees in plan.
"""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from takeoff.shape.imported import level_lines
from takeoff.shape.imported.planes import Moments, Patch

Point3 = tuple[float, float, float]
STEEP: Point3 = (0.0, -0.8, 0.6)  # falls 4 in 3, its level lines along x
ROOF: Point3 = (0.0, -0.6, 0.8)  # falls 3 in 4
ASKEW: Point3 = (0.48, -0.36, 0.8)  # falls 3 in 4, its level lines along (3, 4)


def line(turn_deg: float, long: float, dz: float = 0.0, strike_deg: float = 0.0) -> tuple[Point3, Point3]:
    """A border from (700, -300, 50), turned from a strike, so long in plan."""
    way = radians(strike_deg + turn_deg)
    return (700.0, -300.0, 50.0), (700.0 + long * cos(way), -300.0 + long * sin(way), 50.0 + dz)


def turned(
    monkeypatch: pytest.MonkeyPatch, *lines: tuple[Point3, Point3], normal: Point3 = ROOF, off_mm: float = 0.0
) -> float | None:
    """By how much a plane with these borders is turned in plan [degrees]; None where it stays as it is."""
    asked: list[float] = []

    def across(moments: Moments, strike: float, near: Point3) -> Point3:
        assert (moments.area, near) == (4.0, normal)
        asked.append(strike)
        return (0.0, 0.0, 1.0)

    monkeypatch.setattr(level_lines, "_across", across)
    moments = Moments(4.0, np.array([8.0, 12.0, 20.0]), np.zeros((3, 3)))
    told: Any = SimpleNamespace(moments=lambda _: moments, off_mm=lambda *given: given)
    net: Any = SimpleNamespace(nodes=np.array([point for one in lines for point in one]))
    patch = Patch((1, 2), normal, (9.0, 9.0, 9.0), off_mm)
    found = level_lines._levelled(net, told, patch, [(2 * k, 2 * k + 1) for k in range(len(lines))])
    if not asked:
        assert found is patch
        return None
    assert found == Patch((1, 2), (0.0, 0.0, 1.0), (9.0, 9.0, 9.0), ((1, 2), (0.0, 0.0, 1.0), (2.0, 3.0, 5.0)))  # type: ignore[arg-type]
    return degrees(asked[0] - atan2(normal[0], -normal[1]))


@pytest.mark.parametrize("way", [0.0, 180.0])
def test_lines_turn_a_plane_by_the_squares_of_their_lengths(monkeypatch: pytest.MonkeyPatch, way: float) -> None:
    """4 m by 1 degree, 2 m by -1.5: (16 x 1 - 4 x 1.5) / 20. Whichever way round the border runs."""
    assert turned(monkeypatch, line(1.0, 4000.0), line(-1.5 + way, 2000.0)) == pytest.approx(0.5)
    assert turned(monkeypatch, line(1.0 + way, 4000.0)) == pytest.approx(1.0)
    askew = (
        line(0.75, 3000.0, strike_deg=degrees(atan2(4.0, 3.0))),
        line(-0.25 + way, 1000.0, strike_deg=degrees(atan2(4.0, 3.0))),
    )
    assert turned(monkeypatch, *askew, normal=ASKEW) == pytest.approx((9.0 * 0.75 - 0.25) / 10.0)


@pytest.mark.parametrize(
    ("turn", "long", "dz", "normal", "counts"),
    [
        (1.99, 3000.0, 0.0, ROOF, True),
        (2.01, 3000.0, 0.0, ROOF, False),
        (-1.99, 3000.0, 0.0, ROOF, True),
        (-2.01, 3000.0, 0.0, ROOF, False),
        (1.0, 200.01, 0.0, ROOF, True),
        (1.0, 199.9, 0.0, ROOF, False),
        # 1 mm, and 0.004 x 1000 x 0.75
        (1.0, 1000.0, 3.99, ROOF, True),
        (1.0, 1000.0, -4.01, ROOF, False),
        (1.0, 1000.0, -3.99, ROOF, True),
        # on what is steeper than 1 in 1 no more than 0.004 of the length
        (1.0, 1000.0, 4.99, STEEP, True),
        (1.0, 1000.0, 5.01, STEEP, False),
        # on what falls 1 in 10 a tenth of it
        (1.0, 1000.0, 1.39, (0.0, -0.1, 1.0), True),
        (1.0, 1000.0, 1.41, (0.0, -0.1, 1.0), False),
        (1.0, 1000.0, 1.39, (0.06, -0.08, 1.0), False),  # its level lines run elsewhere
    ],
)
def test_which_borders_are_level_lines(
    monkeypatch: pytest.MonkeyPatch, turn: float, long: float, dz: float, normal: Point3, counts: bool
) -> None:
    found = turned(monkeypatch, line(90.0, 3000.0), line(turn, long, dz), normal=normal)
    assert found == (pytest.approx(turn) if counts else None)


@pytest.mark.parametrize(
    ("normal", "off", "stays"),
    [
        ((0.0, -0.021, 1.0), 0.0, False),
        ((0.0, -0.019, 1.0), 0.0, True),
        ((0.0, -0.0105, 0.5), 0.0, False),
        ((0.0, -0.0095, 0.5), 0.0, True),
        (ROOF, 5.0, False),
        (ROOF, 5.1, True),
    ],
)
def test_flat_and_twisted_planes_stay_as_they_are(
    monkeypatch: pytest.MonkeyPatch, normal: Point3, off: float, stays: bool
) -> None:
    assert (turned(monkeypatch, line(1.0, 3000.0), normal=normal, off_mm=off) is None) is stays
    assert turned(monkeypatch, line(45.0, 3000.0), normal=normal, off_mm=off) is None
