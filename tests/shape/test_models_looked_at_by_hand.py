"""A look at a model: its bodies with their sizes and names, what it is drawn in, and what nobody can tell; whole records."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box

from takeoff.model.faces import RawFaces, RawPart, StatedPart, raw_faces
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.model.looked import Looked, LookedBody
from takeoff.read.catalogue import default_settings
from takeoff.shape.imported import look_at_model as looking

Point3 = tuple[float, float, float]
Quad = tuple[Point3, ...]
JOB = ShapeJob(file="house.obj")


def gable(x: float, y: float, long: float, wide: float, eaves: float, ridge: float, foot: float = 0.0) -> list[Quad]:
    """A house with its ridge along x, its four walls, and no floor: ten faces of two triangles but for the gables'
    three."""
    (a, b, c, d) = box(x, y, x + long, y + wide)
    middle = y + wide / 2.0
    roof: list[Quad] = [
        ((*a, eaves), (*b, eaves), (b[0], middle, ridge), (a[0], middle, ridge)),
        ((*c, eaves), (*d, eaves), (a[0], middle, ridge), (b[0], middle, ridge)),
    ]
    sides: list[Quad] = [((*p, foot), (*q, foot), (*q, eaves), (*p, eaves)) for p, q in ((a, b), (c, d))]
    ends: list[Quad] = [
        ((*p, foot), (*q, foot), (*q, eaves), (p[0], middle, ridge), (*p, eaves)) for p, q in ((b, c), (d, a))
    ]
    return [*roof, *sides, *ends]


def raw(*bodies: list[Quad], parts: tuple[RawPart, ...] = (RawPart("p", ""),), **stated: Any) -> RawFaces:
    points: list[Point3] = []
    triangles, polygons, owners = [], [], []
    for number, body in enumerate(bodies):
        for quad in body:
            first = len(points)
            points += quad
            triangles += [(first, first + k, first + k + 1) for k in range(1, len(quad) - 1)]
            polygons += [len(set(polygons))] * (len(quad) - 2)
            owners += [min(number, len(parts) - 1)] * (len(quad) - 2)
    return raw_faces(points, triangles, "house.obj", polygon_of=polygons, part_of=owners, parts=parts, **stated)


HOUSE = gable(1000.0, 2000.0, 12000.0, 8000.0, 2900.0, 5900.0, 500.0)
SHED = gable(31000.0, 2000.0, 3000.0, 4000.0, 2400.0, 3000.0, 300.0)


def test_a_model_whose_file_says_unit_and_axis() -> None:
    """12 x 8 m from 0.5 to 5.9 m, a shed of 4 x 3 m that is deeper than long; 14 triangles each."""
    found = looking.look_at_model(raw(HOUSE, SHED, stated_unit_mm=1.0, stated_up="z"), "obj", JOB)
    assert found == Looked(
        file="house.obj",
        kind="obj",
        unit="mm",
        unit_why="as the file states",
        bodies=(
            LookedBody(1, "", "", (12000.0, 8000.0, 5400.0), 500.0, 14),
            LookedBody(2, "", "", (4000.0, 3000.0, 2700.0), 300.0, 14),
        ),
        lines=("shape: {file: house.obj, unit: mm, up: z, edge_is: outline}",),
    )


def test_parts_are_named_as_the_file_names_them_and_sizes_are_in_millimetres() -> None:
    """In metres; the second part has no name but an id, the first is a wall by its file's word."""
    metres = [tuple((x / 1000.0, y / 1000.0, z / 1000.0) for x, y, z in quad) for quad in HOUSE]
    shed = [tuple((x / 1000.0, y / 1000.0, z / 1000.0) for x, y, z in quad) for quad in SHED]
    parts = (RawPart("a", "main house", StatedPart.WALL), RawPart("b", "", StatedPart.UNKNOWN))
    said = Finding("f", Severity.NOTE, "odd. ", "Mend it.")
    made = raw(metres, shed, parts=parts, stated_unit_mm=1000.0, stated_up="z", findings=(said,))
    found = looking.look_at_model(made, "ifc", ShapeJob(file="house.obj", part="a", unit="m"))
    assert (found.kind, found.unit, found.unit_why) == ("ifc", "m", "as asked")
    assert found.lines == ("shape: {file: house.obj, part: a, unit: m, up: z, edge_is: outline}",)
    assert [(body.number, body.name, body.part, body.faces) for body in found.bodies] == [
        (1, "main house", "wall", 14), (2, "b", "", 14),
    ]  # fmt: skip
    assert found.bodies[0].size_mm == pytest.approx((12000.0, 8000.0, 5400.0))
    assert [body.low_mm for body in found.bodies] == pytest.approx([500.0, 300.0])
    assert found.notes == ("odd. . Mend it",)


