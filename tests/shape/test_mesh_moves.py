"""Models drawn to the wall line, the sheets' ends or the spouting come back as the roof raised from its outline.

Expected is the roof raised from typed coordinates, or figures worked out by hand (derived). Where sheets and spouting
end is set out by hand too: 50 mm past the fascia on the rake, a gutter of 125 mm.
"""

from __future__ import annotations

from math import cos, dist, radians, sin, tan

import pytest

from takeoff.basics.errors import ShapeError
from takeoff.basics.vectors import Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.faces import RawFaces, raw_faces
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.imported.roof_from_faces import roof_from_faces
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.together.combine import combine_roofs
from takeoff.write.data.roof_mesh import mesh_parts

SETTINGS = resolve_settings(Job(job="check"))
PITCH = radians(25.0)
RECT = [(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)]
ELL = [(0.0, 0.0), (14200.0, 0.0), (14200.0, 8400.0), (9000.0, 8400.0), (9000.0, 12600.0), (0.0, 12600.0)]
GABLES = {n: {"kind": "gable"} for n in (2, 4)}
HOUSES: dict[str, dict[str, object]] = {
    "hip": {"wall_line": RECT},
    "gable": {"wall_line": RECT, "edges": GABLES},
    "ell with a gable": {"wall_line": ELL, "edges": {5: {"kind": "gable"}}},
    "single pitch": {"wall_line": RECT, "edges": {n: {"kind": "gable"} for n in (2, 3, 4)}},
    "half hip": {"wall_line": RECT, "edges": {2: {"half_hip_from_mm": 900.0}, 4: {"kind": "gable"}}},
    "courtyard": {
        "wall_line": [(0.0, 0.0), (20000.0, 0.0), (20000.0, 18000.0), (0.0, 18000.0)],
        "courtyards": [[(7000.0, 7000.0), (13000.0, 7000.0), (13000.0, 11000.0), (7000.0, 11000.0)]],
    },
}


def _raised(**job: object) -> Roof:
    return roof_from_outline(RoofJob.model_validate({"pitch_deg": 25.0, **job}), 0.0, SETTINGS)


def _raw(roof: Roof, uprights: bool = True) -> RawFaces:
    points: list[Point3] = []
    triangles = []
    for part in mesh_parts([roof], uprights):
        first = len(points)
        points += [(round(x, 3), round(y, 3), round(z, 3)) for x, y, z in part.points_mm]
        triangles += [(first + a, first + b, first + c) for a, b, c in part.triangles]
    return raw_faces(tuple(points), tuple(triangles), "house.obj", stated_unit_mm=1.0, stated_up="z")


def _job(line: str, **job: object) -> RoofJob:
    return RoofJob.model_validate({"mesh": {"file": "house.obj", "edge_is": line}, **job})


def _imported(raw: RawFaces, line: str, bare: tuple[int, ...] = (), **job: object) -> Roof:
    return roof_from_faces(raw, _job(line, **job), 0.0, SETTINGS, gutter_width_mm=125.0, bare_edges=bare)


def _same(got: Roof, want: Roof) -> None:
    """Outline, planes and edges agree to 0.1 mm."""
    assert [len(ring) for ring in got.outline_mm] == [len(ring) for ring in want.outline_mm]
    for ring, other in zip(got.outline_mm, want.outline_mm, strict=True):
        # a typed courtyard may start anywhere
        assert all(min(dist(point, corner) for corner in ring) < 0.1 for point in other)
    assert [plane.id for plane in got.planes] == [plane.id for plane in want.planes]
    found = {_ends(edge.a_mm, edge.b_mm): edge for edge in got.edges}
    for edge in want.edges:
        key = min(found, key=lambda ends, e=edge: _far(ends, _ends(e.a_mm, e.b_mm)))  # type: ignore[misc]
        twin = found.pop(key)
        assert _far(key, _ends(edge.a_mm, edge.b_mm)) < 0.1, edge
        assert (twin.kind, twin.convex) == (edge.kind, edge.convex)
        assert twin.length_mm == pytest.approx(edge.length_mm, abs=0.1)
    assert not found
    assert sum(plane.area_mm2 for plane in got.planes) == pytest.approx(
        sum(plane.area_mm2 for plane in want.planes), rel=1e-6
    )


