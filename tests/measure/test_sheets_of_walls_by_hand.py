"""Sheets of walls: set out, crossings, screws, what is said of laps, damp course under plates; by hand. Corrugate covers 762
of 845 (the sample profile), ribs 76.2 apart."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from takeoff.measure.cladding.damp_course import damp_course
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.wall_set_out import WallSetOut, wall_set_out
from takeoff.measure.cladding.wall_sheets import _lap_findings, _lines, screw_lines, sheet_crossings
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.measure.sheeting.end_laps import LapLines
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets
from takeoff.model.walls import Corner, Elevation, Opening
from takeoff.shape.strips.strips import Widths

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP = -50.0, 2350.0
OUT, NONE = Corner("external", 90.0), Corner("none", 180.0)
BOTH = WallEnds(OUT, OUT)
WIDTHS = Widths(762.0, 845.0, True)


def wall(width: float, left: float = 0.0) -> Face:
    right = left + width
    return Face(1, left, right, FOOT, TOP, ((left, TOP), (right, TOP)), ())


def out(face: Face, catalogue: Catalogue, settings: Settings, ends: WallEnds = BOTH, side: str = "left") -> WallSetOut:
    return wall_set_out(face, ends, catalogue.profiles["corrugated"], WIDTHS, side, settings)


def test_a_sheet_fewer_where_flashings_hide_the_rest(catalogue: Catalogue, settings: Settings) -> None:
    """Three sheets reach 3 x 762 + 83 = 2369: 31 of 2400 lie under two flashings that hide 20 each, 15.5 at either end;
    with one that hides 20 and one none they do not. Of 2389 20 lie under one."""
    own = with_values(settings, wall_sheet_short_mm=20)
    why = "; a sheet fewer: 31 mm at the ends of the wall lie under its flashings"
    assert out(wall(2400.0, 100.0), catalogue, own) == WallSetOut(115.5, 2484.5, "left", 115.5, (15.5, 15.5), why)
    assert out(wall(2400.0, 100.0), catalogue, own, side="right").start == 2484.5
    one = WallEnds(NONE, OUT)
    assert out(wall(2400.0), catalogue, own, one).short == (0.0, 0.0)
    short = out(wall(2388.0), catalogue, own, one)
    assert (short.left, short.right, short.short) == (0.0, 2369.0, (0.0, 19.0))
    short = out(wall(2388.0), catalogue, own, WallEnds(OUT, NONE))
    assert (short.left, short.right, short.short) == (19.0, 2388.0, (19.0, 0.0))
    # a line to another zone at an end is flashed as a corner is
    joined = replace(wall(2388.0), joins=(((2388.0, 0.0), (2388.0, TOP)),))
    assert out(joined, catalogue, own, WallEnds(NONE, NONE)).short == (0.0, 19.0)
    for x in (2387.5, 2388.5):
        assert out(replace(joined, joins=(((x, 0.0), (x, TOP)),)), catalogue, own, WallEnds(NONE, NONE)).short == (
            0.0,
            0.0,
        )
    for line in (
        ((2388.0, 0.0), (1000.0, TOP)), ((1000.0, 0.0), (2388.0, TOP)), ((2388.0, 0.0), (2388.5, TOP)),
        ((2388.5, 0.0), (2388.0, TOP)), ((2388.0, 0.0), (2388.0, 500.0), (1000.0, TOP)),
    ):  # fmt: skip
        assert out(replace(joined, joins=(line,)), catalogue, own, WallEnds(NONE, NONE)).short == (0.0, 0.0)
    bent = replace(joined, joins=(((2388.0, 0.0), (1000.0, 500.0), (2388.0, TOP)),))
    assert out(bent, catalogue, own, WallEnds(NONE, NONE)).short == (0.0, 19.0)
    # where the last sheet covers no more than the others, three reach 2286
    narrow = Widths(762.0, 845.0, False)
    by_cover = wall_set_out(wall(2300.0), BOTH, catalogue.profiles["corrugated"], narrow, "left", own)
    assert (by_cover.left, by_cover.right, by_cover.short) == (7.0, 2293.0, (7.0, 7.0))


def test_sheets_that_reach_from_end_to_end(catalogue: Catalogue, settings: Settings) -> None:
    face = wall(2369.0, 100.0)
    assert out(face, catalogue, settings) == WallSetOut(100.0, 2469.0, "left", 100.0)
    assert out(face, catalogue, settings, side="right") == WallSetOut(100.0, 2469.0, "right", 2469.0)


def test_lines_between_sheets(catalogue: Catalogue, settings: Settings) -> None:
    left = WallSetOut(100.0, 2469.0, "left", 100.0)
    assert _lines(left, WIDTHS, 3) == (862.0, 1624.0)
    assert _lines(replace(left, side="right", start=2469.0), WIDTHS, 3) == (945.0, 1707.0)
    assert _lines(left, WIDTHS, 1) == ()


def sheets(*pieces: tuple[float, float, float]) -> PlaneSheets:
    """Pieces: foot, reach, lap under the sheet above."""
    made = tuple(SimpleNamespace(foot_v_mm=foot, reach_mm=reach, lap_mm=lap) for foot, reach, lap in pieces)
    return cast(PlaneSheets, SimpleNamespace(pieces=made))


def test_crossings_of_sheets_and_battens() -> None:
    """Half a millimetre off an end is on it; in a lap the sheet above alone is counted."""
    rows = (0.0, 480.0, 960.0)
    for foot, reach, count in ((0.5, 959.0, 3), (0.6, 959.0, 2), (0.0, 959.5, 3), (0.0, 959.4, 2), (100.0, 300.0, 0)):
        assert sheet_crossings(sheets((foot, reach, 0.0)), rows) == count
    assert sheet_crossings(sheets((0.0, 1060.0, 200.0), (860.0, 500.0, 0.0)), rows) == 3
    assert sheet_crossings(sheets((0.0, 1060.0, 100.0), (960.0, 500.0, 0.0)), rows) == 3
    assert sheet_crossings(sheets((0.0, 1060.7, 100.0), (960.7, 500.0, 0.0)), rows) == 3


def test_screws_of_wall_sheets(settings: Settings) -> None:
    """20 crossings of five and 5 % are 105, not a crumb more; of 21 110.25."""
    own = with_values(settings, wall_sheet_screws=5, nail_spare_pct=5, wall_sheet_screw_mm=65)
    names = ("wall_sheet_screws", "wall_sheet_screw_mm", "nail_spare_pct")
    rule = "screws = crossings of sheets and battens x screws a crossing x (1 + spare)"
    working = Working(rule, (Term("crossings", 20, "each"), *(own.term(name) for name in names)))
    made = Made("wall_sheet_screw 65", "wall_sheet_screw", (Mark(MarkKind.LENGTH, 65.0),))
    wanted = Quantity("cladding.wall_sheet_screw", "wall_sheet_screw 65", 105, "each", (), working)
    assert screw_lines(20, own) == ((wanted,), (made,))
    assert screw_lines(21, own)[0][0].figure == 111
    assert screw_lines(0, own) == ((), ())
    # 10 x 5 x 1.1 are 55 and a crumb of floating point
    assert screw_lines(10, with_values(own, nail_spare_pct=10))[0][0].figure == 55


def test_what_is_said_of_laps() -> None:
    lapped = LapLines((1500.4, 3000.0), 150.0, ())
    assert _lap_findings(wall(2400.0), lapped, 2000.0) == (
        Finding(
            "wall-sheets-lapped", Severity.NOTE,
            "wall 1: sheets longer than 2000 mm are lapped 150 mm; upper sheets start 1500, 3000 mm over the floor.",
            "Put a batten or nog under each lap and screw through it, upper sheet over lower.", refs=("wall 1",),
        ),
    )  # fmt: skip
    assert _lap_findings(wall(2400.0), replace(lapped, possible=False), 200.0) == (
        Finding(
            "longest-wall-sheet-too-short", Severity.STOP, "wall 1: sheets of 200 mm are too short to be lapped 150 mm.",
            "Let longer pieces come: `site: {longest_piece_mm: 12000}`.", refs=("wall 1",),
        ),
    )  # fmt: skip
    assert _lap_findings(wall(2400.0), None, 200.0) == ()


@pytest.mark.parametrize(("sill", "plate"), [(-50.0, 5.1), (0.0, 5.1), (0.5, 5.1), (0.6, 6.0)])
def test_damp_course_under_a_plate_with_a_door(sill: float, plate: float, settings: Settings) -> None:
    """A wall of 6 m by itself with a door of 900 down to its floor, half a millimetre over it too: one corner's lap."""
    own = with_values(settings, damp_course_lap_mm=100, damp_course_roll_m=30)
    door = Opening("D1", 1000.0, sill, 900.0, 2000.0)
    given = Elevation(
        "w", 1, 6000.0, TOP, (), FOOT, (door,), OUT, OUT, (0.0, 0.0), False, 0.0, (0.0, 0.0), (6000.0, 0.0)
    )
    (found,) = damp_course((given,), [1], own)
    assert found.figure == pytest.approx(plate + 0.1)


def test_damp_course_under_short_plates_and_of_short_rolls(settings: Settings) -> None:
    """900 under a plate and one corner's lap of 100: 1.0 m of a roll of 30; of rolls of 1 m under 6 m, 6.1 with its corner,
    six more, each lapped; told to a thousandth."""

    def course(width: float, roll: float) -> Quantity:
        given = Elevation("w", 1, width, TOP, (), FOOT, (), OUT, OUT, (0.0, 0.0), False, 0.0, (0.0, 0.0), (width, 0.0))
        own = with_values(settings, damp_course_lap_mm=100, damp_course_roll_m=roll)
        (found,) = damp_course((given,), [1], own)
        return found

    assert course(900.0, 30.0).figure == pytest.approx(1.0)
    assert course(6000.0, 1.0).figure == pytest.approx(6.1 + 6 * 0.1)
    assert [term.value for term in course(6000.1234, 30.0).working.terms[:3]] == [6.0, 1, 0]
