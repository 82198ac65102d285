"""The roof as a shape: planes, upright faces, edges and nodes. Lengths in mm, angles in degrees, z = 0 finished floor.

What kinds of edge there are stands in model/edge_kinds.py.

Plane frame, looking at the plane from outside below its eave:

         ridge
     +-----------+        v  up the slope
    /             \\       ^
   /     plane     \\      |        u  level, left to right
  +-----------------+     +--> u   n = u x v points outward
         eave
"""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.polygons import rings_area
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, Point3, Ring2
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding


class Covering(StrEnum):
    """Whether a plane is sheeted. `other` (a flat top, a membrane) is measured and drained, not sheeted."""

    SHEETS = "sheets"
    OTHER = "other"


class UprightKind(StrEnum):
    """What a vertical face of the roof is."""

    GABLE = "gable"
    CHEEK = "cheek"
    STEP = "step"
    ABUTTING = "abutting"
    KERB = "kerb"


@record
class Frame:
    """Right-handed unit axes in space. A plane point (u, v) lies at origin + u*u_axis + v*v_axis."""

    origin_mm: Point3
    u: Point3
    v: Point3
    n: Point3

    def to_space(self, point: Point2) -> Point3:
        """Plane coordinates (u, v) [mm] to space [mm]."""
        a, b = point
        return (
            self.origin_mm[0] + a * self.u[0] + b * self.v[0],
            self.origin_mm[1] + a * self.u[1] + b * self.v[1],
            self.origin_mm[2] + a * self.u[2] + b * self.v[2],
        )

    def to_plane(self, point: Point3) -> Point2:
        """A point in space [mm] to (u, v) [mm]; its distance off the plane is dropped."""
        x, y, z = (point[0] - self.origin_mm[0], point[1] - self.origin_mm[1], point[2] - self.origin_mm[2])
        return (
            x * self.u[0] + y * self.u[1] + z * self.u[2],
            x * self.v[0] + y * self.v[1] + z * self.v[2],
        )


@record
class RoofPlane:
    """A connected coplanar region of roof. `rings_uv`: outer ring counter-clockwise, then holes, least u and v are 0.

    `outline_edges` are the 1-based edges of the outline it rises from (several where collinear); `bearing_deg` is the
    compass bearing of the downhill direction, clockwise from north; `fascia_height_mm` is the plane's height over z = 0
    at the outline; `flat_error_mm` is how far imported points lie off the fitted plane. `covered_uv`: what of it lies
    under a higher roof of the job, where no rain falls: polygons (outer ring, then holes) that do not overlap.
    """

    id: str
    roof: str
    frame: Frame
    rings_uv: tuple[Ring2, ...]
    outline_edges: tuple[int, ...]
    step: int
    pitch_deg: float
    bearing_deg: float
    area_mm2: float
    plan_area_mm2: float
    fascia_height_mm: float = 0.0
    covering: Covering = Covering.SHEETS
    flat_error_mm: float = 0.0
    covered_uv: tuple[tuple[Ring2, ...], ...] = ()

    @property
    def covered_mm2(self) -> float:
        """Plan area that lies under a higher roof [mm2]."""
        return sum(rings_area(rings) for rings in self.covered_uv) * self.frame.n[2]


@record
class UprightFace:
    """A vertical face of the roof: it joins planes, carries no sheets, and is no part of the roof area.

    `outline_edge` is the 1-based outline edge a gable stands on, 0 where there is none.
    """

    id: str
    roof: str
    frame: Frame
    rings_uv: tuple[Ring2, ...]
    kind: UprightKind
    area_mm2: float
    outline_edge: int = 0


@record
class Node:
    """A point where edges meet: mitres, gutter corners, valley ends. `edges` are edge ids."""

    id: str
    at_mm: Point3
    edges: tuple[str, ...]


@record
class RoofEdge:
    """The longest straight run with the same two faces and kind.

    `a_mm` is the lower end (for level edges the left end, seen from outside the first face). `low` and `high` are node
    ids of a and b. `faces`: ids of the roof planes and upright faces that meet here, the left plane first when looking
    up from a to b; a free edge has one. `between_deg` is the included angle between the two faces, under 180, `convex`
    when it opens downward (ridge, hip); a free edge has 180. `outline_edges`: 1-based, for edges on the outline. An
    edge where two roofs meet (valleys of a dormer) stands in both with one id; `roof` names the one that counts it.
    """

    id: str
    roof: str
    kind: EdgeKind
    low: str
    high: str
    a_mm: Point3
    b_mm: Point3
    faces: tuple[str, ...]
    length_mm: float
    plan_length_mm: float
    slope_deg: float
    between_deg: float
    convex: bool
    outline_edges: tuple[int, ...] = ()


@record
class Roof:
    """One closed roof. `outline_mm` and `wall_line_mm`: rings (outer, then courtyards) in plan, as typed, from
    `origin_mm`.

    `edge_names`: what each outline edge is ("eave", "gable", "wall"), in typed order. `cut_away_mm2` is plan area
    declared as cut away at walls. `partial` marks a takeoff of what could be solved, on request. `edge_numbers`: the
    1-based edge that each side of the outline's rings is; jogs of the overhang are numbered after the typed edges.
    """

    name: str
    origin_mm: Point3
    outline_mm: tuple[Ring2, ...]
    wall_line_mm: tuple[Ring2, ...]
    edge_names: tuple[str, ...]
    planes: tuple[RoofPlane, ...]
    uprights: tuple[UprightFace, ...]
    edges: tuple[RoofEdge, ...]
    nodes: tuple[Node, ...]
    cut_away_mm2: float = 0.0
    closed: bool = True
    partial: bool = False
    findings: tuple[Finding, ...] = ()
    edge_numbers: tuple[tuple[int, ...], ...] = ()

    @property
    def own_edges(self) -> tuple[RoofEdge, ...]:
        """The edges that this roof counts: one that several roofs share is counted by the roof it names."""
        return tuple(edge for edge in self.edges if edge.roof == self.name)

    def plane(self, plane_id: str) -> RoofPlane:
        """The plane of that id. Raises KeyError."""
        for plane in self.planes:
            if plane.id == plane_id:
                return plane
        raise KeyError(plane_id)

    def edges_of(self, face_id: str) -> tuple[RoofEdge, ...]:
        """The edges that bound a face, in the roof's order."""
        return tuple(edge for edge in self.edges if face_id in edge.faces)
