"""Parts of the roof plan and of elevations by hand: signs, keys, schedules, thresholds [mm at 1:100 unless said]."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import pytest
from drawn_by_hand import same

from takeoff.basics.vectors import Point2
from takeoff.model.drainage import GutterLeg
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Takeoff
from takeoff.model.walls import WallBoards
from takeoff.write.drawings.drawing import Circle, Fill, Line, Sketch, Text
from takeoff.write.drawings.frame import A1, A2, A3
from takeoff.write.drawings.label_room import Room
from takeoff.write.drawings.plan_drawing import (
    _inner_side,
    _key,
    _north,
    _paper,
    _plane_lines,
    _schedule,
    _stacked,
    _steps,
    letter,
)
from takeoff.write.drawings.plan_marks import _beyond, _lay_bar, _leg, _spans, _strip, draw_fall, lay_arrow
from takeoff.write.drawings.plan_place import Place
from takeoff.write.drawings.wall_marks import _near_end, _step, draw_marks


def texts(sketch: Sketch) -> list[tuple[str, Point2, float, str]]:
    return [(item.text, item.at_mm, item.height_mm, item.align) for item in sketch.items if isinstance(item, Text)]


def test_points_strips_and_bars_along_a_line() -> None:
    """Along (3, 4) / 5."""
    a, b = (0.0, 0.0), (300.0, 400.0)
    same(_beyond(a, b, 50.0), (330.0, 440.0))
    same(_beyond(b, a, 50.0), (-30.0, -40.0))
    same(_strip(a, b, 50.0), ((40.0, -30.0), (340.0, 370.0), (260.0, 430.0), (-40.0, 30.0)))
    sketch = Sketch(100)
    _lay_bar(sketch, a, b)
    (bar,) = sketch.items
    assert isinstance(bar, Line)
    assert bar.layer == "START-LINE"
    same((bar.a_mm, bar.b_mm), ((-144.0, 108.0), (144.0, -108.0)))  # 1.8 mm to either side
    sketch = Sketch(100)
    lay_arrow(sketch, a, (1000.0, 0.0))
    first, shaft, head = sketch.items
    assert isinstance(first, Line)
    assert isinstance(shaft, Line)
    assert isinstance(head, Fill)
    same((first.a_mm, first.b_mm, shaft.a_mm, shaft.b_mm), ((0, 180), (0, -180), (0, 0), (650, 0)))
    assert (shaft.layer, head.layer) == ("LAY-ARROW", "LAY-ARROW")


def test_the_way_out_of_a_leg_of_spouting(sample: Takeoff) -> None:
    """From a to b runs left to right seen from outside, so outside is at its right hand."""
    roof = sample.roofs[0]
    place = Place((roof.origin_mm[0] - 10.0, roof.origin_mm[1] - 20.0, 0.0))
    leg = GutterLeg("eave 1", (1,), (100.0, 200.0, 0.0), (400.0, 600.0, 0.0), 500.0, 1e6)
    a, b, out = _leg(place, roof, leg)
    same((a, b, out), ((110.0, 220.0), (410.0, 620.0), (0.8, -0.6)))
    assert _leg(place, roof, GutterLeg("eave 1", (1,), (1.0, 2.0, 0.0), (1.0, 2.0, 9.0), 0.0, 1e6))[2] == (0.0, 0.0)


def test_a_level_line_through_a_plane(sample: Takeoff) -> None:
    """The hand-made hip's front: 12 000 along the eave; at half its height 2000 in from either end."""
    plane = sample.roofs[0].planes[0]
    ring = plane.rings_uv[0]
    top = max(v for _, v in ring)
    left, right = min(u for u, v in ring if v < 1.0), max(u for u, v in ring if v < 1.0)
    ends = sorted(u for u, v in ring if v > top - 1.0)
    ((low, high),) = _spans(plane, top / 2.0)
    assert (low, high) == pytest.approx(((left + ends[0]) / 2.0, (right + ends[-1]) / 2.0))
    assert _spans(plane, -1.0) == []
    assert _spans(plane, top + 1.0) == []
    ((low, high),) = _spans(plane, 0.0)  # along the foot itself
    assert (low, high) == pytest.approx((left, right))


