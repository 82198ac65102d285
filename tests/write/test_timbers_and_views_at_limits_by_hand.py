"""Timbers of the purlin plan that are seen from their end, and faces of the view that cover each other in a circle."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point2
from takeoff.write.drawings import axonometric, purlin_drawing
from takeoff.write.drawings.drawing import Line, Sketch
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
