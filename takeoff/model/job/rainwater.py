"""The `rainwater` of a job file: spouting, downpipes, and the method that sizes them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from takeoff.model.job.fields import Height, Name, Part, PlanPoint


class RainwaterJob(Part):
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
