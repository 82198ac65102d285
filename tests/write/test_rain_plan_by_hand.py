"""The rainwater plan by hand: places along spouting, falls, words beside outlets [mm, at 1:20 unless said].

A run of two legs, 4000 along the south and 3000 up the east side of a roof whose corner lies at (1000, 2000).
"""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import flat

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import rain_drawing
from takeoff.write.drawings.drawing import Circle, Fill, Line, Polyline, Sketch, Text
from takeoff.write.drawings.frame import wrap
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place

PLACE = Place((0.0, 0.0, 0.0))


def same(found: object, wanted: object) -> None:
    assert flat(found) == pytest.approx(flat(wanted), abs=1e-2)


def leg(a: Point2, b: Point2) -> Any:
    return SimpleNamespace(a_mm=(*a, 0.0), b_mm=(*b, 0.0), length_mm=abs(b[0] - a[0]) + abs(b[1] - a[1]))


LEGS = (leg((0.0, 0.0), (4000.0, 0.0)), leg((4000.0, 0.0), (4000.0, 3000.0)))
SQUARE = (*LEGS, leg((4000.0, 3000.0), (0.0, 3000.0)), leg((0.0, 3000.0), (0.0, 0.0)))
RUN = SimpleNamespace(id="G1", roof="main", ring=False, legs=LEGS, length_mm=7000.0, valleys=(), wall_mm2=0.0)
RING = SimpleNamespace(id="G1", roof="main", ring=True, legs=SQUARE, length_mm=14000.0, valleys=(), wall_mm2=0.0)


def pipe(name: str, along: float, m2: float = 12.34, onto: str = "") -> Any:
    return SimpleNamespace(id=name, along_mm=along, catchment_mm2=m2 * 1e6, onto=onto)


def placed(run: Any, *pipes: Any, tanks: Sequence[Any] = (), scale: int = 20) -> Any:
    other = SimpleNamespace(name="other", origin_mm=(7.0, 7.0, 0.0), planes=())
    roof = SimpleNamespace(name="main", origin_mm=(1000.0, 2000.0, 0.0), planes=())
    takeoff: Any = SimpleNamespace(
        roofs=[other, roof], job=SimpleNamespace(tanks=tanks), gutter_plan={"G1": SimpleNamespace(pipes=pipes)}.get
    )
    return rain_drawing._Placed(Room(Sketch(scale)), PLACE, takeoff, run)


def test_places_along_spouting_lie_outside_its_eaves() -> None:
    """1.6 mm of paper off: 32 at 1:20."""
    found = placed(RUN)
    for along, at, out in (
        (1000, (2000, 1968), (0, -1)), (0, (1000, 1968), (0, -1)), (-5, (1000, 1968), (0, -1)), (4000, (5000, 1968), (0, -1)),
        (4000.1, (5032, 2000.1), (1, 0)), (6000, (5032, 4000), (1, 0)), (7100, (5032, 5000), (1, 0)),
    ):  # fmt: skip
        same(found.at(along), (at, out))
    same(found.at(1000, 0.0), ((2000, 2000), (0, -1)))
    ring = placed(RING)
    for along, at, out in (
        (14500, (1500, 1968), (0, -1)),
        (13000, (968, 3000), (-1, 0)),
        (-2000, (968, 4000), (-1, 0)),
    ):
        same(ring.at(along), (at, out))


def test_a_run_of_another_roof_or_of_none_known() -> None:
    same(placed(SimpleNamespace(**vars(RUN) | {"roof": "none"})).at(0)[0], (7, -25))
    bare = placed(SimpleNamespace(**vars(RUN) | {"legs": (), "length_mm": 0.0}))
    for ask in (bare.at, bare._off_end):
        with pytest.raises(ValueError, match=r"^G1: no leg at 12 mm$"):
            ask(12.4)


def test_the_water_parts_half_way_between_outlets_round_a_ring_too() -> None:
    pipes = [pipe("D1", 500), pipe("D2", 2500), pipe("D3", 6000)]
    assert placed(RUN, *pipes).highs_mm == [1500, 4250]
    assert placed(RING, *pipes).highs_mm == [1500, 4250, 10250]
    assert placed(RING, pipes[0]).highs_mm == [7500]
    assert (placed(RING).highs_mm, placed(RUN, pipes[0]).highs_mm) == ([], [])


