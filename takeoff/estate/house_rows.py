"""What is kept of a house that was taken off: figures, findings, and what it buys by item. All read, nothing reckoned
but sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from takeoff.model.estate import FIGURES, SummedLine
from takeoff.model.findings import Finding
from takeoff.model.order import Takeoff
from takeoff.model.quantities import Quantities
from takeoff.write.words.item_names import item_name


def estate_figures(measured: Quantities) -> Mapping[str, float]:
    """The figures of `FIGURES` by name, each to its decimals."""
    found = measured.row
    pitches = [figure.value for figure in measured.parts if figure.unit == "degrees"]
    found |= {
        "corners": float(sum(map(len, measured.outlines_mm))),
        "planes": float(len(pitches)),
        "steepest_deg": max(pitches, default=0.0),
        "bought_over_net": found["sheets_m2"] / found["sheeted_m2"] if found["sheeted_m2"] > 0.0 else 0.0,
    }
    return {name: round(found[name], decimals) + 0.0 for name, decimals, _ in FIGURES}


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
