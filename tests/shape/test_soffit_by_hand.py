"""The soffit line over a wall and what is said of it: figures by hand, every message whole."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import edge, roof

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.walls import Corner
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.walls import soffit_line as soffit
from takeoff.shape.walls.wall_edges import WallEdge

OUT = Corner("external", 90.0)
E = EdgeKind


def settings(**given: Any) -> Any:
    return resolve_settings(Job.model_validate({"job": "check", "settings": given}))


def eave_wall(**more: Any) -> WallEdge:
    plain: dict[str, Any] = {"named": "eave", "rises": False, "overhang_mm": 600.0, "outline_edge": 1, **more}
    return WallEdge(1, (1000.0, 500.0), (7000.0, 8500.0), OUT, OUT, **plain)


@pytest.mark.parametrize(
    ("over", "kind", "given", "line"),
    [
        (600.0, "level", None, 2320.0), (600.0, "level", 2250.0, 2250.0), (600.0, "raked", 2250.0, 2500.0), (70.0, "level", None, 2320.0), (69.9, "level", None, None),
    ],
)  # fmt: skip
def test_the_line_of_a_soffit(over: float, kind: str, given: float | None, line: float | None) -> None:
    """The lowest eave over the wall lies at 2500 and drops by 180; the roof over the wall at 2700 less 200. Under 50 mm of
    soffit behind a fascia board of 20 there is none."""
    said = settings(soffit=kind, soffit_drop_mm=180, roof_depth_mm=200, fascia_board_thickness_mm=20)
    eaves = roof(edges=(
        edge("E1", E.EAVE, (0.0, 0.0, 2500.0), (9.0, 0.0, 2550.0), outline_edges=(1,)), edge("E2", E.EAVE, (0.0, 0.0, 2600.0), (9.0, 0.0, 2600.0), outline_edges=(2, 1)),
        edge("E3", E.EAVE, (0.0, 0.0, 900.0), (9.0, 0.0, 900.0), outline_edges=(2,)), edge("V1", E.VERGE, (0.0, 0.0, 1.0), (9.0, 0.0, 9.0), outline_edges=(1,)),
    ))  # fmt: skip
    top = ((0.0, 2800.0), (9.0, 2700.0))
    assert soffit.soffit_line(eaves, eave_wall(overhang_mm=over), top, given, said) == line
    assert soffit.soffit_line(eaves, eave_wall(overhang_mm=over, rises=True), top, given, said) is None
    assert soffit.soffit_line(eaves, eave_wall(overhang_mm=over, outline_edge=7), (), None, said) is None


def test_what_is_said_of_soffit_lines() -> None:
    said = settings(soffit="level", soffit_drop_mm=180, roof_depth_mm=200, course_top_gap_mm=12)
    stops = [(1, 2400.0, 2320.0), (2, 2400.0, 2399.99), (3, 2400.0, 2320.0), (4, 2700.0, 2320.0)]
    advice = "If the soffit is elsewhere, give its height over the floor, `rainwater: {{soffit_mm: {}}}`, or its drop below the fascia height."

    def due(numbers: tuple[int, ...], how: str, frame: int, low: int, words: str) -> Finding:
        text = (
            f"{'Wall' if len(numbers) == 1 else 'Walls'} {', '.join(map(str, numbers))}: the soffit line is at 2320 mm over the floor ({how}), the frame at {frame} mm: "
            f"boards end at the soffit line, {low} mm lower."
        )
        return Finding("cladding-to-soffit-line", Severity.NOTE, text, words, tuple(f"wall {n}" for n in numbers))

    how = "the fascia height less 180 mm"
    assert soffit.soffit_notes(stops, None, said) == (
        due((1, 3), how, 2400, 80, advice.format(2400)),
        due((4,), how, 2700, 380, advice.format(2700)),
    )
    assert soffit.soffit_notes(stops[:1], 2320.0, said) == (
        due((1,), "as the job gives it", 2400, 80, advice.format(2400)),
    )
    raked = settings(soffit="raked", roof_depth_mm=200)
    rake = "If the soffit is elsewhere, give its drop below the sheets over the wall."
    assert soffit.soffit_notes(stops[:1], None, raked) == (
        due((1,), "the sheets over the wall less 200 mm", 2400, 80, rake),
    )
    text = "Walls 1, 3: the frame ends at 2400 mm over the floor, the soffit line is at 2413 mm: boards end with the frame, nothing clads the 13 mm above it."
    bare = Finding(
        "bare-under-soffit",
        Severity.NOTE,
        text,
        "If boards go up to the soffit, give the height of the walls up to that line.",
        ("wall 1", "wall 3"),
    )
    assert soffit.bare_under_soffit([(1, 2412.5), (2, 2412.0), (3, 2412.5)], 2400.0, said)[0].refs == (
        "wall 1",
        "wall 3",
    )
    assert soffit.bare_under_soffit([(1, 2413.0), (2, 2412.0), (3, 2413.0)], 2400.0, said) == (bare,)
    assert soffit.bare_under_soffit([(1, 2413.0)], 2400.0, raked) == ()
