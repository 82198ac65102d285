"""Every formula of the order sheet, worked out in the ordinary run: it gives the figure that is stored beside it.

LibreOffice is the second judge (tests/crosschecks/test_workbook_recalculated.py); this one always runs.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.write.workbook.workbook import fill_workbook, workbook_bytes

sys.path.insert(0, str(Path(__file__).parent))

from formulas import Sums, differences, sheet_round

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
# between them: holes, prices with extras, raked pairs, packs over the limit, several roofs, walls of both directions
JOBS: dict[str, dict[str, object]] = {
    "homestead": {},
    "cottage_with_flue": {"extra_percent": {"purlins": 5.0, "roof sheets": 7.5}},
    "hip_12x8": {"buy_raked_pairs": True},
    "l_house": {"pack_limit_kg": 60.0},
    "mansard": {},
}
WITH_FORMULAS = {
    "Order", "Mill order", "Pack list", "Cutting list", "Purlins", "Flashings", "Rainwater", "Walls", "Wall lengths",
    "Prices",
}  # fmt: skip


def filled(name: str) -> tuple[Workbook, Mapping[str, Mapping[str, float]]]:
    """The order sheet of a sample as the library reads it and what each formula must give, with the settings (or extras on its prices) named above."""
    job = parse_job((SAMPLES / name / "job.yaml").read_text(encoding="utf-8"))
    more = dict(JOBS[name])
    if "extra_percent" in more and job.rates is not None:
        job = job.model_copy(
            update={"rates": job.rates.model_copy(update={"extra_percent": more.pop("extra_percent")})}
        )
    takeoff = run(job.model_copy(update={"settings": {**job.settings, **more}}))
    return load_workbook(BytesIO(workbook_bytes(takeoff))), fill_workbook(takeoff).values


def test_each_formula_gives_its_stored_figure() -> None:
    titles: set[str] = set()
    for name in JOBS:
        book, values = filled(name)
        assert differences(book, values) == [], name
        assert sum(len(cells) for cells in values.values()) > 40
        titles |= set(values)
    assert titles == WITH_FORMULAS


def test_a_wrong_formula_with_the_right_figure_stored_is_seen() -> None:
    """What the evaluator is for: /100 for /1000, a minus turned to a plus, a plus for a times."""
    book, values = filled("cottage_with_flue")
    seen = unseen = 0
    for title, cells in values.items():
        for cell, ours in cells.items():
            held = book[title][cell]
            text = str(held.value)
            for right, wrong in (("/1000", "/100"), ("-", "+"), ("*", "+")):
                if right in text and ours != 0.0:
                    held.value = text.replace(right, wrong, 1)
                    if differences(book, {title: {cell: ours}}):
                        seen += 1
                    else:
                        unseen += 1
                    held.value = text
    # 100 bars less nothing, or a row of zeros, is the same either way: hardly any formula is
    assert seen > 60
    assert unseen <= seen / 20


def test_the_evaluator_by_hand() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "A b"
    for row, values in enumerate(((2, 1500, "x"), (3, 2500, None), (None, 10, 1)), start=1):
        for column, value in enumerate(values, start=1):
            sheet.cell(row, column).value = value
    sums = {
        "ROUND(A1*B1/1000,3)": 3.0,
        "SUM(A1:A3)": 5.0,
        "MAX(B1:B3)": 2500.0,
        "MIN(B1:B3,7)": 7.0,
        "SUMPRODUCT(A1:A3,B1:B3)": 10500.0,
        "B1-(100+200)": 1200.0,
        "-A1+2*(A2-1)/4": -1.0,
        "ROUND(0.125,2)": 0.13,
        "ROUND(-2.5,0)": -3.0,
        "'A b'!B2": 2500.0,
        "C3+C2+C1": 1.0,
    }
    for text, due in sums.items():
        sheet["E1"].value = f"={text}"
        assert Sums(book).cell("A b", "E1") == due, text
    for text in ("AVERAGE(A1:A3)", "A1^2", "A1:A3", "(A1", "A1 A2"):
        sheet["E1"].value = f"={text}"
        with pytest.raises(ValueError):
            Sums(book).cell("A b", "E1")
    assert sheet_round(1.005, 2) == 1.01  # 1.00499999999999989 in binary; a spreadsheet shows 1.005
