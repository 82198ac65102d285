"""Clear sheets as they are cut and refused: whole records, by hand. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_clear_sheets import BOUGHT_RAKED, BOUGHT_SQUARE, LAP, PART_RULE, RIPPED, box, cut, laying, slabs
from sheets_by_hand import piece, sheets

from takeoff.basics.errors import Fault
from takeoff.measure.roofing.sheets import rooflights
from takeoff.measure.roofing.sheets.rooflights import ClearSpan, clear_spans, with_clear
from takeoff.model.basis import Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RooflightSheetJob
from takeoff.model.roof import Frame, RoofEdge, RoofPlane
from takeoff.model.sheets import CutShape


def test_a_square_part() -> None:
    """1203 and 20 turned down are 1223, bought as 1225; its corners are 40 from the left of the uncut sheet."""
    sheet, cover = box(100.0, 1000.0, 950.0, 2203.0), box(100.0, 1000.0, 900.0, 1953.0)
    slanting = replace(RIPPED, outline_uv=((100.0, 1000.0), (950.0, 1000.0), (950.0, 3203.0), (130.0, 3203.0)))
    found = rooflights._part(slanting, slabs(sheet), slabs(cover), 20.0, laying())
    terms = (Term("reach", 1203.0, "mm", ref="P1.01"), *BOUGHT_SQUARE, Term("bought alone", 1225.0, "mm", ref="P1.01"))
    assert found == replace(
        RIPPED, outline_uv=found.outline_uv, cover_uv=found.cover_uv, reach_mm=1203.0, order_mm=1225.0, left_mm=1203.0,
        right_mm=1203.0, foot_v_mm=1000.0, foot_turn_mm=20.0, working=Working(PART_RULE, terms),
        foot=cut((40.0, 0.0), (890.0, 0.0)), top=cut((40.0, 1203.0), (890.0, 1203.0)),
        corners_mm=tuple((u - 60.0, v - 1000.0) for u, v in found.outline_uv), long_point_mm=(0.0, 0.0),
    )  # fmt: skip
    assert (set(found.outline_uv), [set(ring) for ring in found.cover_uv]) == (set(sheet), [set(cover)])


def test_a_part_under_a_rake() -> None:
    """Its right side goes 400 further up: reach 1600.5 and 50 are 1650.5, bought as 1660."""
    sheet = ((100.0, 1000.0), (950.0, 1000.0), (950.0, 2600.5), (100.0, 2200.5))
    found = rooflights._part(RIPPED, slabs(sheet), slabs(sheet), 0.0, laying())
    rake = degrees(atan(400.0 / 850.0))
    assert (found.reach_mm, found.order_mm, found.left_mm, found.right_mm) == (1600.5, 1660.0, 1200.5, 1600.5)
    assert found.foot == cut((40.0, 0.0), (890.0, 0.0))
    assert found.top == cut(
        (40.0, 1200.5), (890.0, 1600.5), shape=CutShape.RAKED, rake=pytest.approx(rake), hand="right"
    )
    assert found.long_point_mm == (890.0, 1600.5)
    terms = (Term("reach", 1600.5, "mm", ref="P1.01"), *BOUGHT_RAKED, Term("bought alone", 1660.0, "mm", ref="P1.01"))
    assert found.working == Working(PART_RULE, terms)


# an eave that runs 3 east and 4 north, 5000 long; along it u counts from 500 before its foot, and v from 100 below it
SLANTED = Frame((700.0 + 80.0, 1600.0 - 60.0, 30.0), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0), (0.0, 0.0, 1.0))


def slanted(*edges: RoofEdge) -> Any:
    outline = ((1000.0, 2000.0), (4000.0, 6000.0), (0.0, 9000.0), (-3000.0, 5000.0))
    plane = RoofPlane("P1", "main", SLANTED, ((),), (7,), 1, 20.0, 0.0, 1.0, 1.0)
    return SimpleNamespace(
        name="main", outline_mm=(outline,), edge_numbers=((7, 8, 9, 10),), planes=(plane,), edges=edges
    )


def eave(faces: tuple[str, ...], start: float, end: float, numbers: tuple[int, ...] = (7,)) -> RoofEdge:
    """An eave along the slanting side, from so far along it to so far, 40 below 0."""
    a, b = ((1000.0 + 0.6 * at, 2000.0 + 0.8 * at, -40.0) for at in (start, end))
    return RoofEdge("E", "main", EdgeKind.EAVE, "N1", "N2", a, b, faces, 0.0, 0.0, 0.0, 180.0, True, numbers)


def light(left: float, edge: int = 7, **more: Any) -> RooflightSheetJob:
    return RooflightSheetJob.model_validate({"edge": edge, "from_left_mm": left} | more)


def test_a_place_along_a_slanting_eave() -> None:
    """2000 along the side is 2500 of u, 100 of v; the eave of a plane that is none of the roof's is passed over."""
    roof = slanted(eave(("P9",), 0.0, 5000.0), eave(("P9", "P1"), 1000.0, 4000.0, (6, 7)))
    spans, faults = clear_spans(roof, [light(2000.0, up_mm=300.0, length_mm=1200.0)], 800.0)
    assert faults == ()
    assert spans == (ClearSpan("roof main: rooflight sheet 1", "P1", *map(pytest.approx, (2500.0, 400.0, 1600.0))),)
    on = {along: clear_spans(roof, [light(along)], 800.0)[1] == () for along in (998.9, 999.1, 2000.0, 4000.9, 4001.1)}
    assert on == {998.9: False, 999.1: True, 2000.0: True, 4000.9: True, 4001.1: False}
    # an eave that is drawn from its right end to its left is the same
    turned = slanted(eave(("P1",), 4000.0, 1000.0))
    assert clear_spans(turned, [light(1500.0)], 800.0)[0][0].u_mm == pytest.approx(2000.0)


