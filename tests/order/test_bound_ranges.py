"""How wide the bounds of an order are, by hand: a bound that grows too wide still passes every sound order.

Houses of 12 x 8 m at 30 degrees, with gables and with hips, eaves without overhang: half the width is 4 m, the slope
4 / cos 30 = 4.6188 m, a slope of the gabled one 12 x 4.6188 = 55.4256 m2 with 33.2376 m round it.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from takeoff import Takeoff, run
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.walls import Opening
from takeoff.order.bounds.bounded import Case, case_of
from takeoff.order.bounds.fixing_bounds import roof_screws
from takeoff.order.bounds.ground import ground_of
from takeoff.order.bounds.order_bounds import spare_sheets
from takeoff.order.bounds.purlin_bounds import outriggers, purlin_fixings, purlin_rows, trimmers
from takeoff.order.bounds.sheet_bounds import bought_area, estimate, sheeted_area
from takeoff.order.bounds.stock_bounds import bars_of, stock_placed
from takeoff.order.bounds.underlay_bounds import underlay_rolls, underlay_staples
from takeoff.order.bounds.wall_bounds import wall_ground, wall_wrap
from takeoff.read.job.job_file import parse_job

OUTLINE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
GABLES = {"edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}}}
# every trim another, none of them 0; boxes of one, so that a bound is not rounded away
SETTINGS = {
    "sheet_over_eave_mm": 50, "sheet_over_bare_eave_mm": 70, "ridge_gap_mm": 60, "hip_trim_mm": 35, "valley_gap_mm": 240,
    "apron_head_trim_mm": 20, "apron_side_trim_mm": 15, "verge_trim_mm": 40, "head_trim_mm": 25,
    "pitch_change_under_mm": 30, "pitch_change_over_mm": 45, "purlin_fixing_spare_percent": 10, "purlin_fixing_box": 1,
    "underlay_staple_box": 1, "underlay_staples_m2": 60, "spare_sheets": 1,
}  # fmt: skip


def _case(more: dict[str, object], **rest: object) -> Case:
    roof = {"outline": OUTLINE, "pitch_deg": 30, "fascia_height_mm": 2450, **more}
    taken: Takeoff = run(parse_job(json.dumps({"job": "by hand", "roofs": [roof], **rest})))
    assert taken.order is not None
    return case_of(taken, taken.order)


@pytest.fixture(scope="module")
def gabled() -> Case:
    return _case(GABLES)


@pytest.fixture(scope="module")
def trimmed() -> Case:
    return _case(GABLES, settings=SETTINGS)


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


def test_the_sheeted_area_of_a_plane_is_its_area_and_a_band_along_every_edge(trimmed: Case) -> None:
    """Eave 12 m x 50 mm (70 mm where it is bare), ridge 12 m x 30 mm off, verges 2 x 4.6188 m x 40 mm off: from -0.1295
    to +0.1105 m2. Slack 0.002 x 55.4256 + 0.02, and four square corners of 70 mm: 0.1505 m2."""
    for bound in sheeted_area(trimmed):
        assert (bound.low, bound.high) == pytest.approx((55.1456, 55.6866), abs=1e-3)


@pytest.mark.parametrize(
    ("kind", "least_mm", "most_mm"),
    [
        (EdgeKind.EAVE, 50, 70),
        (EdgeKind.RIDGE, -30, -30),
        (EdgeKind.HIP, -35, -35),
        (EdgeKind.VALLEY, -120, -120),
        (EdgeKind.APRON_HEAD, -20, -20),
        (EdgeKind.APRON_SIDE, -15, -15),
        (EdgeKind.VERGE, -40, -40),
        (EdgeKind.HEAD, -25, -25),
        (EdgeKind.PITCH_CHANGE, -30, 45),
    ],
)
def test_the_band_along_an_edge_of_each_kind(trimmed: Case, kind: EdgeKind, least_mm: float, most_mm: float) -> None:
    plane = trimmed.planes[0]
    eave = next(edge for edge in plane.edges if edge.kind is EdgeKind.EAVE)
    alone = replace(plane, edges=(replace(eave, kind=kind),))
    found = estimate(alone, trimmed.takeoff.settings).bands_m2
    assert found == pytest.approx((12.0 * least_mm / 1000.0, 12.0 * most_mm / 1000.0), abs=1e-9)


def test_what_is_bought_of_a_planes_sheets(trimmed: Case) -> None:
    """Sheets that cover 762 of 845 mm. Least 55.1456 less the lap width over the rise, for two ends: 2 x 0.083 x 4.6188.
    Most 55.6866, both upright ends a sheet wide, 2 x 0.845 x 4.6188, and on 16 sheets 50 mm of allowance and a rounding
    of 10 mm: 16 x 0.762 x 0.06."""
    for bound in bought_area(trimmed):
        assert (bound.low, bound.high) == pytest.approx((55.1456 - 0.7667, 55.6866 + 7.8058 + 0.7315), abs=1e-3)


def test_timber_under_the_sheets(trimmed: Case) -> None:
    # an eave row, five rows at 900 mm and one at the ridge on each slope, each 12 m
    (bound,) = roof_screws(trimmed)
    assert bound.from_what == "timber that runs 168.0 m across under the sheets"


def test_fixings_of_purlins(trimmed: Case) -> None:
    # 168 m in 14 lines at 900 mm: half of 186.67 at least; (2 x 186.67 + 5 x 14) x 3 and a tenth to spare at most
    (bound,) = purlin_fixings(trimmed)
    assert (bound.low, bound.high) == (94.0, 1463.0)


def test_staples_of_underlay(trimmed: Case) -> None:
    # 60 a m2: 110.851 m2 with a slack of 0.001 of it and 0.01 a plane, 0.1309: 6643.2 to 6658.9 and one
    (bound,) = underlay_staples(trimmed)
    assert (bound.low, bound.high) == (6644.0, 6660.0)


def test_a_spare_sheet_is_the_longest_laid(trimmed: Case) -> None:
    # 4618.8 + 50 - 30 = 4638.8, to the millimetre
    (bound,) = spare_sheets(trimmed)
    assert (bound.figure, bound.high) == pytest.approx((4.639, 4.640), abs=1e-6)


def test_what_is_placed_of_a_stock_length(trimmed: Case) -> None:
    """Fourteen rows of 12 m: 1 mm less at least and half a millimetre for each piece that prints as a whole stock length; at
    most a millimetre for each piece and one more."""
    pieces = sum(
        len(bar.pieces) for plan in trimmed.order.plans for bar in plan.all_bars if plan.item == "purlin_70x45"
    )
    bound = next(bound for bound in stock_placed(trimmed) if "168.00" in bound.from_what)
    assert bound.low == pytest.approx(168.0 - 0.001 - 0.0005 * pieces, abs=1e-9)
    assert bound.high == pytest.approx(168.0 + 0.001 + 0.001 * pieces, abs=1e-9)


def test_a_plain_packing_by_hand() -> None:
    # longest first into the fullest bar with room: 4 + 2, 3 + 2 and 1 fill two bars of 6 m. Where each cut takes 5 mm,
    # 4 leaves 1.995, which the last 2 does not fit into
    assert bars_of((4000, 2000), 6000, 0) == 1
    assert bars_of((4000, 2000, 3000, 2000, 1000), 6000, 0) == 2
    assert bars_of((4000, 2000, 3000, 2000, 1000), 6000, 5) == 3


@pytest.fixture(scope="module")
def walled() -> Case:
    """Four walls 12 and 8 m wide and 2.35 m high, wrapped from rolls of a metre, so that no bound is rounded away."""
    case = _case({"outline": None, "wall_line": OUTLINE, "eave_overhang_mm": 600}, walls={"height_mm": 2400})
    catalogue = case.takeoff.catalogue
    short = {name: replace(roll, length_mm=1000.0) for name, roll in catalogue.rolls.items()}
    return replace(case, takeoff=replace(case.takeoff, catalogue=replace(catalogue, rolls=short)))


def test_wrap_of_walls(walled: Case) -> None:
    """A roll is 2.74 m wide and laps 0.15 m. Least (94 m2 - 8 x 0.15 x 2.35) / 2.74 = 33.28 m. Most: each wall 0.15 m past
    both corners and lapped 0.15 m at both ends, 40 + 4 x 0.6 m, on 2.35 / 2.59 + 1 strips: 80.87 m."""
    assert {round(wall_ground(wall).high_m, 6) for wall in walled.takeoff.elevations} == {2.35}
    (bound,) = wall_wrap(walled)
    assert (bound.low, bound.high) == (34.0, 81.0)


def test_an_opening_counts_as_far_as_the_wall_goes(walled: Case) -> None:
    wall = walled.takeoff.elevations[0]  # from -50 to 2300 over the floor
    within = Opening("W1", 1000.0, 900.0, 1500.0, 1200.0)
    half_over = replace(within, sill_mm=1700.0)  # 600 of its 1200 in the wall
    above = replace(within, sill_mm=2500.0)
    beside = replace(within, from_left_mm=12500.0)
    areas = [wall_ground(replace(wall, openings=(one,))).openings_m2 for one in (within, half_over, above, beside)]
    assert areas == pytest.approx([1.8, 0.9, 0.0, 0.0], abs=1e-12)
