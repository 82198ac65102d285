"""Cross-sections of folded flashings: legs, included angles, girth, and the line of the section for a sketch.

A section is walked from its left edge to its right: each leg has a length and the turn before it, left turns positive.

     ridge, looking along it:        barge, roof on the left:       apron head, wall on the left:

            wing_^_wing                 top ______                    |
      edge __-     -__ edge        edge __/      |  face              | upstand
      hem <             > hem      hem <         |_ kick              |____ foot ___ edge
                                                                                     > hem
"""

from __future__ import annotations

from math import ceil, cos, radians, sin

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.measured import FoldSection

# hems are folded flat; the sketch opens them by this, so that they can be seen
_HEM_OPEN_DEG = 14.0
_EDGE_TURN_DEG = 45.0
_KICK_TURN_DEG = 45.0
_RETURN_TURN_DEG = 120.0


@record
class Leg:
    """One leg: name, length [mm] (whole mm, rounded up), and the turn before it [degrees], left positive."""

    name: str
    mm: float
    turn_deg: float = 0.0

    @property
    def whole_mm(self) -> int:
        """The length as it is folded."""
        return ceil(self.mm - TOLERANCES.same_length_mm)


@record
class Edging:
    """How free edges end [mm]: a turned-down edge and a flat hem; the drip kick of a face; the return of a tray."""

    edge_mm: float
    hem_mm: float
    kick_mm: float
    return_mm: float


@record
class Bent:
    """A section as it is folded: its legs from left to right and the heading of the first (0 right, 90 up)."""

    legs: tuple[Leg, ...]  # two at least
    heading_deg: float

    def mirrored(self) -> Bent:
        """The same section seen from the other end of its run: what lies left comes right."""
        last = self.heading_deg + sum(leg.turn_deg for leg in self.legs[1:])
        turns = [0.0, *(leg.turn_deg for leg in reversed(self.legs[1:]))]
        backward = zip(reversed(self.legs), turns, strict=True)
        return Bent(tuple(Leg(leg.name, leg.mm, turn) for leg, turn in backward), -last)


def walk(bent: Bent) -> Ring2:
    """The section's line [mm], least x and y 0; a hem is opened a little, without turning what follows."""
    x = y = 0.0
    points: list[Point2] = [(x, y)]
    heading = bent.heading_deg
    for number, leg in enumerate(bent.legs):
        heading += leg.turn_deg
        opened = -_opening(bent.legs[1].turn_deg) if number == 0 else 0.0
        if number == len(bent.legs) - 1:
            opened = _opening(leg.turn_deg)
        drawn = heading + opened
        x, y = x + leg.whole_mm * cos(radians(drawn)), y + leg.whole_mm * sin(radians(drawn))
        points.append((x, y))
    left, low = min(px for px, _ in points), min(py for _, py in points)
    return tuple((round(px - left, 3), round(py - low, 3)) for px, py in points)


def _opening(turn_deg: float) -> float:
    """How far a flat fold is opened for the sketch, against its turn; 0 for any other fold."""
    if abs(turn_deg) < 180.0 - 1e-9:
        return 0.0
    return -_HEM_OPEN_DEG if turn_deg > 0.0 else _HEM_OPEN_DEG


def section(item: str, name: str, bent: Bent, soft_edges: int, colour_side: str = "top") -> FoldSection:
    """The record of a bent section."""
    angles = tuple(round(180.0 - abs(leg.turn_deg), 1) for leg in bent.legs[1:])
    return FoldSection(
        item=item,
        name=name,
        points_mm=walk(bent),
        legs=tuple((leg.name, leg.whole_mm) for leg in bent.legs),
        angles_deg=angles,
        girth_mm=sum(leg.whole_mm for leg in bent.legs),
        folds=len(angles),
        hems=sum(1 for angle in angles if angle == 0.0),
        colour_side=colour_side,
        soft_edges=soft_edges,
    )


def _edge_in(edging: Edging) -> tuple[Leg, Leg]:
    """A hem and a turned-down edge at the left end of a wing."""
    return Leg("hem", edging.hem_mm), Leg("edge", edging.edge_mm, -180.0)


