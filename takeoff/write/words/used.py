"""Which products of the catalogue a takeoff uses: those are named in its basis and kept in its data file."""

from __future__ import annotations

from typing import Any

from takeoff.model.order import Takeoff


def used_products(takeoff: Takeoff) -> tuple[Any, ...]:
    """Products by group, in catalogue order, that a sheet, a board, a run, an order line or the job names."""
    names = {sheets.profile for sheets in takeoff.roofing.sheets}
    names |= {boards.board for boards in takeoff.cladding.boards}
    names |= {run.flashing for run in takeoff.roofing.flashings}
    for need in (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs):
        names |= {stock.item for stock in need.stock} | {demand.item for demand in need.demands}
        names |= {quantity.id for quantity in need.quantities}
        names |= {str(term.value) for quantity in need.quantities for term in quantity.working.terms}
        names |= {term.ref for quantity in need.quantities for term in quantity.working.terms}
    names |= {str(takeoff.settings.values[name].value) for used in takeoff.used for name in used.settings}
    rainwater = takeoff.job.rainwater
    names |= {name for name in (rainwater.gutter, rainwater.downpipe, takeoff.job.underlay.roll) if name}
    names |= {item.product for item in takeoff.items.values()}
    catalogue = takeoff.catalogue
    groups = (
        catalogue.profiles, catalogue.boards, catalogue.gutters, catalogue.downpipes, catalogue.flashings,
        catalogue.timbers, catalogue.rolls,
    )  # fmt: skip
    return tuple(product for group in groups for product in group.values() if product.id in names)
