"""Boards counted without their pieces: by hand, and as the boards that are laid count up."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from takeoff.measure.cladding.bare_walls import BareWall, laid_on
from takeoff.measure.cladding.board_counts import count_boards
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.measure.cladding.zones import SHEETS, Zone
from takeoff.measure.house_figures import boards_counted
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.quantities import BoardCount
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner

FOOT, TOP = -50.0, 2350.0


def bare(zone: Zone, width: float, *holes: Hole, peak: float = TOP, longest: int = 6000) -> BareWall:
    top = ((0.0, TOP), (width / 2.0, peak), (width, TOP))
    face = Face(1, 0.0, width, FOOT, TOP, top, holes)
    corner = Corner("external", 90.0)
    return BareWall(face, WallEnds(corner, corner), zone, None, longest, None)


@pytest.fixture
def up(catalogue: Catalogue) -> Zone:
    board = replace(catalogue.boards["bevel_187"], id="up", kind="shiplap", width_mm=150, cover_mm=135)
    return Zone("zone 1", frozenset({1}), "vertical", board, False)


@pytest.fixture
def level(catalogue: Catalogue) -> Zone:
    return Zone("zone 2", frozenset({1}), "horizontal", catalogue.boards["bevel_187"], False)


def test_upright_boards_by_hand(up: Zone, catalogue: Catalogue, settings: Settings) -> None:
    """10 covers of 135 are 1350: ten boards of 2400, 3.24 m2. A window of a cover's width from 900 to 2100 splits one in
    950 below and 250 above it."""
    found = count_boards(bare(up, 1350.0), catalogue, Site(), settings)
    assert found == BoardCount(1, "zone 1", 10, 24_000.0, pytest.approx(3.24e6), pytest.approx(3.24e6))
    window = Hole("W1", 270.0, 405.0, 900.0, 2100.0)
    split = count_boards(bare(up, 1350.0, window), catalogue, Site(), settings)
    assert (split.count, split.length_mm) == (11, pytest.approx(9 * 2400.0 + 950.0 + 250.0))
    assert (split.net_mm2, split.gross_mm2) == (pytest.approx(3.24e6 - 135.0 * 1200.0), pytest.approx(3.24e6))


def test_boards_longer_than_stock_are_counted_on_both_sides_of_their_break(
    up: Zone, catalogue: Catalogue, settings: Settings
) -> None:
    """2400 out of stock of 1800: two pieces each, as long together."""
    found = count_boards(bare(up, 1350.0, longest=1800), catalogue, Site(), settings)
    assert (found.count, found.length_mm) == (20, pytest.approx(24_000.0))


@pytest.mark.parametrize("direction", ["up", "level", "sheets"])
def test_counts_are_those_of_the_boards_laid(
    direction: str, up: Zone, level: Zone, catalogue: Catalogue, settings: Settings
) -> None:
    """Walls with gables and openings, stock that is long enough and not, strips too short for boards: to the last
    digit."""
    sheet = replace(level.board, id=next(iter(catalogue.profiles)))
    zone = {"up": up, "level": level, "sheets": replace(level, direction=SHEETS, board=sheet)}[direction]
    random = Random(8)
    for _ in range(12):
        holes = [
            Hole(f"W{n}", left, left + random.choice((600.0, 913.0)), random.choice((FOOT, -20.0, 600.0)), 2100.0)
            for n, left in enumerate((random.uniform(100.0, 900.0), random.uniform(2000.0, 3000.0)))
        ]
        peak, longest = random.choice((TOP, 3600.0)), random.choice((6000, 1800))
        wall = bare(zone, random.choice((4000.0, 4711.3)), *holes, peak=peak, longest=longest)
        laid, _ = laid_on(wall, catalogue, Site(), settings)
        assert count_boards(wall, catalogue, Site(), settings) == boards_counted(laid)
