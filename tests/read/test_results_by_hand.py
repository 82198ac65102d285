"""A written result typed by hand comes back as what comparing needs, every field; and folders of orders as they are found.

The job's plan up bears 90 degrees: plan right is south (0, -1), plan up is east (1, 0).
"""

from __future__ import annotations

import hashlib
import json
from math import atan2, degrees
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.basics.manifest import MANIFEST, Manifest
from takeoff.model.order_folder import FolderState
from takeoff.model.snapshot import SeenEdge, SeenLine, SeenPipe, SeenPlane, SeenSheet, SeenSide, Snapshot
from takeoff.read.lists.raw_table import RawTable, Row
from takeoff.read.results import folder_state
from takeoff.read.results.data_node import Node
from takeoff.read.results.folder_state import read_folder_state
from takeoff.read.results.result_file import _Ground, parse_result, read_result, snapshot_of
from takeoff.read.results.result_terms import side_terms

FRAME = {"origin_mm": [100.0, 20.0, 3.0], "u": [0.6, 0.8, 0.0], "v": [-0.64, 0.48, 0.6]}


def piece(mark: str, **more: Any) -> dict[str, Any]:
    given = {"mark": mark, "cover_uv": [[[5.0, 7.0], [9.0, 7.0], [9.0, 30.0]], [[4.0, 31.0], [6.0, 8.0]]], "outline_uv": [], "order_mm": 111.0,
             "left_mm": 21.0, "right_mm": 22.0, "foot": {"shape": "square"}, "top": {"shape": "raked", "rake_deg": 25.04, "hand": "left"}}  # fmt: skip
    return {**given, **more}


RESULT: dict[str, Any] = {
    "format": "takeoff-result", "version": 2,
    "job": {
        "job": "House", "revision": "B", "north_deg": 90.0, "date": "2026-01-02", "count": 3, "new": True, "old": None,
        "walls": {"roof": "low", "height_mm": 2400.0, "zones": [{"board": "x"}]},
        "roofs": [
            {"name": "main", "pitch_deg": 25.0, "outline": [[0, 0]], "edges": {"2": {"pitch_deg": 30.5, "rise": [{"up_to_mm": 900, "flat": None}], "kind": "x"}},
             "covering": {"profile": "corrugated", "bmt_mm": 0.4}, "shape": {"file": "a.obj", "unit": "m"}},
        ],
        "list": [1, 2.5, "a"], "own": [{"name": "n", "v": 3}, {"v": False}, 7],
    },
    "settings": {"lap_mm": {"value": 150.0, "unit": "mm"}, "way": {"value": "up", "unit": "-"}, "on": {"value": False, "unit": "-"}, "rainwater_word": {"value": "spouting", "unit": "-"}},
    "products": [{"id": "quad", "group": "gutters", "width_mm": 125.0, "basis": {"*": 1}, "legs": {"a": {"id": 2}}}],
    "roofs": [
        {
            "name": "main", "origin_mm": [1000.0, 2000.0, 0.0],
            "planes": [{"id": "P1", "roof": "main", "frame": FRAME, "rings_uv": [[[0.0, 0.0], [10.0, 0.0], [10.0, 5.0]]], "pitch_deg": 36.87, "bearing_deg": 90.0,
                        "area_mm2": 2.5e6, "fascia_height_mm": 2400.0, "covering": "steel"},
                       {"id": "P2", "roof": "main", "frame": FRAME, "rings_uv": [[[0.0, 0.0]]], "pitch_deg": 5.0, "bearing_deg": 1.0, "area_mm2": 1e6, "fascia_height_mm": 2.0, "covering": "deck"}],
            "edges": [{"id": "E1", "kind": "ridge", "a_mm": [0.0, 0.0, 5.0], "b_mm": [10.0, 3.0, 5.0], "length_mm": 10.44, "faces": ["P1", "W1", "P2"]}],
            "edge_numbers": [[1, 2, 9], [0]], "edge_names": ["eave", "verge"], "outline_mm": [[[0.0, 0.0], [50.0, 0.0], [50.0, 40.0]], [[1.0, 1.0]]],
        },
        {"name": "low", "origin_mm": [7.0, 0.0], "planes": [], "edges": [], "edge_numbers": [], "edge_names": [], "outline_mm": []},
    ],
    "roofing": {"sheets": [{"plane": "P1", "profile": "corrugated", "start_side": "left", "pieces": [piece("S1"), piece("S2", cover_uv=[], outline_uv=[[1.0, 2.0], [3.0, 9.0]]), piece("S3"), piece("S4")]}]},
    "elevations": [{"wall": 4, "a_mm": [0.0, 1.0], "b_mm": [9.0, 1.0], "width_mm": 8999.6, "height_mm": 2400.4, "ground_mm": [-150.0, -200.0],
                    "openings": [{"name": "W1", "width_mm": 1200.0, "height_mm": 900.0, "from_left_mm": 600.0, "sill_mm": 950.0}]}],
    "cladding": {"boards": [{"wall": 4, "direction": "horizontal", "board": "bevel", "cover_mm": 151.25}, {"wall": 5, "direction": "x", "board": "y", "cover_mm": 1.0}, {"wall": 4, "direction": "vertical", "board": "shiplap", "cover_mm": 90.0}]},
    "rainwater": {"gutters": [{"id": "G1", "roof": "low"}, {"id": "G2", "roof": "none"}], "downpipes": [{"pipes": [{"id": "DP1", "run": "G1", "at_mm": [3.0, 5.0, 0.0], "height_mm": 2300.0, "catchment_mm2": 4.5e6}, {"id": "DP2", "run": "G2", "at_mm": [3.0, 5.0], "height_mm": 2300.0, "catchment_mm2": 1e6}]}]},
    "order": {
        "blanks": [{"length_mm": 300.0, "pieces": [{"mark": "S1"}, {"mark": "S2"}]}, {"length_mm": 5.0, "pieces": []}],
        "site_blanks": [{"mark": "H1", "pieces": [{"mark": "S3"}]}],
        "lines": [{"id": "L1", "delivery": "roof", "item": "i", "name": "n", "each_mm": 300.0, "unit": "each", "count": 2.0, "total": 0.6, "total_unit": "m"}],
    },
}  # fmt: skip


