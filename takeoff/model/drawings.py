"""Lines of a drawing or map as its file holds them: nothing joined, scaled or chosen yet."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Ring2

# what a file may say of a ring and of its sides, under the same names as a roof of a job and its edges
RING_KEYS = ("pitch_deg", "fascia_height_mm", "eave_overhang_mm", "verge_overhang_mm")
EDGE_KEYS = ("kind", *RING_KEYS)

Facts = tuple[tuple[str, float | str], ...]


@record
class RawPath:
    """Corners in a row, in the file's own unit.

    `bulges`: one for each side, the tangent of a quarter of the angle that the side's arc turns through, positive to
    the left; none where all sides are straight. `facts` are said of the ring, `edge_facts` of its sides, by 1-based
    number, those of holes that follow numbered on. `where` places it in its file.
    """

    layer: str
    points: Ring2
    closed: bool
    bulges: tuple[float, ...] = ()
    where: str = ""
    name: str = ""
    facts: Facts = ()
    edge_facts: tuple[tuple[int, Facts], ...] = ()


@record
class RawDrawing:
    """All lines of a file in its order, and what it states of its unit.

    `unit_words` says where the unit stands ("its header says mm"); both are empty where it states none. `left_out`
    counts what is drawn and not read, by kind.
    """

    came_from: str
    kind: str
    paths: tuple[RawPath, ...]
    unit: str = ""
    unit_words: str = ""
    left_out: tuple[tuple[str, int], ...] = ()
