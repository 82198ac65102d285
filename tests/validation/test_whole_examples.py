"""Whole examples of public pages, run through the program from a job file each; every page is named with its test.

Feet are 304.8 mm. What the program trims and adds by custom (overhang into spouting, hip trims) is set to none, since
the pages have none.
"""

from __future__ import annotations

from math import atan, atan2, cos, degrees, hypot, radians, sin, sqrt, tan

import pytest

from takeoff import pipeline
from takeoff.model.order import Takeoff
from takeoff.model.roof import EdgeKind
from takeoff.read.job.job_file import parse_job

FT = 304.8
WIDE = "profiles: {wide: {kind: corrugated, cover_mm: 1015, overall_mm: 1072, rib_pitch_mm: 76.2, depth_mm: 17, least_pitch_deg: 5}}"
NO_TRIMS = "sheet_over_eave_mm: 0, sheet_over_bare_eave_mm: 0"


def shed(along_mm: float, slope_mm: float, pitch_deg: float, more: str = "", site: str = "") -> Takeoff:
    deep = slope_mm * cos(radians(pitch_deg))
    outline = [[0, 0], [along_mm, 0], [along_mm, deep], [0, deep]]
    text = f"""
job: shed
code: nz
site: {{wind_zone: low{site}}}
roofs:
  - outline: {outline}
    pitch_deg: {pitch_deg}
    edges: {{2: {{kind: gable}}, 3: {{kind: gable}}, 4: {{kind: gable}}}}
    covering: {{profile: wide, lay_from: east}}
{WIDE}
settings: {{{NO_TRIMS}{more}}}
"""
    return pipeline.run(parse_job(text), until=pipeline.Stage.MEASURE)


def roof_of(outline: list[tuple[float, float]], pitch_deg: float) -> Takeoff:
    points = [[x, y] for x, y in outline]
    text = f"job: roof\ncode: nz\nroofs:\n  - outline: {points}\n    pitch_deg: {pitch_deg}\n"
    return pipeline.run(parse_job(text), until=pipeline.Stage.SHAPE)


def lengths(takeoff: Takeoff, kind: EdgeKind) -> list[float]:
    return sorted(edge.length_mm for edge in takeoff.roofs[0].edges if edge.kind is kind)


def octagon(width: float, height: float, corner: float) -> list[tuple[float, float]]:
    w, h, c = width, height, corner
    return [(c, 0), (w - c, 0), (w, c), (w, h - c), (w - c, h), (c, h), (0, h - c), (0, c)]


def test_w1_sheets_of_a_shed() -> None:
    """A public civil-engineering teaching page, Nov 2020, number of roofing sheets, part 5 (seen): shed 8 x 10 ft, rise
    1 in 8, sheets 1 ft past the ends, 1.75 ft past front and back: sheet 11.562 ft, 4 sheets."""
    slope = (sqrt(8.0**2 + 1.0) + 2 * 1.75) * FT
    takeoff = shed(12.0 * FT, slope, degrees(atan(1.0 / 8.0)))
    (plane,) = takeoff.roofing.sheets
    assert len(plane.pieces) == 4
    assert {piece.order_mm for piece in plane.pieces} == {3525.0}
    assert plane.pieces[0].reach_mm / FT == pytest.approx(11.562, abs=0.0005)


def test_w2_end_lapped_sheets_of_a_shed() -> None:
    """Another such page (seen, its end cut off): 22 ft along, slope 15 / sin 50 + 2 = 21.58 ft, cover 1015, end lap 250:
    7 sheets a row."""
    slope_ft = 15.0 / sin(radians(50.0)) + 2.0
    assert slope_ft == pytest.approx(21.58, abs=0.005)
    takeoff = shed(22.0 * FT, slope_ft * FT, 40.0, ", end_lap_mm: 250", ", longest_piece_mm: 4000")
    (plane,) = takeoff.roofing.sheets
    assert len({piece.strip for piece in plane.pieces}) == 7
    assert len(plane.pieces) == 14
    strip = sum(piece.order_mm for piece in plane.pieces if piece.strip == 1)
    assert (strip - 250.0) / FT == pytest.approx(21.58, abs=0.01)  # bought to the mm, each part


def test_w3_hips_of_a_pyramid() -> None:
    """A public page on timber houses, hip roof (seen): slope 1:2, run 300 cm: hip 450.0 cm."""
    takeoff = roof_of([(0, 0), (6000, 0), (6000, 6000), (0, 6000)], degrees(atan(0.5)))
    assert lengths(takeoff, EdgeKind.HIP) == pytest.approx([4500.0] * 4, abs=0.5)


