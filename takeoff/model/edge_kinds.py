"""What an edge of a roof is to the trade: one row a kind, with all that the measuring and the drawing ask of it.

eave             level low edge; carries the spouting
verge            sloping free edge; carries the barge
ridge            level edge from which both planes fall away
hip              sloping edge at an outside corner
valley           sloping edge at an inside corner; water runs into it
head             level high free edge, under a cap
apron head       top of a plane against a wall
apron side       side of a plane against a wall
pitch change     level edge between an upper and a lower slope of one fall
internal gutter  level edge between two planes that fall towards it
kerb             side of a small hole, of a rooflight or a chimney, whichever way it runs

A new kind is a row here, the rule that names an edge so (shape/faces/name_edges.py), and, where none of the catalogue
serves, a flashing.
"""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record

Trims = tuple[tuple[str, float], ...]
"""Settings [mm] and factors; their sum is how far a sheet goes past an edge, square to it on the slope."""


class Place(StrEnum):
    """What lies beyond an edge."""

    FREE = "free"  # air
    INNER = "inner"  # another plane
    WALL = "wall"


class End(StrEnum):
    """Which end of its planes an edge is."""

    FOOT = "foot"
    TOP = "top"
    BREAK = "break"  # foot of the plane above, top of the one below
    SIDE = "side"
    CORNER = "corner"  # a sloping line that sheets are raked along


class Dressed(StrEnum):
    """How the ends of a flashing along an edge are dressed."""

    ACROSS = "across"  # level: to what it joins, else to the barge
    UP = "up"  # into the gutter at its foot, under what it meets at its head
    BARGE = "barge"  # a drop at the foot, a mitre at the head


EVERYTHING = "everything"
"""In `joins`: whatever edge it meets."""


@record
class EdgeRow:
    """All that is asked of a kind of edge.

    `letter` begins the ids of its edges, no two kinds share one; `layer` is the drawing's. `level`: it runs level, else
    up a slope. `trim`: how far sheets go past it; `bare_trim` where it carries no spouting, `foot_trim` for the plane
    whose foot it is, where that differs. `flashing`: id of the product along it unless asked otherwise, "" for none;
    `dressed`, `joins` (kinds it is joined to at a node) and `capped_at_wall` dress its ends; `across`: edges of it that
    lie across the sheets; `screwed`: it has screws of its own. `underlay`, `underlay_foot`: settings of how far
    underlay goes past it, of the plane whose foot it is; "" where it stops. `purlin_row`: role of the row below it, ""
    for none; `purlin_at`: the setting of that row's distance, "" for the distance by the flashing's cover. `corner`:
    what stands on the site where it meets an eave.
    """

    letter: str
    layer: str
    level: bool
    place: Place
    end: End
    trim: Trims
    bare_trim: Trims = ()
    foot_trim: Trims = ()
    flashing: str = ""
    dressed: Dressed = Dressed.ACROSS
    joins: tuple[str, ...] = ()
    capped_at_wall: bool = False
    across: int = 0
    screwed: bool = False
    underlay: str = ""
    underlay_foot: str = ""
    purlin_row: str = ""
    purlin_at: str = ""
    corner: str = ""


