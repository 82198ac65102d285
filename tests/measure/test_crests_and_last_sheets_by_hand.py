"""Crests brought in line across a ridge, and what is said of planes and their last sheets: by hand. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Ring2
from takeoff.measure.roofing.sheets import crests, sheets
from takeoff.measure.roofing.sheets.crests import CrestLines, _Alone
from takeoff.measure.roofing.sheets.lay_direction import SetOut
from takeoff.measure.roofing.sheets.sheet_pieces import Ground
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Frame, RoofPlane
from takeoff.model.sheets import PlaneSheets
from takeoff.shape.strips import strips
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.strips import Widths

SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
FRAME = Frame((10.0, 20.0, 30.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def plane(name: str = "P1", ring: Ring2 = SQUARE) -> RoofPlane:
    return RoofPlane(name, "main", FRAME, (ring,), (1,), 1, 20.0, 180.0, 24e6, 22e6)


def ground(name: str = "P1", ring: Ring2 = SQUARE) -> Ground:
    return Ground(plane(name, ring), SheetedArea((ring,), (("",) * len(ring),)), {}, "left", "as asked")


def out(start: float = 0.0, gap: float = 0.0, beside: str = "", side: str = "left") -> SetOut:
    return SetOut(side, start, 0.0, "words", "why", gap, beside)


@pytest.mark.parametrize(
    ("gaps", "raked", "asked", "wide", "moved", "left", "beside"),
    [
        # 20 from the next crest line of P2, at a raked corner: moved there, and in line with it
        ({"P2": (20.0, 0.0)}, True, True, 6000.0, 20.0, 0.0, ""),
        ({"P2": (20.0, 20.0)}, False, True, 6000.0, 0.0, 20.0, "P2"),  # a free edge is seen: left where it is
        ({"P2": (20.0, 20.0)}, True, False, 6000.0, 0.0, 20.0, "P2"),  # not asked for
        ({"P2": (80.0, 80.0)}, False, True, 6000.0, 0.0, 20.0, "P2"),  # 80 one way are 20 the other
        ({"P2": (10.0, 10.0)}, False, True, 6000.0, 0.0, 0.0, ""),  # 10 are in line
        ({"P2": (0.0, 0.0)}, True, True, 6000.0, 0.0, 0.0, ""),
        # 5700 and 100 are seven covers of 800 and 200 over; 6400 and 20 are one sheet more than 6400
        ({"P2": (20.0, 20.0)}, True, True, 6400.0, 0.0, 20.0, "P2"),
        # in line with P2, 30 out with P3, 15 with P4: the worst is told
        ({"P2": (20.0, 0.0), "P3": (1.0, 30.0), "P4": (1.0, 15.0)}, True, True, 6000.0, 20.0, 30.0, "P3"),
        ({"P2": (15.0, 15.0), "P3": (1.0, 30.0)}, False, True, 6000.0, 0.0, 30.0, "P3"),
    ],
)
def test_crests_in_line(
    gaps: dict[str, tuple[float, float]], raked: bool, asked: bool, wide: float, moved: float, left: float, beside: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """Ribs of 100, covers of 800; gaps as they are before and after a plane is moved; over 10 is told."""
    ring = ((500.0, 0.0), (500.0 + wide, 0.0), (500.0 + wide, 4000.0), (500.0, 4000.0))
    own = ground("P1", ring)
    plain = out(0.0)
    settings: Any = SimpleNamespace(number={"crests_out_of_line_mm": 10.0}.__getitem__)
    rules: Any = SimpleNamespace(
        widths=Widths(800.0, 800.0), profile=SimpleNamespace(rib_pitch_mm=100.0), settings=settings
    )
    lines = CrestLines(SimpleNamespace(), rules)  # type: ignore[arg-type]
    shifts: list[float] = []

    def start(of: Ground, shift: float) -> SetOut:
        shifts.append(shift)
        return out(-shift)

    monkeypatch.setattr(lines, "_start", start)
    monkeypatch.setattr(
        crests, "_gap", lambda own, now, other, found, profile: gaps[other.id][now.start_u_mm != 0.0 or moved == 0.0]
    )
    near = [plane(name) for name in gaps]
    found = lines._in_line(own, _Alone(raked, 0.0, 0, plain), near, {}, asked)
    assert shifts == ([moved] if moved else [])
    assert found == out(-moved, left, beside)


def piece(strip: int, left: float, right: float) -> Any:
    return SimpleNamespace(strip=strip, outline_uv=((left, 0.0), (right, 0.0), (right, 9.0), (left, 9.0)))


def test_a_narrow_last_sheet() -> None:
    """Laid from the left, the last strip 305 wide at a square end; as wide as its cover, less half a millimetre, it is none."""
    wide = Widths(760.0, 800.0)
    pieces = [piece(1, 0.0, 800.0), piece(3, 5695.0, 6000.0), piece(2, 760.0, 1560.0)]
    assert sheets._last_wide(ground(), out(), pieces, wide) == 305.0
    for right, width in ((6454.4, 759.4), (6454.5, 0.0), (6455.0, 0.0)):
        assert sheets._last_wide(ground(), out(), [piece(3, 5695.0, right)], wide) == pytest.approx(width)
    assert sheets._last_wide(ground(), out(), [], wide) == 0.0
    # it ends in a rake on the right: laid from the right its end is the square left one
    leaning = ground("P1", ((0.0, 0.0), (6000.0, 0.0), (5000.0, 4000.0), (0.0, 4000.0)))
    assert sheets._last_wide(leaning, out(), pieces, wide) == 0.0
    assert sheets._last_wide(leaning, out(side="right"), pieces, wide) == 305.0


def test_a_sliver_is_no_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thinner than half a millimetre over its height of 4 m: under 2000 mm2."""
    monkeypatch.setattr(strips, "highest", lambda sheet: 4100.0)
    monkeypatch.setattr(strips, "lowest", lambda sheet: 100.0)
    for area, crumb in ((1999.0, True), (2001.0, False)):
        monkeypatch.setattr(strips, "slabs_area", lambda sheet, area=area: area)
        assert strips.is_crumb(()) is crumb


