"""Several roofs in one job: verandahs and lean-tos end at walls, stay whole under eaves, and each roof closes.

Expected values are worked out by hand on rectangles (derived).
"""

from __future__ import annotations

from math import cos, radians, tan

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.basics.polygons import rings_area
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof, UprightKind
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.outline_order.put_in_order import OrderedRings
from takeoff.shape.together.combine import combine_roofs

SETTINGS = resolve_settings(Job(job="check"))
HOUSE = {
    "name": "main",
    "wall_line": [(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)],
    "eave_overhang_mm": 600.0,
    "pitch_deg": 25.0,
    "fascia_height_mm": 2700.0,
}


def _rect(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _combined(*jobs: dict[str, object], north_deg: float = 0.0) -> tuple[Roof, ...]:
    read = tuple(RoofJob.model_validate({"fascia_height_mm": 2200.0, **job}) for job in jobs)
    roofs: list[Roof] = []
    for job in read:
        roofs.append(roof_from_outline(job, north_deg, SETTINGS, 1 + sum(len(roof.planes) for roof in roofs)))
    return combine_roofs(tuple(roofs), read)


def _total(roof: Roof, kind: EdgeKind) -> float:
    return sum(edge.length_mm for edge in roof.edges if edge.kind is kind)


def _closes(roof: Roof) -> None:
    covered = sum(plane.plan_area_mm2 for plane in roof.planes) + roof.cut_away_mm2
    assert covered == pytest.approx(rings_area(roof.outline_mm), rel=1e-9)


def test_a_verandah_round_three_sides_is_cut_at_the_walls() -> None:
    """2.4 m wide, 7.4 m long sides of which 5 stand against the house; whole under the house's eave of 600."""
    verandah = {"name": "verandah", "outline": _rect(-2400, -2400, 14400, 5000), "pitch_deg": 5.0, "below": "main",
                "edges": {3: {"kind": "gable"}}}  # fmt: skip
    main, cut = _combined(HOUSE, verandah)
    assert sum(p.plan_area_mm2 for p in cut.planes) == pytest.approx(16800 * 7400 - 12000 * 5000)
    assert cut.cut_away_mm2 == pytest.approx(12000 * 5000)
    _closes(cut)
    assert _total(cut, EdgeKind.APRON_HEAD) == pytest.approx(12000 + 2 * 5000)
    assert _total(cut, EdgeKind.HIP) == pytest.approx(2 * (2 * 2400**2 + (2400 * tan(radians(5))) ** 2) ** 0.5)
    assert _total(cut, EdgeKind.VERGE) == pytest.approx(2 * 2400 / cos(radians(5)))
    heights = [edge.a_mm[2] for edge in cut.edges if edge.kind is EdgeKind.APRON_HEAD]
    assert heights == [pytest.approx(2200 + 2400 * tan(radians(5)))] * 3
    assert [u.area_mm2 for u in cut.uprights if u.kind is UprightKind.GABLE] == [
        pytest.approx(2400 * 2400 * tan(radians(5)) / 2)
    ] * 2
    # the house itself is as it was
    assert main.planes == _combined(HOUSE)[0].planes
    assert main.cut_away_mm2 == 0.0


def test_the_order_in_which_roofs_are_typed_changes_names_only() -> None:
    verandah = {"name": "verandah", "outline": _rect(-2400, -2400, 14400, 5000), "pitch_deg": 5.0, "below": "main",
                "edges": {3: {"kind": "gable"}}}  # fmt: skip
    one = _combined(HOUSE, verandah)
    other = _combined(verandah, HOUSE)
    assert [p.area_mm2 for p in one[1].planes] == pytest.approx([p.area_mm2 for p in other[0].planes])
    assert [p.id for p in other[0].planes] == ["P1", "P2", "P3"]
    assert [p.id for p in one[1].planes] == ["P5", "P6", "P7"]


def test_a_lean_to_drawn_up_to_the_wall_needs_no_cut() -> None:
    lean_to = {"name": "lean-to", "outline": _rect(3000, -3000, 8000, 0), "pitch_deg": 5.0, "below": "main",
               "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}}  # fmt: skip
    _, cut = _combined(HOUSE, lean_to)
    assert cut.cut_away_mm2 == 0.0
    assert _total(cut, EdgeKind.APRON_HEAD) == pytest.approx(5000)
    assert [p.plan_area_mm2 for p in cut.planes] == [pytest.approx(5000 * 3000)]


def test_a_lean_to_drawn_into_the_house_is_cut_back_to_the_same_roof() -> None:
    """Drawn 1 m into the house, with a gable there: the same lean-to as the one drawn up to the wall."""
    edges = {2: {"kind": "gable"}, 3: {"kind": "gable"}, 4: {"kind": "gable"}}
    lean_to = {"name": "lean-to", "outline": _rect(3000, -3000, 8000, 1000), "pitch_deg": 5.0, "below": "main",
               "edges": edges}  # fmt: skip
    _, cut = _combined(HOUSE, lean_to)
    assert cut.cut_away_mm2 == pytest.approx(5000 * 1000)
    assert [p.plan_area_mm2 for p in cut.planes] == [pytest.approx(5000 * 3000)]
    assert _total(cut, EdgeKind.APRON_HEAD) == pytest.approx(5000)
    assert _total(cut, EdgeKind.HEAD) == 0.0
    assert _total(cut, EdgeKind.VERGE) == pytest.approx(2 * 3000 / cos(radians(5)))
    _closes(cut)


def test_a_porch_across_a_corner_has_apron_heads_and_sides() -> None:
    """A single-pitch porch falling to the west, past the house's south-west corner: its east part is cut out."""
    porch = {"name": "porch", "outline": _rect(-2000, -1500, 1500, 3000), "pitch_deg": 4.0, "below": "main",
             "fascia_height_mm": 2150.0,
             "edges": {1: {"kind": "gable"}, 2: {"kind": "gable"}, 3: {"kind": "gable"}}}  # fmt: skip
    _, cut = _combined(HOUSE, porch)
    k = 1 / cos(radians(4))
    assert _total(cut, EdgeKind.APRON_HEAD) == pytest.approx(3000)
    assert _total(cut, EdgeKind.APRON_SIDE) == pytest.approx(1500 * k)
    assert sum(p.area_mm2 for p in cut.planes) == pytest.approx((3500 * 4500 - 1500 * 3000) * k)
    assert len(cut.planes) == 1
    assert len(cut.planes[0].rings_uv[0]) == 6
    _closes(cut)


def test_what_two_walls_hide_is_cut_once() -> None:
    """A tower inside the house's walls stands over the verandah too: there the verandah is cut away already."""
    tower = {"name": "tower", "wall_line": _rect(4000, 0, 7000, 4000), "eave_overhang_mm": 300.0, "pitch_deg": 45.0,
             "fascia_height_mm": 7000.0}  # fmt: skip
    verandah = {"name": "verandah", "outline": _rect(0, -2400, 12000, 2000), "pitch_deg": 3.0, "below": "main",
                "fascia_height_mm": 2000.0, "edges": {n: {"kind": "gable"} for n in (2, 3, 4)}}  # fmt: skip
    main, _, cut = _combined(HOUSE, tower, verandah)
    assert cut.cut_away_mm2 == pytest.approx(12000 * 2000)
    assert main.cut_away_mm2 == pytest.approx(3000 * 4000)
    assert main.planes[0].plan_area_mm2 < 13200 * 4600 - 4600 * 4600
    for roof in (main, cut):
        _closes(roof)


def test_bearings_and_pitches_outlast_the_cut() -> None:
    verandah = {"name": "verandah", "outline": _rect(-2400, -2400, 14400, 5000), "pitch_deg": 5.0, "below": "main",
                "edges": {3: {"kind": "gable"}}}  # fmt: skip
    _, cut = _combined(HOUSE, verandah, north_deg=30.0)
    assert [(p.pitch_deg, p.bearing_deg) for p in cut.planes] == [(5.0, 210.0), (5.0, 120.0), (5.0, 300.0)]
    assert [p.outline_edges for p in cut.planes] == [(1,), (2,), (4,)]


def test_a_roof_that_lies_below_without_saying_so_is_cut_all_the_same() -> None:
    verandah = {"name": "verandah", "outline": _rect(0, -2400, 12000, 2000), "pitch_deg": 3.0,
                "fascia_height_mm": 2000.0,
                "edges": {n: {"kind": "gable"} for n in (2, 3, 4)}}  # fmt: skip
    _, cut = _combined(HOUSE, verandah)
    assert cut.cut_away_mm2 == pytest.approx(12000 * 2000)
    assert _total(cut, EdgeKind.APRON_HEAD) == pytest.approx(12000)


def test_a_verandah_in_the_way_of_the_eave_is_pointed_out() -> None:
    """At the house's fascia line the verandah stands at 2700: right at the underside of the house's sheets."""
    high = 2700.0 - 1800.0 * tan(radians(5))
    verandah = {"name": "verandah", "outline": _rect(0, -2400, 12000, 0), "pitch_deg": 5.0, "below": "main",
                "fascia_height_mm": high, "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}}  # fmt: skip
    _, cut = _combined(HOUSE, verandah)
    (finding,) = [f for f in cut.findings if f.code == "eave-in-the-way"]
    assert "mm of the eave of roof main" in finding.text or "mm into the eave of roof main" in finding.text
    lower = {**verandah, "fascia_height_mm": high - 400.0}
    assert [f.code for f in _combined(HOUSE, lower)[1].findings] == []


def test_a_higher_roof_without_walls_cannot_be_cut_at() -> None:
    house = {"name": "main", "outline": _rect(-600, -600, 12600, 8600), "pitch_deg": 25.0, "fascia_height_mm": 2700.0}
    verandah = {"name": "verandah", "outline": _rect(0, -2400, 12000, 1000), "pitch_deg": 3.0, "below": "main",
                "edges": {n: {"kind": "gable"} for n in (2, 3, 4)}}  # fmt: skip
    with pytest.raises(ShapeError, match="give roof main a wall_line"):
        _combined(house, verandah)


def test_a_roof_inside_the_house_leaves_nothing() -> None:
    inside = {"name": "store", "outline": _rect(2000, 2000, 5000, 4000), "pitch_deg": 5.0, "below": "main"}
    with pytest.raises(ShapeError, match="roof store lies wholly inside the walls of roof main"):
        _combined(HOUSE, inside)


def test_roofs_apart_are_only_numbered_on() -> None:
    shed = {"name": "shed", "outline": _rect(20000, 0, 24000, 3000), "pitch_deg": 10.0}
    main, away = _combined(HOUSE, shed)
    assert [p.id for p in away.planes] == ["P5", "P6", "P7", "P8"]
    assert {e.id for e in main.edges}.isdisjoint({e.id for e in away.edges})
    assert {n.id for n in main.nodes}.isdisjoint({n.id for n in away.nodes})
    assert away.edges[0].low in {n.id for n in away.nodes}
    for edge in away.edges:
        assert set(edge.faces) <= {p.id for p in away.planes}


@pytest.mark.parametrize(
    ("raised", "severity"), [(-100.0, Severity.WARN), (10.0, Severity.STOP), (1003.0, Severity.STOP)]
)
def test_a_verandah_over_the_eave_of_the_house_is_no_order(raised: float, severity: Severity) -> None:
    """Its sheets would lie that far above the house's at the house's fascia: it cannot be built."""
    high = 2700.0 - 1800.0 * tan(radians(5)) + raised
    verandah = {"name": "verandah", "outline": _rect(0, -2400, 12000, 0), "pitch_deg": 5.0, "below": "main",
                "fascia_height_mm": high, "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}}  # fmt: skip
    (finding,) = [f for f in _combined(HOUSE, verandah)[1].findings if f.code == "eave-in-the-way"]
    assert finding.severity is severity


@pytest.mark.parametrize(("off", "codes"), [(0.0, []), (990.0, []), (1010.0, ["wall-edge-without-wall"]), (9000.0, ["wall-edge-without-wall"])])  # fmt: skip
def test_a_wall_edge_with_no_wall_near_is_asked_about(off: float, codes: list[str]) -> None:
    verandah = {"name": "verandah", "outline": _rect(0, -2400 - off, 12000, -off), "pitch_deg": 3.0, "below": "main",
                "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}}  # fmt: skip
    findings = _combined(HOUSE, verandah)[1].findings
    assert [f.code for f in findings] == codes
    for finding in findings:
        assert finding.severity is Severity.WARN
        assert finding.text == "edge 3 of verandah is a wall edge, but no wall of main is within 1 m of it"


@pytest.mark.parametrize("more_mm", [1e-6, 0.01, 0.06, 0.3, 0.5, 1.0, 2.5, -0.01, -0.3, -2.5])
def test_a_hip_that_misses_the_corner_of_the_wall_by_a_crumb_ends_in_it(more_mm: float) -> None:
    """The verandah of 2.4 m, deeper in front by less than 3 mm, as no drawing should have it: three planes, three
    aprons, no stump; what is left and what is cut away make up the outline."""
    ring = _rect(-2400, -2400 - more_mm, 14400, 5000)
    keys = {"name": "verandah", "pitch_deg": 5.0, "below": "main", "edges": {3: {"kind": "gable"}}}
    jobs = [RoofJob.model_validate({"fascia_height_mm": 2200.0, **job}) for job in (HOUSE, {**keys, "outline": ring})]
    raw = OrderedRings((0.0, 0.0, 0.0), (tuple(ring),))
    roofs = (roof_from_outline(jobs[0], 0.0, SETTINGS), roof_from_outline(jobs[1], 0.0, SETTINGS, 5, raw))
    _, cut = combine_roofs(roofs, tuple(jobs))
    assert (len(cut.planes), len(cut.edges)) == (3, 10)
    assert [e.kind for e in cut.edges].count(EdgeKind.APRON_HEAD) == 3
    assert min(edge.length_mm for edge in cut.edges) > 2000.0
    assert _total(cut, EdgeKind.APRON_HEAD) == pytest.approx(22000.0, abs=3.0)
    _closes(cut)
