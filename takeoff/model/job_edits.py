"""Changes of a job as data: what is set, put in or taken out, and where; and a job's plain value with them made."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from enum import Enum
from typing import Any, Final

from takeoff.basics.errors import UsageError
from takeoff.basics.records import record

Step = str | int
EditPath = tuple[Step, ...]
LARGEST = 10**28  # a whole number of more digits is read as text


class _Gone(Enum):
    """One value alone, the same in every process."""

    GONE = "gone"


GONE: Final = _Gone.GONE  # as an edit's value: take the key or the entry of the list out


@record
class Edit:
    """One change. `path`: keys, and places of lists from 0; the place after a list's last appends. `value`: plain
    (None, bool, int, float, str, list, dict) or GONE. `insert`: put into the list before that place. `rename`: the
    value is the key's new name; what stands there and its place in the map stay."""

    path: EditPath
    value: object
    insert: bool = False
    rename: bool = False


def value_at(value: object, path: Sequence[Step]) -> Any:
    """What stands at a path of a plain value, None for nothing."""
    for step in path:
        if isinstance(value, dict):
            value = value.get(step)
        elif isinstance(value, list) and isinstance(step, int) and 0 <= step < len(value):
            value = value[step]
        else:
            return None
    return value


def edited_value(value: object, edits: Iterable[Edit]) -> object:
    """The plain value with the edits made, one after another; what was given is left as it is.

    Maps and lists that lack on the way are made: a list for place 0, a map for every other step, since a list that
    lacks has no other place and edges count from 1. A key that lacks is taken out as if it had been there. UsageError
    where a path leads through a single value or past a list's end.
    """
    for edit in edits:
        value = _at(value, edit, 0)
    return value


def made_for(path: Sequence[Step], value: object) -> object:
    """The containers that lack, around a value."""
    for step in reversed(path):
        value = [value] if step == 0 and isinstance(step, int) else {step: value}
    return value


def plain(value: object) -> object:
    """A value as lists, maps and single values; UsageError for anything else, and for no number and no end."""
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    if isinstance(value, dict):
        if odd := [key for key in value if isinstance(key, bool) or not isinstance(key, str | int)]:
            raise UsageError(f"a key of a job is a word or a whole number, not {odd[0]!r}")
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, int | float) and not (math.isfinite(value) and abs(value) < LARGEST):
        raise UsageError("a number without end, or too large, cannot be written into a job")
    if isinstance(value, str) and any("\ud800" <= char <= "\udfff" for char in value):
        raise UsageError("half a character cannot be written into a job")
    if value is None or isinstance(value, bool | int | float | str):
        return value
    raise UsageError(f"a {type(value).__name__} cannot be written into a job")


def same_value(one: object, other: object) -> bool:
    """Whether two plain values read alike: 6 and 6.0 do, true and 1 do not."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same_value(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same_value, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and one == other


def path_words(path: Sequence[Step]) -> str:
    """A path for a person: roofs[0].edges[5]."""
    text = "".join(f"[{step}]" if isinstance(step, int) and n else f".{step}" for n, step in enumerate(path))
    return text.removeprefix(".") or "the whole job"


def _at(value: object, edit: Edit, depth: int) -> object:
    path, new = edit.path, edit.value
    if depth == len(path):
        if new is GONE or edit.rename:
            raise UsageError(f"{path_words(path)} cannot be taken out or called otherwise")
        return plain(new)
    if isinstance(value, list):
        return _in_list(value, edit, depth)
    if value is not None and not isinstance(value, dict):
        raise UsageError(f"{path_words(path)}: {path_words(path[:depth])} is a single value and holds nothing")
    last = depth + 1 == len(path)
    if new is GONE and (value is None or (path[depth] not in value)):
        return value
    if edit.insert and last and (value is not None or path[depth] != 0):
        raise UsageError(f"{path_words(path)}: only a list takes an entry in between")
    if value is None and edit.rename:
        raise UsageError(f"{path_words(path)} is not in the job")
    if value is None:
        return made_for(path[depth:], plain(new))
    return _in_map(value, edit, depth)


def _in_map(value: dict[Step, object], edit: Edit, depth: int) -> object:
    step = edit.path[depth]
    if edit.rename and depth + 1 == len(edit.path):
        return _renamed(value, edit)
    if edit.value is GONE and depth + 1 == len(edit.path):
        return {key: one for key, one in value.items() if key != step}
    return {**value, step: _at(value.get(step), edit, depth + 1)}


def _renamed(value: dict[Step, object], edit: Edit) -> object:
    old, new = edit.path[-1], edit.value
    if old not in value:
        raise UsageError(f"{path_words(edit.path)} is not in the job")
    if isinstance(new, bool) or not isinstance(new, int | str) or (new in value and new != old):
        raise UsageError(f"{path_words(edit.path)} cannot be called {new}: no key, or one that is there already")
    return {new if key == old else key: one for key, one in value.items()}


def _in_list(value: list[object], edit: Edit, depth: int) -> object:
    step, last = edit.path[depth], depth + 1 == len(edit.path)
    if not isinstance(step, int) or isinstance(step, bool):
        raise UsageError(
            f"{path_words(edit.path)}: {path_words(edit.path[:depth])} is a list; {step} is no place in it"
        )
    if not 0 <= step <= len(value) or (step == len(value) and edit.value is GONE):
        raise UsageError(f"{path_words(edit.path)}: the list has {len(value)} entries")
    if last and edit.rename:
        raise UsageError(f"{path_words(edit.path)}: an entry of a list has no name to change")
    if last and edit.value is GONE:
        return value[:step] + value[step + 1 :]
    if last and edit.insert:
        return [*value[:step], plain(edit.value), *value[step:]]
    if step == len(value):
        return [*value, made_for(edit.path[depth + 1 :], plain(edit.value))]
    return [*value[:step], _at(value[step], edit, depth + 1), *value[step + 1 :]]