def sheet(mark: str, bought: float, cut_from: str = "", at: tuple[float, ...] = (4.0, 9.0, 7.0, 31.0)) -> SeenSheet:
    return SeenSheet(mark, *at, bought, 21.0, 22.0, "square", "raked 25.0 degrees, longer on the left", cut_from)


def test_a_result_comes_back_whole() -> None:
    """A plan point (x, y) lies (y, -x) to east and north of the ground's origin: the roof's own moved by it. P1's ring starts
    at (100 + 1000, 20 + 2000); 10 along it is (6, 8) in plan, 5 up the slope (-3.2, 2.4)."""
    found = snapshot_of(RESULT, "r")
    (plane, bare) = found.planes
    assert plane == SeenPlane(
        "P1", "main", (pytest.approx((2020.0, -1100.0)), pytest.approx((2028.0, -1106.0)), pytest.approx((2030.4, -1102.8))),  # type: ignore[arg-type]
        pytest.approx((2020.0, -1100.0)), pytest.approx((0.8, -0.6)), 36.87, 90.0, 2.5, 2400.0, "steel", "corrugated", "left",
        (sheet("S1", 300.0), sheet("S2", 111.0, "S1", (1.0, 3.0, 2.0, 9.0)), sheet("S3", 111.0, "site H1"), sheet("S4", 111.0)),
    )  # fmt: skip
    assert (bare.id, bare.profile, bare.start_side, bare.sheets) == ("P2", "", "", ())
    a, b = pytest.approx((2000.0, -1000.0)), pytest.approx((2003.0, -1010.0))
    assert found.edges == (SeenEdge("E1", "ridge", a, b, 10.44, ("P1", "P2")),)  # type: ignore[arg-type]
    (first, second, third, hole) = found.sides
    assert (first.id, first.a, first.b) == (
        "edge 1",
        pytest.approx((2000.0, -1000.0)),
        pytest.approx((2000.0, -1050.0)),
    )
    assert (first.terms, first.own) == ({"kind": "eave", "pitch_deg": "25"}, {"kind"})
    assert (second.id, second.terms) == ("edge 2", {"kind": "verge", "pitch_deg": "30.5", "rise": "up_to_mm 900"})
    assert second.own == {"kind", "pitch_deg", "rise"}
    assert (third.id, third.terms["kind"], third.b) == ("edge 9", "eave", pytest.approx((2000.0, -1000.0)))
    assert (hole.id, hole.terms["kind"]) == ("edge 0", "eave")
    terms = {"width": "9000 mm", "frame height": "2400 mm", "ground": "-150 to -200 mm", "opening W1": "1200 x 900 mm, 600 from the left, sill 950",
             "boards": "horizontal bevel, cover 151.2 mm; vertical shiplap, cover 90.0 mm"}  # fmt: skip
    assert found.walls == (
        SeenSide("wall 4", pytest.approx((1.0, -7.0)), pytest.approx((1.0, -16.0)), terms, frozenset(terms)),
    )  # type: ignore[arg-type]
    assert found.pipes == (
        SeenPipe("DP1", pytest.approx((5.0, -10.0)), 2300.0, 4.5), SeenPipe("DP2", pytest.approx((2005.0, -1003.0)), 2300.0, 1.0),  # type: ignore[arg-type]
    )  # fmt: skip
    assert found.lines == (SeenLine("L1", "roof", "i", "n", 300.0, "each", 2.0, 0.6, "m"),)
    assert (found.name, found.job, found.revision, found.word, found.withheld) == (
        "House, revision B",
        "House",
        "B",
        "spouting",
        False,
    )
    assert {"House", "main", "corrugated", "x"} <= set(found.own)


