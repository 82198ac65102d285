"""A shape taken from a file: what a look at it found as choices, and the roof that each writes into the job."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from takeoff.basics.records import record
from takeoff.model.looked import Looked, LookedBody, LookedRing
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.web.numbers_kept import Tree
from takeoff.web.plan_edits import NewRoof, free_name, whole

MOST_CHOICES = 200
EDGE_IS = (
    ("outline", "the outer face of fascia or barge"),
    ("wall_line", "the outside of the framing"),
    ("sheet_end", "the ends of the sheets"),
    ("spouting_outside", "the outside of the spouting"),
)


@record
class ShapeChoice:
    """One shape of a file: what it is in words, the `shape` that the job has of it, and whether it is an outline that
    still needs a pitch."""

    words: str
    shape: dict[str, Any]
    outline: bool


def choices_of(looked: Looked) -> tuple[ShapeChoice, ...]:
    """The shapes of a file that can be a roof, each by the line that a look at the file gives for it."""
    rings = [ShapeChoice(_ring_words(ring), _shape(ring.line), True) for ring in looked.rings if ring.line]
    bodies = [ShapeChoice(_body_words(body), _shape(body.line), False) for body in looked.bodies if body.line]
    found = rings or bodies
    if not found:
        found = [ShapeChoice(looked.file, _shape(line), bool(looked.rings)) for line in looked.lines]
    if len(found) == 1 and len(looked.bodies) > 1 and not bodies:
        found = [replace(found[0], words="all bodies together")]
    return tuple(one for one in found if one.shape)[:MOST_CHOICES]


def roof_from(tree: Tree, choice: ShapeChoice, edge_is: str, file: str, new: NewRoof) -> dict[str, Any]:
    """The roof that a shape makes, drawn to a line in the file; `new`: what an outline begins with."""
    shape = {**choice.shape, "file": file}
    if "edge_is" in shape or edge_is != "outline":
        shape["edge_is"] = edge_is
    if shape.get("edge_is") == "outline":
        del shape["edge_is"]
    roof: dict[str, Any] = {"name": free_name(tree, "main" if not _count(tree) else "roof"), "shape": shape}
    if choice.outline:
        if edge_is == "wall_line":
            roof["eave_overhang_mm"] = whole(new.overhang_mm)
        roof |= {"fascia_height_mm": whole(new.fascia_height_mm), "pitch_deg": whole(new.pitch_deg)}
    return roof


def _shape(line: str) -> dict[str, Any]:
    value = read_yaml(line).value
    shape = value.get("shape", value.get("mesh")) if isinstance(value, dict) else None
    return {str(key): said for key, said in shape.items()} if isinstance(shape, dict) else {}


def _ring_words(ring: LookedRing) -> str:
    name = " ".join(part for part in (ring.layer, str(ring.number), ring.name) if part)
    return f"{name}: {ring.length_mm / 1000:.2f} x {ring.width_mm / 1000:.2f} m, {len(ring.points_mm)} corners"


def _body_words(body: LookedBody) -> str:
    long, wide, high = (size / 1000 for size in body.size_mm)
    name = " ".join(part for part in (body.name or f"body {body.number}", body.part) if part)
    return f"{name}: {long:.2f} x {wide:.2f} m, {high:.2f} m high"


def _count(tree: Tree) -> int:
    roofs = tree.get("roofs") if isinstance(tree, dict) else None
    return len(roofs) if isinstance(roofs, list) else 0
