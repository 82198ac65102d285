"""Flashings by hand: dressings, pieces, legs and girth, hands, junction pieces counted from nodes.

Dressings, edges and hems are common practice, no source; covers come from the code of practice (seen). What is tested
against it stands in tests/validation/test_flashing_cover.py and test_flashing_pieces.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, degrees, hypot, radians

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.vectors import Point2
from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.flashings.fold_sections import Bent, Edging, Leg, apron, cap, tray, walk
from takeoff.measure.roofing.flashings.junctions import junctions_of
from takeoff.measure.roofing.flashings.valleys import tray_width_mm, valley_catchment_m2
from takeoff.model.basis import Basis, Status
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.measured import FlashingRun, Need
from takeoff.model.products import Catalogue
from takeoff.model.roof import Covering, Roof
from takeoff.model.settings import Settings
from takeoff.order.build_order import build_order
from takeoff.order.cut_stock.runs import cut_all
from takeoff.write.words.item_names import item_name

Make = Callable[..., Roof]
HIGH = Site(wind_zone="high")


def with_settings(settings: Settings, **values: float | str | bool) -> Settings:
    set_in_job = Basis(Status.SET_IN_JOB)
    changed = {name: replace(settings.values[name], value=value, basis=set_in_job) for name, value in values.items()}
    return replace(settings, values={**settings.values, **changed})


def measure(
    roof: Roof, settings: Settings, catalogue: Catalogue, roof_job: RoofJob | None = None, site: Site = HIGH
) -> tuple[dict[str, FlashingRun], Need]:
    runs, need = measure_flashings(roof, roof_job or RoofJob(), site, settings, catalogue)
    return {run.edge: run for run in runs}, need


def pieces(need: Need, run: str) -> list[int]:
    plans = cut_all(need.demands, need.stock)
    assert all(plan.findings == () for plan in plans)
    cut = [piece for plan in plans for bar in plan.bars for piece in bar.pieces if piece.run == run]
    return [piece.length_mm for piece in sorted(cut, key=lambda piece: piece.start_mm)]


def test_a_hip_that_just_does_not_come_out_of_six_metres(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    # 12 x 8 m at 25 degrees: hip 5956.4 < 6000, but + 75 into the eave + 150 at the junction = 6181.4: two lengths
    runs, need = measure(hip_roof(), settings, catalogue)
    hip = runs["E5"]
    assert (hip.net_mm, hip.dress_a_mm, hip.dress_b_mm) == (pytest.approx(5956.4, abs=0.05), 75.0, 150.0)
    assert len(pieces(need, "FE5")) == 2
    assert sum(pieces(need, "FE5")) == pytest.approx(6181.4 + 150.0, abs=2.0)
    # without dressings it would be one
    bare = with_settings(settings, flashing_dress_eave_mm=0.0, flashing_dress_junction_mm=0.0)
    _, short = measure(hip_roof(), bare, catalogue)
    assert len(pieces(short, "FE5")) == 1


def test_ridge_ends_are_dressed_by_what_they_meet(
    hip_roof: Make, gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    hipped, _ = measure(hip_roof(), settings, catalogue)
    assert (hipped["E9"].dress_a_mm, hipped["E9"].dress_b_mm) == (150.0, 150.0)
    gabled, _ = measure(gable_roof(), settings, catalogue)
    assert (gabled["E7"].dress_a_mm, gabled["E7"].dress_b_mm) == (50.0, 50.0)
    # barge: 50 down over the spouting's end, 75 for the mitre at the ridge
    assert (gabled["E3"].dress_a_mm, gabled["E3"].dress_b_mm) == (50.0, 75.0)


def test_a_valley_runs_into_the_spouting_and_over_its_head(
    ell_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    runs, _ = measure(ell_roof(), settings, catalogue)
    valley = runs["E10"]
    assert (valley.dress_a_mm, valley.dress_b_mm, valley.lap_from) == (75.0, 150.0, "the eave up")


def test_included_angles(ell_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # ridge 180 - 2 x 25; hip and valley 145.22 (dihedral of two planes at 25 degrees over a square corner)
    runs, _ = measure(ell_roof(), settings, catalogue)
    assert runs["E13"].between_deg == pytest.approx(130.0)
    assert runs["E7"].between_deg == pytest.approx(145.22, abs=0.005)
    assert runs["E10"].between_deg == pytest.approx(145.22, abs=0.005)
    assert [run.edge for run in runs.values()] == ["E7", "E8", "E9", "E10", "E11", "E12", "E13", "E14"]


def test_sections_leg_by_leg(
    ell_roof: Make, gable_roof: Make, lean_to: Make, settings: Settings, catalogue: Catalogue
) -> None:
    ell, _ = measure(ell_roof(), settings, catalogue)
    gable, _ = measure(gable_roof(), settings, catalogue)
    lean, _ = measure(lean_to(), settings, catalogue)
    legs = {
        run.flashing: [mm for _, mm in run.section.legs]
        for run in (*ell.values(), *gable.values(), *lean.values())
        if run.section
    }
    # ridge and hip: 25 set back + 130 cover = 155 a wing; valley: 25 half gap + 80 = 105 a wing
    assert legs["ridge"] == [10, 20, 155, 155, 20, 10]
    assert legs["hip"] == [10, 20, 155, 155, 20, 10]
    assert legs["valley"] == [20, 105, 105, 20]
    # barge (left, kick first): face 17.5 + 50 up to whole mm, top two crests of 76.2
    assert sorted(legs["barge"]) == sorted([15, 68, 153, 20, 10])
    # aprons on a profiled wall: 75 and a hem
    assert legs["apron_head"] == [10, 75, 155, 20, 10]
    assert sorted(legs["apron_side"]) == sorted([10, 75, 153, 20, 10])
    assert lean["E3"].between_deg == pytest.approx(100.0)


def test_girth_is_the_legs_and_the_sketch_keeps_them(
    ell_roof: Make, lean_to: Make, settings: Settings, catalogue: Catalogue
) -> None:
    for roof in (ell_roof(), lean_to()):
        for run in measure(roof, settings, catalogue)[0].values():
            assert run.section is not None
            points = run.section.points_mm
            drawn = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
            assert drawn == pytest.approx([mm for _, mm in run.section.legs], abs=0.01)
            assert sum(mm for _, mm in run.section.legs) == run.girth_mm
            assert len(run.section.angles_deg) == run.folds
            assert min(x for x, _ in points) == min(y for _, y in points) == 0.0


def _angle(a: Point2, at: Point2, b: Point2) -> float:
    one, other = atan2(a[1] - at[1], a[0] - at[0]), atan2(b[1] - at[1], b[0] - at[0])
    turn = abs(degrees(one - other)) % 360.0
    return min(turn, 360.0 - turn)


def test_sketches_lie_as_they_are_laid() -> None:
    edging = Edging(20.0, 10.0, 15.0, 20.0)
    ridge = walk(cap(150.0, 130.0, edging))
    assert ridge[3][1] == max(y for _, y in ridge)  # the ridge line on top
    width = max(x for x, _ in ridge)
    assert [(round(width - x, 1), round(y, 1)) for x, y in reversed(ridge)] == [
        (round(x, 1), round(y, 1)) for x, y in ridge
    ]
    valley = walk(tray(105.0, 145.0, edging))
    assert valley[2][1] == 0.0  # the valley line at the bottom
    head = walk(apron(75.0, 10.0, 155.0, 100.0, edging))
    assert head[1][0] == pytest.approx(head[2][0])  # the upstand plumb
    assert head[3][1] < head[2][1]  # the foot falls away from the wall, out over the sheets
    assert head[3][0] - head[2][0] == pytest.approx(155.0 * cos(radians(10.0)), abs=0.01)
    # hems are opened by 14 degrees: their ends stand that far from the leg they are folded to
    assert hypot(ridge[0][0] - ridge[1][0], ridge[0][1] - ridge[1][1]) == pytest.approx(10.0, abs=0.01)
    assert _angle(ridge[0], ridge[1], ridge[2]) == pytest.approx(14.0, abs=0.1)
    assert _angle(ridge[4], ridge[5], ridge[6]) == pytest.approx(14.0, abs=0.1)


def test_a_mirrored_section_is_the_other_hand() -> None:
    bent = Bent((Leg("face", 60.0), Leg("top", 150.0, -90.0), Leg("edge", 20.0, -45.0)), 90.0)
    there, back = walk(bent), walk(bent.mirrored())
    width = max(x for x, _ in there)
    assert [(round(width - x, 2), round(y, 2)) for x, y in reversed(back)] == [
        (round(x, 2), round(y, 2)) for x, y in there
    ]
    assert bent.mirrored().mirrored() == bent


def test_barges_and_side_aprons_have_hands(
    gable_roof: Make, lean_to: Make, settings: Settings, catalogue: Catalogue
) -> None:
    gable, need = measure(gable_roof(), settings, catalogue)
    # seen from below each eave: P1 has its right barge at x = 10 m (E3), P2 its left one there (E4)
    assert [gable[edge].hand for edge in ("E3", "E4", "E5", "E6")] == ["right", "left", "left", "right"]
    # one section turned end for end: one thing to buy
    assert len({gable[edge].item for edge in ("E3", "E4")}) == 1
    right, left = gable["E3"].section, gable["E4"].section
    assert right is not None
    assert left is not None
    # seen up the slope the face of the right barge hangs at the right, that of the left barge at the left
    assert [name for name, _ in right.legs] == ["hem", "edge", "top", "face", "kick"]
    assert right.points_mm[3][0] == right.points_mm[4][0] > right.points_mm[2][0]
    assert [name for name, _ in left.legs] == ["kick", "face", "top", "edge", "hem"]
    assert left.points_mm[1][0] == left.points_mm[2][0] < left.points_mm[3][0]
    items = item_book((need,), (), catalogue, settings)
    assert item_name(items[gable["E3"].item]) == "Barge flashing, girth 266, 4 folds, 90°"
    lean, _ = measure(lean_to(), settings, catalogue)
    assert (lean["E2"].hand, lean["E4"].hand) == ("right", "left")


def test_wider_cover_in_stronger_wind(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    extra = Site(wind_zone="extra_high")
    runs, need = measure(hip_roof(), settings, catalogue, site=extra)
    # 25 + 200 a wing: 2 x (225 + 20 + 10)
    assert runs["E9"].girth_mm == 510.0
    assert [finding.code for finding in need.findings] == ["flashing-cover-doubt"]
    designed = with_settings(settings, flashing_category="c")
    _, need = measure(hip_roof(), designed, catalogue)
    assert [finding.code for finding in need.findings] == ["flashing-baffle"]


def test_ribbed_sheets_are_covered_by_ribs_and_closed(
    gable_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    ribbed = RoofJob(covering=CoveringJob(profile="trapezoidal_5_rib"))
    runs, need = measure(gable_roof(), settings, catalogue, ribbed)
    assert dict(runs["E3"].section.legs)["top"] == 191 if runs["E3"].section else False
    figures = {q.item: q.figure for q in need.quantities}
    assert figures["profile_closure"] == 20.0
    assert "soft_edge" not in figures


def test_junction_pieces_of_a_hip_and_an_l(hip_roof: Make, ell_roof: Make) -> None:
    def count(roof: Roof) -> dict[str, int]:
        kinds = [junction.kind for junction in junctions_of(roof)]
        return {kind: kinds.count(kind) for kind in sorted(set(kinds))}

    assert count(hip_roof()) == {"3-way": 2, "hip end": 4}
    # the L: 3-way at both ridge ends and where the ridges meet the hip; the valley's head meets them there
    assert count(ell_roof()) == {"3-way": 3, "hip end": 5, "valley foot": 1, "valley head": 1}
    valley = {junction.kind: junction.node for junction in junctions_of(ell_roof()) if junction.edges == ("E10",)}
    where = {node.id: node.at_mm for node in ell_roof().nodes}
    assert where[valley["valley foot"]][:2] == (6000.0, 6000.0)
    assert where[valley["valley head"]][:2] == (3000.0, 3000.0)


def test_junction_pieces_of_a_pyramid_a_gable_and_a_lean_to(build_roof: Make, gable_roof: Make, lean_to: Make) -> None:
    a, b, c, d = (0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 6000.0, 0.0), (0.0, 6000.0, 0.0)
    top = (3000.0, 3000.0, 1500.0)
    planes = {"P1": (a, b, top), "P2": (b, c, top), "P3": (c, d, top), "P4": (d, a, top)}
    rows = [(EdgeKind.EAVE, p, q, (f,)) for p, q, f in ((a, b, "P1"), (b, c, "P2"), (c, d, "P3"), (d, a, "P4"))]
    hips = ((a, ("P4", "P1")), (b, ("P1", "P2")), (c, ("P2", "P3")), (d, ("P3", "P4")))
    rows2 = [(EdgeKind.HIP, p, top, faces) for p, faces in hips]
    pyramid = build_roof(planes, [*rows, *rows2])
    assert sorted(j.kind for j in junctions_of(pyramid)) == ["4-way", *["hip end"] * 4]
    assert [j.kind for j in junctions_of(gable_roof())] == ["ridge end", "ridge end"]
    assert sorted(j.kind for j in junctions_of(lean_to())) == [
        "apron corner inside right",
        "apron end",
        "kick-out right",
    ]


def test_a_ridge_against_a_wall_gets_a_saddle(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    roof = gable_roof()
    walled = tuple(replace(e, kind=EdgeKind.APRON_SIDE) if e.id in ("E3", "E4") else e for e in roof.edges)
    roof = replace(roof, edges=walled)
    assert sorted(j.kind for j in junctions_of(roof)) == ["kick-out left", "kick-out right", "ridge end", "saddle"]
    runs, _ = measure(roof, settings, catalogue)
    assert sorted((runs["E7"].dress_a_mm, runs["E7"].dress_b_mm)) == [50.0, 150.0]


def test_soft_edge_is_both_sides_of_hips_and_ridges(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    _, need = measure(hip_roof(), settings, catalogue)
    assert {(along.item, along.times) for stock in need.stock for along in stock.along} == {("soft_edge", 2)}
    # by lengths bought: hips of 5.956 + 0.075 + 0.150 = 6.181 m take two lengths of 6 m each where offcuts are no use,
    # the ridge of 4.0 + 2 x 0.150 = 4.3 m takes one; every bought metre has two edges
    order = build_order((), (need,), settings, item_book((need,), (), catalogue, settings))
    bought = sum(plan.bought_mm for plan in order.plans) / 1000.0
    line = next(line for line in order.lines if line.item == "soft_edge")
    assert (line.total, line.unit) == (pytest.approx(2 * bought), "m")
    assert line.total > 2 * (4 * 5.9564 + 4.0)


def test_valley_clips_hold_both_edges_of_each_tray(ell_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    _, need = measure(ell_roof(), settings, catalogue)
    # 3 m x sqrt(tan2 25 + 2) = 4.467 m: ceil(4467 / 600) + 1 = 9 on each edge
    assert {q.item: q.figure for q in need.quantities}["valley_clip"] == 18.0


def test_valley_catchment_is_what_falls_beside_it(ell_roof: Make) -> None:
    # two right triangles of 3 x 3 m on the plan, one on each side
    assert valley_catchment_m2(ell_roof()) == {"E10": pytest.approx(9.0)}


def test_valley_checks(ell_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    def codes(pitch_deg: float = 25.0, **values: float | str | bool) -> list[str]:
        _, need = measure(ell_roof(pitch_deg), with_settings(settings, **values), catalogue)
        return [finding.code for finding in need.findings]

    assert codes() == []
    assert codes(10.0) == ["valley-flat"]
    assert codes(7.5) == ["valley-slope-below-least", "valley-flat"]  # atan(tan 7.5 x sin 45) = 5.32 degrees
    assert codes(valley_gap_mm=40.0) == ["valley-too-narrow"]
    assert codes(valley_needs_downpipe_m2=8.9) == ["valley-large-catchment"]
    assert codes(valley_needs_downpipe_m2=9.1) == []
    runs, _ = measure(ell_roof(), settings, catalogue)
    assert tray_width_mm(runs["E10"]) == 210.0


def test_a_site_that_takes_short_lengths_only(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    _, need = measure(hip_roof(), settings, catalogue, site=Site(wind_zone="low", longest_piece_mm=4000.0))
    assert {choice.lengths_mm for choice in need.stock} == {(4000,)}
    # ridge 4000 + 300: two lengths
    assert len(pieces(need, "FE9")) == 2


def test_an_unknown_profile_is_refused(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    with pytest.raises(JobError, match="no profile 'slate'"):
        measure(hip_roof(), settings, catalogue, RoofJob(covering=CoveringJob(profile="slate")))


def test_edges_of_planes_without_sheets_have_no_flashing(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    roof = hip_roof()
    bare = replace(roof, planes=tuple(replace(plane, covering=Covering.OTHER) for plane in roof.planes))
    runs, need = measure(bare, settings, catalogue)
    assert (runs, need.quantities, need.demands) == ({}, (), ())


def test_rafter_of_the_gable_is_the_barge(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    runs, _ = measure(gable_roof(), settings, catalogue)
    assert runs["E3"].net_mm == pytest.approx(4000.0 / cos(radians(20.0)))
