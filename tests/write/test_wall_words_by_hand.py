"""Words of boards, storey rods and joints on elevations: every place by hand, limits met exactly and just missed."""

from __future__ import annotations

import sys
from math import inf
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from wall_by_hand import Found, box, cut, piece, wall, zone

from takeoff.model.walls import Opening
from takeoff.write.drawings import wall_boards, wall_marks, wall_upright
from takeoff.write.drawings.drawing import Line, Polyline, Sketch, Text
from takeoff.write.drawings.label_room import Room

CUTS = {"a": (cut("a-1", 0.0, 2000), cut("a-2", 1990.0, 1500)), "b": (cut("b-1", 0.0, 3000),)}


def texts(sketch: Sketch) -> list[tuple[str, float, float]]:
    """Words with their places."""
    return [
        (item.text, pytest.approx(item.at_mm[0]), pytest.approx(item.at_mm[1]))
        for item in sketch.items
        if isinstance(item, Text)
    ]


def lines(sketch: Sketch) -> Found:
    """Lines as (layer, from, to)."""
    return [(item.layer, item.a_mm, item.b_mm) for item in sketch.items if isinstance(item, Line)]


# ---- joints


def test_joints_lie_in_the_middle_of_their_scarf() -> None:
    """2000 and from 1990 on: 1995 from the board's start, 80 of which its foot hides."""
    level, upright = (zone(piece("a", box(500, 0, 4000, 150), past_mm=80.0), level=flat) for flat in (True, False))
    for made, ends in ((level, ((2415, 0), (2415, 150))), (upright, ((500, 1915), (4000, 1915)))):
        sketch = Sketch(20)
        wall_boards._joints(sketch, made, made.pieces[0], CUTS["a"])
        assert lines(sketch) == [("WALL-BOARD-JOINT", *ends)]
    other = zone(piece("b", box(0, 150, 3000, 300)), piece("a", box(500.4, 300, 4000, 450)))
    assert wall_boards.joint_places([level, upright, other, level], CUTS) == (2415, 2495)
    assert wall_boards.joint_places([upright], CUTS) == ()


def test_places_of_joints_stand_over_the_wall_from_the_framing() -> None:
    """At 1:20 a mark of 20 to 50 over the top, words from 60, 58 apart at least."""
    made = zone(piece("a", box(-1995, 0, 0, 150)), piece("c", box(0, 150, 9, 300)), piece("d", box(0, 0, 1, 1)))
    cuts = {
        "a": (cut("1", 0, 2000), cut("2", 1990, 9), cut("3", 2052.5, 9)),
        "c": (cut("1", 0, 58), cut("2", 58, 9)), "d": (cut("1", 0, 3000), cut("2", 3000, 9)),
    }  # fmt: skip
    # 0, 30.75 -> 31, 58, 3000: 31 is too near the words at 0, 58 is just far enough
    assert wall_boards.joint_places([made], cuts) == (0, 31, 58, 3000)
    sketch = Sketch(20)
    wall_boards.draw_joint_places(sketch, [made], cuts, 2400.0)
    assert lines(sketch) == [("WALL-BOARD-JOINT", (at, 2420), (at, 2450)) for at in (0, 0, 31, 58, 3000)]
    assert texts(sketch) == [("0, studs", 0, 2460), ("58", 58, 2460), ("3000", 3000, 2460)]
    assert {(t.layer, t.height_mm, t.angle_deg, t.align, t.middle) for t in sketch.items if isinstance(t, Text)} == {
        ("WALL-BOARD-JOINT", 50, 90, "left", True)
    }
    for window, said in (((31.0, 58.0), ["31"]), ((32.0, 3000.0), ["58", "3000"]), ((58.1, 2999.9), [])):
        sketch = Sketch(20)
        wall_boards.draw_joint_places(sketch, [made], cuts, 2400.0, window)
        assert [text for text, _, _ in texts(sketch)] == said
    sketch = Sketch(20)
    wall_boards.draw_joint_places(sketch, [made], {}, 2400.0)
    assert sketch.items == []


# ---- level boards


