"""Which board clads which wall, laps by timber, damp course, ground under cladding, level breaks: by hand, at their limits,
with every sentence."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.cladding.board_laps import by_timber, timber_fault
from takeoff.measure.cladding.clearances import check_clearance
from takeoff.measure.cladding.damp_course import damp_course
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.level_breaks import BreakRule, Breaks, break_findings, break_lines, level_breaks
from takeoff.measure.cladding.nail_sizes import nail, nail_mm
from takeoff.measure.cladding.panels import Panel
from takeoff.measure.cladding.storey_rod import commonest_head, course_count
from takeoff.measure.cladding.zones import Zone, job_or_setting, resolve_zones
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.walls import WallsJob
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.wall_rules import BoardLapRow, WallRules
from takeoff.model.walls import Corner, Elevation, GroundPart, Opening

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import SEEN, rules, with_values

NUMBERS = (1, 2, 3, 4)


def zones(*given: dict[str, object]) -> WallsJob:
    return WallsJob.model_validate({"height_mm": 2400, "zones": list(given)})


# --- zones --------------------------------------------------------------------------------------------------------------


def test_zones_in_typed_order_and_walls_that_none_names(settings: Settings, catalogue: Catalogue) -> None:
    """Walls 2 and 3 in zone 1, a band round wall 2 in zone 2, what is left in none: the usual board, with a warning."""
    job = zones(
        {"walls": [3, 2, 3], "board": "bevel_142", "even_coursing": False, "pack_pieces": 4},
        {"walls": [2], "board": "bevel_187", "from_mm": 100, "pack_m2": 2.5},
    )
    first, second, other = resolve_zones(job, NUMBERS, settings, catalogue)
    small, usual = catalogue.boards["bevel_142"], catalogue.boards["bevel_187"]
    assert first == Zone("zone 1", frozenset({2, 3}), "horizontal", small, False, place=1, pack_pieces=4)
    assert second == Zone("zone 2", frozenset({2}), "horizontal", usual, True, place=2, pack_m2=2.5)
    told = Finding(
        "walls-in-no-zone", Severity.WARN, f"walls 1, 4 are in no zone: clad with {usual.name}, the usual board",
        "Add under zones of the walls: `- {walls: [1, 4], direction: horizontal, board: bevel_187}`.",
        ("wall 1", "wall 4"), source="setting wall_board",
    )  # fmt: skip
    assert other == Zone("other walls", frozenset({1, 4}), "horizontal", usual, True, (told,))
    (only,) = resolve_zones(zones(), (7,), settings, catalogue)
    (finding,) = only.findings
    assert finding.text == f"wall 7 is in no zone: clad with {usual.name}, the usual board"
    assert finding.advice == "Add to the job: `walls: {zones: [{direction: horizontal, board: bevel_187}]}`."
    (rest,) = resolve_zones(zones({"direction": "none"}), NUMBERS, settings, catalogue)
    assert (rest.walls, rest.direction, rest.board.id, rest.findings) == (frozenset(NUMBERS), "none", "none", ())
    assert first.term("cover_mm") == Term("board cover_mm", 110.0, "mm", small.basis["cover_mm"], "bevel_142")
    assert job_or_setting(None, "board_short_mm", settings) == settings.term("board_short_mm")
    assert job_or_setting(70.0, "board_short_mm", settings) == Term("board_short_mm", 70.0, "mm", SET_IN_JOB)


FAULTS = [
    (
        [{"walls": [1, 9], "board": "bevel_187"}, {"walls": [1, 1], "board": "bevel_187"}],
        (
            "walls.zones[1].walls: wall 9 is not clad; walls are 1, 2, 3, 4.\n"
            "walls.zones[2].walls: wall 1 is in zone 1 already; name it once.\n"
            "walls.zones[2].walls: wall 1 is in zone 1 already; name it once."
        ),
    ),
    (
        [{"board": "bevel_187"}, {"board": "bevel_142"}, {"board": "bevel_142", "to_mm": 90}],
        "walls.zones[2]: zone 1 takes the walls no other names already.",
    ),
    (
        [{"board": "bevel_187", "polygon": [(0, 0), (9, 0), (9, 9)], "width_mm": 5}],
        "walls.zones[1].polygon: give its corners, or its heights and widths, not both.",
    ),
    (
        [{"board": "bevel_187", "profile": "corrugated"}],
        "walls.zones[1].profile: a profile is for direction: sheets; boards have a board.",
    ),
    (
        [{"direction": "none", "board": "bevel_187"}],
        "walls.zones[1].board: a zone that is left out has no board; leave the board out.",
    ),
    ([{}], "walls.zones[1].board: give the board of the zone, or direction: none to leave it out."),
    ([{"board": "bevel_178"}], "walls.zones[1].board: there is no board bevel_178; did you mean bevel_187?"),
    (
        [{"board": "bevel_187", "direction": "vertical"}],
        "walls.zones[1].board: bevel_187 is laid horizontal, not vertical.",
    ),
    (
        [{"direction": "sheets", "board": "bevel_187", "profile": "corrugated"}],
        "walls.zones[1].board: sheets have a profile, not a board.",
    ),
    (
        [{"direction": "sheets", "profile": "corugated"}],
        "walls.zones[1].profile: there is no profile corugated; did you mean corrugated?",
    ),
    (
        [{"board": {"width_mm": 150, "cover_mm": 150.02}}],
        "walls.zones[1].board: a cover of 150.02 mm is more than the board's width of 150 mm.",
    ),
    (
        [{"board": {"width_mm": 150, "cover_mm": 19.9}}],
        "walls.zones[1].board: a cover of 19.9 mm is no board's; give 20 or more.",
    ),
    (
        [{"board": {"width_mm": 150, "cover_mm": 130, "kind": "shiplap"}, "even_coursing": True, "break_mm": 1200}],
        (
            "walls.zones[1].even_coursing: shiplap board 150 wide, cover 130 has a fixed cover; only plain bevel-back boards can"
            " be evened out.\n"
            "walls.zones[1].break_mm: only vertical boards have a level break; level ones are joined on studs."
        ),
    ),
]


@pytest.mark.parametrize(("given", "says"), FAULTS)
def test_zones_that_cannot_be(
    given: list[dict[str, object]], says: str, settings: Settings, catalogue: Catalogue
) -> None:
    with pytest.raises(JobError) as caught:
        resolve_zones(zones(*given), NUMBERS, settings, catalogue)
    assert str(caught.value) == says


def test_boards_that_the_job_describes(settings: Settings, catalogue: Catalogue) -> None:
    """A cover as wide as the board passes, and one of 20; lengths are those of boards of its kind."""

    def board(direction: str = "horizontal", **own: object) -> Zone:
        (zone,) = resolve_zones(zones({"direction": direction, "board": own}), NUMBERS, settings, catalogue)
        return zone

    bevel = board(width_mm=180, cover_mm=148, kind="bevel_back")
    assert (bevel.board.id, bevel.board.name) == ("bevel_back_180_cover_148", "bevel-back board 180 wide, cover 148")
    assert (bevel.board.least_lap_mm, bevel.board.most_lap_mm, bevel.board.thickness_mm) == (32.0, 60.0, 18.0)
    assert (bevel.evened, bevel.findings, bevel.board.even_coursing) == (True, (), True)
    assert bevel.board.lengths_mm == catalogue.boards["bevel_187"].lengths_mm
    assert bevel.board.basis["least_lap_mm"] == settings.basis("least_lap_bevel_mm")
    assert bevel.board.basis["thickness_mm"] == settings.basis("board_thickness_mm")
    assert bevel.board.basis["*"] == SET_IN_JOB
    small = board(width_mm=180, cover_mm=148.5, kind="bevel_back")
    assert small.findings == (
        Finding(
            "board-lap-too-small", Severity.STOP,
            "zone 1: bevel-back board 180 wide, cover 148.5 laps 31.5 mm; the least is 32 mm.",
            "Set the cover to 148 mm or less.", ("zone 1",), source=settings.basis("least_lap_bevel_mm").words(),
        ),
    )  # fmt: skip
    assert board(width_mm=180, cover_mm=148.009, kind="bevel_back").findings == ()
    rebated = board(width_mm=180, cover_mm=155, kind="rebated", thickness_mm=21)
    assert (rebated.board.least_lap_mm, rebated.board.most_lap_mm, rebated.board.thickness_mm) == (25.0, 0.0, 21.0)
    assert (rebated.evened, rebated.findings, "thickness_mm" in rebated.board.basis) == (False, (), False)
    plain = board(width_mm=150, cover_mm=150)
    assert plain.findings == (
        Finding(
            "board-lap-unchecked", Severity.NOTE,
            "zone 1: the lap of plain board 150 wide, cover 150, 0 mm, was held against no limit.",
            "Name the board's kind: bevel_back, rebated, rusticated or shiplap.", ("zone 1",),
        ),
    )  # fmt: skip
    rusticated = next(one for one in catalogue.boards.values() if one.kind == "rusticated")
    same = board(width_mm=180, cover_mm=155, kind="rusticated").board
    assert same.basis["lengths_mm"] == rusticated.basis.get("lengths_mm", rusticated.basis["*"])
    given = {"direction": "vertical", "board": {"width_mm": 150, "cover_mm": 130}, "break_mm": 1200}
    assert resolve_zones(zones(given), NUMBERS, settings, catalogue)[0].break_mm == 1200.0
    upright = board("vertical", width_mm=150, cover_mm=20)
    assert (upright.board.kind, upright.board.direction, upright.findings) == ("vertical", "vertical", ())


def test_sheets_of_a_profile_as_boards(settings: Settings, catalogue: Catalogue) -> None:
    (zone,) = resolve_zones(zones({"direction": "sheets", "profile": "corrugated"}), NUMBERS, settings, catalogue)
    profile = catalogue.profiles["corrugated"]
    made = zone.board
    assert (made.id, made.name, made.kind, made.direction) == ("corrugated", profile.name, "sheet", "sheets")
    assert (made.width_mm, made.cover_mm, made.thickness_mm) == (profile.overall_mm, profile.cover_mm, profile.depth_mm)
    assert (made.least_lap_mm, made.lengths_mm, made.even_coursing, zone.evened) == (0.0, (), False, False)


def test_laps_by_timber(settings: Settings, catalogue: Catalogue) -> None:
    """A bevel-back board takes the least lap of its timber, unless the job sets one or the code knows one lap for all."""
    rows = (BoardLapRow("cypress", 20.0, SEEN), BoardLapRow("old_larch", 30.0, SEEN))
    table = rules(walls=WallRules(board_laps=rows))
    made = with_values(settings, table, board_timber="old_larch")
    bevel, rebated = catalogue.boards["bevel_187"], replace(catalogue.boards["bevel_187"], kind="rebated")
    cypress = by_timber(bevel, "cypress", made)
    assert (cypress.least_lap_mm, cypress.basis["least_lap_mm"]) == (20.0, replace(SEEN, clause="a clause: cypress"))
    larch = by_timber(bevel, None, made)
    assert (larch.least_lap_mm, larch.basis["least_lap_mm"].clause) == (30.0, "a clause: old larch")
    assert by_timber(bevel, "oak", made) is bevel
    assert by_timber(rebated, "cypress", made) is rebated
    assert by_timber(bevel, "cypress", with_values(settings, rules())) is bevel
    given = replace(made.values["least_lap_bevel_mm"], basis=SET_IN_JOB)
    assert by_timber(bevel, "cypress", Settings({**made.values, "least_lap_bevel_mm": given}, rules=table)) is bevel
    assert timber_fault("cypres", made) == "must be one of cypress, old_larch, got cypres; did you mean cypress?"
    assert [timber_fault(timber, made) for timber in ("cypress", None)] == [None, None]
    assert timber_fault("cypres", with_values(settings, rules())) is None


# --- damp course and clearances -----------------------------------------------------------------------------------------


def wall(number: int, width: float, **more: object) -> Elevation:
    outside = Corner("external", 90.0)
    bare = Elevation(
        f"wall {number}", number, width, 2400.0, ((0, -50), (width, -50), (width, 2400), (0, 2400)), -50.0, (), outside, outside,
        (-300.0, -300.0), False, 180.0, (0.0, 0.0), (width, 0.0),
    )  # fmt: skip
    return replace(bare, **more)  # type: ignore[arg-type]


def test_damp_course_under_plates_on_concrete(settings: Settings) -> None:
    """6 m less a door of 0.9 and 4.2 m: 9.3 m; two corners of walls by themselves lap 0.15 each: 9.6 m. Rolls of 5 m with
    laps of 0.15: (9.6 - 5) / 4.85 is one end, 9.75 m in all; of 4 m (9.6 - 4) / 3.85 is two."""
    made = with_values(settings, damp_course_lap_mm=150, damp_course_roll_m=5)
    door, window = Opening("D1", 1000, 0, 900, 2000), Opening("W1", 3000, 900, 1200, 1100)
    walls = [wall(1, 6000.0, openings=(door, window)), wall(2, 4200.0), wall(3, 9000.0)]
    (found,) = damp_course(walls, (1, 2, 1), made)
    assert found == Quantity(
        "cladding.damp_course", "damp-proof course", pytest.approx(9.75), "m", ("wall 1", "wall 2"),
        Working(
            "bottom plates on concrete, doors out, + a lap at each corner of two of them and where a roll ends",
            (
                Term("bottom plates", 9.3, "m"),
                Term("corners between two walls on concrete", 2, "each"),
                Term("ends of rolls", 1, "each"),
                made.term("damp_course_lap_mm"),
                made.term("damp_course_roll_m"),
            ),
        ),
    )  # fmt: skip
    (short,) = damp_course(walls, (1, 2), with_values(made, damp_course_roll_m=4))
    assert short.figure == pytest.approx(9.6 + 2 * 0.15)
    (whole,) = damp_course(walls, (1, 2), with_values(made, damp_course_roll_m=9.6))
    assert whole.figure == pytest.approx(9.6)
    (endless,) = damp_course(walls, (1, 2), with_values(made, damp_course_roll_m=0))
    assert endless.figure == pytest.approx(9.6)
    inside, none = Corner("internal", 90.0), Corner("none", 0.0)
    ends = [damp_course([wall(2, 4200.0, left_corner=corner)], (2,), made)[0].figure for corner in (inside, none)]
    assert ends == pytest.approx([4.35, 4.2])
    assert damp_course(walls, (), made) == ()
    # on a wall line: round its left corner stands wall 1, on concrete or not
    line = [wall(1, 6000.0, roof="main", a_mm=(0.0, 4200.0), b_mm=(0.0, 0.0)), wall(2, 4200.0, roof="main")]
    assert damp_course(line, (2,), made)[0].figure == pytest.approx(4.2)
    assert damp_course(line, (2, 1), made)[0].figure == pytest.approx(10.2 + 0.15 + 2 * 0.15)  # two ends of rolls
    with pytest.raises(JobError) as caught:
        damp_course(walls, (9, 1, 8), made)
    assert caught.value.faults == ("walls.on_concrete: there is no wall 9.", "walls.on_concrete: there is no wall 8.")


def test_cladding_too_near_to_the_ground(settings: Settings) -> None:
    """Code of practice: 100 mm over paving, 175 over soil. Cladding ends 50 below the floor: soil at -225 is just clear."""

    def told(**more: object) -> tuple[Finding, ...]:
        return check_clearance(wall(3, 5000.0, **more), settings)

    assert told(ground_mm=(-225.0, -225.0)) == told(ground_mm=(-224.991, -224.991)) == ()
    source = settings.basis("clearance_unpaved_mm").words()
    near = Finding(
        "cladding-near-ground", Severity.STOP,
        "Along wall 3 the cladding ends 150 mm over unpaved ground; 175 mm are wanted.",
        "Lower the ground by 25 mm there, or raise the floor.", ("wall 3",), source=source,
    )  # fmt: skip
    assert told(ground_mm=(-200.0, -200.0)) == (near,)
    (assumed,) = check_clearance(wall(3, 5000.0, ground_mm=(-200.0, -200.0)), settings, assumed=True)
    assert assumed == replace(near, severity=Severity.WARN)
    (left,) = told(ground_mm=(-200.0, -300.0))
    assert left.text == "At the left end of wall 3 the cladding ends 150 mm over unpaved ground; 175 mm are wanted."
    (right,) = told(ground_mm=(-300.0, -140.0), paved=True)
    assert right.text == "At the right end of wall 3 the cladding ends 90 mm over paved ground; 100 mm are wanted."
    deck = GroundPart(1000.0, 5000.0, -140.0, "deck")
    soil, part = told(ground_mm=(-200.0, -200.0), grounds=(deck,))
    assert soil == near
    assert part == Finding(
        "cladding-near-ground", Severity.WARN,
        "From 1000 to 5000 mm along wall 3 the cladding ends 90 mm over a deck; 100 mm are wanted.",
        "Lower the deck by 10 mm there, or raise the floor.", ("wall 3",), source="common practice, no source",
    )  # fmt: skip
    # a part at an end has a level of its own there; one along the whole wall leaves nothing of the rest
    assert told(ground_mm=(-300.0, -100.0), grounds=(replace(deck, level_mm=-400.0),)) == ()
    assert len(told(ground_mm=(-100.0, -300.0), grounds=(replace(deck, level_mm=-400.0),))) == 1
    assert told(ground_mm=(-100.0, -100.0), grounds=(replace(deck, left_mm=0.5, level_mm=-400.0),)) == ()
    assert (
        len(told(ground_mm=(-100.0, -100.0), grounds=(replace(deck, right_mm=4999.4, left_mm=0.0, level_mm=-400.0),)))
        == 1
    )


# --- level breaks -------------------------------------------------------------------------------------------------------


def face(*holes: Hole, **more: object) -> Face:
    bare = Face(3, 0.0, 5000.0, -50.0, 5000.0, ((0.0, 5000.0), (5000.0, 5000.0)), holes)
    return replace(bare, **more)  # type: ignore[arg-type]


def boards(*ends: float) -> list[Panel]:
    return [Panel((), 0.0, end, 0.0) for end in ends]


RULE = BreakRule(longest_mm=3000.0, least_mm=400.0)


def test_where_upright_boards_break() -> None:
    """Boards of 3000 and 5000 from 0: one break at most 3000 up. On the storey line, else on the head that most openings
    share, else on a row of nogs, else as high as stock reaches; where a board of 3000 is left 200 by it, the next."""
    heads = (Hole("W1", 0, 500, 900, 2100.0), Hole("W2", 900, 1500, 900, 2100.0), Hole("D1", 2000, 2500, 0, 2300.0))
    assert level_breaks(face(), boards(3000.0), (), RULE) == Breaks()
    assert level_breaks(face(), boards(3000.4, 5000.0), (), RULE) == Breaks((3000.0,), ("as high as stock reaches",))
    both = face(*heads, levels=(2600.0,))
    assert level_breaks(both, boards(3000.0, 5000.0), (2500.0,), RULE) == Breaks((2600.0,), ("on the storey line",))
    # 2800 would leave 200 of the board of 3000: the head serves
    low = face(*heads, levels=(2800.0,))
    assert level_breaks(low, boards(3000.0, 5000.0), (), RULE) == Breaks((2100.0,), ("on the head of the openings",))
    assert level_breaks(face(), boards(3000.0, 5000.0), (2500.0, 2000.0), RULE) == Breaks(
        (2500.0,), ("on a row of nogs",)
    )
    # two storeys of boards, 8000: 3000 and 6000
    tall = Breaks((3000.0, 6000.0), ("as high as stock reaches",) * 2)
    assert level_breaks(face(), boards(8000.0), (), RULE) == tall
    given = replace(RULE, given_mm=4700.0)
    found = level_breaks(face(), boards(5000.0, 4900.0, 4700.4), (), given)
    assert found == Breaks((3000.0, 4700.0), ("as high as stock reaches", "as the job gives it"), 2)
    assert level_breaks(face(), boards(2000.0), (), given) == Breaks()
    # a break at 4600 leaves just 400 of 5000, and what it does not cut is not counted
    assert level_breaks(face(), boards(5000.0, 300.0), (), replace(RULE, given_mm=4600.0)).short == 0


def test_flashings_and_words_of_breaks() -> None:
    """A door from 1000 to 2000 up to 2500 takes its width out of a break at 2400, not out of one on its head."""
    door = face(Hole("D1", 1000.0, 2000.0, 0.0, 2500.0))
    assert list(break_lines(door, (2400.0, 2500.0))) == [
        (2400.0, 0.0, 1000.0),
        (2400.0, 2000.0, 5000.0),
        (2500.0, 0.0, 5000.0),
    ]
    assert break_findings(3, Breaks(), RULE) == ()
    note, short = break_findings(3, Breaks((2600.4, 5200.0), ("on the storey line", "on a row of nogs"), 4), RULE)
    assert note == Finding(
        "level-break", Severity.NOTE,
        "Wall 3: vertical boards break at 2600 mm over the floor (on the storey line), 5200 mm over the floor (on a row of"
        " nogs), with a flashing along it; one length gives 3000 mm.",
        "Give break_mm in the zone for another height, or order longer boards.", ("wall 3",),
    )  # fmt: skip
    assert short == Finding(
        "level-break-short-pieces", Severity.WARN, "Wall 3: 4 boards beside the level break are under 400 mm.",
        "Give break_mm in the zone, clear of heads, sills and the eaves line by as much.", ("wall 3",),
    )  # fmt: skip


# --- courses and nails --------------------------------------------------------------------------------------------------


def test_courses_that_close_a_height() -> None:
    """ceil((2400 - 187) / 155) + 1 = 16; (1737 - 187) / 155 is 10, with half a millimetre to spare."""
    assert [course_count(height, 187.0, 155.0) for height in (2400.0, 1737.5, 1737.6, 187.0, 100.0)] == [
        16,
        11,
        12,
        1,
        1,
    ]


def test_the_head_that_most_openings_share() -> None:
    low, high = Hole("a", 0, 1, 0, 2000.2), Hole("b", 0, 1, 0, 2100.0)
    assert commonest_head([face(low, high), face(replace(low, head=1999.8))]) == 2000.0
    assert commonest_head([face(low), face(high)]) == 2100.0
    assert commonest_head([face(replace(high, head=4999.4)), face(replace(low, head=4999.6))]) == 4999.0
    assert commonest_head([face()]) is commonest_head([face(replace(high, head=4999.5))]) is None


def test_nails_by_what_they_go_through(settings: Settings) -> None:
    """Half a millimetre short of it is long enough; the longest where none is."""
    assert [nail_mm(through, 30.0) for through in (20.5, 20.6, 170.5, 170.6, 999.0)] == [50, 60, 200, 200, 200]
    name = "small_nail_diameter_mm"
    made, terms = nail("board nail", 38.0, name, settings)
    thick = settings.number(name)
    words = f"75 x {thick:g}"
    assert made == Made(f"board nail {words}", "board nail", (Mark(MarkKind.SIZE, (75.0, thick)),), family="board nail")
    assert terms == (Term("nail goes through", 38.0, "mm"), settings.term("nail_into_timber_mm"), settings.term(name))
