"""The office file -> Office, with every fault of a level told at once, each with its line and column.

It lies beside the job as office.yaml, or is named. Levels as in a job file: syntax, fields, references.
"""

from __future__ import annotations

import json
from pathlib import Path
from string import Formatter

from pydantic import ValidationError

from takeoff.basics.errors import JobError, UnreadableFileError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.regular_files import read_bounded
from takeoff.model.office import NUMBER_FIELDS, Office
from takeoff.read.job.job_file import field_faults, placed_fault
from takeoff.read.job.ordering_references import delivery_faults
from takeoff.read.job.settings import setting_faults
from takeoff.read.job.yaml_tree import MOST_BYTES, read_yaml
from takeoff.read.job.yaml_tree import Path as TreePath
from takeoff.read.office.own_faults import product_faults, table_faults

OFFICE_FILE = "office.yaml"


def find_office(folder: Path, given: Path | None = None) -> Office | None:
    """The office file that is named, else the one in a job's folder; None where there is none. Raises JobError with
    every fault of a level, UnreadableFileError for a file that is named and cannot be read."""
    path = folder / OFFICE_FILE if given is None else given
    if given is None and not path.is_file():
        return None
    if path.is_dir():
        path = path / OFFICE_FILE
    try:
        text = read_bounded(path, MOST_BYTES, "office file").decode("utf-8-sig")
    except UnicodeDecodeError as err:
        raise UnreadableFileError(f"{path}: byte {err.start} is not UTF-8 text; save the file as UTF-8") from None
    return parse_office(text, path.name)


def parse_office(text: str, name: str = OFFICE_FILE) -> Office:
    """Check an office file given as text; `name` stands before line and column in messages. Raises JobError."""
    tree = read_yaml(text)
    if tree.faults:
        raise JobError(*(f"{name}:{line}:{column}: {fault}" for line, column, fault in tree.faults))
    if tree.value is None:
        return Office()
    if not isinstance(tree.value, dict):
        raise JobError(f"{name}:1:1: an office file is a list of keys and values: the firm, its suppliers, its rates")
    try:
        office = Office.model_validate_json(json.dumps(tree.value))
    except ValidationError as err:
        raise JobError(*field_faults(err.errors(include_url=False), tree, name, Office)) from None
    faults = office_faults(office)
    if faults:
        raise JobError(*(placed_fault(tree, name, path, fault) for path, fault in faults))
    return office


def office_faults(office: Office) -> list[tuple[TreePath, str]]:
    """All faults of an office file whose fields are right by themselves. (path, sentence) each."""
    faults: list[tuple[TreePath, str]] = []
    for delivery, supplier in office.suppliers.items():
        faults += delivery_faults(("suppliers",), [delivery])
        faults += [(("suppliers", delivery, "order_number"), fault) for fault in _pattern_faults(supplier.order_number)]
    if office.rates is not None:
        faults += delivery_faults(("rates", "extra_percent"), office.rates.extra_percent)
    faults += product_faults(office) + table_faults(office.tables)
    return faults + setting_faults(office.settings, office=office)


def _pattern_faults(pattern: str) -> list[str]:
    """What is wrong with a pattern of order numbers."""
    known = ", ".join(f"{{{name}}}" for name in NUMBER_FIELDS)
    try:
        named = [(name, spec, how) for _, name, spec, how in Formatter().parse(pattern) if name is not None]
    except ValueError:
        return [f"has a brace that is not closed, or one too many; what may stand between braces: {known}"]
    return [
        f"unknown field {{{name}}}{did_you_mean(name, NUMBER_FIELDS, f'; known: {known}')}"
        for name, spec, how in named
        if name not in NUMBER_FIELDS or spec or how
    ]
