"""Trips of a truck by hand: what is loaded at once, in which trip, why, and what is said."""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.model.basis import Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.job.ordering import TruckJob
from takeoff.model.loads import LoadPart, LoadPlan, Trip
from takeoff.model.order import OrderLine, Pack, PackedSheet
from takeoff.order import trips as of_trips
from takeoff.order.trips import Unit, _first_fit, _Search, fewest_trips, least_trips, load_plan

WORKING = Working("made up")
SHEET = Item("sheet", "sheet", ItemKind.SHEET, Trade.ROOFING, "m")
SPARE = Item("sheet_spare", "spare", ItemKind.SHEET, Trade.ROOFING, "m", spare_of="sheet")
CLEAR = Item("clear", "clear", ItemKind.SHEET, Trade.ROOFING, "m")


def item(name: str, trade: Trade, **more: Any) -> Item:
    return Item(name, name, ItemKind.FIXING, trade, "each", **more)


def line(name: str, of: Item, count: float, each_mm: float, kg: float, **more: Any) -> OrderLine:
    unit = more.pop("unit", "each")
    return OrderLine(name, more.pop("delivery"), of, count, unit, each_mm, count, unit, kg, (), WORKING, **more)


def pack(name: str, kg: float, longest: float, of: Item | None = SHEET, also: tuple[Item, ...] = ()) -> Pack:
    sheets = (PackedSheet("P1.01", longest, kg / 2.0), PackedSheet("P1.02", longest, kg / 2.0))
    return Pack(name, "P1", 1, 1, "wavy", of, sheets, kg, 900.0, longest, "E1", (1,), 180.0, also)


def unit(rank: int, kg: float, name: str = "a", each_mm: float = 0.0, pack: str = "") -> Unit:
    return Unit(rank, kg, LoadPart("purlins", "" if pack else name, pack, name, 1.0, "each", each_mm, kg))


LINES = (
    line("L1", item("rail", Trade.PURLINS), 3.0, 6000.0, 30.0, delivery="purlins"),
    line("L2", item("bolt", Trade.PURLINS), 2.0, 0.0, 4.0, delivery="purlins", unit="box"),
    line("L3", SHEET, 2.0, 4000.0, 40.0, delivery="roof sheets"),
    line("L4", SPARE, 1.0, 4000.0, 20.0, delivery="roof sheets"),
    line("L5", item("screws", Trade.ROOFING), 1.0, 0.0, 0.0, delivery="roof sheets", unit="box"),
    line("L6", item("work", Trade.ROOFING), 9.0, 0.0, 99.0, delivery="roof sheets", labour=True),
    line("L7", item("rope", Trade.CLADDING), 2.5, 100.0, 5.0, delivery="walls", unit="m"),
)


def truck(payload: float = 1000.0, **more: Any) -> TruckJob:
    return TruckJob(**{"payload_kg": payload, "deck_mm": 5000.0, "overhang_mm": 1000.0, "name": "ours"} | more)


def test_what_is_loaded_at_once_under_a_crane() -> None:
    """A length with its count goes piece by piece, what has none or no whole count as one; packs stand for the sheets and
    spares in them; labour is not carried."""
    rail = LoadPart("purlins", "L1", "", "rail", 1.0, "each", 6000.0, 10.0)
    assert of_trips._units(LINES, [pack("P1/1", 60.0, 4000.0)], truck()) == [
        Unit(0, 10.0, rail),
        Unit(0, 10.0, rail),
        Unit(0, 10.0, rail),
        Unit(0, 4.0, LoadPart("purlins", "L2", "", "bolt", 2.0, "box", 0.0, 4.0)),
        Unit(2, 0.0, LoadPart("roof sheets", "L5", "", "screws", 1.0, "box", 0.0, 0.0)),
        Unit(2, 60.0, LoadPart("roof sheets", "", "P1/1", "sheet", 2.0, "each", 4000.0, 60.0)),
        Unit(5, 5.0, LoadPart("walls", "L7", "", "rope", 2.5, "m", 100.0, 5.0)),
    ]


