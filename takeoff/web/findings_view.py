"""What was found in a house as the page lists it: how grave in words, what to do, where it leads, and what can be
written into the job file to cure it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from takeoff.basics.records import record
from takeoff.model.findings import Finding, Severity
from takeoff.model.job_edits import EditPath
from takeoff.model.order import Takeoff
from takeoff.read.job.cures import Cure, cures_of
from takeoff.read.job.told_places import place_of, places_of_ids
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.web.house import House, News
from takeoff.web.text_lines import changed_lines
from takeoff.write.words.spoken import spoken
from takeoff.write.words.trade_words import trade_words
from takeoff.write.words.words import SEVERITY_WORDS, plain

# panels that a finding leads to
HOUSE, PLAN, WALLS, TANK, PRODUCTS, JOB_FILE = "House", "Plan", "Walls", "Tank", "Products", "Job file"
MOST_PLACES = 12
_ORDER = (Severity.STOP, Severity.WARN, Severity.FIXED, Severity.NOTE)
_LINE = re.compile(r"^[^:\s][^:]*:(?P<line>\d+)(?::\d+)?:")
_WALL = "wall "  # the refs of walls begin so
_PANELS = {"walls": WALLS, "tanks": TANK, "settings": PRODUCTS}


@record
class Asked:
    """What rows are made of: the text and the plain values of the job, the takeoff where there is one, what was found,
    and the faults of a job that was refused."""

    text: str
    tree: object
    takeoff: Takeoff | None
    findings: tuple[Finding, ...] = ()
    faults: tuple[str, ...] = ()


@record
class Row:
    """One thing that was found. `grave`: stop, warning, note ... as said; `code` is the severity's own word. `marks`:
    what it is about; `panel`: where that is looked at; `line`: of the job file, 0 for none."""

    grave: str
    code: str
    text: str
    advice: str = ""
    marks: tuple[str, ...] = ()
    panel: str = JOB_FILE
    line: int = 0
    cures: tuple[Cure, ...] = ()


def asked_of(house: House) -> Asked:
    """What the house knows of its newest text."""
    text, tree = house.copy.text, house.tree
    if house.current(News.REFUSED):
        return Asked(text, tree, None, faults=house.faults)
    takeoff = house.ordered if house.current(News.ORDERED) else house.shaped
    return Asked(text, tree, takeoff, house.findings)


def rows_of(asked: Asked) -> tuple[Row, ...]:
    """Stops first, each finding once; the faults of a job that was refused."""
    if asked.faults:
        return tuple(_fault_row(fault, asked) for fault in asked.faults)
    if asked.takeoff is None:
        return ()
    ids = places_of_ids(asked.takeoff, asked.tree)
    places = read_yaml(asked.text).places if asked.findings else {}
    said = trade_words(asked.takeoff)
    found = sorted(dict.fromkeys(asked.findings), key=lambda finding: _ORDER.index(finding.severity))
    rows = []
    for finding in found:
        path = place_of(finding, asked.tree, ids)
        rows.append(
            Row(
                grave=SEVERITY_WORDS[finding.severity],
                code=finding.severity.value,
                text=said(spoken(finding.text, asked.takeoff)),
                advice=said(spoken(finding.advice, asked.takeoff)),
                marks=marks_of(finding, path),
                panel=panel_of(finding, path),
                line=_line_of(path, places),
                cures=cures_of(finding, asked.tree, ids),
            )
        )
    return tuple(rows)


def _fault_row(fault: str, asked: Asked) -> Row:
    """A fault with its line in the job file, which its words begin with."""
    found = _LINE.match(fault)
    line = int(found["line"]) if found is not None else 0
    return Row(
        "STOP", Severity.STOP.value, plain(fault), line=line, cures=cures_of(fault, asked.tree, file_text=asked.text)
    )


def marks_of(finding: Finding, path: EditPath) -> tuple[str, ...]:
    """What is touched when a finding is led to: what it names, else the edge whose place it has."""
    if finding.refs:
        return tuple(map(plain, finding.refs))
    match path:
        case ("roofs", int(roof), "edges", int(edge), *_):
            return (f"roof {roof + 1} edge {edge}",)
        case ("roofs", int(roof), "outline" | "wall_line", int(point), *_):
            return (f"roof {roof + 1} edge {point + 1}",)
    return ()


def panel_of(finding: Finding, path: EditPath) -> str:
    """Where a finding is looked at: walls in their elevation, what has a mark on the house in space."""
    if path and path[0] in _PANELS:
        return _PANELS[str(path[0])]
    if finding.refs:
        return WALLS if finding.refs[0].startswith(_WALL) else HOUSE
    return PLAN if path and path[0] == "roofs" else JOB_FILE


def _line_of(path: EditPath, places: dict[EditPath, tuple[int, int]]) -> int:
    """The line of a place in the job file, of the nearest thing around it that stands there; 0 for none."""
    for end in range(len(path), 0, -1):
        found = places.get((*path[:end], "<key>")) or places.get(path[:end])
        if found is not None:
            return found[0]
    return 0


def counts_words(codes: Sequence[str]) -> str:
    """How many stops and warnings, for the name of the panel.

    >>> counts_words(("stop", "warn", "note")), counts_words(())
    ('Stops: 1, warnings: 1', '')
    """
    stops, warnings = codes.count(Severity.STOP.value), codes.count(Severity.WARN.value)
    parts = [f"stops: {stops}"] * bool(stops) + [f"warnings: {warnings}"] * bool(warnings)
    words = ", ".join(parts)
    return words[:1].upper() + words[1:]


def codes_of(asked: Asked) -> tuple[str, ...]:
    """How grave everything is that was found, each once."""
    if asked.faults:
        return (Severity.STOP.value,) * len(asked.faults)
    return tuple(finding.severity.value for finding in dict.fromkeys(asked.findings))


def written_lines(before: str, after: str) -> tuple[str, ...]:
    """What a cure writes: lines of the job file that go ("-") and that come ("+"), each with its number.

    >>> written_lines("job: A\\npitch: 1\\n", "job: A\\npitch: 8\\n")
    ('-    2  pitch: 1', '+    2  pitch: 8')
    """
    return tuple(f"{line.sign} {line.number:>4}  {line.text}" for line in changed_lines(before, after, around=0))
