"""Downpipes and movement against E1/AS1 Tables 5 and 7. Status: seen_restated (the tables as rules in public code).

Table 5 (4.2.1): m2 of roof in plan that a downpipe may drain, pitch bands to 25, 35, 45 and 55 degrees, 25.0 in the
first. Table 7 (5.4.1): mm that 5 m of gutter move over 50 K. For steel 0.010 mm a metre and kelvin stands against 0.012
of the code of practice: the program takes the greater.
"""

from __future__ import annotations

import pytest
from gutter_houses import gutters_of

from takeoff.measure.rainwater.by_code import movement_rate
from takeoff.measure.rainwater.chosen import choose
from takeoff.measure.rainwater.sizing import pipe_capacity
from takeoff.model.basis import SET_IN_JOB, Status, Term
from takeoff.model.job.job import Job
from takeoff.read.catalogue import load_catalogue
from takeoff.read.codes import rule_set
from takeoff.read.job.settings import default_rules, resolve_settings

CATALOGUE = load_catalogue()
RAIN = Term("rain", 100.0, "mm/h", SET_IN_JOB)
PITCHES = ((0.0, 25.0), (25.1, 35.0), (35.1, 45.0), (45.1, 55.0))
TABLE_5 = {
    "round_65": (60, 50, 40, 35),
    "round_80": (85, 70, 60, 50),
    "round_100": (155, 130, 110, 90),
    "round_150": (350, 290, 250, 200),
    "rect_65x50": (60, 50, 40, 35),
    "rect_100x50": (100, 80, 70, 60),
    "square_75": (110, 90, 80, 65),
    "rect_100x75": (150, 120, 105, 90),
}
CELLS = [(pipe, band, area) for pipe, row in TABLE_5.items() for band, area in enumerate(row)]


@pytest.mark.parametrize(("pipe", "band", "area"), CELLS)
def test_table_5_at_both_ends_of_each_band(pipe: str, band: int, area: float) -> None:
    settings = default_rules()
    assert CATALOGUE.downpipes[pipe].basis["table_m2"].status is Status.SEEN_RESTATED
    for pitch in PITCHES[band]:
        assert pipe_capacity("e1_as1", CATALOGUE.downpipes[pipe], pitch, RAIN, settings).plan_m2 == area


def test_a_roof_over_the_table_takes_one_pipe_more() -> None:
    # 85 m2 a pipe: a slope of 8.5 x 10 m holds one, a little more two
    lean_to = {2: {"kind": "gable"}, 3: {"kind": "gable"}, 4: {"kind": "gable"}}
    for depth_mm, pipes in ((8_500.0, 1), (8_510.0, 2)):
        (plan,) = gutters_of(10_000, depth_mm, 20.0, lean_to).downpipes
        assert dict(plan.limits)["capacity"] == pipes


@pytest.mark.parametrize(
    ("metal", "mm_5m_50k"),
    [("pvc_u", 17.5), ("zinc", 5.0), ("steel", 2.5), ("copper", 4.5), ("aluminium", 5.8), ("stainless", 3.8)],
)
def test_table_7(metal: str, mm_5m_50k: float) -> None:
    (row,) = (row for row in rule_set("nz").rain.movement if row.metal == metal)
    assert row.mm_5m_50k == mm_5m_50k
    assert row.mm_per_m_deg * 5.0 * 50.0 == pytest.approx(mm_5m_50k)


@pytest.mark.parametrize(
    ("gutter", "metal", "mm_per_m_deg"),
    [
        ("pvc_125", "steel", 0.070),
        ("quad_125", "steel", 0.012),
        ("quad_125", "zinc", 0.020),
        ("quad_125", "copper", 0.018),
        ("quad_125", "aluminium", 0.0232),
        ("quad_125", "stainless", 0.0152),
    ],
)
def test_what_the_program_moves_gutters_by(gutter: str, metal: str, mm_per_m_deg: float) -> None:
    job = Job.model_validate({"job": "moves", "rainwater": {"gutter": gutter}, "settings": {"gutter_metal": metal}})
    chosen = choose(job, resolve_settings(job), CATALOGUE)
    assert movement_rate(chosen).value == pytest.approx(mm_per_m_deg)
