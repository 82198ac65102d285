"""Faces in space -> Roof: coplanar neighbours become planes, what meets becomes named edges, all get ids and frames.

Both ways in (an outline solved, a mesh imported) end here, so a hip is a hip whatever it came from.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import atan, degrees

from takeoff.basics.errors import ShapeError
from takeoff.basics.polygons import rings_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point3, Ring2, Ring3, length3, sub3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Frame, Node, Roof, RoofEdge, RoofPlane, UprightFace
from takeoff.shape.faces.closure import place
from takeoff.shape.faces.edge_runs import Run, find_runs, plan_length
from takeoff.shape.faces.face_groups import Net, Region, border_loops, index_nodes, merge_coplanar
from takeoff.shape.faces.frames import UP, face_frame, plan_bearing_deg, ring_area3, settle
from takeoff.shape.faces.name_edges import edge_slope, fall_of
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Numbering, Plan

_KIND_ORDER = {kind: place for place, kind in enumerate(EdgeKind)}
_LAST = 1_000_000_000


@record
class _Shape:
    """Everything found before ids are given."""

    net: Net
    faces: Sequence[Face]
    regions: Sequence[Region]
    loops: Sequence[tuple[tuple[int, ...], ...]]
    runs: Sequence[Run]

    def seed(self, region: int) -> Face:
        return self.faces[self.regions[region].faces[0]]

    def numbers(self, region: int) -> tuple[int, ...]:
        """Outline edges that a region's faces rise from."""
        return tuple(sorted({n for i in self.regions[region].faces for n in self.faces[i].outline_edges}))

    def lowest(self, region: int) -> float:
        return min(self.net.nodes[n][2] for loop in self.loops[region] for n in loop)


@record
class _Framed:
    """A region in its own axes, and its area in plan (of an upright one: none that means anything)."""

    frame: Frame
    rings_uv: tuple[Ring2, ...]
    plan_area_mm2: float


@record
class _Placed:
    """A run and the outline edges it lies on."""

    run: Run
    outline: tuple[int, ...]


def assemble(
    faces: Sequence[Face],
    plan: Plan,
    north_deg: float,
    numbering: Numbering | None = None,
    flat_mm: float = 0.01,
    flat_deg: float = 0.1,
    straight_mm: float = 0.01,
    put_upright: bool = False,
) -> Roof:
    """Put plane faces together to a roof with named planes, edges and nodes.

    `faces`: see Face; neighbours share nodes exactly. `north_deg`: bearing of plan up, clockwise from north.
    `flat_mm`, `flat_deg`: within which neighbours are one plane; `straight_mm`: within which segments are one edge.
    `put_upright`: corners that lie off their plane are put straight up or down onto it, so that a plane's area and its
    area in plan are those of one shape.
    Each side of a plane's rings is one RoofEdge. Closure is not checked here (see closure_faults). Raises ShapeError
    where borders do not close.
    """
    numbering = numbering or Numbering()
    shape = _find_shape(faces, plan.name, flat_mm, flat_deg, straight_mm)
    order = _region_order(shape)
    ids = _region_ids(shape, order, numbering)
    pairs = zip(order, _rings(shape, order), strict=True)
    framed = {region: _in_frame(shape.seed(region), rings, put_upright) for region, rings in pairs}
    frames = {region: found.frame for region, found in framed.items()}
    rank = {region: place for place, region in enumerate(order)}
    sides = OutlineSides(plan)
    placed = [_placed(_directed(run, shape, frames, rank), shape, sides) for run in shape.runs]
    placed.sort(key=lambda p: _edge_key(p, shape, sides, rank))
    edges, nodes = _edges_and_nodes(placed, shape, plan.name, ids, rank, numbering)
    return Roof(
        name=plan.name,
        origin_mm=plan.origin_mm,
        outline_mm=plan.outline_mm,
        wall_line_mm=plan.wall_line_mm,
        edge_names=plan.edge_names,
        planes=tuple(
            _plane(shape, region, ids[region], plan.name, framed[region], north_deg)
            for region in order
            if shape.seed(region).upright is None
        ),
        uprights=tuple(
            _upright(shape, region, ids[region], plan.name, framed[region])
            for region in order
            if shape.seed(region).upright is not None
        ),
        edges=edges,
        nodes=nodes,
        cut_away_mm2=plan.cut_away_mm2,
        findings=plan.findings,
        edge_numbers=plan.edge_numbers,
    )


