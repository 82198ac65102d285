"""The letters of every PDF: one free face with macrons, accents, Greek and arrows, regular and bold, and their widths.

The two files and their licence lie beside this module; they are the only ones of the package that others made. Bold
is kept for what is read first at arm's length in grey: titles, heads of tables, totals and what is on hold.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from takeoff.write.words.words import plain

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

REGULAR, BOLD = "Letters", "Letters-Bold"
CAPITAL = 0.729  # height of capitals over the size of the letters, as the face's own tables say
_FILES = {REGULAR: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}
_ROUNDING = 0.01  # a text fits the room that was measured for it [points]
_LACKING = "□"
_HERE = Path(__file__).parent


@lru_cache(maxsize=2)
def face(bold: bool = False) -> Any:
    """The regular or the bold face, known to the PDF library by its name from here on."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = BOLD if bold else REGULAR
    font = TTFont(name, str(_HERE / _FILES[name]))
    pdfmetrics.registerFont(font)
    return font


@lru_cache(maxsize=20_000)
def _width_of_1000(text: str, bold: bool) -> float:
    return float(face(bold).stringWidth(_spelled(text, bold), 1000.0))


def _spelled(text: str, bold: bool) -> str:
    """A text in letters that the face has; a box for each that it lacks."""
    if text.isascii():
        return text
    known = face(bold).face.charToGlyph
    return "".join(letter if ord(letter) in known else _LACKING for letter in text)


def width(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is [unit of `size`, the size of the letters]."""
    return _width_of_1000(text, bold) * size / 1000.0


class Typed:
    """The letters of one PDF: what of both faces its texts use is put into it."""

    def __init__(self, canvas: Canvas) -> None:
        self._document: Any = canvas._doc
        self._known: dict[tuple[str, bool], tuple[tuple[str, str], ...]] = {}

    def shows(self, text: str, size: float, bold: bool = False) -> str:
        """The operators that show a text where the text matrix says."""
        key = (text, bold)
        if key not in self._known:
            font = face(bold)
            self._known[key] = tuple(
                (font.getSubsetInternalName(subset, self._document), part.hex())
                for subset, part in font.splitString(_spelled(text, bold), self._document)
            )
        return " ".join(f"{name} {size:.2f} Tf <{part}> Tj" for name, part in self._known[key])


def wrapped(text: str, room: float, size: float, bold: bool = False) -> tuple[str, ...]:
    """A text in lines no wider than `room` [unit of `size`]; a word that is wider is cut where the line is full. An
    empty text is one empty line."""
    words, room = plain(text), room + _ROUNDING
    if width(words, size, bold) <= room:
        return (words,)
    lines: list[str] = []
    for word in words.split():
        if lines and width(f"{lines[-1]} {word}", size, bold) <= room:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines += _cut(word, room, size, bold)
    return tuple(lines)


def _cut(word: str, room: float, size: float, bold: bool) -> list[str]:
    parts = [""]
    for letter in word:
        if parts[-1] and width(parts[-1] + letter, size, bold) > room:
            parts.append("")
        parts[-1] += letter
    return parts
