"""The table of edge kinds is whole, nothing keeps a second one, and a new kind is a row, its rule and its flashing. A new
kind of flashing or of profile is as little: each is made up in a copy of the package, and the files it takes are counted.
"""

from __future__ import annotations

import ast
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import takeoff
from takeoff.measure.roofing.flashings.flashing_shapes import SHAPES
from takeoff.model.edge_kinds import EVERYTHING, Dressed, EdgeKind, EdgeRow, End, Place
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.write.drawings.layers import LAYERS

PACKAGE = Path(takeoff.__file__).parent
SAMPLES = Path(__file__).parents[2] / "geometry_samples"
ROWS = [pytest.param(kind, id=kind.value) for kind in EdgeKind]


def test_no_two_kinds_share_a_letter() -> None:
    letters = [kind.row.letter for kind in EdgeKind]
    assert len(set(letters)) == len(letters)
    assert all(len(letter) == 1 and letter.isupper() for letter in letters)
    assert not {"P", "W", "N"} & set(letters), "planes, walls and nodes go by these"


@pytest.mark.parametrize("kind", ROWS)
def test_a_row_names_only_what_there_is(kind: EdgeKind) -> None:
    row, settings, flashings = kind.row, default_settings(), load_catalogue().flashings
    assert row.layer in LAYERS
    named = [name for name, _ in (*row.trim, *row.bare_trim, *row.foot_trim)]
    named += [name for name in (row.underlay, row.underlay_foot, row.purlin_at) if name]
    assert [name for name in named if name not in settings] == []
    assert set(row.joins) <= {*EdgeKind, EVERYTHING}
    if row.flashing:
        assert flashings[row.flashing].edge_kind in SHAPES


@pytest.mark.parametrize("kind", ROWS)
def test_a_row_says_all_that_its_kind_needs(kind: EdgeKind) -> None:
    """The eave alone has no flashing: the spouting hangs there."""
    row = kind.row
    assert row.trim
    assert bool(row.flashing) is (kind is not EdgeKind.EAVE)
    assert (row.end in (End.SIDE, End.CORNER)) is (not row.level)
    if row.flashing:
        assert (row.dressed is Dressed.ACROSS) is row.level
        assert bool(row.joins) is row.level
    assert bool(row.purlin_row) is (row.level and row.end in (End.TOP, End.BREAK))
    assert bool(row.foot_trim) is bool(row.underlay_foot) is (row.end is End.BREAK)
    assert row.place is not Place.WALL or row.underlay


def test_every_flashing_is_bent_as_a_kind_of_edge_asks() -> None:
    assert {product.edge_kind for product in load_catalogue().flashings.values()} <= set(SHAPES)
    assert set(SHAPES) <= {kind.value for kind in EdgeKind}
    assert {kind.row.flashing for kind in EdgeKind} - {""} <= set(load_catalogue().flashings)


def tables_of(source: str) -> list[int]:
    """Lines of dict and set literals that list three or more kinds of edge: tables that a new kind would have to
    join."""
    found = []
    for node in ast.walk(ast.parse(source)):
        entries = node.keys if isinstance(node, ast.Dict) else node.elts if isinstance(node, ast.Set) else []
        named = [ast.unparse(entry.value) for entry in entries if isinstance(entry, ast.Attribute)]
        if named.count("EdgeKind") > 2 and isinstance(node, ast.Dict | ast.Set):
            found.append(node.lineno)
    return found


def test_nothing_else_keeps_a_table_of_edge_kinds() -> None:
    """The sections of the flashings are another table: of flashing kinds, each with a rule truly its own. The bounds tell
    the trims again so that they can judge them, and take a kind that is not told from its row."""
    places = {
        path.relative_to(PACKAGE).as_posix(): lines
        for path in PACKAGE.rglob("*.py")
        if (lines := tables_of(path.read_text(encoding="utf-8")))
    }
    assert sorted(places) == ["measure/roofing/flashings/flashing_shapes.py", "order/bounds/sheet_bounds.py"]
    assert tables_of("a = {EdgeKind.EAVE: 1, EdgeKind.HEAD: 2, EdgeKind.HIP: 3}\n") == [1]


