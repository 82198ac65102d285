"""Values of another code that a job's figures rest on, where its own code is silent."""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings


def other_code_findings(settings: Settings, used: Iterable[str]) -> tuple[Finding, ...]:
    """A note where settings that were asked for hold for another country than the job's, with what they are about."""
    foreign = settings.of_another_code(used)
    if not foreign:
        return ()
    sources = dict.fromkeys(setting.basis.source for setting in foreign)
    return (
        Finding(
            "value-of-another-code",
            Severity.NOTE,
            f"{len(foreign)} values are another country's, taken where the code of {settings.rules.name} is silent; "
            "the sheet Basis marks each.",
            "Check them against the local code.",
            source="; ".join(sources),
        ),
    )
