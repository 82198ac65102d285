"""Pack list: the bought lengths bundled plane by plane as they are lifted on the roof.

Common practice, no source: packs by plane in laying order, the first laid on top, the lower tier of lapped sheets on
top of its pack, none heavier than the crane lifts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from takeoff.basics.rounding import half_up
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Item
from takeoff.model.order import Pack, PackedSheet
from takeoff.model.roof import Roof, RoofEdge, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetBlank
from takeoff.order.sheets.sheet_blanks import kg_per_m
from takeoff.order.sheets.sheet_orders import SheetOrder

SPARE = "spare"  # stands for the mark on a spare sheet
_CRUMB_KG = 1e-6  # masses are shown to 0.1 kg: what a sum in binary adds to them is no load


@dataclass(frozen=True, slots=True)
class PackList:
    """The packs of a job, numbered through, and what is noticed about them."""

    packs: tuple[Pack, ...]
    findings: tuple[Finding, ...] = ()


def sheet_packs(sheet_orders: Sequence[SheetOrder], roofs: Sequence[Roof], settings: Settings) -> PackList:
    """Every blank in one pack: that of the plane whose sheet is laid first of those cut from it.

    A plane's sheets are split into as few packs as the setting `pack_limit_kg` allows, of even mass. A sheet heavier
    than the limit is a pack of its own, with a warning.
    """
    limit = settings.number("pack_limit_kg")
    found: list[Pack] = []
    for order in sheet_orders:
        mass, _ = kg_per_m(order.group.profile, order.group.bmt_mm, settings)
        item = order.lines[0].of if order.lines else None
        for plane, sheets in _by_plane(order, mass).items():
            bundles = _bundles([sheet.kg for sheet in sheets], limit)
            for number, (first, last) in enumerate(bundles, start=1):
                bundle = tuple(sheets[first:last])
                found.append(
                    _pack(f"K{len(found) + 1}", plane, (number, len(bundles)), order, item, bundle, limit, roofs)
                )
    return PackList(tuple(found), _findings(found, settings))


def _pack(
    name: str,
    plane_id: str,
    place: tuple[int, int],
    order: SheetOrder,
    item: Item | None,
    sheets: tuple[PackedSheet, ...],
    limit_kg: float,
    roofs: Sequence[Roof],
) -> Pack:
    roof, plane = next((roof, plane) for roof in roofs for plane in roof.planes if plane.id == plane_id)
    edge = _foot_edge(roof, plane)
    return Pack(
        id=name,
        plane=plane_id,
        number=place[0],
        of=place[1],
        profile=order.group.profile.id,
        item=item,
        sheets=sheets,
        kg=half_up(sum(sheet.kg for sheet in sheets), 1),
        limit_kg=limit_kg,
        longest_mm=max(sheet.length_mm for sheet in sheets),
        edge=edge.id if edge else "",
        outline_edges=edge.outline_edges if edge else (),
        bearing_deg=plane.bearing_deg,
    )


def _by_plane(order: SheetOrder, kg_a_metre: float) -> Mapping[str, list[PackedSheet]]:
    """Blanks by the plane they are laid on first, top of the pack first; spares lowest, with the longest sheet."""
    places = {mark: place for place, mark in enumerate(_laying_order(order.group.planes))}
    plane_of = {piece.mark: plane.plane for plane in order.group.planes for piece in plane.pieces}

    def first_laid(blank: SheetBlank) -> int:
        return min(places[part.mark] for part in blank.pieces)

    found: dict[str, list[PackedSheet]] = {}
    for blank in sorted(order.blanks, key=first_laid):
        first, *rest = sorted((part.mark for part in blank.pieces), key=lambda mark: places[mark])
        kg = half_up(blank.length_mm / 1000.0 * kg_a_metre, 1)
        found.setdefault(plane_of[first], []).append(PackedSheet(first, blank.length_mm, kg, tuple(rest)))
    if order.spares:
        # under the sheets it is one of
        (spare,) = order.spares
        kg = half_up(spare.each_mm / 1000.0 * kg_a_metre, 1)
        with_longest = found.setdefault(plane_of[_longest(order)], [])
        with_longest += [PackedSheet(SPARE, spare.each_mm, kg)] * int(spare.count)
    return found


def _longest(order: SheetOrder) -> str:
    """Mark of the longest sheet, the first of several."""
    return max((piece for plane in order.group.planes for piece in plane.pieces), key=lambda p: p.order_mm).mark


def _laying_order(planes: Sequence[PlaneSheets]) -> list[str]:
    """Marks plane by plane, the lower tier of lapped sheets before the upper.

    A strip with a clear sheet in it is no tier: its metal parts are laid in its turn.
    """
    found: list[str] = []
    for plane in planes:
        parts: dict[tuple[int, int], list[int]] = {}
        for piece in plane.pieces:
            parts.setdefault((piece.strip, piece.run), []).append(piece.part)
        whole = {run for run, numbers in parts.items() if len(numbers) == max(numbers) + 1}
        tiers = [(piece.part if (piece.strip, piece.run) in whole else 0, piece.mark) for piece in plane.pieces]
        found += [mark for _, mark in sorted(tiers, key=lambda tier: tier[0])]
    return found


def _bundles(kg: Sequence[float], limit_kg: float) -> list[tuple[int, int]]:
    """Stretches (first, past the last) of following sheets within the limit: as few as can be, then as even as can be.

    Filling each in turn gives the fewest; the least cap that still gives that many makes them even.
    """
    fewest = len(_filled(kg, limit_kg))
    low, high = 0.0, limit_kg
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
            "Give what the crane lifts at its reach as pack_limit_kg, or a shorter longest_piece_mm.",
            tuple(pack.id for pack in heavy),
            source=settings.basis("pack_limit_kg").words(),
        ),
    )
