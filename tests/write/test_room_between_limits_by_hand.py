"""Room for words at its limits, by hand [mm at 1:10: cells of 120]: shapes aslant, places left of and under the origin."""

from __future__ import annotations

import pytest
from drawn_by_hand import same
from wall_by_hand import box

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import Sketch
from takeoff.write.drawings.label_room import Label, Room, ring_lines, slid


@pytest.mark.parametrize(
    ("shape", "at", "clear"),
    [
        # a line aslant whose bounds hold the place: beside it, and across it
        (((0.0, 0.0), (100.0, 100.0)), box(60.0, 10.0, 90.0, 40.0), True), (((0.0, 0.0), (100.0, 100.0)), box(60.0, 40.0, 90.0, 65.0), False),
        (((0.0, 0.0), (100.0, 0.0), (0.0, 100.0)), box(60.0, 60.0, 90.0, 90.0), True),
        (((0.0, 0.0), (100.0, 0.0), (0.0, 100.0)), box(40.0, 40.0, 90.0, 90.0), False),
        # a place aslant in the bounds of a level shape
        (box(0.0, 0.0, 50.0, 50.0), ((40.0, 100.0), (100.0, 40.0), (110.0, 50.0), (50.0, 110.0)), True),
        (box(0.0, 0.0, 50.0, 50.0), ((10.0, 80.0), (80.0, 10.0), (90.0, 20.0), (20.0, 90.0)), False),
    ],
)  # fmt: skip
@pytest.mark.parametrize("shift", [0.0, -5000.0, 1e5])
def test_what_lies_over_a_shape_wherever_both_lie(shape: Ring2, at: Ring2, clear: bool, shift: float) -> None:
    moved, place = (tuple((x + shift, y - shift / 2.0) for x, y in each) for each in (shape, at))
    room = Room(Sketch(10))
    (room.lines if len(moved) == 2 else room.boxes).append(moved)  # type: ignore[arg-type]
    assert room.clear(place) is clear


@pytest.mark.parametrize("shift", [0.0, -5000.0, 1e5])
def test_words_are_kept_off_words_in_every_cell_that_they_touch(shift: float) -> None:
    """What is drawn spans four cells; a place that touches the last of them alone is over it."""
    room = Room(Sketch(10), boxes=[box(shift + 5.0, shift + 5.0, shift + 305.0, shift + 305.0)])
    for x in (10.0, 100.0, 250.0, 304.0):
        for y in (10.0, 100.0, 250.0, 304.0):
            assert not Room.clear(
                Room(Sketch(10), boxes=list(room.boxes)), box(shift + x, shift + y, shift + x + 0.5, shift + y + 0.5)
            )
    for x, y in ((306.0, 10.0), (10.0, 306.0), (-2.0, 10.0), (10.0, -2.0)):
        assert room.clear(box(shift + x, shift + y, shift + x + 0.5, shift + y + 0.5))
    # a place that is larger than what is drawn
    assert not room.clear(box(shift - 500.0, shift - 500.0, shift + 900.0, shift + 900.0))


def test_what_took_the_last_place_is_asked_first_of_the_next() -> None:
    """A level box says which of the places side by side it takes, touching apart; one askew, and none yet, say
    nothing."""
    places = (
        (-30.0, False),
        (-20.0, False),
        (-19.0, True),
        (40.0, True),
        (50.0, False),
    )  # boxes 20 wide, a box from 0 to 50
    room = Room(Sketch(10), boxes=[box(0.0, 0.0, 50.0, 50.0)])
    assert not room.still_taken((10.0, 10.0, 30.0, 30.0))
    assert not room.clear(box(10.0, 10.0, 30.0, 30.0))
    for x, taken in places:
        assert room.still_taken((x, 10.0, x + 20.0, 30.0)) is taken
        assert room.still_taken((10.0, x, 30.0, x + 20.0)) is taken
    askew = Room(Sketch(10), boxes=[((0.0, 25.0), (25.0, 0.0), (50.0, 25.0), (25.0, 50.0))])
    assert not askew.clear(box(10.0, 10.0, 30.0, 30.0))
    assert not askew.still_taken((10.0, 10.0, 30.0, 30.0))


def test_words_are_shapes_of_three_corners_and_more() -> None:
    for shape, over in (
        (((0.0, 0.0), (50.0, 50.0)), False),
        (((0.0, 0.0), (50.0, 0.0), (50.0, 50.0)), True),
        (box(0.0, 0.0, 50.0, 50.0), True),
    ):
        room = Room(Sketch(10), boxes=[shape])
        assert room.over_words(box(20.0, 10.0, 40.0, 15.0)) is over


def test_what_drawn_things_take_in_all() -> None:
    room = Room(Sketch(10), boxes=[box(-5.0, 7.0, 3.0, 9.0)], lines=[((0.0, -20.0), (30.0, 8.0))])
    assert room.extent() == (-5.0, -20.0, 30.0, 9.0)


@pytest.mark.parametrize(
    ("label", "corners"),
    [
        # "a" is 0.88 wide: 22 at 1:10 of 2.5; 3 before and after it, 12.5 + 2 up and down
        (Label("", (100.0, 200.0), "a", 2.5, 0.0, "left"), box(97.0, 185.5, 125.0, 214.5)),
        (Label("", (100.0, 200.0), "a", 2.5, 0.0, "right"), box(75.0, 185.5, 103.0, 214.5)),
        (Label("", (100.0, 200.0), "a", 2.5), box(86.0, 185.5, 114.0, 214.5)),
        (Label("", (100.0, 200.0), "a", 2.5, 90.0, "left"), ((114.5, 197.0), (114.5, 225.0), (85.5, 225.0), (85.5, 197.0))),
    ],
)  # fmt: skip
def test_the_room_that_a_label_takes(label: Label, corners: Ring2) -> None:
    same(Room(Sketch(10)).box(label), corners)


