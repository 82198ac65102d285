"""Sheets as they are bought: one blank a piece, short pieces cut from a longer one; the mill's lines and totals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.items import Item
from takeoff.model.order import OrderLine
from takeoff.model.products import Profile, basis_of
from takeoff.model.settings import Settings
from takeoff.model.sheets import BlankPart, CutShape, PlaneSheets, SheetBlank, SheetGroup, SheetPiece

DELIVERY = "roof sheets"


@record
class SheetTotals:
    """Totals of a mill order: metres and kg are sums of the rounded lines.

    `bought_m2` is by cover, the last sheet of each plane by its overall width when it is counted so; `net_m2` is the
    sheeted area. `site_m`, `site_m2`: cut out of sheets that lie on the site.
    """

    bought_m: float
    bought_m2: float
    net_m2: float
    kg: float
    longest_mm: float
    site_m: float = 0.0
    site_m2: float = 0.0


def pieces_of(sheets: Iterable[PlaneSheets], profile_id: str) -> dict[str, SheetPiece]:
    """All pieces of a profile by mark, in the order they are laid."""
    return {p.mark: p for plane in sheets if plane.profile == profile_id for p in plane.pieces}


def plain_blanks(sheets: Sequence[PlaneSheets], profile: Profile, settings: Settings) -> tuple[SheetBlank, ...]:
    """One blank for every piece, longest first, short pieces in the blank they are cut from.

    A short piece that no longer one takes is bought at the mill's least run. Every piece stands in exactly one blank.
    """
    pieces = pieces_of(sheets, profile.id)
    guests = guests_of(pieces)
    least = settings.number("least_run_mm")
    blanks = []
    for mark, piece in pieces.items():
        if not piece.cut_from:
            blanks.append(with_guests((BlankPart(mark, 0.0, False),), piece.order_mm, guests.get(mark, ()), least))
    return numbered(blanks, profile)


def guests_of(pieces: Mapping[str, SheetPiece]) -> Mapping[str, tuple[SheetPiece, ...]]:
    """The short pieces cut from each longer one, by its mark."""
    found: dict[str, tuple[SheetPiece, ...]] = {}
    for piece in pieces.values():
        if piece.cut_from:
            found[piece.cut_from] = (*found.get(piece.cut_from, ()), piece)
    return found


def with_guests(
    parts: tuple[BlankPart, ...], length_mm: float, guests: Iterable[SheetPiece], least_run_mm: float
) -> SheetBlank:
    """A blank with short pieces added at its end, never shorter than the mill runs."""
    for guest in guests:
        parts = (*parts, BlankPart(guest.mark, length_mm, False))
        length_mm += guest.order_mm
    return SheetBlank("", "", max(length_mm, least_run_mm), parts)


def numbered(blanks: Iterable[SheetBlank], profile: Profile, where: str = "") -> tuple[SheetBlank, ...]:
    """Blanks of a profile, longest first (those of one length as they are laid), with their ids."""
    ordered = sorted(blanks, key=lambda blank: -blank.length_mm)
    return tuple(
        replace(blank, id=f"{profile.id}{where} {number:03d}", profile=profile.id)
        for number, blank in enumerate(ordered, start=1)
    )


def kg_per_m(profile: Profile, bmt_mm: float, settings: Settings) -> tuple[float, tuple[Term, ...]]:
    """Mass of a metre of sheet [kg]: the profile's own value for the thickness, else from its girth.

    girth x (thickness x 7.85 + coating): physics; paint is not counted.
    """
    for thickness, value in profile.kg_per_m.items():
        if abs(thickness - bmt_mm) < 1e-9:
            basis = basis_of(profile, "kg_per_m")
            return value, (Term("kg_per_m", value, "kg/m", basis, f"{bmt_mm:g} mm"),)
    steel, coating = settings.number("steel_kg_per_m2_mm"), settings.number("coating_kg_per_m2")
    value = profile.girth_mm / 1000.0 * (bmt_mm * steel + coating)
    basis = basis_of(profile, "girth_mm")
    return value, (
        Term("girth_mm", profile.girth_mm, "mm", basis),
        Term("bmt_mm", bmt_mm, "mm"),
        settings.term("steel_kg_per_m2_mm"),
        settings.term("coating_kg_per_m2"),
        Term("kg_per_m", round(value, 3), "kg/m", Basis(Status.DERIVED)),
    )


def mill_lines(
    blanks: Sequence[SheetBlank], group: SheetGroup, item: Item, settings: Settings
) -> tuple[OrderLine, ...]:
    """The mill order: quantity x length, longest first; total metres to 0.001 and kg to 0.1, rounded per line."""
    profile = group.profile
    pieces = pieces_of(group.planes, profile.id)
    mass, mass_terms = kg_per_m(profile, group.bmt_mm, settings)
    by_length: dict[float, list[SheetBlank]] = {}
    for blank in blanks:
        by_length.setdefault(blank.length_mm, []).append(blank)
    lines: list[OrderLine] = []
    for length in sorted(by_length, reverse=True):
        alike = by_length[length]
        metres = half_up(len(alike) * length / 1000.0, 3)
        kg = half_up(len(alike) * length / 1000.0 * mass, 1)
        marks = tuple(part.mark for blank in alike for part in blank.pieces)
        terms = (
            Term("sheets", len(alike), "each", ref=", ".join(blank.pieces[0].mark for blank in alike)),
            Term("length", length, "mm"),
            Term("metres", metres, "m"),
            *mass_terms,
            Term("kg", kg, "kg"),
        )
        working = Working("metres = sheets x length; kg = metres x mass of a metre", terms)
        lines.append(
            OrderLine(
                id=f"S-{profile.id}-{length:.0f}",
                delivery=DELIVERY,
                of=item,
                count=len(alike),
                unit="each",
                each_mm=length,
                total=metres,
                total_unit="m",
                kg=kg,
                refs=marks,
                working=working,
                note=_note(alike, pieces),
            )
        )
    return tuple(lines)


def _square(piece: SheetPiece) -> bool:
    return piece.top.shape is CutShape.SQUARE and piece.foot.shape is CutShape.SQUARE


def _note(blanks: Sequence[SheetBlank], pieces: Mapping[str, SheetPiece]) -> str:
    """What the site does with the blanks of one line."""
    notes: list[str] = []
    raked = sum(1 for blank in blanks for part in blank.pieces if not _square(pieces[part.mark]))
    if raked:
        notes.append("trim rakes on site")
    for blank in blanks:
        first, *rest = blank.pieces
        for part in rest:
            how = "turned, with" if part.turned or first.turned else "with"
            notes.append(
                f"{part.mark} cut from {first.mark}"
                if pieces[part.mark].cut_from
                else f"{part.mark} {how} {first.mark}"
            )
    return "; ".join(notes)


def sheet_totals(
    lines: Sequence[OrderLine],
    blanks: Sequence[SheetBlank],
    sheets: Sequence[PlaneSheets],
    profile: Profile,
    settings: Settings,
    site: Sequence[SheetBlank] = (),
) -> SheetTotals:
    """Metres, m2 bought by cover against m2 net, and mass of one profile; `site` are not bought."""
    wide = _last_sheets(sheets, profile.id) if settings.flag("count_by_overall") else frozenset()

    def covers(lengths: Sequence[SheetBlank]) -> float:
        widths = (
            profile.overall_mm if any(part.mark in wide for part in blank.pieces) else profile.cover_mm
            for blank in lengths
        )
        return half_up(sum(blank.length_mm * width for blank, width in zip(lengths, widths, strict=True)) / 1e6, 2)

    net = sum(plane.net_mm2 for plane in sheets if plane.profile == profile.id)
    return SheetTotals(
        bought_m=half_up(sum(line.total for line in lines), 3),
        bought_m2=covers(blanks),
        net_m2=half_up(net / 1e6, 2),
        kg=half_up(sum(line.kg for line in lines), 1),
        longest_mm=max((blank.length_mm for blank in blanks), default=0.0),
        site_m=half_up(sum(blank.length_mm for blank in site) / 1000.0, 3),
        site_m2=covers(site),
    )


def _last_sheets(sheets: Sequence[PlaneSheets], profile_id: str) -> frozenset[str]:
    """Marks of the sheets that cover with more than their cover width."""
    found: set[str] = set()
    for plane in sheets:
        if plane.profile != profile_id:
            continue
        for piece in plane.pieces:
            us = [u for ring in piece.cover_uv for u, _ in ring]
            if max(us) - min(us) > plane.cover_mm + 0.5:
                found.add(piece.mark)
    return frozenset(found)
