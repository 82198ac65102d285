"""Flashings of holes: by hand on plain planes. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_holes import SQUARE, hole, plane, roof, settings

from takeoff.measure.roofing.flashings import hole_flashings
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.site import Site
from takeoff.model.measured import Need
from takeoff.model.products import ProfileKind


@pytest.fixture
def two_crests(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two crests of 76 at either side, 304 and the hole, whatever the wind."""
    monkeypatch.setattr(
        hole_flashings, "_width", lambda hole, *_: (hole.width_mm + 304.0, (Term("hole", hole.width_mm, "mm"),))
    )


SITE: Any = None
PROFILE: Any = None


@pytest.mark.usefixtures("two_crests")
@pytest.mark.parametrize("sealed", [False, True])
def test_flashings_of_holes(sealed: bool) -> None:
    """A flue of 400 by 600 from 1700 to 2300 under a top at 4000; a pipe's boot; a kerb."""
    flue = replace(
        hole(),
        kind="flue",
        width_mm=400.0,
        length_mm=600.0,
        diameter_mm=250.0,
        centre_uv=(3000.0, 2000.0),
        flashing="boot and back",
    )
    wide = Term("hole", 400.0, "mm")
    boot = (
        Made("flue_boot_250", "flue_boot", (Mark(MarkKind.PIPE, 250.0),)),
        "one a pipe",
        (Term("diameter", 250.0, "mm", ref="X1"),),
    )
    lap, past = Term("penetration_lap_a_mm", 150.0, "mm"), Term("penetration_past_mm", 100.0, "mm")
    up, back = Term("kerb_up_mm", 80.0, "mm"), Term("kerb_back_mm", 250.0, "mm")
    lines = hole_flashings._lines(plane(), flue, PROFILE, SITE, settings(sealed))

    def tray(stem: str, sort: str, long: float, rule: str, *terms: Term) -> tuple[Made, str, tuple[Term, ...]]:
        made = Made(f"{stem}_704x{long:.0f}", sort, (Mark(MarkKind.SPREAD, (704.0, long)),))
        return made, f"{rule}; width over the crests at either side", (wide, *terms)

    under, sealed_under = "back_flashing_under_a_boot", "sealed_flashing_under_a_boot"
    if sealed:  # 600 and 100 past it at both ends
        terms = (past, Term("penetration_lap_b_mm", 0.0, "mm"))
        assert lines == [boot, tray(sealed_under, sealed_under, 800.0, "hole and what it goes past it", *terms)]
    else:  # from 4000 down to 1700 and 150 more
        assert lines == [boot, tray(under, under, 2450.0, "from the top past the hole", lap)]
    kerb = hole_flashings._lines(plane(), replace(flue, flashing="kerb"), PROFILE, SITE, settings(sealed))
    sides = [
        (Made(f"kerb_side_{hand}_900", "kerb_side", (Mark(MarkKind.HAND, hand), Mark(MarkKind.LONG, 900.0))),
         "hole and laps at both ends", (Term("hole", 600.0, "mm", ref="X1"), lap, up))
        for hand in ("left", "right")
    ]  # fmt: skip
    apron = tray("kerb_apron", "kerb_apron", 230.0, "lap over the sheet below and up the kerb", lap, up)
    if sealed:  # 250 up the slope and 80 up the kerb
        last = tray(
            "kerb_back", "kerb_back_sealed", 330.0, "up the slope, sealed and riveted, and up the kerb", back, up
        )
    else:  # from 4000 down to 2300 and 80 up the kerb
        last = tray("kerb_back", "kerb_back", 1780.0, "from the top to the hole and up the kerb")
    assert kerb == [apron, *sides, last]
    assert [
        one[0].id
        for one in hole_flashings._lines(
            plane(), replace(flue, flashing="boot", kind="pipe"), PROFILE, SITE, settings()
        )
    ] == ["pipe_boot_250"]


@pytest.mark.usefixtures("two_crests")
def test_edges_that_are_sealed_and_riveted() -> None:
    """Round a tray of 704 by 600 and what it goes past the hole, 100 or at a kerb 250."""
    flue = replace(hole(), width_mm=400.0, length_mm=600.0)

    def edge_mm(flashing: str, sealed: bool = True) -> float:
        return hole_flashings.riveted_mm(replace(flue, flashing=flashing), PROFILE, SITE, 20.0, settings(sealed))

    assert (edge_mm("boot and back"), edge_mm("kerb"), edge_mm("boot"), edge_mm("kerb", sealed=False)) == (
        3008.0,
        3608.0,
        0.0,
        0.0,
    )
    assert [hole_flashings.rivets_of(mm, settings()) for mm in (3000.0, 3000.005, 3001.0, 0.0)] == [60, 60, 61, 0]


