"""Files of rain typed by hand: units, dates, gaps and months, and each refusal whole, at its limit and beyond.

An inch is 25.4 mm; days of the calendar by hand.
"""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.findings import Finding, Severity
from takeoff.model.rain_series import DailyRain, MonthlyRain
from takeoff.read.rain import rain_days, rain_file
from takeoff.read.rain.rain_days import Day, Series, dated, days_in_order
from takeoff.read.rain.rain_file import monthly_of, read_rain

DATE = datetime.date
HEAD = "date,rain mm\n"


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "r.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def faults(folder: Path, text: str | bytes) -> tuple[str, ...]:
    with pytest.raises(UnreadableFileError) as caught:
        read_rain(written(folder, text))
    return caught.value.faults


def daily(folder: Path, text: str | bytes) -> DailyRain:
    found = read_rain(written(folder, text))
    assert isinstance(found, DailyRain)
    return found


# ------------------------------------------------------------ columns and units


@pytest.mark.parametrize(
    ("head", "mm", "note"),
    [
        ("date,rain mm", 1.0, ""),
        ("day,rainfall millimetres", 1.0, ""),
        ("Date,PRCP (millimeters)", 1.0, ""),
        ("date,precip", 1.0, "r.csv names no unit of rain: mm was taken."),
        ("date,precipitation cm", 10.0, "r.csv gives rain in cm: each was taken as 10 mm."),
        ("date,in", 25.4, "r.csv gives rain in in: each was taken as 25.4 mm."),
        ("date,rain inch", 25.4, "r.csv gives rain in inch: each was taken as 25.4 mm."),
        ("date,rain-inches", 25.4, "r.csv gives rain in inches: each was taken as 25.4 mm."),
    ],
)
def test_units_of_a_head_line(tmp_path: Path, head: str, mm: float, note: str) -> None:
    found = daily(tmp_path, f"{head}\n2020-01-01,3\n2020-01-02,0.5\n")
    told = (Finding("rain-unit", Severity.NOTE, note, "Name it in the head line: date, rain mm."),) if note else ()
    assert found == DailyRain("r.csv", DATE(2020, 1, 1), (3 * mm, 0.5 * mm), (), told)


def test_columns_in_any_order(tmp_path: Path) -> None:
    """The first of two columns of rain; the day, month and year where all three are named; a date before a day."""
    for text in (
        "code,rain mm,date,rain in\nx,4,2020-03-02,9\n",
        "day,month,year,rain mm\n2,3,2020,4\n",
        "quality,rainfall mm,month,year,day\n1,4,3,2020,2\n",
        "rain mm,date,day\n4,2020-03-02,7\n",
        "2020-03-02,4,#9\n",
    ):
        found = daily(tmp_path, text)
        assert (found.start, found.mm) == (DATE(2020, 3, 2), (4.0,)), text


def test_a_line_cut_short_is_a_day_that_is_missing(tmp_path: Path) -> None:
    """A figure that is not there is left out; a date that is not there is no date."""
    found = daily(tmp_path, HEAD + "2020-01-01,1\n2020-01-02\n2020-01-03,2\n")
    assert (found.mm, found.missing) == ((1.0, 0.0, 2.0), (1,))
    cut = "rain mm,code,date\n1,a,2020-01-01\n2,b\n"
    assert faults(tmp_path, cut) == ("r.csv:3: date '' is no date; write 2020-01-31",)
    parts = "rain mm,year,month,day\n1,2020,1\n"
    assert faults(tmp_path, parts) == ("r.csv:2: date '2020-1-' is no date; write 2020-01-31",)


