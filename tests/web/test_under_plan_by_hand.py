"""What lies under the plan: scales, places and lines worked out by hand, limits taken and what lies beyond refused."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.web import pdf_page, under_plan
from takeoff.web.under_plan import Laid, UnderPlan, read_under

# a sheet of 0.2 mm of paper a pixel, laid at 50 mm a pixel with its corner at (1000, -500)
SHEET = UnderPlan("plan.pdf", "image/png", b"picture", 400.0, 200.0, 50.0, 1000.0, -500.0, paper_mm=0.2)
NO_SIZE = "that makes the picture no house's size: click and type again."


def picture(kind: str, **saved: Any) -> bytes:
    image = pytest.importorskip("PIL.Image").new("RGB", (40, 20), "white")
    out = BytesIO()
    image.save(out, kind, **saved)
    return out.getvalue()


def test_moved_and_shown() -> None:
    moved = SHEET.moved(250.0, -120.0)
    assert moved == replace(SHEET, x=1250.0, y=-620.0)
    assert moved.shown("/u/1") == {
        "href": "/u/1",
        "x": 1250.0,
        "y": -620.0,
        "opacity": 0.5,
        "wide": 20000.0,
        "high": 10000.0,
    }


def test_two_points_of_any_direction_scale_it_about_the_first() -> None:
    """(2000, 1000) and (5000, 5000) are 5000 apart (3-4-5): 2000 in truth, so 0.4: 20 mm a pixel. The corner lies (-1000,
    -1500) from the first point: 0.4 of that from it, (1600, 400)."""
    assert SHEET.measured((2000, 1000), (5000, 5000), 2000) == replace(SHEET, mm=20.0, x=1600.0, y=400.0, scaled=True)


def test_a_sheet_at_its_scale_keeps_its_corner() -> None:
    """0.2 mm of paper at 1 to 50 are 10 mm of house."""
    for one_to, mm in ((50, 10.0), (1, 0.2), (10_000, 2000.0)):
        assert SHEET.at_scale(one_to) == replace(SHEET, mm=pytest.approx(mm), scaled=True)
    for one_to in (0.9, 10_001):
        with pytest.raises(UsageError) as told:
            SHEET.at_scale(one_to)
        assert told.value.faults == ("type the scale of the sheet as it stands on it: 100 for 1 to 100.",)
    with pytest.raises(UsageError) as told:
        replace(SHEET, paper_mm=0.0).at_scale(100)
    assert told.value.faults == ("only a page of a PDF has a sheet of a known size: scale it by two points.",)


def test_a_pixel_is_a_thousandth_of_a_millimetre_at_least_and_a_kilometre_at_most() -> None:
    assert SHEET.measured((0, 0), (5000, 0), 0.1).mm == pytest.approx(1e-3)
    assert SHEET.measured((0, 0), (0, 1), 20000).mm == pytest.approx(1e6)
    for b, length in (((5000, 0), 0.0999), ((0, 1), 20001)):
        with pytest.raises(UsageError) as told:
            SHEET.measured((0, 0), b, length)
        assert told.value.faults == (NO_SIZE,)
    for b, length in (((0, 0), 100.0), ((1, 0), 0.0)):
        with pytest.raises(UsageError) as told:
            SHEET.measured((0, 0), b, length)
        assert told.value.faults == ("click two points that lie apart, and type the length between them.",)


def drawn(monkeypatch: pytest.MonkeyPatch, *paths: RawPath, unit: str = "mm") -> UnderPlan:
    monkeypatch.setattr(under_plan, "read_drawing", lambda path: RawDrawing(path.name, "DXF", paths, unit))
    return read_under("plan.dxf", b"")


def svg(wide: str, high: str, path: str) -> bytes:
    """A regression figure: how the lines are written."""
    size = f'width="{float(wide):.0f}" height="{float(high):.0f}" viewBox="0 0 {wide} {high}"'
    style = 'fill="none" stroke="#1a1a1a" stroke-width="4"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}><path {style} d="{path}"/></svg>'.encode()


def test_lines_are_laid_where_they_are_drawn_with_a_margin(monkeypatch: pytest.MonkeyPatch) -> None:
    """4000 x 2000 from (1000, 3000), a margin of 40 all round: 4080 wide, drawn 4000 wide, so 40 are 39.22; upside down,
    as pictures run: the foot at (2080 - 40) * 4000 / 4080 = 2000."""
    laid = drawn(monkeypatch, RawPath("0", ((1000.0, 3000.0), (5000.0, 3000.0), (5000.0, 5000.0)), False))
    picture = svg("4000.00", "2039.22", "M39.22 2000.00L3960.78 2000.00L3960.78 39.22")
    assert laid == UnderPlan("plan.dxf", "image/svg+xml", picture, 4080, 2080, 1, 960, 2960, scaled=True)
    closed = drawn(monkeypatch, RawPath("0", ((1000.0, 3000.0), (5000.0, 3000.0), (5000.0, 5000.0)), True))
    assert closed.data == picture.replace(b'39.22"/>', b'39.22L39.22 2000.00"/>')


def test_a_drawing_in_metres_and_one_of_no_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    """10 x 5 and margins of 0.1; metres are 1000 mm; of no unit it is laid 20 m wide at nothing."""
    line = RawPath("0", ((2.0, -3.0), (12.0, 2.0)), False)
    metres, bare = drawn(monkeypatch, line, unit="m"), drawn(monkeypatch, line, unit="")
    assert (metres.wide, metres.high, metres.mm, metres.x, metres.y, metres.scaled) == pytest.approx(
        (10.2, 5.2, 1000, 1900, -3100, True)
    )
    assert (bare.wide, bare.mm, bare.x, bare.y, bare.scaled) == pytest.approx((10.2, 20000 / 10.2, 0, 0, False))


def test_a_drawing_on_a_survey_grid_is_laid_at_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A kilometre off in either axis, the margin of 10 in: 999 999 is near, 1 000 001 far."""
    for x, near in ((1_000_009.0, True), (1_000_011.0, False)):
        laid = drawn(monkeypatch, RawPath("0", ((x, 5.0), (x + 1000.0, 6.0)), False))
        assert (laid.x, laid.mm, laid.scaled) == (x - 10 if near else 0, 1, True)
        laid = drawn(monkeypatch, RawPath("0", ((5.0, -x + 20.0), (1005.0, -x + 21.0)), False))
        assert laid.y == (-x + 10 if near else 0)


