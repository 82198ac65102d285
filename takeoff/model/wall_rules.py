"""What a country's code says of walls, soffits and the air under roofs, as data: each row with its clause.

Lengths in mm, pitches in degrees, openings in mm2.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.model.basis import Basis


@record
class BoardLapRow:
    """Least lap of splayed (bevel-back) boards of a timber."""

    timber: str
    lap_mm: float
    basis: Basis


@record
class TrimmerRow:
    """Furthest apart that trimmers carry soffit sheets up to a width, in a wind zone: away from corners, and near
    them (0: not said)."""

    sheet_mm: float
    zone: str
    trimmers_mm: float
    basis: Basis
    corner_mm: float = 0.0


@record
class VentRow:
    """Openings that the space under a roof below a pitch asks for: a metre of its longest side, at the eaves, at the
    high edge or at two ends; or a share of its ceiling. `cathedral_eaves_mm2_per_m`: besides, where the ceiling follows
    the roof."""

    below_deg: float
    basis: Basis
    two_ends_mm2_per_m: float = 0.0
    eaves_mm2_per_m: float = 0.0
    high_mm2_per_m: float = 0.0
    cathedral_eaves_mm2_per_m: float = 0.0
    ceiling_share: float = 0.0


@record
class WallRules:
    """Tables of one code; one that it does not have is empty."""

    board_laps: tuple[BoardLapRow, ...] = ()
    trimmers: tuple[TrimmerRow, ...] = ()
    ventilation: tuple[VentRow, ...] = ()


NO_WALLS = WallRules()
