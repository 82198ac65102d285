"""What of two takeoffs must be the same: planes, edges by kind, nodes, gutters; and every line of the order.

The shape is compared within what the corners are off. The order is compared to the last piece: where a line differs, the
caller asks whether the square house with those very sides has it too.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.write.words.item_names import item_words

T = TypeVar("T")
Line = tuple[str, ...]
FLOAT_MM = 1e-3  # what sums of floats on a survey grid leave of a length


def shape_differences(one: Takeoff, two: Takeoff, off_mm: float) -> list[str]:
    """Planes, edges, nodes and gutter runs of two houses whose corners lie within `off_mm` of each other."""
    found = _plane_differences(one, two, off_mm)
    found += _edge_differences(one, two, off_mm)
    found += _counted("node", _nodes(one), _nodes(two))
    return found + _counted("gutter run", _gutters(one), _gutters(two))


def _planes(takeoff: Takeoff) -> list[RoofPlane]:
    return [plane for roof in takeoff.roofs for plane in roof.planes]


def _plane_differences(one: Takeoff, two: Takeoff, off_mm: float) -> list[str]:
    def same(a: RoofPlane, b: RoofPlane) -> bool:
        around = 4.0 * max(max(u for u, _ in a.rings_uv[0]), max(v for _, v in a.rings_uv[0]))
        turned = abs((a.bearing_deg - b.bearing_deg + 180.0) % 360.0 - 180.0)
        return (
            (a.roof, a.covering, a.step) == (b.roof, b.covering, b.step)
            and abs(a.pitch_deg - b.pitch_deg) < 0.05
            and (turned < 0.3 or a.pitch_deg < 0.5)
            and abs(a.fascia_height_mm - b.fascia_height_mm) <= off_mm + 0.01
            and abs(a.area_mm2 - b.area_mm2) <= around * off_mm + 1.0
            and abs(a.covered_mm2 - b.covered_mm2) <= around * off_mm + 1.0
        )

    gone, new = _unmatched(_planes(one), _planes(two), same)
    said = [f"plane of {p.roof} gone: {p.area_mm2 / 1e6:.6f} m2, bearing {p.bearing_deg:.2f}" for p in gone]
    return said + [f"plane of {p.roof} new: {p.area_mm2 / 1e6:.6f} m2, bearing {p.bearing_deg:.2f}" for p in new]


def _unmatched(one: Sequence[T], two: Sequence[T], same: Callable[[T, T], bool]) -> tuple[list[T], list[T]]:
    left, gone = list(two), []
    for thing in one:
        match = next((i for i, other in enumerate(left) if same(thing, other)), None)
        if match is None:
            gone.append(thing)
        else:
            del left[match]
    return gone, left


def _edges(takeoff: Takeoff) -> dict[tuple[str, bool], list[RoofEdge]]:
    found: dict[tuple[str, bool], list[RoofEdge]] = defaultdict(list)
    for roof in takeoff.roofs:
        for edge in roof.own_edges:
            found[(edge.kind.value, edge.convex)].append(edge)
    return {key: sorted(edges, key=lambda edge: edge.length_mm) for key, edges in found.items()}


def _edge_differences(one: Takeoff, two: Takeoff, off_mm: float) -> list[str]:
    before, after = _edges(one), _edges(two)
    said = []
    for key in sorted({*before, *after}):
        was, now = before.get(key, []), after.get(key, [])
        if len(was) != len(now):
            said.append(f"{key[0]}: {len(was)} -> {len(now)}, {_metres(was)} -> {_metres(now)}")
            continue
        for a, b in zip(was, now, strict=True):
            if abs(a.length_mm - b.length_mm) > off_mm + FLOAT_MM:
                said.append(f"{key[0]}: {a.length_mm:.4f} -> {b.length_mm:.4f} mm")
    return said


def _metres(edges: Iterable[RoofEdge]) -> str:
    return "[" + ", ".join(f"{edge.length_mm / 1000:.4f}" for edge in edges) + "] m"


def _nodes(takeoff: Takeoff) -> Counter[str]:
    """Nodes by the kinds of the edges that meet there, one that several roofs share counted once."""
    kinds = {edge.id: edge.kind.value for roof in takeoff.roofs for edge in roof.edges}
    meet: dict[str, set[str]] = defaultdict(set)
    for roof in takeoff.roofs:
        for node in roof.nodes:
            meet[node.id] |= set(node.edges)
    return Counter(" + ".join(sorted(kinds[edge] for edge in edges)) for edges in meet.values())


def _gutters(takeoff: Takeoff) -> Counter[str]:
    return Counter(
        f"{len(run.legs)} legs, {len(run.valleys)} valleys, {sorted(corner.kind for corner in run.corners)}"
        f"{', a ring' if run.ring else ''}{', internal' if run.internal else ''}"
        for run in takeoff.gutters
    )


def _counted(what: str, one: Counter[str], two: Counter[str]) -> list[str]:
    keys = sorted({*one, *two})
    return [f"{what} ({key}): {one[key]} -> {two[key]}" for key in keys if one[key] != two[key]]


def order_lines(takeoff: Takeoff) -> dict[Line, float]:
    """How many of everything that is bought or done, by delivery, item, name, unit and length; and findings by code."""
    lines: dict[Line, float] = defaultdict(float)
    for line in takeoff.order.lines if takeoff.order else ():
        each = f"{line.each_mm:.0f} mm" if line.each_mm else ""
        name = item_words(line.of)
        lines[(line.delivery, line.item, name, each, line.unit)] += line.count
    for finding in takeoff.findings:
        if finding.severity in (Severity.STOP, Severity.WARN):
            lines[("finding", finding.code, finding.severity.value, "", "each")] += 1
    return dict(lines)


def order_differences(one: Takeoff, two: Takeoff) -> list[str]:
    """Lines of the order, and findings, that are not the same, in words."""
    before, after = order_lines(one), order_lines(two)
    said = []
    for key in sorted({*before, *after}):
        was, now = before.get(key, 0.0), after.get(key, 0.0)
        if abs(was - now) > 1e-6:
            said.append(f"{', '.join(part for part in key if part)}: {was:.10g} -> {now:.10g}")
    return said


def jumps(one: Takeoff, two: Takeoff) -> list[str]:
    """Items of the order that differ by more than a step here and there: a twentieth, or four where that is less, since
    the sides of a house pass a threshold together."""
    said = []
    before, after = _totals(one), _totals(two)
    for key in sorted({*before, *after}):
        (was, most), (now, more) = before.get(key, (0.0, 0.0)), after.get(key, (0.0, 0.0))
        if abs(was - now) > max(0.05 * was, 4.0 * max(most, more)) + 1e-6:
            said.append(f"{key}: {was:.10g} -> {now:.10g}, more than a step")
    return said


def _totals(takeoff: Takeoff) -> dict[str, tuple[float, float]]:
    """Total of every item, and the largest one thing bought of it."""
    found: dict[str, tuple[float, float]] = {}
    for line in takeoff.order.lines if takeoff.order else ():
        total, most = found.get(line.item, (0.0, 0.0))
        found[line.item] = (total + line.total, max(most, line.each_mm / 1000.0 or 1.0))
    return found
