"""Holes on planes and in sheets: by hand on plain planes. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from made_up_holes import FLAT, STEEP, edge, given, hole, plane, roof, settings
from sheets_by_hand import piece, sheets

from takeoff.basics.errors import Fault
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.openings import hole_places
from takeoff.measure.roofing.openings.hole_places import _meets, find_holes, on_sheets, plan_to_plane, plane_under
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.openings import HoleInSheet
from takeoff.model.roof import Covering, Frame


def test_places_on_a_plane() -> None:
    assert plan_to_plane(STEEP, (1300.0, 700.0)) == pytest.approx((300.0, 400.0))
    turned = Frame((10.0, 20.0, 0.0), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0), (0.0, 0.0, 1.0))
    assert plan_to_plane(turned, (10.0 + 3 * 0.6 - 2 * 0.8, 20.0 + 3 * 0.8 + 2 * 0.6)) == pytest.approx((3.0, 2.0))


def test_the_plane_under_a_point() -> None:
    """The highest of several; half a millimetre outside is on its border."""
    high = plane("P2", replace(FLAT, origin_mm=(3000.0, 0.0, 900.0)))
    both = roof(plane(), high)
    for at, name in (((1.0, 1.0), "P1"), ((3001.0, 1.0), "P2"), ((7000.0, 1.0), "P2"), ((-0.4, 5.0), "P1"), ((5.0, -0.4), "P1"),
                     ((2999.6, 5.0), "P2"), ((9000.4, 3999.0), "P2"), ((8000.0, 4000.4), "P2")):  # fmt: skip
        found = plane_under(both, at)
        assert found is not None
        assert found.id == name, at
    assert [plane_under(both, at) for at in ((-0.6, 5.0), (5.0, -0.6), (9000.6, 5.0), (5.0, 4000.6))] == [None] * 4


@pytest.mark.parametrize(
    ("a", "b", "meets"),
    [
        ((0.0, 5.0), (20.0, 5.0), True),
        ((0.0, 10.0), (20.0, 10.0), False),  # along its upper side
        ((0.0, 0.0), (30.0, 0.0), False),  # along its lower one
        ((10.0, -5.0), (10.0, 50.0), False),
        ((10.1, -5.0), (10.1, 50.0), True),
        ((0.0, 0.1), (30.0, 0.1), True),
        ((0.0, 0.0), (20.0, 10.0), True),
        ((0.0, 10.0), (10.0, 20.0), False),
        ((0.0, 4.0), (20.0, 12.0), True),
        ((15.0, -5.0), (15.0, 50.0), True),
        ((20.0, -5.0), (20.0, 50.0), False),
        ((12.0, 3.0), (13.0, 4.0), True),  # wholly within
        ((30.0, 5.0), (40.0, 5.0), False),
        ((15.0, 20.0), (15.0, 11.0), False),
        ((20.0, 12.0), (0.0, 4.0), True),
        ((0.0, 0.0), (20.0, 20.0), False),
    ],
)
def test_a_line_through_a_rectangle(a: Point2, b: Point2, meets: bool) -> None:
    """From (10, 0) to (20, 10)."""
    assert _meets(a, b, (10.0, 0.0), (20.0, 10.0)) is meets


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        ({}, {}),  # 100 / cos 60 up the slope
        ({"diameter_mm": 150.0}, {"width_mm": 150.0, "diameter_mm": 150.0, "length_mm": 300.0}),
        ({"diameter_mm": 150.1}, {"width_mm": 150.1, "diameter_mm": 150.1, "length_mm": 300.2, "trimmed": True}),
        ({"diameter_mm": 200.0}, {"width_mm": 200.0, "diameter_mm": 200.0, "length_mm": 400.0, "trimmed": True}),
        ({"diameter_mm": 201.0}, {"width_mm": 201.0, "diameter_mm": 201.0, "length_mm": 402.0, "trimmed": True, "flashing": "boot and back"}),
        ({"kind": "rooflight", "diameter_mm": None, "width_mm": 250.0, "length_mm": 290.0, "name": "Light"},
         {"kind": "rooflight", "name": "Light", "width_mm": 250.0, "length_mm": 290.0, "diameter_mm": 0.0, "flashing": "kerb"}),
    ],
)  # fmt: skip
def test_a_hole_as_the_job_gives_it(more: dict[str, Any], wanted: dict[str, Any]) -> None:
    found = find_holes(roof(plane()), RoofJob(penetrations=[given(**more)]), settings())
    assert (found.holes, found.faults) == ((hole(**wanted),), ())


def test_flashings_by_size() -> None:
    sizes = {"pipe": (0.0, 1.0, 200.0, 200.1, 500.0, 500.1), "rooflight": (100.0,), "roof_window": (100.0,)}
    found = {kind: [hole_places._flashing(kind, mm, settings()) for mm in each] for kind, each in sizes.items()}
    assert found == {
        "pipe": ["kerb", "boot", "boot", "boot and back", "boot and back", "kerb"], "rooflight": ["kerb"], "roof_window": ["kerb"],
    }  # fmt: skip


def test_faults_and_findings_of_holes() -> None:
    sides = (
        edge("E1", EdgeKind.EAVE, (0.0, 0.0), (6000.0, 0.0)),
        edge("B1", EdgeKind.VERGE, (6000.0, 0.0), (6000.0, 4000.0)),
    )
    bare = plane(
        "P2",
        replace(FLAT, origin_mm=(0.0, 9000.0, 0.0)),
        covering=Covering.OTHER,
    )
    job = RoofJob(
        penetrations=[
            given(at=(1000.0, 20000.0), name="Far"), given(at=(1030.0, 80.0)), given(at=(7000.0, 50.0)), given(at=(1000.0, 4040.0)),
            given(at=(2000.0, 10000.0)), given(at=(1300.0, 2000.0)), given(at=(1390.0, 2000.0)), given(at=(1490.1, 2000.0)),
            given(at=(1185.0, 3000.0)), given(at=(1210.0, 3000.0), kind="flue"),
        ]
    )  # fmt: skip
    found = find_holes(roof(plane(), bare, edges=sides, origin=(1000.0, 0.0, 0.0)), job, settings(), first_number=5)
    assert [one.id for one in found.holes] == ["X10", "X11", "X12", "X13", "X14"]
    assert found.faults == (
        "roof main: penetration 1 (Far): 1000, 20000 lies on no plane of the roof",
        "roof main: penetration 2: its hole crosses eave E1 of P1",
        "roof main: penetration 3: its hole crosses eave E1 and verge B1 of P1",
        "roof main: penetration 4: 1000, 4040 lies on no plane of the roof",
        "roof main: penetrations X10 and X11 overlap on P1",
        "roof main: penetrations X13 and X14 overlap on P1",
    )
    near = "lies nearer than 150 mm to an edge of P1: its flashing finds no room there."
    cure = "Move it, or have its flashing made together with that of the edge."
    assert found.findings == (
        Finding("hole-not-sheeted", Severity.WARN, "X9 lies on P2, which carries no sheets: nothing is taken off for it.",
                refs=("P2",), at_mm=(1000.0, 10000.0, 0.0)),
        Finding("hole-near-edge", Severity.WARN, f"X13 {near}", cure, ("P1", "X13"), (185.0, 3000.0, 0.0), "source of hole_edge_mm"),
        Finding("flue-clearance", Severity.NOTE, "Underlay is kept 50 mm clear of flue X14 all round.", "", ("P1", "X14"),
                (210.0, 3000.0, 0.0), "source of flue_underlay_clear_mm"),
    )  # fmt: skip


def test_a_hole_one_can_fall_through() -> None:
    """Both ways over 400."""
    for wide, long, falls in ((400.0, 900.0, False), (900.0, 400.0, False), (401.0, 402.4, True)):
        one = hole_places._hole(
            "X1",
            given(kind="rooflight", diameter_mm=None, width_mm=wide, length_mm=long),
            plane(),
            (1.0, 2.0),
            settings(),
        )
        said = Finding(
            "hole-fall-hazard", Severity.WARN, "X1 is a hole of 401 x 402 mm, over 400 x 400: someone can fall through it.",
            "Cover and mark it from the moment it is cut; whoever cuts it is responsible for it.", ("P1", "X1"), (1.0, 2.0, 0.0),
            "source of hole_hazard_mm",
        )  # fmt: skip
        assert hole_places._cautions(one, settings()) == ([said] if falls else [])


def test_a_hole_in_the_sheets_that_carry_it() -> None:
    """From 750 to 1050 across: 750 to 850 of the first sheet, laps included, and 800 to 1050 of the second, from its left."""
    one = hole(centre_uv=(0.0, 0.0))
    one = replace(one, centre_uv=(900.0, 1500.0), width_mm=300.0, length_mm=400.0)
    found = on_sheets(
        one,
        sheets(
            piece("P1.01", 0.0, 100.0, 4000.0),
            piece("P1.02", 800.0, 100.0, 4000.0),
            piece("P1.03", 1600.0, 100.0, 4000.0),
        ),
    )
    assert found.sheets == (
        HoleInSheet("P1.01", 750.0, 850.0, 1200.0, 1600.0), HoleInSheet("P1.02", 0.0, 250.0, 1200.0, 1600.0)
    )  # fmt: skip


def test_corners_of_a_plane_off_by_half_a_millimetre() -> None:
    corners = [(-0.4, -0.4), (6000.4, 4000.4), (-0.4, 4000.4), (6000.4, -0.4)]
    assert [plane_under(roof(plane()), at) is not None for at in corners] == [True] * 4
    far = [(-0.6, -0.6), (6000.6, 4000.6), (-0.6, 4000.6), (6000.6, -0.6)]
    assert [plane_under(roof(plane()), at) for at in far] == [None] * 4


def test_where_a_fault_of_a_hole_stands() -> None:
    """Points are counted from the job's own origin, 1000 and 250 off the roof's."""
    job = RoofJob(
        penetrations=[
            given(at=(4000.0, 2250.0)),
            given(at=(1010.0, 1250.0)),
            given(at=(0.0, 0.0)),
            given(at=(4050.0, 2250.0)),
        ]
    )
    side = edge("B1", EdgeKind.VERGE, (0.0, 0.0), (0.0, 4000.0))
    found = find_holes(roof(plane(), edges=(side,), origin=(1000.0, 250.0, 0.0)), job, settings())
    assert [one.at_mm for one in found.holes] == [(3000.0, 2000.0, 0.0), (3050.0, 2000.0, 0.0)]
    assert [(str(one), one.path) for one in found.faults if isinstance(one, Fault)] == [
        ("roof main: penetration 2: its hole crosses verge B1 of P1", ("roofs", "main", "penetrations", 1)),
        ("roof main: penetration 3: 0, 0 lies on no plane of the roof", ("roofs", "main", "penetrations", 2)),
        ("roof main: penetrations X1 and X4 overlap on P1", ("roofs", "main", "penetrations")),
    ]


@pytest.mark.parametrize(
    ("low", "high", "within"),
    [
        ((0.0, 0.0), (6000.0, 1900.0), True),  # exactly in its corner
        ((-0.1, 0.0), (6000.0, 1900.0), False),
        ((0.0, 0.0), (6000.1, 1900.0), False),
        ((0.0, -0.1), (3000.0, 900.0), False),
        ((0.0, 3000.0), (3000.0, 4000.0), True),
        ((0.0, 3000.0), (3000.0, 4000.1), False),
        # past the notch, whose foot is at 2000, head at 2100: it is met by neither foot nor head
        ((4000.0, 1500.0), (5000.0, 2500.0), False),
        ((4000.0, 2000.0), (5000.0, 2100.0), False),
        ((4000.0, 1500.0), (5000.0, 2000.0), True),
        ((4000.0, 2100.0), (5000.0, 2500.0), True),
        ((3500.0, 1500.0), (4500.0, 2500.0), False),
        ((3500.0, 1500.0), (4000.0, 2500.0), True),
    ],
)
def test_a_rectangle_in_a_plane_with_a_notch(low: Point2, high: Point2, within: bool) -> None:
    ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 2000.0), (4000.0, 2000.0), (4000.0, 2100.0), (6000.0, 2100.0), (6000.0, 4000.0), (0.0, 4000.0))  # fmt: skip
    assert hole_places._within(plane(ring=ring), low, high) is within


def test_a_sliver_of_a_hole_is_in_no_sheet() -> None:
    """100 long and 0.009 wide are 0.9 mm2, 0.011 are 1.1; from the sheet's left at 800, its foot at 300."""
    own = sheets(piece("P1.01", 0.0, 300.0, 4000.0), piece("P1.02", 800.0, 300.0, 4000.0))
    for past, marks in ((0.009, ["P1.01"]), (0.011, ["P1.01", "P1.02"])):
        one = replace(hole(), width_mm=100.0, length_mm=100.0, centre_uv=(750.0 + past, 1500.0))
        assert [found.mark for found in on_sheets(one, own).sheets] == marks
    (_, last) = on_sheets(replace(hole(), width_mm=200.0, length_mm=100.0, centre_uv=(840.0, 1500.0)), own).sheets
    assert last == HoleInSheet("P1.02", 0.0, 140.0, 1150.0, 1250.0)


