"""Gutter runs and what they take, rule by rule with figures by hand: an eave of 5 m whose way is (3, 4, 5)."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from eave_water import Point3, curtain, on, piece

from takeoff.model.drainage import GutterCorner, GutterLeg, GutterRun, Inflow, Received, ValleyFoot
from takeoff.shape.water import spreading
from takeoff.shape.water.drainage import (
    _chains,
    _corner,
    _cut,
    _give,
    _inflow,
    _leg,
    _outline_edge,
    _parts,
    _Piece,
    _received,
    _run,
    _valleys,
)
from takeoff.shape.water.fall_lines import Landing
from takeoff.shape.water.spreading import Spout


def test_a_part_of_a_curtain_brings_its_part_of_the_area() -> None:
    """From 100 to 300 over all: 200; the part from a quarter to three quarters is from 150 to 250, half as long: 75 and 125."""
    whole = curtain(0.0, 4000.0)
    part = whole.part(0.25, 0.75)
    assert (whole.area_mm2, part.area_mm2) == (200.0, 100.0)
    assert part == replace(
        whole, a=pytest.approx(on(1000.0)), b=pytest.approx(on(3000.0)), at_a_mm2=75.0, at_b_mm2=125.0
    )


def test_places_along_an_eave() -> None:
    assert piece(1000.0, 5000.0).along(on(3500.0, 777.0)) == pytest.approx(2500.0)
    assert piece(1000.0, 5000.0).along(on(0.0, -777.0)) == pytest.approx(-1000.0)
    assert piece(1000.0, 5000.0).length == pytest.approx(4000.0)


@pytest.mark.parametrize(
    ("low", "high", "start", "end", "a", "b"),
    [
        (0.4, 4999.6, "n1", "n2", 0.0, 5000.0),  # half a millimetre is the end itself
        (0.6, 4999.4, "E1 at 0.6", "E1 at 4999.4", 0.6, 4999.4),
        (1234.56, 3000.0, "E1 at 1234.6", "E1 at 3000.0", 1234.56, 3000.0),
        (-50.0, 6000.0, "n1", "n2", 0.0, 5000.0),
    ],
)
def test_a_part_of_an_eave(low: float, high: float, start: str, end: str, a: float, b: float) -> None:
    found = _cut(piece(), low, high, (3, 2))
    assert (found.start, found.end, found.outline_edges) == (start, end, (2, 3))
    assert (found.a, found.b) == (pytest.approx(on(a)), pytest.approx(on(b)))


def test_what_is_left_of_an_eave_with_bare_edges() -> None:
    """Outline edges 1 to 4 along it, 2 bare: 0 to 1000, and 2000 to 5000 in one."""
    ring = tuple(on(s)[:2] for s in (0.0, 1000.0, 2000.0, 3000.0, 5000.0))
    roof: Any = SimpleNamespace(outline_mm=(ring,), edge_numbers=())
    whole = _Piece(piece().edge, "n1", "n2", on(0.0), on(5000.0), False, (4, 3, 2, 1))
    first, second = _parts(roof, whole, frozenset({2}))
    assert (first.outline_edges, first.b) == ((1,), pytest.approx(on(1000.0)))
    assert (second.outline_edges, second.a, second.end) == ((3, 4), pytest.approx(on(2000.0)), "n2")


def test_outline_edges_by_their_numbers() -> None:
    outer, court = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)), ((1.0, 1.0), (2.0, 2.0), (3.0, 1.0))
    roof: Any = SimpleNamespace(outline_mm=(outer, court), edge_numbers=())
    assert _outline_edge(roof, 3) == ((9.0, 9.0, 0.0), (0.0, 0.0, 0.0))
    assert _outline_edge(roof, 4) == ((1.0, 1.0, 0.0), (2.0, 2.0, 0.0))
    with pytest.raises(KeyError):
        _outline_edge(roof, 7)
    turned: Any = SimpleNamespace(outline_mm=(outer, court), edge_numbers=((3, 1, 2), (6, 5, 4)))
    assert _outline_edge(turned, 1) == ((9.0, 0.0, 0.0), (9.0, 9.0, 0.0))
    assert _outline_edge(turned, 4) == ((3.0, 1.0, 0.0), (1.0, 1.0, 0.0))


@pytest.mark.parametrize(
    ("s0", "s1", "given"),
    [
        (1000.0, 3000.0, (1000.0, 3000.0, 100.0, 300.0)),
        (-1000.0, 3000.0, (0.0, 3000.0, 112.5, 225.0)),  # 3/4 of it: from 150 to 300
        (3000.0, 7000.0, (3000.0, 5000.0, 50.0, 100.0)),  # the first half: from 100 to 200
        (7000.0, 3000.0, (5000.0, 3000.0, 100.0, 150.0)),
        (-2000.0, 0.005, None),
        (5200.0, 6000.0, None),
        (2000.0, 2000.0, (2000.0, 2000.0, 100.0, 300.0)),  # a point
        (-0.4, -0.4, (-0.4, -0.4, 100.0, 300.0)),
        (-0.6, -0.6, None),
        (5000.4, 5000.4, (5000.4, 5000.4, 100.0, 300.0)),
        (5000.6, 5000.6, None),
    ],
)
def test_the_part_of_a_landing_that_lies_on_a_leg(
    s0: float, s1: float, given: tuple[float, float, float, float] | None
) -> None:
    leg = piece()
    _give(leg, Landing("E1", curtain(s0, s1)))
    if given is None:
        assert leg.water == []
        return
    (landing,) = leg.water
    found = landing.curtain
    assert (leg.along(found.a), leg.along(found.b), found.at_a_mm2, found.at_b_mm2) == pytest.approx(given)


def test_inflows_run_from_the_left() -> None:
    assert _inflow(piece(), curtain(1000.0, 3000.0)) == Inflow(
        pytest.approx(1000.0), pytest.approx(3000.0), 100.0, 300.0, "P1", 15.0
    )
    assert _inflow(piece(), curtain(3000.0, 1000.0)) == Inflow(
        pytest.approx(1000.0), pytest.approx(3000.0), 300.0, 100.0, "P1", 15.0
    )
    assert _inflow(piece(), curtain(-9.0, 5009.0)) == Inflow(0.0, 5000.0, 100.0, 300.0, "P1", 15.0)
    assert _inflow(piece(), curtain(5009.0, -9.0)) == Inflow(0.0, 5000.0, 300.0, 100.0, "P1", 15.0)


@pytest.mark.parametrize(
    ("end", "corner"),
    [
        (on(5000.0, -2000.0), ("external", 90.0)), (on(5000.0, 2000.0), ("internal", 90.0)), (on(6000.0, -1000.0), ("external", 135.0)),
        (on(4000.0, -1000.0), ("external", 45.0)), (on(7000.0, 20.0), ("internal", 180.0 - 0.572939)), (on(7000.0, 17.0), None),
    ],
)  # fmt: skip
def test_corners_of_gutters(end: Point3, corner: tuple[str, float] | None) -> None:
    before, after = piece(), replace_ends(piece(), on(5000.0), end)
    expected = None if corner is None else GutterCorner(corner[0], pytest.approx(corner[1], abs=1e-4), on(5000.0))
    assert _corner(before, after) == expected


def replace_ends(one: _Piece, a: Point3, b: Point3, start: str = "n2", end: str = "n3", name: str = "E2") -> _Piece:
    edge: Any = SimpleNamespace(id=name, roof="main")
    return _Piece(edge, start, end, a, b, one.internal, (2,))


def test_pieces_are_chained_from_their_left_ends() -> None:
    """Typed 2, 1, a ring of three, an internal one: the open run begins at its left end; internal ones come last."""
    ring = [piece(name=f"R{k}", start=f"r{k}", end=f"r{(k + 1) % 3}") for k in range(3)]
    inner = piece(name="I", start="i1", end="i2", internal=True)
    second, first = piece(name="B", start="n2", end="n3"), piece(name="A", start="n1", end="n2")
    found = [
        ([one.edge.id for one in chain], closed)
        for chain, closed in _chains([inner, ring[1], second, first, ring[2], ring[0]])
    ]
    assert found == [(["R1", "R2", "R0"], True), (["A", "B"], False), (["I"], False)]
    pair = [piece(name="C", start="c1", end="c2"), piece(name="D", start="c2", end="c1")]
    assert [closed for _, closed in _chains(pair)] == [False]


def test_a_run_of_two_legs_with_all_it_takes() -> None:
    """Legs of 5 and 2 m round an external corner; a valley at the corner shared by both, water from above, and off a wall."""
    one, two = piece(), replace_ends(piece(), on(5000.0), on(5000.0, -2000.0))
    one.water = [
        Landing("E1", curtain(0.0, 5000.0)), Landing("E1", curtain(5000.0, 5000.0, 40.0, 40.0, via="V1")),
        Landing("E1", curtain(1000.0, 2000.0, 10.0, 30.0), onto="P9", source="top"),
        Landing("E1", curtain(1000.0, 2000.0, 7.0, 7.0, wall=True, plane="W1")),
    ]  # fmt: skip
    two.water = [
        Landing("E2", replace(curtain(0.0, 0.0, 60.0, 60.0, via="V1"), a=on(5000.0), b=on(5000.0))),
        Landing(
            "E2",
            replace(curtain(0.0, 0.0, 5.0, 5.0, via="V2"), a=on(5000.0, -500.0), b=on(5000.0, -500.0), pitch_deg=35.0),
            "P8",
            "top",
        ),
    ]
    feet = (
        ValleyFoot("V1", on(5000.0), pytest.approx(5000.0), 100.0),
        ValleyFoot("V2", on(5000.0, -500.0), pytest.approx(5500.0), 5.0),
    )
    received = (
        Received("top", "", "P9", pytest.approx(1500.0), 20.0, ""), Received("top", "", "P8", pytest.approx(5500.0), 5.0, "V2"),
    )  # fmt: skip
    assert (_valleys([one, two]), _received([one, two])) == (feet, received)
    leg = _leg(one)
    assert [flow.area_mm2 for flow in leg.inflows] == [200.0, 20.0, 40.0]
    assert [flow.plane for flow in leg.off_walls] == ["W1"]
    assert (leg.plan_catchment_mm2, leg.length_mm, leg.edge, leg.outline_edges) == (
        260.0,
        pytest.approx(5000.0),
        "E1",
        (1,),
    )
    run = _run("SP7", SimpleNamespace(name="main"), [one, two], False)  # type: ignore[arg-type]
    assert run == GutterRun(
        "SP7",
        "main",
        (leg, _leg(two)),
        (GutterCorner("external", pytest.approx(90.0), on(5000.0)),),
        False,
        325.0,
        35.0,
        False,
        feet,
        received,
    )


def test_a_ring_begins_at_a_corner() -> None:
    square = [on(0.0), on(2000.0), on(5000.0), on(5000.0, -3000.0), on(0.0, -3000.0)]
    ring = [
        replace_ends(piece(), a, b, f"n{k}", f"n{k + 1}", f"E{k}")
        for k, (a, b) in enumerate(zip(square, [*square[1:], square[0]], strict=True))
    ]
    run = _run("SP1", SimpleNamespace(name="main"), [*ring[1:], ring[0]], True)  # type: ignore[arg-type]
    assert [leg.edge for leg in run.legs] == ["E2", "E3", "E4", "E0", "E1"]
    assert [corner.at_mm for corner in run.corners] == [square[3], square[4], square[0], square[2]]


def test_water_of_a_spreader_is_added_to_its_leg() -> None:
    legs = (
        GutterLeg("E1", (1,), on(0.0), on(3000.0), 3000.0, 50.0),
        GutterLeg("E2", (2,), on(3000.0), on(5000.0), 2000.0, 70.0, (Inflow(1500.0, 1600.0, 70.0, 70.0),)),
    )
    run = GutterRun("SP1", "low", legs, (), False, 120.0, 15.0)
    spout = Spout("DP1", "top", on(9.0), 30.0, 25.0, "P1", 12.0)
    water = Landing("E2", replace(curtain(3400.0, 3400.0, 30.0, 30.0), via="V1"), onto="P5")
    flow = Inflow(pytest.approx(400.0), pytest.approx(400.0), 30.0, 30.0, "P1", 12.0)
    fed = spreading._with(run, "low", spout, water)
    assert fed == replace(
        run, legs=(legs[0], replace(legs[1], plan_catchment_mm2=100.0, inflows=(flow, legs[1].inflows[0]))), plan_catchment_mm2=150.0, pitch_deg=20.0,
        valleys=(ValleyFoot("V1", on(3400.0), pytest.approx(3400.0), 30.0),), received=(Received("top", "DP1", "P5", pytest.approx(3400.0), 30.0, "V1", "E2"),),
    )  # fmt: skip
    more = spreading._with(fed, "low", spout, water)
    assert [one.plan_catchment_mm2 for one in (*more.received, *more.valleys)] == [60.0, 60.0]
    assert spreading._with(run, "other", spout, water) == run
    assert spreading._with(run, "low", spout, replace(water, edge="E9")) == run
    for s, on_it in ((2999.6, True), (2999.4, False), (5000.4, True), (5000.6, False)):
        moved = replace(water, curtain=replace(water.curtain, a=on(s), b=on(s)))
        assert (spreading._with(run, "low", spout, moved) != run) is on_it
    walled = spreading._with(run, "low", replace(spout, wall=True), water)
    assert walled == replace(run, legs=(legs[0], replace(legs[1], off_walls=(flow,))))


def test_what_one_pipe_brings_to_one_place_is_one() -> None:
    known = (
        Received("top", "DP1", "P5", 400.0, 30.0, "V1", "E2"),
        Received("top", "DP2", "P5", 400.0, 8.0, "V1", "E2"),
    )
    near, far = (
        replace(known[0], along_mm=400.9, plan_catchment_mm2=5.0),
        replace(known[0], along_mm=401.0, plan_catchment_mm2=5.0),
    )
    assert spreading._joined(known, near) == (replace(known[0], plan_catchment_mm2=35.0), known[1])
    assert spreading._joined(known, replace(known[1], plan_catchment_mm2=2.0)) == (
        known[0],
        replace(known[1], plan_catchment_mm2=10.0),
    )
    assert spreading._joined(known, far) == (*known, far)
    for other in ({"pipe": "DP3"}, {"plane": "P6"}, {"via": ""}, {"edge": "E3"}):
        assert spreading._joined(known, replace(known[0], **other)) == (*known, replace(known[0], **other))


def test_feet_of_valleys_stand_in_their_order() -> None:
    feet = (ValleyFoot("V1", on(100.0), 100.0, 10.0), ValleyFoot("V2", on(900.0), 900.0, 20.0))
    brought = Landing("E1", replace(curtain(500.0, 500.0, 6.0, 6.0), via="V3"))
    assert spreading._valleys(feet, 500.0, brought) == (feet[0], ValleyFoot("V3", on(500.0), 500.0, 6.0), feet[1])
    again = Landing("E1", replace(curtain(500.0, 500.0, 6.0, 6.0), via="V1"))
    assert spreading._valleys(feet, 500.0, again) == (replace(feet[0], plan_catchment_mm2=16.0), feet[1])
    assert spreading._valleys(feet, 500.0, Landing("E1", curtain(0.0, 1.0))) == feet
