"""Strips of papers by hand [mm].

A line of 9 point letters is 9 x 1.2 / 72 x 25.4 = 3.81 mm, of 11 point 4.656667 mm, of 15 point 6.35 mm.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.write.drawings.drawing import Drawing
from takeoff.write.letters.pdf_letters import width
from takeoff.write.papers.blocks import (
    BODY,
    HEAD,
    Bar,
    Beside,
    Block,
    Column,
    Gap,
    Kind,
    Picture,
    Row,
    Table,
    Words,
)
from takeoff.write.papers.paper_strips import (
    Figure,
    Ink,
    Mark,
    Patch,
    Rule,
    Strip,
    column_widths,
    high_mm,
    line_mm,
    moved,
    strips_of,
)

LINE, HIGH_LINE = 9.0 * 1.2 * 25.4 / 72.0, 11.0 * 1.2 * 25.4 / 72.0
DRAWING = Drawing("d", "D", 50, (200.0, 100.0), (0.0, 0.0), ())
POINT = 72.0 / 25.4


def figures(mark: Mark) -> list[object]:
    """A mark as figures and words that can be held against others."""
    match mark:
        case Ink(x, y, text, size, bold, right):
            return ["ink", x, y, text, size, bold, right]
        case Rule((ax, ay), (bx, by), thick, grey):
            return ["rule", ax, ay, bx, by, thick, grey]
        case Patch((left, top, wide, high), grey):
            return ["patch", left, top, wide, high, grey]
        case Figure(drawing, x, y, high, at):
            return ["figure", drawing.name, x, y, high, at.size, at.shown]


def same(found: Strip, wanted: Strip) -> None:
    assert found.high_mm == pytest.approx(wanted.high_mm)
    assert found.keep is wanted.keep
    assert len(found.marks) == len(wanted.marks)
    for one, other in zip(found.marks, wanted.marks, strict=True):
        a, b = figures(one), figures(other)
        assert [x for x in a if not isinstance(x, float)] == [x for x in b if not isinstance(x, float)]
        assert [x for x in a if isinstance(x, float)] == pytest.approx([x for x in b if isinstance(x, float)])


def all_same(found: list[Strip], *wanted: Strip) -> None:
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        same(one, other)


def test_lines_of_letters() -> None:
    assert (line_mm(9.0), line_mm(11.0), line_mm(15.0)) == pytest.approx((3.81, 4.6566667, 6.35))


def test_words_are_broken_to_their_room_and_stay_together() -> None:
    room = width("one two", BODY) / POINT
    all_same(
        strips_of(Words("one two three"), room),
        Strip(LINE, (Ink(0.0, 0.8 * LINE, "one two", 9.0),), keep=True),
        Strip(LINE + 1.0, (Ink(0.0, 0.8 * LINE, "three", 9.0),)),
    )
    all_same(
        strips_of(Words("one", HEAD, True, True, 2.5), room),
        Strip(HIGH_LINE + 2.5, (Ink(0.0, 0.8 * HIGH_LINE, "one", 11.0, True),), keep=True),
    )
    assert high_mm([Words("one"), Gap(), Gap(3.0)], room) == pytest.approx(LINE + 1.0 + 2.0 + 3.0)


def test_a_bar_is_grey_under_a_line_and_a_strong_one_is_framed() -> None:
    high = HIGH_LINE + 1.6
    all_same(
        strips_of(Bar("Sheets"), 100.0),
        Strip(
            high + 1.2,
            (
                Patch((0.0, 0.0, 100.0, high), 0.88),
                Rule((0.0, 0.0), (100.0, 0.0), 0.5, 0.0),
                Ink(1.2, 0.7 + 0.8 * HIGH_LINE, "Sheets", 11.0, True),
            ),
            keep=True,
        ),
    )
    room = width("ON HOLD", HEAD, True) / POINT + 2.4  # two lines, with 1.2 mm at either side
    high = 2.0 * HIGH_LINE + 1.6
    all_same(
        strips_of(Bar("ON HOLD now", strong=True), room),
        Strip(
            high + 1.2,
            (
                Rule((0.0, 0.0), (room, 0.0), 0.7, 0.0),
                Rule((room, 0.0), (room, high), 0.7, 0.0),
                Rule((room, high), (0.0, high), 0.7, 0.0),
                Rule((0.0, high), (0.0, 0.0), 0.7, 0.0),
                Ink(1.2, 0.7 + 0.8 * HIGH_LINE, "ON HOLD", 11.0, True),
                Ink(1.2, 0.7 + 1.8 * HIGH_LINE, "now", 11.0, True),
            ),
            keep=True,
        ),
    )


@pytest.mark.parametrize(
    ("most", "size", "left", "high"),
    [(40.0, 0.8, 50.0, 40.0), (60.0, 1.0, 40.0, 50.0)],
)
def test_a_picture_is_as_high_as_it_may_be_and_never_larger_than_drawn(
    most: float, size: float, left: float, high: float
) -> None:
    """What is shown is 5000 x 2500 mm, 100 x 50 on paper, in a width of 180 or 60 mm."""
    shown = (100.0, 200.0, 5100.0, 2700.0)
    (strip,) = strips_of(Picture(DRAWING, shown, most), 180.0)
    (figure,) = strip.marks
    assert isinstance(figure, Figure)
    assert (figure.x_mm, figure.y_mm, figure.high_mm) == pytest.approx((left, 0.0, high))
    assert (figure.at.size, figure.at.shown, figure.at.left_mm, figure.at.foot_mm) == (
        pytest.approx(size),
        shown,
        0.0,
        0.0,
    )
    assert (strip.high_mm, strip.keep) == (pytest.approx(high + 1.5), True)
    (narrow,) = strips_of(Picture(DRAWING, shown, most), 60.0)
    assert narrow.high_mm == pytest.approx(30.0 + 1.5)


def test_blocks_beside_each_other_share_the_width_with_four_mm_between() -> None:
    """104 mm: 100 to share, 1 to 3: the second begins at 25 + 4."""
    column: tuple[Block, ...] = (Gap(5.0), Words("a"))
    strip = strips_of(Beside((column, (Words("b"), Bar("c"))), (1.0, 3.0)), 104.0)[0]
    assert strip.high_mm == pytest.approx(LINE + 1.0 + HIGH_LINE + 1.6 + 1.2)
    assert not strip.keep
    assert [figures(mark)[:3] for mark in strip.marks if isinstance(mark, Ink)] == [
        ["ink", 0.0, pytest.approx(5.0 + 0.8 * LINE)],
        ["ink", 29.0, pytest.approx(0.8 * LINE)],
        ["ink", pytest.approx(30.2), pytest.approx(LINE + 1.0 + 0.7 + 0.8 * HIGH_LINE)],
    ]
    (patch,) = (mark for mark in strip.marks if isinstance(mark, Patch))
    assert patch.box == pytest.approx((29.0, LINE + 1.0, 75.0, HIGH_LINE + 1.6))
    three = strips_of(Beside(((Words("a"),), (Words("b"),), (Words("c"),))), 98.0)[0]
    assert [mark.x_mm for mark in three.marks if isinstance(mark, Ink)] == [0.0, 34.0, 68.0]


def test_marks_are_moved_right_and_down() -> None:
    for mark, wanted in (
        (Ink(1.0, 2.0, "a", 9.0, True, True), Ink(11.0, 22.0, "a", 9.0, True, True)),
        (Rule((1.0, 2.0), (3.0, 4.0), 0.4, 0.5), Rule((11.0, 22.0), (13.0, 24.0), 0.4, 0.5)),
        (Patch((1.0, 2.0, 3.0, 4.0), 0.5), Patch((11.0, 22.0, 3.0, 4.0), 0.5)),
    ):
        assert moved(mark, 10.0, 20.0) == wanted
    (figure,) = strips_of(Picture(DRAWING, (0.0, 0.0, 50.0, 50.0), 1.0), 1.0)[0].marks
    assert isinstance(figure, Figure)
    assert moved(figure, 10.0, 20.0) == replace(figure, x_mm=figure.x_mm + 10.0, y_mm=figure.y_mm + 20.0)


COLUMNS = (Column("item", bold=True), Column("what", share=1.0, least_mm=30.0), Column("kg", right=True, boxed=True))
ROWS = (
    Row(("G",), Kind.GROUP), Row(("a", "one", "1")), Row(("bb", "two", "22")), Row(("c", "three", "3"), high_mm=9.0), Row(("d", "", "")),
    Row(("", "all", "26"), Kind.TOTAL), Row(("e", "five", "5")), Row(("n", "", ""), Kind.NOTE),
)  # fmt: skip


def test_widths_of_columns_are_what_stands_in_them_and_shares_of_what_is_left() -> None:
    """The widest word of a column, headings and totals bold, and 1.2 mm at either side."""
    item, kg = width("item", BODY, True) / POINT + 2.4, width("26", BODY, True) / POINT + 2.4
    assert column_widths(Table(COLUMNS, ROWS), 100.0) == pytest.approx([item, 100.0 - item - kg, kg])
    assert column_widths(Table(COLUMNS, ROWS), 40.0) == pytest.approx([item, 30.0, kg])
    shared = (Column("a", share=1.0), Column("b", share=3.0), Column("", least_mm=20.0))
    assert column_widths(Table(shared, ()), 100.0) == pytest.approx([20.0, 60.0, 20.0])
    assert column_widths(Table((Column("long head"),), (Row(("x",)),)), 100.0) == pytest.approx(
        [width("head", BODY, True) / POINT + 2.4]
    )
    bold = (Row(("wide",)),)
    assert column_widths(Table((Column("", bold=True),), bold), 100.0) == pytest.approx(
        [width("wide", BODY, True) / POINT + 2.4]
    )
    assert column_widths(Table((Column(""),), bold), 100.0) == pytest.approx([width("wide", BODY) / POINT + 2.4])


def test_rows_of_a_table_by_hand() -> None:
    a, b, _ = column_widths(Table(COLUMNS, ROWS), 100.0)
    head, group, first, second, third, empty, total, last, note = strips_of(Table(COLUMNS, ROWS), 100.0)
    high = LINE + 1.1
    base = 0.55 + 0.8 * LINE

    def boxes(tall: float) -> tuple[Rule, Rule]:
        return Rule((a + b, 0.0), (a + b, tall), 0.15, 0.3), Rule((100.0, 0.0), (100.0, tall), 0.15, 0.3)

    same(head, Strip(high, (
        Patch((0.0, 0.0, 100.0, high), 0.88), Rule((0.0, high), (100.0, high), 0.4, 0.0),
        Ink(1.2, base, "item", 9.0, True), Ink(a + 1.2, base, "what", 9.0, True), Ink(100.0 - 1.2, base, "kg", 9.0, True, True),
    ), keep=True))  # fmt: skip
    same(group, Strip(high, (Patch((0.0, 0.0, 100.0, high), 0.88), Ink(1.2, base, "G", 9.0, True)), keep=True))
    same(first, Strip(high, (
        Rule((0.0, high), (100.0, high)), *boxes(high),
        Ink(1.2, base, "a", 9.0, True), Ink(a + 1.2, base, "one", 9.0), Ink(100.0 - 1.2, base, "1", 9.0, False, True),
    )))  # fmt: skip
    assert third.high_mm == 9.0
    same(replace(third, marks=third.marks[:3]), Strip(9.0, (Rule((0.0, 9.0), (100.0, 9.0)), *boxes(9.0))))
    same(
        empty, Strip(high, (Rule((0.0, high), (100.0, high)), *boxes(high), Ink(1.2, base, "d", 9.0, True)), keep=True)
    )
    same(total, Strip(high, (
        Rule((0.0, 0.0), (100.0, 0.0), 0.4, 0.0),
        Ink(a + 1.2, base, "all", 9.0, True), Ink(100.0 - 1.2, base, "26", 9.0, True, True),
    ), keep=True))  # fmt: skip
    same(note, Strip(high, (Ink(1.2, base, "n", 9.0),)))
    # eight rows: the last four stay together, a row stays with a total after it, a group and a heading with what follows
    assert [strip.keep for strip in (head, group, first, second, third, empty, total, last, note)] == [
        True, True, False, False, False, True, True, True, False,
    ]  # fmt: skip
    assert head.heads == ()
    assert all(len(strip.heads) == 1 for strip in (group, first, note))
    same(first.heads[0], replace(head, keep=False))


def test_which_rows_stay_together() -> None:
    """The heading with the first row and that with the second; of the last four the first three with the next."""
    plain = Table((Column("a"),), tuple(Row((str(n),)) for n in range(7)))
    assert [strip.keep for strip in strips_of(plain, 50.0)] == [True, True, False, False, True, True, True, False]
    one = Table((Column("a"),), (Row(("x",)),))
    assert [strip.keep for strip in strips_of(one, 50.0)] == [True, False]
    summed = Table(
        (Column("a"),),
        (*(Row((str(n),)) for n in range(9)), *(Row(("", ""), Kind.TOTAL),) * 2, *(Row(("x",)) for _ in range(5))),
    )
    keeps = [strip.keep for strip in strips_of(summed, 50.0)][1:]
    assert keeps[8:11] == [True, True, False]


def test_a_table_without_headings_begins_with_a_line_and_a_plain_one_with_nothing() -> None:
    bare = strips_of(Table((Column("", least_mm=40.0), Column("")), (Row(("a", "b")),)), 50.0)
    wide = 40.0 + width("b", BODY) / POINT + 2.4
    same(bare[0], Strip(0.0, (Rule((0.0, 0.0), (wide, 0.0)),), keep=True))
    assert len(bare) == 2
    plain = strips_of(Table((Column("head", least_mm=40.0),), (Row(("a",)),), plain=True), 50.0)
    all_same(plain, Strip(LINE + 0.5, (Ink(1.2, 0.25 + 0.8 * LINE, "a", 9.0),)))
    (_, tight) = strips_of(Table((Column("head", least_mm=40.0),), (Row(("a",)),), tight=True), 50.0)
    assert tight.high_mm == pytest.approx(LINE + 0.5)


def test_a_heading_of_one_line_stands_at_the_foot_of_one_of_two() -> None:
    room = width("several", BODY, True) / POINT + 2.4
    table = Table((Column("x", least_mm=20.0), Column("several words", least_mm=room)), (Row(("a", "b")),))
    head = strips_of(table, 100.0)[0]
    high = 2.0 * LINE + 1.1
    assert head.high_mm == pytest.approx(high)
    assert [(mark.text, mark.y_mm) for mark in head.marks if isinstance(mark, Ink)] == [
        ("x", pytest.approx(high - LINE - 0.55 + 0.8 * LINE)),
        ("several", pytest.approx(0.55 + 0.8 * LINE)),
        ("words", pytest.approx(0.55 + 1.8 * LINE)),
    ]
    shared = (Column("x", least_mm=20.0), Column("", share=1.0))
    body = strips_of(Table(shared, (Row(("a", "several several")),)), 20.0 + room)[1]
    assert [(mark.text, mark.y_mm) for mark in body.marks if isinstance(mark, Ink)] == [
        ("a", pytest.approx(0.55 + 0.8 * LINE)),
        ("several", pytest.approx(0.55 + 0.8 * LINE)),
        ("several", pytest.approx(0.55 + 1.8 * LINE)),
    ]
    note = strips_of(
        Table((Column("", least_mm=room),), (Row(("several words",), Kind.NOTE), Row(("g",), Kind.GROUP, 12.0))), room
    )
    assert [mark.y_mm for mark in note[1].marks if isinstance(mark, Ink)] == pytest.approx(
        [0.55 + 0.8 * LINE, 0.55 + 1.8 * LINE]
    )
    assert (note[1].high_mm, note[2].high_mm) == (pytest.approx(high), 12.0)
