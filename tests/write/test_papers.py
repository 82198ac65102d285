"""Papers by receiver: every ordered piece stands on one of them once, with the totals of workbook and data; no figure
over another, no page with one line; the same bytes each time; texts of a job are texts.

The PDFs are read by poppler's pdftotext, a reader that is not ours.
"""

from __future__ import annotations

import io
import re
import subprocess
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from openpyxl import load_workbook

from takeoff.model.office import Firm, Letterhead, Supplier
from takeoff.model.order import HOLD, Hold, Order, Takeoff
from takeoff.pipeline import run_file
from takeoff.write.files import Sources, kinds_of, write_all
from takeoff.write.letters.pdf_letters import face, width
from takeoff.write.papers.blocks import Bar, Block, Column, Kind, Paper, Row, Table, Words
from takeoff.write.papers.order_papers import order_papers
from takeoff.write.papers.pages import pages_of
from takeoff.write.papers.paper_strips import Ink
from takeoff.write.papers.print_pdf import pdf_bytes
from takeoff.write.workbook.workbook import workbook_bytes

SAMPLES = Path(__file__).parents[2] / "geometry_samples"
POINT = 72.0 / 25.4


def text_of(pdf: bytes) -> str:
    """What a reader finds in a PDF, lines as they stand on the page."""
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode("utf-8")


@pytest.fixture(scope="module")
def homestead() -> Takeoff:
    return run_file(SAMPLES / "homestead")


@pytest.fixture(scope="module")
def order(homestead: Takeoff) -> Order:
    assert homestead.order is not None
    return homestead.order


@pytest.fixture(scope="module")
def papers(homestead: Takeoff) -> dict[str, bytes]:
    """Every PDF of the homestead, by name."""
    sources = Sources(homestead)
    files: dict[str, bytes] = {}
    for kind in kinds_of("all"):
        if kind.name.endswith(".pdf"):
            sources.names = tuple(files)
            files.update(kind.make(sources))
    return files


@pytest.fixture(scope="module")
def texts(papers: dict[str, bytes]) -> dict[str, str]:
    return {name: text_of(pdf) for name, pdf in papers.items()}


def rows_of(text: str) -> dict[int, list[str]]:
    """Rows of an order paper by the number of the line, the figures of the row in order."""
    found = {}
    for line in text.splitlines():
        match = re.match(r"\s{0,6}(\d+)\s+(\S.*)", line)
        if match:
            figures = re.findall(r"(?:(?<=\s)|^)[\d,]+(?:\.\d+)?(?=\s|$)", match[2])
            assert int(match[1]) not in found, line
            found[int(match[1])] = [figure.replace(",", "") for figure in figures]
    return found


def orders(texts: dict[str, str]) -> dict[str, str]:
    return {name: text for name, text in texts.items() if name.startswith("order_") or name == "mill_order.pdf"}


def test_every_ordered_line_stands_on_one_paper_once_with_its_count_length_total_and_mass(
    texts: dict[str, str], order: Order
) -> None:
    found: Counter[int] = Counter()
    for text in orders(texts).values():
        for number, figures in rows_of(text).items():
            line = order.lines[number - 1]
            found[number] += 1
            wanted = [line.count, *([line.each_mm] if line.each_mm > 0.0 else []), line.total]
            wanted += [round(line.kg, 1)] if line.kg > 0.0 else []
            values = [float(figure) for figure in figures]
            assert all(any(abs(value - want) < 1e-6 for value in values) for want in wanted), (line, figures)
    bought = {number for number, line in enumerate(order.lines, start=1) if not line.labour}
    assert set(found) == bought
    assert set(found.values()) == {1}


def test_the_totals_are_those_of_the_workbook(texts: dict[str, str], homestead: Takeoff, order: Order) -> None:
    """Lines of all papers summed by hand against the totals stored in the sheet Order, and the mill's metres and mass."""
    sheet = load_workbook(io.BytesIO(workbook_bytes(homestead)), data_only=True)["Order"]
    kg: dict[str, float] = {}
    metres = 0.0
    for text in orders(texts).values():
        for number, figures in rows_of(text).items():
            line = order.lines[number - 1]
            if line.kg > 0.0:
                mass = min((float(f) for f in figures), key=lambda value: abs(value - line.kg))
                kg[line.delivery] = kg.get(line.delivery, 0.0) + mass
            if line.of.id in {made.item.id for made in homestead.roofing.groups if made.item is not None}:
                metres += float(figures[2])
    for delivery, mass in kg.items():
        row = next(row for row in sheet.iter_rows(values_only=True) if str(row[1]).endswith(f". {delivery}"))
        assert row[7] == pytest.approx(mass, abs=0.01), delivery
    assert metres == pytest.approx(order.sheets_bought_m, abs=1e-6)
    assert f"All sheets: {order.sheets_bought_m:.3f} m, {order.sheets_kg:,.1f} kg" in texts["mill_order.pdf"]