@pytest.mark.parametrize(
    ("zones", "carried"),
    [
        ([(True, 135.0)], True), ([(True, 134.9)], False), ([(False, 160.0)], True), ([(False, 159.9)], False),
        ([(True, 135.0), (False, 159.0)], False), ([], True),
    ],
)  # fmt: skip
def test_boards_of_2_7_or_3_2_mm_of_paper_carry_words(zones: list[tuple[bool, float]], carried: bool) -> None:
    assert wall_boards.carries_words([zone(level=level, cover=cover) for level, cover in zones], 50) is carried


def labelled(one: Any, cuts: Any, window: tuple[float, float] | None = None, scale: int = 20) -> list[Any]:
    room = Room(Sketch(scale))
    wall_boards._level_label(room, one, cuts, window)
    return texts(room.sketch)


def test_a_level_board_carries_its_mark_and_length_in_its_middle() -> None:
    one = piece("a", box(500, 100, 4000, 250), 3500.4)
    assert labelled(one, ()) == [("a: 3500", 2250.2, 175)]
    assert labelled(one, (cut("a-1", 10.0, 3400),)) == [("a: 3400", 2200, 175)]
    # each of two pieces from its own start
    assert labelled(one, CUTS["a"]) == [("a-1: 2000", 1500, 175), ("a-2: 1500", 3240, 175)]


def test_what_is_too_low_or_too_short_has_less_or_nothing() -> None:
    """At 1:20: 54 high; "a: 300" is 50 * (0.88 * 4 + 0.47 * 2) = 223 wide, "300" 132."""
    assert labelled(piece("a", box(0, 0, 300, 54), 300.0), ()) == [("a: 300", 150, 27)]
    assert labelled(piece("a", box(0, 0, 300, 53.9), 300.0), ()) == []
    assert labelled(piece("a", box(0, 0, 222, 54), 222.0), ()) == [("222", 111, 27)]
    assert labelled(piece("a", box(0, 0, 131, 54), 131.0), ()) == []
    for length in (222.9, 223.1):
        assert labelled(piece("a", box(0, 0, length, 54), length), ())[0][0] == ("a: 223" if length > 223 else "223")


def test_words_slide_along_their_board_where_something_stands() -> None:
    """4/10 is tried next, then 6/10."""
    one = piece("a", box(0, 0, 3000, 100), 3000.0)
    for taken, at in (((1400, 1600), 1200), ((1100, 1600), 1800), ((900, 2100), 600)):
        room = Room(Sketch(20))
        room.boxes.append(box(taken[0], 0, taken[1], 100))
        wall_boards._level_label(room, one, ())
        assert texts(room.sketch)[0][1] == (at if at != 600 else 900 - 300)


@pytest.mark.parametrize(
    ("window", "said"),
    [
        ((0.0, 4000.0), [("a: 3000", 1500, 50)]),
        # 1000 of it shown, more than 3/10 of 3000
        ((2000.0, 6000.0), [("a: 3000", 2500, 50)]), ((2100.0, 6000.0), [("a: 3000", 2550, 50)]), ((2101.0, 6000.0), []),
        # of 1000 that a sheet shows half is enough, 500
        ((2500.0, 3500.0), [("a: 3000", 2750, 50)]), ((2501.0, 3501.0), []),
    ],
)  # fmt: skip
def test_a_board_has_its_words_where_enough_of_it_is_shown(window: tuple[float, float], said: list[Any]) -> None:
    assert labelled(piece("a", box(0, 0, 3000, 100), 3000.0), (), window) == said


def test_boards_of_a_part_of_a_wall_with_their_joints() -> None:
    made = zone(piece("a", box(500, 0, 4000, 100), 3500.0, past_mm=80.0), piece("b", box(0, 100, 3000, 200), 3000.0))
    for window, joints in (((2415.0, 4000.0), 1), ((0.0, 2415.0), 1), ((2416.0, 4000.0), 0), ((0.0, 2414.0), 0)):
        sketch = Sketch(20)
        wall_boards.draw_level_words(sketch, wall(), made, CUTS, window)
        assert lines(sketch) == [("WALL-BOARD-JOINT", (2415, 0), (2415, 100))] * joints
    said = Sketch(20)
    wall_boards.draw_level_words(said, wall(), made, CUTS, (0.0, 6000.0))
    assert [text for text, _, _ in texts(said)] == ["a-1: 2000", "a-2: 1500", "b: 3000"]


