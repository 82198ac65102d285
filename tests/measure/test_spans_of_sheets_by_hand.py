"""How far sheets may span, by tables of our own: at each limit and one step over it. Lengths in mm."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.roofing.purlins.spans import SpanLimits, span_findings, span_limits, thickest
from takeoff.model.basis import Term
from takeoff.model.code_rules import FootRow, SpanRow
from takeoff.model.findings import Finding, Severity
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import OTHER, RIBBED, SEEN, rules, with_values

# four crests of 940 / 190 ribs: its own family first, then that of all trapezoidal ones
NEAR, FAR = RIBBED.families[0], RIBBED.families[-1]
SPANS = (SpanRow(FAR, 0.35, 500.0, 700.0, OTHER), SpanRow(FAR, 0.40, 900.0, 1300.0, SEEN), SpanRow(FAR, 0.55, 1300.0, 1800.0, SEEN),
         SpanRow("corrugate", 0.40, 1.0, 2.0, OTHER))  # fmt: skip
ON_FOOT = FootRow(FAR, 0.40, SEEN, 800.0, 1200.0)


def test_the_row_of_a_thickness() -> None:
    """The thickest that is not over its own, of the nearest family that has any."""
    found = {bmt: thickest(SPANS, RIBBED, bmt) for bmt in (0.34, 0.35, 0.39, 0.40, 0.48, 0.55, 0.9)}
    assert found == {
        0.34: None,
        0.35: SPANS[0],
        0.39: SPANS[0],
        0.40: SPANS[1],
        0.48: SPANS[1],
        0.55: SPANS[2],
        0.9: SPANS[2],
    }
    if NEAR != FAR:
        own = SpanRow(NEAR, 0.30, 1.0, 1.0, SEEN)
        assert thickest((*SPANS, own), RIBBED, 0.55) == own
        assert thickest((*SPANS, own), RIBBED, 0.29) is None


def made(settings: Settings, edge: float = 0.0, **tables: object) -> Settings:
    known = {"spans": SPANS, "on_foot": (ON_FOOT,)} | tables
    return with_values(settings, rules(**known), end_span_share=0.75, purlin_edge_bay_mm=edge)


@pytest.mark.parametrize(
    ("gauge", "edge", "end", "code_end"),
    [
        (1100.0, 0.0, 825.0, 825.0),  # three quarters of the gauge
        (1200.0, 0.0, 900.0, 900.0),
        (1300.0, 0.0, 900.0, 900.0),  # the table's end span
        (1300.0, 700.0, 700.0, 900.0),  # the job's own, whatever the code says
        (1300.0, 1000.0, 1000.0, 900.0),
        (1300.0, 1500.0, 1300.0, 900.0),  # no longer than the gauge
        (1300.0, 0.5, 0.5, 900.0),
    ],
)
def test_end_bays(gauge: float, edge: float, end: float, code_end: float, settings: Settings) -> None:
    own = made(settings, edge)
    table = Term("longest end span", 900.0, "mm", SEEN)
    terms = (own.term("end_span_share"), table, *([own.term("purlin_edge_bay_mm")] if edge else []))
    assert span_limits(RIBBED, 0.40, gauge, own) == SpanLimits(
        "Five Rib, 0.40 mm", end, code_end, 1300.0, ON_FOOT, SPANS[1], terms
    )


def test_a_profile_without_a_row(settings: Settings) -> None:
    """The share of the gauge; what it carries on foot is read in the code that serves where its own has no table."""
    own = made(settings, spans=(), on_foot=())
    assert span_limits(RIBBED, 0.404, 1200.0, own) == SpanLimits(
        "Five Rib, 0.40 mm", 900.0, 900.0, 0.0, None, None, (own.term("end_span_share"),)
    )
    serves = rules(name="other", on_foot=(ON_FOOT,))
    assert span_limits(RIBBED, 0.40, 1200.0, made(settings, on_foot=(), silent=serves)).on_foot == ON_FOOT
    # a table of its own that lacks the profile says nothing of it
    wavy = replace(ON_FOOT, family="corrugate")
    assert span_limits(RIBBED, 0.40, 1200.0, made(settings, on_foot=(wavy,), silent=serves)).on_foot is None


LIMITS = SpanLimits("Rib, 0.40 mm", 900.0, 900.0, 1300.0, ON_FOOT, SPANS[1], ())
OVER = Finding(
    "span-over-code", Severity.STOP,
    "Rib, 0.40 mm spans 1301 mm; the code's longest intermediate span is 1300 mm and its longest end span 900 mm.",
    "Close the purlins, `purlins: {spacing_mm: 1300}` or less, or take a profile that spans further.", source="a book, a clause",
)  # fmt: skip
CURE = "Purlins at 800 mm or less may be walked between."
NOT_AT_ALL = Finding(
    "no-foot-traffic", Severity.WARN, "Rib, 0.40 mm spans 1301 mm, over the 1200 mm at which it carries a person: not to be walked on.",
    CURE, source="a book, a clause",
)  # fmt: skip
WITH_CARE = Finding(
    "restricted-foot-traffic", Severity.NOTE, "Rib, 0.40 mm spans 801 mm: to be walked on with care only, over the purlins.",
    CURE, source="a book, a clause",
)  # fmt: skip


@pytest.mark.parametrize(
    ("widest", "codes"),
    [
        (800.0, []),
        (800.5, []),  # half a millimetre is no further
        (800.6, ["restricted-foot-traffic"]),
        (1200.5, ["restricted-foot-traffic"]),
        (1200.6, ["no-foot-traffic"]),
        (1300.5, ["no-foot-traffic"]),
        (1300.6, ["span-over-code", "no-foot-traffic"]),
    ],
)
def test_how_far_sheets_span(widest: float, codes: list[str], settings: Settings) -> None:
    assert [one.code for one in span_findings(LIMITS, 600.0, widest, settings)] == codes
    # without a bay the gauge is as wide as any
    assert [one.code for one in span_findings(LIMITS, widest, 0.0, settings)] == codes


def test_words_of_spans(settings: Settings) -> None:
    assert span_findings(LIMITS, 600.0, 1301.0, settings) == (OVER, NOT_AT_ALL)
    assert span_findings(LIMITS, 600.0, 801.0, settings) == (WITH_CARE,)
    bare = replace(LIMITS, on_foot=replace(ON_FOOT, unrestricted_mm=0.0))
    cure = "Take thicker sheet for free access; 0.40 mm has none at any span."
    assert span_findings(bare, 600.0, 801.0, settings) == (replace(WITH_CARE, advice=cure),)
    hardly = replace(LIMITS, on_foot=replace(ON_FOOT, unrestricted_mm=0.9))
    assert span_findings(hardly, 600.0, 801.0, settings)[0].advice == "Purlins at 0.9 mm or less may be walked between."
    assert span_findings(replace(LIMITS, row=None, on_foot=None), 600.0, 9999.0, settings) == ()


@pytest.mark.parametrize(("end", "told"), [(900.0, False), (900.5, False), (900.6, True)])
def test_end_bays_over_the_codes(end: float, told: bool, settings: Settings) -> None:
    limits = replace(LIMITS, end_mm=end, code_end_mm=900.0, on_foot=None)
    finding = Finding(
        "end-bay-over-code", Severity.WARN, "End bays of 901 mm are set; the code's most is 900.",
        "Take the code's: `settings: {purlin_edge_bay_mm: 900}` or less.", source="a book, a clause",
    )  # fmt: skip
    assert span_findings(limits, 600.0, 600.0, settings) == ((finding,) if told else ())
    if told:  # without a row of the table by the share itself
        own = settings.basis("end_span_share").words()
        assert span_findings(replace(limits, row=None), 600.0, 600.0, settings) == (replace(finding, source=own),)
