"""office.pdf, for whoever answers for the order: what was noticed, measured and assumed, and what must be heeded."""

from __future__ import annotations

from collections.abc import Callable

from takeoff.model.order import Document, Takeoff
from takeoff.write.papers.blocks import BODY, Block, Gap, NewPage, Paper, Words
from takeoff.write.papers.heads import paper, recorded
from takeoff.write.words.used import used_products
from takeoff.write.workbook.workbook_checks import fill_basis, fill_checks, fill_measures
from takeoff.write.workbook.workbook_grid import CAUTIONS, GRID
from takeoff.write.workbook.workbook_left import fill_left_over


def office_paper(takeoff: Takeoff, said: Callable[[str], str]) -> Paper:
    """The office's paper; of a stopped job the checks and cautions alone."""
    blocks: list[Block] = list(recorded("Checks", said, lambda page: fill_checks(page, takeoff.findings, takeoff)))
    order = takeoff.order
    if order is not None:
        blocks += [NewPage("What was measured"), Words(GRID["Measures"].says, keep=True)]
        blocks += recorded("Measures", said, lambda page: fill_measures(page, takeoff))
        if order.left_over or order.site_blanks:
            blocks.append(Gap(4.0))
            blocks += recorded("Left over", said, lambda page: fill_left_over(page, takeoff, order))
    if order is not None or used_products(takeoff):
        blocks += [NewPage("Basis of every figure"), Words(GRID["Basis"].says, keep=True)]
        blocks += recorded("Basis", said, lambda page: fill_basis(page, takeoff))
    blocks += [NewPage("Cautions"), *(Words(f"{i}   {said(text)}", BODY) for i, text in enumerate(CAUTIONS, start=1))]
    return paper(takeoff, "office", "Checks, basis and cautions", blocks, None if order is not None else Document.ALL)
