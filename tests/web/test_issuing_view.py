"""What is shown before an order is issued: why it cannot be, what is held, what is open."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from takeoff.model.findings import Finding, Severity
from takeoff.model.issues import Issue
from takeoff.model.order import Hold, Takeoff
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.web.house import House, News
from takeoff.web.issuing_view import EVERY, deliveries_of, issue_words, open_of, why_not_issued
from takeoff.web.working_copy import Others

SHED = """
job: Shed
roofs:
  - {name: main, outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], fascia_height_mm: 2400, pitch_deg: 20}
"""


@pytest.fixture(scope="module")
def shed() -> Takeoff:
    return run(parse_job(SHED, "job.yaml"), Path())


def house(
    changed: bool = False, others: Others = Others.NOTHING, now: News = News.ORDERED, stands: bool = True
) -> House:
    """A house as far as issuing asks of it."""
    made: Any = SimpleNamespace(
        copy=SimpleNamespace(changed=changed, others=others), current=lambda news: news is now, order_stands=stands
    )
    return cast("House", made)


def test_a_saved_job_whose_order_stands_can_be_issued() -> None:
    assert why_not_issued(house()) == ""


@pytest.mark.parametrize(
    ("of", "why"),
    [
        (house(changed=True), "Save the job file first"),
        (house(others=Others.WROTE), "Others have changed the job file"),
        (house(now=News.SHAPED), "not there yet"),
        (house(now=News.REFUSED), "cannot be taken off"),
        (house(stands=False), "NOT AN ORDER"),
    ],
)
def test_what_cannot_be_issued_says_why(of: House, why: str) -> None:
    assert why in why_not_issued(of)


def test_holds_and_warnings_are_told_and_notes_are_not(shed: Takeoff) -> None:
    warning = Finding("x", Severity.WARN, "Mind this.", "Do that.", ("P1",))
    note = Finding("y", Severity.NOTE, "By the way.")
    left = open_of(replace(shed, findings=(warning, note, warning)))
    assert left.open == ("WARNING (P1): Mind this. Do that.",)
    assert any("tape the frame" in words for words in left.held)


def test_sheets_that_were_taped_are_said_to_be(shed: Takeoff) -> None:
    assert shed.order is not None
    taped = replace(shed, order=replace(shed.order, state=Hold.MEASURED))
    assert any("measured on site" in words for words in open_of(taped).held)


def test_every_delivery_that_brings_something_can_be_issued(shed: Takeoff) -> None:
    assert shed.order is not None
    there = list(dict.fromkeys(line.delivery for line in shed.order.lines if not line.labour))
    assert deliveries_of(shed.order) == (EVERY, *there)
    assert deliveries_of(None) == (EVERY,)


def test_an_issue_is_told_in_a_line() -> None:
    issue = Issue(2, "2026-03-02", "Shed", "B", "", "", ("purlins",), "the yard", "more", (1,), (), {})
    assert issue_words(issue) == "2. 2026-03-02 to the yard, revision B, varies issue 1: 0 lines of purlins. more"
