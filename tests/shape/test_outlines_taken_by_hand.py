"""A roof's outline taken from a drawing, and every question it stops with: sentences and places whole."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box

from takeoff.basics.errors import JobError, ShapeError, TakeoffError, UndecidedError, UnreadableFileError
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob
from takeoff.shape.imported.drawn import drawn_outlines as taking
from takeoff.shape.imported.drawn import drawn_rings
from takeoff.shape.imported.drawn.drawn_outlines import drawn_roof, shape_key

HOUSE = box(1000.0, 500.0, 10000.0, 6500.0)
COURT = box(3000.0, 2000.0, 5000.0, 3000.0)
SHED = box(20000.0, 0.0, 24000.0, 3000.0)


def path(layer: str, points: Any, closed: bool = True, **more: Any) -> RawPath:
    return RawPath(layer, tuple(points), closed, **more)


def raw(*paths: RawPath, unit: str = "mm") -> RawDrawing:
    return RawDrawing("plan.dxf", "dxf", paths, unit, f"its header says {unit}" if unit else "")


def roof(word: str = "shape", shape: dict[str, Any] | None = None, **more: Any) -> RoofJob:
    return RoofJob.model_validate({"name": "main", word: {"file": "plan.dxf", **(shape or {})}, **more})


def stopped(kind: type[TakeoffError], made: RoofJob, drawn: RawDrawing) -> tuple[list[str], list[tuple[Any, ...]]]:
    with pytest.raises(kind) as caught:
        drawn_roof(made, drawn)
    faults: Any = caught.value.faults
    return [str(fault) for fault in faults], [tuple(getattr(fault, "path", ())) for fault in faults]


def test_a_ring_with_its_courtyard_is_as_if_typed() -> None:
    """What the file says holds where the job is silent, of the roof and of each edge; the court's edges count on."""
    said = {"name": "house", "facts": (("pitch_deg", 25.0), ("fascia_height_mm", 2400.0))}
    edges = ((2, (("kind", "gable"),)), (3, (("pitch_deg", 30.0),)))
    made = roof("mesh", {"edge_is": "wall_line"}, pitch_deg=22.5, edges={3: {"kind": "wall"}, 4: {"kind": "gable"}})
    drawn = raw(
        path("ROOF", HOUSE, edge_facts=edges, **said),
        path("ROOF", COURT, edge_facts=((1, (("kind", "wall"),)),), facts=(("pitch_deg", 9.0),)),
    )
    typed, findings = drawn_roof(made, drawn)
    assert typed.wall_line == list(HOUSE)
    assert typed.courtyards == [list(COURT)]
    assert (typed.shape, typed.mesh, typed.outline) == (None, None, None)
    assert (typed.pitch_deg, typed.fascia_height_mm) == (22.5, 2400.0)
    assert typed.edges == {
        2: EdgeJob(kind="gable"), 3: EdgeJob(kind="wall", pitch_deg=30.0), 4: EdgeJob(kind="gable"), 5: EdgeJob(kind="wall"),
    }  # fmt: skip
    assert [finding.code for finding in findings] == [
        "drawing-outline-taken", "drawing-unit-taken", "drawing-courtyards-taken",
    ]  # fmt: skip
    plain = RoofJob(name="typed", outline=list(HOUSE))
    assert drawn_roof(plain, drawn) == (plain, ())
    assert (shape_key(made), shape_key(roof())) == ("mesh", "shape")


def test_keys_that_belong_to_models_and_lines_that_are_none() -> None:
    made = roof(
        shape={"up": "z", "face": "top", "steep": "wall", "floor_at_mm": 9.0, "edge_is": "sheet_end", "layer": "WALS"}
    )
    drawn = raw(path("ROOF", HOUSE), path("WALLS", SHED), path("", COURT))
    said, places = stopped(JobError, made, drawn)
    keys = ["up", "face", "steep", "floor_at_mm"]
    assert said == [
        *(f"roof main: {key} belongs to a model, not to a drawing" for key in keys),
        "roof main: a ring of a drawing is an outline or a wall_line, no sheet_end",
        "roof main: plan.dxf has no lines on a layer WALS; did you mean WALLS?",
    ]
    assert places == [("roofs", "main", "shape", key) for key in (*keys, "edge_is", "layer")]
    said, _ = stopped(JobError, roof(shape={"layer": "zzz"}), drawn)
    assert said == ["roof main: plan.dxf has no lines on a layer zzz; it has ROOF, WALLS"]
    said, _ = stopped(JobError, roof("mesh", {"layer": "zzz"}), raw(path("", HOUSE)))
    assert said == ["roof main: plan.dxf has no lines on a layer zzz; it has none"]
    many = raw(*(path(f"L{n:02}", HOUSE) for n in range(14)))
    said, _ = stopped(JobError, roof(shape={"layer": "qqqq"}), many)
    assert said[0].endswith(f"; it has {', '.join(f'L{n:02}' for n in range(12))}")


