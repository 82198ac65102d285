"""The files of a takeoff: an index of every kind of output, and those chosen written together or not at all.

What makes an output is loaded when it is made: nobody waits for the library of papers who asks for drawings alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from takeoff import __version__
from takeoff.basics.errors import UsageError
from takeoff.basics.records import record
from takeoff.model.order import Order, Takeoff
from takeoff.model.order_folder import HOUSE_GLB, HOUSE_IFC, HOUSE_PAGE, MEASURE_FORM, ORDER_SHEET, START, Written
from takeoff.model.ordered import TypedBefore
from takeoff.write.atomic import write_set
from takeoff.write.words.trade_words import trade_words
from takeoff.write.workbook.carried import Carried, left_words

if TYPE_CHECKING:
    from takeoff.write.drawings.drawing import Drawing
    from takeoff.write.papers.blocks import Paper

ALL = "all"

Files = Mapping[str, bytes]
Said = Callable[[str], str]


class Sources:
    """What the makers take: the takeoff, and its drawings, drawn once for all that ask."""

    def __init__(self, takeoff: Takeoff, typed: TypedBefore | None = None) -> None:
        self.takeoff = takeoff
        self.carried = Carried(typed.lines if typed is not None else (), self.said)  # typed into the last order sheet
        self.names: tuple[str, ...] = ()  # of the files made so far

    @cached_property
    def said(self) -> Said:
        """The trade's word for gutters."""
        return trade_words(self.takeoff)

    @cached_property
    def view(self) -> Drawing | None:
        """The house seen from above."""
        from takeoff.write.drawings.all_drawings import view

        return view(self.takeoff, self.said)

    @cached_property
    def drawings(self) -> tuple[Drawing, ...]:
        """Every drawing: plan, sheet layouts, folding schedule, elevations; without an order the faults alone."""
        from takeoff.write.drawings.all_drawings import all_drawings

        return all_drawings(self.takeoff, self.said)


@record
class Kind:
    """A kind of output: `name` (of the file, `*` where there are several), the `group` that `--only` names it by and
    what makes its files by name. `usual`: written where nothing is chosen. No group: always written. `needs`: a package
    of the extra that it cannot be made without."""

    name: str
    group: str
    make: Callable[[Sources], Files]
    usual: bool = True
    needs: str = ""


def _workbook(sources: Sources) -> Files:
    from takeoff.write.workbook.workbook import workbook_bytes

    return {ORDER_SHEET: workbook_bytes(sources.takeoff, carried=sources.carried)}


def _dxf(sources: Sources) -> Files:
    from takeoff.write.drawings.dxf import dxf_text

    day = sources.takeoff.job.date
    return {f"{drawing.name}.dxf": dxf_text(drawing, day).encode("utf-8") for drawing in sources.drawings}


def _svg(sources: Sources) -> Files:
    from takeoff.write.drawings.svg import svg_text

    views = () if sources.view is None else (sources.view,)
    return {f"{drawing.name}.svg": svg_text(drawing).encode("utf-8") for drawing in (*sources.drawings, *views)}


def _measure_form(sources: Sources) -> Files:
    from takeoff.write.data.measure_form import measure_form

    return {MEASURE_FORM: measure_form(sources.takeoff)} if sources.takeoff.order is not None else {}


def _house(sources: Sources) -> Files:
    from takeoff.write.house_view.house_page import house_page

    return {HOUSE_PAGE: house_page(sources.takeoff)}


def _papers(sources: Sources, make: Callable[[Takeoff, Order, Sequence[Drawing], Said], Paper | None]) -> Files:
    """The paper of one receiver; nothing without an order, or where it has nothing for him."""
    from takeoff.write.papers.print_pdf import pdf_bytes

    order = sources.takeoff.order
    made = make(sources.takeoff, order, sources.drawings, sources.said) if order is not None else None
    return {f"{made.name}.pdf": pdf_bytes(made)} if made is not None else {}


def _orders(sources: Sources) -> Files:
    from takeoff.write.papers.order_papers import order_papers
    from takeoff.write.papers.print_pdf import pdf_bytes

    order = sources.takeoff.order
    papers = order_papers(sources.takeoff, order, sources.said) if order is not None else ()
    return {f"{paper.name}.pdf": pdf_bytes(paper) for paper in papers}


def _mill(sources: Sources) -> Files:
    from takeoff.write.papers.mill_paper import mill_paper

    return _papers(sources, lambda takeoff, order, _, said: mill_paper(takeoff, order, said))


def _flashings(sources: Sources) -> Files:
    from takeoff.write.papers.flashings_paper import flashings_paper

    return _papers(sources, flashings_paper)


def _site(sources: Sources) -> Files:
    from takeoff.write.papers.site_paper import site_paper

    return _papers(sources, site_paper)


def _walls(sources: Sources) -> Files:
    from takeoff.write.papers.walls_paper import walls_paper

    return _papers(sources, walls_paper)


def _loads(sources: Sources) -> Files:
    from takeoff.write.papers.loads_paper import loads_paper

    return _papers(sources, loads_paper)


def _office(sources: Sources) -> Files:
    from takeoff.write.papers.office_paper import office_paper
    from takeoff.write.papers.print_pdf import pdf_bytes

    return {"office.pdf": pdf_bytes(office_paper(sources.takeoff, sources.said))}


