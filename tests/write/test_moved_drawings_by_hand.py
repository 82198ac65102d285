"""Words of sheets and cuts of walls lie about what they are for, wherever that lies: all of it moved is moved alike [mm at
1:20]."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from drawn_by_hand import same
from wall_by_hand import box, wall

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.sheets import CutShape
from takeoff.write.drawings import check_dimensions, opening_drawing, sheet_labels, wall_cut
from takeoff.write.drawings.drawing import Dimension, Sketch, Text
from takeoff.write.drawings.label_room import Room
from takeoff.write.estate import estate_map, histograms
from takeoff.write.estate.gather import Gathered

SHIFTS = ((0.0, 0.0), (-3000.0, 700.0), (4000.0, -9000.0))
RAKED_HEAD = ((2000.0, 50.0), (2800.0, 50.0), (2800.0, 2200.0), (2000.0, 3000.0))
RAKED_FOOT = ((2000.0, 1000.0), (2800.0, 1800.0), (2800.0, 5000.0), (2000.0, 5000.0))
PLANE = box(0.0, 0.0, 6000.0, 5000.0)
SHEETS: Any = SimpleNamespace(cover_mm=762.0, overall_mm=845.0, start_side="left")


def moved(ring: Ring2, by: Point2) -> Ring2:
    return tuple((x + by[0], y + by[1]) for x, y in ring)


def sheet(ring: Ring2, top: CutShape = CutShape.SQUARE, foot: CutShape = CutShape.SQUARE) -> Any:
    return SimpleNamespace(
        outline_uv=ring, top=SimpleNamespace(shape=top), foot=SimpleNamespace(shape=foot), strip=2, lap_side="right", mark="P1.02",
        left_mm=2950.0, right_mm=2150.0,
    )  # fmt: skip


@pytest.mark.parametrize("by", SHIFTS)
@pytest.mark.parametrize(
    ("ring", "ends"),
    [
        (RAKED_HEAD, {"top": CutShape.RAKED}), (RAKED_FOOT, {"foot": CutShape.RAKED}), (box(0.0, 500.0, 800.0, 3000.0), {}),
        (box(5300.0, 500.0, 6000.0, 4900.0), {}), (box(2000.0, 3900.0, 2800.0, 4900.0), {}),
    ],
)  # fmt: skip
def test_places_off_the_plane_move_with_it(ring: Ring2, ends: Any, by: Point2) -> None:
    words = ("P1.02", "4001")
    there = sheet_labels._off_plane(Sketch(20), moved(PLANE, by), sheet(moved(ring, by), **ends), words)
    same(there, moved(tuple(sheet_labels._off_plane(Sketch(20), PLANE, sheet(ring, **ends), words)), by))
    # what leaves the plane's height at its foot or its head comes last
    long = sheet_labels._long(Sketch(20), words, 2.5)
    past = [not (by[1] <= v and v + long <= by[1] + 5000.0) for _, v in there]
    assert past == sorted(past)


@pytest.mark.parametrize("by", SHIFTS)
def test_leaders_start_from_the_same_places_of_a_sheet(by: Point2) -> None:
    """Half way, 3 and 7 tenths across, and up by 5, 8, 2 tenths, 92 and 8 hundredths: 2000 up from 100."""
    one = sheet(moved(box(100.0, 100.0, 900.0, 2100.0), by))
    wanted = [
        (100.0 + 800.0 * across, 100.0 + 2000.0 * up)
        for across in (0.5, 0.3, 0.7)
        for up in (0.5, 0.8, 0.2, 0.92, 0.08)
    ]
    same(sheet_labels._anchors(one), moved(tuple(wanted), by))


@pytest.mark.parametrize("by", SHIFTS)
def test_how_far_a_ring_aslant_reaches(by: Point2) -> None:
    """At 500: 7 + 43 x 400 / 800 = 28.5 and 1800 + 200 x 350 / 550 = 1927.27; at 800 44.625, and 50 + 1950 / 2 = 1025."""
    ring = moved(((100.0, 7.0), (900.0, 50.0), (700.0, 2000.0), (150.0, 1800.0)), by)
    for u, low, high in ((500.0, 28.5, 1927.2727), (800.0, 44.625, 1025.0), (125.0, 8.34375, 903.5), (100.0, 7.0, 7.0)):
        found = sheet_labels.span(ring, u + by[0])
        assert list(found) == pytest.approx([low + by[1], high + by[1]], abs=1e-3)


@pytest.mark.parametrize("by", SHIFTS)
def test_a_point_is_found_on_its_sheet(by: Point2) -> None:
    """Sheets of 800 and 200, high ones and a triangle."""
    rings = (
        box(0.0, 0.0, 800.0, 4000.0),
        box(800.0, 0.0, 1000.0, 900.0),
        ((1000.0, 0.0), (1800.0, 0.0), (1000.0, 3000.0)),
    )
    under = sheet_labels._Outlines(SimpleNamespace(pieces=[sheet(moved(ring, by)) for ring in rings])).under  # type: ignore[arg-type]
    for at, found in (
        ((1.0, 3999.0), True), ((799.0, 1.0), True), ((799.0, 4001.0), False), ((-1.0, 5.0), False), ((900.0, 899.0), True),
        ((900.0, 901.0), False), ((1100.0, 2600.0), True), ((1700.0, 2600.0), False), ((1790.0, 10.0), True), ((1801.0, 10.0), False),
        ((500.0, -1.0), False),
    ):  # fmt: skip
        assert under((at[0] + by[0], at[1] + by[1])) is found


# ---- cuts of walls


@pytest.mark.parametrize("by", SHIFTS)
@pytest.mark.parametrize(
    ("wide", "left", "right", "sizes"),
    [
        (480.0, 480.0, 480.0, "hhw"), (479.0, 900.0, 900.0, ""), (900.0, 479.0, 480.0, "h"), (900.0, 480.0, 479.0, "h"),
        (900.0, 479.0, 479.0, ""), (900.0, 900.0, 600.0, "hhw"),
    ],
)  # fmt: skip
def test_sizes_of_a_cut_stand_where_there_is_room(
    wide: float, left: float, right: float, sizes: str, by: Point2
) -> None:
    """Three times 8 mm of paper are 480; dimension lines lie 160 inside it."""
    ring = moved(((0.0, 0.0), (wide, 0.0), (wide, right), (0.0, left)), by)
    sketch = Sketch(20)
    wall_cut._sides(sketch, ring)
    x, y = by
    wanted = []
    if "h" in sizes and left >= 480.0:
        wanted.append(Dimension("DIM", (x, y), (x, y + left), (x + 160.0, y), 90.0))
    if "h" in sizes and right >= 480.0:
        wanted.append(Dimension("DIM", (x + wide, y), (x + wide, y + right), (x + wide - 160.0, y), 90.0))
    if "w" in sizes:
        wanted.append(Dimension("DIM", (x, y), (x + wide, y), (x, y + 160.0), 0.0))
    assert sketch.items == wanted


@pytest.mark.parametrize("by", SHIFTS)
def test_a_cut_whose_foot_slopes_is_not_as_wide_as_it(by: Point2) -> None:
    for step, count in ((0.9, 3), (1.1, 2)):
        sketch = Sketch(20)
        wall_cut._sides(sketch, moved(((0.0, 0.0), (900.0, step), (900.0, 900.0), (0.0, 900.0)), by))
        assert len(sketch.items) == count


@pytest.mark.parametrize("by", [(0.0, 0.0), (900.0, 500.0)])
def test_all_words_of_a_cut_lie_inside_it(by: Point2, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both ends of its first and of its last line are looked at: here words would hang out at one side alone."""
    asked: list[Point2] = []

    def inside(_: Any, at: Point2) -> bool:
        asked.append(at)
        return True

    monkeypatch.setattr(wall_cut, "inside", inside)
    ring = moved(box(0.0, 0.0, 4000.0, 3000.0), by)
    sketch = Sketch(20)
    wall_cut._words(sketch, wall(9000.0, 9000.0), ring, 130.0)
    said = [item for item in sketch.items if isinstance(item, Text)]
    assert len(said) >= 3
    middle = 2000.0 + by[0]
    assert {item.at_mm[0] for item in said} == {middle}
    first = asked[:4]
    half = middle - first[0][0]
    assert half > 0.0
    same(first, [(middle + side * half, item.at_mm[1]) for item in (said[0], said[-1]) for side in (-1.0, 1.0)])


