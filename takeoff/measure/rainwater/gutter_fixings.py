"""What gutters, downpipes, fascia and barges are fixed and sealed with: screws, rivets, sealant, cement, nails.

Common practice, no source, every value a setting. A seam is a joint, a corner, a stop end or an outlet: metal is
riveted and sealed there, PVC cemented. Counts carry their spares; whole boxes are made where the order is made.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from takeoff.basics.rounding import count_up
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.runs import RunDemand

# what makes a seam: the id of its quantity, and what it is called in a working
SEAMS = {
    "gutter joiners": "joiners",
    "gutter expansion joints": "expansion joints",
    "gutter external corners": "external corners",
    "gutter internal corners": "internal corners",
    "gutter left stop ends": "left stop ends",
    "gutter right stop ends": "right stop ends",
    "gutter outlets": "outlets",
}


def seams_of(quantities: Sequence[Quantity]) -> Mapping[str, int]:
    """How many seams of each sort these gutter quantities make; sorts without any are left out."""
    figures = {quantity.id: round(quantity.figure) for quantity in quantities}
    return {name: figures[name] for name in SEAMS if figures.get(name)}


def gutter_fixings(quantities: Sequence[Quantity], chosen: Chosen) -> tuple[Quantity, ...]:
    """Rivets and sealant (PVC: cement) of the seams, and screws of the brackets, from the gutter's own quantities."""
    seams = seams_of(quantities)
    count = sum(seams.values())
    counted = tuple(Term(SEAMS[name], number, "each") for name, number in seams.items())
    brackets = next((round(q.figure) for q in quantities if q.id == "gutter brackets"), 0)
    found: list[Quantity] = []
    if count and chosen.gutter.system == "pvc":
        found.append(_whole("gutter cement", "Gutter cement", count, "gutter_cement_seams", "tin", counted, chosen))
    elif count:
        rivets = ("Gutter rivet", count, "gutter_seam_rivets", "rivet_spare_percent", "seams", counted)
        found.append(_spared(*rivets, chosen))
        found.append(_sealant(count, counted, chosen))
    if brackets:
        terms = (Term("brackets", brackets, "each"),)
        screws = ("Gutter bracket screw", brackets, "gutter_bracket_screws", "screw_spare_percent", "brackets", terms)
        found.append(_spared(*screws, chosen))
    return tuple(found)


def clip_screws(clips: int, chosen: Chosen) -> tuple[Quantity, ...]:
    """Screws of the downpipe clips."""
    if not clips:
        return ()
    terms = (Term("clips", clips, "each"),)
    return (
        _spared("Downpipe clip screw", clips, "downpipe_clip_screws", "screw_spare_percent", "clips", terms, chosen),
    )


def fascia_fixings(
    level: Sequence[RunDemand], raking: Sequence[RunDemand], metal: bool, supports_mm: float, chosen: Chosen
) -> tuple[Quantity, ...]:
    """Nails of boards and brackets of metal fascia, at ceil(length / spacing) + 1 places a length."""
    brackets = _places(level, supports_mm) if metal else 0
    nailed = _places(raking, chosen.settings.number("outrigger_spacing_mm"))
    nailed += 0 if metal else _places(level, supports_mm)
    found: list[Quantity] = []
    spacing = Term("spacing of supports", supports_mm, "mm")
    if brackets:
        rule = "each length of fascia: ceil(length / spacing) + 1"
        refs = tuple(demand.id for demand in level)
        working = Working(rule, (spacing,))
        found.append(Quantity("fascia brackets", "Fascia bracket with screw", float(brackets), "each", refs, working))
    if nailed:
        terms = (Term("places", nailed, "each"), spacing, chosen.settings.term("outrigger_spacing_mm"))
        found.append(_spared("Fascia nail", nailed, "fascia_nails", "screw_spare_percent", "places", terms, chosen))
    return tuple(found)


def _places(demands: Sequence[RunDemand], spacing_mm: float) -> int:
    return sum(max(1, count_up(demand.length_mm, spacing_mm)) + 1 for demand in demands)


def _spared(item: str, count: int, each: str, spare: str, of: str, terms: tuple[Term, ...], chosen: Chosen) -> Quantity:
    """`count` times what the setting `each` says, with the spares of the setting `spare`."""
    settings = chosen.settings
    exact = count * settings.number(each) * (1.0 + settings.number(spare) / 100.0)
    working = Working(f"{of} x so many each, with spares", (*terms, settings.term(each), settings.term(spare)))
    return Quantity(item.lower(), item, float(ceil(exact - 1e-9)), "each", (), working)


def _whole(
    item: str, name: str, count: int, holds: str, unit: str, terms: tuple[Term, ...], chosen: Chosen
) -> Quantity:
    number = max(1.0, chosen.settings.number(holds))
    working = Working(f"seams / what a {unit} serves, whole {unit}s", (*terms, chosen.settings.term(holds)))
    return Quantity(item, name, float(ceil(count / number - 1e-9)), unit, (), working)


def _sealant(count: int, terms: tuple[Term, ...], chosen: Chosen) -> Quantity:
    settings = chosen.settings
    bead = count * settings.number("gutter_seam_bead_mm")
    tubes = ceil(bead / max(1.0, settings.number("sealant_tube_mm")) - 1e-9)
    used = (*terms, settings.term("gutter_seam_bead_mm"), settings.term("sealant_tube_mm"))
    working = Working("seams x bead / bead a tube gives, whole tubes", used)
    return Quantity("gutter sealant", "Sealant for gutters, neutral cure, 300 mL", float(tubes), "tube", (), working)
