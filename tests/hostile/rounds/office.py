"""Office files changed at random, damaged quotations, and books of issues with bytes of them gone or others.

An office file is read or refused with its place, and one that is read takes a hut to its order; a quotation is read or
refused; a book that is not byte for byte what was written is told, or says the same as before.
"""

from __future__ import annotations

import json
import random
import re
from dataclasses import asdict
from functools import cache
from pathlib import Path

from rounds.jobs import changed_text
from rounds.lists import workbook
from rounds.outcome import SAMPLES, Outcome, cause_words, fault_outcome
from takeoff import pipeline
from takeoff.basics.errors import TakeoffError
from takeoff.model.issues import Issue, IssuedLine
from takeoff.model.order import Order
from takeoff.order.comparing.check_quotation import check_quotation
from takeoff.read.issues.book_file import book_line, read_book
from takeoff.read.job.job_file import parse_job
from takeoff.read.lists.quotation_file import read_quotation
from takeoff.read.office.office_file import parse_office

HUT = "job: Hut\nroofs: [{outline: [[0, 0], [3000, 0], [3000, 2000], [0, 2000]], pitch_deg: 20}]\n"


@cache
def office_text() -> str:
    """The template with every line taken up."""
    text = (SAMPLES.parent / "templates" / "office.yaml").read_text(encoding="utf-8")
    lines = [re.sub(r"^# ?", "", line) for line in text.splitlines()]
    return "\n".join(line for line in lines if not re.match(r"[A-Z]", line)) + "\n"


@cache
def hut() -> Order:
    order = pipeline.run(parse_job(HUT)).order
    assert order is not None
    return order


def case(chance: random.Random, folder: Path) -> Outcome:
    """One office file, quotation or book."""
    return chance.choice((office_case, quotation_case, book_case, book_case, quotation_case))(chance, folder)


def office_case(chance: random.Random, _folder: Path) -> Outcome:
    text = office_text()
    for _ in range(chance.randrange(1, 4)):
        text = changed_text(text, chance)
    evidence = {"office.yaml": text.encode("utf-8", "surrogatepass")}
    try:
        office = parse_office(text)
    except Exception as err:
        return fault_outcome(err, evidence)
    try:
        takeoff = pipeline.run(parse_job(HUT, office=office), office=office)
    except Exception as err:
        return fault_outcome(err, evidence)
    return Outcome(6 if takeoff.stopped else 0, "office read")


def quotation_case(chance: random.Random, folder: Path) -> Outcome:
    rows: list[list[object]] = [["line", "item", "length mm", "qty", "unit", "price", "amount"]]
    for number, line in enumerate(hut().lines, start=1):
        price = round(chance.uniform(0.0, 90.0), 2)
        rows.append(
            [number, line.item, line.each_mm or None, line.count, line.unit, price, round(price * line.count, 2)]
        )
    for _ in range(chance.randrange(6)):
        row = chance.choice(rows)
        row[chance.randrange(7)] = chance.choice(
            ("", -1, "1,5", "x", 1e300, "=1+1", "9" * 50, None, float("inf"), True)
        )
    name = chance.choice(("quote.csv", "quote.xlsx"))
    text = "\n".join(";".join("" if cell is None else str(cell) for cell in row) for row in rows)
    raw = bytearray(workbook(rows) if name.endswith("x") else text.encode())
    if chance.random() < 0.5:
        for _ in range(chance.randrange(1, 9)):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
    path = folder / name
    path.write_bytes(bytes(raw))
    try:
        found = check_quotation(read_quotation(path), hut(), {})
    except Exception as err:
        return fault_outcome(err, {name: bytes(raw)})
    rows_told = {one.row for one in found.differences if one.row}
    told = len(found.quotation.lines) == found.agree + len(rows_told)
    wrong = "" if told else "a line of theirs neither agrees nor is told"
    return Outcome(7 if found.differences else 0, "quotation read", wrong, {name: bytes(raw)} if wrong else {})


def book_case(chance: random.Random, folder: Path) -> Outcome:
    data, before, written = b"", "", []
    for number in range(1, chance.randrange(2, 5)):
        lines = tuple(
            IssuedLine("purlins", f"item {n}", "a purlin", 4800.0, "each", float(n), n * 4.8, "m", 0.0)
            for n in range(1, chance.randrange(2, 4))
        )
        issue = Issue(number, "2026-03-02", "Hut", "ABC"[number - 1], "f", "c", ("purlins",), "", "why", (), lines, {})
        line = book_line(asdict(issue), before)
        before = json.loads(line)["seal"]
        data, written = data + line, [*written, issue]
    raw = bytearray(data)
    if chance.random() < 0.3:
        del raw[chance.randrange(len(raw)) :]
    elif chance.random() < 0.5:
        start = chance.randrange(len(raw))
        del raw[start : start + chance.randrange(1, 400)]
    else:
        for _ in range(chance.randrange(3)):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
    (folder / "book.jsonl").write_bytes(bytes(raw))
    evidence = {"book.jsonl": bytes(raw)}
    try:
        found = read_book(folder)
    except TakeoffError as err:
        return Outcome(int(err.exit_code), cause_words(str(err)))
    except Exception as err:
        return fault_outcome(err, evidence)
    if found is None:
        return Outcome(1, "no book", "a book that is there was taken for none", evidence)
    same = list(found.issues) == written[: len(found.issues)]
    # a book cut behind a whole line is a shorter book: its files tell, and here there are none
    whole = bool(found.faults) or len(found.issues) == len(written) or bytes(raw) == data[: len(raw)]
    wrong = "" if same and whole else "a damaged book says something else without a word"
    return Outcome(4 if found.faults else 0, "book damaged" if found.faults else "book read", wrong, evidence)
