"""Pack list: the bought lengths bundled plane by plane as they are lifted on the roof.

Common practice, no source: packs by plane in laying order, the first laid on top, a clear sheet in its strip's turn,
none heavier than the crane lifts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import OrderLine, Pack, PackedSheet
from takeoff.model.roof import Roof, RoofEdge, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetBlank
from takeoff.order.sheets.sheet_orders import SheetOrder

SPARE = "spare"  # stands for the mark on a spare sheet
_CRUMB_KG = TOLERANCES.load_kg


@record
class PackList:
    """The packs of a job, numbered through, and what is noticed about them."""

    packs: tuple[Pack, ...]
    findings: tuple[Finding, ...] = ()


def sheet_packs(
    sheet_orders: Sequence[SheetOrder],
    roofs: Sequence[Roof],
    settings: Settings,
    laid: Sequence[PlaneSheets] = (),
) -> PackList:
    """Every blank in one pack: that of the plane whose sheet is laid first of those cut from it.

    `laid`: the planes with all their sheets in laying order, clear ones among the metal ones; without it those of the
    orders. A plane's sheets are split into as few packs as the setting `pack_limit_kg` allows, of even mass. A sheet
    heavier than the limit is a pack of its own, with a warning. All packs together weigh what the order's lines do.
    """
    limit = settings.number("pack_limit_kg")
    planes = laid or [plane for order in sheet_orders for plane in order.group.planes]
    found: list[Pack] = []
    for plane, sheets in _by_plane(sheet_orders, planes).items():
        bundles = _bundles([sheet.kg for sheet, _ in sheets], limit)
        for number, (first, last) in enumerate(bundles, start=1):
            bundle = sheets[first:last]
            found.append(_pack(f"K{len(found) + 1}", plane, (number, len(bundles)), bundle, limit, roofs))
    return PackList(tuple(found), _findings(found, settings))


# a sheet in its pack and the order at the mill that it is of
_Packed = tuple[PackedSheet, SheetOrder]


def _pack(
    name: str,
    plane_id: str,
    place: tuple[int, int],
    bundle: Sequence[_Packed],
    limit_kg: float,
    roofs: Sequence[Roof],
) -> Pack:
    sheets = tuple(sheet for sheet, _ in bundle)
    orders = list({id(order): order for _, order in bundle}.values())
    main = min(orders, key=lambda order: order.group.clear)
    by_kind = sorted(orders, key=lambda order: order.group.clear)
    items = list(dict.fromkeys(order.lines[0].of for order in by_kind if order.lines))
    roof, plane = next((roof, plane) for roof in roofs for plane in roof.planes if plane.id == plane_id)
    edge = _foot_edge(roof, plane)
    return Pack(
        id=name,
        plane=plane_id,
        number=place[0],
        of=place[1],
        profile=main.group.profile.id,
        item=items[0] if items else None,
        also=tuple(items[1:]),
        sheets=sheets,
        kg=half_up(sum(sheet.kg for sheet in sheets), 1),
        limit_kg=limit_kg,
        longest_mm=max(sheet.length_mm for sheet in sheets),
        edge=edge.id if edge else "",
        outline_edges=edge.outline_edges if edge else (),
        bearing_deg=plane.bearing_deg,
    )


def _by_plane(orders: Sequence[SheetOrder], planes: Sequence[PlaneSheets]) -> Mapping[str, list[_Packed]]:
    """Blanks by the plane they are laid on first, top of the pack first; spares lowest, with the longest sheet."""
    places = {piece.mark: place for place, piece in enumerate(piece for plane in planes for piece in plane.pieces)}
    plane_of = {piece.mark: plane.plane for plane in planes for piece in plane.pieces}
    waiting: list[tuple[int, SheetBlank, SheetOrder]] = []
    for order in orders:
        waiting += [(min(places[part.mark] for part in blank.pieces), blank, order) for blank in order.blanks]
    shares = _Shares()
    found: dict[str, list[_Packed]] = {}
    for _, blank, order in sorted(waiting, key=lambda one: one[0]):
        first, *rest = sorted((part.mark for part in blank.pieces), key=lambda mark: places[mark])
        line = next(line for line in order.lines if line.each_mm == blank.length_mm)
        packed = PackedSheet(first, blank.length_mm, shares.next_kg(line), tuple(rest), clear=order.group.clear)
        found.setdefault(plane_of[first], []).append((packed, order))
    for order in orders:
        # under the sheets it is one of
        for spare in order.spares:
            with_longest = found.setdefault(plane_of[_longest(order)], [])
            for _ in range(int(spare.count)):
                with_longest.append((PackedSheet(SPARE, spare.each_mm, shares.next_kg(spare)), order))
    return found


class _Shares:
    """The mass of each order line dealt out over its sheets to 0.1 kg, so that they sum to it."""

    def __init__(self) -> None:
        self.dealt: dict[int, int] = {}

    def next_kg(self, line: OrderLine) -> float:
        """Mass of the next sheet of a line [kg]."""
        number = self.dealt[id(line)] = self.dealt.get(id(line), 0) + 1
        so_far, before = (half_up(line.kg * n / line.count, 1) for n in (number, number - 1))
        return half_up(so_far - before, 1)


def _longest(order: SheetOrder) -> str:
    """Mark of the longest sheet, the first of several."""
    return max((piece for plane in order.group.planes for piece in plane.pieces), key=lambda p: p.order_mm).mark


def _bundles(kg: Sequence[float], limit_kg: float) -> list[tuple[int, int]]:
    """Stretches (first, past the last) of following sheets within the limit: as few as can be, then as even as can be.

    Filling each in turn gives the fewest; the least cap that still gives that many makes them even.
    """
    filled = _filled(kg, limit_kg)
    fewest, low, high = len(filled), 0.0, limit_kg
    if fewest < 2:
        return filled
    for _ in range(40):
        cap = (low + high) / 2.0
        low, high = (low, cap) if len(_filled(kg, cap)) <= fewest else (cap, high)
    return _filled(kg, high)


def _filled(kg: Sequence[float], cap_kg: float) -> list[tuple[int, int]]:
    bundles: list[tuple[int, int]] = []
    first, load = 0, 0.0
    for place, mass in enumerate(kg):
        if place > first and load + mass > cap_kg + _CRUMB_KG:
            bundles.append((first, place))
            first, load = place, 0.0
        load += mass
    if kg:
        bundles.append((first, len(kg)))
    return bundles


def _foot_edge(roof: Roof, plane: RoofPlane) -> RoofEdge | None:
    """The edge a pack is lifted over: the longest eave, else the longest level edge at the plane's foot."""
    edges = roof.edges_of(plane.id)
    eaves = [edge for edge in edges if edge.kind is EdgeKind.EAVE]
    feet = [
        edge
        for edge in edges
        if max(plane.frame.to_plane(point)[1] for point in (edge.a_mm, edge.b_mm)) < TOLERANCES.same_point_mm
    ]
    return max(eaves or feet, key=lambda edge: edge.length_mm, default=None)


def _findings(packs: Sequence[Pack], settings: Settings) -> tuple[Finding, ...]:
    """One warning for all sheets that are too heavy by themselves."""
    heavy = [pack for pack in packs if pack.over_limit]
    if not heavy:
        return ()
    worst = max(heavy, key=lambda pack: pack.kg)
    return (
        Finding(
            "pack-over-limit",
            Severity.WARN,
            f"{len(heavy)} sheets are over the lifting limit of {worst.limit_kg:g} kg by themselves, the heaviest, "
            f"{worst.sheets[0].mark}, with {worst.kg:.1f} kg.",
            "Say what the crane lifts at its reach, `settings: {pack_limit_kg: 500}`, or take shorter sheets, "
            "`site: {longest_piece_mm: 6000}`.",
            tuple(pack.id for pack in heavy),
            source=settings.basis("pack_limit_kg").words(),
        ),
    )