def test_a_place_on_a_plane_that_slopes() -> None:
    """3 on the plan and 4 up: what lies 40 under the plane's foot and 60 out of it lies 36 and 32 down its slope."""
    sloping = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.6, 0.8), (0.0, -0.8, 0.6))
    ends = (1000.0, -60.0, -40.0), (6000.0, -60.0, -40.0)
    edge = RoofEdge("E", "main", EdgeKind.EAVE, "N1", "N2", *ends, ("P1",), 0.0, 0.0, 0.0, 180.0, True, (7,))
    plane = RoofPlane("P1", "main", sloping, ((),), (7,), 1, 20.0, 0.0, 1.0, 1.0)
    outline = ((0.0, -60.0), (8000.0, -60.0), (8000.0, 5000.0), (0.0, 5000.0))
    roof: Any = SimpleNamespace(
        name="main", outline_mm=(outline,), edge_numbers=((7, 8, 9, 10),), planes=(plane,), edges=(edge,)
    )
    (found,), _ = clear_spans(roof, [light(2000.0, length_mm=500.0)], 800.0)
    assert (found.u_mm, found.high_mm) == (2000.0, pytest.approx(432.0))
    # the eave goes from 1000 to 6000: a millimetre before and after it is on it
    on = [bool(clear_spans(roof, [light(along)], 800.0)[0]) for along in (998.0, 999.0, 6001.0, 6002.0)]
    assert on == [False, True, True, False]


def test_where_a_fault_of_a_clear_sheet_stands() -> None:
    roof = slanted(eave(("P1",), 0.0, 5000.0))
    _, faults = clear_spans(roof, [light(100.0), light(10.0, edge=6), light(4900.0, strips=2)], 800.0)
    assert [(str(fault), fault.path) for fault in faults if isinstance(fault, Fault)] == [
        ("roof main: rooflight sheet 2: nothing is left of edge 6 in the outline", ("roofs", "main", "rooflight_sheets", 1)),
        ("roof main: rooflight sheet 3: 5700 mm along edge 7 (5000 mm long) there is no eave", ("roofs", "main", "rooflight_sheets", 2)),
    ]  # fmt: skip