def _find_shape(faces: Sequence[Face], name: str, flat_mm: float, flat_deg: float, straight_mm: float) -> _Shape:
    net = index_nodes(faces)
    regions = merge_coplanar(faces, net, flat_mm, flat_deg)
    loops = []
    for region in regions:
        seed = faces[region.faces[0]]
        try:
            found = border_loops(region.border)
        except ValueError:
            where = place(net.nodes[region.border[0][0]])
            raise ShapeError(f"roof {name}: the border of the face at {where} does not close") from None
        areas = [ring_area3([net.nodes[n] for n in loop], seed.normal) for loop in found]
        outer = [i for i, area in enumerate(areas) if area > 0]
        if len(outer) != 1:
            where = place(net.nodes[region.border[0][0]]) if region.border else place(seed.rings_mm[0][0])
            raise ShapeError(f"roof {name}: the face at {where} is not one piece; its border makes {len(outer)} rings")
        loops.append((found[outer[0]], *(loop for i, loop in enumerate(found) if i != outer[0])))
    return _Shape(net, faces, regions, loops, find_runs(net.nodes, faces, regions, straight_mm))


def _region_order(shape: _Shape) -> list[int]:
    """Planes in the order their outline edges were typed, then by step, height and place; uprights after them."""

    def key(region: int) -> tuple[bool, int, int, float, Point3]:
        seed = shape.seed(region)
        first = min(shape.numbers(region), default=_LAST)
        step = min(shape.faces[i].step for i in shape.regions[region].faces)
        lowest = min(shape.net.nodes[n] for loop in shape.loops[region] for n in loop)
        return (seed.upright is not None, first, step, round(shape.lowest(region), 3), lowest)

    return sorted(range(len(shape.regions)), key=key)


def _region_ids(shape: _Shape, order: Sequence[int], numbering: Numbering) -> dict[int, str]:
    ids = {}
    planes, uprights = numbering.planes, numbering.uprights
    for region in order:
        if shape.seed(region).upright is None:
            planes += 1
            ids[region] = f"P{planes}"
        else:
            uprights += 1
            ids[region] = f"U{uprights}"
    return ids


def _rings(shape: _Shape, order: Sequence[int]) -> list[list[Ring3]]:
    """Loops of every region with only the points where one of its edges ends."""
    edge_of = {segment: number for number, run in enumerate(shape.runs) for segment in run.segments}

    def kept(loop: tuple[int, ...]) -> Ring3:
        found = []
        for i, node in enumerate(loop):
            one, other = ((min(node, n), max(node, n)) for n in (loop[i - 1], loop[(i + 1) % len(loop)]))
            if one not in edge_of or other not in edge_of or edge_of[one] != edge_of[other]:
                found.append(shape.net.nodes[node])
        return tuple(found)

    return [[kept(loop) for loop in shape.loops[region]] for region in order]


def _in_frame(seed: Face, rings: Sequence[Ring3], put_upright: bool) -> _Framed:
    frame = face_frame(seed.normal, rings[0], seed.upright is not None)
    on_plane = _put_upright(frame, rings) if put_upright and seed.upright is None else rings
    settled, rings_uv = settle(frame, on_plane)
    return _Framed(settled, rings_uv, sum(ring_area3(ring, UP) for ring in rings))


def _put_upright(frame: Frame, rings: Sequence[Ring3]) -> list[Ring3]:
    """Rings with every corner straight over or under where it was, on the frame's plane."""
    (px, py, pz), n = frame.origin_mm, frame.n
    return [tuple((x, y, pz - (n[0] * (x - px) + n[1] * (y - py)) / n[2]) for x, y, _ in ring) for ring in rings]


def _directed(run: Run, shape: _Shape, frames: dict[int, Frame], rank: dict[int, int]) -> Run:
    """Turn a run so that it starts at its lower end, or a level one at the left end seen from its first plane."""
    a, b = shape.net.nodes[run.a], shape.net.nodes[run.b]
    if run.kind.row.level:
        frame = frames[_by_rank(run, rank)[0]]
        return run if frame.to_plane(a)[0] <= frame.to_plane(b)[0] else run.turned()
    return run if a[2] <= b[2] else run.turned()


def _by_rank(run: Run, rank: dict[int, int]) -> list[int]:
    return sorted(run.regions(), key=lambda region: rank[region])


