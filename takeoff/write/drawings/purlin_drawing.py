"""The purlin plan on one sheet: rows by name with the pieces they are made of, trimmers, valley boards, joints.

Drawn in plan as the roof plan is, so that both lie over each other; lengths are true, along the timber.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import cos, radians, sin

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2, distance2
from takeoff.model.measured import PurlinLine
from takeoff.model.order import Document, Takeoff
from takeoff.model.roof import Roof
from takeoff.model.runs import CutPiece
from takeoff.write.drawings.drawing import SMALL_MM, Drawing, Sketch, readable_angle, text_width
from takeoff.write.drawings.frame import A1, A2, A3, title_block, wrap
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place
from takeoff.write.drawings.plan_sheet import NOTES_MM, plan_sheet
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.words import number, plain, whole

_RIM = 8.0
_INDENT, _OFF_ROW = 3.5, 0.8  # name from the row's end, words off the row [paper mm]
_LAYERS = {
    "hip trimmer": "PURLIN-TRIMMER",
    "hole trimmer": "PURLIN-TRIMMER",
    "valley board": "VALLEY-BOARD",
    "outrigger": "OUTRIGGER",
}
_ROLES = {
    "PURLIN-ROW": "row of purlins, its name at its left end, lengths of its pieces",
    "PURLIN-TRIMMER": "trimmer beside a hip or a hole, cut between rows (dwangs)",
    "VALLEY-BOARD": "valley board under the tray",
    "OUTRIGGER": "outrigger that carries the barge rafter",
    "PURLIN-JOINT": "joint, on a rafter",
}


def purlin_plan(takeoff: Takeoff) -> Drawing | None:
    """The purlin plan; None for a job without purlins."""
    if not takeoff.roofing.purlins:
        return None
    sheet = plan_sheet(takeoff, (A3, A2, A1), _RIM)
    _timbers(sheet.taken, sheet.place, takeoff)
    layers = {_LAYERS.get(line.role, "PURLIN-ROW") for line in takeoff.roofing.purlins}
    _notes(sheet.sketch, sheet.corner, takeoff, layers)
    return sheet.finished("purlin_plan", title_block(takeoff, "Purlin plan", "P1", Document.PURLINS))


@record
class _Row:
    """A timber on the plan from `a` to `b`, its joints and pieces, and the unit of its plane's rise."""

    line: PurlinLine
    a: Point2
    b: Point2
    pieces: tuple[CutPiece, ...]
    up: Point2

    @property
    def true_mm(self) -> float:
        """Length along the timber [mm]."""
        return distance2(self.line.a_uv, self.line.b_uv)

    @property
    def shown_mm(self) -> float:
        """Length on the plan [mm]."""
        return distance2(self.a, self.b)


def _timbers(taken: Room, place: Place, takeoff: Takeoff) -> None:
    """Every line of every roof, then the words: names of all rows before lengths of pieces."""
    sketch = taken.sketch
    cuts = cut_pieces(takeoff.order)
    rows: list[_Row] = []
    for roof in takeoff.roofs:
        for edge in roof.own_edges:
            a, b = place.at(roof, edge.a_mm), place.at(roof, edge.b_mm)
            sketch.line(edge.kind.row.layer, a, b)
            taken.lines.append((a, b))
        for ring in roof.wall_line_mm:
            sketch.ring("WALL-LINE", [place.at(roof, point) for point in ring])
        rows += _rows(place, roof, takeoff, cuts)
    for row in rows:
        sketch.line(_LAYERS.get(row.line.role, "PURLIN-ROW"), row.a, row.b)
        taken.lines.append((row.a, row.b))
        if row.shown_mm > 0.0:
            _joints(taken, row)
    named = [row for row in rows if row.line.role not in _LAYERS and row.shown_mm > 0.0]
    for row in named:
        _name(taken, row)
    for row in named:
        _lengths(taken, row)


def _rows(place: Place, roof: Roof, takeoff: Takeoff, cuts: Mapping[str, tuple[CutPiece, ...]]) -> list[_Row]:
    frames = {plane.id: plane.frame for plane in roof.planes if plane.roof == roof.name}
    found = []
    for line in takeoff.roofing.purlins:
        if line.plane in frames:
            frame = frames[line.plane]
            a, b = (place.at(roof, frame.to_space(p)) for p in (line.a_uv, line.b_uv))
            up = (frame.v[0], frame.v[1])
            found.append(_Row(line, a, b, cuts.get(line.run, ()), up))
    return found


def _joints(taken: Room, row: _Row) -> None:
    """A mark across a timber at each of its joints."""
    shown = row.shown_mm
    along = ((row.b[0] - row.a[0]) / shown, (row.b[1] - row.a[1]) / shown)
    tick = taken.sketch.paper(1.2)
    for piece in row.pieces[1:]:
        t = piece.start_mm / row.true_mm * shown
        at = (row.a[0] + along[0] * t, row.a[1] + along[1] * t)
        ends = ((at[0] + along[1] * tick, at[1] - along[0] * tick), (at[0] - along[1] * tick, at[1] + along[0] * tick))
        taken.sketch.line("PURLIN-JOINT", *ends)
        taken.lines.append(ends)


