"""Where laying starts, where a valley's water goes, and what a sheet's length asks: at each limit and one step beside it,
on planes that do not begin at 0. By hand, lengths in mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import cos, dist, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.flashings import valleys
from takeoff.measure.roofing.sheets import sheet_checks, start_place, start_sides
from takeoff.measure.roofing.sheets.lay_direction import (
    LayRules,
    SetOut,
    crest_gap,
    raked_start,
    set_out,
    start_words,
)
from takeoff.measure.roofing.sheets.sheet_pieces import Ground, Laying, Tried, sheet_mark
from takeoff.measure.roofing.sheets.start_place import start_line
from takeoff.measure.roofing.sheets.start_sides import cheaper_ends, with_least_sides
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import ProfileKind
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.model.sheets import CutShape, EndCut
from takeoff.shape.strips.plane_lines import EdgeOnPlane
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.strips import Widths

SQUARE = ((500.0, 0.0), (6500.0, 0.0), (6500.0, 4000.0), (500.0, 4000.0))
PLAIN = EndCut(CutShape.SQUARE)
SQUARE_TO = "the eave is square to the wind, so from its"


def plane(name: str = "P1", turn: float = 90.0, ring: Ring2 = SQUARE, origin: Point2 = (0.0, 0.0)) -> RoofPlane:
    c, s = cos(radians(turn)), sin(radians(turn))
    frame = Frame((*origin, 0.0), (c, s, 0.0), (-s, c, 0.0), (0.0, 0.0, 1.0))
    return RoofPlane(name, "main", frame, (ring,), (1,), 1, 20.0, 90.0, 24e6, 24e6)


def area(*rings: Ring2) -> SheetedArea:
    return SheetedArea(rings, tuple(("",) * len(ring) for ring in rings))


def ground(of: RoofPlane, side: str = "left") -> Ground:
    return Ground(of, area(of.rings_uv[0]), {}, side, "as asked")


def laying(edges: tuple[RoofEdge, ...] = (), half_turn: bool = False) -> Laying:
    known: dict[str, Any] = {"lay_from": "east", "square_to_wind_deg": 1.0, "other_end_saves_mm": 1000.0}
    settings: Any = SimpleNamespace(
        number=known.__getitem__, word=known.__getitem__, basis=lambda name: SimpleNamespace(words=lambda: "source")
    )
    roof = Roof("main", (0.0, 0.0, 0.0), (), (), (), (), (), edges, ())
    profile: Any = SimpleNamespace(half_turn_same=half_turn)
    return Laying(roof, RoofJob(name="main"), Site(), 0.0, settings, profile, Widths(760.0, 800.0), 1.0)


def starts(grounds: Any) -> dict[str, SetOut]:
    """Each plane's start line tells which sides all others start from: 1 for each from the right."""
    rights = float(sum(one.side == "right" for one in grounds))
    return {one.plane.id: SetOut(one.side, rights, 0.0, "", "") for one in grounds}


def bought(of_rights: Callable[[int], float]) -> Any:
    """A length of each sheet by how many planes start from the right."""
    return lambda of, out: [Tried(0, of_rights(round(out.start_u_mm)), PLAIN, PLAIN, out.side)]


# --- the side that buys least -------------------------------------------------------------------------------------------


def sides_of(count: int, of_rights: Callable[[int], float]) -> list[str]:
    grounds = [ground(plane(f"P{n}", origin=(9000.0 * n, 0.0))) for n in range(count)]
    return [one.side for one in with_least_sides(grounds, laying(), starts, bought(of_rights))]


def test_up_to_five_planes_are_tried_together() -> None:
    """Turning one or two buys more, all of them less: five are found, the six that are turned one by one are not."""

    def all_or_none(count: int) -> Callable[[int], float]:
        return lambda rights: 4000.0 if rights == count else 5000.0 + 100.0 * rights

    assert sides_of(5, all_or_none(5)) == ["right"] * 5
    assert sides_of(6, all_or_none(6)) == ["left"] * 6
    # six of which each buys less the more are turned
    assert sides_of(6, lambda rights: 5000.0 - 100.0 * rights) == ["right"] * 6


