"""The `rainwater` of a job file: spouting, downpipes, and the method that sizes them."""

from typing import Literal

from pydantic import Field

from takeoff.model.job.fields import Height, Name, Part, PlanPoint, no_entries


class RainwaterJob(Part):
    """Spouting, downpipes and the method that sizes them."""

    gutter: Name | None = Field(default=None, description="gutter of the catalogue")
    downpipe: Name | None = Field(default=None, description="downpipe of the catalogue")
    method: Literal["e1_as1", "area_per_m2", "gutter_types"] | None = Field(
        default=None, description="how downpipes are sized"
    )
    ground_mm: Height | None = Field(
        default=None, description="ground level at the downpipes, negative below the floor"
    )
    soffit_mm: Height | None = Field(default=None, description="height of a level soffit over the finished floor")
    none_on: list[int] = Field(
        default_factory=no_entries, description="outline edges of the first roof that carry no spouting"
    )
    overflow: list[Name] = Field(
        default_factory=no_entries,
        description="ways for a full gutter to spill outwards, by the names of the code's table",
    )
    downpipes_at: list[PlanPoint] = Field(
        default_factory=no_entries, description="places of the downpipes on the plan, by hand"
    )
    downpipes_at_are_all: bool = Field(
        default=False,
        description="the downpipes placed by hand are all there are on the gutters that they stand on",
    )