def _ends(a: Point3, b: Point3) -> tuple[Point3, Point3]:
    return min(a, b), max(a, b)


def _far(one: tuple[Point3, Point3], other: tuple[Point3, Point3]) -> float:
    straight = max(abs(p - q) for a, b in zip(one, other, strict=True) for p, q in zip(a, b, strict=True))
    turned = max(abs(p - q) for a, b in zip(one, reversed(other), strict=True) for p, q in zip(a, b, strict=True))
    return min(straight, turned)


@pytest.mark.parametrize("uprights", [True, False])
@pytest.mark.parametrize("house", HOUSES)
def test_a_model_at_the_wall_line_comes_back_with_its_overhangs(house: str, uprights: bool) -> None:
    job = HOUSES[house]
    over = {"eave_overhang_mm": 600.0, "verge_overhang_mm": 450.0}
    want = _raised(**job, **over, fascia_height_mm=2400.0)
    at_wall = dict(job, outline=job["wall_line"])
    del at_wall["wall_line"]
    if house == "half hip":
        # its hip rises from a verge 450 mm out, so that the wall below is met 450 mm further in and higher
        at_wall["edges"] = {2: {"half_hip_from_mm": 900.0 + 450 * tan(PITCH) - 600 * tan(PITCH)}, 4: {"kind": "gable"}}
    model = _raised(**at_wall, fascia_height_mm=2400.0 + 600.0 * tan(PITCH))
    got = _imported(_raw(model, uprights), "wall_line", **over)
    _same(got, want)
    assert got.closed
    assert house == "half hip" or got.edge_names == want.edge_names  # a model has no word for a half hip's edge
    assert all(min(dist(point, corner) for corner in got.wall_line_mm[0]) < 0.01 for point in want.wall_line_mm[0])


@pytest.mark.parametrize("house", ["hip", "gable", "ell with a gable"])
@pytest.mark.parametrize(
    ("line", "out_mm", "down_mm"),
    [("sheet_end", 50 * cos(PITCH), 50 * sin(PITCH)), ("spouting_outside", 125.0, 125.0 * tan(PITCH))],
)
def test_a_model_at_the_sheets_end_or_the_spouting_comes_back(
    house: str, line: str, out_mm: float, down_mm: float
) -> None:
    job = dict(HOUSES[house])
    want = _raised(**{**job, "outline": job["wall_line"], "wall_line": None}, fascia_height_mm=2400.0)
    model = _raised(**job, eave_overhang_mm=out_mm, verge_overhang_mm=0.0, fascia_height_mm=2400.0 - down_mm)
    got = _imported(_raw(model), line)
    _same(got, want)
    assert got.wall_line_mm == ()


def test_what_was_moved_is_said() -> None:
    raw = _raw(_raised(outline=RECT, edges=GABLES, fascia_height_mm=2400.0))
    (finding,) = _imported(raw, "sheet_end").findings
    assert finding.severity is Severity.NOTE
    assert "drawn to the sheet end" in finding.text
    assert finding.text.endswith("2 eaves moved inwards by 45 mm, 4 verges left in place")
    (finding,) = _imported(raw, "wall_line", eave_overhang_mm=600.0, verge_overhang_mm=300.0).findings
    assert finding.text.endswith("2 eaves moved outwards by 600 mm, 4 verges moved outwards by 300 mm")
    (finding,) = _imported(raw, "wall_line").findings
    assert (finding.code, finding.severity) == ("roof-edge-not-moved", Severity.WARN)


