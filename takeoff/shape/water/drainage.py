"""Eaves -> gutter runs chained round corners, each with the plan area that truly drains to it.

Seen from outside, a run goes left to right: round a house that is counter-clockwise on the plan, round a courtyard
clockwise. A run turns a corner where two eaves share a node; a gable, a wall or a step in height ends it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import acos, degrees

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point3, add3, cross2, distance2, dot3, scale3, sub3
from takeoff.model.drainage import GutterCorner, GutterLeg, GutterRun, Inflow, Received, ValleyFoot
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Roof, RoofEdge
from takeoff.shape.water.fall_lines import Curtain, FallLines, Landing
from takeoff.shape.water.falling import fall_on
from takeoff.shape.water.wall_water import NO_WALLS, WallRule, walls_above


@dataclass(slots=True)
class _Piece:
    """A leg in the making: a stretch of one eave and the water that landed on it."""

    edge: RoofEdge
    start: str
    end: str
    a: Point3
    b: Point3
    internal: bool
    outline_edges: tuple[int, ...]
    water: list[Landing] = field(default_factory=list)

    def along(self, point: Point3) -> float:
        """Plan distance of a point from the left end, along the leg [mm]."""
        length = distance2(self.a[:2], self.b[:2])
        across = (self.b[0] - self.a[0]) * (point[0] - self.a[0]) + (self.b[1] - self.a[1]) * (point[1] - self.a[1])
        return across / length

    @property
    def length(self) -> float:
        return distance2(self.a[:2], self.b[:2])


def trace_all_gutters(
    roofs: Sequence[Roof],
    bare: Mapping[str, Sequence[int]] | None = None,
    members: Sequence[Roof] = (),
    walls: WallRule = NO_WALLS,
) -> tuple[GutterRun, ...]:
    """Gutter runs of all roofs, numbered SP1 on, in the order in which their eaves were typed.

    `bare`: by name of the roof the 1-based outline edges that carry no spouting. Water off those falls on the roof
    below, if any, else it is in no run. `members`: the roofs as typed where some of `roofs` are several joined
    (joint.py). `walls`: how much of walls above the roof counts.
    Internal gutters are runs of their own. Catchments follow the fall lines of the planes (fall_lines.py), so the runs'
    catchments add up to the plan area of the roofs, less level planes and less what runs off where there is no gutter.
    Lengths mm, areas mm2.
    """
    typed = {roof.name: roof for roof in members or roofs}
    pieces = [_pieces(roof, bare or {}, typed) for roof in roofs]
    lines = [
        FallLines(roof, frozenset(piece.edge.id for piece in own)) for roof, own in zip(roofs, pieces, strict=True)
    ]
    for number, landing in (*_landings(lines), *_off_walls(lines, walls)):
        for piece in pieces[number]:
            if piece.edge.id == landing.edge:
                _give(piece, landing)
    runs: list[GutterRun] = []
    for roof, own in zip(roofs, pieces, strict=True):
        for chain, ring in _chains(own):
            runs.append(_run(f"SP{1 + len(runs)}", roof, chain, ring))
    return tuple(runs)


def _landings(lines: Sequence[FallLines]) -> Iterator[tuple[int, Landing]]:
    """All rain where it is caught in a gutter, with the number of the roof that it is caught on."""
    numbers = {id(one): number for number, one in enumerate(lines)}
    work = [(one, replace(landing, source=one.roof.name)) for one in lines for landing in one.landings()]
    while work:
        one, landing = work.pop()
        if landing.edge in one.caught:
            yield numbers[id(one)], landing if landing.onto else replace(landing, source="")
            continue
        origin = (*one.roof.origin_mm[:2], 0.0)
        a, b = (add3(point, origin) for point in (landing.curtain.a, landing.curtain.b))
        for owner, plane, edge, curtain in fall_on(replace(landing.curtain, via="", a=a, b=b), lines):
            for further in owner.follow([(edge, curtain)]):
                work.append((owner, replace(further, onto=plane.id, source=landing.source)))


def _off_walls(lines: Sequence[FallLines], rule: WallRule) -> Iterator[tuple[int, Landing]]:
    """What runs off walls above the roofs, where it is caught in a gutter."""
    numbers = {id(one): number for number, one in enumerate(lines)}
    roofs = [one.roof for one in lines]
    for one in lines:
        for wall in walls_above(one.roof, rule, roofs):
            for owner, _, edge, curtain in fall_on(wall, lines):
                for landing in owner.follow([(edge, curtain)]):
                    if landing.edge in owner.caught:
                        yield numbers[id(owner)], landing


def _pieces(roof: Roof, none_on: Mapping[str, Sequence[int]], typed: Mapping[str, Roof]) -> list[_Piece]:
    """All stretches that carry a gutter, in the order of the roof's edges, each left to right seen from outside."""
    found: list[_Piece] = []
    planes = {plane.id: plane for plane in roof.planes}
    for edge in roof.edges:
        internal = edge.kind is EdgeKind.INTERNAL_GUTTER
        plane = next((planes[face] for face in edge.faces if face in planes), None)
        if plane is None or (edge.kind is not EdgeKind.EAVE and not internal):
            continue
        ends = (edge.low, edge.high, edge.a_mm, edge.b_mm)
        if dot3(sub3(edge.b_mm, edge.a_mm), plane.frame.u) < 0.0:
            ends = (edge.high, edge.low, edge.b_mm, edge.a_mm)
        whole = _Piece(edge, *ends, internal, edge.outline_edges)
        bare = frozenset(none_on.get(edge.roof, ())) & set(edge.outline_edges)
        if not bare:
            found.append(whole)
        elif bare != set(edge.outline_edges):
            found += _parts(typed.get(edge.roof, roof), whole, bare)
    return found


