"""The `walls` of a job file: heights, zones, boards, openings, elevations given by themselves."""

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.faces import Unit
from takeoff.model.job.fields import Height, Length, Name, Offset, Part, PlanPoint, Studs, WallHeight, no_entries
from takeoff.model.job.roofs import PartName

LayerName = Annotated[str, Field(min_length=1, max_length=255)]


class OpeningJob(Part):
    """A window or door, on the wall of that number, seen from outside."""

    wall: Annotated[int, Field(ge=1)] = Field(description="number of the wall")
    from_left_mm: Offset = Field(description="from the wall's left end, seen from outside, to the opening")
    sill_mm: Height = Field(description="bottom of the opening over the finished floor, 0 for a door")
    width_mm: Length = Field(description="width of the opening in the frame")
    height_mm: Length = Field(description="height of the opening in the frame")
    name: Name | None = Field(default=None, description="mark of the window or door")
    kind: Literal["window", "door", "meter_box", "vent"] | None = Field(
        default=None,
        description="what it is: a meter box has no sill tray, a vent no flashings and no scribers; without it a "
        "window, or a door where it goes down to the floor",
    )
    storey: Annotated[int, Field(ge=1, le=20)] | None = Field(
        default=None,
        description="storey of the wall whose floor the sill is over, the lowest 1; without it the main floor",
    )


class StoreyJob(Part):
    """A storey of the walls on a roof's wall line; the storeys of one roof from the lowest up."""

    roof: Name = Field(description="name of the roof on whose wall line the storey stands")
    floor_mm: Height = Field(description="its finished floor over the main floor")
    height_mm: WallHeight = Field(description="frame height, that floor to the soffit line or plate over it")


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


class GroundJob(Part):
    """A part of the ground along a wall that differs from the rest: paving, a deck, a planted bed."""

    wall: Annotated[int, Field(ge=1)] = Field(description="number of the wall")
    from_left_mm: Offset = Field(default=0.0, description="from here from the wall's left end, seen from outside")
    width_mm: Length | None = Field(default=None, description="so far along the wall; without it to its right end")
    level_mm: Height = Field(description="its level over the finished floor, negative below it")
    kind: Literal["paved", "unpaved", "deck"] = Field(description="what it is")


class ZoneJob(Part):
    """Cladding of some walls, or of a part of them: direction and board. Without `walls`, every wall no other zone
    names; of a part, every wall."""

    walls: list[Annotated[int, Field(ge=1)]] | None = Field(
        default=None, description="numbers of the walls; without them every wall no other zone names"
    )
    from_mm: Height | None = Field(default=None, description="a part of the wall: from this height over the main floor")
    to_mm: Height | None = Field(default=None, description="a part of the wall: up to this height over the main floor")
    from_left_mm: Offset | None = Field(
        default=None, description="a part of the wall: from here from its left end, seen from outside"
    )
    width_mm: Length | None = Field(default=None, description="a part of the wall: so wide")
    polygon: Annotated[list[PlanPoint], Field(min_length=3, max_length=200)] | None = Field(
        default=None, description="a part of the wall by its corners, x from the left, y over the main floor"
    )
    direction: Literal["horizontal", "vertical", "sheets", "none"] = Field(
        default="horizontal", description="how the boards run; sheets of a profile upright; none leaves the zone out"
    )
    profile: Name | None = Field(
        default=None, description="with direction sheets: sheet profile of the catalogue, or one of the job's own"
    )
    board: Name | BoardJob | None = Field(
        default=None, description="board of the catalogue, or width and cover of another"
    )
    even_coursing: bool | None = Field(
        default=None, description="whether courses are evened out; only plain bevel-back boards can be"
    )
    break_mm: Height | None = Field(
        default=None,
        description="height over the finished floor of the level break of vertical boards; without it one is chosen "
        "where boards are longer than their stock",
    )

    pack_pieces: Annotated[int, Field(ge=2, le=1000)] | None = Field(
        default=None, description="the board is sold in packs of so many of one length; without it by the length"
    )
    pack_m2: Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)] | None = Field(
        default=None, description="random lengths of the board are sold in bundles that cover so many m2"
    )

    @property
    def shaped(self) -> bool:
        """Whether the zone takes a part of its walls."""
        given = (self.from_mm, self.to_mm, self.from_left_mm, self.width_mm, self.polygon)
        return any(value is not None for value in given)


