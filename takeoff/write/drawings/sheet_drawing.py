"""The sheet layout of one plane: each sheet as cut, its mark and bought length, lay arrow, start line, side lengths.

Drawn flat in plane axes, seen from outside with the eave at the foot: u to the right, v up the slope, real mm. On A4 at
the largest scale at which plane, words and setting out fit and a strip has room for its words; else on A3.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, distance2
from takeoff.model.bought_lengths import Bought, bought_lengths
from takeoff.model.openings import Hole
from takeoff.model.order import Document, Takeoff
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.model.sheets import PlaneSheets
from takeoff.write.drawings.drawing import (
    LARGE_MM,
    NORMAL_MM,
    SMALL_MM,
    Drawing,
    Sketch,
    bounds,
    readable_angle,
    text_width,
)
from takeoff.write.drawings.frame import A1, A2, A3, A4, SCALES, finish, free_area, title_block, wrap
from takeoff.write.drawings.label_places import inside
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.opening_drawing import draw_clear, draw_holes, hole_words, name_holes
from takeoff.write.drawings.sheet_labels import draw_outlines, draw_sheets
from takeoff.write.words.cut_words import MARKING_OUT, first_and_last_words, hand, marking_words, needs_points
from takeoff.write.words.screw_words import screw_words
from takeoff.write.words.words import number, over_words, plain, side_words, whole

_NARROW = 7.2  # a strip narrower than this on paper has no room for its words [paper mm]
_LEAST_SCALE = 10
_UNDER = 25.0  # dimensions, lay arrow and start line under and over the plane [paper mm]
_LEADING = 1.75  # between lines over the plane: base lines 1.7 letter heights apart, ISO 3098 from memory [paper mm]
_MOST_POINTS = 8  # kinked sheets said in words beside the plane; more are left to the cutting list
_MANY = 4  # words without room that rule a paper out
_EDGE_PARTS, _EDGE_OFF = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9), (4.0, 7.0, 10.0, 14.0, 19.0, 25.0)


@record
class _Subject:
    """What is drawn: a plane, its edges, sheets and holes, what its sheets are bought in, and the plane's bounds."""

    plane: RoofPlane
    edges: tuple[RoofEdge, ...]
    sheets: PlaneSheets
    holes: tuple[Hole, ...]
    bought: Mapping[str, Bought]
    extent: tuple[float, float, float, float]
    screws: str


