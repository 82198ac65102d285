"""Values of another code that a job's figures rest on, where its own code is silent."""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings


def other_code_findings(settings: Settings, used: Iterable[str]) -> tuple[Finding, ...]:
    """A note where settings that were asked for hold for another country than the job's, with what they are about."""
    own = settings.rules.id
    bases = [settings.basis(name) for name in dict.fromkeys(used)]
    foreign = [basis for basis in bases if basis.code not in ("", own)]
    if not foreign:
        return ()
    sources = dict.fromkeys(basis.source for basis in foreign)
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
