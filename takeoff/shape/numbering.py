"""Ids that are unique over a job: a roof's planes, uprights, edges and nodes numbered on after the roofs before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from takeoff.model.roof import Roof
from takeoff.shape.parts import EDGE_LETTERS, Numbering


def renumber(roof: Roof, after: Numbering) -> Roof:
    """The same roof with its ids counted on from `after`. Orders stay as they are; findings' refs follow."""
    letters = dict(after.edges)
    names: dict[str, str] = {}
    for number, plane in enumerate(roof.planes, start=after.planes + 1):
        names[plane.id] = f"P{number}"
    for number, upright in enumerate(roof.uprights, start=after.uprights + 1):
        names[upright.id] = f"U{number}"
    for number, node in enumerate(roof.nodes, start=after.nodes + 1):
        names[node.id] = f"N{number}"
    for edge in roof.edges:
        letter = EDGE_LETTERS[edge.kind]
        letters[letter] = letters.get(letter, 0) + 1
        names[edge.id] = f"{letter}{letters[letter]}"
    return _renamed(roof, names)


def _renamed(roof: Roof, names: Mapping[str, str]) -> Roof:
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
