"""The view of the roof by hand: what is seen, which face is farther, pens, shades, names and the paper round it."""

from __future__ import annotations

from math import cos, radians, sin, sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import flat
from wall_by_hand import box

from takeoff.basics.vectors import Point2, Point3
from takeoff.write.drawings import axonometric as view
from takeoff.write.drawings.drawing import Fill, Sketch, Text, text_width

# 28 degrees round from the foot of the plan to its right, 35 over it
RIGHT: Point3 = (0.8829476, 0.4694716, 0.0)
EYE: Point3 = (0.3845686, -0.7232684, 0.5735764)


def dot(a: Any, b: Any) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))


def same(found: object, wanted: object, tolerance: float = 1e-6) -> None:
    assert flat(found) == pytest.approx(flat(wanted), abs=tolerance)


def face(*ring: Point2, level: float = 0.0, name: str = "", normal: Point3 = (0.0, 0.0, 1.0)) -> Any:
    """A face on paper as near to the eye as `level` says, cut into triangles from its first corner."""
    triangles = tuple((ring[0], ring[n], ring[n + 1]) for n in range(1, len(ring) - 1))
    xs, ys = zip(*ring, strict=True)
    return view._Seen(name, normal, level, (tuple(ring),), triangles, (min(xs), min(ys), max(xs), max(ys)))


def test_the_eye_looks_from_the_lower_right_of_the_plan() -> None:
    """cos 28 = 0.8829476, sin 28 = 0.4694716, cos 35 = 0.8191520, sin 35 = 0.5735764 (any table)."""
    same(view._RIGHT, RIGHT)
    same(view._EYE, EYE)
    same(view._UP, (-0.2692778, 0.5064379, 0.8191520))
    for a, b in ((view._RIGHT, view._UP), (view._UP, view._EYE), (view._EYE, view._RIGHT)):
        assert dot(a, b) == pytest.approx(0.0, abs=1e-12)


def test_how_near_a_face_is_at_a_point_of_the_paper() -> None:
    """That of the point of its plane which is drawn there: its part along the eye."""
    normal = (0.36, 0.48, 0.8)
    for point in ((0.0, 0.0, 10.0), (100.0, -30.0, 8.0 - 27.0), (-40.0, 70.0, 10.0 - 24.0)):
        one = view._Seen("", normal, dot(normal, point), (), (), (0.0, 0.0, 0.0, 0.0))
        assert one.depth((dot(point, view._RIGHT), dot(point, view._UP))) == pytest.approx(dot(point, EYE), abs=1e-4)


def test_a_face_is_laid_on_the_paper_with_its_hole() -> None:
    """Moved by (10, 20, 30); two triangles of a square have its area, with a hole of a ninth eight ninths."""
    ring = [(0.0, 0.0, 5.0), (3.0, 0.0, 5.0), (3.0, 3.0, 5.0), (0.0, 3.0, 5.0)]
    hole = [(1.0, 1.0, 5.0), (1.0, 2.0, 5.0), (2.0, 2.0, 5.0), (2.0, 1.0, 5.0)]
    seen = view._seen("P1", (0.0, 0.0, 1.0), [ring, hole], (10.0, 20.0, 30.0))
    assert (seen.name, seen.offset) == ("P1", 35.0)
    moved = [[(x + 10, y + 20, z + 30) for x, y, z in each] for each in (ring, hole)]
    same(seen.rings, [[(dot(p, view._RIGHT), dot(p, view._UP)) for p in each] for each in moved])

    def area(a: Point2, b: Point2, c: Point2) -> float:
        return abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2.0

    # a level face is as large on paper as the eye's height over the plan makes it
    assert sum(area(*each) for each in seen.triangles) == pytest.approx(8.0 * EYE[2], abs=1e-5)
    xs, ys = zip(*seen.rings[0], strict=True)
    same(seen.box, (min(xs), min(ys), max(xs), max(ys)))


def test_walls_look_outwards_and_those_of_a_courtyard_into_it() -> None:
    """From the floor to the lower of two fascias."""
    yard = box(1000.0, 1000.0, 2000.0, 3000.0)
    roof: Any = SimpleNamespace(
        planes=(SimpleNamespace(fascia_height_mm=2700.0), SimpleNamespace(fascia_height_mm=2400.0)), wall_line_mm=()
    )
    south = ((0.0, -1.0, 0.0), ((0, 0, 0), (6000, 0, 0), (6000, 0, 2400), (0, 0, 2400)))
    for ring in (box(0.0, 0.0, 6000.0, 4000.0), box(0.0, 0.0, 6000.0, 4000.0)[::-1]):
        roof.wall_line_mm = (ring,)
        assert sorted(normal for normal, _ in view._walls(roof)) == [(-1, 0, 0), (0, -1, 0), (0, 1, 0), (1, 0, 0)]
        assert south in view._walls(roof)
    for ring in (yard, yard[::-1]):
        roof.wall_line_mm = (box(0.0, 0.0, 6000.0, 4000.0), ring)
        # the courtyard's south side is seen from the north
        assert (
            (0.0, 1.0, 0.0),
            ((2000, 1000, 0), (1000, 1000, 0), (1000, 1000, 2400), (2000, 1000, 2400)),
        ) in view._walls(roof)[4:]


