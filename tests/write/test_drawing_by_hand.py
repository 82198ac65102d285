"""Small parts of drawings by hand: dimensions, letters, the frame, room for words, places inside a plane. Every limit is
met exactly and just missed."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, sqrt

import pytest
from drawn_by_hand import flat

from takeoff.basics.vectors import Point2, Ring2
from takeoff.write.drawings.drawing import (
    Circle,
    Dimension,
    Drawing,
    Fill,
    Line,
    Polyline,
    Sketch,
    Text,
    bounds,
    readable_angle,
    text_width,
)
from takeoff.write.drawings.frame import (
    A1,
    A2,
    A3,
    A4,
    CAUTION,
    SCALES,
    TitleBlock,
    choose_scale,
    finish,
    free_area,
    wrap,
)
from takeoff.write.drawings.label_places import edge_distance, grid_inside, inside, roomiest, segment_distance
from takeoff.write.drawings.label_room import MOST_LOOKED, Label, Room, ring_lines, slid

BLANK = Drawing("", "", 50, (297.0, 210.0), (0.0, 0.0), (), text_mm=4.0)
# an L: 8 x 6 with its upper right 5 x 4 left out
L_RING: Ring2 = ((0.0, 0.0), (8.0, 0.0), (8.0, 2.0), (3.0, 2.0), (3.0, 6.0), (0.0, 6.0))


def same(found: object, wanted: object, tolerance: float = 1e-9) -> None:
    assert flat(found) == pytest.approx(flat(wanted), abs=tolerance)


@pytest.mark.parametrize(
    ("angle", "measured", "feet", "figure", "at"),
    [
        (0.0, 300.0, ((100.0, 900.0), (400.0, 900.0)), "300", (250.0, 1050.0)),
        (90.0, 400.0, ((50.0, 200.0), (50.0, 600.0)), "400", (-100.0, 400.0)),
        # along (0.6, 0.8): from (50, 900) the ends reach 0.6 x 50 + 0.8 x -700 = -530 and 0.6 x 350 + 0.8 x -300 = -30
        (53.13010235415598, 500.0, ((-268.0, 476.0), (32.0, 876.0)), "500", (-118.0 - 120.0, 676.0 + 90.0)),
    ],
)
def test_a_dimension_says_what_lies_between_its_ends(
    angle: float, measured: float, feet: tuple[Point2, Point2], figure: str, at: Point2
) -> None:
    """From (100, 200) to (400, 600), through (50, 900). The figure stands 4 / 2 + 1 = 3 mm over the line: 150 at 1:50."""
    one = Dimension("DIM", (100.0, 200.0), (400.0, 600.0), (50.0, 900.0), angle)
    assert one.measured_mm == pytest.approx(measured)
    same(one.feet(), feet)
    said = one.figure(BLANK)
    assert (said.layer, said.text, said.height_mm, said.angle_deg, said.align, said.middle) == (
        "DIM", figure, 200.0, angle, "centre", True,
    )  # fmt: skip
    same(said.at_mm, at)


def test_a_sketch_makes_paper_sizes_real() -> None:
    sketch = Sketch(20)
    sketch.line("A", (1.0, 2.0), (3.0, 4.0))
    sketch.ring("B", [(1.0, 2.0), (3.0, 4.0)])
    sketch.ring("B", [(1.0, 2.0), (3.0, 4.0)], closed=False)
    sketch.fill("C", [[(1.0, 2.0), (3.0, 4.0), (5.0, 0.0)]], 0.25)
    sketch.circle("D", (1.0, 2.0), 1.5)
    sketch.text("E", (1.0, 2.0), "words", 2.5)
    sketch.text("E", (1.0, 2.0), "words", 2.5, 30.0, "right", True)
    sketch.dimension((1.0, 2.0), (3.0, 4.0), (5.0, 6.0), 90.0)
    assert sketch.items == [
        Line("A", (1.0, 2.0), (3.0, 4.0)),
        Polyline("B", ((1.0, 2.0), (3.0, 4.0)), True),
        Polyline("B", ((1.0, 2.0), (3.0, 4.0)), False),
        Fill("C", (((1.0, 2.0), (3.0, 4.0), (5.0, 0.0)),), 0.25),
        Circle("D", (1.0, 2.0), 30.0),
        Text("E", (1.0, 2.0), "words", 50.0, 0.0, "left", False),
        Text("E", (1.0, 2.0), "words", 50.0, 30.0, "right", True),
        Dimension("DIM", (1.0, 2.0), (3.0, 4.0), (5.0, 6.0), 90.0),
    ]
    assert Drawing("n", "t", 20, (1.0, 2.0), (0.0, 0.0), ()).text_mm == 2.5


def test_an_arrow_has_a_head_of_three_mm_a_third_as_wide_either_way() -> None:
    """From (0, 0) to (300, 400) at 1:10: the head of 30 mm begins at (282, 376), its wings 10 mm square off it."""
    sketch = Sketch(10)
    sketch.arrow("A", (0.0, 0.0), (300.0, 400.0))
    line, head = sketch.items
    assert isinstance(line, Line)
    assert isinstance(head, Fill)
    same((line.a_mm, line.b_mm), ((0.0, 0.0), (282.0, 376.0)))
    same(head.rings_mm, (((300.0, 400.0), (274.0, 382.0), (290.0, 370.0)),))
    assert head.shade == 1.0
    sketch = Sketch(10)
    sketch.arrow("A", (5.0, 5.0), (105.0, 5.0), 6.0)
    assert isinstance(sketch.items[1], Fill)
    same(sketch.items[1].rings_mm, (((105.0, 5.0), (45.0, 25.0), (45.0, -15.0)),))
    sketch.arrow("A", (5.0, 5.0), (5.0, 5.0))
    assert len(sketch.items) == 2


@pytest.mark.parametrize(
    ("text", "width"),
    [("A", 1.06), ("a", 0.88), ("8", 0.88), ("i", 0.47), (".", 0.47), (" ", 0.47), ("M", 1.36), ("w", 0.88), ("m", 1.36), ("W", 1.36), ("%", 1.36), ("@", 1.36), ("P1 m", 1.06 + 0.88 + 0.47 + 1.36), ("", 0.0)],
)  # fmt: skip
def test_widths_of_letters(text: str, width: float) -> None:
    """Regression: room that common faces never go past, in heights of capitals."""
    assert text_width(text, 5.0) == pytest.approx(5.0 * width)


@pytest.mark.parametrize(
    ("to", "angle"),
    [
        ((1, 0), 0),
        ((1, 1), 45),
        ((0, 1), 90),
        ((-1, 1), -45),
        ((-1, 0), 0),
        ((-1, -1), 45),
        ((0, -1), 90),
        ((1, -1), -45),
    ],
)
def test_words_are_read_from_below_or_from_the_right(to: Point2, angle: float) -> None:
    assert readable_angle((5.0, 5.0), (5.0 + to[0], 5.0 + to[1])) == pytest.approx(angle)


def test_bounds() -> None:
    assert bounds(L_RING) == (0.0, 0.0, 8.0, 6.0)
    with pytest.raises(ValueError, match="unpack"):
        bounds(())


def test_the_largest_scale_at_which_it_fits() -> None:
    """Exactly fitting fits; a hair more takes the next one; what fits nowhere is drawn at the smallest."""
    assert SCALES == (1, 2, 5, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 2000, 5000, 10_000, 50_000)
    for scale, following in pairwise(SCALES):
        assert choose_scale((100.0 * scale, 50.0 * scale), (100.0, 50.0)) == scale
        assert choose_scale((100.0 * scale + 0.01, 50.0 * scale), (100.0, 50.0)) == following
        assert choose_scale((100.0 * scale, 50.0 * scale + 0.01), (100.0, 50.0)) == following
    assert choose_scale((1e9, 0.0), (100.0, 50.0)) == 50_000


def test_paper_and_what_is_free_of_it() -> None:
    """ISO 216; 20 mm at the left and 10 elsewhere (ISO 5457), and a strip of 30 at the foot."""
    assert (A4, A3, A2, A1) == ((297.0, 210.0), (420.0, 297.0), (594.0, 420.0), (841.0, 594.0))
    assert free_area(A4) == (267.0, 160.0)
    assert free_area(A3) == (390.0, 247.0)


def test_words_fill_their_lines_exactly() -> None:
    room = text_width("one two", 2.5)
    assert wrap("one two three", room, 2.5) == ("one two", "three")
    assert wrap("one two three", room - 1e-6, 2.5) == ("one", "two", "three")
    assert wrap("incomprehensible if", 1.0, 2.5) == ("incomprehensible", "if")
    assert wrap("", 10.0, 2.5) == ()


def block(banner: str) -> TitleBlock:
    return TitleBlock("House", "revision B", "2 March 2026", "Roof plan", "R1", banner)


def test_frame_and_title_block_by_hand() -> None:
    """A3 at 1:10, the point (1000, 2000) laid 100 and 80 mm from the corner of the free area: that is 120 and 120 mm from
    the corner of the paper, which lies at (-200, 800)."""
    sketch = Sketch(10)
    drawing = finish(sketch, "name", block("ON HOLD"), A3, (1000.0, 2000.0), (100.0, 80.0))
    assert (drawing.name, drawing.title, drawing.scale, drawing.paper_mm) == ("name", "Roof plan", 10, A3)
    assert drawing.corner_mm == (-200.0, 800.0)
    at = lambda x, y: (-200.0 + 10.0 * x, 800.0 + 10.0 * y)  # noqa: E731
    assert drawing.items[:3] == (
        Polyline("TITLE", (at(20, 10), at(410, 10), at(410, 287), at(20, 287))),
        Line("TITLE", at(20, 40), at(410, 40)),
        Line("TITLE", at(230, 10), at(230, 40)),
    )
    words = [
        (item.layer, item.at_mm, item.text, item.height_mm) for item in drawing.items[3:] if isinstance(item, Text)
    ]
    assert words == [
        ("TITLE", at(233, 31), "Roof plan", 70.0),
        ("TITLE", at(233, 23), "House", 35.0),
        ("TITLE", at(233, 17.5), "Revision B, 2 March 2026, drawing R1", 25.0),
        ("TITLE", at(233, 12.5), "1:10 on paper. Drawn in mm at real size; all dimensions in mm.", 25.0),
        ("HOLD", at(23, 31.5), "ON HOLD", 50.0),
        ("TITLE", at(23, 26), CAUTION, 25.0),
    ]
    small = finish(Sketch(10), "name", block(""), A4, (0.0, 0.0), (0.0, 0.0))  # 81 mm are left for it
    lines = [item for item in small.items[7:] if isinstance(item, Text)]
    assert " ".join(item.text for item in lines) == CAUTION
    assert [item.at_mm[1] - small.corner_mm[1] for item in lines] == [
        10.0 * (10 + 22.5 - 4 * n) for n in range(len(lines))
    ]
    assert len(lines) == 3


def test_a_banner_too_long_for_its_strip_is_smaller() -> None:
    """390 - 180 - 6 = 204 mm: 38 small letters of 0.88 x 5 = 4.4 mm are 167.2, 46 are 202.4, 47 are 206.8."""
    for letters, heights in ((46, [50.0]), (47, [35.0])):
        drawing = finish(Sketch(10), "name", block("a" * letters), A3, (0.0, 0.0), (0.0, 0.0))
        assert [item.height_mm for item in drawing.items if isinstance(item, Text) and item.layer == "HOLD"] == heights
    two = finish(Sketch(10), "name", block(f"{'a' * 50} {'b' * 50}"), A3, (0.0, 0.0), (0.0, 0.0))
    y = [item.at_mm[1] - two.corner_mm[1] for item in two.items if isinstance(item, Text) and item.layer == "HOLD"]
    assert y == pytest.approx([(10 + 28 - 5) * 10, (10 + 28 - 10) * 10])


@pytest.mark.parametrize(
    ("align", "angle", "corners"),
    [
        # "aa" 2 mm high at 1:10: 2 x 0.88 x 20 = 35.2 long, 20 high, 2 kept clear over and under, 3 at both ends
        ("left", 0.0, ((97.0, 188.0), (138.2, 188.0), (138.2, 212.0), (97.0, 212.0))),
        ("centre", 0.0, ((79.4, 188.0), (120.6, 188.0), (120.6, 212.0), (79.4, 212.0))),
        ("right", 0.0, ((61.8, 188.0), (103.0, 188.0), (103.0, 212.0), (61.8, 212.0))),
        ("left", 90.0, ((112.0, 197.0), (112.0, 238.2), (88.0, 238.2), (88.0, 197.0))),
    ],
)
def test_the_room_of_a_label(align: str, angle: float, corners: Ring2) -> None:
    same(Room(Sketch(10)).box(Label("TEXT", (100.0, 200.0), "aa", 2.0, angle, align)), corners)


def test_words_stand_inside_their_bounds_exactly() -> None:
    box = ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0))
    assert Room(Sketch(1), within=(0.0, 0.0, 10.0, 5.0)).clear(box)
    for within in ((0.1, 0.0, 10.0, 5.0), (0.0, 0.1, 10.0, 5.0), (0.0, 0.0, 9.9, 5.0), (0.0, 0.0, 10.0, 4.9)):
        assert not Room(Sketch(1), within=within).clear(box)


def test_lines_that_words_keep_off_where_they_can() -> None:
    room = Room(Sketch(10))
    label = Label("TEXT", (0.0, 0.0), "word", 2.5)
    higher = Label("TEXT", (0.0, 500.0), "word", 2.5)
    room.soft.append(((-500.0, 0.0), (500.0, 0.0)))
    assert room.over_soft([label])
    assert not room.over_soft([higher])
    assert room.place([label, higher], (0.0, 0.0))
    assert [item.at_mm for item in room.sketch.items if isinstance(item, Text)] == [(0.0, 500.0)]
    assert room.place([label], (0.0, 0.0))  # where nothing else serves
    assert [item.at_mm for item in room.sketch.items if isinstance(item, Text)] == [(0.0, 500.0), (0.0, 0.0)]
    assert not room.place([], (0.0, 0.0))


def test_words_are_led_out_in_sixteen_ways_nearest_first() -> None:
    """5 mm away, 50 at 1:10, the first way 11.25 degrees up from the right; the leader ends 0.6 mm before the words."""
    room = Room(Sketch(10))
    assert room.lead_out(Label("TEXT", (7.0, 7.0), "aa", 2.0, 30.0, "left"), (100.0, 200.0))
    dot, line, text = room.sketch.items
    at = (100.0 + 50.0 * cos(pi / 16), 200.0 + 50.0 * sin(pi / 16))
    assert isinstance(text, Text)
    same(text.at_mm, at)
    assert (text.text, text.angle_deg, text.align, text.middle) == ("aa", 0.0, "centre", True)
    assert dot == Circle("DIM", (100.0, 200.0), 4.0)
    assert isinstance(line, Line)
    left = at[0] - 17.6 - 3.0  # the end of the words' room, level with its point
    assert at[1] - 12.0 < 200.0 < at[1] + 12.0
    same((line.a_mm, line.b_mm), ((100.0, 200.0), (left - 6.0, 200.0)))
    assert room.lines == [(line.a_mm, line.b_mm)]
    # the next one goes another way
    assert room.lead_out(Label("TEXT", (7.0, 7.0), "aa", 2.0), (100.0, 200.0))
    second = [item for item in room.sketch.items if isinstance(item, Text)][1]
    turn = atan2(second.at_mm[1] - 200.0, second.at_mm[0] - 100.0) * 8.0 / pi - 0.5
    assert turn == pytest.approx(round(turn))
    assert hypot(second.at_mm[0] - 100.0, second.at_mm[1] - 200.0) == pytest.approx(50.0)


def test_words_are_led_no_nearer_than_asked() -> None:
    for least, far in ((0.0, 50.0), (5.0, 50.0), (5.1, 75.0), (52.0, 520.0)):
        room = Room(Sketch(10))
        assert room.lead_out(Label("TEXT", (0.0, 0.0), "a", 2.0), (0.0, 0.0), least)
        (text,) = (item for item in room.sketch.items if isinstance(item, Text))
        assert hypot(*text.at_mm) == pytest.approx(far)
    room = Room(Sketch(10))
    assert not room.lead_out(Label("TEXT", (0.0, 0.0), "a", 2.0), (0.0, 0.0), 52.1)
    assert room.sketch.items == []


def test_a_leader_ends_at_the_nearest_point_of_its_words() -> None:
    room = Room(Sketch(10))
    box = ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0))
    # towards the corner (0, 0) from (-30, -40): 50 mm, 6 of them left
    same(room.leader((-30.0, -40.0), box), ((-30.0, -40.0), (-3.6, -4.8)))
    same(room.leader((200.0, 20.0), box), ((200.0, 20.0), (106.0, 20.0)))
    same(room.leader((20.0, 90.0), box), ((20.0, 90.0), (20.0, 56.0)))
    same(room.leader((50.0, 54.0), box), ((50.0, 54.0), (50.0, 54.0)))  # nearer than the gap
    same(room.leader((50.0, 25.0), box), ((50.0, 25.0), (50.0, 25.0)))  # inside


def test_a_leader_crosses_no_words_and_no_other_leader() -> None:
    room = Room(Sketch(10))
    room.lines.append(((-100.0, 5.0), (100.0, 5.0)))  # lines it may cross
    assert room.leads(((0.0, 0.0), (0.0, 50.0)))
    room.draw_leader(((-50.0, 20.0), (50.0, 20.0)))
    assert not room.leads(((0.0, 0.0), (0.0, 50.0)))
    room = Room(Sketch(10))
    room.boxes.append(((-5.0, 20.0), (5.0, 20.0), (5.0, 30.0), (-5.0, 30.0)))
    assert not room.leads(((0.0, 0.0), (0.0, 50.0)))
    assert room.leads(((0.0, 0.0), (0.0, 19.0)))


def test_a_crowded_drawing_seeks_no_more_places() -> None:
    room = Room(Sketch(10))
    room._looked = MOST_LOOKED
    assert not room.crowded
    label = Label("TEXT", (0.0, 0.0), "a", 2.0)
    assert room.keep_first([[label]]) == [label]
    room._looked = MOST_LOOKED + 1
    assert room.crowded
    assert not room.place([Label("TEXT", (900.0, 0.0), "a", 2.0)], (0.0, 0.0))
    assert room.keep_first([[Label("TEXT", (900.0, 0.0), "a", 2.0)]]) == ()
    assert not room.lead_out(label, (900.0, 900.0))
    assert room.sketch.items == []


def test_the_room_of_signs_and_all_that_is_kept() -> None:
    room = Room(Sketch(10))
    assert room.square((5.0, 7.0), 2.0) == ((-15.0, -13.0), (25.0, -13.0), (25.0, 27.0), (-15.0, 27.0))
    room.add_ring(((0.0, 0.0), (40.0, 0.0), (0.0, 90.0)))
    assert room.lines == [((0.0, 0.0), (40.0, 0.0)), ((40.0, 0.0), (0.0, 90.0)), ((0.0, 90.0), (0.0, 0.0))]
    assert room.lines == ring_lines(((0.0, 0.0), (40.0, 0.0), (0.0, 90.0)))
    room.boxes.append(room.square((5.0, 7.0), 2.0))
    assert room.extent() == (-15.0, -13.0, 40.0, 90.0)


def test_a_label_slides_along_itself_both_ways_nearest_first() -> None:
    label = Label("TEXT", (10.0, 20.0), "a", 2.0, 90.0, "left")
    moved = list(slid(label, 25.0, 10.0))
    same([one.at for one in moved], [(10, 20), (10, 30), (10, 10), (10, 40), (10, 0), (10, 45), (10, -5)])
    assert {(one.layer, one.text, one.height_mm, one.angle_deg, one.align) for one in moved} == {
        ("TEXT", "a", 2.0, 90.0, "left")
    }
    same(
        [one.at for one in slid(Label("TEXT", (0.0, 0.0), "a", 2.0, 30.0), 10.0, 10.0)],
        [(0, 0), (5 * sqrt(3), 5), (-5 * sqrt(3), -5)],
    )
    assert len(list(slid(label, 20.0, 10.0))) == 5
    assert [one.at for one in slid(label, -3.0, 10.0)] == [(10.0, 20.0)]


@pytest.mark.parametrize(
    ("point", "found"),
    [((1.0, 1.0), True), ((7.0, 1.0), True), ((7.0, 3.0), False), ((2.0, 5.0), True), ((4.0, 5.0), False), ((-1.0, 1.0), False), ((9.0, 1.0), False), ((1.0, 7.0), False)],
)  # fmt: skip
def test_points_inside_and_outside(point: Point2, found: bool) -> None:
    assert inside((L_RING,), point) is found
    hole = ((0.5, 0.5), (1.5, 0.5), (1.5, 1.5), (0.5, 1.5))
    assert inside((L_RING, hole), point) is (found and point != (1.0, 1.0))


def test_distances_to_edges() -> None:
    assert segment_distance((3.0, 4.0), (0.0, 0.0), (10.0, 0.0)) == 4.0
    assert segment_distance((13.0, 4.0), (0.0, 0.0), (10.0, 0.0)) == 5.0
    assert segment_distance((-3.0, 4.0), (0.0, 0.0), (10.0, 0.0)) == 5.0
    assert segment_distance((4.0, 5.0), (1.0, 1.0), (1.0, 1.0)) == 5.0
    # 12 x 5 triangle: the foot of the corner on the long side is 60 / 13 away
    assert segment_distance((0.0, 0.0), (12.0, 0.0), (0.0, 5.0)) == pytest.approx(60.0 / 13.0)
    assert edge_distance((L_RING,), (2.5, 5.0)) == 0.5
    assert edge_distance((L_RING, ((2.4, 4.9), (2.4, 5.2), (2.2, 5.0))), (2.5, 5.0)) == pytest.approx(0.1)


def test_the_roomiest_point_on_a_grid_of_24() -> None:
    """Cells of 8 / 24 = 1/3: the middles lie at 1/6 + i/3. Nearest the corner of the L, where its legs meet, most room."""
    at, room = roomiest((L_RING,))
    found = max(
        ((edge_distance((L_RING,), p), -p[1], -p[0]) for p in ((1 / 6 + i / 3, 1 / 6 + j / 3) for i in range(24) for j in range(18)) if inside((L_RING,), p)),
    )  # fmt: skip
    assert room == pytest.approx(found[0])
    same(at, (-found[2], -found[1]))
    # what lies over it is kept off
    over = ((0.0, 0.0), (3.0, 0.0), (3.0, 6.0), (0.0, 6.0))
    at, room = roomiest((L_RING,), ((over,),))
    assert 3.0 < at[0] < 8.0
    assert room == pytest.approx(5.0 / 6.0, abs=0.17)
    assert roomiest((L_RING,), ((((-1.0, -1.0), (9.0, -1.0), (9.0, 7.0), (-1.0, 7.0)),),)) == ((4.0, 3.0), 0.0)
    assert roomiest((((2.0, 2.0), (2.0, 2.0), (2.0, 2.0)),)) == ((2.0, 2.0), 0.0)


def test_places_inside_a_plane_those_with_most_room_first() -> None:
    points = grid_inside((L_RING,), 4)  # cells of 2: middles at 1, 3, 5, 7
    assert points == [(1.0, 1.0), (3.0, 1.0), (5.0, 1.0), (7.0, 1.0), (1.0, 3.0), (1.0, 5.0)]
    ring = ((0.0, 0.0), (12.0, 0.0), (12.0, 6.0), (0.0, 6.0))
    # cells of 3: all lie 1.5 from an edge, so they come row by row
    assert grid_inside((ring,), 4) == [(x, y) for y in (1.5, 4.5) for x in (1.5, 4.5, 7.5, 10.5)]
    assert len(grid_inside((ring,))) == 72
    assert grid_inside((((2.0, 2.0), (2.0, 2.0), (2.0, 2.0)),)) == []
