"""Rates of the office beside those of the job, tax by delivery, by hand; half a cent goes away from zero."""

from __future__ import annotations

import datetime
from io import BytesIO

import pytest
from openpyxl import load_workbook

from takeoff.basics.errors import JobError
from takeoff.model.basis import Status, Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.job.products import RatesJob
from takeoff.model.office import OfficeRates
from takeoff.model.order import OrderLine
from takeoff.order.rates import office_rate_findings, price_order
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.office.office_file import parse_office
from takeoff.write.workbook.workbook import fill_workbook, workbook_bytes

OFFICE = OfficeRates(
    currency="dollars",
    date=datetime.date(2026, 3, 2),
    basis="list of March",
    tax_name="sales tax",
    tax_percent=15.0,
    prices={"purlin_70x45": 4.15, "rivet": 9.9, "roll of another job": 1.0},
    extra_percent={"purlins": 5.0},
)


def line(number: int, delivery: str, name: str, total: float, unit: str = "m") -> OrderLine:
    of = Item(name, name, ItemKind.FITTING, Trade.ROOFING, "each")
    return OrderLine(f"L{number}", delivery, of, 1, "each", 0.0, total, unit, 0.0, (), Working(""))


LINES = (
    line(1, "purlins", "purlin_70x45", 5.1),
    line(2, "roof sheets", "rivet", 1.0, "box"),
    line(3, "roof sheets", "rivet_red", 3.0, "box"),
)


def test_tax_by_delivery_by_hand() -> None:
    """5.1 x 4.15 = 21.165 -> 21.17, extra 5 % 1.0585 -> 1.06, tax 15 % of 22.23 is 3.3345 -> 3.33; 9.90, tax 1.485 ->
    1.49. Together 21.17 + 9.90 + 1.06 + 3.33 + 1.49 = 36.95."""
    found = price_order(LINES, None, (), OFFICE)
    assert [(one.delivery, one.amount, one.extra_amount, one.tax_amount) for one in found.deliveries] == [
        ("purlins", 21.17, 1.06, 3.33),
        ("roof sheets", 9.9, 0.0, 1.49),
    ]
    assert (found.amount, found.extra, found.tax, found.with_tax) == (31.07, 1.06, 4.82, 36.95)
    assert (found.currency, found.tax_name, found.date) == ("dollars", "sales tax", "2026-03-02")


def test_the_job_goes_before_the_office_and_each_line_says_who_gave_its_rate() -> None:
    found = price_order(LINES, RatesJob(prices={"purlin_70x45": 5.0}, extra_percent={"purlins": 0.0}), (), OFFICE)
    assert [(one.rate, one.basis.status) for one in found.lines] == [
        (5.0, Status.SET_IN_JOB),
        (9.9, Status.SET_IN_OFFICE),
    ]
    assert found.lines[1].basis.words() == "set in the office file: list of March, prices of 2026-03-02"
    assert found.extra == 0.0


def test_two_currencies_are_refused() -> None:
    with pytest.raises(JobError, match="is pounds, but the office file's prices are in dollars"):
        price_order(LINES, RatesJob(currency="pounds"), (), OFFICE)


def test_a_rate_for_nothing_is_told_where_it_looks_like_a_slip() -> None:
    slip = OFFICE.model_copy(update={"prices": {"rivet_redd": 2.0, "roll of another job": 1.0}})
    assert [finding.code for finding in office_rate_findings(LINES, slip)] == ["office-rate-near-miss"]
    assert office_rate_findings(LINES, OFFICE) == ()
    assert office_rate_findings(LINES, None) == ()


def test_prices_of_a_house_with_tax_in_the_workbook() -> None:
    job = parse_job("job: Hut\nroofs: [{outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], pitch_deg: 20}]\n")
    office = parse_office("rates: {tax_name: sales tax, tax_percent: 15, prices: {purlin_70x45: 4.2}}")
    takeoff = run(job, office=office)
    assert takeoff.order is not None
    prices = takeoff.order.prices
    assert prices is not None
    metres = sum(line.total for line in takeoff.order.lines if line.item == "purlin_70x45")
    assert prices.amount == pytest.approx(metres * 4.2, abs=0.02)
    assert prices.with_tax == pytest.approx(prices.amount * 1.15, abs=0.02)
    filled, book = fill_workbook(takeoff), load_workbook(BytesIO(workbook_bytes(takeoff)))
    texts = [str(cell.value) for row in book["Prices"].iter_rows() for cell in row if cell.value]
    assert "together with sales tax" in texts
    assert any("set in the office file" in text for text in texts)
    assert prices.with_tax in filled.values["Prices"].values()
