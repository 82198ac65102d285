"""The command `takeoff tank`: what it prints, what it writes, and how it says what is wrong."""

from __future__ import annotations

import json
import math
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml
from openpyxl import load_workbook
from typer.testing import CliRunner

from takeoff.basics.errors import JobError, UnreadableFileError, UsageError
from takeoff.cli import app
from takeoff.storing import sizes_of, tank_file

HIP = {"outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25, "fascia_height_mm": 2450}


def job(folder: Path, **more: object) -> Path:
    path = folder / "job.yaml"
    path.write_text(yaml.safe_dump({"job": "Hut", "roofs": [HIP], **more}), encoding="utf-8")
    return path


def rain(folder: Path, years: int = 2) -> Path:
    """A dry summer and a wet winter, a day at a time."""
    lines = ["date,rain mm"]
    for year in range(2018, 2018 + years):
        days = 366 if year % 4 == 0 else 365
        for day in range(days):
            month_day = (
                __import__("datetime").date(year, 1, 1) + __import__("datetime").timedelta(days=day)
            ).isoformat()
            mm = 8.0 if day % 4 == 0 and math.cos(2 * math.pi * (day - 190) / 365) > 0 else 0.0
            lines.append(f"{month_day},{mm}")
    path = folder / "rain.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_it_prints_a_table_and_writes_a_sheet_a_picture_and_data(tmp_path: Path) -> None:
    out = tmp_path / "out"
    arguments = ["tank", str(job(tmp_path)), "--rain", str(rain(tmp_path)), "--people", "2", "--sizes", "5000,25000"]
    done = CliRunner().invoke(app, [*arguments, "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert "volume" in done.output
    assert "25 000" in done.output
    assert {path.name for path in out.iterdir()} >= {"tank.xlsx", "tank.svg", "tank.json", "manifest.json"}
    ElementTree.parse(out / "tank.svg")
    # sizes were given, nothing was chosen by anybody
    picture = (out / "tank.svg").read_text(encoding="utf-8")
    assert "the large dot is the size whose level is shown below" in picture
    assert "store chosen" not in picture
    book = load_workbook(out / "tank.xlsx")
    assert {"Sizes", "Water", "Fed by", "Use", "Curve", "Cautions"} <= set(book.sheetnames)
    data = json.loads((out / "tank.json").read_text(encoding="utf-8"))
    assert data["format"] == "takeoff tank"
    assert data["result"]["rain"]["mm"] == []
    assert "--people" in [row[2].value for row in book["Use"].iter_rows() if row[0].value == "people"]
    for one in data["result"]["results"]:
        assert abs(one["run_off_l"] - one["first_flush_l"] - one["discarded_l"] - one["yield_l"] - one["overflow_l"]
                   - one["end_l"] + one["start_l"]) <= 1e-6  # fmt: skip


def test_every_pipe_is_led_to_the_store_and_what_is_unplugged_is_taken_away(tmp_path: Path) -> None:
    """96 m2 in plan, four pipes of 24 m2; half a store has two of them."""
    whole = tank_file(job(tmp_path), rain(tmp_path)).result
    assert whole.feeds[0].plan_m2 == pytest.approx(96.0)
    half = tank_file(job(tmp_path, tanks=[{"volume_l": 20000, "pipes": ["DP1", "DP3"]}]), rain(tmp_path)).result
    assert half.feeds[0].plan_m2 == pytest.approx(48.0)
    assert "pipes-not-to-tank" in {finding.code for finding in half.findings}
    assert half.results[0].run_off_l == pytest.approx(whole.results[0].run_off_l / 2.0)
    assert half.chosen_l == 20000.0


def test_several_tanks_are_one_store_each_with_its_own_share(tmp_path: Path) -> None:
    tanks = [
        {"name": "north", "volume_l": 10000, "pipes": ["DP1"], "dead_l": 200},
        {"name": "south", "volume_l": 15000, "pipes": ["DP2", "DP3", "DP4"], "reserve_l": 5000, "inlet_mm": 2300},
    ]
    found = tank_file(job(tmp_path, tanks=tanks), rain(tmp_path)).result
    assert [feed.plan_m2 for feed in found.feeds] == pytest.approx([24.0, 72.0])
    assert found.chosen_l == 25000.0
    # outlet at 2450 - 130 over an inlet at 2300: 20 mm, and 100 are wanted
    assert found.feeds[1].head_mm == pytest.approx(20.0)
    assert "tank-inlet-too-high" in {finding.code for finding in found.findings}


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"tanks": [{"volume_l": 5000, "pipes": ["DP1", "DP1"]}]}, "DP1 is led to tank already"),
        ({"tanks": [{"name": "a", "volume_l": 5000, "pipes": ["DP1"]}, {"name": "b", "volume_l": 5000, "pipes": ["DP1"]}]},
         "DP1 is led to a already"),
        ({"tanks": [{"volume_l": 5000, "pipes": ["DP9"]}]}, "unknown downpipe DP9"),
        ({"tanks": [{"volume_l": 5000, "dead_l": 3000, "reserve_l": 2000}]}, "leave nothing of 5000 L"),
        ({"tanks": [{"name": "a", "volume_l": 5000}, {"name": "b", "volume_l": 5000}]}, "must say which pipes"),
        ({"water_use": {"by_month": [100] * 12, "people": 2}}, "leave out people"),
        ({"water_use": {"by_month": [100] * 12, "by_use": {"laundry": 30}}}, "leave out people, litres_a_day and by_use"),
        ({"water_use": {"by_month": [100] * 12, "litres_a_day": 80}}, "leave out people, litres_a_day and by_use"),
        ({"rain": {"file": "rain.csv", "monthly_mm": [1] * 12}}, "keep one of file and monthly_mm"),
    ],
)  # fmt: skip
def test_faults_of_the_job_have_their_place(tmp_path: Path, more: dict[str, object], said: str) -> None:
    with pytest.raises(JobError) as told:
        tank_file(job(tmp_path, **more), rain(tmp_path))
    assert any(said in fault and "job.yaml:" in fault for fault in told.value.faults), told.value.faults


