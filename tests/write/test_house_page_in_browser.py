"""house.html as a browser shows it: with the network off, drawn in space, touched by mouse and keyboard, on a phone.

Skips without Chromium (Debian's) unless TAKEOFF_REQUIRE_BROWSER=1 forbids it.
"""

from __future__ import annotations

import subprocess
from dataclasses import dataclass, field
from math import atan, cos, degrees, radians
from pathlib import Path
from typing import Any

import pytest

from takeoff.pipeline import run_file
from takeoff.read.lists.site_measures import read_site_measures
from takeoff.review import measured_file
from takeoff.write.house_view.house_page import house_page

HOSTILE = "<script>alert(1)</script><b>Hut</b>"
HUT = f"""
job: "{HOSTILE}"
roofs:
  - {{wall_line: [[0, 0], [6000, 0], [6000, 4500], [0, 4500]], eave_overhang_mm: 450, fascia_height_mm: 2450, pitch_deg: 25}}
walls:
  height_mm: 2450
  ground_mm: -300
  zones: [{{board: bevel_187}}]
  openings: [{{wall: 1, name: W1, from_left_mm: 1000, sill_mm: 900, width_mm: 1200, height_mm: 1200}}]
"""
# software drawing, and no sandbox: tests run as root in a container
INK = """() => {
  const seen = document.querySelector("#stage canvas");
  const copy = Object.assign(document.createElement("canvas"), {width: 200, height: 120});
  const pen = copy.getContext("2d", {willReadFrequently: true});
  pen.drawImage(seen, 0, 0, 200, 120);
  const dots = pen.getImageData(0, 0, 200, 120).data;
  let sum = 0, dark = 0;
  for (let i = 0; i < dots.length; i += 4) { if (dots[i] < 240) { dark += 1; sum = (sum * 31 + dots[i] + i) % 1000003; } }
  return [dark, sum];
}"""


@dataclass
class Opened:
    """A page, and all that went wrong on it."""

    page: Any
    faults: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("hut")
    (where / "job.yaml").write_text(HUT, encoding="utf-8")
    takeoff = run_file(where)
    (where / "house.html").write_bytes(house_page(takeoff))
    (where / "flat.html").write_bytes(house_page(takeoff, where / "no.zip"))
    return where


@pytest.fixture(scope="module")
def browser(chromium: Any) -> Any:
    return chromium


def opened(browser: Any, file: Path, wide: int = 900, high: int = 600) -> Opened:
    """The file in a window of its own; whatever it asks of a network is refused and told."""
    page = browser.new_context(viewport={"width": wide, "height": high}, accept_downloads=True).new_page()
    page.set_default_timeout(120_000)  # a machine that does much else draws slowly
    found = Opened(page)
    page.on("console", lambda said: found.faults.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda err: found.faults.append(str(err)))
    page.on("dialog", lambda dialog: (found.faults.append(f"dialog {dialog.message}"), dialog.dismiss()))

    def route(asked: Any) -> None:
        if asked.request.url.startswith(("file:", "blob:", "data:")):
            asked.continue_()
        else:
            found.faults.append(f"asked for {asked.request.url}")
            asked.abort()

    page.route("**/*", route)
    page.goto(file.as_uri())
    assert page.evaluate("typeof VIEW !== 'undefined'"), "the page's scripts have run to their end"
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    return found


def card(page: Any) -> str:
    return str(page.inner_text("#card"))


def without_drivers(faults: list[str]) -> list[str]:
    """Without what the drawing by software says of itself: reading a picture back is slow there."""
    return [fault for fault in faults if "GPU stall" not in fault and "GL Driver Message" not in fault]


