"""An order made again from sizes taped on the frame: what changed mark by mark, and its release."""

from __future__ import annotations

from dataclasses import replace

from takeoff.model.bought_lengths import Bought, bought_of
from takeoff.model.differences import MarkChange
from takeoff.model.findings import Finding, Severity
from takeoff.model.order import Hold, Takeoff


def mark_changes(drawn: Takeoff, built: Takeoff) -> tuple[MarkChange, ...]:
    """Every sheet before and after, in laying order, as it is bought; one that a list has not is "" in it."""
    before = bought_of(drawn.roofing.sheets, drawn.order)
    after = bought_of(built.roofing.sheets, built.order)
    planes = {p.mark: p.plane for takeoff in (drawn, built) for s in takeoff.roofing.sheets for p in s.pieces}
    return tuple(
        _change(planes[mark], mark, before.get(mark), after.get(mark)) for mark in dict.fromkeys((*after, *before))
    )


def _change(plane: str, mark: str, old: Bought | None, new: Bought | None) -> MarkChange:
    return MarkChange(
        plane=plane,
        mark=mark,
        old_mm=(old.length_mm or 0.0) if old is not None else 0.0,
        new_mm=(new.length_mm or 0.0) if new is not None else 0.0,
        old=old.words if old is not None else "",
        new=new.words if new is not None else "",
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
