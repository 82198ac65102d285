"""End laps in which a clear sheet lies: longer than those of metal, whichever of the two sheets is the clear one.

The upper sheet stays where the row of the lap puts it; the lower one goes further up under it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.sheets.sheet_pieces import Laying
from takeoff.measure.sheeting.cut_corners import with_corners
from takeoff.measure.sheeting.sheet_ends import ends_of, sides_mm
from takeoff.model.basis import Term, Working
from takeoff.model.sheets import SheetPiece
from takeoff.shape.strips.slabs import Slab, cut_slabs, lowest

_LIKE_MM = TOLERANCES.row_mm


def with_clear_laps(pieces: Sequence[SheetPiece], laying: Laying) -> tuple[tuple[SheetPiece, ...], str]:
    """The sheets of a plane with every end lap of a clear sheet as long as the setting `clear_lap_mm` says, and what
    stands against it, "" for nothing."""
    found = []
    for piece in pieces:
        above = _above(piece, pieces)
        if above is None or not (piece.clear or above.clear):
            found.append(piece)
            continue
        longer, problem = _longer(piece, above, laying)
        if problem:
            return tuple(pieces), problem
        found.append(longer)
    return tuple(found), ""


def _above(piece: SheetPiece, pieces: Sequence[SheetPiece]) -> SheetPiece | None:
    """The sheet that laps over the head of another; None where none does."""
    if piece.lap_mm <= 0.0:
        return None
    foot = max(v for _, v in piece.outline_uv) - piece.lap_mm
    alike = (other for other in pieces if (other.strip, other.run) == (piece.strip, piece.run) and other != piece)
    return next((other for other in alike if abs(other.foot_v_mm - foot) <= _LIKE_MM), None)


def _longer(piece: SheetPiece, above: SheetPiece, laying: Laying) -> tuple[SheetPiece, str]:
    """The lower sheet of a lap with its head so far up that it laps as a clear sheet does, and what is wrong."""
    lap = laying.settings.number("clear_lap_mm")
    more = lap - piece.lap_mm
    if more <= _LIKE_MM:
        return piece, ""
    slabs, over = (cut_slabs((ring,), [[""] * len(ring)]) for ring in (piece.outline_uv, above.outline_uv))
    head = max(v for _, v in piece.outline_uv)
    if any(min(slab.top0, slab.top1) < head - _LIKE_MM for slab in slabs) or not _whole(over, slabs, head + more):
        return piece, f"{piece.mark} and {above.mark} are cut on the rake there: no lap of {lap:g} mm can be made"
    raised = tuple(replace(slab, top0=head + more, top1=head + more) for slab in slabs)
    ends = ends_of(raised, piece.foot_turn_mm, laying.settings, laying.square_deg)
    longest = laying.site.longest_piece_mm
    if longest is not None and ends.bought.mm > longest:
        return (
            piece,
            f"{piece.mark} lapped {lap:g} mm is {ends.bought.mm:g} mm, longer than the {longest:g} of the site",
        )
    left, right = sides_mm(raised)
    terms = (
        *(term for term in piece.working.terms if term.name not in ("reach", "bought alone")),
        laying.settings.term("clear_lap_mm"),
        Term("reach", round(ends.reach_mm, 3), "mm", ref=piece.mark),
        Term("bought alone", ends.bought.mm, "mm", ref=piece.mark),
    )
    rule = f"{piece.working.rule}; lapped as a clear sheet is"
    made = replace(
        piece,
        reach_mm=ends.reach_mm,
        order_mm=ends.bought.mm,
        left_mm=left,
        right_mm=right,
        foot_v_mm=lowest(raised),
        lap_mm=lap,
        working=Working(rule, terms),
    )
    made = with_corners(made, raised, ends, piece.outline_uv[0][0] - piece.corners_mm[0][0])
    foot, top = (replace(new, edges=old.edges) for new, old in ((made.foot, piece.foot), (made.top, piece.top)))
    return replace(made, foot=foot, top=top, notched=piece.notched), ""


def _whole(over: Sequence[Slab], slabs: Sequence[Slab], up_to: float) -> bool:
    """Whether a sheet goes up that far over the whole width of another."""
    low, high = min(slab.u0 for slab in slabs), max(slab.u1 for slab in slabs)
    reach = [slab for slab in over if min(slab.top0, slab.top1) >= up_to - _LIKE_MM]
    return sum(min(slab.u1, high) - max(slab.u0, low) for slab in reach if slab.u0 < high and slab.u1 > low) >= (
        high - low - _LIKE_MM
    )
