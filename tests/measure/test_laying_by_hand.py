"""Where laying starts and how the start line is said, underlay and rooflight sheets: by hand on plain planes. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import cos, dist, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.sheets.crests import _faces_deg
from takeoff.measure.roofing.sheets.lay_direction import (
    LayRules,
    SetOut,
    bearing_deg,
    bearing_word,
    by_lee,
    crest_gap,
    lee_place,
    raked_start,
    ridge_neighbours,
    set_out,
    start_side,
    start_words,
)
from takeoff.measure.roofing.sheets.start_place import _off_words, _runs, start_line
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.shape.strips.plane_lines import EdgeOnPlane
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.strips import Widths

SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
LEANING = ((0.0, 0.0), (6000.0, 0.0), (5000.0, 4000.0), (1000.0, 4000.0))


def frame(turn_deg: float = 0.0, origin: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Frame:
    """Level; its eave runs so many degrees left of east."""
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    return Frame(origin, (c, s, 0.0), (-s, c, 0.0), (0.0, 0.0, 1.0))


def plane(
    name: str = "P1", ring: Ring2 = SQUARE, turn: float = 0.0, bearing: float = 180.0, outline: Any = (1,)
) -> RoofPlane:
    return RoofPlane(name, "main", frame(turn), (ring,), outline, 1, 20.0, bearing, 24e6, 24e6)


def settings(**values: Any) -> Any:
    known = {
        "lay_from": "east",
        "square_to_wind_deg": 1.0,
        "last_sheet_crests": 3.0,
        "last_sheet_least_mm": 230.0,
    } | values
    return SimpleNamespace(number=known.__getitem__, word=known.__getitem__, flag=known.__getitem__)


@pytest.mark.parametrize(
    ("x", "y", "north", "bearing"),
    [(0.0, 1.0, 0.0, 0.0), (1.0, 0.0, 0.0, 90.0), (0.0, -2.0, 0.0, 180.0), (-3.0, 0.0, 0.0, 270.0), (1.0, 0.0, 20.0, 110.0),
     (0.0, 1.0, 350.0, 350.0), (1.0, 1.0, 330.0, 15.0)],
)  # fmt: skip
def test_bearings(x: float, y: float, north: float, bearing: float) -> None:
    assert bearing_deg(x, y, north) == pytest.approx(bearing)


def test_words_of_bearings() -> None:
    words = {0.0: "north", 22.0: "north", 23.0: "north-east", 90.0: "east", 135.0: "south-east", 180.0: "south",
             225.0: "south-west", 270.0: "west", 315.0: "north-west", 338.0: "north", 359.0: "north"}  # fmt: skip
    assert {deg: bearing_word(deg) for deg in words} == words


def test_the_side_that_laying_starts_from() -> None:
    """Laid from the east: an eave that runs east has its right end there, one that runs west its left; one that runs north
    has no lee end. A side of the job comes first, by the plane's edges."""
    job = RoofJob()
    lee = "from the lee end, east, towards the wind"
    square = "the eave is square to the wind, so from its left end (lee end east)"
    for turn, found in ((0.0, ("right", lee)), (180.0, ("left", lee)), (90.0, ("left", square)), (88.9, ("right", lee)),
                        (89.1, ("left", square)), (91.1, ("left", lee)), (-60.0, ("right", lee))):  # fmt: skip
        assert start_side(plane(turn=turn), job, 0.0, settings()) == found
    # the plan turned by north: up bears 90, so that what runs east on the plan runs south
    assert start_side(plane(), job, 90.0, settings()) == ("left", square)
    assert start_side(plane(turn=90.0), job, 90.0, settings()) == ("right", lee)
    west = RoofJob(covering=CoveringJob(lay_from="west"))
    assert start_side(plane(), west, 0.0, settings()) == ("left", "from the lee end, west, towards the wind")
    given = RoofJob(edges={3: EdgeJob(start_side="left"), 4: EdgeJob()})
    assert start_side(plane(outline=(4, 3)), given, 0.0, settings()) == ("left", "set in the job for edge 3")
    assert start_side(plane(outline=(4,)), given, 0.0, settings()) == ("right", lee)


def test_words_of_a_start() -> None:
    assert (
        start_words(plane(), "right", 0.0)
        == "square off the eave at the east end, on the right seen from below the eave"
    )
    assert (
        start_words(plane(), "left", 0.0) == "square off the eave at the west end, on the left seen from below the eave"
    )
    assert start_words(plane(turn=90.0), "right", 45.0).startswith("square off the eave at the north-east end")


