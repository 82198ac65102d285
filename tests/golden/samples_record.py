"""What every sample gives, recorded: python tests/golden/samples_record.py

Regression figures, not check values: they say that something changed, not that it was right. The lines of each sample's
order stand in tests/golden/orders, to be read in a difference; of everything else that people or programs read (result,
drawings, papers, workbook, the house page) a digest of its text stands in samples.json, part by part. Record again only
after each difference has been looked at and its cause stands in the list of changes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from pypdfium2 import PdfDocument

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.data.result_json import result_data
from takeoff.write.drawings.svg import svg_text
from takeoff.write.files import KINDS, Sources
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.house_view.page_data import page_data

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
ORDERS = Path(__file__).with_name("orders")
RECORD = Path(__file__).with_name("samples.json")
RENEW = "look at each difference, say its cause in the list of changes, then: python tests/golden/samples_record.py"
_PLACES = 5  # a hundred-thousandth of a mm: the last bits differ between processors
_OWN = ("program", "job_hash")  # change with every version, and with every word of the job


def sample_jobs() -> list[Path]:
    """The job file of every sample."""
    return sorted(SAMPLES.glob("*/job.yaml"))


def order_lines(takeoff: Takeoff) -> str:
    """The order as text, a line each: delivery, item, count, length, total, mass, note."""
    order = takeoff.order
    if order is None:
        return "no order\n" + "".join(f"{finding.code}\n" for finding in takeoff.findings)
    rows = (
        (line.delivery, line.item, f"{line.count:g} {line.unit}", f"{line.each_mm:g}" if line.each_mm else "",
         f"{line.total:.3f} {line.total_unit}", f"{line.kg:.1f} kg", line.note)
        for line in order.lines
    )  # fmt: skip
    return "".join(" | ".join(row).rstrip(" |") + "\n" for row in rows)


def digests(takeoff: Takeoff) -> dict[str, str]:
    """A digest of the text of each part of what is written."""
    return {name: sha256(text.encode("utf-8")).hexdigest()[:12] for name, text in _texts(takeoff)}


def _texts(takeoff: Takeoff) -> Iterator[tuple[str, str]]:
    sources = Sources(takeoff)
    yield from result_texts(takeoff)
    for drawing in (*sources.drawings, *(() if sources.view is None else (sources.view,))):
        yield f"drawing {drawing.name}", svg_text(drawing)
    yield "house page", json.dumps(without_hash(page_data(takeoff, house_parts(takeoff), sources.said)))
    for kind in KINDS:
        yield from _made(kind.make(sources) if kind.group in _READ else {}, sources).items()


def result_texts(takeoff: Takeoff) -> Iterator[tuple[str, str]]:
    """Each part of the result by its name."""
    for name, part in result_data(takeoff).items():
        if name not in _OWN:
            yield f"result {name}", json.dumps(rounded(part))


_READ = ("order", "site", "walls", "flashings", "office", "start")


def _made(files: Any, sources: Sources) -> dict[str, str]:
    """Papers, lists and workbooks as the text that is read in them."""
    sources.names = (*sources.names, *files)
    said = {}
    for name, data in files.items():
        if name.endswith(".pdf"):
            said[name] = _without_mark(paper_text(data), sources.takeoff)
        elif name.endswith(".xlsx"):
            said[name] = _without_mark(_workbook_text(data), sources.takeoff)
        else:
            said[name] = data.decode("utf-8")
    return said


def paper_text(data: bytes) -> str:
    """The words of a PDF, page by page."""
    document = PdfDocument(data)
    try:
        return "\n".join(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()


def _workbook_text(data: bytes) -> str:
    book = load_workbook(BytesIO(data))
    rows = (row for sheet in book for row in ((sheet.title,), *sheet.iter_rows(values_only=True)))
    return "\n".join(repr(row) for row in rows)


def _without_mark(text: str, takeoff: Takeoff) -> str:
    return text.replace(takeoff.job_hash, "")


def without_hash(data: dict[str, Any]) -> dict[str, Any]:
    """What the house page is given, without the job's fingerprint."""
    return {**data, "head": {**data["head"], "hash": ""}}


def rounded(value: Any) -> Any:
    """Every figure in it with so many decimals as processors agree on."""
    if isinstance(value, float):
        return round(value, _PLACES) + 0.0
    if isinstance(value, dict):
        return {key: rounded(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(each) for each in value]
    return value


def main() -> None:
    """Record every sample as it is now, and what is recorded beside them."""
    import odd_record
    import refusals_record
    import screens_record

    record = {}
    for job in sample_jobs():
        takeoff = run_file(job)
        name = job.parent.name
        (ORDERS / f"{name}.txt").write_text(order_lines(takeoff), encoding="utf-8", newline="\n")
        record[name] = digests(takeoff)
    RECORD.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8", newline="\n")
    odd_record.main()
    refusals_record.main()
    screens_record.main()


if __name__ == "__main__":
    main()
