"""A month-by-month balance of an average year, where only means of months are known."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.model.rain_series import MonthlyRain
from takeoff.model.tank_store import MONTH_DAYS, MonthBalance, Use


def month_balance(
    rain: MonthlyRain, litres_a_mm: float, use: Use, size_l: float, start_l: float
) -> tuple[MonthBalance, ...]:
    """Twelve months from `start_l` on: what runs off, is wanted, drawn, spilt and left [L]."""
    found: list[MonthBalance] = []
    left = start_l
    for month, (mm, litres, days) in enumerate(zip(rain.mm, use.litres_a_day, MONTH_DAYS, strict=True), start=1):
        run_off, wanted = mm * litres_a_mm, litres * days
        drawn = min(wanted, left + run_off)
        after = min(left + run_off - drawn, size_l)
        found.append(MonthBalance(month, run_off, wanted, drawn, left + run_off - drawn - after, after))
        left = after
    return tuple(found)


def drawdown_l(rain: MonthlyRain, litres_a_mm: float, use: Use) -> float:
    """The store that carries an average year through its dry months [L]: the most by which what is wanted runs ahead
    of what runs off over any months in turn, round the year. Where less runs off than is wanted over the whole year,
    none does: then what one year lacks."""
    nets = [
        litres * days - mm * litres_a_mm for mm, litres, days in zip(rain.mm, use.litres_a_day, MONTH_DAYS, strict=True)
    ]
    return max(_most_in_turn([*nets, *nets]), 0.0) if sum(nets) <= 0.0 else sum(nets)


def _most_in_turn(nets: Sequence[float]) -> float:
    """Largest sum of neighbouring months (Kadane)."""
    best = running = 0.0
    for net in nets:
        running = max(0.0, running + net)
        best = max(best, running)
    return best
