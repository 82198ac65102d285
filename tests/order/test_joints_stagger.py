"""Joints of neighbouring rows of purlins stand on different rafters (common practice, no source).

By hand, a roof 11 m long with rafters at 900 mm set out from the middle, rafters at 100, 1000, 1900, 2800, 3700, 4600,
5500, 6400 ... from the end: of stock up to 6 m two pieces of a row meet only between 5000 and 6000, on the rafter at
5500. Every other row has three pieces, so that no joint is on the rafter of the row beside.
"""

from __future__ import annotations

import json
from collections import defaultdict
from itertools import pairwise
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.order.cut_stock.runs import cut_runs
from takeoff.read.job.job_file import parse_job

ROOF = {
    "name": "house",
    "outline": [[0, 0], [11000, 0], [11000, 8000], [0, 8000]],
    "fascia_height_mm": 2400,
    "pitch_deg": 25,
    "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
}
STOCK = StockChoice("p", (4800, 5400, 6000), kerf_mm=4.0)
RAFTERS = tuple(100.0 + 900.0 * k for k in range(13))


def taken(**settings: Any) -> Takeoff:
    job = {"job": "rows", "rainwater": {"ground_mm": -300}, "roofs": [ROOF], "settings": settings}
    return pipeline.run(parse_job(json.dumps(job)))


def joints_by_row(takeoff: Takeoff) -> dict[tuple[str, int], list[float]]:
    assert takeoff.order is not None
    plane = {line.run: (line.plane, line.row) for line in takeoff.roofing.purlins if line.role != "outrigger"}
    found: dict[tuple[str, int], list[float]] = {place: [] for place in plane.values()}
    for plan in takeoff.order.plans:
        for joint in plan.joints:
            if joint.run in plane:
                found[plane[joint.run]].append(joint.at_mm)
    return found


def test_every_other_row_takes_a_third_piece() -> None:
    takeoff = taken()
    rows: dict[str, list[list[float]]] = defaultdict(list)
    for (plane, _), joints in sorted(joints_by_row(takeoff).items()):
        rows[plane].append(sorted(joints))
    assert set(rows) == {"P1", "P2"}
    for joints in rows.values():
        assert len(joints) == 7  # rafter 4413.5: rows at 50, 650, 1550 ... 3350, 3898 and the ridge row at 4263.5
        assert all(abs(a - b) >= 899.9 for one, two in pairwise(joints) for a in one for b in two)
        counts = [len(row) for row in joints]
        assert sorted(counts) == [1, 1, 1, 1, 2, 2, 2]
        assert all(a != b for a, b in pairwise(counts))
        assert all(at in [pytest.approx(r) for r in RAFTERS] for row in joints for at in row)
    assert "joints-in-line" not in {finding.code for finding in takeoff.findings}


def test_in_line_by_a_setting_says_so() -> None:
    takeoff = taken(purlin_joints="in_line")
    assert all(joints == [pytest.approx(5500.0)] for joints in joints_by_row(takeoff).values())
    said = [finding for finding in takeoff.findings if finding.code == "joints-in-line"]
    assert [finding.severity for finding in said] == [Severity.NOTE, Severity.NOTE]
    assert said[0].text == "P1: joints of 7 rows stand on one rafter: PU1.01 to PU1.07."


def test_what_cannot_be_kept_apart_is_a_warning() -> None:
    """Rafters only at 5500: a third piece has nowhere to be joined, and both rows meet on it."""
    rows = [row(n, (5500.0,)) for n in (1, 2)]
    plan = cut_runs(rows, STOCK)
    assert [joint.clear for joint in plan.joints] == [False, False]
    (said,) = plan.findings
    assert (said.code, said.severity) == ("joints-in-line", Severity.WARN)
    assert "2 rows stand on one rafter: R1 to R2" in said.text


def row(number: int, rafters: tuple[float, ...] = RAFTERS, length_mm: float = 11000.0) -> RunDemand:
    return RunDemand(
        f"R{number}", "p", length_mm, rafters, least_mm=1800.0, row=number, stagger_mm=900.0, spare_joints=1, tell=True
    )


def test_rows_that_can_be_staggered_with_two_pieces_get_no_third() -> None:
    """10 m: joints between 4000 and 6000, on the rafters at 4600 and 5500: two pieces each, turn about."""
    plan = cut_runs([row(n, length_mm=10000.0) for n in range(1, 7)], STOCK)
    assert sum(len(bar.pieces) for bar in plan.bars) == 12
    assert all(joint.clear for joint in plan.joints)


def test_seven_rows_have_three_third_pieces_and_the_fixings_of_their_joints() -> None:
    """Seven rows: four of two pieces, three of three: 17 pieces."""
    plan = cut_runs([row(n) for n in range(1, 8)], STOCK)
    assert sum(len(bar.pieces) for bar in plan.bars) == 17
    assert all(joint.clear for joint in plan.joints)
    assert plan.findings == ()


def test_a_joint_more_has_its_fixing() -> None:
    """By hand: seven rows a plane, of which the second, fourth and sixth have a joint more: 6 fixings on both planes."""
    crossings = []
    for how in ("in_line", "staggered"):
        (need,) = (need for need in taken(purlin_joints=how).roofing.needs if need.trade == "purlins")
        (fixing,) = (quantity for quantity in need.quantities if quantity.id.endswith("purlin fixings"))
        crossings.append(next(term.value for term in fixing.working.terms if term.name == "crossings"))
    assert float(str(crossings[1])) - float(str(crossings[0])) == 6.0
