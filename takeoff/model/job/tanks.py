"""The `tanks`, `water_use` and `rain` of a job file: what stores water, what draws it, and the rain that fills it."""

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Height, Name, Part

Litres = Annotated[float, Field(ge=0, le=100_000_000, allow_inf_nan=False)]
Daily = Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)]
MonthMm = Annotated[float, Field(ge=0, le=10_000, allow_inf_nan=False)]


class TankJob(Part):
    """One tank: its size, the downpipes that are led to it, and its levels as litres in it."""

    name: Name = Field(default="tank", description="name of the tank")
    volume_l: Annotated[float, Field(gt=0, le=100_000_000, allow_inf_nan=False)] = Field(
        description="litres it holds up to its overflow"
    )
    pipes: list[Name] | None = Field(
        default=None,
        description="downpipes led to it, by their number in the order; without it all that come to the ground",
    )
    system: Literal["dry", "wet"] = Field(
        default="dry", description="dry: the pipes fall to its inlet; wet: they run full underground and rise to it"
    )
    inlet_mm: Height | None = Field(default=None, description="height of its inlet over the finished floor")
    dead_l: Litres | None = Field(default=None, description="litres below its outlet, which are never drawn")
    reserve_l: Litres | None = Field(default=None, description="litres kept for another purpose, as for a fire")
    start_l: Litres | None = Field(default=None, description="litres in it when the reckoning begins")


class UseJob(Part):
    """What is drawn a day: for people, by what it is used for, month by month."""

    people: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)] | None = Field(
        default=None, description="how many people draw water"
    )
    litres_a_day: Daily | None = Field(default=None, description="litres each person draws a day")
    by_use: dict[str, Daily] = Field(
        default_factory=dict, description="litres each person draws a day, by what it is used for"
    )
    by_month: Annotated[list[Daily], Field(min_length=12, max_length=12)] | None = Field(
        default=None, description="litres that all draw a day, January to December, instead of people and litres"
    )


class RainJob(Part):
    """The rain of the place: a file of daily rain beside the job, or the means of the months."""

    file: Name | None = Field(default=None, description="CSV file of daily rain, date and mm, beside the job")
    monthly_mm: Annotated[list[MonthMm], Field(min_length=12, max_length=12)] | None = Field(
        default=None, description="mean rain of each month, January to December [mm]"
    )
    new_roof: bool = Field(default=False, description="the roof is new: the first rain off it is not led to the tank")
