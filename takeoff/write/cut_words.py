"""How a sheet is cut, in words: the shape of its ends, and the points marked on it where two sides do not say it."""

from __future__ import annotations

from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.write.words import plain, whole

MARKING_OUT = "Heights are above the square foot, up the sheet; offsets are from the left edge of the uncut sheet."
_SAME_MM = 0.5  # less is not marked out with a tape


def cut_words(cut: EndCut) -> str:
    """How an end is cut and along what: "raked H2"."""
    edges = " ".join(plain(edge) for edge in cut.edges)
    return f"{cut.shape.value} {edges}" if edges and cut.shape is not CutShape.SQUARE else cut.shape.value


def raked(piece: SheetPiece) -> bool:
    """Whether an end of the sheet is not square."""
    return piece.top.shape is not CutShape.SQUARE or piece.foot.shape is not CutShape.SQUARE


def needs_points(piece: SheetPiece) -> bool:
    """Whether two side lengths from one foot do not say how to cut the sheet: a kinked end or both ends raked."""
    both = piece.top.shape is not CutShape.SQUARE and piece.foot.shape is not CutShape.SQUARE
    return piece.top.kinked or piece.foot.kinked or both


def hand(piece: SheetPiece) -> str:
    """The longer side, "left" or "right"; "" where they are alike."""
    named = next((cut.hand for cut in (piece.top, piece.foot) if cut.hand), "")
    if not named and abs(piece.left_mm - piece.right_mm) >= 1.0:
        named = "left" if piece.left_mm > piece.right_mm else "right"
    return named


def marking_words(piece: SheetPiece, overall_mm: float) -> str:
    """The points to mark, end by end: "top 4204 at the left edge, 4426 at 202, 3716 at the right edge; foot square"."""
    parts = []
    for name, cut in (("top", piece.top), ("foot", piece.foot)):
        if cut.shape is CutShape.SQUARE:
            parts.append(f"{name} square")
        else:
            points = [f"{whole(v)} {_place(u, overall_mm)}" for u, v in cut.points_mm]
            parts.append(f"{name} {', '.join(points)}")
    return "; ".join(parts)


def side_words(piece: SheetPiece) -> tuple[str, ...]:
    """Where the sides start, for a sheet whose foot is not square: "left side from 497 to 5057"."""
    if piece.foot.shape is CutShape.SQUARE or not piece.foot.points_mm or not piece.top.points_mm:
        return ()
    ends = (("left", 0, piece.left_mm), ("right", -1, piece.right_mm))
    return tuple(
        f"{name} side from {whole(piece.foot.points_mm[at][1])} to {whole(piece.top.points_mm[at][1])}"
        if length > _SAME_MM
        else f"no {name} side: it ends in a tip"
        for name, at, length in ends
    )


def first_and_last_words(sheets: PlaneSheets) -> list[str]:
    """What the first sheet shows where it is moved out over a square foot, and a last sheet that is narrow."""
    words = []
    first = [piece for piece in sheets.pieces if piece.strip == 1]
    square = all(piece.foot.shape is CutShape.SQUARE for piece in first)
    if square and abs(sheets.first_cover_mm - sheets.cover_mm) > 0.5:
        words.append(f"First sheet shows {whole(sheets.first_cover_mm)} mm.")
    if sheets.last_wide_mm > 0.0:
        last = max(sheets.pieces, key=lambda piece: piece.strip)
        words.append(
            f"Last sheet {plain(last.mark)} is {whole(sheets.last_wide_mm)} mm wide: rip it, or lap it further by "
            "whole ribs."
        )
    return words


def _place(u_mm: float, overall_mm: float) -> str:
    if abs(u_mm) <= _SAME_MM:
        return "at the left edge"
    return "at the right edge" if abs(u_mm - overall_mm) <= _SAME_MM else f"at {whole(u_mm)}"
