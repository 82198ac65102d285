"""What one downpipe or gutter may drain, by a named method, as plan area of roof.

e1_as1        a table of roof plan area per downpipe by pitch band, made for 100 mm/h
area_per_m2   so much cross-section per m2 of factored catchment: sloping area x exposure x rain x pitch factor

Both come down to one figure, the plan area in m2 that one pipe may take, with the working that led to it.
"""

from __future__ import annotations

from math import cos, radians

from takeoff.basics.records import record
from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.rainwater.chosen import product_term
from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import DownpipeProfile, GutterProfile
from takeoff.model.settings import Settings

TABLE_RAIN_MM_PER_H = 100.0
BANDS_DEG = (25.0, 35.0, 45.0, 55.0)  # upper limits of the pitch bands both methods use
FACTORS = ("area_rule_pitch_10_25", "area_rule_pitch_25_35", "area_rule_pitch_35_45", "area_rule_pitch_45_55")
_LIMIT_DEG = TOLERANCES.limit_deg
_DERIVED = Basis(Status.DERIVED)


@record
class PitchBand:
    """Band of a pitch: 0 to 3, and words where the pitch lies on a limit or beyond the table."""

    index: int
    words: str
    beyond: bool = False


@record
class Capacity:
    """Plan area [m2] one pipe may drain; 0 where the method has no value for it."""

    plan_m2: float
    working: Working
    findings: tuple[Finding, ...] = ()


def pitch_band(pitch_deg: float) -> PitchBand:
    """Band of a pitch [degrees]: to 25, 35, 45, 55. A pitch on a limit takes the lower band; steeper takes the last.

    >>> pitch_band(25.0).index, pitch_band(25.1).index
    (0, 1)
    """
    for i, limit in enumerate(BANDS_DEG):
        low = BANDS_DEG[i - 1] if i else 0.0
        name = f"{low:g} to {limit:g} degrees"
        if abs(pitch_deg - limit) <= _LIMIT_DEG:
            return PitchBand(i, f"{name}: {limit:g} is on the limit, the lower band is taken")
        if pitch_deg < limit:
            return PitchBand(i, name)
    return PitchBand(3, "steeper than the table goes: 45 to 55 degrees is taken", beyond=True)


def rain_factor(rain_mm_per_h: float) -> float:
    """Rain factor of method 2 of the code of practice: intensity over 100 mm/h (80: 0.8, 150: 1.5)."""
    return rain_mm_per_h / TABLE_RAIN_MM_PER_H


def factored_catchment_m2(sloping_m2: float, exposure: float, rain: float, pitch: float) -> float:
    """Factored catchment of method 2 [m2]: sloping area [m2] times three factors, not rounded between."""
    return sloping_m2 * exposure * rain * pitch


def section_mm2(factored_m2: float, mm2_per_m2: float) -> float:
    """Cross-section [mm2] that a factored catchment [m2] asks for."""
    return factored_m2 * mm2_per_m2


def pipe_capacity(method: str, pipe: DownpipeProfile, pitch_deg: float, rain: Term, settings: Settings) -> Capacity:
    """Plan area [m2] one downpipe may drain under planes of at most `pitch_deg`, by the named method."""
    band = pitch_band(pitch_deg)
    pitch = Term("steepest pitch", round(pitch_deg, 2), "deg", ref=band.words)
    if method == "area_per_m2":
        return _by_area(pipe, pitch_deg, band, pitch, rain, settings)
    return _by_table(pipe, band, pitch, rain, settings)


