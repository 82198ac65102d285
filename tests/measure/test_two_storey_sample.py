"""The sample of two storeys by hand: walls over a lower roof, a gable in other boards, a washhouse in sheets."""

from __future__ import annotations

from math import cos, radians, tan
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run_file, write_files

JOB = "geometry_samples/two_storeys/job.yaml"
T10, T30 = tan(radians(10)), tan(radians(30))


@pytest.fixture(scope="module")
def house() -> Takeoff:
    return run_file(JOB, Stage.MEASURE)


def area(house: Takeoff, name: str) -> float:
    return next(found.figure for found in house.measures if found.id == name)


def metres(house: Takeoff, item: str) -> float:
    return sum(run.length_mm for need in house.cladding.needs for run in need.demands if run.item == item) / 1000.0


def on_wall(house: Takeoff, wall: int, zone: str = "zone 1") -> float:
    """Metres of the boards of a zone on a wall."""
    boards = next(found for found in house.cladding.boards if (found.wall, found.zone) == (wall, zone))
    return sum(piece.length_mm for piece in boards.pieces) / 1000.0


def test_areas(house: Takeoff) -> None:
    # the washhouse's roof at the wall, sheets and apron 30, clearance 35 (E2/AS1, as restated)
    foot = 2.250 + 2.700 * T10 + 0.065
    assert area(house, "wall 1.gross") == pytest.approx(9.076 * 5.10 - 6.076 * (foot + 0.05), abs=1e-4)
    assert area(house, "wall 1.net") == pytest.approx(9.076 * 5.10 - 6.076 * (foot + 0.05) - 2.88, abs=1e-4)
    assert area(house, "wall 3.gross") == pytest.approx(9.076 * 5.10)
    assert area(house, "wall 3.net") == pytest.approx(9.076 * 5.10 - 2.1 - 1.44)
    # gables: the sheets over the eaves wall at 5200 + 600 tan 30, clad to 150 under them; zone from the soffit at 5050
    low = 5.200 + 0.600 * T30 - 0.150 - 5.050
    high = low + 3.000 * T30
    gable = 6.0 * (low + high) / 2.0 + 2.0 * 0.038 * low
    assert area(house, "zone 2.gross") == pytest.approx(2.0 * gable, abs=1e-4)
    assert area(house, "wall 2.gross") == pytest.approx(6.076 * 5.10 + gable, abs=1e-4)
    assert area(house, "wall 5.gross") == pytest.approx(6.075 * 2.15)


def test_areas_by_facing_and_zone_add_up(house: Takeoff) -> None:
    for what in ("gross", "openings", "net"):
        by = {
            sort: sum(m.figure for m in house.measures if m.id.startswith(sort) and m.id.endswith(f".{what}"))
            for sort in ("wall", "zone", "facing")
        }
        assert by["wall"] == pytest.approx(by["zone"]) == pytest.approx(by["facing"])
    for name in ("wall 1", "zone 3", "facing south"):
        assert area(house, f"{name}.net") + area(house, f"{name}.openings") == pytest.approx(
            area(house, f"{name}.gross")
        )


def test_weatherboards(house: Takeoff) -> None:
    """33 courses of 153.53: feet at -50 + 153.53 n. Behind the washhouse those that end under 2791: 18. Windows from 3600
    to 4800 take courses 24 to 30, seven; the door from 0 to 2100 courses 1 to 13."""
    boards = next(found for found in house.cladding.boards if found.wall == 1)
    assert (boards.courses, boards.cover_mm) == (33, pytest.approx(4913 / 32))
    assert on_wall(house, 1) == pytest.approx(33 * 9.076 - 18 * 6.076 - 2 * 7 * 1.2)
    assert on_wall(house, 3) == pytest.approx(33 * 9.076 - 13 * 1.0 - 7 * 1.2)
    assert on_wall(house, 2) == on_wall(house, 4) == pytest.approx(33 * 6.076)
    assert metres(house, "bevel_187") == pytest.approx(852.464)


