"""Sheets that lie on the site are cut first where that buys less; lists, totals and masses agree: worked by hand."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.bought_lengths import bought_lengths
from takeoff.model.order import Order, Takeoff
from takeoff.read.job.job_file import parse_job
from takeoff.read.results.result_file import snapshot_of
from takeoff.write.data.result_json import result_data
from takeoff.write.workbook.workbook import workbook_bytes

SHEET = "sheet corrugated"


def job_of(sample: str, **more: Any) -> Takeoff:
    told = pipeline.run_file(Path("geometry_samples") / sample).job.model_dump_json(exclude_unset=True)
    return pipeline.run(parse_job(json.dumps({**json.loads(told), **more})))


def order_of(takeoff: Takeoff) -> Order:
    assert takeoff.order is not None
    return takeoff.order


def metres(order: Order) -> float:
    return sum(line.total for line in order.lines if line.item == SHEET)


def lying(length_mm: int, count: int = 1, mark: str = "") -> dict[str, Any]:
    return {"item": SHEET, "length_mm": length_mm, "count": count, "mark": mark}


def test_sheets_on_the_site_are_not_ordered() -> None:
    """The single pitch takes 12 sheets of 5100. Three of 5100 on the site and one of 5000, too short: nine are ordered,
    45.9 m, and weigh 9/12 of 189.3 kg. The short one is left after the job."""
    order = order_of(job_of("single_pitch", on_hand=[lying(5100, 3, "rack"), lying(5000)]))
    assert metres(order) == pytest.approx(45.9)
    assert order.sheets_bought_m == pytest.approx(45.9)
    assert order.sheets_site_m == pytest.approx(15.3)
    assert order.sheets_kg == pytest.approx(189.3 * 9 / 12, abs=0.1)
    (delivery,) = (one for one in order.deliveries if one.name == "roof sheets")
    # nine sheets and the spare one of 15.8 kg
    assert delivery.kg == pytest.approx(189.3 * 9 / 12 + 15.8, abs=0.11)
    assert sum(pack.kg for pack in order.packs) == pytest.approx(delivery.kg, abs=0.05)
    assert sum(len(pack.sheets) for pack in order.packs) == 10
    assert [(over.length_mm, over.count, over.from_site) for over in order.left_over if over.item == SHEET] == [
        (5000, 1, True)
    ]


def test_a_longer_sheet_is_cut_down_and_its_rest_is_listed() -> None:
    """Out of 12 m come two of 5100; 1800 is left, over the useful 900. Out of 5900 comes one; 800 is no use."""
    order = order_of(job_of("single_pitch", on_hand=[lying(12_000, 1, "yard"), lying(5900, 1, "shed")]))
    cut = [(blank.site_mm, blank.length_mm, len(blank.pieces), blank.mark) for blank in order.site_blanks]
    assert sorted(cut) == [(5900, 5100, 1, "shed"), (12_000, 10_200, 2, "yard")]
    assert metres(order) == pytest.approx(9 * 5.1)
    assert [(over.length_mm, over.mark) for over in order.left_over if over.item == SHEET] == [(1800, "yard")]


def test_the_shortest_that_serves_is_cut_and_the_long_one_kept() -> None:
    """Any of the two saves one sheet of 5100; twelve are wanted and eleven lie there at their length."""
    order = order_of(job_of("single_pitch", on_hand=[lying(5100, 11), lying(9000), lying(5200)]))
    assert metres(order) == 0.0
    assert sorted({blank.site_mm for blank in order.site_blanks}) == [5100, 5200]
    assert [over.length_mm for over in order.left_over if over.item == SHEET] == [9000]


def test_offcuts_are_what_is_bought_and_cut_from_the_site_less_the_net() -> None:
    """Bought and cut from site cover together what was bought before: the offcuts are the same."""
    plain, with_hand = job_of("single_pitch"), job_of("single_pitch", on_hand=[lying(5100, 3)])
    before, after = order_of(plain), order_of(with_hand)
    assert after.sheets_bought_m2 + after.sheets_site_m2 == pytest.approx(before.sheets_bought_m2, abs=0.011)
    assert after.sheets_offcuts_m2 == pytest.approx(before.sheets_offcuts_m2, abs=0.011)


def test_a_short_piece_leaves_the_length_it_was_cut_from() -> None:
    """The hip roof buys 1840 for P2.10 (1270 of it) and P2.11, which the mill would not run alone: 570 mm on the site is
    enough for P2.11, and its partner is bought 570 shorter."""
    plain = order_of(job_of("hip_12x8"))
    (host, guest) = next(blank for blank in plain.blanks if len(blank.pieces) > 1).pieces
    pieces = {p.mark: p for s in job_of("hip_12x8").roofing.sheets for p in s.pieces}
    short = round(pieces[guest.mark].order_mm)
    order = order_of(job_of("hip_12x8", on_hand=[lying(short)]))
    assert metres(order) == pytest.approx(metres(plain) - short / 1000.0)
    (blank,) = order.site_blanks
    assert [part.mark for part in blank.pieces] in ([guest.mark], ["P4.11"], ["P2.11"])
    assert all(part.mark != blank.pieces[0].mark for own in order.blanks for part in own.pieces)
    assert host.start_mm == 0.0


@pytest.mark.parametrize("pairs", [False, True])
def test_every_sheet_stands_in_one_length_and_pairs_never_buy_more(pairs: bool) -> None:
    settings = {"buy_raked_pairs": pairs}
    hand = [lying(4500, 3), lying(2700, 2), lying(8200)]
    without, order = (order_of(job_of("hip_12x8", settings=settings, on_hand=h)) for h in ([], hand))
    marks = sorted(part.mark for blank in (*order.blanks, *order.site_blanks) for part in blank.pieces)
    assert marks == sorted(part.mark for blank in without.blanks for part in blank.pieces)
    assert order.sheets_bought_m < without.sheets_bought_m
    assert all(blank.length_mm <= blank.site_mm for blank in order.site_blanks)
    (plan,) = order.pairs
    bought = plan.paired_mm if pairs else plan.plain_mm
    assert bought == pytest.approx(order.sheets_bought_m * 1000.0)
    assert plan.paired_mm <= plan.plain_mm


def test_each_list_says_from_site() -> None:
    takeoff = job_of("single_pitch", on_hand=[lying(5100, 2, "rack"), lying(8000)])
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(takeoff)))
    said = {
        name: " | ".join(str(cell.value) for row in book[name] for cell in row if cell.value is not None)
        for name in ("Cutting list", "Mill order", "Left over", "Pack list", "Order")
    }
    assert said["Cutting list"].count("from site rack") == 2
    assert "From site, not ordered" in said["Mill order"]
    assert "from site rack" in said["Left over"]
    assert "from sheets on the site" in said["Pack list"]
    assert "cut from sheets on the site" in said["Order"]
    bought = bought_lengths(takeoff.order)
    site = [mark for mark, own in bought.items() if own.from_site]
    assert len(site) == 3
    assert {bought[mark].length_mm for mark in site} == {None}
    seen = snapshot_of(result_data(takeoff), "result")
    assert sum(sheet.cut_from.startswith("site") for plane in seen.planes for sheet in plane.sheets) == 3


def test_clear_and_other_colours_are_told_apart() -> None:
    """Sheets serve only the item they are: clear ones under two clear sheets of 2050, none of the metal."""
    order = order_of(
        job_of("cottage_with_flue", on_hand=[{"item": "sheet corrugated_clear 2", "length_mm": 4200, "count": 1}])
    )
    assert sum(line.count for line in order.lines if line.item == "sheet corrugated_clear 2") == 0
    assert sum(line.count for line in order.lines if line.item == "sheet corrugated 1") == 26


def test_a_sheet_of_another_sort_is_refused_with_what_there_is() -> None:
    with pytest.raises(JobError, match=r"on_hand\[1\].item: nothing in this order is cut from .*sheet corrugated"):
        job_of("single_pitch", on_hand=[{"item": "sheet tray", "length_mm": 5000}])
