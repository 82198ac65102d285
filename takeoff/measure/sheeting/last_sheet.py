"""What the last sheet of a strip of sheets shows, and what is moved for it."""

from __future__ import annotations

from math import ceil

from takeoff.model.products import Profile
from takeoff.model.settings import Settings
from takeoff.shape.strips.strips import Widths, strip_count


def whole_ribs(width_mm: float, widths: Widths, profile: Profile, settings: Settings) -> int:
    """Whole ribs to move the start out so that the last sheet shows its least crests; 0 where it does already.

    Only for profiles with several ribs to a sheet: moving a tray by its rib would move it by a sheet.
    """
    count = strip_count(width_mm, widths)
    if count < 2 or profile.rib_pitch_mm > widths.cover_mm / 2.0:
        return 0
    last = width_mm - (count - 1) * widths.cover_mm
    least = min(settings.number("last_sheet_crests") * profile.rib_pitch_mm, settings.number("last_sheet_least_mm"))
    return max(0, ceil((least - last - 0.5) / profile.rib_pitch_mm))