def test_the_fall_stands_beside_the_words_down_the_slope() -> None:
    """Water runs to (0, -1): the arrow lies 11 mm right of the words, 7 either way; its word 2.6 mm beside it, on the
    right first."""
    room = Room(Sketch(100))
    square = ((-9000.0, -9000.0), (9000.0, -9000.0), (9000.0, 9000.0), (-9000.0, 9000.0))
    draw_fall(room, (0.0, 0.0), (0.0, -1.0), 7.0, (square,))
    shaft = next(item for item in room.sketch.items if isinstance(item, Line))
    same((shaft.a_mm, shaft.b_mm), ((1100.0, 700.0), (1100.0, -400.0)))
    ((text, at, height, _),) = texts(room.sketch)
    assert (text, height) == ("fall", 250.0)
    same(at, (1100.0 + 260.0, 0.0))
    # level water: 12.5 mm under the words
    room = Room(Sketch(100))
    draw_fall(room, (0.0, 0.0), (1.0, 0.0), 5.0, (square,))
    shaft = next(item for item in room.sketch.items if isinstance(item, Line))
    same(shaft.a_mm, (-500.0, -1250.0))
    same(room.boxes[0], ((-500.0, -1370.0), (500.0, -1370.0), (500.0, -1130.0), (-500.0, -1130.0)))


def test_chains_of_dimensions_need_room_between_their_steps() -> None:
    assert _steps([5000.0, 0.0, 1100.0, 1100.4, 5000.3], 1100.0) == [0.0, 1100.0, 5000.0]
    assert _steps([5000.0, 0.0, 1099.0], 1100.0) == []
    assert _steps([0.0, 0.5, 3000.0], 1000.0) == [0.0, 3000.0]
    assert _steps([0.0, 0.6, 3000.0], 1000.0) == []


def test_the_paper_holds_plan_and_schedule() -> None:
    """A3 with one column of 92: (390 - 92 - 54) x (247 - 54) = 244 x 193 mm for the plan, and (247 - 16) / 4.5 = 51 lines
    less 2 of heading."""
    assert _paper((24400.0, 19300.0), 49) == (A3, 1, 100)
    assert _paper((24400.1, 19300.0), 49) == (A3, 1, 125)
    assert _paper((24400.0, 19300.0), 50) == (
        A3,
        2,
        200,
    )  # two columns leave 152 mm: 160.5 m of paper at 1:125 are too few
    assert _paper((24400.0, 19300.0), 98) == (A3, 2, 200)
    # A2: (420 - 50 - 16) / 4.5 = 78 lines, two columns of 76; (564 - 184 - 54) x (370 - 54) = 326 x 316
    assert _paper((24400.0, 19300.0), 99) == (A2, 2, 75)
    assert _paper((24400.0, 19300.0), 152) == (A2, 2, 75)
    # A1: (594 - 50 - 16) / 4.5 = 117 lines, three columns of 115
    assert _paper((24400.0, 19300.0), 153)[:2] == (A1, 3)
    assert _paper((24400.0, 19300.0), 346) == (A1, 4, 50_000)
    # past 1:200 the next paper is asked, and the largest scale of all is taken
    assert _paper((60000.0, 50000.0), 10) == (A2, 2, 200)
    assert _paper((244.0 * 200, 193.0 * 200), 10) == (A3, 1, 200)


def test_letters_of_roofs(sample: Takeoff) -> None:
    roof = sample.roofs[0]
    roofs = [roof, *(replace(roof, name=f"roof {n}") for n in range(1, 28))]
    assert [letter(roofs, roofs[n]) for n in (0, 1, 2, 25, 26, 27)] == ["", "b", "c", "z", "a", "b"]


def test_the_side_of_an_edge_that_its_plane_lies_on(sample: Takeoff) -> None:
    roof = sample.roofs[0]
    place = Place(roof.origin_mm)
    for edge in roof.edges:
        a, b = place.at(roof, edge.a_mm), place.at(roof, edge.b_mm)
        if len(edge.faces) == 1:
            assert edge.kind is EdgeKind.EAVE
            plane = next(plane for plane in roof.planes if plane.id in edge.faces)
            down = plane.frame.v
            left = -(b[1] - a[1]) * down[0] + (b[0] - a[0]) * down[1] > 0.0  # up the slope lies at the left of a to b
            assert _inner_side(place, roof, edge, a, b) == (1.0 if left else -1.0)
            assert _inner_side(place, roof, edge, b, a) == (-1.0 if left else 1.0)
        else:
            assert _inner_side(place, roof, edge, a, b) == _inner_side(place, roof, edge, b, a) == 1.0


