"""Signs of the roof plan and the places that they are offered, by hand [mm at 1:100]: numbers, pipes, spouting, laying."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import plan_marks
from takeoff.write.drawings.drawing import Circle, Fill, Line, Sketch, Text
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place

BOX = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0))
PLACE = Place((0.0, 0.0, 0.0))


def square(x: float, y: float, half: float) -> tuple[Point2, ...]:
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def roof_of(*rings: Sequence[Point2], name: str = "main", origin: tuple[float, float] = (1000.0, 2000.0)) -> Any:
    return SimpleNamespace(name=name, outline_mm=rings, origin_mm=(*origin, 300.0), planes=())


def bars(*spans: tuple[float, float]) -> list[tuple[Point2, ...]]:
    """What is taken all along the south side, between two heights from it."""
    return [((0.0, 2000.0 + a), (9000.0, 2000.0 + a), (9000.0, 2000.0 + b), (0.0, 2000.0 + b)) for a, b in spans]


def numbered(
    roof: Any, letter: str = "", taken: Sequence[tuple[Point2, ...]] = ()
) -> list[tuple[str, float, float, float]]:
    """Words, place and radius of each number, in the roof's own coordinates."""
    room = Room(Sketch(100))
    room.boxes += taken
    plan_marks.draw_edge_numbers(room, PLACE, roof, letter)
    items = room.sketch.items
    found = []
    for ring, text in zip(items[::2], items[1::2], strict=True):
        assert isinstance(ring, Circle)
        assert isinstance(text, Text)
        assert (ring.layer, text.layer, text.height_mm, text.align, text.middle) == (
            "EDGE-NUMBER", "EDGE-NUMBER", 250.0, "centre", True,
        )  # fmt: skip
        assert ring.at_mm == text.at_mm
        found.append((text.text, ring.at_mm[0] - 1000.0, ring.at_mm[1] - 2000.0, ring.radius_mm))
    wanted = [square(x + 1000.0, y + 2000.0, radius) for _, x, y, radius in found]
    same(room.boxes[len(taken) :], wanted)
    return found


AROUND = [("1", 1520, -750, 300), ("2", 4750, 1140, 300), ("3", 2480, 3750, 300), ("4", -750, 1860, 300)]


def test_edges_are_numbered_outside_near_their_start() -> None:
    """750 off the middle less 12 hundredths: 0.38 of 4000 is 1520, of 3000 1140."""
    same(numbered(roof_of(BOX)), [(float(n), *at) for n, *at in AROUND])
    backwards = numbered(roof_of(BOX[::-1]))
    # edge 1 of the reversed ring is the north side, from x = 0
    same(backwards, [(1, 1520, 3750, 300), (2, 4750, 1860, 300), (3, 2480, -750, 300), (4, -750, 1140, 300)])
    yard = ((1000.0, 1000.0), (3000.0, 1000.0), (3000.0, 2000.0), (1000.0, 2000.0))
    inside = numbered(roof_of(BOX, yard))[4:]
    # the yard's outside is within it: 750 north of its south side, at 0.38 of 2000
    same(inside[0], (5, 1760, 1750, 300))
    same(numbered(roof_of(BOX, yard[::-1]))[4][1:3], (1760, 1250))


def test_edges_too_short_for_a_number_are_counted_all_the_same() -> None:
    """600 has room at 1:100, 599 has none; two letters and three have rings of 3 and 4.2 mm."""
    short = ((0.0, 0.0), (600.0, 0.0), (600.0, 5000.0), (1.0, 5000.0), (0.0, 4000.0))
    assert [words for words, *_ in numbered(roof_of(short))] == ["1", "2", "4", "5"]
    twelve = (*((1000.0 * n, float(n % 2)) for n in range(11)), (5000.0, 9000.0))
    found = numbered(roof_of(twelve), "b")
    assert [(words, radius) for words, _, _, radius in found[7:11]] == [
        ("b8", 300),
        ("b9", 300),
        ("b10", 420),
        ("b11", 420),
    ]


