"""The sheet layout of one plane: each sheet as cut, its mark and bought length, lay arrow, start line, side lengths.

Drawn flat in plane axes, seen from outside with the eave at the foot: u to the right, v up the slope, real mm.
"""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.vectors import Point2, distance2
from takeoff.model.order import Takeoff
from takeoff.model.roof import EdgeKind, RoofEdge, RoofPlane
from takeoff.model.sheets import CutShape, PlaneSheets, SheetPiece
from takeoff.write.bought import Bought, bought_lengths
from takeoff.write.drawing import (
    LARGE_MM,
    NORMAL_MM,
    SMALL_MM,
    Drawing,
    Sketch,
    bounds,
    readable_angle,
    text_width,
)
from takeoff.write.frame import A3, A4, choose_scale, finish, free_area, title_block
from takeoff.write.label_places import inside
from takeoff.write.layers import EDGE_LAYER
from takeoff.write.opening_drawing import draw_clear, draw_holes, hole_words
from takeoff.write.words import over_words, plain, whole

_HEAD, _FOOT, _SIDE = 34.0, 40.0, 20.0  # room over, under and beside the plane [paper mm]
_NARROW = 8.4  # a strip narrower than this on paper shows no side lengths, and asks for larger paper [paper mm]


def sheet_layouts(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """One drawing a sheeted plane, in the order of the planes, named sheets_<plane>."""
    bought = bought_lengths(takeoff.order)
    drawings = []
    for roof in takeoff.roofs:
        for plane in roof.planes:
            sheets = takeoff.sheets_of(plane.id)
            if sheets is not None and sheets.pieces:
                drawings.append(_layout(takeoff, plane, roof.edges_of(plane.id), sheets, bought))
    return tuple(drawings)


def _layout(
    takeoff: Takeoff, plane: RoofPlane, edges: tuple[RoofEdge, ...], sheets: PlaneSheets, bought: Mapping[str, Bought]
) -> Drawing:
    points = [point for ring in plane.rings_uv for point in ring]
    points += [point for piece in sheets.pieces for point in piece.outline_uv]
    extent = bounds(points)
    paper, scale = _paper(extent, sheets.cover_mm)
    sketch = Sketch(scale)
    for edge in edges:
        _edge(sketch, plane, edge)
    draw_clear(sketch, sheets, _as_it_lies)
    for piece in sheets.pieces:
        _sheet(sketch, piece, sheets, bought)
    holes = [hole for hole in takeoff.roofing.holes if hole.plane == plane.id]
    draw_holes(sketch, holes, _as_it_lies, named=False)
    _setting_out(sketch, sheets, extent)
    width, height = free_area(paper)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    size = (extent[3] - extent[1]) / scale
    foot = _FOOT + max(0.0, (height - _HEAD - _FOOT - size) / 2.0) + size / 2.0
    top_left = (middle[0] - sketch.paper(width / 2.0), middle[1] + sketch.paper(height - foot))
    _heading(sketch, plane, sheets, top_left, hole_words(holes, width - 8.0))
    block = title_block(takeoff, f"Sheets on {plane.id}", f"S-{plane.id}")
    return finish(sketch, f"sheets_{plane.id}", block, paper, middle, (width / 2.0, foot))


def _as_it_lies(point: Point2) -> Point2:
    return point


def _paper(extent: tuple[float, float, float, float], cover_mm: float) -> tuple[tuple[float, float], int]:
    size = (extent[2] - extent[0], extent[3] - extent[1])
    found = (A4, 1)
    for paper in (A4, A3):
        width, height = free_area(paper)
        scale = max(10, choose_scale(size, (width - 2 * _SIDE, height - _HEAD - _FOOT)))
        found = (paper, scale)
        if cover_mm / scale >= _NARROW:
            break
    return found


def _edge(sketch: Sketch, plane: RoofPlane, edge: RoofEdge) -> None:
    a, b = plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)
    sketch.line(EDGE_LAYER[edge.kind], a, b)
    text = f"{edge.id}: {whole(edge.length_mm)}"
    length = max(abs(b[0] - a[0]), abs(b[1] - a[1]))
    if text_width(text, sketch.paper(SMALL_MM)) > length:
        return
    # where the sheets along a sloping edge are long, clear of the marks that stand off the plane beside short ones
    part = 0.5 if abs(b[1] - a[1]) < 1.0 else 0.2 if edge.kind is EdgeKind.VALLEY else 0.8
    reach = distance2(a, b)
    normal = (-(b[1] - a[1]) / reach, (b[0] - a[0]) / reach)
    at = (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1]))
    off = sketch.paper(5.0)
    if inside(plane.rings_uv, (at[0] + normal[0] * 10.0, at[1] + normal[1] * 10.0)):
        off = -off
    at = (at[0] + normal[0] * off, at[1] + normal[1] * off)
    sketch.text("TEXT", at, text, SMALL_MM, readable_angle(a, b), "centre", True)