def at(u: float, low: float | None = None, high: float | None = None, plane: str = "P1") -> ClearSpan:
    return ClearSpan("roof main: rooflight sheet 1", plane, u, low, high)


PLANE: Any = SimpleNamespace(id="P1", roof="main")


@pytest.mark.parametrize(
    ("low", "high", "mark"),
    [
        (-1.0, 1500.0, "P1.01"),
        (-1.1, 1500.0, ""),
        (100.0, 2001.0, "P1.01"),
        (100.0, 2001.1, ""),
        (1999.0, 4000.0, "P1.02"),
        (700.0, 700.0, ""),
        (800.0, 700.0, ""),
    ],
)
def test_a_span_may_go_past_its_sheet_by_a_millimetre(low: float, high: float, mark: str) -> None:
    own = [piece("P1.02", 0.0, 2000.0, 4000.0), piece("P1.01", 0.0, 0.0, 2000.0)]
    found = rooflights._piece_at(own, at(1.0, low, high))
    assert (found.mark if found else "") == mark


def test_what_stands_against_a_clear_sheet() -> None:
    low, high = piece("P1.01a", 0.0, 0.0, 2000.0), piece("P1.01b", 0.0, 2000.0, 4000.0, part=1)
    clear = piece("P1.02", 800.0, 0.0, 4000.0, strip=2, clear=True)
    three = piece("P1.03", 1600.0, 0.0, 400.0, strip=3)
    given = sheets(low, high, clear, three)

    def problem(*span: Any) -> str:
        kept, text = rooflights._replaced(given, PLANE, at(*span), [], laying())
        assert kept is given.pieces
        return text

    assert problem(2400.0) == problem(-0.1) == "no sheet of P1 lies there"
    assert problem(800.0) == problem(800.0, 100.0, 3000.0) == "P1.02 is a clear sheet already"
    assert problem(100.0, 1000.0, 3000.0) == "strip 1 of P1 has no single sheet all the way there"
    assert problem(1700.0, None, 390.0) == "a clear sheet of 400 mm on P1.03 is no longer than its laps"


def test_a_whole_strip_and_a_part_of_one() -> None:
    low, high = piece("P1.01a", 0.0, 0.0, 2000.0), piece("P1.01b", 0.0, 2000.0, 4000.0, part=1)
    beside = piece("P1.02", 800.0, 0.0, 4000.0, strip=2, corners_mm=((0.0, 0.0),))
    found, problem = rooflights._replaced(sheets(low, beside, high), PLANE, at(799.9), [], laying())
    assert problem == ""
    made = [replace(one, clear=True, profile="wavy_clear") for one in (low, high)]
    assert found == (made[0], beside, replace(made[1], part=1))
    found, problem = rooflights._replaced(sheets(low, beside, high), PLANE, at(800.0, None, 3000.0), [], laying())
    assert (problem, [(one.mark, one.part, one.clear) for one in found]) == (
        "",
        [("P1.01a", 0, False), ("P1.02a", 0, True), ("P1.02b", 1, False), ("P1.01b", 1, False)],
    )


def test_the_three_parts_of_a_sheet() -> None:
    """From 700 up on, turned down 20 at its foot: a row at 1500 has the lower lap from 1375 to 1625, one at 3000 the upper
    from 2875 to 3125. Reaches are 925 + 20, 1750 and 1625; each is bought by 5."""
    whole = piece("P1.01", 100.0, 700.0, 4500.0, foot_turn_mm=20.0, lap_mm=150.0)
    whole = replace(whole, corners_mm=((0.0, 0.0),), foot=cut((9.0, 9.0)), top=cut((8.0, 8.0)))
    parts, problem = rooflights._parts(whole, PLANE, at(1.0, 1300.0, 3200.0), [1500.0, 3000.0], laying())
    assert problem == ""
    rows = [
        (one.foot_v_mm, one.reach_mm, one.order_mm, one.foot_turn_mm, one.lap_mm, one.clear, one.profile)
        for one in parts
    ]
    assert rows == [
        (700.0, 925.0, 945.0, 20.0, 250.0, False, "wavy"),
        (1375.0, 1750.0, 1750.0, 0.0, 250.0, True, "wavy_clear"),
        (2875.0, 1625.0, 1625.0, 0.0, 150.0, False, "wavy"),
    ]
    ends = [(one.foot.points_mm, one.top.points_mm) for one in parts]
    assert ends == [
        (((9.0, 9.0),), ((0.0, 925.0), (850.0, 925.0))),
        (((0.0, 0.0), (850.0, 0.0)), ((0.0, 1750.0), (850.0, 1750.0))),
        (((0.0, 0.0), (850.0, 0.0)), ((8.0, 8.0),)),
    ]
    covers = [sorted({v for ring in one.cover_uv for _, v in ring}) for one in parts]
    assert covers == [[700.0, 1375.0], [1375.0, 2875.0], [2875.0, 4500.0]]
    terms = (
        Term("reach", 1750.0, "mm", ref="P1.01"),
        *BOUGHT_SQUARE,
        Term("bought alone", 1750.0, "mm", ref="P1.01"),
        LAP,
    )
    assert parts[1].working == Working(PART_RULE, terms)


