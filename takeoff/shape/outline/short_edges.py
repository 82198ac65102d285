"""Corners of solved faces that lie closer together than anything that is built are made one.

A drawing rounded to whole millimetres puts the ends of two equal wings a millimetre apart, and a hip of a millimetre
between them. Nobody cuts it: its two ends become one corner. Only ends of one edge are joined, so faces still tile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.vectors import Point3, length3, sub3
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face


def join_short_edges(faces: Sequence[Face], sides: OutlineSides, shortest_mm: float) -> tuple[list[Face], int]:
    """Faces with edges shorter than `shortest_mm` drawn together to a point, and how many points went.

    Points on the outline stay on it: its corners do not move, a point on a side moves along that side only. Points of
    upright faces do not move: over and under them other faces end on the same line in plan. Faces that lose their last
    three corners are left out.
    """
    into: dict[Point3, Point3] = {}
    still = {point for face in faces if face.upright is not None for ring in face.rings_mm for point in ring}
    for face in faces:
        for ring in face.rings_mm:
            for i, b in enumerate(ring):
                a = ring[i - 1]
                if a != b and length3(sub3(b, a)) < shortest_mm:
                    _join(into, a, b, sides, still)
    if not into:
        return list(faces), 0
    joined = []
    for face in faces:
        rings = [_without_repeats([_end(into, point) for point in ring]) for ring in face.rings_mm]
        if len(rings[0]) > 2:
            joined.append(replace(face, rings_mm=tuple(ring for ring in rings if len(ring) > 2)))
    return joined, len(into)


def _end(into: dict[Point3, Point3], point: Point3) -> Point3:
    while point in into:
        point = into[point]
    return point


def _join(into: dict[Point3, Point3], a: Point3, b: Point3, sides: OutlineSides, still: set[Point3]) -> None:
    one, other = sorted((_end(into, a), _end(into, b)))
    if one == other:
        return
    # a point may move onto another that lies on every side of the outline it lies on itself
    of_one, of_other = set(sides.through(one)), set(sides.through(other))
    if of_other <= of_one and other not in still:
        into[other] = one
    elif of_one <= of_other and one not in still:
        into[one] = other


def _without_repeats(ring: list[Point3]) -> tuple[Point3, ...]:
    """A ring without consecutive equal points and without spurs, where it runs out and straight back."""
    kept: list[Point3] = []
    for point in ring:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1 and kept[-2] == point:
            kept.pop()
            continue
        kept.append(point)
    while len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    return tuple(kept)