def test_w4_the_page_gives_a_common_rafter_for_a_hip() -> None:
    """A public how-to page (seen, WRONG): hip of 40 x 30 ft, rise 10: it prints 18.02 ft, which is the common rafter
    sqrt(15^2 + 10^2) = 18.028; the hip is sqrt(15^2 + 15^2 + 10^2) = 23.452."""
    takeoff = roof_of([(0, 0), (40 * FT, 0), (40 * FT, 30 * FT), (0, 30 * FT)], degrees(atan2(10, 15)))
    hips = lengths(takeoff, EdgeKind.HIP)
    assert [hip / FT for hip in hips] == pytest.approx([23.452] * 4, abs=0.001)
    assert hypot(15, 10) == pytest.approx(18.02, abs=0.01)
    assert all(abs(hip / FT - 18.02) > 5.0 for hip in hips)
    assert sum(hips) / 1000.0 == pytest.approx(28.59, abs=0.005)


def test_w5_octagon_of_two_lengths() -> None:
    """A public personal page with an octagonal roof (seen): 20 x 15 at 45 degrees: height 7.50, rafter 10.61, chords
    11.21 and 6.21, hips at 42.7 degrees."""
    side = 15.0 * tan(radians(22.5))
    points = octagon(20_000, 15_000, (15.0 - side) / 2.0 * 1000.0)
    takeoff = roof_of(points, 45.0)
    assert (20.0 - 15.0 + side, side) == pytest.approx((11.21, 6.21), abs=0.005)
    assert lengths(takeoff, EdgeKind.RIDGE) == pytest.approx([5000.0], abs=1.0)
    hips = [edge for edge in takeoff.roofs[0].edges if edge.kind is EdgeKind.HIP]
    assert [hip.length_mm for hip in hips] == pytest.approx([11_052.0] * 8, abs=1.0)
    assert {round(hip.slope_deg, 1) for hip in hips} == {42.7}
    top = max(max(edge.a_mm[2], edge.b_mm[2]) for edge in hips) - min(min(edge.a_mm[2], edge.b_mm[2]) for edge in hips)
    assert top == pytest.approx(7500.0, abs=1.0)


def test_w6_octagon_end_by_the_square() -> None:
    """Trade-school slides CPCCCA3009, and an old public-domain cyclopedia, roof framing ("13 and 10: seat and plumb cut of
    octagon hip") (seen): end = half span x 0.828, angles 22.5; hips at 10 in 12 by 13 and 10."""
    side = 2000.0 * 0.828427
    takeoff = roof_of(octagon(4000, 4000, (4000 - side) / 2.0), degrees(atan2(10, 12)))
    assert lengths(takeoff, EdgeKind.EAVE) == pytest.approx([1657.0] * 8, abs=0.5)
    hips = lengths(takeoff, EdgeKind.HIP)
    assert hips == pytest.approx([2732.0] * 8, abs=1.0)
    by_square = hypot(13, 10) / 12 * 2000.0  # 13 and 10 for each 12 of run
    assert hips[0] == pytest.approx(by_square, rel=1e-3)


@pytest.mark.parametrize(("cover_in", "courses"), [(8.0, 13), (10.0, 10)])
def test_w7_courses_of_siding(cover_in: float, courses: int) -> None:
    """A public siding measuring page (seen): walls of 60, 60, 28, 28 ft (176 ft), 99 in high: 13 courses of 8 in cover and
    10 of 10 in; 176 ft in 13 and 10 courses cover 1524 and 1466 square feet."""
    cover = cover_in * 25.4
    walls = ", ".join(
        f"{{name: w{n}, width_mm: {feet * FT}, height_mm: {99 * 25.4}, left: none, right: none}}"
        for n, feet in enumerate((60, 60, 28, 28))
    )
    board = f"{{width_mm: {cover + 30}, cover_mm: {cover}, kind: shiplap}}"
    text = f"job: barn\ncode: nz\nwalls: {{elevations: [{walls}], zones: [{{board: {board}}}]}}\n"
    text += "settings: {floor_lap_mm: 0, cavity_mm: 0}\n"
    takeoff = pipeline.run(parse_job(text), until=pipeline.Stage.MEASURE)
    assert {boards.courses for boards in takeoff.cladding.boards} == {courses}
    covered = courses * cover * 176.0 * FT / FT**2
    assert covered == pytest.approx({13: 1524.0, 10: 1466.0}[courses], rel=0.002)
    net = sum(boards.net_mm2 for boards in takeoff.cladding.boards)
    assert net / FT**2 == pytest.approx(176.0 * 99.0 / 12.0, rel=1e-6)
