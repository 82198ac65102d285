"""Internal gutters: what section, depth and outlets they need, what their lining measures, and how they overflow.

Section by the area rule (200 mm2 of water for 1 m2 of factored catchment, an outlet half of it: code of practice,
method 2), depth at least 50 mm with 30 mm of it over the water (v25.12, 5.4.5.1 and 5.3.3A). Width and depth are
settings; the lining itself is among the flashings. No formula for an overflow is taken: the job gives what it carries.
"""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.measure.rainwater.catchment import flow_l_per_s
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import Need

_OVERFLOW = "internal_overflow_l_s"


def water_section_mm2(chosen: Chosen) -> float:
    """Section of water that an internal gutter of the set width and depth holds under its freeboard [mm2]."""
    number = chosen.settings.number
    deep = number("internal_gutter_depth_mm") - freeboard_mm(chosen)
    return max(0.0, deep) * number("internal_gutter_width_mm")


def freeboard_mm(chosen: Chosen) -> float:
    """Height kept over the water by the code [mm]; 0 where it says nothing."""
    rows = chosen.settings.rules.rain.freeboard
    return next((row.mm for row in rows if row.place == "internal"), 0.0)


def depth_wanted_mm(section_mm2: float, chosen: Chosen) -> float:
    """Depth that a section of water asks for at the set width, freeboard with it, and never below the code's [mm]."""
    width = chosen.settings.number("internal_gutter_width_mm")
    least = max((row.least_depth_mm for row in chosen.settings.rules.rain.internal), default=0.0)
    return max(least, section_mm2 / width + freeboard_mm(chosen)) if width > 0.0 else least


def internal_need(gutters: Sequence[GutterRun], plans: Sequence[DownpipePlan], chosen: Chosen) -> Need:
    """An outlet and an overflow for each pipe of internal gutters."""
    by_run = {plan.run: plan for plan in plans}
    pipes = [pipe for run in gutters if run.internal and run.id in by_run for pipe in by_run[run.id].pipes]
    if not pipes:
        return Need("rainwater")
    counted = tuple(Term(pipe.id, 1, "each", ref=pipe.id) for pipe in pipes)
    refs = tuple(pipe.id for pipe in pipes)
    outlet = Working("one a downpipe of an internal gutter", counted)
    overflow = Working("one beside each outlet, so that a blocked one spills outside", counted)
    return Need(
        trade="rainwater",
        quantities=(
            Quantity("internal gutter outlets", "Internal gutter outlet", float(len(pipes)), "each", refs, outlet),
            Quantity(
                "internal gutter overflows", "Internal gutter overflow", float(len(pipes)), "each", refs, overflow
            ),
        ),
    )


def internal_quantities(
    gutters: Sequence[GutterRun], plans: Sequence[DownpipePlan], chosen: Chosen
) -> tuple[Quantity, ...]:
    """Section and depth that each internal gutter needs, the girth of its lining, the flow of its overflow."""
    by_run = {plan.run: plan for plan in plans}
    found: list[Quantity] = []
    for run in gutters:
        if run.internal and run.id in by_run and by_run[run.id].pipes:
            found += _of_run(run, max(by_run[run.id].pipes, key=lambda pipe: pipe.gutter_mm2), chosen)
    return tuple(found)


def _of_run(run: GutterRun, worst: Downpipe, chosen: Chosen) -> list[Quantity]:
    settings = chosen.settings
    width, rule = settings.term("internal_gutter_width_mm"), settings.term("area_rule_internal_mm2_per_m2")
    section = Term("section of water wanted", round(worst.gutter_mm2), "mm2", ref=worst.id)
    board = Term("freeboard", freeboard_mm(chosen), "mm")
    depth = depth_wanted_mm(worst.gutter_mm2, chosen)
    over = settings.term("internal_gutter_over_mm")
    flanges = 2.0 * float(over.value)
    deep = settings.number("internal_gutter_depth_mm")
    girth = float(width.value) + 2.0 * deep + flanges
    burst = burst_times(chosen)
    flow = flow_l_per_s(worst.wind_mm2 / 1e6, float(chosen.rain.value) * burst)
    rows = (
        ("section", "Section of water wanted", worst.gutter_mm2, "mm2",
         Working("mm2 a m2 of factored catchment of the fullest outlet", (rule, section))),
        ("depth", "Depth wanted", depth, "mm",
         Working("section / width + freeboard, never below the code's least", (section, width, board))),
        ("girth", "Girth of lining", girth, "mm",
         Working("width + 2 x depth + what the sheets pass its edges by, twice",
                 (width, settings.term("internal_gutter_depth_mm"), over))),
        ("overflow", "Overflow wanted", flow, "L/s",
         Working("effective catchment of the fullest outlet x intensity x short burst / 3600",
                 (Term("effective catchment", round(worst.wind_mm2 / 1e6, 3), "m2", ref=worst.id), chosen.rain,
                  Term("short burst", burst, "times")))),
    )  # fmt: skip
    return [
        Quantity(
            f"internal gutter {run.id} {name}", f"{words}, internal gutter {run.id}", figure, unit, (run.id,), working
        )
        for name, words, figure, unit, working in rows
    ]


