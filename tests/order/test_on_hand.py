"""Lengths that lie on the site are cut first where that buys less, and what is left after the job is listed: by hand."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.order import Takeoff
from takeoff.model.runs import LeftOver, OnHand, RunDemand, StockChoice
from takeoff.order.cut_stock.runs import cut_runs
from takeoff.order.cut_stock.site_lengths import left_over
from takeoff.read.job.job_file import parse_job
from takeoff.write.data.result_json import result_data
from takeoff.write.workbook.workbook import workbook_bytes

PURLIN = "purlin_70x45"


def runs(*lengths: float) -> list[RunDemand]:
    return [RunDemand(f"R{n}", "p", mm) for n, mm in enumerate(lengths, start=1)]


def stock(*on_hand: OnHand, kerf: float = 4.0) -> StockChoice:
    return StockChoice("p", (4800, 6000), kerf_mm=kerf, on_hand=on_hand)


def test_a_length_on_the_site_saves_one_that_is_bought() -> None:
    """Two runs of 4.0 m are two lengths of 4.8; with 4.2 m on the site one is enough."""
    plan = cut_runs(runs(4000.0, 4000.0), stock(OnHand(4200, 1, "back shed")))
    assert [bar.stock_mm for bar in plan.bars] == [4800]
    assert [(bar.stock_mm, bar.mark, [p.length_mm for p in bar.pieces]) for bar in plan.site_bars] == [
        (4200, "back shed", [4000])
    ]
    assert plan.bought_mm == 4800
    assert plan.placed_mm == 8000.0
    assert plan.waste_mm == 4800 + 4000 - 8000


def test_a_length_that_saves_nothing_stays_where_it_lies() -> None:
    """4.0 and 1.5 m come out of one length of 6 m; 1.6 m on the site would only make that 4.8: it does, so it is used.
    4.0 and 0.7 come out of 4.8 either way: 0.8 m stays."""
    used = cut_runs(runs(4000.0, 1500.0), stock(OnHand(1600, 1)))
    assert [bar.stock_mm for bar in used.bars] == [4800]
    kept = cut_runs(runs(4000.0, 700.0), stock(OnHand(800, 1)))
    assert kept.site_bars == ()
    assert [bar.stock_mm for bar in kept.bars] == [4800]


def test_only_as_many_as_there_are_and_only_as_long_as_they_are() -> None:
    """Three runs of 4.0 m, two lengths of 4.2 and ten of 3.9 on the site: two from there, one bought."""
    plan = cut_runs(runs(*[4000.0] * 3), stock(OnHand(4200, 2), OnHand(3900, 10)))
    assert [bar.stock_mm for bar in plan.site_bars] == [4200, 4200]
    assert [bar.stock_mm for bar in plan.bars] == [4800]


def test_saw_cuts_count() -> None:
    """2000 + 2000 with a cut of 4 mm between is 4004: out of 4000 on the site comes one of them."""
    assert [len(bar.pieces) for bar in cut_runs(runs(2000.0, 2000.0), stock(OnHand(4003, 1))).site_bars] == []
    assert [len(bar.pieces) for bar in cut_runs(runs(2000.0, 2000.0), stock(OnHand(4004, 1))).site_bars] == [2]


def test_everything_may_lie_there_already() -> None:
    plan = cut_runs(runs(2000.0), stock(OnHand(6000, 1)))
    assert plan.bars == ()
    assert (plan.bought_mm, plan.bound_mm, plan.waste_mm) == (0, 0, 0.0)


def test_what_is_left_is_listed_by_item() -> None:
    """4.8 less 3.0 and a cut of 4 leaves 1796; of 2.4 m on the site, two, one is whole and one leaves 2400 - 1400 - 4,
    996; 600 mm is under the useful 900."""
    choice = StockChoice("p", (4800,), kerf_mm=4.0, on_hand=(OnHand(2400, 2, "rack"),))
    plan = cut_runs(runs(3000.0, 2200.0, 2100.0), choice)
    assert plan.bought_mm == 4800
    found = left_over(plan.bars, plan.site_bars, choice, 900.0)
    assert found == (LeftOver("p", 1796, 1),)
    one = cut_runs(runs(3000.0), choice)
    assert left_over(one.bars, one.site_bars, choice, 900.0) == (
        LeftOver("p", 2400, 2, True, "rack"),
        LeftOver("p", 1796, 1),
    )


def house(*on_hand: dict[str, Any]) -> Takeoff:
    job = json.loads(pipeline.run_file(Path("geometry_samples/two_gables")).job.model_dump_json(exclude_unset=True))
    return pipeline.run(parse_job(json.dumps({**job, "on_hand": list(on_hand)})))


def bought(takeoff: Takeoff, item: str) -> float:
    assert takeoff.order is not None
    return sum(line.total for line in takeoff.order.lines if line.item == item)


def test_a_house_buys_less_by_what_lies_there() -> None:
    """The house of two gables buys 202.8 m of purlins, 20 lengths of 5.7 with a row's half of 5500 each: five of 5.6 m
    on the site save five of them, 28.5 m, and each leaves 96 mm, no use."""
    takeoff = house({"item": PURLIN, "length_mm": 5600, "count": 5, "mark": "lean-to rack"})
    assert bought(takeoff, PURLIN) == pytest.approx(202.8 - 28.5)
    assert takeoff.order is not None
    (plan,) = (plan for plan in takeoff.order.plans if plan.item == PURLIN)
    assert len(plan.site_bars) == 5
    assert not any(over.from_site for over in takeoff.order.left_over)


def test_the_lists_say_from_site() -> None:
    takeoff = house(
        {"item": PURLIN, "length_mm": 5600, "count": 1, "mark": "rack"},
        {"item": "barge_266_90", "length_mm": 3000, "count": 1},
    )
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(takeoff)))
    said = {name: [str(cell.value) for row in book[name] for cell in row] for name in ("Purlins", "Left over")}
    assert "from site rack" in said["Purlins"]
    assert "from site rack" in said["Left over"]
    assert "1" not in said["Left over"][:8]
    data = result_data(takeoff)["order"]
    assert {"item", "length_mm", "count", "from_site", "mark"} == set(data["left_over"][0])


def test_an_item_that_is_not_cut_from_lengths_is_refused_with_its_place() -> None:
    with pytest.raises(
        JobError, match=r"on_hand\[1\].item: nothing in this order is cut from lengths of 'purlin_70x46'"
    ):
        house({"item": "purlin_70x46", "length_mm": 3000})