def test_eaves_without_spouting_keep_the_spoutings_line_and_longer_sheets() -> None:
    """Edge 1 carries none: it stays under the spouting's rule; its sheets go 70 mm past the fascia, not 50."""
    raw = _raw(_raised(outline=RECT, edges=GABLES, fascia_height_mm=2400.0))
    ys = sorted({y for _, y in _imported(raw, "spouting_outside", bare=(1,)).outline_mm[0]})
    assert ys == pytest.approx([0.0, 8000.0 - 125.0])
    ys = sorted({y for _, y in _imported(raw, "sheet_end", bare=(1,)).outline_mm[0]})
    assert ys == pytest.approx([70.0 * cos(PITCH), 8000.0 - 50.0 * cos(PITCH)])


def test_unequal_pitches_part_at_the_corner_by_place() -> None:
    """25 degrees beside 40: at their corner of the wall line 600 mm of overhang come down by 280 and by 503 mm."""
    roof = _raised(outline=RECT, edges={2: {"pitch_deg": 40.0}}, fascia_height_mm=2400.0)
    with pytest.raises(ShapeError) as caught:
        _imported(_raw(roof), "wall_line", eave_overhang_mm=600.0)
    text = "\n".join(caught.value.faults)
    assert "at (12000, 0) at height 2400 planes P1 and P2 part by" in text
    assert "(0, 0)" not in text  # both planes there have one pitch
    assert "say edge_is: outline" in caught.value.faults[-1]


def test_pitches_that_differ_by_a_hair_are_brought_together_and_said() -> None:
    """25 beside 25.1 degrees: over 600 mm one plane comes down 1.3 mm further, and the corners part by some 3 mm."""
    roof = _raised(outline=RECT, edges={2: {"pitch_deg": 25.1}}, fascia_height_mm=2400.0)
    got = _imported(_raw(roof), "wall_line", eave_overhang_mm=600.0)
    assert got.closed
    (text,) = (finding.text for finding in got.findings if finding.code == "roof-edge-moved")
    parted = float(text.split("by up to ")[1].split(" mm")[0])
    assert 600 * (tan(radians(25.1)) - tan(PITCH)) < parted < 5.0


def test_unequal_pitches_without_a_common_corner_move() -> None:
    """A gable of 25 and 40 degrees: its eaves lie at unequal heights then, which the outline would refuse to type."""
    roof = _raised(outline=RECT, edges={**GABLES, 3: {"pitch_deg": 40.0}}, fascia_height_mm=2400.0)
    got = _imported(_raw(roof), "wall_line", eave_overhang_mm=600.0, verge_overhang_mm=300.0)
    heights = [min(edge.a_mm[2], edge.b_mm[2]) for edge in got.edges if edge.kind is EdgeKind.EAVE]
    assert heights == pytest.approx([2400 - 600 * tan(PITCH), 2400 - 600 * tan(radians(40))], abs=0.01)
    assert sum(e.length_mm for e in got.edges if e.kind is EdgeKind.RIDGE) == pytest.approx(12600.0, abs=0.01)


def test_a_lean_to_stays_at_the_wall_it_stands_against() -> None:
    """6 x 3 m at atan(1/6) under a wall 2 m higher: the apron keeps its line and grows with the verges."""
    plane: list[Point3] = [(0.0, 0.0, 2500.0), (6000.0, 0.0, 2500.0), (6000.0, 3000.0, 3000.0), (0.0, 3000.0, 3000.0)]
    wall: list[Point3] = [(-1e3, 3e3, 3e3), (0.0, 3e3, 3e3), (6e3, 3e3, 3e3), (7e3, 3e3, 3e3), (7e3, 3e3, 5e3), (-1e3, 3e3, 5e3)]  # fmt: skip
    raw = raw_faces(
        (*plane, *wall),
        ((0, 1, 2), (0, 2, 3), (4, 5, 9), (5, 8, 9), (5, 6, 8), (6, 7, 8)),
        "lean_to.obj",
        stated_unit_mm=1.0,
        stated_up="z",
    )
    got = _imported(raw, "wall_line", eave_overhang_mm=300.0, verge_overhang_mm=200.0)
    lengths = {edge.kind: edge.length_mm for edge in got.edges}
    rake = (1 + (500 / 3000) ** 2) ** 0.5
    assert lengths[EdgeKind.APRON_HEAD] == pytest.approx(6400.0)
    assert lengths[EdgeKind.EAVE] == pytest.approx(6400.0)
    assert lengths[EdgeKind.VERGE] == pytest.approx(3300.0 * rake)
    (apron,) = (edge for edge in got.edges if edge.kind is EdgeKind.APRON_HEAD)
    assert {apron.a_mm[1], apron.b_mm[1]} == {3000.0}
    (upright,) = got.uprights
    assert upright.area_mm2 == pytest.approx(6400.0 * 2000.0)