def test_how_much_is_said_of_a_plane_by_its_room(sample: Takeoff) -> None:
    plane = sample.roofs[0].planes[0]
    counts = [len(_plane_lines(plane, room)) for room in (13.0, 12.99, 9.0, 8.99)]
    assert counts == [4, 3, 3, 2]
    (first, *_) = _plane_lines(plane, 13.0)
    assert first == [(plane.id, 5.0), ("25.0°", 3.5), (f"{plane.area_mm2 / 1e6:.2f} m²", 2.5)]
    assert [height for _, height in _plane_lines(plane, 9.0)[0]] == [3.5, 2.5, 2.5]
    assert _plane_lines(plane, 0.0) == [[(plane.id, 3.5)], [(plane.id, 2.5)]]
    labels = _stacked(Sketch(100), first, (1000.0, 2000.0))
    assert [label.at for label in labels] == [
        (1000.0, 2500.0),
        (1000.0, 2500.0 - 680.0),
        (1000.0, 2500.0 - 680.0 - 530.0),
    ]
    assert _stacked(Sketch(100), [("P1", 3.5)], (1000.0, 2000.0))[0].at == (1000.0, 2000.0)


@pytest.mark.parametrize("north", [0.0, 90.0, 30.0])
def test_the_north_arrow_turns_left_by_the_bearing_of_plan_up(north: float) -> None:
    sketch = Sketch(100)
    _north(sketch, (1000.0, 2000.0), north)
    shaft, head, word = sketch.items
    assert isinstance(shaft, Line)
    assert isinstance(head, Fill)
    assert isinstance(word, Text)
    x, y = -sin(radians(north)), cos(radians(north))
    same(shaft.a_mm, (1000.0 - 800.0 * x, 2000.0 - 800.0 * y))
    same(shaft.b_mm, (1000.0 + 300.0 * x, 2000.0 + 300.0 * y))  # the head takes 5 mm
    same(head.rings_mm[0][0], (1000.0 + 800.0 * x, 2000.0 + 800.0 * y))
    same(word.at_mm, (1000.0 + 1150.0 * x, 2000.0 + 1150.0 * y))
    assert (word.text, word.height_mm, word.align, word.middle) == ("N", 500.0, "centre", True)


def test_the_schedule_runs_down_its_columns(sample: Takeoff) -> None:
    """Five lines a column, 4.5 mm apart from 6 mm under the top; headings over each column."""
    edges = list(sample.roofs[0].edges)[:7]
    sketch = Sketch(100)
    _schedule(sketch, (1000.0, 9000.0), edges, 7)
    said = texts(sketch)
    assert said[:4] == [
        ("edge", (1000.0, 9000.0), 300.0, "left"), ("kind", (2800.0, 9000.0), 300.0, "left"),
        ("true mm", (7600.0, 9000.0), 300.0, "right"), ("plan mm", (9800.0, 9000.0), 300.0, "right"),
    ]  # fmt: skip
    rows = [row for row in said if row[2] == 250.0]
    ids = [(text, at) for text, at, _, _ in rows[::4]]
    assert ids == [
        *((edges[n].id, (1000.0, 9000.0 - 450.0 * (n + 1) - 150.0)) for n in range(5)),
        *((edges[5 + n].id, (10200.0, 9000.0 - 450.0 * (n + 1) - 150.0)) for n in range(2)),
    ]
    assert [text for text, _, _, _ in rows[:4]] == [edges[0].id, edges[0].kind.value, f"{edges[0].length_mm:.0f}", f"{edges[0].plan_length_mm:.0f}"]  # fmt: skip
    assert len(said) == 8 + 28


def test_the_key_stands_under_the_schedule_or_at_the_head_of_the_next_column(sample: Takeoff) -> None:
    """Ten lines a column. Three edges: the key begins in row 4, 4.5 x 6 = 27 mm down, 6 mm apart, and ends in row 10; with
    four it does not fit and begins the next column, 9 mm down."""
    for edges, x, y in ((3, 1000.0, 9000.0 - 2700.0), (4, 1000.0 + 9200.0, 9000.0 - 900.0)):
        sketch = Sketch(100)
        _key(sketch, (1000.0, 9000.0), edges, 12, sample.roofs)
        words = [(text, at) for text, at, _, _ in texts(sketch) if text != "n"]
        assert words == [
            ("edge as numbered in the job", (x + 1400.0, y)),
            ("fall: the way water runs", (x + 1400.0, y - 600.0)),
            ("lay: from the bar along the arrow", (x + 1400.0, y - 1200.0)),
        ]
        assert sketch.items[0] == Circle("EDGE-NUMBER", (x + 550.0, y), 300.0)
        assert sketch.items[1] == Text("TEXT", (x + 550.0, y), "n", 250.0, 0.0, "centre", True)
        shafts = [(item.layer, item.a_mm, item.b_mm) for item in sketch.items if isinstance(item, Line)]
        assert shafts[0] == ("FALL-ARROW", (x, y - 600.0), (x + 800.0, y - 600.0))
        assert shafts[-1] == ("LAY-ARROW", (x, y - 1200.0), (x + 750.0, y - 1200.0))


