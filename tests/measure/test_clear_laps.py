"""A clear sheet that ends at the row where sheets are end-lapped is lapped there as clear sheets are, not as metal is.

By hand, the loft house: 35 degrees, the sheets of its north plane end-lapped 150 (NZ code of practice 7.4), clear
sheets lap 250 (11.6A). Where either of the two sheets is clear the lower one is 100 longer, its head 100 further up.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.order import Takeoff
from takeoff.model.sheets import SheetPiece
from takeoff.read.job.job_file import parse_job

STRIP = {"edge": 3, "from_left_mm": 7500, "strips": 1}


def loft(*lights: dict[str, Any], longest_mm: int = 5000) -> Takeoff:
    told = json.loads(pipeline.run_file(Path("geometry_samples/loft_house")).job.model_dump_json(exclude_unset=True))
    told["roofs"][0]["rooflight_sheets"] = [{**STRIP, **light} for light in lights]
    told["site"]["longest_piece_mm"] = longest_mm
    return pipeline.run(parse_job(json.dumps(told)))


def strip_of(takeoff: Takeoff, strip: int) -> list[SheetPiece]:
    (sheets,) = (sheets for sheets in takeoff.roofing.sheets if sheets.plane == "P2")
    return sorted((piece for piece in sheets.pieces if piece.strip == strip), key=lambda piece: piece.foot_v_mm)


def clear_strip(takeoff: Takeoff) -> int:
    (sheets,) = (sheets for sheets in takeoff.roofing.sheets if sheets.plane == "P2")
    return next(piece.strip for piece in sheets.pieces if piece.clear)


def test_a_clear_sheet_up_to_the_lap_is_lapped_250_by_the_metal_above() -> None:
    takeoff = loft({"up_mm": 600})
    strip = clear_strip(takeoff)
    metal, clear, above = strip_of(takeoff, strip)
    plain = strip_of(loft(), strip)
    assert (metal.clear, clear.clear, above.clear) == (False, True, False)
    assert [piece.lap_mm for piece in (metal, clear, above)] == [250.0, 250.0, 0.0]
    assert plain[0].lap_mm == 150.0
    assert above.reach_mm == pytest.approx(plain[1].reach_mm)
    # foot to the head of the clear sheet is what the lower tier was, and 100 more
    head = clear.foot_v_mm + clear.reach_mm
    assert head == pytest.approx(plain[0].foot_v_mm + plain[0].reach_mm + 100.0)
    assert head - above.foot_v_mm == pytest.approx(250.0)


def test_metal_under_a_clear_upper_tier_reaches_as_far() -> None:
    plain_takeoff = loft()
    strip = clear_strip(loft({}))
    low, high = strip_of(plain_takeoff, strip)
    takeoff = loft({"up_mm": high.foot_v_mm + 200.0})
    below, clear = strip_of(takeoff, strip)
    assert (below.clear, clear.clear) == (False, True)
    assert below.lap_mm == 250.0
    assert below.reach_mm == pytest.approx(low.reach_mm + 100.0)


def test_a_whole_clear_strip_laps_itself_as_far() -> None:
    takeoff = loft({})
    low, high = strip_of(takeoff, clear_strip(takeoff))
    assert (low.clear, high.clear) == (True, True)
    assert low.lap_mm == 250.0
    assert low.foot_v_mm + low.reach_mm - high.foot_v_mm == pytest.approx(250.0)


def test_metal_beside_keeps_its_lap() -> None:
    takeoff = loft({"up_mm": 600})
    strip = clear_strip(takeoff)
    (sheets,) = (sheets for sheets in takeoff.roofing.sheets if sheets.plane == "P2")
    assert {p.lap_mm for p in sheets.pieces if p.strip != strip} == {150.0, 0.0}


def test_a_sheet_that_would_be_too_long_for_the_site_is_refused() -> None:
    """The lower tier of 5000 at most is some 3600: with 3650 as the longest a lap of 250 is too much."""
    low, _ = strip_of(loft(), 3)
    with pytest.raises(JobError, match="longer than the"):
        loft({}, longest_mm=int(low.order_mm) + 60)
