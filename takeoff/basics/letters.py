"""Numbers as letters, as parts of one row are told apart."""

from __future__ import annotations


def letters(number: int) -> str:
    """1 -> a, 26 -> z, 27 -> aa; nothing for 0."""
    name = ""
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(ord("a") + rest) + name
    return name
