"""The tank's result as tables and as a picture, from a result made by hand: every figure of a row is another one, so that
none can stand in another's place. Litres, days and shares are invented; what is checked is where and how they are told.
"""

from __future__ import annotations

import datetime
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.rain_series import DailyRain
from takeoff.model.tank_store import FedBy, MonthBalance, SizeResult, TankFeed, TankResult, Use
from takeoff.write.differences.tables import Table
from takeoff.write.tank.tank_picture import _ticks, tank_svg
from takeoff.write.tank.tank_tables import shown_tables, tank_tables, title_of
from takeoff.write.words.words import number

SVG = "{http://www.w3.org/2000/svg}"
DAY = datetime.date
PRACTICE = Basis(Status.COMMON_PRACTICE)


def size(volume: float, by_time: float, by_volume: float, worst: float, **more: float) -> SizeResult:
    """Over four years. Its water: run-off 9000, flush 500, discarded 90, start 1000."""
    return SizeResult(
        volume, by_time, by_volume, 30, 12, DAY(2017, 2, 3), 2017, worst, 21, 9000.0, 500.0, 90.0, 6400.0, 1806.0, 1000.0,
        1204.0, more.get("carted", 4400.0), 3,
    )  # fmt: skip


FEEDS = (
    TankFeed(
        "tank 1", 20000.0, 0.0, 0.0, 0.0, "dry", ("DP1", "DP2"),
        (
            FedBy("P1", "DP1", 40.125, Term("runoff", 0.9, "")),
            FedBy("P2", "DP2", 10.0, Term("runoff", 0.8, "")),
        ),
        12.25, 1.625, "80", None,
    ),
    TankFeed("tank 2", 5000.0, 0.0, 0.0, 0.0, "wet", ("DP3",), (FedBy("P3", "DP3", 7.5, Term("runoff", 0.5, "")),), 0.0, 9.0, "", None),
)  # fmt: skip
RESULT = TankResult(
    "Hut", "B", "yield_before_spillage", FEEDS,
    # 100 L a day in January, 200 in the other months: 200 - 100 x 31 / 365.25 = 191.513
    Use((100.0, *(200.0,) * 11), Working("people x litres", (Term("people", 2.0, "", PRACTICE, "--people"),))),
    DailyRain("rain.csv", DAY(2017, 1, 1), (2.0,) * 1461),  # four years: 730.5 mm in each
    (size(5000.0, 0.5, 0.625, 800.0), size(10000.0, 0.75, 0.85, 0.0, carted=0.0), size(40000.0, 0.9, 1.0, 300.0)),
    (5000.0, 40000.0), 12000.0, 10000.0, 61234.0,
    Working("roof x rain", (Term("mean_rain_mm", 730.5, "mm", PRACTICE, "rain.csv"),)),
    level=((DAY(2017, 1, 31), 1000.0), (DAY(2017, 2, 1), 4000.0), (DAY(2017, 2, 2), 2500.0), (DAY(2017, 3, 1), 0.0)),
    findings=(
        Finding("a", Severity.NOTE, "told last", "nothing"),
        Finding("b", Severity.STOP, "told first", "stop"),
        Finding("c", Severity.WARN, "told between", "look"),
    ),
)  # fmt: skip


def table(title: str, result: TankResult = RESULT) -> Table:
    (found,) = (table for table in tank_tables(result) if table.title == title)
    return found


def test_the_tables_in_their_order() -> None:
    assert title_of(RESULT) == "Hut, revision B: store of rainwater"
    titles = [table.title for table in tank_tables(RESULT)]
    assert titles == ["Sizes", "Water", "Year", "Fed by", "Use", "Curve", "Cautions"]
    assert [table.title for table in shown_tables(RESULT)] == ["Sizes", "Water", "Year", "Fed by", "Use", "Cautions"]
    none = replace(RESULT, results=(), months=(MonthBalance(2, 30.0, 25.0, 20.0, 4.0, 6.0),))
    assert [table.title for table in tank_tables(none)] == ["Months", "Year", "Fed by", "Use", "Cautions"]