PARAPET = """    PARAPET = (
        "parapet",
        EdgeRow(
            letter="K",
            layer="ROOF-HEAD",
            level=True,
            place=Place.FREE,
            end=End.TOP,
            trim=(("head_trim_mm", -1.0),),
            flashing="parapet_cap",
            joins=("hip", "valley", "parapet", "ridge"),
            capped_at_wall=True,
            across=1,
            screwed=True,
            purlin_row="head",
            purlin_at="purlin_head_row_mm",
        ),
    )

    row: EdgeRow
"""
CAP = """
parapet_cap:
  name: Parapet cap
  edge_kind: head
  stock_mm: 6000
  basis:
    "*": {status: common_practice, clause: "made up for a test"}
"""
SCRIPT = """
import json, sys
from pathlib import Path
from takeoff.pipeline import run_file, write_files
takeoff = run_file(Path(sys.argv[1]))
write_files(takeoff, Path(sys.argv[2]))
lines = [[line.item, line.each_mm, line.count, line.total] for line in takeoff.order.lines]
edges = [[edge.id, edge.kind.value, edge.length_mm] for roof in takeoff.roofs for edge in roof.edges]
print(json.dumps({"lines": lines, "edges": edges}))
"""


def put_in(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def copied_package(where: Path) -> Path:
    """A copy of the package to make something up in."""
    shutil.copytree(PACKAGE, where / "takeoff", ignore=shutil.ignore_patterns("__pycache__"))
    (where / "templates").symlink_to(PACKAGE.parent / "templates")
    return where / "takeoff"


def files_changed(copy: Path) -> list[str]:
    """Files of a copied package that differ from the package's own, or are new."""
    files = [path for path in copy.rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    names = [path.relative_to(copy).as_posix() for path in files]
    return sorted(
        name
        for name in names
        if not (PACKAGE / name).is_file() or (PACKAGE / name).read_bytes() != (copy / name).read_bytes()
    )


def taken_off(
    where: Path, out: Path, job: Path = SAMPLES / "single_pitch" / "job.yaml"
) -> dict[str, list[list[str | float]]]:
    """A house, the single pitch of the samples if none is given, taken off by the package that lies in `where`."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(job), str(out)],
        env={**os.environ, "PYTHONPATH": str(where)},
        cwd=where,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found: dict[str, list[list[str | float]]] = json.loads(done.stdout)
    return found


def test_a_new_kind_of_edge_is_a_row_a_rule_and_a_flashing(tmp_path: Path) -> None:
    """A made-up parapet in place of the head: three files are touched, and the house goes through to its files with the
    same sheets and purlins, and the cap bought under its own name."""
    copy = copied_package(tmp_path)
    put_in(copy / "model/edge_kinds.py", "    row: EdgeRow\n", PARAPET)
    put_in(copy / "shape/faces/name_edges.py", "return EdgeKind.HEAD if", "return EdgeKind.PARAPET if")
    with (copy / "catalogue/products/flashings.yaml").open("a", encoding="utf-8") as file:
        file.write(CAP)
    assert len(files_changed(copy)) == 3
    before, after = taken_off(PACKAGE.parent, tmp_path / "old"), taken_off(tmp_path, tmp_path / "new")
    heads = [(str(name), length) for name, kind, length in before["edges"] if kind == "head"]
    parapets = [(str(name), length) for name, kind, length in after["edges"] if kind == "parapet"]
    assert heads
    assert parapets == [(name.replace("T", "K"), length) for name, length in heads]
    told = [[str(line[0]).replace("head_cap", "parapet_cap"), *line[1:]] for line in before["lines"]]
    assert after["lines"] == told
    assert any(str(line[0]).startswith("parapet_cap") for line in after["lines"])
    assert (tmp_path / "new" / "manifest.json").is_file()


ROLL = """
def _roll(wanted: Wanted) -> Shaped:
    return _cap(wanted, "ridge_gap_mm", 2.0)


SHAPES: Mapping[str, Callable[[Wanted], Shaped]] = {
    "roll": _roll,
"""
ROLLED_RIDGE = """
rolled_ridge:
  name: Rolled ridge
  edge_kind: roll
  stock_mm: 6000
  basis:
    "*": {status: common_practice, clause: "made up for a test"}
"""
HOUSE = """\
job: made up
roofs:
  - outline: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    fascia_height_mm: 2450
    pitch_deg: 25
    edges: {2: {kind: gable}, 4: {kind: gable}}
    covering: {profile: %s}
"""


def house_of(where: Path, profile: str) -> Path:
    where.joinpath("job.yaml").write_text(HOUSE % profile, encoding="utf-8")
    return where / "job.yaml"


def test_a_new_kind_of_flashing_is_a_section_and_a_product(tmp_path: Path) -> None:
    """A made-up section that ridges are bent to: its function, its product, and the row that puts it there. Its wings
    reach 2 x 50 past the gap's middle instead of half of 50: by hand 2 x 75 mm more girth."""
    copy, job = copied_package(tmp_path), house_of(tmp_path, "corrugated")
    shapes = "SHAPES: Mapping[str, Callable[[Wanted], Shaped]] = {\n"
    put_in(copy / "measure/roofing/flashings/flashing_shapes.py", shapes, ROLL)
    put_in(copy / "model/edge_kinds.py", 'flashing="ridge",', 'flashing="rolled_ridge",')
    with (copy / "catalogue/products/flashings.yaml").open("a", encoding="utf-8") as file:
        file.write(ROLLED_RIDGE)
    assert len(files_changed(copy)) <= 3
    before, after = taken_off(PACKAGE.parent, tmp_path / "old", job), taken_off(tmp_path, tmp_path / "new", job)
    (old,) = [str(line[0]) for line in before["lines"] if str(line[0]).startswith("ridge_")]
    (new,) = [str(line[0]) for line in after["lines"] if str(line[0]).startswith("rolled_ridge_")]
    assert int(new.split("_")[2]) - int(old.split("_")[1]) == 150
    assert len(after["lines"]) == len(before["lines"])
    assert (tmp_path / "new" / "manifest.json").is_file()


SEAMED_450 = """
seamed_450:
  name: seamed, 450 mm
  kind: seamed
  cover_mm: 450
  overall_mm: 480
  rib_pitch_mm: 450
  depth_mm: 40
  half_turn_same: false
  girth_mm: 600
  least_pitch_deg: 3
  kg_per_m: {0.40: 1.97, 0.55: 2.68}
  basis:
    "*": {status: common_practice, clause: "made up for a test"}
"""


def test_a_new_kind_of_profile_is_a_word_and_a_product(tmp_path: Path) -> None:
    """A made-up kind that a code would call a standing seam: its word with the shape it has, and a product. By hand:
    9 000 mm of verge to verge in covers of 450 mm are 20 sheets a side."""
    copy, job = copied_package(tmp_path), house_of(tmp_path, "seamed_450")
    tray = '    TRAY = "tray"  # a rib at each side, fixed by clips\n'
    put_in(copy / "model/products.py", tray, tray + '    SEAMED = "seamed"\n')
    shape = "    ProfileKind.TRAY: ProfileShape.TRAY,\n"
    put_in(copy / "model/products.py", shape, shape + "    ProfileKind.SEAMED: ProfileShape.STANDING_SEAM,\n")
    with (copy / "catalogue/products/profiles.yaml").open("a", encoding="utf-8") as file:
        file.write(SEAMED_450)
    assert len(files_changed(copy)) <= 3
    after = taken_off(tmp_path, tmp_path / "new", job)
    sheets = [line for line in after["lines"] if "seamed_450" in str(line[0]) and float(line[1]) > 0.0]
    assert sum(float(line[2]) for line in sheets) == 2 * 20 + 1  # and one to spare
    assert (tmp_path / "new" / "manifest.json").is_file()


def test_a_row_can_be_made_of_little() -> None:
    row = EdgeRow("X", "ROOF-HEAD", True, Place.FREE, End.TOP, (("head_trim_mm", -1.0),))
    assert (row.flashing, row.across, row.screwed) == ("", 0, False)
