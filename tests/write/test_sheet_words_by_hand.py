"""Words on sheets of a layout and beside them, by hand [mm at 1:20 unless said]: columns up a sheet, sides at its head,
places off the plane."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same
from wall_by_hand import box

from takeoff.basics.vectors import Point2
from takeoff.model.sheets import CutShape
from takeoff.write.drawings import sheet_labels
from takeoff.write.drawings.drawing import Circle, Line, Polyline, Sketch, Text
from takeoff.write.drawings.label_room import Label, Room

SHEETS: Any = SimpleNamespace(overall_mm=845.0, cover_mm=762.0)
END = SimpleNamespace(shape=CutShape.SQUARE, points_mm=())
RAKED = SimpleNamespace(shape=CutShape.RAKED, points_mm=())


def piece(ring: Sequence[Point2], mark: str = "P1.02", **more: Any) -> Any:
    held = {
        "mark": mark, "outline_uv": tuple(ring), "strip": 2, "lap_side": "left", "order_mm": 4000.0, "top": END, "foot": END,
        "left_mm": 4000.0, "right_mm": 3000.4, "corners_mm": (), "notched": False,
    }  # fmt: skip
    return SimpleNamespace(**held | more)


WORDS = ["P1.02", "4000", "RH", "left 4000"]
# in heights of letters: 0.88 a letter, 1.06 a capital, 0.47 a point, a gap and an l
WIDE = (1.06 + 0.88 + 0.47 + 2 * 0.88, 4 * 0.88, 2 * 1.06, 0.47 + 3 * 0.88 + 0.47 + 4 * 0.88)


def test_a_column_of_words_runs_up_a_sheet() -> None:
    """2.4 mm of paper between two, 48 at 1:20; words of sides stay small."""
    found = sheet_labels._column(Sketch(20), WORDS, (100.0, 200.0), 3.5)
    ups = (
        200.0,
        200 + 70 * WIDE[0] + 48,
        200 + 70 * (WIDE[0] + WIDE[1]) + 96,
        200 + 70 * (WIDE[0] + WIDE[1]) + 50 * WIDE[2] + 144,
    )
    layers = ("SHEET-MARK", "SHEET-LENGTH", "SHEET-SIDE", "SHEET-SIDE")
    heights = (3.5, 3.5, 2.5, 2.5)
    assert found == [
        Label(layer, (100.0, pytest.approx(v)), word, high, 90.0, "left")
        for layer, v, word, high in zip(layers, ups, WORDS, heights, strict=True)
    ]
    same(sheet_labels._long(Sketch(20), WORDS, 3.5), ups[3] - 200 + 50 * WIDE[3])
    same(sheet_labels._long(Sketch(20), WORDS[:2], 3.5), 70 * (WIDE[0] + WIDE[1]) + 48)


@pytest.mark.parametrize(
    ("ring", "strip", "side", "seen"),
    [
        (box(700, 0, 1545, 9), 2, "left", (783, 1462)), (box(700, 0, 1545, 9), 2, "", (783, 1462)),
        (box(700, 0, 1545, 9), 1, "left", (783, 1545)), (box(700, 0, 1545, 9), 1, "right", (700, 1462)),
        (box(700, 0, 1545, 9), 1, "", (700, 1545)), (box(700, 0, 900, 9), 2, "left", (750, 850)),
    ],
)  # fmt: skip
def test_what_of_a_sheet_is_seen_between_its_laps(ring: Any, strip: int, side: str, seen: Point2) -> None:
    """845 overall and 762 in cover lap by 83, a narrow sheet by a quarter of its width at most."""
    same(sheet_labels._seen(piece(ring, strip=strip, lap_side=side), SHEETS), seen)


def test_how_far_a_sheet_reaches_up_and_down_at_a_place() -> None:
    ring = ((0.0, 100.0), (800.0, 0.0), (800.0, 2000.0), (400.0, 3000.0), (0.0, 2000.0))
    for u, ends in (
        (0, (100, 2000)),
        (200, (75, 2500)),
        (400, (50, 3000)),
        (800, (0, 2000)),
        (-1, (0, 3000)),
        (801, (0, 3000)),
    ):
        same(sheet_labels.span(ring, u), ends)


def inside(one: Any, high: float, words: Sequence[str] = WORDS) -> list[list[Point2]]:
    return [[label.at for label in labels] for labels in sheet_labels._inside(Sketch(20), one, SHEETS, words, high)]


def test_places_of_words_inside_a_sheet() -> None:
    """Seen from 783 to 1462: half way 1122.5, then 4, 6, 3 and 7 tenths; 24 over the foot, then 60 up each, as long as they
    end inside it."""
    long = sheet_labels._long(Sketch(20), WORDS, 3.5)
    one = piece(box(700, 100, 1545, 100 + 24 + long + 125))
    found = inside(one, 3.5)
    same(
        [labels[0] for labels in found],
        [(783 + part * 679, 124 + up) for part in (0.5, 0.4, 0.6, 0.3, 0.7) for up in (0, 60, 120)],
    )
    assert inside(piece(box(700, 100, 1545, 100 + 24 + long)), 3.5) == [
        [
            (pytest.approx(783 + part * 679), pytest.approx(124 + label.at[1]))
            for label in sheet_labels._column(Sketch(20), WORDS, (0, 0), 3.5)
        ]
        for part in (0.5, 0.4, 0.6, 0.3, 0.7)
    ]
    assert inside(piece(box(700, 100, 1545, 100 + 24 + long - 0.01)), 3.5) == []


def test_the_mark_may_stand_beside_the_rest_where_both_are_small() -> None:
    """3 mm of paper apart, 30 either side of 1122.5; from 24 over the higher foot in steps of 40 up to the lower top. The
    foot rises by 84.5 over 845, so at 1152.5 by 45.25, and the head of 250 is level."""
    one = piece(((700.0, 0.0), (1545.0, 84.5), (1545.0, 250.0), (700.0, 250.0)))
    found = list(sheet_labels._inside(Sketch(20), one, SHEETS, WORDS[:3], 2.5))
    same([[label.at for label in labels] for labels in found], [
        [(1092.5, v), (1152.5, v), (1152.5, v + 50 * WIDE[1] + 48)] for v in (69.25 + 40 * n for n in range(5))
    ])  # fmt: skip
    assert [[(label.layer, label.text) for label in labels] for labels in found] == [
        [("SHEET-MARK", "P1.02"), ("SHEET-LENGTH", "4000"), ("SHEET-SIDE", "RH")]
    ] * 5
    assert list(sheet_labels._inside(Sketch(20), one, SHEETS, WORDS[:3], 3.5)) == []


def test_lengths_of_sides_stand_at_the_head_each_at_its_edge() -> None:
    """Seen from 783 to 1462: half of 2.5 and 0.25 mm of paper in, 30; from 12 under the head down by 20."""
    room = Room(Sketch(20))
    one = piece(((700.0, 0.0), (1545.0, 0.0), (1545.0, 2000.0), (700.0, 2845.0)))
    assert sheet_labels._sides(room, one, SHEETS) == []
    # the head falls one to one: at 813 it is 2732, at 1432 2113
    assert room.sketch.items == [
        Text("SHEET-SIDE", (813, pytest.approx(2720)), "4000", 50, 90, "right", True),
        Text("SHEET-SIDE", (1432, pytest.approx(2101)), "3000", 50, 90, "right", True),
    ]
    assert len(room.boxes) == 2
    for left, right, said in ((0.99, 1.0, ["1"]), (1.0, 0.99, ["1"])):
        room = Room(Sketch(20))
        assert sheet_labels._sides(room, piece(one.outline_uv, left_mm=left, right_mm=right), SHEETS) == []
        assert [item.text for item in room.sketch.items if isinstance(item, Text)] == said
    low = piece(box(700, 0, 1545, 12 + 176 - 0.01))
    assert sheet_labels._sides(Room(Sketch(20)), low, SHEETS) == [("left", 4000.0), ("right", 3000.4)]
    same([labels[0].at for labels in sheet_labels._down(Sketch(20), piece(box(0, 100, 9, 100 + 12 + 176 + 45)), 5.0, "4000")], [
        (5, 100 + 176 + 45 - 20 * n) for n in range(3)
    ])  # fmt: skip
    same([labels[0].at for labels in sheet_labels._down(Sketch(20), piece(box(0, 0, 9, 188)), 5.0, "4000")], [(5, 176)])


def test_a_length_says_what_the_sheet_is_bought_in(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_labels, "hand", lambda one: one.lap_side)
    one = piece(box(0, 0, 1, 1), order_mm=4000.6, lap_side="")
    bought = {
        "P1.02": SimpleNamespace(length_mm=4050.2, words="", from_site=False), "b": SimpleNamespace(length_mm=None, words="of P1.01", from_site=False),
        "c": SimpleNamespace(length_mm=None, words="of P1.01", from_site=True),
    }  # fmt: skip
    words: Any = sheet_labels._words
    assert words(one, bought) == ["P1.02", "4050"]
    assert words(one, {}) == ["P1.02", "4001"]
    assert words(piece(box(0, 0, 1, 1), "b", lap_side="right"), bought) == ["b", "4000 of P1.01", "RH"]
    assert words(piece(box(0, 0, 1, 1), "c", lap_side="left"), bought) == ["c", "4000 from site", "LH"]


# ---- off the plane

PLANE = box(0, 0, 6000, 5000)
FAR = (3.0, 6.0, 10.0, 15.0, 21.0, 28.0, 36.0, 48.0, 60.0)
ACROSS = (0.5, 0.3, 0.7, -0.5, 1.5, -1.5, 2.5, -3.0, 4.0)


def off(one: Any, plane: Any = PLANE) -> list[Point2]:
    return sheet_labels._off_plane(Sketch(20), plane, one, WORDS[:2])


LONG = 50 * (WIDE[0] + WIDE[1]) + 48


def in_order(*groups: list[Point2], low: float = 0.0, high: float = 5000.0) -> list[Point2]:
    every = [at for group in groups for at in group]
    return sorted(every, key=lambda at: at[1] < low or at[1] + LONG > high)


def test_words_of_a_sheet_raked_at_its_head_go_past_it_first() -> None:
    """800 wide from 2000 on, its head falling from 3000 to 2200: over it where it ends, 3 to 60 mm of paper off, half way, 3
    and 7 tenths across, then beside it; what would leave the plane's height comes last."""
    one = piece(((2000.0, 0.0), (2800.0, 0.0), (2800.0, 2200.0), (2000.0, 3000.0)), top=RAKED)
    past, aside = [], []
    for far in FAR:
        for part in ACROSS:
            u = 2000 + 800 * part
            head = 3000 - (min(max(u, 2000), 2800) - 2000)
            (past if 0 < part < 1 else aside).append((u, head + 20 * far))
    same(off(one), in_order(past, aside))


