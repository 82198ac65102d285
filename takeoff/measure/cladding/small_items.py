"""Small things a house is not clad without: tapes, staples and nails, by common practice; each spacing a setting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil

from takeoff.basics.rounding import count_up
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.nail_sizes import nail
from takeoff.measure.cladding.soffits import Soffit, rows_of
from takeoff.measure.cladding.wrap import wrap_laps
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made
from takeoff.model.products import Roll, basis_of
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings


def small_items(
    faces: Sequence[Face],
    feet: Sequence[float],
    battens: Iterable[RunDemand],
    soffits: Iterable[Soffit],
    roll: Roll,
    stud_mm: float,
    settings: Settings,
    batten_mm: float = 20.0,
) -> tuple[tuple[Quantity, ...], tuple[Made, ...]]:
    """Tapes [m], staples and nails [each] of all walls and soffits; lines without a figure are left out. With them the
    nails as items, by their size. feet: the stretches of base closer [mm]; batten_mm: how thick battens are."""
    refs = tuple(f"wall {face.wall}" for face in faces)
    nails = (
        nail("batten nail", batten_mm, "nail_diameter_mm", settings),
        nail("base closer nail", 0.0, "small_nail_diameter_mm", settings),
        nail("soffit nail", settings.number("soffit_sheet_thick_mm"), "small_nail_diameter_mm", settings),
    )
    found = [
        _opening_tape(faces, settings),
        _wrap_tape(faces, roll, settings),
        _staples(faces, refs, stud_mm, settings),
        _nails(nails[0], "batten_nail_mm", [run.length_mm for run in battens], refs, settings),
        _nails(nails[1], "closer_nail_mm", feet, refs, settings),
        _soffit_nails(nails[2], tuple(soffits), settings),
    ]
    return tuple(quantity for quantity in found if quantity.figure > 0.0), tuple(made for made, _ in nails)


def _opening_tape(faces: Iterable[Face], settings: Settings) -> Quantity:
    """Along every sill and up both jambs from it, and over both corners of the head."""
    up, corner = settings.number("opening_tape_up_mm"), settings.number("opening_tape_corner_mm")
    holes = [(face.wall, hole) for face in faces for hole in face.holes]
    metres = sum(hole.width + 2.0 * (min(up, hole.head - hole.foot) + corner) for _, hole in holes) / 1000.0
    rule = Working(
        "tape = width of each opening + 2 x (up the jamb from its sill + a corner of its head)",
        (
            Term("openings", len(holes), "each"),
            Term("widths of the openings", round(sum(hole.width for _, hole in holes) / 1000.0, 3), "m"),
            settings.term("opening_tape_up_mm"),
            settings.term("opening_tape_corner_mm"),
        ),
    )
    refs = tuple(dict.fromkeys(f"wall {wall}" for wall, _ in holes))
    return Quantity("cladding.opening_tape", "flashing tape for sills and jambs", metres, "m", refs, rule)


def _wrap_tape(faces: Sequence[Face], roll: Roll, settings: Settings) -> Quantity:
    metres = sum(wrap_laps(face, roll, settings) for face in faces)
    rule = Working(
        "tape = level laps of the wrap + the upright lap at the end of each strip",
        (Term("roll width", roll.width_mm, "mm", basis_of(roll, "width_mm"), roll.id),),
    )
    return Quantity(
        "cladding.wrap_tape", "wall wrap tape", metres, "m", tuple(f"wall {face.wall}" for face in faces), rule
    )


def _staples(faces: Sequence[Face], refs: tuple[str, ...], stud_mm: float, settings: Settings) -> Quantity:
    area = sum(face.gross_mm2 for face in faces)
    spacing, spare = settings.number("wrap_staple_mm"), settings.number("nail_spare_pct")
    count = ceil(area / (stud_mm * spacing) * (1.0 + spare / 100.0) - 1e-9)
    rule = Working(
        "staples = area of the walls / (stud spacing x spacing up a stud) x (1 + spare)",
        (
            Term("area of the walls, openings wrapped over", round(area / 1e6, 3), "m2"),
            Term("stud spacing", stud_mm, "mm"),
            settings.term("wrap_staple_mm"),
            settings.term("nail_spare_pct"),
        ),
    )
    return Quantity("cladding.wrap_staples", "wall wrap staple", count, "each", refs, rule)


def _nails(
    sized: tuple[Made, tuple[Term, ...]],
    spacing: str,
    lengths: Sequence[float],
    refs: tuple[str, ...],
    settings: Settings,
) -> Quantity:
    """One at both ends of each length and between them no further apart than a setting [each]."""
    spare = settings.number("nail_spare_pct")
    count = sum(count_up(length, settings.number(spacing)) + 1 for length in lengths)
    rule = Working(
        "nails = (ceil(length / spacing) + 1) for each piece, x (1 + spare)",
        (
            Term("pieces", len(lengths), "each"),
            Term("their lengths", round(sum(lengths) / 1000.0, 3), "m"),
            *sized[1],
            settings.term(spacing),
            settings.term("nail_spare_pct"),
        ),
    )
    figure = ceil(count * (1.0 + spare / 100.0) - 1e-9)
    slug = sized[0].of.replace(" ", "_")
    return Quantity(f"cladding.{slug}", sized[0].id, figure, "each", refs, rule)


def _soffit_nails(sized: tuple[Made, tuple[Term, ...]], soffits: Sequence[Soffit], settings: Settings) -> Quantity:
    """Along both edges of every soffit, of every row of sheets where it is wider than one."""
    edges = [soffit.length_mm for soffit in soffits for _ in range(2 * rows_of(soffit, settings))]
    return _nails(sized, "soffit_nail_mm", edges, tuple(soffit.edge for soffit in soffits), settings)


def not_counted() -> tuple[Finding, ...]:
    """What a clad wall takes besides, so that nobody believes it is in the figures."""
    return (
        Finding(
            code="cladding-not-counted",
            severity=Severity.NOTE,
            text="Walls: facings and jamb liners of windows and doors, sealant, air seals and paint are not counted.",
            advice="Order them with the joinery.",
        ),
        Finding(
            code="cladding-no-spare",
            severity=Severity.NOTE,
            text="Walls: the figures hold no allowance for faulty, split or damaged boards and trims.",
            advice="Add to the job what is usual, added once and shown apart: `rates: {extra_percent: {walls: 5}}`.",
        ),
    )
