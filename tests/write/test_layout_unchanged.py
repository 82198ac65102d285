"""Regression: what is drawn and printed lies where it is recorded to lie. No check value: it says that the layout
changed, and where."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from layout_record import RECORD, ROWS, recorded

RENEW = "look at the difference, then: python tests/write/layout_record.py"


@pytest.mark.parametrize(("part", "name"), ROWS, ids=lambda each: each.replace(" ", "_"))
def test_the_layout_is_as_recorded(part: str, name: str) -> None:
    assert recorded(part, name) == json.loads(RECORD.read_text(encoding="utf-8"))[f"{part}: {name}"], RENEW


def test_every_part_is_recorded_and_nothing_else() -> None:
    assert list(json.loads(RECORD.read_text(encoding="utf-8"))) == [f"{part}: {name}" for part, name in ROWS]
