"""Rows of an estate -> what is said of it as a whole: sums, spreads, odd houses, findings, refusals, lines."""

from __future__ import annotations

import re
from array import array
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from takeoff.basics.vectors import Ring2
from takeoff.model.estate import FIGURES, EstateSummary, HouseResult, HouseState, OddHouse, SummedLine

# figures whose sum over houses says something; the others are ratios, angles and counts of shape
SUMMED = tuple(name for name, _, _ in FIGURES if name not in ("corners", "planes", "steepest_deg", "bought_over_net"))
SPREAD = ("roof_m2", "bought_over_net", "catchment_m2")
_ODD = ("roof_m2", "bought_over_net", "catchment over plan", "ridges, hips and valleys over roof")
MOST_ODD = 10
MOST_REFUSALS = 20
_MOST_REASON = 160  # letters
_LEAST_TO_COMPARE = 8  # houses: of fewer none is odd
_TO_NORMAL = 1.4826  # median deviation over standard deviation of a normal distribution
_LEAST_SPREAD = 0.05  # of the middle: figures that are all but equal have no spread of their own
_NUMBERS = re.compile(r"-?\d[\d.,]*")


@dataclass(slots=True)
class Gathered:
    """What is kept of all rows while they are read once: a few numbers a house, not the rows."""

    states: Counter[str] = field(default_factory=Counter)
    numbers: list[int] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    columns: dict[str, array[float]] = field(default_factory=lambda: {name: array("d") for name, _, _ in FIGURES})
    findings: dict[tuple[str, str], list[int]] = field(default_factory=dict)
    refusals: dict[tuple[str, str], tuple[str, str, int]] = field(default_factory=dict)
    lines: dict[tuple[str, str, str, str], tuple[SummedLine, int]] = field(default_factory=dict)
    places: list[tuple[Ring2, float]] = field(default_factory=list)

    def add(self, row: HouseResult) -> None:
        """Take a row in."""
        self.states[row.state.value] += 1
        for code, (severity, count) in row.findings.items():
            sums = self.findings.setdefault((code, severity), [0, 0])
            sums[0] += count
            sums[1] += 1
        if row.state is not HouseState.DONE:
            self._refused(row)
        if row.ring_m:
            self.places.append((row.ring_m, row.figures.get("bought_over_net", 0.0) if _done(row) else 0.0))
        if _done(row):
            self.numbers.append(row.number)
            self.names.append(row.name)
            for name, _, _ in FIGURES:
                self.columns[name].append(row.figures[name])
        for line in row.lines:
            self._line(line)

    def _refused(self, row: HouseResult) -> None:
        """Reasons that differ in their figures alone are one; the words of its first house stand for it."""
        reason = _NUMBERS.sub("#", row.why.replace(row.name, "..."))[:_MOST_REASON]
        words = f"{row.state.value}: {row.why[:_MOST_REASON]}" if row.why else row.state.value
        first, one, count = self.refusals.get((row.state.value, reason), (words, row.name, 0))
        self.refusals[row.state.value, reason] = (first, one, count + 1)

    def _line(self, line: SummedLine) -> None:
        key = (line.delivery, line.item, line.unit, line.total_unit)
        held, houses = self.lines.get(key, (replace(line, count=0.0, total=0.0, kg=0.0), 0))
        summed = replace(held, count=held.count + line.count, total=held.total + line.total, kg=held.kg + line.kg)
        self.lines[key] = (summed, houses + 1)


def _done(row: HouseResult) -> bool:
    return row.state is HouseState.DONE


def gather(rows: Iterable[HouseResult]) -> Gathered:
    """All rows taken in."""
    found = Gathered()
    for row in rows:
        found.add(row)
    return found


def summary_of(found: Gathered, facts: EstateSummary) -> EstateSummary:
    """What is said of the estate, put into the facts that are known of it."""
    columns = {name: np.array(values) for name, values in found.columns.items()}
    spread = {
        name: (float(columns[name].min()), float(np.median(columns[name])), float(columns[name].max()))
        for name in SPREAD
        if len(columns[name])
    }
    refusals = sorted(((why, count, one) for why, one, count in found.refusals.values()), key=lambda told: -told[1])
    return replace(
        facts,
        states=dict(sorted(found.states.items())),
        totals={name: float(columns[name].sum()) for name in SUMMED},
        spread=spread,
        odd=odd_houses(found.numbers, found.names, columns),
        refusals=tuple(refusals[:MOST_REFUSALS]),
        findings=tuple(
            (code, severity, count, houses) for (code, severity), (count, houses) in sorted(found.findings.items())
        ),
    )


def odd_houses(
    numbers: list[int], names: list[str], columns: Mapping[str, np.ndarray[tuple[int], np.dtype[np.float64]]]
) -> tuple[OddHouse, ...]:
    """The houses furthest from the others, oddest first, each by the figure in which it is. The distance is from the
    median, in median absolute deviations brought to the scale of a standard deviation (a modified z score: Iglewicz and
    Hoaglin 1993, ASQC Basic References in Quality Control 16), on a logarithmic scale."""
    if len(numbers) < _LEAST_TO_COMPARE:
        return ()
    figures = {
        "roof_m2": columns["roof_m2"],
        "bought_over_net": columns["bought_over_net"],
        "catchment over plan": columns["catchment_m2"] / np.maximum(columns["roof_plan_m2"], 1e-9),
        "ridges, hips and valleys over roof": (columns["ridge_m"] + columns["hip_m"] + columns["valley_m"])
        / np.maximum(columns["roof_m2"], 1e-9),
    }
    scores = np.zeros((len(_ODD), len(numbers)))
    for at, what in enumerate(_ODD):
        logs = np.log(np.maximum(figures[what], 1e-3))
        off = np.abs(logs - np.median(logs))
        scores[at] = off / max(_TO_NORMAL * float(np.median(off)), _LEAST_SPREAD)
    worst = scores.argmax(axis=0)
    most = scores.max(axis=0)
    order = np.lexsort((np.array(numbers), -most))[:MOST_ODD]
    found = []
    for at in order:
        what = _ODD[worst[at]]
        middle = float(np.median(figures[what]))
        found.append(OddHouse(numbers[at], names[at], what, float(figures[what][at]), middle, float(most[at])))
    return tuple(found)
