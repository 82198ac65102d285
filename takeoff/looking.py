"""A look at a file before it goes into a job: which layers, rings and bodies it has, and the lines that name them.

A kind of file is a row of LISTERS: its ending, and what turns a path and what was asked of it into a Looked.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path

from takeoff.basics.errors import ShapeError, UndecidedError, UnreadableFileError, UsageError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.faces import MM_PER_UNIT
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked
from takeoff.model.order_folder import OneWritten
from takeoff.read.outlines.drawing_files import READERS as DRAWINGS
from takeoff.read.shape_files import READERS as SHAPES

Lister = Callable[[Path, ShapeJob], Looked]

_PLACES = 6  # of a mm: what a program reads


def _drawing(path: Path, asked: ShapeJob) -> Looked:
    from takeoff.read.outlines.drawing_files import read_drawing
    from takeoff.shape.imported.drawn.look_at_drawing import look_at_drawing

    return look_at_drawing(read_drawing(path), asked.layer or "", asked.unit or "")


def _model(path: Path, asked: ShapeJob) -> Looked:
    from takeoff.read.shape_files import read_shape
    from takeoff.shape.imported.look_at_model import look_at_model

    kind = path.suffix[1:].upper()
    try:
        raw = read_shape(path, asked)
    except UndecidedError as err:  # several buildings: the question has each of them
        return Looked(path.name, kind, "", "", notes=err.faults)
    return look_at_model(raw, kind, asked)


def _parts(path: Path, asked: ShapeJob) -> Looked:
    """Files that name their roofs: CityJSON by buildings and parts, IFC by roofs; parts of the one that is asked."""
    if asked.part:
        return _model(path, asked)
    from takeoff.read.cityjson.buildings_listed import list_cityjson
    from takeoff.read.ifc.ifc import list_ifc
    from takeoff.shape.imported.drawn.paste_lines import shape_line

    kind = "IFC" if path.suffix.lower() == ".ifc" else "CityJSON"
    bodies, notes = list_ifc(path) if kind == "IFC" else list_cityjson(path)
    several = len(bodies) > 1
    lines = tuple(shape_line(path.name, part=body.name if several else "", unit=asked.unit or "") for body in bodies)
    if len(bodies) == 1:
        notes += _roof_notes(path)
    bodies = tuple(replace(body, line=line) for body, line in zip(bodies, lines, strict=True))
    return Looked(path.name, kind, "m", f"as {kind} has it", bodies=bodies, lines=lines, notes=notes)


def _roof_notes(path: Path) -> tuple[str, ...]:
    """What is found in the only roof of a file: its planes, what was decided, its own areas beside ours."""
    from takeoff.model.job.job import Job
    from takeoff.model.job.roofs import RoofJob
    from takeoff.read.job.settings import resolve_settings
    from takeoff.read.shape_files import read_shape
    from takeoff.shape.imported.roof_from_faces import roof_from_faces
    from takeoff.shape.imported.stated_areas import area_findings

    shape = ShapeJob(file=path.name)
    raw = read_shape(path, shape)
    try:
        roof = roof_from_faces(raw, RoofJob(shape=shape), 0.0, resolve_settings(Job(job="look")))
    except ShapeError as err:
        return err.faults
    planes = ", ".join(f"{one.id} {one.area_mm2 / 1e6:.2f} m2 at {one.pitch_deg:.1f} degrees" for one in roof.planes)
    findings = (*roof.findings, *area_findings(raw, roof))
    return (f"its roof: {planes}", *(f"{one.text.rstrip('.')}. {one.advice}".strip() for one in findings))


LISTERS: Mapping[str, Lister] = {
    **dict.fromkeys(SHAPES, _model),
    **dict.fromkeys((".ifc", ".city.json", ".json", ".jsonl"), _parts),
    **dict.fromkeys(DRAWINGS, _drawing),
}


def look(path: Path, layer: str = "", unit: str = "", part: str = "") -> Looked:
    """What a file holds: `layer` keeps to one of its layers, `part` to one of its buildings, `unit` says what its
    figures are.

    Raises UsageError for a unit there is not, UnreadableFileError for a file that cannot be used and endings that are
    not read.
    """
    known = next((one for one in MM_PER_UNIT if one == unit), None)
    if unit and known is None:
        units = ", ".join(MM_PER_UNIT)
        raise UsageError(f"--unit: no unit is called {unit!r}{did_you_mean(unit, MM_PER_UNIT)}; give one of {units}")
    if os.path.isdir(path):  # False too for a name that no file can have
        raise UnreadableFileError(f"{path} is a folder; name the file in it")
    endings = ("".join(path.suffixes[-2:]).lower(), path.suffix.lower())
    ending = next((one for one in endings if one in LISTERS), None)
    if ending is None:
        words = ", ".join(dict.fromkeys(one.rpartition(".")[2].upper() for one in LISTERS if one != ".dwg"))
        raise UnreadableFileError(f"{path.name}: files of this kind are not read; save it as one of {words}")
    asked = {"file": path.name[:400], "layer": layer[:255], "part": part[:255], "unit": known}
    return LISTERS[ending](path, ShapeJob.model_validate({key: said for key, said in asked.items() if said}))


def looked_json(looked: Looked) -> str:
    """A look for programs: the record as it is, under a name and a version."""
    data = {"format": "takeoff look", "version": 1, **asdict(looked)}
    return json.dumps(_rounded(data), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _rounded(value: object) -> object:
    if isinstance(value, float):
        return round(value, _PLACES)
    if isinstance(value, dict):
        return {key: _rounded(held) for key, held in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(held) for held in value]
    return value


def write_picture(looked: Looked, path: Path) -> OneWritten:
    """Draw the rings of a look with their numbers into an SVG file. Raises UsageError for another ending, where nothing
    can be drawn, and where it cannot be written."""
    from takeoff.write.atomic import write_one
    from takeoff.write.drawings.look_picture import look_picture
    from takeoff.write.drawings.svg import svg_text

    if path.suffix.lower() != ".svg":
        raise UsageError(f"{path}: the picture is an SVG; end its name with .svg")
    drawing = look_picture(looked)
    if drawing is None:
        raise UsageError(f"{looked.file} has no rings or lines to draw")
    return write_one(path, svg_text(drawing).encode("utf-8"))
