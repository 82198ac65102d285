"""Where rows of purlins lie on a plane: by hand. Lengths in mm.

Unless told otherwise: first row 50 up, gauge 900, end bays 600, timber 70 wide; a bay under 250 at an end is not worth its
row, rows under 300 are left out.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from planes_by_hand import EAVE, on, plane

from takeoff.measure.roofing.purlins.purlin_rows import (
    Row,
    RowRules,
    _beside,
    _evened,
    _gauge,
    _row_above,
    _row_below,
    row_numbers,
    rows_of,
    widest_bay_mm,
    widest_bay_of,
)
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import PurlinLine
from takeoff.model.roof import RoofPlane
from takeoff.shape.strips.plane_lines import EdgeOnPlane

# lower on the right: 2 m high from 3 to 6 m
STEPPED_TOP = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 2000.0), (3000.0, 2000.0), (3000.0, 4000.0), (0.0, 4000.0))
RULES = RowRules(50.0, 900.0, 70.0, 200.0, 300.0, False, 100.0, 600.0, 250.0)
GAUGE = (50.0, 650.0, 1550.0, 2450.0, 3350.0)
WHOLE = (0.0, 6000.0)
LEFT, RIGHT = (0.0, 3000.0), (3000.0, 6000.0)


RIDGE = on(EdgeKind.RIDGE, (0.0, 4000.0), (6000.0, 4000.0), (0.0, -1.0), "R1")
HALF_RIDGE = on(EdgeKind.RIDGE, (0.0, 4000.0), (3000.0, 4000.0), (0.0, -1.0), "R1")
HEAD = on(EdgeKind.HEAD, (3000.0, 2000.0), (6000.0, 2000.0), (0.0, -1.0), "T1")


def test_a_bay_at_the_end_of_sheets() -> None:
    edges = {0.0: 900.0, 600.0: 600.0, 900.0: 900.0, 1200.0: 900.0, 0.5: 0.5}
    assert {edge: replace(RULES, edge_mm=edge).edge_bay_mm for edge in edges} == edges


@pytest.mark.parametrize(
    ("top", "edge", "rows"),
    [
        (4000.0, 600.0, GAUGE),
        (4000.0, 0.0, (50.0, 950.0, 1850.0, 2750.0, 3650.0)),
        (3350.0, 600.0, GAUGE[:4]),  # none on the top itself
        (3350.02, 600.0, GAUGE),
        (650.0, 600.0, GAUGE[:1]),
        (650.02, 600.0, GAUGE[:2]),
        (300.0, 600.0, GAUGE[:1]),
        (10.0, 2000.0, GAUGE[:1]),
    ],
)
def test_rows_by_the_gauge(top: float, edge: float, rows: tuple[float, ...]) -> None:
    ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0, top), (0.0, top / 2.0))
    assert _gauge(plane(ring), replace(RULES, edge_mm=edge), ()) == pytest.approx(rows)
    assert _gauge(plane(ring), replace(RULES, edge_mm=edge), (3950.0,)) == pytest.approx(rows)


def test_rows_evened_up_to_the_top_row() -> None:
    """3100 from the first row to the top row: two end bays of two thirds and three between, 3100 / 4.333 = 715.38 each."""
    even = replace(RULES, even=True)
    assert _gauge(plane(), even, (2000.0, 3150.0)) == pytest.approx(
        (50.0, 526.923, 1242.308, 1957.692, 2673.077, 3388.462), abs=1e-3
    )
    assert _gauge(plane(), even, (50.0,)) == GAUGE
    assert _gauge(plane(), even, ()) == GAUGE


@pytest.mark.parametrize(
    ("rise", "gauge", "edge"),
    [
        (3000.0, 900.0, 600.0),
        (3000.005, 900.0015, 600.001),  # a crumb takes no row more
        (3000.02, 3000.02 / (3 + 4 / 3), 2 * 3000.02 / (9 + 4)),
        (3100.0, 715.3846, 476.9231),
        (2100.0, 900.0, 600.0),
        (1000.0, 750.0, 500.0),  # two end bays and none between
        (1200.0, 900.0, 600.0),
        (1200.02, 1200.02 / (1 + 4 / 3), 2 * 1200.02 / (3 + 4)),
        (600.0, 900.0, 600.0),  # one bay
        (600.005, 900.0, 600.005),
        (600.02, 450.015, 300.01),
        (100.0, 900.0, 100.0),
    ],
)
def test_bays_evened(rise: float, gauge: float, edge: float) -> None:
    assert _evened(rise, 900.0, 600.0) == pytest.approx((gauge, edge), abs=1e-3)


@pytest.mark.parametrize(
    ("v", "gauge", "down_to", "extra"),
    [
        (3900.0, GAUGE, 3900.0, None),  # a last bay of 550
        (3950.0, GAUGE, 3950.0, None),
        (3950.005, GAUGE, 3950.005, None),
        (3950.02, GAUGE, 3350.0, 3950.02 - 600.02 * 0.4),  # over an end bay: 600 to 900
        (3951.0, GAUGE, 3350.0, 3710.6),
        (3600.0, GAUGE, 3600.0, None),  # 250 are worth a row
        (3599.995, GAUGE, 3599.995, None),
        (3599.0, GAUGE, 2450.0, 3139.4),  # 249 are not: 1149 shared 600 to 900 from the row before
        (700.0, GAUGE[:2], 50.0, 375.0),  # from the eave row both are end bays
        (640.0, (50.0, 500.0), 50.0, None),  # 590 from the eave row: the one between goes
        (200.0, GAUGE[:1], 200.0, None),  # nothing but the eave row
        (651.0, GAUGE[:1], 50.0, 350.5),
        (50.4, GAUGE, 50.4, None),
        (3350.3, GAUGE, 2450.0, 3350.3 - 900.3 * 0.4),  # a row in the same place is none below
        (3350.6, GAUGE, 2450.0, 3350.6 - 900.6 * 0.4),
    ],
)
def test_the_row_below_a_top_row(v: float, gauge: tuple[float, ...], down_to: float, extra: float | None) -> None:
    assert _row_below(v, 600.0, 250.0, RULES, gauge) == pytest.approx((down_to, extra))


@pytest.mark.parametrize(
    ("v", "gauge", "up_to", "extra"),
    [
        (2500.0, GAUGE, 3350.0, 2840.0),  # 850 shared 600 to 900
        (1500.0, GAUGE, 2450.0, 1880.0),  # 50 to the next are useless
        (1850.0, GAUGE, 1850.0, None),
        (1849.995, GAUGE, 1849.995, None),
        (1849.0, GAUGE, 2450.0, 1849.0 + 601.0 * 0.4),
        (1300.0, GAUGE, 1300.0, None),
        (1300.005, GAUGE, 1300.005, None),
        (1301.0, GAUGE, 2450.0, 1760.6),
        (3300.0, GAUGE, 3300.0, None),
        (3400.0, GAUGE, 3400.0, None),
        (500.0, (50.0, 650.0, 700.0), 700.0, None),
        (2449.7, GAUGE, 3350.0, 2449.7 + 900.3 * 0.4),
    ],
)
def test_the_row_above_a_foot_row(v: float, gauge: tuple[float, ...], up_to: float, extra: float | None) -> None:
    assert _row_above(v, 600.0, 250.0, RULES, gauge) == pytest.approx((up_to, extra))


def test_a_row_in_the_same_place_is_neither_above_nor_below() -> None:
    """Half a millimetre, however short a bay may be; and a bay that is over the most by crumbs is none."""
    assert _row_below(3350.3, 600.0, 0.0, RULES, GAUGE) == pytest.approx((2450.0, 3350.3 - 900.3 * 0.4))
    assert _row_below(3350.6, 600.0, 0.0, RULES, GAUGE) == (3350.6, None)
    assert _row_above(2449.7, 600.0, 0.0, RULES, GAUGE) == pytest.approx((3350.0, 2449.7 + 900.3 * 0.4))
    assert _row_above(2449.4, 600.0, 0.0, RULES, GAUGE) == (2449.4, None)
    assert _row_below(650.005, 600.0, 250.0, RULES, (50.0, 500.0)) == (50.0, None)
    assert _row_above(99.995, 600.0, 250.0, RULES, (50.0, 300.0, 700.0)) == (700.0, None)


def test_an_end_bay_shorter_than_what_is_worth_a_row() -> None:
    """An end bay of 200 is worth its row, though 250 is asked of longer ones."""
    assert _row_below(850.0, 200.0, 250.0, RULES, GAUGE[:2]) == (850.0, None)
    assert _row_below(840.0, 200.0, 250.0, RULES, (50.0, 650.0))[0] == 50.0
    assert _row_above(450.0, 200.0, 250.0, RULES, GAUGE) == (450.0, None)


def purlins(*heights: float, span: tuple[float, float] = WHOLE) -> list[Row]:
    return [Row(v, span, "purlin") for v in heights]


def laid(
    shape: RoofPlane, edges: tuple[EdgeOnPlane, ...], tops: dict[str, float], laps: tuple[float, ...] = (), **more: Any
) -> list[Row]:
    return list(rows_of(shape, edges, replace(RULES, **more), tops, laps))


def test_rows_of_a_plain_plane() -> None:
    first, ridge = Row(50.0, WHOLE, "eave", "E1"), Row(3850.0, WHOLE, "ridge", "R1")
    between = purlins(650.0, 1550.0, 2450.0, 3350.0)
    assert laid(plane(), (EAVE, RIDGE), {"R1": 150.0}) == [first, *between, ridge]
    assert laid(plane(), (EAVE, RIDGE), {}) == [first, *between]
    assert laid(plane(), (RIDGE,), {"R1": 150.0}) == [*purlins(50.0), *between, ridge]
    # 3350 is half above a ridge row at 3350: it is the ridge row
    assert laid(plane(), (EAVE, RIDGE), {"R1": 650.0}) == [
        first, *purlins(650.0, 1550.0, 2450.0), Row(2990.0, WHOLE, "purlin", "R1"), Row(3350.0, WHOLE, "ridge", "R1")
    ]  # fmt: skip
    # it is so too where the bay below it is as it may be, by a lap at 3000
    assert laid(plane(), (EAVE, RIDGE), {"R1": 650.0}, (3000.0,))[-2:] == [
        *purlins(3000.0), Row(3350.0, WHOLE, "ridge", "R1")
    ]  # fmt: skip
    # a top row nearer to the first than rows may lie, 250 up, is none
    low = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 400.0), (0.0, 400.0))
    top = on(EdgeKind.RIDGE, (0.0, 400.0), (6000.0, 400.0), (0.0, -1.0), "R1")
    assert laid(plane(low), (EAVE, top), {"R1": 150.0}) == [first]
    assert laid(plane(low), (EAVE, top), {"R1": 149.0}) == [first, Row(251.0, WHOLE, "ridge", "R1")]


def test_a_gauge_row_of_which_half_lies_over_an_edge_beside_it_is_left_out() -> None:
    """A timber of 70 at 3350 would lie on the plane below a lower top at 3320 or 3340 by its lower side."""
    for height in (3320.0, 3340.0):
        ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (3000.0, 4000.0), (3000.0, height), (0.0, height))
        head = on(EdgeKind.HEAD, (0.0, height), (3000.0, height), (0.0, -1.0), "T1")
        rows = [(row.v_mm, row.span) for row in laid(plane(ring), (EAVE, head), {"T1": 300.0})]
        assert ((3350.0, RIGHT) in rows) is True
        assert ((height - 300.0, LEFT) in rows) is True
        assert any(v == 3350.0 and span[0] < 2999.0 for v, span in rows) is False


def test_a_lower_top_has_its_rows_and_the_higher_one_its_own() -> None:
    shape, edges = plane(STEPPED_TOP), (EAVE, HALF_RIDGE, HEAD)
    first, ridge = Row(50.0, WHOLE, "eave", "E1"), Row(3850.0, LEFT, "ridge", "R1")
    above = purlins(2450.0, 3350.0, span=LEFT)
    # a row 100 below the head: 350 over the gauge row
    assert laid(shape, edges, {"R1": 150.0, "T1": 100.0}) == [
        first, *purlins(650.0, 1550.0), Row(1900.0, RIGHT, "head", "T1"), *above, ridge
    ]  # fmt: skip
    # 350 below it: 100 over the gauge row, which goes; 1000 are shared 600 to 400 from 650 up
    assert laid(shape, edges, {"R1": 150.0, "T1": 350.0}) == [
        first, *purlins(650.0), Row(1250.0, RIGHT, "purlin", "T1"), Row(1550.0, LEFT, "purlin"),
        Row(1650.0, RIGHT, "head", "T1"), *above, ridge,
    ]  # fmt: skip


def test_a_top_row_stays_beside_its_edge() -> None:
    shape = plane(STEPPED_TOP)
    assert _beside(shape, HEAD, 1900.0, RULES) == (RIGHT,)
    assert _beside(shape, HALF_RIDGE, 3850.0, RULES) == (LEFT,)
    # straight below the lower top the higher one has none; without it, as far as its own end, where the plane ends
    assert _beside(shape, HALF_RIDGE, 1700.0, RULES, (HEAD,)) == (LEFT,)
    assert _beside(shape, HALF_RIDGE, 1700.0, RULES) == (WHOLE,)
    # an edge that ends 6 mm before its plane goes on to it, one that ends 8 mm before it has a plane beside it
    for gap, most in ((6.0, 3000.0), (8.0, 2992.0)):
        short = on(EdgeKind.RIDGE, (0.0, 4000.0), (3000.0 - gap, 4000.0), (0.0, -1.0), "R1")
        assert _beside(shape, short, 3850.0, RULES) == ((0.0, most),)
        short = on(EdgeKind.RIDGE, (gap, 4000.0), (3000.0, 4000.0), (0.0, -1.0), "R1")
        assert _beside(shape, short, 3850.0, RULES) == ((8.0 if most < 3000.0 else 0.0, 3000.0),)
        foot = on(EdgeKind.EAVE, (gap, 0.0), (6000.0 - gap, 0.0), (0.0, 1.0), "E1")
        assert _beside(shape, foot, 50.0, RULES) == ((8.0, 5992.0) if most < 3000.0 else WHOLE,)


def test_rows_above_feet_that_the_gauge_does_not_serve() -> None:
    low = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 1000.0), (6000.0, 1000.0), (6000.0, 4000.0), (0.0, 4000.0))
    eave = on(EdgeKind.EAVE, (0.0, 0.0), (3000.0, 0.0), (0.0, 1.0), "E1")
    foot = on(EdgeKind.EAVE, (3000.0, 1000.0), (6000.0, 1000.0), (0.0, 1.0), "E2")
    assert laid(plane(low), (eave, foot), {}) == [
        Row(50.0, LEFT, "eave", "E1"), Row(650.0, LEFT, "purlin"), Row(1050.0, RIGHT, "eave", "E2"),
        *purlins(1550.0, 2450.0, 3350.0),
    ]  # fmt: skip
    # from 1300: 200 to the next row are useless, 1100 are shared 600 to 900
    low = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 1300.0), (6000.0, 1300.0), (6000.0, 4000.0), (0.0, 4000.0))
    foot = on(EdgeKind.EAVE, (3000.0, 1300.0), (6000.0, 1300.0), (0.0, 1.0), "E2")
    assert laid(plane(low), (eave, foot), {}) == [
        Row(50.0, LEFT, "eave", "E1"), Row(650.0, LEFT, "purlin"), Row(1350.0, RIGHT, "eave", "E2"),
        Row(1550.0, LEFT, "purlin"), Row(1790.0, RIGHT, "purlin", "E2"), *purlins(2450.0, 3350.0),
    ]  # fmt: skip


def test_a_gauge_row_of_which_half_lies_below_a_foot_is_left_out() -> None:
    """A higher foot on the right at 670: the row at 650 stays on the left; 830 to the next are shared 600 to 900."""
    low = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 670.0), (6000.0, 670.0), (6000.0, 4000.0), (0.0, 4000.0))
    eave = on(EdgeKind.EAVE, (0.0, 0.0), (3000.0, 0.0), (0.0, 1.0), "E1")
    foot = on(EdgeKind.EAVE, (3000.0, 670.0), (6000.0, 670.0), (0.0, 1.0), "E2")
    for edges in ((eave, foot), (foot, eave)):
        assert laid(plane(low), edges, {}) == [
            Row(50.0, LEFT, "eave", "E1"), Row(650.0, LEFT, "purlin"), Row(720.0, RIGHT, "eave", "E2"),
            Row(1052.0, RIGHT, "purlin", "E2"), *purlins(1550.0, 2450.0, 3350.0),
        ]  # fmt: skip


def test_a_change_of_pitch_is_the_foot_of_the_plane_above_it_and_the_top_of_the_one_below() -> None:
    foot = on(EdgeKind.PITCH_CHANGE, (0.0, 0.0), (6000.0, 0.0), (0.0, 1.0), "C1")
    top = on(EdgeKind.PITCH_CHANGE, (0.0, 4000.0), (6000.0, 4000.0), (0.0, -1.0), "C2")
    between = purlins(650.0, 1550.0, 2450.0, 3350.0)
    assert laid(plane(), (foot,), {"C1": 150.0}) == [Row(50.0, WHOLE, "eave", "C1"), *between]
    role = EdgeKind.PITCH_CHANGE.row.purlin_row
    assert laid(plane(), (EAVE, top), {"C2": 150.0}) == [
        Row(50.0, WHOLE, "eave", "E1"), *between, Row(3850.0, WHOLE, role, "C2")
    ]  # fmt: skip


def test_the_first_row_clear_of_an_internal_gutter() -> None:
    """100 of gutter on this side and 50 more; the gauge goes on from where it would."""
    gutter = on(EdgeKind.INTERNAL_GUTTER, (0.0, 0.0), (6000.0, 0.0), (0.0, 1.0), "G1")
    assert laid(plane(), (gutter,), {}) == [
        Row(150.0, WHOLE, "eave", "G1"), *purlins(650.0, 1550.0, 2450.0, 3350.0)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("lap", "end", "rows"),
    [
        (2000.0, False, (50.0, 650.0, 1550.0, 2000.0, 2450.0, 3350.0)),
        (1600.0, False, (50.0, 650.0, 1125.0, 1600.0, 2450.0, 3350.0)),  # 950 from 650 are over the gauge: halved
        (1700.0, True, (50.0, 650.0, 1280.0, 1700.0, 2000.0, 2450.0, 3350.0)),  # sheets end here: 600 to 900 both ways
        (1550.0, False, (50.0, 650.0, 1550.0, 2450.0, 3350.0)),
    ],
)
def test_the_row_under_an_end_lap(lap: float, end: bool, rows: tuple[float, ...]) -> None:
    found = laid(plane(), (EAVE,), {}, (lap,), lap_is_end=end)
    assert found == [Row(50.0, WHOLE, "eave", "E1"), *purlins(*rows[1:])]


def test_a_lap_over_the_top_row_needs_no_other() -> None:
    """Over half a timber's width of 70."""
    for lap, more in ((3816.0, []), (3884.0, []), (3885.0, [3885.0]), (3815.0, [3815.0])):
        found = [row.v_mm for row in laid(plane(), (EAVE, RIDGE), {"R1": 150.0}, (lap,))]
        assert [v for v in found if v in (3815.0, 3816.0, 3884.0, 3885.0)] == more


