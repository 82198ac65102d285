"""The import rules of the package: each layer imports only layers below it, and stages never import each other."""

from __future__ import annotations

import ast
from pathlib import Path

import takeoff

PACKAGE = Path(takeoff.__file__).parent
LAYERS = [
    {
        "cli",
        "cli_book",
        "cli_estate",
        "cli_page",
        "cli_words",
        "screen",
        "screen_book",
        "screen_differences",
        "screen_estate",
        "screen_look",
        "__main__",
    },
    {"web"},
    {"session_worker"},
    {"review", "book", "estate", "listing", "looking", "storing", "session"},
    {"pipeline"},
    {"measuring"},
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


def rooms_in(stage: str) -> dict[str, set[str]]:
    """Which rooms of a stage lean on which: modules by their folder, the stage's own top folders left out."""
    graph: dict[str, set[str]] = {}
    for path in sorted((PACKAGE / stage).rglob("*.py")):
        room = ".".join(path.relative_to(PACKAGE).parts[:-1])
        for target in modules_of(path.read_text(encoding="utf-8")):
            other = ".".join(target.split(".")[1:-1])
            if target.startswith(f"takeoff.{stage}.") and other != room and not room.startswith(other):
                graph.setdefault(room, set()).add(other)
    return graph


def modules_of(source: str) -> set[str]:
    """Modules of the package that a module imports from, also inside functions."""
    found = (node.module for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom))
    return {module for module in found if module and module.startswith("takeoff.")}


def circle(graph: dict[str, set[str]], room: str, trail: tuple[str, ...] = ()) -> str:
    """The first circle met from a room, as a line; "" for none."""
    if room in trail:
        return " -> ".join((*trail[trail.index(room) :], room))
    return next(filter(None, (circle(graph, to, (*trail, room)) for to in sorted(graph.get(room, ())))), "")


def test_rooms_of_a_stage_lean_one_way() -> None:
    graphs = [rooms_in(stage) for stage in ("shape", "measure", "order", "read", "write", "model")]
    assert [found for graph in graphs for room in graph if (found := circle(graph, room))] == []
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b"}}, "a") == "b -> c -> b"


def test_every_room_named_here_exists() -> None:
    rooms = {room_of(path) for path in PACKAGE.rglob("*.py")} - {"__init__", "catalogue"}
    assert set(RANK) == rooms


def test_modules_of_one_name_mean_one_thing() -> None:
    """A section of the job file and the stage that works on it share a name, and so do a record and its reader."""
    allowed = {"products", "faces", "walls", "settings", "runs", "drainage", "sheets", "rainwater", "files", "solve"}
    names = [path.stem for path in PACKAGE.rglob("*.py") if path.stem != "__init__"]
    assert {name for name in names if names.count(name) > 1} <= allowed


def test_the_rule_itself_sees_a_fault() -> None:
    assert broken_rules("model", imports_of("def f():\n    from takeoff.shape import walls")) == ["model imports shape"]
    assert broken_rules("order", imports_of("from takeoff.shape.walls.walls import x")) == ["order imports shape"]
    assert broken_rules("measure", imports_of("import takeoff.order.cut")) == ["measure imports order"]
    assert broken_rules("read", imports_of("from . import x")) == ["read imports ."]
    assert broken_rules("measure", imports_of("from takeoff.shape.walls.walls import x")) == []


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
