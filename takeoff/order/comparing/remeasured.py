"""An order made again from sizes taped on the frame: what changed mark by mark, and its release."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from takeoff.model.differences import MarkChange
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Hold, Takeoff
from takeoff.model.sheets import PlaneSheets


def mark_changes(drawn: Sequence[PlaneSheets], built: Sequence[PlaneSheets]) -> tuple[MarkChange, ...]:
    """Every sheet before and after, in laying order; a sheet that one list alone has is 0 in the other [mm]."""
    before = {piece.mark: piece for sheets in drawn for piece in sheets.pieces}
    after = {piece.mark: piece for sheets in built for piece in sheets.pieces}
    return tuple(
        MarkChange(
            plane=(after.get(mark) or before[mark]).plane,
            mark=mark,
            old_mm=before[mark].order_mm if mark in before else 0.0,
            new_mm=after[mark].order_mm if mark in after else 0.0,
        )
        for mark in dict.fromkeys((*after, *before))
    )


def released(takeoff: Takeoff) -> Takeoff:
    """The takeoff released for manufacture; with a stop finding instead where not every sheeted plane is measured."""
    order = takeoff.order
    if order is None:
        return takeoff
    if order.state is Hold.MEASURED:
        return replace(takeoff, order=replace(order, state=Hold.RELEASED))
    finding = Finding(
        "release-without-measure",
        Severity.STOP,
        "Not released: not every sheeted plane is measured.",
        "Fill in the form for the planes that are named, or leave the release away.",
    )
    return replace(takeoff, order=None, findings=(*takeoff.findings, finding))
