"""How far a flashing covers the roof: categories by wind zone and pitch, and the purlin row that the cover asks for.

Categories by the table of the job's code; covers of each category: the metal roofing code of practice, clause 8.3,
as far as its table was seen.
"""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.wind import zone_in, zone_words
from takeoff.model.basis import Term
from takeoff.model.settings import Settings

# bands of pitch of the code's purlin position, upper limits [degrees]; steeper and flatter take the nearest
BANDS = ((15.0, "8_15"), (30.0, "15_30"), (45.0, "30_45"))
_LIMIT_DEG = TOLERANCES.limit_deg


@record
class Cover:
    """Category of flashing cover: "a", "b" or "c", the term that says why, and what a person should ask."""

    category: str
    term: Term
    doubt: str = ""


def cover_category(zone: str, pitch_deg: float, settings: Settings) -> Cover:
    """Category A, B or C by wind zone and pitch, or as the setting `flashing_category` says.

    By the table of the job's code, or of the one that serves where it has none; a zone beyond that table takes C, which
    is else for specific design and only ever set. Where two rows hold, the wider cover is taken and `doubt` says so.
    """
    fixed = settings.word("flashing_category")
    if fixed != "by_zone":
        return Cover(fixed, settings.term("flashing_category"))
    own = settings.rules
    rules = own if own.covers or own.silent is None else own.silent
    read = zone_in(rules, zone, settings)
    words = zone_words(zone)
    if read is None:
        doubt = f"{words} wind is beyond the table of {rules.name}: the widest cover, C, was taken"
        return Cover("c", Term("cover category", "C", "", settings.basis("flashing_category"), words), doubt)
    rows = [
        row
        for row in rules.covers
        if read in row.zones and row.from_deg - _LIMIT_DEG <= pitch_deg < row.below_deg - _LIMIT_DEG
    ]
    row = max(rows, key=lambda found: found.category, default=None)
    if row is None:
        return Cover(
            "b", settings.term("flashing_category"), f"no table gives a category for {words} wind: B was taken"
        )
    others = sorted({found.category.upper() for found in rows})
    doubt = ""
    if len(others) > 1:
        doubt = (
            f"{words} wind at {pitch_deg:.0f} degrees stands under categories {' and '.join(others)}: the wider cover "
            f"{others[-1]} was taken"
        )
    return Cover(row.category, Term("cover category", row.category.upper(), "", row.basis, words), doubt)


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


def flashing_row(zone: str, pitch_deg: float, settings: Settings) -> tuple[float, tuple[Term, ...], str]:
    """Distance down the rake from a ridge, head wall or pitch change to the purlin under the flashing's edge [mm].

    Returns the distance, the terms behind it, and words where a limit or a gap of the table was met.
    """
    cover = cover_category(zone, pitch_deg, settings)
    band, words = pitch_band(pitch_deg)
    name = f"flashing_row_{cover.category}_{band}_mm"
    return settings.number(name), (cover.term, Term("pitch", pitch_deg, "deg"), settings.term(name)), words
