"""The geometry that bounds are worked out from: areas, sides and extents of the planes, and the roof's edges, read off
the corners of the shape and not off any figure that a stage worked out. Metres and square metres."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import dist, hypot

from takeoff.basics.polygons import rings_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Takeoff
from takeoff.model.roof import Covering, Roof, RoofEdge, RoofPlane

_IN_LINE_MITRES = 20.0  # two moved sides nearly in line step to each other instead of meeting further off than this
_LEAST_SINE = 1e-9
SAME_PLACE_MM = 3.0  # ends nearer than anything that is built are one place
_SIDE_MM = 0.5  # shorter sides are crumbs


@record
class PlaneGround:
    """A sheeted plane by its corners. `across_m`, `rise_m`: extents in u and v; `sides_m`: each side as (|du|, |dv|);
    `corners`: of each corner how much area two bands of 1 m gain or lose there, and its shorter side; `shift_m`: how
    far the corners were measured off the drawing on site."""

    plane: RoofPlane
    area_m2: float
    around_m: float
    across_m: float
    rise_m: float
    sides_m: tuple[Point2, ...]
    corners: tuple[Point2, ...]
    edges: tuple[RoofEdge, ...]
    shift_m: float = 0.0

    @property
    def id(self) -> str:
        """Id of the plane."""
        return self.plane.id

    @property
    def across_total_m(self) -> float:
        """Sum of what the sides run across, there and back."""
        return sum(du for du, _ in self.sides_m)

    @property
    def rise_total_m(self) -> float:
        """Sum of what the sides rise and fall."""
        return sum(dv for _, dv in self.sides_m)

    def corner_m2(self, band_m: float) -> float:
        """Most area that a band along every side gains or loses at the corners: a band is no longer than its side."""
        return sum(min(factor * band_m**2, 2.0 * band_m * side) for factor, side in self.corners)

    def metres_of(self, *kinds: EdgeKind) -> float:
        """Length of its edges of these kinds."""
        return sum(edge_m(edge) for edge in self.edges if edge.kind in kinds)


def edge_m(edge: RoofEdge) -> float:
    """Length of an edge between its ends [m]."""
    return dist(edge.a_mm, edge.b_mm) / 1000.0


def sheeted_planes(takeoff: Takeoff) -> tuple[PlaneGround, ...]:
    """Every plane that is to be sheeted."""
    shifts = {}
    for fit in takeoff.site.fits if takeoff.site else ():
        pairs = zip(fit.drawn_uv, fit.built_uv, strict=True)
        shifts[fit.plane] = max(dist(drawn, built) for drawn, built in pairs) / 1000.0
    return tuple(
        ground_of(roof, plane, shifts.get(plane.id, 0.0))
        for roof in takeoff.roofs
        for plane in roof.planes
        if plane.covering is Covering.SHEETS
    )


def ground_of(roof: Roof, plane: RoofPlane, shift_m: float = 0.0) -> PlaneGround:
    """A plane by its corners."""
    sides = tuple(
        (abs(b[0] - a[0]) / 1000.0, abs(b[1] - a[1]) / 1000.0) for ring in plane.rings_uv for a, b in _sides(ring)
    )
    us = [u for u, _ in plane.rings_uv[0]]
    vs = [v for _, v in plane.rings_uv[0]]
    return PlaneGround(
        plane=plane,
        area_m2=rings_area(plane.rings_uv) / 1e6,
        around_m=sum(hypot(*side) for side in sides),
        across_m=(max(us) - min(us)) / 1000.0,
        rise_m=(max(vs) - min(vs)) / 1000.0,
        sides_m=sides,
        corners=tuple(corner for ring in plane.rings_uv for corner in _corners(ring)),
        edges=roof.edges_of(plane.id),
        shift_m=shift_m,
    )


def _sides(ring: Sequence[Point2]) -> Iterator[tuple[Point2, Point2]]:
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def _corners(ring: Sequence[Point2]) -> Iterator[Point2]:
    """Of each corner (1 + |cos|) / |sin| of its turn, what two bands of 1 wide share or miss there, and its shorter
    side [m]."""
    points = [b for a, b in _sides(ring) if dist(a, b) > _SIDE_MM]
    for i, b in enumerate(points):
        a, c = points[i - 1], points[(i + 1) % len(points)]
        p, q = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
        size = hypot(*p) * hypot(*q)
        if size > 0.0:
            sine, cosine = abs(p[0] * q[1] - p[1] * q[0]) / size, (p[0] * q[0] + p[1] * q[1]) / size
            factor = (1.0 + abs(cosine)) / max(sine, _LEAST_SINE)
            shorter = min(hypot(*p), hypot(*q)) / 1000.0
            yield (min(factor, _IN_LINE_MITRES) if cosine > 0.0 else factor), shorter


def sheeted_edges(takeoff: Takeoff) -> tuple[RoofEdge, ...]:
    """The edges that bound a sheeted plane, one that several roofs share once."""
    sheeted = {plane.id for roof in takeoff.roofs for plane in roof.planes if plane.covering is Covering.SHEETS}
    found = {edge.id: edge for roof in takeoff.roofs for edge in roof.edges if sheeted & set(edge.faces)}
    return tuple(found.values())


def metres(edges: Iterable[RoofEdge]) -> float:
    """Length of edges together [m]."""
    return sum(edge_m(edge) for edge in edges)


def area_m2(planes: Iterable[PlaneGround]) -> float:
    """Area of planes together [m2]."""
    return sum(plane.area_m2 for plane in planes)


@record
class Place:
    """A place where edges end: those that end there as their low end, and as their high end."""

    low: tuple[RoofEdge, ...]
    high: tuple[RoofEdge, ...]

    def ends(self, *kinds: EdgeKind) -> list[RoofEdge]:
        """Edges of these kinds that end here, either end."""
        return [edge for edge in (*self.low, *self.high) if edge.kind in kinds]


def places_of(edges: Sequence[RoofEdge], same_mm: float = SAME_PLACE_MM) -> tuple[Place, ...]:
    """Where edges end, ends nearer than `same_mm` [mm] as one place (nearer than anything built)."""
    points: list[Point3] = []
    low: list[list[RoofEdge]] = []
    high: list[list[RoofEdge]] = []
    numbers: dict[Point3, int] = {}
    cells: dict[tuple[int, int, int], list[int]] = {}
    for edge in edges:
        for at, ends in ((edge.a_mm, low), (edge.b_mm, high)):
            number = numbers.get(at)
            if number is None:
                x, y, z = (int(part // same_mm) for part in at)
                near = (n for cell in _around(x, y, z) for n in cells.get(cell, ()))
                number = next((n for n in near if dist(points[n], at) <= same_mm), None)
            if number is None:
                number = numbers[at] = len(points)
                points.append(at)
                low.append([])
                high.append([])
                cells.setdefault((x, y, z), []).append(number)
            ends[number].append(edge)
    return tuple(Place(tuple(feet), tuple(heads)) for feet, heads in zip(low, high, strict=True))


def _around(x: int, y: int, z: int) -> Iterator[tuple[int, int, int]]:
    for dx in (-1, 0, 1):
        for dy in (-1, 0, 1):
            for dz in (-1, 0, 1):
                yield x + dx, y + dy, z + dz
