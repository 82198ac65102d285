"""Gutters and downpipes on the eaves of a roof."""

from __future__ import annotations

from math import radians, tan

from takeoff.basics.records import record
from takeoff.basics.vectors import Point3
from takeoff.model.basis import Working
from takeoff.model.findings import Finding

# what a method that sizes downpipes is called where a person reads
GUTTER_TYPES = "gutter_types"
METHOD_WORDS = {
    "e1_as1": "the E1/AS1 table",
    "area_per_m2": "the area rule",
    GUTTER_TYPES: "the table of gutter types",
}


@record
class GutterCorner:
    """A corner of a gutter run: "external" or "internal", plan angle between the legs [degrees]."""

    kind: str
    angle_deg: float
    at_mm: Point3


@record
class Inflow:
    """Water entering one leg between `from_mm` and `to_mm` from its left end, as plan area of roof.

    The area spreads linearly: `start_mm2` and `end_mm2` are the areas it would bring if the whole stretch took in as
    much as its start or its end does. At the foot of a valley `from_mm` equals `to_mm`. `plane`: the roof plane that
    the rain fell on, or the upright face of the wall; `pitch_deg` that plane's pitch.
    """

    from_mm: float
    to_mm: float
    start_mm2: float
    end_mm2: float
    plane: str = ""
    pitch_deg: float = 0.0

    @property
    def area_mm2(self) -> float:
        """Plan area that enters here [mm2]."""
        return (self.start_mm2 + self.end_mm2) / 2.0


@record
class ValleyFoot:
    """Where a valley empties into a run, `along_mm` from the run's start, and the plan area it brings."""

    edge: str
    at_mm: Point3
    along_mm: float
    plan_catchment_mm2: float


@record
class GutterLeg:
    """One straight leg of gutter along an eave: a to b runs left to right seen from outside. `off_walls`: what walls
    above the roof add where gutters and pipes are sized; it is in no plan catchment."""

    edge: str
    outline_edges: tuple[int, ...]
    a_mm: Point3
    b_mm: Point3
    length_mm: float
    plan_catchment_mm2: float
    inflows: tuple[Inflow, ...] = ()
    off_walls: tuple[Inflow, ...] = ()


@record
class Received:
    """Water that a run takes from a roof above it: from spreader of the downpipe `pipe`, else ("") off an eave of
    `roof` without spouting. It falls on `plane` and comes in `along_mm` from the run's start on the eave `edge`, by
    the valley `via` if any."""

    roof: str
    pipe: str
    plane: str
    along_mm: float
    plan_catchment_mm2: float
    via: str = ""
    edge: str = ""


@record
class GutterRun:
    """Legs chained round corners. A ring has no ends; otherwise one left and one right stop end.

    `plan_catchment_mm2` is the plan area that drains to it; `pitch_deg` the steepest plane draining into it.
    `internal` marks a gutter between two planes, which is not spouting. `valleys`: the valleys that empty into it.
    `received`: what of the catchment comes from roofs above.
    """

    id: str
    roof: str
    legs: tuple[GutterLeg, ...]
    corners: tuple[GutterCorner, ...]
    ring: bool
    plan_catchment_mm2: float
    pitch_deg: float
    internal: bool = False
    valleys: tuple[ValleyFoot, ...] = ()
    received: tuple[Received, ...] = ()

    @property
    def shares(self) -> tuple[PlaneShare, ...]:
        """What drains to the run by plane, in the order in which the planes come in along it; then walls above."""
        found: dict[tuple[bool, str, float], float] = {}
        for wall in (False, True):
            for leg in self.legs:
                for flow in leg.off_walls if wall else leg.inflows:
                    key = (wall, flow.plane, flow.pitch_deg)
                    found[key] = found.get(key, 0.0) + flow.area_mm2
        return tuple(PlaneShare(plane, area, pitch, wall) for (wall, plane, pitch), area in found.items())

    @property
    def wind_mm2(self) -> float:
        """Effective catchment in wind-driven rain, each plane by its own pitch, walls with it [mm2]."""
        return sum(share.wind_mm2 for share in self.shares)

    @property
    def wall_mm2(self) -> float:
        """What walls above the roof add to the catchment that gutters and pipes are sized by [mm2]."""
        return sum(flow.area_mm2 for leg in self.legs for flow in leg.off_walls)

    @property
    def sizing_mm2(self) -> float:
        """The catchment that gutters and pipes are sized by [mm2]: plan area, and what walls above the roof add."""
        return self.plan_catchment_mm2 + self.wall_mm2

    @property
    def own_catchment_mm2(self) -> float:
        """Plan catchment less what spreaders bring: that is in the catchment of the run above already [mm2]."""
        return self.plan_catchment_mm2 - sum(water.plan_catchment_mm2 for water in self.received if water.pipe)

    @property
    def length_mm(self) -> float:
        """Sum of the legs [mm]."""
        return sum(leg.length_mm for leg in self.legs)


@record
class PlaneShare:
    """What of one plane (or of the upright face of a wall above the roof) drains to a pipe: plan area, or what the wall
    adds where pipes are sized [mm2]."""

    plane: str
    area_mm2: float
    pitch_deg: float
    wall: bool = False

    @property
    def wind_mm2(self) -> float:
        """Area that counts in rain at 2 to 1 [mm2]: plan area x (1 + 0.5 tan p); of a wall as it is."""
        return self.area_mm2 if self.wall else self.area_mm2 * (1.0 + 0.5 * tan(radians(self.pitch_deg)))


@record
class Downpipe:
    """One downpipe: where its outlet is, `along_mm` from the start of its run; height from gutter to ground.

    `gutter_mm2`: section that the area rule, or the table of gutter types, asks of the gutter that brings
    `catchment_mm2` to it (0: not worked out). `gutter_length_mm`: the gutter that it drains. `shares`: what it drains
    by plane, walls above the roof with it, which are in no plan catchment.
    `onto`: the plane of a lower roof that it discharges on through a spreader; its height is then down to that plane.
    """

    id: str
    run: str
    at_mm: Point3
    along_mm: float
    height_mm: float
    catchment_mm2: float
    gutter_mm2: float = 0.0
    onto: str = ""
    gutter_length_mm: float = 0.0
    shares: tuple[PlaneShare, ...] = ()

    @property
    def wind_mm2(self) -> float:
        """Effective catchment in wind-driven rain, each plane by its own pitch, walls with it [mm2]."""
        return sum(share.wind_mm2 for share in self.shares)

    @property
    def wall_mm2(self) -> float:
        """What walls above the roof add where it is sized [mm2]."""
        return sum(share.area_mm2 for share in self.shares if share.wall)


@record
class DownpipePlan:
    """Downpipes of one run. `decided_by` names the limit that fixed the count; `limits` has (limit, count it asks
    for)."""

    run: str
    method: str
    count: int
    decided_by: str
    limits: tuple[tuple[str, int], ...]
    pipes: tuple[Downpipe, ...]
    working: Working
    findings: tuple[Finding, ...] = ()
