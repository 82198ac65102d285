"""An office's own products and tables, as its file gives them: rows of the catalogue's form, each with a basis.

Lengths in mm, areas in mm2 or m2. The tables are those of `model/code_rules.py` and `model/rain_rules.py`.
"""

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Length, Name, Offset, Part, no_entries
from takeoff.model.job.products import ProfileJob

BasisWords = Annotated[
    str, Field(min_length=1, max_length=300, description="where its figures come from: whose sheet, of what date")
]
Area = Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False)]
Bmt = Annotated[float, Field(gt=0, le=3, allow_inf_nan=False)]
Rate = Annotated[float, Field(ge=0, le=10_000, allow_inf_nan=False)]
Stock = Annotated[
    list[Annotated[int, Field(gt=0, le=30_000)]],
    Field(min_length=1, max_length=100, description="lengths it is sold in [mm]"),
]


class OwnProfile(ProfileJob):
    """A sheet profile of the office."""

    basis: BasisWords


class OwnGutter(Part):
    """A gutter of the office."""

    name: Name = Field(description="name printed on the order")
    system: Literal["clip_on_metal", "bracketed_metal", "pvc"] = Field(description="how it is held")
    area_mm2: Area = Field(description="section of the water it holds [mm2]")
    width_mm: Length = Field(description="over its top")
    lengths_mm: Stock
    bracket_mm: Offset = Field(default=0.0, description="furthest apart that its maker lets brackets stand")
    type: Annotated[str, Field(max_length=1)] = Field(default="", description="what the code's tables call it")
    basis: BasisWords


class OwnDownpipe(Part):
    """A downpipe of the office."""

    name: Name = Field(description="name printed on the order")
    area_mm2: Area = Field(description="section inside [mm2]")
    lengths_mm: Stock
    table_m2: Annotated[list[Area], Field(max_length=4)] = Field(
        default_factory=no_entries, description="roof it may drain [m2], four pitch bands: to 25, 35, 45, 55 degrees"
    )
    width_mm: Length = Field(default=80.0, description="across the wall")
    size: Annotated[str, Field(max_length=40)] = Field(default="", description="what its fittings are called by")
    basis: BasisWords


class OwnBoard(Part):
    """A weatherboard of the office."""

    name: Name = Field(description="name printed on the order")
    kind: Literal["bevel_back", "rebated", "rusticated", "shiplap", "vertical", "plain"] = Field(
        description="how it laps"
    )
    direction: Literal["horizontal", "vertical", "either"] = Field(description="how it is laid")
    width_mm: Length = Field(description="whole width")
    cover_mm: Length = Field(description="width it covers")
    least_lap_mm: Offset = Field(default=0.0, description="least lap")
    most_lap_mm: Offset = Field(default=0.0, description="most lap; 0: no limit known")
    thickness_mm: Length = Field(description="thickness")
    even_coursing: bool = Field(default=False, description="whether the lap may grow for even courses")
    lengths_mm: Stock
    basis: BasisWords


class OwnRoll(Part):
    """An underlay or wall wrap of the office."""

    name: Name = Field(description="name printed on the order")
    use: Literal["roof", "wall"] = Field(description="where it is laid")
    width_mm: Length = Field(description="width of the roll")
    length_mm: Length = Field(description="length of the roll")
    basis: BasisWords


class OwnFlashing(Part):
    """A flashing or trim of the office, for one kind of edge; a job names it under `flashings`."""

    name: Name = Field(description="name printed on the order")
    edge_kind: Name = Field(description="kind of edge that it lies on, as in the catalogue: ridge, hip, apron head")
    stock_mm: Annotated[int, Field(gt=0, le=30_000)] = Field(description="length it is bought in [mm]")
    handed: Annotated[str, Field(max_length=200)] = Field(
        default="", description="why its left and right are two sections; empty where one serves both"
    )
    basis: BasisWords


