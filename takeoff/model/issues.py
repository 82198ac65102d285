"""The book of issues: what was ordered, when and from whom, and how today's order stands to it.

An issue holds only what it ordered: a line's count is what it adds to, or takes from, all issues before it. So the
issues of a book and what is still to order are together the order, line by line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum

from takeoff.basics.records import record

LineKey = tuple[str, str, float, str]
"""What makes two order lines one: delivery, id of the item, length [mm], unit."""


class LineState(StrEnum):
    """How a line of today's order stands to the book."""

    TO_ORDER = "to order"
    ORDERED = "ordered"
    CHANGED = "changed since"
    GONE = "no longer wanted"


@record
class IssuedLine:
    """A line of an issue. `count` and `total` are what the issue adds, less than 0 for what it takes back; `name` is
    what the item was called, `kg` the mass it adds."""

    delivery: str
    item: str
    name: str
    each_mm: float
    unit: str
    count: float
    total: float
    total_unit: str
    kg: float

    @property
    def key(self) -> LineKey:
        """What makes two lines one."""
        return self.delivery, self.item, self.each_mm, self.unit


@record
class Issue:
    """One issue, as it stands in the book for good.

    `contents`: hash of all lines of the order that it was made from; `supersedes`: numbers of earlier issues with lines
    of the same deliveries, which this one varies. `files`: hash by name of what was frozen with it, in the folder
    `folder` of the book.
    """

    number: int
    date: str
    job: str
    revision: str
    job_hash: str
    contents: str
    deliveries: tuple[str, ...]
    to: str
    note: str
    supersedes: tuple[int, ...]
    lines: tuple[IssuedLine, ...]
    files: Mapping[str, str]

    @property
    def variation(self) -> bool:
        """Whether it varies what was ordered before."""
        return bool(self.supersedes)

    @property
    def folder(self) -> str:
        """Name of the folder of its files, in the folder of the book."""
        return issue_folder(self.number)


def issue_folder(number: int) -> str:
    """Name of the folder that holds the files of an issue."""
    return f"issue_{number:04d}"


Marks = tuple[str, ...]
"""What is written on one bought sheet: the marks of all pieces that are cut from it."""


@record
class MarkedSheet:
    """One bought sheet of an order, with its marks."""

    item: str
    each_mm: float
    marks: Marks


@record
class IssuedSheets:
    """All bought sheets of one house in the order that an issue was made from; `houses` it was for."""

    issue: int
    houses: int
    sheets: tuple[MarkedSheet, ...]


@record
class MovedMark:
    """A sheet of an earlier `issue` that stays in use, `written` on it what it was called, `now` what it is."""

    issue: int
    item: str
    each_mm: float
    written: Marks
    now: Marks


@record
class LineMarks:
    """Marks of the sheets of one item and length, an entry a sheet."""

    item: str
    each_mm: float
    sheets: tuple[Marks, ...]


@record
class SheetMarks:
    """Marks of one house against those on the sheets of earlier issues: which `moved`, which are to `make` (today's
    marks) and which are taken `back` (as written). `other_lengths`: how many marks name a sheet of another length."""

    moved: tuple[MovedMark, ...]
    make: tuple[LineMarks, ...]
    back: tuple[LineMarks, ...]
    other_lengths: int


@record
class IssueBook:
    """The issues of a job, first to last. `faults`: why the book cannot be relied on; then nothing is issued. `sheets`:
    of the issues that ordered any, where they were asked for; None for one that does not tell."""

    issues: tuple[Issue, ...]
    faults: tuple[str, ...] = ()
    edited: tuple[str, ...] = ()  # files of issues that were changed since
    last_seal: str = ""  # of its last line, which the next one names
    sheets: tuple[IssuedSheets | None, ...] = ()


@record
class StandingLine:
    """A line as it stands: `wanted` today, `ordered` by all issues together, in `unit`; `line` is its id in today's
    order, "" where it is in none. `numbers`: the issues that it stands in."""

    line: str
    delivery: str
    item: str
    name: str
    each_mm: float
    unit: str
    wanted: float
    ordered: float
    total_to_order: float
    total_unit: str
    kg_to_order: float
    numbers: tuple[int, ...]

    @property
    def to_order(self) -> float:
        """What is still to order; less than 0 is to be taken back."""
        return round(self.wanted - self.ordered, 6)

    @property
    def state(self) -> LineState:
        """How it stands to the book."""
        if not self.numbers:
            return LineState.TO_ORDER
        if self.to_order == 0.0:
            return LineState.ORDERED if self.wanted else LineState.GONE
        return LineState.CHANGED if self.wanted else LineState.GONE


@record
class Variation:
    """What a second order of one delivery holds: the lines that differ from what was ordered, and the numbers and
    letters of the issues it varies; both empty where nothing was ordered yet and `lines` are all of the delivery."""

    delivery: str
    lines: tuple[StandingLine, ...]
    supersedes: tuple[int, ...]
    revisions: tuple[str, ...]


@record
class Standing:
    """Today's order against the book: every line of either, by delivery, what is no longer wanted last.

    `faults`: why the book cannot be relied on; `lines` are then empty, for nobody knows.
    """

    lines: tuple[StandingLine, ...]
    numbers: tuple[int, ...]
    variations: tuple[Variation, ...] = ()  # one a delivery that anything is still to order of
    faults: tuple[str, ...] = ()
    issuing: int = 0  # the number of the issue that these files are frozen for, 0 for none
    issuing_of: tuple[str, ...] = ()  # the deliveries that it orders
    issuing_on: str = ""  # its day
    marks: SheetMarks | None = None  # against those on the sheets of earlier issues, where they are known
    sheets_before: bool = False  # whether an earlier issue ordered sheets


@record
class IssueWanted:
    """What is to be issued: one delivery or all ("" ), to whom, why, and on what day (ISO)."""

    note: str
    date: str
    delivery: str = ""
    to: str = ""
    files: Mapping[str, str] = field(default_factory=dict)
