"""What a fault of a job file says to write instead, as edits: the word that was meant, a figure without its comma, its
quotes or its unit, a key moved where it belongs."""

from __future__ import annotations

import re
from collections.abc import Iterator

from takeoff.basics.nearest import nearest
from takeoff.model.job_edits import GONE, Edit, EditPath, value_at

FaultEdit = tuple[str, tuple[Edit, ...]]  # what the button says, and what it does

_MEANT = re.compile(r"did you mean ([^?`]+)\?")
_FIGURE = re.compile(r": (?:write the decimal point: |no comma in thousands: write )(\d+(?:\.\d+)?)$")
_STRAY = re.compile(r"a comma stands in the number of (\S+) \(")
_MOVED = re.compile(r"unknown key here; (\w+) belongs (?:at|under) (the top level|[\w.\[\]]+)$")
_IN_UNIT = re.compile(r"(-?\d+(?:\.\d+)?) ?(mm|m|degrees|deg|°)$")
_TIMES = {"mm": 1.0, "m": 1000.0}


def fault_edits(fault: str, at: EditPath, value: object) -> Iterator[FaultEdit]:
    """The ways to cure a fault at a path of a job."""
    if not at:
        return
    if match := _MEANT.search(fault):
        yield from _meant(match[1], at, value, fault)
    elif match := _STRAY.search(fault):
        yield from _comma_in_number(match[1], fault, at)
    elif match := _FIGURE.search(fault):
        yield _figure(at, float(match[1]))
    elif match := _MOVED.search(fault):
        yield from _moved(match[1], match[2], at, value)
    elif "was this given in metres?" in fault and isinstance(held := value_at(value, at), int | float):
        yield _figure(at, held * 1000.0)
    else:
        yield from _without_unit(fault, at, value_at(value, at))


def _figure(at: EditPath, figure: float) -> FaultEdit:
    return f"Write {at[-1]}: {figure:.12g}", (Edit(at, _whole(figure)),)


def _whole(figure: float) -> float | int:
    return int(figure) if figure == int(figure) else figure


def _meant(word: str, at: EditPath, value: object, fault: str) -> Iterator[FaultEdit]:
    """A key called otherwise, or another word in its place."""
    held, key = value_at(value, at), at[-1]
    as_key = "unknown key" in fault or not isinstance(held, str) or not nearest(held, [word])
    if as_key and isinstance(key, str) and held is not None and nearest(key, [word], likeness=0.4):
        if value_at(value, (*at[:-1], word)) is None:
            yield f"Write {word} instead of {key}", (Edit(at, word, rename=True),)
    elif isinstance(held, str):
        yield f"Write {word} instead of {held}", (Edit(at, word),)
    elif isinstance(held, list) and (odd := [n for n, one in enumerate(held) if nearest(str(one), [word])]):
        yield f"Write {word} instead of {held[odd[0]]}", (Edit((*at, odd[0]), word),)


def _comma_in_number(key: str, fault: str, at: EditPath) -> Iterator[FaultEdit]:
    if match := _FIGURE.search(fault):
        words, edits = _figure((*at[:-1], key), float(match[1]))
        yield words, (Edit(at, GONE), *edits)


def _moved(key: str, where: str, at: EditPath, value: object) -> Iterator[FaultEdit]:
    """A key moved to the one place where it belongs, that of the only roof where it is a roof's."""
    under: EditPath = ()
    for part in () if where == "the top level" else where.replace("[..]", "[]").split("."):
        many = part.endswith("[]")
        under = (*under, part.removesuffix("[]"))
        held = value_at(value, under)
        if many and not (isinstance(held, list) and len(held) == 1):
            return
        under = (*under, 0) if many else under
        if held is not None and not isinstance(held, dict | list):
            return
    if value_at(value, (*under, key)) is None:
        words = "the top level" if not under else ", ".join(str(step) for step in under if isinstance(step, str))
        yield f"Move {key} to {words}", (Edit(at, GONE), Edit((*under, key), value_at(value, at)))


def _without_unit(fault: str, at: EditPath, held: object) -> Iterator[FaultEdit]:
    """A figure typed with a unit or in quotes."""
    if "number" not in fault or not isinstance(held, str) or not isinstance(key := at[-1], str):
        return
    if "leave out the quotes" in fault:
        yield _figure(at, float(held))
    elif match := _IN_UNIT.match(held.strip()):
        length = match[2] in _TIMES
        if length == key.endswith("_mm") and (length or key.endswith("_deg")):
            yield _figure(at, float(match[1]) * _TIMES.get(match[2], 1.0))
