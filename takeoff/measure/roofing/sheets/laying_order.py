"""The order in which the sheets of a plane are laid, so that none goes under one that lies already.

          +---+---+   +---+   Strip after strip from the start, in each the lower part before the upper. Strips that are
      +---+ 5 | 6 | 7 +---+   lapped in line, one after the other, go tier by tier: the whole lower tier first, then the
      | 1 +---+---+   | 9 |   upper. A full-height sheet follows the upper tier of those before it, and a strip with a
      |   | 2 | 3 |   +---+   clear sheet in it is laid in its turn, from its foot up.
      |   | . | . |   | 8 |
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from takeoff.model.sheets import SheetPiece

# where the upper parts of a strip begin [mm of v]; empty for a strip that is no part of a tier
_Laps = tuple[float, ...]


def in_laying_order(pieces: Sequence[SheetPiece]) -> tuple[SheetPiece, ...]:
    """The pieces of one plane as they are laid."""
    strips = [
        (strip, tuple(own)) for strip, own in groupby(sorted(pieces, key=lambda p: p.strip), key=lambda p: p.strip)
    ]
    found: list[SheetPiece] = []
    for laps, following in groupby(strips, key=lambda strip: _laps(strip[1])):
        together = [piece for _, own in following for piece in own]
        if laps:
            found += sorted(together, key=lambda piece: (piece.part, piece.strip))
        else:
            found += sorted(together, key=lambda piece: (piece.strip, piece.run, piece.part))
    return tuple(found)


def _laps(own: Sequence[SheetPiece]) -> _Laps:
    """Where a strip is lapped in line with its neighbours: none for a whole sheet, for one with a clear sheet in it and
    for a strip of several runs."""
    if any(piece.clear for piece in own) or len({piece.run for piece in own}) > 1:
        return ()
    return tuple(round(piece.foot_v_mm, 1) for piece in sorted(own, key=lambda p: p.part) if piece.part)
