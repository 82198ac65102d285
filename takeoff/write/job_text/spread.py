"""One edit as the least changes: a map or list set over another changes only the entries that differ."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import SequenceMatcher

from takeoff.model.job_edits import GONE, Edit, EditPath, Step, made_for, plain, same_value
from takeoff.write.job_text.written import flow_words


def least_changes(value: object, edit: Edit) -> list[Edit]:
    """Edits that together do what one asks: each a value set, an entry put in or an entry taken out."""
    path, new = edit.path, edit.value
    if edit.rename:
        return [edit]
    for depth, step in enumerate(path):
        there = _step_into(value, step)
        last = depth + 1 == len(path)
        if value is None or (there is GONE and isinstance(value, dict)):
            if new is GONE:
                return []
            upto = depth if value is None else depth + 1
            return [Edit(path[:upto], made_for(path[upto:], plain(new)))]
        if last and (new is GONE or edit.insert):
            return [Edit(path, new if new is GONE else plain(new), edit.insert)]
        if there is GONE:
            return [Edit(path[: depth + 1], made_for(path[depth + 1 :], plain(new)), insert=True)]
        value = there
    return list(_differences(value, plain(new), path))


def _step_into(value: object, step: object) -> object:
    """What a step leads to, or GONE."""
    if isinstance(value, dict):
        return value.get(step, GONE)
    if isinstance(value, list) and isinstance(step, int) and step < len(value):
        return value[step]
    return GONE


def _differences(old: object, new: object, path: EditPath) -> Iterator[Edit]:
    if same_value(old, new):
        return
    if isinstance(old, dict) and isinstance(new, dict) and old and new:
        renumbered, old = _renumbered(old, new, path)
        yield from renumbered
        for key, value in new.items():
            if key in old:
                yield from _differences(old[key], value, (*path, key))
            else:
                yield Edit((*path, key), value)
        yield from (Edit((*path, key), GONE) for key in old if key not in new)
    elif isinstance(old, list) and isinstance(new, list) and old and new:
        yield from _list_differences(old, new, path)
    else:
        yield Edit(path, new)


def _renumbered(
    old: dict[Step, object], new: dict[Step, object], path: EditPath
) -> tuple[list[Edit], dict[Step, object]]:
    """Entries by number that are found again under another number, as where a corner comes between edges: renamed, so
    that what is written beside them goes along. The edits, and the map after them."""
    if not all(isinstance(key, int) for key in (*old, *new)):
        return [], old
    goes = _goes(old, new)
    edits: list[Edit] = []
    for key in [key for key in old if key not in goes and key in goes.values()]:
        edits.append(Edit((*path, key), GONE))
        old = {other: value for other, value in old.items() if other != key}
    waiting = {key: to for key, to in goes.items() if key != to}
    while free := [key for key, to in waiting.items() if to not in old]:
        key, to = free[0], waiting.pop(free[0])
        edits.append(Edit((*path, key), to, rename=True))
        old = {to if other == key else other: value for other, value in old.items()}
    return edits, old


def _goes(old: dict[Step, object], new: dict[Step, object]) -> dict[Step, Step]:
    """Where each entry goes, in their order. Where some come or go, those that are the same under their number stay."""
    stay = [key for key in old if key in new and same_value(old[key], new[key]) and len(old) != len(new)]
    before, after = ([key for key in one if key not in stay] for one in (old, new))
    words = ([flow_words(old[key]) for key in before], [flow_words(new[key]) for key in after])
    blocks = SequenceMatcher(None, *words, autojunk=False).get_matching_blocks()
    goes = {before[a + n]: after[b + n] for a, b, size in blocks for n in range(size)}
    return {**{key: key for key in stay}, **goes}


def _list_differences(old: list[object], new: list[object], path: EditPath) -> Iterator[Edit]:
    """From the last entry to the first, so that places before stay what they are."""
    words = ([flow_words(one) for one in old], [flow_words(one) for one in new])
    for _, i1, i2, j1, j2 in reversed(SequenceMatcher(None, *words, autojunk=False).get_opcodes()):
        both = min(i2 - i1, j2 - j1)
        yield from (Edit((*path, i1 + both), one, insert=True) for one in reversed(new[j1 + both : j2]))
        yield from (Edit((*path, i), GONE) for i in reversed(range(i1 + both, i2)))
        for n in reversed(range(both)):
            yield from _differences(old[i1 + n], new[j1 + n], (*path, i1 + n))