def test_the_sizes_a_year_over_four_years() -> None:
    """30 days short / 4 = 7.5 a year; 1806 L / 4 = 451.5, up to 452; 4400 / 4 = 1100. The chosen size stands among the
    marked ones."""
    assert table("Sizes") == Table(
        "Sizes",
        "rain.csv, 2017-01-01 to 2020-12-31, 731 mm a year. Day by day, water is drawn before what is left spills; more "
        "volume brings least from 12 000 L on. By truck: so that no day is short.",
        ("size L", "by time %", "by volume %", "short days a year", "longest", "begins", "worst year", "short then L",
         "spilt L a year", "truck L a year", "loads in all"),
        (True, True, True, True, True, False, False, True, True, True, True),
        (
            (5000.0, 50.0, 62.5, 7.5, 12, "2017-02-03", "2017", 800.0, 452.0, 1100.0, 3),
            (10000.0, 75.0, 85.0, 7.5, 12, "2017-02-03", "", 0.0, 452.0, 0.0, 3),
            (40000.0, 90.0, 100.0, 7.5, 12, "2017-02-03", "2017", 300.0, 452.0, 1100.0, 3),
        ),
    )  # fmt: skip
    bare = table(
        "Sizes", replace(RESULT, rain=None, knee_l=None, marked=(), chosen_l=5000.0, rule="yield_after_spillage")
    )
    assert bare.says == "Day by day, what spills has spilt before water is drawn. By truck: so that no day is short."
    assert [row[3] for row in bare.rows] == [30.0]  # without days they are those of one year
    longest = replace(RESULT.results[0], longest_from=None)
    assert table("Sizes", replace(RESULT, results=(longest, *RESULT.results[1:]))).rows[0][5] == ""


def test_the_sizes_on_the_screen_are_without_what_does_not_fit() -> None:
    (sizes,) = (table for table in shown_tables(RESULT) if table.title == "Sizes")
    assert sizes.headings == (
        "size L", "by time %", "by volume %", "short days a year", "longest", "worst year", "spilt L a year",
        "truck L a year",
    )  # fmt: skip
    assert sizes.right == (True, True, True, True, True, False, True, True)
    assert sizes.rows[0] == (5000.0, 50.0, 62.5, 7.5, 12, "2017", 452.0, 1100.0)


def test_the_water_adds_up() -> None:
    """9000 = 500 + 90 + 6400 + 1806 + (1204 - 1000)."""
    assert table("Water") == Table(
        "Water", "All days, store of 10 000 L: what ran off is what the other lines add up to.", ("what", "L"), (False, True),
        (
            ("ran off the roof", 9000.0),
            ("first flush, led past", 500.0),
            ("off the new roof, led past", 90.0),
            ("drawn", 6400.0),
            ("spilt", 1806.0),
            ("more in store at the end than at the start", 204.0),
            ("not accounted for", 0.0),
        ),
    )  # fmt: skip


def test_the_year_by_month() -> None:
    months = (MonthBalance(1, 31.0, 25.5, 20.0, 4.0, 6.0), MonthBalance(12, 3.0, 2.0, 1.0, 0.4, 9.0))
    assert table("Months", replace(RESULT, results=(), months=months, drawdown_l=1234.0)) == Table(
        "Months",
        "A balance of an average year, month by month, from a full store of 10 000 L: no reliability can be told from it. "
        "Its dry months draw 1 234 L more than runs off.",
        ("month", "runs off L", "wanted L", "drawn L", "spilt L", "left L"),
        (False, True, True, True, True, True),
        (("Jan", 31.0, 26.0, 20.0, 4.0, 6.0), ("Dec", 3.0, 2.0, 1.0, 0.0, 9.0)),
    )


def test_the_yearly_formula_and_what_is_wanted_beside_it() -> None:
    """100 x 31 + 200 x (365.25 - 31) = 69 950 L."""
    assert table("Year") == Table(
        "Year", "As a check, roof x rain; 69 950 L are wanted in a year.", ("what", "value", "basis"), (False, True, False),
        (
            ("mean rain mm", "730.5 mm", "common practice, no source rain.csv"),
            ("run-off of a year", "61 234 L", ""),
        ),
    )  # fmt: skip
    says = "No rain of a year is known."
    for unknown in (replace(RESULT, yearly=None), replace(RESULT, yearly_l=None)):
        assert table("Year", unknown) == Table("Year", says, ("what", "value", "basis"), (False, True, False), ())


def test_what_fills_each_tank() -> None:
    """40.125 x 0.9 = 36.1125; 10 x 0.8 = 8; 7.5 x 0.5 = 3.75 L for a mm of rain."""
    assert table("Fed by") == Table(
        "Fed by", "Plan area that each tank is fed from, by downpipe and plane. Walls above the roof fill no tank.",
        ("tank", "downpipe", "plane", "plan m2", "runs off", "L a mm"), (False, False, False, True, True, True),
        (
            ("tank 1", "DP1", "P1", 40.13, 0.9, 36.11),
            ("tank 1", "DP2", "P2", 10.0, 0.8, 8.0),
            ("tank 1", "all", "20 000 L, dry", 50.13, None, 44.11),
            ("tank 1", "first flush a day", "", None, None, 12.3),
            ("tank 1", "overflow L/s", "80 or larger", None, None, 1.63),
            ("tank 2", "DP3", "P3", 7.5, 0.5, 3.75),
            ("tank 2", "all", "5 000 L, wet", 7.5, None, 3.75),
            ("tank 2", "first flush a day", "", None, None, 0.0),
            ("tank 2", "overflow L/s", "larger than any pipe of the catalogue", None, None, 9.0),
        ),
    )  # fmt: skip


