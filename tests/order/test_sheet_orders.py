"""The plain list and the one with raked pairs, side by side: what is bought either way is what would be ordered."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.roofing import named_groups
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.basis import Basis, Setting, Status
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.sheets import SheetGroup
from takeoff.order.sheets.sheet_orders import SheetOrder, sheet_orders
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.outline.roof_from_outline import roof_from_outline

CORRUGATED = load_catalogue().profiles["corrugated"]


def hip_order(paired: bool, length: float = 12000.0) -> SheetOrder:
    known = dict(default_settings())
    known["buy_raked_pairs"] = Setting("buy_raked_pairs", paired, "yes or no", Basis(Status.SET_IN_JOB))
    settings = replace(default_rules(), values=known)
    job = RoofJob(
        outline=[(0.0, 0.0), (length, 0.0), (length, 8000.0), (0.0, 8000.0)],
        pitch_deg=25.0,
        fascia_height_mm=2450.0,
        covering=CoveringJob(lay_from="east"),
    )
    planes = place_sheets(roof_from_outline(job, 0.0, settings), job, Site(), 0.0, settings, CORRUGATED)
    groups = named_groups((SheetGroup(CORRUGATED, 0.40, "", planes),))
    return sheet_orders(groups, Site(), settings, item_book((), groups, load_catalogue(), settings))[0]


@pytest.mark.parametrize("length", [8000.0, 9700.0, 12000.0, 15250.0])
def test_either_way_is_what_would_be_ordered(length: float) -> None:
    plain, paired = hip_order(False, length), hip_order(True, length)
    for order in (plain, paired):
        assert order.pairs.plain_m2 == plain.totals.bought_m2
        assert order.pairs.paired_m2 == paired.totals.bought_m2
        assert order.pairs.net_m2 == plain.totals.net_m2 == paired.totals.net_m2
        assert (order.pairs.plain_count, order.pairs.paired_count) == (len(plain.blanks), len(paired.blanks))
    assert (plain.pairs.bought, paired.pairs.bought) == (False, True)
    assert paired.pairs.paired_m2 <= plain.pairs.plain_m2
    # a short piece that shares a length with another was cut from a longer one before: no length less
    pieces = {piece.mark: piece for plane in paired.group.planes for piece in plane.pieces}
    short = sum(bool(pieces[mark].cut_from) for pair in paired.pairs.pairs for mark in (pair.first, pair.second))
    assert paired.pairs.plain_count - paired.pairs.paired_count == len(paired.pairs.pairs) - short


def test_the_saving_is_one_rake_over_the_sheet_a_pair() -> None:
    """845 / cos 25 = 932.4 mm less on each pair of rakes; both sheets are bought in steps of 10, so 920 to 940."""
    plan = hip_order(False).pairs
    assert plan.pairs
    assert plan.saving_mm == sum(pair.saving_mm for pair in plan.pairs)
    assert sum(920.0 <= pair.saving_mm <= 940.0 for pair in plan.pairs) > len(plan.pairs) / 2
