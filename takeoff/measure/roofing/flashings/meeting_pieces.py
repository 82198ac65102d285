"""Where two flashings meet: which piece joins them there, or why none is needed.

Common practice, no source: a corner of aprons is a piece of its own, outside round a wall's corner or inside where two
walls meet; a barge is mitred to a head cap; a barge that bends with the roof has a knee; a change of pitch that turns a
corner is mitred there; an internal gutter's lining is closed at its ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import acos, degrees, hypot

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.edge_kinds import WALL_KINDS, EdgeKind, End, Place
from takeoff.model.roof import Covering, Node, Roof, RoofEdge, RoofPlane

Piece = tuple[str, tuple[str, ...]]
"""What it is, and the edges whose flashings it joins."""

OPEN_DEG = TOLERANCES.walls_meet_deg


def corner_pieces(roof: Roof, node: Node, here: Sequence[RoofEdge]) -> Iterator[Piece]:
    """Pieces where flashings turn a corner at a node. `here`: the edges of sheeted planes that end there."""
    walls = [edge for edge in here if edge.kind in WALL_KINDS]
    if len(walls) == 2 and EdgeKind.APRON_HEAD in {edge.kind for edge in walls}:
        yield from _apron_corner(roof, node, walls)
    heads, verges = (
        [edge for edge in here if edge.kind.row.place is Place.FREE and edge.kind.row.end is end]
        for end in (End.TOP, End.SIDE)
    )
    changes = [edge for edge in here if edge.kind.row.end is End.BREAK]
    for head in heads:
        for verge in (verge for verge in verges if verge.high == node.id and set(verge.faces) & set(head.faces)):
            yield f"head corner {level_end(roof, head, node)}", (head.id, verge.id)
    if len(heads) == 2 and not in_line(node, *heads):
        yield "head corner", tuple(edge.id for edge in heads)
    for low in (verge for verge in verges if verge.low == node.id):
        for high in (verge for verge in verges if verge.high == node.id):
            yield "barge bend", (high.id, low.id)
    for one, two in combinations(changes, 2):
        if not in_line(node, one, two):
            yield "change corner", (one.id, two.id)
    gutters = [edge.id for edge in here if edge.kind is EdgeKind.INTERNAL_GUTTER]
    if len(gutters) == 1:
        yield "gutter end", tuple(gutters)


def _apron_corner(roof: Roof, node: Node, walls: Sequence[RoofEdge]) -> Iterator[Piece]:
    turn = roof_angle_deg(roof, node, walls) - 180.0
    if abs(turn) < OPEN_DEG:
        return
    where = "outside" if turn > 0.0 else "inside"
    head, other = sorted(walls, key=lambda edge: edge.kind is not EdgeKind.APRON_HEAD)
    hand = f" {level_end(roof, head, node)}" if other.kind is EdgeKind.APRON_SIDE else ""
    yield f"apron corner {where}{hand}", tuple(edge.id for edge in walls)


def roof_angle_deg(roof: Roof, node: Node, edges: Sequence[RoofEdge]) -> float:
    """Plan angle that the planes of these edges fill at a node [degrees]: over 180 round the outside corner of a
    wall."""
    names = {face for edge in edges for face in edge.faces}
    return sum(_corner_deg(plane, node) for plane in roof.planes if plane.id in names)


def _corner_deg(plane: RoofPlane, node: Node) -> float:
    """Plan angle inside a plane at a node; 0 where it has no corner there [degrees]."""
    for ring in plane.rings_uv:
        points = [plane.frame.to_space(point) for point in ring]
        for i, at in enumerate(points):
            if all(abs(a - b) <= TOLERANCES.same_point_mm for a, b in zip(at, node.at_mm, strict=True)):
                before, after = points[i - 1], points[(i + 1) % len(points)]
                return _inside_deg((before[0], before[1]), (at[0], at[1]), (after[0], after[1]))
    return 0.0


def _inside_deg(before: Point2, at: Point2, after: Point2) -> float:
    """Angle on the left of the way before - at - after: rings go with the plane on their left [degrees]."""
    p, q = (before[0] - at[0], before[1] - at[1]), (after[0] - at[0], after[1] - at[1])
    angle = degrees(acos(min(1.0, max(-1.0, (p[0] * q[0] + p[1] * q[1]) / (hypot(*p) * hypot(*q))))))
    return angle if q[0] * p[1] - q[1] * p[0] >= 0.0 else 360.0 - angle


def level_end(roof: Roof, edge: RoofEdge, node: Node) -> str:
    """The end of a level edge that a node is, left or right seen from below the eave of its plane."""
    plane = next(plane for plane in roof.planes if plane.id in edge.faces)
    here, there = (edge.a_mm, edge.b_mm) if edge.low == node.id else (edge.b_mm, edge.a_mm)
    return "left" if plane.frame.to_plane(here)[0] < plane.frame.to_plane(there)[0] else "right"


def in_line(node: Node, one: RoofEdge, two: RoofEdge) -> bool:
    """Whether two edges that end at a node go straight on into each other on the plan."""
    p, q = _away(node, one), _away(node, two)
    cosine = (p[0] * q[0] + p[1] * q[1]) / (hypot(*p) * hypot(*q))
    return degrees(acos(min(1.0, max(-1.0, -cosine)))) < OPEN_DEG


def _away(node: Node, edge: RoofEdge) -> Point2:
    here, there = (edge.a_mm, edge.b_mm) if edge.low == node.id else (edge.b_mm, edge.a_mm)
    return there[0] - here[0], there[1] - here[1]


def lands_on_roof(roof: Roof, valley: RoofEdge) -> bool:
    """Whether a valley's foot lies on a roof that goes on below it: one of its planes has no eave there, as where a
    dormer's valley comes down on the roof that the dormer stands in."""
    at_foot = [edge for edge in roof.edges if valley.low in (edge.low, edge.high)]
    eaves = {face for edge in at_foot if edge.kind is EdgeKind.EAVE for face in edge.faces}
    upper = any(edge.kind is EdgeKind.VALLEY and edge.high == valley.low for edge in at_foot)
    planes = {plane.id for plane in roof.planes} & set(valley.faces)
    return bool(eaves) and not upper and not planes <= eaves


def why_none(roof: Roof, node: Node, one: RoofEdge, two: RoofEdge) -> str:
    """Why two flashings that meet at a node and are in no piece there need none; "" where there is no reason."""
    kinds = {one.kind, two.kind}
    if one.kind is two.kind and one.kind.row.level and in_line(node, one, two):
        return "in one line: the lengths lap"
    if kinds == {EdgeKind.VALLEY} and {one.low, two.low} != {node.id}:
        return "the upper tray laps over the lower"
    if EdgeKind.PITCH_CHANGE in kinds and any(not kind.row.level or kind in WALL_KINDS for kind in kinds):
        return "the change of pitch ends under the other, dressed"
    if kinds == {EdgeKind.APRON_SIDE} and not _same_plane(roof, one, two):
        return "one wall, two planes: the upper lies over the lower"
    return ""


def _same_plane(roof: Roof, one: RoofEdge, two: RoofEdge) -> bool:
    sheeted = {plane.id for plane in roof.planes if plane.covering is Covering.SHEETS}
    return bool(sheeted & set(one.faces) & set(two.faces))
