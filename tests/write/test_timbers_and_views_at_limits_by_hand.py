"""Timbers of the purlin plan that are seen from their end, and faces of the view that cover each other in a circle."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import Offered, same

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import axonometric, purlin_drawing
from takeoff.write.drawings.drawing import Line, Sketch, readable_angle
from takeoff.write.drawings.label_room import Room
from takeoff.write.drawings.plan_place import Place


class Face:
    """A face whose depth is given for each spot that it shares with another, and for its first corner."""

    def __init__(self, name: str, **depths: float) -> None:
        self.name, self.depths, self.rings = name, depths, (("corner",),)

    def depth(self, at: str) -> float:
        return self.depths[at]


def test_faces_that_cover_each_other_in_a_circle_go_by_their_first_corner(monkeypatch: pytest.MonkeyPatch) -> None:
    """a lies before b, b before c, c before a; d shares no spot and lies nearest of all."""
    faces = [
        Face("d", corner=99.0),
        Face("a", corner=7.0, ab=2.0, ac=1.0),
        Face("b", corner=5.0, ab=1.0, bc=2.0),
        Face("c", corner=6.0, bc=1.0, ac=2.0),
    ]
    known = {"ab", "bc", "ac"}
    monkeypatch.setattr(
        axonometric, "_common", lambda one, other: next(iter({"".join(sorted(one.name + other.name))} & known), None)
    )
    found: list[Any] = axonometric._farthest_first(faces)  # type: ignore[arg-type]
    # d is free and is drawn; of the circle b has the farthest corner, then a lies over it, c over a
    assert [one.name for one in found] == ["d", "b", "a", "c"]


def row(role: str, a: Point2, b: Point2, true_mm: float) -> Any:
    shown = abs(b[0] - a[0]) + abs(b[1] - a[1])
    return SimpleNamespace(line=SimpleNamespace(role=role), a=a, b=b, true_mm=true_mm, shown_mm=shown)


def test_a_timber_seen_from_its_end_is_drawn_but_has_no_words(monkeypatch: pytest.MonkeyPatch) -> None:
    here, there = (5.0, 7.0), (5.0, 907.0)
    rows = {
        "first": [row("purlin", here, there, 900.0), row("purlin", here, here, 900.0)],
        "second": [
            row("purlin", here, here, 0.0),
            row("hip trimmer", here, there, 900.0),
            row("purlin", there, here, 950.0),
        ],
    }
    said: list[tuple[str, Any]] = []
    monkeypatch.setattr(purlin_drawing, "cut_pieces", lambda _: {})
    monkeypatch.setattr(purlin_drawing, "_rows", lambda place, roof, takeoff, cuts: rows[roof.name])
    for name in ("_joints", "_name", "_lengths"):
        monkeypatch.setattr(purlin_drawing, name, lambda _, one, name=name: said.append((name, one)))
    room = Room(Sketch(50))
    roofs = [SimpleNamespace(name=name, own_edges=(), wall_line_mm=()) for name in rows]
    purlin_drawing._timbers(room, Place((0.0, 0.0, 0.0)), SimpleNamespace(roofs=roofs, order=None))  # type: ignore[arg-type]
    long, _, _, trimmer, last = [*rows["first"], *rows["second"]]
    assert said == [
        *(("_joints", one) for one in (long, trimmer, last)),
        *((name, one) for name in ("_name", "_lengths") for one in (long, last)),
    ]
    layers = [item.layer for item in room.sketch.items if isinstance(item, Line)]
    assert layers == ["PURLIN-ROW", "PURLIN-ROW", "PURLIN-ROW", "PURLIN-TRIMMER", "PURLIN-ROW"]
    assert room.lines == [(here, there), (here, here), (here, here), (here, there), (there, here)]


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ((100.0, 900.0), (500.0, 600.0)),
        ((100.0, 900.0), (400.0, 500.0)),
        ((100.0, 500.0), (400.0, 900.0)),
        ((600.0, 100.0), (1000.0, 400.0)),
        ((-900.0, -100.0), (-500.0, 200.0)),
    ],
)
def test_whether_words_run_along_a_row_or_against_it(a: Point2, b: Point2) -> None:
    """Aslant, from the left as they are read; an upright row is read from its foot."""
    angle = readable_angle(a, b)
    assert purlin_drawing._against(a, b, angle) is False
    assert purlin_drawing._against(b, a, angle) is True
    assert purlin_drawing._against((3.0, 5.0), (3.0, 905.0), 90.0) is False
    assert purlin_drawing._against((3.0, 905.0), (3.0, 5.0), 90.0) is True


def timber(a: Point2, b: Point2, *cuts: tuple[float, int], role: str = "purlin", up: Point2 = (0.0, 0.8)) -> Any:
    """5000 long."""
    line: Any = SimpleNamespace(role=role, run="R1", a_uv=(0.0, 0.0), b_uv=(5000.0, 0.0))
    pieces: Any = tuple(SimpleNamespace(start_mm=start, length_mm=long) for start, long in cuts)
    return purlin_drawing._Row(line, a, b, pieces, up)


def test_pieces_of_a_row_read_against_its_way_lie_from_its_other_end(offered: Offered) -> None:
    """4000 of 5000 on the plan: the second piece begins 400 and ends 1600 from the right. A piece of 100 is 80, less than
    its figures, wherever it lies."""
    purlin_drawing._lengths(Room(Sketch(20)), timber((4100.0, 30.0), (100.0, 30.0), (0.0, 500), (500.0, 1500)))
    same([anchor for _, anchor in offered], [(100 + 4000 - 200, 30), (100 + 3000, 30)])
    for at in (0.0, 3000.0, 4900.0):
        for a, b in (((0.0, 0.0), (4000.0, 0.0)), ((4000.0, 0.0), (0.0, 0.0))):
            offered.clear()
            purlin_drawing._lengths(Room(Sketch(20)), timber(a, b, (at, 100)))
            assert offered == []


@pytest.mark.parametrize(
    ("a", "b", "up", "role", "first"),
    [
        ((0.0, 0.0), (0.0, 1000.0), (0.8, 0.0), "ridge", (-41.0, 100.0)), ((0.0, 0.0), (0.0, 1000.0), (-0.8, 0.0), "head", (41.0, 100.0)),
        # along (0.8, 0.6), its plane to the left of that, up by (-0.48, 0.64), or to the right
        ((0.0, 0.0), (800.0, 600.0), (-0.48, 0.64), "purlin", (80 - 0.6 * 41, 60 + 0.8 * 41)),
        ((0.0, 0.0), (800.0, 600.0), (0.48, -0.64), "purlin", (80 + 0.6 * 41, 60 - 0.8 * 41)),
        ((0.0, 0.0), (800.0, 600.0), (-0.48, 0.64), "ridge", (80 + 0.6 * 41, 60 - 0.8 * 41)),
        ((0.0, 0.0), (800.0, -600.0), (0.48, 0.64), "purlin", (80 + 0.6 * 41, -60 + 0.8 * 41)),
    ],
)  # fmt: skip
def test_words_of_rows_aslant_lie_on_their_plane_first(
    a: Point2, b: Point2, up: Point2, role: str, first: Point2
) -> None:
    """41 off at 1:20."""
    found = purlin_drawing._places(Room(Sketch(20)), timber(a, b, up=up, role=role), 100.0, 100.0)
    same(found[0], first)
    assert len(found) == 2