def test_what_is_said_of_planes() -> None:
    settings: Any = SimpleNamespace(
        word=lambda name: "east", basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}")
    )
    laying: Any = SimpleNamespace(
        roof=SimpleNamespace(name="main"),
        settings=settings,
        widths=Widths(760.0, 800.0),
        profile=SimpleNamespace(id="rib"),
    )
    assert sheets._lee_finding(laying) == Finding(
        "lee-end-not-given", Severity.NOTE, "Roof main: the job does not say where laying starts; the east end was taken as the lee end.",
        "Add the end away from the prevailing wind to the job: `settings: {lay_from: east}`.", refs=("main",), source="source of lay_from",
    )  # fmt: skip
    line = Finding(
        "crests-out-of-line", Severity.NOTE, "Crests of P1 fall 23 mm out of line with P2 across their ridge.",
        "Where this is seen, move one start, or add under the roof: `covering: {first_cover_mm: 600}`.", refs=("P1", "P2"),
    )  # fmt: skip
    assert sheets._line_findings(plane(), out(0.0, 23.4, "P2")) == (line,)
    assert sheets._line_findings(plane(), out()) == ()
    nothing = Finding(
        "nothing-to-sheet", Severity.WARN, "P1 is smaller than the trims of its edges: it gets no sheet.",
        "Check the outline there; a flashing may cover it.", refs=("P1",), at_mm=(10.0, 20.0, 30.0),
    )  # fmt: skip
    found = sheets._nothing(replace(ground(), side="right"), laying)
    assert found == PlaneSheets(
        "P1", "rib", "right", 0.0, "", "right", 760.0, 800.0, 760.0, (), 0.0, (), 0.0, findings=(nothing,)
    )
