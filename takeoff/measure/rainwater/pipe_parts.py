"""What downpipes are made of: outlet to shoe, with the pipe itself as runs cut from stock.

        gutter
     __|  |__ outlet
          |   upper drop, where the soffit hangs below the gutter's sole
           \\  offset, from the gutter back to the wall
            \\
             |  drop down the wall, clips near both ends and between where it is long
             |_ shoe, clear of the ground
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, tan

from takeoff.basics.records import record
from takeoff.basics.rounding import count_up
from takeoff.measure.item_book import called
from takeoff.measure.rainwater.chosen import Chosen, fitting, pipe_fittings
from takeoff.measure.rainwater.gutter_fixings import clip_screws
from takeoff.measure.rainwater.gutters import within_longest
from takeoff.measure.rainwater.spreaders import bends_on, hangs_free, spreader_parts
from takeoff.measure.rainwater.stretches import stretch_at, stretches, wall_below
from takeoff.measure.terms import run_working
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice


@record
class PipeLengths:
    """Lengths of pipe in one downpipe [mm]: above the offset, the offset on its slope (None: to be measured), and down
    the wall."""

    upper_mm: float
    offset_mm: float | None
    drop_mm: float


def pipe_lengths(height_mm: float, out_mm: float | None, soffit_below_mm: float | None, chosen: Chosen) -> PipeLengths:
    """Lengths of one downpipe. `height_mm`: underside of the sheets at the fascia over the ground; `out_mm`: level
    distance from the outlet's centre to the pipe's on the wall, None where no wall is known; `soffit_below_mm`: soffit
    below the sheets' underside, None where the job does not give it."""
    number = chosen.settings.number
    sole = number("gutter_sole_below_eave_mm")
    fall = radians(number("downpipe_offset_fall_deg"))
    upper = max(0.0, (soffit_below_mm or 0.0) - sole)
    drop = height_mm - sole - upper - (out_mm or 0.0) * tan(fall) - number("downpipe_ground_clearance_mm")
    return PipeLengths(upper, None if out_mm is None else out_mm / cos(fall), max(drop, 0.0))


def _lengths(pipe: Downpipe, out_mm: float | None, soffit_mm: float | None, chosen: Chosen) -> PipeLengths:
    """Lengths of a pipe down to the ground, or to the lower roof that it ends over."""
    number = chosen.settings.number
    if hangs_free(pipe, chosen):
        return PipeLengths(0.0, 0.0, max(0.0, pipe.height_mm - number("gutter_sole_below_eave_mm")))
    # a spreader lies on the sheets: nothing is kept clear
    more = number("downpipe_ground_clearance_mm") if pipe.onto else 0.0
    soffit_below = pipe.at_mm[2] - soffit_mm if soffit_mm is not None else None
    return pipe_lengths(pipe.height_mm + more, out_mm, soffit_below, chosen)


def clips_on(drop_mm: float, span_mm: float) -> int:
    """Clips on a drop: near both ends, and between so that no span is over `span_mm`."""
    return max(1, count_up(drop_mm, span_mm)) + 1


def downpipe_need(
    gutters: Sequence[GutterRun],
    plans: Sequence[DownpipePlan],
    roofs: Sequence[Roof],
    soffit_mm: float | None,
    longest_mm: float | None,
    chosen: Chosen,
) -> Need:
    """Everything the downpipes take, pipe by pipe. `soffit_mm` is the soffit over the finished floor, if given."""
    runs = {run.id: run for run in gutters}
    pipes = [pipe for plan in plans for pipe in plan.pipes]
    if not pipes:
        return Need("rainwater")
    item = f"downpipe {chosen.pipe.id}"
    stock = within_longest(chosen.pipe.lengths_mm, longest_mm)
    names = ("gutter_sole_below_eave_mm", "downpipe_offset_fall_deg", "downpipe_ground_clearance_mm")
    sizes = (chosen.ground, *(chosen.settings.term(name) for name in names))
    demands: list[RunDemand] = []
    clips: list[tuple[str, int]] = []
    short: list[str] = []
    unknown: list[str] = []
    for pipe in pipes:
        lengths = _lengths(pipe, _out_mm(pipe, runs[pipe.run], roofs, chosen), soffit_mm, chosen)
        demands += _demands(pipe, lengths, item, max(stock), chosen.settings.number("downpipe_least_piece_mm"), sizes)
        if not hangs_free(pipe, chosen):
            clips.append((pipe.id, clips_on(lengths.drop_mm, chosen.settings.number("downpipe_clip_span_mm"))))
        if lengths.drop_mm <= 0.0 and not pipe.onto:
            short.append(pipe.id)
        if lengths.offset_mm is None:
            unknown.append(pipe.id)
    many = Mark(MarkKind.PIPES, float(len(pipes)))
    return Need(
        trade="rainwater",
        quantities=(
            *_fittings(pipes, clips, chosen),
            *spreader_parts(pipes, chosen),
            *_joiners(demands, max(stock), chosen),
            *clip_screws(sum(number for _, number in clips), chosen),
        ),
        demands=tuple(demands),
        stock=(StockChoice(item, stock),),
        items=(Made(item, "downpipe", (*called(chosen.pipe.name), many), chosen.pipe.id), *pipe_fittings(chosen)),
        findings=(*_ground_note(chosen), *_short(short), *_unknown(unknown)),
    )


