"""Walls and soffits against the ABCB Housing Provisions Standard 2022, Part 7.5. Status: seen.

7.5.2(2) laps of splayed boards by timber; 7.5.2(3) sarking laps 150, fixed at 300; 7.5.2(4) and Table 7.5.2 nails;
Figure 7.5.2a nail 35 from the butt at a lap of 30; Figure 7.5.2c vertical boards: battens at 600 at most; 7.5.6
flashings 110 beyond the reveal, joins lap 75; 7.5.7 clearances 50 paved, 150 otherwise, 50 below the bearer; Table
7.5.5 soffit trimmers.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.cladding.clearances import check_clearance
from takeoff.measure.cladding.soffits import Soffit, trimmer_note
from takeoff.measure.cladding.wall_trims import nails_per_crossing
from takeoff.measure.cladding.zones import resolve_zones
from takeoff.model.findings import Severity
from takeoff.model.job.site import Site
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.walls.walls import elevations

AU = default_rules("au")
WALL = {"name": "wall", "width_mm": 6000, "height_mm": 2400}


def zone_of(board: Any, code: str = "au") -> Any:
    job = WallsJob.model_validate({"zones": [{"board": board}]})
    return resolve_zones(job, (1,), default_rules(code), load_catalogue())[0]


def clad(**job: Any) -> CladdingMeasured:
    walls = WallsJob.model_validate({"elevations": [WALL], "ground_mm": -300, **job})
    return measure_cladding(elevations(walls, (), 0.0, AU), walls, (), AU, load_catalogue())


@pytest.mark.parametrize(
    ("timber", "lap_mm"),
    [("hardwood", 30), ("cypress", 30), ("treated_pine", 30), ("red_cedar", 20), ("baltic_pine", 25)],
)
def test_lap_of_splayed_boards_by_timber(timber: str, lap_mm: int) -> None:
    for lap, stops in ((lap_mm, False), (lap_mm - 1, True)):
        board = {"width_mm": 150, "cover_mm": 150 - lap, "kind": "bevel_back", "timber": timber}
        found = zone_of(board).findings
        assert [f.code for f in found if f.severity is Severity.STOP] == (["board-lap-too-small"] if stops else [])


def test_a_timber_that_the_table_has_not_is_refused() -> None:
    board = {"width_mm": 150, "cover_mm": 120, "kind": "bevel_back", "timber": "red_ceder"}
    with pytest.raises(JobError, match="did you mean red_cedar"):
        zone_of(board)


def test_the_other_code_asks_for_32_of_every_timber() -> None:
    board = {"width_mm": 150, "cover_mm": 120, "kind": "bevel_back", "timber": "red_cedar"}
    assert [f.code for f in zone_of(board, "nz").findings] == ["board-lap-too-small"]
    assert zone_of(board).findings == ()


@pytest.mark.parametrize(
    ("kind", "width_mm", "nails"),
    [("bevel_back", 187, 1), ("shiplap", 130, 1), ("shiplap", 131, 2), ("rusticated", 187, 2)],
)
def test_nails_a_stud(kind: str, width_mm: int, nails: int) -> None:
    zone = zone_of({"width_mm": width_mm, "cover_mm": width_mm - 32, "kind": kind})
    assert nails_per_crossing(zone, AU) == nails


def test_nail_35_from_the_butt_at_a_lap_of_30() -> None:
    measured = clad(zones=[{"board": {"width_mm": 150, "cover_mm": 120, "kind": "bevel_back"}, "even_coursing": False}])
    terms = [term for need in measured.needs for quantity in need.quantities for term in quantity.working.terms]
    (place,) = (term for term in terms if term.name.startswith("nail over the lower edge"))
    assert place.value == 35.0


def test_battens_behind_vertical_boards_at_600_at_most() -> None:
    assert AU.number("nog_most_mm") == 600
    measured = clad(zones=[{"direction": "vertical", "board": {"width_mm": 150, "cover_mm": 130}}])
    heights = sorted({line.a_xy[1] for line in measured.battens})
    assert max(high - low for low, high in pairwise(heights)) <= 600.0
    # 2 450 mm from 50 below the floor: 5 spaces of 490
    assert len(heights) == 6


@pytest.mark.parametrize(
    ("clear_mm", "paved", "passes"), [(50, True, True), (49, True, False), (150, False, True), (149, False, False)]
)
def test_clearance(clear_mm: float, paved: bool, passes: bool) -> None:
    job = WallsJob.model_validate({"elevations": [WALL], "ground_mm": -50 - clear_mm, "paved": paved})
    assert (check_clearance(elevations(job, (), 0.0, AU)[0], AU) == ()) is passes


@pytest.mark.parametrize(
    ("setting", "mm"),
    [
        ("floor_lap_mm", 50),  # 7.5.7(2)
        ("head_past_jamb_mm", 110),  # 7.5.6
        ("wall_flashing_lap_mm", 75),  # 7.5.6
        ("wrap_lap_level_mm", 150),  # 7.5.2(3)
        ("wrap_lap_upright_mm", 150),  # 7.5.2(3)
        ("wrap_staple_mm", 300),  # 7.5.2(3)
        ("soffit_nail_mm", 200),  # Table 7.5.5, near corners; 300 elsewhere
    ],
)
def test_laps_and_spacings(setting: str, mm: float) -> None:
    assert AU.number(setting) == mm
    assert "ABCB" in AU.basis(setting).source


def test_head_flashing_past_the_reveal() -> None:
    opening = {"wall": 1, "from_left_mm": 2000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1100}
    measured = clad(openings=[opening], zones=[{"board": "bevel_187"}])
    (head,) = (run for need in measured.needs for run in need.demands if run.item == "head_flashing")
    assert head.length_mm == 1200 + 2 * 110


@pytest.mark.parametrize(
    ("wide_mm", "zone", "at_mm", "corner"),
    [
        (600, "N1", 900, "600 mm within"),
        (600, "N2", 800, "600 mm within"),
        (600, "N3", 700, "500 mm within"),
        (601, "N1", 750, ""),
        (1200, "N1", 750, ""),
        (1200, "N2", 700, ""),
        (1200, "N3", 650, ""),
    ],
)
def test_soffit_trimmers(wide_mm: float, zone: str, at_mm: int, corner: str) -> None:
    (note,) = trimmer_note([Soffit("E1", False, wide_mm, 6000.0)], Site(wind_zone=zone), AU)
    assert note.code == "soffit-trimmers"
    assert f"trimmers at {at_mm} mm" in note.text
    assert corner in note.text


@pytest.mark.parametrize(("wide_mm", "zone"), [(1201, "N1"), (600, "N4")])
def test_soffits_beyond_the_table(wide_mm: float, zone: str) -> None:
    (note,) = trimmer_note([Soffit("E1", False, wide_mm, 6000.0)], Site(wind_zone=zone), AU)
    assert note.code == "soffit-trimmers-not-in-table"
