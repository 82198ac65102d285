"""A result as far as comparing needs it: where things lie on the plan, what they measure, what was asked for.

Plan places are in mm, x to the true east and y to the true north, so that a plan drawn another way up compares as it
stands on the ground.
"""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2

WORD = "rainwater_word"  # the setting that names what runs round the eaves
RESULT_FORMAT = "takeoff-result"
RESULT_VERSION = 2
"""What takeoff.json says it is. A change that an older reader would misread takes the next version. 1: needs named
their items, flashings did not say whether they are for ribbed sheets. 2: items stand in a list of their own with kind,
trade, pack and mass. What comparing reads is the same in both."""


@record
class SeenSheet:
    """A sheet: its cover from `u0_mm` to `u1_mm` along its plane's level axis, from `v0_mm` to `v1_mm` up the slope.

    `bought_mm` is the length bought for it, or, where it comes out of the length bought for the sheet `cut_from`, the
    length that it would be bought in alone.
    """

    mark: str
    u0_mm: float
    u1_mm: float
    v0_mm: float
    v1_mm: float
    bought_mm: float
    left_mm: float
    right_mm: float
    foot: str
    top: str
    cut_from: str = ""


@record
class SeenPlane:
    """A plane: its ring in plan, a plan point of its origin and the plan direction of its level axis."""

    id: str
    roof: str
    ring: tuple[Point2, ...]
    origin: Point2
    level: Point2
    pitch_deg: float
    bearing_deg: float
    area_m2: float
    fascia_height_mm: float
    covering: str
    profile: str
    start_side: str
    sheets: tuple[SeenSheet, ...]


@record
class SeenEdge:
    """An edge of the roof in plan, with its true length; `planes` are the roof planes that meet at it."""

    id: str
    kind: str
    a: Point2
    b: Point2
    length_mm: float
    planes: tuple[str, ...]


@record
class SeenSide:
    """A side of an outline in plan, or a wall, with what was asked for it, by name. `own`: the terms that are said of
    this side alone, not of the whole roof."""

    id: str
    a: Point2
    b: Point2
    terms: Mapping[str, str]
    own: frozenset[str]


@record
class SeenPipe:
    """A downpipe on the plan."""

    id: str
    at: Point2
    height_mm: float
    catchment_m2: float


@record
class SeenLine:
    """A line of the order. Lines are the same where delivery, item, length and unit are."""

    id: str
    delivery: str
    item: str
    name: str
    each_mm: float
    unit: str
    count: float
    total: float
    total_unit: str


@record
class Snapshot:
    """One result. `terms`: every setting and every key of the job that is no place, by its path, with its value in
    words. `withheld` where a stop finding withholds the order. `word`: what the trade calls what runs round the eaves;
    `own`: every text of the job."""

    name: str
    terms: Mapping[str, str]
    planes: tuple[SeenPlane, ...]
    edges: tuple[SeenEdge, ...]
    sides: tuple[SeenSide, ...]
    walls: tuple[SeenSide, ...]
    pipes: tuple[SeenPipe, ...]
    lines: tuple[SeenLine, ...]
    withheld: bool
    job: str = ""
    revision: str = ""
    word: str = ""
    own: tuple[str, ...] = ()
