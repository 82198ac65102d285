"""What is kept of a house that was taken off: figures, findings, and what it buys by item. All read, nothing reckoned
but sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from takeoff.model.estate import FIGURES, SummedLine
from takeoff.model.findings import Finding
from takeoff.model.order import Takeoff
from takeoff.write.words.item_names import item_name

_EDGES = ("eave", "verge", "ridge", "hip", "valley")


def house_figures(takeoff: Takeoff) -> Mapping[str, float]:
    """The figures of `FIGURES` by name, each to its decimals."""
    found = {**_shape(takeoff), **_sheets(takeoff), **_measured(takeoff)}
    return {name: round(found[name], decimals) + 0.0 for name, decimals, _ in FIGURES}


def _shape(takeoff: Takeoff) -> dict[str, float]:
    planes = [plane for roof in takeoff.roofs for plane in roof.planes]
    found = {f"{kind}_m": 0.0 for kind in _EDGES}
    for quantity in takeoff.measures:
        what, _, rest = quantity.id.partition(".")
        kind = rest.rpartition(".")[2]
        if what == "length" and kind in _EDGES:
            found[f"{kind}_m"] += quantity.figure
    return found | {
        "corners": float(sum(len(ring) for roof in takeoff.roofs for ring in roof.outline_mm)),
        "planes": float(len(planes)),
        "roof_m2": sum(plane.area_mm2 for plane in planes) / 1e6,
        "roof_plan_m2": sum(plane.plan_area_mm2 for plane in planes) / 1e6,
        "steepest_deg": max((plane.pitch_deg for plane in planes), default=0.0),
    }


def _sheets(takeoff: Takeoff) -> dict[str, float]:
    sheeted = takeoff.roofing.sheets
    ordered = [(piece.order_mm, plane.cover_mm) for plane in sheeted for piece in plane.pieces if not piece.cut_from]
    bought_m2 = sum(length * cover for length, cover in ordered) / 1e6
    net_m2 = sum(plane.net_mm2 for plane in sheeted) / 1e6
    return {
        "sheets": float(sum(len(plane.pieces) for plane in sheeted)),
        "sheet_m": sum(length for length, _ in ordered) / 1e3,
        "sheet_bought_m2": bought_m2,
        "sheeted_m2": net_m2,
        "bought_over_net": bought_m2 / net_m2 if net_m2 > 0.0 else 0.0,
    }


def _measured(takeoff: Takeoff) -> dict[str, float]:
    water, boards = takeoff.rainwater, takeoff.cladding.boards
    return {
        "purlin_m": sum(abs(line.b_uv[0] - line.a_uv[0]) for line in takeoff.roofing.purlins if line.role == "purlin")
        / 1e3,
        "gutter_m": sum(leg.length_mm for run in water.gutters for leg in run.legs) / 1e3,
        "downpipes": float(sum(len(plan.pipes) for plan in water.downpipes)),
        "catchment_m2": sum(run.own_catchment_mm2 for run in water.gutters) / 1e6,
        "wall_gross_m2": sum(zone.gross_mm2 for zone in boards) / 1e6,
        "wall_net_m2": sum(zone.net_mm2 for zone in boards) / 1e6,
        "board_m": sum(piece.length_mm for zone in boards for piece in zone.pieces) / 1e3,
    }


def house_findings(findings: Iterable[Finding]) -> Mapping[str, tuple[str, int]]:
    """Findings by code: severity and how many."""
    found: dict[str, tuple[str, int]] = {}
    for finding in findings:
        _, count = found.get(finding.code, ("", 0))
        found[finding.code] = (finding.severity.value, count + 1)
    return dict(sorted(found.items()))


def summed_lines(takeoff: Takeoff) -> tuple[SummedLine, ...]:
    """What is bought, labour left out, added up by delivery and item over all lengths."""
    found: dict[tuple[str, str, str, str], list[float]] = {}
    names: dict[str, str] = {}
    for line in takeoff.order.lines if takeoff.order is not None else ():
        if line.labour:
            continue
        names.setdefault(line.item, item_name(line.of))
        sums = found.setdefault((line.delivery, line.item, line.unit, line.total_unit), [0.0, 0.0, 0.0])
        for at, figure in enumerate((line.count, line.total, line.kg)):
            sums[at] += figure
    return tuple(
        SummedLine(delivery, item, names[item], round(count, 3), unit, round(total, 3), total_unit, round(kg, 3))
        for (delivery, item, unit, total_unit), (count, total, kg) in found.items()
    )