def test_boards_are_drawn_with_their_words_clear_of_openings() -> None:
    made = zone(piece("a", box(0, 0, 3000, 150), 3000.0), piece("b", box(0, 150, 3000, 300), 3000.0))
    sketch = Sketch(20)
    assert wall_boards.draw_boards(sketch, wall(6000, 2400, Opening("W", 1300.0, 160.0, 400.0, 900.0)), made, {})
    assert [item.points_mm for item in sketch.items if isinstance(item, Polyline)] == [
        one.outline_xy for one in made.pieces
    ]
    assert texts(sketch) == [("a: 3000", 1500, 75), ("b: 3000", 900, 225)]
    upright = zone(piece("a", box(0, 0, 200, 3000), 3000.0), level=False, cover=200.0)
    assert wall_boards.draw_boards(Sketch(20), wall(), upright, {})
    assert not wall_boards.draw_boards(Sketch(100), wall(), upright, {})


# ---- upright boards


@pytest.mark.parametrize(
    ("ring", "height"),
    [
        (box(0, 0, 200, 3000), 3000), (((0, 0), (200, 0), (200, 2400), (0, 3000)), 2700),
        # a corner less than a millimetre in belongs to the side
        (((0, 0), (200, 0), (200, 1000), (199.1, 2400), (0, 3000)), 2700),
        (((0, 0), (200, 0), (200, 1000), (199, 2400), (0, 3000)), 2000),
        (((0, 100), (100, 0), (200, 100), (100, 900)), 100), (((0, 0), (200, 0), (100, 900)), 900),
    ],
)  # fmt: skip
def test_how_high_a_board_stands_half_way_between_its_sides(ring: Any, height: float) -> None:
    assert wall_upright._least_height(piece("a", ring)) == height


def places(
    one: Any, cuts: Any = (), over_top: bool = False, scale: int = 20
) -> list[list[tuple[str, float, float, float, str]]]:
    found = wall_upright._own_places(Sketch(scale), one, cuts, wall(6000), over_top)
    return [
        [
            (each.text, pytest.approx(each.at[0]), pytest.approx(each.at[1]), each.angle_deg, each.align)
            for each in labels
        ]
        for labels in found
    ]


def test_places_of_a_mark_and_length_up_a_board() -> None:
    """At 1:20 letters are 50 high: "a: 3000" is 50 * (5 * 0.88 + 2 * 0.47) = 267, "3000" 176, 32 kept clear at either end.
    Of 3000 high 2669 are free in a line, 2760 side by side, each 31 off the middle."""
    one = piece("a", box(1000, 100, 1200, 3100), 3000.4)
    line = [[("a: 3000", 1100, 132 + part * 2669 + 133.5, 90.0, "centre")] for part in (0.5, 0.35, 0.65, 0.2, 0.8)]
    aside = [
        [(words, 1100 + way * 31, 132 + part * 2760 + 88, 90.0, "centre") for words, way in (("a", -1), ("3000", 1))]
        for part in (0.5, 0.35, 0.65, 0.2, 0.8)
    ]
    assert places(one) == [*line, *aside]
    assert places(one, over_top=True) == [*line, *aside, [("a: 3000", 1100, 3132, 90.0, "left")]]


def test_words_side_by_side_take_6_2_mm_of_paper_and_a_line_its_length() -> None:
    """124 wide at 1:20; 331 high for the line of 267, 240 for the 176 of the length."""
    for width, high, count in (
        (124.0, 331.0, 10), (123.9, 331.0, 5), (124.0, 330.9, 5), (123.9, 330.9, 0), (124.0, 240.0, 5), (124.0, 239.9, 0),
    ):  # fmt: skip
        assert len(places(piece("a", box(0, 0, width, high), 3000.0))) == count


