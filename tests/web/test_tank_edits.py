"""What the tank panel does to a job, and that its figures are those of the command line."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.job_edits import GONE, Edit, edited_value
from takeoff.model.rain_series import DailyRain
from takeoff.pipeline import run_file
from takeoff.storing import sizes_of, stored_of, tank_file
from takeoff.web import tank_edits as tanks
from takeoff.write.job_text.edits import edited_text

JOB = """job: Hut
roofs:
  - outline: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
    pitch_deg: 25
    fascia_height_mm: 2450
"""
MEANS = "60 50 40 50 60 80 90 90 80 70 60 60"


def rain_text(days: int = 800) -> str:
    """Two dry months in three, 9 mm every third day of the others: made here, of no place."""
    start = datetime.date(2019, 1, 1)
    rows = (
        (start + datetime.timedelta(days=n), 9.0 if n % 3 == 0 and (n // 30) % 3 == 0 else 0.0) for n in range(days)
    )
    return "date,rain mm\n" + "".join(f"{day.isoformat()},{mm}\n" for day, mm in rows)


def test_figures_are_read_as_people_write_them() -> None:
    assert [tanks.figure(text, "x") for text in ("180", "12,5", "25 000", "0.5")] == [180.0, 12.5, 25000.0, 0.5]
    for text in ("", "many", "-1", "1e9", "999999999999"):
        with pytest.raises(UsageError):
            tanks.figure(text, "x")


def test_tanks_are_added_changed_and_taken_out() -> None:
    tree: object = {"job": "Hut"}
    tree = edited_value(tree, [tanks.tank_added(tree, "25 000")])
    tree = edited_value(tree, [tanks.tank_added(tree, "5000")])
    tree = edited_value(
        tree, [tanks.tank_set(tree, 1, "pipes", "DP1, DP2"), tanks.tank_set(tree, 1, "inlet_mm", "1.8 m")]
    )
    assert tree == {
        "job": "Hut",
        "tanks": [
            {"name": "tank", "volume_l": 25000},
            {"name": "tank 2", "volume_l": 5000, "pipes": ["DP1", "DP2"], "inlet_mm": 1800},
        ],
    }
    tree = edited_value(tree, [tanks.tank_out(tree, 0)])
    assert edited_value(tree, [tanks.tank_out(tree, 0)]) == {"job": "Hut"}
    with pytest.raises(UsageError):
        tanks.tank_set(tree, 0, "volume_l", "")


def test_rain_is_a_file_or_the_means_of_months_never_both() -> None:
    tree = edited_value({}, tanks.months_set({}, MEANS))
    assert tree == {"rain": {"monthly_mm": [60, 50, 40, 50, 60, 80, 90, 90, 80, 70, 60, 60]}}
    assert edited_value(tree, tanks.rain_named(tree, "rain.csv")) == {"rain": {"file": "rain.csv"}}
    assert edited_value({}, tanks.months_set({}, MEANS.replace(" ", ", "))) == tree
    filed: object = {"rain": {"file": "rain.csv"}}
    assert edited_value(filed, tanks.months_set(filed, MEANS)) == tree
    with pytest.raises(UsageError, match="twelve"):
        tanks.months_set({}, "60 50")


def test_use_is_typed_and_taken_out() -> None:
    assert tanks.use_set("people", "4") == Edit(("water_use", "people"), 4)
    assert tanks.use_set("litres_a_day", "") == Edit(("water_use", "litres_a_day"), GONE)
    assert tanks.new_roof_set("yes").value is True


def test_the_figures_are_those_of_the_command_line(tmp_path: Path) -> None:
    rain, job = tmp_path / "rain.csv", tmp_path / "job.yaml"
    rain.write_text(rain_text(), encoding="utf-8")
    text = edited_text(
        JOB, [*tanks.rain_named({}, "rain.csv"), tanks.use_set("people", "3"), tanks.tank_added({}, "10000")]
    )
    job.write_text(text, encoding="utf-8")
    here = stored_of(run_file(job), tmp_path, None, None, sizes_of("5000,10000"))
    there = tank_file(job, sizes_l=sizes_of("5000,10000"))
    assert here.result == there.result
    assert here.tables == there.tables
    assert here.picture.startswith("<svg")


def test_a_file_that_is_given_is_read_by_the_reader_there_is() -> None:
    from takeoff.web.panels.tank_panel import rain_of_bytes, rain_words

    rain = rain_of_bytes("../../rain <b>.csv", rain_text().encode())
    assert isinstance(rain, DailyRain)
    assert "/" not in rain.source
    assert len(rain.mm) == 800
    assert "does not name it yet" in rain_words(rain, {})
    with pytest.raises(UnreadableFileError):
        rain_of_bytes("rain.csv", b"date,rain mm\n2019-01-01,wet\n")
