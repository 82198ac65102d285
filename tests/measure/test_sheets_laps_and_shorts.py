"""Where runs are parted and which longer sheet a short one is cut from, on pieces given by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.measure.sheeting.end_laps import LapLines, split_run
from takeoff.measure.sheeting.sheet_ends import ends_of, sides_mm
from takeoff.measure.sheeting.short_sheets import cut_from_longer
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import CutShape, PlaneSheets
from takeoff.shape.strips.slabs import Slab, highest, lowest
from takeoff.shape.strips.strips import StripRun


def test_a_top_part_under_the_least_run_takes_the_line_below(settings: Settings) -> None:
    """A run of 4400, lines at 2000 and 4000, lap 150, pieces up to 4300. One cut at 4000 would leave 400 on top, below
    the mill's 600: cut at 2000 instead, 2150 and 2400."""
    slab = Slab(0.0, 845.0, 0.0, 0.0, 4400.0, 4400.0)
    run = StripRun(1, 1, (slab,), (slab,))
    laps = LapLines((2000.0, 4000.0), 150.0, ())
    parts = split_run(run, laps, 4300.0, 0.0, settings)
    assert [(lowest(part.sheet), highest(part.sheet)) for part in parts] == [(0.0, 2150.0), (2000.0, 4400.0)]
    assert [(lowest(part.cover), highest(part.cover)) for part in parts] == [(0.0, 2000.0), (2000.0, 4400.0)]
    assert [part.lap_mm for part in parts] == [150.0, 0.0]


def test_a_run_is_cut_at_as_few_lines_as_will_do(settings: Settings) -> None:
    slab = Slab(0.0, 845.0, 0.0, 0.0, 6000.0, 6000.0)
    laps = LapLines((1500.0, 3000.0, 4500.0), 150.0, ())
    parts = split_run(StripRun(1, 1, (slab,), (slab,)), laps, 3500.0, 0.0, settings)
    assert [lowest(part.sheet) for part in parts] == [0.0, 3000.0]


def test_no_part_is_cut_that_its_lap_would_cover(settings: Settings) -> None:
    """A run of 4100 and a line at 4000, lap 150: what lies over the line, 100, would be all lap. The run stays whole."""
    slab = Slab(0.0, 845.0, 0.0, 0.0, 4100.0, 4100.0)
    laps = LapLines((4000.0,), 150.0, (), False)
    parts = split_run(StripRun(1, 1, (slab,), (slab,)), laps, 4050.0, 0.0, settings)
    assert [(lowest(part.sheet), highest(part.sheet), part.lap_mm) for part in parts] == [(0.0, 4100.0, 0.0)]


def test_a_slanting_verge_is_a_side_not_a_rake(settings: Settings) -> None:
    """A verge 70 out of plumb over 4000 (89 degrees): the first sheet has square ends and a left side of 4000."""
    side = Slab(0.0, 70.0, 0.0, 0.0, 0.0, 4000.0, "eave", "verge")
    rest = Slab(70.0, 845.0, 0.0, 0.0, 4000.0, 4000.0, "eave", "ridge")
    ends = ends_of((side, rest), 0.0, settings)
    assert (ends.foot.shape, ends.top.shape, ends.top.edges) == (CutShape.SQUARE, CutShape.SQUARE, ("ridge",))
    assert sides_mm((side, rest)) == (4000.0, 4000.0)
    assert ends.bought.mm == 4000.0


def by_lengths(sheets: PlaneSheets, lengths: list[float]) -> PlaneSheets:
    """The plane with its first pieces given these bought lengths."""
    pieces = [replace(piece, order_mm=length) for piece, length in zip(sheets.pieces, lengths, strict=False)]
    return replace(sheets, pieces=tuple(pieces))


def test_short_pieces_fill_a_longer_one_up_to_the_longest_piece(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    """Pieces of 1000, 450 and 400 with 1500 as the longest: the 450 goes with the 1000, the 400 no longer does and
    there is no other: it is bought alone. With 1900 both go."""
    job = RoofJob(covering=CoveringJob(lay_from="west"))
    placed = place_sheets(gable_roof(), job, Site(), 0.0, settings, catalogue.profiles["corrugated"])[0]
    sheets = by_lengths(placed, [1000.0, 450.0, 400.0])
    for longest, expected in ((1500.0, ["", "P1.01", ""]), (1900.0, ["", "P1.01", "P1.01"])):
        found = cut_from_longer([sheets], Site(longest_piece_mm=longest), settings)[0]
        assert [piece.cut_from for piece in found.pieces] == expected


def test_a_short_piece_goes_with_its_nearest_neighbour_on_the_plane(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    job = RoofJob(covering=CoveringJob(lay_from="west"))
    placed = place_sheets(gable_roof(), job, Site(), 0.0, settings, catalogue.profiles["corrugated"])[0]
    sheets = by_lengths(placed, [3000.0, 2000.0, 1000.0, 300.0, 3000.0, 2000.0])
    found = cut_from_longer([sheets], Site(), settings)[0]
    assert [piece.cut_from for piece in found.pieces] == ["", "", "", "P1.03", "", ""]


def test_short_pieces_alone_share_the_longest_of_them(
    gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue
) -> None:
    job = RoofJob(covering=CoveringJob(lay_from="west"))
    placed = place_sheets(gable_roof(), job, Site(), 0.0, settings, catalogue.profiles["corrugated"])[0]
    found = cut_from_longer([by_lengths(placed, [200.0, 500.0])], Site(), settings)[0]
    assert [piece.cut_from for piece in found.pieces] == ["P1.02", ""]