def test_a_plan_turned_to_north_by_3_4_5() -> None:
    """Plan up bears 36.87 degrees: 10 to the right and 5 up are 8 + 3 to the east and 4 - 6 to the north."""
    ground = _Ground(degrees(atan2(3.0, 4.0)), (2.0, 1.0, 0.0))
    assert ground.turn(10.0, 5.0) == pytest.approx((11.0, -2.0))
    assert ground.place((8.0, 4.0, 9.0)) == pytest.approx((11.0, -2.0))


def test_terms_of_a_result() -> None:
    """Keys of the job that are no places, settings with their unit where they are figures, fields of products."""
    assert dict(snapshot_of(RESULT, "r").terms) == {
        "count": "3", "new": "yes", "walls.roof": "low", "walls.height_mm": "2400", "roofs[main].pitch_deg": "25",
        "roofs[main].covering.profile": "corrugated", "roofs[main].covering.bmt_mm": "0.4", "roofs[main].shape.unit": "m",
        "list": "1, 2.5, a", "own[n].name": "n", "own[n].v": "3", "own[2].v": "no", "own[3]": "7", "setting lap_mm": "150 mm",
        "setting way": "up", "setting on": "no", "setting rainwater_word": "spouting", "product quad.width_mm": "125",
    }  # fmt: skip
    assert side_terms(None, 3, "hip") == ({"kind": "hip"}, frozenset({"kind"}))


def changed(*way: Any) -> dict[str, Any]:
    tree: Any = json.loads(json.dumps(RESULT))
    *path, value = way
    held = tree
    for key in path[:-1]:
        held = held[key]
    if value is None:
        del held[path[-1]]
    else:
        held[path[-1]] = value
    return tree


def test_results_of_less() -> None:
    """Without an order, without roofs, without blanks, without a word for what runs round the eaves."""
    found = snapshot_of(changed("order", None), "r")
    assert (found.withheld, found.lines, found.planes[0].sheets[1]) == (
        True,
        (),
        sheet("S2", 111.0, "", (1.0, 3.0, 2.0, 9.0)),
    )
    assert snapshot_of(changed("order", "blanks", None), "r").planes[0].sheets[2].cut_from == "site H1"
    assert snapshot_of(changed("order", "site_blanks", None), "r").planes[0].sheets[2].cut_from == ""
    assert snapshot_of(changed("settings", "rainwater_word", None), "r").word == ""
    alone = {**changed("roofs", []), "rainwater": {"gutters": [], "downpipes": []}}
    alone["job"]["walls"] = {}
    assert snapshot_of(alone, "r").walls[0].a == pytest.approx((1.0, 0.0))
    assert snapshot_of(changed("job", "walls", "roof", None), "r").walls[0].a == pytest.approx((2001.0, -1000.0))
    assert snapshot_of(changed("version", 1), "r").planes


@pytest.mark.parametrize(
    ("tree", "says"),
    [
        (changed("format", "other"), "r: not a result of this program: its format is not takeoff-result"),
        (changed("format", None), "r: not a result of this program: its format is not takeoff-result"),
        ([], "r: not a result of this program: its format is not takeoff-result"),
        (changed("version", 3), "r.version: 3 is newer than the 2 that is read here"),
        (changed("job", "north_deg", "x"), "r.job.north_deg: should be a figure"),
        (changed("job", "north_deg", True), "r.job.north_deg: should be a figure"),
        (changed("job", "revision", 7), "r.job.revision: should be a text"),
        (changed("roofs", 0, "origin_mm", [1.0]), "r.roofs[1].origin_mm: should be a point of two or three figures"),
        (changed("roofs", 0, "origin_mm", [1.0] * 4), "r.roofs[1].origin_mm: should be a point of two or three figures"),
        (changed("roofs", 7), "r.roofs: should be a list"),
        (changed("settings", 7), "r.settings: should hold names and values"),
        (changed("order", "lines", 0, "count", None), "r.order.lines[1]: count is missing"),
        (changed("roofing", "sheets", 0, "pieces", 0, "cover_uv", []), "r.roofing.sheets[1].pieces[1]: has no outline"),
    ],
)  # fmt: skip
def test_what_is_no_result_is_told_by_place(tree: Any, says: str) -> None:
    with pytest.raises(UnreadableFileError) as caught:
        snapshot_of(tree, "r")
    assert caught.value.faults == (says,)


