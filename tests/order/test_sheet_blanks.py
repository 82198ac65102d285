"""Sheets as they are bought: every piece in one blank, short ones cut from longer ones, lines and totals by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.roofing import named_groups
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.order import OrderLine
from takeoff.model.products import Profile
from takeoff.model.sheets import PlaneSheets, SheetBlank, SheetGroup
from takeoff.order.sheets.sheet_blanks import kg_per_m, mill_lines, plain_blanks, sheet_totals
from takeoff.order.sheets.sheet_orders import item_of
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.write.words.item_names import item_name

SETTINGS = default_rules()
CORRUGATED = load_catalogue().profiles["corrugated"]


def hip_sheets(length: float = 12000.0, width: float = 8000.0, site: Site | None = None) -> tuple[PlaneSheets, ...]:
    job = RoofJob(
        outline=[(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)],
        pitch_deg=25.0,
        fascia_height_mm=2450.0,
        covering=CoveringJob(lay_from="east"),
    )
    roof = roof_from_outline(job, 0.0, SETTINGS)
    return place_sheets(roof, job, site or Site(), 0.0, SETTINGS, CORRUGATED)


def marks(blanks: tuple[SheetBlank, ...]) -> list[str]:
    return sorted(part.mark for blank in blanks for part in blank.pieces)


def test_every_piece_stands_in_one_blank() -> None:
    sheets = hip_sheets()
    blanks = plain_blanks(sheets, CORRUGATED, SETTINGS)
    assert marks(blanks) == sorted(piece.mark for plane in sheets for piece in plane.pieces)
    lengths = [blank.length_mm for blank in blanks]
    assert lengths == sorted(lengths, reverse=True)
    assert len({blank.id for blank in blanks}) == len(blanks)


def test_a_short_piece_is_cut_from_its_neighbour() -> None:
    """P2.11 needs 500, below the mill's 600: it comes with P2.10 of 1340 as one length of 1840, from 1340 on."""
    blank = next(b for b in plain_blanks(hip_sheets(), CORRUGATED, SETTINGS) if b.pieces[0].mark == "P2.10")
    assert blank.length_mm == 1840.0
    assert [(part.mark, part.start_mm, part.turned) for part in blank.pieces] == [
        ("P2.10", 0.0, False),
        ("P2.11", 1340.0, False),
    ]


def test_a_short_piece_without_a_longer_one_is_bought_at_the_least_run() -> None:
    sheets = hip_sheets()[1]
    alone = replace(sheets, pieces=(replace(sheets.pieces[-1], cut_from=""),))
    assert [blank.length_mm for blank in plain_blanks((alone,), CORRUGATED, SETTINGS)] == [600.0]


def test_short_pieces_stay_within_the_longest_piece() -> None:
    """With 1500 as the longest piece, hosts of 1340 cannot take 500 more; another does or none."""
    site = Site(longest_piece_mm=1700.0)
    blanks = plain_blanks(hip_sheets(site=site), CORRUGATED, SETTINGS)
    assert max(blank.length_mm for blank in blanks) <= 1700.0


def mill(blanks: tuple[SheetBlank, ...], sheets: tuple[PlaneSheets, ...], colour: str = "") -> tuple[OrderLine, ...]:
    (group,) = named_groups((SheetGroup(CORRUGATED, 0.40, colour, sheets),))
    items = item_book((), (group,), load_catalogue(), SETTINGS)
    return mill_lines(blanks, group, item_of(group, items), SETTINGS)


def test_mill_lines_are_longest_first_and_add_up() -> None:
    """Squares of 4439: 8 x 4.439 = 35.512 m; at 3.093 kg/m 109.8 kg."""
    sheets = hip_sheets()
    blanks = plain_blanks(sheets, CORRUGATED, SETTINGS)
    lines = mill(blanks, sheets, "slate")
    assert [line.each_mm for line in lines] == sorted({blank.length_mm for blank in blanks}, reverse=True)
    assert sum(line.count for line in lines) == len(blanks)
    square = next(line for line in lines if line.each_mm == 4439.0)
    assert (square.count, square.total, square.kg) == (8, 35.512, 109.8)
    assert item_name(square.of) == "corrugated, 76 mm pitch, 0.40 mm, slate"
    assert square.note == ""
    short = next(line for line in lines if line.each_mm == 1840.0)
    assert short.note == "trim rakes on site; P2.11 cut from P2.10; P4.11 cut from P4.10"
    totals = sheet_totals(lines, blanks, sheets, CORRUGATED, SETTINGS)
    assert totals.bought_m == pytest.approx(sum(blank.length_mm for blank in blanks) / 1000.0)
    assert totals.longest_mm == 4490.0


def test_bought_area_is_never_less_than_net() -> None:
    """12.27 m by overall: 16 sheets of 762 and 78 of the last lap are covered; by cover alone net would be more."""
    job = RoofJob(
        outline=[(0.0, 0.0), (12270.0, 0.0), (12270.0, 8000.0), (0.0, 8000.0)],
        pitch_deg=25.0,
        fascia_height_mm=2450.0,
        covering=CoveringJob(lay_from="east"),
        edges={2: {"kind": "gable"}, 4: {"kind": "gable"}},  # type: ignore[dict-item]
    )
    roof = roof_from_outline(job, 0.0, SETTINGS)
    sheets = place_sheets(roof, job, Site(), 0.0, SETTINGS, CORRUGATED)
    blanks = plain_blanks(sheets, CORRUGATED, SETTINGS)
    totals = sheet_totals(mill(blanks, sheets), blanks, sheets, CORRUGATED, SETTINGS)
    assert len(blanks) == 32
    assert totals.net_m2 <= totals.bought_m2 < 1.002 * totals.net_m2


def test_mass_of_a_thickness_the_profile_does_not_list() -> None:
    """0.940 m x (0.45 x 7.85 + 0.15) = 3.4616 kg/m."""
    value, terms = kg_per_m(CORRUGATED, 0.45, SETTINGS)
    assert value == pytest.approx(3.46155)
    assert {"girth_mm", "steel_kg_per_m2_mm", "coating_kg_per_m2"} <= {term.name for term in terms}
    assert kg_per_m(CORRUGATED, 0.40, SETTINGS)[0] == 3.093


def test_profiles_are_listed_apart() -> None:
    other: Profile = replace(CORRUGATED, id="other")
    assert plain_blanks(hip_sheets(), other, SETTINGS) == ()
