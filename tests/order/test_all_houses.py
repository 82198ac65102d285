"""Several houses of one kind: every line times, marks by house, waste told, and what sharing packs would save."""

from __future__ import annotations

import json
from io import BytesIO
from math import ceil
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.basics.errors import JobError
from takeoff.model.order import Order, Takeoff
from takeoff.pipeline import run, write_files
from takeoff.read.job.job_file import parse_job
from takeoff.review import verify_folder
from takeoff.write.workbook.workbook import workbook_bytes

JOB = """job: Row of huts
rates: {prices: {purlin_70x45: 4.17}}
truck: {payload_kg: 2000, deck_mm: 6000, overhang_mm: 1500}
roofs: [{outline: [[0, 0], [7000, 0], [7000, 5000], [0, 5000]], pitch_deg: 20}]
"""


@pytest.fixture(scope="module")
def row() -> Takeoff:
    return run(parse_job(f"{JOB}count: 4\n"))


@pytest.fixture(scope="module")
def one() -> Order:
    found = run(parse_job(JOB)).order
    assert found is not None
    return found


def test_every_line_is_for_all_houses(row: Takeoff, one: Order) -> None:
    assert row.order is not None
    assert [(line.item, line.count, line.each_mm) for line in row.order.lines] == [
        (line.item, line.count * 4, line.each_mm) for line in one.lines
    ]
    for line, single in zip(row.order.lines, one.lines, strict=True):
        assert line.total == pytest.approx(single.total * 4)
        assert line.kg == pytest.approx(single.kg * 4, abs=0.21)
    assert row.order.sheets_bought_m == pytest.approx(one.sheets_bought_m * 4)
    assert row.order.sheets_offcuts_m2 == pytest.approx(one.sheets_offcuts_m2 * 4, abs=0.05)
    assert [(d.name, d.pieces) for d in row.order.deliveries] == [(d.name, d.pieces * 4) for d in one.deliveries]


def test_prices_are_of_all_houses_and_trips_of_one(row: Takeoff, one: Order) -> None:
    assert row.order is not None
    assert row.order.prices is not None
    metres = sum(line.total for line in row.order.lines if line.item == "purlin_70x45")
    assert row.order.prices.amount == pytest.approx(metres * 4.17, abs=0.05)
    assert row.order.loads == one.loads


def test_packs_and_their_sheets_are_marked_by_house(row: Takeoff, one: Order) -> None:
    assert row.order is not None
    assert len(row.order.packs) == 4 * len(one.packs)
    assert [pack.id for pack in row.order.packs[: len(one.packs)]] == [f"H1-{pack.id}" for pack in one.packs]
    marks = [sheet.mark for pack in row.order.packs for sheet in pack.sheets]
    assert len([mark for mark in marks if mark.startswith("H4-P1.")]) == len(
        [sheet for pack in one.packs for sheet in pack.sheets if sheet.mark.startswith("P1.")]
    )


def test_waste_and_what_sharing_would_save_are_told(row: Takeoff, one: Order) -> None:
    """Boxes by hand: so many pieces a house, four houses, boxes of so many; against four times one house's boxes."""
    assert row.order is not None
    houses = row.order.houses
    assert houses is not None
    assert (houses.count, houses.marks, houses.words) == (4, ("H1", "H2", "H3", "H4"), "4 houses, H1 to H4")
    waste = sum(plan.waste_mm for plan in one.plans) / 1000.0
    assert houses.waste_m == pytest.approx(waste, abs=0.001)
    saved = {one.line: one.packs for one in houses.together}
    assert saved
    for line in one.lines:
        measured = next((term.value for term in line.working.terms if term.name == "measured"), None)
        if line.of.pack is not None and line.of.pack.holds and isinstance(measured, int | float):
            together = ceil(measured * 4 / line.of.pack.holds - 1e-9)
            assert line.count * 4 - together == saved.get(line.id, 0.0)
    text = next(finding.text for finding in row.findings if finding.code == "several-houses")
    assert f"{houses.waste_m * 4:.2f} m in all" in text


def test_sheet_and_data_agree_and_name_the_houses(row: Takeoff, tmp_path: Path) -> None:
    write_files(row, tmp_path)
    state = verify_folder(tmp_path)
    assert (state.whole, state.differing) == (True, ())
    data = json.loads((tmp_path / "takeoff.json").read_text(encoding="utf-8"))
    assert data["order"]["houses"]["count"] == 4
    head = str(load_workbook(BytesIO(workbook_bytes(row)))["Order"]["A2"].value)
    assert "4 houses, H1 to H4" in head


def test_lengths_on_hand_are_those_of_one_site() -> None:
    on_hand = "on_hand: [{item: purlin_70x45, length_mm: 4800}]\n"
    with pytest.raises(JobError, match=r"on_hand: lies on one site"):
        parse_job(f"{JOB}count: 2\n{on_hand}")
    with pytest.raises(JobError, match=r"count: must be at least 1"):
        parse_job(f"{JOB}count: 0\n")
