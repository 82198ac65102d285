"""The storey rod by hand, to the last figure and word: boards of 187 at a cover of 155 that may lap up to 60, a wall from 50
under the floor to 2350 over it."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.cladding.courses import lay_courses, notched
from takeoff.measure.cladding.face import Face, Hole
from takeoff.measure.cladding.storey_rod import (
    SetOut,
    _to_head,
    _within,
    not_evened,
    set_out,
    slivers,
    working_of,
)
from takeoff.measure.cladding.zones import Zone
from takeoff.model.basis import Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values

FOOT, TOP = -50.0, 2350.0


def face(top: float = TOP, peak: float = 0.0, *holes: Hole) -> Face:
    chain = ((0.0, top), (3000.0, peak), (6000.0, top)) if peak else ((0.0, top), (6000.0, top))
    return Face(1, 0.0, 6000.0, FOOT, top, chain, holes)


@pytest.fixture
def evened(catalogue: Catalogue) -> Zone:
    return Zone("zone 1", frozenset({1}), "horizontal", catalogue.boards["bevel_187"], True)


def test_covers_that_keep_the_lap(evened: Zone) -> None:
    """155 with a hundredth, and 187 - 60 = 127 less a hundredth; a board of no most lap may lap by any."""
    free = replace(evened, board=replace(evened.board, most_lap_mm=0.0))
    rows = [
        (155.01, True, True),
        (155.02, False, False),
        (126.991, True, True),
        (126.98, False, True),
        (10.0, False, True),
    ]
    for cover, kept, any_lap in rows:
        assert (_within(evened, cover), _within(free, cover)) == (kept, any_lap)


def test_courses_evened_and_not(evened: Zone, settings: Settings) -> None:
    """2400 - 187 = 2213 in 15 covers of 155 or less: 147.533. Not evened 15 x 155 leave 75 for the top board. Up a gable
    of 3900 27 courses of 147.533, the top one of 3900 - 26 x 147.533 = 64.133."""
    even = 2213 / 15
    assert set_out(face(), evened, settings) == SetOut(even, 16, 0.0, True, 0.0)
    plain = replace(evened, evened=False)
    assert set_out(face(), plain, settings) == SetOut(155.0, 16, 75.0, False, 0.0)
    assert set_out(face(peak=3850.0), evened, settings) == SetOut(even, 27, pytest.approx(3900 - 26 * even), True, 0.0)
    # one board alone has no cover to even; 300 would lap 74: too much
    assert set_out(face(130.0), evened, settings) == SetOut(155.0, 1, 180.0, False, 0.0)
    assert set_out(face(137.0), evened, settings) == SetOut(155.0, 1, 0.0, False, 0.0)
    assert set_out(face(250.0), evened, settings) == SetOut(155.0, 2, 145.0, False, 0.0)
    # a top board within half a millimetre of a whole one is one
    for top, ripped in ((TOP + 111.5, 0.0), (TOP + 111.4, 186.4)):
        assert set_out(face(top), plain, settings).top_mm == pytest.approx(ripped)


def test_a_course_line_on_a_head(evened: Zone, settings: Settings) -> None:
    """A head at 2100 is 2150 over the foot: 2150 / 14 = 153.571. On 2400: 16 courses, the top one 2400 - 15 x 153.571. On
    2500: 15 x 153.571 + 187 = 2490.571, the mould closes 9.429 over a whole board. A setting leaves heads alone."""
    cover = 2150 / 14
    assert set_out(face(), evened, settings, 2100.0) == SetOut(
        cover, 16, pytest.approx(2400 - 15 * cover), True, 2100.0
    )
    assert set_out(face(2450.0), evened, settings, 2100.0) == SetOut(cover, 16, 0.0, True, 2100.0)
    off = with_values(settings, course_to_heads=False)
    assert set_out(face(), evened, off, 2100.0) == SetOut(2213 / 15, 16, 0.0, True, 0.0)
    plain = replace(evened, evened=False)
    assert set_out(face(), plain, settings, 2100.0) == SetOut(155.0, 16, 75.0, False, 0.0)
    # 1100 / 7 is too far apart, 1100 / 8 = 137.5 takes two courses more
    assert set_out(face(2450.0), evened, settings, 1050.0) == SetOut(2313 / 15, 16, 0.0, True, 0.0)
    # up a gable nothing is closed by a mould: 3 courses more than 16 and the rest
    up = set_out(face(2450.0, 2900.0), evened, settings, 2100.0)
    assert up == SetOut(cover, 19, pytest.approx(2950 - 18 * cover), True, 2100.0)


def test_the_largest_cover_to_a_head(evened: Zone, settings: Settings) -> None:
    """The cover and what the mould closes, at most the setting's 15; none below the foot."""
    cover = 2150 / 14
    assert _to_head(2500.0, 2150.0, evened, 15, settings) == (cover, pytest.approx(2500 - 15 * cover - 187))
    assert _to_head(2400.0, 2150.0, evened, 15, settings) == (cover, 0.0)
    # 15 covers of 153.571 and 187 with 15 and half a millimetre: 2506.07 in 16 courses, not 2506.08
    assert _to_head(2506.07, 2150.0, evened, 15, settings) is not None
    assert _to_head(2506.08, 2150.0, evened, 15, settings) is None
    assert _to_head(2400.0, -200.0, evened, 15, settings) is None
    assert _to_head(2400.0, 2150.0, evened, 13, settings) is None
    assert _to_head(2300.0, 2150.0, evened, 14, settings) == (cover, 0.0)