def test_the_house_is_drawn_touched_and_turned_with_the_network_off(browser: Any, folder: Path) -> None:
    found = opened(browser, folder / "house.html")
    page = found.page
    dark, first = page.evaluate(INK)
    assert 1500 < dark < 20000, "the house covers a part of the picture"
    assert page.inner_text("h1") == HOSTILE
    assert page.title() == HOSTILE
    # the mouse: a sheet where it is seen
    at = page.evaluate("VIEW.centreOf(HOUSE.names['P1.04'][0])")
    box = page.locator("#stage").bounding_box()
    page.mouse.click(box["x"] + at[0], box["y"] + at[1] + 14)
    assert card(page).startswith("P1.0")
    assert "mm left" in card(page)
    assert "On order line" in card(page)
    # an edge, beside its line and not on it
    at = page.evaluate("VIEW.centreOf(HOUSE.names['H2'][0])")
    page.mouse.click(box["x"] + at[0] + 4, box["y"] + at[1])
    assert card(page).startswith("H2, edge\nhip")
    page.mouse.click(box["x"] + 8, box["y"] + 8)
    assert "Nothing is touched" in card(page)
    page.fill("#mark", "P1.04")
    page.keyboard.press("Enter")
    assert page.inner_text("#card .inline") == "P1"
    # from its order line to where that goes, and back to one place of it
    page.click("#card p > button >> nth=0")
    assert "Goes to" in card(page)
    assert page.locator("#order tr.chosen").count() == 1
    assert page.evaluate("Chosen.parts.length") == page.locator("#card .marks button").count()
    # the keyboard: turn, next part, none, and a mark typed
    page.keyboard.press("Escape")
    page.focus("#stage")
    for key in ("Escape", "ArrowLeft", "ArrowLeft", "ArrowUp", "+"):
        page.keyboard.press(key)
    page.evaluate("VIEW.draw()")
    turned = page.evaluate(INK)[1]
    assert turned != first
    page.keyboard.press("n")
    assert "Nothing is touched" not in card(page)
    page.fill("#mark", "wall 1")
    page.keyboard.press("Enter")
    assert card(page).startswith("wall 1, wall")
    page.uncheck("#layer-sheets")
    page.evaluate("VIEW.draw()")
    assert page.evaluate(INK)[1] != turned
    page.fill("#mark", HOSTILE)
    page.keyboard.press("Enter")
    assert HOSTILE in card(page)
    assert without_drivers(found.faults) == []


def test_on_a_phone_sizes_taped_come_back_as_the_form(browser: Any, folder: Path, tmp_path: Path) -> None:
    found = opened(browser, folder / "house.html", 390, 844)
    page = found.page
    page.click("nav button[data-view=planes]")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.check("#plane-sheet tbody input[type=checkbox] >> nth=0")
    assert page.inner_text("#laid-count").startswith("1 of ")
    assert page.locator(".piece.laid").count() == 1
    low = page.evaluate(
        "Math.min(...[...document.querySelectorAll('#planes button, .tape')].map((e) => e.offsetHeight))"
    )
    assert low >= 44, "as high as a finger is wide: Web Content Accessibility Guidelines 2.1, 2.5.5 (from memory)"
    drawn = {}
    for place in ("0", "1"):
        page.select_option("#plane", place)
        for box in page.locator(".tape").all():
            size = box.get_attribute("data-size")
            row = box.locator("xpath=ancestor::tr").locator("td").nth(1).inner_text()
            drawn[size] = float(row) + 4
            box.fill(str(int(drawn[size])))
    page.locator(".tape").first.fill("nonsense")
    assert "not a length" in page.inner_text("#plane-sheet")
    with page.expect_download() as coming:
        page.click("#save-taped")
    form = tmp_path / coming.value.suggested_filename
    coming.value.save_as(form)
    assert form.name == "site_measure.csv"
    assert "1 that are no length are left out" in page.inner_text("#saved")
    read = {f"{row.plane} {row.item}": row.mm for row in read_site_measures(form)}
    assert len(read) == len(drawn) - 1
    assert read.items() <= drawn.items()
    done = measured_file(folder, form, tmp_path / "out", only="site")
    assert done.takeoff.site is not None
    # the file read back here, in a window without a memory
    again = opened(browser, folder / "house.html", 390, 844)
    again.page.click("nav button[data-view=planes]")
    again.page.set_input_files("#open-saved", form)
    again.page.locator("#saved", has_text="read").wait_for()  # the page's own policy forbids waiting by a function
    assert again.page.inner_text("#saved") == f"{len(read)} taped sizes are read"
    assert without_drivers([*found.faults, *again.faults]) == []


