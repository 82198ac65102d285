"""The office file of the station hut: everything it says on one house, figures by hand from the sample's README."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.model.basis import Status
from takeoff.model.order import Order, Takeoff
from takeoff.pipeline import run_file
from takeoff.write.papers.blocks import Table
from takeoff.write.papers.loads_paper import loads_paper

HUT = Path(__file__).resolve().parents[2] / "geometry_samples" / "station_hut"


@pytest.fixture(scope="module")
def hut() -> Takeoff:
    return run_file(HUT, office=HUT / "station_office.yaml")


@pytest.fixture(scope="module")
def order(hut: Takeoff) -> Order:
    assert hut.order is not None
    return hut.order


def test_three_trips_where_two_would_carry_it(order: Order) -> None:
    """Purlins 196.6, packs 195.1 (175.0 and two spares of 10.05) and 175.0, flashings 41.7 kg on a trailer for 350."""
    loads = order.loads
    assert loads is not None
    assert (len(loads.trips), loads.least) == (3, 2)
    assert loads.trips[2].why == "trip 2 has 155 kg free, the lightest here weighs 175"
    assert "packs and pieces are brought whole" in loads.reason
    assert sum(trip.kg for trip in loads.trips) == pytest.approx(608.4, abs=0.2)
    assert all(trip.kg <= 350.0 and trip.longest_mm <= 6000.0 for trip in loads.trips)


def test_two_suppliers_take_two_deliveries_each(order: Order) -> None:
    heads = {head.delivery: head for head in order.letterheads}
    assert heads["purlins"].beside == heads["underlay"].beside == ("purlins", "underlay")
    assert heads["roof sheets"].beside == ("roof sheets", "flashings")
    assert (heads["purlins"].number, heads["flashings"].number) == ("A-purlins", "HUT-A")
    assert heads["rainwater"].supplier is None
    assert heads["roof sheets"].terms == ("Paid when the sheets are loaded.",)


def test_purlins_at_the_offices_rate_with_extra_and_tax(order: Order) -> None:
    """4 x 6.0 + 8 x 5.7 + 8 x 4.8 + 4 x 4.2 = 124.80 m; lines 92.40 + 175.56 + 147.84 + 64.68 = 480.48; 3 % are 14.41;
    10 % of 494.89 are 49.49."""
    assert order.prices is not None
    purlins = next(one for one in order.prices.deliveries if one.delivery == "purlins")
    assert (purlins.amount, purlins.extra_amount, purlins.tax_amount) == (480.48, 14.41, 49.49)
    assert order.prices.with_tax == pytest.approx(order.prices.total + order.prices.tax, abs=1e-9)


def test_what_the_office_sets_is_told_as_its_own(hut: Takeoff) -> None:
    setting = hut.settings.values["spare_sheets"]
    assert (setting.value, setting.basis.status) == (2, Status.SET_IN_OFFICE)


def test_the_drivers_paper_has_every_trip(hut: Takeoff, order: Order) -> None:
    paper = loads_paper(hut, order, (), str)
    assert paper is not None
    rows = [row.cells for block in paper.blocks if isinstance(block, Table) for row in block.rows]
    trips = [row[0] for row in rows if row[0].startswith("Trip ")]
    assert trips == [
        "Trip 1: purlins, underlay, roof sheets",  # the boxes of screws
        "Trip 2: roof sheets",
        "Trip 3: roof sheets, flashings, rainwater",
    ]
    assert loads_paper(hut, replace(order, loads=None), (), str) is None