def test_hold_stands_only_over_what_is_made_to_measure(texts: dict[str, str]) -> None:
    held = {name for name, text in texts.items() if HOLD in text}
    assert held == {"mill_order.pdf", "order_flashings.pdf", "flashings.pdf", "site.pdf"}
    free = texts["order_flashings.pdf"].split("Needs no site measure")[1]
    assert "Soft edge" in free
    assert "Ridge flashing" not in free


def test_released_sheets_carry_no_hold(homestead: Takeoff, order: Order) -> None:
    free = replace(homestead, order=replace(order, state=Hold.RELEASED))
    sources = Sources(free)
    mill = next(kind for kind in kinds_of("all") if kind.name == "mill_order.pdf").make(sources)
    assert "RELEASED FOR MANUFACTURE" in text_of(mill["mill_order.pdf"])


def test_a_plane_has_its_drawing_boxes_and_list_on_one_page(papers: dict[str, bytes], homestead: Takeoff) -> None:
    pages = text_of(papers["site.pdf"]).split("\f")
    for sheets in homestead.roofing.sheets:
        mine = [page for page in pages if f"{sheets.plane}, " in page.lstrip().split("\n", 1)[0]]
        assert len(mine) == 1, sheets.plane
        assert all(re.search(rf"^\s*{re.escape(piece.mark)}\s", mine[0], re.MULTILINE) for piece in sheets.pieces)
        assert "on site" in mine[0]
        assert "LAY THIS WAY" in mine[0]


def test_every_page_says_which_of_how_many(texts: dict[str, str]) -> None:
    for name, text in texts.items():
        pages = text.split("\f")[:-1]
        for number, page in enumerate(pages, start=1):
            assert page.count(f"page {number} of {len(pages)}") == 1, name


def test_the_first_page_names_every_file_and_what_is_open(texts: dict[str, str], papers: dict[str, bytes]) -> None:
    text = texts["start_here.pdf"]
    assert text.count("\f") == 1
    assert all(name in text for name in papers if name != "start_here.pdf")
    assert "HOLD" in text
    assert "258.39 m2" in text


def test_no_words_lie_over_others_and_none_leave_the_page(homestead: Takeoff, order: Order) -> None:
    for paper in all_papers(homestead, order):
        for page in pages_of(paper):
            inks = [mark for mark in page.marks if isinstance(mark, Ink) and mark.text]
            assert all(ink.size >= 8.0 for ink in inks)
            rows: dict[float, list[tuple[float, float]]] = {}
            for ink in inks:
                wide = width(ink.text, ink.size, ink.bold) / POINT
                left = ink.x_mm - (wide if ink.right else 0.0)
                rows.setdefault(round(ink.y_mm, 2), []).append((left, left + wide))
                assert left >= 17.9, (paper.name, ink)
                assert left + wide <= page.size_mm[0] - 11.5, (paper.name, ink)
            for spans in rows.values():
                spans.sort()
                assert all(a[1] <= b[0] + 0.05 for a, b in pairwise(spans)), paper.name


def all_papers(takeoff: Takeoff, order: Order) -> list[Paper]:
    from takeoff.write.papers.flashings_paper import flashings_paper
    from takeoff.write.papers.mill_paper import mill_paper
    from takeoff.write.papers.office_paper import office_paper
    from takeoff.write.papers.site_paper import site_paper
    from takeoff.write.papers.start_paper import start_paper
    from takeoff.write.papers.walls_paper import walls_paper

    sources = Sources(takeoff)
    said = sources.said
    found = [
        *order_papers(takeoff, order, said),
        mill_paper(takeoff, order, said),
        site_paper(takeoff, order, sources.drawings, said),
        walls_paper(takeoff, order, sources.drawings, said),
        flashings_paper(takeoff, order, sources.drawings, said),
        office_paper(takeoff, said),
        start_paper(takeoff, sources.view, ("order_purlins.pdf", "site.pdf"), said),
    ]
    return [paper for paper in found if paper is not None]


