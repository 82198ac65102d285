"""The `on_hand` of a job file: lengths and sheets that lie on the site or were left over."""

from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Part


class OnHandJob(Part):
    """Lengths or sheets of one item that are there already: cut first where that buys less, never ordered."""

    item: Annotated[str, Field(min_length=1, max_length=200)] = Field(
        description="id of an item of the order that is cut from lengths, as takeoff.json names it"
    )
    length_mm: Annotated[int, Field(gt=0, le=30_000, description="length of each [mm]")]
    count: Annotated[int, Field(gt=0, le=1000)] = Field(default=1, description="how many of that length")
    mark: Annotated[str, Field(max_length=40)] = Field(default="", description="what is written on it")
