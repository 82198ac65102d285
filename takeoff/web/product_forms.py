"""Products of one's own as forms: what a record of the job or the office file asks for, and what was typed into it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.model.job.products import ProfileJob
from takeoff.model.job_edits import Edit
from takeoff.model.office import Office
from takeoff.model.own_products import OwnBoard, OwnDownpipe, OwnFlashing, OwnGutter, OwnProfile, OwnRoll
from takeoff.read.job.field_words import fault_words
from takeoff.web.tank_edits import figure, part_of
from takeoff.web.wall_edits import tidy
from takeoff.write.words.words import name_words

# what may be given, by the section of the file that holds it
OF_JOB: Mapping[str, type[BaseModel]] = {"profiles": ProfileJob}
OF_OFFICE: Mapping[str, type[BaseModel]] = {
    "profiles": OwnProfile, "boards": OwnBoard, "gutters": OwnGutter, "downpipes": OwnDownpipe, "rolls": OwnRoll,
    "flashings": OwnFlashing,
}  # fmt: skip
_UNITS = ("mm2", "mm", "deg", "m2")
NUMBER, WORD, CHOICE, FLAG, LIST, BY_THICKNESS = "number", "word", "choice", "flag", "list", "by thickness"


@record
class Asked:
    """A field of a form: its name in the file, its words, how it is typed, whether it must be given."""

    name: str
    words: str
    says: str
    unit: str
    how: str
    needed: bool
    choices: tuple[str, ...] = ()


def asked_fields(model: type[BaseModel]) -> list[Asked]:
    """The fields of a record, as its schema has them, those that must be given first."""
    schema = model.model_json_schema()
    needed = frozenset(schema.get("required", ()))
    found = [
        _asked(name, _plain(row, schema), str(row.get("description", "")), name in needed)
        for name, row in schema["properties"].items()
    ]
    return sorted(found, key=lambda asked: not asked.needed)


def _plain(row: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    """A field's own schema: without the none that may stand for it, and with what it refers to."""
    kinds = [one for one in row.get("anyOf", [row]) if one.get("type") != "null"]
    named = str(kinds[0].get("$ref", "")).rpartition("/")[2]
    return dict(schema["$defs"][named]) if named else dict(kinds[0])


def _asked(key: str, row: dict[str, Any], says: str, needed: bool) -> Asked:
    unit = next((end for end in _UNITS if key.endswith(f"_{end}")), "")
    words = name_words(key.removesuffix(f"_{unit}") if unit else key)
    how = {"number": NUMBER, "integer": NUMBER, "boolean": FLAG, "array": LIST, "object": BY_THICKNESS}
    kind = CHOICE if "enum" in row else how.get(str(row.get("type")), WORD)
    return Asked(key, words, says or str(row.get("description", "")), unit, kind, needed, tuple(row.get("enum", ())))


def own_product(group: str, model: type[BaseModel], key: str, typed: Mapping[str, str]) -> Edit:
    """A product as typed, put into its section under a name. Raises UsageError with all that is missing or wrong."""
    if not key.strip():
        raise UsageError("give it a name that the job calls it by, as our_board.")
    row: dict[str, Any] = {}
    faults: list[str] = []
    for asked in asked_fields(model):
        text = typed.get(asked.name, "").strip()
        if not text:
            faults += [f"{asked.words}: must be given ({asked.says})."] if asked.needed else []
            continue
        try:
            row[asked.name] = _value(asked, text)
        except UsageError as err:
            faults += [str(fault) for fault in err.faults]
    faults = faults or list(_wrong(model, row))
    if faults:
        raise UsageError(*faults)
    return Edit((group, key.strip()), row)


def _wrong(model: type[BaseModel], row: dict[str, Any]) -> Iterator[str]:
    """What the record itself refuses, in the words of the file's reader."""
    try:
        model.model_validate(row, strict=False)
    except ValidationError as err:
        for error in err.errors(include_url=False):
            path = tuple(part for part in error["loc"] if isinstance(part, str | int))
            name = str(path[0]) if path else ""
            yield f"{name_words(name)}: {fault_words(error, path, row.get(name), row, model)}."


def _value(asked: Asked, text: str) -> object:
    if asked.how == NUMBER:
        return tidy(figure(text, asked.words))
    if asked.how == FLAG:
        return text == "true"
    if asked.how == LIST:
        return [tidy(figure(word, asked.words)) for word in text.replace(",", " ").split()]
    if asked.how == BY_THICKNESS:
        return dict(_pair(asked, part) for part in text.replace(",", " ").replace(": ", ":").split())
    return text


def _pair(asked: Asked, part: str) -> tuple[str, float | int]:
    first, mark, second = part.partition(":")
    if not mark:
        raise UsageError(f"{asked.words}: type thickness and mass, as 0.40:3.2 0.55:4.4.")
    return f"{figure(first, asked.words):g}", tidy(figure(second, asked.words))


def own_names(tree: Any, group: str) -> tuple[str, ...]:
    """Names of the products of a section as typed."""
    return tuple(str(name) for name in part_of(tree, group))


def office_groups() -> tuple[str, ...]:
    """Sections of the office file that a product may be given in."""
    return tuple(group for group in OF_OFFICE if group in Office.model_fields)
