"""Outlines from drawings: the same house typed and drawn gives the same figures, and what is in doubt is asked for."""

from __future__ import annotations

import json
import re
from math import pi
from pathlib import Path

import pytest
from drawn_houses import CODES, JOB, L_HOUSE, TYPED, add_ring, drawing, in_unit, write_csv, write_geojson, write_ring
from drawn_houses import write_wkt as write_wkt_file

from takeoff.basics.errors import JobError, ShapeError, UndecidedError, UnreadableFileError
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run, run_file
from takeoff.read.job.job_file import parse_job
from takeoff.read.outlines.drawing_files import read_drawing
from takeoff.shape.imported.drawn.drawn_rings import rings_of
from takeoff.write.data.result_json import result_data


def job(folder: Path, shape: str) -> Path:
    path = folder / "job.yaml"
    path.write_text(JOB.format(shape=f"shape: {{{shape}, edge_is: wall_line}}"), encoding="utf-8")
    return path


def figures(takeoff: Takeoff) -> object:
    """All of a result but where it came from: the fingerprint and what is said."""
    data = result_data(takeoff)
    return {
        key: json.dumps(data[key], default=str, sort_keys=True) for key in data if key not in ("job_hash", "findings")
    }


@pytest.fixture(scope="module")
def typed() -> Takeoff:
    return run(parse_job(JOB.format(shape=TYPED)), until=Stage.SHAPE)


def lengths(takeoff: Takeoff) -> list[tuple[str, float]]:
    return sorted((edge.kind, round(edge.length_mm, 3)) for roof in takeoff.roofs for edge in roof.edges)


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in", "ft"])
@pytest.mark.parametrize("how", ["lwpolyline", "polyline", "repeated", "lines"])
def test_a_dxf_gives_the_figures_of_the_typed_outline(tmp_path: Path, typed: Takeoff, unit: str, how: str) -> None:
    write_ring(tmp_path / "plan.dxf", in_unit(L_HOUSE, unit), unit, how=how)
    found = run_file(job(tmp_path, "file: plan.dxf, layer: WALLS"), until=Stage.SHAPE)
    assert figures(found) == figures(typed)


def test_geojson_wkt_and_csv_give_the_figures_of_the_typed_outline(tmp_path: Path, typed: Takeoff) -> None:
    metres = in_unit(L_HOUSE, "m")
    write_geojson(tmp_path / "plan.geojson", metres)
    write_wkt_file(tmp_path / "plan.wkt", metres)
    write_csv(tmp_path / "plan.csv", L_HOUSE)
    for name in ("plan.geojson", "plan.wkt", "plan.csv"):
        assert figures(run_file(job(tmp_path, f"file: {name}"), until=Stage.SHAPE)) == figures(typed), name


def test_what_a_table_says_of_edges_is_as_if_it_were_typed(tmp_path: Path, typed: Takeoff) -> None:
    more = [",,600,25,2450"] * 4 + [",gable,450,,2450"] + [",,600,25,2450"]
    more = [cells.replace(",,600,", ",,600,,").replace(",gable,450,,", ",gable,,450,,") for cells in more]
    heading = "x_mm,y_mm,kind,eave_overhang_mm,verge_overhang_mm,pitch_deg,fascia_height_mm"
    write_csv(tmp_path / "plan.csv", L_HOUSE, heading, more)
    path = tmp_path / "job.yaml"
    path.write_text("job: x\nroofs:\n  - {name: quarters, shape: {file: plan.csv, edge_is: wall_line}}\n")
    found = run_file(path, until=Stage.SHAPE)
    assert lengths(found) == lengths(typed)


def test_what_geojson_says_of_a_roof_is_as_if_it_were_typed(tmp_path: Path, typed: Takeoff) -> None:
    properties = {
        "name": "quarters",
        "pitch_deg": 25,
        "eave_overhang_mm": 600,
        "verge_overhang_mm": 450,
        "fascia_height_mm": 2450,
        "edges": ["eave", "eave", "eave", "eave", "gable", "eave"],
        "owner": "nobody",
    }
    write_geojson(tmp_path / "plan.geojson", in_unit(L_HOUSE, "m"), properties)
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: x\nroofs:\n  - {name: quarters, shape: {file: plan.geojson, part: quarters, edge_is: wall_line}}\n"
    )
    assert lengths(run_file(path, until=Stage.SHAPE)) == lengths(typed)
    path.write_text(path.read_text().replace("}}", "}, pitch_deg: 30}"))
    steeper = run_file(path, until=Stage.SHAPE)
    assert {round(plane.pitch_deg, 6) for plane in steeper.roofs[0].planes} == {30.0}


