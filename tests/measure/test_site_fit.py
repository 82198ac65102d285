"""Sheets on a frame as taped: hand-worked gables, and sizes that cannot be true."""

from __future__ import annotations

from math import hypot, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takeoff.basics.vectors import Point2, distance2
from takeoff.measure.roofing.sheets.site_checks import LENGTHS, closing_ridge, drawn_lengths, needed
from takeoff.measure.roofing.sheets.site_fit import built_place, fit_plane
from takeoff.model.order import Hold, Takeoff
from takeoff.model.roof import Frame, RoofPlane
from takeoff.model.sheets import CutShape
from takeoff.model.supplied import PlaneFit, SiteMeasure
from takeoff.order.comparing.remeasured import mark_changes, released
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job

# a gable, 9 000 along the eave; rafters 3 600 in plan at 25 degrees: 3 972.2 on the slope
JOB = """\
job: Barn
site: {wind_zone: high}
roofs:
  - outline: [[0, 0], [9000, 0], [9000, 7200], [0, 7200]]
    pitch_deg: 25
    edges: {2: {kind: gable}, 4: {kind: gable}}
    covering: {lay_from: east}
"""
HIP = JOB.replace("    edges: {2: {kind: gable}, 4: {kind: gable}}\n", "")


def plane(*ring: Point2) -> RoofPlane:
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return RoofPlane("P1", "main", frame, (ring,), (1,), 1, 25.0, 180.0, 1.0, 1.0)


