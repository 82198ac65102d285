"""Places of a module's syntax tree where one small fault can be planted, and the text of the module with it planted.

sign        + for -, - for +, a minus left out
one off     a whole number one more or one less
doubled     a figure (no crumb of floating point) or a product times two
dropped     the last term, factor or condition left out
swapped     the first two arguments of a call change places
limit       < for <=, <= for <, > for >=, >= for >
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass

# calls that give the same whichever way round their first two arguments stand, or that fail at once
_EITHER_WAY = {
    "max",
    "min",
    "hypot",
    "dist",
    "dot2",
    "dot3",
    "distance2",
    "add3",
    "minimum",
    "maximum",
    "intersects",
    "isinstance",
    "gcd",
    "issubclass",
    "getattr",
    "setattr",
    "hasattr",
    "cast",
    "super",
}
_OTHER_SIDE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt,
}  # fmt: skip
_CRUMB = 1e-6  # what is left of floating point: what guards against it does so at twice the size as well
_TEXTS = (ast.JoinedStr, ast.Tuple, ast.List, ast.Set, ast.Dict, ast.ListComp, ast.GeneratorExp)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: the function it lies in ("" for the module itself), its line (1-based) and that of the function, what
    stands there and what is put in its place, which of several alike in that function it is (1-based), and its place in
    the module's text (line and byte, from and to)."""

    function: str
    function_line: int
    line: int
    kind: str
    before: str
    after: str
    nth: int
    start: tuple[int, int]
    end: tuple[int, int]

    def planted(self, source: str) -> str:
        """The module's text with the fault in it; an expression is put in brackets, so that it binds as before."""
        lines = source.encode("utf-8").splitlines(keepends=True)
        start, end = (sum(map(len, lines[: line - 1])) + byte for line, byte in (self.start, self.end))
        whole = b"".join(lines)
        new = self.after if self.before_is_statement else f"({self.after})"
        return (whole[:start] + new.encode("utf-8") + whole[end:]).decode("utf-8")

    @property
    def before_is_statement(self) -> bool:
        """Whether a statement was changed, which takes no brackets."""
        return isinstance(ast.parse(self.before).body[0], ast.AugAssign)


def faults_in(source: str) -> list[Fault]:
    """Every fault that can be planted in a module, in the order of its text."""
    alike: dict[tuple[str, str, str, str], int] = {}
    turns: dict[tuple[str, str], int] = {}
    found = []
    for function, function_line, node, kind, changed in _changes(ast.parse(source)):
        before = ast.unparse(node)
        if kind == "one off" and isinstance(node, ast.Constant) and isinstance(node.value, int):
            # one more or one less in turn, so that both are drawn
            turns[function, before] = turns.get((function, before), 0) + 1
            changed = ast.Constant(node.value + (-1 if (node.value + turns[function, before]) % 2 else 1))
        after = ast.unparse(changed)
        key = (function, kind, before, after)
        alike[key] = alike.get(key, 0) + 1
        start = (node.lineno, node.col_offset)
        end = (node.end_lineno or node.lineno, node.end_col_offset or 0)
        found.append(Fault(function, function_line, node.lineno, kind, before, after, alike[key], start, end))
    return found


_Change = tuple[str, int, ast.expr | ast.stmt, str, ast.expr | ast.stmt]


def _changes(tree: ast.Module) -> Iterator[_Change]:
    yield from _below(tree, "", 0)


def _below(node: ast.AST, function: str, line: int) -> Iterator[_Change]:
    """Changes under a node. Annotations, decorators, what only a type checker reads and the insides of formatted texts
    (whose places differ between versions of Python) are left alone."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST) or isinstance(child, (ast.JoinedStr, ast.Import, ast.ImportFrom)):
                continue
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
                continue
            if isinstance(child, (ast.FunctionDef, ast.ClassDef)):
                inner = f"{function}.{child.name}".lstrip(".")
                within = child.lineno if isinstance(child, ast.FunctionDef) else line
                yield from _below(child, inner, within)
                continue
            if isinstance(child, (ast.expr, ast.stmt)):
                yield from ((function, line, child, kind, changed) for kind, changed in _of(child))
            yield from _below(child, function, line)


def _of(node: ast.expr | ast.stmt) -> Iterator[tuple[str, ast.expr | ast.stmt]]:
    """The changes of one node by itself."""
    match node:
        case ast.BinOp(op=ast.Add() | ast.Sub()) if not _is_text(node):
            yield "sign", _changed(node, op=ast.Sub() if isinstance(node.op, ast.Add) else ast.Add())
            yield "dropped", node.left
        case ast.BinOp(op=ast.Mult() | ast.Div()) if not _is_text(node):
            yield "doubled", ast.BinOp(ast.Constant(2), ast.Mult(), node)
            yield "dropped", node.left
        case ast.AugAssign(op=ast.Add() | ast.Sub()) if not isinstance(node.value, _TEXTS):
            yield "sign", _changed(node, op=ast.Sub() if isinstance(node.op, ast.Add) else ast.Add())
        case ast.UnaryOp(op=ast.USub()):
            yield "sign", node.operand
        case ast.Constant(value=int()) if not isinstance(node.value, bool):
            yield "one off", ast.Constant(node.value + 1)
        case ast.Constant(value=float()) if not 0.0 < node.value <= _CRUMB:
            yield "doubled", ast.Constant(2.0 * node.value if node.value else 1.0)
        case ast.BoolOp():
            left = node.values[:-1]
            yield "dropped", left[0] if len(left) == 1 else _changed(node, values=left)
        case ast.Call(args=[first, second, *_]) if _name(node.func) not in _EITHER_WAY:
            starred = isinstance(first, ast.Starred) or isinstance(second, ast.Starred)
            if not starred and ast.dump(first) != ast.dump(second):
                yield "swapped", _changed(node, args=[second, first, *node.args[2:]])
        case ast.Compare() if type(node.ops[0]) in _OTHER_SIDE:
            yield "limit", _changed(node, ops=[_OTHER_SIDE[type(node.ops[0])](), *node.ops[1:]])


def _changed(node: ast.expr | ast.stmt, **fields: object) -> ast.expr | ast.stmt:
    new = copy.copy(node)
    for name, value in fields.items():
        setattr(new, name, value)
    return new


def _name(func: ast.expr) -> str:
    return func.id if isinstance(func, ast.Name) else func.attr if isinstance(func, ast.Attribute) else ""


def _is_text(node: ast.BinOp) -> bool:
    """Whether a sum or product is plainly one of texts or rows, where any change fails at once."""
    return any(
        isinstance(side, _TEXTS) or (isinstance(side, ast.Constant) and isinstance(side.value, str))
        for side in (node.left, node.right)
    )