def test_text_that_is_no_result(tmp_path: Path) -> None:
    assert parse_result(json.dumps(RESULT), "r") == snapshot_of(RESULT, "r")
    for text, says in (
        ("{", "r: not the data of a result: "),
        ("[NaN]", "r: not the data of a result: NaN is no figure"),
        ("[" * 200_000, "r: not the data of a result: "),
    ):
        with pytest.raises(UnreadableFileError) as caught:
            parse_result(text, "r")
        assert caught.value.faults[0].startswith(says)
    path = tmp_path / "r.json"
    path.write_bytes(b"\xef\xbb\xbf" + json.dumps(RESULT).encode())
    assert isinstance(read_result(path), Snapshot)
    path.write_bytes(b"ab\xff")
    with pytest.raises(UnreadableFileError) as caught:
        read_result(path)
    assert caught.value.faults == (f"{path}: byte 2 is not UTF-8 text, so it is no result",)
    with pytest.raises(UnreadableFileError, match=r"^r\.a: should be a figure$"):
        Node({"a": float("inf")}, "r").number("a")


# ------------------------------------------------------------ folders of orders


def order_table(*rows: tuple[Any, ...], sheet: str = "Order", first: int = 1) -> RawTable:
    return RawTable("s", sheet, tuple(Row(n, cells) for n, cells in enumerate(rows, start=first)))


def found_as(
    folder: Path,
    lines: list[float] | None,
    *tables: RawTable,
    job_hash: str = "h1",
    sets: tuple[str, ...] = (folder_state.SHEET, folder_state.DATA),
    **edit: str,
) -> FolderState:
    """A folder of a sheet with these tables and data with these totals; `edit`: what stands in a file since."""
    data = {
        "job_hash": job_hash,
        **({"order": {"lines": [{"total": total} for total in lines]}} if lines is not None else {}),
    }
    texts = {folder_state.DATA: json.dumps(data), folder_state.SHEET: "sheet", "note.txt": "x"}
    names = (*sets, "note.txt")
    digests = {name: hashlib.sha256(texts[name].encode()).hexdigest() for name in names}
    for name in names:
        (folder / name).write_text(edit.get(name.partition(".")[0], texts[name]), encoding="utf-8")
    (folder / MANIFEST).write_text("{}", encoding="utf-8")
    manifest = Manifest(digests, {"job": "House", "job_hash": "h1"})
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(folder_state, "parse_manifest", lambda data: manifest)
        patch.setattr(folder_state, "read_tables", lambda path: tables if path == folder / folder_state.SHEET else ())
        return read_folder_state(folder)


HEADS = ("item", "line", "x", "total")


def test_a_whole_folder(tmp_path: Path) -> None:
    """Rows of one line and of several; other sheets, other rows, and what stands before the headings are let be."""
    tables = (
        order_table(
            ("a",),
            HEADS,
            ("i", "1", 0, 2.5),
            ("i", "2 to 4", 0, 6.0014),
            ("i", 5.0, 0, 9),
            ("i", "x", 0, 7),
            ("i",),
            ("i", None, 0, 1),
        ),
        order_table(HEADS, ("i", "1", 0, 99.0), sheet="Other"),
    )
    state = found_as(tmp_path, [2.5, 1.0, 2.0, 3.0], *tables)
    assert state == FolderState(tmp_path, "House", "h1", 3, lines=4)
    assert state.whole