def test_a_hole_a_crumb_over_its_limit_has_no_timber() -> None:
    sizes = {300.0: False, 300.009: False, 300.011: True, 300.015: True}
    found = {
        size: hole_places._hole("X1", given(kind="rooflight", diameter_mm=None, width_mm=size, length_mm=9.0), plane(), (0.0, 0.0), settings()).trimmed
        for size in sizes
    }  # fmt: skip
    assert found == sizes


@pytest.mark.parametrize(
    ("ring", "low", "high"),
    [
        # just over 2000 the plane is 2000 narrower, and as wide as before at 2500
        (((0.0, 0.0), (6000.0, 0.0), (6000.0, 2000.0), (4000.0, 2000.0), (6000.0, 2500.0), (6000.0, 4000.0), (0.0, 4000.0)), 2000.0, 2500.0),
        # just under it it is, having grown narrower from 1500 on
        (((0.0, 0.0), (6000.0, 0.0), (6000.0, 1500.0), (4000.0, 2000.0), (6000.0, 2000.0), (6000.0, 4000.0), (0.0, 4000.0)), 1500.0, 2000.0),
    ],
)  # fmt: skip
def test_a_rectangle_at_the_point_of_a_notch(ring: Ring2, low: float, high: float) -> None:
    assert not hole_places._within(plane(ring=ring), (4500.0, low), (5000.0, high))
    assert hole_places._within(plane(ring=ring), (3500.0, low), (4000.0, high))


