"""Where pipes may stand on a run of 8 m and 5 m round an inside corner, place by place: pipes 150 from an end, 600 from an
inside corner, at halves and thirds of walls longer than half the spacing of 12 m (settings)."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from takeoff.measure.rainwater.limits import CAPACITY, INSIDE, OPENING, SECTION, Limits
from takeoff.measure.rainwater.pipe_search import place_pipes
from takeoff.measure.rainwater.placing import (
    KEEP_OUTS,
    ROOM,
    STANDING,
    Breach,
    PipeGround,
    _faces_deg,
    _places,
    _ring_start,
    _whole,
)
from takeoff.measure.rainwater.stretches import End, Stretch, WallBelow, stretches, wall_below
from takeoff.model.drainage import GutterCorner, GutterLeg, GutterRun, Inflow, ValleyFoot
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

A, B, C = (0.0, 0.0, 2400.0), (8000.0, 0.0, 2400.0), (8000.0, 5000.0, 2400.0)
LEGS = (
    GutterLeg("E1", (1,), A, B, 8000.0, 20e6, (Inflow(0, 8000, 20e6, 20e6, "P1", 20.0),)),
    GutterLeg("E2", (2,), B, C, 5000.0, 5e6, (Inflow(0, 5000, 5e6, 5e6, "P2", 45.0),)),
)
RUN = GutterRun(
    "G1", "main", LEGS, (GutterCorner("internal", 90.0, B),), False, 25e6, 45.0, valleys=(ValleyFoot("V1", B, 8000.0, 6e6),)
)  # fmt: skip
FREE = Limits(0.0, 1e9, 1e9, 1e15, 1e9, 600.0)
MARKS = [8000 / 3, 3250.0, 4000.0, 16_000 / 3, 9750.0]  # thirds and half of 8 m; a quarter and three quarters of 13 m


def ground(settings: Settings, run: GutterRun = RUN, **more: object) -> PipeGround:
    return PipeGround(run, stretches(run), None, settings, 2, **more)  # type: ignore[arg-type]


def places(made: PipeGround, limits: Limits = FREE, *skip: str) -> list[float]:
    return [float(place) for place in made.field(limits, skip).places_mm]


def expected(low: float, high: float, *more: float, but: Callable[[float], bool] = lambda _: False) -> list[float]:
    """Every 100 mm from one place to another and more, but some."""
    grid = {100.0 * n for n in range(131) if low <= 100.0 * n <= high}
    return sorted(place for place in {*grid, *more} if not but(place))


def corner(clear: float) -> Callable[[float], bool]:
    return lambda place: abs(place - 8000.0) < clear


def test_without_any_keep_out_no_place_is_left_out(settings: Settings) -> None:
    """A run 0.4 mm longer than 13 m: with some keep-outs its last place is at 12 850.4."""
    longer = replace(RUN, legs=(LEGS[0], replace(LEGS[1], length_mm=5000.4)))
    made = ground(settings, longer)
    everywhere = places(made, FREE, *KEEP_OUTS)
    assert {0.0, 7500.0, 8000.0, 13_000.0, 12_850.4} <= {round(place, 6) for place in everywhere}
    for skip in ((), (STANDING,), (INSIDE,), (OPENING, ROOM)):
        assert set(places(made, FREE, *skip)) <= set(everywhere)


def test_places_every_100_mm_and_at_every_mark(settings: Settings) -> None:
    """From 150 to 7400 and from 8600 to 12 850. With 650 clear of the corner those at 600 go and two at 650 come; a foot
    over 5.9 m2 brings places 930 to either side of it, one of 6 m2 beside 6 m2 does not."""
    made = ground(settings)
    ends = (150.0, 12_850.0)
    assert places(made) == pytest.approx(expected(150, 12_850, *ends, *MARKS, but=corner(599.5)))
    more = replace(FREE, clear_mm=650.0, valley_from_mm2=5.9e6, valley_within_mm=930.0)
    wanted = expected(150, 12_850, *ends, *MARKS, 7350.0, 8650.0, 7070.0, 8930.0, but=corner(649.5))
    assert places(made, more) == pytest.approx(wanted)
    heavy = replace(FREE, valley_from_mm2=6e6, valley_within_mm=930.0)
    assert places(made, heavy) == places(made)
    field = made.field(more)
    assert (field.feet_mm.tolist(), field.inside_mm.tolist(), field.fixed_mm.tolist()) == ([8000.0], [8000.0], [])
    assert (field.start_mm, field.curves) == (0.0, made.curves)


def test_keep_outs_that_are_not_held_to(settings: Settings) -> None:
    """Without solid wall from end to end, without the corner all of it, a foot's place too."""
    made = ground(settings)
    ends = (150.0, 12_850.0)
    assert places(made, FREE, STANDING) == pytest.approx(expected(0, 13_000, *ends, *MARKS, but=corner(599.5)))
    assert places(made, FREE, STANDING, INSIDE) == pytest.approx(expected(0, 13_000, *ends, *MARKS))
    foot = replace(FREE, valley_from_mm2=5.9e6, valley_within_mm=930.0)
    beside = ground(settings, replace(RUN, valleys=(ValleyFoot("V1", B, 8010.0, 6e6),)))
    assert 8010.0 in places(beside, foot, STANDING, INSIDE)
    near = ground(settings, has_room=lambda along: 3000.0 < along < 3300.0)
    assert places(near) == [3100.0, 3200.0, 3250.0]
    # marks without room are none even where no room is asked
    assert places(near, FREE, ROOM) == pytest.approx(expected(150, 12_850, *ends, 3250.0, but=corner(599.5)))


