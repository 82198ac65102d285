"""Bounds of the sheets: sheeted area against the plane and its trims, bought lengths against the sheeted area."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from takeoff.basics.polygons import signed_area
from takeoff.basics.records import record
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import ItemKind
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import PlaneGround, edge_m

AREA_SHARE = 0.002
AREA_M2 = 0.02
_LINE_M = 0.01
_THIN = 2.0  # times the widest band along all sides: of a plane that is smaller bands of facing sides may overlap
_END_MM = 5.0
_UPRIGHT = 0.05  # a side that runs across by less of what it rises is upright

# how far sheets go past an edge [settings, factor]: the least and the most that a plane may have there. Told again, so
# that a wrong sign in the row of a kind is seen; a kind that is not told here is bounded by its row
_TRIMS: Mapping[EdgeKind, tuple[tuple[str, float], tuple[str, float]]] = {
    EdgeKind.EAVE: (("sheet_over_eave_mm", 1.0), ("sheet_over_bare_eave_mm", 1.0)),
    EdgeKind.RIDGE: (("ridge_gap_mm", -0.5), ("ridge_gap_mm", -0.5)),
    EdgeKind.HIP: (("hip_trim_mm", -1.0), ("hip_trim_mm", -1.0)),
    EdgeKind.VALLEY: (("valley_gap_mm", -0.5), ("valley_gap_mm", -0.5)),
    EdgeKind.APRON_HEAD: (("apron_head_trim_mm", -1.0), ("apron_head_trim_mm", -1.0)),
    EdgeKind.APRON_SIDE: (("apron_side_trim_mm", -1.0), ("apron_side_trim_mm", -1.0)),
    EdgeKind.VERGE: (("verge_trim_mm", -1.0), ("verge_trim_mm", -1.0)),
    EdgeKind.HEAD: (("head_trim_mm", -1.0), ("head_trim_mm", -1.0)),
    EdgeKind.PITCH_CHANGE: (("pitch_change_under_mm", -1.0), ("pitch_change_over_mm", 1.0)),
}


@record
class SheetedEstimate:
    """What of a plane may be sheeted [m2]: its area with a band along every edge, corners within their slack."""

    low_m2: float
    high_m2: float
    bands_m2: tuple[float, float]


def estimate(plane: PlaneGround, settings: Settings) -> SheetedEstimate:
    """Least and most sheeted area of a plane: area + sum of length x trim, less or more what bands do at corners.

    In a plane hardly wider than its bands those of two facing sides may lie on each other: half of what they take is
    sure."""
    bands: list[tuple[float, float]] = []
    widest = 0.0
    for edge in plane.edges:
        low, high = sorted(_trim_range(edge.kind, settings))
        bands.append((low * edge_m(edge), high * edge_m(edge)))
        widest = max(widest, abs(low), abs(high))
    slack = AREA_SHARE * plane.area_m2 + AREA_M2 + plane.corner_m2(widest) + plane.shift_m * plane.around_m
    least, most = sum(low for low, _ in bands), sum(high for _, high in bands)
    thin = plane.area_m2 < _THIN * widest * plane.around_m
    shared = -0.5 * sum(min(high, 0.0) for _, high in bands) if thin else 0.0
    return SheetedEstimate(
        max(0.0, plane.area_m2 + least - slack), max(0.0, plane.area_m2 + most + shared) + slack, (least, most)
    )


def _trim_range(kind: EdgeKind, settings: Settings) -> tuple[float, float]:
    """Least and most that sheets go past an edge of a kind [m]."""
    if kind is EdgeKind.INTERNAL_GUTTER:
        past = settings.number("internal_gutter_over_mm") - settings.number("internal_gutter_width_mm") / 2.0
        return past / 1000.0, past / 1000.0
    if kind not in _TRIMS:
        past = sum(factor * settings.number(name) for name, factor in kind.row.trim)
        return past / 1000.0, past / 1000.0
    (low, by), (high, times) = _TRIMS[kind]
    return by * settings.number(low) / 1000.0, times * settings.number(high) / 1000.0


def _by_plane(case: Case) -> dict[str, list[PlaneSheets]]:
    found: dict[str, list[PlaneSheets]] = {}
    for sheets in case.takeoff.roofing.sheets:
        found.setdefault(sheets.plane, []).append(sheets)
    return found


def sheeted_area(case: Case) -> Iterator[Bounded]:
    """The sheeted area of every plane that has sheets."""
    placed = _by_plane(case)
    for plane in case.planes:
        if plane.id in placed:
            may = estimate(plane, case.takeoff.settings)
            least, most = may.bands_m2
            bands = f"{least:+.2f}" if most - least < 0.005 else f"{least:+.2f} to {most:+.2f}"
            yield Bounded(
                sum(sheets.net_mm2 for sheets in placed[plane.id]) / 1e6,
                may.low_m2,
                may.high_m2,
                "m2",
                f"plane of {plane.area_m2:.2f} m2 and the trims along its edges, {bands} m2",
                plane.id,
                (plane.id,),
            )


def bare_planes(case: Case) -> Iterator[Bounded]:
    """Planes without a sheet, though their trims leave more than one sheet of them: overall width x least run."""
    placed = _by_plane(case)
    least_mm = case.takeoff.settings.number("least_run_mm")
    profiles = {roof.name: roof.covering.profile for roof in case.takeoff.job.roofs}
    for plane in case.planes:
        pieces = [piece for sheets in placed.get(plane.id, ()) for piece in sheets.pieces]
        profile = case.takeoff.catalogue.profiles[profiles[plane.plane.roof]]
        one_m2 = profile.overall_mm * least_mm / 1e6
        left_m2 = estimate(plane, case.takeoff.settings).low_m2
        if left_m2 > one_m2:
            words = f"{left_m2:.2f} m2 that the trims of its edges leave, more than one sheet of {one_m2:.2f} m2"
            yield Bounded(float(len(pieces)), 1.0, inf, "sheets", words, plane.id, (plane.id,))


def sheet_cover(case: Case) -> Iterator[Bounded]:
    """What the covers of a plane's sheets lie on against its sheeted area, as drawn from the corners of each cover."""
    for plane, placed in _by_plane(case).items():
        covered = sum(abs(signed_area(r)) for s in placed for p in s.pieces for r in p.cover_uv) / 1e6
        drawn = sum(signed_area(ring) for sheets in placed for ring in sheets.sheeted_uv) / 1e6
        slack = AREA_SHARE * drawn + AREA_M2
        yield Bounded(covered, drawn - slack, drawn + slack, "m2", f"sheeted area {drawn:.2f} m2", plane, (plane,))


