"""What is printed as the reason of a figure adds up to it: read off the order of a house, sums by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff import Takeoff, run
from takeoff.model.items import ItemKind
from takeoff.model.order import OrderLine
from takeoff.read.job.job_file import parse_job

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@pytest.fixture(scope="module")
def house() -> Takeoff:
    """With side laps of the underlay taped, so that every kind of lap is in the sum."""
    text = (SAMPLES / "homestead" / "job.yaml").read_text(encoding="utf-8")
    job = parse_job(text)
    return run(job.model_copy(update={"settings": {**job.settings, "underlay_tape_side_laps": True}}))


def _terms(line: OrderLine) -> dict[str, float]:
    return {term.name: float(term.value) for term in line.working.terms if isinstance(term.value, (int, float))}


def test_what_is_bought_is_placed_lapped_or_wasted(house: Takeoff) -> None:
    assert house.order is not None
    lines = [line for line in house.order.lines if "proven least" in _terms(line)]
    assert {line.of.kind for line in lines} >= {ItemKind.TIMBER, ItemKind.FLASHING}
    lapped = 0
    for line in lines:
        terms = _terms(line)
        made = terms["placed"] + terms["laps"] + terms["waste"] - terms.get("from site", 0.0)
        assert made == pytest.approx(terms["bought"], abs=0.002), line.item
        lapped += terms["laps"] > 0.0
    assert lapped > 3


def test_tape_of_the_underlay_is_the_sum_of_its_laps(house: Takeoff) -> None:
    found = [
        quantity for need in house.roofing.needs for quantity in need.quantities if quantity.item == "underlay_tape"
    ]
    assert found
    for quantity in found:
        metres = [float(term.value) for term in quantity.working.terms if term.unit == "m"]
        assert len(metres) == 2
        assert min(metres) > 0.0
        assert sum(metres) == pytest.approx(quantity.figure, abs=0.002)
