"""Cut ends of sheets in arrays: one is held against all others at once, by the rules of raked_pairs.py."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.tolerances import TOLERANCES
from takeoff.order.sheets.nesting import EndLine, nested_mm

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
        self._end = np.array([half.end for half in halves])
        self._side = np.array([half.piece.start_side for half in halves])
        self._rises = np.array([half.rises for half in halves])
        self._rake = np.array([half.rake_deg for half in halves])
        self._simple = np.array([half.simple for half in halves])
        self._reach = np.array([half.piece.reach_mm + half.piece.foot_turn_mm + rule.allowance_mm for half in halves])
        self._alone = np.array([half.alone_mm for half in halves])
        self._guests = np.array([half.guests_mm for half in halves])
        self._lines = list(dict.fromkeys(half.line for half in halves))
        place = {line: number for number, line in enumerate(self._lines)}
        self._line = np.array([place[half.line] for half in halves])
        self._nested: dict[tuple[int, bool], NDArray[np.float64]] = {}

    def laid_as(self, n: int) -> NDArray[np.bool_]:
        """Those that hand, rake and laps let be a pair with end `n`."""
        may = self._profile == self._profile[n]
        if self._simple[n]:
            like = (np.abs(self._rake - self._rake[n]) <= self.rule.rake_deg) & (self._rises == self._rises[n])
            may &= ~self._simple | like
        if not self.rule.half_turn_same:
            may &= (self._end == self._end[n]) != (self._side == self._side[n])
        return np.asarray(may)

    def pairs(self, n: int, others: NDArray[np.intp]) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
        """Those of some ends that make a pair with end `n`, and the lengths bought for the pairs [mm]."""
        rule, own, reach = self.rule, self._reach[n], self._reach[others]
        length = np.maximum(np.maximum(own + reach - self._nested_with(n, others), own), reach)
        steps = np.ceil((length - TOLERANCES.same_length_mm) / rule.step_mm)
        length = np.maximum(steps * rule.step_mm, rule.least_mm)
        short = length + self._guests[n] + self._guests[others] <= rule.limit_mm
        nests = self._alone[n] + self._alone[others] - length > TOLERANCES.same_length_mm
        return others[short & nests], length[short & nests]

    def _nested_with(self, n: int, others: NDArray[np.intp]) -> NDArray[np.float64]:
        """How far ends go into end `n` [mm]: each two lines are held against each other once."""
        found = np.empty(len(others))
        lines, turned = self._line[others], self._end[others] == self._end[n]
        for way in (True, False):
            key = int(self._line[n]), way
            known = self._nested.setdefault(key, np.full(len(self._lines), np.nan))
            for line in set(lines[turned == way].tolist()):
                if np.isnan(known[line]):
                    known[line] = nested_mm(self._lines[key[0]], self._facing(line, way))
            found[turned == way] = known[lines[turned == way]]
        return found

    def _facing(self, line: int, turned: bool) -> EndLine:
        facing = self._lines[line]
        return facing.turned(self.rule.overall_mm) if turned else facing
