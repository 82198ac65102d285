"""From an empty page to an order, as an estimator goes: a house drawn, roofed, walled, with windows, ordered, taken away,
saved; and the command line makes the same of the file that was saved."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

import pytest

from takeoff.pipeline import run_file, write_files

_LONG_MS = 90_000


class Hand:
    """Does what a person does, and counts it: each click, each key that takes something, each value typed."""

    def __init__(self, page: Any) -> None:
        self.page, self.acts = page, 0

    def click(self, what: Any) -> None:
        self.acts += 1
        what.click()

    def type(self, words: str, key: str) -> None:
        self.acts += 2
        self.page.keyboard.type(words)
        self.page.keyboard.press(key)

    def fill(self, what: Any, words: str) -> None:
        self.acts += 1
        what.fill(words)

    def button(self, name: Any) -> None:
        self.click(self.page.get_by_role("button", name=name))

    def panel(self, name: str) -> None:
        self.click(self.page.get_by_role("tab", name=re.compile(f"^{name}")))


def side(page: Any, number: int) -> Any:
    return page.locator(f'[aria-label^="Edge {number} of roof main,"]')


def draw_the_outline(hand: Hand) -> None:
    """An L: 12.6 m along the front, a wing of 5.6 x 3 m at the back."""
    page = hand.page
    page.get_by_text("Draw the walls: click the corners, or type a length").wait_for()
    box = page.locator(".plan-svg").bounding_box()
    x, y = box["x"] + 120, box["y"] + box["height"] - 90
    page.mouse.click(x, y)
    hand.acts += 1
    page.mouse.move(x + 200, y + 9)
    hand.type("12.6", "Enter")
    for typed, way in (("8000", "ArrowUp"), ("7 m", "ArrowLeft"), ("3000", "ArrowUp"), ("5600", "ArrowLeft")):
        hand.type(typed, way)
    hand.button("Close the outline")
    page.locator('[aria-label^="Corner 6 of roof main,"]').wait_for()


def gable_and_verandah(hand: Hand) -> None:
    """The wing gets a gable, the front a verandah."""
    page = hand.page
    side(page, 5).focus()
    hand.acts += 1
    hand.click(page.get_by_role("combobox", name="Kind"))
    hand.click(page.get_by_role("option", name="gable"))
    side(page, 1).focus()
    hand.acts += 1
    hand.button("Add a roof here")
    hand.button("Put it in")
    page.get_by_role("heading", name="Roof verandah").wait_for()


def walls_and_windows(hand: Hand) -> None:
    """Boards all round, and three windows by their sizes."""
    page = hand.page
    hand.panel("Walls")
    hand.button("Clad the walls")
    page.locator(".elevation .board").first.wait_for()
    new = page.locator(".openings .new-row")
    for number, (wall, left) in enumerate(((1, "1500"), (2, "2.0"), (3, "1200")), 1):
        hand.button(re.compile(f"wall {wall}:"))
        for word, words in (("width", "1.8 m"), ("height", "1200"), ("sill", "900"), ("from left", left)):
            hand.fill(new.get_by_label(re.compile(f"^{word}")), words)
        hand.click(page.locator(".openings").get_by_role("button", name="Put in"))
        page.get_by_label(f"width of W{number}").wait_for()


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@pytest.mark.long
def test_from_an_empty_page_to_the_order(page_server: Any, browser_page: Any, tmp_path: Path) -> None:
    server = page_server(None)
    seen = browser_page(server.address)
    page = seen.page
    page.set_default_timeout(_LONG_MS)
    hand = Hand(page)
    draw_the_outline(hand)
    gable_and_verandah(hand)
    walls_and_windows(hand)
    hand.panel("Order")
    page.locator(".order-panel").get_by_text("HOLD").first.wait_for()
    page.locator(".title-block").get_by_text("HOLD").wait_for()
    hand.click(page.get_by_text("Files to take away"))
    with page.expect_download() as coming:
        hand.button("Order sheet (XLSX)")
    taken = tmp_path / coming.value.suggested_filename
    coming.value.save_as(taken)
    hand.button("Save")
    page.get_by_text("job.yaml: saved").wait_for()
    assert hand.acts < 60

    # the command line makes the same of the file
    takeoff = run_file(server.job)
    assert not takeoff.stopped
    assert takeoff.order is not None
    assert {roof.name for roof in takeoff.roofs} == {"main", "verandah"}
    assert sum(len(wall.openings) for wall in takeoff.elevations) == 3
    kinds = {edge.kind.value for roof in takeoff.roofs for edge in roof.edges}
    assert {"verge", "valley", "ridge"} <= kinds
    write_files(takeoff, tmp_path / "out", only="order")
    assert taken.name == "order_sheet.xlsx"
    assert digest(taken.read_bytes()) == digest((tmp_path / "out" / "order_sheet.xlsx").read_bytes())

    # a second tab has it all, also after the server was killed in mid-edit and started again
    other = seen.tab()
    other.page.get_by_role("tab", name="Job file").click()
    text = other.page.locator(".text-box textarea").input_value()
    assert text == server.job.read_text(encoding="utf-8")
    other.page.get_by_label("Rev.").fill("B")
    other.page.get_by_label("Rev.").press("Enter")
    page.get_by_text("job.yaml: not saved").wait_for()
    page.reload()
    page.get_by_text("job.yaml: not saved").wait_for()
    seen.leave()
    other.leave()
    server.kill()
    server.start()
    again = browser_page(server.address).page
    assert again.get_by_label("Rev.").input_value() == "B"
    undo = again.get_by_role("button", name="Undo")
    undo.click()
    again.get_by_text("job.yaml: saved").wait_for()
    assert undo.is_disabled()


@pytest.mark.long
def test_all_of_it_is_undone_step_by_step(page_server: Any, browser_page: Any) -> None:
    server = page_server(None)
    page = browser_page(server.address).page
    page.set_default_timeout(_LONG_MS)
    hand = Hand(page)
    draw_the_outline(hand)
    gable_and_verandah(hand)
    steps = 0
    undo = page.get_by_role("button", name="Undo")
    while not undo.is_disabled():
        undo.click()
        steps += 1
        page.wait_for_timeout(300)
        assert steps < 40
    page.get_by_text("Draw the walls: click the corners, or type a length").wait_for()
    redo = page.get_by_role("button", name="Redo")
    for _ in range(steps):
        redo.click()
    page.get_by_role("heading", name="Roof verandah").or_(page.get_by_text("verandah").first).first.wait_for()
    page.locator(".title-block").get_by_text("HOLD").wait_for()
