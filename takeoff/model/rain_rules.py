"""What a country's code says of gutters, downpipes and rain, as data: each row with its clause.

Lengths in mm, sections in mm2, catchments in m2, rain in mm/h, flows in L/s.
"""

from __future__ import annotations

from math import inf, pi

from takeoff.basics.records import record
from takeoff.model.basis import Basis


@record
class BracketRow:
    """Furthest apart that brackets stand on a gutter narrower than `below_width_mm` (0: of any width). `snow`: where
    snow lies."""

    spacing_mm: float
    basis: Basis
    below_width_mm: float = 0.0
    snow: bool = False


@record
class LongestRow:
    """Longest gutter of a metal ("": any) without a joint for movement, on moving brackets or fastened through."""

    held: str
    longest_mm: float
    basis: Basis
    metal: str = ""


@record
class MovementRow:
    """What 5 m of a metal move over 50 degrees [mm]."""

    metal: str
    mm_5m_50k: float
    basis: Basis

    @property
    def mm_per_m_deg(self) -> float:
        """Movement of 1 m over 1 degree [mm]."""
        return self.mm_5m_50k / 250.0


@record
class GutterTypeRow:
    """A type of gutter: its least section (0: sized apart) and its shape, rectangular or D."""

    type: str
    shape: str
    basis: Basis
    mm2: float = 0.0


@record
class NeededRow:
    """Least types of gutter up to an intensity, one word for each catchment of `RainRules.needed_areas_m2`: "AC" is A
    or C."""

    mm_per_h: float
    types: tuple[str, ...]
    basis: Basis


@record
class PipeRow:
    """A downpipe and the types of gutter that it may drain: "ABCD"."""

    types: str
    basis: Basis
    round_mm: float = 0.0
    wide_mm: float = 0.0
    deep_mm: float = 0.0

    @property
    def mm2(self) -> float:
        """Its section [mm2]."""
        return pi / 4.0 * self.round_mm**2 if self.round_mm else self.wide_mm * self.deep_mm


@record
class OverflowRow:
    """A way for a full gutter to spill outwards: litres a second a metre of gutter, or of one such place a downpipe."""

    id: str
    says: str
    basis: Basis
    l_s: float = 0.0
    l_s_per_m: float = 0.0


@record
class BurstRow:
    """How many times the ten-minute rain a short burst brings, by the place that it must not overfill."""

    place: str
    times: float
    basis: Basis


@record
class FreeboardRow:
    """Height left over the water, by place."""

    place: str
    mm: float
    basis: Basis


@record
class InternalRow:
    """Internal gutters: least depth, and the width from which they carry foot traffic."""

    least_depth_mm: float
    foot_traffic_over_mm: float
    basis: Basis


@record
class TownRow:
    """Published rain of a town: the design rain and, where given, that of the rarer storm for overflow."""

    town: str
    mm_per_h: float
    basis: Basis
    rare_mm_per_h: float = 0.0


@record
class RainRules:
    """Tables of one code; one that it does not have is empty."""

    brackets: tuple[BracketRow, ...] = ()
    longest: tuple[LongestRow, ...] = ()
    movement: tuple[MovementRow, ...] = ()
    types: tuple[GutterTypeRow, ...] = ()
    needed_areas_m2: tuple[float, ...] = ()
    needed: tuple[NeededRow, ...] = ()
    pipes: tuple[PipeRow, ...] = ()
    overflow: tuple[OverflowRow, ...] = ()
    bursts: tuple[BurstRow, ...] = ()
    freeboard: tuple[FreeboardRow, ...] = ()
    internal: tuple[InternalRow, ...] = ()
    towns: tuple[TownRow, ...] = ()

    def bracket_row(self, width_mm: float, snow: bool) -> BracketRow | None:
        """The row for a gutter of that width: where it lies in snow the closer of two; None where the table ends below
        its width."""
        by_width = next((r for r in self.brackets if not r.snow and width_mm < (r.below_width_mm or inf)), None)
        if by_width is None or not snow:
            return by_width
        return min((by_width, *(row for row in self.brackets if row.snow)), key=lambda row: row.spacing_mm)


NO_RAIN = RainRules()
