"""What jobs that no sample is like give, recorded with the samples: python tests/golden/samples_record.py

Regression figures, not check values. The jobs of odd_jobs are made up, no two sides and no two pitches of a house
alike, and chosen so that together they run what no sample runs: keys, products, ways, limits, findings and stops. Of
each the order's lines stand in odd_orders, to be read in a difference; of everything else that is read a digest of its
text stands in odd.json: result, drawings (SVG and DXF), papers (words and layout), workbook (cells, widths, styles),
the house page, and what `explain` says of marks of every kind.
"""

from __future__ import annotations

import json
import re
from base64 import a85decode
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from hashlib import sha256
from io import BytesIO
from itertools import chain
from pathlib import Path
from zipfile import ZipFile
from zlib import decompress

from samples_record import order_lines, paper_text, result_texts, rounded

from takeoff.model.order import Takeoff
from takeoff.pipeline import run_file
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.svg import svg_text
from takeoff.write.explain.explain_roof import roof_entries
from takeoff.write.explain.explain_runs import run_entries
from takeoff.write.explain.explain_site import site_entries
from takeoff.write.explain.explanation import Explanation
from takeoff.write.files import KINDS, Files, Sources
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.house_view.page_data import page_data

JOBS = Path(__file__).with_name("odd_jobs")
ORDERS = Path(__file__).with_name("odd_orders")
RECORD = Path(__file__).with_name("odd.json")
_READ = ("order", "site", "walls", "flashings", "office", "start")
_FIGURE = re.compile(r"-?\d+\.\d{5,}(?:[eE][-+]?\d+)?|-?\d+(?:\.\d+)?[eE][-+]?\d+")
_NUMBER = re.compile(r"[0-9]+")
_MOST_OF_A_KIND = 3
_PLACES = 4
_STREAM = re.compile(rb"/ASCII85Decode /FlateDecode \] /Length \d+\s*>>\s*stream\r?\n(.*?)~>", re.DOTALL)
_SHEETS = ("xl/worksheets/", "xl/styles", "xl/sharedStrings", "xl/workbook")


def odd_jobs() -> list[Path]:
    """The job files, by name."""
    return sorted(JOBS.glob("*.yaml"))


def odd_digests(takeoff: Takeoff) -> dict[str, str]:
    """A digest of the text of each part; the fingerprint of the job, which changes with every word of the catalogue,
    is left out."""
    without = replace(takeoff, job_hash="0" * len(takeoff.job_hash))
    return {name: sha256(text.encode("utf-8")).hexdigest()[:10] for name, text in _texts(without)}


def plain(text: str) -> str:
    """Figures with four decimals at most: the last bits differ between processors."""
    return _FIGURE.sub(_short, text)


def _short(figure: re.Match[str]) -> str:
    return f"{round(float(figure.group()), _PLACES) + 0.0:.{_PLACES}f}"


def _texts(takeoff: Takeoff) -> Iterator[tuple[str, str]]:
    sources = Sources(takeoff)
    yield from result_texts(takeoff)
    for drawing in (*sources.drawings, *(() if sources.view is None else (sources.view,))):
        yield f"drawing {drawing.name}", plain(svg_text(drawing))
    yield "dxf", plain(_dxf(sources))
    yield "house page", json.dumps(rounded(page_data(takeoff, house_parts(takeoff), sources.said)))
    yield "explained", plain(_explained(takeoff))
    for kind in KINDS:
        files: Files = kind.make(sources) if kind.group in _READ else {}
        sources.names = (*sources.names, *files)
        for name, data in files.items():
            yield name, plain(_read(name, data))


def _dxf(sources: Sources) -> str:
    """The first drawing whole, of the others what is drawn: the rest of their text is the same."""
    texts = [dxf_text(drawing, sources.takeoff.job.date) for drawing in sources.drawings]
    drawn = (text[text.index("\nENTITIES\n") : text.rindex("\nOBJECTS\n")] for text in texts[1:])
    return "\n".join((*texts[:1], *drawn))


def _explained(takeoff: Takeoff) -> str:
    """What `takeoff explain` says of the first marks of each kind: P1 and P2 of P1 to P9, and of the job's settings."""
    told: Counter[str] = Counter()
    lines = []
    for name, make in chain(roof_entries(takeoff), run_entries(takeoff), site_entries(takeoff)):
        kind = _NUMBER.sub("#", name)
        told[kind] += 1
        if told[kind] <= _MOST_OF_A_KIND and (name not in takeoff.settings.values or name in takeoff.job.settings):
            lines.append(f"{name} {_said(make())}")
    return "\n".join(lines)


def _said(one: Explanation) -> str:
    return "\n".join((one.title, *one.facts, *one.working, *one.came_from))


def _read(name: str, data: bytes) -> str:
    """Words and operators of a paper, the sheets of a workbook, the text of a list."""
    if name.endswith(".pdf"):
        marks = (decompress(a85decode(stream)) for stream in _STREAM.findall(data))
        return "\n".join((paper_text(data), *(mark.decode("latin-1") for mark in marks if b" Tf" in mark)))
    if name.endswith(".xlsx"):
        with ZipFile(BytesIO(data)) as book:
            return "\n".join(book.read(part).decode() for part in book.namelist() if part.startswith(_SHEETS))
    return data.decode("utf-8")


def main() -> None:
    """Record every odd job as it is now."""
    record = {}
    ORDERS.mkdir(exist_ok=True)
    for path in ORDERS.glob("*.txt"):
        path.unlink()
    for job in odd_jobs():
        takeoff = run_file(job)
        (ORDERS / f"{job.stem}.txt").write_text(order_lines(takeoff), encoding="utf-8", newline="\n")
        record[job.stem] = odd_digests(takeoff)
    RECORD.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8", newline="\n")
