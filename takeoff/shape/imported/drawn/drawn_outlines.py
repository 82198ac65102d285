"""A roof whose outline is drawn in a file: unit, ring and courtyards decided, and the roof as if it had been typed.

What leaves doubt stops with the lines to paste into the job; what was decided is said.
"""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import ValidationError

from takeoff.basics.errors import Fault, JobError, ShapeError, UndecidedError, UnreadableFileError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.drawings import Facts, RawDrawing
from takeoff.model.findings import Finding
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.shape.imported.drawn.drawn_rings import DrawnRings, layer_names, rings_of
from takeoff.shape.imported.drawn.paste_lines import shape_line
from takeoff.shape.imported.drawn.ring_choice import Candidate, candidates_of, of_part
from takeoff.shape.imported.drawn.ring_findings import open_words, ring_findings, ring_words
from takeoff.shape.imported.drawn.ring_units import size_words

_LINES = ("outline", "wall_line")
_OF_MODELS = ("up", "face", "steep", "floor_at_mm")
_MOST_LINES = 8  # to paste, in one message


def drawn_roof(roof: RoofJob, raw: RawDrawing) -> tuple[RoofJob, tuple[Finding, ...]]:
    """The roof of a job with the ring that its `shape` means in place of a typed one, and what is said of it.

    Raises UndecidedError, with a line to paste for each way, where unit, ring or courtyard leave doubt; JobError for a
    layer or part that the drawing has not and keys that belong to models, ShapeError where no ring closes,
    UnreadableFileError where the file says of an edge what an edge cannot be.
    """
    shape = roof.drawn
    if shape is None:
        return roof, ()
    _check_keys(roof, shape, raw)
    drawn = rings_of(raw, (shape.layer,) if shape.layer else (), shape.unit)
    if drawn.too_many:
        text = f"roof {roof.name}: {raw.came_from} holds too many rings to tell the outline; name its layer"
        raise ShapeError(_at(roof, text))
    if drawn.unit.unit is None:
        raise _unit_asked(roof, shape, drawn)
    found = candidates_of(drawn, shape)
    chosen = of_part(found, shape.part) if shape.part else found
    if not chosen:
        raise _nothing(roof, shape, drawn, found)
    if len(chosen) > 1:
        raise _choice_asked(roof, shape, drawn, chosen)
    if chosen[0].doubtful is not None and not shape.use:
        raise _court_asked(roof, shape, drawn, chosen[0])
    return _typed(roof, shape, raw, chosen[0]), ring_findings(roof, shape, drawn, chosen[0])


def shape_key(roof: RoofJob) -> str:
    """The word that the job gives the file by."""
    return "shape" if roof.shape is not None else "mesh"


def _at(roof: RoofJob, text: str, *keys: str) -> Fault:
    return Fault(text, "roofs", roof.name, shape_key(roof), *keys)


def _check_keys(roof: RoofJob, shape: ShapeJob, raw: RawDrawing) -> None:
    faults = []
    for key in _OF_MODELS:
        if key in shape.model_fields_set:
            faults.append(_at(roof, f"roof {roof.name}: {key} belongs to a model, not to a drawing", key))
    if shape.edge_is not in _LINES:
        text = f"roof {roof.name}: a ring of a drawing is an outline or a wall_line, no {shape.edge_is}"
        faults.append(_at(roof, text, "edge_is"))
    layers = layer_names(raw)
    if shape.layer and shape.layer.casefold() not in {layer.casefold() for layer in layers}:
        known = "; it has " + ", ".join(layer for layer in layers[:12] if layer) if any(layers) else "; it has none"
        hint = did_you_mean(shape.layer, layers, known)
        text = f"roof {roof.name}: {raw.came_from} has no lines on a layer {shape.layer}{hint}"
        faults.append(_at(roof, text, "layer"))
    if faults:
        raise JobError(*faults)


def _line(roof: RoofJob, shape: ShapeJob, **more: object) -> str:
    """The job's own line with some keys more."""
    edge_is = shape.edge_is if "edge_is" in shape.model_fields_set else ""
    said: dict[str, object] = {
        "layer": shape.layer,
        "part": int(shape.part) if shape.part and shape.part.isdecimal() else shape.part,
        "unit": shape.unit,
        "use": list(shape.use) or None,
        "leave_out": list(shape.leave_out) or None,
        "edge_is": edge_is,
    }
    return f"`{shape_line(shape.file, shape_key(roof), **{**said, **more})}`"


def _asked(roof: RoofJob, text: str, ways: Sequence[str]) -> UndecidedError:
    return UndecidedError(*(_at(roof, words) for words in (f"roof {roof.name}: {text}; say which in the job:", *ways)))


