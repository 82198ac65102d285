"""A drawing as DXF: real size in mm, plain layer names, its own dimension and text style, the same bytes every time.

The unit is said three ways, since readers ignore or guess it: $INSUNITS and $MEASUREMENT in the header, and words in
the title block. The library's ready dimension style multiplies by 100, so ours is made from nothing with a factor of 1.

What is written keeps to what plain readers show, too: light fills are outlines, since a solid fill hides what lies
under it where the order of drawing is not kept; arrow heads are triangles; figures of dimensions are single lines of
text; the extents are those of the paper, by which some readers scale; a saved view holds the paper.
"""

from __future__ import annotations

import datetime
import io
import re
from math import cos, radians, sin
from typing import TYPE_CHECKING

from takeoff.basics.vectors import Point2
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text, text_width
from takeoff.write.drawings.layers import LAYERS
from takeoff.write.words.words import plain

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.layouts.layout import Modelspace

_STYLE = "TAKEOFF"  # of dimensions
_LETTERS = "ISO"  # style of letters: readers with stroked fonts of their own go by this name, others by the face
_SHARE = 0.88  # of the room kept for a text, taken by it in the common faces
_VIEW = "DRAWING"  # the saved view that holds the paper
_AROUND = 1.05  # of the paper, shown round it
_SOLID_CORNERS = 4  # most corners of a solid
_FONT = "arial.ttf"  # any sans serif face takes its place where it is missing
_JULIAN_OFFSET = 1_721_424.5  # Julian date of the day before ordinal 1
_DATES = re.compile(r"(\$TDU?(?:CREATE|UPDATE)\r?\n *40\r?\n)[^\r\n]*")


def dxf_text(drawing: Drawing, date: datetime.date | None = None) -> str:
    """The drawing as a DXF document (R2010). `date` stands in the header for its dates; none: 1 January 2000."""
    from ezdxf._options import options

    fixed_before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        stream = io.StringIO()
        _document(drawing).write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = fixed_before
    day = (date or datetime.date(2000, 1, 1)).toordinal() + _JULIAN_OFFSET
    return _DATES.sub(rf"\g<1>{day}", stream.getvalue())


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
    doc.styles.add(_LETTERS, font=_FONT)
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
    style = doc.dimstyles.add(_STYLE)
    style.dxf.dimlfac = 1.0
    style.dxf.dimscale = float(drawing.scale)
    style.dxf.dimtxt = drawing.text_mm
    # readers that draw dimensions anew go by the header, not by the style
    header = {"$DIMSCALE": float(drawing.scale), "$DIMTXT": drawing.text_mm, "$DIMTSZ": 1.5, "$DIMASZ": 1.5}
    header |= {"$DIMEXO": 1.0, "$DIMEXE": 1.0, "$DIMGAP": 1.0, "$DIMLFAC": 1.0, "$DIMDEC": 0, "$DIMTAD": 1}
    for name, value in header.items():
        doc.header[name] = value
    doc.header["$DIMSTYLE"] = _STYLE
    doc.header["$DIMTXSTY"] = _LETTERS
    style.dxf.dimtsz = 1.5
    style.dxf.dimexo = 1.0
    style.dxf.dimexe = 1.0
    style.dxf.dimgap = 1.0
    style.dxf.dimdec = 0
    style.dxf.dimrnd = 0.0
    style.dxf.dimtad = 1
    style.dxf.dimtih = 0
    style.dxf.dimtoh = 0
    style.dxf.dimlunit = 2
    style.dxf.dimtxsty = _LETTERS


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
    port = doc.set_modelspace_vport(height * _AROUND, middle)
    port.dxf.aspect_ratio = width / height
    view = doc.views.new(_VIEW)
    view.dxf.center, view.dxf.height, view.dxf.width = middle, height * _AROUND, width * _AROUND


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
    if item.shade >= 1.0 and len(item.rings_mm) == 1 and len(item.rings_mm[0]) <= _SOLID_CORNERS:
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
        dimstyle=_STYLE,
        dxfattribs={"layer": item.layer},
    )
    made.render()
    block = made.dimension.get_geometry_block()
    if block is None:
        return
    for figure in list(block.query("MTEXT")):
        words, turn = figure.plain_text(), figure.dxf.get("rotation", item.angle_deg)
        style = {"layer": item.layer, "style": _LETTERS}
        text = block.add_text(words, height=figure.dxf.char_height, rotation=turn, dxfattribs=style)
        text.set_placement(figure.dxf.insert, align=Align.MIDDLE_CENTER)
        text.dxf.insert = _lower_left(item.figure(drawing))
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
        _dxf_words(item.text),
        height=item.height_mm,
        rotation=item.angle_deg,
        dxfattribs={"layer": item.layer, "style": _LETTERS},
    )
    text.set_placement(item.at_mm, align=places[item.align, item.middle])
    if (item.align, item.middle) != ("left", False):
        text.dxf.insert = _lower_left(item)


def _lower_left(item: Text) -> Point2:
    """Where a text begins, as wide as it is in the common faces: for readers that place no text by its middle or end.
    Those that do work this point out anew."""
    long = text_width(item.text, item.height_mm) * _SHARE
    x = {"left": 0.0, "centre": -long / 2.0, "right": -long}[item.align]
    y = -item.height_mm / 2.0 if item.middle else 0.0
    c, s = cos(radians(item.angle_deg)), sin(radians(item.angle_deg))
    return item.at_mm[0] + x * c - y * s, item.at_mm[1] + x * s + y * c


def _dxf_words(text: str) -> str:
    # two percent signs begin a control code in a DXF text, a caret a control character
    return plain(text).replace("%%", "% %").replace("^", "^ ")