LAID = SetOut(150.0, 17, 0.0, False)


def told(laid: SetOut, zone: Zone, settings: Settings, *openings: tuple[float, float]) -> list[str]:
    holes = [Hole(f"W{n}", 0.0, 900.0, low, high) for n, (low, high) in enumerate(openings, start=1)]
    return [found.text for found in slivers(face(TOP, 0.0, *holes), zone, laid, settings)]


def test_slivers_of_a_course(evened: Zone, settings: Settings) -> None:
    """Lines at -50, 100, 250 and so on; under 30 of a board are a sliver, half a millimetre is none."""
    line = 850.0  # -50 + 6 x 150
    for off, shown in ((0.5, 0), (0.6, 1), (29.4, 1), (29.5, 0), (149.6, 0)):
        assert len(told(LAID, evened, settings, (line + off, 2050.0))) == shown, off
        assert len(told(LAID, evened, settings, (line, 2050.0 - off))) == shown, off
    # no sliver under a door's foot, nor over a head in the top course, which begins at -50 + 16 x 150 = 2350
    assert told(LAID, evened, settings, (FOOT + 0.5, 2050.0)) == []
    assert told(replace(LAID, cover_mm=140.0), evened, settings, (90.0, FOOT + 140 * 16 + 120)) == []
    assert len(told(replace(LAID, cover_mm=140.0), evened, settings, (90.0, FOOT + 140 * 15 + 120))) == 1
    assert len(told(LAID, evened, with_values(settings, course_sliver_mm=0.9), (line + 0.6, 2050.0))) == 0


def test_what_is_said_of_slivers(evened: Zone, settings: Settings) -> None:
    """Two sills at 870 show 20, a head at 2180 leaves 20 under the line at 2200. All boards 130 lower bring the line of
    course 7 to the sill, 20 lower that of course 15 to the head; evened ones stretch, or take a cover of 2230 / 15."""
    holes = (Hole("W1", 0.0, 900.0, 870.0, 2050.0), Hole("W2", 2000.0, 2900.0, 870.0, 2180.0))
    of = face(TOP, 0.0, *holes)

    def finding(strip: str, advice: str, apart: str = "150.0") -> Finding:
        text = f"Wall 1: 20 mm of a board show {strip} mm over the floor; course lines are {apart} mm apart."
        return Finding("sliver-of-a-course", Severity.NOTE, text, advice, ("wall 1",))

    plain = replace(evened, evened=False)
    moved = "Move the line of the opening by 20 mm, or all boards, lower: `settings: {floor_lap_mm: %d}`."
    assert slivers(of, plain, LAID, settings) == (
        finding("under the sill of W1, W2 at 870", moved % 180),
        finding("over the head of W2 at 2180", moved % 70),
    )
    off = with_values(settings, course_to_heads=False)
    assert slivers(of, evened, replace(LAID, evened=True), off) == (
        finding("under the sill of W1, W2 at 870", "Move the line of the opening by 20 mm."),
        finding("over the head of W2 at 2180", "Move the line of the opening by 20 mm."),
    )
    offer = (
        "A cover of {:.1f} mm puts a line there, in {} courses; or move the line of the opening. For that cover, in the zone: "
        "`board: {{width_mm: 187, cover_mm: {:.4f}, kind: bevel_back}}` and in the zone: `even_coursing: false`."
    )
    # 920 / 6 = 153.333: ceil(2213 / 153.333) + 1 = 16; 2230 / 15 = 148.667: 16
    assert slivers(of, evened, replace(LAID, evened=True), settings) == (
        finding("under the sill of W1, W2 at 870", offer.format(153.333, 16, 920 / 6)),
        finding("over the head of W2 at 2180", offer.format(148.667, 16, 2230 / 15)),
    )
    # a sill 170 over the foot: neither one course nor two keep the lap
    low = face(TOP, 0.0, Hole("W1", 0.0, 900.0, 120.0, 2050.0))
    (only,) = slivers(low, evened, replace(LAID, evened=True), settings)
    assert only.advice == "Move the line of the opening by 20 mm."


