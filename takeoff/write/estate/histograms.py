"""How roof areas, waste and catchments are spread over the houses of an estate: a picture of three distributions, and
the houses to check by hand."""

from __future__ import annotations

import numpy as np

from takeoff.model.estate import EstateSummary
from takeoff.write.estate.gather import Gathered
from takeoff.write.estate.paper import GREY, INK, STEPS, box, line, round_steps, sheet, words
from takeoff.write.words.words import number

_LEFT, _WIDE, _HIGH = 22.0, 78.0, 52.0
_TOP = 32.0
_SHOWN = (
    ("roof_m2", "Roof on the slope, m2", 0),
    ("bought_over_net", "Sheet bought over sheeted area", 3),
    ("catchment_m2", "Catchment in plan, m2", 0),
)
_BARS = 20
_SHARE = 0.995  # of the houses are shown; those beyond are counted in the last bar


def estate_spread(found: Gathered, summary: EstateSummary) -> str:
    """The picture."""
    count = len(found.numbers)
    title = f"{summary.source}: {count} of {summary.houses} houses taken off"
    if not count:
        return sheet(title, [words((15.0, 24.0), "No house was taken off: there is nothing to show.")])
    body = []
    for at, (name, says, places) in enumerate(_SHOWN):
        left = _LEFT + at * (_WIDE + 14.0)
        body += _histogram(left, np.array(found.columns[name]), says, places)
    return sheet(title, [*body, *_odd(summary)])


def _histogram(left: float, values: np.ndarray[tuple[int], np.dtype[np.float64]], says: str, places: int) -> list[str]:
    """Bars of equal width from the least to nearly the most; the last one holds all beyond."""
    least, most = float(values.min()), float(np.quantile(values, _SHARE))
    steps = round_steps(least, most, 5)
    low, high = steps[0], steps[-1]
    counts, edges = np.histogram(np.clip(values, low, high), bins=_BARS, range=(low, high))
    up = round_steps(0.0, float(counts.max()), 4)
    foot = _TOP + _HIGH
    parts = [words((left, _TOP - 5.0), says, 3.5)]
    for value in up:
        y = foot - value / up[-1] * _HIGH
        parts += [
            line([(left, y), (left + _WIDE, y)], GREY, 0.2),
            words((left - 1.5, y + 1.0), f"{value:g}", 2.8, "end"),
        ]
    for tall, from_, to in zip(counts, edges[:-1], edges[1:], strict=True):
        x, wide = left + (from_ - low) / (high - low) * _WIDE, (to - from_) / (high - low) * _WIDE
        rise = float(tall) / up[-1] * _HIGH
        parts.append(box(x, foot - rise, wide, rise, STEPS[2]))
    parts.append(line([(left, foot), (left + _WIDE, foot)], INK))
    for value in steps:
        x = left + (value - low) / (high - low) * _WIDE
        parts += [line([(x, foot), (x, foot + 1.2)], INK, 0.25), words((x, foot + 5.0), f"{value:g}", 2.8, "middle")]
    middle = float(np.median(values))
    x = left + (min(max(middle, low), high) - low) / (high - low) * _WIDE
    parts.append(line([(x, foot), (x, _TOP - 1.0)], INK, 0.5))
    beyond = int((values > high).sum())
    told = f"least {number(least, places)}, middle {number(middle, places)}, most {number(float(values.max()), places)}"
    parts.append(words((left, foot + 10.5), told + (f"; {beyond} beyond" if beyond else ""), 3.0))
    return parts


def _odd(summary: EstateSummary) -> list[str]:
    """The houses to check by hand, in a list."""
    if not summary.odd:
        return []
    parts = [words((15.0, 110.0), "Check by hand: the houses that are furthest from the others", 3.5)]
    columns = (15.0, 32.0, 100.0, 178.0, 206.0, 236.0)
    heads = ("number", "house", "by its", "its figure", "middle", "usual spreads off")
    rows = [heads]
    for odd in summary.odd:
        figures = (number(odd.figure, 3), number(odd.middle, 3), number(odd.spreads, 1))
        rows.append((str(odd.number), odd.name[:34], odd.what.replace("_m2", ", m2").replace("_", " "), *figures))
    for at, row in enumerate(rows):
        y = 117.0 + 6.0 * at
        parts += [words((x, y), cell, 3.0) for x, cell in zip(columns, row, strict=True)]
        parts.append(line([(15.0, y + 1.8), (282.0, y + 1.8)], INK if not at else GREY, 0.2))
    parts.append(
        words(
            (15.0, 190.0), "Sheet bought: a length a sheet. Each house is reckoned by itself; nothing is an order.", 3.0
        )
    )
    return parts
