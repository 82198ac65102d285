"""Roofs that share edges seen as one: water and flashings do not stop where one roof of a job ends and the next begins.

An edge where two roofs meet (a dormer's valleys, the gutter of a butterfly) stands in both with one id; here it stands
once. Roofs that share nothing are passed on as they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from takeoff.model.roof import Node, Roof, RoofEdge


def joint_roofs(roofs: Sequence[Roof]) -> tuple[Roof, ...]:
    """Every group of roofs that share edges as one roof, named after its first.

    It has all their planes, upright faces, rings, edges and nodes, each edge and node once. An edge's outline numbers
    are those of the roof that it names.
    """
    return tuple(_joined([roofs[i] for i in group]) for group in _groups(roofs))


def roofs_in_place(roofs: Sequence[Roof]) -> tuple[Roof, ...]:
    """Every roof with the planes and edges of its whole group round it, in typed order.

    The edges that are counted with it are those whose `roof` is its name. A node stands with the first roof that has
    it.
    """
    found: dict[int, Roof] = {}
    for group in _groups(roofs):
        members = [roofs[i] for i in group]
        joint = _joined(members) if len(group) > 1 else members[0]
        taken: set[str] = set()
        for i in group:
            mine = {node.id for node in roofs[i].nodes} - taken
            taken |= mine
            nodes = tuple(node for node in joint.nodes if node.id in mine)
            found[i] = replace(joint, name=roofs[i].name, nodes=nodes)
    return tuple(found[i] for i in range(len(roofs)))


def _groups(roofs: Sequence[Roof]) -> list[list[int]]:
    """Numbers of the roofs that hang together by shared edges, in typed order."""
    groups: list[tuple[set[str], list[int]]] = []
    for i, roof in enumerate(roofs):
        edges = {edge.id for edge in roof.edges}
        members = [i]
        apart = []
        for known, group in groups:
            if known & edges:
                edges |= known
                members += group
            else:
                apart.append((known, group))
        groups = [*apart, (edges, sorted(members))]
    return sorted(group for _, group in groups)


def _joined(members: Sequence[Roof]) -> Roof:
    first = members[0]
    if len(members) == 1:
        return first
    return replace(
        first,
        outline_mm=tuple(ring for roof in members for ring in roof.outline_mm),
        wall_line_mm=tuple(ring for roof in members for ring in roof.wall_line_mm),
        planes=tuple(plane for roof in members for plane in roof.planes),
        uprights=tuple(face for roof in members for face in roof.uprights),
        edges=_edges(members),
        nodes=_nodes(node for roof in members for node in roof.nodes),
        cut_away_mm2=sum(roof.cut_away_mm2 for roof in members),
        closed=all(roof.closed for roof in members),
        partial=any(roof.partial for roof in members),
        findings=tuple(finding for roof in members for finding in roof.findings),
    )


def _edges(members: Sequence[Roof]) -> tuple[RoofEdge, ...]:
    found: dict[str, RoofEdge] = {}
    for roof in members:
        for edge in roof.edges:
            if edge.roof == roof.name:
                found[edge.id] = edge
            else:
                found.setdefault(edge.id, replace(edge, outline_edges=()))
    return tuple(found.values())


def _nodes(nodes: Iterable[Node]) -> tuple[Node, ...]:
    found: dict[str, Node] = {}
    for node in nodes:
        known = found.get(node.id)
        edges = dict.fromkeys((*known.edges, *node.edges)) if known else node.edges
        found[node.id] = replace(node, edges=tuple(edges))
    return tuple(found.values())
