"""The bounds of gutters, pipes and fascia, whole and by hand, on made-up eaves."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import cos, inf, radians, sqrt, tan
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.basis import Basis, Status, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterCorner, GutterLeg, GutterRun, Received
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import ItemKind
from takeoff.model.rain_rules import BracketRow
from takeoff.order.bounds.bounded import Case
from takeoff.order.bounds.rainwater_bounds import (
    catchments,
    downpipes,
    fascia_boards,
    gutter_brackets,
    gutter_ends,
    gutter_lengths,
    gutter_runs,
    pipe_lengths,
)

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import Given, case, check, item, line, line_of_edge, plan, plane, roof

BASIS = Basis(Status.DERIVED)


def leg(long: float, y: float = 0.0, at: float = 0.0, drawn: float | None = None) -> GutterLeg:
    """A leg along x; `drawn`: between its ends, where that is other than its length."""
    return GutterLeg("E1", (1,), (at, y, 0.0), (at + (long if drawn is None else drawn), y, 0.0), long, 0.0)


def gutter(name: str, *legs: GutterLeg, ring: bool = False, internal: bool = False, **more: Any) -> GutterRun:
    corners = tuple(GutterCorner("external", angle, (0.0, 0.0, 0.0)) for angle in more.pop("angles", ()))
    area = more.pop("area", 0.0)
    return GutterRun(name, "main", legs, corners, ring, area, 30.0, internal, **more)


EAVES = [
    line_of_edge("E1", EdgeKind.EAVE, 6000.0, outline=(1,)),
    line_of_edge("E2", EdgeKind.EAVE, 3000.0, outline=(2, 3)),
    line_of_edge("E3", EdgeKind.EAVE, 2000.0, roof="other", outline=(3,)),
    line_of_edge("R1", EdgeKind.RIDGE, 900.0),
]


def test_spouting_along_the_eaves() -> None:
    """Of 11 m the job leaves 3 m bare; one that two roofs share counts once."""
    roofs = (roof([], EAVES), roof([plane("P2")], EAVES[:1], "other"))
    runs = (gutter("G1", leg(5900.0), leg(2000.0)), gutter("G2", leg(4000.0), internal=True), gutter("G3", leg(100.0)))
    job = SimpleNamespace(bare_edges={"main": (3, 9)})
    made = case(roofs=roofs, rainwater={"gutters": runs}, job=job)
    check(gutter_runs(made), (8.0, 7.97, 11.03, "m", "eaves of 11.00 m, 8.00 m of them with spouting", "", ()))
    made = case(roofs=(roof([], EAVES[3:]),), job=job)
    check(gutter_runs(made), (0.0, -0.01, 0.01, "m", "eaves of 0.00 m, 0.00 m of them with spouting", "", ()))


LEGS = (
    gutter("G1", leg(9.0, drawn=6000.0), leg(9.0, drawn=2000.0), angles=(90.0, 135.0, 270.0)),
    gutter("G2", leg(4000.0), internal=True, angles=(90.0,)),
)


def _cut(fitting: float, roofs: Any = None, runs: Any = LEGS) -> Case:
    """Pieces of 5 and 2.5 m and one of 1 m from the site, laps of 0.3 m; a downpipe is none of them."""
    items = {"quad": item("quad", kind=ItemKind.GUTTER), "round": item("round", kind=ItemKind.DOWNPIPE)}
    quad = plan("quad", [(6000, (5000, 2500))], site=[(1500, (1000,))], laps_mm=300.0)
    plans = [quad, plan("round", [(6000, (4000,))])]
    values = {"gutter_corner_fitting_leg_mm": fitting, "gutter_sole_below_eave_mm": 50}
    return case(values, roofs=roofs, rainwater={"gutters": runs}, items=items, order={"plans": plans})


def test_what_spouting_is_cut_to() -> None:
    """Two legs of 8 m: fittings of 0.2 m at four ends, or what the job says where that is more; outside corners mitred in a
    gutter 0.3 m wide, twice 0.3 / tan(half the angle)."""
    mitres = 0.6 / 1.0 + 0.6 / tan(radians(67.5))
    words = "2 legs of 8.00 m and their corners"
    for fitting, ends in ((100.0, 0.8), (500.0, 2.0)):
        check(gutter_lengths(_cut(fitting)), (8.2, 8.0 - ends, 8.0 + ends + mitres, "m", words, "", ()))
    # next to no angle counts as a degree, a straight one as none
    sharp = (gutter("G1", leg(1000.0), angles=(0.5, 180.0)),)
    (bound,) = gutter_lengths(_cut(0.0, runs=sharp))
    assert bound.high == pytest.approx(1.0 + 0.4 + 0.6 / tan(radians(0.5)))


def test_spouting_that_stops_at_the_foot_of_a_valley() -> None:
    """Planes of 30 and 20 degrees: (0.05 + 0.3 tan 30) / tan 20 short of each valley; none where a plane lies level."""
    planes = [plane(), plane("P2", pitch=20.0), plane("P3", pitch=0.0)]
    edges = [
        line_of_edge("V1", EdgeKind.VALLEY, 4000.0, faces=("P1", "P2", "P9")),
        line_of_edge("V2", EdgeKind.VALLEY, 4000.0, faces=("P1", "P3")),
        line_of_edge("V3", EdgeKind.VALLEY, 4000.0, faces=("P8",)),
        line_of_edge("H1", EdgeKind.HIP, 4000.0, faces=("P1", "P2")),
    ]
    (bound,) = gutter_lengths(_cut(0.0, roofs=(roof(planes, edges),)))
    assert bound.low == pytest.approx(8.0 - 0.8 - (0.05 + 0.3 * tan(radians(30.0))) / tan(radians(20.0)))


def test_ends_and_corners_of_spouting() -> None:
    """A run of two legs, a ring of three that comes back to its start but for half a millimetre, one that misses it by
    2 mm, and an internal one: two with ends; one meeting, three, and none of a single leg."""
    back = GutterLeg("E1", (1,), (6000.0, 0.0, 0.0), (0.5, 0.0, 0.0), 6000.0, 0.0)
    runs = (
        gutter("G1", leg(6000.0), leg(2000.0, y=100.0)),
        gutter("G2", leg(3000.0), leg(3000.0, at=3000.0), back, ring=True),
        gutter("G3", GutterLeg("E1", (1,), (0.0, 0.0, 0.0), (0.0, 2.0, 0.0), 2.0, 0.0)),
        gutter("G4", leg(900.0), internal=True),
    )
    bought = {
        "Gutter stop end, left": 5.0,
        "Gutter stop end, right": 6.0,
        "Gutter external corner, mitred on site": 1.0,
        "Gutter internal corner, mitred on site": 2.0,
        "Gutter external corner, fitting": 4.0,
        "Gutter internal corner, fitting": 8.0,
    }
    made = case(rainwater={"gutters": runs}, order={"lines": [line(name, count) for name, count in bought.items()]})
    check(
        gutter_ends(made),
        (5.0, 2.0, 2.0, "each", "2 runs with ends", "left stop ends", ()),
        (6.0, 2.0, 2.0, "each", "2 runs with ends", "right stop ends", ()),
        (15.0, 0.0, 4.0, "each", "4 meetings of legs", "corners", ()),
    )


def _rules(*rows: BracketRow, silent: Any = None) -> Any:
    return SimpleNamespace(rain=SimpleNamespace(brackets=rows), silent=silent)


NARROW, WIDE, SNOW = BracketRow(900.0, BASIS, 200.0), BracketRow(700.0, BASIS), BracketRow(500.0, BASIS, snow=True)


@pytest.mark.parametrize(
    ("system", "width", "maker", "said", "snow", "rules", "spacing"),
    [
        ("bracketed_metal", 150.0, 0.0, 0.0, False, _rules(NARROW, WIDE, SNOW), 900.0),
        ("bracketed_metal", 200.0, 0.0, 0.0, False, _rules(NARROW, WIDE, SNOW), 700.0),  # not below its width
        ("bracketed_metal", 150.0, 0.0, 0.0, True, _rules(NARROW, WIDE, SNOW), 500.0),
        ("bracketed_metal", 150.0, 600.0, 0.0, False, _rules(NARROW, WIDE), 600.0),  # the maker's is less
        ("bracketed_metal", 150.0, 0.5, 0.0, False, _rules(NARROW, WIDE), 0.5),
        ("bracketed_metal", 150.0, 950.0, 0.0, False, _rules(NARROW, WIDE), 900.0),
        ("bracketed_metal", 150.0, 600.0, 450.0, True, _rules(SNOW), 450.0),  # the job's own
        ("bracketed_metal", 150.0, 600.0, 0.5, True, _rules(SNOW), 0.5),
        ("bracketed_metal", 150.0, 0.0, 0.0, False, _rules(silent=_rules(WIDE)), 700.0),  # another code speaks for it
        ("bracketed_metal", 150.0, 0.0, 0.0, False, _rules(NARROW, silent=_rules(SNOW)), 900.0),
        ("pvc", 150.0, 750.0, 0.0, True, _rules(SNOW), 750.0),
        ("bracketed_metal", 150.0, 0.0, 0.0, False, _rules(), None),
        ("bracketed_metal", 250.0, 0.0, 0.0, False, _rules(NARROW), 900.0),  # past the end of the table
    ],
)
def test_brackets_of_spouting(
    system: str, width: float, maker: float, said: float, snow: bool, rules: Any, spacing: float | None
) -> None:
    """6 and 2 m over the spacing, a hundredth less or two more a leg."""
    profile = SimpleNamespace(system=system, width_mm=width, bracket_mm=maker)
    runs = (gutter("G1", leg(9.0, drawn=6000.0), leg(2000.0)), gutter("G2", leg(900.0), internal=True))
    more: Any = {
        "rainwater": {"gutters": runs},
        "order": {"lines": [line("Gutter bracket", 9.0), line("Gutter clip for metal fascia", 3.0)]},
        "catalogue": SimpleNamespace(gutters={"quad": profile}),
        "settings": Given({"rainwater_gutter": "quad", "gutter_bracket_mm": said, "gutter_in_snow": snow}, rules),
    }
    of_settings, unknown = (SimpleNamespace(rainwater=SimpleNamespace(gutter=name)) for name in (None, "unknown"))
    words = f"2 legs of 8.00 m at {spacing:g} mm" if spacing else ""
    row = (12.0, 8000.0 / (spacing or 1.0) - 0.02, 8000.0 / (spacing or 1.0) + 4.0, "each", words, "", ())
    check(gutter_brackets(case(job=of_settings, **more)), *([row] if spacing else []))
    assert list(gutter_brackets(case(job=unknown, **more))) == []
    assert list(gutter_brackets(case(job=of_settings, **(more | {"rainwater": {}})))) == []


def test_what_gutters_drain() -> None:
    """20 m2 at 30 degrees and at 60; what spreaders bring is counted on the roof above."""
    planes = (roof([plane(), plane("P2", pitch=60.0)]),)
    spread = (Received("main", "D1", "P1", 0.0, 2e6), Received("main", "", "P1", 0.0, 3e6))
    runs = (gutter("G1", leg(1.0), area=15e6, received=spread), gutter("G2", leg(1.0), area=1e6))
    high = 20.0 * cos(radians(30.0)) + 10.0
    made = case(roofs=planes, rainwater={"gutters": runs})
    check(catchments(made), (14.0, 0.0, 1.01 * high + 0.1, "m2", f"planes of {high:.2f} m2 in plan", "", ()))


def _pipes(name: str, count: int, *limits: tuple[str, int], tall: float = 2500.0) -> DownpipePlan:
    pipes = tuple(Downpipe(f"{name}{at}", name, (0.0, 0.0, 0.0), 0.0, tall, 0.0) for at in range(count))
    return DownpipePlan(name, "", count, "", limits, pipes, Working("made up"))


def _drained(by_hand: int = 0, each: tuple[float, float] = (10000.0, 12000.0)) -> Case:
    runs = (
        gutter("G1", leg(9.0, drawn=6000.0), leg(2000.0), area=20e6),
        gutter("G2", leg(4000.0), area=1e6),
        gutter("G3", leg(4000.0), area=1.1e6, internal=True),
    )
    plans = (_pipes("G1", 2, ("a", 3), ("b", 1)), _pipes("G2", 0), _pipes("G3", 4))
    return case(
        {"gutter_length_per_outlet_mm": each[0], "downpipe_spacing_mm": each[1]},
        rainwater={"gutters": runs, "downpipes": plans},
        job=SimpleNamespace(rainwater=SimpleNamespace(downpipes_at=[0] * by_hand)),
        order={"lines": [line("Gutter outlet", 5.0)]},
    )


def test_pipes_of_a_run() -> None:
    """Twice the length over the nearer limit, two a leg, twice what its limits ask, and the places given by hand; one at
    least where more than a square metre drains to it."""
    runs = ((8.0, 20.0), (4.0, 1.0), (4.0, 1.1))
    words = [f"gutter of {long:.2f} m that drains {area:.2f} m2" for long, area in runs]
    outlets = (5.0, 2.0, 2.0, "each", "2 pipes", "outlets", ())
    check(
        downpipes(_drained()),
        (2.0, 1.0, 1.6 + 4.0 + 6.0, "pipes", words[0], "G1", ("G1",)),
        (0.0, 0.0, 0.8 + 2.0, "pipes", words[1], "G2", ("G2",)),
        (4.0, 1.0, 0.8 + 2.0, "pipes", words[2], "G3", ("G3",)),
        outlets,
    )
    check(
        downpipes(_drained(3, (10000.0, 8000.0))),
        (2.0, 0.0, 2.0 + 4.0 + 6.0 + 3.0, "pipes", words[0], "G1", ("G1",)),
        (0.0, 0.0, 1.0 + 2.0 + 3.0, "pipes", words[1], "G2", ("G2",)),
        (4.0, 0.0, 1.0 + 2.0 + 3.0, "pipes", words[2], "G3", ("G3",)),
        outlets,
    )
    assert [bound.high for bound in downpipes(_drained(0, (0.0, 5.0)))][:3] == [inf, inf, inf]
    assert next(bound.high for bound in downpipes(_drained(0, (1.0, 5.0)))) == 16000.0 + 10.0


def test_metres_of_pipe() -> None:
    items = {"quad": item("quad", kind=ItemKind.GUTTER), "round": item("round", kind=ItemKind.DOWNPIPE)}
    plans = [plan("round", [(6000, (4000, 1500))], site=[(900, (800,))]), plan("quad", [(6000, (4000,))])]
    pipes = (_pipes("G1", 2), _pipes("G2", 1, tall=3000.0))
    made = case(rainwater={"downpipes": pipes}, items=items, order={"plans": plans})
    check(pipe_lengths(made), (6.3, 0.0, 12.0 + 12.0, "m", "3 pipes of 8.00 m in height", "", ()))


def test_fascia_and_barge_boards() -> None:
    """Eaves of 6 and 3 m and a head of 2 m: 0.3 m at each for corners. Verges of 4 m at 30 and 45 degrees: plumb cuts of a
    board 0.2 m deep. A hundredth a board, and one."""
    verges = [line_of_edge(name, EdgeKind.VERGE, 4000.0, slope=slope) for name, slope in (("B1", 30.0), ("B2", 45.0))]
    edges = [*EAVES[:2], line_of_edge("T1", EdgeKind.HEAD, 2000.0), *verges, *EAVES[3:]]
    placed = {"fascia board": 7000.0, "metal fascia": 500.0, "barge board": 8100.0, "metal barge": 50.0, "rail": 9.0}
    plans = [plan(name, (), placed_mm=mm) for name, mm in placed.items()]
    cuts = 0.2 * (1.0 / sqrt(3.0) + 1.0)
    rows = (
        (7.5, 0.0, 11.0 + 0.9 + 0.03 + 0.01, "m", "3 edges of 11.00 m", "fascia boards", ()),
        (8.15, 7.98, 8.0 + cuts + 0.02 + 0.01, "m", "2 edges of 8.00 m", "barge boards", ()),
    )
    values = {"fascia_board_depth_mm": 200}
    check(fascia_boards(case(values, roofs=(roof([], edges),), order={"plans": plans})), *rows)
    check(fascia_boards(case(values, roofs=(roof([], edges),), order={"plans": plans[2:]})), rows[1])


def test_a_leg_counts_as_far_as_its_ends_are_apart() -> None:
    (bound,) = gutter_lengths(_cut(0.0, runs=(replace(LEGS[0], legs=(leg(3.0, drawn=5000.0),), corners=()),)))
    assert (bound.low, bound.high) == pytest.approx((4.6, 5.4))
