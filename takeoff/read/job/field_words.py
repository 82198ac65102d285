"""What is wrong with one field of a job, in words of our own: no message of the validation library reaches a person."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from takeoff.basics.nearest import did_you_mean
from takeoff.basics.yaml_words import is_number
from takeoff.model.job.job import Job
from takeoff.read.job.yaml_tree import Path

_COMMA = re.compile(r"([-+]?[0-9]+),([0-9]+)(?:,[0-9]+)*$")
_DIGITS = re.compile(r"[0-9]+$")
_MOST_PLACES = 3  # of a key that belongs elsewhere
_PAIRS = {"ground_by_wall": "needs [left, right], two heights"}
_KEYS = {
    "edges": "an edge is named by its number",
    "ground_by_wall": "a wall is named by its number",
    "kg_per_m": "a mass is named by the thickness of its metal in mm",
}
_LIMITS = {
    "greater_than": ("must be more than", "gt"),
    "greater_than_equal": ("must be at least", "ge"),
    "less_than_equal": ("must be at most", "le"),
    "less_than": ("must be less than", "lt"),
}
_WANTED = {
    "list_type": "needs a list [..]",
    "dict_type": "needs keys and values",
    "model_type": "needs keys and values",
    "string_type": "needs a word in quotes or plain text",
    "bool_type": "must be true or false",
    "finite_number": "needs a finite number",
    "string_pattern_mismatch": "needs width x depth as 70x45",
}
_NUMBERS = ("float_type", "float_parsing", "int_type", "int_parsing", "int_from_float", "int_parsing_size")


def fault_words(error: ErrorDetails, path: Path, value: Any, above: Any, root: type[BaseModel] = Job) -> str:
    """The fault at `path` in words. `value` stands there in the file, `above` is what holds it, `root` the file's
    model."""
    kind = error["type"]
    got = f", got {_short(value)}"
    if error["loc"] and error["loc"][-1] == "[key]":
        return _key_words(path)
    if path[:1] == ("settings",) and len(path) == 2:
        return f"needs a number, a word, true or false{got}"
    if kind == "extra_forbidden":
        return _extra_words(path, above, root)
    if kind in ("literal_error", "enum"):
        return _choice_words(str(error.get("ctx", {}).get("expected", "")), value)
    if kind in _NUMBERS:
        return _number_words(kind.startswith("int"), value)
    if kind in _LIMITS:
        words, key = _LIMITS[kind]
        return f"{words} {error.get('ctx', {}).get(key)}{got}"
    if kind in ("too_short", "too_long", "tuple_type", "missing", "string_too_long", "string_too_short"):
        return _size_words(error, path, value)
    if kind.startswith("date"):
        return f"needs a date as 2026-03-02{got}"
    return f"{_WANTED.get(kind, 'is not what belongs here; job.schema.json says what does')}{got}"


def _key_words(path: Path) -> str:
    above = path[-2] if len(path) > 1 else ""
    return f"{_KEYS.get(str(above), 'a name here has 1 to 200 characters')}, got {_short(path[-1])}"


def _number_words(whole: bool, value: Any) -> str:
    wanted = f"needs a {'whole ' if whole else ''}number"
    if isinstance(value, str) and is_number(value):
        return f"{wanted}, got {_short(value)}: leave out the quotes"
    comma = comma_words(value) if isinstance(value, str) else ""
    return f"{wanted}, got {_short(value)}: {comma}" if comma else f"{wanted} without a unit, got {_short(value)}"


def comma_words(text: str) -> str:
    """What to write instead of a number with a comma in it; "" for anything else.

    >>> comma_words("25,5")
    'write the decimal point: 25.5'
    >>> comma_words("12,000")
    'no comma in thousands: write 12000'
    """
    match = _COMMA.match(text)
    if match is None:
        return ""
    if len(match[2]) == 3:
        return f"no comma in thousands: write {text.replace(',', '')}"
    return f"write the decimal point: {match[1]}.{match[2]}"


def _choice_words(expected: str, value: Any) -> str:
    choices = expected.replace("'", "")
    near = did_you_mean(str(value), choices.replace(" or ", ", ").split(", "))
    return f"must be {choices}, got {_short(value)}{near}"


def _size_words(error: ErrorDetails, path: Path, value: Any) -> str:
    """Too many or too few of something."""
    kind, context = error["type"], error.get("ctx", {})
    if kind == "string_too_long":
        return f"has at most {context.get('max_length')} characters, has {len(str(value))}"
    if kind == "string_too_short":
        return "is empty: needs a word"
    in_pair = kind == "missing" and isinstance(error["loc"][-1], int)
    if kind == "missing" and not in_pair:
        return "is needed"
    if in_pair or kind == "tuple_type" or context.get("field_type") == "Tuple":
        has = f"has {len(value)}; no comma in thousands" if isinstance(value, list) else f"got {_short(value)}"
        return f"{_PAIRS.get(str(path[-2]), 'a point is [x, y], two numbers')}, {has}"
    what = "points" if path and path[-1] in ("outline", "wall_line") else "entries"
    if kind == "too_long":
        return f"has at most {context.get('max_length')} {what}, has {len(value)}"
    return f"needs at least {context.get('min_length')} {what}, has {context.get('actual_length')}"


def _extra_words(path: Path, above: Any, root: type[BaseModel]) -> str:
    """A key that does not belong: a number cut in two by a comma, a key of another level, or one misspelt."""
    stray = _stray_words(path[-1], above)
    if stray:
        return stray
    key, known = str(path[-1]), sorted(_model_at(path[:-1], root).model_fields)
    places = list(dict.fromkeys(_places_of(key, root, "", ())))
    if places:
        places.sort(key=lambda place: place.count("."))
        under = " or ".join(place or "the top level" for place in places[:_MOST_PLACES])
        return f"unknown key here; {key} belongs {'at' if under == 'the top level' else 'under'} {under}"
    known_words = f"; known: {', '.join(known)}"
    return f"unknown key{did_you_mean(key, known, known_words, likeness=0.5)}"


def _stray_words(key: str | int, above: Any) -> str:
    if not isinstance(above, Mapping) or not _DIGITS.match(str(key)) or above.get(key) is not None:
        return ""
    keys = list(above)
    before = keys[keys.index(key) - 1] if key in above and keys.index(key) else None
    number = above.get(before)
    if isinstance(number, bool) or not isinstance(number, int):
        return f"a comma begins a new key, and {key} is none; write a decimal point, no comma in thousands"
    return f"a comma stands in the number of {before} ({number},{key}): {comma_words(f'{number},{key}')}"


def _places_of(key: str, model: type[BaseModel], at: str, seen: tuple[type[BaseModel], ...]) -> Iterator[str]:
    """Where in a job a key belongs: "" the top level, roofs[..] the entries of a list or a mapping."""
    if key in model.model_fields:
        yield at
    for name, info in model.model_fields.items():
        many = any(word in str(info.annotation) for word in ("list[", "dict[", "List[", "Dict["))
        for inner in _models_in(info.annotation):
            if inner not in seen:
                yield from _places_of(key, inner, f"{at}.{name}".strip(".") + "[..]" * many, (*seen, model))


def _model_at(path: Path, root: type[BaseModel]) -> type[BaseModel]:
    """What stands at a path of a file whose model is `root`."""
    model = root
    for part in path:
        if isinstance(part, str) and part in model.model_fields:
            found = _models_in(model.model_fields[part].annotation)
            model = found[0] if found else model
    return model


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for part in get_args(annotation) for model in _models_in(part)]


def _short(value: Any) -> str:
    if value is None or isinstance(value, bool):
        return {None: "nothing", True: "true", False: "false"}[value]
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."
