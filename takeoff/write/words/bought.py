"""Which bought length each piece comes out of: one reading of the order for the lists and for the drawings."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from takeoff.model.order import Order
from takeoff.model.runs import CutPiece
from takeoff.model.sheets import SheetBlank
from takeoff.write.words.words import plain, whole


@dataclass(frozen=True, slots=True)
class Bought:
    """`length_mm` is bought for this sheet; None where it is cut from the length bought for `cut_from`."""

    length_mm: float | None
    cut_from: str = ""
    turned: bool = False

    @property
    def words(self) -> str:
        """The length, or which sheet's length it comes out of."""
        if self.length_mm is not None:
            return whole(self.length_mm)
        return f"from {self.cut_from}"


def bought_lengths(order: Order | None) -> Mapping[str, Bought]:
    """By mark. The first sheet in a blank carries its length, the others name that sheet."""
    if order is None:
        return {}
    found: dict[str, Bought] = {}
    for blank in order.blanks:
        for i, part in enumerate(blank.pieces):
            first = blank.pieces[0].mark
            found[part.mark] = Bought(blank.length_mm) if i == 0 else Bought(None, first, part.turned)
    return found


def paired_blanks(order: Order | None, marks: Collection[str]) -> tuple[SheetBlank, ...]:
    """Lengths that a raked pair is bought in and that any of these sheets comes out of."""
    if order is None:
        return ()
    pairs = {frozenset((pair.first, pair.second)) for plan in order.pairs for pair in plan.pairs}
    found = []
    for blank in order.blanks:
        parts = {part.mark for part in blank.pieces}
        if parts & set(marks) and any(pair <= parts for pair in pairs):
            found.append(blank)
    return tuple(found)


def pair_words(blank: SheetBlank) -> str:
    """How the sheets of a pair lie in their length: "P1.01 as it lies from 0, P6.12 turned end for end from 940"."""
    parts = [
        f"{plain(part.mark)} {'turned end for end, face up,' if part.turned else 'as it lies'} from "
        f"{whole(part.start_mm)} mm"
        for part in blank.pieces
    ]
    return f"{whole(blank.length_mm)} mm: {'; '.join(parts)}"


def cut_pieces(order: Order | None) -> Mapping[str, tuple[CutPiece, ...]]:
    """The placed pieces of every long run, by run, from its start to its end."""
    if order is None:
        return {}
    found: dict[str, list[CutPiece]] = {}
    for plan in order.plans:
        for bar in plan.bars:
            for piece in bar.pieces:
                found.setdefault(piece.run, []).append(piece)
    return {run: tuple(sorted(pieces, key=lambda piece: piece.start_mm)) for run, pieces in found.items()}


def bars_by_item(order: Order | None) -> Mapping[str, str]:
    """What is bought of every item cut from stock, in words: "3 x 6000, 1 x 4500", longest first."""
    if order is None:
        return {}
    found: dict[str, dict[int, int]] = {}
    for plan in order.plans:
        counts = found.setdefault(plan.item, {})
        for bar in plan.bars:
            counts[bar.stock_mm] = counts.get(bar.stock_mm, 0) + 1
    return {
        item: ", ".join(f"{counts[stock]} x {stock}" for stock in sorted(counts, reverse=True))
        for item, counts in found.items()
    }