def test_without_the_library_marks_and_planes_still_work(browser: Any, folder: Path) -> None:
    found = opened(browser, folder / "flat.html")
    page = found.page
    assert "cannot be turned" in page.inner_text("#keys")
    assert page.locator("#stage svg").count() == 1
    page.fill("#mark", "P1.04")
    page.keyboard.press("Enter")
    assert card(page).startswith("P1.04, roof sheet")
    page.click("nav button[data-view=planes]")
    assert page.locator(".piece").count() > 3
    assert without_drivers(found.faults) == []


EYE = "VIEW.turning.eye().map((value, k) => value - VIEW.turning.target[k])"
SETTLED = """() => new Promise((done) => {
  let last = null;
  const look = () => {
    const now = JSON.stringify([VIEW.turning.around, VIEW.turning.over]);
    if (now === last) done(); else { last = now; setTimeout(look, 500); }
  };
  look();
})"""


def chosen_by_mark(page: Any, mark: str) -> tuple[float, float, float]:
    """Where the eye stands from the middle of the house, east, north and up, after a mark is typed."""
    page.fill("#mark", mark)
    page.press("#mark", "Enter")
    east, north, up = page.evaluate(EYE)
    long = (east**2 + north**2 + up**2) ** 0.5
    return east / long, north / long, up / long


def test_what_is_chosen_faces_the_reader(browser: Any, folder: Path) -> None:
    """Wall 1 of the hut runs east along its south side, and walls, like planes, count against the clock: P1 falls
    south, P2 east, P3 north, P4 west. At 25 degrees a plane's normal leans 65 degrees up."""
    page = opened(browser, folder / "house.html").page
    began = page.evaluate("VIEW.turning.around")
    page.fill("#mark", "P3.03")
    page.press("#mark", "Enter")
    page.evaluate(SETTLED)
    east, north, up = page.evaluate(EYE)
    assert page.evaluate("VIEW.turning.around") != began
    assert north > 3.0 * abs(east), "from the north"
    assert up > 0.8 * north, "and from above"
    # where less motion is asked for the house stands turned at once
    page.emulate_media(reduced_motion="reduce")
    for mark, side in {"P1.03": (0, -1), "P2.03": (1, 0), "P4.03": (-1, 0), "wall 3": (0, 1), "wall 2": (1, 0)}.items():
        east, north, up = chosen_by_mark(page, mark)
        assert east * side[0] + north * side[1] > 0.5, mark
        assert 0.15 < up < (0.35 if "wall" in mark else 0.85), mark
    # H2 stands between P2 and P3, or P1 and P2: seen over its corner, both planes in sight
    east, north, _ = chosen_by_mark(page, "H2")
    assert abs(abs(east) - abs(north)) < 0.1
    # an order line in the list, by keyboard, and the next part from the picture
    sheet = page.evaluate("HOUSE.lines.find((l) => l.r.includes('P3.03') && l.c.includes('mm')).i")
    chosen_by_mark(page, "wall 1")
    page.focus(f"#order button[aria-label^='{sheet},']")
    page.keyboard.press("Enter")
    assert page.evaluate("Chosen.line.i") == sheet
    assert page.evaluate(EYE)[2] > 0.0
    chosen_by_mark(page, page.evaluate("HOUSE.parts.filter((part) => part.o === 'P3' && part.k === 'sheet').pop().m"))
    page.focus("#stage")
    page.keyboard.press("n")
    assert card(page).startswith("P4.01")
    east, north, _ = page.evaluate(EYE)
    assert -east > 3.0 * abs(north), "from the west"


def test_a_part_touched_in_the_picture_does_not_turn_the_house(browser: Any, folder: Path) -> None:
    page = opened(browser, folder / "house.html").page
    before = page.evaluate(EYE)
    at = page.evaluate("VIEW.centreOf(HOUSE.names['P2.04'][0])")
    box = page.locator("#stage").bounding_box()
    page.mouse.click(box["x"] + at[0], box["y"] + at[1] + 14)
    assert card(page).startswith("P2.0")
    page.evaluate(SETTLED)
    assert page.evaluate(EYE) == before


