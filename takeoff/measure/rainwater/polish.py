"""Pipes moved along a run, one at a time, until no move makes the plan better: away from sharing an inside corner, to
wall ends, and to even shares. The count stays, and every limit that was kept stays kept."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.fewest_pipes import Field, measured_by
from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.water_curve import Bools, Floats

Value = TypeVar("Value", np.bool_, np.float64)
_ROUNDS = 12
# how much a shared corner counts, neighbours that stand close, a place out along a wall, beside the shares
_CORNER, _CLOSE, _WALL = 1e14, 1e12, 1e10


def polished(
    field: Field, limits: Limits, places: Sequence[float], good: Collection[float], apart_mm: float
) -> tuple[float, ...]:
    """Places [mm, sorted] moved for the better, from where they are and from as far apart as can be; whichever ends
    better. `good`: wall ends and outside corners; neighbours nearer than
    `apart_mm` with an inside corner between them share it. Pipes that stand by hand are not moved."""
    if len(places) < 2:
        return tuple(places)
    ends = np.array(sorted(good))
    tried = [_moved(field, limits, np.array(begun), ends, apart_mm) for begun in (places, _spread(field, places))]
    least, now = min(tried, key=lambda pair: pair[0])
    if not np.isfinite(least):
        return tuple(places)
    found = now % field.length_mm if field.ring else now
    return tuple(sorted(float(place) for place in found))


def _spread(field: Field, places: Sequence[float]) -> tuple[float, ...]:
    """As many places as far apart as can be; where pipes stand by hand, the places as they are."""
    if len(field.fixed_mm):
        return tuple(places)
    count, length = len(places), field.length_mm
    wanted = [(field.start_mm + length * (n + 0.5) / count) for n in range(count)]
    near = [field.places_mm[np.abs(field.places_mm - (at % length)).argmin()] for at in wanted]
    return tuple(sorted({float(place) for place in near})) if len({*near}) == count else tuple(places)


def _moved(field: Field, limits: Limits, now: Floats, ends: Floats, apart_mm: float) -> tuple[float, Floats]:
    """Places after every move that makes them better, with what they cost."""
    least = _costs(field, limits, now[None, :], ends, apart_mm).item()
    for _ in range(_ROUNDS):
        before = least
        for n in range(len(now)):
            if np.isin(now[n] % field.length_mm, field.fixed_mm):
                continue
            moves = _moves(field, now, n)
            if not len(moves):
                continue
            tried = np.repeat(now[None, :], len(moves), axis=0)
            tried[:, n] = moves
            costs = _costs(field, limits, tried, ends, apart_mm)
            if costs.min() < least:
                least, now = float(costs.min()), tried[int(costs.argmin())]
        if least >= before:
            break
    return least, now


def _moves(field: Field, now: Floats, n: int) -> Floats:
    """Places that a pipe may move to without passing a neighbour."""
    low = now[n - 1] if n else (now[-1] - field.length_mm if field.ring else -np.inf)
    high = now[n + 1] if n + 1 < len(now) else (now[0] + field.length_mm if field.ring else np.inf)
    turns = (-1.0, 0.0, 1.0) if field.ring else (0.0,)
    unrolled = np.concatenate([field.places_mm + turn * field.length_mm for turn in turns])
    return np.asarray(unrolled[(unrolled > low) & (unrolled < high)])


def _costs(field: Field, limits: Limits, tried: Floats, good: Floats, apart_mm: float) -> Floats:
    """What each row of places costs; infinite where a limit is not kept."""
    length, crumb = field.length_mm, TOLERANCES.same_point_mm
    if field.ring:
        on = np.concatenate((tried, tried[:, :1] + length), axis=1)
        gaps = np.diff(on, axis=1)
        half = on[:, :-1] + gaps / 2.0
        parted = np.concatenate((half[:, -1:] - length, half), axis=1)
    else:
        gaps = np.diff(tried, axis=1)
        half = tried[:, :-1] + gaps / 2.0
        edge = np.zeros((len(tried), 1))
        parted = np.concatenate((edge, half, edge + length), axis=1)
    areas = np.diff(by_column(field.curves[0].upto, parted), axis=1)
    kept = (gaps <= limits.spacing_mm + crumb).all(axis=1)
    kept &= (np.diff(parted, axis=1) <= limits.length_mm + crumb).all(axis=1)
    for curve, most in measured_by(field, limits):
        kept &= (np.diff(by_column(curve.upto, parted), axis=1) <= most).all(axis=1)
    for foot in field.feet_mm:
        kept &= _off(field, tried, foot).min(axis=1) <= limits.valley_within_mm + crumb
    shared = _shared(field, tried, gaps, apart_mm)
    off_ends = ~by_column(lambda places: _among(places % length if field.ring else places, good), tried)
    cost = shared * _CORNER + (gaps < apart_mm).sum(axis=1) * _CLOSE + off_ends.sum(axis=1) * _WALL
    cost = cost + np.rint(((areas / 1e6) ** 2).sum(axis=1) * 1e3)
    return np.asarray(np.where(kept, cost, np.inf))


def _off(field: Field, places: Floats, at: float) -> Floats:
    off = np.abs(places - at) % field.length_mm if field.ring else np.abs(places - at)
    return np.asarray(np.minimum(off, field.length_mm - off) if field.ring else off)


def _among(places: Floats, good: Floats) -> Bools:
    if not len(good):
        return np.zeros(places.shape, dtype=bool)
    at = np.searchsorted(good, places)  # beyond either end its other neighbour is the end at the other side: no nearer
    near = np.minimum(np.abs(good[at - 1] - places), np.abs(good[at % len(good)] - places))
    return np.asarray(near <= 1e-3)


def by_column(figures: Callable[[Floats], NDArray[Value]], rows: Floats) -> NDArray[Value]:
    """What `figures` gives for each place of each row, place by place. Rows tried for one pipe are alike but beside it:
    columns that are the same in all rows are worked out once."""
    moved = _moved_columns(rows)
    still = figures(rows[0, ~moved])
    found = np.empty(rows.shape, dtype=still.dtype)
    found[:, ~moved], found[:, moved] = still, figures(rows[:, moved])
    return found


def _moved_columns(rows: Floats) -> Bools:
    return np.asarray((rows != rows[0]).any(axis=0))


def _shared(field: Field, tried: Floats, gaps: Floats, apart_mm: float) -> Floats:
    """How many neighbours share an inside corner, in each row."""
    left = tried[:, : gaps.shape[1]]
    moved = _moved_columns(left) | _moved_columns(gaps)
    still = sharing(field, left[:1, ~moved], gaps[:1, ~moved], apart_mm)
    return np.asarray(still.sum() + sharing(field, left[:, moved], gaps[:, moved], apart_mm).sum(axis=1))


def sharing(field: Field, left: Floats, gaps: Floats, apart_mm: float) -> Floats:
    """How many inside corners lie within each gap [mm] from its left pipe [mm along the run]; none where pipes stand
    `apart_mm` or more from each other."""
    hits, close = np.zeros(gaps.shape), gaps < apart_mm
    begun, wide = left[close], gaps[close]
    if not len(begun):
        return hits
    found = np.zeros(len(begun))
    for corner in field.inside_mm:
        along = (corner - begun) % field.length_mm if field.ring else corner - begun
        found += (along > 0.0) & (along < wide)
    hits[close] = found
    return hits
