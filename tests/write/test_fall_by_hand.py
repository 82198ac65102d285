"""The arrow of the fall on the roof plan and the places that it is offered, by hand [mm at 1:100]."""

from __future__ import annotations

import pytest
from drawn_by_hand import same

from takeoff.write.drawings import plan_marks
from takeoff.write.drawings.drawing import Fill, Line, Sketch, Text
from takeoff.write.drawings.label_room import Label, Room


def test_the_fall_is_offered_places_beside_the_words_of_a_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """Down (0.6, -0.8), 5 mm of paper either way: beside (1000, 2000) by 11 and 15 mm across as far as the fall runs up the
    paper, 12.5, 9.5, 16.5 and 13.5 up or down as far as it runs across; its word 260 off, to either side."""
    offered: list[Label] = []
    monkeypatch.setattr(Room, "clear", lambda *_: True)
    monkeypatch.setattr(Room, "free", lambda _, labels: bool(offered.extend(labels)))
    tiny = ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0))
    room = Room(Sketch(100))
    plan_marks.draw_fall(room, (1000.0, 2000.0), (0.6, -0.8), 5.0, (tiny,))
    wanted = [
        (1000 + 80 * x + side * 208, 2000 + 60 * y + side * 156)
        for x, y in ((11, -12.5), (-11, 9.5), (15, -16.5), (-15, 13.5))
        for side in (1, -1)
    ]
    same([label.at for label in offered], wanted)
    same([label.angle_deg for label in offered], [-53.13010235] * 8)
    assert {(label.layer, label.text, label.height_mm) for label in offered} == {("FALL-ARROW", "fall", 2.5)}
    assert room.sketch.items == []


def test_the_fall_keeps_its_arrow_and_its_word_off_what_is_drawn() -> None:
    """Down (0, -1): the arrow from (2100, 2500) to (2100, 1500), its word 260 right of it. Words where "fall" would stand
    move it to the arrow's other side."""
    for taken, x in (((), 2360), (((2350.0, 1990.0), (2370.0, 2010.0)), 1840)):
        room = Room(Sketch(100), boxes=[(taken[0], (2370.0, 1990.0), taken[1])] if taken else [])
        plan_marks.draw_fall(room, (1000.0, 2000.0), (0.0, -1.0), 5.0, (((0.0, 0.0), (0.0, 0.0), (0.0, 0.0)),))
        shaft, head, text = room.sketch.items
        assert isinstance(shaft, Line)
        assert isinstance(head, Fill)
        assert isinstance(text, Text)
        same((shaft.a_mm, head.rings_mm[0][0], text.at_mm), ((2100, 2500), (2100, 1500), (x, 2000)))
