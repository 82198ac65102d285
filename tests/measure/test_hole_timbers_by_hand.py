"""What is cut at holes in a roof, and timbers beside its edges: by hand. Lengths in mm, timber 70 wide."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest
from planes_by_hand import EAVE, SQUARE, on, plane

from takeoff.measure.roofing.purlins.hole_framing import crosses, cut_rows, penetration_trimmers, row_findings
from takeoff.measure.roofing.purlins.purlin_rows import (
    Row,
)
from takeoff.measure.roofing.purlins.trimmers import (
    Trimmer,
    _lies_on,
    hip_trimmers,
    hole_trimmers,
    outriggers,
    valley_boards,
)
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.openings import Hole

# lower on the right: 2 m high from 3 to 6 m
WHOLE = (0.0, 6000.0)
LEFT, RIGHT = (0.0, 3000.0), (3000.0, 6000.0)


# a hole of 600 across and 400 up, about (2500, 2000); rafters at 300, 1200, 2100, 3000 and so on from the middle
HOLE = Hole("O1", "Flue", "main", "P1", "flue", (2500.0, 2000.0), 600.0, 400.0, 0.0, (1.0, 2.0, 3.0), "boot", True)


def test_which_rows_a_hole_crosses() -> None:
    """From 1765 to 2235 and from 2200 to 2800."""
    for v, span, hit in (
        (2000.0, WHOLE, True), (1765.0, WHOLE, False), (1765.1, WHOLE, True), (2234.9, WHOLE, True), (2235.0, WHOLE, False),
        (2000.0, (0.0, 2200.0), False), (2000.0, (0.0, 2200.1), True), (2000.0, (2800.0, 6000.0), False),
        (2000.0, (2799.9, 6000.0), True),
    ):  # fmt: skip
        assert crosses(Row(v, span, "purlin"), HOLE, 70.0) is hit


def test_trimmers_round_a_hole() -> None:
    assert penetration_trimmers(plane(), [replace(HOLE, trimmed=False), HOLE], 70.0, 900.0, "centre") == [
        Trimmer("hole trimmer", "O1", 1, ((2100.0, 1765.0), (3000.0, 1765.0))),
        Trimmer("hole trimmer", "O1", 2, ((2100.0, 2235.0), (3000.0, 2235.0))),
        Trimmer("hole trimmer", "O1", 3, ((2165.0, 1800.0), (2165.0, 2200.0))),
        Trimmer("hole trimmer", "O1", 4, ((2835.0, 1800.0), (2835.0, 2200.0))),
    ]


@pytest.mark.parametrize(
    ("centre", "setting_out", "low", "high"),
    [
        (400.0, "centre", 0.0, 1200.0),  # no rafter on its left: to the end of the plane
        (5700.0, "centre", 4800.0, 6000.0),
        (2470.0, "centre", 2100.0, 3000.0),  # 70 beside it, exactly on the rafter
        (2469.6, "centre", 2100.0, 3000.0),
        (2469.0, "centre", 1200.0, 3000.0),
        (2630.4, "centre", 2100.0, 3000.0),  # and so on its right
        (2631.0, "centre", 2100.0, 3900.0),
        (2500.0, "left", 1800.0, 3600.0),
        (2500.0, "right", 1500.0, 3300.0),
        (9000.0, "centre", 8630.0, 9370.0),  # beside the plane: as long as it must be
    ],
)
def test_how_far_a_trimmer_reaches(centre: float, setting_out: str, low: float, high: float) -> None:
    hole = replace(HOLE, centre_uv=(centre, 2000.0))
    below, *_ = penetration_trimmers(plane(), [hole], 70.0, 900.0, setting_out)
    assert [*below.line[0], *below.line[1]] == pytest.approx([low, 1765.0, high, 1765.0])


def test_rows_stop_at_the_trimmers() -> None:
    trimmers = penetration_trimmers(plane(), [HOLE], 70.0, 900.0, "centre")

    def parts(row: Row, hole: Hole = HOLE, least: float = 300.0) -> list[tuple[float, float]]:
        return [one.span for one in cut_rows([row], [hole], trimmers, 70.0, least)]

    assert parts(Row(2000.0, WHOLE, "purlin")) == [(0.0, 2130.0), (2870.0, 6000.0)]
    # on a level trimmer it takes its place from rafter to rafter, nearer than the width of a timber
    assert (
        parts(Row(1700.0, WHOLE, "purlin")) == parts(Row(2300.0, WHOLE, "purlin")) == [(0.0, 2100.0), (3000.0, 6000.0)]
    )
    assert parts(Row(1695.0, WHOLE, "purlin")) == parts(Row(2305.0, WHOLE, "purlin")) == [WHOLE]
    # a stub of 130 is left out, one of 300 is not; a row without a hole stays however short
    assert parts(Row(2000.0, (2000.0, 6000.0), "purlin")) == [(2870.0, 6000.0)]
    assert parts(Row(2000.0, (1830.0, 6000.0), "purlin")) == [(1830.0, 2130.0), (2870.0, 6000.0)]
    assert parts(Row(2000.0, (1831.0, 6000.0), "purlin")) == [(2870.0, 6000.0)]
    assert parts(Row(900.0, (0.0, 20.0), "purlin")) == [(0.0, 20.0)]
    # a hole without trimmers of its own cuts nothing
    assert [
        one.span for one in cut_rows([Row(2000.0, WHOLE, "purlin")], [replace(HOLE, trimmed=False)], (), 70.0, 300.0)
    ] == [WHOLE]


def test_a_row_through_a_small_hole_is_told() -> None:
    small = replace(HOLE, trimmed=False)
    rows = [Row(650.0, WHOLE, "purlin"), Row(1999.6, WHOLE, "purlin"), Row(2100.0, WHOLE, "purlin")]
    assert row_findings(plane(), rows, [HOLE, small], 70.0) == [
        Finding(
            "hole-on-purlin", Severity.WARN, "Flue comes up through the purlin row 2000 mm up P1.",
            "Move it between two rows, or move the row there.", ("P1", "O1"), (1.0, 2.0, 3.0),
        )
    ]  # fmt: skip
    assert row_findings(plane(), rows[:1], [small], 70.0) == []


def test_timbers_beside_hips_and_valleys() -> None:
    """Along the left side, 4 m up: a hip's 100 off it, a valley's boards of 150 at 75 and 225, ends where the plane ends."""
    for kind, found in (
        (EdgeKind.HIP, [Trimmer("hip trimmer", "X1", 1, ((100.0, 0.0), (100.0, 4000.0)))]),
        (EdgeKind.VALLEY, []),
    ):
        assert hip_trimmers(plane(), [on(kind, (0.0, 0.0), (0.0, 4000.0), (1.0, 0.0))], 100.0, 70.0) == found
    valley = on(EdgeKind.VALLEY, (0.0, 0.0), (0.0, 4000.0), (1.0, 0.0))
    assert valley_boards(plane(), [valley, EAVE], 2, 150.0) == [
        Trimmer("valley board", "X1", 1, ((75.0, 0.0), (75.0, 4000.0))),
        Trimmer("valley board", "X1", 2, ((225.0, 0.0), (225.0, 4000.0))),
    ]


def test_trimmers_along_the_sides_of_a_hole_in_a_plane() -> None:
    """500 by 400 with an apron on its lower side: three are left, two of 400 and one of 500; none of 400 or less."""
    hole = ((1000.0, 1000.0), (1500.0, 1000.0), (1500.0, 1400.0), (1000.0, 1400.0))
    apron = on(EdgeKind.APRON_HEAD, (900.0, 1000.0), (1600.0, 1000.0), (0.0, -1.0))
    kerb = on(EdgeKind.VERGE, (1500.0, 1000.0), (1500.0, 1400.0), (1.0, 0.0))
    shape = plane(SQUARE, hole)
    sides = [
        ((1500.0, 1000.0), (1500.0, 1400.0)),
        ((1500.0, 1400.0), (1000.0, 1400.0)),
        ((1000.0, 1400.0), (1000.0, 1000.0)),
    ]
    assert hole_trimmers(shape, [apron, kerb], 300.0) == [
        Trimmer("hole trimmer", "hole 1", number, side) for number, side in enumerate(sides, start=1)
    ]
    assert hole_trimmers(shape, [apron], 400.0) == [Trimmer("hole trimmer", "hole 1", 1, sides[1])]
    # an edge half a millimetre off carries nothing
    beside = on(EdgeKind.APRON_HEAD, (900.0, 1000.5), (1600.0, 1000.5), (0.0, -1.0))
    assert len(hole_trimmers(shape, [beside], 300.0)) == 4
    assert len(hole_trimmers(shape, [replace(beside, a=(900.0, 1000.4), b=(1600.0, 1000.4))], 300.0)) == 3
    # one that meets it at one end only carries nothing
    slanting = on(EdgeKind.HIP, (1000.0, 1000.0), (1600.0, 1100.0), (0.0, -1.0))
    assert len(hole_trimmers(shape, [slanting], 300.0)) == 4


def test_timbers_that_carry_an_overhang() -> None:
    """600 out and twice that back, 1800; from 50 up to 150 below the top, 3800: five bays of 760, at most 900."""
    right = on(EdgeKind.VERGE, (6000.0, 4000.0), (6000.0, 0.0), (-1.0, 0.0), "B1")
    heights = [50.0 + 760.0 * k for k in range(6)]
    assert outriggers(plane(), right, 600.0, 2.0, 900.0, (50.0, 150.0)) == [
        Trimmer("outrigger", "B1", number, ((4200.0, v), (6000.0, v))) for number, v in enumerate(heights, start=1)
    ]
    left = on(EdgeKind.VERGE, (0.0, 0.0), (0.0, 4000.0), (1.0, 0.0), "B2")
    assert outriggers(plane(), left, 600.0, 2.0, 1900.0, (100.0, 100.0)) == [
        Trimmer("outrigger", "B2", number, ((0.0, v), (1800.0, v)))
        for number, v in enumerate((100.0, 2000.0, 3900.0), 1)
    ]
    assert len(outriggers(plane(), left, 600.0, 2.0, 1900.005, (100.0, 99.995))) == 3
    assert len(outriggers(plane(), left, 600.0, 2.0, 9000.0, (100.0, 100.0))) == 2
    assert outriggers(plane(), left, 0.0, 2.0, 900.0, (50.0, 150.0)) == []
    assert outriggers(plane(), left, 600.0, 2.0, 900.0, (50.0, 3950.0)) == []
    # none where the wall would stand beside the plane
    assert outriggers(plane(), left, 6100.0, 2.0, 1900.0, (100.0, 100.0)) == []


def test_timbers_of_a_slanting_verge() -> None:
    """From (6000, 0) to (5000, 4000): a quarter of the way up, 250 further in."""
    ring = ((0.0, 0.0), (6000.0, 0.0), (5000.0, 4000.0), (0.0, 4000.0))
    away = 1.0 / hypot(4000.0, 1000.0)
    verge = on(EdgeKind.VERGE, (5000.0, 4000.0), (6000.0, 0.0), (-4000.0 * away, -1000.0 * away), "B1")
    assert [one.line for one in outriggers(plane(ring), verge, 500.0, 1.0, 1000.0, (500.0, 500.0))] == [
        ((6000.0 - v / 4.0 - 1000.0, v), (6000.0 - v / 4.0, v)) for v in (500.0, 1500.0, 2500.0, 3500.0)
    ]


def test_a_slanting_edge_that_a_side_of_a_hole_lies_on() -> None:
    """3 along and 4 up, from (1000, 500): its points are (1600, 1300) and (2200, 2100). What is off by 0.4 square to it lies
    on it, by 0.6 does not, at either end and on either side."""
    edge = on(EdgeKind.HIP, (1000.0, 500.0), (2500.0, 2500.0), (0.8, -0.6))
    low, high = (1600.0, 1300.0), (2200.0, 2100.0)

    def off(point: tuple[float, float], square: float) -> tuple[float, float]:
        return point[0] + 0.8 * square, point[1] - 0.6 * square

    found = {
        (a, b): _lies_on(off(low, a), off(high, b), edge)
        for a, b in (
            (0.0, 0.0),
            (0.4, -0.4),
            (-0.4, 0.4),
            (0.6, 0.0),
            (0.0, 0.6),
            (-0.6, 0.0),
            (0.0, -0.6),
            (0.6, -0.6),
        )
    }
    assert [pair for pair, lies in found.items() if lies] == [(0.0, 0.0), (0.4, -0.4), (-0.4, 0.4)]
    assert not _lies_on((1600.0, 500.0), (1000.0, 1300.0), edge)


def test_timbers_of_a_verge_that_begins_further_up() -> None:
    """From (5600, 1000) to (5000, 3400), slanting: 100 from its foot, 300 from its head: 2000 between in two bays. A quarter
    of what it rises it runs back; 400 out and half of that again past the wall."""
    ring = ((0.0, 1000.0), (5600.0, 1000.0), (5000.0, 3400.0), (0.0, 3400.0))
    verge = on(EdgeKind.VERGE, (5000.0, 3400.0), (5600.0, 1000.0), (-0.97, -0.24), "B1")
    found = outriggers(plane(ring), verge, 400.0, 0.5, 1000.0, (100.0, 300.0))
    assert found == [
        Trimmer("outrigger", "B1", number, ((5600.0 - (v - 1000.0) / 4.0 - 600.0, v), (5600.0 - (v - 1000.0) / 4.0, v)))
        for number, v in enumerate((1100.0, 2100.0, 3100.0), start=1)
    ]
    assert len(outriggers(plane(ring), verge, 400.0, 0.5, 999.0, (100.0, 300.0))) == 4
    # 1000 from foot and 1400 from head meet: there is no room for any
    assert outriggers(plane(ring), verge, 400.0, 0.5, 1000.0, (1000.0, 1400.0)) == []
    assert len(outriggers(plane(ring), verge, 400.0, 0.5, 1000.0, (1000.0, 1399.0))) == 2


def test_timbers_of_hips_and_valleys_are_numbered_each() -> None:
    """Hips in the order given, each from 1; two boards each in two valleys; other edges have none."""
    left = on(EdgeKind.HIP, (0.0, 0.0), (0.0, 4000.0), (1.0, 0.0), "H1")
    right = on(EdgeKind.HIP, (6000.0, 0.0), (6000.0, 4000.0), (-1.0, 0.0), "H2")
    valley = on(EdgeKind.VALLEY, (6000.0, 0.0), (6000.0, 4000.0), (-1.0, 0.0), "V2")
    assert hip_trimmers(plane(), [EAVE, right, valley, left], 100.0, 70.0) == [
        Trimmer("hip trimmer", "H2", 1, ((5900.0, 0.0), (5900.0, 4000.0))),
        Trimmer("hip trimmer", "H1", 1, ((100.0, 0.0), (100.0, 4000.0))),
    ]
    # a courtyard over the middle of the line parts it
    court = ((50.0, 1500.0), (900.0, 1500.0), (900.0, 2000.0), (50.0, 2000.0))
    parted = hip_trimmers(plane(SQUARE, court), [left], 100.0, 70.0)
    assert [one.number for one in parted] == [1, 2]
    assert [one.edge for one in valley_boards(plane(), [valley, left], 3, 150.0)] == ["V2"] * 3
    assert valley_boards(plane(), [valley], 0, 150.0) == []
