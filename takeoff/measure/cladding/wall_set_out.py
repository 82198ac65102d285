"""How the sheets of a wall are set out across it: how many, and where the first one starts.

Where a whole sheet more would be ordered for a strip that the flashings at the wall's ends hide, there is none: the
sheets stop short of both ends, by equal parts as far as each flashing lies over them. Where the last sheet would show
too few crests the start goes out by whole ribs, as on a roof. Common practice, no source.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.measure.cladding.face import CRUMB_MM, Face
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.measure.sheeting.last_sheet import whole_ribs
from takeoff.model.products import Profile
from takeoff.model.settings import Settings
from takeoff.shape.strips.strips import Widths, strip_count

FLASHED_CORNERS = ("external", "internal")


@record
class WallSetOut:
    """Where the sheets of a wall begin and end, which end laying starts from, where the first cover would begin [mm
    from the left end of the framing], what they stop short at each end, and the rule in words."""

    left: float
    right: float
    side: str
    start: float
    short: tuple[float, float] = (0.0, 0.0)
    why: str = ""


def wall_set_out(
    face: Face, ends: WallEnds, profile: Profile, widths: Widths, side: str, settings: Settings
) -> WallSetOut:
    """Where the sheets of a face stand, laid from its `side`.

    2400 mm of corrugate (cover 762, overall 845) between two corners: three sheets reach 3 x 762 + 83 = 2369, and the
    31 mm that are left lie under the corner flashings: 15.5 short at each end.
    """
    most = settings.number("wall_sheet_short_mm")
    room = [most if flashed else 0.0 for flashed in (_flashed(face, ends, left=True), _flashed(face, ends, left=False))]
    count = strip_count(face.width, widths)
    fewer = strip_count(face.width - sum(room), widths)
    if fewer < count:
        spare = widths.overall_mm - widths.cover_mm if widths.by_overall else 0.0
        over = face.width - (fewer * widths.cover_mm + spare)
        at_left = min(room[0], max(over / 2.0, over - room[1]))
        short = (at_left, over - at_left)
        why = f"; a sheet fewer: {over:.0f} mm at the ends of the wall lie under its flashings"
        left, right = face.left + short[0], face.right - short[1]
        return WallSetOut(left, right, side, left if side == "left" else right, short, why)
    ribs = whole_ribs(face.width, widths, profile, settings)
    why = f"; moved out by {ribs} whole ribs so that the last sheet keeps its crests" if ribs else ""
    out = ribs * profile.rib_pitch_mm
    start = face.left - out if side == "left" else face.right + out
    return WallSetOut(face.left, face.right, side, start, why=why)


def _flashed(face: Face, ends: WallEnds, left: bool) -> bool:
    """Whether a flashing lies over the sheets at an end: of a corner, or of an upright line to another zone."""
    if (ends.left if left else ends.right).kind in FLASHED_CORNERS:
        return True
    at = face.left if left else face.right
    return any(abs(line[0][0] - at) < CRUMB_MM and abs(line[-1][0] - at) < CRUMB_MM for line in face.joins)
