"""Keys of details on elevations and the key plan of the walls, by hand [mm at 1:20 unless said]."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same
from wall_by_hand import box

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import wall_detail_keys as keys
from takeoff.write.drawings import wall_key_plan as plan
from takeoff.write.drawings.drawing import Polyline, Sketch, Text, text_width
from takeoff.write.drawings.frame import A3, A4
from takeoff.write.drawings.label_room import Label, Room

ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.04, 0.96)


# ---- keys


def test_lines_too_short_for_a_key_have_the_longest_of_their_mark_alone() -> None:
    """6 mm of paper are 120 at 1:20."""

    def junction(mark: str, *lines: tuple[int, float]) -> Any:
        return SimpleNamespace(
            detail=mark, lines=tuple((wall, ((0.0, 0.0), (9.0, 9.0), (long, 0.0))) for wall, long in lines)
        )

    takeoff: Any = SimpleNamespace(
        cladding=SimpleNamespace(
            junctions=(
                junction("A1", (1, 120.0), (1, 119.9), (2, 500.0)), junction("A1", (1, 300.0)), junction("B1", (1, 50.0), (1, 70.0), (1, 60.0)),
                junction("C1", (2, 30.0)),
            )
        )
    )  # fmt: skip
    found = keys.wall_keys(takeoff, SimpleNamespace(wall=1), Sketch(20))  # type: ignore[arg-type]
    assert [(key.mark, key.line[-1][0]) for key in found] == [("A1", 120.0), ("A1", 300.0), ("B1", 70.0)]


@pytest.mark.parametrize(
    ("end", "normal", "off"),
    [
        # 40 x 30 half, and 1.3 mm of paper, 26 at 1:20
        ((1000.0, 0.0), (0.0, -1.0), 30 + 26), ((0.0, 1000.0), (1.0, 0.0), 40 + 26), ((600.0, 800.0), (0.8, -0.6), 0.8 * 40 + 0.6 * 30 + 26),
    ],
)  # fmt: skip
def test_boxes_stand_off_a_line_on_either_side(end: Point2, normal: Point2, off: float) -> None:
    found = list(keys._beside(Sketch(20), ((100.0, 200.0), (7.0, 7.0), (100 + end[0], 200 + end[1])), (40.0, 30.0)))
    same(found, [
        (100 + part * end[0] + side * off * normal[0], 200 + part * end[1] + side * off * normal[1])
        for part in ALONG for side in (1, -1)
    ])  # fmt: skip


def test_boxes_are_led_out_further_and_further_in_sixteen_ways() -> None:
    found = list(keys._led_out(Sketch(20), ((100.0, 200.0), (7.0, 7.0), (1100.0, 700.0))))
    wanted = [
        (
            (100 + part * 1000, 200 + part * 500),
            (100 + part * 1000 + 20 * far * cos(turn), 200 + part * 500 + 20 * far * sin(turn)),
        )
        for far in (5.0, 7.5, 10.0, 13.0, 17.0, 22.0, 28.0, 35.0)
        for part in ALONG
        for turn in (pi / 16 + n * pi / 8 for n in range(16))
    ]
    same(found, wanted)


def test_the_box_of_a_mark() -> None:
    same(keys._box((100.0, 200.0), (40.0, 30.0)), box(60, 170, 140, 230))
    same(keys._box((100.0, 200.0), (40.0, 30.0), 5.0), box(55, 165, 145, 235))


def drawn(*taken: tuple[Point2, ...], clad: tuple[Point2, ...] = box(-9e3, -9e3, -8e3, -8e3)) -> Room:
    room = Room(Sketch(20), boxes=list(taken))
    keys._draw_key(room, keys.Key("A1", ((0.0, 0.0), (1000.0, 0.0))), (clad,))
    return room


def test_a_key_stands_beside_its_line_where_it_is_free_off_the_cladding_first() -> None:
    """ "A1" is 97 wide: 48.5 + 20 and 25 + 16 half; 41 + 26 off its line. South of it first; 14 are kept clear all round."""
    for room, at in (
        (drawn(), (500, -67)), (drawn(clad=box(-100, -500, 2000, 0)), (500, 67)), (drawn(box(400, -60, 600, -50)), (500, 67)),
        (drawn(box(400, -200, 600, 200)), (300, -67)), (drawn(box(383, -200, 600, 200)), (300, -67)),
        (drawn(box(382, -200, 600, 200)), (700, -67)),
        # half way, 0.4 and 0.6 lie on what is clad to the south; then north of half way
        (drawn(clad=box(300, -500, 700, 0)), (500, 67)),
    ):  # fmt: skip
        ring, text = room.sketch.items
        assert isinstance(ring, Polyline)
        assert isinstance(text, Text)
        same(text.at_mm, at)
        same(ring.points_mm, box(at[0] - 68.5, at[1] - 41, at[0] + 68.5, at[1] + 41))
        assert (ring.layer, text.layer, text.text, text.height_mm, text.align, text.middle) == (
            "WALL-DETAIL", "WALL-DETAIL", "A1", 50, "centre", True,
        )  # fmt: skip
        same(room.boxes[-1], ring.points_mm)
        assert len(room.lines) == 4


def test_a_key_without_room_beside_its_line_is_led_out() -> None:
    """Lines run along where it would stand. 7.5 mm of paper out from half way, 150, the third way, 56.25 degrees, is 124.7
    up: its box and 14 round it begin 69.7 up, over the line at 67."""
    room = Room(Sketch(20), lines=[((-500.0, y), (1500.0, y)) for y in (-67.0, 67.0)])
    keys._draw_key(room, keys.Key("A1", ((0.0, 0.0), (1000.0, 0.0))), ())
    dot, leader, ring, text = room.sketch.items
    assert isinstance(text, Text)
    turn = 2.5 * pi / 8
    same(text.at_mm, (500 + 150 * cos(turn), 150 * sin(turn)))
    assert [type(item).__name__ for item in (dot, leader, ring)] == ["Circle", "Line", "Polyline"]


# ---- legend


def test_the_legend_stands_in_the_first_free_corner_from_the_top_right() -> None:
    """17 mm of paper for marks, 340, and "roof apron" 50 * (9 * 0.88 + 0.47) = 419.5; two lines of 88. 60 off the page, 40
    clear round it, and every 80 leftwards, then down."""
    rows = (("Details", "roof apron"), ("A1", "sill"))
    page = (0.0, 0.0, 4000.0, 3000.0)
    wide = 340 + 419.5
    for taken, left, top in (
        ((), 4000 - 60 - wide, 2940), (((3950, 2800, 3979, 2810),), 4000 - 60 - 80 - wide, 2940),
        (((3981, 2800, 3985, 2810),), 4000 - 60 - wide, 2940), (((0, 2760, 4000, 2770),), 4000 - 60 - wide, 2700),
        (((0, 2723, 4000, 2810),), 4000 - 60 - wide, 2620),
    ):  # fmt: skip
        room = Room(Sketch(20), boxes=[box(*one) for one in taken])
        assert keys._draw_legend(room, rows, page)
        found = [
            (t.layer, t.text, *t.at_mm, t.height_mm, t.align, t.middle)
            for t in room.sketch.items
            if isinstance(t, Text)
        ]
        wanted = [
            ("WALL-DETAIL", "Details", left, top - 44), ("TEXT", "roof apron", left + 340, top - 44),
            ("WALL-DETAIL", "A1", left, top - 132), ("TEXT", "sill", left + 340, top - 132),
        ]  # fmt: skip
        assert found == [
            (*each[:2], pytest.approx(each[2]), pytest.approx(each[3]), 50, "left", True) for each in wanted
        ]
        same(room.boxes[-1], box(left, top - 176, left + wide, top))


def test_a_page_without_room_has_no_legend() -> None:
    """176 high and 60 off at foot and head: 296; 759.5 wide: 879.5."""
    rows = (("Details", "roof apron"), ("A1", "sill"))
    for page, fits in (
        ((0.0, 0.0, 880.0, 296.1), True), ((0.0, 0.0, 879.0, 296.1), False), ((0.0, 0.0, 880.0, 295.9), False),
        ((-100.0, -50.0, 780.0, 246.1), True),
    ):  # fmt: skip
        room = Room(Sketch(20))
        assert keys._draw_legend(room, rows, page) is fits
        assert bool(room.sketch.items) is fits


def test_long_words_of_the_legend_go_on_in_another_line() -> None:
    """Letters of 2.5 mm of paper in 125 - 17 = 108 mm: 49 of 0.88."""
    room = Room(Sketch(20))
    what = f"{'a' * 30} {'b' * 18} c"
    assert text_width(f"{'a' * 30} {'b' * 18}", 2.5) <= 108 < text_width(what, 2.5)
    assert keys._draw_legend(room, (("A1", what),), (0.0, 0.0, 9000.0, 9000.0))
    assert [t.text for t in room.sketch.items if isinstance(t, Text)] == ["A1", f"{'a' * 30} {'b' * 18}", "", "c"]


def test_where_the_legend_has_no_room_a_line_says_where_it_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(keys, "_draw_legend", lambda room, rows, page: bool(asked.append((rows, page))))
    monkeypatch.setattr(keys, "wall_keys", lambda *_: ())
    for rows, count in (((("A1", "sill"),), 2), ((), 0)):
        asked.clear()
        monkeypatch.setattr(keys, "legend_rows", lambda takeoff, wall, rows=rows: rows)
        wall: Any = SimpleNamespace(outline_xy=(), covered_xy=(), wall=3)
        keys.draw_detail_keys(Room(Sketch(20)), None, wall, (0, 0, 9, 9))  # type: ignore[arg-type]
        assert asked == [
            ((("Details", "parts of each: Walls of the order"), ("A1", "sill")), (0, 0, 9, 9)),
            ((("Details", "Walls, key plan; parts: Walls of the order"),), (0, 0, 9, 9)),
        ][:count]  # fmt: skip


# ---- the key plan of the walls


@pytest.mark.parametrize(
    ("size", "table", "lines", "paper"),
    [
        # A4 has 267 x 160; 36 round the plan for numbers: 231 less the table, 124 high
        ((3100.0, 3100.0), 107.0, 30, (A4, 25)), ((3100.1, 3100.0), 107.0, 30, (A4, 50)), ((3100.0, 3100.1), 107.0, 30, (A4, 50)),
        ((100.0, 100.0), 107.0, 30, (A4, 10)), ((12400.0, 100.0), 107.0, 30, (A4, 100)),
        # smaller than 1:100, more lines than 146 mm hold, or 60 mm and less left of the table: A3, 390 x 247
        ((12400.1, 100.0), 107.0, 30, (A3, 75)),
        ((3100.0, 3100.0), 107.0, 33, (A4, 25)), ((3100.0, 3100.0), 107.0, 34, (A3, 20)), ((3100.0, 100.0), 206.9, 30, (A3, 25)),
        ((400.0, 100.0), 206.9, 30, (A4, 20)), ((400.0, 100.0), 207.0, 30, (A3, 10)), ((99000.0, 100.0), 329.0, 30, (A3, 5000)),
    ],
)  # fmt: skip
def test_paper_of_the_key_plan(size: Point2, table: float, lines: int, paper: Any) -> None:
    assert plan._paper(size, table, lines) == paper


def test_ends_of_walls_are_the_same_within_a_millimetre() -> None:
    some = {(0.0, 0.0), (1000.0, 0.0)}
    for other, near in (((1000.0, 0.99), True), ((1000.0, 1.0), False), ((999.3, 0.7), True), ((999.2, 0.7), False)):
        assert plan._ends_near(some, {(0.0, 0.0), other}) is near
        assert plan._ends_near({(0.0, 0.0)}, {(0.0, 0.0), other})


def test_a_wall_that_nothing_clads_is_drawn_inside_its_line() -> None:
    """Left to right from outside, the house is on the left hand."""
    same(plan._inside(plan._Bare(1, (100.0, 200.0), (1000.0, 1400.0)), 50.0), ((60, 230), (960, 1430)))


def numbers(*taken: tuple[Point2, ...], bare: bool = False) -> list[Any]:
    room = Room(Sketch(20), boxes=list(taken))
    wall: Any = (
        plan._Bare(7, (0.0, 0.0), (3000.0, 0.0))
        if bare
        else SimpleNamespace(wall=7, a_mm=(0.0, 0.0), b_mm=(3000.0, 0.0))
    )
    plan._number(room, wall)
    return [(t.text, t.at_mm, t.height_mm) for t in room.sketch.items if isinstance(t, Text)]


def test_numbers_stand_outside_their_walls(monkeypatch: pytest.MonkeyPatch) -> None:
    assert numbers() == [("7", (1500, -80), 100)]
    assert numbers(bare=True) == [("7: not clad", (1500, 80), 50)]
    offered: list[Any] = []

    def keep_first(_: Room, choices: Sequence[Sequence[Label]]) -> Sequence[Label]:
        offered.extend(choices)
        return ()

    monkeypatch.setattr(Room, "keep_first", keep_first)
    assert numbers() == []
    same([labels[0].at for labels in offered], [
        (3000 * part, -20 * off) for off in (4, 7, 11, 16, 22) for part in (0.5, 0.4, 0.6, 0.3, 0.7)
    ])  # fmt: skip


def house(*elevations: Any, wanted: str | None = None, rings: Any = None) -> Any:
    ring = box(0.0, 0.0, 4000.0, 3000.0)
    roofs = (
        SimpleNamespace(name="none", wall_line_mm=(), origin_mm=(9.0, 9.0, 0.0)),
        SimpleNamespace(name="main", wall_line_mm=rings or (ring,), origin_mm=(100.0, 200.0, 0.0)),
        SimpleNamespace(name="shed", wall_line_mm=(ring[::-1],), origin_mm=(10100.0, 200.0, 0.0)),
    )
    return SimpleNamespace(
        elevations=elevations, roofs=roofs, job=SimpleNamespace(walls=SimpleNamespace(roof=wanted)), items={},
        cladding=SimpleNamespace(boards=(), junctions=()),
    )  # fmt: skip


def wall(number: int, a: Point2, b: Point2, roof: str = "main") -> Any:
    return SimpleNamespace(
        wall=number, a_mm=a, b_mm=b, roof=roof, id=f"wall {number}", width_mm=4000.4, bearing_deg=180.0
    )


SOUTH = wall(1, (0.0, 0.0), (4000.0, 0.0))


def test_walls_of_clad_lines_that_nothing_clads_are_found_by_number() -> None:
    """Walls 2 to 4 of the main roof; the shed's ring is typed clockwise, so seen from outside its walls run the other way."""
    found = list(plan._bare(house(SOUTH)))
    assert [each.wall for each in found] == [2, 3, 4, 5, 6, 7, 8]
    assert (found[0].a_mm, found[0].b_mm) == ((4000, 0), (4000, 3000))
    # the shed lies 10000 east: its ring runs (0, 3000), (4000, 3000), (4000, 0), (0, 0)
    assert (found[3].a_mm, found[3].b_mm) == ((14000, 3000), (10000, 3000))
    assert [each.wall for each in plan._bare(house(SOUTH, wanted="main"))] == [2, 3, 4]
    assert list(plan._bare(house(wall(1, (0.0, 0.0), (4000.0, 2.0))))) == []
    assert list(plan._bare(house(wall(1, (0.0, 0.0), (4000.0, 0.0), roof="")))) == []
    yard = (box(0.0, 0.0, 4000.0, 3000.0), box(1000.0, 1000.0, 2000.0, 2000.0))
    inner = [each for each in plan._bare(house(SOUTH, wanted="main", rings=yard)) if each.wall == 5]
    assert (inner[0].a_mm, inner[0].b_mm) == ((2000, 1000), (1000, 1000))


def test_the_table_of_walls() -> None:
    made = house(SOUTH, wall(9, (0.0, 0.0), (1.0, 1.0), roof=""), wanted="main")
    made.cladding.boards = (SimpleNamespace(wall=1, board="own"), SimpleNamespace(wall=1, board="other"))
    assert plan._table(made) == [
        "Walls", "1: 4000 wide, faces south: own; other", "2: 3000 wide: not clad, nothing of it stands outside",
        "3: 4000 wide: not clad, nothing of it stands outside", "4: 3000 wide: not clad, nothing of it stands outside",
        "9 (wall 9): 4000 wide: left out",
    ]  # fmt: skip
