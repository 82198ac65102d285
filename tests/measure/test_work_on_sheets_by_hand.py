"""Work on the ends of sheets, and the order that sheets are laid in: by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from sheets_by_hand import piece, sheets

from takeoff.measure.roofing.sheets.laying_order import in_laying_order
from takeoff.measure.roofing.sheets.sheet_labour import end_labour
from takeoff.model.basis import Basis, Quantity, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.sheets import CutShape, EndCut, SheetPiece

KINDS = {"E1": EdgeKind.EAVE, "R1": EdgeKind.RIDGE, "A1": EdgeKind.APRON_HEAD, "H1": EdgeKind.HIP, "V1": EdgeKind.VERGE}


def roof(pitch: float) -> Any:
    edges = [SimpleNamespace(id=name, kind=kind) for name, kind in KINDS.items()]
    planes = [SimpleNamespace(id="P1", pitch_deg=pitch), SimpleNamespace(id="P2", pitch_deg=30.0)]
    return SimpleNamespace(name="main", edges=edges, planes=planes)


SETTINGS: Any = SimpleNamespace(
    number={"turn_down_below_deg": 8.0}.__getitem__, term=lambda name: Term(name, 8.0, "deg")
)


def laid(mark: str, foot: tuple[str, ...], top: tuple[str, ...], **more: Any) -> SheetPiece:
    ends = (EndCut(CutShape.SQUARE, edges) for edges in (foot, top))
    return replace(piece(mark, 0.0, 0.0, 4000.0, **more), **dict(zip(("foot", "top"), ends, strict=True)))


P1 = sheets(
    laid("P1.01", ("E1",), ("R1",)),
    laid("P1.02", ("H1",), ("H1", "R1")),
    # notched under a wall and running on beside it; at the wall already; beside a verge; not notched
    laid("P1.03", ("E1",), ("R1",), notched=True, beside=("A1", "V1")),
    laid("P1.04", ("E1",), ("A1",), notched=True, beside=("A1",)),
    laid("P1.05", ("H1",), ("H1",), notched=True, beside=("V1", "E1")),
    laid("P1.06", ("X9",), ("H1",), beside=("A1", "E1")),
)
P2 = replace(sheets(laid("P2.01", ("E1",), ("H1",))), plane="P2")


@pytest.mark.parametrize(("pitch", "down"), [(7.9, True), (8.0, False)])
def test_ends_that_are_turned_up_and_down(pitch: float, down: bool) -> None:
    """Tops: P1.01, P1.02, P1.03 twice and P1.04; feet on the low plane: P1.01, P1.03, P1.04, and P1.05 where it is notched."""
    own = Basis(Status.COMMON_PRACTICE)

    def work(
        number: str, sort: str, item: str, count: int, marks: tuple[str, ...], rule: str, *terms: Term
    ) -> tuple[Quantity, Made]:
        made = Made(f"{item}, roof main", sort, (Mark(MarkKind.ROOF, "main"),))
        term = Term("sheet ends", count, "each", own, ", ".join(marks))
        return Quantity(
            f"main {number}", made.id, float(count), "each", marks, Working(rule, (term, *terms)), labour=True
        ), made

    ups = work(
        "stop-ends", "sheet_stop_ends", "sheet ends stop-ended", 5, ("P1.01", "P1.02", "P1.03", "P1.04"),
        "one a sheet whose top lies at a ridge, head or apron head, one more where it is notched under such an edge",
    )  # fmt: skip
    downs = work(
        "turned-down", "sheet_turned_down", "sheet ends turned down", 4, ("P1.01", "P1.03", "P1.04", "P1.05"),
        "one a sheet whose foot lies on an eave of low pitch, one more where it is notched at another", Term("turn_down_below_deg", 8.0, "deg"),
    )  # fmt: skip
    done = [ups, downs] if down else [ups]
    assert end_labour([P1, P2], roof(pitch), SETTINGS) == Need(
        "roofing", tuple(q for q, _ in done), items=tuple(m for _, m in done)
    )
    assert end_labour([], roof(pitch), SETTINGS) == Need("roofing")


def test_the_order_that_sheets_are_laid_in() -> None:
    """Strips lapped in one line go tier by tier; a whole strip, one with a clear sheet and one of several runs go by
    themselves, each from its foot up."""

    def parts(strip: int, *feet: float, **more: Any) -> list[SheetPiece]:
        return [
            piece(f"{strip}{'abc'[n]}", 0.0, foot, 9000.0, strip=strip, part=n, **more) for n, foot in enumerate(feet)
        ]

    pieces = [
        *parts(1, 0.0, 3000.0, 6000.0), *parts(2, 0.0, 3000.04, 6000.0), *parts(3, 0.0, 3000.2, 6000.0), *parts(4, 0.0), *parts(5, 0.0),
        *parts(6, 0.0, 3000.0, clear=True), *parts(7, 0.0, 3000.0), *parts(8, 0.0, 3000.0),
        *parts(9, 0.0, 2000.0), *parts(9, 4000.0, run=1), *parts(10, 0.0, 2000.0),
    ]  # fmt: skip
    found = [(one.mark, one.run) for one in in_laying_order(pieces[::-1])]
    assert [mark for mark, _ in found] == [
        "1a", "2a", "1b", "2b", "1c", "2c", "3a", "3b", "3c", "4a", "5a", "6a", "6b", "7a", "8a", "7b", "8b", "9a", "9b", "9a", "10a", "10b",
    ]  # fmt: skip
    assert [run for mark, run in found if mark.startswith("9")] == [0, 0, 1]
