"""Values of another code that a job's figures rest on, where its own code is silent."""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings


def other_code_findings(settings: Settings, used: Iterable[str]) -> tuple[Finding, ...]:
    """A note where settings that were asked for hold for another country than the job's, with what they are about."""
    own = settings.rules.id
    names = dict.fromkeys(used)
    foreign = [settings.values[name] for name in names if settings.values[name].basis.code not in ("", own)]
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
