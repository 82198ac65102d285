"""A drawing as DXF: real size in mm, plain layer names, its own dimension and text style, the same bytes every time.

The unit is said three ways, since readers ignore or guess it: $INSUNITS and $MEASUREMENT in the header, and words in
the title block. The library's ready dimension style multiplies by 100, so ours is made from nothing with a factor of 1.
"""

from __future__ import annotations

import datetime
import io
import re
from typing import TYPE_CHECKING

from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text
from takeoff.write.drawings.layers import LAYERS
from takeoff.write.words.words import plain

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.layouts.layout import Modelspace

_STYLE = "TAKEOFF"
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
    doc.styles.add(_STYLE, font=_FONT)
    _layers(doc)
    _dimension_style(doc, drawing)
    space = doc.modelspace()
    for item in drawing.items:
        _add(space, item)
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
    style.dxf.dimtxsty = _STYLE


def _page(doc: DxfDocument, drawing: Drawing) -> None:
    # opens on the paper's frame, whichever program opens it
    width, height = drawing.paper_mm[0] * drawing.scale, drawing.paper_mm[1] * drawing.scale
    left, foot = drawing.corner_mm
    doc.header["$EXTMIN"] = (left, foot, 0.0)
    doc.header["$EXTMAX"] = (left + width, foot + height, 0.0)
    doc.header["$LIMMIN"] = (left, foot)
    doc.header["$LIMMAX"] = (left + width, foot + height)
    doc.set_modelspace_vport(height * 1.05, (left + width / 2.0, foot + height / 2.0))


def _add(space: Modelspace, item: Item) -> None:
    at = {"layer": item.layer}
    match item:
        case Line():
            space.add_line(item.a_mm, item.b_mm, dxfattribs=at)
        case Polyline():
            space.add_lwpolyline(item.points_mm, close=item.closed, dxfattribs=at)
        case Circle():
            space.add_circle(item.at_mm, item.radius_mm, dxfattribs=at)
        case Fill():
            _hatch(space, item)
        case Dimension():
            _dimension(space, item)
        case Text():
            _text(space, item)


def _hatch(space: Modelspace, item: Fill) -> None:
    hatch = space.add_hatch(dxfattribs={"layer": item.layer})
    if item.shade < 1.0:
        part = round(255 - 255 * item.shade * 0.4)
        hatch.rgb = (part, part, part)
    for i, ring in enumerate(item.rings_mm):
        hatch.paths.add_polyline_path(ring, is_closed=True, flags=1 if i == 0 else 16)


def _dimension(space: Modelspace, item: Dimension) -> None:
    space.add_linear_dim(
        base=item.through_mm,
        p1=item.a_mm,
        p2=item.b_mm,
        angle=item.angle_deg,
        dimstyle=_STYLE,
        dxfattribs={"layer": item.layer},
    ).render()


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
        dxfattribs={"layer": item.layer, "style": _STYLE},
    )
    text.set_placement(item.at_mm, align=places[item.align, item.middle])


def _dxf_words(text: str) -> str:
    # two percent signs begin a control code in a DXF text, a caret a control character
    return plain(text).replace("%%", "% %").replace("^", "^ ")
