"""Work on sheet ends that has no length of its own but is labour on the list: stop ends and turned-down pans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.measure.roofing.sheets.sheet_pieces import is_turned_down
from takeoff.measure.terms import quantity
from takeoff.model.basis import Basis, Quantity, Status, Term
from takeoff.model.roof import EdgeKind, Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets

_CUSTOM = Basis(Status.COMMON_PRACTICE)
_STOPPED = frozenset({EdgeKind.RIDGE, EdgeKind.HEAD, EdgeKind.APRON_HEAD})
_TURNED = frozenset({EdgeKind.EAVE, EdgeKind.INTERNAL_GUTTER})


def end_labour(sheets: Sequence[PlaneSheets], roof: Roof, settings: Settings) -> tuple[Quantity, ...]:
    """Sheet ends to be stop-ended (pans turned up) at ridges, heads and apron heads, and turned down at eaves of low
    pitch: counts of ends, common practice. Lines without ends are left out."""
    kinds = {edge.id: edge.kind for edge in roof.edges}
    planes = {plane.id: plane for plane in roof.planes}
    up = [p for s in sheets for p in s.pieces if _on(p.top.edges, kinds, _STOPPED)]
    down = [
        p
        for s in sheets
        if is_turned_down(planes[s.plane].pitch_deg, settings)
        for p in s.pieces
        if _on(p.foot.edges, kinds, _TURNED)
    ]
    found = []
    for number, item, pieces, rule in (
        ("stop-ends", "sheet ends stop-ended", up, "one a sheet whose top lies at a ridge, head or apron head"),
        ("turned-down", "sheet ends turned down", down, "one a sheet whose foot lies on an eave of low pitch"),
    ):
        if pieces:
            marks = tuple(piece.mark for piece in pieces)
            count = Term("sheets", len(pieces), "each", _CUSTOM, ", ".join(marks))
            extra = (settings.term("turn_down_below_deg"),) if number == "turned-down" else ()
            # named by roof: two lines of one name could not be told apart on the order sheet
            named = f"{item}, roof {roof.name}"
            made = quantity(f"{roof.name} {number}", named, float(len(pieces)), "each", marks, rule, count, *extra)
            found.append(replace(made, labour=True))
    return tuple(found)


def _on(edges: Sequence[str], kinds: dict[str, EdgeKind], wanted: frozenset[EdgeKind]) -> bool:
    return any(kinds.get(edge) in wanted for edge in edges)
