"""Where things lie on what is drawn and printed, recorded: python tests/write/layout_record.py

Regression figures, not check values: they say that the layout changed, not that it was right. The record of the samples
holds what is drawn and every word that is printed; this one holds what does not show there: which places a label is
offered, one after another, where all of them are taken; what room is kept round what is drawn; where the words, bars
and lines of a paper stand; how the workbook looks; drawings as DXF; the models. Record again only after each difference
has been looked at.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import cache, partial
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any
from unittest import mock

import sample_takeoff
from openpyxl import load_workbook
from test_wall_drawing import HUT, LONG

from takeoff.model.order import Takeoff
from takeoff.pipeline import run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.drawing import Sketch
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.svg import svg_text
from takeoff.write.files import KINDS, Sources, drawings
from takeoff.write.models.house_glb import house_glb
from takeoff.write.models.house_ifc import house_ifc
from takeoff.write.papers import print_pdf
from takeoff.write.papers.print_pdf import pdf_bytes
from takeoff.write.workbook.workbook import workbook_bytes

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
RECORD = Path(__file__).with_name("layout.json")
HAND = "made by hand"
MADE_UP = {"boards both ways": HUT, "long walls": LONG}
OFFERED = (HAND, "cottage_with_flue", "long walls")
PRINTED = (HAND, "two_storeys", "cottage_with_flue")
MODELLED = ("two_storeys", "cottage_with_flue")
_LONG = re.compile(r"-?\d+\.\d{4,}(?:e-?\d+)?")
_CONTENT = re.compile(rb"stream\r?\n(.*?)endstream", re.DOTALL)
_PAPER = re.compile(rb"/MediaBox \[[^]]*\]")


@cache
def taken_off(name: str) -> Takeoff:
    """The takeoff of a sample, or of a made-up house, without its fingerprint, which changes with every version."""
    if name == HAND:
        made = sample_takeoff.takeoff()
    elif name in MADE_UP:
        made = run(parse_job(MADE_UP[name], name))
    else:
        made = run_file(SAMPLES / name / "job.yaml")
    return replace(made, job_hash="")


def rounded(text: str) -> str:
    """Figures to a thousandth: the last bits differ between processors."""
    return _LONG.sub(lambda found: f"{float(found[0]):.3f}".replace("-0.000", "0.000"), text)


def said(*parts: object) -> str:
    """Parts of a record on a line, figures rounded."""
    return " ".join(_said(part) for part in parts)


def _said(part: object) -> str:
    if isinstance(part, float):
        return f"{part + 0.0:.3f}".replace("-0.000", "0.000")
    if isinstance(part, (tuple, list)):
        return "(" + " ".join(map(_said, part)) + ")"
    return str(part)


def _label(label: Label) -> str:
    x, y, turn = (round(value, 3) + 0.0 for value in (*label.at, label.angle_deg))
    return f"{label.layer} {x} {y} {label.text} {label.height_mm} {turn} {label.align}"


@contextmanager
def nothing_free(offered: list[str]) -> Iterator[None]:
    """Every place is taken: what was offered goes into the list."""

    def free(_: Room, labels: Iterable[Label]) -> bool:
        offered.extend(map(_label, labels))
        return False

    def clear(_: Room, box: Sequence[tuple[float, float]]) -> bool:
        offered.append(said("clear", tuple(box)))
        return False

    def lead_out(_: Room, label: Label, anchor: tuple[float, float], least_mm: float = 0.0) -> bool:
        offered.append(f"led out {_label(label)} {said(anchor, least_mm)}")
        return False

    with mock.patch.multiple(Room, free=free, clear=clear, lead_out=lead_out):
        yield


@contextmanager
def rooms_known(rooms: list[Room]) -> Iterator[None]:
    """Every room that is made while drawing goes into the list."""
    made = Room.__init__

    def known(self: Room, sketch: Sketch, *args: Any, **parts: Any) -> None:
        made(self, sketch, *args, **parts)
        rooms.append(self)

    with mock.patch.object(Room, "__init__", known):
        yield


def _drawn(takeoff: Takeoff) -> str:
    views = (view for view in (roof_view(takeoff),) if view is not None)
    return "\n".join(map(svg_text, (*drawings(takeoff), *views)))


def offered_places(takeoff: Takeoff) -> str:
    """What every label of the drawings is offered where no place is free, and what is drawn all the same."""
    offered: list[str] = []
    with nothing_free(offered):
        drawn = _drawn(takeoff)
    return "\n".join((*offered, drawn))


def kept_room(takeoff: Takeoff) -> str:
    """Boxes, lines and bounds that words keep off, in the order in which they are drawn."""
    rooms: list[Room] = []
    with rooms_known(rooms):
        _drawn(takeoff)
    return "\n".join(said(*room.boxes, *room.lines, *room.soft, room.within or (), room.ends_mm) for room in rooms)


def printed(takeoff: Takeoff) -> str:
    """The pages of every paper as the operators that draw them, with their sizes."""
    sources = Sources(takeoff)
    found = []
    with mock.patch.object(print_pdf, "pdf_bytes", partial(pdf_bytes, pack=False)):
        for kind in KINDS:
            made = kind.make(sources) if kind.name.endswith(".pdf") else {}
            sources.names = (*sources.names, *made)
            found += [f"{name}\n{_pages(data)}" for name, data in made.items()]
    return "\n".join(found)


def _pages(data: bytes) -> str:
    pages = [page.decode("latin-1") for page in _CONTENT.findall(data) if b"BT 0 g" in page]
    return "\n".join((*(size.decode() for size in _PAPER.findall(data)), *pages))


def look_of_workbook(takeoff: Takeoff) -> str:
    """Widths, heights, styles, merged cells and print set-up of every sheet."""
    found = []
    for sheet in load_workbook(BytesIO(workbook_bytes(takeoff))):
        found.append(said(sheet.title, sheet.print_area, sheet.print_title_rows, sheet.page_setup.scale))
        found.append(said(sheet.freeze_panes, *sorted(map(str, sheet.merged_cells.ranges))))
        found.append(said(sheet.oddFooter.left.text, sheet.oddFooter.right.text))
        found += (said(letter, each.width) for letter, each in sorted(sheet.column_dimensions.items()))
        found += (said(row, each.height) for row, each in sorted(sheet.row_dimensions.items()))
        found += (
            said(cell.coordinate, cell.style, cell.number_format, cell.alignment.horizontal, cell.alignment.wrap_text)
            for row in sheet.iter_rows()
            for cell in row
            if cell.has_style
        )
    return "\n".join(found)


def as_dxf(takeoff: Takeoff) -> str:
    """The roof plan and the first drawing of a wall or of sections."""
    every = drawings(takeoff)
    chosen = (roof_plan(takeoff), *every[-1:])
    return "\n".join(rounded(dxf_text(drawing, takeoff.job.date)) for drawing in chosen if drawing is not None)


def model_glb(takeoff: Takeoff) -> str:
    """The nodes, and the figures to a hundredth of a metre."""
    data = house_glb(takeoff)
    long = int.from_bytes(data[12:16], "little")
    figures = memoryview(data[28 + long :]).cast("f")
    return rounded(data[20 : 20 + long].decode()) + said(
        data[:12].hex(), *(round(x, 2) for x in figures if abs(x) > 1e-30)
    )


def model_ifc(takeoff: Takeoff) -> str:
    """The entities of the file, without the version in its head."""
    return rounded(house_ifc(takeoff).decode().partition("DATA;")[2])


PARTS: dict[str, tuple[Callable[[Takeoff], str], tuple[str, ...]]] = {
    "places offered": (offered_places, OFFERED),
    "room kept": (kept_room, (*OFFERED, "two_storeys", "boards both ways", "l_house")),
    "drawings": (_drawn, tuple(MADE_UP)),
    "pages": (printed, PRINTED),
    "look of the workbook": (look_of_workbook, PRINTED),
    "dxf": (as_dxf, (HAND, "two_storeys")),
    "glb": (model_glb, MODELLED),
    "ifc": (model_ifc, MODELLED),
}
ROWS = tuple((part, name) for part, (_, names) in PARTS.items() for name in names)


def recorded(part: str, name: str) -> str:
    """The digest of one part of a sample's layout."""
    text = PARTS[part][0](taken_off(name))
    return sha256(text.encode("utf-8")).hexdigest()[:12]


def main() -> None:
    """Record the layout as it is now."""
    record = {f"{part}: {name}": recorded(part, name) for part, name in ROWS}
    RECORD.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
