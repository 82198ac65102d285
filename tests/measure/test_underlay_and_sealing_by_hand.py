"""Strips and rolls of underlay, and what joins, seals and touches up a roof: by hand. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing import underlay
from takeoff.measure.roofing.fixings import roof_fixings
from takeoff.measure.roofing.fixings.boxes import boxed
from takeoff.measure.roofing.underlay import Strip, lay_direction, plane_strips, valley_strips
from takeoff.model.basis import Basis, Quantity, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Roll
from takeoff.model.roof import Covering, Frame, Roof, RoofEdge, RoofPlane

SEEN = Basis(Status.SEEN, "a book", "a clause")
ROLL = Roll("wrap", "Wrap", "roof", 1350.0, 37000.0, {"*": SEEN})
FRAME = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
VALUES: dict[str, Any] = {
    "underlay_lap_mm": 150.0, "underlay_into_gutter_mm": 20.0, "underlay_over_ridge_mm": 200.0, "underlay_over_hip_mm": 150.0,
    "underlay_vertical_from_deg": 10.0, "underlay_direction": "vertical", "underlay_support_horizontal": True,
    "safety_mesh": False, "underlay_span_mm": 1200.0, "purlin_spacing_mm": 900.0, "underlay_material": "kraft",
    "underlay_kraft_run_mm": 10000.0, "flashing_lap_mm": 150.0, "rivet_spacing_mm": 50.0, "rivets_a_junction": 8.0,
    "rivets_an_end_lap": 5.0, "rivet_spare_percent": 10.0, "rivet_box": 100.0, "sealant_beads": 2.0, "sealant_a_junction_mm": 600.0,
    "sealant_tube_mm": 9000.0, "touch_up_m2": 100.0, "flashing_screw_spacing_mm": 500.0, "screw_spare_percent": 5.0,
    "flashing_screw_box": 50.0, "penetration_rivet_mm": 50.0,
}  # fmt: skip


def settings(**more: Any) -> Any:
    known = VALUES | more
    return SimpleNamespace(
        number=known.__getitem__, word=known.__getitem__, flag=known.__getitem__, unit=lambda name: "mm",
        term=lambda name: Term(name, known[name], ""), basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"),
    )  # fmt: skip


def plane(name: str = "P1", pitch: float = 20.0, ring: Ring2 = SQUARE, **more: Any) -> RoofPlane:
    return replace(RoofPlane(name, "main", FRAME, (ring,), (1,), 1, pitch, 180.0, 24e6, 22e6), **more)


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2, *faces: str) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, faces or ("P1",), dist(a, b), dist(a, b), 0.0, 180.0, True)


EAVE = edge("E1", EdgeKind.EAVE, (0.0, 0.0), (6000.0, 0.0))
RIDGE = edge("R1", EdgeKind.RIDGE, (0.0, 4000.0), (6000.0, 4000.0))
VALLEY = edge("V1", EdgeKind.VALLEY, (0.0, 0.0), (0.0, 4000.0))


def roof(*edges: RoofEdge, planes: tuple[RoofPlane, ...] = ()) -> Roof:
    return Roof("main", (0.0, 0.0, 0.0), (), (), (), planes or (plane(),), (), edges, ())


def job(direction: str | None = None, spacing: float | None = None, roll: str | None = None) -> Any:
    return SimpleNamespace(
        underlay=SimpleNamespace(direction=direction, roll=roll), purlins=SimpleNamespace(spacing_mm=spacing)
    )


def test_strips_over_a_plane() -> None:
    """Up the slope: 4000 and 20 into the gutter and 200 over the ridge; (6000 - 150) / 1200 = 4.875, five strips. Along it:
    (4220 - 150) / 1200 = 3.39, four strips of 6000."""
    house = roof(EAVE, RIDGE)
    assert (
        plane_strips(house, plane(), "vertical", ROLL, settings())
        == (Strip("P1", "vertical", pytest.approx(4220.0)),) * 5
    )
    assert (
        plane_strips(house, plane(), "horizontal", ROLL, settings())
        == (Strip("P1", "horizontal", pytest.approx(6000.0)),) * 4
    )


def test_strips_at_a_change_of_pitch() -> None:
    """It laps 150 over the plane below, from the foot of the one above: 4000, 150 and 200 over the ridge. At the head of the
    plane below it ends: 4000 and 20."""
    foot = edge("C1", EdgeKind.PITCH_CHANGE, (0.0, 0.0), (6000.0, 0.0))
    head = edge("C2", EdgeKind.PITCH_CHANGE, (0.0, 4000.0), (6000.0, 4000.0))
    for edges, long in (((foot, RIDGE), 4350.0), ((EAVE, head), 4020.0)):
        strips = plane_strips(roof(*edges), plane(), "vertical", ROLL, settings())
        assert strips == (Strip("P1", "vertical", pytest.approx(long)),) * 5


@pytest.mark.parametrize(
    ("wide", "centred", "bands"),
    [
        # a triangle 2000 high over its base, strips of 1350 every 1200: from 0 and from 1200 up
        (2000.0, False, [(0.0, 2000.0), (1200.0, 2000.0)]),
        # two strips cover 2550: they begin 275 before it, so that both are as long as at 925 and 275
        (2000.0, True, [(0.0, 2000.0), (925.0, 2000.0)]),
        (1350.0, False, [(0.0, 1350.0)]),
        (1350.4, False, [(0.0, 1350.4)]),
        (1351.0, False, [(0.0, 1351.0), (1200.0, 1351.0)]),
        (100.0, True, [(0.0, 100.0)]),
    ],
)
def test_bands_of_a_roll(wide: float, centred: bool, bands: list[tuple[float, float]]) -> None:
    """A right triangle: at v it reaches from v to its side in u."""
    ring = ((0.0, 0.0), (wide, 0.0), (wide, wide))
    found = underlay._bands((ring,), ROLL, settings(), centred)
    assert [b for pair in found for b in pair] == pytest.approx([b for pair in bands for b in pair], abs=0.01)
    assert underlay._bands((), ROLL, settings(), centred) == []
    # standing on its point each strip is as long as its plane is at its upper edge
    standing = ((0.0, 0.0), (2000.0, 2000.0), (0.0, 2000.0))
    found = underlay._bands((standing,), ROLL, settings(), False)
    assert [b for pair in found for b in pair] == pytest.approx([0.0, 1350.0, 0.0, 2000.0], abs=0.01)


def test_the_direction_of_lay() -> None:
    flat = Finding(
        "underlay-laid-horizontal", Severity.WARN, "P1: at 9.9 degrees underlay is laid horizontally on support, not vertically.",
        "Vertical laying is for 10 degrees and more.", ("P1",), source="source of underlay_vertical_from_deg",
    )  # fmt: skip
    rows = [
        (10.0, None, ("vertical", ())), (9.9999999, None, ("vertical", ())), (9.9, None, ("horizontal", ())),
        (9.9, "vertical", ("horizontal", (flat,))), (9.9, "horizontal", ("horizontal", ())), (10.0, "horizontal", ("horizontal", ())),
    ]  # fmt: skip
    for pitch, asked, found in rows:
        assert lay_direction(plane(pitch=pitch), job(asked), settings()) == found


def test_strips_in_valleys() -> None:
    """4000 and a lap over its head and 20 into the gutter; none of a roof beside it, none between planes without sheets."""
    assert valley_strips(roof(EAVE, VALLEY), settings()) == (Strip("", "valley", 4170.0),)
    assert valley_strips(roof(replace(VALLEY, roof="other")), settings()) == ()
    assert valley_strips(roof(VALLEY, planes=(plane(covering=Covering.OTHER),)), settings()) == ()
    assert valley_strips(roof(replace(VALLEY, faces=("P9",))), settings()) == ()


STRIPS = (
    Strip("P1", "vertical", 4000.0),
    Strip("P1", "vertical", 3000.4),
    Strip("", "valley", 5000.0),
    Strip("P2", "horizontal", 6000.0),
)


def test_whole_rolls() -> None:
    """18,000.4 of strips; a roll of 37 m gives 36.85: one, and two of rolls that give 18,000.3 or 9,100."""
    for length, rolls in (
        (37000.0, 1.0),
        (18150.4, 1.0),
        (18150.395, 1.0),
        (18150.3, 2.0),
        (9250.0, 2.0),
        (6000.0, 4.0),
    ):
        roll = replace(ROLL, length_mm=length)
        found = underlay._rolls(STRIPS, roll, Term("roll", "wrap", ""), settings())
        assert (found.figure, found.unit, found.item, found.refs) == (rolls, "roll", "wrap", ("P1", "P2"))
    terms = found.working.terms
    assert terms == (
        Term("strips of P1", 7.0, "m", ref="P1"), Term("strips in valleys", 5.0, "m", ref=""), Term("strips of P2", 6.0, "m", ref="P2"),
        Term("roll", "wrap", ""), Term("width_mm", 1350.0, "mm", SEEN), Term("length_mm", 6000.0, "mm", SEEN),
        Term("underlay_lap_mm", 150.0, ""), Term("underlay_over_hip_mm", 150.0, ""), Term("underlay_into_gutter_mm", 20.0, ""),
    )  # fmt: skip


def test_laps_that_are_taped() -> None:
    """Two roll ends across 1350, both sides of 5 m of valley; on P1 all but the longest strip, on P2 none."""
    assert underlay._taped_mm(STRIPS, ROLL, 3.0) == (2700.0 + 10000.0, pytest.approx(3000.4))
    assert underlay._taped_mm(STRIPS[:1], ROLL, 0.0) == (0.0, 0.0)


def test_what_underlay_needs_under_it() -> None:
    level = Finding(
        "underlay-needs-support", Severity.NOTE,
        "Underlay laid horizontally needs support unless both its edges lie on purlins: order mesh or netting under it.",
        refs=("P2",), source="source of underlay_support_horizontal",
    )  # fmt: skip
    span = Finding(
        "underlay-span", Severity.WARN,
        "Underlay spans 1300 mm between purlins; it carries itself over 1200 mm: order mesh or netting under it.", refs=("P1",),
        source="source of underlay_span_mm",
    )  # fmt: skip
    assert underlay._support(STRIPS, job(), settings()) == (level,)
    assert underlay._support(STRIPS, job(spacing=1300.0), settings()) == (level, span)
    assert underlay._support(STRIPS, job(spacing=1200.005), settings()) == (level,)
    assert underlay._support(STRIPS, job(), settings(purlin_spacing_mm=1300.0, underlay_support_horizontal=False)) == (
        span,
    )
    assert underlay._support(STRIPS[:1], job(), settings()) == ()
    (meshed,) = underlay._support(STRIPS, job(), settings(safety_mesh=True))
    assert meshed.text.endswith("purlins: the safety mesh carries it.")


def test_runs_of_kraft() -> None:
    long = (*STRIPS, Strip("P3", "vertical", 10050.0), Strip("", "valley", 12340.0), Strip("P3", "vertical", 10000.02))
    assert underlay._long_kraft(long, settings()) == (
        Finding(
            "underlay-run-too-long", Severity.WARN, "Kraft underlay runs 12.34 m; 10 m is its longest run.",
            "Take a synthetic underlay, or lap it at the limit.", ("P3",), source="source of underlay_kraft_run_mm",
        ),
    )  # fmt: skip
    assert underlay._long_kraft(long, settings(underlay_material="synthetic")) == ()
    assert underlay._long_kraft((Strip("P3", "vertical", 10000.005),), settings()) == ()


def test_a_roll_that_there_is_not() -> None:
    wall = replace(ROLL, id="wall", use="wall")
    catalogue: Any = SimpleNamespace(rolls={"wrap": ROLL, "wall": wall, "b": replace(ROLL, id="b")})
    assert underlay._roll("wrap", catalogue) is ROLL
    for name in ("wall", "none"):
        with pytest.raises(JobError) as told:
            underlay._roll(name, catalogue)
        assert told.value.faults == (f"underlay.roll: no roof underlay {name!r} in the catalogue; it has b, wrap.",)


def run(
    name: str,
    net: float,
    girth: float,
    kind: EdgeKind = EdgeKind.RIDGE,
    a: float = 0.0,
    b: float = 0.0,
    stock: int = 6000,
) -> Any:
    return SimpleNamespace(edge=name, net_mm=net, dress_a_mm=a, dress_b_mm=b, girth_mm=girth, stock_mm=stock, kind=kind)


# 11,850 is two pieces and one lap, with its dressings three and two laps
RUNS = (
    run("R1", 11850.0, 370.0),
    run("R2", 11600.0, 399.0, a=150.0, b=101.0),
    run("B1", 5000.0, 100.0, EdgeKind.VERGE),
)


def test_laps_of_a_flashing() -> None:
    assert [roof_fixings.flashing_laps(one, settings()) for one in RUNS] == [1, 2, 0]
    assert roof_fixings.flashing_laps(run("R2", 11600.0, 1.0, a=150.0, b=100.0), settings()) == 1


def lapped(*laps: float) -> Any:
    return SimpleNamespace(profile="rib", pieces=[SimpleNamespace(lap_mm=lap) for lap in laps])


def test_rivets(monkeypatch: pytest.MonkeyPatch) -> None:
    """370 / 50 + 1 = 8 across one lap, 399 / 50 + 1 = 8 across two; 3 junctions of 8, 2 end laps of 5, 41 round holes of 1000 and
    1001: 24 + 24 + 10 + 41 = 99, with a tenth more 108.9: two boxes."""
    monkeypatch.setattr(roof_fixings, "junctions_of", lambda roof: [None] * 3)
    (found,) = roof_fixings._rivets([lapped(150.0, 0.0), lapped(150.0)], [roof()], RUNS, [1000.0, 1001.0], settings())
    terms = (
        Term("counted", 99.0, "each"), Term("round sealed flashings of holes", 41, "each"), Term("across laps of flashings", 24, "each"),
        Term("junction pieces", 3, "each"), Term("end laps of sheets", 2, "each"),
        *(Term(name, VALUES[name], "") for name in ("rivet_spacing_mm", "rivets_a_junction", "rivets_an_end_lap", "rivet_spare_percent", "rivet_box")),
    )  # fmt: skip
    rule = "girth / spacing + 1 across each lap of a flashing, and what junctions and end laps take; with spares, whole boxes"
    assert found == Quantity("rivet", "rivet", 2.0, "box", ("R1", "R2", "B1"), Working(rule, terms))
    # without flashings there is no junction; without a hole no word of one
    (plain,) = roof_fixings._rivets([lapped(150.0)], [roof()], (), (), settings())
    assert [term.value for term in plain.working.terms[:4]] == [5.0, 0, 0, 1]
    # a girth of whole spacings, crumbs forgiven: 400 / 50 + 1 = 9
    (even,) = roof_fixings._rivets([], [], [run("R1", 11850.0, 400.0 - 1e-8)], (), settings())
    assert even.working.terms[0].value == 9.0


def test_sealant(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two beads across laps of 370 and twice 399: 2336; 3 junctions of 600; round holes 2001; two beads across two end laps of
    800: 3200. 9337 of tubes that give 9000: two."""
    monkeypatch.setattr(roof_fixings, "junctions_of", lambda roof: [None] * 3)
    profiles: Any = {"rib": SimpleNamespace(overall_mm=800.0)}
    (found,) = roof_fixings._sealant(
        [lapped(150.0, 0.0, 150.0)], [roof()], RUNS, [1000.0, 1001.0], settings(), profiles
    )
    terms = (
        Term("beads across laps of flashings", 2.336, "m"), Term("beads at junction pieces", 1.8, "m"), Term("beads round holes", 2.001, "m"),
        Term("beads across end laps of sheets", 3.2, "m"),
        *(Term(name, VALUES[name], "") for name in ("sealant_beads", "sealant_a_junction_mm", "sealant_tube_mm")),
    )  # fmt: skip
    assert found == Quantity(
        "sealant", "sealant", 2.0, "tube", ("R1", "R2", "B1"), Working("beads / bead a tube gives, whole tubes", terms)
    )
    for tube, tubes in ((9337.0, 1.0), (9336.9, 2.0), (9337.0 - 1e-6, 1.0), (3000.0, 4.0)):
        (found,) = roof_fixings._sealant(
            [lapped(150.0, 0.0, 150.0)], [roof()], RUNS, [1000.0, 1001.0], settings(sealant_tube_mm=tube), profiles
        )
        assert found.figure == tubes
    assert roof_fixings._sealant([lapped(0.0)], [roof()], (), (), settings(), profiles) == []
    (half,) = roof_fixings._sealant([], [roof()], (), (0.5,), settings(), profiles)
    assert half.figure == 1.0
    # beads are told to a millimetre
    profiles["rib"].overall_mm = 800.1
    (told,) = roof_fixings._sealant(
        [lapped(150.0)],
        [roof()],
        [run("R1", 11850.0, 370.1)],
        [1000.2],
        settings(sealant_a_junction_mm=600.1),
        profiles,
    )
    assert [term.value for term in told.working.terms[:4]] == [0.74, 1.8, 1.0, 1.6]


