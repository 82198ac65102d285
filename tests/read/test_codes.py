"""Codes of practice as folders of data: what is read, what is refused, and a country added by a folder alone."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError, TakeoffError
from takeoff.model.basis import Status
from takeoff.read import catalogue as catalogues
from takeoff.read import codes as code_folders
from takeoff.read.catalogue import codes, default_settings
from takeoff.read.codes import rule_set
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import code_findings, default_rules, resolve_settings

ROOF = """
job: shed
{top}
roofs:
  - wall_line: [[0, 0], [7620, 0], [7620, 8000], [0, 8000]]
    pitch_deg: 25
    edges: {{2: {{kind: gable}}, 4: {{kind: gable}}}}
    covering: {{lay_from: east}}
"""


def job_with(top: str) -> str:
    return ROOF.format(top=top)


def _forget() -> None:
    for module in (catalogues, code_folders):
        for held in vars(module).values():
            if hasattr(held, "cache_clear"):
                held.cache_clear()


@pytest.fixture
def own_catalogue(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the catalogue's data that a test may add a folder to."""
    root = tmp_path / "catalogue"
    shutil.copytree(str(catalogues.catalogue_root()), root)
    monkeypatch.setattr(catalogues, "catalogue_root", lambda: root)
    _forget()
    yield root
    monkeypatch.undo()
    _forget()


def test_the_codes_there_are_and_what_they_are_called() -> None:
    assert codes() == ("au", "nz")
    assert rule_set().id == "nz"
    assert rule_set("nz").titled == "New Zealand, v25.12 of 2025-12-01"
    assert rule_set("au").titled == "Australia, 2022 of 2023-05-01"
    assert [zone.id for zone in rule_set("au").zones] == ["N1", "N2", "N3", "N4", "N5", "N6"]


def test_every_file_of_every_code_names_its_bases() -> None:
    """Every basis in a code's folder has a status and, where it was seen, a source that is listed."""

    def rows(value: object) -> Iterator[dict[object, object]]:
        if isinstance(value, dict):
            if "status" in value:
                yield value
            for entry in value.values():
                yield from rows(entry)
        elif isinstance(value, list):
            for entry in value:
                yield from rows(entry)

    counted = 0
    for code in codes():
        for path in catalogues.catalogue_root().joinpath("codes", code).iterdir():
            for row in rows(catalogues.code_data(code, path.name.removesuffix(".yaml"))):
                basis = catalogues.basis_of_row(row, f"{code}/{path.name}")
                assert basis.clause or basis.status is Status.COMMON_PRACTICE, (code, path.name, row)
                counted += 1
    assert counted > 40


def test_a_job_that_names_no_code_is_told_which_was_taken() -> None:
    (finding,) = code_findings(parse_job(job_with("")))
    assert finding.code == "code-not-given"
    assert "New Zealand, v25.12 of 2025-12-01" in finding.text
    assert finding.advice == "Add that of the place to the job: `code: au` or `code: nz`."
    assert code_findings(parse_job(job_with("code: nz"))) == ()


@pytest.mark.parametrize(
    ("top", "words"),
    [
        ("code: na", "code: must be au or nz, got 'na'"),
        ("site: {wind_zone: N3}", "site.wind_zone: must be low, medium, high, very_high or extra_high, got 'N3'; N3 is a zone of code: au"),
        ("code: au\nsite: {wind_zone: high}", "site.wind_zone: must be N1, N2, N3, N4, N5 or N6, got 'high'; high is a zone of code: nz"),
        ("code: au\nsettings: {wind_zone_if_not_given: high}", "must be N1, N2, N3, N4, N5 or N6, got 'high'"),
    ],
)  # fmt: skip
def test_codes_and_zones_are_held_to_those_there_are(top: str, words: str) -> None:
    with pytest.raises(JobError) as raised:
        parse_job(job_with(top))
    assert words in raised.value.faults[0]
    assert len(raised.value.faults) == 1


def test_a_value_of_another_code_is_marked_as_such() -> None:
    settings = default_rules("au")
    assert settings.basis("flashing_cover_a_mm").holds.startswith("New Zealand, taken where the code of Australia is")
    assert settings.basis("flashing_lap_mm").holds == ""
    assert settings.basis("hip_trim_mm").holds == ""  # common practice is nobody's
    nz = default_rules("nz")
    assert nz.basis("flashing_cover_a_mm").holds == ""
    assert nz.basis("screws_end").holds.startswith("Australia, taken where the code of New Zealand is silent")


