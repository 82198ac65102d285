"""How many roof screws, clips and clear-sheet screws, row by row and in boxes, and how long a screw is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil

from takeoff.basics.records import record
from takeoff.measure.roofing.fixings.boxes import boxed
from takeoff.measure.roofing.fixings.screw_rows import Crossing, screw_crossings
from takeoff.measure.terms import product_term
from takeoff.model.basis import Quantity, Term
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import PlaneScrews, PurlinLine, RoofScrews
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets

_RULE = "crossings of sheets and rows by the pattern"


@record
class ScrewLength:
    """Length of a roof screw [mm], what it must hold in the timber, and the terms behind it."""

    mm: int
    hold_mm: float
    terms: tuple[Term, ...]


def screw_length(profile: Profile, settings: Settings) -> ScrewLength:
    """The job's length, else the shortest sold that goes through the profile and what lies on the purlin and holds."""
    diameters = settings.number("screw_embedment_diameters") * settings.number("roof_screw_diameter_mm")
    hold = max(settings.number("screw_embedment_mm"), diameters)
    over = settings.number("over_purlin_mm")
    given = settings.number("roof_screw_length_mm")
    if given > 0.0:
        return ScrewLength(round(given), hold, (settings.term("roof_screw_length_mm"),))
    sold = [int(word) for word in settings.word("roof_screw_lengths").split()]
    need = profile.depth_mm + over + hold
    length = next((mm for mm in sorted(sold) if mm >= need - 1e-9), max(sold))
    depth = product_term(profile, "depth_mm", profile.depth_mm, "mm")
    terms = (depth, settings.term("over_purlin_mm"), Term("hold", hold, "mm", settings.basis("screw_embedment_mm")))
    return ScrewLength(length, hold, (*terms, settings.term("roof_screw_lengths")))


def plane_screws(
    sheets: Sequence[PlaneSheets],
    lines: Sequence[PurlinLine],
    settings: Settings,
    profiles: Mapping[str, Profile],
    screws: Mapping[str, RoofScrews],
) -> tuple[PlaneScrews, ...]:
    """The screws of each plane row by row; planes without sheets are left out."""
    found = []
    for plane in sheets:
        profile, pattern = profiles[plane.profile], screws[plane.plane]
        crossings = screw_crossings(plane, lines, profile, pattern, settings.flag("lap_is_end"))
        rows: dict[str, int] = {}
        for crossing in crossings:
            rows[_row_name(crossing)] = rows.get(_row_name(crossing), 0) + crossing.screws
        if rows:
            length = 0 if profile.kind is ProfileKind.TRAY else screw_length(profile, settings).mm
            found.append(
                PlaneScrews(plane.plane, pattern.words, pattern.end, pattern.between, length, tuple(rows.items()))
            )
    return tuple(found)


def _row_name(crossing: Crossing) -> str:
    if crossing.role in ("hip trimmer", "valley board"):
        return f"{crossing.role}s"
    return f"row {crossing.row}" + ("" if crossing.role == "purlin" else f", {crossing.role}")


def screw_quantities(
    planes: Sequence[PlaneScrews], screws: Mapping[str, RoofScrews], settings: Settings
) -> Iterator[Quantity]:
    """Boxes of screws of each length, and of clips, each with the counts of its rows."""
    for length in dict.fromkeys(plane.length_mm for plane in planes):
        own = [plane for plane in planes if plane.length_mm == length]
        item = roof_screw_item(length) if length else "sheet_clip"
        rows = [(plane.plane, name, count) for plane in own for name, count in plane.rows]
        counts = [Term(f"{plane}: {name}", count, "each", ref=plane) for plane, name, count in rows]
        total = sum(count for _, _, count in rows)
        refs = tuple(plane.plane for plane in own)
        patterns = {term: None for plane in own for term in screws[plane.plane].terms}
        yield from boxed(item, total, "screw_spare_percent", "screw_box", refs, _RULE, settings, *counts, *patterns)


def roof_screw_item(length_mm: int) -> str:
    """The item that a roof screw of a length is on the order."""
    return f"roof_screw_{length_mm}"


def clear_screws(
    clear: Sequence[PlaneSheets],
    lines: Sequence[PurlinLine],
    settings: Settings,
    profiles: Mapping[str, Profile],
    screws: Mapping[str, RoofScrews],
) -> list[Quantity]:
    """Screws with wide washers of clear sheets: one number on every row, never fewer than the metal beside them has; a
    sheet that crosses a row with part of its width has that part."""
    total, refs = 0, []
    for plane in clear:
        profile, metal = profiles[plane.profile], screws.get(plane.plane)
        beside = max(metal.end, metal.between) if metal is not None else 0
        each = min(profile.crests, max(round(settings.number("rooflight_screws")), beside))
        own = RoofScrews(each, each, "", ())
        total += sum(crossing.screws for crossing in screw_crossings(plane, lines, profile, own))
        refs += [piece.mark for piece in plane.pieces]
    rule = "crossings of clear sheets and rows by one pattern, no fewer than the metal has; the maker's table prevails"
    term = settings.term("rooflight_screws")
    return boxed(
        "rooflight_screw", total, "screw_spare_percent", "rooflight_screw_box", tuple(refs), rule, settings, term
    )


def length_findings(
    sheets: Sequence[PlaneSheets], settings: Settings, profiles: Mapping[str, Profile], timber_mm: float
) -> tuple[Finding, ...]:
    """Warnings for each profile that the roof screw is too short for, and for timber too thin to hold any screw.

    `timber_mm`: depth of the purlins; 0 where it is not known.
    """
    found: list[Finding] = []
    for profile_id in dict.fromkeys(plane.profile for plane in sheets if plane.pieces):
        profile = profiles[profile_id]
        if profile.kind is not ProfileKind.TRAY:
            planes = tuple(plane.plane for plane in sheets if plane.profile == profile_id)
            found += _too_short(profile, planes, settings)
    least = screw_length(next(iter(profiles.values())), settings).hold_mm
    if found or not sheets or not 0.0 < timber_mm < least - 1e-9:
        return tuple(found)
    text = f"Purlins {timber_mm:.0f} mm deep hold a roof screw by less than the {least:.0f} mm it needs."
    source = settings.basis("screw_embedment_mm").words()
    return (Finding("purlin-too-thin", Severity.WARN, text, "Take a deeper purlin.", source=source),)


def _too_short(profile: Profile, planes: tuple[str, ...], settings: Settings) -> list[Finding]:
    length = screw_length(profile, settings)
    hold = length.mm - profile.depth_mm - settings.number("over_purlin_mm")
    if hold >= length.hold_mm - 1e-9:
        return []
    enough = 5 * ceil((length.mm + length.hold_mm - hold) / 5)
    return [
        Finding(
            "screw-too-short",
            Severity.WARN,
            f"A roof screw of {length.mm} mm through {profile.name} ({profile.depth_mm:g} mm deep) holds "
            f"{hold:.0f} mm in the purlin; the least is {length.hold_mm:.0f}.",
            f"Take a longer screw: `settings: {{roof_screw_length_mm: {enough}}}`.",
            planes,
            source=settings.basis("screw_embedment_mm").words(),
        )
    ]
