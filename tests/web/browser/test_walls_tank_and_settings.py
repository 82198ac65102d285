"""Walls, tank and settings in the browser: windows put in by drawing and by typing, one dragged; rain; a setting."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import Any

import pytest

from takeoff.pipeline import run_file
from takeoff.read.job.job_file import parse_job
from takeoff.web.wall_edits import Row

HOUSE = """\
job: Hut   # the one by the road
roofs:
  - wall_line: [[0, 0], [8000, 0], [8000, 6000], [0, 6000]]
    eave_overhang_mm: 600
    verge_overhang_mm: 600
    pitch_deg: 25
    fascia_height_mm: 2400
    edges: {2: {kind: gable}, 4: {kind: gable}}
"""
WALLS = "walls:\n  height_mm: 2400\n  ground_mm: -300\n  zones:\n    - {board: bevel_187}   # all round\n"
_SOON_MS = 60_000


def in_panel(seen: Any, name: str) -> Any:
    seen.page.get_by_role("tab", name=name, exact=True).click()
    return seen.page


def saved(page: Any, job: Path) -> Any:
    """The walls of the job once it is saved."""
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text(re.compile(r"job\.yaml: saved")).wait_for()
    walls = parse_job(job.read_text(encoding="utf-8"), job.name).walls
    assert walls is not None
    return walls


def drag(page: Any, at: tuple[float, float], to: tuple[float, float]) -> None:
    page.mouse.move(*at)
    page.mouse.down()
    page.mouse.move((at[0] + to[0]) / 2, (at[1] + to[1]) / 2, steps=4)
    page.mouse.move(*to, steps=4)
    page.mouse.up()


def on_wall(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where a place of the wall that is shown [mm] is on the screen."""
    found = page.evaluate(
        "([x, y]) => { const svg = document.querySelector('.elevation svg');"
        " const p = new DOMPoint(x, -y).matrixTransform(svg.getScreenCTM()); return [p.x, p.y]; }",
        [x, y],
    )
    return found[0], found[1]


def pixels(page: Any) -> float:
    """How many pixels a mm of the wall has."""
    return float(on_wall(page, 1000.0, 0.0)[0] - on_wall(page, 0.0, 0.0)[0]) / 1000.0


@pytest.fixture(scope="module")
def walls_server(page_server: Any) -> Any:
    return page_server(HOUSE + WALLS)


@pytest.mark.long
def test_walls_are_begun_where_a_house_has_none(page_server: Any, browser_page: Any) -> None:
    server = page_server(HOUSE)
    page = in_panel(browser_page(server.address), "Walls")
    page.get_by_label("height, floor to soffit or plate").fill("2.4 m")
    page.get_by_role("button", name="Clad the walls").click()
    page.locator(".elevation .board").first.wait_for()
    walls = saved(page, server.job)
    assert (walls.height_mm, walls.ground_mm, walls.zones[0].board) == (2400.0, -300.0, "bevel_187")
    assert server.job.read_text(encoding="utf-8").startswith(HOUSE)
    ordered = run_file(server.job)
    assert [wall.wall for wall in ordered.elevations] == [1, 2, 3, 4]
    assert ordered.cladding.boards


def test_windows_are_drawn_typed_dragged_and_taken_out(walls_server: Any, browser_page: Any) -> None:
    page = in_panel(browser_page(walls_server.address), "Walls")
    page.get_by_role("button", name="wall 1: 8000 mm").click()
    page.locator(".elevation .board").first.wait_for()
    for left in (1000, 5000):
        page.get_by_role("radio", name="Draw a window").click()
        page.locator("svg.drawing").wait_for()
        drag(page, on_wall(page, left, 2000.0), on_wall(page, left + 1200, 900.0))
        page.locator(f'.elevation .opening >> text="W{1 if left == 1000 else 2}"').or_(
            page.get_by_label(f"width of W{1 if left == 1000 else 2}")
        ).first.wait_for()
    page.get_by_role("button", name="wall 2: 6000 mm").click()
    for word, text in (("width", "1.8 m"), ("height", "1200"), ("sill", "900"), ("from left", "2100")):
        page.locator(".openings .new-row").get_by_label(re.compile(f"^{word}")).fill(text)
    page.locator(".openings").get_by_role("button", name="Put in").click()
    page.get_by_label("width of W3").wait_for()
    before = saved(page, walls_server.job).openings
    scale = pixels(page)
    drawn = [(one.wall, one.name, one.from_left_mm % 10, one.sill_mm % 10) for one in before]
    assert drawn == [(1, "W1", 0.0, 0.0), (1, "W2", 0.0, 0.0), (2, "W3", 0.0, 0.0)]
    # a pixel is some millimetres, and sills are taken to those there are
    for one, left in zip(before, (1000, 5000), strict=False):
        assert abs(one.from_left_mm - left) <= 2 * 10 + 1 / scale
        assert abs(one.width_mm - 1200) <= 2 * 10 + 2 / scale
    assert (before[2].width_mm, before[2].height_mm, before[2].from_left_mm) == (1800.0, 1200.0, 2100.0)

    page.get_by_role("button", name="wall 1: 8000 mm").click()
    page.get_by_label("width of W1").wait_for()
    page.locator(".elevation .board").first.wait_for()
    window = page.locator(".elevation .opening").first
    box = window.bounding_box()
    start = (box["x"] + box["width"] * 0.2, box["y"] + box["height"] * 0.8)
    drag(page, start, (start[0] + 1000 * scale, start[1] - 5 * scale))
    page.get_by_role("button", name="Undo").and_(page.locator(":enabled")).wait_for()
    page.wait_for_function(
        f"() => +document.querySelector('.typed-table tr:nth-child(2) td:nth-child(7) input').value > {before[0].from_left_mm + 500}"
    )
    moved = saved(page, walls_server.job).openings
    assert abs(moved[0].from_left_mm - before[0].from_left_mm - 1000) < 200  # it may be taken to even spacing
    assert (moved[0].width_mm, moved[1]) == (before[0].width_mm, before[1])

    page.locator(".elevation .opening").first.focus()
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowRight")
    page.wait_for_function(
        f"() => document.querySelector('.typed-table tr:nth-child(2) td:nth-child(7) input').value === '{moved[0].from_left_mm + 110:.0f}'"
    )
    page.keyboard.press("Delete")
    page.get_by_label("width of W1").wait_for(state="detached")
    page.get_by_role("button", name="Undo").click()
    page.get_by_label("width of W1").wait_for()
    assert saved(page, walls_server.job).openings[0].from_left_mm == moved[0].from_left_mm + 110
    assert "# all round" in walls_server.job.read_text(encoding="utf-8")


