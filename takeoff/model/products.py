"""Things that can be bought, by data: each value carries a basis. Loaded from the catalogue, added to by the job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum
from typing import Protocol

from takeoff.basics.records import record
from takeoff.model.basis import Basis
from takeoff.model.items import ItemRow


class ProfileKind(StrEnum):
    """What a sheet is: which flashings, screws and clips it takes goes by this, never by its measures."""

    CORRUGATED = "corrugated"  # crests close together: flashings lie over a number of them and are dressed in
    TRAPEZOIDAL = "trapezoidal"  # ribs with pans between: flashings are notched over them
    TRAY = "tray"  # a rib at each side, fixed by clips


class ProfileShape(StrEnum):
    """How codes of practice tell profiles apart where they say more than the kind."""

    CORRUGATE = "corrugate"
    TRAPEZOIDAL = "trapezoidal"  # symmetrical
    TRAPEZOIDAL_ASYMMETRICAL = "trapezoidal_asymmetrical"
    CLOSE_TRAPEZOIDAL = "close_trapezoidal"
    TRAY = "tray"
    TRAY_WIDE = "tray_wide"
    STANDING_SEAM = "standing_seam"


_SHAPE_OF = {
    ProfileKind.CORRUGATED: ProfileShape.CORRUGATE,
    ProfileKind.TRAPEZOIDAL: ProfileShape.TRAPEZOIDAL,
    ProfileKind.TRAY: ProfileShape.TRAY,
}
_RIBS = {4: "five_rib", 5: "six_rib"}  # by the spaces between them in a sheet's cover


@record
class Profile:
    """A long-run sheet profile. Widths and depth in mm, pitches in degrees, `kg_per_m` by base metal thickness.

    `rib_pitch_mm` is the distance between crests; the start line moves only by whole ribs. `half_turn_same`: the
    section is the same after a half turn in its plane, edges included. `expansion_limit_mm` is None where the data
    gives none, `least_pitch_deg` where the code's table of shapes and depths is to say it. `shape` as codes tell
    profiles apart; None: the plain one of its kind.
    """

    id: str
    name: str
    kind: ProfileKind
    cover_mm: float
    overall_mm: float
    rib_pitch_mm: float
    depth_mm: float
    half_turn_same: bool
    girth_mm: float
    kg_per_m: Mapping[float, float] = field(hash=False)
    basis: Mapping[str, Basis] = field(hash=False)
    least_pitch_deg: float | None = None
    least_pitch_lapped_deg: float | None = None
    shape: ProfileShape | None = None
    expansion_limit_mm: float | None = None
    foot_turn_mm: float = 0.0  # length for turning down at the eave; none on corrugate

    @property
    def crests(self) -> int:
        """Crests or ribs in a sheet's cover: 10 for 762 mm of corrugate, 4 of five ribs (the fifth is the next
        sheet's), 1 for a tray."""
        return max(1, round(self.cover_mm / self.rib_pitch_mm))

    @property
    def shapes(self) -> tuple[str, ...]:
        """Names that tables of shapes may know it by, nearest first."""
        own = self.shape or _SHAPE_OF[self.kind]
        return tuple(dict.fromkeys((own.value, _SHAPE_OF[self.kind].value)))

    @property
    def families(self) -> tuple[str, ...]:
        """Names that tables of screws and spans may know it by, nearest first."""
        own = self.shape or _SHAPE_OF[self.kind]
        if self.kind is ProfileKind.TRAY:
            return (ProfileShape.TRAY_WIDE.value if own is ProfileShape.TRAY_WIDE else "tray_narrow",)
        if self.kind is ProfileKind.CORRUGATED or own is ProfileShape.CLOSE_TRAPEZOIDAL:
            return (own.value,)
        return tuple(name for name in (_RIBS.get(self.crests, ""), ProfileShape.TRAPEZOIDAL.value) if name)


