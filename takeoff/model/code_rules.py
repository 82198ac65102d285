"""The rules of one country's code as data: wind zones and tables, each row with its clause. Loaded from a folder.

A table that a code does not have is empty. Lengths in mm, pitches in degrees, speeds in m/s.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.model.basis import Basis, Status
from takeoff.model.rain_rules import NO_RAIN, RainRules
from takeoff.model.wall_rules import NO_WALLS, WallRules

NOT_ALLOWED = "none"  # stands in a table of patterns where the code allows nothing
_NO_BASIS = Basis(Status.COMMON_PRACTICE)


@record
class WindZone:
    """A wind zone of a code and its design gust speed [m/s], least first in the code."""

    id: str
    speed_m_s: float


@record
class ScrewPattern:
    """So many screws on `of` ribs of a sheet, and how a roofer says it."""

    id: str
    screws: int
    of: int
    says: str
    basis: Basis


@record
class ScrewRow:
    """Patterns of a profile's family in a thickness: by wind zone for sheets that span `span_mm` at most (0: any), or
    one on end rows and one on the rows between. `least_depth_mm`: of the ribs. `traffic`: what may walk on it."""

    family: str
    bmt_mm: float
    basis: Basis
    span_mm: float = 0.0
    by_zone: tuple[str, ...] = ()
    end: str = ""
    internal: str = ""
    least_depth_mm: float = 0.0
    traffic: str = ""


@record
class SpanRow:
    """Longest spans of a profile's family in a thickness: end spans and those between."""

    family: str
    bmt_mm: float
    end_mm: float
    internal_mm: float
    basis: Basis


@record
class FootRow:
    """Longest spans that may be walked on: anywhere, and over ribs or purlins only (0: not said)."""

    family: str
    bmt_mm: float
    basis: Basis
    unrestricted_mm: float = 0.0
    restricted_mm: float = 0.0


@record
class PitchRow:
    """Least pitch of a shape of profile from a depth up; `run_m`: the run after which the run-off is checked (0: not
    said); `lapped_deg`: least pitch with end laps (0: as without), on a basis of its own."""

    shape: str
    pitch_deg: float
    basis: Basis
    depth_mm: float = 0.0
    run_m: float = 0.0
    lapped_deg: float = 0.0
    lapped_basis: Basis = _NO_BASIS


@record
class LapRow:
    """End lap of sheets up to a pitch: below `below_deg`, or up to and on `up_to_deg` (0: any); the first that holds is
    taken. `from_deg`: the rows of this table say nothing below it."""

    lap_mm: float
    basis: Basis
    below_deg: float = 0.0
    up_to_deg: float = 0.0
    from_deg: float = 0.0


@record
class CoverRow:
    """Category of flashing cover by wind zones and pitch, from `from_deg` and below `below_deg`."""

    zones: tuple[str, ...]
    category: str
    basis: Basis
    from_deg: float = 0.0
    below_deg: float = 90.0


@record
class ExpansionRow:
    """Longest flashing without a joint for movement: fixed, and held by clips."""

    metal: str
    fixed_mm: float
    clipped_mm: float
    basis: Basis


@record
class ValleyRow:
    """Least width of the sheet a valley is folded from, and its depth, for rain up to an intensity."""

    to_mm_per_h: float
    width_mm: float
    depth_mm: float
    basis: Basis


@record
class RuleSet:
    """One code: what it is called, its edition and date, its zones and tables. `silent`: the code whose values serve
    where this one says nothing."""

    id: str
    name: str
    source: str
    edition: str
    date: str
    zones: tuple[WindZone, ...]
    zone_basis: Basis = _NO_BASIS
    patterns: tuple[ScrewPattern, ...] = ()
    screws: tuple[ScrewRow, ...] = ()
    spans: tuple[SpanRow, ...] = ()
    on_foot: tuple[FootRow, ...] = ()
    pitches: tuple[PitchRow, ...] = ()
    end_laps: tuple[LapRow, ...] = ()
    covers: tuple[CoverRow, ...] = ()
    expansion: tuple[ExpansionRow, ...] = ()
    rain: RainRules = NO_RAIN
    walls: WallRules = NO_WALLS
    valleys: tuple[ValleyRow, ...] = ()
    silent: RuleSet | None = None

    def zone(self, name: str) -> WindZone | None:
        """A zone by its name."""
        return next((zone for zone in self.zones if zone.id == name), None)

    def pattern(self, name: str) -> ScrewPattern:
        """A pattern by its name; one that no table names is a fault of the data and raises KeyError."""
        found = next((pattern for pattern in self.patterns if pattern.id == name), None)
        if found is None:
            raise KeyError(name)
        return found

    def as_zone_of(self, other: RuleSet, name: str) -> str | None:
        """The calmest zone of another code whose design gust is no less than that of a zone of this one; None where the
        other code ends below it."""
        zone = self.zone(name)
        if self.id == other.id or zone is None:
            return name if other.zone(name) is not None else None
        return next((row.id for row in other.zones if row.speed_m_s >= zone.speed_m_s), None)

    @property
    def titled(self) -> str:
        """The code for a person: New Zealand, v25.12 of 2025-12-01."""
        return f"{self.name}, {self.edition} of {self.date}"


NO_RULES = RuleSet("", "no code", "", "", "", ())
"""Stands where nothing was loaded: no zones, no tables."""
