"""Tapes, staples and nails of walls, corner back-flashings: counted by hand on one wall of 6 m, cladding 2400 high."""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.item_book import item_book
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.order.whole_packs import in_whole_packs
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations
from takeoff.write.words.item_names import item_name

SETTINGS = default_rules()
CATALOGUE = load_catalogue()
WINDOW = {"wall": 1, "name": "W1", "from_left_mm": 2010, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200}


def clad(**more: Any) -> CladdingMeasured:
    corners = {"left": more.pop("left", "none"), "right": more.pop("right", "none")}
    wall = {"name": "wall", "width_mm": 6000, "height_mm": 2350, **corners}
    job = WallsJob.model_validate({"elevations": [wall], "ground_mm": -450, **more})
    return measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE)


def figure(measured: CladdingMeasured, item: str) -> float:
    return next(quantity.figure for quantity in measured.needs[0].quantities if quantity.item == item)


def test_tape_runs_along_the_sill_up_the_jambs_and_over_the_head_corners() -> None:
    # 1200 + 2 x 200 up the jambs + 2 x 200 at the head = 2.0 m; a slot 100 high takes 2 x 100 up the jambs: 1.8 m
    assert figure(clad(openings=[WINDOW]), "flashing tape for sills and jambs") == pytest.approx(2.0)
    assert figure(clad(openings=[{**WINDOW, "height_mm": 100}]), "flashing tape for sills and jambs") == pytest.approx(
        1.8
    )
    assert "flashing tape for sills and jambs" not in {q.item for q in clad().needs[0].quantities}


def test_wrap_is_taped_along_its_laps_and_stapled_on_the_studs() -> None:
    # one strip of 2740 over 2400: no level lap, an upright lap 2.4 m high
    assert figure(clad(), "wall wrap tape") == pytest.approx(2.4)
    # strips of 1370 lapped 150: feet at 0 and 1220; a level lap of 6.0, uprights of 1.37 and 2.4 - 1.22
    assert figure(clad(wrap="wall_wrap_1370"), "wall wrap tape") == pytest.approx(6.0 + 1.37 + 1.18)
    # 6.0 x 2.4 m over 600 x 300: 80 staples and 5 % spare
    assert figure(clad(), "wall wrap staple") == 84


def test_battens_and_the_closer_are_nailed_at_their_spacing() -> None:
    # 11 battens of 2400: 8 bays of 300, 9 nails each; one of 6000 along the top: 21; 120 and 5 % spare
    assert figure(clad(), "batten nail 50 x 2.8") == 126
    # 6000 / 300 + 1 = 21, and 5 % spare: 22.05
    assert figure(clad(), "base closer nail 30 x 2.5") == 23


def test_a_boxed_corner_has_a_back_flashing_and_a_mitred_one_has_not() -> None:
    runs = [run for run in clad(left="external").needs[0].demands if run.item == "corner_back_flashing"]
    assert [run.length_mm for run in runs] == [2400]
    upright = clad(left="external", zones=[{"direction": "vertical", "board": {"width_mm": 150, "cover_mm": 135}}])
    assert "corner_back_flashing" not in {run.item for run in upright.needs[0].demands}


def test_small_items_come_in_packs() -> None:
    measured = clad(openings=[WINDOW])
    items = item_book(measured.needs, (), load_catalogue(), SETTINGS)
    packs = {q.item: in_whole_packs(q, items[q.item], SETTINGS).figure for q in measured.needs[0].quantities}
    for name, pack in (
        ("wall wrap staple", "box of 5000"),
        ("flashing tape for sills and jambs", "roll of 25 m"),
        ("batten nail 50 x 2.8", "box of 500"),
    ):
        assert (packs[name], item_name(items[name])) == (1, f"{name}, {pack}")


def test_what_is_not_counted_is_said() -> None:
    texts = [
        finding.text for finding in clad().findings if finding.code in ("cladding-not-counted", "cladding-no-spare")
    ]
    assert len(texts) == 2
    assert "facings and jamb liners" in texts[0]
    assert "no allowance for faulty, split or damaged boards" in texts[1]
