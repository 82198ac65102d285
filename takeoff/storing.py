"""The store of rainwater of a job: its rain read, reckoned, written. No figure is made here."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from takeoff.basics.errors import JobError, UsageError
from takeoff.basics.records import record
from takeoff.measure.tank.reckon import reckon_tank
from takeoff.model.order import Takeoff
from takeoff.model.order_folder import Written
from takeoff.model.rain_series import Rain
from takeoff.model.tank_store import TankResult
from takeoff.pipeline import Stage, Step, run_file
from takeoff.read.job.fault_places import placed_faults
from takeoff.read.job.job_file import job_path, read_text
from takeoff.read.rain.rain_file import monthly_of, read_rain
from takeoff.write.differences.tables import Table
from takeoff.write.tank.tank_files import write_tank
from takeoff.write.tank.tank_picture import tank_svg
from takeoff.write.tank.tank_tables import shown_tables, title_of

MOST_SIZES = 200
MOST_L = 100_000_000.0
LEAST_L = 100.0  # less than a barrel is cubic metres or thousands of litres


@record
class Stored:
    """A store reckoned, and where its files are (None where none were asked for)."""

    result: TankResult
    written: Written | None

    @property
    def title(self) -> str:
        """What stands over its tables."""
        return title_of(self.result)

    @property
    def tables(self) -> tuple[Table, ...]:
        """The tables that fit a screen."""
        return shown_tables(self.result)

    @property
    def picture(self) -> str:
        """What sizes give, and the level through the worst year: SVG."""
        return tank_svg(self.result)


def _quiet(_what: str) -> None:
    """Progress that nobody watches."""


def tank_file(
    job: Path,
    rain: Path | None = None,
    people: float | None = None,
    sizes_l: Sequence[float] = (),
    out: Path | None = None,
    step: Step = _quiet,
) -> Stored:
    """Reckon the store of a job file with the rain of a file, else that which the job names; write it into `out`.

    Raises JobError, UnreadableFileError, ShapeError and UsageError with every fault of the level reached.
    """
    if people is not None and not 0.0 < people <= 100_000.0:
        raise UsageError(f"--people: {people:g} cannot be; give a number over 0")
    step("reading the rain")
    given = read_rain(rain) if rain is not None else None
    takeoff = run_file(job, until=Stage.MEASURE, step=step)
    path = job_path(Path(job))
    step("reckoning the store")
    try:
        result = stored_of(takeoff, path.parent, given, people, sizes_l).result
    except JobError as err:
        raise JobError(*placed_faults(err.faults, read_text(path), path.name)) from err
    return Stored(result, write_tank(result, out, takeoff.job_hash) if out is not None else None)


def stored_of(
    takeoff: Takeoff, base: Path, rain: Rain | None = None, people: float | None = None, sizes_l: Sequence[float] = ()
) -> Stored:
    """The store of a job that is taken off, with the rain given, else that which the job names, its file in `base`;
    nothing is written. Raises JobError, UnreadableFileError and UsageError."""
    series = rain if rain is not None else _rain_of(takeoff, base)
    return Stored(reckon_tank(takeoff, series, people, sizes_l), None)


def _rain_of(takeoff: Takeoff, base: Path) -> Rain | None:
    """The rain that the job names itself."""
    rain = takeoff.job.rain
    if rain.file is not None:
        return read_rain(base / rain.file)
    return monthly_of(rain.monthly_mm) if rain.monthly_mm is not None else None


def sizes_of(text: str) -> tuple[float, ...]:
    """Sizes [L] as they are typed: 5000,10000. Raises UsageError for what is no size."""
    found: list[float] = []
    for word in text.split(",") if text.strip() else ():
        try:
            size = float(word)
        except ValueError:
            raise UsageError(f"--sizes: {word.strip()[:40]!r} is no number of litres; give 5000,10000,25000") from None
        if not 0.0 < size <= MOST_L:
            raise UsageError(f"--sizes: {word.strip()[:40]} L is no size of a store")
        if size < LEAST_L:
            said = f"{word.strip()[:40]} L is no store of rainwater"
            raise UsageError(f"--sizes: {said}; sizes are in litres, {size:g} m3 are {1000.0 * size:.0f}")
        found.append(size)
    if len(found) > MOST_SIZES:
        raise UsageError(f"--sizes: {len(found)} sizes; give {MOST_SIZES} at most")
    return tuple(sorted(set(found)))
