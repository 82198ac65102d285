"""Check dimensions by hand: a 3-4-5 gable and a hip end."""

from __future__ import annotations

from takeoff.basics.vectors import Ring2
from takeoff.model.roof import Frame, RoofPlane
from takeoff.write.check_dimensions import check_dimensions


def plane(ring: Ring2) -> RoofPlane:
    frame = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return RoofPlane("P1", "main", frame, (ring,), (1,), 1, 25.0, 180.0, 1.0, 1.0)


def test_a_gable_plane_is_taped_as_a_rectangle() -> None:
    rows = dict(check_dimensions(plane(((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)))).rows())
    assert rows == {
        "rafter left": 3000.0, "rafter right": 3000.0, "eave": 4000.0, "ridge": 4000.0, "diagonal, rising right": 5000.0,
        "diagonal, rising left": 5000.0,
    }  # fmt: skip


def test_a_leaning_plane_tells_left_from_right() -> None:
    rows = check_dimensions(plane(((0.0, 0.0), (9000.0, 0.0), (5000.0, 3000.0), (0.0, 3000.0))))
    assert (rows.rafter_left_mm, rows.rafter_right_mm) == (3000.0, 5000.0)
    assert (rows.eave_mm, rows.ridge_mm) == (9000.0, 5000.0)


def test_a_hip_end_has_no_ridge_and_its_hips_for_rafters() -> None:
    rows = check_dimensions(plane(((0.0, 0.0), (8000.0, 0.0), (4000.0, 3000.0))))
    assert (rows.rafter_left_mm, rows.rafter_right_mm, rows.ridge_mm) == (5000.0, 5000.0, 0.0)
