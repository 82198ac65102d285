"""The bounds of what lies under the sheets, whole and by hand, on a made-up plane of 20 m2.

The trapeze of made_up_case.py: an eave of 6 m, a ridge of 4, a verge of 4 and a hip of 4.47214 m that runs 2 m across.
"""

from __future__ import annotations

import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import Pack
from takeoff.model.measured import PurlinLine
from takeoff.order.bounds.purlin_bounds import outriggers, purlin_fixings, purlin_rows, trimmers
from takeoff.order.bounds.underlay_bounds import safety_mesh, underlay_rolls, underlay_staples, underlay_tape

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import (
    AROUND_M,
    GOLDEN,
    RAKE_M,
    ROUND_TRAPEZE,
    TRAPEZE,
    case,
    check,
    item,
    line,
    line_of_edge,
    plane,
    roof,
    sheet,
    sheets,
)

JOB = SimpleNamespace(
    roofs=[SimpleNamespace(name="main", covering=SimpleNamespace(profile="wavy"))],
    purlins=SimpleNamespace(spacing_mm=None, supports_mm=None),
    underlay=SimpleNamespace(roll=None, direction=None),
)
PURLINS = {
    "purlin_spacing_mm": 900, "purlin_edge_bay_mm": 600, "end_span_share": 0.5, "purlin_even_spacing": False,
    "valley_boards_a_side": 2, "outrigger_spacing_mm": 800, "purlin_supports_mm": 1000, "purlin_fixing_spare_percent": 10,
}  # fmt: skip


def _timber(role: str, long: float, name: str = "P1") -> PurlinLine:
    """0.6 of it across and 0.8 up."""
    return PurlinLine("r", name, role, 1, (100.0, 100.0), (100.0 + 0.6 * long, 100.0 + 0.8 * long))


TIMBER = [_timber("purlin", 3000.0), _timber("eave", 2000.0), _timber("ridge", 500.0), _timber("head", 250.0),
          _timber("hip trimmer", 4000.0), _timber("valley board", 1000.0), _timber("outrigger", 700.0),
          _timber("purlin", 9000.0, "P2")]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "spacing", "more", "corners"),
    [
        ({}, 0.9, 3.0 + 2.0 / 3.0, 2.0),
        ({"purlin_edge_bay_mm": 0}, 0.9, 3.0 + 1.0, 2.0),  # the share of the gauge
        ({"purlin_edge_bay_mm": 1000}, 0.9, 3.0, 2.0),  # no end bay is shorter than the gauge
        ({"purlin_even_spacing": True}, 0.9, 3.0 + 2.0 / 3.0 + 1.0, 2.0),
        ({"asked": 1200}, 1.2, 3.0 + 1.0, 2.0),  # the job's own spacing
    ],
)
def test_rows_of_purlins_on_a_plane(change: dict[str, Any], spacing: float, more: float, corners: float) -> None:
    """20 m2 over the gauge and half of 10 m level; sides run 2 m across besides, a quarter of which may go; two sheets end
    in a lap at 2 m, a row for it and one on either side; 0.2 m at both ends of each row."""
    laps = sheets(sheet("a", part=1, foot_v_mm=2000.2), sheet("b", part=1, foot_v_mm=1999.8), sheet("c", foot_v_mm=9.0))
    job = SimpleNamespace(purlins=SimpleNamespace(spacing_mm=change.get("asked")))
    roofing = {"purlins": TIMBER, "sheets": [laps, sheets(sheet("d", part=1, foot_v_mm=9.0), name="P2")]}
    made = case(PURLINS | change, roofing=roofing, job=job)
    centre = 20.0 / spacing + 5.0
    most = centre + 0.9 * 6.0 + 0.5 + more * 6.0 + (4.0 / spacing + 3.0) * 0.2 * corners
    words = f"20.00 m2 at {1000 * spacing:g} mm and its level edges"
    check(purlin_rows(made), (5.75, centre - 2.4 - 0.5, most, "m", words, "P1", ("P1",)))