@pytest.mark.parametrize(
    ("taken", "y"),
    [
        ((), -750), (((-412, -411),), -1050), (((-409, -400),), -750), (((-760, -740),), 750),
        (((-760, -740), (740, 760)), -1350), (((-760, -740), (415, 420), (-1355, -1345)), 1050),
        (((-760, -740), (740, 760), (-1355, -1345)), -1800),
    ],
)  # fmt: skip
def test_a_number_goes_further_off_or_inside_where_its_place_is_taken(taken: Any, y: float) -> None:
    """Its square is 3.4 mm of paper either way: 7.5 off takes 410 to 1090. Then 10.5 off, 7.5 in, 13.5 off, 10.5 in, 18
    off."""
    (first, *_) = numbered(roof_of(BOX), taken=bars(*taken))
    same(first, (1, 1520, y, 300))


@pytest.mark.parametrize(("end", "part"), [(2179, 0.38), (2181, 0.46), (2501, 0.54), (2821, 0.62), (3141, 0.7)])
def test_a_number_slides_along_its_edge(end: float, part: float) -> None:
    """What is taken ends so far from its corner at (1000, 2000) that 0.38, 0.3, 0.46 ... less 340 are too near."""
    taken = (((0.0, 1240.0), (end, 1240.0), (end, 1260.0), (0.0, 1260.0)),)
    (first, *_) = numbered(roof_of(BOX), taken=taken)
    same(first, (1, 4000 * part, -750, 300))


# ---- downpipes and spouting


def leg(a: Point2, b: Point2) -> Any:
    return SimpleNamespace(a_mm=(*a, 0.0), b_mm=(*b, 0.0), length_mm=abs(b[0] - a[0]) + abs(b[1] - a[1]))


SOUTH, EAST = leg((0.0, 0.0), (4000.0, 0.0)), leg((4000.0, 0.0), (4000.0, 3000.0))


def drained(*runs: Any, pipes: Any = None, roofs: Any = None) -> Any:
    plans = {
        name: SimpleNamespace(pipes=tuple(SimpleNamespace(id=n, at_mm=at) for n, at in found))
        for name, found in (pipes or {}).items()
    }
    return SimpleNamespace(roofs=roofs or [roof_of(BOX)], gutters=runs, gutter_plan=plans.get)


def run(name: str, *legs: Any, roof: str = "main") -> Any:
    return SimpleNamespace(id=name, roof=roof, legs=legs, length_mm=sum(each.length_mm for each in legs))


def test_downpipes_are_drawn_where_they_stand_on_their_roof() -> None:
    room = Room(Sketch(100))
    second = roof_of(BOX, name="shed", origin=(-50.0, 10.0))
    house = drained(
        run("G1", SOUTH), run("G2", SOUTH, roof="shed"), run("G3", SOUTH, roof="none"), run("G4", SOUTH),
        pipes={"G1": [("D1", (500.0, 0.0)), ("D2", (900.0, 5.0))], "G2": [("D3", (500.0, 0.0))], "G3": [("D4", (1.0, 2.0))]},
        roofs=[roof_of(BOX), second],
    )  # fmt: skip
    plan_marks.draw_pipes(room, PLACE, house)
    at = [(1500.0, 2000.0), (1900.0, 2005.0), (450.0, 10.0), (1001.0, 2002.0)]
    assert room.sketch.items == [Circle("DOWNPIPE", one, 160.0) for one in at]
    same(room.boxes, [square(*one, 160.0) for one in at])


