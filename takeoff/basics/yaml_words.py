"""What a word without quotes means in a job file, by the YAML 1.2 rules people expect.

`no`, `on`, `12:30`, `017` and dates stay what they look like. Readers and writers of jobs go
by this.
"""

from __future__ import annotations

import re

_INT = re.compile(r"[-+]?(0|[1-9][0-9_]*)$")
_FLOAT = re.compile(r"[-+]?(([0-9]+\.[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?|[0-9]+[eE][-+]?[0-9]+)$")
_NAN = re.compile(r"[-+]?\.(nan|inf)$", re.IGNORECASE)
LONGEST_INT = 30  # characters
_MEANT: dict[str, bool | None] = {"true": True, "false": False, "null": None}


def plain_word(text: str) -> bool | int | float | str | None:
    """The value of a scalar without quotes."""
    if text[:1].isalpha():  # no number begins with a letter
        return _MEANT.get(text, text)
    if text in ("", "~"):
        return None
    if _INT.match(text) and len(text) < LONGEST_INT:
        return int(text.replace("_", ""))
    if _FLOAT.match(text):
        return float(text)
    if _NAN.match(text):
        return float(text.replace(".", "", 1))
    return text


def is_number(text: str) -> bool:
    """Whether a text without quotes would be read as a number."""
    return bool(_INT.match(text) or _FLOAT.match(text))
