"""Movement of long flashings: caps longer than their metal may be without a joint, fixed or held by clips."""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.code_rules import ExpansionRow, RuleSet
from takeoff.model.edge_kinds import CAPPED_KINDS
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import FlashingRun
from takeoff.model.settings import Settings


def expansion_row(metal: str, rules: RuleSet) -> ExpansionRow | None:
    """The row of a metal in the code's table, else in that of the code that serves where it has none."""
    found = next((row for row in rules.expansion if row.metal == metal), None)
    return expansion_row(metal, rules.silent) if found is None and rules.silent is not None else found


def movement_findings(runs: Sequence[FlashingRun], settings: Settings) -> tuple[Finding, ...]:
    """A warning for each cap along a free high edge that is longer than the code's limit for fixed ones."""
    row = expansion_row(settings.word("flashing_metal"), settings.rules)
    if row is None:
        return ()
    return tuple(
        Finding(
            "flashing-movement",
            Severity.WARN,
            f"The cap on {run.edge} is {run.net_mm / 1000.0:.1f} m long; fixed, {row.metal} needs a joint for movement "
            f"every {row.fixed_mm / 1000.0:g} m, held by clips every {row.clipped_mm / 1000.0:g} m, and one within 2 m "
            "of corners.",
            "Put joints for movement in it, which are not in this order.",
            (run.edge,),
            source=row.basis.words(),
        )
        for run in runs
        if run.kind in CAPPED_KINDS and run.net_mm > row.fixed_mm + TOLERANCES.same_length_mm
    )