def test_a_courtyard_that_the_overhangs_close_is_refused() -> None:
    hole = [(9000.0, 8000.0), (10000.0, 8000.0), (10000.0, 10000.0), (9000.0, 10000.0)]
    ring = [(0.0, 0.0), (20000.0, 0.0), (20000.0, 18000.0), (0.0, 18000.0)]
    raw = _raw(_raised(outline=ring, courtyards=[hole], fascia_height_mm=2400.0))
    with pytest.raises(ShapeError, match="is swallowed by its neighbours"):
        _imported(raw, "wall_line", eave_overhang_mm=600.0)


def test_an_eave_over_a_lower_plane_is_refused_by_place() -> None:
    high: list[Point3] = [(0.0, 0.0, 5000.0), (6000.0, 0.0, 5000.0), (6000.0, 6000.0, 7000.0), (0.0, 6000.0, 7000.0)]
    low: list[Point3] = [(0.0, -3000.0, 2500.0), (6000.0, -3000.0, 2500.0), (6000.0, 0.0, 3000.0), (0.0, 0.0, 3000.0)]
    raw = raw_faces(
        (*high, *low), ((0, 1, 2), (0, 2, 3), (4, 5, 6), (4, 6, 7)), "two.obj", stated_unit_mm=1.0, stated_up="z"
    )
    with pytest.raises(ShapeError) as caught:
        _imported(raw, "wall_line", eave_overhang_mm=600.0)
    assert "at (0, 0) at height 5000 stands over a lower plane and cannot be moved by 600 mm" in caught.value.faults[0]


def test_a_head_and_an_apron_in_one_line_cannot_part() -> None:
    """A single-pitch roof whose high side runs against a taller wall over half its length: only the other half moves."""
    plane: list[Point3] = [(0.0, 0.0, 2500.0), (6e3, 0.0, 2500.0), (6e3, 3e3, 3e3), (3e3, 3e3, 3e3), (0.0, 3e3, 3e3)]
    wall: list[Point3] = [(3e3, 3e3, 3e3), (6e3, 3e3, 3e3), (6e3, 3e3, 6e3), (3e3, 3e3, 6e3)]
    raw = raw_faces(
        (*plane, *wall),
        ((0, 1, 2), (0, 2, 3), (0, 3, 4), (5, 6, 7), (5, 7, 8)),
        "shed.obj",
        stated_unit_mm=1.0,
        stated_up="z",
    )
    with pytest.raises(ShapeError) as caught:
        _imported(raw, "wall_line", eave_overhang_mm=300.0, verge_overhang_mm=200.0)
    text = "\n".join(caught.value.faults)
    assert "at (3000, 3000) at height 3000 A1 and T1 run in one line but are moved by 0 and 200 mm" in text


