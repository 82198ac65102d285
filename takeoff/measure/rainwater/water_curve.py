"""The water of a run at many positions at once: what has come in up to each, as a curve of parabolas.

It gives what `RunWater` of stretches.py gives, in arrays.
"""

from __future__ import annotations

import numpy as np
from numpy.lib.stride_tricks import as_strided
from numpy.typing import NDArray

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.stretches import RunWater

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Indices = NDArray[np.intp]


def distinct(values: Floats) -> Floats:
    """Each value once, rising: `np.unique`, which loads the library's masked arrays when it is first called."""
    rising = np.sort(values)
    return rising[np.diff(rising, prepend=-np.inf) > 0.0]


def behind(values: Indices, wide: int, low: int, high: int) -> Indices:
    """Values at the `wide` places behind each of those from `low` to `high`, nearest first; -1 where none is."""
    none = np.full(max(wide - low, 0), -1)
    turned = np.concatenate((none, values[max(low - wide, 0) : high - 1]))[::-1].copy()  # each row lies in one piece
    return as_strided(turned, (high - low, wide), turned.strides * 2, writeable=False)[::-1]


class WaterCurve:
    """Area [mm2] that enters up to a position [mm along a run]; on a ring it goes on round.

    Between knots water comes in as thick as a straight line says, so the sum is a parabola; the foot of a valley is a
    step, of which half counts at the very point.
    """

    def __init__(self, water: RunWater) -> None:
        self.ring, self.length_mm, self.total_mm2 = water.ring, water.length_mm, water.total_mm2
        flows = np.array(water.flows, dtype=np.float64).reshape(-1, 4)
        spread = flows[:, 1] - flows[:, 0] > TOLERANCES.same_point_mm
        self._parabolas(flows[spread])
        self._steps(flows[~spread])
        self._known: dict[tuple[tuple[int, ...], bytes], Floats] = {}

    def _parabolas(self, lines: Floats) -> None:
        self._knots = distinct(np.concatenate((lines[:, 0], lines[:, 1], [0.0])))
        thick, thicker = np.zeros(len(self._knots)), np.zeros(len(self._knots))
        for low, high, start, end in lines:
            width = high - low
            first, last = np.searchsorted(self._knots, (low, high))
            on = self._knots[first:last]
            thick[first:last] += (start + (end - start) * (on - low) / width) / width
            thicker[first:last] += (end - start) / width**2 / 2.0
        wide = np.diff(self._knots, append=self._knots[-1])
        gained = (thick + thicker * wide) * wide
        self._thick, self._thicker = thick, thicker
        self._sums = np.concatenate(([0.0], np.cumsum(gained)[:-1]))

    def _steps(self, points: Floats) -> None:
        """Parts at which nothing but the place on them is left to be asked: from knot to knot, and round each step from
        a crumb before it, from where half of it counts, to a crumb behind."""
        crumb = TOLERANCES.same_point_mm
        order = np.argsort(points[:, 1], kind="stable")
        steps_mm = points[order, 1]
        stepped = np.concatenate(([0.0], np.cumsum((points[order, 2] + points[order, 3]) / 2.0)))
        self._parts = distinct(np.concatenate((self._knots, steps_mm - crumb, steps_mm + crumb)))
        past = (steps_mm + crumb).searchsorted(self._parts, side="right")
        at = (steps_mm - crumb).searchsorted(self._parts, side="right")
        self._in_steps = (stepped[past] + stepped[at]) / 2.0
        knots = np.maximum(self._knots.searchsorted(self._parts, side="right") - 1, 0)
        self._from_mm, self._sums = self._knots[knots], self._sums[knots]
        self._thick, self._thicker = self._thick[knots], self._thicker[knots]

    def _before(self, along_mm: Floats) -> Floats:
        n = np.maximum(self._parts.searchsorted(along_mm, side="right") - 1, 0)
        on = np.maximum(along_mm - self._from_mm[n], 0.0)
        spread = self._sums[n] + (self._thick[n] + self._thicker[n] * on) * on
        return np.asarray(spread + self._in_steps[n])

    def upto(self, along_mm: Floats) -> Floats:
        """Area [mm2] up to each position: none at the start of a run, all at its end. Many limits are tried on the same
        positions of a run: these are worked out once."""
        key = (along_mm.shape, along_mm.tobytes())
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self.worked_out(along_mm)
            found.setflags(write=False)
        return found

    def worked_out(self, along_mm: Floats) -> Floats:
        """As `upto`, and nothing of it kept."""
        if self.ring:
            turns, rest = np.divmod(along_mm, self.length_mm)
            return np.asarray(turns * self.total_mm2 + self._before(rest))
        found = self._before(along_mm)
        found = np.where(along_mm <= 0.0, 0.0, found)
        return np.asarray(np.where(along_mm >= self.length_mm, self.total_mm2, found))