def _start(sources: Sources) -> Files:
    """The page that says what the others are."""
    from takeoff.write.papers.print_pdf import pdf_bytes
    from takeoff.write.papers.start_paper import start_paper

    return {START: pdf_bytes(start_paper(sources.takeoff, sources.view, sources.names, sources.said))}


def _glb(sources: Sources) -> Files:
    from takeoff.write.models.house_glb import house_glb

    return {HOUSE_GLB: house_glb(sources.takeoff)} if sources.takeoff.roofs else {}


def _ifc(sources: Sources) -> Files:
    from takeoff.write.models.house_ifc import house_ifc

    return {HOUSE_IFC: house_ifc(sources.takeoff)} if sources.takeoff.roofs else {}


def _data(sources: Sources) -> Files:
    from takeoff.write.data.result_json import result_bytes

    return {"takeoff.json": result_bytes(sources.takeoff)}


# the index: every kind of output, in the order in which the files are listed; the manifest is written with any of them
KINDS: tuple[Kind, ...] = (
    Kind("order_*.pdf", "order", _orders),
    Kind("mill_order.pdf", "order", _mill),
    Kind("site.pdf", "site", _site),
    Kind("walls.pdf", "walls", _walls),
    Kind("flashings.pdf", "flashings", _flashings),
    Kind("loads.pdf", "order", _loads),
    Kind("office.pdf", "office", _office, usual=False),
    Kind(ORDER_SHEET, "order", _workbook),
    Kind("site_measure.csv", "site", _measure_form),
    Kind("*.dxf", "dxf", _dxf),
    Kind("*.svg", "svg", _svg, usual=False),
    Kind(HOUSE_PAGE, "html", _house),
    Kind(HOUSE_GLB, "models", _glb, usual=False),
    Kind(HOUSE_IFC, "models", _ifc, usual=False, needs="ifcopenshell"),
    Kind("takeoff.json", "", _data),
    Kind(START, "start", _start),  # last, for it names the others
)


def groups() -> tuple[str, ...]:
    """The words that choose outputs, in the order of the index, `all` last."""
    return (*dict.fromkeys(kind.group for kind in KINDS if kind.group), ALL)


def kinds_of(only: str | None) -> tuple[Kind, ...]:
    """The rows of the index that `only` chooses, words with commas between them, each that of a group or the name of a
    file alone, as `order_sheet.xlsx`, which comes without the papers of its group; the usual ones for None. Raises
    UsageError for a word that is none of them, where there is no word, and for an output whose extra is not installed;
    `all` is without those."""
    if only is None:
        return tuple(kind for kind in KINDS if kind.usual)
    words = [word.strip().lower() for word in only.split(",") if word.strip()]
    known, alone = groups(), {kind.name for kind in KINDS if kind.group}
    for word in words:
        if word not in known and word not in alone:
            raise UsageError(f"--only: {word[:40]!r} is no kind of output; choose among {', '.join(known)}")
    if not words:
        raise UsageError(f"--only: nothing is chosen; choose among {', '.join(known)}")
    chosen = tuple(kind for kind in KINDS if not kind.group or ALL in words or {kind.group, kind.name} & {*words})
    missing = [kind for kind in chosen if kind.needs and find_spec(kind.needs) is None]
    for kind in missing:
        if {kind.group, kind.name} & {*words}:  # `all` is all that can be made here
            raise UsageError(
                f"--only: {kind.name} needs {kind.needs}, which is not installed; install it with: "
                f"pip install 'takeoff[ifc]', or pip install {kind.needs}"
            )
    return tuple(kind for kind in chosen if kind not in missing)


def write_all(
    takeoff: Takeoff,
    out: Path,
    more: Files | None = None,
    only: str | None = None,
    typed: TypedBefore | None = None,
) -> Written:
    """Write what a takeoff gives into the folder `out`: the usual kinds of output, or those that `only` chooses.

    `more`: further files of the set, by name; `typed`: what people typed into the order sheet that lies there. Without
    an order: data, a drawing of the faults, and a workbook stamped NOT AN ORDER with the findings. Returns the paths,
    the manifest last, and what was kept. Raises UsageError where `out` cannot be written; then it is as it was.
    """
    sources = Sources(takeoff, typed)
    files: dict[str, bytes] = {}
    chosen = kinds_of(only)
    # the longest texts first, while little else is held: the order of the files stays that of the index
    first = {kind.name: kind.make(sources) for kind in reversed(chosen) if kind.make in (_data, _house)}
    for kind in chosen:
        files.update(first[kind.name] if kind.name in first else kind.make(sources))
        sources.names = tuple(files)
    files.update(more or {})
    if START in files:
        files = {START: files[START], **files}
    facts = {"program": f"takeoff {__version__}", "job": takeoff.job.job, "job_hash": takeoff.job_hash}
    written = write_set(files, out, facts)
    left = tuple(map(left_words, sources.carried.left)) if ORDER_SHEET in files else ()
    return replace(written, unmatched=left, unread=typed.fault if typed is not None else "")


def drawings(takeoff: Takeoff) -> tuple[Drawing, ...]:
    """Every drawing of a takeoff."""
    return Sources(takeoff).drawings
