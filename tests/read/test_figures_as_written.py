"""Lengths, counts, money and rain as people write them, each by hand, and what is said of those that are none."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.drawings import RawPath
from takeoff.model.findings import Finding, Severity
from takeoff.model.rain_series import DailyRain, MonthlyRain
from takeoff.read.lists.length_words import Length, has_decimal_commas, read_count, read_length, unit_of
from takeoff.read.lists.quotation_file import MOST_MONEY, read_money
from takeoff.read.outlines.drawing_files import read_drawing
from takeoff.read.rain.rain_file import read_rain


def refusal(of: Callable[[], object]) -> str:
    """What is said of a cell that is none."""
    try:
        return f"read as {of()!r}"
    except ValueError as error:
        return str(error)


@pytest.mark.parametrize(
    ("cell", "unit", "commas", "mm", "read_in", "stated"),
    [
        (4380, "", False, 4380.0, "mm", False),
        (4.38, "", False, 4380.0, "m", False),
        # a bare figure is metres below 60, mm from there on
        (59.9, "", False, 59900.0, "m", False),
        (60, "", False, 60.0, "mm", False),
        (60000, "", False, 60000.0, "mm", False),
        (50, "mm", False, 50.0, "mm", True),
        (60, "m", False, 60000.0, "m", True),
        ("4,380", "", False, 4380.0, "", False),  # 4.380 m or 4,380 mm: the same
        ("4,380", "", True, 4380.0, "m", False),
        ("4.380 m", "", False, 4380.0, "m", True),
        ("4,38", "", False, 4380.0, "m", False),
        ("4 380", "", False, 4380.0, "mm", False),
        ("4 380,5 mm", "", False, 4380.5, "mm", True),
        ("1.234,5", "", False, 1234.5, "mm", False),
        ("1,234.5", "", False, 1234.5, "mm", False),
        ("+4.2 Metres", "", False, 4200.0, "m", True),
        ("5,500", "m", False, 5500.0, "m", True),  # 5,500 m would be too long
        ("5500 mm", "m", False, 5500.0, "mm", True),  # the cell's own unit goes before the heading's
    ],
)
def test_a_length(cell: Any, unit: str, commas: bool, mm: float, read_in: str, stated: bool) -> None:
    assert read_length(cell, unit, commas=commas) == Length(mm, read_in, stated)


@pytest.mark.parametrize(
    ("cell", "unit", "said"),
    [
        ("49 mm", "", "'49 mm' in mm is no length it can have (50 mm to 60 m)"),
        (49.9, "mm", "49.9 in mm is no length it can have (50 mm to 60 m)"),
        (60001, "", "60001 is no length it can have (50 mm to 60 m)"),
        (-4.2, "", "-4.2 is no length it can have (50 mm to 60 m)"),
        ("-4.2", "", "'-4.2' is no length it can have (50 mm to 60 m)"),
        ("60,000", "mm", "'60,000' in mm can be read two ways"),
        ("12 ft", "", "ft is not read; give lengths in mm or m"),
        ("12 qq", "", "'12 qq' has no unit that is known; give lengths in mm or m"),
        ("twelve", "", "'twelve' is not a length"),
        ("1 23", "", "'1 23' is not a number"),
        ("1.2.3", "", "'1.2.3' is not a number"),
        ("1,23.4", "", "'1,23.4' is not a number"),
        ("1.234,5,6", "", "'1.234,5,6' is not a number"),
        ("1.234.567", "", "'1.234.567' is no length it can have (50 mm to 60 m)"),
        (float("inf"), "", "inf is no length it can have (50 mm to 60 m)"),
    ],
)
def test_what_is_no_length(cell: Any, unit: str, said: str) -> None:
    assert refusal(lambda: read_length(cell, unit)) == said


def test_how_long_a_thing_may_be_is_the_lists_own() -> None:
    assert read_length(1400, "mm", 1400.0) == Length(1400.0, "mm", True)
    assert refusal(lambda: read_length(1401, "mm", 1400.0)) == "1401 in mm is no length it can have (50 mm to 1.4 m)"


def test_units_by_their_words() -> None:
    assert [unit_of(word) for word in ("(mm)", " LM. ", "[metre]", "each", "")] == ["mm", "m", "m", "", ""]
    assert refusal(lambda: unit_of("Inches")) == "inches is not read; give lengths in mm or m"


def test_decimal_commas_of_a_list() -> None:
    # a figure that can only have a point decides against them, whatever parts the cells
    assert not has_decimal_commas(("4,38", "4.38"), ";")
    assert has_decimal_commas(("4,38", "4380"))
    assert has_decimal_commas(("4 380,5 mm",))
    assert not has_decimal_commas((4.38, None, "4,380", "4380"))
    assert not has_decimal_commas(("1,234.5",), ";")


@pytest.mark.parametrize(
    ("cell", "commas", "count"),
    [
        (12, False, 12), (0, False, 0), (10_000, False, 10_000), (12.0, False, 12), ("12 no", False, 12), ("x 12", False, 12),
        ("12 sheets", False, 12), ("1,000", False, 1000), ("1.000", False, 1000), ("12,0", False, 12), ("1.000,0", True, 1000),
        ("1,000", True, 1), ("1 000", False, 1000),
    ],
)  # fmt: skip
def test_a_count(cell: Any, commas: bool, count: int) -> None:
    assert read_count(cell, commas) == count


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        (10_001, "10001 is not a whole number of sheets from 0 to 10 000"),
        (-1, "-1 is not a whole number of sheets from 0 to 10 000"),
        ("1,5", "'1,5' is not a whole number of sheets from 0 to 10 000"),
        (float("nan"), "nan is not a whole number of sheets from 0 to 10 000"),
        ("-1", "'-1' is not a number of sheets"),
        ("1,2,3", "'1,2,3' is not a number"),
    ],
)
def test_what_is_no_count(cell: Any, said: str) -> None:
    assert refusal(lambda: read_count(cell)) == said


def test_money() -> None:
    for cell in (None, "-"):
        assert read_money(cell) is None
    found = [read_money(cell) for cell in ("$ 1,234.50", "1'234.50", "0", 4.2, MOST_MONEY)]
    assert found == [1234.5, 1234.5, 0.0, 4.2, MOST_MONEY]
    assert [read_money(cell, True) for cell in ("1.234,50", "1 234,5")] == [1234.5, 1234.5]


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("-5", "'-5' is no amount"),
        (-5.0, "-5 is no amount"),
        ("free", "'free' is no amount"),
        (float("inf"), "inf is no amount"),
    ],
)
def test_what_is_no_money(cell: Any, said: str) -> None:
    assert refusal(lambda: read_money(cell, what="amount")) == said
    assert refusal(lambda: read_money(2.0 * MOST_MONEY)) == "2e+09 is no price"


def rain(folder: Path, text: str) -> Any:
    path = folder / "rain.csv"
    path.write_text(text, encoding="utf-8")
    try:
        return read_rain(path)
    except UnreadableFileError as error:
        return error.faults


ADVICE = "Name it in the head line: date, rain mm."
DAYS = ("2021-03-01", "2021-03-02", "2021-03-03")


@pytest.mark.parametrize(
    ("head", "rows", "mm", "said"),
    [
        ("date,rain mm", ("1.5", "0", "2"), (1.5, 0.0, 2.0), ""),
        ("day,precipitation (cm)", ("1.5", "0", "2"), (15.0, 0.0, 20.0), "rain.csv gives rain in cm: each was taken as 10 mm."),
        ("date,other,rainfall inches", ("x,1", "x,0", "x,2"), (25.4, 0.0, 50.8),
         "rain.csv gives rain in inches: each was taken as 25.4 mm."),
        ("date;prcp", ("1,5", "0", "2000"), (1.5, 0.0, 2000.0), "rain.csv names no unit of rain: mm was taken."),
        ("date,mm", (".5", "1e1", "+2."), (0.5, 10.0, 2.0), ""),
    ],
)  # fmt: skip
def test_days_of_rain(tmp_path: Path, head: str, rows: tuple[str, ...], mm: tuple[float, ...], said: str) -> None:
    cut = ";" if ";" in head else ","
    text = "\n".join([head, *(f"{day}{cut}{row}" for day, row in zip(DAYS, rows, strict=True))])
    findings = (Finding("rain-unit", Severity.NOTE, said, ADVICE),) if said else ()
    found = rain(tmp_path, text)
    assert isinstance(found, DailyRain)
    assert (found.start, found.missing, found.findings) == (datetime.date(2021, 3, 1), (), findings)
    assert tuple(found.mm) == pytest.approx(mm)


def test_days_by_year_month_and_day(tmp_path: Path) -> None:
    found = rain(tmp_path, "station,year,month,day,rain mm\nA,2021,3,1,1.5\nA,2021,3,2,0.5\n")
    assert (found.start, tuple(found.mm)) == (datetime.date(2021, 3, 1), (1.5, 0.5))


def test_days_of_rain_that_are_none(tmp_path: Path) -> None:
    text = "date,rain mm\n2021-03-01,wet\n2021-03-02,-1\n2021-03-03,2000\n2021-03-04,2001\n2021-03-05\n"
    assert rain(tmp_path, text) == (
        "rain.csv:2: rain 'wet' is no number",
        "rain.csv:3: rain -1 is below nought; leave the day out where it was not measured",
        "rain.csv:5: rain of 2001 mm is more than ever fell in a day; is the unit right?",
    )
    assert rain(tmp_path, "date,rain mm\n") == ("rain.csv: no line of rain in it; give date and mm, a day a line",)
    assert rain(tmp_path, "date,rain mm\n2021-03-01,0\n") == ("rain.csv: no rain in it",)
    assert rain(tmp_path, "when,what\n2021-03-01,0\n") == (
        "rain.csv:1: the head line must name date and rain, has when, what",
    )
    for bad, more in ((20, ()), (23, ("and 3 faults more of the kind",))):
        rows = "".join(f"2021-03-{day + 1:02d},wet\n" for day in range(bad))
        found = rain(tmp_path, f"date,rain mm\n{rows}")
        assert found == (*(f"rain.csv:{line}: rain 'wet' is no number" for line in range(2, 22)), *more)


MONTHS = ("January", "feb", "3", "Apr", "5", "June", "jul", "8", "sep", "10", "November", "12")


def test_rain_by_months(tmp_path: Path) -> None:
    """Twelve lines in any order, by name or number, with or without a head line."""
    lines = [f"{month},{10 * at + 5}" for at, month in enumerate(MONTHS)]
    wanted = MonthlyRain("rain.csv", tuple(10.0 * at + 5.0 for at in range(12)))
    assert rain(tmp_path, "\n".join(lines)) == wanted
    assert rain(tmp_path, "\n".join(["month,mm", *reversed(lines)])) == wanted
    assert rain(tmp_path, "\n".join(line.replace(",", ";") + ",5" for line in lines)).mm[0] == 5.5
    none = "the month's rain must be a number of mm, not below nought"
    assert rain(tmp_path, "\n".join(["jan", "feb,-1", "4,1", *lines[3:]])) == (
        f"rain.csv:1: {none}", f"rain.csv:2: {none}", "rain.csv:4: month 4 stands twice",
    )  # fmt: skip
    assert rain(tmp_path, "\n".join(["jan,0", *lines[1:]])).mm[0] == 0.0


def test_arcs_and_circles_of_a_drawing(tmp_path: Path) -> None:
    """An arc from 350 to 20 degrees turns by 30, a bulge of tan 7.5 degrees = 0.13165; drawn from below it turns the other
    way and its x is turned over; one that comes round to its start is a circle; one that stands upright is none."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    axes: dict[str, dict[str, Any]] = {"layer": {"layer": "A"}, "below": {"layer": "B", "extrusion": (0, 0, -1)}}
    space.add_arc((1000.0, 500.0), 2000.0, 350.0, 20.0, dxfattribs=axes["layer"])
    space.add_arc((1000.0, 500.0), 2000.0, 350.0, 20.0, dxfattribs=axes["below"])
    space.add_arc((1000.0, 500.0), 2000.0, 30.0, 390.0, dxfattribs=axes["layer"])
    space.add_circle((1000.0, 500.0), 300.0, dxfattribs=axes["below"])
    for upright in ((1, 0, 0), (0, 1, 0)):
        space.add_arc((0.0, 0.0), 1.0, 0.0, 90.0, dxfattribs={"extrusion": upright})
    path = tmp_path / "arcs.dxf"
    document.saveas(path)
    found = read_drawing(path).paths
    assert [(one.layer, one.closed, len(one.points)) for one in found] == [
        ("A", False, 2), ("B", False, 2), ("A", True, 2), ("B", True, 2),
    ]  # fmt: skip
    assert [one.bulges for one in found] == [pytest.approx((0.131652,), abs=1e-6), pytest.approx((-0.131652,), abs=1e-6),
                                             (1.0, 1.0), (-1.0, -1.0)]  # fmt: skip
    ends = ((2969.6155, 152.7036), (2879.3852, 1184.0403))
    for one, side in zip(found[:2], (1, -1), strict=True):
        assert [tuple(point) for point in one.points] == [pytest.approx((side * x, y), abs=1e-3) for x, y in ends]
    assert found[2].points == ((-1000.0, 500.0), (3000.0, 500.0))
    assert found[3].points == ((-700.0, 500.0), (-1300.0, 500.0))
    assert isinstance(found[0], RawPath)