def test_a_layer_is_meant_whatever_the_size_of_its_letters() -> None:
    typed, _ = drawn_roof(
        roof(shape={"layer": "roof", "edge_is": "outline"}), raw(path("ROOF", HOUSE), path("B", SHED))
    )
    assert typed.outline == list(HOUSE)


def test_a_unit_that_nobody_knows_is_asked() -> None:
    """696 by 384 may be cm or inches."""
    made = roof(shape={"layer": "A", "part": "7", "use": [1, "b"], "leave_out": ["x"], "edge_is": "outline"})
    said, places = stopped(UndecidedError, made, raw(path("A", box(10.0, 20.0, 706.0, 404.0)), unit=""))
    line = "`shape: {{file: plan.dxf, layer: A, part: 7, unit: {}, use: [1, b], leave_out: [x], edge_is: outline}}`"
    assert said == [
        (
            "roof main: the unit of plan.dxf is not known: the file states none, and its largest shape is 696 by 384; say which "
            "in the job:"
        ),
        f"{line.format('cm')} makes it 6.96 x 3.84 m",
        f"{line.format('in')} makes it 17.68 x 9.75 m",
    ]
    assert places == [("roofs", "main", "shape")] * 3
    plain = roof("mesh", {"part": "north wing"})
    said, _ = stopped(UndecidedError, plain, raw(path("A", box(0.0, 0.0, 696.1234567, 384.0)), unit=""))
    assert said[0].endswith("its largest shape is 696.123 by 384; say which in the job:")
    assert said[1].startswith("`mesh: {file: plan.dxf, part: north wing, unit: cm}` makes it")


def test_several_rings_are_asked_for_the_largest_first() -> None:
    drawn = raw(path("ROOF", SHED), path("ROOF", HOUSE))
    said, _ = stopped(UndecidedError, roof(shape={"edge_is": "wall_line"}), drawn)
    assert said == [
        "roof main: 2 rings of plan.dxf can be its outline; say which in the job:",
        "`shape: {file: plan.dxf, part: 2, edge_is: wall_line}` is ring 2 on ROOF: 9.00 x 6.00 m, 54.00 m2, 4 corners",
        "`shape: {file: plan.dxf, part: 1, edge_is: wall_line}` is ring 1 on ROOF: 4.00 x 3.00 m, 12.00 m2, 4 corners",
    ]
    said, _ = stopped(UndecidedError, roof(), raw(path("ROOF", SHED), path("B", HOUSE)))
    assert [line.partition("`")[2].partition("`")[0] for line in said[1:]] == [
        "shape: {file: plan.dxf, layer: B, part: 1}", "shape: {file: plan.dxf, layer: ROOF, part: 1}",
    ]  # fmt: skip
    said, _ = stopped(UndecidedError, roof(shape={"layer": "ROOF"}), drawn)
    assert said[1].startswith("`shape: {file: plan.dxf, layer: ROOF, part: 2}` is")


@pytest.mark.parametrize(("count", "more"), [(8, 0), (9, 1), (11, 3)])
def test_eight_rings_are_listed_and_the_others_counted(count: int, more: int) -> None:
    drawn = raw(*(path("A", box(20000.0 * n, 0.0, 20000.0 * n + 5000.0 + n, 4000.0)) for n in range(count)))
    said, _ = stopped(UndecidedError, roof(), drawn)
    assert len(said) == 1 + 8 + (1 if more else 0)
    assert said[0] == f"roof main: {count} rings of plan.dxf can be its outline; say which in the job:"
    assert f"part: {count}}}" in said[1]
    if more:
        assert said[-1] == f"and {more} more, which takeoff look lists"