@pytest.mark.parametrize(
    ("run", "along", "left", "right"),
    [
        # pipes at 500, 2500 and 6000: high points at 1500 and 4250; ends and corners at 0, 4000 and 7000
        (RUN, 500.0, 500, 1000), (RUN, 2500.0, 1000, 1500), (RUN, 6000.0, 1750, 1000), (RUN, 0.9, 0, 1499.1),
        (RUN, 3998.9, 2498.9, 1.1), (RUN, 3999.0, 2499, 251), (RUN, 3999.1, 2499.1, 250.9), (RUN, 7000.0, 2750, 0),
        # of a ring the high point at 10250 counts backwards from 500 too, and the corners at 7000 and 11000
        (RING, 500.0, 500, 1000), (RING, 6000.0, 1750, 1000), (RING, 0.0, 3000, 1500), (RING, 12000.0, 1000, 2000),
    ],
)  # fmt: skip
def test_how_far_the_water_of_an_outlet_comes(run: Any, along: float, left: float, right: float) -> None:
    found = placed(run, pipe("D1", 500), pipe("D2", 2500), pipe("D3", 6000))
    same((found._reach(along, -1.0), found._reach(along, 1.0)), (left, right))


@pytest.mark.parametrize(
    ("along", "other", "ends"),
    [
        # 0.55 of 500 and of 750 is 275 and 412.5, at most 16 mm of paper, 320; from 52 beside the outlet
        (500.0, 2000.0, [((1225, 1932), (1448, 1932)), ((1820, 1932), (1552, 1932))]),
        # 0.55 * 240 - 52 = 80 is long enough, of 238 not
        (241.0, 717.0, [((1108.45, 1932), (1189, 1932))]), (238.0, 714.0, []), (238.0, 720.0, [((1370.55, 1932), (1290, 1932))]),
    ],
)  # fmt: skip
def test_arrows_fall_to_an_outlet_from_each_side_that_has_room(along: float, other: float, ends: Any) -> None:
    """3.4 mm of paper off the eave: 68."""
    first = pipe("D1", along)
    found = placed(RUN, first, pipe("D2", other))
    found._falls(first)
    same(found.taken.lines, ends)
    shafts = [item for item in found.taken.sketch.items if isinstance(item, Line)]
    heads = [item for item in found.taken.sketch.items if isinstance(item, Fill)]
    same([item.rings_mm[0][0] for item in heads], [b for _, b in ends])
    same([item.a_mm for item in shafts], [a for a, _ in ends])
    # a head of 2.2 mm of paper
    same([abs(item.b_mm[0] - b[0]) for item, (_, b) in zip(shafts, ends, strict=True)], [44.0] * len(ends))
    assert {item.layer for item in (*shafts, *heads)} <= {"FALL-ARROW"}


def test_a_high_point_is_marked_across_its_gutter() -> None:
    """At 5250, 1250 up the east side: 40 either way of (5032, 3250)."""
    found = placed(RUN, pipe("D1", 4500), pipe("D2", 6000))
    found._falls = lambda _: None
    found.draw()
    (high,) = [item for item in found.taken.sketch.items if item.layer == "RAIN-HIGH"]
    same((high.a_mm, high.b_mm), ((4992, 3250), (5072, 3250)))


def test_what_is_drawn_of_a_run() -> None:
    valley = SimpleNamespace(along_mm=5000.0, edge="E7", plan_catchment_mm2=4.56e6)
    found = placed(SimpleNamespace(**vars(RUN) | {"valleys": (valley,)}), pipe("D1", 500), pipe("D2", 6500))
    found._falls = lambda _: None
    found.draw()
    items = found.taken.sketch.items
    south, east, high, first, second, foot = items
    same((south.a_mm, south.b_mm, east.a_mm, east.b_mm), ((1000, 1968), (5000, 1968), (5032, 2000), (5032, 5000)))
    same((high.a_mm, high.b_mm), ((4500, 2008), (4500, 1928)))  # 2 mm of paper either way at 3500
    assert [item.layer for item in (south, east, high)] == ["GUTTER", "GUTTER", "RAIN-HIGH"]
    assert [(item.layer, item.radius_mm) for item in (first, second, foot)] == [
        ("DOWNPIPE", 32), ("DOWNPIPE", 32), ("RAIN-VALLEY", 24),
    ]  # fmt: skip
    same([first.at_mm, second.at_mm, foot.at_mm], ((1500, 1968), (5032, 4500), (5000, 3000)))
    same([box[0] for box in found.taken.boxes], ((1468, 1936), (5000, 4468), (4976, 2976)))
    same([box[2] for box in found.taken.boxes], ((1532, 2000), (5064, 4532), (5024, 3024)))
    same(found.taken.lines, [(item.a_mm, item.b_mm) for item in (south, east, high)])


