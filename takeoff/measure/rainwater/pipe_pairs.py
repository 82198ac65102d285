"""Every two places of a run that may be neighbours, and the water that comes in up to half way between them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from takeoff.measure.rainwater.water_curve import Floats, Indices, WaterCurve


@dataclass(slots=True)
class Grid:
    """Every place with those behind it, nearest first: their numbers, where they lie [mm], half way to them [mm], and
    the water up to there by each curve [mm2]: not a number until it is asked for. Entries before the first place say
    nothing."""

    back: Indices
    left_mm: Floats
    half_mm: Floats
    water: dict[int, Floats] = field(default_factory=dict)

    @classmethod
    def of(cls, x_mm: Floats, most: int) -> Grid:
        """Of sorted places, so many of them back."""
        back = np.maximum(np.arange(len(x_mm))[:, None] - np.arange(1, most + 1)[None, :], 0)
        left = x_mm[back]
        return cls(back, left, (left + x_mm[:, None]) / 2.0)

    def upto(self, curve: WaterCurve, places: Indices, back: Indices) -> Floats:
        """Water of a curve up to half way between places and those so many entries back [mm2]. A search looks at few
        of all pairs: what it looks at is worked out once."""
        known = self.water.get(id(curve))
        if known is None:
            known = self.water[id(curve)] = np.full(self.half_mm.shape, np.nan)
        found = known[places, back]
        new = np.isnan(found)
        if new.any():
            there = places[new], back[new]
            known[there] = found[new] = curve.worked_out(self.half_mm[there])
        return found
