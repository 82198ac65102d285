"""Bounds of what holds and seals the sheets: screws against rows, rivets and sealant against laps, touch-up paint."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from takeoff.model.roof import EdgeKind
from takeoff.order.bounds.flashings import laps_at_most
from takeoff.order.bounds.ground import area_m2
from takeoff.order.bounds.lines import counted
from takeoff.order.bounds.record import Bounded, Case
from takeoff.order.bounds.timber import line_m, rows_range


def roof_screws(case: Case) -> Iterator[Bounded]:
    """Screws, and clips of trays, against the rows that area over gauge gives, over the cover of a sheet, by the
    pattern of screws; trimmers and boards count with their own length."""
    settings = case.takeoff.settings
    placed = {sheets.plane: sheets for sheets in case.takeoff.roofing.sheets}
    patterns = (settings.number("screws_end"), settings.number("screws_middle"))
    spare, box = 1.0 + settings.number("screw_spare_percent") / 100.0, settings.number("screw_box")
    low = high = rows = 0.0
    for plane in case.planes:
        sheets = placed.get(plane.id)
        if sheets is None or not sheets.pieces:
            continue
        cover = sheets.cover_mm / 1000.0
        profile = case.takeoff.catalogue.profiles.get(sheets.profile)
        crests = max(1.0, round(sheets.cover_mm / profile.rib_pitch_mm)) if profile else 1.0
        least, most = rows_range(case, plane)
        lines = [line for line in case.takeoff.roofing.purlins if line.plane == plane.id]
        beside = sum(line_m(line) for line in lines if line.role in ("hip trimmer", "valley board"))
        cells = len(lines) * 2.0 + len(sheets.pieces)
        low += 0.7 * least / cover * min(*patterns, crests)
        high += ((most + beside) / cover + cells) * min(max(patterns), crests) + 4.0
        rows += most
    figure = counted(case, "roof_screw") + counted(case, "sheet_clip") + counted(case, "rooflight_screw")
    if rows and box > 0.0:
        clear = any(piece.clear for s in case.takeoff.roofing.sheets for piece in s.pieces)
        low = 0.0 if clear else low * spare / box
        high = high * spare / box + 3.0 if not clear else inf
        yield Bounded(figure, low, high, "box", f"at most {rows:.0f} m of rows under the sheets")


def sealing(case: Case) -> Iterator[Bounded]:
    """Rivets and sealant against the most laps that the flashings can have, junctions, end laps and holes."""
    takeoff, settings = case.takeoff, case.takeoff.settings
    girth = max((run.girth_mm for run in takeoff.roofing.flashings), default=0.0)
    laps = laps_at_most(case)
    ends = 2.0 * len(case.edges_of(*(kind for kind in EdgeKind)))
    lapped = [piece for sheets in takeoff.roofing.sheets for piece in sheets.pieces if piece.lap_mm > 0.0]
    round_mm = sum(4.0 * (hole.width_mm + hole.length_mm) + 4000.0 for hole in takeoff.roofing.holes)
    spacing = settings.number("rivet_spacing_mm")
    words = (
        f"at most {laps:.0f} laps of flashings, {len(lapped)} end laps of sheets, {len(takeoff.roofing.holes)} holes"
    )
    if spacing > 0.0 and settings.number("rivet_box") > 0.0 and laps < inf:
        most = laps * (girth / spacing + 1.0) + ends * settings.number("rivets_a_junction")
        most += (
            len(lapped) * settings.number("rivets_an_end_lap") + round_mm / spacing + 8.0 * len(takeoff.roofing.holes)
        )
        most *= 1.0 + settings.number("rivet_spare_percent") / 100.0
        yield Bounded(counted(case, "rivet"), 0.0, most / settings.number("rivet_box") + 1.0, "box", words, "rivets")
    tube = settings.number("sealant_tube_mm")
    if tube > 0.0 and laps < inf:
        overall = max((sheets.overall_mm for sheets in takeoff.roofing.sheets), default=0.0)
        beads = settings.number("sealant_beads")
        most = (
            (laps * girth + len(lapped) * overall) * beads + ends * settings.number("sealant_a_junction_mm") + round_mm
        )
        yield Bounded(counted(case, "sealant"), 0.0, most / tube + 1.0, "tube", words, "sealant")


def touch_up(case: Case) -> Iterator[Bounded]:
    """Touch-up paint against the area of the planes."""
    serves = case.takeoff.settings.number("touch_up_m2")
    area = area_m2(case.planes)
    if area > 0.0 and serves > 0.0:
        words = f"{area:.2f} m2 of planes at {serves:g} m2 a bottle"
        yield Bounded(counted(case, "touch_up"), 0.999 * area / serves, 1.001 * area / serves + 1.0, "bottle", words)