@pytest.mark.parametrize(
    ("side", "at", "out", "off"),
    [
        (SOUTH, (1000.0, 0.0), (0.0, -1.0), 500.0), (EAST, (4000.0, 900.0), (1.0, 0.0), 900.0),
        # along (3, 4): out by (0.8, -0.6), 5 + 4 * 0.8 = 8.2 mm
        (leg((0.0, 0.0), (300.0, 400.0)), (150.0, 200.0), (0.8, -0.6), 820.0),
        (leg((7.0, 7.0), (7.0, 7.0)), (150.0, 200.0), (0.0, -1.0), 500.0),
    ],
)  # fmt: skip
def test_the_name_of_a_pipe_stands_outside_its_leg(side: Any, at: Point2, out: Point2, off: float) -> None:
    """Then 4 and 8 mm aside, along the leg first to its end."""
    house = drained(run("G1", side), pipes={"G1": [("D1", at)]})
    x, y = at[0] + 1000.0, at[1] + 2000.0
    places = [
        (x + out[0] * off - out[1] * 100 * aside, y + out[1] * off + out[0] * 100 * aside)
        for aside in (0.0, 4.0, -4.0, 8.0, -8.0)
    ]
    room = Room(Sketch(100))
    for n, place in enumerate(places):
        room = Room(Sketch(100), boxes=[square(*each, 1.0) for each in places[:n]])
        plan_marks.name_pipes(room, PLACE, house)
        (*_, text) = room.sketch.items
        assert isinstance(text, Text)
        assert (text.layer, text.text, text.height_mm) == ("DOWNPIPE", "D1", 350.0)
        same(text.at_mm, place)
        assert len(room.boxes) == n + 1
    room = Room(Sketch(100), boxes=[square(*each, 1.0) for each in places])
    led: list[tuple[Label, Point2]] = []

    def lead_out(_: Room, label: Label, anchor: Point2, least_mm: float = 0.0) -> bool:
        led.append((label, anchor))
        return len(led) == 7

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Room, "lead_out", lead_out)
        plan_marks.name_pipes(room, PLACE, house)
    # from 2.2 mm beside its middle: outwards, left, right and inwards as one looks out; then smaller
    ways = [out, (-out[1], out[0]), (out[1], -out[0]), (-out[0], -out[1])]
    same([anchor for _, anchor in led], [(x + 220 * wx, y + 220 * wy) for wx, wy in (*ways, *ways[:3])])
    assert [label.height_mm for label, _ in led] == [3.5] * 4 + [2.5] * 3
    assert {label.text for label, _ in led} == {"D1"}
    assert room.sketch.items == []


def test_a_pipe_is_named_off_the_nearest_leg() -> None:
    both = run("G1", SOUTH, EAST)
    assert plan_marks._outward(PLACE, roof_of(BOX), both, (4990.0, 2020.0)) == (1.0, 0.0)
    assert plan_marks._outward(PLACE, roof_of(BOX), both, (4980.0, 2010.0)) == (0.0, -1.0)


def test_spouting_is_drawn_outside_its_eaves() -> None:
    """1.4 mm of paper off: 140 south of the south side, 140 east of the east side."""
    room = Room(Sketch(100))
    plan_marks.draw_gutters(room, PLACE, drained(run("G1", SOUTH, EAST)))
    drawn = [((1000.0, 1860.0), (5000.0, 1860.0)), ((5140.0, 2000.0), (5140.0, 5000.0))]
    assert room.sketch.items == [Line("GUTTER", *line) for line in drawn]
    assert room.lines == drawn


def test_a_run_is_named_along_its_longest_leg(monkeypatch: pytest.MonkeyPatch) -> None:
    offered: list[tuple[list[Label], Point2]] = []
    monkeypatch.setattr(Room, "place", lambda _, labels, anchor: offered.append((list(labels), anchor)))
    house = drained(run("G1", SOUTH, EAST), run("G2"), run("G3", EAST))
    plan_marks.name_gutters(Room(Sketch(100)), PLACE, house)
    assert [(labels[0].text, anchor) for labels, anchor in offered] == [
        ("G1: 7000", (3000.0, 1860.0)), ("G3: 3000", (5140.0, 3500.0)),
    ]  # fmt: skip
    along = (0.62, 0.55, 0.5, 0.7, 0.75, 0.8, 0.3, 0.25, 0.2, 0.85)
    (south, _), (east, _) = offered
    same([one.at for one in south], [(1000 + 4000 * t, 2000 - gap) for gap in (460, 650, 900) for t in along])
    same([one.at for one in east], [(5000 + gap, 2000 + 3000 * t) for gap in (460, 650, 900) for t in along])
    assert {(one.layer, one.height_mm, one.angle_deg) for one in south} == {("GUTTER", 2.5, 0.0)}
    assert {one.angle_deg for one in east} == {90.0}


# ---- laying


