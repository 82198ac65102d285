"""What records of rain, tanks, orders and planes work out of their own fields, each of which is something else than 0."""

from __future__ import annotations

import datetime
from types import SimpleNamespace
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.code_rules import NO_RULES
from takeoff.model.edge_kinds import EdgeKind, Place, kinds_at
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import PartName
from takeoff.model.job_edits import GONE, Edit, edited_value, same_value
from takeoff.model.order import Order, Pack, Takeoff, Used
from takeoff.model.rain_series import DailyRain, MonthlyRain
from takeoff.model.roof import Frame
from takeoff.model.supplied import SuppliedList
from takeoff.model.tank_store import FedBy, SizeResult, TankFeed, Use

NONE = Basis(Status.COMMON_PRACTICE)


def property_of(kind: Any, name: str, **fields: Any) -> Any:
    """A property of a record of which only these fields are filled."""
    return getattr(kind, name).fget(SimpleNamespace(**fields))


def test_a_plane_that_is_level_in_neither_of_its_axes() -> None:
    """u (2, 2, 1) / 3, v (-2, 1, 2) / 3, normal (1, -2, 2) / 3: 3 along u and 6 up v are (2 - 4, 2 + 2, 1 + 4)."""
    frame = Frame((10.0, 20.0, 30.0), (2 / 3, 2 / 3, 1 / 3), (-2 / 3, 1 / 3, 2 / 3), (1 / 3, -2 / 3, 2 / 3))
    assert frame.to_space((3.0, 6.0)) == pytest.approx((8.0, 24.0, 35.0))
    assert frame.to_plane((8.0, 24.0, 35.0)) == pytest.approx((3.0, 6.0))
    assert frame.to_plane((9.0, 22.0, 37.0)) == pytest.approx((3.0, 6.0))  # 3 off it


def test_days_and_the_mean_year_of_rain() -> None:
    """Three days from the last of the year; 12 mm in 3 days are 12 x 365.25 / 3 = 1461 a year."""
    rain = DailyRain("s", datetime.date(2023, 12, 31), (2.0, 3.0, 7.0))
    assert (rain.end, rain.mm_a_year) == (datetime.date(2024, 1, 2), 1461.0)
    assert MonthlyRain("s", (1.5, 2.0, *[0.25] * 10)).mm_a_year == 6.0


def test_what_a_tank_is_fed_and_drawn() -> None:
    """100 m2 at 0.8 and 30 m2 at 0.9: 107 L for 1 mm. Drawn 365.25 L a day in January and 30 times that in June: 31 + 900."""
    fed = tuple(FedBy(name, "DP1", area, Term("r", share, "", NONE)) for name, area, share in (("P1", 100.0, 0.8), ("P2", 30.0, 0.9)))  # fmt: skip
    feed = TankFeed("T1", 9000.0, 1.0, 2.0, 3.0, "s", ("DP1",), fed, 4.0, 5.0, "", None)
    assert (feed.plan_m2, feed.runoff_m2) == (130.0, pytest.approx(107.0))
    every = [0.0] * 12
    every[0], every[5] = 365.25, 30.0 * 365.25
    working: Any = Working
    assert Use(tuple(every), working).mean_l == pytest.approx(931.0)
    # a mean February has 28.25 days
    assert Use((0.0, 365.25, *[0.0] * 10), working).mean_l == pytest.approx(28.25)
    assert Use((7.0,) * 12, working).mean_l == pytest.approx(7.0)


def test_no_water_is_lost_in_a_reckoning() -> None:
    """64 of run-off: 1 drawn, 2 spilt, 4 flushed, 8 let go, 16 left where 32 stood at the start: 64 + 32 - 31 are unaccounted for."""
    row = SizeResult(
        volume_l=5000.0, by_time=1.0, by_volume=1.0, days_short=0, longest_short=0, longest_from=None, worst_year=2020, worst_year_short_l=0.0,
        worst_year_days=0, run_off_l=64.0, first_flush_l=4.0, discarded_l=8.0, yield_l=1.0, overflow_l=2.0, start_l=32.0, end_l=16.0,
        carted_l=128.0, loads=1,
    )  # fmt: skip
    assert row.balance_l == 65.0


def test_offcuts_are_what_is_bought_and_not_in_the_roof() -> None:
    """200.5 m2 of sheets and 7.25 of other lengths for a roof of 180.125: 27.625 is 27.63, half up."""
    assert property_of(Order, "sheets_offcuts_m2", sheets_bought_m2=200.5, sheets_site_m2=7.25, sheets_net_m2=180.125) == 27.63  # fmt: skip


def test_a_pack_at_its_limit_is_not_over_it() -> None:
    assert [property_of(Pack, "over_limit", kg=kg, limit_kg=500.0) for kg in (499.0, 500.0, 500.1)] == [False, False, True]  # fmt: skip


def takeoff(order: Any) -> Any:
    rooms = {name: SimpleNamespace(used=(f"{name}_b", "shared_a")) for name in ("roofing", "rainwater", "cladding")}
    names = ["roofing_b", "shared_a", "rainwater_b", "cladding_b", "order_b", "early", "late"]
    before = (Used("shape", ("late", "early")), Used("roofing", ("early",)))
    return SimpleNamespace(**rooms, order=order, used_before=before, settings=SimpleNamespace(values=dict.fromkeys(names, 0)))  # fmt: skip


def test_settings_asked_for_stand_by_stage_in_the_order_of_the_catalogue() -> None:
    used: Any = Takeoff.used
    shape = Used("shape", ("early", "late"))
    measured = (
        Used("roofing", ("roofing_b", "shared_a", "early")),
        Used("rainwater", ("shared_a", "rainwater_b")),
        Used("cladding", ("shared_a", "cladding_b")),
    )
    ordered = takeoff(SimpleNamespace(used=("order_b", "shared_a")))
    assert used.fget(ordered) == (shape, *measured, Used("order", ("shared_a", "order_b")))
    assert used.fget(takeoff(None)) == (shape, *measured, Used("order", ()))


