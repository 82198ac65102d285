"""The empty drawing that every DXF starts from, made by the DXF library, and a whole drawing by the library alone.

`python -m takeoff.write.drawings.dxf_library templates/empty_drawing.txt` writes the empty one: header, layers, styles
and a page whose sizes, dates and handles are names between << and >>. `dxf.py` puts a drawing into it without the
library, whose own set-up costs more than all the rest of a drawing; the tests hold both texts against each other.

The unit is said three ways, since readers ignore or guess it: $INSUNITS and $MEASUREMENT in the header, and words in
the title block. The library's ready dimension style multiplies by 100, so ours is made from nothing with a factor of 1.
"""

from __future__ import annotations

import datetime
import io
import re
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text
from takeoff.write.drawings.dxf import AROUND, FIRST_HANDLE, julian_day, page_values
from takeoff.write.drawings.dxf_dimensions import PAPER_GAP_MM, PAPER_TICK_MM
from takeoff.write.drawings.dxf_entities import LETTERS, SOLID_CORNERS, STYLE, dxf_words, lower_left
from takeoff.write.drawings.layers import LAYERS

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.layouts.layout import Modelspace

_VIEW = "DRAWING"  # the saved view that holds the paper
_FONT = "arial.ttf"  # any sans serif face takes its place where it is missing
_RECORDS = "  0\nTABLE\n  2\nBLOCK_RECORD\n"  # begins the table of block records
_DATES = re.compile(r"(\$TDU?(?:CREATE|UPDATE)\r?\n *40\r?\n)[^\r\n]*")


def empty_drawing() -> str:
    """An empty drawing with open places for what differs from drawing to drawing.

    They are found by a page whose every figure stands nowhere else in the file, and by what a single line moves: the
    handles that are given after those of the entities.
    """
    page = Drawing("", "", 7717, (411.0, 293.0), (-12345.625, -54321.125), (), 3.71829)
    date = datetime.date(2017, 7, 17)
    names = {value: name for name, value in page_values(page, date).items()}
    lines = library_text(page, date).splitlines()
    moved = library_text(replace(page, items=(Line("DIM", (0.0, 0.0), (1.0, 1.0)),)), date)
    start = moved.index("  0\nLINE\n")
    moved = moved[:start] + moved[moved.index("  0\nENDSEC\n", start) :]
    for i, (line, other) in enumerate(zip(lines, moved.splitlines(), strict=True)):
        if line != other:
            lines[i] = f"<<handle {int(line, 16) - FIRST_HANDLE}>>"
        elif line in names:
            lines[i] = f"<<{names[line]}>>"
    text = "\n".join(lines) + "\n"
    for section, ends, name in (
        (_RECORDS, "  0\nENDTAB\n", "records"),
        ("  2\nBLOCKS\n", "  0\nENDSEC\n", "blocks"),
        ("  2\nENTITIES\n", "  0\nENDSEC\n", "entities"),
    ):
        at = text.index(ends, text.index(section))
        text = f"{text[:at]}<<{name}>>{text[at:]}"
    head, records = text.split(_RECORDS)
    return head + _RECORDS + records.replace(" 70\n2\n", " 70\n<<record_count>>\n", 1)


def library_text(drawing: Drawing, date: datetime.date | None = None) -> str:
    """The drawing as a DXF document (R2010), all of it written by the library. `date` as in `dxf_text`."""
    from ezdxf._options import options

    fixed_before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        stream = io.StringIO()
        _document(drawing).write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = fixed_before
    return _DATES.sub(rf"\g<1>{julian_day(date)}", stream.getvalue())


def _document(drawing: Drawing) -> DxfDocument:
    from ezdxf import units
    from ezdxf.filemanagement import new
    from ezdxf.sections.classes import REQ_R2004

    doc = new("R2010", setup=False)
    for name in sorted(REQ_R2004):  # the library walks a set here: another order in every process
        doc.classes.add_class(name)
    doc.units = units.MM
    doc.header["$MEASUREMENT"] = 1
    doc.header["$LTSCALE"] = float(drawing.scale)
    doc.header["$DIMASSOC"] = 1
    doc.styles.add(LETTERS, font=_FONT)
    _layers(doc)
    _dimension_style(doc, drawing)
    space = doc.modelspace()
    for item in drawing.items:
        _add(space, item, drawing)
    _page(doc, drawing)
    # the library registers the classes in use from a set, whose order changes from one process to the next
    doc.classes.add_required_classes(doc.dxfversion)
    doc.classes.classes = dict(sorted(doc.classes.classes.items()))
    return doc


def _layers(doc: DxfDocument) -> None:
    for name, layer in LAYERS.items():
        linetype = "Continuous"
        if layer.dash_mm:
            linetype = f"{name}-LINE"
            signed = [part if i % 2 == 0 else -part for i, part in enumerate(layer.dash_mm)]
            doc.linetypes.add(linetype, [sum(layer.dash_mm), *signed], description=f"line of {layer.says}")
        entry = doc.layers.add(name, color=layer.index, linetype=linetype)
        entry.dxf.lineweight = round(layer.weight_mm * 100)
        entry.description = layer.says