def _sheet(sketch: Sketch, piece: SheetPiece, sheets: PlaneSheets, bought: Mapping[str, Bought]) -> None:
    sketch.ring("SHEET-OUTLINE", piece.outline_uv)
    low_u, low_v, high_u, high_v = bounds(piece.outline_uv)
    wide = (high_u - low_u) / sketch.scale
    raked = piece.top.shape is not CutShape.SQUARE or piece.foot.shape is not CutShape.SQUARE
    sided = raked and wide >= _NARROW
    height = NORMAL_MM if wide >= 5.0 else SMALL_MM
    middle = _label_u(piece, sheets, low_u, high_u)
    length = bought[piece.mark].words if piece.mark in bought else whole(piece.order_mm)
    gap = sketch.paper(1.5)
    mark_long = text_width(piece.mark, sketch.paper(height)) + 2.0 * gap
    length_long = text_width(length, sketch.paper(height))
    if (piece.part or piece.lap_mm) and mark_long + length_long + gap > high_v - low_v:
        # a short part of a strip: past its end lies the next part, so its label lies level within it
        for text, layer, up in ((piece.mark, "SHEET-MARK", 1.0), (length, "SHEET-LENGTH", -1.0)):
            at = (middle, (low_v + high_v) / 2.0 + up * sketch.paper(SMALL_MM))
            sketch.text(layer, at, text, SMALL_MM, 0.0, "centre", True)
        return
    start = _label_start(sketch, piece, middle, height, mark_long + length_long, sided and wide < 14.0)
    sketch.text("SHEET-MARK", (middle, start), piece.mark, height, 90.0, "left", True)
    sketch.text("SHEET-LENGTH", (middle, start + mark_long), length, height, 90.0, "left", True)
    if sided:
        _sides(sketch, piece, low_u, high_u, sheets.overall_mm - sheets.cover_mm)


def _label_start(sketch: Sketch, piece: SheetPiece, u: float, height: float, long: float, crowded: bool) -> float:
    """Where mark and length begin: inside the sheet from its foot, else past its raked end, off the plane.

    `crowded`: in a narrow strip the side lengths need the head of the sheet to themselves.
    """
    gap, half = sketch.paper(1.5), sketch.paper(height / 2.0)
    # over the whole thickness of the letters, so that they stand clear of a rake
    spans = [_span(piece, u + side * half) for side in (-1.0, 0.0, 1.0)]
    foot, top = max(low for low, _ in spans), min(high for _, high in spans)
    if crowded:
        low_u, _, high_u, _ = bounds(piece.outline_uv)
        heads = [_span(piece, side)[1] for side in (low_u + 0.5, high_u - 0.5)]
        kept = text_width("0000", sketch.paper(SMALL_MM))
        top = min([top, *(head - kept for head in heads if head - kept > foot)])
    if foot + gap + long <= top:
        return foot + gap
    if piece.top.shape is CutShape.SQUARE and piece.foot.shape is not CutShape.SQUARE:
        return min(low for low, _ in spans) - gap - long
    return max(high for _, high in spans) + gap


