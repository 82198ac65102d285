"""Elevations by hand: paper and scale, words of openings, levels, dimensions and headings; limits met exactly and just
missed."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from wall_by_hand import box, piece, wall, zone

from takeoff.model.walls import GroundPart, Opening
from takeoff.write.drawings import wall_drawing
from takeoff.write.drawings.drawing import Dimension, Line, Polyline, Sketch, Text, text_width
from takeoff.write.drawings.frame import A3, A4
from takeoff.write.drawings.label_room import Room


def texts(sketch: Sketch) -> list[tuple[str, float, float, float]]:
    return [
        (item.text, pytest.approx(item.at_mm[0]), pytest.approx(item.at_mm[1]), item.height_mm / sketch.scale)
        for item in sketch.items
        if isinstance(item, Text)
    ]


# ---- paper


@pytest.mark.parametrize(
    ("size", "head", "cover", "paper"),
    [
        # A4 lying: 267 x 160 free, less 43 and 24 beside, 28 and 30 over and under: 200 x 102
        ((4000.0, 2040.0), 28.0, 54.0, (A4, 20)), ((4000.1, 2040.0), 28.0, 67.5, (A4, 25)), ((4000.0, 2040.1), 28.0, 67.5, (A4, 25)),
        ((10000.0, 2000.0), 28.0, 135.0, (A4, 50)), ((10000.0, 5100.0), 28.0, 135.0, (A4, 50)),
        # boards of 2.6 mm of paper carry no words, and past 1:50 none is read: A3, 390 x 247, has 323 x 189
        ((10000.0, 2000.0), 28.0, 134.0, (A3, 40)), ((10000.1, 2000.0), 28.0, 500.0, (A3, 40)), ((16150.0, 2000.0), 28.0, 500.0, (A3, 50)),
        ((16150.1, 2000.0), 28.0, 500.0, (A3, 60)), ((12920.0, 7560.0), 28.0, 500.0, (A3, 40)), ((100.0, 7560.1), 28.0, 500.0, (A3, 50)),
        # more room over it
        ((4000.0, 2040.0), 28.1, 67.5, (A4, 25)), ((500.0, 500.0), 28.0, 100.0, (A4, 10)),
        ((64600.0, 9000.0), 28.0, 500.0, (A3, 200)), ((64601.0, 9000.0), 28.0, 500.0, (A3, 250)),
    ],
)  # fmt: skip
def test_the_smaller_paper_on_which_boards_carry_their_words(size: Any, head: float, cover: float, paper: Any) -> None:
    assert wall_drawing._paper(size, [zone(cover=cover)], head) == paper


# ---- openings


def words_of(width: float, height: float, name: str = "W1", sill: float = 900.0, scale: int = 20) -> Any:
    sketch = Sketch(scale)
    wall_drawing._opening(sketch, Opening(name, 1000.0, sill, width, height))
    ring = sketch.items[0]
    assert isinstance(ring, Polyline)
    assert ring.points_mm == box(1000.0, sill, 1000.0 + width, sill + height)
    assert {(t.layer, t.angle_deg, t.align, t.middle) for t in sketch.items if isinstance(t, Text)} <= {
        ("WALL-OPENING", 0.0, "centre", True)
    }
    return texts(sketch)


def test_an_opening_says_its_name_size_and_sill_in_its_middle() -> None:
    """At 1:20: 5, 2.5 and 2.5 mm of paper with 1.2 between them are 12.4: 248, so from 1500 + 124 down; 50 to the middle of
    the name, 50 + 24 + 25 to the next, 25 + 24 + 25 to the last."""
    assert words_of(1800.0, 1200.0) == [
        ("W1", 1900, 1574, 5), ("1800 x 1200", 1900, 1475, 2.5), ("sill 900", 1900, 1401, 2.5),
    ]  # fmt: skip


def test_a_size_too_wide_for_its_opening_takes_two_lines_and_words_too_wide_are_left_out() -> None:
    """A millimetre of paper stays clear; "600 x 2000" at 1:20 is 50 * (8 * 0.88 + 2 * 0.47) = 399, "W1" at 100 is 100 *
    (1.36 + 0.88) = 224, "sill 0" 50 * (0.88 * 2 + 4 * 0.47) = 182, "219 x" 199.5 and "2000" 176."""
    assert [text for text, *_ in words_of(600.0, 2000.0, sill=0.0)] == ["W1", "600 x 2000", "sill 0"]
    for width, said in (
        (419.1, ["W1", "419 x 2000", "sill 0"]), (418.9, ["W1", "419 x", "2000", "sill 0"]),
        (244.1, ["W1", "244 x", "2000", "sill 0"]), (243.9, ["244 x", "2000", "sill 0"]), (219.4, ["2000", "sill 0"]),
        (202.1, ["2000", "sill 0"]), (201.9, ["2000"]), (196.1, ["2000"]), (195.9, []),
    ):  # fmt: skip
        assert [text for text, *_ in words_of(width, 2000.0, sill=0.0)] == said


def test_words_too_high_for_their_opening_are_left_out_from_the_last() -> None:
    """12.4 mm of paper and 1 clear is 268 at 1:20; without the sill 8.7 and 1, 194; the name alone 5 and 1, 120, smaller 2.5
    below that."""
    for height, said in (
        (268.1, ["W1", "1800 x 268", "sill 900"]), (267.9, ["W1", "1800 x 268"]), (194.1, ["W1", "1800 x 194"]), (193.9, ["W1"]),
    ):  # fmt: skip
        assert [text for text, *_ in words_of(1800.0, height)] == said
    assert words_of(1800.0, 120.1) == [("W1", 1900, 960.05, 5)]
    assert words_of(1800.0, 119.9) == [("W1", 1900, 959.95, 2.5)]


# ---- levels


def levels(**more: Any) -> tuple[list[Any], Any]:
    sketch = Sketch(20)
    wall_drawing._levels(sketch, replace(wall(), **more))
    return [(item.a_mm, item.b_mm) for item in sketch.items if isinstance(item, Line)], texts(sketch)


def test_ground_and_floors_beside_a_wall() -> None:
    """6 mm of paper past either end, 120 at 1:20; words 40 beside the wall, 16 over their line."""
    part = GroundPart(1000.0, 3000.0, -150.0, "paved")
    found = levels(ground_mm=(-300.0, -500.0), floors_mm=(0.0, 2700.0), grounds=(part,))
    assert found == (
        [
            ((-120, -300), (0, -300)), ((0, -300), (6000, -500)), ((6000, -500), (6120, -500)), ((1000, -150), (3000, -150)),
            ((6000, 0), (6120, 0)), ((6000, 2700), (6120, 2700)), ((6000, -500), (6120, -500)),
        ],
        [("floor 0", 6040, 16, 2.5), ("floor 2700", 6040, 2716, 2.5), ("ground -500", 6040, -484, 2.5)],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("base", "ground", "floors", "said"),
    [
        (-50.0, (-1549.0, -1000.0), (0.0,), ["floor 0", "ground -1000"]), (-50.0, (-1000.0, -1550.0), (0.0,), ["floor 0"]),
        (-50.0, (-1550.0, -1000.0), (0.0,), ["floor 0"]), (-50.0, (-2000.0, -2000.0), (2700.0, 5300.0), ["floor 0", "floor 2700", "floor 5300"]),
        (0.0, (-2000.0, -2000.0), (2700.0,), ["floor 0", "floor 2700"]), (0.5, (-2000.0, -2000.0), (2700.0,), ["floor 2700"]),
    ],
)  # fmt: skip
def test_ground_a_metre_and_a_half_under_a_wall_is_not_drawn(
    base: float, ground: Any, floors: Any, said: list[str]
) -> None:
    found = levels(base_mm=base, ground_mm=ground, floors_mm=floors)
    assert [text for text, *_ in found[1]] == said


def test_parts_of_the_ground_are_named_under_their_lines_else_over_them() -> None:
    """At 1:20 "paved -150" is 50 * (9 * 0.88 + 0.47) = 419.5 long; 44 under, then 44 over; half way, a quarter, 6, 1, 3, 5
    and 7 eighths, as far as it does not run past an end: of 800 that are 1400, 1300 and 1500."""
    for left, right, taken, at in (
        (1000.0, 3000.0, (), (2000, -194)), (1000.0, 3000.0, ((1900, -210, 2100, -180),), (1500, -194)),
        (1000.0, 3000.0, ((1000, -210, 3000, -180),), (2000, -106)), (1000.0, 1420.0, (), (1210, -194)),
        (1000.0, 1419.0, (), None), (1000.0, 1800.0, ((1390, -210, 1395, -180),), (1400, -106)),
        (1000.0, 1800.0, ((1517, -210, 1525, -180),), (1300, -194)),
    ):  # fmt: skip
        room = Room(Sketch(20), boxes=[box(*one) for one in taken])
        wall_drawing._name_grounds(room, replace(wall(), grounds=(GroundPart(left, right, -150.0, "paved"),)))
        assert texts(room.sketch) == ([("paved -150", *at, 2.5)] if at else [])


# ---- dimensions


def dimensions(made: Any, marked: bool = False, low: float = -300.0, top: float = 2400.0) -> list[Any]:
    sketch = Sketch(20)
    wall_drawing._dimensions(sketch, made, (0.0, low, 6000.0, top), marked)
    assert all(isinstance(item, Dimension) for item in sketch.items)
    return [
        (item.a_mm, item.b_mm, item.through_mm, item.angle_deg) for item in sketch.items if isinstance(item, Dimension)
    ]


def test_dimensions_of_a_wall_with_openings() -> None:
    """The chain 18.5 mm of paper under the lowest, 370 at 1:20, the whole 510 under it; heights 680 left of the wall, their
    lines from 600 on."""
    made = wall(
        6000.0, 2400.0, Opening("W1", 1000.0, 900.0, 1200.0, 600.0), Opening("W2", 2300.0, 900.0, 1200.0, 600.0)
    )
    for marked, foot in ((False, -50.0), (True, -600.0)):
        assert dimensions(made, marked) == [
            ((0, foot), (1000, foot), (0, -670), 0), ((1000, foot), (2200, foot), (1000, -670), 0),
            ((2300, foot), (3500, foot), (2300, -670), 0), ((3500, foot), (6000, foot), (3500, -670), 0),
            ((0, foot), (6000, foot), (0, -810), 0), ((-600, -50), (-600, 2400), (-680, -50), 90),
            ((-600, -300), (-600, -50), (-680, -300), 90),
        ]  # fmt: skip


def test_what_has_no_room_for_its_figure_has_no_dimension() -> None:
    """Of 100 between the openings "100" would be 132 and 12 more; ground 1500 under the wall is not drawn."""
    assert dimensions(wall(), low=-20.0)[0] == ((0, -50), (6000, -50), (0, -560), 0)
    high = wall(140.0, 80.0)
    assert dimensions(high, top=80.0) == [((-600, -300), (-600, -50), (-680, -300), 90)]
    for ground, count in ((-1549.9, 3), (-1550.0, 2), (-190.0, 2), (-195.0, 3)):
        assert len(dimensions(replace(wall(), ground_mm=(ground, 0.0)))) == count
    for length in (143.9, 144.1):
        assert wall_drawing._fits(Sketch(20), length) is (length > 144)
    assert wall_drawing._fits(Sketch(20), text_width("144", 50.0) + 12.0)
    # from a foot 110 under the floor up to 50 over it are 160, of which "160" takes 144; from -30 up to 110 are 140
    for base, top, count in ((-110.0, 50.0, 2), (-30.0, 110.0, 1)):
        made = replace(wall(), base_mm=base, ground_mm=(base - 1500.0, 0.0))
        assert len(dimensions(made, low=base, top=top)) == count


# ---- headings


def test_what_a_zone_is_in_words() -> None:
    level = replace(zone(cover=180.25), courses=13, net_mm2=12.345e6)
    words = wall_drawing._zone_words
    assert words(level, "Bevel-back 187") == "Bevel-back 187, horizontal, cover 180.3; 13 courses, net 12.35 m²"
    assert words(level, "horizontal, cover 180.3") == "horizontal, cover 180.3; 13 courses, net 12.35 m²"
    upright = replace(level, direction="vertical", marks_mm=(-40.4, 100.0))
    assert words(upright, "Board") == (
        "Board, vertical, cover 180.3; 13 boards, net 12.35 m²; first line 40 left of the left end of the framing"
    )
    assert words(replace(upright, direction="sheets", marks_mm=(0.5, 9.0)), "Sheet") == (
        "Sheet, sheets, cover 180.3; 13 sheets, net 12.35 m²; first line 1 from the left end of the framing"
    )
    assert words(replace(upright, marks_mm=()), "Board") == "Board, vertical, cover 180.3; 13 boards, net 12.35 m²"
    assert [wall_drawing._from_framing(at) for at in (0.49, -0.49, -0.5, 12.0)] == [
        "at the left end of the framing", "at the left end of the framing", "1 left of the left end of the framing",
        "12 from the left end of the framing",
    ]  # fmt: skip


def test_which_end_sheets_are_laid_from() -> None:
    def group(side: str, *marks: str) -> Any:
        pieces = tuple(SimpleNamespace(mark=mark) for mark in marks)
        return SimpleNamespace(planes=(SimpleNamespace(start_side=side, pieces=pieces),))

    takeoff: Any = SimpleNamespace(
        cladding=SimpleNamespace(groups=(group("right", "x", "S2"), group("left", "S1"), group("middle", "y")))
    )
    two = [zone(piece("S1", box(0, 0, 1, 1))), zone(piece("S2", box(0, 0, 1, 1)))]
    said = "Sheets are laid from the {} end; sides of raked ones: Wall lengths of the order"
    assert wall_drawing._laid_words(two, takeoff) == [said.format("left"), said.format("right")]
    assert wall_drawing._laid_words(two[:1], takeoff) == [said.format("left")]
    assert wall_drawing._laid_words([], takeoff) == []


def heading(*zones: Any, unmarked: tuple[Any, ...] = (), scale: int = 20) -> list[Any]:
    takeoff: Any = SimpleNamespace(cladding=SimpleNamespace(groups=()), items={})
    sketch = Sketch(scale)
    wall_drawing._heading(sketch, wall(), list(zones), unmarked, (1000.0, 9000.0), takeoff)
    return texts(sketch)


def test_the_heading_of_an_elevation() -> None:
    """4 mm of paper in; each line its height and 2.5 down: 150, 120 and 100 at 1:20."""
    lapped = zone(piece("a", box(0, 0, 800, 2000), lap_mm=150.0), level=False, cover=100.0)
    found = heading(zone(cover=54.0), lapped)
    assert [(text.partition(";")[0][:40], *rest) for text, *rest in found] == [
        ("Wall 1: 6000 wide, faces south", 1080, 8850, 5),
        ("own, horizontal, cover 54", 1080, 8730, 3.5), ("own, vertical, cover 100", 1080, 8610, 3.5),
        ("Upper sheets lap 150 over the lower and ", 1080, 8510, 2.5),
    ]  # fmt: skip
    marks = "Marks and lengths of all boards: sheets of the parts of this wall, and Wall lengths of the order"
    assert heading(zone(cover=53.9))[-1] == (marks, 1080, 8630, 2.5)
    assert heading(zone(cover=54.0), unmarked=(zone(),))[-1][0] == marks
    # upright boards are told only where they are named
    assert len(heading(zone(level=False, cover=10.0))) == 2
