"""What the door of cladding makes of its rooms, by hand: how far faces go past corners, what vents a foot needs, packs and
bundles, boards laid by themselves."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan
from types import SimpleNamespace
from typing import Any, cast

import pytest

from takeoff.measure.cladding import cladding
from takeoff.measure.cladding.cladding import _covered_faces, _details, _ends_of, _past, lay_boards, measure_cladding
from takeoff.measure.cladding.face import Face
from takeoff.measure.cladding.wall_trims import WallEnds
from takeoff.model.job.site import Site
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.walls import Corner, Elevation, WallBoards
from takeoff.shape.walls.walls import elevations

FOOT, TOP = -50.0, 2350.0
WALL = Face(1, 0.0, 6000.0, FOOT, TOP, ((0.0, TOP), (6000.0, TOP)), ())
DOOR = {"wall": 1, "from_left_mm": 1000, "sill_mm": -50, "width_mm": 900, "height_mm": 2100, "kind": "door"}
Rows = tuple[Elevation, ...]


def asked(settings: Settings, *zones: dict[str, Any], **more: Any) -> tuple[Rows, WallsJob]:
    given = {"name": "wall", "width_mm": 6000, "height_mm": 2350, "left": "none", "right": "none"}
    job = WallsJob.model_validate({"elevations": [given], "zones": list(zones), "ground_mm": -450, **more})
    return elevations(job, (), 0.0, settings), job


def clad(settings: Settings, catalogue: Catalogue, *zones: dict[str, Any], **more: Any) -> CladdingMeasured:
    walls, job = asked(settings, *zones, **more)
    return measure_cladding(walls, job, (), settings, catalogue)


def changed(settings: Settings, **values: Any) -> Settings:
    rows = {name: replace(settings.values[name], value=value) for name, value in values.items()}
    return Settings({**settings.values, **rows}, rules=settings.rules)


@pytest.mark.parametrize(
    ("kind", "angle", "past"),
    [
        ("external", 90.0, 38.0), ("internal", 90.0, -38.0), ("none", 90.0, 0.0), ("free", 90.0, 0.0),
        ("external", 135.0, round(38.0 * tan(radians(22.5)), 6)), ("internal", 60.0, -round(38.0 * tan(radians(60.0)), 6)),
    ],
)  # fmt: skip
def test_how_far_a_face_goes_past_a_corner(kind: str, angle: float, past: float) -> None:
    assert _past(Corner(kind, angle), 38.0) == past


def test_corners_that_a_part_of_a_wall_reaches() -> None:
    """Half a millimetre off the end of the face is its end."""
    left, right, none = Corner("external", 90.0), Corner("internal", 100.0), Corner("none", 180.0)
    wall = cast(Elevation, SimpleNamespace(left_corner=left, right_corner=right))
    for x0, x1, ends in (
        (0.0, 6000.0, WallEnds(left, right)), (0.5, 5999.5, WallEnds(left, right)), (0.6, 5999.5, WallEnds(none, right)),
        (0.5, 5999.4, WallEnds(left, none)),
    ):  # fmt: skip
        assert _ends_of(replace(WALL, left=x0, right=x1), WALL, wall) == ends


def test_faces_that_are_wrapped() -> None:
    """All of a face where less than a hundredth of a square metre of it is left out, else what is clad of it; nothing of
    one that nobody clads."""
    second, third = replace(WALL, wall=2), replace(WALL, wall=3)
    short = 10_000.0 / 2400.0

    def measured(wall: int, right: float) -> Any:
        face = replace(WALL, wall=wall, right=right, top=((0.0, TOP), (right, TOP)))
        return SimpleNamespace(face=face)

    found = _covered_faces((WALL, second, third), (measured(1, 6000.0 - short + 0.01), measured(2, 3000.0)))
    assert found[0] == WALL
    assert (found[1].wall, found[1].left, found[1].right, found[1].gross_mm2) == (2, 0.0, 3000.0, 3000.0 * 2400.0)
    assert len(found) == 2
    (cut,) = _covered_faces((WALL,), (measured(1, 6000.0 - short - 0.01),))
    assert cut.right == pytest.approx(6000.0 - short - 0.01)


def test_how_far_cladding_stands_before_its_framing(
    settings: Settings, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cavity of 20, the thickest board and a millimetre: of 30 where a zone has one, else of the usual 18."""
    own = changed(settings, board_thickness_mm=18)
    monkeypatch.setattr(cladding, "wall_details", lambda *given: given)
    rules = cast(Any, SimpleNamespace(cavity_mm=20.0, settings=own, catalogue=catalogue))
    for thick, stands in ((30.0, 51.0), (10.0, 39.0)):
        zone = SimpleNamespace(direction="horizontal", board=SimpleNamespace(thickness_mm=thick))
        wall = SimpleNamespace(face=WALL, zone=zone, boards="boards")
        given = cast(Any, _details((), (WALL,), cast(Any, (wall,)), rules))
        assert (given[3], [(p.face, p.direction, p.boards) for p in given[2]]) == (
            stands, [(WALL, "horizontal", "boards")],
        )  # fmt: skip
    assert cast(Any, _details((), (WALL,), (), rules))[3] == 39.0


