"""Signs of the roof plan at their limits, by hand [mm at 1:100]: houses of several roofs, legs of next to no length, what
is kept clear round arrows."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import Offered, same

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import plan_drawing, plan_marks
from takeoff.write.drawings.drawing import Fill, Line, Sketch, Text
from takeoff.write.drawings.frame import A3
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place

BOX = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0))
PLACE = Place((0.0, 0.0, 0.0))


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point2, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def roof(name: str, x: float = 1000.0, y: float = 2000.0) -> Any:
    return SimpleNamespace(name=name, outline_mm=(BOX,), origin_mm=(x, y, 0.0), planes=())


def leg(a: Point2, b: Point2) -> Any:
    return SimpleNamespace(a_mm=(*a, 0.0), b_mm=(*b, 0.0), length_mm=abs(b[0] - a[0]) + abs(b[1] - a[1]))


def house(*legs: Any, pipe: Point2 | None = None) -> Any:
    """A run of a roof that is not drawn: it stands on the first one, at (1000, 2000)."""
    run = SimpleNamespace(id="G1", roof="none", legs=legs, length_mm=sum(one.length_mm for one in legs))
    plan = SimpleNamespace(pipes=(SimpleNamespace(id="D1", at_mm=pipe),)) if pipe else None
    return SimpleNamespace(
        roofs=[roof("main"), roof("shed", -50.0, 10.0)], gutters=(run,), gutter_plan={"G1": plan}.get
    )


SOUTH = leg((0.0, 0.0), (4000.0, 0.0))


def test_a_number_off_an_upright_edge_goes_further_off_too() -> None:
    """A square of 3.4 mm either way, 750 off x = 5000, reaches to 5410; 1050 off it begins at 5710."""
    room = Room(Sketch(100), boxes=[box(5411.0, 0.0, 5412.0, 9000.0)])
    plan_marks.draw_edge_numbers(room, PLACE, roof("main"))
    text = room.sketch.items[3]
    assert isinstance(text, Text)
    assert (text.text, text.angle_deg) == ("2", 0.0)
    same(text.at_mm, (1000 + 4000 + 1050, 2000 + 1140))


def test_what_belongs_to_no_roof_that_is_drawn_stands_on_the_first(offered: Offered) -> None:
    room = Room(Sketch(100))
    plan_marks.draw_gutters(room, PLACE, house(SOUTH))
    assert room.sketch.items == [Line("GUTTER", (1000.0, 1860.0), (5000.0, 1860.0))]
    plan_marks.name_gutters(room, PLACE, house(SOUTH))
    assert [anchor for _, anchor in offered] == [(3000.0, 1860.0)]
    plan_marks.name_pipes(room, PLACE, house(SOUTH, pipe=(500.0, 0.0)))
    text = room.sketch.items[-1]
    assert isinstance(text, Text)
    same(text.at_mm, (1500, 1500))


def test_a_name_that_is_led_out_is_that_of_its_first_place(monkeypatch: pytest.MonkeyPatch) -> None:
    led: list[Label] = []

    def lead_out(_: Room, label: Label, anchor: Point2, least_mm: float = 0.0) -> bool:
        led.append(label)
        return True

    monkeypatch.setattr(Room, "free", lambda *_: False)
    monkeypatch.setattr(Room, "lead_out", lead_out)
    plan_marks.name_pipes(Room(Sketch(100)), PLACE, house(SOUTH, pipe=(500.0, 0.0)))
    same([one.at for one in led], [(1500, 1500)])


def test_the_way_out_from_a_leg_of_next_to_no_length() -> None:
    short, none = leg((7.0, 7.0), (7.0, 7.5)), leg((7.0, 7.0), (7.0, 7.0))
    main = roof("main")
    assert plan_marks._leg(PLACE, main, short)[2] == (1.0, 0.0)
    assert plan_marks._leg(PLACE, main, none)[2] == (0.0, 0.0)
    run: Any = SimpleNamespace(legs=(short,))
    assert plan_marks._outward(PLACE, main, run, (0.0, 0.0)) == (1.0, 0.0)


NO_RING = ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0))


@pytest.mark.parametrize(
    ("taken", "x"),
    [
        # its own strip is 120 either way of x = 2100
        ((), 2100), (box(1960.0, 1800.0, 1979.0, 1810.0), 2100), (box(1960.0, 1800.0, 1981.0, 1810.0), -100),
        # from its tail at 2500 to its tip at 1500
        (box(2050.0, 2501.0, 2060.0, 2600.0), 2100), (box(2050.0, 2499.0, 2060.0, 2600.0), -100),
        (box(2050.0, 1400.0, 2060.0, 1499.0), 2100), (box(2050.0, 1400.0, 2060.0, 1501.0), -100),
    ],
)  # fmt: skip
def test_the_fall_is_kept_clear_by_its_arrow(taken: Any, x: float) -> None:
    """Down the paper, 5 mm either way of 11 mm beside (1000, 2000), else of 11 mm on the other side."""
    room = Room(Sketch(100), boxes=[taken] if taken else [])
    plan_marks.draw_fall(room, (1000.0, 2000.0), (0.0, -1.0), 5.0, (NO_RING,))
    shaft, head, text = room.sketch.items
    assert isinstance(shaft, Line)
    assert isinstance(head, Fill)
    assert isinstance(text, Text)
    same((shaft.a_mm, head.rings_mm[0][0], text.at_mm), ((x, 2500), (x, 1500), (x + 260, 2000)))
    strip = [(x + 120, 2500), (x + 120, 1500), (x - 120, 1500), (x - 120, 2500)]
    same(sorted(room.boxes[-2]), sorted(strip))


def plane_of(*rings: Sequence[Point2]) -> Any:
    frame = SimpleNamespace(v=(0.0, 0.8, 0.6), to_space=lambda at: (at[0], at[1] * 0.8, at[1] * 0.6))
    return SimpleNamespace(id="P1", roof="main", rings_uv=rings, frame=frame)


def laid(boxes: Sequence[Any] = (), lines: Sequence[Any] = ()) -> list[Any]:
    """The tail and the tip of the arrow on a plane 6000 wide from u = 0, its foot at v = 100: 4 mm up lies at y = 480."""
    room = Room(Sketch(100), boxes=list(boxes), lines=list(lines))
    sheets: Any = SimpleNamespace(start_side="left", snap_u_mm=0.0, pieces=("a",))
    plan_marks._lay(room, PLACE, roof("main", 0.0, 0.0), plane_of(box(0.0, 100.0, 6000.0, 4100.0)), sheets)
    _, shaft, head, *_ = room.sketch.items
    assert isinstance(shaft, Line)
    assert isinstance(head, Fill)
    return [shaft.a_mm, head.rings_mm[0][0]]


@pytest.mark.parametrize(
    ("x0", "x1", "y"),
    [(-39.0, -21.0, 780), (-60.0, -41.0, 480), (1605.0, 1619.0, 780), (1621.0, 1639.0, 480)],
)
def test_an_arrow_keeps_off_words_before_its_bar_and_past_its_tip(x0: float, x1: float, y: float) -> None:
    """0.4 mm before the bar and 0.2 past the tip, 2 mm either way: the next place, at 300, is taken as well."""
    same(laid([box(x0, 400.0, x1, 410.0)]), ((0, y), (1600, y)))


@pytest.mark.parametrize(("y", "at"), [(299.0, 480), (301.0, 780)])
def test_an_arrow_keeps_off_lines_by_less(y: float, at: float) -> None:
    """A line 1.8 mm under it is clear of it, one that is nearer is not; at 300 it would lie on the line."""
    same(laid(lines=[((250.0, y), (1700.0, y))]), ((0, at), (1600, at)))


def test_heights_are_counted_from_the_foot_of_the_outline() -> None:
    """A hole higher up is none of it, but parts what lies beside it: 1900 are needed, and 1800 are left of it."""
    sheets: Any = SimpleNamespace(start_side="left", snap_u_mm=0.0)
    hole = ((1800.0, 1000.0), (1800.0, 1300.0), (2400.0, 1300.0), (2400.0, 1000.0))
    plane = plane_of(box(0.0, 100.0, 6000.0, 4100.0), hole)
    found = list(plan_marks._lay_places(plane, sheets, lambda mm: 100.0 * mm))
    # 500, 275, 875, 1250, 1750 ... up: 975 and 1350 lie either side of the hole's foot and head
    heights = [100.0 + 125.0 * up for up in (4.0, 2.2, 7.0, 10.0, 14.0, 18.0, 23.0, 29.0)]
    same(found, [(v, 1600, 1) for v in heights] + [(v, 900, 1) for v in heights])
    low = plane_of(
        box(0.0, 100.0, 6000.0, 4100.0), ((1800.0, 900.0), (1800.0, 1300.0), (2400.0, 1300.0), (2400.0, 900.0))
    )
    found = list(plan_marks._lay_places(low, sheets, lambda mm: 100.0 * mm))
    same(found, [(v, 1600, 1) for v in heights if v != 975.0] + [(v, 900, 1) for v in heights])


@pytest.mark.parametrize(
    ("third", "side"),
    [
        # the middles of the three corners lie at (100, 60) and (100, 100): 400 y - 300 x is -6000 and 10000
        ((-100.0, -120.0), -1.0), ((-100.0, 0.0), 1.0),
        # at (90, 70) and (120, 85): 1000 and -2000
        ((-130.0, -90.0), 1.0), ((-40.0, -45.0), -1.0),
    ],
)  # fmt: skip
def test_which_side_of_an_edge_aslant_its_plane_lies_on(third: Point2, side: float) -> None:
    """From (0, 0) to (400, 300) of a roof at (1000, 2000)."""
    ring = ((0.0, 0.0), (400.0, 300.0), third)
    far = ((900.0, -900.0), (910.0, -900.0), (910.0, -890.0))  # a hole, and the outline of another plane
    planes = (plane_of(far), plane_of(ring, far, tuple((y, x) for x, y in far)))
    planes[0].id = "P0"
    for plane in planes:
        plane.frame.to_space = lambda at: (*at, 0.0)
    house: Any = SimpleNamespace(name="main", origin_mm=(1000.0, 2000.0, 0.0), planes=planes)
    edge: Any = SimpleNamespace(faces=("P1",))
    a, b = (1000.0, 2000.0), (1400.0, 2300.0)
    assert plan_drawing._inner_side(PLACE, house, edge, a, b) == side
    assert plan_drawing._inner_side(PLACE, house, edge, b, a) == -side
    edge.faces = ("P0", "P1")
    assert plan_drawing._inner_side(PLACE, house, edge, a, b) == 1.0
    edge.faces = ()
    assert plan_drawing._inner_side(PLACE, house, edge, b, a) == 1.0


@pytest.mark.parametrize(
    ("size", "scale"),
    [
        ((12200.0, 9650.0), 50),
        ((12200.1, 100.0), 75),
        ((100.0, 9650.1), 75),
        ((18300.0, 14475.0), 75),
        ((18300.1, 100.0), 100),
    ],
)
def test_the_plan_keeps_27_mm_round_it(size: Point2, scale: int) -> None:
    """A3 has 390 x 247: 92 for the schedule and 54 leave 244 x 193."""
    assert plan_drawing._paper(size, 10) == (A3, 1, scale)


def test_an_edge_of_no_length_has_no_label(offered: Offered) -> None:
    edge: Any = SimpleNamespace(id="E1", length_mm=400.0, faces=("P1",))
    for b, count in (((5.0, 7.0), 0), ((5.0, 7.5), 1), ((5.5, 7.0), 2)):
        plan_drawing._edge_label(Room(Sketch(50)), edge, (5.0, 7.0), b, 1.0)
        assert len(offered) <= count
    plan_drawing._edge_label(Room(Sketch(50)), edge, (1005.0, 7.0), (3005.0, 807.0), 1.0)
    assert offered[-1][1] == (2005.0, 407.0)
