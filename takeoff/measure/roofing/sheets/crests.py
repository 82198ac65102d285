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

from takeoff.basics.records import record
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
    return CrestLines(roof, rules).set_all(grounds)


@record
class _Alone:
    """What a plane laid from one side says by itself: whether that side is a raked corner, how far it lies to the lee
    [mm], and its start line where nothing moves it."""

    raked: bool
    lee_mm: float
    faces_deg: int
    plain: SetOut


class CrestLines:
    """Start lines of the planes of one roof, asked for again and again with other sides: what a plane says by itself is
    worked out once for each side, and planes that ridges join once for all their sides: others have no say in theirs.
    A plane has one area to sheet here."""

    def __init__(self, roof: Roof, rules: LayRules) -> None:
        self.roof, self.rules = roof, rules
        self._alone: dict[tuple[str, str, str], _Alone] = {}
        self._beside: dict[str, Mapping[str, RoofPlane]] = {}
        self._groups: dict[str, str] = {}  # by plane the first of those that ridges join with it
        self._set: dict[tuple[tuple[str, str, str], ...], Mapping[str, SetOut]] = {}

    def set_all(self, grounds: Sequence[Ground]) -> Mapping[str, SetOut]:
        """As `crest_shifts`, for grounds that differ by side and reason alone from call to call."""
        groups: dict[str, list[Ground]] = {}
        for ground in grounds:
            groups.setdefault(self._group(ground.plane), []).append(ground)
        found: dict[str, SetOut] = {}
        for joined in groups.values():
            key = tuple([(ground.plane.id, ground.side, ground.why) for ground in joined])
            if key not in self._set:
                self._set[key] = self._joined(joined)
            found.update(self._set[key])
        return found

    def _group(self, plane: RoofPlane) -> str:
        """The first of the planes that ridges join with one."""
        if plane.id not in self._groups:
            open_ = [plane]
            while open_:
                one = open_.pop()
                self._groups[one.id] = plane.id
                open_ += [other for other in self._neighbours(one).values() if other.id not in self._groups]
        return self._groups[plane.id]

    def _joined(self, grounds: Sequence[Ground]) -> Mapping[str, SetOut]:
        """The start lines of planes that ridges join."""
        rules = self.rules
        asked = rules.settings.flag("crests_in_line") and rules.roof_job.covering.first_cover_mm is None
        by_id = {ground.plane.id: ground for ground in grounds if ground.area.rings}
        alone = {name: self._by_itself(ground) for name, ground in by_id.items()}
        names = sorted(by_id, key=lambda name: alone[name].faces_deg)
        found: dict[str, SetOut] = {}
        turns: dict[str, int] = {}
        for name in by_lee([(alone[name].raked, alone[name].lee_mm, name) for name in names]):
            beside = self._neighbours(by_id[name].plane)
            near = [beside[other] for other in sorted(beside.keys() & found.keys(), key=turns.__getitem__)]
            turns[name] = len(turns)
            found[name] = self._in_line(by_id[name], alone[name], near, found, asked) if near else alone[name].plain
        return found

    def _by_itself(self, ground: Ground) -> _Alone:
        key = (ground.plane.id, ground.side, ground.why)
        if key not in self._alone:
            lee = lee_deg_of(self.rules.roof_job, self.rules.settings)
            self._alone[key] = _Alone(
                raked_start(ground.area, ground.side),
                lee_place(ground.plane.frame, _edge_u(ground), self.rules.north_deg, lee),
                _faces_deg(ground.plane, lee),
                self._start(ground, 0.0),
            )
        return self._alone[key]

    def _start(self, ground: Ground, shift_mm: float) -> SetOut:
        return set_out(ground.plane, ground.area, ground.side, ground.why, self.rules, shift_mm)

    def _neighbours(self, plane: RoofPlane) -> Mapping[str, RoofPlane]:
        if plane.id not in self._beside:
            self._beside[plane.id] = {other.id: other for other in ridge_neighbours(self.roof, plane)}
        return self._beside[plane.id]

    def _in_line(
        self, ground: Ground, alone: _Alone, near: Sequence[RoofPlane], found: Mapping[str, SetOut], asked: bool
    ) -> SetOut:
        """The start line of a plane beside those that are set out, moved to a crest line of the first of them."""
        widths, profile, settings = self.rules.widths, self.rules.profile, self.rules.settings
        out, gap = alone.plain, 0.0
        if asked:
            gap = _gap(ground.plane, out, near[0], found, profile)
            low, high = extent(ground.area)
            needs_more = strip_count(high - low + gap, widths) > strip_count(high - low, widths)
            if needs_more or not alone.raked:
                gap = 0.0
        if gap:
            out = self._start(ground, gap)
        for other in near:
            left = _gap(ground.plane, out, other, found, profile)
            left = min(left, profile.rib_pitch_mm - left)
            if left > max(out.out_of_line_mm, settings.number("crests_out_of_line_mm")):
                out = replace(out, out_of_line_mm=left, out_of_line_with=other.id)
        return out


def _faces_deg(plane: RoofPlane, lee_deg: float) -> int:
    """The way a plane faces, in whole degrees from the lee end: of planes as far to the lee it says which is set out
    first."""
    return floor(plane.bearing_deg - lee_deg + 0.37) % 360


def _edge_u(ground: Ground) -> float:
    low, high = extent(ground.area)
    return low if ground.side == "left" else high


def _gap(plane: RoofPlane, out: SetOut, other: RoofPlane, found: Mapping[str, SetOut], profile: Profile) -> float:
    return crest_gap(plane, out.start_u_mm, other, found[other.id].start_u_mm, profile.rib_pitch_mm)