@pytest.mark.parametrize("unit", ["mm", "m"])
def test_a_house_on_a_survey_grid_is_the_same_house(tmp_path: Path, typed: Takeoff, unit: str) -> None:
    moved = in_unit(L_HOUSE, unit, (1.7e9, 5.4e9))
    write_ring(tmp_path / "plan.dxf", moved, unit, how="shuffled")
    run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)  # another edge 5 is a gable then, but it is a roof
    write_ring(tmp_path / "plan.dxf", moved, unit)
    found = run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)
    assert [round(plane.area_mm2, 0) for plane in found.roofs[0].planes] == [
        round(plane.area_mm2, 0) for plane in typed.roofs[0].planes
    ]
    assert lengths(found) == lengths(typed)


def test_gaps_between_loose_lines_are_closed_up_to_2_mm(tmp_path: Path) -> None:
    document = drawing("mm")
    space = document.modelspace()
    corners = list(L_HOUSE)
    for i, (a, b) in enumerate(zip(corners, [*corners[1:], corners[0]], strict=True)):
        space.add_line((a[0] + 1.2, a[1]) if i == 2 else a, b, dxfattribs={"layer": "WALLS"})
    document.saveas(tmp_path / "plan.dxf")
    found = run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)
    assert [finding.text for finding in found.findings if finding.code == "drawing-gaps-closed"] == [
        "roof quarters: gaps of up to 1.2 mm between the lines of ring 1 were closed"
    ]


def test_an_open_outline_says_its_gap_and_where(tmp_path: Path) -> None:
    document = drawing("mm")
    space = document.modelspace()
    corners = list(L_HOUSE)
    for a, b in zip(corners, [*corners[1:], (0, 35)], strict=True):
        space.add_line(a, b, dxfattribs={"layer": "WALLS"})
    document.saveas(tmp_path / "plan.dxf")
    with pytest.raises(ShapeError, match=r"6 lines on WALLS stay open by 35 mm between \(0, 0\) and \(0, 35\)"):
        run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)


def test_lines_that_fork_make_no_ring(tmp_path: Path) -> None:
    document = drawing("mm")
    add_ring(document, L_HOUSE, "WALLS", "lines")
    document.modelspace().add_line((9000, 8400), (0, 8400), dxfattribs={"layer": "WALLS"})
    document.modelspace().add_line((0, 8400), (0, 12600), dxfattribs={"layer": "WALLS"})
    document.saveas(tmp_path / "plan.dxf")
    with pytest.raises(ShapeError, match=r"meet three and more at \("):
        run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)


def asked(path: Path) -> str:
    """What is asked of a job that leaves doubt, each way on a line."""
    with pytest.raises(UndecidedError) as stop:
        run_file(path)
    assert stop.value.exit_code == 6
    return "\n".join(stop.value.faults)


@pytest.mark.parametrize("header", ["mm", ""])
def test_a_unit_in_doubt_is_asked_with_a_line_that_then_works(tmp_path: Path, typed: Takeoff, header: str) -> None:
    """Drawn in inches: 559 x 496. As mm it is no house; as cm and as inches it is one."""
    write_ring(tmp_path / "plan.dxf", in_unit(L_HOUSE, "in"), header)
    path = job(tmp_path, "file: plan.dxf")
    said = asked(path)
    assert "shape: {file: plan.dxf, unit: in, edge_is: wall_line}` makes it 14.20 x 12.60 m" in said
    assert "unit: cm" in said
    line = next(line for line in re.findall(r"`([^`]*)`", said) if "unit: in" in line)
    path.write_text(JOB.format(shape=line), encoding="utf-8")
    assert figures(run_file(path, until=Stage.SHAPE)) == figures(typed)


def test_a_file_that_states_no_unit_is_read_in_the_only_one_that_makes_a_house(tmp_path: Path, typed: Takeoff) -> None:
    write_ring(tmp_path / "plan.dxf", L_HOUSE, "")
    found = run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)
    assert figures(found) == figures(typed)
    (said,) = (finding for finding in found.findings if finding.code == "drawing-unit-taken")
    assert (said.severity, said.advice) == (Severity.WARN, "say `unit: mm` in its shape")


