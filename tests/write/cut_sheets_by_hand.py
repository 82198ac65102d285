"""A sheet and the plane it lies on, as lists and papers of sheets are given them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from takeoff.model.basis import Working
from takeoff.model.roof import Frame, RoofPlane
from takeoff.model.sheets import CutShape, EndCut, SheetPiece

WORKING = Working("made up")
SQUARE = EndCut(CutShape.SQUARE)
RAKE = EndCut(CutShape.RAKED, ("hip 1",), 47.76, "left")


def piece(mark: str, **more: Any) -> SheetPiece:
    """A square sheet of 4 m, half a millimetre off at either side."""
    square = SheetPiece(
        mark, "P1", 1, 1, 0, "corrugated", "left", "right", (), (), 4000.0, 4010.0, 4000.4, 3999.5, 0.0, SQUARE, SQUARE, 0.0,
        WORKING,
    )  # fmt: skip
    return replace(square, **more)


def plane(name: str = "P1") -> RoofPlane:
    """4 m wide, 3 m up the slope, facing south-west."""
    ring = ((0.0, 0.0), (4000.4, 0.0), (4000.4, 3000.0), (0.0, 3000.0))
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return RoofPlane(name, "main", frame, (ring,), (1,), 1, 25.04, 225.0, 0.0, 0.0, 0.0)
