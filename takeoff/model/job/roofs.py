"""The `roofs` of a job file: shapes, coverings, holes and clear sheets."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from takeoff.model.faces import Axis, Unit
from takeoff.model.job.edges import ROOF_WORDS, EdgeJob, SprocketJob, TwoSlopes
from takeoff.model.job.fields import Bearing, Height, Length, Name, Offset, Part, Pitch, PlanPoint, PlanRing, no_entries


def _as_text(value: object) -> object:
    """A number typed where an id or name is meant."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


_ID = {"type": "string", "minLength": 1, "maxLength": 255}
PartName = Annotated[
    str,
    Field(min_length=1, max_length=255),
    BeforeValidator(_as_text),
    WithJsonSchema({"anyOf": [_ID, {"type": "integer", "minimum": 1}]}),
]
BodyName = Annotated[str, Field(min_length=1, max_length=255)] | Annotated[int, Field(ge=1)]


class CoveringJob(Part):
    """How a roof's planes are covered."""

    profile: Name = Field(default="corrugated", description="sheet profile of the catalogue, or one of the job's own")
    bmt_mm: Annotated[float, Field(gt=0, le=3, allow_inf_nan=False)] | None = Field(
        default=None, description="base metal thickness [mm]"
    )
    lay_from: Bearing | None = Field(default=None, description="lee end: laying goes from here towards the wind")
    colour: Annotated[str, Field(max_length=60)] = Field(default="", description="colour printed on the mill order")
    first_cover_mm: Length | None = Field(
        default=None, description="visible width of the first strip, when it is ripped"
    )


class ShapeJob(Part):
    """A roof taken from a file: a model's faces, or a drawing's outline."""

    file: Annotated[str, Field(min_length=1, max_length=400)] = Field(description="model or drawing beside the job")
    layer: Annotated[str, Field(min_length=1, max_length=255)] | None = Field(
        default=None, description="layer of a drawing that holds the outline"
    )
    part: PartName | None = Field(
        default=None, description="which building, part or ring of the file is meant: its id, name or number there"
    )
    unit: Unit | None = Field(default=None, description="unit of the file; without it the shape must leave no doubt")
    up: Axis | None = Field(default=None, description="axis that points up; without it the shape must leave no doubt")
    edge_is: Literal["outline", "wall_line", "sheet_end", "spouting_outside"] = Field(
        default="outline",
        description="which line the model's roof edge is drawn to: outline, wall_line (moved out by the overhangs), "
        "sheet_end (in by what sheets go past the fascia) or spouting_outside (in by the gutter's width)",
    )
    use: Annotated[list[BodyName], Field(max_length=1000)] = Field(
        default_factory=no_entries,
        description="bodies of the model that are the roof, by number or name; no others are",
    )
    leave_out: Annotated[list[BodyName], Field(max_length=1000)] = Field(
        default_factory=no_entries, description="bodies of the model that are no roof, by number or name"
    )
    face: Literal["top", "underside"] | None = Field(
        default=None, description="which face of a roof with thickness the sheets lie on; without it the top"
    )
    steep: Literal["wall", "roof"] = Field(
        default="wall", description="what faces as steep as model_wall_from_deg are: wall, or roof up to 85 degrees"
    )
    floor_at_mm: Annotated[float, Field(ge=-1e7, le=1e7, allow_inf_nan=False)] | None = Field(
        default=None, description="height of the finished floor in the model [mm], for models at survey heights"
    )


class PenetrationJob(Part):
    """A hole through a roof: a pipe, a flue, a rooflight on a kerb or a roof window, by its middle on the plan."""

    name: Name | None = Field(default=None, description="mark of the hole")
    kind: Literal["pipe", "flue", "rooflight", "roof_window"] = Field(description="what goes through the roof")
    at: PlanPoint = Field(description="middle of the hole on the plan [x, y]")
    diameter_mm: Length | None = Field(default=None, description="of an upright round pipe or flue")
    width_mm: Length | None = Field(default=None, description="across the slope")
    length_mm: Length | None = Field(default=None, description="up the slope, measured on it")


class RooflightSheetJob(Part):
    """Clear sheet of the roof's profile in place of metal: from the left end of an eave seen from outside, up the
    slope. Without up_mm it begins at the eave, without length_mm it goes to the top."""

    name: Name | None = Field(default=None, description="mark of the clear sheets")
    edge: Annotated[int, Field(ge=1, description="outline edge that is the eave under it")]
    from_left_mm: Offset = Field(description="along that edge of the outline to the middle of the first strip meant")
    strips: Annotated[int, Field(ge=1, le=100)] = Field(default=1, description="strips side by side, to the right")
    up_mm: Offset | None = Field(
        default=None, description="from the foot of the metal sheets up the slope to the clear one"
    )
    length_mm: Length | None = Field(default=None, description="length of the clear sheet up the slope")


class RoofJob(Part):
    """One roof: an outline or a wall line with pitches, or a shape from a file."""

    name: Name = Field(default="main", description="name of the roof")
    wall_line: PlanRing | None = Field(default=None, description="outside of framing, points in order")
    outline: PlanRing | None = Field(default=None, description="outer face of fascia or barge, points in order")
    courtyards: Annotated[list[PlanRing], Field(max_length=50)] = Field(
        default_factory=no_entries, description="holes in the wall line or outline; their edges are numbered on"
    )
    shape: ShapeJob | None = Field(default=None, description="a model or a drawing in place of an outline")
    mesh: ShapeJob | None = Field(default=None, description="another word for shape")
    eave_overhang_mm: Offset = Field(default=0.0, description="wall line to outline at eaves")
    verge_overhang_mm: Offset = Field(default=0.0, description="wall line to outline at gables")
    fascia_height_mm: Height | None = Field(
        default=None, description="underside of sheets above finished floor at the outline"
    )
    pitch_deg: Pitch | None = Field(default=None, description="pitch of every eave that has none of its own")
    edges: dict[int, EdgeJob] = Field(
        default_factory=dict, description="what differs on single edges, by the number of the edge"
    )
    covering: CoveringJob = Field(
        default_factory=lambda: CoveringJob(),
        description="what lies on the roof; what it does not say is as on the roof it lies below, else as on the first",
    )
    below: Name | None = Field(default=None, description="name of the higher roof at whose wall line this one is cut")
    no_spouting_on: list[int] = Field(
        default_factory=no_entries, description="outline edges of this roof that carry no spouting"
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
        default_factory=no_entries, description="holes through the roof: pipes, flues, rooflights, roof windows"
    )
    rooflight_sheets: Annotated[list[RooflightSheetJob], Field(max_length=500)] = Field(
        default_factory=no_entries, description="clear sheets of the roof's own profile in place of metal ones"
    )

    @property
    def drawn(self) -> ShapeJob | None:
        """The file that the roof is taken from, by either word; None where it is typed."""
        return self.shape if self.shape is not None else self.mesh

    @property
    def rise_words(self) -> tuple[str, ...]:
        """Keys given that say how eaves change as they rise; a sound roof has one at most."""
        return tuple(key for key in ROOF_WORDS if getattr(self, key) is not None)
