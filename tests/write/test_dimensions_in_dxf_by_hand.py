"""Dimensions and texts of a DXF file by hand [mm]. At 1:50 with letters of 2.5: gaps are 50, letters 125 high, half a
tick 75, and the middle of a figure lies 62.5 + 50 over its line, another gap higher where the figure is wider than what
it measures (as the DXF library puts it; every part against that library: test_dxf_as_by_library)."""

from __future__ import annotations

from dataclasses import astuple, replace
from math import atan2, degrees

import pytest
from drawn_by_hand import same

from takeoff.basics.vectors import Point2
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Line, Polyline, Text, text_width
from takeoff.write.drawings.dxf_dimensions import Drawn, drawn
from takeoff.write.drawings.dxf_entities import Entities, dxf_words, lower_left

ASLANT = degrees(atan2(3.0, 4.0))


def check(found: Drawn, wanted: Drawn) -> None:
    assert (found.words, found.letter_mm, found.tick_mm) == (wanted.words, wanted.letter_mm, wanted.tick_mm)
    one, other = ([part for part in astuple(each) if isinstance(part, tuple)] for each in (found, wanted))
    same(one, other)


def dimension(a: Point2, b: Point2, through: Point2, angle_deg: float) -> Dimension:
    return Dimension("DIM", a, b, through, angle_deg)


def test_a_level_dimension_by_hand() -> None:
    found = drawn(dimension((10.0, 0.0), (3220.0, 40.0), (100.0, 900.0), 0.0), 50, 2.5)
    legs = (((10.0, 50.0), (10.0, 950.0)), ((3220.0, 90.0), (3220.0, 950.0)))
    check(found, Drawn((10.0, 900.0), (3220.0, 900.0), legs, (1615.0, 1012.5), "3210", 125.0, 75.0))
    # from right to left its figure hangs under the line, and from above its extension lines go down
    back = drawn(dimension((3220.0, 1000.0), (10.0, 1000.0), (100.0, 300.0), 0.0), 50, 2.5)
    legs = (((3220.0, 950.0), (3220.0, 250.0)), ((10.0, 950.0), (10.0, 250.0)))
    check(back, Drawn((3220.0, 300.0), (10.0, 300.0), legs, (1615.0, 187.5), "3210", 125.0, 75.0))


def test_an_upright_dimension_by_hand() -> None:
    found = drawn(dimension((0.0, 10.0), (40.0, 2010.0), (700.0, 50.0), 90.0), 50, 2.5)
    legs = (((50.0, 10.0), (750.0, 10.0)), ((90.0, 2010.0), (750.0, 2010.0)))
    check(found, Drawn((700.0, 10.0), (700.0, 2010.0), legs, (587.5, 1010.0), "2000", 125.0, 75.0))


def test_a_dimension_aslant_by_hand() -> None:
    """Along (0.8, 0.6), through (60, 20) + 100 x (-0.6, 0.8): its ends lie 100 aside of both points, which are 1000 apart
    along it and the second 30 nearer."""
    a, b = (60.0, 20.0), (60.0 + 800.0 - 18.0, 20.0 + 600.0 + 24.0)
    through = (60.0 - 60.0 + 80.0, 20.0 + 80.0 + 60.0)
    start, end = (0.0, 100.0), (800.0, 700.0)
    found = drawn(dimension(a, b, through, ASLANT), 20, 2.0)
    # gaps of 20, letters of 40: 20 + 20 over the line
    legs = (((48.0, 36.0), (-12.0, 116.0)), ((b[0] - 12.0, b[1] + 16.0), (788.0, 716.0)))
    check(found, Drawn(start, end, legs, (400.0 - 24.0, 400.0 + 32.0), "1000", 40.0, 30.0))


@pytest.mark.parametrize(
    ("long", "words", "over"), [(375.0, "375", 112.5), (374.0, "374", 162.5), (500.0, "500", 112.5)]
)
def test_a_figure_wider_than_its_line_stands_higher(long: float, words: str, over: float) -> None:
    """Three letters of 125 are reckoned 375 wide."""
    found = drawn(dimension((7.0, 0.0), (7.0 + long, 0.0), (0.0, 200.0), 0.0), 50, 2.5)
    assert found.words == words
    same(found.text_at, (7.0 + long / 2.0, 200.0 + over))


