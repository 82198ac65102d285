"""Lengths and angles as people type them into the page, and as the page shows them."""

from __future__ import annotations

import re

from takeoff.basics.errors import UsageError

METRES_BELOW = (
    100.0  # a bare figure with decimals below this is metres: no part of a house is set out in tenths of a mm
)
_FACTOR = {"mm": 1.0, "m": 1000.0}
_LENGTH = re.compile(r"(?P<figure>[+-]?[0-9]+(?:[.,][0-9]*)?|[+-]?[.,][0-9]+)\s*(?P<unit>mm|m|millimetres?|metres?)?")
_ANGLE = re.compile(r"(?P<figure>[+-]?[0-9]+(?:[.,][0-9]*)?|[+-]?[.,][0-9]+)\s*(?:°|deg(?:rees?)?\.?)?")
_MOST_LETTERS = 40
_MOST_MM = 1e6  # a kilometre: as the job's own lengths


def length_mm(text: str, signed: bool = False) -> float:
    """A length in mm: 6200 is mm; 6.2 and 6,2 are metres (decimals, under 100); "6.2 m", "6200 mm" as they say;
    a space may part thousands. `signed`: heights and places, which may lie below or left of nothing.

    UsageError says what to type.

    >>> length_mm("6200"), length_mm("6.2"), length_mm("6,2 m"), length_mm("6 200 mm"), length_mm("-450", signed=True)
    (6200.0, 6200.0, 6200.0, 6200.0, -450.0)
    """
    clean = " ".join(text.split()).lower()
    clean = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))", "", clean).replace("\N{MINUS SIGN}", "-")
    found = _LENGTH.fullmatch(clean)
    if found is None or len(text) > _MOST_LETTERS:
        raise UsageError(f"{_shown(text)} is no length: type millimetres (6200) or metres (6.2 m).")
    figure, unit = found["figure"].replace(",", "."), (found["unit"] or "").replace("illimetre", "m").rstrip("s")
    unit = "m" if unit == "metre" else unit
    value = float(figure)
    if not unit:
        unit = "m" if "." in figure and abs(value) < METRES_BELOW else "mm"
        if unit == "mm" and re.fullmatch(r"[+-]?[0-9]{3},[0-9]{3}", found["figure"]):
            raise UsageError(
                f"{_shown(text)} can be read two ways: type millimetres without a comma, or metres with m."
            )
    if value < 0 and not signed:
        raise UsageError(f"{_shown(text)} is below nothing: type a length of 0 or more, as 6200 or 6.2 m.")
    length = round(value * _FACTOR[unit], 6)
    if abs(length) > _MOST_MM:
        raise UsageError(f"{_shown(text)} is longer than a kilometre: type millimetres (6200) or metres (6.2 m).")
    return length


def degrees(text: str) -> float:
    """An angle in degrees: 25, 22.5, "22,5", "25 deg", "25°". UsageError says what to type.

    >>> degrees("22,5"), degrees("25°"), degrees("-10 deg")
    (22.5, 25.0, -10.0)
    """
    found = _ANGLE.fullmatch(text.strip().lower().replace("\N{MINUS SIGN}", "-"))
    if found is None or len(text) > _MOST_LETTERS:
        raise UsageError(f"{_shown(text)} is no angle: type degrees, as 25 or 22.5.")
    value = float(found["figure"].replace(",", "."))
    if abs(value) > 360.0:
        raise UsageError(f"{_shown(text)} is more than a whole turn: type degrees from -360 to 360.")
    return value


def figure_words(value: object) -> str:
    """A figure as it stands in a field: 6200, 22.5; "" for none, a word as it is.

    >>> figure_words(6200.0), figure_words(22.5), figure_words(None)
    ('6200', '22.5', '')
    """
    if value is None:
        return ""
    if isinstance(value, int | float) and not isinstance(value, bool):
        text = f"{value:.6f}".rstrip("0").rstrip(".")
        return "0" if text == "-0" else text
    return str(value)


def _shown(text: str) -> str:
    return f'"{text.strip()[:_MOST_LETTERS]}"' if text.strip() else "nothing"