def test_words_of_a_sheet_raked_at_its_foot_go_under_it() -> None:
    one = piece(((2000.0, 1000.0), (2800.0, 1800.0), (2800.0, 5000.0), (2000.0, 5000.0)), foot=RAKED)
    past, aside = [], []
    for far in FAR:
        for part in ACROSS:
            u = 2000 + 800 * part
            foot = 1000 + (min(max(u, 2000), 2800) - 2000)
            (past if 0 < part < 1 else aside).append((u, foot - 20 * far - LONG))
    same(off(one), in_order(past, aside))


@pytest.mark.parametrize(
    ("left", "sides"), [(0.0, "left"), (799.0, "left"), (800.0, ""), (5200.0, "right"), (4401.0, "right"), (4400.0, "")]
)
def test_words_of_a_square_sheet_at_an_end_go_beside_the_plane(left: float, sides: str) -> None:
    """Less than its width from the end; half way up the sheet."""
    one = piece(box(left, 500, left + 800, 3000))
    beside, past, aside = [], [], []
    for far in FAR:
        for part in ACROSS:
            (past if 0 < part < 1 else aside).append((left + 800 * part, 3000 + 20 * far))
        at = (-20 * far if sides == "left" else 6000 + 20 * far, (3500 - LONG) / 2)
        beside += [at] if sides else []
    same(off(one), in_order(beside, past, aside))