def sheet_layouts(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """One drawing a sheeted plane, in the order of the planes, named sheets_<plane>."""
    bought = bought_lengths(takeoff.order)
    drawings = []
    for roof in takeoff.roofs:
        for plane in roof.planes:
            sheets = takeoff.sheets_of(plane.id)
            if sheets is not None and sheets.pieces:
                holes = tuple(hole for hole in takeoff.roofing.holes if hole.plane == plane.id)
                points = [point for ring in plane.rings_uv for point in ring]
                points += [point for piece in sheets.pieces for point in piece.outline_uv]
                screws = screw_words(takeoff, plane.id)
                subject = _Subject(plane, roof.edges_of(plane.id), sheets, holes, bought, bounds(points), screws)
                drawings.append(_layout(takeoff, subject))
    return tuple(drawings)


def _layout(takeoff: Takeoff, subject: _Subject) -> Drawing:
    """The drawing of one plane, on the paper and at the scale that suit it best."""
    best = _best(subject)
    room, paper, lines = best.room, best.paper_mm, best.lines
    width, height = free_area(paper)
    extent = low_u, low_v, high_u, high_v = room.extent()
    head = _head_mm(lines)
    sketch = room.sketch
    middle = ((low_u + high_u) / 2.0, (low_v + high_v) / 2.0)
    up = 2.0 + (height - head - 2.0) / 2.0
    top_left = (middle[0] - sketch.paper(width / 2.0), middle[1] + sketch.paper(height - up))
    _heading(sketch, lines, top_left)
    plane = subject.plane
    block = title_block(takeoff, f"Sheets on {plane.id}, {side_words(plane)}", f"S-{plane.id}", Document.SHEETS)
    return finish(sketch, f"sheets_{plane.id}", block, paper, middle, (width / 2.0, up), (extent,))


def _best(subject: _Subject) -> _Try:
    """The first paper and scale at which everything fits and every word has room; else the one with the fewest words
    that have none. A smaller scale leaves words less room: none is tried on a paper that the drawing fits already, or
    where many words found none; the largest paper is tried until the drawing fits."""
    tried: list[_Try] = []
    full: set[tuple[float, float]] = set()
    seen: set[tuple[tuple[float, float], int]] = set()
    for paper, scale in _papers(subject):
        if paper in full or (paper, scale) in seen:
            continue
        seen.add((paper, scale))
        tried.append(_Try.of(subject, paper, scale))
        if tried[-1].fits and not tried[-1].room.forced:
            break
        if tried[-1].fits or (tried[-1].room.forced > _MANY and paper != A1):
            full.add(paper)
    return min(tried, key=lambda one: (not one.fits, one.room.forced))


@record
class _Try:
    """A plane drawn at one scale, with the words over it on one paper."""

    paper_mm: tuple[float, float]
    room: Room
    lines: tuple[tuple[str, str, float], ...]
    fits: bool

    @classmethod
    def of(cls, subject: _Subject, paper_mm: tuple[float, float], scale: int) -> _Try:
        """Draw it, and see whether it fits the paper."""
        room = _drawn(subject, scale)
        width, height = free_area(paper_mm)
        lines = tuple(_heading_lines(subject, width - 8.0))
        low_u, low_v, high_u, high_v = room.extent()
        wide, high = (high_u - low_u) / scale, (high_v - low_v) / scale
        return cls(paper_mm, room, lines, wide <= width - 6.0 and high <= height - _head_mm(lines) - 4.0)


def _head_mm(lines: Sequence[tuple[str, str, float]]) -> float:
    return sum(size + _LEADING for _, _, size in lines) + 6.0


def _papers(subject: _Subject) -> Iterator[tuple[tuple[float, float], int]]:
    """Papers and scales to try: A4 from the largest scale that holds the bare plane down to the least at which a strip
    has room, A3 likewise, then A3 at every smaller scale; larger paper for planes of very many sheets."""
    wide, high = subject.extent[2] - subject.extent[0], subject.extent[3] - subject.extent[1]
    for paper, narrow in ((A4, _NARROW), (A3, _NARROW), (A3, 0.0), (A2, _NARROW), (A1, _NARROW), (A1, 0.0)):
        width, height = free_area(paper)
        height -= _head_mm(_heading_lines(subject, width - 8.0)) + _UNDER
        for scale in SCALES:
            fits = wide <= width * scale and high <= height * scale
            if scale >= _LEAST_SCALE and fits and subject.sheets.cover_mm / scale >= narrow:
                yield paper, scale
    yield A1, SCALES[-1]


def _drawn(subject: _Subject, scale: int) -> Room:
    """The plane with its sheets, edges and setting out at a scale."""
    sketch = Sketch(scale)
    room = Room(sketch)
    plane, sheets = subject.plane, subject.sheets
    for edge in subject.edges:
        a, b = plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)
        sketch.line(edge.kind.row.layer, a, b)
        room.lines.append((a, b))
    draw_clear(sketch, sheets, _as_it_lies)
    draw_holes(room, subject.holes, _as_it_lies, named=False)
    _setting_out(room, sheets, subject.extent)
    draw_outlines(room, sheets)
    name_holes(room, subject.holes, _as_it_lies)
    draw_sheets(room, plane.rings_uv[0], sheets, subject.bought)
    for edge in subject.edges:
        _edge_label(room, plane, edge)
    return room


def _as_it_lies(point: Point2) -> Point2:
    return point


def _edge_label(room: Room, plane: RoofPlane, edge: RoofEdge) -> None:
    sketch = room.sketch
    a, b = plane.frame.to_plane(edge.a_mm), plane.frame.to_plane(edge.b_mm)
    text = f"{edge.id}: {whole(edge.length_mm)}"
    reach = distance2(a, b)
    if text_width(text, sketch.paper(SMALL_MM)) > reach:
        return
    normal = (-(b[1] - a[1]) / reach, (b[0] - a[0]) / reach)
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    out = -1.0 if inside(plane.rings_uv, (middle[0] + normal[0] * 10.0, middle[1] + normal[1] * 10.0)) else 1.0

    def place(part: float, off: float) -> Label:
        move = sketch.paper(off) * out
        at = (
            a[0] + part * (b[0] - a[0]) + normal[0] * move,
            a[1] + part * (b[1] - a[1]) + normal[1] * move,
        )
        return Label("TEXT", at, text, SMALL_MM, readable_angle(a, b))

    choices = (place(part, off) for off in _EDGE_OFF for part in _EDGE_PARTS)
    if not room.place(choices, middle):
        room.forced += 1


