"""Pieces beside an opening that are too short to be boards: told, not bought."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from takeoff.basics.letters import letters
from takeoff.basics.vectors import Ring2
from takeoff.measure.cladding.face import CRUMB_MM, Face, Hole
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings
from takeoff.model.walls import BoardPiece


def without_short(
    face: Face, pieces: Iterable[BoardPiece], along: int, settings: Settings
) -> tuple[tuple[BoardPiece, ...], tuple[Finding, ...]]:
    """The pieces that are boards, lettered anew in their rows, and a note of the strips that are left without.

    along: axis of the boards' run, 0 level, 1 upright. A piece shorter than setting board_short_mm that ends at an
    opening is closed by the opening's own sill, facing or threshold.
    """
    least = settings.number("board_short_mm")
    kept: list[BoardPiece] = []
    bare: dict[str, list[float]] = {}
    for piece in pieces:
        beside = too_short_beside(face, piece.outline_xy, piece.length_mm, along, least)
        if beside is not None:
            bare.setdefault(beside.name, []).append(piece.length_mm)
        else:
            kept.append(piece)
    rows: dict[int, list[BoardPiece]] = {}
    for piece in kept:
        rows.setdefault(piece.row, []).append(piece)
    named = tuple(
        _named(piece, f"B{face.tag}.{row:02d}" + (letters(i + 1) if len(parts) > 1 else ""))
        for row, parts in rows.items()
        for i, piece in enumerate(parts)
    )
    return named, tuple(_note(face, name, lengths, least) for name, lengths in sorted(bare.items()))


def _named(piece: BoardPiece, name: str) -> BoardPiece:
    return piece if piece.id == name else replace(piece, id=name)


def too_short_beside(face: Face, outline: Ring2, length_mm: float, along: int, least_mm: float) -> Hole | None:
    """The opening that a piece ends at which is too short to be a board; None where it is one."""
    if length_mm >= least_mm - CRUMB_MM:
        return None
    return next((hole for hole in face.holes if _ends_at(outline, hole, along)), None)


def _ends_at(outline: Ring2, hole: Hole, along: int) -> bool:
    """Whether a piece starts or ends at an opening that covers its width."""
    low, high = (min(p[along] for p in outline), max(p[along] for p in outline))
    across = [point[1 - along] for point in outline]
    sides = ((hole.foot, hole.head), (hole.left, hole.right))
    near, far = sides[1 - along]
    from_, to = sides[along]
    touches = min(abs(low - far), abs(high - near)) < CRUMB_MM
    return touches and min(to, max(across)) - max(from_, min(across)) > CRUMB_MM


def _note(face: Face, name: str, lengths: list[float], least: float) -> Finding:
    size = f"{min(lengths):.0f}" if max(lengths) - min(lengths) < 1.0 else f"{min(lengths):.0f} to {max(lengths):.0f}"
    return Finding(
        code="strip-without-boards",
        severity=Severity.NOTE,
        text=f"Wall {face.wall}: a strip of {size} mm beside {name} is too short for boards ({len(lengths)} pieces "
        f"under {least:.0f} mm) and has none in this order.",
        advice="Close it with the threshold, sill or facing of the opening, or move the opening.",
        refs=(f"wall {face.wall}",),
    )
