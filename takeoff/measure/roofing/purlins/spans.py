"""How far sheets may span: end bays by the gauge or by the code's table, and what the code and feet allow between."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, TypeVar

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import Term
from takeoff.model.code_rules import FootRow, RuleSet, SpanRow
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Profile
from takeoff.model.settings import Settings


class _ByThickness(Protocol):
    @property
    def family(self) -> str: ...

    @property
    def bmt_mm(self) -> float: ...


Row = TypeVar("Row", bound=_ByThickness)


@record
class SpanLimits:
    """Spans of a roof's sheets [mm]: the end bay rows are set out by, the code's longest end and intermediate spans (0:
    it gives none), what may be walked on, and the terms behind them."""

    name: str
    end_mm: float
    code_end_mm: float
    internal_mm: float
    on_foot: FootRow | None
    row: SpanRow | None
    terms: tuple[Term, ...]


def thickest(rows: Sequence[Row], profile: Profile, bmt_mm: float) -> Row | None:
    """The row of a profile's nearest family with the greatest thickness that is not over its own."""
    for family in profile.families:
        own = [row for row in rows if row.family == family and row.bmt_mm <= bmt_mm + 1e-9]
        if own:
            return max(own, key=lambda row: row.bmt_mm)
    return None


def span_limits(profile: Profile, bmt_mm: float, gauge_mm: float, settings: Settings) -> SpanLimits:
    """The spans that hold for a profile in a thickness on purlins at a gauge.

    An end bay is at most the code's share of the gauge, and its table's end span where it has one; the job's own edge
    bay prevails.
    """
    rules = settings.rules
    row = thickest(rules.spans, profile, bmt_mm)
    code_end = min(gauge_mm * settings.number("end_span_share"), row.end_mm if row else gauge_mm)
    terms = [settings.term("end_span_share")]
    if row is not None:
        terms.append(Term("longest end span", row.end_mm, "mm", row.basis))
    end = settings.number("purlin_edge_bay_mm")
    if end > 0.0:
        terms.append(settings.term("purlin_edge_bay_mm"))
    name = f"{profile.name}, {bmt_mm:.2f} mm"
    chosen = min(end, gauge_mm) if end > 0.0 else code_end
    on_foot = _on_foot(profile, bmt_mm, rules)
    return SpanLimits(name, chosen, code_end, row.internal_mm if row else 0.0, on_foot, row, tuple(terms))


def _on_foot(profile: Profile, bmt_mm: float, rules: RuleSet) -> FootRow | None:
    found = thickest(rules.on_foot, profile, bmt_mm)
    if found is None and rules.silent is not None and not rules.on_foot:
        return _on_foot(profile, bmt_mm, rules.silent)
    return found


def span_findings(limits: SpanLimits, gauge_mm: float, widest_mm: float, settings: Settings) -> tuple[Finding, ...]:
    """A stop where sheets span further than the code's table, warnings where the job's end bay is over the code's and
    where the roof is not to be walked on or only over its purlins."""
    widest = widest_mm or gauge_mm
    return (*_too_far(limits, widest), *_end_bay(limits, settings), *_traffic(limits, widest))


def _too_far(limits: SpanLimits, widest_mm: float) -> tuple[Finding, ...]:
    row = limits.row
    if row is None or widest_mm <= row.internal_mm + TOLERANCES.same_point_mm:
        return ()
    return (
        Finding(
            "span-over-code",
            Severity.STOP,
            f"{limits.name} spans {widest_mm:.0f} mm; the code's longest intermediate span is {row.internal_mm:g} mm "
            f"and its longest end span {row.end_mm:g} mm.",
            f"Close the purlins, `purlins: {{spacing_mm: {row.internal_mm:g}}}` or less, or take a profile that spans "
            "further.",
            source=row.basis.words(),
        ),
    )


def _end_bay(limits: SpanLimits, settings: Settings) -> tuple[Finding, ...]:
    if limits.end_mm <= limits.code_end_mm + TOLERANCES.same_point_mm:
        return ()
    basis = limits.row.basis if limits.row is not None else settings.basis("end_span_share")
    return (
        Finding(
            "end-bay-over-code",
            Severity.WARN,
            f"End bays of {limits.end_mm:.0f} mm are set; the code's most is {limits.code_end_mm:.0f}.",
            f"Take the code's: `settings: {{purlin_edge_bay_mm: {int(limits.code_end_mm)}}}` or less.",
            source=basis.words(),
        ),
    )


def _traffic(limits: SpanLimits, widest_mm: float) -> tuple[Finding, ...]:
    row = limits.on_foot
    if row is None or widest_mm <= row.unrestricted_mm + TOLERANCES.same_point_mm:
        return ()
    if widest_mm <= row.restricted_mm + TOLERANCES.same_point_mm:
        return (
            Finding(
                "restricted-foot-traffic",
                Severity.NOTE,
                f"{limits.name} spans {widest_mm:.0f} mm: to be walked on with care only, over the purlins.",
                _walk_cure(row),
                source=row.basis.words(),
            ),
        )
    return (
        Finding(
            "no-foot-traffic",
            Severity.WARN,
            f"{limits.name} spans {widest_mm:.0f} mm, over the {row.restricted_mm:g} mm at which it carries a person: "
            "not to be walked on.",
            _walk_cure(row),
            source=row.basis.words(),
        ),
    )


def _walk_cure(row: FootRow) -> str:
    if row.unrestricted_mm > 0.0:
        return f"Purlins at {row.unrestricted_mm:g} mm or less may be walked between."
    return f"Take thicker sheet for free access; {row.bmt_mm:.2f} mm has none at any span."
