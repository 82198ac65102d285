"""One word for one thing in everything that is printed: spouting or gutter, as the trade of the place says.

What a job calls its own things, lines to paste into a job file (between backquotes), and gutters inside the roof keep
their words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from takeoff.model.order import Takeoff

SETTING = "rainwater_word"
_OTHER = {"gutter": "spouting", "spouting": "gutter"}
_PASTE = re.compile(r"(`[^`]*`)")


def trade_words(takeoff: Takeoff) -> Callable[[str], str]:
    """What puts the trade's word into a text: "spouting" for "gutter", or the other way round."""
    word = str(takeoff.settings.values[SETTING].value)
    other = _OTHER[word]
    kept = sorted({text for text in _texts(takeoff.job.model_dump()) if other in text.lower()}, key=len, reverse=True)
    keep = re.compile("|".join([_PASTE.pattern, *(f"({re.escape(text)})" for text in kept)]))
    # not in a path or a key of a job file, nor in "internal gutter", which is another thing
    found = re.compile(rf"(?<![\w.])(?<!internal )(?<!valley ){other}(s?)(?![\w:])", re.IGNORECASE)

    def put(match: re.Match[str]) -> str:
        shown = word.capitalize() if match[0][0].isupper() else word
        return shown + (match[1] if word == "gutter" else "")

    def said(text: str) -> str:
        if other not in text.lower():
            return text
        done, parts = 0, []
        for part in keep.finditer(text):
            parts += [found.sub(put, text[done : part.start()]), part[0]]
            done = part.end()
        return "".join((*parts, found.sub(put, text[done:])))

    return said


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for entry in value.values():
            yield from _texts(entry)
    elif isinstance(value, Sequence):
        for entry in value:
            yield from _texts(entry)
