"""Least pitches, transport, laps, movement and screws of sheets, with tables of our own, by hand, at their limits, with
every sentence."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.sheets.pitch_rules import least_pitch, pitch_findings, pitch_row
from takeoff.measure.roofing.sheets.sheet_checks import lap_findings, movement, movement_findings, transport_findings
from takeoff.measure.sheeting.end_laps import LapLines
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.code_rules import (
    NOT_ALLOWED,
    PitchRow,
    ScrewPattern,
    ScrewRow,
)
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site
from takeoff.model.measured import RoofScrews
from takeoff.model.products import Profile, ProfileKind, ProfileShape
from takeoff.model.settings import Settings
from takeoff.model.sheets import CutShape, EndCut, SheetPiece

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import OTHER, RIBBED, SEEN, SITE, plane, rules, with_values

# --- least pitch --------------------------------------------------------------------------------------------------------

SHALLOW = PitchRow("trapezoidal", 4.0, SEEN, 20.0, 30.0, 6.0, OTHER)
DEEP = replace(SHALLOW, depth_mm=27.0, pitch_deg=3.0, run_m=40.0, lapped_deg=0.0)
DEEPER = replace(SHALLOW, depth_mm=29.1, pitch_deg=2.0)


def test_the_row_of_a_profile_is_the_deepest_that_is_no_deeper() -> None:
    table = rules(pitches=(SHALLOW, DEEPER, DEEP, PitchRow("corrugate", 8.0, SEEN)))
    assert pitch_row(RIBBED, table) is DEEP
    assert pitch_row(replace(RIBBED, depth_mm=29.1), table) is DEEPER
    assert pitch_row(replace(RIBBED, depth_mm=26.9), table) is SHALLOW
    assert pitch_row(replace(RIBBED, depth_mm=19.0), table) is None
    assert pitch_row(RIBBED, rules(table)) is DEEP
    odd = replace(RIBBED, shape=ProfileShape.TRAPEZOIDAL_ASYMMETRICAL)
    own = PitchRow("trapezoidal_asymmetrical", 5.0, SEEN)
    assert pitch_row(odd, rules(pitches=(SHALLOW, own))) is own


def test_least_pitch_of_a_profile_and_of_its_run(settings: Settings) -> None:
    """Runs over 40 m need 1 degree more; over 100 mm/h a further degree each 10 m begun over 40 (code of practice)."""
    made = with_values(settings, rules(pitches=(SHALLOW,)))
    name = "least pitch of trapezoidal, depth 29 mm"
    first = Term(name, 4.0, "deg", SEEN)
    rule = "least pitch of the profile, more for long runs"
    last = Term("least pitch", 4.0, "deg")
    assert least_pitch(RIBBED, 40_000.5, False, SITE, made) == Working(rule, (first, last))
    lapped = Term(f"{name}, end-lapped", 6.0, "deg", OTHER)
    assert least_pitch(RIBBED, 9000.0, True, SITE, made) == Working(rule, (lapped, replace(last, value=6.0)))
    long = least_pitch(RIBBED, 40_001.0, False, SITE, made)
    more = (Term("run", 40_001, "mm"), made.term("long_run_pitch_deg"), made.term("long_run_mm"))
    assert long == Working(rule, (first, *more, replace(last, value=5.0)))

    def wet(run_mm: float, rain: float) -> float:
        found = least_pitch(RIBBED, run_mm, False, Site(rain_mm_per_h=rain), made)
        assert found is not None
        return float(found.terms[-1].value)

    assert [wet(run, 101.0) for run in (40_000.0, 40_001.0, 50_000.5, 50_001.0)] == [4.0, 6.0, 6.0, 7.0]
    assert wet(50_001.0, 100.0) == 5.0
    own = replace(RIBBED, least_pitch_deg=2.5)
    assert least_pitch(own, 9000.0, True, SITE, made) == Working(
        rule, (Term("least_pitch_deg", 2.5, "deg", SEEN), Term("least pitch", 2.5, "deg"))
    )
    both = least_pitch(replace(own, least_pitch_lapped_deg=3.5), 9000.0, True, SITE, made)
    assert both is not None
    assert both.terms[0] == Term("least_pitch_lapped_deg", 3.5, "deg", SEEN)
    assert least_pitch(RIBBED, 9000.0, True, SITE, with_values(settings, rules())) is None


def test_what_is_said_of_a_pitch(settings: Settings) -> None:
    """On the limit, within a hundredth of a degree, it passes."""
    made = with_values(settings, rules(pitches=(SHALLOW,)))

    def said(pitch: float, run: float = 9000.0, lapped: bool = False, profile: Profile = RIBBED) -> tuple[Finding, ...]:
        return pitch_findings(plane(pitch), profile, run, lapped, SITE, made)

    assert said(4.0) == said(3.9901) == ()
    assert said(3.98) == (
        Finding(
            "pitch-below-least", Severity.STOP,
            "P1 has a pitch of 4.0 degrees; Five Rib needs 4 degrees for its run of 9.0 m.",
            "Give a steeper pitch or a profile made for this one.", ("P1",), source="a book, a clause",
        ),
    )  # fmt: skip
    (lapped,) = said(5.0, lapped=True)
    assert lapped.text == "P1 has a pitch of 5.0 degrees; end-lapped Five Rib needs 6 degrees for its run of 9.0 m."
    assert (
        lapped.advice
        == "Give a steeper pitch or a profile made for this one, or longer pieces so that no end lap is needed."
    )
    assert said(5.0, 30_000.5) == ()
    silent = with_values(settings, rules(pitches=(replace(SHALLOW, run_m=0.0),)))  # a table that says nothing of runs
    assert pitch_findings(plane(5.0), RIBBED, 30_001.0, False, SITE, silent) == ()
    short = with_values(settings, rules(pitches=(replace(SHALLOW, run_m=0.9),)))
    assert [one.code for one in pitch_findings(plane(5.0), RIBBED, 901.0, False, SITE, short)] == ["run-off-to-check"]
    assert said(5.0, 30_001.0) == (
        Finding(
            "run-off-to-check", Severity.WARN,
            "P1 drains over 30.0 m of Five Rib; its least pitch of 4 degrees is for runs to 30 m.",
            "Check the run-off of Five Rib at 5.0 degrees by its maker's table.", refs=("P1",), source="a book, a clause",
        ),
    )  # fmt: skip
    own = replace(RIBBED, least_pitch_deg=2.5)
    assert said(5.0, 60_000.5, profile=own) == ()
    assert said(5.0, 60_001.0, profile=own) == (
        Finding(
            "run-beyond-rule", Severity.WARN,
            "P1 drains over 60.0 m of sheet; the rule for least pitch holds no further.",
            "Ask the profile's maker, or break the run with a step.", refs=("P1",),
        ),
    )  # fmt: skip
    assert pitch_findings(plane(5.0), RIBBED, 9000.0, False, SITE, with_values(settings, rules())) == (
        Finding(
            "least-pitch-not-known", Severity.WARN,
            "P1: neither the code nor its data gives a least pitch for Five Rib, 29 mm deep.",
            "Ask its maker for the least pitch.", refs=("P1",),
        ),
    )  # fmt: skip


# --- transport, laps, movement ------------------------------------------------------------------------------------------


def piece(mark: str, order: float) -> SheetPiece:
    square = EndCut(CutShape.SQUARE)
    return SheetPiece(
        mark, "P1", 1, 1, 0, "x", "left", "right", (), (), order, order, order, order, 0.0, square, square, 0.0, Working("")
    )  # fmt: skip


def test_sheets_longer_than_a_truck(settings: Settings) -> None:
    """An ordinary truck takes 12 m, a special one is wanted over 25 m (settings, from memory)."""
    assert transport_findings((), SITE, settings) == ()
    assert transport_findings((piece("P1.01", 12_000.0),), SITE, settings) == ()
    long = (piece("P1.02", 12_001.0), piece("P1.01", 12_001.0), piece("P1.03", 3000.0))
    assert transport_findings(long, SITE, settings) == (
        Finding(
            "longer-than-truck", Severity.WARN,
            "P1.02 is 12.001 m long, more than an ordinary truck brings; it is kept in one length.",
            "To have longer ones end-lapped, add to the job: `site: {longest_piece_mm: 12000}`.", refs=("P1.02",),
        ),
    )  # fmt: skip
    assert transport_findings(long, Site(longest_piece_mm=25_000.0), settings) == ()
    assert transport_findings((piece("P1.01", 25_000.0),), Site(longest_piece_mm=25_000.0), settings) == ()
    assert transport_findings((piece("P1.01", 25_001.0),), Site(longest_piece_mm=26_000.0), settings) == (
        Finding(
            "special-transport", Severity.WARN, "P1.01 is 25.001 m long and needs special transport.",
            "Ask the carrier, or have sheets end-lapped: `site: {longest_piece_mm: 12000}`.", refs=("P1.01",),
        ),
    )  # fmt: skip


def test_what_an_end_lap_asks_for() -> None:
    assert lap_findings(plane(10.0), None, 6000.0) == ()
    assert lap_findings(plane(10.0), LapLines((), 150.0, (), possible=False), 700.4) == (
        Finding(
            "longest-piece-too-short", Severity.STOP, "P1: pieces of 700 mm are too short to be lapped 150 mm.",
            "Let longer pieces come: `site: {longest_piece_mm: 12000}`.", refs=("P1",),
        ),
    )  # fmt: skip
    lapped = Finding(
        "end-lapped", Severity.NOTE,
        "P1 is end-lapped 150 mm for transport; upper sheets start 4283, 8567 mm up the rake.",
        "Put a purlin under each lap and screw through it; seal both ends. The lower tier is laid first.", refs=("P1",),
    )  # fmt: skip
    laps = LapLines((4283.3, 8566.7), 150.0, (), from_deg=5.0)
    assert lap_findings(plane(4.991), laps, 6000.0) == (lapped,)
    assert lap_findings(plane(4.98), laps, 6000.0) == (
        lapped,
        Finding(
            "lap-outside-table", Severity.WARN, "P1: 5.0 degrees is below the pitches its end lap holds for.",
            "Ask the profile's maker for the lap.", refs=("P1",),
        ),
    )  # fmt: skip


def test_movement_of_long_sheets(settings: Settings) -> None:
    """0.012 mm a metre and degree x 75 K x 30 m = 27 mm; what profile, code and timber allow."""
    made = with_values(settings, steel_movement_mm_per_m_deg=0.012, pierced_most_mm=24_000.0, movement_over_mm=18_000.0,
                       light_pan_most_mm=15_000.0, dark_pan_most_mm=10_500.0)  # fmt: skip
    moved, working = movement(30_000.4, made)
    assert moved == pytest.approx(27.00036)
    assert working == Working(
        "movement = expansion x temperature range x longest run",
        (
            Term("longest run, lapped lengths as one", 30_000, "mm"),
            made.term("steel_movement_mm_per_m_deg"),
            made.term("roof_temperature_range_k"),
        ),
    )
    limited = replace(RIBBED, expansion_limit_mm=26.9)
    over, pierced, provision = movement_findings(plane(10.0), limited, 30_000.0, 27.0, made)
    assert over == Finding(
        "movement-over-limit", Severity.STOP, "P1: its longest run moves 27.0 mm with temperature; Five Rib takes 26.9 mm.",
        "Break the run with a step: an end lap does not help, lapped lengths move as one.", refs=("P1",),
        source="a book, a clause",
    )  # fmt: skip
    assert pierced == Finding(
        "pierced-too-long", Severity.STOP,
        "P1: its longest run is 30.0 m; sheets fixed through are at most 24 m between their end fasteners, lapped lengths"
        " counted as one.",
        "Break the run with a step, or take a profile held by clips.", refs=("P1",), source=made.basis("pierced_most_mm").words(),
    )  # fmt: skip
    assert provision == Finding(
        "movement-provision", Severity.WARN,
        "P1: its longest run is 30.0 m and moves 27.0 mm with temperature; runs over 18 m into timber need provision for"
        " movement.",
        "Have the fixings designed to move: oversize holes with washers, or clips. Fixed through the pans a light colour goes"
        " to 15 m, a dark one to 10.5 m.",
        refs=("P1",), source=made.basis("movement_over_mm").words(),
    )  # fmt: skip
    equal = replace(RIBBED, expansion_limit_mm=27.0)
    codes = [
        [one.code for one in movement_findings(plane(10.0), profile, run, 27.0, values)]
        for profile, run, values in (
            (equal, 24_000.5, made),
            (equal, 18_000.5, made),
            (replace(RIBBED, kind=ProfileKind.TRAY), 30_000.0, made),
            (RIBBED, 30_000.0, with_values(made, pierced_most_mm=0.0, movement_over_mm=0.0)),
        )
    ]
    assert codes == [["movement-provision"], [], ["movement-provision"], []]
    (bare,) = movement_findings(plane(10.0), replace(limited, basis={}), 3000.0, 27.0, made)
    assert bare.source == ""


# --- screws -------------------------------------------------------------------------------------------------------------

END, MIDDLE = ScrewPattern("A", 5, 5, "every rib", OTHER), ScrewPattern("B", 2, 4, "every second rib", OTHER)
ZONED = (
    ScrewRow("five_rib", 0.4, SEEN, 900.0, ("A", "B", NOT_ALLOWED)), ScrewRow("five_rib", 0.4, SEEN, 600.0, ("B", "A", "A")),
    ScrewRow("five_rib", 0.55, SEEN, 1200.0, ("B", "B", "A")), ScrewRow("corrugate", 0.3, SEEN, end="A", internal="B"),
)  # fmt: skip


def test_screws_by_span_and_wind(settings: Settings) -> None:
    """Four ribs a sheet: 5 of 5 is 4, 2 of 4 is 2. The narrowest span that holds, to half a millimetre; the thickness that
    is no thicker."""
    made = with_values(settings, rules(screws=ZONED, patterns=(END, MIDDLE)))

    def screws(bmt: float, span: float, zone: str) -> tuple[RoofScrews, tuple[Finding, ...]]:
        return roof_screws(RIBBED, bmt, span, zone, made)

    found, findings = screws(0.45, 900.5, "very_high")
    metal, wide = Term("metal", 0.4, "mm", SEEN), Term("widest bay", 900, "mm")
    zone, pattern = Term("wind zone", "very high", ""), Term("pattern B, every second rib", 2, "on 4 ribs", SEEN)
    words = "B: every second rib, on every row"
    assert found == RoofScrews(2, 2, words, (metal, wide, zone, pattern), 900.5)
    assert findings == ()
    assert [screws(bmt, span, "low")[0].end for bmt, span in ((0.4, 600.5), (0.4, 601.0), (0.55, 1200.0))] == [2, 4, 2]
    found, (stop,) = screws(0.4, 900.6, "low")
    assert (found.end, found.between) == (4, 3)  # as set: 5 and 3, no more than its ribs
    assert stop == Finding(
        "screws-not-allowed", Severity.STOP,
        "Five Rib of 0.40 mm on purlins up to 901 mm apart: the code allows no fixing in a low wind zone.",
        "Allowed there: 0.40 mm sheet on purlins at 900 mm or 0.55 mm sheet on purlins at 1200 mm, or closer.",
        source="a book, a clause",
    )  # fmt: skip
    _, (stop,) = screws(0.4, 900.0, "extra_high")
    assert stop.text.endswith("allows no fixing in a extra high wind zone.")
    assert (
        stop.advice
        == "Allowed there: 0.40 mm sheet on purlins at 600 mm or 0.55 mm sheet on purlins at 1200 mm, or closer."
    )
    none = rules(screws=(replace(ZONED[0], by_zone=(NOT_ALLOWED,) * 3),), patterns=(END, MIDDLE))
    _, (stop,) = roof_screws(RIBBED, 0.4, 600.0, "low", with_values(settings, none))
    assert stop.advice == "Have the fixing designed, and add it: `settings: {screws_end: 5, screws_middle: 3}`."


def test_screws_by_the_end_of_sheets_as_set_and_of_trays(settings: Settings) -> None:
    corrugate = replace(RIBBED, kind=ProfileKind.CORRUGATED, cover_mm=762.0, rib_pitch_mm=76.2)
    made = with_values(settings, rules(screws=ZONED, patterns=(END, MIDDLE)))
    found, findings = roof_screws(corrugate, 0.4, 5000.0, "low", made)
    terms = (
        Term("metal", 0.3, "mm", SEEN), Term("pattern A, every rib", 5, "on 5 ribs", OTHER),
        Term("pattern B, every second rib", 2, "on 4 ribs", OTHER),
    )  # fmt: skip
    words = "every rib on rows at the ends of sheets; every second rib on rows between"
    assert (found, findings) == (RoofScrews(10, 5, words, terms, 5000.0), ())
    deep = rules(screws=(replace(ZONED[3], least_depth_mm=29.1),), patterns=(END, MIDDLE))
    _, (unknown,) = roof_screws(corrugate, 0.4, 900.0, "low", with_values(settings, deep))
    assert unknown == Finding(
        "screw-pattern-not-known", Severity.WARN,
        "No code gives a screw pattern for Five Rib of 0.40 mm, 29 mm deep: screws are counted as 5 a sheet on end rows, 3"
        " between.",
        "Add what its maker's table says for the wind zone: `settings: {screws_end: 5, screws_middle: 3}`.",
        source=settings.basis("screws_end").words(),
    )  # fmt: skip
    silent = with_values(settings, rules(rules(name="next", screws=ZONED, patterns=(END, MIDDLE))))
    assert roof_screws(corrugate, 0.4, 900.0, "low", silent)[0].end == 10
    tray = replace(RIBBED, kind=ProfileKind.TRAY)
    assert roof_screws(tray, 0.4, 900.0, "low", made) == (RoofScrews(1, 1, "one clip a rib", (), 900.0), ())
    own = replace(settings.values["screws_middle"], value=2, basis=SET_IN_JOB)
    given = Settings({**made.values, "screws_middle": own}, rules=made.rules)
    found, findings = roof_screws(corrugate, 0.4, 900.0, "low", given)
    assert found == RoofScrews(
        5, 2, "5 a sheet on rows at the ends of sheets, 2 on rows between",
        (given.term("screws_end"), given.term("screws_middle")), 900.0,
    )  # fmt: skip
    assert findings == ()
