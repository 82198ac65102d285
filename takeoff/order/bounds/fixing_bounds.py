"""Bounds of what holds and seals the sheets: screws against rows, rivets and sealant against laps, touch-up paint."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.sheets import PlaneSheets
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.flashing_bounds import laps_at_most
from takeoff.order.bounds.ground import area_m2
from takeoff.order.bounds.line_bounds import counted

# timber that sheets are not screwed to
_UNDER = frozenset({"outrigger", "hole trimmer"})


def roof_screws(case: Case) -> Iterator[Bounded]:
    """Screws, and clips of trays, against the timber under each plane's sheets: what its lines run across over the
    cover of a sheet, by the pattern of screws on ends and between, and a screw or two more at the ends of a line."""
    settings = case.takeoff.settings
    spare, box = 1.0 + settings.number("screw_spare_percent") / 100.0, settings.number("screw_box")
    if box <= 0.0:
        return
    low = high = across = 0.0
    for sheets in case.takeoff.roofing.sheets:
        least, most, under = _screws_on(sheets, case)
        low, high, across = low + least, high + most, across + under
    clear = any(piece.clear for sheets in case.takeoff.roofing.sheets for piece in sheets.pieces)
    items = case.takeoff.items
    held = {item for item, known in items.items() if known.sort in ("roof_screw", "sheet_clip")}
    lines = [line for line in case.order.lines if line.item in held]
    figure = sum(line.count for line in lines)
    if across > 0.0:
        least = 0.0 if clear else spare * low / box
        words = f"timber that runs {across:.1f} m across under the sheets"
        yield Bounded(figure, least, spare * high / box + 1.0 + len(lines), "box", words)


def _screws_on(sheets: PlaneSheets, case: Case) -> tuple[float, float, float]:
    """Least and most screws of a plane's sheets, and what the timber under them runs across [m]."""
    pattern = next((found for found in case.takeoff.roofing.screws if found.plane == sheets.plane), None)
    ends, between = (pattern.end, pattern.between) if pattern is not None else (0, 0)
    lines = [line for line in case.takeoff.roofing.purlins if line.plane == sheets.plane and line.role not in _UNDER]
    runs = [
        (abs(line.b_uv[0] - line.a_uv[0]) / sheets.cover_mm, between if line.role == "purlin" else ends, line.role)
        for line in lines
    ]
    sure = sum(max(0.0, count - 1.0) * each for count, each, role in runs if role != "valley board")
    most = sum((count + 2.0) * each + 2.0 for count, each, _ in runs) + len(sheets.pieces) * max(ends, between)
    across = sum(count for count, _, _ in runs) * sheets.cover_mm / 1000.0
    return 0.9 * sure, most, across


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
