"""Random edits through a warm session give, byte for byte, what a fresh run gives."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from random_edits import EDITED, outcomes


@pytest.mark.parametrize("name", ["hip_12x8", "unequal_pitches", "two_storeys"])
def test_a_few_edits_of_a_few_houses(name: str) -> None:
    assert [change for outcome, change in outcomes(name, 4, 5) if outcome == "differs"] == []


@pytest.mark.long
@pytest.mark.parametrize("name", EDITED)
def test_many_edits_of_many_houses(name: str) -> None:
    assert [change for outcome, change in outcomes(name, 34, 7) if outcome == "differs"] == []
