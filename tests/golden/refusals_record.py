"""What is said of broken jobs, recorded with the samples: python tests/golden/samples_record.py

Regression texts, not check values. Three broken jobs for each part of the schema: every key of it once with a wrong
kind, once beyond its bound, once with its name misspelt. A key that joins the schema joins the record. Then settings,
and jobs whose keys are right by themselves and clash (CLASHES), jobs whose text is none (TEXTS). Below each fault
stand the cures that are offered for it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any
from zlib import crc32

import yaml
from broken_jobs import CLASHES, SOUND, TEXTS, WHOLE

from takeoff.basics.errors import JobError
from takeoff.model.value_types import ValueKind
from takeoff.read.catalogue import default_settings
from takeoff.read.job.cures import cures_of
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.schema import job_schema
from takeoff.read.job.yaml_tree import read_yaml

RECORD = Path(__file__).with_name("refusals.txt")
Place = tuple[str | int, ...]
_HOW = ("wrong kind", "beyond its bound", "misspelt")
_NONE = object()
_WRONG: Mapping[str, Any] = {
    "number": "wide", "integer": 1.5, "string": [7], "boolean": "often", "array": "both", "object": 3,
}  # fmt: skip


def refusals() -> str:
    """What is said of every broken job, as the record holds it."""
    return "".join(f"== {title}\n{said(text)}\n" for title, text in broken_jobs())


def said(text: str) -> str:
    """The faults of a job, a line each, the cures of each below it."""
    try:
        parse_job(text)
    except JobError as err:
        value = read_yaml(text).value
        return "\n".join(line for fault in err.faults for line in (fault, *_cures(fault, value, text)))
    return "taken as sound"


def _cures(fault: str, value: object, text: str) -> Iterator[str]:
    for cure in cures_of(fault, value, file_text=text):
        yield f"    cure: {cure.words} {[(edit.path, edit.value) for edit in cure.edits]}"


def broken_jobs() -> Iterator[tuple[str, str]]:
    """(what is broken, the job's text)."""
    schema = job_schema()
    places: dict[str, Place] = {}
    _find_parts(schema, schema, WHOLE, (), places)
    missing = sorted(name for name, part in schema["$defs"].items() if "properties" in part and name not in places)
    assert not missing, f"tests/golden/broken_jobs.py: WHOLE has none of {', '.join(missing)}"
    for name, place in {"Job": (), **places}.items():
        part = schema if name == "Job" else schema["$defs"][name]
        for how in _HOW:
            broken = _with_broken(schema, part, place, how)
            if broken is not None:
                yield f"{name}: every key {how}", broken
    yield from _settings()
    for title, changes in CLASHES.items():
        yield title, _text(_merged(SOUND, changes))
    yield from TEXTS.items()


def _find_parts(schema: Any, held: Any, value: Any, at: Place, places: dict[str, Place]) -> None:
    """Where the whole job has the first of each part of the schema."""
    for one in (held, *held.get("anyOf", ())):
        name = one.get("$ref", "").rpartition("/")[2]
        if name and isinstance(value, dict):
            places.setdefault(name, at)
            one = schema["$defs"][name]
        for key, kept in one.get("properties", {}).items():
            if isinstance(value, dict) and key in value:
                _find_parts(schema, kept, value[key], (*at, key), places)
        if isinstance(value, list) and "items" in one:
            for k, each in enumerate(value):
                _find_parts(schema, one["items"], each, (*at, k), places)
        if isinstance(value, dict) and isinstance(one.get("additionalProperties"), dict):
            for key, each in value.items():
                _find_parts(schema, one["additionalProperties"], each, (*at, key), places)


def _with_broken(schema: Any, part: Any, place: Place, how: str) -> str | None:
    """The whole job with every key of the part at a place broken in one way; None where no key can be."""
    job = json.loads(json.dumps(WHOLE))
    held = job
    for key in place:
        held = held[key]
    broken = 0
    for key, rule in part["properties"].items():
        if how == "misspelt":
            value = held.pop(key, None)
            held[_misspelt(key)] = 1 if value is None else value
            broken += 1
            continue
        value = _wrong(schema, rule) if how == "wrong kind" else _beyond(schema, rule)
        if value is not _NONE:
            held[key] = value
            broken += 1
    return _text(job) if broken else None


def _misspelt(key: str) -> str:
    return f"{key[:2]}{key[3:4]}{key[2:3]}{key[4:]}" if key[2:3] != key[3:4] else f"{key}x"


def _rules(schema: Any, rule: Any) -> Iterator[Any]:
    for one in (rule, *rule.get("anyOf", ())):
        name = one.get("$ref", "").rpartition("/")[2]
        yield schema["$defs"][name] if name else one


def _wrong(schema: Any, rule: Any) -> Any:
    """A value of another kind."""
    for one in _rules(schema, rule):
        if "enum" in one:
            return "sideways"
        if one.get("type") in _WRONG:
            return _WRONG[one["type"]]
    return _NONE


def _beyond(schema: Any, rule: Any) -> Any:
    """A value of the right kind just beyond a bound: the upper one first."""
    for one in _rules(schema, rule):
        for bound, step in (("maximum", 1), ("minimum", -1), ("exclusiveMinimum", 0)):
            if bound in one:
                return one[bound] + step
        if one.get("type") == "string" and "maxLength" in one:
            return "x" * (one["maxLength"] + 1)
        if one.get("type") == "string" and "pattern" in one:
            return "70 by 45"
        if one.get("minItems"):
            return []
        if one.get("additionalProperties") not in (None, False, True):
            inner = _beyond(schema, one["additionalProperties"])
            if inner is not _NONE:
                return {"1": inner}
    return _NONE


def _settings() -> Iterator[tuple[str, str]]:
    """Every setting: a value of another kind; above its most; below its least; the names of some misspelt."""
    every = default_settings()
    kinds = {name: setting.type for name, setting in every.items()}
    numbers = {name: kind for name, kind in kinds.items() if kind.kind is ValueKind.NUMBER}
    jobs = {
        "a wrong kind": {name: "wide" if name in numbers else 7 for name in every},
        "above the most": {name: kind.most + 1 for name, kind in numbers.items() if kind.most is not None},
        "below the least": {name: kind.least - 1 for name, kind in numbers.items() if kind.least is not None},
        "not whole": {name: (kind.least or 0) + 0.5 for name, kind in numbers.items() if kind.whole},
        "a word that is none": {name: "sideways" for name in every if name not in numbers},
        "one in eight misspelt": {
            _misspelt(name): setting.value for name, setting in every.items() if crc32(name.encode()) % 8 == 0
        },
    }
    for title, values in jobs.items():
        yield f"settings: {title}", _text({**SOUND, "settings": values})


def _merged(held: Any, changes: Any) -> Any:
    """A part of a job with other values put in; a list is taken over whole."""
    if not isinstance(held, dict) or not isinstance(changes, dict):
        return changes
    merged = {**held, **{key: _merged(held.get(key), value) for key, value in changes.items()}}
    return {key: value for key, value in merged.items() if value is not None}


class _Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Writes a value out wherever it stands: a job has no aliases."""

    def ignore_aliases(self, _data: object) -> bool:
        """Always."""
        return True


def _text(job: Any) -> str:
    return yaml.dump(job, Dumper=_Dumper, sort_keys=False, width=100, allow_unicode=True)


def main() -> None:
    """Record what is said of every broken job as it is now."""
    RECORD.write_text(refusals(), encoding="utf-8", newline="\n")