def sheet_lengths(case: Case) -> Iterator[Bounded]:
    """The length bought for every sheet against the part of the plane that its cover lies on: as long as that at
    least; longer by the rake over its lap width, its allowance, its rounding and its laps, or the mill's least run."""
    settings = case.takeoff.settings
    grounds = {plane.id: plane for plane in case.planes}
    least_run = settings.number("least_run_mm")
    for plane, placed in _by_plane(case).items():
        for sheets in placed:
            own = _own_mm(sheets, case)
            rake = _rise_mm(grounds[plane], sheets.overall_mm - sheets.cover_mm)
            for piece in sheets.pieces:
                heights = [v for ring in piece.cover_uv for _, v in ring]
                length = max(heights, default=0.0) - min(heights, default=0.0)
                high = max(length + 2.0 * rake + own + 2.0 * piece.lap_mm, least_run)
                words = f"{length:.0f} mm of plane under its cover"
                yield Bounded(piece.order_mm, length - 1.0, high, "mm", words, piece.mark, (piece.mark,))


def _rise_mm(plane: PlaneGround, lap_mm: float) -> float:
    """The most that a side of the plane rises over the lap width of a sheet [mm]; the upright ends of the plane, beyond
    which no sheet lies, left out."""
    rings = plane.plane.rings_uv
    ends = (min(u for u, _ in rings[0]), max(u for u, _ in rings[0]))
    rises = [0.0]
    for ring in rings:
        for (au, av), (bu, bv) in zip(ring, (*ring[1:], ring[0]), strict=True):
            across, up = abs(bu - au), abs(bv - av)
            at_end = any(min(abs(u - end) for u in (au, bu)) < _END_MM for end in ends)
            if across > _UPRIGHT * up or (up > 0.0 and not at_end):
                rises.append(min(up, lap_mm * up / across) if across > 0.0 else up)
    return max(rises)


