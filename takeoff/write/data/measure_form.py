"""The form for taping the frame: a line a size of every sheeted plane, blank, with what the drawing says beside it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from takeoff.basics.records import record
from takeoff.model.order import Takeoff
from takeoff.model.supplied import SITE_ITEMS
from takeoff.write.drawings.check_dimensions import check_dimensions
from takeoff.write.words.words import whole
from takeoff.write.workbook.safe_texts import csv_text

HEADINGS = ("plane", "item", "mm", "drawn mm", "from, to")
_WHERE = {
    "rafter left": "left end of the lowest line, left end of the highest",
    "rafter right": "right end of the lowest line, right end of the highest",
    "eave": "along the lowest line",
    "ridge": "along the highest line",
    "diagonal 1": "left end of the lowest line, right end of the highest",
    "diagonal 2": "right end of the lowest line, left end of the highest",
}


@record
class FormRow:
    """A size to be taped: of which plane, which of SITE_ITEMS, as drawn [mm], from where to where, and as taped where
    it is already."""

    plane: str
    item: str
    drawn_mm: float
    where: str
    taped_mm: float | None = None


def form_rows(takeoff: Takeoff) -> Iterator[FormRow]:
    """A row a size of every sheeted plane; without a side that is a point, and diagonals that are then rafters."""
    taped = {(m.plane, m.item): m.mm for m in takeoff.site.measures} if takeoff.site is not None else {}
    for roof in takeoff.roofs:
        for plane in roof.planes:
            sheets = takeoff.sheets_of(plane.id)
            if sheets is None or not sheets.pieces:
                continue
            drawn = dict(zip(SITE_ITEMS, (mm for _, mm in check_dimensions(plane).rows()), strict=True))
            point = min(drawn["eave"], drawn["ridge"]) < 1.0
            for item, mm in drawn.items():
                if not (mm < 1.0 or (point and item.startswith("diagonal"))):
                    yield FormRow(plane.id, item, mm, _WHERE[item], taped.get((plane.id, item)))


def measure_form(takeoff: Takeoff) -> bytes:
    """The form as CSV (UTF-8 with its mark, so that spreadsheets see it), seen from below each eave. Sizes already
    measured stand in it."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(HEADINGS)
    for row in form_rows(takeoff):
        done = "" if row.taped_mm is None else whole(row.taped_mm)
        rows.writerow((csv_text(row.plane), row.item, done, whole(row.drawn_mm), row.where))
    return text.getvalue().encode("utf-8-sig")
