"""From the line that a model's roof edge is drawn to out or in to the outline: free edges move, planes stay.

Each plane's free sides move level, square to themselves; its ridges, hips and valleys keep their lines and grow or
shrink to meet them. Planes that share a corner must find it in one place: where pitches differ they may not.

        outline  ------------.           wall line     out by eave_overhang_mm, verge_overhang_mm
                             |           sheet end     in by what sheets go past the fascia, along the rake
        wall line ------.    |           spouting      in by the gutter's width, at eaves that carry it
                  hip  / `.  |
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from math import dist, hypot

from takeoff.basics.errors import ShapeError
from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Point3, Ring2, Ring3, cross3, distance2, sub3, unit3
from takeoff.model.edge_kinds import FREE_KINDS, EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof, RoofEdge, RoofPlane, UprightFace
from takeoff.model.settings import Settings
from takeoff.shape.faces.closure import place
from takeoff.shape.faces.parts import Face
from takeoff.shape.outline.outline_checks import check_rings
from takeoff.shape.outline.overhangs import moved_corner

_ADVICE = "draw the roof edge to the outline, the outer face of fascia and barge, and say edge_is: outline"


@record
class MovedRoof:
    """Faces and outline rings of a roof whose free edges were moved, and what is to be said about it."""

    faces: tuple[Face, ...]
    outline_mm: tuple[Ring2, ...]
    findings: tuple[Finding, ...]


def edge_moves(
    roof: Roof, line: str, job: RoofJob, settings: Settings, gutter_width_mm: float, bare_edges: Collection[int] = ()
) -> dict[str, float]:
    """How far each free edge lies inside the outline [mm, level, outwards positive], by id.

    `line`: what the model's roof edge is drawn to (wall_line, sheet_end, spouting_outside). `bare_edges`: outline edges
    that carry no spouting. Settings: sheet_over_eave_mm, sheet_over_bare_eave_mm, verge_trim_mm, head_trim_mm.
    """
    free = [edge for edge in roof.edges if edge.kind in FREE_KINDS]
    if line == "wall_line":
        return {
            edge.id: job.eave_overhang_mm
            if edge.kind is EdgeKind.EAVE and not _in_gable(edge, free)
            else job.verge_overhang_mm
            for edge in free
        }
    bare = {edge.id for edge in free if edge.outline_edges and set(edge.outline_edges) <= set(bare_edges)}
    if line == "spouting_outside":
        eaves = (edge.id for edge in free if edge.kind is EdgeKind.EAVE and edge.id not in bare)
        return {edge.id: 0.0 for edge in free} | dict.fromkeys(eaves, -gutter_width_mm)
    return {edge.id: _sheet_end(roof, edge, edge.id in bare, settings) for edge in free}


def _in_gable(eave: RoofEdge, free: Sequence[RoofEdge]) -> bool:
    """Whether an eave is that of a half hip: the verges below it end at it, on its own side of the outline.

    Such a wall is under a gable that hangs over alike all along, as it does where the outline is typed.
    """
    beside = [
        edge for edge in free if edge.kind is EdgeKind.VERGE and set(edge.outline_edges) & set(eave.outline_edges)
    ]
    return {eave.low, eave.high} <= {node for edge in beside for node in (edge.low, edge.high)}


def _sheet_end(roof: Roof, edge: RoofEdge, bare: bool, settings: Settings) -> float:
    """What lies level between a sheet's end and the outline; sheets are trimmed square to the edge on the slope."""
    row = edge.kind.row
    past = sum(
        factor * settings.number(name) for name, factor in (row.bare_trim if bare and row.bare_trim else row.trim)
    )
    plane = next(plane for plane in roof.planes if plane.id in edge.faces)
    along = unit3(sub3(edge.b_mm, edge.a_mm))
    across = cross3(plane.frame.n, along)
    level = abs(across[0] * along[1] - across[1] * along[0]) / hypot(along[0], along[1])
    return -past * level


def move_edges(roof: Roof, line: str, moves_mm: Mapping[str, float]) -> MovedRoof:
    """Move the free edges of a roof by `moves_mm` (by edge id, level, outwards positive).

    Raises ShapeError, by place, where planes part at a corner, an edge is swallowed, edges in one line move unequally,
    or an edge that stands over another plane would move.
    """
    words = line.replace("_", " ")
    mover = _Mover(roof, moves_mm)
    faults = _over_planes(roof, moves_mm)
    at = mover.nodes(faults)
    old = {node.id: node.at_mm for node in roof.nodes}
    faces = [_plane_face(plane, _ring_nodes(roof, plane, old), at) for plane in roof.planes]
    faces += [_upright_face(roof, upright, at) for upright in roof.uprights]
    rings = mover.outline(faults)
    if not faults:
        faults += check_rings(roof.name, "outline moved from its model's edge", rings)[1]
    if faults:
        raise ShapeError(*faults, f"roof {roof.name}: its model is drawn to the {words}; {_ADVICE}")
    return MovedRoof(tuple(faces), rings, (_moved_finding(roof, words, moves_mm, mover.joined_mm),))