def test_places_over_windows(settings: Settings) -> None:
    """Their sides may take a pipe."""
    made = ground(settings)
    made.blocked = ((3010.0, 3990.0),)
    wanted = expected(
        150, 12_850, 150.0, 12_850.0, *MARKS, 3010.0, 3990.0, but=lambda at: corner(599.5)(at) or 3010 < at < 3990
    )
    assert places(made) == pytest.approx(wanted)
    both = expected(150, 12_850, 150.0, 12_850.0, *MARKS, 3010.0, 3990.0, but=corner(599.5))
    assert places(made, FREE, OPENING) == pytest.approx(both)
    assert [made.before_opening(at) for at in (3010.0, 3010.1, 3989.9, 3990.0)] == [False, True, True, False]


def test_places_that_stand_by_hand(settings: Settings) -> None:
    """Wherever they are; of two within a thousandth of a millimetre theirs is kept, of two others the first."""
    for at in (3000.0005, 2999.9995):
        found = places(ground(settings, fixed=(at, 50.0)))
        assert found[0] == 50.0
        assert [place for place in found if 2950.0 < place < 3050.0] == [at]
    apart = places(ground(settings, fixed=(3000.002,)))
    assert [place for place in apart if 2950.0 < place < 3050.0] == [3000.0, 3000.002]
    made = ground(settings)
    made.spare = [4000.0009, 6000.0011]
    found = places(made)
    assert [place for place in found if 3990.0 < place < 4010.0 or 5990.0 < place < 6010.0] == [
        4000.0,
        6000.0,
        6000.0011,
    ]
    assert ground(settings, fixed=(9000.0, 400.0)).fixed == (400.0, 9000.0)


def test_where_a_pipe_may_stand_to_the_last(settings: Settings) -> None:
    """A thousandth beyond the range of its wall, half a millimetre nearer to the corner, just beside a window."""
    made = ground(settings)
    made.blocked = ((3000.0, 3500.0),)

    def may(*at: float, by: PipeGround = made, skip: frozenset[str] = frozenset()) -> list[bool]:
        return [bool(each) for each in by._may_stand(np.array(at), FREE, skip)]

    assert may(149.9991, 149.9989, 12_850.0009, 12_850.0011) == [True, False, True, False]
    assert may(3000.0, 3000.1, 3499.9, 3500.0) == [True, False, False, True]
    assert may(7400.5, 7400.6, 8599.5, 8599.4, skip=frozenset({STANDING})) == [True, False, True, False]
    ring = ground(settings, replace(RUN, ring=True))
    ring.inside = [12_800.0]
    assert may(399.5, 399.4, 12_200.5, 12_200.6, by=ring, skip=frozenset({STANDING})) == [True, False, True, False]


