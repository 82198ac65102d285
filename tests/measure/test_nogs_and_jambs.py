"""Nogs of a wall lower than one bay of its frame, and board lines beside an opening at a wall's end: by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from takeoff.measure.cladding.battens import extra_nogs
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.vertical_boards import board_lines
from takeoff.measure.cladding.zones import Zone
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()
CATALOGUE = load_catalogue()


def test_a_frame_lower_than_one_bay_has_no_nogs_of_its_own() -> None:
    """720 mm high: the frame, with a nog every 800, has none; boards want one row, 720 / 2 up, in ten bays of 600."""
    wall = Face(1, 0.0, 6000.0, 0.0, 720.0, ((0.0, 720.0), (6000.0, 720.0)), ())
    assert len(extra_nogs(wall, CATALOGUE.timbers["nog_90x45"], 600, SETTINGS)) == 10


def test_an_opening_at_a_walls_end_has_no_board_beside_it_there() -> None:
    """6000 wide with covers of 135: rips of 97.5 at both ends. A window 10 off a line would be cleared by moving the
    lines, and any strip is allowed; the opening in the corner reaches a line so moved, yet has no full board on its
    left: nothing is gained, and the lines stay as they are."""
    strips = replace(SETTINGS.values["jamb_strip_least_mm"], value=0.0)
    settings = replace(SETTINGS, values={**SETTINGS.values, "jamb_strip_least_mm": strips})
    board = replace(next(iter(CATALOGUE.boards.values())), width_mm=150.0, cover_mm=135.0)
    corner = Hole("D1", 0.0, 97.5 + 10.0 + 7 * 135.0, 0.0, 2000.0)
    window = Hole("W1", 97.5 + 10.0 + 20 * 135.0, 97.5 + 10.0 + 20 * 135.0 + 1000.0, 900.0, 2000.0)
    face = Face(1, 0.0, 6000.0, 0.0, 2400.0, ((0.0, 2400.0), (6000.0, 2400.0)), (corner, window))
    lines = board_lines(face, Zone("x", frozenset({1}), "vertical", board, False), settings)
    assert [b - a for a, b in pairwise(lines.marks_mm)] == pytest.approx([97.5] + [135.0] * 43 + [97.5])