def test_decimal_commas_come_with_semicolons(tmp_path: Path) -> None:
    """Semicolons part cells where they are more than half as many as commas."""
    found = daily(tmp_path, "date;rain mm\n2020-01-01;1,5\n2020-01-02;,25\n")
    assert found.mm == (1.5, 0.25)
    assert daily(tmp_path, "date\train mm\n2020-01-01\t1.5\n").mm == (1.5,)
    assert faults(tmp_path, "date,rain mm\n2020-01-01,1;5\n") == ("r.csv:2: rain '1;5' is no number",)
    assert daily(tmp_path, "date,rain mm,note;\n2020-01-01,1,,\n").mm == (1.0,)  # 1 of 5
    assert faults(tmp_path, 'date;rain mm\n2020-01-01;"1,5,0"\n') == ("r.csv:2: rain '1,5,0' is no number",)


@pytest.mark.parametrize("word", ["1.", ".5", "+2", "1e2", "1.5E+1", "0"])
def test_figures_that_are_numbers(tmp_path: Path, word: str) -> None:
    assert daily(tmp_path, f"{HEAD}2020-01-01,{word}\n2020-01-02,1\n").mm[0] == float(word)


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("x" * 60, f"r.csv:2: rain '{'x' * 40}' is no number"),
        ("1,5", None),
        ("inf", "r.csv:2: rain 'inf' is no number"),
        (".", "r.csv:2: rain '.' is no number"),
        ("-0.1", "r.csv:2: rain -0.1 is below nought; leave the day out where it was not measured"),
        ("2000.6", "r.csv:2: rain of 2001 mm is more than ever fell in a day; is the unit right?"),
        ("-" + "1" * 60, f"r.csv:2: rain -{'1' * 39} is below nought; leave the day out where it was not measured"),
    ],
)
def test_figures_that_are_no_rain(tmp_path: Path, word: str, says: str | None) -> None:
    text = f"{HEAD}2020-01-01,{word}\n"
    if says is None:
        assert daily(tmp_path, text).mm == (1.0,)  # what stands in a third column
    else:
        assert faults(tmp_path, text) == (says,)


def test_as_much_as_ever_fell_and_a_day_without(tmp_path: Path) -> None:
    assert daily(tmp_path, HEAD + "2020-01-01,2000\n2020-01-02,0\n").mm == (2000.0, 0.0)
    inches = "r.csv:2: rain of 2007 mm is more than ever fell in a day; is the unit right?"
    assert faults(tmp_path, "date,rain in\n2020-01-01,79\n") == (inches,)  # 79 x 25.4 = 2006.6
    assert faults(tmp_path, HEAD + "2020-01-01,0\n") == ("r.csv: no rain in it",)
    assert daily(tmp_path, HEAD + "2020-01-01,0.001\n").mm == (0.001,)


def test_faults_stand_in_the_order_of_their_lines_twenty_at_most(tmp_path: Path) -> None:
    text = HEAD + "yesterday,1\n2020-01-02,wet\n" + "2020-01-03,-1\n" * 9
    below = "rain -1 is below nought; leave the day out where it was not measured"
    first = ("r.csv:2: date 'yesterday' is no date; write 2020-01-31", "r.csv:3: rain 'wet' is no number")
    assert faults(tmp_path, text) == (*first, *(f"r.csv:{n}: {below}" for n in range(4, 13)))
    for count, more in ((20, ()), (21, ("and 1 faults more of the kind",)), (25, ("and 5 faults more of the kind",))):
        said = faults(tmp_path, HEAD + "2020-01-03,-1\n" * count)
        assert said == (*(f"r.csv:{n}: {below}" for n in range(2, 22)), *more)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "r.csv: no line of rain in it; give date and mm, a day a line"),
        (HEAD + " , \n#x\n", "r.csv: no line of rain in it; give date and mm, a day a line"),
        ("when,,how much\n", "r.csv:1: the head line must name date and rain, has when, how much"),
        ("date,wind\n2020-01-01,1\n", "r.csv:1: the head line must name date and rain, has date, wind"),
        ("month,rain\n", "r.csv:1: the head line must name date and rain, has month, rain"),
        (b"a\0b", "r.csv: is no text; save it as CSV"),
        ('date,rain mm\n"' + "x" * 140_000 + '",1\n', "r.csv: cannot be read as CSV: field larger than field limit (131072)"),
    ],
)  # fmt: skip
def test_files_that_are_no_rain(tmp_path: Path, text: str | bytes, says: str) -> None:
    assert faults(tmp_path, text) == (says,)


