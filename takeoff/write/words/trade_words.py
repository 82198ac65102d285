"""One word for one thing in everything that is printed: spouting or gutter, as the trade of the place says.

What a job calls its own things, lines to paste into a job file (between backquotes), and gutters inside the roof keep
their words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from takeoff.model.order import Takeoff

SETTING = "rainwater_word"
_OTHER = {"gutter": "spouting", "spouting": "gutter"}
_PASTE = re.compile(r"(`[^`]*`)")


def trade_words(takeoff: Takeoff) -> Callable[[str], str]:
    """What puts the trade's word into a text: "spouting" for "gutter", or the other way round."""
    return one_word(str(takeoff.settings.values[SETTING].value), texts_of(takeoff.job.model_dump()))


def one_word(word: str, own: Iterable[str]) -> Callable[[str], str]:
    """What puts a word, "gutter" or "spouting", in the other's place; texts that are a job's `own` stay. Any other word
    changes nothing."""
    if word not in _OTHER:
        return str
    other = _OTHER[word]
    kept = sorted({text for text in own if other in text.lower()}, key=len, reverse=True)
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


def texts_of(value: Any) -> Iterator[str]:
    """Every text in a value of a job."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for entry in value.values():
            yield from texts_of(entry)
    elif isinstance(value, Sequence):
        for entry in value:
            yield from texts_of(entry)
