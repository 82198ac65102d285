"""Wind zones, cover and dressing of flashings, and air under roofs, with tables of our own, by hand, at their limits."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.measure.roofing.flashings.dressings import dressing, pieces_needed
from takeoff.measure.roofing.flashings.flashing_cover import Cover, cover_category, flashing_row, pitch_band
from takeoff.measure.roofing.flashings.flashing_movement import expansion_row, movement_findings
from takeoff.measure.roofing.ventilation import ceiling_m2, longest_side_mm, openings_mm2, vent_row, ventilation_need
from takeoff.measure.wind import wind_zone, zone_finding, zone_term
from takeoff.model.basis import SET_IN_JOB, Term
from takeoff.model.code_rules import (
    CoverRow,
    ExpansionRow,
    WindZone,
)
from takeoff.model.edge_kinds import CAPPED_KINDS, EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.site import Site
from takeoff.model.measured import Need
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.wall_rules import VentRow, WallRules

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import OTHER, SEEN, SITE, plane, rules, with_values

# --- wind and cover -----------------------------------------------------------------------------------------------------


def test_the_wind_zone_of_a_site(settings: Settings) -> None:
    assert wind_zone(Site(wind_zone="very_high"), settings) == (
        "very_high",
        Term("wind zone", "very high", "", SET_IN_JOB),
    )
    made = with_values(settings, rules(), wind_zone_if_not_given="very_high")
    assert wind_zone(SITE, made) == ("very_high", made.term("wind_zone_if_not_given"))
    assert zone_finding(Site(wind_zone="low"), made) == ()
    text = "The job gives no wind zone: very high was taken for screws, purlin fixings and flashing cover."
    advice = "Add to the job: `site: {wind_zone: very_high}`"
    listed = f"{advice} (one of low, very_high, extra_high)."
    assert zone_finding(SITE, made) == (Finding("wind-zone-not-given", Severity.WARN, text, listed),)
    bare = with_values(made, replace(rules(), zones=()))
    assert zone_finding(SITE, bare)[0].advice == f"{advice}."
    other = replace(rules(name="other"), zones=(WindZone("N2", 40.0), WindZone("N4", 51.0)))
    assert zone_term(other, "very_high", made) == Term(
        "wind zone", "very high, read as N4 of Code other by design gust", "", OTHER
    )
    assert zone_term(other, "extra_high", made).value == "extra high, read as beyond all of Code other by design gust"
    assert zone_term(made.rules, "very_high", made) == Term("wind zone", "very high", "")


COVERS = (
    CoverRow(("low",), "a", SEEN, from_deg=10.0), CoverRow(("low", "very_high"), "b", SEEN, below_deg=10.0),
    CoverRow(("very_high",), "b", SEEN, from_deg=10.0, below_deg=30.0), CoverRow(("very_high",), "c", SEEN, from_deg=25.0),
)  # fmt: skip


def test_categories_of_flashing_cover(settings: Settings) -> None:
    """A pitch on a limit, to a millionth, stands in the upper row; where two hold, the wider cover."""
    made = with_values(settings, rules(covers=COVERS), flashing_category="by_zone")

    def category(zone: str, pitch: float) -> tuple[str, str]:
        found = cover_category(zone, pitch, made)
        return found.category, found.doubt

    assert [category("low", pitch)[0] for pitch in (9.99999, 9.9999995, 10.0, 10.0000005)] == ["b", "a", "a", "a"]
    assert cover_category("low", 20.0, made) == Cover("a", Term("cover category", "A", "", SEEN, "low"))
    both = "very high wind at 25 degrees stands under categories B and C: the wider cover C was taken"
    assert category("very_high", 25.0) == ("c", both)
    assert category("very_high", 30.0) == ("c", "")
    assert cover_category("extra_high", 20.0, made) == Cover(
        "b", made.term("flashing_category"), "no table gives a category for extra high wind: B was taken"
    )
    calm = replace(rules(name="calm", covers=COVERS), zones=(WindZone("low", 32.0),))
    beyond = cover_category("very_high", 20.0, with_values(settings, rules(calm), flashing_category="by_zone"))
    assert beyond == Cover(
        "c", Term("cover category", "C", "", settings.basis("flashing_category"), "very high"),
        "very high wind is beyond the table of Code calm: the widest cover, C, was taken",
    )  # fmt: skip
    fixed = with_values(settings, rules(), flashing_category="c")
    assert cover_category("low", 20.0, fixed) == Cover("c", fixed.term("flashing_category"))
    distance, terms, words = flashing_row("low", 15.0, made)
    assert distance == made.number("flashing_row_a_8_15_mm")
    assert terms[1:] == (Term("pitch", 15.0, "deg"), made.term("flashing_row_a_8_15_mm"))
    assert words == "15 degrees is the limit of two bands: the lower band was taken"


def test_bands_of_the_purlin_under_a_flashing() -> None:
    bands = [pitch_band(pitch)[0] for pitch in (3.0, 8.0, 15.0, 15.1, 30.0, 30.1, 45.0, 60.0)]
    assert bands == ["8_15", "8_15", "8_15", "15_30", "15_30", "30_45", "30_45", "30_45"]
    outside = "7.5 degrees is outside the table of 8 to 45 degrees: the nearest band was taken"
    assert pitch_band(7.5)[1] == outside
    assert pitch_band(46.0)[1] == outside.replace("7.5", "46")
    assert pitch_band(30.0000005)[1].startswith("30 degrees is the limit")
    assert [pitch_band(pitch)[1] for pitch in (8.0, 7.9999995, 20.0, 45.0, 45.0000005)] == [""] * 5


def test_rows_of_movement_of_flashings() -> None:
    steel, zinc = ExpansionRow("steel", 12_000.0, 18_000.0, SEEN), ExpansionRow("zinc", 9000.0, 12_000.0, SEEN)
    own = rules(rules(expansion=(zinc,)), expansion=(steel,))
    assert [expansion_row(metal, own) for metal in ("steel", "zinc", "lead")] == [steel, zinc, None]


def test_caps_that_move(settings: Settings) -> None:
    """A hundredth over 12 m; of caps along free high edges alone."""
    steel = ExpansionRow("steel", 12_000.0, 18_000.0, SEEN)
    made = with_values(settings, rules(expansion=(steel,)), flashing_metal="steel")

    def run(name: str, kind: EdgeKind, long: float) -> Any:
        return SimpleNamespace(edge=name, kind=kind, net_mm=long)

    free = next(kind for kind in EdgeKind if kind in CAPPED_KINDS)
    bound = next(kind for kind in EdgeKind if kind not in CAPPED_KINDS)
    runs = [
        run("T1", free, 12_000.0),
        run("T2", free, 12_000.01),
        run("T3", free, 12_340.0),
        run("T4", bound, 30_000.0),
        run("T5", free, 12_000.02),
    ]
    assert movement_findings(runs, made) == tuple(
        Finding(
            "flashing-movement", Severity.WARN,
            f"The cap on {name} is {long} m long; fixed, steel needs a joint for movement every 12 m, held by clips every 18 m, and "
            "one within 2 m of corners.",
            "Put joints for movement in it, which are not in this order.", (name,), source="a book, a clause",
        )
        for name, long in (("T3", "12.3"), ("T5", "12.0"))
    )  # fmt: skip
    assert movement_findings(runs, with_values(made, rules())) == ()


def test_how_ends_of_flashings_are_dressed() -> None:
    """A barge drops at its foot and is mitred at its head; what goes up is dressed into the gutter; a ridge to what it
    joins, to a wall, else to the barge."""
    eave, verge, hip, wall = EdgeKind.EAVE, EdgeKind.VERGE, EdgeKind.HIP, EdgeKind.APRON_SIDE
    rows = [
        (verge, (eave,), True, "drop"), (verge, (eave,), False, "mitre"),
        (hip, (eave,), True, "eave"), (hip, (verge,), True, "eave"), (hip, (hip,), True, "junction"),
        (hip, (eave,), False, "junction"), (EdgeKind.RIDGE, (hip,), False, "junction"), (EdgeKind.RIDGE, (wall,), True, "wall"),
        (EdgeKind.RIDGE, (verge,), True, "barge"), (EdgeKind.RIDGE, (), True, "barge"),
        (EdgeKind.INTERNAL_GUTTER, (verge,), True, "junction"), (EdgeKind.INTERNAL_GUTTER, (), True, "barge"),
        (EdgeKind.APRON_HEAD, (wall,), True, "junction"), (EdgeKind.PITCH_CHANGE, (wall,), True, "barge"),
    ]  # fmt: skip
    assert [dressing(kind, meets, low) for kind, meets, low, _ in rows] == [
        f"flashing_dress_{word}_mm" for *_, word in rows
    ]
    # (12 000.01 - 200) / (5000 - 200) is 2.46, 3; 9800.01 are just two
    assert [pieces_needed(run, 5000.0, 200.0) for run in (10.0, 5000.0, 9800.01, 9800.02)] == [1, 1, 2, 3]
    with pytest.raises(ValueError, match=r"^a stock length of 150 mm is not longer than the lap of 150 mm$"):
        pieces_needed(9.0, 150, 150)


# --- ventilation --------------------------------------------------------------------------------------------------------

VENTS = (
    VentRow(15.0, SEEN, two_ends_mm2_per_m=25_000.0), VentRow(75.0, SEEN, 0.0, 7000.0, 5000.0, 11_000.0),
    VentRow(80.0, SEEN, ceiling_share=0.004),
)  # fmt: skip


def roof(*planes: RoofPlane) -> Roof:
    """An L of 12 x 6 and 6 x 3 m turned by 3 : 4 : 5, a courtyard of 1 x 1 in it."""
    ell = ((0.0, 0.0), (12e3, 0.0), (12e3, 6e3), (6e3, 6e3), (6e3, 9e3), (0.0, 9e3))
    turned = tuple((0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y) for x, y in ell)
    court = tuple((0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y) for x, y in ((1e3, 3e3), (1e3, 4e3), (2e3, 4e3), (2e3, 3e3)))
    return Roof("main", (0.0, 0.0, 0.0), (turned, court), (), (), planes, (), (), ())


def test_openings_for_the_air_under_a_roof(settings: Settings) -> None:
    """12 m along its longest side, 12 x 6 + 6 x 3 - 1 = 89 m2 of ceiling; under 15 degrees 25 000 mm2 a metre at two ends,
    from 15 on 7000 + 11 000 at the eaves of a cathedral ceiling and 5000 high up."""
    flat_top = plane(2.0, covering=Covering.OTHER)
    made = roof(plane(30.0), plane(14.99), flat_top)
    assert longest_side_mm(made) == pytest.approx(12_000.0)
    assert ceiling_m2(made) == pytest.approx(89.0)
    # wherever its plan begins
    moved = tuple(tuple((x + 21e3, y - 8e3) for x, y in ring) for ring in made.outline_mm)
    assert longest_side_mm(replace(made, outline_mm=moved)) == pytest.approx(12_000.0)
    # leaning, it reaches 6 m along a side of 4; a corner typed twice is no side
    leaning = ((1e3, 5e3), (5e3, 5e3), (7e3, 7e3), (7e3, 7e3), (3e3, 7e3))
    assert longest_side_mm(replace(made, outline_mm=(leaning,))) == pytest.approx(6000.0)
    inside = ((0.0, 0.0), (4e3, 0.0), (4e3, 5e3), (0.0, 5e3))
    assert ceiling_m2(replace(made, wall_line_mm=(inside,))) == 20.0
    assert [vent_row(pitch, VENTS) for pitch in (14.99, 15.0, 74.9, 79.0, 80.0)] == [
        *VENTS[:2],
        VENTS[1],
        VENTS[2],
        None,
    ]
    assert openings_mm2(VENTS[1], 10.0, 90.0, True) == (("at the eaves", 180_000.0), ("high up", 50_000.0))
    assert openings_mm2(VENTS[1], 10.0, 90.0, False) == (("at the eaves", 70_000.0), ("high up", 50_000.0))
    own = rules(walls=WallRules(ventilation=VENTS))
    values = {"insulation_gap_mm": 21, "insulation_gap_eave_mm": 26, "cathedral_ceiling": True}
    asked = with_values(settings, own, roof_ventilation=True, **values)
    assert ventilation_need([made], with_values(settings, own)) == Need("roofing")
    advice = "Openings are not in this order. Keep insulation 21 mm clear under the roofing, 26 mm at the eave."

    def said(*planes: RoofPlane) -> Finding:
        need = ventilation_need([roof(*planes)], asked)
        (finding,) = need.findings
        assert need == Need("roofing", findings=(finding,))
        return finding

    note = Finding("roof-ventilation", Severity.NOTE, "", advice, source="a book, a clause")
    along = "12.00 m along its longest side: openings of"
    assert said(plane(30.0), plane(14.94), flat_top) == replace(
        note, text=f"Roof main, 14.9 degrees, {along} 300 000 mm2 at two opposite ends, each are wanted."
    )
    assert said(plane(30.0)) == replace(
        note, text=f"Roof main, 30.0 degrees, {along} 216 000 mm2 at the eaves and 60 000 mm2 high up are wanted."
    )
    assert said(plane(78.0)) == replace(
        note, text="Roof main, 78.0 degrees, 89.0 m2 of ceiling: openings of 356 000 mm2 in all are wanted."
    )
    text = "Roof main: the code's table of ventilation says nothing of a pitch of 90.0 degrees."
    assert said(flat_top) == Finding("roof-ventilation", Severity.WARN, text, "Have it designed.")
