"""The bounds of what holds and seals sheets, and of any line at all, whole and by hand, on a made-up plane of 20 m2."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import ItemKind, Pack
from takeoff.model.measured import FlashingRun, PlaneScrews, PurlinLine
from takeoff.model.walls import Corner, Elevation, Opening
from takeoff.order.bounds.bounded import Case
from takeoff.order.bounds.fixing_bounds import roof_screws, sealing, touch_up
from takeoff.order.bounds.flashing_bounds import (
    laps_at_most,
)
from takeoff.order.bounds.order_bounds import line_ceilings, spare_sheets

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import (
    AROUND_M,
    RAKE_M,
    WORKING,
    case,
    check,
    item,
    line,
    plan,
    plane,
    roof,
    sheet,
    sheets,
)


def flashing(name: str, kind: str, net_mm: float, **more: Any) -> FlashingRun:
    ends = more.pop("dressed", (0.0, 0.0))
    girth = more.pop("girth", 0.0)
    return FlashingRun(name, "", EdgeKind(kind), "", net_mm, *ends, girth, 0, 0.0, "", WORKING, **more)


SCREWS = {"screw_spare_percent": 10, "screw_box": 100}


def _timber(role: str, across: float, name: str = "P1") -> PurlinLine:
    return PurlinLine("r", name, role, 1, (5000.0, 900.0), (5000.0 - across, 900.0))


TIMBER = [_timber("purlin", 3810.0), _timber("eave", 1524.0), _timber("valley board", 2286.0), _timber("outrigger", 7000.0),
          _timber("hole trimmer", 7000.0), _timber("purlin", 9000.0, "P2")]  # fmt: skip


def _screwed(change: dict[str, float], *pieces: Any, **roofing: Any) -> Case:
    known = {
        "screw": item("screw", sort="roof_screw"), "clip": item("clip", sort="sheet_clip"), "nail": item("nail"),
    }  # fmt: skip
    parts = {"screws": [PlaneScrews("P2", "", 1, 1, 65, ()), PlaneScrews("P1", "", 6, 4, 65, ())], "purlins": TIMBER}
    lines = [line("screw", 2.0, "box"), line("clip", 1.0, "box"), line("nail", 9.0)]
    laid = sheets(*(pieces or (sheet("a"), sheet("b"))))
    return case(SCREWS | change, roofing=parts | {"sheets": [laid]} | roofing, items=known, order={"lines": lines})


def test_screws_of_sheets() -> None:
    """Rows 5, 2 and 3 covers across, with 4, 6 and 6 screws a sheet. Least nine tenths of 4 x 4 + 1 x 6, the valley board
    left out. Most 7 x 4 + 2, 4 x 6 + 2 and 5 x 6 + 2, and 6 more on each of two sheets; a tenth to spare, in hundreds, a
    box more for each item and one."""
    words = "timber that runs 7.6 m across under the sheets"
    check(
        roof_screws(_screwed({})),
        (3.0, 1.1 * 0.9 * 22.0 / 100.0, 1.1 * 100.0 / 100.0 + 3.0, "box", words, "", ()),
    )
    # a clear sheet may be held by screws of another row
    check(
        roof_screws(_screwed({}, sheet("a"), sheet("b", clear=True))),
        (3.0, 0.0, 1.1 * 100.0 / 100.0 + 3.0, "box", words, "", ()),
    )
    # without a pattern two screws a line at most
    check(roof_screws(_screwed({}, screws=())), (3.0, 0.0, 1.1 * 6.0 / 100.0 + 3.0, "box", words, "", ()))
    # a line shorter than a cover is sure of none
    short = [_timber("purlin", 381.0), _timber("ridge", 76.2)]
    (bound,) = roof_screws(_screwed({}, purlins=short))
    assert (bound.low, bound.high) == pytest.approx((0.0, 1.1 * (12.0 + 14.6 + 12.0) / 100.0 + 3.0))


def test_screws_are_not_bounded_without_boxes_or_timber() -> None:
    assert list(roof_screws(_screwed({"screw_box": 0}))) == list(roof_screws(_screwed({}, purlins=()))) == []
    assert len(list(roof_screws(_screwed({"screw_box": 1})))) == 1
    # 0.76 m of timber is enough to look at
    assert len(list(roof_screws(_screwed({}, purlins=[_timber("purlin", 762.0)])))) == 1


def test_the_screws_of_several_planes_are_summed() -> None:
    other = [replace(timber, plane="P3") for timber in TIMBER[:2]]
    laid = [sheets(sheet("a"), sheet("b")), sheets(sheet("c"), name="P3")]
    screws = [PlaneScrews("P1", "", 6, 4, 65, ()), PlaneScrews("P3", "", 2, 3, 65, ())]
    (bound,) = roof_screws(_screwed({}, sheets=laid, purlins=[*TIMBER, *other], screws=screws))
    # P3: least 0.9 x (4 x 3 + 1 x 2); most 7 x 3 + 2, 4 x 2 + 2 and 3
    assert bound.low == pytest.approx(1.1 * 0.9 * (22.0 + 14.0) / 100.0)
    assert bound.high == pytest.approx(1.1 * (100.0 + 36.0) / 100.0 + 3.0)
    assert bound.from_what == "timber that runs 13.0 m across under the sheets"


SEAL = {
    "flashing_lap_mm": 150, "rivet_spacing_mm": 50, "rivets_a_junction": 10, "rivets_an_end_lap": 6, "rivet_spare_percent": 5,
    "rivet_box": 100, "sealant_tube_mm": 9000, "sealant_beads": 2, "sealant_a_junction_mm": 250,
}  # fmt: skip
# verge, ridge and hip, half a metre more each, over 3 m less a lap, and one
LAPS = (4500.0 + 4500.0 + 500.0 + 1000.0 * RAKE_M) / 2850.0 + 3.0
# two holes: four sides and a metre at each corner
HOLES = (SimpleNamespace(width_mm=400.0, length_mm=600.0), SimpleNamespace(width_mm=150.0, length_mm=50.0))
ROUND_MM = 8000.0 + 4800.0


def _sealed(change: dict[str, float], **roofing: Any) -> Case:
    runs = [
        flashing("a", "hip", 1.0, girth=300.0, stock_mm=6000), flashing("b", "hip", 1.0, girth=200.0, stock_mm=3000),
    ]  # fmt: skip
    laid = sheets(sheet("a", lap_mm=200.0), sheet("b", lap_mm=0.5), sheet("c"))
    parts = {"flashings": runs, "sheets": [laid], "holes": HOLES}
    lines = [line("rivet", 2.0, "box"), line("sealant", 5.0, "tube")]
    return case(SEAL | change, roofing=parts | roofing, order={"lines": lines})


def test_rivets_and_sealant() -> None:
    """Four edges have eight ends. Rivets: a lap of 300 mm girth takes 7 at 50 mm; 10 a junction, 6 an end lap, 256 round
    the holes and 8 each. Sealant: two beads on each lap and end lap of 845 mm, 250 mm a junction, one round the holes."""
    words = "at most 8 laps of flashings, 2 end laps of sheets, 2 holes"
    rivets = (LAPS * 7.0 + 80.0 + 12.0 + ROUND_MM / 50.0 + 16.0) * 1.05 / 100.0 + 1.0
    tubes = ((LAPS * 300.0 + 2 * 845.0) * 2.0 + 2000.0 + ROUND_MM) / 9000.0 + 1.0
    check(
        sealing(_sealed({})),
        (2.0, 0.0, rivets, "box", words, "rivets", ()),
        (5.0, 0.0, tubes, "tube", words, "sealant", ()),
    )
    assert laps_at_most(_sealed({})) == pytest.approx(LAPS)


def test_what_is_not_sealed_is_not_bounded() -> None:
    def of(change: dict[str, float], **roofing: Any) -> list[str]:
        return [bound.of for bound in sealing(_sealed(change, **roofing))]

    assert of({"rivet_spacing_mm": 0}) == of({"rivet_box": 0}) == ["sealant"]
    assert of({"sealant_tube_mm": 0}) == ["rivets"]
    assert of({"rivet_spacing_mm": 1, "rivet_box": 1, "sealant_tube_mm": 1}) == ["rivets", "sealant"]
    # stock that is no longer than its lap makes any number of laps
    assert of({"flashing_lap_mm": 3000}) == of({"flashing_lap_mm": 4000}) == of({}, flashings=()) == []
    assert of({"flashing_lap_mm": 2999}) == ["rivets", "sealant"]
    # no flashing and no lap: its girth and the width of a sheet are nothing, not a millimetre
    (rivets, tubes) = sealing(_sealed({}, sheets=(), holes=()))
    assert tubes.high == pytest.approx((LAPS * 600.0 + 2000.0) / 9000.0 + 1.0)
    assert rivets.from_what == "at most 8 laps of flashings, 0 end laps of sheets, 0 holes"


def test_touch_up_paint() -> None:
    """20 m2 at 50 m2 a bottle: 0.4, a thousandth less, or a thousandth more and a bottle."""
    made = case({"touch_up_m2": 50}, order={"lines": [line("touch_up", 1.0, "bottle")]})
    check(touch_up(made), (1.0, 0.3996, 1.4004, "bottle", "20.00 m2 of planes at 50 m2 a bottle", "", ()))
    small = roof([plane("P1", ((0.0, 0.0), (800.0, 0.0), (800.0, 800.0), (0.0, 800.0)))])
    assert list(touch_up(case({"touch_up_m2": 0}))) == list(touch_up(case({"touch_up_m2": 50}, roofs=()))) == []
    assert len(list(touch_up(case({"touch_up_m2": 1}, roofs=(small,))))) == 1


WALL = Elevation(
    "W1", 1, 5000.0, 2400.0, ((0.0, -50.0), (5000.0, -50.0), (5000.0, 2350.0), (0.0, 2350.0)), -50.0,
    (Opening("D1", 1000.0, 0.0, 1000.0, 2000.0),), Corner("external", 90.0), Corner("external", 90.0), (0.0, 0.0), True,
    0.0, (0.0, 0.0), (5000.0, 0.0),
)  # fmt: skip
ROOF_M2, ROOF_M = 20.0, AROUND_M
WALL_M2, WALL_M = 12.0, 2.0 * (5.0 + 2.4 + 1.0) + AROUND_M


def _most(each_m2: float, each_m: float, house: float, area: float = ROOF_M2, edges: float = ROOF_M) -> float:
    return each_m2 * area + each_m * edges + house


FELT = SimpleNamespace(width_mm=1500.0, length_mm=20000.0)  # 30 m2
BOX, BOARD = Pack("box", "", 250.0), ItemKind.BOARD


@pytest.mark.parametrize(
    ("bought", "most"),
    [
        (line("a", 7.0), _most(100.0, 50.0, 500.0) + 1.0),
        (line("a", 7.0, delivery="walls"), _most(100.0, 50.0, 500.0, WALL_M2, WALL_M) + 1.0),
        (line("a", 7.0, "m2", delivery="purlins"), _most(4.0, 2.0, 5.0) + 1.0),
        (line("a", 7.0, "L", delivery="underlay"), _most(0.5, 0.5, 5.0) + 1.0),
        (line("a", 7.0, "tube", delivery="flashings"), _most(0.1, 0.3, 4.0) + 1.0),
        (line("a", 7.0, "bottle", delivery="rainwater"), _most(0.1, 0.0, 4.0) + 1.0),
        (line("a", 7.0, "tin"), _most(0.1, 0.1, 4.0) + 1.0),
        # two bars of 6 m without a piece make up a whole pack, and stand on top; not where it is sold by number
        (line("rail", 7.0, "m"), _most(10.0, 10.0, 20.0) + 1.0 + 12.0),
        (line("rail", 7.0), _most(100.0, 50.0, 500.0) + 1.0),
        (line("felt", 7.0, "roll"), _most(4.0, 2.0, 5.0) / 30.0 + 1.0),
        (line("a", 7.0, "box", of=item("a", pack=BOX)), _most(100.0, 50.0, 500.0) / 250.0 + 1.0),
        (line("a", 7.0, "m", of=item("a", pack=BOX)), _most(10.0, 10.0, 20.0) + 1.0),
        # boards of 20 mm: one and a half times 50 lie on a square metre
        (line("a", 7.0, "m", delivery="walls", of=item("a", kind=BOARD)), _most(75.0, 10.0, 20.0, WALL_M2, WALL_M) + 1.0),
        (line("a", 7.0, "each", delivery="walls", of=item("a", kind=BOARD)), _most(100.0, 50.0, 500.0, WALL_M2, WALL_M) + 1.0),
        (line("a", 7.0, "kg"), None),
        (line("a", 7.0, labour=True), None),
        (line("a", 7.0, of=item("a", kind=ItemKind.SPARE_SHEET)), None),
    ],
)  # fmt: skip
def test_any_line_of_the_order(bought: Any, most: float | None) -> None:
    bought = replace(bought, refs=("a", "b", "c", "d"))
    made = case(
        elevations=(WALL,),
        cladding={"boards": [SimpleNamespace(cover_mm=135.0), SimpleNamespace(cover_mm=20.0)]},
        catalogue=SimpleNamespace(rolls={"felt": FELT}),
        order={
            "lines": [bought],
            "plans": [plan("rail", [(6000, ()), (5000, (4000,)), (6000, ())]), plan("b", [(900, ())])],
        },
    )
    area, edges = (WALL_M2, WALL_M) if bought.delivery == "walls" else (ROOF_M2, ROOF_M)
    words = f"{area:.1f} m2 and {edges:.1f} m of edges"
    rows = [(7.0, 0.0, most, bought.total_unit, words, bought.of.name, ("a", "b", "c"))] if most is not None else []
    check(line_ceilings(made), *rows)


def test_spare_sheets() -> None:
    """Two spares of each of two groups, as long as the longest laid: 4 of 4 m. A clear one is neither."""
    groups = [SimpleNamespace(clear=clear) for clear in (False, True, False)]
    laid = sheets(sheet("a", order_mm=4000.0), sheet("b", order_mm=5000.0, clear=True), sheet("c", order_mm=3000.0))
    spare = item("spare", kind=ItemKind.SPARE_SHEET)
    lines = [line("spare", 3.0, each_mm=4000.0, of=spare), line("sheet", 3.0, each_mm=4000.0)]
    made = case({"spare_sheets": 2}, roofing={"sheets": [laid], "groups": groups}, order={"lines": lines})
    check(spare_sheets(made), (12.0, 0.0, 16.001, "m", "4 of 4.000 m, the longest laid", "", ()))
    made = case({"spare_sheets": 2}, roofing={"groups": groups})
    check(spare_sheets(made), (0.0, 0.0, 0.001, "m", "4 of 0.000 m, the longest laid", "", ()))
