"""Boards sold in packs of so many of one length, worked by hand; that packs are sold whole is common practice."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import JobError
from takeoff.model.runs import Objective, OnHand, RunDemand, StockChoice
from takeoff.order.cut_stock.runs import cut_runs
from takeoff.order.cut_stock.site_lengths import left_over


def runs(*lengths: int) -> list[RunDemand]:
    return [RunDemand(f"R{n}", "x", float(mm)) for n, mm in enumerate(lengths)]


def bought(plan) -> dict[int, int]:
    counts: dict[int, int] = {}
    for bar in plan.bars:
        counts[bar.stock_mm] = counts.get(bar.stock_mm, 0) + 1
    return counts


def test_lengths_are_made_up_to_whole_packs_and_the_spare_ones_are_told() -> None:
    """Seven boards of 4000 from packs of 5 make 10: 3 x 4000 = 12 m left; waste 40 - 28 = 12 m."""
    stock = StockChoice("x", (4000,), pack=5)
    plan = cut_runs(runs(*[4000] * 7), stock)
    assert bought(plan) == {4000: 10}
    assert (plan.bought_mm, plan.placed_mm, plan.waste_mm, plan.bound_mm) == (40_000, 28_000, 12_000, 28_000)
    assert [finding.text for finding in plan.findings] == ["x: whole packs of 5 leave 3 x 4000 mm uncut."]
    assert [(left.length_mm, left.count) for left in left_over(plan.bars, (), stock, 300)] == [(4000, 3)]


def test_one_length_is_taken_where_packs_of_two_would_be_more() -> None:
    """Two of 3000 and two of 4000 in packs of 4: a pack of each is 28 m, one of 4000 alone holds them in 16 m."""
    plan = cut_runs(runs(3000, 3000, 4000, 4000), StockChoice("x", (3000, 4000), pack=4))
    assert bought(plan) == {4000: 4}
    assert plan.findings == ()


def test_full_packs_leave_nothing() -> None:
    """Four of 3000 and four of 4000 in packs of 4 are one pack of each, 28 m; 4000 alone would be 32 m."""
    plan = cut_runs(runs(*[3000] * 4, *[4000] * 4), StockChoice("x", (3000, 4000), pack=4))
    assert bought(plan) == {3000: 4, 4000: 4}
    assert plan.findings == ()


def test_what_lies_on_the_site_is_cut_before_packs_are_filled() -> None:
    """Five of 4000, one of them on the site, in packs of 4: one pack."""
    plan = cut_runs(runs(*[4000] * 5), StockChoice("x", (4000,), pack=4, on_hand=(OnHand(4000, 1),)))
    assert bought(plan) == {4000: 4}
    assert len(plan.site_bars) == 1


@pytest.mark.parametrize("given", [{"pack": 0}, {"pack": 2, "supply": (3,)}])
def test_a_pack_of_nothing_or_of_a_limited_supply_is_refused(given) -> None:
    with pytest.raises(JobError, match="a pack holds one length or more"):
        cut_runs(runs(1000), StockChoice("x", (4000,), **given))


@pytest.mark.parametrize("given", [{"most_lengths": 1}, {"objective": Objective.FEWEST_LENGTHS}])
def test_packs_of_few_lengths_are_refused(given) -> None:
    """Packs choose their lengths by what is bought: they might be of more, and less than the least of few lengths."""
    with pytest.raises(JobError, match="a number of lengths is not given beside packs"):
        cut_runs(runs(3000, 4000), StockChoice("x", (3000, 4000), pack=2, **given))
