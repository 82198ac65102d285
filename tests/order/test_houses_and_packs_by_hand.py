"""Whole packs, orders for several houses, deliveries and what lies on the site: by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_orders import item, line, order

from takeoff.basics.errors import JobError
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.houses import Houses, TogetherSaves
from takeoff.model.items import Item, Pack
from takeoff.model.job.on_hand import OnHandJob
from takeoff.model.order import Delivery, OrderLine, PackedSheet
from takeoff.model.order import Pack as Bundle
from takeoff.model.runs import OnHand
from takeoff.order import all_houses
from takeoff.order.deliveries import delivery_totals
from takeoff.order.lengths_on_hand import on_hand_by_item
from takeoff.order.whole_packs import in_whole_packs, merged

BOX: Any = SimpleNamespace(term=lambda name: Term(name, 100.0, "each"))


def quantity(of: str, figure: float, unit: str = "each", *refs: str, rule: str = "counted") -> Quantity:
    return Quantity(of, of, figure, unit, refs, Working(rule, (Term(f"n{figure:g}", figure, "each"),)))


@pytest.mark.parametrize(
    ("figure", "boxes"), [(0.0, 0.0), (1.0, 1.0), (100.0, 1.0), (100.00000001, 1.0), (100.1, 2.0), (250.0, 3.0)]
)
def test_quantities_in_whole_packs(figure: float, boxes: float) -> None:
    of = item("screw", pack=Pack("box", "screw_box", 100.0))
    found = in_whole_packs(quantity("screw", figure), of, BOX)
    terms = (Term("measured", figure, "each"), Term("screw_box", 100.0, "each"), Term(f"n{figure:g}", figure, "each"))
    assert found == replace(
        quantity("screw", figure), figure=boxes, unit="box", working=Working("counted; in whole packs", terms)
    )
    as_it_is = quantity("screw", figure, "box")
    assert in_whole_packs(as_it_is, of, BOX) is as_it_is
    loose = quantity("screw", figure)
    for sold in (None, Pack("box", "screw_box", 0.0)):
        assert in_whole_packs(loose, item("screw", pack=sold), BOX) is loose


def test_boxes_are_shared() -> None:
    items = {"screw": item("screw", pack=Pack("box", "b", 100.0)), "pipe": item("pipe")}
    own = [quantity("screw", 40.0, "each", "P1", "P2"), quantity("pipe", 1.0), quantity("screw", 70.0, "each", "P2", "P3"),
           quantity("pipe", 2.0), quantity("screw", 1.0, "box")]  # fmt: skip
    both = replace(
        own[0],
        figure=110.0,
        refs=("P1", "P2", "P3"),
        working=Working("counted", (*own[0].working.terms, *own[2].working.terms)),
    )
    assert merged(own, items) == (both, own[1], own[3], own[4])


def measured(of: Item, count: float, value: float | str) -> OrderLine:
    return replace(line("L1", "x", count), of=of, working=Working("made up", (Term("measured", value, "each"),)))


def test_what_several_houses_share() -> None:
    """90 a house in boxes of 100: one each, four in all, where 360 would be four; of 60 three would do."""
    box = item("screw", pack=Pack("box", "b", 100.0))
    saved = {
        value: all_houses._together(measured(box, 1.0, value), 4) for value in (90.0, 75.0, 60.0, 25.0, 25.000000001)
    }
    packs = {value: found.packs if found else 0.0 for value, found in saved.items()}
    assert packs == {90.0: 0.0, 75.0: 1.0, 60.0: 1.0, 25.0: 3.0, 25.000000001: 3.0}
    assert saved[60.0] == TogetherSaves("L1", "screw", 1.0, "each")
    for of, value in ((item("screw"), 60.0), (item("screw", pack=Pack("box", "b", 0.0)), 60.0), (box, "60")):
        assert all_houses._together(measured(of, 1.0, value), 4) is None
    assert all_houses._together(line("L1", "x", 1.0), 4) is None
    assert all_houses._together(measured(box, 1.0, 100.0), 3) is None  # three full boxes: nothing to save


def test_places_of_a_line_for_all_houses() -> None:
    """Three of 0.1234567 are 0.3703701, to a millionth; of 1.00049 m 3.00147, to a mm; of 0.26 kg, shown as 0.3, 0.9."""
    one = replace(line("L1", "rail", 0.1234567, kg=0.26), total=1.00049)
    found = all_houses._times(one, 3)
    assert (found.count, found.total, found.kg) == (0.37037, 3.001, 0.9)
    found = all_houses._times(replace(one, count=0.1234562, total=1.00053), 3)
    assert (found.count, found.total) == (0.370369, 3.002)


def test_an_order_for_three_houses() -> None:
    plan: Any = SimpleNamespace(bought_mm=12000, placed_mm=9000.0, waste_mm=2500.5)
    bundle = Bundle(
        "K1",
        "P1",
        1,
        1,
        "wavy",
        None,
        (PackedSheet("P1.01", 5000.0, 20.0, ("P1.02",)),),
        20.0,
        500.0,
        5000.0,
        "E1",
        (1,),
        180.0,
    )
    rail = line("L1", "rail", 1.5, 6000.0, kg=12.34)
    one = replace(
        order(rail), plans=(plan, plan), packs=(bundle,), sheets_bought_m=10.001,
        sheets_bought_m2=7.01, sheets_net_m2=6.02, sheets_kg=40.1, spares_m=1.001, spares_kg=4.1, sheets_site_m=2.002, sheets_site_m2=1.01,
    )  # fmt: skip
    job: Any = SimpleNamespace(count=3, rates=None)
    found = all_houses.for_all_houses(one, job, None)
    working = Working("made up", (Term("houses", 3, "", SET_IN_JOB),))
    assert found.lines == (replace(rail, count=4.5, total=27.0, kg=36.9, working=working),)
    assert [pack.id for pack in found.packs] == ["H1-K1", "H2-K1", "H3-K1"]
    assert found.packs[2].sheets == (PackedSheet("H3-P1.01", 5000.0, 20.0, ("H3-P1.02",)),)
    houses = Houses(3, ("H1", "H2", "H3"), 24.0, 18.0, 5.001, ())
    assert found.houses == houses
    assert (found.sheets_bought_m, found.sheets_bought_m2, found.sheets_net_m2, found.sheets_kg) == (
        30.003,
        21.03,
        18.06,
        120.3,
    )
    assert (found.spares_m, found.spares_kg, found.sheets_site_m, found.sheets_site_m2) == (3.003, 12.3, 6.006, 3.03)
    assert found.deliveries == (Delivery("purlins", 1, 4.5, 6000.0, 36.9, 0, 0),)
    assert found.prices is None
    text = (
        "3 houses, H1 to H3: every line is for all of them. Lengths are cut house by house, since each is delivered and built "
        "by itself: waste 5.00 m a house (20.8 %), 15.00 m in all; cutting lists, drawings and trips are those of each."
    )
    assert found.findings == (Finding("several-houses", Severity.NOTE, text),)
    saves = replace(houses, together=(TogetherSaves("L1", "a", 2.0, "box"), TogetherSaves("L2", "b", 1.0, "roll")))
    assert all_houses._finding(saves).text == f"{text} Boxes and rolls shared by all houses would be 3 fewer."
    assert "(0.0 %)" in all_houses._finding(replace(houses, bought_m=0.0)).text
    assert all_houses.for_all_houses(one, SimpleNamespace(count=1, rates=None), None) is one  # type: ignore[arg-type]


def test_deliveries() -> None:
    """Masses as shown: 12.34 and 0.04 are 12.3 and 0; what has no length is no piece."""
    lines = (line("L1", "rail", 2.0, 6000.0, kg=12.34), line("L2", "rail", 3.0, 4000.0, kg=5.05), line("L3", "pin", 9.0, kg=0.04),
             line("L4", "work", 1.0, labour=True), line("L5", "sheet", 1.0, 1.0, delivery="roof sheets", kg=0.3))  # fmt: skip
    found = delivery_totals(lines, (None,) * 4)  # type: ignore[arg-type]
    assert found == (Delivery("purlins", 3, 5.0, 6000.0, 17.4, 1, 0), Delivery("roof sheets", 1, 1.0, 1.0, 0.3, 0, 4))


def test_what_lies_on_the_site_by_item() -> None:
    needs: Any = [SimpleNamespace(demands=[SimpleNamespace(item="rail"), SimpleNamespace(item="gutter")])]
    groups: Any = [SimpleNamespace(item=SimpleNamespace(id="sheet")), SimpleNamespace(item=None)]

    def given(of: str, length: int, count: int = 1, mark: str = "") -> OnHandJob:
        return OnHandJob(item=of, length_mm=length, count=count, mark=mark)

    found = on_hand_by_item([given("rail", 4800, 2, "a"), given("sheet", 3000), given("rail", 6000)], needs, groups)
    assert found == {"rail": (OnHand(4800, 2, "a"), OnHand(6000, 1, "")), "sheet": (OnHand(3000, 1, ""),)}
    with pytest.raises(JobError) as told:
        on_hand_by_item([given("rial", 1), given("rail", 1), given("brick", 1)], needs, groups)
    nothing = "nothing in this order is cut from lengths of"
    assert told.value.faults == (
        f"on_hand[1].item: {nothing} 'rial'; did you mean rail?",
        f"on_hand[3].item: {nothing} 'brick'; cut from lengths here: gutter, rail, sheet",
    )
