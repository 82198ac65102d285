"""Corners and lines between claddings in words, a detail at a time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.items import Item
from takeoff.model.order import Takeoff
from takeoff.model.walls import WallJunction
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import plain


@record
class DetailWords:
    """A detail of the walls: its mark, what it is, the walls it stands on, how many lines and metres of it there are,
    what is ordered for it or counted elsewhere, and why."""

    mark: str
    what: str
    walls: tuple[int, ...]
    lines: int
    metres: float
    parts: str
    why: str


def details_of(takeoff: Takeoff, wall: int | None = None) -> Iterator[DetailWords]:
    """The details of all walls or of one, in the order they first come up."""
    lines = [line for line in takeoff.cladding.junctions if wall is None or wall in line.walls]
    for mark in dict.fromkeys(line.detail for line in lines):
        own = [line for line in lines if line.detail == mark]
        yield DetailWords(
            mark=mark,
            what=plain(own[0].words),
            walls=tuple(sorted({number for line in own for number in line.walls})),
            lines=len(own),
            metres=half_up(sum(line.length_mm for line in own) / 1000.0, 2),
            parts=_parts(own, takeoff.items),
            why=plain(own[0].why),
        )


def _parts(lines: list[WallJunction], items: Mapping[str, Item]) -> str:
    named = dict.fromkeys(part for line in lines for part in line.parts)
    words = [plain(words_of(part, items)) for part in named]
    words += [plain(lines[0].counted)] if lines[0].counted else []
    return ", ".join(words) or "nothing ordered"
