"""Internal gutters by the area rule, by hand: a butterfly of two leaves, 5 m deep and 9 m long, at 5 degrees."""

from __future__ import annotations

import json
from math import cos, radians, tan
from pathlib import Path

import pytest
import yaml

from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run
from takeoff.read.job.job_file import parse_job

SAMPLE = Path(__file__).resolve().parents[2] / "geometry_samples" / "butterfly" / "job.yaml"


def butterfly(**settings: object) -> Takeoff:
    job = yaml.safe_load(SAMPLE.read_text(encoding="utf-8"))
    job["settings"] = {**job.get("settings", {}), **settings}
    return run(parse_job(json.dumps(job, default=str)), until=Stage.MEASURE)


def figures(takeoff: Takeoff) -> dict[str, float]:
    return {quantity.id: quantity.figure for quantity in takeoff.rainwater.catchment}


def codes(takeoff: Takeoff) -> set[str]:
    return {finding.code for plan in takeoff.rainwater.downpipes for finding in plan.findings}


def test_section_depth_and_girth_by_hand() -> None:
    """45 m2 in plan to each of two outlets: 45 / cos p x 1.1 exposure x rain / 100 x 1.1 pitch x 200 mm2 (method 2, internal
    200 mm2 a m2); depth that over 300 mm, and 30 mm of freeboard (v25.12, 5.3.3A); girth 300 + 2 x 100 + 2 x 50."""
    found = butterfly()
    (run_,) = found.gutters
    pitch, rain = run_.pitch_deg, float(found.job.site.rain_mm_per_h or 100.0)
    section = 45.0 / cos(radians(pitch)) * 1.1 * rain / 100.0 * 1.1 * 200.0
    assert figures(found)["internal gutter SP1 section"] == pytest.approx(section, rel=1e-6)
    assert figures(found)["internal gutter SP1 depth"] == pytest.approx(section / 300.0 + 30.0, rel=1e-6)
    assert figures(found)["internal gutter SP1 girth"] == pytest.approx(600.0)
    # effective catchment x rain x 3.1 of a short burst in a house (5.3.2.3)
    wind = 45.0 * (1.0 + tan(radians(pitch)) / 2.0)
    assert figures(found)["internal gutter SP1 overflow"] == pytest.approx(wind * rain * 3.1 / 3600.0, rel=1e-6)


def test_never_shallower_than_50_mm() -> None:
    assert figures(butterfly(internal_gutter_width_mm=3000))["internal gutter SP1 depth"] == 50.0


def test_outlets_and_overflows_are_ordered() -> None:
    need = [need for need in butterfly().rainwater.needs for q in need.quantities if q.item == "Internal gutter outlet"]
    counts = {quantity.item: quantity.figure for quantity in need[0].quantities}
    assert counts == {"Internal gutter outlet": 2, "Internal gutter overflow": 2}


def test_its_own_section_is_a_limit_and_outlets_are_held_to_half() -> None:
    """Only 60 deep: 30 mm of water x 300 is 9000 mm2, less than 45 m2 ask for: more outlets, or it is said."""
    assert len(butterfly(internal_gutter_depth_mm=60).rainwater.downpipes[0].pipes) > 2
    assert "internal-outlet-too-small" in codes(butterfly())
    assert "internal-overflow" in codes(butterfly())
    assert "internal-overflow" not in codes(butterfly(internal_overflow_l_s=50))