def test_several_rings_are_asked_for_and_each_line_picks_one(tmp_path: Path) -> None:
    document = drawing("mm")
    add_ring(document, L_HOUSE, "ROOF")
    add_ring(document, [(20000, 0), (26000, 0), (26000, 6000), (20000, 6000)], "ROOF")
    add_ring(document, [(30000, 0), (36000, 0), (36000, 7000), (30000, 7000)], "SHED")
    document.saveas(tmp_path / "plan.dxf")
    path = tmp_path / "job.yaml"
    text = "job: x\nroofs:\n  - {name: a, pitch_deg: 25, fascia_height_mm: 2400,\n     SHAPE}\n"
    path.write_text(text.replace("SHAPE", "shape: {file: plan.dxf}"))
    lines = re.findall(r"`([^`]*)`", asked(path))
    assert lines == [
        "shape: {file: plan.dxf, layer: ROOF, part: 1}",
        "shape: {file: plan.dxf, layer: SHED, part: 1}",
        "shape: {file: plan.dxf, layer: ROOF, part: 2}",
    ]
    plans = []
    for line in lines:
        path.write_text(text.replace("SHAPE", line))
        takeoff = run_file(path, until=Stage.SHAPE)
        plans.append(round(sum(plane.plan_area_mm2 for plane in takeoff.roofs[0].planes) / 1e6, 6))
    assert plans == [157.08, 42.0, 36.0]


def test_a_ring_inside_is_a_courtyard(tmp_path: Path) -> None:
    """20 x 16 m round 6 x 4 m: 320 - 24 = 296 m2 in plan."""
    document = drawing("mm")
    add_ring(document, [(0, 0), (20000, 0), (20000, 16000), (0, 16000)], "ROOF")
    add_ring(document, [(7000, 6000), (13000, 6000), (13000, 10000), (7000, 10000)], "ROOF")
    document.saveas(tmp_path / "plan.dxf")
    path = tmp_path / "job.yaml"
    path.write_text("job: x\nroofs:\n  - {pitch_deg: 25, fascia_height_mm: 2400, shape: {file: plan.dxf}}\n")
    takeoff = run_file(path, until=Stage.SHAPE)
    assert sum(plane.plan_area_mm2 for plane in takeoff.roofs[0].planes) / 1e6 == pytest.approx(296.0)
    assert any("ring 2 inside it is a courtyard of it" in finding.text for finding in takeoff.findings)


def test_eaves_and_wall_line_on_one_layer_are_asked_for(tmp_path: Path) -> None:
    document = drawing("mm")
    add_ring(document, [(-600, -600), (12600, -600), (12600, 8600), (-600, 8600)], "ROOF")
    add_ring(document, [(0, 0), (12000, 0), (12000, 8000), (0, 8000)], "ROOF")
    document.saveas(tmp_path / "plan.dxf")
    path = tmp_path / "job.yaml"
    text = "job: x\nroofs:\n  - {pitch_deg: 25, fascia_height_mm: 2400,\n     SHAPE}\n"
    path.write_text(text.replace("SHAPE", "shape: {file: plan.dxf}"))
    lines = re.findall(r"`([^`]*)`", asked(path))
    plans = []
    for line in lines:
        path.write_text(text.replace("SHAPE", line))
        planes = run_file(path, until=Stage.SHAPE).roofs[0].planes
        plans.append(round(sum(plane.plan_area_mm2 for plane in planes) / 1e6, 6))
    assert plans == [121.44, 96.0, 25.44]


def test_three_layers_with_the_same_ring_are_one(tmp_path: Path) -> None:
    document = drawing("mm")
    for layer, start in (("A", 0), ("B", 2), ("C", 0)):
        add_ring(document, [*L_HOUSE[start:], *L_HOUSE[:start]], layer)
    document.saveas(tmp_path / "plan.dxf")
    takeoff = run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)
    assert [finding.text for finding in takeoff.findings if finding.code == "drawing-ring-repeated"] == [
        "roof quarters: the same ring is drawn on B, C too; it was taken once"
    ]


def test_points_on_each_other_are_joined_and_edges_counted_without_them(tmp_path: Path, typed: Takeoff) -> None:
    points = [*L_HOUSE[:2], (14200.2, 0.1), *L_HOUSE[2:]]
    write_ring(tmp_path / "plan.dxf", points, "mm")
    found = run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE)
    assert figures(found) == figures(typed)
    assert any("1 point of ring 1 within 0.5 mm of another were made one" in f.text for f in found.findings)


