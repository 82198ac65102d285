"""Level breaks of upright boards by hand, at every limit: stock gives 3000, the least piece is 400, half a millimetre is none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.level_breaks import BreakRule, Breaks, level_breaks
from takeoff.measure.cladding.panels import Panel

WALL = Face(3, 0.0, 5000.0, -50.0, 6000.0, ((0.0, 6000.0), (5000.0, 6000.0)), ())
RULE = BreakRule(longest_mm=3000.0, least_mm=400.0)
STOREY, NOG, STOCK = "on the storey line", "on a row of nogs", "as high as stock reaches"
Ends = tuple[float, float]


def broken(
    *boards: Ends, levels: tuple[float, ...] = (), nogs: tuple[float, ...] = (), given: float | None = None
) -> Breaks:
    panels = [Panel((), start, end, 0.0) for start, end in boards]
    return level_breaks(replace(WALL, levels=levels), panels, nogs, replace(RULE, given_mm=given))


@pytest.mark.parametrize(("given", "kept"), [(100.5, False), (100.6, True), (2899.4, True), (2899.5, False)])
def test_a_height_that_the_job_gives_cuts_some_board(given: float, kept: bool) -> None:
    """A board from 100 to 2900, which one length gives."""
    told = Breaks((given,), ("as the job gives it",), 1) if kept else Breaks()
    assert broken((100.0, 2900.0), given=given) == told


def test_short_pieces_beside_a_break_are_counted() -> None:
    """A break at 1000.12345 leaves 300 of a board that begins at 700 and of one that ends at 1300."""
    assert broken((700.0, 2900.0), (0.0, 1300.0), (0.0, 2900.0), given=1000.12345).short == 2
    assert broken((700.0, 2900.0), given=1000.12345).short == broken((0.0, 1300.0), given=1000.12345).short == 1
    # a piece that is short by itself, at no break, is not
    assert broken((0.0, 2900.0), (2000.0, 2300.0), given=1500.0).short == 0


def test_a_board_half_a_millimetre_too_long_is_not() -> None:
    assert broken((100.0, 3100.5)) == Breaks()
    assert broken((100.0, 3100.6)).levels_mm == (3100.0,)


@pytest.mark.parametrize(("level", "found"), [(3100.5, (3100.5, STOREY)), (3100.6, (3100.0, STOCK))])
def test_a_storey_line_that_stock_just_reaches(level: float, found: tuple[float, str]) -> None:
    assert broken((100.0, 5000.0), levels=(level,)) == Breaks((found[0],), (found[1],))


@pytest.mark.parametrize(
    ("beside", "found"),
    [
        ((0.0, 2600.5), STOREY), ((0.0, 2600.6), STOCK),  # ends on the storey line, or 0.6 over it: a piece of 0.6
        ((2599.5, 3400.0), STOREY), ((2599.4, 3400.0), STOCK),  # begins on it, or 0.6 under it
        ((0.0, 2999.5), STOREY), ((0.0, 2999.4), STOCK),  # a piece of 399.5 over it is long enough
        ((2200.5, 3400.0), STOREY), ((2200.6, 3400.0), STOCK),  # and one under it
    ],
)  # fmt: skip
def test_a_storey_line_serves_where_it_leaves_no_short_piece(beside: Ends, found: str) -> None:
    """The line at 2600, a board from 0 to 5000 and one beside it, which a break at 3000 leaves alone or cuts well."""
    level = 2600.0 if found == STOREY else 3000.0
    assert broken((0.0, 5000.0), beside, levels=(2600.0,)) == Breaks((level,), (found,))


@pytest.mark.parametrize("nog", [2950.0, 3050.0, 3100.3, 3100.5])
def test_a_break_that_leaves_no_board_too_long_comes_first(nog: float) -> None:
    """A board from 100 to 5900: the storey line at 2000 leaves 3900 over it, the row of nogs leaves less than 3000 either
    way, give or take half a millimetre."""
    assert broken((100.0, 5900.0), levels=(2000.0,), nogs=(nog,)) == Breaks((nog,), (NOG,))
    assert broken((100.0, 6100.0), levels=(2000.0,), nogs=(3099.5,)) == Breaks((3099.5,), (NOG,))
    assert broken((100.0, 6100.1), levels=(2000.0,), nogs=(3099.5,)) == Breaks((3100.0,), (STOCK,))
