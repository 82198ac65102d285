"""Walls of whole buildings: what holds however the house lies, and what closes by geometry alone."""

from __future__ import annotations

import json
from collections import Counter
from math import cos, radians, sin
from typing import Any

import pytest
from shapely import union_all
from shapely.geometry import Polygon, box

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.model.walls import Elevation
from takeoff.read.job.job_file import parse_job

HOUSE = [(0, 0), (9000, 0), (9000, 6000), (0, 6000)]
LEAN = [(1500, -2400), (7500, -2400), (7500, 0), (1500, 0)]
WINDOWS = [(1, 1500, 2), (1, 6300, 2), (3, 1500, 2), (5, 2400, 1)]


def building(place: Any = None, mirrored: bool = False, zones: bool = True) -> Takeoff:
    """Two storeys with a lean-to, moved by `place`, or mirrored left to right (walls then go round the other way)."""
    where = place or (lambda p: p)

    def ring(points: list[tuple[float, float]]) -> list[list[float]]:
        return [list(where((9000 - x, y) if mirrored else (x, y))) for x, y in points]

    gable = {"kind": "gable"}
    roofs = [
        {"name": "house", "wall_line": ring(HOUSE), "eave_overhang_mm": 600, "verge_overhang_mm": 450,
         "fascia_height_mm": 5200, "pitch_deg": 30, "edges": {"2": gable, "4": gable}},
        {"name": "lean", "below": "house", "wall_line": ring(LEAN), "eave_overhang_mm": 300, "fascia_height_mm": 2250,
         "pitch_deg": 10, "edges": {"2": gable, "3": {"kind": "wall"}, "4": gable}},
    ]  # fmt: skip
    upright = {"width_mm": 150, "cover_mm": 135, "kind": "shiplap"}
    parts = [
        {"walls": [2, 4], "from_mm": 5050, "direction": "vertical", "board": upright},
        {"walls": [3], "from_left_mm": 4500, "width_mm": 2025, "direction": "vertical", "board": upright},
    ]
    long = {1: 9000, 3: 9000, 5: 6000}
    parts[1]["from_left_mm"] = 9000 - 4500 - 2025 if mirrored else 4500
    walls = {
        "ground_mm": -300,
        "storeys": [
            {"roof": "house", "floor_mm": 0, "height_mm": 2400},
            {"roof": "house", "floor_mm": 2700, "height_mm": 2400},
            {"roof": "lean", "floor_mm": 0, "height_mm": 2300},
        ],
        "zones": [{"board": "bevel_187"}, *(parts if zones else [])],
        "openings": [
            {"wall": wall, "from_left_mm": long[wall] - left - 1200 if mirrored else left, "sill_mm": 900,
             "width_mm": 1200, "height_mm": 900, "storey": storey}
            for wall, left, storey in WINDOWS
        ],
    }  # fmt: skip
    job = {"job": "building", "site": {"wind_zone": "high"}, "roofs": roofs, "walls": walls}
    return pipeline.run(parse_job(json.dumps(job)))


@pytest.fixture(scope="module")
def plain() -> Takeoff:
    return building()


def wall_order(house: Takeoff) -> Counter[tuple[str, float, float]]:
    assert house.order is not None, [finding.text for finding in house.findings if finding.severity == "stop"]
    lines = (line for line in house.order.lines if line.delivery == "walls")
    found: Counter[tuple[str, float, float]] = Counter()
    for line in lines:
        found[line.item, line.each_mm, round(line.count, 6)] += 1
    return found


def lengths(house: Takeoff) -> dict[str, list[float]]:
    return {
        sort: sorted(round(p.length_mm, 1) for b in house.cladding.boards if b.direction == sort for p in b.pieces)
        for sort in ("horizontal", "vertical")
    }


def details(house: Takeoff) -> list[tuple[str, float]]:
    """Corners and lines between claddings, each with its length."""
    return sorted((line.detail, round(line.length_mm, 1)) for line in house.cladding.junctions)


def corner_parts(house: Takeoff) -> list[tuple[str, float]]:
    """What is cut for corners and lines between claddings."""
    runs = (run for need in house.cladding.needs for run in need.demands if run.id.startswith("X"))
    return sorted((run.item, round(run.length_mm, 1)) for run in runs)


def turned(degrees: float, dx: float, dy: float) -> Any:
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return lambda p: (p[0] * c - p[1] * s + dx, p[0] * s + p[1] * c + dy)


