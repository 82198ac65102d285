"""Raked pairs in the workbook: both lists side by side, and how two sheets lie in one length."""

from __future__ import annotations

import io
from dataclasses import replace

from python_calamine import CalamineWorkbook

from takeoff.model.order import Takeoff
from takeoff.model.sheets import BlankPart, PairPlan, RakedPair, SheetBlank
from takeoff.write.words.bought import pair_words
from takeoff.write.workbook.workbook import workbook_bytes

BLANK = SheetBlank("S99", "corrugated", 4420.0, (BlankPart("P1.02", 0.0, False), BlankPart("P1.03", 1830.0, True)))
PLAN = PairPlan(
    "corrugated", (BLANK,), (RakedPair("P1.02", "P1.03", True, 4420.0, 840.0),), 379148.0, 378308.0, "", 289.06,
    288.42, 258.39, 101, 100, True,
)  # fmt: skip


def paired(sample: Takeoff) -> Takeoff:
    assert sample.order is not None
    blanks = [blank for blank in sample.order.blanks if blank.pieces[0].mark not in ("P1.02", "P1.03")]
    return replace(sample, order=replace(sample.order, blanks=(*blanks, BLANK), pairs=(PLAN,)))


def printed(takeoff: Takeoff, title: str) -> list[list[object]]:
    book = CalamineWorkbook.from_filelike(io.BytesIO(workbook_bytes(takeoff)))
    return book.get_sheet_by_name(title).to_python(skip_empty_area=False)


def test_plain_and_paired_stand_side_by_side(sample: Takeoff) -> None:
    rows = {str(row[0]): row for row in printed(paired(sample), "Mill order")}
    assert rows["lengths"][2:5] == [101.0, 100.0, 1.0]
    assert rows["bought m"][2:5] == [379.148, 378.308, 0.84]
    assert rows["bought m2, as it covers"][2:5] == [289.06, 288.42, 0.64]
    # offcuts 289.06 - 258.39 = 30.67: of 289.06 bought 10.6 %, of 258.39 net 11.9 %; with pairs 30.03
    every = [row for row in printed(paired(sample), "Mill order") if str(row[0]).startswith("offcuts, %")]
    assert [row[2:4] for row in every[-2:]] == [[10.6, 10.4], [11.9, 11.6]]
    assert "corrugated: plain list and raked pairs, bought with pairs" in rows


def test_the_cutting_list_says_how_two_lie_in_one_length(sample: Takeoff) -> None:
    rows = printed(paired(sample), "Cutting list")
    words = "4420 mm: P1.02 as it lies from 0 mm; P1.03 turned end for end, face up, from 1830 mm"
    assert pair_words(BLANK) == words
    assert [row[0] for row in rows].count(words) == 1
    second = next(row for row in rows if row[0] == "P1.03")
    assert (second[2], second[11]) == ("", "P1.02, turned")


def test_nothing_is_said_where_no_pair_is_bought(sample: Takeoff) -> None:
    assert sample.order is not None
    plain = replace(sample, order=replace(sample.order, pairs=(replace(PLAN, bought=False),)))
    rows = printed(plain, "Cutting list")
    assert not [row for row in rows if "TWO OUT OF ONE LENGTH" in str(row[0])]
