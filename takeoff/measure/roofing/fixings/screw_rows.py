"""Where roof screws go: every crossing of a sheet's cover with a row of purlin or a trimmer.

Rows at the ends of sheets (eave, ridge, head, hips, valleys) may have another pattern than the rows between, as may the
row under an end lap, whose screws go through both sheets. A sheet that crosses a row with part of its width has that
part of the screws, rounded up.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot
from typing import TYPE_CHECKING

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Ring2
from takeoff.model.measured import PurlinLine, RoofScrews
from takeoff.model.products import Profile
from takeoff.model.sheets import PlaneSheets, SheetPiece

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

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
    if not own or not sheets.pieces:
        return ()
    laps, crests = _lap_zones(sheets.pieces), profile.crests
    found: list[Crossing] = []
    for line, widths in zip(own, widths_over([piece.cover_uv for piece in sheets.pieces], own).tolist(), strict=True):
        level = abs(line.b_uv[1] - line.a_uv[1]) <= TOLERANCES.same_point_mm
        for piece, width in zip(sheets.pieces, widths, strict=True):
            if width <= profile.rib_pitch_mm / 2.0:
                continue
            zones = laps.get((piece.strip, piece.run), ()) if laps and level else ()
            lapped = any(low < line.a_uv[1] < high for low, high in zones)
            is_end = line.role != _BETWEEN or (lap_is_end and lapped)
            most = min(screws.end if is_end else screws.between, crests)
            count = max(1, ceil(most * min(1.0, width / profile.cover_mm) - 1e-6))
            found.append(Crossing(piece.mark, line.run, line.role, line.row, width, is_end, count))
    return tuple(found)


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


def widths_over(covers: Sequence[Sequence[Ring2]], lines: Sequence[PurlinLine]) -> NDArray[np.float64]:
    """Width in u of each cover along each line's own stretch [mm]: a row for each line, a column for each cover."""
    import numpy as np

    rings = [(n, ring) for n, cover in enumerate(covers) for ring in cover]
    of = np.array([n for n, ring in rings for _ in ring], dtype=np.intp)
    begins = np.array([point for _, ring in rings for point in (ring[-1], *ring[:-1])]).reshape(-1, 2)
    ends = np.array([point for _, ring in rings for point in ring]).reshape(-1, 2)
    start = np.array([line.a_uv for line in lines])
    length = np.array([hypot(line.b_uv[0] - line.a_uv[0], line.b_uv[1] - line.a_uv[1]) for line in lines])
    along = (np.array([line.b_uv for line in lines]) - start) / length[:, None]
    # sides as they lie from the start of each line: along it, and to its left
    au, av = _seen_from(start, along, begins)
    bu, bv = _seen_from(start, along, ends)
    cut = np.nonzero((av <= 0.0) != (bv <= 0.0))
    crossing = au[cut] + (0.0 - av[cut]) / (bv[cut] - av[cut]) * (bu[cut] - au[cut])
    place = cut[0] * len(covers) + of[cut[1]]
    order = np.lexsort((crossing, place))
    inwards, outwards = crossing[order[::2]], crossing[order[1::2]]  # a line goes in and comes out again
    place = place[order[::2]]
    inside = np.minimum(outwards, length[place // len(covers)]) - np.maximum(inwards, 0.0)
    covered = np.zeros(len(lines) * len(covers))
    np.add.at(covered, place, np.maximum(inside, 0.0))
    return np.asarray(covered.reshape(len(lines), len(covers)) * np.abs(along[:, :1]))


def _seen_from(
    start: NDArray[np.float64], along: NDArray[np.float64], points: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far points lie along each line from its start and how far to its left [mm]: a row for each line."""
    du, dv = points[:, 0] - start[:, :1], points[:, 1] - start[:, 1:]
    u, v = along[:, :1], along[:, 1:]
    return du * u + dv * v, dv * u - du * v