def burst_times(chosen: Chosen) -> float:
    """How many times the design rain a short burst brings to an internal gutter of a house; 1 where the code says
    nothing."""
    rows = chosen.settings.rules.rain.bursts
    return next((row.times for row in rows if row.place == "internal_dwelling"), 1.0)


def internal_findings(run: GutterRun, pipes: Sequence[Downpipe], chosen: Chosen) -> tuple[Finding, ...]:
    """That an internal gutter is among the flashings, whether it and its outlets are large enough, and what its
    overflow must carry."""
    if not pipes:
        return ()
    worst = max(pipes, key=lambda pipe: pipe.gutter_mm2)
    held, wanted = water_section_mm2(chosen), worst.gutter_mm2
    number, source = chosen.settings.number, chosen.settings.basis("area_rule_internal_mm2_per_m2").words()
    size = f"{number('internal_gutter_width_mm'):g} wide and {number('internal_gutter_depth_mm'):g} deep"
    refs = (run.id, worst.id)
    found = [_told(run, worst, held, size, chosen)]
    if held < wanted - 1e-6:
        text = f"{run.id}, {size}, holds {held:.0f} mm2 of water; {worst.id} needs {wanted:.0f} mm2 by the area rule."
        deep = depth_wanted_mm(wanted, chosen)
        advice = f"Make it deeper: `settings: {{internal_gutter_depth_mm: {deep + 0.5:.0f}}}`, or wider."
        found.append(Finding("internal-gutter-too-small", Severity.WARN, text, advice, refs, worst.at_mm, source))
    if chosen.pipe.area_mm2 < wanted / 2.0 - 1.0:
        text = f"{chosen.pipe.name} has {chosen.pipe.area_mm2:.0f} mm2; an outlet of {run.id} needs"
        text += f" {wanted / 2.0:.0f} mm2."
        found.append(
            Finding(
                "internal-outlet-too-small", Severity.WARN, text, "Take a larger downpipe.", refs, worst.at_mm, source
            )
        )
    return (*found, *_overflow(run, worst, chosen))


def _told(run: GutterRun, worst: Downpipe, held_mm2: float, size: str, chosen: Chosen) -> Finding:
    rain = chosen.settings.rules.rain
    over = [row.foot_traffic_over_mm for row in rain.internal]
    words = f" Over {over[0]:g} mm wide it is walked in." if over else ""
    return Finding(
        "internal-gutter",
        Severity.NOTE,
        f"{run.id} is an internal gutter, {size}: its lining is among the flashings, {freeboard_mm(chosen):g} mm of it"
        f" stay over the water. It holds {held_mm2:.0f} mm2, {worst.gutter_mm2:.0f} are needed.{words}",
        "Give it a layer under the lining that carries it, and see that it can be cleaned.",
        (run.id, *(leg.edge for leg in run.legs)),
        source="; ".join(row.basis.words() for row in rain.internal),
    )


def _overflow(run: GutterRun, worst: Downpipe, chosen: Chosen) -> tuple[Finding, ...]:
    """What each overflow must carry, against the figure that the job gives for its own."""
    times = burst_times(chosen)
    wanted = flow_l_per_s(worst.wind_mm2 / 1e6, float(chosen.rain.value) * times)
    given = chosen.settings.number(_OVERFLOW)
    if given >= wanted - 1e-9:
        return ()
    carries = f"carries {given:.1f} L/s" if given > 0.0 else "is not given"
    return (
        Finding(
            "internal-overflow",
            Severity.WARN,
            f"Overflow of {run.id} {carries}; beside {worst.id} {wanted:.1f} L/s are wanted, {times:g} x the design"
            " rain.",
            "Size it apart, its lip below the top of the gutter, and give what it carries:"
            f" `settings: {{internal_overflow_l_s: {wanted + 0.05:.1f}}}`.",
            (run.id, worst.id),
            worst.at_mm,
        ),
    )
