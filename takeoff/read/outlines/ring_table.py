"""A CSV table of corners -> its rings: a row a corner, with what it says of the edge that begins there."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from io import StringIO
from pathlib import Path

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.regular_files import read_bounded
from takeoff.model.drawings import EDGE_KEYS, Facts, RawDrawing, RawPath
from takeoff.read.outlines.drawing_bounds import GREATEST_BYTES, MOST_CORNERS, checked_paths

_UNITS = ("mm", "cm", "m", "in", "ft")
_COLUMNS = ("x", "y", *(f"{axis}_{unit}" for unit in _UNITS for axis in "xy"), "ring", "layer", *EDGE_KEYS)


def read_ring_table(path: Path) -> RawDrawing:
    """Read a CSV file with a heading: x and y (or x_mm and y_mm, x_m and y_m ...), and where wanted ring, layer, kind,
    pitch_deg, fascia_height_mm, eave_overhang_mm, verge_overhang_mm, the latter of the edge from this corner to the
    next. Rows of one ring stand together. Comma, semicolon or tab; a decimal comma where those are not commas.

    Raises UnreadableFileError, with the line, for a missing, oversized or broken table.
    """
    data = read_bounded(path, GREATEST_BYTES, "drawing")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    heading = text.lstrip().split("\n", 1)[0]
    mark = max(",;\t", key=heading.count)
    rows = csv.reader(StringIO(text, newline=""), delimiter=mark)
    columns, unit = _columns(path.name, rows)
    paths = checked_paths(path.name, _paths(path.name, rows, columns, decimal_comma=mark != ","))
    return RawDrawing(path.name, "CSV", paths, unit, f"its heading says {unit}" if unit else "")


def _columns(name: str, rows: Iterator[list[str]]) -> tuple[dict[str, int], str]:
    """Where each column stands, x and y without their unit, and that unit."""
    heading = next((row for row in _rows(name, rows) if any(cell.strip() for cell in row)), [])
    found: dict[str, int] = {}
    for place, cell in enumerate(heading):
        word = cell.strip().lower()
        if word and word not in _COLUMNS:
            hint = did_you_mean(word, _COLUMNS, f"; known: {', '.join(_COLUMNS)}")
            raise UnreadableFileError(f"{name}: line 1: no column is called {word[:40]!r}{hint}")
        if word in found:
            raise UnreadableFileError(f"{name}: line 1: two columns are called {word}")
        found[word] = place
    for unit in ("", *_UNITS):
        x, y = (f"{axis}_{unit}" if unit else axis for axis in "xy")
        if x in found and y in found:
            return {**found, "x": found[x], "y": found[y]}, unit
    raise UnreadableFileError(f"{name}: line 1: needs the columns x and y, or x_mm and y_mm, x_m and y_m")


def _rows(name: str, rows: Iterator[list[str]]) -> Iterator[list[str]]:
    try:
        yield from rows
    except csv.Error as err:
        raise UnreadableFileError(f"{name}: is no CSV table ({err}); save it again") from None


def _paths(name: str, rows: Iterator[list[str]], columns: Mapping[str, int], decimal_comma: bool) -> Iterator[RawPath]:
    held: list[tuple[float, float]] = []
    edges: list[tuple[int, Facts]] = []
    now, began = ("", ""), 0
    for line, row in enumerate(_rows(name, rows), start=2):
        cells = {key: row[at].strip() if at < len(row) else "" for key, at in columns.items()}
        if not any(cells.values()):
            continue
        if line > MOST_CORNERS:
            raise UnreadableFileError(f"{name}: more than {MOST_CORNERS:,} corners; save the outline alone")
        ring = (cells.get("layer", ""), cells.get("ring", ""))
        if held and ring != now:
            yield _path(held, edges, now, began)
            held, edges = [], []
        if not held:
            now, began = ring, line
        held.append((_number(name, line, "x", cells, decimal_comma), _number(name, line, "y", cells, decimal_comma)))
        edges.append((len(held), _facts(name, line, cells, decimal_comma)))
    if held:
        yield _path(held, edges, now, began)


def _path(
    points: list[tuple[float, float]], edges: list[tuple[int, Facts]], ring: tuple[str, str], line: int
) -> RawPath:
    said = tuple((number, facts) for number, facts in edges if facts)
    return RawPath(ring[0][:60], tuple(points), True, (), f"line {line}", ring[1][:60], (), said)


def _number(name: str, line: int, key: str, cells: Mapping[str, str], decimal_comma: bool) -> float:
    word = cells[key].replace(",", ".") if decimal_comma else cells[key]
    try:
        return float(word)
    except ValueError:
        raise UnreadableFileError(f"{name}: line {line}: {key} is {cells[key][:40]!r}, no number") from None


def _facts(name: str, line: int, cells: Mapping[str, str], decimal_comma: bool) -> Facts:
    given = [key for key in EDGE_KEYS if cells.get(key)]
    return tuple(
        (key, cells[key].lower() if key == "kind" else _number(name, line, key, cells, decimal_comma)) for key in given
    )
