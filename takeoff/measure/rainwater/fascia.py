"""Fascia along eaves and heads, barge boards up the verges: lengths with their corners, cut from stock.

An external corner is counted to its long point: the board's thickness / tan(angle / 2) a leg. A barge board is cut
plumb at both ends, which costs its depth x tan(slope) once. Fascia is joined on rafters, since a joint between them
has nothing behind it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, degrees, radians, tan

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, cross2, dot3, sub3
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.gutter_fixings import fascia_fixings
from takeoff.measure.rainwater.gutters import corner_allowance_mm, within_longest
from takeoff.measure.rainwater.roof_ends import rises_at_end
from takeoff.measure.terms import run_working
from takeoff.model.basis import Term
from takeoff.model.edge_kinds import LEVEL_FREE_KINDS, EdgeKind
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Roof, RoofEdge
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.shape.strips.plane_lines import edge_on, reaches, supports_under

_RULES = {
    "F": "length of the edge and its external corners to the long point",
    "BB": "length of the edge and a plumb cut",
}
_TERMS = {"F": ("fascia_least_piece_mm",), "BB": ("fascia_board_depth_mm", "fascia_least_piece_mm")}


@record
class _Fascia:
    """What the fascia is made of: item, its sides where it is a board, thickness and stock lengths [mm]."""

    item: str
    sides_mm: tuple[float, ...]
    thickness_mm: float
    lengths_mm: tuple[int, ...]


def fascia_need(
    roofs: Sequence[Roof], longest_mm: float | None, chosen: Chosen, supports_mm: float | None = None
) -> Need:
    """Fascia and barge boards of all roofs with their nails; nothing where the setting `fascia_kind` is none.

    `supports_mm`: spacing of the rafters that fascia is joined on, the setting's where the job gives none.
    """
    kind = chosen.settings.word("fascia_kind")
    if kind == "none":
        return Need("rainwater")
    metal = kind == "metal" or (kind == "by_gutter" and chosen.gutter.system == "clip_on_metal")
    fascia, barge = _fascia(metal, chosen.settings), _barge(chosen.settings)
    level = [
        (roof, edge) for roof in roofs for edge in roof.edges if edge.kind in LEVEL_FREE_KINDS and _free(roof, edge)
    ]
    raking = [edge for roof in roofs for edge in roof.edges if edge.kind is EdgeKind.VERGE]
    rafters = supports_mm or chosen.settings.number("purlin_supports_mm")
    boards = [_level(n, at, fascia, rafters, chosen, roofs) for n, at in enumerate(level, start=1)]
    depth = chosen.settings.number("fascia_board_depth_mm")
    barges = [
        _demand("BB", n, barge.item, edge.length_mm + depth * tan(radians(edge.slope_deg)), None, chosen, edge)
        for n, edge in enumerate(raking, start=1)
    ]
    fixings = fascia_fixings(boards, barges, metal, rafters, chosen)
    used = [made for made, edges in ((fascia, level), (barge, raking)) if edges]
    return Need(
        trade="rainwater",
        quantities=fixings,
        demands=(*boards, *barges),
        stock=tuple(StockChoice(made.item, within_longest(made.lengths_mm, longest_mm)) for made in used),
        items=tuple(Made(made.item, made.item, _size(made.sides_mm)) for made in used),
    )


def _fascia(metal: bool, settings: Settings) -> _Fascia:
    if not metal:
        return replace(_barge(settings), item="fascia board")
    thickness = settings.number("metal_fascia_thickness_mm")
    return _Fascia("metal fascia", (), thickness, _lengths("metal_fascia", settings))


def _barge(settings: Settings) -> _Fascia:
    thickness, depth = settings.number("fascia_board_thickness_mm"), settings.number("fascia_board_depth_mm")
    return _Fascia("barge board", (depth, thickness), thickness, _lengths("fascia_board", settings))


def _size(sides_mm: tuple[float, ...]) -> tuple[Mark, ...]:
    return (Mark(MarkKind.SIZE, sides_mm),) if sides_mm else ()


def _lengths(name: str, settings: Settings) -> tuple[int, ...]:
    """Stock lengths [mm] from the shortest to the longest sold, in steps."""
    low, high, step = (round(settings.number(f"{name}_{word}_mm")) for word in ("shortest", "longest", "step"))
    return tuple(range(low, high + 1, max(step, 1))) or (high,)


def _level(
    n: int, at: tuple[Roof, RoofEdge], fascia: _Fascia, rafters_mm: float, chosen: Chosen, roofs: Sequence[Roof]
) -> RunDemand:
    """A level board, joined on the rafters that meet it; anywhere where they give no joint that stock can reach. Where
    it ends on a roof it stops clear of that, cut to its slope."""
    roof, edge = at
    plane = next(plane for plane in roof.planes if plane.id in edge.faces)
    on = edge_on(roof, plane, edge)
    low, high = (_corner_mm(roof, edge, node, fascia.thickness_mm) for node in (edge.low, edge.high))
    clear = chosen.settings.number("fascia_clear_of_roof_mm")
    rises = [_rise(roof, edge, node, roofs) for node in (edge.low, edge.high)]
    if sum(clear / rise for rise in rises if rise > 0.0) >= edge.length_mm - fascia.thickness_mm:
        # no room for a board between: it stays as the eave is, for the carpenter to judge
        rises = [0.0, 0.0]
    low, high = (more - (clear / rise if rise > 0.0 else 0.0) for more, rise in zip((low, high), rises, strict=True))
    first = low if plane.frame.to_plane(edge.a_mm) <= plane.frame.to_plane(edge.b_mm) else high
    length = edge.length_mm + low + high
    under = supports_under(plane, on.a, on.b, rafters_mm, chosen.settings.word("purlin_supports_from"))
    joints = tuple(first + at for at in under)
    least = chosen.settings.number("fascia_least_piece_mm")
    splits = joints if reaches(length, joints, max(fascia.lengths_mm), least) else None
    cut = [chosen.settings.number("fascia_board_depth_mm") / rise for rise in rises if rise > 0.0]
    terms = [Term("lower edge shorter, cut to the roof's slope", round(mm, 3), "mm", ref=edge.id) for mm in cut]
    terms += [chosen.settings.term("fascia_clear_of_roof_mm")] if cut else []
    return _demand("F", n, fascia.item, length, splits, chosen, edge, terms)


def _demand(
    letter: str,
    n: int,
    item: str,
    length_mm: float,
    splits_mm: tuple[float, ...] | None,
    chosen: Chosen,
    edge: RoofEdge,
    more: Sequence[Term] = (),
) -> RunDemand:
    own = (chosen.settings.term(name) for name in _TERMS[letter])
    terms = (Term("with its ends", length_mm, "mm"), *own, *more)
    return RunDemand(
        id=f"{letter}{n}",
        item=item,
        length_mm=length_mm,
        splits_mm=splits_mm,
        least_mm=min(chosen.settings.number("fascia_least_piece_mm"), length_mm),
        refs=(edge.id,),
        working=run_working(_RULES[letter], edge.length_mm, edge.id, *terms),
    )


def _free(roof: Roof, edge: RoofEdge) -> bool:
    """Whether the edge stands free: its plane falls to it or from it, with no other plane beyond. A crumb of a drawing,
    shorter than two points that count as one, carries no board."""
    if edge.length_mm < TOLERANCES.same_point_mm:
        return False
    return sum(face in {plane.id for plane in roof.planes} for face in edge.faces) == 1


def _rise(roof: Roof, edge: RoofEdge, node: str, roofs: Sequence[Roof]) -> float:
    """How steeply a roof rises where a level edge ends on it [mm a mm]; 0 where it goes round a corner or ends free."""
    level = (other for other in roof.edges if other.id != edge.id and other.kind in LEVEL_FREE_KINDS)
    if any(node in (other.low, other.high) for other in level):
        return 0.0
    there, end = (edge.b_mm, edge.a_mm) if node == edge.low else (edge.a_mm, edge.b_mm)
    (ax, ay, _), (bx, by, _) = edge.a_mm, edge.b_mm
    outwards = ((by - ay) / edge.length_mm, (ax - bx) / edge.length_mm)
    return min((rise for rise, _ in rises_at_end(there, end, (edge.id,), roofs, outwards, hung=True)), default=0.0)


def _corner_mm(roof: Roof, edge: RoofEdge, node: str, thickness_mm: float) -> float:
    """What an external corner at one end of a level edge adds [mm]."""
    total = 0.0
    for other in roof.edges:
        if node in (other.low, other.high) and other.id != edge.id and other.kind in LEVEL_FREE_KINDS:
            angle = _external_deg(roof, edge, other, node)
            total += corner_allowance_mm(thickness_mm, angle) if angle is not None else 0.0
    return total


@record
class _Side:
    """A level edge left to right seen from outside: nodes at both ends and its plan direction."""

    left: str
    right: str
    along: Point2


def _side(roof: Roof, edge: RoofEdge) -> _Side:
    plane = next(plane for plane in roof.planes if plane.id in edge.faces)
    ray = sub3(edge.b_mm, edge.a_mm)
    # seen from outside, what runs left to right along an eave runs right to left along the head at the plane's top
    forward = (dot3(ray, plane.frame.u) >= 0.0) is (edge.kind is EdgeKind.EAVE)
    if forward:
        return _Side(edge.low, edge.high, (ray[0], ray[1]))
    return _Side(edge.high, edge.low, (-ray[0], -ray[1]))


def _external_deg(roof: Roof, edge: RoofEdge, other: RoofEdge, node: str) -> float | None:
    """Plan angle between two level edges at an external corner; None where they go on straight or turn inwards."""
    one, two = _side(roof, edge), _side(roof, other)
    if one.left == node and two.right == node:
        one, two = two, one
    elif one.right != node or two.left != node:
        return None
    turn = degrees(atan2(cross2(one.along, two.along), one.along[0] * two.along[0] + one.along[1] * two.along[1]))
    return 180.0 - turn if turn > TOLERANCES.straight_deg else None
