"""What differs: a supplied cut list from ours, one result from another, a measured list from the drawn one."""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.model.findings import Finding


class ListFault(StrEnum):
    """How a supplied list differs from ours. Short: the supplied sheet does not reach; under: it reaches, with less
    than our allowance; long: it is longer than ours."""

    MISSING = "missing"
    SHORT = "will not reach"
    UNDER = "under our allowance"
    LONG = "long"
    EXTRA = "extra"


@record
class ListDifference:
    """`count` sheets that differ alike. `ours_mm` is 0 for an extra sheet, `theirs_mm` 0 for a missing one.

    `reach_mm` is what ours must reach, allowances left out, the longest of them. `marks` are our sheets, `rows` the
    rows of the supplied list. `plane` is "" where the list names no planes.
    """

    fault: ListFault
    plane: str
    profile: str
    count: int
    ours_mm: float
    theirs_mm: float
    marks: tuple[str, ...] = ()
    rows: tuple[int, ...] = ()
    reach_mm: float = 0.0


@record
class ListTally:
    """Sheets and metres of one plane (or profile) in both lists, and how many agree."""

    plane: str
    profile: str
    ours: int
    theirs: int
    agree: int
    ours_m: float
    theirs_m: float


@record
class ListCheck:
    """A supplied list against ours. `by_plane` tells what sheets were matched within."""

    file: str
    sheet: str
    tolerance_mm: float
    by_plane: bool
    differences: tuple[ListDifference, ...]
    tallies: tuple[ListTally, ...]
    findings: tuple[Finding, ...] = ()


@record
class Change:
    """One thing that is not as it was. `kind` groups changes ("term", "plane", "edge", "sheet", "downpipe", "wall",
    "order line"); `old_name` and `new_name` are "" for what is new and what is gone; `old` and `new` are the values in
    words, `by` the difference of a figure in its unit."""

    kind: str
    what: str
    old_name: str
    new_name: str
    old: str
    new: str
    by: str = ""


@record
class Comparison:
    """Two results line by line, matched by geometry. `moved` tells how the old one was laid over the new one."""

    old: str
    new: str
    changes: tuple[Change, ...]
    matched_planes: int
    matched_sheets: int
    moved: str = ""


@record
class MarkChange:
    """One sheet before and after the frame was measured: lengths bought [mm], 0 where there is no such sheet or it
    comes out of another's length; `old` and `new` say either in words, "" for no such sheet."""

    plane: str
    mark: str
    old_mm: float
    new_mm: float
    old: str = ""
    new: str = ""