RIB: Any = SimpleNamespace(rib_pitch_mm=100.0)


def rules(job: RoofJob | None = None, **more: Any) -> LayRules:
    return LayRules(Widths(800.0, 800.0), RIB, job or RoofJob(name="main"), settings(**more), 0.0)


def area(*rings: Ring2) -> SheetedArea:
    return SheetedArea(rings or (SQUARE,), tuple(("",) * len(ring) for ring in rings or (SQUARE,)))


@pytest.mark.parametrize(
    ("wide", "side", "shift", "start", "moved", "why"),
    [
        # 6 m are seven covers and 400, four ribs: left where they are
        (6000.0, "left", 0.0, 0.0, 0.0, ""),
        (6000.0, "right", 0.0, 6000.0, 0.0, ""),
        # 5.7 m are seven covers and 100: two ribs more for three crests, 230 at least
        (5700.0, "left", 0.0, -200.0, 200.0, "; moved out by 2 whole ribs so that the last sheet keeps its crests"),
        (5700.0, "right", 0.0, 5900.0, 200.0, "; moved out by 2 whole ribs so that the last sheet keeps its crests"),
        # a part of a rib for the crests of the other plane: 170 over seven covers, one rib more
        (5700.0, "left", 70.0, -170.0, 170.0, ("; moved out by part of a rib to bring crests in line across the ridge; moved"
         " out by 1 whole ribs so that the last sheet keeps its crests")),
        (6000.0, "left", 0.04, -0.04, 0.04, ""),
        (6000.0, "left", 0.06, -0.06, 0.06, "; moved out by part of a rib to bring crests in line across the ridge"),
    ],
)  # fmt: skip
def test_where_the_first_sheet_stands(
    wide: float, side: str, shift: float, start: float, moved: float, why: str
) -> None:
    ring = ((100.0, 0.0), (100.0 + wide, 0.0), (100.0 + wide, 4000.0), (100.0, 4000.0))
    found = set_out(plane(), area(ring), side, "as asked", rules(), shift)
    assert found == SetOut(
        side, pytest.approx(100.0 + start), pytest.approx(moved), start_words(plane(), side, 0.0), "as asked" + why
    )


def test_a_first_cover_set_in_the_job() -> None:
    job = RoofJob(name="main", covering=CoveringJob(first_cover_mm=500.0))
    found = set_out(plane(), area(), "left", "as asked", rules(job), 70.0)
    words = start_words(plane(), "left", 0.0)
    assert found == SetOut("left", -300.0, 300.0, words, "as asked; first cover set in the job")
    whole = RoofJob(name="main", covering=CoveringJob(first_cover_mm=800.0))
    assert set_out(plane(), area(), "right", "", rules(whole)).start_u_mm == 6000.0
    wide = RoofJob(name="main", covering=CoveringJob(first_cover_mm=800.5))
    with pytest.raises(JobError) as told:
        set_out(plane(), area(), "left", "as asked", rules(wide))
    assert told.value.faults == ("roof main: covering.first_cover_mm 800.5 is more than the profile's cover 800",)


def test_how_far_a_place_lies_to_the_lee() -> None:
    """500 along an eave that runs north from (1000, 2000): (1000, 2500)."""
    at = frame(90.0, (1000.0, 2000.0, 0.0))
    for north, lee, far in ((0.0, 0.0, 2500.0), (0.0, 90.0, 1000.0), (0.0, 270.0, -1000.0), (90.0, 90.0, 2500.0),
                            (30.0, 75.0, 3500.0 / 2.0**0.5)):  # fmt: skip
        assert lee_place(at, 500.0, north, lee) == pytest.approx(far)
    turned = frame(30.0, (1000.0, 2000.0, 0.0))
    assert lee_place(turned, 500.0, 0.0, 90.0) == pytest.approx(1000.0 + 500.0 * cos(radians(30.0)))
    assert lee_place(turned, 500.0, 0.0, 0.0) == pytest.approx(2250.0)


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2, *faces: str) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, faces, dist(a, b), dist(a, b), 0.0, 150.0, True)


