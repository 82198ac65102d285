"""Pieces where flashings meet or end, counted from the nodes of the roof, and the edges that are dressed or closed.

Common practice, no source: 3-way and 4-way junctions, ridge ends, valley heads and feet, hip ends,
kick-outs where spouting stops at a wall, saddles where a ridge meets a wall, apron ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from takeoff.measure.terms import quantity
from takeoff.model.basis import Basis, Quantity, Status, Term
from takeoff.model.edge_kinds import WALL_KINDS, EdgeKind
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import FlashingRun
from takeoff.model.roof import Covering, Node, Roof, RoofEdge, UprightKind
from takeoff.model.settings import Settings

_PRACTICE = Basis(Status.COMMON_PRACTICE)
# pieces in the order they are listed; a meeting of more ridges and hips than four is made on site
_PIECES = (
    "bend",
    "3-way",
    "4-way",
    "ridge end",
    "hip end",
    "saddle",
    "valley head",
    "valley foot",
    "kick-out left",
    "kick-out right",
    "apron end",
)


@dataclass(frozen=True, slots=True)
class Junction:
    """One piece at a node: what it is (3-way, ridge end, kick-out left ...), the node and the edges that meet."""

    kind: str
    node: str
    edges: tuple[str, ...]


def junctions_of(roof: Roof) -> tuple[Junction, ...]:
    """All pieces of a roof, in the order of its nodes. Edges of planes that carry no sheets are left out."""
    sheeted = {plane.id for plane in roof.planes if plane.covering is Covering.SHEETS}
    edges = {edge.id: edge for edge in roof.edges if sheeted & set(edge.faces)}
    found = []
    for node in roof.nodes:
        here = [edges[name] for name in node.edges if name in edges]
        found += [Junction(kind, node.id, refs) for kind, refs in _pieces(roof, node, here)]
    return tuple(found)


def _pieces(roof: Roof, node: Node, here: Sequence[RoofEdge]) -> Iterator[tuple[str, tuple[str, ...]]]:
    kinds = {edge.kind for edge in here}
    yield from _caps(roof, node, here, kinds)
    heads = [edge.id for edge in here if edge.kind is EdgeKind.VALLEY and edge.high == node.id]
    if heads:
        yield "valley head", tuple(heads)
    if EdgeKind.EAVE in kinds:
        feet = [edge for edge in here if edge.kind is EdgeKind.VALLEY and edge.low == node.id]
        yield from (("valley foot", (edge.id,)) for edge in feet)
        sides = [edge for edge in here if edge.kind is EdgeKind.APRON_SIDE and edge.low == node.id]
        yield from ((f"kick-out {_side(roof, edge)}", (edge.id,)) for edge in sides)
    aprons = [edge.id for edge in here if edge.kind is EdgeKind.APRON_HEAD]
    if len(aprons) == 1 and EdgeKind.APRON_SIDE not in kinds:
        yield "apron end", tuple(aprons)


def _caps(
    roof: Roof, node: Node, here: Sequence[RoofEdge], kinds: set[EdgeKind]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Pieces of ridges and hips at a node: the foot of a hip at an eave is an end, everything else a meeting."""
    at_eave = EdgeKind.EAVE in kinds
    feet = [edge for edge in here if edge.kind is EdgeKind.HIP and edge.low == node.id and at_eave]
    yield from (("hip end", (edge.id,)) for edge in feet)
    caps = [edge for edge in here if edge.kind in (EdgeKind.RIDGE, EdgeKind.HIP) and edge not in feet]
    refs = tuple(edge.id for edge in caps)
    if len(caps) > 2:
        yield f"{len(caps)}-way", refs
    elif len(caps) == 2 and _turns(caps):
        yield "bend", refs
    elif len(caps) == 1 and caps[0].kind is EdgeKind.RIDGE:
        if WALL_KINDS & kinds or _against_wall(roof, node):
            yield "saddle", refs
        elif EdgeKind.VALLEY not in kinds:
            yield "ridge end", refs


def _turns(caps: Sequence[RoofEdge]) -> bool:
    """Whether two caps at a node are not one straight ridge going on."""
    a, b = ((edge.b_mm[0] - edge.a_mm[0], edge.b_mm[1] - edge.a_mm[1]) for edge in caps)
    level = all(edge.kind is EdgeKind.RIDGE for edge in caps)
    return not level or abs(a[0] * b[1] - a[1] * b[0]) > 1e-6 * abs(a[0] * b[0] + a[1] * b[1])


def _against_wall(roof: Roof, node: Node) -> bool:
    """Whether an edge at the node has an abutting wall among its faces."""
    walls = {face.id for face in roof.uprights if face.kind is UprightKind.ABUTTING}
    return any(walls & set(edge.faces) for edge in roof.edges if edge.id in node.edges)


def _side(roof: Roof, edge: RoofEdge) -> str:
    """Side of its plane a side apron stands on, seen from below the eave."""
    plane = next(plane for plane in roof.planes if plane.id in edge.faces)
    at = plane.frame.to_plane(edge.a_mm)[0]
    return "left" if at < max(u for u, _ in plane.rings_uv[0]) / 2.0 else "right"


def junction_quantities(roof: Roof) -> list[tuple[Quantity, Made | None]]:
    """Pieces to order, by kind, each with what it is made as where it has no standing id."""
    by_kind: dict[str, list[Junction]] = {}
    for junction in junctions_of(roof):
        by_kind.setdefault(junction.kind, []).append(junction)
    order = [*_PIECES, *sorted(set(by_kind) - set(_PIECES))]
    return [_counted(roof, kind, by_kind[kind]) for kind in order if kind in by_kind]


def _counted(roof: Roof, kind: str, junctions: Sequence[Junction]) -> tuple[Quantity, Made | None]:
    item = f"junction_{kind.replace('-', '_').replace(' ', '_')}"
    ways = Mark(MarkKind.WAYS, float(len(junctions[0].edges)))
    made = None if kind in _PIECES else Made(item, "junction", (ways,))
    refs = tuple(dict.fromkeys(ref for junction in junctions for ref in junction.edges))
    nodes = (Term("node", junction.node, "", _PRACTICE, junction.node) for junction in junctions)
    rule = "counted from the nodes of the roof"
    return quantity(f"{roof.name} {kind}", item, float(len(junctions)), "each", refs, rule, *nodes), made


def closure_quantities(roof: Roof, runs: Sequence[FlashingRun], corrugate: bool, settings: Settings) -> list[Quantity]:
    """Metres of profiled closures where the sheets are no corrugate, and of ridge vent where asked. The soft edge of
    corrugate goes along what is bought of each flashing: it is counted with the order."""
    found = []
    across = [(run, edges) for run in runs if (edges := run.kind.row.across)]
    if across and not corrugate:
        metres = sum(run.net_mm * edges for run, edges in across) / 1000.0
        terms = (Term(f"{run.run} x {edges}", run.net_mm, "mm", ref=run.edge) for run, edges in across)
        refs = tuple(run.edge for run, _ in across)
        rule = "net length of flashings across the sheets x edges dressed into them"
        found.append(quantity(f"{roof.name} profiled closure", "profile_closure", metres, "m", refs, rule, *terms))
    ridges = [run for run in runs if run.kind is EdgeKind.RIDGE]
    if ridges and settings.flag("ridge_vent"):
        metres = 2.0 * sum(run.net_mm for run in ridges) / 1000.0
        refs = tuple(run.edge for run in ridges)
        vent = settings.term("ridge_vent")
        found.append(quantity(f"{roof.name} ridge vent", "ridge_vent", metres, "m", refs, "2 x ridge", vent))
    return found