def test_letters_of_another_encoding_and_as_many_lines_as_are_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert daily(tmp_path, "date,rain mm,h\u00f6he\n2020-01-01,1\n".encode("latin-1")).mm == (1.0,)
    assert (rain_file.MOST_ROWS, rain_file._MOST_BYTES, rain_file._MOST_MM) == (75_000, 8_000_000, 2000.0)
    monkeypatch.setattr(rain_file, "MOST_ROWS", 3)
    days = "".join(f"2020-01-0{n},1\n" for n in range(1, 6))
    assert len(daily(tmp_path, HEAD + days[:39]).mm) == 3
    over = "more than 3 lines of rain, which is two hundred years of days; keep the years that matter"
    assert faults(tmp_path, HEAD + days) == (f"r.csv:5: {over}",)


# ------------------------------------------------------------ months


def months(names: list[str], head: str = "") -> str:
    return head + "".join(f"{name},{10 + n}\n" for n, name in enumerate(names))


NAMES = ["jan", "February", "MAR", "apr", "may", "june", "jul", "aug", "sept", "oct", "nov", "dec"]


def test_means_of_months_by_name_or_number(tmp_path: Path) -> None:
    """January first, whatever comes first in the file; with a head line or without."""
    whole = MonthlyRain("r.csv", tuple(float(10 + n) for n in range(12)))
    for text in (months(NAMES), months(NAMES, "month,mm\n"), months([str(n) for n in range(1, 13)])):
        assert read_rain(written(tmp_path, text)) == whole
    turned = NAMES[6:] + NAMES[:6]
    mm = tuple(float(10 + (n + 6) % 12) for n in range(12))
    assert read_rain(written(tmp_path, months(turned))) == MonthlyRain("r.csv", mm)
    assert read_rain(written(tmp_path, "".join(f"{name};{n},5\n" for n, name in enumerate(NAMES)))).mm[1] == 1.5
    assert monthly_of([3.0, 4.0]) == MonthlyRain("monthly means of the job", (3.0, 4.0))


def test_what_is_wrong_with_months(tmp_path: Path) -> None:
    lines = months(NAMES).splitlines()
    text = "\n".join([*lines[:1], "jan,5", "mar,-1", "apr", *lines[4:]])
    none = "the month's rain must be a number of mm, not below nought"
    assert faults(tmp_path, text) == ("r.csv:2: month 1 stands twice", f"r.csv:3: {none}", f"r.csv:4: {none}")
    zero = months(NAMES).replace("MAR,12", "MAR,0")
    assert read_rain(written(tmp_path, zero)).mm[2] == 0.0
    for other in ("0", "13", "x"):  # twelve lines whose first words are no months are days
        said = faults(tmp_path, months([*NAMES[:11], other]))
        assert said[0] == "r.csv:1: date 'jan' is no date; write 2020-01-31"
    assert faults(tmp_path, "a,b\nc,d\n" + months(NAMES))[0].startswith("r.csv:1: the head line must name")


# ------------------------------------------------------------ dates


def days(*texts: str) -> tuple[list[datetime.date], list[str]]:
    found, faults_ = dated("r", [(n, text, float(n)) for n, text in enumerate(texts, start=2)])
    assert faults_ or [(day.line, day.mm) for day in found] == [(n, float(n)) for n in range(2, 2 + len(texts))]
    return [day.date for day in found], faults_


