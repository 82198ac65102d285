"""A map of an estate: each house by what is bought over net, where it stands."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from takeoff.basics.vectors import Point2, Ring2
from takeoff.model.estate import EstateSummary
from takeoff.write.estate.gather import Gathered
from takeoff.write.estate.paper import INK, STEPS, area, box, line, round_steps, sheet, words
from takeoff.write.words.words import number

_LEFT, _TOP, _WIDE, _HIGH = 15.0, 20.0, 222.0, 178.0
_MOST_DRAWN = 4_000  # houses by their outline; more are drawn as squares of ground, each by the middle of its houses
_CELLS = 90  # squares along the longer side
_NONE = "#ffffff"


def estate_map(found: Gathered, summary: EstateSummary) -> str:
    """The map, plan up. Houses without figures are left white, with a thick edge."""
    title = f"{summary.source}: sheet bought over sheeted area"
    if not found.places:
        return sheet(title, [words((15.0, 24.0), "No house has an outline in metres: there is nothing to draw.")])
    if _on_one_spot(found.places):
        return sheet(
            title, [words((15.0, 24.0), "All outlines lie on one spot: there is no map of them."), *_key(found)]
        )
    place, per_mm = _placer(found.places)
    drawn = _houses(found.places, place) if len(found.places) <= _MOST_DRAWN else _squares(found.places, place)
    return sheet(title, [*drawn, *_key(found), *_scale(per_mm)])


def bands_of(places: Sequence[tuple[Ring2, float]]) -> tuple[float, ...]:
    """Where one shade ends and the next begins: a fifth of the houses in each."""
    values = [value for _, value in places if value > 0.0]
    return tuple(float(value) for value in np.quantile(values, (0.2, 0.4, 0.6, 0.8))) if values else ()


def _on_one_spot(places: Sequence[tuple[Ring2, float]]) -> bool:
    """Whether houses are given each round a corner of its own, so that they would lie over each other."""
    corners = np.array([ring[0] for ring, _ in places])
    sides = np.array([np.ptp(np.array(ring), axis=0).max() for ring, _ in places])
    return len(places) > 1 and float(np.ptp(corners, axis=0).max()) < 2.0 * float(np.median(sides))


def _placer(places: Sequence[tuple[Ring2, float]]) -> tuple[Callable[[Point2], Point2], float]:
    """From metres to the paper, and metres of ground a mm of paper."""
    points = np.concatenate([np.array(ring) for ring, _ in places])
    low, high = points.min(axis=0), points.max(axis=0)
    per_mm = max(float(high[0] - low[0]) / _WIDE, float(high[1] - low[1]) / _HIGH, 1e-6)

    def place(point: Point2) -> Point2:
        return _LEFT + (point[0] - float(low[0])) / per_mm, _TOP + _HIGH - (point[1] - float(low[1])) / per_mm

    return place, per_mm


def _shade(value: float, bands: Sequence[float]) -> str:
    return STEPS[sum(1 for band in bands if value > band)] if value > 0.0 else _NONE


def _houses(places: Sequence[tuple[Ring2, float]], place: Callable[[Point2], Point2]) -> list[str]:
    bands = bands_of(places)
    return [
        area([place(point) for point in ring], _shade(value, bands), INK, 0.1 if value > 0.0 else 0.4)
        for ring, value in places
    ]


def _squares(places: Sequence[tuple[Ring2, float]], place: Callable[[Point2], Point2]) -> list[str]:
    """Squares of ground, each shaded by the middle of its houses."""
    side = max(_WIDE, _HIGH) / _CELLS
    held: dict[tuple[int, int], list[float]] = {}
    for ring, value in places:
        x, y = place(ring[0])
        if value > 0.0:
            held.setdefault((math.floor(x / side), math.floor(y / side)), []).append(value)
    bands = bands_of(places)
    return [
        box(col * side, row * side, side, side, _shade(float(np.median(values)), bands))
        for (col, row), values in sorted(held.items())
    ]


def _key(found: Gathered) -> list[str]:
    """What the shades mean."""
    bands = bands_of(found.places)
    parts = [words((245.0, 26.0), "bought over net", 3.2)]
    says = [f"to {number(band, 3)}" for band in bands] + ([f"over {number(bands[-1], 3)}"] if bands else [])
    for at, text in enumerate(says):
        parts += [box(245.0, 30.0 + 8.0 * at, 8.0, 6.0, STEPS[at]), words((255.0, 34.5 + 8.0 * at), text, 3.0)]
    without = sum(1 for _, value in found.places if value <= 0.0)
    if without:
        parts += [box(245.0, 74.0, 8.0, 6.0, _NONE), words((255.0, 78.5), f"{without} not taken off", 3.0)]
    return parts


def _scale(per_mm: float) -> list[str]:
    """A bar of a round number of metres."""
    metres = round_steps(0.0, 30.0 * per_mm, 1)[1]
    wide = metres / per_mm
    right = 282.0
    bar = line([(right - wide, 190.0), (right, 190.0)], INK, 0.6)
    return [bar, words((right, 195.0), f"{number(metres, 1)} m", 3.0, "end")]
