"""No house that is right is stopped by a bound: every sample, and houses of all sorts by number."""

from __future__ import annotations

import json
import sys
from functools import cache
from pathlib import Path

import pytest

from takeoff.basics.errors import JobError, ShapeError
from takeoff.model.order import Takeoff
from takeoff.order.bounds.bound_rules import RULES
from takeoff.order.bounds.bounded import case_of
from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job

sys.path.insert(0, str(Path(__file__).parent))

from houses_of_all_sorts import house

SAMPLES = sorted((Path(__file__).parents[2] / "geometry_samples").glob("*/job.yaml"))
FEW, MANY = 20, 400


@cache
def taken(number: int) -> Takeoff | None:
    """A house of that number taken off, None where the shape or the job is refused for a reason of its own."""
    try:
        return run(parse_job(json.dumps(house(number)), f"house {number}"))
    except (JobError, ShapeError):
        return None


def out_of_bounds(takeoff: Takeoff) -> list[str]:
    """Texts of what a bound has stopped."""
    names = {f"out-of-bounds-{rule.name}" for rule in RULES} | {"plane-without-sheets"}
    return [finding.text for finding in takeoff.findings if finding.code in names]


@pytest.mark.parametrize("sample", SAMPLES, ids=[path.parent.name for path in SAMPLES])
def test_every_sample_lies_within_all_bounds(sample: Path) -> None:
    takeoff = run_file(sample)
    assert out_of_bounds(takeoff) == []
    assert takeoff.order is not None


@pytest.mark.parametrize("number", range(FEW))
def test_houses_of_all_sorts_lie_within_all_bounds(number: int) -> None:
    takeoff = taken(number)
    assert takeoff is None or out_of_bounds(takeoff) == []


def test_a_wall_of_slats_lies_within_all_bounds() -> None:
    """By hand: slats 20 mm in cover take 50 m of board on a square metre, five times what any weatherboard does."""
    wall = {"name": "front", "width_mm": 6000, "height_mm": 2400}
    zones = [{"direction": "horizontal", "board": {"width_mm": 25, "cover_mm": 20}}]
    takeoff = run(parse_job(json.dumps({"job": "slats", "walls": {"elevations": [wall], "zones": zones}})))
    assert out_of_bounds(takeoff) == []
    assert takeoff.order is not None
    metres = sum(piece.length_mm for boards in takeoff.cladding.boards for piece in boards.pieces) / 1000.0
    assert metres > 40.0 * 6.0 * 2.4


def test_few_of_them_are_refused_for_another_reason() -> None:
    ordered = [takeoff for number in range(FEW) if (takeoff := taken(number)) is not None and takeoff.order is not None]
    assert len(ordered) > 0.7 * FEW


@pytest.mark.long
def test_many_houses_of_all_sorts_lie_within_all_bounds() -> None:
    """Every figure of some 400 houses, and how near the nearest comes to a bound is no accident of one house."""
    ordered = 0
    for number in range(FEW, MANY):
        takeoff = taken.__wrapped__(number)
        if takeoff is not None:
            assert out_of_bounds(takeoff) == [], number
            ordered += takeoff.order is not None
    assert ordered > 0.7 * (MANY - FEW)


def test_bounds_see_every_kind_of_house() -> None:
    """Each rule has figures to look at in the houses: a bound that never looks stops nothing."""
    seen: set[str] = set()
    for number in range(FEW):
        takeoff = taken(number)
        if takeoff is not None and takeoff.order is not None:
            case = case_of(takeoff, takeoff.order)
            seen |= {rule.name for rule in RULES if any(True for _ in rule.check(case))}
    assert {rule.name for rule in RULES} - seen <= {"true-fold", "edges-apart"}