def test_holes_side_by_side() -> None:
    """Sides that touch do not overlap; a tenth of a millimetre does. 100 by 200."""
    own = replace(hole(), centre_uv=(3000.0, 2000.0), width_mm=100.0, length_mm=200.0)
    for across, up, over in (
        (100.0, 0.0, False), (-100.0, 0.0, False), (0.0, 200.0, False), (0.0, -200.0, False), (99.9, 199.9, True), (-99.9, 0.0, True),
        (0.0, -199.9, True), (99.9, 200.0, False), (100.0, 199.9, False), (-99.9, -200.0, False),
    ):  # fmt: skip
        assert hole_places._overlap(own, replace(own, centre_uv=(3000.0 + across, 2000.0 + up))) is over


@pytest.mark.parametrize(
    ("at", "near"),
    [
        ((200.0, 2000.0), False), ((199.9, 2000.0), True), ((5800.0, 2000.0), False), ((5800.1, 2000.0), True),
        ((3000.0, 250.0), False), ((3000.0, 249.9), True), ((3000.0, 3750.0), False), ((3000.0, 3750.1), True),
    ],
)  # fmt: skip
def test_holes_near_an_edge(at: Point2, near: bool) -> None:
    """100 by 200, 150 from each side of 6000 by 4000."""
    own = replace(hole(), centre_uv=at, width_mm=100.0, length_mm=200.0, at_mm=(1.0, 2.0, 3.0))
    text = "X1 lies nearer than 150 mm to an edge of P1: its flashing finds no room there."
    cure = "Move it, or have its flashing made together with that of the edge."
    told = Finding("hole-near-edge", Severity.WARN, text, cure, ("P1", "X1"), (1.0, 2.0, 3.0), "source of hole_edge_mm")
    assert hole_places._near_edge(plane(), own, settings()) == ((told,) if near else ())
