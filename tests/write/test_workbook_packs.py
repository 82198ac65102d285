"""The pack list as a person reads it: top of the pack first, where it goes, what state the order is in."""

from __future__ import annotations

import io
from dataclasses import replace

from python_calamine import CalamineWorkbook

from takeoff.model.order import HOLD, Hold, Pack, PackedSheet, Takeoff
from takeoff.write.workbook.workbook import workbook_bytes

SHEETS = (PackedSheet("P1.01", 990.0, 3.1, ("P1.02",)), PackedSheet("P1.03", 2670.0, 8.3))


def packed(sample: Takeoff, limit_kg: float = 1000.0) -> Takeoff:
    assert sample.order is not None
    pack = Pack(
        "K1", "P1", 1, 2, "corrugated", sample.order.lines[3].of, SHEETS, 11.4, limit_kg, 2670.0, "eave 1", (1,), 180.0
    )
    return replace(sample, order=replace(sample.order, packs=(pack,)))


def printed(takeoff: Takeoff) -> list[list[object]]:
    book = CalamineWorkbook.from_filelike(io.BytesIO(workbook_bytes(takeoff)))
    return book.get_sheet_by_name("Pack list").to_python(skip_empty_area=False)


def test_every_sheet_from_the_top_down_with_what_is_cut_from_it(sample: Takeoff) -> None:
    rows = printed(packed(sample))
    assert [row[:6] for row in rows if row[0] in ("1", "2")] == [
        ["1", "P1.01", 990.0, 3.1, "P1.02", 1.0],
        ["2", "P1.03", 2670.0, 8.3, "", 1.0],
    ]
    assert next(row for row in rows if row[0] == "total")[2:6] == [2670.0, 11.4, "", 2.0]


def test_it_says_where_the_pack_is_craned_to_and_that_it_is_on_hold(sample: Takeoff) -> None:
    words = [str(row[0]) for row in printed(packed(sample))]
    assert "PACK K1: plane P1, pack 1 of 2. Crane to: south side, side 1 (ringed on the roof plan), eave 1" in words
    assert HOLD in words
    released = packed(sample)
    assert released.order is not None
    released = replace(released, order=replace(released.order, state=Hold.RELEASED))
    assert HOLD not in [str(row[0]) for row in printed(released)]


def test_a_pack_over_the_limit_says_so(sample: Takeoff) -> None:
    assert "OVER the lifting limit" in [row[4] for row in printed(packed(sample, 11.0))]
    assert "OVER the lifting limit" not in [row[4] for row in printed(packed(sample, 11.4))]