@pytest.mark.parametrize(
    ("leader", "leads"),
    [
        # past its end on the level, though neither lies on one side of the other's bounds; across it; touching its end
        (((90.0, 60.0), (130.0, -60.0)), True), (((80.0, 60.0), (100.0, -60.0)), False), (((100.0, 0.0), (100.0, 60.0)), True),
        (((10.0, 60.0), (90.0, 1.0)), True), (((10.0, 60.0), (90.0, -1.0)), False), (((-60.0, -5.0), (-1.0, 5.0)), True),
        # words stand from 200 on, 50 over and under the level
        (((150.0, 10.0), (199.0, 10.0)), True), (((150.0, 10.0), (201.0, 10.0)), False), (((150.0, 51.0), (300.0, 51.0)), True),
        (((150.0, 49.0), (300.0, 49.0)), False), (((250.0, 100.0), (250.0, 51.0)), True), (((250.0, 100.0), (250.0, 49.0)), False),
        (((150.0, 60.0), (230.0, 60.0)), True), (((190.0, 70.0), (230.0, 40.0)), False), (((190.0, 40.0), (230.0, 70.0)), False),
    ],
)  # fmt: skip
def test_a_leader_crosses_no_other_and_no_words(leader: Ring2, leads: bool) -> None:
    room = Room(Sketch(10), boxes=[box(200.0, -50.0, 300.0, 50.0)])
    room.draw_leader(((0.0, 0.0), (100.0, 0.0)))
    a, b = leader
    assert room.leads((a, b)) is room.leads((b, a)) is leads


def test_leaders_that_are_looked_at_are_counted() -> None:
    room = Room(Sketch(10))
    for n in range(3):
        assert room.leads(((0.0, 900.0 + n), (100.0, 900.0 + n)))
        room.draw_leader(((0.0, 10.0 * n), (100.0, 10.0 * n)))
    assert room._looked == 0 + 1 + 2


def test_of_places_that_are_all_taken_the_last_is_led_out(monkeypatch: pytest.MonkeyPatch) -> None:
    led: list[tuple[Label, Point2, float]] = []

    def lead_out(_: Room, label: Label, anchor: Point2, least_mm: float = 0.0) -> bool:
        led.append((label, anchor, least_mm))
        return True

    monkeypatch.setattr(Room, "free", lambda *_: False)
    monkeypatch.setattr(Room, "lead_out", lead_out)
    choices = [Label("TEXT", (float(n), 0.0), "a", 2.5) for n in range(4)]
    room = Room(Sketch(10))
    assert room.place(choices, (7.0, 9.0), 5.0)
    assert led == [(choices[3], (7.0, 9.0), 5.0)]
    assert not room.place([], (7.0, 9.0))


def test_words_are_not_led_out_where_no_leader_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten ways out, sixteen directions each; of 20 mm at least there are five."""
    asked: list[object] = []

    def leads(_: Room, leader: object) -> bool:
        asked.append(leader)
        return False

    monkeypatch.setattr(Room, "leads", leads)
    room = Room(Sketch(10))
    assert not room.lead_out(Label("TEXT", (0.0, 0.0), "a", 2.5), (0.0, 0.0))
    assert len(asked) == 160
    asked.clear()
    assert not room.lead_out(Label("TEXT", (0.0, 0.0), "a", 2.5), (0.0, 0.0), 20.0)
    assert len(asked) == 80
    assert room.sketch.items == []
    assert room.lines == []
    assert room.boxes == []


def test_a_leader_ends_short_of_its_words() -> None:
    """0.6 mm of paper: of 0.9 at full size 0.3 are left, of 0.5 nothing; 6 at 1:10."""
    for scale, far, end in ((1, 0.9, 0.3), (1, 0.5, 0.0), (10, 106.0, 100.0), (10, 6.0, 0.0), (10, 0.0, 0.0)):
        room = Room(Sketch(scale))
        same(room.leader((10.0, 20.0), box(10.0 + far, 0.0, 300.0, 40.0)), ((10.0, 20.0), (10.0 + end, 20.0)))


def test_the_sides_of_a_ring_close_it() -> None:
    assert ring_lines(((0.0, 1.0), (5.0, 1.0), (5.0, 9.0))) == [
        ((0.0, 1.0), (5.0, 1.0)), ((5.0, 1.0), (5.0, 9.0)), ((5.0, 9.0), (0.0, 1.0)),
    ]  # fmt: skip


def test_a_label_slides_along_its_own_direction() -> None:
    """Nearest first, up to 70 either way by 30: along (0.6, 0.8)."""
    label = Label("TEXT", (100.0, 200.0), "a", 2.5, 53.13010235415598, "left")
    found = list(slid(label, 70.0, 30.0))
    same([one.at for one in found], [(100 + 0.6 * far, 200 + 0.8 * far) for far in (0, 30, -30, 60, -60, 70, -70)])
    assert {(one.layer, one.text, one.height_mm, one.angle_deg, one.align) for one in found} == {
        ("TEXT", "a", 2.5, 53.13010235415598, "left")
    }
    assert [one.at for one in slid(label, 0.0, 30.0)] == [(100.0, 200.0)]
    assert len(list(slid(label, 60.0, 30.0))) == 5
