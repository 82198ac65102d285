"""Explanations: every mark has one, figures in it are those of the order, and each term says why it has its value."""

from __future__ import annotations

import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.write.explain.explain_words import explain, near_names
from takeoff.write.words.words import term_words

JOB = """\
job: Hut
site: {wind_zone: high, rain_mm_per_h: 100}
roofs:
  - wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    pitch_deg: 25
    edges: {2: {kind: gable}}
    covering: {lay_from: east}
rainwater: {ground_mm: -300}
walls:
  height_mm: 2450
  ground_mm: -300
  zones: [{board: bevel_187}]
  openings: [{wall: 1, name: W1, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1200}]
"""


@pytest.fixture(scope="module")
def hut() -> Takeoff:
    return run(parse_job(JOB))


def text(takeoff: Takeoff, mark: str) -> str:
    found = explain(takeoff, mark)
    assert found, mark
    return "\n".join(line for one in found for line in (one.title, *one.facts, *one.working, *one.came_from))


def test_a_square_sheet_by_hand(hut: Takeoff) -> None:
    # rafter in plan 3000 + 600 = 3600: 3600 / cos 25 = 3972.2; + 50 over the eave - 25 at the ridge = 3997.2 -> 3998
    words = text(hut, "P1.01")
    assert "bought 3998 mm for a reach of 3 997.2 mm" in words
    assert "trim 50 mm (E1)" in words
    assert "trim -25 mm (R1)" in words
    assert "E1: eave of P1, 9.6 m, edge 1 of the job" in words
    assert "P1: roof plane at 25 degrees falling south" in words


def test_every_term_stands_with_its_basis(hut: Takeoff) -> None:
    piece = hut.roofing.sheets[0].pieces[0]
    (found,) = explain(hut, piece.mark)
    assert found.working == (piece.working.rule, *(term_words(term) for term in piece.working.terms))
    assert any("[common practice, no source" in line for line in found.working)
    assert any("[NZ Metal Roof and Wall Cladding Code of Practice" in line for line in found.working)


def test_everything_that_has_a_name_is_explained(hut: Takeoff) -> None:
    assert hut.order is not None
    names = [piece.mark for sheets in hut.roofing.sheets for piece in sheets.pieces]
    for roof in hut.roofs:
        names += [thing.id for things in (roof.planes, roof.edges, roof.uprights) for thing in things]
    names += [line.id for line in hut.order.lines]
    names += [piece.id for plan in hut.order.plans[:3] for bar in plan.bars for piece in bar.pieces]
    names += [f"{plan.item} {bar.number}" for plan in hut.order.plans for bar in plan.bars[:1]]
    names += [quantity.id for quantity in hut.measures]
    for need in (*hut.roofing.needs, *hut.rainwater.needs, *hut.cladding.needs):
        names += [quantity.id for quantity in need.quantities] + [demand.id for demand in need.demands[:5]]
    names += [pipe.id for plan in hut.rainwater.downpipes for pipe in plan.pipes]
    names += [run.id for run in hut.gutters] + ["W1", "wall 1", "valley_gap_mm"]
    assert len(names) > 150
    assert [name for name in names if not explain(hut, name)] == []


def test_what_is_said_of_each_kind(hut: Takeoff) -> None:
    assert "between P1 and P2" in text(hut, "h1") or "between P3 and P1" in text(hut, "h1")
    assert "falls south" in text(hut, "P1")
    line = next(line for line in hut.order.lines if line.item == "sheet corrugated")  # type: ignore[union-attr]
    assert f"{line.count:g} each of {line.each_mm:.0f} mm" in text(hut, line.id)
    assert "decided by" in text(hut, "DP1")
    assert "1200 x 1200 mm, sill 900 mm and head 2100 mm" in text(hut, "W1")
    assert "half of it on each side" in text(hut, "valley_gap_mm")
    assert "cut as PU1.01.1" in text(hut, "PU1.01")


def test_a_nought_and_capitals_do_not_matter(hut: Takeoff) -> None:
    assert explain(hut, "p1.1") == explain(hut, "P1.01")


def test_a_mark_that_is_none(hut: Takeoff) -> None:
    assert explain(hut, "P9.99") == ()
    assert "P1.09" in near_names(hut, "P1.0")
    assert near_names(hut, "???") == ()


def test_a_stopped_takeoff_can_still_be_asked(hut: Takeoff) -> None:
    job = JOB.replace("pitch_deg: 25", "pitch_deg: 3")
    stopped = run(parse_job(job))
    assert stopped.order is None
    assert "falls south" in text(stopped, "P1")
    assert explain(stopped, "L1") == ()


def test_a_number_alone_is_the_line_of_the_order_sheet(hut: Takeoff) -> None:
    assert explain(hut, "3") == explain(hut, "L3") == explain(hut, "line 3") == explain(hut, "Order line 3") != ()
    assert explain(hut, "999") == ()


def test_a_kind_before_a_number_or_mark(hut: Takeoff) -> None:
    assert explain(hut, "plane 1") == explain(hut, "plane P1") == explain(hut, "P1") != ()
    assert explain(hut, "sheet P1.1") == explain(hut, "P1.01") != ()
    assert explain(hut, "downpipe 1") == explain(hut, "DP1") != ()
    # edge 2 of the job is the gable: two verges rise from it
    gable = [edge for roof in hut.roofs for edge in roof.own_edges if 2 in edge.outline_edges]
    assert len(gable) == 2
    assert explain(hut, "edge 2") == tuple(one for edge in gable for one in explain(hut, edge.id))
    assert explain(hut, "edge 9") == explain(hut, "sheet 9") == explain(hut, "colour 1") == ()


def test_names_of_the_same_kind_come_first(hut: Takeoff) -> None:
    assert near_names(hut, "P99") == ("P1 to P3",)
    assert all(name.startswith("P") for name in near_names(hut, "P1.99"))
    assert near_names(hut, "tank")[0].startswith("catchment")
