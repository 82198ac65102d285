"""Layouts of real roofs: what a roofer cuts by is on them, nothing lies over anything, A4 where it fits."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.drawings.drawing import Drawing, Sketch, Text, text_width
from takeoff.write.drawings.frame import A4
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.sheet_drawing import sheet_layouts

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
ON_SHEETS = ("SHEET-MARK", "SHEET-LENGTH", "SHEET-SIDE")


@cache
def takeoff(sample: str) -> Takeoff:
    return run_file(SAMPLES / sample / "job.yaml")


@cache
def layouts(sample: str) -> dict[str, Drawing]:
    return {drawing.name: drawing for drawing in sheet_layouts(takeoff(sample))}


def words(drawing: Drawing, *layers: str) -> list[str]:
    return [item.text for item in drawing.items if isinstance(item, Text) and (not layers or item.layer in layers)]


@pytest.mark.parametrize("sample", ["hip_12x8", "homestead", "l_house", "half_hip", "dormer"])
def test_no_words_lie_over_other_words(sample: str) -> None:
    for drawing in layouts(sample).values():
        room = Room(Sketch(drawing.scale))
        for item in drawing.items:
            if isinstance(item, Text) and item.layer in (*ON_SHEETS, "LAY-ARROW"):
                assert item.middle
                label = Label(
                    item.layer, item.at_mm, item.text, item.height_mm / drawing.scale, item.angle_deg, item.align
                )
                assert room.free([label]), f"{drawing.name}: {item.text}"
                room.keep([label])


@pytest.mark.parametrize("sample", ["hip_12x8", "homestead", "l_house"])
def test_a_plane_to_20_m_is_drawn_on_a4_in_letters_of_2_5_mm(sample: str) -> None:
    for drawing in layouts(sample).values():
        assert drawing.paper_mm == A4
        assert drawing.scale in (50, 75, 100)
        heights = {round(item.height_mm / drawing.scale, 3) for item in drawing.items if isinstance(item, Text)}
        assert heights <= {2.5, 3.5, 5.0, 7.0}


def test_both_sides_of_every_raked_sheet_are_said() -> None:
    drawing = layouts("hip_12x8")["sheets_P2"]
    sheets = takeoff("hip_12x8").sheets_of("P2")
    assert sheets is not None
    said = " ".join(words(drawing, "SHEET-SIDE")).split()
    for piece in sheets.pieces:
        for side in (piece.left_mm, piece.right_mm):
            assert side < 1.0 or f"{side:.0f}" in said, piece.mark
    # five sheets rise to the right, five fall, the one with the peak is longer on its left
    assert (said.count("RH"), said.count("LH")) == (5, 6)


def test_points_and_rake_and_start_are_said_over_the_plane() -> None:
    said = words(layouts("homestead")["sheets_P2"], "TEXT", "START-LINE")
    assert "P2.07: left side 0 to 5045, right side 0 to 4641; top 5309 at 240" in said
    assert any(line.startswith("Rake off square: H2 47.8°; H3 47.8°.") for line in said)
    assert any(line.startswith("START: ") for line in said)


def test_a_narrow_last_sheet_is_said_at_a_square_end_and_not_at_a_tip() -> None:
    """The cottage is 8400 and two verges of 300 long: 9000 less eleven covers of 762 is 618. P4 of the homestead ends
    in the tip between ridge and valley: its last sheet is cut to the valley, not ripped."""
    square = " ".join(words(layouts("cottage_with_flue")["sheets_P1"], "TEXT"))
    assert "Last sheet P1.12 is 618 mm wide: rip it, or lap it further by whole ribs." in square
    assert "Last sheet" not in " ".join(words(layouts("homestead")["sheets_P4"], "TEXT"))


def test_everything_stands_inside_the_frame() -> None:
    for sample in ("hip_12x8", "homestead", "l_house"):
        for drawing in layouts(sample).values():
            left, foot = drawing.corner_mm
            for item in drawing.items:
                if isinstance(item, Text) and item.layer in ON_SHEETS:
                    x, y = (item.at_mm[0] - left) / drawing.scale, (item.at_mm[1] - foot) / drawing.scale
                    assert 20.0 < x < drawing.paper_mm[0] - 10.0
                    assert 40.0 < y < drawing.paper_mm[1] - 10.0


def test_width_of_words() -> None:
    # a capital, three figures and a full stop, each a little wider than in the widest of the common faces
    assert text_width("P1.07", 10.0) == pytest.approx(10.6 + 3 * 8.8 + 4.7)