@pytest.mark.parametrize(("both", "told"), [(9000.0, False), (9000.5, False), (8999.5, True)])
def test_other_ends_that_together_buy_no_less(both: float, told: bool) -> None:
    """Two planes that buy 9 m each from their right; one of them from its left 8 m each, both from their left as much."""
    lengths = {2: 9000.0, 1: 8000.0, 0: both}
    grounds = [ground(plane(f"P{n}", turn=0.0, origin=(9000.0 * n, 0.0)), "right") for n in (1, 2)]
    found = cheaper_ends(grounds, laying(), starts, bought(lengths.__getitem__))
    assert len(found) == told
    if told:
        assert found[0].text.endswith("P1 2.00 m from its left, P2 2.00 m from its left; all of them 0.00 m.")


@pytest.mark.parametrize(("less", "told"), [(500.0, False), (500.5, True)])
def test_what_is_worth_a_word(less: float, told: bool) -> None:
    """Over a metre for the two sheets."""
    grounds = [ground(plane("P1", turn=0.0), "right"), ground(plane("P2", turn=90.0), "left")]
    lengths = {1: 9000.0, 0: 9000.0 - less}
    assert bool(cheaper_ends(grounds, laying(), starts, bought(lengths.__getitem__))) is told


def test_rakes_that_either_side_shares() -> None:
    """Of a sheet that is the same after a half turn both sides share as much: no reason to say so."""
    rake = EndCut(CutShape.RAKED, ("H1",), 32.0, "left")

    def lay(of: Ground, out: SetOut) -> list[Tried]:
        return [Tried(0, 5000.0, PLAIN, rake, out.side)] * 2

    (found,) = with_least_sides([ground(plane())], laying(half_turn=True), starts, lay)
    assert (found.side, found.why) == ("left", f"{SQUARE_TO} left end: either buys the same")


@pytest.mark.parametrize(
    ("left_mm", "right_mm", "side", "words"),
    [
        (5001.0, 5000.0, "right", ": either buys the same"),
        (5002.0, 5000.0, "right", ", which buys 0.00 m less than from its left"),
        (5000.4, 5000.0, "left", ": either buys the same"),
        (5000.0, 5006.0, "left", ", which buys 0.01 m less than from its right"),
    ],
)
def test_a_side_that_buys_a_millimetre_less(left_mm: float, right_mm: float, side: str, words: str) -> None:
    (found,) = with_least_sides(
        [ground(plane())], laying(), starts, bought(lambda rights: right_mm if rights else left_mm)
    )
    assert (found.side, found.why) == (side, f"{SQUARE_TO} {side} end{words}")


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, ("P1",), dist(a, b), dist(a, b), 0.0, 150.0, True)


@pytest.mark.parametrize(
    ("head", "foot", "side", "at_valley"),
    [
        (500.0, 2500.0, "left", True),
        (501.0, 2500.0, "left", True),
        (501.1, 2500.0, "left", False),
        (500.0, 2500.0, "right", False),
        (6500.0, 4500.0, "right", True),
        (6499.0, 4500.0, "right", True),
        (6498.9, 4500.0, "right", False),
    ],
)
def test_the_end_of_a_valley_at_a_side(head: float, foot: float, side: str, at_valley: bool) -> None:
    """The plane goes from 500 to 6500."""
    of = plane(turn=0.0)
    around = (
        edge("E1", EdgeKind.EAVE, (1000.0, 0.0), (6000.0, 0.0)),
        edge("R1", EdgeKind.RIDGE, (500.0, 4000.0), (6500.0, 4000.0)),
        edge("V1", EdgeKind.VALLEY, (head, 4000.0), (foot, 0.0)),
    )
    assert start_sides._at_valley(ground(of), laying(around), side) is at_valley


