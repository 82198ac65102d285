"""Planes in an imported net: regions grown against a plane that stays fixed, kept when they lie under open sky.

Growing against the last neighbour instead would chain a bent roof into one plane; a fixed plane cannot be talked round.
Each region is grown twice: from its largest facet's own plane, then from the plane fitted to what that found. A region
may be a single triangle.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import atan, cos, degrees, radians

import numpy as np
from numpy.typing import NDArray

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, add3, dot3, scale3, sub3, unit3
from takeoff.shape.imported.mesh_clean import CleanNet, Facet

Floats = NDArray[np.float64]

STEEPEST_ROOF_DEG = 85.0
_NARROW_DEG = 3.0  # a narrow facet may be turned by this
_CRUMB_MM = 30.0  # facets thinner than this lie where their neighbours lie
_FURTHEST_MM = 50.0  # a node moves no further than this: where its planes are nearly one it stays short of their line
_NEARLY_ONE = 0.02  # ratio of singular values below which planes count as one: about 1 degree between two


@dataclass(frozen=True, slots=True)
class Patch:
    """Facets in one plane: unit normal (upward) and a point on the plane."""

    facets: tuple[int, ...]
    normal: Point3
    through: Point3

    def height_at(self, x: float, y: float) -> float:
        """Height of the plane over a plan point [mm]."""
        n, p = self.normal, self.through
        return p[2] - (n[0] * (x - p[0]) + n[1] * (y - p[1])) / n[2]


def roof_patches(net: CleanNet) -> tuple[tuple[Patch, ...], tuple[Patch, ...]]:
    """The planes of a net that are roof, and those that are walls (steeper than 85 degrees, then taken as upright).

    Roof is what is not steeper and not covered by other such faces: floors, ceilings and undersides lie under it.
    Level faces at the very bottom of a model that has anything above them are ground.
    """
    least = cos(radians(STEEPEST_ROOF_DEG))
    lying = [i for i, facet in enumerate(net.facets) if facet.normal[2] > least]
    steep = [i for i, facet in enumerate(net.facets) if facet.normal[2] <= least]
    lying = _without_ground(net, lying)
    patches = grow(net, lying)
    sky = _Sky(net, lying)
    walls = tuple(replace(patch, normal=_upright(patch.normal)) for patch in grow(net, steep))
    return tuple(patch for patch in patches if not _covered(net, patch, sky)), walls


def _upright(normal: Point3) -> Point3:
    return unit3((normal[0], normal[1], 0.0))


def _without_ground(net: CleanNet, lying: list[int]) -> list[int]:
    used = [net.nodes[n][2] for facet in net.facets for n in facet.ring]
    bottom = min(used, default=0.0) + TOLERANCES.same_plane_mm
    above = [i for i in lying if any(net.nodes[n][2] > bottom for n in net.facets[i].ring)]
    return above or lying


def grow(net: CleanNet, among: Sequence[int]) -> tuple[Patch, ...]:
    """Connected coplanar patches of the facets `among`, largest seed first."""
    beside = _neighbours(net, among)
    free = set(among)
    patches = []
    for seed in sorted(among, key=lambda i: (-net.facets[i].area_mm2, i)):
        if seed not in free:
            continue
        facet = net.facets[seed]
        normal, through = facet.normal, net.nodes[facet.ring[0]]
        members = _reached(net, seed, beside, free, normal, through)
        if len(members) > 1:
            normal, through = fit_plane(net, members)
            members = _reached(net, seed, beside, free, normal, through)
        free -= set(members)
        patches.append(Patch(tuple(sorted(members)), normal, through))
    return tuple(_joined(net, patches, beside))


def _joined(net: CleanNet, patches: list[Patch], beside: dict[int, list[int]]) -> list[Patch]:
    """Neighbours made one where one plane fits both: a quadrangle out of flat is two triangles, not two planes."""
    owner = {i: number for number, patch in enumerate(patches) for i in patch.facets}
    found: dict[int, Patch] = dict(enumerate(patches))
    least = cos(radians(2 * _NARROW_DEG))
    work = sorted({(min(owner[i], owner[j]), max(owner[i], owner[j])) for i in owner for j in beside[i]})
    while work:
        one, other = work.pop(0)
        if one == other or one not in found or other not in found:
            continue
        # turned further they never fit one plane, and fitting large ones takes time
        if abs(dot3(found[one].normal, found[other].normal)) < least:
            continue
        members = (*found[one].facets, *found[other].facets)
        normal, through = fit_plane(net, members)
        if not all(_fits(net, net.facets[i], normal, through) for i in members):
            continue
        found[one] = Patch(tuple(sorted(members)), normal, through)
        del found[other]
        for i in members:
            owner[i] = one
        work += sorted({(min(one, owner[j]), max(one, owner[j])) for i in members for j in beside[i]})
    return [found[number] for number in sorted(found)]


def _neighbours(net: CleanNet, among: Iterable[int]) -> dict[int, list[int]]:
    at: dict[tuple[int, int], list[int]] = defaultdict(list)
    for i in among:
        ring = net.facets[i].ring
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            at[min(a, b), max(a, b)].append(i)
    beside: dict[int, list[int]] = defaultdict(list)
    for together in at.values():
        for i in together:
            beside[i].extend(j for j in together if j != i)
    return beside


def _reached(
    net: CleanNet, seed: int, beside: dict[int, list[int]], free: set[int], normal: Point3, through: Point3
) -> list[int]:
    members = [seed]
    taken = {seed}
    for i in members:
        for j in beside[i]:
            if j in free and j not in taken and _fits(net, net.facets[j], normal, through):
                taken.add(j)
                members.append(j)
    return members


def _fits(net: CleanNet, facet: Facet, normal: Point3, through: Point3) -> bool:
    # the direction of a narrow facet is worth no more than what its points may be off over its height
    cap_deg = max(
        TOLERANCES.same_plane_deg, min(_NARROW_DEG, degrees(atan(2 * TOLERANCES.one_plane_mm / facet.thin_mm)))
    )
    if facet.thin_mm < _CRUMB_MM:
        cap_deg = 90.0
    if abs(dot3(facet.normal, normal)) < cos(radians(cap_deg)):
        return False
    return all(abs(dot3(sub3(net.nodes[n], through), normal)) <= TOLERANCES.one_plane_mm for n in facet.ring)


def fit_plane(net: CleanNet, members: Sequence[int]) -> tuple[Point3, Point3]:
    """Plane of least squares through the facets' corners, each weighted with its facet's area: normal (upward) and a
    point."""
    points = np.array([net.nodes[n] for i in members for n in net.facets[i].ring])
    weights = np.array([net.facets[i].area_mm2 for i in members for _ in net.facets[i].ring])
    middle = np.average(points, axis=0, weights=weights)
    spread = (points - middle) * np.sqrt(weights / weights.sum())[:, None]
    axis = np.linalg.svd(spread, full_matrices=False)[2][-1]
    normal = (float(axis[0]), float(axis[1]), float(axis[2]))
    return (normal if normal[2] > 0 else scale3(normal, -1.0)), (float(middle[0]), float(middle[1]), float(middle[2]))


class _Sky:
    """Looks up whether a lying facet is over a point."""

    def __init__(self, net: CleanNet, lying: Sequence[int]) -> None:
        self._corners = np.array([[net.nodes[n] for n in net.facets[i].corners] for i in lying])

    def covers(self, point: Point3) -> bool:
        """Whether a lying facet is above the point by more than twice the plane distance."""
        if not len(self._corners):
            return False
        a, b, c = (self._corners[:, k, :] for k in range(3))
        over_c, over_a, over_b = _turn(a, b, point), _turn(b, c, point), _turn(c, a, point)
        inside = np.minimum(np.minimum(over_a, over_b), over_c) > 0
        total = np.where(inside, over_a + over_b + over_c, 1.0)
        z = (over_a * a[:, 2] + over_b * b[:, 2] + over_c * c[:, 2]) / total
        return bool((inside & (z > point[2] + 2 * TOLERANCES.same_plane_mm)).any())


def _turn(a: Floats, b: Floats, p: Point3) -> Floats:
    found: Floats = (b[:, 0] - a[:, 0]) * (p[1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (p[0] - a[:, 0])
    return found


def _covered(net: CleanNet, patch: Patch, sky: _Sky) -> bool:
    """Whether more than half of a patch, by its facets' area, lies under other faces."""
    under = total = 0.0
    for i in patch.facets:
        facet = net.facets[i]
        for point in _samples([net.nodes[n] for n in facet.corners]):
            total += facet.area_mm2
            under += facet.area_mm2 if sky.covers(point) else 0.0
    return under > total / 2.0


