"""Roofs that cross: wings and dormers meet the main roof in valleys.

A wing at the main roof's height and pitch is checked against the same house raised from one outline; dormers against
closed forms worked out by hand (derived).
"""

from __future__ import annotations

from collections import Counter
from math import cos, hypot, radians, tan

import pytest

from takeoff.basics.polygons import rings_area
from takeoff.measure.roof_measures import measure_roof
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof, UprightKind
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.together.combine import combine_roofs

SETTINGS = resolve_settings(Job(job="check"))
GABLED = {"edges": {1: {"kind": "gable"}, 3: {"kind": "gable"}}}


def _rect(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


BIG = {"name": "main", "wall_line": _rect(0, 0, 14000, 10000), "eave_overhang_mm": 600.0, "pitch_deg": 35.0,
       "fascia_height_mm": 2700.0}  # fmt: skip
DORMER = {"name": "dormer", "wall_line": _rect(6000, 1200, 8000, 4500), "eave_overhang_mm": 300.0,
          "verge_overhang_mm": 300.0, "pitch_deg": 30.0, "fascia_height_mm": 4900.0, **GABLED}  # fmt: skip


def _combined(*jobs: dict[str, object], north_deg: float = 0.0) -> tuple[Roof, ...]:
    read = tuple(RoofJob.model_validate({"fascia_height_mm": 2700.0, **job}) for job in jobs)
    roofs: list[Roof] = []
    for job in read:
        roofs.append(roof_from_outline(job, north_deg, SETTINGS, 1 + sum(len(roof.planes) for roof in roofs)))
    return combine_roofs(tuple(roofs), read)


def _counted(roofs: tuple[Roof, ...]) -> Counter[str]:
    total: Counter[str] = Counter()
    for roof in roofs:
        for quantity in measure_roof(roof):
            what = quantity.id.split(".")
            if what[0] == "length":
                total[what[2]] += quantity.figure
            elif quantity.id == f"area.{roof.name}":
                total["area"] += quantity.figure
    return total


def _closes(roof: Roof) -> None:
    covered = sum(plane.plan_area_mm2 for plane in roof.planes) + roof.cut_away_mm2
    assert covered == pytest.approx(rings_area(roof.outline_mm), rel=1e-9)


@pytest.mark.parametrize("walls", [False, True])
@pytest.mark.parametrize("pitch", [15.0, 25.0, 40.0])
def test_a_wing_is_the_same_roof_as_one_outline(pitch: float, walls: bool) -> None:
    """Typed as outlines, or as wall lines with 600 mm of overhang that dies into the main roof."""
    jobs = [
        {"name": "main", "pitch_deg": pitch, "outline": _rect(0, 0, 12000, 8000)},
        {"name": "wing", "pitch_deg": pitch, "outline": _rect(4000, -3000, 8000, 4000), **GABLED},
    ]
    if walls:
        jobs[0] |= {"outline": None, "wall_line": _rect(600, 600, 11400, 7400), "eave_overhang_mm": 600.0}
        jobs[1] |= {"outline": None, "wall_line": _rect(4600, -3000, 7400, 4000), "eave_overhang_mm": 600.0}
    crossed = _combined(*jobs)
    points = [(0, 0), (4000, 0), (4000, -3000), (8000, -3000), (8000, 0), (12000, 0), (12000, 8000), (0, 8000)]
    one = _combined({"outline": [(float(x), float(y)) for x, y in points], "pitch_deg": pitch,
                     "edges": {3: {"kind": "gable"}}})  # fmt: skip
    expected = _counted(one)
    found = _counted(crossed)
    assert set(found) == set(expected)
    for word, figure in expected.items():
        assert found[word] == pytest.approx(figure, rel=1e-6), word
    for roof in crossed:
        _closes(roof)


def test_a_gable_dormer() -> None:
    """Walls 2 m apart with 300 of overhang, ridge at 4900 + 1300 tan 30; it meets the main plane where that is as high."""
    main, dormer = _combined(BIG, DORMER)
    t35, t30 = tan(radians(35)), tan(radians(30))
    ridge_z = 4900 + 1300 * t30
    head_y = (ridge_z - 2700) / t35 - 600
    side_y = (4900 + 300 * t30 - 2700) / t35 - 600
    hole = 2000 * (side_y - 1200) + 2000 * (head_y - side_y) / 2
    assert main.cut_away_mm2 == pytest.approx(hole)
    assert main.planes[0].plan_area_mm2 == pytest.approx((15200 + 4000) * 5600 / 2 - hole)
    assert len(main.planes[0].rings_uv) == 2
    aprons = [e for e in main.edges if e.kind is EdgeKind.APRON_HEAD]
    assert [e.length_mm for e in aprons] == [pytest.approx(2000)]
    sides = [e.length_mm for e in main.edges if e.kind is EdgeKind.APRON_SIDE]
    assert sides == [pytest.approx((side_y - 1200) / cos(radians(35)))] * 2
    inner = [e for e in main.edges if e.kind is EdgeKind.VALLEY]
    assert [e.length_mm for e in inner] == [pytest.approx(hypot(1000, head_y - side_y, 1000 * t30))] * 2
    ridge = next(e for e in dormer.edges if e.kind is EdgeKind.RIDGE)
    assert ridge.length_mm == pytest.approx(head_y - 900)
    assert ridge.a_mm[2] == pytest.approx(ridge_z)
    cheeks = [u.area_mm2 for u in main.uprights if u.kind is UprightKind.CHEEK]
    low = 4900 + 300 * t30 - (2700 + 1800 * t35)
    assert sorted(cheeks)[:2] == [pytest.approx(low * (side_y - 1200) / 2)] * 2
    for roof in (main, dormer):
        _closes(roof)


def test_the_valley_of_a_dormer_runs_on_under_its_overhang() -> None:
    """From the dormer's fascia to its ridge; outside its walls it lies on the main plane, which goes on below."""
    main, dormer = _combined(BIG, DORMER)
    valleys = [e for e in dormer.edges if e.kind is EdgeKind.VALLEY]
    t30 = tan(radians(30))
    run = 1300 * t30 / tan(radians(35))
    assert sum(e.length_mm for e in valleys) == pytest.approx(2 * hypot(1300, run, 1300 * t30))
    assert [e.between_deg for e in valleys] == pytest.approx([valleys[0].between_deg] * 4)
    assert all(not e.convex for e in valleys)
    outside = [e for e in valleys if e.id not in {edge.id for edge in main.edges}]
    assert len(outside) == 2
    assert all("P1" in e.faces for e in outside)


def test_a_shared_edge_has_one_id_and_is_counted_once() -> None:
    main, dormer = _combined(BIG, DORMER)
    shared = {e.id: e for e in main.edges} | {}
    both = [e for e in dormer.edges if e.id in shared]
    assert len(both) == 2
    for edge in both:
        assert edge == shared[edge.id]
        assert edge.roof == "main"
        assert {face in {p.id for p in main.planes} for face in edge.faces} == {True, False}
    counted = _counted((main, dormer))
    every = {e.id: e for roof in (main, dormer) for e in roof.edges}
    assert counted["valley"] == pytest.approx(
        sum(e.length_mm for e in every.values() if e.kind is EdgeKind.VALLEY) / 1e3
    )


def test_two_dormers_and_a_verandah_on_one_house() -> None:
    other = {**DORMER, "name": "second", "wall_line": _rect(9000, 1200, 11000, 4500)}
    verandah = {"name": "verandah", "outline": _rect(2000, -2400, 12000, 0), "pitch_deg": 3.0, "below": "main",
                "fascia_height_mm": 2150.0,
                "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}}  # fmt: skip
    roofs = _combined(BIG, DORMER, verandah, other)
    alone = _combined(BIG, DORMER)
    assert roofs[0].cut_away_mm2 == pytest.approx(2 * alone[0].cut_away_mm2)
    assert [p.area_mm2 for p in roofs[3].planes] == pytest.approx([p.area_mm2 for p in roofs[1].planes])
    assert [p.area_mm2 for p in roofs[2].planes] == [pytest.approx(10000 * 2400 / cos(radians(3)))]
    ids = [face.id for roof in roofs for face in (*roof.planes, *roof.uprights)]
    assert len(ids) == len(set(ids))
    for roof in roofs:
        _closes(roof)
        names = {node.id for node in roof.nodes}
        assert all({edge.low, edge.high} <= names for edge in roof.edges)


def test_numbers_and_bearings_are_each_roofs_own() -> None:
    main, dormer = _combined(BIG, DORMER, north_deg=90.0)
    assert [p.outline_edges for p in dormer.planes] == [(2,), (4,)]
    assert [p.bearing_deg for p in dormer.planes] == [180.0, 0.0]
    assert [p.bearing_deg for p in main.planes] == [270.0, 180.0, 90.0, 0.0]
    assert {p.roof for p in dormer.planes} == {"dormer"}
    assert [e.outline_edges for e in dormer.edges if e.kind is EdgeKind.EAVE] == [(2,), (4,)]
    assert [u.outline_edge for u in dormer.uprights] == [1]


def test_far_from_the_origin() -> None:
    def away(job: dict[str, object]) -> dict[str, object]:
        return {**job, "wall_line": [(x + 1.6e9, y + 5.4e9) for x, y in job["wall_line"]]}  # type: ignore[attr-defined]

    near, far = _combined(BIG, DORMER), _combined(away(BIG), away(DORMER))
    for one, other in zip(near, far, strict=True):
        assert [p.area_mm2 for p in other.planes] == pytest.approx([p.area_mm2 for p in one.planes], rel=1e-6)
        assert other.cut_away_mm2 == pytest.approx(one.cut_away_mm2, rel=1e-6)


def _leaf(name: str, ring: list[tuple[float, float]], eave: int, fascia_mm: float) -> dict[str, object]:
    """A single-pitch roof at 5 degrees that rises from one edge; the others are gables."""
    gables = {n: {"kind": "gable"} for n in (1, 2, 3, 4) if n != eave}
    return {"name": name, "outline": ring, "pitch_deg": 5.0, "fascia_height_mm": fascia_mm, "edges": gables}


def test_two_leaves_of_a_butterfly_share_an_internal_gutter() -> None:
    west = _leaf("west", _rect(0, 0, 4000, 9000), 2, 2600.0)
    east = _leaf("east", _rect(4000, 0, 10000, 9000), 4, 2600.0)
    roofs = _combined(west, east)
    gutters = [[e for e in roof.edges if e.kind is EdgeKind.INTERNAL_GUTTER] for roof in roofs]
    assert [len(found) for found in gutters] == [1, 1]
    assert gutters[0][0].id == gutters[1][0].id
    assert gutters[0][0].length_mm == pytest.approx(9000)
    assert gutters[0][0].between_deg == pytest.approx(170)
    assert (gutters[0][0].outline_edges, gutters[1][0].outline_edges) == ((2,), (4,))
    counted = _counted(roofs)
    assert counted["internal_gutter"] == pytest.approx(9.0)
    assert counted["head"] == pytest.approx(18.0)
    assert "eave" not in counted


def test_two_single_pitches_back_to_back_make_a_ridge() -> None:
    high = 2400.0 + 4000.0 * tan(radians(5)) - 6000.0 * tan(radians(5))
    roofs = _combined(
        _leaf("west", _rect(0, 0, 4000, 9000), 4, 2400.0), _leaf("east", _rect(4000, 0, 10000, 9000), 2, high)
    )
    counted = _counted(roofs)
    assert counted["ridge"] == pytest.approx(9.0)
    assert counted["eave"] == pytest.approx(18.0)
    assert "head" not in counted


def test_leaves_at_different_heights_do_not_meet() -> None:
    """The eastern leaf 300 mm higher: its eave hangs free, the western keeps its own."""
    west = _leaf("west", _rect(0, 0, 4000, 9000), 2, 2600.0)
    roofs = _combined(west, _leaf("east", _rect(4000, 0, 10000, 9000), 4, 2900.0))
    assert "internal_gutter" not in _counted(roofs)
    assert _counted(roofs)["eave"] == pytest.approx(18.0)


def test_leaves_at_different_heights_are_not_put_together() -> None:
    """On a survey grid each leaf is counted from a round point of its own; only leaves that meet get a common one."""
    x, y = 2.0e6, 5.0e6
    west = _leaf("west", _rect(x - 4000, y, x, y + 9000), 2, 2600.0)
    apart = _combined(west, _leaf("east", _rect(x, y, x + 6000, y + 9000), 4, 2900.0))
    assert [roof.origin_mm for roof in apart] == [(1.0e6, y, 0.0), (x, y, 0.0)]
    meeting = _combined(west, _leaf("east", _rect(x, y, x + 6000, y + 9000), 4, 2600.0))
    assert [roof.origin_mm for roof in meeting] == [(1.0e6, y, 0.0)] * 2


def test_roofs_that_share_edges_are_numbered_without_gaps() -> None:
    """What the second roof shares keeps the number the first gave it, and no number is left out."""
    roofs = _combined(BIG, DORMER)
    for part in ("planes", "uprights", "nodes", "edges"):
        names = {thing.id for roof in roofs for thing in getattr(roof, part)}
        numbers: dict[str, list[int]] = {}
        for name in names:
            numbers.setdefault(name[0], []).append(int(name[1:]))
        for letter, found in numbers.items():
            assert sorted(found) == list(range(1, len(found) + 1)), letter
