"""Faults in what a job says of holes and clear sheets in a roof: sizes that lack or clash, names twice, edges that do
not exist."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.model.job.roofs import PenetrationJob, RoofJob, RooflightSheetJob
from takeoff.read.job.rise_references import Fault, Path


def opening_faults(roof: RoofJob, edges: int | None, path: Path) -> list[Fault]:
    """Faults of one roof; `edges`: how many its outline has, None for a mesh; `path` leads to the roof in the job."""
    faults: list[Fault] = []
    for i, hole in enumerate(roof.penetrations):
        faults += _size_faults(hole, (*path, "penetrations", i))
    faults += _name_faults([hole.name for hole in roof.penetrations], (*path, "penetrations"))
    for i, light in enumerate(roof.rooflight_sheets):
        faults += _edge_faults(roof, light, edges, (*path, "rooflight_sheets", i, "edge"))
    faults += _name_faults([light.name for light in roof.rooflight_sheets], (*path, "rooflight_sheets"))
    return faults


def _size_faults(hole: PenetrationJob, path: Path) -> list[Fault]:
    sides = [key for key in ("width_mm", "length_mm") if getattr(hole, key) is not None]
    round_one = hole.kind in ("pipe", "flue")
    if hole.diameter_mm is not None:
        if not round_one:
            what = hole.kind.replace("_", " ")
            return [((*path, "diameter_mm"), f"a {what} has width_mm and length_mm, not a diameter")]
        return [((*path, sides[0]), "give diameter_mm, or width_mm and length_mm, not both")] if sides else []
    if len(sides) < 2:
        need = "diameter_mm, or width_mm and length_mm" if round_one else "width_mm and length_mm"
        return [(path, f"needs {need}")]
    return []


def _name_faults(names: Sequence[str | None], path: Path) -> list[Fault]:
    given = [name for name in names if name is not None]
    return [
        ((*path, i, "name"), f"two are named {name}")
        for i, name in enumerate(names)
        if name is not None and given.index(name) != sum(1 for other in names[:i] if other is not None)
    ]


def _edge_faults(roof: RoofJob, light: RooflightSheetJob, edges: int | None, path: Path) -> list[Fault]:
    if edges is None:
        return [(path, "a mesh has no numbered outline edges")]
    if light.edge > edges:
        return [(path, f"there is no edge {light.edge}; the outline has edges 1 to {edges}")]
    own = roof.edges.get(light.edge)
    if own is not None and own.kind in ("gable", "wall"):
        return [(path, f"edge {light.edge} is a {own.kind}: clear sheets are measured from an eave")]
    return []
