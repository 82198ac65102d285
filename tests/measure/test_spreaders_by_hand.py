"""Spreaders over a lower roof: where an outlet hangs, what lies under it, parts and every sentence, by hand.

A valley that takes a spreader's water is at least 250 mm wide: a building research magazine, no. 153, p. 38-39.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import hypot, inf
from pathlib import Path

import pytest

from takeoff.measure.rainwater.chosen import Chosen, HoleBelow
from takeoff.measure.rainwater.spreaders import (
    _looked_at,
    _off_verges_mm,
    _onto_roof,
    _under_box,
    bends_on,
    hangs_free,
    may_lie_below,
    onto_lower_roofs,
    outlet_mm,
    segment_off,
    spouts_of,
    spreader_findings,
    spreader_parts,
    stands_clear,
)
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import GutterCorner, GutterLeg, PlaneShare, Received
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.shape.water.falling import Under
from takeoff.shape.water.spreading import Spout

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import chosen, pipe, plan, run

Build = Callable[..., Roof]


@pytest.fixture
def made(settings: Settings) -> Chosen:
    """The sole 130 mm below the eave, 100 mm of room for a spreader, 300 mm clear of verges and holes, 1200 mm of free
    drop; the gutter is 125 wide."""
    return chosen(settings)


@pytest.fixture
def lower(build_roof: Build) -> Roof:
    """A lean-to that begins 400 mm over the plan's origin in front of y = 1000 and falls 1 in 10 to the south: 6 m along
    x from 1000 on, 3 m deep, its lower edge at 1000 and its top at 1300; verges left and right."""
    a, b, c, d = (
        (1000.0, -2000.0, 1000.0),
        (7000.0, -2000.0, 1000.0),
        (7000.0, 1000.0, 1300.0),
        (1000.0, 1000.0, 1300.0),
    )
    edges = [
        (EdgeKind.EAVE, a, b, ("L1",), 1),
        (EdgeKind.VERGE, b, c, ("L1",), 2),
        (EdgeKind.APRON_HEAD, d, c, ("L1",), 3),
        (EdgeKind.VERGE, a, d, ("L1",), 4),
    ]
    roof = build_roof({"L1": (a, b, c, d)}, edges)
    return replace(roof, name="lean-to", planes=tuple(replace(plane, roof="lean-to") for plane in roof.planes))


@pytest.fixture
def upper(lower: Roof) -> Roof:
    """The roof of the run: only its name and its origin matter here."""
    return replace(lower, name="main", origin_mm=(1100.0, 5200.0, 0.0), planes=(), edges=())


def test_where_an_outlet_hangs(made: Chosen, upper: Roof) -> None:
    """Half a gutter, 62.5 mm, out from the fascia: south of a leg to the east, east of a leg to the north, 0.6 and 0.8 of
    it for a leg that runs 4 to 3; the roof's origin is added."""
    legs = (
        GutterLeg("E1", (1,), (0.0, 0.0, 2400.0), (8000.0, 0.0, 2400.0), 8000.0, 0.0),
        GutterLeg("E2", (2,), (8000.0, 0.0, 2400.0), (8000.0, 5000.0, 2400.0), 5000.0, 0.0),
    )
    bent = run(legs=legs, corners=(GutterCorner("external", 90.0, (8000.0, 0.0, 2400.0)),))
    assert outlet_mm(2000.0, bent, (upper,), made) == (3100.0, 5137.5, 2400.0)
    assert outlet_mm(9000.0, bent, (upper,), made) == (9162.5, 6200.0, 2400.0)
    assert outlet_mm(9000.0, bent, (), made) == (8062.5, 1000.0, 2400.0)
    slant = run(legs=(GutterLeg("E1", (1,), (70.0, 90.0, 2400.0), (4070.0, 3090.0, 2400.0), 5000.0, 0.0),))
    assert outlet_mm(1000.0, slant, (), made) == pytest.approx((870 + 62.5 * 0.6, 690 - 62.5 * 0.8, 2400.0))


OFF = [
    ((3.0, 4.0), (0.0, 0.0), (10.0, 0.0), 4.0),
    ((-3.0, 4.0), (0.0, 0.0), (10.0, 0.0), 5.0),
    ((13.0, -4.0), (0.0, 0.0), (10.0, 0.0), 5.0),
    ((1.0, 9.0), (1.0, 2.0), (1.0, 5.0), 4.0),
    ((0.0, 5.0), (2.0, 1.0), (6.0, 4.0), 4.4),  # (-2, 4) across (0.8, 0.6): 1.2 + 3.2
    ((1.0, 0.0), (2.0, 1.0), (6.0, 4.0), hypot(1.0, 1.0)),
    ((1.0, 8.5), (2.0, 1.0), (8.0, 9.0), 5.3),  # (-1, 7.5) x (0.6, 0.8) = -0.8 - 4.5
    ((4.0, 5.0), (1.0, 1.0), (1.0, 1.0), 5.0),
]


