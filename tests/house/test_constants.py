"""A figure with a unit stands in the tolerances or in the settings, each with its reason, and nowhere else: whoever wants
to know what the program takes for one point, or lays between two screws, looks in two places."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

import takeoff
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.tolerances import TOLERANCES

PACKAGE = Path(takeoff.__file__).parent
UNIT = re.compile(r"_(MM|MM2|MM3|M|M2|DEG|KG|KN|S|L|K|C|KPA|PERCENT|MB|MM_PER_H)$")
# folders and files whose figures are neither a tolerance nor a value of the trade, or are told with their rule
EXCEPTED = {
    "basics/tolerances.py": "the place itself",
    "read/": "what a reader accepts at most, and what the units of a file are in mm",
    "model/job/fields.py": "bounds of the job's own keys, which the schema and its messages say",
    "measure/size_bounds.py": "how much one order may hold, told with its figure",
    "measure/roof_measures.py": "mm2 and mm in m2 and m",
    "order/bounds/": "margins of the second reckoning, which stand with their reasons in its own table",
    "web/": "what may be typed or laid under at most, steps of the drawing hand, and how often the page looks at the disk",
    "write/drawings/": "millimetres of paper, and how far a drawing shows what lies beside its subject",
    "write/house_view/": "how thick sticks are drawn in the picture in space, no size of the building",
    "write/models/": "the depth a wall's solid is given in a model, nominal, and how far an opening's body stands out",
    "write/folder/lock.py": "how long a run waits for another",
    "book/issuing.py": "how long an issue waits for another",
    "measure/cladding/face_parts.py": "further than any wall reaches: a side that is cut open",
    "measure/cladding/zone_shapes.py": "further than any wall reaches: a side that is cut open",
    "measure/cladding/nail_sizes.py": "the lengths nails are made in",
    "measure/cladding/wall_sheets.py": "what upright is",
    "measure/rainwater/sizing.py": "columns of the tables of both methods",
    "shape/imported/look_at_model.py": "what the setting says where no job is read yet",
    "shape/walls/covered_parts.py": "further than any wall reaches: a side that is cut open",
    "shape/walls/walls.py": "the bound of the job's own lengths",
    "measure/tank/": "room of its own: what is a crumb of water",
    "estate/": "how long a crew is waited for, and how often it is looked for",
    "session_worker.py": "how long a process that is told to end is waited for",
    "storing.py": "the largest tank that may be asked about",
    "measure/roofing/flashings/fold_sections.py": "how hems and edges are bent, drawn in the folding schedule",
    "measure/roofing/purlins/purlin_fixings.py": "columns of the table of fixings, code of practice 3.9.1A",
}


def figured(value: ast.expr | None) -> bool:
    """Whether a value is written as a number, or holds one."""
    if isinstance(value, ast.Constant):
        return isinstance(value.value, int | float) and not isinstance(value.value, bool)
    if isinstance(value, ast.UnaryOp):
        return figured(value.operand)
    if isinstance(value, ast.BinOp):
        return figured(value.left) and figured(value.right)
    if isinstance(value, ast.Tuple | ast.List | ast.Set):
        return any(map(figured, value.elts))
    return isinstance(value, ast.Dict) and any(map(figured, value.values))


def constants(source: str) -> list[str]:
    """Names of a module's own constants that carry a unit and are written as numbers."""
    found = []
    for node in ast.parse(source).body:
        target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
        if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(target, ast.Name) and figured(node.value):
            found += [target.id] if target.id.isupper() and UNIT.search(target.id) else []
    return found


@cache
def everywhere() -> dict[str, list[str]]:
    files = {path.relative_to(PACKAGE).as_posix(): path for path in PACKAGE.rglob("*.py")}
    return {name: found for name, path in files.items() if (found := constants(path.read_text(encoding="utf-8")))}


def test_figures_with_a_unit_stand_in_the_tolerances_or_the_settings() -> None:
    loose = {name: found for name, found in everywhere().items() if not name.startswith(tuple(EXCEPTED))}
    assert loose == {}


@pytest.mark.parametrize("place", [place for place in EXCEPTED if place != "basics/tolerances.py"])
def test_no_exception_outlives_its_figures(place: str) -> None:
    assert any(name.startswith(place) for name in everywhere())


@pytest.mark.parametrize(
    ("place", "record", "name"),
    [("basics/tolerances.py", TOLERANCES, "TOLERANCES"), ("basics/model_limits.py", MODEL_LIMITS, "MODEL_LIMITS")],
)
def test_every_tolerance_has_a_unit_and_a_reason_and_is_used(place: str, record: object, name: str) -> None:
    source = (PACKAGE / place).read_text(encoding="utf-8")
    used = "\n".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py") if path != PACKAGE / place)
    fields = re.findall(r"^    (\w+): float = (.*?)(?=^    \w+: |^    #|\Z)", source, re.MULTILINE | re.DOTALL)
    assert [field for field, _ in fields] == list(type(record).__slots__)
    for field, told in fields:
        assert re.search(r"_(mm|mm2|deg|slope|exact|rel|kg|m2)$", field), field
        assert "  # " in told or field == "compare_m2", field
        assert re.search(rf"\b{name}\.{field}\b", used), field


def test_the_scan_sees_what_it_is_for() -> None:
    assert constants("_FAR_MM = 1.0\nNEAR_DEG: float = -2\nMOST = 3\n_FEW_MM = T.few_mm\n_TWO_M = (1.0, x)\n") == [
        "_FAR_MM",
        "NEAR_DEG",
        "_TWO_M",
    ]