def test_without_rain_the_yearly_figure_stands_and_what_is_missing_is_said(tmp_path: Path) -> None:
    """A x (rain - B) x plan area (enHealth): 0.8 x (750 - 24) x 96 = 55 757 L."""
    found = tank_file(job(tmp_path, site={"rain_mm_per_year": 750}), out=tmp_path / "out").result
    assert found.yearly_l == pytest.approx(55_756.8)
    assert found.results == ()
    assert "rain-file-not-given" in {finding.code for finding in found.findings}
    assert "No daily rain" in (tmp_path / "out" / "tank.svg").read_text(encoding="utf-8")


def test_means_of_months_give_a_balance_named_as_such(tmp_path: Path) -> None:
    found = tank_file(
        job(tmp_path, rain={"monthly_mm": [60] * 12}, water_use={"people": 2, "litres_a_day": 100})
    ).result
    assert len(found.months) == 12
    assert found.results == ()
    assert "month-by-month" in {finding.code for finding in found.findings}


def test_the_rain_that_the_job_names_changes_its_fingerprint(tmp_path: Path) -> None:
    from takeoff.pipeline import Stage, run_file

    path = job(tmp_path, rain={"file": "rain.csv"})
    rain(tmp_path)
    before = run_file(path, until=Stage.SHAPE).job_hash
    assert tank_file(path).result.results
    rain(tmp_path, years=3)
    assert run_file(path, until=Stage.SHAPE).job_hash != before


def test_use_is_made_up_of_what_it_is_for(tmp_path: Path) -> None:
    """4 people x (86 + 68 + 36) L = 760 L a day."""
    use = {"people": 4, "by_use": {"toilet": 86, "bathing": 68, "laundry": 36}}
    found = tank_file(job(tmp_path, water_use=use), rain(tmp_path)).result
    assert found.use.litres_a_day == (760.0,) * 12
    assert {"toilet", "bathing", "laundry"} <= {term.name for term in found.use.working.terms}
    assert tank_file(job(tmp_path, water_use=use), rain(tmp_path), people=2).result.use.mean_l == pytest.approx(380.0)


def test_cautions_go_with_every_result(tmp_path: Path) -> None:
    codes = {
        finding.code for finding in tank_file(job(tmp_path, rain={"new_roof": True}), rain(tmp_path)).result.findings
    }
    assert {"tank-drinking-water", "tank-lead", "tank-first-flush", "tank-consent", "tank-new-roof"} <= codes


def test_a_new_roof_sheds_its_first_25_mm_past_the_tank(tmp_path: Path) -> None:
    """96 m2 x 0.9 x 25 mm = 2160 L."""
    found = tank_file(job(tmp_path, rain={"new_roof": True}), rain(tmp_path)).result
    assert found.results[0].discarded_l == pytest.approx(2160.0)
    assert found.results[0].balance_l == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("text", ["abc", "5000,,6000", "-5", "0", "nan", "inf", "1e12"])
def test_sizes_that_are_none(text: str) -> None:
    with pytest.raises(UsageError):
        sizes_of(text)


def test_a_bad_file_of_rain_leaves_with_its_own_code(tmp_path: Path) -> None:
    (tmp_path / "rain.csv").write_text("date,rain\n2020-01-01,x\n", encoding="utf-8")
    with pytest.raises(UnreadableFileError):
        tank_file(job(tmp_path), tmp_path / "rain.csv")


def test_cubic_metres_typed_for_litres_are_told() -> None:
    assert sizes_of("100") == (100.0,)
    with pytest.raises(UsageError, match="25 L is no store of rainwater; sizes are in litres, 25 m3 are 25000"):
        sizes_of("5000,25")