def _own_mm(sheets: PlaneSheets, case: Case) -> float:
    """What a sheet is bought longer for its own sake: raked allowance, rounding, a foot that is turned down [mm]."""
    settings = case.takeoff.settings
    steps = max(settings.number("raked_step_mm"), settings.number("square_step_mm"))
    profile = case.takeoff.catalogue.profiles.get(sheets.profile)
    return settings.number("raked_allowance_mm") + steps + (profile.foot_turn_mm if profile else 0.0)


def bought_area(case: Case) -> Iterator[Bounded]:
    """Bought length x cover of every plane's sheets."""
    placed = _by_plane(case)
    for plane in case.planes:
        if plane.id in placed:
            low, high = bought_range(plane, placed[plane.id], case)
            cover = placed[plane.id][0].cover_mm
            figure = sum(piece.order_mm for sheets in placed[plane.id] for piece in sheets.pieces) * cover / 1e6
            words = f"plane of {plane.area_m2:.2f} m2, its trims, rakes and one sheet's width"
            yield Bounded(figure, low, high, "m2", words, plane.id, (plane.id,))


def bought_range(plane: PlaneGround, placed: list[PlaneSheets], case: Case) -> tuple[float, float]:
    """Least and most that a plane's sheets cover as they are bought [m2].

    Least: what must be sheeted, less the lap width of a last sheet that covers with its overall width. Most: what may
    be sheeted, half a sheet's cover and its lap width along every rake, a whole sheet's width along what is upright,
    and on every sheet its allowance, rounding and laps.
    """
    settings = case.takeoff.settings
    may = estimate(plane, settings)
    cover, overall = placed[0].cover_mm / 1000.0, placed[0].overall_mm / 1000.0
    rakes = sum(_rake_m2(side, cover, overall) for side in plane.sides_m)
    pieces = [piece for sheets in placed for piece in sheets.pieces]
    own = _own_mm(placed[0], case)
    laps = sum(piece.lap_mm for piece in pieces)
    extra = cover * (len(pieces) * own + laps) / 1000.0
    low = may.low_m2 - max(0.0, overall - cover) * plane.rise_m * (1 + len(plane.plane.rings_uv))
    return max(0.0, low), may.high_m2 + rakes + extra


def _rake_m2(side: tuple[float, float], cover: float, overall: float) -> float:
    across, up = side
    if across < _UPRIGHT * up:
        return overall * up
    return (cover / 2.0 + overall - cover) * up + cover * min(up, cover * up / across)


def sheet_lines(case: Case) -> Iterator[Bounded]:
    """Metres of the sheets on the order's lines against what all planes ask, and against the cut list."""
    low, high = _whole_metres(case)
    if high > 0.0:
        lines = [line for line in case.order.lines if line.of.kind in (ItemKind.SHEET, ItemKind.CLEAR_SHEET)]
        figure = sum(line.count * line.each_mm for line in lines) / 1000.0
        words = "the areas of all planes over the cover of their sheets"
        site = sum(blank.length_mm for blank in case.order.site_blanks) / 1000.0
        yield Bounded(figure + site, low, high, "m", words, "on the lines and from the site")
        blanks = sum(blank.length_mm for blank in case.order.blanks) / 1000.0
        words = f"bought lengths in the cut list, {blanks:.2f} m"
        yield Bounded(figure, blanks - _LINE_M, blanks + _LINE_M, "m", words, "on the lines")


def _whole_metres(case: Case) -> tuple[float, float]:
    """Least and most metres of sheets for all planes together; paired sheets share an allowance and a rake."""
    placed = _by_plane(case)
    low = high = 0.0
    for plane in case.planes:
        if plane.id in placed:
            least, most = bought_range(plane, placed[plane.id], case)
            cover = placed[plane.id][0].cover_mm / 1000.0
            low, high = low + least / cover, high + most / cover
    return low, high


def whole_range(case: Case) -> tuple[float, float]:
    """Least and most square metres, as they cover, of the sheets of all planes."""
    placed = _by_plane(case)
    ranges = [bought_range(plane, placed[plane.id], case) for plane in case.planes if plane.id in placed]
    return sum(low for low, _ in ranges), sum(high for _, high in ranges)
