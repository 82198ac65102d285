"""Which end laying starts from: the lee end, by one bearing on the plan. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets


@pytest.fixture(scope="module")
def lay(settings: Settings, catalogue: Catalogue) -> Callable[..., dict[str, PlaneSheets]]:
    def place(roof: Roof, job: RoofJob, north_deg: float = 0.0) -> dict[str, PlaneSheets]:
        placed = place_sheets(roof, job, Site(), north_deg, settings, catalogue.profiles["corrugated"])
        return {sheets.plane: sheets for sheets in placed}

    return place


def covering(lay_from: str, **given: object) -> RoofJob:
    return RoofJob(covering=CoveringJob(lay_from=lay_from), **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("lay_from", "south", "north"),
    [
        ("east", "right", "left"),  # seen from the south, east is on the right
        ("west", "left", "right"),
        ("north-east", "right", "left"),
        ("south-west", "left", "right"),
        ("north", "left", "left"),  # eaves square to the wind: from their left
        ("south", "left", "left"),
    ],
)
def test_start_side_by_lee_end(
    lay_from: str, south: str, north: str, gable_roof: Callable[..., Roof], lay: Callable[..., dict]
) -> None:
    placed = lay(gable_roof(), covering(lay_from))
    assert (placed["P1"].start_side, placed["P2"].start_side) == (south, north)


def test_turning_north_and_wind_together_changes_nothing(
    gable_roof: Callable[..., Roof], lay: Callable[..., dict]
) -> None:
    """Plan up bears east: the south plane then faces west and its right end lies to the south."""
    placed = lay(gable_roof(8000.0), covering("south"), north_deg=90.0)
    assert placed["P1"].start_side == "right"
    assert placed["P1"].start_edge == (
        "at the barge, square off the eave at the south end, on the right seen from below the eave"
    )
    assert lay(gable_roof(), covering("east"), north_deg=90.0)["P1"].start_side == "left"


def test_one_degree_is_square_to_the_wind(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """The eave bears 90; with plan up turned by 0.9 degrees the north wind is still square to it, by 1.1 not."""
    for turned, side in ((0.9, "left"), (-0.9, "left"), (-1.1, "right"), (1.1, "left")):
        # turned by -1.1 the plane's right end bears 88.9, towards north
        assert lay(gable_roof(), covering("north"), north_deg=turned)["P1"].start_side == side


def test_a_side_given_for_an_edge_comes_first(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    placed = lay(gable_roof(), covering("east", edges={1: EdgeJob(start_side="left")}))
    assert placed["P1"].start_side == "left"
    assert "set in the job for edge 1" in placed["P1"].pieces[0].working.rule
    assert placed["P1"].pieces[0].lap_side == "right"
    assert placed["P1"].over_edge == "left"


def test_the_lap_width_lies_away_from_the_start(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    """Started at the right of 8 m, the first sheet covers 7238 to 8000 and is 845 wide, from 7155."""
    placed = lay(gable_roof(8000.0), covering("east"))["P1"]
    first = placed.pieces[0]
    assert (first.start_side, first.lap_side) == ("right", "left")
    assert min(u for ring in first.cover_uv for u, _ in ring) == pytest.approx(7238.0)
    assert min(u for u, _ in first.outline_uv) == pytest.approx(7155.0)
    assert placed.start_u_mm == pytest.approx(8000.0)


def test_a_lee_end_that_is_not_given_is_noted(gable_roof: Callable[..., Roof], lay: Callable[..., dict]) -> None:
    placed = lay(gable_roof(), RoofJob())
    assert [f.code for f in placed["P1"].findings] == ["lee-end-not-given"]
    assert placed["P2"].findings == ()
    assert placed["P1"].start_side == "right"  # the setting says east


def test_a_first_cover_wider_than_the_cover_is_refused(
    gable_roof: Callable[..., Roof], lay: Callable[..., dict]
) -> None:
    job = RoofJob(covering=CoveringJob(lay_from="east", first_cover_mm=800.0))
    with pytest.raises(JobError, match="first_cover_mm 800 is more than the profile's cover 762"):
        lay(gable_roof(), job)