@record
class Board:
    """A weatherboard. `direction` "horizontal", "vertical" or "either"; `kind`: bevel_back, rebated, rusticated,
    shiplap, vertical, or plain where nothing more is known.

    `even_coursing`: the lap may grow (plain bevel-back only), to `most_lap_mm` (0: no limit known). Lengths sold in
    `lengths_mm`. `cover_mm` 0 is a cover nobody has published: the job must give it.
    """

    id: str
    name: str
    kind: str
    direction: str
    width_mm: float
    cover_mm: float
    least_lap_mm: float
    thickness_mm: float
    even_coursing: bool
    lengths_mm: tuple[int, ...]
    basis: Mapping[str, Basis] = field(hash=False)
    most_lap_mm: float = 0.0


@record
class GutterProfile:
    """A gutter (spouting). `area_mm2` of cross-section; `width_mm` over its top; supports at `bracket_mm` at most by
    its maker (0: as the code says). `type`: what the tables of a code call it ("": nothing)."""

    id: str
    name: str
    system: str  # clip_on_metal, bracketed_metal, pvc
    area_mm2: float
    width_mm: float
    lengths_mm: tuple[int, ...]
    basis: Mapping[str, Basis] = field(hash=False)
    bracket_mm: float = 0.0
    type: str = ""


@record
class DownpipeProfile:
    """A downpipe. `area_mm2` is its internal cross-section, `width_mm` its size across the wall.

    `table_m2`: roof plan area one pipe may drain by E1/AS1 Table 5, one entry a pitch band (0-25, 25-35, 35-45, 45-55
    degrees); empty where the table has no row for it.
    """

    id: str
    name: str
    area_mm2: float
    lengths_mm: tuple[int, ...]
    basis: Mapping[str, Basis] = field(hash=False)
    table_m2: tuple[float, ...] = ()
    width_mm: float = 80.0
    size: str = ""  # what its fittings are called by: round 80


@record
class FlashingProfile:
    """A flashing bent as one kind of edge asks (`edge_kind`) and the length it is bought in; girth and folds are those
    of each run's section. Which kinds of edge it lies on unless a job names another stands in their rows. `handed`: why
    its left and right are two sections; "" where one turned end for end, face up, is the other."""

    id: str
    name: str
    edge_kind: str
    stock_mm: int
    basis: Mapping[str, Basis] = field(hash=False)
    handed: str = ""


@record
class Timber:
    """A timber section sold in fixed lengths: purlins, battens, trimmers."""

    id: str
    name: str
    width_mm: float
    depth_mm: float
    lengths_mm: tuple[int, ...]
    basis: Mapping[str, Basis] = field(hash=False)


@record
class Roll:
    """Underlay, wall wrap or tape: `width_mm` by `length_mm`, laps are settings."""

    id: str
    name: str
    use: str  # roof, wall
    width_mm: float
    length_mm: float
    basis: Mapping[str, Basis] = field(hash=False)


@record
class WallDetail:
    """What closes a line where two claddings of walls meet: `place` "external", "internal", "level", "upright", "roof"
    or "soffit"; `one` and `other` the directions of zones, of a level line the upper one first. `parts` are for
    every style of outside corner, `boxed` and `mitred` with that one; `counted` what is counted elsewhere, in words."""

    id: str
    name: str
    place: str
    one: str
    other: str
    parts: tuple[str, ...]
    basis: Mapping[str, Basis] = field(hash=False)
    boxed: tuple[str, ...] = ()
    mitred: tuple[str, ...] = ()
    counted: str = ""


@record
class Catalogue:
    """Everything that can be named in a job, by id."""

    profiles: Mapping[str, Profile]
    boards: Mapping[str, Board]
    gutters: Mapping[str, GutterProfile]
    downpipes: Mapping[str, DownpipeProfile]
    flashings: Mapping[str, FlashingProfile]
    timbers: Mapping[str, Timber]
    rolls: Mapping[str, Roll]
    items: Mapping[str, ItemRow] = field(default_factory=dict)  # sorts of item
    wall_details: Mapping[str, WallDetail] = field(default_factory=dict)


class HasBasis(Protocol):
    """Any product: every field's basis by name, "*" for the rest."""

    @property
    def basis(self) -> Mapping[str, Basis]: ...


def basis_of(product: HasBasis, field: str) -> Basis | None:
    """The basis of one field of a product: its own, else the one given for all ("*"); None where it gives neither."""
    return product.basis.get(field) or product.basis.get("*")
