"""The paper a drawing stands on: size, margins, scale, frame and title block.

Margins 20 mm left for filing and 10 mm elsewhere are those of ISO 5457 (seen in a restatement); paper sizes ISO 216 and
the fields of the title block ISO 7200 (from memory).
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.model.order import HOLD, Document, Hold, Order, Takeoff
from takeoff.write.drawings.drawing import (
    LARGE_MM,
    NORMAL_MM,
    SMALL_MM,
    TITLE_MM,
    Box,
    Drawing,
    Shows,
    Sketch,
    text_width,
)
from takeoff.write.words.words import date_words, plain, revision_words

# landscape paper [mm]
A4, A3, A2, A1 = (297.0, 210.0), (420.0, 297.0), (594.0, 420.0), (841.0, 594.0)
_LEFT, _MARGIN = 20.0, 10.0
_STRIP = 30.0  # height of the title strip along the foot [mm]
_BLOCK = 180.0  # width of the title block at its right end [mm]

# the scales a scale rule carries, largest drawing first
SCALES = (1, 2, 5, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 2000, 5000, 10_000, 50_000)

STATE_WORDS = {
    Hold.HOLD: HOLD,
    Hold.MEASURED: "MEASURED ON SITE: NOT YET RELEASED",
    Hold.RELEASED: "RELEASED FOR MANUFACTURE",
}
_SHEETS_WORDS = {Hold.MEASURED: "SHEETS MEASURED ON SITE, NOT YET RELEASED", Hold.RELEASED: "SHEETS RELEASED"}
CAUTION = "Not a structural design. Measure on site. Local code and maker's current instructions prevail."


@record
class TitleBlock:
    """What the title block of a drawing says."""

    job: str
    revision: str
    date: str
    title: str
    number: str
    banner: str


def state_words(order: Order, document: Document) -> str:
    """The state of a document as it is printed; a page of several says which of them the sheets' state holds for."""
    if document is Document.ALL and order.state is not Hold.HOLD:
        return f"{_SHEETS_WORDS[order.state]}. ALL ELSE ON {HOLD}"
    return STATE_WORDS[order.state_of(document)]


def title_block(takeoff: Takeoff, title: str, number: str, document: Document | None = Document.ALL) -> TitleBlock:
    """The title block of a drawing of this takeoff. `document`: whose state is printed, None for none; a stopped
    takeoff says so."""
    if takeoff.order is None:
        banner = "NOT AN ORDER: STOPPED BY A FINDING"
    else:
        banner = state_words(takeoff.order, document) if document is not None else ""
    job = takeoff.job
    revision = revision_words(job.revision, takeoff.supersedes)
    return TitleBlock(plain(job.job), revision, date_words(job.date), plain(title), number, banner)


def free_area(paper_mm: tuple[float, float]) -> tuple[float, float]:
    """Width and height inside the margins above the title strip [paper mm]."""
    return paper_mm[0] - _LEFT - _MARGIN, paper_mm[1] - 2 * _MARGIN - _STRIP


def choose_scale(extent_mm: tuple[float, float], room_paper_mm: tuple[float, float]) -> int:
    """The largest scale at which an extent [mm] fits the room [paper mm]; the smallest we have where none does."""
    for scale in SCALES:
        if extent_mm[0] <= room_paper_mm[0] * scale and extent_mm[1] <= room_paper_mm[1] * scale:
            return scale
    return SCALES[-1]


def finish(
    sketch: Sketch,
    name: str,
    block: TitleBlock,
    paper_mm: tuple[float, float],
    middle_mm: Point2,
    room: Point2,
    parts_mm: tuple[Box, ...] = (),
    of: Shows = Shows.ROOF,
) -> Drawing:
    """Put the frame and the title block round a sketch.

    `middle_mm` is the point of the drawing that comes to lie at `room`, paper mm from the lower left corner of the
    free area.
    """
    scale = sketch.scale
    corner = (
        middle_mm[0] - (_LEFT + room[0]) * scale,
        middle_mm[1] - (_MARGIN + _STRIP + room[1]) * scale,
    )
    _frame(sketch, corner, paper_mm)
    _strip(sketch, corner, paper_mm, block)
    return Drawing(name, block.title, scale, paper_mm, corner, tuple(sketch.items), parts_mm=parts_mm, of=of)


def _frame(sketch: Sketch, corner: Point2, paper: tuple[float, float]) -> None:
    def at(x: float, y: float) -> Point2:
        return corner[0] + x * sketch.scale, corner[1] + y * sketch.scale

    right, top = paper[0] - _MARGIN, paper[1] - _MARGIN
    ring = (at(_LEFT, _MARGIN), at(right, _MARGIN), at(right, top), at(_LEFT, top))
    sketch.ring("TITLE", ring)
    sketch.line("TITLE", at(_LEFT, _MARGIN + _STRIP), at(right, _MARGIN + _STRIP))
    sketch.line("TITLE", at(right - _BLOCK, _MARGIN), at(right - _BLOCK, _MARGIN + _STRIP))


def _strip(sketch: Sketch, corner: Point2, paper: tuple[float, float], block: TitleBlock) -> None:
    def put(x: float, y: float, text: str, height: float, layer: str = "TITLE") -> None:
        at = (corner[0] + x * sketch.scale, corner[1] + (_MARGIN + y) * sketch.scale)
        sketch.text(layer, at, text, height)

    left = paper[0] - _MARGIN - _BLOCK + 3.0
    put(left, 21.0, block.title, TITLE_MM)
    put(left, 13.0, block.job, NORMAL_MM)
    put(left, 7.5, f"{block.revision[:1].upper()}{block.revision[1:]}, {block.date}, drawing {block.number}", SMALL_MM)
    put(left, 2.5, f"1:{sketch.scale} on paper. Drawn in mm at real size; all dimensions in mm.", SMALL_MM)
    room = paper[0] - _MARGIN - _BLOCK - _LEFT - 6.0
    banner = LARGE_MM if text_width(block.banner, LARGE_MM) <= room else NORMAL_MM
    y = 28.0
    for line in wrap(block.banner, room, banner):
        y -= banner + 1.5
        put(_LEFT + 3.0, y, line, banner, "HOLD")
    y -= 5.5
    for line in wrap(CAUTION, room, SMALL_MM):
        put(_LEFT + 3.0, y, line, SMALL_MM)
        y -= 4.0


def wrap(text: str, width: float, height: float) -> tuple[str, ...]:
    """Words of a text in lines no wider than `width`, capitals `height` high (both in one unit). A word that is wider
    stands on a line of its own."""
    lines: list[str] = []
    for word in text.split():
        if lines and text_width(f"{lines[-1]} {word}", height) <= width:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return tuple(lines)