def test_every_place_of_a_hole_says_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    offered: list[Any] = []
    monkeypatch.setattr(Room, "place", lambda _, labels, anchor: offered.append((labels, anchor)))
    hole: Any = SimpleNamespace(id="H1", name="flue", ring_uv=box(100.0, 200.0, 500.0, 800.0))
    for names, said, count in ((False, "H1", 16), (True, "H1 flue", 8)):
        offered.clear()
        opening_drawing.name_holes(Room(Sketch(20)), [hole], lambda at: (at[0] + 50.0, at[1] - 30.0), names)
        ((labels, anchor),) = offered
        assert [label.text for label in labels] == [said] * count
        assert anchor == (550.0, 770.0)


def test_a_narrow_cut_has_no_words_wherever_it_lies() -> None:
    """8 and 2.5 mm of paper beside either end of its longest line."""
    for left in (0.0, 9000.0):
        for wide, said in ((500.0, False), (4000.0, True)):
            sketch = Sketch(20)
            wall_cut._words(sketch, wall(20000.0, 9000.0), box(left, 0.0, left + wide, 3000.0), 130.0)
            assert bool(sketch.items) is said


def beside(under: Any, monkeypatch: pytest.MonkeyPatch) -> tuple[Room, list[Point2], Any]:
    """What is tried of three places off a plane, no leader going anywhere, and what is chosen."""
    tried: list[Point2] = []

    def led_out(_: Room, anchors: Any, labels: Any) -> bool:
        tried.append(labels[0].at)
        return False

    monkeypatch.setattr(sheet_labels, "_off_plane", lambda *_: [(10.0, 20.0), (30.0, 40.0), (50.0, 60.0)])
    monkeypatch.setattr(sheet_labels, "_led_out", led_out)
    room = Room(Sketch(20))
    sheets: Any = SimpleNamespace(under=under)
    chosen = sheet_labels._beside(room, PLANE, sheet(RAKED_HEAD), ("P1.02",), sheets)
    return room, tried, chosen


