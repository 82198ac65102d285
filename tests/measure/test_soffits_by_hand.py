"""Soffits by hand: widths, mitred and plumb corners, strips to a sheet, moulds, jointers, vents and trimmers.

Sheets of 2400 x 1200, fascia 20 thick: settings. Common practice, no source, but the trimmers, which are a table's.
"""

from __future__ import annotations

import json
import sys
from math import cos, radians
from pathlib import Path

import pytest

from takeoff.measure.cladding.soffits import (
    Soffit,
    jointer_runs,
    mould_runs,
    rows_of,
    soffit_areas,
    soffit_quantities,
    soffit_sheet,
    soffits_of,
    trimmer_note,
    vent_runs,
)
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.site import Site
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.wall_rules import TrimmerRow, WallRules
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import OTHER, SEEN, rules, with_values

EAVE = Soffit("E1", False, 580.0, 12_000.0, 10_800.0, 6_600_400.6)
VERGE = Soffit("E2", True, 380.0, 4800.0, 4500.0, 1.824e6)
BROAD = Soffit("E3", False, 2500.0, 5000.0, 3200.0, 9e6)


def roof_of(pitch: float, overhangs: tuple[float, ...], gables: tuple[int, ...]) -> Roof:
    """A roof over walls of 10.8 x 6.8 m, the long ones first."""
    edges = {
        n: {"verge_overhang_mm": mm, "kind": "gable"} if n in gables else {"eave_overhang_mm": mm}
        for n, mm in enumerate(overhangs, 1)
    }
    given = {"wall_line": [[0, 0], [10_800, 0], [10_800, 6800], [0, 6800]], "pitch_deg": pitch, "edges": edges}
    job = parse_job(json.dumps({"job": "x", "roofs": [{**given, "fascia_height_mm": 2450}]}))
    return roof_from_outline(job.roofs[0], 0.0, resolve_settings(job))


def shown(found: tuple[Soffit, ...]) -> list[tuple[object, ...]]:
    return [(s.raked, s.rip_mm, round(s.length_mm, 3), round(s.inner_mm, 3), round(s.area_mm2, 1)) for s in found]


def test_soffits_round_a_hip(settings: Settings) -> None:
    """600 wide all round, 580 of it sheet: 12 m at the fascia, 10.8 at the wall, mitred over 580 at either end: 580 x
    (10 800 + 580)."""
    found = soffits_of(roof_of(25.0, (600.0,) * 4, ()), settings)
    long, short = (False, 580.0, 12_000.0, 10_800.0, 580 * 11_380.0), (False, 580.0, 8000.0, 6800.0, 580 * 7380.0)
    assert shown(found) == [long, short, long, short]


def test_soffits_of_a_gable(settings: Settings) -> None:
    """Eaves of 600, verges of 400 and 300: the corner is the verge's. An eave is 10 800 + 700 long, its soffit 580 x
    10 800. A verge of (3400 + 600) / cos 20 has 3400 of it along the wall: 380 and 280 wide along the whole rake."""
    found = soffits_of(roof_of(20.0, (600.0, 400.0, 600.0, 300.0), (2, 4)), settings)
    eave = (False, 580.0, 11_500.0, 10_800.0, 580 * 10_800.0)
    rake, wall = 4000.0 / cos(radians(20)), 3400.0 / cos(radians(20))
    wide, narrow = ((True, rip, round(rake, 3), round(wall, 3), round(rip * rake, 1)) for rip in (380.0, 280.0))
    assert sorted(shown(found), key=str) == sorted([eave, eave, wide, wide, narrow, narrow], key=str)


def test_overhangs_too_narrow_for_a_sheet(settings: Settings) -> None:
    """70 less the fascia is 50, the least."""
    found = soffits_of(roof_of(25.0, (70.0, 69.0, 70.0, 0.0), ()), settings)
    assert [s.rip_mm for s in found] == [50.0, 50.0]


def test_areas_measured_not_bought() -> None:
    level, raked = soffit_areas([EAVE, VERGE, BROAD])
    rule = "width between wall and fascia x mean of its two sides; at a gable the corner is the raked one's"
    terms = (Term("area", 6.600401, "m2", None, "E1"), Term("area", 9.0, "m2", None, "E3"))
    assert level == Quantity(
        "soffit.level.area", "soffit area, level, in plan", pytest.approx(15.6004006, abs=1e-9), "m2", ("E1", "E3"),  # type: ignore[arg-type]
        Working(rule, terms),
    )  # fmt: skip
    assert raked == Quantity(
        "soffit.raked.area", "soffit area, raked, along the rake", 1.824, "m2", ("E2",),
        Working(rule, (Term("area", 1.824, "m2", None, "E2"),)),
    )  # fmt: skip
    assert soffit_areas([]) == ()
    assert [each.id for each in soffit_areas([VERGE])] == ["soffit.raked.area"]


