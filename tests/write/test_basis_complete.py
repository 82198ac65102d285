"""The page of bases names every setting that was really asked for: asked again by a spy that knows nothing of it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from takeoff import pipeline
from takeoff.model.basis import Setting, Status
from takeoff.model.supplied import SiteMeasure
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.write.files import write_all

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


class Spy:
    """A setting that tells when its value or its basis is looked at."""

    def __init__(self, setting: Setting, seen: set[str]) -> None:
        self._setting, self._seen = setting, seen

    def __getattr__(self, name: str) -> Any:
        if name in ("value", "basis"):
            self._seen.add(self._setting.name)
        return getattr(self._setting, name)


@pytest.mark.parametrize("sample", ["homestead", "mesh_house", "cottage_with_flue"])
def test_basis_names_every_setting_that_was_read(sample: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = SAMPLES / sample / "job.yaml"
    takeoff = pipeline.run_file(job)
    assert takeoff.order is not None
    write_all(takeoff, tmp_path)
    sheet = openpyxl.load_workbook(tmp_path / "order_sheet.xlsx")["Basis"]
    text = " ".join(str(cell) for row in sheet.iter_rows(values_only=True) for cell in row if cell is not None)
    printed = set(text.replace(";", " ").split())

    seen: set[str] = set()
    monkeypatch.setattr(
        pipeline,
        "resolve_settings",
        lambda job, office: replace(
            resolve_settings(job, office),
            values={name: Spy(s, seen) for name, s in resolve_settings(job, office).values.items()},  # type: ignore[misc]
        ),
    )
    spied = pipeline.run_file(job)
    assert {name for used in spied.used for name in used.settings} == seen
    assert seen <= printed
    assert (set(takeoff.settings.values) & printed) == seen  # and nothing that was not read
    remembered = {name for name in seen if takeoff.settings.values[name].basis.status is Status.MEMORY}
    assert remembered <= {row[0] for row in sheet.iter_rows(values_only=True)}  # a row each
    assert sheet.max_row < 260


def test_a_withheld_order_names_what_its_making_asked_for_too(tmp_path: Path) -> None:
    """A piece that no length gives withholds the order; the result names what its making asked for all the same."""
    house = "wall_line: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]], eave_overhang_mm: 600, pitch_deg: 25"
    text = f"job: x\nroofs: [{{{house}}}]\nsettings: {{useful_offcut_mm: 950%s}}\n"
    whole, withheld = (pipeline.run(parse_job(text % more)) for more in ("", ", purlin_least_piece_mm: 50000"))
    assert whole.order is not None
    assert withheld.order is None
    assert withheld.stopped
    write_all(withheld, tmp_path)
    assert "useful_offcut_mm" in json.loads((tmp_path / "takeoff.json").read_text(encoding="utf-8"))["used"]["order"]
    said = {used.stage: set(used.settings) for used in withheld.used}
    made = {used.stage: set(used.settings) for used in whole.used}
    assert len(withheld.used) == len(said)  # a row a stage
    assert made["order"] - said["order"] == set()


def test_what_is_written_asks_for_no_setting_of_its_own(tmp_path: Path) -> None:
    """Drawings and sheets name settings that a stage before them asked for, so none is missing from the basis."""
    takeoff = pipeline.run_file(SAMPLES / "homestead" / "job.yaml")
    watched = takeoff.settings.watched()
    write_all(replace(takeoff, settings=watched), tmp_path)
    assert set(watched.used) <= {name for used in takeoff.used for name in used.settings}


@pytest.mark.parametrize("sample", ["homestead", "cottage_with_flue"])
def test_every_run_says_why_it_is_as_long_as_it_is(sample: str) -> None:
    takeoff = pipeline.run_file(SAMPLES / sample / "job.yaml", until=pipeline.Stage.MEASURE)
    needs = (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs)
    silent = [demand.id for need in needs for demand in need.demands if not demand.working.terms]
    assert silent == []


def test_a_measured_frame_rewrites_no_setting() -> None:
    drawn = pipeline.run_file(SAMPLES / "hip_12x8" / "job.yaml", until=pipeline.Stage.MEASURE)
    plane = drawn.roofs[0].planes[0]
    taped = (SiteMeasure(plane.id, "eave", 12005.0),)
    built = pipeline.run_file(SAMPLES / "hip_12x8" / "job.yaml", until=pipeline.Stage.MEASURE, taped=taped)
    assert built.settings == drawn.settings
    assert "measured_square_deg" in built.roofing.used
    assert "measured_square_deg" not in drawn.roofing.used
    assert built.job_hash != drawn.job_hash
