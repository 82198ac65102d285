"""What follows from the lines of an order, each from the stage that makes it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_orders import line, order

from takeoff.model.findings import Finding, Severity
from takeoff.order import finishing


@pytest.mark.parametrize(
    ("of_job", "of_office", "priced"),
    [(None, None, False), ("rates", None, True), (None, {}, False), (None, {"rail": 1.0}, True), ("rates", {}, True)],
)
def test_an_order_is_priced_where_anybody_gives_a_rate(
    of_job: Any, of_office: Any, priced: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = [Finding(name, Severity.NOTE, name) for name in ("known", "loading", "rates")]
    own = replace(order(line("L1", "rail", 2.0)), packs=("pack",), findings=(told[0],))  # type: ignore[arg-type]
    job: Any = SimpleNamespace(rates=of_job)
    office: Any = None if of_office is None else SimpleNamespace(rates=SimpleNamespace(prices=of_office))
    rates = office.rates if office is not None else None
    monkeypatch.setattr(finishing, "delivery_totals", lambda *given: ("deliveries", given))
    monkeypatch.setattr(finishing, "loads_of", lambda *given: (("loads", given), [told[1]]))
    monkeypatch.setattr(finishing, "letterheads", lambda *given: ("heads", given))
    monkeypatch.setattr(finishing, "price_order", lambda *given: ("prices", given))
    monkeypatch.setattr(
        finishing, "office_rate_findings", lambda *given: [told[2]] if given == (own.lines, rates) else []
    )
    found = finishing.finished(own, job, office, ["lying"])  # type: ignore[list-item]
    deliveries: Any = ("deliveries", (own.lines, own.packs))
    assert found == replace(
        own,
        deliveries=deliveries,
        letterheads=("heads", (job, office, deliveries)),  # type: ignore[arg-type]
        prices=("prices", (own.lines, of_job, ["lying"], rates)) if priced else None,  # type: ignore[arg-type]
        loads=("loads", (job, office, own.lines, own.packs)),  # type: ignore[arg-type]
        findings=tuple(told),
    )
