"""The purlin plan on one sheet: rows by name with the pieces they are made of, trimmers, valley boards, joints.

Drawn in plan as the roof plan is, so that both lie over each other; lengths are true, along the timber.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin

from takeoff.basics.vectors import Point2, distance2
from takeoff.model.measured import PurlinLine
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof
from takeoff.model.runs import CutPiece
from takeoff.write.drawings.drawing import SMALL_MM, Drawing, Sketch, bounds, readable_angle, text_width
from takeoff.write.drawings.frame import A1, A2, A3, choose_scale, finish, free_area, title_block, wrap
from takeoff.write.drawings.plan_place import Place
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.words import number, plain

_NOTES = 74.0  # width of the notes beside the plan [paper mm]
_RIM = 8.0
_LAYERS = {
    "hip trimmer": "PURLIN-TRIMMER",
    "hole trimmer": "PURLIN-TRIMMER",
    "valley board": "VALLEY-BOARD",
    "fly": "OUTRIGGER",
}
_ROLES = {
    "PURLIN-ROW": "row of purlins, its name at its left end, lengths of its pieces",
    "PURLIN-TRIMMER": "trimmer beside a hip or a hole, cut between rows (dwangs)",
    "VALLEY-BOARD": "valley board under the tray",
    "OUTRIGGER": "outrigger that carries the fly rafter",
    "PURLIN-JOINT": "joint, on a rafter",
}


def purlin_plan(takeoff: Takeoff) -> Drawing | None:
    """The purlin plan; None for a job without purlins."""
    if not takeoff.roofing.purlins:
        return None
    place = Place(takeoff.roofs[0].origin_mm)
    extent = bounds(place.at(roof, point) for roof in takeoff.roofs for ring in roof.outline_mm for point in ring)
    size = (extent[2] - extent[0], extent[3] - extent[1])
    paper, scale = _paper(size)
    sketch = Sketch(scale)
    cuts = cut_pieces(takeoff.order)
    for roof in takeoff.roofs:
        _roof(sketch, place, roof, takeoff, cuts)
    width, height = free_area(paper)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    room = (width - _NOTES, height)
    corner = (middle[0] + sketch.paper(room[0] / 2.0), middle[1] + sketch.paper(height / 2.0))
    _notes(sketch, corner, takeoff, {_LAYERS.get(line.role, "PURLIN-ROW") for line in takeoff.roofing.purlins})
    block = title_block(takeoff, "Purlin plan", "P1")
    return finish(sketch, "purlin_plan", block, paper, middle, (room[0] / 2.0, height / 2.0))


def _paper(size_mm: Point2) -> tuple[tuple[float, float], int]:
    """The smallest paper on which rows at the usual gauge stand apart enough to be named: 1:100 or larger."""
    for paper in (A3, A2, A1):
        width, height = free_area(paper)
        scale = choose_scale(size_mm, (width - _NOTES - 2 * _RIM, height - 2 * _RIM))
        if scale <= 100:
            break
    return paper, scale


def _roof(sketch: Sketch, place: Place, roof: Roof, takeoff: Takeoff, cuts: Mapping[str, tuple[CutPiece, ...]]) -> None:
    for edge in roof.own_edges:
        sketch.line(edge.kind.row.layer, place.at(roof, edge.a_mm), place.at(roof, edge.b_mm))
    for ring in roof.wall_line_mm:
        sketch.ring("WALL-LINE", [place.at(roof, point) for point in ring])
    frames = {plane.id: plane.frame for plane in roof.planes if plane.roof == roof.name}
    for line in takeoff.roofing.purlins:
        if line.plane in frames:
            a, b = (place.at(roof, frames[line.plane].to_space(p)) for p in (line.a_uv, line.b_uv))
            sketch.line(_LAYERS.get(line.role, "PURLIN-ROW"), a, b)
            up = frames[line.plane].v
            _joints(sketch, line, a, b, cuts.get(line.run, ()))
            if line.role not in _LAYERS:
                inward = (-up[0], -up[1]) if line.role in ("ridge", "head") else (up[0], up[1])
                _names(sketch, line, a, b, cuts.get(line.run, ()), inward)


def _joints(sketch: Sketch, line: PurlinLine, a: Point2, b: Point2, pieces: tuple[CutPiece, ...]) -> None:
    """A mark across a timber at each of its joints."""
    true, shown = distance2(line.a_uv, line.b_uv), distance2(a, b)
    if true <= 0.0 or shown <= 0.0:
        return
    along = ((b[0] - a[0]) / shown, (b[1] - a[1]) / shown)
    tick = sketch.paper(1.2)
    for piece in pieces[1:]:
        t = piece.start_mm / true * shown
        at = (a[0] + along[0] * t, a[1] + along[1] * t)
        across = (-along[1] * tick, along[0] * tick)
        sketch.line("PURLIN-JOINT", (at[0] - across[0], at[1] - across[1]), (at[0] + across[0], at[1] + across[1]))


def _names(
    sketch: Sketch, line: PurlinLine, a: Point2, b: Point2, pieces: tuple[CutPiece, ...], inward: Point2
) -> None:
    """The name of a row and the length of each piece, where they have room, on the side of the row that `inward` points
    to: into the plane, so that nothing lies on an eave or a ridge."""
    true, shown = distance2(line.a_uv, line.b_uv), distance2(a, b)
    if true <= 0.0 or shown <= 0.0:
        return
    angle = readable_angle(a, b)
    turned = _against(a, b, angle)
    left, right = (b, a) if turned else (a, b)
    size, over = sketch.paper(SMALL_MM), _aside(angle, 1.0)
    above = over[0] * inward[0] + over[1] * inward[1] >= 0.0
    off = sketch.paper(0.8) if above else -sketch.paper(0.8) - size

    def put(along: float, text: str, align: str) -> None:
        t = along / shown
        at = (left[0] + (right[0] - left[0]) * t + over[0] * off, left[1] + (right[1] - left[1]) * t + over[1] * off)
        sketch.text("TEXT", at, text, SMALL_MM, angle, align)

    indent = sketch.paper(3.5)
    used = indent + text_width(plain(line.run), size)
    if used > shown:
        return
    put(indent, plain(line.run), "left")
    for piece in pieces:
        start, end = piece.start_mm / true * shown, (piece.start_mm + piece.length_mm) / true * shown
        low, high = (shown - end, shown - start) if turned else (start, end)
        low, text = max(low, used + size), str(piece.length_mm)
        if text_width(text, size) <= high - low:
            put((low + high) / 2.0, text, "centre")


def _against(a: Point2, b: Point2, angle: float) -> bool:
    """Whether text at the readable angle runs from b to a."""
    up = _aside(angle, 1.0)
    ahead = (up[1], -up[0])
    return (b[0] - a[0]) * ahead[0] + (b[1] - a[1]) * ahead[1] < 0.0


def _aside(angle_deg: float, off: float) -> Point2:
    return -sin(radians(angle_deg)) * off, cos(radians(angle_deg)) * off


def _notes(sketch: Sketch, top_left: Point2, takeoff: Takeoff, layers: set[str]) -> None:
    """What the lines are, and how the rafters and rows are set out."""
    x, y = top_left[0], top_left[1] - sketch.paper(8.0)
    for layer, words in _ROLES.items():
        if layer not in layers and layer != "PURLIN-JOINT":
            continue
        mark = (x, y + sketch.paper(1.0))
        if layer == "PURLIN-JOINT":
            middle = x + sketch.paper(5.0)
            sketch.line(layer, (middle, mark[1] - sketch.paper(1.2)), (middle, mark[1] + sketch.paper(1.2)))
        else:
            sketch.line(layer, mark, (x + sketch.paper(10.0), mark[1]))
        for text in wrap(words, _NOTES - 14.0, SMALL_MM):
            sketch.text("TEXT", (x + sketch.paper(13.0), y), text, SMALL_MM)
            y -= sketch.paper(4.2)
        y -= sketch.paper(1.0)
    y -= sketch.paper(3.0)
    for sentence in (*setting_out_words(takeoff), "Lengths are square, at the long point. Site measure first."):
        for text in wrap(sentence, _NOTES - 4.0, SMALL_MM):
            sketch.text("TEXT", (x, y), text, SMALL_MM)
            y -= sketch.paper(4.2)
        y -= sketch.paper(1.4)


def setting_out_words(takeoff: Takeoff) -> tuple[str, ...]:
    """How rafters and rows are set out, a sentence each: joints fall on rafters only where these stand as said."""
    settings, job = takeoff.settings, takeoff.job.purlins
    rafters = job.supports_mm or settings.number("purlin_supports_mm")
    gauge = job.spacing_mm or settings.number("purlin_spacing_mm")
    start = {
        "middle": "from the middle of each plane, an odd bay at either end",
        "left": "from the left end of each plane, seen from below its eave",
        "right": "from the right end of each plane, seen from below its eave",
    }[settings.word("purlin_supports_from")]
    first = settings.number("purlin_first_row_mm")
    return (
        f"Rafters set out {start}, at {number(rafters)} mm: joints fall on them.",
        f"First row {number(first)} mm up the rake from the outline, then at {number(gauge)} mm; the rest at ridges.",
        "Hip trimmers are cut between the rows they meet (dwangs); their order is the hip's length, both sides.",
    )
