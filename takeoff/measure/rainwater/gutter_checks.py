"""Whether a gutter's section is enough for what its outlets take: by the method, and by the area rule in any case.

E1/AS1 reads the section from a curve that is no formula and is not in this program: by it only the least section is
held to. So every spouting is also checked by the area rule (method 2 of the code of practice), whichever method counts
the pipes; method 2 is superseded arithmetic, which warns and stops nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians

from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.internal_gutters import internal_findings, water_section_mm2
from takeoff.measure.rainwater.sizing import FACTORS, gutter_section, gutter_too_small, pitch_band
from takeoff.model.drainage import GUTTER_TYPES, Downpipe, GutterRun
from takeoff.model.findings import Finding, Severity

AREA_RULE = "area_per_m2"


def area_rule_section_mm2(plan_mm2: float, run: GutterRun, chosen: Chosen) -> float:
    """Section [mm2] that the area rule asks of a gutter that brings `plan_mm2` of roof in plan to one outlet."""
    required, _ = gutter_section(AREA_RULE, plan_mm2 / 1e6, run.pitch_deg, run.internal, chosen.rain, chosen.settings)
    return required


def section_limit_mm2(run: GutterRun, chosen: Chosen) -> float:
    """The roof in plan [mm2] that one outlet may bring to the chosen gutter by the area rule; 0 where its section is no
    limit, by the table of gutter types, which names none. Of an internal gutter: what it holds under its freeboard."""
    if run.internal:
        return water_section_mm2(chosen) / max(area_rule_section_mm2(1e6, run, chosen), 1e-9) * 1e6
    if chosen.method == GUTTER_TYPES:
        return 0.0
    return chosen.gutter.area_mm2 / area_rule_section_mm2(1e6, run, chosen) * 1e6


def gutter_findings(run: GutterRun, pipes: Sequence[Downpipe], chosen: Chosen) -> tuple[Finding, ...]:
    """Warnings for a section too small by the method or by the area rule, with the figures. An internal gutter is told
    apart: it is not ordered."""
    if run.internal:
        return internal_findings(run, pipes, chosen)
    if chosen.method == GUTTER_TYPES:
        return ()
    largest = max((pipe.catchment_mm2 for pipe in pipes), default=0.0) / 1e6
    required, _ = gutter_section(chosen.method, largest, run.pitch_deg, run.internal, chosen.rain, chosen.settings)
    found: list[Finding] = []
    if chosen.method != AREA_RULE and gutter_too_small(chosen.gutter, required):
        found.append(_below_least(run, chosen, required))
    return (*found, *_by_area_rule(run, pipes, chosen))


def _by_area_rule(run: GutterRun, pipes: Sequence[Downpipe], chosen: Chosen) -> tuple[Finding, ...]:
    needed = {pipe.id: pipe.gutter_mm2 for pipe in pipes}
    short = [pipe for pipe in pipes if gutter_too_small(chosen.gutter, needed[pipe.id])]
    if not short:
        return ()
    worst = max(short, key=lambda pipe: pipe.catchment_mm2)
    # section grows with the area in proportion
    fits_m2 = worst.catchment_mm2 / 1e6 * chosen.gutter.area_mm2 / needed[worst.id]
    others = [f"{pipe.id} {pipe.catchment_mm2 / 1e6:.1f} m2, {needed[pipe.id]:.0f} mm2" for pipe in short]
    others.remove(f"{worst.id} {worst.catchment_mm2 / 1e6:.1f} m2, {needed[worst.id]:.0f} mm2")
    also = f" Also {'; '.join(others)}." if others else ""
    return (
        Finding(
            "gutter-too-small",
            Severity.WARN,
            f"{run.id}: {chosen.gutter.name} has {chosen.gutter.area_mm2:.0f} mm2. By the area rule {worst.id} needs "
            f"{_sum_words(worst, run, chosen)} = {needed[worst.id]:.0f} mm2.{also}",
            f"Add a downpipe, so that no outlet takes over {fits_m2:.1f} m2 in plan, or take a gutter of "
            f"{needed[worst.id]:.0f} mm2 or more.",
            (run.id, *(pipe.id for pipe in short)),
            worst.at_mm,
            chosen.settings.basis("area_rule_gutter_mm2_per_m2").words(),
        ),
    )


def _sum_words(pipe: Downpipe, run: GutterRun, chosen: Chosen) -> str:
    number = chosen.settings.number
    if any(share.wall or abs(share.pitch_deg - run.pitch_deg) > 1e-6 for share in pipe.shares):
        return (
            f"{(pipe.catchment_mm2 + pipe.wall_mm2) / 1e6:.1f} m2, each plane by its own slope and pitch factor,"
            f" x {number('area_rule_exposure'):g} exposure x {float(chosen.rain.value) / 100.0:g} rain"
            f" x {number('area_rule_gutter_mm2_per_m2'):g}"
        )
    return (
        f"{pipe.catchment_mm2 / 1e6:.1f} m2 x {1.0 / cos(radians(run.pitch_deg)):.3f} slope"
        f" x {number('area_rule_exposure'):g} exposure x {float(chosen.rain.value) / 100.0:g} rain"
        f" x {number(FACTORS[pitch_band(run.pitch_deg).index]):g} pitch x {number('area_rule_gutter_mm2_per_m2'):g}"
    )


def section_note(gutters: Sequence[GutterRun], chosen: Chosen) -> tuple[Finding, ...]:
    """What the table's method does not check of spouting, said once a job."""
    if chosen.method in (AREA_RULE, GUTTER_TYPES) or all(run.internal for run in gutters):
        return ()
    least = chosen.settings.term("e1_as1_least_gutter_mm2")
    return (
        Finding(
            "gutter-section-not-checked",
            Severity.NOTE,
            f"Gutter section not checked beyond the least of {float(least.value):.0f} mm2: the standard's curve is not"
            " in this program. The area rule was used beside it.",
            "Have the gutter sized by the standard where the area rule warns.",
            source=chosen.settings.basis("e1_as1_least_gutter_mm2").words(),
        ),
    )


def _below_least(run: GutterRun, chosen: Chosen, least_mm2: float) -> Finding:
    return Finding(
        "gutter-below-least",
        Severity.WARN,
        f"{run.id}: {chosen.gutter.name} has {chosen.gutter.area_mm2:.0f} mm2, less than the least gutter of"
        f" {least_mm2:.0f} mm2.",
        "Take a larger gutter.",
        (run.id,),
    )