def _dimension_style(doc: DxfDocument, drawing: Drawing) -> None:
    style = doc.dimstyles.add(STYLE)
    style.dxf.dimlfac = 1.0
    style.dxf.dimscale = float(drawing.scale)
    style.dxf.dimtxt = drawing.text_mm
    # readers that draw dimensions anew go by the header, not by the style
    header = {"$DIMSCALE": float(drawing.scale), "$DIMTXT": drawing.text_mm, "$DIMTSZ": 1.5, "$DIMASZ": 1.5}
    header |= {"$DIMEXO": 1.0, "$DIMEXE": 1.0, "$DIMGAP": 1.0, "$DIMLFAC": 1.0, "$DIMDEC": 0, "$DIMTAD": 1}
    for name, value in header.items():
        doc.header[name] = value
    doc.header["$DIMSTYLE"] = STYLE
    doc.header["$DIMTXSTY"] = LETTERS
    style.dxf.dimtsz = PAPER_TICK_MM
    style.dxf.dimexo = PAPER_GAP_MM
    style.dxf.dimexe = PAPER_GAP_MM
    style.dxf.dimgap = PAPER_GAP_MM
    style.dxf.dimdec = 0
    style.dxf.dimrnd = 0.0
    style.dxf.dimtad = 1
    style.dxf.dimtih = 0
    style.dxf.dimtoh = 0
    style.dxf.dimlunit = 2
    style.dxf.dimtxsty = LETTERS


def _page(doc: DxfDocument, drawing: Drawing) -> None:
    # opens on the paper's frame, whichever program opens it
    width, height = drawing.paper_mm[0] * drawing.scale, drawing.paper_mm[1] * drawing.scale
    left, foot = drawing.corner_mm
    # the library writes the header's extents from these
    space = doc.modelspace()
    space.reset_extents((left, foot, 0.0), (left + width, foot + height, 0.0))
    space.reset_limits((left, foot), (left + width, foot + height))
    doc.layout().reset_extents((0.0, 0.0, 0.0), (drawing.paper_mm[0], drawing.paper_mm[1], 0.0))
    middle = (left + width / 2.0, foot + height / 2.0)
    port = doc.set_modelspace_vport(height * AROUND, middle)
    port.dxf.aspect_ratio = width / height
    view = doc.views.new(_VIEW)
    view.dxf.center, view.dxf.height, view.dxf.width = middle, height * AROUND, width * AROUND


def _add(space: Modelspace, item: Item, drawing: Drawing) -> None:
    at = {"layer": item.layer}
    match item:
        case Line():
            space.add_line(item.a_mm, item.b_mm, dxfattribs=at)
        case Polyline():
            space.add_lwpolyline(item.points_mm, close=item.closed, dxfattribs=at)
        case Circle():
            space.add_circle(item.at_mm, item.radius_mm, dxfattribs=at)
        case Fill():
            _fill(space, item)
        case Dimension():
            _dimension(space, item, drawing)
        case Text():
            _text(space, item)


def _fill(space: Modelspace, item: Fill) -> None:
    """A full fill of a few corners as a solid, a light one as its outline; planes have their edges drawn already."""
    at = {"layer": item.layer}
    if item.shade >= 1.0 and len(item.rings_mm) == 1 and len(item.rings_mm[0]) <= SOLID_CORNERS:
        a, b, c, *d = item.rings_mm[0]
        # corners of a solid go in a Z
        space.add_solid((a, b, d[0], c) if d else (a, b, c), dxfattribs=at)
    elif item.layer != "ROOF-PLANE":
        for ring in item.rings_mm:
            space.add_lwpolyline(ring, close=True, dxfattribs=at)


def _dimension(space: Modelspace, item: Dimension, drawing: Drawing) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    made = space.add_linear_dim(
        base=item.through_mm,
        p1=item.a_mm,
        p2=item.b_mm,
        angle=item.angle_deg,
        dimstyle=STYLE,
        dxfattribs={"layer": item.layer},
    )
    made.render()
    block = made.dimension.get_geometry_block()
    if block is None:
        return
    for figure in list(block.query("MTEXT")):
        words, turn = figure.plain_text(), figure.dxf.get("rotation", item.angle_deg)
        style = {"layer": item.layer, "style": LETTERS}
        text = block.add_text(words, height=figure.dxf.char_height, rotation=turn, dxfattribs=style)
        text.set_placement(figure.dxf.insert, align=Align.MIDDLE_CENTER)
        text.dxf.insert = lower_left(item.figure(drawing))
        block.delete_entity(figure)


def _text(space: Modelspace, item: Text) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    places = {
        ("left", False): Align.LEFT,
        ("centre", False): Align.CENTER,
        ("right", False): Align.RIGHT,
        ("left", True): Align.MIDDLE_LEFT,
        ("centre", True): Align.MIDDLE_CENTER,
        ("right", True): Align.MIDDLE_RIGHT,
    }
    text = space.add_text(
        dxf_words(item.text),
        height=item.height_mm,
        rotation=item.angle_deg,
        dxfattribs={"layer": item.layer, "style": LETTERS},
    )
    text.set_placement(item.at_mm, align=places[item.align, item.middle])
    if (item.align, item.middle) != ("left", False):
        text.dxf.insert = lower_left(item)


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(empty_drawing(), "utf-8")
