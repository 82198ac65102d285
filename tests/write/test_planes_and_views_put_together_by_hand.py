"""What is drawn of planes, and how large the view of the roof is, by hand [mm]."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same
from wall_by_hand import box

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import axonometric, plan_drawing
from takeoff.write.drawings.drawing import Fill, Polyline, Sketch
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place


@pytest.mark.parametrize(
    ("scale", "down", "half"),
    [
        # 1200 from every edge: 12 mm of paper, half of them 6; 15 are more than twice 7; 9 are enough, less is not
        (100, (0.48, 0.64), 6.0), (80, (0.48, 0.64), 7.0), (133, (-0.6, 0.0), 1200 / 133 / 2), (134, (-0.6, 0.0), None),
        (100, (0.0, 0.0), None),
    ],
)  # fmt: skip
def test_the_fall_of_a_plane_is_drawn_with_its_words_where_it_has_room(
    scale: int, down: Point2, half: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[Any] = []
    monkeypatch.setattr(plan_drawing, "roomiest", lambda rings: ((50.0, 70.0), 1200.0))
    monkeypatch.setattr(plan_drawing, "grid_inside", lambda rings: [])
    monkeypatch.setattr(plan_drawing, "draw_fall", lambda *args: drawn.append(args))
    plane: Any = SimpleNamespace(id="P1", pitch_deg=25.0, area_mm2=1e6, frame=SimpleNamespace(v=(*down, 0.6)))
    room = Room(Sketch(scale))
    rings = (box(0.0, 0.0, 2400.0, 2400.0),)
    plan_drawing._plane_label(room, plane, rings)
    if half is None:
        assert drawn == []
        return
    ((taken, at, way, size, of),) = drawn
    assert (taken, at, of) == (room, (50.0, 70.0), rings)
    reach = 0.8 if down[1] else 0.6
    same((*way, size), (-down[0] / reach, -down[1] / reach, half))


def test_a_plane_without_any_room_has_its_mark_led_out(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[Any] = []
    monkeypatch.setattr(plan_drawing, "roomiest", lambda rings: ((50.0, 70.0), 1200.0))
    monkeypatch.setattr(plan_drawing, "grid_inside", lambda rings: [(1.0, 2.0)])

    def free(_: Room, labels: Any) -> bool:
        tried.append([(one.text, one.at[0]) for one in labels])
        return False

    monkeypatch.setattr(Room, "free", free)
    led: list[Any] = []
    monkeypatch.setattr(Room, "lead_out", lambda _, label, at, least_mm=0.0: led.append((label, at)))
    plane: Any = SimpleNamespace(id="P1", pitch_deg=25.0, area_mm2=1e6, frame=SimpleNamespace(v=(0.0, 0.9, 0.4)))
    plan_drawing._plane_label(Room(Sketch(100)), plane, ())
    # mark, pitch and area at either place, then the mark alone, then smaller
    lines = [("P1", "25.0°", "1.00 m²"), ("P1",), ("P1",)]
    assert tried == [[(text, x) for text in each] for each in lines for x in (50.0, 1.0)]
    assert led == [(Label("TEXT", (50.0, 70.0), "P1", 2.5), (50.0, 70.0))]


def test_lines_of_all_roofs_are_drawn_before_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second roof stands 5000 right of the first; words keep off wall lines where they can."""
    edges: list[Any] = []
    monkeypatch.setattr(plan_drawing, "draw_edges", lambda taken, place, roof: edges.append(roof.name))
    frame = SimpleNamespace(to_space=lambda at: (at[0] + 1.0, at[1] + 2.0, 9.0))
    corners = ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0))
    plane = SimpleNamespace(rings_uv=(corners, corners[::-1]), frame=frame)
    roofs: Any = [
        SimpleNamespace(name="a", origin_mm=(1000.0, 2000.0, 0.0), planes=(plane,), wall_line_mm=(corners,)),
        SimpleNamespace(name="b", origin_mm=(6000.0, 2000.0, 0.0), planes=(), wall_line_mm=(corners,)),
    ]
    room = Room(Sketch(50))
    plan_drawing.draw_lines(room, Place((1000.0, 2000.0, 0.0)), roofs)
    on_plan = tuple((x + 1.0, y + 2.0) for x, y in corners)
    moved = tuple((x + 5000.0, y) for x, y in corners)
    assert room.sketch.items == [
        Fill("ROOF-PLANE", (on_plan, on_plan[::-1]), 0.18), Polyline("WALL-LINE", corners, True), Polyline("WALL-LINE", moved, True),
    ]  # fmt: skip
    assert room.soft == [
        *zip(corners, (*corners[1:], corners[0]), strict=True),
        *zip(moved, (*moved[1:], moved[0]), strict=True),
    ]
    assert (edges, room.lines) == (["a", "b"], [])


def test_positions_too_near_each_other_have_no_chain_wherever_they_lie() -> None:
    assert plan_drawing._steps([6000.0, 5000.0, 5500.0], 500.0) == [5000.0, 5500.0, 6000.0]
    assert plan_drawing._steps([6000.0, 5000.0, 5500.0], 501.0) == []
    assert plan_drawing._steps([-5000.0, -4000.0], 1000.0) == [-5000.0, -4000.0]


# ---- the view


def face(*ring: Point2) -> Any:
    xs, ys = zip(*ring, strict=True)
    return axonometric._Seen("", (0.0, 0.0, 1.0), 0.0, (ring,), (), (min(xs), min(ys), max(xs), max(ys)))


@pytest.mark.parametrize(
    ("ring", "scale"),
    [
        (box(-500.0, 200.0, 9000.0, 900.0), 50), (box(-500.0, 200.0, 9000.1, 900.0), 75), (box(500.0, 200.0, 10000.0, 900.0), 50),
        (box(0.0, -300.0, 100.0, 6200.0), 50), (box(0.0, -300.0, 100.0, 6200.1), 75), (box(0.0, 300.0, 100.0, 6800.0), 50),
    ],
)  # fmt: skip
def test_the_view_is_as_large_as_190_by_130_hold_it(ring: Any, scale: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """9500 x 6500 at 1:50, wherever it lies. Every roof is seen from where the first one stands."""
    asked: list[Any] = []

    def faces(roof: str, first: str) -> list[Any]:
        asked.append((roof, first))
        return [face(*ring)] if roof == "b" else []

    monkeypatch.setattr(axonometric, "_faces", faces)
    drawing = axonometric.roof_view(SimpleNamespace(roofs=("a", "b", "c"), job=SimpleNamespace(job="Shed")))  # type: ignore[arg-type]
    assert drawing is not None
    assert drawing.scale == scale
    assert asked == [("a", "a"), ("b", "a"), ("c", "a")]
    same(drawing.paper_mm[1], (ring[2][1] - ring[0][1]) / scale + 22.0)


def test_pens_go_half_a_width_past_both_ends_of_a_side() -> None:
    """0.3 mm of paper are 15 at 1:50: 7.5 either way and past both ends, along (0.6, 0.8) and back."""
    sketch = Sketch(50)
    a, b = (1000.0, 2000.0), (1300.0, 2400.0)
    axonometric._draw(sketch, face(a, b, b))
    _, there, back = sketch.items
    assert isinstance(there, Fill)
    assert isinstance(back, Fill)
    x, y = 4.5, 6.0
    pen = (
        (1000 - x + y, 2000 - y - x), (1300 + x + y, 2400 + y - x), (1300 + x - y, 2400 + y + x), (1000 - x - y, 2000 - y + x),
    )  # fmt: skip
    same(there.rings_mm, (pen,))
    same(sorted(back.rings_mm[0]), sorted(pen))
