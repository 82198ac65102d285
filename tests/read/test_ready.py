"""What reading makes of a job before anything is measured: one check for files and scripts, fingerprint, own profiles."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError
from takeoff.model.job.job import Job
from takeoff.model.job.products import ProfileJob
from takeoff.model.products import ProfileKind
from takeoff.read import fingerprint as fingerprints
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.fingerprint import fingerprint
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.read.own_profiles import mass_findings, with_own_profiles

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
ROOF: dict[str, Any] = {"outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25}
SHED = {"kind": "trapezoidal", "cover_mm": 900.0, "overall_mm": 960.0, "rib_pitch_mm": 90.0, "depth_mm": 20.0}


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ({"settings": {"hip_trim": 3}}, "settings.hip_trim: unknown setting; did you mean hip_trim_mm?"),
        ({"settings": {"hip_trim_mm": 900}}, "settings.hip_trim_mm: must be 0 to 500 mm, got 900"),
        ({"roofs": [{**ROOF, "covering": {"profile": "corugated"}}]}, "did you mean corrugated?"),
        ({"rainwater": {"none_on": [9]}}, "rainwater.none_on: there is no edge 9; the outline of roof main has edges"),
        ({"rainwater": {"gutter": "quad_152"}}, "rainwater.gutter: unknown gutter quad_152; did you mean quad_125?"),
        ({"walls": {"height_mm": 2400, "wrap": "roof_underlay_1350"}, "roofs": [ROOF]}, "walls.wrap: unknown wrap"),
        ({"roofs": []}, "nothing to take off: give roofs, walls or both"),
        ({"profiles": {"shed": {**SHED, "overall_mm": 800, "least_pitch_deg": 6}}}, "800 is less than cover_mm 900"),
        ({"flashings": {"rige": "ridge"}}, "flashings.rige: unknown edge kind rige; did you mean ridge?"),
        ({"flashings": {"ridge": "hip"}}, "flashings.ridge: unknown ridge flashing hip"),
    ],
)
def test_a_job_from_a_script_meets_the_faults_of_a_file(more: dict[str, Any], fault: str) -> None:
    text = json.dumps({"job": "by hand", "roofs": [ROOF], **more})
    with pytest.raises(JobError) as from_file:
        parse_job(text)
    with pytest.raises(JobError) as from_script:
        pipeline.run(Job.model_validate_json(text))
    assert any(fault in told for told in from_script.value.faults)
    # the same sentences, without a line and a column
    assert [told.split(": ", 1)[1] for told in from_file.value.faults] == [*from_script.value.faults]


def test_the_fingerprint_covers_the_mesh(tmp_path: Path) -> None:
    """The same job text with its mesh scaled by 1.1 is another house."""
    for file in (SAMPLES / "mesh_house").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    drawn = pipeline.run_file(tmp_path / "job.yaml", until=pipeline.Stage.SHAPE).job_hash
    assert pipeline.run_file(tmp_path / "job.yaml", until=pipeline.Stage.SHAPE).job_hash == drawn
    job = pipeline.run_file(tmp_path / "job.yaml", until=pipeline.Stage.SHAPE).job
    mesh = tmp_path / next(roof.drawn.file for roof in job.roofs if roof.drawn is not None)
    lines = [line.split() for line in mesh.read_text(encoding="utf-8").splitlines()]
    scaled = [["v", *(str(float(n) * 1.1) for n in line[1:4])] if line[:1] == ["v"] else line for line in lines]
    mesh.write_text("\n".join(" ".join(line) for line in scaled) + "\n", encoding="utf-8")
    assert pipeline.run_file(tmp_path / "job.yaml", until=pipeline.Stage.SHAPE).job_hash != drawn


def test_the_fingerprint_covers_the_catalogue_and_the_values_of_a_script(monkeypatch: pytest.MonkeyPatch) -> None:
    job = Job.model_validate_json(json.dumps({"job": "by hand", "roofs": [ROOF]}))
    one = fingerprint(job, Path())
    assert fingerprint(job, Path()) == one
    assert fingerprint(job.model_copy(update={"north_deg": 1.0}), Path()) != one
    monkeypatch.setattr(fingerprints, "catalogue_version", lambda: "another")
    assert fingerprint(job, Path()) != one


def test_mass_of_an_own_profile_at_another_thickness_comes_of_its_own_girth() -> None:
    """3.20 kg/m at 0.40 mm is a girth of 3.20 / (0.40 x 7.85 + 0.15) = 0.97264 m; at 0.55 mm 4.345 kg/m by hand."""
    own = ProfileJob.model_validate({**SHED, "least_pitch_deg": 6.0, "kg_per_m": {"0.40": 3.20}})
    roof = {**ROOF, "covering": {"profile": "shed", "bmt_mm": 0.55}}
    job = Job.model_validate({"job": "x", "profiles": {"shed": own}, "roofs": [roof]}, strict=False)
    settings = resolve_settings(job)
    catalogue = with_own_profiles(load_catalogue(), job, settings)
    made = catalogue.profiles["shed"]
    assert made.girth_mm == pytest.approx(972.64, abs=0.01)
    assert made.girth_mm / 1000.0 * (0.55 * 7.85 + 0.15) == pytest.approx(4.345, abs=0.001)
    (finding,) = mass_findings(job, catalogue, settings)
    assert "no mass of profile shed at 0.55 mm" in finding.text
    assert "from the mass given at 0.4 mm" in finding.text
    takeoff = pipeline.run(job)
    assert finding in takeoff.findings
    assert takeoff.order is not None
    assert sum(line.kg for line in takeoff.order.lines if line.delivery == "roof sheets" and line.each_mm) == (
        pytest.approx(
            4.345 * sum(x.total for x in takeoff.order.lines if x.delivery == "roof sheets" and x.each_mm), rel=2e-3
        )
    )


def test_a_profile_is_what_it_says_not_what_its_ribs_measure() -> None:
    own = ProfileJob.model_validate({**SHED, "least_pitch_deg": 6.0})
    job = Job(job="x", profiles={"shed": own})
    assert (
        with_own_profiles(load_catalogue(), job, resolve_settings(job)).profiles["shed"].kind is ProfileKind.TRAPEZOIDAL
    )
    with pytest.raises(JobError, match=r"profiles.shed.kind: is needed"):
        parse_job(json.dumps({"job": "x", "roofs": [ROOF], "profiles": {"shed": {"cover_mm": 9}}}))


def test_a_second_ridge_flashing_is_bought_only_where_the_job_names_it(monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue = load_catalogue()
    long = replace(catalogue.flashings["ridge"], id="ridge_long", name="Long ridge", stock_mm=8000)
    more = replace(catalogue, flashings={**catalogue.flashings, "ridge_long": long})
    for module in ("takeoff.pipeline", "takeoff.read.job.job_references"):
        monkeypatch.setattr(f"{module}.load_catalogue", lambda: more)
    gable = {**ROOF, "edges": {"2": {"kind": "gable"}, "4": {"kind": "gable"}}}
    for named, product, stock in (({}, "ridge", 6000), ({"ridge": "ridge_long"}, "ridge_long", 8000)):
        job = Job.model_validate_json(json.dumps({"job": "x", "roofs": [gable], "flashings": named}))
        takeoff = pipeline.run(job)
        (run,) = (run for run in takeoff.roofing.flashings if run.kind == "ridge")
        assert (run.flashing, run.stock_mm) == (product, stock)
        assert run.section is not None
        assert run.girth_mm == run.section.girth_mm  # what is printed is what was computed


def test_two_settings_for_one_thing_are_one() -> None:
    gone = {
        "fascia_thick_mm",
        "sheet_expansion_mm_per_m_k",
        "gutter_temperature_range_deg",
        "valley_large_catchment_m2",
    }
    assert not gone & set(default_settings())


def test_masses_at_two_thicknesses_make_the_mean_of_their_girths() -> None:
    """3.20 kg/m at 0.40 mm is 972.64 mm, 4.50 at 0.55 mm 4.50 / (0.55 x 7.85 + 0.15) = 1007.27 mm: 989.96 between."""
    own = ProfileJob.model_validate({**SHED, "least_pitch_deg": 6.0, "kg_per_m": {"0.40": 3.20, "0.55": 4.50}})
    job = Job.model_validate({"job": "x", "profiles": {"shed": own}, "roofs": [ROOF]}, strict=False)
    made = with_own_profiles(load_catalogue(), job, resolve_settings(job)).profiles["shed"]
    assert made.girth_mm == pytest.approx(989.96, abs=0.01)