@pytest.mark.long
def test_an_opening_over_another_is_told_at_once_and_stops_nobody(page_server: Any, browser_page: Any) -> None:
    two = "  openings:\n" + "".join(
        f"    - {{wall: 1, name: W{n}, from_left_mm: {x}, sill_mm: 900, width_mm: 1200, height_mm: 1200}}\n"
        for n, x in ((1, 1000), (2, 4000))
    )
    page = in_panel(browser_page(page_server(HOUSE + WALLS + two).address), "Walls")
    page.locator(".elevation .board").first.wait_for()
    page.get_by_label("from left of W2").fill("1500")
    page.get_by_label("from left of W2").press("Enter")
    page.locator(".elevation .opening.wrong").first.wait_for()
    page.get_by_text("overlaps W1 on wall 1 by 700 mm across").first.wait_for()
    page.get_by_label("from left of W2").fill("4.2 m")
    page.get_by_label("from left of W2").press("Enter")
    page.locator(".elevation .opening.wrong").first.wait_for(state="detached")
    assert page.get_by_label("from left of W2").input_value() == "4200"


@pytest.mark.long
def test_a_band_of_another_cladding_is_added_and_drawn_higher(walls_server: Any, browser_page: Any) -> None:
    page = in_panel(browser_page(walls_server.address), "Walls")
    page.get_by_role("button", name="wall 3: 8000 mm").click()
    zones = page.locator(".zones")
    zones.get_by_label("part").select_option("a band")
    zones.locator(".new-row").get_by_label("runs").select_option("sheets")
    zones.locator(".new-row").get_by_label("with").select_option("corrugated")
    zones.get_by_role("button", name="Add").click()
    page.locator(".elevation .band").wait_for()
    scale = pixels(page)
    line = page.locator(".elevation .band .grip").bounding_box()
    middle = (line["x"] + line["width"] * 0.6, line["y"] + line["height"] / 2)
    drag(page, middle, (middle[0], middle[1] - 300 * scale))
    page.wait_for_function(
        "() => +document.querySelector('.zone-list li:nth-child(2) .form-field:nth-of-type(2) input').value >= 1400"
    )
    zone = saved(page, walls_server.job).zones[1]
    assert (zone.walls, zone.profile, zone.from_mm % 10) == ([3], "corrugated", 0.0)
    assert 1400 <= zone.from_mm <= 1560


def rain_rows(days: int) -> str:
    start = datetime.date(2015, 1, 1)
    rows = ((start + datetime.timedelta(days=n), 12 if n % 5 == 0 else 0) for n in range(days))
    return "date,rain mm\n" + "".join(f"{day.isoformat()},{mm}\n" for day, mm in rows)


def test_a_file_of_rain_is_dropped_in_tried_and_kept(walls_server: Any, browser_page: Any, tmp_path: Path) -> None:
    rain = tmp_path / "rain.csv"
    rain.write_text(rain_rows(1100), encoding="utf-8")
    page = in_panel(browser_page(walls_server.address), "Tank")
    page.locator(".tank-panel .file-button input").set_input_files(rain)
    page.get_by_text("Tried: rain.csv, 2015-01-01 to 2018-01-04").wait_for()
    page.locator(".tank-picture").wait_for()
    assert not (walls_server.folder / "rain.csv").exists(), "tried is not kept"
    page.get_by_label("people").fill("2")
    page.get_by_label("people").press("Enter")
    page.get_by_role("button", name="Put rain.csv beside the job").click()
    page.get_by_text("Of the job: rain.csv.").wait_for()
    saved(page, walls_server.job)
    job = parse_job(walls_server.job.read_text(encoding="utf-8"), "job.yaml")
    assert (job.rain.file, job.water_use.people) == ("rain.csv", 2.0)
    assert (walls_server.folder / "rain.csv").read_text(encoding="utf-8") == rain.read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.csv"
    wrong.write_text("date,rain mm\n2015-01-01,wet\n", encoding="utf-8")
    page.locator(".tank-panel .file-button input").set_input_files(wrong)
    page.get_by_text("wrong.csv:2: rain 'wet' is no number").first.wait_for()
    assert not (walls_server.folder / "wrong.csv").exists()


