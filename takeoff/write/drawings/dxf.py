"""A drawing as DXF: real size in mm, plain layer names, its own dimension and text style, the same bytes every time.

All that is the same in every drawing stands in templates/empty_drawing.txt, which the DXF library made
(`dxf_library`); here its open places are filled and entities put in, each written as the library writes it.

What is written keeps to what plain readers show: light fills are outlines, since a solid fill hides what lies under it
where the order of drawing is not kept; arrow heads are triangles; figures of dimensions are single lines of text; the
extents are those of the paper, by which some readers scale; a saved view holds the paper.
"""

from __future__ import annotations

import datetime
import re
from functools import cache

from takeoff.basics.files import template_path
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.drawings.dxf_entities import Entities
from takeoff.write.drawings.layers import LAYERS

TEMPLATE = "empty_drawing.txt"
AROUND = 1.05  # of the paper, shown round it
_PLAIN_RECORDS = 2  # block records of the empty drawing: its space and its paper
# of the first entity: those before it are of the empty drawing, one a layer among them; those of its page come after
FIRST_HANDLE = 65 + len(LAYERS)
_JULIAN_OFFSET = 1_721_424.5  # Julian date of the day before ordinal 1
_PLACES = re.compile("<<(?:handle ([0-9]+)|([a-z_]+))>>")


def dxf_text(drawing: Drawing, date: datetime.date | None = None) -> str:
    """The drawing as a DXF document (R2010). `date` stands in the header for its dates; none: 1 January 2000."""
    made = Entities(drawing, FIRST_HANDLE)
    for item in drawing.items:
        made.add(item)
    values = page_values(drawing, date)
    values |= {
        "records": "".join(made.records),
        "blocks": "".join(made.blocks),
        "entities": "".join(made.entities),
        "record_count": str(_PLAIN_RECORDS + made.block_count),
    }
    texts, handles, names = _empty_drawing()
    filled = [
        values[name] if name else f"{made.handle + int(after):X}" for after, name in zip(handles, names, strict=True)
    ]
    return "".join(part for pair in zip(texts, (*filled, ""), strict=True) for part in pair)


@cache
def _empty_drawing() -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """The texts between the open places of the empty drawing; for each place how many handles after those of the
    entities, or what stands there by name."""
    parts = _PLACES.split(template_path(TEMPLATE).read_text("utf-8"))
    return tuple(parts[::3]), tuple(parts[1::3]), tuple(parts[2::3])


def page_values(drawing: Drawing, date: datetime.date | None) -> dict[str, str]:
    """What the page of a drawing puts into the empty one, by name: scale, sizes of paper and view, the date."""
    paper_wide, paper_high = drawing.paper_mm
    wide, high = paper_wide * drawing.scale, paper_high * drawing.scale
    left, foot = drawing.corner_mm
    figures = {
        "scale": drawing.scale,
        "text": drawing.text_mm,
        "left": left,
        "foot": foot,
        "right": left + wide,
        "top": foot + high,
        "paper_wide": paper_wide,
        "paper_high": paper_high,
        "middle_x": left + wide / 2.0,
        "middle_y": foot + high / 2.0,
        "shown_high": high * AROUND,
        "shown_wide": wide * AROUND,
        "shape": wide / high,
    }
    return {**{name: str(float(figure)) for name, figure in figures.items()}, "day": str(julian_day(date))}


def julian_day(date: datetime.date | None) -> float:
    """A date as the header of a DXF counts it; none: 1 January 2000."""
    return (date or datetime.date(2000, 1, 1)).toordinal() + _JULIAN_OFFSET