def test_words_beside_the_plane_stay_within_its_height() -> None:
    low, high = piece(box(0, -200, 800, 0), order_mm=1.0), piece(box(0, 4900, 800, 5200))
    same(off(low)[0], (-60, 0))
    same(next(at for at in off(high) if at[0] == -60), (-60, 5000 - LONG))


def test_points_that_a_leader_may_start_from() -> None:
    one = piece(((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 2000.0)))
    tops = {0.5: 1500, 0.3: 1700, 0.7: 1300}
    same(
        sheet_labels._anchors(one),
        [(1000 * part, tops[part] * up) for part in tops for up in (0.5, 0.8, 0.2, 0.92, 0.08)],
    )


def test_points_to_cut_to_are_ringed() -> None:
    """The corners count from the sheet's own: 100 and 50 from that of the plane. 0.9 mm of paper, 18 at 1:20."""
    cut = SimpleNamespace(
        shape=CutShape.BROKEN, points_mm=((0.0, 900.0), (300.0, 1000.0), (500.0, 950.0), (800.0, 800.0))
    )
    ring = ((100.0, 50.0), (900.0, 50.0), (900.0, 850.0), (100.0, 950.0))
    corners = ((0.0, 0.0), (800.0, 0.0), (800.0, 800.0))
    for notched, points in ((False, ((300, 1000), (500, 950))), (True, corners)):
        room = Room(Sketch(20))
        sheet_labels._breaks(room, piece(ring, corners_mm=corners, notched=notched, top=cut, foot=END))
        assert room.sketch.items == [Circle("SHEET-SIDE", (u + 100, v + 50), 18) for u, v in points]
        assert len(room.lines) == 4 * len(points)
        same(room.lines[0], ((points[0][0] + 82, points[0][1] + 32), (points[0][0] + 118, points[0][1] + 32)))
    room = Room(Sketch(20))
    sheet_labels._breaks(room, piece(ring, top=cut))
    assert room.sketch.items == []


