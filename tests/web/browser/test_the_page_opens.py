"""The page opens, in one tab and in two, asks nobody else for anything, and shows what a job says as words alone."""

from __future__ import annotations

import re
import socket
import urllib.error
import urllib.request
from typing import Any
from urllib.parse import urlsplit

import pytest

HUT = """\
job: Hut
roofs:
  - outline: [[0, 0], [6000, 0], [6000, 4500], [0, 4500]]
    pitch_deg: 25
    fascia_height_mm: 2450
"""
HOSTILE = (
    "<img src=x onerror=\"document.title='broken'\">",
    "</script><script>document.title='broken'</script>",
    "`${document.title='broken'}` {{ 7*7 }} &lt;b&gt;",
    "\u202egnp.tuH\u202c \u2066x",
    "Ō" * 60,  # as long as a job's name may be
)


@pytest.fixture(scope="module")
def hut(page_server: Any) -> Any:
    """One server for the tests that leave it running."""
    return page_server(HUT)


@pytest.mark.parametrize("wide", [1280, 768])
def test_it_opens_and_nothing_runs_over_its_edge(hut: Any, browser_page: Any, wide: int) -> None:
    server = hut
    seen = browser_page(server.address, wide, 720)
    seen.page.get_by_role("heading", name="Hut").wait_for()
    seen.page.get_by_text("HOLD").first.wait_for()
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= wide
    seen.tab().page.get_by_role("heading", name="Hut").wait_for()


def test_a_hostile_job_is_words(hut: Any, browser_page: Any) -> None:
    server = hut
    seen = browser_page(server.address)
    for name in HOSTILE:
        seen.page.get_by_label("Job", exact=True).fill(name)
        seen.page.keyboard.press("Enter")
        seen.page.wait_for_function(
            "(name) => document.querySelector('h1').innerText.length > 0 && document.querySelector('h1').textContent === name",
            arg=name,
        )
        assert seen.page.title() == "Takeoff"
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 1280
    for name in HOSTILE[:2]:
        seen.page.get_by_label("Job", exact=True).fill(name)
        seen.page.keyboard.press("Enter")
        seen.page.reload()  # this time in the page as it is sent, not in a message after it
        seen.page.wait_for_function("(name) => document.querySelector('h1')?.textContent === name", arg=name)
        assert seen.page.title() == "Takeoff"
    assert seen.page.evaluate("document.querySelectorAll('h1 img, h1 script').length") == 0


def test_every_control_is_reached_by_keyboard(hut: Any, browser_page: Any) -> None:
    server = hut
    seen = browser_page(server.address)
    seen.page.get_by_text("HOLD").first.wait_for()
    wanted, reached = {"Undo", "Redo", "Save", "Job", "Rev.", "Date"}, set[str]()
    for _ in range(150):
        seen.page.keyboard.press("Tab")
        at = seen.page.evaluate(
            "(document.activeElement.innerText || document.activeElement.labels?.[0]?.innerText || '').trim()"
        )
        reached.add(str(at))
        if wanted <= reached:
            break
    assert wanted <= reached


def test_an_empty_house_says_where_to_begin(page_server: Any, browser_page: Any) -> None:
    server = page_server(None)
    seen = browser_page(server.address)
    seen.page.locator(".title-block").get_by_text("Nothing is drawn yet").wait_for()
    assert seen.page.get_by_text("NOT AN ORDER").count() == 0
    seen.page.get_by_role("tab", name="Order").click()
    seen.page.get_by_role("button", name="Write the job file").click()
    seen.page.locator(".text-box textarea").fill(HUT)
    seen.page.get_by_text("Nothing is drawn yet").first.wait_for(state="hidden")
    seen.page.get_by_text("HOLD").first.wait_for()
    assert not server.job.exists()
    seen.page.keyboard.press("Control+s")
    seen.page.get_by_text("job.yaml: saved").wait_for()
    assert server.job.read_text() == HUT


def test_title_block_fields(hut: Any, browser_page: Any) -> None:
    server = hut
    seen = browser_page(server.address)
    date = seen.page.get_by_label("Date")
    date.fill("soon")
    date.press("Enter")
    seen.page.get_by_text("soon is no date").wait_for()
    date.fill("2026-03-01")
    seen.page.get_by_label("Rev.").fill("C")
    seen.page.get_by_label("Rev.").press("Control+s")
    seen.page.get_by_text("job.yaml: saved").wait_for()
    assert re.search(r"(?m)^date: 2026-03-01$", server.job.read_text())
    assert re.search(r"(?m)^revision: C$", server.job.read_text())


def status(address: str, **heads: str) -> int:
    """What the server answers to a plain client."""
    try:
        with urllib.request.urlopen(urllib.request.Request(address, headers=heads), timeout=60) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refused:
        with refused:
            return 500 if b"Traceback" in refused.read() else refused.code


def shaken(address: str, path: str, origin: str) -> str:
    """The first line that the server answers to somebody who wants a socket."""
    at = urlsplit(address)
    with socket.create_connection((at.hostname, at.port), 60) as line:
        line.sendall(
            f"GET {path} HTTP/1.1\r\nHost: {at.netloc}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nOrigin: {origin}\r\n"
            "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n".encode("ascii")
        )
        return line.recv(4096).decode("latin-1").split("\r\n")[0]


def test_others_are_refused_by_the_server_itself(hut: Any) -> None:
    at = urlsplit(hut.address)
    home = f"http://{at.netloc}"
    assert status(hut.address) == 200
    assert status(hut.address, Origin=home) == 200
    for path in ("/", "/_nicegui/client/x", "/_nicegui_ws/socket.io/?EIO=4&transport=polling", "/docs", f"/x{at.path}"):
        assert status(home + path) == 403, path
    assert status(hut.address, Origin="http://evil.example") == 403
    assert status(hut.address, Host="evil.example") == 403
    assert status(f"{hut.address}../../etc/passwd") in (403, 404)
    assert status(f"{hut.address}job.yaml") == 404, "no file is given by its name"
    wanted = "/_nicegui_ws/socket.io/?EIO=4&transport=websocket"
    assert "403" in shaken(hut.address, wanted, home)
    assert "403" in shaken(hut.address, at.path.rstrip("/") + wanted, "http://evil.example")
    assert "101" in shaken(hut.address, at.path.rstrip("/") + wanted, home)
    with pytest.raises(OSError, match="refused"), socket.create_connection(("127.0.0.2", at.port), 5):
        pass