def test_faces_turned_away_are_not_seen() -> None:
    def plane(name: str, normal: Point3) -> Any:
        frame = SimpleNamespace(n=normal, to_space=lambda at: (*at, 100.0))
        return SimpleNamespace(id=name, frame=frame, rings_uv=(box(0.0, 0.0, 10.0, 10.0),), fascia_height_mm=2400.0)

    first: Any = SimpleNamespace(origin_mm=(5.0, 0.0, 0.0))
    roof: Any = SimpleNamespace(
        origin_mm=(105.0, 20.0, 3.0), wall_line_mm=(box(0.0, 0.0, 6.0, 4.0),),
        planes=(plane("P1", (0.0, 0.0, 1.0)), plane("P2", (0.0, 1.0, 0.0))), uprights=(plane("U1", (1.0, 0.0, 0.0)),),
    )  # fmt: skip
    found = view._faces(roof, first)
    # up, to the right and the south and east walls; none carries a name that is no roof plane
    assert [one.normal for one in found] == [(0, 0, 1), (1, 0, 0), (0, -1, 0), (1, 0, 0)]
    assert {one.name for one in found} == {""}
    same(found[0].rings[0][0], (dot((100, 20, 103), view._RIGHT), dot((100, 20, 103), view._UP)))
    same([one.offset for one in found], (103, 100, -20, 106))


@pytest.mark.parametrize(
    ("one", "other", "at"),
    [
        (box(0, 0, 40, 40), box(100, 0, 140, 40), None), (box(0, 0, 40, 40), box(40, 0, 80, 40), None),
        (((0, 0), (40, 0), (40, 40)), ((0, 0), (40, 0), (40, 40)), (80 / 3, 40 / 3)),
        (((0, 0), (60, 0), (0, 60)), ((0, 0), (60, 0), (60, 60)), (30, 10)),
        # less than a square millimetre together is none
        (((0, 0), (1, 0), (0, 1.99)), ((0, 0), (1, 0), (0, 1.99)), None), (((0, 0), (1, 0), (0, 2.01)), ((0, 0), (1, 0), (0, 2.01)), (1 / 3, 0.67)),
    ],
)  # fmt: skip
def test_the_middle_of_what_two_faces_cover_together(one: Any, other: Any, at: Any) -> None:
    found = view._common(face(*one), face(*other))
    if at is None:
        assert found is None
    else:
        assert found is not None
        same(found, at)


def test_of_several_patches_the_largest_decides() -> None:
    """A square of 60, two triangles under and over its diagonal, and a strip from x = 40 on: 20 x 60 of it, of which the
    lower triangle keeps (40, 0), (60, 0), (60, 60), (40, 40), 1000, and the upper (40, 40), (60, 60), (40, 60), 200."""
    found = view._common(face(*box(0, 0, 60, 60)), face((40, -100), (300, -100), (300, 400), (40, 400)))
    assert found is not None
    # the strip is cut from (40, -100) to (300, 400) itself, right of that line lies more of it
    same(found, view._common(face((0, 0), (60, 0), (60, 60)), face((40, -100), (300, -100), (300, 400), (40, 400))))
    assert 40 < found[0] < 60


def test_what_is_nearer_is_drawn_later() -> None:
    """By their height where they cover each other; else by the depth of their first corner."""
    low, middle, high = (face(*box(0, 0, 40, 40), level=level) for level in (10.0, 20.0, 30.0))
    for order in ((low, middle, high), (high, low, middle), (middle, high, low)):
        assert [one.offset for one in view._farthest_first(order)] == [10, 20, 30]
    apart = face(*box(100, 100, 140, 140), level=5.0)
    # (5 - UP z * 100) / EYE z at its first corner (100, 100) lies far behind
    assert [one.offset for one in view._farthest_first((low, apart))] == [5, 10]
    assert view._farthest_first(()) == []
    # a nearer one whose first corner lies far behind is drawn later all the same
    far = face((39, 300), (0, 0), (40, 0), level=30.0)
    assert far.depth((39, 300)) < low.depth((0, 0))
    assert [one.offset for one in view._farthest_first((far, low))] == [10, 30]


@pytest.mark.parametrize(
    ("a", "b", "meet"), [(0, 9, True), (10, 20, False), (9.9, 20, True), (-5, 0, False), (-5, 0.1, True)]
)
def test_boxes_that_touch_do_not_meet(a: float, b: float, meet: bool) -> None:
    assert view._boxes_meet((0, 0, 10, 10), (a, 0, b, 10)) is meet
    assert view._boxes_meet((0, 0, 10, 10), (0, a, 10, b)) is meet
    assert view._boxes_meet((a, 0, b, 10), (0, 0, 10, 10)) is meet
    assert view._boxes_meet((0, a, 10, b), (0, 0, 10, 10)) is meet