def test_a_run_without_a_place(settings: Settings) -> None:
    """Its pipes are spread evenly, and stand where they do."""
    made = ground(settings, has_room=lambda _: False)
    assert (made.nowhere, made.good, made.other, made.spare) == (True, [], [], [3250.0, 9750.0])
    assert places(made) == [3250.0, 9750.0]
    assert ground(settings, has_room=lambda at: at == 5000.0).nowhere is False  # one of the grid
    assert ground(settings, has_room=lambda at: at == 13_000.0).nowhere is True


def test_a_ring_starts_at_the_corner_that_reads_highest(settings: Settings, hip_roof: Callable[..., Roof]) -> None:
    """The longer stretch; of equally long ones that with more water, then that left of which the corner is internal; of
    alike ones that whose roof faces the greater bearing. Places go on round from there."""
    turned = replace(
        RUN, ring=True, legs=LEGS[::-1], corners=(GutterCorner("internal", 90.0, C), GutterCorner("external", 90.0, A))
    )
    legs = (replace(LEGS[1], a_mm=A, b_mm=C), replace(LEGS[0], a_mm=C, b_mm=A))
    turned = replace(turned, legs=legs)
    assert _ring_start(turned, stretches(turned), None) == 5000.0
    assert _ring_start(replace(turned, ring=False), stretches(turned), None) == 0.0
    made = ground(settings, turned)
    assert made.start_mm == 5000.0
    assert sorted(made.even) == [1750.0, 8250.0]  # 5000 and a quarter, 5000 and three quarters of 13 m
    odd = ground(settings, replace(turned, legs=(replace(legs[0], length_mm=5033.0), legs[1])))
    assert (odd.start_mm, {5733.0, 200.0} <= set(places(odd)), 5700.0 in places(odd)) == (5033.0, True, False)
    square = [(0.0, 0.0, 0.0), (8000.0, 0.0, 0.0), (8000.0, 8000.0, 0.0), (0.0, 8000.0, 0.0)]

    def ring(waters: Sequence[float], kinds: Sequence[str], lengths: Sequence[float] = (8000.0,) * 4) -> float:
        sides = zip(square, [*square[1:], square[0]], waters, lengths, strict=True)
        legs = tuple(
            GutterLeg(f"E{n}", (n,), a, b, long, water, (Inflow(0, long, water, water, f"P{n}", 25.0),))
            for n, (a, b, water, long) in enumerate(sides, start=1)
        )
        corners = tuple(GutterCorner(kind, 90.0, at) for kind, at in zip(kinds, square, strict=True))
        run = GutterRun("G1", "main", legs, corners, True, sum(waters), 25.0)
        return _ring_start(run, stretches(run), hip_roof(8000.0, 8000.0))

    out = ("external",) * 4
    assert ring((5e6, 7e6, 6e6, 5e6), out) == 8000.0
    assert ring((5e6,) * 4, out, (8000.0, 8000.0, 8001.0, 8000.0)) == 16_000.0
    assert ring((5e6,) * 4, ("external", "external", "internal", "external")) == 16_000.0
    # alike to a hundredth of a square metre: south 180, east 90, north 0, west 270 degrees
    assert ring((5e6,) * 4, out) == 24_000.0
    assert ring((5e6, 5.0045e6, 5e6, 5e6), out) == 24_000.0
    assert ring((5e6, 5.0065e6, 5e6, 5e6), out) == 8000.0


