"""Pieces beside an opening that are too short to be boards: told, not bought."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from takeoff.basics.letters import letters
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
        beside = [
            hole.name for hole in face.holes if piece.length_mm < least - CRUMB_MM and _ends_at(piece, hole, along)
        ]
        if beside:
            bare.setdefault(beside[0], []).append(piece.length_mm)
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


def _ends_at(piece: BoardPiece, hole: Hole, along: int) -> bool:
    """Whether a piece starts or ends at an opening that covers its width."""
    low, high = (min(p[along] for p in piece.outline_xy), max(p[along] for p in piece.outline_xy))
    across = [point[1 - along] for point in piece.outline_xy]
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
