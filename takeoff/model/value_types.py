"""What a setting may be: a number within bounds, yes or no, one of some words, a product, a section of timber."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record


class ValueKind(StrEnum):
    """The kinds of value, by the word that a row of the catalogue says them with."""

    NUMBER = "number"
    FLAG = "flag"
    CHOICE = "choice"
    PRODUCT = "product"
    SECTION = "section"  # width x depth of a timber [mm]: 70x45
    COUNT_OF = "count of"  # so many of a thing: 2 x purlin screw 10g x 80
    LENGTHS = "lengths"  # lengths that a thing is sold in [mm], each once: 50 65 75
    ZONE_TYPES = "types by wind zone"  # a letter a wind zone, N/A where none holds: A B C C N/A


@record
class ValueType:
    """The kind of a value and what it is held to.

    `least` and `most` bound a number, both included, in the setting's own unit; `whole`: without a fraction. `words`
    are those a choice is made of, or the ids a product is named by; `group` is the group of the catalogue these are of.
    """

    kind: ValueKind
    least: float = 0.0
    most: float = 0.0
    whole: bool = False
    words: tuple[str, ...] = ()
    group: str = ""


ANY_NUMBER = ValueType(ValueKind.NUMBER, float("-inf"), float("inf"))
"""A number without bounds."""

PATTERNS = {
    ValueKind.SECTION: r"[1-9]\d{1,2}x[1-9]\d{1,2}",
    ValueKind.COUNT_OF: r"[1-9]\d* x \S.*",
    ValueKind.LENGTHS: r"[1-9]\d{0,4}( [1-9]\d{0,4})*",
    ValueKind.ZONE_TYPES: r"([A-E]|N/A)( ([A-E]|N/A)){4}",
}
"""How a text of each kind is written, whole."""

PATTERN_WORDS = {
    ValueKind.SECTION: "width x depth as 70x45",
    ValueKind.COUNT_OF: "a count and a fixing, as 2 x purlin screw 10g x 80",
    ValueKind.LENGTHS: "lengths in mm with spaces between, as 50 65 75",
    ValueKind.ZONE_TYPES: "five of A, B, C, D, E or N/A, from low to extra high wind",
}
"""The same said for a person."""
