"""Yearly run-off to a rainwater tank, enHealth, Guidance on use of rainwater tanks, Appendix B.

Source: enHealth Appendix B (page last updated March 2011): its worked example of 200 m2 and 750 mm, and Table B.1,
kL a year for A = 0.8 and B = 24 mm. Status: seen. Five of the table's 70 cells do not follow its own formula by more
than the rounding to whole kL and are left out: (200 mm; 100, 200 and 400 m2), (500; 500), (1200; 400).
"""

from __future__ import annotations

import json

import pytest

from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.measure.rainwater.tank import yearly_yield_l
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters

AREAS_M2 = (100, 150, 200, 250, 300, 400, 500)
TABLE_KL = {
    150: (10, 15, 20, 25, 30, 40, 50),
    200: (None, 21, None, 35, 42, None, 70),
    250: (18, 27, 36, 45, 54, 72, 90),
    300: (22, 33, 44, 55, 66, 88, 110),
    400: (30, 45, 60, 75, 90, 120, 150),
    500: (38, 57, 76, 95, 114, 152, None),
    600: (46, 69, 92, 115, 138, 184, 230),
    800: (62, 93, 124, 155, 186, 248, 310),
    1000: (78, 117, 156, 195, 234, 312, 390),
    1200: (94, 141, 188, 235, 282, None, 470),
}
CELLS = [
    (rain, area, kl) for rain, row in TABLE_KL.items() for area, kl in zip(AREAS_M2, row, strict=True) if kl is not None
]


def test_the_worked_example() -> None:
    assert yearly_yield_l(200.0, 750.0, 0.80, 24.0) == pytest.approx(116_160)


@pytest.mark.parametrize(("rain_mm", "area_m2", "published_kl"), CELLS)
def test_table_b1(rain_mm: float, area_m2: float, published_kl: float) -> None:
    assert yearly_yield_l(area_m2, rain_mm, 0.80, 24.0) / 1000 == pytest.approx(published_kl, abs=0.5)


def test_the_worked_example_as_a_house() -> None:
    # 20 x 10 m in plan, hipped: the same 200 m2
    roof = {"outline": [[0, 0], [20000, 0], [20000, 10000], [0, 10000]], "pitch_deg": 30, "fascia_height_mm": 2450}
    job = parse_job(json.dumps({"job": "tank", "site": {"rain_mm_per_year": 750}, "roofs": [roof]}))
    settings = resolve_settings(job)
    roofs = (roof_from_outline(job.roofs[0], 0.0, settings),)
    found = measure_rainwater(trace_all_gutters(roofs), roofs, job, settings, load_catalogue()).catchment
    assert next(q.figure for q in found if q.id == "tank yearly yield") == pytest.approx(116_160)


def test_a_year_drier_than_its_losses_yields_nothing() -> None:
    assert yearly_yield_l(200.0, 20.0) == 0.0