def test_use_curve_and_cautions() -> None:
    assert table("Use") == Table(
        "Use", "Litres drawn a day: people x litres.", ("what", "value", "basis"), (False, True, False),
        (("people", "2", "common practice, no source --people"), ("all, mean of the year", "191.5 L", "a day")),
    )  # fmt: skip
    assert table("Curve") == Table(
        "Curve", "Every size reckoned, over all days.", ("size L", "by time %", "by volume %", "days short", "spilt L"),
        (True, True, True, True, True),
        ((5000.0, 50.0, 62.5, 30, 1806.0), (10000.0, 75.0, 85.0, 30, 1806.0), (40000.0, 90.0, 100.0, 30, 1806.0)),
    )  # fmt: skip
    cautions = table("Cautions")
    assert (cautions.says, cautions.headings) == ("Read these with the figures.", ("", "what", "what to do"))
    assert cautions.right == (False, False, False)
    assert [row[1:] for row in cautions.rows] == [
        ("told first", "stop"),
        ("told between", "look"),
        ("told last", "nothing"),
    ]


@pytest.mark.parametrize(
    ("top", "steps"),
    [
        (40000.0, [0, 10000, 20000, 30000, 40000]),
        (25000.0, [0, 5000, 10000, 15000, 20000, 25000]),
        (10000.0, [0, 2000, 4000, 6000, 8000, 10000]),
        (5000.0, [0, 1000, 2000, 3000, 4000, 5000]),
        (5001.0, [0, 2000, 4000]),  # a fifth of it is over 1000
        (26000.0, [0, 10000, 20000]),
        (999.0, [0, 200, 400, 600, 800]),
    ],
)
def test_round_steps_of_an_axis(top: float, steps: list[float]) -> None:
    assert _ticks(top) == steps


Texts = set[tuple[str, float, float, float, str]]
Paths = list[tuple[str, float, str, list[tuple[float, float]]]]


def read(svg: str) -> tuple[Texts, Paths, list[dict[str, str]]]:
    """Texts with their places, lines with colour, width, dash and points, circles."""
    root = ET.fromstring(svg)
    texts = {
        (str(node.text), *(float(node.get(name, "")) for name in ("x", "y", "font-size")), node.get("text-anchor", ""))
        for node in root.iter(f"{SVG}text")
    }
    paths = []
    for node in root.iter(f"{SVG}polyline"):
        points = [tuple(map(float, point.split(","))) for point in node.get("points", "").split()]
        dash = node.get("stroke-dasharray", "")
        paths.append((node.get("stroke", ""), float(node.get("stroke-width", "")), dash, points))
    return texts, paths, [dict(node.attrib) for node in root.iter(f"{SVG}circle")]


def test_the_head_of_the_picture_says_rain_area_and_use() -> None:
    """40.125 + 10 + 7.5 = 57.625 m2; the mean use of 191.5 L rounded."""
    texts, _, _ = read(tank_svg(RESULT))
    assert ("Hut, revision B: store of rainwater", 24.0, 12.0, 5.0, "start") in texts
    said = "2017-01-01 to 2020-12-31, 731 mm a year, rain.csv; 57.6 m2 in plan; 192 L a day wanted"
    assert (said, 24.0, 19.0, 3.2, "start") in texts