def test_a_unit_that_has_no_name() -> None:
    found = looking.look_at_model(raw(HOUSE, stated_unit_mm=0.9, stated_up="z"), "obj", JOB)
    assert (found.unit, found.unit_why) == ("of 0.9 mm", "as the file states")
    assert found.lines == ("shape: {file: house.obj, up: z, edge_is: outline}",)
    assert found.bodies[0].size_mm == pytest.approx((10800.0, 7200.0, 4860.0))


def test_what_was_taken_is_noted_and_what_nobody_can_tell_is_open() -> None:
    found = looking.look_at_model(raw(HOUSE, stated_up="z"), "obj", JOB)
    assert (found.unit, found.unit_why) == ("mm", "no other makes a building of it")
    (note,) = found.notes
    assert note.startswith("house.obj: no unit given; mm was taken, so the model is ")
    assert note.endswith("say so in the job: `shape: {file: house.obj, unit: mm}`")
    cubes: list[Quad] = [tuple((x, y, z) for x, y in box(0.0, 0.0, 6.0, 6.0)) for z in (0.0, 6.0)]
    cubes += [((x, y, 0.0), (p, q, 0.0), (p, q, 6.0), (x, y, 6.0)) for (x, y), (p, q) in
              zip(box(0.0, 0.0, 6.0, 6.0), (*box(0.0, 0.0, 6.0, 6.0)[1:], (0.0, 0.0)), strict=True)]  # fmt: skip
    axis = looking.look_at_model(raw(cubes, stated_unit_mm=1000.0), "stl", JOB)
    assert (axis.file, axis.kind, axis.unit, axis.open, axis.bodies) == ("house.obj", "stl", "", "up axis", ())
    assert axis.unit_why.startswith("house.obj: ")
    assert len(axis.notes) > 1
    small = [tuple((x / 10.0, y / 10.0, z / 10.0) for x, y, z in quad) for quad in HOUSE]
    unit = looking.look_at_model(raw(small, stated_up="z"), "stl", JOB)
    assert (unit.unit, unit.open, unit.lines) == ("", "unit", ())
    assert all("unit: " in way for way in unit.notes)


@pytest.mark.parametrize(("most", "listed", "noted"), [(2, 2, False), (1, 1, True)])
def test_as_many_bodies_as_are_listed(monkeypatch: pytest.MonkeyPatch, most: int, listed: int, noted: bool) -> None:
    assert looking._MOST_BODIES == 1000
    monkeypatch.setattr(looking, "_MOST_BODIES", most)
    found = looking.look_at_model(raw(HOUSE, SHED, stated_unit_mm=1.0, stated_up="z"), "obj", JOB)
    assert len(found.bodies) == listed
    assert found.notes == ((f"2 bodies; the {most} largest are listed",) if noted else ())


def test_walls_begin_where_a_job_that_says_nothing_has_them() -> None:
    assert default_settings("nz")["model_wall_from_deg"].value == looking._WALL_FROM_DEG


@pytest.mark.parametrize(("share", "unit"), [(1.0 + 9e-7, "m"), (1.0 - 9e-7, "m"), (1.0 + 15e-7, "of 1000 mm")])
def test_a_unit_is_known_to_a_millionth(share: float, unit: str) -> None:
    metres = [tuple((x / 1000.0, y / 1000.0, z / 1000.0) for x, y, z in quad) for quad in HOUSE]
    found = looking.look_at_model(raw(metres, stated_unit_mm=1000.0 * share, stated_up="z"), "obj", JOB)
    assert found.unit == unit
