"""Two neighbours of a list in each other's place in a job file's text, each with the comments that belong to it."""

from __future__ import annotations

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import Edit, EditPath, edited_value, same_value, value_at
from takeoff.write.job_text.nodes import JobText, Node, read_nodes
from takeoff.write.job_text.splices import node_at


def neighbours_swapped(text: str, path: EditPath, first: int) -> str | None:
    """The text with the entries `first` and `first` + 1 of the list at a path in each other's place. With each go the
    comment on its line and those on the lines right above it. None where the list is not written with a line or more
    for each entry, so that lines cannot be moved."""
    try:
        job = read_nodes(text)
        held = node_at(job, path)
    except (LookupError, UsageError):
        return None
    if held.kind != "list" or held.flow or not 0 <= first < len(held.children) - 1:
        return None
    one, two = held.children[first : first + 2]
    start, middle, end = _begins(job, one), _begins(job, two), job.next_line(two.end)
    upper, lower, rest = text[start:middle], text[middle:end], text[end:]
    if not rest and job.line_end(two.end) == len(text):  # the last line of the file has no end of its own
        upper, lower = upper.rstrip("\r\n"), lower + job.newline()
    new = f"{text[:start]}{lower}{upper}{rest}"
    return new if _reads_as(new, job, path, first) else None


def _begins(job: JobText, entry: Node) -> int:
    """Where the lines of an entry begin, those of its comments with them."""
    at = job.line_start(entry.start)
    while at:
        above = job.line_start(at - 1 - job.text[:at].endswith("\r\n"))
        if not job.text[above:at].lstrip().startswith("#"):
            break
        at = above
    return at


def _reads_as(new: str, job: JobText, path: EditPath, first: int) -> bool:
    """Whether a text holds what the job does with the two in each other's place."""
    entries = list(value_at(job.value, path))
    entries[first : first + 2] = entries[first + 1], entries[first]
    try:
        return same_value(read_nodes(new).value, edited_value(job.value, [Edit(path, entries)]))
    except UsageError:
        return False
