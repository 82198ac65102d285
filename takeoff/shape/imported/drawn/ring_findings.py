"""What is said of a ring that was taken from a drawing: where it came from, its size, and all that was decided."""

from __future__ import annotations

from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.tolerances import TOLERANCES
from takeoff.basics.vectors import Point2
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.shape.imported.drawn.drawn_rings import DrawnRing, DrawnRings, OpenChain
from takeoff.shape.imported.drawn.ring_choice import Candidate

LEAST_OPEN_MM = MODEL_LIMITS.open_lines_mm
_MOST_OPEN = 3
_GAP_SAID_MM = MODEL_LIMITS.gap_said_mm


def ring_words(chosen: Candidate) -> str:
    """A ring as a person knows it again: size, area, corners, and its name or layer."""
    ring = chosen.ring
    name = f" {ring.name}" if ring.name else ""
    layer = f" on {ring.layer}" if ring.layer else ""
    size = f"{ring.length_mm / 1000.0:.2f} x {ring.width_mm / 1000.0:.2f} m"
    return f"ring {ring.number}{name}{layer}: {size}, {chosen.area_mm2 / 1e6:.2f} m2, {len(ring.points_mm)} corners"


def open_words(drawn: DrawnRings) -> str:
    """The longest rows of lines that do not close, with gaps and places; "" for none."""
    longest = sorted(drawn.open_chains, key=lambda chain: -chain.length_mm)[:_MOST_OPEN]
    return "; ".join(chain_words(chain, drawn.unit.unit is not None) for chain in longest)


def chain_words(chain: OpenChain, known: bool) -> str:
    """A row of lines that does not close, with its gap or where it forks; `known`: whether its unit is."""
    layer = f" on {chain.layer}" if chain.layer else ""
    lines = f"{chain.lines} line{'s' if chain.lines > 1 else ''}{layer}"
    if chain.fork is not None:
        return f"{lines} meet three and more at {_place(chain.fork)}: leave the outline alone on a layer"
    unit = " mm" if known else ""
    return f"{lines} stay open by {chain.gap_mm:.4g}{unit} between {_place(chain.ends[0])} and {_place(chain.ends[1])}"


def _place(point: Point2) -> str:
    return f"({point[0]:.10g}, {point[1]:.10g})"


def ring_findings(roof: RoofJob, shape: ShapeJob, drawn: DrawnRings, chosen: Candidate) -> tuple[Finding, ...]:
    """Findings for the ring taken, its unit, and what was mended in it."""
    name, ring = f"roof {roof.name}", chosen.ring
    what = "wall line" if shape.edge_is == "wall_line" else "outline"
    text = f"{name}: its {what} is {ring_words(chosen)} of {drawn.came_from}; edges are numbered as they are drawn"
    found = [Finding("drawing-outline-taken", Severity.NOTE, text)]
    found += _unit_findings(name, drawn)
    if "edge_is" not in shape.model_fields_set:
        text = f"{name}: nothing says which line {drawn.came_from} shows; the outer face of the fascia was taken"
        advice = "say `edge_is: outline` or `edge_is: wall_line` in its shape"
        found.append(Finding("drawing-line-taken", Severity.WARN, text, advice))
    if ring.also_on:
        text = f"{name}: the same ring is drawn on {', '.join(ring.also_on)} too; it was taken once"
        found.append(Finding("drawing-ring-repeated", Severity.NOTE, text))
    for one in (ring, *chosen.courtyards):
        found += _mended(name, one)
    if chosen.courtyards:
        numbers = ", ".join(str(court.number) for court in chosen.courtyards)
        many = len(chosen.courtyards) > 1
        text = f"{name}: ring{'s' if many else ''} {numbers} inside it {'are courtyards' if many else 'is a courtyard'}"
        found.append(Finding("drawing-courtyards-taken", Severity.NOTE, f"{text} of it"))
    left = [one for one in drawn.open_chains if one.length_mm >= LEAST_OPEN_MM and _same(one.layer, ring.layer)]
    if left:
        text = f"{name}: of layer {ring.layer or drawn.came_from} {chain_words(left[0], True)}; left out"
        found.append(Finding("drawing-lines-open", Severity.NOTE, text))
    return tuple(found)


def _same(one: str, other: str) -> bool:
    return one.casefold() == other.casefold()


def _unit_findings(name: str, drawn: DrawnRings) -> list[Finding]:
    unit = drawn.unit
    text = f"{name}: the unit of {drawn.came_from} is {unit.unit}: {unit.why}"
    if unit.doubt and unit.why == "the job says so":
        advice = "is the unit right? a house is 3 to 60 m long"
        return [Finding("drawing-unit-odd", Severity.WARN, f"{text}, but its largest shape is no house's size", advice)]
    if unit.doubt:
        return [Finding("drawing-unit-taken", Severity.WARN, text, f"say `unit: {unit.unit}` in its shape")]
    return [Finding("drawing-unit-taken", Severity.NOTE, text)]


def _mended(name: str, ring: DrawnRing) -> list[Finding]:
    found = []
    if ring.joined:
        points = "1 point" if ring.joined == 1 else f"{ring.joined} points"
        text = f"{name}: {points} of ring {ring.number} within {TOLERANCES.same_point_mm:g} mm of another were made one"
        advice = "edges are numbered without them"
        found.append(Finding("drawing-points-joined", Severity.FIXED, text, advice))
    if ring.gap_mm > _GAP_SAID_MM:
        text = f"{name}: gaps of up to {ring.gap_mm:.2g} mm between the lines of ring {ring.number} were closed"
        found.append(Finding("drawing-gaps-closed", Severity.FIXED, text))
    if ring.arcs:
        arcs = "1 arc" if ring.arcs == 1 else f"{ring.arcs} arcs"
        text = (
            f"{name}: {arcs} of ring {ring.number} became straight sides that lie no further than "
            f"{TOLERANCES.arc_off_mm:g} mm off, each an edge of its own"
        )
        advice = "curved roofs are built of straight parts; draw the sides that will be built"
        found.append(Finding("drawing-arcs-cut", Severity.WARN, text, advice))
    return found
