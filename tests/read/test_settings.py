"""Settings and spacings far from anything built: refused or asked about. The bounds are common practice, no source."""

from __future__ import annotations

from typing import get_args

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.drainage import METHOD_WORDS
from takeoff.model.findings import Finding
from takeoff.model.job.fields import SPACING_MM, STUD_MM, Bearing
from takeoff.model.runs import Objective
from takeoff.read.catalogue import default_settings
from takeoff.read.codes import rule_set
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import value_fault

HOUSE = """
job: check
roofs: [{wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]], eave_overhang_mm: 600, pitch_deg: 25}]
"""
WALLS = "walls: {%s}\n"


def _odd(settings: str) -> list[Finding]:
    takeoff = pipeline.run(parse_job(HOUSE + f"settings: {{{settings}}}\n"), until=pipeline.Stage.SHAPE)
    return [finding for finding in takeoff.findings if finding.code == "setting-far-from-default"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("settings: {hip_trim_mm: 3000}", "hip_trim_mm: must be 0 to 500 mm, got 3000; the default is 25 mm"),
        ("settings: {ridge_gap_mm: 501}", "ridge_gap_mm: must be 0 to 500 mm, got 501"),
        ("settings: {verge_trim_mm: -600}", "verge_trim_mm: must be -500 to 500 mm, got -600"),
        ("settings: {clear_lap_mm: -200}", "clear_lap_mm: must be 0 to 3000 mm, got -200; the default is 250 mm"),
        ("settings: {purlin_spacing_mm: 9}", "purlin_spacing_mm: must be 200 to 3000 mm, got 9"),
        ("settings: {purlin_supports_mm: 3001}", "purlin_supports_mm: must be 200 to 3000 mm, got 3001"),
        ("settings: {stud_mm: 60}", "stud_mm: must be 150 to 1500 mm, got 60"),
        ("purlins: {spacing_mm: 9}", "purlins.spacing_mm: must be at least 200"),
        ("purlins: {supports_mm: 3001}", "purlins.supports_mm: must be at most 3000"),
        (WALLS % "height_mm: 24000", "walls.height_mm: must be at most 12000"),
        (WALLS % "height_mm: 2400, stud_mm: 60", "walls.stud_mm: must be at least 150"),
        (WALLS % "height_mm: 2400, stud_mm: 6000", "walls.stud_mm: must be at most 1500"),
        (WALLS % "elevations: [{name: a, width_mm: 9000, height_mm: 24000}]", "height_mm: must be at most 12000"),
    ],
)
def test_what_nobody_builds_is_refused(more: str, words: str) -> None:
    with pytest.raises(JobError, match=words):
        parse_job(HOUSE + more + "\n")


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        (
            "rainwater_method: area_per_m",
            "must be e1_as1, area_per_m2 or gutter_types, got 'area_per_m'; did you mean area_per_m2?",
        ),
        ("fascia_kind: steel", "must be by_gutter, board, metal or none, got 'steel'"),
        ("gutter_corner_bracketed_metal: fittings", "must be mitre or fitting, got 'fittings'; did you mean fitting?"),
        ("lay_from: est", "must be north, .* or north-west, got 'est'; did you mean west?"),
        ("corner_style: mitre", "must be boxed or mitred, got 'mitre'; did you mean mitred?"),
        ("soffit: rakd", "must be level or raked, got 'rakd'; did you mean raked?"),
        ("board_supply: randm", "must be fixed or random, got 'randm'; did you mean random?"),
        ("wind_zone_if_not_given: hihg", "must be low, .* or extra_high, got 'hihg'; did you mean high?"),
        ("rainwater_gutter: quad_152", "must be quad_125, .* or pvc_125, got 'quad_152'; did you mean quad_125?"),
        ("cavity_batten: twig", "must be purlin_70x45, .* got 'twig'"),
        ("wall_wrap: roof_underlay_1350", "must be wall_wrap_2740 or wall_wrap_1370, got 'roof_underlay_1350'"),
        ("buy_raked_pairs: 7", "must be true or false, got 7"),
        ("hip_trim_mm: true", "needs a number in mm, got true"),
        ("spare_sheets: 1.5", "must be a whole number, got 1.5"),
        ("spare_sheets: -1", "must be 0 to 1000 each, got -1"),
        ("pack_limit_kg: 0", "must be 1 to 100000 kg, got 0"),
        ("screw_box: 0", "must be 1 to 100000 each, got 0"),
        ("board_nail_box: -1", "must be 0 to 100000 each, got -1"),
        ("nog_most_mm: 0", "must be 100 to 3000 mm, got 0"),
        ("nail_spare_pct: -1", "must be 0 to 100 %, got -1"),
        ("batten_slope_deg: 90", "must be 0 to 45 deg, got 90"),
        ("hip_trim_mm: .inf", "must be 0 to 500 mm, got inf"),
        ("purlin_close_row: squeeze", "must be leave_out or move, got 'squeeze'"),
        ("purlin_section: 70 by 45", "needs width x depth as 70x45, got '70 by 45'"),
        ("purlin_fixing_900_900: A B C F D", "needs five of A, B, C, D, E or N/A"),
        ("purlin_fixing_type_a: gun nail", "needs a count and a fixing, as 2 x"),
        ("fascia_thick_mm: 25", "unknown setting"),
    ],
)
def test_a_setting_is_held_to_its_type_with_its_place(setting: str, words: str) -> None:
    name = setting.partition(":")[0]
    column = 12 if words == "unknown setting" else 12 + len(name) + 2
    with pytest.raises(JobError, match=f"^job.yaml:4:{column}: settings.{name}: {words}"):
        parse_job(HOUSE + f"settings: {{{setting}}}\n")


def test_every_default_is_of_its_own_type() -> None:
    for setting in default_settings().values():
        assert value_fault(setting, setting.value) is None, setting.name


@pytest.mark.parametrize("setting", ["clear_lap_mm: 2501", "clear_lap_mm: 24", "hip_trim_mm: 251", "hip_trim_mm: 2"])
def test_a_setting_far_from_its_default_is_asked_about(setting: str) -> None:
    (finding,) = _odd(setting)
    name, value = setting.split(": ")
    assert finding.text.startswith(f"setting {name} is {value} mm; the default is ")


@pytest.mark.parametrize(
    "setting", ["clear_lap_mm: 2500", "clear_lap_mm: 25", "hip_trim_mm: 0", "verge_trim_mm: 500", "fascia_kind: none"]
)
def test_a_setting_near_its_default_and_a_plain_none_are_not(setting: str) -> None:
    assert _odd(setting) == []


def test_words_and_bounds_are_those_of_the_jobs_own_keys() -> None:
    """What a job may also give as a key of its own is held to the same words and bounds there."""
    types = {name: setting.type for name, setting in default_settings().items()}
    assert set(types["wind_zone_if_not_given"].words) == {zone.id for zone in rule_set().zones}
    assert set(types["lay_from"].words) == set(get_args(Bearing))
    assert set(types["purlin_objective"].words) == set(Objective)
    assert set(types["rainwater_method"].words) == set(METHOD_WORDS)
    for name, bounds in {"purlin_spacing_mm": SPACING_MM, "purlin_supports_mm": SPACING_MM, "stud_mm": STUD_MM}.items():
        assert (types[name].least, types[name].most) == bounds