def test_a_place_in_the_wind_is_told_to_a_centimetre() -> None:
    """Its eave's middle lies 3500 from (1234, 2344.4), northwards: 1.23 and 5.84 m, seen from the east."""
    at = ground(plane(origin=(1234.0, 2344.4)))
    assert start_sides._wind_place(at, laying()) == (0, -5.84, 1.23)
    assert start_sides._wind_place(ground(plane(origin=(1236.0, 2346.0))), laying()) == (0, -5.85, 1.24)


# --- where the first sheet stands ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("turn", "side", "end"),
    [(15.0, "right", "east"), (30.0, "right", "north-east"), (15.0, "left", "west"), (30.0, "left", "south-west"),
     (-15.0, "right", "east"), (-30.0, "right", "south-east"), (75.0, "right", "north"), (60.0, "right", "north-east")],
)  # fmt: skip
def test_words_of_an_eave_that_runs_aslant(turn: float, side: str, end: str) -> None:
    """The words turn at 22.5 degrees from each of the eight."""
    assert start_words(plane(turn=turn), side, 0.0) == (
        f"square off the eave at the {end} end, on the {side} seen from below the eave"
    )


def test_a_start_without_crests_to_bring_in_line() -> None:
    settings: Any = SimpleNamespace(number=lambda name: 0.0, flag=lambda name: False)
    rules = LayRules(Widths(800.0, 800.0), SimpleNamespace(rib_pitch_mm=100.0), RoofJob(name="main"), settings, 0.0)  # type: ignore[arg-type]
    of = plane(turn=0.0)
    found = set_out(of, area(SQUARE), "left", "as asked", rules)
    assert (found.start_u_mm, found.shift_mm, found.why) == (500.0, 0.0, "as asked")
    assert (found.out_of_line_mm, found.out_of_line_with) == (0.0, "")


@pytest.mark.parametrize(
    ("left", "over", "raked"),
    [
        (0.0, 4000.0, False),
        (0.9, 4000.0, False),
        (1.0, 4000.0, True),  # it runs a millimetre across: no upright edge
        (1.5, 4000.0, True),
        (900.0, 100.0, False),
        (900.0, 99.0, True),
    ],
)
def test_a_side_that_is_a_corner(left: float, over: float, raked: bool) -> None:
    """The side goes up `over` from the foot, then slants in by `left`; at either end of the area."""
    if over == 4000.0:
        ring: Ring2 = ((500.0, 0.0), (6500.0, 0.0), (6500.0, 4000.0), (500.0 + left, 4000.0))
    else:
        ring = ((500.0, 0.0), (6500.0, 0.0), (6500.0, 4000.0), (500.0 + left, 4000.0), (500.0, over))
    assert raked_start(area(ring), "left") is raked
    assert raked_start(area(ring), "right") is False
    mirrored = tuple((7000.0 - u, v) for u, v in reversed(ring))
    assert raked_start(area(mirrored), "right") is raked
    # upright sides of two parts count together
    if over == 99.0:
        other = tuple((u, v + 5000.0) for u, v in ring)
        assert raked_start(area(ring, other), "left") is False


@pytest.mark.parametrize(
    ("start", "other", "gap"),
    [
        (500.0, 500.0, 0.0),
        (500.0, 470.0, 30.0),  # outwards is to the left
        (500.0, 530.0, 46.0),
        (500.0, 499.6, 0.0),
        (500.0, 499.4, 0.6),
        (500.0, 500.4, 0.0),
        (500.0, 500.6, 75.4),
        (6500.0, 6530.0, 30.0),  # and at the right end to the right
        (6500.0, 6470.0, 46.0),
    ],
)
def test_how_far_crests_are_out_of_line(start: float, other: float, gap: float) -> None:
    """Ribs of 76. The plane across the ridge runs the other way: its u of -x lies at x, 900 further on."""
    of, across = plane(turn=0.0), plane("P2", turn=180.0, origin=(900.0, 8000.0))
    assert crest_gap(of, start, across, 900.0 - other, 76.0) == pytest.approx(gap, abs=1e-9)


