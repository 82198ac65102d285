"""The `purlins` and `underlay` of a job file."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Name, Part, Spacing


class PurlinsJob(Part):
    """Purlins: section by width x depth (laid on flat), gauge, and the rafters that carry them."""

    section: Annotated[str, Field(pattern=r"^\d{2,3}x\d{2,3}$")] | None = None
    spacing_mm: Spacing | None = None
    supports_mm: Spacing | None = Field(default=None, description="rafter or truss spacing")
    stock_mm: Annotated[list[Annotated[int, Field(gt=0, le=30_000)]], Field(min_length=1, max_length=40)] | None = None


class UnderlayJob(Part):
    """Roof underlay."""

    roll: Name | None = None
    direction: Literal["horizontal", "vertical"] | None = None
