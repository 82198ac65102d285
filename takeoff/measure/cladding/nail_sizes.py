"""Which nail holds what: its length from what it goes through and into, its diameter a setting."""

from __future__ import annotations

from takeoff.model.basis import Term
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.settings import Settings

# lengths that nails are sold in [mm]; common practice, no source
NAIL_LENGTHS_MM = (25, 30, 40, 50, 60, 75, 90, 100, 125, 150, 200)


def nail_mm(through_mm: float, into_mm: float) -> int:
    """The shortest nail that goes through so much and into timber by so much [mm]; the longest where none does.

    >>> nail_mm(18 + 20, 30), nail_mm(4.5, 30), nail_mm(20, 30)
    (75, 40, 50)
    """
    return next((long for long in NAIL_LENGTHS_MM if long >= through_mm + into_mm - 0.5), NAIL_LENGTHS_MM[-1])


def nail(sort: str, through_mm: float, thick: str, settings: Settings) -> tuple[Made, tuple[Term, ...]]:
    """A nail of a sort (a row of the catalogue's items) by length x diameter, and the terms it was chosen by.

    through_mm: what it goes through before it meets timber; thick: the setting that gives its diameter.
    """
    long = nail_mm(through_mm, settings.number("nail_into_timber_mm"))
    size = (float(long), settings.number(thick))
    words = " x ".join(f"{side:g}" for side in size)
    made = Made(f"{sort} {words}", sort, (Mark(MarkKind.SIZE, size),), family=sort)
    terms = (Term("nail goes through", through_mm, "mm"), settings.term("nail_into_timber_mm"), settings.term(thick))
    return made, terms
