"""The side that planes without a lee end start from, and what other ends would buy: by hand, lengths given."""

from __future__ import annotations

from dataclasses import replace
from math import cos, dist, radians, sin, tan
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.sheets import start_sides
from takeoff.measure.roofing.sheets.lay_direction import SetOut
from takeoff.measure.roofing.sheets.sheet_pieces import Ground, Laying, Tried
from takeoff.measure.roofing.sheets.start_sides import (
    _pairs_mm,
    _Search,
    _turned,
    _wind_place,
    cheaper_ends,
    with_least_sides,
)
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.model.sheets import CutShape, EndCut
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.strips import Widths

SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
# a square left end, a raked right one
RIGHT_RAKED = ((0.0, 0.0), (4000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
PLAIN = EndCut(CutShape.SQUARE)


def plane(
    name: str,
    turn: float = 90.0,
    outline: tuple[int, ...] = (1,),
    origin: Point2 = (0.0, 0.0),
    bearing: float = 90.0,
    ring: Ring2 = SQUARE,
) -> RoofPlane:
    """Its eave runs so many degrees left of east: north, unless told otherwise, square to a wind from the east."""
    c, s = cos(radians(turn)), sin(radians(turn))
    frame = Frame((*origin, 0.0), (c, s, 0.0), (-s, c, 0.0), (0.0, 0.0, 1.0))
    return RoofPlane(name, "main", frame, (ring,), outline, 1, 20.0, bearing, 24e6, 24e6)


def ground(of: RoofPlane, side: str = "left") -> Ground:
    ring = of.rings_uv[0]
    return Ground(of, SheetedArea((ring,), (("",) * len(ring),)), {}, side, "as asked")


def settings() -> Any:
    known: dict[str, Any] = {"lay_from": "east", "square_to_wind_deg": 1.0, "other_end_saves_mm": 1000.0}
    return SimpleNamespace(
        number=known.__getitem__,
        word=known.__getitem__,
        basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"),
    )


def laying(job: RoofJob | None = None, roof: Roof | None = None, half_turn: bool = False, north: float = 0.0) -> Laying:
    profile: Any = SimpleNamespace(half_turn_same=half_turn)
    whole = roof or Roof("main", (0.0, 0.0, 0.0), (), (), (), (), (), (), ())
    return Laying(whole, job or RoofJob(name="main"), Site(), north, settings(), profile, Widths(760.0, 800.0), 1.0)


def tried(length: float, side: str, top: EndCut = PLAIN, foot: EndCut = PLAIN) -> Tried:
    return Tried(0, length, foot, top, side)


def starts(grounds: Any) -> dict[str, SetOut]:
    return {one.plane.id: SetOut(one.side, 0.0 if one.side == "left" else 6000.0, 0.0, "", "") for one in grounds}


def lay(lengths: dict[tuple[str, str], float]) -> Any:
    return lambda of, out: [tried(lengths[of.plane.id, out.side], out.side)]


def sides(found: list[Ground]) -> list[tuple[str, str]]:
    return [(one.side, one.why) for one in found]


SQUARE_TO = "the eave is square to the wind, so from its"


def test_the_side_that_buys_least() -> None:
    """P1 buys 50 m less from its right, P2 as much from either: left; P3 has a lee end and stays as it is, as does P4, whose
    side the job gives."""
    job = RoofJob(name="main", edges={4: EdgeJob(start_side="right")})
    grounds = [
        ground(plane("P1")),
        ground(plane("P2", origin=(9000.0, 0.0))),
        ground(plane("P3", turn=0.0), "right"),
        ground(plane("P4", outline=(4,)), "right"),
    ]
    lengths = {
        ("P1", "left"): 60000.0,
        ("P1", "right"): 10000.0,
        ("P2", "left"): 5000.0,
        ("P2", "right"): 5000.0,
        ("P3", "right"): 1.0,
        ("P4", "right"): 1.0,
    }
    found = with_least_sides(grounds, laying(job), starts, lay(lengths))
    assert sides(found) == [
        ("right", f"{SQUARE_TO} right end, which buys 50.00 m less than from its left"),
        ("left", f"{SQUARE_TO} left end: either buys the same"), ("right", "as asked"), ("right", "as asked"),
    ]  # fmt: skip
    assert with_least_sides(grounds[2:], laying(job), starts, lay({})) == grounds[2:]
    nothing = replace(grounds[0], area=SheetedArea((), ()))
    assert with_least_sides([nothing], laying(), starts, lay({})) == [nothing]


def test_of_as_much_bought_the_side_that_more_rakes_can_share() -> None:
    """From the right P1's rake pairs with that of P3, which is laid the other way: half a metre at 32 degrees."""
    rake = EndCut(CutShape.RAKED, ("H1",), 32.0, "left")
    grounds = [ground(plane("P1")), ground(plane("P3", turn=0.0), "right")]

    def pieces(of: Ground, out: SetOut) -> list[Tried]:
        return [tried(5000.0, out.side, rake)] if of.plane.id == "P1" else [tried(5000.0, "left", rake)]

    found = with_least_sides(grounds, laying(), starts, pieces)
    assert sides(found)[0] == (
        "right",
        f"{SQUARE_TO} right end: either buys the same, from here more rakes can share a length",
    )
    # half a millimetre is the same
    near = with_least_sides(grounds[:1], laying(), starts, lay({("P1", "left"): 5000.4, ("P1", "right"): 5000.0}))
    assert sides(near)[0] == ("left", f"{SQUARE_TO} left end: either buys the same")


def test_many_planes_are_turned_one_after_another() -> None:
    """Six planes: each turned where that buys less, until none is."""
    grounds = [ground(plane(f"P{n}", origin=(9000.0 * n, 0.0))) for n in range(1, 7)]
    lengths = {
        (f"P{n}", side): 1000.0 * (n if side == "left" else 7 - n) for n in range(1, 7) for side in ("left", "right")
    }
    found = with_least_sides(grounds, laying(), starts, lay(lengths))
    assert [side for side, _ in sides(found)] == ["left"] * 3 + ["right"] * 3
    assert sides(found)[5][1] == f"{SQUARE_TO} right end, which buys 5.00 m less than from its left"


def test_each_start_line_is_laid_once() -> None:
    asked: list[tuple[str, str]] = []

    def pieces(of: Ground, out: SetOut) -> list[Tried]:
        asked.append((of.plane.id, out.side))
        return [tried(5000.0, out.side)]

    grounds = [ground(plane("P1")), ground(plane("P2", origin=(9000.0, 0.0)))]
    with_least_sides(grounds, laying(), starts, pieces)
    assert sorted(asked) == [("P1", "left"), ("P1", "right"), ("P2", "left"), ("P2", "right")]
    assert _turned(("left", "right", "left"), 1) == ("left", "left", "left")
    assert _turned(("left", "right"), 0) == ("right", "right")
    search = _Search(grounds, [0], laying(), starts, pieces)
    assert search._rank(("left",)) == (10000, 0, ("left",))


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, ("P1",), dist(a, b), dist(a, b), 0.0, 150.0, True)


@pytest.mark.parametrize(
    ("kind", "far", "side"),
    [
        (EdgeKind.VALLEY, 6000.0, "left"),
        (EdgeKind.VALLEY, 5999.0, "left"),
        (EdgeKind.VALLEY, 5998.9, ""),
        (EdgeKind.HIP, 6000.0, ""),
    ],
)
def test_a_square_end_before_the_head_of_a_valley(kind: EdgeKind, far: float, side: str) -> None:
    """The rake on the right is a valley whose head is the outermost point there, within a millimetre."""
    own = plane("P1", turn=0.0, ring=RIGHT_RAKED)
    edges = (
        edge("E1", EdgeKind.EAVE, (0.0, 0.0), (4000.0, 0.0)),
        edge("V1", kind, (4000.0, 0.0), (far, 4000.0)),
        edge("R1", EdgeKind.RIDGE, (0.0, 4000.0), (6000.0, 4000.0)),
    )
    roof = Roof("main", (0.0, 0.0, 0.0), (), (), (), (own,), (), edges, ())
    assert start_sides._square_before_valley(ground(own), laying(roof=roof)) == side
    mirrored = tuple((6000.0 - u, v) for u, v in RIGHT_RAKED)[::-1]
    other = plane("P1", turn=0.0, ring=mirrored)
    turned = (
        edge("V1", kind, (6000.0 - far, 4000.0), (2000.0, 0.0)),
        edge("R1", EdgeKind.RIDGE, (0.0, 4000.0), (6000.0, 4000.0)),
    )
    again = Roof("main", (0.0, 0.0, 0.0), (), (), (), (other,), (), turned, ())
    assert start_sides._square_before_valley(ground(other), laying(roof=again)) == ("right" if side else "")
    if side:
        north = replace(own, frame=plane("P1").frame)
        spun = tuple(
            replace(one, a_mm=(-one.a_mm[1], one.a_mm[0], 0.0), b_mm=(-one.b_mm[1], one.b_mm[0], 0.0)) for one in edges
        )
        whole = Roof("main", (0.0, 0.0, 0.0), (), (), (), (north,), (), spun, ())
        (found,) = with_least_sides([ground(north, "right")], laying(roof=whole), starts, lay({}))
        why = "the eave is square to the wind, so from its square left end, not from the valley's head"
        assert (found.side, found.why) == ("left", why)


def test_where_a_plane_lies_in_the_wind() -> None:
    """Facing 100, 10 from the lee end in the east; its eave's middle at (1, 5) m: 5 across the wind and 1 along it."""
    at = ground(plane("P1", origin=(1000.0, 2000.0), bearing=100.0))
    assert _wind_place(at, laying()) == (10, -5.0, 1.0)
    assert _wind_place(at, laying(north=90.0)) == (10, 1.0, 5.0)
    for bearing, deg in ((90.62, 0), (90.64, 1), (89.7, 0), (89.62, 359)):
        assert _wind_place(ground(plane("P1", bearing=bearing)), laying())[0] == deg


def test_what_pairs_of_rakes_could_save() -> None:
    """Tops rising left: two on planes laid from the left, one from the right; a foot that rises left counts the other way; at
    20 degrees each pair saves 800 x tan 20."""
    left, right, other = (
        EndCut(CutShape.RAKED, (), deg, hand) for deg, hand in ((20.2, "left"), (19.6, "right"), (31.0, "left"))
    )
    pieces = [
        tried(1.0, "left", left),
        tried(1.0, "left", left),
        tried(1.0, "right", left),
        tried(1.0, "left", other),
        tried(1.0, "left", PLAIN, right),
    ]
    one = 800.0 * tan(radians(20.0))
    # lefts: tops laid from the left 2, from the right 1, and a foot from the left on the other side: two pairs
    assert _pairs_mm(pieces, laying()) == pytest.approx(2 * one)
    assert _pairs_mm(pieces[:3], laying()) == pytest.approx(one)
    assert _pairs_mm(pieces[:2], laying()) == 0.0
    assert _pairs_mm(pieces[:2], laying(half_turn=True)) == pytest.approx(one)
    assert _pairs_mm(pieces, laying(half_turn=True)) == pytest.approx(2 * one)


def test_what_other_ends_would_buy_less() -> None:
    """Laid from the right, their lee end; P1 saves 2 m from its left, P2 1 m and is not worth a word, P5 3 m."""
    job = RoofJob(name="main", edges={7: EdgeJob(start_side="right"), 5: EdgeJob()})
    grounds = [ground(plane("P1", turn=0.0, outline=(2, 3)), "right"), ground(plane("P2", turn=0.0), "right"), ground(plane("P3", turn=0.0, outline=()), "right"),
               ground(plane("P4", turn=0.0, outline=(7,)), "right"), ground(plane("P5", turn=0.0, outline=(5,)), "right"), ground(plane("P6"), "left")]  # fmt: skip
    lengths = {(f"P{n}", side): 9000.0 for n in range(1, 7) for side in ("left", "right")} | {("P1", "left"): 7000.0, ("P2", "left"): 8000.0, ("P3", "left"): 1.0,
               ("P4", "left"): 1.0, ("P5", "left"): 6000.0, ("P6", "right"): 1.0}  # fmt: skip
    assert cheaper_ends(grounds, laying(job), starts, lay(lengths)) == (
        Finding(
            "other-end-buys-less", Severity.NOTE,
            "Roof main is laid from the lee end; laid towards it, planes would buy less: P1 2.00 m from its left, P5 3.00 m from its left; all of them 5.00 m.",
            "Free edges then face the wind. Where that may be, add under the roof: `edges: {2: {start_side: left}, 5: {start_side: left}}`.",
            ("P1", "P5"), source="source of other_end_saves_mm",
        ),
    )  # fmt: skip
    (alone,) = cheaper_ends(grounds[:1], laying(job), starts, lay(lengths))
    assert alone.text.endswith("buy less: P1 2.00 m from its left.")
    assert cheaper_ends(grounds[1:4], laying(job), starts, lay(lengths)) == ()
    assert cheaper_ends([], laying(job), starts, lay(lengths)) == ()