def test_whether_a_point_lies_on_a_sheet() -> None:
    rings = [box(0, 0, 800, 3000), ((700, 0), (1500, 0), (1500, 1000)), box(1400, 500, 2200, 900)]
    under = sheet_labels._Outlines(SimpleNamespace(pieces=[piece(ring) for ring in reversed(rings)])).under  # type: ignore[arg-type]
    for at, on in (
        ((1.0, 2999.0), True), ((-1.0, 100.0), False), ((790.0, 3001.0), False), ((790.0, 1.0), True), ((1400.0, 100.0), True),
        ((900.0, 900.0), False), ((2199.0, 501.0), True), ((2199.0, 499.0), False), ((2201.0, 600.0), False), ((1450.0, 899.0), True),
    ):  # fmt: skip
        assert under(at) is on
    assert not sheet_labels._Outlines(SimpleNamespace(pieces=[])).under((0.0, 0.0))  # type: ignore[arg-type]


def test_outlines_keep_words_off_before_any_word(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_labels, "needs_points", lambda one: one.notched)
    room = Room(Sketch(20))
    ring = box(0, 0, 800, 3000)
    two = [piece(ring), piece(ring, notched=True, corners_mm=ring[:1])]
    sheet_labels.draw_outlines(room, SimpleNamespace(pieces=two))  # type: ignore[arg-type]
    assert [type(item).__name__ for item in room.sketch.items] == ["Polyline", "Polyline", "Circle"]
    first = room.sketch.items[0]
    assert isinstance(first, Polyline)
    assert (first.layer, first.points_mm) == ("SHEET-OUTLINE", ring)
    assert len(room.lines) == 12