def test_flashings_and_closers(house: Takeoff) -> None:
    assert metres(house, "zone_flashing_level") == pytest.approx(2 * 6.076, abs=1e-3)
    # a corner runs on to the higher top: the gables end at 5200 + 600 tan 30 - 150 there, the eaves walls at 5050
    corner = 0.050 + 5.200 + 0.600 * T30 - 0.150
    assert metres(house, "corner_back_flashing") == pytest.approx(4 * corner)
    assert metres(house, "corner_100x25") == metres(house, "corner_75x25") == pytest.approx(4 * corner)
    side = 2.400 + 0.0375 - 0.038
    assert metres(house, "base_closer") == pytest.approx(2 * 9.076 + 2 * 6.076 + 6.075 + 2 * side, abs=1e-3)
    # the washhouse's sides end at the quarters 150 under its sheets
    end = 2.100 + (0.300 + 2.400 - 0.038) * T10 + 0.05
    assert metres(house, "internal_corner_flashing") == pytest.approx(2 * end, abs=2e-3)


def test_sheets_of_the_washhouse(house: Takeoff) -> None:
    front = next(found for found in house.cladding.boards if found.wall == 5)
    assert [piece.length_mm for piece in front.pieces] == [2150] * 8
    # a side of 2399.5 mm: three sheets reach 3 x 762 + 83 = 2369; the 30.5 left lie under both corner flashings
    side = next(found for found in house.cladding.boards if found.wall == 6)
    assert len(side.pieces) == 3
    assert side.marks_mm[0] == pytest.approx(-37.5 + 30.5 / 2)
    assert all(round(piece.rakes_deg[1], 1) == 10.0 for piece in side.pieces)


def test_jambs_in_sheets_are_flashed(house: Takeoff) -> None:
    # the washhouse's window, 900 high; level boards have scribers instead
    assert metres(house, "jamb_flashing") == 1.8


def test_soffits(house: Takeoff) -> None:
    assert area(house, "soffit.level.area") == pytest.approx(0.58 * 18.0 + 0.28 * 6.0)
    assert area(house, "soffit.raked.area") == pytest.approx(0.43 * 4 * 3.6 / cos(radians(30)))
    assert metres(house, "mould_30x10") == pytest.approx(
        2 * 9.9 + 6.0 + 4 * 3.6 / cos(radians(30)) + 18.0 + 6.0 + 4 * 3.0 / cos(radians(30)), abs=0.01
    )


def test_the_deck_keeps_its_clearance(house: Takeoff) -> None:
    assert not any(finding.code == "cladding-near-ground" for finding in house.findings)


def test_areas_stand_in_the_workbook(tmp_path: Path) -> None:
    """South, by hand: 29.03 and 13.06 gross; openings 2 x 1.44 and 1.08."""
    write_files(run_file(JOB), tmp_path / "out")
    sheet = load_workbook(tmp_path / "out" / "order_sheet.xlsx")["Walls"]
    rows = {row[0]: row for row in sheet.iter_rows(values_only=True) if row[0]}
    assert rows["facing south"][5:8] == (42.09, 38.13, "openings 3.96")
    assert rows["zone 3"][5] == 24.62


def test_half_of_the_wall_over_the_washhouse_joins_its_catchment(house: Takeoff) -> None:
    """Roof 6.0 m x (2.7 - 0.6 under the quarters' eave) = 12.6 m2 at 10 degrees. The wall stands from the washhouse's
    sheets at 2250 + 2700 tan 10 = 2726 to the quarters' at 5200 + 600 tan 30 = 5546: 6.0 x 2.820 / 2 = 8.461 m2
    (code of practice v25.12, 5.3.1: half a wall)."""
    run = next(found for found in house.gutters if found.roof == "washhouse")
    wall = 6.0 * ((5.200 + 0.600 * T30) - (2.250 + 2.700 * T10)) / 2.0
    assert wall == pytest.approx(8.461, abs=1e-3)
    assert run.wall_mm2 / 1e6 == pytest.approx(wall, rel=1e-6)
    assert area(house, "catchment SP3 effective") == pytest.approx(12.6 * (1.0 + T10 / 2.0) + wall, rel=1e-6)
    codes = {finding.code for finding in house.findings}
    assert "walls-above" in codes
    assert "wall-above-unknown" not in codes
