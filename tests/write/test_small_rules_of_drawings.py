"""Small rules of drawings and tables against figures by hand: lines of words, the roomiest point, changed lengths."""

from __future__ import annotations

import pytest

from takeoff.model.differences import MarkChange
from takeoff.write.differences.tables import measured_tables
from takeoff.write.drawings.drawing import text_width
from takeoff.write.drawings.frame import wrap
from takeoff.write.drawings.label_places import roomiest


def test_words_are_put_on_lines_no_wider_than_the_room() -> None:
    room = text_width("laid first", 2.5)
    assert wrap("laid first then cut", room, 2.5) == ("laid first", "then cut")
    assert wrap("laid first then cut", room * 0.9, 2.5) == ("laid", "first", "then", "cut")


def test_a_sliver_has_its_label_in_the_middle_of_its_box() -> None:
    ring = ((2.0, 100.0), (12.0, 100.0), (12.0, 100.000002))
    at, room = roomiest((ring,))
    assert at == pytest.approx((7.0, 100.000001))
    assert room == 0.0


def test_a_changed_length_is_told_with_its_difference() -> None:
    (changed, *_) = measured_tables((MarkChange("A", "A1", 4000.0, 3988.0, "4000", "3988"),))
    assert changed.rows == (("A", "A1", "4000", "3988", -12),)