def _label_u(piece: SheetPiece, sheets: PlaneSheets, low_u: float, high_u: float) -> float:
    """Middle of what stays seen of the sheet: the lap width lies under or over the next one."""
    lap = min(sheets.overall_mm - sheets.cover_mm, (high_u - low_u) / 4.0)
    return (low_u + high_u + (lap if piece.lap_side == "left" else -lap)) / 2.0


def _span(piece: SheetPiece, u: float) -> tuple[float, float]:
    """Least and greatest v of the sheet's outline at u."""
    ring = piece.outline_uv
    hits = [
        a[1] + (b[1] - a[1]) * (u - a[0]) / (b[0] - a[0])
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if min(a[0], b[0]) <= u <= max(a[0], b[0]) and a[0] != b[0]
    ]
    if not hits:
        values = [v for _, v in ring]
        return min(values), max(values)
    return min(hits), max(hits)


def _sides(sketch: Sketch, piece: SheetPiece, low_u: float, high_u: float, lap_mm: float) -> None:
    # each length stands clear of the lap, on the part that only this sheet covers
    off = lap_mm + sketch.paper(0.6 + SMALL_MM / 2.0)
    for u, inward, length in ((low_u, 1.0, piece.left_mm), (high_u, -1.0, piece.right_mm)):
        words = whole(length)
        _, top = _span(piece, u + inward * sketch.paper(0.05))
        if text_width(words, sketch.paper(SMALL_MM)) + sketch.paper(1.0) > length:
            continue
        # under the rake where the letters are, too, not only at the sheet's edge
        top = min(top, _span(piece, u + inward * (off - sketch.paper(SMALL_MM / 2.0)))[1])
        sketch.text("SHEET-SIDE", (u + inward * off, top - sketch.paper(0.8)), words, SMALL_MM, 90.0, "right", True)


def _setting_out(sketch: Sketch, sheets: PlaneSheets, extent: tuple[float, float, float, float]) -> None:
    low_u, low_v, high_u, high_v = extent
    past = sketch.paper(5.0)
    u = sheets.start_u_mm
    sketch.line("START-LINE", (u, low_v - past), (u, high_v + past))
    sketch.text("START-LINE", (u, high_v + past * 1.4), "START", NORMAL_MM, 0.0, "centre")
    sketch.dimension((low_u, low_v), (high_u, low_v), (low_u, low_v - sketch.paper(12.0)), 0.0)
    sketch.dimension((low_u, low_v), (low_u, high_v), (low_u - sketch.paper(12.0), low_v), 90.0)
    y = low_v - sketch.paper(20.0)
    reach = min(high_u - low_u, sketch.paper(110.0))
    start, way = (low_u, 1.0) if sheets.start_side == "left" else (high_u, -1.0)
    sketch.arrow("LAY-ARROW", (start, y), (start + way * reach, y), 7.0)
    side = "left" if way > 0 else "right"
    sketch.text("LAY-ARROW", (start, y - sketch.paper(7.0)), "LAY THIS WAY", LARGE_MM, 0.0, side)
    at = ((low_u + high_u) / 2.0, y - sketch.paper(14.0))
    sketch.text("START-LINE", at, f"START: {plain(sheets.start_edge)}", NORMAL_MM, 0.0, "centre")


def _heading(sketch: Sketch, plane: RoofPlane, sheets: PlaneSheets, top_left: Point2, holes: str) -> None:
    x, y = top_left[0] + sketch.paper(4.0), top_left[1]
    count = len(sheets.pieces)
    over = f"{over_words(sheets)}; " if sheets.over_edge else ""
    widths = f"cover {whole(sheets.cover_mm)}, overall {whole(sheets.overall_mm)}"
    lines = (
        (f"{plane.id}: {plane.pitch_deg:.1f}°, {count} sheets {plain(sheets.profile)}", LARGE_MM),
        (f"{over}{widths}; seen from outside, eave at the foot", SMALL_MM),
        *(((holes, SMALL_MM),) if holes else ()),
    )
    for text, height in lines:
        y -= sketch.paper(height + 3.0)
        sketch.text("TEXT", (x, y), text, height)
