"""What the page of a house knows, as plain data: parts in space, order lines, planes with sheets and sizes to tape.

Lengths are whole mm; a text that many parts share stands once. No figure is made here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import radians
from typing import Any

from takeoff.basics.vectors import Ring2
from takeoff.model.basis import Basis, Working
from takeoff.model.findings import Severity
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.roof import Frame, Roof, RoofPlane
from takeoff.model.sheets import PlaneSheets, SheetPiece
from takeoff.write.data.measure_form import HEADINGS, FormRow, form_rows
from takeoff.write.drawings.frame import title_block
from takeoff.write.house_view.house_parts import Part
from takeoff.write.house_view.part_words import bought_words
from takeoff.write.words.bought import cut_pieces
from takeoff.write.words.cut_words import MARKING_OUT, marking_words, needs_points
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import (
    basis_words,
    finding_words,
    name_words,
    number,
    plain,
    side_words,
    value_words,
    whole,
)
from takeoff.write.workbook.workbook_cutting import piece_cells

Data = dict[str, Any]
Said = Callable[[str], str]
_NEAR = 4  # decimals of a direction: a tenth of a mm over a metre
_KIND_WORDS = {
    "plane": "roof plane", "sheet": "roof sheet", "clear sheet": "clear sheet", "hole": "hole in the roof",
    "edge": "edge", "timber": "timber under the sheets", "gutter": "gutter", "downpipe": "downpipe", "wall": "wall",
    "opening": "opening", "board": "board", "wall sheet": "wall sheet", "batten": "batten", "upright": "upright face",
}  # fmt: skip
_LAYER_WORDS = {
    "sheets": "Sheets", "planes": "Planes", "edges": "Edges", "timber": "Purlins", "rain": "Gutters, pipes",
    "walls": "Walls, openings", "boards": "Boards, wall sheets", "battens": "Battens", "uprights": "Upright faces",
}  # fmt: skip


class _Once:
    """Things that stand once in a list, each known by its place."""

    def __init__(self) -> None:
        self.found: list[Any] = []
        self._places: dict[Any, int] = {}

    def place(self, key: object, make: Callable[[], Any]) -> int:
        """The place of what `key` stands for, made when it is first met."""
        if key not in self._places:
            self._places[key] = len(self.found)
            self.found.append(make())
        return self._places[key]


def page_data(takeoff: Takeoff, parts: Sequence[Part], said: Said) -> Data:
    """All that the page shows, ready to be written as JSON. `said` puts the trade's word into a text."""
    frames, workings, bases = _Once(), _Once(), _Once()
    placed = [_part(part, frames, workings, bases, said) for part in parts]
    return {
        "head": _head(takeoff),
        "words": {kind: said(word) for kind, word in _KIND_WORDS.items()},
        "layers": {layer: said(word) for layer, word in _LAYER_WORDS.items()},
        "frames": frames.found,
        "parts": placed,
        "names": _names(takeoff, parts),
        "workings": workings.found,
        "bases": bases.found,
        "lines": [_line(line, said) for line in takeoff.order.lines] if takeoff.order is not None else [],
        "planes": _planes(takeoff),
        "form": list(HEADINGS),
        "points": MARKING_OUT,
        "open": [said(words) for words in _open(takeoff)],
    }


def _head(takeoff: Takeoff) -> Data:
    block = title_block(takeoff, "", "")
    return {
        "job": block.job,
        "revision": block.revision,
        "date": block.date,
        "state": block.banner,
        "hash": takeoff.job_hash,
        "ordered": takeoff.order is not None,
        "north": round(radians(takeoff.job.north_deg), _NEAR),
    }


def _open(takeoff: Takeoff) -> list[str]:
    grave = (Severity.STOP, Severity.WARN)
    return [finding_words(finding) for finding in takeoff.findings if finding.severity in grave]


def _part(part: Part, frames: _Once, workings: _Once, bases: _Once, said: Said) -> Data:
    data: Data = {"m": plain(part.mark), "k": part.kind, "o": plain(part.on), "f": [said(fact) for fact in part.facts]}
    if part.frame is not None:
        frame = part.frame
        data["r"] = frames.place(id(frame), lambda: _frame(frame))
    if part.faces:
        data["a"] = [plain(face) for face in part.faces]
    if part.rings:
        data["g"] = [_flat(ring) for ring in part.rings]
        data["z"] = round(part.out_mm)
    if part.line:
        data["l"] = [round(value) for point in part.line for value in point]
        data["s"] = [round(part.wide_mm), round(part.deep_mm)]
    if part.working is not None:
        working = part.working
        data["w"] = workings.place(id(working), lambda: _working(working, bases, said))
    return data


def _frame(frame: Frame) -> list[float]:
    axes = (round(value, _NEAR) for axis in (frame.u, frame.v, frame.n) for value in axis)
    return [*(round(value, 1) for value in frame.origin_mm), *axes]


