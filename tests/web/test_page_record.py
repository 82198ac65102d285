"""Regression: the page shows of a small house, and its fields and buttons do to the job, what is recorded. What is recorded
is no check value; it says that something changed, and where."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

pytest.importorskip("nicegui")
sys.path.insert(0, str(Path(__file__).parent))

from hand import own_loop
from page_record import RECORD, recorded

RENEW = "look at each difference, then: python tests/web/page_record.py"


@pytest.fixture(scope="module")
def found() -> dict[str, str]:
    with own_loop():
        return recorded()


@pytest.mark.parametrize("name", sorted(path.stem for path in RECORD.glob("*.txt")))
def test_the_page_does_what_is_recorded(name: str, found: dict[str, str]) -> None:
    recorded_lines = (RECORD / f"{name}.txt").read_text(encoding="utf-8").splitlines()
    assert found.get(name, "").splitlines() == recorded_lines, RENEW


def test_nothing_else_is_recorded(found: dict[str, str]) -> None:
    assert sorted(found) == sorted(path.stem for path in RECORD.glob("*.txt"))
