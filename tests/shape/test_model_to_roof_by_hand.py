"""From planes of a model to a roof: its outline, walls over its edges, what is said of it; every figure by hand.

Limits (takeoff/basics/model_limits.py) are common practice, no source.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from drawn_faces import Point3, border, net_of, patch
from made_roofs import box, edge, rising, roof

from takeoff.basics.errors import ShapeError
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Covering, UprightKind
from takeoff.shape.faces.outline_sides import OutlineSides
from takeoff.shape.faces.parts import Face, Plan
from takeoff.shape.imported import raised as raising
from takeoff.shape.imported import roof_from_faces as found_in
from takeoff.shape.imported.kerbs import kerb_borders
from takeoff.shape.imported.mesh_borders import Borders
from takeoff.shape.imported.planes import Patch
from takeoff.shape.imported.raised import Raised, raise_patches

E = EdgeKind
UP: Point3 = (0.0, 0.0, 1.0)


@pytest.mark.parametrize(
    ("points", "origin"),
    [
        ([(1e6, -1e6, 9e9), (0.0, 5.0, 0.0)], (0.0, 0.0, 0.0)), ([(1e6 + 1.0, 3.0, 7.0), (2.5e6, 8.0, 7.0)], (1e6, 0.0, 0.0)),
        ([(0.0, -1.5e6, 0.0), (-10.0, -2.5e6, 0.0)], (-1e6, -3e6, 0.0)), ([(1.75e9 + 9.0, 5.43e9, 0.0), (1.7501e9, 5.4321e9, 0.0)], (1.75e9, 5.43e9, 0.0)),
    ],
)  # fmt: skip
def test_models_on_a_survey_grid_are_counted_from_a_round_point(points: list[Point3], origin: Point3) -> None:
    assert found_in._origin(np.array(points)) == origin


@pytest.mark.parametrize(
    ("wide", "deep", "sliver"),
    [(1000.0, 30.0, True), (1000.0, 30.9, True), (1000.0, 31.0, False), (173.0, 173.0, True), (174.0, 174.0, False)],
)
def test_what_welding_leaves_is_no_part_of_a_roof(wide: float, deep: float, sliver: bool) -> None:
    """Under 0.03 m2, or narrower than 30 mm by its way round: 2 x 30.92 x 1000 is 30 x 2061.8."""
    assert found_in._is_sliver(box(5.0, 7.0, 5.0 + wide, 7.0 + deep)) is sliver


def test_the_outline_of_a_model(monkeypatch: pytest.MonkeyPatch) -> None:
    whole, hole = box(0.0, 0.0, 9000.0, 6000.0), box(1000.0, 1000.0, 2000.0, 2000.0)
    far, crumb = box(20000.4, 99.6, 22000.4, 1599.6), box(0.0, 0.0, 100.0, 100.0)
    nothing: Any = None
    monkeypatch.setattr(
        found_in, "outline_rings", lambda _, near: ([whole, far, crumb], [hole]) if near == 10.0 else None
    )
    text = "roof main: a part of 3.00 m2 at (20000, 100) does not touch the rest; give it as a roof of its own, in a file of its own"
    assert found_in._outline("main", nothing) == ((whole, hole), [text])
    assert found_in._numbers((whole, hole[:3])) == ((1, 2, 3, 4), (5, 6, 7))
    monkeypatch.setattr(found_in, "outline_rings", lambda *_: ([], []))
    with pytest.raises(ShapeError, match="roof main: the roof has no outer edge; its faces overlap or are inside out"):
        found_in._outline("main", nothing)

    def broken(*_: object) -> None:
        raise ValueError

    monkeypatch.setattr(found_in, "outline_rings", broken)
    with pytest.raises(
        ShapeError, match="roof main: the edge of the roof does not run round in one line; faces overlap"
    ):
        found_in._outline("main", nothing)


@pytest.mark.parametrize(
    ("rise", "wide", "level"),
    [(0.0099, 9000.0, True), (0.0101, 9000.0, False), (0.05, 100.0, True), (0.051, 100.0, False)],
)
def test_a_models_flat_roof_is_never_quite_flat(rise: float, wide: float, level: bool) -> None:
    """A fall under 1 in 100, or of no more than 5 mm in all."""
    plane = patch((-rise, 0.0, 1.0), (50.0, 60.0, 7.0))
    ring = [(x, y, 0.0) for x, y in box(10.0, 20.0, 10.0 + wide, 90.0)]
    assert found_in._is_level(plane, [ring]) is level


def test_points_of_split_borders_are_put_into_rings() -> None:
    a, b, c, m, n, s = ((float(k), 0.0, 0.0) for k in range(6))
    borders = Borders((), (), (), {(a, b): (m, n), (c, a): (s,), (b, a): (c,)}, {n: c})
    assert found_in._with_extra([a, b, c], borders) == (a, m, c, b, c, s)


def quad_wall(
    x0: float, x1: float, low: float, high0: float, high1: float, y: float = 0.0
) -> list[tuple[Point3, Point3]]:
    ring = [(x0, y, low), (x1, y, low), (x1, y, high1), (x0, y, high0)]
    return list(zip(ring, [*ring[1:], ring[0]], strict=True))


def test_the_top_of_a_wall_over_a_place() -> None:
    """From x = 1000 to 5000 its top falls from 3000 to 2600: over 2000 it is 2900; beside it there is none."""
    wall = quad_wall(1000.0, 5000.0, 0.0, 3000.0, 2600.0)
    assert found_in._top_at(wall, (2000.0, 0.0, 0.0), (1.0, 0.0, 0.0)) == 2900.0
    assert found_in._top_at(wall[::-1], (4000.0, 0.0, 99.0), (-1.0, 0.0, 0.0)) == 2700.0
    assert found_in._top_at(wall, (999.0, 0.0, 0.0), (1.0, 0.0, 0.0)) == float("-inf")
    oblique = [((0.6 * x + 7.0, 0.8 * x + 9.0, z), (0.6 * p + 7.0, 0.8 * p + 9.0, q)) for (x, _, z), (p, _, q) in wall]
    assert found_in._top_at(oblique, (7.0 + 1200.0, 9.0 + 1600.0, 0.0), (0.6, 0.8, 0.0)) == pytest.approx(2900.0)


def with_walls(*walls: tuple[Patch, Any]) -> Any:
    return SimpleNamespace(walls=[wall for wall, _ in walls], wall_borders=[sides for _, sides in walls])


@pytest.mark.parametrize(
    ("normal", "off", "top"),
    [
        ((0.0, 1.0, 0.0), 0.0, 2800.0), ((0.0, 1.0, 0.0), 9.9, 2800.0), ((0.0, 1.0, 0.0), 10.1, None), ((0.0, 1.0, 0.0), -10.1, None),
        ((0.0199, 0.9998, 0.0), 0.0, 2800.0), ((0.0202, 0.9998, 0.0), 0.0, None),
    ],
)  # fmt: skip
def test_a_wall_stands_over_an_edge_within_a_centimetre(normal: Point3, off: float, top: float | None) -> None:
    """Over the middle of an edge from 2000 to 4000, and turned by no more than 1 in 50."""
    wall = (patch(normal, (3000.0, off, 99.0)), quad_wall(1000.0, 5000.0, 0.0, 3000.0, 2600.0))
    low = (patch((0.0, 1.0, 0.0), (3000.0, 0.0, 0.0)), quad_wall(0.0, 9000.0, 0.0, 500.0, 500.0))
    height = found_in._wall_top(with_walls(wall, low), (2000.0, 0.0, 400.0), (4000.0, 0.0, 600.0))
    assert height == pytest.approx(500.0 if top is None else top)
    assert found_in._wall_top(with_walls(), (2000.0, 0.0, 400.0), (4000.0, 0.0, 600.0)) == float("-inf")


SIDES = OutlineSides(
    Plan("main", (0.0, 0.0, 0.0), (box(0.0, 0.0, 9000.0, 6000.0),), edge_numbers=((1, 2, 3, 4),), near_mm=15.0)
)


@pytest.mark.parametrize(("top", "stops"), [(2600.1, True), (2600.0, False)])
def test_a_roof_stops_at_a_wall_that_goes_on_over_its_edge(top: float, stops: bool) -> None:
    """100 mm over its higher end."""
    wall = (patch((0.0, -1.0, 0.0), (0.0, 0.0, 0.0)), quad_wall(-100.0, 9100.0, 0.0, top, top))
    one = border(0, (0.0, 0.0, 2400.0), (9000.0, 0.0, 2500.0), (0, 1))
    found = found_in._abutting(with_walls(wall), [one], SIDES)
    ring = ((9000.0, 0.0, 2500.0), (0.0, 0.0, 2400.0), (0.0, 0.0, top), (9000.0, 0.0, top))
    due = Face((ring,), (0.0, 1.0, 0.0), (1,), upright=UprightKind.ABUTTING)
    assert found == ([due] if stops else [])


def test_the_faces_of_a_models_planes() -> None:
    """A slope whose border along edge 1 is its eave, and a level one that lies 4 mm out of flat."""
    low, high = patch((0.0, -0.5, 1.0), (0.0, 0.0, 2400.0)), Patch((), UP, (0.0, 0.0, 3900.0), 4.0, 0.0, 7.0)
    ring = tuple((x, y, 2400.0 + y / 2.0) for x, y in box(0.0, 0.0, 9000.0, 3000.0))
    top = tuple((x, y, 3900.0) for x, y in box(0.0, 3000.0, 9000.0, 6000.0))
    eave, head = border(0, ring[0], ring[1], (0, 1)), border(0, ring[2], ring[3], (2, 3))
    raised = Raised([low, high], [], [(ring,), (top,)], [], [], 0.0)
    faces = found_in._roof_faces(
        raised, Borders((), (eave, head, border(1, top[2], top[3], (4, 5))), (), {}, {}), SIDES
    )
    assert faces == [
        Face((ring,), low.normal, (1,), fascia_mm=2400.0),
        Face((top,), UP, (), pitch_deg=0.0, covering=Covering.OTHER, fascia_mm=3900.0, flat_error_mm=7.0),
    ]


def test_what_is_said_of_a_model_that_was_mended() -> None:
    def said(crumbs: int, doubles: int, moved: float, bridged: set[int]) -> list[Finding]:
        return found_in._clean_findings(
            "main", SimpleNamespace(crumbs=crumbs, doubles=doubles), SimpleNamespace(moved_mm=moved), bridged
        )  # type: ignore[arg-type]

    snapped = Finding(
        "mesh-snapped", Severity.FIXED, "roof main: corners were moved by up to 6 mm to bring them onto their planes",
        "check the lengths of hips and valleys on site",
    )  # fmt: skip
    assert said(0, 0, 5.0, set()) == []
    assert said(0, 0, 5.6, set()) == [snapped]
    assert said(0, 0, 5.6, {3}) == []
    for crumbs, doubles in ((2, 0), (0, 3)):
        text = f"roof main: {crumbs} faces without area and {doubles} repeated faces were left out"
        assert said(crumbs, doubles, 0.0, set()) == [Finding("mesh-cleaned", Severity.FIXED, text)]


def test_edges_of_a_models_outline_are_named_by_what_lies_on_them() -> None:
    def on(kind: EdgeKind, *numbers: int) -> Any:
        return edge(f"E{numbers[0]}", kind, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), outline_edges=numbers)

    one = roof(
        edge_names=("",) * 5,
        edges=(on(E.EAVE, 1), on(E.VERGE, 1, 2), on(E.APRON_SIDE, 3), on(E.EAVE, 4), on(E.APRON_HEAD, 4)),
    )
    assert found_in._edge_names(one) == ("eave", "gable", "wall", "eave", "gable")


def test_planes_out_of_flat_and_openings_are_told() -> None:
    planes = tuple(
        rising(f"P{n}", 0.0, 0.0, 0.5, box(0.0, 0.0, 9.0, 9.0), flat_error_mm=off) for n, off in ((1, 5.0), (2, 5.6))
    )
    text = "roof main: plane P2 is out of flat by 6 mm; it was taken as one"
    assert found_in._flat_findings(roof(planes=planes)) == [
        Finding("plane-not-flat", Severity.WARN, text, "check it on site before sheets are cut", ("P2",))
    ]
    holed = roof(outline_mm=(box(0.0, 0.0, 9000.0, 6000.0), box(1000.4, 2000.6, 2500.4, 3000.6)[::-1]))
    text = "roof main: there is an opening of 1.50 m2 at (1000, 3001)"
    due = Finding("roof-opening", Severity.WARN, text, "if the roof is whole there, a face is missing from the model")
    assert found_in._hole_findings(holed) == [due]


def test_a_model_that_does_not_close_is_refused_or_partial(monkeypatch: pytest.MonkeyPatch) -> None:
    """5 mm along the border, 30 m, may be missing: a quarter of that a metre is what each step of the coordinates is."""
    asked: list[tuple[float, float]] = []

    def closing(_: object, rounding: float, off_plane: float) -> tuple[str, ...]:
        asked.append((rounding, off_plane))
        return ("open",)

    monkeypatch.setattr(found_in, "closure_faults", closing)
    one = roof(
        outline_mm=(box(0.0, 0.0, 9000.0, 6000.0),),
        edge_names=("eave",) * 4,
        edges=(edge("E1", E.EAVE, (0.0, 0.0, 0.0), (9000.0, 0.0, 6.0), outline_edges=(1,)),),
    )
    with pytest.raises(ShapeError) as refused:
        found_in._refuse_open(one, RoofJob(name="main"), ["apart"])
    assert refused.value.faults == (
        "apart",
        "open",
        "roof main: mend the model, or say allow_partial: true to take off what closes",
    )
    assert asked == [(1.25, 5.0)]
    partial = found_in._finished(one, RoofJob(name="main", allow_partial=True), ["apart"])
    assert (partial.closed, partial.partial, partial.edge_names) == (False, True, ("eave", "gable", "gable", "gable"))
    assert [(f.code, f.text, f.advice) for f in partial.findings[1:]] == [
        ("roof-not-closed", text, "this takeoff is partial") for text in ("apart", "open")
    ]
    assert partial.findings[0].code == "eave-not-level"
    monkeypatch.setattr(found_in, "closure_faults", lambda *_: ())
    whole = found_in._finished(one, RoofJob(name="main"), [])
    assert (whole.closed, whole.partial, [f.code for f in whole.findings]) == (True, False, ["eave-not-level"])


def test_nodes_are_brought_onto_the_planes_that_meet_there() -> None:
    """Level at 0 and upright at x = 0 meet in a node at (3, 5, 4): it goes to (0, 5, 0); a node of a lone plane straight onto it."""
    net: Any = SimpleNamespace(nodes=np.array([(3.0, 5.0, 4.0), (7.0, 8.0, -2.0), (9.0, 9.0, 9.0)]))
    level, upright, bent = (
        patch(UP, (0.0, 0.0, 0.0)),
        patch((1.0, 0.0, 0.0), (0.0, 0.0, 0.0)),
        Patch((), UP, (0.0, 0.0, 100.0), 5.1),
    )
    moved, furthest = raising.snap(net, ((level,), (upright,)), ([[(0, 1), (1, 0)]], [[(0, 2), (2, 0)]]), frozenset())
    assert moved == {0: pytest.approx((0.0, 5.0, 0.0)), 1: pytest.approx((7.0, 8.0, 0.0))}
    assert furthest == pytest.approx(5.0)
    # a twisted plane moves nothing, and a wall alone neither
    still, none = raising.snap(net, ((bent,), (upright,)), ([[(0, 1), (1, 0)]], [[(0, 2), (2, 0)]]), frozenset())
    assert (still, none) == ({0: (3.0, 5.0, 4.0), 1: (7.0, 8.0, -2.0)}, 0.0)


@pytest.mark.parametrize(
    ("high", "turn", "far", "moves"),
    [(20.0, 0.5, False, True), (24.9, 0.5, False, True), (25.1, 0.5, False, False), (30.0, 0.5, True, True), (20.0, 0.05, False, False), (20.0, 0.05, True, True),
     (20.0, 0.002, True, False)],
)  # fmt: skip
def test_planes_that_are_nearly_one_throw_no_node_far(high: float, turn: float, far: bool, moves: bool) -> None:
    """A level plane at the node and one turned by 1 in 2 so high over it meet twice as far away: 50 mm at most, unless a gap was
    closed there. Further off, and turned by less than a degree, they count as one: half way up between them."""
    normals = np.array([(0.0, 0.0, 1.0), (-turn, 0.0, 1.0)])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    gaps = np.array([0.0, high * normals[1, 2]])
    step = raising._least_step(normals, gaps, far)
    on_both = np.abs(normals @ step - gaps).max() < 1e-6
    assert bool(on_both) is moves
    assert np.linalg.norm(step) == pytest.approx(high / turn if moves else high / 2.0, rel=0.1)


@pytest.mark.parametrize(
    ("off", "up", "folded", "straight"),
    [
        (0.0, 0.0, 0.0, True),
        (0.0, 12.0, 4.1, True),
        (0.0, 12.0, 3.9, False),
        (5.1, 0.0, 9.0, False),
        (4.9, 0.0, 9.0, True),
    ],
)
def test_a_node_on_a_fold_that_was_straightened_is_straight(
    off: float, up: float, folded: float, straight: bool
) -> None:
    """Halfway along 10 m: in height off by three times the fold, in plan by 5 mm."""
    patches = [Patch((), UP, UP, 0.0), Patch((), UP, UP, folded)]
    assert raising._straight((0.0, 0.0, 0.0), (5000.0, off, up), (10000.0, 0.0, 0.0), patches) is straight


def test_rings_of_raised_patches() -> None:
    """Two squares of 9 and 6 m2 in one level plane, cut by a side that is subdivided; a hole of 0.25 m2 in the first."""
    holed = [
        ((0.0, 0.0, 0.0), (3000.0, 0.0, 0.0), (2000.0, 1000.0, 0.0), (1000.0, 1000.0, 0.0)), ((3000.0, 0.0, 0.0), (3000.0, 3000.0, 0.0), (2000.0, 2000.0, 0.0), (2000.0, 1000.0, 0.0)),
        ((3000.0, 3000.0, 0.0), (0.0, 3000.0, 0.0), (1000.0, 2000.0, 0.0), (2000.0, 2000.0, 0.0)), ((0.0, 3000.0, 0.0), (0.0, 0.0, 0.0), (1000.0, 1000.0, 0.0), (1000.0, 2000.0, 0.0)),
        ((3000.0, 0.0, 4.0), (5000.0, 0.0, 4.0), (5000.0, 3000.0, 4.0), (3000.0, 3000.0, 4.0)),
    ]  # fmt: skip
    net = net_of(*holed)
    patches = [patch(UP, (0.0, 0.0, 0.0), *range(8)), patch(UP, (0.0, 0.0, 4.0), 8, 9)]
    raised = raise_patches("main", net, patches, [])
    first, second = raised.rings
    assert [len(ring) for ring in first] == [4, 4]
    assert sorted(first[0]) == [(0.0, 0.0, 0.0), (0.0, 3000.0, 0.0), (3000.0, 0.0, 0.0), (3000.0, 3000.0, 0.0)]
    assert sorted(first[1]) == [
        (1000.0, 1000.0, 0.0),
        (1000.0, 2000.0, 0.0),
        (2000.0, 1000.0, 0.0),
        (2000.0, 2000.0, 0.0),
    ]
    assert sorted(second[0]) == [(3000.0, 0.0, 4.0), (3000.0, 3000.0, 4.0), (5000.0, 0.0, 4.0), (5000.0, 3000.0, 4.0)]
    assert sorted(number for number, *_ in raised.free) == [0] * 8 + [1] * 4
    assert raised.moved_mm == 0.0


@pytest.mark.parametrize(
    ("wide", "falls_in", "kerbs"),
    [(2040.0, False, 4), (2060.0, False, 0), (2040.0, True, 0)],
)
def test_small_holes_have_kerbs_unless_the_roof_falls_into_them(wide: float, falls_in: bool, kerbs: int) -> None:
    """A hole of 2 m x 2.04 m is 4.08 m2, of 2.06 m 4.12: over 4.1 it is a court."""
    hole = box(1000.0, 1000.0, 1000.0 + wide, 3000.0)[::-1]
    plan = Plan(
        "main",
        (0.0, 0.0, 0.0),
        (box(0.0, 0.0, 9000.0, 6000.0), hole),
        edge_numbers=((1, 2, 3, 4), (5, 6, 7, 8)),
        near_mm=15.0,
    )
    sides = OutlineSides(plan)
    ring = [(x, y, 0.0) for x, y in hole]
    round_it = [border(k if falls_in else 4, ring[k], ring[(k + 1) % 4], (k, (k + 1) % 4)) for k in range(4)]
    outer = border(4, (0.0, 0.0, 0.0), (9000.0, 0.0, 0.0), (8, 9))
    # planes that rise away from the hole's north, east, south and west side, and one that rises along y all over
    slopes = ((0.0, -0.5), (-0.5, 0.0), (0.0, 0.5), (0.5, 0.0), (0.0, -0.5))
    patches = [patch((*slope, 1.0), UP) for slope in slopes]
    assert kerb_borders(plan, [outer, *round_it], patches, sides) == (round_it if kerbs else [])
