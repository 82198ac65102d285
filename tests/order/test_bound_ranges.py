"""How wide the bounds of an order are, by hand: a bound that grows too wide still passes every sound order.

Houses of 12 x 8 m at 30 degrees, with gables and with hips, eaves without overhang: half the width is 4 m, the slope
4 / cos 30 = 4.6188 m, a slope of the gabled one 12 x 4.6188 = 55.4256 m2 with 33.2376 m round it.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from takeoff import Takeoff, run
from takeoff.order.bounds.bounded import Case, case_of
from takeoff.order.bounds.ground import ground_of
from takeoff.order.bounds.purlin_bounds import outriggers, purlin_rows, trimmers
from takeoff.order.bounds.underlay_bounds import underlay_rolls
from takeoff.read.job.job_file import parse_job

OUTLINE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
GABLES = {"edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}}}


def _case(more: dict[str, object]) -> Case:
    roof = {"outline": OUTLINE, "pitch_deg": 30, "fascia_height_mm": 2450, **more}
    taken: Takeoff = run(parse_job(json.dumps({"job": "by hand", "roofs": [roof]})))
    assert taken.order is not None
    return case_of(taken, taken.order)


@pytest.fixture(scope="module")
def gabled() -> Case:
    return _case(GABLES)


def test_outriggers_are_at_most_two_more_than_each_verge_has_spacings(gabled: Case) -> None:
    # two verges a slope, 4.6188 m at 900 mm: 2 x (5.132 + 2)
    assert [bound.high for bound in outriggers(gabled)] == pytest.approx([14.264] * 2, abs=1e-3)


def test_rows_of_purlins(gabled: Case) -> None:
    """At 900 mm: 55.4256 / 0.9 = 61.584 and half of eave and ridge, 12, make 73.584; 0.4 of 12 m less at least. At most
    0.9 of 12 m more; end bays of 2/3 of the gauge, 2 x 1/3 of a row; a fifth of a metre at both ends of
    4.6188 / 0.9 + 3 = 8.132 rows."""
    bounds = tuple(purlin_rows(gabled))
    assert [bound.low for bound in bounds] == pytest.approx([73.584 - 4.8] * 2, abs=1e-3)
    assert [bound.high for bound in bounds] == pytest.approx([73.584 + 10.8 + 8.0 + 2.0 * 0.2 * 8.132] * 2, abs=1e-3)


def test_strips_of_underlay(gabled: Case) -> None:
    """Strips up the slope, 1350 wide with laps of 150, and 150 past the edges: inside that lie 55.4256 - 33.2376 x 0.15 =
    50.440 m2, outside 55.4256 + 4.9856 + 4 x 0.0225 = 60.501. Least 2 x (50.440 - 0.15 x 4.6188) / 1.2 = 82.9; most
    2 x (60.501 / 1.2 + 2 sides of 4.6188 + 4 x 0.15) = 120.51."""
    (bound,) = underlay_rolls(gabled)
    assert "110.85 m2" in bound.from_what
    assert bound.from_what.endswith("83 to 121 m")


def test_trimmers_under_hips() -> None:
    # a hip is sqrt(4^2 + 4^2 + (4 tan 30)^2) = 6.1101 m, two on each plane: 0.6 of it less 1.6 m, and 0.6 m more
    bounds = tuple(trimmers(_case({})))
    assert [bound.low for bound in bounds] == pytest.approx([2.0 * (0.6 * 6.1101 - 1.6)] * 4, abs=1e-3)
    assert [bound.high for bound in bounds] == pytest.approx([2.0 * (6.1101 + 0.6)] * 4, abs=1e-3)


def test_the_extents_of_a_plane_do_not_hang_on_where_its_axes_begin(gabled: Case) -> None:
    roof = gabled.takeoff.roofs[0]
    rings = tuple(tuple((u + 5000.0, v + 1000.0) for u, v in ring) for ring in roof.planes[0].rings_uv)
    ground = ground_of(roof, replace(roof.planes[0], rings_uv=rings))
    assert (ground.across_m, ground.rise_m) == pytest.approx((12.0, 4.6188), abs=1e-4)
