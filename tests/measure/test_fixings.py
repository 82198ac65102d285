"""Fixings by hand on a gable of 16 sheets a side, and what lapped flashings, junctions and end laps take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from takeoff.measure.roofing.fixings.roof_fixings import flashing_laps, measure_fixings
from takeoff.measure.roofing.fixings.screw_patterns import roof_screws
from takeoff.measure.roofing.fixings.screw_rows import screw_crossings
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.purlins.purlins import lay_purlins
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.basis import Basis, Status
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.timber import PurlinsJob
from takeoff.model.measured import FlashingRun, Need, PurlinLine, RoofScrews
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets
from takeoff.read.job.settings import default_rules

Make = Callable[..., Roof]
SCREW = "roof_screw_65"
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
        laps = {(p.plane, p.strip): p.lap_mm for sheets in self.sheets for p in sheets.pieces if p.lap_mm > 0.0}
        feet = {
            (p.plane, p.foot_v_mm, laps[p.plane, p.strip])
            for sheets in self.sheets
            for p in sheets.pieces
            if p.part > 0
        }
        self.lines: tuple[PurlinLine, ...] = lay_purlins(
            roof, job, PurlinsJob(), site, settings, catalogue, sorted(feet)
        )[0]
        self.flashings: tuple[FlashingRun, ...] = measure_flashings(roof, job, site, settings, catalogue)[0]

    @property
    def screws(self) -> RoofScrews:
        """0.40 corrugate on purlins at 0.9 m in high wind: C3, 3 a sheet on every row."""
        return roof_screws(self.catalogue.profiles["corrugated"], 0.40, 900.0, "high", self.settings)[0]

    def fixings(self, with_flashings: bool = True) -> Need:
        runs = self.flashings if with_flashings else ()
        screws = {plane.id: self.screws for plane in self.roof.planes}
        profiles = self.catalogue.profiles
        return measure_fixings(self.sheets, self.lines, self.roof, self.settings, profiles, runs, screws=screws)


def counted(need: Need, item: str) -> float:
    figure = next(q for q in need.quantities if q.item == item)
    return next(float(term.value) for term in figure.working.terms if term.name == "counted")


def bought(need: Need) -> dict[str, tuple[float, str]]:
    return {q.item: (q.figure, q.unit) for q in need.quantities}


def test_screws_of_a_gable_row_by_row(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 12.192 m is 16 full sheets; rows 50, 650, 1550, 2450, 3350, 3804 and the ridge row, 3 screws a sheet on each
    taken = Taken(gable_roof(length_mm=12192.0), settings, catalogue)
    need = taken.fixings()
    assert counted(need, SCREW) == 2 * 16 * 7 * 3
    figure = next(q for q in need.quantities if q.item == SCREW)
    rows = {term.name: term.value for term in figure.working.terms if term.ref == "P1"}
    names = ["row 1, eave", *(f"row {n}" for n in range(2, 7)), "row 7, ridge"]
    assert rows == {f"P1: {name}": 48 for name in names}
    # 672 and 10 %: 739.2; boxes of 250: 3
    assert bought(need)[SCREW] == (3.0, "box")


def test_part_of_a_sheet_has_its_part_of_the_screws(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # one full sheet and 381 mm of the next: half of 3 up is 2; what the job sets for end rows and between prevails
    taken = Taken(gable_roof(length_mm=762.0 + 381.0), settings, catalogue)
    corrugated = catalogue.profiles["corrugated"]

    def found(screws: RoofScrews) -> list[tuple[bool, int, int]]:
        crossings = screw_crossings(taken.sheets[0], taken.lines, corrugated, screws)
        return sorted({(c.is_end, round(c.width_mm), c.screws) for c in crossings})

    assert found(taken.screws) == [(False, 381, 2), (False, 762, 3), (True, 381, 2), (True, 762, 3)]
    own = with_settings(settings, screws_end=5.0, screws_middle=3.0)
    set_in_job, findings = roof_screws(corrugated, 0.40, 900.0, "extra_high", own)
    assert findings == ()
    assert found(set_in_job) == [(False, 381, 2), (False, 762, 3), (True, 381, 3), (True, 762, 5)]


def test_every_sheet_of_a_hip_is_screwed_at_its_cut_end(
    hip_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    taken = Taken(hip_roof(), settings, catalogue)
    for sheets in taken.sheets:
        crossings = screw_crossings(sheets, taken.lines, catalogue.profiles["corrugated"], taken.screws)
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
        for c in screw_crossings(sheets, taken.lines, catalogue.profiles["corrugated"], taken.screws)
        if lines[c.line].role == "valley board"
    }
    assert crossed == {2}


def test_outriggers_are_under_the_purlins(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    plain = Taken(gable_roof(), settings, catalogue).fixings()
    flying = Taken(gable_roof(), settings, catalogue, overhang=450.0).fixings()
    assert counted(plain, SCREW) == counted(flying, SCREW)


def test_an_end_lap_is_screwed_through_to_its_row(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    short = Site(wind_zone="high", longest_piece_mm=3000.0)
    taken = Taken(gable_roof(length_mm=7620.0), settings, catalogue, short)
    lapped = [piece for sheets in taken.sheets for piece in sheets.pieces if piece.lap_mm > 0.0]
    assert len(lapped) == 20
    rows = {(line.plane, line.row) for line in taken.lines}
    # every row of either plane has 3 screws in each of 10 strips, the row under the lap too, and none twice
    need = taken.fixings(False)
    assert counted(need, SCREW) == len(rows) * 10 * 3
    assert "rivet" not in bought(need)
    # two beads of 845 mm a lap: 33.8 m, tubes of 10 m
    assert bought(need)["sealant"] == (4.0, "tube")


def test_the_row_under_a_lap_is_an_end_row_where_the_code_says_so(gable_roof: Make, catalogue: Catalogue) -> None:
    """Australia: a lap is the end of sheets, side lap and every second rib there."""
    au = default_rules("au")
    taken = Taken(gable_roof(length_mm=7620.0), au, catalogue, Site(wind_zone="N2", longest_piece_mm=3000.0))
    corrugated = catalogue.profiles["corrugated"]
    screws, _ = roof_screws(corrugated, 0.42, 900.0, "N2", au)
    (foot,) = {piece.foot_v_mm for piece in taken.sheets[0].pieces if piece.part > 0}
    crossings = screw_crossings(taken.sheets[0], taken.lines, corrugated, screws, lap_is_end=True)
    heights = {line.run: line.a_uv[1] for line in taken.lines}
    at_lap = {c.screws for c in crossings if foot < heights[c.line] < foot + 150.0}
    between = {c.screws for c in crossings if not c.is_end}
    assert (at_lap, between) == ({5}, {4})


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


@pytest.mark.parametrize(("spare", "boxes"), [(10.0, 3.0), (0.0, 3.0), (11.6, 3.0), (11.7, 4.0)])
def test_boxes_are_whole(
    gable_roof: Make, settings: Settings, catalogue: Catalogue, spare: float, boxes: float
) -> None:
    # 672 screws: 750 are 3 boxes up to 11.607 % of spares
    taken = Taken(gable_roof(length_mm=12192.0), with_settings(settings, screw_spare_percent=spare), catalogue)
    assert bought(taken.fixings())[SCREW] == (boxes, "box")


def test_a_short_screw_is_warned_of(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # 6 x 5.5 = 33 mm of hold over 17.5 of sheet: 50 holds 32.5
    short = with_settings(settings, roof_screw_length_mm=50.0)
    found = Taken(gable_roof(), short, catalogue).fixings().findings
    assert [finding.code for finding in found] == ["screw-too-short"]
    assert Taken(gable_roof(), settings, catalogue).fixings().findings == ()


def test_trays_are_clipped_once_a_crossing(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    profiles = catalogue.profiles
    assert [profiles[name].crests for name in ("corrugated", "trapezoidal_5_rib", "tray_400")] == [10, 4, 1]
    roof = gable_roof(length_mm=4000.0)
    sheets = place_sheets(roof, RoofJob(), HIGH, 0.0, settings, profiles["tray_400"])
    lines = lay_purlins(roof, RoofJob(), PurlinsJob(), HIGH, settings, catalogue)[0]
    clip, _ = roof_screws(profiles["tray_400"], 0.55, 900.0, "high", settings)
    need = measure_fixings(sheets, lines, roof, settings, profiles, screws={"P1": clip, "P2": clip})
    assert counted(need, "sheet_clip") == 2 * 10 * 7
    assert SCREW not in bought(need)


def test_several_roofs_share_their_boxes(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    taken = Taken(gable_roof(length_mm=3810.0), settings, catalogue)
    both = measure_fixings(
        taken.sheets * 2,
        taken.lines,
        (taken.roof, taken.roof),
        settings,
        catalogue.profiles,
        taken.flashings * 2,
        screws={"P1": taken.screws, "P2": taken.screws},
    )
    # 5 sheets a side on 7 rows: 2 x 5 x 21 = 210 a roof, 420 and 10 %: 462: two boxes together
    assert counted(both, SCREW) == 420
    assert bought(both)[SCREW] == (2.0, "box")
