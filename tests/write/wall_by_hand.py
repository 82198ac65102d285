"""Walls, zones and boards made by hand for the tests of what is drawn on elevations."""

from __future__ import annotations

from typing import Any

from takeoff.basics.vectors import Ring2
from takeoff.model.basis import Working
from takeoff.model.runs import CutPiece
from takeoff.model.walls import BoardPiece, Corner, Elevation, Opening, WallBoards

Found = list[Any]


def box(left: float, low: float, right: float, high: float) -> Ring2:
    """A rectangle, from its lower left corner round."""
    return ((left, low), (right, low), (right, high), (left, high))


def piece(mark: str, ring: Ring2, length: float = 1000.0, **more: Any) -> BoardPiece:
    """A board of a shape."""
    return BoardPiece(mark, 1, "", more.pop("row", 1), ring, length, **more)


def zone(*pieces: BoardPiece, level: bool = True, cover: float = 180.0, **more: Any) -> WallBoards:
    """The boards of a zone."""
    marks = more.pop("marks_mm", ())
    direction = more.pop("direction", "horizontal" if level else "vertical")
    return WallBoards(1, "", direction, "own", cover, cover + 20.0, 1, 0.0, 0.0, pieces, marks, Working("", ()), **more)


def wall(
    width: float = 6000.0, height: float = 2400.0, *openings: Opening, base: float = -50.0, **more: Any
) -> Elevation:
    """A wall without a gable."""
    corner = Corner("external", 90.0)
    outline = more.pop("outline_xy", box(0.0, base, width, height))
    return Elevation(
        "wall 1", 1, width, height, outline, base, openings, corner, corner, (-300.0, -300.0), False, 180.0, (0.0, 0.0),
        (width, 0.0), **more,
    )  # fmt: skip


def cut(mark: str, start: float, length: int) -> CutPiece:
    """A piece that is cut for a board."""
    return CutPiece(mark, mark, start, length)
