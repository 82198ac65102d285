"""What goes with the boards: trims, nails, primer, wrap, soffits, random lengths, areas; zones and their refusals."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.soffits import Soffit, jointer_runs, soffit_quantities, soffits_of, vent_runs
from takeoff.measure.cladding.wrap import wrap_metres
from takeoff.measure.item_book import item_book
from takeoff.model.basis import Quantity, Status
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.model.runs import StockChoice
from takeoff.model.settings import Settings
from takeoff.order.cut_stock.runs import cut_all
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules, resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.walls.walls import elevations

SETTINGS = default_rules()
CATALOGUE = load_catalogue()
BOX = [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
WINDOW = {"wall": 1, "name": "W1", "from_left_mm": 2000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200}
DOOR = {"wall": 1, "name": "D1", "from_left_mm": 4000, "sill_mm": 0, "width_mm": 900, "height_mm": 2100}


def settings_of(**values: Any) -> Settings:
    return resolve_settings(Job(job="test", settings=values))


def clad(settings: Settings = SETTINGS, edges: Any = None, **walls: Any) -> CladdingMeasured:
    """A house of 12 x 8 m, cladding 2400 high to a level soffit 150 under the fascia height."""
    roof_job = {"name": "main", "wall_line": BOX, "eave_overhang_mm": 600, "fascia_height_mm": 2500, "pitch_deg": 25}
    roof = roof_from_outline(RoofJob.model_validate({**roof_job, "edges": edges or {}}), 0.0, settings)
    job = WallsJob.model_validate({"height_mm": 2350, "ground_mm": -450, **walls})
    return measure_cladding(elevations(job, (roof,), 0.0, settings), job, (roof,), settings, CATALOGUE)


def lengths(measured: CladdingMeasured, item: str) -> list[float]:
    return sorted(run.length_mm for run in measured.needs[0].demands if run.item == item)


def quantity(measured: CladdingMeasured, item: str) -> Quantity:
    return next(found for found in measured.needs[0].quantities if found.item == item)


def test_scribers_are_two_heights_an_opening_and_one_a_corner_leg() -> None:
    measured = clad(openings=[WINDOW, DOOR])
    assert lengths(measured, "scriber_40x10") == [1200] * 2 + [2100] * 2 + [2400] * 8
    assert lengths(measured, "corner_100x25") == [2400] * 4
    assert lengths(measured, "corner_75x25") == [2400] * 4


def test_mitred_corners_take_a_soaker_a_course_instead_of_boxes() -> None:
    measured = clad(settings_of(corner_style="mitred"))
    assert quantity(measured, "soaker").figure == 16 * 4
    assert lengths(measured, "corner_100x25") == []
    assert lengths(measured, "scriber_40x10") == []


def test_flashings_of_openings_reach_past_the_jambs() -> None:
    measured = clad(openings=[WINDOW, DOOR])
    assert lengths(measured, "head_flashing") == [900 + 60, 1200 + 60]
    assert lengths(measured, "sill_tray") == [1200 + 20]  # a door on the floor has none
    assert lengths(measured, "internal_corner_flashing") == []


def test_an_inside_corner_is_flashed_once() -> None:
    roof_job = {
        "name": "main",
        "wall_line": [(0, 0), (12000, 0), (12000, 6000), (6000, 6000), (6000, 12000), (0, 12000)],
        "pitch_deg": 25,
        "fascia_height_mm": 2600,
    }
    roof = roof_from_outline(RoofJob.model_validate(roof_job), 0.0, SETTINGS)
    job = WallsJob(height_mm=2350, ground_mm=-450)
    measured = measure_cladding(elevations(job, (roof,), 0.0, SETTINGS), job, (roof,), SETTINGS, CATALOGUE)
    assert lengths(measured, "internal_corner_flashing") == [2400]
    # boards at an inside corner stop short by the cladding round it
    assert next(run.length_mm for run in measured.needs[0].demands if run.id == "B3.01") == 6000 + 38 - 38
    assert len(lengths(measured, "corner_100x25")) == 5


def test_starter_packer_and_closer_run_along_the_foot() -> None:
    measured = clad(openings=[{**DOOR, "sill_mm": -50, "height_mm": 2150}])
    face = 12076.0
    assert lengths(measured, "packer_32x10") == [4038, face - 4038 - 900, 8076, 8076, face]
    assert lengths(measured, "base_closer") == lengths(measured, "packer_32x10")
    vent = next(found for found in measured.measures if found.unit == "mm2")
    assert vent.figure == pytest.approx(2 * face + 2 * 8076 - 900)
    rusticated = {"width_mm": 187, "cover_mm": 165, "kind": "rusticated"}
    assert lengths(clad(zones=[{"board": rusticated}]), "packer_32x10") == []


def test_nails_are_one_a_crossing_of_bevel_back_and_two_of_a_wide_profiled_board() -> None:
    wall = {"name": "w", "width_mm": 6000, "height_mm": 2350, "left": "none", "right": "none"}

    def of(board: Any) -> Quantity:
        job = WallsJob.model_validate({"elevations": [wall], "zones": [{"board": board}], "ground_mm": -450})
        return quantity(
            measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE), "board nail 75 x 2.8"
        )

    # 16 boards on 11 studs, 5 % spare
    assert of("bevel_187").figure == -(-16 * 11 * 105 // 100)
    wide = {"width_mm": 187, "cover_mm": 150, "kind": "rusticated"}
    assert of(wide).figure == -(-16 * 11 * 2 * 105 // 100)
    names = [term.name for term in of(wide).working.terms]
    assert "nail_wide_board_mm" in names


def test_primer_counts_two_ends_a_piece() -> None:
    # 12 076 takes three boards of at most 6000, 8 076 two: (3 + 2) x 2 walls x 16 courses, two ends each of 5 mL
    assert quantity(clad(), "primer for cut ends").figure == pytest.approx(2 * 16 * 10 * 5 / 1000)


def test_wrap_strips_and_rolls() -> None:
    face = Face(1, 0.0, 6000.0, -50.0, 2350.0, ((0.0, 2350.0), (6000.0, 2350.0)), ())
    wide, narrow = CATALOGUE.rolls["wall_wrap_2740"], CATALOGUE.rolls["wall_wrap_1370"]
    assert wrap_metres(face, wide, SETTINGS) == pytest.approx(6.15)
    assert wrap_metres(face, narrow, SETTINGS) == pytest.approx(2 * 6.15)  # 2 x 1370 - 75 = 2665
    one, two = (replace(face, base=0.0, top=((0.0, high), (6000.0, high))) for high in (2740.0, 2742.0))
    assert wrap_metres(one, wide, SETTINGS) == pytest.approx(6.15)
    assert wrap_metres(two, wide, SETTINGS) == pytest.approx(2 * 6.15)
    house = quantity(clad(), "wall_wrap_2740")
    assert (house.figure, house.unit) == (2, "roll")  # 4 walls, 40.15 m with laps, 36.5 m a roll
    assert quantity(clad(wrap="wall_wrap_1370"), "wall_wrap_1370").figure == 2


def test_soffits_are_ripped_from_sheets() -> None:
    # 580 wide, two to a sheet of 1200; 13.2 m takes 6 strips of 2.4 m, 9.2 m takes 4: 20 strips, 10 sheets
    measured = clad()
    assert quantity(measured, "soffit sheet 2400 x 1200 x 4.5").figure == 10
    # a jointer of 580 at every joint, out of lengths of 3000: five from each, sixteen from four
    assert lengths(measured, "soffit_jointer") == [580] * (5 * 2 + 3 * 2)
    (plan,) = (p for p in cut_all(measured.needs[0].demands, measured.needs[0].stock) if p.item == "soffit_jointer")
    assert [bar.stock_mm for bar in plan.bars] == [3000] * 4
    # along the fascia 2 x (13.2 + 9.2), along the wall 2 x (12 + 8)
    assert sum(lengths(measured, "mould_30x10")) == pytest.approx(44_800 + 40_000)
    # fascias 20 thick: 13.16 x 9.16 less 12 x 8
    (area,) = (found for found in measured.measures if found.id.startswith("soffit."))
    assert (area.figure, area.unit) == (pytest.approx(13.16 * 9.16 - 96.0), "m2")


def test_gable_soffits_are_ordered_apart() -> None:
    gable = {"kind": "gable", "verge_overhang_mm": 450}
    measured = clad(edges={2: gable, 4: gable})
    assert (
        quantity(measured, "gable soffit sheet 2400 x 1200 x 4.5").figure == 6
    )  # 4 verges of 5.1 m: 3 strips each, 430 wide, 2 a sheet
    assert (
        quantity(measured, "soffit sheet 2400 x 1200 x 4.5").figure == 6
    )  # 2 eaves of 12.9 m: 6 strips each, 2 a sheet
    # level 580 wide along 12 m twice, the corners belong to the raked ones: 430 wide on 4 rakes of 4.6 / cos 25
    area = {found.id: found.figure for found in measured.measures if found.id.startswith("soffit.")}
    rake = 4.6 / cos(radians(25))
    assert area == {"soffit.level.area": pytest.approx(13.92), "soffit.raked.area": pytest.approx(4 * 0.43 * rake)}
    # moulds: fascias 2 x 12.9 and 4 rakes of 4.6 in plan, walls 2 x 12 and 4 rakes of 4.0
    moulds = 2 * 12.9 + 4 * rake + 24.0 + 4 * 4.0 / cos(radians(25))
    assert sum(lengths(measured, "mould_30x10")) == pytest.approx(1000 * moulds)


def test_a_soffit_of_four_metres_is_ordered() -> None:
    """3.95 m from wall to fascia, 10 m along the wall and 13.95 m along the fascia of a mitred end: four rows of 987.5.
    6 strips of 2.4 m a row, each at most one sheet wide: 24 sheets; 4 x 5 jointers of 987.5, and three between the rows,
    a quarter of 3.95 m shorter each: 12.9625, 11.975, 10.9875 m."""
    (runs, sheets) = (
        jointer_runs([Soffit("E1", False, 3950.0, 13950.0, 10000.0)], SETTINGS),
        soffit_quantities([Soffit("E1", False, 3950.0, 13950.0, 10000.0)], SETTINGS),
    )
    assert [quantity.figure for quantity in sheets] == [24]
    assert [run.length_mm for run in runs] == [987.5] * 20 + [12962.5, 11975.0, 10987.5]
    stock = StockChoice(runs[0].item, (3000,))
    (plan,) = cut_all(runs, (stock,))
    assert plan.bought_mm >= 55675  # 20 x 0.9875 + 35.925 m, nothing is stopped
    # a sheet wider than a jointer is long: the jointer is joined
    broad = settings_of(soffit_sheet_wide_mm=4000)
    assert {run.splits_mm for run in jointer_runs([Soffit("E1", False, 3950.0, 4000.0)], broad)} == {None}


def test_soffits_wider_than_a_sheet_and_the_vent_strip() -> None:
    wide, vented = (
        [Soffit("E1", False, 1500.0, 4800.0), Soffit("E2", True, 430.0, 2400.0)],
        settings_of(soffit_vent=True),
    )
    assert [(found.item, found.figure) for found in soffit_quantities(wide, vented)] == [
        ("soffit sheet 2400 x 1200 x 4.5", 4),
        ("gable soffit sheet 2400 x 1200 x 4.5", 1),
    ]
    # 1500 is two rows of 750: a jointer of 750 in each at the end of the first sheet, and one between the rows, 4.8 m
    runs = {run.id: (run.length_mm, run.splits_mm) for run in jointer_runs(wide, vented)}
    assert runs == {"J.E1.1": (750, ()), "J.E1.2": (750, ()), "J.E1.row1": (4800, None)}
    assert [(run.refs, run.length_mm) for run in vent_runs(wide, vented)] == [(("E1",), 4800)]
    assert vent_runs(wide, SETTINGS) == ()


def test_strips_that_fill_a_sheet_exactly_are_so_many() -> None:
    """3 x 397.1 is 1191.3, though 1191.3 / 397.1 falls short of 3 in binary: three strips to a sheet, and said so."""
    (found,) = soffit_quantities([Soffit("E1", False, 397.1, 7200.0)], settings_of(soffit_sheet_wide_mm=1191.3))
    assert found.figure == 1
    assert [term.ref for term in found.working.terms if term.name == "strips 397.1 wide"] == ["3 to a sheet"]


def test_a_roof_without_overhang_has_no_soffit() -> None:
    roof_job = RoofJob.model_validate({"name": "main", "wall_line": BOX, "pitch_deg": 25})
    assert soffits_of(roof_from_outline(roof_job, 0.0, SETTINGS), SETTINGS) == ()


def test_random_lengths_are_metres_with_a_percentage_and_a_least_of_long_ones() -> None:
    measured = clad(settings_of(board_supply="random"), openings=[{**WINDOW, "from_left_mm": 4400}])
    net = sum(piece.length_mm for wall in measured.boards for piece in wall.pieces) / 1000
    metres = quantity(measured, "bevel_187")
    assert metres.unit == "m"
    assert net * 1.1 <= metres.figure < net * 1.1 + 0.3 + 1e-6
    assert lengths(measured, "bevel_187") == []
    assert "bevel_187" not in {choice.item for choice in measured.needs[0].stock}


def test_long_boards_without_a_joint_are_asked_for() -> None:
    wall = {"name": "w", "width_mm": 4200, "height_mm": 2350, "left": "none", "right": "none"}
    settings = settings_of(board_supply="random", board_least_piece_mm=3000)
    job = WallsJob.model_validate({"elevations": [wall], "ground_mm": -450})
    measured = measure_cladding(elevations(job, (), 0.0, settings), job, (), settings, CATALOGUE)
    asked = [finding for finding in measured.findings if finding.code == "random-lengths-least"]
    assert "not less than 16 of 4.2 m or longer" in asked[0].text


def test_areas_are_measured_on_the_face_and_net_of_openings() -> None:
    measured = clad(openings=[WINDOW, DOOR])
    area = {found.id: found for found in measured.measures}
    assert area["wall 1.gross"].figure == pytest.approx(12.076 * 2.4)
    assert area["wall 1.net"].figure == pytest.approx(12.076 * 2.4 - 1.44 - 1.89)
    assert area["wall 1.net"].unit == "m2"
    assert not {found.item for found in measured.measures} & {found.item for found in measured.needs[0].quantities}


def test_every_item_has_stock_or_is_a_quantity_and_a_name() -> None:
    measured = clad(openings=[WINDOW, DOOR], zones=[{"board": "bevel_187"}])
    need = measured.needs[0]
    stock = {choice.item for choice in need.stock}
    assert {run.item for run in need.demands} == stock
    assert stock <= set(item_book((need,), (), load_catalogue(), default_rules()))
    assert len({run.id for run in need.demands}) == len(need.demands)
    assert {line.run for line in measured.battens} <= {run.id for run in need.demands}


def test_walls_without_zones_carry_the_usual_board() -> None:
    assert {wall.board for wall in clad().boards} == {"bevel_187"}
    some = clad(zones=[{"walls": [2], "board": {"width_mm": 150, "cover_mm": 135}, "direction": "vertical"}])
    assert [(wall.direction, wall.zone) for wall in some.boards] == [
        ("horizontal", "other walls"),
        ("vertical", "zone 1"),
        ("horizontal", "other walls"),
        ("horizontal", "other walls"),
    ]


def test_walls_with_other_boards_round_the_corner_reach_past_by_those() -> None:
    thick = {"width_mm": 150, "cover_mm": 135, "thickness_mm": 30}
    measured = clad(zones=[{"board": "bevel_187"}, {"walls": [2], "board": thick, "direction": "vertical"}])
    assert measured.boards[0].pieces[0].length_mm == 12000 + 38 + 50
    assert measured.boards[1].marks_mm[0] == -38


def test_a_job_board_brings_its_own_basis() -> None:
    measured = clad(zones=[{"board": {"width_mm": 187, "cover_mm": 165, "kind": "rusticated"}}])
    terms = {term.name: term for term in measured.boards[0].working.terms}
    cover = terms["board cover_mm"]
    assert cover.value == 165
    assert cover.basis is not None
    assert cover.basis.status is Status.SET_IN_JOB


def test_a_board_of_no_kind_is_told_that_its_lap_is_unchecked() -> None:
    measured = clad(zones=[{"board": {"width_mm": 187, "cover_mm": 180}}])
    assert "board-lap-unchecked" in [finding.code for finding in measured.findings]


def test_every_fault_of_the_zones_comes_at_once() -> None:
    zones = [
        {"walls": [1, 7], "board": "bevel_178"},
        {"walls": [1, 2], "board": "rusticated_187"},
        {"board": {"width_mm": 100, "cover_mm": 120}},
        {"board": "bevel_187", "direction": "vertical"},
        {"walls": [3], "board": {"width_mm": 187, "cover_mm": 165, "kind": "rusticated"}, "even_coursing": True},
    ]
    with pytest.raises(JobError) as caught:
        clad(zones=zones)
    text = "\n".join(caught.value.faults)
    assert len(caught.value.faults) == 8
    assert "walls.zones[1].walls: wall 7 is not clad; walls are 1, 2, 3, 4." in text
    assert "walls.zones[1].board: there is no board bevel_178; did you mean bevel_187?" in text
    assert "walls.zones[2].walls: wall 1 is in zone 1 already" in text
    assert (
        "no cover of rusticated_187 is published; give the board as {width_mm: 187, cover_mm: ..., kind: rusticated}"
        in text
    )
    assert "a cover of 120 mm is more than the board's width of 100 mm" in text
    assert "walls.zones[4]: zone 3 takes the walls no other names already" in text
    assert "bevel_187 is laid horizontal, not vertical" in text
    assert "has a fixed cover; only plain bevel-back boards can be evened out" in text


@pytest.mark.parametrize(
    ("settings", "walls", "words"),
    [
        ({}, {"wrap": "wall_paper"}, "walls.wrap: wall_paper is no wall wrap of the catalogue"),
        ({}, {"zones": [{"board": {"width_mm": 187, "cover_mm": 0.5}}]}, "a cover of 0.5 mm is no board's"),
    ],
)
def test_things_that_do_not_exist_are_refused(settings: dict[str, Any], walls: dict[str, Any], words: str) -> None:
    with pytest.raises(JobError, match=words):
        clad(settings_of(**settings), **walls)


def test_findings_of_ground_come_with_the_walls() -> None:
    zones = [{"direction": "horizontal", "board": "bevel_187"}]
    near = clad(ground_mm=-200, zones=zones)
    severities = [finding.severity for finding in near.findings if finding.severity is not Severity.NOTE]
    assert severities == [Severity.STOP] * 4
    assumed = clad(settings_of(floor_lap_mm=80), ground_mm=None, zones=zones)
    severities = [finding.severity for finding in assumed.findings if finding.severity is not Severity.NOTE]
    assert severities == [Severity.WARN] * 4


def test_walls_that_no_zone_names_are_told_with_their_board() -> None:
    zone = {"walls": [1], "direction": "horizontal", "board": "bevel_187"}
    (finding,) = [f for f in clad(zones=[zone]).findings if f.code == "walls-in-no-zone"]
    assert finding.severity is Severity.WARN
    assert finding.text.startswith("walls 2, 3, 4 are in no zone: clad with ")
    assert CATALOGUE.boards["bevel_187"].name in finding.text
    rest = {"direction": "horizontal", "board": "bevel_187"}
    assert [f for f in clad(zones=[zone, rest]).findings if f.code == "walls-in-no-zone"] == []


@pytest.mark.parametrize(("sill", "told"), [(-51, True), (-50, False), (0, False)])
def test_an_opening_that_begins_below_the_cladding_is_told(sill: int, told: bool) -> None:
    """The cladding laps the floor by 50 mm."""
    roof_job = {"wall_line": BOX, "eave_overhang_mm": 600, "fascia_height_mm": 2500, "pitch_deg": 25}
    roof = roof_from_outline(RoofJob.model_validate(roof_job), 0.0, SETTINGS)
    walls = WallsJob.model_validate({"height_mm": 2400, "openings": [{**DOOR, "sill_mm": sill}]})
    findings = [f for wall in elevations(walls, (roof,), 0.0, SETTINGS) for f in wall.findings]
    low = [f for f in findings if f.code == "sill-below-cladding"]
    assert [f.severity for f in low] == [Severity.WARN] * told
    assert all("D1 on wall 1 begins at -51 mm, 1 mm below the foot of the cladding" in f.text for f in low)


@pytest.mark.parametrize("covers", [0.5, 10.0])
def test_bare_boards_are_primed_on_all_sides(covers: float) -> None:
    """Each board has two faces and two edges along its length; half a square metre a litre is thirsty, and counted."""
    board = CATALOGUE.boards["bevel_187"]
    measured = clad(settings_of(board_primer_m2_per_l=covers))
    around_m = 2.0 * (board.width_mm + board.thickness_mm) / 1000.0
    boards_m = sum(piece.length_mm for wall in measured.boards for piece in wall.pieces) / 1000.0
    assert quantity(measured, "primer for boards").figure == pytest.approx(boards_m * around_m / covers, rel=1e-12)
