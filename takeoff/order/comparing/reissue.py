"""An order issued again: what a revision letter may stand for, and what the new one takes the place of."""

from __future__ import annotations

from takeoff.basics.errors import UsageError
from takeoff.model.snapshot import Snapshot

_SHOWN = 3  # lengths named in a message


def superseded(revision: str, drawn: str, issued: Snapshot | None) -> str:
    """The revision that `revision` takes the place of: the one in the folder, else the job's own; "" for itself."""
    before = issued.revision if issued is not None else drawn
    return "" if before == revision else before


def refuse_other_lengths(new: Snapshot, issued: Snapshot | None, where: str) -> None:
    """Raises UsageError where `where` holds an order under the same letter with other lengths: paper of both would go
    about under one name."""
    if issued is None or issued.withheld or new.withheld or (issued.job, issued.revision) != (new.job, new.revision):
        return
    changed = _other_lengths(issued, new)
    if changed:
        more = f" and {len(changed) - _SHOWN} more" if len(changed) > _SHOWN else ""
        raise UsageError(
            f"{where} holds revision {new.revision} with other lengths: {', '.join(changed[:_SHOWN])}{more}; give this "
            "one a letter of its own with --revision"
        )


def _other_lengths(old: Snapshot, new: Snapshot) -> list[str]:
    """Sheets and lines of the order whose lengths or counts differ, in words."""
    sheets, now = _sheets(old), _sheets(new)
    words = [
        f"{mark} {sheets.get(mark, 0.0):.0f}, now {now.get(mark, 0.0):.0f} mm"
        for mark in dict.fromkeys((*sheets, *now))
        if abs(sheets.get(mark, 0.0) - now.get(mark, 0.0)) >= 0.5
    ]
    lines, counts = _lines(old), _lines(new)
    words += [
        f"{name} {length:.0f} mm: {lines.get((name, length), 0.0):g}, now {counts.get((name, length), 0.0):g}"
        for name, length in dict.fromkeys((*lines, *counts))
        if lines.get((name, length), 0.0) != counts.get((name, length), 0.0)
    ]
    return words


def _sheets(result: Snapshot) -> dict[str, float]:
    return {sheet.mark: sheet.bought_mm for plane in result.planes for sheet in plane.sheets}


def _lines(result: Snapshot) -> dict[tuple[str, float], float]:
    found: dict[tuple[str, float], float] = {}
    for line in result.lines:
        if line.each_mm > 0.0:
            found[line.name, line.each_mm] = found.get((line.name, line.each_mm), 0.0) + line.count
    return found
