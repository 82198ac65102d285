"""Ids that are unique over a job: a roof's planes, uprights, edges and nodes numbered on after the roofs before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from takeoff.model.roof import Roof
from takeoff.shape.faces.parts import Numbering


def number_on(roof: Roof, after: Numbering, known: dict[str, str]) -> Numbering:
    """Give a roof's ids their new names, counted on from `after`; returns where numbering goes on.

    `known` maps old ids to new ones and is added to: edges and nodes that another roof of the same group has already
    brought in keep the name they got there.
    """
    letters = dict(after.edges)
    planes, uprights, nodes = after.planes, after.uprights, after.nodes
    for plane in roof.planes:
        planes += 1
        known[plane.id] = f"P{planes}"
    for upright in roof.uprights:
        uprights += 1
        known[upright.id] = f"U{uprights}"
    for node in roof.nodes:
        if node.id not in known:
            nodes += 1
            known[node.id] = f"N{nodes}"
    for edge in roof.edges:
        if edge.id not in known:
            letter = edge.kind.row.letter
            letters[letter] = letters.get(letter, 0) + 1
            known[edge.id] = f"{letter}{letters[letter]}"
    return Numbering(planes, uprights, nodes, tuple(sorted(letters.items())))


def rename(roof: Roof, names: Mapping[str, str]) -> Roof:
    """A roof with every id replaced by its new name, in findings too; the very same one where every name stays."""
    if all(old == now for old, now in names.items()):
        return roof

    def new(ids: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(names.get(name, name) for name in ids)

    return replace(
        roof,
        planes=tuple(replace(plane, id=names[plane.id]) for plane in roof.planes),
        uprights=tuple(replace(upright, id=names[upright.id]) for upright in roof.uprights),
        edges=tuple(
            replace(edge, id=names[edge.id], low=names[edge.low], high=names[edge.high], faces=new(edge.faces))
            for edge in roof.edges
        ),
        nodes=tuple(replace(node, id=names[node.id], edges=new(node.edges)) for node in roof.nodes),
        findings=tuple(replace(finding, refs=new(finding.refs)) for finding in roof.findings),
    )