def _over_planes(roof: Roof, moves_mm: Mapping[str, float]) -> list[str]:
    return [
        f"roof {roof.name}: {edge.kind} {edge.id} at {place(edge.a_mm)} stands over a lower plane and cannot be moved "
        f"by {moves_mm[edge.id]:.0f} mm; give both as roofs of their own, in files of their own"
        for edge in roof.edges
        if len(edge.faces) > 1 and abs(moves_mm.get(edge.id, 0.0)) > TOLERANCES.same_length_mm
    ]


@record
class _Side:
    """A side of a plane in plan from node to node: unit vector outwards, its move, and its edge's id."""

    start: str
    end: str
    outward: Point2
    move_mm: float
    edge: str


class _Mover:
    """Finds where the nodes and the outline of a roof go when its free edges move."""

    def __init__(self, roof: Roof, moves_mm: Mapping[str, float]) -> None:
        self._roof = roof
        self._moves = moves_mm
        self._at = {node.id: node.at_mm for node in roof.nodes}
        self.joined_mm = 0.0  # furthest that planes parted at a corner and were still brought together

    def nodes(self, faults: list[str]) -> dict[str, Point3]:
        """The new place of every node; adds to `faults` where its planes do not agree on it."""
        found: dict[str, list[tuple[str, Point3]]] = defaultdict(list)
        for plane in self._roof.planes:
            for sides in self._rings(plane):
                for before, after in zip((sides[-1], *sides[:-1]), sides, strict=True):
                    found[after.start].append((plane.id, self._corner(plane, before, after, faults)))
        at = dict(self._at)
        for node, places in found.items():
            points = [point for _, point in places]
            part_mm, one, other = max(
                ((dist(a, b), name, against) for i, (name, a) in enumerate(places) for against, b in places[i:]),
                key=lambda pair: pair[0],
            )
            self.joined_mm = max(self.joined_mm, part_mm)
            if part_mm > TOLERANCES.same_plane_mm:
                faults.append(
                    f"roof {self._roof.name}: at {place(self._at[node])} planes {one} and {other} part by "
                    f"{part_mm:.0f} mm when their edges are moved: their pitches or overhangs differ"
                )
            at[node] = (
                sum(p[0] for p in points) / len(points),
                sum(p[1] for p in points) / len(points),
                sum(p[2] for p in points) / len(points),
            )
        for plane in self._roof.planes:
            for sides in self._rings(plane):
                faults += [fault for side in sides if (fault := self._swallowed(side, at))]
        return at

    def _rings(self, plane: RoofPlane) -> list[list[_Side]]:
        """The sides of a plane's rings, the plane on their left."""
        by_ends = {frozenset((edge.low, edge.high)): edge.id for edge in self._roof.edges_of(plane.id)}
        found = []
        for names in _ring_nodes(self._roof, plane, self._at):
            sides = []
            for start, end in zip(names, (*names[1:], names[0]), strict=True):
                edge = by_ends.get(frozenset((start, end)), "")
                outward = _right_of(self._at[start], self._at[end])
                sides.append(_Side(start, end, outward, self._moves.get(edge, 0.0), edge))
            found.append(sides)
        return found

    def _corner(self, plane: RoofPlane, before: _Side, after: _Side, faults: list[str]) -> Point3:
        old = self._at[after.start]
        if not before.move_mm and not after.move_mm:
            return old
        points = moved_corner(old[:2], before.outward, before.move_mm, after.outward, after.move_mm)
        if len(points) > 1:
            faults.append(
                f"roof {self._roof.name}: at {place(old)} {before.edge} and {after.edge} run in one line but are moved "
                f"by {before.move_mm:.0f} and {after.move_mm:.0f} mm"
            )
        x, y = points[-1]
        n = plane.frame.n
        rise = -(n[0] * (x - old[0]) + n[1] * (y - old[1])) / n[2]
        return (x, y, old[2] + rise)

    def _swallowed(self, side: _Side, at: Mapping[str, Point3]) -> str:
        (ax, ay, _), (bx, by, _) = self._at[side.start], self._at[side.end]
        (cx, cy, _), (dx, dy, _) = at[side.start], at[side.end]
        length = hypot(bx - ax, by - ay)
        left = ((dx - cx) * (bx - ax) + (dy - cy) * (by - ay)) / length
        if left > TOLERANCES.same_point_mm or (at[side.start], at[side.end]) == (
            self._at[side.start],
            self._at[side.end],
        ):
            return ""
        return f"roof {self._roof.name}: {side.edge} at {place(self._at[side.start])} is swallowed by its neighbours"

    def outline(self, faults: list[str]) -> tuple[Ring2, ...]:
        """The outline's rings with each side moved as the edges on it."""
        by_side: dict[int, set[float]] = defaultdict(set)
        for edge in self._roof.edges:
            for number in edge.outline_edges:
                by_side[number].add(round(self._moves.get(edge.id, 0.0), 6))
        rings = []
        for ring, numbers in zip(self._roof.outline_mm, self._roof.edge_numbers, strict=True):
            points = []
            for i, point in enumerate(ring):
                before, after = ring[i - 1], ring[(i + 1) % len(ring)]
                moves = (max(by_side[numbers[i - 1]], default=0.0), max(by_side[numbers[i]], default=0.0))
                outward = (_right_of(before, point), _right_of(point, after))
                points.append(moved_corner(point, outward[0], moves[0], outward[1], moves[1])[-1])
                found = sorted(by_side[numbers[i]])
                if found and found[-1] - found[0] > TOLERANCES.same_point_mm:
                    faults.append(
                        f"roof {self._roof.name}: outline edge {numbers[i]} from ({round(point[0])}, "
                        f"{round(point[1])}) holds edges that are moved by {found[0]:.0f} and by {found[-1]:.0f} mm"
                    )
            rings.append(tuple(points))
        return tuple(rings)


