"""Measures of a roof as quantities: figures in trade units, each with a working that gives the figure again.

Expected values are closed forms of a 12 x 8 m hip roof at 25 degrees (derived).
"""

from __future__ import annotations

from math import cos, radians

import pytest

from takeoff.measure.roof_measures import measure_roof
from takeoff.model.basis import Quantity
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

RECT = [(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)]


def _measured(**edges: EdgeJob) -> dict[str, Quantity]:
    job = RoofJob(outline=RECT, pitch_deg=25.0, edges={int(name[1:]): edge for name, edge in edges.items()})
    roof = roof_from_outline(job, 0.0, resolve_settings(Job(job="check")))
    return {quantity.id: quantity for quantity in measure_roof(roof)}


def test_areas_and_lengths_of_a_hip_roof() -> None:
    found = _measured()
    assert found["area.main"].figure == pytest.approx(105.9243, abs=1e-4)
    assert found["plan_area.main"].figure == pytest.approx(96.0)
    assert found["area.P1"].figure == pytest.approx(32.0 / cos(radians(25)))
    assert found["pitch.P1"].figure == 25.0
    assert found["length.main.hip"].figure == pytest.approx(4 * 5.9564, abs=4e-4)
    assert found["plan_length.main.hip"].figure == pytest.approx(4 * 4 * 2**0.5)
    assert found["length.main.ridge"].figure == pytest.approx(4.0)
    assert found["length.main.eave"].figure == pytest.approx(40.0)
    assert "length.main.valley" not in found
    assert "upright_area.main" not in found


def test_gables_are_no_roof_area() -> None:
    found = _measured(e2=EdgeJob(kind="gable"), e4=EdgeJob(kind="gable"))
    assert found["area.main"].figure == pytest.approx(96.0 / cos(radians(25)))
    assert found["upright_area.main"].refs == ("U1", "U2")
    assert found["length.main.verge"].figure == pytest.approx(4 * 4.0 / cos(radians(25)))


def test_units_are_those_of_the_trade() -> None:
    units = {key.split(".")[0]: quantity.unit for key, quantity in _measured().items()}
    assert units == {"area": "m2", "plan_area": "m2", "pitch": "degrees", "length": "m", "plan_length": "m"}


def test_workings_give_the_figures_again() -> None:
    for key, quantity in _measured(e2=EdgeJob(kind="gable")).items():
        values = {term.name: float(term.value) for term in quantity.working.terms}
        if quantity.working.rule.startswith("sum"):
            assert sum(values.values()) == pytest.approx(quantity.figure), key
            assert tuple(term.ref for term in quantity.working.terms) == quantity.refs
        elif quantity.working.rule == "plan area / cos(pitch)":
            assert values["plan area"] / cos(radians(values["pitch"])) == pytest.approx(quantity.figure), key
        else:
            assert list(values.values()) == [pytest.approx(quantity.figure)], key
