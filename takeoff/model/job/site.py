"""Where the house stands: the `site` of a job file."""

from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Length, Name, Part


class Site(Part):
    """Where the house stands, as far as the order cares."""

    wind_zone: Name | None = Field(default=None, description="wind zone, by the name the job's code gives it")
    rain_mm_per_h: Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)] | None = Field(
        default=None, description="design rainfall intensity for gutters [mm/h]"
    )
    rare_rain_mm_per_h: Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)] | None = Field(
        default=None, description="rainfall intensity of the rarer storm that overflow must carry [mm/h]"
    )
    rain_mm_per_year: Annotated[float, Field(gt=0, le=30_000, allow_inf_nan=False)] | None = Field(
        default=None, description="rain of an average year, for what a tank is fed [mm]"
    )
    longest_piece_mm: Length | None = Field(
        default=None, description="longest sheet that can be brought to the site [mm]"
    )