@pytest.mark.parametrize("up", [0.0, 2000.0])
@pytest.mark.parametrize("at", [10.0, 5460.0])
def test_a_start_line_near_the_far_end(at: float, up: float) -> None:
    """A plane of 5600, 500 up to 5450 and 4000 from there on, with a hole of 10 at either end, at any height. Laid from -690,
    sheets of 845 that cover 762: the far edge of the eighth, 155 + 7 x 762, is the first long enough."""
    ring = (
        (0.0, up),
        (5600.0, up),
        (5600.0, up + 4000.0),
        (5450.0, up + 4000.0),
        (5450.0, up + 500.0),
        (0.0, up + 500.0),
    )
    hole = ((at, up + 100.0), (at + 10.0, up + 100.0), (at + 10.0, up + 110.0), (at, up + 110.0))
    of = replace(plane(turn=0.0), rings_uv=(ring, hole))
    eave = edge("E1", EdgeKind.EAVE, (0.0, up), (5600.0, up))
    barge = edge("B1", EdgeKind.VERGE, (0.0, up), (0.0, up + 500.0))
    edges = [
        EdgeOnPlane(eave, (0.0, up), (5600.0, up), (0.0, 1.0)),
        EdgeOnPlane(barge, (0.0, up), (0.0, up + 500.0), (1.0, 0.0)),
    ]
    line = start_line(of, edges, SetOut("left", -690.0, 690.0, "", ""), Widths(762.0, 845.0))
    assert (line.u_mm, line.words) == (5489.0, "right edge of P1.08, 5489 inside the barge")


def test_an_edge_that_ends_at_a_corner() -> None:
    """Within a millimetre across and up, by either end."""
    up = EdgeOnPlane(
        edge("B1", EdgeKind.VERGE, (500.0, 7.0), (700.0, 4007.0)), (500.0, 7.0), (700.0, 4007.0), (1.0, 0.0)
    )
    spots = {(500.0, 7.0): True, (501.0, 6.0): True, (499.0, 8.0): True, (501.1, 7.0): False, (500.0, 5.9): False, (700.0, 4007.0): True,
             (700.0, 4008.1): False, (500.0, 4007.0): False}  # fmt: skip
    assert {spot: start_place._ends_at(up, spot) for spot in spots} == spots


# --- sheets and their lengths -------------------------------------------------------------------------------------------


def test_marks_of_sheets() -> None:
    run: Any = SimpleNamespace(strip=7, run=2)
    found = [
        sheet_mark("P3", run, alone, part, parts)
        for alone, part, parts in ((True, 0, 1), (True, 0, 2), (True, 2, 3), (False, 0, 1), (False, 1, 2))
    ]
    assert found == ["P3.07", "P3.07a", "P3.07c", "P3.07-2", "P3.07-2b"]
    assert sheet_mark("P12", SimpleNamespace(strip=13, run=1), True, 1, 2) == "P12.13b"  # type: ignore[arg-type]


def test_a_pitch_on_the_limit_of_an_end_lap() -> None:
    """Within a hundredth of a degree below it is on it."""
    laps: Any = SimpleNamespace(possible=True, lap_mm=150.0, foot_v_mm=(5000.4, 9000.0), from_deg=8.0)
    slack = TOLERANCES.pitch_deg
    codes = {
        pitch: [one.code for one in sheet_checks.lap_findings(replace(plane(), pitch_deg=pitch), laps, 6000.0)]
        for pitch in (8.0, 8.0 - slack, 8.0 - 1.5 * slack)
    }
    assert codes == {
        8.0: ["end-lapped"],
        8.0 - slack: ["end-lapped"],
        8.0 - 1.5 * slack: ["end-lapped", "lap-outside-table"],
    }
    text = "P1 is end-lapped 150 mm for transport; upper sheets start 5000, 9000 mm up the rake."
    advice = "Put a purlin under each lap and screw through it; seal both ends. The lower tier is laid first."
    assert sheet_checks.lap_findings(plane(), laps, 6000.0) == (
        Finding("end-lapped", Severity.NOTE, text, advice, refs=("P1",)),
    )


