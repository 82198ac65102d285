"""Closure of a written order, worked out from its data alone: polygons by a general library, lengths in integers.

Shares no code with the program: takeoff.json is read as any other program would read it.
"""

from __future__ import annotations

from collections import Counter
from math import cos, dist, radians
from typing import Any

from shapely.geometry import Polygon
from shapely.ops import unary_union

NEAR_MM = 1.0
JOINED_MM = 3.0  # corners nearer than this are made one, which is told; an edge is then as far off its planes
LEAST_M2 = 1e-4
MOST_TRIM_MM = (
    350.0  # how far sheets may end before an edge of their plane, or pass it, along the plane [common practice]
)
MOST_ALLOWED_MM = 400.0  # how much longer than its reach a sheet may be bought: allowance, steps


def faults_of(result: dict[str, Any], outline: Polygon | None = None) -> list[str]:
    """Everything that does not close, in words. `outline`: the roof's edge in plan [mm] as the case knows it."""
    found: list[str] = []
    for roof in result["roofs"]:
        found += plane_faults(roof)
        found += cover_faults(roof, outline if len(result["roofs"]) == 1 else None)
        found += edge_faults(roof)
    found += sheet_faults(result)
    if result["order"] is not None:
        found += blank_faults(result)
        found += bar_faults(result)
    return found


def _uv(plane: dict[str, Any]) -> Polygon:
    rings = plane["rings_uv"]
    return Polygon(rings[0], rings[1:])


def _place(frame: dict[str, Any], u: float, v: float) -> tuple[float, float, float]:
    return tuple(frame["origin_mm"][k] + u * frame["u"][k] + v * frame["v"][k] for k in range(3))  # type: ignore[return-value]


def _plan(plane: dict[str, Any]) -> Polygon:
    rings = [[_place(plane["frame"], *point)[:2] for point in ring] for ring in plane["rings_uv"]]
    return Polygon(rings[0], rings[1:])


def plane_faults(roof: dict[str, Any]) -> list[str]:
    """Area of a plane against its polygon, in plan against its pitch."""
    found = []
    for plane in roof["planes"]:
        area = _uv(plane).area
        if abs(area - plane["area_mm2"]) > 1e-6 * area + 100.0:
            found.append(f"{plane['id']}: area {plane['area_mm2']} but its polygon has {area}")
        if abs(area * cos(radians(plane["pitch_deg"])) - plane["plan_area_mm2"]) > 1e-5 * area + 1e4:
            found.append(f"{plane['id']}: plan area {plane['plan_area_mm2']} is not its area by its pitch")
    return found


def cover_faults(roof: dict[str, Any], outline: Polygon | None) -> list[str]:
    """Planes lie side by side and cover the outline once."""
    plans = [_plan(plane) for plane in roof["planes"]]
    union = unary_union(plans)
    total = sum(plan.area for plan in plans)
    found = []
    if abs(total - union.area) > 1e6 * LEAST_M2 * max(1, len(plans)) + 1e-7 * total:
        found.append(f"planes overlap by {(total - union.area) / 1e6:.4f} m2 in plan")
    if outline is not None:
        off = union.symmetric_difference(outline).area
        if off > 1e-6 * outline.area + outline.length * NEAR_MM:
            found.append(f"planes and outline differ by {off / 1e6:.4f} m2")
    return found


def edge_faults(roof: dict[str, Any]) -> list[str]:
    """Lengths of edges, edges that lie in their planes, and every side of every plane an edge once."""
    found = []
    frames = {plane["id"]: plane["frame"] for plane in roof["planes"]}
    sides = sum(_uv(plane).length for plane in roof["planes"])
    edges = 0.0
    for edge in roof["edges"]:
        length = dist(edge["a_mm"], edge["b_mm"])
        if abs(length - edge["length_mm"]) > 0.01:
            found.append(f"{edge['id']}: {edge['length_mm']} mm but its ends are {length} apart")
        for face in edge["faces"]:
            frame = frames.get(face)
            if frame is None:
                continue
            edges += length
            for end in (edge["a_mm"], edge["b_mm"]):
                off = sum((end[k] - frame["origin_mm"][k]) * frame["n"][k] for k in range(3))
                if abs(off) > JOINED_MM:
                    found.append(f"{edge['id']}: an end lies {off:.2f} mm off {face}")
    if roof["cut_away_mm2"] == 0 and abs(sides - edges) > 1e-6 * sides + NEAR_MM * len(roof["edges"]):
        found.append(f"sides of planes add up to {sides:.1f} mm, edges to {edges:.1f}")
    return found


