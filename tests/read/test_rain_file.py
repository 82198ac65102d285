"""Files of rain, good and bad: every fault with its line."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.rain_series import DailyRain, MonthlyRain
from takeoff.read.rain.rain_file import read_rain


def written(folder: Path, text: str) -> Path:
    path = folder / "rain.csv"
    path.write_text(text, encoding="utf-8")
    return path


def daily(folder: Path, text: str) -> DailyRain:
    found = read_rain(written(folder, text))
    assert isinstance(found, DailyRain)
    return found


def faults(folder: Path, text: str) -> tuple[str, ...]:
    with pytest.raises(UnreadableFileError) as told:
        read_rain(written(folder, text))
    return told.value.faults


HEAD = "date,rain mm\n"


@pytest.mark.parametrize(
    "text",
    [
        "date,rain_mm\n2020-02-28,1.5\n2020-02-29,0\n2020-03-01,2\n",
        "2020-02-28,1.5\n2020-02-29,0\n2020-03-01,2\n",
        "Date;Rainfall (mm)\n28.02.2020;1,5\n29.02.2020;0\n01.03.2020;2\n",
        "Date\tPrecipitation mm\n28/02/2020\t1.5\n29/02/2020\t0\n01/03/2020\t2\n",
        "Station,Year,Month,Day,Rainfall amount (millimetres),Quality\n9,2020,2,28,1.5,Y\n9,2020,2,29,0,Y\n9,2020,3,1,2,N\n",
        "\ufeffdate,rain cm\n20200228,0.15\n20200229,0\n20200301,0.2\n",
        "# a station\ndate,rain in\n2020-02-28,0.0590551181\n\n2020-02-29,0\n2020-03-01,0.0787401575\n",
    ],
)
def test_many_ways_of_writing_are_one_rain(tmp_path: Path, text: str) -> None:
    found = daily(tmp_path, text)
    assert found.start == datetime.date(2020, 2, 28)
    assert found.end == datetime.date(2020, 3, 1)
    assert found.mm == pytest.approx((1.5, 0.0, 2.0))


def test_day_and_month_are_told_apart_by_days_that_follow(tmp_path: Path) -> None:
    found = daily(tmp_path, HEAD + "03/04/2020,1\n04/04/2020,2\n05/04/2020,3\n")
    assert found.start == datetime.date(2020, 4, 3)
    american = daily(tmp_path, HEAD + "04/03/2020,1\n04/04/2020,2\n04/05/2020,3\n")
    assert american.start == datetime.date(2020, 4, 3)
    assert "cannot be told" in faults(tmp_path, HEAD + "01/02/2020,1\n03/04/2020,2\n")[0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + "2020-01-01,1\n2020-01-02,wet\n", "rain.csv:3: rain 'wet' is no number"),
        (HEAD + "2020-01-01,1\n2020-01-02,-3\n", "rain.csv:3: rain -3 is below nought"),
        (HEAD + "2020-01-01,1\n2020-01-02,nan\n", "rain.csv:3: rain 'nan' is no number"),
        (HEAD + "2020-01-01,1\n2020-01-02,25400\n", "rain.csv:3: rain of 25400 mm is more than ever fell in a day"),
        (
            HEAD + "2020-01-01,1\n02/01/2020,2\n",
            "rain.csv:3: date 02/01/2020 is written another way than that of line 2",
        ),
        (HEAD + "2020-01-01,1\nyesterday,2\n", "rain.csv:3: date 'yesterday' is no date"),
        (HEAD + "2019-02-28,1\n2019-02-29,2\n", "rain.csv:3: there is no day 2019-02-29"),
        (HEAD + "2020-01-02,1\n2020-01-01,2\n", "rain.csv:3: 2020-01-01 comes after 2020-01-02 of line 2"),
        (HEAD + "2020-01-01,1\n2020-01-01,2\n", "rain.csv:3: 2020-01-01 stands in line 2 already, with other rain"),
        (HEAD + "2019-12-31,1\n2021-01-01,2\n", "rain.csv:3: 366 days are missing between 2019-12-31 (line 2)"),
        (HEAD + "1.1.20,1\n2.1.20,2\n", "rain.csv:2: date 1.1.20 has no year of four figures"),
        (HEAD + "2020-01-01,0\n", "no rain in it"),
        (HEAD, "no line of rain in it"),
        ("", "no line of rain in it"),
        ("day,wind\n2020-01-01,1\n", "the head line must name date and rain"),
        (
            "jan,1\nfeb,2\nmar,x\napr,1\nmay,1\njun,1\njul,1\naug,1\nsep,1\noct,1\nnov,1\ndec,1\n",
            "rain.csv:3: the month's",
        ),
        (
            "jan,1\nfeb,2\nmar\napr,1\nmay,1\njun,1\njul,1\naug,1\nsep,1\noct,1\nnov,1\ndec,1\n",
            "rain.csv:3: the month's",
        ),
    ],
)
def test_faults_are_told_with_their_line(tmp_path: Path, text: str, said: str) -> None:
    assert any(said in fault for fault in faults(tmp_path, text)), faults(tmp_path, text)


def test_short_gaps_count_as_dry_and_are_told(tmp_path: Path) -> None:
    found = daily(tmp_path, HEAD + "2020-01-01,1\n2020-01-02,\n2020-01-04,5\n2020-01-04,5\n")
    assert found.mm == (1.0, 0.0, 0.0, 5.0)
    assert found.missing == (1, 2)
    told = {finding.code: finding.text for finding in found.findings}
    assert "2 days are missing" in told["rain-days-missing"]
    assert "before line 4" in told["rain-days-missing"]
    assert "lines 5" in told["rain-days-twice"]


def test_a_file_without_a_unit_is_taken_as_mm_and_says_so(tmp_path: Path) -> None:
    found = daily(tmp_path, "date,rain\n2020-01-01,1\n2020-01-02,2\n")
    assert "rain-unit" in {finding.code for finding in found.findings}


def test_a_million_lines_are_refused_at_once(tmp_path: Path) -> None:
    said = faults(tmp_path, HEAD + "2020-01-01,1\n" * 1_000_000)
    assert "more than the 8,000,000 bytes" in said[0]
    some = faults(tmp_path, HEAD + "1,1\n" * 80_000)
    assert "75,000 lines" in some[0]
    assert ":750" in some[0]


def test_at_most_twenty_faults_are_told(tmp_path: Path) -> None:
    said = faults(tmp_path, HEAD + "2020-01-01,x\n" * 100)
    assert len(said) == 21
    assert "80 faults more" in said[-1]


def test_means_of_months(tmp_path: Path) -> None:
    found = read_rain(written(tmp_path, "month,mm\n" + "".join(f"{n},{10 * n}\n" for n in range(1, 13))))
    assert isinstance(found, MonthlyRain)
    assert found.mm_a_year == 780.0


def test_what_is_no_file_of_rain(tmp_path: Path) -> None:
    (tmp_path / "rain.csv").write_bytes(b"\x00\x01\x02")
    with pytest.raises(UnreadableFileError):
        read_rain(tmp_path / "rain.csv")
    with pytest.raises(UnreadableFileError):
        read_rain(tmp_path)
    with pytest.raises(UnreadableFileError):
        read_rain(tmp_path / "none.csv")
