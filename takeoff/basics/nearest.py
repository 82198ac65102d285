"""Which known word was probably meant: the one place where near words are looked for and offered."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def nearest(word: str, known: Iterable[str], most: int = 1, likeness: float = 0.6) -> tuple[str, ...]:
    """The known words most like `word`, best first, `most` at most; `likeness` 0 takes any, 1 only the same.

    >>> nearest("est", ["east", "west", "north"])
    ('west',)
    """
    return tuple(get_close_matches(word, list(known), n=most, cutoff=likeness))


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "", likeness: float = 0.6) -> str:
    """The end of a sentence about an unknown word: the nearest known one, else `otherwise`.

    >>> did_you_mean("corugated", ["corrugated"]), did_you_mean("slate", ["corrugated"], "; known: corrugated")
    ('; did you mean corrugated?', '; known: corrugated')
    """
    near = nearest(word, known, likeness=likeness)
    return f"; did you mean {near[0]}?" if near else otherwise
