"""A job file's text with changes made in it: only what changed differs.

Comments, order, indentation, quotes, style and line ends of everything else stay character for character. The value is
read again after each change; where the characters to replace could not be told, the smallest map or list around them is
written anew, and nothing is lost from it.
"""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit, EditPath, edited_value, path_words, same_value, value_at
from takeoff.write.job_text.nodes import JobText, read_nodes
from takeoff.write.job_text.splices import Splice, node_at, spliced, splices_of
from takeoff.write.job_text.spread import least_changes

BOM = "\ufeff"
MOST_ROUNDS = 40  # of reading the text again for one edit; what asks for more is written anew

__all__ = ["GONE", "Edit", "edited_text"]


def edited_text(text: str, edits: Sequence[Edit]) -> str:
    """The text with the edits made, one after another.

    UsageError where the text is no YAML, a path leads through a single value or past a list's end, or a value cannot be
    written.
    """
    mark, body = (BOM, text[1:]) if text.startswith(BOM) else ("", text)
    job = read_nodes(body)
    for edit in edits:
        job = _edited(job, edit)
    return mark + job.text


def _edited(job: JobText, edit: Edit) -> JobText:
    wanted = edited_value(job.value, [edit])
    now, rounds = _changed(job, least_changes(job.value, edit))
    if now and not rounds and same_value(now.value, wanted):
        return now
    return _written_anew(job, edit, wanted)


def _changed(job: JobText, changes: list[Edit]) -> tuple[JobText | None, list[Edit]]:
    """The text with changes made, None where it would be none that can be read; and the changes that are left over
    after as many rounds as are worth it."""
    now: JobText | None = job
    for _ in range(MOST_ROUNDS):
        if not changes or now is None:
            break
        batch, changes = _together(now, changes)
        now = _spliced(now, batch)
    return now, changes


def _together(job: JobText, changes: list[Edit]) -> tuple[list[Edit], list[Edit]]:
    """Changes that can be made in one round, and the others: no two of a round put in, take out or rename in one map or
    list, or in one that lies in it. Single values in the place of single values are in nobody's way."""
    batch: list[Edit] = []
    left: list[Edit] = []
    shifting: set[EditPath] = set()  # containers whose entries come, go or are renamed
    through: set[EditPath] = set()  # all that paths so far lead through
    for change in changes:
        above = [change.path[:depth] for depth in range(len(change.path) + 1)]
        single = _one_for_one(job, change)
        free = shifting.isdisjoint(above) and (single or change.path[:-1] not in through)
        (batch if free else left).append(change)
        through.update(above)
        if not (single and free):
            shifting.add(change.path[:-1])
    return batch, left


def _one_for_one(job: JobText, change: Edit) -> bool:
    if change.insert or change.rename or change.value is GONE or isinstance(change.value, list | dict):
        return False
    try:
        return node_at(job, change.path).kind == "scalar"
    except LookupError:
        return False


def _spliced(job: JobText, changes: list[Edit]) -> JobText | None:
    """The text with changes made, or None where it would be none that can be read."""
    try:
        splices: list[Splice] = [one for change in changes for one in splices_of(job, change)]
        return read_nodes(spliced(job.text, splices))
    except (LookupError, UsageError):
        return None


def _written_anew(job: JobText, edit: Edit, wanted: object) -> JobText:
    """With the smallest thing around the change written anew that reads back as wanted."""
    if job.odd:
        raise UsageError("the job file gives a key twice or holds an alias; put that right in the text first")
    for length in range(len(edit.path), -1, -1):
        path = edit.path[:length]
        now = _spliced(job, [Edit(path, value_at(wanted, path))])
        if now and same_value(now.value, wanted):
            return now
    raise UsageError(f"{path_words(edit.path)} cannot be written into this file")