def test_sheets_by_strips(settings: Settings) -> None:
    """Level: 12 m of 580 are five strips, two to a sheet of 1200: three sheets. 5 m of 2500 are three lengths of three
    rows 833.3 wide, one to a sheet: nine. Raked: 4.8 m of 380 are two strips, three to a sheet: one."""
    level, raked = soffit_quantities([EAVE, VERGE, BROAD], settings)
    names = ("soffit_sheet_mm", "soffit_sheet_wide_mm", "fascia_board_thickness_mm")
    sizes = tuple(settings.term(name) for name in names)
    rule = "sheets = strips / strips to a sheet; strips = ceil(length / sheet length) an edge"
    strips = (
        Term("strips 580 wide", 5, "each", None, "2 to a sheet"),
        Term("strips 833.3 wide", 9, "each", None, "1 to a sheet"),
    )
    assert level == Quantity(
        "cladding.soffit_level", "soffit sheet 2400 x 1200 x 4.5", 12, "each", ("E1", "E3"),
        Working(rule, (*strips, Term("area of the soffits", 15.6, "m2"), *sizes)),
    )  # fmt: skip
    assert raked == Quantity(
        "cladding.soffit_raked", "gable soffit sheet 2400 x 1200 x 4.5", 1, "each", ("E2",),
        Working(rule, (Term("strips 380 wide", 2, "each", None, "3 to a sheet"), Term("area of the soffits", 1.824, "m2"), *sizes)),
    )  # fmt: skip
    assert soffit_quantities([], settings) == ()


@pytest.mark.parametrize(
    ("rip", "length", "sheets"),
    [
        (600.0, 2400.5, 1), (600.0, 4800.5, 1), (600.0, 4800.6, 2), (600.1, 4800.0, 2), (400.0, 7200.0, 1),
        (400.1, 7200.0, 2), (1200.5, 100.0, 1), (1200.6, 100.0, 2), (1200.6, 2400.6, 4), (2400.0, 2400.0, 2),
    ],
)  # fmt: skip
def test_strips_at_their_limits(rip: float, length: float, sheets: int, settings: Settings) -> None:
    """Half a millimetre over a sheet's length or width is none."""
    (found,) = soffit_quantities([Soffit("E1", False, rip, length)], settings)
    assert found.figure == sheets


def test_equal_strips_of_several_soffits_share_sheets(settings: Settings) -> None:
    """Three strips 600 wide from two eaves: two sheets, not three."""
    (found,) = soffit_quantities([Soffit("E1", False, 600.0, 2000.0), Soffit("E2", False, 600.02, 4000.0)], settings)
    assert found.figure == 2


def test_rows_across_a_soffit(settings: Settings) -> None:
    assert [rows_of(Soffit("E", False, rip, 1000.0), settings) for rip in (50.0, 1200.5, 1200.6, 2400.0, 2401.0)] == [
        1, 1, 2, 2, 3,
    ]  # fmt: skip


def test_a_soffit_sheet_as_an_item(settings: Settings) -> None:
    sides = (Mark(MarkKind.SIZE, (2400.0, 1200.0, 4.5)),)
    assert soffit_sheet(False, settings) == Made("soffit sheet 2400 x 1200 x 4.5", "soffit_sheet", sides)
    assert soffit_sheet(True, settings) == Made("gable soffit sheet 2400 x 1200 x 4.5", "gable_soffit_sheet", sides)


def run_of(name: str, item: str, edge: str, length: float, rule: str, *terms: Term, splits: object = None) -> RunDemand:
    working = Working(rule, (Term("length", length, "mm", ref=edge), *terms))
    return RunDemand(name, item, length, splits, refs=(edge,), working=working)  # type: ignore[arg-type]


def test_moulds_along_both_edges(settings: Settings) -> None:
    """At the fascia and at the wall; where the wall's side is not known as long as at the fascia."""
    rule, term = "length of the soffit's edge", settings.term("soffit_mould")
    assert mould_runs([EAVE, Soffit("E9", True, 400.0, 700.0)], settings) == tuple(
        run_of(name, "mould_30x10", name.split(".")[1], length, rule, term)
        for name, length in (("M.E1.1", 12_000.0), ("M.E1.2", 10_800.0), ("M.E9.1", 700.0), ("M.E9.2", 700.0))
    )