def test_what_a_takeoff_has_by_name() -> None:
    sheets, plans = (tuple(SimpleNamespace(plane=n, run=n) for n in names) for names in (("P1", "P2"), ("SP1", "SP2")))
    whole: Any = SimpleNamespace(
        roofing=SimpleNamespace(sheets=sheets), rainwater=SimpleNamespace(downpipes=plans, gutters=plans)
    )
    assert Takeoff.sheets_of(whole, "P2") is sheets[1]
    assert Takeoff.sheets_of(whole, "P3") is None
    assert Takeoff.gutter_plan(whole, "SP2") is plans[1]
    assert Takeoff.gutter_plan(whole, "SP3") is None
    assert property_of(Takeoff, "gutters", rainwater=whole.rainwater) is plans


def test_bare_edges_and_flashings_of_a_job() -> None:
    """What the rainwater names is the first roof's, after its own and each once."""
    ring = [(0, 0), (9000, 0), (9000, 6000), (0, 6000)]
    roofs = [
        {"name": "main", "outline": ring, "pitch_deg": 20, "no_spouting_on": [3, 2]},
        {"name": "porch", "outline": ring, "pitch_deg": 20, "no_spouting_on": [4]},
    ]
    job = Job.model_validate({"job": "x", "roofs": roofs, "rainwater": {"none_on": [2, 1]}, "flashings": {"apron_head": "wide", "ridge": "roll"}})  # fmt: skip
    assert job.bare_edges == {"main": (3, 2, 1), "porch": (4,)}
    assert job.flashings_by_kind == {"apron head": "wide", "ridge": "roll"}


def test_kinds_of_edges_by_what_lies_beyond_them() -> None:
    assert kinds_at(Place.FREE) == {EdgeKind.EAVE, EdgeKind.VERGE, EdgeKind.HEAD}
    assert kinds_at(Place.FREE, level=True) == {EdgeKind.EAVE, EdgeKind.HEAD}
    assert kinds_at(Place.FREE, level=False) == {EdgeKind.VERGE}
    assert kinds_at(Place.WALL, level=True) == {EdgeKind.APRON_HEAD}


def test_a_list_of_sheets_stands_by_plane_where_every_line_names_one() -> None:
    def by_plane(*planes: str) -> bool:
        return bool(property_of(SuppliedList, "by_plane", lines=[SimpleNamespace(plane=plane) for plane in planes]))

    assert [by_plane(), by_plane("P1", "P2"), by_plane("P1", ""), by_plane("", "P1")] == [False, True, False, False]


def test_an_entry_of_a_list_is_set_in_its_place() -> None:
    assert edited_value([1, 2, 3], [Edit((1,), 7)]) == [1, 7, 3]
    assert edited_value([1, 2, 3], [Edit((1,), 7, insert=True)]) == [1, 7, 2, 3]
    # what is taken out of a map that lacks it on the way changes nothing
    assert edited_value({"a": {"b": 1}}, [Edit(("a", "c"), GONE)]) == {"a": {"b": 1}}
    assert edited_value({"a": {"b": 1}}, [Edit(("c", "d"), GONE)]) == {"a": {"b": 1}}
    assert edited_value({"a": None}, [Edit(("a", "d"), GONE)]) == {"a": None}


@pytest.mark.parametrize("value", [{"a": 1}, [1], ["a"], "a", 1, None, True, {}, []])
def test_values_of_two_kinds_never_read_alike(value: object) -> None:
    others: tuple[object, ...] = ({"a": 1}, [1], ["a"], "a", 1, None, True, {}, [])
    assert [other for other in others if same_value(value, other)] == [value]
    assert [other for other in others if same_value(other, value)] == [value]


def test_lists_and_maps_read_alike_entry_by_entry() -> None:
    assert same_value([1, {"a": [2]}], [1.0, {"a": [2.0]}])
    for other in ([1, 3], [2, 2], [1, 2, 3], [1]):
        assert not same_value([1, 2], other)
    assert not same_value({"a": 1, "b": 2}, {"a": 1, "b": 3})


@pytest.mark.parametrize(("given", "taken"), [("C", "C"), (7, "7"), (0, "0")])
def test_parts_and_sides_by_a_number_or_a_name(given: object, taken: str) -> None:
    assert TypeAdapter(PartName).validate_python(given) == taken


def test_a_yes_is_no_name_of_a_part() -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(PartName).validate_python(True)


def test_how_far_sheets_go_past_an_eave_without_spouting_and_at_the_foot_of_a_plane() -> None:
    assert {kind: kind.row.bare_trim for kind in EdgeKind if kind.row.bare_trim} == {EdgeKind.EAVE: (("sheet_over_bare_eave_mm", 1.0),)}  # fmt: skip
    assert {kind: kind.row.foot_trim for kind in EdgeKind if kind.row.foot_trim} == {EdgeKind.PITCH_CHANGE: (("pitch_change_over_mm", 1.0),)}  # fmt: skip
    assert {kind: kind.row.across for kind in EdgeKind if kind.row.across} == {
        EdgeKind.RIDGE: 2, EdgeKind.HIP: 2, EdgeKind.HEAD: 1, EdgeKind.APRON_HEAD: 1, EdgeKind.PITCH_CHANGE: 1,
    }  # fmt: skip


def test_where_no_code_was_loaded() -> None:
    assert (NO_RULES.id, NO_RULES.name, NO_RULES.edition, NO_RULES.date, NO_RULES.zones) == ("", "no code", "", "", ())