def _right_of(a: Sequence[float], b: Sequence[float]) -> Point2:
    """Unit vector square to the way from a to b in plan, on its right; nothing for an upright way."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    return ((b[1] - a[1]) / length, -(b[0] - a[0]) / length) if length else (0.0, 0.0)


def _ring_nodes(roof: Roof, plane: RoofPlane, at: Mapping[str, Point3]) -> list[list[str]]:
    """The nodes that the points of a plane's rings are: of its edges' ends the nearest, for imported ends lie a little
    off their planes."""
    used = dict.fromkeys(name for edge in roof.edges_of(plane.id) for name in (edge.low, edge.high))
    ends = [(plane.frame.to_plane(at[name]), name) for name in used]
    return [[min((distance2(end, point), name) for end, name in ends)[1] for point in ring] for ring in plane.rings_uv]


def _plane_face(plane: RoofPlane, nodes: Sequence[Sequence[str]], at: Mapping[str, Point3]) -> Face:
    rings: tuple[Ring3, ...] = tuple(tuple(at[name] for name in names) for names in nodes)
    return Face(
        rings_mm=rings,
        normal=plane.frame.n,
        outline_edges=plane.outline_edges,
        step=plane.step,
        pitch_deg=plane.pitch_deg,
        covering=plane.covering,
        fascia_mm=min(point[2] for ring in rings for point in ring),
        flat_error_mm=plane.flat_error_mm,
    )


def _upright_face(roof: Roof, upright: UprightFace, at: Mapping[str, Point3]) -> Face:
    """An upright face whose corners go with the nodes they are, or with the node under or over them."""
    ends = {node.id: node.at_mm for node in roof.nodes}
    used = {name for edge in roof.edges_of(upright.id) for name in (edge.low, edge.high)}
    rings = []
    for ring in upright.rings_uv:
        points = []
        for point in ring:
            spot = upright.frame.to_space(point)
            same = min(used, key=lambda node: (dist(ends[node], spot), node), default="")
            beside = min(used, key=lambda node: (distance2(ends[node][:2], spot[:2]), node), default="")
            if same and dist(ends[same], spot) <= TOLERANCES.same_plane_mm:
                points.append(at[same])
            elif beside and distance2(ends[beside][:2], spot[:2]) <= TOLERANCES.same_plane_mm:
                points.append((at[beside][0], at[beside][1], spot[2]))
            else:
                points.append(spot)
        rings.append(tuple(points))
    numbers = (upright.outline_edge,) if upright.outline_edge else ()
    return Face(tuple(rings), upright.frame.n, numbers, upright=upright.kind)


def _moved_finding(roof: Roof, words: str, moves_mm: Mapping[str, float], joined_mm: float) -> Finding:
    said = []
    for kind in (kind for kind in EdgeKind if kind in FREE_KINDS):
        moves = sorted(moves_mm[edge.id] for edge in roof.edges if edge.kind is kind)
        if moves:
            low, high = sorted((abs(moves[0]), abs(moves[-1])))
            by = f"{low:.0f}" if high - low < 1.0 else f"{low:.0f} to {high:.0f}"
            way = "outwards" if moves[-1] > 0 else "inwards"
            far = f"moved {way} by {by} mm" if high else "left in place"
            said.append(f"{len(moves)} {kind.value}s {far}" if len(moves) > 1 else f"1 {kind.value} {far}")
    text = f"roof {roof.name}: its model is drawn to the {words}; to bring it to the outline: {', '.join(said)}"
    if joined_mm > TOLERANCES.same_point_mm:
        text += f"; planes that then parted at a corner by up to {joined_mm:.1f} mm were brought together"
    if any(moves_mm.values()):
        return Finding("roof-edge-moved", Severity.NOTE, text, "check the length of one eave on site")
    advice = "give eave_overhang_mm and verge_overhang_mm if the roof goes past that line"
    return Finding("roof-edge-not-moved", Severity.WARN, text, advice)