def test_arcs_by_their_bulge(monkeypatch: pytest.MonkeyPatch) -> None:
    """A bulge is the tangent of a quarter of the angle (as DXF has it): radius = chord (1 + b^2) / 4 b. Chord 8: b = 1 is
    half a circle of radius 4 below it; b = -2 more than half, of radius 8 * 5 / 8 = 5, above it by half the chord * 2 = 8.
    8 x 12 and margins of 0.12: 12.24 high, drawn 4000, so 326.80 a unit."""
    arcs = RawPath("0", ((0.0, 0.0), (8.0, 0.0)), False, (1.0,)), RawPath("0", ((0.0, 0.0), (8.0, 0.0)), False, (-2.0,))
    laid = drawn(monkeypatch, *arcs)
    assert (laid.wide, laid.high) == pytest.approx((8.24, 12.24))
    foot = (12.24 - 4.12) * 4000 / 12.24
    ends = (0.12 * 4000 / 12.24, 8.12 * 4000 / 12.24)
    path = "".join(
        f"M{ends[0]:.2f} {foot:.2f}A{radius * 4000 / 12.24:.2f} {radius * 4000 / 12.24:.2f} 0 {flags} {ends[1]:.2f} {foot:.2f}"
        for radius, flags in ((4, "0 0"), (5, "1 1"))
    )
    assert f'd="{path}"'.encode() in laid.data


def test_what_is_laid_is_told_to_all_and_a_new_picture_has_a_new_number() -> None:
    laid, told = Laid(), []
    laid.drawers.append(lambda: told.append((laid.number, laid.under)))
    moved, other = SHEET.moved(1, 2), replace(SHEET, data=bytes(bytearray(b"picture")))
    for under in (SHEET, moved, other, None, None):
        laid.lay(under)
    assert told == [(1, SHEET), (1, moved), (2, other), (3, None), (4, None)]


def test_marks_of_photographs_that_lie_on_their_side() -> None:
    """5 to 8 of the EXIF orientations (EXIF 2.3, tag 274) swap width and height; a PNG has none that is kept to."""
    for mark in range(1, 9):
        exif = pytest.importorskip("PIL.Image").Exif()
        exif[0x0112] = mark
        laid = read_under("plan.jpg", picture("JPEG", exif=exif))
        assert (laid.wide, laid.high, laid.mm) == ((20, 40, 1000) if mark > 4 else (40, 20, 500))
    assert read_under("plan.png", picture("PNG", exif=exif)).wide == 40


def test_what_is_too_large_and_what_is_none_of_these(monkeypatch: pytest.MonkeyPatch) -> None:
    data = picture("PNG")
    monkeypatch.setattr(under_plan, "_MOST_PIXELS", 800)
    monkeypatch.setattr(under_plan, "MOST_BYTES", len(data))
    assert read_under("a.png", data).wide == 40
    monkeypatch.setattr(under_plan, "_MOST_PIXELS", 799)
    for name, given, words in (
        ("a.png", data, "a.png: more than 0 million pixels; make it smaller"),
        ("a.png", data + b"0", "a.png: more than 0 MB; save a smaller picture or layer"),
        ("a.png", b"no", "a.png: is no PNG or JPEG picture that can be read; save it again"),
        ("a.txt", b"no", "a.txt: lay a PNG, JPEG, PDF or DXF file under the plan"),
    ):
        with pytest.raises(UnreadableFileError) as told:
            read_under(name, given)
        assert told.value.faults == (words,)


def test_the_bounds_of_what_is_laid() -> None:
    """Of our own choosing: 24 MB, 40 million pixels."""
    assert (under_plan.MOST_BYTES, under_plan._MOST_PIXELS) == (24_000_000, 40_000_000)


def test_a_page_is_drawn_3200_pixels_long_and_knows_its_paper() -> None:
    """A4 lying, 841.89 x 595.28 points of 1/72 inch (ISO 216, 297 x 210 mm): 297 / 3200 = 0.0928 mm a pixel, 2263 high."""
    canvas = pytest.importorskip("reportlab.pdfgen.canvas")
    image = pytest.importorskip("PIL.Image")
    pytest.importorskip("pypdfium2")
    out = BytesIO()
    sheet = canvas.Canvas(out, pagesize=(841.89, 595.28))
    for _ in range(2):
        sheet.rect(100, 100, 300, 200)
        sheet.showPage()
    sheet.save()
    said, png = pdf_page._drawn(out.getvalue(), 2)
    assert said == {"pages": 2, "mm": pytest.approx(297 / 3200, rel=1e-4)}
    with image.open(BytesIO(png)) as page:
        assert page.size == (3200, 2263)
    for number in (0, 3):
        assert pdf_page._drawn(out.getvalue(), number) == (
            {"fault": f"has pages 1 to 2; there is no page {number}"}, b"",
        )  # fmt: skip
    assert pdf_page._drawn(b"no", 1)[0] == {"fault": "is no PDF that can be opened; save it again without a password"}
