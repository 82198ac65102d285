"""The job file's schema and the record of a job in one: what a person writes down to have a house taken off.

Lengths in mm, pitches in degrees, edges and walls numbered from 1 as they are typed. Keys that are not here are faults.
"""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Length = Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False)]
Offset = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]
Height = Annotated[float, Field(ge=-100_000, le=1_000_000, allow_inf_nan=False)]
Pitch = Annotated[float, Field(ge=1, le=85, allow_inf_nan=False)]
Coordinate = Annotated[float, Field(ge=-1e11, le=1e11, allow_inf_nan=False)]
PlanPoint = tuple[Coordinate, Coordinate]
PlanRing = Annotated[list[PlanPoint], Field(min_length=3, max_length=20_000)]
SPACING_MM = (200.0, 3_000.0)  # purlins and their supports, least and most: closer or wider is a slip of the pen
STUD_MM = (150.0, 1_500.0)
WALL_MM = 12_000.0  # a higher wall is no house's
Spacing = Annotated[float, Field(ge=SPACING_MM[0], le=SPACING_MM[1], allow_inf_nan=False)]
Studs = Annotated[float, Field(ge=STUD_MM[0], le=STUD_MM[1], allow_inf_nan=False)]
WallHeight = Annotated[float, Field(gt=0, le=WALL_MM, allow_inf_nan=False)]
Name = Annotated[str, Field(min_length=1, max_length=60)]
Bearing = Literal["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, use_enum_values=False)


class WindZone(StrEnum):
    """Wind zones of timber-framed building practice."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"
    VERY_HIGH = "very_high"
    EXTRA_HIGH = "extra_high"


class Site(_Part):
    """Where the house stands, as far as the order cares."""

    wind_zone: WindZone | None = Field(
        default=None, strict=False, description="low, medium, high, very_high or extra_high"
    )
    rain_mm_per_h: Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)] | None = Field(
        default=None, description="design rainfall intensity for gutters [mm/h]"
    )
    rain_mm_per_year: Annotated[float, Field(gt=0, le=30_000, allow_inf_nan=False)] | None = Field(
        default=None, description="rain of an average year, for what a tank is fed [mm]"
    )
    longest_piece_mm: Length | None = Field(
        default=None, description="longest sheet that can be brought to the site [mm]"
    )


class RiseStep(_Part):
    """One step of an edge's rise: a pitch (or vertical, or flat) up to a height above that edge's fascia."""

    up_to_mm: Length | None = Field(
        default=None, description="height above this edge's fascia where the step ends; none: to the top"
    )
    pitch_deg: Pitch | None = Field(default=None, description="pitch of the step")
    vertical: bool = Field(default=False, description="true: the step stands upright")
    flat: bool = Field(default=False, description="true: what is left at this height is one level top")


class TwoSlopes(_Part):
    """A mansard or gambrel: steep below, flatter above, the break at a height above the edge's fascia."""

    lower_pitch_deg: Pitch
    to_mm: Length = Field(description="height above the fascia where the upper slope begins")
    upper_pitch_deg: Pitch


class SprocketJob(_Part):
    """The flatter foot of a slope: its pitch, and the height above the edge's fascia up to which it goes."""

    pitch_deg: Pitch
    to_mm: Length = Field(description="height above the fascia where the slope goes on at its own pitch")


class EdgeJob(_Part):
    """What differs on one edge of an outline. At most one of half hip, gablet, mansard, gambrel, sprocket and rise."""

    kind: Literal["eave", "gable", "wall"] | None = Field(
        default=None, description="eave, gable, or wall (the roof stops against one)"
    )
    pitch_deg: Pitch | None = None
    eave_overhang_mm: Offset | None = None
    verge_overhang_mm: Offset | None = None
    fascia_height_mm: Height | None = None
    rise: Annotated[list[RiseStep], Field(min_length=1, max_length=8)] | None = Field(
        default=None,
        description="pitch by height, lowest first: half hips, gablets, mansards, gambrels, sprockets, flat tops",
    )
    start_side: Literal["left", "right"] | None = Field(
        default=None, description="side sheet laying starts from, seen from below the eave"
    )
    half_hip_from_mm: Length | None = Field(
        default=None, description="a gable up to this height above its fascia, hipped from there at the pitch"
    )
    gablet_from_mm: Length | None = Field(
        default=None, description="hipped at the pitch up to this height above its fascia, a small gable from there"
    )
    mansard: TwoSlopes | None = Field(default=None, description="steep below, flatter above")
    gambrel: TwoSlopes | None = Field(default=None, description="steep below, flatter above, between gable ends")
    sprocket: SprocketJob | None = Field(default=None, description="flatter at the foot, the pitch above")

    @property
    def rise_words(self) -> tuple[str, ...]:
        """Keys given that say how the edge changes as it rises; sound edges have one at most."""
        return tuple(key for key in RISE_WORDS if getattr(self, key) is not None)


RISE_WORDS = ("rise", "half_hip_from_mm", "gablet_from_mm", "mansard", "gambrel", "sprocket")
ROOF_WORDS = ("mansard", "gambrel", "sprocket")


class CoveringJob(_Part):
    """How a roof's planes are covered."""

    profile: Name = "corrugated"
    bmt_mm: Annotated[float, Field(gt=0, le=3, allow_inf_nan=False)] | None = Field(
        default=None, description="base metal thickness [mm]"
    )
    lay_from: Bearing | None = Field(default=None, description="lee end: laying goes from here towards the wind")
    colour: Annotated[str, Field(max_length=60)] = ""
    first_cover_mm: Length | None = Field(
        default=None, description="visible width of the first strip, when it is ripped"
    )


class MeshJob(_Part):
    """A roof taken from a mesh file instead of an outline."""

    file: Annotated[str, Field(min_length=1, max_length=400)]
    unit: Literal["mm", "cm", "m", "in", "ft"] | None = Field(
        default=None, description="unit of the file; without it a finding says what was taken"
    )
    up: Literal["x", "y", "z", "-x", "-y", "-z"] | None = Field(
        default=None, description="axis that points up; without it a finding says what was taken"
    )
    edge_is: Literal["outline", "wall_line", "sheet_end", "spouting_outside"] = Field(
        default="outline",
        description="which line the model's roof edge is drawn to: outline, wall_line (moved out by the overhangs), "
        "sheet_end (in by what sheets go past the fascia) or spouting_outside (in by the gutter's width)",
    )


class PenetrationJob(_Part):
    """A hole through a roof: a pipe, a flue, a rooflight on a kerb or a roof window, by its middle on the plan."""

    name: Name | None = None
    kind: Literal["pipe", "flue", "rooflight", "roof_window"]
    at: PlanPoint
    diameter_mm: Length | None = Field(default=None, description="of an upright round pipe or flue")
    width_mm: Length | None = Field(default=None, description="across the slope")
    length_mm: Length | None = Field(default=None, description="up the slope, measured on it")


class RooflightSheetJob(_Part):
    """Clear sheet of the roof's profile in place of metal: from the left end of an eave seen from outside, up the
    slope. Without up_mm it begins at the eave, without length_mm it goes to the top."""

    name: Name | None = None
    edge: Annotated[int, Field(ge=1, description="outline edge that is the eave under it")]
    from_left_mm: Offset = Field(description="along that edge of the outline to the middle of the first strip meant")
    strips: Annotated[int, Field(ge=1, le=100)] = Field(default=1, description="strips side by side, to the right")
    up_mm: Offset | None = None
    length_mm: Length | None = None


class RoofJob(_Part):
    """One roof: an outline or a wall line with pitches, or a mesh."""

    name: Name = "main"
    wall_line: PlanRing | None = Field(default=None, description="outside of framing, points in order")
    outline: PlanRing | None = Field(default=None, description="outer face of fascia or barge, points in order")
    courtyards: Annotated[list[PlanRing], Field(max_length=50)] = Field(
        default_factory=list, description="holes in the wall line or outline; their edges are numbered on"
    )
    mesh: MeshJob | None = None
    eave_overhang_mm: Offset = 0.0
    verge_overhang_mm: Offset = 0.0
    fascia_height_mm: Height | None = Field(
        default=None, description="underside of sheets above finished floor at the outline"
    )
    pitch_deg: Pitch | None = None
    edges: dict[int, EdgeJob] = Field(default_factory=dict)
    covering: CoveringJob = Field(default_factory=lambda: CoveringJob())
    below: Name | None = Field(default=None, description="name of the higher roof at whose wall line this one is cut")
    no_spouting_on: list[int] = Field(
        default_factory=list, description="outline edges of this roof that carry no spouting"
    )
    allow_partial: bool = Field(
        default=False, description="take off what closes of an imported shape and mark it partial"
    )
    mansard: TwoSlopes | None = Field(
        default=None, description="on eaves with no pitch or rise of their own: two slopes"
    )
    gambrel: TwoSlopes | None = Field(
        default=None, description="on eaves with no pitch or rise of their own: two slopes"
    )
    sprocket: SprocketJob | None = Field(
        default=None, description="on eaves with no pitch or rise of their own: a flatter foot"
    )
    flat_top_at_mm: Length | None = Field(
        default=None, description="height above the roof's fascia at which everything left is one level top"
    )
    penetrations: Annotated[list[PenetrationJob], Field(max_length=500)] = Field(
        default_factory=list, description="holes through the roof: pipes, flues, rooflights, roof windows"
    )
    rooflight_sheets: Annotated[list[RooflightSheetJob], Field(max_length=500)] = Field(
        default_factory=list, description="clear sheets of the roof's own profile in place of metal ones"
    )

    @property
    def rise_words(self) -> tuple[str, ...]:
        """Keys given that say how eaves change as they rise; a sound roof has one at most."""
        return tuple(key for key in ROOF_WORDS if getattr(self, key) is not None)


class PurlinsJob(_Part):
    """Purlins: section by width x depth (laid on flat), gauge, and the rafters that carry them."""

    section: Annotated[str, Field(pattern=r"^\d{2,3}x\d{2,3}$")] | None = None
    spacing_mm: Spacing | None = None
    supports_mm: Spacing | None = Field(default=None, description="rafter or truss spacing")
    stock_mm: Annotated[list[Annotated[int, Field(gt=0, le=30_000)]], Field(min_length=1, max_length=40)] | None = None


class UnderlayJob(_Part):
    """Roof underlay."""

    roll: Name | None = None
    direction: Literal["horizontal", "vertical"] | None = None


class RainwaterJob(_Part):
    """Spouting, downpipes and the method that sizes them."""

    gutter: Name | None = None
    downpipe: Name | None = None
    method: Literal["e1_as1", "area_per_m2"] | None = None
    ground_mm: Height | None = Field(
        default=None, description="ground level at the downpipes, negative below the floor"
    )
    soffit_mm: Height | None = None
    none_on: list[int] = Field(
        default_factory=list, description="outline edges of the first roof that carry no spouting"
    )
    downpipes_at: list[PlanPoint] = Field(
        default_factory=list, description="places of the downpipes on the plan, by hand"
    )


class OpeningJob(_Part):
    """A window or door, on the wall of that number, seen from outside."""

    wall: Annotated[int, Field(ge=1)]
    from_left_mm: Offset
    sill_mm: Height
    width_mm: Length
    height_mm: Length
    name: Name | None = None


class BoardJob(_Part):
    """A board that the catalogue does not know."""

    width_mm: Length
    cover_mm: Length
    kind: Literal["bevel_back", "rebated", "rusticated", "shiplap", "vertical"] | None = None
    thickness_mm: Length | None = None


class ZoneJob(_Part):
    """Cladding of some walls: direction and board. Without `walls`, every wall no other zone names."""

    walls: list[Annotated[int, Field(ge=1)]] | None = None
    direction: Literal["horizontal", "vertical"] = "horizontal"
    board: Name | BoardJob
    even_coursing: bool | None = None


class ElevationJob(_Part):
    """A wall given by itself, without a wall line: width, heights, and the points of a raked top."""

    name: Name
    width_mm: Length
    height_mm: WallHeight
    top: list[PlanPoint] = Field(
        default_factory=list, description="points of a raked top, x from the left, y over the floor"
    )
    left: Literal["external", "internal", "none"] = "external"
    right: Literal["external", "internal", "none"] = "external"


class WallsJob(_Part):
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


class ProfileJob(_Part):
    """A sheet profile the catalogue does not know."""

    name: Name | None = None
    cover_mm: Length
    overall_mm: Length
    rib_pitch_mm: Length
    depth_mm: Length
    least_pitch_deg: Annotated[float, Field(ge=0, le=85, allow_inf_nan=False)]
    least_pitch_lapped_deg: Annotated[float, Field(ge=0, le=85, allow_inf_nan=False)] | None = None
    half_turn_same: bool = False
    girth_mm: Length | None = None
    # keys of a mapping are read as text
    kg_per_m: dict[
        Annotated[float, Field(strict=False, gt=0, le=3, allow_inf_nan=False)],
        Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)],
    ] = Field(default_factory=dict, description="mass of a metre of sheet [kg] by base metal thickness [mm]")
    expansion_limit_mm: Length | None = None
    foot_turn_mm: Offset = 0.0