def test_rows_that_are_too_short_are_left_out() -> None:
    """A gable end of 6 m by 4 m: at v a timber reaches 3 x (4035 - v) / 2 to its long point: 1027.5 at 3350; 277.5 at the
    ridge row."""
    gable = ((0.0, 0.0), (6000.0, 0.0), (3000.0, 4000.0))
    point = on(EdgeKind.HIP, (0.0, 0.0), (3000.0, 4000.0), (0.8, -0.6), "H1")
    rows = laid(plane(gable), (EAVE, point), {}, least_mm=300.0)
    assert [row.v_mm for row in rows] == list(GAUGE)
    wide = rows[-1].span[1] - rows[-1].span[0]
    assert wide == pytest.approx(1.5 * (4035.0 - 3350.0), abs=0.1)
    for least, count in ((wide, 5), (wide + 0.01, 4)):
        assert len(laid(plane(gable), (EAVE,), {}, least_mm=least)) == count


def test_numbers_of_rows() -> None:
    """Half a millimetre is the same height, more is not."""
    rows = [Row(v, WHOLE, "purlin") for v in (50.4, 650.0, 50.0, 650.6, 651.0, 2000.0)]
    assert row_numbers(rows) == (1, 2, 1, 3, 3, 4)


def test_the_widest_bay_over_some_width() -> None:
    """1550 is laid on the left half only: on the right 1800 are open."""
    rows = [*purlins(50.0, 650.0, 2450.0), Row(1550.0, LEFT, "purlin")]
    assert [widest_bay_mm(plane(), rows, over) for over in (300.0, 3000.0, 3001.0, 6000.0, 9000.0, 9001.0)] == [
        1800.0, 1800.0, 900.0, 900.0, 900.0, 600.0
    ]  # fmt: skip
    assert widest_bay_mm(plane(), rows[:1], 300.0) == 0.0
    assert widest_bay_mm(plane(), rows, 1e9) == 0.0
    lines = [
        PurlinLine("PU1.01", "P1", "eave", 1, (0.0, 50.0), (2000.0, 50.0)),
        PurlinLine("PU1.01b", "P1", "eave", 1, (2500.0, 50.0), (6000.0, 50.0)),  # a hole between the two
        PurlinLine("PU1.02", "P1", "purlin", 2, (0.0, 650.0), (6000.0, 650.0)),
        PurlinLine("PU1.03", "P1", "ridge", 3, (0.0, 1400.0), (6000.0, 1400.0)),
        PurlinLine("HT1.01", "P1", "hip trimmer", 4, (0.0, 3000.0), (6000.0, 3000.0)),
        PurlinLine("PU2.09", "P2", "purlin", 9, (0.0, 3900.0), (6000.0, 3900.0)),
    ]
    settings: Any = SimpleNamespace(number={"purlin_least_row_mm": 300.0}.__getitem__)
    assert widest_bay_of(plane(), lines, settings) == 750.0
    assert widest_bay_of(plane(), lines[:3], settings) == 600.0
    # as far as its parts reach, whichever comes first
    assert widest_bay_of(plane(), [lines[1], lines[0], lines[2]], settings) == 600.0
    short = replace(lines[1], b_uv=(2600.0, 50.0))
    settings = SimpleNamespace(number={"purlin_least_row_mm": 2601.0}.__getitem__)
    assert widest_bay_of(plane(), [lines[0], short, lines[2]], settings) == 0.0
    # of 1000 to 2000 and 4000 to 5000 one row, 4000 wide, either part first
    parts = [replace(lines[0], a_uv=(a, 50.0), b_uv=(a + 1000.0, 50.0)) for a in (1000.0, 4000.0)]
    for order in (parts, parts[::-1]):
        for over, bay in ((4000.0, 600.0), (4001.0, 0.0)):
            settings = SimpleNamespace(number={"purlin_least_row_mm": over}.__getitem__)
            assert widest_bay_of(plane(), [*order, lines[2]], settings) == bay
