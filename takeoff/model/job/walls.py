"""The `walls` of a job file: heights, zones, boards, openings, elevations given by themselves."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Height, Length, Name, Offset, Part, PlanPoint, Studs, WallHeight


class OpeningJob(Part):
    """A window or door, on the wall of that number, seen from outside."""

    wall: Annotated[int, Field(ge=1)] = Field(description="number of the wall")
    from_left_mm: Offset = Field(description="from the wall's left end, seen from outside, to the opening")
    sill_mm: Height = Field(description="bottom of the opening over the finished floor, 0 for a door")
    width_mm: Length = Field(description="width of the opening in the frame")
    height_mm: Length = Field(description="height of the opening in the frame")
    name: Name | None = Field(default=None, description="mark of the window or door")


class BoardJob(Part):
    """A board that the catalogue does not know."""

    width_mm: Length = Field(description="whole width of the board")
    cover_mm: Length = Field(description="width that stays to be seen")
    kind: Literal["bevel_back", "rebated", "rusticated", "shiplap", "vertical"] | None = Field(
        default=None, description="how the board is cut; it sets its laps"
    )
    timber: Name | None = Field(
        default=None,
        description="timber of the board, by the names of the code's table; the setting board_timber without it",
    )
    thickness_mm: Length | None = Field(
        default=None, description="thickness of the board; the setting board_thickness_mm without it"
    )


class ZoneJob(Part):
    """Cladding of some walls: direction and board. Without `walls`, every wall no other zone names."""

    walls: list[Annotated[int, Field(ge=1)]] | None = Field(
        default=None, description="numbers of the walls; without them every wall no other zone names"
    )
    direction: Literal["horizontal", "vertical"] = Field(default="horizontal", description="how the boards run")
    board: Name | BoardJob = Field(description="board of the catalogue, or width and cover of another")
    even_coursing: bool | None = Field(
        default=None, description="whether courses are evened out; only plain bevel-back boards can be"
    )
    break_mm: Height | None = Field(
        default=None,
        description="height over the finished floor of the level break of vertical boards; without it one is chosen "
        "where boards are longer than their stock",
    )


class ElevationJob(Part):
    """A wall given by itself, without a wall line: width, heights, and the points of a raked top."""

    name: Name = Field(description="name of the wall")
    width_mm: Length = Field(description="width of the wall")
    height_mm: WallHeight = Field(description="height over the finished floor")
    top: list[PlanPoint] = Field(
        default_factory=list, description="points of a raked top, x from the left, y over the floor"
    )
    left: Literal["external", "internal", "none"] = Field(
        default="external", description="corner at its left end, seen from outside"
    )
    right: Literal["external", "internal", "none"] = Field(default="external", description="corner at its right end")


class WallsJob(Part):
    """Walls on the wall line of the first roof, or elevations given by themselves."""

    height_mm: WallHeight | None = Field(
        default=None, description="frame height, finished floor to the soffit line or plate"
    )
    roof: Name | None = Field(default=None, description="roof whose wall line the walls stand on; the first without it")
    elevations: list[ElevationJob] = Field(default_factory=list, description="walls given by themselves")
    zones: list[ZoneJob] = Field(default_factory=list, description="which board clads which walls")
    openings: list[OpeningJob] = Field(default_factory=list, description="windows and doors")
    ground_mm: Height | None = Field(default=None, description="ground along the walls, negative below the floor")
    ground_by_wall: dict[int, tuple[Height, Height]] = Field(
        default_factory=dict, description="ground at left and right end"
    )
    paved: bool = Field(default=False, description="whether the ground along the walls is paved")
    gables: bool = Field(default=True, description="clad the gable ends above the frame height")
    stud_mm: Studs | None = Field(default=None, description="stud spacing; the setting stud_mm without it")
    cavity_mm: Offset | None = Field(
        default=None, description="depth of the drained cavity; the setting cavity_mm without it"
    )
    wrap: Name | None = Field(default=None, description="wall wrap of the catalogue")
    stock_mm: Annotated[list[Annotated[int, Field(gt=0, le=30_000)]], Field(min_length=1, max_length=40)] | None = (
        Field(default=None, description="lengths that boards are sold in")
    )
