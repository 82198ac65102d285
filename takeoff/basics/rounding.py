"""Counting and rounding as the order needs them: counts never fall to a floating-point crumb, lengths go up once."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from math import ceil, floor

_EXACT, _PLACES = 1e15, 10  # whole figures below it stand as they are at so many places: nothing to round


def count_up(length: float, unit: float, tolerance: float = 0.5) -> int:
    """How many units of `unit` cover `length`: ceil((length - tolerance) / unit), at least 0.

    `length`, `unit` and `tolerance` share one unit, mm by default. 12 192 / 762 is 16, not 17.

    >>> count_up(12192.0000001, 762)
    16
    >>> count_up(12193, 762)
    17
    """
    return max(0, ceil((length - tolerance) / unit))


def round_up_mm(length_mm: float, step_mm: float, tolerance_mm: float = 0.01) -> float:
    """Next multiple of `step_mm` at or above `length_mm` [mm]; the only rounding a bought length sees.

    The default tolerance is the rule for computed lengths (design: ceil((reach - tolerance) / step) x step).

    >>> round_up_mm(4381.2, 10)
    4390.0
    >>> round_up_mm(4380.000001, 10)
    4380.0
    """
    return float(ceil((length_mm - tolerance_mm) / step_mm) * step_mm)


def half_up(value: float, places: int) -> float:
    """Round half away from zero on the shortest decimal text of the float, as a spreadsheet's ROUND does.

    >>> half_up(2.675, 2), half_up(0.5, 0), half_up(-0.5, 0)
    (2.68, 1.0, -1.0)
    """
    exact = float(value)
    if exact.is_integer() and abs(exact) < _EXACT and 0 <= places < _PLACES:
        return exact
    return float(Decimal(repr(exact)).quantize(_quantum(places), rounding=ROUND_HALF_UP))


@cache
def _quantum(places: int) -> Decimal:
    return Decimal(1).scaleb(-places)


def whole_degrees(angle_deg: float) -> int:
    """An angle in whole degrees, half up: 139.5 is 140 with its crumbs of floating point and without.

    >>> whole_degrees(139.5), whole_degrees(139.49999999), whole_degrees(138.5), whole_degrees(138.49)
    (140, 140, 139, 138)
    """
    return floor(angle_deg + 0.5 + 1e-6)