@pytest.mark.parametrize(
    ("texts", "first"),
    [
        (("2020-03-04", "2020-03-05"), DATE(2020, 3, 4)),
        (("2020/3/4",), DATE(2020, 3, 4)),
        (("2020 3 4",), DATE(2020, 3, 4)),
        (("1000-1-1",), DATE(1000, 1, 1)),
        (("13.1.1000",), DATE(1000, 1, 13)),
        (("20200304", "20201231"), DATE(2020, 3, 4)),
        (("2020-03-04T09:00:00Z", "2020-03-05 9:00"), DATE(2020, 3, 4)),
        (("2020-03-04T09:00:00.125",), DATE(2020, 3, 4)),
        (("13.4.2020", "1.5.2020"), DATE(2020, 4, 13)),
        (("04/13/2020", "05/01/2020"), DATE(2020, 4, 13)),
        (("3.4.2020", "4.4.2020", "9.4.2020"), None),  # half of the steps are a day
        (("3.4.2020", "4.4.2020", "5.4.2020", "9.4.2020"), DATE(2020, 4, 3)),
        (("4.3.2020", "4.4.2020", "4.5.2020", "4.9.2020"), DATE(2020, 4, 3)),
        (("4.4.2020",), DATE(2020, 4, 4)),
        (("3.4.2020",), None),
    ],
)  # fmt: skip
def test_one_way_of_writing_dates(texts: tuple[str, ...], first: datetime.date | None) -> None:
    found, told = days(*texts)
    if first is None:
        assert told == [f"r:2: whether {texts[0]} puts the day or the month first cannot be told; write 2020-01-31"]
        assert found == []
    else:
        assert (found[0], told) == (first, [])


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        (("2020-01-01", "2020/01/02", "20200103", "2020-01-04"), ["r:3: date 2020/01/02 is written another way than that of line 2", "r:4: date 20200103 is written another way than that of line 2"]),
        (("01-02-2020", "2020-02-01"), ["r:3: date 2020-02-01 is written another way than that of line 2"]),
        (("2020-01/01", "x" * 50), ["r:2: date '2020-01/01' is no date; write 2020-01-31", f"r:3: date '{'x' * 40}' is no date; write 2020-01-31"]),
        (("2020-1-2", "999-1-3"), ["r:3: date 999-1-3 is written another way than that of line 2"]),
        (("2020-01-02", "03-01-20"), ["r:3: date 03-01-20 is written another way than that of line 2"]),
        (("1-2-2020", "2-2-999"), ["r:3: date 2-2-999 is written another way than that of line 2"]),
        (("1-2-2020", "2-2-20"), ["r:3: date 2-2-20 is written another way than that of line 2"]),
        (("1-1-999",), ["r:2: date 1-1-999 has no year of four figures; write 2020-01-31"]),
        (("1.2.20",), ["r:2: date 1.2.20 has no year of four figures; write 2020-01-31"]),
        (("20.2.1",), ["r:2: date 20.2.1 has no year of four figures; write 2020-01-31"]),
        (("99.2.1",), ["r:2: date 99.2.1 has no year of four figures; write 2020-01-31"]),
        (("1.2.99", "2.2.99"), ["r:2: date 1.2.99 has no year of four figures; write 2020-01-31"]),
        (("999-1-1",), ["r:2: date 999-1-1 has no year of four figures; write 2020-01-31"]),
        (("2019-02-29", "2019-02-30", "2019-13-01"), ["r:2: there is no day 2019-02-29", "r:3: there is no day 2019-02-30", "r:4: there is no day 2019-13-01"]),
        (("31.4.2020", "13.13.2020"), ["r:2: there is no day 31.4.2020", "r:3: there is no day 13.13.2020"]),
        (("31.4.2020", "4.13.2020"), ["r:2: there is no day 31.4.2020", "r:3: there is no day 4.13.2020"]),
        (("20200231",), ["r:2: there is no day 20200231"]),
    ],
)  # fmt: skip
def test_dates_that_are_none(texts: tuple[str, ...], says: list[str]) -> None:
    assert days(*texts) == ([], says)
    assert dated("r", []) == ([], [])


