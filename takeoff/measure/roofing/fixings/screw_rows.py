"""Where roof screws go: every crossing of a sheet's cover with a row of purlin or a trimmer.

Rows at the ends of sheets (eave, ridge, head, hips, valleys) may have another pattern than the rows between, as may the
row under an end lap, whose screws go through both sheets. A sheet that crosses a row with part of its width has that
part of the screws, rounded up.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.model.measured import PurlinLine, RoofScrews
from takeoff.model.products import Profile
from takeoff.model.sheets import PlaneSheets, SheetPiece
from takeoff.shape.strips.plane_lines import spans_at, turned

# lines that sheets are not screwed to: outriggers lie below the purlins, hole trimmers under their flashings
_UNDER = frozenset({"outrigger", "hole trimmer"})
_BETWEEN = "purlin"


@record
class Crossing:
    """One sheet over one line of timber: the width of its cover there [mm], and its screws. `row` numbers the line
    among those of its role."""

    mark: str
    line: str
    role: str
    row: int
    width_mm: float
    is_end: bool
    screws: int


def screw_crossings(
    sheets: PlaneSheets, lines: Sequence[PurlinLine], profile: Profile, screws: RoofScrews, lap_is_end: bool = False
) -> tuple[Crossing, ...]:
    """All crossings of one plane's sheets with its lines, in the order of the lines.

    A crossing narrower than half a rib has no crest and no screw. The row under an end lap is crossed once, by the
    upper sheet through the lower one; `lap_is_end`: it is a row at the end of sheets.
    """
    own = _screwed_to([line for line in lines if line.plane == sheets.plane])
    laps = _lap_zones(sheets.pieces)
    found: list[Crossing] = []
    boxed = [(piece, ring_box(piece.cover_uv)) for piece in sheets.pieces]
    for line in own:
        level = abs(line.b_uv[1] - line.a_uv[1]) <= TOLERANCES.same_point_mm
        across = _width_across if level and line.b_uv[1] == line.a_uv[1] else _width_over
        for piece in (piece for piece, box in boxed if not line_passes(box, line)):
            width = across(piece.cover_uv, line)
            if width <= profile.rib_pitch_mm / 2.0:
                continue
            lapped = level and any(low < line.a_uv[1] < high for low, high in laps.get((piece.strip, piece.run), ()))
            is_end = line.role != _BETWEEN or (lap_is_end and lapped)
            most = min(screws.end if is_end else screws.between, profile.crests)
            count = max(1, ceil(most * min(1.0, width / profile.cover_mm) - 1e-6))
            found.append(Crossing(piece.mark, line.run, line.role, line.row, width, is_end, count))
    return tuple(found)


# low u, low v, high u, high v [mm]
_Box = tuple[float, float, float, float]


def ring_box(rings: Sequence[Ring2]) -> _Box:
    """The box round rings; of none a box that everything passes."""
    us, vs = [u for ring in rings for u, _ in ring], [v for ring in rings for _, v in ring]
    low, high = float("inf"), float("-inf")
    return min(us, default=low), min(vs, default=low), max(us, default=high), max(vs, default=high)


def line_passes(box: _Box, line: PurlinLine) -> bool:
    """True where a line lies beside a box by more than a crumb: it is over nothing in it."""
    crumb = TOLERANCES.same_point_mm
    (au, av), (bu, bv) = line.a_uv, line.b_uv
    low_u, low_v, high_u, high_v = box
    return (
        (au if au > bu else bu) < low_u - crumb
        or (au if au < bu else bu) > high_u + crumb
        or (av if av > bv else bv) < low_v - crumb
        or (av if av < bv else bv) > high_v + crumb
    )


def _screwed_to(lines: Sequence[PurlinLine]) -> list[PurlinLine]:
    """Lines that take screws: of the boards beside a valley only the outermost, clear of the tray."""
    outer = max((line.row for line in lines if line.role == "valley board"), default=0)
    return [line for line in lines if line.role not in _UNDER and (line.role != "valley board" or line.row == outer)]


def _lap_zones(pieces: Sequence[SheetPiece]) -> dict[tuple[int, int], list[tuple[float, float]]]:
    """Heights [mm] over which an end lap lies, by strip and run."""
    zones: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for lower in (piece for piece in pieces if piece.lap_mm > 0.0):
        for upper in pieces:
            if (upper.strip, upper.run, upper.part) == (lower.strip, lower.run, lower.part + 1):
                zone = (upper.foot_v_mm, upper.foot_v_mm + lower.lap_mm)
                zones.setdefault((lower.strip, lower.run), []).append(zone)
    return zones


def _width_over(rings: Sequence[Ring2], line: PurlinLine) -> float:
    """Width in u of the rings along a line's own stretch [mm]."""
    (ax, ay), (bx, by) = line.a_uv, line.b_uv
    length = hypot(bx - ax, by - ay)
    along = ((bx - ax) / length, (by - ay) / length)
    inside = spans_at(turned(rings, line.a_uv, along), 0.0)
    covered = sum(max(0.0, min(b, length) - max(a, 0.0)) for a, b in inside)
    return covered * abs(along[0])


def _width_across(rings: Sequence[Ring2], line: PurlinLine) -> float:
    """As `_width_over`, of a level line."""
    start, v = line.a_uv
    length = abs(line.b_uv[0] - start)
    turn = -1.0 if line.b_uv[0] < start else 1.0
    found = []
    for ring in rings:
        au, av = ring[-1]
        au, av = (au - start) * turn, (av - v) * turn
        for u, w in ring:
            bu, bv = (u - start) * turn, (w - v) * turn
            if (av <= 0.0) != (bv <= 0.0):
                found.append(au + (0.0 - av) / (bv - av) * (bu - au))
            au, av = bu, bv
    found.sort()
    return sum([max(0.0, min(b, length) - max(a, 0.0)) for a, b in zip(found[::2], found[1::2], strict=True)])
