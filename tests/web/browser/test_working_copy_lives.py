"""What is worked on lives through reloads, a kill, others' writing and a worker that ends, in every tab."""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path
from typing import Any

import pytest

HUT = """\
job: Hut
roofs:
  - outline: [[0, 0], [6000, 0], [6000, 4500], [0, 4500]]   # by tape
    pitch_deg: 25
    fascia_height_mm: 2450
"""


@pytest.fixture(scope="module")
def shared(page_server: Any) -> Any:
    """A server for the tests that leave it running."""
    return page_server(HUT)


def afresh(server: Any, seen: Any) -> None:
    """The hut as it was, in the file and in the tab."""
    server.job.write_text(HUT)
    seen.page.get_by_role("tab", name="Job file").click()
    seen.page.locator(".text-box textarea").fill(HUT)
    heading(seen.page, "Hut")
    seen.page.get_by_text("job.yaml: saved").wait_for()


def heading(page: Any, name: str) -> None:
    page.get_by_role("heading", name=name, exact=True).wait_for()


def text_of(page: Any) -> str:
    page.get_by_role("tab", name="Job file").click()
    return str(page.locator(".text-box textarea").input_value())


def rename(page: Any, name: str) -> None:
    page.get_by_label("Job", exact=True).fill(name)
    page.keyboard.press("Enter")
    heading(page, name)


def workers_of(pid: int) -> list[int]:
    """Processes that a process started, oldest first."""
    found = subprocess.run(["pgrep", "-P", str(pid)], capture_output=True, text=True, check=False).stdout.split()
    return [int(one) for one in found]


def test_what_is_not_saved_lives_through_a_kill(page_server: Any, browser_page: Any) -> None:
    server = page_server(HUT)
    seen = browser_page(server.address)
    heading(seen.page, "Hut")
    rename(seen.page, "Shed")
    seen.page.reload()
    heading(seen.page, "Shed")
    seen.leave()
    server.kill()
    assert "job: Hut" in server.job.read_text()
    server.start()
    again = browser_page(server.address)
    heading(again.page, "Shed")
    again.page.get_by_text("This was found again").wait_for()
    again.page.get_by_text("job.yaml: not saved").wait_for()
    again.page.get_by_role("button", name="Undo").click()
    heading(again.page, "Hut")
    again.page.get_by_text("job.yaml: saved").wait_for()
    again.page.keyboard.press("Control+y")
    heading(again.page, "Shed")
    again.page.keyboard.press("Control+s")
    again.page.get_by_text("job.yaml: saved").wait_for()
    assert server.job.read_text() == HUT.replace("job: Hut", "job: Shed")
    assert sorted(os.listdir(server.folder)) == [".job.yaml.page", "job.yaml"]
    again.leave()
    assert server.stop(signal.SIGINT) == 130
    assert sorted(os.listdir(server.folder)) == ["job.yaml"]
    assert not [line for line in server.said if "Traceback" in line]


def test_others_who_write_the_file_are_noticed_in_every_tab(shared: Any, browser_page: Any) -> None:
    server = shared
    seen = browser_page(server.address)
    afresh(server, seen)
    other = seen.tab()
    rename(seen.page, "Mine")
    heading(other.page, "Mine")
    server.job.write_text(HUT.replace("Hut", "Theirs"))
    for tab in (seen, other):
        tab.page.get_by_role("button", name="Take theirs").wait_for()
    seen.page.keyboard.press("Control+s")
    seen.page.get_by_text("whose is to stay").wait_for()
    assert "Theirs" in server.job.read_text()
    other.page.get_by_role("button", name="Take theirs").click()
    for tab in (seen, other):
        heading(tab.page, "Theirs")
        tab.page.get_by_role("button", name="Take theirs").wait_for(state="detached")
    seen.page.get_by_role("button", name="Undo").click()
    heading(other.page, "Mine")


def becomes(box: Any, text: str) -> None:
    """A field comes to hold a text: what another tab did takes a moment to arrive."""
    from playwright.sync_api import expect

    expect(box).to_have_value(text, timeout=30_000)


def test_what_is_typed_in_one_tab_is_never_written_over(shared: Any, browser_page: Any) -> None:
    server = shared
    seen = browser_page(server.address)
    afresh(server, seen)
    other = seen.tab()
    assert text_of(seen.page) == HUT
    box = seen.page.locator(".text-box textarea")
    box.press("Control+End")
    seen.page.evaluate("() => { window.kept = window.socket.emit; window.socket.emit = () => {}; }")  # a slow line
    box.press_sequentially("# typed here\n")
    rename(other.page, "Elsewhere")
    seen.page.get_by_role("button", name="Keep what I typed").wait_for()
    assert box.input_value() == HUT + "# typed here\n"
    seen.page.evaluate("() => { window.socket.emit = window.kept; }")
    seen.page.get_by_role("button", name="Take the change").click()
    becomes(box, HUT.replace("Hut", "Elsewhere"))
    seen.page.get_by_role("button", name="Undo").click()
    heading(other.page, "Hut")
    becomes(box, HUT + "# typed here\n")
    # the keys step back in the text alone while it is written in
    box.focus()
    box.press("Control+End")
    box.press_sequentially("# more")
    box.press("Control+z")
    heading(seen.page, "Hut")


def test_a_text_with_faults_is_worked_on_beside_the_last_good_house(shared: Any, browser_page: Any) -> None:
    server = shared
    seen = browser_page(server.address)
    afresh(server, seen)
    seen.page.get_by_text("HOLD").first.wait_for()
    text_of(seen.page)
    box = seen.page.locator(".text-box textarea")
    box.fill(HUT.replace("pitch_deg: 25", "pitch_deg: steep"))
    seen.page.get_by_text("NOT AN ORDER").first.wait_for()
    seen.page.get_by_text("the last that could be").wait_for()
    seen.page.get_by_role("button", name="▸ line 4").click()
    marked = "(e) => e.value.slice(e.selectionStart, e.selectionEnd).trim() === 'pitch_deg: steep'"
    seen.page.wait_for_function(marked, arg=box.element_handle())  # the page's server answers the click
    box.fill(HUT.replace("pitch_deg: 25", "pitch_deg: [25"))
    seen.page.get_by_text("is not closed").first.wait_for()
    seen.page.get_by_role("button", name="Undo").click()
    seen.page.get_by_role("button", name="Undo").click()
    seen.page.get_by_text("All is saved.").wait_for()


@pytest.mark.long
def test_a_worker_that_ends_is_told_and_started_again(page_server: Any, browser_page: Any) -> None:
    server = page_server(HUT)
    seen = browser_page(server.address)
    seen.page.get_by_text("HOLD").first.wait_for()
    worker = [
        one for one in workers_of(server.process.pid) if b"spawn_main" in Path(f"/proc/{one}/cmdline").read_bytes()
    ]
    os.kill(worker[0], signal.SIGKILL)
    seen.page.get_by_text("was started again").wait_for()
    seen.page.get_by_text("HOLD").first.wait_for()
    rename(seen.page, "Shed")
    seen.page.get_by_text("HOLD").first.wait_for()
    workers = workers_of(server.process.pid)
    seen.left = True
    server.kill()
    for one in workers:
        for _ in range(100):
            if not Path(f"/proc/{one}").exists() or "Z" in Path(f"/proc/{one}/stat").read_text().split(")")[1][:3]:
                break
            seen.page.wait_for_timeout(100)
        else:
            raise AssertionError(f"process {one} outlives its server")