def test_words_without_room_inside_are_led_out_to(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet of 20 carries "P1.02" and "4000" nowhere: over it, 60 past its head, half way, a line from its middle to
    0.6 mm of paper short of the box round them, which begins 0.3 before them."""
    monkeypatch.setattr(sheet_labels, "raked", lambda one: False)
    monkeypatch.setattr(sheet_labels, "hand", lambda one: "")
    room = Room(Sketch(20))
    short = piece(box(2000, 0, 2845, 20), top=RAKED)
    sheets: Any = SimpleNamespace(pieces=[short], overall_mm=845.0, cover_mm=762.0)
    sheet_labels.draw_sheets(room, PLANE, sheets, {})
    dot, leader, mark, length = room.sketch.items
    assert isinstance(dot, Circle)
    assert isinstance(leader, Line)
    assert isinstance(mark, Text)
    assert isinstance(length, Text)
    same((dot.at_mm, mark.at_mm, length.at_mm), ((2422.5, 10), (2422.5, 80), (2422.5, 80 + 50 * WIDE[0] + 48)))
    same((leader.a_mm, leader.b_mm), ((2422.5, 10), (2422.5, 80 - 6 - 12)))
    assert room.forced == 0
    tall: Any = SimpleNamespace(pieces=[piece(box(2000, 0, 2845, 3000))], overall_mm=845.0, cover_mm=762.0)
    room = Room(Sketch(20))
    sheet_labels.draw_sheets(room, PLANE, tall, {})
    assert [(t.text, t.height_mm) for t in room.sketch.items if isinstance(t, Text)] == [("P1.02", 70), ("4000", 70)]


def test_words_that_find_no_place_at_all_stand_at_the_first_and_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is free: over the sheet of 20, 60 past its head, with a line to them; the drawing knows of one."""
    monkeypatch.setattr(sheet_labels, "raked", lambda one: False)
    monkeypatch.setattr(sheet_labels, "hand", lambda one: "")
    for crowded, free in ((False, False), (True, False)):
        room = Room(Sketch(20), within=(0.0, 0.0, 1.0, 1.0))
        if crowded:
            room._looked = 10**9
        short = piece(box(2000, 0, 2845, 20), top=RAKED)
        sheets: Any = SimpleNamespace(pieces=[short], overall_mm=845.0, cover_mm=762.0)
        sheet_labels.draw_sheets(room, PLANE, sheets, {})
        dot, leader, mark, length = room.sketch.items
        assert isinstance(mark, Text)
        assert isinstance(length, Text)
        same((mark.at_mm, length.at_mm), ((2422.5, 80), (2422.5, 80 + 50 * WIDE[0] + 48)))
        assert (mark.text, mark.height_mm, room.forced, len(room.boxes)) == ("P1.02", 50, 1, 2)
        assert not free
        assert [type(item).__name__ for item in (dot, leader)] == ["Circle", "Line"]


def test_words_stand_over_a_neighbour_where_no_place_is_off_the_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every place tried lies on a great sheet: the first place whose line is free all the same, none forced."""
    monkeypatch.setattr(sheet_labels, "raked", lambda one: False)
    monkeypatch.setattr(sheet_labels, "hand", lambda one: "")
    monkeypatch.setattr(sheet_labels._Outlines, "under", lambda *_: True)
    room = Room(Sketch(20))
    short = piece(box(2000, 0, 2845, 20), top=RAKED)
    sheets: Any = SimpleNamespace(pieces=[short], overall_mm=845.0, cover_mm=762.0)
    sheet_labels.draw_sheets(room, PLANE, sheets, {})
    texts = [item for item in room.sketch.items if isinstance(item, Text)]
    same([text.at_mm for text in texts], ((2422.5, 80), (2422.5, 80 + 50 * WIDE[0] + 48)))
    assert room.forced == 0