def plane_of(ring: Sequence[Point2], flat_part: float = 0.8) -> Any:
    frame = SimpleNamespace(v=(0.0, flat_part, 0.6), to_space=lambda at: (at[0], at[1] * flat_part, at[1] * 0.6))
    return SimpleNamespace(id="P1", roof="main", rings_uv=(tuple(ring),), frame=frame)


def sheets_from(side: str, snap: float) -> Any:
    return SimpleNamespace(start_side=side, snap_u_mm=snap, pieces=("a",))


WIDE = plane_of(((0.0, 100.0), (6000.0, 100.0), (6000.0, 4100.0), (0.0, 4100.0)))
UPS = (4.0, 2.2, 7.0, 10.0, 14.0, 18.0, 23.0, 29.0)  # 36 mm are 4500 up the slope, past its head


@pytest.mark.parametrize(
    ("side", "snap", "longs", "way"),
    [
        ("left", 0.0, (1600, 900), 1), ("right", 6000.0, (1600, 900), -1), ("left", -1.0, (1600, 900), 1), ("left", -1.1, (), 1),
        ("left", 4100.0, (1600, 900), 1), ("left", 4100.1, (900,), 1), ("left", 4800.0, (900,), 1), ("left", 4800.1, (), 1),
        ("right", 1899.0, (1600, 900), -1), ("right", 1898.9, (900,), -1), ("right", 6000.1, (), -1),
    ],
)  # fmt: skip
def test_where_an_arrow_fits_from_the_start_line(side: str, snap: float, longs: tuple[float, ...], way: int) -> None:
    """16 and 9 mm long after 3 beside the line; on paper 4 mm up are 400 / 0.8 = 500 up the slope."""
    found = list(plan_marks._lay_places(WIDE, sheets_from(side, snap), lambda mm: 100.0 * mm))
    same(found, [(100 + 100 * up / 0.8, long, way) for long in longs for up in UPS])


def test_on_an_upright_face_heights_are_its_own() -> None:
    upright = plane_of(WIDE.rings_uv[0], 0.0)
    (first, *_) = plan_marks._lay_places(upright, sheets_from("left", 0.0), lambda mm: 100.0 * mm)
    same(first, (500, 1600, 1))


def lay(taken: Sequence[tuple[Point2, ...]] = (), side: str = "left", snap: float = 0.0) -> Room:
    room = Room(Sketch(100))
    room.boxes += taken
    plan_marks._lay(room, PLACE, roof_of(BOX, origin=(0.0, 0.0)), WIDE, sheets_from(side, snap))
    return room


def arrow(room: Room) -> tuple[Any, Any, Any, str | None]:
    """Bar, shaft's start, tip, and the word with its place."""
    bar, shaft, head, *text = room.sketch.items
    assert isinstance(bar, Line)
    assert isinstance(shaft, Line)
    assert isinstance(head, Fill)
    assert (bar.layer, shaft.layer, head.layer) == ("START-LINE", "LAY-ARROW", "LAY-ARROW")
    return (
        (bar.a_mm, bar.b_mm),
        shaft.a_mm,
        head.rings_mm[0][0],
        text[0].text if text and isinstance(text[0], Text) else None,
    )


def test_the_arrow_lies_4_mm_up_with_its_word_over_it() -> None:
    """500 up the slope from its foot at 100, so at 600 * 0.8 = 480; the bar 180 either way, the word half way between 300
    and 1600, 240 over the line. Kept: from 40 before the bar to 20 past the tip, 200 either way."""
    room = lay()
    bar, tail, tip, word = arrow(room)
    same((sorted(bar), tail, tip), (((0, 300), (0, 660)), (0, 480), (1600, 480)))
    assert word == "lay"
    text = room.sketch.items[-1]
    assert isinstance(text, Text)
    same(text.at_mm, (950, 720))
    assert (text.layer, text.height_mm, text.angle_deg) == ("LAY-ARROW", 250, 0)
    same(room.boxes[0], ((-40, 280), (1620, 280), (1620, 680), (-40, 680)))
    assert len(room.boxes) == 2
    # from the right it runs to the left, its word over it all the same
    room = lay(side="right", snap=6000.0)
    bar, tail, tip, word = arrow(room)
    same((sorted(bar), tail, tip), (((6000, 300), (6000, 660)), (6000, 480), (4400, 480)))
    same(room.sketch.items[-1].at_mm, (5050, 720))  # type: ignore[union-attr]


