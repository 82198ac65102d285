"""What a map's table says of a house: attributes named as the keys of a job."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from takeoff.basics.nearest import nearest
from takeoff.model.estate import Attributes
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import CoveringJob, RoofJob

# names that houses go by in tables, in the order they are looked for
NAMES = ("job", "name", "id", "fid", "ID", "Name")
_ELSEWHERE = {"roofs", "job", "walls", "tanks", "on_hand", "rates", "profiles"}
_DRAWN = {"name", "wall_line", "outline", "courtyards", "shape", "mesh", "edges", "covering"}
_ROOF = frozenset(RoofJob.model_fields) - _DRAWN
_COVERING = frozenset(CoveringJob.model_fields)
_JOB = frozenset(Job.model_fields) - _ELSEWHERE
EDGES, EDGE_IS = "edges", "edge_is"
_OWN = (EDGES, EDGE_IS)
_LIKE = 0.7  # `pitch` is like pitch_deg, `suburb` like nothing


def attribute_place(key: str) -> tuple[str, ...]:
    """Where in a job the attribute belongs, () for nowhere: ("roof", "pitch_deg"), ("covering", "profile"),
    ("job", "site", "wind_zone") for `site.wind_zone`."""
    first, _, rest = key.partition(".")
    if key in _OWN:
        return ("own", key)
    if key in _ROOF:
        return ("roof", key)
    if key in _COVERING or (first == "covering" and rest in _COVERING):
        return ("covering", rest or key)
    if first in _JOB and (not rest or rest.replace("_", "").replace(".", "").isalnum()):
        return ("job", *key.split("."))
    return ()


def split_attributes(properties: Mapping[str, Any]) -> tuple[Attributes, tuple[str, ...]]:
    """Attributes that a job knows, empty ones left out, and the names of those that it does not."""
    known: list[tuple[str, object]] = []
    other: list[str] = []
    for name, value in properties.items():
        if attribute_place(name):
            if value is not None and value != "":
                known.append((name, value))
        elif name not in NAMES:
            other.append(name)
    return tuple(known), tuple(other)


def house_name(properties: Mapping[str, Any], otherwise: str) -> str:
    """What the house is called: the first of the usual names that its table holds."""
    for name in NAMES:
        value = properties.get(name)
        if isinstance(value, str | int) and not isinstance(value, bool) and str(value).strip():
            return str(value).strip()[:60]
    return otherwise


def misspelt(names: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Names that are nearly an attribute's, each with the one it is near to."""
    known = sorted(_ROOF | _COVERING | _JOB | set(_OWN))
    found = []
    for name in names:
        near = nearest(name, known, likeness=_LIKE)
        if near:
            found.append((name, near[0]))
    return tuple(found)
