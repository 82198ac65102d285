"""What records say of themselves, by hand: axes, areas, sums, states, rows of tables."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from takeoff.model.basis import Basis, Setting, Status, Term, Working
from takeoff.model.bought_lengths import Bought, bought_in
from takeoff.model.code_rules import RuleSet, ScrewPattern, WindZone
from takeoff.model.drainage import Downpipe, GutterLeg, GutterRun, Inflow, PlaneShare, Received
from takeoff.model.estate import FIGURES, EstateSummary
from takeoff.model.faces import MM_PER_UNIT, WHOLE, RawPart, raw_faces
from takeoff.model.houses import Houses
from takeoff.model.issues import LineState, StandingLine, issue_folder
from takeoff.model.memory import Memory, Same, _Kept, key_of, recalled, recalled_plain
from takeoff.model.openings import Hole
from takeoff.model.products import Profile, ProfileKind, ProfileShape, basis_of
from takeoff.model.rain_rules import BracketRow, MovementRow, PipeRow, RainRules
from takeoff.model.roof import Frame, RoofPlane
from takeoff.model.runs import CutPiece, CutPlan, StockBar
from takeoff.model.settings import Settings
from takeoff.model.sheets import BlankPart, PairPlan, SheetBlank
from takeoff.model.value_types import PATTERNS, ValueKind
from takeoff.model.walls import Opening

NONE = Basis(Status.COMMON_PRACTICE)

# u 60 degrees round from east, v up at 3 : 4 : 5 square to it; no axis of either is 0 that need not be
U, V = (0.6, 0.8, 0.0), (-0.64, 0.48, 0.6)
N = (0.48, -0.36, 0.8)
FRAME = Frame((100.0, 20.0, 3.0), U, V, N)


def test_a_point_of_a_plane_and_back() -> None:
    """10 along u and 5 up v: (6 - 3.2, 8 + 2.4, 3) from the origin; 2 off the plane is dropped on the way back."""
    point = FRAME.to_space((10.0, 5.0))
    assert point == pytest.approx((102.8, 30.4, 6.0))
    off = tuple(p + 2.0 * n for p, n in zip(point, N, strict=True))
    assert FRAME.to_plane(off) == pytest.approx((10.0, 5.0))  # type: ignore[arg-type]


def test_what_of_a_plane_lies_under_a_higher_roof_in_plan() -> None:
    """10 x 4 less a hole of 1 x 1, and a triangle of 3 x 2 / 2, at 0.8 in plan: (39 + 3) x 0.8."""
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0))
    hole = ((1.0, 1.0), (1.0, 2.0), (2.0, 2.0), (2.0, 1.0))
    triangle = ((20.0, 0.0), (23.0, 0.0), (20.0, 2.0))
    plane = RoofPlane(
        "P1", "main", FRAME, (square,), (1,), 1, 36.87, 0.0, 0.0, 0.0, covered_uv=((square, hole), (triangle,))
    )
    assert plane.covered_mm2 == pytest.approx(33.6)


def test_corners_of_a_hole() -> None:
    hole = Hole("H1", "flue", "main", "P1", "flue", (1000.0, 500.0), 300.0, 420.0, 0.0, (0.0, 0.0, 0.0), "boot", True)
    assert (hole.low_uv, hole.high_uv) == ((850.0, 290.0), (1150.0, 710.0))
    assert hole.ring_uv == ((850.0, 290.0), (1150.0, 290.0), (1150.0, 710.0), (850.0, 710.0))
    assert Opening("W1", 700.0, 900.0, 1200.0, 1150.0).head_mm == 2050.0


def _leg(edge: str, length: float, flows: tuple[Inflow, ...], walls: tuple[Inflow, ...] = ()) -> GutterLeg:
    return GutterLeg(edge, (1,), (0.0, 0.0, 0.0), (length, 0.0, 0.0), length, 0.0, flows, walls)


def test_what_drains_to_a_gutter_by_plane() -> None:
    """P1 comes in on both legs, 3 + 4 m2 at 45 degrees: F = 1.5; P2 1.5 m2, level; 2 m2 off a wall are as they are. The
    run catches 9 m2 in plan, of which a spreader brings 1.5 and an eave above without spouting 0.5."""
    first = _leg("E1", 4000.0, (Inflow(0, 4000, 2e6, 4e6, "P1", 45.0), Inflow(500, 500, 1.5e6, 1.5e6, "P2")))
    second = _leg("E2", 2500.0, (Inflow(0, 2500, 4e6, 4e6, "P1", 45.0),), (Inflow(0, 2500, 3e6, 1e6, "W1", 90.0),))
    received = (Received("up", "DP1", "P2", 0.0, 1.5e6), Received("up", "", "P1", 0.0, 0.5e6))
    run = GutterRun("G1", "main", (first, second), (), False, 9e6, 45.0, received=received)
    assert run.shares == (
        PlaneShare("P1", 7e6, 45.0),
        PlaneShare("P2", 1.5e6, 0.0),
        PlaneShare("W1", 2e6, 90.0, wall=True),
    )
    assert run.wind_mm2 == pytest.approx(7e6 * 1.5 + 1.5e6 + 2e6)
    assert (run.wall_mm2, run.sizing_mm2, run.own_catchment_mm2, run.length_mm) == (2e6, 11e6, 7.5e6, 6500.0)
    pipe = Downpipe("DP1", "G1", (0.0, 0.0, 0.0), 0.0, 2400.0, 8.5e6, shares=run.shares)
    assert (pipe.wind_mm2, pipe.wall_mm2) == (pytest.approx(14e6), 2e6)


def _standing(wanted: float, ordered: float, numbers: tuple[int, ...]) -> StandingLine:
    return StandingLine("L1", "roof", "sheet", "Sheet", 6000.0, "each", wanted, ordered, 0.0, "m", 0.0, numbers)


@pytest.mark.parametrize(
    ("wanted", "ordered", "numbers", "left", "state"),
    [
        (7.0, 0.0, (), 7.0, LineState.TO_ORDER),
        (7.0, 7.0, (1,), 0.0, LineState.ORDERED),
        (0.3, 0.1 + 0.2, (1,), 0.0, LineState.ORDERED),  # a crumb of floating point is nothing
        (7.000002, 7.0, (1,), 0.000002, LineState.CHANGED),
        (7.0, 9.0, (1, 2), -2.0, LineState.CHANGED),
        (0.0, 4.0, (1,), -4.0, LineState.GONE),
        (0.0, 0.0, (1, 2), 0.0, LineState.GONE),
    ],
)
def test_how_a_line_stands(
    wanted: float, ordered: float, numbers: tuple[int, ...], left: float, state: LineState
) -> None:
    line = _standing(wanted, ordered, numbers)
    assert (line.to_order, line.state) == (left, state)


def test_names_of_folders_and_houses() -> None:
    assert issue_folder(37) == "issue_0037"
    houses = Houses(4, ("H1", "H2", "H3", "H4"), 0.0, 0.0, 0.0, ())
    assert houses.words == "4 houses, H1 to H4"
    assert houses.on_marks("P1.01, P1.02") == "H1 to H4, each: P1.01, P1.02"


def test_an_estate_is_whole_when_every_house_is_done() -> None:
    bare = EstateSummary("plans.dxf", "houses.csv", with_lines=False, already=0, unread=(), misspelt=(), states={})
    assert (bare.houses, bare.whole) == (0, True)
    done = replace(bare, states={"done": 5})
    some = replace(bare, states={"done": 5, "late": 1})
    none = replace(bare, states={"late": 1})
    assert [(each.houses, each.whole) for each in (done, some, none)] == [(5, True), (6, False), (1, False)]


def test_decimals_of_the_figures_of_an_estate() -> None:
    """Counts whole, lengths to the millimetre, areas to three places, angles to two, shares to four."""
    places = {"each": 0, "m": 3, "m2": 3, "deg": 2, "net": 4, "corners": 0, "planes": 0}
    assert {name: digits for name, digits, _ in FIGURES} == {
        name: places[name.rpartition("_")[2]] for name, _, _ in FIGURES
    }


# --- products and tables -----------------------------------------------------------------------------------------------


def _profile(kind: ProfileKind, cover: float, rib: float, shape: ProfileShape | None = None) -> Profile:
    own = {"girth_mm": Basis(Status.SEEN, "a sheet of data"), "*": NONE}
    return Profile("x", "X", kind, cover, cover + 50.0, rib, 30.0, True, 940.0, {0.4: 4.0}, own, shape=shape)


def test_ribs_and_families_of_profiles() -> None:
    """762 / 76.2 = 10 crests of corrugate; 760 over four spaces is five ribs, 825 over five is six; a tray has one."""
    corrugate = _profile(ProfileKind.CORRUGATED, 762.0, 76.2)
    five = _profile(ProfileKind.TRAPEZOIDAL, 760.0, 190.0)
    six = _profile(ProfileKind.TRAPEZOIDAL, 825.0, 165.0, ProfileShape.TRAPEZOIDAL_ASYMMETRICAL)
    three = _profile(ProfileKind.TRAPEZOIDAL, 600.0, 200.0)
    close = _profile(ProfileKind.TRAPEZOIDAL, 840.0, 120.0, ProfileShape.CLOSE_TRAPEZOIDAL)
    tray, wide = (
        _profile(ProfileKind.TRAY, 300.0, 800.0),
        _profile(ProfileKind.TRAY, 500.0, 500.0, ProfileShape.TRAY_WIDE),
    )
    each = (corrugate, five, six, three, close, tray, wide)
    assert [one.crests for one in each] == [10, 4, 5, 3, 7, 1, 1]
    assert [one.families for one in each] == [
        ("corrugate",), ("five_rib", "trapezoidal"), ("six_rib", "trapezoidal"), ("trapezoidal",), ("close_trapezoidal",),
        ("tray_narrow",), ("tray_wide",),
    ]  # fmt: skip
    assert six.shapes == ("trapezoidal_asymmetrical", "trapezoidal")
    assert five.shapes == ("trapezoidal",)
    assert basis_of(five, "girth_mm") == Basis(Status.SEEN, "a sheet of data")
    assert basis_of(five, "depth_mm") is NONE
    assert basis_of(replace(five, basis={}), "depth_mm") is None


def _rules(name: str, *zones: tuple[str, float]) -> RuleSet:
    rows = tuple(WindZone(id=zone, **_zone_rest(speed)) for zone, speed in zones)
    return RuleSet(
        name,
        f"Code {name}",
        "source",
        "v2",
        "2025-12-01",
        rows,
        patterns=(ScrewPattern("a", 1, 2, "every second", NONE),),
    )


def _zone_rest(speed: float) -> dict[str, object]:
    from dataclasses import fields

    return {field.name: speed if field.name == "speed_m_s" else "" for field in fields(WindZone) if field.name != "id"}


def test_zones_of_one_code_in_another() -> None:
    """The calmest zone whose gust is no less: 37 is met by 37, 37.1 by 44; what neither has is none."""
    one, other = (
        _rules("one", ("low", 32.0), ("high", 37.0), ("gale", 51.0)),
        _rules("two", ("N1", 28.0), ("N2", 37.0), ("N3", 50.0)),
    )
    assert one.as_zone_of(other, "low") == "N2"
    assert one.as_zone_of(other, "high") == "N2"
    assert one.as_zone_of(other, "gale") is None
    assert one.as_zone_of(one, "gale") == "gale"
    assert one.as_zone_of(other, "N3") == "N3"  # no zone of this code: taken as one of the other
    assert one.as_zone_of(other, "storm") is None
    same = replace(other, id="one")
    assert one.as_zone_of(same, "low") is None
    assert one.titled == "Code one, v2 of 2025-12-01"
    assert one.pattern("a").screws == 1
    with pytest.raises(KeyError):
        one.pattern("b")


def test_rows_of_rain() -> None:
    """Steel moves 3 mm over 5 m and 50 degrees (common): 0.012 mm a metre and degree. Sections: pi x 45 x 45, 100 x 50."""
    assert MovementRow("steel", 3.0, NONE).mm_per_m_deg == pytest.approx(0.012)
    assert PipeRow("A", NONE, round_mm=90.0).mm2 == pytest.approx(pi * 45.0**2)
    assert PipeRow("A", NONE, wide_mm=100.0, deep_mm=50.0).mm2 == 5000.0


def test_brackets_by_width_and_snow() -> None:
    """Under 180 mm 1200 apart, under 300 mm 750, in snow 500: 180 itself is no longer under 180, 300 is in no row."""
    narrow, wide = BracketRow(1200.0, NONE, 180.0), BracketRow(750.0, NONE, 300.0)
    snow, loose = BracketRow(500.0, NONE, snow=True), BracketRow(2000.0, NONE, snow=True)
    rain = RainRules(brackets=(snow, narrow, wide))
    assert [rain.bracket_row(width, False) for width in (179.0, 180.0, 300.0)] == [narrow, wide, None]
    assert [rain.bracket_row(width, True) for width in (179.0, 180.0, 300.0)] == [snow, snow, None]
    assert RainRules(brackets=(narrow, loose)).bracket_row(100.0, True) is narrow
    anything = BracketRow(900.0, NONE)
    assert RainRules(brackets=(narrow, anything)).bracket_row(1e6, False) is anything


@pytest.mark.parametrize(
    ("kind", "good", "bad"),
    [
        (ValueKind.SECTION, ("70x45", "140x45", "10x999"), ("7x45", "70x4", "070x45", "70 x 45", "1400x45", "70x1450")),
        (ValueKind.COUNT_OF, ("2 x purlin screw", "10 x a"), ("0 x a", "2 x ", "x a", "2x a")),
        (ValueKind.LENGTHS, ("50", "50 65 75", "99999"), ("050", "50  65", "100000", "50,65", "50 0")),
        (ValueKind.ZONE_TYPES, ("A B C C N/A", "N/A N/A D E A"), ("A B C C", "A B C D F", "A B C D E A", "ABCDE")),
    ],
)
def test_how_a_text_of_each_kind_is_written(kind: ValueKind, good: tuple[str, ...], bad: tuple[str, ...]) -> None:
    import re

    assert [text for text in good if not re.fullmatch(PATTERNS[kind], text)] == []
    assert [text for text in bad if re.fullmatch(PATTERNS[kind], text)] == []


# --- bought lengths ----------------------------------------------------------------------------------------------------


def test_which_length_each_sheet_comes_out_of() -> None:
    """One alone; two out of one, the second turned; two out of a sheet on the site, one out of a sheet without a mark."""
    alone = SheetBlank("B1", "x", 4200.5, (BlankPart("P1.01", 0.0, False),))
    pair = SheetBlank("B2", "x", 6000.0, (BlankPart("P1.02", 0.0, True), BlankPart("P2.05", 3000.0, False)))
    site = SheetBlank(
        "B3", "x", 2000.0, (BlankPart("P3.01", 0.0, False), BlankPart("P3.02", 900.0, True)), 5000.0, "old 7"
    )
    bare = SheetBlank("B4", "x", 1000.0, (BlankPart("P3.03", 0.0, False),), 1500.0)
    found = bought_in((alone, pair, site, bare))
    assert found == {
        "P1.01": Bought(4200.5),
        "P1.02": Bought(6000.0, turned=True, others=("P2.05",)),
        "P2.05": Bought(None, "P1.02"),
        "P3.01": Bought(None, "site old 7", from_site=True),
        "P3.02": Bought(None, "site old 7", turned=True, from_site=True),
        "P3.03": Bought(None, "site", from_site=True),
    }
    assert [found[mark].words for mark in ("P1.01", "P2.05", "P3.03")] == ["4201", "from P1.02", "from site"]


def test_sums_of_a_cut_plan() -> None:
    """Bought 6000 + 4800, on the site 2000 + 1000 are cut; placed 13 200 with 300 of laps: 300 are waste."""
    bars = (
        StockBar("t", 1, 6000, (CutPiece("a", "r", 0.0, 6000),)),
        StockBar("t", 2, 4800, (CutPiece("b", "r", 0.0, 4500),)),
    )
    site = (StockBar("t", 1, 3500, (CutPiece("c", "r", 0.0, 2000), CutPiece("d", "r", 0.0, 1000)), "rack"),)
    plan = CutPlan("t", bars, 10_800, 10_800, 13_200.0, 300.0, site_bars=site)
    assert (plan.site_mm, plan.waste_mm, plan.all_bars) == (3000, 300.0, (*bars, *site))
    assert PairPlan("x", (), (), 30_000.0, 27_500.0).saving_mm == 2500.0


# --- shapes as a file has them -----------------------------------------------------------------------------------------


def test_faces_as_a_file_has_them() -> None:
    points = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 2]]
    plain = raw_faces(points, [[0, 1, 2], [0, 2, 3]], "a.obj")
    assert (plain.points.dtype, plain.points.shape, plain.triangles.shape) == (np.float64, (4, 3), (2, 3))
    assert (plain.polygon_of.tolist(), plain.part_of.tolist(), plain.parts) == ([0, 1], [0, 0], (WHOLE,))
    assert (plain.stated_unit_mm, plain.stated_up, plain.came_from) == (None, None, "a.obj")
    parts = (RawPart("1"), RawPart("2"))
    given = raw_faces(
        points, [[0, 1, 2], [0, 2, 3]], "b.ifc", polygon_of=[4, 4], part_of=[1, 1], parts=parts, stated_unit_mm=25.4
    )
    assert (given.polygon_of.tolist(), given.part_of.tolist(), given.parts) == ([4, 4], [1, 1], parts)
    assert given.stated_unit_mm == 25.4
    empty = raw_faces([], [], "c.obj")
    assert (empty.points.shape, empty.triangles.shape) == ((0, 3), (0, 3))


def test_units_are_what_they_are_worth() -> None:
    """The international yard of 1959 is 0.9144 m, of 3 feet of 12 inches."""
    assert {
        "mm": 1,
        "cm": 10,
        "m": 1000,
        "in": pytest.approx(914.4 / 36),
        "ft": pytest.approx(914.4 / 3),
    } == MM_PER_UNIT


# --- settings and what is remembered -----------------------------------------------------------------------------------


def _settings(**values: float | str | bool) -> Settings:
    return Settings({name: Setting(name, value, "mm", NONE) for name, value in values.items()})


def test_settings_are_noted_when_they_are_asked_for() -> None:
    every = _settings(first=2.5, second="word", third=True, fourth=False)
    asked = every.watched()
    assert (asked.number("first"), asked.word("second"), asked.flag("third")) == (2.5, "word", True)
    assert asked.used == ("first", "second", "third")
    assert every.used == ()
    assert asked.term("fourth") == Term("fourth", "no", "mm", NONE)
    assert asked.term("third").value == "yes"
    assert asked.unit("first") == "mm"
    assert asked.given("first") is False
    with pytest.raises(TypeError) as caught:
        asked.number("second")
    assert str(caught.value) == "setting second is a word, not a number"


def test_work_is_not_done_again_while_its_inputs_and_settings_are_the_same() -> None:
    done: list[float] = []

    def work(settings: Settings) -> float:
        done.append(settings.number("first"))
        return done[-1] * 2.0

    memory = Memory()
    with memory.used():
        asked = _settings(first=1.0, second=5.0).watched()
        assert recalled("doubling", ("x",), asked, work) == 2.0
        again = _settings(first=1.0, second=6.0).watched()  # what was not asked for may change
        assert recalled("doubling", ("x",), again, work) == 2.0
        assert again.used == ("first",)
        assert recalled("doubling", ("x",), _settings(first=3.0), work) == 6.0
        assert recalled("doubling", ("y",), _settings(first=1.0), work) == 2.0
        assert recalled("halving", ("x",), _settings(first=1.0), work) == 2.0
        assert recalled("doubling", ("x",), _settings(first=1.0), work) == 2.0  # the older variant is known still
        assert recalled("doubling", ("x",), _settings(first=True), work) == 2.0  # equal, but of another type
        assert recalled("doubling", ("x",), Settings({"first": asked.values["first"]}), work) == 2.0
    assert done == [1.0, 3.0, 1.0, 1.0, 1.0]
    assert (memory.worked, memory.recalled) == ({"doubling": 4, "halving": 1}, {"doubling": 3})
    assert len(memory) == 3
    assert recalled("doubling", ("x",), _settings(first=1.0), work) == 2.0  # no memory in use
    assert len(done) == 6


def test_the_longest_unused_is_forgotten_first() -> None:
    """Two are kept: a and b; a is asked for, c comes, b goes."""
    count: list[str] = []
    memory = Memory(2)
    with memory.used():
        for name in ("a", "b", "a", "c", "a", "b"):
            recalled_plain("naming", (name,), lambda name=name: count.append(name))  # type: ignore[misc]
    assert count == ["a", "b", "c", "b"]
    assert len(memory) == 2


def test_four_variants_of_one_work_are_kept_the_newest_first() -> None:
    memory = Memory()
    rows = [_Kept((Setting("first", float(n), "mm", NONE),), n) for n in range(6)]
    for row in rows:
        memory.keep(("work",), row)
    known = [memory.find(("work",), _settings(first=float(n))) for n in range(6)]
    assert known == [None, None, *rows[2:]]
    assert memory.find(("other",), _settings(first=1.0)) is None
    assert len(memory) == 1


def test_what_inputs_are_compared_by() -> None:
    one, same = Same([1]), Same([1])
    assert one != same
    assert one == Same(one.of)
    assert one != "other"
    pieces = [CutPiece("a", "r", 0.0, 5)]
    alike: list[tuple[object, object]] = [
        ([1, [2]], [1, [2]]),
        ({"a": [1]}, {"a": [1]}),
        (({"a": 1}, 2), ({"a": 1}, 2)),
        (Working("rule", ()), Working("rule", ())),
        (StockBar("t", 1, 2, pieces), StockBar("t", 1, 2, list(pieces))),  # type: ignore[arg-type]
    ]
    for value, other in alike:
        assert key_of(value) == key_of(other)
        assert hash(key_of(value)) == hash(key_of(other))
    assert len({key_of(value) for value, _ in alike}) == len(alike)
    with pytest.raises(TypeError):
        key_of({1, 2})


def test_products_that_differ_by_their_basis_alone_are_other_inputs() -> None:
    one = _profile(ProfileKind.TRAY, 400.0, 400.0)
    other = replace(one, basis={"*": Basis(Status.SEEN, "another sheet of data")})
    assert hash(key_of(one)) == hash(key_of(other))
    assert key_of(one) != key_of(other)