class EdgeKind(StrEnum):
    """What an edge is to the trade; `row` holds all that is asked of it."""

    EAVE = (
        "eave",
        EdgeRow(
            letter="E",
            layer="ROOF-EAVE",
            level=True,
            place=Place.FREE,
            end=End.FOOT,
            trim=(("sheet_over_eave_mm", 1.0),),
            bare_trim=(("sheet_over_bare_eave_mm", 1.0),),
            underlay="underlay_into_gutter_mm",
        ),
    )
    VERGE = (
        "verge",
        EdgeRow(
            letter="B",  # the barge
            layer="ROOF-VERGE",
            level=False,
            place=Place.FREE,
            end=End.SIDE,
            trim=(("verge_trim_mm", -1.0),),
            flashing="barge",
            dressed=Dressed.BARGE,
            screwed=True,
            corner="barge",
        ),
    )
    RIDGE = (
        "ridge",
        EdgeRow(
            letter="R",
            layer="ROOF-RIDGE",
            level=True,
            place=Place.INNER,
            end=End.TOP,
            trim=(("ridge_gap_mm", -0.5),),
            flashing="ridge",
            joins=("hip", "valley", "ridge"),
            capped_at_wall=True,
            across=2,
            underlay="underlay_over_ridge_mm",
            purlin_row="ridge",
        ),
    )
    HIP = (
        "hip",
        EdgeRow(
            letter="H",
            layer="ROOF-HIP",
            level=False,
            place=Place.INNER,
            end=End.CORNER,
            trim=(("hip_trim_mm", -1.0),),
            flashing="hip",
            dressed=Dressed.UP,
            across=2,
            underlay="underlay_over_hip_mm",
            corner="fascia corner",
        ),
    )
    VALLEY = (
        "valley",
        EdgeRow(
            letter="V",
            layer="ROOF-VALLEY",
            level=False,
            place=Place.INNER,
            end=End.CORNER,
            trim=(("valley_gap_mm", -0.5),),
            flashing="valley",
            dressed=Dressed.UP,
            corner="valley foot",
        ),
    )
    HEAD = (
        "head",
        EdgeRow(
            letter="T",
            layer="ROOF-HEAD",
            level=True,
            place=Place.FREE,
            end=End.TOP,
            trim=(("head_trim_mm", -1.0),),
            flashing="head_cap",
            joins=("hip", "valley", "head", "ridge"),
            capped_at_wall=True,
            across=1,
            screwed=True,
            purlin_row="head",
            purlin_at="purlin_head_row_mm",
        ),
    )
    APRON_HEAD = (
        "apron head",
        EdgeRow(
            letter="A",
            layer="ROOF-APRON",
            level=True,
            place=Place.WALL,
            end=End.TOP,
            trim=(("apron_head_trim_mm", -1.0),),
            flashing="apron_head",
            joins=("hip", "valley", "apron head", "apron side", "ridge"),
            across=1,
            underlay="underlay_up_wall_mm",
            purlin_row="head",
            corner="wall",
        ),
    )
    APRON_SIDE = (
        "apron side",
        EdgeRow(
            letter="S",
            layer="ROOF-APRON",
            level=False,
            place=Place.WALL,
            end=End.SIDE,
            trim=(("apron_side_trim_mm", -1.0),),
            flashing="apron_side",
            dressed=Dressed.UP,
            screwed=True,
            underlay="underlay_up_wall_mm",
            corner="wall",
        ),
    )
    KERB = (
        "kerb",
        EdgeRow(
            letter="K",
            layer="ROOF-APRON",
            level=False,
            place=Place.WALL,
            end=End.SIDE,
            trim=(("apron_side_trim_mm", -1.0),),
            flashing="kerb",
            dressed=Dressed.UP,
            screwed=True,
            underlay="underlay_up_wall_mm",
        ),
    )
    PITCH_CHANGE = (
        "pitch change",
        EdgeRow(
            letter="C",
            layer="ROOF-CHANGE",
            level=True,
            place=Place.INNER,
            end=End.BREAK,
            trim=(("pitch_change_under_mm", -1.0),),
            foot_trim=(("pitch_change_over_mm", 1.0),),
            flashing="pitch_change",
            joins=("hip", "valley", "pitch change"),
            across=1,
            underlay_foot="underlay_lap_mm",
            purlin_row="head",
        ),
    )
    INTERNAL_GUTTER = (
        "internal gutter",
        EdgeRow(
            letter="G",
            layer="ROOF-GUTTER",
            level=True,
            place=Place.INNER,
            end=End.FOOT,
            trim=(("internal_gutter_over_mm", 1.0), ("internal_gutter_width_mm", -0.5)),
            flashing="gutter_lining",
            joins=(EVERYTHING,),
            underlay="underlay_into_gutter_mm",
        ),
    )

    row: EdgeRow

    def __new__(cls, word: str, row: EdgeRow) -> EdgeKind:
        """A kind by its word, with its row."""
        member = str.__new__(cls, word)
        member._value_ = word
        member.row = row
        return member


def kinds_at(place: Place, level: bool | None = None) -> frozenset[EdgeKind]:
    """The kinds with that beyond them, of those that run level or up where that is asked."""
    return frozenset(kind for kind in EdgeKind if kind.row.place is place and level in (None, kind.row.level))


INNER_KINDS = kinds_at(Place.INNER)
FREE_KINDS = kinds_at(Place.FREE)
LEVEL_FREE_KINDS = kinds_at(Place.FREE, level=True)
WALL_KINDS = kinds_at(Place.WALL)
CAPPED_KINDS = frozenset(kind for kind in LEVEL_FREE_KINDS if kind.row.end is End.TOP)
"""Free edges at the top of their planes, under a cap."""
FOOT_KINDS = frozenset(kind for kind in EdgeKind if kind.row.end is End.FOOT)
"""Kinds that are nothing but the foot of their planes."""
