"""Shapes on paper lie over each other where the general polygon library says that their insides meet."""

from __future__ import annotations

from math import cos, pi, sin
from random import Random

import pytest
from shapely.geometry import LineString, Polygon

from takeoff.basics.vectors import Ring2
from takeoff.write.drawings.drawing import Sketch
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.overlaps import axes_of, overlap


def _shape(draw: Random) -> Ring2:
    """A box turned any way, or a line, whose corners touch those of others now and then."""
    x, y, wide, high = (draw.randint(0, 6) for _ in range(4))
    turn = draw.choice((0.0, 0.0, pi / 2.0, draw.uniform(0.0, 6.0)))
    corners = ((0, 0), (wide + 1, 0), (wide + 1, high + 1), (0, high + 1))
    if draw.random() < 0.4:
        corners = (corners[0], corners[2])
    return tuple((x + u * cos(turn) - v * sin(turn), y + u * sin(turn) + v * cos(turn)) for u, v in corners)


def _insides_meet_mm(one: Ring2, other: Ring2) -> float:
    """Area or length that two shapes share, by the library."""
    shapes = [Polygon(ring) if len(ring) > 2 else LineString(ring) for ring in (one, other)]
    shared = shapes[0].intersection(shapes[1])
    return float(shared.area if all(len(ring) > 2 for ring in (one, other)) else shared.length)


@pytest.mark.parametrize("seed", range(3))
def test_overlap_as_the_polygon_library_says(seed: int) -> None:
    draw = Random(seed)
    for _ in range(1000):
        one, other = _shape(draw), _shape(draw)
        if len(one) == len(other) == 2:  # two lines share a point where they cross: another question
            continue
        shared = _insides_meet_mm(one, other)
        if shared > 1e-6:
            assert overlap(one, other)
        elif shared == 0.0 and not _touch(one, other):
            assert not overlap(one, other)


def _touch(one: Ring2, other: Ring2) -> bool:
    shapes = [Polygon(ring) if len(ring) > 2 else LineString(ring) for ring in (one, other)]
    return float(shapes[0].distance(shapes[1])) < 1e-6


def test_lines_cross_or_do_not() -> None:
    assert overlap(((0.0, 0.0), (2.0, 2.0)), ((0.0, 2.0), (2.0, 0.0)))
    assert not overlap(((0.0, 0.0), (2.0, 2.0)), ((3.0, 0.0), (3.0, 9.0)))


def test_touching_is_not_lying_over() -> None:
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    beside = tuple((x + 1.0, y) for x, y in square)
    assert not overlap(square, beside)
    assert not overlap(square, ((-1.0, 1.0), (2.0, 1.0)))


def test_a_box_has_two_axes_and_a_line_one() -> None:
    assert len(axes_of(((0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)))) == 2
    assert len(axes_of(((0.0, 0.0), (3.0, 1.0)))) == 1


def test_what_took_the_last_place_is_asked_first_and_what_comes_later_is_seen() -> None:
    room = Room(Sketch(1))
    label = Label("TEXT", (0.0, 0.0), "word", 2.5)
    assert room.free([label])
    room.put([label])
    assert not room.free([label])  # its own place is taken now
    assert not room.free([Label("TEXT", (1.0, 0.0), "word", 2.5)])
    assert room.free([Label("TEXT", (0.0, 90.0), "word", 2.5)])  # far from what took the last
    room.lines.append(((-9.0, 90.0), (9.0, 90.0)))
    assert not room.free([Label("TEXT", (0.0, 90.0), "word", 2.5)])
