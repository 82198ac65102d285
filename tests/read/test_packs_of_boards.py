"""Boards sold in packs and bundles, from the job to the order; worked by hand, packs as common practice has them."""

from __future__ import annotations

import pytest
from openpyxl import load_workbook

from takeoff.basics.errors import JobError
from takeoff.pipeline import run, write_files
from takeoff.read.job.job_file import parse_job

WALL = """\
job: packs
walls:
  ground_mm: -450
  stock_mm: [4800]
  elevations: [{{name: w, width_mm: 4200, height_mm: 2350, left: none, right: none}}]
  zones: [{{board: bevel_187{pack}}}]
settings: {{{settings}}}
"""


def test_boards_are_bought_in_whole_packs() -> None:
    """A wall 2350 + 50 high takes 16 courses of 4200 (ceil((2400 - 187) / 155) + 1): from packs of 6 three, 18 x 4.8 =
    86.4 m; 16 x 4.2 = 67.2 m are laid."""
    found = run(parse_job(WALL.format(pack=", pack_pieces: 6", settings="")))
    lines = [line for line in found.order.lines if line.item == "bevel_187"]
    assert [(line.count, line.total, line.note) for line in lines] == [(18, 86.4, "3 packs of 6")]
    assert "bevel_187: whole packs of 6 leave 2 x 4800 mm uncut." in [f.text for f in found.findings]
    assert not [f for f in found.findings if f.code.startswith("figure")]


def test_random_lengths_are_bought_in_whole_bundles() -> None:
    """16 x 4.2 = 67.2 m and 10 % are 73.92 m, in steps of 0.3 m 74.1 m; at a cover of 155 mm 11.4855 m2: five bundles
    of 2.5 m2, 12.5 m2, 1.01 m2 too much."""
    found = run(parse_job(WALL.format(pack=", pack_m2: 2.5", settings="board_supply: random")))
    lines = [line for line in found.order.lines if line.item == "bevel_187"]
    assert [(line.count, line.unit) for line in lines] == [(5, "bundle")]
    assert any("cover 12.50 m2, 1.01 m2 more than is asked for" in f.text for f in found.findings)


@pytest.mark.parametrize(
    ("pack", "settings", "told"),
    [
        (", pack_pieces: 6", "board_supply: random", r"6:\d+: .*pack_pieces: is for boards of fixed lengths"),
        (", pack_m2: 2.5", "", r"6:\d+: .*pack_m2: is for random lengths"),
        (", pack_pieces: 1", "", r"6:\d+: .*pack_pieces"),
        (", pack_m2: 0", "", r"6:\d+: .*pack_m2"),
        (", pack_pieces: 6}, {walls: [1], from_mm: 0, to_mm: 900, board: bevel_187, pack_pieces: 5", "", r"6:\d+: .*is 5, but zone 1 has 6"),
        ("}, {from_mm: 0, to_mm: 900, direction: none, pack_pieces: 5", "", r"6:\d+: .*is for boards; a zone of direction none"),
        (", pack_m2: 2.5, pack_pieces: 6", "", r"6:\d+: .*give the pieces of a pack or what it covers, not both"),
    ],
)  # fmt: skip
def test_packs_that_clash_are_told_at_their_place(pack: str, settings: str, told: str) -> None:
    with pytest.raises(JobError, match=told):
        parse_job(WALL.format(pack=pack, settings=settings), "job.yaml")


def test_uncut_lengths_stand_in_the_workbook_as_such(tmp_path) -> None:
    write_files(run(parse_job(WALL.format(pack=", pack_pieces: 6", settings=""))), tmp_path / "out")
    book = load_workbook(next((tmp_path / "out").glob("*.xlsx")))
    cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert "uncut: fills a pack" in cells
    assert not [cell for cell in cells if "()" in cell and cell.startswith("=")]


def test_cut_ends_are_sealed_by_the_cutting_list() -> None:
    """16 boards in one piece each have 32 ends: at 40 mL 1.28 L, two tins of 1 L; none without the setting."""
    found = run(parse_job(WALL.format(pack="", settings="end_sealer_ml_per_end: 40")))
    lines = [line for line in found.order.lines if line.item == "end sealer"]
    assert [(line.count, line.unit) for line in lines] == [(2, "tin")]
    assert [(t.name, t.value) for t in lines[0].working.terms[:1]] == [("measured", pytest.approx(1.28))]
    plain = run(parse_job(WALL.format(pack="", settings="")))
    assert not {"end sealer", "primer for boards"} & {line.item for line in plain.order.lines}


def test_bare_boards_are_primed_all_round() -> None:
    """67.2 m x 2 x (187 + 18) mm are 27.552 m2: at 10 m2 a litre 2.7552 L, a tin of 4 L; in tins of 0.5 L six."""
    found = run(parse_job(WALL.format(pack="", settings="board_primer_m2_per_l: 10")))
    lines = [line for line in found.order.lines if line.item == "primer for boards"]
    assert [(line.count, line.unit) for line in lines] == [(1, "tin")]
    assert lines[0].working.terms[0].value == pytest.approx(2.7552)
    small = run(parse_job(WALL.format(pack="", settings="board_primer_m2_per_l: 10, board_primer_tin_l: 0.5")))
    assert [line.count for line in small.order.lines if line.item == "primer for boards"] == [6]
