"""Laps of clear sheets: whole records, by hand. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_up_clear_sheets import LAP, RIPPED, box, cut, laying, slabs
from sheets_by_hand import piece

from takeoff.basics.vectors import Point2
from takeoff.measure.roofing.sheets import clear_laps, rooflights
from takeoff.model.basis import Term, Working
from takeoff.model.sheets import SheetPiece


def test_a_reach_is_told_to_a_thousandth() -> None:
    sheet = box(100.0, 1000.0, 950.0, 2203.00044)
    found = rooflights._part(RIPPED, slabs(sheet), slabs(sheet), 0.0, laying())
    assert found.working.terms[0] == Term("reach", 1203.0, "mm", ref="P1.01")
    longer, _ = clear_laps._longer(replace(RIPPED, outline_uv=box(100.0, 1000.0, 950.0, 3203.00044)), HIGH, laying())
    assert longer.working.terms[1] == Term("reach", 2303.0, "mm", ref="P1.01")


# a metal sheet from 1000 to 3203 under one that begins 150 below its head
LOW = replace(
    RIPPED,
    working=Working("as laid", (Term("reach", 1.0, "mm"), Term("pitch", 20.0, "deg"), Term("bought alone", 1.0, "mm"))),
    foot=replace(RIPPED.foot, edges=("E1",)),
    notched=True,
    foot_turn_mm=20.0,
    # its corners may be counted from any of them
    outline_uv=((950.0, 1000.0), (950.0, 3203.0), (100.0, 3203.0), (100.0, 1000.0)),
    corners_mm=((890.0, 0.0), (890.0, 2203.0), (40.0, 2203.0), (40.0, 0.0)),
)
HIGH = piece("P1.01b", 100.0, 3053.0, 6000.0, strip=4, part=1, clear=True)


def test_the_lower_sheet_of_a_lap_goes_further_up() -> None:
    """100 more: 2303 and 20 turned down are 2323, bought as 2325. It keeps the edges that its ends follow."""
    found, problem = clear_laps._longer(LOW, HIGH, laying(2325.0))
    terms = (
        Term("pitch", 20.0, "deg"),
        *(LAP, Term("reach", 2303.0, "mm", ref="P1.01"), Term("bought alone", 2325.0, "mm", ref="P1.01")),
    )
    assert problem == ""
    assert found == replace(
        LOW, reach_mm=2303.0, order_mm=2325.0, left_mm=2303.0, right_mm=2303.0, foot_v_mm=1000.0, lap_mm=250.0,
        working=Working("as laid; lapped as a clear sheet is", terms), outline_uv=found.outline_uv,
        corners_mm=tuple((u - 60.0, v - 1000.0) for u, v in found.outline_uv),
        foot=replace(cut((40.0, 0.0), (890.0, 0.0)), edges=("E1",)), top=cut((40.0, 2303.0), (890.0, 2303.0)),
    )  # fmt: skip
    assert set(found.outline_uv) == set(box(100.0, 1000.0, 950.0, 3303.0))
    assert found.cover_uv == LOW.cover_uv
    text = "P1.01 lapped 250 mm is 2325 mm, longer than the 2324 of the site"
    assert clear_laps._longer(LOW, HIGH, laying(2324.0)) == (LOW, text)


@pytest.mark.parametrize(("lap", "reach"), [(250.0, 2203.0), (249.0, 2203.0), (248.9, 2204.1), (300.0, 2203.0)])
def test_a_lap_that_is_long_enough_stays(lap: float, reach: float) -> None:
    """A millimetre is no more than sheets of one length differ by."""
    low = replace(LOW, lap_mm=lap)
    found, problem = clear_laps._longer(low, HIGH, laying())
    assert (found.reach_mm, problem) == (pytest.approx(reach), "")
    assert (found is low) == (reach == 2203.0)


def ring(*points: Point2) -> SheetPiece:
    return replace(HIGH, outline_uv=points)


RAKED = "P1.01 and P1.01b are cut on the rake there: no lap of 250 mm can be made"


@pytest.mark.parametrize(
    ("above", "made"),
    [
        # the head goes to 3303: the sheet above is to go there but for a millimetre, on either side and over 850
        (box(100.0, 3053.0, 950.0, 3302.0), True),
        (box(100.0, 3053.0, 950.0, 3301.9), False),
        (box(101.0, 3053.0, 950.0, 6000.0), True),
        (box(101.1, 3053.0, 950.0, 6000.0), False),
        (box(100.0, 3053.0, 949.0, 6000.0), True),
        (box(100.0, 3053.0, 948.9, 6000.0), False),
        (box(-900.0, 3053.0, 700.0, 6000.0), False),
        (box(700.0, 3053.0, 2000.0, 6000.0), False),
        (box(-900.0, 3053.0, 2000.0, 6000.0), True),
        # its parts beside the sheet count for nothing, either way
        (((0.0, 3053.0), (1200.0, 3053.0), (1200.0, 7000.0), (1000.0, 7000.0), (1000.0, 6000.0), (0.0, 6000.0)), True),
        (((-300.0, 3053.0), (950.0, 3053.0), (950.0, 6000.0), (50.0, 6000.0), (50.0, 7000.0), (-300.0, 7000.0)), True),
        # over the left half it ends too low
        (((100.0, 3053.0), (950.0, 3053.0), (950.0, 6000.0), (500.0, 6000.0), (500.0, 3200.0), (100.0, 3200.0)), False),
        (((100.0, 3053.0), (950.0, 3053.0), (950.0, 6000.0), (100.0, 3200.0)), False),
    ],
)
def test_the_sheet_above_is_to_cover_the_lap(above: tuple[Point2, ...], made: bool) -> None:
    found, problem = clear_laps._longer(LOW, ring(*above), laying())
    assert problem == ("" if made else RAKED)
    assert (found.reach_mm if made else found) == (2303.0 if made else LOW)


@pytest.mark.parametrize(
    ("left", "right", "made"), [(3202.0, 3203.0, True), (3203.0, 3201.9, False), (3201.9, 3203.0, False)]
)
def test_a_raked_head_is_not_moved_up(left: float, right: float, made: bool) -> None:
    low = replace(LOW, outline_uv=((100.0, 1000.0), (950.0, 1000.0), (950.0, right), (100.0, left)))
    found, problem = clear_laps._longer(low, HIGH, laying())
    assert problem == ("" if made else RAKED)
    assert {v for _, v in found.outline_uv} == ({1000.0, 3303.0} if made else {1000.0, left, right})


def test_which_sheet_laps_over_another() -> None:
    """The one whose foot lies a lap below its head, but for a millimetre, in the same run of the same strip."""
    above = {
        foot: clear_laps._above(LOW, [LOW, replace(HIGH, foot_v_mm=foot)]) is not None
        for foot in (3051.9, 3052.0, 3053.0, 3054.0, 3054.1)
    }
    assert above == {3051.9: False, 3052.0: True, 3053.0: True, 3054.0: True, 3054.1: False}
    for other in (replace(HIGH, strip=5), replace(HIGH, run=1), LOW):
        assert clear_laps._above(LOW, [other]) is None
    bare = replace(LOW, lap_mm=0.0)
    assert clear_laps._above(bare, [bare, replace(HIGH, foot_v_mm=3203.0)]) is None
    assert clear_laps._above(replace(bare, lap_mm=0.5), [bare, replace(HIGH, foot_v_mm=3203.0)]) is not None
    # a sheet no longer than its lap does not lap itself
    short = piece("P1.02", 0.0, 0.0, 150.0, lap_mm=150.0)
    assert clear_laps._above(short, [short]) is None


def test_laps_of_a_plane_with_clear_sheets() -> None:
    longer, _ = clear_laps._longer(LOW, HIGH, laying())
    aside = replace(LOW, mark="P1.02", strip=5), replace(HIGH, mark="P1.02b", strip=5, clear=False)
    assert clear_laps.with_clear_laps((HIGH, LOW, *aside), laying()) == ((HIGH, longer, *aside), "")
    under = replace(LOW, clear=True), replace(HIGH, clear=False)
    assert clear_laps.with_clear_laps(under, laying())[0] == (replace(longer, clear=True), under[1])
    text = "P1.01 lapped 250 mm is 2325 mm, longer than the 2000 of the site"
    assert clear_laps.with_clear_laps((LOW, HIGH), laying(2000.0)) == ((LOW, HIGH), text)