def test_jointers_between_sheets(settings: Settings) -> None:
    """12 m of one row: four joints of 580. 5 m of three rows 833.3 wide: two joints a row, and between rows, a third and
    two thirds of the way from 5 m at the fascia to 3.2 at the wall: 4.4 and 3.8 m, over the stock of 3 m."""
    terms = tuple(settings.term(name) for name in ("soffit_sheet_mm", "fascia_board_thickness_mm"))
    broad = (*terms, settings.term("soffit_sheet_wide_mm"))
    ends = [
        run_of(f"J.E1.{n}", "soffit_jointer", "E1", 580.0, "as long as the soffit is wide", *terms, splits=())
        for n in (1, 2, 3, 4)
    ]
    across = [
        run_of(f"J.E3.{n}", "soffit_jointer", "E3", 2500.0 / 3, "as long as a row of sheets is wide", *broad, splits=())
        for n in range(1, 7)
    ]
    along = [
        run_of(
            f"J.E3.row{n}",
            "soffit_jointer",
            "E3",
            pytest.approx(mm),
            "between two rows of sheets, along the soffit",
            *broad,
        )  # type: ignore[arg-type]
        for n, mm in ((1, 4400.0), (2, 3800.0))
    ]
    assert jointer_runs([EAVE, BROAD], settings) == (*ends, *across, *along)
    # 2.4 m have no joint; two rows of 5 m whose wall side is not known; a stock of just 3 m in one piece
    assert jointer_runs([Soffit("E1", False, 580.0, 2400.0)], settings) == ()
    two = jointer_runs([Soffit("E1", False, 1300.0, 5000.0)], settings)
    assert [(run.id, run.length_mm) for run in two] == [
        *((f"J.E1.{n}", 650.0) for n in (1, 2, 3, 4)), ("J.E1.row1", 5000.0),
    ]  # fmt: skip
    for length, splits in ((3000.0, ()), (3000.1, None)):
        (one,) = jointer_runs([Soffit("E1", False, 1300.0, length)], with_values(settings, soffit_sheet_mm=4000))
        assert one.splits_mm == splits


def test_vent_strips_of_level_soffits(settings: Settings) -> None:
    assert vent_runs([EAVE, VERGE], settings) == ()
    asked = with_values(settings, soffit_vent=True)
    wanted = run_of(
        "Q.E1", "soffit_vent_strip", "E1", 12_000.0, "length of the soffit's edge", asked.term("soffit_vent")
    )
    assert vent_runs([EAVE, VERGE], asked) == (wanted,)


def test_trimmers_by_the_widest_soffit(settings: Settings) -> None:
    """Rows to 450 and 600 in zone low, the tightest that is wide enough; none past 600."""
    rows = (
        TrimmerRow(600.0, "low", 900.0, OTHER, 450.0), TrimmerRow(450.0, "low", 1200.0, SEEN),
        TrimmerRow(450.0, "very_high", 300.0, SEEN),
    )  # fmt: skip
    own = with_values(settings, rules(walls=WallRules(trimmers=rows)))
    low = Site(wind_zone="low")

    def note(*widths: float, site: Site = low, by: Settings = own) -> tuple[Finding, ...]:
        return trimmer_note([Soffit("E1", False, width, 1000.0) for width in widths], site, by)

    words = "Soffits to {} mm wide in zone {}: trimmers at {} mm at most{}."
    assert note(300.0, 450.0) == (
        Finding("soffit-trimmers", Severity.NOTE, words.format(450, "low", 1200, ""), source=SEEN.words()),
    )
    corner = ", 450 mm within 1.2 m of corners"
    assert note(450.1, 300.0) == (
        Finding("soffit-trimmers", Severity.NOTE, words.format(450, "low", 900, corner), source=OTHER.words()),
    )
    assert note(600.1) == (
        Finding(
            "soffit-trimmers-not-in-table", Severity.WARN,
            "Soffits to 600 mm wide in zone low: the code has no row of trimmers.", "Have the trimmers designed.",
            source=OTHER.words(),
        ),
    )  # fmt: skip
    assert note() == note(450.0, by=with_values(settings, rules())) == ()
    assert "zone very_high: trimmers at 300" in note(450.0, site=Site(wind_zone="very_high"))[0].text
