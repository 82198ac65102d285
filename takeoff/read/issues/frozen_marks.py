"""The marks of the sheets that an issue ordered, read back from the result that was frozen with it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.manifest import digest_of
from takeoff.basics.regular_files import read_bounded
from takeoff.model.issues import Issue, IssuedSheets, MarkedSheet
from takeoff.model.items import DELIVERY_OF, Trade

RESULT = "takeoff.json"
_MOST_BYTES = 1_000_000_000
_SHEETS = DELIVERY_OF[Trade.ROOFING]


def frozen_sheets(folder: Path, issues: tuple[Issue, ...]) -> tuple[IssuedSheets | None, ...]:
    """The sheets of each issue that ordered any, first to last; None for one whose result is gone, was edited or does
    not hold them."""
    return tuple(_sheets_of(folder, issue) for issue in issues if _SHEETS in issue.deliveries)


def _sheets_of(folder: Path, issue: Issue) -> IssuedSheets | None:
    try:
        data = read_bounded(folder / issue.folder / RESULT, _MOST_BYTES, "file of an issue")
        if digest_of(data) != issue.files.get(RESULT):
            return None
        order = json.loads(data)["order"]
        houses = order["houses"]["count"] if order.get("houses") is not None else 1
        return IssuedSheets(issue.number, int(houses), tuple(_marked(order)))
    except (UnreadableFileError, ValueError, AttributeError, KeyError, TypeError, RecursionError):
        return None


def _marked(order: dict[str, Any]) -> Iterator[MarkedSheet]:
    marks = {blank["pieces"][0]["mark"]: tuple(p["mark"] for p in blank["pieces"]) for blank in order["blanks"]}
    for line in order["lines"]:
        if not line["labour"] and line["each_mm"] > 0.0:
            for ref in line["refs"]:
                if ref in marks:
                    yield MarkedSheet(str(line["item"]), float(line["each_mm"]), marks[ref])
