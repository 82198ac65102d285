"""Which screws a roof's sheets take on a row: by profile, thickness, span and wind zone, from the job's code.

What the job sets (`screws_end`, `screws_middle`) prevails. A code that goes by the end of sheets gives two patterns,
one that goes by the wind gives one for every row; where it allows none the order stops, with what would be allowed.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.wind import zone_in, zone_term, zone_words
from takeoff.model.basis import Term
from takeoff.model.code_rules import NOT_ALLOWED, RuleSet, ScrewPattern, ScrewRow
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import RoofScrews
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.settings import Settings

_SLACK_MM = TOLERANCES.long_mm


def roof_screws(
    profile: Profile, bmt_mm: float, span_mm: float, zone: str, settings: Settings
) -> tuple[RoofScrews, tuple[Finding, ...]]:
    """Screws of a full sheet on rows at its ends and between, for sheets that span `span_mm` at most, and a finding
    where the code allows none or says nothing."""
    if profile.kind is ProfileKind.TRAY:
        return RoofScrews(1, 1, "one clip a rib", (), span_mm), ()
    if settings.given("screws_end") or settings.given("screws_middle"):
        return _as_set(profile, span_mm, settings), ()
    rules = _rules_for(profile, bmt_mm, settings.rules)
    if rules is None:
        return _as_set(profile, span_mm, settings), (_unknown(profile, bmt_mm, settings),)
    rows = _rows(profile, bmt_mm, rules)
    row = min((r for r in rows if _spans(r, span_mm)), key=lambda r: r.span_mm, default=None)
    names = _names(row, zone, rules, settings) if row is not None else None
    if row is None or names is None:
        stop = _not_allowed(profile, bmt_mm, span_mm, zone, rules, settings)
        return _as_set(profile, span_mm, settings), (stop,)
    end, between = (rules.pattern(name) for name in names)
    span = (Term("widest bay", round(span_mm), "mm"), zone_term(rules, zone, settings)) if row.by_zone else ()
    found = tuple(_pattern_term(pattern, row) for pattern in dict.fromkeys((end, between)))
    terms = (Term("metal", row.bmt_mm, "mm", row.basis), *span, *found)
    words = _words(end, between)
    return RoofScrews(_scaled(end, profile), _scaled(between, profile), words, terms, span_mm), ()


def _words(end: ScrewPattern, between: ScrewPattern) -> str:
    if end == between:
        return f"{end.id}: {end.says}, on every row"
    return f"{end.says} on rows at the ends of sheets; {between.says} on rows between"


def _pattern_term(pattern: ScrewPattern, row: ScrewRow) -> Term:
    basis = row.basis if row.by_zone else pattern.basis
    return Term(f"pattern {pattern.id}, {pattern.says}", pattern.screws, f"on {pattern.of} ribs", basis)


def _scaled(pattern: ScrewPattern, profile: Profile) -> int:
    """Screws on a full sheet: the pattern's share of its ribs."""
    return min(profile.crests, ceil(pattern.screws * profile.crests / pattern.of - 1e-9))


def _as_set(profile: Profile, span_mm: float, settings: Settings) -> RoofScrews:
    end, between = (min(profile.crests, round(settings.number(name))) for name in ("screws_end", "screws_middle"))
    terms = (settings.term("screws_end"), settings.term("screws_middle"))
    words = f"{end} a sheet on rows at the ends of sheets, {between} on rows between"
    return RoofScrews(end, between, words, terms, span_mm)


def _rules_for(profile: Profile, bmt_mm: float, rules: RuleSet) -> RuleSet | None:
    """The code that has a table for the profile: the job's, else the one that serves where that is silent."""
    if _rows(profile, bmt_mm, rules):
        return rules
    return _rules_for(profile, bmt_mm, rules.silent) if rules.silent is not None else None


def _rows(profile: Profile, bmt_mm: float, rules: RuleSet, thicker: bool = False) -> list[ScrewRow]:
    """Rows of the profile's nearest family: of the greatest thickness that is not over its own, or of all that are."""
    for family in profile.families:
        own = [r for r in rules.screws if r.family == family and r.least_depth_mm <= profile.depth_mm + 1e-9]
        thin = [row for row in own if row.bmt_mm <= bmt_mm + 1e-9]
        if thin:
            bmt = max(row.bmt_mm for row in thin)
            return [row for row in own if (row.bmt_mm >= bmt if thicker else row.bmt_mm == bmt)]
    return []


def _spans(row: ScrewRow, span_mm: float) -> bool:
    return row.span_mm == 0.0 or span_mm <= row.span_mm + _SLACK_MM


def _names(row: ScrewRow, zone: str, rules: RuleSet, settings: Settings) -> tuple[str, str] | None:
    """Names of the patterns on end rows and between; None where the row allows none in this zone."""
    if not row.by_zone:
        return row.end, row.internal
    read = zone_in(rules, zone, settings)
    if read is None:
        return None
    name = row.by_zone[[found.id for found in rules.zones].index(read)]
    return None if name == NOT_ALLOWED else (name, name)


def _not_allowed(
    profile: Profile, bmt_mm: float, span_mm: float, zone: str, rules: RuleSet, settings: Settings
) -> Finding:
    rows = _rows(profile, bmt_mm, rules, thicker=True)
    cure = _cure([row for row in rows if _names(row, zone, rules, settings) is not None])
    return Finding(
        "screws-not-allowed",
        Severity.STOP,
        f"{profile.name} of {bmt_mm:.2f} mm on purlins up to {span_mm:.0f} mm apart: the code allows no fixing in a "
        f"{zone_words(zone)} wind zone.",
        cure or "Have the fixing designed, and add it: `settings: {screws_end: 5, screws_middle: 3}`.",
        source=rows[0].basis.words(),
    )


def _cure(allowed: Sequence[ScrewRow]) -> str:
    """What would be allowed: for each thickness the widest span."""
    widest: dict[float, float] = {}
    for row in allowed:
        widest[row.bmt_mm] = max(widest.get(row.bmt_mm, 0.0), row.span_mm)
    ways = [f"{bmt:.2f} mm sheet on purlins at {span:g} mm" for bmt, span in widest.items()]
    return f"Allowed there: {' or '.join(ways)}, or closer." if ways else ""


def _unknown(profile: Profile, bmt_mm: float, settings: Settings) -> Finding:
    end, between = (settings.number(name) for name in ("screws_end", "screws_middle"))
    return Finding(
        "screw-pattern-not-known",
        Severity.WARN,
        f"No code gives a screw pattern for {profile.name} of {bmt_mm:.2f} mm, {profile.depth_mm:g} mm deep: "
        f"screws are counted as {end:g} a sheet on end rows, {between:g} between.",
        "Add what its maker's table says for the wind zone: `settings: {screws_end: 5, screws_middle: 3}`.",
        source=settings.basis("screws_end").words(),
    )
