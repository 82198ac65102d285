"""Regions of the plan laid over each other: two leaves of a roof that touch in their gutter share nothing."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon

from takeoff.shape.together.overlay import common, joined, rest_of

# leaves of 4010 x 8190 and 5630 x 8190 turned by 61.9 degrees; their shared side differs by 5e-13 mm
WEST = Polygon(
    [
        (2011.758540177776, 996918.6705857622),
        (9236.376668567069, 1000776.2595865435),
        (7347.618195657094, 1004313.5878765119),
        (123.00006726780202, 1000455.9988757307),
    ]
)
EAST = Polygon(
    [
        (9236.376668567069, 1000776.2595865435),
        (2011.7585401777762, 996918.6705857622),
        (4663.556595659873, 991952.2969517168),
        (11888.174724049166, 995809.8859524981),
    ]
)


def test_leaves_that_touch_share_nothing() -> None:
    """Without the grid the library gave the whole west leaf, 32.84 m2, as what both share."""
    assert common(EAST, WEST).area == 0.0
    assert rest_of(EAST, WEST).area == pytest.approx(5630.0 * 8190.0, abs=0.1)
    assert joined([EAST, WEST]).area == pytest.approx(9640.0 * 8190.0, abs=0.1)


def test_what_overlaps_is_found() -> None:
    """A strip of 100 x 8190 of the west leaf lies under a leaf moved towards it by 100."""
    ux, uy = (7347.618195657094 - 9236.376668567069) / 4010.0, (1004313.5878765119 - 1000776.2595865435) / 4010.0
    moved = Polygon([(x + 100.0 * ux, y + 100.0 * uy) for x, y in EAST.exterior.coords[:-1]])
    assert common(moved, WEST).area == pytest.approx(100.0 * 8190.0, rel=1e-6)
