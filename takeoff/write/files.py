"""The whole set of files of a takeoff, written together or not at all."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from takeoff import __version__
from takeoff.model.order import Takeoff
from takeoff.model.order_folder import Written
from takeoff.write.atomic import write_set
from takeoff.write.data.measure_form import NAME as MEASURE_FORM
from takeoff.write.data.measure_form import measure_form
from takeoff.write.data.result_json import result_json
from takeoff.write.drawings.axonometric import roof_view
from takeoff.write.drawings.drawing import Drawing, Text
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.fault_drawing import fault_drawing
from takeoff.write.drawings.fold_drawing import fold_drawings
from takeoff.write.drawings.plan_drawing import roof_plan
from takeoff.write.drawings.purlin_drawing import purlin_plan
from takeoff.write.drawings.rain_drawing import rain_plan
from takeoff.write.drawings.sheet_drawing import sheet_layouts
from takeoff.write.drawings.svg import svg_text
from takeoff.write.drawings.wall_drawing import wall_drawings
from takeoff.write.drawings.wall_key_plan import wall_key_plan
from takeoff.write.words.trade_words import trade_words
from takeoff.write.workbook.workbook import workbook_bytes


def write_all(takeoff: Takeoff, out: Path, more: Mapping[str, bytes] | None = None) -> Written:
    """Write order sheet, drawings (DXF and SVG) and data of a takeoff into the folder `out`.

    `more`: further files of the set, by name. Without an order: data, a drawing of the faults, and a workbook stamped
    NOT AN ORDER with the findings. Returns the paths, the manifest last, and what was kept. Raises UsageError where
    `out` cannot be written; then it is as it was.
    """
    files: dict[str, bytes] = {"order_sheet.xlsx": workbook_bytes(takeoff)}
    for drawing in drawings(takeoff):
        files[f"{drawing.name}.dxf"] = dxf_text(drawing, takeoff.job.date).encode("utf-8")
        files[f"{drawing.name}.svg"] = svg_text(drawing).encode("utf-8")
    view = roof_view(takeoff)
    if view is not None:
        files[f"{view.name}.svg"] = svg_text(_in_trade_words(view, trade_words(takeoff))).encode("utf-8")
    if takeoff.order is not None:
        files[MEASURE_FORM] = measure_form(takeoff)
    files.update(more or {})
    files["takeoff.json"] = result_json(takeoff).encode("utf-8")
    facts = {"program": f"takeoff {__version__}", "job": takeoff.job.job, "job_hash": takeoff.job_hash}
    return write_set(files, out, facts)


def drawings(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """Every drawing: plan, sheet layouts, folding schedule, elevations; without an order the faults alone."""
    said = trade_words(takeoff)
    if takeoff.order is None:
        return (_in_trade_words(fault_drawing(takeoff), said),)
    plans = (roof_plan(takeoff), purlin_plan(takeoff), rain_plan(takeoff))
    every = (
        *(plan for plan in plans if plan is not None),
        *sheet_layouts(takeoff),
        *fold_drawings(takeoff),
        *(plan for plan in (wall_key_plan(takeoff),) if plan is not None),
        *wall_drawings(takeoff),
    )
    return tuple(_in_trade_words(drawing, said) for drawing in every)


def _in_trade_words(drawing: Drawing, said: Callable[[str], str]) -> Drawing:
    items = (replace(item, text=said(item.text)) if isinstance(item, Text) else item for item in drawing.items)
    return replace(drawing, items=tuple(items))
