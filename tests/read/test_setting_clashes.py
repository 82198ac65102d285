"""Settings that clash with each other are refused when the job is read, at the line and column of one of them.

That a lap must leave something of what it laps, and a least be no more than its most, is arithmetic.
"""

from __future__ import annotations

import pytest

import takeoff
from takeoff.basics.errors import JobError
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.job.job_file import parse_job

HOUSE = """\
job: clash
roofs: [{wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]], eave_overhang_mm: 600, pitch_deg: 25}]
"""
CLASHES = [
    (
        "flashing_lap_mm: 700, flashing_length_mm: 600",
        "flashing_lap_mm 700 mm is no less than flashing_length_mm 600 mm",
    ),
    ("flashing_length_mm: 150", "flashing_lap_mm 150 mm is no less than flashing_length_mm 150 mm, which it laps"),
    ("underlay_lap_mm: 1350", "underlay_lap_mm 1350 mm is no less than the roll's 1350 mm, which it laps"),
    ("safety_mesh_lap_mm: 900", "safety_mesh_lap_mm 900 mm is no less than half of safety_mesh_width_mm 1800 mm"),
    ("fascia_board_longest_mm: 3000", "fascia_board_shortest_mm 3600 mm is more than fascia_board_longest_mm 3000 mm"),
    ("metal_fascia_shortest_mm: 6001", "metal_fascia_shortest_mm 6001 mm is more than metal_fascia_longest_mm 6000 mm"),
    ("long_run_mm: 60001", "long_run_mm 60001 mm is more than long_run_most_mm 60000 mm; lower the one or raise"),
    ("special_truck_mm: 11999", "ordinary_truck_mm 12000 mm is more than special_truck_mm 11999 mm"),
    ("least_lap_bevel_mm: 61", "least_lap_bevel_mm 61 mm is more than most_lap_bevel_mm 60 mm"),
    ("boot_alone_most_mm: 351", "boot_alone_most_mm 351 mm is more than boot_most_mm 350 mm"),
]
WALL_CLASHES = [
    ("wall_flashing_lap_mm: 300, wall_flashing_stock_mm: 300", "wall_flashing_lap_mm 300 mm is no less than wall_fla"),
    ("stud_width_mm: 150, stud_mm: 150", "stud_width_mm 150 mm leaves no room between studs at stud_mm 150 mm"),
    ("wrap_lap_level_mm: 1370, wall_wrap: wall_wrap_1370", "wrap_lap_level_mm 1370 mm is no less than the roll's 1370"),
]


@pytest.mark.parametrize(("settings", "words"), CLASHES)
def test_a_clash_is_told_when_read_with_its_place(settings: str, words: str) -> None:
    name = settings.partition(":")[0]
    with pytest.raises(JobError, match=f"^job.yaml:3:{12 + len(name) + 2}: settings.{name}: {words}"):
        parse_job(HOUSE + f"settings: {{{settings}}}\n")


@pytest.mark.parametrize(("settings", "words"), WALL_CLASHES)
def test_so_is_one_of_the_walls_where_there_are_walls(settings: str, words: str) -> None:
    name = settings.partition(":")[0]
    with pytest.raises(JobError, match=f"^job.yaml:4:{12 + len(name) + 2}: settings.{name}: {words}"):
        parse_job(HOUSE + f"walls: {{height_mm: 2400}}\nsettings: {{{settings}}}\n")
    parse_job(HOUSE + f"settings: {{{settings}}}\n")


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (
            "site: {longest_piece_mm: 150}\n",
            "3:26: site.longest_piece_mm: flashing_lap_mm 150 mm is no less than longest_",
        ),
        ("settings: {stud_width_mm: 200}\nwalls: {height_mm: 2400, stud_mm: 200}\n", "3:27: settings.stud_width_mm: "),
        (
            "walls: {height_mm: 2400, wrap: wall_wrap_1370}\nsettings: {wrap_lap_level_mm: 1400}\n",
            "4:31: settings.wrap_",
        ),
    ],
)
def test_a_key_of_the_job_clashes_as_its_setting_does(more: str, words: str) -> None:
    with pytest.raises(JobError, match=words):
        parse_job(HOUSE + more)


@pytest.mark.parametrize(
    "settings",
    [
        "flashing_lap_mm: 599, flashing_length_mm: 600",
        "underlay_lap_mm: 1349",
        "safety_mesh_lap_mm: 899",
        "fascia_board_shortest_mm: 6000",
        "long_run_mm: 60000",
        "stud_width_mm: 149, stud_mm: 150",
    ],
)
def test_what_only_just_goes_is_read(settings: str) -> None:
    parse_job(HOUSE + f"walls: {{height_mm: 2400}}\nsettings: {{{settings}}}\n")


def test_a_script_meets_the_same_fault() -> None:
    job = parse_job(HOUSE).model_copy(update={"settings": {"underlay_lap_mm": 1400.0}})
    with pytest.raises(
        JobError, match=r"^settings\.underlay_lap_mm: underlay_lap_mm 1400 mm is no less than the roll's"
    ):
        takeoff.run(job)


@pytest.mark.parametrize("code", ["nz", "au"])
def test_no_defaults_clash(code: str) -> None:
    known = default_settings(code)
    for less, more in (pair.split(" ") for pair in (
        "fascia_board_shortest_mm fascia_board_longest_mm", "metal_fascia_shortest_mm metal_fascia_longest_mm",
        "long_run_mm long_run_most_mm", "ordinary_truck_mm special_truck_mm", "least_lap_bevel_mm most_lap_bevel_mm",
        "boot_alone_most_mm boot_most_mm", "stud_width_mm stud_mm", "wall_flashing_lap_mm wall_flashing_stock_mm",
    )):  # fmt: skip
        assert float(known[less].value) <= float(known[more].value)
    narrowest = min(roll.width_mm for roll in load_catalogue().rolls.values())
    assert max(float(known[name].value) for name in ("underlay_lap_mm", "wrap_lap_level_mm")) < narrowest
