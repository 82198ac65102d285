"""Holes and clear sheets of a roof by hand: a gable 9.0 x 7.2 m at 25 degrees, laid from the east, purlins at 900."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.polygons import signed_area
from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.roofing import measure_roofing
from takeoff.model.job.job import Job
from takeoff.model.measured import RoofingMeasured
from takeoff.order.sheets.sheet_orders import sheet_orders
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules, resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

K = 1.0 / cos(radians(25.0))
WINDOW = {"name": "window", "kind": "roof_window", "at": (4000.0, 4400.0), "width_mm": 780.0, "length_mm": 1180.0}
FLUE = {"name": "flue", "kind": "flue", "at": (2000.0, 1650.0), "diameter_mm": 200.0}
VENT = {"name": "vent", "kind": "pipe", "at": (6700.0, 4700.0), "diameter_mm": 100.0}
LIGHT = {"edge": 1, "from_left_mm": 6500.0, "strips": 2, "up_mm": 900.0, "length_mm": 2000.0}


# rows at 50, 950, 1850 ... and laps of 150, so that what lies between them is easily worked by hand
PLAIN = {"purlin_edge_bay_mm": 900.0, "purlin_least_bay_mm": 70.0, "clear_lap_mm": 150.0}


def job(*holes: Mapping[str, Any], lights: tuple[Mapping[str, Any], ...] = (), **settings: float | str) -> Job:
    roof = {
        "outline": [(-300.0, -600.0), (8700.0, -600.0), (8700.0, 6600.0), (-300.0, 6600.0)],
        "pitch_deg": 25.0,
        "fascia_height_mm": 2400.0,
        "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}},
        "covering": {"lay_from": "east", "bmt_mm": 0.55},
        "penetrations": list(holes),
        "rooflight_sheets": list(lights),
    }
    values = {**PLAIN, **settings}
    return Job.model_validate({"job": "cottage", "site": {"wind_zone": "high"}, "roofs": [roof], "settings": values})


def measured(given: Job) -> RoofingMeasured:
    settings = resolve_settings(given)
    roof = roof_from_outline(given.roofs[0], 0.0, settings)
    return measure_roofing((roof,), given, settings, load_catalogue())


def figures(roofing: RoofingMeasured, trade: str = "flashings") -> dict[str, float]:
    return {q.item: q.figure for need in roofing.needs if need.trade == trade for q in need.quantities}


def findings(roofing: RoofingMeasured) -> list[str]:
    found = [finding.code for need in roofing.needs for finding in need.findings]
    return found + [finding.code for sheets in roofing.sheets for finding in sheets.findings]


def lines(roofing: RoofingMeasured, role: str, plane: str) -> list[tuple[float, ...]]:
    own = [line for line in roofing.purlins if line.role == role and line.plane == plane]
    return [tuple(round(x, 1) for x in (*line.a_uv, *line.b_uv)) for line in own]


def test_a_hole_lies_on_its_plane_and_sheet() -> None:
    """The flue: 1650 + 600 from the eave on the plan is 2250 / cos 25 = 2482.6 up the slope, 2300 from the west end. An
    upright 200 pipe makes a hole of 200 / cos 25 = 220.7. Sheets start at 9000: (9000 - 2300) / 762 = 8.79, the ninth,
    whose left edge is 9000 - 9 x 762 - 83 = 2059; 2200 - 2059 = 141. Its foot is 50 over the eave."""
    (hole,) = measured(job(FLUE)).holes
    assert (hole.id, hole.plane, hole.flashing, hole.trimmed) == ("X1", "P1", "boot and back", False)
    assert hole.centre_uv == pytest.approx((2300.0, 2250.0 * K))
    assert (hole.width_mm, hole.length_mm) == pytest.approx((200.0, 200.0 * K))
    (sheet,) = hole.sheets
    assert sheet.mark == "P1.09"
    assert (sheet.left_mm, sheet.right_mm) == pytest.approx((141.0, 341.0))
    assert (sheet.low_mm, sheet.high_mm) == pytest.approx((2250.0 * K - 100.0 * K + 50.0, 2350.0 * K + 50.0))


def test_a_hole_over_a_lap_is_cut_in_both_sheets() -> None:
    (hole,) = measured(job(WINDOW)).holes
    assert [sheet.mark for sheet in hole.sheets] == ["P2.06", "P2.07"]
    # together, less the lap of 83 they both have, they are the hole
    assert sum(sheet.right_mm - sheet.left_mm for sheet in hole.sheets) - 83.0 == pytest.approx(780.0)


def test_flashings_of_a_flue_by_type() -> None:
    """Width 200 + 2 x 2 crests of 76.2 = 504.8. Type a: from the ridge, 3972.2 up, past the hole (2482.6 - 110.3) by
    150: 1749.9. Type b: 220.7 + 2 x 150 = 520.7."""
    assert {item: n for item, n in figures(measured(job(FLUE))).items() if "boot" in item} == {
        "flue_boot_200": 1.0,
        "back_flashing_under_a_boot_505x1750": 1.0,
    }
    sealed = figures(measured(job(FLUE, penetration_type="b")))
    assert sealed["sealed_flashing_under_a_boot_505x521"] == 1.0


def test_flashings_of_a_window() -> None:
    """Width 780 + 4 x 76.2 = 1084.8; apron 150 + 100; sides 1180 + 300; back from the ridge to the window's head at
    2200 / cos 25 + 590 = 3017.4 and 100 up the kerb: 3972.2 - 3017.4 + 100 = 1054.7."""
    found = figures(measured(job(WINDOW)))
    for item in ("kerb_apron_1085x250", "kerb_side_left_1480", "kerb_side_right_1480", "kerb_back_1085x1055"):
        assert found[item] == 1.0


def test_a_small_pipe_has_a_boot_only_and_like_pipes_are_counted_together() -> None:
    more = {**VENT, "name": "other", "at": (5000.0, 4700.0)}
    found = figures(measured(job(VENT, more)))
    assert {item: n for item, n in found.items() if "boot" in item or "kerb" in item} == {"pipe_boot_100": 2.0}


def test_a_window_is_trimmed_and_cuts_the_rows_it_crosses() -> None:
    """The window lies from 4310 to 5090 and 1837.4 to 3017.4. Rows at 1850 and 2750 cross it: the upper stops at the
    side trimmers, 70 either side; the lower would lie on the trimmer below the window (1837.4 - 35 = 1802.4) and gives
    way to it from rafter to rafter, 3600 to 5400 (set out from the middle, 4500, at 900)."""
    roofing = measured(job(WINDOW))
    assert lines(roofing, "hole trimmer", "P2") == [
        (3600.0, 1802.4, 5400.0, 1802.4),
        (3600.0, 3052.4, 5400.0, 3052.4),
        (4275.0, 1837.4, 4275.0, 3017.4),
        (5125.0, 1837.4, 5125.0, 3017.4),
    ]
    assert lines(roofing, "purlin", "P2") == [
        (0.0, 950.0, 9000.0, 950.0),
        (0.0, 1850.0, 3600.0, 1850.0),
        (5400.0, 1850.0, 9000.0, 1850.0),
        (0.0, 2750.0, 4240.0, 2750.0),
        (5160.0, 2750.0, 9000.0, 2750.0),
        (0.0, 3650.0, 9000.0, 3650.0),
    ]
    assert "hole-fall-hazard" in findings(roofing)


@pytest.mark.parametrize(("side", "trimmers"), [(300.0, 0), (301.0, 4)])
def test_holes_over_300_are_trimmed(side: float, trimmers: int) -> None:
    """Code of practice 9.2: over 300 x 300. Between rows at 950 and 1850 it cuts none: 1270 / cos 25 = 1401.3."""
    hole = {"kind": "rooflight", "at": (4000.0, 6600.0 - 1270.0), "width_mm": side, "length_mm": side}
    roofing = measured(job(hole))
    assert len(lines(roofing, "hole trimmer", "P2")) == trimmers
    assert lines(roofing, "purlin", "P2") == lines(measured(job()), "purlin", "P2")


@pytest.mark.parametrize(
    ("y", "hits"), [(1892.0, True), (1766.0, True), (1755.0, False), (2019.0, True), (2030.0, False)]
)
def test_a_pipe_on_a_row_is_told(y: float, hits: bool) -> None:
    """The row at 2750 is timber from 2715 to 2785. The hole, 220.7 long, ends at (y + 600) / cos 25 +- 110.3: at 1766 its
    upper end is 2720.9, at 1755 2708.8; at 2019 its lower end is 2779.4, at 2030 2791.5."""
    assert ("hole-on-purlin" in findings(measured(job({**FLUE, "at": (2000.0, y)})))) == hits


def test_a_flue_is_kept_clear_of_underlay() -> None:
    assert "flue-clearance" in findings(measured(job(FLUE)))
    assert "flue-clearance" not in findings(measured(job(VENT)))


def test_all_faults_of_holes_and_clear_sheets_come_at_once() -> None:
    off = {**VENT, "name": "off", "at": (20000.0, 0.0)}
    on_ridge = {**VENT, "name": "ridge", "at": (4000.0, 3000.0)}
    over = {**VENT, "name": "over", "at": (4100.0, 4500.0)}
    beyond = {**LIGHT, "from_left_mm": 9400.0, "strips": 1}
    with pytest.raises(JobError) as caught:
        measured(job(off, on_ridge, WINDOW, over, lights=(beyond, {**LIGHT, "length_mm": 200.0})))
    text = "\n".join(caught.value.faults)
    assert "(off): 20000, 0 lies on no plane" in text
    assert "(ridge): its hole crosses ridge" in text
    assert "penetrations window and over overlap on P2" in text
    assert "9400 mm along edge 1 (9000 mm long) there is no eave" in text
    assert len(caught.value.faults) >= 5


def test_a_hole_on_a_hip_names_it() -> None:
    given = job({**VENT, "at": (8700.0 - 1500.0, -600.0 + 1500.0)})
    roof = given.roofs[0].model_copy(update={"edges": {}})
    with pytest.raises(JobError, match="its hole crosses hip"):
        measured(given.model_copy(update={"roofs": [roof]}))


def test_a_clear_sheet_takes_the_place_of_metal_with_laps_over_purlins() -> None:
    """Asked for from 900 to 2900 up the slope. Laps of 150 (over 15 degrees) centred on rows at 950 and 2750: from 875
    to 2825, 1950 long. Metal below from -50 to 875 + 150: 1075; above from 2825 - 150 = 2675 to the ridge less 25,
    3947.2: 1272.2, bought 1273."""
    roofing = measured(job(lights=(LIGHT,)))
    own = [piece for piece in roofing.sheets[0].pieces if piece.strip in (3, 4)]
    assert [(p.mark, p.order_mm, round(p.foot_v_mm, 1), p.lap_mm, p.clear) for p in own] == [
        ("P1.03a", 1075.0, -50.0, 150.0, False),
        ("P1.03b", 1950.0, 875.0, 150.0, True),
        ("P1.03c", 1273.0, 2675.0, 0.0, False),
        ("P1.04a", 1075.0, -50.0, 150.0, False),
        ("P1.04b", 1950.0, 875.0, 150.0, True),
        ("P1.04c", 1273.0, 2675.0, 0.0, False),
    ]
    assert "clear-sheet" in findings(roofing)


def test_clear_sheets_are_an_order_of_their_own_and_no_area_is_lost() -> None:
    """1.95 m of 845 mm at 2.4 kg/m2 is 3.95 kg, two 7.9 kg; covers add up to the plane."""
    given = job(lights=(LIGHT,))
    settings = resolve_settings(given)
    roofing = measured(given)
    metal, clear = sheet_orders(
        roofing.groups, given.site, settings, item_book((), roofing.groups, load_catalogue(), settings)
    )
    (line,) = clear.lines
    assert (line.count, line.each_mm, line.kg, line.refs) == (2, 1950.0, 7.9, ("P1.03b", "P1.04b"))
    assert (clear.spares, len(metal.spares)) == ((), 1)
    assert not {"P1.03b", "P1.04b"} & {part.mark for blank in metal.blanks for part in blank.pieces}
    plain = measured(job())
    assert sum(p.net_mm2 for g in roofing.groups for p in g.planes) == pytest.approx(
        sum(p.net_mm2 for g in plain.groups for p in g.planes)
    )
    for sheets in roofing.sheets:
        covered = sum(abs(signed_area(ring)) for piece in sheets.pieces for ring in piece.cover_uv)
        assert covered == pytest.approx(sheets.net_mm2)


def test_clear_sheets_are_lapped_further_than_metal() -> None:
    """Code of practice 11.6A: 250 mm. Centred on rows at 950 and 2750: from 825 to 2875."""
    roofing = measured(job(lights=(LIGHT,), clear_lap_mm=250.0))
    clear = [piece for piece in roofing.sheets[0].pieces if piece.clear]
    assert [(p.order_mm, round(p.foot_v_mm, 1), p.lap_mm) for p in clear] == [(2050.0, 825.0, 250.0)] * 2
    assert resolve_settings(job()).values["clear_lap_mm"].value == 150.0
    assert default_rules().number("clear_lap_mm") == 250.0


def test_a_whole_strip_and_one_from_the_eave() -> None:
    roofing = measured(
        job(
            lights=(
                {"edge": 1, "from_left_mm": 1000.0},
                {"edge": 1, "from_left_mm": 6500.0, "length_mm": 2000.0},
            )
        )
    )
    clear = [p for p in roofing.sheets[0].pieces if p.clear]
    assert [(p.mark, p.order_mm) for p in clear] == [("P1.04a", 1975.0), ("P1.11", 3998.0)]
    (upper,) = [p for p in roofing.sheets[0].pieces if p.mark == "P1.04b"]
    assert round(upper.foot_v_mm, 1) == 1775.0


@pytest.mark.parametrize(
    ("light", "words"),
    [
        ({**LIGHT, "up_mm": 3900.0, "length_mm": 2000.0}, "no single sheet"),
        ({"edge": 3, "from_left_mm": 5000.0, "up_mm": 500.0, "length_mm": 3000.0, "strips": 1}, "window lies in"),
    ],
)
def test_clear_sheets_that_cannot_be_are_refused(light: Mapping[str, Any], words: str) -> None:
    with pytest.raises(JobError) as caught:
        measured(job(WINDOW, lights=(light,)))
    assert any(words in fault for fault in caught.value.faults)


def test_two_clear_sheets_in_one_place_are_refused() -> None:
    whole = {"edge": 1, "from_left_mm": 1000.0}
    with pytest.raises(JobError, match="is a clear sheet already"):
        measured(job(lights=(whole, whole)))


def test_clear_sheets_have_screws_of_their_own() -> None:
    """Each crosses the rows at 950, 1850 and 2750 under its cover from 875 to 2675 but the last: 2 rows of 5 screws on
    two sheets are 20, with 10 % one box of 100. The metal above and below keeps its own."""
    with_light = measured(job(lights=(LIGHT,)))
    screws = next(q for need in with_light.needs for q in need.quantities if q.item == "rooflight_screw")
    assert screws.figure == 1.0
    assert next(term.value for term in screws.working.terms if term.name == "counted") == 20
    assert "rooflight_screw" not in figures(measured(job()), "fixings")


def test_sealed_flashings_take_rivets_and_sealant() -> None:
    """Round the flue, type b: 2 x (504.8 + 220.7 + 300) = 2051 mm, 42 rivets at 50."""
    roofing = measured(job(FLUE, penetration_type="b"))
    rivets = next(q for need in roofing.needs for q in need.quantities if q.item == "rivet")
    assert next(t.value for t in rivets.working.terms if t.name == "round sealed flashings of holes") == 42


def test_without_holes_nothing_changes() -> None:
    roofing = measured(job())
    assert roofing.holes == ()
    assert len(roofing.groups) == 1
    assert not any("boot" in item or "kerb" in item for item in figures(roofing))
    assert lines(roofing, "hole trimmer", "P1") == []