def series(*rows: tuple[int, float]) -> tuple[Series, tuple[Finding, ...]]:
    """Days of January 2020 on, by their number, a line each from 2."""
    start = DATE(2020, 1, 1)
    return days_in_order(
        "r", [Day(n, start + datetime.timedelta(days=day - 1), mm) for n, (day, mm) in enumerate(rows, start=2)]
    )


def test_days_that_follow_and_gaps() -> None:
    """Days 1, 2, 5, 6 and 9: two and two are missing, numbers 2, 3, 6 and 7 counted from 0."""
    found, told = series((1, 1.0), (2, 2.0), (5, 3.0), (6, 4.0), (9, 5.0))
    assert found == Series(DATE(2020, 1, 1), (1.0, 2.0, 0.0, 0.0, 3.0, 4.0, 0.0, 0.0, 5.0), (2, 3, 6, 7))
    text = "r: 4 days are missing and count as dry (2 before line 4, 2 before line 6)."
    assert told == (Finding("rain-days-missing", Severity.WARN, text, "Fill them in from a station nearby."),)
    assert series((3, 1.0))[0] == Series(DATE(2020, 1, 3), (1.0,), ())


@pytest.mark.parametrize(("count", "more"), [(5, ""), (6, " and 1 gaps more"), (8, " and 3 gaps more")])
def test_five_gaps_are_named(count: int, more: str) -> None:
    _, (told,) = series(*((1 + 2 * n, 1.0) for n in range(count + 1)))
    named = ", ".join(f"1 before line {n}" for n in range(3, 8))
    assert told.text == f"r: {count} days are missing and count as dry ({named}{more})."


def test_a_month_may_be_missing_and_no_more() -> None:
    """31 days between the first and the 33rd."""
    assert len(series((1, 1.0), (33, 1.0))[0].missing) == 31
    with pytest.raises(UnreadableFileError) as caught:
        series((1, 1.0), (34, 1.0), (35, 2.0))
    drought = (
        "32 days are missing between 2020-01-01 (line 2) and 2020-02-03; they would count as a drought: fill them in"
    )
    assert caught.value.faults == (f"r:3: {drought}, or keep the years on one side",)


def test_days_twice_and_days_that_go_back() -> None:
    found, told = series((1, 1.0), (2, 2.0), (2, 2.0), (3, 3.0))
    assert found == Series(DATE(2020, 1, 1), (1.0, 2.0, 3.0), ())
    text = "r: 1 days stand twice with the same rain (lines 4): each was taken once."
    assert told == (Finding("rain-days-twice", Severity.NOTE, text, "Take the second lines out."),)
    with pytest.raises(UnreadableFileError) as caught:
        series((2, 1.0), (2, 3.0), (1, 4.0), (3, 1.0), (3, 2.0))
    assert caught.value.faults == (
        "r:3: 2020-01-02 stands in line 2 already, with other rain",
        "r:4: 2020-01-01 comes after 2020-01-02 of line 2; put days in order",
        "r:6: 2020-01-03 stands in line 5 already, with other rain",
    )
    with pytest.raises(UnreadableFileError) as caught:
        series((9, 1.0), *[(1, 1.0)] * 25)
    assert len(caught.value.faults) == 20
    for count, shown in ((5, "3, 4, 5, 6, 7"), (6, "3, 4, 5, 6, 7 ...")):
        _, (note,) = series(*[(1, 1.0)] * (count + 1))
        assert note.text == f"r: {count} days stand twice with the same rain (lines {shown}): each was taken once."
    assert (rain_days._LONGEST_GAP, rain_days._MOST_NAMED) == (31, 5)


def test_sums_of_a_year() -> None:
    """10 mm in 4 days are 10 / 4 x 365.25 = 913.125 a year; the last of four days from the 30th is the second."""
    rain = DailyRain("r", DATE(2020, 12, 30), (1.0, 2.0, 3.0, 4.0))
    assert (rain.mm_a_year, rain.end) == (913.125, DATE(2021, 1, 2))
    assert MonthlyRain("r", (1.0, 2.5)).mm_a_year == 3.5