@pytest.mark.parametrize("place", [turned(37.3, 0, 0), turned(180, 12345, -6789)])
def test_a_turned_and_shifted_building_buys_the_same(plain: Takeoff, place: Any) -> None:
    other = building(place)
    assert lengths(other) == lengths(plain)
    assert wall_order(other) == wall_order(plain)
    assert details(other) == details(plain)


def test_a_mirrored_building_has_the_same_boards(plain: Takeoff) -> None:
    other = building(mirrored=True)
    assert lengths(other) == lengths(plain)
    gross = [{found.id: found.figure for found in house.measures} for house in (plain, other)]
    # seen from inside out: what was the east wall's is now the west wall's
    assert gross[0]["facing east.gross"] == pytest.approx(gross[1]["facing west.gross"])
    assert gross[0]["zone 1.net"] == pytest.approx(gross[1]["zone 1.net"])
    assert details(other) == details(plain)
    assert corner_parts(other) == corner_parts(plain) != []


def test_boards_cover_every_seen_point_of_the_net_wall_and_nothing_else(plain: Takeoff) -> None:
    for wall in plain.elevations:
        seen = [Polygon(p.outline_xy) for b in plain.cladding.boards if b.wall == wall.wall for p in b.pieces]
        assert sum(shape.area for shape in seen) == pytest.approx(union_all(seen).area, abs=200)  # none over another
        net = clad(wall)
        framing = box(0, -1e5, wall.width_mm, 1e5)
        # the face goes past the framing at outside corners and stops short of it at inside ones
        inner = box(38, -1e5, wall.width_mm - 38, 1e5)
        assert union_all(seen).intersection(inner).symmetric_difference(net.intersection(inner)).area < 500
        assert union_all(seen).intersection(framing).difference(net).area < 500


def clad(wall: Elevation) -> Any:
    covered = union_all([Polygon(ring) for ring in wall.covered_xy])
    holes = union_all([box(o.from_left_mm, o.sill_mm, o.from_left_mm + o.width_mm, o.head_mm) for o in wall.openings])
    return Polygon(wall.outline_xy).difference(covered).difference(holes)


def test_walls_are_the_prism_between_floor_and_roof_less_what_the_lower_roof_covers(plain: Takeoff) -> None:
    """On framing: perimeter x height to the soffit, the gables above it, less the lean-to's outline on wall 1."""
    house = [wall for wall in plain.elevations if wall.roof == "house"]
    t30, t10 = 0.5773502691896257, 0.17632698070846498
    gables = 2 * (6.0 * (0.6 * t30 + 5.2 - 0.15 - 5.05) + 3.0 * 3.0 * t30)
    prism = 2 * (9.0 + 6.0) * 5.1 + gables
    covered = 6.076 * (2.25 + 2.7 * t10 + 0.065 + 0.05)
    shapes = (Polygon(w.outline_xy).difference(union_all([Polygon(r) for r in w.covered_xy])) for w in house)
    assert sum(shape.area for shape in shapes) / 1e6 == pytest.approx(prism - covered, abs=2e-3)


def test_pieces_are_the_cut_list_and_waste_is_near_its_bound(plain: Takeoff) -> None:
    assert plain.order is not None
    pieces = {p.id: p.length_mm for b in plain.cladding.boards for p in b.pieces}
    cut: Counter[str] = Counter()
    joints: Counter[str] = Counter()
    for plan in plain.order.plans:
        for bar in plan.bars:
            for piece in bar.pieces:
                cut[piece.run] += piece.length_mm
                joints[piece.run] += 1
        if any(bar.pieces[0].run in pieces for bar in plan.bars):
            assert plan.bought_mm <= 1.01 * plan.bound_mm
    assert set(pieces) <= set(cut)
    for name, length in pieces.items():
        assert length - 0.5 <= cut[name] - 18 * (joints[name] - 1) <= length + 2 * joints[name]


@pytest.mark.parametrize("sample", ["", "homestead", "l_house"])
def test_joints_not_clear_are_told(plain: Takeoff, sample: str) -> None:
    house = pipeline.run_file(f"geometry_samples/{sample}") if sample else plain
    assert house.order is not None
    unclear = {joint.run for plan in house.order.plans for joint in plan.joints if not joint.clear}
    told = {ref for plan in house.order.plans for finding in plan.findings for ref in finding.refs}
    boards = {piece.id for found in house.cladding.boards for piece in found.pieces}
    assert unclear & boards <= told