def _samples(corners: Sequence[Point3]) -> Iterable[Point3]:
    """The middle of a triangle and three points between it and the corners."""
    middle = scale3(add3(add3(corners[0], corners[1]), corners[2]), 1.0 / 3.0)
    yield middle
    for corner in corners:
        yield scale3(add3(middle, corner), 0.5)


def _least_step(normals: Floats, gaps: Floats) -> Floats:
    """Least move onto the planes; planes nearly one count as one where the move would be too far."""
    for ratio in (_NEARLY_ONE, 0.1, 0.3, 0.7):
        step: Floats = np.linalg.pinv(normals, rcond=ratio) @ gaps
        if float(np.linalg.norm(step)) <= _FURTHEST_MM:
            return step
    return np.zeros(3)


def snap(net: CleanNet, patches: Sequence[Patch], walls: Sequence[Patch]) -> tuple[dict[int, Point3], float]:
    """Every node of the patches moved onto all planes that meet there, walls too, and the greatest move [mm].

    The least move that brings a node onto its planes: onto one plane, the line of two, the point of three. Planes that
    are nearly one (turned by less than about 1 degree) do not throw it far.
    """
    meeting: dict[int, list[Patch]] = defaultdict(list)
    for patch in (*patches, *walls):
        for node in sorted({n for i in patch.facets for n in net.facets[i].ring}):
            meeting[node].append(patch)
    roof = {n for patch in patches for i in patch.facets for n in net.facets[i].ring}
    moved: dict[int, Point3] = {}
    furthest = 0.0
    for node in sorted(roof):
        planes = meeting[node]
        at = np.array(net.nodes[node])
        normals = np.array([plane.normal for plane in planes])
        gaps = np.array([dot3(sub3(plane.through, net.nodes[node]), plane.normal) for plane in planes])
        step = _least_step(normals, gaps)
        furthest = max(furthest, float(np.linalg.norm(step)))
        x, y, z = at + step
        moved[node] = (float(x), float(y), float(z))
    return moved, furthest
