"""How a sheet is cut, in words: the shape of its ends, and the points marked on it where two sides do not say it."""

from __future__ import annotations

from dataclasses import replace

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.write.words.words import plain, whole

MARKING_OUT = "Heights are above the foot's lowest point, offsets (at) from the left edge of the uncut sheet."
SHAPE_WORDS = {
    CutShape.SQUARE: "square",
    CutShape.RAKED: "raked",
    CutShape.APEX: "apex",
    CutShape.BROKEN: "cut to two lines",
    CutShape.NOTCHED: "notched",
}
_SAME_MM = TOLERANCES.tape_mm


def cut_words(cut: EndCut) -> str:
    """How an end is cut and along what: "raked H2"."""
    edges = " ".join(plain(edge) for edge in cut.edges)
    words = SHAPE_WORDS[cut.shape]
    return f"{words} {edges}" if edges and cut.shape is not CutShape.SQUARE else words


def foot_words(piece: SheetPiece) -> str:
    """How the foot of a sheet is cut."""
    return cut_words(_as_notched(piece, piece.foot))


def top_words(piece: SheetPiece) -> str:
    """How the top of a sheet is cut, and that its outline is notched where neither end says so."""
    words = cut_words(_as_notched(piece, piece.top))
    return f"{words}, {notch_words(piece)}" if _notched_beside(piece) else words


def _as_notched(piece: SheetPiece, cut: EndCut) -> EndCut:
    return replace(cut, shape=CutShape.NOTCHED) if piece.notched and cut.kinked else cut


def _notched_beside(piece: SheetPiece) -> bool:
    """True for a notched sheet whose ends are both straight: the notch is in its side."""
    return piece.notched and not piece.foot.kinked and not piece.top.kinked


def notch_words(piece: SheetPiece) -> str:
    """ "notched at S1 A1", "" for a sheet that is not."""
    edges = " ".join(plain(edge) for edge in piece.beside)
    return (f"notched at {edges}" if edges else "notched") if piece.notched else ""


def raked(piece: SheetPiece) -> bool:
    """Whether the sheet is not a rectangle."""
    return piece.notched or piece.top.shape is not CutShape.SQUARE or piece.foot.shape is not CutShape.SQUARE


def needs_points(piece: SheetPiece) -> bool:
    """Whether two side lengths from one foot do not say how to cut the sheet: it is cut to two lines or notched."""
    both = piece.top.shape is not CutShape.SQUARE and piece.foot.shape is not CutShape.SQUARE
    return piece.notched or piece.top.kinked or piece.foot.kinked or both


def hand(piece: SheetPiece) -> str:
    """The longer side, "left" or "right"; "" where they are alike."""
    named = next((cut.hand for cut in (piece.top, piece.foot) if cut.hand), "")
    if not named and abs(piece.left_mm - piece.right_mm) >= 1.0:
        named = "left" if piece.left_mm > piece.right_mm else "right"
    return named


def marking_words(piece: SheetPiece, overall_mm: float) -> str:
    """Both ends of each side and the breaks between: "left side 497 to 5057, right side 0 to 4125; foot 0 at 451".

    Of a notched sheet every corner of its outline, in turn: "notched, corners in turn 0 at 0, 0 at 845, ...".
    """
    if piece.notched:
        return "notched, corners in turn " + ", ".join(f"{whole(v)} at {whole(u)}" for u, v in _from_foot(piece))
    foot, top = piece.foot.points_mm, piece.top.points_mm
    if not foot or not top:
        return ""
    sides = []
    for name, at, edge in (("left", 0, 0.0), ("right", -1, overall_mm)):
        (u, low), (_, high) = foot[at], top[at]
        where = "" if abs(u - edge) <= _SAME_MM else f" at {whole(u)}"
        if high - low > _SAME_MM:
            sides.append(f"{name} side{where} {whole(low)} to {whole(high)}")
        else:
            sides.append(f"{name} tip {whole(low)}{where}")
    parts = [", ".join(sides)]
    for name, points in (("top", top), ("foot", foot)):
        if len(points) > 2:
            parts.append(f"{name} " + ", ".join(f"{whole(v)} at {whole(u)}" for u, v in points[1:-1]))
    return "; ".join(parts)


def _from_foot(piece: SheetPiece) -> tuple[tuple[float, float], ...]:
    """The corners of a sheet in turn, from the left end of its foot to the right and round."""
    corners = piece.corners_mm
    low = min(v for _, v in corners)
    first = min((place for place, (_, v) in enumerate(corners) if v - low <= _SAME_MM), key=lambda at: corners[at][0])
    return (*corners[first:], *corners[:first])


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
