"""The plan in a browser: a house drawn from nothing, turned and added to, by pointer and by keyboard."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from takeoff.pipeline import run_file
from takeoff.web import rings
from takeoff.web.entries import length_mm

HUT = """\
job: Hut   # the hut by the creek
site: {wind_zone: high}
roofs:
  - name: hut
    wall_line: [[0, 0], [6000, 0], [6000, 4500], [0, 4500]]   # as taped
    eave_overhang_mm: 600
    fascia_height_mm: 2450
    pitch_deg: 25
"""


def corner(page: Any, number: int, roof: str = "hut") -> Any:
    return page.locator(f'[aria-label^="Corner {number} of roof {roof},"]')


def edge(page: Any, number: int, roof: str = "hut") -> Any:
    return page.locator(f'[aria-label^="Edge {number} of roof {roof},"]')


def saved(page: Any, server: Any) -> Any:
    page.get_by_role("button", name="Save").click()
    page.get_by_text("job.yaml: saved").wait_for()
    return yaml.safe_load(server.job.read_text(encoding="utf-8"))


def test_an_l_shaped_house_with_a_gable_and_a_verandah_from_an_empty_page(page_server: Any, browser_page: Any) -> None:
    server = page_server("job: New\nsite: {wind_zone: high}\nroofs: []\n")
    page = browser_page(server.address).page
    page.get_by_text("Draw the walls: click the corners, or type a length").wait_for()
    box = page.locator(".plan-svg").bounding_box()
    x, y = box["x"] + 120, box["y"] + box["height"] - 90
    page.mouse.click(x, y)
    page.mouse.move(x + 200, y + 9)  # to the right, nearly: square is meant
    page.keyboard.type("12.6")
    page.keyboard.press("Enter")
    for typed, way in (("8000", "ArrowUp"), ("7 m", "ArrowLeft"), ("3000", "ArrowUp"), ("5600", "ArrowLeft")):
        page.keyboard.type(typed)
        page.keyboard.press(way)
    page.get_by_role("button", name="Close the outline").click()
    corner(page, 6, "main").wait_for()
    edge(page, 5, "main").focus()  # the gable of the wing
    page.get_by_role("combobox", name="Kind").click()
    page.get_by_role("option", name="gable").click()
    over = page.get_by_placeholder("0", exact=True)  # at a gable; at the eave it was 600, as the roof
    over.fill("450")
    over.press("Enter")
    edge(page, 1, "main").focus()
    page.get_by_text("Edge 1", exact=True).wait_for()
    page.get_by_role("button", name="Add a roof here").click()
    page.get_by_role("button", name="Put it in").click()
    page.get_by_role("heading", name="Roof verandah").wait_for()
    job = saved(page, server)
    main, verandah = job["roofs"]
    at_x, at_y = main["wall_line"][0]
    assert at_x % 10 == at_y % 10 == 0
    walked = [(0, 0), (12600, 0), (12600, 8000), (5600, 8000), (5600, 11000), (0, 11000)]
    assert main["wall_line"] == [[at_x + dx, at_y + dy] for dx, dy in walked]
    assert main["edges"] == {5: {"kind": "gable", "verge_overhang_mm": 450}}
    assert (verandah["name"], verandah["below"]) == ("verandah", "main")
    taken = run_file(server.job)
    assert taken.order is not None
    assert not taken.stopped


@pytest.mark.parametrize("times", [12, pytest.param(100, marks=pytest.mark.long)])
def test_a_corner_dragged_time_after_time_and_all_undone(times: int, page_server: Any, browser_page: Any) -> None:
    server = page_server(HUT)
    page = browser_page(server.address).page
    moved = corner(page, 3)
    moved.wait_for()
    for n in range(times):
        box = moved.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + (9 if n % 2 else -7), y - (5 if n % 3 else -9))
        page.mouse.up()
    undo = page.get_by_role("button", name="Undo")
    for _ in range(times):
        undo.click()
    page.get_by_text("job.yaml: saved").wait_for()
    assert undo.is_disabled()
    assert corner(page, 3).get_attribute("aria-label").endswith("x 6000, y 4500")


def test_by_the_keyboard_alone(page_server: Any, browser_page: Any) -> None:
    server = page_server(HUT)
    page = browser_page(server.address).page
    corner(page, 3).focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp"):
        page.keyboard.press(key)
    page.locator('[aria-label="Corner 3 of roof hut, x 6020, y 4600"]').wait_for()
    page.keyboard.press("Shift+Tab")  # the corner before
    page.keyboard.press("ArrowDown")
    page.locator('[aria-label="Corner 2 of roof hut, x 6020, y -10"]').wait_for()
    edge(page, 1).focus()
    page.keyboard.press("Enter")  # to the length of the edge
    page.wait_for_function("() => document.activeElement.getAttribute('aria-label') === 'Length (mm)'")
    page.keyboard.press("Control+a")
    page.keyboard.type("7.2")
    page.keyboard.press("Enter")
    page.locator('[aria-label="Corner 2 of roof hut, x 7200, y -10"]').wait_for()
    edge(page, 3).focus()
    page.keyboard.press("Insert")
    page.locator('[aria-label="Corner 4 of roof hut, x 3600, y 4600"]').wait_for()
    corner(page, 4).focus()
    page.keyboard.press("Delete")
    page.locator('[aria-label="Corner 4 of roof hut, x 0, y 4600"]').wait_for()
    edge(page, 1).focus()
    page.get_by_role("heading", name="Edge 1", exact=True).wait_for()
    page.get_by_label("Pitch (\N{DEGREE SIGN})").fill("30")
    page.keyboard.press("Tab")
    page.keyboard.type("26")  # while the house is worked out anew with the pitch
    page.get_by_text("E1, edge").wait_for()
    page.wait_for_timeout(1500)
    fascia = page.get_by_label("Fascia height (mm)")
    assert fascia.input_value() == "26"
    fascia.fill("")
    roof = saved(page, server)["roofs"][0]
    assert roof["edges"] == {1: {"pitch_deg": 30}}
    assert roof["wall_line"] == [[0, -10], [7200, -10], [7200, 4600], [0, 4600]]
    text = server.job.read_text(encoding="utf-8")
    assert "# the hut by the creek" in text
    assert "# as taped" in text
    the_hand_in_the_browser_does_as_the_edits_do(page)


def the_hand_in_the_browser_does_as_the_edits_do(page: Any) -> None:
    """What is drawn while it is dragged is what the job will say: the same moves by both."""
    ell = ((0, 0), (12000, 0), (12000, 8000), (5000, 8000), (5000, 11000), (2000, 11000), (0, 9000))
    six = (*ell[:2], (12000, 3000), *ell[2:])  # with a corner on a straight side
    typed = ["6200", "6.2", "6,2 m", "6 200 mm", ".9", "90", "1,200", "100.5", "2450.5", "6.2 mm"]
    seen = page.evaluate(
        """async ([ell, six, typed]) => {
            const hand = await import("plan_hand");
            return {
                corners: ell.map((p, k) => hand.cornerMoved(ell, k, [p[0] + 130, p[1] - 70], false)),
                free: ell.map((p, k) => hand.cornerMoved(ell, k, [p[0] + 130, p[1] - 70], true)),
                sides: six.map((p, k) => hand.drawnOut(six, k, [150, -90])),
                lengths: typed.map(hand.lengthMm),
            };
        }""",
        [ell, six, typed],
    )
    for free, corners in ((False, seen["corners"]), (True, seen["free"])):
        for k, (x, y) in enumerate(ell):
            assert same(corners[k], rings.corner_moved(ell, k, (x + 130, y - 70), free))
    for k, ring in enumerate(seen["sides"]):
        out = rings.outward(six, k)
        assert same(ring, rings.drawn_out(six, k, out[0] * 150 - out[1] * 90)[0])
    assert seen["lengths"] == pytest.approx([length_mm(text) for text in typed])


def same(one: Any, other: Any) -> bool:
    return len(one) == len(other) and all(
        p == pytest.approx(q, abs=0.02) for p, q in zip(one, map(list, other), strict=True)
    )


def test_a_house_is_traced_over_a_picture(page_server: Any, browser_page: Any, tmp_path: Any) -> None:
    """A picture of 400 x 300 pixels with a black rectangle of 200 x 100 is put to scale by its long side, 12 m: then it is
    12 x 6 m, and clicks on its corners draw that, in steps of 10 mm."""
    drawing = pytest.importorskip("PIL.ImageDraw")
    image = pytest.importorskip("PIL.Image").new("RGB", (400, 300), "white")
    drawing.Draw(image).rectangle((100, 100, 300, 200), outline="black")
    image.save(tmp_path / "plan.png")
    server = page_server("job: Traced\nsite: {wind_zone: high}\nroofs: []\n")
    page = browser_page(server.address).page
    page.get_by_text("Lay a plan under, to trace it").click()
    page.locator("input[type=file]").first.set_input_files(tmp_path / "plan.png")
    page.get_by_text("plan.png: not to scale yet").wait_for()
    page.get_by_role("button", name="Scale by two points").click()
    page.get_by_text("Click one end").wait_for()

    def at(x: float, y: float) -> tuple[float, float]:
        """A pixel of the picture on the screen."""
        box = page.locator("image").bounding_box()
        return box["x"] + box["width"] * x / 400, box["y"] + box["height"] * y / 300

    page.mouse.click(*at(100, 100))
    page.get_by_text("Click its other end").wait_for()
    page.mouse.click(*at(300, 100))
    apart = page.get_by_label("The two points are apart (mm)")
    apart.fill("12 m")
    apart.press("Enter")
    page.get_by_text("plan.png", exact=True).wait_for()
    page.get_by_role("button", name="Whole plan").click()
    page.get_by_text("Click the first corner").wait_for()
    for x, y in ((100, 200), (300, 200), (300, 100), (100, 100)):
        page.mouse.click(*at(x, y))
    page.get_by_role("button", name="Close the outline").click()
    corner(page, 4, "main").wait_for()
    (ax, ay), (bx, _), (_, cy), _ = saved(page, server)["roofs"][0]["wall_line"]
    assert bx - ax == pytest.approx(12000, abs=250)  # a click is as true as a pixel of the screen
    assert cy - ay == pytest.approx(6000, abs=250)
    assert not any(value % 10 for value in (ax, ay, bx, cy))


def test_what_is_drawn_stays_where_it_cannot_be_closed_yet(page_server: Any, browser_page: Any) -> None:
    """Three corners on one line are no outline: the words say to draw on, so what was drawn is still there."""
    page = browser_page(page_server("job: New\nsite: {wind_zone: high}\nroofs: []\n").address).page
    page.get_by_text("Draw the walls: click the corners, or type a length").wait_for()
    plan = page.locator(".plan-svg")
    plan.focus()
    for key in ("Enter", *"4000", "ArrowRight", *"3000", "ArrowRight"):
        page.keyboard.press(key)
    page.get_by_role("button", name="Close the outline").click()
    page.get_by_text("draw on, or give it up").wait_for()
    plan.focus()
    for key in (*"5000", "ArrowUp"):
        page.keyboard.press(key)
    page.get_by_role("button", name="Close the outline").click()
    page.get_by_text("last: outline drawn").wait_for()