def test_a_setting_is_changed_within_its_bounds_and_put_back(walls_server: Any, browser_page: Any) -> None:
    page = in_panel(browser_page(walls_server.address), "Products")
    page.get_by_label("find a word").fill("stud")
    page.get_by_label("find a word").press("Enter")
    page.locator(".choice-list .row >> visible=true").filter(has_text=re.compile("^stud *600")).click()
    value = page.locator(".one-setting").get_by_label("value")
    value.fill("9999")
    value.press("Enter")
    page.get_by_text("must be 150 to 1500 mm").wait_for()
    value.fill("400")
    value.press("Enter")
    page.get_by_role("button", name="Put back to the usual").wait_for()
    saved(page, walls_server.job)
    job = parse_job(walls_server.job.read_text(encoding="utf-8"), "job.yaml")
    assert job.settings == {"stud_mm": 400}
    page.get_by_role("button", name="Put back to the usual").click()
    page.get_by_role("button", name="Put back to the usual").wait_for(state="detached")
    saved(page, walls_server.job)
    assert "settings" not in walls_server.job.read_text(encoding="utf-8")


@pytest.mark.long
def test_a_name_of_an_opening_is_text_and_nothing_else(page_server: Any, browser_page: Any) -> None:
    row: Row = {"name": "<img src=x onerror=alert(1)>", "wall": 1, "from_left_mm": 500, "sill_mm": 900}
    line = f"  openings:\n    - {{{', '.join(f'{key}: {value!r}' for key, value in row.items())}, width_mm: 900, height_mm: 900}}\n"
    page = in_panel(browser_page(page_server(HOUSE + WALLS + line).address), "Walls")
    page.locator(".elevation .opening").wait_for()
    assert page.locator("img[src=x]").count() == 0
    assert page.locator(".openings").get_by_role("button", name="<img src=x onerror=alert(1)>", exact=True).count() == 1


@pytest.mark.long
def test_the_office_file_is_saved_by_an_act_and_the_job_goes_by_it(page_server: Any, browser_page: Any) -> None:
    server = page_server(HOUSE + WALLS)
    page = in_panel(browser_page(server.address), "Products")
    page.get_by_role("radio", name="Office file").click()
    text = page.locator(".form-text textarea")
    text.fill("settings:\n  stud_mm: wide\n")
    page.get_by_text("office.yaml:2:12").wait_for()
    text.fill("settings:\n  stud_mm: 400   # our frames\n")
    page.get_by_text("office.yaml:2:12").wait_for(state="detached")
    assert not (server.folder / "office.yaml").exists()
    page.get_by_role("button", name="Save the office file").click()
    page.get_by_text("office.yaml: as on the disk").wait_for()
    assert (server.folder / "office.yaml").read_text(encoding="utf-8") == "settings:\n  stud_mm: 400   # our frames\n"
    page.get_by_role("radio", name="Settings").click()
    page.get_by_label("find a word").fill("stud")
    page.get_by_label("find a word").press("Enter")
    row = page.locator(".choice-list .row >> visible=true").filter(has_text=re.compile("^stud"))
    row.filter(has_text="set in the office file").first.wait_for()


@pytest.mark.long
def test_a_board_of_the_office_is_typed_into_its_form(page_server: Any, browser_page: Any) -> None:
    server = page_server(HOUSE + WALLS)
    page = in_panel(browser_page(server.address), "Products")
    page.get_by_role("radio", name="Products").click()
    own = page.locator(".own-form")
    page.get_by_label("for", exact=True).select_option("the office file")
    page.locator(".own-product").get_by_label("kind", exact=True).first.select_option("boards")
    own.get_by_label("thickness *").wait_for()  # the form of a board
    own.get_by_label("called, in files").fill("our_board")
    for words, typed in (
        ("name *", "our own board"), ("width *", "180"), ("cover *", "150"), ("thickness *", "18"),
        ("lengths *", "4800 6000"), ("basis *", "our mill's sheet"),
    ):  # fmt: skip
        own.get_by_label(words).fill(typed)
    own.get_by_label("kind *").select_option("bevel_back")
    own.get_by_label("direction *").select_option("horizontal")
    own.get_by_role("button", name="Put into the office file").click()
    page.get_by_role("radio", name="Office file").click()
    page.wait_for_function("() => document.querySelector('.form-text textarea').value.includes('our_board')")
    page.get_by_role("button", name="Save the office file").click()
    page.get_by_text("office.yaml: as on the disk").wait_for()
    assert "our_board" in (server.folder / "office.yaml").read_text(encoding="utf-8")
