"""Which characters of a job's text are replaced for one change: a value set, an entry put in, an entry taken out."""

from __future__ import annotations

from collections.abc import Iterable

from takeoff.model.job_edits import GONE, Edit, Step
from takeoff.write.job_text.nodes import BREAK, JobText, Node
from takeoff.write.job_text.written import as_entry, block_lines, flow_words, scalar_words, suits_one_line, under_key

Splice = tuple[int, int, str]  # from, to, the new characters


def spliced(text: str, splices: Iterable[Splice]) -> str:
    """The text with all splices made; none of them overlap, and those at one place stand as they came."""
    in_order = sorted(enumerate(splices), key=lambda one: (*one[1][:2], one[0]), reverse=True)
    for _, (start, end, new) in in_order:
        text = text[:start] + new + text[end:]
    return text


def splices_of(job: JobText, edit: Edit) -> list[Splice]:
    """The splices of one least change. LookupError where the text is written in a way that they cannot be told."""
    if not edit.path:
        return _root_set(job, edit.value)
    parent = node_at(job, edit.path[:-1])
    step = edit.path[-1]
    place = parent.named.get(step, -1) if parent.kind == "map" else int(step)
    if edit.rename:
        key = parent.keys[place]
        return [(key.start, key.end, scalar_words(edit.value, job.quotes or key.style, parent.flow))]
    if edit.value is GONE:
        return _taken_out(job, edit, parent, place)
    if edit.insert or not 0 <= place < len(parent.children):
        return _put_in(job, edit, parent, place)
    return _set(job, parent, place, edit.value)


def node_at(job: JobText, path: Iterable[Step]) -> Node:
    """The node of a path; LookupError where there is none."""
    node = job.root
    for step in path:
        if node is None:
            break
        node = node.children[node.named[step] if node.kind == "map" else int(step)]
    if node is None:
        raise LookupError
    return node


# ---------------------------------------------------------------- a value set


def _root_set(job: JobText, value: object) -> list[Splice]:
    new = job.newline()
    lines = new.join([flow_words(value, job.quotes)] if job.quotes else block_lines(value, 0))
    if job.root:
        return [(job.root.start, job.root.end, lines)]
    at = len(job.text)
    begun = job.text and not job.text.endswith(("\n", "\r"))
    return [(at, at, (new if begun else "") + lines + ("" if begun else new))]


def _set(job: JobText, parent: Node, place: int, value: object) -> list[Splice]:
    node = parent.children[place]
    if parent.flow or (_single(node) and _single(value)):
        style = job.quotes or (node.style if node.style in ("'", '"') else "")
        text = scalar_words(value, style, parent.flow) if _single(value) else flow_words(value, job.quotes)
        return [(node.start, node.end, text if node.start < node.end else f" {text}")]
    if parent.kind == "map":
        return _set_under_key(job, node, _after_colon(job, parent.keys[place]), *under_key(value, parent.column))
    head, below = as_entry(value, parent.column)
    if _block(node):
        return [(node.start, node.end, job.newline().join([head, *below]))]
    return [(node.start, node.end, head if node.start < node.end else f" {head}"), *_below(job, node.end, below)]


def _set_under_key(job: JobText, node: Node, colon: int, head: str, below: list[str]) -> list[Splice]:
    """A comment on the line of the key stays there."""
    if _block(node):
        key_line = job.line_end(colon)
        lines = "".join(job.newline() + line for line in below)
        return [(colon, colon, f" {head}" if head else ""), (key_line, job.line_end(node.end), lines)]
    if not head or node.start == node.end:
        return [(colon, node.end, f" {head}" if head else ""), *_below(job, node.end, below)]
    return [(node.start, node.end, head), *_below(job, node.end, below)]


def _below(job: JobText, at: int, lines: list[str]) -> list[Splice]:
    """Lines below the one of a character."""
    end = job.line_end(at)
    return [(end, end, "".join(job.newline() + line for line in lines))] if lines else []


def _after_colon(job: JobText, key: Node) -> int:
    at = job.past_blanks(key.end)
    if job.text[at : at + 1] != ":":
        raise LookupError
    return at + 1


def _single(value: object) -> bool:
    """Whether a plain value, or a node, is written as one word in the line it stands in."""
    if isinstance(value, Node):
        return value.kind == "scalar" and value.style not in ("|", ">")
    return not isinstance(value, list | dict)


def _block(node: Node) -> bool:
    return node.kind != "scalar" and not node.flow


# ------------------------------------------------------------- an entry put in


def _put_in(job: JobText, edit: Edit, parent: Node, place: int) -> list[Splice]:
    if parent.kind == "scalar":
        raise LookupError
    if not parent.children:
        return _first_entry(job, edit, parent)
    place = place if parent.kind == "list" else len(parent.children)
    if parent.flow:
        return _put_in_flow(job, edit, parent, place)
    head, below = _entry_lines(edit, parent)
    lines = [head, *(line for line in below)]
    margin, new = " " * parent.column, job.newline()
    if place == 0:
        return [(parent.start, parent.start, new.join(lines) + new + margin)]
    at = _own_end(job, parent.children[place - 1], parent.keys[place - 1 : place], parent.column)
    return [(at, at, new + margin + new.join(lines))]