@pytest.mark.parametrize(
    ("most", "run", "told"), [(0.0, 9000.0, 0), (0.5, 1.0, 0), (0.5, 1.1, 1), (8000.0, 8000.5, 0), (8000.0, 8000.6, 1)]
)
def test_runs_over_what_a_code_allows(most: float, run: float, told: int) -> None:
    """Half a millimetre over is on it; 0 sets no limit."""
    values = {
        "pierced_most_mm": most,
        "movement_over_mm": most,
        "light_pan_most_mm": 12000.0,
        "dark_pan_most_mm": 9000.0,
    }
    settings: Any = SimpleNamespace(
        number=values.__getitem__, basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}")
    )
    ribbed: Any = SimpleNamespace(kind=ProfileKind.TRAPEZOIDAL)
    pierced = sheet_checks._pierced(plane(), ribbed, run, settings)
    moved = sheet_checks._provision(plane(), run, 4.25, settings)
    assert (len(pierced), len(moved)) == (told, told)
    if most == 8000.0 and told:
        assert pierced[0].text == (
            "P1: its longest run is 8.0 m; sheets fixed through are at most 8 m between their end fasteners, lapped lengths "
            "counted as one."
        )
        assert moved[0].text == (
            "P1: its longest run is 8.0 m and moves 4.2 mm with temperature; runs over 8 m into timber need provision for movement."
        )
        assert moved[0].advice.endswith("Fixed through the pans a light colour goes to 12 m, a dark one to 9 m.")
    assert sheet_checks._pierced(plane(), SimpleNamespace(kind=ProfileKind.TRAY), 99999.0, settings) == ()  # type: ignore[arg-type]


# --- the foot of a valley -----------------------------------------------------------------------------------------------


def test_where_the_water_of_a_bare_foot_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """A millimetre under the foot is looked at, from the job's origin, 500 and 700 off the roof's own; of the other roofs."""
    feet = [
        replace(
            edge("V1", EdgeKind.VALLEY, (10.0, 20.0), (30.0, 40.0)),
            a_mm=(10.0, 20.0, 3000.0),
            b_mm=(30.0, 40.0, 2500.0),
        ),
        replace(edge("V2", EdgeKind.VALLEY, (1.0, 2.0), (3.0, 4.0)), a_mm=(1.0, 2.0, 2000.0), b_mm=(3.0, 4.0, 2600.0)),
    ]
    asked: list[Any] = []

    def under(point: Any, roofs: Any) -> Any:
        asked.append((point, [roof.name for roof in roofs]))
        return (
            SimpleNamespace(roof=SimpleNamespace(name="porch"), plane=SimpleNamespace(id="P7"))
            if len(asked) == 1
            else None
        )

    monkeypatch.setattr(valleys, "bare_feet", lambda roof, bare: feet)
    monkeypatch.setattr(valleys, "roof_under", under)
    roofs: Any = [SimpleNamespace(name=name, origin_mm=(500.0, 700.0)) for name in ("porch", "main", "shed")]
    advice = "See that it does no harm there, or hang gutters on all eaves, under the roof: `no_spouting_on: []`."
    text = "no gutter hangs at its foot; its water runs past the eave on to"
    assert valleys.foot_findings(roofs[1], (3,), roofs) == tuple(
        Finding("valley-foot-at-bare-eave", Severity.NOTE, f"Valley {name}: {text} {on}.", advice, (name,), low)
        for name, on, low in (("V1", "roof porch, P7", (30.0, 40.0, 2500.0)), ("V2", "the ground", (1.0, 2.0, 2000.0)))
    )
    assert asked == [((530.0, 740.0, 2499.0), ["porch", "shed"]), ((501.0, 702.0, 1999.0), ["porch", "shed"])]
