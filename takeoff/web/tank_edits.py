"""What is done to the store of rainwater on the page, as edits of the job: tanks, use, rain."""

from __future__ import annotations

import re
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.web.entries import length_mm
from takeoff.web.wall_edits import Row, tidy

LITRES = ("volume_l", "dead_l", "reserve_l", "start_l")
_FIGURE = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_MOST = 100_000_000.0
MONTHS = 12


def figure(text: str, what: str) -> float:
    """A figure as typed, not below nothing: 180, 12.5, "12,5", "25 000". Raises UsageError."""
    clean = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9]))", "", " ".join(text.split()))
    if not _FIGURE.fullmatch(clean) or len(clean) > 20 or float(clean.replace(",", ".")) > _MOST:
        raise UsageError(f'{what}: "{text.strip()[:20]}" is no such figure; type a number, as 180.')
    return float(clean.replace(",", "."))


def tanks_of(tree: Any) -> list[Row]:
    """The tanks as typed."""
    found = tree.get("tanks") if isinstance(tree, dict) else None
    return [row if isinstance(row, dict) else {} for row in found] if isinstance(found, list) else []


def part_of(tree: Any, key: str) -> Row:
    """A section of the job as typed; {} where there is none."""
    found = tree.get(key) if isinstance(tree, dict) else None
    return found if isinstance(found, dict) else {}


def tank_added(tree: Any, volume: str) -> Edit:
    """One more tank of so many litres. Of several each says its pipes: the job's faults ask for them. Raises
    UsageError."""
    rows = tanks_of(tree)
    row: Row = {"name": _free_name(rows), "volume_l": tidy(figure(volume, "litres"))}
    return Edit(("tanks", len(rows)), row)


def _free_name(rows: list[Row]) -> str:
    taken = {row.get("name", "tank") for row in rows}
    names = ("tank", *(f"tank {n}" for n in range(2, len(rows) + 3)))
    return next(name for name in names if name not in taken)


def tank_set(tree: Any, at: int, key: str, text: str) -> Edit:
    """A figure or word of a tank as typed; nothing typed takes it out. Raises UsageError."""
    if not 0 <= at < len(tanks_of(tree)):
        raise UsageError("that tank is not in the job any more.")
    path = ("tanks", at, key)
    if not text.strip():
        if key == "volume_l":
            raise UsageError("a tank holds something: type its litres.")
        return Edit(path, GONE)
    if key in LITRES:
        return Edit(path, tidy(figure(text, "litres")))
    if key == "inlet_mm":
        return Edit(path, tidy(length_mm(text, signed=True)))
    if key == "pipes":
        return Edit(path, [word for word in text.replace(",", " ").split() if word])
    return Edit(path, text.strip())


def tank_out(tree: Any, at: int) -> Edit:
    """A tank taken out, with the section where it was the last. Raises UsageError."""
    rows = tanks_of(tree)
    if not 0 <= at < len(rows):
        raise UsageError("that tank is not in the job any more.")
    return Edit(("tanks", at) if len(rows) > 1 else ("tanks",), GONE)


def use_set(key: str, text: str) -> Edit:
    """People, or litres that each draws a day, as typed; nothing typed takes it out. Raises UsageError."""
    words = {"people": "people", "litres_a_day": "litres a day"}[key]
    return Edit(("water_use", key), tidy(figure(text, words)) if text.strip() else GONE)


def rain_named(tree: Any, name: str) -> tuple[Edit, ...]:
    """The rain of the job is that of a file beside it; means of months go."""
    gone = [Edit(("rain", "monthly_mm"), GONE)] if "monthly_mm" in part_of(tree, "rain") else []
    return (*gone, Edit(("rain", "file"), name))


def months_set(tree: Any, text: str) -> tuple[Edit, ...]:
    """Means of the twelve months as typed [mm]; a file of rain goes. Nothing typed takes them out. Raises
    UsageError."""
    if not text.strip():
        return (Edit(("rain", "monthly_mm"), GONE),)
    words = re.split(r"[;\s]+|,\s+", text.strip())
    if len(words) == 1:
        words = text.strip().split(",")
    if len(words) != MONTHS:
        raise UsageError(f"rain of the months: {len(words)} figures; type twelve, January to December.")
    means = [tidy(figure(word, "rain of a month")) for word in words]
    gone = [Edit(("rain", "file"), GONE)] if "file" in part_of(tree, "rain") else []
    return (*gone, Edit(("rain", "monthly_mm"), means))


def new_roof_set(text: str) -> Edit:
    """Whether the first rain off a new roof is led past the tank."""
    return Edit(("rain", "new_roof"), True if text == "yes" else GONE)