def _entry_lines(edit: Edit, parent: Node) -> tuple[str, list[str]]:
    """An entry of a block map or list: its first line without the margin, and the lines below."""
    if parent.kind == "map":
        begun = scalar_words(edit.path[-1]) + ":"
        head, below = under_key(edit.value, parent.column)
    else:
        begun = "-"
        head, below = as_entry(edit.value, parent.column)
    return begun + (f" {head}" if head else ""), below


def _first_entry(job: JobText, edit: Edit, parent: Node) -> list[Splice]:
    """{} and [] are set anew, so that what is long gets lines of its own."""
    value = {edit.path[-1]: edit.value} if parent.kind == "map" else [edit.value]
    path = edit.path[:-1]
    if not path:
        return _root_set(job, value)
    above = node_at(job, path[:-1])
    if above.flow or suits_one_line(value, above.column):
        at = job.past_blanks(parent.start + 1)
        return [(at, at, flow_words(value, job.quotes)[1:-1])]
    return splices_of(job, Edit(path, value))


def _put_in_flow(job: JobText, edit: Edit, parent: Node, place: int) -> list[Splice]:
    words = flow_words(edit.value, job.quotes)
    if parent.kind == "map":
        words = f"{scalar_words(edit.path[-1], job.quotes, True)}: {words}"
    if place == 0:
        return [_before_first(job, parent, words)]
    start, end = _span(parent, place - 1)
    indent = job.text[job.line_start(start) : start]
    comma = job.past_blanks(end)
    has_comma = job.text[comma : comma + 1] == ","
    last = place == len(parent.children)
    if indent.strip() or job.line_start(start) <= parent.start:  # entries stand beside each other
        return [(end, end, f", {words}")]
    at = job.line_end(comma if has_comma else end)
    alone = not job.text[comma + 1 if has_comma else end : at].split("#")[0].strip()
    if not alone:
        return [(end, end, f", {words}")]
    mark = [] if has_comma else [(end, end, ",")]
    return [*mark, (at, at, f"{job.newline()}{indent}{words}{'' if last else ','}")]


def _before_first(job: JobText, parent: Node, words: str) -> Splice:
    at = _span(parent, 0)[0]
    indent = job.text[job.line_start(at) : at]
    own_line = job.line_start(at) > parent.start and not indent.strip()
    return (at, at, f"{words},{job.newline()}{indent}" if own_line else f"{words}, ")


def _own_end(job: JobText, node: Node, keys: list[Node], column: int) -> int:
    """The end of the last line of an entry, with the comments below that are indented deeper than it."""
    at = job.line_end(max(node.end, *(key.end for key in keys), 0))
    while at < len(job.text):
        begin = job.next_line(at)
        end = job.line_end(begin)
        line = job.text[begin:end]
        bare = line.lstrip(" ")
        if not bare.startswith("#") or len(line) - len(bare) <= column:
            break
        at = end
    return at


def _span(parent: Node, place: int) -> tuple[int, int]:
    """From where to where an entry of a flow map or list stands, its comma left out."""
    child = parent.children[place]
    if parent.kind == "list":
        return child.start, child.end
    key = parent.keys[place]
    return key.start, max(key.end, child.end)


# ------------------------------------------------------------ an entry taken out


def _taken_out(job: JobText, edit: Edit, parent: Node, place: int) -> list[Splice]:
    if len(parent.children) == 1 and not parent.flow:
        empty: object = {} if parent.kind == "map" else []
        return splices_of(job, Edit(edit.path[:-1], empty))
    return _out_of_flow(job, parent, place) if parent.flow else _out_of_block(job, parent, place)


def _out_of_block(job: JobText, parent: Node, place: int) -> list[Splice]:
    start = _entry_start(job, parent, place)
    end = _own_end(job, parent.children[place], parent.keys[place : place + 1], parent.column)
    begin = job.line_start(start)
    if job.text[begin:start].strip():  # the first entry, on the line of a list's dash
        following = _entry_start(job, parent, place + 1)
        between = job.text[end:following]
        return [(start, end if "#" in between else following, "")]
    if end < len(job.text):
        return [(begin, job.next_line(end), "")]
    broken = [found.start() for found in BREAK.finditer(job.text, 0, begin)]
    return [(broken[-1] if broken else 0, end, "")]


def _entry_start(job: JobText, parent: Node, place: int) -> int:
    """Where an entry of a block map or list begins: its key, or its dash."""
    if parent.kind == "map":
        return parent.keys[place].start
    if place == 0:
        return parent.start
    before = parent.children[place - 1]
    dash = job.past_blanks(before.end)
    if job.text[dash : dash + 1] != "-" or dash >= max(parent.children[place].start, dash + 1):
        raise LookupError
    return dash


def _out_of_flow(job: JobText, parent: Node, place: int) -> list[Splice]:
    start, end = _span(parent, place)
    comma = job.past_blanks(end)
    has_comma = job.text[comma : comma + 1] == ","
    begin, stop = job.line_start(start), comma + 1 if has_comma else end
    alone_before = begin > parent.start and not job.text[begin:start].strip()
    rest = job.text[stop : job.line_end(stop)]
    if alone_before and job.line_end(stop) < parent.end and not rest.split("#")[0].strip():
        return [(begin, job.next_line(stop), "")]
    if has_comma or place == 0:
        while job.text[start - 1] in " {[" and job.text[stop : stop + 1] == " ":
            stop += 1
        return [(start, stop, "")]
    before = job.past_blanks(_span(parent, place - 1)[1])
    gap = job.text[before + 1 : start]
    return [(before if not gap.strip() else start, end, "")]
