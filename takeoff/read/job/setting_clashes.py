"""Settings of a job that cannot stand beside each other: a lap as wide as its roll, a least above its most."""

from __future__ import annotations

from collections.abc import Iterator

from takeoff.basics.records import record
from takeoff.model.basis import Status
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.read.job.settings import resolve_settings

Path = tuple[str | int, ...]

# what may not be more than the other
_AT_MOST = (
    ("fascia_board_shortest_mm", "fascia_board_longest_mm"),
    ("metal_fascia_shortest_mm", "metal_fascia_longest_mm"),
    ("long_run_mm", "long_run_most_mm"),
    ("ordinary_truck_mm", "special_truck_mm"),
    ("least_lap_bevel_mm", "most_lap_bevel_mm"),
    ("boot_alone_most_mm", "boot_most_mm"),
)


@record
class _Figure:
    """A figure of a rule: its value [mm], what it is in words, and where the job gives it (None: it does not)."""

    mm: float
    words: str
    path: Path | None

    @property
    def told(self) -> str:
        """The figure with its name, as a sentence says it."""
        return f"{self.words} {self.mm:g} mm"


def clash_faults(job: Job, catalogue: Catalogue, office: Office | None = None) -> list[tuple[Path, str]]:
    """Faults between settings that are right by themselves, at the first of the two that the job gives.

    A clash of figures that the job has no part in is none of the job's. (path, sentence) each.
    """
    settings = resolve_settings(job, office)
    faults: list[tuple[Path, str]] = []
    for less, more, words in (*_limits(job, settings), *_laps(job, settings, catalogue)):
        path = less.path if less.path is not None else more.path
        if path is not None:
            faults.append((path, words.format(less=less.told, more=more.told)))
    return faults


def _limits(job: Job, settings: Settings) -> Iterator[tuple[_Figure, _Figure, str]]:
    for name, other in _AT_MOST:
        less, more = _setting(settings, name), _setting(settings, other)
        if less.mm > more.mm:
            yield less, more, "{less} is more than {more}; lower the one or raise the other"
    walls = job.walls
    if walls is None:
        return
    spacing = _setting(settings, "stud_mm")
    if walls.stud_mm is not None:
        spacing = _Figure(walls.stud_mm, "stud_mm", ("walls", "stud_mm"))
    width = _setting(settings, "stud_width_mm")
    if width.mm >= spacing.mm:
        yield width, spacing, "{less} leaves no room between studs at {more}"


def _laps(job: Job, settings: Settings, catalogue: Catalogue) -> Iterator[tuple[_Figure, _Figure, str]]:
    """Laps that use up what is lapped."""
    for lap, whole, share in _lapped(job, settings, catalogue):
        if lap.mm >= whole.mm * share:
            part = "half of " if share < 1.0 else ""
            yield lap, whole, f"{{less}} is no less than {part}{{more}}, which it laps"


def _lapped(job: Job, settings: Settings, catalogue: Catalogue) -> Iterator[tuple[_Figure, _Figure, float]]:
    """A lap, what it laps, and the share of that which the lap must stay under."""
    yield _setting(settings, "safety_mesh_lap_mm"), _setting(settings, "safety_mesh_width_mm"), 0.5
    lap, length = _setting(settings, "flashing_lap_mm"), _setting(settings, "flashing_length_mm")
    if length.mm > 0.0:
        yield lap, length, 1.0
    if job.site.longest_piece_mm is not None:
        longest = _Figure(job.site.longest_piece_mm, "longest_piece_mm", ("site", "longest_piece_mm"))
        yield lap, longest, 1.0
    roll = _roll(settings, catalogue, "underlay_roll", job.underlay.roll, ("underlay", "roll"))
    yield _setting(settings, "underlay_lap_mm"), roll, 1.0
    if job.walls is not None:
        wrap = _roll(settings, catalogue, "wall_wrap", job.walls.wrap, ("walls", "wrap"))
        yield _setting(settings, "wrap_lap_level_mm"), wrap, 1.0
        yield _setting(settings, "wall_flashing_lap_mm"), _setting(settings, "wall_flashing_stock_mm"), 1.0
        roll_m = _setting(settings, "damp_course_roll_m")
        if roll_m.mm > 0.0:
            in_mm = _Figure(roll_m.mm * 1000.0, "damp_course_roll_m", roll_m.path)
            yield _setting(settings, "damp_course_lap_mm"), in_mm, 1.0


def _setting(settings: Settings, name: str) -> _Figure:
    return _Figure(settings.number(name), *_said(settings, name))


def _said(settings: Settings, name: str) -> tuple[str, Path | None]:
    """What a setting is called in a fault, and where it is given: of the office file the job knows no place."""
    if settings.basis(name).status is Status.SET_IN_OFFICE:
        return f"{name} of the office file", ()
    return name, ("settings", name) if settings.given(name) else None


def _roll(settings: Settings, catalogue: Catalogue, name: str, named: str | None, path: Path) -> _Figure:
    """The width of the roll that the job names, else of the one that the setting does."""
    if named is None:
        return _Figure(catalogue.rolls[settings.word(name)].width_mm, "the roll's", _said(settings, name)[1])
    return _Figure(catalogue.rolls[named].width_mm, "the roll's", path)
