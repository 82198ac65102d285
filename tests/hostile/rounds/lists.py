"""Cut lists as people and programs write them, and damaged ones. What is read must be what was written, or refused."""

from __future__ import annotations

import csv
import io
import random
from pathlib import Path

from openpyxl import Workbook

from rounds.outcome import Outcome, cause_words, fault_outcome
from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.read.lists.cut_list import read_cut_list

Line = tuple[str, int, int]


def written(chance: random.Random) -> tuple[str, bytes, list[Line]]:
    """A name, a file's bytes, and the lines that are in it: mark, count, mm."""
    lines = [
        (f"P{chance.randrange(1, 9)}.{n:02}", chance.randrange(1, 30), chance.randrange(300, 13_000))
        for n in range(chance.randrange(1, 40))
    ]
    unit = chance.choice(("mm", "m"))
    comma = chance.random() < 0.3
    heads = [
        "mark",
        chance.choice(("qty", "quantity", "no")),
        chance.choice((f"length {unit}", f"Length ({unit})", f"cut length {unit}")),
    ]
    order = [0, 1, 2]
    chance.shuffle(order)
    rows: list[list[object]] = [["Roof of the house"]] if chance.random() < 0.4 else []
    rows.append([heads[k] for k in order])
    for mark, count, mm in lines:
        cells: list[object] = [mark, count, length_cell(mm, unit, comma, chance)]
        rows.append([cells[k] for k in order])
        if chance.random() < 0.05:
            rows.append([])
    if chance.random() < 0.3:
        rows.append([["total", sum(count for _, count, _ in lines), ""][k] for k in order])
    if chance.random() < 0.5:
        return "list.xlsx", workbook(rows), lines
    text = io.StringIO()
    csv.writer(text, delimiter=";" if comma else chance.choice(",;\t") if unit == "mm" else ",").writerows(rows)
    return "list.csv", text.getvalue().encode(chance.choice(("utf-8", "utf-8-sig", "utf-16"))), lines


def length_cell(mm: int, unit: str, comma: bool, chance: random.Random) -> object:
    """A length as somebody writes it."""
    if unit == "mm":
        return chance.choice((mm, str(mm), f"{mm} mm", float(mm)))
    words = f"{mm / 1000:.3f}"
    if comma:
        return words.replace(".", ",")
    return chance.choice((mm / 1000, words, f"{words} m", f"{words}m"))


def workbook(rows: list[list[object]]) -> bytes:
    """Rows as an XLSX."""
    book = Workbook()
    for row in rows:
        book.worksheets[0].append(row)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def case(chance: random.Random, folder: Path) -> Outcome:
    """One list: whole it must be read as it is, damaged it is read as it is or refused."""
    name, data, lines = written(chance)
    damaged = chance.random() < 0.5
    if damaged:
        raw = bytearray(data)
        for _ in range(chance.randrange(1, 12)):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
        data = bytes(raw[: chance.choice((len(raw), chance.randrange(1, len(raw) + 1)))])
    path = folder / name
    path.write_bytes(data)
    evidence = {name: data}
    try:
        found = [(line.mark, line.count, round(line.length_mm)) for line in read_cut_list(path).lines]
    except (UnreadableFileError, UsageError) as err:
        wrong = "" if damaged else f"refused: {err}"
        return Outcome(int(err.exit_code), cause_words(str(err)), wrong, evidence if wrong else {})
    except Exception as err:
        return fault_outcome(err, evidence)
    wrong = "" if damaged or found == lines else f"read {found[:3]} ... for {lines[:3]} ..."
    return Outcome(0, "damaged, and read" if damaged else "read", wrong, evidence if wrong else {})