def test_marks_are_taken_as_people_type_them(browser: Any, folder: Path) -> None:
    page = opened(browser, folder / "flat.html").page
    for typed, found in {"p1.4": "P1.04,", "P1,04": "P1.04,", "WALL1": "wall 1,", "l03": "L3,", " h2 ": "H2,"}.items():
        page.fill("#mark", typed)
        page.press("#mark", "Enter")
        assert card(page).startswith(found), typed
    page.fill("#mark", "P1.55")
    page.press("#mark", "Enter")
    assert "Nothing here is called P1.55" in card(page)
    assert page.evaluate("Chosen.parts.length") == 0, "what was chosen before is chosen no more"
    assert "P1.05" in page.locator("#card .marks button").all_inner_texts()
    page.locator("#card .marks button", has_text="P1.05").click()
    assert card(page).startswith("P1.05,")
    for clear in (lambda: page.press("#mark", "Enter"), lambda: None):
        page.fill("#mark", "something else")
        page.press("#mark", "Enter")
        assert card(page).startswith("Not found")
        page.fill("#mark", "")
        clear()
        assert "Nothing is touched" in card(page)


def test_on_a_phone_a_sheet_is_told_as_the_cutting_list_tells_it(browser: Any, folder: Path) -> None:
    """A hip over a square corner at one pitch p runs at atan(1 / cos p) to the eave along the sheets' plane: 47.8
    degrees at 25; over the width of a sheet its sides differ by the width / cos p. By hand."""
    page = opened(browser, folder / "flat.html", 390, 844).page
    page.click("nav button[data-view=planes]")
    rows = page.evaluate("""[...document.querySelectorAll("table.sheets tbody tr:not(.said)")].map((row) =>
      Object.fromEntries([...row.cells].map((cell) => [cell.dataset.word || cell.className, cell.innerText])))""")
    raked = [row for row in rows if row["top"].startswith("raked") and row["longer"] == "right" and row["left"] != "0"]
    assert raked
    for row in raked:
        assert int(row["bought"]) >= int(row["right"]) > int(row["left"])
        high, _, across = row["long point"].removesuffix(" from left").partition(", ")
        assert high == row["right"]
        assert int(row["right"]) - int(row["left"]) == pytest.approx(int(across) / cos(radians(25)), abs=1.0)
        assert row["rake"] == f"{degrees(atan(1 / cos(radians(25)))):.1f}°"
    assert any("cut to points" in text for text in page.locator("tr.said").all_inner_texts())
    seen = "[...document.querySelectorAll('table.sheets td')].filter((e) => e.offsetWidth)"
    assert page.evaluate(f"Math.max(...{seen}.map((e) => e.getBoundingClientRect().right))") <= 390
    assert page.evaluate(f"Math.max(...{seen}.map((e) => e.scrollWidth - e.clientWidth))") <= 0
    assert page.evaluate(f"Math.min(...{seen}.map((e) => parseFloat(getComputedStyle(e).fontSize)))") >= 13


def test_laid_sheets_come_back_and_a_plane_prints(browser: Any, folder: Path, tmp_path: Path) -> None:
    page = opened(browser, folder / "flat.html", 390, 844).page
    page.click("nav button[data-view=planes]")
    page.check("#plane-sheet tbody input[type=checkbox] >> nth=1")
    with page.expect_download() as coming:
        page.click("#save-laid")
    file = tmp_path / coming.value.suggested_filename
    coming.value.save_as(file)
    rows = file.read_text(encoding="utf-8-sig").splitlines()
    assert rows[0] == "plane,sheet,laid"
    assert [row for row in rows[1:] if row.endswith(",yes")] == ["P1,P1.02,yes"]
    again = opened(browser, folder / "flat.html", 390, 844).page
    again.click("nav button[data-view=planes]")
    again.set_input_files("#open-saved", file)
    again.locator("#saved", has_text="1 sheets laid are read").wait_for()
    assert again.locator(".piece.laid").get_attribute("data-mark") == "P1.02"
    pdf = again.pdf(prefer_css_page_size=True)
    words = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode("utf-8")
    assert words.count("\f") == 1, "one page"
    for wanted in ("P1.02", "long point", "rafter left", "Not a structural design"):
        assert wanted in words, wanted
