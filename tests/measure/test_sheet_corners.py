"""Corners of sheets that two side lengths do not describe, by hand from the shape of the roof.

At 25 degrees and equal pitch: k = 1/cos p = 1.10338, h = sqrt(tan2 p + 2) = 1.48912. A sheet's top follows the plane's
edge less its trim: 25 x h = 37.2 along the sheet at a hip, 25 at a ridge; its foot lies 50 past the eave, or 50/2 x h
short of a valley. Sheets start where the trimmed hip meets the trimmed eave line, 11.6 outside the corner.
"""

from __future__ import annotations

from functools import cache
from math import cos, radians, sqrt, tan
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.measure.sheeting.sheet_ends import long_point
from takeoff.model.sheets import CutShape, EndCut, SheetPiece

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
K = 1.0 / cos(radians(25.0))
H = sqrt(tan(radians(25.0)) ** 2 + 2.0)


@cache
def pieces(sample: str) -> dict[str, SheetPiece]:
    made = pipeline.run_file(SAMPLES / sample / "job.yaml", pipeline.Stage.MEASURE)
    return {piece.mark: piece for sheets in made.roofing.sheets for piece in sheets.pieces}


def test_the_peak_of_a_hip_end() -> None:
    """8 m wide hip end: the peak lies on the middle, 4000 k up the plane, 50 more from the foot, 37.2 less of trim."""
    piece = pieces("hip_12x8")["P2.06"]
    assert piece.top.shape is CutShape.APEX
    assert (round(piece.left_mm), round(piece.right_mm)) == (4204, 3716)
    across, up = piece.long_point_mm
    assert up == pytest.approx(4000.0 * K + 50.0 - 25.0 * H, abs=0.1)
    assert (round(across), round(up)) == (202, 4426)
    # its left edge lies five covers from the start, which lies where the trimmed hip reaches the trimmed foot
    start = (50.0 - 25.0 * H) / K
    assert across == pytest.approx(4000.0 + start - 5 * 762.0, abs=0.1)


def test_where_the_ridge_gives_way_to_the_hip() -> None:
    piece = pieces("homestead")["P1.07"]
    assert piece.top.shape is CutShape.BROKEN
    assert [(round(u), round(v)) for u, v in piece.top.points_mm] == [(0, 5321), (594, 5321), (845, 5045)]
    assert round(845.0 - piece.long_point_mm[0]) == 251
    assert piece.long_point_mm[1] == pytest.approx(4800.0 * K + 50.0 - 25.0, abs=0.1)


def test_the_peak_of_the_other_hip_end() -> None:
    across, up = pieces("homestead")["P2.07"].long_point_mm
    assert (round(across), round(up)) == (240, 5309)
    assert up == pytest.approx(4800.0 * K + 50.0 - 25.0 * H, abs=0.1)


def test_a_peak_beside_a_lower_ridge() -> None:
    piece = pieces("l_house")["P1.14"]
    assert [(round(u), round(v)) for u, v in piece.top.points_mm] == [(0, 5239), (363, 5640), (652, 5321), (845, 5321)]
    assert (round(piece.long_point_mm[0]), round(piece.long_point_mm[1])) == (363, 5640)


def test_a_side_that_starts_above_the_foot_says_where() -> None:
    piece = pieces("homestead")["P3.21"]
    (left, break_, right) = piece.foot.points_mm
    assert (round(left[0]), round(left[1])) == (0, 497)
    assert (round(break_[0]), round(break_[1])) == (451, 0)
    assert (right[0], right[1]) == pytest.approx((845.0, 0.0), abs=1e-6)
    # both ends of the left side, and its length between them
    assert piece.top.points_mm[0][1] - left[1] == pytest.approx(piece.left_mm, abs=1e-6)
    # the valley rises k a mm of its run
    assert left[1] / break_[0] == pytest.approx(K, abs=1e-6)


def test_the_lowest_point_limits_a_sheet_with_a_raked_foot() -> None:
    piece = pieces("homestead")["P4.10"]
    assert piece.foot.shape is CutShape.RAKED
    assert piece.long_point_mm == pytest.approx((845.0, piece.right_mm), abs=1e-6)
    assert piece.right_mm > piece.left_mm


def test_offsets_are_from_the_uncut_sheet() -> None:
    """P2.01 of the hip is a triangle that begins at its sheet's edge; P4 started at its barge, 9450, ends in a tip: its
    thirteenth sheet has its left edge at 9450 - 12 x 762 - 845 = -539, the trimmed tip
    lies at 56: 595 from it."""
    tip = min(pieces("homestead")["P4.13"].corners_mm)
    assert round(tip[0]) == 595
    last = max(piece.strip for piece in pieces("l_house").values() if piece.plane == "P4")
    piece = pieces("l_house")[f"P4.{last:02d}"]
    assert max(u for u, _ in piece.corners_mm) == pytest.approx(845.0, abs=1e-6)


@pytest.mark.parametrize("sample", ["hip_12x8", "homestead", "l_house"])
def test_corners_are_the_outline(sample: str) -> None:
    for piece in pieces(sample).values():
        assert len(piece.corners_mm) == len(piece.outline_uv)
        origins = {
            (round(u - x, 6), round(v - y, 6))
            for (u, v), (x, y) in zip(piece.outline_uv, piece.corners_mm, strict=True)
        }
        assert len(origins) == 1
        assert min(v for _, v in piece.corners_mm) == pytest.approx(0.0, abs=1e-9)
        assert max(v for _, v in piece.corners_mm) == pytest.approx(piece.reach_mm, abs=1e-6)
        assert min(u for u, _ in piece.corners_mm) >= -1e-6
        assert max(u for u, _ in piece.corners_mm) <= 845.0 + 1e-6


def test_a_square_sheet_has_no_long_point() -> None:
    assert pieces("homestead")["P3.08"].long_point_mm == (0.0, 0.0)
    square = EndCut(CutShape.SQUARE, points_mm=((0.0, 0.0), (845.0, 0.0)))
    assert long_point(square, square) == (0.0, 0.0)