@pytest.mark.parametrize(
    ("run", "along", "words"),
    [
        (RUN, 1500.0, "1500 from left end"), (RUN, 2000.0, "2000 from left end"), (RUN, 2001.0, "1999 from right corner"),
        (RUN, 4000.0, "0 from right corner"), (RUN, 5000.0, "1000 from left corner"), (RUN, 6000.0, "1000 from right end"),
        (RUN, 7001.0, "0 from right end"), (RUN, -1.0, "0 from left end"), (RING, 1500.0, "1500 from left corner"),
        (RING, 13000.0, "1000 from right corner"), (RING, 14500.0, "500 from left corner"),
    ],
)  # fmt: skip
def test_how_far_an_outlet_is_from_the_nearer_end(run: Any, along: float, words: str) -> None:
    assert placed(run)._off_end(along) == words


def test_words_of_outlets_valleys_and_high_points(monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[tuple[str, Any, Any, tuple[str, ...]]] = []
    monkeypatch.setattr(
        rain_drawing._Placed, "_word", lambda _, layer, at, out, *lines: said.append((layer, at, out, lines))
    )
    valley = SimpleNamespace(along_mm=5000.0, edge="E7", plan_catchment_mm2=4.56e6)
    tanks = [SimpleNamespace(name="north", pipes=("D2", "D3")), SimpleNamespace(name="all", pipes=None)]
    found = placed(
        SimpleNamespace(**vars(RUN) | {"valleys": (valley,)}), pipe("D1", 500), pipe("D2", 2500, 0.06),
        pipe("D3", 6500, 7.0, "D9"), tanks=tanks,
    )  # fmt: skip
    found.name()
    assert [(layer, lines) for layer, _, _, lines in said] == [
        ("DOWNPIPE", ("D1 12.3 m2", "500 from left end")), ("DOWNPIPE", ("D2 0.1 m2, to north", "1500 from right corner")),
        ("DOWNPIPE", ("D3 7 m2, on to D9", "500 from right end")), ("RAIN-VALLEY", ("E7 4.6 m2",)), ("RAIN-HIGH", ("high",)),
        ("RAIN-HIGH", ("high",)),
    ]  # fmt: skip
    same([(at, out) for _, at, out, _ in said], [
        ((1500, 1968), (0, -1)), ((3500, 1968), (0, -1)), ((5032, 4500), (1, 0)), ((5000, 3000), (-1, 0)),
        ((2500, 1968), (0, -1)), ((5032, 2500), (1, 0)),
    ])  # fmt: skip


AROUND = ((1.0, 0.0), (0.7, 0.7), (0.7, -0.7), (0.0, 1.0), (0.0, -1.0))
TRIED = [(far, sign * along, aside) for sign in (1, -1) for far in (6, 9, 12, 16, 20) for along, aside in AROUND]


@pytest.mark.parametrize(
    ("out", "lines"),
    [((0.0, -1.0), ("abc",)), ((1.0, 0.0), ("abc",)), ((1.0, 0.0), ("abcd", "ef")), ((0.0, -1.0), ("ef", "abcd"))],
)
def test_words_are_offered_places_about_their_spot(
    out: Point2, lines: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Outwards first, then inwards, straight, aside and square, 6 to 20 mm of paper away. Beside an upright eave half of
    0.55 of its letters more, of 2.5 mm each; of two lines, 3.6 mm apart, the first stands half of that over the spot, and
    they keep that much further off a level eave."""
    offered: list[list[Label]] = []

    def keep_first(_: Room, choices: Sequence[list[Label]]) -> Sequence[Label]:
        offered.extend(choices)
        return ()

    led: list[tuple[list[Label], Point2]] = []
    monkeypatch.setattr(Room, "keep_first", keep_first)
    monkeypatch.setattr(Room, "place", lambda _, labels, at: led.append((list(labels), at)))
    placed(RUN)._word("DOWNPIPE", (100.0, 200.0), out, *lines)
    more = (len(lines) - 1) * 36.0
    long = max(map(len, lines)) * 0.55 * 2.5 * 0.5 * 20 if out[0] else more
    wanted = [
        [
            (
                100 + (out[0] * along - out[1] * aside) * (20 * far + long),
                200 + (out[1] * along + out[0] * aside) * (20 * far + long) + more - 72 * n,
            )
            for n in range(len(lines))
        ]
        for far, along, aside in TRIED
    ]
    same([[label.at for label in labels] for labels in offered], wanted)
    assert {tuple(label.text for label in labels) for labels in offered} == {lines}
    assert {(label.layer, label.height_mm, label.angle_deg, label.align) for labels in offered for label in labels} == {
        ("DOWNPIPE", 2.5, 0.0, "centre")
    }
    same(
        [[label.at for label in labels] for labels, _ in led], [[each[n] for each in wanted] for n in range(len(lines))]
    )
    assert {at for _, at in led} == {(100.0, 200.0)}


def test_words_with_room_are_drawn_at_their_first_place() -> None:
    found = placed(RUN)
    found._word("RAIN-HIGH", (100.0, 200.0), (0.0, -1.0), "high")
    (text,) = found.taken.sketch.items
    assert (text.text, text.at_mm, text.layer) == ("high", (100, 80), "RAIN-HIGH")


def notes(runs: Sequence[Any], pipes: Sequence[int], tanks: Sequence[Any] = ()) -> tuple[list[Any], list[str]]:
    plans = [SimpleNamespace(pipes=tuple(range(count))) for count in pipes]
    takeoff: Any = SimpleNamespace(
        gutters=runs, rainwater=SimpleNamespace(downpipes=plans), job=SimpleNamespace(tanks=tanks),
        settings=SimpleNamespace(number={"gutter_fall_one_in": 500.4}.__getitem__),
    )  # fmt: skip
    sketch = Sketch(20)
    rain_drawing._notes(sketch, (5000.0, 9000.0), takeoff)
    return sketch.items, list(rain_drawing._sentences(takeoff))


def test_sentences_that_hold_for_all_spouting() -> None:
    falls = "Lay spouting to falls of at least 1 in 500 from its high points to its outlets."
    walls = "Pipes are sized with half of the walls above a roof, which the areas shown leave out."
    tanks = [
        SimpleNamespace(name="north", pipes=("D2", "D3"), volume_l=5000.4, system="wet"),
        SimpleNamespace(name="south", pipes=None, volume_l=25000.0, system="dry"),
    ]
    assert notes([RUN], [1])[1] == [falls]
    for area, said in ((1e4, [falls]), (10001.0, [falls, walls])):
        assert notes([RUN, SimpleNamespace(**vars(RUN) | {"wall_mm2": area})], [1])[1] == said
    assert notes([RUN], [1], tanks)[1][1:] == [
        "Tank north, 5 000 L, wet: D2, D3.", "Tank south, 25 000 L, dry: all downpipes to the ground.",
    ]  # fmt: skip


@pytest.mark.parametrize(("valleys", "pipes"), [(False, [1]), (True, [1]), (False, [1, 2]), (True, [2])])
def test_signs_stand_before_their_words_in_the_notes(valleys: bool, pipes: list[int]) -> None:
    """8 mm of paper down; a line of words each 4.2, a mm between signs, 3 more before the sentences, 1.4 between them."""
    run = SimpleNamespace(**vars(RUN) | {"valleys": ("foot",) if valleys else ()})
    items, sentences = notes([run], pipes)
    y = 9000.0 - 160.0
    wanted: list[Any] = []
    for layer, words in rain_drawing._ROLES.items():
        if (layer == "RAIN-VALLEY" and not valleys) or (layer == "RAIN-HIGH" and max(pipes) < 2):
            continue
        sign = {
            "GUTTER": Line("GUTTER", (5000, y + 20), (5200, y + 20)), "RAIN-HIGH": Line("RAIN-HIGH", (5100, y - 20), (5100, y + 60)),
            "DOWNPIPE": Circle("DOWNPIPE", (5100, y + 20), 32), "RAIN-VALLEY": Circle("RAIN-VALLEY", (5100, y + 20), 24),
        }[layer]  # fmt: skip
        wanted.append(sign)
        for line in wrap(words, 60.0, 2.5):
            wanted.append((line, 5260, y))
            y -= 84.0
        y -= 20.0
    y -= 60.0
    for sentence in sentences:
        for line in wrap(sentence, 70.0, 2.5):
            wanted.append((line, 5000, y))
            y -= 84.0
        y -= 28.0
    found = [(each.text, *(round(x, 6) for x in each.at_mm)) if isinstance(each, Text) else each for each in items]
    assert found == [
        tuple(round(x, 6) if not isinstance(x, str) else x for x in each) if isinstance(each, tuple) else each
        for each in wanted
    ]
    assert {each.height_mm for each in items if isinstance(each, Text)} == {50}


def test_walls_are_drawn_where_their_roof_stands() -> None:
    ring = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0))
    roof = SimpleNamespace(origin_mm=(1000.0, 2000.0, 0.0), planes=(), own_edges=(), wall_line_mm=(ring,))
    room = Room(Sketch(20))
    rain_drawing._roofs(room, PLACE, SimpleNamespace(roofs=[roof]))  # type: ignore[arg-type]
    moved = ((1000, 2000), (5000, 2000), (5000, 5000))
    assert room.sketch.items == [Polyline("WALL-LINE", moved, True)]
    assert room.lines == [(moved[0], moved[1]), (moved[1], moved[2]), (moved[2], moved[0])]
