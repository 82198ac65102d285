"""A metal sheet whose left side is ripped, and what clear sheets are laid by: made by hand. Lengths in mm.

A sheet alone is bought by 5 mm, a raked one by 10 after 50 are added; clear sheets lap 250.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

from sheets_by_hand import piece

from takeoff.basics.vectors import Point2
from takeoff.model.basis import Term
from takeoff.model.sheets import CutShape, EndCut
from takeoff.shape.strips.slabs import cut_slabs

VALUES = {"clear_lap_mm": 250.0, "square_step_mm": 5.0, "raked_step_mm": 10.0, "raked_allowance_mm": 50.0}
BOUGHT_SQUARE = (Term("square_step_mm", 5.0, "mm"),)
BOUGHT_RAKED = (Term("raked_allowance_mm", 50.0, "mm"), Term("raked_step_mm", 10.0, "mm"))
LAP = Term("clear_lap_mm", 250.0, "mm")


def laying(longest: float | None = None) -> Any:
    settings = SimpleNamespace(number=VALUES.__getitem__, term=lambda name: Term(name, VALUES[name], "mm"))
    return SimpleNamespace(
        settings=settings, square_deg=0.1, site=SimpleNamespace(longest_piece_mm=longest), profile="a profile"
    )


def box(left: float, low: float, right: float, high: float) -> tuple[Point2, ...]:
    return ((left, low), (right, low), (right, high), (left, high))


def cut(*points: Point2, shape: CutShape = CutShape.SQUARE, rake: float = 0.0, hand: str = "") -> EndCut:
    return EndCut(shape, (), rake, hand, points)


# its uncut sheet begins 40 left of the corner at 100, since its left side is ripped
RIPPED = piece(
    "P1.01", 100.0, 1000.0, 3203.0, corners_mm=((40.0, 0.0), (890.0, 0.0), (70.0, 9.0)), strip=4, lap_mm=150.0
)
PART_RULE = "part of a strip with a clear sheet in it: bought alone = reach with its laps, rounded up once to the step"


def slabs(*rings: Sequence[Point2]) -> Any:
    return cut_slabs(tuple(map(tuple, rings)), [[""] * len(ring) for ring in rings])
