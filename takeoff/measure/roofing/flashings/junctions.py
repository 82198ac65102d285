"""Pieces where flashings meet or end, counted from the nodes of the roof, and the edges that are dressed or closed.

Common practice, no source: 3-way and 4-way junctions, ridge ends, valley heads and feet, hip ends,
kick-outs where spouting stops at a wall, saddles where a ridge meets a wall, apron ends. Corners: meeting_pieces.py.
Every pair of flashings that meet is in a piece or has a reason why it needs none; any other is mitred on site.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations

from takeoff.basics.records import record
from takeoff.measure.roofing.flashings.meeting_pieces import Piece, corner_pieces, lands_on_roof, why_none
from takeoff.measure.terms import quantity
from takeoff.model.basis import Basis, Quantity, Status, Term
from takeoff.model.edge_kinds import WALL_KINDS, EdgeKind
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import FlashingRun, Meeting
from takeoff.model.roof import Covering, Node, Roof, RoofEdge, UprightKind
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import edge_on

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
    "valley foot on roof",
    "valley foot at bare eave",
    "kick-out left",
    "kick-out right",
    "apron end",
    "apron corner outside",
    "apron corner outside left",
    "apron corner outside right",
    "apron corner inside",
    "apron corner inside left",
    "apron corner inside right",
    "head corner",
    "head corner left",
    "head corner right",
    "barge bend",
    "change corner",
    "gutter end",
    "site mitre",
)
# pieces that everything which ends at their node is dressed to, each other too
_ALL_AT_NODE = frozenset({"ridge end", "saddle", "apron end", "gutter end", "valley head"})
# pieces that another flashing is dressed to
_CENTRES = frozenset({"hip end", "bend", "valley foot", "valley foot on roof", "valley foot at bare eave"})


@record
class Junction:
    """One piece at a node: what it is (3-way, ridge end, kick-out left ...), the node and the edges that meet."""

    kind: str
    node: str
    edges: tuple[str, ...]


def junctions_of(roof: Roof, bare: Collection[int] = ()) -> tuple[Junction, ...]:
    """All pieces of a roof, in the order of its nodes. Edges of planes that carry no sheets are left out. `bare`:
    outline edges without a gutter: a valley's foot between two of them empties into none."""
    dry = {edge.id for edge in bare_feet(roof, bare)}
    return tuple(
        Junction("valley foot at bare eave" if kind == "valley foot" and set(refs) <= dry else kind, node.id, refs)
        for node, here in _nodes(roof)
        for kind, refs in _pieces(roof, node, here)
    )


def bare_feet(roof: Roof, bare: Collection[int]) -> tuple[RoofEdge, ...]:
    """Valleys whose foot stands at eaves of which none carries a gutter."""
    found = []
    for valley in (edge for edge in roof.edges if edge.kind is EdgeKind.VALLEY and bare):
        eaves = [e for e in roof.edges if e.kind is EdgeKind.EAVE and valley.low in (e.low, e.high)]
        dry = all(e.outline_edges and all(number in bare for number in e.outline_edges) for e in eaves)
        if eaves and dry and not lands_on_roof(roof, valley):
            found.append(valley)
    return tuple(found)


def meetings_of(roof: Roof) -> tuple[Meeting, ...]:
    """Every pair of flashings that end at one node, in the order of the roof's nodes."""
    return tuple(
        _meeting(roof, node, pieces, pair)
        for node, here in _nodes(roof)
        for pieces in (tuple(_pieces(roof, node, here)),)
        for pair in combinations([edge for edge in here if edge.kind.row.flashing], 2)
    )


def _meeting(roof: Roof, node: Node, pieces: Sequence[Piece], pair: tuple[RoofEdge, RoofEdge]) -> Meeting:
    edges = (pair[0].id, pair[1].id)
    joined = tuple(kind for kind, refs in pieces if _joins(kind, refs, edges))
    return Meeting(node.id, edges, joined, "" if joined else why_none(roof, node, *pair))


def _joins(kind: str, refs: Sequence[str], pair: tuple[str, str]) -> bool:
    """Whether a piece joins two flashings: both are its own, or one is and the other is dressed to it there."""
    centre = kind in _CENTRES or kind.endswith("-way") or kind.startswith(("apron corner", "kick-out"))
    return set(pair) <= set(refs) or (centre and bool(set(pair) & set(refs))) or kind in _ALL_AT_NODE


def _nodes(roof: Roof) -> Iterator[tuple[Node, list[RoofEdge]]]:
    """Every node with the edges of sheeted planes that end there."""
    sheeted = {plane.id for plane in roof.planes if plane.covering is Covering.SHEETS}
    edges = {edge.id: edge for edge in roof.edges if sheeted & set(edge.faces)}
    for node in roof.nodes:
        yield node, [edges[name] for name in node.edges if name in edges]


def _pieces(roof: Roof, node: Node, here: Sequence[RoofEdge]) -> Iterator[Piece]:
    """Pieces by rule, then a mitre made on site for every pair that no rule joins and no reason excuses."""
    found = [*_by_rule(roof, node, here), *corner_pieces(roof, node, here)]
    yield from found
    for pair in combinations([edge for edge in here if edge.kind.row.flashing], 2):
        meeting = _meeting(roof, node, found, pair)
        if not meeting.pieces and not meeting.reason:
            yield "site mitre", meeting.edges


def _by_rule(roof: Roof, node: Node, here: Sequence[RoofEdge]) -> Iterator[Piece]:
    kinds = {edge.kind for edge in here}
    yield from _caps(roof, node, here, kinds)
    heads = [edge.id for edge in here if edge.kind is EdgeKind.VALLEY and edge.high == node.id]
    if heads:
        yield "valley head", tuple(heads)
    if EdgeKind.EAVE in kinds:
        for edge in (edge for edge in here if edge.kind is EdgeKind.VALLEY and edge.low == node.id):
            yield "valley foot on roof" if lands_on_roof(roof, edge) else "valley foot", (edge.id,)
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
    on = edge_on(roof, plane, edge)
    return "left" if on.inward[0] > 0.0 else "right"


def junction_quantities(roof: Roof, bare: Collection[int] = ()) -> list[tuple[Quantity, Made | None]]:
    """Pieces to order, by kind, each with what it is made as where it has no standing id. `bare`: outline edges without
    a gutter."""
    by_kind: dict[str, list[Junction]] = {}
    for junction in junctions_of(roof, bare):
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
