"""Points and vectors as plain tuples of floats: a house has some hundreds of them, so no array library is needed."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt

Point2 = tuple[float, float]
Point3 = tuple[float, float, float]
Ring2 = tuple[Point2, ...]
Ring3 = tuple[Point3, ...]


def sub3(a: Point3, b: Point3) -> Point3:
    """a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def add3(a: Point3, b: Point3) -> Point3:
    """a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def scale3(a: Point3, factor: float) -> Point3:
    """factor * a."""
    return (a[0] * factor, a[1] * factor, a[2] * factor)


def dot3(a: Point3, b: Point3) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross3(a: Point3, b: Point3) -> Point3:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def length3(a: Point3) -> float:
    """Euclidean length."""
    return sqrt(dot3(a, a))


def unit3(a: Point3) -> Point3:
    """`a` scaled to length 1. Raises ZeroDivisionError for the zero vector."""
    return scale3(a, 1.0 / length3(a))


def newell(ring: Sequence[Point3]) -> Point3:
    """Twice the area vector of a closed ring; it points to where the ring runs counter-clockwise."""
    origin = ring[0]
    x = y = z = 0.0
    for i in range(1, len(ring) - 1):
        cx, cy, cz = cross3(sub3(ring[i], origin), sub3(ring[i + 1], origin))
        x, y, z = x + cx, y + cy, z + cz
    return (x, y, z)


def distance2(a: Point2, b: Point2) -> float:
    """Plan distance."""
    return hypot(b[0] - a[0], b[1] - a[1])


def cross2(a: Point2, b: Point2) -> float:
    """z of the vector product: positive when b lies to the left of a."""
    return a[0] * b[1] - a[1] * b[0]
