"""Planes in an imported net: facets that lie in one plane, fitted to their area, neighbours joined that nobody folds.

Facets are first chained where neighbours are turned little; what one plane then fits is one. What it does not fit, a
bent roof, is grown anew against planes that stay fixed: growing against the last neighbour would chain a barrel into
one. Then neighbours become one where a single plane fits both to what surveys and drawings are off, and wherever the
fold between them is flatter than any that is built.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import atan, cos, degrees, radians
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, dot3
from takeoff.shape.imported.joining import connected, sharing
from takeoff.shape.imported.net import Net

if TYPE_CHECKING:
    from takeoff.shape.imported.joining import Floats, Numbers

_JITTER_MM = MODEL_LIMITS.jitter_mm
_CRUMB_MM = MODEL_LIMITS.facet_crumb_mm
_CHAIN_DEG = MODEL_LIMITS.chain_deg
_POLYGON_DEG = MODEL_LIMITS.polygon_deg


@record
class Patch:
    """Facets in one plane: unit normal (upward) and a point on it; how far its nodes lie off it, and the sharpest fold
    that was straightened within it, if any [degrees]. `strip_mm`: how far the nodes of strips that were added lie off.
    `leans`: a wall that is not quite upright."""

    facets: tuple[int, ...]
    normal: Point3
    through: Point3
    off_mm: float = 0.0
    fold_deg: float = 0.0
    strip_mm: float = 0.0
    leans: bool = False

    def height_at(self, x: float, y: float) -> float:
        """Height of the plane over a plan point [mm]."""
        n, p = self.normal, self.through
        return p[2] - (n[0] * (x - p[0]) + n[1] * (y - p[1])) / n[2]


@record
class Moments:
    """Area of a set of facets and the integrals of position and its square over it, about one origin for all."""

    area: float
    first: Floats
    second: Floats

    def __add__(self, other: Moments) -> Moments:
        """Of both sets together."""
        return Moments(self.area + other.area, self.first + other.first, self.second + other.second)

    def plane(self) -> tuple[Point3, Point3]:
        """Normal (upward) and middle of the plane that is nearest to the area, in the least squares."""
        middle = self.first / self.area
        axes = np.linalg.eigh(self.second / self.area - np.outer(middle, middle))[1]
        x, y, z = (float(value) for value in axes[:, 0])
        normal = (x, y, z) if z > 0 else (-x, -y, -z)
        return normal, (float(middle[0]), float(middle[1]), float(middle[2]))


def grow(net: Net, among: Numbers, fold_deg: float = 0.0) -> tuple[Patch, ...]:
    """Connected patches of the facets `among`, largest first. Neighbours are joined where their fold is flatter than
    `fold_deg`, and where one plane fits both."""
    if not len(among):
        return ()
    beside = _neighbours(net, among)
    tables = Tables(net)
    sets = _chained(net, among, *beside)
    good: list[list[int]] = []
    around: dict[int, list[int]] = {}
    for members in sets:
        if len(members) == 1 or tables.fit_one_plane(members):
            good.append(members)
        else:
            around = around or _lists(*beside)
            good += _grown(tables, members, around)
    joined = _Joiner(tables, good, beside, fold_deg).joined()
    return tuple(
        sorted((tables.patch(members, fold) for members, fold in joined), key=lambda p: -tables.size(p.facets))
    )


def _neighbours(net: Net, among: Numbers) -> tuple[Numbers, Numbers]:
    """Pairs of facets that share a segment, both of `among`."""
    inside = np.zeros(len(net.corners), dtype=bool)
    inside[among] = True
    rows = np.flatnonzero(inside[net.sides[:, 0]])
    a, b = sharing(net.keys()[rows])
    one, other = net.sides[rows[a], 0], net.sides[rows[b], 0]
    apart = one != other
    return one[apart], other[apart]


def _lists(a: Numbers, b: Numbers) -> dict[int, list[int]]:
    beside: dict[int, list[int]] = defaultdict(list)
    for one, other in zip(a.tolist(), b.tolist(), strict=True):
        beside[one].append(other)
        beside[other].append(one)
    return beside


def _turn_allowed(thin: Floats) -> Floats:
    """How far the direction of a facet may be off [radians]: more the narrower it is."""
    cap = np.maximum(radians(TOLERANCES.same_plane_deg), np.arctan(_JITTER_MM / np.maximum(thin, 1e-9)))
    return np.where(thin < _CRUMB_MM, radians(90.0), cap)


def _chained(net: Net, among: Numbers, a: Numbers, b: Numbers) -> list[list[int]]:
    """Facets chained with neighbours that are turned no more than the narrower of them explains."""
    cap = _turn_allowed(np.minimum(net.thin[a], net.thin[b]))
    cap = np.minimum(cap, radians(_CHAIN_DEG))
    cap = np.where(net.polygon_of[a] == net.polygon_of[b], np.maximum(cap, radians(_POLYGON_DEG)), cap)
    alike = np.abs((net.normals[a] * net.normals[b]).sum(axis=1)) >= np.cos(cap)
    labels = connected(len(net.corners), a[alike], b[alike])[among]
    order = np.argsort(labels, kind="stable")
    cuts = np.flatnonzero(np.diff(labels[order])) + 1
    return [part.tolist() for part in np.split(among[order], cuts)]


class Tables:
    """Moments of all facets, and planes fitted to sets of them."""

    def __init__(self, net: Net) -> None:
        self.net = net
        self.origin = net.nodes.mean(axis=0) if len(net.nodes) else np.zeros(3)
        corners = net.nodes[net.corners] - self.origin
        sums = corners.sum(axis=1)
        self._first = net.areas[:, None] * sums / 3.0
        squares = np.einsum("fki,fkj->fij", corners, corners) + sums[:, :, None] * sums[:, None, :]
        self._second = net.areas[:, None, None] / 12.0 * squares
        self._caps = np.cos(_turn_allowed(net.thin))
        order = np.argsort(net.sides[:, 0], kind="stable")
        self._ends = net.sides[order, 1]
        self._starts = np.searchsorted(net.sides[order, 0], np.arange(len(net.corners) + 1))

    def moments(self, members: Sequence[int]) -> Moments:
        """Of a set of facets."""
        rows = np.asarray(members)
        return Moments(float(self.net.areas[rows].sum()), self._first[rows].sum(axis=0), self._second[rows].sum(axis=0))

    def size(self, members: Sequence[int]) -> float:
        """Area of facets [mm2]."""
        return float(self.net.areas[list(members)].sum())

    def nodes_of(self, members: Sequence[int]) -> Numbers:
        """Nodes of facets, those on their sides too."""
        rows = np.asarray(members)
        counts = self._starts[rows + 1] - self._starts[rows]
        places = np.repeat(self._starts[rows] - np.cumsum(counts) + counts, counts) + np.arange(int(counts.sum()))
        found: Numbers = np.unique(self._ends[places])
        return found

    def off_mm(self, members: Sequence[int], normal: Point3, middle: Point3) -> float:
        """Furthest that a node of the members lies off a plane."""
        to = self.net.nodes[self.nodes_of(members)] - self.origin - np.array(middle)
        return float(np.abs(to @ np.array(normal)).max())

    def fit_one_plane(self, members: Sequence[int]) -> bool:
        """Whether one plane fits facets: no node off by more than an imported plane may be, none turned too far."""
        normal, middle = self.moments(members).plane()
        if self.off_mm(members, normal, middle) > TOLERANCES.one_plane_mm:
            return False
        return bool((np.abs(self.net.normals[members] @ np.array(normal)) >= self._caps[members]).all())

    def fits(self, facet: int, normal: Point3, middle: Point3) -> bool:
        """Whether one facet lies in a plane."""
        if abs(dot3(tuple(self.net.normals[facet].tolist()), normal)) < self._caps[facet]:
            return False
        return self.off_mm([facet], normal, middle) <= TOLERANCES.one_plane_mm

    def own_plane(self, facet: int) -> tuple[Point3, Point3]:
        """Normal of a facet and a point on it."""
        x, y, z = self.net.normals[facet].tolist()
        a, b, c = (self.net.nodes[self.net.corners[facet, 0]] - self.origin).tolist()
        return (x, y, z), (a, b, c)

    def patch(self, members: Sequence[int], fold_deg: float) -> Patch:
        """The patch of facets, in the plane nearest to their area; a twisted one square to the sum of their areas,
        which does not ask along which diagonal it was cut."""
        normal, middle = self.moments(members).plane()
        off = self.off_mm(members, normal, middle)
        if off > TOLERANCES.same_plane_mm:
            rows = np.asarray(members)
            total = (self.net.normals[rows] * self.net.areas[rows][:, None]).sum(axis=0)
            nx, ny, nz = (total / np.linalg.norm(total)).tolist()
            normal = (nx, ny, nz)
            off = self.off_mm(members, normal, middle)
        x, y, z = (float(m + o) for m, o in zip(middle, self.origin, strict=True))
        return Patch(tuple(sorted(members)), normal, (x, y, z), off, fold_deg)


def _grown(tables: Tables, members: Sequence[int], beside: dict[int, list[int]]) -> list[list[int]]:
    """Facets that one plane does not fit, grown from the largest: each region from its first facet's own plane, then
    from the plane fitted to what that found."""
    free = set(members)
    areas = tables.net.areas
    found = []
    for seed in sorted(members, key=lambda i: (-areas[i], i)):
        if seed not in free:
            continue
        region = _reached(tables, seed, beside, free, *tables.own_plane(seed))
        if len(region) > 1:
            region = _reached(tables, seed, beside, free, *tables.moments(region).plane())
        free -= set(region)
        found.append(region)
    return found


def _reached(
    tables: Tables, seed: int, beside: dict[int, list[int]], free: set[int], normal: Point3, middle: Point3
) -> list[int]:
    members = [seed]
    taken = {seed}
    for i in members:
        for j in beside.get(i, ()):
            if j in free and j not in taken and tables.fits(j, normal, middle):
                taken.add(j)
                members.append(j)
    return members


@record
class _Region:
    """Facets on their way to a patch: their moments, plane, and the planes and widths of what was joined in them."""

    facets: tuple[int, ...]
    moments: Moments
    normal: Point3
    middle: Point3
    members: tuple[tuple[Point3, float], ...]
    fold_deg: float = 0.0


class _Joiner:
    """Joins neighbouring regions, the flattest fold first."""

    def __init__(
        self, tables: Tables, sets: Sequence[list[int]], beside: tuple[Numbers, Numbers], fold_deg: float
    ) -> None:
        self._tables = tables
        self._fold_deg = fold_deg
        self._found: dict[int, _Region] = {number: self._region(members) for number, members in enumerate(sets)}
        self._around: dict[int, set[int]] = defaultdict(set)
        owner = np.full(len(tables.net.corners), -1, dtype=np.int64)
        for number, members in enumerate(sets):
            owner[members] = number
        pairs = np.stack([owner[beside[0]], owner[beside[1]]], axis=1)
        for a, b in np.unique(pairs[pairs[:, 0] != pairs[:, 1]], axis=0).tolist():
            self._around[a].add(b)
            self._around[b].add(a)

    def _region(self, members: Sequence[int]) -> _Region:
        moments = self._tables.moments(members)
        normal, middle = moments.plane()
        return _Region(tuple(members), moments, normal, middle, ((normal, _width(moments)),))

    def joined(self) -> Iterable[tuple[tuple[int, ...], float]]:
        """Facets of every region when no more can be joined, and the flattest fold straightened within it."""
        waiting = [(self._turned(a, b), a, b) for a in self._around for b in self._around[a] if a < b]
        heapq.heapify(waiting)
        fresh = len(self._found)
        while waiting:
            _, a, b = heapq.heappop(waiting)
            if a not in self._found or b not in self._found:
                continue
            one = self._as_one(self._found[a], self._found[b])
            if one is None:
                continue
            self._found[fresh] = one
            around = (self._around.pop(a) | self._around.pop(b)) - {a, b}
            del self._found[a], self._found[b]
            for other in around:
                self._around[other] = (self._around[other] - {a, b}) | {fresh}
            self._around[fresh] = around
            for other in around:
                heapq.heappush(waiting, (self._turned(fresh, other), other, fresh))
            fresh += 1
        return [(region.facets, region.fold_deg) for region in self._found.values()]

    def _turned(self, a: int, b: int) -> float:
        return _angle_deg(self._found[a].normal, self._found[b].normal)

    def _as_one(self, a: _Region, b: _Region) -> _Region | None:
        """Two regions as one, if a single plane fits them, or the fold between them is none that is built."""
        turned = _angle_deg(a.normal, b.normal)
        if turned > max(self._fold_deg, _slack_deg(min(a.members[0][1], b.members[0][1]))):
            return None
        moments = a.moments + b.moments
        normal, middle = moments.plane()
        members = (*a.members, *b.members)
        facets = (*a.facets, *b.facets)
        off = self._tables.off_mm(facets, normal, middle)
        if off <= TOLERANCES.one_plane_mm:
            near = all(_angle_deg(normal, own) <= _slack_deg(width) for own, width in members)
        else:
            near = False
        fold = 0.0
        if not near:
            if any(_angle_deg(normal, own) > max(self._fold_deg, 0.0) for own, width in members if width >= _CRUMB_MM):
                return None
            fold = turned
        return _Region(facets, moments, normal, middle, members, max(a.fold_deg, b.fold_deg, fold))


def _slack_deg(width_mm: float) -> float:
    """How far the plane of a narrow region may be turned by what its points are off."""
    if width_mm < _CRUMB_MM:
        return 90.0
    return max(TOLERANCES.same_plane_deg, degrees(atan(_JITTER_MM / width_mm)))


def _angle_deg(one: Point3, other: Point3) -> float:
    across = abs(dot3(one, other))
    if across < cos(radians(1.0)):
        return degrees(np.arccos(across).item())
    # the cosine says nothing of small angles
    x, y, z = np.cross(one, other).tolist()
    return degrees(float(np.sqrt(x * x + y * y + z * z)))


def _width(moments: Moments) -> float:
    """Least width in its plane of a region, of a strip its width."""
    middle = moments.first / moments.area
    values = np.linalg.eigvalsh(moments.second / moments.area - np.outer(middle, middle))
    return float(np.sqrt(12.0 * max(float(values[1]), 0.0)))


def widths(net: Net, patches: Sequence[Patch]) -> list[float]:
    """Least width of patches in their planes [mm]: of a strip its width, of a triangle four fifths of its height."""
    tables = Tables(net)
    return [_width(tables.moments(patch.facets)) for patch in patches]