def test_words_that_lead_nowhere_stand_off_all_sheets_where_any_place_is(monkeypatch: pytest.MonkeyPatch) -> None:
    room, tried, chosen = beside(lambda at: at == (10.0, 20.0), monkeypatch)
    assert tried == [(30.0, 40.0), (50.0, 60.0)]
    assert [label.at for label in chosen] == [(30.0, 40.0)]
    assert room.forced == 1
    # the leader begins half way up the sheet
    assert room.lines[0][0] == sheet_labels._anchors(sheet(RAKED_HEAD))[0]
    room, tried, chosen = beside(lambda _: True, monkeypatch)
    assert tried == [(10.0, 20.0), (30.0, 40.0), (50.0, 60.0)]
    assert [label.at for label in chosen] == [(10.0, 20.0)]
    # where that is taken too the first place is taken all the same
    monkeypatch.setattr(Room, "keep_first", lambda *_: ())
    room, _, chosen = beside(lambda at: at != (50.0, 60.0), monkeypatch)
    assert [label.at for label in chosen] == [(50.0, 60.0)]
    assert len(room.boxes) == 1


def test_points_of_a_sheet_are_ringed_where_they_lie() -> None:
    """The first corner of its list is the first of its outline: (10, 20) from where the list counts is (500, -50)."""
    end = SimpleNamespace(points_mm=((0.0, 0.0), (300.0, 40.0), (600.0, 90.0), (845.0, 0.0)))
    plain = SimpleNamespace(points_mm=())
    made: Any = SimpleNamespace(
        outline_uv=((500.0, -50.0), (1345.0, -50.0)),
        corners_mm=((10.0, 20.0), (855.0, 20.0)),
        top=end,
        foot=plain,
        notched=False,
    )
    room = Room(Sketch(20))
    sheet_labels._breaks(room, made)
    rings: list[Any] = room.sketch.items
    same([one.at_mm for one in rings], [(790.0, -30.0), (1090.0, 20.0)])
    assert len(room.lines) == 8
    room = Room(Sketch(20))
    made.notched = True
    sheet_labels._breaks(room, made)
    notched: list[Any] = room.sketch.items
    same([one.at_mm for one in notched], [(500.0, -50.0), (1345.0, -50.0)])


# ---- the map of an estate [m]


@pytest.mark.parametrize("by", [(0.0, 0.0), (-5000.0, 300.0), (1.8e6, 5.4e6)])
def test_a_map_lies_on_its_paper_wherever_the_houses_do(by: Point2) -> None:
    """444 m over 222 mm: 2 m a mm; from its left at 15 and its foot at 198."""
    rings = [moved(box(0.0, 0.0, 10.0, 8.0), by), moved(box(430.0, 200.0, 444.0, 210.0), by)]
    place, per_mm = estate_map._placer([(ring, 1.0) for ring in rings])
    assert per_mm == pytest.approx(2.0)
    for at, wanted in (((0.0, 0.0), (15.0, 198.0)), ((444.0, 210.0), (237.0, 93.0)), ((100.0, 50.0), (65.0, 173.0))):
        same(place((at[0] + by[0], at[1] + by[1])), wanted)


def test_an_estate_of_which_nothing_was_taken_off_says_so() -> None:
    facts: Any = SimpleNamespace(source="lots", houses=4)
    drawn = histograms.estate_spread(Gathered(), facts)
    assert ">lots: 0 of 4 houses taken off</text>" in drawn
    assert '<text x="15.00" y="24.00"' in drawn
    assert ">No house was taken off: there is nothing to show.</text>" in drawn


@pytest.mark.parametrize("value", [0.0, 4000.0, -4000.0])
@pytest.mark.parametrize("axis", [0, 1])
def test_an_edge_lies_on_a_line_where_both_its_ends_do(value: float, axis: int) -> None:
    near = TOLERANCES.tape_point_mm
    for one, other, lies in (
        (0.0, 0.0, True),
        (0.9 * near, -0.9 * near, True),
        (1.1 * near, 0.0, False),
        (0.0, -1.1 * near, False),
    ):
        a, b = ((value + one, 77.0), (value + other, -77.0))
        ends = (a, b) if axis == 0 else (a[::-1], b[::-1])
        assert check_dimensions._at(*ends, axis, value) is lies


def test_bars_stand_over_about_five_steps() -> None:
    """From 100 to nearly 700: a fifth of it is some 120, up to 200; a sixth would be some 100."""
    drawn = "".join(histograms._histogram(22.0, np.array([100.0, 400.0, 700.0]), "Roof", 0))
    assert re.findall(r'text-anchor="middle"[^>]*>([0-9]+)<', drawn) == ["0", "200", "400", "600", "800"]
