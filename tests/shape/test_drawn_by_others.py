"""Models as others draw them: thickness, folds nobody builds, jitter, things drawn on the house, steep faces, holes.

Every figure is that of the bare house, worked out by hand (derived): a gable 12 x 8 m of 30 degrees, or a hip.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin, tan

import pytest

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.basics.vectors import Point3
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.faces import raw_faces
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.imported.roof_from_faces import roof_from_faces

SETTINGS = resolve_settings(Job(job="check"))
Polygon = Sequence[Point3]
P = radians(30.0)
LONG, HALF, EAVE = 12000.0, 4000.0, 2400.0
TOP = EAVE + HALF * tan(P)
A, B, C, D = (0.0, 0.0, EAVE), (LONG, 0.0, EAVE), (LONG, 2 * HALF, EAVE), (0.0, 2 * HALF, EAVE)
E, F = (0.0, HALF, TOP), (LONG, HALF, TOP)
GABLE: list[Polygon] = [[A, B, F, E], [C, D, E, F]]
GABLE_AREA = 2 * LONG * HALF / cos(P)
HOUSE: list[Polygon] = [
    *GABLE,
    *([(q[0], q[1], 0.0), (p[0], p[1], 0.0), p, q] for p, q in ((A, B), (C, D))),
    [(0.0, 2 * HALF, 0.0), (0.0, 0.0, 0.0), A, E, D],
    [(LONG, 0.0, 0.0), (LONG, 2 * HALF, 0.0), C, F, B],
]


def raised(polygons: Sequence[Polygon], parts: Sequence[int] | None = None, **job: object) -> Roof:
    """A roof of convex polygons, each fanned out with points of its own."""
    points: list[Point3] = []
    triangles, polygon_of, part_of = [], [], []
    for number, polygon in enumerate(polygons):
        for b, c in pairwise(polygon[1:]):
            triangles.append((len(points), len(points) + 1, len(points) + 2))
            points += [polygon[0], b, c]
            polygon_of.append(number)
            part_of.append(parts[number] if parts else 0)
    raw = raw_faces(points, triangles, "h.obj", polygon_of=polygon_of, stated_unit_mm=1.0, stated_up="z")
    shape = {"file": "h.obj", **(job.pop("shape", {}) if isinstance(job.get("shape", {}), dict) else {})}
    return roof_from_faces(raw, RoofJob.model_validate({"shape": shape, **job}), 0.0, SETTINGS)


def kinds(roof: Roof) -> dict[str, int]:
    return {kind.value: n for kind in EdgeKind if (n := len([e for e in roof.edges if e.kind is kind]))}


def area(roof: Roof) -> float:
    return sum(plane.area_mm2 for plane in roof.planes)


def codes(roof: Roof) -> list[str]:
    return [finding.code for finding in roof.findings]


def box(x: float, y: float, z: float, dx: float, dy: float, dz: float) -> list[Polygon]:
    low = [(x, y, z), (x + dx, y, z), (x + dx, y + dy, z), (x, y + dy, z)]
    return prism(low, (0.0, 0.0, dz))


def prism(ring: Polygon, by: Point3) -> list[Polygon]:
    """A closed body: a ring, itself moved, and the sides between."""
    moved = [(p[0] + by[0], p[1] + by[1], p[2] + by[2]) for p in ring]
    sides = [[ring[i - 1], ring[i], moved[i], moved[i - 1]] for i in range(len(ring))]
    return [list(reversed(ring)), moved, *sides]


BARE = {"eave": 2, "verge": 4, "ridge": 1}


def test_the_bare_house() -> None:
    for polygons in (GABLE, HOUSE):
        roof = raised(polygons)
        assert kinds(roof) == BARE
        assert area(roof) == pytest.approx(GABLE_AREA)
        assert codes(roof) == []


def on_slope(x: float, run: float, up: float) -> Point3:
    """A place over the front plane: `run` from the eave in plan, `up` square to it."""
    return (x, run - up * sin(P), EAVE + run * tan(P) + up * cos(P))


DRAWN_ON = {
    "gutter boxes": [*box(0.0, -125.0, EAVE - 110.0, LONG, 125.0, 100.0), *box(0.0, 8000.0, EAVE - 110.0, LONG, 125.0, 100.0)],
    "fascia boards": [*box(0.0, -20.0, EAVE - 200.0, LONG, 20.0, 180.0)],
    "barges proud of the sheet": prism(
        [(-20.0, 0.0, EAVE - 150.0), (-20.0, 0.0, EAVE + 60.0), (-20.0, HALF, TOP + 60.0), (-20.0, HALF, TOP - 150.0)],
        (45.0, 0.0, 0.0),
    ),
    "ridge cap": prism(
        [(0.0, HALF - 150.0, TOP - 40.0), (0.0, HALF, TOP + 50.0), (0.0, HALF + 150.0, TOP - 40.0)], (LONG, 0.0, 0.0)
    ),
    "solar panels": [
        polygon
        for x in (2000.0, 3100.0, 4200.0)
        for polygon in prism(
            [on_slope(x, 1000.0, 80.0), on_slope(x + 1000.0, 1000.0, 80.0), on_slope(x + 1000.0, 2400.0, 80.0), on_slope(x, 2400.0, 80.0)],
            (0.0, -40.0 * sin(P), 40.0 * cos(P)),
        )
    ],
    "rooflight box": box(6000.0, 1500.0, 2900.0, 900.0, 900.0, 1100.0),
    "chimney": box(9000.0, 5000.0, 2000.0, 600.0, 600.0, 4000.0),
    "ground": [[(-20e3, -20e3, 0.0), (30e3, -20e3, 0.0), (30e3, 30e3, 0.0), (-20e3, 30e3, 0.0)]],
    "slab": box(-1000.0, -3000.0, 0.0, 14000.0, 2900.0, 150.0),
    "fence": box(-3000.0, -6000.0, 0.0, 15000.0, 50.0, 1500.0),
}  # fmt: skip


@pytest.mark.parametrize("what", DRAWN_ON)
def test_what_is_drawn_on_or_beside_a_house_leaves_its_figures(what: str) -> None:
    for house in (HOUSE, GABLE):
        roof = raised([*house, *DRAWN_ON[what]])
        assert kinds(roof) == BARE
        assert area(roof) == pytest.approx(GABLE_AREA, rel=1e-9)
        assert set(codes(roof)) == {"model-body-set-aside"}


def test_a_house_on_uneven_ground() -> None:
    """Ground of 10 x 10 m squares that rises and falls by half a metre, each cut in two: more area than the house."""
    heights = {(i, k): 250.0 * ((i * 7 + k * 3) % 5) - 1200.0 for i in range(9) for k in range(9)}
    at = {key: (10e3 * key[0] - 40e3, 10e3 * key[1] - 40e3, z) for key, z in heights.items()}
    ground = [
        [at[i, k], at[i + 1, k + dk], at[i + di, k + 1]]
        for i in range(8)
        for k in range(8)
        for di, dk in ((1, 0), (0, 1))
    ]
    roof = raised([*HOUSE, *ground])
    assert area(roof) == pytest.approx(GABLE_AREA)
    (finding,) = roof.findings
    assert "likely terrain, was set aside" in finding.text


def test_everything_at_once() -> None:
    roof = raised([*HOUSE, *(polygon for polygons in DRAWN_ON.values() for polygon in polygons)])
    assert kinds(roof) == BARE
    assert area(roof) == pytest.approx(GABLE_AREA, rel=1e-9)


def slabs(thick: float, meet: str) -> list[Polygon]:
    """Two slabs cut square, their tops or their undersides meeting over the ridge line."""
    over = (0.0, -thick * sin(P), thick * cos(P))  # from the underside to the top of the front slab
    under_front = [A, B, F, E]
    if meet == "tops":
        under_front = [(x, y - over[1], z - over[2]) for x, y, z in under_front]
    front = prism(under_front, over)
    back = [[(x, 2 * HALF - y, z) for x, y, z in polygon] for polygon in front]
    return [*front, *back]


@pytest.mark.parametrize("thick", [60.0, 120.0, 250.0])
def test_slabs_whose_tops_meet(thick: float) -> None:
    roof = raised(slabs(thick, "tops"))
    assert kinds(roof) == BARE
    assert area(roof) == pytest.approx(GABLE_AREA)
    (finding,) = [finding for finding in roof.findings if finding.code == "model-has-thickness"]
    assert f"up to {thick:.0f} mm thick; their tops were taken" in finding.text
    assert f"undersides lie {thick / cos(P):.0f} mm lower" in finding.text


@pytest.mark.parametrize("thick", [60.0, 120.0, 250.0])
def test_slabs_whose_undersides_meet_gape_at_the_top(thick: float) -> None:
    """The tops gape by twice the thickness times the sine of the pitch; brought together the ridge lies over the line
    where the undersides meet, by the thickness over the cosine."""
    roof = raised(slabs(thick, "undersides"))
    assert kinds(roof) == BARE
    (ridge,) = [edge for edge in roof.edges if edge.kind is EdgeKind.RIDGE]
    assert ridge.a_mm[2] == pytest.approx(TOP + thick / cos(P), abs=0.01)
    assert area(roof) == pytest.approx(GABLE_AREA + 2 * LONG * thick * tan(P), rel=1e-6)
    (finding,) = [finding for finding in roof.findings if finding.code == "model-gap-closed"]
    assert f"gape by up to {2 * thick * sin(P):.0f} mm" in finding.text


def test_the_undersides_are_taken_where_the_job_says_so() -> None:
    roof = raised(slabs(120.0, "undersides"), shape={"face": "underside"})
    assert kinds(roof) == BARE
    assert area(roof) == pytest.approx(GABLE_AREA)
    (ridge,) = [edge for edge in roof.edges if edge.kind is EdgeKind.RIDGE]
    assert ridge.a_mm[2] == pytest.approx(TOP, abs=0.01)
    (finding,) = [finding for finding in roof.findings if finding.code == "model-has-thickness"]
    assert "their undersides were taken" in finding.text


@pytest.mark.parametrize("twist", [5.0, 20.0, 40.0])
def test_twisted_faces_fold_nowhere(twist: float) -> None:
    """One end of the ridge, and one end of an eave, too high: no hip, no valley, one plane a side."""
    e = (E[0], E[1], E[2] + twist)
    b = (B[0], B[1], B[2] + twist)
    roof = raised([[A, b, F, e], [C, D, e, F]])
    assert kinds(roof) == BARE
    assert area(roof) == pytest.approx(GABLE_AREA, rel=2e-3)
    assert ("plane-not-flat" in codes(roof)) is (twist > 10.0)


@pytest.mark.parametrize("fold_deg", [0.5, 1.5, 2.9])
def test_a_fold_flatter_than_any_that_is_built_is_none(fold_deg: float) -> None:
    """A plane whose upper half is flatter by some degrees: one plane, told how far it is out; from 3 degrees on two."""
    low, high = P, P - radians(fold_deg)
    m = (0.0, HALF / 2, EAVE + HALF / 2 * tan(low)), (LONG, HALF / 2, EAVE + HALF / 2 * tan(low))
    top = m[0][2] + HALF / 2 * tan(high)
    halves = [[A, B, m[1], m[0]], [m[0], m[1], (LONG, HALF, top), (0.0, HALF, top)]]
    roof = raised(halves)
    assert kinds(roof) == {"eave": 1, "verge": 2, "head": 1}
    assert "plane-not-flat" in codes(roof)
    settings = {"model_least_fold_deg": 0.4}
    kept = roof_from_faces(
        raw_faces(
            [p for half in halves for p in half],
            [(0, 1, 2), (0, 2, 3), (4, 5, 6), (4, 6, 7)],
            "h.obj",
            polygon_of=[0, 0, 1, 1],
            stated_unit_mm=1.0,
            stated_up="z",
        ),
        RoofJob.model_validate({"shape": {"file": "h.obj"}}),
        0.0,
        resolve_settings(Job.model_validate({"job": "check", "settings": settings})),
    )
    assert len(kept.planes) == (1 if fold_deg < 1.0 else 2)


HIP: list[Polygon] = [
    [A, B, (8000.0, HALF, 5400.0), (4000.0, HALF, 5400.0)],
    [B, C, (8000.0, HALF, 5400.0)],
    [C, D, (4000.0, HALF, 5400.0), (8000.0, HALF, 5400.0)],
    [D, A, (4000.0, HALF, 5400.0)],
]


@pytest.mark.parametrize("seed", range(30))
def test_jitter_of_3_mm_neither_invents_nor_loses_an_edge(seed: int) -> None:
    chance = random.Random(seed)
    for house, expected in ((HOUSE, BARE), (HIP, {"eave": 4, "ridge": 1, "hip": 4})):
        shaken = {p: tuple(c + chance.uniform(-3.0, 3.0) for c in p) for polygon in house for p in polygon}
        roof = raised([[shaken[p] for p in polygon] for polygon in house])  # type: ignore[misc]
        assert kinds(roof) == expected
        plain = raised(house)
        for kind in expected:
            one, other = (sorted(e.length_mm for e in r.edges if e.kind.value == kind) for r in (roof, plain))
            assert one == pytest.approx(other, abs=15.0)


def test_steep_faces_are_walls_unless_the_job_says_roof() -> None:
    """A mansard whose foot stands at 78 degrees."""
    run, rise = 500.0, 500.0 * tan(radians(78.0))
    lower, upper = [], []
    ring = [A, B, C, D]
    inner = [(x + (run if x < 6000 else -run), y + (run if y < 4000 else -run), z + rise) for x, y, z in ring]
    top = [(x + (1500 if x < 6000 else -1500), y + (1500 if y < 4000 else -1500), z + 800.0) for x, y, z in inner]
    for i in range(4):
        lower.append([ring[i - 1], ring[i], inner[i], inner[i - 1]])
        upper.append([inner[i - 1], inner[i], top[i], top[i - 1]])
    roof = raised([*lower, *upper, top])
    assert len([p for p in roof.planes if p.pitch_deg > 1.0]) == 4
    (finding,) = [f for f in roof.findings if f.code == "model-steep-faces"]
    assert "`shape: {file: h.obj, steep: roof}`" in finding.advice
    whole = raised([*lower, *upper, top], shape={"steep": "roof"})
    assert len([p for p in whole.planes if p.pitch_deg > 75.0]) == 4


def test_walls_alone_and_strips_alone_are_no_roof() -> None:
    with pytest.raises(ShapeError, match="holds no roof"):
        raised([[(0.0, 0.0, 0.0), (9000.0, 0.0, 0.0), (9000.0, 100.0, 50.0), (0.0, 100.0, 50.0)]])


def test_the_slope_of_a_tilted_face_is_that_of_its_area() -> None:
    """A face of two triangles, one of them cut into many: its plane does not lean to where the corners are."""
    n = 24
    fine = [[(LONG * k / n, 0.0, EAVE), (LONG * (k + 1) / n, 0.0, EAVE), (0.0, HALF, TOP + 4.0)] for k in range(n)]
    coarse = [[(LONG, 0.0, EAVE), F, (0.0, HALF, TOP + 4.0)]]
    (plane,) = raised([*fine, *coarse]).planes
    assert plane.area_mm2 == pytest.approx(LONG * HALF / cos(P), rel=1e-3)
    assert plane.pitch_deg == pytest.approx(30.0, abs=0.05)
    assert hypot(plane.frame.n[0], 0.0) < 1e-3


def lifted(polygons: Sequence[Polygon], by: float) -> list[Polygon]:
    return [[(x, y, z + by) for x, y, z in polygon] for polygon in polygons]


def test_at_survey_heights_the_lowest_point_is_the_floor() -> None:
    plain, high = raised(HOUSE), raised(lifted(HOUSE, 134_250.0))
    heights = [[round(node.at_mm[2], 3) for node in roof.nodes] for roof in (plain, high)]
    assert heights[0] == heights[1]
    (finding,) = high.findings
    assert "the house stands 134.25 m up" in finding.text
    assert "`shape: {file: h.obj, floor_at_mm: 134250}`" in finding.advice
    said = raised(lifted(HOUSE, 134_250.0), shape={"floor_at_mm": 134_100.0})
    assert said.findings == ()
    assert min(node.at_mm[2] for node in said.nodes) == pytest.approx(EAVE + 150.0)


def test_a_roof_without_walls_at_survey_heights_is_asked_for() -> None:
    with pytest.raises(UndecidedError) as caught:
        raised(lifted(GABLE, 134_250.0))
    assert "the roof lies 136.65 m up and has no walls under it" in caught.value.faults[0]
    assert "floor_at_mm: 134250}` has eaves at 2.4 m" in caught.value.faults[1]
