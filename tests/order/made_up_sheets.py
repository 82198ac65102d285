"""Sheets of 800 that cover 760, made up for the tests of how sheets are bought."""

from __future__ import annotations

from typing import Any

from takeoff.model.basis import Basis, Status, Working
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece

SEEN = Basis(Status.SEEN, "a book", "a clause")


RIB = Profile("rib", "Rib", ProfileKind.TRAPEZOIDAL, 760.0, 800.0, 190.0, 29.0, False, 940.0, {0.4: 4.0}, {"*": SEEN})


SQUARE = EndCut(CutShape.SQUARE, points_mm=((0.0, 0.0), (800.0, 0.0)))


def raked(left: float, right: float, top: bool = True) -> EndCut:
    """Longer on one side; a top's points from the foot up, a foot's from its lowest point."""
    hand = "left" if (left > right) == top else "right"
    return EndCut(CutShape.RAKED, ("H1",), 20.0, hand, ((0.0, left), (800.0, right)))


def piece(mark: str, order: float, top: EndCut = SQUARE, foot: EndCut = SQUARE, **more: Any) -> SheetPiece:
    """A sheet that covers 760 of 800, started from the left."""
    parts: dict[str, Any] = {
        "plane": "P1", "strip": 1, "run": 0, "part": 0, "profile": "rib", "start_side": "left", "lap_side": "right",
        "outline_uv": (), "cover_uv": (((0.0, 0.0), (760.0, 0.0), (760.0, order), (0.0, order)),), "reach_mm": order - 50.0,
        "left_mm": 0.0, "right_mm": 0.0, "foot_v_mm": 0.0, "lap_mm": 0.0, "working": Working(""),
        "corners_mm": ((0.0, 0.0), (800.0, 0.0)),
    } | more  # fmt: skip
    return SheetPiece(mark=mark, order_mm=order, top=top, foot=foot, **parts)


def planes(*pieces: SheetPiece, net: float = 0.0) -> PlaneSheets:
    return PlaneSheets("P1", "rib", "left", 0.0, "", "", 760.0, 800.0, 760.0, (), net, pieces, 0.0)
