"""What goes into the skeleton engine and what comes out of it: frozen records of plain floats."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Ring3

FASCIA_STEP = -1
"""`SkeletonFace.step` of the upright part below an edge's own fascia, where its neighbours start lower."""

JOG_STEP = -2
"""`SkeletonFace.step` of the upright step between collinear neighbours of different rise; `edge` is the one before."""


@record
class RiseStep:
    """One step of an edge's rise: `pitch_deg` holds up to height `up_to_z`, None = for the rest.

    90 or None is vertical, 0 a flat top that closes the roof at the height where the step begins. Height in the
    caller's unit.
    """

    up_to_z: float | None
    pitch_deg: float | None


@record
class EdgeProfile:
    """How one edge of the outline rises: from `start_z` (its fascia) through `steps`, in order of height."""

    start_z: float
    steps: tuple[RiseStep, ...]


@record
class SkeletonFace:
    """One connected plane polygon of the roof.

    `edge` is 0-based in the order the caller typed, numbered on through the holes; `step` the profile step, or
    FASCIA_STEP or JOG_STEP. `rings` are (x, y, z): the outer ring counter-clockwise in plan, then its holes
    clockwise; an upright face runs the same way round seen from outside, from where its edge's fascia is seen.
    `plan_area` is 0 for upright faces.
    """

    edge: int
    step: int
    rings: tuple[Ring3, ...]
    plan_area: float
    upright: bool


@record
class SkeletonNote:
    """A finding on the way: `kind` is a stable word, `edges` are 0-based, `text` a sentence with 1-based numbers."""

    kind: str
    edges: tuple[int, ...]
    text: str


@record
class Skeleton:
    """Every face of the roof over one outline.

    Two faces that meet along a line carry its two end points bit for bit; no node lies inside another face's side.
    """

    faces: tuple[SkeletonFace, ...]
    notes: tuple[SkeletonNote, ...]
