"""Courses of level boards by hand, 187 wide with 150 to the weather, from the floor to 2400 over it; where the foot rakes 1 in 5 a
board runs on through its hidden lap of 37: 185 further along."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.cladding.courses import _row, notched
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.storey_rod import SetOut
from takeoff.measure.cladding.zones import Zone
from takeoff.model.products import Catalogue
from takeoff.model.walls import BoardPiece

TOP = 2400.0
# its foot rises from the left end to 600 at 3 m, or falls from there
RISING = ((0.0, 0.0), (3000.0, 600.0), (3000.0, TOP), (0.0, TOP))
FALLING = ((0.0, 600.0), (3000.0, 0.0), (3000.0, TOP), (0.0, TOP))
LAID = SetOut(150.0, 16, 150.0, False)


def face(*parts: tuple[tuple[float, float], ...], right: float = 3000.0) -> Face:
    return Face(2, 0.0, right, 0.0, TOP, ((0.0, TOP), (right, TOP)), (), rings=tuple((part,) for part in parts))


def rows(own: Face, catalogue: Catalogue, *numbers: int, laid: SetOut = LAID) -> list[BoardPiece]:
    board = replace(catalogue.boards["bevel_187"], width_mm=187.0)
    zone = Zone("zone 1", frozenset({2}), "horizontal", board, False)
    return [piece for number in numbers for piece in _row(own, zone, laid, number)]


def test_boards_over_a_raked_foot(catalogue: Catalogue) -> None:
    """What is seen of the first three ends at 750, 1500 and 2250 from the low end of the foot, the fourth at the end."""
    rising = rows(face(RISING), catalogue, 0, 1, 2, 3, 4)
    assert [(piece.id, piece.row) for piece in rising] == [(f"B2.0{n}", n) for n in range(1, 6)]
    assert [(piece.length_mm, piece.past_mm) for piece in rising] == [
        (935.0, 0.0), (1685.0, 0.0), (2435.0, 0.0), (3000.0, 0.0), (3000.0, 0.0),
    ]  # fmt: skip
    falling = rows(face(FALLING), catalogue, 0, 1, 2, 3, 4)
    assert [(piece.length_mm, piece.past_mm) for piece in falling] == [
        (935.0, 185.0), (1685.0, 185.0), (2435.0, 185.0), (3000.0, 0.0), (3000.0, 0.0),
    ]  # fmt: skip
    assert [piece.ripped_mm for piece in rising] == [0.0] * 5
    assert {(piece.wall, piece.zone, piece.notched) for piece in rising} == {(2, "zone 1", False)}


def test_the_last_course_has_no_lap_over_it(catalogue: Catalogue) -> None:
    """A foot that rises to the top at 12 m, and a part of its own from 13 m on: the last course shows 750 more than the one
    below it, 12 m, and no lap; it is ripped to 150. The one below runs on by 185."""
    steep = ((0.0, 0.0), (12_000.0, TOP), (0.0, TOP))
    beside = ((13_000.0, 0.0), (14_000.0, 0.0), (14_000.0, TOP), (13_000.0, TOP))
    own = face(steep, beside, right=14_000.0)
    found = rows(own, catalogue, 14, 15)
    assert [(piece.id, piece.length_mm, piece.ripped_mm) for piece in found] == [
        ("B2.15a", 11_435.0, 0.0), ("B2.15b", 1000.0, 0.0), ("B2.16a", 12_000.0, 150.0), ("B2.16b", 1000.0, 150.0),
    ]  # fmt: skip
    assert [max(y for _, y in piece.outline_xy) for piece in found] == [2250.0, 2250.0, TOP, TOP]
    assert [min(y for _, y in piece.outline_xy) for piece in found] == [2100.0, 2100.0, 2250.0, 2250.0]
    whole = rows(own, catalogue, 15, laid=replace(LAID, top_mm=0.0))
    assert [piece.ripped_mm for piece in whole] == [0.0, 0.0]


def test_a_course_that_an_opening_notches_or_parts(catalogue: Catalogue) -> None:
    """A window from 1000 to 1900, from 225 to 450: it takes the upper half of what is seen of the second course, and all
    that is seen of the third."""
    plain = Face(2, 0.0, 3000.0, 0.0, TOP, ((0.0, TOP), (3000.0, TOP)), (Hole("W", 1000.0, 1900.0, 225.0, 450.0),))
    found = rows(plain, catalogue, 0, 1, 2, 3)
    assert [(piece.id, piece.length_mm, piece.notched) for piece in found] == [
        ("B2.01", 3000.0, False), ("B2.02", 3000.0, True), ("B2.03a", 1000.0, False), ("B2.03b", 1100.0, False),
        ("B2.04", 3000.0, False),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("reach", "taken"),
    [
        ((0.0, 1000.5, 0.0, 900.0), False), ((0.0, 1000.6, 0.0, 900.0), True), ((1899.5, 3000.0, 0.0, 900.0), False),
        ((1899.4, 3000.0, 0.0, 900.0), True), ((0.0, 3000.0, 0.0, 225.5), False), ((0.0, 3000.0, 0.0, 225.6), True),
        ((0.0, 3000.0, 449.5, 900.0), False), ((0.0, 3000.0, 449.4, 900.0), True),
    ],
)  # fmt: skip
def test_what_an_opening_takes_of_a_board(reach: tuple[float, float, float, float], taken: bool) -> None:
    """More than half a millimetre of it, across and up."""
    plain = Face(2, 0.0, 3000.0, 0.0, TOP, ((0.0, TOP), (3000.0, TOP)), (Hole("W", 1000.0, 1900.0, 225.0, 450.0),))
    assert notched(plain, *reach) is taken
