"""Rings of the faces, traced from the sides that the front's vertices left behind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, pi
from typing import Protocol

Node = tuple[float, float, float]
Place = Sequence[tuple[float, ...]] | Mapping[int, tuple[float, ...]]
"""Plane coordinates of a node by its number: in the first two places."""


class Planes(Protocol):
    """What tracing needs to know of the faces: unit normals of their fronts, speeds (0 = upright), flat tops."""

    nx: list[float]
    ny: list[float]
    s: list[float]
    flat: list[int]


@dataclass(slots=True)
class FaceRings:
    """One connected part of a face: node numbers of the outer ring, counter-clockwise, and of its holes, clockwise.

    `area` is that of the outer ring less the holes: in plan, or upright for an upright face.
    """

    face: int
    outer: list[int]
    area: float
    holes: list[list[int]]


def trace(
    nodes: list[Node],
    planes: Planes,
    side_from: Sequence[int],
    side_to: Sequence[int],
    side_face: Sequence[int],
    sides: int,
) -> list[FaceRings]:
    """All faces with their rings, in order of face number; a ring of two nodes has no area and is left out."""
    leads: list[dict[int, int]] = [{} for _ in planes.s]
    forks: dict[int, list[tuple[int, int]]] = {}
    for i in range(sides):
        face = side_face[i]
        lead = leads[face]
        a = side_from[i]
        if a in lead:
            forks.setdefault(face, []).append((a, side_to[i]))
        else:
            lead[a] = side_to[i]
    out: list[FaceRings] = []
    for face, lead in enumerate(leads):
        if not lead:
            continue
        place: Place = nodes
        if planes.s[face] == 0.0 and not planes.flat[face]:
            place = seen_square(nodes, lead, planes.ny[face], -planes.nx[face])
        rings = forked_rings(lead, forks[face], place) if face in forks else plain_rings(lead)
        if len(rings) == 1 and len(rings[0]) > 2:
            out.append(FaceRings(face, rings[0], ring_area(rings[0], place), []))
        else:
            out.extend(nest(face, [ring for ring in rings if len(ring) > 2], place))
    return out


def seen_square(nodes: list[Node], wanted: Mapping[int, int], dx: float, dy: float) -> dict[int, tuple[float, ...]]:
    """Nodes of an upright face as seen from outside: (distance along the wall, height)."""
    return {i: (dx * nodes[i][0] + dy * nodes[i][1], nodes[i][2]) for i in wanted}


def plain_rings(lead: dict[int, int]) -> list[list[int]]:
    """Rings of a face that passes no node twice; uses up `lead`. A chain with an open end comes back as [-1]."""
    rings: list[list[int]] = []
    while lead:
        start = next(iter(lead))
        ring = [start]
        node = lead.pop(start)
        while node != start:
            ring.append(node)
            follow = lead.pop(node, None)
            if follow is None:
                return [[-1, -1, -1]]
            node = follow
        rings.append(ring)
    return rings


def forked_rings(lead: dict[int, int], extra: list[tuple[int, int]], place: Place) -> list[list[int]]:
    """Rings of a face that passes nodes several times: each ring passes each of its nodes once.

    The sharpest left turn keeps parts that touch apart; a loop is cut off as soon as it closes, so a hole that touches
    its outer ring becomes a ring of its own.
    """
    ways: dict[int, list[int]] = {a: [b] for a, b in lead.items()}
    for a, b in extra:
        ways[a].append(b)
    rings: list[list[int]] = []
    while ways:
        start = next((a for a, b in ways.items() if len(b) == 1), next(iter(ways)))
        path, at = [start], {start: 0}
        before, node = start, start
        while node in ways:
            follow = take(ways, before, node, place)
            if follow in at:
                k = at[follow]
                rings.append(path[k:])
                before = path[-1]
                for n in path[k + 1 :]:
                    del at[n]
                del path[k + 1 :]
            else:
                at[follow] = len(path)
                path.append(follow)
                before = node
            node = follow
        if len(path) > 1:
            return [[-1, -1, -1]]
    return rings


def take(ways: dict[int, list[int]], before: int, node: int, place: Place) -> int:
    """Use up the way on from `node` that turns left most sharply, coming from `before`."""
    ahead = ways[node]
    best = 0
    if len(ahead) > 1 and before != node:
        back = heading(place[node], place[before])
        least = 7.0
        for i, b in enumerate(ahead):
            wedge = (back - heading(place[node], place[b])) % (2.0 * pi)
            if wedge < least:
                least, best = wedge, i
    follow = ahead.pop(best)
    if not ahead:
        del ways[node]
    return follow


def heading(a: tuple[float, ...], b: tuple[float, ...]) -> float:
    """Angle of the direction from a to b."""
    return atan2(b[1] - a[1], b[0] - a[0])


def ring_area(ring: list[int], place: Place) -> float:
    """Signed area of a ring of nodes."""
    if ring[0] < 0:
        return -1.0
    ox, oy = place[ring[0]][:2]
    px = py = total = 0.0
    for i in ring:
        p = place[i]
        x, y = p[0] - ox, p[1] - oy
        total += px * y - x * py
        px, py = x, y
    return total / 2.0


def nest(face: int, rings: list[list[int]], place: Place) -> list[FaceRings]:
    """Give every hole (negative area) to the smallest outer ring round it; a hole in none stays a part of its own."""
    parts = sorted(((ring_area(ring, place), ring) for ring in rings), key=lambda part: -part[0])
    outers = [FaceRings(face, ring, area, []) for area, ring in parts if area > 0.0]
    whole = [(outer.area, outer) for outer in outers]
    stray: list[FaceRings] = []
    for area, ring in parts:
        if area > 0.0:
            continue
        home = None
        for size, outer in whole:
            if size > -area and within(ring, outer.outer, place):
                home = outer
        if home is None:
            stray.append(FaceRings(face, ring, area, []))
        else:
            home.holes.append(ring)
            home.area += area
    return outers + stray


def within(ring: list[int], outer: list[int], place: Place) -> bool:
    """Does a ring that does not cross `outer` lie inside it? (Ray from a node of it that is not on outer.)"""
    own = set(outer)
    x, y = place[next((i for i in ring if i not in own), ring[0])][:2]
    odd = False
    ux, uy = place[outer[-1]][:2]
    for i in outer:
        wx, wy = place[i][:2]
        if (uy > y) != (wy > y) and x < ux + (wx - ux) * (y - uy) / (wy - uy):
            odd = not odd
        ux, uy = wx, wy
    return odd