@pytest.mark.parametrize(
    ("low", "high", "feet"),
    [
        # metal of less than a lap of 250 at an end is none: from 950 on, and up to 4250
        (949.0, 3200.0, [700.0, 2875.0]),
        (950.0, 3200.0, [700.0, 950.0, 2875.0]),
        (1300.0, 4251.0, [700.0, 1375.0]),
        (1300.0, 4250.0, [700.0, 1375.0, 4000.0]),
    ],
)
def test_metal_shorter_than_a_lap_is_left_out(low: float, high: float, feet: list[float]) -> None:
    """Beside the rows at 1075 and 4125, whose laps would begin at 950 and end at 4250."""
    whole = piece("P1.01", 100.0, 700.0, 4500.0, corners_mm=((0.0, 0.0),))
    rows = [1075.0, 4125.0] if low == 950.0 or high == 4250.0 else []
    rows += [] if low == 950.0 else [1500.0]
    rows += [] if high == 4250.0 else [3000.0]
    parts, problem = rooflights._parts(whole, PLANE, at(1.0, low, high), sorted(rows), laying())
    assert problem == ""
    assert [one.foot_v_mm for one in parts] == feet


def test_rows_that_would_leave_too_little_metal() -> None:
    """From 700 to 4500: a clear foot below 950 or a clear head over 4250 would leave less than a lap of metal, so that the
    next row is taken; a row over either limit by a millimetre is not."""
    whole = piece("P1.01", 100.0, 700.0, 4500.0, corners_mm=((0.0, 0.0),))

    def feet(*rows: float) -> list[float]:
        parts, problem = rooflights._parts(whole, PLANE, at(1.0, 960.0, 4240.0), rows, laying())
        assert problem == ""
        return [one.foot_v_mm for one in parts]

    assert feet(1075.0, 1400.0, 3700.0, 4125.0) == [700.0, 950.0, 4000.0]
    assert feet(1074.0, 1400.0, 3700.0, 4126.0) == [700.0, 1275.0, 3575.0]


def test_pieces_of_a_strip_that_a_span_misses() -> None:
    """The upper piece of a strip covers its left half only."""
    low = piece("P1.01a", 0.0, 0.0, 2000.0)
    high = replace(piece("P1.01b", 0.0, 2000.0, 4000.0, part=1), cover_uv=(box(0.0, 2000.0, 400.0, 4000.0),))
    found, problem = rooflights._replaced(sheets(low, high), PLANE, at(600.0), [], laying())
    assert (problem, [one.clear for one in found]) == ("", [True, False])


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (400.0, 3100.0, ""),
        (399.0, 3100.0, "P1.01 is cut on the rake there: its sides are whole from 300 to 3000 mm above its foot"),
        (400.0, 3101.0, "P1.01 is cut on the rake there: its sides are whole from 300 to 3000 mm above its foot"),
        (None, None, ""),
        (400.0, 900.0, "a clear sheet of 500 mm on P1.01 is no longer than its laps"),
        (400.0, 901.0, ""),
    ],
)
def test_parts_of_a_sheet_that_is_raked_at_both_ends(low: float | None, high: float | None, text: str) -> None:
    """From 100 to 3600, raked up to 400 at its foot and from 3100 on at its head; no row is near."""
    outline = ((100.0, 400.0), (950.0, 100.0), (950.0, 3100.0), (100.0, 3600.0))
    raked = replace(piece("P1.01", 100.0, 100.0, 3600.0, corners_mm=((0.0, 300.0),)), outline_uv=outline)
    parts, problem = rooflights._parts(raked, PLANE, at(1.0, low, high), [], laying())
    assert problem == text
    assert (parts == ()) == bool(text)


