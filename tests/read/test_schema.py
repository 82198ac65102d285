"""The schema that editors use is the one the program checks with."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from takeoff.basics.files import template_path
from takeoff.read.catalogue import default_settings, load_catalogue
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


def held(schema: dict[str, Any], where: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every key that the schema names, with what it says of it."""
    for key, value in schema.get("properties", {}).items():
        yield f"{where}.{key}", value
        yield from held(value, f"{where}.{key}")
    for name, part in schema.get("$defs", {}).items():
        yield from held(part, name)


def test_every_key_has_a_description() -> None:
    assert [name for name, says in held(json.loads(job_schema_text())) if not says.get("description")] == []


def test_settings_are_enumerated_with_their_types() -> None:
    settings = json.loads(job_schema_text())["properties"]["settings"]
    assert set(settings["properties"]) == set(default_settings())
    assert settings["additionalProperties"] is False
    assert settings["properties"]["fascia_kind"]["enum"] == ["by_gutter", "board", "metal", "none"]
    assert settings["properties"]["hip_trim_mm"]["maximum"] == 500


@pytest.mark.parametrize(
    ("section", "path"),
    [
        ({"settings": {"hip_trim": 3}}, "hip_trim"),
        ({"settings": {"fascia_kind": "steel"}}, "steel"),
        ({"settings": {"hip_trim_mm": 501}}, "501"),
        ({"settings": {"buy_raked_pairs": 7}}, "7"),
        ({"settings": {"purlin_section": "70 by 45"}}, "70 by 45"),
        ({"flashings": {"rige": "ridge"}}, "rige"),
    ],
)
def test_an_editor_refuses_what_the_program_refuses(section: dict[str, Any], path: str) -> None:
    job = as_json(JOBS[0])
    assert isinstance(job, dict)
    with pytest.raises(jsonschema.ValidationError, match=path):
        jsonschema.validate({**job, **section}, json.loads(job_schema_text()))


def test_products_are_offered_and_names_of_the_job_taken() -> None:
    parts = json.loads(job_schema_text())["$defs"]
    profile = parts["CoveringJob"]["properties"]["profile"]["anyOf"]
    assert profile[0]["enum"] == list(load_catalogue().profiles)
    assert profile[1]["type"] == "string"
    assert parts["UnderlayJob"]["properties"]["roll"]["anyOf"][0]["enum"] == [
        roll.id for roll in load_catalogue().rolls.values() if roll.use == "roof"
    ]
    board = parts["ZoneJob"]["properties"]["board"]["anyOf"]
    assert any("$ref" in choice for choice in board)  # a board of the job's own, by width and cover


def test_an_editor_refuses_an_unknown_key() -> None:
    job = as_json(JOBS[0])
    assert isinstance(job, dict)
    job["roofs"][0]["pich_deg"] = 3
    with pytest.raises(jsonschema.ValidationError, match="pich_deg"):
        jsonschema.validate(job, json.loads(job_schema_text()))
