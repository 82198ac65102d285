"""Where sheets of a wall are lapped: how high the feet of upper sheets are over the foot of the lowest, dimensioned
beside the wall, and what they lap, in words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.walls import BoardPiece, WallBoards
from takeoff.write.drawings.drawing import SMALL_MM, Sketch, bounds, text_width
from takeoff.write.words.words import whole

_OFF = 27.0  # the dimensions stand between the storey rod and the height of the wall [paper mm]


def draw_laps(sketch: Sketch, zones: Sequence[WallBoards]) -> None:
    """A chain from the foot of a wall's lapped sheets to the foot of each sheet above; laps that zones share once."""
    x = -sketch.paper(_OFF)
    start = (x + sketch.paper(3.0), x)
    for a, b in dict.fromkeys(pair for zone in zones for pair in pairwise(lap_heights_mm(zone))):
        if b - a >= text_width(whole(b - a), sketch.paper(SMALL_MM)) + sketch.paper(0.6):
            sketch.dimension((start[0], a), (start[0], b), (start[1], a), 90.0)


def lap_heights_mm(zone: WallBoards) -> tuple[float, ...]:
    """The foot of the lowest sheet of a lapped zone over the floor, then those of the sheets above; nothing without
    laps [mm]."""
    lapped = [piece for piece in zone.pieces if piece.lap_mm > 0.0]
    if not lapped:
        return ()
    heights = [min(bounds(piece.outline_xy)[1] for piece in lapped)]
    for at in sorted(_upper_foot(piece) for piece in lapped):
        if at - heights[-1] > TOLERANCES.same_length_mm:
            heights.append(at)
    return tuple(heights)


def lap_words(zones: Sequence[WallBoards]) -> list[str]:
    """What sheets lap, a line for each lap there is on the wall, with where the upper ones begin."""
    found: dict[str, list[str]] = {}
    for zone in zones:
        for lap in sorted({piece.lap_mm for piece in zone.pieces if piece.lap_mm > 0.0}):
            own = found.setdefault(whole(lap), [])
            foot = lap_heights_mm(zone)[0]
            own += [whole(at - foot) for at in lap_heights_mm(zone)[1:] if whole(at - foot) not in own]
    return [
        f"Upper sheets lap {lap} over the lower and begin {', '.join(heights)} over the foot of these"
        for lap, heights in found.items()
    ]


def _upper_foot(piece: BoardPiece) -> float:
    """Where the sheet begins that laps over this one [mm]."""
    return bounds(piece.outline_xy)[3] - piece.lap_mm
