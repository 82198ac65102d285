"""Holes on planes and in sheets, and their flashings: by hand on plain planes. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import cos, dist, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest
from sheets_by_hand import piece, sheets

from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.flashings import hole_flashings
from takeoff.measure.roofing.openings import hole_places
from takeoff.measure.roofing.openings.hole_places import _meets, find_holes, on_sheets, plan_to_plane, plane_under
from takeoff.model.basis import Term
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.roofs import PenetrationJob, RoofJob
from takeoff.model.openings import Hole, HoleInSheet
from takeoff.model.roof import Covering, Frame, Roof, RoofEdge, RoofPlane

SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
# 60 degrees: a mm on the plan is two up the slope
STEEP = Frame((1000.0, 500.0, 2000.0), (1.0, 0.0, 0.0), (0.0, 0.5, sin(radians(60.0))), (0.0, -sin(radians(60.0)), 0.5))
FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def plane(name: str = "P1", frame: Frame = FLAT, ring: Ring2 = SQUARE, **more: Any) -> RoofPlane:
    return replace(RoofPlane(name, "main", frame, (ring,), (1,), 1, 60.0, 180.0, 24e6, 12e6), **more)


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, ("P1",), dist(a, b), dist(a, b), 0.0, 180.0, True)


def roof(
    *planes: RoofPlane, edges: tuple[RoofEdge, ...] = (), origin: tuple[float, float, float] = (0.0, 0.0, 0.0)
) -> Roof:
    return Roof("main", origin, (), (), (), planes, (), edges, ())


VALUES = {
    "hole_trimmer_over_mm": 300.0, "boot_most_mm": 500.0, "boot_alone_most_mm": 200.0, "hole_edge_mm": 150.0,
    "hole_hazard_mm": 400.0, "flue_underlay_clear_mm": 50.0, "penetration_past_mm": 100.0, "kerb_back_mm": 250.0,
    "penetration_rivet_mm": 50.0, "penetration_lap_a_mm": 150.0, "kerb_up_mm": 80.0, "flashing_crests_A": 2.0,
}  # fmt: skip


def settings(sealed: bool = False) -> Any:
    words = {"penetration_type": "b" if sealed else "a"}
    return SimpleNamespace(
        number=VALUES.__getitem__,
        word=words.__getitem__,
        basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"),
        term=lambda name: Term(name, VALUES.get(name, 0.0), "mm"),
    )


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


def given(**more: Any) -> PenetrationJob:
    return PenetrationJob.model_validate({"at": (3000.0, 2000.0), "kind": "pipe", "diameter_mm": 100.0} | more)


def hole(**more: Any) -> Hole:
    known: dict[str, Any] = {
        "id": "X1", "name": "X1", "roof": "main", "plane": "P1", "kind": "pipe", "centre_uv": (3000.0, 2000.0),
        "width_mm": 100.0, "length_mm": 200.0, "diameter_mm": 100.0, "at_mm": (3000.0, 2000.0, 0.0), "flashing": "boot",
        "trimmed": False,
    } | more  # fmt: skip
    known["centre_uv"] = tuple(map(pytest.approx, known["centre_uv"]))
    known["length_mm"] = pytest.approx(known["length_mm"])
    return Hole(**known)


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


@pytest.fixture
def two_crests(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two crests of 76 at either side, 304 and the hole, whatever the wind."""
    monkeypatch.setattr(
        hole_flashings, "_width", lambda hole, *_: (hole.width_mm + 304.0, (Term("hole", hole.width_mm, "mm"),))
    )


SITE: Any = None
PROFILE: Any = None