def _setting_out(room: Room, sheets: PlaneSheets, extent: tuple[float, float, float, float]) -> None:
    sketch = room.sketch
    low_u, low_v, high_u, high_v = extent
    past = sketch.paper(5.0)
    u = sheets.snap_u_mm
    start = ((u, low_v - past), (u, high_v + past))
    sketch.line("START-LINE", *start)
    room.lines.append(start)
    room.put([Label("START-LINE", (u, high_v + sketch.paper(7.5)), "START", NORMAL_MM)])
    under, beside = low_v - sketch.paper(12.0), low_u - sketch.paper(12.0)
    if abs(u - low_u) < sketch.paper(1.0):
        beside -= sketch.paper(2.0)
    sketch.dimension((low_u, low_v), (high_u, low_v), (low_u, under), 0.0)
    sketch.dimension((low_u, low_v), (low_u, high_v), (beside, low_v), 90.0)
    across, upward = whole(high_u - low_u), whole(high_v - low_v)
    room.keep([Label("DIM", ((low_u + high_u) / 2.0, under + sketch.paper(2.3)), across, SMALL_MM)])
    room.keep([Label("DIM", (beside - sketch.paper(2.3), (low_v + high_v) / 2.0), upward, SMALL_MM, 90.0)])
    room.lines += [((low_u, under), (high_u, under)), ((beside, low_v), (beside, high_v))]
    room.lines += [((at, low_v - sketch.paper(1.0)), (at, under)) for at in (low_u, high_u)]
    room.lines += [((low_u - sketch.paper(1.0), at), (beside, at)) for at in (low_v, high_v)]
    y = low_v - sketch.paper(19.0)
    reach = min(high_u - low_u, sketch.paper(60.0))
    tail, way = (low_u, 1.0) if sheets.start_side == "left" else (high_u, -1.0)
    tip = tail + way * reach
    sketch.arrow("LAY-ARROW", (tail, y), (tip, y), 7.0)
    room.lines.append(((tail, y), (tip, y)))
    words = "LAY THIS WAY"
    side = "left" if way > 0 else "right"
    room.put([Label("LAY-ARROW", (tip + way * sketch.paper(4.0), y), words, LARGE_MM, 0.0, side)])


def _heading_lines(subject: _Subject, room_paper_mm: float) -> list[tuple[str, str, float]]:
    """Layer, words and letter height of every line over the plane."""
    plane, sheets = subject.plane, subject.sheets
    over = f"{over_words(sheets)}; " if sheets.over_edge else ""
    widths = f"cover {whole(sheets.cover_mm)}, overall {whole(sheets.overall_mm)}"
    what = (
        f"{plane.id}, {side_words(plane)}: {plane.pitch_deg:.1f}°, {len(sheets.pieces)} sheets {plain(sheets.profile)}"
    )
    said = [("TEXT", what, LARGE_MM), ("TEXT", f"{over}{widths}; seen from outside, eave at the foot", SMALL_MM)]
    said.append(("START-LINE", f"START: {plain(sheets.start_edge)}", NORMAL_MM))
    small = [subject.screws, " ".join(first_and_last_words(sheets)), _rake_words(sheets), *_point_lines(sheets)]
    small.append(hole_words(subject.holes, room_paper_mm))
    said += [("TEXT", words, SMALL_MM) for words in small if words]
    return [(layer, line, size) for layer, words, size in said for line in wrap(words, room_paper_mm, size)]


def _rake_words(sheets: PlaneSheets) -> str:
    """The rake along each edge, and what the hands mean; "" for square sheets."""
    rakes: dict[str, float] = {}
    for piece in sheets.pieces:
        for cut in (piece.top, piece.foot):
            if len(cut.edges) == 1 and cut.rake_deg > 0.0:
                rakes.setdefault(cut.edges[0], cut.rake_deg)
    words = "; ".join(f"{plain(edge)} {number(rake, 1)}°" for edge, rake in rakes.items())
    hands = any(hand(piece) for piece in sheets.pieces)
    said = [f"Rake off square: {words}."] if words else []
    said += ["RH, LH: longer on its right, on its left. Lengths at the head are those of the sides."] if hands else []
    return " ".join(said)


def _point_lines(sheets: PlaneSheets) -> list[str]:
    """What to mark on sheets that their sides do not describe."""
    kinked = [piece for piece in sheets.pieces if needs_points(piece)]
    if not kinked:
        return []
    if len(kinked) > _MOST_POINTS:
        return [f"{len(kinked)} sheets are cut to points (ringed): see the cutting list."]
    lines = [f"{piece.mark}: {marking_words(piece, sheets.overall_mm)}" for piece in kinked]
    return [f"Cut to points (ringed). {MARKING_OUT}", *lines]


def _heading(sketch: Sketch, lines: Sequence[tuple[str, str, float]], top_left: Point2) -> None:
    x, y = top_left[0] + sketch.paper(4.0), top_left[1] - sketch.paper(1.0)
    for layer, text, height in lines:
        y -= sketch.paper(height + _LEADING)
        sketch.text(layer, (x, y), text, height)
