"""The files of a tank's result: a workbook, a picture, data."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from takeoff import __version__
from takeoff.model.order_folder import Written
from takeoff.model.rain_series import DailyRain
from takeoff.model.tank_store import TankResult
from takeoff.write.atomic import write_set
from takeoff.write.data.result_json import to_plain
from takeoff.write.differences.differences_workbook import differences_workbook
from takeoff.write.tank.tank_picture import tank_svg
from takeoff.write.tank.tank_tables import tank_tables, title_of

FORMAT, VERSION = "takeoff tank", 1


def tank_json(result: TankResult, job_hash: str) -> str:
    """The result as JSON text; of the rain its days are left out, since they stand in its file. Raises TakeoffError for
    a figure that is not finite."""
    rain = result.rain
    told = replace(rain, mm=()) if isinstance(rain, DailyRain) else rain
    days = len(rain.mm) if isinstance(rain, DailyRain) else None
    data = {
        "format": FORMAT,
        "version": VERSION,
        "program": f"takeoff {__version__}",
        "job_hash": job_hash,
        "days": days,
        "result": to_plain(replace(result, rain=told)),
    }
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def tank_files(result: TankResult, job_hash: str) -> Mapping[str, bytes]:
    """Every file by name."""
    book = differences_workbook(title_of(result), tank_tables(result), result.date)
    return {
        "tank.xlsx": book,
        "tank.svg": tank_svg(result).encode("utf-8"),
        "tank.json": tank_json(result, job_hash).encode("utf-8"),
    }


def write_tank(result: TankResult, out: Path, job_hash: str) -> Written:
    """Write them into a folder, all or nothing. Raises UsageError where that cannot be written."""
    facts = {"program": f"takeoff {__version__}", "job": result.job, "job_hash": job_hash}
    return write_set(dict(tank_files(result, job_hash)), out, facts)