def test_how_courses_were_found_in_words(evened: Zone, settings: Settings) -> None:
    of, where, rule = face(2450.0, 2900.0), "wall 1", "courses = ceil((height - board width) / cover) + 1"

    def terms(cover: float, *more: Term) -> tuple[Term, ...]:
        return (
            Term("height of the cladding", 2950.0, "mm", None, where),
            Term("height to the frame or soffit line", 2500.0, "mm", None, where),
            evened.term("width_mm"), evened.term("cover_mm"), evened.term("least_lap_mm"),
            Term("cover as set out", cover, "mm", None, where), *more,
        )  # fmt: skip

    even = "; cover as set out = (height to the frame or soffit line - board width) / (courses to there - 1)"
    ripped = "; whole boards from the foot, the top one ripped"
    rows = [
        (SetOut(147.53345, 16, 75.0, True), rule + even, terms(147.533)),
        (SetOut(155.0, 16, 75.0, False), rule + ripped, terms(155.0)),
        (SetOut(155.0, 16, 0.0, False), rule, terms(155.0)),
    ]
    for laid, said, given in rows:
        assert working_of(of, evened, laid, settings) == Working(said, given)
    head = (
        "; cover as set out = (head + floor lap) / 14, so that a course line stands on the commonest head; the mould under"
        " the soffit closes what is left over the top board"
    )
    more = (
        Term("commonest head over the floor", 2100.0, "mm", None, where),
        settings.term("course_to_heads"),
        settings.term("course_top_gap_mm"),
    )
    met = SetOut(2150 / 14, 16, 0.0, True, 2100.0)
    assert working_of(of, evened, met, settings) == Working(rule + head, terms(153.571, *more))


def test_boards_that_could_not_be_evened(evened: Zone, settings: Settings) -> None:
    """300 of wall in two boards would lap 74; with 187 + 127 = 314 they lap 60: 14 more of floor lap."""
    of = face(250.0)
    laid = set_out(of, evened, settings)
    assert not_evened(of, evened, laid, settings) == (
        Finding(
            "coursing-not-evened", Severity.NOTE,
            "Wall 1: even courses would lap more than 60 mm; boards keep their cover of 155 mm and the top one is ripped to"
            " 145 mm.",
            "Where a ripped board is not wanted, frame the wall higher or lap the floor further:"
            " `settings: {floor_lap_mm: 64}`.",
            ("wall 1",),
        ),
    )  # fmt: skip
    for other in (replace(laid, evened=True), replace(laid, top_mm=0.0)):
        assert not_evened(of, evened, other, settings) == ()
    assert not_evened(of, replace(evened, evened=False), laid, settings) == ()
    # 313.5 is near enough to need nothing more than half a millimetre: 0, 313.4 one
    for frame, lap in ((313.5, 50), (313.4, 51)):
        (note,) = not_evened(face(frame + FOOT), evened, laid, settings)
        assert f"floor_lap_mm: {lap}}}" in note.advice


def test_courses_as_laid(evened: Zone, settings: Settings) -> None:
    """Three courses of 155 and 187 up to 420, the top one ripped to 110; a door from 1000 to 1900 of 2000 leaves strips of
    100 that are no boards, and stands 80 up in the second course, which it notches."""
    own = with_values(settings, board_short_mm=150)
    door = Hole("D1", 1000.0, 1900.0, FOOT, FOOT + 235.0)
    of = replace(face(FOOT + 420.0, 0.0, door), right=2000.0, top=((0.0, FOOT + 420.0), (2000.0, FOOT + 420.0)))
    laid = lay_courses(of, replace(evened, evened=False), own)
    shown = [(p.id, p.row, p.length_mm, p.ripped_mm, p.notched, p.past_mm, p.rakes_deg) for p in laid.pieces]
    assert shown == [
        ("B1.01", 1, 1000.0, 0.0, False, 0.0, (0.0, 0.0)), ("B1.02", 2, 2000.0, 0.0, True, 0.0, (0.0, 0.0)),
        ("B1.03", 3, 2000.0, 110.0, False, 0.0, (0.0, 0.0)),
    ]  # fmt: skip
    assert (laid.marks_mm, laid.courses, laid.cover_mm, laid.board_width_mm) == (
        (FOOT, FOOT + 155.0, FOOT + 310.0),
        3,
        155.0,
        187,
    )
    assert (laid.gross_mm2, laid.net_mm2) == (2000.0 * 420, 2000.0 * 420 - 900 * 235)
    assert [finding.code for finding in laid.findings] == ["strip-without-boards"]
    assert (laid.direction, laid.board, laid.zone, laid.wall) == ("horizontal", "bevel_187", "zone 1", 1)


def test_boards_that_an_opening_notches() -> None:
    """More than half a millimetre of it each way."""
    of = face(TOP, 0.0, Hole("W1", 1000.0, 2000.0, 900.0, 2100.0))
    rows = [
        ((0.0, 1000.6, 850.0, 900.6), True), ((0.0, 1000.5, 850.0, 900.6), False), ((0.0, 1000.6, 850.0, 900.5), False),
        ((1999.4, 3000.0, 2099.4, 2200.0), True), ((1999.5, 3000.0, 2099.4, 2200.0), False), ((1999.4, 3000.0, 2099.5, 2200.0), False),
        ((1200.0, 1300.0, 1000.0, 1100.0), True),
    ]  # fmt: skip
    for box, cut in rows:
        assert notched(of, *box) is cut, box
