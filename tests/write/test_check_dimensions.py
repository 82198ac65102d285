"""Check dimensions by hand: a 3-4-5 gable and a hip end."""

from __future__ import annotations

from pathlib import Path

from takeoff.basics.vectors import Ring2
from takeoff.model.roof import Frame, RoofPlane
from takeoff.pipeline import Stage, run_file
from takeoff.write.drawings.check_dimensions import check_dimensions, frame_words, tape_rows


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


SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


def printed(sample: str, name: str) -> tuple[list[tuple[str, int | None]], str]:
    takeoff = run_file(SAMPLES / sample / "job.yaml", Stage.SHAPE)
    roof = takeoff.roofs[0]
    plane = next(plane for plane in roof.planes if plane.id == name)
    rows = tape_rows(plane, roof.edges_of(name))
    return [(words, None if mm is None else round(mm)) for words, mm in rows], frame_words(plane, roof.edges_of(name))


def test_a_hip_plane_names_its_hips_and_its_common_rafters() -> None:
    """4000 in plan at 25 degrees: rafter 4000 x 1.10338 = 4414, hip 4000 x 1.48912 = 5956."""
    rows, frame = printed("hip_12x8", "P1")
    assert rows[:4] == [
        ("rafter left = hip H1", 5956), ("rafter right = hip H2", 5956), ("eave", 12000), ("ridge", 4000),
    ]  # fmt: skip
    assert "common rafter 4414 under the left end of R1; common rafter 4414 under the right end of R1" in frame
    assert "hip left H1 5956; hip right H2 5956" in frame


def test_a_triangle_is_not_taped_four_times() -> None:
    rows, frame = printed("hip_12x8", "P2")
    assert [mm for _, mm in rows] == [5956, 5956, 8000, None, None, None]
    assert "common rafter 4414 under the peak" in frame


def test_an_eave_that_a_wing_interrupts_is_given_by_stretch() -> None:
    rows, frame = printed("homestead", "P3")
    assert ("eave, corner to corner", 19800) in rows
    assert "eave E3 7200, E6 4200" in frame
    assert [words for words, _ in rows[4:]] == [
        "diagonal, rising right, runs off this slope: sight it", "diagonal, rising left, runs off this slope: sight it",
    ]  # fmt: skip


def test_a_ridge_below_a_peak_is_the_head() -> None:
    """The ridge is 5200 long and the right hip 4800 x 1.48912 = 7148; the peak beside it is no head."""
    rows, _ = printed("l_house", "P1")
    assert rows[1] == ("rafter right = hip H2", 7148)
    assert rows[3] == ("ridge", 5200)