def test_arcs_become_sides_that_lie_within_10_mm(tmp_path: Path) -> None:
    """A half round of radius 2 m before a wall of 4 m: sides inside the arc, so area a little under the true one."""
    document = drawing("mm")
    document.modelspace().add_lwpolyline(
        [(0, 0, 0.0), (4000, 0, 0.0), (4000, 5000, 1.0), (0, 5000, 0.0)],
        format="xyb",
        close=True,
        dxfattribs={"layer": "ROOF"},
    )
    document.saveas(tmp_path / "plan.dxf")
    (ring,) = rings_of(read_drawing(tmp_path / "plan.dxf")).rings
    assert ring.arcs == 1
    true = 4000.0 * 5000.0 + pi * 2000.0**2 / 2.0
    # a segment of height s under its arc is 2/3 of its box: the loss is under 2/3 of 10 mm along the arc
    assert 0.0 < true - ring.area_mm2 < 2.0 / 3.0 * 10.0 * pi * 2000.0
    for x, y in ring.points_mm:
        assert y <= 5000.0 or ((x - 2000.0) ** 2 + (y - 5000.0) ** 2) ** 0.5 == pytest.approx(2000.0)
    assert ring.length_mm == pytest.approx(7000.0, abs=10.0)


def test_edges_are_checked_against_the_drawn_ring_at_their_line(tmp_path: Path) -> None:
    write_ring(tmp_path / "plan.dxf", L_HOUSE, "mm")
    path = job(tmp_path, "file: plan.dxf")
    path.write_text(path.read_text().replace("{5: {kind", "{7: {kind"))
    with pytest.raises(JobError, match=r"job.yaml:9:\d+: roofs\[1\].edges\[7\]: there is no edge 7; .* edges 1 to 6"):
        run_file(path, until=Stage.SHAPE)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ("file: plan.dxf, layer: WALL", r"job.yaml:5:\d+: .* no lines on a layer WALL; did you mean WALLS"),
        ("file: plan.dxf, part: 3", r"job.yaml:5:\d+: .* has no ring 3 that can be an outline; it has 1 "),
        ("file: plan.dxf, up: z", r"job.yaml:5:\d+: .* up belongs to a model"),
    ],
)
def test_what_a_drawing_has_not_is_named_with_its_place(tmp_path: Path, shape: str, words: str) -> None:
    write_ring(tmp_path / "plan.dxf", L_HOUSE, "mm")
    with pytest.raises(JobError, match=words):
        run_file(job(tmp_path, shape), until=Stage.SHAPE)


def test_a_ring_that_crosses_itself_is_refused_by_place(tmp_path: Path) -> None:
    write_ring(tmp_path / "plan.dxf", [(0, 0), (9000, 0), (0, 8000), (9000, 8000)], "mm")
    path = tmp_path / "job.yaml"
    path.write_text("job: x\nroofs:\n  - {pitch_deg: 25, fascia_height_mm: 2400, shape: {file: plan.dxf}}\n")
    with pytest.raises(ShapeError, match=r"edges 2 and 4 cross or touch at \(4500, 4000\)"):
        run_file(path, until=Stage.SHAPE)


def test_an_attribute_that_no_edge_can_have_is_refused_by_file(tmp_path: Path) -> None:
    write_geojson(tmp_path / "plan.geojson", in_unit(L_HOUSE, "m"), {"pitch_deg": 95})
    with pytest.raises(UnreadableFileError, match=r"plan.geojson: ring 1: pitch_deg 95"):
        run_file(job(tmp_path, "file: plan.geojson"), until=Stage.SHAPE)


def test_the_fingerprint_goes_with_the_drawing(tmp_path: Path) -> None:
    write_ring(tmp_path / "plan.dxf", L_HOUSE, "mm")
    first = run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE).job_hash
    write_ring(tmp_path / "plan.dxf", [*L_HOUSE[:-1], (0, 12601)], "mm")
    assert run_file(job(tmp_path, "file: plan.dxf"), until=Stage.SHAPE).job_hash != first


def test_codes_of_units_are_those_of_the_format() -> None:
    """$INSUNITS of the DXF reference: 1 inches, 2 feet, 4 millimetres, 5 centimetres, 6 metres (from memory)."""
    from takeoff.read.outlines.dxf_lines import _UNITS

    assert {code: unit for unit, code in CODES.items() if unit} == _UNITS


def test_the_whole_order_is_that_of_the_typed_house(tmp_path: Path) -> None:
    write_ring(tmp_path / "plan.dxf", L_HOUSE, "mm", how="lines")
    drawn = run_file(job(tmp_path, "file: plan.dxf"))
    assert drawn.order is not None
    assert figures(drawn) == figures(run(parse_job(JOB.format(shape=TYPED))))
