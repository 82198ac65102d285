"""The letters of every PDF: one free face with macrons, accents, Greek and arrows, regular and bold, and their widths.

The two files and their licence lie beside this module; they are the only ones of the package that others made, cut
down to Latin, Greek and Cyrillic letters, signs and arrows, without the hints that only screens of old want. Bold is
kept for what is read first at arm's length in grey: titles, heads of tables, totals and what is on hold.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from takeoff.write.words.words import plain

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

REGULAR, BOLD = "Letters", "Letters-Bold"
CAPITAL = 0.729  # height of capitals over the size of the letters, as the face's own tables say
_FILES = {REGULAR: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}
_ROUNDING = 0.01  # a text fits the room that was measured for it [points]
_SAFE = re.compile(r"(?:[!-~]+ )*[!-~]*")  # plain words with single gaps
_COMMON = "".join(map(chr, range(32, 127))) + "°²×·→←"
_LACKING = "□"
_PACKED = 8  # streams of papers that are kept packed: of both faces, and pages between them
_HERE = Path(__file__).parent


@cache
def _packing() -> None:
    """Tell the PDF library how to pack: into bytes, a fifth shorter and quicker than into letters, and what is cut out
    of a face, which is the same in most papers, once."""
    from reportlab import rl_config
    from reportlab.pdfbase import pdfdoc

    rl_config.useA85 = 0
    pdfdoc.PDFZCompress.encode = lru_cache(maxsize=_PACKED)(pdfdoc.PDFZCompress.encode)


@lru_cache(maxsize=2)
def face(bold: bool = False) -> Any:
    """The regular or the bold face, known to the PDF library by its name from here on."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    _packing()
    name = BOLD if bold else REGULAR
    font = TTFont(name, str(_HERE / _FILES[name]))
    pdfmetrics.registerFont(font)
    font.face.makeSubset = _once(font.face.makeSubset)
    return font


def _once(cut: Callable[[list[int]], bytes]) -> Callable[[list[int]], bytes]:
    """What is cut out of a face for the same letters is the same."""
    known: dict[tuple[int, ...], bytes] = {}

    def cut_once(letters: list[int]) -> bytes:
        key = tuple(letters)
        if key not in known:
            known[key] = cut(letters)
        return known[key]

    return cut_once


class _Widths(dict[str, float]):
    """Width of each letter at size 1."""

    def __init__(self, bold: bool) -> None:
        super().__init__()
        self._bold = bold

    def __missing__(self, letter: str) -> float:
        self[letter] = float(face(self._bold).stringWidth(_known(letter, self._bold), 1.0))
        return self[letter]


_WIDTHS = (_Widths(False), _Widths(True))


def width(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is [unit of `size`, the size of the letters]."""
    return size * _width(text, bold)


@lru_cache(maxsize=8192)
def _width(text: str, bold: bool) -> float:
    """At size 1; the same words stand on several papers, and are measured before they are set."""
    return sum(map(_WIDTHS[bold].__getitem__, text))


def _known(letter: str, bold: bool) -> str:
    """The letter, a box for one that the face lacks."""
    return letter if ord(letter) in face(bold).face.charToGlyph else _LACKING


class Typed:
    """The letters of one PDF: what of both faces its texts use is put into it.

    Every paper has the common letters, in one order: what is cut out of a face for them is cut out once.
    """

    def __init__(self, canvas: Canvas) -> None:
        self._document: Any = canvas._doc
        self._codes: tuple[dict[str, str], ...] = ({}, {})  # regular, bold: of letters in the first part of the face
        self._first = [self._learn(bold) for bold in (False, True)]

    def _learn(self, bold: bool) -> str:
        """The codes of the common letters; returns the name of the part of the face that they stand in."""
        font = face(bold)
        ((part, codes),) = font.splitString(_COMMON, self._document)
        self._codes[bold].update(zip(_COMMON, (f"{code:02x}" for code in codes), strict=True))
        return str(font.getSubsetInternalName(part, self._document))

    def shows(self, text: str, size: float, bold: bool = False) -> str:
        """The operators that show a text where the text matrix says."""
        codes = self._codes[bold]
        try:
            return f"{self._first[bold]} {size:.2f} Tf <{''.join(map(codes.__getitem__, text))}> Tj"
        except KeyError:
            return self._shows_new(text, size, bold)

    def _shows_new(self, text: str, size: float, bold: bool) -> str:
        """A text with letters that are not common: they may stand in a further part of the face."""
        font = face(bold)
        spelled = "".join(_known(letter, bold) for letter in text)
        parts = []
        for part, codes in font.splitString(spelled, self._document):
            name = font.getSubsetInternalName(part, self._document)
            parts.append(f"{name} {size:.2f} Tf <{codes.hex()}> Tj")
        return " ".join(parts)


def wrapped(text: str, room: float, size: float, bold: bool = False) -> tuple[str, ...]:
    """A text in lines no wider than `room` [unit of `size`]; a word that is wider is cut where the line is full. An
    empty text is one empty line."""
    words, room = text if _SAFE.fullmatch(text) else plain(text), room + _ROUNDING
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
