"""Bounds of the purlins: rows against area over gauge, trimmers and boards against hips and valleys, their fixings."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import PurlinLine
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import PlaneGround, edge_m
from takeoff.order.bounds.line_bounds import in_packs

NARROW_M = 0.4  # a plane of less mean width has no room beside its hips
ROWS = frozenset({"purlin", "eave", "ridge", "head"})
_LEVEL = tuple(kind for kind in EdgeKind if kind.row.level)


def gauge_m(case: Case) -> float:
    """Spacing of purlins that the job asks for [m]."""
    asked = case.takeoff.job.purlins.spacing_mm or case.takeoff.settings.number("purlin_spacing_mm")
    return asked / 1000.0


def line_m(line: PurlinLine) -> float:
    """Length of a line on its plane [m]."""
    return dist(line.a_uv, line.b_uv) / 1000.0


def purlin_rows(case: Case) -> Iterator[Bounded]:
    """Metres of purlin rows on each plane against area over gauge and the rows that level edges have of their own."""
    gauge = gauge_m(case)
    lines = case.takeoff.roofing.purlins
    for plane in case.planes:
        figure = sum(line_m(line) for line in lines if line.plane == plane.id and line.role in ROWS)
        low, high = rows_range(case, plane)
        words = f"{plane.area_m2:.2f} m2 at {gauge * 1000.0:g} mm and its level edges"
        yield Bounded(figure, low, high, "m", words, plane.id, (plane.id,))


def rows_range(case: Case, plane: PlaneGround) -> tuple[float, float]:
    """Least and most metres of rows on a plane: area / gauge, and half a row for each level edge.

    Rows at a gauge and at both ends are the trapezoid rule: their metres are area / gauge and half of what lies at the
    two ends; bays that are not whole and a row moved clear of the top one add a row at most, sides that turn between
    rows a quarter of what they run across.
    """
    settings = case.takeoff.settings
    level = plane.metres_of(*_LEVEL)
    base = plane.area_m2 / gauge_m(case)
    turns = max(0.0, plane.across_total_m - level)
    rows = plane.rise_m / gauge_m(case) + 3.0
    laps = {
        round(piece.foot_v_mm)
        for sheets in case.takeoff.roofing.sheets
        if sheets.plane == plane.id
        for piece in sheets.pieces
        if piece.part > 0
    }
    edge = settings.number("purlin_edge_bay_mm") / 1000.0 or settings.number("end_span_share") * gauge_m(case)
    # a row for each lap and one on either side of it; what two bays at the ends of sheets are short of the gauge
    more = 3.0 * len(laps) + 2.0 * max(0.0, 1.0 - edge / gauge_m(case))
    more += 1.0 if settings.flag("purlin_even_spacing") else 0
    ends = rows * 0.2 * max(2.0, len(plane.sides_m) / 2.0)
    centre = base + 0.5 * level
    low = centre - 0.4 * plane.across_m - 0.25 * turns
    high = centre + 0.9 * plane.across_m + 0.25 * turns + more * plane.across_m + ends
    return max(0.0, low), high


def trimmers(case: Case) -> Iterator[Bounded]:
    """Metres of hip trimmers and valley boards against the hips and valleys of each plane."""
    settings = case.takeoff.settings
    boards = round(settings.number("valley_boards_a_side"))
    for role, kind, each in (("hip trimmer", EdgeKind.HIP, 1), ("valley board", EdgeKind.VALLEY, boards)):
        for plane in case.planes:
            edges = [edge_m(edge) for edge in plane.edges if edge.kind is kind]
            own = [line for line in case.takeoff.roofing.purlins if line.plane == plane.id and line.role == role]
            figure = sum(line_m(line) for line in own)
            wide = 2.0 * plane.area_m2 / plane.around_m > NARROW_M
            low = each * sum(max(0.0, 0.6 * length - 1.6) for length in edges) if wide else 0.0
            high = each * sum(length + 0.6 for length in edges)
            if edges or own:
                words = f"{kind.value}s of {sum(edges):.2f} m x {each}"
                yield Bounded(figure, low, high, "m", words, f"{plane.id} {role}s", (plane.id,))


def outriggers(case: Case) -> Iterator[Bounded]:
    """Outriggers against the verges and their spacing."""
    spacing = case.takeoff.settings.number("outrigger_spacing_mm") / 1000.0
    for plane in case.planes:
        verges = [edge_m(edge) for edge in plane.edges if edge.kind is EdgeKind.VERGE]
        figure = sum(1 for line in case.takeoff.roofing.purlins if line.plane == plane.id and line.role == "outrigger")
        high = sum(length / spacing + 2.0 for length in verges)
        words = f"verges of {sum(verges):.2f} m at {spacing * 1000.0:g} mm"
        yield Bounded(float(figure), 0.0, high, "each", words, f"{plane.id} outriggers", (plane.id,))


def purlin_fixings(case: Case) -> Iterator[Bounded]:
    """Fixings of purlins against the metres of all lines over the spacing of their supports."""
    takeoff = case.takeoff
    settings = takeoff.settings
    lines = [line for line in takeoff.roofing.purlins if line.role != "outrigger"]
    metres = sum(line_m(line) for line in lines)
    supports = (takeoff.job.purlins.supports_mm or settings.number("purlin_supports_mm")) / 1000.0
    spare = 1.0 + settings.number("purlin_fixing_spare_percent") / 100.0
    items = [line for line in case.order.lines if line.of.sort == "purlin_fixing"]
    for line in items:
        low, high = in_packs(case, line.item, 0.5 * metres / supports, 1e9)
        most = (2.0 * metres / supports + 5.0 * len(lines)) * 3.0 * spare
        high = in_packs(case, line.item, 0.0, most)[1]
        words = f"{metres:.1f} m of timber over supports at {supports * 1000.0:g} mm"
        yield Bounded(line.count, low, high, line.unit, words, line.of.name, line.refs[:3])
