"""The order sheet recalculated by another program: LibreOffice Calc, headless, must get every figure that we store.

It is given the file before values are put beside the formulas, since it trusts values that it finds stored.
Skips where LibreOffice is not installed, unless TAKEOFF_REQUIRE_OFFICE=1 forbids it.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
from pathlib import Path

import openpyxl
import pytest

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.workbook.workbook import fill_workbook, workbook_bytes

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ("hip_12x8", "l_house", "homestead", "mesh_house", "cottage_with_flue")


@pytest.fixture(scope="module")
def office() -> str:
    found = shutil.which("soffice") or shutil.which("libreoffice")
    if found is None and os.environ.get("TAKEOFF_REQUIRE_OFFICE") == "1":
        pytest.fail("LibreOffice is required here and is not installed")
    if found is None:
        pytest.skip("LibreOffice is not installed")
    return found


def recalculated(office: str, data: bytes, folder: Path) -> openpyxl.Workbook:
    """The workbook as LibreOffice saves it, values only."""
    (folder / "in").mkdir()
    (folder / "in" / "order.xlsx").write_bytes(data)
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    subprocess.run(
        [office, profile, "--headless", "--convert-to", "xlsx", "--outdir", str(folder / "out"),
         str(folder / "in" / "order.xlsx")],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    return openpyxl.load_workbook(folder / "out" / "order.xlsx", data_only=True)


def differences(takeoff: Takeoff, office: str, folder: Path) -> tuple[int, list[str]]:
    """How many formulas were compared, and those that came out differently."""
    filled = fill_workbook(takeoff)
    book = recalculated(office, workbook_bytes(takeoff, cached=False), folder)
    found = []
    for title, cells in filled.values.items():
        for cell, ours in cells.items():
            theirs = book[title][cell].value
            if not isinstance(theirs, int | float) or abs(theirs - ours) > 1e-9 * max(1.0, abs(ours)):
                found.append(f"{title}!{cell}: ours {ours}, recalculated {theirs}")
    return sum(len(cells) for cells in filled.values.values()), found


@pytest.mark.parametrize("name", SAMPLES)
def test_recalculated_figures_are_ours(name: str, office: str, tmp_path: Path) -> None:
    count, found = differences(run_file(ROOT / "geometry_samples" / name / "job.yaml"), office, tmp_path)
    assert found == []
    assert count > 20


def test_the_check_sees_a_wrong_figure(office: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A rounding that is not half up shows: the same file, our side of one product rounded down."""
    spec = importlib.util.spec_from_file_location("sample", ROOT / "tests" / "write" / "sample_takeoff.py")
    assert spec is not None
    assert spec.loader is not None
    sample = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(sample)
    from takeoff.write.workbook import workbook_order

    real = workbook_order.half_up
    monkeypatch.setattr(workbook_order, "half_up", lambda value, places: real(value - 0.0006, places))
    _, found = differences(sample.takeoff(), office, tmp_path)
    assert found != []
