"""A look at a drawing: what is on which layer, which rings can be roofs, and how a job names each."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import distance2
from takeoff.model.drawings import RawDrawing
from takeoff.model.faces import MM_PER_UNIT
from takeoff.model.looked import Looked, LookedLayer, LookedRing, LookedRow
from takeoff.shape.imported.drawn.drawn_rings import DrawnRing, DrawnRings, OpenChain, layer_names, lies_in, rings_of
from takeoff.shape.imported.drawn.paste_lines import shape_line
from takeoff.shape.imported.drawn.ring_choice import Candidate, candidates_of
from takeoff.shape.imported.drawn.ring_findings import LEAST_OPEN_MM, chain_words
from takeoff.shape.imported.drawn.ring_units import size_words
from takeoff.shape.outline.outline_checks import check_rings

_MOST_CHECKED = 2_000  # corners of a ring that is searched for crossings


def look_at_drawing(raw: RawDrawing, layer: str = "", unit: str = "") -> Looked:
    """Layers and rings of a drawing, of one layer where it is named, in a unit where one is given."""
    said = next((one for one in MM_PER_UNIT if one == unit), None)
    drawn = rings_of(raw, (layer,) if layer else (), said)
    found = sorted(candidates_of(drawn), key=lambda one: -one.area_mm2)
    small = [one for one in found if drawn.unit.unit and _in_another(one, found)]
    rings = [ring for candidate in found for ring in _rings(raw, drawn, candidate, candidate not in small)]
    could_be = tuple((one, size_words(drawn.long, drawn.narrow, one)) for one in drawn.unit.could_be)
    return Looked(
        file=raw.came_from,
        kind=raw.kind,
        unit=drawn.unit.unit or "",
        unit_why=drawn.unit.why,
        could_be=() if drawn.unit.unit else could_be,
        layers=_layers(raw, drawn),
        rings=tuple(rings),
        open_rows=tuple(LookedRow(one.points_mm, chain_words(one, bool(drawn.unit.unit))) for one in _open(drawn)),
        lines=tuple(ring.line for ring in rings if ring.line),
        notes=(*_notes(raw, drawn, layer), *_small_notes(small)),
    )


def _in_another(one: Candidate, every: Sequence[Candidate]) -> bool:
    """Whether a ring is as small as a window and lies in a larger one of another layer, as openings do in a drawn
    wall."""
    ring = one.ring
    return one.area_mm2 <= TOLERANCES.opening_mm2 and any(
        other.area_mm2 > one.area_mm2
        and other.ring.layer != ring.layer
        and lies_in(ring.points_mm, other.ring.points_mm)
        for other in every
    )


def _small_notes(small: Sequence[Candidate]) -> list[str]:
    if not small:
        return []
    layers = ", ".join(dict.fromkeys(one.ring.layer for one in small))
    what = f"{len(small)} small rings inside others, on {layers}, are no roofs"
    return [f"{what}; drawn_elevations of the walls takes windows and doors by their layers, with the wall they are in"]


def _rings(raw: RawDrawing, drawn: DrawnRings, candidate: Candidate, is_roof: bool) -> list[LookedRing]:
    """A candidate and its courtyards, edges numbered on from one to the next; without a line where it is no roof."""
    several_layers = len(layer_names(raw)) > 1
    layer = candidate.ring.layer if several_layers else ""
    said: dict[str, object] = {
        "layer": layer,
        "part": candidate.ring.number,
        "unit": drawn.unit.unit,
        "edge_is": "outline",
    }
    # with another unit other ends of lines would be one: a ring is named once its unit is known
    line = shape_line(raw.came_from, "shape", **said) if drawn.unit.unit and is_roof else ""
    found = [_looked(candidate.ring, 1, 0, line)]
    first = 1 + len(candidate.ring.points_mm)
    for court in candidate.courtyards:
        found.append(_looked(court, first, candidate.ring.number, ""))
        first += len(court.points_mm)
    return found


def _looked(ring: DrawnRing, first_edge: int, court_of: int, line: str) -> LookedRing:
    points = ring.points_mm
    fault = ""
    if len(points) <= _MOST_CHECKED:
        _, faults = check_rings("", "ring", [points])
        fault = str(faults[0]).split(": ", 1)[-1] if faults else ""
    return LookedRing(
        layer=ring.layer,
        number=ring.number,
        name=ring.name,
        points_mm=points,
        length_mm=ring.length_mm,
        width_mm=ring.width_mm,
        area_mm2=ring.area_mm2,
        first_edge=first_edge,
        edges_mm=tuple(distance2(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True)),
        court_of=court_of,
        fault=fault,
        line=line,
    )


def _open(drawn: DrawnRings) -> list[OpenChain]:
    """Rows of lines long enough to have been meant as an outline, the longest first."""
    least = LEAST_OPEN_MM if drawn.unit.unit else 0.0
    rows = [one for one in drawn.open_chains if one.lines > 1 and one.length_mm >= least]
    return sorted(rows, key=lambda one: -one.length_mm)[:20]


def _layers(raw: RawDrawing, drawn: DrawnRings) -> tuple[LookedLayer, ...]:
    names = layer_names(raw)
    lines, rings, rows = ({name.casefold(): 0 for name in names} for _ in range(3))
    for path in raw.paths:
        lines[path.layer.casefold()] += 1
    for ring in drawn.rings:
        for layer in (ring.layer, *ring.also_on):
            rings[layer.casefold()] += 1
    for one in _open(drawn):
        rows[one.layer.casefold()] += 1
    keys = [name.casefold() for name in names]
    return tuple(LookedLayer(name, lines[key], rings[key], rows[key]) for name, key in zip(names, keys, strict=True))


def _notes(raw: RawDrawing, drawn: DrawnRings, layer: str) -> list[str]:
    notes = []
    if layer and layer.casefold() not in {name.casefold() for name in layer_names(raw)}:
        notes.append(f"it has no lines on a layer {layer}")
    if not drawn.unit.unit:
        notes.append("say the unit with --unit for the lines that name each ring in a job")
    if drawn.too_many:
        notes.append("it holds too many rings to list; name a layer with --layer")
    if drawn.unit.unit and drawn.unit.doubt:
        notes.append(f"the unit {drawn.unit.unit} is in doubt: a house is 3 to 60 m long")
    for ring in drawn.rings:
        if ring.also_on:
            notes.append(f"ring {ring.number} on {ring.layer} is drawn on {', '.join(ring.also_on)} too")
    if raw.left_out:
        kinds = ", ".join(f"{count} {kind}" for kind, count in raw.left_out)
        notes.append(f"not read, since they are no lines, arcs or polylines in plan: {kinds}")
    return notes