def _name(taken: Room, row: _Row) -> None:
    """The name of a row, as near its left end as it has room, else led out from there."""
    indent, long = taken.sketch.paper(_INDENT), text_width(plain(row.line.run), taken.sketch.paper(SMALL_MM))
    if indent + long > row.shown_mm:
        return
    places = _places(taken, row, indent + long / 2.0, row.shown_mm - long / 2.0)
    anchor = _on_row(row, min(indent + long / 2.0, row.shown_mm / 2.0))
    taken.place(_labels(row, plain(row.line.run), places), anchor)


def _lengths(taken: Room, row: _Row) -> None:
    """The length of each piece where it has room, as near its middle as can be."""
    turned = _against(row.a, row.b, readable_angle(row.a, row.b))
    for piece in row.pieces:
        ends = (piece.start_mm, piece.start_mm + piece.length_mm)
        start, end = (at / row.true_mm * row.shown_mm for at in ends)
        low, high = (row.shown_mm - end, row.shown_mm - start) if turned else (start, end)
        text = str(piece.length_mm)
        half = text_width(text, taken.sketch.paper(SMALL_MM)) / 2.0
        if 2.0 * half <= high - low:
            middle = (low + high) / 2.0
            places = _places(taken, row, low + half, high - half)
            anchor = _on_row(row, middle)
            # nearest the middle of the piece first, on the side that the row's name takes before the other
            nearest = sorted(places, key=lambda at: distance2(at, anchor))
            taken.place(_labels(row, text, nearest), anchor)


def _labels(row: _Row, text: str, places: Iterable[Point2]) -> Iterator[Label]:
    """A text at each of its places along a row."""
    angle = readable_angle(row.a, row.b)
    return (Label("TEXT", at, text, SMALL_MM, angle) for at in places)


def _places(taken: Room, row: _Row, low: float, high: float) -> list[Point2]:
    """Places of a text along a row, its middle from `low` to `high` from the row's left end: into the plane first, so
    that nothing lies on an eave or a ridge."""
    angle = readable_angle(row.a, row.b)
    over = _aside(angle, 1.0)
    inward = (-row.up[0], -row.up[1]) if row.line.role in ("ridge", "head") else row.up
    sign = 1.0 if over[0] * inward[0] + over[1] * inward[1] >= 0.0 else -1.0
    step = taken.sketch.paper(1.5)
    count = int(max(0.0, high - low) / step)
    points = _points_of_row(row, [low + k * step for k in range(count + 1)])
    found = []
    for side in (sign, -sign):
        off = taken.sketch.paper(_OFF_ROW + SMALL_MM / 2.0) * side
        found += [(x + over[0] * off, y + over[1] * off) for x, y in points]
    return found


def _on_row(row: _Row, along: float) -> Point2:
    """A point of a row, from its left end as it is read."""
    (point,) = _points_of_row(row, [along])
    return point


def _points_of_row(row: _Row, alongs: Sequence[float]) -> list[Point2]:
    """Points of a row, from its left end as it is read."""
    turned = _against(row.a, row.b, readable_angle(row.a, row.b))
    left, right = (row.b, row.a) if turned else (row.a, row.b)
    x, y, long = right[0] - left[0], right[1] - left[1], row.shown_mm
    return [(left[0] + x * (along / long), left[1] + y * (along / long)) for along in alongs]


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
        for text in wrap(words, NOTES_MM - 14.0, SMALL_MM):
            sketch.text("TEXT", (x + sketch.paper(13.0), y), text, SMALL_MM)
            y -= sketch.paper(4.2)
        y -= sketch.paper(1.0)
    y -= sketch.paper(3.0)
    for sentence in (*setting_out_words(takeoff), "Lengths are square, at the long point. Site measure first."):
        for text in wrap(sentence, NOTES_MM - 4.0, SMALL_MM):
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
    first, then = settings.number("purlin_first_row_mm"), f"{_end_span_words(takeoff)}then at {number(gauge)}"
    return (
        f"Rafters set out {start}, at {number(rafters)} mm: joints fall on them.",
        f"First row {number(first)} mm up the rake from the outline, {then} mm; the rest at ridges.",
        "Hip trimmers are cut between the rows they meet (dwangs); their order is the hip's length, both sides.",
    )


def _end_span_words(takeoff: Takeoff) -> str:
    """The first gap as the rows are laid, "then 600 (the end span), "; nothing where no plane has rows over it."""
    laid: dict[str, dict[str, set[float]]] = {}
    for line in takeoff.roofing.purlins:
        laid.setdefault(line.plane, {}).setdefault(line.role, set()).add(line.a_uv[1])
    gaps = {
        whole(min(rows["purlin"]) - min(rows["eave"]))
        for rows in laid.values()
        if "eave" in rows and len(rows.get("purlin", ())) > 1
    }
    ordered = sorted(gaps, key=int)
    words = ordered[0] if len(ordered) == 1 else f"{ordered[0]} to {ordered[-1]} by plane" if ordered else ""
    return f"then {words} (the end span), " if words else ""
