"""Sheets worked by hand, sheet by sheet. Rules of setting out are common practice, no source; the arithmetic stands
in each docstring, so every figure can be checked with a pocket calculator."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import cos, radians, sqrt, tan

import pytest

from takeoff.basics.polygons import signed_area
from takeoff.measure.roofing.sheets.sheets import Beside, place_sheets
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue, Profile
from takeoff.model.roof import Covering, Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import CutShape, PlaneSheets

FROM_EAST = RoofJob(covering=CoveringJob(lay_from="east"))


@pytest.fixture(scope="module")
def corrugated(catalogue: Catalogue) -> Profile:
    return catalogue.profiles["corrugated"]


@pytest.fixture(scope="module")
def lay(settings: Settings, corrugated: Profile) -> Callable[..., dict[str, PlaneSheets]]:
    def place(
        roof: Roof, job: RoofJob = FROM_EAST, site: Site | None = None, **given: object
    ) -> dict[str, PlaneSheets]:
        profile = given.pop("profile", corrugated)
        placed = place_sheets(roof, job, site or Site(), 0.0, settings, profile, **given)  # type: ignore[arg-type]
        return {sheets.plane: sheets for sheets in placed}

    return place


def reaches(sheets: PlaneSheets) -> list[float]:
    return [round(piece.reach_mm, 1) for piece in sheets.pieces]


def test_hip_end_of_8_m_at_25_degrees_sheet_by_sheet(hip_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """The east end of 12 x 8 m: a triangle 8000 wide; k = 1 / cos 25 = 1.10338, h = sqrt(tan^2 25 + 2) = 1.48907.

    The hips stop 25 square to themselves, 25 h = 37.23 along the sheet; the eave runs 50 past the fascia. The foot is
    8000 + 2 (50 - 37.23) / k = 8023.15 wide: ceil((8023.15 - 83) / 762) = ceil(10.42) = 11 sheets, the last shows
    8023.15 - 7620 = 403. The first reaches over its whole width, 845 k = 932.4; each next is 762 k = 840.8 longer:
    932.4, 1773.1, 2613.9, 3454.7, 4295.5. The sixth holds the apex: 4000 k - 37.23 + 50 = 4426.3. The seventh's long
    side is 8023.15 - 6 x 762 = 3451.15 from the far tip: x k = 3807.9, then 840.8 less each: 2967.1 ... 444.8.
    Bought: + 50 up to the next 10. The last, 500, is below the mill's 600 and is cut from the tenth.
    """
    sheets = lay(hip_roof())["P2"]
    assert sheets.start_side == "left"  # its eave is square to the wind
    by_hand = [932.4, 1773.1, 2613.9, 3454.7, 4295.5, 4426.3, 3807.9, 2967.1, 2126.4, 1285.6, 444.8]
    assert reaches(sheets) == pytest.approx(by_hand, abs=0.11)
    assert [piece.order_mm for piece in sheets.pieces] == [
        990, 1830, 2670, 3510, 4350, 4480, 3860, 3020, 2180, 1340, 500
    ]  # fmt: skip
    assert [piece.top.shape for piece in sheets.pieces] == [CutShape.RAKED] * 5 + [CutShape.APEX] + [CutShape.RAKED] * 5
    assert [piece.top.hand for piece in sheets.pieces] == ["right"] * 5 + [""] + ["left"] * 5
    assert [piece.cut_from for piece in sheets.pieces] == [""] * 10 + ["P2.10"]
    assert sheets.pieces[0].top.rake_deg == pytest.approx(47.81, abs=0.01)  # atan k
    # sides at the real edges: the second is 845 wide, 762 k = 840.8 at its short side
    assert (sheets.pieces[1].left_mm, sheets.pieces[1].right_mm) == pytest.approx((840.8, 1773.1), abs=0.1)
    assert (sheets.pieces[0].left_mm, sheets.pieces[10].right_mm) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_trapezoid_of_the_same_roof(hip_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """South plane: 12000 + 23.15 wide at the foot, ceil((12023.15 - 83) / 762) = ceil(15.67) = 16 sheets; full ones
    reach 4000 k + 50 - 25 = 4438.5, bought square at 4439; the two that hold a ridge end are broken."""
    sheets = lay(hip_roof())["P1"]
    assert sheets.start_side == "right"
    assert len(sheets.pieces) == 16
    assert reaches(sheets)[6:10] == [4438.5] * 4
    assert [piece.order_mm for piece in sheets.pieces[6:10]] == [4439.0] * 4
    assert [piece.mark for piece in sheets.pieces if piece.top.shape is CutShape.BROKEN] == ["P1.06", "P1.11"]
    assert sheets.pieces[5].order_mm == 4490.0


def test_valley_plane_with_trims(ell_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """North plane of the L at 25 degrees: hip on its left (east), valley on its right, both rising to the right.

    Rafter 3000 k = 3310.13; foot at -50, head at 3285.13. Hip line v = k u - 37.23, valley line v = k (u - 9000)
    + 37.23: half the 50 gap, square to it. Corners: left foot u = (37.23 - 50) / k = -11.57, right head u = 9000 +
    (3285.13 - 37.23) / k = 11943.6. ceil((11955.1 - 83) / 762) = ceil(15.58) = 16 sheets.
    Sheet 4 ends at -11.57 + 3 x 762 + 845 = 3119.4, past the ridge end at (3285.13 + 37.23) / k = 3011.1: broken.
    Sheet 12 starts left of the foot's end at 9000 - (50 + 37.23) / k = 8920.9 and is broken at its foot. Sheet 13
    starts at 9132.4: its foot is at k 132.4 + 37.23 = 183.4, reach 3285.1 - 183.4 = 3101.8; then 840.8 less each.
    """
    sheets = lay(ell_roof())["P3"]
    assert sheets.start_side == "left"
    full = [3335.1] * 9
    by_hand = [932.4, 1773.1, 2613.9, *full, 3101.8, 2261.0, 1420.2, 579.4]
    assert reaches(sheets) == pytest.approx(by_hand, abs=0.11)
    shapes = [(piece.foot.shape, piece.top.shape) for piece in sheets.pieces]
    assert shapes[3] == (CutShape.SQUARE, CutShape.BROKEN)
    assert shapes[4] == (CutShape.SQUARE, CutShape.SQUARE)
    assert shapes[11] == (CutShape.BROKEN, CutShape.SQUARE)
    assert shapes[12] == (CutShape.RAKED, CutShape.SQUARE)
    assert sheets.pieces[12].foot.hand == "left"  # its foot rises to the right, so it is longer at the left
    assert sheets.pieces[12].right_mm == pytest.approx(3101.8 - 932.4, abs=0.11)
    assert sheets.pieces[15].order_mm == 630.0
    assert sheets.pieces[12].foot_v_mm == pytest.approx(183.4, abs=0.1)


def test_gable_with_a_transport_lap(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """28 m span at 20 degrees: rafter 14000 / cos 20 = 14898.5, + 50 - 25 = 14923.5, longer than pieces of 12 m.

    20 is above 15 degrees: lap 150. Two tiers of (14923.5 + 150) / 2 = 7536.8 each; the upper feet lie at -50 + 7536.8
    - 150 = 7336.8 up the rake. 3810 wide: ceil(3727 / 762) = 5 strips, each in two.
    """
    sheets = lay(gable_roof(3810.0, 28000.0, 20.0), site=Site(longest_piece_mm=12000.0))["P1"]
    assert [piece.mark for piece in sheets.pieces[:4]] == ["P1.01a", "P1.02a", "P1.03a", "P1.04a"]
    assert len(sheets.pieces) == 10
    assert {piece.order_mm for piece in sheets.pieces} == {7537.0}
    assert {(piece.part, piece.lap_mm) for piece in sheets.pieces} == {(0, 150.0), (1, 0.0)}
    assert sheets.pieces[5].foot_v_mm == pytest.approx(7336.8, abs=0.1)
    assert [f.code for f in sheets.findings] == ["end-lapped"]
    # movement goes by the whole run: 0.012 x 75 x 14.9235
    assert sheets.movement_mm == pytest.approx(13.43, abs=0.01)


def test_lap_goes_over_a_purlin_row(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """Rows at 50 + 900 n: the nearest to the even lap's middle, 7336.8 + 75, is 7250: feet at 7250 - 75 = 7175. Lower
    part 7175 + 150 + 50 = 7375, upper 14873.5 - 7175 = 7698.5."""
    rows = {"P1": tuple(50.0 + 900.0 * n for n in range(17))}
    roof = gable_roof(3810.0, 28000.0, 20.0)
    sheets = lay(roof, site=Site(longest_piece_mm=12000.0), beside=Beside(purlin_rows_mm=rows))["P1"]
    assert sheets.pieces[5].foot_v_mm == pytest.approx(7175.0)
    assert [piece.order_mm for piece in sheets.pieces[4:6]] == [7375.0, 7699.0]


def test_single_length_first(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """Without a limit from the job a 14.9 m sheet stays in one length, with a warning, not a lap."""
    sheets = lay(gable_roof(3810.0, 28000.0, 20.0))["P1"]
    assert [piece.order_mm for piece in sheets.pieces] == [14924.0] * 5
    assert [f.code for f in sheets.findings] == ["longer-than-truck"]


def test_short_strips_of_a_lapped_plane_stay_whole(hip_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """Only the sheets that are too long are lapped, all on one line."""
    sheets = lay(hip_roof(), site=Site(longest_piece_mm=3000.0))["P2"]
    lapped = [piece for piece in sheets.pieces if piece.lap_mm]
    assert {piece.strip for piece in lapped} == {4, 5, 6, 7, 8}
    assert len({round(piece.foot_v_mm, 3) for piece in sheets.pieces if piece.part == 1}) == 1
    assert max(piece.order_mm for piece in sheets.pieces) <= 3000.0


@pytest.mark.parametrize(
    ("width", "sheets"), [(762.0, 1), (845.0, 1), (846.0, 2), (12192.0, 16), (12200.0, 16), (13000.0, 17)]
)
def test_counts_by_overall_width(
    width: float, sheets: int, gable_roof: Callable[..., Roof], lay: Callable[..., dict]
) -> None:
    """ceil((W - 83) / 762): 12200 -> ceil(15.90) = 16, 13000 -> ceil(16.95) = 17."""
    assert len(lay(gable_roof(width))["P1"].pieces) == sheets


def test_last_sheet_keeps_three_crests(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """3198 wide: 5 sheets, the last would show 3198 - 4 x 762 = 150, under 3 x 76.2 = 228.6. Two ribs more make it
    150 + 152.4 = 302.4 and leave 762 - 152.4 = 609.6 of the first; one rib would make 226.2."""
    sheets = lay(gable_roof(3198.0))["P1"]
    assert sheets.first_cover_mm == pytest.approx(609.6)
    assert len(sheets.pieces) == 5
    us = [u for u, _ in sheets.pieces[-1].outline_uv]
    assert max(us) - min(us) == pytest.approx(302.4)
    assert lay(gable_roof(3048.0 + 229.0))["P1"].first_cover_mm == 762.0


def test_first_cover_from_the_job(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """The first strip shows 400, so strips start at 400, 1162, ...: ceil((3810 + 362 - 83) / 762) = 6 sheets."""
    job = RoofJob(covering=CoveringJob(lay_from="west", first_cover_mm=400.0))
    sheets = lay(gable_roof(3810.0), job)["P1"]
    assert sheets.first_cover_mm == 400.0
    assert min(u for u, _ in sheets.pieces[1].outline_uv) == pytest.approx(400.0)
    assert len(sheets.pieces) == 6


def test_crests_in_line_across_a_ridge(ell_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """East and west planes of the north leg both set to start at their left, at opposite ends of the ridge.

    The east plane starts at the valley's head, y = 6000 - (3285.13 - 37.23) / k = 3056.4, the west plane at the hip's
    foot, y = 12011.57: 8955.1 apart, 117.52 ribs. The west plane moves out by 0.48 ribs = 36.5 to the next crest line.
    """
    left = {number: EdgeJob(start_side="left") for number in (4, 6)}
    placed = lay(ell_roof(), RoofJob(covering=CoveringJob(lay_from="east"), edges=left))
    assert placed["P4"].first_cover_mm == 762.0
    assert placed["P6"].first_cover_mm == pytest.approx(762.0 - 36.5, abs=0.1)
    k = 1.0 / cos(radians(25.0))
    h = sqrt(tan(radians(25.0)) ** 2 + 2.0)
    apart = 12000.0 + (50.0 - 25.0 * h) / k + 36.5 - (6000.0 - (3000.0 * k - 25.0 - 25.0 * h) / k)
    assert apart / 76.2 == pytest.approx(round(apart / 76.2), abs=0.01)


def test_a_hole_cuts_a_strip_into_runs(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """A hole 1000 x 600 from u = 1500: strip 3 of 762 from the left, 1524 to 2286, lies wholly within 1500 to 2500.

    Its lower run reaches from -50 to 1000, its upper from 1600 to the head; neighbours are notched and stay whole.
    """
    roof = gable_roof(3810.0)
    hole = ((1500.0, 1000.0), (1500.0, 1600.0), (2500.0, 1600.0), (2500.0, 1000.0))
    plane = replace(roof.planes[0], rings_uv=(*roof.planes[0].rings_uv, hole))
    job = RoofJob(covering=CoveringJob(lay_from="west"))
    sheets = lay(replace(roof, planes=(plane, *roof.planes[1:])), job)["P1"]
    head = 4000.0 / cos(radians(20.0)) - 25.0
    assert [piece.mark for piece in sheets.pieces] == ["P1.01", "P1.02", "P1.03-1", "P1.03-2", "P1.04", "P1.05"]
    assert reaches(sheets)[2:4] == pytest.approx([1050.0, head - 1600.0], abs=0.1)
    assert reaches(sheets)[1] == pytest.approx(head + 50.0, abs=0.1)
    covered = sum(signed_area(ring) for piece in sheets.pieces for ring in piece.cover_uv)
    assert covered == pytest.approx(3810.0 * (head + 50.0) - 600_000.0)


def test_planes_of_other_covering_get_no_sheets(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    roof = gable_roof()
    other = replace(roof, planes=(replace(roof.planes[0], covering=Covering.OTHER), roof.planes[1]))
    assert list(lay(other)) == ["P2"]


def test_a_plane_smaller_than_its_trims_gets_no_sheet(
    gable_roof: Callable[..., Roof], lay: Callable[..., dict]
) -> None:
    """Hips on both sides take 25 each: of a strip 50 wide nothing is left, of 200 there is a sheet 150 wide."""
    roof = gable_roof(200.0)
    edges = tuple(replace(e, kind=EdgeKind.HIP if e.kind is EdgeKind.VERGE else e.kind) for e in roof.edges)
    assert [p.order_mm for p in lay(replace(roof, edges=edges))["P1"].pieces] == [4282.0]
    narrow = gable_roof(50.0)
    edges = tuple(replace(e, kind=EdgeKind.HIP if e.kind is EdgeKind.VERGE else e.kind) for e in narrow.edges)
    nothing = lay(replace(narrow, edges=edges))["P1"]
    assert (nothing.pieces, nothing.net_mm2) == ((), 0.0)
    assert [f.code for f in nothing.findings] == ["nothing-to-sheet"]


def test_working_names_rule_trims_and_basis(hip_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """What `explain` prints: the rule in words, reach, allowance, step, and the trim of each edge with its basis."""
    piece = lay(hip_roof())["P2"].pieces[0]
    terms = {(term.name, term.ref): term for term in piece.working.terms}
    assert terms[("reach", "P2.01")].value == pytest.approx(932.4, abs=0.1)
    assert terms[("bought alone", "P2.01")].value == 990.0
    assert terms[("trim", "E2")].value == 50.0
    assert terms[("trim", "E6")].value == -25.0
    assert terms[("hip_trim_mm", "E6")].basis is not None
    assert "raked allowance" in piece.working.rule
    assert "strip 1 from the left" in piece.working.rule
    assert all(term.basis is not None for term in piece.working.terms if term.name.endswith("_mm"))
