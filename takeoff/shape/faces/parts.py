"""What assembling starts from: plane faces in space, the plan they cover, and where numbering goes on.

Coordinates in mm from the plan's origin. Faces that meet share their nodes bit for bit: every node on a common edge is
in the rings of both.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Point3, Ring2, Ring3
from takeoff.model.findings import Finding
from takeoff.model.roof import Covering, Roof, UprightKind


@record
class Face:
    """One plane face in space.

    `rings_mm`: outer ring, then holes. Roof faces run counter-clockwise in plan (holes clockwise); upright faces
    counter-clockwise seen from the side `normal` (unit vector) points to. `outline_edges` are the 1-based outline edges
    the face rises from. `pitch_deg` is the pitch as given, where it is known: it is not worked
    out again from the normal, so 8 stays 8. `fascia_mm` is the face's height at the outline. `roof` names the roof
    it is part of, where several are put together at once.
    """

    rings_mm: tuple[Ring3, ...]
    normal: Point3
    outline_edges: tuple[int, ...] = ()
    step: int = 0
    upright: UprightKind | None = None
    pitch_deg: float | None = None
    covering: Covering = Covering.SHEETS
    fascia_mm: float = 0.0
    flat_error_mm: float = 0.0
    roof: str = ""


@record
class Plan:
    """What a roof covers in plan. `edge_numbers`: the 1-based number of each side of the outline's rings;
    `edge_names[n - 1]` is what edge n is ("eave", "gable", "wall"); `near_mm`: how near to a side an edge of the roof
    must be to lie on it."""

    name: str
    origin_mm: Point3
    outline_mm: tuple[Ring2, ...]
    wall_line_mm: tuple[Ring2, ...] = ()
    edge_numbers: tuple[tuple[int, ...], ...] = ()
    edge_names: tuple[str, ...] = ()
    cut_away_mm2: float = 0.0
    findings: tuple[Finding, ...] = ()
    near_mm: float = 0.1


@record
class Numbering:
    """How many planes, uprights, nodes and edges (by letter) the roofs before this one have: ids are unique over a
    job."""

    planes: int = 0
    uprights: int = 0
    nodes: int = 0
    edges: tuple[tuple[str, int], ...] = ()

    def after(self, roof: Roof) -> Numbering:
        """The numbering that goes on after `roof`."""
        edges = dict(self.edges)
        for edge in roof.edges:
            letter = edge.kind.row.letter
            edges[letter] = edges.get(letter, 0) + 1
        return Numbering(
            planes=self.planes + len(roof.planes),
            uprights=self.uprights + len(roof.uprights),
            nodes=self.nodes + len(roof.nodes),
            edges=tuple(sorted(edges.items())),
        )
