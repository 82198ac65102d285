"""The folding schedule by hand: sections in their cells, where angles and lengths may stand, words under them [mm at 1:5
unless said]."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import Any

import pytest
from drawn_by_hand import Offered, same

from takeoff.model.measured import FoldSection
from takeoff.model.order import Takeoff
from takeoff.write.drawings import fold_drawing
from takeoff.write.drawings.drawing import Polyline, Sketch, Text
from takeoff.write.drawings.label_room import Room

# an apron: 200 up the slope, 90 down, a lip of 20
APRON = FoldSection(
    "apron", "Apron", ((0.0, 0.0), (120.0, 160.0), (210.0, 160.0), (210.0, 140.0)), (("wing", 200), ("top", 90), ("lip", 20)),
    (126.87, 90.0), 310, 2, 0, "top", 1,
)  # fmt: skip
HEMMED = replace(
    APRON, points_mm=((0.0, 6.0), (0.0, 0.0), (90.0, 0.0), (90.0, 5.0)), legs=(("hem", 6), ("top", 90), ("hem", 5)),
    angles_deg=(0.0, 0.0),
)  # fmt: skip


def test_unit_vectors_and_places_beside_a_leg_away_from_the_middle() -> None:
    same(fold_drawing._unit((10.0, 20.0), (40.0, 60.0)), (0.6, 0.8))
    assert fold_drawing._unit((1.0, 2.0), (1.0, 2.0)) == (0.0, 0.0)
    a, b = (10.0, 20.0), (40.0, 60.0)
    # 0.25 along: (17.5, 30); square to (3, 4) / 5 to the left is (-0.8, 0.6)
    for centre, at in (
        ((100.0, 30.0), (9.5, 36.0)), ((-100.0, 30.0), (25.5, 24.0)), ((17.5, 30.0), (9.5, 36.0)), ((17.5, 130.0), (25.5, 24.0)),
    ):  # fmt: skip
        same(fold_drawing._aside(a, b, centre, 10.0, 0.25), at)
        same(fold_drawing._aside(a, b, centre, -10.0, 0.25), (35.0 - at[0], 60.0 - at[1]))
    same(fold_drawing._aside(a, a, (0.0, 0.0), 10.0, 0.25), a)


def test_an_angle_stands_inside_its_fold_else_outside(offered: Offered) -> None:
    """Between right and up the inside runs at 45 degrees: 6 mm of paper are 30, 21.213 either way."""
    fold_drawing._angle(Room(Sketch(5)), 90.04, (150.0, 20.0), (100.0, 20.0), (100.0, 120.0))
    ((labels, anchor),) = offered
    assert anchor == (100.0, 20.0)
    assert {(one.layer, one.text, one.height_mm, one.angle_deg, one.align) for one in labels} == {
        ("TEXT", "90°", 2.5, 0.0, "centre")
    }
    same(
        [one.at for one in labels],
        [(100.0 + 5 * off / sqrt(2), 20.0 + 5 * off / sqrt(2)) for off in (6.0, 7.5, 9.0, 11.0, 13.0, -5.0, -7.0)],
    )
    offered.clear()
    # the arms are as long as they are: the inside halves the angle between them
    fold_drawing._angle(Room(Sketch(1)), 126.87, (0.0, 0.0), (120.0, 160.0), (210.0, 160.0))
    same(offered[0][0][0].at, (120.0 + 6.0 / sqrt(5), 160.0 - 12.0 / sqrt(5)))
    assert offered[0][0][0].text == "126.9°"


BESIDE = [(off, part) for off in (4.5, 3.2, 6.0, -4.5, 8.0, -6.0) for part in (0.5, 0.35, 0.65)]


def test_a_length_stands_past_a_free_end_else_beside_its_leg() -> None:
    room, points = Room(Sketch(5)), APRON.points_mm
    centre = (135.0, 115.0)
    first, middle, last = (fold_drawing._leg_places(room, APRON, i, points[i], points[i + 1], centre) for i in range(3))
    # past (0, 0) along (-0.6, -0.8): 4 and 5.5 mm of paper are 20 and 27.5
    same(first[:2], ((-12.0, -16.0), (-16.5, -22.0)))
    same(last[:2], ((210.0, 120.0), (210.0, 112.5)))
    # the wing runs (0.6, 0.8), its middle lies left of the centre: out by (-0.8, 0.6)
    same(first[2:], [(120 * t - 4.0 * off, 160 * t + 3.0 * off) for off, t in BESIDE])
    same(middle, [(120 + 90 * t, 160 + 5 * off) for off, t in BESIDE])
    same(last[2:], [(210 + 5 * off, 160 - 20 * t) for off, t in BESIDE])


def test_the_length_of_a_hem_goes_to_the_other_side() -> None:
    """It lies flat on the edge beside it: no place past its end, and beside it on the side of the middle."""
    room, points = Room(Sketch(5)), HEMMED.points_mm
    found = [fold_drawing._leg_places(room, HEMMED, i, points[i], points[i + 1], (45.0, 3.0)) for i in range(3)]
    same(found[0], [(5 * off, 6 - 6 * t) for off, t in BESIDE])
    same(found[1], [(90 * t, -5 * off) for off, t in BESIDE])
    same(found[2], [(90 - 5 * off, 5 * t) for off, t in BESIDE])
    # a fold of another angle at that end is none
    one = replace(HEMMED, angles_deg=(90.0, 0.0))
    assert len(fold_drawing._leg_places(room, one, 0, points[0], points[1], (45.0, 3.0))) == 20
    assert len(fold_drawing._leg_places(room, one, 2, points[2], points[3], (45.0, 3.0))) == 18
    one = replace(HEMMED, angles_deg=(0.0, 90.0))
    assert len(fold_drawing._leg_places(room, one, 0, points[0], points[1], (45.0, 3.0))) == 18
    assert len(fold_drawing._leg_places(room, one, 2, points[2], points[3], (45.0, 3.0))) == 20


def test_a_section_lies_in_the_middle_over_its_words(offered: Offered, monkeypatch: pytest.MonkeyPatch) -> None:
    """A cell of 100 x 80 mm of paper at (1000, 2000): 500 x 400 at 1:5, its foot 21 mm of paper up at 2105, so the middle
    of 210 x 160 comes to (1250, 2252.5): 1145 to 1355, 2172.5 to 2332.5."""
    rooms: list[Room] = []
    made = Room.__init__

    def known(self: Room, *args: Any, **parts: Any) -> None:
        made(self, *args, **parts)
        rooms.append(self)

    monkeypatch.setattr(Room, "__init__", known)
    sketch = Sketch(5)
    fold_drawing._section(sketch, APRON, (1000.0, 2000.0), (100.0, 80.0))
    (line,) = sketch.items
    points = [(x + 1145.0, y + 2172.5) for x, y in APRON.points_mm]
    assert isinstance(line, Polyline)
    assert (line.layer, line.closed) == ("FOLD-SECTION", False)
    same(line.points_mm, points)
    (room,) = rooms
    assert room.within == (1000.0, 2105.0, 1500.0, 2400.0)
    same(room.lines, [(points[0], points[1]), (points[1], points[2]), (points[2], points[3])])
    assert [labels[0].text for labels, _ in offered] == ["126.9°", "90°", "200", "90", "20"]
    same([anchor for _, anchor in offered], [
        points[1], points[2], (1145.0 + 60.0, 2172.5 + 80.0), (1145.0 + 165.0, 2332.5), (1355.0, 2332.5 - 10.0),
    ])  # fmt: skip
    # the mean of the corners is (135, 115) of the section
    same(offered[2][0][2].at, (1145 + 60 - 18.0, 2172.5 + 80 + 13.5))
    assert {(one.layer, one.height_mm) for labels, _ in offered[2:] for one in labels} == {("FOLD-SECTION", 2.5)}


def test_hems_and_straight_joins_have_no_angle(offered: Offered) -> None:
    for angle, said in ((0.0, False), (0.1, True), (179.8, True), (179.9, False), (180.0, False)):
        offered.clear()
        fold_drawing._section(Sketch(5), replace(APRON, angles_deg=(angle, 0.0)), (0.0, 0.0), (100.0, 80.0))
        assert len(offered) == 3 + said


def words(section: FoldSection, name: str, bought: str, width: float = 100.0) -> list[tuple[str, float, float, float]]:
    sketch = Sketch(5)
    fold_drawing._words(sketch, section, (1000.0, 2000.0), (width, 80.0), name, bought)
    ring, *said = sketch.items
    assert isinstance(ring, Polyline)
    right = 1000.0 + 5 * width
    assert (ring.layer, ring.points_mm) == ("TITLE", ((1000, 2000), (right, 2000), (right, 2400), (1000, 2400)))
    assert all(isinstance(each, Text) and (each.layer, each.align) == ("TEXT", "left") for each in said)
    return [(each.text, *each.at_mm, each.height_mm) for each in said if isinstance(each, Text)]


def test_words_under_a_section() -> None:
    """From 22 mm of paper up, each 1.4 mm under the last: capitals of 3.5, 2.5 and 5 mm, 17.5, 12.5 and 25 at 1:5."""
    facts = "girth 310, 2 folds, no hem; colour top"
    assert words(APRON, "Apron 90", "") == [("Apron 90", 1015, 2085.5, 17.5), (facts, 1015, 2066, 12.5)]
    hand = "Drawn as left hand; turned end for end, same face up, it is the right"
    handed = replace(APRON, hand="left", folds=1, hems=1)
    assert words(handed, "Apron 90", "2 x 4000 mm, 1 x 3000", 160.0) == [
        ("Apron 90", 1015, 2085.5, 17.5), ("girth 310, 1 fold, 1 hem; colour top", 1015, 2066, 12.5),
        (hand, 1015, 2046.5, 12.5), ("2 x 4000 mm, 1 x 3000", 1015, 2014.5, 25),
    ]  # fmt: skip
    assert words(APRON, "Apron 90", "2 x 4000 mm, 11 x 3000")[-1] == ("2 x 4000 mm, 11 x 3000", 1015, 2041.5, 17.5)


def test_words_too_wide_for_their_cell_end_with_their_first_line() -> None:
    """Letters of 0.88 and gaps of 0.47: "Apron Apron" is 3.5 * (2 * (1.06 + 4 * 0.88) + 0.47) = 33.7 wide, 3 mm stay clear
    at either side."""
    assert words(APRON, "Apron Apron", "", 39.8)[0][0] == "Apron Apron"
    assert words(APRON, "Apron Apron", "", 39.6)[0][0] == "Apron"


@pytest.mark.parametrize(
    ("count", "sheets", "titles"),
    [
        (0, [], []), (1, [1], ["Folding schedule"]), (6, [6], ["Folding schedule"]),
        (7, [6, 1], ["Folding schedule 1 of 2", "Folding schedule 2 of 2"]),
    ],
)  # fmt: skip
def test_six_sections_a_sheet(sample: Takeoff, count: int, sheets: list[int], titles: list[str]) -> None:
    """Two columns of 195 mm and three rows of 82.33 on A3 (390 x 247 free), the lowest at the foot; a section and its
    lengths stand 23 mm of paper and more over the foot of its cell."""
    (run,) = sample.roofing.flashings
    runs = tuple(
        replace(run, item=f"f{n}", section=replace(APRON, item=f"f{n}", name=f"Flashing {n}")) for n in range(count)
    )
    runs = tuple(each for one in runs for each in (one, one)) + ((replace(run, section=None),) if count else ())
    drawings = fold_drawing.fold_drawings(replace(sample, roofing=replace(sample.roofing, flashings=runs)))
    assert [len(one.parts_mm) for one in drawings] == sheets
    assert [one.title for one in drawings] == titles
    assert [one.name for one in drawings] == [f"flashings_{n + 1}" for n in range(len(sheets))]
    if count == 7:
        # 210 x 160 in 171 x 45.3 mm of paper: 1:5
        first = drawings[0]
        assert (first.scale, first.paper_mm, first.corner_mm) == (5, (420, 297), (-100, -200))
        high = 5 * 247 / 3
        same(first.parts_mm, [
            (column * 975, (2 - row) * high + 115, column * 975 + 975, (3 - row) * high)
            for row in range(3) for column in range(2)
        ])  # fmt: skip
        names = [each for each in first.items if isinstance(each, Text) and each.text.startswith("Flashing ")]
        assert [each.text for each in names] == [f"Flashing {n}" for n in range(6)]
        same([each.at_mm for each in names], [
            (column * 975 + 15, (2 - row) * high + 85.5) for row in range(3) for column in range(2)
        ])  # fmt: skip
        assert any(isinstance(each, Text) and each.text.endswith("drawing F1") for each in first.items)


def test_the_scale_of_a_sheet_is_that_of_its_largest_section(sample: Takeoff) -> None:
    """Wide 195 - 24 = 171, high 247 / 3 - 37 = 45.33 mm of paper: 342 and 90.6 fit at 1:2, 343 or 91 take 1:5."""
    (run,) = sample.roofing.flashings
    for wide, high, scale in ((342.0, 90.6, 2), (342.1, 90.0, 5), (342.0, 90.7, 5), (171.0, 45.3, 1)):
        small = replace(APRON, item="b", points_mm=((5.0, 5.0), (7.0, 6.0)), legs=(("a", 2),), angles_deg=())
        large = replace(
            APRON, item="a", points_mm=((-5.0, -7.0), (wide - 5.0, high - 7.0)), legs=(("a", 9),), angles_deg=()
        )
        runs = tuple(replace(run, item=one.item, section=one) for one in (small, large))
        (drawing,) = fold_drawing.fold_drawings(replace(sample, roofing=replace(sample.roofing, flashings=runs)))
        assert drawing.scale == scale
