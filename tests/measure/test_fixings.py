"""Fixings by hand on a gable of 16 sheets a side, and what lapped flashings, junctions and end laps take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from takeoff.measure.roofing.fixings.roof_fixings import flashing_laps, measure_fixings
from takeoff.measure.roofing.fixings.screw_rows import crests, screw_crossings
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.purlins.purlins import lay_purlins
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.basis import Basis, Status
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.timber import PurlinsJob
from takeoff.model.measured import FlashingRun, Need, PurlinLine
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets

Make = Callable[..., Roof]
HIGH = Site(wind_zone="high")


def with_settings(settings: Settings, **values: float | str | bool) -> Settings:
    set_in_job = Basis(Status.SET_IN_JOB)
    changed = {name: replace(settings.values[name], value=value, basis=set_in_job) for name, value in values.items()}
    return replace(settings, values={**settings.values, **changed})


class Taken:
    """Sheets, purlins and flashings of one roof."""

    def __init__(self, roof: Roof, settings: Settings, catalogue: Catalogue, site: Site = HIGH, overhang: float = 0.0):
        job = RoofJob(verge_overhang_mm=overhang)
        self.roof, self.settings, self.catalogue = roof, settings, catalogue
        self.sheets: tuple[PlaneSheets, ...] = place_sheets(
            roof, job, site, 0.0, settings, catalogue.profiles["corrugated"]
        )
        feet = {(p.plane, p.foot_v_mm) for sheets in self.sheets for p in sheets.pieces if p.part > 0}
        self.lines: tuple[PurlinLine, ...] = lay_purlins(
            roof, job, PurlinsJob(), site, settings, catalogue, sorted(feet)
        )[0]
        self.flashings: tuple[FlashingRun, ...] = measure_flashings(roof, job, site, settings, catalogue)[0]

    def fixings(self, with_flashings: bool = True) -> Need:
        runs = self.flashings if with_flashings else ()
        return measure_fixings(self.sheets, self.lines, self.roof, self.settings, self.catalogue.profiles, runs)


def counted(need: Need, item: str) -> float:
    figure = next(q for q in need.quantities if q.item == item)
    return next(float(term.value) for term in figure.working.terms if term.name == "counted")


def bought(need: Need) -> dict[str, tuple[float, str]]:
    return {q.item: (q.figure, q.unit) for q in need.quantities}


def test_screws_of_a_gable_row_by_row(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 12.192 m is 16 full sheets; rows 50, 950, 1850, 2750, 3650 and the ridge row: 2 end rows of 5, 4 between of 3
    taken = Taken(gable_roof(length_mm=12192.0), settings, catalogue)
    need = taken.fixings()
    assert counted(need, "roof_screw") == 2 * 16 * (2 * 5 + 4 * 3)
    # 704 and 10 %: 774.4; boxes of 250: 4
    assert bought(need)["roof_screw"] == (4.0, "box")


def test_part_of_a_sheet_has_its_part_of_the_screws(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # one full sheet and 381 mm of the next: half of 5 up is 3, half of 3 up is 2
    taken = Taken(gable_roof(length_mm=762.0 + 381.0), settings, catalogue)
    crossings = screw_crossings(taken.sheets[0], taken.lines, catalogue.profiles["corrugated"], settings)
    assert sorted({(c.is_end, round(c.width_mm), c.screws) for c in crossings}) == [
        (False, 381, 2),
        (False, 762, 3),
        (True, 381, 3),
        (True, 762, 5),
    ]


def test_every_sheet_of_a_hip_is_screwed_at_its_cut_end(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    taken = Taken(hip_roof(), settings, catalogue)
    for sheets in taken.sheets:
        crossings = screw_crossings(sheets, taken.lines, catalogue.profiles["corrugated"], settings)
        raked = {piece.mark for piece in sheets.pieces if piece.top.shape.value != "square"}
        at_trimmers = {c.mark for c in crossings if c.line.startswith("HT")}
        assert raked <= at_trimmers
        assert all(c.width_mm <= 762.0 + 1e-6 for c in crossings)
        assert {piece.mark for piece in sheets.pieces} == {c.mark for c in crossings}


def test_only_the_outer_board_beside_a_valley_is_screwed(
    ell_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    taken = Taken(ell_roof(), settings, catalogue)
    lines = {line.run: line for line in taken.lines}
    crossed = {
        lines[c.line].row
        for sheets in taken.sheets
        for c in screw_crossings(sheets, taken.lines, catalogue.profiles["corrugated"], settings)
        if lines[c.line].role == "valley board"
    }
    assert crossed == {2}


def test_outriggers_are_under_the_purlins(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    plain = Taken(gable_roof(), settings, catalogue).fixings()
    flying = Taken(gable_roof(), settings, catalogue, overhang=450.0).fixings()
    assert counted(plain, "roof_screw") == counted(flying, "roof_screw")


def test_an_end_lap_is_riveted_not_screwed(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    short = Site(wind_zone="high", longest_piece_mm=3000.0)
    taken = Taken(gable_roof(length_mm=7620.0), settings, catalogue, short)
    lapped = [piece for sheets in taken.sheets for piece in sheets.pieces if piece.lap_mm > 0.0]
    assert len(lapped) == 20
    whole = Taken(gable_roof(length_mm=7620.0), settings, catalogue)
    with_lap, without = taken.fixings(False), whole.fixings(False)
    rows = {(line.plane, line.row) for line in taken.lines}
    # one row a plane lies under the lap and has no screws: what is left are the rows clear of it
    under = len(rows) - len({(line.plane, line.row) for line in whole.lines})
    assert counted(with_lap, "roof_screw") == counted(without, "roof_screw") - 2 * 10 * 3 + under * 10 * 3
    assert counted(with_lap, "rivet") == 20 * 5
    # two beads of 845 mm a lap: 33.8 m, tubes of 10 m
    assert bought(with_lap)["sealant"] == (4.0, "tube")


def test_rivets_of_lapped_flashings_and_junctions(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    taken = Taken(hip_roof(), settings, catalogue)
    # four hips in two lengths: 4 laps of 370 mm: floor(370 / 50) + 1 = 8 each; 6 junction pieces (2 three-ways, 4 ends)
    assert [flashing_laps(run, settings) for run in taken.flashings] == [1, 1, 1, 1, 0]
    need = taken.fixings()
    assert counted(need, "rivet") == 4 * 8 + 6 * 12
    # beads 4 x 370 x 2 = 2.96 m and 6 x 0.5 = 3 m: one tube
    assert bought(need)["sealant"] == (1.0, "tube")


def test_barges_are_screwed_along(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 4256.7 / 500 = 8.5: 9 spaces, 10 screws; four barges
    assert counted(Taken(gable_roof(), settings, catalogue).fixings(), "flashing_screw") == 40


@pytest.mark.parametrize(("spare", "boxes"), [(10.0, 4.0), (0.0, 3.0), (6.5, 3.0), (6.6, 4.0)])
def test_boxes_are_whole(
    gable_roof: Make, settings: Settings, catalogue: Catalogue, spare: float, boxes: float
) -> None:
    # 704 screws: 750 are 3 boxes up to 6.53 % of spares
    taken = Taken(gable_roof(length_mm=12192.0), with_settings(settings, screw_spare_percent=spare), catalogue)
    assert bought(taken.fixings())["roof_screw"] == (boxes, "box")


def test_a_short_screw_is_warned_of(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 6 x 5.5 = 33 mm of hold over 17.5 of sheet: 50 holds 32.5
    short = with_settings(settings, roof_screw_length_mm=50.0)
    found = Taken(gable_roof(), short, catalogue).fixings().findings
    assert [finding.code for finding in found] == ["screw-too-short"]
    assert Taken(gable_roof(), settings, catalogue).fixings().findings == ()


def test_trays_are_clipped_once_a_crossing(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    profiles = catalogue.profiles
    assert [crests(profiles[name]) for name in ("corrugated", "trapezoidal_5_rib", "tray_400")] == [10, 4, 1]
    roof = gable_roof(length_mm=4000.0)
    sheets = place_sheets(roof, RoofJob(), HIGH, 0.0, settings, profiles["tray_400"])
    lines = lay_purlins(roof, RoofJob(), PurlinsJob(), HIGH, settings, catalogue)[0]
    need = measure_fixings(sheets, lines, roof, settings, profiles)
    assert counted(need, "sheet_clip") == 2 * 10 * 6
    assert "roof_screw" not in bought(need)


def test_several_roofs_share_their_boxes(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    taken = Taken(gable_roof(length_mm=3810.0), settings, catalogue)
    both = measure_fixings(
        taken.sheets * 2, taken.lines, (taken.roof, taken.roof), settings, catalogue.profiles, taken.flashings * 2
    )
    # 5 sheets a side: 2 x 5 x 22 = 220 a roof, 440 and 10 %: 484: two boxes together
    assert counted(both, "roof_screw") == 440
    assert bought(both)["roof_screw"] == (2.0, "box")
