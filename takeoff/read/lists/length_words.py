"""Lengths and counts as people write them: 4380, "4.380 m", "4,380", "4 380 mm", "12 no"."""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import isfinite

from takeoff.basics.records import record

# no sheet that can be made and carried is shorter or longer [mm]
LEAST_MM, MOST_MM = 50.0, 60_000.0
METRES_BELOW = 60.0  # a bare number below this is metres, above it mm

UNIT_MM = {"mm": 1.0, "m": 1000.0}
_UNIT_WORDS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "lm": "m",
}  # fmt: skip
_OTHER_UNITS = frozenset({"cm", "ft", "in", "inch", "inches", "feet", "foot", "yd", "'", '"'})
_TEXT = re.compile(r"([-+]?[0-9][0-9.,'’\s]*)\s*([a-z'\"]*)\.?$", re.IGNORECASE)
# figures that can only have a decimal comma, or only a decimal point
_WITH_COMMA = re.compile(r"-?([0-9]+,([0-9]{1,2}|[0-9]{4,})|[0-9]{1,3}([.'’\s][0-9]{3})+,[0-9]+)")
_WITH_POINT = re.compile(r"-?([0-9]+\.([0-9]{1,2}|[0-9]{4,})|[0-9]{1,3}([,'’\s][0-9]{3})+\.[0-9]+)")
_GROUPED = re.compile(r"[0-9]{1,3}(?:[,.'’\s][0-9]{3})+")


def unit_of(word: str) -> str:
    """ "mm" or "m" for a unit's word, "" for a word that is none. Raises ValueError for a unit that is not read."""
    clean = word.strip().strip(".()[]").lower()
    if clean in _OTHER_UNITS:
        raise ValueError(f"{clean} is not read; give lengths in mm or m")
    return _UNIT_WORDS.get(clean, "")


@record
class Length:
    """A length and the unit it was read in ("" where both give the same); `stated` where cell or heading says it."""

    mm: float
    unit: str
    stated: bool


def has_decimal_commas(cells: Iterable[str | float | int | None], delimiter: str = "") -> bool:
    """Whether the figures of a list are written with decimal commas: some can be read in no other way, and none only
    with a point. Where nothing tells, the delimiter does: programs that write decimal commas part cells by semicolons.

    >>> has_decimal_commas(("4,38", "4,380", 990)), has_decimal_commas(("4,380",)), has_decimal_commas(("4,380",), ";")
    (True, False, True)
    """
    texts = [match.group(1).strip() for cell in cells if isinstance(cell, str) and (match := _TEXT.match(cell.strip()))]
    if any(_WITH_POINT.fullmatch(text) for text in texts):
        return False
    return delimiter == ";" or any(_WITH_COMMA.fullmatch(text) for text in texts)


def read_length(cell: str | float | int, unit: str, most_mm: float = MOST_MM, commas: bool = False) -> Length:
    """A length in mm from a cell; `unit` is the heading's, "" where it has none; a unit in the cell goes before it;
    `commas`: a comma parts decimals and nothing else.

    Raises ValueError, in words, for what is no length a sheet can have in that unit.
    """
    readings = [float(cell)] if not isinstance(cell, str) else []
    if isinstance(cell, str):
        match = _TEXT.match(cell.strip())
        if match is None:
            raise ValueError(f"{cell!r} is not a length")
        readings = _readings(match.group(1), commas)
        if match.group(2):
            own = unit_of(match.group(2))
            if not own:
                raise ValueError(f"{cell!r} has no unit that is known; give lengths in mm or m")
            unit = own
    stated = bool(unit)
    found: dict[float, str] = {}
    for value in readings:
        as_unit = unit or ("m" if value < METRES_BELOW else "mm")
        mm = value * UNIT_MM[as_unit]
        if isfinite(mm) and LEAST_MM <= mm <= most_mm:
            found[round(mm, 6)] = as_unit if found.get(round(mm, 6), as_unit) == as_unit else ""
    if len(found) != 1:
        why = (
            "can be read two ways" if found else f"is no length it can have ({LEAST_MM:g} mm to {most_mm / 1000.0:g} m)"
        )
        raise ValueError(f"{cell!r}{f' in {unit}' if unit else ''} {why}")
    mm, as_unit = next(iter(found.items()))
    return Length(mm, as_unit, stated)


def read_count(cell: str | float | int, commas: bool = False) -> int:
    """A number of sheets from a cell; `commas` as for lengths. Raises ValueError for what is no whole number
    from 0 to 10 000."""
    value = cell
    if isinstance(cell, str):
        match = re.match(
            r"[x×]?\s*([0-9][0-9,.\s]*?)\s*(?:x|×|no|nos|off|pcs|pc|each|ea|sheets?)?\.?$", cell.strip(), re.I
        )
        if match is None:
            raise ValueError(f"{cell!r} is not a number of sheets")
        text = match.group(1)
        if commas and "," in text:
            text = text.replace(".", "")
        value = (
            float(re.sub(r"[,.\s]", "", text))
            if _GROUPED.fullmatch(text) and not (commas and "," in text)
            else _plain_number(text)
        )
    number = float(value)
    if not isfinite(number) or number != int(number) or not 0 <= number <= 10_000:
        raise ValueError(f"{cell!r} is not a whole number of sheets from 0 to 10 000")
    return int(number)


def _plain_number(text: str) -> float:
    try:
        return float(text.replace(",", ".").replace(" ", ""))
    except ValueError:
        raise ValueError(f"{text!r} is not a number") from None


def _readings(text: str, commas: bool = False) -> list[float]:
    """What a number can mean: a comma or a point before three digits may part thousands or decimals; with `commas` a
    comma parts decimals only.

    >>> _readings("4,380"), _readings("4380"), _readings("4 380"), _readings("4.38"), _readings("1,234.5")
    ([4.38, 4380.0], [4380.0], [4380.0], [4.38], [1234.5])
    """
    text = text.strip()
    sign = -1.0 if text.startswith("-") else 1.0
    text = text.lstrip("+-").strip()
    found: list[float] = []
    marks = [letter for letter in text if letter in ",."]
    spaced = re.sub(r"[\s'’]", "", text)
    if re.search(r"[\s'’]", text) and not re.fullmatch(r"[0-9]{1,3}([\s'’][0-9]{3})+([.,][0-9]+)?", text):
        raise ValueError(f"{text!r} is not a number")
    if len(set(marks)) == 2:
        last = max(spaced.rfind(","), spaced.rfind("."))
        whole = spaced[:last]
        if marks.count(spaced[last]) > 1 or not _GROUPED.fullmatch(whole):
            raise ValueError(f"{text!r} is not a number")
        return [sign * float(re.sub(r"[,.]", "", whole) + "." + spaced[last + 1 :])]
    if len(marks) <= 1:
        found.append(sign * float(spaced.replace(",", ".")))
    if marks and _GROUPED.fullmatch(spaced) and not (commas and "," in marks):
        found.append(sign * float(re.sub(r"[,.]", "", spaced)))
    if not found:
        raise ValueError(f"{text!r} is not a number")
    return found
