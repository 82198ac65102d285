"""The `walls` of a job file: heights, zones, boards, openings, elevations given by themselves."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Height, Length, Name, Offset, Part, PlanPoint, Studs, WallHeight


class OpeningJob(Part):
    """A window or door, on the wall of that number, seen from outside."""

    wall: Annotated[int, Field(ge=1)]
    from_left_mm: Offset
    sill_mm: Height
    width_mm: Length
    height_mm: Length
    name: Name | None = None


class BoardJob(Part):
    """A board that the catalogue does not know."""

    width_mm: Length
    cover_mm: Length
    kind: Literal["bevel_back", "rebated", "rusticated", "shiplap", "vertical"] | None = None
    thickness_mm: Length | None = None


class ZoneJob(Part):
    """Cladding of some walls: direction and board. Without `walls`, every wall no other zone names."""

    walls: list[Annotated[int, Field(ge=1)]] | None = None
    direction: Literal["horizontal", "vertical"] = "horizontal"
    board: Name | BoardJob
    even_coursing: bool | None = None


class ElevationJob(Part):
    """A wall given by itself, without a wall line: width, heights, and the points of a raked top."""

    name: Name
    width_mm: Length
    height_mm: WallHeight
    top: list[PlanPoint] = Field(
        default_factory=list, description="points of a raked top, x from the left, y over the floor"
    )
    left: Literal["external", "internal", "none"] = "external"
    right: Literal["external", "internal", "none"] = "external"


class WallsJob(Part):
    """Walls on the wall line of the first roof, or elevations given by themselves."""

    height_mm: WallHeight | None = Field(
        default=None, description="frame height, finished floor to the soffit line or plate"
    )
    roof: Name | None = Field(default=None, description="roof whose wall line the walls stand on; the first without it")
    elevations: list[ElevationJob] = Field(default_factory=list)
    zones: list[ZoneJob] = Field(default_factory=list)
    openings: list[OpeningJob] = Field(default_factory=list)
    ground_mm: Height | None = Field(default=None, description="ground along the walls, negative below the floor")
    ground_by_wall: dict[int, tuple[Height, Height]] = Field(
        default_factory=dict, description="ground at left and right end"
    )
    paved: bool = False
    gables: bool = Field(default=True, description="clad the gable ends above the frame height")
    stud_mm: Studs | None = None
    cavity_mm: Offset | None = None
    wrap: Name | None = None
    stock_mm: Annotated[list[Annotated[int, Field(gt=0, le=30_000)]], Field(min_length=1, max_length=40)] | None = None