def test_what_is_loaded_at_once_by_hand() -> None:
    """Packs are opened: sheets and spares by themselves."""
    found = of_trips._units(LINES, [pack("P1/1", 60.0, 4000.0)], truck(unloading="hand"))
    assert [(one.rank, one.part.line, one.kg) for one in found] == [
        (0, "L1", 10.0), (0, "L1", 10.0), (0, "L1", 10.0), (0, "L2", 4.0), (2, "L3", 20.0), (2, "L3", 20.0),
        (2, "L4", 20.0), (2, "L5", 0.0), (5, "L7", 5.0),
    ]  # fmt: skip
    # without a pack there is nothing that the sheets could lie in
    assert of_trips._units(LINES, [], truck()) == found
    # a pack of clear sheets holds no metal ones, one with both does
    clear = of_trips._units(LINES[2:4], [pack("C", 9.0, 4000.0, CLEAR)], truck())
    assert [one.part.line or one.part.pack for one in clear] == ["L3", "L3", "L4", "C"]
    both = of_trips._units(LINES[2:4], [pack("C", 9.0, 4000.0, None, (SHEET,))], truck())
    assert both == [Unit(2, 9.0, LoadPart("roof sheets", "", "C", "", 2.0, "each", 4000.0, 9.0))]


@pytest.mark.parametrize(
    ("masses", "least"),
    [
        ((), 0),
        ((0.0,), 1),
        ((100.0, 100.0), 2),
        ((100.0, 0.0001), 2),
        ((50.0, 50.0), 1),
        ((50.0, 50.1), 2),
        ((51.0, 51.0, 51.0), 3),  # no two go together
        ((50.0, 50.0, 50.0), 2),
        ((250.0,), 1),  # too heavy for any: a trip of its own
        ((250.0, 10.0), 2),
        ((40.0, 40.0, 40.0), 2),
        ((50.0000005, 50.0000004), 1),  # crumbs of floating point are no second trip
    ],
)
def test_the_least_number_of_trips(masses: tuple[float, ...], least: int) -> None:
    assert least_trips([unit(0, kg) for kg in masses], 100.0) == least


def masses_of(found: list[list[Unit]] | None) -> list[list[float]] | None:
    return None if found is None else [[one.kg for one in trip] for trip in found]


def test_first_into_the_first_trip_with_room_and_never_before_what_comes_first() -> None:
    """60 + 40, 50; then of the next delivery 50 beside the last, none before it; of the third 1 into that trip too."""
    units = [unit(0, 60.0), unit(0, 50.0), unit(0, 40.0), unit(1, 50.0), unit(1, 30.0), unit(2, 1.0)]
    assert masses_of(_first_fit(units, 100.0)) == [[60.0, 40.0], [50.0, 50.0], [30.0, 1.0]]
    # 40 of the first delivery fits behind 60 again once 70 stands in the second trip, and the next begins in the second
    units = [unit(0, 70.0), unit(0, 60.0), unit(0, 30.0), unit(1, 40.0), unit(1, 5.0)]
    assert masses_of(_first_fit(units, 100.0)) == [[70.0, 30.0], [60.0, 40.0], [5.0]]
    assert masses_of(_first_fit([unit(0, 250.0), unit(0, 50.0)], 100.0)) == [[250.0], [50.0]]
    assert _first_fit([], 100.0) == []
    assert masses_of(_first_fit([unit(0, 50.0000005), unit(0, 50.0)], 100.0)) == [[50.0000005, 50.0]]


def test_a_trip_less_by_trying_every_way() -> None:
    """First fit brings 44 + 24 + 24 and leaves 32 over; 44 + 32 + 24 and 40 + 36 + 24 fill two trips."""
    units = [unit(0, kg, str(n)) for n, kg in enumerate((44.0, 40.0, 36.0, 32.0, 24.0, 24.0))]
    assert masses_of(_first_fit(units, 100.0)) == [[44.0, 40.0], [36.0, 32.0, 24.0], [24.0]]
    found = _Search(units, 100.0, 2).found()
    assert masses_of(found) == [[44.0, 32.0, 24.0], [40.0, 36.0, 24.0]]
    assert masses_of(fewest_trips(units[::-1], 100.0)) == masses_of(found)
    assert _Search(units, 99.0, 2).found() is None
    assert _Search([], 100.0, 2).found() is None
    assert masses_of(_Search([unit(0, 50.0000005), unit(0, 50.0)], 100.0, 1).found()) == [[50.0000005, 50.0]]
    # three trips are asked for and one is enough: the others are left out
    assert masses_of(_Search([unit(0, 10.0)], 100.0, 3).found()) == [[10.0]]


