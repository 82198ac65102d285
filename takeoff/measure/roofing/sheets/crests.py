"""Start lines of all planes of a roof together: crests brought in line across ridges.

Both sides of a ridge start at the lee end, so their crests are in line wherever their lee ends are. Where they are not,
a plane that starts at a raked corner, where the moved edge is not seen, is moved out to the next crest line of the
other by part of one rib, if it needs no sheet more for it; of two such the one less far to the lee. Else it is left and
the gap is reported. Whole ribs for the last sheet's sake keep the line. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import floor

from takeoff.measure.roofing.sheets.lay_direction import (
    LayRules,
    SetOut,
    by_lee,
    crest_gap,
    lee_deg_of,
    lee_place,
    raked_start,
    ridge_neighbours,
    set_out,
)
from takeoff.measure.roofing.sheets.sheet_pieces import Ground
from takeoff.model.products import Profile
from takeoff.model.roof import Roof, RoofPlane
from takeoff.shape.strips.strips import extent, strip_count


def crest_shifts(roof: Roof, grounds: Sequence[Ground], rules: LayRules) -> Mapping[str, SetOut]:
    """Start line of every plane that has anything to sheet, by plane id.

    Raises JobError for a first cover wider than the profile covers.
    """
    widths, profile = rules.widths, rules.profile
    asked = rules.settings.flag("crests_in_line") and rules.roof_job.covering.first_cover_mm is None
    by_id = {ground.plane.id: ground for ground in grounds if ground.area.rings}
    lee = lee_deg_of(rules.roof_job, rules.settings)
    places = [
        (raked_start(g.area, g.side), lee_place(g.plane.frame, _edge_u(g), rules.north_deg, lee), name)
        for name, g in by_id.items()
    ]
    found: dict[str, SetOut] = {}
    for name in by_lee(sorted(places, key=lambda place: _faces_deg(by_id[place[2]].plane, lee))):
        ground = by_id[name]

        def start(shift_mm: float, ground: Ground = ground) -> SetOut:
            return set_out(ground.plane, ground.area, ground.side, ground.why, rules, shift_mm)

        plain = start(0.0)
        beside = {other.id: other for other in ridge_neighbours(roof, ground.plane)}
        near = [beside[other] for other in found if other in beside]
        gap = 0.0
        if near and asked:
            gap = _gap(ground.plane, plain, near[0], found, profile)
            low, high = extent(ground.area)
            needs_more = strip_count(high - low + gap, widths) > strip_count(high - low, widths)
            if needs_more or not raked_start(ground.area, ground.side):
                gap = 0.0
        out = start(gap) if gap else plain
        for other in near:
            left = _gap(ground.plane, out, other, found, profile)
            left = min(left, profile.rib_pitch_mm - left)
            if left > max(out.out_of_line_mm, rules.settings.number("crests_out_of_line_mm")):
                out = replace(out, out_of_line_mm=left, out_of_line_with=other.id)
        found[name] = out
    return found


def _faces_deg(plane: RoofPlane, lee_deg: float) -> int:
    """The way a plane faces, in whole degrees from the lee end: of planes as far to the lee it says which is set out
    first."""
    return floor(plane.bearing_deg - lee_deg + 0.37) % 360


def _edge_u(ground: Ground) -> float:
    low, high = extent(ground.area)
    return low if ground.side == "left" else high


def _gap(plane: RoofPlane, out: SetOut, other: RoofPlane, found: Mapping[str, SetOut], profile: Profile) -> float:
    return crest_gap(plane, out.start_u_mm, other, found[other.id].start_u_mm, profile.rib_pitch_mm)
