"""The folding schedule as a drawing: the section of every flashing with its legs and angles, a cell of the sheet each.

Sections are drawn at one scale in real mm, hems slightly open so that they can be seen.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil, hypot

from takeoff.basics.vectors import Point2
from takeoff.model.measured import FoldSection
from takeoff.model.order import Document, Takeoff
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, SMALL_MM, Drawing, Shows, Sketch, bounds
from takeoff.write.drawings.frame import A3, choose_scale, finish, free_area, title_block, wrap
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.words.bought import bars_by_item
from takeoff.write.words.item_names import item_words
from takeoff.write.words.words import counted, hand_words, number, plain

_COLUMNS, _ROWS = 2, 3
_WORDS = 21.0  # height of the words under a section [paper mm]
_RIM, _RIM_ABOVE = 12.0, 8.0  # room beside, and over and under a section for its lengths [paper mm]


def fold_drawings(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """Sheets of sections, six each, named flashings_<n>. No sections, no sheets."""
    sections: dict[str, FoldSection] = {}
    for run in takeoff.roofing.flashings:
        if run.section is not None:
            sections.setdefault(run.item, run.section)
    per_sheet = _COLUMNS * _ROWS
    count = ceil(len(sections) / per_sheet)
    listed = list(sections.values())
    return tuple(_sheet(takeoff, listed[i * per_sheet : (i + 1) * per_sheet], i + 1, count) for i in range(count))


def _sheet(takeoff: Takeoff, sections: list[FoldSection], number_: int, of: int) -> Drawing:
    width, height = free_area(A3)
    cell = (width / _COLUMNS, height / _ROWS)
    boxes = [bounds(section.points_mm) for section in sections]
    extent = (max(box[2] - box[0] for box in boxes), max(box[3] - box[1] for box in boxes))
    sketch = Sketch(choose_scale(extent, (cell[0] - 2 * _RIM, cell[1] - _WORDS - 2 * _RIM_ABOVE)))
    bought = bars_by_item(takeoff.order)
    cells = []
    for i, section in enumerate(sections):
        row, column = divmod(i, _COLUMNS)
        corner = (sketch.paper(column * cell[0]), sketch.paper(height - (row + 1) * cell[1]))
        top = corner[1] + sketch.paper(cell[1])
        cells.append((corner[0], corner[1] + sketch.paper(_WORDS + 2.0), corner[0] + sketch.paper(cell[0]), top))
        _section(sketch, section, corner, cell)
        _words(sketch, section, corner, cell, _named(takeoff, section), bought.get(section.item, ""))
    title = "Folding schedule" if of == 1 else f"Folding schedule {number_} of {of}"
    block = title_block(takeoff, title, f"F{number_}", Document.FLASHINGS)
    name = f"flashings_{number_}"
    return finish(sketch, name, block, A3, (0.0, 0.0), (0.0, 0.0), tuple(cells), Shows.SECTIONS)


def _named(takeoff: Takeoff, section: FoldSection) -> str:
    item = takeoff.items.get(section.item)
    return plain(item_words(item) if item is not None else section.name)


def _section(sketch: Sketch, section: FoldSection, corner: Point2, cell: Point2) -> None:
    """A section in its cell with its legs and angles, no figure over another or over a leg."""
    low_x, low_y, high_x, high_y = bounds(section.points_mm)
    middle = (
        corner[0] + sketch.paper(cell[0] / 2.0),
        corner[1] + sketch.paper(_WORDS + (cell[1] - _WORDS) / 2.0),
    )
    dx, dy = middle[0] - (low_x + high_x) / 2.0, middle[1] - (low_y + high_y) / 2.0
    points = [(x + dx, y + dy) for x, y in section.points_mm]
    sketch.ring("FOLD-SECTION", points, closed=False)
    foot = corner[1] + sketch.paper(_WORDS)
    room = Room(sketch, within=(corner[0], foot, corner[0] + sketch.paper(cell[0]), corner[1] + sketch.paper(cell[1])))
    room.lines += list(pairwise(points))
    centre = (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))
    angles = zip(section.angles_deg, points, points[1:], points[2:], strict=False)
    for angle, before, fold, after in angles:
        if 0.0 < angle < 179.9:
            _angle(room, angle, before, fold, after)
    for i, ((_, length), a, b) in enumerate(zip(section.legs, points, points[1:], strict=False)):
        places = [
            Label("FOLD-SECTION", at, str(length), SMALL_MM) for at in _leg_places(room, section, i, a, b, centre)
        ]
        room.place(places, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0))


def _angle(room: Room, angle: float, before: Point2, fold: Point2, after: Point2) -> None:
    """An angle inside its fold, further in where there is no room, else outside it."""
    back, ahead = _unit(fold, before), _unit(fold, after)
    inward = _unit((0.0, 0.0), (back[0] + ahead[0], back[1] + ahead[1]))
    words = f"{number(angle, 1)}°"
    places = []
    for off in (room.sketch.paper(one) for one in (6.0, 7.5, 9.0, 11.0, 13.0, -5.0, -7.0)):
        places.append(Label("TEXT", (fold[0] + inward[0] * off, fold[1] + inward[1] * off), words, SMALL_MM))
    room.place(places, fold)


def _leg_places(room: Room, section: FoldSection, i: int, a: Point2, b: Point2, centre: Point2) -> list[Point2]:
    """Where the length of a leg may stand: past a free end, else beside the leg; a hem lies flat on the edge beside it,
    so its length goes to the other side."""
    paper = room.sketch.paper
    last = len(section.legs) - 1
    hem = (i == 0 and section.angles_deg[:1] == (0.0,)) or (i == last and section.angles_deg[-1:] == (0.0,))
    found = []
    if i in (0, last) and not hem:
        end, other = (a, b) if i == 0 else (b, a)
        way = _unit(other, end)
        found += [(end[0] + way[0] * paper(off), end[1] + way[1] * paper(off)) for off in (4.0, 5.5)]
    for off in (4.5, 3.2, 6.0, -4.5, 8.0, -6.0):
        for t in (0.5, 0.35, 0.65):
            found.append(_aside(a, b, centre, paper(-off if hem else off), t))
    return found


def _unit(a: Point2, b: Point2) -> Point2:
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _aside(a: Point2, b: Point2, centre: Point2, off: float, part: float) -> Point2:
    """Beside a leg, at a part of its length, on the side away from the section's centre."""
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    normal = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    middle = (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1]))
    away = (middle[0] - centre[0]) * normal[0] + (middle[1] - centre[1]) * normal[1]
    side = off if away >= 0.0 else -off
    return middle[0] + normal[0] * side, middle[1] + normal[1] * side