def _out_mm(pipe: Downpipe, run: GutterRun, roofs: Sequence[Roof], chosen: Chosen) -> float | None:
    """Level distance from the outlet's centre, in the middle of the gutter, to the pipe's centre on the wall [mm]; None
    where no wall line runs below."""
    number = chosen.settings.number
    parts = stretches(run)
    roof = next((roof for roof in roofs if roof.name == run.roof), None)
    wall = wall_below(stretch_at(parts, pipe.along_mm), roof)
    if wall is None:
        return None
    overhang = wall.overhang_mm - number("downpipe_wall_face_mm")
    stands_off = number("downpipe_wall_gap_mm") + chosen.pipe.width_mm / 2.0
    return max(0.0, overhang + chosen.gutter.width_mm / 2.0 - stands_off)


_PIECES = {
    "upper": "from the outlet down to its first bend",
    "offset": "from bend to bend, gutter to wall",
    "drop": "down the wall to the shoe, clear of the ground",
}


def _demands(
    pipe: Downpipe, lengths: PipeLengths, item: str, longest_mm: float, least_mm: float, terms: tuple[Term, ...]
) -> list[RunDemand]:
    """The pieces of one pipe; what is shorter than `least_mm` is in its bends. Only a drop longer than any stock is
    joined: elsewhere a joint saves nothing."""
    refs = (pipe.id, pipe.run)
    wanted = (("upper", lengths.upper_mm), ("offset", lengths.offset_mm), ("drop", lengths.drop_mm))
    return [
        RunDemand(
            f"{pipe.id} {name}",
            item,
            length,
            () if length <= longest_mm else None,
            refs=refs,
            working=run_working(_PIECES[name], length, pipe.id, *terms),
        )
        for name, length in wanted
        if length is not None and length >= least_mm
    ]


def _fittings(pipes: Sequence[Downpipe], clips: Sequence[tuple[str, int]], chosen: Chosen) -> tuple[Quantity, ...]:
    refs = tuple(pipe.id for pipe in pipes)
    count = Term("downpipes", len(pipes), "each")

    def each(slug: str, sort: str, figure: int, rule: str, *terms: Term) -> Quantity:
        return Quantity(slug, fitting(sort, chosen).id, float(figure), "each", refs, Working(rule, (count, *terms)))

    span = chosen.settings.term("downpipe_clip_span_mm")
    clearance = chosen.settings.term("downpipe_ground_clearance_mm")
    per_pipe = tuple(Term(ref, number, "each", ref=ref) for ref, number in clips)
    rule = "near both ends of each drop and between where it is longer than the span: ceil(drop / span) + 1"
    bends = "two a downpipe, at both ends of its offset"
    shoes = "one a downpipe, clear of the ground"
    grounded = sum(not pipe.onto for pipe in pipes)
    if grounded < len(pipes):
        bends += "; one more into a spreader, that one alone where the pipe drops straight"
        shoes += "; none where it ends on a lower roof"
    found = (
        each("downpipe bends", "downpipe_bend", sum(bends_on(pipe, chosen) for pipe in pipes), bends),
        each("downpipe clips", "downpipe_clip", sum(number for _, number in clips), rule, span, *per_pipe),
        each("downpipe shoes", "downpipe_shoe", grounded, shoes, clearance),
    )
    return tuple(quantity for quantity in found if quantity.figure > 0.0)


def _joiners(demands: Sequence[RunDemand], longest_mm: float, chosen: Chosen) -> tuple[Quantity, ...]:
    """Joiners in drops that are longer than the longest stock; none on an ordinary house."""
    joints = [(demand.id, count_up(demand.length_mm, longest_mm) - 1) for demand in demands]
    kept = [(ref, joint) for ref, joint in joints if joint > 0]
    if not kept:
        return ()
    name = fitting("downpipe_joiner", chosen).id
    terms = tuple(Term(ref, joint, "each", ref=ref) for ref, joint in kept)
    working = Working("drops longer than the longest stock: ceil(drop / stock) - 1", terms)
    total = float(sum(joint for _, joint in kept))
    return (Quantity("downpipe joiners", name, total, "each", tuple(ref for ref, _ in kept), working),)


def _ground_note(chosen: Chosen) -> tuple[Finding, ...]:
    if chosen.ground.name != "ground_if_not_given_mm":
        return ()
    return (
        Finding(
            "ground-not-given",
            Severity.NOTE,
            f"The job gives no ground at the downpipes: {chosen.ground_mm:.0f} mm was taken.",
            "Add to the job, with the ground of your site: `rainwater: {ground_mm: -300}`.",
        ),
    )


def _short(names: Sequence[str]) -> tuple[Finding, ...]:
    if not names:
        return ()
    return (
        Finding(
            "downpipe-without-height",
            Severity.WARN,
            f"There is no height for a drop at {', '.join(names)}: the ground is at or above the offset.",
            "Check rainwater: ground_mm and the fascia height.",
            tuple(names),
        ),
    )


def _unknown(names: Sequence[str]) -> tuple[Finding, ...]:
    if not names:
        return ()
    return (
        Finding(
            "downpipe-offset-to-measure",
            Severity.NOTE,
            f"Offset to be measured at {', '.join(names)}: the job gives no wall line below the spouting, so the order "
            "holds no pipe from the gutter back to the wall.",
            "Give the roof by its wall line and overhangs, or measure on site and add the pipe.",
            tuple(names),
        ),
    )
