"""Packs of sheets: which sheet lies in which, in what order, and where each is lifted: by hand."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from types import SimpleNamespace
from typing import Any

from made_up_orders import item
from made_up_sheets import RIB, piece, planes

from takeoff.basics.vectors import Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.order import Pack, PackedSheet
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.model.sheets import BlankPart, SheetBlank
from takeoff.order.sheets import packs as of_packs
from takeoff.order.sheets.packs import sheet_packs

# the plane begins 7 m east, at its foot; u goes east
FRAME = Frame((7000.0, 0.0, 2400.0), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), (0.0, -0.6, 0.8))
METAL, CLEAR = item("metal"), item("clear")


def edge(name: str, kind: EdgeKind, a: Point3, b: Point3, plane: str = "P1", outline: tuple[int, ...] = ()) -> RoofEdge:
    return RoofEdge(name, "main", kind, "N1", "N2", a, b, (plane,), dist(a, b), dist(a, b), 0.0, 150.0, True, outline)


def plane(name: str) -> RoofPlane:
    ring = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 5000.0), (0.0, 5000.0))
    return RoofPlane(name, "main", FRAME, (ring,), (1,), 1, 36.9, 170.0, 1.0, 1.0)


EAVES = (
    edge("E1", EdgeKind.EAVE, (7000.0, 0.0, 2400.0), (9000.0, 0.0, 2400.0), outline=(4,)),
    edge("E2", EdgeKind.EAVE, (9000.0, 0.0, 2400.0), (16000.0, 0.0, 2400.0), outline=(5, 6)),
    edge("R1", EdgeKind.RIDGE, (7000.0, 4000.0, 5400.0), (16000.0, 4000.0, 5400.0)),
)
# at the foot of P2 nothing but a change of pitch, half a millimetre up at most
BREAKS = (
    edge("C1", EdgeKind.PITCH_CHANGE, (7000.0, 0.0, 2400.0), (9000.0, 0.0, 2400.0), "P2"),
    edge("C2", EdgeKind.PITCH_CHANGE, (9000.0, 0.3, 2400.2), (12000.0, 0.3, 2400.2), "P2"),
    edge("C3", EdgeKind.PITCH_CHANGE, (9000.0, 0.5, 2400.4), (16000.0, 0.5, 2400.4), "P2"),
)
ROOF = Roof("main", (0.0, 0.0, 0.0), (), (), (), (plane("P1"), plane("P2"), plane("P3")), (), (*EAVES, *BREAKS), ())


def test_the_edge_a_pack_is_lifted_over() -> None:
    """The longest eave; else the longest level edge at the plane's foot; else none."""
    found = [of_packs._foot_edge(ROOF, plane(name)) for name in ("P1", "P2", "P3")]
    assert [one.id if one else "" for one in found] == ["E2", "C2", ""]


def order(*blanks: SheetBlank, lines: Any, clear: bool = False, spares: Any = (), group: Any = ()) -> Any:
    return SimpleNamespace(
        blanks=blanks,
        lines=lines,
        spares=spares,
        group=SimpleNamespace(clear=clear, planes=group, profile=replace(RIB, id="clear" if clear else "rib")),
    )


def blank(length: float, *marks: str) -> SheetBlank:
    return SheetBlank("", "rib", length, tuple(BlankPart(mark, 0.0, False) for mark in marks))


def line(of: Any, length: float, count: float, kg: float) -> Any:
    return SimpleNamespace(of=of, each_mm=length, count=count, kg=kg)


def test_sheets_in_their_packs() -> None:
    """Laid P1.01, P1.02 (clear), P1.03, then P2.01: the first laid lies on top, with what else is cut from its length; spares
    lowest under the plane of the longest sheet. 20, 6 and 20 kg go within 40 as one and two; P2's and the spare, 20 and 10, as
    one pack."""
    one, two = (
        planes(piece("P1.01", 4000.0), piece("P1.02", 3000.0), piece("P1.03", 4000.0)),
        replace(planes(piece("P2.01", 4500.0)), plane="P2"),
    )
    metal = order(
        blank(4000.0, "P1.03"), blank(4500.0, "P2.01", "P2.02"), blank(4000.0, "P1.01"),
        lines=[line(METAL, 4000.0, 2.0, 40.1), line(METAL, 4500.0, 1.0, 20.0)], spares=[line(METAL, 4500.0, 1.0, 10.0)], group=(one, two),
    )  # fmt: skip
    clear = order(blank(3000.0, "P1.02"), lines=[line(CLEAR, 3000.0, 1.0, 6.0)], clear=True, group=(one,))
    two = replace(two, pieces=(*two.pieces, piece("P2.02", 300.0)))
    settings: Any = SimpleNamespace(number={"pack_limit_kg": 40.0}.__getitem__)
    found = sheet_packs([clear, metal], [ROOF], settings, [one, two])
    assert found.findings == ()
    top = PackedSheet("P1.01", 4000.0, 20.1)
    glass, low = PackedSheet("P1.02", 3000.0, 6.0, clear=True), PackedSheet("P1.03", 4000.0, 20.0)
    assert found.packs == (
        Pack("K1", "P1", 1, 2, "rib", METAL, (top,), 20.1, 40.0, 4000.0, "E2", (5, 6), 170.0),
        Pack("K2", "P1", 2, 2, "rib", METAL, (glass, low), 26.0, 40.0, 4000.0, "E2", (5, 6), 170.0, (CLEAR,)),
        Pack("K3", "P2", 1, 1, "rib", METAL, (PackedSheet("P2.01", 4500.0, 20.0, ("P2.02",)), PackedSheet("spare", 4500.0, 10.0)), 30.0, 40.0, 4500.0, "C2", (), 170.0),
    )  # fmt: skip


def test_a_pack_of_clear_sheets_alone() -> None:
    """Its item and profile are theirs; a sheet whose list has no line has none."""
    one = replace(planes(piece("P3.01", 3000.0)), plane="P3")
    settings: Any = SimpleNamespace(number={"pack_limit_kg": 40.0}.__getitem__)
    clear = order(blank(3000.0, "P3.01"), lines=[line(CLEAR, 3000.0, 1.0, 6.0)], clear=True, group=(one,))
    (pack,) = sheet_packs([clear], [ROOF], settings).packs
    assert (pack.item, pack.also, pack.profile, pack.edge, pack.outline_edges) == (CLEAR, (), "clear", "", ())


def test_bundles_as_even_as_the_search_makes_them() -> None:
    """A hundred sheets of 1 to 2 kg within 30: as few as filling each in turn, the heaviest as light as any cap allows, by
    trying every sum of following sheets."""
    kg = [1.0 + (n * 37 % 100) / 100.0 for n in range(100)]
    fewest = len(of_packs._filled(kg, 30.0))
    sums = sorted({round(sum(kg[a:b]), 9) for a in range(100) for b in range(a + 1, min(101, a + 31))})
    least = next(cap for cap in sums if cap >= max(kg) and len(of_packs._filled(kg, cap)) <= fewest)
    found = of_packs._bundles(kg, 30.0)
    assert found == of_packs._filled(kg, least)
    assert len(found) == fewest