def test_what_an_upright_board_is_cut_to_in_words() -> None:
    one = piece("a", box(-60, 0, 200, 3000), 2400.6, ripped_mm=87.4)
    (first, *_) = places(one)
    assert first[0][:2] == ("a: 2401, ripped to 87 seen", 100)
    assert places(piece("a", box(5900, 0, 6100, 3000), 2400.5))[0][0][:2] == ("a: 2400", 5950)
    assert places(one, CUTS["a"])[0][0][0] == "a: 2000 + 1500, ripped to 87 seen"


def test_marks_and_lengths_stand_on_boards_whose_middle_is_shown() -> None:
    made = zone(
        *(piece(f"V{n}", box(200 * n, 0, 200 * n + 200, 2400), 2400.0, row=n) for n in range(4)),
        level=False,
        cover=64.0,
    )
    sketch = Sketch(20)
    assert wall_upright.draw_upright_words(sketch, wall(), made, {})
    assert [text for text, _, _ in texts(sketch)] == ["V0: 2400", "V1: 2400", "V2: 2400", "V3: 2400"]
    for window, said in (((300.0, 500.0), ["V1", "V2"]), ((301.0, 499.0), []), ((-inf, 500.0), ["V0", "V1", "V2"])):
        sketch = Sketch(20)
        assert wall_upright.draw_upright_words(sketch, wall(), made, {}, window)
        assert [text for text, _, _ in texts(sketch)] == [f"{mark}: 2400" for mark in said]
    narrow = zone(*made.pieces, level=False, cover=63.9)
    sketch = Sketch(20)
    assert not wall_upright.draw_upright_words(sketch, wall(), narrow, {})
    assert [text for text, _, _ in texts(sketch)] == ["4 x 2400"]
    sketch = Sketch(20)
    assert not wall_upright.draw_upright_words(sketch, wall(), narrow, {}, (0.0, 900.0))
    assert sketch.items == []


def test_where_one_mark_finds_no_room_lengths_are_shared() -> None:
    """The third is 150 high, too short for its 132 of "150" up it; on a part of a wall its words stand over it."""
    rings = [box(0, 0, 200, 2400), box(200, 0, 400, 2400), box(400, 0, 600, 150)]
    made = zone(*(piece(f"V{n}", ring, ring[2][1], row=n) for n, ring in enumerate(rings)), level=False, cover=200.0)
    sketch = Sketch(20)
    assert not wall_upright.draw_upright_words(sketch, wall(), made, {})
    assert [text for text, _, _ in texts(sketch)] == ["2 x 2400", "150"]
    sketch = Sketch(20)
    assert wall_upright.draw_upright_words(sketch, wall(), made, {}, (0.0, 900.0))
    assert texts(sketch)[2] == ("V2: 150", 500, 182)


def groups(*pieces: Any, level: bool = False, direction: str = "vertical", cuts: Any = None) -> list[Any]:
    return [
        (label.x, label.foot, label.height, label.width, label.words)
        for label in wall_upright._groups(wall(6000), zone(*pieces, level=level, direction=direction), cuts or {})
    ]


def test_neighbours_with_one_foot_that_are_cut_alike_are_told_together() -> None:
    """Of three the middle one carries the words, of four the second; the first and last go past the framing."""
    four = [piece(f"V{n}", box(150 * n - 60, 0.1 * n, 150 * n + 90, 2400 - n), 2399.8, row=n) for n in range(4)]
    assert groups(*reversed(four)) == [(165, 0.1, pytest.approx(2396.7), 600, "4 x 2400")]
    assert groups(*four[:3]) == [(165, 0.1, pytest.approx(2397.8), 450, "3 x 2400")]
    assert groups(four[0]) == [(45, 0, 2400, 150, "2400")]
    assert groups(piece("V9", box(5900, 0, 6100, 100), 99.0)) == [(5950, 0, 100, 200, "99")]
    # a row between them, another foot, another cut, another rip: each by itself
    assert [row[4] for row in groups(four[0], four[2])] == ["2400", "2400"]
    assert [row[4] for row in groups(four[0], piece("V1", box(90, 50, 240, 2400), 2399.8, row=1))] == ["2400", "2400"]
    assert [row[4] for row in groups(*four[:2], cuts=CUTS | {"V1": CUTS["a"]})] == ["2400", "2000 + 1500"]
    ripped = [piece(f"R{n}", box(0, 0, 80, 2400), 2400.5, row=n, ripped_mm=80.4) for n in (0, 1)]
    assert [row[4] for row in groups(*ripped)] == ["2 x 2400, ripped to 80 seen"]
    assert [row[4] for row in groups(*ripped, direction="sheets")] == ["2 x 2400, ripped to 80"]
    assert [row[4] for row in groups(ripped[0], piece("R1", box(0, 0, 80, 2400), 2400.0, row=1))] == [
        "2400, ripped to 80 seen", "2400",
    ]  # fmt: skip