def test_like_flashings_are_counted_together() -> None:
    two = [replace(hole(), id=f"X{n}") for n in (1, 2)]
    need = hole_flashings.measure_hole_flashings(roof(plane()), two, PROFILE, SITE, settings())
    assert need is not None
    (found,) = need.quantities
    assert (found.item, found.figure, found.unit, found.refs) == ("pipe_boot_100", 2.0, "each", ("X1", "X2"))
    assert [made.id for made in need.items] == ["pipe_boot_100"]
    assert hole_flashings.measure_hole_flashings(roof(plane()), [], PROFILE, SITE, settings()) is None
    assert cos(radians(plane().pitch_deg)) == pytest.approx(0.5)


def test_need_of_like_flashings() -> None:
    """Whole: each kind once, in the order the holes come, with the term of the first."""
    sizes = (("X1", 100.0), ("X2", 150.0), ("X3", 100.0))
    three = [replace(hole(), id=name, diameter_mm=size) for name, size in sizes]
    made = {size: Made(f"pipe_boot_{size:.0f}", "pipe_boot", (Mark(MarkKind.PIPE, size),)) for _, size in sizes}

    def counted(size: float, figure: float, *ids: str) -> Quantity:
        name, first = f"pipe_boot_{size:.0f}", Term("diameter", size, "mm", ref=ids[0])
        return Quantity(name, name, figure, "each", ids, Working("one a pipe", (first,)))

    found = hole_flashings.measure_hole_flashings(roof(plane()), three, PROFILE, SITE, settings())
    assert found == Need(
        "flashings", (counted(100.0, 2.0, "X1", "X3"), counted(150.0, 1.0, "X2")), items=(made[100.0], made[150.0])
    )


@pytest.mark.parametrize(("over", "more"), [(0.0, 0), (0.009, 0), (0.011, 1), (0.019, 1), (1.0, 1)])
@pytest.mark.usefixtures("two_crests")
def test_trays_are_made_to_whole_millimetres(over: float, more: int) -> None:
    """A hundredth of a millimetre makes no tray wider, longer, nor the side of a kerb."""
    made, rule, terms = hole_flashings._tray("kerb_apron", 704.0 + over, 230.0 + over, "up", ())
    assert made == Made(
        f"kerb_apron_{704 + more}x{230 + more}", "kerb_apron", (Mark(MarkKind.SPREAD, (704.0 + more, 230.0 + more)),)
    )
    assert (rule, terms) == ("up; width over the crests at either side", ())
    kerb = replace(hole(), width_mm=400.0, length_mm=600.0 + over, centre_uv=(3000.0, 2000.0), flashing="kerb")
    _, left, _, _ = hole_flashings._lines(plane(), kerb, PROFILE, SITE, settings(True))
    assert left[0].id == f"kerb_side_left_{900 + more}"


@pytest.mark.parametrize(
    ("kind", "name", "width"), [("CORRUGATED", "flashing_crests_c", 700.0), ("TRAPEZOIDAL", "flashing_ribs_c", 1590.0)]
)
def test_width_over_crests_or_ribs(kind: str, name: str, width: float) -> None:
    """A hole of 400 and at either side 2 crests of 75, or 3.5 ribs of 170: 700 and 1590."""
    values = {"flashing_crests_c": 2.0, "flashing_ribs_c": 3.5}
    own: Any = SimpleNamespace(
        number=values.__getitem__,
        word={"flashing_category": "c", "wind_zone_if_not_given": "low"}.__getitem__,
        term=lambda name: Term(name, 1.0, "each"),
    )
    pitch = 75.0 if kind == "CORRUGATED" else 170.0
    profile: Any = SimpleNamespace(kind=ProfileKind[kind], rib_pitch_mm=pitch, basis={"*": SET_IN_JOB})
    found = hole_flashings._width(replace(hole(), width_mm=400.0), profile, Site(), 20.0, own)
    terms = (
        *(Term("hole", 400.0, "mm", ref="X1"), Term(name, 1.0, "each")),
        *(Term("rib_pitch_mm", pitch, "mm", SET_IN_JOB), Term("flashing_category", 1.0, "each")),
    )
    assert found == (width, terms)


def test_the_top_over_a_hole() -> None:
    """Over a courtyard from 2500 to 3000 the plane goes on: of a hole below it the top is 2500, above it 4000."""
    court = ((1000.0, 2500.0), (5000.0, 2500.0), (5000.0, 3000.0), (1000.0, 3000.0))
    own = replace(plane(), rings_uv=(SQUARE, court))
    found = [
        hole_flashings._top_v(own, replace(hole(), centre_uv=at))
        for at in ((3000.0, 900.0), (3000.0, 3500.0), (500.0, 900.0))
    ]
    assert found == [2500.0, 4000.0, 4000.0]