@pytest.mark.parametrize(("point", "a", "b", "wanted"), OFF)
def test_how_far_a_point_lies_from_a_stretch(
    point: tuple[float, float], a: tuple[float, float], b: tuple[float, float], wanted: float
) -> None:
    assert segment_off(point, a, b) == pytest.approx(wanted)
    assert segment_off(point, b, a) == pytest.approx(wanted)


def test_an_outlet_well_in_from_verges_and_clear_of_holes(made: Chosen, lower: Roof) -> None:
    """The outlets of a run along y = 0 hang at y = -62.5, over 1193.75 of the lean-to: 130 and 100 mm over it are 1423.75.
    Verges at 1000 and 7000: 300 clear. A hole of 200 round 4000, 337.5: 500 from its middle."""

    def clear(along: float, height: float, holes: tuple[HoleBelow, ...] = ()) -> bool:
        leg = GutterLeg("E1", (1,), (0.0, 0.0, height), (9000.0, 0.0, height), 9000.0, 0.0)
        return stands_clear(along, run(legs=(leg,)), (lower,), replace(made, holes=holes))

    assert [clear(4000.0, height) for height in (1423.76, 1423.74, 1250.0)] == [True, False, False]
    assert [clear(along, 2000.0) for along in (900.0, 1299.9, 1300.1, 6699.9, 6700.1, 7100.0)] == [
        True, False, True, True, False, True,
    ]  # fmt: skip
    assert clear(4000.0, 2000.0, (HoleBelow((4000.0, 437.5), 200.0),))
    hole = (HoleBelow((4000.0, 337.5), 200.0),)
    assert [clear(along, 2000.0, hole) for along in (3699.9, 3700.1, 4299.9, 4300.1)] == [True, False, False, True]


def test_how_far_in_from_verges(lower: Roof) -> None:
    (plane,) = lower.planes
    moved = replace(lower, origin_mm=(50.0, 70.0, 0.0))
    assert _off_verges_mm((1500.0, 0.0, 0.0), Under(lower, plane, 0.0)) == 500.0
    assert _off_verges_mm((1500.0, 0.0, 0.0), Under(moved, plane, 0.0)) == 450.0
    assert _off_verges_mm((1050.0, 1870.0, 0.0), Under(moved, plane, 0.0)) == 800.0
    bare = replace(lower, edges=lower.edges[:1])
    assert _off_verges_mm((1500.0, 0.0, 0.0), Under(bare, plane, 0.0)) == inf


def test_planes_that_may_lie_under_a_gutter(lower: Roof) -> None:
    """The plane lies from 1000 to 7000 and from -2000 to 1000, 1000 high at its lowest: below a gutter 1 mm over that, in
    a box with 60 mm round it. Its roof's origin is added."""
    (plane,) = lower.planes
    rows = [
        ((1000.0, -2000.0, 7000.0, 1000.0), 1001.0, True),
        ((1000.0, -2000.0, 7000.0, 1000.0), 1000.9, False),
        ((0.0, 0.0, 940.1, 500.0), 2000.0, True),
        ((0.0, 0.0, 940.0, 500.0), 2000.0, False),
        ((7059.9, 0.0, 9000.0, 500.0), 2000.0, True),
        ((7060.0, 0.0, 9000.0, 500.0), 2000.0, False),
        ((2000.0, -9000.0, 3000.0, -2059.9), 2000.0, True),
        ((2000.0, -9000.0, 3000.0, -2060.0), 2000.0, False),
        ((2000.0, 1059.9, 3000.0, 9000.0), 2000.0, True),
        ((2000.0, 1060.0, 3000.0, 9000.0), 2000.0, False),
    ]
    for box, top, wanted in rows:
        assert _under_box(plane, lower, box, 60.0, top) is wanted, box
        moved = (box[0] + 300.0, box[1] - 500.0, box[2] + 300.0, box[3] - 500.0)
        assert _under_box(plane, replace(lower, origin_mm=(300.0, -500.0, 0.0)), moved, 60.0, top) is wanted, box


