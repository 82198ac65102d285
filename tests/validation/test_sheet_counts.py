"""A maker's public technical summary of corrugated sheet: 76.20 pitch, 762 cover, 845 overall; wide 995 and 1100;
10 degrees at least where end-lapped. Status of each: seen. Counts over a width follow by arithmetic and are tested as
derived values elsewhere; here only the published widths enter, and the strict count by cover of the same maker's cover.
"""

from __future__ import annotations

import pytest

from takeoff.measure.roofing.sheets.pitch_rules import pitch_row
from takeoff.read.catalogue import load_catalogue
from takeoff.read.codes import rule_set
from takeoff.shape.strips.strips import Widths, strip_count


@pytest.mark.parametrize(
    ("profile", "cover", "overall"), [("corrugated", 762.0, 845.0), ("corrugated_wide", 995.0, 1100.0)]
)
def test_published_widths(profile: str, cover: float, overall: float) -> None:
    found = load_catalogue().profiles[profile]
    assert (found.cover_mm, found.overall_mm, found.rib_pitch_mm) == (cover, overall, 76.2)
    row = pitch_row(found, rule_set("nz"))
    assert row is not None
    assert row.lapped_deg == 10.0


def test_a_sheet_covers_its_published_cover_once() -> None:
    """One cover width is one sheet, ten are ten, whatever the floating point of 7.62 / 0.762."""
    strict = Widths(762.0, 845.0, by_overall=False)
    assert [strip_count(n * 762.0, strict) for n in range(1, 60)] == list(range(1, 60))


def test_cover_is_not_derived_from_pitch() -> None:
    """Ten pitches of 76.2 are the published 762, but thirteen are 990.6 and the wide sheet's cover is 995."""
    wide = load_catalogue().profiles["corrugated_wide"]
    assert wide.cover_mm != pytest.approx(13 * wide.rib_pitch_mm, abs=1.0)
