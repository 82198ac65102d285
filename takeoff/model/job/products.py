"""Own products and prices in a job file: `profiles` and `rates`."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Length, Name, Offset, Part


class ProfileJob(Part):
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