def _words(sketch: Sketch, section: FoldSection, corner: Point2, cell: Point2, name: str, bought: str) -> None:
    ring = (
        corner,
        (corner[0] + sketch.paper(cell[0]), corner[1]),
        (corner[0] + sketch.paper(cell[0]), corner[1] + sketch.paper(cell[1])),
        (corner[0], corner[1] + sketch.paper(cell[1])),
    )
    sketch.ring("TITLE", ring)
    lines = [(line, NORMAL_MM) for line in wrap(name, cell[0] - 6.0, NORMAL_MM)[:1]]
    facts = f"girth {section.girth_mm}, {counted(section.folds, 'fold')}, {counted(section.hems, 'hem')}; "
    facts += f"colour {plain(section.colour_side)}"
    lines += [(line, SMALL_MM) for line in wrap(facts, cell[0] - 6.0, SMALL_MM)[:1]]
    if section.hand:
        lines += [(line, SMALL_MM) for line in wrap(hand_words(section), cell[0] - 6.0, SMALL_MM)[:1]]
    if bought:
        lines.append((bought, LARGE_MM if len(bought) < 22 else NORMAL_MM))
    y = corner[1] + sketch.paper(_WORDS + 1.0)
    for text, height in lines:
        y -= sketch.paper(height + 1.4)
        sketch.text("TEXT", (corner[0] + sketch.paper(3.0), y), text, height)
