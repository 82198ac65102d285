"""The closed rings of a drawing that can be a roof's outline, in mm, numbered layer by layer in the file's order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import shapely

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.polygons import inside_rings, signed_area
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2, distance2
from takeoff.model.drawings import Facts, RawDrawing
from takeoff.model.faces import Unit
from takeoff.shape.imported.drawn.join_lines import Chain, extent, faceted, join_lines
from takeoff.shape.imported.drawn.ring_units import UnitFound, find_unit

LEAST_SIDE_MM = MODEL_LIMITS.ring_least_mm
MOST_RINGS = 1_000  # large enough for a roof, in one drawing
_SMALL_SHARE = 0.04  # of the largest ring: what is narrower is furniture where the unit is not known
_CELL = 20.0  # side of a cell of sizes, in distances within which points are one
_PLACES = 6  # of a mm: what turning metres and inches into mm leaves behind


@record
class DrawnRing:
    """A closed ring. `number` counts the rings of its layer from 1; `inside` is the number of the ring of its layer
    that it lies straight in, 0 for none; `parts` how many corners were joined with the one before them, `arcs` how many
    arcs were cut into sides, `gap_mm` the widest gap that was closed."""

    layer: str
    number: int
    points_mm: Ring2
    length_mm: float
    width_mm: float
    name: str = ""
    inside: int = 0
    joined: int = 0
    arcs: int = 0
    gap_mm: float = 0.0
    facts: Facts = ()
    edge_facts: tuple[tuple[int, Facts], ...] = ()
    also_on: tuple[str, ...] = ()

    @property
    def area_mm2(self) -> float:
        """What it encloses."""
        return abs(signed_area(self.points_mm))


@record
class OpenChain:
    """Lines that make no ring: the distance between their ends [mm], or where three and more of them meet. `points` are
    in mm, `ends` and `fork` in the figures of the file."""

    layer: str
    lines: int
    length_mm: float
    gap_mm: float
    ends: tuple[Point2, Point2]
    fork: Point2 | None
    points_mm: Ring2


@record
class DrawnRings:
    """What is drawn, in mm where the unit is known. `long` and `narrow`: the largest shape's box in the file's unit."""

    came_from: str
    unit: UnitFound
    long: float
    narrow: float
    rings: tuple[DrawnRing, ...]
    open_chains: tuple[OpenChain, ...]
    too_many: bool = False


def layer_names(raw: RawDrawing) -> tuple[str, ...]:
    """Layers that hold lines, in the order of the file; letters large and small are one."""
    found: dict[str, str] = {}
    for path in raw.paths:
        found.setdefault(path.layer.casefold(), path.layer)
    return tuple(found.values())


def rings_of(
    raw: RawDrawing, layers: Sequence[str] = (), said: Unit | None = None, least_side_mm: float = LEAST_SIDE_MM
) -> DrawnRings:
    """The rings on some layers of a drawing, or on all, that are no narrower than `least_side_mm`. `said`: the unit
    that the job gives.

    Ends of lines are joined first where they are equal but for crumbs; with the unit known from what that gives, within
    the weld distance for imported shapes.
    """
    wanted = {layer.casefold() for layer in layers}
    paths = [path for path in raw.paths if not wanted or path.layer.casefold() in wanted]
    chains = join_lines(paths, 0.0)
    long, narrow = _largest(chains)
    unit = find_unit(long, narrow, said, raw.unit, raw.unit_words)
    chains = join_lines(paths, TOLERANCES.weld_mm / unit.mm) if unit.unit is not None else chains
    least_mm = least_side_mm if unit.unit is not None else _SMALL_SHARE * long
    found: list[DrawnRing] = []
    counted: dict[str, int] = {}
    for chain in chains:
        if not chain.closed or len(chain.points) < 2:
            continue
        # numbers stay what they are whatever is too small to be looked at
        key = chain.layer.casefold()
        counted[key] = counted.get(key, 0) + 1
        ring = _ring(chain, unit.mm)
        if ring.width_mm < least_mm or len(ring.points_mm) < 3:
            continue
        found.append(_numbered(ring, counted[key]))
        if len(found) > MOST_RINGS:
            return DrawnRings(raw.came_from, unit, long, narrow, (), (), too_many=True)
    open_chains = tuple(_open(chain, unit.mm) for chain in chains if not chain.closed)
    return DrawnRings(raw.came_from, unit, long, narrow, tuple(_nested(_equal_once(found))), open_chains)


def _largest(chains: Sequence[Chain]) -> tuple[float, float]:
    """The box of the ring that covers most, else of the longest chain."""
    closed = [extent(chain) for chain in chains if chain.closed and len(chain.points) > 1]
    if closed:
        return max(closed, key=lambda size: size[0] * size[1])
    return max((extent(chain) for chain in chains), default=(0.0, 0.0))


def _ring(chain: Chain, mm: float) -> DrawnRing:
    """A closed chain in mm, arcs cut into sides, corners on each other made one; keys of sides follow their sides."""
    said = dict(chain.path.edge_facts)
    count = len(chain.points)
    sides: list[tuple[Point2, Facts]] = []
    arcs = 0
    for i, point in enumerate(chain.points):
        bulge = chain.bulges[i] if i < len(chain.bulges) else 0.0
        on_arc = faceted(point, chain.points[(i + 1) % count], bulge, TOLERANCES.arc_off_mm / mm)
        arcs += bool(on_arc)
        sides += [(corner, said.get(i + 1, ())) for corner in (point, *on_arc)]
    kept: list[tuple[Point2, Facts]] = []
    for (x, y), facts in sides:
        corner = (round(x * mm, _PLACES), round(y * mm, _PLACES))
        if kept and distance2(kept[-1][0], corner) <= TOLERANCES.same_point_mm:
            kept[-1] = (kept[-1][0], facts)
        else:
            kept.append((corner, facts))
    while len(kept) > 1 and distance2(kept[-1][0], kept[0][0]) <= TOLERANCES.same_point_mm:
        kept.pop()
    # sides of holes are numbered on from those of the ring: they move up with what was joined here
    rest = [(number - len(sides) + len(kept), facts) for number, facts in said.items() if number > count]
    points = tuple(point for point, _ in kept)
    size = [max(point[k] for point in points) - min(point[k] for point in points) for k in (0, 1)]
    return DrawnRing(
        layer=chain.layer,
        number=0,
        points_mm=points,
        length_mm=max(size),
        width_mm=min(size),
        name=chain.path.name,
        joined=len(sides) - len(kept),
        arcs=arcs,
        gap_mm=chain.gap * mm if chain.lines > 1 or chain.gap else 0.0,
        facts=chain.path.facts,
        edge_facts=(*((i, facts) for i, (_, facts) in enumerate(kept, start=1) if facts), *rest),
    )


def _numbered(ring: DrawnRing, number: int, inside: int = 0, also_on: tuple[str, ...] = ()) -> DrawnRing:
    return replace(ring, number=number, inside=inside, also_on=also_on)


def _equal_once(rings: Sequence[DrawnRing]) -> list[DrawnRing]:
    """Rings without those that are another one again, on its layer or on another, whatever corner they begin with."""
    found: list[DrawnRing] = []
    by_size: dict[tuple[int, int], list[int]] = {}
    for ring in rings:
        cells = _size_cells(ring)
        same = next((k for cell in cells for k in by_size.get(cell, ()) if _equal(found[k], ring)), None)
        if same is None:
            for cell in cells:
                by_size.setdefault(cell, []).append(len(found))
            found.append(ring)
        elif ring.layer.casefold() != found[same].layer.casefold():
            first = found[same]
            found[same] = _numbered(first, first.number, 0, tuple(dict.fromkeys((*first.also_on, ring.layer))))
    return found


def _size_cells(ring: DrawnRing) -> list[tuple[int, int]]:
    """The cells of size that a ring lies in, those half a millimetre off on either side with it: two rings that are one
    have a cell in common."""
    off = TOLERANCES.same_point_mm
    long, wide = (
        {round((size + by) / (_CELL * off)) for by in (-off, off)} for size in (ring.length_mm, ring.width_mm)
    )
    return sorted(product(long, wide))


def _equal(one: DrawnRing, other: DrawnRing) -> bool:
    """Whether each corner of either has one of the other near it; in which order they were rounded to stand does not
    matter."""
    near = TOLERANCES.same_point_mm
    if len(one.points_mm) != len(other.points_mm):
        return False
    apart = shapely.hausdorff_distance(shapely.MultiPoint(one.points_mm), shapely.MultiPoint(other.points_mm))
    return bool(apart <= near) and abs(one.area_mm2 - other.area_mm2) <= near * (one.length_mm + other.length_mm)


def _nested(rings: Sequence[DrawnRing]) -> list[DrawnRing]:
    """Rings with the number of the smallest ring of their layer that they lie in."""
    found: dict[tuple[str, int], DrawnRing] = {}
    by_layer: dict[str, list[DrawnRing]] = {}
    for ring in sorted(rings, key=lambda ring: -ring.area_mm2):
        larger = by_layer.setdefault(ring.layer.casefold(), [])
        holder = next((other for other in reversed(larger) if lies_in(ring.points_mm, other.points_mm)), None)
        larger.append(ring)
        key = (ring.layer.casefold(), ring.number)
        found[key] = _numbered(ring, ring.number, holder.number if holder else 0, ring.also_on)
    return [found[ring.layer.casefold(), ring.number] for ring in rings]


def lies_in(ring: Ring2, around: Ring2) -> bool:
    """Whether a ring lies in another: its box does, and the middles of its sides."""
    near = TOLERANCES.same_point_mm
    for k in (0, 1):
        own, others = [point[k] for point in ring], [point[k] for point in around]
        if min(own) < min(others) - near or max(own) > max(others) + near:
            return False
    middles = [((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
    held = sum(inside_rings(point, (around,)) for point in middles)
    return held * 2 > len(middles)


def _open(chain: Chain, mm: float) -> OpenChain:
    points = tuple((x * mm, y * mm) for x, y in chain.points)
    ends = (chain.points[0], chain.points[-1])
    return OpenChain(chain.layer, chain.lines, extent(chain)[0] * mm, chain.gap * mm, ends, chain.fork, points)
