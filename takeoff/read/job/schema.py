"""The JSON schema of the job file, for editors that complete and check YAML as it is typed.

It is the schema the job is checked with, and what the catalogue adds to it: settings by name, each with its type, and
the ids of products, so that an editor offers them.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from takeoff.model.basis import Setting
from takeoff.model.job.job import Job
from takeoff.model.value_types import PATTERNS, ValueKind
from takeoff.read.catalogue import codes, default_settings, load_catalogue
from takeoff.read.codes import rule_set

# key of a job -> group of the catalogue it names a product of, and the use of a roll
_NAMES_PRODUCT = {
    ("CoveringJob", "profile"): ("profiles", ""),
    ("ZoneJob", "board"): ("boards", ""),
    ("WallsJob", "wrap"): ("rolls", "wall"),
    ("UnderlayJob", "roll"): ("rolls", "roof"),
    ("RainwaterJob", "gutter"): ("gutters", ""),
    ("RainwaterJob", "downpipe"): ("downpipes", ""),
}


def job_schema_text() -> str:
    """The schema as it stands in templates/job.schema.json, byte for byte."""
    return json.dumps(job_schema(), indent=1, ensure_ascii=False) + "\n"


def job_schema() -> dict[str, Any]:
    """The schema as a value. Every key has a description; settings and their words are enumerated; a key that names a
    product takes an id of the catalogue, or a name that the job gives."""
    schema = Job.model_json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Job of a roof and cladding takeoff"
    for (part, key), (group, use) in _NAMES_PRODUCT.items():
        held = schema["$defs"][part]["properties"][key]
        names = {"enum": _ids(group, use)}
        others = held.pop("anyOf", None) or [{key: held.pop(key) for key in ("type", "minLength", "maxLength")}]
        held["anyOf"] = [names, *others]
    _flashings(schema["properties"]["flashings"])
    _one_of(schema["properties"]["code"], codes())
    _one_of(schema["$defs"]["Site"]["properties"]["wind_zone"], (z.id for c in codes() for z in rule_set(c).zones))
    settings = schema["properties"]["settings"]
    settings["additionalProperties"] = False
    settings["properties"] = {name: _setting(setting) for name, setting in default_settings().items()}
    return schema


def _one_of(held: dict[str, Any], words: Iterable[str]) -> None:
    """Hold a text that may be left out to some words."""
    held["anyOf"] = [{"enum": list(words)}, {"type": "null"}]


def _ids(group: str, use: str = "") -> list[str]:
    products: Iterable[Any] = getattr(load_catalogue(), group).values()
    return [product.id for product in products if not use or product.use == use]


def _flashings(held: dict[str, Any]) -> None:
    by_kind: dict[str, list[str]] = {}
    for product in load_catalogue().flashings.values():
        by_kind.setdefault(product.edge_kind, []).append(product.id)
    held["additionalProperties"] = False
    held["properties"] = {
        kind.replace(" ", "_"): {
            "description": f"flashing of every {kind}",
            "anyOf": [{"enum": ids}, {"type": "string"}],
        }
        for kind, ids in by_kind.items()
    }


def _setting(setting: Setting) -> dict[str, Any]:
    unit = f" [{setting.unit}]" if setting.type.kind is ValueKind.NUMBER else ""
    return {
        "description": f"{setting.says}{unit}: {setting.basis.words()}",
        "default": setting.value,
        **_type(setting),
    }


def _type(setting: Setting) -> dict[str, Any]:
    kind = setting.type.kind
    if kind is ValueKind.NUMBER:
        word = "integer" if setting.type.whole else "number"
        return {"type": word, "minimum": setting.type.least, "maximum": setting.type.most}
    if kind is ValueKind.FLAG:
        return {"type": "boolean"}
    if setting.type.words:
        return {"enum": list(setting.type.words)}
    return {"type": "string", "pattern": f"^{PATTERNS[kind]}$"}
