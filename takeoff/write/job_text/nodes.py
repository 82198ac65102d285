"""A job file's text as nodes: what each value is and from which character to which it stands."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from takeoff.basics.errors import UsageError
from takeoff.basics.yaml_words import plain_word
from takeoff.write.job_text.written import LOADER

DEEPEST = 60  # levels, more than a reader of jobs takes
BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
COMMENT = re.compile("#[^\n\r\x85\u2028\u2029]*")


@dataclass(slots=True)
class Node:
    """One value. `start`, `end`: characters, the end after what is its own (comments below it are not). `keys` and
    `children` go together in a map; `named` leads from a key to its first place."""

    kind: str  # "scalar", "map" or "list"
    start: int
    end: int
    column: int
    value: object = None
    flow: bool = False
    style: str = ""  # the quotes of a scalar, or its | or >
    keys: list[Node] = field(default_factory=list)
    children: list[Node] = field(default_factory=list)
    named: dict[str | int, int] = field(default_factory=dict)


@dataclass(slots=True)
class JobText:
    """A text without its byte order mark, its root (None: no value at all) and whether it holds what no job may: keys
    given twice, aliases."""

    text: str
    root: Node | None = None
    odd: bool = False

    @property
    def value(self) -> object:
        """The whole as a plain value."""
        return self.root.value if self.root else None

    def line_end(self, at: int) -> int:
        """Where the line of a character ends, before its break."""
        found = BREAK.search(self.text, at)
        return found.start() if found else len(self.text)

    def line_start(self, at: int) -> int:
        """Where the line of a character begins."""
        while at and self.text[at - 1] not in "\n\r\x85\u2028\u2029":
            at -= 1
        return at

    def next_line(self, at: int) -> int:
        """Where the line after the one of a character begins, or the end of the text."""
        found = BREAK.search(self.text, at)
        return found.end() if found else len(self.text)

    def newline(self) -> str:
        """How this file ends its lines."""
        found = BREAK.search(self.text)
        return found.group() if found else "\n"

    def past_blanks(self, at: int) -> int:
        """The next character that is neither white nor in a comment."""
        while at < len(self.text):
            if self.text[at].isspace():
                at += 1
            elif found := COMMENT.match(self.text, at):
                at = found.end()
            else:
                break
        return at

    @property
    def quotes(self) -> str:
        """The quotes of every text where the file is written as JSON is, else none."""
        keys = self.root.keys if self.root and self.root.flow else []
        return '"' if keys and keys[0].style == '"' else ""


def read_nodes(text: str) -> JobText:
    """The nodes of a text. UsageError where it is no YAML, or several documents in one."""
    job = JobText(text)
    try:
        events = iter(yaml.parse(text, Loader=LOADER))
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                if job.root:
                    raise UsageError("the job file holds more than one document; a --- too many")
                job.root = _node(next(events), events, job, 0)
    except yaml.MarkedYAMLError as err:
        mark = err.problem_mark or err.context_mark
        where = f"{mark.line + 1}:{mark.column + 1}: " if mark else ""
        raise UsageError(f"{where}not YAML here; put the text right before it is changed otherwise") from err
    except (yaml.YAMLError, UnicodeError) as err:
        raise UsageError("the job file is not text that can be read") from err
    if job.root and job.root.kind == "scalar" and job.root.start == job.root.end and job.root.value is None:
        job.root = None
    return job


def _node(event: Any, events: Iterator[Any], job: JobText, depth: int) -> Node:
    if depth > DEEPEST:
        raise UsageError(f"nested deeper than {DEEPEST} levels")
    mark: Any = event.start_mark
    start, column = mark.index, mark.column
    if isinstance(event, yaml.AliasEvent):
        job.odd = True
        return Node("scalar", start, _end_of(event), column, style="*")
    if isinstance(event, yaml.ScalarEvent):
        style = event.style if event.style in ("'", '"', "|", ">") else ""
        end = _end_of(event)
        end = len(job.text[:end].rstrip()) if style in ("|", ">") else end
        return Node("scalar", start, end, column, event.value if style else plain_word(event.value), style=style)
    is_map = isinstance(event, yaml.MappingStartEvent)
    node = Node("map" if is_map else "list", start, start, column, flow=bool(event.flow_style))
    closing = yaml.MappingEndEvent if is_map else yaml.SequenceEndEvent
    while not isinstance(event := next(events), closing):
        if is_map:
            node.keys.append(_node(event, events, job, depth + 1))
            event = next(events)
        node.children.append(_node(event, events, job, depth + 1))
    node.end = _end_of(event) if node.flow else _last_end(node)
    node.value = _named_values(node, job) if is_map else [child.value for child in node.children]
    return node


def _end_of(event: Any) -> int:
    return int(event.end_mark.index)


def _last_end(node: Node) -> int:
    """The end of what a block holds; a last key without a value ends after its colon."""
    return max((one.end for one in (*node.keys[-1:], *node.children[-1:])), default=node.start)


def _named_values(node: Node, job: JobText) -> dict[str | int, object]:
    values: dict[str | int, object] = {}
    for place, (key, child) in enumerate(zip(node.keys, node.children, strict=True)):
        name = key.value
        if isinstance(name, bool) or not isinstance(name, str | int):
            name = job.text[key.start : key.end] if key.kind == "scalar" else None
        if name is None or name in values:
            job.odd = True
            continue
        values[name] = child.value
        node.named[name] = place
    return values