def test_totals_that_differ(tmp_path: Path) -> None:
    """Half a thousandth a line is nothing, more is told; so is a line that the sheet has not, or has for nothing."""
    rows = (
        HEADS,
        ("i", "1", 0, 1000.0006),
        ("i", "2 to 3", 0, 3.0011),
        ("i", "4", 0, None),
        ("i", "9", 0, 0.0),
        ("i", "6", 0, 6.00049),
    )
    state = found_as(tmp_path, [1000.0, 1.0, 2.0, 4.0, 1234.5, 6.0], order_table(*rows))
    told = (
        "line 1 (1,000.001, data 1,000.000)", "lines 2 to 3 (3.001, data 3.000)", "line 4 (no figure, data 4.000)", "line 9 (0.000, data 0.000)",
        "line 5 (not on the sheet, data 1,234.500)",
    )  # fmt: skip
    assert (state.differing, state.lines) == (told, 6)
    assert state.faults == (f"the totals of order_sheet.xlsx are not those of takeoff.json: {', '.join(told)}",)
    edited = found_as(tmp_path, [1.0], order_table(HEADS, ("i", "1", 0, 2.0)), order_sheet="changed")
    assert (edited.faults, edited.edited, edited.differing) == (
        (),
        ("order_sheet.xlsx",),
        ("line 1 (2.000, data 1.000)",),
    )
    many = found_as(tmp_path, [1.0] * 25, order_table(HEADS))
    assert many.faults[0].endswith("line 20 (not on the sheet, data 1.000)")
    assert len(many.differing) == 25


def test_headings_of_the_order_sheet_in_its_first_rows(tmp_path: Path) -> None:
    row = ("i", "1", 0, 1.0)
    assert found_as(tmp_path, [1.0], order_table(*[("-",)] * 19, HEADS, row)).differing == ()
    assert found_as(tmp_path, [1.0], order_table(*[("-",)] * 20, HEADS, row)).differing == (
        "line 1 (not on the sheet, data 1.000)",
    )
    assert found_as(tmp_path, [1.0], order_table(("line", "total"), ("1",), first=4)).differing == (
        "line 1 (no figure, data 1.000)",
    )
    assert folder_state._numbers("123456789 to 2") == (123456789, 2)
    assert folder_state._numbers("2 to 123456789") == (2, 123456789)
    for cell in ("1234567890", "1 to 1234567890", "1 to x", None, "-1"):
        assert folder_state._numbers(cell) is None


def test_folders_that_are_not_whole(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match=r"none: is no folder; name the one that --out named$"):
        read_folder_state(tmp_path / "none")
    why = f"{MANIFEST} is not there: no order was written here, or a run was stopped while it wrote; run it again"
    assert read_folder_state(tmp_path) == FolderState(tmp_path, faults=(why,))
    (tmp_path / MANIFEST).write_text("{}", encoding="utf-8")
    assert read_folder_state(tmp_path) == FolderState(
        tmp_path, faults=(f"{MANIFEST} is not as the program wrote it, so it proves nothing",)
    )
    alone = found_as(tmp_path, None, sets=(folder_state.DATA,))
    assert alone == FolderState(
        tmp_path, "House", "h1", 2, notes=("there is no order_sheet.xlsx with a takeoff.json to compare it with",)
    )
    assert found_as(tmp_path, None, sets=(folder_state.SHEET,)).notes == alone.notes
    assert found_as(tmp_path, None, order_table(HEADS)) == FolderState(tmp_path, "House", "h1", 3)
    other = found_as(tmp_path, [], order_table(HEADS), job_hash="h2")
    assert other.faults == (f"takeoff.json is of another job (fingerprint h2) than {MANIFEST}",)
    broken = found_as(tmp_path, [], order_table(HEADS), takeoff="{")
    assert (broken.edited, broken.faults, broken.lines) == (("takeoff.json",), (), 0)
    assert broken.notes[0].startswith("the totals were not compared: ")
    assert found_as(tmp_path, [], order_table(HEADS), takeoff='{"job_hash": "h3"}').faults == ()
    (tmp_path / "gone").mkdir()
    digests = {"gone": "x", "note.txt": "y", "none": "z"}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(folder_state, "parse_manifest", lambda data: Manifest(digests, {}))
        state = read_folder_state(tmp_path)
    assert state == FolderState(
        tmp_path,
        files=3,
        faults=("gone is not there, or is no file", "none is not there, or is no file"),
        edited=("note.txt",),
    )
    assert not state.whole
    assert (folder_state.MOST_FILE, folder_state.MOST_DATA, folder_state.MOST_NAMED) == (1_000_000_000, 300_000_000, 20)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(folder_state, "MOST_FILE", 1)
        assert folder_state._digest(tmp_path / "note.txt") == hashlib.sha256(b"x").hexdigest()
        patch.setattr(folder_state, "MOST_FILE", 0)
        assert folder_state._digest(tmp_path / "note.txt") == ""