def test_vents_nails_and_closers_of_a_foot_with_a_door(settings: Settings, catalogue: Catalogue) -> None:
    """1.0 and 4.1 m of foot: 5100 mm2; the closer of either is nailed by itself, 11 and 42 nails 100 apart with 10 %: 58.3."""
    own = changed(settings, base_vent_mm2_per_m=1000, closer_nail_mm=100, nail_spare_pct=10)
    measured = clad(own, catalogue, {"direction": "horizontal", "board": "bevel_187"}, openings=[DOOR])
    vent = next(each for each in measured.measures if each.id == "cladding.vent")
    assert vent.figure == pytest.approx(5100.0)
    nails = next(each for each in measured.needs[0].quantities if each.id == "cladding.base_closer_nail")
    assert nails.figure == 59
    assert [run.length_mm for run in measured.needs[0].demands if run.item == "base_closer"] == [1000.0, 4100.0]


def test_packs_and_bundles_of_boards(settings: Settings, catalogue: Catalogue) -> None:
    """Two of a length in a pack, and bundles that cover 0.9 m2."""
    board = {"direction": "horizontal", "board": "bevel_187"}

    def pack(**more: Any) -> int:
        stock = clad(settings, catalogue, {**board, **more}).needs[0].stock
        return next(each.pack for each in stock if each.item == "bevel_187")

    assert (pack(pack_pieces=2), pack()) == (2, 1)
    random = changed(settings, board_supply="random")

    def unit(**more: Any) -> str:
        found = clad(random, catalogue, {**board, **more}).needs[0].quantities
        return next(each.unit for each in found if each.item == "bevel_187")

    assert (unit(pack_m2=0.9), unit()) == ("bundle", "m")


@pytest.mark.parametrize(
    "zone",
    [
        {"direction": "horizontal", "board": "bevel_187"}, {"direction": "sheets", "profile": "corrugated"},
        {"direction": "vertical", "board": {"width_mm": 150, "cover_mm": 135}},
    ],
)  # fmt: skip
def test_boards_are_laid_alike_by_themselves(zone: dict[str, Any], settings: Settings, catalogue: Catalogue) -> None:
    walls, job = asked(settings, zone, openings=[DOOR])
    alone = lay_boards(walls, job, settings, catalogue, Site())
    whole = clad(settings, catalogue, zone, openings=[DOOR]).boards
    assert len(alone) == 1
    assert tuple(map(_bare, alone)) == tuple(map(_bare, whole))


def _bare(boards: WallBoards) -> WallBoards:
    """What is flashed is worked out where all of a wall is measured."""
    return replace(boards, flashed_xy=())
