"""Quantities that are sold in whole rolls, boxes and tins, rounded up once where they are bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.settings import Settings

# item -> the setting that says how much a pack holds, and what the pack is called
SOLD_IN = {
    "safety_mesh": ("safety_mesh_roll_m2", "roll"),
    "board nail": ("board_nail_box", "box"),
    "batten nail": ("batten_nail_box", "box"),
    "base closer nail": ("closer_nail_box", "box"),
    "soffit nail": ("soffit_nail_box", "box"),
    "wall wrap staple": ("wrap_staple_box", "box"),
    "wall wrap tape": ("wrap_tape_roll_m", "roll"),
    "flashing tape for sills and jambs": ("opening_tape_roll_m", "roll"),
    "primer for cut ends": ("primer_tin_l", "tin"),
    "Gutter rivet": ("gutter_rivet_box", "box"),
    "Gutter bracket screw": ("gutter_screw_box", "box"),
    "Downpipe clip screw": ("gutter_screw_box", "box"),
    "Fascia nail": ("fascia_nail_box", "box"),
    **{f"purlin_fixing_{letter}": ("purlin_fixing_box", "box") for letter in "abcde"},
    "framing_nail": ("framing_nail_box", "box"),
    "underlay_staple": ("underlay_staple_box", "box"),
    "mesh_staple": ("mesh_staple_box", "box"),
    "underlay_tape": ("underlay_tape_roll_m", "roll"),
    "valley_clip": ("valley_clip_box", "box"),
}


def in_whole_packs(quantity: Quantity, settings: Settings) -> Quantity:
    """The quantity in whole packs where its item is sold so; as it is where not, or where the setting is 0.

    packs = ceil(measured / what a pack holds).
    """
    if quantity.item not in SOLD_IN:
        return quantity
    name, unit = SOLD_IN[quantity.item]
    holds = settings.number(name)
    if holds == 0.0:
        return quantity
    measured = Term("measured", quantity.figure, quantity.unit)
    working = Working(
        f"{quantity.working.rule}; in whole packs", (measured, settings.term(name), *quantity.working.terms)
    )
    return replace(quantity, figure=float(ceil(quantity.figure / holds - 1e-9)), unit=unit, working=working)


def pack_words(quantity: Quantity, settings: Settings) -> str:
    """What a pack holds, for the name on the order: ", roll of 90 m2"; "" where nothing is packed."""
    if quantity.item not in SOLD_IN:
        return ""
    name, unit = SOLD_IN[quantity.item]
    holds = settings.number(name)
    of = "" if quantity.unit == "each" else f" {quantity.unit}"
    return f", {unit} of {holds:g}{of}" if holds > 0.0 else ""


def merged(quantities: Sequence[Quantity]) -> tuple[Quantity, ...]:
    """Quantities with those of one packed item put together, so that several roofs share their boxes and rolls."""
    found: dict[tuple[str, str], Quantity] = {}
    for place, quantity in enumerate(quantities):
        key = (quantity.item, quantity.unit) if quantity.item in SOLD_IN else (str(place), "")
        other = found.get(key)
        if other is None:
            found[key] = quantity
            continue
        terms = tuple(dict.fromkeys((*other.working.terms, *quantity.working.terms)))
        found[key] = replace(
            other,
            figure=other.figure + quantity.figure,
            refs=tuple(dict.fromkeys((*other.refs, *quantity.refs))),
            working=Working(other.working.rule, terms),
        )
    return tuple(found.values())
