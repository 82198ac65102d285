"""Catchment of roofs worked by hand, and what is said of roof that reaches no gutter."""

from __future__ import annotations

import json

import pytest

from takeoff.measure.rainwater.catchment import wind_terms
from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.model.drainage import PlaneShare
from takeoff.model.findings import Finding
from takeoff.model.measured import RainwaterMeasured
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters

RECTANGLE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]


def measured(roof: dict[str, object], **more: object) -> RainwaterMeasured:
    whole = {"outline": RECTANGLE, "pitch_deg": 25, "fascia_height_mm": 2450, **roof}
    job = parse_job(json.dumps({"job": "by hand", "roofs": [whole], **more}))
    settings = resolve_settings(job)
    roofs = tuple(roof_from_outline(roof_job, 0.0, settings) for roof_job in job.roofs)
    return measure_rainwater(trace_all_gutters(roofs, job.bare_edges), roofs, job, settings, load_catalogue())


def figures(result: RainwaterMeasured) -> dict[str, float]:
    return {quantity.id: quantity.figure for quantity in result.catchment}


def findings(result: RainwaterMeasured) -> dict[str, Finding]:
    return {finding.code: finding for need in result.needs for finding in need.findings}


def test_plan_effective_and_flow_of_a_hip() -> None:
    # 96 m2; F at 25 degrees is 1 + 0.46631 / 2 = 1.23315; 118.383 m2 x 110 mm/h / 3600 = 3.6172 L/s
    found = figures(measured({}, site={"rain_mm_per_h": 110}))
    assert found["catchment SP1 plan"] == pytest.approx(96.0)
    assert found["catchment SP1 effective"] == pytest.approx(118.383, abs=1e-3)
    assert found["catchment SP1 flow"] == pytest.approx(3.6172, abs=1e-4)
    assert found["catchment"] == pytest.approx(96.0)


def test_all_runs_add_up() -> None:
    found = figures(measured({"edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}}}))
    assert found["catchment SP1 plan"] == found["catchment SP2 plan"] == pytest.approx(48.0)
    assert found["catchment"] == pytest.approx(96.0)


def test_roof_without_spouting_is_told_with_its_edge() -> None:
    result = measured({}, rainwater={"none_on": [2]})
    finding = findings(result)["roof-not-in-catchment"]
    assert "16.00 m2" in finding.text
    assert len(finding.refs) == 1
    assert "roof-not-in-catchment" not in findings(measured({}))


def test_a_level_top_is_told() -> None:
    steep = [{"pitch_deg": 45, "up_to_mm": 1000}, {"flat": True}]
    result = measured({"edges": {n: {"rise": steep} for n in (1, 2, 3, 4)}})
    told = findings(result)["level-roof-not-drained"]
    assert "60.00 m2" in told.text
    assert "outlet of its own" in told.advice
    assert "roof-not-in-catchment" not in findings(result)
    # the four slopes to the gutter, 96 - 10 x 6, and the top by its own outlet: rain on the whole outline
    assert figures(result)["catchment SP1 plan"] == pytest.approx(36.0)
    assert figures(result)["catchment"] == pytest.approx(96.0)


def test_rain_that_is_not_given_is_told() -> None:
    assert "rain-not-given" in findings(measured({}))
    assert "rain-not-given" not in findings(measured({}, site={"rain_mm_per_h": 90}))


def test_every_figure_has_a_working_with_its_basis() -> None:
    for quantity in measured({}).catchment:
        assert quantity.working.rule
        assert quantity.working.terms
    effective = next(q for q in measured({}).catchment if q.id.endswith("effective"))
    factor = next(term for term in effective.working.terms if term.name == "F")
    assert factor.basis is not None
    assert "AS/NZS 3500.3" in factor.basis.words()


def test_no_gutters_no_catchment() -> None:
    result = measured({}, rainwater={"none_on": [1, 2, 3, 4]})
    assert result.catchment == ()
    assert result.downpipes == ()
    assert "96.00 m2" in findings(result)["roof-not-in-catchment"].text


def test_the_terms_of_a_catchment_are_its_areas_and_factors() -> None:
    """A plane of 42.5 m2 at 45 degrees, F 1 + 0.5 x 1, and 6.25 m2 of a wall, which takes no F."""
    shares = (PlaneShare("P1", 42.5e6, 45.0), PlaneShare("W1", 6.25e6, 0.0, wall=True))
    terms = [(term.name, term.value, term.ref) for term in wind_terms(shares)]
    assert terms == [
        ("plan area", 42.5, "P1"),
        ("F", 1.5, "45.00 degrees"),
        ("wall above the roof, its share", 6.25, "W1"),
    ]