def test_roofs_that_may_lie_below_a_run(made: Chosen, lower: Roof, upper: Roof) -> None:
    """Along y = -5000 at 2400, counted from the origin 1100, 5200: the outlets at y = 137.5 are over the lean-to from 1000
    to 7000. A run that is past it, one below it, or one whose roof is not there has none."""

    def below(x: float, height: float = 2400.0, name: str = "main", long: float = 3000.0) -> tuple[str, ...]:
        x -= 1000.0
        leg = GutterLeg("E1", (1,), (x, -5000.0, height), (x + long, -5000.0, height), long, 0.0)
        found = may_lie_below(run(legs=(leg,), roof=name), (lower, upper), made)
        return tuple(roof.name for roof in found)

    assert below(2000.0) == ("main", "lean-to")
    assert (below(-2050.0), below(-2150.0)) == (("main", "lean-to"), ())
    assert (below(6850.0), below(6950.0)) == (("main", "lean-to"), ())
    assert (below(2000.0, 900.0), below(2000.0, name="other")) == ((), ())
    # in the box of the plan, but not under the outlets: 1200 in front of the run's own origin all is ground
    aside = replace(upper, origin_mm=(100.0, 1062.0 + 62.5, 0.0))
    leg = GutterLeg("E1", (1,), (2000.0, 0.0, 2400.0), (5000.0, 0.0, 2400.0), 3000.0, 0.0)
    assert may_lie_below(run(legs=(leg,)), (lower, aside), made) == ()
    # 3 m from -900 on are over the lean-to's west end; one 100 mm beyond their east end is in no box
    east = replace(lower, name="east", origin_mm=(1200.0, 0.0, 0.0))
    west = GutterLeg("E1", (1,), (-2000.0, -5000.0, 2400.0), (1000.0, -5000.0, 2400.0), 3000.0, 0.0)
    assert [roof.name for roof in may_lie_below(run(legs=(west,)), (lower, east, upper), made)] == ["main", "lean-to"]
    near = replace(upper, origin_mm=(100.0, 1050.0, 0.0))  # a run 50 behind the lean-to, its outlets 12.5 over it
    assert may_lie_below(run(legs=(leg,)), (lower, near), made) == (near, lower)
    # two roofs of which the run's own lies below as well: each once
    own = replace(lower, name="main")
    assert may_lie_below(run(legs=(leg,)), (own, lower), made) == (own, lower)


def test_places_looked_at_along_a_run() -> None:
    """Every 250 mm or a little more, both ends; two at least."""
    assert _looked_at(run(100.0)) == [0.0, 100.0]
    assert _looked_at(run(600.0)) == [0.0, 300.0, 600.0]
    assert _looked_at(run(500.0)) == [0.0, 250.0, 500.0]
    assert _looked_at(run(499.0)) == [0.0, 499.0]
    assert len(_looked_at(run(9000.0))) == 37


def test_pipes_that_stand_over_a_lower_roof(made: Chosen, lower: Roof) -> None:
    """The outlet at 2000 hangs 2400 - 1193.75 over the plane; one at 500 over the ground; those of an internal gutter
    are left as they are. A spout brings each plane's share of a pipe over a roof."""
    shares = (PlaneShare("P1", 30e6, 25.0), PlaneShare("W1", 4e6, 90.0, wall=True))
    high = pipe("DP1", along_mm=2000.0, shares=shares)
    off = pipe("DP2", along_mm=500.0)
    gutter, inside = run(9000.0, pitch=35.0), run(9000.0, id="G2", internal=True)
    plans = (plan(high, off), replace(plan(replace(high, id="DP3", run="G2")), run="G2"))
    first, second = onto_lower_roofs(plans, (gutter, inside), (lower,), made)
    assert [(p.onto, p.height_mm) for p in first.pipes] == [("L1", pytest.approx(1206.25)), ("", 2700.0)]
    assert second == plans[1]
    at = (2000.0, -62.5, 2400.0)
    assert spouts_of((first, second), (gutter, inside), (lower,), made) == (
        Spout("DP1", "main", at, 30e6, 35.0, "P1", 25.0),
        Spout("DP1", "main", at, 4e6, 35.0, "W1", 90.0, True),
    )


def test_pipes_that_drop_straight_and_their_bends(made: Chosen) -> None:
    """1200 mm of pipe below the sole, 130 below the eave, drop straight: one bend, into the spreader; a longer one goes
    to the wall by two more. A pipe to the ground has two."""
    rows = [("L1", 1330.0, True, 1), ("L1", 1330.1, False, 3), ("", 1000.0, False, 2)]
    for onto, height, free, bends in rows:
        one = pipe(onto=onto, height_mm=height)
        assert (hangs_free(one, made), bends_on(one, made)) == (free, bends)