def _edge_out(edging: Edging) -> tuple[Leg, Leg]:
    """A turned-down edge and its hem at the right end of a wing."""
    return Leg("edge", edging.edge_mm, -_EDGE_TURN_DEG), Leg("hem", edging.hem_mm, -180.0)


def cap(wing_mm: float, between_deg: float, edging: Edging) -> Bent:
    """Ridge or hip: two wings at the included angle, each with a turned-down edge and a hem."""
    bend = 180.0 - between_deg
    wings = Leg("wing", wing_mm, -_EDGE_TURN_DEG), Leg("wing", wing_mm, -bend)
    return Bent((*_edge_in(edging), *wings, *_edge_out(edging)), bend / 2.0 + _EDGE_TURN_DEG + 180.0)


def tray(wing_mm: float, between_deg: float, edging: Edging) -> Bent:
    """Valley: two wings that rise from the valley line, each with a return along its edge."""
    bend = 180.0 - between_deg
    legs = (
        Leg("return", edging.return_mm),
        Leg("wing", wing_mm, _RETURN_TURN_DEG),
        Leg("wing", wing_mm, bend),
        Leg("return", edging.return_mm, _RETURN_TURN_DEG),
    )
    return Bent(legs, -bend / 2.0 - _RETURN_TURN_DEG)


def barge(top_mm: float, face_mm: float, edging: Edging) -> Bent:
    """Barge with the roof on the left: an edge in the pan, the top over the crests, the face down the barge board."""
    top = Leg("top", top_mm, -_EDGE_TURN_DEG)
    face, kick = Leg("face", face_mm, -90.0), Leg("kick", edging.kick_mm, _KICK_TURN_DEG)
    return Bent((*_edge_in(edging), top, face, kick), _EDGE_TURN_DEG + 180.0)


def head_cap(top_mm: float, face_mm: float, pitch_deg: float, edging: Edging) -> Bent:
    """Cap of a free high edge, roof on the left: the top lies on the slope, the face hangs plumb."""
    top = Leg("top", top_mm, -_EDGE_TURN_DEG)
    face, kick = Leg("face", face_mm, -(90.0 + pitch_deg)), Leg("kick", edging.kick_mm, _KICK_TURN_DEG)
    return Bent((*_edge_in(edging), top, face, kick), pitch_deg + _EDGE_TURN_DEG + 180.0)


def apron(upstand_mm: float, hem_mm: float, foot_mm: float, between_deg: float, edging: Edging) -> Bent:
    """Apron, wall on the left: an upstand (with a hem where the cover asks for one) and a foot on the sheets."""
    foot = Leg("foot", foot_mm, 180.0 - between_deg)
    if hem_mm <= 0.0:
        return Bent((Leg("upstand", upstand_mm), foot, *_edge_out(edging)), -90.0)
    return Bent((Leg("hem", hem_mm), Leg("upstand", upstand_mm, 180.0), foot, *_edge_out(edging)), 90.0)


def pitch_change(up_mm: float, down_mm: float, upper_pitch_deg: float, bend_deg: float, edging: Edging) -> Bent:
    """Change of pitch, upper slope on the left: a leg under the upper sheets and one over the lower.

    `bend_deg` is how much the slope flattens on the way down: negative where it steepens.
    """
    legs = Leg("under upper sheets", up_mm), Leg("over lower sheets", down_mm, bend_deg)
    return Bent((*legs, *_edge_out(edging)), -upper_pitch_deg)


def lining(base_mm: float, depth_mm: float, flange_mm: float) -> Bent:
    """Internal gutter lining: base, two sides, and flanges under the sheets."""
    legs = (
        Leg("flange", flange_mm),
        Leg("side", depth_mm, -90.0),
        Leg("base", base_mm, 90.0),
        Leg("side", depth_mm, 90.0),
        Leg("flange", flange_mm, -90.0),
    )
    return Bent(legs, 0.0)
