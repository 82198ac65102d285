"""Quantities that are sold in whole rolls, boxes and tins, rounded up once where they are bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil

from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.items import Item
from takeoff.model.settings import Settings


def in_whole_packs(quantity: Quantity, item: Item, settings: Settings) -> Quantity:
    """The quantity in whole packs where its item is sold so; as it is where not, where it is counted in packs already,
    or where a pack holds 0.

    packs = ceil(measured / what a pack holds).
    """
    pack = item.pack
    if pack is None or quantity.unit == pack.word:
        return quantity
    if pack.holds == 0.0:
        return quantity
    measured = Term("measured", quantity.figure, quantity.unit)
    working = Working(
        f"{quantity.working.rule}; in whole packs", (measured, settings.term(pack.setting), *quantity.working.terms)
    )
    return replace(quantity, figure=float(ceil(quantity.figure / pack.holds - 1e-9)), unit=pack.word, working=working)


def merged(quantities: Sequence[Quantity], items: Mapping[str, Item]) -> tuple[Quantity, ...]:
    """Quantities with those of one packed item put together, so that several roofs share their boxes and rolls."""
    found: dict[tuple[str, str], Quantity] = {}
    for place, quantity in enumerate(quantities):
        key = (quantity.item, quantity.unit) if items[quantity.item].pack is not None else (str(place), "")
        other = found.get(key)
        if other is None:
            found[key] = quantity
            continue
        terms = tuple(dict.fromkeys((*other.working.terms, *quantity.working.terms)))
        found[key] = replace(
            other,
            figure=other.figure + quantity.figure,
            refs=tuple(dict.fromkeys((*other.refs, *quantity.refs))),
            working=Working(other.working.rule, terms),
        )
    return tuple(found.values())