def test_a_spreader_for_each_pipe_over_a_roof(made: Chosen) -> None:
    over = (pipe("DP1", onto="L1"), pipe("DP2"), pipe("DP3", onto="L1"))
    rule = "one a downpipe that ends over a lower roof"
    assert spreader_parts(over, made) == (
        Quantity(
            "downpipe spreaders", "Downpipe spreader, round 80", 2.0, "each", ("DP1", "DP3"),
            Working(rule, (Term("downpipes over a lower roof", 2, "each"),)),
        ),
    )  # fmt: skip
    assert spreader_parts((pipe(),), made) == ()


LEAD = (
    "To lead the water to the ground instead, place downpipes by hand where no roof lies below,"
    " or order pipe down past the lower roof by hand."
)


def test_what_is_said_of_pipes_over_a_roof(made: Chosen, lower: Roof) -> None:
    """40 and 25.5 m2 on to the lean-to, 65 of them to its gutter with 1 from elsewhere and 0.5 to the next, by valley V1; one with 229 mm of room
    where 130 and 100 are asked."""
    one, two = pipe("DP1", 40e6, onto="L1"), pipe("DP2", 25.5e6, onto="L1", height_mm=229.9)
    taking = run(
        id="G2",
        received=(
            Received("main", "DP1", "L1", 0.0, 40e6, "V1"), Received("main", "DP2", "L1", 0.0, 25e6, "V1"),
            Received("main", "DP1", "L1", 0.0, 1e6, "V1"), Received("main", "", "L1", 0.0, 9e6, "V2"),
            Received("main", "DP9", "L9", 0.0, 3e6),
        ),
    )  # fmt: skip
    next_ = run(id="G3", received=(Received("main", "DP2", "L1", 0.0, 0.5e6),))
    at = (1000.0, 0.0, 2400.0)
    found = spreader_findings((plan(one, two, pipe("DP3")),), (run(), taking, next_), (lower,), made)
    source = made.settings.basis("valley_for_spreader_mm").words()
    assert "no. 153 p. 38-39" in source
    assert found == (
        Finding(
            "downpipe-onto-roof", Severity.WARN,
            "DP1, DP2 end over roof lean-to: ordered short, with spreaders on to it. The 65.50 m2 that they drain runs on"
            " over that roof, which takes it to G2 66.00 m2 and G3 0.50 m2.",
            LEAD, ("DP1", "DP2"), at,
        ),
        Finding(
            "no-room-for-spreader", Severity.WARN,
            "There is no room for a spreader at DP2: the roof below is within 230 mm of the eave.",
            "Move the outlet along the gutter, away from where the roofs come together.", ("DP2",),
        ),
        Finding(
            "valley-takes-spreader", Severity.WARN,
            "Valley V1 takes the water of DP1, DP2: it must be at least 250 mm wide, and no spreader may end in it.",
            "Check the valley's tray, and set the spreader well clear of the valley.", ("V1", "DP1", "DP2"), source=source,
        ),
    )  # fmt: skip
    exact = replace(two, height_mm=230.0)
    assert spreader_findings((plan(exact),), (run(),), (lower,), made) == (
        Finding(
            "downpipe-onto-roof", Severity.WARN,
            "DP2 ends over roof lean-to: ordered short, with a spreader on to it. The 25.50 m2 that it drains runs on over"
            " that roof, from where it reaches no gutter.",
            LEAD, ("DP2",), at,
        ),
    )  # fmt: skip
    assert spreader_findings((plan(pipe()),), (run(),), (lower,), made) == ()


def test_a_plane_with_a_hole_and_pipes_apart(lower: Roof) -> None:
    """A plane lies under a gutter by its border, whatever is cut out of it; of several pipes the first is pointed at."""
    (plane,) = lower.planes
    hole = ((2000.0, 500.0), (2000.0, 900.0), (2300.0, 900.0), (2300.0, 500.0))
    for box, wanted in (((4000.0, -1000.0, 5000.0, 0.0), True), ((7100.0, 0.0, 9000.0, 500.0), False)):
        holed = replace(plane, rings_uv=(plane.rings_uv[0], hole))
        assert _under_box(holed, lower, box, 60.0, 2000.0) is wanted
        assert _under_box(plane, lower, box, 60.0, 2000.0) is wanted
    one, two = pipe("DP1", onto="L1", at_mm=(5.0, 6.0, 7.0)), pipe("DP2", onto="L1", at_mm=(8.0, 9.0, 7.0))
    assert _onto_roof("lean-to", (one, two), ()).at_mm == (5.0, 6.0, 7.0)