def zone(sample: Takeoff, direction: str, marks: tuple[float, ...], cover: float) -> WallBoards:
    return replace(sample.cladding.boards[0], direction=direction, marks_mm=marks, cover_mm=cover)  # type: ignore[arg-type]


def test_every_how_many_courses_are_numbered(sample: Takeoff) -> None:
    """Words of 2.5 mm and 0.4 between: 2.9 mm, 290 at 1:100."""
    marks = tuple(290.0 * n for n in range(12))
    for cover, step in ((290.0, 1), (289.9, 2), (145.0, 2), (144.9, 5), (58.0, 5), (57.9, 10), (2.9, 100), (0.1, 100)):
        assert _step(Sketch(100), zone(sample, "horizontal", marks, cover)) == step
    near = [n for n in range(12) if _near_end(n, zone(sample, "horizontal", marks, 290.0), 5)]
    assert near == [7, 8, 9, 10]


def test_the_storey_rod_by_hand(sample: Takeoff) -> None:
    """Courses of 150: every second is numbered, the last always; the one before it would meet its words."""
    rod = zone(sample, "horizontal", tuple(150.0 * n for n in range(6)), 150.0)
    sketch = Sketch(100)
    draw_marks(sketch, [rod], (0.0, 0.0, 4000.0, 2400.0))
    assert texts(sketch) == [
        ("course: over floor", (-300.0, 2650.0), 250.0, "right"),
        ("1: 0", (-600.0, 0.0), 250.0, "right"), ("3: 300", (-600.0, 300.0), 250.0, "right"), ("6: 750", (-600.0, 750.0), 250.0, "right"),
    ]  # fmt: skip
    lines = [(item.layer, item.a_mm, item.b_mm) for item in sketch.items if isinstance(item, Line)]
    assert lines == [("WALL-MARK", (-500.0, 150.0 * n), (-150.0, 150.0 * n)) for n in range(6)]


def test_board_lines_under_upright_boards_by_hand(sample: Takeoff) -> None:
    """From 120 mm on: lines a word apart, counted from the first; where that lies is said beside them, off the ground."""
    upright = zone(sample, "vertical", (120.0, 420.0, 720.0, 900.0), 300.0)
    for ground, y in ((-5000.0, -800.0), (-800.0 + 249.0, -1150.0), (-800.0 - 250.0, -800.0)):
        sketch = Sketch(100)
        draw_marks(sketch, [upright], (0.0, 0.0, 4000.0, 2400.0), ground)
        assert texts(sketch) == [
            ("0", (120.0, -520.0), 250.0, "right"), ("300", (420.0, -520.0), 250.0, "right"), ("780", (900.0, -520.0), 250.0, "right"),
            ("0 is at 120", (-300.0, y), 250.0, "right"),
        ]  # fmt: skip
        lines = [(item.a_mm, item.b_mm) for item in sketch.items if isinstance(item, Line)]
        assert lines == [((mark, -450.0), (mark, -150.0)) for mark in upright.marks_mm]
    # a second zone over the first says nothing more; one that begins where the first ends leaves out its first word
    beside = zone(sample, "vertical", (900.0, 1500.0), 300.0)
    sketch = Sketch(100)
    draw_marks(sketch, [upright, zone(sample, "vertical", (500.0, 1000.0), 300.0), beside], (0.0, 0.0, 4000.0, 2400.0))
    assert [text for text, *_ in texts(sketch)] == ["0", "300", "780", "0 is at 120", "600"]
    at_edge = zone(sample, "vertical", (0.4, 600.0), 300.0)
    sketch = Sketch(100)
    draw_marks(sketch, [at_edge], (0.0, 0.0, 4000.0, 2400.0))
    assert [text for text, *_ in texts(sketch)] == ["0", "600"]
