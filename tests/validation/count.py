"""How many checks stand against published values, and how many sources they come from.

    python tests/validation/count.py

A check is a test case as it is collected here; a source is counted once, however many files or rows come from it.
"""

from __future__ import annotations

import contextlib
import io
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parent
PINS = "test_catalogue_values"
# files whose sources others share, by the ids of takeoff/catalogue/sources.yaml where they stand there; any other file
# here is a source of its own
SHARED: dict[str, tuple[str, ...]] = {
    "test_bs_en_12056": ("bsen12056", "asnzs3500"),
    "test_code_of_practice_sheets": ("cop", "build153"),
    "test_cop_downpipe_clips": ("cop",),
    "test_cop_method2": ("cop",),
    "test_cop25_10_underlay_and_air": ("cop25",),
    "test_cop25_5_gutters": ("cop25",),
    "test_e1_as1_tables": ("e1_as1",),
    "test_enhealth_yield": ("enhealth",),
    "test_flashing_cover": ("cop",),
    "test_flashing_pieces": ("cop", "build153"),
    "test_gable_area": ("merchant's catalogue", "page with a wrong gable rule"),
    "test_gable_areas": ("merchant's catalogue", "page with a wrong gable rule"),
    "test_hp22_10_8_ventilation": ("hp22",),
    "test_hp22_7_4_gutters": ("hp22",),
    "test_hp22_7_5_walls": ("hp22",),
    "test_naval_rafter_lengths": ("navedtra",),
    "test_ncc_gutters": ("ncc22",),
    "test_purlin_fixing": ("cop",),
    "test_roof_screws": ("rmit", "maker_summary", "cop"),
    "test_sheet_counts": ("maker_summary",),
    "test_thermal_movement": ("cop",),
    "test_valley_angles": ("cop",),
    "test_valley_downpipe": ("build153",),
    "test_weatherboards_bevel_back_article": ("build150",),
    "test_weatherboards_cavity_article": ("e2_as1", "closure_article"),
    "test_weatherboards_construction_code": ("ncc16",),
    "test_weatherboards_ground_clearance": ("cop",),
    "test_weatherboards_maker_manual": ("maker_boards",),
    "test_weatherboards_renovation_guide": ("renovate",),
    "test_weatherboards_site_record": ("building_blog",),
}


class _Cases:
    """Counts the test cases of each file while they are collected."""

    def __init__(self) -> None:
        self.by_file: dict[str, int] = {}
        self.pinned_to: set[str] = set()

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        for item in items:
            self.by_file[item.path.stem] = self.by_file.get(item.path.stem, 0) + 1
            if item.path.stem == PINS:
                self.pinned_to |= set(item.module.PUBLISHED)  # type: ignore[attr-defined]


def counted() -> tuple[dict[str, int], set[str]]:
    """Test cases by file, and every source that they come from."""
    cases = _Cases()
    with contextlib.redirect_stdout(io.StringIO()) as said:
        code = pytest.main(["--collect-only", "-q", "-p", "no:cacheprovider", str(FOLDER)], plugins=[cases])
    if code != pytest.ExitCode.OK:
        sys.exit("\n".join(said.getvalue().splitlines()[-8:]))
    sources = {
        name for file in cases.by_file if file != PINS for name in SHARED.get(file, (file.removeprefix("test_"),))
    }
    return cases.by_file, sources | cases.pinned_to


def main() -> None:
    """Print the count of each file, then of all."""
    by_file, sources = counted()
    for file, count in sorted(by_file.items()):
        print(f"{count:5}  {file.removeprefix('test_').replace('_', ' ')}")
    pins = by_file.get(PINS, 0)
    total = sum(by_file.values())
    print(f"{total} checks from {len(sources)} published sources, {pins} of them on single values of the catalogue")


if __name__ == "__main__":
    main()
