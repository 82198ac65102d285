"""Gutters, downpipes and overflow against the ABCB Housing Provisions Standard 2022, Part 7.4. Status: seen.

Tables 7.4.3a (type by rain and catchment), 7.4.3b (sections), 7.4.3c (downpipe by type), 7.4.3d (five-minute rain);
7.4.3 worked example of overflow; 7.4.4(1) falls and brackets; 7.4.5 12 m of gutter a downpipe.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from gutter_houses import LEAN_TO, count, findings, gutters_of

from takeoff.basics.errors import JobError
from takeoff.measure.rainwater.gutter_types import needed_row, served_m2
from takeoff.pipeline import run_file
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.codes import rule_set

RAIN = rule_set("au").rain
AREAS = (30.0, 40.0, 50.0, 60.0, 70.0)
# Table 7.4.3a as printed: by intensity the least types for 30, 40, 50, 60 and 70 m2
TABLE_A = {
    90: "AC AC AC AC AC",
    120: "AC AC AC AC AD",
    140: "AC AC AC AD BE",
    160: "AC AC AC AE BE",
    175: "AC AC AD BE E",
    200: "AC AC AD BE F",
    225: "AC AC AB E F",
    255: "AC AD BE E F",
    275: "AC AD BE F F",
    325: "AC BE F F F",
    425: "AC E F F F",
}
CELLS = [(rain, area, cell) for rain, row in TABLE_A.items() for area, cell in zip(AREAS, row.split(), strict=True)]
SMALLER = {"B": "A", "D": "C", "E": "D"}


@pytest.mark.parametrize(("mm_per_h", "area_m2", "cell"), CELLS)
def test_table_of_types(mm_per_h: float, area_m2: float, cell: str) -> None:
    """Each type printed serves the catchment, the next smaller of its shape does not, unless it is printed too."""
    for letter in cell.replace("F", ""):
        assert served_m2(letter, mm_per_h, RAIN) >= area_m2
        below = SMALLER.get(letter, "")
        if below and below not in cell:
            assert served_m2(below, mm_per_h, RAIN) < area_m2
    if cell == "F":
        assert all(served_m2(letter, mm_per_h, RAIN) < area_m2 for letter in "ABCDE")


def test_the_ends_of_the_table() -> None:
    rows = (needed_row(RAIN, mm_per_h) for mm_per_h in (1.0, 90.0, 90.1, 425.0))
    assert [row.mm_per_h for row in rows if row] == [90.0, 90.0, 120.0, 425.0]
    assert needed_row(RAIN, 425.1) is None
    beyond = gutters_of(6_000, code="au", site={"rain_mm_per_h": 426})
    assert "426 mm/h is beyond it" in findings(beyond)["gutter-not-in-table"].text


@pytest.mark.parametrize(("letter", "mm2"), [("A", 6500), ("B", 7900), ("C", 5200), ("D", 6300), ("E", 9000)])
def test_sections(letter: str, mm2: float) -> None:
    assert [row.mm2 for row in RAIN.types if row.type == letter] == [mm2]
    sold = [gutter for gutter in load_catalogue().gutters.values() if gutter.type == letter]
    assert sold
    assert all(gutter.area_mm2 >= mm2 for gutter in sold)


@pytest.mark.parametrize(
    ("pipe", "gutter", "allowed"),
    [
        ("round_90", "quad_125", True),
        ("round_90", "half_round_150", True),
        ("rect_100x50", "quad_125", True),
        ("rect_100x50", "half_round_150", True),
        ("rect_100x75", "half_round_150", True),
        ("round_80", "quad_125", False),  # 74 mm inside, less than 75
        ("rect_65x50", "pvc_115", False),
    ],
)
def test_downpipes_by_type(pipe: str, gutter: str, allowed: bool) -> None:
    measured = gutters_of(6_000, code="au", site={"rain_mm_per_h": 120}, rainwater={"gutter": gutter, "downpipe": pipe})
    assert ("downpipe-not-for-gutter" not in findings(measured)) is allowed


def test_75_round_is_for_types_a_to_d_and_not_for_e() -> None:
    (row,) = (row for row in RAIN.pipes if row.round_mm == 75.0)
    assert row.types == "ABCD"
    assert [row.types for row in RAIN.pipes if row.round_mm != 75.0] == ["ABCDE"] * 3


@pytest.mark.parametrize(
    ("town", "five_percent", "one_percent"),
    [
        ("Sydney", 201, 262),
        ("Melbourne", 132, 187),
        ("Brisbane", 236, 306),
        ("Adelaide", 120, 174),
        ("Perth", 129, 172),
        ("Hobart", 86, 120),
        ("Darwin", 233, 274),
        ("Canberra", 143, 192),
    ],
)
def test_five_minute_rain(town: str, five_percent: float, one_percent: float) -> None:
    (row,) = (row for row in RAIN.towns if row.town == town)
    assert (row.mm_per_h, row.rare_mm_per_h) == (five_percent, one_percent)
    told = findings(gutters_of(6_000, code="au"))
    assert f"{town} {five_percent}" in told["rain-not-given"].advice
    assert f"{town} {one_percent}" in told["rare-rain-not-given"].advice


def test_without_a_figure_the_heaviest_of_the_towns_is_taken() -> None:
    known = default_settings("au")
    assert known["rain_if_not_given_mm_per_h"].value == 236
    assert known["rare_rain_if_not_given_mm_per_h"].value == 306


OVERFLOW = """
job: overflow by the worked example
code: au
site: {wind_zone: N2, rain_mm_per_h: 160, rare_rain_mm_per_h: 325}
roofs:
  - outline: [[0, 0], [10000, 0], [10000, 5000], [0, 5000]]
    pitch_deg: 21.801409486351815
    fascia_height_mm: 2400
    edges: {2: {kind: gable}, 3: {kind: gable}, 4: {kind: gable}}
    covering: {profile: corrugated}
