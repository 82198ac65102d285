"""Where the house stands: the `site` of a job file."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Length, Part


class WindZone(StrEnum):
    """Wind zones of timber-framed building practice."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"
    VERY_HIGH = "very_high"
    EXTRA_HIGH = "extra_high"


class Site(Part):
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
