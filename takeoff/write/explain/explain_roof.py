"""Planes, edges, upright faces and sheets explained."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from takeoff.model.bought_lengths import bought_lengths
from takeoff.model.items import ItemKind
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.roof import Roof, RoofEdge, RoofPlane, UprightFace
from takeoff.model.sheets import EndCut, PlaneSheets, SheetPiece
from takeoff.write.drawings.check_dimensions import frame_words, tape_rows
from takeoff.write.explain.explanation import Entry, Explanation, explained, thing_words
from takeoff.write.words.cut_words import MARKING_OUT, SHAPE_WORDS, marking_words, needs_points, notch_words, raked
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import compass_words, number, over_words, plain, refs_words, whole
from takeoff.write.workbook.workbook_order import marks_words


def roof_entries(takeoff: Takeoff) -> Iterator[Entry]:
    """Planes, upright faces, edges and sheets, each with what explains it."""
    for roof in takeoff.roofs:
        for plane in roof.planes:
            yield plane.id, partial(_plane, takeoff, roof, plane)
        for upright in roof.uprights:
            yield upright.id, partial(_upright, takeoff, roof, upright)
        for edge in roof.own_edges:
            yield edge.id, partial(_edge, takeoff, edge)
    for sheets in takeoff.roofing.sheets:
        for piece in sheets.pieces:
            yield piece.mark, partial(_sheet, takeoff, sheets, piece)


def _plane(takeoff: Takeoff, roof: Roof, plane: RoofPlane) -> Explanation:
    own = roof.edges_of(plane.id)
    areas = f"{number(plane.area_mm2 / 1e6)} m2 on the slope, {number(plane.plan_area_mm2 / 1e6)} m2 in plan"
    edges = ", ".join(map(str, plane.outline_edges))
    facts = [
        f"{number(plane.pitch_deg, 2)} degrees, falls {compass_words(plane.bearing_deg)}, {areas}",
        f"rises from edge {edges} of roof {plain(roof.name)}" if edges else "",
        "taped: " + ", ".join(f"{name} {whole(mm)}" for name, mm in tape_rows(plane, own) if mm is not None) + " mm",
        frame_words(plane, own),
    ]
    sheets = takeoff.sheets_of(plane.id)
    workings = [quantity.working for quantity in takeoff.measures if quantity.refs == (plane.id,)]
    if sheets is not None and sheets.pieces:
        facts.append(
            f"{len(sheets.pieces)} sheets of {plain(sheets.profile)} on {number(sheets.net_mm2 / 1e6)} m2 net: "
            f"start {plain(sheets.start_edge)}. {over_words(sheets)}."
        )
        workings += [sheets.movement_working] if sheets.movement_working is not None else []
    refs = [edge.id for edge in roof.edges_of(plane.id)]
    return explained(takeoff, f"{plane.id}: roof plane", facts, workings, refs)


def _upright(takeoff: Takeoff, roof: Roof, upright: UprightFace) -> Explanation:
    facts = [f"{number(upright.area_mm2 / 1e6)} m2; it carries no sheets and is no part of the roof area"]
    if upright.outline_edge:
        facts.append(f"stands on edge {upright.outline_edge} of the job")
    edges = [edge.id for edge in roof.edges_of(upright.id)]
    return explained(takeoff, f"{upright.id}: {upright.kind.value}, an upright face", facts, (), edges)


def _edge(takeoff: Takeoff, edge: RoofEdge) -> Explanation:
    facts = [
        thing_words(edge),
        f"plan length {number(edge.plan_length_mm / 1000.0)} m, slope {number(edge.slope_deg, 1)} degrees",
    ]
    if len(edge.faces) > 1:
        bend = "opens downward" if edge.convex else "opens upward"
        facts.append(f"{number(edge.between_deg, 1)} degrees between the faces, {bend}")
    runs = [run for run in takeoff.roofing.flashings if run.edge == edge.id]
    for run in runs:
        facts.append(
            f"flashing {run.run}: net {whole(run.net_mm)} mm, dressings {whole(run.dress_a_mm)} and "
            f"{whole(run.dress_b_mm)} mm, girth {whole(run.girth_mm)} mm"
        )
    ends = [
        piece.mark
        for sheets in takeoff.roofing.sheets
        for piece in sheets.pieces
        if edge.id in (*piece.foot.edges, *piece.top.edges, *piece.beside)
    ]
    if ends:
        facts.append(f"sheets that end on it: {marks_words(tuple(ends))}")
    facts += _met(takeoff, edge)
    sums = [quantity.id for quantity in takeoff.measures if edge.id in quantity.refs]
    if sums:
        facts.append(f"counted in {', '.join(sums)}")
    return explained(takeoff, f"{edge.id}: {edge.kind.value}", facts, [run.working for run in runs], edge.faces)


def _met(takeoff: Takeoff, edge: RoofEdge) -> list[str]:
    """What joins its flashing to each that it meets, or why nothing need: a line an end, the lower or left first."""
    ends = ("left end", "right end") if edge.kind.row.level else ("foot", "head")
    lines = []
    for node, end in zip((edge.low, edge.high), ends, strict=True):
        met = [each for each in takeoff.roofing.meetings if each.node == node and edge.id in each.edges]
        words = []
        for each in met:
            other = next(name for name in each.edges if name != edge.id)
            words.append(f"{other} by {' and '.join(each.pieces)}" if each.pieces else f"{other}, {each.reason}")
        if words:
            lines.append(f"at its {end} the flashing meets {'; '.join(words)}")
    return lines


def _sheet(takeoff: Takeoff, sheets: PlaneSheets, piece: SheetPiece) -> Explanation:
    start = "left" if piece.start_side == "left" else "right"
    facts = [
        _bought_words(takeoff, piece),
        f"sides {whole(piece.left_mm)} mm left, {whole(piece.right_mm)} mm right, seen from below the eave",
        f"strip {piece.strip} from the {start}; its lap width lies on the {piece.lap_side}",
        f"foot {_cut(piece, piece.foot)}; top {_cut(piece, piece.top)}",
        notch_words(piece),
    ]
    if raked(piece):
        across, up = piece.long_point_mm
        facts.append(f"long point {whole(up)} mm above the foot, {whole(across)} mm from the left edge")
    if needs_points(piece):
        facts.append(f"cut {marking_words(piece, sheets.overall_mm)}. {MARKING_OUT}")
    corners = ", ".join(f"{whole(u)}/{whole(v)}" for u, v in piece.corners_mm)
    if corners:
        facts.append(f"corners, from the left edge / above the foot: {corners} mm")
    if piece.lap_mm:
        facts.append(f"lapped {whole(piece.lap_mm)} mm under the part above")
    facts += _bought(takeoff, piece)
    refs = [piece.plane, *piece.foot.edges, *piece.top.edges, *piece.beside]
    title = f"{piece.mark}: sheet on {piece.plane}, {plain(sheets.profile)}"
    return explained(takeoff, title, facts, [piece.working], refs)


def _bought_words(takeoff: Takeoff, piece: SheetPiece) -> str:
    """The length bought for a sheet, or whose length it comes out of, as the mill order and the lists say it."""
    reach = f"for a reach of {number(piece.reach_mm, 1)} mm"
    bought = bought_lengths(takeoff.order).get(piece.mark)
    if bought is None:
        return f"{whole(piece.order_mm)} mm if bought alone, {reach}; no order is given"
    if bought.length_mm is None:
        turned = ", turned end for end, face up" if bought.turned else ""
        if bought.from_site:
            return f"cut {plain(bought.words)}{turned}, not ordered, {reach}"
        return f"out of the length bought for {bought.cut_from}{turned}, {reach}"
    others = f", {refs_words(bought.others)} out of the same length" if bought.others else ""
    return f"bought {whole(bought.length_mm)} mm {reach}{others}"


def _bought(takeoff: Takeoff, piece: SheetPiece) -> list[str]:
    lines: tuple[OrderLine, ...] = takeoff.order.lines if takeoff.order is not None else ()
    return [
        f"order line {line.id}: {number(line.count)} x {whole(line.each_mm)} mm, {plain(item_name(line.of))}"
        for line in lines
        if piece.mark in line.refs and line.each_mm > 0.0 and line.of.kind in (ItemKind.SHEET, ItemKind.CLEAR_SHEET)
    ]


def _cut(piece: SheetPiece, cut: EndCut) -> str:
    words = "notched" if piece.notched and cut.kinked else SHAPE_WORDS[cut.shape]
    if cut.rake_deg and cut.shape.value != "square":
        words += f" {number(cut.rake_deg, 1)} degrees"
    if cut.hand:
        words += f", longer on the {cut.hand}"
    return f"{words} along {refs_words(cut.edges)}" if cut.edges else words