def test_faces_are_shaded_by_the_light_and_have_full_corners() -> None:
    """Light from (-0.55, -0.75, 1) / 1.36565: a level face has 0.73225 of it, 0.08 + 0.34 * 0.26775 = 0.171; one that looks
    down has none, 0.42. Pens are 0.3 mm of paper, 15 at 1:50 either way of half that, and as far past both ends."""
    for normal, shade in (
        ((0.0, 0.0, 1.0), 0.171),
        ((0.0, 0.0, -1.0), 0.42),
        ((-0.6, 0.0, 0.8), round(0.42 - 0.34 * (0.33 + 0.8) / sqrt(1.865), 3)),
    ):
        sketch = Sketch(50)
        view._draw(sketch, face((0.0, 0.0), (400.0, 300.0), (0.0, 300.0), (0.0, 300.0), normal=normal))
        fill, *pens = sketch.items
        assert isinstance(fill, Fill)
        assert (fill.layer, fill.shade) == ("ROOF-VIEW", shade)
        assert len(pens) == 3  # none along a side without length
        first = pens[0]
        assert isinstance(first, Fill)
        assert (first.layer, first.shade) == ("ROOF-VIEW", 1.0)
        # along (0.8, 0.6) by 7.5: (6, 4.5)
        same(
            first.rings_mm,
            [[(-6 + 4.5, -4.5 - 6), (406 + 4.5, 304.5 - 6), (406 - 4.5, 304.5 + 6), (-6 - 4.5, -4.5 + 6)]],
        )


def test_names_stand_where_they_have_room() -> None:
    """A square of 48 has its middle on a grid of 24 at 25 or 23, 23 from its nearest edge: 5 mm of paper at 1:4, 2 at 1:11."""
    square = face(*box(0.0, 0.0, 48.0, 48.0), name="P1")
    for scale, said in ((4, 3.5), (5, 2.5), (11, 2.5), (12, None)):
        sketch = Sketch(scale)
        view._name(sketch, square, [])
        assert [item.height_mm / scale for item in sketch.items if isinstance(item, Text)] == ([said] if said else [])
    sketch = Sketch(3)
    # what covers its left two thirds leaves it 16 wide, 7 from the nearest edges: 2.3 mm of paper at 1:3
    view._name(sketch, square, [face(*box(-10.0, -10.0, 32.0, 60.0)), face(*box(48.0, 0.0, 90.0, 48.0))])
    (text,) = sketch.items
    assert isinstance(text, Text)
    assert (text.layer, text.text, text.align, text.middle, text.height_mm) == ("TEXT", "P1", "centre", True, 7.5)
    assert 32 < text.at_mm[0] < 48
    view._name(sketch, face(*box(0.0, 0.0, 48.0, 48.0)), [])
    assert len(sketch.items) == 1


def test_the_paper_round_the_view(monkeypatch: pytest.MonkeyPatch) -> None:
    """9500 x 1000 from (-500, 200): 190 mm at 1:50. 6 mm round it and 10 under it for the title."""
    faces = [
        face(*box(-500.0, 200.0, 9000.0, 900.0), level=2.0, name="P2"),
        face(*box(0.0, 300.0, 100.0, 1200.0), level=1.0),
    ]
    monkeypatch.setattr(view, "_faces", lambda roof, first: faces if roof is first else [])
    takeoff: Any = SimpleNamespace(roofs=("a",), job=SimpleNamespace(job="Shed"))
    drawing = view.roof_view(takeoff)
    assert drawing is not None
    title = "Shed: the roof from the lower right of the plan"
    assert (drawing.name, drawing.title, drawing.scale, drawing.corner_mm) == ("roof_3d", title, 50, (-800, -600))
    same(drawing.paper_mm, (202, 20 + 22))
    shades = [item.rings_mm[0][0] for item in drawing.items if isinstance(item, Fill) and item.shade < 1.0]
    assert shades == [(0, 300), (-500, 200)]
    assert drawing.items[-1] == Text("TEXT", (-500, -300), title, 125)
    assert [item.text for item in drawing.items if isinstance(item, Text)] == ["P2", title]
    faces[:] = [face(*box(0.0, 0.0, 100.0, 6600.0))]
    drawing = view.roof_view(takeoff)
    assert drawing is not None
    same(drawing.paper_mm, (text_width(title, 2.5) + 12, 6600 / drawing.scale + 22))
    assert drawing.scale == 75
    takeoff.roofs = ()
    assert view.roof_view(takeoff) is None
    assert (cos(radians(28.0)), sin(radians(28.0))) == pytest.approx(RIGHT[:2])