@pytest.mark.usefixtures("two_crests")
@pytest.mark.parametrize("sealed", [False, True])
def test_flashings_of_holes(sealed: bool) -> None:
    """A flue of 400 by 600 from 1700 to 2300 under a top at 4000; a pipe's boot; a kerb."""
    flue = replace(
        hole(),
        kind="flue",
        width_mm=400.0,
        length_mm=600.0,
        diameter_mm=250.0,
        centre_uv=(3000.0, 2000.0),
        flashing="boot and back",
    )
    wide = Term("hole", 400.0, "mm")
    boot = (
        Made("flue_boot_250", "flue_boot", (Mark(MarkKind.PIPE, 250.0),)),
        "one a pipe",
        (Term("diameter", 250.0, "mm", ref="X1"),),
    )
    lap, past = Term("penetration_lap_a_mm", 150.0, "mm"), Term("penetration_past_mm", 100.0, "mm")
    up, back = Term("kerb_up_mm", 80.0, "mm"), Term("kerb_back_mm", 250.0, "mm")
    lines = hole_flashings._lines(plane(), flue, PROFILE, SITE, settings(sealed))

    def tray(stem: str, sort: str, long: float, rule: str, *terms: Term) -> tuple[Made, str, tuple[Term, ...]]:
        made = Made(f"{stem}_704x{long:.0f}", sort, (Mark(MarkKind.SPREAD, (704.0, long)),))
        return made, f"{rule}; width over the crests at either side", (wide, *terms)

    under, sealed_under = "back_flashing_under_a_boot", "sealed_flashing_under_a_boot"
    if sealed:  # 600 and 100 past it at both ends
        terms = (past, Term("penetration_lap_b_mm", 0.0, "mm"))
        assert lines == [boot, tray(sealed_under, sealed_under, 800.0, "hole and what it goes past it", *terms)]
    else:  # from 4000 down to 1700 and 150 more
        assert lines == [boot, tray(under, under, 2450.0, "from the top past the hole", lap)]
    kerb = hole_flashings._lines(plane(), replace(flue, flashing="kerb"), PROFILE, SITE, settings(sealed))
    sides = [
        (Made(f"kerb_side_{hand}_900", "kerb_side", (Mark(MarkKind.HAND, hand), Mark(MarkKind.LONG, 900.0))),
         "hole and laps at both ends", (Term("hole", 600.0, "mm", ref="X1"), lap, up))
        for hand in ("left", "right")
    ]  # fmt: skip
    apron = tray("kerb_apron", "kerb_apron", 230.0, "lap over the sheet below and up the kerb", lap, up)
    if sealed:  # 250 up the slope and 80 up the kerb
        last = tray(
            "kerb_back", "kerb_back_sealed", 330.0, "up the slope, sealed and riveted, and up the kerb", back, up
        )
    else:  # from 4000 down to 2300 and 80 up the kerb
        last = tray("kerb_back", "kerb_back", 1780.0, "from the top to the hole and up the kerb")
    assert kerb == [apron, *sides, last]
    assert [
        one[0].id
        for one in hole_flashings._lines(
            plane(), replace(flue, flashing="boot", kind="pipe"), PROFILE, SITE, settings()
        )
    ] == ["pipe_boot_250"]


@pytest.mark.usefixtures("two_crests")
def test_edges_that_are_sealed_and_riveted() -> None:
    """Round a tray of 704 by 600 and what it goes past the hole, 100 or at a kerb 250."""
    flue = replace(hole(), width_mm=400.0, length_mm=600.0)

    def edge_mm(flashing: str, sealed: bool = True) -> float:
        return hole_flashings.riveted_mm(replace(flue, flashing=flashing), PROFILE, SITE, 20.0, settings(sealed))

    assert (edge_mm("boot and back"), edge_mm("kerb"), edge_mm("boot"), edge_mm("kerb", sealed=False)) == (
        3008.0,
        3608.0,
        0.0,
        0.0,
    )
    assert [hole_flashings.rivets_of(mm, settings()) for mm in (3000.0, 3000.005, 3001.0, 0.0)] == [60, 60, 61, 0]


def test_like_flashings_are_counted_together() -> None:
    two = [replace(hole(), id=f"X{n}") for n in (1, 2)]
    need = hole_flashings.measure_hole_flashings(roof(plane()), two, PROFILE, SITE, settings())
    assert need is not None
    (found,) = need.quantities
    assert (found.item, found.figure, found.unit, found.refs) == ("pipe_boot_100", 2.0, "each", ("X1", "X2"))
    assert [made.id for made in need.items] == ["pipe_boot_100"]
    assert hole_flashings.measure_hole_flashings(roof(plane()), [], PROFILE, SITE, settings()) is None
    assert cos(radians(plane().pitch_deg)) == pytest.approx(0.5)
