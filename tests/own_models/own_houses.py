"""Two houses of our own as flat faces in space, and what they measure, worked out by hand. Metres, z up, floor at 0.

Both pitches have a tangent of 3/4 (36.87 degrees), so that slopes are 5/4 of their plan: every area and every edge but hip
and valley is a whole figure.

gable: 12 x 8 m, eaves at 2.4 m along x, ridge at 2.4 + 4 x 3/4 = 5.4 m.
    planes 2 x 12 x 4 x 5/4 = 120 m2; eaves 24, ridge 12, verges 4 x 4 x 5/4 = 20 m.
L: wings 6 m wide, 12 m long outside, gables at the far ends, eaves at 2.4 m, ridges at 2.4 + 3 x 3/4 = 4.65 m.
    plan 12 x 6 + 6 x 6 = 108 m2, on the slope 135 m2; eaves 12 + 12 + 6 + 6 = 36, ridges 9 + 9 = 18, verges 4 x 3 x 5/4 = 15 m;
    hip and valley each over 3 m both ways and 2.25 m up: sqrt(9 + 9 + 5.0625) = 4.8023 m.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import sqrt

Point = tuple[float, float, float]
Ring = tuple[Point, ...]
Box = tuple[float, float, float, float]  # from the left seen from outside, sill, width, height [m]


@dataclass(frozen=True)
class Face:
    """One flat face: rings, the outer first, counter-clockwise seen from outside; what it is."""

    rings: tuple[Ring, ...]
    what: str  # roof, wall, ground, window or door


@dataclass(frozen=True)
class House:
    """Faces of a closed house, and what they measure: metres by kind of edge, m2 on the slope."""

    name: str
    faces: tuple[Face, ...]
    ground: tuple[tuple[float, float], ...]
    planes: int
    roof_m2: float
    edges_m: dict[str, tuple[int, float]]
    openings: dict[int, tuple[Box, ...]]
    eaves_m: float = 2.4


def wall_face(
    a: tuple[float, float], b: tuple[float, float], top: list[tuple[float, float]], boxes: tuple[Box, ...]
) -> Face:
    """An upright face from a to b, the house on the left: `top` from right to left as (from the left, height)."""
    length = sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length

    def place(x: float, y: float) -> Point:
        return (a[0] + ux * x, a[1] + uy * x, y)

    foot: list[tuple[float, float]] = [(0.0, 0.0)]
    holes = []
    for x, sill, width, height in sorted(boxes):
        if sill == 0.0:  # a door is a notch in the foot
            foot += [(x, 0.0), (x, height), (x + width, height), (x + width, 0.0)]
        else:
            holes.append(((x, sill), (x, sill + height), (x + width, sill + height), (x + width, sill)))
    outer = [*foot, (length, 0.0), *top]
    return Face(tuple(tuple(place(x, y) for x, y in ring) for ring in (outer, *holes)), "wall")


def gable(boxes: dict[int, tuple[Box, ...]] | None = None) -> House:
    """Walls 1 south, 2 east, 3 north, 4 west; openings by wall."""
    e, r = 2.4, 5.4
    ground = ((0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (0.0, 8.0))
    openings = boxes or {}
    faces = [
        Face((((0, 0, e), (12, 0, e), (12, 4, r), (0, 4, r)),), "roof"),
        Face((((12, 8, e), (0, 8, e), (0, 4, r), (12, 4, r)),), "roof"),
        Face((tuple((x, y, 0.0) for x, y in reversed(ground)),), "ground"),
    ]
    for number, (a, b) in enumerate(zip(ground, (*ground[1:], ground[0]), strict=True), start=1):
        length = 12.0 if number % 2 else 8.0
        top = [(length, e), (0.0, e)] if number % 2 else [(length, e), (4.0, r), (0.0, e)]
        faces.append(wall_face(a, b, top, openings.get(number, ())))
    edges = {"eave": (2, 24.0), "ridge": (1, 12.0), "verge": (4, 20.0)}
    return House("gable", tuple(faces), ground, 2, 120.0, edges, openings)


def ell(boxes: dict[int, tuple[Box, ...]] | None = None) -> House:
    """Walls 1 south (12 m), 2 east (gable), 3 north in the corner, 4 east in the corner, 5 north (gable), 6 west."""
    e, r = 2.4, 4.65
    ground = ((0.0, 0.0), (12.0, 0.0), (12.0, 6.0), (6.0, 6.0), (6.0, 12.0), (0.0, 12.0))
    openings = boxes or {}
    faces = [
        Face((((0, 0, e), (12, 0, e), (12, 3, r), (3, 3, r)),), "roof"),
        Face((((12, 6, e), (6, 6, e), (3, 3, r), (12, 3, r)),), "roof"),
        Face((((6, 6, e), (6, 12, e), (3, 12, r), (3, 3, r)),), "roof"),
        Face((((0, 12, e), (0, 0, e), (3, 3, r), (3, 12, r)),), "roof"),
        Face((tuple((x, y, 0.0) for x, y in reversed(ground)),), "ground"),
    ]
    for number, (a, b) in enumerate(zip(ground, (*ground[1:], ground[0]), strict=True), start=1):
        length = abs(b[0] - a[0]) + abs(b[1] - a[1])
        top = [(length, e), (3.0, r), (0.0, e)] if number in (2, 5) else [(length, e), (0.0, e)]
        faces.append(wall_face(a, b, top, openings.get(number, ())))
    slant = sqrt(9 + 9 + 2.25**2)
    edges = {"eave": (4, 36.0), "ridge": (2, 18.0), "verge": (4, 15.0), "hip": (1, slant), "valley": (1, slant)}
    return House("ell", tuple(faces), ground, 4, 135.0, edges, openings)


WINDOWS: dict[int, tuple[Box, ...]] = {
    1: ((1.5, 0.9, 1.8, 1.2), (5.0, 0.0, 0.9, 2.1)),
    2: ((2.0, 0.9, 1.2, 1.2),),
    4: ((1.0, 0.6, 2.4, 1.5),),
}
"""A door and three windows that fit either house."""


def moved(house: House, place: Callable[[Point], Point], mirrored: bool = False) -> House:
    """A house with all its points moved; mirrored ones keep their faces turned outwards."""
    faces = []
    for face in house.faces:
        rings = tuple(tuple(place(point) for point in ring) for ring in face.rings)
        faces.append(replace(face, rings=tuple(ring[::-1] for ring in rings) if mirrored else rings))
    return replace(house, faces=tuple(faces))
