"""Own products and prices in a job file: `profiles` and `rates`."""

from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Length, Name, Offset, Part
from takeoff.model.products import ProfileKind, ProfileShape


class ProfileJob(Part):
    """A sheet profile the catalogue does not know."""

    name: Name | None = Field(default=None, description="name printed on the order")
    kind: ProfileKind = Field(strict=False, description="corrugated, trapezoidal (ribs and pans) or tray (clipped)")
    shape: ProfileShape | None = Field(
        default=None, strict=False, description="as codes tell profiles apart; the plain one of its kind if not given"
    )
    cover_mm: Length = Field(description="width a sheet covers")
    overall_mm: Length = Field(description="whole width of a sheet, laps included")
    rib_pitch_mm: Length = Field(description="from crest to crest, or rib to rib")
    depth_mm: Length = Field(description="height of crests or ribs")
    least_pitch_deg: Annotated[float, Field(ge=0, le=85, allow_inf_nan=False)] = Field(
        description="least pitch the profile is laid at"
    )
    least_pitch_lapped_deg: Annotated[float, Field(ge=0, le=85, allow_inf_nan=False)] | None = Field(
        default=None, description="least pitch with end laps; as without them where it is not given"
    )
    half_turn_same: bool = Field(
        default=False, description="whether a sheet is the same after a half turn, edges included"
    )
    girth_mm: Length | None = Field(default=None, description="width of the strip it is rolled from")
    # keys of a mapping are read as text
    kg_per_m: dict[
        Annotated[float, Field(strict=False, gt=0, le=3, allow_inf_nan=False)],
        Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)],
    ] = Field(default_factory=dict, description="mass of a metre of sheet [kg] by base metal thickness [mm]")
    expansion_limit_mm: Length | None = Field(
        default=None, description="most movement with temperature that the profile takes"
    )
    foot_turn_mm: Offset = Field(default=0.0, description="length for turning its end down at the eave")


class RatesJob(Part):
    """The user's own prices, for whoever wants the order priced. Nothing is priced that is not given here."""

    currency: Annotated[str, Field(max_length=20)] = Field(default="", description="word printed with amounts")
    prices: dict[
        Annotated[str, Field(min_length=1, max_length=200)],
        Annotated[float, Field(ge=0, le=1e9, allow_inf_nan=False)],
    ] = Field(
        default_factory=dict, description="price of a unit (m, each, roll, box) by the id of an item of the order"
    )
    extra_percent: dict[str, Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]] = Field(
        default_factory=dict, description="extra on a delivery [%], added once and shown apart from computed waste"
    )