def upright(height: float, width: float, step: float = 300.0) -> list[tuple[float, float, float]]:
    label = wall_upright._Label(500.0, 10.0, height, width, "2400")
    return [
        (pytest.approx(each.at[0]), pytest.approx(each.at[1]), each.angle_deg)
        for (each,) in wall_upright._upright_places(Sketch(20), label, 10.0, step)
    ]


def test_places_of_a_shared_length() -> None:
    """At 1:20 "2400" is 176: 40 up from the foot, so a board of 216 has one place in each of seven lines and one of 516 a
    second, 300 up; lying across boards of 176 together that are over 50 high."""
    aside = [500 + 20 * off for off in (0.0, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6)]
    assert upright(216.0, 100.0) == [(x, 50, 90.0) for x in aside]
    assert upright(516.0, 100.0) == [(x, y, 90.0) for x in aside for y in (50, 350)]
    assert upright(215.9, 100.0) == []
    assert upright(100.0, 176.01) == [(500, 60, 0.0)]
    assert upright(100.0, 175.9) == []
    assert upright(50.0, 300.0) == []
    assert upright(50.1, 300.0) == [(500, 35.05, 0.0)]


def test_shared_lengths_go_row_by_row_each_a_step_up() -> None:
    """ "2400" and 2 mm of paper: 216 a step for all of a row; what stands over a foot of its own has its own step."""
    low = [piece(f"V{n}", box(n * 150, 0, n * 150 + 150, 2400 - n), 2400.0 - n, row=n) for n in range(2)]
    high = piece("V9", box(0, 3000, 150, 3900), 900.0, row=9)
    sketch = Sketch(20)
    wall_upright._shared_labels(sketch, wall(6000, 4000), zone(high, *low, level=False), {})
    assert texts(sketch) == [("2400", 75, 40), ("2399", 225, 40), ("900", 75, 3040)]


# ---- storey rods and board lines


def marked(*zones: Any, ground: float = -inf, scale: int = 20) -> Sketch:
    sketch = Sketch(scale)
    wall_marks.draw_marks(sketch, zones, (0.0, -50.0, 6000.0, 2400.0), ground)
    return sketch


def test_a_storey_rod_stands_beside_the_wall_with_every_course_that_has_room() -> None:
    """At 1:20 words are 58 apart: every course of 100, every second of 50, the last always, and none so near it."""
    sketch = marked(zone(cover=100.0, marks_mm=(-50.0, 50.0, 150.0)))
    assert lines(sketch) == [("WALL-MARK", (-100, y), (-30, y)) for y in (-50, 50, 150)]
    assert texts(sketch) == [
        ("course: over floor", -60, 2450), ("1: -50", -120, -50), ("2: 50", -120, 50), ("3: 150", -120, 150),
    ]  # fmt: skip
    assert {(t.layer, t.height_mm, t.angle_deg, t.align, t.middle) for t in sketch.items if isinstance(t, Text)} == {
        ("WALL-MARK", 50, 0, "right", True)
    }
    for cover, count, said in (
        (58.0, 4, ["1", "2", "3", "4"]), (57.9, 4, ["1", "4"]), (57.9, 5, ["1", "3", "5"]), (29.0, 6, ["1", "3", "6"]),
        (28.9, 12, ["1", "6", "12"]),
    ):  # fmt: skip
        rows = [
            text.partition(":")[0]
            for text, _, _ in texts(marked(zone(cover=cover, marks_mm=tuple(n * cover for n in range(count)))))
        ]
        assert rows[1:] == said