def _parts(roof: Roof, whole: _Piece, bare: frozenset[int]) -> list[_Piece]:
    """What is left of an eave that stands on several outline edges of which some carry no spouting."""
    spans: list[tuple[float, float, int]] = []
    for number in whole.outline_edges:
        low, high = sorted(whole.along(point) for point in _outline_edge(roof, number))
        spans.append((low, high, number))
    parts: list[_Piece] = []
    for low, high, number in sorted(spans):
        if number in bare:
            continue
        numbers: tuple[int, ...] = (number,)
        if parts and abs(whole.along(parts[-1].b) - low) <= TOLERANCES.same_point_mm:
            last = parts.pop()
            low, numbers = whole.along(last.a), (*last.outline_edges, number)
        parts.append(_cut(whole, low, high, numbers))
    return parts


def _cut(whole: _Piece, low: float, high: float, numbers: tuple[int, ...]) -> _Piece:
    ray = sub3(whole.b, whole.a)
    t0, t1 = max(low / whole.length, 0.0), min(high / whole.length, 1.0)
    at_start = t0 * whole.length <= TOLERANCES.same_point_mm
    at_end = (1.0 - t1) * whole.length <= TOLERANCES.same_point_mm
    return _Piece(
        edge=whole.edge,
        start=whole.start if at_start else f"{whole.edge.id} at {low:.1f}",
        end=whole.end if at_end else f"{whole.edge.id} at {high:.1f}",
        a=whole.a if at_start else add3(whole.a, scale3(ray, t0)),
        b=whole.b if at_end else add3(whole.a, scale3(ray, t1)),
        internal=whole.internal,
        outline_edges=tuple(sorted(numbers)),
    )


def _outline_edge(roof: Roof, number: int) -> tuple[Point3, Point3]:
    """Both ends of a 1-based outline edge in plan. Raises KeyError for an edge that the outline does not have."""
    count = 0
    for k, ring in enumerate(roof.outline_mm):
        numbers = roof.edge_numbers[k] if roof.edge_numbers else tuple(range(count + 1, count + len(ring) + 1))
        count += len(ring)
        for i, (ax, ay) in enumerate(ring):
            if numbers[i] == number:
                bx, by = ring[(i + 1) % len(ring)]
                return (ax, ay, 0.0), (bx, by, 0.0)
    raise KeyError(number)


def _give(piece: _Piece, landing: Landing) -> None:
    """Add to a leg the part of a landing that lies on it."""
    curtain = landing.curtain
    sa, sb = piece.along(curtain.a), piece.along(curtain.b)
    if abs(sb - sa) <= TOLERANCES.same_length_mm:
        if -TOLERANCES.same_point_mm <= (sa + sb) / 2.0 <= piece.length + TOLERANCES.same_point_mm:
            piece.water.append(landing)
        return
    low, high = max(min(sa, sb), 0.0), min(max(sa, sb), piece.length)
    if high - low > TOLERANCES.same_length_mm:
        t0, t1 = sorted(((low - sa) / (sb - sa), (high - sa) / (sb - sa)))
        whole = t0 < 1e-9 and t1 > 1.0 - 1e-9
        piece.water.append(landing if whole else replace(landing, curtain=curtain.part(t0, t1)))


def _chains(pieces: Sequence[_Piece]) -> list[tuple[list[_Piece], bool]]:
    """Pieces joined end to start at shared nodes, each chain with whether it is a ring."""
    found: list[tuple[list[_Piece], bool]] = []
    for internal in (False, True):
        kind = [piece for piece in pieces if piece.internal is internal]
        starts: dict[str, list[_Piece]] = defaultdict(list)
        for piece in kind:
            starts[piece.start].append(piece)
        ends = {piece.end for piece in kind}
        used: set[int] = set()
        # Open runs must be picked up at their left end, so they go first; what is left over afterwards is rings.
        for first in [*(piece for piece in kind if piece.start not in ends), *kind]:
            if id(first) in used:
                continue
            chain = [first]
            used.add(id(first))
            while following := next((p for p in starts[chain[-1].end] if id(p) not in used), None):
                chain.append(following)
                used.add(id(following))
            found.append((chain, len(chain) > 2 and chain[-1].end == first.start))
    order = {id(piece): i for i, piece in enumerate(pieces)}
    return sorted(found, key=lambda chain: (chain[0][0].internal, min(order[id(piece)] for piece in chain[0])))


