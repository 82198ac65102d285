"""Sheets in the order they are laid: none goes under one that lies already. Common practice, no source.

Which of two sheets lies over the other: in one strip the upper part over the lower; of two strips side by side the one
further from the start, where they lie beside each other over more than the corner of an end lap.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from hypothesis import given, reject
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from shapely import Polygon

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.order import Takeoff
from takeoff.model.sheets import SheetPiece
from takeoff.read.job.job_file import parse_job

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
# 10 m of eave, rafters 7 m in plan at 15 degrees: 7247 + 50 - 25 on the rake, in one length 7272
GABLE = """\
job: Long shed
site: {{wind_zone: high, longest_piece_mm: {longest}}}
roofs:
  - name: shed
    outline: [[0, 0], [10000, 0], [10000, 14000], [0, 14000]]
    pitch_deg: 15
    fascia_height_mm: 2450
    edges: {{2: {{kind: gable}}, 4: {{kind: gable}}}}
    covering: {{lay_from: {lee}}}
{more}
"""
CLEAR = "    rooflight_sheets: [{{edge: 1, from_left_mm: {at}, up_mm: 1500, length_mm: 1800}}]"


def shed(longest: int = 5000, lee: str = "east", at: int | None = None) -> Takeoff:
    more = "" if at is None else CLEAR.format(at=at)
    return pipeline.run(parse_job(GABLE.format(longest=longest, lee=lee, more=more)))


def lap(pieces: tuple[SheetPiece, ...]) -> float:
    return max((piece.lap_mm for piece in pieces), default=0.0)


def over(a: SheetPiece, b: SheetPiece, lap_mm: float) -> bool:
    """Whether b lies over a."""
    if a.plane != b.plane or abs(a.strip - b.strip) > 1:
        return False
    both = Polygon(a.outline_uv).intersection(Polygon(b.outline_uv))
    if both.area < 1.0:
        return False
    if a.strip == b.strip:
        return b.foot_v_mm > a.foot_v_mm + 1.0
    corner = both.bounds[3] - both.bounds[1] <= lap_mm + 1.0
    return b.strip > a.strip and not corner


def goes_under(takeoff: Takeoff) -> list[tuple[str, str]]:
    found = []
    for sheets in takeoff.roofing.sheets:
        for first, second in itertools.combinations(sheets.pieces, 2):
            if over(second, first, lap(sheets.pieces)):
                found.append((first.mark, second.mark))
    return found


def test_strips_that_are_lapped_in_line_go_tier_by_tier() -> None:
    """10 m are ceil((10000 - 83) / 762) = 14 strips, each in two."""
    marks = [piece.mark for piece in shed().roofing.sheets[0].pieces]
    assert marks == [f"P1.{n:02d}{tier}" for tier in "ab" for n in range(1, 15)]


def test_a_full_height_sheet_follows_the_upper_tier_of_those_before_it() -> None:
    """The homestead's wing and hips with sheets up to 4 m: raked sheets near a hip come in one length."""
    text = (SAMPLES / "hip_12x8" / "job.yaml").read_text(encoding="utf-8").replace("12000}", "3000}")
    takeoff = pipeline.run(parse_job(text))
    for sheets in takeoff.roofing.sheets:
        marks = [piece.mark for piece in sheets.pieces]
        whole = [piece for piece in sheets.pieces if piece.part == 0 and piece.lap_mm == 0.0]
        lapped = [piece for piece in sheets.pieces if piece.lap_mm > 0.0 or piece.part > 0]
        assert whole
        assert lapped
        for one in whole:
            before = [other for other in lapped if other.strip < one.strip]
            assert all(marks.index(other.mark) < marks.index(one.mark) for other in before)
    assert goes_under(takeoff) == []


def test_a_clear_sheet_is_laid_and_packed_in_its_strips_turn() -> None:
    """Laid from the east, strip 5 runs from 10000 - 4 x 762 = 6952 down to 6190: 6500 along the eave lies in it."""
    takeoff = shed(longest=8000, at=6500)
    marks = [piece.mark for piece in takeoff.roofing.sheets[0].pieces]
    assert marks == [
        *(f"P1.{n:02d}" for n in range(1, 5)),
        "P1.05a",
        "P1.05b",
        "P1.05c",
        *(f"P1.{n:02d}" for n in range(6, 15)),
    ]
    assert takeoff.order is not None
    packed = [sheet for pack in takeoff.order.packs for sheet in pack.sheets if sheet.mark.startswith("P1.")]
    assert [sheet.mark for sheet in packed] == marks
    assert [sheet.mark for sheet in packed if sheet.clear] == ["P1.05b"]


def test_a_clear_sheet_in_lapped_strips_parts_the_tiers() -> None:
    marks = [piece.mark for piece in shed(at=6500).roofing.sheets[0].pieces]
    four, nine = range(1, 5), range(6, 15)
    fifth = [mark for mark in marks if mark.startswith("P1.05")]
    first, last = ([f"P1.{n:02d}{tier}" for tier in "ab" for n in strips] for strips in (four, nine))
    assert marks == [*first, *fifth, *last]
    assert fifth == sorted(fifth)


@hypothesis_settings(derandomize=True, max_examples=12, deadline=None)
@given(
    longest=st.integers(2500, 8000),
    lee=st.sampled_from(["east", "west", "south"]),
    at=st.one_of(st.none(), st.integers(900, 9100)),
)
def test_no_sheet_goes_under_one_that_lies_already(longest: int, lee: str, at: int | None) -> None:
    try:
        takeoff = shed(longest, lee, at)
    except JobError:
        reject()  # a clear sheet does not fit there
    assert goes_under(takeoff) == []


@pytest.mark.parametrize("sample", ["dormer", "cottage_with_flue", "l_house"])
def test_nor_in_a_sample(sample: str) -> None:
    assert goes_under(pipeline.run_file(SAMPLES / sample / "job.yaml")) == []


def test_the_packs_weigh_what_the_order_does() -> None:
    """Each sheet bears its share of its order line to 0.1 kg."""
    order = shed(longest=8000, at=6500).order
    assert order is not None
    lines = [line for line in order.lines if line.delivery == "roof sheets" and line.each_mm > 0.0]
    packed = sum(round(10 * pack.kg) for pack in order.packs)
    assert packed == sum(round(10 * line.kg) for line in lines if "sheet" in line.of.kind)
    assert packed == round(10 * (order.sheets_kg + order.spares_kg))