@pytest.mark.parametrize(
    ("cover", "step"),
    [(58.0, 1), (57.9, 2), (29.0, 2), (28.9, 5), (11.6, 5), (5.8, 10), (2.9, 20), (1.16, 50), (0.58, 100), (0.1, 100)],
)
def test_every_how_many_courses_have_words(cover: float, step: int) -> None:
    assert wall_marks._step(Sketch(20), zone(cover=cover)) == step


def test_rods_of_two_zones_share_their_room() -> None:
    low, high = zone(cover=100.0, marks_mm=(0.0, 100.0)), zone(cover=100.0, marks_mm=(157.0, 158.0, 300.0))
    assert [text for text, _, _ in texts(marked(low, high))] == [
        "course: over floor",
        "1: 0",
        "2: 100",
        "2: 158",
        "3: 300",
    ]


def test_board_lines_under_a_wall_are_counted_from_the_first() -> None:
    """Lines of 30 to 90 under the boards' foot at -50, words 104 under it; the first is said where it is not at 0."""
    sketch = marked(zone(level=False, cover=100.0, marks_mm=(-40.0, 60.0, 160.0)))
    assert lines(sketch) == [("WALL-MARK", (x, -140), (x, -80)) for x in (-40, 60, 160)]
    assert texts(sketch) == [("0", -40, -154), ("100", 60, -154), ("200", 160, -154), ("0 is at -40", -100, -210)]
    angles = [(t.angle_deg, t.align) for t in sketch.items if isinstance(t, Text)]
    assert angles == [(90, "right")] * 3 + [(0, "right")]
    for first, said in ((0.49, []), (0.5, ["0 is at 1"]), (-0.5, ["0 is at -1"]), (70.0, ["0 is at 70"])):
        found = texts(marked(zone(level=False, cover=100.0, marks_mm=(first, first + 100))))[2:]
        assert found == [(words, min(0.0, first) - 60, -210) for words in said]


@pytest.mark.parametrize(
    ("ground", "y"), [(-inf, -210), (-260.0, -210), (-259.9, -154), (-210.0, -280), (-160.1, -280), (-160.0, -210)]
)
def test_where_the_first_line_lies_keeps_off_the_ground(ground: float, y: float) -> None:
    """160 under the foot at 1:20 first, then 230, then 104: 50 off the line of the ground."""
    found = texts(marked(zone(level=False, cover=100.0, marks_mm=(40.0, 140.0)), ground=ground))
    assert found[-1] == ("0 is at 40", -60, y)


def test_board_lines_that_meet_have_the_words_of_the_ends() -> None:
    """58 apart at 1:20: of boards of 40 every second, and none so near the last."""
    found = texts(marked(zone(level=False, cover=40.0, marks_mm=(0.0, 40.0, 80.0, 120.0, 160.0, 200.0))))
    assert [text for text, _, _ in found] == ["0", "80", "200"]
    assert [text for text, _, _ in texts(marked(zone(level=False, cover=57.0, marks_mm=(0.0, 57.0))))] == ["0"]
    assert [text for text, _, _ in texts(marked(zone(level=False, cover=58.0, marks_mm=(0.0, 58.0))))] == ["0", "58"]
    assert marked(zone(level=False)).items == []


def test_of_zones_over_each_other_the_lines_of_the_first_stand_under_the_wall() -> None:
    """From 0 to 200; from 100 on meets it, from 200 on lies beside it and shares its first line's place, from 300 not."""
    first = zone(level=False, cover=100.0, marks_mm=(0.0, 100.0, 200.0))
    for start, said in ((199.0, []), (200.0, ["100"]), (257.0, ["100"]), (258.0, ["0", "100"])):
        other = zone(level=False, cover=100.0, marks_mm=(start, start + 100.0))
        assert [text for text, _, _ in texts(marked(first, other))] == ["0", "100", "200", *said]
    left = zone(level=False, cover=100.0, marks_mm=(-100.0, 0.0))
    assert [text for text, _, _ in texts(marked(first, left))] == ["0", "100", "200", "0", "100"]
