"""The record of a job and the job file's schema in one: what a person writes down to have a house taken off.

Lengths in mm, pitches in degrees, edges and walls numbered from 1 as they are typed. Keys that are not here are faults.
"""

from __future__ import annotations

import datetime
from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Name, Part
from takeoff.model.job.products import ProfileJob, RatesJob
from takeoff.model.job.rainwater import RainwaterJob
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.timber import PurlinsJob, UnderlayJob
from takeoff.model.job.walls import WallsJob


class Job(Part):
    """A house to be taken off."""

    job: Name
    revision: Annotated[str, Field(max_length=12)] = "A"
    date: datetime.date | None = Field(default=None, strict=False, description="date printed on the order")
    north_deg: Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False)] = Field(
        default=0.0, description="bearing of plan up (+y), clockwise from north"
    )
    site: Site = Field(default_factory=lambda: Site())
    roofs: Annotated[list[RoofJob], Field(min_length=0, max_length=60)] = Field(default_factory=list)
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
