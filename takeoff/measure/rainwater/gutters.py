"""What gutters are made of: lengths with their corners, stop ends, brackets, joiners, outlets.

Site-mitred corners: the front of the gutter is longer than its back at an external corner by width / tan(angle / 2)
a leg, the width itself at 90 degrees; at an internal corner the back is the longer side. Corner fittings take their
legs off instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import radians, tan

from takeoff.basics.rounding import count_up
from takeoff.measure.item_book import called
from takeoff.measure.rainwater.by_code import PVC, bracket_spacing, longest_without_joint, movement_rate
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.gutter_fixings import gutter_fixings
from takeoff.measure.rainwater.roof_ends import outside_roofs
from takeoff.measure.rainwater.stretches import End, Stretch, stretches
from takeoff.measure.terms import run_working
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import DownpipePlan, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made
from takeoff.model.measured import Need
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice


def corner_allowance_mm(width_mm: float, angle_deg: float) -> float:
    """How far the front of a gutter of `width_mm` runs past the fascia's external corner [mm]: width / tan(angle / 2).

    >>> round(corner_allowance_mm(125, 90), 6)
    125.0
    """
    return width_mm / tan(radians(angle_deg) / 2.0)


def gutter_need(
    gutters: Sequence[GutterRun],
    plans: Sequence[DownpipePlan],
    longest_mm: float | None,
    chosen: Chosen,
    roofs: Sequence[Roof] = (),
) -> Need:
    """Everything the spouting takes. Internal gutters are left out: they are not made of spouting. `roofs`: those that
    a gutter may run into, joined where they share edges."""
    spouting = [run for run in gutters if not run.internal]
    parts = tuple(part for run in spouting for part in stretches(run))
    if not parts:
        return Need("rainwater")
    sole = chosen.settings.number("gutter_sole_below_eave_mm")
    parts, shortened = outside_roofs(parts, roofs, sole, chosen.gutter.width_mm)
    item = f"gutter {chosen.gutter.id}"
    demands = tuple(_demand(part, item, chosen) for part in parts)
    lengths = within_longest(chosen.gutter.lengths_mm, longest_mm)
    outlets = {plan.run: plan.count for plan in plans}
    counted = [
        _corners("external", spouting, chosen),
        _corners("internal", spouting, chosen),
        *(_stop_ends(hand, spouting) for hand in ("left", "right")),
        _brackets(parts, chosen),
        _expansion(parts, chosen),
        _joiners(demands, lengths, parts, chosen),
        _each(
            "gutter outlets",
            "Gutter outlet",
            [(run.id, outlets.get(run.id, 0)) for run in spouting],
            "one outlet a downpipe",
        ),
    ]
    quantities = tuple(quantity for quantity in counted if quantity.figure > 0)
    return Need(
        trade="rainwater",
        quantities=(*quantities, *gutter_fixings(quantities, chosen)),
        demands=demands,
        stock=(StockChoice(item, lengths),),
        items=(Made(item, "gutter", called(chosen.gutter.name), chosen.gutter.id),),
        findings=(*_notes(parts, chosen), *shortened),
    )


def within_longest(lengths_mm: Iterable[int], longest_mm: float | None) -> tuple[int, ...]:
    """Stock lengths [mm] that can be brought to the site; the shortest one alone where none can."""
    lengths = tuple(sorted(lengths_mm))
    return tuple(length for length in lengths if longest_mm is None or length <= longest_mm) or lengths[:1]


def mitred(chosen: Chosen) -> bool:
    """Whether corners of the chosen gutter are mitred on site, rather than made with corner fittings."""
    return chosen.settings.word(f"gutter_corner_{chosen.gutter.system}") != "fitting"


def _demand(part: Stretch, item: str, chosen: Chosen) -> RunDemand:
    settings = chosen.settings
    length = part.length_mm + sum(_end_mm(end, chosen) for end in (part.left, part.right))
    least = settings.number("gutter_least_piece_mm")
    terms = (Term("with its ends", length, "mm"), settings.term(f"gutter_corner_{chosen.gutter.system}"))
    return RunDemand(
        id=part.id,
        item=item,
        length_mm=max(length, 1.0),
        splits_mm=None,
        lap_mm=_lap_mm(chosen),
        least_mm=min(least, length) if length > 0 else 0.0,
        refs=part.edges,
        working=run_working("length of the stretch and what its ends add or take off", part.length_mm, part.id, *terms),
    )


def _end_mm(end: End, chosen: Chosen) -> float:
    """What an end adds to a stretch, negative where a fitting takes its leg off [mm]."""
    if end.kind == "stop end":
        return 0.0
    if not mitred(chosen):
        return -chosen.settings.number("gutter_corner_fitting_leg_mm")
    return corner_allowance_mm(chosen.gutter.width_mm, end.angle_deg) if end.kind == "external" else 0.0


def _lap_mm(chosen: Chosen) -> float:
    return chosen.settings.number("gutter_lap_pvc_mm" if chosen.gutter.system == "pvc" else "gutter_lap_metal_mm")


def _corners(kind: str, runs: Sequence[GutterRun], chosen: Chosen) -> Quantity:
    how = "mitred on site" if mitred(chosen) else "fitting"
    counts = [(run.id, sum(corner.kind == kind for corner in run.corners)) for run in runs]
    setting = chosen.settings.term(f"gutter_corner_{chosen.gutter.system}")
    angles = sorted({round(corner.angle_deg, 1) for run in runs for corner in run.corners if corner.kind == kind})
    words = Term("angles", ", ".join(f"{angle:g}" for angle in angles), "deg")
    made = _each(
        f"gutter {kind} corners", f"Gutter {kind} corner, {how}", counts, "corners of the gutter runs", setting, words
    )
    return replace(made, labour=mitred(chosen))


def _stop_ends(hand: str, runs: Sequence[GutterRun]) -> Quantity:
    counts = [(run.id, 0 if run.ring else 1) for run in runs]
    rule = f"one {hand} stop end a run that is not a ring, seen from outside"
    return _each(f"gutter {hand} stop ends", f"Gutter stop end, {hand}", counts, rule)


def brackets_on(length_mm: float, spacing_mm: float) -> int:
    """Brackets on one straight stretch: at both ends and never further apart than `spacing_mm`."""
    return max(1, count_up(length_mm, spacing_mm)) + 1


def _brackets(parts: Sequence[Stretch], chosen: Chosen) -> Quantity:
    spacing, term = bracket_spacing(chosen)
    counts = [(part.id, brackets_on(part.length_mm, spacing)) for part in parts] if spacing > 0.0 else []
    rule = "each straight stretch: ceil(length / spacing) + 1, one at each stop end and beside each corner"
    name = "Gutter clip for metal fascia" if chosen.gutter.system == "clip_on_metal" else "Gutter bracket"
    return _each("gutter brackets", name, counts, rule, term)


def expansion_joints_on(part: Stretch, chosen: Chosen) -> int:
    """Expansion joints in a straight metal stretch: so that none between them is over the limit. PVC moves at its
    joiners."""
    limit, _ = longest_without_joint(chosen)
    if chosen.gutter.system == PVC or limit <= 0.0:
        return 0
    return max(1, count_up(part.length_mm, limit)) - 1


def _expansion(parts: Sequence[Stretch], chosen: Chosen) -> Quantity:
    counts = [(part.id, expansion_joints_on(part, chosen)) for part in parts]
    rule = "each straight stretch: ceil(length / longest without one) - 1"
    _, limit = longest_without_joint(chosen)
    return _each("gutter expansion joints", "Gutter expansion joint", counts, rule, limit)


def _joiners(
    demands: Sequence[RunDemand], lengths: Sequence[int], parts: Sequence[Stretch], chosen: Chosen
) -> Quantity:
    longest = max(lengths)
    counts = []
    for demand, part in zip(demands, parts, strict=True):
        pieces = max(1, count_up(demand.length_mm - demand.lap_mm, longest - demand.lap_mm))
        counts.append((demand.id, max(0, pieces - 1 - expansion_joints_on(part, chosen))))
    rule = "each straight stretch: ceil((length - lap) / (longest stock - lap)) - 1, less its expansion joints"
    pvc = chosen.gutter.system == "pvc"
    name = "Gutter joiner, PVC" if pvc else "Gutter joint, lapped, riveted and sealed"
    made = _each("gutter joiners", name, counts, rule, Term("longest stock", longest, "mm"))
    return replace(made, labour=not pvc)


def _each(name: str, item: str, counts: Sequence[tuple[str, int]], rule: str, *terms: Term) -> Quantity:
    """A count over several runs, as a quantity whose terms are the counts that are not nought."""
    kept = [(ref, count) for ref, count in counts if count]
    counted = tuple(Term(ref, count, "each", ref=ref) for ref, count in kept)
    return Quantity(
        id=name,
        item=item,
        figure=float(sum(count for _, count in kept)),
        unit="each",
        refs=tuple(ref for ref, _ in kept),
        working=Working(rule, (*counted, *terms)),
    )


def _notes(parts: Sequence[Stretch], chosen: Chosen) -> list[Finding]:
    settings = chosen.settings
    longest = max(parts, key=lambda part: part.length_mm)
    rate = movement_rate(chosen)
    degrees_range = settings.number("roof_temperature_range_k")
    moves = longest.length_mm / 1e3 * float(rate.value) * degrees_range
    joints = expansion_joints_on(longest, chosen)
    if chosen.gutter.system == PVC:
        how = "Leave the gap at joiners and corners that its maker marks."
    elif joints:
        how = f"Its expansion joint{'s are' if joints > 1 else ' is'} in the order; leave both sides free to move."
    else:
        how = "Leave one end free to move."
    found = [
        Finding(
            "gutter-movement",
            Severity.NOTE,
            f"The longest straight gutter, {longest.id} of {longest.length_mm / 1e3:.2f} m, moves {moves:.0f} mm"
            f" over {degrees_range:g} degrees.",
            how,
            (longest.id,),
            source=rate.basis.words() if rate.basis is not None else "",
        ),
        _overflow_note(chosen),
    ]
    one_in = settings.number("gutter_fall_one_in")
    found.append(
        Finding(
            "gutter-fall",
            Severity.NOTE,
            f"Lay the gutter to falls of at least 1 in {one_in:g} towards its outlets"
            f" ({12000 / one_in:.0f} mm in 12 m).",
            source=settings.basis("gutter_fall_one_in").words(),
        )
    )
    return found


def _overflow_note(chosen: Chosen) -> Finding:
    """That gutters overflow outwards, and what the code asks of one that cannot."""
    rain = chosen.settings.rules.rain
    place = "external_without_overflow"
    said = [f"short bursts bring {row.times:g} x the rain" for row in rain.bursts if row.place == place]
    said += [f"{row.mm:g} mm stay free over the water" for row in rain.freeboard if row.place == place]
    held = [row.basis for row in rain.bursts if row.place == place]
    held += [row.basis for row in rain.freeboard if row.place == place]
    return Finding(
        "gutter-overflow",
        Severity.NOTE,
        "Gutters must overflow outwards, not into the eave."
        + (f" Of one that cannot, {' and '.join(said)}." if said else ""),
        "Keep the front lower than the back, or leave a gap to the fascia.",
        source="; ".join(dict.fromkeys(basis.words() for basis in held)),
    )
