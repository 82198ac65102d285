"""Purlins on roofs small enough to lay out by hand. Rules: rows from 50 mm up the rake, a first and a last bay of two
thirds of the gauge at most (code of practice 3.5.1.1), one gauge between, a ridge row."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations, pairwise
from math import ceil, cos, radians
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.purlins.purlin_rows import LEVEL_ROLES
from takeoff.measure.roofing.purlins.purlins import lay_purlins
from takeoff.model.basis import Basis, Status
from takeoff.model.findings import Severity
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.timber import PurlinsJob
from takeoff.model.measured import Need, PurlinLine
from takeoff.model.products import Catalogue
from takeoff.model.roof import Covering, Roof
from takeoff.model.runs import Objective, StockChoice
from takeoff.model.settings import Settings
from takeoff.order.build_order import build_order
from takeoff.order.cut_stock.runs import cut_all
from takeoff.order.whole_packs import in_whole_packs, merged
from takeoff.read.job.job_file import parse_job

Make = Callable[..., Roof]
HIGH = Site(wind_zone="high")


def with_setting(settings: Settings, name: str, value: float | str | bool) -> Settings:
    set_in_job = Basis(Status.SET_IN_JOB)
    return replace(
        settings, values={**settings.values, name: replace(settings.values[name], value=value, basis=set_in_job)}
    )


def lay(
    roof: Roof,
    settings: Settings,
    catalogue: Catalogue,
    job: PurlinsJob | None = None,
    roof_job: RoofJob | None = None,
    site: Site = HIGH,
    laps: tuple[tuple[str, float, float], ...] = (),
) -> tuple[tuple[PurlinLine, ...], Need]:
    return lay_purlins(roof, roof_job or RoofJob(), job or PurlinsJob(), site, settings, catalogue, laps)


def heights(lines: tuple[PurlinLine, ...], plane: str) -> list[float]:
    roles = ("eave", "purlin", "ridge", "head")
    return sorted({round(line.a_uv[1], 1) for line in lines if line.plane == plane and line.role in roles})


def test_rows_of_a_hip_keep_one_gauge_and_leave_the_rest_to_the_ridge(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    # rafter 4000 / cos 25 = 4413.5; ridge row 150 below it: 4263.5; 50, an end bay of 600, then gauge rows to 3350, which
    # is 913.5 below the ridge row: more than an end bay, shared 3 : 2 as gauge and end bay are: 548.1 and 365.4
    lines, _ = lay(hip_roof(), settings, catalogue)
    assert heights(lines, "P1") == [50.0, 650.0, 1550.0, 2450.0, 3350.0, 3898.1, 4263.5]
    # the hip ends have no ridge, and 650 + 900 x 4 = 4250 is within 300 of the tip's width: 2 x 163.5 x cos 25 = 296
    assert heights(lines, "P2") == [50.0, 650.0, 1550.0, 2450.0, 3350.0, 4250.0]


def test_rows_meet_on_the_hips(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    roof = hip_roof()
    lines, _ = lay(roof, settings, catalogue)
    rows = {(line.plane, line.row): line for line in lines if line.role in ("eave", "purlin")}
    for row in (1, 2, 3, 4, 5):
        x, y, z = roof.plane("P1").frame.to_space(rows["P1", row].b_uv)
        # the hip lies over x + y = 12000 on the plan; both ends are each other's mirror image in it
        assert roof.plane("P2").frame.to_space(rows["P2", row].a_uv) == pytest.approx((12000.0 - y, 12000.0 - x, z))


def test_length_is_to_the_long_point(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # the lower side of a 70 mm timber at v = 50 lies at v = 15: 12000 - 2 x 15 cos 25 = 11972.81
    _, need = lay(hip_roof(), settings, catalogue)
    run = {demand.id: demand for demand in need.demands}["PU1.01"]
    assert run.length_mm == pytest.approx(12000 - 2 * 15 * cos(radians(25)), abs=1e-3)


def test_trimmers_run_both_sides_of_every_hip(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    lines, need = lay(hip_roof(), settings, catalogue)
    trimmers = [line for line in lines if line.role == "hip trimmer"]
    assert len(trimmers) == 8
    lengths = [d.length_mm for d in need.demands if d.id.startswith("HT")]
    # two for each hip of 5956.4 mm, each a little shorter: it starts beside the hip, not on it
    assert all(5956.4 - 150 < length < 5956.4 for length in lengths)


def test_valley_boards_lie_side_by_side_both_sides(ell_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    lines, _ = lay(ell_roof(), settings, catalogue)
    boards = [line for line in lines if line.role == "valley board"]
    assert sorted((line.plane, line.row) for line in boards) == [("P3", 1), ("P3", 2), ("P4", 1), ("P4", 2)]
    # middles 35 and 105 square from the valley, which climbs v for u by 1 / cos 25
    slope = 1.0 / cos(radians(25.0))
    for line in boards:
        u = line.a_uv[0] - 9000.0 if line.plane == "P3" else 3000.0 - line.b_uv[0]
        v = line.a_uv[1] if line.plane == "P3" else line.b_uv[1]
        assert (v - slope * u) / (1.0 + slope**2) ** 0.5 == pytest.approx(35.0 if line.row == 1 else 105.0, abs=0.01)


def test_joints_fall_on_rafters_only(ell_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    _, need = lay(ell_roof(), settings, catalogue)
    eave = {demand.id: demand for demand in need.demands}["PU1.01"]
    # P1 is 15 m wide, rafters at 900 from its middle 7500: 300, 1200, ... ; the row starts at u = 15 cos 25
    start = 15 * cos(radians(25))
    assert eave.splits_mm == pytest.approx([300 + 900 * k - start for k in range(17)], abs=1e-3)
    for plan in cut_all(need.demands, need.stock):
        assert plan.findings == ()
        assert all(bar.used_mm <= bar.stock_mm for bar in plan.bars)


def test_rows_of_a_plane_are_neighbours_whose_joints_keep_apart(
    gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    _, need = lay(gable_roof(), settings, catalogue)
    rows = [(demand.group, demand.row) for demand in need.demands if demand.id.startswith("PU1.")]
    assert rows == [("P1", row) for row in range(1, 8)]
    (plan,) = cut_all(need.demands, need.stock)
    assert len(plan.joints) == 14
    assert all(joint.clear for joint in plan.joints)


def test_fixings_are_counted_crossing_by_crossing(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 14 rows of 10 m: 11 rafters between the ends, both ends, and one joint (6 m stock) fixed on both its sides: 14
    _, need = lay(gable_roof(), settings, catalogue)
    terms = {term.name: term.value for term in need.quantities[0].working.terms}
    assert terms["crossings"] == 14 * 14
    assert need.quantities[0].figure == 216.0  # 196 and 10 % is 215.6


def test_a_gable_gives_outriggers_where_the_verge_overhangs(
    gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    roof_job = RoofJob(verge_overhang_mm=450.0, edges={2: EdgeJob(verge_overhang_mm=0.0)})
    lines, need = lay(gable_roof(), settings, catalogue, roof_job=roof_job)
    fly = [line for line in lines if line.role == "outrigger"]
    # verge 4000 / cos 20 = 4256.7; from 50 to 150 below the ridge is 4056.7: 5 bays of 811.3, 6 outriggers a plane
    assert len(fly) == 12
    assert {round(d.length_mm) for d in need.demands if d.id.startswith("OR")} == {1350}
    assert {round(min(line.a_uv[0], 10000 - line.b_uv[0])) for line in fly} == {0}


def test_outriggers_and_pieces_of_trimmer_are_nailed(
    hip_roof: Make, gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    def nails(roof: Roof, roof_job: RoofJob | None = None) -> float:
        _, need = lay(roof, settings, catalogue, roof_job=roof_job)
        return {q.item: q.figure for q in need.quantities}.get("framing_nail", 0.0)

    # 8 trimmers up a rake of 4413 mm, less what their ends lose: five pieces each between rows at 900, 2 nails at 2
    # ends, 10 % spare: 8 x 5 x 4 x 1.1
    assert nails(hip_roof()) == 176.0
    assert nails(gable_roof()) == 0.0
    overhung = RoofJob(verge_overhang_mm=450.0)
    lines, _ = lay(gable_roof(), settings, catalogue, roof_job=overhung)
    flies = sum(1 for line in lines if line.role == "outrigger")
    assert nails(gable_roof(), overhung) == ceil(flies * 6 * 1.1 - 1e-9)


def test_purlin_fixings_of_several_roofs_share_their_boxes(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    _, need = lay(hip_roof(), settings, catalogue)
    exact = {q.item: q.figure for q in need.quantities}["purlin_fixing_c"]
    items = item_book((need,), (), catalogue, settings)
    together = merged([*need.quantities, *need.quantities], items)
    both = next(q for q in together if q.item == "purlin_fixing_c")
    assert both.figure == 2 * exact
    assert in_whole_packs(both, items[both.item], settings).figure == ceil(2 * exact / 500)


def test_a_row_too_near_the_ridge_row_is_shared(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # a rafter of 3390 + 150: the gauge row at 3350 is 40 below the ridge row at 3390, useless; what lies between 2450 and
    # 3390 is shared 3 : 2: 564 and 376
    width = 2 * 3540 * cos(radians(20))
    lines, need = lay(gable_roof(width_mm=width), settings, catalogue)
    assert heights(lines, "P1") == [50.0, 650.0, 1550.0, 2450.0, 3014.0, 3390.0]
    assert [finding.code for finding in need.findings] == ["restricted-foot-traffic"]
    # a last bay of 300 or more keeps its gauge row
    lines, _ = lay(gable_roof(width_mm=2 * 3800.0 * cos(radians(20))), settings, catalogue)
    assert heights(lines, "P1") == [50.0, 650.0, 1550.0, 2450.0, 3350.0, 3650.0]


@pytest.mark.parametrize(
    ("rafter_mm", "rows"),
    [
        (700.0, [50.0, 550.0]),  # 500 between eave and ridge row: one end bay
        (1000.0, [50.0, 450.0, 850.0]),  # 800: two of 400, no useless row 200 below the ridge row
        (1400.0, [50.0, 650.0, 1250.0]),  # 1200: two whole end bays
        (1410.0, [50.0, 650.0, 1016.0, 1260.0]),  # 610 left: shared 366 and 244
    ],
)
def test_short_planes_share_their_end_bays(
    gable_roof: Make, settings: Settings, catalogue: Catalogue, rafter_mm: float, rows: list[float]
) -> None:
    lines, _ = lay(gable_roof(width_mm=2 * rafter_mm * cos(radians(20))), settings, catalogue)
    assert heights(lines, "P1") == pytest.approx(rows, abs=0.1)


def test_evened_rows_on_request(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # a rafter of 4413.5, 4213.5 from eave to ridge row: four bays and two of two thirds: 4213.5 / (4 + 4/3) = 790.0
    width = 2 * 4413.5 * cos(radians(20))
    even = with_setting(settings, "purlin_even_spacing", True)
    lines, _ = lay(gable_roof(width_mm=width), even, catalogue)
    rows = heights(lines, "P1")
    bays = [b - a for a, b in pairwise(rows)]
    assert bays == pytest.approx([526.7, *[790.0] * 4, 526.7], abs=0.15)


def test_an_end_bay_of_the_job_prevails(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # first bay 500, then the gauge of 900; ridge row 4263.5, 113.5 over the gauge's 4150: 3250 to 4263.5 is shared 9 : 5
    lines, need = lay(hip_roof(), with_setting(settings, "purlin_edge_bay_mm", 500.0), catalogue)
    assert heights(lines, "P1") == [50.0, 550.0, 1450.0, 2350.0, 3250.0, 3901.5, 4263.5]
    assert "end-bay-over-code" not in [finding.code for finding in need.findings]
    # the shared row runs from hip to hip as its neighbours do: 35 lower, 3866.5 up, at 45 degrees
    added = next(line for line in lines if line.plane == "P1" and round(line.a_uv[1], 1) == 3901.5)
    assert added.a_uv[0] == pytest.approx((added.a_uv[1] - 35.0) * cos(radians(25.0)), abs=0.01)
    _, need = lay(hip_roof(), with_setting(settings, "purlin_edge_bay_mm", 900.0), catalogue)
    assert "the code's most is 600" in next(f for f in need.findings if f.code == "end-bay-over-code").text


def test_an_end_lap_gets_its_own_row(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    lines, _ = lay(
        gable_roof(), settings, catalogue, laps=(("P1", 1925.0, 150.0), ("P1", 2415.0, 150.0), ("P2", 2925.0, 150.0))
    )
    # feet of upper sheets, 150 lapped: rows lie 75 higher, under the middle of the lap. 2490 is 40 from the gauge row at
    # 2450, which gives way; the 860 up to 3350 are no wider than the gauge; 2000 is clear of both neighbours. The ridge
    # row is 756.7 over 3350, shared 3 : 2
    assert heights(lines, "P1") == [50.0, 650.0, 1550.0, 2000.0, 2490.0, 3350.0, 3804.0, 4106.7]
    assert 3000.0 in heights(lines, "P2")


def test_an_apron_head_gets_a_row_under_its_flashing(lean_to: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 3000 / cos 10 = 3046.3, less 165 in the band of 8 to 15 degrees
    lines, _ = lay(lean_to(), settings, catalogue)
    assert [round(line.a_uv[1], 1) for line in lines if line.role == "head"] == [2881.3]


def test_pitch_on_the_limit_takes_the_lower_band_and_says_so(
    gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    lines, need = lay(gable_roof(pitch_deg=15.0), settings, catalogue)
    top = 4000.0 / cos(radians(15.0))
    assert max(heights(lines, "P1")) == pytest.approx(top - 165.0, abs=0.1)
    assert "lower band" in next(f for f in need.findings if f.code == "flashing-row-band").text


def test_wider_spacing_than_the_table_allows_stops(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    job = PurlinsJob(spacing_mm=1200.0, supports_mm=1200.0)
    _, need = lay(hip_roof(), settings, catalogue, job, site=Site(wind_zone="very_high"))
    stops = [finding for finding in need.findings if finding.severity is Severity.STOP]
    assert [finding.code for finding in stops] == ["purlin-fixing-not-allowed"]
    assert [quantity.item for quantity in need.quantities] == ["framing_nail"]
    # supports at 1.2 m take the wide section by themselves; a narrow one asked for is warned of
    assert {stock.item for stock in need.stock} == {"purlin_90x45"}
    narrow = PurlinsJob(spacing_mm=1200.0, supports_mm=1200.0, section="70x45")
    _, need = lay(hip_roof(), settings, catalogue, narrow, site=Site(wind_zone="high"))
    assert "purlin-section-narrow" in [finding.code for finding in need.findings]


def test_no_wind_zone_is_said(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    _, need = lay(hip_roof(), settings, catalogue, site=Site())
    assert "wind-zone-not-given" in [finding.code for finding in need.findings]


def test_a_plane_that_is_not_sheeted_has_no_purlins(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    roof = hip_roof()
    planes = tuple(replace(p, covering=Covering.OTHER) if p.id == "P2" else p for p in roof.planes)
    lines, _ = lay(replace(roof, planes=planes), settings, catalogue)
    assert "P2" not in {line.plane for line in lines}


def test_rows_stop_at_a_hole_and_its_sides_are_trimmed(
    gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    roof = gable_roof()
    hole = ((4000.0, 500.0), (4000.0, 1500.0), (5000.0, 1500.0), (5000.0, 500.0))
    planes = (replace(roof.planes[0], rings_uv=(*roof.planes[0].rings_uv, hole)), roof.planes[1])
    lines, _ = lay(replace(roof, planes=planes), settings, catalogue)
    second = {line.run: (line.a_uv[0], line.b_uv[0]) for line in lines if line.run.startswith("PU1.02")}
    assert second == {"PU1.02a": pytest.approx((0.0, 4000.0)), "PU1.02b": pytest.approx((5000.0, 10000.0))}
    assert sum(line.role == "hole trimmer" for line in lines) == 4


def test_an_unknown_section_is_sold_in_framing_lengths(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    _, need = lay(hip_roof(), settings, catalogue, PurlinsJob(section="75x50", stock_mm=[4800, 6000]))
    stock = {choice.item: choice.lengths_mm for choice in need.stock}
    assert stock == {"purlin_75x50": (4800, 6000)}


def test_an_l_has_one_run_a_row_through_the_valley_plane(
    ell_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    # P3: left hip and right valley of one angle, so every row has the same length: 9000 + its own long points
    _, need = lay(ell_roof(), settings, catalogue)
    rows = [d.length_mm for d in need.demands if d.id.startswith("PU3.")]
    extra = 70.0 * cos(radians(25.0))
    assert rows == pytest.approx([9000.0 + extra] * 6, abs=1e-3)


def test_a_hip_trimmer_that_no_rafter_can_joint_is_jointed_on_a_block(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    # no rafter between the ends under stock of 5400, hips of 5956: the order is not withheld for it
    supports = replace(settings.values["purlin_supports_mm"], value=20_000.0)
    far = replace(settings, values={**settings.values, supports.name: supports})
    _, need = lay(hip_roof(), far, catalogue, PurlinsJob(stock_mm=[5400]))
    said = {finding.refs[0] for finding in need.findings if finding.code == "purlin-joint-on-block"}
    assert said == {demand.id for demand in need.demands if demand.splits_mm is None}
    assert any(name.startswith("HT") for name in said)
    found = [finding for plan in cut_all(need.demands, need.stock) for finding in plan.findings]
    assert Severity.STOP not in {finding.severity for finding in found}


def test_how_stock_is_chosen_is_set(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    def stock(**values: float | str) -> StockChoice:
        chosen = replace(
            settings, values={**settings.values, **{n: replace(settings.values[n], value=v) for n, v in values.items()}}
        )
        return lay(hip_roof(), chosen, catalogue)[1].stock[0]

    assert (stock().objective, stock().most_lengths) == (Objective.LEAST_LENGTH, 0)
    assert stock(purlin_objective="fewest_lengths").objective is Objective.FEWEST_LENGTHS
    assert stock(purlin_most_lengths=4.0).most_lengths == 4


def test_only_hip_trimmers_carry_the_note_that_they_are_cut_between_rows(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    _, need = lay(hip_roof(), settings, catalogue)
    noted = {demand.id[:2] for demand in need.demands if "between purlin rows" in demand.note}
    assert noted == {"HT"}
    order = build_order((), (need,), settings, item_book((need,), (), catalogue, settings))
    lines = [line for line in order.lines if line.item == "purlin_70x45"]
    assert [("dwangs" in line.note) for line in lines] == [True, *[False] * (len(lines) - 1)]


def test_no_two_rows_lie_in_one_place() -> None:
    """A plane with a second eave 3357 up its slope: the gauge row at 3350 goes on beside that eave, whose own row lies 57
    mm higher, and no further; both are 70 wide."""
    takeoff = pipeline.run(
        parse_job(Path("tests/hostile/found/houses_612_27/job.yaml").read_text("utf-8")), until=pipeline.Stage.MEASURE
    )
    rows = [line for line in takeoff.roofing.purlins if line.role in LEVEL_ROLES]
    (low, high) = (line for line in rows if line.plane == "P3" and 3345 < line.a_uv[1] < 3410)
    assert (low.a_uv[1], low.b_uv[0]) == (pytest.approx(3350.0), pytest.approx(high.a_uv[0], abs=0.01))
    assert high.a_uv[1] == pytest.approx(3357.3 + 50.0, abs=0.1)
    for one, other in combinations(rows, 2):
        near = one.plane == other.plane and abs(one.a_uv[1] - other.a_uv[1]) < 70.0
        assert not near or min(one.b_uv[0], other.b_uv[0]) <= max(one.a_uv[0], other.a_uv[0]) + 0.01