def test_planes_across_a_ridge() -> None:
    """Those whose eaves run against each other within a tenth of a degree."""
    own = plane("P1", turn=30.0)
    others = (plane("P2", turn=210.0), plane("P3", turn=209.91), plane("P4", turn=209.85), plane("P5", turn=210.0))
    kinds = (EdgeKind.RIDGE, EdgeKind.RIDGE, EdgeKind.RIDGE, EdgeKind.HIP)
    edges = tuple(edge(f"R{n}", kind, (0.0, 4000.0), (6000.0, 4000.0), "P1", other.id)
                  for n, (kind, other) in enumerate(zip(kinds, others, strict=True)))  # fmt: skip
    roof = Roof("main", (0.0, 0.0, 0.0), (), (), (), (own, *others), (), (*edges, edges[0]), ())
    assert [one.id for one in ridge_neighbours(roof, own)] == ["P2", "P3"]


@pytest.mark.parametrize(
    ("start", "other", "gap"),
    [
        # the other plane runs against this one from 6 m: its 150 is 5850 here; started at the left, outwards is leftwards
        (0.0, 150.0, 50.0),  # 5850 is 50 past a rib line of 100s: 50 out meets one
        (0.0, 120.0, 20.0),
        (0.0, 100.0, 0.0),
        (0.0, 99.7, 0.0),  # a crumb short of a rib is in line
        (0.0, 99.2, 99.2),
        (0.0, 100.4, 0.0),
        (0.0, 100.6, 0.6),
        (30.0, 120.0, 50.0),
        # at the right, outwards is rightwards
        (6000.0, 120.0, 80.0),
        (6010.0, 120.0, 70.0),
    ],
)
def test_the_gap_to_the_next_crest_line(start: float, other: float, gap: float) -> None:
    across = replace(
        plane("P2"), frame=Frame((6000.0, 8000.0, 0.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    )
    assert crest_gap(plane(), start, across, other, 100.0) == pytest.approx(gap, abs=1e-6)


@pytest.mark.parametrize(
    ("ring", "left", "right"),
    [
        (SQUARE, False, False),
        (LEANING, True, True),
        # upright for 99 and 100 mm only
        (((0.0, 0.0), (6000.0, 0.0), (6000.0, 100.0), (1000.0, 4000.0), (0.0, 99.0)), True, False),
        (((0.9, 0.0), (6000.0, 0.0), (5998.9, 4000.0), (0.0, 4000.0)), False, True),  # within a millimetre of upright
    ],
)
def test_a_start_at_a_raked_corner(ring: Ring2, left: bool, right: bool) -> None:
    for up in (0.0, 7000.0):
        moved = tuple((u + 50.0, v + up) for u, v in ring)
        assert (raked_start(area(moved), "left"), raked_start(area(moved), "right")) == (left, right)


def test_the_order_in_which_planes_are_set_out() -> None:
    """Those that cannot move first, then from the lee, to a tenth of a millimetre; ties as given."""
    places = [(True, 900.0, "a"), (False, 100.0, "b"), (False, 100.04, "c"), (False, 100.06, "d"), (True, 901.0, "e")]
    assert by_lee(places) == ["d", "b", "c", "e", "a"]
    # the way a plane faces from the lee end, in whole degrees
    faces = [
        (180.0, 90.0, 90),
        (90.0, 180.0, 270),
        (10.62, 10.0, 0),
        (10.64, 10.0, 1),
        (9.62, 10.0, 359),
        (9.63, 10.0, 0),
    ]
    assert [_faces_deg(plane(bearing=bearing), lee) for bearing, lee, _ in faces] == [deg for *_, deg in faces]


def on(kind: EdgeKind, a: Point2, b: Point2, inward: Point2 = (0.0, 1.0)) -> EdgeOnPlane:
    return EdgeOnPlane(edge("X1", kind, a, b, "P1"), a, b, inward)


EAVE = on(EdgeKind.EAVE, (0.0, 0.0), (6000.0, 0.0))
WIDE = Widths(762.0, 845.0)


@pytest.mark.parametrize(
    ("inside", "right", "name", "words"),
    [(0.4, 9.0, "barge", "at the barge"), (-0.4, 9.0, "barge", "at the barge"), (0.5, 9.0, "barge", "0 inside the barge"),
     (76.4, 9.0, "barge", "76 inside the barge"), (-76.6, 9.0, "barge", "77 outside the barge"),
     (5.0, 410.4, "", "410 right of its lowest corner"), (5.0, -410.4, "", "410 left of its lowest corner")],
)  # fmt: skip
def test_words_of_a_distance(inside: float, right: float, name: str, words: str) -> None:
    assert _off_words(inside, right, name) == words


def test_start_lines() -> None:
    """Square ends: the first sheet's own edge. A leaning end, 1000 in 4000: a line at 833 is 3332 long, at 71 284."""
    left, right = SetOut("left", 0.0, 0.0, "", ""), SetOut("right", 6000.0, 0.0, "", "")
    barge = on(EdgeKind.VERGE, (0.0, 0.0), (0.0, 4000.0), (1.0, 0.0))

    def found(ring: Ring2, edges: tuple[EdgeOnPlane, ...], out: SetOut) -> tuple[float, str]:
        line = start_line(plane(ring=ring), edges, out, WIDE)
        return line.u_mm, line.words

    assert found(SQUARE, (EAVE, barge), left) == (0.0, "at the barge")
    assert found(SQUARE, (EAVE,), left) == (0.0, "at the end of the eave")
    assert found(SQUARE, (EAVE, barge), right) == (6000.0, "at the end of the eave")
    assert found(SQUARE, (EAVE, barge), replace(left, start_u_mm=76.0)) == (76.0, "76 inside the barge")
    # moved out by 200: the start line is off the plane, the far edge of the first sheet is 645 inside
    out = replace(left, start_u_mm=-200.0, shift_mm=200.0)
    assert found(SQUARE, (EAVE, barge), out) == (645.0, "right edge of P1.01, 645 inside the barge")
    out = replace(right, start_u_mm=6200.0, shift_mm=200.0)
    assert found(SQUARE, (EAVE,), out) == (5355.0, "left edge of P1.01, 645 inside the end of the eave")
    # a hip beside the eave's end: the corner of the fascia
    hip = on(EdgeKind.HIP, (0.0, 0.0), (1000.0, 4000.0), (0.97, -0.24))
    assert found(LEANING, (EAVE, hip), left) == (845.0, "right edge of P1.01, 845 inside the fascia corner")
    assert found(LEANING, (EAVE, hip), replace(left, start_u_mm=-774.0, shift_mm=774.0)) == (
        833.0, "right edge of P1.02, 833 inside the fascia corner"
    )  # fmt: skip
    # a plane that stands on a point: from its lowest corner
    point = ((3000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    assert found(point, (), left) == (845.0, "right edge of P1.01, 2155 left of its lowest corner")
    assert found(point, (), right) == (5155.0, "left edge of P1.01, 2155 right of its lowest corner")
    # without a foot from the lowest corner of the side it is laid from
    offset = tuple((u + 100.0, v + 7.0) for u, v in SQUARE)
    side = on(EdgeKind.VERGE, (100.0, 7.0), (100.0, 4007.0), (1.0, 0.0))
    for edges in ((), (side,)):
        assert found(offset, edges, replace(left, start_u_mm=176.0)) == (176.0, "76 right of its lowest corner")
        assert found(offset, edges, replace(right, start_u_mm=6024.0)) == (6024.0, "76 left of its lowest corner")
    # what does not end at the corner does not name it
    upper = on(EdgeKind.VERGE, (0.0, 2000.0), (0.0, 4000.0), (1.0, 0.0))
    beside = on(EdgeKind.VERGE, (30.0, 0.0), (30.0, 4000.0), (1.0, 0.0))
    assert found(SQUARE, (upper, beside, EAVE), left) == (0.0, "at the end of the eave")
    # feet come before what is level and none: the eave, not the ridge; a ridge is a top
    ridge = on(EdgeKind.RIDGE, (0.0, 4000.0), (6000.0, 4000.0), (0.0, -1.0))
    assert found(SQUARE, (ridge, EAVE, barge), left) == (0.0, "at the barge")
    # of two eaves in one line the corner is the outermost
    parts = (on(EdgeKind.EAVE, (3000.0, 0.0), (6000.0, 0.0)), on(EdgeKind.EAVE, (0.0, 0.0), (3000.0, 0.0)), barge)
    assert found(SQUARE, parts, replace(left, start_u_mm=30.0)) == (30.0, "30 inside the barge")


def test_a_line_that_lies_on_no_part_of_the_plane_is_no_start_line() -> None:
    ring = (SQUARE,)
    assert _runs(ring, 0.0, 0.0, 1.0)
    assert _runs(ring, -0.4, 0.0, 1.0)  # half a millimetre outside the corner is at it
    assert not _runs(ring, -0.6, 0.0, 1.0)
    assert _runs(ring, 6000.4, 6000.0, -1.0)
    assert not _runs(ring, 6000.6, 6000.0, -1.0)
    # a plane of which no line is long enough is started as it is set out
    low = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 500.0), (0.0, 500.0))
    line = start_line(plane(ring=low), (EAVE,), SetOut("left", -5.0, 5.0, "", ""), WIDE)
    assert (line.u_mm, line.words) == (-5.0, "5 outside the end of the eave")
