"""Sheets of 850 that cover 800, and rows under them, made by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from takeoff.basics.vectors import Point2
from takeoff.model.basis import Working
from takeoff.model.measured import PurlinLine
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.shape.strips.slabs import Slab

WAVY: Any = SimpleNamespace(rib_pitch_mm=200.0, cover_mm=800.0, crests=4)


SQUARE_END = EndCut(CutShape.SQUARE)


def piece(mark: str, left: float, low: float, high: float, **more: Any) -> SheetPiece:
    """A sheet of 850 that covers 800 from its left."""
    cover = ((left, low), (left + 800.0, low), (left + 800.0, high), (left, high))
    outline = ((left, low), (left + 850.0, low), (left + 850.0, high), (left, high))
    parts: dict[str, Any] = {"strip": 1, "run": 0, "part": 0, "lap_mm": 0.0, "cover_uv": (cover,)} | more
    return SheetPiece(
        mark=mark, plane="P1", profile="wavy", start_side="left", lap_side="right", outline_uv=outline, reach_mm=high - low,
        order_mm=high - low, left_mm=0.0, right_mm=0.0, foot_v_mm=low, foot=SQUARE_END, top=SQUARE_END, working=Working(""), **parts,
    )  # fmt: skip


def sheets(*pieces: SheetPiece) -> PlaneSheets:
    return PlaneSheets("P1", "wavy", "left", 0.0, "", "", 800.0, 850.0, 800.0, (), 0.0, pieces, 0.0)


def line(name: str, role: str, row: int, a: Point2, b: Point2, plane: str = "P1") -> PurlinLine:
    return PurlinLine(name, plane, role, row, a, b)


def flat(u0: float, u1: float, foot: float, top: float) -> Slab:
    """A part of a sheet that is level at its foot and its top."""
    return Slab(u0, u1, foot, foot, top, top, "E1", "E2")