def test_clear_sheets_of_a_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its own spans only; a span that cannot be is told, with the others made; pitch and laps are looked at again where a
    sheet is parted, by the longest part."""
    asked: list[Any] = []
    known, new = Finding("a", Severity.NOTE, "known"), Finding("b", Severity.NOTE, "new")

    def pitch(*given: Any) -> list[Finding]:
        asked.append(given)
        return [known, new]

    monkeypatch.setattr(rooflights, "pitch_findings", pitch)
    plain = [piece(f"P1.0{n}", 800.0 * (n - 1), 300.0, 4000.0, strip=n, corners_mm=((0.0, 0.0),)) for n in (1, 2, 3)]
    given = replace(sheets(*plain), findings=(known,))
    own = laying()
    own.settings.basis = None
    spans = [at(0.0, plane="P2"), at(900.0), at(5000.0), at(1700.0)]
    found, faults = with_clear(given, PLANE, spans, [], own)
    assert [(str(fault), fault.path) for fault in faults if isinstance(fault, Fault)] == [
        ("roof main: rooflight sheet 1: no sheet of P1 lies there", ("roofs", "main", "rooflight_sheets"))
    ]
    told = Finding(
        "clear-sheet", Severity.WARN, "2 clear sheets on P1: translucent sheet is not to be walked on.",
        "Mesh under them, and a plan for whoever works above.", ("P1", "P1.02", "P1.03"),
        source=found.findings[1].source,
    )  # fmt: skip
    clear = [replace(one, clear=True, profile="wavy_clear") for one in plain[1:]]
    assert (found, asked) == (replace(given, pieces=(plain[0], *clear), findings=(known, told)), [])
    assert "13.6" in told.source

    parted, faults = with_clear(given, PLANE, [at(900.0, 600.0, 2600.0), at(1700.0)], [], own)
    assert faults == ()
    assert [(one.mark, one.clear) for one in parted.pieces] == [
        ("P1.01", False), ("P1.02a", False), ("P1.02b", True), ("P1.02c", False), ("P1.03", True),
    ]  # fmt: skip
    assert asked == [(PLANE, "a profile", 3700.0, True, own.site, own.settings)]
    assert [one.text for one in parted.findings[2:]] == ["new"]
    assert with_clear(given, PLANE, [at(0.0, plane="P2")], [], own) == (given, ())


def test_a_lap_of_a_plane_that_cannot_be_made() -> None:
    low, high = piece("P1.01a", 0.0, 0.0, 2150.0, lap_mm=150.0), piece("P1.01b", 0.0, 2000.0, 4000.0, part=1)
    given = sheets(*(replace(one, corners_mm=((0.0, 0.0),)) for one in (low, high)))
    found, faults = with_clear(given, PLANE, [at(0.0)], [], laying(2200.0))
    text = "roof main: clear sheets: P1.01a lapped 250 mm is 2250 mm, longer than the 2200 of the site"
    assert [(str(fault), fault.path) for fault in faults if isinstance(fault, Fault)] == [
        (text, ("roofs", "main", "rooflight_sheets"))
    ]
    assert [one.lap_mm for one in found.pieces] == [150.0, 0.0]
    longer, faults = with_clear(given, PLANE, [at(0.0)], [], laying(2250.0))
    assert faults == ()
    assert [one.lap_mm for one in longer.pieces] == [250.0, 0.0]
