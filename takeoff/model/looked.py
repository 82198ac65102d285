"""What a look at a file finds: layers, rings and bodies with their sizes, and the lines to paste into a job.

Every kind of file fills what it has: a drawing layers and rings, a model bodies.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Ring2


@record
class LookedLayer:
    """A layer of a drawing: how many lines it holds, rings that can be a roof, rows of lines that do not close."""

    name: str
    lines: int
    rings: int
    open_rows: int


@record
class LookedRing:
    """A closed ring, in mm where the unit is known, else in the file's figures. `number` counts within its layer;
    `court_of` is the ring that it is a courtyard of, 0 for none; its edges are numbered from `first_edge` on."""

    layer: str
    number: int
    name: str
    points_mm: Ring2
    length_mm: float
    width_mm: float
    area_mm2: float
    first_edge: int
    edges_mm: tuple[float, ...]
    court_of: int = 0
    fault: str = ""
    line: str = ""


@record
class LookedRow:
    """Lines in a row that do not close: their points as rings have them, and what is to be said of them."""

    points_mm: Ring2
    says: str


@record
class LookedBody:
    """A body or building of a model: `size_mm` length, width, height; `low_mm` its lowest point; `part` what it is
    likely to be, or what its file says it is."""

    number: int
    name: str
    part: str
    size_mm: tuple[float, float, float]
    low_mm: float
    faces: int
    line: str = ""


@record
class Looked:
    """A file looked at. `unit` is "" where nobody can tell; then `could_be` has each unit with the size it gives, and
    `open` says what it is that nobody can tell: "unit" or "up axis".
    `lines` are those to paste into a job, `notes` whole sentences."""

    file: str
    kind: str
    unit: str
    unit_why: str
    could_be: tuple[tuple[str, str], ...] = ()
    layers: tuple[LookedLayer, ...] = ()
    rings: tuple[LookedRing, ...] = ()
    open_rows: tuple[LookedRow, ...] = ()
    bodies: tuple[LookedBody, ...] = ()
    lines: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    open: str = "unit"
