"""The order as the page lists it: the lines of the order and no other, sums as the papers print them, what an edit
changed, and how lines stand to the book. Figures are compared with the takeoff's records."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from takeoff.model.issues import Issue, IssueBook, IssuedLine
from takeoff.model.order import Takeoff
from takeoff.order.issued import against_book
from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.session import ChangedLine, changes_between
from takeoff.web.order_view import COLUMNS, LABOUR, Since, item_names, order_data

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
SHED = """
job: Shed
roofs:
  - {name: main, outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], fascia_height_mm: 2400, pitch_deg: 20}
"""


@pytest.fixture(scope="module")
def homestead() -> Takeoff:
    return run_file(SAMPLES / "homestead")


@pytest.fixture(scope="module")
def shed() -> Takeoff:
    return run(parse_job(SHED, "job.yaml"))


def rows(data: dict[str, Any], kind: str = "line") -> Iterator[dict[str, str]]:
    for delivery in data["deliveries"]:
        for row in delivery["rows"]:
            if row["k"] == kind:
                yield dict(zip([f"{at} {name}" for at, name in enumerate(COLUMNS)], row["c"], strict=True))


def test_every_line_of_the_order_stands_once(homestead: Takeoff) -> None:
    assert homestead.order is not None
    found = [row["0 line"] for row in rows(order_data(homestead))]
    assert sorted(found) == sorted(line.id for line in homestead.order.lines)


def test_counts_lengths_and_totals_are_those_of_the_lines(homestead: Takeoff) -> None:
    assert homestead.order is not None
    lines = {line.id: line for line in homestead.order.lines}
    for row in rows(order_data(homestead)):
        line = lines[row["0 line"]]
        assert float(row["2 count"].replace(",", "")) == pytest.approx(line.count, abs=0.005)
        assert row["4 length mm"] == (f"{line.each_mm:.0f}" if line.each_mm else "")
        assert float(row["5 total"].replace(",", "")) == pytest.approx(line.total, abs=0.005)
        assert (row["3 unit"], row["6 unit"]) == (line.unit, line.total_unit)


def test_offcuts_stand_once_an_item(homestead: Takeoff) -> None:
    assert homestead.order is not None
    plans = [plan for plan in homestead.order.plans if plan.bars]
    shown = [float(row["8 offcuts m"]) for row in rows(order_data(homestead)) if row["8 offcuts m"]]
    bought = {line.item for line in homestead.order.lines}
    expected = [
        (sum(bar.stock_mm for bar in plan.bars) - plan.placed_mm - plan.laps_mm) / 1000.0
        for plan in plans
        if plan.item in bought and not plan.site_bars
    ]
    assert sorted(shown) == pytest.approx(sorted(expected), abs=0.006)


def test_labour_is_said_to_be_nothing_to_buy(homestead: Takeoff) -> None:
    assert homestead.order is not None
    for delivery in order_data(homestead)["deliveries"]:
        labour = [line.id for line in homestead.order.lines if line.delivery == delivery["name"] and line.labour]
        kinds = [row["c"][0] for row in delivery["rows"]]
        assert (LABOUR in kinds) == bool(labour)
        if labour:
            assert set(kinds[kinds.index(LABOUR) + 1 :]) - {""} == set(labour)


def test_the_sums_say_bought_net_and_pairs(homestead: Takeoff) -> None:
    assert homestead.order is not None
    sums = " ".join(order_data(homestead)["sums"])
    assert f"{homestead.order.sheets_bought_m2:.2f} m2 bought" in sums
    assert f"{homestead.order.sheets_net_m2:.2f} m2 net" in sums
    saved = sum(plan.saving_mm for plan in homestead.order.pairs) / 1000.0
    assert f"would save {saved:.2f} m" in sums


def test_what_an_edit_changed_is_said_in_words(shed: Takeoff) -> None:
    longer = run(parse_job(SHED.replace("6000", "7000"), "job.yaml"))
    changes = changes_between(shed, longer)
    data = order_data(longer, Since(changes.lines, item_names(shed)))
    said = {row["0 line"]: row["10 changed"] for row in rows(data)}
    assert longer.order is not None
    assert shed.order is not None
    before = {(line.item, line.each_mm, line.unit): line.count for line in shed.order.lines}
    for line in longer.order.lines:
        was = before.get((line.item, line.each_mm, line.unit))
        if was is None:
            assert said[line.id] == "new"
        elif was != line.count:
            assert said[line.id].startswith("was ")
        else:
            assert said[line.id] == ""
    assert data["changed"].startswith("Since the last edit: ")
    gone = [text for delivery in data["deliveries"] for text in delivery["gone"]]
    assert len(gone) == sum(1 for line in changes.lines if not line.now)
    assert all("_" not in text for text in gone)  # names, no ids


def test_without_an_edit_nothing_is_said_to_have_changed(shed: Takeoff) -> None:
    data = order_data(shed)
    assert data["changed"] == ""
    assert not any(row["10 changed"] for row in rows(data))


def test_a_line_that_went_has_its_name_from_before(shed: Takeoff) -> None:
    gone = ChangedLine("walls", "old_item", 3000.0, "each", 4.0, 0.0)
    data = order_data(shed, Since((gone,), {"old_item": "Old batten"}))
    (walls,) = [delivery for delivery in data["deliveries"] if delivery["name"] == "walls"]
    assert walls["gone"] == ["Old batten: 4 x 3000 mm"]


def issue_of(takeoff: Takeoff, less: float) -> Issue:
    """An issue of every purlin, of each line some fewer than today."""
    assert takeoff.order is not None
    lines = tuple(
        IssuedLine(
            one.delivery, one.item, "Purlin", one.each_mm, one.unit, one.count - less, one.total, one.total_unit, 0
        )
        for one in takeoff.order.lines
        if one.delivery == "purlins" and one.each_mm > 0
    )
    return Issue(1, "2026-03-02", "Shed", "A", "", "", ("purlins",), "", "", (), lines, {})


def test_lines_stand_to_the_book_in_words(shed: Takeoff) -> None:
    more = against_book(shed, IssueBook((issue_of(shed, 1.0),)))
    said = [row["11 book"] for row in rows(order_data(more)) if row["11 book"].startswith("changed since")]
    assert said
    assert all("1 more to order" in words for words in said)
    same = against_book(shed, IssueBook((issue_of(shed, 0.0),)))
    assert "ordered" in {row["11 book"] for row in rows(order_data(same))}
    assert order_data(same)["book"].startswith("Since the last issue: ")


def test_a_withheld_order_has_its_stops_and_no_line() -> None:
    text = SHED.replace("pitch_deg: 20", "pitch_deg: 1")
    stopped = run(parse_job(text, "job.yaml"))
    assert stopped.order is None
    data = order_data(stopped)
    assert data["deliveries"] == []
    assert not data["ordered"]
    assert len(data["stops"]) == len(stopped.stops) > 0
    assert data["state"].startswith("NOT AN ORDER")


def test_it_is_plain_json(homestead: Takeoff) -> None:
    data = order_data(homestead)
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_names_of_a_job_are_texts_alone(shed: Takeoff) -> None:
    """A hostile note comes through as it is: the page puts it in as a text."""
    assert shed.order is not None
    hostile = "<img src=x onerror=y()>"
    first = replace(shed.order.lines[0], note=hostile)
    data = order_data(replace(shed, order=replace(shed.order, lines=(first, *shed.order.lines[1:]))))
    assert hostile in [row["9 note"] for row in rows(data)]