def _placed(run: Run, shape: _Shape, sides: OutlineSides) -> _Placed:
    """A run with the outline edges it lies on, looked for first among those its faces rise from."""
    own = {n for region in run.regions() for n in shape.numbers(region)}
    segments = [(shape.net.nodes[a], shape.net.nodes[b]) for a, b in run.segments]
    return _Placed(run, sides.under(segments, own, single=len(run.regions()) == 1))


def _edge_key(placed: _Placed, shape: _Shape, sides: OutlineSides, rank: dict[int, int]) -> tuple[object, ...]:
    """By kind, then along the outline, then those that start at its corners, then by height and place."""
    run = placed.run
    low = shape.net.nodes[run.a]
    if placed.outline:
        first, along = placed.outline[0], round(sides.along(placed.outline[0], low), 0)
    else:
        corner = sides.starting_at(low)
        first, along = _LAST if corner is None else corner, 0.0
    return (_KIND_ORDER[run.kind], first, along, round(low[2], 3), [rank[r] for r in _by_rank(run, rank)], low)


def _edges_and_nodes(
    placed: Sequence[_Placed],
    shape: _Shape,
    roof: str,
    ids: dict[int, str],
    rank: dict[int, int],
    numbering: Numbering,
) -> tuple[tuple[RoofEdge, ...], tuple[Node, ...]]:
    letters = defaultdict(int, dict(numbering.edges))
    node_ids: dict[int, str] = {}
    meet: dict[int, list[str]] = defaultdict(list)
    edges = []
    for run, outline in ((p.run, p.outline) for p in placed):
        letter = run.kind.row.letter
        letters[letter] += 1
        edge_id = f"{letter}{letters[letter]}"
        for node in (run.a, run.b):
            node_ids.setdefault(node, f"N{numbering.nodes + len(node_ids) + 1}")
            meet[node].append(edge_id)
        regions = _by_rank(run, rank) if run.kind.row.level else run.regions()
        a, b = shape.net.nodes[run.a], shape.net.nodes[run.b]
        edges.append(
            RoofEdge(
                id=edge_id,
                roof=shape.seed(_by_rank(run, rank)[0]).roof or roof,
                kind=run.kind,
                low=node_ids[run.a],
                high=node_ids[run.b],
                a_mm=a,
                b_mm=b,
                faces=tuple(ids[region] for region in regions),
                length_mm=length3(sub3(b, a)),
                plan_length_mm=plan_length(a, b),
                slope_deg=degrees(atan(edge_slope(a, b))),
                between_deg=run.between_deg,
                convex=run.convex,
                outline_edges=outline,
            )
        )
    nodes = tuple(Node(name, shape.net.nodes[node], tuple(meet[node])) for node, name in node_ids.items())
    return tuple(edges), nodes


def _plane(shape: _Shape, region: int, plane_id: str, roof: str, framed: _Framed, north_deg: float) -> RoofPlane:
    face = shape.seed(region)
    members = [shape.faces[i] for i in shape.regions[region].faces]
    pitch_deg = face.pitch_deg if face.pitch_deg is not None else degrees(atan(fall_of(face.normal)))
    return RoofPlane(
        id=plane_id,
        roof=face.roof or roof,
        frame=framed.frame,
        rings_uv=framed.rings_uv,
        outline_edges=shape.numbers(region),
        step=min(member.step for member in members),
        pitch_deg=pitch_deg,
        bearing_deg=round((plan_bearing_deg(face.normal) + north_deg) % 360.0, 9) % 360.0,
        area_mm2=rings_area(framed.rings_uv),
        plan_area_mm2=framed.plan_area_mm2,
        fascia_height_mm=min(member.fascia_mm for member in members),
        covering=face.covering,
        flat_error_mm=max(member.flat_error_mm for member in members),
    )


def _upright(shape: _Shape, region: int, upright_id: str, roof: str, framed: _Framed) -> UprightFace:
    face = shape.seed(region)
    if face.upright is None:
        raise TypeError("a roof face is no upright")
    return UprightFace(
        id=upright_id,
        roof=face.roof or roof,
        frame=framed.frame,
        rings_uv=framed.rings_uv,
        kind=face.upright,
        area_mm2=rings_area(framed.rings_uv),
        outline_edge=min(shape.numbers(region), default=0),
    )