def test_rows_of_purlins_on_planes_of_other_shapes() -> None:
    """A hole gives a plane eight sides, so four ends of rows; a small plane need have no row, and where edges run further
    level than its sides there is nothing that turns."""
    hole = ((3000.0, 1000.0), (5000.0, 1000.0), (5000.0, 2000.0), (3000.0, 2000.0))
    made = case(PURLINS, roofs=(roof([plane("P1", TRAPEZE, hole)]),), job=JOB)
    (bound,) = purlin_rows(made)
    rows = 4.0 / 0.9 + 3.0
    assert bound.high == pytest.approx(18.0 / 0.9 + 5.0 + 5.4 + 0.25 * 6.0 + 4.0 + rows * 0.2 * 4.0)
    small = plane("P1", ((0.0, 0.0), (600.0, 0.0), (600.0, 300.0), (0.0, 300.0)))
    level = line_of_edge("R1", EdgeKind.RIDGE, 1300.0)
    made = case(PURLINS, roofs=(roof([small], [level]),), job=JOB)
    (bound,) = purlin_rows(made)
    centre = 0.18 / 0.9 + 0.65
    assert bound.low == pytest.approx(centre - 0.24)
    assert bound.high == pytest.approx(centre + 0.54 + 0.4 + (0.3 / 0.9 + 3.0) * 0.4)
    (bound,) = purlin_rows(case(PURLINS, roofs=(roof([small], []),), job=JOB))
    assert bound.low == 0.0


def test_trimmers_and_valley_boards() -> None:
    """0.6 of each less 1.6 m, and 0.6 m more: a hip of 4.47 m and one of 2 m, which may go without; a valley of 5 m with
    two boards."""
    edges = [*ROUND_TRAPEZE, line_of_edge("H2", EdgeKind.HIP, 2000.0), line_of_edge("V1", EdgeKind.VALLEY, 5000.0)]
    hip = (0.6 * RAKE_M - 1.6, RAKE_M + 2.0 + 1.2, "m", "hips of 6.47 m x 1", "P1 hip trimmers", ("P1",))
    valley = (2.0 * 1.4, 2.0 * 5.6, "m", "valleys of 5.00 m x 2", "P1 valley boards", ("P1",))
    check(trimmers(case(PURLINS, roofs=(roof([], edges),), roofing={"purlins": TIMBER})), (4.0, *hip), (1.0, *valley))
    # lines alone are looked at, edges alone too, and neither is nothing
    alone = case(PURLINS, roofs=(roof([], []),), roofing={"purlins": TIMBER[:5]})
    check(trimmers(alone), (4.0, 0.0, 0.0, "m", "hips of 0.00 m x 1", "P1 hip trimmers", ("P1",)))
    check(trimmers(case(PURLINS, roofs=(roof([], edges),))), (0.0, *hip), (0.0, *valley))


@pytest.mark.parametrize(("up", "low"), [(550.0, 0.6 * RAKE_M - 1.6), (400.0, 0.0)])
def test_a_plane_of_little_mean_width_need_have_no_trimmer(up: float, low: float) -> None:
    # 10 m by 0.55: twice 5.5 m2 over 21.1 m is 0.52; by 0.4: 0.38
    narrow = plane("P1", ((0.0, 0.0), (10000.0, 0.0), (10000.0, up), (0.0, up)))
    (bound,) = trimmers(case(PURLINS, roofs=(roof([narrow], ROUND_TRAPEZE),)))
    assert bound.low == pytest.approx(low)


def test_outriggers_of_a_verge() -> None:
    edges = [*ROUND_TRAPEZE, line_of_edge("B2", EdgeKind.VERGE, 2000.0)]
    made = case(PURLINS, roofs=(roof([], edges),), roofing={"purlins": TIMBER})
    words = "verges of 6.00 m at 800 mm"
    check(outriggers(made), (1.0, 0.0, 5.0 + 2.0 + 2.5 + 2.0, "each", words, "P1 outriggers", ("P1",)))


