"""Purlin-to-rafter fixings against the metal roofing code of practice, tables 3.16.1A and 3.16.1B.

Source: NZ Metal Roof and Wall Cladding Code of Practice, maximum span and fastener requirements. Status: seen. Letters
are the types of 3.16.1A for SG8 radiata to NZS 3604:2011 in low, medium, high, very high and extra high wind;
capacities those of 3.16.1B. How many nails or screws a type has is read from its description there.
"""

from __future__ import annotations

import pytest

from takeoff.measure.roofing.purlins.purlin_fixings import CrossingFixing, crossing_fixing
from takeoff.model.findings import Finding, Severity
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()
ZONES = ("low", "medium", "high", "very_high", "extra_high")
TABLE = {
    (900, 600): "A B C C C",
    (900, 900): "B C C C D",
    (900, 1200): "C C C D D",
    (1200, 600): "B C C C C",
    (1200, 900): "C C C D D",
    (1200, 1200): "C C D N/A N/A",
}
CELLS = [
    (rafter, purlin, zone, letter)
    for (rafter, purlin), row in TABLE.items()
    for zone, letter in zip(ZONES, row.split(), strict=True)
]
# type: (how many, of what, capacity kN)
TYPES = {"A": (1, "nail", 0.55), "B": (2, "nail", 0.80), "C": (1, "screw", 2.40), "D": (2, "screw", 3.45)}


@pytest.mark.parametrize(("rafter", "purlin", "zone", "letter"), CELLS)
def test_every_cell(rafter: int, purlin: int, zone: str, letter: str) -> None:
    found = crossing_fixing(float(rafter), float(purlin), zone, SETTINGS)
    if letter == "N/A":
        assert isinstance(found, Finding)
        assert found.severity is Severity.STOP
        assert found.code == "purlin-fixing-not-allowed"
    else:
        assert isinstance(found, CrossingFixing)
        count, what, capacity = TYPES[letter]
        assert (found.kind, found.count) == (letter, count)
        assert (found.terms[-1].value, found.terms[-1].unit) == (capacity, "kN")
        assert what in found.name


@pytest.mark.parametrize(
    ("rafter", "purlin", "row"),
    [
        (600.0, 842.7, (900, 900)),
        (900.0, 900.005, (900, 900)),
        (900.0, 901.0, (900, 1200)),
        (901.0, 600.0, (1200, 600)),
    ],
)
def test_spacings_between_rows_take_the_next_wider_row(rafter: float, purlin: float, row: tuple[int, int]) -> None:
    # rule of reading: the smallest spacing of the table that is not less than the actual one (derived)
    for zone, letter in zip(ZONES, TABLE[row].split(), strict=True):
        found = crossing_fixing(rafter, purlin, zone, SETTINGS)
        assert isinstance(found, CrossingFixing)
        assert found.kind == letter


@pytest.mark.parametrize(("rafter", "purlin"), [(1201.0, 600.0), (900.0, 1250.0)])
def test_beyond_the_table_is_refused(rafter: float, purlin: float) -> None:
    found = crossing_fixing(rafter, purlin, "low", SETTINGS)
    assert isinstance(found, Finding)
    assert (found.severity, found.code) == (Severity.STOP, "purlin-fixing-beyond-table")