def _unit_asked(roof: RoofJob, shape: ShapeJob, drawn: DrawnRings) -> UndecidedError:
    text = (
        f"the unit of {drawn.came_from} is not known: {drawn.unit.why}, and its largest shape is {drawn.long:.6g} by "
        f"{drawn.narrow:.6g}"
    )
    ways = [
        f"{_line(roof, shape, unit=unit)} makes it {size_words(drawn.long, drawn.narrow, unit)}"
        for unit in drawn.unit.could_be
    ]
    return _asked(roof, text, ways)


def _choice_asked(roof: RoofJob, shape: ShapeJob, drawn: DrawnRings, chosen: tuple[Candidate, ...]) -> UndecidedError:
    several_layers = len({one.ring.layer.casefold() for one in chosen}) > 1
    shown = sorted(chosen, key=lambda one: -one.area_mm2)[:_MOST_LINES]
    ways = []
    for one in shown:
        layer = one.ring.layer if several_layers or shape.layer else ""
        ways.append(f"{_line(roof, shape, layer=layer, part=one.ring.number)} is {ring_words(one)}")
    if len(chosen) > len(shown):
        ways.append(f"and {len(chosen) - len(shown)} more, which takeoff look lists")
    return _asked(roof, f"{len(chosen)} rings of {drawn.came_from} can be its outline", ways)


def _court_asked(roof: RoofJob, shape: ShapeJob, drawn: DrawnRings, chosen: Candidate) -> UndecidedError:
    court = chosen.doubtful or chosen.ring
    numbers = [ring.number for ring in (chosen.ring, *chosen.courtyards)]
    share = court.area_mm2 / chosen.ring.area_mm2
    text = f"ring {court.number} of {drawn.came_from} takes {share:.0%} of ring {chosen.ring.number} round it"
    ways = [
        f"{_line(roof, shape, leave_out=[*shape.leave_out, court.number])} is the outer ring alone",
        f"{_line(roof, shape, use=[court.number], part=None)} is the inner ring alone, as a wall line below its eaves",
        f"{_line(roof, shape, use=numbers)} is the outer ring with a courtyard in it",
    ]
    return _asked(roof, text, ways)


def _nothing(roof: RoofJob, shape: ShapeJob, drawn: DrawnRings, found: tuple[Candidate, ...]) -> JobError | ShapeError:
    where = f"layer {shape.layer} of {drawn.came_from}" if shape.layer else drawn.came_from
    if found:
        known = ", ".join(f"{one.ring.number} ({ring_words(one)})" for one in found[:_MOST_LINES])
        text = f"roof {roof.name}: {where} has no ring {shape.part} that can be an outline; it has {known}"
        return JobError(_at(roof, text, "part"))
    opened = open_words(drawn)
    text = f"roof {roof.name}: no ring on {where} closes round a roof; {opened or 'it holds no lines that do'}"
    return ShapeError(_at(roof, text))


def _typed(roof: RoofJob, shape: ShapeJob, raw: RawDrawing, chosen: Candidate) -> RoofJob:
    """The roof as if its ring had been typed; keys of the file hold where the job gives none."""
    own = _edge(raw, chosen.ring.facts, f"ring {chosen.ring.number}")
    update: dict[str, object] = {
        "shape": None,
        "mesh": None,
        shape.edge_is: list(chosen.ring.points_mm),
        "courtyards": [list(court.points_mm) for court in chosen.courtyards],
        "edges": _edges(roof, raw, chosen),
    }
    for key, _ in chosen.ring.facts:
        if key not in roof.model_fields_set:
            update[key] = getattr(own, key)
    return roof.model_copy(update=update)


def _edges(roof: RoofJob, raw: RawDrawing, chosen: Candidate) -> dict[int, EdgeJob]:
    edges: dict[int, EdgeJob] = {}
    first = 0
    for ring in (chosen.ring, *chosen.courtyards):
        for number, facts in ring.edge_facts:
            edges[first + number] = _edge(raw, facts, f"edge {number}")
        first += len(ring.points_mm)
    for number, typed in roof.edges.items():
        drawn = edges.get(number)
        said = {key: getattr(typed, key) for key in typed.model_fields_set}
        edges[number] = typed if drawn is None else drawn.model_copy(update=said)
    return edges


def _edge(raw: RawDrawing, facts: Facts, where: str) -> EdgeJob:
    try:
        return EdgeJob.model_validate(dict(facts))
    except ValidationError as err:
        first = err.errors(include_url=False)[0]
        key = ".".join(str(part) for part in first["loc"])
        raise UnreadableFileError(
            f"{raw.came_from}: {where}: {key} {str(first['input'])[:40]}: {first['msg'][:1].lower()}{first['msg'][1:]}"
        ) from None