def test_the_same_job_gives_the_same_bytes(homestead: Takeoff, order: Order) -> None:
    for paper in order_papers(homestead, order, str):
        assert pdf_bytes(paper) == pdf_bytes(paper)
        assert b"/CreationDate (D:20000101" in pdf_bytes(paper)


NAMES = (
    "<b>bold</b> & <font size=40>",
    "a) Tj ET Q (b \\",
    "Mānuka Ōtaki é Ω → ←",
    "x" * 300,
    "=1+1 %s {name}",
)


@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_a_job_is_a_text(name: str, sample: Takeoff) -> None:
    order = sample.order
    assert order is not None
    named = replace(sample, job=sample.job.model_copy(update={"job": name}))
    pdf = pdf_bytes(order_papers(named, order, str)[0])
    text = text_of(pdf)
    assert "".join(name[:40].split()) in "".join(text.split())
    assert text.count("page 1 of 1") == 1


def test_a_letter_that_the_face_lacks_is_a_box_and_takes_its_room(sample: Takeoff) -> None:
    assert width("家", 10.0) == width("□", 10.0) > 0.0
    order = sample.order
    assert order is not None
    named = replace(sample, job=sample.job.model_copy(update={"job": "家 \N{HOUSE BUILDING} x"}))
    assert "□ □ x, revision B" in text_of(pdf_bytes(order_papers(named, order, str)[0]))


def test_the_letters_have_what_the_trade_and_its_places_write() -> None:
    for bold in (False, True):
        known = face(bold).face.charToGlyph
        assert [
            letter for letter in "āēīōūĀĒĪŌŪéèêëçñößæøåÅπαβΩµ°²³±×÷≤≥≈→←↑↓–—'“”…€" if ord(letter) not in known
        ] == []


def with_office(order: Order) -> Order:
    firm = Firm(name="Our firm & sons", address=["1 Kiln Road", "Riverside"], contact="A. Person", phone="000 111")
    yard = Supplier(name="The Timber/Yard", account="4711", contact="desk")
    heads = tuple(
        Letterhead(name, firm, yard, f"PO-{name}", None, None, ("Paid in 30 days.",), ("purlins", "walls"))
        for name in ("purlins", "walls")
    )
    return replace(order, letterheads=heads)


def test_deliveries_of_one_supplier_stand_on_one_paper_with_the_firms_head(homestead: Takeoff, order: Order) -> None:
    papers = {paper.name: paper for paper in order_papers(homestead, with_office(order), str)}
    assert "order_the_timber_yard" in papers
    assert not {"order_purlins", "order_walls"} & set(papers)
    text = text_of(pdf_bytes(papers["order_the_timber_yard"]))
    assert all(words in text for words in ("Our firm & sons, 1 Kiln Road", "4711", "PO-purlins", "Paid in 30 days."))
    bought = [line for line in order.lines if line.delivery in ("purlins", "walls") and not line.labour]
    assert len(rows_of(text)) == len(bought)


def test_two_suppliers_of_one_name_keep_their_papers_apart(homestead: Takeoff, order: Order) -> None:
    heads = tuple(
        Letterhead(name, None, Supplier(name="家", account=name), "", None, None, (), (name,))
        for name in ("purlins", "walls", "underlay")
    )
    names = [paper.name for paper in order_papers(homestead, replace(order, letterheads=heads), str)]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z0-9_]+", name) for name in names)


def test_a_stopped_job_gives_no_order_and_says_so(stopped: Takeoff, tmp_path: Path) -> None:
    done = write_all(stopped, tmp_path, only="all")
    pdfs = {path.name: text_of(path.read_bytes()) for path in done.paths if path.suffix == ".pdf"}
    assert set(pdfs) == {"start_here.pdf", "office.pdf"}
    assert all("NOT AN ORDER" in page for text in pdfs.values() for page in text.split("\f")[:1])
    assert "STOP" in pdfs["start_here.pdf"]


def paper_of(*blocks: Block) -> Paper:
    return Paper("p", "Title", "job", "", blocks)


def lines_of(paper: Paper) -> list[list[str]]:
    """Words of each page under its head."""
    return [[mark.text for mark in page.marks if isinstance(mark, Ink)][2:] for page in pages_of(paper)]


