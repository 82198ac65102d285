"""Cut ends of sheets in arrays: many are held against each other at once, by the rules of raked_pairs.py."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.tolerances import TOLERANCES
from takeoff.order.sheets.nesting import nested_mm

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takeoff.order.sheets.raked_pairs import Half, PairRule


class CutEnds:
    """Ends of pieces, each with the kind that its piece is of."""

    def __init__(self, ends: Sequence[tuple[int, Half]], rule: PairRule) -> None:
        halves = [half for _, half in ends]
        self.rule = rule
        self.kind = np.array([kind for kind, _ in ends])
        self._profile = np.array([half.piece.profile for half in halves])
        self._top = np.array([half.end == "top" for half in halves])
        self._left = np.array([half.piece.start_side == "left" for half in halves])
        self._rises = np.array([half.rises for half in halves])
        self._rake = np.array([half.rake_deg for half in halves])
        self._simple = np.array([half.simple for half in halves])
        self._reach = np.array([half.piece.reach_mm + half.piece.foot_turn_mm + rule.allowance_mm for half in halves])
        self._alone = np.array([half.alone_mm for half in halves])
        self._guests = np.array([half.guests_mm for half in halves])
        self._lines = list(dict.fromkeys(half.line for half in halves))
        place = {line: number for number, line in enumerate(self._lines)}
        self._line = np.array([place[half.line] for half in halves])

    def laid_as(self, ones: NDArray[np.intp]) -> NDArray[np.bool_]:
        """A row for each of some ends: the ends that hand, rake and laps let be a pair with it."""
        one = ones[:, None]
        may = self._profile == self._profile[one]
        like = (np.abs(self._rake - self._rake[one]) <= self.rule.rake_deg) & (self._rises == self._rises[one])
        may &= like | ~self._simple | ~self._simple[one]
        if not self.rule.half_turn_same:
            may &= (self._top == self._top[one]) != (self._left == self._left[one])
        return np.asarray(may)

    def pairs(self, ones: NDArray[np.intp], others: NDArray[np.intp]) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
        """Which ends make a pair with those that stand at the same place of the others, and the lengths bought for
        such pairs [mm]."""
        rule, own, reach = self.rule, self._reach[ones], self._reach[others]
        length = np.maximum(np.maximum(own + reach - self._nested(ones, others), own), reach)
        steps = np.ceil((length - TOLERANCES.same_length_mm) / rule.step_mm)
        length = np.maximum(steps * rule.step_mm, rule.least_mm)
        short = length + self._guests[ones] + self._guests[others] <= rule.limit_mm
        nests = self._alone[ones] + self._alone[others] - length > TOLERANCES.same_length_mm
        return short & nests, length

    def _nested(self, ones: NDArray[np.intp], others: NDArray[np.intp]) -> NDArray[np.float64]:
        """How far ends go into those at the same place of the others [mm]: each two lines are held against each other
        once."""
        lines, turned = len(self._lines), self._top[ones] == self._top[others]
        ways, at = np.unique((self._line[ones] * lines + self._line[others]) * 2 + turned, return_inverse=True)
        found = [self._lines_nested(way // 2 // lines, way // 2 % lines, way % 2 == 1) for way in ways.tolist()]
        return np.array(found, dtype=float)[at]

    def _lines_nested(self, low: int, high: int, turned: bool) -> float:
        facing = self._lines[high]
        return nested_mm(self._lines[low], facing.turned(self.rule.overall_mm) if turned else facing)
