"""Where the parts of a dimension lie in a DXF file: extension lines, dimension line, ticks and figure.

Worked out step by step as the DXF library does it for a linear dimension of our style, so that its figures are the
same to the last digit: the dimension line goes through a given point at an angle; extension lines stand square to it.
Sizes on paper: gaps, overruns and ticks of `dxf_library`'s dimension style, times the scale.
"""

from __future__ import annotations

from math import cos, hypot, radians, sin

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.write.drawings.drawing import Dimension

PAPER_GAP_MM, PAPER_TICK_MM = 1.0, 1.5  # offset, overrun and gap of the figure; half a tick
_NEAR = 1e-12  # a direction nearer to level or upright counts as that


@record
class Drawn:
    """A dimension as drawn [mm]: ends of the dimension line, both extension lines, middle of the figure, its words and
    letter height, half a tick."""

    start: Point2
    end: Point2
    extensions: tuple[tuple[Point2, Point2], tuple[Point2, Point2]]
    text_at: Point2
    words: str
    letter_mm: float
    tick_mm: float


@record
class _Ray:
    at: Point2
    along: Point2


def drawn(item: Dimension, scale: int, text_mm: float) -> Drawn:
    """The parts of a dimension at a scale, with letters `text_mm` high on paper."""
    gap, letter = PAPER_GAP_MM * scale, text_mm * scale
    along, across = _ray(item.through_mm, item.angle_deg), item.angle_deg + 90.0
    start = _meet(along, _ray(item.a_mm, across))
    end = _meet(along, _ray(item.b_mm, across))
    measured = hypot(end[0] - start[0], end[1] - start[1])
    direction = along.along if start == end else _unit(start, end)
    words = f"{measured:.0f}"
    above = letter / 2.0 + gap
    if len(words) * letter > measured:  # the library puts a wide figure higher
        above = gap + gap + letter / 2.0
    middle = (start[0] + (end[0] - start[0]) * 0.5, start[1] + (end[1] - start[1]) * 0.5)
    up = _scaled((-direction[1], direction[0]), above)
    return Drawn(
        start,
        end,
        (_extension(item.a_mm, start, across, gap), _extension(item.b_mm, end, across, gap)),
        (middle[0] + up[0], middle[1] + up[1]),
        words,
        letter,
        PAPER_TICK_MM * scale,
    )


def _ray(at: Point2, angle_deg: float) -> _Ray:
    return _Ray(at, (cos(radians(angle_deg)), sin(radians(angle_deg))))


def _scaled(vector: Point2, length: float) -> Point2:
    factor = length / hypot(*vector)
    return vector[0] * factor, vector[1] * factor


def _unit(a: Point2, b: Point2) -> Point2:
    return _scaled((b[0] - a[0], b[1] - a[1]), 1.0)


def _extension(point: Point2, foot: Point2, across_deg: float, gap: float) -> tuple[Point2, Point2]:
    """The extension line from a measured point: a gap beside it, an overrun past the dimension line."""
    x, y = _ray(point, across_deg).along if point == foot else _unit(point, foot)
    return (point[0] + x * gap, point[1] + y * gap), (foot[0] + x * gap, foot[1] + y * gap)


def _meet(one: _Ray, other: _Ray) -> Point2:
    """Where two rays that stand square to each other meet."""
    if abs(one.along[0]) <= _NEAR:  # upright, the other level
        return one.at[0], other.at[1]
    if abs(one.along[1]) <= _NEAR:
        return other.at[0], one.at[1]
    ox, oy = other.at[0] - one.at[0], other.at[1] - one.at[1]
    crossed = one.along[0] * other.along[1] - one.along[1] * other.along[0]
    reach = (ox * other.along[1] - oy * other.along[0]) / crossed
    return one.at[0] + one.along[0] * reach, one.at[1] + one.along[1] * reach
