"""The edges of an outline in a job file: kind, pitch, overhangs, and how each rises."""

from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Height, Length, Offset, Part, Pitch


class RiseStep(Part):
    """One step of an edge's rise: a pitch (or vertical, or flat) up to a height above that edge's fascia."""

    up_to_mm: Length | None = Field(
        default=None, description="height above this edge's fascia where the step ends; none: to the top"
    )
    pitch_deg: Pitch | None = Field(default=None, description="pitch of the step")
    vertical: bool = Field(default=False, description="true: the step stands upright")
    flat: bool = Field(default=False, description="true: what is left at this height is one level top")


class TwoSlopes(Part):
    """A mansard or gambrel: steep below, flatter above, the break at a height above the edge's fascia."""

    lower_pitch_deg: Pitch = Field(description="pitch of the lower, steeper slope")
    to_mm: Length = Field(description="height above the fascia where the upper slope begins")
    upper_pitch_deg: Pitch = Field(description="pitch of the upper slope")


class SprocketJob(Part):
    """The flatter foot of a slope: its pitch, and the height above the edge's fascia up to which it goes."""

    pitch_deg: Pitch = Field(description="pitch of the flatter foot")
    to_mm: Length = Field(description="height above the fascia where the slope goes on at its own pitch")


class EdgeJob(Part):
    """What differs on one edge of an outline. At most one of half hip, gablet, mansard, gambrel, sprocket and rise."""

    kind: Literal["eave", "gable", "wall"] | None = Field(
        default=None, description="eave, gable, or wall (the roof stops against one)"
    )
    pitch_deg: Pitch | None = Field(default=None, description="pitch of the plane on this edge")
    eave_overhang_mm: Offset | None = Field(default=None, description="wall line to outline of this eave")
    verge_overhang_mm: Offset | None = Field(default=None, description="wall line to outline of this gable")
    fascia_height_mm: Height | None = Field(
        default=None, description="underside of sheets above finished floor at this edge"
    )
    rise: Annotated[list[RiseStep], Field(min_length=1, max_length=8)] | None = Field(
        default=None,
        description="pitch by height, lowest first: half hips, gablets, mansards, gambrels, sprockets, flat tops",
    )
    start_side: Literal["left", "right"] | None = Field(
        default=None, description="side sheet laying starts from, seen from below the eave"
    )
    half_hip_from_mm: Length | None = Field(
        default=None, description="a gable up to this height above its fascia, hipped from there at the pitch"
    )
    gablet_from_mm: Length | None = Field(
        default=None, description="hipped at the pitch up to this height above its fascia, a small gable from there"
    )
    mansard: TwoSlopes | None = Field(default=None, description="steep below, flatter above")
    gambrel: TwoSlopes | None = Field(default=None, description="steep below, flatter above, between gable ends")
    sprocket: SprocketJob | None = Field(default=None, description="flatter at the foot, the pitch above")

    @property
    def rise_words(self) -> tuple[str, ...]:
        """Keys given that say how the edge changes as it rises; sound edges have one at most."""
        return tuple(key for key in RISE_WORDS if getattr(self, key) is not None)


RISE_WORDS = ("rise", "half_hip_from_mm", "gablet_from_mm", "mansard", "gambrel", "sprocket")
ROOF_WORDS = ("mansard", "gambrel", "sprocket")
