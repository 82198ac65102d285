"""The `purlins` and `underlay` of a job file."""

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Name, Part, Spacing


class PurlinsJob(Part):
    """Purlins: section by width x depth (laid on flat), gauge, and the rafters that carry them."""

    section: Annotated[str, Field(pattern=r"^\d{2,3}x\d{2,3}$")] | None = Field(
        default=None, description="width x depth as 70x45"
    )
    spacing_mm: Spacing | None = Field(default=None, description="gauge of the purlins along the rake")
    supports_mm: Spacing | None = Field(default=None, description="rafter or truss spacing")
    stock_mm: Annotated[list[Annotated[int, Field(gt=0, le=30_000)]], Field(min_length=1, max_length=40)] | None = (
        Field(default=None, description="lengths that purlins are sold in")
    )


class UnderlayJob(Part):
    """Roof underlay."""

    roll: Name | None = Field(default=None, description="roof underlay of the catalogue")
    direction: Literal["horizontal", "vertical"] | None = Field(
        default=None, description="how underlay runs where the pitch allows either"
    )