def test_three_pipes_on_a_ring(settings: Settings) -> None:
    """At 1, 4 and 10 m of 13: water parts at 2.5, 7 and half way from 10 to 14 m; 2.5 m2 a metre of 8 m, 1 m2 of 5 m."""
    made = ground(settings, replace(RUN, ring=True))
    assert made.gaps((1000.0, 4000.0, 10_000.0)) == [3000.0, 6000.0, 4000.0]
    shares = made.shares((1000.0, 4000.0, 10_000.0))
    assert [share.length_mm for share in shares] == [3500.0, 4500.0, 5000.0]
    assert [share.area_mm2 for share in shares] == pytest.approx([7.25e6, 11.25e6, 6.5e6])
    by_plane = made.plane_shares((1000.0, 4000.0, 10_000.0))
    found = [[(share.plane, round(share.area_mm2)) for share in own] for own in by_plane]
    assert found == [
        [("P1", 6_250_000), ("P2", 1_000_000)],
        [("P1", 11_250_000)],
        [("P1", 2_500_000), ("P2", 4_000_000)],
    ]


def test_two_valleys_beside_an_inside_corner_have_a_pipe_each(settings: Settings) -> None:
    """Feet at 7 and 9 m with a pipe within 450 of each, 600 clear of the corner at 8 m: 6550 to 7400 and 8600 to 9450. They
    stand nearer than 3 m with the corner between them whatever one does."""
    feet = (ValleyFoot("V1", B, 7000.0, 6e6), ValleyFoot("V2", B, 9000.0, 6e6))
    limits = replace(FREE, valley_from_mm2=5e6, valley_within_mm=450.0)
    placed = place_pipes(ground(settings, replace(RUN, valleys=feet)), limits, 3000.0, 0)
    first, second = placed.places
    assert 6550.0 <= first <= 7400.0
    assert 8600.0 <= second <= 9450.0
    assert (placed.breaches, placed.fewest, placed.excess) == ((), 2, 0.0)


def test_limits_that_are_kept_to_a_billionth(settings: Settings) -> None:
    """One pipe takes all 25 m2, as its own capacity and as the gutter's section count them; over a window it stands wrong."""
    made = ground(settings)
    for name, field in ((CAPACITY, "capacity_mm2"), (SECTION, "section_mm2")):
        for off, broken in ((0.9e-9, []), (1.5e-9, [Breach(name, 0, 25e6)])):
            limits = replace(FREE, **{field: 25e6 * (1.0 - off)})  # type: ignore[arg-type]
            assert made.breaches((4000.0,), limits) == broken
    made.blocked = ((3900.0, 4100.0),)
    assert made.breaches((4000.0,), FREE) == [Breach(OPENING, 0, 0.0)]


def test_the_bearing_that_a_stretch_faces(hip_roof: Callable[..., Roof]) -> None:
    roof = hip_roof()
    part = Stretch("S", 0.0, 1.0, A, B, End("external", 90.0), End("external", 90.0), ("E2", "E1"), (2,))
    assert _faces_deg(part, roof) == 90
    assert _faces_deg(part, None) == 0
    assert _faces_deg(replace(part, edges=("E99",)), roof) == 0
    ridge = next(edge for edge in roof.edges if edge.kind is EdgeKind.RIDGE)
    assert _faces_deg(replace(part, edges=(ridge.id,)), roof) == 0  # of P3, which faces north
    turned = replace(roof, planes=tuple(replace(plane, bearing_deg=359.7) for plane in roof.planes))
    assert _faces_deg(part, turned) == 0
    assert [_whole(figure) for figure in (1.62, 1.64, -0.38, -0.36)] == [1, 2, -1, 0]


