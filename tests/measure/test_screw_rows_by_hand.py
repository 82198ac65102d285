"""Screws where sheets cross rows of purlins: by hand on a plain plane. Lengths in mm."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from sheets_by_hand import WAVY, line, piece, sheets

from takeoff.measure.roofing.fixings.screw_rows import (
    Crossing,
    _lap_zones,
    _screwed_to,
    screw_crossings,
    widths_over,
)
from takeoff.model.measured import RoofScrews

SCREWS = RoofScrews(4, 3, "", ())


def width_over(rings: Any, own: Any) -> float:
    """The width of one shape over one line."""
    return float(widths_over([rings], [own])[0, 0])


def test_screws_where_sheets_cross_rows() -> None:
    """Full width: four at ends, three between; half of it half of those, rounded up; under half a rib none."""
    rows = [
        line("PU1.01", "eave", 1, (0.0, 50.0), (6000.0, 50.0)),
        line("PU1.02", "purlin", 2, (0.0, 900.0), (6000.0, 900.0)),
        line("PU1.03", "purlin", 3, (400.0, 1800.0), (6000.0, 1800.0)),
        line("PU1.04", "purlin", 4, (699.0, 2000.0), (6000.0, 2000.0)),
        line("PU1.05", "purlin", 5, (700.0, 2100.0), (6000.0, 2100.0)),
        line("OR1.01", "outrigger", 1, (0.0, 500.0), (800.0, 500.0)),
        line("TR1.01", "hole trimmer", 1, (0.0, 600.0), (800.0, 600.0)),
        line("PU2.01", "eave", 1, (0.0, 50.0), (6000.0, 50.0), "P2"),
        line("VB1.01", "valley board", 1, (0.0, 0.0), (800.0, 800.0)),
        line("VB1.02", "valley board", 2, (200.0, 0.0), (800.0, 600.0)),
        line("PU1.06", "purlin", 6, (0.0, 5000.0), (6000.0, 5000.0)),
    ]
    assert screw_crossings(sheets(piece("P1.01", 0.0, 0.0, 4000.0)), rows, WAVY, SCREWS) == (
        Crossing("P1.01", "PU1.01", "eave", 1, 800.0, True, 4),
        Crossing("P1.01", "PU1.02", "purlin", 2, 800.0, False, 3),
        Crossing("P1.01", "PU1.03", "purlin", 3, 400.0, False, 2),
        Crossing("P1.01", "PU1.04", "purlin", 4, 101.0, False, 1),
        Crossing("P1.01", "VB1.02", "valley board", 2, pytest.approx(600.0), True, 3),
    )
    few: Any = SimpleNamespace(rib_pitch_mm=200.0, cover_mm=800.0, crests=2)
    assert [one.screws for one in screw_crossings(sheets(piece("P1.01", 0.0, 0.0, 4000.0)), rows[:3], few, SCREWS)] == [
        2,
        2,
        1,
    ]
    assert [one.row for one in _screwed_to(rows) if one.role == "valley board"] == [2]


def test_screws_through_an_end_lap() -> None:
    """The lap from 2000 to 2150: its row is an end only where laps are ends."""
    lower = piece("P1.01a", 0.0, 0.0, 2000.0, lap_mm=150.0)
    upper = piece("P1.01b", 0.0, 2000.0, 4000.0, part=1)
    other = piece("P1.02b", 800.0, 2000.0, 4000.0, strip=2, part=1)
    assert _lap_zones([lower, upper, other]) == {(1, 0): [(2000.0, 2150.0)]}
    rows = [
        line("PU1.03", "purlin", 3, (0.0, 2075.0), (800.0, 2075.0)),
        line("PU1.04", "purlin", 4, (0.0, 2150.0), (800.0, 2150.0)),
    ]
    plain = screw_crossings(sheets(lower, upper), rows, WAVY, SCREWS)
    assert [(one.mark, one.is_end, one.screws) for one in plain] == [("P1.01b", False, 3), ("P1.01b", False, 3)]
    ends = screw_crossings(sheets(lower, upper), rows, WAVY, SCREWS, lap_is_end=True)
    assert [(one.line, one.is_end, one.screws) for one in ends] == [("PU1.03", True, 4), ("PU1.04", False, 3)]


def test_widths_over_a_line() -> None:
    """A sheet of 800 by 4000: a line of 45 degrees over 300 of it, a level one from 500 to beyond it."""
    rings = piece("P1.01", 0.0, 0.0, 4000.0).cover_uv
    assert width_over(rings, line("HT1.01", "hip trimmer", 1, (500.0, 100.0), (900.0, 500.0))) == pytest.approx(300.0)
    assert width_over(rings, line("HT1.01", "hip trimmer", 1, (900.0, 500.0), (500.0, 100.0))) == pytest.approx(300.0)
    assert width_over(rings, line("HT1.01", "hip trimmer", 1, (100.0, 100.0), (400.0, 500.0))) == pytest.approx(300.0)
    for a, b, wide in ((500.0, 6000.0, 300.0), (-50.0, 100.0, 100.0), (200.0, 300.0, 100.0), (900.0, 1000.0, 0.0)):
        assert width_over(rings, line("PU1.01", "purlin", 1, (a, 50.0), (b, 50.0))) == pytest.approx(wide)


def test_screws_of_a_part_of_a_width() -> None:
    """A third of 800 and a crumb takes one of three; what is wider than a cover takes no more than all; where a pattern has
    none a sheet has one all the same."""
    third = 800.0 / 3.0 + 1e-5
    rows = [
        line("PU1.01", "purlin", 1, (0.0, 900.0), (third, 900.0)),
        line("PU1.02", "purlin", 2, (0.0, 1800.0), (third + 1.0, 1800.0)),
        line("PU1.03", "purlin", 3, (0.0, 2700.0), (9000.0, 2700.0)),
    ]
    wide = piece("P1.01", 0.0, 0.0, 4000.0)
    cover = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 4000.0), (0.0, 4000.0))
    wider = sheets(piece("P1.01", 0.0, 0.0, 4000.0, cover_uv=(cover,)))
    assert [one.screws for one in screw_crossings(sheets(wide), rows, WAVY, SCREWS)] == [1, 2, 3]
    assert [one.screws for one in screw_crossings(wider, rows, WAVY, SCREWS)] == [1, 2, 3]
    assert [one.screws for one in screw_crossings(wider, rows, WAVY, RoofScrews(0, 0, "", ()))] == [1, 1, 1]


def test_widths_of_many_over_many() -> None:
    """Two sheets of 800 side by side and a triangle: over two level lines, the second drawn from its right, and one up the
    slope at 45 degrees from the first into the second; sheets that cover nothing."""
    covers: Any = [piece("P1.01", 0.0, 0.0, 4000.0).cover_uv, piece("P1.02", 800.0, 0.0, 4000.0).cover_uv, (TRIANGLE,)]
    lines = [
        line("PU1.01", "purlin", 1, (200.0, 1050.0), (1000.0, 1050.0)),
        line("HT1.01", "hip trimmer", 1, (500.0, 100.0), (1100.0, 700.0)),
        line("PU1.02", "purlin", 2, (1700.0, 3050.0), (900.0, 3050.0)),
    ]
    assert widths_over(covers, lines).tolist() == [
        [600.0, 200.0, 500.0],
        [pytest.approx(300.0), pytest.approx(300.0), pytest.approx(325.0)],
        [0.0, 700.0, 0.0],
    ]
    assert widths_over([(), *covers[1:]], lines[:1]).tolist() == [[0.0, 200.0, 500.0]]
    assert widths_over([()], lines[:1]).tolist() == [[0.0]]


# a triangle 800 wide at its foot, 50 up; a ring with a notch; a kite about its middle
TRIANGLE = ((100.0, 50.0), (900.0, 50.0), (100.0, 4050.0))
NOTCHED = ((0.0, 0.0), (800.0, 0.0), (800.0, 900.0), (500.0, 600.0), (300.0, 1000.0), (0.0, 800.0))
KITE = ((400.0, -200.0), (900.0, 300.0), (400.0, 1300.0), (-100.0, 300.0))


@pytest.mark.parametrize(
    ("ring", "v", "start", "end", "width"),
    [
        (TRIANGLE, 1050.0, 0.0, 900.0, 600.0),  # a quarter of the way up
        (TRIANGLE, 1050.0, 200.0, 600.0, 400.0),
        (TRIANGLE, 1050.0, 600.0, 900.0, 100.0),
        (TRIANGLE, 3050.0, 0.0, 900.0, 200.0),
        (TRIANGLE, 50.0, 0.0, 9000.0, 800.0),  # its foot is in, its point is not
        (TRIANGLE, 4050.0, 0.0, 9000.0, 0.0),
        (TRIANGLE, 49.0, 0.0, 9000.0, 0.0),
        (NOTCHED, 500.0, -10.0, 900.0, 800.0),
        (NOTCHED, 750.0, -10.0, 900.0, 425.0 + 150.0),  # 300 up to 425 and 650 to 800, the left side up to 800
        (NOTCHED, 750.0, 400.0, 700.0, 25.0 + 50.0),
        (NOTCHED, 850.0, -10.0, 900.0, 300.0 + 50.0),  # from 75 to 375 and from 750
        (NOTCHED, 850.0, 600.0, 900.0, 50.0),
        (KITE, 300.0, -500.0, 1500.0, 1000.0),  # through two corners
        (KITE, 800.0, -500.0, 1500.0, 500.0),
        (KITE, 50.0, 200.0, 1500.0, 450.0),  # from 150 to 650
    ],
)
def test_the_width_of_a_shape_over_a_level_line(ring: Any, v: float, start: float, end: float, width: float) -> None:
    """Whichever corner the ring begins at, whichever way round; from either end where the line meets no corner."""
    clear = v not in {up for _, up in ring}
    for a, b in ((start, end), (end, start)) if clear else ((start, end),):
        own = line("PU1.01", "purlin", 1, (a, v), (b, v))
        for at in range(len(ring)):
            turned = (*ring[at:], *ring[:at])
            assert width_over((turned,), own) == pytest.approx(width)
            assert width_over((turned[::-1],), own) == pytest.approx(width)


def test_the_width_beside_a_hole() -> None:
    """800 less 150."""
    rings = (
        ((0.0, 0.0), (800.0, 0.0), (800.0, 900.0), (0.0, 900.0)),
        ((300.0, 400.0), (300.0, 500.0), (450.0, 500.0), (450.0, 400.0)),
    )
    for v, width in ((300.0, 800.0), (450.0, 650.0), (600.0, 800.0)):
        for a, b in ((0.0, 900.0), (900.0, 0.0)):
            own = line("PU1.01", "purlin", 1, (a, v), (b, v))
            assert width_over(rings, own) == pytest.approx(width)
