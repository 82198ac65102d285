"""What is laid under the plan: pictures, drawings and pages, bounded, and put to scale. Sizes worked by hand."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.web import under_plan
from takeoff.web.under_plan import read_under

PLAN = Path(__file__).resolve().parents[2] / "geometry_samples" / "drawn_plan" / "plan.dxf"


def picture(kind: str, wide: int = 400, high: int = 200, **saved: Any) -> bytes:
    image = pytest.importorskip("PIL.Image").new("RGB", (wide, high), "white")
    out = BytesIO()
    image.save(out, kind, **saved)
    return out.getvalue()


def a4() -> bytes:
    """An A4 page lying, two pages in all: 842 x 595 points (ISO 216: 297 x 210 mm)."""
    canvas = pytest.importorskip("reportlab.pdfgen.canvas")
    out = BytesIO()
    sheet = canvas.Canvas(out, pagesize=(841.89, 595.28))
    for _ in range(2):
        sheet.rect(100, 100, 300, 200)
        sheet.showPage()
    sheet.save()
    return out.getvalue()


@pytest.mark.parametrize(("name", "kind"), [("plan.PNG", "PNG"), ("plan.jpg", "JPEG"), ("plan.jpeg", "JPEG")])
def test_a_picture_is_laid_twenty_metres_wide_until_it_is_scaled(name: str, kind: str) -> None:
    laid = read_under(name, picture(kind))
    assert (laid.wide, laid.high, laid.mm, laid.scaled) == (400, 200, 50, False)
    assert laid.mime == f"image/{kind.lower()}"
    assert laid.shown("/x") == {"href": "/x", "x": 0, "y": 0, "opacity": 0.5, "wide": 20000, "high": 10000}


def test_two_points_and_a_length_put_it_to_scale_and_the_first_point_stays() -> None:
    """At 50 mm a pixel two points 5000 mm apart that are 10000 in truth: 100 mm a pixel; seen from (1000, 2000) the
    corner at 0, 0 goes to (-1000, -2000)."""
    laid = read_under("plan.png", picture("PNG")).measured((1000, 2000), (4000, 6000), 10000)
    assert (laid.mm, laid.x, laid.y, laid.scaled) == (100, -1000, -2000, True)
    with pytest.raises(UsageError, match="apart"):
        laid.measured((1, 1), (1, 1), 100)
    with pytest.raises(UsageError, match="size"):
        laid.measured((0, 0), (1, 0), 1e9)


def test_a_photograph_that_lies_on_its_side_is_measured_as_it_is_seen() -> None:
    exif = pytest.importorskip("PIL.Image").Exif()
    exif[0x0112] = 6  # turned a quarter, by the standard of such marks (EXIF 2.3, orientation)
    laid = read_under("plan.jpg", picture("JPEG", exif=exif))
    assert (laid.wide, laid.high) == (200, 400)


def test_a_drawing_keeps_its_unit_and_its_place() -> None:
    """The sample's drawing is in mm: it is laid as large as it is drawn, its lowest left point where it is."""
    laid = read_under("the plan.dxf", PLAN.read_bytes())
    assert (laid.mm, laid.scaled, laid.mime) == (1.0, True, "image/svg+xml")
    assert b"<path" in laid.data
    assert b"WALLS" not in laid.data


def test_arcs_are_drawn_as_arcs_and_no_word_of_a_file_gets_in(tmp_path: Path) -> None:
    import ezdxf

    document = ezdxf.new()
    document.layers.add("SECRET")
    document.modelspace().add_lwpolyline(
        [(0, 0, 0, 0, 1), (10, 0, 0, 0, 0)], format="xyseb", close=True, dxfattribs={"layer": "SECRET"}
    )
    path = tmp_path / "arc.dxf"
    document.saveas(path)
    laid = read_under("arc.dxf", path.read_bytes())
    assert (laid.wide, laid.high) == pytest.approx(
        (10.2, 5.2)
    )  # half a circle below its chord, and a margin of a hundredth
    assert b"0 0 0" in laid.data
    assert b"SECRET" not in laid.data


def test_a_page_of_a_pdf_knows_its_paper() -> None:
    """297 mm of paper at 1 to 100 are 29.7 m of house."""
    laid = read_under("plan.pdf", a4(), page=2)
    assert (laid.pages, laid.page) == (2, 2)
    assert laid.wide * laid.paper_mm == pytest.approx(297, abs=0.2)
    scaled = laid.at_scale(100)
    assert scaled.wide * scaled.mm == pytest.approx(29700, abs=20)
    with pytest.raises(UsageError, match="scale of the sheet"):
        laid.at_scale(0)
    with pytest.raises(UsageError, match="sheet"):
        read_under("plan.png", picture("PNG")).at_scale(100)


def test_what_cannot_be_laid_under_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, data in (
        ("a.txt", b"x"),
        ("a.png", b"no"),
        ("a.png", picture("PNG")[:80]),
        ("a.jpg", b"\xff\xd8"),
        ("a.dxf", b"no"),
        ("a.png", b""),
        ("a", b""),
    ):
        with pytest.raises(UnreadableFileError):
            read_under(name, data)
    with pytest.raises(UnreadableFileError, match="no PDF"):
        read_under("a.pdf", b"%PDF-1.4 no")
    monkeypatch.setattr(under_plan, "_MOST_PIXELS", 400 * 200 - 1)
    with pytest.raises(UnreadableFileError, match="pixels"):
        read_under("a.png", picture("PNG"))
    monkeypatch.setattr(under_plan, "MOST_BYTES", 10)
    with pytest.raises(UnreadableFileError, match="MB"):
        read_under("a.png", picture("PNG"))