def test_touch_up_and_screws_of_flashings() -> None:
    """24 m2 of P1 and 30 of P3; P2 carries no sheets, P4 is another roof's: a bottle to 100 m2, two to 50, one to 54."""
    planes = (plane(), plane("P2", covering=Covering.OTHER), plane("P3", area_mm2=30e6), plane("P4", roof="other"))
    house = roof(planes=planes)
    for serves, bottles in ((100.0, 1.0), (54.0, 1.0), (50.0, 2.0)):
        (found,) = roof_fixings._touch_up([house], settings(touch_up_m2=serves))
        terms = (Term("true area", 54.0, "m2"), Term("touch_up_m2", serves, ""))
        rule = "true area / area a bottle serves"
        assert found == Quantity("touch-up", "touch_up", bottles, "bottle", ("P1", "P3"), Working(rule, terms))
    assert roof_fixings._touch_up([roof(planes=planes[1:2])], settings()) == []
    # 5000 / 500 + 1 along a barge; 5001 takes one more; a ridge has none
    screws = roof_fixings._flashing_screws((RUNS[0], RUNS[2], run("B2", 5001.0, 1.0, EdgeKind.VERGE)), settings())
    (found,) = screws
    assert (found.figure, found.refs, found.working.terms[0].value) == (1.0, ("B1", "B2"), 23)
    assert roof_fixings._flashing_screws(RUNS[:1], settings()) == []


@pytest.mark.parametrize(
    ("exact", "boxes"), [(0, None), (0.5, 1.0), (90, 1.0), (90.90909090909092, 1.0), (91, 2.0), (181, 2.0), (182, 3.0)]
)
def test_boxes_with_spares(exact: float, boxes: float | None) -> None:
    """A tenth more, in boxes of 100; crumbs open no box."""
    found = boxed("rivet", exact, "rivet_spare_percent", "rivet_box", ("R1",), "counted", settings(), Term("n", 1, ""))
    if boxes is None:
        assert found == []
        return
    terms = (
        Term("counted", exact, "each"),
        Term("n", 1, ""),
        Term("rivet_spare_percent", 10.0, ""),
        Term("rivet_box", 100.0, ""),
    )
    assert found == [
        Quantity("rivet", "rivet", boxes, "box", ("R1",), Working("counted; with spares, whole boxes", terms))
    ]
