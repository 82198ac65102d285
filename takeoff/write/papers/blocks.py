"""What a paper is made of, from its head down: words, bars, tables, pictures, whole drawings. Nothing is placed yet.

Sizes of letters in points, lengths in mm of paper. Texts are plain: nothing in them is read as a code.
"""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.write.drawings.drawing import Box, Drawing

BODY, SMALL, HEAD = 9.0, 8.0, 11.0  # sizes of letters [pt]; nothing is printed smaller than SMALL


class Kind(StrEnum):
    """What a row of a table is."""

    LINE = "line"
    TOTAL = "total"
    GROUP = "group"  # a grey bar across the table
    HEAD = "head"
    NOTE = "note"  # words across the table


@record
class Words:
    """A paragraph; `keep` holds it on the page of what follows."""

    text: str
    size: float = BODY
    bold: bool = False
    keep: bool = False
    under_mm: float = 1.0


@record
class Bar:
    """A heading on a grey bar, kept with what follows; `strong` ones are framed, for what is on hold or stopped."""

    text: str
    strong: bool = False


@record
class Column:
    """A column: as wide as what stands in it, or, with a `share`, a part of what width is left. `least_mm`: never
    narrower; `boxed`: ruled off for a hand to write in."""

    heading: str
    right: bool = False
    share: float = 0.0
    least_mm: float = 0.0
    boxed: bool = False
    bold: bool = False


@record
class Row:
    """A row: its cells, "" for an empty one. `high_mm`: never lower."""

    cells: tuple[str, ...]
    kind: Kind = Kind.LINE
    high_mm: float = 0.0


@record
class Table:
    """Rows under a heading that is repeated on every page; `plain` has none and no lines, `tight` rows stand closer."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    size: float = BODY
    plain: bool = False
    tight: bool = False


@record
class Picture:
    """A drawing between the words, the part of it that is `shown`, as wide as the paper or as high as `most_mm`, and
    never larger than it is drawn."""

    drawing: Drawing
    shown: Box
    most_mm: float


@record
class Sheet:
    """A whole drawing on a page of its own size."""

    drawing: Drawing


@record
class Beside:
    """Blocks in columns beside each other, on one page; `shares` of its width, even ones where none are given."""

    columns: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...] = ()


@record
class Gap:
    """Empty room."""

    high_mm: float = 2.0


@record
class NewPage:
    """What follows stands on a new page, with `title` at its head, and `tight` lines where it would not fit one page
    else."""

    title: str = ""
    banner: str = ""


Block = Words | Bar | Table | Picture | Sheet | Beside | Gap | NewPage


@record
class Paper:
    """A paper for one receiver: `name` of its file without ending, what it is, whose job, its state, what it holds."""

    name: str
    title: str
    job: str
    banner: str
    blocks: tuple[Block, ...]
    mark: str = ""  # the job's fingerprint, at the foot