@pytest.mark.parametrize(("looks", "found"), [(0, None), (1, [[60.0], [60.0]])])
def test_a_search_ends_at_its_limit_of_looks(looks: int, found: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two pieces are two looks: the second is begun only while the limit is not behind."""
    monkeypatch.setattr(of_trips, "_LOOKS", looks)
    assert masses_of(_Search([unit(0, 60.0), unit(0, 60.0)], 100.0, 2).found()) == found


def test_where_the_next_piece_may_go() -> None:
    """The first trip with room is tried first (it stands last); trips as full as one another once; what is like the piece
    before goes on from it; what comes later on the site never before what comes first."""
    search = _Search([unit(0, 40.0, "a"), unit(0, 30.0, "b"), unit(0, 30.0, "b"), unit(1, 10.0, "c")], 100.0, 3)
    assert search._choices() == [1, 0]  # the first is where it starts, and of the other two, as empty, one
    search._at, search._masses = [1], [0.0, 40.0, 0.0]
    assert search._choices() == [2, 1, 0]
    search._at, search._masses = [1, 1], [0.0, 70.0, 0.0]
    assert search._choices() == [2, 1]
    search._at, search._masses = [0, 1], [40.0, 30.0, 0.0]
    assert search._choices() == [2, 1]  # the one before, not the first
    search._at, search._masses = [1, 1, 1], [0.0, 100.0, 0.0]
    assert search._choices() == [2]
    search._at, search._masses = [0, 1, 1], [40.0, 60.0, 60.0]
    assert search._choices() == [2, 1]
    search._masses = [40.0, 90.0, 90.1]
    assert search._choices() == [1]


def test_a_plan_whole() -> None:
    """Payload 50: three rails of 10, 4 of bolts and screws that weigh nothing; 60 of a pack is more than it carries and
    goes alone; 89 that it can carry are two trips by mass."""
    of = truck(50.0, deck_mm=3000.0, overhang_mm=500.0)
    plan, findings = load_plan(LINES, [pack("P1/1", 60.0, 4000.0)], of, by_office=True)
    rails = LoadPart("purlins", "L1", "", "rail", 3.0, "each", 6000.0, 30.0)
    bolts = LoadPart("purlins", "L2", "", "bolt", 2.0, "box", 0.0, 4.0)
    screws = LoadPart("roof sheets", "L5", "", "screws", 1.0, "box", 0.0, 0.0)
    heavy = LoadPart("roof sheets", "", "P1/1", "sheet", 2.0, "each", 4000.0, 60.0)
    rope = LoadPart("walls", "L7", "", "rope", 2.5, "m", 100.0, 5.0)
    assert plan == LoadPlan(
        of,
        True,
        (
            Trip(1, (rails, bolts, screws), 34.0, 6000.0, ""),
            Trip(2, (heavy,), 60.0, 4000.0, "trip 1 has 16 kg free, the lightest here weighs 60"),
            Trip(3, (rope,), 5.0, 100.0, "trip 2 has 0 kg free, the lightest here weighs 5"),
        ),
        2,
        "by mass 2 would do, but packs and pieces are brought whole and in site order, which leaves 16 kg on trip 1, "
        "0 kg on trip 2 free",
        1,
    )
    assert findings == (
        Finding(
            "load-too-long", Severity.WARN,
            "ours takes 3500 mm with its overhang; the longest piece is 6000 mm, and 2 lines or packs are longer than it takes.",
            "Name a longer truck, or set the site's longest_piece_mm.", ("L1", "P1/1"),
        ),
        Finding("load-too-heavy", Severity.WARN, "ours carries 50 kg; the heaviest piece or pack weighs 60 kg.",
                "Name a truck that carries more.", ("P1/1",)),
        Finding("load-unweighed", Severity.NOTE, "1 lines have no mass and are carried as nothing in the loads.",
                "Leave room for boxes, rolls and fittings."),
    )  # fmt: skip


def test_nothing_is_said_of_what_just_fits() -> None:
    lines = (line("L1", item("rail", Trade.PURLINS), 1.0, 6000.0, 50.0, delivery="purlins"),)
    plan, findings = load_plan(lines, (), truck(50.0))
    part = LoadPart("purlins", "L1", "", "rail", 1.0, "each", 6000.0, 50.0)
    assert plan == LoadPlan(truck(50.0), False, (Trip(1, (part,), 50.0, 6000.0, ""),), 1, "", 0)
    assert findings == ()
    # crumbs of floating point are neither too long nor too heavy
    lines = (line("L1", item("rail", Trade.PURLINS), 1.0, 6000.0000005, 50.0000005, delivery="purlins"),)
    assert load_plan(lines, (), truck(50.0))[1] == ()
    # half a kilogramme is a mass, a millimetre a length; masses are shown to a tenth, and so is their sum
    lines = (
        line("L1", item("clip", Trade.PURLINS), 2.0, 1.0, 0.5, delivery="purlins"),
        line("L2", item("rail", Trade.PURLINS), 3.0, 6000.0, 30.12, delivery="purlins"),
    )
    plan, findings = load_plan(lines, (), truck(50.0))
    parts = (
        LoadPart("purlins", "L2", "", "rail", 3.0, "each", 6000.0, 30.1),
        LoadPart("purlins", "L1", "", "clip", 2.0, "each", 1.0, 0.5),
    )
    assert (plan.trips, plan.unweighed, findings) == ((Trip(1, parts, 30.6, 6000.0, ""),), 0, ())
    assert load_plan((), (), truck()) == (LoadPlan(truck(), False, (), 0, "", 0), ())


def test_why_a_trip_did_not_go_with_the_one_before() -> None:
    before, after = [unit(0, 30.0), unit(0, 30.0)], [unit(1, 41.0), unit(1, 50.0), unit(2, 3.0), unit(1, 0.0)]
    why = "trip 1 has 40 kg free, the lightest here weighs 41"
    assert of_trips._why(1, [before, after], truck(100.0)) == why
    assert of_trips._why(1, [before, [unit(1, 40.0), *after]], truck(100.0)) == "site order"
    light = [unit(1, 0.5), unit(1, 0.0)]
    why = "trip 1 has 0 kg free, the lightest here weighs 0"  # to the kilogramme: 0.4 free for 0.5
    assert of_trips._why(1, [[unit(0, 99.6)], light], truck(100.0)) == why
    assert of_trips._why(1, [[unit(0, 99.6)], [unit(1, 0.0)]], truck(100.0)) == "site order"
    assert of_trips._why(0, [before, after], truck(100.0)) == ""


def test_why_there_are_more_trips_than_the_mass_asks_for() -> None:
    plain = LoadPart("purlins", "L1", "", "rail", 1.0, "each", 0.0, 60.0)
    packed = LoadPart("purlins", "", "P1/1", "rail", 1.0, "each", 0.0, 60.0)
    made = (Trip(1, (plain,), 60.0, 0.0, ""), Trip(2, (plain,), 70.4, 0.0, ""), Trip(3, (packed,), 10.0, 0.0, ""))
    assert of_trips._reason(made, 3, truck(100.0)) == ""
    free = "40 kg on trip 1, 30 kg on trip 2 free"
    assert of_trips._reason(made, 2, truck(100.0)) == (
        f"by mass 2 would do, but packs and pieces are brought whole and in site order, which leaves {free}"
    )
    assert of_trips._reason(made[:2], 1, truck(100.0)) == (
        "by mass 1 would do, but pieces are brought whole and in site order, which leaves 40 kg on trip 1 free"
    )


def test_pieces_however_short_are_loaded_one_by_one() -> None:
    """Of a millimetre or less too; what has no length, or is no whole number, goes at once."""
    pin = item("pin", Trade.PURLINS)
    for each_mm, count, units in ((0.5, 3.0, 3), (1.0, 2.0, 2), (0.0, 2.0, 1), (900.0, 2.5, 1)):
        found = of_trips._of_line(line("L1", pin, count, each_mm, 6.0, delivery="purlins"), 2)
        own, kg = (1.0, 6.0 / count) if units > 1 else (count, 6.0)
        part = LoadPart("purlins", "L1", "", "pin", own, "each", each_mm, kg)
        assert found == [Unit(2, kg, part)] * units
