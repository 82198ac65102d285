"""One thing of a takeoff explained: facts, working with the basis of each term, the planes and edges it came from."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from takeoff.basics.records import record
from takeoff.model.basis import Working
from takeoff.model.order import Takeoff
from takeoff.model.roof import RoofEdge, RoofPlane
from takeoff.write.words.words import compass_words, number, refs_words, working_lines

_MOST_REFS = 12


@record
class Explanation:
    """What a mark is, facts a line each, the working a line a term, and the planes and edges it came from."""

    title: str
    facts: tuple[str, ...]
    working: tuple[str, ...] = ()
    came_from: tuple[str, ...] = ()


# a name and what makes its explanation, so that only what is asked for is worked out
Entry = tuple[str, Callable[[], Explanation]]


def explained(
    takeoff: Takeoff,
    title: str,
    facts: Iterable[str],
    workings: Iterable[Working | None] = (),
    refs: Iterable[str] = (),
) -> Explanation:
    """An explanation whose planes and edges are those that `refs` and the terms of the workings name."""
    kept = [working for working in workings if working is not None]
    named = [*refs, *(term.ref for working in kept for term in working.terms if term.ref)]
    lines = [line for working in kept for line in working_lines(working)]
    return Explanation(title, tuple(fact for fact in facts if fact), tuple(lines), came_from(takeoff, named))


def came_from(takeoff: Takeoff, refs: Iterable[str]) -> tuple[str, ...]:
    """A line for every plane and edge among ids; ids of sheets and runs lead to theirs."""
    known: dict[str, RoofPlane | RoofEdge] = {plane.id: plane for roof in takeoff.roofs for plane in roof.planes}
    known |= {edge.id: edge for roof in takeoff.roofs for edge in roof.own_edges}
    behind = _behind(takeoff)
    found: dict[str, None] = {}
    for ref in refs:
        for name in (ref, *behind.get(ref, ())):
            if name in known:
                found.setdefault(name)
    lines = [thing_words(known[name]) for name in found]
    if len(lines) > _MOST_REFS:
        rest = refs_words(list(found)[_MOST_REFS:])
        lines = [*lines[:_MOST_REFS], f"and {rest}"]
    return tuple(lines)


def _behind(takeoff: Takeoff) -> Mapping[str, tuple[str, ...]]:
    """The planes and edges that sheets and runs are on."""
    found: dict[str, tuple[str, ...]] = {
        piece.mark: (piece.plane,) for sheets in takeoff.roofing.sheets for piece in sheets.pieces
    }
    found |= {line.run: (line.plane,) for line in takeoff.roofing.purlins}
    found |= {run.run: (run.edge,) for run in takeoff.roofing.flashings}
    for need in (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs):
        for demand in need.demands:
            found.setdefault(demand.id, demand.refs)
    return found


def thing_words(thing: RoofPlane | RoofEdge) -> str:
    """A plane or an edge in a line."""
    if isinstance(thing, RoofPlane):
        words = (
            f"{thing.id}: roof plane at {number(thing.pitch_deg, 1)} degrees falling {compass_words(thing.bearing_deg)}"
        )
        edges = ", ".join(map(str, thing.outline_edges))
        rises = f", rises from edge {edges} of the job" if edges else ""
        return f"{words}, {number(thing.area_mm2 / 1e6, 2)} m2{rises}"
    faces = f" between {' and '.join(thing.faces)}" if len(thing.faces) > 1 else f" of {refs_words(thing.faces)}"
    edges = ", ".join(map(str, thing.outline_edges))
    on = f", edge {edges} of the job" if edges else ""
    return f"{thing.id}: {thing.kind.value}{faces}, {number(thing.length_mm / 1000.0)} m{on}"