@pytest.mark.parametrize("rows", range(40, 125, 4))
def test_no_page_has_one_line_and_no_heading_stands_alone(rows: int) -> None:
    table = Table((Column("n"), Column("w", share=1.0)), tuple(Row((str(i), "words")) for i in range(rows)))
    total = Row(("", "sum"), Kind.TOTAL)
    paper = paper_of(Words("before"), table, Bar("second"), replace(table, rows=(*table.rows[: rows // 2], total)))
    for page in lines_of(paper):
        figures = [word for word in page if word.isdigit()]
        assert len(figures) >= 2, page
        assert page[-1] not in ("second", "n", "w")
        assert page[0] in ("before", "second", "n"), "a table goes on under its heading"
    flat = [word for page in lines_of(paper) for word in page if word.isdigit()]
    assert flat == [str(i) for i in (*range(rows), *range(rows // 2))]


def test_the_order_of_roof_sheets_says_where_the_sheets_stand_and_why_numbers_are_left_out(
    texts: dict[str, str], order: Order
) -> None:
    text = texts["order_roof_sheets.pdf"]
    mine = [(number, line) for number, line in enumerate(order.lines, start=1) if line.delivery == "roof sheets"]
    sheets = [number for number, line in mine if "sheet" in str(line.of.kind)]
    assert f"mill order (mill_order.pdf), lines {sheets[0]} to {sheets[-1]}." in text
    labour = [number for number, line in mine if line.labour]
    assert labour
    said = re.search(r"Lines? ([\d, to]+) (?:is|are) labour: nothing to supply", text)
    assert said is not None
    assert {labour[0], labour[-1]} <= {int(number) for number in re.findall(r"\d+", said[1])}


def test_a_sheet_cut_from_another_ones_length_says_so_and_lengths_are_as_many_as_counted(
    texts: dict[str, str], homestead: Takeoff, order: Order
) -> None:
    """Marks that carry a length, those in brackets left out, are as many as the count beside them."""
    book = load_workbook(io.BytesIO(workbook_bytes(homestead)), data_only=True)
    marks = [str(row[5]) for row in book["Mill order"].iter_rows(values_only=True) if row[5]]
    for blank in order.blanks:
        first, *rest = [part.mark for part in blank.pieces]
        if rest:
            words = f"{first} ({', '.join(rest)} cut from it)"
            assert words in texts["mill_order.pdf"]
            assert any(words in said for said in marks)
    for line in texts["mill_order.pdf"].splitlines():
        found = re.match(r"\s*\d+\s+(\d+)\s+\d+\s.*?(P\d+\.\d+.*)", line)
        if found and " to " not in found[2]:
            carried = re.sub(r"\([^)]*\)", "", found[2])
            assert len(re.findall(r"P\d+\.\d+", carried)) == int(found[1]), line


def test_metres_of_two_items_are_never_put_together(homestead: Takeoff, order: Order) -> None:
    """Every row of a sum in metres is that of the item over it, and the last row of a paper has none."""
    for paper in order_papers(homestead, order, str):
        for table in (
            block for block in paper.blocks if isinstance(block, Table) and block.rows[-1].kind is Kind.TOTAL
        ):
            assert not any(cell == "m" for cell in table.rows[-1].cells), paper.name
            heads = [column.heading for column in table.columns]
            own: dict[str, float] = {}
            above = ""
            for row in table.rows:
                cells = dict(zip(heads, row.cells, strict=True))
                if row.kind is Kind.LINE and cells["length mm"]:
                    above = cells["item"]
                    own[above] = own.get(above, 0.0) + float(cells["total"].replace(",", ""))
                elif cells.get("item") == "together":
                    assert float(cells["total"].replace(",", "")) == pytest.approx(own[above], abs=1e-6)
            if "kg" in heads:
                assert any(dict(zip(heads, row.cells, strict=True))["kg"] for row in table.rows)


def test_sheets_of_walls_are_ordered_as_the_mill_makes_them() -> None:
    takeoff = run_file(SAMPLES / "two_storeys")
    assert takeoff.order is not None
    paper = next(one for one in order_papers(takeoff, takeoff.order, str) if one.name == "order_walls")
    text = text_of(pdf_bytes(paper))
    block, rest = text.split("Grade of boards", 1)
    assert HOLD in block
    assert all(words in block for words in ("Cover 762", "Colour side", "B5.01 to B5.08", "B6.03, B8.01"))
    assert "wall sheet, corrugated" not in rest
    assert "Flashings of walls" in rest
    assert "their colour" in rest
    assert "Grade of nogs" in rest
