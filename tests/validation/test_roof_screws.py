"""Crests and screws of a corrugated sheet from a university's course and a maker's summary, rivets from the code.

Sources: corrugated sheets have 5 fasteners at end supports and 3 at internal supports (a university's construction
course on metal roof sheeting; status: seen); a cover of 762 mm has 10 crests at 76.2 (a maker's technical summary;
status: seen), every second of which is 5 (derived); rivets on flashings at 50 mm, screws at least 30 mm and more than 6
thread diameters in timber (NZ Metal Roof and Wall Cladding Code of Practice, fastener spacing, 3.8.3 and 14.12.2;
status: seen). The current codes' own patterns are tested with them.
"""

from __future__ import annotations

from takeoff.model.basis import Status
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()
CORRUGATED = load_catalogue().profiles["corrugated"]


def test_every_second_crest_of_a_sheet_is_five() -> None:
    assert CORRUGATED.crests == 10
    assert CORRUGATED.crests / 2 == SETTINGS.number("screws_end") == 5.0
    assert SETTINGS.number("screws_middle") == 3.0


def test_rivets_and_embedment_are_the_published_ones() -> None:
    names = ("rivet_spacing_mm", "screw_embedment_mm", "screw_embedment_diameters")
    assert [SETTINGS.number(name) for name in names] == [50.0, 30.0, 6.0]
    assert all(SETTINGS.values[name].basis.status is Status.SEEN for name in names)
