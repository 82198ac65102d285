"""Sizes taped on a frame against the drawing and against each other, by hand: a plane of 6000 at its foot, 4500 at its head,
4000 up, its head 500 in at the left and 1000 at the right. Tolerance 10 mm, 50 mm off the drawing."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import hypot, isnan
from pathlib import Path

import pytest

from takeoff.measure.roofing.sheets.lay_direction import SetOut
from takeoff.measure.roofing.sheets.sheet_pieces import Ground
from takeoff.measure.roofing.sheets.site_checks import (
    closing_ridge,
    drawn_lengths,
    needed,
    plane_findings,
    shared_findings,
)  # fmt: skip
from takeoff.measure.roofing.sheets.site_fit import _levelled, built_place, fit_grounds, fit_plane, fit_planes
from takeoff.measure.roofing.sheets.site_suspect import Suspect, suspect_words, suspects
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Covering, Roof, RoofPlane
from takeoff.model.settings import Settings
from takeoff.model.supplied import PlaneFit, SiteMeasure, SuppliedLine, SuppliedList
from takeoff.shape.strips.sheeted_area import SheetedArea

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import plane, with_values

RING = ((0.0, 0.0), (6000.0, 0.0), (5000.0, 4000.0), (500.0, 4000.0))
DRAWN = {
    "rafter left": hypot(500, 4000), "rafter right": hypot(1000, 4000), "eave": 6000.0, "ridge": 4500.0,
    "diagonal 1": hypot(5000, 4000), "diagonal 2": hypot(5500, 4000),
}  # fmt: skip
ADVICE = "Tape again. If it is so, see to the frame, or set the tolerance in the job's settings."


def sloping(**more: object) -> RoofPlane:
    return plane(20.0, rings_uv=(RING,), **more)


def tight(settings: Settings) -> Settings:
    return with_values(settings, measure_tolerance_mm=10, measure_off_drawing_mm=50)


def taped(**off: float) -> dict[str, float]:
    """All six as drawn, some off by so much: eave=11."""
    return {item: mm + off.get(item.replace(" ", "_"), 0.0) for item, mm in DRAWN.items()}


def test_what_a_plane_measures_as_drawn() -> None:
    assert drawn_lengths(sloping()) == pytest.approx(DRAWN)
    assert needed(sloping()) == ("rafter left", "rafter right", "eave", "ridge")
    peak = plane(20.0, rings_uv=(((0.0, 0.0), (6000.0, 0.0), (3000.0, 4000.0)),))
    assert needed(peak) == ("rafter left", "rafter right", "eave")
    assert closing_ridge(DRAWN) == pytest.approx(4500.0)
    assert closing_ridge({item: mm for item, mm in DRAWN.items() if item != "eave"}) is None
    nowhere = closing_ridge({**DRAWN, "diagonal 2": 20_000.0})
    assert nowhere is not None
    assert isnan(nowhere)


def test_sizes_off_the_drawing_and_rafters_out_of_parallel(settings: Settings) -> None:
    """10 and 50 are allowed, a millimetre more is told; rafters may differ by 10 more than drawn."""
    values, here = tight(settings), sloping()

    def told(**sizes: float) -> list[Finding]:
        return plane_findings(here, {item.replace("_", " "): mm for item, mm in sizes.items()}, values)

    assert told(eave=6010.0) == told(eave=5990.0) == []
    assert told(eave=6011.0, ridge=4451.0) == [
        Finding(
            "measure-from-drawing", Severity.WARN, f"P1: {item}{words}",
            "Tape it again; if it is so, flashings and purlins ordered as drawn may not fit.", ("P1",),
        )
        for item, words in (
            ("eave", " taped 6011 mm is +11 mm against the drawing's 6000."),
            ("ridge", " taped 4451 mm is -49 mm against the drawing's 4500."),
        )
    ]  # fmt: skip
    assert [one.severity for one in told(eave=6050.0)] == [Severity.WARN]
    assert told(eave=5949.0) == [
        Finding(
            "measure-off-drawing", Severity.STOP,
            "P1: eave taped 5949 mm is -51 mm against the drawing's 6000, more than 50 mm.", ADVICE, ("P1",),
        )
    ]  # fmt: skip
    assert told(rafter_left=DRAWN["rafter left"] + 4.9, rafter_right=DRAWN["rafter right"] - 5.0) == []
    left, right = DRAWN["rafter left"] + 30.0, DRAWN["rafter right"]
    _, twisted = told(rafter_left=left, rafter_right=right, eave=6000.0)
    assert twisted == Finding(
        "rafters-out-of-parallel", Severity.STOP,
        "P1: left and right rafter differ by 30 mm more than drawn, more than 10 mm. rafter left is 30 mm long: with 4031 all"
        " agree.",
        ADVICE, ("P1",),
    )  # fmt: skip


@pytest.mark.parametrize(("ridge", "there"), [(1.0, False), (1.1, True)])
def test_a_side_of_a_millimetre_is_a_point(ridge: float, there: bool, settings: Settings) -> None:
    """It need not be taped, and a ridge that follows from the other five says nothing of it."""
    ring = ((0.0, 0.0), (6000.0, 0.0), (500.0 + ridge, 4000.0), (500.0, 4000.0))
    peaked = plane(20.0, rings_uv=(ring,))
    sides = ("rafter left", "rafter right", "eave")
    assert needed(peaked) == ((*sides, "ridge") if there else sides)
    sizes = {**drawn_lengths(peaked), "ridge": 40.0}
    assert ("diagonals-do-not-close" in {one.code for one in plane_findings(peaked, sizes, tight(settings))}) is there


def test_one_rafter_alone_cannot_be_out_of_parallel(settings: Settings) -> None:
    for item in ("rafter left", "rafter right"):
        (told,) = plane_findings(sloping(), {item: DRAWN[item] + 30.0}, tight(settings))
        assert told.code == "measure-from-drawing"


def test_six_sizes_that_do_not_close_name_the_one_to_tape_again(settings: Settings) -> None:
    """A ridge 11 too long: put right, all six are as drawn; 10 is allowed."""
    values, here = tight(settings), sloping()
    assert plane_findings(here, taped(ridge=9.9), values) == []
    warned, stop = plane_findings(here, taped(ridge=11.0), values)
    assert warned.code == "measure-from-drawing"
    assert stop == Finding(
        "diagonals-do-not-close", Severity.STOP,
        "P1: rafters, eave and diagonals make a ridge of 4500 mm, taped 4511: +11 mm, more than 10 mm. ridge is 11 mm long:"
        " with 4500 all agree.",
        ADVICE, ("P1",),
    )  # fmt: skip
    _, short = plane_findings(here, taped(diagonal_2=-30.0), values)
    assert short.text.endswith(" diagonal 2 is 30 mm short: with 6801 all agree.")
    impossible = plane_findings(here, {**DRAWN, "diagonal 2": 20_000.0}, values)
    assert [one.code for one in impossible] == ["measure-off-drawing", "diagonals-do-not-close"]


def test_the_sizes_to_tape_again(settings: Settings) -> None:
    """Left rafter 30 long, right 20 long, of four: either put parallel to the other; 20 off at most, or 30, both named."""
    values = tight(settings)
    four = {item: DRAWN[item] for item in ("rafter left", "rafter right", "eave", "ridge")}
    both = {**four, "rafter left": four["rafter left"] + 30.0, "rafter right": four["rafter right"] + 20.0}
    first, second = suspects(both, DRAWN, closing_ridge, values)
    left, right = four["rafter left"], four["rafter right"]
    assert first == Suspect("rafter left", left + 30.0, pytest.approx(left + 20.0), pytest.approx(20.0))
    assert second == Suspect("rafter right", right + 20.0, pytest.approx(right + 30.0), pytest.approx(30.0))
    assert suspect_words((first, second)) == (
        f" rafter left is 10 mm long: with {left + 20:.0f} all agree; or rafter right is 10 mm short: with"
        f" {right + 30:.0f} all agree."
    )
    assert suspect_words(()) == ""
    # 60 off either way is further than anything may be off; 51 off one way is named with what lies within twice as far
    far = {**both, "rafter left": left + 120.0, "rafter right": right + 60.0}
    assert suspects(far, DRAWN, closing_ridge, values) == ()
    one = {**both, "rafter left": left + 45.0, "rafter right": right}
    assert [each.item for each in suspects(one, DRAWN, closing_ridge, values)] == ["rafter left"]
    assert suspects(DRAWN, DRAWN, closing_ridge, values) == ()


def test_an_edge_taped_twice_must_agree(gable_roof: Callable[..., Roof], settings: Settings) -> None:
    roof, values = gable_roof(), tight(settings)
    ridge = next(edge.id for edge in roof.edges if edge.kind == "ridge")
    first = SiteMeasure("P1", "ridge", 10_000.0)

    def told(*measures: SiteMeasure) -> list[Finding]:
        return shared_findings((roof,), (first, *measures), values)

    assert told(SiteMeasure("P2", "ridge", 10_010.0)) == []
    assert told(SiteMeasure("P2", "ridge", 10_011.0), SiteMeasure("P2", "ridge", 10_005.0)) == [
        Finding(
            "edge-taped-twice", Severity.STOP,
            f"{ridge}: taped 10000 mm as ridge of P1 but 10011 mm as ridge of P2, more than 10 mm apart.",
            "It is one edge: tape it again.", (ridge, "P1", "P2"),
        )
    ]  # fmt: skip
    assert (
        told(SiteMeasure("P2", "diagonal 1", 9.0), SiteMeasure("P9", "ridge", 9.0), SiteMeasure("P1", "eave", 9.0))
        == []
    )


def test_a_plane_as_built_keeps_the_middle_of_its_foot() -> None:
    """A rectangle of 6000 x 4000, 10 wider: 5 to either side; a point a quarter across is 2.5 further left."""
    ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    drawn = plane(20.0, rings_uv=(ring,))
    across = hypot(6010, 4000)
    sizes = {"eave": 6010.0, "ridge": 6010.0, "rafter left": 4000.0, "rafter right": 4000.0}
    fit = fit_plane(drawn, {**sizes, "diagonal 1": across, "diagonal 2": across})
    assert fit.drawn_uv == ((0.0, 0.0), (6000.0, 0.0), (0.0, 4000.0), (6000.0, 4000.0))
    corners = ((-5.0, 0.0), (6005.0, 0.0), (-5.0, 4000.0), (6005.0, 4000.0))
    for built, right in zip(fit.built_uv, corners, strict=True):
        assert built == pytest.approx(right, abs=0.01)
    exact = PlaneFit("P1", fit.drawn_uv, corners)
    assert built_place(exact, (1500.0, 1000.0)) == pytest.approx((1497.5, 1000.0))
    assert built_place(exact, (-300.0, 5000.0)) == pytest.approx((-305.0, 5000.0))
    # its right side 8 higher: half of it halfway across, and none at the left
    higher = PlaneFit("P1", fit.drawn_uv, (corners[0], corners[1], corners[2], (6005.0, 4008.0)))
    assert built_place(higher, (3000.0, 2000.0)) == pytest.approx((3000.0, 2002.0))
    # of a plane that stands on a point the head stays level
    kite = plane(20.0, rings_uv=(((3000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0)),))
    side = hypot(3006.0, 4000.0)
    fit = fit_plane(kite, {"ridge": 6012.0, "rafter left": side, "rafter right": side})
    assert fit.built_uv[0] == fit.built_uv[1] == pytest.approx((3000.0, 0.0), abs=0.01)
    assert fit.built_uv[2] == pytest.approx((-6.0, 4000.0), abs=0.01)


@pytest.mark.parametrize("turn", [(0.8, 0.6), (0.6, -0.8), (-1.0, 0.0), (1.0, 0.0)])
def test_built_corners_are_laid_on_the_line_as_drawn(turn: tuple[float, float]) -> None:
    """Built 10 longer at its foot and 4 higher, and fitted turned and moved: its foot lies level on the drawn one, from 100 to
    6100 at 50 up, its middle kept, all else turned back with it."""
    c, s = turn
    drawn = ((100.0, 50.0), (6100.0, 50.0), (1100.0, 4050.0), (5100.0, 4050.0))
    built = [
        (x * c - y * s + 700.0, x * s + y * c - 300.0)
        for x, y in ((0.0, 0.0), (6010.0, 0.0), (1005.0, 4004.0), (5005.0, 4000.0))
    ]
    found = _levelled(drawn, built)
    for corner, right in zip(found, ((95.0, 50.0), (6105.0, 50.0), (1100.0, 4054.0), (5100.0, 4050.0)), strict=True):
        assert corner == pytest.approx(right)
    # of a plane that stands on a point its head
    point = ((3100.0, 50.0), (3100.0, 50.0), *drawn[2:])
    head = [built[0], built[0], *((x * c - y * s, x * s + y * c) for x, y in ((0.0, 0.0), (4006.0, 0.0)))]
    assert _levelled(point, head)[2:] == (pytest.approx((1097.0, 4050.0)), pytest.approx((5103.0, 4050.0)))


def test_a_plane_with_a_hole_is_fitted_by_its_outline() -> None:
    court = ((2000.0, 1000.0), (2000.0, 1500.0), (2500.0, 1500.0), (2500.0, 1000.0))
    fit = fit_plane(plane(20.0, rings_uv=(RING, court)), dict(DRAWN))
    assert fit.drawn_uv == ((0.0, 0.0), (6000.0, 0.0), (500.0, 4000.0), (5000.0, 4000.0))
    for built, right in zip(fit.built_uv, fit.drawn_uv, strict=True):
        assert built == pytest.approx(right, abs=1e-6)


def test_planes_that_are_not_measured_are_told(gable_roof: Callable[..., Roof], settings: Settings) -> None:
    roof, values = gable_roof(), tight(settings)
    sizes = drawn_lengths(roof.planes[0])
    all_four = [SiteMeasure("P1", item, sizes[item]) for item in ("rafter left", "rafter right", "eave", "ridge")]
    fit = fit_planes((roof,), all_four[:3], values)
    text = "Not measured, so taken as drawn: P1 (ridge); P2."
    assert fit.findings == (
        Finding("not-measured", Severity.WARN, text, "Tape them before the list goes to the mill."),
    )
    assert (fit.whole, [one.plane for one in fit.fits]) == (False, ["P1"])
    bare = replace(roof, planes=(roof.planes[0], replace(roof.planes[1], covering=Covering.OTHER)))
    whole = fit_planes((bare,), all_four, values)
    assert (whole.whole, whole.findings) == (True, ())
    # within half a millimetre a size is as drawn
    near = [replace(all_four[2], mm=all_four[2].mm + 0.5), *all_four[:2], all_four[3]]
    assert fit_planes((bare,), near, values).fits == whole.fits
    off = [replace(all_four[2], mm=all_four[2].mm + 51.0), *all_four[:2], all_four[3]]
    stopped = fit_planes((bare,), off, values)
    assert (stopped.fits, [one.code for one in stopped.findings]) == ((), ["measure-off-drawing"])


def test_a_list_goes_by_planes_where_every_line_names_one() -> None:
    line = SuppliedLine(2, 3, 4200.0, "P1")
    assert SuppliedList("list.csv", "", (line, line)).by_plane
    assert not SuppliedList("list.csv", "", (line, replace(line, plane=""))).by_plane
    assert not SuppliedList("list.csv", "", ()).by_plane


def test_a_built_plane_that_does_not_begin_at_nothing() -> None:
    """From (100, 50): 10 wider is 5 to either side, a quarter across 2.5 to the left; its ground and start lines go with it."""
    drawn = ((100.0, 50.0), (6100.0, 50.0), (100.0, 4050.0), (6100.0, 4050.0))
    wider = PlaneFit("P1", drawn, ((95.0, 50.0), (6105.0, 50.0), (95.0, 4050.0), (6105.0, 4050.0)))
    assert built_place(wider, (1600.0, 1050.0)) == pytest.approx((1597.5, 1050.0))
    higher = replace(wider, built_uv=(*wider.built_uv[:3], (6105.0, 4058.0)))
    assert built_place(higher, (3100.0, 2050.0)) == pytest.approx((3100.0, 2052.0))
    ring = (drawn[0], drawn[1], drawn[3], drawn[2])
    ground = Ground(plane(20.0), SheetedArea((ring,), (("",) * 4,)), {}, "left", "why")
    beside = replace(ground, plane=plane(20.0, id="P2"))
    for side, start, found in (("left", 90.0, 85.0), ("right", 6140.0, 6145.0)):
        starts = {name: SetOut(side, start, 0.0, "", "") for name in ("P1", "P2")}
        moved, now = fit_grounds([ground, beside], starts, {"P1": wider})
        assert moved[0].area.rings == (
            (
                pytest.approx((95.0, 50.0)),
                pytest.approx((6105.0, 50.0)),
                pytest.approx((6105.0, 4050.0)),
                pytest.approx((95.0, 4050.0)),
            ),
        )
        assert moved[1] is beside
        assert (now["P1"].start_u_mm, now["P2"].start_u_mm) == (pytest.approx(found), start)
    assert fit_grounds([ground], {}, {"P1": wider}) == ([ground], {})
