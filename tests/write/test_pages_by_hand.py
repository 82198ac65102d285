"""Pages of papers by hand [mm], a foot that is too long, and what an issue brings. A line of 9 point letters is
9 x 1.2 / 72 x 25.4 = 3.81 mm, of 15 point 6.35 mm."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.model.order import OrderLine, Takeoff
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.letters.pdf_letters import width
from takeoff.write.papers.blocks import SMALL, Bar, Block, Column, Gap, NewPage, Paper, Row, Sheet, Table
from takeoff.write.papers.pages import Page, pages_of, room_mm
from takeoff.write.papers.paper_strips import Ink
from takeoff.write.papers.print_pdf import _foot
from takeoff.write.papers.start_paper import _of_issue

LINE = 9.0 * 1.2 * 25.4 / 72.0
DRAWING = Drawing("d", "D", 50, (200.0, 100.0), (0.0, 0.0), ())
POINT = 72.0 / 25.4


def paper(*blocks: Block, title: str = "Order", banner: str = "") -> Paper:
    return Paper("order", title, "House, revision B", banner, blocks)


def tops(page: Page) -> list[float]:
    return [top for top, _ in page.strips]


def test_the_head_of_a_page_by_hand() -> None:
    """Title 6.35 + 0.5, job 3.81 + 1.5: 12.16 mm, and a banner of 4.6567 + 1.6 + 1.2 with 1 under it. A page of 297 mm
    has 10 over its head and 14 at its foot."""
    (page,) = pages_of(paper(Gap(5.0), banner="ON HOLD"))
    assert page.size_mm == (210.0, 297.0)
    assert tops(page) == pytest.approx([10.0, 16.85, 22.16, 29.6166667, 30.6166667])
    title, job, banner = (next(mark for mark in page.strips[n][1].marks if isinstance(mark, Ink)) for n in range(3))
    assert (title.text, title.size, title.bold, title.x_mm, title.y_mm) == (
        "Order",
        15.0,
        True,
        0.0,
        pytest.approx(5.08),
    )
    assert (job.text, job.size, job.bold, job.x_mm, job.y_mm) == (
        "House, revision B",
        9.0,
        False,
        0.0,
        pytest.approx(0.8 * LINE),
    )
    assert (banner.text, banner.bold) == ("ON HOLD", True)
    assert room_mm(paper()) == pytest.approx(297.0 - 24.0 - 12.16)
    assert room_mm(paper(banner="ON HOLD")) == pytest.approx(297.0 - 24.0 - 20.6166667)
    (placed, *_) = list(page.marks)
    assert isinstance(placed, Ink)
    assert (placed.x_mm, placed.y_mm) == (18.0, pytest.approx(15.08))


def test_a_long_title_is_smaller_down_to_the_size_of_heads() -> None:
    """180 mm are 510.2 points; a letter n more at each size."""
    each = width("n", 1.0, True)
    for letters, size in ((int(510.23 / (15.0 * each)), 15.0), (int(510.23 / (15.0 * each)) + 1, 14.0), (400, 11.0)):
        (page,) = pages_of(paper(Gap(5.0), title="n" * letters))
        (title,) = page.strips[0][1].marks
        assert isinstance(title, Ink)
        assert title.size == size


def test_what_stays_together_is_set_on_one_page() -> None:
    """260.84 mm to fill from 22.16 on; the last three strips of a paper stay together where a page holds them."""
    assert [len(page.strips) - 2 for page in pages_of(paper(Gap(100.0), Gap(60.0), Gap(50.0), Gap(50.84)))] == [4]
    assert [len(page.strips) - 2 for page in pages_of(paper(Gap(100.0), Gap(60.0), Gap(50.0), Gap(50.85)))] == [1, 3]
    # three that no page holds are broken where they must be
    pages = pages_of(paper(Gap(100.0), Gap(100.0), Gap(100.0)))
    assert [tops(page)[2:] for page in pages] == [pytest.approx([22.16, 122.16]), pytest.approx([22.16])]
    assert pages_of(paper()) == ()
    # a bar goes with what follows it
    pages = pages_of(paper(Gap(245.0), Bar("a"), Gap(20.0), Gap(1.0), Gap(1.0), Gap(1.0)))
    assert [len(page.strips) - 2 for page in pages] == [1, 5]


def test_a_table_is_headed_anew_on_every_page() -> None:
    """Rows of 4.91 mm: with its heading a page of 260.84 holds 53 of them less one."""
    table = Table((Column("head"),), tuple(Row((str(n),)) for n in range(60)))
    first, second = pages_of(paper(table))
    texts = [[mark.text for mark in page.marks if isinstance(mark, Ink)][2:] for page in (first, second)]
    assert texts[0] == ["head", *map(str, range(52))]
    assert texts[1] == ["head", *map(str, range(52, 60))]
    assert tops(second)[2:4] == pytest.approx([22.16, 22.16 + LINE + 1.1])


def test_sheets_and_new_pages_have_pages_of_their_own() -> None:
    pages = pages_of(paper(Gap(5.0), Sheet(DRAWING), Gap(6.0), NewPage("Other", "HOLD"), Gap(7.0), NewPage(), Gap(8.0)))
    assert [page.size_mm for page in pages] == [
        (210.0, 297.0),
        (200.0, 100.0),
        (210.0, 297.0),
        (210.0, 297.0),
        (210.0, 297.0),
    ]
    assert [page.sheet for page in pages] == [None, DRAWING, None, None, None]
    heads = [[mark.text for mark in page.marks if isinstance(mark, Ink)] for page in pages]
    assert heads == [["Order", "House, revision B"], [], ["Order", "House, revision B"], ["Other", "House, revision B", "HOLD"], ["Order", "House, revision B"]]  # fmt: skip
    assert [page.strips[-1][1].high_mm for page in pages if page.strips] == [5.0, 6.0, 7.0, 8.0]


def test_the_foot_of_a_page_says_whose_it_is_and_is_cut_to_its_room() -> None:
    upright = Page((210.0, 297.0))
    one = replace(paper(), mark="job 1234abcd")
    assert _foot(one, upright, "page 1 of 2") == (
        Ink(18.0, 291.0, "House, revision B  job 1234abcd", SMALL),
        Ink(198.0, 291.0, "page 1 of 2", SMALL, right=True),
    )
    assert _foot(paper(), upright, "page 1 of 2")[0].text == "House, revision B"
    assert (
        _foot(one, replace(upright, sheet=DRAWING), "page 1 of 2")[0].text == "Order. House, revision B  job 1234abcd"
    )
    room = (210.0 - 18.0 - 12.0 - 30.0) * POINT
    cut = _foot(replace(one, job="n" * 500), upright, "page 1 of 2")[0].text
    assert width(cut, SMALL) <= room < width(f"{cut}n", SMALL)


def line(like: OrderLine, count: float, each_mm: float, kg: float, **more: object) -> OrderLine:
    return replace(like, delivery="roof sheets", count=count, each_mm=each_mm, kg=kg, **more)  # type: ignore[arg-type]


def test_what_an_issue_sends_and_takes_back(sample: Takeoff) -> None:
    """Sent: 3 + 2.5 pieces, the longest 4100, 10.04 + 20.06 + 1 kg, each to 0.1: 10.0 + 20.1 + 1.0 = 31.1. Taken back: 2
    pieces of 5 000 and 1 without a length, 6.25 kg, up to 6.3 less."""
    assert sample.order is not None
    like = sample.order.lines[0]
    lines = (
        line(like, 3.0, 4100.0, 10.04), line(like, 2.5, 900.0, 20.06), line(like, 7.0, 0.0, 1.0), line(like, -2.0, 5000.0, -6.25),
        line(like, -1.0, 0.0, 0.0), line(like, 1.0, 9999.0, 99.0, labour=True), replace(like, delivery="other", count=1.0),
        replace(like, delivery="box", count=12.0, each_mm=0.0, kg=0.04),
    )  # fmt: skip
    table = _of_issue(replace(sample.order, lines=lines), ("roof sheets", "box", "none"))
    assert [row.cells for row in table.rows] == [
        ("roof sheets", "3", "5.5", "4100", "31.1", "2", "-2", "-6.3"),
        ("box", "1", "", "", "", "", "", ""),
        ("none", "", "", "", "", "", "", ""),
    ]
    assert [(column.heading, column.right, column.share) for column in table.columns] == [
        ("delivery", False, 1.0), ("lines to send", True, 0.0), ("pieces", True, 0.0), ("longest mm", True, 0.0), ("kg", True, 0.0),
        ("lines taken back", True, 0.0), ("pieces", True, 0.0), ("kg", True, 0.0),
    ]  # fmt: skip