def test_places_on_one_stretch(settings: Settings) -> None:
    """Ends, corners, halves and thirds, a third of what is over twice the spacing and a quarter too; none beyond the wall."""
    out, into, stop = End("external", 90.0), End("internal", 90.0), End("stop end")

    def of(
        length: float, left: End = out, right: End = stop, wall: WallBelow | None = None, start: float = 1000.0
    ) -> tuple[object, ...]:
        part = Stretch("S", start, length, A, B, left, right, ("E1",), (1,))
        found = _places(part, wall, settings)
        return found.good, found.other, tuple(sorted(found.spare)), found.low, found.high

    thirds = pytest.approx((1000 + 8000 / 3, 5000.0, 1000 + 16_000 / 3))
    assert of(8000.0) == ((1150.0, 8850.0), (), thirds, 1150.0, 8850.0)
    assert of(8000.0, into, stop) == ((8850.0,), (1600.0,), thirds, 1600.0, 8850.0)
    assert of(8000.0, out, into) == ((1150.0,), (8400.0,), thirds, 1150.0, 8400.0)
    wall = WallBelow(300.0, 7900.0, 600.0)
    assert of(8000.0, wall=wall)[3:] == (1450.0, 8750.0)
    assert of(8000.0, into, into, wall)[3:] == (1600.0, 8400.0)
    assert of(8000.0, wall=WallBelow(-300.0, 8300.0, 600.0))[3:] == (1150.0, 8850.0)
    assert of(300.0)[3:] == (1150.0, 1150.0)
    assert of(300.2)[3:] == pytest.approx((1150.0, 1150.2))
    assert of(250.0) == ((1125.0, 1125.0), (), (), 1125.0, 1125.0)
    assert (len(of(6000.5)[2]), len(of(6000.6)[2])) == (0, 3)  # type: ignore[arg-type]
    assert (len(of(12_000.5)[2]), len(of(12_000.6)[2])) == (3, 0)  # type: ignore[arg-type]
    _, other, *_ = of(24_600.0)
    shares = {24_600 * k / count for count in (2, 3, 4) for k in range(1, count)}
    assert sorted({round(place - 1000.0, 6) for place in other}) == sorted(round(share, 6) for share in shares)  # type: ignore[attr-defined]
    # half a millimetre outside what the wall bears is on it
    for left, count in ((3850.5, 3), (3850.6, 2)):
        found = of(8000.0, wall=WallBelow(left, 8000.0, 0.0))[2]
        assert len([place for place in found if place >= 5000.0]) == count - 1  # type: ignore[attr-defined]


def test_what_a_wall_below_leaves_of_a_stretch(hip_roof: Callable[..., Roof]) -> None:
    """The wall line's side that runs along under it, the longer of two, of as long ones the nearer; up to 3 m in."""
    part = Stretch(
        "S", 0.0, 8000.0, (0.0, 0.0, 0.0), (8000.0, 0.0, 0.0), End("stop end"), End("stop end"), ("E1",), (1,)
    )

    def under(*ring: tuple[float, float]) -> WallBelow | None:
        return wall_below(part, replace(hip_roof(), wall_line_mm=(ring,)))

    assert under((500.0, 600.0), (7000.0, 600.0), (7000.0, 6000.0), (500.0, 6000.0)) == WallBelow(500.0, 7000.0, 600.0)
    assert under((-500.0, 600.0), (9000.0, 600.0), (9000.0, 2000.0), (-500.0, 2000.0)) == WallBelow(
        -500.0, 9000.0, 600.0
    )
    step = ((500.0, 900.0), (3000.0, 900.0), (3000.0, 600.0), (7000.0, 600.0), (7000.0, 9000.0), (500.0, 9000.0))
    assert under(*step) == WallBelow(3000.0, 7000.0, 600.0)
    assert under((500.0, 3000.0), (7000.0, 3000.0), (7000.0, 9000.0)) == WallBelow(500.0, 7000.0, 3000.0)
    assert under((500.0, 3000.1), (7000.0, 3000.1), (7000.0, 9000.0)) is None
    assert under((500.0, -0.5), (7000.0, -0.5), (7000.0, 9000.0)) == WallBelow(500.0, 7000.0, 0.0)
    assert under((500.0, -0.6), (7000.0, -0.6), (7000.0, 9000.0)) is None
    # out of line by a thousandth, no more
    assert under((500.0, 600.0), (6500.0, 606.0), (6500.0, 9000.0)) == WallBelow(500.0, 6500.0, 603.0)
    assert under((500.0, 600.0), (6500.0, 606.1), (6500.0, 9000.0)) is None
    for right, found in ((0.5, None), (0.6, WallBelow(-900.0, 0.6, 600.0))):
        assert under((-900.0, 600.0), (right, 600.0), (right, 9000.0)) == found
    assert wall_below(part, None) is None