def ys(*spans: tuple[float, float]) -> list[tuple[Point2, ...]]:
    return [((-500.0, a), (2500.0, a), (2500.0, b), (-500.0, b)) for a, b in spans]


@pytest.mark.parametrize(
    ("taken", "y"),
    [
        # at 480 the word takes up to 865, at 300 from 395 to 685
        (((866.0, 870.0),), 480), (((864.0, 864.5),), 300), (((686.0, 690.0),), 300), (((684.0, 684.5),), 1080),
        # at 780 the strip takes 580 to 980, at 1080 880 to 1280
        (((410.0, 420.0),), 780), (((410.0, 420.0), (900.0, 910.0)), 1480),
    ],
)  # fmt: skip
def test_where_its_place_is_taken_the_arrow_lies_lower_or_further_up(taken: Any, y: float) -> None:
    """4 mm up, then 2.2, 7, 10, 14. At y its strip takes 200 either way and its word, 240 over it, 145 either way with
    what is kept clear."""
    _, tail, tip, said = arrow(lay(ys(*taken)))
    same((tail, tip), ((0, y), (1600, y)))
    assert said == "lay"


def test_where_all_is_taken_the_bar_of_the_first_place_stands() -> None:
    over = [((500.0, a), (520.0, a), (520.0, a + 5.0), (500.0, a + 5.0)) for a in range(210, 3500, 80)]
    (bar,) = lay(over).sketch.items
    assert isinstance(bar, Line)
    same(sorted((bar.a_mm, bar.b_mm)), ((0, 300), (0, 660)))


def test_without_room_for_its_word_the_arrow_stands_alone_at_the_last_place_that_is_clear() -> None:
    """Words 215 over each place leave no room for "lay", whichever arrow it belongs to; those of the place below lie in
    the strip of the next, but at 300, 2380 and 2980: the last of them with the short arrow."""
    heights = (480, 300, 780, 1080, 1480, 1880, 2380, 2980)
    between = [((900.0, y + 215.0), (1000.0, y + 215.0), (1000.0, y + 225.0), (900.0, y + 225.0)) for y in heights]
    room = lay(between)
    _, tail, tip, word = arrow(room)
    same((tail, tip), ((0, 2980), (900, 2980)))
    assert word is None
    same(room.boxes[len(between) :], [((-40, 2780), (920, 2780), (920, 3180), (-40, 3180))])


def test_a_word_stands_over_a_line_as_it_is_read() -> None:
    """Level: above; upright: to the left, whichever way it runs; on the slope (3, 4): up and left."""
    for a, b, at in (
        ((0, 0), (100, 0), (50, 7)), ((100, 0), (0, 0), (50, 7)), ((0, 0), (0, 100), (-7, 50)), ((0, 100), (0, 0), (-7, 50)),
        ((0, 0), (30, 40), (15 - 5.6, 20 + 4.2)), ((30, 40), (0, 0), (15 - 5.6, 20 + 4.2)),
    ):  # fmt: skip
        same(plan_marks._beside(a, b, 7.0), at)


def test_only_sheeted_planes_of_the_roof_have_an_arrow() -> None:
    roof = roof_of(BOX, origin=(0.0, 0.0))
    planes = [
        SimpleNamespace(**vars(WIDE) | {"id": name, "roof": of})
        for name, of in (("P1", "main"), ("P2", "main"), ("P3", "shed"), ("P4", "main"))
    ]
    roof.planes = planes
    bare = SimpleNamespace(start_side="left", snap_u_mm=0.0, pieces=())
    known = {"P1": sheets_from("left", 0.0), "P2": bare, "P3": sheets_from("left", 0.0)}
    room = Room(Sketch(100))
    plan_marks.draw_lay(room, PLACE, roof, SimpleNamespace(sheets_of=known.get))  # type: ignore[arg-type]
    assert sum(isinstance(item, Text) for item in room.sketch.items) == 1
