"""Loads of a truck: both limits kept, packs whole, in site order, fewest by trying every way."""

from __future__ import annotations

import random
from dataclasses import replace
from io import BytesIO
from itertools import product

import pytest
from openpyxl import load_workbook

from takeoff.model.job.ordering import TruckJob
from takeoff.model.loads import LoadPart
from takeoff.model.order import Order
from takeoff.order.trips import Unit, fewest_trips, least_trips, load_plan, loads_of
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.office.office_file import parse_office
from takeoff.write.workbook.workbook import workbook_bytes

JOB = """job: House at the end of the road
roofs: [{outline: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], pitch_deg: 25}]
"""
TRUCK = "{payload_kg: 900, deck_mm: 5000, overhang_mm: 1200}"


def unit(rank: int, kg: float, name: str) -> Unit:
    return Unit(rank, kg, LoadPart("purlins", name, "", name, 1.0, "each", 3000.0, kg))


def fewest_by_hand(units: list[Unit], payload: float) -> int:
    """The fewest trips of all ways that keep payload and site order."""
    for count in range(1, len(units) + 1):
        for at in product(range(count), repeat=len(units)):
            masses = [sum(u.kg for u, t in zip(units, at, strict=True) if t == trip) for trip in range(count)]
            ordered = all(
                a <= b
                for a, u in zip(at, units, strict=True)
                for b, v in zip(at, units, strict=True)
                if u.rank < v.rank
            )
            if max(masses) <= payload and ordered:
                return count
    return 0


def test_the_fewest_trips_are_those_of_all_ways() -> None:
    chance = random.Random(4)
    for _ in range(60):
        units = [unit(chance.randrange(3), chance.randrange(10, 70), f"u{n}") for n in range(chance.randrange(1, 7))]
        units.sort(key=lambda one: one.rank)
        trips = fewest_trips(units, 100.0)
        assert len(trips) == fewest_by_hand(units, 100.0)
        assert least_trips(units, 100.0) <= len(trips)
        assert sorted(u.part.line for trip in trips for u in trip) == sorted(u.part.line for u in units)
        assert all(sum(u.kg for u in trip) <= 100.0 for trip in trips)


def test_three_of_sixty_need_three_trips_though_two_would_carry_them() -> None:
    """By hand: 180 kg on trucks of 100 kg are two by mass; no two of 60 go together."""
    units = [unit(0, 60.0, name) for name in "abc"]
    assert (least_trips(units, 100.0), len(fewest_trips(units, 100.0))) == (3, 3)


@pytest.fixture(scope="module")
def order() -> Order:
    found = run(parse_job(JOB)).order
    assert found is not None
    return found


@pytest.mark.parametrize("unloading", ["crane", "hand"])
def test_every_piece_is_on_one_trip_and_both_limits_hold(order: Order, unloading: str) -> None:
    truck = TruckJob.model_validate(
        {"payload_kg": 900.0, "deck_mm": 5000.0, "overhang_mm": 1200.0, "unloading": unloading}
    )
    plan, findings = load_plan(order.lines, order.packs, truck)
    assert "load-too-heavy" not in {finding.code for finding in findings}
    assert all(trip.kg <= 900.5 for trip in plan.trips)
    assert [trip.number for trip in plan.trips] == list(range(1, len(plan.trips) + 1))
    wanted = {line.id: line.count for line in order.lines if not line.labour}
    carried: dict[str, float] = {}
    for part in (part for trip in plan.trips for part in trip.parts):
        carried[part.line] = carried.get(part.line, 0.0) + part.pieces
    packs = [part.pack for trip in plan.trips for part in trip.parts if part.pack]
    packed = carried.pop("", 0.0)
    assert all(carried[line] == wanted[line] for line in carried)
    sheets = sum(count for line, count in wanted.items() if line not in carried)
    assert sheets == packed
    assert sorted(packs) == (sorted(pack.id for pack in order.packs) if unloading == "crane" else [])
    ranks = [part.delivery for trip in plan.trips for part in trip.parts]
    first = {name: ranks.index(name) for name in ranks}
    assert list(first) == [delivery.name for delivery in order.deliveries if delivery.name in first]
    assert sum(trip.kg for trip in plan.trips) == pytest.approx(sum(line.kg for line in order.lines), abs=3.0)


def test_what_does_not_fit_the_truck_is_told(order: Order) -> None:
    short = TruckJob(payload_kg=50.0, deck_mm=3000.0)
    plan, findings = load_plan(order.lines, order.packs, short)
    assert {"load-too-long", "load-too-heavy", "load-unweighed"} == {finding.code for finding in findings}
    assert plan.trips


def test_the_jobs_truck_goes_before_the_offices(order: Order) -> None:
    office = parse_office("truck: {name: ours, payload_kg: 9000, deck_mm: 8000}")
    job = parse_job(f"{JOB}truck: {TRUCK}\n")
    mine, _ = loads_of(job, office, order.lines, order.packs)
    theirs, _ = loads_of(parse_job(JOB), office, order.lines, order.packs)
    none, _ = loads_of(parse_job(JOB), None, order.lines, order.packs)
    assert mine is not None
    assert theirs is not None
    assert (mine.truck.payload_kg, mine.by_office, theirs.truck.name, theirs.by_office, none) == (
        900.0, False, "ours", True, None,
    )  # fmt: skip
    assert len(theirs.trips) == theirs.least == 1


def test_the_workbook_has_a_list_a_trip() -> None:
    takeoff = run(parse_job(f"{JOB}truck: {TRUCK}\n"))
    assert takeoff.order is not None
    assert takeoff.order.loads is not None
    sheet = load_workbook(BytesIO(workbook_bytes(takeoff)))["Loads"]
    heads = [str(row[0].value) for row in sheet.iter_rows() if str(row[0].value).startswith("Trip ")]
    assert len(heads) == len(takeoff.order.loads.trips) > 1
    bare = replace(takeoff, order=replace(takeoff.order, loads=None))
    assert "Loads" not in load_workbook(BytesIO(workbook_bytes(bare))).sheetnames
