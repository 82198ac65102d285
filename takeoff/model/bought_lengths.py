"""Which bought length each sheet comes out of: the one meaning of "bought" for lists, drawings, words and comparing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.order import Order
from takeoff.model.sheets import PlaneSheets, SheetBlank


@record
class Bought:
    """`length_mm` is bought for this sheet; None where it comes out of the length bought for `cut_from`.

    `others` are the marks of what else comes out of its length. `from_site`: it comes out of a sheet that lies on the
    site, and `cut_from` is "site" with what is written on that.
    """

    length_mm: float | None
    cut_from: str = ""
    turned: bool = False
    others: tuple[str, ...] = ()
    from_site: bool = False

    @property
    def words(self) -> str:
        """The length, or which sheet's length it comes out of."""
        if self.length_mm is not None:
            return f"{half_up(self.length_mm, 0):.0f}"
        return f"from {self.cut_from}"


def bought_in(blanks: Iterable[SheetBlank]) -> Mapping[str, Bought]:
    """By mark. The first sheet in a blank carries its length, the others name that sheet; those out of a sheet on the
    site say so."""
    found: dict[str, Bought] = {}
    for blank in blanks:
        first, *rest = blank.pieces
        if blank.site_mm:
            found |= {part.mark: Bought(None, _site(blank), part.turned, from_site=True) for part in blank.pieces}
            continue
        found[first.mark] = Bought(blank.length_mm, turned=first.turned, others=tuple(part.mark for part in rest))
        for part in rest:
            found[part.mark] = Bought(None, first.mark, part.turned)
    return found


def _site(blank: SheetBlank) -> str:
    return f"site {blank.mark}".rstrip()


def bought_lengths(order: Order | None) -> Mapping[str, Bought]:
    """By mark, of a whole order; nothing where it is withheld."""
    return bought_in((*order.blanks, *order.site_blanks)) if order is not None else {}


def bought_of(sheets: Iterable[PlaneSheets], order: Order | None) -> Mapping[str, Bought]:
    """By mark for every sheet placed, in laying order: where no order says, the length it would be bought in alone."""
    known = bought_lengths(order)
    return {p.mark: known.get(p.mark, Bought(p.order_mm)) for plane in sheets for p in plane.pieces}