class RatesJob(_Part):
    """The user's own prices, for whoever wants the order priced. Nothing is priced that is not given here."""

    currency: Annotated[str, Field(max_length=20)] = Field(default="", description="word printed with amounts")
    prices: dict[
        Annotated[str, Field(min_length=1, max_length=200)],
        Annotated[float, Field(ge=0, le=1e9, allow_inf_nan=False)],
    ] = Field(default_factory=dict, description="price of a unit (m, each, roll, box) by item id or name of a line")
    extra_percent: dict[str, Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]] = Field(
        default_factory=dict, description="extra on a delivery [%], added once and shown apart from computed waste"
    )


class Job(_Part):
    """A house to be taken off."""

    job: Name
    revision: Annotated[str, Field(max_length=12)] = "A"
    date: datetime.date | None = Field(default=None, strict=False, description="date printed on the order")
    north_deg: Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False)] = Field(
        default=0.0, description="bearing of plan up (+y), clockwise from north"
    )
    site: Site = Field(default_factory=lambda: Site())
    roofs: Annotated[list[RoofJob], Field(min_length=0, max_length=40)] = Field(default_factory=list)
    purlins: PurlinsJob = Field(default_factory=lambda: PurlinsJob())
    underlay: UnderlayJob = Field(default_factory=lambda: UnderlayJob())
    rainwater: RainwaterJob = Field(default_factory=lambda: RainwaterJob())
    walls: WallsJob | None = None
    profiles: dict[str, ProfileJob] = Field(default_factory=dict)
    rates: RatesJob | None = Field(default=None, description="prices of your own and extras by delivery")
    settings: dict[str, float | str | bool] = Field(
        default_factory=dict, description="any setting of the catalogue by name; its basis becomes set in the job"
    )

    @property
    def bare_edges(self) -> dict[str, tuple[int, ...]]:
        """Outline edges without spouting (1-based) by name of the roof; `rainwater.none_on` are those of the first."""
        first = self.rainwater.none_on if self.roofs else []
        return {
            roof.name: tuple(dict.fromkeys([*roof.no_spouting_on, *(first if i == 0 else [])]))
            for i, roof in enumerate(self.roofs)
        }
