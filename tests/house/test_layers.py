"""The import rules of the package: each layer imports only layers below it, and stages never import each other."""

from __future__ import annotations

import ast
from pathlib import Path

import takeoff

PACKAGE = Path(takeoff.__file__).parent
LAYERS = [
    {"cli", "screen", "screen_differences", "__main__"},
    {"web", "portfolio", "review"},
    {"pipeline"},
    {"read", "measure", "order", "write"},
    {"shape"},
    {"model"},
    {"basics"},
]
RANK = {name: i for i, names in enumerate(LAYERS) for name in names}
NOT_EVEN_BELOW = {("order", "shape"), ("read", "shape"), ("write", "shape")}


def imports_of(source: str) -> set[str]:
    """Rooms of the package that a module imports, also inside functions; "." for a relative import."""
    rooms: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            if node.level:
                rooms.add(".")
            elif node.module == "takeoff":
                rooms |= {alias.name for alias in node.names if alias.name != "__version__"}
            elif node.module and node.module.startswith("takeoff."):
                rooms.add(node.module.split(".")[1])
        elif isinstance(node, ast.Import):
            rooms |= {alias.name.split(".")[1] for alias in node.names if alias.name.startswith("takeoff.")}
    return rooms


def broken_rules(room: str, targets: set[str]) -> list[str]:
    """Why an import is not allowed, one line each."""
    return [
        f"{room} imports {target}"
        for target in sorted(targets)
        if target == "."
        or target not in RANK
        or (target != room and RANK[target] <= RANK[room] and not (RANK[room] == 0 and RANK[target] == 0))
        or (room, target) in NOT_EVEN_BELOW
    ]


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def test_every_module_keeps_to_its_layer() -> None:
    broken = [
        f"{path.relative_to(PACKAGE)}: {rule}"
        for path in sorted(PACKAGE.rglob("*.py"))
        if path != PACKAGE / "__init__.py"
        for rule in broken_rules(room_of(path), imports_of(path.read_text(encoding="utf-8")))
    ]
    assert broken == []


def test_the_rule_itself_sees_a_fault() -> None:
    assert broken_rules("model", imports_of("def f():\n    from takeoff.shape import walls")) == ["model imports shape"]
    assert broken_rules("order", imports_of("from takeoff.shape.walls import x")) == ["order imports shape"]
    assert broken_rules("measure", imports_of("import takeoff.order.cut")) == ["measure imports order"]
    assert broken_rules("read", imports_of("from . import x")) == ["read imports ."]
    assert broken_rules("measure", imports_of("from takeoff.shape.walls import x")) == []


def test_only_the_top_package_has_a_face() -> None:
    filled = [
        str(path.relative_to(PACKAGE))
        for path in PACKAGE.rglob("__init__.py")
        if path.parent != PACKAGE and path.read_text(encoding="utf-8").strip()
    ]
    assert filled == []


def test_no_module_is_in_an_import_circle() -> None:
    graph: dict[str, set[str]] = {}
    for path in PACKAGE.rglob("*.py"):
        name = ".".join(("takeoff", *path.relative_to(PACKAGE).with_suffix("").parts))
        tree = ast.parse(path.read_text(encoding="utf-8"))
        graph[name] = {
            node.module
            for node in tree.body
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("takeoff.")
        }
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join((*trail, name))
        if name not in done:
            for target in sorted(graph.get(name, ())):
                visit(target, (*trail, name))
            done.add(name)

    for name in sorted(graph):
        visit(name, ())
