"""Left and right barges are one section turned end for end, face up (common practice, no source): one stock."""

from __future__ import annotations

import json
from dataclasses import replace
from math import cos, radians

import pytest

from takeoff import pipeline
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.model.items import MarkKind
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.order import Takeoff
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.order.cut_stock.runs import cut_all
from takeoff.read.job.job_file import parse_job
from takeoff.write.words.item_names import item_name
from takeoff.write.workbook.workbook_flashings import section_words


def house(rafter_mm: float) -> Takeoff:
    """A gable at either end, 25 degrees, rafters of that length at the barge."""
    wide = 2.0 * rafter_mm * cos(radians(25.0))
    roof = {
        "name": "house",
        "outline": [[0, 0], [11000, 0], [11000, wide], [0, wide]],
        "fascia_height_mm": 2400,
        "pitch_deg": 25,
        "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
    }
    return pipeline.run(parse_job(json.dumps({"job": "gables", "rainwater": {"ground_mm": -300}, "roofs": [roof]})))


def barges(takeoff: Takeoff) -> list[tuple[float, float]]:
    assert takeoff.order is not None
    return [(line.count, line.each_mm) for line in takeoff.order.lines if line.of.product == "barge"]


def test_five_lengths_where_hands_apart_need_six() -> None:
    """The house of two gables. By hand: a run is 6400 + 50 + 75 = 6525 mm in two pieces that lap by 150: 6675 mm of
    pieces. Two of one hand are 13350 mm, three lengths of 6 m; apart both hands take 2 x 3 = 6. Together four are
    26700 mm: 5 lengths of 6 m are 30000."""
    takeoff = house(6400.0)
    runs = [run for run in takeoff.roofing.flashings if run.flashing == "barge"]
    assert sorted(run.hand for run in runs) == ["left", "left", "right", "right"]
    assert [round(run.net_mm + run.dress_a_mm + run.dress_b_mm) for run in runs] == [6525] * 4
    assert barges(takeoff) == [(5.0, 6000.0)]


def test_the_hand_stays_on_the_site_paper() -> None:
    """The order names no hand, each run does, and the folder is told that one section serves both."""
    takeoff = house(3000.0)
    assert takeoff.order is not None
    (line,) = (line for line in takeoff.order.lines if line.of.product == "barge")
    assert "left" not in item_name(line.of)
    assert "right" not in item_name(line.of)
    runs = [run for run in takeoff.roofing.flashings if run.flashing == "barge"]
    assert {run.hand for run in runs} == {"left", "right"}
    assert runs[0].section is not None
    assert "turned end for end, same face up" in section_words(runs[0].section)


def test_a_section_that_must_not_be_turned_says_why_and_keeps_its_hands(
    gable_roof: object, settings: Settings, catalogue: Catalogue
) -> None:
    """A coating whose face or grain may lie one way only: two items, three lengths each where five would do."""
    why = "the sheen runs one way"
    barge = replace(catalogue.flashings["barge"], handed=why)
    handed = replace(catalogue, flashings={**catalogue.flashings, "barge": barge})
    roof = gable_roof() if callable(gable_roof) else None
    assert roof is not None
    runs, need = measure_flashings(roof, RoofJob(), Site(), settings, handed)
    own = [run for run in runs if run.flashing == "barge"]
    assert len({run.item for run in own}) == 2
    assert {mark.value for made in need.items for mark in made.marks if mark.kind is MarkKind.HAND} == {"left", "right"}
    assert own[0].section is not None
    assert why in section_words(own[0].section)
    assert all(plan.findings == () for plan in cut_all(need.demands, need.stock))


def test_side_aprons_are_one_section_too() -> None:
    """A lean-to between two walls: by hand two runs of 2.5 / cos 10 + 75 + 150 = 2764 mm out of one length of 6 m."""
    roof = {
        "name": "bay",
        "outline": [[0, 0], [6000, 0], [6000, 2500], [0, 2500]],
        "fascia_height_mm": 2400,
        "pitch_deg": 10,
        "edges": {2: {"kind": "wall"}, 3: {"kind": "wall"}, 4: {"kind": "wall"}},
    }
    takeoff = pipeline.run(parse_job(json.dumps({"job": "bay", "rainwater": {"ground_mm": -300}, "roofs": [roof]})))
    runs = [run for run in takeoff.roofing.flashings if run.flashing == "apron_side"]
    assert sorted(run.hand for run in runs) == ["left", "right"]
    assert [run.net_mm + run.dress_a_mm + run.dress_b_mm for run in runs] == pytest.approx([2763.57] * 2, abs=0.1)
    assert takeoff.order is not None
    assert [(x.count, x.each_mm) for x in takeoff.order.lines if x.of.product == "apron_side"] == [(1.0, 6000.0)]