def _flat(ring: Ring2) -> list[int]:
    return [round(value) for point in ring for value in point]


def _working(working: Working, bases: _Once, said: Said) -> list[Any]:
    """The rule, then each term as its name, its value and the place of its basis (-1: measured on the shape)."""

    def basis(given: Basis | None) -> int:
        return -1 if given is None else bases.place(given, lambda: said(basis_words(given)))

    terms = [
        [said(name_words(term.name)), value_words(term.value, term.unit), basis(term.basis)] for term in working.terms
    ]
    return [said(plain(working.rule)), terms]


def _names(takeoff: Takeoff, parts: Sequence[Part]) -> Mapping[str, list[int]]:
    """Which parts a name on an order line stands for: its mark, else what it lies along."""
    found: dict[str, list[int]] = {}
    for place, part in enumerate(parts):
        for name in (part.mark, *part.names):
            found.setdefault(name, []).append(place)
    needs = (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs)
    for demand in (demand for need in needs for demand in need.demands):
        if demand.id not in found:
            along = next((ref for ref in demand.refs if ref in found), None)
            if along is not None:
                found[demand.id] = found[along]
    for pieces in cut_pieces(takeoff.order).values():
        for piece in pieces:
            if piece.id not in found and piece.run in found:
                found[piece.id] = found[piece.run]
    return {plain(name): places for name, places in found.items()}


def _line(line: OrderLine, said: Said) -> Data:
    each = f"x {whole(line.each_mm)} mm" if line.each_mm > 0.0 else line.unit
    total = f"{number(line.total, 2)} {line.total_unit}" if line.total_unit != line.unit else ""
    data: Data = {
        "i": line.id,
        "d": line.delivery,
        "t": said(plain(item_name(line.of))),
        "c": f"{number(line.count)} {each}",
    }
    more = {
        "s": total,
        "kg": f"{number(line.kg, 1)} kg" if line.kg > 0.0 else "",
        "n": said(plain(line.note)),
        "w": "labour, nothing to buy" if line.labour else "",
    }
    return data | {key: text for key, text in more.items() if text} | {"r": [plain(ref) for ref in line.refs]}


def _sheet(sheets: PlaneSheets, piece: SheetPiece, bought: str) -> Data:
    """A sheet of a plane as the cutting list has it: bought, sides, long point, cuts, rake, longer side; how it is
    marked out where two sides do not say it, and whether it is clear."""
    up, across, foot, top, rake, longer = piece_cells(piece, None)[5:11]
    row = {
        "l": whole(piece.left_mm),
        "r": whole(piece.right_mm),
        "p": f"{up:.0f}, {across:.0f} from left" if up is not None else "",
        "f": foot,
        "t": top,
        "a": f"{rake}°" if rake is not None else "",
        "h": longer,
        "c": marking_words(piece, sheets.overall_mm) if needs_points(piece) else "",
        "w": "clear sheet, not to be walked on" if piece.clear else "",
    }
    kept = {key: words for key, words in row.items() if words}
    return {"m": plain(piece.mark), "b": bought, "g": [_flat(ring) for ring in piece.cover_uv]} | kept


def _planes(takeoff: Takeoff) -> list[Data]:
    rows: dict[str, list[FormRow]] = {}
    for row in form_rows(takeoff):
        rows.setdefault(row.plane, []).append(row)
    bought = bought_words(takeoff)
    return [
        _plane(takeoff, roof, plane, rows.get(plane.id, []), bought)
        for roof in takeoff.roofs
        for plane in roof.planes
        if (sheets := takeoff.sheets_of(plane.id)) is not None and sheets.pieces
    ]


def _plane(takeoff: Takeoff, roof: Roof, plane: RoofPlane, rows: Sequence[FormRow], bought: Mapping[str, str]) -> Data:
    sheets = takeoff.sheets_of(plane.id)
    pieces = sheets.pieces if sheets is not None else ()
    edges = [
        [edge.id, *(round(value) for point in (edge.a_mm, edge.b_mm) for value in plane.frame.to_plane(point))]
        for edge in roof.edges_of(plane.id)
    ]
    return {
        "m": plain(plane.id),
        "t": f"{plain(roof.name)}, {side_words(plane)}, {number(plane.pitch_deg, 1)} degrees",
        "b": plain(sheets.start_edge) if sheets is not None else "",
        "a": sheets.start_side if sheets is not None else "",
        "g": [_flat(ring) for ring in plane.rings_uv],
        "e": edges,
        "s": [_sheet(sheets, piece, bought[piece.mark]) for piece in pieces] if sheets is not None else [],
        "x": [
            [row.item, whole(row.drawn_mm), row.where, "" if row.taped_mm is None else whole(row.taped_mm)]
            for row in rows
        ],
    }