def test_a_dimension_on_its_own_line_or_of_nothing_keeps_its_directions() -> None:
    on = drawn(dimension((0.0, 5.0), (900.0, 5.0), (0.0, 5.0), 0.0), 50, 2.5)
    same(on.extensions, (((0.0, 55.0), (0.0, 55.0)), ((900.0, 55.0), (900.0, 55.0))))
    none = drawn(dimension((5.0, 5.0), (5.0, 5.0), (5.0, 105.0), 0.0), 50, 2.5)
    check(none, Drawn((5.0, 105.0), (5.0, 105.0), (((5.0, 55.0), (5.0, 155.0)),) * 2, (5.0, 267.5), "0", 125.0, 75.0))


@pytest.mark.parametrize(
    ("align", "middle", "x", "y"),
    [
        ("left", False, 0.0, 0.0), ("left", True, 0.0, -25.0), ("centre", False, -0.44, 0.0), ("centre", True, -0.44, -25.0),
        ("right", False, -0.88, 0.0), ("right", True, -0.88, -25.0),
    ],
)  # fmt: skip
def test_where_a_text_begins(align: str, middle: bool, x: float, y: float) -> None:
    """Of the room kept for it the common faces take 0.88: half of that before its middle, all of it before its end, and
    half of its 50 of height under its middle."""
    text = Text("TEXT", (100.0, 200.0), "Eave 4 120", 50.0, 0.0, align, middle)
    long = text_width("Eave 4 120", 50.0) * x
    same(lower_left(text), (100.0 + long, 200.0 + y))
    same(lower_left(replace(text, angle_deg=ASLANT)), (100.0 + 0.8 * long - 0.6 * y, 200.0 + 0.6 * long + 0.8 * y))
    same(lower_left(replace(text, angle_deg=90.0)), (100.0 - y, 200.0 + long))


def test_control_signs_of_a_line_are_parted() -> None:
    assert dxf_words("5 %%c ^J\nx") == "5 % %c ^ J x"


def made(*items: object) -> Entities:
    page = Drawing("a", "A", 50, (420.0, 297.0), (0.0, 0.0), (), 2.5)
    found = Entities(page, 160)
    for item in items:
        found.add(item)  # type: ignore[arg-type]
    return found


def handles(texts: list[str]) -> list[int]:
    """Of the entities of some texts, in their order: what follows each tag 5."""
    lines = "".join(texts).splitlines()
    return [int(lines[at + 1], 16) for at in range(0, len(lines) - 1, 2) if lines[at] == "  5"]


def test_every_entity_takes_the_next_handle() -> None:
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    found = made(
        Line("DIM", (0.0, 0.0), (1.0, 2.0)), Polyline("DIM", square), Circle("DOWNPIPE", (1.0, 2.0), 3.0),
        Text("TEXT", (1.0, 2.0), "a", 3.5), Fill("FALL-ARROW", (square[:3],)), Fill("SHEET-CLEAR", (square, square), 0.5),
        Fill("ROOF-PLANE", (square,), 0.5),
    )  # fmt: skip
    assert handles(found.entities) == [160, 161, 162, 163, 164, 165, 166]
    assert (found.handle, found.block_count, found.blocks, found.records) == (167, 0, [], [])


def test_dimensions_bring_a_block_each_and_one_of_the_tick() -> None:
    """Handles by the library's order: entity; record, begin and end of the block; two extension lines; once the tick's
    own record, begin, end and stroke; two ticks with an end passed over after each; the line, a text passed over; three
    points; the figure."""
    one = dimension((10.0, 0.0), (3220.0, 40.0), (100.0, 900.0), 0.0)
    found = made(one, one)
    assert handles(found.entities) == [160, 180]
    first = [162, 164, 165, 170, 172, 174, 176, 177, 178, 179, 163]
    tick = [167, 169, 168]
    second = [182, 184, 185, 186, 188, 190, 192, 193, 194, 195, 183]
    assert handles(found.blocks) == [*first, *tick, *second]
    assert handles(found.records) == [161, 166, 181]
    assert (found.handle, found.dimensions, found.tick, found.block_count) == (196, 2, True, 3)
