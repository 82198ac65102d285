"""Faces of no width, left where a front runs over one that has itself just run over a third at the same instant."""

from __future__ import annotations

from math import dist

from takeoff.shape.skeleton.faces import FaceRings, Node


def drop_slivers(faces: list[FaceRings], nodes: list[Node], width: float) -> None:
    """Take faces thinner than `width` out, in place; their neighbours then share their sides node by node."""
    thin = [part for part in faces if part.area <= 4.0 * width and not part.holes]
    for part in thin:
        ring = part.outer
        if ring[0] < 0:
            continue
        a, b = max(pairs(ring), key=lambda side: dist(nodes[side[0]], nodes[side[1]]))
        length = dist(nodes[a], nodes[b])
        if abs(part.area) > width * length:
            continue
        faces.remove(part)
        along = [(q - p) / length for p, q in zip(nodes[a], nodes[b], strict=True)]
        at = {i: sum(u * c for u, c in zip(along, nodes[i], strict=True)) for i in ring}
        between = {}
        for a, b in pairs(ring):
            low, high = sorted((at[a], at[b]))
            inner = sorted((i for i in at if low < at[i] < high), key=lambda i: at[i], reverse=at[b] > at[a])
            if inner:
                between[b, a] = inner
        for other in faces:
            other.outer = split(other.outer, between)
            other.holes = [split(hole, between) for hole in other.holes]


def pairs(ring: list[int]) -> list[tuple[int, int]]:
    """Sides of a ring."""
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


def split(ring: list[int], between: dict[tuple[int, int], list[int]]) -> list[int]:
    """A ring with further nodes on some of its sides."""
    out = []
    for side in pairs(ring):
        out.append(side[0])
        out.extend(between.get(side, ()))
    return out
