"""How far a flashing covers the roof: categories by wind zone and pitch, and the purlin row that the cover asks for.

Source of categories and values: the metal roofing code of practice, clause 8.3, as far as its table was seen.
"""

from __future__ import annotations

from dataclasses import dataclass

from takeoff.model.basis import SET_IN_JOB, Term
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site, WindZone
from takeoff.model.settings import Settings

# bands of pitch of the code's purlin position, upper limits [degrees]; steeper and flatter take the nearest
BANDS = ((15.0, "8_15"), (30.0, "15_30"), (45.0, "30_45"))
_LIMIT_DEG = 1e-6


@dataclass(frozen=True, slots=True)
class Cover:
    """Category of flashing cover: "a", "b" or "c", the term that says why, and what a person should ask."""

    category: str
    term: Term
    doubt: str = ""


def wind_zone(site: Site, settings: Settings) -> tuple[WindZone, Term]:
    """The site's wind zone, else the default setting, with its basis."""
    if site.wind_zone is not None:
        return site.wind_zone, Term("wind zone", site.wind_zone.value, "", SET_IN_JOB)
    return WindZone(settings.word("wind_zone_if_not_given")), settings.term("wind_zone_if_not_given")


def zone_finding(site: Site, settings: Settings) -> tuple[Finding, ...]:
    """A warning where the job gives no wind zone."""
    if site.wind_zone is not None:
        return ()
    taken = settings.word("wind_zone_if_not_given")
    return (
        Finding(
            "wind-zone-not-given",
            Severity.WARN,
            f"The job gives no wind zone: {taken.replace('_', ' ')} was taken for purlin fixings and flashing cover.",
            "Add to the job: `site: {wind_zone: high}` (or low, medium, very_high, extra_high).",
        ),
    )


def cover_category(zone: WindZone, pitch_deg: float, settings: Settings) -> Cover:
    """Category A, B or C by wind zone and pitch (code of practice 8.3), or as the setting `flashing_category` says.

    A is low, medium and high at all pitches, very and extra high from 10 degrees; B is very high below 8 degrees and
    extra high at all pitches; C is for specific design and only ever set. The code leaves a gap (very high, 8 to 10
    degrees) and an overlap (extra high from 10 degrees): both take B, the wider cover, and `doubt` says so.
    """
    fixed = settings.word("flashing_category")
    if fixed != "by_zone":
        return Cover(fixed, settings.term("flashing_category"))
    doubt = ""
    letter = "a"
    if zone is WindZone.EXTRA_HIGH:
        letter = "b"
        if pitch_deg >= 10.0 - _LIMIT_DEG:
            doubt = "extra high wind from 10 degrees stands under both category A and B: the wider cover B was taken"
    elif zone is WindZone.VERY_HIGH and pitch_deg < 10.0 - _LIMIT_DEG:
        letter = "b"
        if pitch_deg >= 8.0 - _LIMIT_DEG:
            doubt = "very high wind between 8 and 10 degrees stands under no category: the wider cover B was taken"
    code = settings.basis("flashing_category")
    return Cover(letter, Term("cover category", letter.upper(), "", code, zone.value.replace("_", " ")), doubt)


def pitch_band(pitch_deg: float) -> tuple[str, str]:
    """Band of the purlin-position table for a pitch, and words where the pitch is on a limit or outside the table.

    A pitch on the limit of two bands takes the lower band.
    """
    name = next((band for limit, band in BANDS if pitch_deg <= limit + _LIMIT_DEG), BANDS[-1][1])
    for limit, _ in BANDS[:-1]:
        if abs(pitch_deg - limit) <= _LIMIT_DEG:
            return name, f"{pitch_deg:g} degrees is the limit of two bands: the lower band was taken"
    if pitch_deg < 8.0 - _LIMIT_DEG or pitch_deg > 45.0 + _LIMIT_DEG:
        return name, f"{pitch_deg:g} degrees is outside the table of 8 to 45 degrees: the nearest band was taken"
    return name, ""


def flashing_row(zone: WindZone, pitch_deg: float, settings: Settings) -> tuple[float, tuple[Term, ...], str]:
    """Distance down the rake from a ridge, head wall or pitch change to the purlin under the flashing's edge [mm].

    Returns the distance, the terms behind it, and words where a limit or a gap of the table was met.
    """
    cover = cover_category(zone, pitch_deg, settings)
    band, words = pitch_band(pitch_deg)
    name = f"flashing_row_{cover.category}_{band}_mm"
    return settings.number(name), (cover.term, Term("pitch", pitch_deg, "deg"), settings.term(name)), words