GABLE = plane((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (0.0, 4000.0))
HIP_END = plane((0.0, 0.0), (8000.0, 0.0), (4000.0, 3000.0))
LEANING = plane((0.0, 0.0), (9000.0, 0.0), (5000.0, 3000.0), (0.0, 3000.0))
UPSIDE = plane((4000.0, 0.0), (8000.0, 3000.0), (0.0, 3000.0))


def sizes(fit: PlaneFit) -> dict[str, float]:
    return {item: distance2(fit.built_uv[i], fit.built_uv[j]) for item, (i, j) in LENGTHS.items()}


def as_drawn(takeoff: Takeoff, **off: float) -> tuple[SiteMeasure, ...]:
    """Every needed size and both diagonals as drawn, some off: P1_eave=5."""
    found = []
    for roof in takeoff.roofs:
        for one in roof.planes:
            drawn = drawn_lengths(one)
            items = [*needed(one), *(("diagonal 1", "diagonal 2") if len(needed(one)) == 4 else ())]
            found += [
                SiteMeasure(one.id, item, drawn[item] + off.get(f"{one.id}_{item.replace(' ', '_')}", 0.0))
                for item in items
            ]
    return tuple(found)


@pytest.fixture(scope="module")
def barn() -> Takeoff:
    return run(parse_job(JOB))


def again(job: str, taped: tuple[SiteMeasure, ...], settings: str = "") -> Takeoff:
    return run(parse_job(job + settings), taped=taped)


def bought(takeoff: Takeoff, name: str) -> list[float]:
    return [piece.order_mm for sheets in takeoff.roofing.sheets if sheets.plane == name for piece in sheets.pieces]


def codes(takeoff: Takeoff) -> set[str]:
    return {finding.code for finding in takeoff.findings}


@pytest.mark.parametrize("drawn", [GABLE, HIP_END, LEANING, UPSIDE])
def test_a_frame_as_drawn_moves_nothing(drawn: RoofPlane) -> None:
    fit = fit_plane(drawn, drawn_lengths(drawn))
    for point in drawn.rings_uv[0]:
        assert built_place(fit, point) == pytest.approx(point, abs=1e-6)


@pytest.mark.parametrize("drawn", [GABLE, HIP_END, LEANING, UPSIDE])
def test_sides_alone_are_kept(drawn: RoofPlane) -> None:
    taped = {item: drawn_lengths(drawn)[item] + off for item, off in zip(needed(drawn), (12, -7, 9, 4), strict=False)}
    found = sizes(fit_plane(drawn, taped))
    for item, mm in taped.items():
        assert found[item] == pytest.approx(mm, abs=0.01)


@given(st.lists(st.floats(-40, 40), min_size=8, max_size=8))
def test_true_sizes_give_back_the_frame(off: list[float]) -> None:
    corners = [(0.0, 0.0), (9000.0, 0.0), (0.0, 4000.0), (9000.0, 4000.0)]
    built = [(x + off[2 * i], y + off[2 * i + 1]) for i, (x, y) in enumerate(corners)]
    taped = {item: distance2(built[i], built[j]) for item, (i, j) in LENGTHS.items()}
    assert closing_ridge(taped) == pytest.approx(taped["ridge"], abs=1e-6)
    fit = fit_plane(GABLE, taped)
    assert sizes(fit) == pytest.approx(taped, abs=0.01)
    # the eave lies level where it was drawn
    assert fit.built_uv[0][1] == pytest.approx(0.0, abs=1e-6)
    assert fit.built_uv[1][1] == pytest.approx(0.0, abs=1e-6)


def test_the_closing_ridge_by_hand() -> None:
    # eave 9 000, rafters 4 000 square to it: both diagonals sqrt(9000^2 + 4000^2), the ridge 9 000
    diagonal = hypot(9000, 4000)
    taped = {"eave": 9000.0, "rafter left": 4000.0, "rafter right": 4000.0, "ridge": 9000.0}
    taped |= {"diagonal 1": diagonal, "diagonal 2": diagonal}
    assert closing_ridge(taped) == pytest.approx(9000.0)
    # diagonal 1 longer by 30: its head, over the right foot, moves out by 30 x d / 9000 = 32.8
    assert closing_ridge(taped | {"diagonal 1": diagonal + 30}) == pytest.approx(9000 + 32.9, abs=0.2)
    assert closing_ridge({item: mm for item, mm in taped.items() if item != "ridge"}) is None
    far = closing_ridge(taped | {"diagonal 1": 90_000.0})
    assert far is not None
    assert far != far


def test_points_between_move_in_between() -> None:
    fit = PlaneFit("P1", ((0, 0), (9000, 0), (0, 4000), (9000, 4000)), ((0, 0), (9000, 0), (0, 4020), (9000, 4000)))
    assert built_place(fit, (0, 4000)) == pytest.approx((0, 4020))
    assert built_place(fit, (4500, 4000)) == pytest.approx((4500, 4010))
    assert built_place(fit, (4500, 2000)) == pytest.approx((4500, 2005))
    # beyond the frame as its nearest side: 50 mm over the eave stay 50 mm
    assert built_place(fit, (4500, -50)) == pytest.approx((4500, -50))
    assert built_place(fit, (-300, 4000)) == pytest.approx((-300, 4020))


def test_sizes_as_drawn_change_no_sheet_and_the_state(barn: Takeoff) -> None:
    done = again(JOB, as_drawn(barn))
    assert all(change.old_mm == change.new_mm for change in mark_changes(barn, done))
    assert barn.order is not None
    assert done.order is not None
    assert (barn.order.state, done.order.state) == (Hold.HOLD, Hold.MEASURED)


def test_sizes_to_the_mm_are_as_drawn(barn: Takeoff) -> None:
    whole = tuple(SiteMeasure(m.plane, m.item, float(round(m.mm))) for m in as_drawn(barn))
    done = again(JOB, whole)
    assert all(change.old_mm == change.new_mm for change in mark_changes(barn, done))


def test_both_rafters_longer_make_every_sheet_longer(barn: Takeoff) -> None:
    # P1 up by 15 at both ends: with diagonals that follow, 3 972.2 + 15 + 50 - 25 = 4 012.2 -> 4 013
    drawn = drawn_lengths(barn.roofs[0].planes[0])
    diagonal = hypot(9000, drawn["rafter left"] + 15) - drawn["diagonal 1"]
    off = {"P1_rafter_left": 15.0, "P1_rafter_right": 15.0, "P1_diagonal_1": diagonal, "P1_diagonal_2": diagonal}
    done = again(JOB, as_drawn(barn, **off))
    assert set(bought(barn, "P1")) == {3998.0}
    assert set(bought(done, "P1")) == {4013.0}
    assert bought(done, "P2") == bought(barn, "P2")
    assert codes(done) - codes(barn) == set()


def test_one_rafter_longer_makes_sheets_longer_along_the_ridge(barn: Takeoff) -> None:
    # left rafter + 18, the right as drawn: at the left end 3 997.2 + 18, at the right end as drawn, cut square
    left = drawn_lengths(barn.roofs[0].planes[0])["rafter left"]
    taped = tuple(m for m in as_drawn(barn, P1_rafter_left=18.0) if "diagonal" not in m.item)
    done = again(JOB, taped)
    pieces = next(sheets.pieces for sheets in done.roofing.sheets if sheets.plane == "P1")
    lengths = [piece.order_mm for piece in pieces]  # laid from the east: from the right
    assert lengths == sorted(lengths)
    assert lengths[-1] == pytest.approx(left + 25 + 18, abs=1.5)
    # the first sheet lies over 845 of 9 000 from the right
    assert lengths[0] == pytest.approx(left + 25 + 18 * 845 / 9000, abs=1.5)
    assert {piece.top.shape for piece in pieces} == {CutShape.SQUARE}


def test_a_longer_house_needs_a_sheet_more() -> None:
    # 12 cover + 83 lap width = 9 227 is 12 sheets exactly; 10 mm more needs a thirteenth
    job = JOB.replace("9000", "9227")
    drawn = run(parse_job(job))
    assert len(bought(drawn, "P1")) == 12
    off = {f"{p}_{item}": 10.0 for p in ("P1", "P2") for item in ("eave", "ridge")}
    taped = tuple(m for m in as_drawn(drawn, **off) if "diagonal" not in m.item)
    done = again(job, taped)
    assert len(bought(done, "P1")) == 13
    # laying starts at the right end as built
    first = next(sheets for sheets in done.roofing.sheets if sheets.plane == "P1")
    assert first.start_u_mm == pytest.approx(max(u for u, _ in first.sheeted_uv[0])) == pytest.approx(9227 + 5, abs=0.1)
    changes = mark_changes(drawn, done)
    assert [(c.mark, c.old_mm) for c in changes if c.plane == "P1" and c.old_mm != c.new_mm] == [("P1.13", 0.0)]


def test_a_hip_roof_is_measured_by_its_hips() -> None:
    drawn = run(parse_job(HIP))
    hips = {f"{one.id}_rafter_{side}": 12.0 for one in drawn.roofs[0].planes for side in ("left", "right")}
    taped = tuple(m for m in as_drawn(drawn, **hips) if "diagonal" not in m.item)
    done = again(HIP, taped)
    assert done.order is not None
    assert done.order.state is Hold.MEASURED
    # an end plane: half eave 3 600, hips s = sqrt(3600^2 + 3972.2^2) = 5 360.8; s + 12 makes it 3 988.4 high
    height = sqrt((sqrt(3600**2 + 3972.16**2) + 12) ** 2 - 3600**2)
    ends = [sheets for sheets in done.roofing.sheets if len({round(u) for u, _ in sheets.sheeted_uv[0]}) == 3]
    assert ends
    old = {sheets.plane: sheets for sheets in drawn.roofing.sheets}
    for sheets in ends:
        before = max(v for _, v in old[sheets.plane].sheeted_uv[0])
        assert max(v for _, v in sheets.sheeted_uv[0]) - before == pytest.approx(height - 3972.16, abs=0.3)


@pytest.mark.parametrize(
    ("off", "code"),
    [
        ({"P1_rafter_left": 21.0}, "rafters-out-of-parallel"),
        ({"P1_eave": 101.0}, "measure-off-drawing"),
        ({"P1_diagonal_1": 21.0}, "diagonals-do-not-close"),
        ({"P1_ridge": 25.0, "P2_ridge": 25.0}, "diagonals-do-not-close"),
        ({"P2_ridge": 21.0}, "edge-taped-twice"),
    ],
)
def test_sizes_that_cannot_be_true_stop(barn: Takeoff, off: dict[str, float], code: str) -> None:
    done = again(JOB, as_drawn(barn, **off))
    assert done.order is None
    assert code in {finding.code for finding in done.stops}


def test_the_tolerance_is_a_setting(barn: Takeoff) -> None:
    off = {"P1_rafter_left": 30.0}
    taped = tuple(m for m in as_drawn(barn, **off) if "diagonal" not in m.item)
    assert again(JOB, taped).order is None
    assert again(JOB, taped, "settings: {measure_tolerance_mm: 30}\n").order is not None
    within = tuple(m for m in as_drawn(barn, P1_rafter_left=20.0) if "diagonal" not in m.item)
    assert again(JOB, within).order is not None


def test_a_plane_that_is_not_measured_keeps_the_hold(barn: Takeoff) -> None:
    taped = tuple(m for m in as_drawn(barn) if m.plane == "P1" and m.item != "ridge")
    done = again(JOB, taped)
    assert done.order is not None
    assert done.order.state is Hold.HOLD
    finding = next(finding for finding in done.findings if finding.code == "not-measured")
    assert "P1 (ridge); P2" in finding.text
    refused = released(done)
    assert refused.order is None
    assert refused.stops[-1].code == "release-without-measure"


def test_a_measured_order_is_released(barn: Takeoff) -> None:
    done = released(again(JOB, as_drawn(barn)))
    assert done.order is not None
    assert done.order.state is Hold.RELEASED
