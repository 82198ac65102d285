"""The schema that editors use is the one the program checks with."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
import yaml

from takeoff.basics.files import template_path
from takeoff.read.job.schema import job_schema_text

ROOT = Path(__file__).resolve().parents[2]
JOBS = [*sorted(ROOT.glob("geometry_samples/*/job.yaml")), ROOT / "templates" / "starter.yaml"]


def as_json(path: Path) -> object:
    """A job as an editor's YAML server sees it: keys are text, dates are text."""
    return json.loads(json.dumps(yaml.safe_load(path.read_text(encoding="utf-8")), default=str))


def test_the_schema_in_templates_is_current() -> None:
    assert template_path("job.schema.json").read_text(encoding="utf-8") == job_schema_text()


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.parent.name)
def test_an_editor_accepts_what_the_program_accepts(path: Path) -> None:
    jsonschema.validate(as_json(path), json.loads(job_schema_text()))


def test_an_editor_refuses_an_unknown_key() -> None:
    job = as_json(JOBS[0])
    assert isinstance(job, dict)
    job["roofs"][0]["pich_deg"] = 3
    with pytest.raises(jsonschema.ValidationError, match="pich_deg"):
        jsonschema.validate(job, json.loads(job_schema_text()))
