"""The kinds of fields that sections of a job file are made of: lengths in mm, pitches in degrees, names, points.

Modules with sections of files, and with commands, leave annotations as they stand instead of putting them off as text:
the libraries that read them would compile every one anew at each start.
"""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Length = Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False)]
Offset = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]
Height = Annotated[float, Field(ge=-100_000, le=1_000_000, allow_inf_nan=False)]
Pitch = Annotated[float, Field(ge=1, le=85, allow_inf_nan=False)]
Coordinate = Annotated[float, Field(ge=-1e11, le=1e11, allow_inf_nan=False)]
PlanPoint = tuple[Coordinate, Coordinate]
PlanRing = Annotated[list[PlanPoint], Field(min_length=3, max_length=20_000)]
SPACING_MM = (200.0, 3_000.0)  # purlins and their supports, least and most: closer or wider is a slip of the pen
STUD_MM = (150.0, 1_500.0)
WALL_MM = 12_000.0  # a higher wall is no house's
Spacing = Annotated[float, Field(ge=SPACING_MM[0], le=SPACING_MM[1], allow_inf_nan=False)]
Studs = Annotated[float, Field(ge=STUD_MM[0], le=STUD_MM[1], allow_inf_nan=False)]
WallHeight = Annotated[float, Field(gt=0, le=WALL_MM, allow_inf_nan=False)]
Name = Annotated[str, Field(min_length=1, max_length=60)]
Bearing = Literal["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"]


def no_entries() -> list[Any]:
    """What a key for a list holds where the job does not give it. `list` itself would do, but the schema library reads
    the signature of what makes a default, and to read a built-in one's takes longer and leaves two megabytes behind."""
    return []


class Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, use_enum_values=False, defer_build=True)
