"""A house of a map -> its job: its outline, its attributes, and for the rest the job it is to be like."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from takeoff.basics.errors import JobError, UsageError
from takeoff.basics.records import record
from takeoff.model.estate import EstateHouse
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.read.estates.attributes import EDGE_IS, attribute_place
from takeoff.read.job.job_file import parse_job, read_job
from takeoff.shape.imported.drawn.drawn_outlines import drawn_roof

_SHAPE_KEYS = ("wall_line", "outline", "courtyards", "shape", "mesh", "edges", "below")
UNITS = ("mm", "cm", "m", "in", "ft")


@record
class Like:
    """What houses of a map have in common: the unit of their coordinates, which line is drawn, and a job as a tree of
    its keys, without the outline of its roof."""

    unit: str
    edge_is: str
    job: Mapping[str, Any]
    roof: Mapping[str, Any]


def like_job(path: Path | None, unit: str) -> Like:
    """The pattern of a job file of one roof; without one, nothing but the unit. Raises JobError, UnreadableFileError
    and UsageError."""
    if unit not in UNITS:
        raise UsageError(f"--unit {unit}: coordinates are in {', '.join(UNITS)}")
    if path is None:
        return Like(unit, "outline", {}, {})
    job = read_job(path)
    if len(job.roofs) != 1:
        raise JobError(f"{path}: has {len(job.roofs)} roofs; a job that others are like has one")
    tree = job.model_dump(mode="json", exclude_unset=True, exclude={"job", "roofs"})
    roof = job.roofs[0].model_dump(mode="json", exclude_unset=True, exclude=set(_SHAPE_KEYS))
    return Like(unit, "wall_line" if job.roofs[0].wall_line is not None else "outline", tree, roof)


def house_job(house: EstateHouse, like: Like) -> tuple[Job, tuple[Finding, ...]]:
    """The job of a house of a map, its outline in it as if it had been typed, and what is said of that.

    Raises JobError with every attribute that cannot be, and what `drawn_roof` raises.
    """
    assert house.drawing is not None
    tree, roof, edge_is = _filled(house, like)
    shape = {"file": house.drawing.came_from, "unit": like.unit, "edge_is": edge_is}
    job = _checked({**tree, "job": house.name, "roofs": [{**roof, "shape": shape}]}, house.name)
    drawn, said = drawn_roof(job.roofs[0], house.drawing)
    return job.model_copy(update={"roofs": [drawn]}), said


def _filled(house: EstateHouse, like: Like) -> tuple[dict[str, Any], dict[str, Any], object]:
    """The trees of job and roof with the attributes put in, and which line is drawn."""
    tree: dict[str, Any] = {key: dict(held) if isinstance(held, dict) else held for key, held in like.job.items()}
    roof: dict[str, Any] = dict(like.roof)
    covering = dict(roof.get("covering", {}))
    edge_is: object = like.edge_is
    for name, value in house.attributes:
        room, *keys = attribute_place(name)
        if room == "own":
            edge_is = value if name == EDGE_IS else edge_is
        elif room == "job":
            _put(tree, keys, value)
        else:
            _put(roof if room == "roof" else covering, keys, value)
    if covering:
        roof["covering"] = covering
    return tree, roof, edge_is


def _put(tree: dict[str, Any], keys: list[str], value: object) -> None:
    for key in keys[:-1]:
        held = tree.get(key)
        tree[key] = dict(held) if isinstance(held, dict) else {}
        tree = tree[key]
    tree[keys[-1]] = value


def _checked(tree: Mapping[str, Any], name: str) -> Job:
    """The job of a tree. Raises JobError in the words that a job file gets, without its lines."""
    try:
        return Job.model_validate(tree)
    except ValidationError as err:
        return _told(tree, name, err)


def _told(tree: Mapping[str, Any], name: str, err: ValidationError) -> Job:
    import json

    try:
        return parse_job(json.dumps(tree), "house")
    except JobError as told:
        raise JobError(*(fault.split(": ", 1)[-1] for fault in told.faults)) from err
