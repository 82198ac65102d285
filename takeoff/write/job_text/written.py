"""Plain values as a person writes them into a job file: in flow style on one line, or in block style on several."""

from __future__ import annotations

import unicodedata
from decimal import Decimal
from functools import lru_cache

import yaml

from takeoff.basics.yaml_words import plain_word

WIDEST = 110  # characters of a line that is still written on one line
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_ESCAPES = {"\n": "\\n", "\r": "\\r", "\t": "\\t", "\\": "\\\\", '"': '\\"'}


def scalar_words(value: object, style: str = "", in_flow: bool = False) -> str:
    """A single value. `style`: the quotes a text keeps (' or "), or "" for none where none are needed; `in_flow`:
    between brackets a comma needs them."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return _number(value)
    return _text_words(str(value), style, in_flow)


def _number(value: float) -> str:
    """6200, 2450.5; never 1e-05 or -0."""
    text = format(Decimal(repr(value)), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _text_words(text: str, style: str, in_flow: bool) -> str:
    if not style and _plain_will_do(text, in_flow):
        return text
    if style != '"' and _shows(text):
        return "'" + text.replace("'", "''") + "'"
    return '"' + "".join(map(_escaped, text)) + '"'


@lru_cache(maxsize=4096)
def _plain_will_do(text: str, in_flow: bool) -> bool:
    """Whether a text reads back as itself without quotes, as a key, a value and an entry: tried."""
    if not text or not _shows(text) or text in ("---", "...") or not isinstance(plain_word(text), str):
        return False
    samples = (f"{{{text}: x}}", f"[{text}, x]") if in_flow else (f"{text}: x", f"- {text}\n- x")
    try:
        return all(_lone_scalars(sample) == [text, "x"] for sample in samples)
    except yaml.YAMLError:
        return False


def _lone_scalars(sample: str) -> list[str]:
    """Scalars without quotes, anchors and tags of a sample; something else for any other event among them."""
    events = list(yaml.parse(sample, Loader=LOADER))[3:-3]
    scalars = [event for event in events if isinstance(event, yaml.ScalarEvent)]
    bare = len(scalars) == len(events) and all(one.anchor is None and one.tag is None for one in scalars)
    return [one.value for one in scalars] if bare else []


def _shows(text: str) -> bool:
    """Whether every character of a text is seen as itself on one line: no controls, no marks of direction."""
    return all(char == " " or unicodedata.category(char)[0] not in "CZ" for char in text)


def _escaped(char: str) -> str:
    if char in _ESCAPES:
        return _ESCAPES[char]
    if _shows(char):
        return char
    code = ord(char)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def flow_words(value: object, style: str = "") -> str:
    """A value on one line. `style`: '"' where a file quotes every text, as JSON does."""
    if isinstance(value, dict):
        inside = (f"{scalar_words(key, style, True)}: {flow_words(one, style)}" for key, one in value.items())
        return "{" + ", ".join(inside) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow_words(one, style) for one in value) + "]"
    return scalar_words(value, style, True)


def block_lines(value: object, column: int) -> list[str]:
    """The lines of a value that is a map or a list with something in it, at a column."""
    margin = " " * column
    if isinstance(value, dict):
        pairs = [(scalar_words(key) + ":", under_key(one, column)) for key, one in value.items()]
    elif isinstance(value, list):
        pairs = [("-", as_entry(one, column)) for one in value]
    else:
        return [margin + scalar_words(value)]
    lines: list[str] = []
    for begun, (head, below) in pairs:
        lines += [margin + begun + (f" {head}" if head else ""), *below]
    return lines or [margin + flow_words(value)]


def line_words(value: object) -> str:
    """A value on one line of a block map or list."""
    return flow_words(value) if isinstance(value, list | dict) else scalar_words(value)


def under_key(value: object, column: int) -> tuple[str, list[str]]:
    """What stands after `key:` of a block map at a column, and the lines below it."""
    if suits_one_line(value, column):
        return line_words(value), []
    return "", block_lines(value, column + 2)


def as_entry(value: object, column: int) -> tuple[str, list[str]]:
    """What stands after `- ` of a block list at a column, and the lines below it."""
    if suits_one_line(value, column):
        return line_words(value), []
    first, *rest = block_lines(value, column + 2)
    return first.lstrip(" "), rest


def suits_one_line(value: object, column: int) -> bool:
    """Small values are written on one line; lists of maps, edges by number and roofs with their points are not."""
    if not isinstance(value, list | dict) or not value:
        return True
    if isinstance(value, list) and any(isinstance(one, dict) for one in value):
        return False
    if isinstance(value, dict) and (all(isinstance(key, int) for key in value) or any(map(_has_rows, value.values()))):
        return False
    return column + len(flow_words(value)) <= WIDEST


def _has_rows(value: object) -> bool:
    """Whether a value is or holds a list of lists or maps."""
    if isinstance(value, dict):
        return any(map(_has_rows, value.values()))
    return isinstance(value, list) and any(isinstance(one, list | dict) for one in value)
