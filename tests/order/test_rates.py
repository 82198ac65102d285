"""The user's own rates by hand: rounding half up line by line, totals as sums of rounded lines, extras once."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from takeoff.basics.errors import JobError
from takeoff.measure.item_book import spare_of
from takeoff.model.basis import Working
from takeoff.model.items import DELIVERIES, Item, ItemKind, Trade
from takeoff.model.job.products import RatesJob
from takeoff.model.order import OrderLine
from takeoff.order.rates import ids_of, price_order


def line(number: int, delivery: str, item: Item | str, total: float, unit: str = "m") -> OrderLine:
    each = 6000.0 if unit == "m" else 0.0
    of = item if isinstance(item, Item) else Item(item, item, ItemKind.FITTING, Trade.ROOFING, "each")
    return OrderLine(f"L{number}", delivery, of, 1, "each", each, total, unit, 0.0, (), Working(""))


RED = Item("sheet corrugated 1", "corrugated, red", ItemKind.SHEET, Trade.ROOFING, "length", family="sheet corrugated")
SHEETS = (
    line(1, "purlins", "purlin_70x45", 5.1),
    line(2, "roof sheets", RED, 2.15),
    line(3, "roof sheets", spare_of(RED), 0.01),
    line(4, "roof sheets", "rivet", 1.0, "box"),
)


def test_amounts_are_rounded_half_up_line_by_line() -> None:
    """5.1 x 6.15 = 31.365 -> 31.37; 2.15 x 11.45 = 24.6175 -> 24.62; 0.01 x 11.45 = 0.1145 -> 0.11; not the sum
    5.1 x 6.15 + 2.16 x 11.45 = 56.097 -> 56.10 but the sum of the rounded lines, 56.10, delivery by delivery."""
    found = price_order(SHEETS, RatesJob(prices={"purlin_70x45": 6.15, "sheet corrugated": 11.45}))
    assert [(priced.line, priced.amount) for priced in found.lines] == [("L1", 31.37), ("L2", 24.62), ("L3", 0.11)]
    assert [(d.delivery, d.amount, d.unpriced) for d in found.deliveries] == [
        ("purlins", 31.37, 0),
        ("roof sheets", 24.73, 1),
    ]
    assert (found.amount, found.extra, found.total) == (56.1, 0.0, 56.1)


def test_a_sum_of_rounded_lines_is_not_the_rounded_sum() -> None:
    """Three lines of 0.335 are 0.34 each, 1.02 together; the bare sum 1.005 would be 1.01."""
    lines = tuple(line(n, "walls", "nail", 0.335, "box") for n in range(1, 4))
    assert price_order(lines, RatesJob(prices={"nail": 1.0})).amount == 1.02


def test_extras_are_added_once_and_stand_apart() -> None:
    """5 % of 31.37 is 1.5685 -> 1.57; the extra length is 5 % of 5.1 m, 0.255 m. 10 % of 24.73 is 2.47."""
    rates = RatesJob(
        currency="dollars",
        prices={"purlin_70x45": 6.15, "sheet corrugated": 11.45},
        extra_percent={"purlins": 5.0, "roof sheets": 10.0},
    )
    found = price_order(SHEETS, rates)
    assert [(d.extra_percent, d.extra_amount, d.extra_m) for d in found.deliveries] == [
        (5.0, 1.57, 0.255),
        (10.0, 2.47, 0.216),
    ]
    assert (found.amount, found.extra, found.total, found.currency) == (56.1, 4.04, 60.14, "dollars")


def test_an_id_of_its_own_is_nearer_than_that_of_all_sheets_of_the_profile() -> None:
    rates = RatesJob(prices={"sheet corrugated": 11.0, "sheet corrugated 1": 12.0})
    assert [priced.rate for priced in price_order(SHEETS, rates).lines] == [12.0, 12.0]
    assert ids_of(SHEETS[2].of) == ("spare sheet corrugated 1", "sheet corrugated 1", "sheet corrugated")


def test_a_printed_name_is_no_id() -> None:
    with pytest.raises(JobError, match="no item of the order has that id"):
        price_order(SHEETS, RatesJob(prices={"corrugated, red": 13.0}))


def test_unknown_names_come_at_once_with_the_nearest() -> None:
    with pytest.raises(JobError) as caught:
        price_order(SHEETS, RatesJob(prices={"purlin_70x54": 1.0, "sheet corugated": 1.0, "zzz": 1.0}))
    text = caught.value.faults
    assert text[0].endswith("no item of the order has that id; did you mean purlin_70x45?")
    assert text[1].endswith("did you mean sheet corrugated?")
    assert "ids of this order: purlin_70x45, rivet" in text[2]


totals = st.integers(0, 10_000_000).map(lambda n: n / 1000.0)
rate = st.integers(0, 1_000_000).map(lambda n: n / 1000.0)


@hypothesis_settings(derandomize=True, max_examples=200, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(DELIVERIES), totals, rate), min_size=1, max_size=30),
    st.dictionaries(st.sampled_from(DELIVERIES), st.integers(0, 1000).map(lambda n: n / 10.0)),
)
def test_totals_are_sums_of_rounded_lines(rows: list[tuple[str, float, float]], extra: dict[str, float]) -> None:
    lines = tuple(line(n, delivery, f"item {n}x", total) for n, (delivery, total, _) in enumerate(rows, start=1))
    prices = {f"item {n}x": price for n, (_, _, price) in enumerate(rows, start=1)}
    found = price_order(lines, RatesJob(prices=prices, extra_percent=extra))
    cents = [Decimal(repr(priced.amount)) for priced in found.lines]
    assert all(cent == cent.quantize(Decimal("0.01")) for cent in cents)
    for cent, (_, total, price) in zip(cents, rows, strict=True):
        exact = Decimal(repr(total)) * Decimal(repr(price))
        assert Decimal("-0.005") < exact - cent < Decimal("0.005") or exact - cent == Decimal("-0.005")
    assert Decimal(repr(found.amount)) == sum(cents, Decimal(0))
    assert Decimal(repr(found.total)) == Decimal(repr(found.amount)) + Decimal(repr(found.extra))
    for delivery in found.deliveries:
        exact = Decimal(repr(delivery.amount)) * Decimal(repr(delivery.extra_percent)) / 100
        assert abs(exact - Decimal(repr(delivery.extra_amount))) <= Decimal("0.005")
