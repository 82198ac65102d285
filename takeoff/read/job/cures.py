"""Advice as edits: each line between backquotes that is a line of the job file, at its place in this very job; and the
faults of a job file that say what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from takeoff.basics.records import record
from takeoff.model.findings import Finding
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.job.walls import DrawnElevationJob, WallsJob, ZoneJob
from takeoff.model.job_edits import Edit, EditPath, same_value, value_at
from takeoff.read.job.fault_cures import fault_edits
from takeoff.read.job.told_places import NOWHERE, place_of
from takeoff.read.job.yaml_tree import read_yaml

_LINES = re.compile(r"([^`]*)`([^`]+)`")
_JOINED = re.compile(r"\s*,?\s*and\b")  # a line that goes with the one before it
_SAMPLE = re.compile(r"with the [\w ]+ of (?:your|the) |Say what|maker's table|designed")
_WALL = re.compile(r"wall (\d+)$")
_ZONE = re.compile(r"\b[Zz]one (\d+)\b")
_WHOLE = ("board", "shape", "mesh")  # set as a whole, never mixed with what stood there


@record
class Cure:
    """One way to do what was advised. `words` says what is written and where; `sample`: the figure in it stands for one
    that only the person knows."""

    words: str
    edits: tuple[Edit, ...]
    sample: bool = False


@record
class _Place:
    """A map of the job that lines go into, with what a person calls it ("" for the job itself)."""

    path: EditPath
    words: str


@record
class _Written:
    """What is written and where, in words and as edits; `place` is "" for the job itself."""

    lines: str
    place: str
    edits: tuple[Edit, ...]
    sample: bool

    @property
    def words(self) -> str:
        """The lines with their place."""
        return f"{self.lines}, {self.place}" if self.place else self.lines


def cures_of(
    told: str | Finding, value: object, ids: Mapping[str, EditPath] = NOWHERE, file_text: str = ""
) -> tuple[Cure, ...]:
    """What can be written for a finding, an advice or a fault, as edits of this job; () where nothing can be told.

    `value`: the job as plain values; `ids`: places of what was taken off (`places_of_ids`); `file_text`: the job file,
    for faults that tell line and column alone. Where an advice does not say which roof or zone it means, there is a
    cure for each. Lines that say what the job says already are left out.
    """
    if not isinstance(value, dict):
        return ()
    at = place_of(told, value, ids, file_text)
    text = told.advice if isinstance(told, Finding) else told
    written: list[_Written] = []
    for n, (before, line) in enumerate(_LINES.findall(text)):
        made = [
            one for place in _places(before, line, told, at, value) if (one := _written(before, line, place, value))
        ]
        if n and _JOINED.match(before) and len(made) == len(written) == 1:
            made, written = [_joined(written[0], made[0])], []
        written += made
    cures = [Cure(f"Write {one.words}", one.edits, one.sample) for one in written]
    if not cures and not isinstance(told, Finding):
        cures = [Cure(words, edits) for words, edits in fault_edits(told, at, value)]
    return tuple(one for n, one in enumerate(cures) if one not in cures[:n])


def _joined(one: _Written, other: _Written) -> _Written:
    """Two lines that are written together; a place that both share is said once."""
    lines, place = f"{one.words} and {other.words}", ""
    if one.place == other.place:
        lines, place = f"{one.lines} and {other.lines}", one.place
    return _Written(lines, place, one.edits + other.edits, one.sample or other.sample)


def _written(before: str, line: str, place: _Place, value: object) -> _Written | None:
    said: Any = read_yaml(line).value
    if isinstance(said, list):
        edits = [Edit(place.path, one) for one in said if not same_value(value_at(value, place.path), one)]
    else:
        edits = [edit for key, one in said.items() for edit in _under(place.path, key, one, value)]
    sample = _SAMPLE.search(before) is not None
    return _Written(line.removeprefix("- "), place.words, tuple(edits), sample) if edits else None


def _under(path: EditPath, key: str | int, said: Any, value: object) -> Iterator[Edit]:
    held = value_at(value, path)
    yield from _merged((*path, key), held.get(key) if isinstance(held, dict) else None, said)


def _merged(path: EditPath, held: Any, said: Any) -> Iterator[Edit]:
    """What a line adds to what stands there: maps go into each other."""
    if isinstance(held, dict) and isinstance(said, dict) and said and path[-1] not in _WHOLE:
        for key, one in said.items():
            key = key if key in held or str(key) not in held else str(key)  # JSON has its numbers in quotes
            yield from _merged((*path, key), held.get(key), one)
    elif not same_value(held, said):
        yield Edit(path, said)


# ------------------------------------------------------------ where a line goes


def _places(before: str, line: str, told: str | Finding, at: EditPath, value: dict[str, Any]) -> list[_Place]:
    """The maps, or the places of a list, that a line can be written into."""
    tree = read_yaml(line)
    said = tree.value
    if tree.faults or not said:
        return []
    if isinstance(said, list):
        return _entry_places(said, at, value)
    if not isinstance(said, dict):
        return []
    key = next(iter(said))
    if "in the zone" in before or (_belongs(key, ZoneJob) and not _belongs(key, Job, RoofJob, ShapeJob, WallsJob)):
        return _zones(told, at, value)
    if "nder the roof" in before or key in ("shape", "mesh"):
        return _roofs(said, at, value)
    if _belongs(key, ShapeJob) and not _belongs(key, Job):
        return _shapes(told, key, at, value)
    if _belongs(key, Job):
        return [_Place((), "")]
    if _belongs(key, RoofJob):
        return _roofs(said, at, value)
    if _belongs(key, WallsJob):
        return [_Place(("walls",), "under walls")]
    return _drawn(told, at, value) if _belongs(key, DrawnElevationJob) else []


def _belongs(key: object, *models: type[BaseModel]) -> bool:
    return any(key in model.model_fields for model in models)


def _entry_places(said: list[Any], at: EditPath, value: dict[str, Any]) -> list[_Place]:
    """The place of one entry of a list: a zone of the same walls or one more, a drawn wall in its place."""
    if len(said) != 1 or not isinstance(said[0], dict):
        return []
    if "file" in said[0]:
        place = _drawn_place(said[0], at, value)
        return [_Place(("walls", "drawn_elevations", place), f"as drawn wall {place + 1}")] if place is not None else []
    if "direction" not in said[0] and "board" not in said[0]:
        return []
    zones = _list(value, ("walls", "zones"))
    same = [n for n, zone in enumerate(zones) if isinstance(zone, dict) and zone.get("walls") == said[0].get("walls")]
    place = same[0] if same else len(zones)
    return [_Place(("walls", "zones", place), f"as zone {place + 1} of the walls")]


def _drawn_place(said: Mapping[str, Any], at: EditPath, value: dict[str, Any]) -> int | None:
    if at[:2] == ("walls", "drawn_elevations") and len(at) > 2 and isinstance(at[2], int):
        return at[2]
    drawn = _list(value, ("walls", "drawn_elevations"))
    alike = [n for n, one in enumerate(drawn) if isinstance(one, dict) and _same_drawing(one, said)]
    return alike[0] if len(alike) == 1 else None


def _same_drawing(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return all(one.get(key) == other.get(key) for key in ("file", "layer"))


def _roofs(said: Mapping[Any, Any], at: EditPath, value: dict[str, Any]) -> list[_Place]:
    """The roof that is meant: by place, by the file of its shape, else every one."""
    count = len(_list(value, ("roofs",)))
    meant = list(range(count))
    if at[:1] == ("roofs",) and len(at) > 1:
        meant = [int(at[1])]
    elif file := _file_of(said):
        meant = [n for n in meant if _file_of(value_at(value, ("roofs", n))) == file] or meant
    return [_Place(("roofs", n), f"under roof {_name(value, n)}" if count > 1 else "under the roof") for n in meant]


def _file_of(roof: Any) -> str:
    drawn = (roof.get("shape") or roof.get("mesh")) if isinstance(roof, dict) else None
    return str(drawn.get("file", "")) if isinstance(drawn, dict) else ""


def _name(value: object, roof: int) -> str:
    return str(value_at(value, ("roofs", roof, "name")) or "main")


def _shapes(told: str | Finding, key: object, at: EditPath, value: dict[str, Any]) -> list[_Place]:
    """The shapes that a key of a shape is written into: of the roof that is meant or whose file the words name; of a
    drawn wall where the place is one."""
    if at[:2] == ("walls", "drawn_elevations") and len(at) > 2 and _belongs(key, DrawnElevationJob):
        return [_Place(at[:3], f"at drawn wall {int(at[2]) + 1}")]
    words = f"{told.text} {told.advice}" if isinstance(told, Finding) else told
    count = len(_list(value, ("roofs",)))
    shaped = [n for n in range(count) if _file_of(value_at(value, ("roofs", n)))]
    if at[:1] == ("roofs",) and len(at) > 1:
        shaped = [n for n in shaped if n == at[1]]
    named = [n for n in shaped if _file_of(value_at(value, ("roofs", n))) in words]
    return [
        _Place(("roofs", n, word), f"in the shape of roof {_name(value, n)}" if count > 1 else "in the roof's shape")
        for n in named or shaped
        for word in ("shape", "mesh")
        if value_at(value, ("roofs", n, word))
    ]


def _drawn(told: str | Finding, at: EditPath, value: dict[str, Any]) -> list[_Place]:
    """The drawn wall that a finding names, by its place, its name or its layer; else every one."""
    drawn = _list(value, ("walls", "drawn_elevations"))
    meant = list(range(len(drawn)))
    text = told.text if isinstance(told, Finding) else told
    if at[:2] == ("walls", "drawn_elevations") and len(at) > 2:
        meant = [int(at[2])]
    else:
        names = [str(one.get("name") or one.get("layer")) if isinstance(one, dict) else "" for one in drawn]
        meant = [n for n in meant if names[n] and re.search(rf"\b{re.escape(names[n])}\b", text)] or meant
    return [_Place(("walls", "drawn_elevations", n), f"at drawn wall {n + 1}") for n in meant]


def _zones(told: str | Finding, at: EditPath, value: dict[str, Any]) -> list[_Place]:
    """The zone that is meant: by place, by its number in the words, by the wall that a finding names."""
    zones = [zone if isinstance(zone, dict) else {} for zone in _list(value, ("walls", "zones"))]
    text = told.text if isinstance(told, Finding) else told
    meant: list[int] = []
    if at[:2] == ("walls", "zones") and len(at) > 2:
        meant = [int(at[2])]
    elif isinstance(told, Finding) and (walls := _walls_of(told)):
        meant = [n for n, zone in enumerate(zones) if set(zone.get("walls") or ()) & walls]
        meant = meant or [n for n, zone in enumerate(zones) if zone.get("walls") is None]
    if not meant and (match := _ZONE.search(text)):
        meant = [int(match[1]) - 1]
    meant = [n for n in meant or range(len(zones)) if n < len(zones)]
    return [_Place(("walls", "zones", n), f"in zone {n + 1} of the walls") for n in meant]


def _walls_of(told: Finding) -> set[int]:
    return {int(match[1]) for ref in told.refs if (match := _WALL.match(ref))}


def _list(value: object, path: EditPath) -> list[Any]:
    held = value_at(value, path)
    return held if isinstance(held, list) else []