class OwnSpan(Part):
    """Longest spans of a family of profiles in a thickness."""

    family: Name
    bmt_mm: Bmt
    end_mm: Length
    internal_mm: Length


class OwnFoot(Part):
    """Longest spans that may be walked on: anywhere, and over ribs or purlins only (0: not said)."""

    family: Name
    bmt_mm: Bmt
    unrestricted_mm: Offset = 0.0
    restricted_mm: Offset = 0.0


class OwnPattern(Part):
    """So many screws on so many ribs, and how a roofer says it."""

    screws: Annotated[int, Field(gt=0, le=60)]
    of: Annotated[int, Field(gt=0, le=60)]
    says: Name


class OwnScrew(Part):
    """Patterns of a family in a thickness: by wind zone, or one on end rows and one between."""

    family: Name
    bmt_mm: Bmt
    span_mm: Offset = 0.0
    by_zone: Annotated[list[Name], Field(max_length=20)] = Field(default_factory=no_entries)
    end: Annotated[str, Field(max_length=60)] = ""
    internal: Annotated[str, Field(max_length=60)] = ""
    least_depth_mm: Offset = 0.0
    traffic: Annotated[str, Field(max_length=60)] = ""


class OwnBracket(Part):
    """Furthest apart that brackets stand on a gutter narrower than so much (0: any)."""

    spacing_mm: Length
    below_width_mm: Offset = 0.0
    snow: bool = False


class OwnGutterType(Part):
    """A type of gutter: least section and shape."""

    type: Annotated[str, Field(min_length=1, max_length=1)]
    shape: Literal["rectangular", "D", "any"]
    mm2: Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)] = 0.0


class OwnNeeded(Part):
    """Least types of gutter up to an intensity, a word for each catchment of needed_areas_m2."""

    mm_per_h: Rate
    types: Annotated[list[Name], Field(min_length=1, max_length=20)]


class OwnPipe(Part):
    """A downpipe and the types of gutter it may drain."""

    types: Name
    round_mm: Offset = 0.0
    wide_mm: Offset = 0.0
    deep_mm: Offset = 0.0


class OwnTables(Part):
    """Tables of the office's own, rows before those of the code. Each table has its basis beside it."""

    code: Name | None = Field(default=None, description="code whose jobs they serve; else the usual one")
    spans: Annotated[list[OwnSpan], Field(max_length=500)] = Field(
        default_factory=no_entries, description="longest spans"
    )
    spans_basis: BasisWords | None = None
    on_foot: Annotated[list[OwnFoot], Field(max_length=500)] = Field(
        default_factory=no_entries, description="longest spans that may be walked on"
    )
    on_foot_basis: BasisWords | None = None
    patterns: dict[str, OwnPattern] = Field(default_factory=dict, description="patterns of screws, by name")
    screws: Annotated[list[OwnScrew], Field(max_length=500)] = Field(
        default_factory=no_entries, description="screws of a family in a thickness: a maker's fixings"
    )
    screws_basis: BasisWords | None = None
    brackets: Annotated[list[OwnBracket], Field(max_length=100)] = Field(
        default_factory=no_entries, description="spacing of gutter brackets"
    )
    brackets_basis: BasisWords | None = None
    types: Annotated[list[OwnGutterType], Field(max_length=60)] = Field(
        default_factory=no_entries, description="types of gutter by section"
    )
    types_basis: BasisWords | None = None
    needed_areas_m2: Annotated[list[Area], Field(max_length=20)] = Field(
        default_factory=no_entries, description="catchments of the table needed [m2], least first"
    )
    needed: Annotated[list[OwnNeeded], Field(max_length=100)] = Field(
        default_factory=no_entries, description="least types by rain and catchment: capacities of gutters"
    )
    needed_basis: BasisWords | None = None
    pipes: Annotated[list[OwnPipe], Field(max_length=100)] = Field(
        default_factory=no_entries, description="downpipes by type of gutter"
    )
    pipes_basis: BasisWords | None = None