def _by_table(pipe: DownpipeProfile, band: PitchBand, pitch: Term, rain: Term, settings: Settings) -> Capacity:
    findings = list(_band_findings(band))
    if not pipe.table_m2:
        findings.append(
            Finding(
                "downpipe-not-in-table",
                Severity.WARN,
                f"E1/AS1 has no row for {pipe.name}: its capacity was not checked.",
                "Take another downpipe, or size by area: `rainwater: {method: area_per_m2}`.",
                (pipe.id,),
            )
        )
        return Capacity(0.0, Working("no row of E1/AS1 Table 5 for this pipe", (pitch,)), tuple(findings))
    area = float(pipe.table_m2[band.index])
    row = product_term(pipe, "table_m2", area, "m2")
    terms = [Term("table area", area, "m2", row.basis, pipe.name), pitch]
    rule = "E1/AS1 Table 5: roof plan area per downpipe by pitch band, as it stands"
    intensity = float(rain.value)
    if settings.flag("downpipe_scale_by_intensity"):
        area *= TABLE_RAIN_MM_PER_H / intensity
        rule = "E1/AS1 Table 5: roof plan area per downpipe by pitch band x 100 / intensity"
        terms += [rain, settings.term("downpipe_scale_by_intensity")]
    elif intensity > TABLE_RAIN_MM_PER_H:
        findings.append(_not_scaled(intensity))
        terms.append(settings.term("downpipe_scale_by_intensity"))
    return Capacity(area, Working(rule, tuple(terms)), tuple(findings))


def _not_scaled(intensity: float) -> Finding:
    return Finding(
        "downpipe-table-not-scaled",
        Severity.NOTE,
        f"The downpipe table is made for 100 mm/h and was not scaled to the site's {intensity:g} mm/h.",
        "To scale it, add to the job: `settings: {downpipe_scale_by_intensity: true}`.",
    )


def _band_findings(band: PitchBand) -> tuple[Finding, ...]:
    if not band.beyond:
        return ()
    return (
        Finding(
            "pitch-beyond-downpipe-table",
            Severity.WARN,
            "A plane is steeper than 55 degrees, where the method's bands end: the last band was taken.",
            "Have the downpipes sized for it.",
        ),
    )


def _area_factor(pitch_deg: float, band: PitchBand, rain: Term, settings: Settings) -> float:
    """Factored catchment per m2 of plan area."""
    return factored_catchment_m2(
        1.0 / cos(radians(pitch_deg)),
        settings.number("area_rule_exposure"),
        rain_factor(float(rain.value)),
        settings.number(FACTORS[band.index]),
    )


def _by_area(
    pipe: DownpipeProfile, pitch_deg: float, band: PitchBand, pitch: Term, rain: Term, settings: Settings
) -> Capacity:
    per_m2 = settings.number("area_rule_downpipe_mm2_per_m2")
    factor = _area_factor(pitch_deg, band, rain, settings)
    working = Working(
        "pipe section / (mm2 per m2 x plan area's slope factor x exposure x intensity / 100 x pitch factor)",
        (
            product_term(pipe, "area_mm2", pipe.area_mm2, "mm2"),
            settings.term("area_rule_downpipe_mm2_per_m2"),
            Term("slope factor", round(1.0 / cos(radians(pitch_deg)), 4), "", _DERIVED),
            settings.term("area_rule_exposure"),
            rain,
            settings.term(FACTORS[band.index]),
            pitch,
        ),
    )
    return Capacity(pipe.area_mm2 / (per_m2 * factor), working, _band_findings(band))


def gutter_section(
    method: str, plan_m2: float, pitch_deg: float, internal: bool, rain: Term, settings: Settings
) -> tuple[float, Working]:
    """Least cross-section [mm2] of a gutter that brings `plan_m2` to one outlet, with its working.

    area_per_m2 works it out; e1_as1 reads it from a figure of the standard that is no formula, so only its least
    section is held to.
    """
    least = settings.number("e1_as1_least_gutter_mm2")
    if method != "area_per_m2":
        return least, Working("E1/AS1: never below its least section", (settings.term("e1_as1_least_gutter_mm2"),))
    name = "area_rule_internal_mm2_per_m2" if internal else "area_rule_gutter_mm2_per_m2"
    band = pitch_band(pitch_deg)
    factor = _area_factor(pitch_deg, band, rain, settings)
    working = Working(
        "mm2 per m2 x plan area to one outlet x slope factor x exposure x intensity / 100 x pitch factor",
        (
            Term("plan area", round(plan_m2, 2), "m2"),
            settings.term(name),
            settings.term("area_rule_exposure"),
            rain,
            settings.term(FACTORS[band.index]),
        ),
    )
    return section_mm2(plan_m2 * factor, settings.number(name)), working


def gutter_too_small(gutter: GutterProfile, required_mm2: float) -> bool:
    """Whether the gutter's section falls short of what is required; equal is enough."""
    return gutter.area_mm2 < required_mm2 - 1e-6
