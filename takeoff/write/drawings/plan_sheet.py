"""A sheet with all roofs in plan and notes beside them: paper, scale, and the room for words inside its frame."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.model.order import Takeoff
from takeoff.write.drawings.drawing import Drawing, Sketch, bounds
from takeoff.write.drawings.frame import TitleBlock, choose_scale, finish, free_area
from takeoff.write.drawings.label_room import Room
from takeoff.write.drawings.plan_place import Place

NOTES_MM = 74.0  # width of the notes beside the plan [paper mm]
_LEAST_SCALE = 100  # words on a plan stand apart enough to be read down to 1:100


@record
class PlanSheet:
    """The roofs' place on the sheet, its scale, what is drawn so far, and the middle and half size of its free area."""

    place: Place
    taken: Room
    paper_mm: tuple[float, float]
    middle: Point2
    half_mm: Point2

    @property
    def sketch(self) -> Sketch:
        """What is drawn on."""
        return self.taken.sketch

    @property
    def corner(self) -> Point2:
        """The top left corner of the notes, in the drawing's mm."""
        return self.middle[0] + self.sketch.paper(self.half_mm[0]), self.middle[1] + self.sketch.paper(self.half_mm[1])

    def finished(self, name: str, block: TitleBlock) -> Drawing:
        """The sheet in its frame."""
        return finish(self.sketch, name, block, self.paper_mm, self.middle, self.half_mm)


def plan_sheet(takeoff: Takeoff, papers: Sequence[tuple[float, float]], rim_mm: float) -> PlanSheet:
    """The first of `papers` on which the roofs, `rim_mm` of paper round them, are drawn at 1:100 or larger; else the
    last."""
    place = Place(takeoff.roofs[0].origin_mm)
    extent = bounds(place.at(roof, point) for roof in takeoff.roofs for ring in roof.outline_mm for point in ring)
    size = (extent[2] - extent[0], extent[3] - extent[1])
    for paper in papers:
        width, height = free_area(paper)
        scale = choose_scale(size, (width - NOTES_MM - 2 * rim_mm, height - 2 * rim_mm))
        if scale <= _LEAST_SCALE:
            break
    sketch = Sketch(scale)
    middle = ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
    half_mm = ((width - NOTES_MM) / 2.0, height / 2.0)
    half = (sketch.paper(half_mm[0] - 2.0), sketch.paper(half_mm[1] - 1.0))
    box = (middle[0] - half[0], middle[1] - half[1], middle[0] + half[0], middle[1] + half[1])
    return PlanSheet(place, Room(sketch, ends_mm=1.0, within=box), paper, middle, half_mm)
