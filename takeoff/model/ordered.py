"""What people typed beside the lines of an order sheet: how much was ordered, how much has come."""

from __future__ import annotations

from takeoff.basics.records import record

Typed = str | float


@record
class TypedLine:
    """What stands in "ordered" and "received" beside a line of a sheet, "" for nothing; the line is known by what its
    item is called and its length [mm], 0 for none."""

    sheet: str
    item: str
    length_mm: float
    ordered: Typed
    received: Typed


@record
class TypedBefore:
    """What was typed into the workbook that lies in a folder; `fault`: why it could not be read."""

    lines: tuple[TypedLine, ...] = ()
    fault: str = ""