rainwater: {gutter: half_round_150, downpipe: rect_100x50, overflow: [WAYS]}
"""


def overflow(tmp_path: Path, ways: str) -> tuple[dict[str, float], set[str]]:
    """Flows at the one downpipe, and the findings. A slope of 10 m x 5 m at 2 in 5 catches 50 x 1.2 = 60 m2 in wind."""
    path = tmp_path / "job.yaml"
    path.write_text(OVERFLOW.replace("WAYS", ways), encoding="utf-8")
    takeoff = run_file(path)
    assert takeoff.order is not None
    flows = {quantity.id: quantity.figure for quantity in takeoff.rainwater.catchment}
    return flows, {finding.code for finding in takeoff.findings}


def test_worked_example_of_overflow(tmp_path: Path) -> None:
    """60 m2 at 325 mm/h bring 5.4 L/s; an end-stop weir of 0.5 and 10 m of front slots at 0.5 a metre carry 5.5."""
    flows, codes = overflow(tmp_path, "end_stop_weir, front_slots")
    assert flows["catchment SP1 effective"] == pytest.approx(60.0)
    assert round(flows["overflow DP1 wanted"], 1) == 5.4
    assert flows["overflow DP1 given"] == 5.5
    assert not codes & {"overflow-too-small", "overflow-not-given"}


def test_front_slots_alone_are_too_little(tmp_path: Path) -> None:
    flows, codes = overflow(tmp_path, "front_slots")
    assert flows["overflow DP1 given"] == 5.0
    assert "overflow-too-small" in codes


def test_no_overflow_is_told(tmp_path: Path) -> None:
    _, codes = overflow(tmp_path, "")
    assert "overflow-not-given" in codes


def test_a_way_that_nobody_knows_is_refused(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"rainwater\.overflow: unknown way front_slot; did you mean front_slots"):
        overflow(tmp_path, "front_slot")


def test_brackets_1200_and_at_stop_ends() -> None:
    assert count(gutters_of(12_000, code="au"), "gutter brackets") == 2 * (12_000 / 1200 + 1)


@pytest.mark.parametrize("gutter", ["quad_125", "box_125"])
def test_fall_1_in_500_on_metal_fascia_too(gutter: str) -> None:
    note = findings(gutters_of(12_000, code="au", rainwater={"gutter": gutter}))["gutter-fall"]
    assert "1 in 500" in note.text
    assert "7.4.4(1)(a)" in note.source


@pytest.mark.parametrize(("length_mm", "pipes"), [(12_000, 1), (12_100, 2)])
def test_12_m_of_gutter_a_downpipe(length_mm: float, pipes: int) -> None:
    plans = gutters_of(length_mm, 2_000.0, code="au", edges=LEAN_TO, site={"rain_mm_per_h": 90}).downpipes
    assert [dict(plan.limits)["gutter length per outlet"] for plan in plans] == [pipes]


def test_a_larger_catchment_takes_more_downpipes() -> None:
    # type D at 140 mm/h serves 60 m2 a downpipe: 50 m2 in plan at 2 in 5, where rain catches 1.2 of it
    for depth_mm, pipes in ((5_000.0, 1), (5_010.0, 2)):
        rain = {"rain_mm_per_h": 140}
        (plan,) = gutters_of(10_000, depth_mm, 21.801409486351815, LEAN_TO, code="au", site=rain).downpipes
        assert dict(plan.limits)["capacity"] == pipes
