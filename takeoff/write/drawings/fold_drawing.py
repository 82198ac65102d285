"""The folding schedule as a drawing: the section of every flashing with its legs and angles, a cell of the sheet each.

Sections are drawn at one scale in real mm, hems slightly open so that they can be seen.
"""

from __future__ import annotations

from math import ceil, hypot

from takeoff.basics.vectors import Point2
from takeoff.model.measured import FoldSection
from takeoff.model.order import Takeoff
from takeoff.write.drawings.drawing import LARGE_MM, NORMAL_MM, SMALL_MM, Drawing, Sketch, bounds
from takeoff.write.drawings.frame import A3, choose_scale, finish, free_area, title_block, wrap
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
    for i, section in enumerate(sections):
        row, column = divmod(i, _COLUMNS)
        corner = (sketch.paper(column * cell[0]), sketch.paper(height - (row + 1) * cell[1]))
        _section(sketch, section, corner, cell)
        _words(sketch, section, corner, cell, _named(takeoff, section), bought.get(section.item, ""))
    title = "Folding schedule" if of == 1 else f"Folding schedule {number_} of {of}"
    block = title_block(takeoff, title, f"F{number_}")
    return finish(sketch, f"flashings_{number_}", block, A3, (0.0, 0.0), (0.0, 0.0))


def _named(takeoff: Takeoff, section: FoldSection) -> str:
    item = takeoff.items.get(section.item)
    return plain(item_words(item) if item is not None else section.name)


def _section(sketch: Sketch, section: FoldSection, corner: Point2, cell: Point2) -> None:
    low_x, low_y, high_x, high_y = bounds(section.points_mm)
    middle = (
        corner[0] + sketch.paper(cell[0] / 2.0),
        corner[1] + sketch.paper(_WORDS + (cell[1] - _WORDS) / 2.0),
    )
    dx, dy = middle[0] - (low_x + high_x) / 2.0, middle[1] - (low_y + high_y) / 2.0
    points = [(x + dx, y + dy) for x, y in section.points_mm]
    sketch.ring("FOLD-SECTION", points, closed=False)
    centre = (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))
    for i, ((_, length), a, b) in enumerate(zip(section.legs, points, points[1:], strict=False)):
        # a hem lies flat on the edge beside it: its length goes to the other side
        last = len(section.legs) - 1
        hem = (i == 0 and section.angles_deg[:1] == (0.0,)) or (i == last and section.angles_deg[-1:] == (0.0,))
        if i in (0, last) and not hem:
            # past the free end, since the angle stands beside a short last leg
            end, other = (a, b) if i == 0 else (b, a)
            way = _unit(other, end)
            at = (end[0] + way[0] * sketch.paper(4.0), end[1] + way[1] * sketch.paper(4.0))
        else:
            at = _aside(a, b, centre, sketch.paper(-4.5 if hem else 4.5))
        sketch.text("FOLD-SECTION", at, str(length), SMALL_MM, 0.0, "centre", True)
    for angle, before, fold, after in zip(section.angles_deg, points, points[1:], points[2:], strict=False):
        if 0.0 < angle < 179.9:
            back, ahead = _unit(fold, before), _unit(fold, after)
            inward = _unit((0.0, 0.0), (back[0] + ahead[0], back[1] + ahead[1]))
            off = sketch.paper(6.0)
            place = (fold[0] + inward[0] * off, fold[1] + inward[1] * off)
            sketch.text("TEXT", place, f"{number(angle, 1)}°", SMALL_MM, 0.0, "centre", True)


def _unit(a: Point2, b: Point2) -> Point2:
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _aside(a: Point2, b: Point2, centre: Point2, off: float) -> Point2:
    """Beside the middle of a leg, on the side away from the section's centre."""
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    normal = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
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