def sheet_faults(result: dict[str, Any]) -> list[str]:
    """Sheets of a plane lie side by side, cover it but for trims, and are bought no shorter than they reach."""
    found = []
    planes = {plane["id"]: plane for roof in result["roofs"] for plane in roof["planes"]}
    for sheets in result["roofing"]["sheets"]:
        plane = planes.get(sheets["plane"])
        if plane is None:
            found.append(f"there are sheets of {sheets['plane']}, and no such plane")
            continue
        covers = [Polygon(ring) for piece in sheets["pieces"] for ring in piece["cover_uv"]]
        if not covers:
            continue
        union = unary_union([cover.buffer(0) for cover in covers])
        total = sum(cover.area for cover in covers)
        if all(piece["lap_mm"] == 0 for piece in sheets["pieces"]) and abs(total - union.area) > 1e-6 * total + 1e4:
            found.append(f"{sheets['plane']}: sheets overlap by {(total - union.area) / 1e6:.4f} m2")
        bare = _uv(plane).buffer(-MOST_TRIM_MM).difference(union.buffer(NEAR_MM))
        if bare.area > 1e6 * LEAST_M2 * 10:
            found.append(f"{sheets['plane']}: {bare.area / 1e6:.3f} m2 well inside it are not covered")
        past = union.difference(_uv(plane).buffer(MOST_TRIM_MM, join_style="mitre"))
        if past.area > 1e6 * LEAST_M2 * 10:
            found.append(f"{sheets['plane']}: {past.area / 1e6:.3f} m2 of sheets lie far outside it")
        for piece in sheets["pieces"]:
            heights = [point[1] for point in piece["outline_uv"]]
            reach = max(heights) - min(heights)
            if piece["order_mm"] < reach - NEAR_MM or piece["order_mm"] > reach + MOST_ALLOWED_MM:
                found.append(f"{piece['mark']}: bought {piece['order_mm']} mm for a reach of {reach:.1f}")
    return found


def sheet_items(result: dict[str, Any]) -> set[str]:
    """Ids of the items that are roof sheets, spare ones left out."""
    return {item["id"] for item in result["items"] if item["kind"] == "sheet"}


def blank_faults(result: dict[str, Any]) -> list[str]:
    """Every sheet is cut once, from a blank that is long enough; the order's lines are the blanks, length by length."""
    order, found = result["order"], []
    pieces = {p["mark"]: p for sheets in result["roofing"]["sheets"] for p in sheets["pieces"]}
    cut = Counter(part["mark"] for blank in order["blanks"] for part in blank["pieces"])
    found += [f"{mark} is cut {cut[mark]} times" for mark in pieces if cut[mark] != 1]
    found += [f"{mark} is cut and is no sheet" for mark in cut if mark not in pieces]
    for blank in order["blanks"]:
        for part in blank["pieces"]:
            piece = pieces.get(part["mark"])
            if (
                piece
                and part["start_mm"] + piece["reach_mm"] > blank["length_mm"] + NEAR_MM
                and len(blank["pieces"]) == 1
            ):
                found.append(f"{part['mark']}: reaches {piece['reach_mm']} mm, cut from {blank['length_mm']} mm")
    sheets = sheet_items(result)
    bought = Counter(round(blank["length_mm"]) for blank in order["blanks"])
    lines: Counter[int] = Counter()
    for line in order["lines"]:
        if line["item"] in sheets:
            lines[round(line["each_mm"])] += round(line["count"])
    found += [
        f"sheets of {mm} mm: {bought[mm]} cut, {lines[mm]} on the order"
        for mm in bought | lines
        if bought[mm] != lines[mm]
    ]
    return found


def bar_faults(result: dict[str, Any]) -> list[str]:
    """The pieces of a bar come out of it, each piece is cut once, and the order buys the bars."""
    order, found = result["order"], []
    for plan in order["plans"]:
        seen = Counter(piece["id"] for bar in plan["bars"] for piece in bar["pieces"])
        found += [f"{plan['item']}: {name} is cut {count} times" for name, count in seen.items() if count != 1]
        for bar in plan["bars"]:
            cut = sum(piece["length_mm"] for piece in bar["pieces"])
            if cut > bar["stock_mm"] + 1e-6 or any(piece["length_mm"] <= 0 for piece in bar["pieces"]):
                found.append(f"{plan['item']} bar {bar['number']}: {cut} mm cut from {bar['stock_mm']}")
        if plan["bought_mm"] != sum(bar["stock_mm"] for bar in plan["bars"]):
            found.append(f"{plan['item']}: bought {plan['bought_mm']} is not the sum of its bars")
        if plan["bought_mm"] < plan["bound_mm"]:
            found.append(f"{plan['item']}: bought {plan['bought_mm']} is below the bound {plan['bound_mm']}")
    cut = Counter((plan["item"], bar["stock_mm"]) for plan in order["plans"] for bar in plan["bars"])
    lines: Counter[tuple[str, int]] = Counter()
    sheets = sheet_items(result)
    for line in order["lines"]:
        if line["each_mm"] and line["item"] not in sheets and not line["labour"]:
            lines[(line["item"], line["each_mm"])] += round(line["count"])
    found += [
        f"{item} of {mm} mm: {count} cut, {lines[item, mm]} on the order"
        for (item, mm), count in cut.items()
        if lines[item, mm] < count
    ]
    return found
