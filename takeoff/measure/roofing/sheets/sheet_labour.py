"""Work on sheet ends that has no length of its own but is labour on the list: stop ends and turned-down pans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.measure.roofing.sheets.sheet_pieces import is_turned_down
from takeoff.measure.terms import quantity
from takeoff.model.basis import Basis, Quantity, Status, Term
from takeoff.model.edge_kinds import EdgeKind, End
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import EndCut, PlaneSheets, SheetPiece

_CUSTOM = Basis(Status.COMMON_PRACTICE)


@record
class _Work:
    """One sort of work: the name of its quantity, its row and what its ids begin with, the pieces, rule and terms."""

    number: str
    sort: str
    item: str
    pieces: Sequence[SheetPiece]
    rule: str
    terms: tuple[Term, ...] = ()


def end_labour(sheets: Sequence[PlaneSheets], roof: Roof, settings: Settings) -> Need:
    """Sheet ends to be stop-ended (pans turned up) at ridges, heads and apron heads, and turned down at eaves of low
    pitch: counts of ends, common practice. A sheet notched under a wall and running on beside it has two. Lines without
    ends are left out."""
    kinds = {edge.id: edge.kind for edge in roof.edges}
    planes = {plane.id: plane for plane in roof.planes}
    up = [p for s in sheets for p in s.pieces for _ in range(_ends(p, p.top, kinds, End.TOP))]
    down = [
        p
        for s in sheets
        if is_turned_down(planes[s.plane].pitch_deg, settings)
        for p in s.pieces
        for _ in range(_ends(p, p.foot, kinds, End.FOOT))
    ]
    pitch = (settings.term("turn_down_below_deg"),)
    rules = (
        "one a sheet whose top lies at a ridge, head or apron head, one more where it is notched under such an edge",
        "one a sheet whose foot lies on an eave of low pitch, one more where it is notched at another",
    )
    works = (
        _Work("stop-ends", "sheet_stop_ends", "sheet ends stop-ended", up, rules[0]),
        _Work("turned-down", "sheet_turned_down", "sheet ends turned down", down, rules[1], pitch),
    )
    done = [_counted(work, roof.name) for work in works if work.pieces]
    return Need("roofing", tuple(made for made, _ in done), items=tuple(item for _, item in done))


def _counted(work: _Work, roof: str) -> tuple[Quantity, Made]:
    """The work on one roof: two lines of one name could not be told apart on the order sheet."""
    ends = tuple(piece.mark for piece in work.pieces)
    marks = tuple(dict.fromkeys(ends))
    count = Term("sheet ends", len(ends), "each", _CUSTOM, ", ".join(marks))
    item = Made(f"{work.item}, roof {roof}", work.sort, (Mark(MarkKind.ROOF, roof),))
    made = quantity(f"{roof} {work.number}", item.id, float(len(ends)), "each", marks, work.rule, count, *work.terms)
    return replace(made, labour=True), item


def _ends(piece: SheetPiece, cut: EndCut, kinds: dict[str, EdgeKind], wanted: End) -> int:
    """How many ends of that sort a sheet has: its own, and one where it is notched at an edge its end is not on."""
    notch = piece.notched and _on(sorted(set(piece.beside) - set(cut.edges)), kinds, wanted)
    return int(_on(cut.edges, kinds, wanted)) + int(notch)


def _on(edges: Sequence[str], kinds: dict[str, EdgeKind], wanted: End) -> bool:
    return any(edge in kinds and kinds[edge].row.end is wanted for edge in edges)