def test_what_the_job_sets_prevails_over_the_code() -> None:
    job = parse_job(job_with("code: au\nsettings: {flashing_lap_mm: 100}"))
    assert resolve_settings(job).number("flashing_lap_mm") == 100.0
    assert resolve_settings(job).given("flashing_lap_mm")
    assert not default_rules("au").given("flashing_lap_mm")


def test_zones_are_read_across_by_their_gust() -> None:
    """N1 34 m/s is medium (37), N2 40 high (44), N3 50 very high (50); 61 m/s is beyond extra high (55)."""
    nz, au = rule_set("nz"), rule_set("au")
    assert [au.as_zone_of(nz, zone.id) for zone in au.zones] == ["medium", "high", "very_high", None, None, None]
    assert nz.as_zone_of(nz, "low") == "low"


def test_a_country_is_a_folder_of_data(own_catalogue: Path) -> None:
    """A folder with a name, zones and one setting: a job may name it, and what it does not say is the other code's."""
    folder = own_catalogue / "codes" / "xx"
    folder.mkdir()
    folder.joinpath("code.yaml").write_text(
        "name: Elsewhere\nsource: xx1\nedition: first\ndate: '2020-01-01'\nsilent: nz\n"
        "sources: {xx1: a code of elsewhere}\n"
        "wind_basis: {status: seen, source: xx1, clause: '1'}\n"
        "wind_zones: [{id: calm, speed_m_s: 30}, {id: windy, speed_m_s: 44}]\n"
    )
    folder.joinpath("settings.yaml").write_text(
        "wind_zone_if_not_given: {value: windy, of: [calm, windy], status: common_practice}\n"
        "flashing_lap_mm: {value: 210, status: seen, source: xx1, clause: '2'}\n"
    )
    folder.joinpath("sheets.yaml").write_text(
        "end_laps_basis: {status: seen, source: xx1, clause: '3'}\nend_laps: [{lap_mm: 175}]\n"
    )
    assert codes() == ("au", "nz", "xx")
    job = parse_job(job_with("code: xx\nsite: {wind_zone: windy}"))
    settings = resolve_settings(job)
    assert settings.number("flashing_lap_mm") == 210.0
    assert settings.basis("flashing_lap_mm").source == "a code of elsewhere"
    takeoff = pipeline.run(job)
    assert takeoff.order is not None
    assert not takeoff.stopped
    lapped = job.model_copy(update={"site": job.site.model_copy(update={"longest_piece_mm": 3000.0})})
    parts = [piece for sheets in pipeline.run(lapped).roofing.sheets for piece in sheets.pieces if piece.lap_mm > 0.0]
    assert {piece.lap_mm for piece in parts} == {175.0}


@pytest.mark.parametrize(
    ("file", "text", "words"),
    [
        ("settings.yaml", "no_such_thing: {value: 1, status: common_practice}", "no setting of catalogue/settings"),
        ("settings.yaml", "flashing_lap_mm: {value: 1, unit: m, status: common_practice}", "unit is not right"),
        ("settings.yaml", "flashing_lap_mm: {value: 1}", "needs a status"),
        ("sheets.yaml", "end_laps: [{lap_mm: 1}]", "needs a status"),
        ("sheets.yaml", "end_laps: [{lap: 1, status: memory}]", "unknown field lap"),
        ("screws.yaml", "rows: [{family: a, bmt_mm: 1, end: Z, internal: Z, status: memory}]", "no pattern Z"),
        ("screws.yaml", "rows: [{family: a, bmt_mm: 1, by_zone: [none], status: memory}]", "for each wind zone"),
        ("flashings.yaml", "categories: [{zones: [gale], category: a, status: memory}]", "no wind zone gale"),
    ],
)
def test_faulty_data_of_a_code_is_refused(own_catalogue: Path, file: str, text: str, words: str) -> None:
    own_catalogue.joinpath("codes", "au", file).write_text(text)
    with pytest.raises(TakeoffError, match=words):
        (rule_set("au"), default_settings("au"))


def test_settings_keep_their_rules_when_one_is_changed() -> None:
    settings = default_rules("au")
    assert replace(settings, values={}).rules is settings.rules
    assert settings.watched().rules.id == "au"