@pytest.mark.parametrize(("asked", "supports"), [(None, 1.0), (600, 0.6)])
def test_fixings_of_timber(asked: float | None, supports: float) -> None:
    """19.75 m of seven lines, outriggers left out: half a fixing at each support, or three at twice as many and at five
    more places a line, a tenth to spare; loose, and in boxes of ten."""
    job = SimpleNamespace(purlins=SimpleNamespace(supports_mm=asked))
    of = [item("screw", sort="purlin_fixing"), item("nail", sort="purlin_fixing", pack=Pack("box", "", 10.0))]
    lines = [
        line("screw", 12.0, of=of[0], refs=("a", "b", "c", "d")),
        line("nail", 3.0, "box", of=of[1]),
        line("x", 9.0),
    ]
    made = case(
        PURLINS, roofing={"purlins": TIMBER}, job=job, order={"lines": lines}, items={"nail": of[1], "screw": of[0]}
    )
    words = f"19.8 m of timber over supports at {1000 * supports:g} mm"
    low, high = 0.5 * 19.75 / supports, (2.0 * 19.75 / supports + 35.0) * 3.3
    boxes = (1.0, 25.0) if asked is None else (2.0, 34.0)  # 9.875 to 245.85, or 16.46 to 332.75 nails
    check(
        purlin_fixings(made),
        (12.0, low, high, "each", words, "screw, called", ("a", "b", "c")),
        (3.0, *boxes, "box", words, "nail, called", ()),
    )


UNDERLAY = {
    "underlay_roll": "felt", "underlay_direction": "horizontal", "underlay_vertical_from_deg": 10, "underlay_lap_mm": 150,
    "underlay_into_gutter_mm": 60, "underlay_over_hip_mm": 120, "underlay_over_ridge_mm": -130, "underlay_up_wall_mm": 200,
    "underlay_tape_roll_m": 25, "underlay_tape_side_laps": False, "underlay_staples_m2": 60, "safety_mesh": True,
    "safety_mesh_width_mm": 1800, "safety_mesh_lap_mm": 150, "mesh_staples_m2": 4,
}  # fmt: skip
# rolls of 0.2 m, of which 0.05 serve, so that no bound is rounded away
ROLLS = {
    "felt": SimpleNamespace(id="felt", width_mm=1350.0, length_mm=200.0),
    "foil": SimpleNamespace(id="foil", width_mm=1500.0, length_mm=200.0),
}
VALLEYS = [line_of_edge("V1", EdgeKind.VALLEY, 5000.0), line_of_edge("V2", EdgeKind.VALLEY, 2000.0)]
CORNERS = 2.0 + 2.0 * GOLDEN


def _under(change: dict[str, Any], roll: str | None = None, way: str | None = None, pitch: float = 30.0) -> Any:
    job = SimpleNamespace(underlay=SimpleNamespace(roll=roll, direction=way))
    lines = [line("felt", 3.0, "roll"), line("foil", 4.0, "roll"), line("underlay_tape", 2.0, "roll"), line("underlay_staple", 5.0),
             line("safety_mesh", 6.0), line("mesh_staple", 7.0)]  # fmt: skip
    return case(
        UNDERLAY | change, roofs=(roof([plane(pitch=pitch)], VALLEYS),), order={"lines": lines}, job=job,
        catalogue=SimpleNamespace(rolls=ROLLS),
    )  # fmt: skip


def _strips(width: float, along: float, past: float, wholly: bool = False) -> tuple[float, float]:
    """Least: what lies further inside than strips go past, over the roll's width or, less a lap of its lesser extent, over
    its cover. Most: what lies within as much outside over the cover, its sides along the strips, the ends. Valleys of 7 m,
    two ends each."""
    inner, outer = 20.0 - AROUND_M * past, 20.0 + AROUND_M * past + CORNERS * past**2
    least = inner / width if wholly else (inner - 0.15 * 4.0) / (width - 0.15)
    return least + 7.0, outer / (width - 0.15) + along + 4.0 * past + 7.0 + 4.0 * past


