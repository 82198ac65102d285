"""Figures that stand at the head of the modules of measuring, written down a second time: regression figures.

They bound searches, name what is sold, or say what a crumb is, each for the reason beside it; whoever changes one there
changes it here as well. Nails are the lengths that are sold (common practice, no source).
"""

from __future__ import annotations

from takeoff.basics import face_cutting, manifest, regular_files, yaml_words
from takeoff.measure.cladding import face_parts, level_breaks, nail_sizes, plain_parts, wall_sheets, zone_shapes, zones
from takeoff.measure.rainwater import deciding, fewest_pipes, limits, pipe_search, placing, polish, roof_ends, sizing
from takeoff.measure.sheeting import sheet_ends
from takeoff.measure.tank import feeds, reckon, sizes
from takeoff.model.products import Board


def test_bounds_of_searches() -> None:
    assert (fewest_pipes._CRUMB, fewest_pipes._MOST_TRIES) == (1e-9, 40)
    assert (pipe_search._MOST_STEPS, pipe_search._NONE) == (2e7, (0, 0, 0, 0))
    assert (deciding._MOST_PLACES, deciding._MOST_STEPS) == (1500, 3e6)
    assert (polish._ROUNDS, polish._CORNER, polish._CLOSE, polish._WALL) == (12, 1e14, 1e12, 1e10)
    assert limits.FREE == 1e9
    assert limits.Limits(0.0, 1e9, 1e9, 1e9, 1e9, 0.0) == placing._NO_LIMITS


def test_crumbs_and_grids() -> None:
    assert (face_cutting._SAME_AREA, roof_ends._ASIDE_MM) == (1e-6, 1.0)
    assert (plain_parts._PLACES, face_parts._FAR_MM, zone_shapes._FAR_MM) == (6, 1e8, 1e7)
    assert regular_files._CHUNK == 1_048_576
    assert sheet_ends._MOST_LINES == 4
    assert level_breaks._MOST_BREAKS == 20
    assert (manifest.VERSION, manifest.MOST_BYTES, manifest.MOST_FILES, yaml_words.LONGEST_INT) == (
        1,
        2_000_000,
        10_000,
        30,
    )


def test_what_is_sold_and_what_a_table_begins_at() -> None:
    assert nail_sizes.NAIL_LENGTHS_MM == (25, 30, 40, 50, 60, 75, 90, 100, 125, 150, 200)
    thousands = (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 75, 100)
    assert tuple(1000 * size for size in thousands) == sizes._REAL
    assert (sizes._SHORT_L, sizes._SIZES, reckon.GOOD_YEARS) == (1e-6, 50, 10.0)
    assert wall_sheets._UPRIGHT_DEG == 90.0
    assert (sizing.TABLE_RAIN_MM_PER_H, sizing.BANDS_DEG) == (100.0, (25.0, 35.0, 45.0, 55.0))
    assert feeds.WHOLE.volume_l == 25_000.0


def test_a_zone_that_is_left_out_has_the_board_of_nothing() -> None:
    assert Board("none", "nothing", "none", "none", 0.0, 0.0, 0.0, 0.0, False, (), {}) == zones._NOTHING