def test_a_part_is_meant_by_number_or_name() -> None:
    drawn = raw(path("ROOF", SHED, name="shed"), path("ROOF", HOUSE))
    for part, ring in (("shed", SHED), ("1", SHED), ("2", HOUSE)):
        assert drawn_roof(roof(shape={"part": part}), drawn)[0].outline == list(ring)
    said, places = stopped(JobError, roof(shape={"part": "5", "layer": "ROOF"}), drawn)
    assert said == [
        (
            "roof main: layer ROOF of plan.dxf has no ring 5 that can be an outline; it has 1 (ring 1 shed on ROOF: 4.00 x 3.00 "
            "m, 12.00 m2, 4 corners), 2 (ring 2 on ROOF: 9.00 x 6.00 m, 54.00 m2, 4 corners)"
        )
    ]
    assert places == [("roofs", "main", "shape", "part")]
    said, _ = stopped(JobError, roof("mesh", {"part": "5"}), raw(path("", HOUSE)))
    assert said[0].startswith(
        "roof main: plan.dxf has no ring 5 that can be an outline; it has 1 (ring 1: 9.00 x 6.00 m"
    )
    many = raw(*(path("A", box(20000.0 * n, 0.0, 20000.0 * n + 5000.0, 4000.0)) for n in range(9)))
    said, _ = stopped(JobError, roof(shape={"part": "30"}), many)
    assert said[0].count("(ring ") == 8


@pytest.mark.parametrize(("wide", "asked"), [(4500.0, False), (4501.0, True)])
def test_a_ring_that_takes_most_of_another_is_asked_for(wide: float, asked: bool) -> None:
    """Half of 9 x 6 m is 4.5 x 6 m, or 5400 x 5000 mm."""
    court = box(2000.0, 1000.0, 2000.0 + wide * 1.2, 6000.0)
    drawn = raw(path("A", SHED), path("A", HOUSE), path("A", court))
    made = roof(shape={"leave_out": [1]})
    if not asked:
        assert drawn_roof(made, drawn)[0].courtyards == [list(court)]
        return
    said, places = stopped(UndecidedError, made, drawn)
    assert said == [
        "roof main: ring 3 of plan.dxf takes 50% of ring 2 round it; say which in the job:",
        "`shape: {file: plan.dxf, leave_out: [1, 3]}` is the outer ring alone",
        "`shape: {file: plan.dxf, use: [3], leave_out: [1]}` is the inner ring alone, as a wall line below its eaves",
        "`shape: {file: plan.dxf, use: [2, 3], leave_out: [1]}` is the outer ring with a courtyard in it",
    ]
    assert places == [("roofs", "main", "shape")] * 4
    assert drawn_roof(roof(shape={"use": [2, 3]}), drawn)[0].courtyards == [list(court)]


def test_the_inner_ring_alone_is_no_part_any_more() -> None:
    court = box(2000.0, 1000.0, 9000.0, 6000.0)
    said, _ = stopped(UndecidedError, roof(shape={"part": "1"}), raw(path("A", HOUSE), path("A", court)))
    assert said[0] == "roof main: ring 2 of plan.dxf takes 65% of ring 1 round it; say which in the job:"
    assert said[2].startswith("`shape: {file: plan.dxf, use: [2]}` is the inner ring alone")


def test_what_does_not_close_round_a_roof() -> None:
    row = path("A", ((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0)), False)
    said, places = stopped(ShapeError, roof("mesh", {"layer": "A", "unit": "mm"}), raw(row))
    assert said == [
        (
            "roof main: no ring on layer A of plan.dxf closes round a roof; 1 line on A stay open by 1.082e+04 mm between (0, 0) "
            "and (9000, 6000)"
        )
    ]
    assert places == [("roofs", "main", "mesh")]
    said, _ = stopped(ShapeError, roof(shape={"unit": "mm"}), raw(path("A", box(0.0, 0.0, 90.0, 90.0))))
    assert said == ["roof main: no ring on plan.dxf closes round a roof; it holds no lines that do"]


def test_a_drawing_of_too_many_rings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_rings, "MOST_RINGS", 2)
    rings = [path("A", box(20000.0 * n, 0.0, 20000.0 * n + 5000.0, 4000.0)) for n in range(3)]
    said, places = stopped(ShapeError, roof(), raw(*rings))
    assert said == ["roof main: plan.dxf holds too many rings to tell the outline; name its layer"]
    assert places == [("roofs", "main", "shape")]
    stopped(UndecidedError, roof(), raw(*rings[:2]))


def test_what_a_file_says_of_an_edge_that_no_edge_can_be() -> None:
    bad = raw(path("A", HOUSE, edge_facts=((3, (("pitch_deg", "x" * 50),)),)))
    (said,), _ = stopped(UnreadableFileError, roof(), bad)
    assert said.startswith(f"plan.dxf: edge 3: pitch_deg {'x' * 40}: input should be a valid number")
    bad = raw(path("A", SHED), path("A", HOUSE, facts=(("pitch_deg", -4.0),)))
    (said,), _ = stopped(UnreadableFileError, roof(shape={"part": "2"}), bad)
    assert said.startswith("plan.dxf: ring 2: pitch_deg -4.0: input should be greater than")
    assert taking._edge(bad, (("kind", "wall"),), "edge 1") == EdgeJob(kind="wall")