@pytest.mark.parametrize(
    ("change", "roll", "way", "pitch", "strips", "bought"),
    [
        ({}, None, None, 30.0, _strips(1.35, 12.0, 0.2), 3.0),
        ({}, "foil", None, 30.0, _strips(1.5, 12.0, 0.2), 4.0),
        ({}, None, "vertical", 30.0, _strips(1.35, 8.0, 0.2), 3.0),
        ({}, None, "vertical", 10.0, _strips(1.35, 8.0, 0.2), 3.0),
        ({}, None, "vertical", 9.9, _strips(1.35, 12.0, 0.2), 3.0),
        ({"underlay_direction": "vertical"}, None, None, 30.0, _strips(1.35, 8.0, 0.2), 3.0),
        ({"underlay_direction": "vertical"}, None, "horizontal", 30.0, _strips(1.35, 12.0, 0.2), 3.0),
        ({"underlay_up_wall_mm": 0, "underlay_over_ridge_mm": -300}, None, None, 30.0, _strips(1.35, 12.0, 0.3), 3.0),
        # so far past that least of the plane is left: the width counts, then nothing
        ({"underlay_up_wall_mm": 1050}, None, None, 30.0, _strips(1.35, 12.0, 1.05, wholly=True), 3.0),
    ],
)
def test_strips_of_underlay_and_its_tape(
    change: dict[str, Any], roll: str | None, way: str | None, pitch: float, strips: tuple[float, float], bought: float
) -> None:
    low, high = strips
    width = 1.5 if roll else 1.35
    rolls = (float(-(-low // 0.2)), float(-(-high // 0.05)))
    words = f"20.00 m2 of planes in strips of {1000 * width:g} mm, {low:.0f} to {high:.0f} m"
    made = _under(change, roll, way, pitch)
    check(underlay_rolls(made), (bought, *rolls, "roll", words, "", ()))
    # both sides of 7 m, at most a lap and 60 mm into the gutter longer at each of two; a lap for each roll but one
    tape = (14.0 + (rolls[0] - 1.0) * width, 14.0 + 4.0 * 0.21 + (rolls[1] - 1.0) * width)
    words = "valleys of 7.00 m taped on both sides, and a lap a roll"
    check(underlay_tape(made), (2.0, *tape, "roll", words, "underlay tape", ()))
    taped = _under({**change, "underlay_tape_side_laps": True}, roll, way, pitch)
    check(underlay_tape(taped), (2.0, tape[0], tape[1] + high, "roll", words, "underlay tape", ()))


def test_tape_and_strips_where_there_are_none() -> None:
    assert list(underlay_tape(_under({"underlay_tape_roll_m": 0}))) == []
    assert len(list(underlay_tape(_under({"underlay_tape_roll_m": 1})))) == 1
    nothing = case(UNDERLAY, roofs=(), catalogue=SimpleNamespace(rolls=ROLLS), job=JOB)
    for rule in (underlay_rolls, underlay_tape, underlay_staples, safety_mesh):
        assert list(rule(nothing)) == []
    # one roll needs no lap
    job = SimpleNamespace(underlay=SimpleNamespace(roll=None, direction=None))
    long = {"felt": SimpleNamespace(id="felt", width_mm=1350.0, length_mm=90000.0)}
    made = case(UNDERLAY, roofs=(roof([], VALLEYS),), job=job, catalogue=SimpleNamespace(rolls=long))
    (bound,) = underlay_tape(made)
    assert (bound.low, bound.high) == pytest.approx((14.0, 14.84))
    # a plane that strips go past altogether asks for nothing at least but its valleys
    (bound,) = underlay_rolls(_under({"underlay_up_wall_mm": 1200}))
    assert bound.from_what.split(", ")[1].startswith("7 to ")


def test_staples_and_mesh_by_area() -> None:
    """20 m2, less or more a thousandth of it and 0.01 a plane; a staple more; mesh of 1.8 m laps 0.15."""
    made = _under({})
    share = 1.8 / 1.65
    words = ("20.00 m2 of planes x 60.000", "20.00 m2 of planes x 1.091", "20.00 m2 of planes x 4.000")
    check(underlay_staples(made), (5.0, 1198.2, 1202.8, "each", words[0], "underlay staple", ()))
    check(
        safety_mesh(made),
        (6.0, 19.97 * share, 20.03 * share, "each", words[1], "safety mesh", ()),
        (7.0, 79.88, 81.12, "each", words[2], "mesh staple", ()),
    )
    assert list(safety_mesh(_under({"safety_mesh": False}))) == []
    assert list(underlay_staples(_under({"underlay_staples_m2": 0}))) == []
    assert len(list(underlay_staples(_under({"underlay_staples_m2": 1})))) == 1
    two = roof([plane(), plane("P2")], VALLEYS)
    made = case(UNDERLAY, roofs=(two,), job=JOB, catalogue=SimpleNamespace(rolls=ROLLS))
    (bound,) = underlay_staples(made)
    assert (bound.low, bound.high) == pytest.approx((60.0 * (40.0 - 0.06), 60.0 * (40.0 + 0.06) + 1.0))
