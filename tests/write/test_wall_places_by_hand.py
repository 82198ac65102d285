"""Laps, cuts, further sheets and the room of an elevation: every place by hand, limits met exactly and just missed."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from wall_by_hand import Found, box, piece, wall, zone

from takeoff.model.walls import Opening
from takeoff.write.drawings import wall_cut, wall_in_parts, wall_laps
from takeoff.write.drawings.drawing import Dimension, Polyline, Sketch, Text, text_width
from takeoff.write.drawings.frame import wrap
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.wall_room import drawn_room, wall_room

# ---- laps

LAPPED = zone(
    piece("a", box(0, 0, 800, 2000), lap_mm=150.0), piece("b", box(800, -50, 1600, 2000), lap_mm=150.0),
    piece("c", box(0, 1850, 800, 3850), lap_mm=200.0), piece("d", box(800, 1850, 1600, 5000)), direction="sheets",
)  # fmt: skip


def test_upper_sheets_begin_where_the_lower_end_less_the_lap() -> None:
    assert wall_laps.lap_heights_mm(LAPPED) == (-50, 1850, 3650)
    assert wall_laps.lap_heights_mm(zone(piece("a", box(0, 0, 800, 2000)))) == ()
    # a hundredth of a millimetre is none, twice that is
    for more, heights in ((0.0099, (0, 1850)), (0.02, (0, 1850, 1850.02))):
        two = zone(
            piece("a", box(0, 0, 800, 2000), lap_mm=150.0), piece("b", box(800, 0, 1600, 2000 + more), lap_mm=150.0)
        )
        assert wall_laps.lap_heights_mm(two) == pytest.approx(heights, abs=1e-6)


def test_laps_in_words() -> None:
    """From the foot at -50: 1850 is 1900 over it, 3650 is 3700."""
    words = "Upper sheets lap {} over the lower and begin 1900, 3700 over the foot of these"
    assert wall_laps.lap_words([LAPPED]) == [words.format(150), words.format(200)]
    assert wall_laps.lap_words([LAPPED, LAPPED]) == [words.format(150), words.format(200)]
    assert wall_laps.lap_words([zone(piece("a", box(0, 0, 1, 1)))]) == []


def test_laps_are_dimensioned_in_a_chain_beside_the_wall_once() -> None:
    """At 1:100, 27 mm of paper off: from x = -2700, the lines of the ends beginning 3 mm of paper nearer."""
    sketch = Sketch(100)
    wall_laps.draw_laps(sketch, [LAPPED, LAPPED])
    assert sketch.items == [
        Dimension("DIM", (-2400, -50), (-2400, 1850), (-2700, -50), 90),
        Dimension("DIM", (-2400, 1850), (-2400, 3650), (-2700, 1850), 90),
    ]


def test_a_lap_is_dimensioned_where_its_figure_has_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """At 1:100 three figures 2.5 high, and 0.6 mm of paper."""
    least = text_width("720", 250.0) + 60.0
    for far, drawn in ((least, 1), (least - 0.001, 0)):
        monkeypatch.setattr(wall_laps, "lap_heights_mm", lambda _, far=far: (0.0, far))
        sketch = Sketch(100)
        wall_laps.draw_laps(sketch, [LAPPED])
        assert len(sketch.items) == drawn


# ---- what is not clad


def sides(*ring: tuple[float, float], scale: int = 50) -> Found:
    sketch = Sketch(scale)
    wall_cut._sides(sketch, ring)
    return sketch.items


def test_a_cut_has_its_foot_and_both_ends_dimensioned_within_it() -> None:
    """At 1:50 lines stand 400 in, and 1200 is the least that is dimensioned."""
    assert sides((1000, -200), (5000, -200), (5000, 3000), (1000, 2600)) == [
        Dimension("DIM", (1000, -200), (1000, 2600), (1400, -200), 90),
        Dimension("DIM", (5000, -200), (5000, 3000), (4600, -200), 90),
        Dimension("DIM", (1000, -200), (5000, -200), (1000, 200), 0),
    ]


@pytest.mark.parametrize(
    ("ring", "angles"),
    [
        (((900, 0), (2100, 0), (2100, 1200), (900, 1200)), [90, 90, 0]), (((900, 0), (2099, 0), (2099, 1200), (900, 1200)), []),
        (((0, 0), (1200, 0), (1200, 1200), (0, 1200)), [90, 90, 0]), (((0, 0), (1199, 0), (1199, 1200), (0, 1200)), []),
        (((0, 0), (1200, 0), (1200, 1199), (0, 1200)), [90]), (((0, 0), (1200, 0), (1200, 1200), (0, 1199)), [90]),
        # ends that begin a millimetre apart or more are none of a level foot
        (((0, 0), (1200, 0.9), (1200, 1300), (0, 1300)), [90, 90, 0]), (((0, 0), (1200, 1), (1200, 1300), (0, 1300)), [90, 90]),
        (((0, 1), (1200, 0), (1200, 1300), (0, 1300)), [90, 90]),
        # its foot lies lower in the middle: 100 over that and 1100 high are both less than 1200 over it
        (((0, 100), (600, 0), (1200, 100), (1200, 1300), (0, 1300)), [90, 90, 0]),
        (((0, -100), (600, -900), (1200, -100), (1200, 290), (0, 290)), []),
        # corners less than a millimetre in belong to the end
        (((0, 0), (1200, 0), (1200, 600), (1199.1, 1200), (0.9, 1200), (0, 600)), [90, 90, 0]),
        (((0, 0), (1200, 0), (1200, 600), (1199, 1200), (1, 1200), (0, 600)), []),
    ],
)  # fmt: skip
def test_what_is_too_short_for_a_dimension_has_none(ring: tuple[tuple[float, float], ...], angles: list[float]) -> None:
    assert [item.angle_deg for item in sides(*ring)] == angles


class _Numbers:
    def number(self, name: str) -> float:
        return {"apron_over_sheets_mm": 130.0, "clearance_roof_mm": 35.0}[name]


NUMBERS: Any = _Numbers()


def words_of_cut(*ring: tuple[float, float], base: float = -50.0, scale: int = 50) -> list[Text]:
    sketch = Sketch(scale)
    wall_cut._words(sketch, wall(8000, 4000, base=base), ring, 165.0)
    return [item for item in sketch.items if isinstance(item, Text)]


def lines_of_cut(left: int, right: int, *more: str) -> list[str]:
    """Wrapped to what lies between the dimension lines, 8 + 2.5 mm of paper at either side, at 1:50."""
    said = [
        "not clad: a lower roof or part of the house", "cut 165 over the underside of its sheets",
        f"{left} to {right} from the left end", *more,
    ]  # fmt: skip
    return [part for line in said for part in wrap(line, (right - left) / 50 - 21, 2.5)]


@pytest.mark.parametrize(
    ("ring", "base", "more"),
    [
        (box(1000, -200, 6000, 3000), -200.0, ()), (box(1000, -49, 6000, 3000), -50.0, ()),
        (box(1000, -48.9, 6000, 3000), -50.0, ("its foot -49 over the floor",)),
        (box(1000, 900, 3500, 3900), -50.0, ("its foot 900 over the floor",)),
    ],
)  # fmt: skip
def test_words_of_a_cut_stand_three_fifths_up_it(ring: Any, base: float, more: tuple[str, ...]) -> None:
    """4 mm of paper a line, 200 at 1:50, round 0.6 of the height."""
    (left, low), _, (right, high), _ = ring
    lines = lines_of_cut(round(left), round(right), *more)
    top = low + 0.6 * (high - low) + 200.0 * (len(lines) - 1) / 2.0
    found = words_of_cut(*ring, base=base)
    assert [text.text for text in found] == lines
    assert [text.at_mm for text in found] == [
        pytest.approx(((left + right) / 2.0, top - 200.0 * n)) for n in range(len(lines))
    ]
    assert {(text.layer, text.height_mm, text.angle_deg, text.align, text.middle) for text in found} == {
        ("TEXT", 125.0, 0.0, "centre", True)
    }


def test_words_of_a_cut_go_elsewhere_where_the_first_place_is_not_inside_it() -> None:
    """Of three lines, 400 from the first to the last. 900 high: at 0.6 the last would lie 340 over the foot, at 0.65 385,
    and 650 are kept; nowhere up to 0.8 (520). 1100 high: 0.8 gives 680 and 0.7 570."""
    assert words_of_cut(*box(0, -50, 6000, 850)) == []
    found = words_of_cut(*box(0, -50, 6000, 1050))
    assert found[0].at_mm == pytest.approx((3000, -50 + 0.8 * 1100 + 200))
    # exactly 650 is not more than that: 0.6 of 1416.67 and 200 down is 650.0
    near = words_of_cut(*box(0, 0, 6000, 1410), base=0.0)
    assert near[0].at_mm == pytest.approx((3000, 0.65 * 1410 + 200))


def test_words_of_a_cut_stand_whole_within_it() -> None:
    """Gables 4000 high. Their widest line is some 4300: 3 tenths up a foot of 6000 its top line has 3900; of 9000 it has
    4050 half way up and 4950 4 tenths up."""
    assert words_of_cut((0.0, 0.0), (6000.0, 0.0), (3000.0, 4000.0), base=0.0) == []
    found = words_of_cut((0.0, 0.0), (9000.0, 0.0), (4500.0, 4000.0), base=0.0)
    assert [text.at_mm[1] for text in found] == [pytest.approx(1800), pytest.approx(1600), pytest.approx(1400)]


def test_a_cut_that_is_too_narrow_for_its_words_has_none() -> None:
    """The longest word, eight letters of 0.88 and an i of 0.47 of 125, and 10.5 mm of paper at either side: 1988.75."""
    assert words_of_cut(*box(0, -50, 1989, 3950))
    assert words_of_cut(*box(0, -50, 1988, 3950)) == []


def test_every_part_that_is_not_clad_is_drawn() -> None:
    """130 for the apron and 35 over the sheets: 165."""
    sketch = Sketch(50)
    rings = (box(0, -50, 500, 400), box(2000, 0, 7000, 3000))
    wall_cut.draw_cuts(sketch, wall(8000, 4000, covered_xy=rings), NUMBERS)
    assert [item.points_mm for item in sketch.items if isinstance(item, Polyline)] == list(rings)
    assert sum(isinstance(item, Dimension) for item in sketch.items) == 3
    assert "cut 165 over the underside of its sheets" in [item.text for item in sketch.items if isinstance(item, Text)]


# ---- room for words


def test_words_on_a_wall_keep_off_its_outline_and_off_openings() -> None:
    made = wall(6000, 2400, Opening("W1", 1000.0, 900.0, 1200.0, 600.0), covered_xy=(box(4000, -50, 6000, 900),))
    room = wall_room(Sketch(50), made)
    hole = box(1000, 900, 2200, 1500)
    rings = (box(0, -50, 6000, 2400), box(4000, -50, 6000, 900), hole)
    assert room.boxes == [hole]
    assert room.lines == [(a, b) for ring in rings for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]


def test_words_beside_a_drawing_keep_off_what_stands_there() -> None:
    """At 1:10; a text on its base line has its middle half its height over it: 25 / 2 straight up, or at 90 degrees to
    the left."""
    sketch = Sketch(10)
    sketch.text("TEXT", (100.0, 200.0), "on its line", 2.5)
    sketch.text("TEXT", (100.0, 200.0), "upright", 3.5, 90.0, "right")
    sketch.text("TEXT", (100.0, 200.0), "middle", 2.5, 30.0, "centre", True)
    sketch.dimension((0.0, 0.0), (500.0, 100.0), (0.0, -80.0), 0.0)
    sketch.line("DIM", (1.0, 2.0), (3.0, 4.0))
    sketch.line("WALL-BOARD", (1.0, 2.0), (3.0, 4.0))
    sketch.ring("TITLE", ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)))
    sketch.ring("DIM", ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)), closed=False)
    sketch.ring("WALL-BATTEN", ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)))
    sketch.circle("DOWNPIPE", (50.0, 60.0), 1.5)
    sketch.fill("TEXT", (((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)),), 1.0)
    page = (-500.0, -400.0, 900.0, 800.0)
    room = drawn_room(sketch, page)
    wanted = Room(sketch, within=page)
    wanted.keep(
        [
            Label("TEXT", (100.0, 212.5), "on its line", 2.5, 0.0, "left"),
            Label("TEXT", (82.5, 200.0), "upright", 3.5, 90.0, "right"),
            Label("TEXT", (100.0, 200.0), "middle", 2.5, 30.0, "centre"),
            # its figure stands 2.5 / 2 + 1 mm of paper over the line
            Label("DIM", (250.0, -57.5), "500", 2.5, 0.0, "centre"),
        ]
    )
    wanted.boxes.append(box(35.0, 45.0, 65.0, 75.0))
    assert room.within == page
    assert [pytest.approx(point) for ring in room.boxes for point in ring] == [
        point for ring in wanted.boxes for point in ring
    ]
    assert [pytest.approx(point) for line in room.lines for point in line] == [
        (0, -80), (500, -80), (0, 0), (0, -80), (500, 100), (500, -80), (1, 2), (3, 4),
        (0, 0), (9, 0), (9, 0), (9, 9), (9, 9), (0, 0), (0, 0), (9, 0), (9, 0), (9, 9),
    ]  # fmt: skip


# ---- further sheets

# A3 lying with 20 mm for filing, 10 elsewhere and 30 for the title: 390 x 247 free; less 36 and 12 beside, 32 and 12
FREE = (390.0 - 48.0, 247.0 - 44.0)


@pytest.fixture
def parts(monkeypatch: pytest.MonkeyPatch) -> Any:
    """(scale, from, to, number, before) of every part of a wall."""
    monkeypatch.setattr(
        wall_in_parts, "_part", lambda takeoff, wall, shown, cuts, scale, window, n, before: (scale, *window, n, before)
    )
    return lambda *zones, before=0: wall_in_parts.wall_parts(None, wall(9000, 3000), zones, {}, before)  # type: ignore[arg-type]


def test_sheets_of_a_long_wall_show_200_of_each_other(parts: Any) -> None:
    """Level boards of 150 are 3 mm of paper at 1:50. 342 * 50 = 17100 a sheet: 20200 - 200 = 20000 on 16900 each are two
    sheets; at 1:30 a sheet has 10260, so two hold 20120 + 200 and it is drawn as large as that."""
    long = zone(piece("a", box(-100, -50, 20100, 100)), piece("b", box(-100, 100, 20100, 2400)), cover=150.0)
    assert parts(long, before=3) == ((30, -100, 10100, 0, 3), (30, 9900, 20100, 1, 3))
    # upright boards stay at the largest scale where all is carried: 320 are 3.2 at 1:100
    upright = zone(piece("a", box(-100, -50, 40100, 5000)), cover=320.0, level=False)
    assert parts(upright) == ((100, -100, 20100, 0, 0), (100, 19900, 40100, 1, 0))


def test_a_wall_that_carries_its_words_nowhere_has_no_further_sheets(parts: Any) -> None:
    """203 mm of paper are 2030 at 1:10; boards of 30 are 3 there."""
    for high, cover, count in ((2030.0, 30.0, 1), (2031.0, 30.0, 0), (2030.0, 29.9, 0)):
        assert len(parts(zone(piece("a", box(0, 0, 3000, high)), cover=cover))) == count
    assert parts(zone(), zone()) == ()


@pytest.mark.parametrize(("wide", "count"), [(100.0, 1), (17_100.0, 1), (17_100.1, 2), (34_000.0, 2), (34_000.1, 3)])
def test_how_many_sheets_a_wall_takes(wide: float, count: int) -> None:
    """342 at 1:50: 17100 on the first, 16900 more on each further one."""
    assert wall_in_parts._count(wide, 342.0, 50) == count


@pytest.mark.parametrize(
    ("level", "cover", "high", "scale", "carried"),
    [
        (True, 150.0, 10.0, 50, True), (True, 149.0, 10.0, 50, False),
        # upright boards as long as 32 mm of paper have mark and length in a line, shorter ones beside each other
        (False, 160.0, 1600.0, 50, True), (False, 159.0, 1600.0, 50, False), (False, 309.0, 1599.0, 50, False),
        (False, 310.0, 1599.0, 50, True),
    ],
)  # fmt: skip
def test_boards_carry_their_words_from_some_width_on(
    level: bool, cover: float, high: float, scale: int, carried: bool
) -> None:
    made = zone(piece("a", box(0, 0, 100, 9000)), piece("b", box(100, 500, 200, 500 + high)), level=level, cover=cover)
    assert wall_in_parts._carried(made, scale) is carried


def test_upright_boards_have_28_more_over_them() -> None:
    level, upright = zone(), zone(level=False)
    assert [wall_in_parts._head(zones) for zones in ((level, level), (level, upright), (upright,))] == [32, 60, 60]


def test_what_of_a_wall_a_sheet_shows_in_words() -> None:
    assert [wall_in_parts._span(wall(6000), window) for window in ((-100.0, 3000.4), (2800.0, 6100.0))] == [
        "from 0 to 3000 mm from the left end", "from 2800 to 6000 mm from the left end",
    ]  # fmt: skip


def test_boards_are_shown_as_far_as_they_lie_on_the_sheet() -> None:
    """A triangle from (0, 0) over (1000, 0) to (0, 500), cut at 400: 0.6 of its height is left there."""
    away = box(400, 0, 900, 100)
    rings = list(wall_in_parts._clipped([away, ((0, 0), (1000, 0), (0, 500))], (-50.0, 400.0)))
    assert [(number, sorted(ring)) for number, ring in rings] == [(1, [(0, 0), (0, 500), (400, 0), (400, 300)])]
    # less than a square millimetre is nothing: 0.1 x 9 and 0.1 x 11
    assert list(wall_in_parts._clipped([box(0, 0, 100, 9)], (99.9, 500))) == []
    assert len(list(wall_in_parts._clipped([box(0, 0, 100, 11)], (99.9, 500)))) == 1
    assert list(wall_in_parts._clipped([box(0, 0, 100, 9)], (100.0, 500))) == []
    made = zone(piece("a", box(0, 0, 1000, 100)), piece("b", box(1000, 0, 2000, 100)))
    shown = wall_in_parts._within(made, (900.0, 1200.0))
    assert [(one.id, sorted(one.outline_xy)) for one in shown.pieces] == [
        ("a", [(900, 0), (900, 100), (1000, 0), (1000, 100)]), ("b", [(1000, 0), (1000, 100), (1200, 0), (1200, 100)]),
    ]  # fmt: skip
