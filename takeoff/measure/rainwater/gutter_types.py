"""Gutters and downpipes by the table of gutter types: what one downpipe may drain, by the gutter's type and the rain.

The table (HP22 7.4.3a) names least types by intensity and roof catchment a downpipe; a larger gutter of the same shape
serves as well. The text read does not say whether the catchment is in plan: plan x F of the drainage standard is held
against it, which is the safer. Intensities between two rows take the heavier.
"""

from __future__ import annotations

from collections.abc import Sequence

from takeoff.measure.rainwater.by_code import marked, table_of
from takeoff.measure.rainwater.catchment import RAIN_SLOPE, wind_factor
from takeoff.measure.rainwater.chosen import Chosen, product_term
from takeoff.measure.rainwater.sizing import Capacity
from takeoff.model.basis import Term, Working
from takeoff.model.drainage import GUTTER_TYPES, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.rain_rules import NeededRow, RainRules

_RULE = "largest catchment of the table of gutter types that the gutter's type serves, / F"


def needed_row(rain: RainRules, mm_per_h: float) -> NeededRow | None:
    """The row of an intensity: the first that is no lighter; None where the rain is beyond the table."""
    return next((row for row in rain.needed if mm_per_h <= row.mm_per_h + 1e-9), None)


def serves(gutter_type: str, least: str, rain: RainRules) -> bool:
    """Whether a gutter of a type serves where the table names `least` ("AC": A or C): it is one of them, or of the
    same shape and no smaller. F, sized apart, is served by F alone."""
    by_type = {row.type: row for row in rain.types}
    own = by_type.get(gutter_type)
    if own is None:
        return False
    if gutter_type in least:
        return True
    return any(
        by_type[word].mm2 > 0.0 and by_type[word].shape == own.shape and own.mm2 >= by_type[word].mm2 for word in least
    )


def served_m2(gutter_type: str, mm_per_h: float, rain: RainRules) -> float:
    """Largest catchment a downpipe of the table [m2] that a type serves at an intensity; 0 where it serves none.

    What serves a catchment serves a smaller one, also where the table names no type of its shape for that (at 225 mm/h
    and 50 m2 it names A or B, at 60 m2 E).
    """
    row = needed_row(rain, mm_per_h)
    found = 0.0
    for area, least in zip(rain.needed_areas_m2, row.types if row else (), strict=False):
        if serves(gutter_type, least, rain):
            found = area
    return found


def type_capacity(run: GutterRun, chosen: Chosen) -> Capacity:
    """Plan area [m2] that one downpipe of the run may drain; 0 where the table has no value, with a finding."""
    settings, gutter = chosen.settings, chosen.gutter
    _, code = table_of(settings.rules, lambda rain: rain.needed)
    intensity, factor = float(chosen.rain.value), wind_factor(run.pitch_deg)
    row = needed_row(code.rain, intensity)
    area = served_m2(gutter.type, intensity, code.rain)
    terms = (
        product_term(gutter, "type", gutter.type or "none", ""),
        chosen.rain,
        Term(
            "catchment of the table",
            area,
            "m2",
            marked(row.basis, code, settings.rules) if row else None,
            f"row of {row.mm_per_h:g} mm/h" if row else "beyond the table",
        ),
        Term("F", round(factor, 4), "", RAIN_SLOPE),
    )
    findings = [*_pipe_finding(chosen, code.rain)] if area > 0.0 else [_not_in_table(chosen, row)]
    return Capacity(area / factor, Working(_RULE, terms), tuple(findings))


def least_section_mm2(plan_mm2: float, run: GutterRun, chosen: Chosen) -> float:
    """Section of the smallest type that serves a catchment [mm2]; 0 where the table has none for it."""
    _, code = table_of(chosen.settings.rules, lambda rain: rain.needed)
    row = needed_row(code.rain, float(chosen.rain.value))
    area = plan_mm2 / 1e6 * wind_factor(run.pitch_deg)
    column = next((n for n, most in enumerate(code.rain.needed_areas_m2) if area <= most + 1e-9), None)
    if row is None or column is None:
        return 0.0
    fit = [kind.mm2 for kind in code.rain.types if kind.mm2 > 0.0 and serves(kind.type, row.types[column], code.rain)]
    return min(fit, default=0.0)


def _not_in_table(chosen: Chosen, row: NeededRow | None) -> Finding:
    rain = float(chosen.rain.value)
    if not chosen.gutter.type:
        why = f"{chosen.gutter.name} has no type in it"
    elif row is None:
        why = f"{rain:g} mm/h is beyond it"
    else:
        why = f"at {rain:g} mm/h type {chosen.gutter.type} serves none of its catchments"
    return Finding(
        "gutter-not-in-table",
        Severity.WARN,
        f"The table of gutter types says nothing of {chosen.gutter.name}: {why}. Its capacity was not checked.",
        "Take another gutter, or have it sized by the drainage standard.",
        (chosen.gutter.id,),
    )


def _pipe_finding(chosen: Chosen, rain: RainRules) -> Sequence[Finding]:
    """A warning where the table allows no pipe of the chosen section for the gutter's type."""
    allowed = [row for row in rain.pipes if chosen.gutter.type in row.types]
    least = min(allowed, key=lambda row: row.mm2, default=None)
    # sections in the catalogue are whole mm2
    if least is not None and chosen.pipe.area_mm2 >= least.mm2 - 1.0:
        return ()
    wanted = f"; the least is {_pipe_words(least.round_mm, least.wide_mm, least.deep_mm)}" if least else ""
    return (
        Finding(
            "downpipe-not-for-gutter",
            Severity.WARN,
            f"{chosen.pipe.name} has {chosen.pipe.area_mm2:.0f} mm2, too little for a gutter of type"
            f" {chosen.gutter.type}{wanted}{f' of {least.mm2:.0f} mm2' if least else ''}.",
            "Take a larger downpipe.",
            (chosen.pipe.id,),
            source=least.basis.words() if least else "",
        ),
    )


def _pipe_words(round_mm: float, wide_mm: float, deep_mm: float) -> str:
    return f"{round_mm:g} round" if round_mm else f"{wide_mm:g} x {deep_mm:g}"


def by_types(chosen: Chosen) -> bool:
    """Whether the job's method is the table of gutter types."""
    return chosen.method == GUTTER_TYPES