class ElevationJob(Part):
    """A wall given by itself, without a wall line: width, heights, and the points of a raked top."""

    name: Name = Field(description="name of the wall")
    width_mm: Length = Field(description="width of the wall")
    height_mm: WallHeight = Field(description="height over the finished floor")
    top: list[PlanPoint] = Field(
        default_factory=no_entries, description="points of a raked top, x from the left, y over the floor"
    )
    left: Literal["external", "internal", "none"] = Field(
        default="external", description="corner at its left end, seen from outside"
    )
    right: Literal["external", "internal", "none"] = Field(default="external", description="corner at its right end")


class DrawnElevationJob(Part):
    """A wall as a drawing shows it from outside: its outline on one layer, its windows and doors on others."""

    file: Annotated[str, Field(min_length=1, max_length=400)] = Field(description="DXF drawing beside the job")
    layer: LayerName = Field(description="layer that holds the wall's outline, a closed ring")
    part: PartName | None = Field(default=None, description="which ring of that layer, by its number there")
    windows: LayerName | None = Field(default=None, description="layer whose rings are windows; without it none are")
    doors: LayerName | None = Field(default=None, description="layer whose rings are doors; without it none are")
    unit: Unit | None = Field(default=None, description="unit of the file; without it its size must leave no doubt")
    name: Name | None = Field(default=None, description="name of the wall; the layer's without it")
    floor_above_foot_mm: Offset | None = Field(
        default=None, description="finished floor over the foot of the drawn wall; at its foot without it"
    )
    left: Literal["external", "internal", "none"] = Field(
        default="external", description="corner at its left end, seen from outside"
    )
    right: Literal["external", "internal", "none"] = Field(default="external", description="corner at its right end")


class WallsJob(Part):
    """Walls on the wall lines of the roofs, and elevations given by themselves."""

    height_mm: WallHeight | None = Field(
        default=None, description="frame height, finished floor to the soffit line or plate"
    )
    roof: Name | None = Field(
        default=None, description="roof on whose wall line alone the walls stand; without it on every wall line"
    )
    storeys: Annotated[list[StoreyJob], Field(max_length=100)] = Field(
        default_factory=no_entries, description="floors and heights by wall line, where they are not the main floor's"
    )
    elevations: list[ElevationJob] = Field(default_factory=no_entries, description="walls given by themselves")
    drawn_elevations: Annotated[list[DrawnElevationJob], Field(max_length=100)] = Field(
        default_factory=no_entries, description="walls taken from drawings, numbered after those of elevations"
    )
    zones: list[ZoneJob] = Field(default_factory=no_entries, description="which board clads which walls")
    openings: list[OpeningJob] = Field(default_factory=no_entries, description="windows and doors")
    ground_mm: Height | None = Field(default=None, description="ground along the walls, negative below the floor")
    ground_by_wall: dict[int, tuple[Height, Height]] = Field(
        default_factory=dict, description="ground at left and right end"
    )
    on_concrete: Annotated[list[Annotated[int, Field(ge=1)]], Field(max_length=500)] = Field(
        default_factory=no_entries,
        description="numbers of the walls whose bottom plate stands on concrete: a damp-proof course goes under it",
    )
    paved: bool = Field(default=False, description="whether the ground along the walls is paved")
    grounds: Annotated[list[GroundJob], Field(max_length=500)] = Field(
        default_factory=no_entries, description="paved parts, beds and decks along single walls"
    )
    gables: bool = Field(default=True, description="clad the gable ends above the frame height")
    stud_mm: Studs | None = Field(default=None, description="stud spacing; the setting stud_mm without it")
    cavity_mm: Offset | None = Field(
        default=None, description="depth of the drained cavity; the setting cavity_mm without it"
    )
    wrap: Name | None = Field(default=None, description="wall wrap of the catalogue")
    stock_mm: Annotated[list[Annotated[int, Field(gt=0, le=30_000)]], Field(min_length=1, max_length=40)] | None = (
        Field(default=None, description="lengths that boards are sold in")
    )