def test_fronts_in_one_line_at_a_step_move_alike_or_not_at_all() -> None:
    """Two blocks 6 m wide with their fronts in one line, the right one lower: a step stands between them."""
    high: list[Point3] = [(0.0, 0.0, 5e3), (6e3, 0.0, 5e3), (6e3, 6e3, 7e3), (0.0, 6e3, 7e3)]
    low: list[Point3] = [(6e3, 0.0, 2e3), (12e3, 0.0, 2e3), (12e3, 6e3, 4e3), (6e3, 6e3, 4e3)]
    aside: list[Point3] = [(6e3, 0.0, 3e3), (12e3, 0.0, 2e3), (12e3, 6e3, 2e3), (6e3, 6e3, 3e3)]
    triangles = ((0, 1, 2), (0, 2, 3), (4, 5, 6), (4, 6, 7))
    roof = _imported(
        raw_faces((*high, *low), triangles, "steps.obj", stated_unit_mm=1.0, stated_up="z"),
        "wall_line",
        eave_overhang_mm=600.0,
    )
    assert sum(plane.plan_area_mm2 for plane in roof.planes) == pytest.approx(12e3 * 6.6e3)
    assert roof.uprights[0].area_mm2 == pytest.approx(6.6e3 * 3e3)
    with pytest.raises(ShapeError) as caught:
        _imported(
            raw_faces((*high, *aside), triangles, "steps.obj", stated_unit_mm=1.0, stated_up="z"),
            "wall_line",
            eave_overhang_mm=600.0,
        )
    assert "outline edge 1 from (0, 0) holds edges that are moved by 0 and by 600 mm" in caught.value.faults[0]


def test_a_verandah_is_cut_at_the_wall_line_of_a_model() -> None:
    """The house at its wall line, 12 x 8 m; the verandah runs 1 m into it and is cut there."""
    raw = _raw(_raised(outline=RECT, edges=GABLES, fascia_height_mm=3000.0))
    house = _imported(raw, "wall_line", eave_overhang_mm=300.0)
    job = RoofJob.model_validate(
        {
            "name": "verandah",
            "outline": [(2000.0, -2500.0), (9000.0, -2500.0), (9000.0, 1000.0), (2000.0, 1000.0)],
            "fascia_height_mm": 2000.0,
            "pitch_deg": 5.0,
            "edges": {n: {"kind": "gable"} for n in (2, 3, 4)},
            "below": "main",
        }
    )
    verandah = roof_from_outline(job, 0.0, SETTINGS, 3)
    _, cut = combine_roofs((house, verandah), (_job("wall_line"), job))
    assert sum(plane.plan_area_mm2 for plane in cut.planes) == pytest.approx(7000.0 * 2500.0)
    assert [edge.length_mm for edge in cut.edges if edge.kind is EdgeKind.APRON_HEAD] == pytest.approx([7000.0])


def test_a_model_on_a_survey_grid_is_the_same_house_from_a_round_point() -> None:
    """1,750 km east, 5,430 km north and 120 m up: whole kilometres are taken off, and its floor lies where it did."""
    raw = _raw(_raised(outline=RECT, edges=GABLES, fascia_height_mm=2400.0))
    far = [(x + 1.75e9, y + 5.43e9, z + 120_000.0) for x, y, z in raw.points.tolist()]
    moved = raw_faces(far, raw.triangles, "house.obj", stated_unit_mm=1.0, stated_up="z")
    here, there = (
        roof_from_faces(one, _job("outline").model_copy(update={"mesh": mesh}), 0.0, SETTINGS, gutter_width_mm=125.0)
        for one, mesh in (
            (raw, _job("outline").mesh),
            (moved, _job("outline").mesh.model_copy(update={"floor_at_mm": 120_000.0})),  # type: ignore[union-attr]
        )
    )
    assert there.origin_mm == (1.75e9, 5.43e9, 120_000.0)
    assert here.origin_mm == (0.0, 0.0, 0.0)
    for ring, other in zip(there.outline_mm, here.outline_mm, strict=True):
        assert all(dist(a, b) < 0.01 for a, b in zip(ring, other, strict=True))
    assert sorted(edge.length_mm for edge in there.edges) == pytest.approx(
        sorted(edge.length_mm for edge in here.edges)
    )
    assert max(node.at_mm[2] for node in there.nodes) == pytest.approx(max(node.at_mm[2] for node in here.nodes))
