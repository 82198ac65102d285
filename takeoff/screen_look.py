"""What the command line shows of a look at a file: layers, rings, bodies, and the lines to paste."""

from __future__ import annotations

from collections.abc import Sequence

from rich.markup import escape
from rich.table import Table

from takeoff.model.looked import Looked, LookedRing
from takeoff.model.order_folder import OneWritten
from takeoff.screen import Screen, shown

_MOST_ROWS = 40  # of a table on the screen
_MOST_LINES = 8


def show_look(looked: Looked, picture: OneWritten | None) -> None:
    """Print a look: unit and why, tables of what there is, notes, and the lines to paste."""
    console = Screen(highlight=False)
    console.say(f"{looked.file}  {looked.kind}", "bold")
    if looked.unit:
        console.say(f"unit {looked.unit}: {looked.unit_why}")
    elif looked.unit_why:
        head = f"{looked.open} not known"
        console.say(f"{head}: {looked.unit_why}", "yellow", head=len(head))
        for unit, size in looked.could_be:
            console.say(f"--unit {unit} makes its largest shape {size}", indent="  ")
    _layers(console, looked)
    _rings(console, looked)
    _bodies(console, looked)
    for row in looked.open_rows[:5]:
        console.say(f"open: {row.says}", "yellow", head=len("open"))
    for note in looked.notes:
        console.say(f"note: {note}")
    if looked.lines:
        console.say("to paste into a roof of the job, with edge_is: wall_line where it is the outside of framing:")
        for line in looked.lines[:_MOST_LINES]:
            console.say(line, indent="  ")
        if len(looked.lines) > _MOST_LINES:
            console.say(f"and {len(looked.lines) - _MOST_LINES} more; --json has them all", indent="  ")
    if picture is not None:
        kept = f" (what was there before is now {picture.kept})" if picture.kept else ""
        console.print(f"picture: {escape(str(picture.path))}{escape(kept)}", soft_wrap=True)


def _table(console: Screen, headings: Sequence[tuple[str, bool]], rows: Sequence[Sequence[str]]) -> None:
    """A table, figures to the right; a long one is cut off with a word about the rest."""
    table = Table(box=None, pad_edge=False, header_style="bold")
    for heading, right in headings:
        table.add_column(heading, justify="right" if right else "left", no_wrap=right, overflow="fold")
    for row in rows[:_MOST_ROWS]:
        table.add_row(*(escape(cell) for cell in row))
    console.print(table)
    if len(rows) > _MOST_ROWS:
        console.print(f"  and {len(rows) - _MOST_ROWS} more; --json has them all")


def _layers(console: Screen, looked: Looked) -> None:
    if any(layer.name for layer in looked.layers):
        rows = [(one.name, str(one.lines), str(one.rings or ""), str(one.open_rows or "")) for one in looked.layers]
        _table(console, (("layer", False), ("lines", True), ("rings", True), ("open", True)), rows)


def _rings(console: Screen, looked: Looked) -> None:
    if not looked.rings:
        return
    headings = (
        ("ring", False),
        ("length x width", True),
        ("area", True),
        ("corners", True),
        ("edges", True),
        ("", False),
    )
    _table(console, headings, [_ring(ring, bool(looked.unit)) for ring in looked.rings])


def _ring(ring: LookedRing, known: bool) -> tuple[str, ...]:
    name = " ".join(part for part in (ring.layer, str(ring.number), ring.name) if part)
    last = ring.first_edge + len(ring.points_mm) - 1
    said = f"courtyard of {ring.court_of}" if ring.court_of else ""
    if ring.fault:
        said = "crosses itself"
    if known:
        size = f"{shown(ring.length_mm / 1000.0)} x {shown(ring.width_mm / 1000.0)} m"
        area = f"{shown(ring.area_mm2 / 1e6)} m2"
    else:
        size, area = f"{ring.length_mm:.6g} x {ring.width_mm:.6g}", f"{ring.area_mm2:.6g}"
    return name, size, area, str(len(ring.points_mm)), f"{ring.first_edge} to {last}", said


def _bodies(console: Screen, looked: Looked) -> None:
    if not looked.bodies:
        return
    rows = []
    for body in looked.bodies:
        long, wide, high = (shown(span / 1000.0) for span in body.size_mm)
        name = str(body.number) if body.name in ("", str(body.number)) else f"{body.number} {body.name}"
        rows.append((name, f"{long} x {wide} m", f"{high} m", str(body.faces), body.part))
    headings = (("body", False), ("length x width", True), ("height", True), ("faces", True), ("part", False))
    _table(console, headings, rows)
