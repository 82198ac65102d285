"""Words on the roof plan, its dimensions and its wind arrow, holes, and the sheet it stands on, by hand [mm at 1:100]."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import Offered, same
from wall_by_hand import box

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import opening_drawing, plan_drawing
from takeoff.write.drawings.drawing import Dimension, Fill, Line, Polyline, Sketch, Text, text_width
from takeoff.write.drawings.frame import A2, A3
from takeoff.write.drawings.label_places import grid_inside, roomiest
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place
from takeoff.write.drawings.plan_sheet import plan_sheet

PLACE = Place((0.0, 0.0, 0.0))


# ---- edges


def edge_labels(
    long: float, side: float, faces: int, offered: Offered, angle: tuple[float, float] = (1.0, 0.0)
) -> list[Label]:
    edge: Any = SimpleNamespace(id="E1", length_mm=3000.4, faces=("P1", "P2")[:faces])
    offered.clear()
    plan_drawing._edge_label(
        Room(Sketch(100)), edge, (500.0, 700.0), (500 + long * angle[0], 700 + long * angle[1]), side
    )
    ((labels, anchor),) = offered
    same(anchor, (500 + long * angle[0] / 2, 700 + long * angle[1] / 2))
    return labels


@pytest.mark.parametrize(
    ("side", "faces", "ways"), [(1.0, 1, (1,)), (-1.0, 1, (-1,)), (1.0, 2, (1, -1)), (-1.0, 2, (-1, 1))]
)
def test_words_of_an_edge_slide_along_it_on_its_side(
    side: float, faces: int, ways: tuple[int, ...], offered: Offered
) -> None:
    """2.2, 4.2 and 6.2 mm of paper and half of the letters off; along it by 2 mm, as far as 0.98 of it has room."""
    labels = edge_labels(4000.0, side, faces, offered)
    wanted: list[tuple[str, float, float, float]] = []
    for text, height in (("E1: 3000", 3.5), ("E1: 3000", 2.5), ("E1", 2.5)):
        reach = (0.98 * 4000 - text_width(text, 100 * height)) / 2
        steps = [0.0]
        k = 1
        while (k - 1) * 200 < reach:
            steps += [min(200.0 * k, reach), -min(200.0 * k, reach)]
            k += 1
        for way in ways:
            for off in (2.2, 4.2, 6.2):
                wanted += [(text, height, 2500 + step, 700 + way * 100 * (off + height / 2)) for step in steps]
    assert [(label.text, label.height_mm) for label in labels] == [each[:2] for each in wanted]
    same([label.at for label in labels], [each[2:] for each in wanted])
    assert {(label.layer, label.angle_deg) for label in labels} == {("TEXT", 0.0)}


def test_words_of_an_edge_on_a_slope_stand_square_off_it(offered: Offered) -> None:
    labels = edge_labels(5000.0, 1.0, 1, offered, (0.6, 0.8))
    off = 100 * (2.2 + 1.75)
    same(labels[0].at, (500 + 1500 - 0.8 * off, 700 + 2000 + 0.6 * off))
    assert labels[0].angle_deg == pytest.approx(53.13010235)


def test_words_of_an_edge_take_92_hundredths_of_it_at_most(offered: Offered) -> None:
    """ "E1: 3000": 1.06 + 5 * 0.88 + 2 * 0.47 = 6.4 heights: 2240 large, 1600 small; "E1" 485."""
    for long, said in (
        (2240 / 0.92, 3),
        (2240 / 0.92 - 1, 2),
        (1600 / 0.92 + 0.1, 2),
        (1600 / 0.92 - 1, 1),
        (485 / 0.92 + 0.1, 1),
    ):
        found = [(label.text, label.height_mm) for label in edge_labels(long + 0.01, 1.0, 1, offered)]
        assert list(dict.fromkeys(found)) == [("E1: 3000", 3.5), ("E1: 3000", 2.5), ("E1", 2.5)][3 - said :]
    assert edge_labels(485 / 0.92 - 1, 1.0, 1, offered) == []
    offered.clear()
    plan_drawing._edge_label(Room(Sketch(100)), SimpleNamespace(), (1.0, 1.0), (1.0, 1.0), 1.0)  # type: ignore[arg-type]
    assert offered == []


# ---- planes

RING = box(0.0, 0.0, 9600.0, 4800.0)


def plane_words(
    scale: int = 100, taken: Sequence[tuple[Point2, ...]] = (), **room: Any
) -> list[tuple[str, Point2, float]]:
    plane: Any = SimpleNamespace(id="P1", pitch_deg=25.04, area_mm2=46.084e6, frame=SimpleNamespace(v=(0.0, 0.9, 0.4)))
    made = Room(Sketch(scale), boxes=list(taken), **room)
    plan_drawing._plane_label(made, plane, (RING,))
    return [(t.text, t.at_mm, t.height_mm / scale) for t in made.sketch.items if isinstance(t, Text)]


def test_a_plane_says_its_pitch_and_area_where_it_has_most_room() -> None:
    """4800 deep: 24 mm of paper at 1:100, 12 of them either way of its middle line on a grid of 400; the first on it lies at
    (2200, 2200) or 2600. Lines begin 5 over it, 5 + 1.8 and 3.5 + 1.8 mm further down."""
    (x, y), room = roomiest((RING,))
    assert room == 2200
    found = plane_words()
    assert found[:3] == [("P1", (x, y + 500), 5.0), ("25.0°", (x, y - 180), 3.5), ("46.08 m²", (x, y - 710), 2.5)]
    assert found[3][0] == "fall"
    # 2200 are 9.2 mm at 1:240: smaller; 7.3 at 1:300: its id alone
    assert [height for text, _, height in plane_words(240) if text != "fall"] == [3.5, 2.5, 2.5]
    assert plane_words(300)[0][::2] == ("P1", 3.5)
    assert [each[0] for each in plane_words(300)] == ["P1"]


@pytest.mark.parametrize(
    ("scale", "said"), [(169, [5.0, 3.5, 2.5]), (170, [3.5, 2.5, 2.5]), (244, [3.5, 2.5, 2.5]), (245, [3.5])]
)
def test_how_much_is_said_goes_by_the_room_of_a_plane(scale: int, said: list[float]) -> None:
    """13 and 9 mm of paper to the nearest edge, of 2200."""
    lines = plan_drawing._plane_lines(SimpleNamespace(id="P1", pitch_deg=25.0, area_mm2=1e6), 2200 / scale)  # type: ignore[arg-type]
    assert [height for _, height in lines[0]] == said


def test_where_its_best_place_is_taken_a_plane_is_named_elsewhere_on_it() -> None:
    (x, y), _ = roomiest((RING,))
    taken = [box(x - 100, y - 100, x + 100, y + 100)]
    found = plane_words(taken=taken)
    assert found[0][:1] == ("P1",)
    others = [place for place in grid_inside((RING,)) if abs(place[0] - x) > 600]
    assert (found[0][1][0], found[0][1][1] - 500) in [(pytest.approx(a), pytest.approx(b)) for a, b in others]
    # a wall line through its middle is kept off as long as another place serves
    soft = plane_words(soft=[((x, -9e3), (x, 9e3))])
    assert abs(soft[0][1][0] - x) > 400
    led = plane_words(within=(0.0, 5000.0, 9600.0, 9000.0))
    assert [each[0] for each in led] == ["P1"]
    assert led[0][1][1] > 5000


# ---- dimensions


def test_dimensions_stand_left_and_under_the_plan_in_a_chain_and_whole() -> None:
    """16 mm of paper off for the steps of an outline, 24 for the whole."""
    ring = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 3000.0), (5000.0, 3000.0), (5000.0, 7000.0), (0.0, 7000.0))
    roof: Any = SimpleNamespace(outline_mm=(ring,), origin_mm=(0.0, 0.0, 0.0))
    room = Room(Sketch(100))
    plan_drawing._overall(room, (0.0, 0.0, 9000.0, 7000.0), PLACE, [roof])
    found = [(d.a_mm, d.b_mm, d.through_mm, d.angle_deg) for d in room.sketch.items if isinstance(d, Dimension)]
    assert found == [
        ((0, 0), (9000, 0), (0, -2400), 0), ((0, 0), (5000, 0), (0, -1600), 0), ((5000, 0), (9000, 0), (5000, -1600), 0),
        ((0, 0), (0, 7000), (-2400, 0), 90), ((0, 0), (0, 3000), (-1600, 0), 90), ((0, 3000), (0, 7000), (-1600, 3000), 90),
    ]  # fmt: skip
    same(room.lines[:6], [
        ((0, -300), (0, -2400)), ((9000, -300), (9000, -2400)), ((0, -2400), (9000, -2400)),
        ((0, -300), (0, -1600)), ((5000, -300), (5000, -1600)), ((0, -1600), (5000, -1600)),
    ])  # fmt: skip
    same(room.lines[9:12], [((-300, 0), (-2400, 0)), ((-300, 7000), (-2400, 7000)), ((-2400, 0), (-2400, 7000))])
    assert len(room.boxes) == 6
    wanted = Room(Sketch(100))
    # its figure stands 2.5 / 2 + 1 mm of paper over the line
    wanted.keep([Label("", (4500, -2400 + 225), "9000", 2.5), Label("", (-2400 - 225, 3500), "7000", 2.5, 90.0)])
    same([room.boxes[0], room.boxes[3]], wanted.boxes)
    room = Room(Sketch(100))
    plan_drawing._overall(
        room,
        (0.0, 0.0, 9000.0, 7000.0),
        PLACE,
        [SimpleNamespace(outline_mm=(box(0, 0, 9000, 7000),), origin_mm=(0, 0, 0))],
    )  # type: ignore[list-item]
    assert len(room.sketch.items) == 2


# ---- wind


def wind(ends: dict[str, str], north: float = 0.0, pieces: bool = True) -> list[Any]:
    roofs = [SimpleNamespace(name=name, covering=SimpleNamespace(lay_from=end)) for name, end in ends.items()]
    takeoff: Any = SimpleNamespace(
        roofing=SimpleNamespace(sheets=(SimpleNamespace(pieces=("a",) if pieces else ()),)),
        job=SimpleNamespace(roofs=roofs, north_deg=north), settings=SimpleNamespace(word=lambda _: "north"),
    )  # fmt: skip
    sketch = Sketch(100)
    plan_drawing._wind(sketch, (1000.0, 2000.0), takeoff)
    return sketch.items


@pytest.mark.parametrize(
    ("end", "north", "way"),
    [
        ("north", 0.0, (0, 1)),
        ("east", 0.0, (1, 0)),
        ("south-west", 0.0, (-1 / sqrt(2), -1 / sqrt(2))),
        ("north", 90.0, (-1, 0)),
        ("", 0.0, (0, 1)),
    ],
)
def test_the_wind_blows_towards_the_lee_end(end: str, north: float, way: Point2) -> None:
    """16 mm of paper long, its middle at the place; its words 11 beside it, 2.5 over and under the middle."""
    shaft, head, first, second = wind({"main": end}, north)
    assert isinstance(shaft, Line)
    assert isinstance(head, Fill)
    same(
        (shaft.a_mm, head.rings_mm[0][0]),
        ((1000 - 800 * way[0], 2000 - 800 * way[1]), (1000 + 800 * way[0], 2000 + 800 * way[1])),
    )
    same(shaft.b_mm, (1000 + 400 * way[0], 2000 + 400 * way[1]))
    assert first == Text("LAY-ARROW", (2100, 2250), "wind", 250, 0, "left", True)
    assert second == Text("LAY-ARROW", (2100, 1750), f"lee end: {end or 'north'}", 350, 0, "left", True)


def test_roofs_laid_from_different_ends_are_told_by_name() -> None:
    assert wind({"main": "east", "shed": "", "porch": "east"}) == [
        Text("LAY-ARROW", (1000, 2000), "lee ends: east (main), north (shed), east (porch)", 250, 0, "left", True)
    ]
    assert wind({"main": "east"}, pieces=False) == []


# ---- holes and clear sheets


def hole(mark: str = "H1", name: str = "flue", ring: Any = None) -> Any:
    return SimpleNamespace(
        id=mark, name=name, ring_uv=ring or box(1000.0, 2000.0, 1400.0, 2600.0), width_mm=400.4, length_mm=600.0
    )


def as_it_lies(point: Point2) -> Point2:
    return point


def test_a_hole_is_crossed_and_words_keep_off_it(offered: Offered) -> None:
    for named, count in ((True, 1), (False, 0)):
        offered.clear()
        room = Room(Sketch(100))
        opening_drawing.draw_holes(room, [hole()], as_it_lies, named)
        assert room.sketch.items == [
            Polyline("ROOF-OPENING", box(1000, 2000, 1400, 2600)), Line("ROOF-OPENING", (1000, 2000), (1400, 2600)),
            Line("ROOF-OPENING", (1400, 2000), (1000, 2600)),
        ]  # fmt: skip
        assert room.lines[4:] == [((1000, 2000), (1400, 2600)), ((1400, 2000), (1000, 2600))]
        assert len(offered) == count


def test_the_name_of_a_hole_stands_beside_a_corner(offered: Offered) -> None:
    """1.5 mm of paper off; right of it over, level with and under it, left of it likewise, then over and under its middle."""
    opening_drawing.name_holes(Room(Sketch(100)), [hole(), hole("H2", "H2")], as_it_lies, with_names=True)
    opening_drawing.name_holes(Room(Sketch(100)), [hole()], as_it_lies)
    (named, anchor), (bare, _), (sizes, _) = offered

    def places(height: float) -> list[Point2]:
        above, below = 2600 + 100 * (1.5 + height / 2), 2000 - 100 * (1.5 + height / 2)
        return [(x, y) for x in (1550, 850) for y in (above, 2300, below)] + [(1200, above), (1200, below)]

    same(anchor, (1400, 2600))
    same([label.at for label in named], places(2.5))
    same([label.at for label in sizes], [*places(3.5), *places(2.5)])
    assert [label.align for label in named] == ["left"] * 3 + ["right"] * 3 + ["centre"] * 2
    assert {(label.text, label.layer, label.height_mm) for label in named} == {("H1 flue", "ROOF-OPENING", 2.5)}
    assert ({label.text for label in bare}, [label.text for label in sizes]) == ({"H2"}, ["H1"] * 16)
    assert [label.height_mm for label in sizes] == [3.5] * 8 + [2.5] * 8


def test_holes_in_words_as_long_as_they_fit() -> None:
    holes = [hole(), hole("H2", "H2")]
    words = "Holes, cut on site: H1 flue 400 x 600; H2 400 x 600"
    room = text_width(words, 2.5)
    assert opening_drawing.hole_words(holes, room) == words
    assert (
        opening_drawing.hole_words(holes, room - 0.01)
        == "2 holes, cut on site: sizes and places are in the cutting list"
    )
    assert opening_drawing.hole_words([], 100.0) == ""


def test_clear_sheets_side_by_side_are_named_once(offered: Offered) -> None:
    """Strips 2 and 3 lie beside each other, 5 by itself. In their middle, else 1.5 mm of paper and half of the letters over
    or under them."""
    pieces = [
        SimpleNamespace(clear=clear, strip=strip, cover_uv=(box(left, low, left + 700, low + 3000),))
        for clear, strip, left, low in ((True, 5, 3500, 0), (True, 3, 2100, 500), (False, 1, 0, 0), (True, 2, 1400, 0), (True, 3, 2100, 3500))
    ]  # fmt: skip
    sheets: Any = SimpleNamespace(pieces=pieces)
    opening_drawing.name_clear(Room(Sketch(100)), sheets, as_it_lies)
    (first, at), (second, other) = offered
    same((at, other), ((2100, 3250), (3850, 1500)))
    same([label.at for label in first], [(2100, 3250), (2100, 6500 + 275), (2100, -275)])
    same([label.at for label in second], [(3850, 1500), (3850, 3275), (3850, -275)])
    assert {(label.layer, label.text, label.height_mm) for label in first} == {("SHEET-CLEAR", "clear", 2.5)}
    sketch = Sketch(100)
    opening_drawing.draw_clear(sketch, sheets, as_it_lies)
    assert [(item.layer, item.shade) for item in sketch.items if isinstance(item, Fill)] == [("SHEET-CLEAR", 0.35)] * 4


# ---- the sheet of a plan


@pytest.mark.parametrize(
    ("size", "paper", "scale"),
    [
        # A3 has 390 x 247, less 74 for notes and 26 either side: 264 x 195
        ((26400.0, 19500.0), A3, 100), ((26400.1, 19500.0), A2, 75), ((26400.0, 19500.1), A2, 75), ((2640.0, 1950.0), A3, 10),
        # A2 has 564 x 370: 438 x 318
        ((43800.0, 31800.0), A2, 100), ((43801.0, 31800.0), A2, 125),
    ],
)  # fmt: skip
def test_the_first_paper_on_which_a_plan_is_as_large_as_1_to_100(size: Point2, paper: Any, scale: int) -> None:
    roof = SimpleNamespace(origin_mm=(500.0, 700.0, 0.0), outline_mm=(box(100.0, 200.0, 100 + size[0], 200 + size[1]),))
    sheet = plan_sheet(SimpleNamespace(roofs=[roof]), (A3, A2), 26.0)  # type: ignore[arg-type]
    assert (sheet.paper_mm, sheet.sketch.scale) == (paper, scale)
    width, height = (390, 247) if paper == A3 else (564, 370)
    same((sheet.middle, sheet.half_mm), ((100 + size[0] / 2, 200 + size[1] / 2), ((width - 74) / 2, height / 2)))
    half = (scale * ((width - 74) / 2 - 2), scale * (height / 2 - 1))
    within = sheet.taken.within
    assert within is not None
    same(
        within,
        (sheet.middle[0] - half[0], sheet.middle[1] - half[1], sheet.middle[0] + half[0], sheet.middle[1] + half[1]),
    )
    same(sheet.corner, (sheet.middle[0] + scale * (width - 74) / 2, sheet.middle[1] + scale * height / 2))
    assert sheet.taken.ends_mm == 1.0
