"""The job file -> Job, with every fault of a level told at once, each with its line and column.

Levels: syntax (is it YAML?), fields (keys and types), references (edges, products, walls that are named). A level is
only looked at when the one before it is clean, since its faults would follow from those. Faults of geometry come from
the shape stage.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from takeoff.basics.errors import Fault, JobError, UnreadableFileError
from takeoff.basics.regular_files import read_bounded
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.read.job.field_words import fault_words
from takeoff.read.job.job_references import reference_faults
from takeoff.read.job.yaml_tree import MOST_BYTES, YamlTree, place_of, read_yaml
from takeoff.read.job.yaml_tree import Path as TreePath

IN_FOLDER = "job.yaml"


def job_path(path: Path) -> Path:
    """The job file that a path means: itself, or job.yaml in a folder; UnreadableFileError where a folder has none."""
    if not path.is_dir():
        return path
    if not (path / IN_FOLDER).is_file():
        raise UnreadableFileError(f"{path}: no {IN_FOLDER} is in this folder; name the job file")
    return path / IN_FOLDER


def read_text(path: Path) -> str:
    """The text of a job file. Raises UnreadableFileError when it is missing, too large or not UTF-8."""
    try:
        return read_bounded(path, MOST_BYTES, "job").decode("utf-8-sig")
    except UnicodeDecodeError as err:
        raise UnreadableFileError(f"{path}: byte {err.start} is not UTF-8 text; save the file as UTF-8") from None


def read_job(path: Path | str) -> Job:
    """Read and check a job file, or job.yaml in a folder. Raises JobError (all faults of one level) or
    UnreadableFileError."""
    found = job_path(Path(path))
    return parse_job(read_text(found), found.name)


def parse_job(text: str, name: str = "job.yaml", office: Office | None = None) -> Job:
    """Check a job given as text, beside what its office says; `name` stands before line and column in messages. Raises
    JobError."""
    tree = read_yaml(text)
    if tree.faults:
        raise JobError(*(f"{name}:{line}:{column}: {fault}" for line, column, fault in tree.faults))
    if not isinstance(tree.value, dict):
        raise JobError(f"{name}:1:1: a job is a list of keys and values, beginning with `job: its name`")
    try:
        job = Job.model_validate_json(json.dumps(tree.value))
    except ValidationError as err:
        raise JobError(*field_faults(err.errors(include_url=False), tree, name)) from None
    faults = reference_faults(job, office)
    if faults:
        raise JobError(*(placed_fault(tree, name, path, fault) for path, fault in faults))
    return job


def check_job(job: Job, office: Office | None = None) -> None:
    """Check a job made in a script, or one with outlines from drawings in it, as one from a file is. Raises JobError
    with every fault of its references."""
    faults = reference_faults(job, office)
    if faults:
        held = YamlTree(json.loads(job.model_dump_json()))
        texts = (": ".join(part for part in (path_words(path, held), fault) if part) for path, fault in faults)
        raise JobError(*(Fault(text, *path) for text, (path, _) in zip(texts, faults, strict=True)))


def placed_fault(tree: YamlTree, name: str, path: TreePath, fault: str) -> str:
    """A fault with the file's name, line and column and its path in words before it."""
    line, column = place_of(tree.places, path)
    where = path_words(path, tree)
    return f"{name}:{line}:{column}: {where}: {fault}" if where else f"{name}:{line}:{column}: {fault}"


def path_words(path: TreePath, tree: YamlTree) -> str:
    """A path as a person counts: roofs[1].edges[5].kind, lists from 1; numbers that are keys stay as typed."""
    words = ""
    for depth, part in enumerate(path):
        if part == "<key>":
            continue
        if isinstance(part, int):
            counted = part if isinstance(_held(tree, path[:depth]), dict) else part + 1
            words += f"[{counted}]"
        else:
            words += f".{part}" if words else part
    return words


def _held(tree: YamlTree, path: TreePath) -> Any:
    """What stands in the file at a path, None for nothing."""
    value: Any = tree.value
    for part in path:
        if isinstance(value, dict):
            value = value.get(part)
        elif isinstance(value, list) and isinstance(part, int) and part < len(value):
            value = value[part]
        else:
            return None
    return value


def field_faults(errors: list[ErrorDetails], tree: YamlTree, name: str, root: type[BaseModel] = Job) -> list[str]:
    """What is wrong with the fields of a file whose model is `root`, each with its line and column."""
    placed: dict[tuple[int, int, str], None] = {}
    for error in errors:
        path, value = _tree_path(error["loc"], tree)
        if not _worth_saying(error, value):
            continue
        on_key = error["type"] == "extra_forbidden" or error["loc"][-1:] == ("[key]",)
        line, column = place_of(tree.places, (*path, "<key>") if on_key else path)
        words = fault_words(error, path, value, _held(tree, path[:-1]), root)
        placed[(line, column, f"{name}:{line}:{column}: {path_words(path, tree)}: {words}")] = None
    return [text for _, _, text in sorted(placed)]


def _tree_path(loc: tuple[int | str, ...], tree: YamlTree) -> tuple[TreePath, Any]:
    """The part of a pydantic location that stands in the file, and the value there; a missing key is put on the end.

    Names of union members are dropped; whole-number keys come back as text from JSON and are turned into numbers.
    """
    path: list[str | int] = []
    value: Any = tree.value
    missing: str | int | None = None
    for part in loc:
        if isinstance(value, dict):
            key: str | int = int(part) if isinstance(part, str) and part.lstrip("-").isdigit() else part
            if key in value or part in value:
                key = key if key in value else part
                path.append(key)
                value = value[key]
                continue
        elif isinstance(value, list) and isinstance(part, int) and part < len(value):
            path.append(part)
            value = value[part]
            continue
        if part == "[key]":
            continue
        missing = part
    if isinstance(value, dict) and isinstance(missing, str) and missing.islower():
        path.append(missing)
    return tuple(path), value


def _worth_saying(error: ErrorDetails, value: Any) -> bool:
    """A union reports every member it tried: keep the one that fits what was written."""
    members = [part for part in error["loc"] if isinstance(part, str) and ("constrained" in part or part == "BoardJob")]
    if not members:
        return True
    wants_mapping = members[-1] == "BoardJob"
    inside = error["type"] in ("missing", "extra_forbidden") or error["loc"][-1] != members[-1]
    return wants_mapping and inside if isinstance(value, dict) or inside else not wants_mapping