def _run(name: str, roof: Roof, chain: list[_Piece], ring: bool) -> GutterRun:
    if ring:  # a ring starts at a corner, so that no straight stretch is broken at its start
        turns = (i for i, piece in enumerate(chain) if _corner(chain[i - 1], piece))
        first = next(turns, 0)
        chain = [*chain[first:], *chain[:first]]
    legs = tuple(_leg(piece) for piece in chain)
    corners = []
    for before, after in zip(chain, [*chain[1:], chain[0]], strict=True):
        if (after is not chain[0] or ring) and (corner := _corner(before, after)):
            corners.append(corner)
    water = [landing.curtain for piece in chain for landing in piece.water if not landing.curtain.wall]
    return GutterRun(
        id=name,
        roof=roof.name,
        legs=legs,
        corners=tuple(corners),
        ring=ring,
        plan_catchment_mm2=sum(leg.plan_catchment_mm2 for leg in legs),
        pitch_deg=max((curtain.pitch_deg for curtain in water), default=0.0),
        internal=chain[0].internal,
        valleys=_valleys(chain),
        received=_received(chain),
    )


def _leg(piece: _Piece) -> GutterLeg:
    inflows, off_walls = (
        sorted(
            (_inflow(piece, landing.curtain) for landing in piece.water if landing.curtain.wall is wall),
            key=lambda flow: (flow.from_mm, flow.to_mm, flow.start_mm2, flow.end_mm2),
        )
        for wall in (False, True)
    )
    return GutterLeg(
        edge=piece.edge.id,
        outline_edges=piece.outline_edges,
        a_mm=piece.a,
        b_mm=piece.b,
        length_mm=piece.length,
        plan_catchment_mm2=sum(flow.area_mm2 for flow in inflows),
        inflows=tuple(inflows),
        off_walls=tuple(off_walls),
    )


def _inflow(piece: _Piece, curtain: Curtain) -> Inflow:
    sa = min(max(piece.along(curtain.a), 0.0), piece.length)
    sb = min(max(piece.along(curtain.b), 0.0), piece.length)
    fell = (curtain.plane, curtain.rain_deg)
    if sa <= sb:
        return Inflow(sa, sb, curtain.at_a_mm2, curtain.at_b_mm2, *fell)
    return Inflow(sb, sa, curtain.at_b_mm2, curtain.at_a_mm2, *fell)


def _corner(before: _Piece, after: _Piece) -> GutterCorner | None:
    """The corner from one leg into the next: left turns are external, right turns internal. None when straight."""
    one = (before.b[0] - before.a[0], before.b[1] - before.a[1])
    two = (after.b[0] - after.a[0], after.b[1] - after.a[1])
    cosine = (one[0] * two[0] + one[1] * two[1]) / (before.length * after.length)
    turn = degrees(acos(min(max(cosine, -1.0), 1.0)))
    if turn < TOLERANCES.straight_deg:
        return None
    return GutterCorner("external" if cross2(one, two) > 0.0 else "internal", 180.0 - turn, before.b)


def _valleys(chain: list[_Piece]) -> tuple[ValleyFoot, ...]:
    """Valleys that empty into the run; the water of one is shared by the two legs that meet at its foot."""
    feet: dict[str, ValleyFoot] = {}
    start = 0.0
    for piece in chain:
        for landing in piece.water:
            edge, curtain = landing.curtain.via, landing.curtain
            if edge and not curtain.wall:
                seen = feet.get(edge)
                brought = curtain.area_mm2 + (seen.plan_catchment_mm2 if seen else 0.0)
                along = seen.along_mm if seen else start + piece.along(curtain.a)
                feet[edge] = ValleyFoot(edge, curtain.a, along, brought)
        start += piece.length
    return tuple(sorted(feet.values(), key=lambda foot: (foot.along_mm, foot.edge)))


def _received(chain: list[_Piece]) -> tuple[Received, ...]:
    """Water off eaves of roofs above, in the order in which it comes in along the run."""
    found: list[Received] = []
    start = 0.0
    for piece in chain:
        for landing in piece.water:
            if landing.onto and not landing.curtain.wall:
                flow = _inflow(piece, landing.curtain)
                along = start + (flow.from_mm + flow.to_mm) / 2.0
                found.append(Received(landing.source, "", landing.onto, along, flow.area_mm2, landing.curtain.via))
        start += piece.length
    return tuple(sorted(found, key=lambda water: (water.along_mm, water.plane, water.via)))