def test_the_curve_lies_where_its_axes_say() -> None:
    """Across: 24 to 282 mm of paper for 0 to 40 000 L, 0.00645 mm a litre. Up: 104 down to 28 mm for 0 to 100 %."""
    texts, paths, circles = read(tank_svg(RESULT))
    blue, red = "#1f5f99", "#a03020"
    across = [24.0 + 5000 * 0.00645, 24.0 + 10000 * 0.00645, 282.0]
    by_volume = ("#1f5f99", 0.5, "", list(zip(across, [104 - 47.5, 104 - 64.6, 28.0], strict=True)))
    by_time = ("#a03020", 0.5, "2 1", list(zip(across, [66.0, 47.0, 104 - 68.4], strict=True)))
    found = {(colour, dash): (wide, points) for colour, wide, dash, points in paths if len(points) == 3}
    for colour, wide, dash, points in (by_volume, by_time):
        assert found[colour, dash][0] == wide
        for drawn, wanted in zip(found[colour, dash][1], points, strict=True):
            assert drawn == pytest.approx(wanted, abs=0.006)
    # the key: a stroke of each line with its words before it
    assert (blue, 0.5, "", [(210.0, 24.0), (220.0, 24.0)]) in paths
    assert (red, 0.5, "2 1", [(272.0, 24.0), (282.0, 24.0)]) in paths
    assert ("water wanted that is given", 208.0, 25.0, 3.0, "end") in texts
    assert ("days on which all is given", 270.0, 25.0, 3.0, "end") in texts
    # dots: the sizes to choose among, the chosen one larger
    assert [(one["cx"], one["cy"], one["r"]) for one in circles] == [
        ("56.25", "56.50", "1.0"), ("88.50", "39.40", "1.6"), ("282.00", "28.00", "1.0"),
    ]  # fmt: skip
    assert ("62 %", 56.25, 54.1, 2.6, "middle") in texts
    assert ("85 %", 88.5, 37.0, 2.6, "middle") in texts
    # the knee at 12 000 L: from the foot to the top
    assert ("#b4b4b4", 0.35, "1 1", [(101.4, 104.0), (101.4, 28.0)]) in paths
    assert ("knee 12 000 L", 102.9, 102.0, 2.8, "start") in texts
    assert "knee" not in tank_svg(replace(RESULT, knee_l=None))
    says = "Size of the store and what it gives; the large dot is the size whose level is shown below"
    assert (says, 24.0, 25.0, 3.5, "start") in texts


def test_the_axes_of_the_curve() -> None:
    texts, paths, _ = read(tank_svg(RESULT))
    for share, y in ((0, 104.0), (20, 88.8), (40, 73.6), (60, 58.4), (80, 43.2), (100, 28.0)):
        assert ("#b4b4b4", 0.2, "", [(24.0, y), (282.0, y)]) in paths
        assert (f"{share} %", 22.5, round(y + 1.0, 2), 2.8, "end") in texts
    for litres, x in ((10000, 88.5), (20000, 153.0), (30000, 217.5), (40000, 282.0)):
        assert ("#111111", 0.25, "", [(x, 104.0), (x, 105.2)]) in paths
        assert (f"{number(litres, 0)} L", x, 108.8, 2.8, "middle") in texts
    assert ("#111111", 0.35, "", [(24.0, 104.0), (282.0, 104.0)]) in paths


def test_the_level_day_by_day() -> None:
    """Four days over 258 mm: 64.5 mm a day, each level at the end of its day. Up: 196 down to 128 mm for 10 000 L."""
    texts, paths, _ = read(tank_svg(RESULT))
    says = "Level of 10 000 L through 2017, the worst year: 21 days short, 0 L"
    assert (says, 24.0, 124.0, 3.5, "start") in texts
    level = [(88.5, 189.2), (153.0, 168.8), (217.5, 179.0), (282.0, 196.0)]
    assert ("#1f5f99", 0.45, "", level) in paths
    for litres, y in ((2000, 182.4), (4000, 168.8), (6000, 155.2), (8000, 141.6), (10000, 128.0)):
        assert ("#b4b4b4", 0.2, "", [(24.0, y), (282.0, y)]) in paths
        assert (number(litres, 0), 22.5, round(y + 1.0, 2), 2.8, "end") in texts
    # a month is named where its first day is: the second day is the first of February, the fourth that of March
    assert ("#111111", 0.25, "", [(88.5, 196.0), (88.5, 197.2)]) in paths
    assert ("#111111", 0.25, "", [(217.5, 196.0), (217.5, 197.2)]) in paths
    assert {("F", 98.5, 200.5, 3.0, "middle"), ("M", 227.5, 200.5, 3.0, "middle")} <= texts
    assert ("#111111", 0.35, "", [(24.0, 196.0), (282.0, 196.0)]) in paths


def test_without_daily_rain_the_picture_says_so() -> None:
    for none in (replace(RESULT, results=()), replace(RESULT, rain=None)):
        svg = tank_svg(none)
        texts, paths, circles = read(svg)
        assert (paths, circles) == ([], [])
        assert ("No daily rain was given: no curve and no level can be drawn.", 24.0, 24.0, 3.5, "start") in texts
        head = re.match(
            r'<svg xmlns="[^"]*" width="297mm" height="210mm" viewBox="0 0 297 210" font-family="[^"]*">', svg
        )
        assert head is not None
        assert '<rect width="297" height="210" fill="#ffffff"/>' in svg
