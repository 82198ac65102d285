"""The wind zone of a site, by the job's code, and what it is called in a table of another code."""

from __future__ import annotations

from takeoff.model.basis import SET_IN_JOB, Term
from takeoff.model.code_rules import RuleSet
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site
from takeoff.model.settings import Settings


def wind_zone(site: Site, settings: Settings) -> tuple[str, Term]:
    """The site's wind zone, else the default setting, with its basis."""
    if site.wind_zone is not None:
        return site.wind_zone, Term("wind zone", zone_words(site.wind_zone), "", SET_IN_JOB)
    name = "wind_zone_if_not_given"
    return settings.word(name), settings.term(name)


def zone_words(zone: str) -> str:
    """A zone as it is read out: very high, N3."""
    return zone.replace("_", " ")


def zone_finding(site: Site, settings: Settings) -> tuple[Finding, ...]:
    """A warning where the job gives no wind zone."""
    if site.wind_zone is not None:
        return ()
    taken = zone_words(settings.word("wind_zone_if_not_given"))
    names = [zone.id for zone in settings.rules.zones]
    return (
        Finding(
            "wind-zone-not-given",
            Severity.WARN,
            f"The job gives no wind zone: {taken} was taken for screws, purlin fixings and flashing cover.",
            f"Add to the job: `site: {{wind_zone: {settings.word('wind_zone_if_not_given')}}}`"
            + (f" (one of {', '.join(names)})." if names else "."),
        ),
    )


def zone_in(rules: RuleSet, zone: str, settings: Settings) -> str | None:
    """The job's zone as a zone of a code whose table is read: itself, or the calmest one of another code whose gust is
    no less; None where that code's zones end below it."""
    return settings.rules.as_zone_of(rules, zone)


def zone_term(rules: RuleSet, zone: str, settings: Settings) -> Term:
    """The zone that a table was read in, with the zone it stands for where that is another code's."""
    own = settings.rules
    if rules.id == own.id:
        return Term("wind zone", zone_words(zone), "")
    read = zone_in(rules, zone, settings)
    words = f"{zone_words(zone)}, read as {zone_words(read) if read else 'beyond all'} of {rules.name} by design gust"
    return Term("wind zone", words, "", own.zone_basis)
